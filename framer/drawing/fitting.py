"""Finding room for texts: none over another, and off the lines where that can be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from framer.drawing.picture import XY, Dimension, Line, Text, dimension_text, extent

MARGIN = 0.3
"""Texts keep this far from each other, text heights."""

STEP, STEPS = 0.75, 24
"""A text that lies over another is moved by so many steps of this, text heights, at most."""


def overlaps(a: Text, b: Text, margin: float = 0.0) -> bool:
    """Whether two texts, with a margin, cover common ground."""
    (left, low), (right, high) = extent(a)
    (x_1, y_1), (x_2, y_2) = extent(b)
    return (
        left - margin < x_2 and x_1 < right + margin and low - margin < y_2 and y_1 < high + margin
    )


def best_spot(
    text: Text, spots: Iterable[XY], texts: Sequence[Text], lines: Sequence[Line] = ()
) -> Text:
    """The text at the first of some places that is free of texts and lines.

    Where none is free of both: the one that lies over fewest lines of those free of texts.
    """
    best, least = text, float("inf")
    for spot in spots:
        tried = replace(text, at=spot)
        margin = MARGIN * text.height
        over = sum(overlaps(tried, other, margin) for other in texts)
        cost = 1_000.0 * over + sum(crosses(line.p, line.q, tried) for line in lines)
        if cost < least:
            best, least = tried, cost
        if cost == 0.0:
            break
    return best


def clear_of(
    drawn: Iterable[Dimension | Text], texts: Iterable[Text]
) -> Iterator[Dimension | Text]:
    """The dimensions with their texts moved up or down, as little as needed, off other texts."""
    boxes = [extent(text) for text in texts]
    for one in drawn:
        text = dimension_text(one) if isinstance(one, Dimension) else one
        shift = _free_shift(text, boxes) if text.text else 0.0
        boxes.append(extent(_raised(text, shift)))
        if not shift:
            yield one
        elif isinstance(one, Text):
            yield _raised(one, shift)
        else:
            yield replace(one, text="")
            yield _raised(text, shift)


def _free_shift(text: Text, boxes: Sequence[tuple[XY, ...]]) -> float:
    """How far up a text has to go to lie over none; 0 too where there is no room near it."""
    margin = MARGIN * text.height
    (left, low), (right, high) = extent(text)
    left, low, right, high = left - margin, low - margin, right + margin, high + margin
    near = [(b, d) for (a, b), (c, d) in boxes if a < right and c > left]
    for step in range(STEPS):
        shift = (step + 1) // 2 * (1 if step % 2 else -1) * STEP * text.height
        if not any(b < high + shift and d > low + shift for b, d in near):
            return shift
    return 0.0


def _raised(text: Text, by: float) -> Text:
    return replace(text, at=(text.at[0], text.at[1] + by)) if by else text


def around(p: XY, q: XY, texts: Sequence[Text]) -> Iterator[tuple[XY, XY]]:
    """The pieces of a straight line that leave out the texts in its way."""
    length = math.dist(p, q)
    if length == 0.0:
        return
    cuts = []
    for text in texts:
        (left, low), (right, high) = extent(text)
        margin = MARGIN * text.height
        gone = within(p, q, (left - margin, low - margin, right + margin, high + margin))
        if gone is not None:
            cuts.append((math.dist(p, gone[0]) / length, math.dist(p, gone[1]) / length))
    start = 0.0
    for begin, end in (*sorted(cuts), (1.0, 1.0)):
        if begin > start:
            yield along(p, q, start), along(p, q, begin)
        start = max(start, end)


def along(p: XY, q: XY, share: float) -> XY:
    """The point at a share of the way from one point to another."""
    return (p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share)


def clipped(p: XY, q: XY, figure: Sequence[XY]) -> tuple[XY, XY] | None:
    """The piece of a straight line inside a figure without dents; `None` outside."""
    middle = (
        sum(x for x, _ in figure) / len(figure),
        sum(y for _, y in figure) / len(figure),
    )
    start, end = 0.0, 1.0
    for a, b in zip(figure, (*figure[1:], figure[0]), strict=True):
        normal = (b[1] - a[1], a[0] - b[0])
        # pointing out of the figure
        if (middle[0] - a[0]) * normal[0] + (middle[1] - a[1]) * normal[1] > 0.0:
            normal = (-normal[0], -normal[1])
        out = (p[0] - a[0]) * normal[0] + (p[1] - a[1]) * normal[1]
        more = (q[0] - p[0]) * normal[0] + (q[1] - p[1]) * normal[1]
        if more == 0.0:
            if out > 0.0:
                return None
        elif more > 0.0:
            end = min(end, -out / more)
        else:
            start = max(start, -out / more)
    return (along(p, q, start), along(p, q, end)) if start < end else None


def crosses(p: XY, q: XY, text: Text) -> bool:
    """Whether a straight line runs through a text."""
    (left, low), (right, high) = extent(text)
    return bool(within(p, q, (left, low, right, high)))


def within(p: XY, q: XY, box: tuple[float, float, float, float]) -> tuple[XY, XY] | None:
    """The piece of a straight line inside a box of left, low, right and high; `None` outside."""
    (x, y), dx, dy = p, q[0] - p[0], q[1] - p[1]
    start, end = 0.0, 1.0
    for step, room in ((-dx, x - box[0]), (dx, box[2] - x), (-dy, y - box[1]), (dy, box[3] - y)):
        if step == 0.0:
            if room < 0.0:
                return None
            continue
        share = room / step
        if step < 0.0:
            start = max(start, share)
        else:
            end = min(end, share)
    if start >= end:
        return None
    return (x + start * dx, y + start * dy), (x + end * dx, y + end * dy)
