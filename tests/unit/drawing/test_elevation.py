"""The elevation: compass sides from every view, the pole drawn about in the middle."""

from __future__ import annotations

import pytest

from framer.drawing.panel import View
from framer.drawing.picture import Circle, Picture
from framer.geometry.placing import place
from framer.geometry.space import dot, toward
from tests.build import job, pole
from tests.unit.drawing.framed_pole import (
    EAST,
    LOOKS,
    NORTH,
    SOUTH,
    TEXT_IN,
    WEST,
    framed,
    of,
    seen,
    texts,
)


def middle_x(picture: Picture, owner: str) -> float:
    left, _, right, _ = Picture(tuple(of(picture, owner))).bounds()
    return (left + right) / 2


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


def test_the_pole_drawn_about_has_its_foot_at_0_and_its_grade_in_height() -> None:
    set_aside = place(job(*pole(45, east_in=24.0, north_in=-36.0, grade_in=-6.0)), "framed")
    for look in LOOKS:
        left, low, right, top = Picture(tuple(of(seen(set_aside, look), "pole"))).bounds()
        assert (left, low, right, top) == pytest.approx((-5.0, -84.0, 5.0, 456.0))
