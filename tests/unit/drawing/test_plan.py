"""The plan: seen from above, north up, true to scale, everything named once and nothing covered.

A line runs north and south on an arm 440 in up that faces north: phase A on its west end, B and C
east. A tap leaves to the west from a lower arm 400 in up; the neutral is 300 in up. A guy leads
east. The pole is 10 in thick, 45 ft long and 78 in deep.
"""

from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.checks.explain import gap_text, need_text
from framer.checks.shown import spaces
from framer.drawing.fitting import overlaps
from framer.drawing.kept import Kept
from framer.drawing.picture import Circle, Dimension, Line, Picture, Primitive, Text, extent
from framer.drawing.picture import Path as Outline
from framer.drawing.plan import plan_height, plan_view
from framer.drawing.plan_panel import PLAN_REACH_IN
from framer.drawing.sheet import main_pole
from framer.files.reader import read_job
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.item import Item
from framer.model.job import Settings
from framer.model.line import Circuit, LimitLine, NearbyWire, Span
from framer.model.place import Guyed, OnPole, Standing
from framer.model.reading import Reading
from tests.build import POLE_RADIUS_IN, Record, arm, job, on_arm, pinned, pole, seat, wire

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
NAMES = ("corner/alder-lane", "tangent/fenwick-road", "dead-end/quarry-lane")
NORTH, EAST, SOUTH, WEST = 0.0, 90.0, 180.0, 270.0
TEXT_IN = 5.0


def test_what_hangs_at_a_pole_beside_is_cut_off_where_the_plan_ends() -> None:
    other = pole(45, key="other", north_in=80.0)
    scene = framed(*other, arm("far-arm", 440.0, on="other", faces_deg=WEST))
    drawn = plan_view(scene, pole="pole", at_in=440.0, text_in=TEXT_IN, names=False)
    far = [one for one in drawn.primitives if one.owner == "far-arm"]
    assert far
    top = max(y for one in far for _, y in extent(one))
    assert top == pytest.approx(PLAN_REACH_IN)


def framed(*more: Record, settings: Settings | None = None) -> Scene:
    guyed = Guyed(when="after", host="pole", at_in=400.0, azimuth_deg=EAST, lead_in=240.0)
    bank = OnPole(when="after", host="pole", at_in=405.0, azimuth_deg=SOUTH)
    return place(
        job(
            Circuit("main", "Main", kv=12.47, grounded_wye=True),
            Circuit("ridge", "Ridge", kv=12.47),
            Span("north", "pole 1", NORTH, 1800.0, over="road"),
            Span("south", "pole 3", SOUTH, 1500.0),
            Span("west", "pole 9", WEST, 1200.0),
            *pole(45),
            arm("arm", 440.0),
            *pinned("arm", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}),
            *(wire(f"south-{p}", "main", "south", f"arm-{p}-pin", phase=p) for p in "ABC"),
            arm("lower", 400.0, faces_deg=WEST),
            on_arm("end", "lower", -40.0),
            wire("tap", "main", "west", "end", phase="C"),
            seat("spool", 300.0),
            wire("neutral", "main", "north", "spool", phase="N"),
            Item("guy", "guy", (guyed,), "guy-1-4in-3wire-utilities-3150", name="Guy"),
            Item("bank", "transformer", (bank,), "transformer-25kva", name="Bank"),
            *more,
            settings=settings,
        ),
        "framed",
    )


def seen(
    scene: Scene, at_in: float = 440.0, look_deg: float = NORTH, pole_key: str = "pole"
) -> Picture:
    return plan_view(scene, pole=pole_key, at_in=at_in, text_in=TEXT_IN, look_deg=look_deg)


def of(picture: Picture, owner: str, *kinds: type[Primitive]) -> list[Primitive]:
    return [
        one for one in picture.primitives if one.owner == owner and isinstance(one, kinds or object)
    ]


def texts(picture: Picture) -> list[Text]:
    return [one for one in picture.primitives if isinstance(one, Text)]


def words(picture: Picture) -> str:
    return " | ".join(one.text for one in texts(picture))


