"""The space equipment needs to work: wires, guys and other cases stay out of it.

Sizes of the spaces are stock data, memory or house examples, and inputs here: the swing of the
fuse holder of the 15 kV cutout is 14 to 30 in out from its face, from 23 in below its bolt to 7 in
above, 4 in either side. No book read so far gives such a number; that nothing stands in the swing
of a cutout is common practice.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.explain import explained, one_line
from framer.geometry.placing import place
from framer.geometry.scene import Box, Tag
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.place import Guyed, OnItem, OnPole
from framer.model.reading import Reading
from tests.build import Checked, Record, arm, job, judged, on_arm, pinned, pole, seat, wire

WIRE, GUY, CASE, NEARBY, ARM, RUN, SPACE, COLUMN = (
    f"house.space-{key}"
    for key in ("wire", "guy", "case", "nearby", "arm", "run", "space", "column")
)
LOW, HIGH = "house.meter-low", "house.meter-high"
MAIN = Circuit("main", "Main", kv=12.47)
NORTH = Span("north", "N", 0.0, 1800.0)
R = 0.398 / 2  # of the wire, 1/0 ACSR 6/1, ASTM B232 table 1: read


def fixed(key: str, kind: str, part: str | None, at_in: float, **more: Any) -> Item:
    more.setdefault("azimuth_deg", 90.0)
    name = more.pop("name", "")
    where = OnPole(when="after", host="pole", at_in=at_in, **more)
    return Item(key, kind, (where,), part, name=name, circuit="main", phase="A")  # type: ignore[arg-type]


CUTOUT = fixed("cutout", "cutout", "cutout-15kv", 300.0)


def house(*records: Record) -> Checked:
    return judged(job(MAIN, NORTH, *pole(45), *records), "house")


def wire_past(east_in: float, height_in: float) -> list[Record]:
    """A wire to the north at a place east of the pole, which is 5 in thick that way."""
    return [
        seat("seat", height_in, out_in=east_in - 5.0),
        wire("w", "main", "north", "seat", part="acsr-raven-1-0", sag_in=0.0),
    ]


def test_the_swing_of_a_cutout_stands_out_from_its_face() -> None:
    shape = house(CUTOUT).scene.part_by_key["cutout/space1"].shape
    assert isinstance(shape, Box)
    assert shape.centre == pytest.approx((5.0 + 22.0, 0.0, 292.0))
    assert (shape.u, shape.v, shape.w) == ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    assert shape.half == (4.0, 8.0, 15.0)


@pytest.mark.parametrize(
    ("east_in", "height_in", "gap_in", "verdict"),
    [
        # the swing lies 19 to 35 in east of the pole's middle, 277 to 307 in up
        (27.0, 307.0 + R, 0.0, "meets"),  # lies on it
        (27.0, 306.0 + R, -1.0, "short"),
        (27.0, 277.0 - R, 0.0, "meets"),
        (36.0 + R, 290.0, 1.0, "meets"),
        (34.0 + R, 290.0, -1.0, "short"),
        (38.0, 311.0, 5.0 - R, "meets"),  # over a corner: 3 and 4
        (27.0, 292.0, -4.0, "short"),  # from its middle: 4 in to the north it is out of it
    ],
)
def test_a_wire_stays_out_of_the_swing_of_a_cutout(
    east_in: float, height_in: float, gap_in: float, verdict: str
) -> None:
    finding = house(CUTOUT, *wire_past(east_in, height_in)).the(WIRE, "w", "cutout")
    assert finding.gap == pytest.approx(gap_in, abs=1e-6)
    assert finding.verdict == verdict


def test_what_reaches_in_is_said_with_how_far_and_that_the_size_is_from_memory() -> None:
    records = (CUTOUT, *wire_past(27.0, 306.0 + R))
    made = job(MAIN, NORTH, *pole(45), *records)
    finding = judged(made, "house").the(WIRE, "w", "cutout")
    words = one_line(made, finding)
    assert "swing of the fuse holder of " in words
    assert "1 in inside, needs 0 in, short 1 in" in words
    assert words.endswith("[size of the space from memory]")
    assert "The size of the space is stock data, known by: memory." in explained(made, finding)


def guy(up_in: float, azimuth_deg: float) -> Item:
    """A level guy, 5/16 in thick."""
    where = Guyed(
        when="after", host="pole", at_in=up_in, azimuth_deg=azimuth_deg, lead_in=1800.0,
        far_height_in=up_in,
    )  # fmt: skip
    return Item("guy", "guy", (where,), "guy-5-16in-ehs")


@pytest.mark.parametrize(
    ("up_in", "azimuth_deg", "verdict"),
    [(300.0, 90.0, "short"), (308.0, 90.0, "meets"), (300.0, 180.0, "meets")],
)
def test_a_guy_stays_out_of_the_swing_of_a_cutout(
    up_in: float, azimuth_deg: float, verdict: str
) -> None:
    assert house(CUTOUT, guy(up_in, azimuth_deg)).the(GUY, "guy", "cutout").verdict == verdict


@pytest.mark.parametrize(
    # the box is 16 in wide and 20 high from 10 over its bolt, 1 to 10 in out from its face
    ("box_in", "out_in", "gap_in", "verdict"),
    [
        (266.0, 14.0, 1.0, "meets"),  # its top 1 in under the swing
        (267.0, 14.0, 0.0, "meets"),
        (268.0, 14.0, -1.0, "short"),
        (290.0, 4.0, 0.0, "meets"),  # beside the swing: its face 14 in out
        (290.0, 5.0, -1.0, "short"),
    ],
)
def test_other_equipment_stays_out_of_the_swing_of_a_cutout(
    box_in: float, out_in: float, gap_in: float, verdict: str
) -> None:
    box = fixed("box", "equipment", "communications-box", box_in, out_in=out_in)
    found = house(CUTOUT, box).of(CASE, "box", "cutout")
    # the box's door swings too: only what is said of the cutout's swing
    (finding,) = (one for one in found if one.b is not None and one.b.owner == "cutout")
    assert finding.gap == pytest.approx(gap_in, abs=1e-6)
    assert finding.verdict == verdict


def test_a_lid_has_room_over_it() -> None:
    # top of the 25 kVA tank 6 in over its bolt, 12 in of room over that
    tank = fixed("tank", "transformer", "transformer-25kva", 300.0)
    checked = house(tank, fixed("cutout", "cutout", "cutout-15kv", 326.0))
    finding = next(one for one in checked.of(CASE) if one.b and one.b.owner == "tank")
    # the cutout's body ends 9 in under its bolt: 1 in inside
    assert (finding.verdict, finding.gap) == ("short", pytest.approx(-1.0))


def test_what_carries_the_equipment_and_what_it_carries_is_not_in_its_way() -> None:
    bracket = fixed("bracket", "bracket", "cutout-bracket", 300.0)
    hung = Item(
        "cutout", "cutout", (OnItem(when="after", host="bracket"),), "cutout-15kv",
        circuit="main", phase="A",
    )  # fmt: skip
    assert house(bracket, hung).of(CASE) == []
    beside = replace(CUTOUT, id="other")
    assert house(bracket, beside).the(CASE, "bracket", "other").verdict == "short"


# The swing of the 15 kV cutout is 19 to 35 in east of the pole's middle, 277 to 307 in up.


@pytest.mark.parametrize(
    ("height_in", "hot_in", "gap_in", "verdict"),
    [
        (307.0 + R, 0.0, 0.0, "meets"),
        (306.0 + R, 0.0, -1.0, "short"),
        (317.0 + R, 6.0, 4.0, "meets"),  # as low as it gets
        (317.0 + R, 11.0, -1.0, "short"),
    ],
)
def test_a_neighbouring_circuit_stays_out_at_its_hottest(
    height_in: float, hot_in: float, gap_in: float, verdict: str
) -> None:
    near = NearbyWire(
        "n", "Ridge", "main", east_in=27.0, north_in=0.0, azimuth_deg=0.0, part="acsr-raven-1-0",
        hot_drop_in=hot_in,
    )  # fmt: skip
    finding = house(CUTOUT, near, Reading("n", "height", height_in)).the(NEARBY, "n", "cutout")
    assert (finding.verdict, finding.gap) == (verdict, pytest.approx(gap_in, abs=1e-6))


@pytest.mark.parametrize(
    # 4-3/4 in high and 3-3/4 in thick; 14 in out it stands 18-1/2 to 22-1/4 in east
    ("bolt_in", "out_in", "gap_in", "verdict"),
    [
        (309.375, 14.0, 0.0, "meets"),
        (308.375, 14.0, -1.0, "short"),
        (300.0, 10.0, 19.0 - 18.25, "meets"),
        (300.0, 12.0, -(20.25 - 19.0), "short"),
    ],
)
def test_an_arm_that_does_not_carry_the_cutout_stays_out_of_its_swing(
    bolt_in: float, out_in: float, gap_in: float, verdict: str
) -> None:
    other = arm("arm", bolt_in, faces_deg=90.0)
    other = replace(other, places=(replace(other.places[0], out_in=out_in),))
    finding = house(CUTOUT, other).the(ARM, "arm", "cutout")
    assert (finding.verdict, finding.gap) == (verdict, pytest.approx(gap_in, abs=1e-6))


def test_the_arm_that_carries_the_cutout_is_not_in_its_way_and_another_is() -> None:
    hung = Item(
        "cutout", "cutout", (replace(on_arm("x", "arm", 40.0).places[0]),), "cutout-15kv",
        circuit="main", phase="A",
    )  # fmt: skip
    checked = house(arm("arm", 300.0), arm("under", 276.0), hung)
    # its swing ends 23 in under the bolt's height; the arm under it lies behind: 2 in to 6 in out
    assert [one.b.owner for one in checked.of(ARM) if one.b] == ["cutout"]
    assert checked.the(ARM, "under", "cutout").verdict == "meets"


@pytest.mark.parametrize(
    # 2 in conduit, 2.375 in thick and half an inch off: 5.5 in to 7.875 in east, and as told
    ("out_in", "top_in", "gap_in", "verdict"),
    [
        (11.125, 400.0, 0.0, "meets"),
        (12.125, 400.0, -1.0, "short"),
        (16.0, 277.0, 0.0, "meets"),
        (16.0, 279.0, -2.0, "short"),
    ],
)
def test_a_riser_stays_out_of_the_swing_of_a_cutout(
    out_in: float, top_in: float, gap_in: float, verdict: str
) -> None:
    up = OnPole(when="after", host="pole", at_in=0.0, to_in=top_in, azimuth_deg=90.0, out_in=out_in)
    riser = Item("riser", "riser", (up,), "riser-2in", circuit="main")
    finding = house(CUTOUT, riser).the(RUN, "riser", "cutout")
    assert (finding.verdict, finding.gap) == (verdict, pytest.approx(gap_in, abs=1e-6))


@pytest.mark.parametrize(
    # a cutout over it swings down to 23 in under its bolt; beside it each swing is 8 in wide
    ("up_in", "deg", "verdict", "gap_in"),
    [(330.0, 90.0, "meets", 0.0), (328.0, 90.0, "short", -2.0)],
)
def test_the_swings_of_two_cutouts_do_not_meet(
    up_in: float, deg: float, verdict: str, gap_in: float
) -> None:
    other = fixed("other", "cutout", "cutout-15kv", up_in, azimuth_deg=deg)
    finding = house(CUTOUT, other).the(SPACE, "other", "cutout")
    assert (finding.verdict, finding.gap) == (verdict, pytest.approx(gap_in, abs=1e-6))
    assert finding.rule.source.how_known == "house"


def test_swings_on_two_sides_of_a_pole_stay_apart() -> None:
    other = fixed("other", "cutout", "cutout-15kv", 300.0, azimuth_deg=270.0)
    assert house(CUTOUT, other).the(SPACE, "other", "cutout").gap == pytest.approx(38.0)


def test_the_spaces_of_one_thing_are_not_judged_against_each_other() -> None:
    switch = fixed("switch", "equipment", "switch-15kv-single-blade", 300.0)
    assert house(switch).of(SPACE) == []


# A switch: the blade stands 13 to 16 in out closed, and swings to 30 in out and 23 in down.


@pytest.mark.parametrize(
    ("east_in", "height_in", "closed", "opened"),
    [
        (5.0 + 14.5, 304.0, "short", "short"),
        (5.0 + 13.0 + R + 0.5, 304.0, "short", "meets"),  # between the blade's near face and 14
        (5.0 + 25.0, 304.0, "meets", "short"),
        (5.0 + 25.0, 280.0, "meets", "short"),  # where the opened blade hangs down
        (5.0 + 30.0 + R, 280.0, "meets", "meets"),
    ],
)
def test_a_wire_is_judged_by_the_blade_closed_and_by_the_blade_opened(
    east_in: float, height_in: float, closed: str, opened: str
) -> None:
    switch = fixed("switch", "equipment", "switch-15kv-single-blade", 300.0)
    found = house(switch, *wire_past(east_in, height_in)).of(WIRE, "w", "switch")
    said = {one.b.style: one.verdict for one in found if one.b}
    assert said == {"blade closed": closed, "swing of the opened blade": opened}


# A street lamp: its bracket reaches 84 in out; room to open it under its end, 58 to 84 in out.


@pytest.mark.parametrize(
    ("height_in", "verdict"),
    # its body ends 2 in under its bolt, the room 14 in under it; over it 28 and 40 in
    [(286.0 - R, "meets"), (287.0, "short"), (340.0 + R, "meets"), (339.0, "short")],
)
def test_a_lamp_has_room_to_be_opened_and_room_over_it(height_in: float, verdict: str) -> None:
    lamp = fixed("lamp", "lamp", "lamp-arm-6ft", 300.0)
    found = house(lamp, *wire_past(75.0, height_in)).of(WIRE, "w", "lamp")
    assert len(found) == 2
    assert min(found, key=lambda one: one.order).verdict == verdict
    # turned to the other side of the pole it is nowhere near
    turned = fixed("lamp", "lamp", "lamp-arm-6ft", 300.0, azimuth_deg=270.0)
    checked = house(turned, *wire_past(75.0, height_in))
    assert {one.verdict for one in checked.of(WIRE)} == {"meets"}


# Meters: 4 to 6 ft to the middle, from memory, an input here.


@pytest.mark.parametrize(
    ("middle_in", "low", "high"),
    [
        (48.0, "meets", "meets"),
        (47.9375, "short", "meets"),
        (60.0, "meets", "meets"),
        (72.0, "meets", "meets"),
        (72.0625, "meets", "short"),
        (96.0, "meets", "short"),
    ],
)
def test_a_meter_is_neither_too_low_nor_too_high(middle_in: float, low: str, high: str) -> None:
    # its box reaches as far over its bolt as under it
    checked = house(fixed("meter", "equipment", "meter-box", middle_in))
    found = [checked.the(rule, "meter") for rule in (LOW, HIGH)]
    assert [one.verdict for one in found] == [low, high]
    assert [one.gap for one in found] == pytest.approx([middle_in] * 2)
    assert {one.rule.source.how_known for one in found} == {"memory"}


def test_only_a_meter_has_a_height_to_be_read_from() -> None:
    checked = house(fixed("box", "equipment", "switch-box", 200.0))
    assert checked.of(LOW) == checked.of(HIGH) == []


# The climbing column: 36 in between pole pins, carried 48 in over and under wires 448 in up.

HIGH_IN = 448.0
TOP_IN = HIGH_IN + 48.0


def climbed(*records: Record, books: tuple[str, ...] = ("house", "go95-older")) -> Checked:
    along = {"A": -54.0, "B": -18.0, "C": 18.0}
    line = [arm("line", HIGH_IN - 13.0), *pinned("line", "high", "north", along)]
    south = [wire(f"{key}-south", "high", "south", f"line-{key}-pin", phase=key) for key in along]
    high = Circuit("high", "High", kv=21.0, grounded_wye=True)
    spans = (NORTH, Span("south", "S", 180.0, 1800.0))
    return judged(job(MAIN, high, *spans, *pole(60), *line, *south, *records), *books)


def cutout_over(bolt_in: float, azimuth_deg: float, out_in: float = 0.0) -> Item:
    """A cutout whose body ends over the stretch of the column, and its swing 23 in under it."""
    return fixed("cutout", "cutout", "cutout-15kv", bolt_in, azimuth_deg=azimuth_deg, out_in=out_in)


@pytest.mark.parametrize(
    # the column is 18 in to each side and 36 in out to the north; the swing is 19 to 35 in out
    ("azimuth_deg", "out_in", "gap_in", "verdict"),
    [
        (0.0, 0.0, -17.0, "short"),  # 36 less 19
        (0.0, 10.0, -7.0, "short"),
        (0.0, 17.0, 0.0, "meets"),
        (90.0, 0.0, 2.0, "meets"),  # 38 in wide it would meet it
        (90.0, -3.0, -2.0, "short"),
    ],
)
def test_a_swing_that_reaches_into_the_column_taken_is_named(
    azimuth_deg: float, out_in: float, gap_in: float, verdict: str
) -> None:
    checked = climbed(cutout_over(TOP_IN + 9.0, azimuth_deg, out_in))
    finding = checked.the(COLUMN, "cutout")
    assert (finding.verdict, finding.gap) == (verdict, pytest.approx(gap_in, abs=1e-6))
    # 14 in of it: 23 in under its bolt, which is 9 in over the stretch
    assert finding.where == "north side, from 40 ft 2 in to 41 ft 4 in"
    words = one_line(checked.scene.job, finding)
    assert "swing of the fuse holder of cutout, north side" in words
    assert words.endswith("[size of the space from memory]")


@pytest.mark.parametrize(("up_in", "there"), [(23.0, False), (22.9375, True)])
def test_a_swing_that_ends_over_the_stretch_is_not_in_it(up_in: float, there: bool) -> None:
    checked = climbed(cutout_over(TOP_IN + up_in, 0.0))
    assert bool(checked.of(COLUMN)) == there


def test_a_swing_far_from_the_column_is_not_spoken_of() -> None:
    assert climbed(cutout_over(TOP_IN + 9.0, 180.0)).of(COLUMN) == []


def test_no_column_no_word_of_it() -> None:
    assert climbed(cutout_over(TOP_IN + 9.0, 0.0), books=("house",)).of(COLUMN) == []


def test_two_books_that_climb_say_it_once() -> None:
    books = ("house", "go95-older", "go95", "nesc-2017")
    found = climbed(cutout_over(TOP_IN + 9.0, 0.0), books=books).of(COLUMN)
    assert [one.gap for one in found if one.verdict == "short"] == [pytest.approx(-17.0)]
    # a book that does not know how wide it must be says that
    unsaid = "how wide the climbing space of pole must be is not known"
    assert [one.missing for one in found if one.verdict != "short"] == [unsaid]


def test_equipment_of_no_known_space_may_stand_in_the_column_and_is_named() -> None:
    nameless = fixed("switch", "equipment", None, 440.0, name="Old switch")
    (finding,) = climbed(nameless).of(COLUMN)
    assert finding.verdict == "cannot say"
    assert finding.missing == "the space Old switch needs to work not known"


# What is not known.


@pytest.mark.parametrize("kind", ["transformer", "cutout", "equipment", "lamp"])
def test_a_thing_without_a_size_leaves_its_space_unsaid(kind: str) -> None:
    nameless = fixed("thing", kind, None, 300.0, name="Old thing")
    checked = house(nameless, *wire_past(60.0, 300.0), guy(300.0, 0.0), arm("arm", 200.0))
    # a book says once what it lacks, and of how many pairs: a wire, a guy and an arm
    missing = "the space Old thing needs to work not known"
    (finding,) = (one for one in checked.findings if one.missing == missing)
    assert (finding.verdict, finding.count) == ("cannot say", 3)
    part = checked.scene.part_by_key["thing/space"]
    assert (part.style, part.shape) == ("space to work", None)


def test_every_space_says_what_it_is_for_and_whose_it_is() -> None:
    made = (CUTOUT, fixed("lamp", "lamp", "lamp-arm-6ft", 250.0))
    spaces = [part for part in house(*made).scene.parts if part.tags & Tag.SPACE]
    assert [(part.owner, part.style) for part in spaces] == [
        ("cutout", "swing of the fuse holder"),
        ("lamp", "room to open the lamp"),
        ("lamp", "room over the lamp"),
    ]
    assert all(isinstance(part.shape, Box) for part in spaces)


def test_equipment_of_no_known_space_is_named_where_a_book_asks() -> None:
    nameless = fixed("switch", "equipment", None, 300.0, name="Old switch")
    records = (nameless, *wire_past(60.0, 300.0))
    found = house(*records).of(WIRE)
    assert [one.verdict for one in found] == ["cannot say"]
    assert found[0].missing == "the space Old switch needs to work not known"
    made = job(MAIN, NORTH, *pole(45), *records)
    asked = [one.rule.id for one in judged(made, "go95", "nesc-2017").findings if one.missing]
    assert not [rule for rule in asked if "space" in rule]


# What spaces do not change.


def test_a_space_is_nothing_to_see_and_no_other_rule_speaks_of_it() -> None:
    made = job(MAIN, NORTH, *pole(45), CUTOUT, *wire_past(27.0, 300.0), guy(300.0, 90.0))
    scene = place(made, "framed")
    assert not [part for part in scene.bodies if part.tags & Tag.SPACE]
    for finding in judged(made, "house", "go95", "nesc-2017").findings:
        if any(part is not None and "/space" in part.key for part in (finding.a, finding.b)):
            assert finding.rule.id.startswith("house.space-")


def layout(by_deg: float, up_in: float, out_in: float, box_deg: float) -> Job:
    def way(azimuth_deg: float) -> float:
        return (azimuth_deg + by_deg) % 360.0

    span = replace(NORTH, azimuth_deg=way(0.0))
    return job(
        MAIN,
        span,
        *pole(45),
        fixed("cutout", "cutout", "cutout-15kv", 300.0, azimuth_deg=way(90.0)),
        fixed("tank", "transformer", "transformer-25kva", up_in, azimuth_deg=way(box_deg)),
        fixed("box", "equipment", "switch-box", up_in - 20.0, azimuth_deg=way(box_deg + 50.0)),
        replace(guy(up_in, way(100.0))),
        seat("seat", up_in, out_in=out_in, faces_deg=way(80.0)),
        wire("w", "main", "north", "seat", part="acsr-raven-1-0", sag_in=0.0),
    )


@given(
    by_deg=st.floats(0.0, 360.0),
    up_in=st.floats(240.0, 340.0),
    out_in=st.floats(0.0, 60.0),
    box_deg=st.floats(0.0, 300.0),
)
@settings(deadline=None, max_examples=30)
def test_turning_the_job_changes_no_gap(
    by_deg: float, up_in: float, out_in: float, box_deg: float
) -> None:
    def gaps(turn_deg: float) -> dict[str, float]:
        checked = judged(layout(turn_deg, up_in, out_in, box_deg), "house")
        found = [one for rule in (WIRE, GUY, CASE) for one in checked.of(rule)]
        assert len(found) >= 5
        return {one.key: one.gap or 0.0 for one in found}

    assert gaps(by_deg) == pytest.approx(gaps(0.0), abs=1e-5)


@given(up_in=st.floats(240.0, 340.0), near_in=st.floats(0.0, 60.0), more_in=st.floats(0.0, 60.0))
@settings(deadline=None, max_examples=30)
def test_a_wire_farther_out_than_the_swing_is_never_worse_for_going_on(
    up_in: float, near_in: float, more_in: float
) -> None:
    def gap(east_in: float) -> float:
        found = house(CUTOUT, *wire_past(east_in, up_in)).the(WIRE, "w", "cutout")
        assert found.gap is not None
        return found.gap

    assert gap(27.0 + near_in + more_in) >= gap(27.0 + near_in) - 1e-9
