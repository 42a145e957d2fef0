"""Room to climb and the room equipment needs, as drawn: outlines, what fouls them, names.

The pole is 10 in thick; a line arm faces north, so that columns go by the compass.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.checks.shown import Foul, SpaceShown, spaces
from framer.drawing.elevation import elevation
from framer.drawing.panel import View
from framer.drawing.picture import Line, Picture, Primitive, Text, extent
from framer.drawing.plan import plan_view
from framer.drawing.space_outlines import finding_space
from framer.drawing.spaces import hatch, spaces_to_draw, spoken_of, words_of
from framer.files.reader import read_job
from framer.geometry.placing import place
from framer.geometry.scene import Scene, Tag
from framer.model.line import Circuit, Span
from tests.build import arm, job, on_arm, pole, seat, wire

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
NESC = (rulebook("nesc-2017"),)
NORTH, EAST, WEST = 0.0, 90.0, 270.0
TEXT_IN = 6.0


def space(**changed: object) -> SpaceShown:
    """A south-east quadrant, 30 in wide, from 400 to 480 in up, with a wire 4 in inside."""
    made = SpaceShown(
        kind="climbing",
        label="Climbing space",
        pole="pole",
        outline=((0.0, 0.0), (30.0, 0.0), (30.0, -30.0), (0.0, -30.0)),
        low_in=400.0,
        high_in=480.0,
        fouls=(Foul("wire", 4.0, 440.0, 440.0),),
        need_in=30.0,
        clear_in=26.0,
        verdict="short",
        rule="a",
        column=3,
    )
    return replace(made, **changed)


@pytest.fixture(scope="module")
def scene() -> Scene:
    """A wire that leaves to the south 26 in east of the pole, on a seat 440 in up."""
    return place(
        job(
            Circuit("main", "Main", kv=12.47),
            Span("south", "pole 2", 180.0, 1200.0),
            *pole(45),
            arm("arm", 430.0),
            on_arm("pin", "arm", 54.0),
            wire("other", "main", "south", "pin", phase="B"),
            seat("post", 440.0, out_in=21.0, faces_deg=EAST),
            wire("wire", "main", "south", "post"),
        ),
        "framed",
    )


def of(picture: Picture, style: str) -> list[Primitive]:
    return [one for one in picture.primitives if one.style == style]


def bounds(drawn: list[Primitive]) -> tuple[float, float, float, float]:
    return Picture(tuple(drawn)).bounds()


def said(picture: Picture) -> str:
    return " ".join(one.text for one in picture.primitives if isinstance(one, Text))


def test_a_space_is_named_by_kind_side_and_width(scene: Scene) -> None:
    assert words_of(scene, space()) == "Climbing space, SE quadrant, 2 ft 6 in"
    assert words_of(scene, space(column=2)) == "Climbing space, E side, 2 ft 6 in"
    assert words_of(scene, space(kind="working")) == "Working space, 2 ft 6 in"
    given = words_of(scene, space(), "Climbing space past supply")
    assert given == "Climbing space past supply, SE quadrant, 2 ft 6 in"
    unknown = space(need_in=None, clear_in=26.25)
    assert (
        words_of(scene, unknown) == "Climbing space, SE quadrant, 2 ft 2 in clear, need not known"
    )


def test_an_elevation_outlines_it_as_wide_as_it_is_seen(scene: Scene) -> None:
    drawn = elevation(scene, View(NORTH, TEXT_IN), "pole", spaces=[space()])
    assert bounds(of(drawn, "space")) == pytest.approx((0.0, 400.0, 30.0, 480.0))
    diagonal = elevation(scene, View(45.0, TEXT_IN), "pole", spaces=[space()])
    left, _, right, _ = bounds(of(diagonal, "space"))
    assert right - left == pytest.approx(30.0 * math.sqrt(2.0))


def test_the_part_that_fouls_it_is_hatched_where_it_does_and_its_reach_said(scene: Scene) -> None:
    drawn = elevation(scene, View(NORTH, TEXT_IN), "pole", spaces=[space()])
    left, low, right, high = bounds(of(drawn, "fouled"))
    # the wire is 5 + 21 in east of the pole's centre and 440 in up
    assert left < 26.0 < right
    assert low < 440.0 < high
    assert right - left < 6.0
    assert "A of Main to pole 2 reaches in 4 in" in said(drawn)
    # as far as it goes in, not beyond: in plan it runs on to the south
    above = plan_view(scene, pole="pole", at_in=440.0, text_in=TEXT_IN, spaces=[space()], hidden=())
    assert bounds(of(above, "space")) == pytest.approx((0.0, -30.0, 30.0, 0.0))
    left, low, right, high = bounds(of(above, "fouled"))
    assert low >= -30.0 - 1e-6
    assert left < 26.0 < right
    assert "reaches in 4 in" in said(above)


def test_spaces_can_be_hidden_and_are_not_drawn_unless_asked_for(scene: Scene) -> None:
    view = View(NORTH, TEXT_IN)
    plain = elevation(scene, view, "pole")
    assert of(plain, "space") == []
    assert elevation(scene, view, "pole", spaces=[space()], hidden={"climbing"}) == plain
    above = plan_view(scene, pole="pole", at_in=440.0, text_in=TEXT_IN)
    hidden = plan_view(
        scene, pole="pole", at_in=440.0, text_in=TEXT_IN, spaces=[space()], hidden={"climbing"}
    )
    assert of(above, "space") == []
    assert hidden == above


def test_a_plan_shows_only_what_is_at_its_height(scene: Scene) -> None:
    for at_in, seen in ((440.0, True), (376.0, True), (375.0, False), (541.0, False)):
        drawn = plan_view(scene, pole="pole", at_in=at_in, text_in=TEXT_IN, spaces=[space()])
        assert bool(of(drawn, "space")) == seen, at_in


def test_spaces_one_over_the_other_are_one_outline(scene: Scene) -> None:
    below = space(low_in=330.0, high_in=410.0, fouls=())
    (one,) = spaces_to_draw(scene, "pole", [space(), below], (), ())
    assert (one.low, one.high, one.fouls) == (330.0, 480.0, space().fouls)
    apart = space(low_in=300.0, high_in=390.0, fouls=())
    assert len(spaces_to_draw(scene, "pole", [space(), apart], (), ())) == 2
    assert spaces_to_draw(scene, "other pole", [space()], (), ()) == []


def test_the_room_equipment_needs_is_outlined_and_named() -> None:
    made = place(read_job(SAMPLES / "tangent/fenwick-road.framer"), "framed")
    needed = {one.owner for one in made.parts if one.tags & Tag.SPACE and one.shape is not None}
    drawn = elevation(made, View(NORTH, TEXT_IN), "pole-new", spaces=[])
    assert {one.owner for one in of(drawn, "space")} == needed
    assert len(needed) >= 2
    for owner in needed:
        assert f"{made.job.label(owner)}: " in said(drawn)
    hidden = elevation(made, View(NORTH, TEXT_IN), "pole-new", spaces=[], hidden={"equipment"})
    assert of(hidden, "space") == []


def test_hatching_stays_within_both_figures() -> None:
    body = ((-100.0, 0.0), (100.0, 0.0), (100.0, 10.0), (-100.0, 10.0))
    figure = ((0.0, -50.0), (20.0, -50.0), (20.0, 50.0), (0.0, 50.0))
    strokes = list(hatch(body, figure, 4.0, "wire"))
    assert len(strokes) >= 3
    left, low, right, high = bounds(strokes)
    assert left >= -1e-9
    assert right <= 20.0 + 1e-9
    assert low >= -1e-9
    assert high <= 10.0 + 1e-9
    apart = ((200.0, 0.0), (220.0, 0.0), (220.0, 10.0))
    assert list(hatch(body, apart, 4.0, "wire")) == []


def test_no_outline_runs_through_a_text() -> None:
    for name in ("corner/alder-lane", "tangent/fenwick-road", "dead-end/quarry-lane"):
        made = place(read_job(SAMPLES / f"{name}.framer"), "framed")
        shown = spaces(made, NESC, "pole-new")
        assert shown
        for look_deg in (NORTH, EAST, 180.0, WEST):
            drawn = elevation(made, View(look_deg, TEXT_IN), "pole-new", spaces=shown)
            texts = [extent(one) for one in drawn.primitives if isinstance(one, Text)]
            for line in of(drawn, "space"):
                assert isinstance(line, Line)
                left, right = sorted((line.p[0], line.q[0]))
                low, high = sorted((line.p[1], line.q[1]))
                for (x_1, y_1), (x_2, y_2) in texts:
                    assert not (left < x_2 and x_1 < right and low < y_2 and y_1 < high)


# The space of one finding.


@pytest.fixture(scope="module")
def tangent() -> Scene:
    return place(read_job(SAMPLES / "tangent/fenwick-road.framer"), "framed")


@pytest.fixture(scope="module")
def finding(tangent: Scene) -> Finding:
    """What is said of the climbing space about the line arm."""
    found = [one for one in check(tangent, NESC) if one.rule.measure == "climbing space"]
    return max(
        (one for one in found if one.need and one.line),
        key=lambda one: one.line[0][2] if one.line else 0.0,
    )


def test_a_finding_of_room_to_climb_has_its_space(tangent: Scene, finding: Finding) -> None:
    (one,) = spoken_of(finding, spaces(tangent, NESC, "pole-new"))
    assert finding.a is not None
    assert finding.a.shape is not None
    assert (one.rule, one.need_in) == (finding.rule.id, finding.need)
    assert one.low_in <= finding.a.shape.p[2] <= one.high_in
    drawn = finding_space(tangent, View(NORTH, TEXT_IN), "pole-new", finding, NESC)
    outline = [piece for piece in drawn if piece.style == "space"]
    _, low, _, high = bounds(outline)
    assert (low, high) == pytest.approx((one.low_in, one.high_in))
    # its label is in the list: only outline and hatching
    assert {piece.style for piece in drawn} <= {"space", "fouled"}


def test_no_other_finding_has_a_space(tangent: Scene, finding: Finding) -> None:
    view = View(NORTH, TEXT_IN)
    others = [one for one in check(tangent, NESC) if "space" not in one.rule.measure]
    assert others
    for one in others:
        assert finding_space(tangent, view, "pole-new", one, NESC) == []
    assert finding_space(tangent, view, "pole-old", finding, NESC) == []
