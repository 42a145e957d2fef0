"""What lifts, temporary arms and old arms carry while wires are out of place. Places invented.

Numbers are worked by hand beside each case from w (S1 + S2) / 2, T h (1/S1 + 1/S2) and the length
of the way, and agree with the exact catenary in tests/published/test_guys_and_handling.py.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from framer.checks.explain import explained, one_line
from framer.checks.finding import Finding
from framer.geometry.placing import place
from framer.model.item import Item, Rating
from framer.model.job import Job
from framer.model.place import OnItem
from framer.model.step import Step
from framer.transfer.loads import (
    Pulling,
    arm_turns,
    broken_by,
    load,
    load_findings,
    neighbour_findings,
    old_arm_findings,
)
from framer.transfer.supports import support_findings
from tests.situations.in_hand import arm_and_pins, held, lift, two_wires
from tests.situations.transfer import said

WEIGHT = 0.463 / 12.0
NORTH, SOUTH = 1800.0, 1560.0


def pulling(
    up_in: float, east_in: float, tied: tuple[float, float] = (1200.0, 1200.0)
) -> list[Pulling]:
    """Both wires of a conductor held `up_in` above and `east_in` beside its neighbours' line."""
    return [
        Pulling(-east_in, NORTH, -up_in, WEIGHT, 1200.0, tied[0]),
        Pulling(-east_in, -SOUTH, -up_in, WEIGHT, 1200.0, tied[1]),
    ]


def lifted(tie: str = "loose", rating: Rating | None = None, **more: Any) -> Job:
    """One phase with 24 lb of cover held 2.5 ft above its neighbours' line."""
    cover = Item(
        "hose", "cover", (OnItem(when="temporary", host="A-north"),), name="hose", weight_lb=24.0
    )
    return held(
        *two_wires("A", "lift", far_tie=tie),
        lift("lift", -54.0, 30.0, rating=rating),
        cover,
        along={"A": -54.0},
        moves=("lift", "A-north", "A-south", "hose"),
        **more,
    )


def of(made: Job, start: str) -> Finding:
    """The one finding about loads whose rule starts so."""
    found = [one for one in said(made, load_findings) if one.rule.id.startswith(f"step.{start}")]
    assert len(found) == 1, [one.rule.id for one in said(made, load_findings)]
    return found[0]


# A26: a lift carries more than the weight


def test_a26_the_lift_is_as_large_as_the_weight_and_breaks_the_rating() -> None:
    # 140 ft x 0.463 = 64.8; + 24 of cover 88.8; + 1,200 (2.5/150 + 2.5/130) = 43.1: 131.9 lb
    found = load(pulling(30.0, 0.0), 24.0)
    assert [round(term.lbf, 1) for term in found.terms] == [64.8, 24.0, 43.1]
    assert found.up_lbf == pytest.approx(131.9, abs=0.05)
    assert broken_by(found.terms, 125.0) == "lift above its neighbours' line"
    assert broken_by(found.terms[:1], 125.0) == broken_by(found.terms[:2], 125.0) == ""
    assert broken_by(found.terms, 80.0) == "covers"
    assert broken_by(found.terms, 60.0) == "weight span"


def test_a26_in_a_job_the_position_is_short_by_6_9_lb() -> None:
    made = lifted(rating=Rating(up_lbf=125.0))
    finding = of(made, "load-up")
    assert finding.verdict == "short"
    # the stock wire weighs 0.4627 lb/ft, 0.04 lb less on 140 ft
    assert finding.gap == pytest.approx(131.86, abs=0.02)
    assert -(finding.spare or 0.0) == pytest.approx(6.86, abs=0.02)
    line = one_line(made, finding)
    assert "131.9 lbf, at most 125.0 lbf, short 6.9 lbf" in line
    assert "it is the lift above its neighbours' line that goes over" in line
    said_of_it = "\n".join(explained(made, finding))
    for term in ("weight span: 64.8", "covers: 24.0", "lift above its neighbours' line: 43.1"):
        assert term in said_of_it


def test_a26_tied_neighbours_raise_the_tension_and_the_load() -> None:
    # tied: about 1,570 lb, about 145 lb; one tension of the wire that runs through
    made = lifted(tie="tied", rating=Rating(up_lbf=125.0))
    finding = of(made, "load-up")
    assert finding.gap == pytest.approx(145.0, abs=0.5)
    assert "tension raised by tied neighbours" in "\n".join(explained(made, finding))
    assert of(lifted(tie="tied", rating=Rating(up_lbf=150.0)), "load-up").verdict == "meets"


