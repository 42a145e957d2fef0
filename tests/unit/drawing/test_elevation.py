"""The elevation: compass sides from every view, heights and drops, findings.

A line runs north and south on an arm 440 in up that faces north: phase A on its west end, B and C
east. A cable clamp sits on the east side, a transformer on the south, a riser on the north; a guy
leads west. The pole is 10 in thick, 45 ft long and 78 in deep, so its top is 462 in up.
"""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.drawing.elevation import (
    LABEL_ROOM,
    View,
    broadside_look,
    elevation,
    spread,
)
from framer.drawing.picture import (
    Circle,
    Dimension,
    Line,
    Picture,
    Primitive,
    Text,
    dimension_text,
    extent,
)
from framer.drawing.picture import Path as Outline
from framer.drawing.sheet import main_pole
from framer.files.reader import read_job
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.geometry.space import dot, toward
from framer.geometry.written import exact
from framer.model.item import Item, PoleFacts
from framer.model.job import Settings
from framer.model.line import Circuit, LimitLine, NearbyWire, Span
from framer.model.place import Guyed, OnPole, Standing
from framer.model.reading import Reading
from framer.takeoff.drilling import drill_list
from framer.units.length import System, length_text
from tests.build import POLE_RADIUS_IN, Record, arm, job, pinned, pole, seat, wire

SAMPLES = Path(__file__).resolve().parent.parent.parent.parent / "sample_jobs"
NAMES = ("corner/alder-lane", "tangent/fenwick-road", "dead-end/quarry-lane")
LOOKS = (0.0, 90.0, 180.0, 270.0)
NORTH, EAST, SOUTH, WEST = LOOKS
TEXT_IN = 8.0


def on_pole(
    key: str, kind: str, part: str, at_in: float, faces_deg: float, to_in: float | None = None
) -> Item:
    where = OnPole(when="after", host="pole", at_in=at_in, azimuth_deg=faces_deg, to_in=to_in)
    return Item(key, kind, (where,), part, name=key.title())  # type: ignore[arg-type]


def framed(*more: Record) -> Scene:
    guyed = Guyed(when="after", host="pole", at_in=420.0, azimuth_deg=WEST, lead_in=240.0)
    return place(
        job(
            Circuit("main", "Main", kv=12.47, grounded_wye=True),
            Circuit("ridge", "Ridge", kv=12.47),
            Circuit("phone", "Phone", kind="communications"),
            Span("north", "N", NORTH, 1800.0),
            Span("south", "S", SOUTH, 1800.0),
            *pole(45),
            arm("arm", 440.0),
            *pinned("arm", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}),
            *(wire(f"south-{p}", "main", "south", f"arm-{p}-pin", phase=p) for p in "ABC"),
            on_pole("clamp", "attachment", "comm-clamp", 312.0, EAST),
            wire("cable", "phone", "north", "clamp", phase="cable"),
            on_pole("bank", "transformer", "transformer-25kva", 380.0, SOUTH),
            on_pole("riser", "riser", "riser-4in", 0.0, NORTH, 300.0),
            Item("guy", "guy", (guyed,), "guy-3-8in-ehs", name="Guy"),
            *more,
        ),
        "framed",
    )


def seen(scene: Scene, look_deg: float, **more: bool) -> Picture:
    return elevation(scene, View(look_deg, TEXT_IN), "pole", **more)


def of(picture: Picture, owner: str) -> list[Primitive]:
    """What is drawn of a thing itself, not its labels and dimensions."""
    about = ("label", "level", "dimension", "leader")
    return [one for one in picture.primitives if one.owner == owner and one.style not in about]


def middle_x(picture: Picture, owner: str) -> float:
    left, _, right, _ = Picture(tuple(of(picture, owner))).bounds()
    return (left + right) / 2


def texts(picture: Picture) -> list[Text]:
    return [one for one in picture.primitives if isinstance(one, Text)]


