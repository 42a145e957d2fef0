"""Marks of a plan: north, its scale, where the street is, what lies outside it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from framer.drawing.fitting import best_spot, edges_of, within
from framer.drawing.kept import Kept
from framer.drawing.lettering import text_width
from framer.drawing.marks import north_mark, scale_bar, scale_bar_in
from framer.drawing.picture import XY, Circle, Line, Primitive, Text, extent
from framer.drawing.plan_panel import PLAN_REACH_IN, PlanPanel
from framer.drawing.rigging import Told
from framer.geometry.space import azimuth_of_point, dot, toward

NORTH_SIZE = 1.4
"""How far the ring of a plan's north mark is from its middle, text heights."""


def north_in_corner(
    panel: PlanPanel, drawn: Sequence[Primitive], kept: Kept | None, *, moving: bool
) -> Iterator[Primitive]:
    """A north mark in the corner with least in it; lines that it stands on end at its edge."""
    text, off = panel.text, PLAN_REACH_IN - 2.9 * panel.text
    known = kept.corner if kept is not None else None
    corner = known if known and moving else _clearest(panel, drawn, off, known)
    if kept is not None:
        kept.corner = corner
    yield Circle(corner, NORTH_SIZE * text, "title", fill="paper")
    yield from north_mark(corner, NORTH_SIZE * text, panel.look_deg)


def _clearest(panel: PlanPanel, drawn: Sequence[Primitive], off: float, known: XY | None) -> XY:
    """The corner with least in it; of two alike the `known` one, else the first from the right."""
    corners = [(off, off), (off, -off), (-off, -off), (-off, off)]
    boxes = (extent(one) for one in drawn if isinstance(one, Text))
    lines = [*edges_of(drawn), *(Line(box[0], box[1], "label") for box in boxes)]

    def crossed(at: XY) -> tuple[int, bool]:
        x, y, room = *at, 2.7 * panel.text
        box = (x - room, y - room, x + room, y + room)
        return sum(within(one.p, one.q, box) is not None for one in lines), at != known

    return min(corners, key=crossed)


def corner_below(panel: PlanPanel, low: float) -> Iterator[Primitive]:
    """A north mark and a scale bar below all else."""
    text = panel.text
    metric = panel.scene.job.settings.units == "metric"
    at = (-PLAN_REACH_IN + 2.6 * text, low - 4.6 * text)
    half = scale_bar_in(12.0 * text, metric=metric) / 2
    middle = max(0.0, at[0] + 4.0 * text + half)
    yield from scale_bar((middle, low - 4.7 * text), 12.0 * text, text, metric=metric)
    yield from north_mark(at, 1.8 * text, panel.look_deg)


def to_street(panel: PlanPanel, drawn: Sequence[Primitive]) -> Iterator[Primitive]:
    """The word for the street, with an arrow toward it, near the edge on its side."""
    side = panel.scene.job.settings.street_side
    if side:
        way = toward(azimuth_of_point(side))
        yield from _arrow(panel, (dot(way, panel.right), dot(way, panel.ahead)), "STREET", drawn)


def arrows(
    panel: PlanPanel, told: Sequence[Told], drawn: Sequence[Primitive]
) -> Iterator[Primitive]:
    """Arrows to what lies outside the plan."""
    others = list(drawn)
    for one in told:
        if one.arrow:
            others.extend(_arrow(panel, one.at, one.arrow, others))
    yield from others[len(drawn) :]


def _arrow(
    panel: PlanPanel, toward_xy: XY, word: str, drawn: Sequence[Primitive]
) -> Iterator[Primitive]:
    """An arrow near the edge, from the middle toward a point, with a word off other texts."""
    long = math.hypot(*toward_xy)
    x, y = toward_xy[0] / long, toward_xy[1] / long
    text, far = panel.text, 0.97 * PLAN_REACH_IN / max(abs(x), abs(y))
    tip, tail = (x * far, y * far), (x * (far - 3.0 * text), y * (far - 3.0 * text))
    arrow = [Line(tail, tip, "label")]
    for turn in (-0.6, 0.6):
        barb = (-x + turn * y, -y - turn * x)
        end = (tip[0] + 0.9 * text * barb[0], tip[1] + 0.9 * text * barb[1])
        arrow.append(Line(tip, end, "label"))
    yield from arrow
    wide = text_width(word, text)
    # behind the tail by half of the word in the arrow's direction
    back = (0.6 + 0.5 * abs(y)) * text + abs(x) * wide / 2
    spots = [
        (tail[0] - x * back + dx * wide, tail[1] - y * back - 0.5 * text + dy * text)
        for dx, dy in ((0, 0), (0, 1.6), (0, -1.6), (0.8, 0), (-0.8, 0), (0, 3.2), (0, -3.2))
    ]
    words = [one for one in drawn if isinstance(one, Text)]
    plain = Text(spots[0], word, text, "label", "", "middle")
    yield best_spot(plain, spots, words, [*arrow, *edges_of(drawn)])


def at_edge(at: XY) -> XY:
    """A point, or where the way to it leaves the plan."""
    off = max(abs(at[0]), abs(at[1])) / PLAN_REACH_IN
    return at if off <= 1.0 else (at[0] / off, at[1] / off)
