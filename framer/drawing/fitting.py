"""Finding room for texts: none over another, and off the lines where that can be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from msgspec.structs import replace

from framer.drawing.picture import (
    XY,
    Box,
    Dimension,
    Line,
    Path,
    Primitive,
    Text,
    dimension_ends,
    dimension_text,
    extent,
)

MARGIN = 0.3
"""Texts keep this far from each other, text heights."""

LABEL_MARGIN = 0.7
"""Names keep this far off other texts, text heights: a comma reaches below its line."""

STEP, STEPS = 0.75, 24
"""A text that lies over another is moved by so many steps of this, text heights, at most."""


def box_of(text: Text, margin: float = 0.0) -> Box:
    """What a text covers, with a margin."""
    (left, low), (right, high) = extent(text)
    return (left - margin, low - margin, right + margin, high + margin)


def overlaps(a: Text, b: Text, margin: float = 0.0) -> bool:
    """Whether two texts, with a margin, cover common ground."""
    return meet(box_of(a, margin), box_of(b))


def meet(one: Box, other: Box) -> bool:
    """Whether two boxes cover common ground."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def written(drawn: Iterable[Primitive]) -> tuple[Text, ...]:
    """Every text of what is drawn, those of dimensions too."""
    texts = (dimension_text(one) if isinstance(one, Dimension) else one for one in drawn)
    return tuple(one for one in texts if isinstance(one, Text) and one.text)


def best_spot(
    text: Text, spots: Iterable[XY], texts: Sequence[Text], lines: Sequence[Line] = ()
) -> Text:
    """The text at the first of some places that is free of texts and lines.

    Where none is free of both: the one that lies over fewest lines of those free of texts.
    """
    best, least = text, float("inf")
    taken, margin = [box_of(other) for other in texts], MARGIN * text.height
    for spot in spots:
        tried = replace(text, at=spot)
        bare, wide = box_of(tried), box_of(tried, margin)
        over = sum(meet(wide, other) for other in taken)
        cost = 1_000.0 * over + sum(within(line.p, line.q, bare) is not None for line in lines)
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


def spread(
    heights: Sequence[float], apart: float | Sequence[float], grain: float = 0.0
) -> list[float]:
    """Heights, highest first, moved as little as needed so that none is too near the next.

    `apart` is the room that each takes, half above and half below it, or one for all. What touches
    ends at a multiple of `grain`, so that one of many that moves a little does not shift them all.
    """
    sizes = [apart] * len(heights) if isinstance(apart, float | int) else list(apart)
    # what touches is a block: its top, its size, and the places it holds
    blocks: list[tuple[float, float, int]] = []
    for height, own in zip(heights, sizes, strict=True):
        top, size, many = height + own / 2, own, 1
        while blocks and blocks[-1][0] - blocks[-1][1] < top:
            upper, above, count = blocks.pop()
            # together they stand evenly about where they were to stand
            top = (upper * count + (top + above) * many) / (count + many)
            size, many = size + above, many + count
        blocks.append((top, size, many))
    moved: list[float] = []
    for edge, _, many in blocks:
        if many == 1:
            moved.append(heights[len(moved)])
            continue
        edge = round(edge / grain) * grain if grain else edge
        for _ in range(many):
            own = sizes[len(moved)]
            moved.append(edge - own / 2)
            edge -= own
    return moved


def edges_of(drawn: Sequence[Primitive]) -> Iterator[Line]:
    """The straight lines of a drawing, outlines and dimensions among them."""
    for one in drawn:
        if isinstance(one, Line):
            yield one
        elif isinstance(one, Path):
            for p, q in zip(one.points, (*one.points[1:], one.points[0]), strict=True):
                yield Line(p, q, one.style)
        elif isinstance(one, Dimension) and one.direction != "slant":
            start, end = dimension_ends(one)
            for p, q in ((one.p, start), (start, end), (end, one.q)):
                yield Line(p, q, one.style)


def lift_off(labels: Sequence[Text], others: Sequence[Text]) -> float:
    """How far a block of labels must go up so that none lies over another text."""
    lift = 0.0
    boxes = [(extent(label), LABEL_MARGIN * label.height) for label in labels]
    first, last = min(box[0][0] for box, _ in boxes), max(box[1][0] for box, _ in boxes)
    widest = max(margin for _, margin in boxes)
    covers = (extent(other) for other in sorted(others, key=lambda text: text.at[1]))
    for (left, low), (right, high) in covers:
        if left > last + widest or right < first - widest:
            continue
        for ((x_1, y_1), (x_2, y_2)), margin in boxes:
            beside = left > x_2 + margin or right < x_1 - margin
            if not beside and y_1 + lift < high + margin and y_2 + lift > low - margin:
                lift = high + margin - y_1
    return lift


def kept_clear(texts: Iterable[Text]) -> list[Box]:
    """What lines keep off: texts with a margin."""
    return [box_of(text, MARGIN * text.height) for text in texts]


def around(p: XY, q: XY, boxes: Sequence[Box]) -> Iterator[tuple[XY, XY]]:
    """The pieces of a straight line that leave out the boxes in its way."""
    length = math.dist(p, q)
    if length == 0.0:
        return
    cuts = []
    for box in boxes:
        gone = within(p, q, box)
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


def clipped(p: XY, q: XY, figure: tuple[XY, ...]) -> tuple[XY, XY] | None:
    """The piece of a straight line inside a figure without dents; `None` outside."""
    start, end = 0.0, 1.0
    (x, y), dx, dy = p, q[0] - p[0], q[1] - p[1]
    for across, up, last in _sides(figure):
        out = x * across + y * up - last
        more = dx * across + dy * up
        if more == 0.0:
            if out > 0.0:
                return None
        elif more > 0.0:
            end = min(end, -out / more)
        else:
            start = max(start, -out / more)
    return (along(p, q, start), along(p, q, end)) if start < end else None


@lru_cache(maxsize=64)
def _sides(figure: tuple[XY, ...]) -> tuple[tuple[float, float, float], ...]:
    """Of each side of a figure without dents the direction out of it, and how far that way it is.

    A hatch asks for those of one figure for every stroke.
    """
    x = sum(x for x, _ in figure) / len(figure)
    y = sum(y for _, y in figure) / len(figure)
    found = []
    for a, b in zip(figure, (*figure[1:], figure[0]), strict=True):
        across, up = b[1] - a[1], a[0] - b[0]
        if (x - a[0]) * across + (y - a[1]) * up > 0.0:
            across, up = -across, -up
        found.append((across, up, a[0] * across + a[1] * up))
    return tuple(found)


def within(p: XY, q: XY, box: Box) -> tuple[XY, XY] | None:
    """The piece of a straight line inside a box; `None` outside."""
    (x, y), (x_2, y_2), (left, low, right, high) = p, q, box
    if (
        (x < left and x_2 < left)
        or (x > right and x_2 > right)
        or (y < low and y_2 < low)
        or (y > high and y_2 > high)
    ):
        return None
    dx, dy = x_2 - x, y_2 - y
    start, end = 0.0, 1.0
    for step, room in ((-dx, x - left), (dx, right - x), (-dy, y - low), (dy, high - y)):
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