def phases(picture: Picture) -> list[tuple[float, str]]:
    """Phase letters from left to right."""
    found = [one for one in texts(picture) if set(one.text.split()) <= set("ABCN")]
    return sorted((round(one.at[0], 6), one.text) for one in found)


# Sides.


@pytest.mark.parametrize(
    ("look_deg", "letters"),
    [
        # west is on the left looking north; seen end on, the nearest is named first
        (NORTH, [(-54.0, "A"), (18.0, "B"), (54.0, "C")]),
        (SOUTH, [(-54.0, "C"), (-18.0, "B"), (54.0, "A")]),
        (EAST, [(-6.375, "A B C")]),
        (WEST, [(6.375, "C B A")]),
    ],
)
def test_phases_stand_on_their_compass_side_from_all_four_sides(
    look_deg: float, letters: list[tuple[float, str]]
) -> None:
    assert phases(seen(framed(), look_deg)) == letters


@pytest.mark.parametrize(
    ("owner", "side_deg"), [("clamp", EAST), ("bank", SOUTH), ("riser", NORTH), ("guy", WEST)]
)
@pytest.mark.parametrize("look_deg", LOOKS)
def test_what_is_on_a_side_of_the_pole_is_drawn_there(
    owner: str, side_deg: float, look_deg: float
) -> None:
    side = dot(toward(side_deg), View(look_deg, TEXT_IN).right)
    x = middle_x(seen(framed(), look_deg), owner)
    assert (x > 1.0, x < -1.0) == (side > 0.5, side < -0.5)


@pytest.mark.parametrize("look_deg", LOOKS)
def test_a_view_from_the_opposite_side_is_the_same_turned_round(look_deg: float) -> None:
    """Outlines swap left and right; text reads the same way in both."""
    front, back = (seen(framed(), look) for look in (look_deg, (look_deg + 180.0) % 360.0))

    def dots(picture: Picture, turn: float) -> list[tuple[float, float]]:
        circles = [one for one in picture.primitives if isinstance(one, Circle)]
        return sorted((round(turn * one.centre[0], 6) + 0.0, one.centre[1]) for one in circles)

    assert dots(front, 1.0) == dots(back, -1.0)
    for picture in (front, back):
        assert {one.rotation_deg for one in texts(picture)} <= {0.0, 90.0}


@pytest.mark.parametrize(
    ("look_deg", "words"),
    [
        (0.0, "north"),
        (90.0, "east"),
        (180.0, "south"),
        (270.0, "west"),
        (225.0, "south-west"),
        (17.0, "17 deg"),
    ],
)
def test_a_view_is_named_by_where_it_looks(look_deg: float, words: str) -> None:
    assert View(look_deg, TEXT_IN).words == f"looking {words}"


def test_the_pole_drawn_about_has_its_foot_at_0_and_its_grade_in_height() -> None:
    set_aside = place(job(*pole(45, east_in=24.0, north_in=-36.0, grade_in=-6.0)), "framed")
    for look in LOOKS:
        left, low, right, top = Picture(tuple(of(seen(set_aside, look), "pole"))).bounds()
        assert (left, low, right, top) == pytest.approx((-5.0, -84.0, 5.0, 456.0))


@pytest.mark.parametrize(
    ("faces_deg", "look_deg"), [(0.0, 0.0), (90.0, 90.0), (270.0, 270.0), (45.0, 45.0)]
)
def test_the_top_arm_is_seen_broadside(faces_deg: float, look_deg: float) -> None:
    lower = arm("lower", 400.0, faces_deg=10.0)
    made = place(job(*pole(45), lower, arm("arm", 440.0, faces_deg=faces_deg)), "framed")
    assert broadside_look(made) == look_deg
    left, _, right, _ = Picture(tuple(of(seen(made, look_deg), "arm"))).bounds()
    assert right - left == pytest.approx(120.0)


def test_without_an_arm_the_view_is_to_the_north() -> None:
    assert broadside_look(place(job(*pole(45)), "framed")) == 0.0


# Heights and drops.


