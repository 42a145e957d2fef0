"""Phase letters: on their compass side from every view, off the pole."""

from __future__ import annotations

import pytest

from framer.drawing.panel import View
from framer.drawing.picture import Picture, extent
from framer.geometry.space import dot, toward
from tests.build import wire
from tests.unit.drawing.framed_pole import (
    EAST,
    LOOKS,
    NORTH,
    SOUTH,
    TEXT_IN,
    WEST,
    framed,
    on_pole,
    seen,
    texts,
)


def phases(picture: Picture) -> list[tuple[float, str]]:
    """Phase letters from left to right."""
    found = [one for one in texts(picture) if set(one.text.split()) <= set("ABCN")]
    return sorted((round(one.at[0], 6), one.text) for one in found)


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
