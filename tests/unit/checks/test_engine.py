"""From a scene and books to findings: who is judged against whom, how often, and what is said.

The numbers of the rules here are made up for the tests; the wires hang from brackets that put them
exactly where the arithmetic says, so that gaps between centre lines can be read off.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from framer.checks.engine import check
from framer.checks.finding import RANK, Finding, verdict
from framer.checks.rulebook import Rulebook
from framer.geometry.placing import place
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import (
    Circuit,
    Join,
    JoinPlace,
    JoinState,
    LimitLine,
    NearbyWire,
    Span,
    Wire,
)
from framer.model.place import OnItem, OnPole, Undecided
from framer.model.reading import Reading
from framer.model.stage import Stage
from framer.model.step import Step
from tests.build import (
    ARM,
    POLE_RADIUS_IN,
    Record,
    arm,
    job,
    judged,
    on_arm,
    pole,
    seat,
    wire,
    worst,
    written_book,
)

RIDGE = Circuit("ridge", "Ridge", kv=12.47, grounded_wye=True, owner="Alder")
VALE = Circuit("vale", "Vale", kv=4.16, grounded_wye=True, owner="Birch")
PHONE = Circuit("phone", "Phone", kind="communications", owner="Cedar")
CIRCUITS = (RIDGE, VALE, PHONE)
NORTH = Span("north", "N", 0.0, 1800.0)
SOUTH = Span("south", "S", 180.0, 1800.0)
OVER_ROAD = Span("over road", "E", 90.0, 1800.0, over="road", sag_in=0.0)


Book = Callable[..., Rulebook]


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """Makes a rulebook of rules given as keyword tables; each has a number unless told."""

    def make(*rules: dict[str, Any]) -> Rulebook:
        return written_book(tmp_path, "\n".join(_toml(number, r) for number, r in enumerate(rules)))

    return make


def _toml(number: int, given: dict[str, Any]) -> str:
    fields = {
        "id": f"mine.{number}",
        "title": f"Rule {number}",
        "measure": "slant",
        "a": "wire",
        "b": "wire",
        "need": 40.0,
        **given,
    }
    when, need = fields.pop("when", {}), fields.pop("need")
    lines = ["[[rule]]", *_set(fields)]
    lines.append(
        f"need = [{{ {'unknown' if isinstance(need, str) else 'value'} = {_text(need)} }}]"
    )
    lines.append('source = { document = "a test", how_known = "house" }')
    return "\n".join([*lines, "[rule.when]", *_set(when)])


def _set(fields: dict[str, Any]) -> list[str]:
    return [f"{name} = {_text(value)}" for name, value in fields.items() if value is not None]


def _text(value: Any) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_text, value))}]"
    return f'"{value}"' if isinstance(value, str) else str(value).lower()


@dataclass(frozen=True)
class At:
    """A wire at a plan place east of the pole's surface and a height."""

    key: str
    out_in: float
    up_in: float
    circuit: str = "ridge"
    phase: str = "A"
    span: str = "north"

    def records(self) -> list[Record]:
        return [
            seat(f"{self.key}-seat", self.up_in, out_in=self.out_in),
            wire(
                self.key, self.circuit, self.span, f"{self.key}-seat", phase=self.phase, sag_in=0.0
            ),
        ]


def job_of(*wires: At, more: tuple[Record, ...] = (), steps: tuple[Step, ...] = ()) -> Job:
    records: list[Record] = [*CIRCUITS, NORTH, SOUTH, OVER_ROAD, *pole(45), *more]
    for each in wires:
        records.extend(each.records())
    return replace(job(*records), steps=steps)


def pairs(found: list[Finding]) -> list[tuple[str, ...]]:
    """The things of findings, in no order."""
    named = ((f.a, f.b) for f in found)
    return sorted(tuple(sorted(p.owner for p in two if p is not None)) for two in named)


