"""What it takes to hold, lift or shift an energised wire at its support.

Consistent units: inches, lbf, lbf/in. Source: plain statics; the tests compare with the exact
catenary.
"""

from __future__ import annotations

from framer.errors import FormulaError
from framer.mechanics.sag import shared_tension


def weight_span(one_span: float, other_span: float) -> float:
    """Length of wire that hangs on a support level with its neighbours [in]."""
    return (one_span + other_span) / 2.0


def slope_sum(spans: tuple[float, float]) -> float:
    """How fast the pull grows with every inch out of line [1/in]; a span of 0 is none."""
    found = [1.0 / span for span in spans if span > 0.0 * span]
    if not found:
        raise FormulaError("a wire hangs in at least one span")
    return sum(found[1:], found[0])


def out_of_line(tension: float, offset: float, spans: tuple[float, float]) -> float:
    """What it takes to hold a wire `offset` above or beside the line of its neighbours [lbf].

    The tension is that of the wire there; see `tied_tension` where the neighbours are tied.
    """
    return tension * offset * slope_sum(spans)


def tied_tension(
    tension: float, offset: float, span: float, weight: float, stiffness: float
) -> float:
    """Tension in a span between tied ends one of which is moved across it [lbf].

    The span becomes longer and the wire does not: its stretch is that of a colder wire.
    """
    longer = (span * span + offset * offset) ** 0.5 - span
    return shared_tension([(tension, span, weight, stiffness)], longer)


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
