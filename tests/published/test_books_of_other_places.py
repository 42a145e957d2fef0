"""Books of other places and other federal books, typed a second time from the texts named.

Most of them were read in copies of the official text: legislation.gov.uk (ESQCR 2002), pucsl.gov.lk
(Sri Lanka), law.moj.gov.tw (Taiwan, J0030019), BOE-A-2008-5269 (Spain, ITC-LAT 07), ecfr.gov,
laws-lois.justice.gc.ca (Canada), work.alberta.ca (Alberta). What is from memory says so beside it.
Books that are not shipped are written out here as rule files, to show that the format can say them.
"""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import pytest

from framer.checks.bookshelf import rulebook
from framer.checks.requirement import (
    NO_SAGS,
    SOMEWHERE,
    Requirement,
    Sags,
    Site,
    arithmetic,
    required_at,
    requirement,
)
from framer.checks.rulebook import Rule, Rulebook
from framer.checks.voltage import Wired
from framer.model.item import Item
from framer.model.job import Settings
from framer.model.line import Circuit, GroundUse, NearbyWire, Span
from framer.model.place import Guyed, OnPole
from framer.model.reading import Reading
from tests.build import (
    POLE_RADIUS_IN,
    Checked,
    Record,
    arm,
    job,
    judged,
    on_arm,
    pole,
    seat,
    wire,
    written_book,
)

INCHES = {"in": 1.0, "ft": 12.0, "mm": 1 / 25.4, "m": 1000 / 25.4}
SIXTEENTH_IN = 1 / 16
RAVEN = "acsr-raven-1-0"
RAVEN_RADIUS_IN = 0.398 / 2  # 1/0 ACSR 6/1, ASTM B232 table 1: read


def the_rule(key: str) -> Rule:
    (found,) = (rule for rule in rulebook(key.partition(".")[0]).rules if rule.id == key)
    return found


def supply(kv: float | None, *, to_ground: float | None = None, wye: bool = True) -> Circuit:
    return Circuit("one", "One", kv=kv, kv_to_ground=to_ground, grounded_wye=wye)


def asked(
    rule: str | Rule,
    circuit: Circuit,
    *,
    sag_m: float | None = None,
    site: Site = SOMEWHERE,
) -> Requirement:
    """What a rule asks of a phase of a circuit."""
    known = the_rule(rule) if isinstance(rule, str) else rule
    sags = NO_SAGS if sag_m is None else Sags(sag_m * INCHES["m"])
    phase = Wired(circuit, neutral=False)
    wired = (phase, phase) if known.voltage == "between" else (phase,)
    return requirement(known, wired, 34.5, sags, site)


def same(need: float | None, value: float, unit: str) -> bool:
    return need == pytest.approx(value * INCHES[unit], abs=1e-9)


class Row(NamedTuple):
    """A voltage between phases, and what a rule asks at it, as printed."""

    rule: str
    kv: float
    value: float
    unit: str
    source: str


GB = "ESQCR 2002 Schedule 2, legislation.gov.uk/uksi/2002/2665/schedules/made"
LK = "table of heights, pucsl.gov.lk"
LK_BUILDINGS = "table of building distances, pucsl.gov.lk"
R6 = "29 CFR 1910.269 table R-6"
V5 = "29 CFR 1926.960 table V-5"
R2 = "29 CFR 1910.268 table R-2"
S5 = "29 CFR 1910.333 table S-5"
S6 = "29 CFR 1910.304(c)(2), table S-6"
TABLE_A = "29 CFR 1926.1408 table A"
AB = "Alberta OHS Code 2009 Schedule 4, work.alberta.ca"
T15 = "ITC-LAT 07 5.4.2 and table 15, BOE-A-2008-5269"
ES = "ITC-LAT 07 chapter 5, BOE-A-2008-5269"

