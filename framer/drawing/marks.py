"""Marks for verdicts: each has a shape of its own, so that colour is never needed."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framer.checks.finding import Verdict
from framer.drawing.picture import XY, Circle, Fill, Line, Path, Primitive, Text, rectangle


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
        corners = rectangle((x - half, y - half, x + half, y + half))
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


_METRE_IN = 1000.0 / 25.4


def scale_bar_in(least_in: float, *, metric: bool) -> float:
    """Length of a scale bar: a round number of feet or metres, at least `least_in` long."""
    unit_in = _METRE_IN if metric else 12.0
    return next(
        count * unit_in for count in (1, 2, 4, 10, 20, 50, 100) if count * unit_in >= least_in
    )


def scale_bar(middle: XY, least_in: float, text: float, *, metric: bool) -> Iterator[Primitive]:
    """A bar of a round number of feet or metres, at least `least_in` long, halved."""
    unit_in, unit = (_METRE_IN, "m") if metric else (12.0, "ft")
    long_in = scale_bar_in(least_in, metric=metric)
    many, half, (x, y) = round(long_in / unit_in), long_in / 2, middle
    thick = 0.5 * text
    fills: tuple[Fill, Fill] = ("solid", "none")
    for left, fill in zip((x - half, x), fills, strict=True):
        yield Path(rectangle((left, y, left + half, y + thick)), "scale", "", fill)
    for at, words in ((x - half, "0"), (x, f"{many / 2:g}"), (x + half, f"{many} {unit}")):
        yield Text((at, y + 0.9 * text), words, 0.8 * text, "scale", "", "middle")
