"""Which voltage a rule is judged by, and that what is not known of a circuit never helps it.

Worked by hand from the definitions: a grounded wye has its phase-to-phase volts over the square
root of 3 to ground (nominal 14.4 of 24.9Y/14.4 where the name gives it), and volts between circuits
are the sum of both to ground, the phases opposed (NESC rule 235A3, phase relation unknown; memory).
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Literal, get_args

import pytest

from framer.checks.finding import Finding
from framer.checks.requirement import Requirement, requirement
from framer.checks.rulebook import Band, Basis, Rule, Rulebook, Unit
from framer.checks.voltage import Volts, Wired, as_connected, volts
from framer.model.job import Settings
from framer.model.line import Circuit, Join, JoinPlace, JoinState, Span
from framer.stock.source import Source
from tests.build import Checked, job, judged, pole, seat, wire, written_book

UP_TO_KV = 34.5


def circuit(
    key: str,
    kv: float | None,
    *,
    wye: bool | None = True,
    to_ground: float | None = None,
    kind: Literal["supply", "communications"] = "supply",
) -> Circuit:
    return Circuit(key, f"Circuit {key}", kind, kv, to_ground, wye)


C12 = circuit("12", 12.47)
C12_NAMED = circuit("12 named", 12.47, to_ground=7.2)
C24 = circuit("24", 24.9)
C24_NAMED = circuit("24 named", 24.9, to_ground=14.4)
DELTA = circuit("delta", 4.8, wye=False)
UNSAID = circuit("unsaid", 12.47, wye=None)
UNKNOWN = circuit("unknown", None)
UNKNOWN_DELTA = circuit("unknown delta", None, wye=False)
PHONE = circuit("phone", None, wye=None, kind="communications")

ROOT_3 = math.sqrt(3.0)


def phase(of: Circuit) -> Wired:
    return Wired(of, neutral=False)


def neutral(of: Circuit) -> Wired:
    return Wired(of, neutral=True)


def judged_by(basis: Basis, *wired: Wired) -> Volts:
    return volts(basis, wired, UP_TO_KV)


def only(chosen: Volts) -> float:
    """The one voltage of a circuit that is known, with nothing assumed."""
    (kv,) = chosen.kv
    assert chosen.assumed == ""
    return kv


# Between two wires.


def test_between_two_phases_of_one_circuit_it_is_phase_to_phase() -> None:
    assert only(judged_by("between", phase(C12), phase(C12))) == 12.47
    assert only(judged_by("between", phase(DELTA), phase(DELTA))) == 4.8


@pytest.mark.parametrize("turned", [False, True], ids=["phase-first", "neutral-first"])
def test_between_a_phase_and_its_neutral_it_is_phase_to_ground(turned: bool) -> None:
    pair = (phase(C12), neutral(C12))
    kv = only(judged_by("between", *(reversed(pair) if turned else pair)))
    assert kv == pytest.approx(12.47 / ROOT_3)
    assert kv == pytest.approx(7.2, abs=0.001)


def test_the_nominal_volts_to_ground_count_where_they_are_given() -> None:
    assert only(judged_by("between", phase(C24_NAMED), neutral(C24_NAMED))) == 14.4
    assert only(judged_by("to ground", phase(C24_NAMED), phase(PHONE))) == 14.4
    assert only(judged_by("between", phase(C24), neutral(C24))) == pytest.approx(24.9 / ROOT_3)
    # they do not change what is between phases
    assert only(judged_by("between", phase(C24_NAMED), phase(C24_NAMED))) == 24.9


def test_between_two_circuits_it_is_the_sum_of_both_to_ground() -> None:
    assert only(judged_by("between", phase(C12_NAMED), phase(C24_NAMED))) == pytest.approx(21.6)
    assert only(judged_by("between", phase(C12), phase(DELTA))) == pytest.approx(
        12.47 / ROOT_3 + 4.8
    )


def test_a_grounded_neutral_of_another_circuit_adds_nothing() -> None:
    assert only(judged_by("between", phase(C24_NAMED), neutral(C12_NAMED))) == 14.4
    assert only(judged_by("between", neutral(C24_NAMED), neutral(C12_NAMED))) == 0.0


def test_a_neutral_that_is_not_grounded_counts_like_a_phase() -> None:
    floating = circuit("floating", 12.47, wye=False)
    assert only(judged_by("between", phase(floating), neutral(floating))) == 12.47
    assert only(judged_by("between", phase(C24_NAMED), neutral(floating))) == pytest.approx(
        14.4 + 12.47
    )
    assert only(judged_by("to ground", neutral(floating))) == 12.47


# One circuit, or the highest.


def test_to_ground_is_that_of_the_first_supply_wire() -> None:
    assert only(judged_by("to ground", phase(C12_NAMED), phase(C24_NAMED))) == 7.2
    assert only(judged_by("to ground", phase(C24_NAMED), phase(C12_NAMED))) == 14.4
    assert only(judged_by("to ground", phase(PHONE), phase(C12_NAMED))) == 7.2
    assert only(judged_by("to ground", phase(DELTA))) == 4.8
    assert only(judged_by("to ground", neutral(C12_NAMED))) == 0.0


def test_circuit_is_that_between_phases_of_the_first() -> None:
    assert only(judged_by("circuit", phase(C12_NAMED), phase(C24))) == 12.47
    assert only(judged_by("circuit", neutral(C12_NAMED))) == 12.47


def test_highest_circuit_is_the_highest_of_all_there() -> None:
    assert only(judged_by("highest circuit", phase(C12), phase(C24), phase(DELTA))) == 24.9
    assert only(judged_by("highest circuit", phase(C12), neutral(C24))) == 24.9


def test_any_two_is_the_most_between_any_of_the_wires_there() -> None:
    # phases of one circuit; two circuits: 14.4 + 14.4 is more than either between its phases
    assert max(judged_by("any two", phase(C12)).kv) == 12.47
    both = judged_by("any two", phase(C24_NAMED), neutral(C24_NAMED), phase(C24_NAMED))
    assert max(both.kv) == 24.9
    second = circuit("24 second", 24.9, to_ground=14.4)
    assert max(judged_by("any two", phase(C24_NAMED), phase(second)).kv) == pytest.approx(28.8)
    assert max(judged_by("any two", phase(C12_NAMED), phase(C24_NAMED)).kv) == 24.9


def test_any_two_of_grounded_neutrals_and_communications_have_no_voltage() -> None:
    assert judged_by("any two", neutral(C12), phase(PHONE)).kv == (0.0,)


def test_any_two_of_one_circuit_do_not_depend_on_its_grounding() -> None:
    assert judged_by("any two", phase(UNSAID), phase(UNSAID)).assumed == ""
    assert "grounding" in judged_by("any two", phase(UNSAID), phase(C24)).assumed
    unknown = judged_by("any two", phase(UNKNOWN_DELTA), phase(C12_NAMED))
    assert max(unknown.kv) == pytest.approx(UP_TO_KV + 7.2)


def test_conductor_leaves_grounded_neutrals_out() -> None:
    assert only(judged_by("conductor", phase(C12), neutral(C24))) == 12.47
    assert only(judged_by("conductor", neutral(C24))) == 0.0
    assert only(judged_by("conductor", neutral(circuit("floating", 12.47, wye=False)))) == 12.47


@pytest.mark.parametrize("basis", get_args(Basis))
def test_communications_have_no_voltage(basis: Basis) -> None:
    assert only(judged_by(basis, phase(PHONE), phase(PHONE))) == 0.0
    assert only(judged_by(basis)) == 0.0


@pytest.mark.parametrize("basis", ["between", "to ground"])
def test_against_communications_it_is_the_supply_wires_volts_to_ground(basis: Basis) -> None:
    for pair in ((phase(C12_NAMED), phase(PHONE)), (phase(PHONE), phase(C12_NAMED))):
        assert only(judged_by(basis, *pair)) == 7.2


def test_a_rule_without_a_basis_has_no_voltage() -> None:
    assert only(judged_by("none", phase(UNKNOWN), phase(C12))) == 0.0


# What is not known.


def test_an_unknown_voltage_is_tried_at_every_class_up_to_the_one_chosen() -> None:
    chosen = judged_by("circuit", phase(UNKNOWN))
    # usual system voltages (common practice) and the end of the range
    assert {0.24, 0.48, 2.4, 4.16, 7.2, 12.47, 13.8, 24.9, 34.5} <= set(chosen.kv)
    assert max(chosen.kv) == UP_TO_KV
    assert list(chosen.kv) == sorted(set(chosen.kv))
    assert "Circuit unknown" in chosen.assumed
    assert "34.5 kV" in chosen.assumed


@pytest.mark.parametrize("up_to_kv", [4.16, 13.0, 46.0, 1000.0])
def test_the_highest_class_tried_is_the_one_chosen_whatever_it_is(up_to_kv: float) -> None:
    chosen = volts("circuit", (phase(UNKNOWN),), up_to_kv)
    assert max(chosen.kv) == up_to_kv


def test_of_two_circuits_the_known_one_is_the_least_the_highest_can_be() -> None:
    chosen = judged_by("highest circuit", phase(UNKNOWN), phase(C12))
    assert min(chosen.kv) == 12.47
    assert max(chosen.kv) == UP_TO_KV
    assert chosen.assumed
    above = judged_by("highest circuit", phase(UNKNOWN), phase(circuit("69", 69.0)))
    assert above.kv == (69.0,)


def test_an_unknown_voltage_between_circuits_adds_to_the_known() -> None:
    chosen = judged_by("between", phase(C12_NAMED), phase(UNKNOWN_DELTA))
    assert max(chosen.kv) == pytest.approx(7.2 + UP_TO_KV)
    assert chosen.assumed
    both = judged_by("between", phase(UNKNOWN), phase(UNKNOWN_DELTA))
    assert max(both.kv) == pytest.approx(UP_TO_KV / ROOT_3 + UP_TO_KV)


def test_nominal_volts_to_ground_without_the_volts_between_phases_are_not_relied_on() -> None:
    odd = circuit("odd", None, to_ground=7.2)
    chosen = judged_by("to ground", phase(odd))
    assert max(chosen.kv) == pytest.approx(UP_TO_KV / ROOT_3)
    assert chosen.assumed


@pytest.mark.parametrize("basis", ["between", "to ground"])
def test_a_grounding_that_is_not_known_is_taken_as_none(basis: Basis) -> None:
    chosen = judged_by(basis, phase(UNSAID), phase(PHONE))
    assert chosen.kv == (12.47,)
    assert chosen.assumed == "grounding of Circuit unsaid not known: taken as ungrounded"


def test_grounding_does_not_matter_between_phases_or_where_volts_to_ground_are_given() -> None:
    assert only(judged_by("between", phase(UNSAID), phase(UNSAID))) == 12.47
    assert only(judged_by("circuit", phase(UNSAID))) == 12.47
    given = circuit("given", 12.47, wye=None, to_ground=7.2)
    assert only(judged_by("to ground", phase(given))) == 7.2


def test_a_neutral_not_known_to_be_grounded_is_live_and_that_is_assumed() -> None:
    chosen = judged_by("to ground", neutral(UNSAID))
    assert chosen.kv == (12.47,)
    assert chosen.assumed


# What a rule makes of it.


def rule(*need: Band, voltage: Basis = "circuit") -> Rule:
    return Rule(
        id="mine.apart",
        title="Wires apart",
        measure="horizontal",
        a="wire",
        b="wire",
        voltage=voltage,
        need=need,
        source=Source("a test", "house"),
    )


RISING = rule(Band(10.0, up_to_kv=8.7), Band(20.0, up_to_kv=20.0), Band(30.0))
NOT_RISING = rule(Band(10.0, up_to_kv=8.7), Band(40.0, up_to_kv=20.0), Band(30.0))
"""GO 95 Table 2 has such a row: the higher voltage does not always ask for more (READ)."""


def asked(of: Rule, *wired: Wired, up_to_kv: float = UP_TO_KV) -> Requirement:
    return requirement(of, wired, up_to_kv)


@pytest.mark.parametrize(
    ("kv", "need"), [(8.7, 10.0), (8.701, 20.0), (20.0, 20.0), (20.001, 30.0), (500.0, 30.0)]
)
def test_a_band_ends_with_its_last_voltage(kv: float, need: float) -> None:
    found = asked(RISING, phase(circuit("x", kv)))
    assert (found.need, found.kv, found.missing) == (need, kv, "")


def test_a_sum_that_is_the_end_of_a_band_but_for_rounding_is_in_the_band() -> None:
    # 0.1 + 0.2 is more than 0.3 in floating point
    narrow = rule(Band(10.0, up_to_kv=0.3), Band(20.0), voltage="between")
    one, two = circuit("one", 0.1, wye=False), circuit("two", 0.2, wye=False)
    assert asked(narrow, phase(one), phase(two)).need == 10.0


@pytest.mark.parametrize(
    ("of", "up_to_kv", "need", "kv"),
    [
        (RISING, UP_TO_KV, 30.0, 22.0),
        (RISING, 15.0, 20.0, 12.47),
        (NOT_RISING, UP_TO_KV, 40.0, 12.47),
    ],
    ids=["highest", "up-to-15-kV", "worst-is-not-the-highest"],
)
def test_of_all_classes_an_unknown_voltage_could_be_the_worst_counts(
    of: Rule, up_to_kv: float, need: float, kv: float
) -> None:
    found = asked(of, phase(UNKNOWN), up_to_kv=up_to_kv)
    assert (found.need, found.kv) == (need, kv)
    assert "Circuit unknown" in found.assumed


def test_an_adder_begins_over_its_voltage_and_takes_nothing_off_below() -> None:
    adding = rule(Band(12.0, per_kv=0.4, over_kv=8.7))
    assert asked(adding, phase(DELTA)).need == 12.0
    assert asked(adding, phase(C12)).need == pytest.approx(12.0 + 0.4 * 3.77)


def test_an_adder_is_worst_at_the_highest_class() -> None:
    found = asked(rule(Band(12.0, per_kv=0.4, over_kv=8.7)), phase(UNKNOWN))
    assert found.need == pytest.approx(12.0 + 0.4 * (34.5 - 8.7))


def test_a_class_that_the_book_does_not_know_makes_the_whole_not_known() -> None:
    found = asked(rule(Band(10.0, up_to_kv=20.0), Band(unknown="over 20 kV")), phase(UNKNOWN))
    assert (found.need, found.missing) == (None, "over 20 kV")
    low = asked(
        rule(Band(10.0, up_to_kv=20.0), Band(unknown="over 20 kV")), phase(UNKNOWN), up_to_kv=20.0
    )
    assert (low.need, low.missing) == (10.0, "")


def test_a_voltage_past_the_last_band_is_not_covered() -> None:
    closed = rule(Band(10.0, up_to_kv=20.0))
    assert asked(closed, phase(C12)).need == 10.0
    found = asked(closed, phase(C24))
    assert found.need is None
    assert found.missing == "Wires apart: 24.9 kV is not covered by this book"


def test_a_band_that_asks_nothing_asks_nothing() -> None:
    some = rule(Band(nothing=True, up_to_kv=8.7), Band(20.0))
    assert asked(some, phase(DELTA)) == Requirement(nothing=True)
    # and where one class of several asks for something, that counts
    assert asked(some, phase(UNKNOWN)).need == 20.0


@pytest.mark.parametrize(
    ("unit", "inches"), [("in", 2.0), ("ft", 24.0), ("m", 2.0 / 0.0254), ("mm", 2.0 / 25.4)]
)
def test_a_value_is_turned_to_inches(unit: Unit, inches: float) -> None:
    # 1 ft is 12 in and 1 in is 25.4 mm exactly (NIST SP 811)
    assert asked(rule(Band(2.0, unit)), phase(C12)).need == pytest.approx(inches, abs=1e-9)


# Whole jobs: what is not known never meets.

BASES: list[Basis] = [basis for basis in get_args(Basis) if basis != "none"]
APART_IN = 1000.0


def two_wires(
    folder: Path, basis: Basis, one: Circuit, two: Circuit, *, apart_in: float = APART_IN
) -> Checked:
    book: Rulebook = written_book(
        folder,
        f"""
        [[rule]]
        id = "mine.apart"
        title = "Wires apart"
        measure = "horizontal"
        a = "wire"
        b = "wire"
        voltage = "{basis}"
        need = [{{ value = 10, per_kv = 1 }}]
        source = {{ document = "a test", how_known = "house" }}
        """,
    )
    made = job(
        *{one.id: one, two.id: two}.values(),
        Span("north", "N", 0.0, 1800.0),
        *pole(45),
        seat("left", 380.0, out_in=10.0),
        seat("right", 380.0, out_in=10.0 + apart_in),
        wire("a", one.id, "north", "left"),
        wire("b", two.id, "north", "right", phase="B"),
        settings=Settings(assume_up_to_kv=UP_TO_KV),
    )
    return judged(made, book)


def the_finding(checked: Checked) -> Finding:
    return checked.the("mine.apart", "a", "b")


@pytest.mark.parametrize("basis", BASES)
@pytest.mark.parametrize("second", [UNKNOWN, UNKNOWN_DELTA, C12_NAMED], ids=lambda c: c.id)
def test_wires_of_unknown_voltage_are_never_met_however_far_apart(
    tmp_path: Path, basis: Basis, second: Circuit
) -> None:
    finding = the_finding(two_wires(tmp_path, basis, UNKNOWN, second))
    assert (finding.verdict, finding.missing) == ("tight", "")
    assert "voltage of Circuit unknown not known" in finding.assumed


@pytest.mark.parametrize("basis", BASES)
def test_wires_of_unknown_voltage_too_close_for_the_worst_are_short(
    tmp_path: Path, basis: Basis
) -> None:
    finding = the_finding(two_wires(tmp_path, basis, UNKNOWN, UNKNOWN, apart_in=20.0))
    assert finding.verdict == "short"
    assert finding.need is not None
    least = UP_TO_KV / ROOT_3 if basis == "to ground" else UP_TO_KV
    assert finding.need == pytest.approx(10.0 + least, abs=1e-6)


@pytest.mark.parametrize("basis", ["between", "to ground"])
def test_wires_of_unknown_grounding_are_never_met_however_far_apart(
    tmp_path: Path, basis: Basis
) -> None:
    finding = the_finding(two_wires(tmp_path, basis, UNSAID, DELTA))
    assert finding.verdict == "tight"
    assert "grounding of Circuit unsaid not known" in finding.assumed


@pytest.mark.parametrize("basis", BASES)
def test_wires_of_known_circuits_far_apart_are_met(tmp_path: Path, basis: Basis) -> None:
    finding = the_finding(two_wires(tmp_path, basis, C12_NAMED, DELTA))
    assert (finding.verdict, finding.assumed) == ("meets", "")


# Circuits wired to each other: GO 95 rule 23.4 (SU-25, 1994), ia.cpuc.ca.gov, read.


def test_a_tap_counts_as_the_circuit_it_is_wired_to() -> None:
    tap = circuit("tap", 7.2)
    joined = as_connected((tap, C12_NAMED, C24), [("tap", "12 named")])
    assert [each.kv for each in joined] == [12.47, 12.47, 24.9]
    assert joined[0].kv_to_ground == 7.2
    assert joined[1:] == (C12_NAMED, C24)


def test_a_chain_of_joins_makes_one_of_all_and_an_unknown_makes_all_unknown() -> None:
    first, second = circuit("first", 2.4), circuit("second", 4.8)
    chain = as_connected((first, second, C12), [("first", "second"), ("second", "12")])
    assert {each.kv for each in chain} == {12.47}
    lost = as_connected((first, UNKNOWN), [("first", "unknown")])
    assert {each.kv for each in lost} == {None}


@pytest.mark.parametrize(
    ("phases", "made", "kv"),
    [
        (("A", "A"), "tap", 12.47),
        (("A", "A"), "open", 7.2),
        # neutrals are joined where circuits of all voltages share one
        (("N", "N"), "through", 7.2),
    ],
)
def test_only_phase_wires_that_are_joined_make_one_circuit_of_two(
    tmp_path: Path, phases: tuple[str, str], made: JoinState, kv: float
) -> None:
    book = written_book(
        tmp_path,
        """
        [[rule]]
        id = "mine.one"
        title = "Tap"
        measure = "centre line"
        a = "wire"
        b = "pole"
        voltage = "circuit"
        need = [{ value = 0, per_kv = 1 }]
        source = { document = "a test", how_known = "house" }
        """,
    )
    tap = circuit("tap", 7.2)
    records = [seat("high", 400.0, out_in=40.0), seat("low", 360.0, out_in=40.0)]
    checked = judged(
        job(
            *(C12, tap, Span("north", "N", 0.0, 1800.0), *pole(45), *records),
            wire("line", "12", "north", "high", phase=phases[0]),
            wire("tapped", "tap", "north", "low", phase=phases[1]),
            Join("join", "line", "tapped", (JoinPlace("after", made),)),
        ),
        book,
    )
    assert checked.the("mine.one", "tapped", "pole").need == pytest.approx(kv)
