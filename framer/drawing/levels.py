"""Names, drops and heights of what is fixed to a pole, beside it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from framer.drawing.callouts import callout_column
from framer.drawing.fitting import around, kept_clear, spread
from framer.drawing.lettering import shortened, text_width, wrapped
from framer.drawing.limits import edge_on
from framer.drawing.panel import LABEL_ROOM, NO_GIRTH_RADIUS_IN, REACH_IN, Panel
from framer.drawing.picture import XY, Dimension, Line, Primitive, Text, dimension_text
from framer.drawing.space_outlines import upright_figure
from framer.drawing.spaces import Space, label_rows
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Tag
from framer.geometry.written import exact, from_top, marks

FIRST_COLUMN_IN = 94.0
"""Dimensions start at least this far from the pole, outside a 10-ft arm."""

NARROW_ROOM, NARROW_ROWS = 13.5, 3
"""A label broken into short lines: their length, text heights, and how many a name takes."""

MANY_LEVELS, MANY_ROOM = 10, 24.0
"""Where there are more levels than this, labels take two lines again, cut to this length."""

GRAIN = 1 / 16
"""Labels that touch are shifted by steps of this, text heights: less than can be seen."""

COLUMN = 2.1
"""Distance between columns of dimensions, per text height."""

_ARM = int(Tag.ARM)
_NO_LEVEL = int(Tag.POLE | Tag.BRACE | Tag.RUN | Tag.LIVE)


class _Level(Struct, frozen=True):
    """A height on the pole worth a label, with how far what sits there reaches to either side."""

    owner: str
    name: str
    up_in: float
    left: float
    right: float


class _Row(Struct, frozen=True):
    """A label beside the elevation: where its line starts, and its lines with text heights."""

    owner: str
    y: float
    start: float
    lines: list[tuple[str, float]]


def levels(
    panel: Panel, spaces: Sequence[Space], *, dimensions: bool, narrow: bool
) -> Iterator[Primitive]:
    """Names and heights of what is fixed to the pole, and of the spaces, in one column."""
    pole = panel.pole
    if pole is None:
        return
    found = _level_list(panel, pole)
    text = panel.view.text_in
    drops = list(_drops(panel, pole, found)) if dimensions else []
    if dimensions:
        yield from drops
        yield from _heights(panel, pole, found)
    last = drops[-1].across + COLUMN * text if drops else 0.0
    # outside the neighbouring wires, which may run at the height of a label
    label_x = max(last, _hangs_to(panel) + text)
    short = narrow and len(found) <= MANY_LEVELS
    rows = [
        _Row(
            level.owner,
            pole.point(level.up_in)[2],
            # the extension line of the drop goes as far as its column
            drops[number].across + text if drops else level.right,
            _label_rows(panel, pole, level, narrow=narrow, short=short),
        )
        for number, level in enumerate(found)
    ]
    rows.extend(_space_rows(panel, spaces))
    rows.sort(key=lambda row: -row.y)
    sizes = [(0.2 + 1.4 * len(row.lines)) * text for row in rows]
    heights = spread([row.y for row in rows], sizes, GRAIN * text)
    words = kept_clear(dimension_text(drop) for drop in drops)
    for row, middle in zip(rows, heights, strict=True):
        label_y = middle + 0.7 * (len(row.lines) - 2) * text
        for left, right in around((row.start, row.y), (label_x - text, row.y), words):
            if row.start < label_x - text:
                yield Line(left, right, "level", row.owner)
        yield Line((label_x - text, row.y), (label_x, label_y), "level", row.owner)
        x = label_x + 0.4 * text
        for place, (line, size) in enumerate(row.lines):
            at = (x, label_y + (0.2 - 1.4 * place) * text)
            yield Text(at, line, size, "label", row.owner)


def _hangs_to(panel: Panel) -> float:
    """How far right of the pole there is something drawn: a lift holds a wire farther out."""
    text, nearest = panel.view.text_in, panel.reach_in
    if nearest < REACH_IN:
        xs = (x + text for x in panel.wire_xs())
        return max((x for x in xs if nearest < x <= REACH_IN), default=nearest)
    return nearest


def _space_rows(panel: Panel, spaces: Sequence[Space]) -> Iterator[_Row]:
    """Spaces are named from the middle of their right edge."""
    text = panel.view.text_in
    named: set[tuple[str, ...]] = set()
    for space in spaces:
        (_, low), (right, _), (_, high), _ = upright_figure(panel, space)
        first, *fouls = label_rows(panel.scene, space)
        key = (first, *fouls, f"{low:.1f} {high:.1f}")
        if key in named:  # the same on the other side
            continue
        named.add(key)
        lines = [
            (shortened(line, LABEL_ROOM * text, size), size)
            for words, size in ((first, text), ("; ".join(fouls), 0.85 * text))
            for line in wrapped(
                shortened(words, 1.8 * LABEL_ROOM * text, size), LABEL_ROOM * text, size
            )
        ]
        yield _Row(space.owner, (low + high) / 2, right, lines)


def _label_rows(
    panel: Panel, pole: PoleSolid, level: _Level, *, narrow: bool, short: bool
) -> list[tuple[str, float]]:
    """The lines of a level's label with their text heights: name, then drop and height."""
    text, size = panel.view.text_in, 0.85 * panel.view.text_in
    job, at = panel.scene.job, marks(panel.scene.job, pole, level.up_in)
    height = exact(job, at.ground_in)
    up = f"{height} up" if narrow else f"{height} above ground"
    drops = [] if at.top_in is None else [from_top(job, at.top_in)]
    if not short:
        name = shortened(level.name, (MANY_ROOM if narrow else LABEL_ROOM) * text, text)
        return [(name, text), (", ".join((*drops, up)), size)]
    room = NARROW_ROOM * text
    names = wrapped(level.name, room, text)
    if len(names) > NARROW_ROWS:
        names = [*names[: NARROW_ROWS - 1], f"{names[NARROW_ROWS - 1]}..."]
    lines = [(shortened(name, room, text), text) for name in names]
    return lines + [(line, size) for line in (*drops, up)]


