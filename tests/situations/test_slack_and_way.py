"""Spans that become longer, tails that must reach, and what a wire passes on its way. Invented."""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from framer.geometry.placing import place
from framer.model.item import Item, Rating
from framer.model.job import Job
from framer.model.line import NearbyWire, Wire
from framer.model.place import OnItem, OnPole
from framer.model.reading import Reading
from framer.model.step import LimitBetween, Step
from framer.transfer.slack import change, changes, slack_findings
from framer.transfer.way import way_findings
from tests.situations.in_hand import LINNET, MAIN, NORTH_IN, held, lift, two_wires
from tests.situations.transfer import said, with_steps


def put_down(
    north_in: float,
    *,
    east_in: float = 0.0,
    spans: tuple[str, ...] = ("north", "south"),
    **wire: Any,
) -> Job:
    """Wires of a phase go for good to a seat so far along the line and across it from their pin."""
    away = math.hypot(NORTH_IN + north_in, east_in)
    azimuth = math.degrees(math.atan2(east_in, NORTH_IN + north_in)) % 360.0
    seat = Item(
        "seat", "bracket",
        (
            OnPole(
                when="after", host="pole", at_in=360.0, out_in=away - 5.0, azimuth_deg=azimuth
            ),
        ),
        name="seat",
    )  # fmt: skip
    rest = (OnItem(when="found", host="pin-A"), OnItem(when="after", host="seat"))
    runs = [
        replace(run, places=rest)
        for run in two_wires("A", **wire)
        if isinstance(run, Wire) and run.span in spans
    ]
    return held(seat, *runs, along={"A": 0.0}, moves=("seat", *(run.id for run in runs)))


# spans that change


def test_a_wire_that_runs_through_gives_to_one_span_what_the_other_loses() -> None:
    # 36 in north: the north span of 1,800 in becomes 1,764, the south one 1,596; nothing is drawn
    made = put_down(36.0)
    (one,) = changes(place(made, 1))
    assert one.longer_in == (pytest.approx(-36.0, abs=0.001), pytest.approx(36.0, abs=0.001))
    assert one.drawn_lbf == pytest.approx(1200.0, abs=0.1)
    assert said(made, slack_findings) == []


def test_a_wire_put_down_3_ft_off_line_is_drawn_in_both_spans() -> None:
    # sqrt(1800^2 + 36^2) - 1800 = 0.360 in and 0.415 in, together 0.775 in: about 1,770 lb
    (one,) = changes(place(put_down(0.0, east_in=36.0), 1))
    assert one.longer_in == (pytest.approx(0.360, abs=0.001), pytest.approx(0.415, abs=0.001))
    assert one.drawn_lbf == pytest.approx(1770.0, abs=6.0)
    # slack w^2 S^3 / 24 T^2 of 150 and 130 ft
    by_hand = 12.0 * 0.4627**2 * (150.0**3 + 130.0**3) / (24.0 * 1200.0**2)
    assert one.slack_in == pytest.approx(by_hand, rel=1e-6)
    (found,) = said(put_down(0.0, east_in=36.0), slack_findings)
    assert found.verdict == "tight"
    assert "its way is 13/16 in longer" in found.where
    assert "let wire out or piece it" in found.assumed


@pytest.mark.parametrize(
    ("north_in", "verdict", "words"),
    [
        (0.0, set(), ""),
        (0.15, {"meets"}, "3/16 in longer"),
        (3.0, {"tight"}, "let wire out or piece it"),
        (-36.0, {"tight"}, "take wire up"),
        (36.0, {"short"}, "3 ft longer"),
    ],
)
def test_a_dead_ended_wire_says_how_much_and_what_to_do(
    north_in: float, verdict: set[str], words: str
) -> None:
    # the south wire alone: 36 in of 130 ft stretches it by 2.3 %, far beyond its 14,100 lb
    found = said(put_down(north_in, spans=("south",)), slack_findings)
    assert {one.verdict for one in found} == verdict
    if words:
        assert any(words.replace("3 ft", "36 in") in f"{one.where} {one.assumed}" for one in found)


def test_the_tension_after_is_that_of_the_longer_way() -> None:
    # 3 in on 130 ft: T - 1200 = EA (3 in less the slack lost) / 1560, about 7,470 lb
    south = change(place(put_down(3.0, spans=("south",)), 1), ("A-south",))
    assert south.drawn_lbf is not None
    lost = south.slack_in * (1.0 - (1200.0 / south.drawn_lbf) ** 2)
    stretch = 11.2e6 * 0.3072 * (3.0 - lost) / 1560.0
    assert south.drawn_lbf == pytest.approx(1200.0 + stretch, rel=1e-4)


