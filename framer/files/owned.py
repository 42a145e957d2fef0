"""Files of the user's own: prices and labour; what is wrong in one is said by row and column."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TypeVar

from framer.files.tables import (
    Table,
    TableError,
    TableFaultsError,
    TableRow,
    plain_heading,
    read_table,
)
from framer.takeoff.estimate import Labour, LabourRow
from framer.takeoff.prices import Price, Prices

_T = TypeVar("_T")

PRICE_COLUMNS: dict[str, tuple[str, ...]] = {
    "name": ("item", "material", "description", "part"),
    "stock number": ("stock no", "stock", "catalogue number", "catalog number", "item number"),
    "unit": ("unit of issue", "uom"),
    "cost": ("unit cost", "price", "unit price", "cost each"),
    "weight lb": ("weight", "unit weight", "unit weight lb"),
    "lead days": ("lead time", "lead time days", "delivery days"),
    "on hand": ("in store", "quantity on hand"),
    "pays": ("who pays", "paid by"),
    "goes": ("goes to", "disposal"),
    "salvage": ("salvage value", "scrap value"),
}
"""Columns of a price file, and other headings they may have."""

LABOUR_COLUMNS: dict[str, tuple[str, ...]] = {
    "name": ("item", "task", "description", "part"),
    "action": ("fate", "work"),
    "hours": ("labour hours", "labor hours", "hours per unit", "man hours"),
    "unit": ("per", "uom"),
    "source": ("from",),
    "conditions": ("note", "notes"),
}
"""Columns of a labour file, and other headings they may have."""

ACTIONS = ("install", "transfer", "remove")


class _Reader:
    """Reads cells row by row and keeps what is wrong with them, to tell all of it at once."""

    def __init__(self, table: Table) -> None:
        self._file = table.file
        self._wrong: list[TableError] = []
        self._seen: dict[tuple[str, ...], int] = {}

    def text(self, row: TableRow, column: str) -> str:
        """A cell that must be filled in, as text; empty where it is not."""
        return self._kept(lambda: row.text(column, required=True)) or ""

    def number(self, row: TableRow, column: str) -> float | None:
        """A cell as a number; `None` where it is empty or is none."""
        return self._kept(lambda: row.number_of(column))

    def wrong(self, row: TableRow, column: str, problem: str) -> None:
        """Keep a fault."""
        self._wrong.append(TableError(self._file, row.number, column, problem))

    def once(self, row: TableRow, *words: str) -> None:
        """Keep a fault where a row before has this name already, of the same action if any."""
        if not words[0]:
            return  # told already
        key = tuple(" ".join(one.casefold().split()) for one in words)
        first = self._seen.setdefault(key, row.number)
        if first != row.number:
            named = ", ".join((f"'{words[0]}'", *words[1:]))
            self.wrong(row, "name", f"{named} stands in row {first} already; expected it once")

    def done(self) -> None:
        """Say what was wrong, if anything.

        Raises:
            TableError: the one fault.
            TableFaultsError: all of several.
        """
        _tell(self._wrong)

    def _kept(self, read: Callable[[], _T]) -> _T | None:
        try:
            return read()
        except TableError as wrong:
            self._wrong.append(wrong)
            return None


def read_prices(path: Path) -> Prices:
    """A price file, CSV or XLSX.

    Raises:
        TableError: names file, row and column, and what was expected there.
        TableFaultsError: the same of several cells.
    """
    table = read_table(path, PRICE_COLUMNS)
    _needs(table.file, table.headings, PRICE_COLUMNS, ("name",))
    reader, rows = _Reader(table), []
    for row in table.rows:
        name = reader.text(row, "name")
        reader.once(row, name)
        rows.append(
            Price(
                name,
                row.text("stock number"),
                row.text("unit") or "ea",
                reader.number(row, "cost"),
                reader.number(row, "weight lb"),
                reader.number(row, "lead days"),
                reader.number(row, "on hand"),
                row.text("pays"),
                row.text("goes"),
                reader.number(row, "salvage"),
                row.number,
            )
        )
    reader.done()
    return Prices(table.file, tuple(rows))


def read_labour(path: Path) -> Labour:
    """A labour file, CSV or XLSX; hours left empty stay not known.

    Raises:
        TableError: names file, row and column, and what was expected there.
        TableFaultsError: the same of several cells.
    """
    table = read_table(path, LABOUR_COLUMNS)
    _needs(table.file, table.headings, LABOUR_COLUMNS, ("name", "action", "hours"))
    reader, rows = _Reader(table), []
    for row in table.rows:
        name, action = reader.text(row, "name"), reader.text(row, "action").casefold()
        if action and action not in ACTIONS:
            reader.wrong(row, "action", f"expected {', '.join(ACTIONS)}, found '{action}'")
        reader.once(row, name, action)
        rows.append(
            LabourRow(
                name, action, reader.number(row, "hours"), row.text("unit") or "ea",
                row.text("source"), row.text("conditions"), row.number,
            )
        )  # fmt: skip
    reader.done()
    return Labour(table.file, tuple(rows))


def _needs(
    file: str,
    headings: tuple[str, ...],
    known: dict[str, tuple[str, ...]],
    wanted: tuple[str, ...],
) -> None:
    """Refuse a table without columns that are needed.

    Raises:
        TableError: it lacks one, under any of its headings.
        TableFaultsError: it lacks several.
    """
    there = {plain_heading(heading) for heading in headings}
    _tell(
        TableError(file, 0, name, f"there is no such column (or: {', '.join(known[name])})")
        for name in wanted
        if not there & {plain_heading(word) for word in (name, *known[name])}
    )


def _tell(wrong: Iterable[TableError]) -> None:
    """Raise what is wrong, if anything.

    Raises:
        TableError: the one fault.
        TableFaultsError: all of several.
    """
    faults = list(wrong)
    if len(faults) == 1:
        raise faults[0]
    if faults:
        raise TableFaultsError([str(one) for one in faults])
