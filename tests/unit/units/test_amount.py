"""Typed numbers with and without a unit."""

from __future__ import annotations

import pytest

from framer.errors import LengthError
from framer.units.amount import read_amount


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("1,500", "lbf", 1500.0),
        ("1500 lbf", "lbf", 1500.0),
        ("1500 lb", "lbf", 1500.0),
        ("2.5 kN", "lbf", 562.02),
        ("50 kg", "lb", 110.23),
        ("-20", "F", -20.0),
        ("-10 C", "F", 14.0),
        ("15 \u00b0F", "F", 15.0),
        (".85", "", 0.85),
        ("90 mph", "mph", 90.0),
        ("1/2 in", "in", None),
    ],
)
def test_a_number_is_read_in_its_unit(text: str, unit: str, value: float | None) -> None:
    if value is None:
        with pytest.raises(LengthError):
            read_amount(text, unit)
        return
    assert read_amount(text, unit) == pytest.approx(value, abs=0.01)


@pytest.mark.parametrize(
    ("text", "unit"),
    [("", "lbf"), ("six", "lbf"), ("1e9", "lbf"), ("5 ft", "lbf"), ("0.85 lbf", ""),
     ("90 kN", "mph"), ("5 furlongs", "lbf"), ("nan", "F"), ("inf", "F"), ("1 2 3", "lb")],
)  # fmt: skip
def test_what_is_no_number_of_that_unit_is_said(text: str, unit: str) -> None:
    with pytest.raises(LengthError):
        read_amount(text, unit)