@pytest.mark.parametrize(("far_in", "gap"), [(440.0, 20.0), (390.0, 10.0)])
def test_wires_of_a_span_that_come_nearer_farther_out_are_judged_at_their_supports_too(
    book: Book, far_in: float, gap: float
) -> None:
    # 20 in over each other here; half an inch nearer to each other in plan at the neighbour, where
    # they are 60 in or 10 in over each other
    made = job_of(At("a", 10.0, 400.0), At("b", 22.0, 380.0, phase="B"))
    there = {"a": (15.0, far_in), "b": (26.5, 380.0)}
    wires = tuple(
        replace(one, far_offset_in=there[one.id][0], far_height_in=there[one.id][1])
        for one in made.wires
    )
    (found,) = judged(replace(made, wires=wires), book({"measure": "vertical", "need": 30.0})).of(
        "mine.0"
    )
    assert found.verdict == "short"
    assert found.gap == pytest.approx(gap)


# Who is judged against whom.


def test_each_pair_is_judged_once(book: Book) -> None:
    wires = [At(key, 10.0 + 12.0 * n, 380.0) for n, key in enumerate("abc")]
    found = judged(job_of(*wires), book({})).of("mine.0")
    assert pairs(found) == [("a", "b"), ("a", "c"), ("b", "c")]


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        # a: phase of Ridge, b: phase of Vale, n: neutral of Ridge, p: phone
        ("supply wire", "wire", ["ab", "an", "ap", "bn", "bp", "np"]),
        ("wire", "supply wire", ["ab", "an", "ap", "bn", "bp", "np"]),
        ("phase", "neutral", ["an", "bn"]),
        ("neutral", "phase", ["an", "bn"]),
        ("phase", "open supply wire", ["ab", "an", "bn"]),
        ("communications", "supply wire", ["ap", "bp", "np"]),
        ("neutral", "neutral", []),
    ],
)
def test_selectors_of_different_reach_judge_each_pair_once(
    book: Book, a: str, b: str, expected: list[str]
) -> None:
    wires = (
        At("a", 10.0, 380.0),
        At("b", 30.0, 380.0, "vale"),
        At("n", 50.0, 380.0, phase="N"),
        At("p", 70.0, 380.0, "phone", "cable"),
    )
    found = judged(job_of(*wires), book({"a": a, "b": b})).of("mine.0")
    assert pairs(found) == [tuple(pair) for pair in expected]


def joined(made: JoinState) -> Job:
    """Two wires 10 in apart with a join, and a third 20 in from the nearer."""
    return job_of(
        At("a", 10.0, 380.0),
        At("b", 20.0, 380.0),
        At("c", 40.0, 380.0, phase="B"),
        more=(Join("join", "a", "b", (JoinPlace("after", made),)),),
    )


@pytest.mark.parametrize("made", ["through", "jumper", "bypass", "tap"])
def test_wires_of_one_potential_are_not_judged_against_each_other(
    book: Book, made: JoinState
) -> None:
    found = judged(joined(made), book({})).of("mine.0")
    assert pairs(found) == [("a", "c"), ("b", "c")]


def test_wires_that_are_not_joined_are_judged_though_they_are_of_one_phase(book: Book) -> None:
    # a piece that is joined to nothing floats
    found = judged(joined("open"), book({})).of("mine.0")
    assert pairs(found) == [("a", "b"), ("a", "c"), ("b", "c")]


def test_potential_goes_through_a_chain_of_joins(book: Book) -> None:
    place_ = (JoinPlace("after", "jumper"),)
    made = job_of(
        *(At(key, 10.0 + 10.0 * n, 380.0) for n, key in enumerate("abcd")),
        more=(Join("ab", "a", "b", place_), Join("bc", "b", "c", place_)),
    )
    assert pairs(judged(made, book({})).of("mine.0")) == [("a", "d"), ("b", "d"), ("c", "d")]


