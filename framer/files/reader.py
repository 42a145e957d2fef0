"""Reading a job file: everything wrong with one is told in a sentence, and never half a job."""

from __future__ import annotations

import json
import math
from collections.abc import Collection, Iterator
from itertools import chain, islice
from pathlib import Path
from typing import Any, NamedTuple

import msgspec

from framer.checks.bookshelf import book_ids, own_books
from framer.errors import JobFileError
from framer.files.disk import backup_path, cause, file_name, read_bytes
from framer.files.format import FORMAT, upgraded
from framer.files.wording import Odd, got, half_characters, nearest, place_of, quoted, refusal
from framer.model.faults import MOST_THINGS, Fault, faults
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Join, NearbyWire, Wire
from framer.stock.catalogue import catalogue

MOST_VALUES = 2_000_000
"""A file that may hold more values than this is refused before it is taken apart: a hundred for
each record a job may have."""

MOST_FAULTS_SHOWN = 10

_MOST_DIGITS = 300

_EXPECTED = {
    "Expecting value": "a value",
    "Expecting ',' delimiter": "a comma or a closing bracket",
    "Expecting ':' delimiter": "a colon",
    "Expecting property name enclosed in double quotes": "a field name in double quotes",
    "Invalid control character at": "a closing quote before the end of the line",
    "Illegal trailing comma before end of object": "no comma before the closing bracket",
    "Illegal trailing comma before end of array": "no comma before the closing bracket",
    "Extra data": "nothing more",
}


class Opened(NamedTuple):
    """A job as read, and what was changed to bring an old format up to date, in words."""

    job: Job
    changes: tuple[str, ...] = ()


class _DamagedError(JobFileError):
    """The file is no JSON text at all, so most likely it was not always like that."""


def read_job(path: Path) -> Job:
    """The job in a file.

    Raises:
        JobFileError: the file cannot be read or holds no sound job; names the place in it and
            what was expected there.
    """
    return open_job(path).job


def open_job(path: Path) -> Opened:
    """The job in a file, with what changed if the file is of an old format.

    Raises:
        JobFileError: as for `read_job`.
    """
    file = file_name(path)
    data = read_bytes(path)
    try:
        return job_from(data, file, books_beside(path))
    except _DamagedError as damage:
        backup = backup_path(path)
        if not backup.exists():
            raise
        hint = f"{damage.problem}; the version before is in {backup.name}"
        raise JobFileError(file, damage.place, hint) from damage


def books_beside(path: Path) -> tuple[str, ...]:
    """Ids of the rulebooks in the folder `rules` beside a job file.

    Raises:
        JobFileError: the disk does not say.
    """
    try:
        return own_books(path.parent / "rules")
    except (OSError, ValueError) as error:
        problem = f"the folder rules beside it cannot be read: {cause(error)}"
        raise JobFileError(file_name(path), "", problem) from error


def job_from(data: bytes, file: str, books: Collection[str] = ()) -> Opened:
    """The job in the bytes of a file of that name; `books` are ids of rulebooks of its own.

    Raises:
        JobFileError: as for `read_job`.
    """
    document = _document(_text(data, file), file)
    version = _version(document, file)
    record, changes = upgraded(_job_record(document, file), version, file)
    # UTF-8 itself cannot hold half a character, only an escape can
    half = half_characters(record) if b"\\u" in data else None
    if half is not None:
        raise JobFileError(file, place_of(record, half), "expected whole characters, got half one")
    try:
        job = msgspec.convert(record, type=Job)
    except msgspec.ValidationError as error:
        raise JobFileError(file, *refusal(error, record)) from error
    _refuse_faults(job, file, books)
    return Opened(job, changes)


