"""Answers are honest: what is given is met, what lies beyond is short, and "none" means none."""

from __future__ import annotations

import itertools
import math

import numpy as np
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.answers.bands import all_bands, bands, moved_to
from framer.answers.forms import STEP_IN, stock_lengths_in, with_length
from framer.answers.levers import levers
from framer.answers.order import elsewhere, in_order, kept_order, ordered
from framer.answers.solve import solve_work
from framer.answers.work import done
from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.geometry.placing import place
from framer.geometry.spot import Spots
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.link import Link
from framer.model.reading import Reading
from tests.build import Record, arm, job, on_arm, pinned, pole, seat, wire

HOUSE = (rulebook("house"),)
BOTH = (rulebook("house"), rulebook("nesc-2017"))
MAIN = Circuit("main", "Main", kv=24.9, kv_to_ground=14.4, grounded_wye=True)
OTHER = Circuit("other", "Other", kv=12.47, kv_to_ground=7.2, grounded_wye=True, owner="Birch")
PHONE = Circuit("phone", "Phone", kind="communications", owner="Cedar")
BEYOND_IN = 1 / 16

slow = settings(
    max_examples=6,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@st.composite
def poles(draw: st.DrawFn) -> Job:
    """A pole with a line arm, a buck arm and a neutral, over a cable, near other wires."""
    length = draw(st.sampled_from((40.0, 45.0, 50.0)))
    bolt = draw(st.floats(330.0, 12 * length - 90.0))
    records: list[Record] = [
        Span("north", "N", 0.0, 1800.0, sag_in=draw(st.sampled_from((0.0, 18.0))), over="road"),
        Span("west", "W", 270.0, 1500.0, sag_in=0.0),
        *pole(length, dia_in=draw(st.floats(8.0, 14.0))),
        arm("line", bolt),
        *pinned("line", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}),
        arm("buck", bolt - draw(st.floats(48.0, 60.0)), faces_deg=270.0),
        on_arm("end", "buck", 54.0, part="deadend-25kv"),
        wire("b", "main", "west", "end"),
        seat("mid", bolt - draw(st.floats(80.0, 110.0)), out_in=2.0),
        wire("n", "main", "north", "mid", phase="N"),
        seat("low", draw(st.floats(200.0, 280.0)), out_in=2.0),
        wire("p", "phone", "north", "low", phase="cable"),
    ]
    for number in range(draw(st.integers(0, 2))):
        key = f"near-{number}"
        records += [
            NearbyWire(
                key,
                key,
                "other",
                draw(st.floats(-150.0, 150.0)),
                draw(st.floats(-150.0, 150.0)),
                draw(st.floats(0.0, 359.0)),
            ),
            Reading(key, "height", draw(st.floats(300.0, 520.0))),
        ]
    made = job(MAIN, OTHER, PHONE, *records)
    if draw(st.booleans()):
        drop = draw(st.floats(48.0, 60.0))
        made = replace(made, links=(Link("buck", "line", drop),))
    return made


def moved_short(made: Job, key: str, height_in: float, books: tuple) -> set[str]:  # type: ignore[type-arg]
    """What is short with an item at a height, of all that moves with it."""
    beside = height_in - 0.01 if height_in > 200.0 else height_in + 0.01
    scenes = [place(moved_to(made, key, one), "framed") for one in (height_in, beside)]
    moving = {
        one.key
        for one, other in zip(scenes[0].parts, scenes[1].parts, strict=True)
        if one.shape != other.shape
    }
    return {
        one.key
        for one in check(scenes[0], books, moving=True)
        if one.verdict == "short" and {part.key for part in (one.a, one.b) if part} & moving
    }


