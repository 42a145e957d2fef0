"""California General Order 95 and Public Utilities Code 8026, typed a second time.

Taken from stored copies of the Commission's own rule pages, which it calls unofficial; the page is
named beside each value. Only what a current page says is asked for; what is known only from memory,
from an old edition or from an undated copy must answer `cannot say`, with the gap named.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

import pytest

from framer.checks.requirement import requirement
from framer.checks.bookshelf import rulebook
from framer.checks.rulebook import Rule
from framer.checks.voltage import Wired
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.reading import Reading
from tests.build import (
    ARM_OUT_IN,
    POLE_RADIUS_IN,
    Checked,
    Record,
    arm,
    job,
    judged,
    pinned,
    pole,
    seat,
    wire,
    written_book,
)

BOOK = "go95"
SQUARE = f"{BOOK}.f54-8-square"
SIXTEENTH_IN = 1 / 16


def circuit(key: str, kv: float | None, *, owner: str = "Alder") -> Circuit:
    return Circuit(key, key, kv=kv, grounded_wye=True, owner=owner)


C4 = circuit("4.16", 4.16)
C12 = circuit("12", 12.0)
C12_OTHER = circuit("12 other", 12.0, owner="Birch")
C21 = circuit("21", 21.0)
C46 = circuit("46", 46.0)
UNKNOWN = circuit("unknown", None)
SECONDARY = circuit("secondary", 0.24)
PHONE = Circuit("phone", "Phone", kind="communications", owner="Cedar")

SPANS = (
    Span("north", "N", 0.0, 1800.0),
    Span("south", "S", 180.0, 1800.0),
    Span("west", "W", 270.0, 1800.0),
)


# Figure 54-8, ia.cpuc.ca.gov/gos/GO95/go_95_rule_54_7_figure_54-8.html: line and buck arms less
# than 4 ft apart; 30 in square to 7,500 V, 42 in to 35,000 V, measured from the centre line.


def corner(
    line: Circuit, buck: Circuit, *, apart_in: float = 36.0, free_in: float = 48.0
) -> Checked:
    """A line arm with a buck arm to the west below it, their outer wires `free_in` off the pole.

    The east side is clear out to the east wires of the line, and no side or quadrant is clear
    farther: the largest square is `free_in`.
    """
    outer = {"A": -free_in, "C": free_in}
    records: list[Record] = [
        arm("line", 420.0),
        arm("buck", 420.0 - apart_in, faces_deg=270.0),
        *pinned("line", line.id, "north", outer),
        *pinned("buck", buck.id, "west", outer),
        *(
            wire(f"south-{phase}", line.id, "south", f"line-{phase}-pin", phase=phase)
            for phase in outer
        ),
    ]
    circuits = {line.id: line, buck.id: buck}.values()
    return judged(job(*SPANS, *circuits, *pole(45), *records), BOOK)


@pytest.mark.parametrize(
    ("line", "buck", "square_in"),
    [
        pytest.param(C12, C12, 42.0, id="row-1-12-kV"),
        pytest.param(C4, C4, 30.0, id="row-2-4.16-kV"),
        # the figure's class is the highest of the two; variants of the rows above
        pytest.param(C12, C4, 42.0, id="12-kV-over-4.16-kV"),
        pytest.param(C4, C21, 42.0, id="4.16-kV-over-21-kV"),
    ],
)
def test_arms_36_in_apart_leave_the_square_of_figure_54_8(
    line: Circuit, buck: Circuit, square_in: float
) -> None:
    met = corner(line, buck, free_in=square_in).the(SQUARE, "line", "buck")
    assert (met.need, met.gap) == (square_in, pytest.approx(square_in))
    assert met.rule.source.how_known == "read"
    short = corner(line, buck, free_in=square_in - SIXTEENTH_IN).the(SQUARE, "line", "buck")
    assert (met.verdict, short.verdict) == ("meets", "short")


def test_arms_48_in_apart_do_not_come_under_figure_54_8() -> None:
    # row 4: the figure speaks of arms less than 4 ft apart, so not of 48.0 in
    assert not corner(C12, C12, apart_in=48.0, free_in=20.0).of(SQUARE)
    (finding,) = corner(C12, C12, apart_in=48.0 - SIXTEENTH_IN, free_in=20.0).of(SQUARE)
    assert finding.verdict == "short"


def test_a_36_in_column_between_arms_42_in_apart_is_6_in_short() -> None:
    # arms 3 ft 6 in apart at 21 kV, column of 36 in: figure 54-8 wants 42
    finding = corner(C21, C21, apart_in=42.0, free_in=36.0).the(SQUARE, "line", "buck")
    assert finding.verdict == "short"
    assert finding.spare == pytest.approx(-6.0)


def test_figure_54_8_says_nothing_above_35_kv() -> None:
    finding = corner(C46, C46, free_in=200.0).the(SQUARE)
    assert finding.verdict == "cannot say"
    assert finding.missing


def test_arms_of_unknown_voltage_are_judged_at_the_worst_class_and_are_at_best_tight() -> None:
    wide = corner(C4, UNKNOWN, free_in=60.0).the(SQUARE, "line", "buck")
    assert (wide.verdict, wide.need) == ("tight", 42.0)
    assert "unknown" in wide.assumed
    narrow = corner(C4, UNKNOWN, free_in=36.0).the(SQUARE, "line", "buck")
    assert narrow.verdict == "short"


# Rule 38, cpuc.ca.gov/gos/GO95/go_95_rule_38.html: of 5 in and more centre to centre, of less
# surface to surface.


def two_cables(folder: Path, need_in: float, centres_in: float) -> Checked:
    """Two 1-in cables side by side, judged by one rule of `need_in` under rule 38."""
    book = written_book(
        folder,
        f"""
        [[rule]]
        id = "mine.apart"
        title = "Cables apart"
        measure = "slant"
        a = "communications"
        b = "communications"
        convention = "centre from 5 in"
        need = [{{ value = {need_in} }}]
        source = {{ document = "a test", how_known = "house" }}
        """,
    )
    records: list[Record] = []
    for key, out_in in (("a", 10.0), ("b", 10.0 + centres_in)):
        records.append(seat(f"{key}-seat", 300.0, out_in=out_in))
        records.append(
            wire(key, "phone", "north", f"{key}-seat", phase="cable", part="comm-cable-1in")
        )
    return judged(job(*SPANS, PHONE, *pole(40), *records), book)


@pytest.mark.parametrize(
    ("need_in", "centres_in"),
    [
        pytest.param(3.0, 4.0, id="row-16-3-in-between-surfaces"),
        pytest.param(11.5, 11.5, id="row-16-11.5-in-between-centres"),
        pytest.param(5.0, 5.0, id="5-in-between-centres"),
        pytest.param(4.9375, 5.9375, id="just-under-5-in-between-surfaces"),
    ],
)
def test_rule_38_measures_small_gaps_between_surfaces(
    tmp_path: Path, need_in: float, centres_in: float
) -> None:
    met = two_cables(tmp_path, need_in, centres_in).the("mine.apart", "a", "b")
    short = two_cables(tmp_path, need_in, centres_in - SIXTEENTH_IN).the("mine.apart", "a", "b")
    assert (met.verdict, short.verdict) == ("meets", "short")
    assert met.gap == pytest.approx(need_in)


def test_every_rule_of_table_2_is_measured_by_rule_38() -> None:
    rules = [rule for rule in rulebook(BOOK).rules if rule.id.startswith(f"{BOOK}.t2-")]
    assert rules
    assert {rule.convention for rule in rules} == {"centre from 5 in"}


# Distances from the pole's centre line.


def beside_the_pole(of: Circuit, from_centre_in: float, *, phase: str = "A") -> Checked:
    records = (
        seat("seat", 380.0, out_in=from_centre_in - POLE_RADIUS_IN),
        wire("a", of.id, "north", "seat", phase=phase),
    )
    return judged(job(*SPANS, of, *pole(45), *records), BOOK)


def test_the_statute_keeps_wires_13_in_from_the_centre_line() -> None:
    """California Public Utilities Code section 8026, self-law.org/code/ca, copies of 2023."""
    rule = f"{BOOK}.puc-8026-centre-line"
    met = beside_the_pole(C12, 13.0).the(rule, "a", "pole")
    short = beside_the_pole(C12, 13.0 - SIXTEENTH_IN).the(rule, "a", "pole")
    assert (met.need, met.verdict, short.verdict) == (13.0, "meets", "short")
    assert met.rule.source.how_known == "read"


def test_table_1_case_8_keeps_0_to_750_v_15_in_from_the_centre_line() -> None:
    """Rule 54.12-B, current page: 15 in."""
    rule = f"{BOOK}.t1-8-centre-line"
    met = beside_the_pole(SECONDARY, 15.0, phase="secondary").the(rule, "a", "pole")
    short = beside_the_pole(SECONDARY, 15.0 - SIXTEENTH_IN, phase="secondary")
    assert (met.need, met.verdict) == (15.0, "meets")
    assert short.the(rule, "a", "pole").verdict == "short"


def test_above_750_v_table_1_case_8_is_not_known() -> None:
    # the split of 15 and 18 in at 7,500 V is memory
    finding = beside_the_pole(C12, 60.0).the(f"{BOOK}.t1-8-centre-line")
    assert finding.verdict == "cannot say"
    assert re.search(r"Table 1 case 8", finding.missing)


def test_a_communications_cable_at_the_poles_surface_is_not_held_to_the_15_in_of_lateral_runs() -> (
    None
):
    # rule 84.6-C speaks of lateral runs; cables are bolted to the pole
    checked = beside_the_pole(PHONE, POLE_RADIUS_IN + 2.0, phase="cable")
    verdicts = {finding.verdict for finding in checked.of(f"{BOOK}.t1-8-communications")}
    assert verdicts == {"cannot say"}


# Service drops, ia.cpuc.ca.gov/gos/GO95/go_95_rule_54_8.html.


def over_road(of: Circuit, phase: str, height_ft: float) -> Checked:
    """A level span over a road with 2 ft of sag whose lowest point is at a height."""
    span = Span("road", "R", 90.0, 1200.0, over="road", sag_in=24.0)
    records = (
        seat("seat", 12 * height_ft + 24.0, out_in=12.0),
        wire("a", of.id, "road", "seat", phase=phase),
    )
    return judged(job(span, of, *pole(40), *records), BOOK)


def test_a_service_drop_over_a_thoroughfare_hangs_18_ft_up() -> None:
    """Rule 54.8-B1, current page: 18 ft over the thoroughfare."""
    rule = f"{BOOK}.54.8-b1-service-drop"
    met = over_road(SECONDARY, "service", 18.0).the(rule, "a")
    short = over_road(SECONDARY, "service", 18.0 - SIXTEENTH_IN / 12).the(rule, "a")
    assert (met.need, met.verdict, short.verdict) == (216.0, "meets", "short")
    assert met.rule.source.how_known == "read"


@pytest.mark.parametrize(("of", "phase"), [(C12, "A"), (PHONE, "cable")], ids=["supply", "phone"])
def test_other_wires_over_a_road_are_not_known(of: Circuit, phase: str) -> None:
    # Table 1 was read in the edition of 1941 only
    findings = [f for f in over_road(of, phase, 40.0).findings if f.rule.measure == "above ground"]
    assert [finding.verdict for finding in findings] == ["cannot say"]
    assert "Table 1" in findings[0].missing


# Subjects no current text was read for.


def crowded_pole() -> Checked:
    """Line and buck arms of two circuits, a cable below, a neighbouring line; all wide apart."""
    records: list[Record] = [
        arm("line", 420.0),
        arm("buck", 340.0, faces_deg=270.0),
        *pinned("line", C12.id, "north", {"A": -54.0, "B": -18.0, "C": 54.0}, sag_in=12.0),
        *pinned("buck", C12_OTHER.id, "west", {"A": -54.0, "B": 54.0}, sag_in=12.0),
        seat("low", 200.0, out_in=2.0),
        wire("p", "phone", "north", "low", phase="cable", sag_in=12.0),
        NearbyWire("near", "Ridge Line", "46", -400.0, 0.0, 0.0),
        Reading("near", "height", 600.0),
    ]
    return judged(job(*SPANS, C12, C12_OTHER, C46, PHONE, *pole(45), *records), BOOK)


NOT_KNOWN = [
    pytest.param("vertical", r"Table 2 cases 8-13", id="levels-of-one-pole"),
    pytest.param("arm spacing", r"Table 2 case 14", id="line-and-buck-arm"),
    pytest.param("horizontal", r"Table 2 case 15", id="pin-spacing"),
]


@pytest.mark.parametrize(("measure", "gap"), NOT_KNOWN)
def test_table_2_on_one_pole_cannot_be_said_and_the_case_is_named(measure: str, gap: str) -> None:
    named = [f for f in crowded_pole().findings if re.search(gap, f.missing)]
    assert {finding.verdict for finding in named} == {"cannot say"}
    assert {finding.rule.measure for finding in named} == {measure}


def test_a_neighbouring_line_cannot_be_judged_by_the_undated_copy_of_table_2() -> None:
    checked = crowded_pole()
    (finding,) = checked.of(f"{BOOK}.t2-nearby")
    assert finding.verdict == "cannot say"
    assert "Table 2" in finding.missing
    assert not [f for f in checked.findings if f.gap is not None and f in checked.about("near")]


def test_one_line_stands_for_all_pairs_of_a_gap() -> None:
    # every wire of one level with every wire of another, 3 x 2 + 3 x 1 + 2 x 1 = 11 pairs
    (finding,) = [f for f in crowded_pole().findings if "cases 8-13" in f.missing]
    assert finding.count == 11


# Every rule of the book a second time: the wires, and inches or None where not known.


class Typed(NamedTuple):
    rule: str
    circuits: tuple[Circuit, ...]
    need_in: float | None


def _at(kv: float) -> tuple[Circuit, ...]:
    return (circuit(f"{kv:g} kV", kv),)


TYPED_AGAIN = [
    Typed("f54-8-square", _at(4.16), 30.0),
    Typed("f54-8-square", _at(7.5), 30.0),
    Typed("f54-8-square", _at(7.501), 42.0),
    Typed("f54-8-square", _at(12.0), 42.0),
    Typed("f54-8-square", _at(35.0), 42.0),
    Typed("f54-8-square", _at(46.0), None),
    Typed("puc-8026-centre-line", _at(12.0), 13.0),
    Typed("puc-8026-centre-line", _at(0.24), 13.0),
    Typed("t1-8-centre-line", _at(0.24), 15.0),
    Typed("t1-8-centre-line", _at(0.75), 15.0),
    Typed("t1-8-centre-line", _at(4.16), None),
    Typed("t1-8-centre-line", _at(12.0), None),
    # 84.6-C, lateral runs only: not known for a cable at the pole
    Typed("t1-8-communications", (PHONE,), None),
    Typed("t1-9-surface", _at(12.0), None),
    Typed("t2-same-pole", _at(12.0) + _at(4.16), None),
    Typed("t2-14-line-buck", _at(12.0), None),
    Typed("t2-15-pin-spacing", _at(12.0), None),
    Typed("t2-nearby", _at(12.0) + _at(46.0), None),
    Typed("54.8-b1-service-drop", _at(0.24), 216.0),
    Typed("t1-ground", _at(12.0), None),
]


def _rule(name: str) -> Rule:
    (rule,) = [rule for rule in rulebook(BOOK).rules if rule.id == f"{BOOK}.{name}"]
    return rule


@pytest.mark.parametrize(
    "typed",
    TYPED_AGAIN,
    ids=lambda typed: "-".join([typed.rule, *(each.id for each in typed.circuits)]),
)
def test_a_rule_asks_what_was_typed_a_second_time(typed: Typed) -> None:
    wired = tuple(Wired(each, neutral=False) for each in typed.circuits)
    asked = requirement(_rule(typed.rule), wired, assume_up_to_kv=34.5)
    assert asked.need == typed.need_in
    assert bool(asked.missing) == (typed.need_in is None)


def test_every_rule_of_the_book_is_typed_a_second_time() -> None:
    book = rulebook(BOOK)
    assert book.problems == ()
    assert {f"{BOOK}.{typed.rule}" for typed in TYPED_AGAIN} == {rule.id for rule in book.rules}


def test_no_number_from_memory_or_an_old_edition_is_enforced() -> None:
    for rule in rulebook(BOOK).rules:
        if any(band.value is not None for band in rule.need):
            assert rule.source.how_known == "read", rule.id


def test_the_arms_of_these_tests_hold_their_wires_where_the_arithmetic_says() -> None:
    east, north, up = corner(C12, C12, free_in=42.0).near_end("line-C")
    assert (east, north, up) == pytest.approx((42.0, ARM_OUT_IN, 433.0))
