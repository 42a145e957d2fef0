"""29 CFR 1910.269 (text since 2014, ecfr.gov, read): tables R-3 to R-6, appendices B, E; 1910.137.

The numbers are typed here from the text; those of the rulebook are recomputed by Appendix B and
compared with the printed tables.
"""

from __future__ import annotations

import math
import re

import pytest

from framer.checks.bookshelf import rulebook
from framer.checks.finding import Finding
from framer.checks.voltage import Wired
from framer.mechanics.sparkover import (
    SURGE_BETWEEN_PHASES,
    SURGE_TO_GROUND,
    gap_cm,
    peak_kv,
)
from framer.model.line import Circuit
from framer.transfer.arc import arc_rating
from framer.transfer.needed import Exposure, Needed, feet_up_in, needed
from framer.transfer.rubber import fits, least_class, rubber_class, rubber_tests

M_IN = 1000 / 25.4
GROUND, PHASE = "ground", "phase"


def asked(
    kv: float | None,
    exposure: Exposure = "ground",
    altitude_m: float | None = 0.0,
    *,
    books: tuple[str, ...] = (),
    **more: float,
) -> Needed:
    circuit = Circuit("main", "Main", kv=kv, **more)
    ready = tuple(rulebook(key) for key in books)
    return needed(Wired(circuit, False), exposure, altitude_m, 34.5, ready)


# Table R-6, printed metres and feet, phase to ground and phase to phase.
TABLE_R_6 = {
    0.75: (0.33, 1.09, 0.33, 1.09),
    5.0: (0.63, 2.07, 0.63, 2.07),
    15.0: (0.65, 2.14, 0.68, 2.24),
    36.0: (0.77, 2.53, 0.89, 2.92),
    46.0: (0.84, 2.76, 0.98, 3.22),
    72.5: (1.00, 3.29, 1.20, 3.94),
}

# Table R-5: last metre of each row and its factor.
TABLE_R_5 = {
    900: 1.00, 1200: 1.02, 1500: 1.05, 1800: 1.08, 2100: 1.11, 2400: 1.14, 2700: 1.17, 3000: 1.20,
    3600: 1.25, 4200: 1.30, 4800: 1.35, 5400: 1.39, 6000: 1.44,
}  # fmt: skip


@pytest.mark.parametrize("kv", TABLE_R_6)
def test_what_is_needed_is_the_feet_printed_in_table_r_6(kv: float) -> None:
    _, ground_ft, _, phase_ft = TABLE_R_6[kv]
    assert asked(kv, "ground").need_in == pytest.approx(12 * ground_ft)
    assert asked(kv, "phase").need_in == pytest.approx(12 * phase_ft)


@pytest.mark.parametrize(
    ("kv", "ground_ft", "phase_ft"),
    [
        (4.16, 2.07, 2.07),
        (12.47, 2.14, 2.24),
        (26.0, 2.53, 2.92),
        (34.5, 2.53, 2.92),
        (0.48, 1.09, 1.09),
        (15.05, 2.53, 2.92),  # between the printed 15.0 and 15.1: the higher row
    ],
)
def test_usual_system_voltages_fall_in_their_rows(
    kv: float, ground_ft: float, phase_ft: float
) -> None:
    assert asked(kv, "ground").need_in == pytest.approx(12 * ground_ft)
    assert asked(kv, "phase").need_in == pytest.approx(12 * phase_ft)


def test_a_single_phase_tap_goes_by_the_voltage_between_phases_of_its_system() -> None:
    tap = asked(24.9, "ground", kv_to_ground=14.4)
    assert tap.need_in == pytest.approx(12 * 2.53)


# Appendix B works these rows in its text: kV peak and cm.
WORKED = {15.0: (43.2, 3.72), 36.0: (103.7, 15.93), 46.0: (132.6, 22.74), 72.5: (208.9, 38.25)}
TABLE_R_4 = {15.0: (0.04, 0.07), 36.0: (0.16, 0.28), 46.0: (0.23, 0.37), 72.5: (0.39, 0.59)}


@pytest.mark.parametrize("kv", WORKED)
def test_the_rows_worked_in_appendix_b_come_out_again(kv: float) -> None:
    peak, cm = WORKED[kv]
    assert peak_kv(kv, SURGE_TO_GROUND) == pytest.approx(peak, abs=0.05)
    assert gap_cm(round(peak_kv(kv, SURGE_TO_GROUND), 1)) == pytest.approx(cm, abs=0.005)


