"""Every fact the transfer of the corner pole rests on, dropped one at a time: no step passes then.

Judged by no rulebook, so that only what the steps themselves ask for counts; with all facts there
nothing is left open. Places and people are invented.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest
from msgspec.structs import replace

from framer.files.find import job_file
from framer.files.reader import read_job
from framer.model.item import Item, Rating
from framer.model.job import Job
from framer.model.line import Join, Span, Wire
from framer.model.step import Step
from framer.transfer.brief import Brief, brief
from framer.transfer.stages import Transfer, judged
from tests.outputs.samples import JOBS


@cache
def sample() -> Job:
    return read_job(job_file(JOBS / "corner-transfer"))


def told(job: Job) -> tuple[Transfer, Brief]:
    transfer = judged(job, ())
    return transfer, brief(transfer, ())


def of_settings(**changes: None) -> Callable[[Job], Job]:
    return lambda job: replace(job, settings=replace(job.settings, **changes))


def of_items(change: Callable[[Item], Item]) -> Callable[[Job], Job]:
    return lambda job: replace(job, items=tuple(change(one) for one in job.items))


def of_wires(change: Callable[[Wire], Wire]) -> Callable[[Job], Job]:
    return lambda job: replace(job, wires=tuple(change(one) for one in job.wires))


def of_joins(change: Callable[[Join], Join]) -> Callable[[Job], Job]:
    return lambda job: replace(job, joins=tuple(change(one) for one in job.joins))


def of_spans(change: Callable[[Span], Span]) -> Callable[[Job], Job]:
    return lambda job: replace(job, spans=tuple(change(one) for one in job.spans))


def of_steps(change: Callable[[Step], Step]) -> Callable[[Job], Job]:
    return lambda job: replace(job, steps=tuple(change(one) for one in job.steps))


def no_voltage(job: Job) -> Job:
    first = replace(job.circuits[0], kv=None, kv_to_ground=None)
    return replace(job, circuits=(first, *job.circuits[1:]))


def no_sound_girth(job: Job) -> Job:
    return replace(job, readings=tuple(one for one in job.readings if one.what != "sound girth"))


def no_brand(job: Job) -> Job:
    kept = tuple(one for one in job.readings if one.what not in ("brand height", "setting depth"))
    items = tuple(
        replace(one, places=tuple(replace(at, depth_in=None) for at in one.places))
        if one.id == "pole-old" and all(hasattr(at, "depth_in") for at in one.places)
        else one
        for one in job.items
    )
    return replace(job, readings=kept, items=items)


def no_wood(item: Item) -> Item:
    return item if item.pole is None else replace(item, pole=replace(item.pole, species=None))


def no_rating(item: Item) -> Item:
    return replace(item, rating=None) if item.kind == "lift" else item


def no_side_rating(item: Item) -> Item:
    if item.kind != "lift" or item.rating is None:
        return item
    return replace(item, rating=Rating(item.rating.up_lbf, None, item.rating.along_lbf))


def no_arm_looked_at(item: Item) -> Item:
    return replace(item, condition="") if item.kind == "arm" else item


def no_boom_chart(step: Step) -> Step:
    return replace(step, boom=replace(step.boom, lift_lb=None)) if step.boom else step


DROPPED: dict[str, tuple[Callable[[Job], Job], str]] = {
    "rating of the lifts": (of_items(no_rating), "rating of Lift for A, which holds"),
    "rating to the side": (of_items(no_side_rating), "rating of Lift for A for pull to the side"),
    "hold": (lambda job: replace(job, holds=job.holds[1:]), "no hold, cover or release is said"),
    "who asked for it": (
        lambda job: replace(job, holds=(replace(job.holds[0], asked_by=""), *job.holds[1:])),
        "who asked not said",
    ),
    "voltage": (no_voltage, "voltage of Mill 3 not known"),
    "sound girth": (no_sound_girth, "sound girth of Old pole not known"),
    "wood of the poles": (of_items(no_wood), "species of Old pole not known"),
    "brand": (no_brand, "setting depth of Old pole not known"),
    "condition of the arms": (of_items(no_arm_looked_at), "condition of Old line arm not known"),
    "neighbouring poles": (
        of_spans(lambda one: replace(one, far_condition="")),
        "pole 6, its arms and ties not looked at",
    ),
    "size of the wires": (of_wires(lambda one: replace(one, part=None)), "of Mill 3 to pole 6"),
    "tails": (of_joins(lambda one: replace(one, tail_in=None)), "the free tail of jumper A"),
    "workers": (of_steps(lambda one: replace(one, workers=())), "no worker is placed in step"),
    "gloves": (
        of_steps(
            lambda one: replace(
                one, workers=tuple(replace(who, gloves="") for who in one.workers)
            )
        ),
        "the class of the gloves of Ben is not known",
    ),
    "boom": (of_steps(lambda one: replace(one, boom=None)), "where the boom for New pole stands"),
    "chart of the boom": (of_steps(no_boom_chart), "what a boom lifts here not typed"),
    "side of the sawn top": (
        of_steps(lambda one: replace(one, drop_deg=None)),
        "comes down not said",
    ),
    "height above sea level": (of_settings(altitude_m=None), "height above sea level not known"),
    "how many times it must stand": (of_settings(pole_factor=None), "must stand what is on it"),
    "swing": (of_settings(swing_in=None), "may swing while a pole goes up not typed"),
    "room kept": (of_settings(setting_keep_in=None), "how far to keep off on each side"),
    "auger": (of_settings(auger_in=None), "diameter of the auger for the hole beside Old pole"),
    "soil": (of_settings(soil_in=None), "soil to be left for the hole beside Old pole"),
    "limits between": (
        lambda job: replace(job, limits_between=()),
        "ends only: the way between the two places is not checked",
    ),
}  # fmt: skip


def test_with_every_fact_there_nothing_is_left_open() -> None:
    transfer, said = told(sample())
    assert said.missing == ()
    assert not any(stage.of("cannot say") for stage in transfer.stages[1:])


@pytest.mark.parametrize("fact", DROPPED)
def test_a_dropped_fact_turns_its_steps_to_cannot_say_and_stands_on_the_brief(fact: str) -> None:
    drop, words = DROPPED[fact]
    transfer, said = told(drop(sample()))
    assert any(words in line.words for line in said.missing), [one.words for one in said.missing]
    turned = [stage for stage in transfer.stages[1:] if stage.of("cannot say")]
    assert turned
    for stage in turned:
        assert stage.verdict in ("cannot say", "short")