def test_a26_a_tie_nobody_spoke_of_counts_as_the_worse_and_is_no_pass() -> None:
    untold = of(lifted(tie="", rating=Rating(up_lbf=150.0)), "load-up")
    assert untold.gap == pytest.approx(145.0, abs=0.5)
    assert untold.verdict == "tight"
    assert "not said whether it is tied" in untold.assumed
    assert of(lifted(tie="", rating=Rating(up_lbf=140.0)), "load-up").verdict == "short"


def test_a26_without_the_rating_nothing_can_be_said() -> None:
    for rating in (None, Rating(side_lbf=200.0)):
        found = said(lifted(rating=rating), load_findings)
        assert [one.verdict for one in found] == ["cannot say"]
        assert "rating of lift" in found[0].missing


@pytest.mark.parametrize(
    ("change", "missing"),
    [
        ({"tension_lbf": None}, "tension of A of Main"),
        ({"part": None}, "wire size of A of Main"),
        ({"far_height_in": None}, "far height of A of Main"),
    ],
)
def test_a26_every_fact_that_is_dropped_is_named(change: dict[str, Any], missing: str) -> None:
    made = held(
        *two_wires("A", "lift", **change),
        lift("lift", -54.0, 30.0, rating=Rating(up_lbf=125.0)),
        along={"A": -54.0},
        moves=("lift", "A-north", "A-south"),
    )
    found = said(made, load_findings)
    assert [one.verdict for one in found] == ["cannot say"]
    assert missing in found[0].missing


def test_a26_a_cover_of_unknown_weight_is_named() -> None:
    cover = Item("hose", "cover", (OnItem(when="temporary", host="A-north"),), name="orange hose")
    made = held(
        *two_wires("A", "lift"),
        lift("lift", -54.0, 30.0, rating=Rating(up_lbf=125.0)),
        cover,
        along={"A": -54.0},
        moves=("lift", "A-north", "A-south", "hose"),
    )
    (found,) = said(made, load_findings)
    assert (found.verdict, found.missing) == ("cannot say", "weight of orange hose not known")


def test_a26_a_wire_held_low_pulls_up_which_no_rating_for_weight_covers() -> None:
    # 64.8 - 1,200 (5/150 + 5/130) = 64.8 - 86.2 = 21.4 lb upward
    made = held(
        *two_wires("A", "lift"),
        lift("lift", -54.0, -60.0, rating=Rating(up_lbf=125.0)),
        along={"A": -54.0},
        moves=("lift", "A-north", "A-south"),
    )
    (found,) = said(made, load_findings)
    assert found.verdict == "cannot say"
    assert "pulls lift up with 21.4 lbf" in found.missing


# A27: side pull


def test_a27_holding_a_wire_3_ft_off_line_pulls_sideways() -> None:
    # 1,200 (3/150 + 3/130) = 51.7 lb
    found = load(pulling(0.0, 36.0))
    assert found.side_lbf == pytest.approx(51.7, abs=0.05)
    assert found.along_lbf < 0.5
    assert found.up_lbf == pytest.approx(64.8, abs=0.05)


@pytest.mark.parametrize(
    ("tie", "rating", "lbf", "verdict"),
    [
        ("loose", 60.0, 51.7, "meets"),
        ("loose", 50.0, 51.7, "short"),
        ("tied", 77.0, 76.0, "meets"),
        ("tied", 76.0, 76.0, "short"),
    ],
)
def test_a27_in_a_job(tie: str, rating: float, lbf: float, verdict: str) -> None:
    # neighbours tied: T about 1,770 (1,765 by the linear equation), 76 lb
    made = held(
        *two_wires("A", "lift", far_tie=tie),
        lift("lift", -90.0, 0.0, rating=Rating(up_lbf=125.0, side_lbf=rating)),
        along={"A": -54.0},
        moves=("lift", "A-north", "A-south"),
    )
    finding = of(made, "load-side")
    assert finding.gap == pytest.approx(lbf, abs=0.5)
    assert finding.verdict == verdict
    assert of(made, "load-up").verdict == "meets"


def test_a27_the_tension_of_tied_neighbours_comes_to_1770() -> None:
    made = held(
        *two_wires("A", "lift", far_tie="tied"),
        lift("lift", -90.0, 0.0, rating=Rating(up_lbf=125.0)),
        along={"A": -54.0},
        moves=("lift", "A-north", "A-south"),
    )
    unrated = {one.missing for one in said(made, load_findings) if one.verdict == "cannot say"}
    assert {words.split(" (")[0] for words in unrated} == {"rating of lift for pull to the side"}
    drawn = said(made, neighbour_findings)
    # +570 lb or so in each span over the 1,200 found
    changes = [float(one.missing.split("(")[1].split(" lbf")[0]) for one in drawn]
    assert sum(changes) / len(changes) == pytest.approx(570.0, abs=6.0)