ROWS = [
    Row("gb-esqcr.height-road", 33.0, 5.8, "m", GB),
    Row("gb-esqcr.height-elsewhere", 33.0, 5.2, "m", GB),
    Row("gb-esqcr.height-elsewhere", 66.0, 6.0, "m", GB),
    Row("gb-esqcr.height-elsewhere", 66.1, 6.7, "m", GB),
    Row("gb-esqcr.height-road", 132.0, 6.7, "m", GB),
    Row("gb-esqcr.height-road", 275.0, 7.0, "m", GB),
    Row("gb-esqcr.height-road", 400.0, 7.3, "m", GB),
    Row("lk-heights.height-over-road", 11.0, 6.1, "m", LK),
    Row("lk-heights.height-along-road", 11.0, 5.2, "m", LK),
    Row("lk-heights.height-vehicles", 11.0, 5.2, "m", LK),
    Row("lk-heights.height-elsewhere", 11.0, 4.6, "m", LK),
    Row("lk-heights.height-over-road", 11.001, 6.4, "m", LK),
    Row("lk-heights.height-elsewhere", 33.0, 4.9, "m", LK),
    Row("lk-heights.height-along-road", 1.0, 4.9, "m", LK),
    Row("lk-heights.building-vertical", 33.0, 3.0, "m", LK_BUILDINGS),
    Row("lk-heights.building-horizontal", 33.0, 2.0, "m", LK_BUILDINGS),
    # 12.47 kV wye phase to ground and phase to phase, 26 kV nominal, 34.5, 4.16, 480 V three-phase,
    # and a 14.4 kV tap of a 24.9 kV system: the row goes by the voltage between phases
    Row("us-1910-269.r6-ground", 12.47, 0.65, "m", R6),
    Row("us-1910-269.r6-phase", 12.47, 0.68, "m", R6),
    Row("us-1910-269.r6-ground", 26.0, 0.77, "m", R6),
    Row("us-1910-269.r6-phase", 26.0, 0.89, "m", R6),
    Row("us-1910-269.r6-ground", 34.5, 0.77, "m", R6),
    Row("us-1910-269.r6-phase", 34.5, 0.89, "m", R6),
    Row("us-1910-269.r6-ground", 4.16, 0.63, "m", R6),
    Row("us-1910-269.r6-phase", 4.16, 0.63, "m", R6),
    Row("us-1910-269.r6-ground", 0.48, 0.33, "m", R6),
    Row("us-1910-269.r6-phase", 0.48, 0.33, "m", R6),
    Row("us-1910-269.r6-ground", 24.9, 0.77, "m", R6),
    Row("us-1910-269.r6-ground", 46.0, 0.84, "m", R6),
    Row("us-1910-269.r6-phase", 72.5, 1.2, "m", R6),
    Row("us-1926-960.v5-ground", 12.47, 0.65, "m", V5),
    Row("us-1926-960.v5-phase", 12.47, 0.68, "m", V5),
    Row("us-1926-960.v5-ground", 72.5, 1.0, "m", V5),
    # table R-3: M + D, no factor up to 900 m
    Row("us-1910-269.r3-ground", 0.48, 0.33, "m", "29 CFR 1910.269 table R-3"),
    Row("us-1910-269.r3-ground", 4.16, 0.63, "m", "29 CFR 1910.269 table R-3"),
    Row("us-1910-269.r3-phase", 12.47, 0.68, "m", "29 CFR 1910.269 tables R-3, R-4"),
    Row("us-1910-268.r2", 12.47, 24, "in", R2),
    Row("us-1910-268.r2", 15.0, 24, "in", R2),
    Row("us-1910-268.r2", 15.001, 36, "in", R2),
    Row("us-1910-268.r2", 0.48, 12, "in", R2),
    Row("us-1910-268.r2", 140.0, 54, "in", R2),
    Row("us-1910-333.qualified", 2.0, 18, "in", S5),
    Row("us-1910-333.qualified", 2.4, 24, "in", S5),
    Row("us-1910-333.vehicle-in-transit", 69.0, 56, "in", "29 CFR 1910.333(c)(3)(iii)(A)(1)"),
    Row("us-1926-1408.table-a", 50.0, 10, "ft", TABLE_A),
    Row("us-1926-1408.table-a", 50.1, 15, "ft", TABLE_A),
    Row("ca-ab-s4.bare", 25.0, 3.0, "m", AB),
    Row("ca-ab-s4.bare", 0.6, 1.0, "m", AB),
    Row("ca-ab-s4.covered", 0.6, 0.3, "m", AB),
    Row("ca-ab-s4.covered", 25.0, 1.0, "m", AB),
    Row("ca-ab-s4.bare", 72.0, 3.5, "m", AB),
    Row("ca-ab-s4.bare", 500.0, 7.0, "m", AB),
    Row("us-1910-304.c1", 0.24, 1, "ft", "29 CFR 1910.304(c)(1)"),
    Row("us-1910-304.c1ii", 0.3, 24, "in", "29 CFR 1910.304(c)(1)(ii)(A)"),
    Row("us-1910-304.c1ii", 0.48, 30, "in", "29 CFR 1910.304(c)(1)(ii)(B)"),
    Row("us-1910-304.c4", 0.24, 8, "ft", "29 CFR 1910.304(c)(4)"),
    Row("us-1910-304.c4ii", 0.24, 3, "ft", "29 CFR 1910.304(c)(4)(ii)"),
    Row("us-1910-304.c4ii", 0.48, 8, "ft", "29 CFR 1910.304(c)(4)(ii)"),
    # nominal 20 kV is Us 24, 6 kV Us 7.2, 132 kV Us 145; the floor of 0.2 m beats Del of 0.09
    Row("es-itc-lat-07.542-pole", 20.0, 0.22, "m", T15),
    Row("es-itc-lat-07.542-arm", 6.0, 0.2, "m", T15),
    Row("es-itc-lat-07.55-ground", 132.0, 6.5, "m", ES),
    Row("es-itc-lat-07.571-road", 132.0, 7.5, "m", ES),
    Row("es-itc-lat-07.581-rail", 20.0, 7.0, "m", ES),
    Row("es-itc-lat-07.55-farm", 20.0, 7.0, "m", ES),
    Row("es-itc-lat-07.t17-near", 20.0, 2.05, "m", "ITC-LAT 07 5.6.1, table 17"),
    Row("es-itc-lat-07.t17-far", 20.0, 2.75, "m", "ITC-LAT 07 5.6.1, table 17"),
    Row("es-itc-lat-07.t17-near", 132.0, 4.4, "m", "ITC-LAT 07 5.6.1, table 17: 3 + 1.4"),
    Row("es-itc-lat-07.561-support", 20.0, 2.0, "m", "ITC-LAT 07 5.6.1"),
    Row("es-itc-lat-07.561-support", 66.0, 3.0, "m", "ITC-LAT 07 5.6.1"),
    Row("es-itc-lat-07.5122-reachable", 20.0, 6.0, "m", "ITC-LAT 07 5.12.2: 5.72 < 6"),
    Row("es-itc-lat-07.5121-trees", 20.0, 2.0, "m", "ITC-LAT 07 5.12.1: 1.72 < 2"),
    Row("tw-j0030019.150-run", 8.7, 1.0, "m", "J0030019 Art. 150(2)"),
    Row("tw-j0030019.150-run", 18.7, 1.1, "m", "J0030019 Art. 150(2)"),
    Row("tw-j0030019.150-run-neutral", 8.7, 0.75, "m", "J0030019 Art. 150(2), proviso"),
    Row("tw-j0030019.142-bare", 0.24, 300, "mm", "J0030019 Art. 142"),
    Row("tw-j0030019.142-covered", 0.24, 75, "mm", "J0030019 Art. 142"),
    Row("tw-j0030019.128-climbing-side", 0.24, 500, "mm", "J0030019 Art. 128(2)"),
    Row("tw-j0030019.128-far-side", 0.24, 125, "mm", "J0030019 Art. 128(2)"),
    Row("tw-j0030019.129-covered", 11.4, 600, "mm", "J0030019 Art. 129"),
    Row("tw-j0030019.136-reduced", 15.0, 450, "mm", "J0030019 Art. 136(2)"),
    Row("tw-j0030019.115-base-100", 69.0, 1.27, "m", "J0030019 Art. 115(2)(1)2"),
    # 29 CFR 1910.304: table S-6 by the voltage to ground, or the greatest voltage in the old column
    Row("us-1910-304.s6-new-pedestrian", 0.12, 10, "ft", S6),
    Row("us-1910-304.s6-new-pedestrian", 0.24, 12, "ft", S6),
    Row("us-1910-304.s6-new-pedestrian", 0.48, 15, "ft", S6),
    Row("us-1910-304.s6-new-driveway", 0.24, 12, "ft", S6),
    Row("us-1910-304.s6-new-driveway", 0.301, 15, "ft", S6),
    Row("us-1910-304.s6-new-road", 0.6, 18, "ft", S6),
    Row("us-1910-304.s6-old-pedestrian", 0.6, 10, "ft", S6),
    Row("us-1910-304.s6-old-driveway", 0.6, 12, "ft", S6),
    Row("us-1910-304.s6-old-trucks", 0.6, 15, "ft", S6),
    Row("us-1910-304.s6-old-road", 0.6, 18, "ft", S6),
    Row("us-1910-304.c1i", 0.24, 30, "in", "29 CFR 1910.304(c)(1)(i)"),
    Row("us-1910-304.c1ii-alone", 0.24, 24, "in", "29 CFR 1910.304(c)(1)(ii)(A)"),
    Row("us-1910-304.c3", 0.24, 3, "ft", "29 CFR 1910.304(c)(3)(i)"),
    Row("us-1910-304.c4iii", 0.24, 18, "in", "29 CFR 1910.304(c)(4)(iii)"),
    Row("us-1910-304.c4iii", 0.48, 8, "ft", "29 CFR 1910.304(c)(4)"),
    Row("us-1910-333.unqualified", 50.0, 10, "ft", "29 CFR 1910.333(c)(3)(i)"),
    Row("us-1910-333.vehicle", 50.0, 10, "ft", "29 CFR 1910.333(c)(3)(iii)(A)"),
    Row("us-1910-333.vehicle", 60.0, 124, "in", "29 CFR 1910.333(c)(3)(iii)(A)"),
    Row("us-1910-268.m3", 12.47, 20, "in", "29 CFR 1910.268(m)(3)(i)"),
    Row("us-1910-268.n12", 0.24, 40, "in", "29 CFR 1910.268(n)(12)(ii)"),
    Row("us-1910-268.n11iii-c", 12.47, 2, "ft", "29 CFR 1910.268(n)(11)(iii)(C)"),
    Row("us-1910-269.r6-single-phase", 0.48, 0.33, "m", "29 CFR 1910.269 table R-6, footnote 2"),
    Row("us-1926-960.v5-single-phase", 0.48, 0.33, "m", "29 CFR 1926.960 table V-5"),
    Row("ca-ab-s4.voltage-not-confirmed", 25.0, 7, "m", "Alberta OHS Code 2009 s. 225(1)"),
    Row("us-wa-rcw-19-29.1-centre-line", 0.48, 13, "in", "RCW 19.29.010 rule 1"),
    Row("us-wa-rcw-19-29.1-passing", 0.48, 13, "in", "RCW 19.29.010 rule 1"),
    Row("es-itc-lat-07.591-rail-wire", 20.0, 4.0, "m", "ITC-LAT 07 5.9.1: 3.72 < 4"),
    Row("es-itc-lat-07.591-rail-wire", 132.0, 4.7, "m", "ITC-LAT 07 5.9.1"),
    Row("es-itc-lat-07.5122-strip", 20.0, 5.0, "m", "ITC-LAT 07 5.12.2: 3.52 < 5"),
    Row("es-itc-lat-07.5122-not-reachable", 132.0, 4.5, "m", "ITC-LAT 07 5.12.2"),
    Row("es-itc-lat-07.581-rail", 220.0, 9.2, "m", "ITC-LAT 07 5.8.1, special category"),
    Row("es-itc-lat-07.t17-under", 66.0, 3.3, "m", "ITC-LAT 07 5.6.1, table 17: 2.5 + 0.8"),
    Row("es-itc-lat-07.t17-communications", 220.0, 5.5, "m", "the same: 3.5 + 2.0"),
    Row("tw-j0030019.93-1", 22.0, 1.5, "m", "J0030019 Art. 93(1)"),
    Row("tw-j0030019.93-1-guys", 11.4, 150, "mm", "J0030019 Art. 93(1), proviso"),
    Row("tw-j0030019.93-1-span-guys", 11.4, 600, "mm", "J0030019 Art. 93(1), proviso"),
    Row("tw-j0030019.114-neutral-drop", 11.4, 100, "mm", "J0030019 Art. 114"),
    Row("tw-j0030019.114-drop", 0.24, 300, "mm", "J0030019 Art. 114"),
    Row("tw-j0030019.115-neutral", 11.4, 300, "mm", "J0030019 Art. 115(2)(1)1(1)"),
    Row("tw-j0030019.115-base-41", 60.0, 0.72, "m", "J0030019 Art. 115(2)(1)2"),
    Row("tw-j0030019.122", 11.4, 300, "mm", "J0030019 Art. 122"),
    Row("tw-j0030019.136-covered", 15.0, 300, "mm", "J0030019 Art. 136(2)"),
    Row("tw-j0030019.148", 11.4, 2.45, "m", "J0030019 Art. 148"),
    Row("tw-j0030019.149-luminaire", 0.24, 1.0, "m", "J0030019 Art. 149(2)(2)"),
    Row("tw-j0030019.151-cover-above", 11.4, 1.0, "m", "J0030019 Art. 151(1)"),
    Row("tw-j0030019.151-cover-below", 11.4, 1.8, "m", "J0030019 Art. 151(1)"),
    Row("tw-j0030019.151-service-drop", 0.24, 1.0, "m", "J0030019 Art. 151(4)"),
    Row("tw-j0030019.151-bolt", 11.4, 50, "mm", "J0030019 Art. 151(5)"),
    Row("tw-j0030019.152-cover-above", 11.4, 1.0, "m", "J0030019 Art. 152(1) to (3)"),
    Row("tw-j0030019.152-cover-below", 11.4, 1.8, "m", "J0030019 Art. 152(1) to (3)"),
    Row("tw-j0030019.323", 0.24, 200, "mm", "J0030019 Art. 323"),
    Row("us-wi-psc-114.well", 12.47, 10, "ft", "PSC 114.234, paragraph 8"),
    Row("us-wi-psc-114.old-railroad", 12.47, 25, "ft", "Wis. Stat. 182.018(1)"),
    Row("us-wi-psc-114.roof", 0.24, 8, "ft", "PSC 114 table 114.234-1"),
    Row("us-wi-psc-114.roof-slope", 0.24, 3, "ft", "PSC 114 table 114.234-1, footnote 17"),
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.rule}-at-{row.kv:g}-kV")
def test_a_rule_asks_what_its_book_prints(row: Row) -> None:
    # delta, so that the voltage to ground is that between phases where a rule goes by it
    found = asked(row.rule, supply(row.kv, wye=False))
    assert found.missing == ""
    assert same(found.need, row.value, row.unit), row.source


