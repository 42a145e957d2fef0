"""Marks for verdicts: each has a shape of its own, so that colour is never needed."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framer.checks.finding import Verdict
from framer.drawing.picture import XY, Circle, Line, Path, Primitive, Text


def mark(verdict: Verdict, at: XY, size: float, owner: str = "") -> Iterator[Primitive]:
    """The mark of a verdict, about `size` high, centred.

    short: a filled wedge pointing down; cannot say: a ring with a question mark; tight: a
    half-filled square; meets: an open tick.
    """
    x, y = at
    half = size / 2
    if verdict == "short":
        yield Path(
            ((x - half, y + half), (x + half, y + half), (x, y - half)),
            "short",
            owner,
            fill="solid",
        )
    elif verdict == "cannot say":
        yield Circle(at, half, "cannot say", owner)
        yield Text((x, y - 0.35 * size), "?", 0.7 * size, "cannot say", owner, "middle")
    elif verdict == "tight":
        corners = ((x - half, y - half), (x + half, y - half), (x + half, y + half),
                   (x - half, y + half))  # fmt: skip
        yield Path(corners, "tight", owner)
        yield Path((corners[0], corners[1], corners[2]), "tight", owner, fill="solid")
    else:
        yield Line((x - half, y), (x - size / 6, y - half), "meets", owner)
        yield Line((x - size / 6, y - half), (x + half, y + half), "meets", owner)


def north_mark(at: XY, size: float, look_deg: float) -> Iterator[Primitive]:
    """A north arrow as seen from above with the direction looked at upward on paper."""
    angle = math.radians(90.0 + look_deg)
    tip = (at[0] + size * math.cos(angle), at[1] + size * math.sin(angle))
    tail = (at[0] - size * math.cos(angle), at[1] - size * math.sin(angle))
    yield Circle(at, size, "title")
    yield Line(tail, tip, "title")
    for turn in (150.0, -150.0):
        barb = angle + math.radians(turn)
        end = (tip[0] + 0.45 * size * math.cos(barb), tip[1] + 0.45 * size * math.sin(barb))
        yield Line(tip, end, "title")
    beyond = 1.55 * size
    spot = (at[0] + beyond * math.cos(angle), at[1] + beyond * math.sin(angle) - 0.35 * size)
    yield Text(spot, "N", 0.7 * size, "title", "", "middle")