def test_a_join_counts_from_the_step_that_makes_it_to_the_one_that_opens_it(book: Book) -> None:
    records: list[Record] = []
    for key, out_in in (("a", 10.0), ("b", 20.0)):
        where = OnPole(when="found", host="pole", at_in=380.0, azimuth_deg=90.0, out_in=out_in)
        records.append(Item(f"{key}-seat", "bracket", (where,), name=key))
        rests = OnItem(when="found", host=f"{key}-seat")
        records.append(Wire(key, "ridge", "A", "north", (rests,), far_height_in="level"))
    places = (JoinPlace("temporary", "bypass"), JoinPlace("temporary", "open"))
    made = replace(
        job(*CIRCUITS, NORTH, *pole(45, when="found"), *records, Join("join", "a", "b", places)),
        steps=(
            Step("one", "Bypass", moves=("join",)),
            Step("two", "Open", moves=("join",)),
            Step("three", "Clean up"),
        ),
    )
    rules = book({"stages": ["found", "temporary"]})
    stages: tuple[Stage, ...] = ("found", 0, 1, 2)
    assert [len(judged(made, rules, stage=stage).of("mine.0")) for stage in stages] == [1, 1, 0, 1]


# Conditions.


def line_and_buck(apart_in: float) -> Job:
    return job_of(
        more=(
            arm("line", 400.0),
            arm("buck", 400.0 - apart_in, faces_deg=90.0),
            arm("same-way", 200.0),
        )
    )


def test_only_arms_that_cross_have_a_spacing(book: Book) -> None:
    found = judged(line_and_buck(48.0), book({"measure": "arm spacing", "a": "arm", "b": "arm"}))
    assert pairs(found.of("mine.0")) == [("buck", "line"), ("buck", "same-way")]


@pytest.mark.parametrize(("apart_in", "spoken_of"), [(47.9375, True), (48.0, False)])
def test_closer_than_leaves_out_the_limit_itself(
    book: Book, apart_in: float, spoken_of: bool
) -> None:
    rule = {"measure": "arm spacing", "a": "arm", "b": "arm", "when": {"closer_than_in": 48.0}}
    found = judged(line_and_buck(apart_in), book(rule)).of("mine.0", "line", "buck")
    assert bool(found) == spoken_of


CONDITIONS = [
    ({"circuit": "same"}, ["ac"]),
    ({"circuit": "different"}, ["ab", "bc"]),
    ({"owner": "same"}, ["ac"]),
    ({"owner": "different"}, ["ab", "bc"]),
    ({"level": "same"}, ["ac"]),
    ({"level": "different"}, ["ab", "bc"]),
    ({"style": "pin"}, ["ab", "ac", "bc"]),
    ({"style": "rack"}, []),
    ({"not_style": "pin"}, []),
    ({"joint_use": True}, []),
    ({"joint_use": False}, ["ab", "ac", "bc"]),
]


def two_levels() -> Job:
    """a and c of Ridge on the upper arm, b of Vale on the lower."""
    return job_of(
        more=(
            arm("upper", 400.0),
            arm("lower", 340.0),
            on_arm("a-pin", "upper", -50.0),
            on_arm("c-pin", "upper", 50.0),
            on_arm("b-pin", "lower", 50.0),
            wire("a", "ridge", "north", "a-pin"),
            wire("b", "vale", "north", "b-pin"),
            wire("c", "ridge", "north", "c-pin", phase="C"),
        )
    )


@pytest.mark.parametrize(("when", "expected"), CONDITIONS, ids=lambda x: str(x))
def test_a_rule_speaks_only_where_its_conditions_hold(
    book: Book, when: dict[str, object], expected: list[str]
) -> None:
    found = judged(two_levels(), book({"when": when})).of("mine.0")
    assert pairs(found) == [tuple(pair) for pair in expected]


def test_a_pole_with_supply_and_communications_is_jointly_used(book: Book) -> None:
    rules = book(
        {"measure": "surface", "a": "phase", "b": "pole", "when": {"joint_use": True}},
        {"measure": "surface", "a": "phase", "b": "pole", "when": {"joint_use": False}},
    )
    alone = judged(job_of(At("a", 10.0, 380.0)), rules)
    assert (len(alone.of("mine.0")), len(alone.of("mine.1"))) == (0, 1)
    joint = judged(job_of(At("a", 10.0, 380.0), At("p", 10.0, 200.0, "phone", "cable")), rules)
    assert (len(joint.of("mine.0")), len(joint.of("mine.1"))) == (1, 0)