# Whole tables: the last voltage of each row, and its value.

R_2_AND_S_5 = [(0.75, 12), (2, 18), (15, 24), (37, 36), (87.5, 42), (121, 48), (140, 54)]
R_6_GROUND = [(0.75, 0.33), (5, 0.63), (15, 0.65), (36, 0.77), (46, 0.84), (72.5, 1.0)]
R_6_PHASE = [(0.75, 0.33), (5, 0.63), (15, 0.68), (36, 0.89), (46, 0.98), (72.5, 1.2)]
COHS_KV = (12, 22, 50, 90, 120, 150, 250, 300, 350, 400)
COHS_II = (3, 3, 3, 4.5, 4.5, 6, 6, 7.5, 7.5, 9)
COHS_III = (0.9, 1.2, 1.5, 1.8, 2.1, 2.7, 3.3, 3.9, 4.5, 5.4)
LK_KV = (1, 11, 33, 132, 220)

TABLES: list[tuple[str, list[tuple[float, float]], str]] = [
    ("us-1910-268.r2", [*R_2_AND_S_5], "in"),
    ("us-1910-333.qualified", [*R_2_AND_S_5], "in"),
    ("us-1910-269.r6-ground", [*R_6_GROUND], "m"),
    ("us-1910-269.r6-phase", [*R_6_PHASE], "m"),
    ("us-1926-960.v5-ground", [*R_6_GROUND], "m"),
    ("us-1926-960.v5-phase", [*R_6_PHASE], "m"),
    # table R-3 with R-4 and no factor comes to the metres of R-6
    ("us-1910-269.r3-ground", [*R_6_GROUND], "m"),
    ("us-1910-269.r3-phase", [*R_6_PHASE], "m"),
    (
        "us-1926-1408.table-a",
        [(50, 10), (200, 15), (350, 20), (500, 25), (750, 35), (1000, 45)],
        "ft",
    ),
    ("ca-cohs.unqualified", list(zip(COHS_KV, COHS_II, strict=True)), "m"),
    ("ca-cohs.qualified", list(zip(COHS_KV, COHS_III, strict=True)), "m"),
    (
        "ca-ab-s4.bare",
        [(0.75, 1), (40, 3), (72, 3.5), (144, 4), (260, 5), (500, 7)],
        "m",
    ),
    ("gb-esqcr.height-road", [(33, 5.8), (66, 6), (132, 6.7), (275, 7), (400, 7.3)], "m"),
    ("gb-esqcr.height-elsewhere", [(33, 5.2), (66, 6), (132, 6.7), (275, 7), (400, 7.3)], "m"),
    *(
        (f"lk-heights.{rule}", list(zip(LK_KV, metres, strict=True)), "m")
        for rule, metres in {
            "height-over-road": (5.5, 6.1, 6.4, 6.7, 7.0),
            "height-along-road": (4.9, 5.2, 6.1, 6.7, 7.0),
            "height-vehicles": (4.9, 5.2, 6.1, 6.7, 7.0),
            "height-elsewhere": (4.6, 4.6, 4.9, 6.7, 7.0),
            "building-vertical": (2.4, 2.7, 3.0, 4.1, 5.18),
            "building-horizontal": (1.5, 1.5, 2.0, 4.1, 5.18),
        }.items()
    ),
]


@pytest.mark.parametrize(("rule", "rows", "unit"), TABLES, ids=lambda one: str(one)[:30])
def test_every_row_of_a_table_holds_its_last_voltage_and_the_next_row_begins_over_it(
    rule: str, rows: list[tuple[float, float]], unit: str
) -> None:
    site = Site(300.0)
    for number, (last_kv, value) in enumerate(rows):
        at = asked(rule, supply(last_kv, wye=False), site=site)
        assert same(at.need, value, unit), last_kv
        if number:
            over_the_last = rows[number - 1][0] + 0.001
            over = asked(rule, supply(over_the_last, wye=False), site=site)
            assert same(over.need, value, unit), over_the_last
    beyond = asked(rule, supply(rows[-1][0] + 0.001, wye=False), site=site)
    assert beyond.missing


@pytest.mark.parametrize(
    ("nominal_kv", "del_m", "dpp_m"),
    # table 15 by Us 3.6, 7.2, 12, 17.5, 24, 30, 36, 52, 72.5, 123, 145, 170, 245 and 420, which are
    # the highest voltages of networks of these nominal ones (table 1, from memory)
    [
        (3, 0.08, 0.1), (6, 0.09, 0.1), (10, 0.12, 0.15), (15, 0.16, 0.2), (20, 0.22, 0.25),
        (25, 0.27, 0.33), (30, 0.35, 0.4), (45, 0.6, 0.7), (66, 0.7, 0.8), (110, 1.0, 1.15),
        (132, 1.2, 1.4), (150, 1.3, 1.5), (220, 1.7, 2.0), (400, 2.8, 3.2),
    ],
)  # fmt: skip
def test_del_and_dpp_of_every_spanish_network(
    nominal_kv: float, del_m: float, dpp_m: float
) -> None:
    # 5.11.1: G + 2.3 + Del with G = 4.7, 3.5 for the special category; 5.4.1 with a taut wire
    special = nominal_kv >= 220
    over_water = asked("es-itc-lat-07.5111-navigable", supply(nominal_kv))
    assert same(over_water.need, (8.2 if special else 7.0) + del_m, "m")
    taut = asked("es-itc-lat-07.541", supply(nominal_kv), sag_m=0.0)
    assert same(taut.need, (0.85 if special else 0.75) * dpp_m, "m")


# 1910.269 and 1926.960: approach distances of line workers.


@pytest.mark.parametrize("rule", ["us-1910-269.r6-ground", "us-1926-960.v5-ground"])
def test_the_feet_printed_beside_the_metres_are_kept(rule: str) -> None:
    found = asked(rule, supply(12.47), site=Site(300.0))
    assert arithmetic(the_rule(rule), found) == "0.65 m (also printed: 2.14 ft)"


@pytest.mark.parametrize("rule", ["us-1910-269.r6-ground", "us-1926-960.v5-ground"])
def test_printed_15_0_then_15_1_so_15_05_takes_the_higher_row_and_says_so(rule: str) -> None:
    found = asked(rule, supply(15.05), site=Site(300.0))
    assert same(found.need, 0.77, "m")
    assert arithmetic(the_rule(rule), found).endswith(
        "15.05 kV lies between the printed 15 and 15.1 kV: the higher row is taken"
    )
    assert same(asked(rule, supply(15.0)).need, 0.65, "m")
    assert same(asked(rule, supply(15.1)).need, 0.77, "m")


@pytest.mark.parametrize(
    ("rule", "value"),
    [
        # R-6 and V-5 count the whole distance by the factor 1.05, R-3 only D: 0.61 + 1.05 x 0.16
        ("us-1910-269.r6-ground", 0.77 * 1.05),
        ("us-1926-960.v5-ground", 0.8085),
        ("us-1910-269.r3-ground", 0.778),
    ],
)
def test_at_1350_m_above_sea_level_the_distance_grows(rule: str, value: float) -> None:
    high = asked(rule, supply(24.9), site=Site(1350.0))
    assert same(high.need, value, "m")
    assert high.assumed == ""
    assert "1.05 x" in arithmetic(the_rule(rule), high)
    assert "at 1,350 m above sea level" in arithmetic(the_rule(rule), high)


def test_a_height_above_sea_level_that_nobody_gave_is_taken_as_up_to_900_m_and_said() -> None:
    found = asked("us-1910-269.r6-ground", supply(24.9))
    assert same(found.need, 0.77, "m")
    assert found.assumed == "height above sea level not known: taken as up to 900 m"
    over = asked("us-1910-269.r6-ground", supply(24.9), site=Site(6001.0))
    assert over.missing.endswith("6,001 m above sea level is not covered by this book")


