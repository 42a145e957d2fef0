"""Sag and tension of a wire in its span.

Formulas are in consistent units: spans and sags in inches, weights in lbf/in, tensions in lbf.
The parabola is good to a fraction of a percent while the sag is under 5 % of the span.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from framer.errors import FormulaError

Number = TypeVar("Number", float, NDArray[np.float64])

_STEPS = 60


def parabola_sag_in(weight_lb_per_ft: float, span_in: float, tension_lbf: float) -> float:
    """Sag at mid-span of a level span by the parabola, the weight in lb/ft [in].

    Source: D = w S^2 / 8 H, as in any textbook of overhead lines (the companion code to
    T. Goenen, Electric Power Transmission System Engineering, ch. 13; read).
    """
    return parabola_sag(weight_lb_per_ft / 12.0, span_in, tension_lbf)


def parabola_sag(weight: float, span: float, tension: float) -> float:
    """Sag at mid-span of a level span by the parabola, from the horizontal tension [in]."""
    _above_nothing("tension", tension)
    return weight * span * span / (8.0 * tension)


def catenary_sag(weight: float, span: float, tension: float) -> float:
    """Sag at mid-span of a level span by the catenary, from the horizontal tension [in].

    Source: (H / w)(cosh(w S / 2 H) - 1), any textbook.
    """
    _above_nothing("tension", tension)
    _above_nothing("weight", weight)
    # cosh x - 1 as 2 sinh^2 (x / 2), which keeps its digits in taut spans
    half: float = np.sinh(weight * span / (4.0 * tension))
    return 2.0 * (tension / weight) * half * half


def slack(weight: float, span: float, tension: float) -> float:
    """How much longer the wire is than its level span, by the parabola [in]."""
    _above_nothing("tension", tension)
    return weight * weight * span * span * span / (24.0 * tension * tension)


def support_tension(weight: float, sag: float, tension: float) -> float:
    """Tension at the level supports, from the horizontal one [lbf]. Source: catenary, H + w D."""
    return tension + weight * sag


def horizontal_from_sag(weight: float, span: float, sag: float) -> float:
    """The horizontal tension of a level span that sags so far, by the catenary [lbf].

    Raises:
        FormulaError: without sag, or where the wire hangs lower than its span is long.
    """
    _above_nothing("sag", sag)
    _above_nothing("span", span)
    _above_nothing("weight", weight)
    if sag > span:
        raise FormulaError("a wire does not sag more than its span is long")
    tension: float = weight * span * span / (8.0 * sag)
    for _ in range(_STEPS):
        # the root keeps the steps from going past a slack wire's tension and back
        nearer = tension * (catenary_sag(weight, span, tension) / sag) ** 0.5
        if nearer == tension:
            break
        tension = nearer
    return tension


def low_point_from_lower(weight: float, span: float, tension: float, rise: float) -> float:
    """From the lower support to the low point, by the parabola [in]; below 0 there is uplift.

    `rise` is how much higher the other support is. Source: S / 2 - H h / (w S); READ in the
    companion code to two textbooks (Wadhwa 7.4, Soni 5.8).
    """
    _above_nothing("span", span)
    _above_nothing("weight", weight)
    return span / 2.0 - tension * rise / (weight * span)


def ruling_span(spans: Sequence[float]) -> float:
    """The level span whose tension changes as that of a row of spans does [in].

    Source: IEC 60050, "equivalent span": the root of the cubes' sum over the sum.
    """
    if not spans:
        raise FormulaError("a ruling span needs at least one span")
    for span in spans:
        _above_nothing("span", span)
    total = spans[0]
    cubes = spans[0] * spans[0] * spans[0]
    for span in spans[1:]:
        total, cubes = total + span, cubes + span * span * span
    ruling: float = (cubes / total) ** 0.5
    return ruling


def changed_tension(
    tension: float,
    span: float,
    weights: tuple[float, float],
    stiffness: float,
    expansion: float,
    warmer: float,
) -> float:
    """Horizontal tension after load and temperature change, of an elastic wire [lbf].

    Args:
        tension: horizontal tension before [lbf].
        span: (ruling) span [in].
        weights: load before and after [lbf/in].
        stiffness: modulus times area of metal [lbf].
        expansion: per degree.
        warmer: degrees the wire becomes warmer; below 0 colder.

    Source: T2^2 (T2 - T1 + E A a t + E A (w1 S)^2 / 24 T1^2) = E A (w2 S)^2 / 24, as worked in GO
    95 Appendix C. It is linear: two metals of one wire, creep and stretch by ice are not in it, and
    for hot ACSR it gives too small a tension (6.6 % on a published sheet at 120 F).
    """
    for name, value in (("tension", tension), ("span", span), ("stiffness", stiffness)):
        _above_nothing(name, value)
    before, after = (weight * span / tension for weight in weights)
    stiff = float(stiffness / tension)
    slackened = float(expansion * warmer) * stiff + stiff * float(before) ** 2 / 24.0 - 1.0
    pull = stiff * float(after) ** 2 / 24.0
    return _only_root(slackened, pull) * tension


def shared_tension(spans: Sequence[tuple[float, float, float, float]], longer: float) -> float:
    """The one tension of a wire that runs through several spans made longer together [lbf].

    Args:
        spans: tension before [lbf], length [in], weight [lbf/in] and stiffness, modulus times area
            [lbf], of each.
        longer: how much longer the way over all of them becomes [in]; below 0 shorter.

    Source: the wire between the outer ends stays as long as it was, so what the way gains is
    stretch and lost slack, sum of S (T2 - T1) / E A + w^2 S^3 / 24 (1 / T1^2 - 1 / T2^2); of one
    span this is `changed_tension`.
    """
    first = spans[0][0]
    give, gained, sagged = 0.0, -float(longer / spans[0][1]), 0.0
    for tension, span, weight, stiffness in spans:
        for name, value in (("tension", tension), ("span", span), ("stiffness", stiffness)):
            _above_nothing(name, value)
        share, slope = float(span / spans[0][1]), float(weight * span / tension)
        pulled = float(tension / first)
        give += share * float(first / stiffness)
        gained += share * (slope * slope / 24.0 - float(tension / stiffness))
        sagged += share * slope * slope * pulled * pulled / 24.0
    return _only_root(gained / give, sagged / give) * first


def _only_root(b: float, c: float) -> float:
    """The root above nothing of x^2 (x + b) = c; c is not below 0."""
    if c == 0.0:
        return max(-b, 0.0)
    # beyond the root the cubic bends up, so Newton's steps come down to it and never past it
    x: float = max(-b, 0.0) + c ** (1.0 / 3.0)
    for _ in range(_STEPS):
        lower = x - (x * x * (x + b) - c) / (x * (3.0 * x + 2.0 * b))
        if lower == x:
            break
        x = lower
    return x


def drop_below_chord_in(sag_in: Number, fraction: Number) -> Number:
    """How far a wire hangs below the straight line between its ends, at a fraction of the span.

    Source: the parabola y = 4 D u (1 - u); holds for ends at unequal heights too, with D the sag
    below the chord at mid-span.
    """
    return 4.0 * sag_in * fraction * (1.0 - fraction)


def _above_nothing(name: str, value: float) -> None:
    if not value > 0.0 * value:
        raise FormulaError(f"a {name} above zero is needed")
