"""The one comparison of a gap with a requirement, and rounding that respects it."""

from __future__ import annotations

import math
from typing import Literal, overload

import numpy as np
from numpy.typing import NDArray

HAIR_IN = 1e-6
"""Differences below this are noise of floating-point arithmetic: far under 1/16 in."""

Toward = Literal["down", "up", "nearest"]


@overload
def is_at_least(value: float, needed: float) -> bool: ...
@overload
def is_at_least(value: NDArray[np.float64], needed: NDArray[np.float64]) -> NDArray[np.bool_]: ...


def is_at_least(
    value: float | NDArray[np.float64], needed: float | NDArray[np.float64]
) -> bool | NDArray[np.bool_]:
    """Whether a value reaches what is needed; exactly equal does. Nothing reaches from NaN."""
    reached: bool | NDArray[np.bool_] = value >= needed - HAIR_IN
    return reached


def rounded(value: float, step: float, toward: Toward) -> float:
    """The value on a grid of `step`, not moved by noise: 41.9999999 goes down to 42 by halves."""
    if toward == "down":
        return math.floor(value / step + HAIR_IN / step) * step
    if toward == "up":
        return math.ceil(value / step - HAIR_IN / step) * step
    return math.floor(value / step + 0.5) * step
