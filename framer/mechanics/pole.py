"""A round tapered pole: what it can stand, wind on it, how it bends, when it buckles.

Formulas are in consistent units: inches, psi, lbf, lbf in.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from framer.errors import FormulaError

Array = NDArray[np.float64]
Foot = Literal["free top", "held top", "pinned"]

_LENGTH_FACTOR: dict[Foot, float] = {"free top": 2.0, "held top": 0.7, "pinned": 1.0}
_TAPER_POWER: dict[Foot, float] = {"free top": 2.7, "held top": 2.0, "pinned": 2.0}
"""Effective length and power of the taper. Source: eigenvalues of tapered columns, which the
tests find again; 2.77 comes out for the free top, 2.7 is on the near side and from memory of a
rural guide."""


def section_modulus(dia: float) -> float:
    """Of a solid round section [in3]."""
    return np.pi * dia * dia * dia / 32.0


def drilled_section_modulus(dia: float, hole: float) -> float:
    """Of a round section with a hole through its middle in the plane of bending [in3].

    Source: the hole taken as a slot from face to face, pi d^3 / 32 - b d^2 / 6; plain statics.
    """
    left = section_modulus(dia) - hole * dia * dia / 6.0
    if not left > 0.0 * left:
        raise FormulaError("the hole leaves nothing of the pole")
    return left


def hollow_section_modulus(dia: float, hollow: float) -> float:
    """Of a round section with a hollow in its middle [in3]."""
    if not 0.0 * dia <= hollow < dia:
        raise FormulaError("a hollow is smaller than its pole")
    return np.pi * (dia**4 - hollow**4) / (32.0 * dia)


def section_area(dia: float, hollow: float = 0.0, hole: float = 0.0) -> float:
    """Of a round section with a hollow and with a hole from face to face [in2]."""
    if not 0.0 * dia <= hollow < dia:
        raise FormulaError("a hollow is smaller than its pole")
    return np.pi * (dia * dia - hollow * hollow) / 4.0 - hole * (dia - hollow)


def twist_stress(twist: float, dia: float) -> float:
    """Shear at the surface of a sound round section that is twisted [psi]. 16 T / pi d^3."""
    if not dia > 0.0 * dia:
        raise FormulaError("a thickness above zero is needed")
    return 16.0 * twist / (np.pi * dia * dia * dia)


def capacity(fiber_stress: float, girth: float) -> float:
    """Moment at which a sound round section fails [lbf in].

    Source: M = f C^3 / 32 pi^2, which handbooks print as 0.000264 f C^3 ft lb.
    """
    return fiber_stress * girth * girth * girth / (32.0 * np.pi * np.pi)


def girth_for(moment: float, fiber_stress: float) -> float:
    """The girth that stands a moment at a stress [in]."""
    if not fiber_stress > 0.0 * fiber_stress:
        raise FormulaError("a fiber stress above zero is needed")
    girth: float = (32.0 * np.pi * np.pi * moment / fiber_stress) ** (1.0 / 3.0)
    return girth


def wind_force(pressure: float, height: float, top_dia: float, ground_dia: float) -> float:
    """Wind on the pole above ground [lbf], `pressure` in psi."""
    return pressure * height * (top_dia + ground_dia) / 2.0


def deflection(heights: Array, moments: Array, stiffness: Array) -> Array:
    """How far each height leans out, from the moments there [in].

    Args:
        heights: from the ground line up, evenly or not [in].
        moments: bending moment at each [lbf in], the heights along the last axis.
        stiffness: modulus times moment of inertia at each [lbf in2].

    Source: the curvature M / EI summed twice by trapezoids, the foot held upright.
    """
    step = np.diff(heights)
    return _summed(step, _summed(step, moments / stiffness))


def _summed(step: Array, values: Array) -> Array:
    """Values summed along the last axis by trapezoids, from 0."""
    total = np.cumsum(step * (values[..., 1:] + values[..., :-1]) / 2.0, axis=-1)
    return np.concatenate((0.0 * total[..., :1], total), axis=-1)


def buckling_load(
    modulus: float, length: float, top_dia: float, ground_dia: float, foot: Foot
) -> float:
    """The upright load under which a tapered pole buckles [lbf].

    Args:
        modulus: of elasticity [psi].
        length: that can bend, from the ground line to where it is held or loaded [in].
        top_dia: at the upper end of that length [in].
        ground_dia: at the ground line [in].
        foot: how the ends are held; the foot always is, unless both are "pinned".

    Source: pi^2 E I / (k L)^2 with the inertia at the top times (dg / dt) to a power.
    """
    for name, value in (("length", length), ("top", top_dia)):
        if not value > 0.0 * value:
            raise FormulaError(f"a {name} above zero is needed")
    inertia = np.pi * top_dia**4 / 64.0
    free = _LENGTH_FACTOR[foot] * length
    taper: float = (ground_dia / top_dia) ** _TAPER_POWER[foot]
    return np.pi * np.pi * modulus * inertia / (free * free) * taper