@pytest.mark.parametrize("kv", TABLE_R_4)
def test_appendix_b_gives_tables_r_4_and_r_6_for_both_exposures(kv: float) -> None:
    ground_m, phase_m = TABLE_R_4[kv]
    for surge, printed_m in ((SURGE_TO_GROUND, ground_m), (SURGE_BETWEEN_PHASES, phase_m)):
        # the rule rounds up to a centimetre
        assert math.ceil(gap_cm(peak_kv(kv, surge)) - 1e-9) / 100.0 == pytest.approx(printed_m)
    for exposure, part_m in ((GROUND, ground_m), (PHASE, phase_m)):
        need = asked(kv, exposure).need_in  # type: ignore[arg-type]
        assert need == pytest.approx(feet_up_in((0.61 + part_m) * M_IN))


def test_a_peak_outside_the_table_has_no_gap() -> None:
    for peak in (24.9, 322.1):
        with pytest.raises(ValueError, match="outside the table"):
            gap_cm(peak)


@pytest.mark.parametrize("last_m", TABLE_R_5)
def test_the_whole_distance_grows_with_the_height_by_table_r_5(last_m: int) -> None:
    factor = TABLE_R_5[last_m]
    for exposure, metres in ((GROUND, 0.77), (PHASE, 0.89)):
        at = asked(26.0, exposure, float(last_m))  # type: ignore[arg-type]
        assert at.need_in == pytest.approx(feet_up_in(metres * factor * M_IN))
        # the other reading, R-3, counts D only: it is told beside, and never more
        part_m = 0.16 if exposure == GROUND else 0.28
        other = feet_up_in((0.61 + factor * part_m) * M_IN)
        assert other <= at.need_in + 1e-9
        if factor > 1.0:
            tenth = math.ceil(other * 10 - 1e-6) / 10
            assert f"r3-{exposure}: {tenth:.1f} in" in at.reading


def test_at_1350_m_both_readings_are_told_and_the_larger_counts() -> None:
    # 0.61 + 1.05 x 0.16 = 0.778 m; R-6: 1.05 x 0.77 = 0.8085 m
    found = asked(24.9, "ground", 1350.0)
    assert found.rule.id == "us-1910-269.r6-ground"
    assert found.need_in == pytest.approx(feet_up_in(0.8085 * M_IN))
    assert "us-1910-269.r3-ground: 30.8 in" in found.reading  # 2.56 ft, rounded up
    assert "us-1910-269.r6-ground: 32.0 in" in found.reading  # 2.66 ft, rounded up


def test_at_5200_ft_26_kv_asks_2_73_ft_to_ground_and_3_16_ft_between_phases() -> None:
    site_m = 5200 * 0.3048
    assert site_m == pytest.approx(1584.96)
    assert asked(26.0, "ground", site_m).need_in == pytest.approx(12 * 2.73)
    assert asked(26.0, "phase", site_m).need_in == pytest.approx(12 * 3.16)


def test_above_the_last_row_of_the_heights_nothing_can_be_said() -> None:
    found = asked(26.0, "ground", 6001.0)
    assert found.need_in is None
    assert "6,001 m above sea level is not covered" in found.missing


def test_an_unknown_height_tells_how_much_it_may_ask_at_most() -> None:
    found = asked(26.0, "ground", None)
    assert found.need_in == pytest.approx(12 * 2.53)
    assert found.most_in == pytest.approx(feet_up_in(0.77 * 1.44 * M_IN))
    assert asked(26.0, "ground", 800.0).most_in is None


def test_to_300_v_there_is_no_distance_but_to_avoid_contact() -> None:
    found = asked(0.24)
    assert (found.need_in, found.contact) == (0.0, True)


def test_over_72_5_kv_no_number_is_known_here() -> None:
    found = asked(115.0)
    assert found.need_in is None
    assert found.missing


@pytest.mark.parametrize(
    ("own_in", "need_in", "rule"),
    [
        (31.0, 31.0, "approach.employer"),
        (30.36, 30.36, "us-1910-269.r6-ground"),
        (30.0, 30.36, "us-1910-269.r6-ground"),
        (0.0, 30.36, "us-1910-269.r6-ground"),
    ],
)
def test_an_employers_own_distance_counts_only_where_it_is_more(
    own_in: float, need_in: float, rule: str
) -> None:
    found = asked(26.0, approach_in=own_in)
    assert found.need_in == pytest.approx(need_in)
    assert found.rule.id == rule or found.rule.id == rule.replace("r6", "r3")
    assert ("not counted" in found.reading) == (own_in < 30.36)