def bounds(drawn: list[Primitive]) -> tuple[float, float, float, float]:
    return Picture(tuple(drawn)).bounds()


# What is where.


def test_north_is_up_and_lengths_are_real() -> None:
    drawn = seen(framed())
    left, low, right, high = bounds(of(drawn, "arm", Outline))
    assert (left, right) == pytest.approx((-60.0, 60.0))
    # its back is let half an inch into the pole's face
    assert (low, high) == pytest.approx((POLE_RADIUS_IN - 0.5, POLE_RADIUS_IN + 3.25))
    (section, *_) = of(drawn, "pole", Circle)
    assert isinstance(section, Circle)
    assert (section.centre, section.radius) == ((0.0, 0.0), pytest.approx(POLE_RADIUS_IN))
    (dot,) = (one for one in of(drawn, "arm-A", Circle) if isinstance(one, Circle))
    assert dot.centre[0] == pytest.approx(-54.0)


@pytest.mark.parametrize("look_deg", [EAST, SOUTH, 30.0])
def test_another_direction_up_turns_everything_alike(look_deg: float) -> None:
    scene = framed()
    angle = math.radians(look_deg)
    for owner in ("arm", "arm-A", "lower", "tap", "guy"):
        plain = of(seen(scene), owner, Outline, Circle)
        turned = of(seen(scene, look_deg=look_deg), owner, Outline, Circle)
        assert len(plain) == len(turned)
        for one, other in zip(plain, turned, strict=True):
            points = [
                list(piece.points) if isinstance(piece, Outline) else [piece.centre]
                for piece in (one, other)
                if isinstance(piece, Outline | Circle)
            ]
            for (x, y), spot in zip(*points, strict=True):
                expected = (
                    x * math.cos(angle) - y * math.sin(angle),
                    x * math.sin(angle) + y * math.cos(angle),
                )
                assert spot == pytest.approx(expected, abs=1e-6)


def test_wires_leave_the_way_of_their_span_to_the_edge() -> None:
    drawn = seen(framed())
    for key, axis, way in (("arm-A", 1, 1.0), ("south-A", 1, -1.0), ("tap", 0, -1.0)):
        (line,) = of(drawn, key, Line)
        assert isinstance(line, Line)
        assert line.q[axis] == pytest.approx(way * PLAN_REACH_IN)


def test_what_is_far_below_is_thin_and_what_is_above_is_left_out() -> None:
    scene = framed()
    styles = {one.style for one in of(seen(scene), "neutral")}
    assert styles == {"below"}
    low = seen(scene, at_in=300.0)
    assert {one.style for one in of(low, "neutral", Line)} == {"neutral"}
    assert of(low, "arm") == []
    assert of(low, "tap") == []
    assert "N" in [one.text for one in texts(low)]
    assert "A" not in [one.text for one in texts(low)]


def test_the_height_seen_first_is_that_of_the_top_arm() -> None:
    assert plan_height(framed(), "pole") == 440.0
    assert plan_height(place(job(*pole(45), seat("s", 300.0)), "framed"), "pole") == 0.0
    assert plan_height(place(job(*pole(45)), "framed"), "none") == 0.0


def test_a_guy_is_broken_off_inside_and_says_how_far_it_goes() -> None:
    drawn = seen(framed())
    _, _, right, _ = bounds(of(drawn, "guy", Line))
    assert right <= PLAN_REACH_IN + 3.0 * TEXT_IN
    assert "Guy, anchor 20 ft east" in words(drawn)


# What is said.


def test_arms_poles_wires_and_equipment_are_named() -> None:
    said = words(seen(framed()))
    for name in (
        "arm, faces north",
        "lower, faces west",
        "pole, 10 in thick here",
        "to pole 1, 150 ft, over road | Main A B C",
        "to pole 3, 125 ft | Main A B C",
        "to pole 9, 100 ft | Main C",
        "Bank",
    ):
        assert name in said


