"""How many inches are missing where there is no room for an item, and what is in the way."""

from __future__ import annotations

import math
from typing import NamedTuple

from framer.answers.bands import Bands, Bound
from framer.units.compare import HAIR_IN


class Lack(NamedTuple):
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
    heights = {low, high}
    for one in room.blocked:
        heights |= {one.low_in, one.high_in}
    best = Lack(math.inf, (), ())
    for height in sorted(one for one in heights if low <= one <= high):
        ups: dict[str, tuple[float, Bound]] = {}
        downs: dict[str, tuple[float, Bound]] = {}
        for one in room.blocked:
            if not one.low_in - HAIR_IN <= height <= one.high_in + HAIR_IN:
                continue
            up = one.high_in - height if one.high_in < high - HAIR_IN else math.inf
            down = height - one.low_in if one.low_in > low + HAIR_IN else math.inf
            way, far = (ups, up) if up <= down else (downs, down)
            known = way.get(one.bound.words, (0.0, one.bound))[0]
            way[one.bound.words] = max(far, known), one.bound
        total = sum(max((far for far, _ in way.values()), default=0.0) for way in (ups, downs))
        if total < best.inches - HAIR_IN:
            best = Lack(total, _most(ups), _most(downs))
    if math.isinf(best.inches):
        always = (
            one.bound
            for one in room.blocked
            if one.low_in <= low + HAIR_IN and one.high_in >= high - HAIR_IN
        )
        return Lack(math.inf, tuple({one.words: one for one in always}.values()), ())
    return best


def lack_at(room: Bands, height_in: float) -> float:
    """How far a height is from the nearest room; infinite where there is none."""
    return min(
        (max(0.0, band.low_in - height_in, height_in - band.high_in) for band in room.bands),
        default=math.inf,
    )


def _most(way: dict[str, tuple[float, Bound]]) -> tuple[Bound, ...]:
    """What drives farthest."""
    far = max((one for one, _ in way.values()), default=0.0)
    return tuple(bound for one, bound in way.values() if one >= far - 1 / 16)
