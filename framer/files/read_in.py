"""Reading survey sheets in: items and wires as found, from a CSV or XLSX table, row by row.

All rows come in or none: what is wrong is told by row and column, every row's first fault.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from pathlib import Path
from typing import Literal, TypeVar, cast, get_args

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from framer.edits.things import new_id
from framer.errors import LengthError
from framer.files.tables import (
    MOST_TOLD,
    Table,
    TableError,
    TableFaultsError,
    TableRow,
    plain_heading,
    read_columns,
)
from framer.geometry.space import POINTS, azimuth_of_point
from framer.model.faults import faults
from framer.model.item import Item, ItemKind
from framer.model.job import Job
from framer.model.line import Phase, Wire
from framer.model.place import OnArm, OnItem, OnPole
from framer.model.reading import Reading, What
from framer.stock.catalogue import catalogue
from framer.stock.part import AnyPart
from framer.units.length import length_text, read_length

_T = TypeVar("_T", bound=msgspec.Struct)

COLUMNS: dict[str, tuple[str, ...]] = {
    "kind": ("type", "item type"),
    "id": ("tag", "item id"),
    "name": ("description", "label"),
    "part": ("stock part", "stock id"),
    "on": ("host", "attached to", "rests on"),
    "height": ("attachment height", "height above ground", "ht"),
    "drop": ("below top", "distance from top"),
    "along": ("along arm", "offset"),
    "side": ("azimuth", "facing", "direction"),
    "owner": ("company", "attacher"),
    "circuit": ("line",),
    "phase": (),
    "span": ("toward", "to pole"),
    "sag": (),
    "tolerance": ("plus or minus", "accuracy"),
    "date": ("read on", "surveyed"),
    "note": ("notes", "remarks"),
}
"""Columns of a survey sheet, and other headings each may have."""

Bare = Literal["", "in", "ft", "m"]
"""What a length without a unit is in; empty where every length must have one."""

WIRE = "wire"


class ReadIn(Struct, frozen=True):
    """The job with what was read, how many items and wires, and columns nobody asked for."""

    job: Job
    items: int
    wires: int
    left: tuple[str, ...]


def read_in(
    job: Job, path: Path, mapping: Mapping[str, str] | None = None, bare: Bare = ""
) -> ReadIn:
    """A job with the rows of a survey sheet as things found.

    Args:
        job: the job; its poles, spans and circuits are what the rows refer to, by id or name.
        path: the table, CSV or XLSX, with a row of headings.
        mapping: headings of the table and the columns they stand for, where they differ; empty
            for one that is not read.
        bare: the unit of lengths written without one.

    Raises:
        TableError: the table cannot be read, or has no column for the kinds.
        TableFaultsError: rows are wrong; each is told.
    """
    table = read_columns(path)
    return rows_in(job, table, columns_of(table, mapping or {}), bare)


def rows_in(job: Job, table: Table, columns: Sequence[str], bare: Bare = "") -> ReadIn:
    """A job with the rows of a table as things found.

    Args:
        job: as for `read_in`.
        table: the table, its cells by the number of their column.
        columns: what each of its columns is, empty for one that is not read.
        bare: the unit of lengths written without one.

    Raises:
        TableError: two columns are the same, or none is for the kinds.
        TableFaultsError: rows are wrong; each is told.
    """
    for at, column in enumerate(columns):
        if column and column in columns[:at]:
            raise TableError(table.file, 0, table.headings[at], f"a second column for {column}")
    left = tuple(
        head for head, column in zip(table.headings, columns, strict=True) if head and not column
    )
    rows = [_mapped(row, columns) for row in table.rows]
    if "kind" not in columns:
        raise TableError(table.file, 0, "kind", "there is no such column; map one to it")
    reader = _Reader(job, bare)
    problems: list[TableError] = []
    # wires rest on items, and items on arms, in whatever order the rows are
    for wanted in (("arm",), None, (WIRE,)):
        for row in rows:
            if reader.is_due(row, wanted):
                try:
                    reader.row(row)
                except TableError as problem:
                    problems.append(problem)
    if problems:
        raise TableFaultsError([str(one) for one in sorted(problems, key=lambda one: one.row)])
    wrong = [f"{one.place}: {one.problem}" for one in islice(faults(reader.job), MOST_TOLD)]
    if wrong:
        raise TableFaultsError(wrong)
    return ReadIn(reader.job, reader.items, reader.wires, left)


def _mapped(row: TableRow, columns: Sequence[str]) -> TableRow:
    cells = {
        column: row.cells[str(at)]
        for at, column in enumerate(columns)
        if column and str(at) in row.cells
    }
    return TableRow(row.file, row.number, cells)


def columns_of(table: Table, mapping: Mapping[str, str]) -> list[str]:
    """What each column of a table is, by its heading and what a person said of it; empty: nothing.

    Of several headings a column may have, the one named first counts.

    Raises:
        TableError: a person named a heading that is not there, or a column that is none.
    """
    plain = [plain_heading(heading) for heading in table.headings]
    said = {plain_heading(heading): column for heading, column in mapping.items()}
    for heading, column in mapping.items():
        if column and column not in COLUMNS:
            problem = f"'{column}' is none of: {', '.join(COLUMNS)}"
            raise TableError(table.file, 0, heading, problem)
        if plain_heading(heading) not in plain:
            raise TableError(table.file, 0, heading, "there is no such heading")
    names = [said.get(heading, "") for heading in plain]
    for column, words in COLUMNS.items():
        known = [one for one in map(plain_heading, (column, *words)) if one not in said]
        wanted = next((one for one in known if one in plain), None)
        if column not in names and wanted is not None:
            # all of that heading: a second one is told
            names = [column if one == wanted else name
                     for one, name in zip(plain, names, strict=True)]  # fmt: skip
    return names


class _Reader:
    """Puts rows into a job one by one."""

    def __init__(self, job: Job, bare: Bare) -> None:
        self.job, self.bare = job, bare
        self.items = self.wires = 0

    def is_due(self, row: TableRow, wanted: Sequence[str] | None) -> bool:
        """Whether a row is of these kinds; `None` stands for all but arms and wires."""
        kind = row.text("kind").casefold()
        return kind in wanted if wanted is not None else kind not in ("arm", WIRE)

    def row(self, row: TableRow) -> None:
        """Put one row in.

        Raises:
            TableError: something in it is wrong; the job is as before.
        """
        kind = row.text("kind", required=True).casefold()
        if kind == WIRE:
            self._wire(row)
            return
        kinds = [one for one in get_args(ItemKind) if one not in ("pole", "guy", "lift")]
        if kind not in kinds:
            raise self._wrong(row, "kind", f"expected {', '.join((WIRE, *kinds))}; found '{kind}'")
        self._item(row, cast("ItemKind", kind))

    def _item(self, row: TableRow, kind: ItemKind) -> None:
        key = self._new_id(row, kind)
        part = self._part(row, kind)
        name = row.text("name")
        if not part and not name:
            raise self._wrong(row, "part", "is empty; give a stock part or at least a name")
        host = self._host(row)
        readings: list[Reading] = []
        where: OnPole | OnArm
        if host.kind == "arm":
            along = self._length(row, "along", required=True)
            where = OnArm(when="found", host=host.id, along_in=along or 0.0)
        elif host.kind == "pole":
            where = OnPole(when="found", host=host.id, azimuth_deg=self._side(row))
            readings.append(self._reading(row, key, host.id))
        else:
            raise self._wrong(row, "on", f"{self.job.label(host.id)} is no pole and no arm")
        phase, circuit = row.text("phase") or None, self._named(row, "circuit", required=False)
        item = self._made(
            row, Item, id=key, kind=kind, places=(where,), part=part or None, name=name,
            owner=row.text("owner"), circuit=circuit or None, phase=phase, note=row.text("note"),
        )  # fmt: skip
        self.job = replace(
            self.job, items=(*self.job.items, item), readings=(*self.job.readings, *readings)
        )
        self.items += 1

    def _wire(self, row: TableRow) -> None:
        key = self._new_id(row, WIRE)
        phase = row.text("phase", required=True)
        if phase not in get_args(Phase):
            expected = ", ".join(get_args(Phase))
            raise self._wrong(row, "phase", f"expected {expected}; found '{phase}'")
        host = self._host(row)
        wire = self._made(
            row, Wire, id=key, circuit=self._named(row, "circuit"), phase=phase,
            span=self._named(row, "span"), places=(OnItem(when="found", host=host.id),),
            part=self._part(row, WIRE) or None, sag_in=self._length(row, "sag"),
            far_height_in="level", note=row.text("note"),
        )  # fmt: skip
        self.job = replace(self.job, wires=(*self.job.wires, wire))
        self.wires += 1

    def _made(self, row: TableRow, record: type[_T], /, **fields: object) -> _T:
        """The record, with the limits of its fields kept."""
        made = record(**fields)
        try:
            msgspec.convert(msgspec.to_builtins(made), type=record)
        except msgspec.ValidationError as error:
            raise self._wrong(row, "", f"is not as a job may hold it: {error}") from error
        return made

    def _reading(self, row: TableRow, key: str, pole: str) -> Reading:
        """The height or drop of an item on a pole as a reading."""
        height, drop = self._length(row, "height"), self._length(row, "drop")
        if (height is None) == (drop is None):
            what = "is empty" if height is None else "is given, and a drop too"
            raise self._wrong(row, "height", f"{what}; give either a height or a drop")
        value, named = (height, "height") if height is not None else (drop, "drop")
        tolerance = self._length(row, "tolerance") or 0.0
        return self._made(
            row, Reading, of=key, what=cast("What", named), value_in=value, datum=pole,
            date=row.text("date"), tolerance_in=tolerance,
        )  # fmt: skip

    def _length(self, row: TableRow, column: str, *, required: bool = False) -> float | None:
        text = row.text(column, required=required)
        if not text:
            return None
        if not self.bare and not any(one.isalpha() or one in "'\"" for one in text):
            raise self._wrong(row, column, f"'{text}' has no unit: write one")
        try:
            found = read_length(text, self.bare or "in")
        except LengthError as error:
            raise self._wrong(row, column, str(error)) from error
        if found.other_in is not None and self.bare != "ft":
            meant = (
                f"{length_text(found.other_in, system='ft-in')}, or {found.value_in / 12.0:g} ft"
            )
            raise self._wrong(row, column, f"'{text}' may mean {meant}: write feet and inches")
        return found.value_in

    def _side(self, row: TableRow) -> float:
        text = row.text("side")
        if not text:
            return 0.0
        if text.upper() in POINTS:
            return azimuth_of_point(text.upper())
        try:
            degrees = float(text)
        except ValueError:
            degrees = -1.0
        if not 0.0 <= degrees < 360.0:
            points = ", ".join(POINTS)
            raise self._wrong(row, "side", f"expected {points} or degrees; found '{text}'")
        return degrees

    def _new_id(self, row: TableRow, kind: str) -> str:
        key = row.text("id")
        if not key:
            return new_id(self.job, kind)
        if key in self.job.thing_by_id:
            raise self._wrong(row, "id", f"'{key}' is taken already")
        return key

    def _part(self, row: TableRow, kind: str) -> str:
        key = row.text("part")
        if not key:
            return ""
        part = catalogue().get(key) or _part_named(key)
        if part is None:
            problem = f"there is no stock part '{key}'; write its name as the stock list has it"
            raise self._wrong(row, "part", problem)
        if part.kind != kind:
            raise self._wrong(row, "part", f"'{key}' is of kind '{part.kind}', not '{kind}'")
        return part.id

    def _host(self, row: TableRow) -> Item:
        text = row.text("on")
        if not text:
            poles = [one for one in self.job.items if one.kind == "pole"
                     and one.places[0].when == "found"]  # fmt: skip
            if len(poles) != 1:
                raise self._wrong(row, "on", f"is empty, and {len(poles)} poles were found here")
            return poles[0]
        alike = [one for one in self.job.items if text in (one.id, one.name)]
        return self.job.item_by_id[self._one(row, "on", text, [one.id for one in alike])]

    def _named(self, row: TableRow, column: str, *, required: bool = True) -> str:
        """Id of the circuit or span that a cell names."""
        text = row.text(column, required=required)
        if not text:
            return ""
        alike = (
            [one.id for one in self.job.circuits if text in (one.id, one.name)]
            if column == "circuit"
            else [one.id for one in self.job.spans if text in (one.id, one.toward)]
        )
        return self._one(row, column, text, alike)

    def _one(self, row: TableRow, column: str, text: str, alike: Iterable[str]) -> str:
        found = list(alike)
        if len(found) != 1:
            problem = "nothing in the job is" if not found else f"{len(found)} things are"
            raise self._wrong(row, column, f"{problem} named '{text}'")
        return found[0]

    def _wrong(self, row: TableRow, column: str, problem: str) -> TableError:
        return TableError(row.file, row.number, column, problem)


def _part_named(name: str) -> AnyPart | None:
    """The stock part with a name, in capitals or not."""
    wanted = name.casefold()
    return next((part for part in catalogue().values() if part.name.casefold() == wanted), None)
