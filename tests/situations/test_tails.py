"""Jumpers while they are made and opened: tails, loads, phases. Places invented."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace
from scipy.optimize import brentq

from framer.checks.explain import one_line
from framer.checks.finding import Finding
from framer.geometry.placing import place
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, Span, Wire
from framer.model.place import Guyed
from framer.model.step import Hold, Step
from framer.transfer.bodies import gaps_in
from framer.transfer.tails import over_the_circle, tail_findings
from tests.build import Record, pole, seat, wire
from tests.build import job as made_of
from tests.situations.transfer import moment, said, with_steps

MAIN = Circuit("main", "Main", kv=12.47, kv_to_ground=7.2, grounded_wye=True)
SPANS = (Span("north", "pole 1", 0.0, 1800.0), Span("east", "pole 9", 90.0, 1800.0))
FAR_IN = 120.0
"""The clamps are 10 ft west of the pole, so that nothing but the guy is near."""


def jumper(
    tail_in: float | None,
    *more: Record,
    states: tuple[str, ...] = ("open", "jumper"),
    phases: tuple[str, str] = ("A", "A"),
    holds: tuple[Hold, ...] = (),
) -> Job:
    """A jumper between two seats at one place 33 ft up, made or opened in the only step."""
    places = tuple(
        JoinPlace("found" if number == 0 else "after", state)  # type: ignore[arg-type]
        for number, state in enumerate(states)
    )
    records: list[Record] = [MAIN, *SPANS, *pole(45.0, depth_in=78.0)]
    for key, span, phase, up in (
        ("one", "north", phases[0], 396.0),
        ("two", "east", phases[1], 372.0),
    ):
        records.append(seat(f"seat-{key}", up, out_in=FAR_IN - 5.0, faces_deg=270.0))
        records.append(wire(key, "main", span, f"seat-{key}", phase=phase))
    join = Join("jump", "one", "two", places, part="acsr-336-26-7-linnet", tail_in=tail_in)
    made = made_of(*(_found(one) for one in records), join, *more)
    return with_steps(made, Step("make", "Jumper", kind="jumper", moves=("jump",)), holds=holds)


def _found(record: Record) -> Record:
    """The record with its thing there as found."""
    if not isinstance(record, Item | Wire):
        return record
    return replace(record, places=tuple(replace(one, when="found") for one in record.places))


def tail(made: Job) -> Finding:
    (found,) = [one for one in said(made, tail_findings) if one.rule.id.startswith("step.tail")]
    return found


# A32: the tail of a jumper reaches a guy


def test_a32_the_circle_of_a_free_tail() -> None:
    # free tail 2.2 ft, guy 1.9 ft away: inside by 0.3 ft
    assert over_the_circle(2.2 * 12.0, 1.9 * 12.0) / 12.0 == pytest.approx(0.3)
    assert over_the_circle(1.5 * 12.0, 1.9 * 12.0) < 0.0


def near_guy(made: Job) -> float:
    """How far the guy is from the nearer clamp, by hand from its two ends."""
    scene = place(made, 1)
    guy_part = scene.part_by_key["guy"]
    clamps = np.array([scene.part_by_key[key].shape.p for key in ("one", "two")])  # type: ignore[union-attr]
    return float(gaps_in(clamps, clamps, [guy_part]).min())


@pytest.mark.parametrize(("tail_ft", "verdict"), [(2.2, "short"), (1.8, "meets")])
def test_a32_in_a_job(tail_ft: float, verdict: str) -> None:
    # a guy down from the pole at 33 ft 4 in, so steep that it passes 1.9 ft from the lower clamp
    lead = brentq(lambda one: near_guy(jumper(26.4, _down(one))) - 1.9 * 12.0, 300.0, 560.0)
    made = jumper(12.0 * tail_ft, _down(lead))
    found = tail(made)
    assert found.b is not None
    assert found.b.owner == "guy"
    assert found.gap == pytest.approx(1.9 * 12.0, abs=0.05)
    assert found.verdict == verdict
    line = one_line(made, found)
    if verdict == "short":
        # 0.3 ft is 3.6 in, printed up
        assert "short 4 in" in line
        assert "control both ends, cover it, or cut the tail to less than 1 ft 10 1/2 in" in line


def _down(lead_in: float) -> Item:
    at = Guyed(when="found", host="pole", lead_in=lead_in, at_in=460.0, azimuth_deg=270.0)
    return Item("guy", "guy", (at,), "guy-1-4in-3wire-common", name="Guy")


def test_a32_a_tail_nobody_measured_cannot_be_said() -> None:
    found = tail(jumper(None, _down(200.0)))
    assert found.verdict == "cannot say"
    assert "how far the free tail of jumper A from pole 1 to pole 9 reaches" in found.missing


def test_a32_what_is_nowhere_known_is_no_pass() -> None:
    made = jumper(12.0, _down(200.0))
    blank = replace(made, items=tuple(_without_depth(one) for one in made.items))
    found = [one for one in said(blank, tail_findings) if one.rule.id.startswith("step.tail")]
    assert "cannot say" in {one.verdict for one in found}


def _without_depth(item: Item) -> Item:
    if item.kind != "pole":
        return item
    return replace(item, places=tuple(replace(one, depth_in=None) for one in item.places))


def test_a32_the_tail_counts_while_it_is_taken_off_too() -> None:
    made = jumper(600.0, states=("jumper", "open"))
    found = tail(made)
    assert (found.verdict, found.b.owner if found.b else "") == ("short", "pole")


# bypass before a loaded jumper is cut


def opened(*more: Record, was: str = "jumper", holds: tuple[Hold, ...] = ()) -> Finding:
    made = jumper(12.0, *more, states=(was, "open"), holds=holds)
    (found,) = [one for one in said(made, tail_findings) if one.rule.id.startswith("step.bypass")]
    return found


def bypass(*states: str) -> Join:
    places: tuple[Any, ...] = tuple(
        JoinPlace(when, state)  # type: ignore[arg-type]
        for when, state in zip(("found", "after"), states, strict=False)
    )
    return Join("bypass", "one", "two", places, part="acsr-336-26-7-linnet")


def test_a_loaded_jumper_is_opened_only_with_a_bypass_on() -> None:
    found = opened()
    assert found.verdict == "short"
    assert "opened with no bypass on" in found.where
    assert opened(bypass("bypass")).verdict == "meets"
    assert opened(bypass("open")).verdict == "short"
    assert opened(holds=(Hold("main", "hold"),)).verdict == "short"


def test_a_circuit_is_dead_for_it_only_after_its_own_steps() -> None:
    dead = Hold("main", "de-energise", "recloser", "J. Ames")
    assert opened(holds=(dead,)).verdict == "cannot say"
    made = jumper(12.0, states=("jumper", "open"), holds=(dead,))
    before = (Step("off", "Off", kind="de-energise"), Step("earth", "Earth", kind="ground"))
    for holds, verdict in (((dead,), "meets"), ((replace(dead, device=""),), "cannot say")):
        ready = with_steps(made, *before, made.steps[0], holds=holds)
        (found,) = [
            one for one in said(ready, tail_findings, 3) if one.rule.id.startswith("step.bypass")
        ]
        assert found.verdict == verdict


def test_opening_a_tap_is_an_outage_to_be_arranged() -> None:
    assert opened(was="tap").verdict == "tight"
    (told,) = [
        one for one in tail_findings(moment(jumper(12.0, states=("tap", "open"))))
        if one.rule.id.startswith("step.bypass.")
    ]  # fmt: skip
    assert told.where == "opening jumper A from pole 1 to pole 9 puts out what it feeds"


def test_a_jumper_of_unlike_phases_asks_for_proof() -> None:
    found = said(jumper(12.0, phases=("A", "B")), tail_findings)
    (proof,) = [one for one in found if one.rule.id.startswith("step.phases")]
    assert proof.verdict == "cannot say"
    assert "joins A to B: prove phases at both sides" in proof.missing


@pytest.mark.parametrize(
    ("phases", "proved", "verdict"),
    [
        (("A", "A"), "", "tight"),
        (("A", "A"), "Ben, by voltmeter", "meets"),
        (("A", "B"), "Ben, by voltmeter", "tight"),
    ],
)
def test_phases_count_as_proved_only_where_somebody_is_named(
    phases: tuple[str, str], proved: str, verdict: str
) -> None:
    made = jumper(12.0, phases=phases)
    made = replace(made, joins=tuple(replace(one, phases_proved=proved) for one in made.joins))
    (proof,) = [one for one in said(made, tail_findings) if one.rule.id.startswith("step.phases")]
    assert proof.verdict == verdict
    assert (proved or "phases proved by ____") in proof.where
