"""Room in and out of the order drafted: Room, Highest, Lowest and Nearest say the same of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.answers.bands import bands, moved_to
from framer.answers.order import elsewhere, in_order, kept_order, ordered
from framer.answers.solve import Answer, Want, solve_work
from framer.answers.told import Told
from framer.answers.words import ORDER, OUT_OF_ORDER, room_told, top_work
from framer.answers.work import done
from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.edits.links import set_link
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.line import Circuit, LimitLine, NearbyWire, Span
from framer.model.reading import Reading
from framer.session import Session
from tests.build import arm, job, pinned, pole, seat, wire

HOUSE = (rulebook("house"),)
MAIN = Circuit("main", "Main", kv=24.9, grounded_wye=True)
OTHER = Circuit("other", "West circuit", kv=12.47, grounded_wye=True, owner="Birch")
PHONE = Circuit("phone", "Phone", kind="communications", owner="Cedar")
TOP_IN = 462.0  # of a 45-ft pole set 6.5 ft
CROSSING_IN, KEPT_IN, PIN_IN, LINK_IN = 422.4, 42.0, 13.0, 48.0
"""A circuit 35.2 ft high, its house number, from bolt to wire, and from line arm to buck arm."""
HIGHEST_IN = CROSSING_IN - KEPT_IN - PIN_IN + LINK_IN
"""The line arm's bolt with the buck wires just under that circuit: 34.617 ft."""


def tap(neutral_in: float = 372.0, cable_in: float = 264.0) -> Job:
    """A line arm with its buck arm 4 ft under it, a neutral and a cable; a circuit on the west."""
    made = job(
        MAIN,
        OTHER,
        PHONE,
        Span("north", "North", 0.0, 1800.0, sag_in=0.0),
        Span("west", "West", 270.0, 1800.0, sag_in=0.0),
        *pole(45),
        arm("line", 30.0, hold="drop"),
        arm("buck", 78.0, hold="drop", faces_deg=270.0),
        *pinned("line", "main", "north", {"A": -54.0, "B": -18.0, "C": 54.0}),
        *pinned("buck", "main", "west", {"C": -54.0, "B": -18.0, "A": 54.0}),
        seat("mid", neutral_in, out_in=2.0),
        wire("n", "main", "north", "mid", phase="N"),
        seat("low", cable_in, out_in=2.0),
        wire("p", "phone", "north", "low", phase="cable"),
        NearbyWire("near", "West circuit", "other", -144.0, 0.0, 0.0),
        Reading("near", "height", CROSSING_IN),
    )
    return set_link(made, "buck", "line")


def room_lines(made: Job) -> tuple[Told, ...]:
    return tuple(room_told(made, HOUSE, bands(made, HOUSE, "line")))


def answer(made: Job, want: Want = "highest") -> tuple[Answer, tuple[Told, ...]]:
    return done(top_work(made, HOUSE, "line", want))


def with_head(told: tuple[Told, ...], words: str) -> Told:
    fit = [one for one in told if words in one.head]
    assert len(fit) == 1, [one.head for one in told]
    return fit[0]


def test_room_says_which_heights_would_change_the_order() -> None:
    # neutral at 372; the buck arm is at 384 now and must go to 367.4: under it
    lines = room_lines(tap())
    heads = [one.head for one in lines]
    at = heads.index(OUT_OF_ORDER)
    assert "no height is free of what is short in the order drafted" in heads[:at]
    assert "to 34 ft 7 in above ground" in heads[at + 1]
    assert lines[at + 1].more[0] == "buck under mid"
    # what is free under the cable puts supply under communications, and says so
    assert "buck under low" in lines[at + 2].more


def test_highest_says_what_keeps_it_and_where_else_there_is_room() -> None:
    found, told = answer(tap())
    assert found.placed is None
    assert found.lack is not None
    # the buck arm cannot be under 372 for the neutral, nor over 367.4 for the circuit
    assert found.lack.inches == pytest.approx(372.0 - (HIGHEST_IN - LINK_IN), abs=0.01)
    missing = with_head(told, "no length works: 5 in missing, in the order drafted")
    assert "keeps it up:   mid stays below buck" in missing.more
    assert OUT_OF_ORDER in [one.head for one in told]
    assert told[-1].head == ORDER


