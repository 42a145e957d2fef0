"""Every shipped rule file: it loads, says where it is from, and each of its numbers is a limit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import TypeVar

import pytest

from framer.checks.bookshelf import book_ids, rulebook
from framer.checks.finding import Finding
from framer.checks.requirement import Requirement, Sags, requirement
from framer.checks.rulebook import Rule, Rulebook
from framer.checks.voltage import Wired
from framer.model.line import Circuit
from framer.resources import resources
from tests.build import worst
from tests.unit.checks.builders import (
    SIXTEENTH_IN,
    Edge,
    OutOfReachError,
    built,
    edges,
    findings,
    in_space,
    measurable,
    printed_need,
)

BOOKS = book_ids()
RULES = [rule for key in BOOKS for rule in rulebook(key).rules if rule.book == key]
"""Every book's own rules, without those it takes over from another."""
MEASURED = [rule for rule in RULES if measurable(rule)]
EDGES = [edge for rule in MEASURED for edge in edges(rule)]
WITH_A_NUMBER = [edge for edge in EDGES if edge.numbered]
NOT_KNOWN = [edge for edge in EDGES if edge.band.unknown]
NOTHING = [edge for edge in EDGES if edge.band.nothing]

READ_OF_THE_NESC = {
    # on a public page, coldrocks.com/nesc/NESC_vertical_clearance.php, not in the code
    "nesc-2017.232-road-neutral",
    "nesc-2017.232-road-cable",
    "nesc-2017.232-road-communications",
    # in the summary of changes by the code's chairman, 2016
    "nesc-2017.238c-lamp",
}


Of = TypeVar("Of", Edge, Rule)


def of_each_book(things: Iterable[Of]) -> Callable[[Callable[[Of], None]], Callable[..., None]]:
    """Makes of what is checked of one thing a test of all of a book.

    A test of its own for each of thousands would cost more than what it checks.
    """
    by_book: dict[str, list[Of]] = {}
    for one in things:
        rule = one.rule if isinstance(one, Edge) else one
        by_book.setdefault(rule.book, []).append(one)
    assert by_book

    def made(check: Callable[[Of], None]) -> Callable[..., None]:
        def test(of_book: list[Of]) -> None:
            for one in of_book:
                check(one)

        test.__name__, test.__doc__ = check.__name__, check.__doc__
        return pytest.mark.parametrize("of_book", by_book.values(), ids=by_book)(test)

    return made


def test_the_house_rules_and_the_two_codes_with_their_variants_are_shipped() -> None:
    assert {"house", "go95", "go95-older", "nesc-2017", "nesc-2012"} <= set(BOOKS)


@pytest.mark.parametrize("key", BOOKS)
def test_a_shipped_book_loads_whole(key: str) -> None:
    book = rulebook(key)
    assert book.problems == ()
    assert book.book.id == key
    assert book.rules
    text = (resources() / "rules" / f"{key}.toml").read_text(encoding="utf-8")
    own = [rule for rule in book.rules if rule.book == key]
    assert len(own) == len(re.findall(r"^\[\[rule\]\]$", text, re.MULTILINE))


def test_no_two_rules_of_all_books_have_one_id() -> None:
    ids = [rule.id for rule in RULES]
    assert len(set(ids)) == len(ids)


@of_each_book(RULES)
def test_a_rule_names_its_document_and_how_it_is_known(rule: Rule) -> None:
    source = rule.source
    assert source.document.strip()
    if source.how_known in ("read", "memory"):
        assert source.place.strip(), "where in the document"
    # the how_known of a title that says it is recalled, and of one that does not
    assert ("recalled from memory" in source.document) == (source.how_known == "memory")


@of_each_book(rulebook("nesc-2017").rules)
def test_a_rule_of_the_nesc_is_from_memory_unless_it_was_read(rule: Rule) -> None:
    read = rule.id in READ_OF_THE_NESC
    assert rule.source.how_known == ("read" if read else "memory")
    assert ("from memory - check in your copy" in rule.source.words()) != read
    numbers = any(band.value is not None for band in rule.need)
    if numbers and not read:
        assert re.match(r"(Confidence (high|moderate|LOW)|To be verified)\b", rule.note)


