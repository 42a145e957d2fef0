"""Rulebooks: what has to be kept, as data read from resources/rules/*.toml."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

import msgspec
import tomli
from msgspec import Meta, Struct

from framer.errors import DataFileError, UnknownNameError
from framer.model.line import GroundUse
from framer.resources import resources
from framer.stock.source import HowKnown, Source

MeasureName = Literal[
    "slant",
    "vertical",
    "horizontal",
    "surface",
    "centre line",
    "above ground",
    "arm spacing",
    "clear square",
    "below top",
    "insulator class",
]
"""The measures there are; what each means is in checks/measures.py."""

Selector = Literal[
    "wire",
    "supply wire",
    "phase",
    "neutral",
    "open supply wire",
    "supply cable",
    "service drop",
    "communications",
    "nearby wire",
    "nearby supply",
    "nearby communications",
    "pole",
    "arm",
    "guy",
    "anchor guy",
    "span guy",
    "case",
    "live part",
    "run",
    "insulator",
]
"""What a rule can speak of."""

Basis = Literal["none", "between", "to ground", "circuit", "highest circuit", "conductor"]
"""Which voltage picks the band: between the two wires, of the first to ground, of the first
between phases, the highest between phases of all circuits concerned, or that highest with
grounded neutrals left out."""

RuleStage = Literal["found", "temporary", "crew leaves", "framed"]
Unit = Literal["in", "ft", "m", "mm", "kV"]
Convention = Literal["centre", "surface", "centre from 5 in"]
Likeness = Literal["same", "different"]

_CHOICES: dict[str, Any] = {
    "measure": MeasureName,
    "a": Selector,
    "b": Selector,
    "stages": RuleStage,
    "convention": Convention,
    "voltage": Basis,
    "unit": Unit,
    "how_known": HowKnown,
    "circuit": Likeness,
    "owner": Likeness,
    "level": Likeness,
    "over": GroundUse,
}
"""What may stand in each field that takes one of a few words."""

INCHES_PER: dict[Unit, float] = {
    "in": 1.0,
    "ft": 12.0,
    "m": 1000 / 25.4,
    "mm": 1 / 25.4,
    "kV": 1.0,
}


class Band(Struct, frozen=True, forbid_unknown_fields=True):
    """What is required in one voltage band, above the band before it up to and with `up_to_kv`.

    `value` is as printed in `unit`; `per_kv` is added for each kV over `over_kv`, pro rata.
    `unknown` says, instead of a value, what the book would say but is not known here; `nothing`
    that the book asks nothing in this band.
    """

    value: Annotated[float, Meta(ge=0.0)] | None = None
    unit: Unit = "in"
    up_to_kv: Annotated[float, Meta(gt=0.0)] | None = None
    per_kv: Annotated[float, Meta(ge=0.0)] = 0.0
    over_kv: Annotated[float, Meta(ge=0.0)] = 0.0
    unknown: str = ""
    nothing: bool = False


class When(Struct, frozen=True, forbid_unknown_fields=True):
    """Conditions a pair must meet for the rule to speak of it; all given ones must hold.

    `joint_use`: the pole carries both supply and communications. `style`: how the
    first wire is held. `closer_than_in`: strictly closer up and down. `over`: what the span
    crosses.
    """

    circuit: Likeness | None = None
    owner: Likeness | None = None
    level: Likeness | None = None
    joint_use: bool | None = None
    style: str | None = None
    not_style: str | None = None
    closer_than_in: float | None = None
    over: GroundUse | None = None


class Rule(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One requirement of a book.

    `box` names a group of horizontal and vertical rules of one book that are met together: a pair
    is short only where it is short both ways. `convention`: distances between centre lines, or
    between surfaces, or (GO 95 rule 38) centre lines for 5 in and more and surfaces for less.
    """

    id: str
    title: str
    measure: MeasureName
    a: Selector
    b: Selector | None = None
    when: When = When()
    stages: tuple[RuleStage, ...] = ("found", "crew leaves", "framed")
    convention: Convention = "centre"
    voltage: Basis = "none"
    need: tuple[Band, ...]
    box: str | None = None
    source: Source
    note: str = ""

    @property
    def book(self) -> str:
        """The book this rule is of."""
        return self.id.partition(".")[0]


class Book(Struct, frozen=True, forbid_unknown_fields=True):
    """A rulebook's own facts."""

    id: str
    name: str
    edition: str
    jurisdiction: str = ""
    note: str = ""