def test_the_place_with_the_order_changed_is_offered_and_meets_everything() -> None:
    made = tap()
    found, told = answer(made)
    offered = with_head(told, "with the order changed, buck under mid: 3 ft 11 in from")
    assert offered.offer is not None
    moved = offered.offer.edit(made)
    assert found.reordered is not None
    assert moved == found.reordered.job == moved_to(made, "line", TOP_IN - 47.0)
    assert {one.key for one in check(place(moved, "framed"), HOUSE) if one.verdict == "short"} == (
        set()
    )


def test_the_neutral_can_be_moved_along_instead() -> None:
    made = tap()
    _, told = answer(made)
    along = with_head(told, "let mid move with it, 5 ft below: enough")
    assert along.offer is not None
    moved = along.offer.edit(made)
    assert check(place(moved, "framed"), HOUSE)[0].verdict != "short"


def test_no_order_with_communications_or_another_circuit_is_offered_to_be_changed() -> None:
    # the neutral is gone; the cable is where it keeps the buck arm up: supply would go under it
    made = tap(neutral_in=130.0, cable_in=350.0)
    found, told = answer(made)
    assert found.placed is None
    assert found.elsewhere
    assert found.reordered is None
    assert not [one for one in told if "with the order changed" in one.head]


def test_room_over_another_circuit_that_is_passed_under_is_said() -> None:
    # the buck arm alone, over the neutral: free under the circuit, or over it by 42 in
    made = tap(neutral_in=300.0)
    made = replace(made, links=())
    room = bands(made, HOUSE, "buck")
    kept = kept_order(made, HOUSE, room)
    said = [words.otherwise for one in elsewhere(room, kept) for words in one.changes]
    assert "buck under mid" in said
    high = moved_to(made, "line", TOP_IN - 12.0)
    raised = replace(high, readings=(*made.readings[:-1], Reading("near", "height", 340.0)))
    room = bands(raised, HOUSE, "buck")
    kept = kept_order(raised, HOUSE, room)
    # now over a circuit at 340 and not short of it: it stays over
    assert "the wires of buck under West circuit" in [one.otherwise for one in kept]
    inside = in_order(room, kept)
    assert all(band.low_in + PIN_IN >= 340.0 for band in inside.bands)


@pytest.mark.parametrize("want", ["highest", "lowest", "nearest"])
def test_in_order_the_answer_is_in_the_room_that_is_listed_first(want: Want) -> None:
    made = tap(neutral_in=320.0)
    room = ordered(made, HOUSE, bands(made, HOUSE, "line"))
    found, told = answer(made, want)
    assert found.placed is not None
    ((low, high),) = [(one.low_in, one.high_in) for one in room.bands]
    assert low - 1e-6 <= found.placed.height_in <= high + 1e-6
    assert high == pytest.approx(HIGHEST_IN, abs=1e-3)
    # the rest of its room is told too
    assert OUT_OF_ORDER in [one.head for one in told]


def test_where_nothing_would_change_its_order_nothing_is_said_of_it() -> None:
    alone = job(
        MAIN,
        Span("north", "North", 0.0, 1800.0, sag_in=0.0),
        *pole(45),
        arm("line", 30.0, hold="drop"),
        *pinned("line", "main", "north", {"A": -54.0, "C": 54.0}),
    )
    room = bands(alone, HOUSE, "line")
    assert kept_order(alone, HOUSE, room) == ()
    assert OUT_OF_ORDER not in [one.head for one in room_lines(alone)]
    assert done(solve_work(alone, HOUSE, "line")).elsewhere == ()


def test_room_in_which_the_whole_pole_is_short_wherever_it_is_tried_is_said_to_be_that() -> None:
    sample = Path(__file__).parents[3] / "sample_jobs" / "corner" / "alder-lane.framer"
    opened = Session.open(sample)
    # under this lid the buck arm is so near to another circuit that there is no room to climb
    lid = LimitLine("lid", "Lid", height_in=410.0, tilt_deg=90.0, binds="wires")
    made = replace(opened.job, limits=(*opened.job.limits, lid))
    found, told = done(top_work(made, opened.books(), "buck-arm", "highest"))
    assert ordered(made, opened.books(), found.room).bands
    assert found.placed is None
    assert found.lack is None
    assert {one.rule.measure for one in found.makes} == {"climbing space"}
    said = with_head(told, "there is room for its gaps, but every place tried in it makes")
    assert said.more[0].startswith("Climbing space past supply")
