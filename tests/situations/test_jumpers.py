"""Jumpers from support to support: lengths, gaps, phases and corners, worked by hand.

The bow of 15 % over the straight way is common practice.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
from msgspec.structs import replace

from framer.geometry.jumpers import crossings, rolls
from framer.geometry.placing import place
from framer.geometry.scene import Tag, Tube
from framer.model.item import Item
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Join, JoinPlace, Phase, Span
from framer.model.place import OnArm, OnPole
from framer.takeoff.jumpers import JumperRow, jumper_words, jumpers
from framer.takeoff.materials import materials
from tests.build import Record, job, judged, pole, seat, wire

MAIN, OTHER = Circuit("main", "Main", kv=12.5), Circuit("other", "Other", kv=34.5)
NORTH, EAST, SOUTH, WEST = (
    Span(name, f"pole {name}", azimuth, 1800.0)
    for name, azimuth in (("north", 0.0), ("east", 90.0), ("south", 180.0), ("west", 270.0))
)
SPANS = (NORTH, EAST, SOUTH, WEST)
RAVEN = "acsr-raven-1-0"


def at(key: str, east_ft: float, north_ft: float, up_ft: float) -> Item:
    """A fixing for a wire at a point, feet from the pole's middle; the pole is 10 in thick."""
    out_in = 12 * math.hypot(east_ft, north_ft) - 5.0
    azimuth = math.degrees(math.atan2(east_ft, north_ft)) % 360.0
    return seat(key, 12 * up_ft, out_in=out_in, faces_deg=azimuth)


def hop(key: str, a: str, b: str, made: Any = "jumper", **more: Any) -> Join:
    return Join(key, a, b, (JoinPlace("after", made),), **more)


def two_ends(
    a: tuple[float, float, float],
    b: tuple[float, float, float],
    phase: Phase = "A",
    key: str = "",
) -> list[Record]:
    """Two wires of a phase that end at two points, and a jumper between them."""
    return [
        at(f"line{key}-seat", *a),
        at(f"buck{key}-seat", *b),
        wire(f"line{key}", "main", "north", f"line{key}-seat", phase=phase, part=RAVEN),
        wire(f"buck{key}", "main", "east", f"buck{key}-seat", phase=phase, part=RAVEN),
        hop(f"hop{key}", f"line{key}", f"buck{key}"),
    ]


def made(*records: Record, settings: Settings | None = None) -> Job:
    return job(MAIN, OTHER, *SPANS, *pole(55), *records, settings=settings)


def the(one: Job) -> JumperRow:
    (row,) = jumpers(place(one, "framed"))
    return row


# A33: from the line pin to the buck dead-end.

PIN, DEAD_END = (-4.5, 0.0, 38.5), (0.5, 3.5, 33.4)


def test_a33_the_jumper_is_9_ft_6_in() -> None:
    row = the(made(*two_ends(PIN, DEAD_END)))
    # sqrt(5^2 + 3.5^2 + 5.1^2) = 7.95 ft; x 1.15 = 9.15
    assert row.straight_in == pytest.approx(12 * 7.95, abs=0.06)
    assert row.length_in == pytest.approx(12 * 9.15, abs=0.12)
    assert row.cut_in == 114.0
    assert row.assumed == "jumper A from pole north to pole east taken to hang with a bow of 15 %"


@pytest.mark.parametrize(
    ("a", "b", "bow", "step", "straight_ft", "cut_in"),
    [
        # own: 3-4-5 triangle in plan, level: 5 ft; 5.75: 6 ft
        ((-4.0, 2.0, 36.0), (-1.0, 6.0, 36.0), 15.0, 6.0, 5.0, 72.0),
        # own: 2-3-6: 7 ft; x 1.2 = 8.4: 8 ft 6 in, or by the foot 9 ft
        ((-4.0, 2.0, 36.0), (-2.0, 5.0, 30.0), 20.0, 6.0, 7.0, 102.0),
        ((-4.0, 2.0, 36.0), (-2.0, 5.0, 30.0), 20.0, 12.0, 7.0, 108.0),
        # own: without bow it is as long as straight, 7 ft just
        ((-4.0, 2.0, 36.0), (-2.0, 5.0, 30.0), 0.0, 6.0, 7.0, 84.0),
    ],
)
def test_a33_with_other_numbers(
    a: Any, b: Any, bow: float, step: float, straight_ft: float, cut_in: float
) -> None:
    settings = Settings(jumper_bow_percent=bow, jumper_step_in=step)
    row = the(made(*two_ends(a, b), settings=settings))
    assert row.straight_in == pytest.approx(12 * straight_ft)
    assert row.cut_in == cut_in


