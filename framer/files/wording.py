"""From what the decoder refused to a place in the job and a sentence about it.

The decoder only tells where; what was expected there follows from the types of the records, and
what was found from the file itself.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import cache
from typing import Any, TypeAlias

import msgspec
from msgspec import Struct, inspect

from framer.model.job import Job

Keys: TypeAlias = tuple[str | int, ...]
"""The way into a record: field names and positions in lists."""

_MOST_SHOWN = 60
_PATH = re.compile(r" - at `\$([\w.\[\]]*)`$")
_KEY = re.compile(r"\.(\w+)|\[(\d+)\]")
_HALF_CHARACTER = re.compile("[\ud800-\udfff]")
_PATTERNS = {r"^(\d{4}-\d{2}-\d{2})?$": "a date such as 2026-04-30 or empty text"}


class Odd(Struct, frozen=True):
    """A value that JSON readers let pass but a job file may not hold; `words` say what it is.

    It stands in the record in place of the value and is of no type that any field takes, so that
    it is refused with its place like everything else.
    """

    words: str


def refusal(error: msgspec.ValidationError, record: object) -> tuple[str, str]:
    """Where a job record was refused, and what was expected there."""
    found = _PATH.search(str(error))
    keys: Keys = ()
    if found:
        keys = tuple(name or int(number) for name, number in _KEY.findall(found.group(1)))
    types, value = _reached(record, keys)
    return place_of(record, keys), _problem(types, value) or str(error)


def place_of(record: object, keys: Keys) -> str:
    """A place in a job record as text, with the ids of the records on the way."""
    if not keys:
        return "job"
    place = ""
    for key in keys:
        record = _inner(record, key)
        if isinstance(key, int):
            place += f"[{key}]"
            named = record.get("id") if isinstance(record, dict) else None
            if isinstance(named, str) and named:
                place += f" {quoted(named)}"
        else:
            place += f".{key}" if place else key
    return place


def half_characters(record: object) -> Keys | None:
    """The way to the first text that holds half of a surrogate pair, `None` for none."""
    todo: list[tuple[Keys, object]] = [((), record)]
    while todo:
        keys, value = todo.pop()
        inner: Iterable[tuple[str | int, object]] = ()
        if isinstance(value, str):
            if _HALF_CHARACTER.search(value):
                return keys
        elif isinstance(value, dict):
            if any(_HALF_CHARACTER.search(key) for key in value):
                return keys
            inner = value.items()
        elif isinstance(value, list):
            inner = enumerate(value)
        todo.extend(((*keys, key), below) for key, below in inner)
    return None


def nearest(name: str, known: Collection[str]) -> str:
    """A question that offers the known name nearest to an unknown one, empty when none is near."""
    if len(name) > _MOST_SHOWN:
        return ""
    import difflib

    near = difflib.get_close_matches(name, known, 1, 0.75)
    return f" (did you mean {quoted(near[0])}?)" if near else ""


def quoted(text: str) -> str:
    """Text in quotes, on one line, not too much of it."""
    shown = text if len(text) <= _MOST_SHOWN else text[:_MOST_SHOWN] + "..."
    safe = (c if c.isprintable() else c.encode("unicode_escape").decode() for c in shown)
    return f"'{''.join(safe)}'"


def got(value: object) -> str:
    """What a value from a file is, in words."""
    if isinstance(value, Odd):
        return value.words
    if value is None:
        return "null"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f"text {quoted(value)}"
    if isinstance(value, int | float):
        return quoted(repr(value))[1:-1]
    return "a list" if isinstance(value, list) else "a record in braces"


@cache
def _job_type() -> inspect.Type:
    return inspect.type_info(Job)


def _inner(record: object, key: str | int) -> object:
    if isinstance(record, dict):
        return record.get(key)
    if isinstance(record, list) and isinstance(key, int) and key < len(record):
        return record[key]
    return None


def _reached(record: object, keys: Keys) -> tuple[tuple[inspect.Type, ...], object]:
    """The types that are possible at a place in a job record, and the value that is there."""
    types: tuple[inspect.Type, ...] = (_job_type(),)
    for key in keys:
        types = tuple(_alternatives(_below(types, record, key)))
        record = _inner(record, key)
    return types, record


def _below(
    types: tuple[inspect.Type, ...], record: object, key: str | int
) -> Iterator[inspect.Type]:
    records = [one for one in types if isinstance(one, inspect.StructType)]
    tags = tuple(one.tag for one in records if one.tag_field == key)
    if tags:
        yield inspect.LiteralType(tags)
        return
    for one in types:
        if isinstance(one, inspect.VarTupleType):
            yield one.item_type
    for one in records:
        if len(records) == 1 or _tag_in(record, one) == one.tag:
            yield from (field.type for field in one.fields if field.encode_name == key)


def _alternatives(types: Iterable[inspect.Type]) -> Iterator[inspect.Type]:
    for one in types:
        if isinstance(one, inspect.UnionType):
            yield from one.types
        else:
            yield one


def _tag_in(record: object, one: inspect.StructType) -> object:
    return record.get(one.tag_field) if isinstance(record, dict) else None


def _problem(types: tuple[inspect.Type, ...], value: object) -> str:
    records = [one for one in types if isinstance(one, inspect.StructType)]
    if isinstance(value, dict) and records:
        return _of_fields(records, value)
    expected = _one_of_types(types)
    if not expected:
        return ""
    hint = ""
    if isinstance(value, str):
        words = [w for one in types if isinstance(one, inspect.LiteralType) for w in one.values]
        hint = nearest(value, [word for word in words if isinstance(word, str)])
    return f"expected {expected}, got {got(value)}{hint}"


def _of_fields(records: list[inspect.StructType], value: dict[str, Any]) -> str:
    """What is wrong with the field names of a record; empty when nothing is."""
    tag_field = records[0].tag_field
    if len(records) > 1 and tag_field:
        if tag_field not in value:
            return f"{quoted(tag_field)} is missing; expected {_one_of([r.tag for r in records])}"
        records = [one for one in records if one.tag == value[tag_field]]
    for one in records:
        known = [field.encode_name for field in one.fields]
        if one.tag_field:
            known.insert(0, one.tag_field)
        for name in value:
            if name not in known:
                hint = nearest(name, known)
                return f"unknown field {quoted(name)}{hint}; known here: {', '.join(known)}"
        for field in one.fields:
            if field.required and field.encode_name not in value:
                expected = _one_of_types(_alternatives([field.type]))
                return f"{quoted(field.encode_name)} is missing; expected {expected}"
    return ""


def _one_of(values: Sequence[object]) -> str:
    words = [quoted(value) if isinstance(value, str) else str(value) for value in values]
    return f"one of {', '.join(words)}" if len(words) > 1 else words[0]


def _one_of_types(types: Iterable[inspect.Type]) -> str:
    # several kinds of record have one description
    words = list(dict.fromkeys(words for one in types for words in _expected(one)))
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else "".join(words)


def _expected(one: inspect.Type) -> Iterator[str]:
    if isinstance(one, inspect.FloatType | inspect.IntType):
        yield ("a number" if isinstance(one, inspect.FloatType) else "a whole number") + _range(one)
    elif isinstance(one, inspect.StrType):
        yield _PATTERNS.get(one.pattern, f"text like {one.pattern}") if one.pattern else "text"
    elif isinstance(one, inspect.BoolType):
        yield "true or false"
    elif isinstance(one, inspect.LiteralType):
        yield _one_of(one.values)
    elif isinstance(one, inspect.VarTupleType):
        yield "a list"
    elif isinstance(one, inspect.StructType):
        yield "a record in braces"
    elif isinstance(one, inspect.NoneType):
        yield "null"


def _range(one: inspect.FloatType | inspect.IntType) -> str:
    low = f" from {one.ge:,g}" if one.ge is not None else ""
    if one.gt is not None:
        low = f" above {one.gt:,g}"
    if one.le is not None:
        return f"{low} to {one.le:,g}" if one.ge is not None else f"{low} up to {one.le:,g}"
    return f"{low} to below {one.lt:,g}" if one.lt is not None else low