def test_go_95_asks_only_for_what_was_read() -> None:
    # what is known from memory or an old edition has no number (the traps of the source)
    for rule in rulebook("go95").rules:
        if any(band.value is not None for band in rule.need):
            assert rule.source.how_known == "read"
            assert not re.search(r"19[2-7]\d|undated copy|date not shown", rule.source.words())


GO95_NOT_KNOWN = {
    "Figure 54-8 over 35 kV",
    "54.7-A1 and other widths of climbing space",
    "84.7-A2",
    "Table 1 case 8 over 750 V",
    "Table 1 case 8 for communications",
    "Table 1 case 9",
    "Table 1 heights over ground",
    "Table 2 cases 1-7",
    "Table 2 cases 8-13",
    "Table 2 case 14",
    "Table 2 case 15",
    "Table 2 case 16",
    "Table 2 case 17",
    "Table 2 case 19",
    "52.5 depends on a voltage that is",
    "54.8-B2 drops over private ground",
    "54.9-B1 distance of racks from the pole",
    "54.9-E racks under supply",
    "58.3-A3, 15 or 18 in over 750 V,",
    "56.6 near and exposed guys of 22.5 to 35.5 kV",
    "racks over 750 V",
}


def test_go_95_names_each_subject_it_does_not_know_once() -> None:
    bands = [band for rule in rulebook("go95").rules for band in rule.need]
    named = {
        re.sub(r" (not known here|known only from an undated copy)$", "", band.unknown)
        for band in bands
        if band.unknown
    }
    assert named == {f"GO 95 {subject}" for subject in GO95_NOT_KNOWN}


@of_each_book(NOT_KNOWN)
def test_what_is_not_known_is_said_in_one_short_line(edge: Edge) -> None:
    text = edge.band.unknown
    assert len(text) <= 80
    starts = {"go95": "GO 95 ", "go95-older": "GO 95 ", "nesc-2017": "NESC "}
    assert text.startswith(starts.get(edge.rule.book, ""))
    assert not re.search(r"[\n.]$|\b(safe|approved|compliant)\b", text)


# At the limit: every number of every shipped rule, on real poles, arms, pins and wires. Left out
# are the rules the program itself cannot measure, as builders.py names them.


@of_each_book(MEASURED)
def test_every_rule_is_reached_by_a_builder(rule: Rule) -> None:
    tried = edges(rule)
    assert {edge.number for edge in tried} == set(range(len(rule.need)))
    for edge in tried:
        built(edge)


@of_each_book(WITH_A_NUMBER)
def test_a_gap_exactly_at_the_limit_is_what_the_rule_says_of_it(edge: Edge) -> None:
    finding = alone(edge)
    assert finding.need == pytest.approx(printed_need(edge), abs=1e-9)
    assert finding.gap == pytest.approx(finding.need, abs=1e-6)
    assert finding.verdict == edge.rule.at_limit


@of_each_book(WITH_A_NUMBER)
def test_a_gap_a_sixteenth_on_the_wrong_side_is_short_and_on_the_right_side_meets(
    edge: Edge,
) -> None:
    short = alone(edge, -SIXTEENTH_IN)
    assert short.spare == pytest.approx(-SIXTEENTH_IN, abs=1e-6)
    assert short.verdict == "short"
    if not (edge.rule.most and short.need == 0.0):  # there is nothing under none
        assert alone(edge, SIXTEENTH_IN).verdict == "meets"


@of_each_book(WITH_A_NUMBER)
def test_nothing_else_in_the_book_makes_a_short_gap_good(edge: Edge) -> None:
    """Where rules are met together, the other direction is short here too, or not known."""
    together = [
        other
        for other in met_together(edge.rule)
        # the support and mid-span are one direction: each is short by itself
        if {edge.rule.measure, other.measure} != {"vertical", "mid-span"}
    ]
    found = findings(built(edge, -SIXTEENTH_IN), rulebook(edge.rule.book))
    not_known = {band.unknown for other in together for band in other.need if band.unknown}
    told = [finding for finding in found if finding.rule in together]
    assert "short" in {finding.verdict for finding in found} or told
    for finding in told:
        assert finding.verdict == "short" or finding.missing in not_known


def met_together(rule: Rule) -> list[Rule]:
    """The rules of one box, or the rule alone."""
    return [
        other
        for other in rulebook(rule.book).rules
        if other is rule or (rule.box and other.box == rule.box)
    ]