def test_a33_three_alike_are_28_5_ft_in_the_bill() -> None:
    # side by side to the west, each pair of ends as far apart as the other
    records = [
        record
        for number, phase in enumerate(("A", "B", "C"))
        for record in two_ends(
            (-4.5 - number, 0.0, 38.5),
            (0.5 - number, 3.5, 33.4),
            phase,
            phase,  # type: ignore[arg-type]
        )
    ]
    rows = [row for row in materials(made(*records)) if "jumper" in row.name]
    assert [(row.quantity, row.unit, row.fate) for row in rows] == [(28.5, "ft", "install")]
    assert rows[0].name == "ACSR 1/0 6/1 Raven, jumper"
    assert rows[0].why.count("1 piece of 9 ft 6 in") == 3


def test_the_path_is_as_long_as_it_says_and_goes_from_end_to_end() -> None:
    scene = place(made(*two_ends(PIN, DEAD_END)), "framed")
    pieces = [part.shape for part in scene.parts if part.owner == "hop"]
    tubes = [shape for shape in pieces if isinstance(shape, Tube)]
    assert len(tubes) == len(pieces) == 4
    assert tubes[0].p == pytest.approx((-54.0, 0.0, 462.0))
    assert tubes[-1].q == pytest.approx((6.0, 42.0, 400.8))
    assert all(one.q == other.p for one, other in pairwise(tubes))
    length = sum(math.dist(tube.p, tube.q) for tube in tubes)
    assert length == pytest.approx(1.15 * math.dist(tubes[0].p, tubes[-1].q))
    # it hangs: its middle is lower than half way
    assert tubes[2].p[2] < (462.0 + 400.8) / 2


def test_a33_a_path_through_the_quadrant_that_is_climbed_is_flagged() -> None:
    def climbing(side: Any, a: Any, b: Any) -> JumperRow:
        return the(made(*two_ends(a, b), settings=Settings(climbing_side=side)))

    # own: 2 ft north of the pole's middle, from 3 ft west to 3 ft east: the north-east quadrant is
    # left with a square of 2 ft less half the wire's 0.398 in
    across = ((-3.0, 2.0, 36.0), (3.0, 2.0, 36.0))
    row = climbing("NE", *across)
    assert row.column_in == pytest.approx(24.0 - 0.199, abs=0.02)
    assert climbing("SE", *across).column_in is None
    assert climbing("", *across).column_in is None
    scene = place(made(*two_ends(*across), settings=Settings(climbing_side="NE")), "framed")
    assert list(jumper_words(scene, row))[-1] == (
        "!! in the climbing space: it leaves 1 ft 11 1/2 in square clear at the north-east"
    )


# Gaps.


def test_gaps_are_measured_to_the_nearest_of_each_kind() -> None:
    # own, no bow: level 3 ft west of the pole's middle, running north; pole 36 - 5 - 0.199; a wire
    # of another circuit 30 in under it, 30 - 0.199 - its own 0.75 of unknown size
    records = [
        *two_ends((-3.0, -2.0, 36.0), (-3.0, 2.0, 36.0)),
        at("low-seat", -3.0, -2.0, 33.5),
        wire("low", "other", "north", "low-seat"),
    ]
    row = the(made(*records, settings=Settings(jumper_bow_percent=0.0)))
    gaps = {one.kind: (one.owner, one.gap_in) for one in row.approaches}
    assert gaps == {
        "pole": ("pole", pytest.approx(30.801)),
        "other wire": ("low", pytest.approx(29.051)),
    }


