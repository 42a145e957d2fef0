"""Limit lines, as walls and property lines, seen on edge beside a pole."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from framer.drawing.fitting import lift_off
from framer.drawing.lettering import shortened
from framer.drawing.panel import LABEL_ROOM, REACH_IN, Panel
from framer.drawing.picture import XY, Line, Primitive, Text
from framer.geometry.limit import limit_normal
from framer.geometry.space import dot
from framer.model.line import LimitLine

ON_EDGE = 0.9
"""A limit plane is drawn where at least this share of its direction lies in the view."""


def limits(panel: Panel, others: Sequence[Text]) -> Iterator[Primitive]:
    """The limit lines of the job, their names above any text in the way."""
    for limit in panel.scene.job.limits:
        yield from _limit(panel, limit, others)


def edge_on(panel: Panel, limit: LimitLine) -> tuple[XY, XY] | None:
    """The ends of a limit line where its plane is seen on edge, the upper or right one last."""
    normal = limit_normal(limit)
    across, up = dot(normal, panel.view.right), normal[2]
    if math.hypot(across, up) < ON_EDGE:
        return None
    x, y = panel.xy((limit.east_in, limit.north_in, limit.height_in))
    if abs(across) > abs(up):
        high = REACH_IN * 4
        return (x + y * up / across, 0.0), (x - (high - y) * up / across, high)
    slope = across / up
    reach = panel.reach_in
    return (-reach, y + (reach + x) * slope), (reach, y - (reach - x) * slope)


def _limit(panel: Panel, limit: LimitLine, others: Sequence[Text]) -> Iterator[Primitive]:
    """A limit line where its plane is seen on edge, named at its upper end."""
    ends = edge_on(panel, limit)
    if ends is None:
        return
    text = panel.view.text_in
    (x, y) = ends[1]
    name = shortened(limit.name, LABEL_ROOM / 2 * text, text)
    label = Text((x, y + 0.5 * text), name, text, "label", limit.id, "middle")
    lift = lift_off([label], others)
    yield Line(ends[0], ends[1], "limit", limit.id)
    if lift:
        yield Line((x, y), (x, y + lift), "level", limit.id)
    yield replace(label, at=(x, label.at[1] + lift))
