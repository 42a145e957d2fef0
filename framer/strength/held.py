"""What the guys of a pole take of what pulls on it.

The guys carry the whole of what they can reach: below them the pole is a strut on a pinned foot.
Guys that could share a pull do so as they stretch and the pole between them bends. What no guy can
reach the pole carries as a cantilever.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from framer.strength.loads import GuyOn

Array = NDArray[np.float64]

STRAND_PSI = 21.0e6
"""Modulus of steel strand. Source: GO 95, Appendix C (a); read."""

_STEEL_LB_PER_FT_IN2 = 3.4
_STRAND_FILL = 0.72
_SOFT = 1e-8
"""How little the energy of stretching counts beside the balance of moments, as a share."""


class Held:
    """The guys of one pole, ready to take any moments."""

    def __init__(self, guys: Sequence[GuyOn], z: Array, stiff: Array | None) -> None:
        """Take heights from the ground line up and E I there, `None` for a stiff pole."""
        self.guys = tuple(guys)
        if not guys:
            return
        ways = np.array([(guy.east, guy.north) for guy in guys])
        heights = np.array([guy.height_in for guy in guys])
        self.highest = float(heights.max())
        self._arms = ways.T * (heights / self.highest)
        above = np.maximum(heights[:, None] - z[None], 0.0)
        self._bent = above * (np.zeros_like(z) if stiff is None else _widths(z) / stiff)
        energy = np.diag([stretch(guy) for guy in guys])
        energy += (ways @ ways.T) * (self._bent @ above.T)
        self._ways = ways
        # which guys worked last: most likely the same do in the next wind
        self._works = np.zeros(len(self.guys), dtype=bool)
        self._scale = _SOFT / float(np.trace(energy))
        self._gram = self._arms.T @ self._arms + self._scale * energy

    def pulls(self, moments: Array) -> Array:
        """The level pull of each guy that holds moments, by wind and guy.

        Never below 0: a guy only pulls. The moments are by wind, height, and east and north
        [lbf in].
        """
        pulls = np.zeros((len(moments), len(self.guys)))
        if not self.guys:
            return pulls
        for wind, moment in enumerate(moments):
            size = float(np.hypot(*moment[0]))
            if size <= 0.0:
                continue
            bent = (self._bent @ moment * self._ways).sum(axis=1)
            right = -(self._arms.T @ moment[0]) / size - self._scale * bent * self.highest / size
            found = _least_squares(self._gram, right, self._works)
            self._works = found > 0.0
            pulls[wind] = found * size / self.highest
        return pulls


def stretch(guy: GuyOn) -> float:
    """How far the level pull of one lbf stretches a guy, measured level [in/lbf]."""
    stock, area = guy.stock, math.pi / 4.0 * 0.375**2 * _STRAND_FILL
    if stock is not None and stock.weight_lb_per_ft is not None:
        area = stock.weight_lb_per_ft / _STEEL_LB_PER_FT_IN2
    elif stock is not None:
        area = math.pi / 4.0 * stock.dia_in**2 * _STRAND_FILL
    length = math.hypot(guy.lead_in, guy.drop_in)
    return length**3 / (STRAND_PSI * area * guy.lead_in**2)


def _widths(z: Array) -> Array:
    """What each height stands for in a sum by trapezoids."""
    step = np.diff(z)
    widths: Array = (np.append(step, 0.0) + np.insert(step, 0, 0.0)) / 2.0
    return widths


def _least_squares(gram: Array, right: Array, guess: NDArray[np.bool_]) -> Array:
    """The least x G x / 2 - r x with no x below 0, by the method of Lawson and Hanson.

    A good `guess` of which are above 0 only saves time.
    """
    count = len(right)
    hair = 1e-13
    found, used = np.zeros(count), guess.copy()
    at = np.nonzero(used)[0]
    if len(at):
        found[at] = np.linalg.solve(gram[at][:, at], right[at])
        if found.min() < 0.0:
            found, used = np.zeros(count), np.zeros(count, dtype=bool)
    for _ in range(10 * count):
        slope = right - gram @ found
        slope[used] = -np.inf
        best = int(np.argmax(slope))
        if slope[best] <= hair:
            break
        used[best] = True
        while used.any():
            at = np.nonzero(used)[0]
            tried = np.zeros(count)
            tried[at] = np.linalg.solve(gram[at][:, at], right[at])
            if tried[at].min() > 0.0:
                found = tried
                break
            back = at[tried[at] <= 0.0]
            step = float(np.min(found[back] / (found[back] - tried[back])))
            found = found + step * (tried - found)
            used &= found > hair
            found[~used] = 0.0
    return found