def test_1926_960_asks_the_same_and_books_for_other_people_are_left_out() -> None:
    alone = asked(26.0)
    same = asked(26.0, books=("us-1926-960",))
    others = asked(26.0, books=("us-1910-268", "us-1910-333", "us-1926-1408"))
    assert alone.need_in == same.need_in == others.need_in == pytest.approx(12 * 2.53)


@pytest.mark.parametrize(
    ("book", "words"),
    [
        ("us-wa-wac-296-45", "WAC 296-45-325 Table 2-A"),
        ("us-ca-title-8-2940", "Table 2940.2-3"),
    ],
)
def test_a_state_table_nobody_read_is_missing_beside_the_federal_number(
    book: str, words: str
) -> None:
    for exposure in (GROUND, PHASE):
        found = asked(26.0, exposure, books=(book,))  # type: ignore[arg-type]
        assert found.need_in is not None
        assert words in found.missing


def test_in_washington_the_standbys_hot_stick_is_12_ft_at_most() -> None:
    # WAC 296-45-325(2), notes: by hand or with a hot stick of twelve feet or less; read
    rules = rulebook("us-wa-wac-296-45").rules
    (rule,) = (one for one in rules if one.id == "us-wa-wac-296-45.325-standby")
    assert rule.most
    for length_ft, spare_ft in ((12.0, 0.0), (14.0, -2.0)):
        stick = Finding(rule, None, None, "short", 12 * length_ft, 12.0 * (rule.need[0].value or 0))
        assert stick.spare == pytest.approx(12 * spare_ft)


# 1910.137 and 1926.97: class, maximum use, retest ac and dc, volts; read.
CLASSES = {
    "00": (500, 2_500, 10_000),
    "0": (1_000, 5_000, 20_000),
    "1": (7_500, 10_000, 40_000),
    "2": (17_000, 20_000, 50_000),
    "3": (26_500, 30_000, 60_000),
    "4": (36_000, 40_000, 70_000),
}


@pytest.mark.parametrize("name", CLASSES)
def test_the_classes_of_rubber_goods_are_as_printed(name: str) -> None:
    known = rubber_class(name)
    assert known is not None
    volts = (known.max_kv, known.retest_ac_kv, known.retest_dc_kv)
    assert tuple(1000 * one for one in volts) == CLASSES[name]


@pytest.mark.parametrize(
    ("kv", "name"), [(12.47, "2"), (24.9, "3"), (34.5, "4"), (7.2, "1"), (17.0, "2"), (26.5, "3")]
)
def test_the_least_class_goes_by_the_voltage_between_phases(kv: float, name: str) -> None:
    found = least_class(kv)
    assert found is not None
    assert found.id == name


def test_over_36_kv_no_class_will_do_and_what_is_not_known_never_does() -> None:
    assert least_class(36.0) is not None
    assert least_class(46.0) is None
    assert fits("4", Circuit("a", "A", kv=None)) is None
    assert fits(None, Circuit("a", "A", kv=7.2)) is None
    assert fits("5", Circuit("a", "A", kv=7.2)) is None
    assert fits("3", Circuit("a", "A", kv=26.6)) is False


def test_rubber_goods_are_tested_at_these_intervals() -> None:
    # table of 1910.137 as quoted in course 709 of oshacademy.com; read
    months = {one.goods: re.findall(r"every (\d+) months", one.when) for one in rubber_tests()}
    assert months == {
        "gloves": ["6"],
        "sleeves": ["12"],
        "blankets": ["12"],
        "line hose and covers": [],
    }


@pytest.mark.parametrize(
    ("kv", "ka", "cycles", "cal"),
    [
        (12.47, 8.0, 10.0, 4.0),  # the example printed in Appendix E
        (12.47, 10.0, 18.0, 4.0),
        (12.47, 10.0, 18.1, 5.0),
        (12.47, 10.0, 54.0, 12.0),
        (24.9, 10.0, 11.0, 4.0),
        (24.9, 10.0, 23.0, 8.0),
    ],
)
def test_clothing_is_looked_up_in_table_6_of_appendix_e(
    kv: float, ka: float, cycles: float, cal: float
) -> None:
    assert arc_rating(kv, ka, cycles).cal_per_cm2 == cal


@pytest.mark.parametrize(
    ("kv", "ka", "cycles"), [(12.47, 10.1, 5.0), (12.47, 8.0, 55.0), (34.5, 8.0, 5.0), (0.48, 5, 5)]
)
def test_outside_the_rows_that_were_read_no_rating_is_said(
    kv: float, ka: float, cycles: float
) -> None:
    found = arc_rating(kv, ka, cycles)
    assert found.cal_per_cm2 is None
    assert found.missing