@slow
@given(poles(), st.sampled_from(("line", "buck", "mid", "low")), st.floats(0.0, 1.0))
def test_bands_are_where_the_check_finds_nothing_short(made: Job, key: str, share: float) -> None:
    room = bands(made, BOTH, key)
    anyway = {
        "|".join(filter(None, (one.rule.id, one.a and one.a.key, one.b and one.b.key)))
        for one, _ in room.anyway
        if one.rule is not None
    }
    for band in room.bands:
        for height, beyond in ((band.low_in, -BEYOND_IN), (band.high_in, BEYOND_IN)):
            assert moved_short(made, key, height, BOTH) <= anyway
            if room.low_in + 0.1 < height + beyond < room.high_in - 0.1:
                assert moved_short(made, key, height + beyond, BOTH) - anyway
    anywhere = room.low_in + share * (room.high_in - room.low_in - 0.1)
    inside = any(one.low_in <= anywhere <= one.high_in for one in room.bands)
    assert inside == (moved_short(made, key, anywhere, BOTH) <= anyway)


@slow
@given(poles(), st.sampled_from(("line", "buck", "mid")), st.floats(0.0, 1.0))
def test_bands_of_a_linked_group_hold_for_all_of_it(made: Job, key: str, share: float) -> None:
    # the buck arm stays 4 ft under the line arm, the neutral 60 to 90 in, whatever is moved
    neutral = 60.0 + 30.0 * share
    below = {"line": 0.0, "buck": 48.0, "mid": neutral}
    links = (Link("buck", "line", 48.0), Link("mid", "line", neutral))
    made = moved_to(replace(made, links=links), "line", 400.0)
    room = bands(made, BOTH, key)
    assert room.group == {one: below[key] - drop for one, drop in below.items()}
    anyway = {
        "|".join(filter(None, (one.rule.id, one.a and one.a.key, one.b and one.b.key)))
        for one, _ in room.anyway
        if one.rule is not None
    }
    for band in room.bands:
        for height, beyond in ((band.low_in, -BEYOND_IN), (band.high_in, BEYOND_IN)):
            spots = Spots(moved_to(made, key, height), "framed")
            for one, above in room.group.items():
                up = spots.up_in(spots.job.item_by_id[one])
                assert up is not None
                assert math.isclose(up, height + above, abs_tol=1e-6)
            assert moved_short(made, key, height, BOTH) <= anyway
            if room.low_in + 0.1 < height + beyond < room.high_in - 0.1:
                assert moved_short(made, key, height + beyond, BOTH) - anyway
    whole_group = all_bands(made, BOTH)
    for one, above in room.group.items():
        shifted = [(band.low_in - above, band.high_in - above) for band in whole_group[one].bands]
        there = [(band.low_in, band.high_in) for band in room.bands]
        assert np.allclose(shifted, there, rtol=0.0, atol=0.05)


@slow
@given(poles(), st.sampled_from(("line", "buck", "mid", "low")), st.floats(0.0, 1.0))
def test_room_in_and_out_of_order_is_all_the_room_and_the_check_finds_nothing_new_there(
    made: Job, key: str, share: float
) -> None:
    room = bands(made, BOTH, key)
    kept = kept_order(made, BOTH, room)
    inside, other = in_order(room, kept).bands, elsewhere(room, kept)
    pieces = sorted((one.low_in, one.high_in) for one in (*inside, *other))
    assert all(one[1] <= two[0] + 1e-6 for one, two in itertools.pairwise(pieces))
    whole = sum(one.high_in - one.low_in for one in room.bands)
    assert math.isclose(sum(high - low for low, high in pieces), whole, abs_tol=0.01)
    known = {one.key for one in check(place(made, "framed"), BOTH) if one.verdict == "short"}
    anyway = {
        "|".join(filter(None, (one.rule.id, one.a and one.a.key, one.b and one.b.key)))
        for one, _ in room.anyway
        if one.rule is not None
    }
    for low, high in pieces:
        assert moved_short(made, key, low + share * (high - low), BOTH) <= known | anyway
    for one in other:
        assert one.changes
    for band in inside:
        middle = 0.5 * (band.low_in + band.high_in)
        assert all(
            (middle >= one.at_in - 1e-6) == one.above or abs(middle - one.at_in) <= 1e-6
            for one in kept
        )