def _first_column(panel: Panel) -> float:
    """Where the first drop is dimensioned: its text stands clear of the numbers of findings."""
    return max(FIRST_COLUMN_IN, callout_column(panel) + 2.5 * panel.view.text_in)


def _level_list(panel: Panel, pole: PoleSolid) -> list[_Level]:
    """Everything fixed to the pole, from the top down; what sits at one height is one level."""
    job = panel.scene.job
    levels: dict[int, _Level] = {}
    for part in panel.scene.bodies:
        item = job.item_by_id.get(part.owner)
        on_pole = part.level == pole.item or bool(part.tags & _ARM)
        if item is None or part.shape is None or part.pole != pole.item or not on_pole:
            continue
        if part.tags & _NO_LEVEL:
            continue
        xs = (panel.xy(part.shape.p)[0], panel.xy(part.shape.q)[0])
        name = job.label(part.owner)
        if part.tags & Tag.GUY:
            xs = (0.0, 0.0)
            end = "anchor" if part.tags & Tag.ANCHORED else "far end"
            lead = math.dist(pole.foot[:2], part.shape.q[:2])
            name = f"{name}, {end} {exact(job, lead)} out"
        key = round(part.up_in * 16)
        known = levels.get(key)
        if known is None:
            levels[key] = _Level(part.owner, name, part.up_in, min(xs), max(xs))
        else:
            names = known.name if name in known.name else f"{known.name}, {name}"
            left, right = min(known.left, *xs), max(known.right, *xs)
            levels[key] = _Level(known.owner, names, known.up_in, left, right)
    return sorted(levels.values(), key=lambda level: -level.up_in)


def _drops(panel: Panel, pole: PoleSolid, levels: Sequence[_Level]) -> Iterator[Dimension]:
    """How far below the finished top each level is, at the right, the shortest nearest the pole."""
    if pole.top_up_in is None:
        return
    job, text = panel.scene.job, panel.view.text_in
    size = 0.85 * text
    top = panel.xy(pole.point(pole.top_up_in))
    radius = pole.radius_in(pole.top_up_in) or NO_GIRTH_RADIUS_IN
    start = (top[0] + radius, top[1])
    columns = _columns(panel, _first_column(panel), COLUMN * text)
    for level, column in zip(levels, columns, strict=False):
        y = pole.point(level.up_in)[2]
        drop = marks(job, pole, level.up_in).top_in or 0.0
        words = exact(job, drop) if drop >= 0.0 else f"{exact(job, -drop)} above top"
        end = (level.right, y)
        yield _upright(start, end, column, words, size, level.owner)


def _heights(panel: Panel, pole: PoleSolid, levels: Sequence[_Level]) -> Iterator[Dimension]:
    """How far above ground each level is, at the left, the lowest nearest the pole."""
    job, text = panel.scene.job, panel.view.text_in
    ground = pole.foot[2]
    columns = _columns(panel, -FIRST_COLUMN_IN, -COLUMN * text)
    for level, column in zip(reversed(levels), columns, strict=False):
        y = pole.point(level.up_in)[2]
        start = (max(column, -REACH_IN), ground)
        end = (level.left, y)
        words = exact(job, marks(job, pole, level.up_in).ground_in)
        yield _upright(start, end, column, words, 0.85 * text, level.owner)


def _columns(panel: Panel, first: float, step: float) -> Iterator[float]:
    """Columns for dimensions, outwards, none with its text on a limit line."""
    text = panel.view.text_in
    edges = [edge for limit in panel.scene.job.limits if (edge := edge_on(panel, limit))]
    walls = [sorted((p[0], q[0])) for p, q in edges if abs(p[0] - q[0]) < REACH_IN]
    column = first
    while True:
        while any(low - 0.5 * text < column < high + 1.5 * text for low, high in walls):
            column += step / 8
        yield column
        column += step


def _upright(p: XY, q: XY, across: float, words: str, size: float, owner: str) -> Dimension:
    """An upright dimension; its text stands above it where there is no room within."""
    span, width = abs(q[1] - p[1]), text_width(words, size)
    share = 0.5
    if 0.0 < span < width + 1.4 * size:  # with its ticks
        above = (0.8 * size + width / 2) / span
        share = -above if p[1] > q[1] else 1.0 + above
    return Dimension(p, q, across, words, size, "upright", "dimension", owner, share)
