"""Sag of a wire in its span."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Number = TypeVar("Number", float, NDArray[np.float64])


def parabola_sag_in(weight_lb_per_ft: float, span_in: float, tension_lbf: float) -> float:
    """Sag at mid-span of a level span, by the parabola.

    Args:
        weight_lb_per_ft: weight of the wire [lb/ft].
        span_in: span length [in].
        tension_lbf: horizontal tension [lbf].

    Returns:
        Sag [in].

    Source: D = w S^2 / 8 H, as in any textbook of overhead lines (the companion code to
    T. Goenen, Electric Power Transmission System Engineering, ch. 13; READ). Good to a fraction
    of a percent while the sag is under 5 % of the span.
    """
    span_ft = span_in / 12.0
    return 12.0 * weight_lb_per_ft * span_ft * span_ft / (8.0 * tension_lbf)


def drop_below_chord_in(sag_in: Number, fraction: Number) -> Number:
    """How far a wire hangs below the straight line between its ends, at a fraction of the span.

    Source: the parabola y = 4 D u (1 - u); holds for ends at unequal heights too, with D the sag
    below the chord at mid-span.
    """
    return 4.0 * sag_in * fraction * (1.0 - fraction)