def test_a_wire_of_another_line_is_drawn_and_told_at_any_height() -> None:
    near = NearbyWire("near", "Ridge, near wire", "ridge", 0.0, 40.0, 60.0)
    scene = framed(near, Reading("near", "height", 510.0, datum="pole"))
    for at_in in (440.0, 300.0):
        drawn = seen(scene, at_in)
        (line,) = of(drawn, "near", Line)[:1]
        assert isinstance(line, Line)
        # through a point 40 in north, 60 degrees from north
        slope = (line.q[1] - line.p[1]) / (line.q[0] - line.p[0])
        assert slope == pytest.approx(1.0 / math.tan(math.radians(60.0)))
        assert line.p[1] - slope * line.p[0] == pytest.approx(40.0)
        assert "Ridge, near wire, 42 ft 6 in" in words(drawn)


def test_a_wall_is_drawn_where_it_stands_and_a_ceiling_is_not() -> None:
    wall = LimitLine("wall", "Wall", north_in=70.0, azimuth_deg=NORTH)
    ceiling = LimitLine("roof", "Roof", height_in=500.0, tilt_deg=90.0)
    drawn = seen(framed(wall, ceiling))
    line = of(drawn, "wall", Line)[0]
    assert isinstance(line, Line)
    assert sorted((line.p, line.q)) == [
        pytest.approx((-PLAN_REACH_IN, 70.0)),
        pytest.approx((PLAN_REACH_IN, 70.0)),
    ]
    assert "Wall" in words(drawn)
    assert "Roof" not in words(drawn)


def test_where_the_other_pole_stood_or_will_stand_is_shown() -> None:
    made = read_job(SAMPLES / "corner/alder-lane.framer")
    after = seen(place(made, "framed"), 504.0, pole_key="pole-new")
    before = seen(place(made, "found"), 450.0, pole_key="pole-old")
    # the new pole stands 2 ft south of the old one
    for drawn, owner, north, said in (
        (after, "pole-old", 24.0, "Old pole, as found"),
        (before, "pole-new", -24.0, "New pole, as framed"),
    ):
        (circle,) = (one for one in of(drawn, owner, Circle) if isinstance(one, Circle))
        assert circle.centre == pytest.approx((0.0, north))
        assert circle.style == "below"
        assert said in words(drawn)


def north_ring(picture: Picture) -> Circle:
    rings = [one for one in picture.primitives if isinstance(one, Circle) and one.style == "title"]
    assert any(one.fill == "paper" for one in rings)
    return rings[0]


def test_the_north_mark_stands_in_the_corner_with_least_in_it() -> None:
    bare = place(job(*pole(45), arm("arm", 440.0)), "framed")
    ring = north_ring(plan_view(bare, pole="pole", at_in=440.0, text_in=TEXT_IN, names=False))
    assert min(ring.centre) > 0.5 * PLAN_REACH_IN
    # a wire of another line that cuts off the north-east corner
    near = NearbyWire("near", "Ridge, near wire", "ridge", 80.0, 80.0, 135.0)
    there = (Circuit("ridge", "Ridge", kv=12.47), Reading("near", "height", 510.0, datum="pole"))
    scene = place(job(*there, *pole(45), arm("arm", 440.0), near), "framed")
    drawn = plan_view(scene, pole="pole", at_in=440.0, text_in=TEXT_IN, names=False)
    (x, y), radius = north_ring(drawn).centre, north_ring(drawn).radius
    assert (x, y) == pytest.approx((ring.centre[0], -ring.centre[1]))
    wires = [one for one in of(drawn, "near", Line) if isinstance(one, Line)]
    assert wires
    for line in wires:
        length = math.dist(line.p, line.q)
        across = (x - line.p[0]) * (line.q[1] - line.p[1]) - (y - line.p[1]) * (
            line.q[0] - line.p[0]
        )
        assert abs(across) / length > radius


def test_the_north_mark_stays_in_its_corner_while_a_thing_is_moved() -> None:
    def scene(near_in: float) -> Scene:
        near = NearbyWire("near", "Ridge, near wire", "ridge", near_in, near_in, 135.0)
        there = (
            Circuit("ridge", "Ridge", kv=12.47),
            Reading("near", "height", 510.0, datum="pole"),
        )
        return place(job(*there, *pole(45), arm("arm", 440.0), near), "framed")

    kept = Kept()

    def corner(near_in: float, *, moving: bool) -> tuple[float, float]:
        return north_ring(
            plan_view(
                scene(near_in), pole="pole", at_in=440.0, text_in=TEXT_IN, names=False,
                kept=kept, moving=moving,
            )
        ).centre  # fmt: skip

    first = corner(200.0, moving=False)
    assert corner(80.0, moving=True) == first
    after = corner(80.0, moving=False)
    assert after != first
    assert corner(200.0, moving=False) == after  # nothing drives it away


