"""The estimate as CSV or XLSX: totals, hours line by line, and what is missing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from framer.errors import FramerError
from framer.files.whole import write_whole
from framer.sheets.material_csv import csv_text
from framer.sheets.workbook import Cell, Column, SheetTable, workbook
from framer.takeoff.completeness import NOT_ISSUED
from framer.takeoff.estimate import WORK, Estimate

Total = tuple[str, float | None, str, str]
"""Name, value or `None` for not known, unit, and what is missing from it."""


def total_rows(made: Estimate) -> Iterator[Total]:
    """The totals of an estimate, each with what is missing from it."""
    for action in WORK:
        yield _total(f"labour to {action}", made.hours[action], "h", made.unknown[action], "hours")
    many = sum(made.unknown.values())
    yield _total("labour, all", made.total_hours, "h", many, "hours")
    crew = "size of the crew not said" if made.crew is None else f"crew of {made.crew}"
    yield _total("crew time", made.crew_hours, "h", many, "hours", crew)
    yield _total("material", made.material, "", made.unpriced, "price")
    rate = "no rate typed" if made.rate is None else f"at {made.rate:g} an hour"
    yield _total("labour cost", made.labour_cost, "", many, "hours", rate)
    missing = not made.is_whole
    nothing = missing and not made.total
    percent = f"{made.contingency_percent:g} %, as typed"
    yield "contingency", None if nothing else made.contingency, "", percent
    part = "nothing of it is known" if nothing else "of what is known: not a whole estimate"
    yield "total", None if nothing else made.total, "", part if missing else ""
    back = made.listed.of("returns and salvage")
    unsold = sum(line.salvage is None for line in back)
    yield _total("salvage, not taken off", made.salvage, "", unsold, "salvage value")
    weight, unweighed = made.listed.weight_lb
    least = f"at least: {made.listed.at_least}" if made.listed.at_least else ""
    yield _total("weight drawn from the store", weight, "lb", unweighed, "weight", least)


def _total(
    name: str, value: float | None, unit: str, unknown: int, what: str, said: str = ""
) -> Total:
    """A sum as far as known, which is not known where nothing of it is, and what it lacks."""
    lines = "1 line" if unknown == 1 else f"{unknown} lines"
    lacks = f"{lines} without {what}" if unknown else ""
    if unknown and not value:
        value = None
    least = "at least: " if lacks and value is not None else ""
    return name, value, unit, "; ".join(filter(None, (said, f"{least}{lacks}")))


def write_estimate(made: Estimate, path: Path, *, job_file: Path | None = None) -> None:
    """Write an estimate as CSV or XLSX.

    Raises:
        FramerError: the name has another ending or is the job's, or the file cannot be written.
    """
    ending = path.suffix.lower()
    if ending not in (".csv", ".xlsx"):
        raise FramerError(f"{path.name}: an estimate is written as .csv or .xlsx")
    if job_file is not None and path.exists() and path.samefile(job_file):
        raise FramerError(f"{path.name}: that is the job itself; choose another name")
    if ending == ".xlsx":
        write_whole(path, estimate_xlsx(made))
    else:
        write_whole(path, estimate_csv(made).encode("utf-8"))


_WORK_COLUMNS = (
    Column("work"),
    Column("group", width=16),
    Column("name", width=40),
    Column("unit", width=6),
    Column("quantity", "count"),
    Column("hours each", "money"),
    Column("hours", "money"),
    Column("from", "long"),
)


def _work(made: Estimate) -> list[list[Cell]]:
    return [
        [one.action, one.line.group, one.line.name, one.line.unit, one.quantity, one.each,
         one.hours, one.words]
        for one in made.work
    ]  # fmt: skip


def estimate_csv(made: Estimate) -> str:
    """The estimate as CSV text: the work, then the totals; empty is not known."""
    rows = [["" if cell is None else _text(cell) for cell in row] for row in _work(made)]
    rows += [
        ["total", "", name, unit, "", "", "" if value is None else _text(value), words]
        for name, value, unit, words in total_rows(made)
    ]
    rows += [[NOT_ISSUED, "", "", "", "", "", "", words] for words in made.listed.gate.open]
    return csv_text([column.heading for column in _WORK_COLUMNS], rows)


def _text(cell: str | float) -> str:
    return cell if isinstance(cell, str) else f"{cell:.10g}"


def estimate_xlsx(made: Estimate) -> bytes:
    """The estimate as an XLSX file, the same bytes for the same estimate."""
    name = made.listed.name
    above = (f"{name}: estimate", *(f"{NOT_ISSUED}: {one}" for one in made.listed.gate.open))
    totals = SheetTable(
        "Totals",
        (Column("total", width=30), Column("value", "money", 14), Column("unit", width=6),
         Column("what is missing", "long")),
        list(total_rows(made)),
        above,
        NOT_ISSUED,
    )  # fmt: skip
    work = SheetTable("Labour", _WORK_COLUMNS, _work(made), (f"{name}: labour",))
    return workbook(f"{name}: estimate", (totals, work), made.listed.date)
