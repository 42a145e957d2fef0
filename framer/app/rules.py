"""`framer rules`: what the rulebooks hold, whether they are well made, and what they leave out."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct

from framer.checks.bookshelf import book_ids, read_rulebook, rulebook
from framer.checks.explain import MEASURE_WORDS, VOLTAGE_WORDS
from framer.checks.requirement import NO_SAGS, arithmetic, covers, required_at
from framer.checks.rulebook import Rule, Rulebook
from framer.errors import DataFileError, FramerError
from framer.resources import resources
from framer.stock.source import WORDS


def print_books() -> None:
    """Print every book: id, name, edition, how many rules, and how they are known."""
    for key in book_ids():
        book = rulebook(key)
        facts = book.book
        known = Counter(rule.source.how_known for rule in book.rules)
        partly = ", partial" if facts.partial else ""
        counts = ", ".join(f"{count} {how}" for how, count in sorted(known.items()))
        print(f"{key:16} {facts.title}{partly}")
        print(f"{'':16} {facts.jurisdiction}; {len(book.rules)} rules: {counts}")
        for problem in book.problems:
            print(f"!! {problem}")


def print_book(book: Rulebook, kv: float | None) -> None:
    """Print the rules of a book; at a voltage also what each requires there."""
    print(book.book.title)
    if book.book.note:
        print(book.book.note)
    for rule in book.rules:
        warning = f" [{WORDS[rule.source.how_known]}]" if WORDS[rule.source.how_known] else ""
        between = f"{rule.a} and {rule.b}" if rule.b else rule.a
        print(f"\n{rule.id}: {rule.title}{warning}")
        print(f"  {MEASURE_WORDS[rule.measure]}, {between}; covers {covers(rule)}")
        if kv is not None:
            print(f"  {_at(rule, kv)}")
        print(f"  {rule.source.words()}")


def _at(rule: Rule, kv: float) -> str:
    found = required_at(rule, kv, NO_SAGS)
    if rule.voltage == "none":
        return f"asks {arithmetic(rule, found) or found.missing or 'nothing'}"
    at = f"at {kv:g} kV {VOLTAGE_WORDS[rule.voltage]}"
    if found.nothing:
        return f"{at} asks nothing"
    return f"{at}: {arithmetic(rule, found) or f'cannot say: {found.missing}'}"


def lint(paths: Sequence[Path]) -> list[DataFileError]:
    """Everything wrong with the rule files named, or with all that are shipped."""
    files = paths or [resources() / "rules" / f"{key}.toml" for key in book_ids()]
    found: list[DataFileError] = []
    for path in files:
        book = read_rulebook(path, path.parent)
        found.extend(book.problems)
        if book.book.id != path.stem:
            problem = f"id: expected '{path.stem}', the name of its file"
            found.append(DataFileError(path.name, "[book]", problem))
        for rule in book.rules:
            source = rule.source
            placed = source.edition or source.place or source.how_known not in ("read", "memory")
            if not (source.document and placed):
                problem = "source: expected the document, and an edition or place in it"
                found.append(DataFileError(path.name, rule.id, problem))
    return found


class CoverageLine(Struct, frozen=True):
    """One row of a table of rules: the rules that hold it, or why none does."""

    table: str
    row: str
    rules: tuple[str, ...]
    reason: str


def coverage() -> Iterator[CoverageLine]:
    """Every row of the tables the books were made from.

    Raises:
        DataFileError: a line has neither rule nor reason, or names a rule there is not.
    """
    ids = {rule.id for key in book_ids() for rule in rulebook(key).rules}
    ids |= {rule.replaces for key in book_ids() for rule in rulebook(key).rules}
    for path in sorted((resources() / "rules" / "coverage").glob("*.csv")):
        with path.open(newline="", encoding="utf-8") as file:
            for record in csv.DictReader(file):
                rules = tuple(record["rule"].split())
                line = CoverageLine(path.stem, record["row"], rules, record["reason"])
                if bool(line.rules) == bool(line.reason):
                    raise DataFileError(path.name, line.row, "expected a rule or a reason")
                unknown = [rule for rule in line.rules if rule not in ids]
                if unknown:
                    raise DataFileError(path.name, line.row, f"there is no rule '{unknown[0]}'")
                yield line


def print_coverage() -> None:
    """Print how many rows of each table are held by rules, and why the others are not."""
    tables: dict[str, list[CoverageLine]] = {}
    for line in coverage():
        tables.setdefault(line.table, []).append(line)
    for table, lines in tables.items():
        held = sum(bool(line.rules) for line in lines)
        print(f"{table}: {len(lines)} rows, {held} held by rules")
        reasons = Counter(line.reason for line in lines if line.reason)
        for reason, count in reasons.most_common():
            print(f"  {count:4} {reason}")


def book_named(name: str) -> Rulebook:
    """A book by its id, or by its file.

    Raises:
        FramerError: there is none.
    """
    path = Path(name)
    if path.suffix == ".toml":
        if not path.is_file():
            raise FramerError(f"{name}: there is no such rule file")
        return read_rulebook(path, path.parent)
    return rulebook(name)
