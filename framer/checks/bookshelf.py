"""Rulebooks from their files: every rule read on its own, so that a wrong one spoils no other."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, TypeVar, get_args

import msgspec
import tomli
from msgspec.structs import replace

from framer.checks.rulebook import (
    CHOICES,
    Altitude,
    Band,
    Book,
    Climbing,
    MeasureName,
    Rule,
    Rulebook,
    Table,
    Working,
)
from framer.errors import DataFileError, UnknownNameError
from framer.resources import resources

SINGLE = (
    "above ground",
    "case above ground",
    "middle above ground",
    "clear of the column",
    "below top",
    "insulator class",
    "climbing turn",
    "climbing count",
    "climbing guys apart",
)
"""Measures of one part."""

ONE_OR_TWO = ("climbing space",)
"""Measures of one part, or of one beside another."""

CLIMBING = (
    "climbing space",
    "climbing turn",
    "climbing count",
    "climbing guys apart",
    "clear of the column",
)
"""Measures of a climbing space, which is judged in checks/room.py and checks/spaces.py."""

WORKING = ("working height",)
"""Measures of rules for a working space, which is judged in checks/working.py."""

OF_STEPS: tuple[MeasureName, ...] = ("step order", "supports", "load", "weight")
"""Measures of the steps of a transfer, which no book has numbers for."""

OF_STRENGTH: tuple[MeasureName, ...] = (
    "strength moment",
    "strength load",
    "strength stress",
)
"""Measures of strength, which is judged by a method of resources/strength and by no book."""

_WORKING_WHEN = ("ground_kv", "arms_at_most", "all_covered")
"""Conditions that a rule for a working height may have, and no other."""

_CLIMBING_WHEN = ("joint_use", "closer_than_in", "a_above", "built")
"""Conditions that a rule for a climbing space may have."""

MOST_BYTES = 16 * 1024 * 1024
"""A larger file is refused before it is read."""

_PLAIN = ("value", "per_kv", "per_step", "plus", "root", "girth", "floor")


def rulebook(key: str, folder: Path | None = None) -> Rulebook:
    """The rulebook with this id: from the job's own `folder` of rules, else from resources/rules.

    Raises:
        UnknownNameError: there is no such book.
        DataFileError: its file is no rulebook.
    """
    path = _path(key, folder)
    return _read_once(path, *_stamp(path), folder)


def book_ids(folder: Path | None = None) -> tuple[str, ...]:
    """Ids of all books there are, which are the names of their files."""
    return tuple(sorted({*_shipped(), *(own_books(folder) if folder else ())}))


def own_books(folder: Path) -> tuple[str, ...]:
    """Ids of the books in a job's own folder of rules; none where there is no such folder."""
    return tuple(sorted(path.stem for path in folder.glob("*.toml")))


@cache
def _shipped() -> tuple[str, ...]:
    return tuple(sorted(path.stem for path in (resources() / "rules").glob("*.toml")))


def _path(key: str, folder: Path | None) -> Path:
    if folder is not None and (folder / f"{key}.toml").is_file():
        return folder / f"{key}.toml"
    if key not in _shipped():
        raise UnknownNameError("rulebook", key, book_ids(folder))
    return resources() / "rules" / f"{key}.toml"


def _stamp(path: Path) -> tuple[int, int, int]:
    """What changes when a file is written again, even at once and with as many letters."""
    facts = path.stat()
    return facts.st_mtime_ns, facts.st_size, facts.st_ino


@cache
def _read_once(path: Path, _changed: int, _size: int, _place: int, folder: Path | None) -> Rulebook:
    return read_rulebook(path, folder)