def test_a27_a_dead_ended_wire_pulls_along_with_all_its_tension() -> None:
    # one span of a wire in a hoist: 1,200 lb along; a turn of 20 degrees: 2 T sin 10 to the side
    one = load([Pulling(0.0, 1800.0, 0.0, WEIGHT, 1200.0, 1200.0)])
    assert (one.along_lbf, one.side_lbf) == (pytest.approx(1200.0), pytest.approx(0.0, abs=1e-6))
    east, north = 1800.0 * math.sin(math.radians(20.0)), -1800.0 * math.cos(math.radians(20.0))
    turn = load(
        [
            Pulling(0.0, 1800.0, 0.0, WEIGHT, 1200.0, 1200.0),
            Pulling(east, north, 0.0, WEIGHT, 1200.0, 1200.0),
        ]
    )
    assert turn.side_lbf == pytest.approx(416.8, abs=0.05)
    assert turn.along_lbf == pytest.approx(0.0, abs=1e-6)


def test_a27_a_hoist_without_a_rating_for_its_direction_cannot_be_said() -> None:
    places = (OnItem(when="found", host="pin-A"), OnItem(when="temporary", host="hoist"))
    (north, _) = two_wires("A", "hoist")
    made = held(
        north,
        lift("hoist", -54.0, 0.0, rating=Rating(up_lbf=300.0, along_lbf=1100.0)),
        along={"A": -54.0},
        moves=("hoist", "A-north"),
    )
    assert made.wire_by_id["A-north"].places == places
    along = of(made, "load-along")
    assert (along.verdict, along.gap) == ("short", pytest.approx(1200.0, abs=0.1))


# A12: a pole off the line makes an angle


def test_a12_a_wire_put_3_ft_off_line_pulls_72_lb() -> None:
    # 2 atan(3/150) = 2.29 degrees; 2 x 1,800 sin 1.146 = 72 lb each, 216 lb for three
    wires = [Pulling(-36.0, north, 0.0, WEIGHT, 1800.0, 1800.0) for north in (1800.0, -1800.0)]
    assert load(wires).side_lbf == pytest.approx(72.0, abs=0.05)
    assert 3 * load(wires).side_lbf == pytest.approx(216.0, abs=0.2)


# A28: one support for each loose wire


def spread(third: Item | None, *, on: str = "lift-C") -> Job:
    """Three phases spread, two of them in rated positions."""
    rated = Rating(up_lbf=200.0, side_lbf=200.0)
    records = [
        *two_wires("A", "lift-A"),
        *two_wires("B", "lift-B"),
        *two_wires("C", on),
        lift("lift-A", -90.0, 0.0, rating=rated),
        lift("lift-B", 60.0, 0.0, rating=rated),
    ]
    wires = [f"{phase}-{span}" for phase in "ABC" for span in ("north", "south")]
    lifts = ["lift-A", "lift-B", *([third.id] if third else [])]
    return held(
        *records,
        *([third] if third else []),
        along={"A": -54.0, "B": -18.0, "C": 54.0},
        moves=(*lifts, *wires),
    )


def lacking(made: Job) -> list[str]:
    found = said(made, support_findings)
    assert {one.verdict for one in found} <= {"short", "meets"}
    return [one.where for one in found if one.verdict == "short"]


def test_a28_two_rated_positions_for_three_wires_are_one_too_few() -> None:
    (words,) = lacking(spread(None, on="lift-B"))
    assert words.startswith("C phase of Main has no support of its own")
    assert "lift-B holds B of Main" in words


@pytest.mark.parametrize("part", ["handline", "by-hand"])
def test_a28_hands_do_not_count_unless_marked(part: str) -> None:
    (words,) = lacking(spread(lift("lift-C", 90.0, 0.0, part=part, name="Handline")))
    assert words.startswith("C phase of Main has no support of its own: Handline does not count")
    marked = lift("lift-C", 90.0, 0.0, part=part, rating=Rating(up_lbf=150.0))
    assert lacking(spread(marked)) == []


def test_a28_a_position_each_is_enough() -> None:
    made = spread(lift("lift-C", 90.0, 0.0, rating=Rating(up_lbf=200.0, side_lbf=200.0)))
    assert lacking(made) == []
    assert len(said(made, support_findings)) == 3
    assert {one.verdict for one in said(made, load_findings)} == {"meets"}


def test_a28_a_support_that_is_not_there_yet_holds_nothing() -> None:
    made = spread(None, on="lift-B")
    late = lift("lift-C", 90.0, 0.0, rating=Rating(up_lbf=200.0))
    wires = [f"{phase}-{span}" for phase in "ABC" for span in ("north", "south")]
    absent = held(
        *[one for one in made.items if one.id.startswith("lift")],
        *two_wires("A", "lift-A"),
        *two_wires("B", "lift-B"),
        *two_wires("C", "lift-C"),
        late,
        along={"A": -54.0, "B": -18.0, "C": 54.0},
        moves=("lift-A", "lift-B", *wires),
    )
    (words,) = lacking(absent)
    assert words == "C phase of Main has no support of its own: lift-C is not there"


