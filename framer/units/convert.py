"""Conversions other than length, through pint; the only place that imports it.

pint takes most of a second to load, so it is loaded when a conversion is first asked for.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from framer.errors import LengthError

if TYPE_CHECKING:
    import pint

UNITS = {
    "lbf": "force_pound",
    "N": "newton",
    "kN": "kilonewton",
    "kgf": "kilogram_force",
    "lb": "pound",
    "kg": "kilogram",
    "lb/ft": "pound/foot",
    "kg/m": "kilogram/meter",
    "psf": "force_pound/foot**2",
    "Pa": "pascal",
    "psi": "force_pound/inch**2",
    "MPa": "megapascal",
    "ft-lb": "foot*force_pound",
    "N-m": "newton*meter",
    "in": "inch",
    "ft": "foot",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "kV": "kilovolt",
    "V": "volt",
}
"""Unit names people see, and what pint calls them. Nothing else is accepted."""


@cache
def registry() -> pint.UnitRegistry[Any]:
    """The one registry of units."""
    import pint

    return pint.UnitRegistry()


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """The value in another unit.

    Raises:
        LengthError: a unit is not on the list, or the two do not measure the same thing.
    """
    import pint

    for unit in (from_unit, to_unit):
        if unit not in UNITS:
            raise LengthError(f"'{unit}' is no unit known here; use one of {', '.join(UNITS)}")
    try:
        return float(registry().Quantity(value, UNITS[from_unit]).to(UNITS[to_unit]).magnitude)
    except pint.DimensionalityError as error:
        raise LengthError(f"{from_unit} cannot become {to_unit}") from error
