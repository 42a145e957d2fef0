"""Room along the pole: where bands end and by what, what moves along, what is not known."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.answers.bands import Bands, all_bands, bands, movable, moved_to
from framer.answers.order import ordered
from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.checks.waivers import waive
from framer.edits.links import set_link
from framer.errors import EditError
from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, LimitLine, NearbyWire, Span
from framer.model.link import Link
from framer.model.place import OnPole, Standing
from framer.model.reading import Reading
from tests.build import Record, arm, job, on_arm, pinned, pole, seat, wire

HOUSE = (rulebook("house"),)
MAIN = Circuit("main", "Main", kv=12.47, grounded_wye=True)
PHONE = Circuit("phone", "Phone", kind="communications")
OTHER = Circuit("other", "Other", kv=12.47, grounded_wye=True, owner="Birch")
NORTH = Span("north", "N", 0.0, 1800.0, sag_in=0.0)
TOP_IN = 462.0  # of a 45-ft pole set 6.5 ft


def line_arm(*more: Record, at_in: float = 420.0) -> Job:
    return job(
        MAIN,
        PHONE,
        OTHER,
        NORTH,
        *pole(45),
        arm("line", at_in),
        *pinned("line", "main", "north", {"A": -54.0, "B": 54.0}),
        *more,
    )


def ends(room: Bands) -> list[tuple[float, float]]:
    return [
        (pytest.approx(one.low_in, abs=1e-3), pytest.approx(one.high_in, abs=1e-3))
        for one in room.bands
    ]


def rules(room: Bands, number: int, end: str) -> set[str]:
    return {one.rule.id for one in getattr(room.bands[number], end) if one.rule is not None}


def test_an_arm_alone_has_the_whole_pole_but_the_top_margin() -> None:
    room = bands(line_arm(), HOUSE, "line")
    (band,) = room.bands
    # 12 in from the bolt to the top
    assert (band.low_in, band.high_in) == (0.0, pytest.approx(TOP_IN - 12.0, abs=1e-3))
    assert rules(room, 0, "above") == {"house.top-margin"}
    assert [one.words for one in band.below] == ["the ground at pole"]
    assert room.drop_in(band.high_in) == pytest.approx(12.0, abs=1e-3)


def test_communications_below_bound_it_from_both_sides() -> None:
    # cable at 252, supply 40 in off, wires 13 in over the bolt: the bolt from 252 + 40 - 13 = 279
    # up, or to 252 - 40 - 13 = 199 down
    made = line_arm(
        seat("low", 252.0, out_in=2.0), wire("p", "phone", "north", "low", phase="cable")
    )
    room = bands(made, HOUSE, "line")
    assert ends(room) == [(0.0, 199.0), (279.0, TOP_IN - 12.0)]
    assert rules(room, 0, "above") == {"house.supply-to-communications"}
    assert rules(room, 1, "below") == {"house.supply-to-communications"}
    # and the answer to how far from the top stays above them
    assert ends(ordered(made, HOUSE, room)) == [(279.0, TOP_IN - 12.0)]


def test_a_room_of_one_height_is_a_room() -> None:
    # a wire across at 432 + 42 + 13 + 0: cable at 252 and the crossing wire leave just one height:
    # bolt at 279 from below; wires 42 in under a wire at 279 + 13 + 42 = 334
    made = line_arm(
        seat("low", 252.0, out_in=2.0),
        wire("p", "phone", "north", "low", phase="cable"),
        NearbyWire("near", "Other", "other", 0.0, 100.0, 90.0),
        Reading("near", "height", 334.0),
    )
    room = bands(made, HOUSE, "line")
    assert (279.0, 279.0) in ends(room)


def test_the_real_check_agrees_at_and_beyond_every_end() -> None:
    made = line_arm(
        seat("low", 252.0, out_in=2.0),
        wire("p", "phone", "north", "low", phase="cable"),
        NearbyWire("near", "Other", "other", -70.0, 0.0, 10.0),
        Reading("near", "height", 400.0),
    )
    room = bands(made, HOUSE, "line")
    assert len(room.bands) > 1
    for band in room.bands:
        for height, beyond in ((band.low_in, -1 / 16), (band.high_in, 1 / 16)):
            assert not _short(made, height)
            if room.low_in < height + beyond < room.high_in:
                assert _short(made, height + beyond)


def _short(made: Job, height_in: float, key: str = "line") -> bool:
    found = check(place(moved_to(made, key, height_in), "framed"), HOUSE)
    return found[0].verdict == "short"


def test_linked_items_bound_the_room_too() -> None:
    # neutral 60 in under the arm: 40 in over the cable at 252 is 292, so the bolt from 352
    made = line_arm(
        seat("low", 252.0, out_in=2.0),
        wire("p", "phone", "north", "low", phase="cable"),
        seat("mid", 330.0, out_in=2.0),
        wire("n", "main", "north", "mid", phase="N"),
    )
    made = set_link(made, "mid", "line", 60.0)
    room = bands(made, HOUSE, "line")
    assert room.group == {"line": 0.0, "mid": -60.0}
    assert room.low_in == pytest.approx(60.0)
    assert (352.0, TOP_IN - 12.0) in ends(room)
    # asked of the follower, the same room 60 in lower
    assert (292.0, TOP_IN - 72.0) in ends(bands(made, HOUSE, "mid"))


def test_a_link_that_does_not_hold_yet_is_told() -> None:
    made = line_arm(seat("mid", 330.0), wire("n", "main", "north", "mid", phase="N"))
    made = replace(made, links=(Link("mid", "line", 60.0),))
    assert "not where its link says" in bands(made, HOUSE, "line").notes[0]


def test_what_is_short_at_any_height_is_told_apart() -> None:
    # a 25 kV insulator on a 34.5 kV circuit: 9.5 kV short wherever it is
    high = Circuit("high", "High", kv=34.5, grounded_wye=True)
    made = job(
        high, NORTH, *pole(45), arm("line", 420.0), *pinned("line", "high", "north", {"A": 0.0})
    )
    room = bands(made, HOUSE, "line")
    ((bound, by),) = room.anyway
    assert bound.rule is not None
    assert bound.rule.id == "house.insulator-class"
    assert by == pytest.approx(9.5)
    assert len(room.bands) == 1


def test_what_cannot_be_said_is_named_and_counted_and_not_passed() -> None:
    made = line_arm(
        NearbyWire("near", "Ridge", "other", 0.0, 100.0, 90.0),
        NearbyWire("far", "Lake", "other", 0.0, 300.0, 90.0),
        Reading("far", "height", 600.0),
    )
    room = bands(made, HOUSE, "line")
    unsaid = dict(room.unsaid)
    # both wires and the arm against the wire of unknown height
    assert unsaid == {"height of Ridge not known": 3}


def test_a_limit_line_bounds_what_it_binds() -> None:
    # a ceiling at 440 that wires stay 6 in under, by their middle less 3/4 in: 433.25 - 13
    made = line_arm(
        LimitLine("c", "Eaves", height_in=440.0, tilt_deg=90.0, keep_in=6.0, binds="wires")
    )
    room = bands(made, HOUSE, "line")
    assert ends(room) == [(0.0, 440.0 - 6.0 - 0.75 - 13.0)]
    assert "Eaves" in room.bands[0].above[0].words


def test_a_gap_that_somebody_answers_for_may_be_as_it_was() -> None:
    made = line_arm(at_in=455.0)
    finding = check(place(made, "framed"), HOUSE)[0]
    assert (finding.rule.id, finding.verdict) == ("house.top-margin", "short")
    answered = waive(made, finding, reason="old top", by="A. Planner", date="2026-01-01")
    # 7 in from the top then, and no less
    assert ends(bands(answered, HOUSE, "line")) == [(0.0, 455.0)]


def test_a_taper_that_changes_is_followed() -> None:
    # girth 60 in at the ground, 30 at 240 in and at the top: a bracket 2 in off the pole's face
    # and a wire 25 in east of its middle; straight in plan they are apart by the pole's thickness
    made = job(
        MAIN,
        OTHER,
        NORTH,
        Item("pole", "pole", (Standing(when="after", depth_in=78.0),), pole=PoleFacts(540.0)),
        Reading("pole", "girth", 60.0, at_in=0.0),
        Reading("pole", "girth", 30.0, at_in=240.0),
        Reading("pole", "girth", 30.0, at_in=462.0),
        seat("mid", 300.0, out_in=2.0),
        wire("n", "main", "north", "mid", phase="N"),
        NearbyWire("near", "Other", "other", 52.0, 0.0, 0.0),
        Reading("near", "height", 100.0),
    )
    room = bands(made, HOUSE, "mid")
    for band in room.bands:
        for height, beyond in ((band.low_in, -1 / 16), (band.high_in, 1 / 16)):
            assert not _short(made, height, "mid")
            if 0.0 < height + beyond < TOP_IN:
                assert _short(made, height + beyond, "mid")


def test_everything_that_is_fixed_to_a_pole_has_a_room() -> None:
    made = line_arm(seat("low", 252.0))
    assert set(all_bands(made, HOUSE)) == {"line", "low"}
    assert movable(made, "line")
    assert not movable(made, "line-A-pin")


@pytest.mark.parametrize(
    ("made", "key", "words"),
    [
        (line_arm(), "line-A-pin", "not fixed to a pole"),
        (line_arm(), "nothing", "there is no item"),
        (line_arm(), "pole", "not fixed to a pole"),
        (
            job(
                MAIN,
                Item("pole", "pole", (Standing(when="after"),), pole=PoleFacts()),
                arm("line", 300.0),
            ),
            "line",
            "give its length and depth",
        ),
        (
            job(
                MAIN,
                Item(
                    "pole",
                    "pole",
                    (Standing(when="found", depth_in=78.0),),
                    pole=PoleFacts(540.0),
                ),
                Item("line", "arm", (OnPole(when="found", host="pole"),), part="arm-10ft-4pin"),
            ),
            "line",
            "say first what becomes of line",
        ),
    ],
)
def test_what_is_missing_is_said_with_the_thing_to_put_right(
    made: Job, key: str, words: str
) -> None:
    with pytest.raises(EditError, match=words):
        bands(made, HOUSE, key)


def test_a_buck_arm_keeps_its_spacing_on_both_sides_of_the_line_arm() -> None:
    made = job(
        MAIN,
        NORTH,
        Span("west", "W", 270.0, 1800.0, sag_in=0.0),
        *pole(45),
        arm("line", 400.0),
        arm("buck", 340.0, faces_deg=270.0),
        on_arm("end", "buck", 54.0, part="deadend-25kv"),
        wire("b", "main", "west", "end"),
    )
    room = bands(made, HOUSE, "buck")
    assert (0.0, 352.0) in ends(room)
    assert rules(room, -1, "below") == {"house.line-to-buck-arm"}
    assert room.bands[-1].low_in == pytest.approx(448.0, abs=1e-3)
