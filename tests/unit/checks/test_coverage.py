"""The tables of printed rows: every row is held by a rule or says why not, every rule by a row."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

import pytest

from framer.checks.bookshelf import book_ids, rulebook
from framer.resources import resources

TABLES = sorted((resources() / "rules" / "coverage").glob("*.csv"))
OWN = {key: {rule.id for rule in rulebook(key).rules if rule.book == key} for key in book_ids()}
"""Ids of each book's own rules, without those of a book it changes."""


class Line(NamedTuple):
    """One line of a table."""

    table: str
    row: str
    rules: tuple[str, ...]
    reason: str


def lines(path: Path) -> list[Line]:
    with path.open(newline="", encoding="utf-8") as file:
        reader = csv.DictReader(file)
        assert reader.fieldnames == ["row", "rule", "reason"]
        return [
            Line(path.stem, one["row"], tuple(one["rule"].split()), one["reason"]) for one in reader
        ]


EVERY = [line for path in TABLES for line in lines(path)]
REACHED = {rule for line in EVERY for rule in line.rules}


def names(path: Path) -> str:
    return path.stem


def test_the_tables_of_other_places_and_of_osha_are_there() -> None:
    found = {path.stem: len(lines(path)) for path in TABLES}
    assert found["rules_intl"] >= 393
    assert found["osha"] >= 91


@pytest.mark.parametrize("path", TABLES, ids=names)
def test_no_row_stands_twice_and_none_is_without_a_name(path: Path) -> None:
    rows = [line.row for line in lines(path)]
    assert rows
    assert all(row.strip() == row != "" for row in rows)
    assert {row for row in rows if rows.count(row) > 1} == set()


@pytest.mark.parametrize("path", TABLES, ids=names)
def test_every_row_has_rules_or_a_reason_and_not_both(path: Path) -> None:
    wrong = [line.row for line in lines(path) if bool(line.rules) == bool(line.reason.strip())]
    assert wrong == []


@pytest.mark.parametrize("path", TABLES, ids=names)
def test_a_reason_is_one_short_plain_line(path: Path) -> None:
    for line in lines(path):
        assert len(line.reason) <= 100, line.row
        assert not line.reason.endswith("."), line.row
        assert len(line.rules) == len(set(line.rules)), line.row


@pytest.mark.parametrize("path", TABLES, ids=names)
def test_every_rule_named_stands_in_its_book(path: Path) -> None:
    lost = {
        rule
        for line in lines(path)
        for rule in line.rules
        if rule not in OWN.get(rule.partition(".")[0], set())
    }
    assert lost == set()


NAMED = sorted({rule.partition(".")[0] for rule in REACHED})


@pytest.mark.parametrize("key", NAMED)
def test_every_rule_of_a_book_the_tables_name_comes_from_a_row(key: str) -> None:
    assert OWN[key] - REACHED == set()


def test_the_tables_name_every_book_but_the_examples_of_ours() -> None:
    assert set(book_ids()) - set(NAMED) == {"house"}
