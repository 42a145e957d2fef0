"""Neighbouring wires: a ring where they are nearest, an arrow to those beyond."""

from __future__ import annotations

import pytest

from framer.drawing.picture import Circle, Line, Text
from framer.drawing.picture import Path as Outline
from framer.model.line import NearbyWire
from framer.model.reading import Reading
from tests.unit.drawing.framed_pole import EAST, NORTH, RIDGE, SOUTH, WEST, framed, of, seen, texts


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
