"""Load on a bare wire per unit of length: ice, wind, what they add up to, and blow-out.

Every formula is in consistent units, so lengths in inches and forces in lbf give lbf/in. The
numbers that carry units of their own are arguments.
"""

from __future__ import annotations

import numpy as np

from framer.errors import FormulaError

ICE_LB_PER_IN3 = 57.0 / 1728.0
"""Weight of ice, 57 lb per cubic foot. Source: GO 95 Rule 43.1 (read)."""


def ice_load(dia: float, ice: float, density: float = ICE_LB_PER_IN3) -> float:
    """Weight of a sleeve of ice `ice` thick all round a wire [lbf/in].

    Source: volume of the sleeve, pi t (d + t); 0.311 (D^2 - d^2) lb/ft in handbooks.
    """
    return density * np.pi * ice * (dia + ice)


def wind_load(dia: float, ice: float, pressure: float) -> float:
    """Wind on a wire with its ice, `pressure` in psi [lbf/in].

    Source: the pressure on cylinders is given for their projected area, GO 95 Rule 43.
    """
    return pressure * (dia + 2.0 * ice)


def resultant(vertical: float, horizontal: float, constant: float = 0.0) -> float:
    """Both loads together [lbf/in].

    `constant` is what the NESC adds for sag and tension only (Rule 251, from memory; 0.30 lb/ft
    for heavy loading read in two published sag sheets); it is never added to the load on a pole.
    """
    both: float = (vertical * vertical + horizontal * horizontal) ** 0.5
    return both + constant


def blow_out(sag: float, vertical: float, horizontal: float) -> tuple[float, float]:
    """How far mid-span is blown aside, and how far below its ends it then hangs [in], [in].

    `sag` is that in the plane of the resultant, under the resultant and its tension. The swing of
    a hanging insulator is not in it. Source: the plane hangs at the angle atan(wind / weight).
    """
    total = resultant(vertical, horizontal)
    if not total > 0.0 * total:
        raise FormulaError("a wire without any load does not hang anywhere")
    return sag * horizontal / total, sag * vertical / total