def test_a_single_phase_system_of_240_v_to_ground_and_480_between_is_to_be_avoided() -> None:
    # table R-6 footnote 2: voltage to ground for single-phase systems in the first two rows
    circuit = supply(0.48, to_ground=0.24)
    found = asked("us-1910-269.r6-single-phase", circuit)
    assert found.missing == "29 CFR Table R-6: avoid contact, no distance is given"
    assert asked("us-1910-269.r6-single-phase", supply(12.47, to_ground=7.2)).nothing
    # the row by voltage between phases asks a distance: no less
    assert same(asked("us-1910-269.r6-ground", circuit).need, 0.33, "m")


def test_to_300_v_there_is_no_distance_but_to_avoid_contact() -> None:
    for rule in ("us-1910-269.r6-ground", "us-1926-960.v5-phase", "us-1910-268.r2"):
        found = asked(rule, supply(0.24))
        assert found.need is None
        assert "avoid contact" in found.missing


# 1910.269 Appendix B table 1, from IEEE 516-2009 (rod gaps, IEEE Std 4-1995): kV peak and cm.
SPARKOVER = {
    25: 2, 36: 3, 46: 4, 53: 5, 60: 6, 70: 8, 79: 10, 86: 12, 95: 14, 104: 16, 112: 18, 120: 20,
    143: 25, 167: 30, 192: 35, 218: 40, 243: 45, 270: 50, 322: 60,
}  # fmt: skip


def gap_cm(kv: float, surge: float) -> float:
    """D by Appendix B: peak to ground, by the surge, over 0.85, read off the table."""
    peak = round(kv / math.sqrt(3) * math.sqrt(2) * surge / 0.85, 1)
    points = list(SPARKOVER.items())
    (low, a), (high, b) = next(pair for pair in pairwise(points) if pair[1][0] >= peak)
    return a + (b - a) * (peak - low) / (high - low)


@pytest.mark.parametrize(
    ("kv", "cm"),
    # the row worked in the text of Appendix B: 3.72, 15.93, 22.74 and 38.25 cm
    [(15.0, 3.72), (36.0, 15.93), (46.0, 22.74), (72.5, 38.25)],
)
def test_appendix_b_gives_the_d_of_table_r_4(kv: float, cm: float) -> None:
    assert gap_cm(kv, 3.0) == pytest.approx(cm, abs=0.005)
    found = asked("us-1910-269.r3-ground", supply(kv), site=Site(0.0))
    assert same(found.need, 0.61 + math.ceil(gap_cm(kv, 3.0)) / 100, "m")
    # phase to phase with a surge of 1.35 x 3 + 0.45 = 4.5, a reading of ours that gives the table
    found = asked("us-1910-269.r3-phase", supply(kv), site=Site(0.0))
    assert same(found.need, 0.61 + math.ceil(gap_cm(kv, 4.5)) / 100, "m")


# 1910.268: communication workers.


def test_a_communication_worker_and_a_line_worker_have_different_distances() -> None:
    # R-2 24 in, V-5 0.65 m = 25.6 in: by who works, never the shorter of the two
    communications = asked("us-1910-268.r2", supply(12.47))
    line = asked("us-1926-960.v5-ground", supply(12.47))
    assert communications.need is not None
    assert line.need is not None
    assert communications.need < line.need
    assert "Communication worker" in the_rule("us-1910-268.r2").title
    assert "Line worker" in the_rule("us-1926-960.v5-ground").title


def test_a_dry_pole_needs_insulating_over_8_7_kv_and_a_wet_one_over_750_v() -> None:
    # 29 CFR 1910.268(n)(11)(iii)(A) and (B)
    assert asked("us-1910-268.n11iii-b", supply(4.16)).nothing
    assert asked("us-1910-268.n11iii-a", supply(4.16)).need == 1.0
    assert asked("us-1910-268.n11iii-b", supply(12.47)).need == 1.0
    assert asked("us-1910-268.n11iii-a", supply(0.75)).nothing


def test_in_heavy_rain_a_pole_is_guarded_over_8_7_kv() -> None:
    # 29 CFR 1910.268(n)(11)(ii)
    assert asked("us-1910-268.n11ii", supply(8.7)).nothing
    assert asked("us-1910-268.n11ii", supply(12.47)).need == 1.0


def test_over_34_5_kv_a_communication_crew_does_not_handle_the_pole_at_all() -> None:
    # 29 CFR 1910.268(n)(11)(i)
    assert asked("us-1910-268.n11i", supply(34.5)).nothing
    assert asked("us-1910-268.n11i", supply(34.6)).need == 1.0


def test_an_old_pole_cut_off_23_in_below_the_lowest_power_wire_is_not_enough() -> None:
    # (n)(11)(iii)(C): 2 ft
    need = asked("us-1910-268.n11iii-c", supply(12.47)).need
    assert need == 24.0 > 23.0


def lamp_over_communications(gap_in: float, book: str, rule: str) -> Checked:
    """A communications cable and a street lamp whose lowest point is `gap_in` over it."""
    phone = Circuit("phone", "Phone", kind="communications", owner="Cedar")
    at_in = 240.0 + gap_in + 2.0  # the lamp of stock reaches 2 in below its bolt
    where = OnPole(when="after", host="pole", at_in=at_in, azimuth_deg=0.0)
    lamp = Item("lamp", "lamp", (where,), part="lamp-arm-6ft")
    cable = wire("cable", "phone", "north", "low", phase="cable")
    checked = judged(job(*pole(), NORTH, phone, seat("low", 240.0), cable, lamp), book)
    assert checked.of(rule)
    return checked


def test_a_street_light_19_in_over_communications_is_taken_as_energised() -> None:
    # (m)(3)(i): 20 in
    rule = "us-1910-268.m3"
    near = lamp_over_communications(19.0, "us-1910-268", rule).the(rule)
    assert (near.verdict, near.need) == ("short", 20.0)
    assert near.gap == pytest.approx(19.0)
    assert "taken as energised until tested" in near.rule.title
    assert lamp_over_communications(20.0, "us-1910-268", rule).the(rule).verdict == "meets"


# 1910.333 and 1926.1408.


def test_115_kv_to_ground_counts_every_10_kv_begun_whole() -> None:
    # 10 ft + 4 in per 10 kV over 50: 7 steps are 12 ft 4 in; pro rata it would be 12 ft 2 in
    rule = "us-1910-333.unqualified"
    found = asked(rule, supply(115.0, wye=False))
    assert found.need == 148.0
    assert "7 steps of 10 kV x 4 in" in arithmetic(the_rule(rule), found)
    assert "Every step of 10 kV begun is counted whole" in the_rule(rule).note
    assert asked(rule, supply(50.0, wye=False)).need == 120.0


def test_three_books_and_one_machine(tmp_path: Path) -> None:
    # a boom at 2.9 m from a 24.94 kV line: Alberta 3.0 m, 29 CFR 1926.1408 10 ft, M.G.L. c. 166
    # section 21B 6 ft (malegislature.gov)
    massachusetts = written(
        tmp_path, measure="approach", a="worker", b="supply wire", need='{ value = 6, unit = "ft" }'
    )
    boom_in = 2.9 * INCHES["m"]
    line = supply(24.94)
    short = [asked(rule, line).need for rule in ("ca-ab-s4.bare", "us-1926-1408.table-a")]
    assert all(need is not None and boom_in < need for need in short)
    held = asked(massachusetts, line).need
    assert held is not None
    assert boom_in >= held


# Canada and Alberta.


@pytest.mark.parametrize(
    ("to_ground", "qualified", "not_qualified"),
    # schedule to section 8.5(6), columns III and II
    [(0.426, 0.9, 3.0), (7.2, 0.9, 3.0), (12.0, 0.9, 3.0), (12.001, 1.2, 3.0), (60.0, 1.8, 4.5)],
)
def test_canada_goes_by_the_voltage_to_ground(
    to_ground: float, qualified: float, not_qualified: float
) -> None:
    circuit = supply(to_ground * math.sqrt(3), to_ground=to_ground)
    assert same(asked("ca-cohs.qualified", circuit).need, qualified, "m")
    assert same(asked("ca-cohs.unqualified", circuit).need, not_qualified, "m")


def test_in_canada_425_v_to_ground_is_not_covered_and_426_v_is_row_1() -> None:
    at = asked("ca-cohs.qualified", supply(0.736, to_ground=0.425))
    assert (at.need, at.missing) == (
        None,
        "COHS schedule to 8.5(6): 425 V and less is not covered",
    )
    over = asked("ca-cohs.qualified", supply(0.738, to_ground=0.426))
    assert same(over.need, 0.9, "m")
    beyond = asked("ca-cohs.qualified", supply(700.0, to_ground=404.0))
    assert beyond.missing.endswith("404 kV is not covered by this book")


def test_alberta_lists_single_voltages_and_one_between_takes_the_next_higher() -> None:
    # rule 4-130(2): an operating voltage above a listed one uses the next higher row
    rule = the_rule("ca-ab-s4.bare")
    found = asked(rule, supply(50.0))
    assert same(found.need, 3.5, "m")
    assert arithmetic(rule, found).endswith(
        "50 kV lies between the printed 40 and 69 kV: the higher row is taken"
    )
    assert same(asked(rule, supply(72.5)).need, 4.0, "m")
    assert "not covered" in asked(rule, supply(501.0)).missing


