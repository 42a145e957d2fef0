"""Neighbouring wires beside a pole seen from the side, with their names and heights."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from framer.drawing.fitting import lift_off
from framer.drawing.lettering import shortened, text_width
from framer.drawing.panel import LABEL_ROOM, Panel
from framer.drawing.picture import Circle, Line, Path, Primitive, Text
from framer.geometry.scene import Part, Run, Tag
from framer.geometry.space import compass, turned
from framer.geometry.written import exact

_NEARBY = int(Tag.NEARBY)


def wire_nearby(panel: Panel, part: Part, run: Run) -> Iterator[Primitive]:
    """A neighbouring wire: a level line where it crosses the view, and a ring nearest the pole.

    Where that lies beyond what is drawn, an arrow points to it.
    """
    height, x = run.p[2], _nearest_x(panel, run)
    x_p, x_q = sorted((panel.xy(run.p)[0], panel.xy(run.q)[0]))
    left, right = max(-panel.reach_in, x_p), min(panel.reach_in, x_q)
    if right - left > 6.0:
        yield Line((left, height), (right, height), "nearby", part.owner)
    if abs(x) <= panel.reach_in:
        yield Circle((x, height), 2.0, "nearby", part.owner)
        return
    way, size = math.copysign(1.0, x), 0.6 * panel.view.text_in
    tip = way * panel.reach_in
    corners = ((tip, height), (tip - way * size, height + size / 2),
               (tip - way * size, height - size / 2))  # fmt: skip
    yield Path(corners, "nearby", part.owner, fill="solid")


def _nearest_x(panel: Panel, run: Run) -> float:
    """How far right in the view a wire is where it is nearest the pole."""
    dx, dy = run.q[0] - run.p[0], run.q[1] - run.p[1]
    foot = panel.pole.foot if panel.pole else (0.0, 0.0, 0.0)
    share = ((foot[0] - run.p[0]) * dx + (foot[1] - run.p[1]) * dy) / (dx * dx + dy * dy)
    return panel.xy((run.p[0] + dx * share, run.p[1] + dy * share, run.p[2]))[0]


def _off_words(panel: Panel, run: Run) -> str:
    """How far to which side a wire passes, where that is beyond what is drawn; else nothing."""
    x = _nearest_x(panel, run)
    if abs(x) <= panel.reach_in:
        return ""
    side = compass(turned(panel.view.look_deg, 90.0 if x > 0.0 else 270.0))
    return f", {exact(panel.scene.job, abs(x))} {side}"


def nearby_labels(panel: Panel, letters: Sequence[Text]) -> Iterator[Primitive]:
    """Names and heights of neighbouring wires; those close together are named above the top one.

    Where phase letters are in the way the names stand higher, tied to their wires by a line.
    """
    text = panel.view.text_in
    foot = panel.pole.foot[2] if panel.pole else 0.0
    lines = sorted(
        (
            (part.shape.p[2], part.owner, _off_words(panel, part.shape))
            for part in panel.scene.bodies
            if part.tags & _NEARBY and isinstance(part.shape, Run)
        ),
        reverse=True,
    )
    bundles: list[list[tuple[float, str, str]]] = []
    for line in lines:
        if bundles and bundles[-1][-1][0] - line[0] < 2.2 * text:
            bundles[-1].append(line)
        else:
            bundles.append([line])
    for bundle in bundles:
        top, lowest = bundle[0][0], bundle[-1][0]
        labels = []
        for row, (height, owner, off) in enumerate(reversed(bundle)):
            up = f", {exact(panel.scene.job, height - foot)} up{off}"
            room = LABEL_ROOM * text - text_width(up, text)
            label = shortened(panel.scene.job.label(owner), room, text) + up
            at = (-panel.reach_in, top + (0.5 + 1.5 * row) * text)
            labels.append(Text(at, label, text, "label", owner))
        lift = lift_off(labels, letters)
        if lift:
            high = top + lift + 0.3 * text
            left = -panel.reach_in
            yield Line((left, lowest), (left, high), "level", bundle[0][1])
        yield from (replace(label, at=(label.at[0], label.at[1] + lift)) for label in labels)