def test_over_the_ground_a_rule_is_for_it_speaks_and_over_other_ground_not(book: Book) -> None:
    ground = {"measure": "above ground", "b": None, "need": 100.0}
    rules = book(
        {**ground, "when": {"over": "road"}},
        {**ground, "when": {"over": "water"}},
    )
    found = judged(job_of(At("a", 10.0, 380.0, span="over road")), rules)
    assert [f.verdict for f in found.of("mine.0")] == ["meets"]
    assert found.of("mine.1") == []


def test_ground_nobody_named_could_be_any_and_is_never_met(book: Book) -> None:
    rule = {"measure": "above ground", "b": None, "need": 1.0, "when": {"over": "road"}}
    (finding,) = judged(job_of(At("a", 10.0, 380.0)), book(rule)).of("mine.0")
    assert (finding.verdict, finding.missing) == ("cannot say", "what the span crosses not known")


@pytest.mark.parametrize(
    ("stages", "stage", "spoken_of"),
    [
        (["framed"], "framed", True),
        (["found"], "framed", False),
        (["temporary"], 1, True),
        (["found", "framed"], 1, False),
        (["crew leaves"], 1, False),
        (["crew leaves"], 2, True),
        (["temporary"], 2, False),
    ],
)
def test_a_rule_speaks_at_its_stages(
    book: Book, stages: list[str], stage: Stage, spoken_of: bool
) -> None:
    rules = book({"stages": stages})
    made = job_of(
        At("a", 10.0, 380.0),
        At("b", 20.0, 380.0, phase="B"),
        steps=(
            Step("one", "All", moves=("a-seat", "a", "b-seat", "b", "pole")),
            Step("two", "Clean up"),
        ),
    )
    assert bool(judged(made, rules, stage=stage).of("mine.0")) == spoken_of


# Rules that are met together.

BOX = (
    {"measure": "horizontal", "need": 20.0, "box": "b"},
    {"measure": "vertical", "need": 30.0, "box": "b"},
)


def two(across_in: float, up_in: float, **more: Any) -> Job:
    """Two wires so far apart sideways and up and down, from centre to centre."""
    return job_of(At("a", 10.0, 380.0), At("b", 10.0 + across_in, 380.0 - up_in, phase="B"), **more)


@pytest.mark.parametrize(
    ("across_in", "up_in", "rule", "says"),
    [
        (20.0, 0.0, "mine.0", "meets"),
        (0.0, 30.0, "mine.1", "meets"),
        (25.0, 31.0, "mine.0", "meets"),  # 5 in to spare sideways, 1 in up and down
        (21.0, 35.0, "mine.1", "meets"),
        (19.9375, 0.0, "mine.0", "short"),
        (0.0, 29.9375, "mine.1", "short"),
        (10.0, 29.0, "mine.1", "short"),  # 10 in short sideways, 1 in up and down
    ],
)
def test_in_a_box_one_direction_is_enough_and_the_better_one_is_told(
    book: Book, across_in: float, up_in: float, rule: str, says: str
) -> None:
    (finding,) = judged(two(across_in, up_in), book(*BOX)).about("a", "b")
    assert (finding.rule.id, finding.verdict) == (rule, says)


def test_without_a_box_each_direction_must_be_kept(book: Book) -> None:
    loose = [{**rule, "box": None} for rule in BOX]
    found = judged(two(20.0, 0.0), book(*loose)).about("a", "b")
    assert {f.rule.id: f.verdict for f in found} == {"mine.0": "meets", "mine.1": "short"}


def test_two_boxes_are_each_kept(book: Book) -> None:
    other = [{**rule, "need": 50.0, "box": "c"} for rule in BOX]
    found = judged(two(20.0, 0.0), book(*BOX, *other)).about("a", "b")
    assert {f.rule.id: f.verdict for f in found} == {"mine.0": "meets", "mine.2": "short"}