def test_a_wire_of_unknown_tension_is_named() -> None:
    (found,) = said(put_down(0.0, east_in=36.0, tension_lbf=None), slack_findings)
    assert found.verdict == "cannot say"
    assert "tension of A of Main" in found.missing


def test_a_splice_near_the_pole_is_told_when_its_wire_is_moved() -> None:
    made = put_down(0.0, note="splice 4 ft north of the pin")
    found = [one for one in said(made, slack_findings) if "splice" in one.rule.id]
    assert [one.verdict for one in found] == ["tight", "tight"]
    assert "splice 4 ft north of the pin" in found[0].where


# tails


@pytest.mark.parametrize(
    ("slack_in", "verdict"), [(None, "cannot say"), (20.0, "short"), (24.0, "meets")]
)
def test_a_riser_that_is_moved_must_reach(slack_in: float | None, verdict: str) -> None:
    # moved 24 in up the pole
    riser = Item(
        "riser", "riser",
        (
            OnPole(when="found", host="pole", at_in=24.0, to_in=240.0, azimuth_deg=90.0),
            OnPole(when="after", host="pole", at_in=48.0, to_in=264.0, azimuth_deg=90.0),
        ),
        "riser-4in", name="Riser", slack_in=slack_in,
    )  # fmt: skip
    made = held(riser, *two_wires("A"), along={"A": -54.0}, moves=("riser",))
    (found,) = said(made, slack_findings)
    assert found.verdict == verdict
    if slack_in is None:
        assert found.missing.endswith("not known; it moves 24 in")
    else:
        assert found.need == pytest.approx(24.0)


# the way of a wire


KEEP = LimitBetween("apart", "phase", "phase", 24.0)


def across(*limits: LimitBetween, up_in: float = 0.0, moves: str = "A") -> Job:
    """Phase A goes from -54 in to 90 in east, past B at 18 in, as high or higher."""
    rated = Rating(up_lbf=200.0, side_lbf=200.0)
    made = held(
        *two_wires("A", "over"),
        *two_wires("B"),
        lift("over", 90.0, up_in, rating=rated),
        along={"A": -54.0, "B": 18.0},
        moves=("over", f"{moves}-north", f"{moves}-south"),
    )
    return replace(made, limits_between=limits)


def test_a_wire_taken_straight_through_another_is_short() -> None:
    found = said(across(KEEP), way_findings)
    assert {one.verdict for one in found} == {"short"}
    assert "the straight way goes through B of Main" in found[0].where
    # both its places are well clear of B: only the way is not
    ends = (place(across(), stage).part_by_key["A-north"].shape for stage in ("found", 1))
    for at in ends:  # type: ignore[assignment]
        assert at is not None
        assert abs(at.p[0] - 18.0) > 70.0


@pytest.mark.parametrize(("up_in", "verdict"), [(144.0, "meets"), (40.0, "short")])
def test_a_wire_taken_over_another_keeps_the_typed_distance(up_in: float, verdict: str) -> None:
    # it rises evenly over 144 in, so it is up_in / 2 above B where it crosses B
    found = said(across(KEEP, up_in=up_in), way_findings)
    assert {one.verdict for one in found} == {verdict}
    rise = up_in * 72.0 / 144.0
    slant = rise * 144.0 / math.hypot(144.0, up_in)
    assert found[0].gap == pytest.approx(slant - 0.72, abs=2.0)
    assert found[0].tolerance_in >= math.hypot(144.0, up_in) / 32.0


def test_without_a_typed_limit_only_the_ends_are_checked() -> None:
    found = said(across(up_in=144.0), way_findings)
    assert {one.verdict for one in found} == {"cannot say"}
    assert found[0].missing.startswith("ends only: the way between the two places is not checked")
    assert "no limit between steps is typed" in found[0].missing


def test_a_wire_that_is_nowhere_known_is_checked_at_its_ends_only() -> None:
    made = across(KEEP)
    lost = tuple(replace(one, places=(one.places[0],)) for one in made.wires)
    still = with_steps(replace(made, wires=lost), Step("none", "Nothing", moves=()))
    assert said(still, way_findings) == []


def test_a_wire_of_another_line_counts_on_the_way() -> None:
    near = NearbyWire("over-line", "Ridge wire", "main", 18.0, 0.0, 90.0, part=LINNET)
    made = across(LimitBetween("near", "phase", "nearby wire", 48.0), up_in=144.0)
    beside = replace(
        made, nearby=(near,), readings=(*made.readings, Reading("over-line", "height", 500.0))
    )
    found = said(beside, way_findings)
    assert {one.verdict for one in found} == {"short"}
    assert {one.b.owner for one in found if one.b is not None} == {"over-line"}
    assert MAIN.id == near.circuit
