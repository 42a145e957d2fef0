"""Limit lines: drawn where they are seen on edge."""

from __future__ import annotations

import pytest

from framer.drawing.picture import Line
from framer.model.line import LimitLine
from tests.unit.drawing.framed_pole import EAST, LOOKS, NORTH, SOUTH, framed, seen, texts


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
