"""Limit lines in space."""

from __future__ import annotations

import math

from framer.geometry.space import Point, toward
from framer.model.line import LimitLine


def limit_normal(limit: LimitLine) -> Point:
    """The unit vector that points from a limit line's plane to its forbidden side."""
    tilt = math.radians(limit.tilt_deg)
    level = toward(limit.azimuth_deg)
    return (level[0] * math.cos(tilt), level[1] * math.cos(tilt), math.sin(tilt))
