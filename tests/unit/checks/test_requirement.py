"""The arithmetic of a requirement, band by band; the numbers are made up to be done in one's head.

How books print such terms: California General Order 95 (bands), the National Electrical Safety Code
(so much for each kV), 29 CFR 1910.333 (steps of 10 kV), Spain's ITC-LAT 07 (a table by voltage, and
the larger of two), Taiwan J0030019 (roots of a sag).
"""

from __future__ import annotations

from typing import Any

import pytest

from framer.checks.requirement import NO_SAGS, Sags, arithmetic, covers, required_at
from framer.checks.rulebook import Band, Root, Rule
from framer.stock.source import Source

MM = 1 / 25.4


def rule(*bands: Band, **more: Any) -> Rule:
    fields: dict[str, Any] = {
        "id": "mine.one",
        "title": "One",
        "measure": "slant",
        "a": "wire",
        "b": "wire",
        "voltage": "between",
        "need": bands,
        "source": Source("a test", "house"),
    }
    return Rule(**{**fields, **more})


def asked(of: Rule, kv: float, sag_in: float | None = None) -> float | None:
    found = required_at(of, kv, NO_SAGS if sag_in is None else Sags(sag_in))
    assert found.missing == ""
    return found.need


@pytest.mark.parametrize(
    ("kv", "need"), [(0.1, 10.0), (7.5, 10.0), (7.501, 20.0), (34.999, 20.0), (35.0, 30.0)]
)
def test_the_end_of_a_band_is_in_it_unless_it_says_under(kv: float, need: float) -> None:
    bands = rule(Band(10.0, up_to_kv=7.5), Band(20.0, under_kv=35.0), Band(30.0))
    assert asked(bands, kv) == need


@pytest.mark.parametrize(("kv", "need"), [(8.0, 12.0), (8.7, 12.0), (9.7, 12.5), (18.7, 17.0)])
def test_so_much_for_each_kv_counts_pro_rata(kv: float, need: float) -> None:
    assert asked(rule(Band(12.0, per_kv=0.5, over_kv=8.7)), kv) == pytest.approx(need)


@pytest.mark.parametrize(
    ("kv", "need"), [(50.0, 120.0), (50.1, 124.0), (60.0, 124.0), (60.1, 128.0), (115.0, 148.0)]
)
def test_so_much_for_each_step_counts_every_step_begun(kv: float, need: float) -> None:
    steps = rule(Band(120.0, per_step=4.0, step_kv=10.0, over_kv=50.0))
    assert asked(steps, kv) == pytest.approx(need)


def test_a_table_is_looked_up_at_the_next_listed_voltage_and_added() -> None:
    added = rule(Band(0.5, unit="m", plus=((12.0, 0.12), (24.0, 0.22))))
    assert asked(added, 12.0) == pytest.approx(620.0 * MM)
    assert asked(added, 12.1) == pytest.approx(720.0 * MM)
    assert required_at(added, 25.0, NO_SAGS).missing == ("One: 25 kV is not covered by this book")


def test_the_larger_of_a_floor_and_the_sum_is_required() -> None:
    floored = rule(Band(plus=((7.2, 0.09), (24.0, 0.22)), floor=0.2, unit="m"))
    assert asked(floored, 7.2) == pytest.approx(200.0 * MM)
    assert asked(floored, 20.0) == pytest.approx(220.0 * MM)


def test_the_root_of_a_sag_is_taken_in_the_unit_of_the_band() -> None:
    # 7.6 x 11.4 + 20.4 x root(1000 - 610) = 86.64 + 402.87 mm
    sagging = rule(Band(unit="mm", per_kv=7.6, root=Root(20.4, less=610.0)))
    assert asked(sagging, 11.4, 1000.0 * MM) == pytest.approx(489.51 * MM, abs=1e-4)
    # 8 x root(36 / 12) = 13.86 in
    inches = rule(Band(per_kv=0.3, root=Root(8.0, scale=1 / 12)))
    assert asked(inches, 12.47, 36.0) == pytest.approx(3.741 + 13.856, abs=1e-3)


def test_under_a_root_below_zero_nothing_is_asked() -> None:
    sagging = rule(Band(unit="mm", per_kv=7.6, root=Root(20.4, less=610.0)))
    assert required_at(sagging, 11.4, Sags(609.0 * MM)).nothing
    assert asked(sagging, 11.4, 610.0 * MM) == pytest.approx(86.64 * MM)


def test_a_sag_that_is_not_known_leaves_the_requirement_unsaid() -> None:
    sagging = rule(Band(unit="mm", per_kv=7.6, root=Root(20.4)))
    assert required_at(sagging, 11.4, NO_SAGS).missing == "sag not known"


