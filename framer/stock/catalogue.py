"""All stock parts, by id."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TypeVar

import msgspec

from framer.errors import DataFileError, UnknownNameError
from framer.resources import resources
from framer.stock.part import AnyPart, Part, WirePart
from framer.stock.records import check_known, read_toml

_P = TypeVar("_P", bound=Part)


GOES_ON: dict[str, tuple[str, ...]] = {
    "arm": ("pole",),
    "guy": ("pole",),
    "riser": ("pole",),
    "ground wire": ("pole",),
    "brace": ("arm",),
    "insulator": ("arm", "pole"),
    "transformer": ("pole", "arm"),
    "equipment": ("pole", "arm"),
    "bracket": ("pole", "arm"),
    "lamp": ("pole",),
    "attachment": ("pole", "arm"),
    "cutout": ("arm", "bracket", "pole"),
    "arrester": ("arm", "bracket", "pole", "transformer"),
}
"""What the kinds of parts are put on; kinds that are not named go on any item."""


def read_parts(path: Path) -> dict[str, AnyPart]:
    """The parts of one stock file.

    Raises:
        DataFileError: names the file, the part, and the field with what was expected.
    """
    data = read_toml(path)
    records = data.pop("part", [])
    if data or not isinstance(records, list):
        raise DataFileError(path.name, next(iter(data), "part"), "expected only [[part]] tables")
    parts: dict[str, AnyPart] = {}
    for number, record in enumerate(records):
        entry = f"part {number + 1} '{record.get('id', '')}'" if isinstance(record, dict) else ""
        try:
            part: AnyPart = msgspec.convert(record, type=AnyPart)
        except msgspec.ValidationError as error:
            raise DataFileError(path.name, entry, str(error)) from error
        if part.id in parts:
            raise DataFileError(path.name, entry, "the id is taken by a part above")
        check_known(path.name, entry, part)
        parts[part.id] = part
    return parts


@cache
def catalogue() -> dict[str, AnyPart]:
    """Every part in resources/stock, by id.

    Raises:
        DataFileError: a file or entry is wrong, or two files give one id.
    """
    parts: dict[str, AnyPart] = {}
    for path in sorted((resources() / "stock").glob("*.toml")):
        if path.name == "bolts.toml":
            continue
        for key, part in read_parts(path).items():
            if key in parts:
                raise DataFileError(path.name, f"part '{key}'", "another file has this id")
            parts[key] = part
    for one in parts.values():
        for brought in one.brings:
            if brought not in parts:
                problem = f"brings '{brought}', which is not in stock"
                raise DataFileError("stock", f"part '{one.id}'", problem)
    return parts


def part(key: str, kind: type[_P]) -> _P:
    """The part with this id, which must be of the given kind.

    Raises:
        UnknownNameError: there is no such part, or it is of another kind.
    """
    found = catalogue().get(key)
    if not isinstance(found, kind):
        raise UnknownNameError("stock part of that kind" if found else "stock part", key)
    return found


def wire(key: str | None) -> WirePart | None:
    """The stock wire with this id, `None` for none or unknown."""
    found = catalogue().get(key) if key else None
    return found if isinstance(found, WirePart) else None