@pytest.mark.parametrize(
    ("across_in", "says"), [(20.0, "meets"), (19.9375, "cannot say"), (0.0, "cannot say")]
)
def test_in_a_box_an_unknown_direction_gives_way_to_one_that_is_met_only(
    book: Book, across_in: float, says: str
) -> None:
    unknown = {**BOX[1], "need": "nobody knows"}
    (finding,) = judged(two(across_in, 300.0), book(BOX[0], unknown)).about("a", "b")
    assert finding.verdict == says


def test_in_a_box_the_most_demanding_rule_of_each_direction_counts(book: Book) -> None:
    stricter = {**BOX[0], "need": 25.0}
    (finding,) = judged(two(22.0, 10.0), book(*BOX, stricter)).about("a", "b")
    assert (finding.rule.id, finding.verdict, finding.need) == ("mine.2", "short", 25.0)


@pytest.mark.parametrize("order", [1, -1], ids=["number-first", "unknown-first"])
@pytest.mark.parametrize(
    ("across_in", "up_in", "says"),
    [
        (20.0, 0.0, "meets"),
        (20.0, 40.0, "meets"),
        (19.0, 40.0, "cannot say"),
        (0.0, 40.0, "cannot say"),
        (19.0, 29.0, "short"),
    ],
)
def test_in_a_box_a_direction_of_a_number_and_an_unknown_is_as_bad_as_the_worse(
    book: Book, order: int, across_in: float, up_in: float, says: str
) -> None:
    """Short where the number is not kept, else not known; and the other direction is enough."""
    upright = [BOX[1], {**BOX[1], "need": "Table 9"}]
    found = judged(two(across_in, up_in), book(BOX[0], *upright[::order])).about("a", "b")
    assert worst(found) == says, [(f.rule.id, f.verdict) for f in found]


MID = {"measure": "mid-span", "need": 15.0, "box": "b"}


def sagging(across_in: float, up_in: float, more_sag_in: float | None) -> Job:
    """Two wires of one span, the upper with so much more sag; not known with `None`."""
    made = two(across_in, up_in)
    upper, lower = made.wires
    sag_in = None if more_sag_in is None else 10.0 + more_sag_in
    return replace(made, wires=(replace(upper, sag_in=sag_in), replace(lower, sag_in=10.0)))


@pytest.mark.parametrize(
    ("across_in", "up_in", "more_sag_in", "says"),
    [
        # 20 in asked sideways, or 30 in up and down at the support and 15 in at mid-span
        (0.0, 30.0, 15.0, {"mine.1": "meets", "mine.2": "meets"}),
        (0.0, 30.0, 15.0625, {"mine.1": "meets", "mine.2": "short"}),
        (0.0, 29.9375, 0.0, {"mine.1": "short", "mine.2": "meets"}),
        (20.0, 30.0, 40.0, {"mine.0": "meets"}),
        (0.0, 30.0, None, {"mine.1": "meets", "mine.2": "cannot say"}),
        (20.0, 30.0, None, {"mine.0": "meets"}),
    ],
)
def test_in_a_box_up_and_down_is_kept_at_the_support_and_at_mid_span(
    book: Book, across_in: float, up_in: float, more_sag_in: float | None, says: dict[str, str]
) -> None:
    found = judged(sagging(across_in, up_in, more_sag_in), book(*BOX, MID)).about("a", "b")
    assert {f.rule.id: f.verdict for f in found} == says


def test_in_a_box_mid_span_alone_is_the_other_direction(book: Book) -> None:
    rules = book(BOX[0], MID)
    (met,) = judged(sagging(0.0, 30.0, 15.0), rules).about("a", "b")
    (short,) = judged(sagging(0.0, 30.0, 16.0), rules).about("a", "b")
    assert (met.rule.id, met.verdict, short.verdict) == ("mine.1", "meets", "short")


# What is not known.


