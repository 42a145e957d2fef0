"""Cover-up over wires and jumpers: a sleeve round what it covers, in elevation and plan."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from framer.drawing.crop import Window, piece
from framer.drawing.picture import XY, Circle, Line, Path, Primitive
from framer.geometry.scene import Part, Run, Scene, Tag
from framer.geometry.space import Point, distance
from framer.transfer.near import Cover, covers

HALF_IN = 2.5
"""Half of how wide a sleeve is drawn: wider than life, so that the wire in it is seen."""

END_ON_IN = 2.0
"""What is seen shorter than this is seen from its end."""


def sleeves(
    scene: Scene,
    xy: Callable[[Point], XY],
    window: Window,
    *,
    most_in: float = math.inf,
    shows: Callable[[Part], bool] = lambda _: True,
) -> Iterator[Primitive]:
    """The sleeves over what is shown of wires and jumpers.

    Args:
        scene: the job at a stage.
        xy: where a point is in the drawing.
        window: what is drawn lies in it.
        most_in: this much of a wire is drawn, from its support on.
        shows: whether a part is drawn.
    """
    for host, lying in covers(scene).items():
        parts = [part for part in scene.parts_of.get(host, ()) if part.shape is not None]
        key = lying[0].item.id
        for a, b in _covered(parts, lying, most_in, shows):
            for axis in piece(Line(xy(a), xy(b), "cover", key), window):
                if isinstance(axis, Line):
                    yield _sleeve(axis.p, axis.q, key)


def _covered(
    parts: Sequence[Part], lying: Sequence[Cover], most_in: float, shows: Callable[[Part], bool]
) -> Iterator[tuple[Point, Point]]:
    """The straight pieces that lie under cover: hose is laid end to end from the support on."""
    left = sum(one.length_in or 0.0 for one in lying)
    for part in parts:
        shape = part.shape
        if shape is None or not part.tags & (Tag.WIRE | Tag.JUMPER):
            continue
        long = distance(shape.p, shape.q)
        if long == 0.0 or left <= 0.0:
            continue
        if isinstance(shape, Run) and part.tags & Tag.NEARBY:
            middle, half = 0.5, min(left, long) / long / 2.0
            first, last = middle - half, middle + half
        else:
            most = min(long, most_in) if isinstance(shape, Run) else long
            first, last = 0.0, min(left, most) / long
        if shows(part):
            yield _at(shape.p, shape.q, first), _at(shape.p, shape.q, last)
        if not isinstance(shape, Run):
            left -= long


def _at(p: Point, q: Point, share: float) -> Point:
    return (
        p[0] + (q[0] - p[0]) * share,
        p[1] + (q[1] - p[1]) * share,
        p[2] + (q[2] - p[2]) * share,
    )


def _sleeve(p: XY, q: XY, key: str) -> Primitive:
    long = math.dist(p, q)
    if long < END_ON_IN:
        return Circle(p, 1.6 * HALF_IN, "cover", key)
    x, y = HALF_IN * (q[1] - p[1]) / long, HALF_IN * (p[0] - q[0]) / long
    corners = ((p[0] + x, p[1] + y), (q[0] + x, q[1] + y), (q[0] - x, q[1] - y),
               (p[0] - x, p[1] - y))  # fmt: skip
    return Path(corners, "cover", key)
