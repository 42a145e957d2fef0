"""How far a voltage jumps in air: the electrical part of a line worker's approach distance."""

from __future__ import annotations

import math
from itertools import pairwise

GAPS_CM = (
    (25, 2), (36, 3), (46, 4), (53, 5), (60, 6), (70, 8), (79, 10), (86, 12), (95, 14), (104, 16),
    (112, 18), (120, 20), (143, 25), (167, 30), (192, 35), (218, 40), (243, 45), (270, 50),
    (322, 60),
)  # fmt: skip
"""Sparkover between rods, kV peak and gap in cm: 29 CFR 1910.269 Appendix B table 1, from IEEE Std
4-1995 by way of IEEE 516-2009; read."""

SURGE_TO_GROUND = 3.0
"""Transient overvoltage to ground, per unit, that Appendix B takes up to 72.5 kV; read."""

SURGE_BETWEEN_PHASES = 1.35 * SURGE_TO_GROUND + 0.45
"""Printed for over 72.5 kV (III.C); below it this is an inference, and it gives table R-4."""

WITHSTAND = 0.85
"""What withstands, as a share of what sparks over."""


def peak_kv(kv: float, surge: float) -> float:
    """Peak voltage a gap has to withstand, as sparkover voltage [kV peak].

    Args:
        kv: nominal voltage between phases [kV].
        surge: transient overvoltage [per unit].

    Source: 29 CFR 1910.269 Appendix B, steps 1 to 4 for 5.1 to 72.5 kV; READ.
    """
    return kv / math.sqrt(3.0) * math.sqrt(2.0) * surge / WITHSTAND


def gap_cm(peak: float) -> float:
    """The gap that sparks over at a peak voltage, straight between the rows of the table [cm].

    Args:
        peak: sparkover voltage [kV peak].

    Raises:
        ValueError: the voltage is outside the table.
    """
    for (low, short), (high, long) in pairwise(GAPS_CM):
        if low <= peak <= high:
            return short + (long - short) * (peak - low) / (high - low)
    raise ValueError(f"{peak:.4g} kV peak is outside the table")
