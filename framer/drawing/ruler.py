"""The height scale beside a pole: up from the ground at its left, down from the top at its right.

Near enough it has inches too.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from framer.drawing.picture import Anchor, Line, Primitive, Text
from framer.geometry.pole import PoleSolid
from framer.units.length import length_text

STEPS = ((0.9, 1, 3), (1.6, 3, 6), (3.2, 6, 12), (1e9, 12, 60))
"""With text up to so many inches high, a tick every so many inches and a number every so many."""


def ruler(solid: PoleSolid, x: float, high: float, text: float) -> tuple[Primitive, ...]:
    """Feet and inches as a scale standing at `x`, from the ground up to `high`.

    Heights above the ground line stand at the left. Where the finished top is known, drops below
    it stand at the right.
    """
    top = None if solid.top_up_in is None else solid.point(solid.top_up_in)[2]
    return _scale(solid.foot[2], top, x, high, text)


@lru_cache(maxsize=8)
def _scale(
    ground: float, top: float | None, x: float, high: float, text: float
) -> tuple[Primitive, ...]:
    """The scale, kept: while things are moved it stays, and is drawn at every move."""
    return tuple(_drawn(ground, top, x, high, text))


def _drawn(
    ground: float, top: float | None, x: float, high: float, text: float
) -> Iterator[Primitive]:
    tick, number = next(step[1:] for step in STEPS if text <= step[0])
    high = max(high, ground if top is None else top)
    yield Line((x, ground), (x, high), "scale")
    yield from _marks((x, ground), (-1.0, 1.0), high - ground, (tick, number, text), "ground")
    if top is not None:
        yield from _marks((x, top), (1.0, -1.0), top - ground, (tick, number, text), "top")


def _marks(
    start: tuple[float, float],
    way: tuple[float, float],
    length: float,
    steps: tuple[int, int, float],
    datum: str,
) -> Iterator[Primitive]:
    """Ticks and numbers from a datum on, to the side and up or down."""
    (x, y), (side, on), (tick, number, text) = start, way, steps
    for at in range(0, int(length + 1e-6) + 1, tick):
        numbered = at % number == 0
        level = y + on * at
        yield Line((x, level), (x + side * (0.8 if numbered else 0.4) * text, level), "scale")
        if not numbered or (at and length - at < 1.2 * text and number < 60):
            continue
        words = length_text(float(at)) if at else datum
        anchor: Anchor = "right" if side < 0 else "left"
        spot = (x + side * 1.1 * text, level - 0.4 * text)
        yield Text(spot, words, 0.8 * text, "scale", "", anchor)