def test_in_alberta_7_m_is_kept_until_the_voltage_is_confirmed() -> None:
    # section 225(1)
    rule = the_rule("ca-ab-s4.voltage-not-confirmed")
    assert rule.when.voltage_known is False
    assert the_rule("ca-ab-s4.bare").when.voltage_known is True
    assert same(asked(rule, supply(None)).need, 7.0, "m")


# Heights above ground, as whole jobs.

NORTH = Span("north", "N", 0.0, 1800.0)


def height(
    *books: str | Rulebook,
    up_in: float,
    circuit: Circuit,
    over: GroundUse | None = None,
    built: str = "",
    phase: str = "A",
) -> Checked:
    """A level wire with 3 ft of sag that comes down to `up_in` above level ground."""
    span = Span("over", "O", 0.0, 1800.0, over=over, sag_in=36.0)
    run = wire("a", "one", "over", "high", phase=phase, part=RAVEN)
    made = job(
        *(*pole(60), span, circuit, seat("high", up_in + 36.0), run),
        settings=Settings(built=built),
    )
    return judged(made, *books)


def test_on_one_pole_two_books_can_differ() -> None:
    # 11 kV at 5.9 m over a road: Great Britain asks 5.8 m, Sri Lanka 6.1 m
    checked = height(
        "gb-esqcr", "lk-heights", up_in=5.9 * INCHES["m"], circuit=supply(11.0), over="road"
    )
    assert checked.the("gb-esqcr.height-road").verdict == "meets"
    assert checked.the("lk-heights.height-over-road").verdict == "short"


USES: list[tuple[GroundUse, float]] = [
    ("road", 6.1), ("along road", 5.2), ("driveway", 5.2), ("field", 5.2), ("pedestrian", 4.6),
]  # fmt: skip


@pytest.mark.parametrize(("over", "metres"), USES)
def test_in_sri_lanka_the_height_goes_by_what_is_under_the_line(
    over: GroundUse, metres: float
) -> None:
    at = metres * INCHES["m"]
    rules = [rule.id for rule in rulebook("lk-heights").rules if ".height-" in rule.id]
    for up_in, verdict in ((at, "meets"), (at - SIXTEENTH_IN, "short")):
        checked = height("lk-heights", up_in=up_in, circuit=supply(11.0), over=over)
        (told,) = (finding for rule in rules for finding in checked.of(rule))
        assert (told.verdict, same(told.need, metres, "m")) == (verdict, True)


def test_what_the_line_goes_over_not_being_known_is_no_pass_for_a_road() -> None:
    checked = height("gb-esqcr", up_in=5.5 * INCHES["m"], circuit=supply(11.0))
    assert checked.the("gb-esqcr.height-elsewhere").verdict == "meets"
    road = checked.the("gb-esqcr.height-road")
    assert (road.verdict, road.missing) == ("cannot say", "what the span crosses not known")


@pytest.mark.parametrize(
    ("built", "rule", "feet", "verdict"),
    [
        # 29 CFR 1910.304 table S-6: 480 V ungrounded, 480 V to ground, 12 ft over a drive
        ("2010-05-01", "us-1910-304.s6-new-driveway", 15, "short"),
        ("2007-08-13", "us-1910-304.s6-new-driveway", 15, "short"),
        ("2000-05-01", "us-1910-304.s6-old-driveway", 12, "meets"),
    ],
)
def test_the_day_it_was_built_picks_the_column_of_table_s_6(
    built: str, rule: str, feet: float, verdict: str
) -> None:
    checked = height(
        "us-1910-304", up_in=144.0, circuit=supply(0.48, wye=False), over="driveway", built=built
    )
    (finding,) = (finding for finding in checked.findings if ".s6-" in finding.rule.id)
    assert finding.rule.id == rule
    assert (finding.verdict, same(finding.need, feet, "ft")) == (verdict, True)


def test_table_s_6_is_silent_while_nobody_says_when_it_was_built() -> None:
    checked = height("us-1910-304", up_in=200.0, circuit=supply(0.48), over="driveway")
    told = [finding for finding in checked.findings if ".s6-" in finding.rule.id]
    assert told
    assert {finding.verdict for finding in told} == {"cannot say"}
    assert {finding.missing for finding in told} == {"when the line was built not known"}


def test_exactly_150_v_to_ground_takes_the_higher_row_of_table_s_6() -> None:
    # the copy prints "<150"; the official table may say "not over 150"
    rule = "us-1910-304.s6-new-pedestrian"
    assert same(asked(rule, supply(0.24, to_ground=0.149)).need, 10, "ft")
    assert same(asked(rule, supply(0.24, to_ground=0.15)).need, 12, "ft")


# 29 CFR 1910.304(c)(1).


def beside(gap_in: float) -> Checked:
    """Two bare 240 V wires on pins, their surfaces `gap_in` apart."""
    one = supply(0.24)
    apart = gap_in + 2 * RAVEN_RADIUS_IN
    records: list[Record] = [
        *pole(),
        NORTH,
        one,
        arm("arm", 400.0),
        on_arm("p", "arm", 10.0),
        on_arm("q", "arm", 10.0 + apart),
        wire("a", "one", "north", "p", phase="A", part=RAVEN),
        wire("b", "one", "north", "q", phase="B", part=RAVEN),
    ]
    return judged(job(*records), "us-1910-304")


def test_240_v_wires_off_racks_are_12_in_apart() -> None:
    short = beside(11.5).the("us-1910-304.c1", "a", "b")
    assert (short.verdict, short.need) == ("short", 12.0)
    assert short.gap == pytest.approx(11.5)
    assert beside(12.0).the("us-1910-304.c1", "a", "b").verdict == "meets"


def on_one_pole(*levels: tuple[str, float]) -> Checked:
    """Wires at heights: "power" of 240 V, "phone" of communications."""
    power, phone = supply(0.24), Circuit("phone", "Phone", kind="communications", owner="Cedar")
    records: list[Record] = [*pole(), NORTH]
    for kind, up_in in levels:
        circuit = power if kind == "power" else phone
        phase = "A" if kind == "power" else "cable"
        records += [
            circuit,
            seat(f"{kind}-seat", up_in, out_in=6.0),
            wire(f"{kind}-wire", circuit.id, "north", f"{kind}-seat", phase=phase),
        ]
    return judged(job(*records), "us-1910-304")


def climbing(checked: Checked) -> set[str]:
    return {f.rule.id.partition(".")[2] for f in checked.findings if "Climbing" in f.rule.title}


def test_the_order_on_the_pole_beats_the_voltage_in_the_climbing_space() -> None:
    # 240 V power 24 in below communications: 30 in, not the 24 in of 300 V or less
    below = on_one_pole(("phone", 300.0), ("power", 276.0))
    assert climbing(below) == {"c1i"}
    assert asked("us-1910-304.c1i", supply(0.24)).need == 30.0
    above = on_one_pole(("phone", 276.0), ("power", 300.0))
    assert climbing(above) == {"c1ii"}
    assert asked("us-1910-304.c1ii", supply(0.24)).need == 24.0
    assert climbing(on_one_pole(("power", 300.0))) == {"c1ii-alone"}


def test_communications_alone_ask_no_climbing_space() -> None:
    assert climbing(on_one_pole(("phone", 300.0))) == set()
    assert required_at(the_rule("us-1910-304.c1iv"), 0.0, NO_SAGS).nothing


# Washington, RCW 19.29.010 rule 1: 13 in to the centre line, to 750 V, in cities and towns.


def off_the_pole(centre_in: float, kv: float, phase: str) -> Checked:
    held = seat("held", 400.0, out_in=centre_in - POLE_RADIUS_IN)
    run = wire("a", "one", "north", "held", phase=phase)
    return judged(job(*pole(), NORTH, supply(kv), held, run), "us-wa-rcw-19-29")


def test_in_town_a_480_v_wire_is_13_in_from_the_poles_centre_and_the_neutral_is_exempt() -> None:
    rule = "us-wa-rcw-19-29.1-centre-line"
    short = off_the_pole(12.5, 0.48, "A").the(rule)
    assert (short.verdict, short.need) == ("short", 13.0)
    assert off_the_pole(13.0, 0.48, "A").the(rule).verdict == "meets"
    assert not off_the_pole(6.0, 0.48, "N").of(rule)


# Spain, ITC-LAT 07.


def past_the_pole(gap_m: float, kv: float) -> Checked:
    out_in = gap_m * INCHES["m"] + RAVEN_RADIUS_IN
    held = seat("held", 400.0, out_in=out_in)
    run = wire("a", "one", "north", "held", part=RAVEN)
    return judged(job(*pole(), NORTH, supply(kv), held, run), "es-itc-lat-07")


