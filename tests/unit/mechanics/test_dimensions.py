"""Every public formula, called with quantities that carry units, gives one of the right kind."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from types import ModuleType
from typing import Any

import pint
import pytest

from framer.mechanics import arm, gust, guy, handling, pole, sag, sparkover, wire

units = pint.UnitRegistry()
IN, FT, LBF, PSF = units.inch, units.foot, units.force_pound, units.force_pound / units.foot**2
PLF = LBF / FT

CALLS: dict[Callable[..., Any], tuple[tuple[Any, ...], Any]] = {
    wire.ice_load: ((0.4 * IN, 0.5 * IN, 57.0 * LBF / FT**3), PLF),
    wire.wind_load: ((0.4 * IN, 0.5 * IN, 4.0 * PSF), PLF),
    wire.resultant: ((0.3 * PLF, 0.4 * PLF, 0.3 * PLF), PLF),
    wire.blow_out: ((3.0 * FT, 0.3 * PLF, 0.4 * PLF), FT),
    sag.parabola_sag: ((0.3 * PLF, 200.0 * FT, 900.0 * LBF), FT),
    sag.parabola_sag_in: (),  # type: ignore[dict-item]
    sag.drop_below_chord_in: ((30.0 * IN, 0.5), IN),
    sag.catenary_sag: ((0.3 * PLF, 200.0 * FT, 900.0 * LBF), FT),
    sag.slack: ((0.3 * PLF, 200.0 * FT, 900.0 * LBF), FT),
    sag.support_tension: ((0.3 * PLF, 3.0 * FT, 900.0 * LBF), LBF),
    sag.horizontal_from_sag: ((0.3 * PLF, 200.0 * FT, 3.0 * FT), LBF),
    sag.low_point_from_lower: ((0.3 * PLF, 200.0 * FT, 900.0 * LBF, 2.0 * FT), FT),
    sag.ruling_span: (([200.0 * FT, 2800.0 * IN],), FT),
    sag.shared_tension: (([(900.0 * LBF, 200.0 * FT, 0.14 * PLF, 1e6 * LBF)], 0.5 * FT), LBF),
    sag.changed_tension: (
        (900.0 * LBF, 200.0 * FT, (0.3 * PLF, 0.1 * PLF), 1e6 * LBF,
         1e-5 / units.delta_degF, 60.0 * units.delta_degF),
        LBF,
    ),
    pole.section_modulus: ((10.0 * IN,), IN**3),
    pole.drilled_section_modulus: ((10.0 * IN, 0.7 * IN), IN**3),
    pole.hollow_section_modulus: ((10.0 * IN, 3.0 * IN), IN**3),
    pole.section_area: ((10.0 * IN, 3.0 * IN, 0.7 * IN), IN**2),
    pole.twist_stress: ((900.0 * LBF * FT, 10.0 * IN), LBF / IN**2),
    sparkover.peak_kv: ((12.47 * units.kilovolt, 3.0), units.kilovolt),
    pole.capacity: ((8000.0 * LBF / IN**2, 33.0 * IN), LBF * FT),
    pole.girth_for: ((80_000.0 * LBF * FT, 8000.0 * LBF / IN**2), IN),
    pole.wind_force: ((4.0 * PSF, 34.0 * FT, 7.0 * IN, 11.0 * IN), LBF),
    pole.buckling_load: (
        (1.8e6 * LBF / IN**2, 34.0 * FT, 7.0 * IN, 11.0 * IN, "free top"), LBF
    ),
    guy.corner_pull: ((900.0 * LBF, 20.0 * units.degree), LBF),
    handling.hole_apart: ((18.0 * IN, 0.5 * FT, 12.0 * IN), IN),
    handling.frustum_weight: ((8.0 * FT, 8.0 * IN, 9.0 * IN, 60.0 * LBF / FT**3), LBF),
    arm.section_upright: ((3.75 * IN, 4.75 * IN, 0.7 * IN), IN**3),
    arm.section_at_pin: ((3.75 * IN, 4.75 * IN, 0.7 * IN), IN**3),
    arm.section_level: ((3.75 * IN, 4.75 * IN, 0.7 * IN), IN**3),
    arm.overhang_moment: (([(300.0 * LBF, 46.0 * IN)], 0.0 * IN), LBF * FT),
}  # fmt: skip
del CALLS[sag.parabola_sag_in]
"""Formulas and one call of each."""

OTHERWISE = {
    sag.parabola_sag_in: "takes plain numbers in lb/ft and inches",
    pole.deflection: "takes arrays of plain numbers; checked against the closed form",
    gust.pressure: "takes miles an hour, as its constant does; checked against printed pressures",
    gust.height_factor: "takes feet; checked against the recalled table",
    gust.structure_gust: "takes feet; checked against the recalled table",
    gust.wire_gust: "takes feet; checked against the recalled table",
    sparkover.gap_cm: "reads a table of plain numbers; checked against the rule's own examples",
    guy.guy_load: "gives a record; below",
}


def formulas(module: ModuleType) -> list[Callable[..., Any]]:
    """The public functions that are written in a module."""
    return [
        found for name, found in inspect.getmembers(module, inspect.isfunction)
        if not name.startswith("_") and found.__module__ == module.__name__
    ]  # fmt: skip


@pytest.mark.parametrize("formula", CALLS, ids=lambda formula: formula.__name__)
def test_a_formula_gives_the_right_kind_of_quantity(formula: Callable[..., Any]) -> None:
    arguments, kind = CALLS[formula]
    given = formula(*arguments)
    for one in given if isinstance(given, tuple) else (given,):
        assert one.check(units.Quantity(1.0, kind).dimensionality if kind is not PLF else PLF)


def test_guys_give_forces() -> None:
    load = guy.guy_load(900.0 * LBF, 35.0 * FT, 15.0 * FT, 1.0 * FT)
    for force in (load.tension, load.horizontal, load.vertical):
        assert force.check("[force]")


def test_no_formula_is_left_out() -> None:
    for module in (arm, guy, gust, handling, pole, sag, sparkover, wire):
        for formula in formulas(module):
            assert formula in CALLS or formula in OTHERWISE, formula.__name__