def labels(picture: Picture) -> dict[str, str]:
    """What stands under each name beside the pole."""
    label = [one for one in texts(picture) if one.style == "label"]
    below = {(one.at[0], round(one.at[1], 6)): one.text for one in label}
    found = {}
    for one in label:
        under = below.get((one.at[0], round(one.at[1] - 1.4 * TEXT_IN, 6)))
        if under is not None:
            found[one.text] = under
    return found


def test_every_level_is_labelled_with_drop_and_height() -> None:
    # 440, 420, 380 and 312 in up, the top 462 in
    for look in LOOKS:
        assert labels(seen(framed(), look)) == {
            "arm": "1 ft 10 in below top, 36 ft 8 in above ground",
            "Guy, anchor 20 ft out": "3 ft 6 in below top, 35 ft above ground",
            "Bank": "6 ft 10 in below top, 31 ft 8 in above ground",
            "Clamp": "12 ft 6 in below top, 26 ft above ground",
        }


def test_things_at_one_height_share_a_label() -> None:
    also = on_pole("lamp", "lamp", "lamp-arm-6ft", 312.0, NORTH)
    assert labels(seen(framed(also), NORTH))["Clamp, Lamp"].startswith("12 ft 6 in below top")


def test_on_a_pole_of_unknown_top_only_heights_are_labelled() -> None:
    made = place(job(*pole(None), on_pole("lamp", "lamp", "lamp-arm-6ft", 252.0, NORTH)), "framed")
    assert labels(seen(made, NORTH)) == {"Lamp": "21 ft above ground"}
    heights = [one for one in seen(made, NORTH).primitives if isinstance(one, Dimension)]
    assert [one.text for one in heights] == ["21 ft"]


def test_the_numbers_of_findings_stand_clear_of_a_wire_held_out_where_they_usually_do() -> None:
    for out_in in (60.0, 71.0, 76.0):
        made = framed(
            seat("far", 440.0, out_in=out_in),
            wire("held", "main", "north", "far", phase="A"),
        )
        line = ((POLE_RADIUS_IN + out_in, 0.0, 440.0), (POLE_RADIUS_IN + out_in, 0.0, 500.0))
        rule = rulebook("house").rules[0]
        found = Finding(rule, None, None, "meets", 60.0, 42.0, line=line)
        picture = elevation(made, View(NORTH, TEXT_IN), "pole", findings=[found])
        (ring,) = (one for one in picture.primitives
                   if isinstance(one, Circle) and one.owner == found.key)  # fmt: skip
        assert abs(ring.centre[0] - (POLE_RADIUS_IN + out_in)) >= ring.radius + TEXT_IN / 2


def test_in_a_metric_job_every_label_and_dimension_is_in_metres() -> None:
    guyed = Guyed(when="after", host="pole", at_in=420.0, azimuth_deg=WEST, lead_in=240.0)
    made = job(
        *pole(),
        arm("arm", 440.0),
        on_pole("clamp", "attachment", "comm-clamp", 312.0, EAST),
        Item("guy", "guy", (guyed,), "guy-3-8in-ehs", name="Guy"),
        NearbyWire("over", "Over", "ridge", 0.0, 0.0, 90.0),
        Circuit("ridge", "Ridge", kv=12.47),
        Reading("over", "height", 504.0),
        settings=Settings(units="metric"),
    )
    picture = seen(place(made, "framed"), NORTH)
    # 440 in is 11.176 m; the top is 462 in up, 22 in above the bolt: 0.559 m
    assert labels(picture)["arm"] == "0.559 m below top, 11.176 m above ground"
    dimensions = [one.text for one in picture.primitives if isinstance(one, Dimension)]
    assert {"0.559 m", "11.176 m", "3.810 m", "7.925 m"} <= set(dimensions)
    said = [one.text for one in texts(picture)]
    assert any(words.endswith(", 12.802 m up") for words in said)
    assert any(words.endswith("6.096 m out") for words in said)
    assert not any(" in" in words or " ft" in words for words in [*said, *dimensions])