@pytest.mark.parametrize(
    ("kv", "gap_m", "need_m", "verdict"),
    [
        # 20 kV (Us 24): Del 0.22; 6 kV (Us 7.2): the floor of 0.2 beats Del 0.09
        (20.0, 0.21, 0.22, "short"),
        (20.0, 0.22, 0.22, "meets"),
        (6.0, 0.15, 0.2, "short"),
        (6.0, 0.2, 0.2, "meets"),
    ],
)
def test_in_spain_a_wire_keeps_del_from_its_support_and_at_least_0_2_m(
    kv: float, gap_m: float, need_m: float, verdict: str
) -> None:
    finding = past_the_pole(gap_m, kv).the("es-itc-lat-07.542-pole", "a", "pole")
    assert (finding.verdict, same(finding.need, need_m, "m")) == (verdict, True)
    assert finding.gap == pytest.approx(gap_m * INCHES["m"])


def test_a_nominal_voltage_takes_the_row_of_the_highest_voltage_over_it_and_says_so() -> None:
    # a network of nominal 30 kV has Us 36 (table 1, from memory), though 30 is listed too
    rule = the_rule("es-itc-lat-07.5121-trees")
    found = asked(rule, supply(30.0))
    assert same(found.need, 2.0, "m")
    assert "0.35 m (row of 36 kV)" in arithmetic(rule, found)
    assert "0.22 m (row of 24 kV)" in arithmetic(rule, asked(rule, supply(20.0)))
    assert "not covered" in asked(rule, supply(420.0)).missing


def crossing(north_m: float, gap_m: float, *, ours_above: bool = True) -> Checked:
    """Our taut 20 kV wire to the north, and one of another 20 kV line across it."""
    ours, theirs = Circuit("one", "One", kv=20.0), Circuit("two", "Two", kv=20.0)
    other_in = 400.0 + (-gap_m if ours_above else gap_m) * INCHES["m"]
    span = Span("north", "N", 0.0, 4000.0)
    records: list[Record] = [
        *(*pole(), span, ours, theirs),
        seat("held", 400.0, out_in=20.0),
        wire("a", "one", "north", "held", sag_in=0.0),
        NearbyWire("other", "Other", "two", 0.0, north_m * INCHES["m"], 90.0),
        Reading("other", "height", other_in),
    ]
    return judged(job(*records), "es-itc-lat-07")


@pytest.mark.parametrize(
    ("north_m", "rule", "need_m"),
    # table 17, 3 to 30 kV: 1.8 or 2.5 m, and Dpp 0.25 m of Us 24
    [(20.0, "t17-near", 2.05), (25.0, "t17-near", 2.05), (30.0, "t17-far", 2.75)],
)
def test_a_crossing_farther_than_25_m_from_the_upper_support_asks_more(
    north_m: float, rule: str, need_m: float
) -> None:
    for gap_m, verdict in ((need_m, "meets"), (need_m - 0.01, "short")):
        checked = crossing(north_m, gap_m)
        told = [f for f in checked.findings if ".t17-" in f.rule.id]
        assert [f.rule.id for f in told] == [f"es-itc-lat-07.{rule}"]
        assert (told[0].verdict, same(told[0].need, need_m, "m")) == (verdict, True)


def test_under_another_line_the_larger_value_is_asked_since_its_support_is_not_known() -> None:
    told = [f for f in crossing(20.0, 2.5, ours_above=False).findings if ".t17-" in f.rule.id]
    (finding,) = told
    assert finding.rule.id == "es-itc-lat-07.t17-under"
    assert (finding.verdict, same(finding.need, 2.75, "m")) == ("short", True)


def test_a_line_beside_ours_is_no_crossing() -> None:
    ours, theirs = Circuit("one", "One", kv=20.0), Circuit("two", "Two", kv=20.0)
    records: list[Record] = [
        *(*pole(), NORTH, ours, theirs),
        seat("held", 400.0, out_in=20.0),
        wire("a", "one", "north", "held", sag_in=0.0),
        NearbyWire("other", "Other", "two", 300.0, 0.0, 0.0),
        Reading("other", "height", 380.0),
    ]
    checked = judged(job(*records), "es-itc-lat-07")
    assert not [f for f in checked.findings if ".t17-" in f.rule.id]


def low_voltage_of_spain(folder: Path) -> Rulebook:
    """REBT (RD 842/2002) ITC-BT-06 3.2.2: bare wires of different polarity, by the span."""
    spans = [("4", "0.1"), ("6", "0.15"), ("30", "0.2"), ("50", "0.3")]
    over, rules = "0", ""
    for number, (up_to, value) in enumerate(spans, start=1):
        rules += rule_text(
            f"bt06-{number}",
            need=f'{{ up_to_kv = 1, value = {value}, unit = "m" }}',
            voltage="highest circuit",
            when=f'span = {{ over = {over}, up_to = {up_to}, unit = "m" }}',
        )
        over = up_to
    rules += rule_text(
        "bt06-5",
        need='{ up_to_kv = 1, root = { times = 0.55, most = true }, unit = "m" }',
        voltage="highest circuit",
        when='span = { over = 50, unit = "m" }',
    )
    return written_book(folder, rules)


def two_bare_phases(book: str | Rulebook, *, kv: float, span_m: float, sag_m: float) -> Checked:
    span = Span("north", "N", 0.0, span_m * INCHES["m"], sag_in=sag_m * INCHES["m"])
    records: list[Record] = [
        *(*pole(), span, supply(kv), arm("arm", 400.0)),
        on_arm("p", "arm", -20.0),
        on_arm("q", "arm", 20.0),
        wire("a", "one", "north", "p", phase="A"),
        wire("b", "one", "north", "q", phase="B"),
    ]
    return judged(job(*records), book)


@pytest.mark.parametrize(
    ("span_m", "sag_m", "need_m"),
    # the table by span, its lower ends not in it; over 50 m 0.55 root F: 0.55 x root 1.44 = 0.66
    [(30.0, 0.3, 0.2), (30.5, 0.3, 0.3), (40.0, 0.3, 0.3), (60.0, 1.44, 0.66)],
)
def test_spanish_low_voltage_goes_by_the_span_and_then_by_the_root_of_the_sag(
    tmp_path: Path, span_m: float, sag_m: float, need_m: float
) -> None:
    book = low_voltage_of_spain(tmp_path)
    checked = two_bare_phases(book, kv=0.4, span_m=span_m, sag_m=sag_m)
    (finding,) = (f for f in checked.findings if f.rule.book == "mine")
    assert same(finding.need, need_m, "m")


def test_a_spanish_tap_keeps_half_the_distance_and_at_least_0_10_m(tmp_path: Path) -> None:
    # ITC-BT-06 3.2.2: max(0.5 D, 0.10), here with D = 0.15 m
    tap = written(tmp_path, need='{ value = 0.15, times = 0.5, floor = 0.1, unit = "m" }')
    assert same(asked(tap, supply(0.4)).need, 0.1, "m")
    larger = written(tmp_path, need='{ value = 0.3, times = 0.5, floor = 0.1, unit = "m" }')
    assert same(asked(larger, supply(0.4)).need, 0.15, "m")


def test_the_spanish_book_is_picked_by_the_class_of_the_line(tmp_path: Path) -> None:
    # 400 V is in ITC-BT-06, 20 kV in ITC-LAT 07: K root F + K' Dpp, the shape from memory
    low = two_bare_phases("es-itc-lat-07", kv=0.4, span_m=40.0, sag_m=0.81)
    finding = low.the("es-itc-lat-07.541")
    assert finding.verdict == "cannot say"
    assert finding.missing == "ITC-LAT 07 is for lines over 1 kV; to 1 kV see ITC-BT-06"
    medium = two_bare_phases("es-itc-lat-07", kv=20.0, span_m=40.0, sag_m=0.81)
    finding = medium.the("es-itc-lat-07.541")
    assert same(finding.need, 0.65 * 0.9 + 0.75 * 0.25, "m")
    assert finding.rule.source.how_known == "memory"
    high = low_voltage_of_spain(tmp_path)
    beyond = two_bare_phases(high, kv=20.0, span_m=40.0, sag_m=0.81)
    assert {f.verdict for f in beyond.findings} == {"cannot say"}


def test_the_greatest_sag_counts_in_spain_not_the_one_at_60_f() -> None:
    span = Span("north", "N", 0.0, 1800.0)
    hot = {"sag_in": 20.0, "sag_hot_in": 0.81 * INCHES["m"]}
    records: list[Record] = [
        *(*pole(), span, supply(20.0), arm("arm", 400.0)),
        on_arm("p", "arm", -20.0),
        on_arm("q", "arm", 20.0),
        wire("a", "one", "north", "p", phase="A", **hot),
        wire("b", "one", "north", "q", phase="B", **hot),
    ]
    finding = judged(job(*records), "es-itc-lat-07").the("es-itc-lat-07.541")
    assert same(finding.need, 0.65 * 0.9 + 0.75 * 0.25, "m")