def test_the_street_is_told_on_its_side_where_somebody_said() -> None:
    assert "STREET" not in words(seen(framed()))
    for side, axis, way in (("E", 0, 1.0), ("N", 1, 1.0), ("W", 0, -1.0)):
        drawn = seen(framed(settings=Settings(street_side=side)))  # type: ignore[arg-type]
        (street,) = (one for one in texts(drawn) if one.text == "STREET")
        assert street.at[axis] * way > 0.6 * PLAN_REACH_IN


# Findings.


def test_a_finding_that_lies_level_is_measured_with_gap_and_need() -> None:
    scene = framed()
    findings = [
        one
        for one in check(scene, (rulebook("house"), rulebook("nesc-2017")))
        if one.line is not None
    ]
    level = [
        one
        for one in findings
        if one.line and abs(one.line[0][2] - one.line[1][2]) < 0.1 and one.line[0][2] > 430.0
        and max(abs(x) for point in one.line for x in point[:2]) < 90.0
        and math.dist(*one.line) > 1.0
    ]  # fmt: skip
    upright = [
        one
        for one in findings
        if one.line and math.dist(one.line[0][:2], one.line[1][:2]) < 0.5 * math.dist(*one.line)
    ]
    assert level
    assert upright
    drawn = plan_view(
        scene, pole="pole", at_in=440.0, text_in=TEXT_IN, findings=[level[0], upright[0]]
    )
    (measured,) = (one for one in drawn.primitives if isinstance(one, Dimension))
    assert measured.owner == level[0].key
    assert level[0].line is not None
    assert math.dist(measured.p, measured.q) == pytest.approx(
        math.dist(level[0].line[0][:2], level[0].line[1][:2])
    )
    (said,) = (one.text for one in texts(drawn) if ", needs " in one.text)
    job = scene.job
    assert said == f"{gap_text(job, level[0])}, needs {need_text(job, level[0])}"


# Calm.


@pytest.mark.parametrize("text_in", [3.0, 6.0, 10.0])
@pytest.mark.parametrize("look_deg", [NORTH, EAST, 45.0])
@pytest.mark.parametrize("name", NAMES)
def test_no_text_covers_another(name: str, look_deg: float, text_in: float) -> None:
    made = read_job(SAMPLES / f"{name}.framer")
    made = replace(made, settings=replace(made.settings, street_side="E"))
    books = tuple(rulebook(key) for key in made.books)
    scene = place(made, "framed")
    key = main_pole(scene, new=True)
    findings = check(scene, books)[:5]
    for at_in in (plan_height(scene, key), 360.0, 300.0):
        drawn = plan_view(
            scene,
            pole=key,
            at_in=at_in,
            text_in=text_in,
            look_deg=look_deg,
            findings=findings,
            spaces=spaces(scene, books, key),
        )
        there = texts(drawn)
        assert len(there) >= 8
        assert [(a.text, b.text) for a, b in combinations(there, 2) if overlaps(a, b)] == []


def test_a_scene_without_its_pole_is_drawn_and_does_not_fail() -> None:
    drawn = seen(place(job(*pole(45)), "framed"), pole_key="none")
    assert drawn.primitives


def test_a_leaning_pole_is_cut_where_it_is_at_the_height() -> None:
    standing = Standing(when="after", rake_in_per_10ft=12.0, rake_azimuth_deg=EAST)
    item, *girths = pole(45)
    scene = place(job(replace(item, places=(standing,)), *girths), "framed")
    (section,) = (one for one in of(seen(scene, 240.0), "pole", Circle) if isinstance(one, Circle))
    assert section.centre == pytest.approx((24.0, 0.0))
