"""Pictures: what bounds them and how they are moved."""

from __future__ import annotations

import pytest

from framer.drawing.lettering import text_width
from framer.drawing.picture import (
    Circle,
    Dimension,
    Line,
    Path,
    Picture,
    Primitive,
    Text,
    extent,
    shifted,
)
from framer.drawing.style import STYLES

WIDE = text_width("12 ft", 3.0)
SLANT_WIDE, HIGH_WIDE = text_width("5 in", 3.0), text_width("2 in", 3.0)
UPRIGHT = Dimension((0.0, 0.0), (4.0, 30.0), 20.0, "30 in", 3.0, "upright", "dimension")
LEVEL = Dimension((0.0, 0.0), (40.0, 5.0), -12.0, "40 in", 3.0, "level", "dimension")
SLANT = Dimension((1.0, 2.0), (4.0, 6.0), 0.0, "5 in", 3.0, "slant", "short")

# 2 in up from y 10; its text begins 1 in above
HIGH = Dimension(
    (0.0, 10.0),
    (4.0, 12.0),
    20.0,
    "2 in",
    3.0,
    "upright",
    "dimension",
    "",
    1.0 + (1.0 + HIGH_WIDE / 2) / 2.0,
)


def box(primitive: Primitive) -> tuple[float, float, float, float]:
    return Picture((primitive,)).bounds()


@pytest.mark.parametrize(
    ("primitive", "bounds"),
    [
        (Line((1.0, 5.0), (-2.0, 3.0), "pole"), (-2.0, 3.0, 1.0, 5.0)),
        (Path(((0.0, 0.0), (4.0, 1.0), (2.0, 7.0)), "pole"), (0.0, 0.0, 4.0, 7.0)),
        (Circle((10.0, 20.0), 3.0, "pole"), (7.0, 17.0, 13.0, 23.0)),
        (Text((10.0, 20.0), "12 ft", 3.0, "label"), (10.0, 20.0, 10.0 + WIDE, 23.0)),
        (
            Text((10.0, 20.0), "12 ft", 3.0, "label", "", "middle"),
            (10.0 - WIDE / 2, 20.0, 10.0 + WIDE / 2, 23.0),
        ),
        (
            Text((10.0, 20.0), "12 ft", 3.0, "label", "", "right"),
            (10.0 - WIDE, 20.0, 10.0, 23.0),
        ),
        # read from the right: the text runs up, its height to the left of the line it stands on
        (
            Text((10.0, 20.0), "12 ft", 3.0, "label", "", "middle", 90.0),
            (7.0, 20.0 - WIDE / 2, 10.0, 20.0 + WIDE / 2),
        ),
        (UPRIGHT, (0.0, 0.0, 20.0, 30.0)),
        (LEVEL, (0.0, -12.0, 40.0, 5.0)),
        # the text stands over the middle, (2.5, 4), 0.35 of its height above
        (SLANT, (2.5 - SLANT_WIDE / 2, 2.0, 2.5 + SLANT_WIDE / 2, 4.0 + 1.35 * 3.0)),
        (HIGH, (0.0, 10.0, 20.0, 13.0 + HIGH_WIDE)),
    ],
)
def test_the_bounds_hold_everything_drawn(
    primitive: Primitive, bounds: tuple[float, float, float, float]
) -> None:
    assert box(primitive) == pytest.approx(bounds)


def test_the_bounds_of_several_hold_all_of_them_and_those_of_none_are_nothing() -> None:
    picture = Picture((Circle((0.0, 0.0), 1.0, "pole"), Line((5.0, -9.0), (6.0, 2.0), "pole")))
    assert picture.bounds() == (-1.0, -9.0, 6.0, 2.0)
    assert Picture(()).bounds() == (0.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    "primitive",
    [
        Line((1.0, 5.0), (-2.0, 3.0), "pole", "owner"),
        Path(((0.0, 0.0), (4.0, 1.0), (2.0, 7.0)), "pole", "owner", "paper"),
        Circle((10.0, 20.0), 3.0, "pole", "owner", "solid"),
        Text((10.0, 20.0), "12 ft", 3.0, "label", "owner", "right"),
        UPRIGHT,
        LEVEL,
        SLANT,
        HIGH,
    ],
)
def test_moving_moves_the_bounds_and_nothing_else(primitive: Primitive) -> None:
    moved = shifted(primitive, 100.0, -7.0)
    left, low, right, top = box(primitive)
    assert box(moved) == pytest.approx((left + 100.0, low - 7.0, right + 100.0, top - 7.0))
    assert (moved.style, moved.owner, type(moved)) == (
        primitive.style,
        primitive.owner,
        type(primitive),
    )
    assert shifted(moved, -100.0, 7.0) == primitive


def test_more_is_drawn_on_top() -> None:
    below, above = Circle((0.0, 0.0), 1.0, "pole"), Circle((0.0, 0.0), 2.0, "arm")
    assert Picture((below,)).with_more([above]).primitives == (below, above)
    assert extent(above) == ((-2.0, -2.0), (2.0, 2.0))


def test_every_style_has_a_layer_of_its_own_and_kinds_of_wire_differ_without_colour() -> None:
    layers = [style.layer for style in STYLES.values()]
    assert len(set(layers)) == len(layers)
    wires = ("supply", "neutral", "communications", "nearby", "limit")
    looks = [(STYLES[name].weight_mm, STYLES[name].dashes) for name in wires]
    assert len(set(looks)) == len(looks)