@given(
    st.floats(min_value=200.0, max_value=455.0),
    st.floats(min_value=0.0, max_value=9.0),
    st.sampled_from(("ft-in", "metric")),
)
def test_a_leaning_pole_is_framed_by_the_numbers_of_its_drill_list(
    at_in: float, rake_in: float, units: System
) -> None:
    standing = {"rake_in_per_10ft": rake_in, "rake_azimuth_deg": WEST, "cut_in": 1.03}
    made = job(*pole(**standing), arm("arm", at_in), settings=Settings(units=units))  # type: ignore[arg-type]
    scene = place(made, "framed")
    (row,) = drill_list(scene, "pole").rows
    picture = seen(scene, NORTH)
    drop, height = exact(made, row.top_in), exact(made, row.ground_in)
    assert labels(picture)["arm"] == f"{drop} below top, {height} above ground"
    dimensions = [one.text for one in picture.primitives if isinstance(one, Dimension)]
    assert sorted(dimensions) == sorted((drop, height))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("look_deg", [NORTH, EAST])
def test_the_text_of_a_dimension_is_its_length_on_the_drawing(name: str, look_deg: float) -> None:
    scene = place(read_job(SAMPLES / f"{name}.framer"), "framed")
    pole_key = main_pole(scene, new=True)
    picture = elevation(scene, View(look_deg, TEXT_IN), pole_key)
    found = [
        one for one in picture.primitives if isinstance(one, Dimension) and one.style == "dimension"
    ]
    assert len(found) > 5
    rise = scene.poles[pole_key].rise
    for one in found:
        drawn = abs(one.p[1] - one.q[1])
        # drops run along the pole, which may be raked
        from_ground = min(one.p[1], one.q[1]) == pytest.approx(scene.poles[pole_key].foot[2])
        real = drawn if from_ground else drawn / rise
        assert one.direction == "upright"
        assert one.text == length_text(real, step_in=1 / 16)


@pytest.mark.parametrize("name", NAMES)
def test_labels_and_dimensions_of_the_samples_agree_with_the_scene(name: str) -> None:
    scene = place(read_job(SAMPLES / f"{name}.framer"), "framed")
    solid = scene.poles[main_pole(scene, new=True)]
    picture = elevation(scene, View(NORTH, TEXT_IN), solid.item)
    written = set(labels(picture).values())
    on_it = [
        part
        for part in scene.parts
        if part.level == solid.item and part.shape is not None and part.owner in labels_of(picture)
    ]
    assert len(on_it) >= 3
    for part in on_it:
        drop, height = solid.at("drop", part.up_in), solid.at("height", part.up_in)
        assert drop is not None
        assert height is not None
        below, above = (length_text(value, step_in=1 / 16) for value in (drop, height))
        assert f"{below} below top, {above} above ground" in written


def labels_of(picture: Picture) -> set[str]:
    return {one.owner for one in texts(picture) if one.style == "label"}


@given(st.lists(st.floats(0.0, 500.0), min_size=1, max_size=12), st.floats(5.0, 40.0))
def test_labels_are_spread_in_order_and_moved_no_more_than_needed(
    heights: list[float], apart: float
) -> None:
    heights = sorted(heights, reverse=True)
    settled = spread(heights, apart)
    for upper, lower in pairwise(settled):
        assert upper - lower >= 0.99 * apart
    assert sum(settled) == pytest.approx(sum(heights), abs=1e-6)
    if all(upper - lower >= apart for upper, lower in pairwise(heights)):
        assert settled == pytest.approx(heights, abs=1e-9)


@given(st.lists(st.tuples(st.floats(0.0, 500.0), st.floats(5.0, 40.0)), max_size=12))
def test_labels_of_different_sizes_get_the_room_each_takes(rows: list[tuple[float, float]]) -> None:
    rows = sorted(rows, reverse=True)
    settled = spread([height for height, _ in rows], [size for _, size in rows])
    assert len(settled) == len(rows)
    for number in range(len(rows) - 1):
        room = (rows[number][1] + rows[number + 1][1]) / 2
        assert settled[number] - settled[number + 1] >= room - 1e-6
    assert sum(settled) == pytest.approx(sum(height for height, _ in rows), abs=1e-6)


