"""Short lengths and decimal ones, in inches, feet or metres, and rounding away from danger."""

from __future__ import annotations

from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framer.units.compare import HAIR_IN
from framer.units.length import System, decimal_text, inches_text, read_length

lengths = st.floats(min_value=0.0, max_value=3000.0, allow_nan=False)
systems = st.sampled_from(("ft-in", "metric"))


@pytest.mark.parametrize(
    ("value_in", "places", "unit", "system", "words"),
    [
        (30.36, 1, "in", "ft-in", "30.4 in"),
        # own: 30.36 x 25.4 = 771.14 mm
        (30.36, 1, "in", "metric", "0.771 m"),
        (7.844, 2, "in", "metric", "0.1992 m"),
        (1824.0, 1, "ft", "ft-in", "152.0 ft"),
        # own: 152 x 0.3048 = 46.3296 m
        (1824.0, 1, "ft", "metric", "46.33 m"),
        (63360.0, 0, "ft", "ft-in", "5,280 ft"),
    ],
)
def test_a_decimal_length_has_the_unit_of_the_job(
    value_in: float, places: int, unit: Literal["in", "ft"], system: System, words: str
) -> None:
    assert decimal_text(value_in, places, unit=unit, system=system) == words


@given(lengths, st.integers(0, 3), st.sampled_from(("in", "ft")), systems)
def test_a_decimal_length_is_rounded_the_way_that_is_asked(
    value_in: float, places: int, unit: Literal["in", "ft"], system: System
) -> None:
    down, up = (
        decimal_text(value_in, places, unit=unit, toward=toward, system=system).replace(",", "")
        for toward in ("down", "up")
    )
    assert read_length(down).value_in <= value_in + 2 * HAIR_IN
    assert read_length(up).value_in >= value_in - 2 * HAIR_IN


@given(lengths, st.sampled_from((0.5, 1 / 16)), systems)
def test_a_short_length_is_rounded_the_way_that_is_asked(
    value_in: float, step_in: float, system: System
) -> None:
    down, up = (
        inches_text(value_in, step_in=step_in, toward=toward, system=system)
        for toward in ("down", "up")
    )
    assert "ft" not in down + up
    assert ("in" in up) == (system == "ft-in")
    assert read_length(down).value_in <= value_in + 2 * HAIR_IN
    assert read_length(up).value_in >= value_in - 2 * HAIR_IN