def read_rulebook(path: Path, folder: Path | None = None) -> Rulebook:
    """The rulebook in one file; wrong rules are listed in it and the rest still load.

    Raises:
        DataFileError: the file is no rulebook at all.
    """
    try:
        is_huge = path.stat().st_size > MOST_BYTES
        data = {} if is_huge else tomli.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise DataFileError(path.name, "", f"cannot be read: {error.strerror}") from error
    except (ValueError, RecursionError) as error:  # no TOML, no UTF-8, or far too deep or long
        raise DataFileError(path.name, "", f"is not TOML: {error}") from error
    if is_huge:
        problem = f"is larger than {MOST_BYTES // 1024**2} MB, which no rulebook is"
        raise DataFileError(path.name, "", problem)
    unknown = sorted(set(data) - {"book", "table", "altitude", "climbing", "working", "rule"})
    if unknown:
        raise DataFileError(
            path.name,
            "",
            "expected [book], [[table]], [[altitude]], [climbing], [working] and [[rule]] only, "
            f"not '{unknown[0]}'",
        )
    try:
        book = msgspec.convert(data.get("book"), type=Book)
    except msgspec.ValidationError as error:
        raise DataFileError(path.name, "[book]", str(error)) from error
    base = _base(book, path, folder)
    problems = list(base.problems)
    climbing = _room(path, "climbing", Climbing, data, problems) or base.climbing
    working = _room(path, "working", Working, data, problems) or base.working
    tables = _tables(path, "table", Table, data.get("table", []), problems)
    factors = _tables(path, "altitude", Altitude, data.get("altitude", []), problems)
    rules: dict[str, Rule] = {}
    for entry, record in _records(path, "rule", data.get("rule", [])):
        try:
            rule = _with_tables(msgspec.convert(record, type=Rule), tables, factors)
            wrong = rule_problem(rule, book) or _misplaced(rule, rules, base)
        except msgspec.ValidationError as error:
            problems.append(DataFileError(path.name, entry, _refusal(error)))
            continue
        if wrong:
            problems.append(DataFileError(path.name, entry, wrong))
        else:
            rules[rule.id] = rule
    replaced = {rule.replaces for rule in rules.values()}
    kept = [rule for rule in base.rules if rule.id not in replaced]
    return Rulebook(book, (*kept, *rules.values()), tuple(problems), climbing, working)


Room = TypeVar("Room", Climbing, Working)


def _room(
    path: Path, name: str, record_type: type[Room], data: dict[str, Any],
    problems: list[DataFileError],
) -> Room | None:  # fmt: skip
    """What a book says of its room to climb or to work; nothing where it has none of its own."""
    if name not in data:
        return None
    try:
        return msgspec.convert(data[name], type=record_type)
    except msgspec.ValidationError as error:
        problems.append(DataFileError(path.name, f"[{name}]", _refusal(error)))
        return None


def _base(book: Book, path: Path, folder: Path | None) -> Rulebook:
    """The book that this one changes; an empty one where it stands by itself."""
    if not book.base:
        return Rulebook(book, ())
    if book.base == book.id:
        raise DataFileError(path.name, "[book]", "base: a book cannot change itself")
    try:
        base = rulebook(book.base, folder)
    except UnknownNameError as error:
        raise DataFileError(path.name, "[book]", f"base: {error}") from error
    if base.book.base:
        raise DataFileError(path.name, "[book]", f"base: '{book.base}' changes a book itself")
    return base


def _records(path: Path, kind: str, records: object) -> Iterator[tuple[str, Any]]:
    if not isinstance(records, list):
        raise DataFileError(path.name, f"[{kind}]", f"expected every {kind} under [[{kind}]]")
    for number, record in enumerate(records, start=1):
        named = record.get("id", "") if isinstance(record, dict) else ""
        yield f"{kind} {number} '{named}'", record


Listed = TypeVar("Listed", Table, Altitude)


def _tables(
    path: Path, kind: str, record_type: type[Listed], records: object, problems: list[DataFileError]
) -> dict[str, Listed]:
    """The tables of one kind by id, those with rising rows."""
    tables: dict[str, Listed] = {}
    for entry, record in _records(path, kind, records):
        try:
            table = msgspec.convert(record, type=record_type)
        except msgspec.ValidationError as error:
            problems.append(DataFileError(path.name, entry, _refusal(error)))
            continue
        listed = [first for first, _ in table.rows]
        if not listed or listed != sorted(set(listed)):
            what = "voltages" if record_type is Table else "heights"
            problems.append(DataFileError(path.name, entry, f"rows: expected rising {what}"))
        else:
            tables[table.id] = table
    return tables


def _with_tables(rule: Rule, tables: dict[str, Table], factors: dict[str, Altitude]) -> Rule:
    """The rule with the rows of the tables it names.

    Raises:
        msgspec.ValidationError: there is no such table, or its unit is another.
    """
    bands = []
    for number, band in enumerate(rule.need):
        filled = band
        if band.plus and isinstance(band.plus, str):
            table = tables.get(band.plus)
            if table is None or table.unit != band.unit:
                raise msgspec.ValidationError(
                    f"need[{number}].plus: expected a table of this book in {band.unit}, "
                    f"not '{band.plus}'"
                )
            filled = replace(filled, plus=table.rows, plus_highest=table.highest)
        if band.altitude and isinstance(band.altitude, str):
            if band.altitude not in factors:
                raise msgspec.ValidationError(
                    f"need[{number}].altitude: expected an [[altitude]] of this book, "
                    f"not '{band.altitude}'"
                )
            filled = replace(filled, altitude=factors[band.altitude].rows)
        bands.append(filled)
    return replace(rule, need=tuple(bands))