def test_many_labels_are_spread_as_exactly_as_few() -> None:
    settled = spread([100.0 - number for number in range(200)], 10.0)
    assert [upper - lower for upper, lower in pairwise(settled)] == pytest.approx([10.0] * 199)
    assert sum(settled) == pytest.approx(sum(100.0 - number for number in range(200)))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("look_deg", LOOKS)
def test_no_extension_line_crosses_the_line_of_another_dimension(
    name: str, look_deg: float
) -> None:
    """On either side the shortest stand nearest the pole."""
    scene = place(read_job(SAMPLES / f"{name}.framer"), "framed")
    picture = elevation(scene, View(look_deg, TEXT_IN), main_pole(scene, new=True))
    upright = [
        one for one in picture.primitives if isinstance(one, Dimension) and one.style == "dimension"
    ]
    assert len(upright) >= 8
    for one in upright:
        for end in (one.p, one.q):
            left, right = sorted((end[0], one.across))
            for other in upright:
                low, high = sorted((other.p[1], other.q[1]))
                crosses = left + 0.1 < other.across < right - 0.1
                assert not (crosses and low + 0.1 < end[1] < high - 0.1)


def test_a_dimension_without_room_for_its_text_has_it_above() -> None:
    # 12 in below a top 462 in up, and 462 in up themselves
    picture = seen(place(job(*pole(45), arm("arm", 450.0)), "framed"), NORTH)
    drop, height = (one for one in picture.primitives if isinstance(one, Dimension))
    assert (drop.text, height.text) == ("1 ft", "37 ft 6 in")
    (_, low), _ = extent(dimension_text(drop))
    assert low > 462.0
    (_, low), (_, high) = extent(dimension_text(height))
    assert low > 0.0
    assert high < 450.0
    assert (low + high) / 2 == pytest.approx(225.0)


@pytest.mark.parametrize("look_deg", LOOKS)
def test_the_letter_of_a_wire_on_the_pole_itself_stands_off_the_pole(look_deg: float) -> None:
    scene = framed(
        on_pole("spool", "insulator", "spool-53-2", 350.0, EAST),
        wire("neutral", "main", "north", "spool", phase="N"),
    )
    picture = seen(scene, look_deg)
    (letter,) = (one for one in texts(picture) if one.text == "N")
    (left, _), (right, _) = extent(letter)
    # the pole is 5 in to either side of 0
    assert left > 5.0 or right < -5.0
    side = dot(toward(EAST), View(look_deg, TEXT_IN).right)
    assert side < 0.5 or left > 5.0
    assert side > -0.5 or right < -5.0


def test_heights_are_not_written_on_a_wall() -> None:
    # a wall 96 in north is 96 in to the left looking east, where the first height would stand
    scene = framed(LimitLine("wall", "Quarry wall", north_in=96.0))
    heights = [
        one
        for one in seen(scene, EAST).primitives
        if isinstance(one, Dimension) and one.across < 0.0
    ]
    assert len(heights) == 4
    for one in heights:
        (left, _), (right, _) = extent(dimension_text(one))
        assert right < -96.0 or left > -96.0
        assert one.across != pytest.approx(-96.0, abs=1.0)


def test_long_names_are_cut_and_their_numbers_are_not() -> None:
    name = "Clamp of the telephone company of the upper valley and of its mill road"
    scene = framed(
        Item("long", "attachment", (OnPole(when="after", host="pole", at_in=250.0),), name=name),
        NearbyWire("near", name, "ridge", 30.0, 40.0, 90.0),
        Reading("near", "height", 504.0),
    )
    written = [one for one in texts(seen(scene, NORTH)) if one.text.startswith("Clamp of the tele")]
    assert any(one.text.endswith("..., 42 ft up") for one in written)
    for one in written:
        (left, _), (right, _) = extent(one)
        assert right - left <= LABEL_ROOM * TEXT_IN + 1e-6


