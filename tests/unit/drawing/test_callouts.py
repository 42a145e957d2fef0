"""Findings in an elevation: measured lines with a number each, clear of all that is written."""

from __future__ import annotations

import math

import pytest

from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.drawing.elevation import elevation
from framer.drawing.panel import View
from framer.drawing.picture import Circle, Dimension, Text, dimension_text, extent
from framer.geometry.space import dot
from framer.model.reading import Reading
from tests.build import POLE_RADIUS_IN, seat, wire
from tests.unit.drawing.framed_pole import LOOKS, NORTH, RIDGE, TEXT_IN, framed, texts


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