def test_a_share_counts_on_the_whole_sum() -> None:
    assert asked(rule(Band(16.0, per_kv=0.5, over_kv=8.0, times=0.75)), 10.0) == 12.75


def test_a_hole_between_printed_bands_goes_up_or_is_not_covered() -> None:
    bands = (Band(0.65, unit="m", up_to_kv=15.0), Band(0.77, unit="m", from_kv=15.1, up_to_kv=36.0))
    up, none = rule(*bands), rule(*bands, holes="not covered")
    assert asked(up, 15.05) == pytest.approx(770.0 * MM)
    assert arithmetic(up, required_at(up, 15.05, NO_SAGS)) == (
        "0.77 m; 15.05 kV lies between the printed 15 and 15.1 kV: the higher row is taken"
    )
    assert required_at(none, 15.05, NO_SAGS).missing == "One: 15.05 kV is not covered by this book"
    assert asked(none, 15.1) == pytest.approx(770.0 * MM)


def test_listed_voltages_are_taken_by_the_next_one_up_or_only_as_listed() -> None:
    bands = (Band(1.6, unit="m", up_to_kv=11.0), Band(2.1, unit="m", up_to_kv=33.0))
    up, only = rule(*bands, lookup="next listed"), rule(*bands, lookup="only listed")
    assert arithmetic(up, required_at(up, 22.0, NO_SAGS)) == (
        "2.1 m; 22 kV is not listed: the row of 33 kV is taken"
    )
    assert asked(only, 11.0) == pytest.approx(1600.0 * MM)
    assert required_at(only, 22.0, NO_SAGS).missing == "One: 22 kV is not covered by this book"


def test_over_the_last_band_the_book_says_nothing_and_that_is_no_pass() -> None:
    found = required_at(rule(Band(10.0, up_to_kv=7.5)), 7.6, NO_SAGS)
    assert (found.need, found.nothing, found.missing) == (
        None,
        False,
        "One: 7.6 kV is not covered by this book",
    )


@pytest.mark.parametrize(
    ("band", "kv", "sag_in", "words"),
    [
        (Band(3.5, unit="ft"), 0.0, None, "3.5 ft"),
        (Band(1.0, unit="m", also="40 in"), 0.0, None, "1 m (also printed: 40 in)"),
        (
            Band(12.0, per_kv=0.4, over_kv=8.7),
            12.47,
            None,
            "12 in + 0.4 in/kV x (12.47 - 8.7) kV = 13.51 in",
        ),
        (
            Band(10.0, unit="ft", per_step=0.333, step_kv=10.0, over_kv=50.0),
            115.0,
            None,
            "10 ft + 7 steps of 10 kV x 0.333 ft = 12.34 ft",
        ),
        (
            Band(1.5, unit="m", plus=((24.0, 0.22),), floor=2.0),
            20.0,
            None,
            "the larger of 2 m and 1.5 m + 0.22 m (row of 24 kV) = 2.00 m",
        ),
        (
            Band(unit="mm", per_kv=7.6, root=Root(20.4, less=610.0)),
            11.4,
            1000.0 * MM,
            "7.6 mm/kV x 11.4 kV + 20.4 x root(1000 - 610) mm = 489.51 mm",
        ),
        (Band(16.0, times=0.75), 7.2, None, "0.75 x 16 in = 12.00 in"),
    ],
)
def test_the_arithmetic_is_told_term_by_term(
    band: Band, kv: float, sag_in: float | None, words: str
) -> None:
    of = rule(band)
    found = required_at(of, kv, NO_SAGS if sag_in is None else Sags(sag_in))
    assert arithmetic(of, found) == words


def test_a_sum_is_never_printed_smaller_than_it_is() -> None:
    of = rule(Band(10.0, per_kv=0.001))
    assert arithmetic(of, required_at(of, 4.4, NO_SAGS)).endswith("= 10.01 in")


@pytest.mark.parametrize(
    ("bands", "words"),
    [
        ((Band(1.0),), "every voltage"),
        ((Band(1.0, up_to_kv=7.5), Band(unknown="?")), "up to 7.5 kV"),
        ((Band(1.0, up_to_kv=7.5), Band(2.0, under_kv=35.0)), "up to 35 kV"),
        ((Band(unknown="?"),), "no voltage: number not known"),
    ],
)
def test_a_rule_says_which_voltages_it_has_numbers_for(bands: tuple[Band, ...], words: str) -> None:
    assert covers(rule(*bands)) == words
