"""The largest clear square beside a pole, in plan."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from framer.geometry.scene import Run
from framer.geometry.space import Point

LARGEST_IN = 240.0
"""No square is looked for beyond this."""


def largest_clear_square(
    middle: Point, arm: Point, wires: Iterable[Run]
) -> tuple[float, tuple[float, float]]:
    """The largest square at one side or in one quadrant of a pole that no wire enters, from above.

    A quadrant's square has a corner on the pole's centre line; a side's has the middle of one
    edge there. Sides lie along and square to `arm`.

    Args:
        middle: the pole's centre line at the level looked at.
        arm: level unit vector along one arm.
        wires: the wires, taken straight from support to far end.

    Returns:
        size of the square [in], and the plan point of its far corner (quadrant) or of the middle
        of its far edge (side).
    """
    across = (-arm[1], arm[0])
    lines = []
    for run in wires:
        ends = []
        for end in (run.p, run.q):
            east, north = end[0] - middle[0], end[1] - middle[1]
            ends.append((east * arm[0] + north * arm[1], east * across[0] + north * across[1]))
        lines.append((ends[0], ends[1]))
    best, corner = -1.0, (0.0, 0.0)
    for turn in range(4):
        u, v = _quarter(turn)
        turned = [tuple(_seen(end, u, v) for end in line) for line in lines]
        for weight, low in ((1.0, 0.0), (2.0, -math.inf)):
            size = LARGEST_IN
            for one, other in turned:
                if size <= best:
                    break
                size = min(size, _reach(one, other, weight, low))
            if size > best:
                side = size if weight == 1.0 else 0.0
                x = u[0] * side + v[0] * size
                y = u[1] * side + v[1] * size
                best = size
                corner = (
                    middle[0] + arm[0] * x + across[0] * y,
                    middle[1] + arm[1] * x + across[1] * y,
                )
    return best, corner


def _quarter(turn: int) -> tuple[tuple[float, float], tuple[float, float]]:
    """Rightward and outward directions of one side, in the arm's own plane."""
    directions = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
    return directions[turn], directions[(turn + 1) % 4]


def _seen(
    point: tuple[float, float], u: tuple[float, float], v: tuple[float, float]
) -> tuple[float, float]:
    return (point[0] * u[0] + point[1] * u[1], point[0] * v[0] + point[1] * v[1])


def _reach(
    start: tuple[float, float], end: tuple[float, float], weight: float, low: float
) -> float:
    """The size at which a growing square first touches a line.

    The square of size s holds the points with 0 < y < s and, in a quadrant, 0 < x < s (weight 1,
    low 0), at a side |x| < s / 2 (weight 2). A point is touched at s = max(weight |x|, y), a
    convex function along the line made of straight pieces, so its least value is at an end or
    where two pieces meet.
    """
    (x0, y0), (x1, y1) = start, end
    dx, dy = x1 - x0, y1 - y0
    cuts = {0.0, 1.0}
    for over, under in (
        (-y0, dy),
        (-x0, dx),
        (y0 - weight * x0, weight * dx - dy),
        (y0 + weight * x0, -weight * dx - dy),
    ):
        if under != 0.0 and 0.0 < over / under < 1.0:
            cuts.add(over / under)
    ordered = sorted(cuts)
    nearest = math.inf
    for first, second in pairwise(ordered):
        between = 0.5 * (first + second)
        x, y = x0 + dx * between, y0 + dy * between
        if y <= 0.0 or x <= low:
            continue
        for cut in (first, second):
            nearest = min(nearest, max(weight * abs(x0 + dx * cut), y0 + dy * cut, 0.0))
    return nearest
