"""How many inches are missing where there is no room for an item, and what is in the way."""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.answers.bands import Bands, Bound
from framer.units.compare import HAIR_IN

Real: TypeAlias = NDArray[np.float64]

_AT_ONCE = 500_000
"""So many heights of things are looked at together, for memory."""


class Lack(Struct, frozen=True):
    """What is missing.

    Attributes:
        inches: how much room is missing along the pole; 0 where there is room, infinite where
            something is short at every height.
        up: what drives the item up: it is short at all heights below.
        down: what keeps it down.
    """

    inches: float
    up: tuple[Bound, ...]
    down: tuple[Bound, ...]


def lack(room: Bands) -> Lack:
    """What is missing for an item to be anywhere, by bands told whole.

    At each height everything short drives it up or down, whichever way is shorter; there is that
    much too little room as the two add up to, at the height where they add up to least.
    """
    if room.bands:
        return Lack(0.0, (), ())
    low, high = room.low_in, room.high_in
    ends = np.array([(one.low_in, one.high_in) for one in room.blocked]).reshape(-1, 2)
    heights = np.unique([low, high, *ends.ravel().tolist()])
    heights = heights[(low <= heights) & (heights <= high)]
    best, least = math.inf, low
    for some in np.array_split(heights, 1 + len(heights) * len(ends) // _AT_ONCE):
        up, down = (_farthest(way) for way in _ways(room, ends, some))
        for height, total in zip(some.tolist(), (up + down).tolist(), strict=True):
            if total < best - HAIR_IN:
                best, least = total, height
    if math.isinf(best):
        always = (
            one.bound
            for one in room.blocked
            if one.low_in <= low + HAIR_IN and one.high_in >= high - HAIR_IN
        )
        return Lack(math.inf, tuple({one.words: one for one in always}.values()), ())
    ways = _ways(room, ends, np.array([least]))
    return Lack(best, *(_most(room, way[0]) for way in ways))


def _ways(room: Bands, ends: Real, heights: Real) -> tuple[Real, Real]:
    """How far each thing short at heights drives up, and how far down; NaN where it does not."""
    low, high = ends.T
    at = heights[:, None]
    up = np.where(high < room.high_in - HAIR_IN, high - at, math.inf)
    down = np.where(low > room.low_in + HAIR_IN, at - low, math.inf)
    there = (low - HAIR_IN <= at) & (at <= high + HAIR_IN)
    return np.where(there & (up <= down), up, math.nan), np.where(
        there & (up > down), down, math.nan
    )


def _farthest(way: Real) -> Real:
    farthest: Real = np.fmax.reduce(way, axis=1, initial=0.0)
    return farthest


def lack_at(room: Bands, height_in: float) -> float:
    """How far a height is from the nearest room; infinite where there is none."""
    return min(
        (max(0.0, band.low_in - height_in, height_in - band.high_in) for band in room.bands),
        default=math.inf,
    )


def _most(room: Bands, way: Real) -> tuple[Bound, ...]:
    """What drives farthest."""
    far = np.fmax.reduce(way, initial=0.0)
    driving = np.nonzero(way >= far - 1 / 16)[0].tolist()
    return tuple({one.words: one for one in (room.blocked[at].bound for at in driving)}.values())
