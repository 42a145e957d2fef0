"""Sag, tension and blow-out of every wire of a stage, and the stringing table for the crew."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from framer.errors import FormulaError
from framer.geometry.sagging import ACSR, LINEAR, Hung, hung
from framer.geometry.scene import Run, Scene
from framer.mechanics.sag import low_point_from_lower, support_tension
from framer.mechanics.wire import blow_out, ice_load, resultant, wind_load
from framer.stock.part import WirePart
from framer.strength.data import Loading
from framer.strength.loads import wind_on_wire
from framer.units.length import System, decimal_text, length_text

SHEETS = (
    "tensions are level ones; a published sag sheet prints an average, about level + weight x sag "
    "/ 3 (found from two sheets of one ACSR), so a tension from a sheet is typed less that"
)

TEMPERATURES_F = tuple(float(temp) for temp in range(20, 111, 10))
"""The rows of a stringing table."""

WAVES = 3
"""Returns of a pulse that are timed: one alone is too short for a stop watch."""

MOST_ROWS = 60

_PSF = 1.0 / 144.0
_FT = 12.0
_GRAVITY_IN_PER_S2 = 386.09


class Weights(Struct, frozen=True):
    """Load on a wire under a loading [lbf/in].

    `down` and `side` are what it puts on its supports; `pulling` is what its tension and sag are
    reckoned with.
    """

    down: float
    side: float
    pulling: float


class Hanging(Struct, frozen=True):
    """A wire in one state: level tension, sag in the plane of the load, and where mid-span goes.

    `low_in` is how far the low point is from this pole's end; below 0 or beyond the span one end
    is lifted. `end_lbf` is the pull in the wire at a support.
    """

    words: str
    temp_f: float
    tension_lbf: float
    end_lbf: float
    sag_in: float
    aside_in: float
    down_in: float
    low_in: float


def hanging_words(one: Hanging, span_in: float, system: System) -> str:
    """A state of a wire as text: sag rounded up, and what the wind blows it aside."""
    sag = length_text(one.sag_in, step_in=0.5, toward="up", system=system)
    said = [
        f"{one.words}, {one.temp_f:g} F: {one.tension_lbf:,.0f} lbf level, {one.end_lbf:,.0f} at "
        f"its end; sag {sag}"
    ]
    if one.aside_in > 0.0:
        aside = length_text(one.aside_in, step_in=0.5, toward="up", system=system)
        said.append(f"mid-span blown {aside} aside")
    said.append(f"low point: {low_words(one, span_in, system)}")
    return "; ".join(said)


def low_words(one: Hanging, span_in: float, system: System) -> str:
    """How far from this pole the low point is, or which end is lifted."""
    if one.low_in < 0.0:
        return "this end is lifted"
    if one.low_in > span_in:
        return "far end is lifted"
    return f"{length_text(one.low_in, step_in=12.0, system=system)} out"


class WireSags(Struct, frozen=True):
    """How one wire hangs: as known, cold, hot, and under the loading.

    `missing` says why some or all states are not there, `notes` what the numbers rest on.
    """

    wire: str
    name: str
    span_in: float
    states: tuple[Hanging, ...]
    missing: tuple[str, ...]
    notes: tuple[str, ...]


class StringingRow(Struct, frozen=True):
    """Tension and sag to string a wire to at a temperature.

    `waves_s` is the time that `WAVES` returns of a pulse take.
    """

    temp_f: float
    tension_lbf: float
    sag_in: float
    waves_s: float


class Stringing(NamedTuple):
    """The stringing table of wires that hang alike; without rows `missing` says why."""

    name: str
    span_in: float
    rows: tuple[StringingRow, ...]
    missing: tuple[str, ...]
    notes: tuple[str, ...]


def weights(stock: WirePart, case: Loading) -> Weights:
    """The load on a wire under a loading."""
    down = stock.weight_lb_per_ft / _FT + ice_load(stock.dia_in, case.ice_in)
    side = wind_load(stock.dia_in, case.ice_in, case.wind_psf * _PSF)
    return Weights(down, side, resultant(down, side, case.constant_lb_per_ft / _FT))


def sags(scene: Scene, case: Loading | None = None) -> tuple[WireSags, ...]:
    """How every wire of a stage hangs, under a loading too where one is given."""
    return tuple(_sags(scene, key, shape, case) for key, shape in _runs(scene))


def told_sags(
    scene: Scene, loadings: Sequence[Loading], pole: str = ""
) -> list[tuple[str, tuple[str, ...]]]:
    """How wires hang as text, under each of the loadings too: names of those alike, and lines.

    With a pole only its wires. What does not come out is not among the lines.
    """
    here = {part.owner for part in scene.bodies if part.pole == pole}
    lines: dict[str, dict[str, None]] = {}
    for case in loadings or (None,):
        for wire in sags(scene, case):
            if not pole or wire.wire in here:
                told = lines.setdefault(wire.name, {})
                for one in wire.states:
                    told[hanging_words(one, wire.span_in, scene.job.settings.units)] = None
    alike: dict[tuple[str, ...], list[str]] = {}
    for name, told in lines.items():
        if told:
            alike.setdefault(tuple(told), []).append(name)
    return [(", ".join(names), words) for words, names in alike.items()]


def _runs(scene: Scene) -> list[tuple[str, Run]]:
    return [
        (run.id, part.shape)
        for run in scene.job.wires
        for part in scene.parts_of.get(run.id, ())
        if isinstance(part.shape, Run) and not part.missing
    ]


def _hung(scene: Scene, key: str, shape: Run) -> Hung | str:
    run = scene.job.wire_by_id[key]
    span = math.dist(shape.p[:2], shape.q[:2])
    return hung(scene.job, run, scene.stage, span, shape.sag_in)


def _sags(scene: Scene, key: str, shape: Run, case: Loading | None) -> WireSags:
    job, settings = scene.job, scene.job.settings
    name, span = job.label(key), math.dist(shape.p[:2], shape.q[:2])
    one = _hung(scene, key, shape)
    if isinstance(one, str):
        return WireSags(key, name, span, (), (one,), ())
    bare = (one.bare, 0.0, one.bare)
    asked: list[tuple[str, float, Weights]] = [("as known", one.temp_f, Weights(*bare))]
    if settings.cold_temp_f is not None:
        asked.append(("cold", settings.cold_temp_f, Weights(*bare)))
    if settings.hot_temp_f is not None:
        asked.append(("hot", settings.hot_temp_f, Weights(*bare)))
    if case is not None:
        part = next(part for part in scene.parts_of[key] if part.shape is shape)
        foot = scene.poles[part.pole].foot[2] if part.pole in scene.poles else 0.0
        psf, _ = wind_on_wire(case, shape.p[2] - foot, span)
        blown = weights(one.stock, replace(case, wind_psf=psf))
        asked.append((f"under {case.name}", case.temp_f, blown))
    rise = shape.q[2] - shape.p[2]
    states, missing = [], []
    for words, temp, load in asked:
        try:
            states.append(_state(one, words, temp, load, rise))
        except FormulaError as error:
            missing.append(f"{name} {words}: {error}")
    return WireSags(key, name, span, tuple(states), tuple(missing), notes(one, settings.units))


def _state(one: Hung, words: str, temp_f: float, load: Weights, rise: float) -> Hanging:
    tension = one.tension_at(temp_f, load.pulling)
    sag = one.sag_at(temp_f, load.pulling)
    aside, down = blow_out(sag, load.down, load.side)
    low = low_point_from_lower(load.down, one.span_in, tension, abs(rise))
    return Hanging(
        words,
        temp_f,
        tension,
        support_tension(load.pulling, sag, tension),
        sag,
        aside,
        down,
        low if rise >= 0.0 else one.span_in - low,
    )


def model_notes(*, acsr: bool) -> tuple[str, ...]:
    """What the numbers of any wire rest on, as sentences."""
    said = (LINEAR, ACSR, SHEETS) if acsr else (LINEAR, SHEETS)
    return tuple(f"{words[0].upper()}{words[1:]}." for words in said)


def notes(one: Hung, system: System) -> tuple[str, ...]:
    """What the numbers of a wire rest on."""
    metal = one.metal
    said = [
        f"{one.tension_lbf:,.0f} lbf level at {one.temp_f:g} F, {one.words}",
        f"{one.ruling_words}: {decimal_text(one.ruling_in, unit='ft', system=system)}",
        f"E {metal.modulus_psi / 1e6:g}e6 psi{metal.how('modulus_psi')}, "
        f"{metal.expansion_per_f * 1e6:g}e-6 per F{metal.how('expansion_per_f')}: "
        f"{metal.source.document}",
        LINEAR,
        SHEETS,
    ]
    if metal.material == "ACSR":
        said.append(ACSR)
    return tuple(said)


def stringing(scene: Scene, temps_f: Sequence[float] = TEMPERATURES_F) -> list[Stringing]:
    """The stringing table of every wire of a stage; wires that hang alike have one together."""
    alike: dict[Stringing, list[str]] = {}
    units = scene.job.settings.units
    for key, shape in _runs(scene):
        name, span = scene.job.label(key), math.dist(shape.p[:2], shape.q[:2])
        one = _hung(scene, key, shape)
        if isinstance(one, str):
            alike.setdefault(Stringing("", round(span, 3), (), (one,), ()), []).append(name)
            continue
        rows, missing = [], []
        for temp in temps_f:
            try:
                tension, sag = one.tension_at(temp), one.sag_at(temp)
            except FormulaError as error:
                missing.append(f"at {temp:g} F: {error}")
                continue
            rows.append(StringingRow(temp, tension, sag, wave_time_s(sag)))
        table = Stringing("", round(span, 3), tuple(rows), tuple(missing), notes(one, units))
        alike.setdefault(table, []).append(name)
    return [one._replace(name=", ".join(names)) for one, names in alike.items()]


def temperatures(low_f: float, high_f: float, step_f: float) -> list[float]:
    """From a temperature to another by steps, both among them.

    Raises:
        FormulaError: they are no such row, or more than a table has room for.
    """
    if not all(math.isfinite(one) for one in (low_f, high_f, step_f)) or step_f <= 0.0:
        raise FormulaError("temperatures go up by steps above zero")
    if not -80.0 <= low_f <= high_f <= 500.0:
        raise FormulaError("temperatures go from low to high, between -80 and 500 F")
    many = (high_f - low_f) / step_f
    if many >= MOST_ROWS:
        raise FormulaError(f"at most {MOST_ROWS} temperatures fit a table: take larger steps")
    found = [low_f + step_f * number for number in range(int(many + 1e-9) + 1)]
    return found if abs(found[-1] - high_f) < 1e-6 else [*found, high_f]


def wave_time_s(sag_in: float, returns: int = WAVES) -> float:
    """How long a pulse takes to come back so many times [s].

    Source: a pulse runs at the root of tension over mass, so one return takes the root of
    32 D / g, whatever the wire; plain statics with the parabola.
    """
    return returns * math.sqrt(32.0 * sag_in / _GRAVITY_IN_PER_S2)
