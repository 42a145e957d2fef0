"""The material list as CSV: one line a thing, one column a fate."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from framer.stock.source import WORDS
from framer.takeoff.materials import COLUMNS, MaterialRow

HEADINGS = ("group", "name", "part", "unit", *COLUMNS, "why", "note")


def material_csv(rows: Iterable[MaterialRow]) -> str:
    """The list as CSV text with a heading line.

    A cell a spreadsheet would run as a formula is written with a leading apostrophe.
    """
    lines: dict[tuple[str, str, str], dict[str, str]] = {}
    for row in rows:
        line = lines.setdefault(
            (row.group, row.name, row.unit),
            {"group": row.group, "name": row.name, "part": row.part, "unit": row.unit},
        )
        line[row.fate] = f"{row.quantity:g}"
        line["why"] = "; ".join(filter(None, (line.get("why", ""), f"{row.fate}: {row.why}")))
        notes = [line.get("note", ""), WORDS[row.how_known] if row.part else ""]
        if row.unresolved:
            notes.append("unresolved")
        line["note"] = "; ".join(dict.fromkeys(filter(None, notes)))
    text = io.StringIO()
    writer = csv.DictWriter(text, HEADINGS, restval="", lineterminator="\n")
    writer.writeheader()
    for line in lines.values():
        writer.writerow({name: harmless(cell) for name, cell in line.items()})
    return text.getvalue()


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula and whose line ends are written in quotes."""
    cell = cell.replace("\r\n", "\n").replace("\r", "\n")
    return f"'{cell}" if cell.startswith(_RUNS) else cell


_RUNS = ("=", "+", "-", "@", "\t", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""What a cell that is run may begin with, the wide forms of East Asian keyboards too."""
