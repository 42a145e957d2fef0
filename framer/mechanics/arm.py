"""A rectangular timber arm: its sections with and without holes. Inches, lbf, lbf in."""

from __future__ import annotations

from collections.abc import Sequence

from framer.errors import FormulaError


def section_upright(width: float, depth: float, hole: float = 0.0) -> float:
    """Section modulus against upright loads, with a level hole through the middle [in3].

    Source: b (h^3 - d^3) / 6 h; the hole of the through bolt lies at mid-depth.
    """
    _leaves("depth", depth, hole)
    return width * (depth**3 - hole**3) / (6.0 * depth)


def section_at_pin(width: float, depth: float, hole: float) -> float:
    """Section modulus against upright loads, at an upright pin hole [in3]. (b - d) h^2 / 6."""
    _leaves("width", width, hole)
    return (width - hole) * depth * depth / 6.0


def section_level(width: float, depth: float, hole: float = 0.0) -> float:
    """Section modulus against pulls along the line, at a level bolt hole [in3]. (h - d) b^2 / 6."""
    _leaves("depth", depth, hole)
    return (depth - hole) * width * width / 6.0


def overhang_moment(loads: Sequence[tuple[float, float]], at: float) -> float:
    """Moment in an arm at a distance from the pole, of the loads farther out [lbf in].

    `loads` are pairs of load [lbf] and distance from the pole [in] on one side.
    """
    return sum(load * (out - at) for load, out in loads if out > at)


def _leaves(name: str, size: float, hole: float) -> None:
    if not 0.0 * size <= hole < size:
        raise FormulaError(f"a hole of an arm is smaller than its {name}")
