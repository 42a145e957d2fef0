"""What a rule requires of a pair, given voltages and sags; with the arithmetic in words."""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.rulebook import INCHES_PER, Band, Rule
from framer.checks.voltage import Wired, volts

_HAIR_KV = 1e-9


class Sags(Struct, frozen=True):
    """What is known of the sags of a pair: the larger, inches, or what is missing."""

    larger_in: float | None = None
    missing: str = "sag not known"


NO_SAGS = Sags()


class Site(Struct, frozen=True):
    """What is known of the place: metres above sea level, and the pole's girth, inches."""

    altitude_m: float | None = None
    girth_in: float | None = None


SOMEWHERE = Site()
"""A place nothing is known of."""


class Requirement(Struct, frozen=True):
    """The requirement, inches (kV for voltage classes), or why there is none.

    Attributes:
        need: what must be kept, `None` when it is not known or nothing is asked.
        kv: the voltage that picked it.
        band: number of the band used.
        missing: what is not known.
        assumed: what was assumed about a voltage.
        nothing: the rule asks nothing here.
        sag_in: the sag it counts with, `None` when it counts with none.
        site: the place it is for.
    """

    need: float | None = None
    kv: float = 0.0
    band: int = -1
    missing: str = ""
    assumed: str = ""
    nothing: bool = False
    sag_in: float | None = None
    site: Site = SOMEWHERE


def requirement(
    rule: Rule,
    wired: tuple[Wired, ...],
    assume_up_to_kv: float,
    sags: Sags = NO_SAGS,
    site: Site = SOMEWHERE,
) -> Requirement:
    """The most demanding requirement over all voltages to judge by."""
    chosen = volts(rule.voltage, wired, assume_up_to_kv)
    worst = Requirement(nothing=True)
    for kv in chosen.kv:
        found = required_at(rule, kv, sags, site)
        if chosen.assumed:
            found = replace(found, assumed="; ".join(filter(None, (chosen.assumed, found.assumed))))
        if found.missing:
            return found
        if found.need is None:
            continue
        # at most: the least of them is the most demanding
        if (
            worst.need is None
            or (rule.most and found.need < worst.need)
            or (not rule.most and found.need > worst.need)
        ):
            worst = found
    return worst


def required_at(rule: Rule, kv: float, sags: Sags, site: Site = SOMEWHERE) -> Requirement:
    """What a rule requires at one voltage of its basis."""
    number = _band(rule, kv)
    if number < 0:
        return Requirement(missing=_not_covered(rule, kv))
    band = rule.need[number]
    if band.unknown:
        return Requirement(missing=band.unknown)
    if band.nothing:
        return Requirement(nothing=True)
    if band.root is not None and sags.larger_in is None:
        return Requirement(missing=sags.missing)
    if band.girth and site.girth_in is None:
        return Requirement(missing="girth of the pole not known")
    factor, assumed = _factor(band, site)
    if factor is None:
        over = f"{site.altitude_m:,g} m above sea level is not covered by this book"
        return Requirement(missing=f"{rule.title}: {over}")
    value = _value(band, kv, sags.larger_in, site.girth_in or 0.0, factor)
    if value is None:
        return Requirement(nothing=True)
    if math.isnan(value):
        return Requirement(missing=_not_covered(rule, kv))
    sag = sags.larger_in if band.root is not None else None
    need = value * INCHES_PER[band.unit]
    return Requirement(need, kv, number, assumed=assumed, sag_in=sag, site=site)


def _not_covered(rule: Rule, kv: float) -> str:
    return f"{rule.title}: {kv:g} kV is not covered by this book"


def _band(rule: Rule, kv: float) -> int:
    """Number of the band a voltage falls in, -1 for none."""
    for number, band in enumerate(rule.need):
        end, hair = band.end_kv, _HAIR_KV if band.under_kv is None else -_HAIR_KV
        if end is not None and kv > end + hair:
            continue
        if rule.lookup == "only listed" and end is not None and abs(kv - end) > _HAIR_KV:
            return -1
        if _in_hole(rule, number, kv) and rule.holes == "not covered":
            return -1
        return number
    return -1


def _in_hole(rule: Rule, number: int, kv: float) -> bool:
    """Whether a voltage lies under the lowest printed of the band that is taken for it."""
    start = rule.need[number].from_kv
    return start is not None and kv < start - _HAIR_KV


def _listed(band: Band, kv: float) -> tuple[float, float] | None:
    """The row of the band's table for a voltage: the next listed one; `None` over the last."""
    if isinstance(band.plus, str):
        return None
    hair = -_HAIR_KV if band.plus_highest else _HAIR_KV
    return next((row for row in band.plus if kv <= row[0] + hair), None)


def _steps(band: Band, kv: float) -> int:
    over = kv - band.over_kv
    if band.step_kv is None or over <= _HAIR_KV:
        return 0
    return math.ceil(over / band.step_kv - _HAIR_KV)


