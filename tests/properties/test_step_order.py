"""Steps in any order: what keeps each thing's own chain ends alike, anything else is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.files.find import job_file
from framer.files.reader import read_job
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.job import Job, Thing
from framer.model.line import Join
from framer.model.stage import chain_index, crew_leaves, join_at, place_at
from framer.model.step import Step
from framer.transfer.moment import Moment
from framer.transfer.order import order_findings

SAMPLES = Path(__file__).resolve().parent.parent.parent / "sample_jobs"
JOB = read_job(job_file(SAMPLES / "corner-transfer"))
BOOKS = tuple(rulebook(key) for key in JOB.books)
LAST = len(JOB.steps)


def in_order(numbers: list[int]) -> Job:
    return replace(JOB, steps=tuple(JOB.steps[number] for number in numbers))


def goes(job: Job) -> dict[str, list[int]]:
    """Of each thing the places it goes to, in the order of the steps."""
    found: dict[str, list[int]] = {}
    for step in job.steps:
        for key, to in step.goes:
            assert to is not None
            found.setdefault(key, []).append(to)
    return found


CHAINS = goes(JOB)


@st.composite
def orders_that_keep_chains(draw: st.DrawFn) -> list[int]:
    """Any step whose things have been brought to the place before, and again."""
    done: list[int] = []
    at = dict.fromkeys(CHAINS, 0)
    while len(done) < LAST:
        ready = [
            number
            for number, step in enumerate(JOB.steps)
            if number not in done and all(CHAINS[key][at[key]] == to for key, to in step.goes)
        ]
        number = draw(st.sampled_from(ready))
        done.append(number)
        for key in JOB.steps[number].moves:
            at[key] += 1
    return done


def placed(job: Job) -> dict[str, object]:
    scene = place(job, LAST)
    return {part.key: (part.shape, part.pole, part.node) for part in scene.parts}


@settings(max_examples=20, deadline=None)
@given(orders_that_keep_chains())
def test_any_order_that_keeps_each_chain_ends_alike(numbers: list[int]) -> None:
    job = in_order(numbers)
    assert goes(job) == CHAINS
    for thing in job.things():
        assert chain_index(job, thing, LAST) == chain_index(JOB, thing, LAST)
    assert placed(job) == placed(JOB)
    assert placed(job) != {part.key: (part.shape, part.pole, part.node)
                           for part in place(JOB, "found").parts}  # fmt: skip
    assert not told(job, "step.chain")


@settings(max_examples=30, deadline=None)
@given(st.permutations(range(LAST)))
def test_any_other_order_is_told_at_the_step_that_breaks_a_chain(numbers: list[int]) -> None:
    job = in_order(numbers)
    broken = {key for key, to in goes(job).items() if to != CHAINS[key]}
    found = told(job, "step.chain")
    assert {key for _, key in found} == broken
    for number, key in found:
        assert key in job.steps[number - 1].moves


def told(job: Job, kind: str) -> list[tuple[int, str]]:
    """The steps with a finding of this kind, and the thing each is about."""
    scenes = [place(job, "found"), *(place(job, number) for number in range(1, LAST + 1))]
    return [
        (number, finding.rule.id.removeprefix(f"{kind} "))
        for number in range(1, LAST + 1)
        for finding in order_findings(Moment(job, number, scenes[number - 1], scenes[number], ()))
        if finding.rule.id.startswith(f"{kind} ")
    ]


def built_directly(job: Job, stage: int) -> Job:
    """The job with every thing brought straight to where it is at a stage, in one step."""
    moved = []

    def straight(thing: Thing) -> Thing:
        if isinstance(thing, Join):
            now: object = join_at(job, thing, stage)
        else:
            now = place_at(job, thing, stage)
        first = thing.places[:1] if thing.places[0].when == "found" else ()
        if now is None or (first and now is first[0]):
            return replace(thing, places=first or thing.places)
        moved.append(thing.id)
        return replace(thing, places=(*first, now))

    changed = {
        "items": tuple(straight(item) for item in job.items),
        "wires": tuple(straight(wire) for wire in job.wires),
        "joins": tuple(straight(join) for join in job.joins),
    }
    leaves = crew_leaves(job, stage)
    steps = (
        Step("there", "straight there", moves=tuple(moved), crew_leaves=leaves),
        Step("rest", "the rest"),
    )
    return replace(job, **changed, steps=steps)


def said(scene: Scene) -> list[tuple[object, ...]]:
    return sorted(
        (one.key, one.verdict, one.gap and round(one.gap, 6), one.need and round(one.need, 6))
        for one in check(scene, BOOKS)
    )


@pytest.mark.parametrize("stage", range(1, LAST + 1))
def test_a_stage_is_judged_like_a_job_built_directly_in_that_state(stage: int) -> None:
    straight = built_directly(JOB, stage)
    assert len(straight.steps) == 2
    assert said(place(straight, 1)) == said(place(JOB, stage))


@settings(max_examples=10, deadline=None)
@given(orders_that_keep_chains(), st.integers(1, LAST))
def test_so_it_is_in_any_other_order(numbers: list[int], stage: int) -> None:
    job = in_order(numbers)
    assert said(place(built_directly(job, stage), 1)) == said(place(job, stage))
