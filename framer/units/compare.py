"""The one comparison of a gap with a requirement, and rounding that respects it."""

from __future__ import annotations

import math
from typing import Literal

HAIR_IN = 1e-6
"""Differences below this are noise of floating-point arithmetic: far under 1/16 in."""

Toward = Literal["down", "up", "nearest"]


def is_at_least(value: float, needed: float) -> bool:
    """Whether a value reaches what is needed; exactly equal does."""
    return value >= needed - HAIR_IN


def rounded(value: float, step: float, toward: Toward) -> float:
    """The value on a grid of `step`, not moved by noise: 41.9999999 goes down to 42 by halves."""
    if toward == "down":
        return math.floor(value / step + HAIR_IN / step) * step
    if toward == "up":
        return math.ceil(value / step - HAIR_IN / step) * step
    return math.floor(value / step + 0.5) * step
