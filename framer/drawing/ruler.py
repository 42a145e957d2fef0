"""The height scale beside a pole: up from the ground at its left, down from the top at its right.

Near enough it has inches too.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from framer.drawing.picture import Anchor, Line, Primitive, Text
from framer.geometry.pole import PoleSolid
from framer.units.length import System, length_text

STEPS: dict[System, tuple[tuple[float, int, int], ...]] = {
    "ft-in": ((0.9, 1, 3), (1.6, 3, 6), (3.2, 6, 12), (1e9, 12, 60)),
    "metric": ((0.9, 2, 10), (1.6, 10, 20), (3.2, 10, 50), (1e9, 50, 200)),
}
"""With text up to so many inches high, a tick every so many units and a number every so many."""

UNIT_IN: dict[System, float] = {"ft-in": 1.0, "metric": 1 / 2.54}
"""What the steps are counted in: inches or centimetres."""


def ruler(
    solid: PoleSolid, x: float, high: float, text: float, system: System = "ft-in"
) -> tuple[Primitive, ...]:
    """Feet and inches, or metres, as a scale standing at `x`, from the ground up to `high`.

    Heights above the ground line stand at the left. Where the finished top is known, drops below
    it stand at the right.
    """
    top = None if solid.top_up_in is None else solid.point(solid.top_up_in)[2]
    return _scale(solid.foot[2], top, x, high, text, system)


@lru_cache(maxsize=8)
def _scale(
    ground: float, top: float | None, x: float, high: float, text: float, system: System
) -> tuple[Primitive, ...]:
    """The scale, kept: while things are moved it stays, and is drawn at every move."""
    return tuple(_drawn(ground, top, x, high, text, system))


def _drawn(
    ground: float, top: float | None, x: float, high: float, text: float, system: System
) -> Iterator[Primitive]:
    tick, number = next(step[1:] for step in STEPS[system] if text <= step[0])
    high = max(high, ground if top is None else top)
    yield Line((x, ground), (x, high), "scale")
    steps = (tick, number, text)
    yield from _marks((x, ground), (-1.0, 1.0), high - ground, steps, "ground", system)
    if top is not None:
        yield from _marks((x, top), (1.0, -1.0), top - ground, steps, "top", system)


def _marks(
    start: tuple[float, float],
    way: tuple[float, float],
    length: float,
    steps: tuple[int, int, float],
    datum: str,
    system: System,
) -> Iterator[Primitive]:
    """Ticks and numbers from a datum on, to the side and up or down."""
    (x, y), (side, on), (tick, number, text) = start, way, steps
    coarse = number == STEPS[system][-1][-1]
    for count in range(0, int(length / UNIT_IN[system] + 1e-6) + 1, tick):
        numbered, at = count % number == 0, count * UNIT_IN[system]
        level = y + on * at
        yield Line((x, level), (x + side * (0.8 if numbered else 0.4) * text, level), "scale")
        if not numbered or (at and length - at < 1.2 * text and not coarse):
            continue
        words = length_text(at, system=system) if at else datum
        anchor: Anchor = "right" if side < 0 else "left"
        spot = (x + side * 1.1 * text, level - 0.4 * text)
        yield Text(spot, words, 0.8 * text, "scale", "", anchor)
