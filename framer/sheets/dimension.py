"""A dimension taken apart into lines and text, for outputs that know no dimensions."""

from __future__ import annotations

import math
from collections.abc import Iterator

from framer.drawing.picture import Dimension, Line, Text, dimension_ends, dimension_text, extent

TICK = 0.55
"""Half length of the slanting end ticks, per text height."""

OVERSHOOT = 0.6
"""How far extension lines go past the dimension line, per text height."""


def dimension_strokes(dimension: Dimension) -> Iterator[Line | Text]:
    """The lines and the text a dimension is drawn with: extension lines, ticks, text along it."""
    p, q = dimension_ends(dimension)
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
        text = dimension_text(dimension)
        yield text
        if dimension.direction == "upright" and not 0.0 <= dimension.text_share <= 1.0:
            end = p if dimension.text_share < 0.0 else q
            (_, low), (_, high) = extent(text)
            far = high if high > end[1] else low
            yield Line(end, (end[0], far), style, owner)