def _factor(band: Band, site: Site) -> tuple[float | None, str]:
    """The factor for the height above sea level and what was assumed; `None` over the last row."""
    if not band.altitude or isinstance(band.altitude, str):
        return 1.0, ""
    if site.altitude_m is None:
        last, factor = band.altitude[0]
        return factor, f"height above sea level not known: taken as up to {last:,g} m"
    height = site.altitude_m
    return next((factor for last, factor in band.altitude if height <= last), None), ""


def _value(
    band: Band, kv: float, sag_in: float | None, girth_in: float, factor: float
) -> float | None:
    """The requirement in the band's unit; `None` where it asks nothing, NaN where not covered."""
    value = band.value or 0.0
    value += band.girth * girth_in / INCHES_PER[band.unit]
    value += band.per_kv * max(0.0, kv - band.over_kv) + band.per_step * _steps(band, kv)
    if band.plus:
        row = _listed(band, kv)
        if row is None:
            return math.nan
        value += row[1] * band.plus_times * factor
    if band.root is not None and sag_in is not None:
        under = band.root.scale * sag_in / INCHES_PER[band.unit] - band.root.less
        if under < 0.0:
            return None
        value += band.root.times * math.sqrt(under)
    return max(band.floor, value * band.times * (1.0 if band.plus else factor))


def arithmetic(rule: Rule, found: Requirement) -> str:
    """How a requirement comes about, as printed in the book, term by term."""
    if found.need is None:
        return ""
    band, unit = rule.need[found.band], rule.need[found.band].unit
    terms = [f"{band.value:g} {unit}"] if band.value is not None else []
    if band.per_kv:
        over = f"({found.kv:.4g} - {band.over_kv:g})" if band.over_kv else f"{found.kv:.4g}"
        terms.append(f"{band.per_kv:g} {unit}/kV x {over} kV")
    if band.per_step:
        steps = _steps(band, found.kv)
        terms.append(f"{steps} steps of {band.step_kv:g} kV x {band.per_step:g} {unit}")
    factor, _ = _factor(band, found.site)
    raised = f"{factor:g} x " if factor != 1.0 else ""
    row = _listed(band, found.kv)
    if row is not None:
        share = f"{band.plus_times:g} x " if band.plus_times != 1.0 else ""
        terms.append(f"{raised}{share}{row[1]:g} {unit} (row of {row[0]:g} kV)")
    if band.girth and found.site.girth_in is not None:
        girth = found.site.girth_in / INCHES_PER[unit]
        terms.append(f"{band.girth:g} x {girth:.4g} {unit} of girth")
    if band.root is not None and found.sag_in is not None:
        sag = found.sag_in / INCHES_PER[unit]
        under = f"{band.root.scale:g} x {sag:.4g}" if band.root.scale != 1.0 else f"{sag:.4g}"
        less = f" - {band.root.less:g}" if band.root.less else ""
        terms.append(f"{band.root.times:g} x root({under}{less}) {unit}")
    total = found.need / INCHES_PER[unit]
    words = " + ".join(terms)
    if band.times != 1.0:
        words = f"{band.times:g} x ({words})" if len(terms) > 1 else f"{band.times:g} x {words}"
    if rule.measure == "insulator class":
        return f"{total:g} {unit}"
    if band.floor:
        words = f"the larger of {band.floor:g} {unit} and {words}" if terms else f"{total:g} {unit}"
    if raised and row is None:
        words = f"{raised}({words})" if len(terms) > 1 else f"{raised}{words}"
    if words != f"{total:g} {unit}":
        words = f"{words} = {_rounded_up(total)} {unit}"
    if raised:
        words += f", at {found.site.altitude_m:,g} m above sea level"
    also = f" (also printed: {band.also})" if band.also else ""
    return words + also + _row_words(rule, found)


def _rounded_up(value: float) -> str:
    """Three significant decimals at most, never less than the value."""
    text = f"{value:.2f}"
    return text if float(text) >= value - 1e-9 else f"{math.ceil(value * 100 - 1e-7) / 100:.2f}"


def _row_words(rule: Rule, found: Requirement) -> str:
    """Which row was taken for a voltage the book does not print."""
    band = rule.need[found.band]
    if _in_hole(rule, found.band, found.kv):
        below = rule.need[found.band - 1].end_kv if found.band else 0.0
        return (
            f"; {found.kv:g} kV lies between the printed {below or 0.0:g} and {band.from_kv:g} kV: "
            "the higher row is taken"
        )
    if rule.lookup == "next listed" and band.end_kv is not None and found.kv < band.end_kv:
        return f"; {found.kv:g} kV is not listed: the row of {band.end_kv:g} kV is taken"
    return ""


def covers(rule: Rule) -> str:
    """The voltages a rule has numbers for, in words."""
    if rule.voltage == "none":
        return "every voltage"
    known = [band for band in rule.need if not band.unknown]
    if not known:
        return "no voltage: number not known"
    if any(band.end_kv is None for band in known):
        return "every voltage"
    ends = [band.end_kv for band in known if band.end_kv is not None]
    return f"up to {max(ends):g} kV"