NOT_READ_OFF_A_TAPE = ("insulator class", "guy insulator")
READ_WITH_A_TOLERANCE = [
    edge
    for edge in WITH_A_NUMBER
    if edge.rule.measure not in NOT_READ_OFF_A_TAPE
    and edge.rule.at_limit == "meets"
    # of places that are typed
    and edge.rule.a not in ("anchor guy", "span guy", "factory bore")
    and (edge.rule.a, edge.rule.measure) != ("guy", "clear of a space")
]


@of_each_book(READ_WITH_A_TOLERANCE)
def test_a_gap_at_the_limit_by_a_reading_of_some_tolerance_is_tight(edge: Edge) -> None:
    tight = alone(edge, tol_in=0.5)
    assert (tight.verdict, tight.tolerance_in) == ("tight", 0.5)
    still, proved = alone(edge, 0.5 - SIXTEENTH_IN, tol_in=0.5), alone(edge, 0.5, tol_in=0.5)
    assert (still.verdict, proved.verdict) == ("tight", "meets")


def alone(edge: Edge, spare: float = 0.0, *, tol_in: float = 0.0) -> Finding:
    """What the rule alone says; of several parts of one thing it says the same."""
    book = Rulebook(rulebook(edge.rule.book).book, (edge.rule,))
    found = findings(built(edge, spare, tol_in=tol_in), book)
    assert len({(one.verdict, round(one.gap or 0.0, 6), one.need) for one in found}) == 1, found
    return found[0]


FORBIDDEN = [rule for rule in RULES if rule.measure == "not allowed" and in_space(rule)]


@of_each_book(edge for rule in FORBIDDEN for edge in edges(rule) if edge.numbered)
def test_what_is_not_allowed_is_short_wherever_it_is(edge: Edge) -> None:
    book = Rulebook(rulebook(edge.rule.book).book, (edge.rule,))
    assert {finding.verdict for finding in findings(built(edge), book)} == {"short"}


@of_each_book(NOT_KNOWN)
def test_what_a_book_does_not_know_is_never_met(edge: Edge) -> None:
    """Of the rules that are met together, too: a gap of plenty must not hide the unknown."""
    rule = edge.rule
    together = met_together(rule)
    texts = {band.unknown for other in together for band in other.need if band.unknown}
    book = Rulebook(rulebook(rule.book).book, tuple(together))
    found = findings(built(edge, 60.0), book)
    assert worst(found) == "cannot say"
    assert {finding.missing for finding in found if finding.verdict == "cannot say"} <= texts


@of_each_book(NOTHING)
def test_a_rule_that_asks_nothing_says_nothing(edge: Edge) -> None:
    found = findings(built(edge, -20.0), rulebook(edge.rule.book))
    assert [finding for finding in found if finding.rule is edge.rule] == []


@of_each_book(RULES)
def test_an_unknown_voltage_asks_no_less_than_any_it_could_be(rule: Rule) -> None:
    for wye in (True, False, None):
        asks_no_less_where_the_voltage_is_not_known(rule, wye)


def asks_no_less_where_the_voltage_is_not_known(rule: Rule, wye: bool | None) -> None:
    up_to_kv, sags = 34.5, Sags(120.0)

    def asked(kv: float | None) -> Requirement:
        first, second = (Circuit(key, key, kv=kv, grounded_wye=wye) for key in ("one", "two"))
        wired = (Wired(first, neutral=False), Wired(second, neutral=False))
        return requirement(rule, wired, up_to_kv, sags)

    unknown = asked(None)
    for kv in (*(tenth / 10 for tenth in range(1, 345)), up_to_kv):
        known = asked(kv)
        if known.missing:
            assert unknown.missing
        elif known.need is not None and not unknown.missing:
            assert unknown.need is not None
            more = known.need - unknown.need if rule.most else unknown.need - known.need
            assert more >= -1e-9, kv


def test_a_rule_no_builder_reaches_is_an_error() -> None:
    (rule, *_) = rulebook("house").rules
    with pytest.raises(OutOfReachError):
        built(Edge(strange(rule), 0, 12.47))


def strange(rule: Rule) -> Rule:
    """The rule, of things there is no builder for."""
    fields = {name: getattr(rule, name) for name in rule.__struct_fields__}
    return Rule(**{**fields, "a": "case", "b": "run", "measure": "surface"})
