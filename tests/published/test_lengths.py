"""Lengths against the international yard and pound agreement of 1959, and against pint.

The agreement makes the yard 0.9144 m exactly, so the inch is 25.4 mm exactly.
"""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest

from framer.units.convert import convert
from framer.units.length import INCHES, length_text, read_length

YARD_M = Fraction(9144, 10000)
"""The agreement of 1959: United States National Bureau of Standards, Federal Register notice of
30 June 1959; the same in the other five countries."""

NUMBERS = ("1", "0.5", "47", "38.5", "123.456", "0.001")


def test_an_inch_is_a_36th_of_the_yard_of_1959() -> None:
    inch_mm = YARD_M * 1000 / 36
    assert inch_mm == Fraction(254, 10)
    assert INCHES["mm"] * inch_mm == 1
    assert INCHES["cm"] * inch_mm == 10
    assert INCHES["m"] * inch_mm == 1000
    assert INCHES["ft"] * inch_mm == YARD_M * 1000 / 3


@pytest.mark.parametrize(
    ("text", "inches"),
    [("25.4 mm", 1.0), ("2.54 cm", 1.0), ("0.3048 m", 12.0), ("0.9144 m", 36.0), ("304.8 mm", 12)],
)
def test_metric_lengths_made_of_whole_inches_come_out_exact(text: str, inches: float) -> None:
    assert read_length(text).value_in == inches


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


@pytest.mark.parametrize("unit", ["in", "inch", "inches", "ft", "foot", "feet", "mm", "cm", "m"])
@pytest.mark.parametrize("number", NUMBERS)
def test_a_typed_length_is_what_pint_makes_of_it(
    registry: pint.UnitRegistry[float], number: str, unit: str
) -> None:
    by_pint = registry.Quantity(float(number), unit).to("inch").magnitude
    assert read_length(f"{number} {unit}").value_in == pytest.approx(by_pint, rel=1e-12)


@pytest.mark.parametrize(("mark", "unit"), [("'", "foot"), ('"', "inch"), ("''", "inch")])
def test_primes_are_feet_and_inches_of_the_agreement(mark: str, unit: str) -> None:
    metres = {"foot": YARD_M / 3, "inch": YARD_M / 36}[unit]
    assert read_length(f"7{mark}").value_in == float(7 * metres * 1000 / Fraction(254, 10))


@pytest.mark.parametrize("unit", ["in", "ft", "mm", "cm", "m"])
def test_the_converter_and_the_reader_agree_on_the_agreement(unit: str) -> None:
    assert convert(1.0, unit, "mm") == pytest.approx(float(INCHES[unit]) * 25.4, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "unit", "other", "expected"),
    [
        # pound 0.45359237 kg exactly: the agreement of 1959
        (1.0, "lb", "kg", 0.45359237),
        # lbf = lb x 9.80665 m/s2, the standard acceleration of the 3rd CGPM of 1901
        (1.0, "lbf", "N", 4.4482216152605),
        (1.0, "kgf", "N", 9.80665),
        (1.0, "psf", "Pa", 4.4482216152605 / 0.3048**2),
        (1.0, "psi", "MPa", 4.4482216152605 / 0.0254**2 / 1e6),
        (1.0, "ft-lb", "N-m", 4.4482216152605 * 0.3048),
        (1.0, "lb/ft", "kg/m", 0.45359237 / 0.3048),
    ],
)
def test_force_and_weight_follow_the_pound_of_1959(
    value: float, unit: str, other: str, expected: float
) -> None:
    assert convert(value, unit, other) == pytest.approx(expected, rel=1e-12)


def test_lengths_print_in_metres_by_the_same_inch() -> None:
    # OSHA 1910.269 table R-6 prints 0.65 m as 2.14 ft and 0.77 m as 2.53 ft (READ): to 10 mm
    assert length_text(2.14 * 12, system="metric") == "0.65 m"
    assert length_text(2.53 * 12, system="metric") == "0.77 m"
    assert length_text(1.0, step_in=1 / 16, system="metric") == "0.025 m"
