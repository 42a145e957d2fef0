"""Guys and their anchors, by plain statics. Consistent units: inches and lbf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from framer.errors import FormulaError


@dataclass(frozen=True, slots=True)
class GuyLoad:
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


def horizontal_at_guy(pulls: Sequence[tuple[float, float]], height: float) -> float:
    """The pull at the guy that stands for pulls at several heights [lbf].

    Args:
        pulls: pull [lbf] and height above the ground line [in] of each.
        height: of the guy [in].

    Source: moments about the ground line, the pole being a strut below the guy (GO 95 Rule 49.6-C,
    86.2; eq. 12.26 in the companion code to T. Goenen; both read).
    """
    if not height > 0.0 * height:
        raise FormulaError("a guy is above the ground line")
    return sum(pull * at for pull, at in pulls) / height


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


def moment_above_guy(pulls: Sequence[tuple[float, float]], height: float) -> float:
    """The moment in the pole at a guy that is below some of the pulls [lbf in]."""
    return sum(pull * (at - height) for pull, at in pulls if at > height)


def stub_pull(horizontal: float, span_guy_height: float, down_guy_height: float) -> float:
    """The pull at the down guy of a stub that a span guy ends on [lbf]."""
    return horizontal_at_guy([(horizontal, span_guy_height)], down_guy_height)


def sidewalk_guy(
    horizontal: float, height: float, strut_height: float, strut: float
) -> tuple[GuyLoad, float, float]:
    """A guy that goes down steeply from the end of a strut.

    Args:
        horizontal: pull at the guy [lbf].
        height: of the guy [in].
        strut_height: of the strut, below the guy [in].
        strut: its length [in].

    Returns:
        What the upper strand carries, the push in the strut [lbf], and how much of the pole's
        moment at the ground line the guy takes [lbf in]. The strand below the strut is upright, so
        it helps nothing at the ground line: the pole still stands there what is left.
    """
    load = guy_load(horizontal, height, strut, strut_height)
    return load, horizontal, horizontal * (height - strut_height)


def shared_by_two(
    east: float, north: float, one_deg: float, other_deg: float
) -> tuple[float, float]:
    """The pulls of two guys that balance one pull [lbf]; below 0 one would have to push.

    Args:
        east: the pull on the pole to the east [lbf].
        north: the pull on the pole to the north [lbf].
        one_deg: the way one guy leads, clockwise from north.
        other_deg: the way the other leads.

    Raises:
        FormulaError: both lead the same or opposite ways.
    """
    one, other = np.radians(one_deg), np.radians(other_deg)
    across = np.sin(other) * np.cos(one) - np.sin(one) * np.cos(other)
    if abs(across) < 1e-9:
        raise FormulaError("two guys in one line cannot balance a pull of another direction")
    first = -(north * np.sin(other) - east * np.cos(other)) / across
    second = -(east * np.cos(one) - north * np.sin(one)) / across
    return first, second
