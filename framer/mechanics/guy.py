"""Guys and their anchors, by plain statics. Consistent units: inches and lbf."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from framer.errors import FormulaError


class GuyLoad(Struct, frozen=True):
    """What a guy carries.

    Attributes:
        horizontal: at the pole [lbf].
        tension: in the strand [lbf].
        vertical: that it presses down on the pole with [lbf].
    """

    horizontal: float
    tension: float
    vertical: float


def corner_pull(tension: float, angle: float) -> float:
    """What a wire turning by `angle` [rad] pulls along the bisector [lbf]. 2 T sin(a / 2)."""
    pull: float = 2.0 * tension * np.sin(angle / 2.0)
    return pull


def guy_load(horizontal: float, height: float, lead: float, anchor_rise: float = 0.0) -> GuyLoad:
    """What a down guy carries.

    Args:
        horizontal: pull at the guy [lbf].
        height: of the guy above the ground line of the pole [in].
        lead: from the pole to the rod, level [in].
        anchor_rise: how much higher the ground is at the rod than at the pole [in].

    Raises:
        FormulaError: without lead, or with the rod as high as the guy, no guy helps.
    """
    rise = height - anchor_rise
    if not lead > 0.0 * lead:
        raise FormulaError("a guy without lead holds nothing")
    if not rise > 0.0 * rise:
        raise FormulaError("the rod of a down guy is lower than the guy")
    length = (lead * lead + rise * rise) ** 0.5
    return GuyLoad(horizontal, horizontal * length / lead, horizontal * rise / lead)
