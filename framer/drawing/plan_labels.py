"""Names in a plan: in columns beside it, below it, and phase letters at the wires."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from framer.drawing.fitting import MARGIN, best_spot, box_of, edges_of, meet, spread, within
from framer.drawing.lettering import shortened, text_width, wrapped
from framer.drawing.marks import mark
from framer.drawing.picture import XY, Anchor, Line, Primitive, Text
from framer.drawing.plan_panel import LABEL_ROOM, PLAN_REACH_IN, Label, PlanPanel
from framer.drawing.spaces import Space, label_rows
from framer.geometry.scene import Part, Run, Tag
from framer.units.length import length_text

ROWS_BELOW, ROW_BELOW, SIZE_BELOW = 4, 1.45, 0.85
"""A plan without names has at most so many lines below it, so far apart and so high."""

ROW = 1.7
"""Rows of labels are this far apart, text heights."""


def space_labels(
    panel: PlanPanel, spaces: Sequence[Space], figures: Sequence[Sequence[XY]]
) -> Iterator[Label]:
    """Spaces are named from the middle of their side that lies farthest out."""
    named: set[str] = set()
    for space, figure in zip(spaces, figures, strict=True):
        words = "\n".join(label_rows(panel.scene, space))
        if words in named:  # of another level, the same but for the pole's lean
            continue
        named.add(words)
        middles = [
            ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
            for p, q in zip(figure, (*figure[1:], figure[0]), strict=True)
        ]
        anchor = max(middles, key=lambda at: (round(abs(at[0]), 3), -at[1]))
        yield Label(anchor, words, "label", space.owner)


def letters_from_above(
    panel: PlanPanel, drawn: Sequence[Primitive], others: Sequence[Text] = ()
) -> Iterator[Text]:
    """Phase letters at the supports, off other texts, arm and wires where there is room."""
    text = panel.text
    at: dict[tuple[int, int], dict[str, tuple[XY, Part]]] = {}
    for part in panel.scene.bodies:
        if not isinstance(part.shape, Run) or len(part.phase or "") != 1:
            continue
        if part.tags & Tag.NEARBY or not panel.shows(part) or panel.is_low(part):
            continue
        spot = panel.xy(part.shape.p)
        if max(abs(spot[0]), abs(spot[1])) > PLAN_REACH_IN:
            continue
        key = (round(spot[0] / text), round(spot[1] / text))
        at.setdefault(key, {}).setdefault(part.phase or "", (spot, part))
    lines = list(edges_of(drawn))
    texts = list(others)
    for letters in at.values():
        word = " ".join(sorted(letters))
        (x, y), part = next(iter(letters.values()))
        wide = text_width(word, text)
        near = [
            (x + dx * (0.9 * text + wide / 2), y + dy * 1.3 * text - 0.5 * text)
            for dx, dy in ((1, 1), (-1, 1), (1, -1), (-1, -1), (1, 2), (-1, 2), (1, -2), (-1, -2))
        ]
        # over the plan stands its heading
        near = [spot for spot in near if spot[1] + text <= PLAN_REACH_IN] or near
        plain = Text(near[0], word, text, "label", part.owner, "middle")
        texts.append(best_spot(plain, near, texts, lines))
        yield texts[-1]


def in_column(panel: PlanPanel, labels: Sequence[Label]) -> Iterator[Primitive]:
    """Labels in a column at either side, each tied to what it names."""
    sides: dict[bool, list[Label]] = {True: [], False: []}
    for label in sorted(labels, key=lambda one: -abs(one.anchor[0])):
        at_left = label.anchor[0] < 0.0
        # one in the middle goes where there are fewer
        if abs(label.anchor[0]) < 0.12 * PLAN_REACH_IN:
            at_left = len(sides[True]) < len(sides[False])
        sides[at_left].append(label)
    for at_left, there in sides.items():
        there.sort(key=lambda label: -label.anchor[1])
        yield from _side(panel, there, at_left=at_left)


def _side(panel: PlanPanel, labels: Sequence[Label], *, at_left: bool) -> Iterator[Primitive]:
    text, way = panel.text, -1.0 if at_left else 1.0
    anchor: Anchor = "right" if at_left else "left"
    x = way * (PLAN_REACH_IN + 2.5 * text)
    rows = [
        (label if first else None, line, label)
        for label in labels
        for first, line in _rows(label.text, text)
    ]
    heights = spread([label.anchor[1] for _, _, label in rows], ROW * text)
    for (begun, line, label), y in zip(rows, heights, strict=True):
        start = x + way * (2.0 if label.verdict else 0.4) * text
        if begun is not None:
            away = label.radius / max(math.dist(label.anchor, (x, y)), 1e-9)
            near = (
                label.anchor[0] + (x - label.anchor[0]) * away,
                label.anchor[1] + (y - label.anchor[1]) * away,
            )
            yield Line(near, (x, y), "leader", label.owner)
            if label.verdict:
                yield from mark(label.verdict, (x + way * 0.9 * text, y), text, label.owner)
        yield Text((start, y - 0.5 * text), line, text, label.style, label.owner, anchor)


def _rows(words: str, text: float) -> Iterator[tuple[bool, str]]:
    """The rows of a label, and whether each is the first."""
    room, first = LABEL_ROOM * text, True
    for part in words.split("\n"):
        for line in wrapped(shortened(part, 2.5 * room, text), room, text):
            yield first, shortened(line, room, text)
            first = False


class _Leaving(Struct, frozen=True):
    """The wires of one span at the height of the plan: where they leave it, and their names."""

    span: str
    at: XY
    lines: tuple[str, ...]


def wires_leaving(panel: PlanPanel) -> list[_Leaving]:
    """Where the wires of each span leave the plan."""
    job = panel.scene.job
    ends: dict[str, list[XY]] = {}
    names: dict[str, dict[str, list[str]]] = {}
    for part in panel.scene.bodies:
        wire = job.wire_by_id.get(part.owner)
        if wire is None or not isinstance(part.shape, Run):
            continue
        if not panel.shows(part) or panel.is_low(part):
            continue
        inside = within(panel.xy(part.shape.p), panel.xy(part.shape.q), panel.square)
        if inside is None:
            continue
        ends.setdefault(wire.span, []).append(inside[1])
        of = names.setdefault(wire.span, {}).setdefault(job.label(wire.circuit), [])
        if len(wire.phase) == 1 and wire.phase not in of:
            of.append(wire.phase)
    found = []
    for key, there in ends.items():
        span = job.span_by_id[key]
        length = length_text(span.length_in, step_in=1.0, system=job.settings.units)
        over = f", {span.over}" if span.over in ("along road", "driveway") else ""
        over = f", over {span.over}" if span.over in ("road", "railroad", "water") else over
        circuits = "; ".join(
            " ".join((circuit, *sorted(phases))) for circuit, phases in names[key].items()
        )
        middle = (
            sum(x for x, _ in there) / len(there),
            sum(y for _, y in there) / len(there),
        )
        if abs(middle[0]) >= abs(middle[1]):  # its name is tied to a wire
            middle = min(there, key=lambda end: abs(end[1] - middle[1]))
        found.append(_Leaving(key, middle, (f"to {span.toward}, {length}{over}", circuits)))
    return found


def _is_at_side(leaving: _Leaving) -> bool:
    x, y = leaving.at
    return abs(x) >= abs(y)


def at_sides(all_leaving: Sequence[_Leaving]) -> Iterator[Label]:
    """Names of spans that leave at a side go into the columns."""
    for leaving in all_leaving:
        if _is_at_side(leaving):
            yield Label(leaving.at, "\n".join(leaving.lines), "label", leaving.span)


def at_ends(
    panel: PlanPanel, all_leaving: Sequence[_Leaving], others: Sequence[Text]
) -> Iterator[Text]:
    """Names of spans that leave at the upper or lower end, outside it, off all other texts."""
    text, there = panel.text, list(others)
    for leaving in all_leaving:
        if _is_at_side(leaving):
            continue
        (x, y), above = leaving.at, leaving.at[1] > 0.0
        shown = [shortened(line, 2 * PLAN_REACH_IN, text) for line in leaving.lines]
        first = y + (0.6 + 1.5 * (len(shown) - 1)) * text if above else y - 1.6 * text
        block = [
            Text((x, first - 1.5 * text * row), line, text, "label", leaving.span, "middle")
            for row, line in enumerate(shown)
        ]
        step = 0.25 * text if above else -0.25 * text
        taken = [box_of(other) for other in there]
        while any(meet(box_of(one, MARGIN * text), other) for one in block for other in taken):
            block = [replace(one, at=(one.at[0], one.at[1] + step)) for one in block]
        there.extend(block)
        yield from block


def bare_box(text_in: float) -> tuple[float, float, float, float]:
    """What a plan without names covers: left, low, right, high."""
    low = -PLAN_REACH_IN - (1.0 + ROW_BELOW * ROWS_BELOW) * text_in
    return (-PLAN_REACH_IN, low, PLAN_REACH_IN, PLAN_REACH_IN)


def in_rows_below(panel: PlanPanel, labels: Sequence[Label]) -> Iterator[Primitive]:
    """Gap and need of findings and names of spaces, line by line below what is drawn."""
    text, room = panel.text, 2.0 * PLAN_REACH_IN
    size = SIZE_BELOW * text
    rows = [
        (line, label, row == 0)
        for label in labels
        for row, line in enumerate(
            line for words in label.text.split("\n") for line in wrapped(words, room, size)
        )
    ]
    if len(rows) > ROWS_BELOW:
        line, label, first = rows[ROWS_BELOW - 1]
        rows[ROWS_BELOW - 1 :] = [(f"{line} ...", label, first)]
    y = -PLAN_REACH_IN - ROW_BELOW * text
    for line, label, first in rows:
        shown = shortened(line, room, size)
        yield Text((0.0, y), shown, size, label.style, label.owner, "middle")
        if first and label.verdict:
            half = text_width(shown, size) / 2
            yield from mark(label.verdict, (-half - text, y + 0.5 * size), text, label.owner)
        y -= ROW_BELOW * text
