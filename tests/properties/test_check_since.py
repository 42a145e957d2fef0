"""A check that takes over what has not moved says just what a check from nothing says."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from numpy.typing import NDArray

from framer.checks.bookshelf import book_ids, rulebook
from framer.checks.engine import check
from framer.checks.findings import Findings
from framer.checks.since import Gaps, moved_parts
from framer.edits.places import (
    set_along_arm,
    set_along_pole,
    set_azimuth,
    set_pole,
    set_standing,
    set_support,
)
from framer.files.reader import read_job
from framer.geometry.placing import place
from framer.geometry.scene import Part, Scene, Tag
from framer.model.job import Job
from tests.bench.jobs import SAMPLES, full_pole, full_transfer

Move = Callable[[Job], Job]

BOOKS = tuple(rulebook(key) for key in book_ids())
FULL = full_pole()
ARMS = ("one-line", "one-buck", "two-line", "two-buck")
ON_ARMS = tuple(f"{arm}-{phase}" for arm in ARMS for phase in "ABC")
ON_POLE = (*ARMS, "spool", "clamp-1", "clamp-6", "bank-2", "guy-3", "lamp")

HEIGHTS = st.floats(260.0, 630.0)
"""Below the top however much of it the moves cut off."""
ANGLES = st.sampled_from([0.0, 45.0, 90.0, 133.0, 270.0])


def along_pole(key: str, at_in: float) -> Move:
    return lambda job: set_along_pole(job, key, "framed", "height", at_in)


def along_arm(key: str, along_in: float) -> Move:
    return lambda job: set_along_arm(job, key, "framed", along_in)


def turned(key: str, azimuth_deg: float) -> Move:
    return lambda job: set_azimuth(job, key, "framed", azimuth_deg)


def cut(cut_in: float) -> Move:
    return lambda job: set_standing(job, "pole", "framed", cut_in=cut_in)


def bored(down_in: float) -> Move:
    return lambda job: set_pole(job, "pole", bored_in=(down_in,))


def named(key: str, name: str) -> Move:
    def edit(job: Job) -> Job:
        items = tuple(replace(one, name=name) if one.id == key else one for one in job.items)
        return replace(job, items=items)

    return edit


def hung(wire: str, support: str) -> Move:
    return lambda job: set_support(job, wire, "framed", support)


def sag_of(sag_in: float) -> Move:
    return lambda job: replace(job, spans=tuple(replace(span, sag_in=sag_in) for span in job.spans))


MOVES = st.one_of(
    st.builds(along_pole, st.sampled_from(ON_POLE), HEIGHTS),
    st.builds(along_arm, st.sampled_from(ON_ARMS), st.floats(-58.0, 58.0)),
    st.builds(turned, st.sampled_from(ON_POLE), ANGLES),
    st.builds(cut, st.sampled_from([0.0, 6.0, 24.0])),
    st.builds(bored, st.floats(1.0, 200.0)),
    st.builds(named, st.sampled_from(("pole", "one-line", "bank-1")), st.sampled_from("XY")),
    st.builds(hung, st.sampled_from(("one-line-A-north", "n-south")), st.sampled_from(ON_ARMS)),
    st.builds(sag_of, st.sampled_from([20.0, 36.0])),
)


def parts(scene: Scene) -> list[tuple[object, ...]]:
    """All that is known of all parts, in their order."""
    return [tuple(getattr(part, name) for name in Part.__struct_fields__) for part in scene.parts]


@given(moves=st.lists(MOVES, min_size=1, max_size=6))
@settings(deadline=None, max_examples=60)
def test_move_after_move_all_is_placed_where_it_is_placed_from_nothing(moves: list[Move]) -> None:
    job, scene = FULL, place(FULL, "framed")
    for move in moves:
        job = move(job)
        scene = place(job, "framed", since=scene)
        afresh = place(job, "framed")
        assert parts(scene) == parts(afresh)
        assert (scene.unplaced, scene.undecided) == (afresh.unplaced, afresh.undecided)


TRANSFERS = (
    full_transfer(),
    read_job(SAMPLES / "corner-transfer/alder-lane-transfer.framer"),
)


@given(data=st.data())
@settings(deadline=None, max_examples=20)
def test_step_after_step_all_is_placed_where_it_is_placed_from_nothing(data: st.DataObject) -> None:
    """Steps in an order nobody would take, too: then things rest on what is not there."""
    job = data.draw(st.sampled_from(TRANSFERS))
    if data.draw(st.booleans()):
        job = replace(job, steps=tuple(data.draw(st.permutations(job.steps))))
    scene = place(job, "found")
    for number in [*range(len(job.steps) + 1)][:: data.draw(st.sampled_from([1, -1, 3]))]:
        scene = place(job, number, since=scene)
        afresh = place(job, number)
        assert parts(scene) == parts(afresh)
        assert scene.unplaced == afresh.unplaced
        for name in ("tags", "ups", "tolerances"):
            assert np.array_equal(getattr(scene, name), getattr(afresh, name))
        for one, other in zip(scene.ends, afresh.ends, strict=True):
            assert np.array_equal(one, other, equal_nan=True)


def test_from_step_to_step_most_stays_where_it_is() -> None:
    job = full_transfer()
    before = place(job, 3)
    after = place(job, 4, since=before)
    stays = {id(part) for part in before.parts} & {id(part) for part in after.parts}
    assert len(stays) > 0.7 * len(after.parts)
    moved = {part.owner for part in after.parts if id(part) not in stays}
    assert moved & set(job.steps[3].moves)


def test_of_a_dragged_arm_only_what_it_carries_is_placed_anew() -> None:
    before = place(FULL, "framed")
    after = place(along_pole("one-line", 600.0)(FULL), "framed", since=before)
    anew = {
        now.owner
        for then, now in zip(before.parts, after.parts, strict=True)
        if now is not then and not now.tags & Tag.NEARBY
    }
    assert anew == {
        "one-line",
        "one-line-brace",
        *(f"one-line-{phase}{span}" for phase in "ABC" for span in ("", "-north", "-south")),
    }


Told: TypeAlias = tuple[list[tuple[object, ...]], NDArray[np.float64]]


def said(found: Findings) -> Told:
    """All that is said, in the order it is said: the words, and the numbers of each finding."""
    words: list[tuple[object, ...]] = []
    numbers: list[tuple[float | None, ...]] = []
    for one in found:
        words.append((one.key, one.verdict, one.need, one.missing, one.assumed, one.count))
        p, q = one.line or (UNKNOWN, UNKNOWN)
        numbers.append((one.gap, one.tolerance_in, *p, *q))
    return words, np.array(numbers, dtype=np.float64)


UNKNOWN = (None, None, None)


def is_the_same(told: Told, other: Told) -> bool:
    """Whether both say the same; a ten-millionth of an inch is no difference."""
    (words, numbers), (other_words, other_numbers) = told, other
    return words == other_words and np.allclose(
        numbers, other_numbers, rtol=0.0, atol=1e-7, equal_nan=True
    )


@given(moves=st.lists(MOVES, min_size=1, max_size=4))
@settings(deadline=None, max_examples=25)
def test_move_after_move_it_says_what_a_check_from_nothing_says(moves: list[Move]) -> None:
    job = FULL
    scene = place(job, "framed")
    found = check(scene, BOOKS, moving=True)
    for move in moves:
        job = move(job)
        scene = place(job, "framed", since=scene)
        found = check(scene, BOOKS, moving=True, since=found)
        afresh = check(place(job, "framed"), BOOKS, moving=True)
        assert is_the_same(said(found), said(afresh))


def taken_over(job: Job) -> tuple[Gaps, Gaps]:
    before = check(place(FULL, "framed"), BOOKS, moving=True).gaps
    assert before is not None
    return before, before.taken_over(place(job, "framed"), before.planned)


def test_an_arm_that_moves_takes_only_its_own_pairs_along() -> None:
    before, kept = taken_over(along_pole("one-line", 600.0)(FULL))
    moved = moved_parts(before.scene, kept.scene)
    assert moved is not None
    owners = {part.owner for part, away in zip(kept.scene.parts, moved, strict=True) if away}
    assert owners == {
        "one-line",
        "one-line-brace",
        *(f"one-line-{phase}{span}" for phase in "ABC" for span in ("", "-north", "-south")),
    }
    a, b = before.planned.pairs
    assert np.array_equal(kept.known, before.known & ~moved[a] & ~moved[b])
    assert kept.known.sum() > 0.5 * before.known.sum()


@pytest.mark.parametrize("move", [cut(6.0), sag_of(20.0), named("pole", "Stub")])
def test_what_all_gaps_may_depend_on_leaves_nothing_to_take_over(move: Move) -> None:
    before, kept = taken_over(move(FULL))
    assert before.known.any()
    assert not kept.known.any()


def test_what_is_measured_anew_leaves_the_check_before_as_it_was() -> None:
    before = check(place(FULL, "framed"), BOOKS, moving=True)
    then = said(before)
    check(place(along_pole("two-line", 500.0)(FULL), "framed"), BOOKS, moving=True, since=before)
    assert is_the_same(said(before), then)