def _text(data: bytes, file: str) -> str:
    if sum(data.count(sign) for sign in b",[{") > MOST_VALUES:
        raise JobFileError(
            file,
            "",
            f"holds more than {MOST_VALUES:,} values; expected a job of at most {MOST_THINGS:,} "
            "records, far more than any pole carries",
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        problem = "expected UTF-8 text, got other bytes; save it as UTF-8"
        raise _DamagedError(file, f"line {line}", problem) from error
    if not text.strip():
        raise _DamagedError(file, "", "is empty; expected a job")
    return text


def _document(text: str, file: str) -> dict[str, object]:
    """The outermost record."""
    try:
        document = json.loads(
            text,
            object_pairs_hook=_record,
            parse_float=_number,
            parse_int=_whole_number,
            parse_constant=lambda name: Odd(f"{name}, which is no number"),
        )
    except json.JSONDecodeError as error:
        raise _not_json(error, text, file) from error
    except RecursionError as error:
        problem = "has brackets within brackets far deeper than any job"
        raise _DamagedError(file, "", problem) from error
    if not isinstance(document, dict):
        expected = 'expected {"format": ..., "job": {...}} at the outermost level'
        raise JobFileError(file, "", f"{expected}, got {got(document)}")
    return document


def _version(document: dict[str, object], file: str) -> int:
    if "format" not in document:
        raise JobFileError(file, "format", f"is missing; expected a number, now {FORMAT}")
    version = document["format"]
    if type(version) is not int or version < 1:
        problem = f"expected a whole number above 0, got {got(version)}"
        raise JobFileError(file, "format", problem)
    if version > FORMAT:
        problem = f"made by a newer framer (format {version}; this one reads up to {FORMAT})"
        raise JobFileError(file, "format", f"{problem}; nothing was changed")
    return version


def _job_record(document: dict[str, object], file: str) -> dict[str, Any]:
    for name in document:
        if name not in ("format", "job"):
            problem = f"unknown field {quoted(name)}; expected format and job only"
            raise JobFileError(file, "", problem)
    if "job" not in document:
        raise JobFileError(file, "job", "is missing; expected a record in braces")
    record = document["job"]
    if not isinstance(record, dict):
        raise JobFileError(file, "job", f"expected a record in braces, got {got(record)}")
    return record


def _record(pairs: list[tuple[str, object]]) -> dict[str, object] | Odd:
    record = dict(pairs)
    if len(record) == len(pairs):
        return record
    seen: set[str] = set()
    for name, _ in pairs:
        if name in seen:
            break
        seen.add(name)
    return Odd(f"a record with the field {quoted(name)} twice")


def _number(text: str) -> float | Odd:
    number = float(text)
    return number if math.isfinite(number) else Odd("a number that is too large")


def _whole_number(text: str) -> int | Odd:
    # Python itself refuses thousands of digits, with an error that tells no place
    return int(text) if len(text) <= _MOST_DIGITS else Odd("a number that is too large")


def _not_json(error: json.JSONDecodeError, text: str, file: str) -> JobFileError:
    rest = text[error.pos :].strip()
    half_number = not rest.strip("0123456789.eE+-")
    half_word = any(word.startswith(rest) for word in ("true", "false", "null"))
    cut_off = error.msg.startswith("Unterminated string") or half_number or half_word
    if cut_off and error.msg != "Extra data":
        last = text.rstrip().count("\n") + 1
        problem = "the file ends in the middle; expected the rest of the job"
        return _DamagedError(file, f"line {last}", problem)
    expected = _EXPECTED.get(error.msg)
    problem = f"expected {expected}" if expected else f"is not JSON: {error.msg}"
    return _DamagedError(file, f"line {error.lineno}, column {error.colno}", problem)


def _refuse_faults(job: Job, file: str, own: Collection[str]) -> None:
    every = chain(faults(job), _unknown_names(job, own))
    shown = list(islice(every, MOST_FAULTS_SHOWN))
    if not shown:
        return
    if len(shown) == 1:
        raise JobFileError(file, *shown[0])
    more = sum(1 for _ in every)
    lines = [f"{fault.place}: {fault.problem}" for fault in shown]
    if more:
        lines.append(f"and {more:,} more")
    count = len(shown) + more
    raise JobFileError(file, "", "\n  ".join([f"{count:,} things are wrong:", *lines]))


def _unknown_names(job: Job, own: Collection[str]) -> Iterator[Fault]:
    """Rulebooks and stock parts that are not there."""
    hints = iter(range(MOST_FAULTS_SHOWN))  # looking for near names takes its time

    def near(name: str, known: tuple[str, ...]) -> str:
        return nearest(name, known) if next(hints, None) is not None else ""

    books = (*book_ids(), *own)
    for index, book in enumerate(job.books):
        if book not in books:
            hint = near(book, books) or f"; there are: {', '.join(books)}"
            yield Fault(f"books[{index}]", f"there is no rulebook {quoted(book)}{hint}")
    for place, key, kind in _parts(job):
        part = catalogue().get(key)
        if part is None:
            alike = tuple(one.id for one in catalogue().values() if kind in (one.kind, None))
            yield Fault(place, f"there is no stock part {quoted(key)}{near(key, alike)}")
        elif kind not in (part.kind, None):
            problem = f"expected a stock part of kind '{kind}'; '{key}' is of kind '{part.kind}'"
            yield Fault(place, problem)


def _parts(job: Job) -> Iterator[tuple[str, str, str | None]]:
    """Place, stock part and the kind it must be of, for all that name one."""
    things: dict[str, tuple[Item | Wire | Join | NearbyWire, ...]] = {
        "items": job.items,
        "wires": job.wires,
        "joins": job.joins,
        "nearby": job.nearby,
    }
    for group, records in things.items():
        for index, thing in enumerate(records):
            if thing.part is not None:
                kind = thing.kind if isinstance(thing, Item) else "wire"
                place = f"{group}[{index}] {quoted(thing.id)}.part"
                yield place, thing.part, None if isinstance(thing, Join) else kind