def test_a_need_nobody_knows_is_one_line_with_the_number_of_pairs(book: Book) -> None:
    wires = [At(key, 10.0 + 12.0 * n, 380.0) for n, key in enumerate("abcd")]
    checked = judged(job_of(*wires), book({"need": "Table 9 not known here"}))
    (finding,) = checked.findings
    assert (finding.verdict, finding.missing) == ("cannot say", "Table 9 not known here")
    assert finding.count == 6  # of four wires
    assert (finding.gap, finding.need, finding.line, finding.spare) == (None, None, None, None)


def test_one_gap_in_several_rules_of_one_kind_is_one_line_and_other_gaps_are_others(
    book: Book,
) -> None:
    wires = [At(key, 10.0 + 12.0 * n, 380.0) for n, key in enumerate("ab")]
    cable = At("p", 10.0, 200.0, "phone", "cable")
    rules = book(
        {"a": "phase", "b": "phase", "need": "Table 9"},
        {"a": "phase", "b": "communications", "need": "Table 9"},
        {"measure": "vertical", "need": "Table 9"},
        {"measure": "surface", "b": "pole", "need": "Table 10"},
    )
    found = list(judged(job_of(*wires, cable), rules).findings)
    told = sorted((f.rule.measure, f.missing, f.count) for f in found)
    assert told == [("slant", "Table 9", 3), ("surface", "Table 10", 3), ("vertical", "Table 9", 3)]


def nearby(height_in: float | None, *, tol_in: float = 0.0) -> tuple[Record, ...]:
    """A wire of another line 20 in east of the wire `a`."""
    east_in = POLE_RADIUS_IN + 10.0 + 20.0
    made: tuple[Record, ...] = (NearbyWire("n", "Hill Line", "vale", east_in, 0.0, 0.0),)
    if height_in is None:
        return made
    return (*made, Reading("n", "height", height_in, tolerance_in=tol_in))


def test_a_height_nobody_read_is_named_and_never_met(book: Book) -> None:
    rules = book(
        {"b": "nearby wire", "need": 0.0},
        {"measure": "surface", "a": "nearby wire", "b": "pole", "need": 0.0},
    )
    checked = judged(job_of(At("a", 10.0, 380.0), more=nearby(None)), rules)
    assert {f.verdict for f in checked.findings} == {"cannot say"}
    assert {f.missing for f in checked.findings} == {"height of Hill Line not known"}
    read = judged(job_of(At("a", 10.0, 380.0), more=nearby(380.0)), rules)
    assert {f.verdict for f in read.findings} == {"meets"}


def test_a_place_that_is_not_known_is_told_before_a_rule_that_is_not(book: Book) -> None:
    made = job_of(At("a", 10.0, 380.0), more=nearby(None))
    (finding,) = judged(made, book({"b": "nearby wire", "need": "Table 9"})).findings
    assert finding.missing == "height of Hill Line not known"


@pytest.mark.parametrize(
    ("need", "says"), [(20.0, "tight"), (19.0, "meets"), (19.0625, "tight"), (20.0625, "short")]
)
def test_a_gap_that_only_holds_if_every_reading_is_right_is_tight(
    book: Book, need: float, says: str
) -> None:
    made = job_of(At("a", 10.0, 380.0), more=nearby(380.0, tol_in=1.0))
    finding = judged(made, book({"b": "nearby wire", "need": need})).the("mine.0")
    assert (finding.verdict, finding.tolerance_in) == (says, 1.0)


def test_the_tolerances_of_both_are_added(book: Book) -> None:
    made = job_of(At("a", 10.0, 380.0), more=nearby(380.0, tol_in=1.0))
    held = made.item_by_id["a-seat"]
    found = replace(held, places=(replace(held.places[0], when="found"),))
    others = tuple(item for item in made.items if item is not held)
    read = Reading("a-seat", "height", 380.0, tolerance_in=0.5)
    made = replace(made, items=(*others, found), readings=(*made.readings, read))
    finding = judged(made, book({"b": "nearby wire", "need": 19.0})).the("mine.0")
    assert (finding.verdict, finding.tolerance_in) == ("tight", 1.5)