def test_the_bow_brings_it_nearer() -> None:
    # own: over 48 in level a bow of 15 % is a chain of four pieces 12.45 in deep in the middle
    records = [
        *two_ends((-3.0, -2.0, 36.0), (-3.0, 2.0, 36.0)),
        at("low-seat", -3.0, -2.0, 33.5),
        wire("low", "other", "north", "low-seat"),
    ]
    row = the(made(*records))
    deep = 12.45
    half = [math.hypot(12.0, deep * high) for high in (0.75, 0.25)]
    assert 2 * sum(half) == pytest.approx(48 * 1.15, abs=0.1)
    (gap,) = [one.gap_in for one in row.approaches if one.kind == "other wire"]
    assert gap == pytest.approx(29.051 - deep, abs=0.1)


def test_wires_of_its_own_potential_are_not_in_its_way() -> None:
    row = the(made(*two_ends(PIN, DEAD_END)))
    assert [one.kind for one in row.approaches] == ["pole"]


def test_a_rule_about_jumpers_measures_them_and_rests_on_the_bow(tmp_path: Any) -> None:
    from tests.build import written_book

    rules = written_book(
        tmp_path,
        """[[rule]]
id = "mine.jumper"
title = "Jumper"
measure = "slant"
a = "jumper"
b = "wire"
need = [{ value = 20 }]
source = { document = "a test", how_known = "house" }
when = { circuit = "different" }
""",
    )

    def found(low_ft: float) -> Any:
        records = [
            *two_ends((-3.0, -2.0, 36.0), (-3.0, 2.0, 36.0)),
            at("low-seat", -3.0, -2.0, low_ft),
            wire("low", "other", "north", "low-seat"),
        ]
        settings = Settings(jumper_bow_percent=0.0)
        return judged(made(*records, settings=settings), rules).the("mine.jumper", "hop", "low")

    # middles 30 and 18 in apart; one finding, though it is of four pieces
    far, near = found(33.5), found(34.5)
    assert (far.verdict, far.gap) == ("tight", pytest.approx(30.0))
    assert far.assumed == "jumper A from pole north to pole east taken to hang with a bow of 0 %"
    assert (near.verdict, near.gap) == ("short", pytest.approx(18.0))


def test_a_wire_of_another_line_is_taken_at_its_hottest_over_a_jumper(tmp_path: Any) -> None:
    from framer.model.line import NearbyWire
    from framer.model.reading import Reading
    from tests.build import written_book

    rules = written_book(
        tmp_path,
        """[[rule]]
id = "mine.jumper"
title = "Jumper"
measure = "slant"
a = "jumper"
b = "nearby wire"
need = [{ value = 20 }]
source = { document = "a test", how_known = "house" }
""",
    )
    records = [
        *two_ends((-3.0, -2.0, 36.0), (-3.0, 2.0, 36.0)),
        NearbyWire("near", "Near", "other", -36.0, 0.0, 90.0, hot_drop_in=6.0),
        Reading("near", "height", 12 * 36 + 30.0),
    ]
    settings = Settings(jumper_bow_percent=0.0)
    # own: 30 in over it as read, 24 at the hottest
    found = judged(made(*records, settings=settings), rules).the("mine.jumper", "hop", "near")
    assert (found.verdict, found.gap) == ("tight", pytest.approx(24.0))


# Ends.


def box(live: int | None) -> list[Record]:
    case = Item(
        "cutout",
        "cutout",
        (OnPole(when="after", host="pole", at_in=400.0, azimuth_deg=90.0),),
        part="cutout-15kv",
        circuit="main",
        phase="A",
    )
    return [
        at("seat", 3.0, 0.0, 36.0),
        wire("line", "main", "north", "seat"),
        case,
        hop("tap", "line", "cutout", "tap", b_live=live),
    ]


def test_an_end_on_equipment_is_on_the_live_point_that_is_named() -> None:
    # own: contacts 7 in over and under the bolt, 14 in out from the pole's face at x = 5: (19, 0,
    # 407) and (19, 0, 393); the wire at (36, 0, 432)
    upper, lower = the(made(*box(1))), the(made(*box(2)))
    assert upper.straight_in == pytest.approx(math.hypot(17.0, 25.0))
    assert lower.straight_in == pytest.approx(math.hypot(17.0, 39.0))


