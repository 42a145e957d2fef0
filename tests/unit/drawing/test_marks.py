"""Marks of verdicts are told apart by shape; the north mark points north."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from framer.checks.finding import RANK
from framer.drawing.marks import mark, north_mark
from framer.drawing.picture import Circle, Line, Path, Picture, Primitive, Text


def shape(primitive: Primitive) -> tuple[object, ...]:
    """What is seen of a primitive on a grey print."""
    if isinstance(primitive, Path):
        return ("path", len(primitive.points), primitive.fill)
    if isinstance(primitive, Circle):
        return ("circle", primitive.fill)
    if isinstance(primitive, Text):
        return ("text", primitive.text)
    return (type(primitive).__name__,)


@pytest.mark.parametrize(("one", "other"), list(combinations(RANK, 2)))
def test_marks_differ_in_shape_not_only_in_colour(one: str, other: str) -> None:
    shapes = [sorted(map(shape, mark(name, (0.0, 0.0), 10.0))) for name in (one, other)]  # type: ignore[arg-type]
    assert shapes[0] != shapes[1]


@pytest.mark.parametrize("verdict", list(RANK))
def test_a_mark_is_centred_and_about_as_large_as_asked(verdict: str) -> None:
    left, low, right, top = Picture(tuple(mark(verdict, (100.0, 50.0), 10.0))).bounds()  # type: ignore[arg-type]
    assert (left + right) / 2 == pytest.approx(100.0, abs=1.0)
    assert (low + top) / 2 == pytest.approx(50.0, abs=1.0)
    assert max(right - left, top - low) == pytest.approx(10.0)


@pytest.mark.parametrize("verdict", list(RANK))
def test_a_mark_is_drawn_in_the_style_of_its_verdict(verdict: str) -> None:
    drawn = list(mark(verdict, (0.0, 0.0), 10.0, "owner"))  # type: ignore[arg-type]
    assert {primitive.style for primitive in drawn} == {verdict}
    assert {primitive.owner for primitive in drawn} == {"owner"}


def test_only_what_is_short_is_a_full_wedge_pointing_down() -> None:
    (wedge,) = mark("short", (0.0, 0.0), 10.0)
    assert isinstance(wedge, Path)
    assert wedge.fill == "solid"
    assert min(wedge.points, key=lambda point: point[1])[0] == 0.0


@pytest.mark.parametrize(
    ("look_deg", "way"),
    # looking up the paper: north is up when looking north, to the left when looking east
    [(0.0, (0.0, 1.0)), (90.0, (-1.0, 0.0)), (180.0, (0.0, -1.0)), (270.0, (1.0, 0.0)),
     (45.0, (-math.sqrt(0.5), math.sqrt(0.5)))],
)  # fmt: skip
def test_the_north_mark_points_north_with_the_view_up_the_paper(
    look_deg: float, way: tuple[float, float]
) -> None:
    drawn = list(north_mark((100.0, 50.0), 10.0, look_deg))
    shaft = next(one for one in drawn if isinstance(one, Line))
    assert shaft.q == pytest.approx((100.0 + 10.0 * way[0], 50.0 + 10.0 * way[1]))
    letter = next(one for one in drawn if isinstance(one, Text))
    assert letter.text == "N"
    # the middle of the letter lies beyond the arrow's tip
    middle = (letter.at[0], letter.at[1] + letter.height / 2)
    assert middle == pytest.approx((100.0 + 15.5 * way[0], 50.0 + 15.5 * way[1]), abs=0.1)
