"""A dimension taken apart into lines and text, for outputs that know no dimensions."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framer.drawing.picture import XY, Dimension, Line, Text

TICK = 0.55
"""Half length of the slanting end ticks, per text height."""

OVERSHOOT = 0.6
"""How far extension lines go past the dimension line, per text height."""


def dimension_strokes(dimension: Dimension) -> Iterator[Line | Text]:
    """The lines and the text a dimension is drawn with: extension lines, ticks, text along it."""
    p, q = ends(dimension)
    style, owner, height = dimension.style, dimension.owner, dimension.height
    for start, end in ((dimension.p, p), (dimension.q, q)):
        span = math.dist(start, end)
        if span > 1e-9:
            over = OVERSHOOT * height / span
            beyond = (end[0] + (end[0] - start[0]) * over, end[1] + (end[1] - start[1]) * over)
            yield Line(start, beyond, style, owner)
    yield Line(p, q, style, owner)
    tick = TICK * height
    for x, y in (p, q):
        yield Line((x - tick, y - tick), (x + tick, y + tick), style, owner)
    if dimension.text:
        yield _text(dimension, p, q)


def ends(dimension: Dimension) -> tuple[XY, XY]:
    """The ends of the dimension line itself."""
    if dimension.direction == "upright":
        return (dimension.across, dimension.p[1]), (dimension.across, dimension.q[1])
    if dimension.direction == "level":
        return (dimension.p[0], dimension.across), (dimension.q[0], dimension.across)
    return dimension.p, dimension.q


def _text(dimension: Dimension, p: XY, q: XY) -> Text:
    height = dimension.height
    middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
    if dimension.direction == "upright":
        at = (middle[0] - 0.35 * height, middle[1])
        return Text(at, dimension.text, height, dimension.style, dimension.owner, "middle", 90.0)
    at = (middle[0], middle[1] + 0.35 * height)
    return Text(at, dimension.text, height, dimension.style, dimension.owner, "middle")
