"""The largest clear squares beside poles, in plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from framer.geometry.scene import Array, Run
from framer.geometry.space import Point

LARGEST_IN = 240.0
"""No square is looked for beyond this."""


class Beside(NamedTuple):
    """Where a clear square is looked for.

    Attributes:
        middle: the pole's centre line at the level looked at.
        arm: level unit vector along one arm; squares lie along and square to it.
        wires: the wires, taken straight from support to far end.
    """

    middle: Point
    arm: Point
    wires: Sequence[Run]


_TURNS = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
_RIGHT = np.repeat(_TURNS, 2, axis=0)
"""Rightward directions in the arm's own plane of every square tried: four quadrants and sides."""
_OUT = np.repeat((*_TURNS[1:], _TURNS[0]), 2, axis=0)
"""Their outward directions."""
_WEIGHT, _LOW = np.tile((1.0, 2.0), 4), np.tile((0.0, -np.inf), 4)
"""What sets a quadrant, then a side, apart; see `_reach`."""


def largest_clear_squares(places: Sequence[Beside]) -> list[tuple[float, tuple[float, float]]]:
    """The largest square at one side or in one quadrant of each pole that no wire enters.

    A quadrant's square has a corner on the pole's centre line; a side's has the middle of one
    edge there.

    Returns:
        for each place the size of the square [in], and the plan point of its far corner
        (quadrant) or of the middle of its far edge (side).
    """
    if not places:
        return []
    of = [number for number, place in enumerate(places) for _ in place.wires]
    middle, along = (
        np.array([place[field] for place in places], dtype=np.float64)[:, :2] for field in (0, 1)
    )
    across = np.column_stack([-along[:, 1], along[:, 0]])
    size = np.full((len(places), len(_WEIGHT)), LARGEST_IN)
    if of:
        ends = np.array([(run.p, run.q) for place in places for run in place.wires])
        off = ends[:, :, :2] - middle[of][:, None]
        x, y = (
            off[:, :, 0] * way[of, 0, None] + off[:, :, 1] * way[of, 1, None]
            for way in (along, across)
        )
        # each end as seen by every square: wires, ends, squares
        right, out = (
            x[:, :, None] * way[:, 0] + y[:, :, None] * way[:, 1] for way in (_RIGHT, _OUT)
        )
        np.minimum.at(size, of, _reach(right, out))
    best = np.argmax(size, axis=1)
    row = np.arange(len(places))
    reach = size[row, best]
    aside = np.where(_WEIGHT[best] == 1.0, reach, 0.0)
    x, y = (_RIGHT[best] * aside[:, None] + _OUT[best] * reach[:, None]).T
    corner = middle + along * x[:, None] + across * y[:, None]
    return [
        (size, (east, north))
        for size, (east, north) in zip(reach.tolist(), corner.tolist(), strict=True)
    ]


def _reach(right: Array, out: Array) -> Array:
    """The size at which each growing square first touches each line; wires, (ends,) squares.

    The square of size s holds the points with 0 < y < s and, in a quadrant, 0 < x < s (weight 1,
    low 0), at a side |x| < s / 2 (weight 2). A point is touched at s = max(weight |x|, y), a
    convex function along the line made of straight pieces, so its least value is at an end or
    where two pieces meet.
    """
    x, y = right[:, 0], out[:, 0]
    dx, dy = right[:, 1] - x, out[:, 1] - y
    over = np.stack([-y, -x, y - _WEIGHT * x, y + _WEIGHT * x])
    under = np.stack([dy, dx, _WEIGHT * dx - dy, -_WEIGHT * dx - dy])
    cuts = over / np.where(under != 0.0, under, np.inf)
    cuts = np.where((cuts > 0.0) & (cuts < 1.0), cuts, 0.0)
    cuts = np.sort(np.concatenate([cuts, np.zeros_like(cuts[:1]), np.ones_like(cuts[:1])]), axis=0)
    between = 0.5 * (cuts[:-1] + cuts[1:])
    inside = (y + dy * between > 0.0) & (x + dx * between > _LOW) & (cuts[1:] > cuts[:-1])
    touched = np.maximum(np.maximum(_WEIGHT * np.abs(x + dx * cuts), y + dy * cuts), 0.0)
    least = np.where(inside, np.minimum(touched[:-1], touched[1:]), np.inf)
    nearest: Array = least.min(axis=0)
    return nearest