# A29: the order turns the arm


PINS_FT = {"W": -4.5, "C": -1.5, "E": 4.5}


def one_by_one(order: str, condition: str = "sound") -> Job:
    """A job that takes the wires off the old arm in this order, onto a lift each."""
    phases = {"W": "A", "C": "B", "E": "C"}
    rated = Rating(up_lbf=200.0, side_lbf=200.0)
    along = {phases[wire]: 12.0 * at for wire, at in PINS_FT.items()}
    lifts = [lift(f"lift-{phase}", at, 0.0, rating=rated) for phase, at in along.items()]
    wires = [record for phase in along for record in two_wires(phase, f"lift-{phase}")]
    steps = [
        Step(f"off-{wire}", f"Off {wire}", moves=(f"{phases[wire]}-north", f"{phases[wire]}-south"))
        for wire in order
    ]
    return held(
        *wires,
        *lifts,
        along=along,
        moves=[one.id for one in lifts],
        arm={"condition": condition},
        more_steps=steps,
    )


@pytest.mark.parametrize(("order", "worst"), [("WEC", 194.0), ("WCE", 292.0)])
def test_a29_in_a_job_the_old_arm_is_turned_so_far(order: str, worst: float) -> None:
    made = one_by_one(order)
    scenes = [place(made, "found"), *(place(made, number) for number in range(1, 5))]
    turns = [turn for scene in scenes for turn in arm_turns(scene) if turn.arm == "old-arm"]
    assert not any(turn.missing for turn in turns)
    moments = [turn.moment_lbf_in for turn in turns]
    # 64.8 lb a wire: -97.2, then W, E, C: 194.4, -97.2, 0 and W, C, E: 194.4, 291.6, 0. The stock
    # wire weighs 0.4627 lb/ft against 0.463
    assert max(map(abs, moments)) / 12.0 == pytest.approx(worst, abs=0.7)
    assert moments[0] / 12.0 == pytest.approx(-97.2, abs=0.2)


@pytest.mark.parametrize(
    ("condition", "verdict"), [("", "cannot say"), ("poor", "short"), ("sound", "meets")]
)
def test_a29_an_old_arm_nobody_looked_at_is_no_pass(condition: str, verdict: str) -> None:
    (found,) = said(one_by_one("WCE", condition), old_arm_findings, 3)
    assert found.verdict == verdict
    # W and C are off: E alone turns it by 64.8 x 4.5 = 291.6 lb ft
    assert "turned by 292 lbf ft" in f"{found.where}{found.missing}" or "291 lbf ft" in found.where


def test_a_neighbouring_pole_that_is_pulled_otherwise_is_asked_for() -> None:
    made = lifted(tie="tied", rating=Rating(up_lbf=150.0))
    found = said(made, neighbour_findings)
    assert {one.verdict for one in found} == {"cannot say"}
    assert any(one.missing.startswith("pole 1, its arms and ties not looked at") for one in found)
    seen = replace(made, spans=tuple(replace(one, far_condition="sound") for one in made.spans))
    assert {one.verdict for one in said(seen, neighbour_findings)} == {"meets"}


def test_arm_of_the_builder_holds_its_wires_30_ft_up() -> None:
    # the other numbers here rest on it
    made = held(*two_wires("A"), along={"A": -54.0}, moves=())
    at = place(made, "found").part_by_key["A-north"].shape
    assert at is not None
    assert at.p == pytest.approx((-54.0, 6.375, 360.0))
    assert len(arm_and_pins({"A": 0.0, "B": 1.0})) == 3


def test_a_wire_of_unknown_stretch_counts_as_one_that_does_not_stretch() -> None:
    # 0.6 lb/ft at 1,200 lb: 0.69 in of slack in both spans. 2 in up takes 0.0024 in of it,
    # 120 in up would take 8.6 in: such a wire does not reach
    def held_up(up_in: float) -> Finding:
        made = held(
            *two_wires("A", "lift", far_tie="tied", part="comm-cable-1in"),
            lift("lift", -54.0, up_in, rating=Rating(up_lbf=500.0)),
            along={"A": -54.0},
            moves=("lift", "A-north", "A-south"),
        )
        return said(made, load_findings)[0]

    near = held_up(2.0)
    assert near.verdict == "tight"
    assert "taken not to stretch" in near.assumed
    assert held_up(120.0).verdict == "cannot say"
