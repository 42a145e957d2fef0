"""Every kind of thing is put where its place says: points worked out by hand.

The pole is 10 in thick all the way, so its surface is 5 in from its centre line. The arm is
3-3/4 in along the bolt, 4-3/4 in deep and let 1/2 in into the pole: its middle is 5 + 1.875 - 0.5 =
6.375 in out, its outer face 8.25 in, its top 2.375 in above the bolt. Sizes of parts are those in
stock; they are typed here a second time.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from framer.errors import UnknownNameError
from framer.geometry.placing import NEARBY_REACH_IN, UNKNOWN_WIRE_RADIUS_IN, place
from framer.geometry.scene import Box, Part, Run, Scene, Tag, Tube, Unplaced
from framer.geometry.space import Point
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Span, Wire
from framer.model.place import (
    AnyPlace,
    Guyed,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Same,
    Standing,
    Undecided,
)
from framer.model.reading import Reading
from framer.model.stage import Stage
from framer.model.step import Step
from tests.build import Record, arm, job, on_arm, pole, seat, wire

MAIN = Circuit("main", "Main", kv=12.47, grounded_wye=True)
PHONE = Circuit("phone", "Phone", kind="communications")
WAYS = {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0, "north-east": 45.0}
SPANS = tuple(Span(name, name.title(), azimuth, 1800.0) for name, azimuth in WAYS.items())
HALF = math.sqrt(0.5)


def scene(*records: Record, stage: Stage = "framed", **standing: Any) -> Scene:
    """A 45-ft pole with these things."""
    return place(job(MAIN, PHONE, *SPANS, *pole(45, **standing), *records), stage)


def part(made: Scene, key: str) -> Part:
    return made.part_by_key[key]


def box(made: Scene, key: str) -> Box:
    shape = part(made, key).shape
    assert isinstance(shape, Box)
    return shape


def tube(made: Scene, key: str) -> Tube:
    shape = part(made, key).shape
    assert isinstance(shape, Tube)
    return shape


def run(made: Scene, key: str = "w") -> Run:
    shape = part(made, key).shape
    assert isinstance(shape, Run)
    return shape


def at(*numbers: float) -> Any:
    """A point to a millionth of an inch."""
    return pytest.approx(numbers, abs=1e-6)


def fixed(
    key: str, kind: str, part_id: str | None, up_in: float, faces_deg: float = 0.0, **more: Any
) -> Item:
    """A thing fixed to the pole."""
    fields = {name: more.pop(name) for name in ("circuit", "phase", "name") if name in more}
    where = OnPole(when="after", host="pole", at_in=up_in, azimuth_deg=faces_deg, **more)
    return Item(key, kind, (where,), part_id, **fields)  # type: ignore[arg-type]


# Poles.


def test_a_pole_is_a_round_from_butt_to_finished_top() -> None:
    made = scene(depth_in=72.0, cut_in=24.0, east_in=3.0, grade_in=-6.0)
    shape = tube(made, "pole")
    assert shape.p == at(3.0, 0.0, -78.0)
    assert shape.q == at(3.0, 0.0, 444.0 - 6.0)
    assert (shape.r_p, shape.r_q) == at(5.0, 5.0)
    assert part(made, "pole").tags == Tag.POLE
    assert part(made, "pole").pole == "pole"


def test_a_pole_of_no_known_top_has_no_shape() -> None:
    made = place(job(*pole(None)), "framed")
    assert (part(made, "pole").shape, part(made, "pole").missing) == (
        None,
        "top height of pole not known",
    )


def test_a_pole_of_no_known_girth_is_a_line_that_says_so() -> None:
    made = place(job(pole(45)[0]), "framed")
    shape = tube(made, "pole")
    assert (shape.p[2], shape.q[2], shape.r_p, shape.r_q) == at(-78.0, 462.0, 0.0, 0.0)
    assert part(made, "pole").missing == "girth of pole not known"


# Arms.


def test_an_arm_is_let_into_the_pole_by_its_gain() -> None:
    made = scene(arm("arm", 400.0))
    assert box(made, "arm").centre == at(0.0, 6.375, 400.0)
    assert box(made, "arm").half == at(60.0, 1.875, 2.375)
    assert box(made, "arm").p == at(-60.0, 6.375, 400.0)
    assert box(made, "arm").q == at(60.0, 6.375, 400.0)
    assert part(made, "arm").up_in == 400.0
    assert part(made, "arm").tags == Tag.ARM


def test_the_positive_end_of_an_arm_is_clockwise_of_its_face() -> None:
    # facing west it lies west of the pole, and its positive end is north
    made = scene(arm("arm", 400.0, faces_deg=270.0))
    assert box(made, "arm").centre == at(-6.375, 0.0, 400.0)
    assert box(made, "arm").q == at(-6.375, 60.0, 400.0)


def test_a_slanting_arm_keeps_its_distance() -> None:
    made = scene(arm("arm", 400.0, faces_deg=45.0))
    assert box(made, "arm").centre == at(6.375 * HALF, 6.375 * HALF, 400.0)
    assert box(made, "arm").q == at(66.375 * HALF, -53.625 * HALF, 400.0)


def test_the_second_arm_of_a_double_arm_lies_across_the_pole() -> None:
    made = scene(arm("arm", 400.0, part="double-arm-10ft-4pin"))
    assert box(made, "arm").centre == at(0.0, 6.375, 400.0)
    assert box(made, "arm/2").centre == at(0.0, -6.375, 400.0)
    assert {part(made, key).owner for key in ("arm", "arm/2")} == {"arm"}


def test_an_alley_arm_stands_out_to_its_positive_side() -> None:
    made = scene(arm("arm", 400.0, part="alley-arm-10ft"))
    assert box(made, "arm").p == at(-12.0, 6.375, 400.0)
    assert box(made, "arm").q == at(108.0, 6.375, 400.0)


def test_an_arm_sits_on_the_pole_as_thick_as_it_is_there() -> None:
    # girth 44 at the ground and 24 at 400 in: at 200 in 34, radius 5.4113
    where = OnPole(when="after", host="pole", at_in=200.0)
    made = place(
        job(
            pole(45)[0],
            Reading("pole", "girth", 44.0, at_in=0.0),
            Reading("pole", "girth", 24.0, at_in=400.0),
            Item("arm", "arm", (where,), part="arm-10ft-4pin"),
        ),
        "framed",
    )
    assert box(made, "arm").centre == at(0.0, 34.0 / (2 * math.pi) + 1.375, 200.0)


def test_out_in_is_added_to_the_distance_from_the_surface() -> None:
    where = OnPole(when="after", host="pole", at_in=400.0, out_in=2.5)
    made = scene(Item("arm", "arm", (where,), part="arm-10ft-4pin"))
    assert box(made, "arm").centre == at(0.0, 8.875, 400.0)


# Where wires rest.


def wired(on: Record | list[Record], span: str = "north", **more: Any) -> Scene:
    """A wire on an insulator named `i`."""
    records = on if isinstance(on, list) else [on]
    return scene(*records, wire("w", "main", span, "i", **more))


def test_a_wire_on_a_pin_stands_13_in_above_the_arms_bolt() -> None:
    made = wired([arm("arm", 400.0), on_arm("i", "arm", -54.0)])
    assert run(made).p == at(-54.0, 6.375, 400.0 + 2.375 + 10.625)
    pin = tube(made, "i")
    assert (pin.p, pin.q, pin.r_p) == (at(-54.0, 6.375, 402.375), at(-54.0, 6.375, 413.0), 3.5)
    assert part(made, "w").style == "pin"


def test_a_pin_on_the_second_arm_stands_across_the_pole() -> None:
    second = Item(
        "i",
        "insulator",
        (OnArm(when="after", host="arm", along_in=18.0, member=1),),
        "pin-55-4-15kv",
    )
    made = wired([arm("arm", 400.0, part="double-arm-10ft-4pin"), second])
    assert run(made).p == at(18.0, -6.375, 400.0 + 2.375 + 9.5)


def test_a_single_arm_has_no_second_arm_to_sit_on() -> None:
    where = OnArm(when="after", host="arm", member=1)
    made = wired([arm("arm", 400.0), Item("i", "insulator", (where,), "pin-55-5-25kv")])
    assert run(made).p == at(0.0, 6.375, 413.0)


def test_a_post_stands_up_on_an_arm_and_out_from_a_pole() -> None:
    # 15 in to the groove or the clamp
    made = wired([arm("arm", 400.0), on_arm("i", "arm", 0.0, part="post-57-2-25kv")])
    assert run(made).p == at(0.0, 6.375, 417.375)
    made = wired(fixed("i", "insulator", "post-57-2-25kv", 400.0, faces_deg=90.0))
    assert run(made).p == at(20.0, 0.0, 400.0)


def test_a_suspension_string_hangs() -> None:
    # 11-1/2 in, from the arm's underside or from the pole's surface
    made = wired([arm("arm", 400.0), on_arm("i", "arm", 36.0, part="suspension-52-4-x2")])
    assert run(made).p == at(36.0, 6.375, 400.0 - 2.375 - 11.5)
    made = wired(fixed("i", "insulator", "suspension-52-4-x2", 400.0, faces_deg=180.0))
    assert run(made).p == at(0.0, -5.0, 388.5)


@pytest.mark.parametrize(
    ("span", "fixed_at", "wire_at"),
    [
        # 18 in from the face it pulls at; along the arm it pulls from the arm's middle
        ("north", (18.0, 8.25, 400.0), (18.0, 26.25, 400.0)),
        ("south", (18.0, 4.5, 400.0), (18.0, -13.5, 400.0)),
        ("east", (18.0, 6.375, 400.0), (36.0, 6.375, 400.0)),
        ("north-east", (18.0, 8.25, 400.0), (18.0 + 18 * HALF, 8.25 + 18 * HALF, 400.0)),
    ],
)
def test_a_dead_end_on_an_arm_is_strung_out_along_its_wire(
    span: str, fixed_at: Point, wire_at: Point
) -> None:
    made = wired([arm("arm", 400.0), on_arm("i", "arm", 18.0, part="deadend-25kv")], span)
    assert tube(made, "i").p == at(*fixed_at)
    assert run(made).p == tube(made, "i").q == at(*wire_at)


@pytest.mark.parametrize(
    ("span", "face_in", "wire_in"), [("north", 8.25, 22.25), ("south", -8.25, -22.25)]
)
def test_a_dead_end_on_a_double_arm_pulls_at_the_arm_on_its_side(
    span: str, face_in: float, wire_in: float
) -> None:
    made = wired(
        [
            arm("arm", 400.0, part="double-arm-10ft-4pin"),
            on_arm("i", "arm", -54.0, part="deadend-15kv"),
        ],
        span,
    )
    assert tube(made, "i").p == at(-54.0, face_in, 400.0)
    assert run(made).p == at(-54.0, wire_in, 400.0)


def test_a_dead_end_on_the_pole_leaves_its_side_along_its_wire() -> None:
    made = wired(fixed("i", "insulator", "deadend-clevis-053", 350.0, faces_deg=270.0), "north")
    assert tube(made, "i").p == at(-5.0, 0.0, 350.0)
    assert run(made).p == at(-5.0, 4.0, 350.0)


def test_a_dead_end_without_a_wire_points_the_way_its_mount_faces() -> None:
    made = scene(fixed("i", "insulator", "deadend-clevis-053", 350.0, faces_deg=270.0))
    assert tube(made, "i").q == at(-9.0, 0.0, 350.0)


def test_a_spool_holds_its_wire_beside_the_pole() -> None:
    made = wired(fixed("i", "insulator", "spool-53-2", 353.0, faces_deg=90.0))
    assert run(made).p == at(8.0, 0.0, 353.0)


@pytest.mark.parametrize(("position", "down_in"), [(0, 0.0), (1, 8.0), (2, 16.0)])
def test_a_rack_holds_its_wires_one_under_the_other(position: int, down_in: float) -> None:
    rack = fixed("i", "insulator", "rack-3-spool", 350.0, faces_deg=90.0)
    assert run(wired(rack, position=position)).p == at(9.0, 0.0, 350.0 - down_in)


def test_a_rack_has_no_fourth_place() -> None:
    made = wired(fixed("i", "insulator", "rack-3-spool", 350.0), position=3)
    assert made.unplaced == (Unplaced("w", "i has no position 3"),)
    assert "w" not in made.part_by_key


def test_a_pole_top_pin_holds_its_wire_above_its_bolt() -> None:
    made = wired(fixed("i", "insulator", "pole-top-pin-15kv", 456.0, faces_deg=180.0))
    assert run(made).p == at(0.0, -5.0, 471.0)


def test_a_clamp_holds_its_cable_2_in_from_the_pole() -> None:
    clamp = fixed("i", "attachment", "comm-clamp", 312.0, faces_deg=90.0)
    made = scene(clamp, wire("w", "phone", "north", "i", phase="cable"))
    assert run(made).p == at(7.0, 0.0, 312.0)
    assert tube(made, "i").q == at(7.0, 0.0, 312.0)
    assert part(made, "w").style == "attachment"


def test_a_fixing_of_no_known_size_holds_a_wire_where_it_is_fixed() -> None:
    made = scene(seat("i", 350.0, out_in=7.0), wire("w", "main", "north", "i"))
    assert run(made).p == at(12.0, 0.0, 350.0)
    assert "i" not in made.part_by_key


def test_no_wire_can_rest_on_a_transformer() -> None:
    made = wired(fixed("i", "transformer", "transformer-25kva", 350.0))
    assert made.unplaced == (Unplaced("w", "no wire can rest on i"),)


def test_a_part_that_is_not_in_stock_is_named() -> None:
    for key, kind in (("arm-99ft", "arm"), ("arm-10ft-4pin", "insulator")):
        with pytest.raises(UnknownNameError, match=f"no stock {kind} '{key}'"):
            scene(fixed("i", kind, key, 350.0))


# Where wires go.


def far(
    far_height_in: float | str | None, *readings: Reading, span: Span | None = None, **more: Any
) -> Part:
    """A wire from a seat 12 in east of the pole, 400 in up, on ground 6 in under the datum."""
    span = span or Span("there", "There", 0.0, 1800.0, far_grade_in=30.0)
    support = seat("i", 400.0, out_in=7.0)
    where = (OnItem(when="after", host="i"),)
    made = Wire("w", "main", "A", "there", where, far_height_in=far_height_in, **more)  # type: ignore[arg-type]
    return part(scene(span, support, made, *readings, grade_in=-6.0), "w")


def ends(wire_part: Part) -> tuple[Point, Point]:
    assert isinstance(wire_part.shape, Run)
    return wire_part.shape.p, wire_part.shape.q


def test_a_far_height_is_over_the_ground_there() -> None:
    assert ends(far(380.0)) == (at(12.0, 0.0, 394.0), at(12.0, 1800.0, 410.0))


def test_a_level_wire_is_as_high_there_as_here() -> None:
    assert ends(far("level"))[1] == at(12.0, 1800.0, 394.0)
    assert far("level").missing_far == ""


def test_an_unknown_far_height_is_drawn_level_and_named() -> None:
    unknown = far(None)
    assert ends(unknown)[1] == at(12.0, 1800.0, 394.0)
    assert unknown.missing_far == "far height of A of Main to There not known"
    assert unknown.missing == ""


def test_a_read_far_height_beats_a_typed_one_and_is_over_its_datum() -> None:
    by_job = far(380.0, Reading("w", "height", 405.0, tolerance_in=2.0))
    by_pole = far(380.0, Reading("w", "height", 405.0, datum="pole"))
    assert ends(by_job)[1] == at(12.0, 1800.0, 405.0)
    assert ends(by_pole)[1] == at(12.0, 1800.0, 399.0)


def test_a_read_far_height_is_enough() -> None:
    assert far(None, Reading("w", "height", 405.0)).missing_far == ""


def test_a_wire_runs_beside_its_span_unless_its_far_end_is_said_to_lie_aside() -> None:
    # the far end 24 in right of the line from the job's origin, whatever the near end is at
    assert ends(far("level", far_offset_in=24.0))[1] == at(24.0, 1800.0, 394.0)
    west = Span("there", "There", 270.0, 1200.0)
    assert ends(far("level", span=west, far_offset_in=24.0))[1] == at(-1200.0, 24.0, 394.0)
    assert ends(far("level", span=west))[1] == at(-1188.0, 0.0, 394.0)


MOVED_TO = OnItem(when="after", host="j")


def beside_the_old() -> Job:
    """A wire moved from an old pole at the origin to a new one 24 in east and 36 in north of it."""
    old, *girths = pole(key="old", when="found")
    where = (OnItem(when="found", host="i"), MOVED_TO)
    return job(
        *pole(east_in=24.0, north_in=36.0),
        old, *girths,
        Circuit("main", "Main"),
        Span("there", "There", 0.0, 1800.0),
        Item("i", "bracket", (OnPole(when="found", host="old", at_in=400.0),), name="i"),
        seat("j", 400.0, faces_deg=0.0),
        Wire("w", "main", "A", "there", where, far_height_in="level"),
    )  # fmt: skip


def test_a_far_end_stays_where_it_was_found_when_the_near_end_is_moved() -> None:
    made = beside_the_old()
    then, now = (part(place(made, stage), "w") for stage in ("found", "framed"))
    assert ends(then)[1][:2] == pytest.approx((0.0, 1805.0))
    assert ends(now)[0][:2] == pytest.approx((24.0, 41.0))
    assert ends(now)[1][:2] == pytest.approx((0.0, 1805.0))


def test_a_new_wire_ends_beside_those_that_were_found_in_its_span() -> None:
    made = beside_the_old()
    new = Wire("new", "main", "B", "there", (MOVED_TO,), far_height_in="level")
    both = replace(made, wires=(*made.wires, new))
    assert ends(part(place(both, "framed"), "new"))[1][:2] == pytest.approx((0.0, 1805.0))
    # nothing was found in this span: the neighbouring pole stands there all the same
    alone = replace(made, wires=(new,))
    assert ends(part(place(alone, "framed"), "new"))[1][:2] == pytest.approx((0.0, 1805.0))


def test_a_dead_end_is_strung_out_along_its_wire_wherever_that_ends() -> None:
    old, *girths = pole(key="old", when="found")
    fixed_at = {"part": "deadend-clevis-053"}
    where = (OnItem(when="found", host="i"), MOVED_TO)
    made = job(
        *pole(east_in=24.0, north_in=36.0),
        old, *girths,
        Circuit("main", "Main"),
        Span("there", "There", 0.0, 600.0),
        Item("i", "insulator", (OnPole(when="found", host="old", at_in=400.0),), **fixed_at),
        Item("j", "insulator", (OnPole(when="after", host="pole", at_in=400.0),), **fixed_at),
        Wire("w", "main", "A", "there", where, far_height_in="level"),
    )  # fmt: skip
    framed = place(made, "framed")
    strung = part(framed, "j").shape
    assert isinstance(strung, Tube)
    (x0, y0, _), (x1, y1, _) = strung.p, strung.q
    (near_x, near_y, _), (far_x, far_y, _) = ends(part(framed, "w"))
    assert (x1, y1) == pytest.approx((near_x, near_y))
    assert far_x == pytest.approx(0.0, abs=1e-9)
    # one straight line from the pole to the far end, which lies to the west
    assert math.atan2(x1 - x0, y1 - y0) == pytest.approx(math.atan2(far_x - near_x, far_y - near_y))
    assert x1 < x0


def test_where_a_wire_was_found_is_not_known_but_on_which_pole_is() -> None:
    made = beside_the_old()
    unknown = Item("i", "bracket", (OnPole(when="found", host="old"),), name="i")
    items = tuple(unknown if one.id == "i" else one for one in made.items)
    now = part(place(replace(made, items=items), "framed"), "w")
    assert ends(now)[1][:2] == pytest.approx((0.0, 1805.0))


def test_a_wire_ends_elsewhere_when_what_it_was_found_on_is_corrected() -> None:
    made = beside_the_old()
    scene = place(made, "framed")
    east = OnPole(when="found", host="old", at_in=400.0, azimuth_deg=90.0)
    turned = Item("i", "bracket", (east,), name="i")
    items = tuple(turned if one.id == "i" else one for one in made.items)
    moved = replace(made, items=items)
    since, anew = place(moved, "framed", scene), place(moved, "framed")
    assert ends(part(since, "w"))[1][:2] == pytest.approx((5.0, 1800.0))
    assert ends(part(since, "w")) == ends(part(anew, "w"))


def test_a_wire_of_unknown_size_is_taken_thicker_than_any_bare_one() -> None:
    # 1/0 ACSR 6/1 is 0.398 in thick (ASTM B232, read)
    unknown, known = far("level").shape, far("level", part="acsr-raven-1-0").shape
    assert isinstance(unknown, Run)
    assert isinstance(known, Run)
    assert unknown.r == UNKNOWN_WIRE_RADIUS_IN == 0.75
    assert known.r == pytest.approx(0.199)


# 4/0 ACSR Penguin weighs 0.2911 lb/ft; 150 ft at 900 lbf: w S^2 / 8 H = 0.90969 ft = 10.916 in
SPAN_SAG = Span("there", "There", 0.0, 1800.0, sag_in=30.0)
PENGUIN = "acsr-penguin-4-0"
READ_SAG = Reading("w", "sag", 33.0)


@pytest.mark.parametrize(
    ("span", "more", "readings", "sags"),
    [
        (None, {}, (), (None, None, None)),
        (None, {"tension_lbf": 900.0}, (), (None, None, None)),
        (
            None,
            {"tension_lbf": 900.0, "part": PENGUIN},
            (),
            (10.916, 10.916, 10.916),
        ),
        (SPAN_SAG, {"tension_lbf": 900.0, "part": PENGUIN}, (), (30.0, 30.0, 30.0)),
        (SPAN_SAG, {"sag_in": 36.0}, (), (36.0, 36.0, 36.0)),
        (SPAN_SAG, {"sag_in": 36.0}, (READ_SAG,), (33.0, 33.0, 33.0)),
        (SPAN_SAG, {"sag_cold_in": 22.0, "sag_hot_in": 52.0}, (), (30.0, 22.0, 52.0)),
        (None, {"sag_cold_in": 22.0, "sag_hot_in": 52.0}, (), (None, 22.0, 52.0)),
        # what was read on the day is never outside the band
        (None, {"sag_cold_in": 34.0, "sag_hot_in": 52.0}, (READ_SAG,), (33.0, 33.0, 52.0)),
        (None, {"sag_cold_in": 22.0, "sag_hot_in": 30.0}, (READ_SAG,), (33.0, 22.0, 33.0)),
    ],
)
def test_the_sag_is_the_reading_else_the_wires_else_the_spans_else_from_its_tension(
    span: Span | None,
    more: dict[str, Any],
    readings: tuple[Reading, ...],
    sags: tuple[float | None, ...],
) -> None:
    shape = far("level", *readings, span=span, **more).shape
    assert isinstance(shape, Run)
    found = (shape.sag_in, shape.sag_least_in, shape.sag_most_in)
    assert found == tuple(None if sag is None else pytest.approx(sag, abs=1e-3) for sag in sags)


@pytest.mark.parametrize(
    ("circuit", "phase", "tags"),
    [
        ("main", "A", Tag.SUPPLY | Tag.PHASE),
        ("main", "N", Tag.SUPPLY | Tag.NEUTRAL),
        ("main", "secondary", Tag.SUPPLY),
        ("main", "triplex", Tag.SUPPLY | Tag.CABLE),
        ("main", "cable", Tag.SUPPLY | Tag.CABLE),
        ("main", "service", Tag.SUPPLY | Tag.CABLE | Tag.DROP),
        ("phone", "cable", Tag.COMMUNICATIONS | Tag.CABLE),
        ("phone", "messenger", Tag.COMMUNICATIONS | Tag.CABLE),
    ],
)
def test_what_a_wire_is_follows_from_its_circuit_and_conductor(
    circuit: str, phase: str, tags: Tag
) -> None:
    made = scene(seat("i", 350.0), wire("w", circuit, "north", "i", phase=phase))
    assert Tag(part(made, "w").tags) == Tag.WIRE | tags
    assert (part(made, "w").circuit, part(made, "w").phase) == (circuit, phase)


# Nearby wires.

NEAR = NearbyWire("near", "Ridge", "main", 10.0, 20.0, 90.0, hot_drop_in=8.0)


def test_a_nearby_wire_runs_level_both_ways_through_the_point_it_was_read_at() -> None:
    made = scene(NEAR, Reading("near", "height", 500.0, tolerance_in=2.0))
    shape = run(made, "near")
    assert shape.p == at(10.0 - NEARBY_REACH_IN, 20.0, 500.0)
    assert shape.q == at(10.0 + NEARBY_REACH_IN, 20.0, 500.0)
    assert (shape.sag_least_in, shape.sag_most_in) == (0.0, 8.0)
    near = part(made, "near")
    assert (near.pole, near.tolerance_in, near.missing) == (None, 2.0, "")
    assert Tag(near.tags) == Tag.WIRE | Tag.SUPPLY | Tag.PHASE | Tag.NEARBY


def test_a_nearby_wire_read_from_a_poles_ground_is_over_that() -> None:
    made = scene(NEAR, Reading("near", "height", 500.0, datum="pole"), grade_in=-9.6)
    assert run(made, "near").p[2] == pytest.approx(490.4)


def test_a_datum_counts_also_when_its_pole_is_gone() -> None:
    gone = Item(
        "old",
        "pole",
        (Standing(when="found", grade_in=12.0), Removed(when="after")),
        pole=PoleFacts(),
    )
    made = scene(gone, NEAR, Reading("near", "height", 500.0, datum="old"))
    assert run(made, "near").p[2] == pytest.approx(512.0)


def test_a_nearby_wire_nobody_read_is_nowhere() -> None:
    near = part(scene(NEAR), "near")
    assert (near.shape, near.missing) == (None, "height of Ridge not known")


# Equipment.


def test_a_tank_hangs_out_from_the_pole_with_its_bushings_above() -> None:
    # 36 in high, 18 in round, top 6 in above the bolt, 3 in clear; bushings 12 in out, 18 in up
    bank = fixed("bank", "transformer", "transformer-25kva", 348.0, circuit="main", phase="C")
    made = scene(bank)
    body = tube(made, "bank")
    assert (body.p, body.q) == (at(0.0, 17.0, 318.0), at(0.0, 17.0, 354.0))
    assert body.r_p == 9.0
    assert tube(made, "bank/live1").p == at(-5.0, 17.0, 366.0)
    assert tube(made, "bank/live2").p == at(5.0, 17.0, 366.0)


def test_only_the_live_parts_of_equipment_have_a_potential() -> None:
    made = scene(fixed("bank", "transformer", "transformer-25kva", 348.0, circuit="main"))
    case, live = part(made, "bank"), part(made, "bank/live1")
    # the case is of the circuit, for the volts that can come to it, and at no potential of it
    assert (case.circuit, case.node) == ("main", -1)
    assert Tag(case.tags) == Tag.CASE | Tag.GROUNDED
    assert (live.circuit, live.owner, Tag(live.tags)) == ("main", "bank", Tag.LIVE)
    assert live.node == part(made, "bank/live2").node >= 0


def test_a_box_on_an_arm_hangs_from_its_outer_face() -> None:
    # 18 x 5 x 8 in, top 9 in above the bolt, 6 in clear of the face at 8.25; live points 14 in out
    where = OnArm(when="after", host="arm", along_in=36.0)
    made = scene(arm("arm", 400.0), Item("cutout", "cutout", (where,), "cutout-15kv"))
    assert box(made, "cutout").centre == at(36.0, 8.25 + 6.0 + 4.0, 400.0)
    assert box(made, "cutout").half == at(2.5, 4.0, 9.0)
    assert tube(made, "cutout/live1").p == at(36.0, 22.25, 407.0)
    assert tube(made, "cutout/live2").p == at(36.0, 22.25, 393.0)


def test_equipment_turns_with_the_side_it_is_on() -> None:
    made = scene(fixed("bank", "transformer", "transformer-25kva", 348.0, faces_deg=180.0))
    assert tube(made, "bank").p == at(0.0, -17.0, 318.0)
    assert tube(made, "bank/live1").p == at(5.0, -17.0, 366.0)


# Braces, runs, guys.


def test_a_brace_goes_from_both_sides_of_the_arm_to_the_pole_below() -> None:
    # 60 in span, 18 in drop: from the arm's outer face to the pole's surface on the arm's side
    brace = Item("brace", "brace", (OnItem(when="after", host="arm"),), "brace-angle-60in")
    made = scene(arm("arm", 400.0), brace)
    assert tube(made, "brace").p == tube(made, "brace/2").p == at(0.0, 5.0, 382.0)
    assert tube(made, "brace").q == at(30.0, 8.25, 400.0)
    assert tube(made, "brace/2").q == at(-30.0, 8.25, 400.0)


def test_a_brace_needs_an_arm_of_known_size() -> None:
    nameless = Item("arm", "arm", (OnPole(when="after", host="pole", at_in=400.0),), name="arm")
    brace = Item("brace", "brace", (OnItem(when="after", host="arm"),), "brace-angle-60in")
    why = "a brace goes on an arm of known size"
    assert scene(nameless, brace).unplaced == (Unplaced("brace", why),)
    assert scene(fixed("brace", "brace", "brace-angle-60in", 400.0)).unplaced == (
        Unplaced("brace", why),
    )


@pytest.mark.parametrize(("at_in", "to_in"), [(0.0, 360.0), (360.0, 0.0)])
def test_a_riser_runs_along_the_pole_between_both_its_ends(at_in: float, to_in: float) -> None:
    # 4-1/2 in thick, 1/2 in clear of the surface: its middle 7-3/4 in out
    made = scene(fixed("riser", "riser", "riser-4in", at_in, faces_deg=90.0, to_in=to_in))
    shape = tube(made, "riser")
    assert (shape.p, shape.q) == (at(7.75, 0.0, 0.0), at(7.75, 0.0, 360.0))
    assert shape.r_p == 2.25
    assert Tag(part(made, "riser").tags) == Tag.RUN | Tag.COVERED


def test_a_run_is_of_its_circuit_covered_or_not_and_a_ground_wire_is_earth() -> None:
    made = scene(
        fixed("riser", "riser", "riser-open-wire-1-0", 0.0, to_in=300.0, circuit="main"),
        fixed("bare", "ground wire", "ground-wire-no-6", 0.0, to_in=300.0),
        fixed("molded", "ground wire", "ground-wire-molding", 0.0, to_in=300.0),
    )
    riser = part(made, "riser")
    assert (riser.circuit, riser.node, Tag(riser.tags)) == ("main", -1, Tag.RUN)
    assert Tag(part(made, "bare").tags) == Tag.RUN | Tag.EARTH
    assert Tag(part(made, "molded").tags) == Tag.RUN | Tag.EARTH | Tag.COVERED


def test_a_box_is_of_communications_by_its_part_or_by_its_line() -> None:
    made = scene(
        fixed("cabinet", "equipment", "communications-box", 60.0),
        fixed("theirs", "equipment", "switch-box", 90.0, circuit="phone"),
        fixed("ours", "equipment", "switch-box", 120.0, circuit="main"),
    )
    tags = {key: Tag(part(made, key).tags) for key in ("cabinet", "theirs", "ours")}
    assert tags["cabinet"] == Tag.CASE | Tag.COMMUNICATIONS
    assert tags["theirs"] == Tag.CASE | Tag.GROUNDED | Tag.COMMUNICATIONS
    assert tags["ours"] == Tag.CASE | Tag.GROUNDED


def test_a_service_of_communications_is_a_drop() -> None:
    made = scene(
        seat("s", 240.0),
        wire("drop", "phone", "north", "s", phase="service"),
        wire("cable", "phone", "east", "s", phase="cable"),
    )
    own = Tag.WIRE | Tag.COMMUNICATIONS | Tag.CABLE
    assert Tag(part(made, "drop").tags) == own | Tag.DROP
    assert Tag(part(made, "cable").tags) == own


def test_both_ends_of_a_run_are_held_by_one_reference() -> None:
    # 45 ft, 78 in deep: 100 and 400 in from the butt, 22 and 322 in up
    made = scene(fixed("riser", "riser", "riser-4in", 100.0, hold="butt", to_in=400.0))
    assert (tube(made, "riser").p[2], tube(made, "riser").q[2]) == at(22.0, 322.0)


def test_a_run_of_one_end_is_nowhere() -> None:
    why = "a run along the pole needs the heights of both its ends"
    assert scene(fixed("riser", "riser", "riser-4in", 0.0)).unplaced == (Unplaced("riser", why),)


def test_a_run_to_an_end_nobody_can_find_is_nowhere() -> None:
    where = OnPole(when="after", host="pole", at_in=40.0, to_in=100.0, hold="drop")
    riser = Item("riser", "riser", (where,), "riser-4in")
    made = place(job(*pole(None), riser), "framed")
    assert made.unplaced == (Unplaced("riser", "top height of pole not known"),)


GUY = Guyed(when="after", host="pole", at_in=380.0, azimuth_deg=270.0, lead_in=240.0)


def test_an_anchor_guy_goes_from_the_poles_surface_to_the_ground() -> None:
    made = scene(Item("guy", "guy", (GUY,), "guy-3-8in-ehs"), grade_in=-6.0, east_in=-36.0)
    assert tube(made, "guy").p == at(-41.0, 0.0, 374.0)
    assert tube(made, "guy").q == at(-276.0, 0.0, -6.0)
    assert tube(made, "guy").r_p == 0.1875
    assert Tag(part(made, "guy").tags) == Tag.GUY | Tag.ANCHORED


def test_a_guy_to_another_pole_is_no_anchor_guy() -> None:
    made = scene(Item("guy", "guy", (replace(GUY, far_height_in=300.0),), "guy-3-8in-ehs"))
    assert tube(made, "guy").q == at(-240.0, 0.0, 300.0)
    assert Tag(part(made, "guy").tags) == Tag.GUY


def test_a_guy_must_say_where_it_leads() -> None:
    why = "a guy has a place of its own kind: 'guyed'"
    made = scene(fixed("guy", "guy", "guy-3-8in-ehs", 380.0))
    assert made.unplaced == (Unplaced("guy", why),)


# What is not known.


def test_what_sits_on_a_pole_of_unknown_girth_has_no_shape_and_says_why() -> None:
    bare = pole(45)[0]
    records = (
        arm("arm", 400.0),
        on_arm("i", "arm", 0.0),
        Item("brace", "brace", (OnItem(when="after", host="arm"),), "brace-angle-60in"),
        wire("w", "main", "north", "i"),
    )
    made = place(job(MAIN, *SPANS, bare, *records), "framed")
    for key in ("arm", "i", "brace", "brace/2", "w"):
        assert (part(made, key).shape, part(made, key).missing) == (
            None,
            "girth of pole not known",
        )
    assert made.unplaced == ()


@pytest.mark.parametrize(
    ("where", "missing"),
    [
        (OnPole(when="found", host="pole"), "height of arm not known"),
        (OnPole(when="found", host="pole", hold="drop"), "height of arm not known"),
        (
            OnPole(when="found", host="pole", at_in=13.0, hold="drop"),
            "top height of pole not known",
        ),
        (
            OnPole(when="found", host="pole", at_in=450.0, hold="butt"),
            "setting depth of pole not known",
        ),
    ],
)
def test_an_arm_of_unknown_height_has_no_shape_and_names_what_is_missing(
    where: AnyPlace, missing: str
) -> None:
    records = pole(None, when="found")
    made = place(job(*records, Item("arm", "arm", (where,), "arm-10ft-4pin")), "found")
    assert (part(made, "arm").shape, part(made, "arm").missing) == (None, missing)


def found_arm(*readings: Reading, **standing: Any) -> Part:
    """An arm found 396 in up, as somebody typed, on a pole 78 in deep whose top is 462 in up."""
    where = OnPole(when="found", host="pole", at_in=396.0)
    records = (*pole(45, when="found", depth_in=78.0, **standing),)
    made = job(*records, Item("arm", "arm", (where,), "arm-10ft-4pin"), *readings)
    return part(place(made, "found"), "arm")


@pytest.mark.parametrize(
    ("readings", "up_in"),
    [
        ((), 396.0),
        ((Reading("arm", "height", 400.0),), 400.0),
        ((Reading("arm", "drop", 60.0),), 402.0),
        ((Reading("arm", "butt", 480.0),), 402.0),
        ((Reading("arm", "drop", 60.0), Reading("arm", "height", 400.0)), 400.0),
        (
            (
                Reading("arm", "height", 398.0, date="2026-03-01"),
                Reading("arm", "height", 400.0, date="2026-01-01"),
            ),
            398.0,
        ),
    ],
)
def test_a_reading_beats_what_was_typed(readings: tuple[Reading, ...], up_in: float) -> None:
    assert found_arm(*readings).up_in == pytest.approx(up_in)


def test_a_height_is_read_from_its_datum() -> None:
    # 9.6 in under the datum: 400 over the datum is 409.6 over the pole's own ground
    assert found_arm(Reading("arm", "height", 400.0), grade_in=-9.6).up_in == pytest.approx(409.6)
    own = Reading("arm", "height", 400.0, datum="pole")
    assert found_arm(own, grade_in=-9.6).up_in == pytest.approx(400.0)


def test_a_reading_of_what_was_found_says_nothing_of_where_it_goes() -> None:
    places = (OnPole(when="found", host="pole"), OnPole(when="after", host="pole", at_in=380.0))
    arm_read = (Item("arm", "arm", places, "arm-10ft-4pin"), Reading("arm", "height", 396.0))
    made = job(*pole(45, when="found", depth_in=78.0), *arm_read)
    assert part(place(made, "found"), "arm").up_in == 396.0
    assert part(place(made, "framed"), "arm").up_in == 380.0


def test_a_reading_goes_on_with_what_stays_and_its_tolerance_with_all_that_sits_on_it() -> None:
    places = (OnPole(when="found", host="pole"), Same(when="after"))
    made = scene(
        Item("arm", "arm", places, "arm-10ft-4pin"),
        on_arm("i", "arm", 0.0),
        wire("w", "main", "north", "i"),
        Reading("arm", "height", 396.0, tolerance_in=1.5),
    )
    assert run(made).p[2] == pytest.approx(409.0)
    assert [part(made, key).tolerance_in for key in ("arm", "i", "w")] == [1.5, 1.5, 1.5]


# What is not there.


def placed_at(stage: Stage, *places: AnyPlace) -> Scene:
    """A wire on a spool that goes through these places; a new pole comes with the first step."""
    made = job(
        MAIN,
        *SPANS,
        *pole(45, when="found", depth_in=78.0),
        *pole(45, key="new", east_in=24.0),
        Item("spool", "insulator", places, "spool-53-2", name="Spool"),
        Wire("w", "main", "N", "north", (OnItem(when="found", host="spool"), Same(when="after"))),
    )
    return place(replace(made, steps=(Step("1", "one", moves=("new",)),)), stage)


ON_OLD = OnPole(when="found", host="pole", at_in=350.0)
ON_NEW = OnPole(when="after", host="new", at_in=350.0)


def test_a_wire_goes_with_its_support() -> None:
    for stage, east in (("found", 0.0), ("framed", 24.0)):
        made = placed_at(stage, ON_OLD, ON_NEW)  # type: ignore[arg-type]
        assert made.unplaced == ()
        assert run(made).p == at(east, 8.0, 350.0)
        assert part(made, "w").pole == ("pole" if stage == "found" else "new")


def test_a_wire_whose_support_is_taken_away_has_nowhere_to_be() -> None:
    made = placed_at("framed", ON_OLD, Removed(when="after"))
    assert made.unplaced == (Unplaced("w", "Spool is not there at this stage"),)


def test_a_thing_on_a_pole_that_is_not_set_yet_has_nowhere_to_be() -> None:
    made = placed_at("found", replace(ON_NEW, when="found"))
    why = "new is not standing at this stage"
    assert made.unplaced == (Unplaced("spool", why), Unplaced("w", why))
    assert placed_at(1, replace(ON_NEW, when="found")).unplaced == ()


def test_what_is_removed_or_not_there_yet_is_not_asked_for() -> None:
    spool = Item("spool", "insulator", (ON_OLD, Removed(when="after")), "spool-53-2")
    coming = Item("coming", "insulator", (replace(ON_NEW, host="pole"),), "spool-53-2")
    made = job(*pole(45, when="found", depth_in=78.0), spool, coming)
    assert [one.owner for one in place(made, "found").bodies] == ["pole", "spool"]
    assert [one.owner for one in place(made, "framed").bodies] == ["pole", "coming"]


def test_a_wire_on_another_wire_has_nowhere_to_be() -> None:
    made = scene(
        seat("i", 350.0),
        wire("w", "main", "north", "i"),
        wire("v", "main", "north", "w"),
    )
    assert made.unplaced == (Unplaced("v", "it rests on A of Main to North, which is no item"),)


def test_what_sits_on_an_arm_of_no_known_size_has_nowhere_to_be() -> None:
    nameless = Item("arm", "arm", (OnPole(when="after", host="pole", at_in=400.0),), name="Stub")
    made = scene(nameless, on_arm("i", "arm", 0.0))
    assert made.unplaced == (Unplaced("i", "the size of Stub is not known"),)


def test_undecided_things_are_told_in_the_framed_scene_only() -> None:
    lamp = Item("lamp", "lamp", (ON_OLD, Undecided(when="after")), "lamp-arm-6ft")
    made = job(*pole(45, when="found", depth_in=78.0), lamp)
    assert place(made, "found").undecided == ()
    assert place(made, "framed").undecided == ("pole", "lamp")


# Whose it is.


def test_parts_know_what_carries_them() -> None:
    made = scene(
        arm("arm", 400.0),
        on_arm("i", "arm", 0.0),
        wire("w", "main", "north", "i"),
        fixed("spool", "insulator", "spool-53-2", 350.0),
    )
    carried = {one.key: (one.pole, one.level, one.support) for one in made.bodies}
    assert carried == {
        "pole": ("pole", None, None),
        "arm": ("pole", "pole", None),
        "i": ("pole", "arm", None),
        "w": ("pole", "arm", "i"),
        "spool": ("pole", "pole", None),
    }


# Bores.


def test_a_bore_goes_through_the_pole_at_its_height_the_way_its_bolt_points() -> None:
    made = scene(fixed("spool", "insulator", "spool-53-2", 350.0, faces_deg=90.0))
    shape = tube(made, "spool/bore1")
    assert shape.p == at(-5.0, 0.0, 350.0)
    assert shape.q == at(5.0, 0.0, 350.0)
    # 11/16 in for a 5/8 in bolt, the usual Navy figure
    assert (shape.r_p, shape.r_q) == (0.34375, 0.34375)


def test_a_brace_bores_the_pole_under_its_arm() -> None:
    hung = Item("brace", "brace", (OnItem(when="after", host="arm"),), "brace-angle-60in")
    made = scene(arm("arm", 400.0), hung)
    assert tube(made, "brace/bore1").p[2] == pytest.approx(382.0)
    assert part(made, "brace/bore1").owner == "brace"
    assert part(made, "arm/bore1").tags & Tag.ARM_BOLT


def test_factory_bores_are_counted_from_the_top_before_the_cut() -> None:
    made = scene(depth_in=72.0, cut_in=24.0)
    pole_item = made.job.items[0]
    bored = replace(pole_item, pole=replace(pole_item.pole, bored_in=(12.0, 60.0)))
    again = place(replace(made.job, items=(bored, *made.job.items[1:])), "framed")
    top = again.poles["pole"].top_up_in
    assert top is not None
    assert [part(again, f"pole/bore{n}").up_in - top for n in (1, 2)] == [12.0, -36.0]


def test_what_sits_on_an_arm_or_on_equipment_bores_no_pole() -> None:
    made = scene(arm("arm", 400.0), on_arm("i", "arm", 30.0))
    assert [one.key for one in made.parts if one.tags & Tag.BORE] == ["arm/bore1"]