def test_the_tolerance_of_a_far_end_counts_only_away_from_the_support(book: Book) -> None:
    far = Reading("a", "height", 380.0, tolerance_in=0.5)
    made = job_of(At("a", 10.0, 380.0), more=(*nearby(380.0), far))
    finding = judged(made, book({"b": "nearby wire", "need": 19.0})).the("mine.0")
    assert (finding.verdict, finding.tolerance_in) == ("meets", 0.0)


# Of several rules the most demanding.


def test_of_rules_of_one_book_that_measure_a_pair_one_way_the_strictest_is_told(
    book: Book,
) -> None:
    rules = book({"need": 10.0}, {"need": 15.0}, {"a": "phase", "need": 12.0})
    (finding,) = judged(two(20.0, 0.0), rules).about("a", "b")
    assert (finding.rule.id, finding.need, finding.verdict) == ("mine.1", 15.0, "meets")


def test_the_strictest_is_found_for_each_pair(book: Book) -> None:
    wires = (At("a", 10.0, 380.0), At("b", 30.0, 380.0, "vale"), At("c", 50.0, 380.0, phase="C"))
    rules = book({"need": 10.0}, {"need": 15.0, "when": {"circuit": "different"}})
    checked = judged(job_of(*wires), rules)
    assert pairs(checked.of("mine.1")) == [("a", "b"), ("b", "c")]
    assert pairs(checked.of("mine.0")) == [("a", "c")]


def test_rules_that_measure_in_other_ways_are_told_beside_it(book: Book) -> None:
    rules = book({"need": 10.0}, {"need": 15.0, "measure": "horizontal"})
    assert len(judged(two(20.0, 0.0), rules).about("a", "b")) == 2


def test_each_book_is_told(book: Book, tmp_path: Path) -> None:
    mine = book({"need": 10.0})
    folder = tmp_path / "other"
    folder.mkdir()
    theirs = written_book(folder, _toml(1, {"need": 15.0}))
    found = judged(two(20.0, 0.0), mine, theirs).about("a", "b")
    assert {f.rule.id for f in found} == {"mine.0", "mine.1"}


@pytest.mark.parametrize("order", [1, -1], ids=["number-first", "unknown-first"])
@pytest.mark.parametrize(("across_in", "says"), [(20.0, "meets"), (9.0, "short")])
def test_a_number_is_told_beside_a_rule_that_is_not_known(
    book: Book, order: int, across_in: float, says: str
) -> None:
    """One rule that is not known must not hide that another is short, nor the other way."""
    rules = book(*[{"need": 10.0}, {"need": "Table 9"}][::order])
    found = judged(two(across_in, 0.0), rules).about("a", "b")
    assert sorted(f.verdict for f in found) == sorted(["cannot say", says])


# Order, verdicts and keys.


def test_findings_come_worst_first_and_the_least_to_spare_first(book: Book) -> None:
    out = {"a": 10.0, "b": 22.0, "c": 40.0, "d": 75.0, "e": 130.0}
    wires = [At(key, x, 380.0, phase="A") for key, x in out.items()]
    made = job_of(*wires, more=nearby(None))
    rules = book({"need": 35.0}, {"b": "nearby wire", "need": 1.0})
    findings = judged(made, rules).findings
    assert {f.verdict for f in findings} == {"short", "cannot say", "meets"}
    ranks = [RANK[f.verdict] for f in findings]
    assert ranks == sorted(ranks)
    for first, second in pairwise(findings):
        if first.verdict == second.verdict and first.spare is not None:
            assert second.spare is not None
            assert first.spare <= second.spare
    assert findings[0].spare == pytest.approx(12.0 - 35.0)


def test_the_verdicts_from_worst_to_best() -> None:
    assert sorted(RANK, key=RANK.__getitem__) == ["short", "cannot say", "tight", "meets"]