@pytest.mark.parametrize(
    ("live", "missing"),
    [
        (None, "which of 2 live points of cutout not said"),
        (3, "cutout has no live point 3"),
    ],
)
def test_an_end_that_is_not_known_is_said(live: int | None, missing: str) -> None:
    one = made(*box(live))
    row = the(one)
    assert (row.straight_in, row.length_in, row.cut_in, row.approaches) == (None, None, None, ())
    assert row.missing == f"the path of jumper A from pole north to cutout is not known: {missing}"
    (listed,) = [found for found in materials(one) if "tap" in found.name]
    assert (listed.unresolved, listed.unit, listed.quantity) == (True, "ea", 1)
    assert missing in listed.why


def test_a_neutral_goes_round_the_pole() -> None:
    # own: 8 in from the middle on two sides; straight through the pole 16 in, 15 % more would pass
    # 3.9 in beside the middle of a pole of 5
    row = the(made(*two_ends((-8 / 12, 0.0, 30.0), (8 / 12, 0.0, 30.0), "N")))
    assert row.straight_in == pytest.approx(16.0)
    assert row.length_in is not None
    assert row.length_in > 1.15 * 16.0
    assert row.assumed == "jumper N from pole north to pole east taken to go round the pole"
    scene = place(made(*two_ends((-8 / 12, 0.0, 30.0), (8 / 12, 0.0, 30.0), "N")), "framed")
    for part in scene.parts:
        if part.tags & Tag.JUMPER:
            assert isinstance(part.shape, Tube)
            x, y, _ = (0.5 * (p + q) for p, q in zip(part.shape.p, part.shape.q, strict=True))
            assert math.hypot(x, y) > 5.0


@pytest.mark.parametrize("state", ["through", "open"])
def test_what_is_no_wire_of_its_own_is_no_jumper(state: Any) -> None:
    records = [*two_ends(PIN, DEAD_END)[:-1], hop("hop", "line", "buck", state)]
    assert jumpers(place(made(*records), "framed")) == ()


# A34: phases at a corner.


def corner(first: str, second: str, joined: bool = False, turn: str = "east") -> Job:
    """Wires on a north and on another span, in order from left to right looking out."""
    records: list[Record] = []
    for span, order, up in (("north", first, 38.0), (turn, second, 34.0)):
        azimuth = {"north": 0.0, "east": 90.0, "west": 270.0, "south": 180.0}[span]
        for number, phase in enumerate(order):
            right_ft = 3.0 * (number - 1)
            turned = math.radians(azimuth + 90.0)
            east, north = right_ft * math.sin(turned), right_ft * math.cos(turned)
            key = f"{span}-{phase}"
            out = math.radians(azimuth)
            # a foot out along the span, so that the middle one is beside the pole
            spot = (east + math.sin(out), north + math.cos(out), up)
            records += [
                at(f"{key}-seat", *spot),
                wire(key, "main", span, f"{key}-seat", phase=phase),  # type: ignore[arg-type]
            ]
    if joined:
        records += [hop(f"hop-{phase}", f"north-{phase}", f"{turn}-{phase}") for phase in first]
    return made(*records)


# Looking out along the north span west is left; along the east span north is left.
ROLLED = "the outer two change sides: three crossings in plan; confirm phases before any jumper"


def test_a34_a_b_c_north_and_a_b_c_east_roll() -> None:
    (roll,) = rolls(place(corner("ABC", "ABC"), "framed"))
    assert {roll.first, roll.second} == {"east", "north"}
    assert roll.natural == "CBA"
    assert len(roll.crossing) == 3
    assert roll.words == ROLLED


def test_a34_c_b_a_east_goes_on_without_crossing() -> None:
    assert list(rolls(place(corner("ABC", "CBA"), "framed"))) == []


def test_a34_the_roll_is_a_finding_with_or_without_jumpers() -> None:
    for joined in (False, True):
        found = judged(corner("ABC", "ABC", joined)).of("job.phases")
        assert [(one.verdict, one.missing) for one in found] == [
            ("cannot say", f"Main, pole east to pole north: {ROLLED}")
        ]
        assert judged(corner("ABC", "CBA", joined)).of("job.phases") == []