@slow
@given(poles(), st.sampled_from(("line", "buck", "mid")))
def test_the_highest_place_is_the_top_of_the_room_in_order(made: Job, key: str) -> None:
    found = done(solve_work(made, HOUSE, key))
    inside = ordered(made, HOUSE, bands(made, HOUSE, key)).bands
    if found.placed is None:
        # it has no room in order, or what keeps it from there is said
        assert bool(inside) == bool(found.makes)
        assert found.reordered is None or found.changes
    elif not found.placed.climbing_in:
        assert -1e-6 <= inside[-1].high_in - found.placed.height_in <= STEP_IN + 1e-6


@slow
@given(poles(), st.sampled_from(("highest", "lowest", "nearest")))
def test_an_answer_meets_everything_and_a_sixteenth_beyond_its_bound_does_not(
    made: Job, want: str
) -> None:
    found = done(solve_work(made, HOUSE, "line", want))  # type: ignore[arg-type]
    placed = found.placed or (found.longer.placed if found.longer else None)
    if placed is None:
        return
    before = check(place(made, "framed"), HOUSE)
    known = {one.key for one in before if one.verdict == "short"}
    after = check(place(placed.job, "framed"), HOUSE)
    new = {one.key for one in after if one.verdict == "short"} - known
    assert new == set()
    # what is given is on the half inch, or the sixteenth where there is no room for that
    steps = placed.drop_in / BEYOND_IN
    at_bound = min(placed.up_in, placed.down_in) < 1e-3
    assert math.isclose(steps, round(steps), abs_tol=1e-4) or at_bound
    if want == "highest" and found.placed and not placed.climbing_in:
        beyond = placed.height_in + placed.up_in + BEYOND_IN
        room = ordered(made, HOUSE, found.room)
        if beyond < room.high_in and any(one.rule for one in placed.governs):
            assert moved_short(made, "line", beyond, HOUSE)


@slow
@given(poles())
def test_no_length_works_is_proved_by_a_sweep(made: Job) -> None:
    found = done(solve_work(made, HOUSE, "line"))
    if found.placed is not None or found.longer is not None or found.room.anyway:
        return
    # a longer pole whose own timber stays short of another circuit is none that works
    known = {
        one.key
        for one in check(place(made, "framed"), HOUSE)
        if one.verdict == "short" and one.rule.id != "house.nearby-pole"
    }
    facts = made.item_by_id["pole"].pole
    assert facts is not None
    longer = [one for one in stock_lengths_in() if one >= (facts.length_in or 0.0)]
    for length_in in longer[:4]:
        form = with_length(made, "pole", length_in)
        room = ordered(form, HOUSE, bands(form, HOUSE, "line"))
        kept = [one for one in room.blocked if one.bound.rule is None]
        high = min(room.high_in, 560.0) - 0.1
        for number in range(8):
            height = room.low_in + (high - room.low_in) * number / 7
            if any(one.low_in <= height <= one.high_in for one in kept):
                continue
            after = check(place(moved_to(form, "line", height), "framed"), HOUSE)
            new = {one.key for one in after if one.verdict == "short"} - known
            assert new or moved_short(form, "line", height, HOUSE)


@slow
@given(poles())
def test_a_lever_that_is_enough_leaves_nothing_new_short(made: Job) -> None:
    found = done(solve_work(made, HOUSE, "line"))
    if found.lack is None or math.isinf(found.lack.inches):
        return
    known = {one.key for one in check(place(made, "framed"), HOUSE) if one.verdict == "short"}
    for lever in levers(made, HOUSE, "line"):
        if lever.works and "longer pole" not in lever.note:
            after = check(place(lever.job, "framed"), HOUSE)
            assert {one.key for one in after if one.verdict == "short"} <= known, lever.words
