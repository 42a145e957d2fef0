"""The kinds of house rules: each makes a sound rule, and what was typed comes back from it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.bookshelf import rule_problem, rulebook
from framer.checks.housekinds import Draft, draft_of, house_rule, kinds, new_rule_id
from framer.checks.requirement import requirement
from framer.checks.rulebook import Band, Book, Range, Rule
from framer.checks.voltage import Wired
from framer.model.line import Circuit
from framer.stock.source import Source

BOOK = Book("own", "Own", "1")
TYPED = Draft("wires-apart", "Wires apart", 42.0, None, "Standard 12")


def asked(rule: Rule, kv: float) -> float | None:
    """What a rule asks between two wires of a circuit, inches; `None` for nothing."""
    circuit = Circuit("c", "C", kv=kv)
    return requirement(rule, (Wired(circuit, False), Wired(circuit, False)), 34.5).need


@pytest.mark.parametrize("key", kinds())
def test_every_kind_makes_a_rule_a_book_may_hold(key: str) -> None:
    rule = house_rule(replace(TYPED, kind=key), "own.x")
    assert rule_problem(rule, BOOK) == ""
    assert rule.source.how_known == "house"
    assert kinds()[key].measured


@pytest.mark.parametrize("key", kinds())
@pytest.mark.parametrize("up_to_kv", [None, 15.0])
def test_what_was_typed_comes_back_from_the_rule(key: str, up_to_kv: float | None) -> None:
    draft = replace(TYPED, kind=key, up_to_kv=up_to_kv, relaxes="x.y", reason="tested")
    assert draft_of(house_rule(draft, "own.x")) == draft


@given(st.floats(0.001, 12_000.0))
def test_metres_come_back_to_the_micron(keep_in: float) -> None:
    rule = house_rule(replace(TYPED, keep_in=keep_in), "own.x", metric=True)
    back = draft_of(rule)
    assert back is not None
    assert back.keep_in == pytest.approx(keep_in, abs=0.001 / 25.4)
    assert rule.need[0].unit == "m"


def test_a_metric_number_is_kept_as_typed() -> None:
    rule = house_rule(replace(TYPED, keep_in=1190 / 25.4), "own.x", metric=True)
    assert rule.need == (Band(value=1.19, unit="m"),)


def test_a_rule_for_circuits_up_to_a_voltage_asks_nothing_above_it() -> None:
    rule = house_rule(replace(TYPED, up_to_kv=15.0), "own.x")
    assert asked(rule, 15.0) == 42.0
    assert asked(rule, 15.001) is None
    assert asked(house_rule(TYPED, "own.x"), 500.0) == 42.0


@pytest.mark.parametrize(
    "change",
    [
        {"note": "by hand"},
        {"most": True},
        {"at_limit": "short"},
        {"stages": ("framed",)},
        {"source": Source("Standard 12", "read")},
        {"source": Source("Standard 12", "house", edition="3")},
        {"need": (Band(value=40.0, per_kv=1.0),)},
        {"need": (Band(unknown="not known"),)},
    ],
)
def test_a_rule_no_form_can_say_is_left_to_its_file(change: dict[str, object]) -> None:
    assert draft_of(replace(house_rule(TYPED, "own.x"), **change)) is None


def test_a_rule_with_a_condition_of_its_own_is_left_to_its_file() -> None:
    rule = house_rule(TYPED, "own.x")
    narrower = replace(rule, when=replace(rule.when, a_kv=Range(up_to=15.0)))
    assert draft_of(narrower) is None


def test_numbers_printed_in_feet_can_be_typed_over() -> None:
    rule = replace(house_rule(TYPED, "own.x"), need=(Band(value=3.5, unit="ft"),))
    assert draft_of(rule) == TYPED


def test_the_shipped_house_rules_can_be_said_by_the_form_but_for_their_sources() -> None:
    """So that the example is one a person could have typed; a voltage class is no length."""
    said = {}
    for rule in rulebook("house").rules:
        plain = replace(rule, source=Source("x", "house"), note="")
        draft = draft_of(plain)
        said[rule.id] = draft.kind if draft else ""
    assert [rule for rule, kind in said.items() if not kind] == ["house.insulator-class"]
    known = {
        "house.nearby-wire": "nearby-wires",
        "house.nearby-pole": "nearby-pole",
        "house.nearby-arm": "nearby-arm",
        "house.line-to-buck-arm": "buck-under-line-arm",
        "house.top-margin": "arm-below-top",
        "house.supply-to-communications": "supply-over-communications",
        "house.bore-spacing": "bores-apart",
        "house.bore-top": "bore-top",
        "house.factory-bore-top": "factory-bore-top",
        "house.bore-to-gain": "bore-to-gain",
        "house.space-wire": "wires-off-a-space",
        "house.space-guy": "guys-off-a-space",
        "house.space-case": "cases-off-a-space",
        "house.space-nearby": "nearby-off-a-space",
        "house.space-arm": "arms-off-a-space",
        "house.space-run": "runs-off-a-space",
        "house.space-space": "spaces-apart",
        "house.space-column": "column-off-a-space",
        "house.meter-low": "meter-low",
        "house.meter-high": "meter-high",
    }
    assert {rule: said[rule] for rule in known} == known


def test_no_number_comes_with_animals_and_birds() -> None:
    assert [key for key in kinds() if key.startswith("animals")]
    assert not {"need", "value", "keep_in"}.intersection(
        kinds()["animals-phases"].__struct_fields__
    )


def test_an_id_is_the_kind_and_a_number_where_that_is_taken() -> None:
    assert new_rule_id("own", "apart", ()) == "own.apart"
    assert new_rule_id("own", "apart", {"own.apart", "own.apart-2"}) == "own.apart-3"
