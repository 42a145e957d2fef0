"""The material list as CSV: one line a thing, one column a fate."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from framer.takeoff.completeness import NOT_ISSUED
from framer.takeoff.listing import Line, MaterialList
from framer.takeoff.row import COLUMNS
from framer.units.figures import counted, pounds, trimmed

HEADINGS = (
    "section", "group", "name", "part", "stock number", "unit", *COLUMNS, "weight lb", "cost each",
    "cost", "lead days", "who pays", "goes to", "why", "note",
)  # fmt: skip


def material_csv(listed: MaterialList) -> str:
    """The list as CSV text with a heading line; what keeps it from being issued stands first.

    A cell a spreadsheet would run as a formula is written with a leading apostrophe.
    """
    notes = (listed.gate.words, *listed.notes)
    rows = [
        *({"section": NOT_ISSUED, "name": words} for words in listed.gate.open),
        *(_cells(line) for line in listed.lines),
        *({"section": "note", "name": words} for words in notes),
        *({"section": "ask", "name": words} for words in listed.gate.asks),
    ]
    return csv_text(HEADINGS, ([row.get(name, "") for name in HEADINGS] for row in rows))


def _cells(line: Line) -> dict[str, str]:
    row = {
        "section": line.section,
        "group": line.group,
        "name": line.name,
        "part": line.part,
        "stock number": line.stock_number,
        "unit": line.unit,
        "weight lb": "" if line.weight_lb is None else number(*pounds(line.weight_lb)),
        "cost each": number(line.each, 4),
        "cost": number(line.cost, 2),
        "lead days": number(line.lead_days, 1),
        "who pays": line.pays,
        "goes to": line.goes,
        "why": line.why,
        "note": "; ".join(line.notes),
    }
    return row | {fate: number(counted(amount), 2) for fate, amount in line.amounts.items()}


def number(value: float | None, places: int) -> str:
    """A number with at most so many places, empty when not known."""
    return "" if value is None else trimmed(f"{value:.{places}f}")


def csv_text(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Rows under headings as CSV text that no spreadsheet runs anything of."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(headings)
    for row in rows:
        writer.writerow([harmless(cell) for cell in row])
    return text.getvalue()


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula and whose line ends are written in quotes."""
    cell = cell.replace("\r\n", "\n").replace("\r", "\n")
    return f"'{cell}" if cell.startswith(_RUNS) else cell


_RUNS = ("=", "+", "-", "@", "\t", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""What a cell that is run may begin with, the wide forms of East Asian keyboards too."""