@pytest.mark.parametrize(
    ("gap", "need", "tolerance", "assumed", "says"),
    [
        (42.0, 42.0, 0.0, False, "meets"),
        (42.0 - 1e-9, 42.0, 0.0, False, "meets"),  # noise of arithmetic
        (42.0 - 1e-4, 42.0, 0.0, False, "short"),
        (42.0, 42.0, 0.25, False, "tight"),
        (42.25, 42.0, 0.25, False, "meets"),
        (42.0, 42.0, 0.0, True, "tight"),
        (100.0, 42.0, 0.0, True, "tight"),
        (41.0, 42.0, 0.0, True, "short"),
        (float("nan"), 42.0, 0.0, False, "short"),
    ],
)
def test_a_verdict_leans_to_the_worse(
    gap: float, need: float, tolerance: float, assumed: bool, says: str
) -> None:
    assert verdict(gap, need, tolerance, assumed=assumed) == says


def busy_job(up_in: float = 380.0) -> Job:
    """Something of everything that makes findings; nobody knows how high one arm is."""
    lost = OnPole(when="found", host="pole")
    undecided = Item("box", "equipment", (Undecided(when="found"),), name="Box")
    return job_of(
        At("a", 10.0, up_in),
        At("b", 22.0, up_in, phase="B"),
        At("c", 10.0, up_in - 12.0, "vale"),
        At("p", 10.0, 200.0, "phone", "cable", "over road"),
        more=(
            arm("line", 420.0),
            arm("buck", 400.0, faces_deg=90.0),
            undecided,
            Item("lost", "arm", (lost,), part=ARM, name="Lost arm"),
            on_arm("lost-pin", "lost", 30.0),
            wire("lost-wire", "vale", "north", "lost-pin", phase="C"),
            *nearby(None),
            LimitLine("wall", "Wall", east_in=12.0, azimuth_deg=90.0),
            LimitLine("hedge", "Hedge", east_in=14.0, azimuth_deg=90.0),
        ),
    )


EVERYTHING = (
    {"need": 15.0},
    {"measure": "horizontal", "need": 5.0, "box": "b"},
    {"measure": "vertical", "need": 5.0, "box": "b"},
    {"b": "nearby wire"},
    {"measure": "arm spacing", "a": "arm", "b": "arm"},
    {"measure": "below top", "a": "arm", "b": None},
    {"measure": "above ground", "b": None, "when": {"over": "road"}},
    {"measure": "surface", "b": "pole", "need": "Table 9"},
)


def keys(made: Job, rules: Rulebook) -> list[str]:
    return [finding.key for finding in check(place(made, "framed"), (rules,))]


def test_no_two_findings_of_a_check_have_one_key(book: Book) -> None:
    found = keys(busy_job(), book(*EVERYTHING))
    assert len(found) > 20
    assert "mine.0|?height of Lost arm not known" in found
    limits = [key for key in found if key.startswith("job.limit-line")]
    assert {key.partition("|")[0] for key in limits} == {
        "job.limit-line wall",
        "job.limit-line hedge",
    }
    assert [key.partition("|")[2] for key in limits].count("?height of Lost arm not known") == 2
    assert len(set(found)) == len(found)


def test_a_finding_keeps_its_key_when_only_numbers_change(book: Book) -> None:
    rules = book(*EVERYTHING)
    before, after = keys(busy_job(), rules), keys(busy_job(up_in=381.5), rules)
    assert set(before) == set(after)
    assert set(before) == set(keys(busy_job(), rules))


def test_a_key_names_the_rule_and_the_things(book: Book) -> None:
    (finding,) = judged(two(20.0, 0.0), book({})).about("a", "b")
    assert finding.key == "mine.0|a|b"


def test_a_job_with_nothing_to_judge_has_no_findings(book: Book) -> None:
    assert list(judged(job_of(), book(*EVERYTHING[:3])).findings) == []


def test_a_finding_shows_where_its_gap_is(book: Book) -> None:
    finding = judged(two(20.0, 0.0), book({})).the("mine.0", "a", "b")
    assert finding.line is not None
    ends = sorted(finding.line)
    first, second = POLE_RADIUS_IN + 10.0, POLE_RADIUS_IN + 30.0
    assert ends == [pytest.approx((first, 0.0, 380.0)), pytest.approx((second, 0.0, 380.0))]
