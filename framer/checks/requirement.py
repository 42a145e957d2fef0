"""What a rule requires of a pair, given the voltages; with the arithmetic in words."""

from __future__ import annotations

from dataclasses import dataclass

from framer.checks.rulebook import INCHES_PER, Band, Rule
from framer.checks.voltage import Wired, volts


@dataclass(frozen=True, slots=True)
class Requirement:
    """The requirement, inches (kV for voltage classes), or why there is none.

    Attributes:
        need: what must be kept, `None` when it is not known or nothing is asked.
        kv: the voltage that picked it.
        band: number of the band used.
        missing: what is not known.
        assumed: what was assumed about a voltage.
        nothing: the rule asks nothing here.
    """

    need: float | None = None
    kv: float = 0.0
    band: int = -1
    missing: str = ""
    assumed: str = ""
    nothing: bool = False


def requirement(rule: Rule, wired: tuple[Wired, ...], assume_up_to_kv: float) -> Requirement:
    """The most demanding requirement over all voltages to judge by."""
    chosen = volts(rule.voltage, wired, assume_up_to_kv)
    worst = Requirement(nothing=True)
    for kv in chosen.kv:
        number, band = _band(rule, kv)
        if band is None:
            return Requirement(
                missing=f"{rule.title}: {kv:g} kV is not covered by this book",
                assumed=chosen.assumed,
            )
        if band.unknown:
            return Requirement(missing=band.unknown, assumed=chosen.assumed)
        if band.value is None:
            continue
        need = _value(band, kv)
        if worst.need is None or need > worst.need:
            worst = Requirement(need, kv, number, assumed=chosen.assumed)
    return worst


def _band(rule: Rule, kv: float) -> tuple[int, Band | None]:
    for number, band in enumerate(rule.need):
        if band.up_to_kv is None or kv <= band.up_to_kv + 1e-9:
            return number, band
    return -1, None


def _value(band: Band, kv: float) -> float:
    value = (band.value or 0.0) + band.per_kv * max(0.0, kv - band.over_kv)
    return value * INCHES_PER[band.unit]


def arithmetic(rule: Rule, kv: float) -> str:
    """How the requirement at a voltage comes about, as printed in the book."""
    _, band = _band(rule, kv)
    if band is None or band.value is None:
        return ""
    if not band.per_kv:
        return f"{band.value:g} {band.unit}"
    total = band.value + band.per_kv * max(0.0, kv - band.over_kv)
    if rule.measure == "insulator class":
        return f"{total:g} {band.unit}"
    return (
        f"{band.value:g} {band.unit} + {band.per_kv:g} {band.unit}/kV x "
        f"({kv:.4g} - {band.over_kv:g}) kV = {total:.2f} {band.unit}"
    )
