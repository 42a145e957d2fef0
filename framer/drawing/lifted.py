"""What holds a wire up from the ground, a boom, a stand, an insulated lift, seen from any side."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from framer.drawing.picture import XY, Line, Path, Primitive
from framer.geometry.scene import Scene
from framer.geometry.space import Point
from framer.model.item import Item
from framer.model.place import Lifted
from framer.model.stage import place_at

HEAD_IN, HALF_IN = 9.0, 2.5
"""The holder under the wire, and half of how wide it is."""

MAST_IN = 30.0
"""So much of what the holder stands on is drawn; below, it is broken off."""


def lifts(scene: Scene) -> Iterator[tuple[Item, Point]]:
    """Every lift that is up, with the point where its wire rests."""
    for item in scene.job.items:
        where = place_at(scene.job, item, scene.stage) if item.kind == "lift" else None
        if isinstance(where, Lifted):
            yield item, (where.east_in, where.north_in, where.height_in)


def lifted(scene: Scene, xy: Callable[[Point], XY], reach_in: float) -> Iterator[Primitive]:
    """Every lift of an elevation that is nearer than `reach_in`, broken off below.

    What it stands on is not drawn: where its truck is does not follow from the wire it holds.
    """
    for item, rest in lifts(scene):
        x, y = xy(rest)
        if abs(x) > reach_in:
            continue
        low, end = y - HEAD_IN, y - HEAD_IN - MAST_IN
        corners = ((x - HALF_IN, y), (x - HALF_IN, low), (x + HALF_IN, low), (x + HALF_IN, y))
        yield Path(corners, "case", item.id, fill="paper")
        yield Line((x, low), (x, end), "case", item.id)
        for at in (end, end - 2.0):
            yield Line((x - 4.0, at - 1.5), (x + 4.0, at + 1.5), "case")