class Rulebook(Struct, frozen=True, eq=False):
    """A book and its rules; `problems` lists rules that could not be read.

    Compared by identity: a book is read once.
    """

    book: Book
    rules: tuple[Rule, ...]
    problems: tuple[DataFileError, ...] = ()


def _refusal(error: msgspec.ValidationError) -> str:
    """What the decoder refused and where; of a field that takes a few words, which they are."""
    text = str(error)
    field = re.search(r"\.(\w+)(?:\[\d+\])?`$", text)
    if not (text.startswith("Invalid enum value") and field and field[1] in _CHOICES):
        return text
    return f"{text}: expected one of {', '.join(get_args(_CHOICES[field[1]]))}"


def _problem(rule: Rule, book: Book) -> str:
    """What is wrong with a rule beyond its types; empty when nothing is."""
    if not rule.id.startswith(f"{book.id}."):
        return f"id: expected one that starts with '{book.id}.'"
    if not rule.need:
        return "need: expected at least one band"
    single = rule.measure in ("above ground", "below top", "insulator class")
    if single == (rule.b is not None):
        return f"b: measure '{rule.measure}' takes {'one selector' if single else 'two selectors'}"
    last = 0.0
    for number, band in enumerate(rule.need):
        given = [band.value is not None, bool(band.unknown), band.nothing]
        if sum(given) != 1:
            return f"need[{number}]: expected exactly one of value, unknown, nothing"
        if band.up_to_kv is None:
            if number != len(rule.need) - 1:
                return f"need[{number}]: only the last band may be open (no up_to_kv)"
        elif band.up_to_kv <= last:
            return f"need[{number}].up_to_kv: expected more than {last:g}, the band before"
        else:
            last = band.up_to_kv
        if rule.voltage == "none" and (band.up_to_kv is not None or band.per_kv):
            return f"need[{number}]: a band by voltage needs the rule's voltage basis"
    if rule.box and rule.measure not in ("horizontal", "vertical"):
        return "box: only horizontal and vertical rules stand in a box"
    return ""


def read_rulebook(path: Path) -> Rulebook:
    """The rulebook in one file; wrong rules are listed in it and the rest still load.

    Raises:
        DataFileError: the file is no rulebook at all.
    """
    try:
        data = tomli.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise DataFileError(path.name, "", f"cannot be read: {error.strerror}") from error
    except (tomli.TOMLDecodeError, UnicodeDecodeError) as error:
        raise DataFileError(path.name, "", f"is not TOML: {error}") from error
    unknown = sorted(set(data) - {"book", "rule"})
    if unknown:
        raise DataFileError(path.name, "", f"expected [book] and [[rule]] only, not '{unknown[0]}'")
    try:
        book = msgspec.convert(data.get("book"), type=Book)
    except msgspec.ValidationError as error:
        raise DataFileError(path.name, "[book]", str(error)) from error
    rules: dict[str, Rule] = {}
    problems = []
    records = data.get("rule", [])
    if not isinstance(records, list):
        raise DataFileError(path.name, "[rule]", "expected every rule under [[rule]]")
    for number, record in enumerate(records, start=1):
        named = record.get("id", "") if isinstance(record, dict) else ""
        entry = f"rule {number} '{named}'"
        try:
            rule = msgspec.convert(record, type=Rule)
        except msgspec.ValidationError as error:
            problems.append(DataFileError(path.name, entry, _refusal(error)))
            continue
        wrong = _problem(rule, book) or ("id: taken by a rule above" if rule.id in rules else "")
        if wrong:
            problems.append(DataFileError(path.name, entry, wrong))
        else:
            rules[rule.id] = rule
    return Rulebook(book, tuple(rules.values()), tuple(problems))


@cache
def rulebook(key: str) -> Rulebook:
    """The rulebook with this id from resources/rules.

    Raises:
        UnknownNameError: there is no such book.
        DataFileError: its file is no rulebook.
    """
    path = resources() / "rules" / f"{key}.toml"
    if key not in book_ids():
        raise UnknownNameError("rulebook", key, book_ids())
    return read_rulebook(path)


@cache
def book_ids() -> tuple[str, ...]:
    """Ids of all books there are, which are the names of their files."""
    return tuple(sorted(path.stem for path in (resources() / "rules").glob("*.toml")))
