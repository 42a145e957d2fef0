"""Records of engineering data and how a file of them is read."""

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any, TypeVar

import msgspec
import tomli
from msgspec import Meta, Struct, field

from framer.errors import DataFileError
from framer.stock.source import WORDS, HowKnown, Source

_T = TypeVar("_T", bound=Struct)


class Named(Struct, frozen=True, forbid_unknown_fields=True):
    """A record that has a file to itself, which is named by its id."""

    id: str


_N = TypeVar("_N", bound=Named)
_R = TypeVar("_R")

NotNegative = Annotated[float, Meta(ge=0.0)]
Positive = Annotated[float, Meta(gt=0.0)]


class Record(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What all records of strength data have.

    `known` names the fields whose value is known in another way than the source says.
    """

    source: Source
    known: dict[str, HowKnown] = field(default_factory=dict)
    note: str = ""

    def how(self, name: str) -> str:
        """The warning a value needs wherever it is used, in brackets; empty for a read one."""
        words = WORDS[self.known.get(name, self.source.how_known)]
        return f" ({words})" if words else ""


def read_toml(path: Path) -> dict[str, Any]:
    """The record in a TOML file.

    Raises:
        DataFileError: it cannot be read or is no TOML.
    """
    try:
        return tomli.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise DataFileError(path.name, "", f"cannot be read: {error.strerror}") from error
    except (ValueError, RecursionError) as error:
        raise DataFileError(path.name, "", f"is not TOML: {error}") from error


def read_whole(path: Path, kind: type[_T]) -> _T:
    """The one record that a file is.

    Raises:
        DataFileError: names the file and what was expected there.
    """
    try:
        return msgspec.convert(read_toml(path), type=kind)
    except msgspec.ValidationError as error:
        raise DataFileError(path.name, "", str(error)) from error


def read_named(path: Path, kind: type[_N]) -> _N:
    """The one record in a file that is named as the record is.

    Raises:
        DataFileError: names the file and what was expected there.
    """
    made = read_whole(path, kind)
    if made.id != path.stem:
        raise DataFileError(path.name, "id", f"'{made.id}' must be the name of the file")
    return made


def read_folder(folder: Path, read: Callable[[Path], _R]) -> dict[str, _R]:
    """What each TOML file of a folder holds, by the file's name, in the order of the names.

    Raises:
        DataFileError: as `read` does.
    """
    return {path.stem: read(path) for path in sorted(folder.glob("*.toml"))}


def read_records(path: Path, table: str, kind: type[_T]) -> tuple[_T, ...]:
    """The records of one kind in a file.

    Raises:
        DataFileError: names the file, the entry and what was expected there.
    """
    data = read_toml(path)
    entries = data.pop(table, [])
    if data or not isinstance(entries, list) or not entries:
        raise DataFileError(path.name, next(iter(data), table), f"expected only [[{table}]] tables")
    found = []
    for number, entry in enumerate(entries, start=1):
        try:
            record = msgspec.convert(entry, type=kind)
        except msgspec.ValidationError as error:
            raise DataFileError(path.name, f"{table} {number}", str(error)) from error
        check_known(path.name, f"{table} {number}", record)
        found.append(record)
    return tuple(found)


def check_known(file: str, entry: str, record: Struct) -> None:
    """Refuse a `known` that names no field.

    Raises:
        DataFileError: it does.
    """
    for name in getattr(record, "known", ()):
        if name not in record.__struct_fields__:
            raise DataFileError(file, f"{entry}.known", f"'{name}' is no field of it")
