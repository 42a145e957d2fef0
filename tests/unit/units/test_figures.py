"""Counts and weights as printed: up, and never to nothing."""

from __future__ import annotations

import pytest

from framer.units.figures import count_words, counted, pounds, pounds_up


@pytest.mark.parametrize(
    ("weight_lb", "said"),
    [
        (0.0, "0.00"),
        (1e-7, "0.01"),
        (0.04, "0.04"),
        (0.041, "0.05"),
        (0.9, "0.90"),
        (1.0, "1.0"),
        (2.4, "2.4"),
        (61.91, "62.0"),
        (99.96, "100.0"),
        (100.0, "100"),
        (189.2, "190"),
        (1200.0, "1,200"),
        (1642.3, "1,643"),
    ],
)
def test_weights_are_printed_up_with_the_places_their_size_asks_for(
    weight_lb: float, said: str
) -> None:
    assert pounds_up(weight_lb) == said
    assert pounds(weight_lb)[0] == float(said.replace(",", ""))


@pytest.mark.parametrize("hundredths", [*range(1, 300), 1999, 12345])
def test_a_weight_on_its_own_grid_stays_as_it_is(hundredths: int) -> None:
    value = hundredths / 100.0
    assert pounds(pounds(value)[0])[0] == pounds(value)[0] >= value
    assert pounds(0.1 + 0.2) == (0.3, 2)


@pytest.mark.parametrize(
    ("amount", "value", "said"),
    [
        (0.0, 0.0, "0"),
        (3.0, 3.0, "3"),
        (0.0001, 0.01, "0.01"),
        (9.2916666, 9.3, "9.3"),
        (110.0, 110.0, "110"),
        (1234567.5, 1234567.5, "1,234,567.5"),
    ],
)
def test_quantities_are_printed_up_and_whole_without_an_exponent(
    amount: float, value: float, said: str
) -> None:
    assert counted(amount) == value
    assert count_words(amount) == said