@pytest.mark.parametrize(
    ("kv", "value"),
    # over 30 kV K is 0.70; from 220 kV K' is 0.85; Us 36, 72.5 and 245
    [(30.0, 0.65 + 0.75 * 0.4), (66.0, 0.7 + 0.75 * 0.8), (220.0, 0.7 + 0.85 * 2.0)],
)
def test_the_coefficients_of_5_4_1_go_by_the_voltage(kv: float, value: float) -> None:
    assert same(asked("es-itc-lat-07.541", supply(kv), sag_m=1.0).need, value, "m")


# Taiwan, J0030019.


def test_in_taiwan_wires_of_two_lines_with_34_5_kv_between_are_1_625_m_apart() -> None:
    # Art. 93(1): 1.5 m + 10 mm x (34.5 - 22); 5 ft + 5.0 in is printed beside it
    first, second = (Circuit(key, key, kv=17.25, grounded_wye=False) for key in ("one", "two"))
    rule = the_rule("tw-j0030019.93-1")
    wired = Wired(first, neutral=False), Wired(second, neutral=False)
    found = requirement(rule, wired, 34.5)
    assert same(found.need, 1.625, "m")
    assert "(also printed: 5 ft + 0.4 in/kV over 22 kV)" in arithmetic(rule, found)


def two_guys(gap_in: float) -> Checked:
    """Anchor guys of 5/16 in strand, side by side, of two thin poles."""
    records: list[Record] = [
        *pole(dia_in=4.0),
        *pole(key="old", dia_in=4.0, north_in=gap_in + 0.3125),
    ]
    for key, host in (("new-guy", "pole"), ("old-guy", "old")):
        where = Guyed(when="after", host=host, at_in=300.0, lead_in=300.0, azimuth_deg=90.0)
        records.append(Item(key, "guy", (where,), part="guy-5-16in-ehs"))
    return judged(job(*records), "tw-j0030019")


def test_anchor_guys_of_two_poles_5_9_in_apart_are_short_of_150_mm() -> None:
    # Art. 93(1), proviso: 150 mm, 6 in
    short = two_guys(5.9).the("tw-j0030019.93-1-guys", "new-guy", "old-guy")
    assert (short.verdict, same(short.need, 150, "mm")) == ("short", True)
    assert short.gap == pytest.approx(5.9)
    assert two_guys(6.0).the("tw-j0030019.93-1-guys").verdict == "meets"


@pytest.mark.parametrize(
    ("kv", "rule", "sag_mm", "value_mm"),
    [
        # 7.6 x 11.4 + 20.4 x root(1000 - 610); 7.6 x 22.8 + 8 x root(2.12 x 1000)
        (11.4, "tw-j0030019.110-2a", 1000.0, 86.64 + 20.4 * math.sqrt(390)),
        (22.8, "tw-j0030019.110-2b", 1000.0, 173.28 + 8 * math.sqrt(2120)),
    ],
)
def test_taiwanese_wires_of_one_level_keep_apart_by_their_sag(
    kv: float, rule: str, sag_mm: float, value_mm: float
) -> None:
    found = asked(rule, supply(kv), sag_m=sag_mm / 1000)
    assert same(found.need, value_mm, "mm")
    assert value_mm == pytest.approx({11.4: 489.5, 22.8: 541.6}[kv], abs=0.05)


def test_the_taiwanese_radical_is_from_memory_and_the_other_was_read() -> None:
    assert the_rule("tw-j0030019.110-2b").source.how_known == "memory"
    assert the_rule("tw-j0030019.110-2a").source.how_known == "read"


def test_under_610_mm_of_sag_the_taiwanese_formula_for_small_wires_asks_nothing() -> None:
    # Art. 110(2)(1): the root has no value there; annex table 110-1 alone holds
    assert asked("tw-j0030019.110-2a", supply(11.4), sag_m=0.609).nothing
    assert same(asked("tw-j0030019.110-2a", supply(11.4), sag_m=0.61).need, 86.64, "mm")


@pytest.mark.parametrize(("girth_mm", "need_mm"), [(800.0, 100.0), (350.0, 50.0)])
def test_a_communications_riser_keeps_an_eighth_of_the_girth_from_a_bolt(
    girth_mm: float, need_mm: float
) -> None:
    # Art. 152(4): an eighth of the pole's circumference, at least 50 mm
    rule = the_rule("tw-j0030019.152-bolt")
    site = Site(girth_in=girth_mm * INCHES["mm"])
    assert same(required_at(rule, 0.0, NO_SAGS, site).need, need_mm, "mm")
    assert required_at(rule, 0.0, NO_SAGS).missing == "girth of the pole not known"


@pytest.mark.parametrize(
    ("rule", "measured_in"),
    [
        # not drawn, so the number alone: drip loop, run below a grounded neutral, luminaire to the
        # pole on the climbing side, climbing space beside covered wires
        ("tw-j0030019.142-bare", 11.5),
        ("tw-j0030019.150-run-neutral", 29.5),
        ("tw-j0030019.128-climbing-side", 19.0),
        ("tw-j0030019.129-covered", 23.5),
    ],
)
def test_half_an_inch_under_the_printed_inches_is_short_of_the_millimetres(
    rule: str, measured_in: float
) -> None:
    need = asked(rule, supply(11.4)).need
    assert need is not None
    assert measured_in < need
    inches = float(the_rule(rule).need[0].also.split()[0])
    assert need == pytest.approx(inches, abs=0.5)
    far_side = asked("tw-j0030019.128-far-side", supply(11.4)).need
    assert far_side is not None
    assert far_side <= 19.0  # opposite the climbing side 19 in is enough


def over_communications(span_m: float, low_cm: float) -> Checked:
    """A wire of 11.4 kV whose lowest point is `low_cm` under the cable's line of sight."""
    phone = Circuit("phone", "Phone", kind="communications", owner="Cedar")
    span = Span("north", "N", 0.0, span_m * INCHES["m"])
    sag_in = 60.0 + low_cm * 10 * INCHES["mm"]
    records: list[Record] = [
        *(*pole(), span, supply(11.4), phone),
        seat("high", 360.0, out_in=6.0),
        seat("low", 300.0, out_in=6.0),
        wire("power", "one", "north", "high", sag_in=sag_in),
        wire("cable", "phone", "north", "low", phase="cable", sag_in=20.0),
    ]
    return judged(job(*records), "tw-j0030019")


def test_a_supply_wire_stays_over_the_line_of_sight_of_communications_in_a_long_span() -> None:
    # Art. 115(2)(3): spans over 45 m (150 ft)
    rule = "tw-j0030019.115-line-of-sight"
    under = over_communications(46.0, 10.0).the(rule, "power", "cable")
    assert under.verdict == "short"
    assert under.gap == pytest.approx(-100 * INCHES["mm"])
    assert over_communications(46.0, 0.0).the(rule).verdict == "meets"
    assert not over_communications(45.0, 10.0).of(rule)


@pytest.mark.parametrize(
    ("first", "second", "rule"),
    [
        # Art. 120: classes to 750 V, 8.7, 22 and 50 kV; only neighbouring ones share an arm
        (0.24, 11.4, "120-1-3"),
        (11.4, 0.24, "120-1-3"),
        (6.6, 34.5, "120-2-4"),
        (0.48, 34.5, "120-1-4"),
    ],
)
def test_classes_that_are_no_neighbours_may_not_share_a_taiwanese_arm(
    first: float, second: float, rule: str
) -> None:
    checked = sharing_an_arm(first, second)
    finding = checked.the(f"tw-j0030019.{rule}", "a", "b")
    assert finding.verdict == "short"


def test_neighbouring_classes_share_an_arm_only_in_ways_framer_does_not_see() -> None:
    checked = sharing_an_arm(6.6, 11.4)
    assert checked.the("tw-j0030019.120-2-3", "a", "b").verdict == "cannot say"
    assert not [f for f in sharing_an_arm(11.4, 22.0).findings if ".120-" in f.rule.id]


def sharing_an_arm(first_kv: float, second_kv: float) -> Checked:
    records: list[Record] = [
        *(*pole(), NORTH, Circuit("one", "One", kv=first_kv), Circuit("two", "Two", kv=second_kv)),
        arm("arm", 400.0),
        on_arm("p", "arm", -30.0),
        on_arm("q", "arm", 30.0),
        wire("a", "one", "north", "p"),
        wire("b", "two", "north", "q"),
    ]
    return judged(job(*records), "tw-j0030019")


def test_what_the_annex_tables_of_taiwan_hold_cannot_be_said() -> None:
    checked = sharing_an_arm(11.4, 22.0)
    assert checked.the("tw-j0030019.110-table").missing == (
        "J0030019 annex table 110-1 not known here"
    )
    assert rulebook("tw-j0030019").book.partial


# Wisconsin, PSC 114: an overlay over the NESC.


def test_the_wisconsin_book_is_the_nesc_with_rules_of_its_own() -> None:
    wisconsin, nesc = rulebook("us-wi-psc-114"), rulebook("nesc-2017")
    own = {rule.id for rule in wisconsin.rules} - {rule.id for rule in nesc.rules}
    assert own == {f"us-wi-psc-114.{name}" for name in WISCONSIN}
    replaced = {rule.replaces for rule in wisconsin.rules if rule.replaces}
    kept = {rule.id for rule in nesc.rules} - replaced
    assert {rule.id for rule in wisconsin.rules} == own | kept


