"""Bolt stock against a utility's stock list, a federal guide specification and the trade's rule.

Sources:
- Stock list of a utility with RUS-pattern construction, read: lengths, washer holes.
- UFGS-16370A p. 19, read: square washer about 2 1/4 in square and 3/16 in thick.
- Navy construction electrician text, chapter 4 (tpub.com/ceb/48.htm): 11/16 in hole, read in a
  scan that prints 1 1/16.
- ASME B18.2.2 regular square nuts and stock lengths of trade practice: memory.
"""

from __future__ import annotations

import pytest

from framer.stock.bolts import bolt_rules, bolt_size, thread_on_in


@pytest.mark.parametrize(
    ("dia_in", "lengths_in"),
    [
        (0.5, {6, 8, 10, 12}),
        (0.625, {6, 8, 10, 12, 14, 16, 18, 20}),
        (0.75, {12, 14}),
    ],
)
def test_the_lengths_a_utility_keeps_in_store_are_stocked(
    dia_in: float, lengths_in: set[float]
) -> None:
    """Stock list, read."""
    assert lengths_in <= set(bolt_size(dia_in).lengths_in)


@pytest.mark.parametrize("dia_in", [0.5, 0.625, 0.75, 0.875])
def test_lengths_run_from_6_to_30_in_by_2(dia_in: float) -> None:
    """Trade practice, memory."""
    assert bolt_size(dia_in).lengths_in == tuple(range(6, 31, 2))
    assert bolt_rules().source["lengths_in"].how_known == "memory"


def test_double_arming_bolts_run_from_16_to_30_in_by_2() -> None:
    """5/8 x 16 is in the stock list, read; the others are memory."""
    assert bolt_size(0.625).double_arming_lengths_in == tuple(range(16, 31, 2))
    assert bolt_rules().source["double_arming_lengths_in"].how_known == "memory"


@pytest.mark.parametrize(("dia_in", "hole_in"), [(0.5, 9 / 16), (0.625, 11 / 16), (0.75, 13 / 16)])
def test_holes_are_those_of_the_washers_sold_for_the_bolt(dia_in: float, hole_in: float) -> None:
    """Washer holes of the stock list, and the bore of the Navy text for 5/8 in, read."""
    assert bolt_size(dia_in).hole_in == hole_in


def test_a_square_washer_is_3_16_in_thick() -> None:
    """UFGS-16370A p. 19, read."""
    assert bolt_rules().washer_in == 3 / 16


@pytest.mark.parametrize(("dia_in", "nut_in"), [(0.5, 7 / 16), (0.75, 21 / 32), (0.875, 49 / 64)])
def test_nut_heights_are_those_of_regular_square_nuts(dia_in: float, nut_in: float) -> None:
    """ASME B18.2.2, memory."""
    assert bolt_size(dia_in).nut_in == nut_in
    assert bolt_rules().source["nut_in"].how_known == "memory"


def test_the_5_8_in_nut_is_not_thinner_than_a_regular_square_nut() -> None:
    """35/64 in by ASME B18.2.2, memory; the house value adds a share for the locknut."""
    assert bolt_size(0.625).nut_in >= 35 / 64
    assert bolt_rules().source["nut_in 5/8"].how_known == "house"


@pytest.mark.parametrize("arm_in", [3.5, 4.0])
@pytest.mark.parametrize(
    ("pole_in", "stock_in"),
    [(6, 12), (7, 14), (8, 14), (9, 16), (10, 16), (11, 18), (12, 18)],
)
def test_the_thumb_rule_picks_the_listed_stock_length(
    pole_in: int, stock_in: int, arm_in: float
) -> None:
    """Pole and arm and 2 in of hardware; 10 + 4 + 2 = 16 is common practice, the rest computed."""
    needed = pole_in + arm_in + bolt_rules().thumb_in
    stock = min(length for length in bolt_size(0.625).lengths_in if length >= needed)
    assert stock == stock_in


@pytest.mark.parametrize(("length_in", "thread_in"), [(6, 3), (8, 4), (10, 6), (16, 6), (30, 6)])
def test_thread_of_machine_bolts(length_in: float, thread_in: float) -> None:
    """Trade practice, memory: 3 in on 6 in, 4 in on 8 in, 6 in on 10 in and longer."""
    assert thread_on_in(length_in) == thread_in
    assert bolt_rules().source["thread_on_in"].how_known == "memory"


def test_thread_of_a_bolt_shorter_than_any_listed_is_not_known() -> None:
    assert thread_on_in(4) is None
