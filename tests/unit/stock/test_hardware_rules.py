"""The rules of completeness as data: every word in them means something."""

from __future__ import annotations

from collections import Counter
from typing import get_args

from framer.model.item import ItemKind
from framer.stock.bolts import bolt_rules
from framer.stock.catalogue import catalogue
from framer.stock.hardware import hardware_rules
from framer.stock.part import InsulatorPart, WirePart
from framer.takeoff.added import ANCHOR, PAIR

KINDS = {*get_args(ItemKind), "join", "wire"}


def test_ids_are_given_once() -> None:
    rules = hardware_rules()
    ids = Counter(rule.id for rule in (*rules.adds, *rules.balance))
    assert set(ids.values()) == {1}
    names = Counter(rule.name for rule in rules.adds if rule.name)
    assert set(names.values()) == {1}  # a typed line answers for one of them


def test_kinds_styles_hosts_parts_and_metals_are_those_there_are() -> None:
    parts = catalogue()
    styles = {part.style for part in parts.values() if isinstance(part, InsulatorPart)}
    metals = {part.material for part in parts.values() if isinstance(part, WirePart)}
    rules = hardware_rules()
    for rule in rules.adds:
        assert set(rule.to) <= KINDS
        assert set(rule.style) <= styles
        assert {*rule.on, *rule.not_on} <= KINDS | {PAIR, ANCHOR}
        assert set(rule.metal) <= metals
    for begins in (one for rule in (*rules.adds, *rules.instead) for one in rule.parts):
        assert any(key.startswith(begins) for key in parts), begins
    assert all(set(rule.to) <= KINDS for rule in rules.goes)
    assert rules.goes[-1].to == ()  # the last one takes what no other does


def test_balances_name_lines_that_can_be_on_a_list() -> None:
    rules, parts = hardware_rules(), catalogue()
    washers = {size.washer for size in bolt_rules().size}
    dias = ("1/2", "5/8", "3/4", "7/8")
    known = {piece.name for part in parts.values() for piece in part.hardware} | washers
    known |= {rule.name for rule in rules.adds}
    for kind in ("Machine bolt", "Double-arming bolt", "square nut"):
        known |= {f"{kind} {dia} in" for dia in dias}
    for rule in rules.balance:
        for name, factor in (*rule.left, *rule.right):
            assert factor > 0
            what, _, word = name.partition(":")
            if word:
                assert any(str(getattr(part, what, "")) == word for part in parts.values()), name
            else:
                assert any(one.startswith(name) for one in known), name