@pytest.mark.parametrize(
    ("first", "second", "words"),
    [
        # own: natural is CBA; BCA has B and C the other way round: one crossing
        ("ABC", "BCA", "B and C change places: one crossing in plan"),
        # BAC: A and C, B and C keep their order as seen looking out: two crossings
        ("ABC", "BAC", "A and C change places, B and C change places: two crossings in plan"),
        ("BAC", "CAB", ""),
    ],
)
def test_a34_with_other_orders(first: str, second: str, words: str) -> None:
    found = list(rolls(place(corner(first, second), "framed")))
    assert [roll.words.split(";")[0] for roll in found] == ([words] if words else [])


def test_a34_to_the_west_the_inner_wire_is_the_one_nearest() -> None:
    # own: from the north A, B, C from west to east, turning west: the west wire stays inside and
    # becomes the north one; looking west the south is left, so from left to right C, B, A
    assert list(rolls(place(corner("ABC", "CBA", turn="west"), "framed"))) == []
    assert len(list(rolls(place(corner("ABC", "ABC", turn="west"), "framed")))) == 1


def test_a34_straight_on_a_transposition_is_told_too() -> None:
    assert list(rolls(place(corner("ABC", "CBA", turn="south"), "framed"))) == []
    (roll,) = rolls(place(corner("ABC", "CAB", turn="south"), "framed"))
    assert roll.crossing == (("A", "B"),)


def test_crossings_of_two_orders_are_symmetric() -> None:
    for one in ("ABC", "ACB", "BAC", "BCA", "CAB", "CBA"):
        for other in ("ABC", "ACB", "BAC", "BCA", "CAB", "CBA"):
            assert crossings(one, other) == crossings(other, one)


def test_a_tap_from_wires_that_run_through_is_judged_from_either_span() -> None:
    # own: north to south through; A, B, C from west to east. West from the north span needs A in
    # the north, from the south span A in the south: either is good, as the wires run through
    for order in ("ABC", "CBA"):
        records = list(corner("ABC", "CBA", turn="south").items)
        south = corner("ABC", "CBA", turn="south")
        west = corner("ABC", order, turn="west")
        extra = [item for item in west.items if item.id.startswith("west")]
        joins = [hop(f"thru-{p}", f"north-{p}", f"south-{p}", "through") for p in "ABC"]
        joins += [hop(f"tap-{p}", f"south-{p}", f"west-{p}") for p in "ABC"]
        both = replace(
            south,
            items=(*records, *extra),
            wires=(*south.wires, *(w for w in west.wires if w.span == "west")),
            joins=tuple(joins),
        )
        assert list(rolls(place(both, "framed"))) == []


def test_a_jumper_joins_equal_letters() -> None:
    records = [
        at("a-seat", *PIN),
        at("b-seat", *DEAD_END),
        wire("a", "main", "north", "a-seat", phase="A"),
        wire("b", "main", "east", "b-seat", phase="B"),
        hop("hop", "a", "b"),
    ]
    (found,) = judged(made(*records)).of("job.phases")
    assert found.missing == (
        "jumper A/B from pole north to pole east joins phase A to B "
        "(A of Main to pole north - B of Main to pole east): confirm phases"
    )
    opened = [*records[:-1], hop("hop", "a", "b", "open")]
    assert judged(made(*opened)).of("job.phases") == []


def test_secondary_to_service_is_no_question_of_letters() -> None:
    records = [
        at("a-seat", *PIN),
        at("b-seat", *DEAD_END),
        wire("a", "main", "north", "a-seat", phase="triplex"),
        wire("b", "main", "east", "b-seat", phase="service"),
        hop("hop", "a", "b"),
    ]
    assert judged(made(*records)).of("job.phases") == []


def test_on_an_arm_a_jumper_starts_at_the_groove_of_its_pin() -> None:
    from tests.build import arm, on_arm

    # own: pin 48 in east on an arm facing north at 420 in: (48, 6.375, 433), 13 in above the bolt
    records = [
        arm("arm", 420.0),
        on_arm("pin", "arm", 48.0),
        wire("a", "main", "north", "pin"),
        at("b-seat", 4.0, 0.0, 30.0),
        wire("b", "main", "east", "b-seat"),
        hop("hop", "a", "b"),
    ]
    row = the(made(*records))
    assert row.straight_in == pytest.approx(math.hypot(6.375, 73.0))
    assert isinstance(records[1].places[0], OnArm)  # type: ignore[union-attr]
