"""What a piece of pole weighs, and how near a hole can be bored. Inches, lbf."""

from __future__ import annotations


def frustum_weight(length: float, one_dia: float, other_dia: float, density: float) -> float:
    """Weight of a piece of pole, `density` in lb/in3 [lbf]."""
    square = one_dia * one_dia + one_dia * other_dia + other_dia * other_dia
    return density * 3.141592653589793 * length * square / 12.0


def hole_apart(auger: float, soil: float, standing_dia: float) -> float:
    """Least distance from the centre of a bored hole to that of a pole that stands [in].

    Args:
        auger: diameter of the auger.
        soil: undisturbed soil left between the hole and the pole.
        standing_dia: diameter of the pole at the ground.
    """
    return soil + auger / 2.0 + standing_dia / 2.0