WISCONSIN = ("roof", "roof-slope", "dwelling", "well", "old-railroad")


def test_a_wisconsin_drop_3_ft_1_in_over_a_steep_roof_is_enough_and_over_a_flat_one_short() -> None:
    # table PSC 114.234-1 footnote 17: 3 ft to 300 V to ground where the slope is 1 in 3 or more
    drop = supply(0.24, to_ground=0.12)
    steep, flat = (asked(f"us-wi-psc-114.{rule}", drop).need for rule in ("roof-slope", "roof"))
    assert steep is not None
    assert flat is not None
    assert steep <= 37.0 < flat == 96.0


def test_a_wisconsin_wire_over_a_railroad_from_before_1949_is_25_ft_up() -> None:
    # Wis. Stat. 182.018(1); for supply the NESC asks more, so communications
    rule = "us-wi-psc-114.old-railroad"
    phone = Circuit("one", "Phone", kind="communications")

    def built(day: str) -> Checked:
        return height(
            "us-wi-psc-114", up_in=299.0, circuit=phone, over="railroad", built=day, phase="cable"
        )

    old = built("1940-01-01").the(rule)
    assert (old.verdict, same(old.need, 25, "ft")) == ("short", True)
    assert not built("1950-01-01").of(rule)


# Books that are not shipped, written out here.


def rule_text(name: str, *, need: str, when: str = "", **fields: str) -> str:
    """One rule as it stands in a rule file; wire to wire unless told."""
    given = {"measure": "slant", "a": "open supply wire", "b": "open supply wire", **fields}
    lines = [f'{key} = "{value}"' for key, value in given.items() if value]
    condition = f"[rule.when]\n{when}\n" if when else ""
    return (
        f'[[rule]]\nid = "mine.{name}"\ntitle = "{name}"\nneed = [{need}]\n'
        + "\n".join(lines)
        + '\nsource = { document = "see the test", place = "-", how_known = "read" }\n'
        + condition
    )


def written(folder: Path, *, need: str, when: str = "", **fields: str) -> Rule:
    (rule,) = written_book(folder, rule_text("one", need=need, when=when, **fields)).rules
    return rule


GROUND: dict[str, str] = {"measure": "above ground", "b": "", "voltage": "circuit"}
TREE: dict[str, str] = {"measure": "not drawn", "b": "pole", "voltage": "circuit"}


@pytest.mark.parametrize(("kv", "metres"), [(132.0, 6.292), (220.0, 6.82), (15.0, 6.0)])
def test_italian_heights_are_the_larger_of_6_m_and_a_sum(
    tmp_path: Path, kv: float, metres: float
) -> None:
    # DM 21 March 1988 n. 449 as amended 1991, 2.1.05 (gazzettaufficiale.it): max(6, 5.5 + 0.006 U)
    rule = written(
        tmp_path, need='{ value = 5.5, per_kv = 0.006, floor = 6, unit = "m" }', **GROUND
    )
    assert same(asked(rule, supply(kv)).need, metres, "m")


@pytest.mark.parametrize(("kv", "metres"), [(20.0, 1.5), (220.0, 2.2)])
def test_swiss_rock_is_passed_at_the_larger_of_1_5_m_and_1_cm_per_kv(
    tmp_path: Path, kv: float, metres: float
) -> None:
    # LeV SR 734.31 Art. 34(2) (lawbrary.ch)
    rule = written(tmp_path, need='{ per_kv = 0.01, floor = 1.5, unit = "m" }', **TREE)
    assert same(asked(rule, supply(kv)).need, metres, "m")


def test_new_zealand_lists_single_voltages_and_22_kv_is_not_listed(tmp_path: Path) -> None:
    # Electricity (Hazards from Trees) Regulations 2003, schedule (legislation.govt.nz): bare, spans
    # to 150 m: 0.5 m at 400 V, 1.6 at 11 kV, 2.5 at 33 kV
    need = """
      { up_to_kv = 0.4, value = 0.5, unit = "m" },
      { up_to_kv = 11, value = 1.6, unit = "m" },
      { up_to_kv = 33, value = 2.5, unit = "m" },
    """
    rule = written(tmp_path, need=need, lookup="only listed", **TREE)
    found = asked(rule, supply(11.0)).need
    assert same(found, 1.6, "m")
    assert found is not None
    assert 1.55 * INCHES["m"] < found
    assert asked(rule, supply(22.0)).missing == "one: 22 kV is not covered by this book"


def test_a_surface_mine_leaves_114_5_kv_between_two_rows_uncovered(tmp_path: Path) -> None:
    # 30 CFR 77.807-2: rows printed 69 to 114 and 115 to 229 kV; 69 kV itself takes 12 ft
    need = """
      { under_kv = 69, value = 10, unit = "ft" },
      { up_to_kv = 114, value = 12, unit = "ft" },
      { from_kv = 115, up_to_kv = 229, value = 15, unit = "ft" },
    """
    rule = written(tmp_path, need=need, holes="not covered", **{**TREE, "measure": "approach"})
    assert [asked(rule, supply(kv)).need for kv in (68.9, 69.0, 114.0, 115.0)] == [
        120.0,
        144.0,
        144.0,
        180.0,
    ]
    assert asked(rule, supply(114.5)).missing == "one: 114.5 kV is not covered by this book"


def test_californian_trees_have_bands_with_the_lower_end_in_them(tmp_path: Path) -> None:
    # Public Resources Code 4293 (law.onecle.com): from 2,400 V 4 ft, 72,000 V 6 ft, 110,000 V 10 ft
    need = """
      { under_kv = 2.4, nothing = true },
      { under_kv = 72, value = 4, unit = "ft" },
      { under_kv = 110, value = 6, unit = "ft" },
      { value = 10, unit = "ft" },
    """
    rule = written(tmp_path, need=need, **TREE)
    assert asked(rule, supply(2.399)).nothing
    assert [asked(rule, supply(kv)).need for kv in (2.4, 71.9, 72.0, 110.0)] == [
        48.0,
        48.0,
        72.0,
        120.0,
    ]


HIGHWAY = [
    # 43 TAC 21.41(b) (texreg.sos.state.tx.us): electric lines 22 ft, communications 18 ft
    ("open supply wire", 22.0),
    ("communications", 18.0),
]


def test_over_a_texan_highway_power_is_22_ft_up_and_communications_18(tmp_path: Path) -> None:
    book = written_book(
        tmp_path,
        "".join(
            rule_text(
                selector.split()[-1], need=f'{{ value = {feet}, unit = "ft" }}',
                when='over = ["road", "along road"]', measure="above ground", a=selector, b="",
            )
            for selector, feet in HIGHWAY
        ),
    )  # fmt: skip
    power = height(book, up_in=12 * 21 + 11, circuit=supply(12.47), over="road").the("mine.wire")
    assert (power.verdict, power.need) == ("short", 264.0)
    phone = Circuit("one", "Phone", kind="communications")
    cable = height(book, up_in=216.0, circuit=phone, over="along road", phase="cable")
    assert cable.the("mine.communications").verdict == "meets"


def test_insulated_low_voltage_over_a_french_road_is_6_m_up(tmp_path: Path) -> None:
    # Order of 17 May 2001, second hand (morbihan-energies.fr)
    book = written_book(
        tmp_path,
        rule_text(
            "one", need='{ value = 6, unit = "m" }', when='over = "road"',
            measure="above ground", a="supply cable", b="",
        ),
    )  # fmt: skip
    low = height(
        book, up_in=5.5 * INCHES["m"], circuit=supply(0.4), over="road", phase="triplex"
    ).the("mine.one")
    assert (low.verdict, same(low.need, 6, "m")) == ("short", True)


# Every number of the shipped books is typed here a second time.

IN_TESTS_OF_THEIR_OWN = {
    *(f"us-1910-268.n11{part}" for part in ("i", "ii", "iii-a", "iii-b")),
    *(f"tw-j0030019.120-{low}-{high}" for low in range(1, 5) for high in range(low + 1, 5)),
    *(f"tw-j0030019.{rule}" for rule in ("110-2a", "110-2b", "115-line-of-sight", "152-bolt")),
    *(f"es-itc-lat-07.{rule}" for rule in ("541", "5111-navigable")),
}
BOOKS = {row.rule.partition(".")[0] for row in ROWS}


@pytest.mark.parametrize("book", sorted(BOOKS))
def test_every_number_of_the_book_is_typed_a_second_time(book: str) -> None:
    typed = {row.rule for row in ROWS} | {rule for rule, _, _ in TABLES} | IN_TESTS_OF_THEIR_OWN
    numbered = {
        rule.id
        for rule in rulebook(book).rules
        if rule.book == book
        if not all(band.unknown or band.nothing for band in rule.need)
    }
    assert numbered - typed == set()