# What is not known, and what is drawn all the same.


def test_a_pole_of_unknown_girth_is_drawn_and_what_sits_on_it_is_not() -> None:
    bare = Item("pole", "pole", (Standing(when="after"),), pole=PoleFacts(540.0))
    picture = seen(place(job(bare, arm("arm", 440.0)), "framed"), NORTH)
    left, _, right, _ = Picture(tuple(of(picture, "pole"))).bounds()
    assert right - left > 4.0
    assert of(picture, "arm") == []


def test_a_pole_of_unknown_top_is_not_drawn() -> None:
    assert of(seen(place(job(*pole(None)), "framed"), NORTH), "pole") == []


RIDGE = NearbyWire("near", "Ridge wire", "ridge", 30.0, 40.0, 90.0)


@pytest.mark.parametrize(
    ("look_deg", "ring_x"), [(NORTH, 0.0), (SOUTH, 0.0), (EAST, -40.0), (WEST, 40.0)]
)
def test_a_neighbouring_wire_has_a_ring_where_it_is_nearest_the_pole(
    look_deg: float, ring_x: float
) -> None:
    picture = seen(framed(RIDGE, Reading("near", "height", 504.0)), look_deg)
    (ring,) = (one for one in of(picture, "near") if isinstance(one, Circle))
    assert ring.centre == pytest.approx((ring_x, 504.0))
    crossing = [one for one in of(picture, "near") if isinstance(one, Line)]
    assert bool(crossing) == (look_deg in (NORTH, SOUTH))
    assert "Ridge wire, 42 ft up" in [one.text for one in texts(picture)]


@pytest.mark.parametrize(("look_deg", "way"), [(EAST, -1.0), (WEST, 1.0)])
def test_an_arrow_points_to_a_neighbouring_wire_beyond_what_is_drawn(
    look_deg: float, way: float
) -> None:
    far = NearbyWire("near", "Ridge wire", "ridge", 0.0, 300.0, 90.0)
    picture = seen(framed(far, Reading("near", "height", 504.0)), look_deg)
    (arrow,) = (one for one in of(picture, "near") if not isinstance(one, Text))
    assert isinstance(arrow, Outline)
    xs = [way * x for x, _ in arrow.points]
    assert sorted(xs)[-1] > sorted(xs)[-2]  # its tip points out, to where the wire is
    assert max(xs) < 300.0
    assert "Ridge wire, 42 ft up, 25 ft N" in [one.text for one in texts(picture)]


def test_a_neighbouring_wire_nobody_read_is_not_drawn() -> None:
    picture = seen(framed(RIDGE), NORTH)
    assert [one for one in picture.primitives if one.owner == "near"] == []


@pytest.mark.parametrize("look_deg", LOOKS)
def test_a_wall_is_drawn_where_it_is_seen_on_edge(look_deg: float) -> None:
    # a plane 96 in north of the pole, square to north
    picture = seen(framed(LimitLine("wall", "Quarry wall", north_in=96.0)), look_deg)
    edge = [one for one in picture.primitives if one.style == "limit"]
    if look_deg in (NORTH, SOUTH):
        assert edge == []
    else:
        (line,) = edge
        assert isinstance(line, Line)
        x = -96.0 if look_deg == EAST else 96.0
        assert (line.p[0], line.q[0]) == pytest.approx((x, x))
        assert "Quarry wall" in [one.text for one in texts(picture)]


def test_a_ceiling_is_level_in_every_view() -> None:
    ceiling = LimitLine("roof", "Roof", height_in=500.0, tilt_deg=90.0)
    for look in LOOKS:
        (line,) = (one for one in seen(framed(ceiling), look).primitives if one.style == "limit")
        assert isinstance(line, Line)
        assert (line.p[1], line.q[1]) == pytest.approx((500.0, 500.0))