def _refusal(error: msgspec.ValidationError) -> str:
    """What the decoder refused and where; of a field that takes a few words, which they are."""
    text = str(error)
    field = re.search(r"\.(\w+)(?:\[\d+\])?`$", text)
    if not (text.startswith("Invalid enum value") and field and field[1] in CHOICES):
        return text
    return f"{text}: expected one of {', '.join(get_args(CHOICES[field[1]]))}"


def _misplaced(rule: Rule, above: dict[str, Rule], base: Rulebook) -> str:
    """What is wrong with a rule beside the others."""
    if rule.id in above:
        return "id: taken by a rule above"
    if rule.replaces and rule.replaces not in {one.id for one in base.rules}:
        return f"replaces: expected a rule of the book it is based on, not '{rule.replaces}'"
    if rule.eases and rule.eases not in {*above, *(one.id for one in base.rules)}:
        return f"eases: expected a rule above, not '{rule.eases}'"
    return ""


def rule_problem(rule: Rule, book: Book) -> str:
    """What is wrong with a rule beyond its types; empty when nothing is."""
    if not rule.id.startswith(f"{book.id}."):
        return f"id: expected one that starts with '{book.id}.'"
    if rule.id in book.retired:
        return "id: expected a new one, this one is retired"
    if not rule.need:
        return "need: expected at least one band"
    single = rule.measure in SINGLE
    if rule.measure not in ONE_OR_TWO and single == (rule.b is not None):
        return f"b: measure '{rule.measure}' takes {'one selector' if single else 'two selectors'}"
    if rule.measure in CLIMBING:
        given = (name for name in rule.when.__struct_fields__ if name not in _CLIMBING_WHEN)
        asked = next((name for name in given if getattr(rule.when, name) is not None), "")
        if asked:
            return f"when.{asked}: not judged of a climbing space"
    if rule.measure in OF_STEPS:
        return f"measure: '{rule.measure}' is judged of the steps of a job and by no book"
    if rule.measure in OF_STRENGTH:
        return f"measure: '{rule.measure}' is judged by a strength method and by no book"
    wrong = _working_problem(rule)
    if wrong:
        return wrong
    if rule.box and rule.measure not in ("horizontal", "vertical", "mid-span"):
        return "box: only horizontal, vertical and mid-span rules stand in a box"
    if rule.box and rule.most:
        return "most: not in a box"
    if rule.relaxes and not rule.reason:
        return "reason: expected why the rule may be relaxed"
    return _bands_problem(rule)


def _working_problem(rule: Rule) -> str:
    """What is wrong with a rule about a working height, or with one that has its conditions."""
    given = [name for name in rule.when.__struct_fields__ if getattr(rule.when, name) is not None]
    if rule.measure in WORKING:
        asked = next((name for name in given if name not in _WORKING_WHEN), "")
        if asked:
            return f"when.{asked}: not judged of a working height"
        if (rule.a, rule.b) != ("arm", "arm"):
            return "a: a working height is between an arm and an arm"
        if rule.eases and not rule.reason:
            return "reason: expected under which conditions it will do"
        return ""
    if rule.measure == "working space":
        return "measure: a working space stands in [working], its height is a 'working height'"
    asked = next((name for name in given if name in _WORKING_WHEN), "")
    if asked:
        return f"when.{asked}: judged of a working height only"
    return "eases: only a working height is eased" if rule.eases else ""


def _bands_problem(rule: Rule) -> str:
    last = 0.0
    for number, band in enumerate(rule.need):
        where = f"need[{number}]"
        wrong = _band_problem(rule, band)
        if wrong:
            return where + wrong
        end = band.end_kv
        if end is None:
            if number != len(rule.need) - 1:
                return f"{where}: only the last band may be open (no up_to_kv)"
        elif end <= last:
            return f"{where}.up_to_kv: expected more than {last:g}, the band before"
        if band.from_kv is not None and band.from_kv < last:
            return f"{where}.from_kv: expected {last:g} or more, the end of the band before"
        last = end or last
    return ""


def _band_problem(rule: Rule, band: Band) -> str:
    given = [any(_said(band, name) for name in _PLAIN), bool(band.unknown), band.nothing]
    if sum(given) != 1:
        return ": expected exactly one of value, unknown, nothing"
    if band.up_to_kv is not None and band.under_kv is not None:
        return ".under_kv: expected up_to_kv or under_kv, not both"
    if rule.voltage == "none" and (band.end_kv is not None or band.per_kv or band.plus):
        return ": a band by voltage needs the rule's voltage basis"
    if bool(band.per_step) != (band.step_kv is not None):
        return ".per_step: goes with step_kv"
    if rule.lookup != "bands" and band.up_to_kv is None and not (band.unknown or band.nothing):
        return ".up_to_kv: expected the listed voltage"
    return ""


def _said(band: Band, name: str) -> bool:
    """Whether a field says something else than nothing."""
    return bool(getattr(band, name) != getattr(Band(), name))
