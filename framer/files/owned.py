"""Files of the user's own: prices and labour; what is wrong in one is said by row and column."""

from __future__ import annotations

from pathlib import Path

from framer.files.tables import TableError, read_table
from framer.takeoff.estimate import Labour, LabourRow
from framer.takeoff.prices import Price, Prices

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


def read_prices(path: Path) -> Prices:
    """A price file, CSV or XLSX.

    Raises:
        TableError: names file, row and column, and what was expected there.
    """
    table = read_table(path, PRICE_COLUMNS)
    _needs(table.file, table.headings, PRICE_COLUMNS, ("name",))
    rows: list[Price] = []
    seen: dict[str, int] = {}
    for row in table.rows:
        name = row.text("name", required=True)
        key = " ".join(name.casefold().split())
        if key in seen:
            problem = f"'{name}' stands in row {seen[key]} already"
            raise TableError(table.file, row.number, "name", problem)
        seen[key] = row.number
        rows.append(
            Price(
                name,
                row.text("stock number"),
                row.text("unit") or "ea",
                row.number_of("cost"),
                row.number_of("weight lb"),
                row.number_of("lead days"),
                row.number_of("on hand"),
                row.text("pays"),
                row.text("goes"),
                row.number_of("salvage"),
                row.number,
            )
        )
    return Prices(table.file, tuple(rows))


def read_labour(path: Path) -> Labour:
    """A labour file, CSV or XLSX; hours left empty stay not known.

    Raises:
        TableError: names file, row and column, and what was expected there.
    """
    table = read_table(path, LABOUR_COLUMNS)
    _needs(table.file, table.headings, LABOUR_COLUMNS, ("name", "action", "hours"))
    rows: list[LabourRow] = []
    seen: dict[tuple[str, str], int] = {}
    for row in table.rows:
        name = row.text("name", required=True)
        action = row.text("action", required=True).casefold()
        if action not in ACTIONS:
            problem = f"expected {', '.join(ACTIONS)}, found '{action}'"
            raise TableError(table.file, row.number, "action", problem)
        key = (" ".join(name.casefold().split()), action)
        if key in seen:
            problem = f"'{name}', {action}, stands in row {seen[key]} already"
            raise TableError(table.file, row.number, "name", problem)
        seen[key] = row.number
        hours = row.number_of("hours")
        rows.append(
            LabourRow(
                name, action, hours, row.text("unit") or "ea", row.text("source"),
                row.text("conditions"), row.number,
            )
        )  # fmt: skip
    return Labour(table.file, tuple(rows))


def _needs(
    file: str,
    headings: tuple[str, ...],
    known: dict[str, tuple[str, ...]],
    wanted: tuple[str, ...],
) -> None:
    """Refuse a table without a column that is needed.

    Raises:
        TableError: it has none under any of its headings.
    """
    from framer.files.tables import plain_heading

    there = {plain_heading(heading) for heading in headings}
    for name in wanted:
        if not there & {plain_heading(word) for word in (name, *known[name])}:
            others = ", ".join(known[name])
            raise TableError(file, 0, name, f"there is no such column (or: {others})")