def test_nearer_things_are_drawn_over_farther_ones() -> None:
    for look, order in ((NORTH, ["riser", "bank"]), (SOUTH, ["bank", "riser"])):
        drawn = [one.owner for one in seen(framed(), look).primitives if isinstance(one, Outline)]
        assert sorted(("bank", "riser"), key=drawn.index) == order


@pytest.mark.parametrize("apart_in", [60.0, 86.0, 150.0])
def test_a_guy_of_the_other_pole_is_drawn_from_where_it_begins_also_end_on(apart_in: float) -> None:
    guyed = Guyed(when="after", host="other", at_in=420.0, azimuth_deg=NORTH, lead_in=240.0)
    scene = place(
        job(
            *pole(45),
            *pole(45, key="other", east_in=apart_in),
            Item("guy", "guy", (guyed,), "guy-3-8in-ehs", name="Guy"),
        ),
        "framed",
    )
    drawn = elevation(scene, View(NORTH, 3.0), "pole", labels=False, dimensions=False)
    first = next(one for one in of(drawn, "guy") if isinstance(one, Line))
    assert first.p[0] == pytest.approx(apart_in, abs=12.0)
    assert first.q[0] == pytest.approx(first.p[0], abs=1.0)
    assert first.q[1] < first.p[1]


def test_dimensions_can_be_left_out() -> None:
    picture = seen(framed(), NORTH, dimensions=False)
    assert not any(isinstance(one, Dimension) for one in picture.primitives)
    assert len(labels(picture)) == 4


# Findings.


@pytest.mark.parametrize("look_deg", LOOKS)
def test_findings_are_measured_lines_with_a_number_each(look_deg: float) -> None:
    scene = framed(RIDGE, Reading("near", "height", 504.0))
    found = [one for one in check(scene, (rulebook("house"),)) if one.line][:4]
    view = View(look_deg, TEXT_IN)
    picture = elevation(scene, view, "pole", findings=found)
    for number, finding in enumerate(found, start=1):
        own = [one for one in picture.primitives if one.owner == finding.key]
        assert {one.style for one in own} == {finding.verdict, "leader"}
        (written,) = (one.text for one in own if isinstance(one, Text))
        assert written == str(number)
        (measured,) = (one for one in own if isinstance(one, Dimension))
        assert finding.line is not None
        p, q = ((dot(point, view.right), point[2]) for point in finding.line)
        assert (*measured.p, *measured.q) == pytest.approx((*p, *q))


def test_numbers_of_findings_do_not_cover_each_other() -> None:
    scene = framed(RIDGE, Reading("near", "height", 504.0))
    found = [one for one in check(scene, (rulebook("house"),)) if one.line][:8]
    picture = elevation(scene, View(NORTH, TEXT_IN), "pole", findings=found)
    keys = {one.key for one in found}
    rings = [one for one in picture.primitives if isinstance(one, Circle) and one.owner in keys]
    assert len(rings) == len(found)
    for index, one in enumerate(rings):
        for other in rings[index + 1 :]:
            assert math.dist(one.centre, other.centre) >= one.radius + other.radius
    assert {extent(ring)[0][0] for ring in rings} == {extent(rings[0])[0][0]}


@pytest.mark.parametrize("text_in", [6.0, 8.0, 12.0, 16.0])
def test_numbers_of_findings_cover_no_text_however_large_it_is(text_in: float) -> None:
    scene = framed(RIDGE, Reading("near", "height", 470.0))
    found = [one for one in check(scene, (rulebook("house"),)) if one.line][:5]
    picture = elevation(scene, View(NORTH, text_in), "pole", findings=found)
    keys = {one.key for one in found}
    rings = [one for one in picture.primitives if isinstance(one, Circle) and one.owner in keys]
    assert len(rings) == 5
    words = [one for one in texts(picture) if one.owner not in keys]
    words += [
        dimension_text(one) for one in picture.primitives if isinstance(one, Dimension) and one.text
    ]
    for ring in rings:
        (left, low), (right, high) = extent(ring)
        for one in words:
            (a, b), (c, d) = extent(one)
            assert right <= a or c <= left or high <= b or d <= low, one.text
