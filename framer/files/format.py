"""What a job file holds: `{"format": 1, "job": {...}}` in JSON, and how old formats are read.

A value equal to its default is left out, so whoever changes a default in the model also adds a
format: an upgrade then writes the old default into old files, and no job changes its meaning.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import cache
from typing import Any, TypeAlias

from msgspec import Struct, structs

from framer.errors import JobFileError
from framer.model.job import Job

FORMAT = 1
"""The format written, and the newest that is read."""

MOST_BYTES = 64 * 1024 * 1024
"""A larger file is refused before it is read."""

Record: TypeAlias = dict[str, Any]
Upgrade: TypeAlias = Callable[[Record], tuple[Record, list[str]]]
"""From the job record of one format to that of the next, with what changed, in words."""

UPGRADES: dict[int, Upgrade] = {}
"""By the format they start from; one for every format before the present one."""

_EXACT = 2.0**53

_STARTS = re.compile(rb'\s*\{\s*"format"\s*:\s*(\d{1,9})\s*[,}]')


def version_of(data: bytes) -> int | None:
    """The format that the start of a job file names, `None` when it names none."""
    named = _STARTS.match(data)
    return int(named[1]) if named else None


def encode(job: Job) -> bytes:
    """The bytes of a job's file; equal jobs give equal bytes.

    Raises:
        TypeError: a value is of a kind no job has.
        UnicodeEncodeError: a text holds half a character.
    """
    document = {"format": FORMAT, "job": plain(job)}
    return (json.dumps(document, indent=1, ensure_ascii=False) + "\n").encode()


def plain(value: Any) -> Any:
    """A record as a dict without its defaults; numbers without a needless `.0` or minus sign."""
    if isinstance(value, Struct):
        config = value.__struct_config__
        record = {config.tag_field: config.tag} if config.tag_field else {}
        for name, default in _fields(type(value)):
            inner = getattr(value, name)
            if inner != default:
                record[name] = plain(inner)
        return record
    if isinstance(value, tuple):
        return [plain(inner) for inner in value]
    if isinstance(value, float) and abs(value) < _EXACT and value.is_integer():
        return int(value)
    return value


@cache
def _fields(kind: type[Struct]) -> tuple[tuple[str, object], ...]:
    """Names and defaults of a record's fields; asking for them takes its time."""
    return tuple((field.name, field.default) for field in structs.fields(kind))


def upgraded(record: Record, version: int, file: str) -> tuple[Record, tuple[str, ...]]:
    """The job record of a format no newer than the present one, as one of the present format.

    Returns:
        The record, and what changed, in words.

    Raises:
        JobFileError: there is no way from that format, or the record is not as that format says.
    """
    changes: list[str] = []
    for step in range(version, FORMAT):
        if step not in UPGRADES:
            raise JobFileError(
                file, "format", f"expected {FORMAT}, got {version}, which is no longer read"
            )
        try:
            record, changed = UPGRADES[step](record)
        except (AttributeError, LookupError, TypeError, ValueError) as error:
            raise JobFileError(
                file, "job", f"is not as a job of format {step}, so it cannot be brought up to date"
            ) from error
        changes.extend(changed)
    return record, tuple(changes)
