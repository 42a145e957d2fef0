"""A new pole goes up through spread wires, beside the old one. Places invented.

The pole is taken straight up over its hole with its butt at the ground line, so its top comes as
high as it is long: 45 ft. It is 8 in thick all the way, and wires are 9.0 ft clear of each other.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from framer.checks.explain import one_line
from framer.checks.finding import Finding
from framer.geometry.placing import place
from framer.mechanics.handling import frustum_weight
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Settings
from framer.model.line import Circuit, NearbyWire, Span, Wire
from framer.model.place import Lifted, Lying, OnArm, OnItem, OnPole, Removed, Standing
from framer.model.reading import Reading
from framer.model.step import Boom, Step
from framer.strength.weighing import Weighed, weight_of
from framer.transfer.setting import in_circle, raised, setting_findings, through
from framer.transfer.weights import (
    RECOMMENDED_FOR,
    RECOMMENDED_LB,
    lift_findings,
    lifts,
)
from framer.units.figures import pounds_up
from tests.build import ARM, PIN, Record
from tests.build import job as made_of
from tests.situations.transfer import moment, said, with_steps

MAIN = Circuit("main", "Main", kv=12.47, kv_to_ground=7.2, grounded_wye=True)
RIDGE = Circuit("ridge", "Ridge", kv=12.47, kv_to_ground=7.2, grounded_wye=True)
NORTH = Span("north", "pole 1", 0.0, 1800.0)
LINNET = "acsr-336-26-7-linnet"
RADIUS_IN = 0.36
BOOM = Boom(240.0, 0.0, 120.0, 4000.0)
KEEP_IN = 30.0


def set_between(
    half_in: float = 54.0,
    *more: Record,
    swing_in: float | None = 0.0,
    keep_in: float | None = KEEP_IN,
    west_in: float | None = None,
    boom: Boom | None = BOOM,
    girths: bool = True,
    **step: Any,
) -> Job:
    """The new pole set between two wires on lifts, their surfaces so far from its axis."""
    pole = Item(
        "new", "pole", (Standing(when="after", depth_in=78.0),), name="New pole",
        pole=PoleFacts(540.0, "4", "Southern pine"),
    )  # fmt: skip
    records: list[Record] = [MAIN, NORTH, pole]
    if girths:
        records += [Reading("new", "girth", 8.0 * math.pi, at_in=at) for at in (0.0, 462.0)]
    for phase, side in (("A", -(west_in or half_in)), ("B", half_in)):
        east = side + math.copysign(RADIUS_IN, side)
        at = Lifted(when="found", east_in=east, north_in=0.0, height_in=396.0)
        records.append(Item(f"lift-{phase}", "lift", (at,), "insulated-lift"))
        rest = OnItem(when="found", host=f"lift-{phase}")
        records.append(Wire(phase, "main", phase, "north", (rest,), LINNET, "level", sag_in=0.0))
    made = replace(
        made_of(*records, *more), settings=Settings(swing_in=swing_in, setting_keep_in=keep_in)
    )
    return with_steps(
        made, Step("set", "Set the pole", kind="set pole", moves=("new",), boom=boom, **step)
    )


def of(found: list[Finding], start: str) -> Finding:
    (one,) = [each for each in found if each.rule.id.startswith(f"step.{start}")]
    return one


# A31: the gap for the pole


@pytest.mark.parametrize(
    ("swing_ft", "need_ft", "spare_ft"),
    [(0.0, 5.667, 3.333), (1.5, 8.667, 0.333), (2.0, 9.667, -0.667)],
)
def test_a31_what_a_pole_needs_between_two_wires(
    swing_ft: float, need_ft: float, spare_ft: float
) -> None:
    # 8 in and 2.5 ft each side, and swing: passes by 3.33 ft, by 0.33 ft, fails by 8 in
    found = through(108.0, 8.0, 30.0, 12.0 * swing_ft)
    assert found.need_in / 12.0 == pytest.approx(need_ft, abs=0.001)
    assert found.spare_in / 12.0 == pytest.approx(spare_ft, abs=0.001)
    assert found.swing_in == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("swing_in", "verdict", "spare"),
    [
        (0.0, "meets", "3 ft 4 in to spare"),
        (18.0, "meets", "4 in to spare"),
        (24.0, "short", "short 8 in"),
    ],
)
def test_a31_in_a_job_the_sheet_prints_the_swing_there_is_room_for(
    swing_in: float, verdict: str, spare: str
) -> None:
    made = set_between(swing_in=swing_in)
    gap = of(said(made, setting_findings), "gap")
    assert gap.verdict == verdict
    line = one_line(made, gap)
    assert spare in line
    assert "swing it allows: 20 in each side" in line
    # each side alone: 54 in less 4 in of pole
    side = of(said(made, setting_findings), "set") if verdict != "short" else None
    assert side is None or side.gap == pytest.approx(50.0, abs=0.01)


def test_a31_a_hole_that_is_not_in_the_middle_leaves_the_smaller_side_on_both() -> None:
    # 54 in on the east and 66 on the west: 10 ft between them, room as for 9 ft
    made = set_between(swing_in=18.0, west_in=66.0)
    gap = of(said(made, setting_findings), "gap")
    assert gap.gap == pytest.approx(108.0, abs=0.01)
    assert "10 ft between them, hole not in the middle" in gap.where


@pytest.mark.parametrize(
    ("change", "missing"),
    [
        ({"swing_in": None}, "how far wires and pole may swing"),
        ({"keep_in": None}, "how far to keep off on each side"),
        ({"girths": False}, "girth of New pole not known"),
    ],
)
def test_a31_a_missing_fact_is_named(change: dict[str, Any], missing: str) -> None:
    facts = {"swing_in": 18.0} | change
    made = set_between(**facts)
    if facts.get("girths") is False:
        blank = replace(made.items[0], pole=PoleFacts(540.0))
        made = replace(made, items=(blank, *made.items[1:]))
    found = [one for one in said(made, setting_findings) if one.rule.id.startswith("step.set")]
    assert [one.verdict for one in found] == ["cannot say"]
    assert missing in found[0].missing


def test_the_butt_passes_the_wires_while_the_pole_is_lifted() -> None:
    # tapered from 12 in at the butt to 6 in at the top; 33 ft up of 45 ft hangs the section
    # 33 ft from the butt: 12 - 6 x 33/45 = 7.6 in; in the hole it is the one 39.5 ft up: 6.73 in
    made = set_between()
    girths = (
        Reading("new", "girth", 12.0 * math.pi, at_in=0.0),
        Reading("new", "girth", 12.0 * math.pi - 6.0 * math.pi * 462.0 / 540.0, at_in=462.0),
    )
    tapered = replace(made, readings=girths)
    solid = place(tapered, 1).poles["new"]
    up = raised(tapered, solid)
    assert not isinstance(up, str)
    assert up.top[2] == pytest.approx(540.0)
    per_inch = 6.0 / 540.0
    assert up.dia_at(396.0) == pytest.approx(12.0 + 78.0 * per_inch - per_inch * 396.0, abs=1e-6)
    assert up.dia_at(396.0) > (solid.diameter_in(396.0) or 0.0)


# what is above


@pytest.mark.parametrize(
    ("height_ft", "verdict"), [(47.4, "short"), (48.5, "meets"), (44.0, "short")]
)
def test_the_top_comes_as_high_as_the_pole_is_long(height_ft: float, verdict: str) -> None:
    # 45 ft while lifted, 2.5 ft to keep: a wire straight over must be 47.5 ft up; in its hole the
    # top is only 38.5 ft up
    near = NearbyWire("over", "Ridge wire", "ridge", 0.0, 0.0, 90.0, part=LINNET)
    made = set_between(54.0, RIDGE, near, Reading("over", "height", 12.0 * height_ft))
    found = [
        one
        for one in said(made, setting_findings)
        if one.b is not None and one.b.owner == "over" and one.rule.id.startswith("step.set")
    ]
    # of what meets only the nearest is told
    assert {one.verdict for one in found} <= {verdict}
    assert bool(found) or verdict == "meets"
    if height_ft == 47.4:
        assert found[0].gap == pytest.approx(12.0 * 2.4 - RADIUS_IN, abs=0.01)
        assert "its top comes to 45 ft while lifted" in found[0].where


# the old pole beside it


def old_beside(apart_in: float, *, lean: float = 0.0) -> Job:
    old = Item(
        "old", "pole",
        (
            Standing(
                when="found", north_in=apart_in, depth_in=72.0,
                rake_in_per_10ft=lean, rake_azimuth_deg=180.0,
            ),
            Removed(when="after"),
        ),
        name="Old pole", pole=PoleFacts(480.0),
    )  # fmt: skip
    arm = Item(
        "old-arm", "arm",
        (OnPole(when="found", host="old", at_in=390.0, azimuth_deg=180.0), Removed(when="after")),
        ARM, name="Old arm",
    )  # fmt: skip
    girths = [Reading("old", "girth", 8.5 * math.pi, at_in=at) for at in (0.0, 408.0)]
    return set_between(54.0, old, arm, *girths)


def beside_12_in(apart_in: float, **settings: float | None) -> Job:
    """An old pole 12 in thick at the ground, a new one 13 in thick at its butt, so far apart."""
    typed = {"auger_in": 24.0, "soil_in": 6.0, **settings}
    made = old_beside(apart_in)
    readings = tuple(
        replace(one, value_in=(12.0 if one.of == "old" else 13.0) * math.pi)
        for one in made.readings
    )
    return replace(made, readings=readings, settings=replace(made.settings, **typed))


@pytest.mark.parametrize(
    ("apart_in", "verdict"), [(24.0, "meets"), (24.0 - 1 / 16, "short"), (30.0, "meets")]
)
def test_a11_the_hole_leaves_6_in_of_soil_at_2_ft_centre_to_centre(
    apart_in: float, verdict: str
) -> None:
    # 6 + 24 / 2 + 12 / 2 = 24
    hole = of(said(beside_12_in(apart_in), setting_findings), "hole")
    assert hole.need == pytest.approx(24.0)
    assert (hole.gap, hole.verdict) == (pytest.approx(apart_in), verdict)


def test_a11_the_butt_of_13_in_has_5_5_in_to_tamp_in_a_hole_of_24() -> None:
    butt = of(said(beside_12_in(24.0), setting_findings), "butt")
    assert (butt.verdict, butt.where) == ("meets", "5 1/2 in of room to tamp all round")
    narrow = of(said(beside_12_in(24.0, auger_in=12.0), setting_findings), "butt")
    assert narrow.verdict == "short"


@pytest.mark.parametrize(
    ("dropped", "missing"),
    [
        ("auger_in", "diameter of the auger for the hole beside Old pole not typed"),
        ("soil_in", "soil to be left for the hole beside Old pole not typed"),
    ],
)
def test_a11_auger_and_soil_are_asked_for(dropped: str, missing: str) -> None:
    hole = of(said(beside_12_in(24.0, **{dropped: None}), setting_findings), "hole")
    assert (hole.verdict, hole.missing) == ("cannot say", missing)


def test_a11_an_old_arm_on_the_side_of_the_new_pole_is_in_the_way() -> None:
    # 24 in apart; arm 3.75 in deep let in 0.5: its face is 24 - 4.25 - 3.25 = 16.5 in from the
    # axis, 12.5 from the pole; leaning 2 in in 10 ft it is 6.5 in nearer; 12 in apart it fouls
    plumb = of(said(old_beside(24.0), setting_findings), "fouls")
    assert plumb.gap == pytest.approx(12.5, abs=0.1)
    assert plumb.verdict == "meets"
    leaning = of(said(old_beside(24.0, lean=2.0), setting_findings), "fouls")
    assert leaning.gap == pytest.approx(12.5 - 6.5, abs=0.6)
    near = of(said(old_beside(11.0), setting_findings), "fouls")
    assert near.verdict == "short"
    assert "is in the way" in near.where


# the boom


def test_the_boom_circle_names_the_circuits_inside() -> None:
    made = set_between()
    # the turntable 20 ft east, reach 10 ft: the wire 4.5 ft east is 15.5 ft away
    assert in_circle(place(made, "found"), BOOM) == ()
    assert of(said(made, setting_findings), "boom").verdict == "meets"
    long = set_between(boom=replace(BOOM, reach_in=360.0))
    finding = of(said(long, setting_findings), "boom")
    assert (finding.verdict, finding.where) == ("tight", "inside its circle of 30 ft: Main")
    none = of(said(set_between(boom=None), setting_findings), "boom")
    assert none.verdict == "cannot say"


# A41, A55: weights


def hang(arm_lb: float | None, pin_lb: float | None, **settings: Any) -> Job:
    """The arm goes up with three pins on it."""
    at = OnPole(when="after", host="new", at_in=420.0)
    arm = Item("arm", "arm", (at,), ARM, name="Line arm", weight_lb=arm_lb)
    pins = [
        Item(f"pin-{n}", "insulator", (OnArm(when="after", host="arm", along_in=24.0 * n),), PIN,
             weight_lb=pin_lb)
        for n in range(3)
    ]  # fmt: skip
    made = set_between(54.0, arm, *pins)
    made = replace(made, settings=replace(made.settings, **settings))
    hung = Step("hang", "Hang", kind="hang", moves=("arm", *(pin.id for pin in pins)))
    return with_steps(made, *made.steps, hung)


@pytest.mark.parametrize(
    ("limits", "verdict", "words"),
    [
        (
            {"one_person_lb": 50.0, "handline_lb": 150.0},
            "meets",
            "by handline; bare (44.5 lb) by one person",
        ),
        ({"one_person_lb": 50.0}, "cannot say", ""),
        ({"one_person_lb": 70.0}, "meets", "by one person"),
        ({}, "cannot say", ""),
    ],
)  # fmt: skip
def test_a55_in_a_job_the_limit_of_the_crew_counts(
    limits: dict[str, float], verdict: str, words: str
) -> None:
    made = hang(44.5, 8.0, **limits)
    (one,) = lifts(moment(made, 2))
    assert (one.name, one.bare.lb, one.dressed.lb) == ("Line arm", 44.5, pytest.approx(68.5))
    (finding,) = said(made, lift_findings, 2)
    assert (finding.verdict, finding.where) == (verdict, words)
    if not limits:
        words = "Line arm: 68.5 lb; what one person or a handline or a boom lifts here not typed"
        assert finding.missing == words
    elif verdict == "cannot say":
        words = "Line arm: 68.5 lb, more than 50 lb; what a handline or a boom lifts here not typed"
        assert finding.missing == words


def test_a55_without_a_typed_weight_the_heaviest_of_the_stock_data_counts() -> None:
    # the stock arm: 54.4 lb at 44 lb/ft3 to 61.9 at 50
    made = hang(None, 8.0, one_person_lb=60.0)
    (one,) = lifts(moment(made, 2))
    assert one.bare.lb == pytest.approx(61.9)
    assert "computed" in one.bare.words
    assert weight_of(Item("box", "equipment", (), name="Box")) == Weighed(
        None, "weight of Box not known"
    )


def test_a55_an_unknown_weight_is_named() -> None:
    blank = Item("box", "equipment", (OnPole(when="after", host="new", at_in=200.0),), name="Box")
    made = set_between(54.0, blank)
    made = replace(made, settings=replace(made.settings, one_person_lb=50.0))
    made = with_steps(made, *made.steps, Step("box-up", "Box", moves=("box",)))
    (finding,) = said(made, lift_findings, 2)
    assert (finding.verdict, finding.missing) == ("cannot say", "weight of Box not known")


def topped(**settings: Any) -> Job:
    """The old pole is topped from 34 to 26 ft; the piece is 8.5 in thick in its middle."""
    old = Item(
        "old", "pole",
        (
            Standing(when="found", north_in=60.0, depth_in=72.0),
            Standing(when="after", north_in=60.0, depth_in=72.0, cut_in=96.0),
        ),
        name="Old pole", pole=PoleFacts(480.0, None, "Southern pine"),
    )  # fmt: skip
    girths = [Reading("old", "girth", 8.5 * math.pi, at_in=at) for at in (0.0, 408.0)]
    made = set_between(54.0, old, *girths)
    made = replace(made, settings=replace(made.settings, **settings))
    return with_steps(made, Step("top", "Top it", kind="top old pole", moves=("old",)))


def test_a41_the_piece_sawn_off_the_old_pole() -> None:
    # pi/4 (0.7083)^2 x 8 = 3.153 ft3; at 60 lb/ft3 189.2 lb; the stock density is 60.5: 190.8
    made = topped(one_person_lb=50.0, handline_lb=150.0)
    (one,) = lifts(moment(made))
    assert one.name == "top sawn off Old pole"
    assert one.bare.lb == pytest.approx(189.2 * 60.5 / 60.0, abs=0.1)
    finding = of(said(made, lift_findings), "lift")
    assert finding.verdict == "cannot say"
    words = "191 lb, more than 150 lb; what a boom lifts here not typed"
    assert finding.missing == f"top sawn off Old pole: {words}"
    weak = with_steps(made, replace(made.steps[0], boom=replace(BOOM, lift_lb=160.0)))
    finding = of(said(weak, lift_findings), "lift")
    assert (finding.verdict, finding.where) == ("short", "no lift typed takes it")
    boom = with_steps(made, replace(made.steps[0], boom=BOOM))
    finding = of(said(boom, lift_findings), "lift")
    assert (finding.verdict, finding.where) == ("meets", "by boom")


def test_a41_a_heavier_wood_of_60_lb_comes_to_190_lb_and_is_printed_up() -> None:
    # 8-ft piece of 8.5 in mean thickness at 60 lb/ft3: 189.2 lb, never rounded down
    pounds = frustum_weight(96.0, 8.5, 8.5, 60.0 / 1728.0)
    assert pounds == pytest.approx(189.2, abs=0.05)
    assert pounds_up(pounds) == "190"


def test_a41_the_side_it_comes_down_on_is_named_or_cannot_be_said() -> None:
    made = topped(one_person_lb=50.0, handline_lb=150.0)
    unsaid = of(said(made, lift_findings), "drop")
    assert unsaid.verdict == "cannot say"
    assert unsaid.missing == "on which side the top sawn off Old pole comes down not said"
    east = with_steps(made, replace(made.steps[0], drop_deg=90.0))
    told = of(said(east, lift_findings), "drop")
    assert (told.verdict, told.where) == ("meets", "on the east side")


def test_a_pole_is_lifted_by_a_boom_alone() -> None:
    # 8 in thick, 45 ft: pi/4 (8/12)^2 x 45 = 15.7 ft3 x 60.5 = 950 lb
    (one,) = lifts(moment(set_between()))
    assert one.bare.lb == pytest.approx(950.3, abs=0.5)
    for boom, verdict in (
        (BOOM, "meets"),
        (replace(BOOM, lift_lb=900.0), "short"),
        (replace(BOOM, lift_lb=None), "cannot say"),
        (None, "cannot say"),
    ):
        made = set_between(boom=boom)
        made = replace(made, settings=replace(made.settings, one_person_lb=50.0))
        (finding,) = said(made, lift_findings)
        assert finding.verdict == verdict


def test_the_recommended_limit_says_what_it_is_for() -> None:
    assert RECOMMENDED_LB == 51.0
    assert RECOMMENDED_FOR == "floor-level lift, ideal conditions, not aloft"


def test_a_lying_pole_is_nowhere_yet() -> None:
    made = set_between()
    lying = (Lying(when="temporary"), Standing(when="after", depth_in=78.0))
    pole = replace(made.items[0], places=lying)
    made = replace(made, items=(pole, *made.items[1:]))
    two = with_steps(made, Step("bring", "Bring it", moves=("new",)), made.steps[0])
    assert said(two, setting_findings, 1) == []
    assert of(said(two, setting_findings, 2), "gap").verdict == "meets"
