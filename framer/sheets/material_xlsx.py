"""The material list as a spreadsheet: a sheet a section, and one with what keeps it open."""

from __future__ import annotations

from collections.abc import Sequence

from framer.sheets.workbook import Cell, Column, SheetTable, workbook
from framer.takeoff.completeness import NOT_ISSUED
from framer.takeoff.listing import SECTIONS, Line, MaterialList, Section
from framer.takeoff.row import COLUMNS

_FATES: dict[Section, Sequence[str]] = {
    "material": tuple(fate for fate in COLUMNS if fate not in ("remove", "temporary")),
    "temporary gear": ("temporary",),
    "returns and salvage": ("remove",),
}
"""The columns of each section's sheet."""


def material_xlsx(listed: MaterialList) -> bytes:
    """The list as an XLSX file, the same bytes for the same list."""
    return workbook(
        f"{listed.name}: material list",
        [*(_sheet(listed, section) for section in SECTIONS), _checks(listed)],
        listed.date,
    )


def stamps(listed: MaterialList) -> tuple[str, ...]:
    """What stands over a list that is not to be issued."""
    return tuple(f"{NOT_ISSUED}: {words}" for words in listed.gate.open)


def _sheet(listed: MaterialList, section: Section) -> SheetTable:
    fates = _FATES[section]
    back = section == "returns and salvage"
    columns = [
        Column("group", width=20),
        Column("name", width=36),
        Column("part", width=18),
        Column("stock number"),
        Column("unit", width=6),
        *(Column(fate, "count") for fate in fates),
        Column("weight lb", "weight"),
        *(
            (
                Column("salvage each", "money"),
                Column("salvage", "money"),
                Column("goes to", width=24),
            )
            if back
            else (
                Column("cost each", "money"),
                Column("cost", "money"),
                Column("lead days", "days"),
            )
        ),
        Column("who pays"),
        Column("why", "long"),
        Column("note", "long", 40),
    ]
    rows = [_row(line, fates, back=back) for line in listed.of(section)]
    heading = f"{listed.name}: {section}"
    return SheetTable(section.capitalize(), columns, rows, (heading, *stamps(listed)), NOT_ISSUED)


def _row(line: Line, fates: Sequence[str], *, back: bool) -> list[Cell]:
    amounts: dict[str, float] = {str(fate): amount for fate, amount in line.amounts.items()}
    if back:
        gained = None if line.salvage is None else round(line.salvage * line.all, 2)
        money: list[Cell] = [line.salvage, gained, line.goes]
    else:
        money = [line.each, line.cost, line.lead_days]
    return [
        line.group, line.name, line.part, line.stock_number, line.unit,
        *(amounts.get(fate) for fate in fates), line.weight_lb, *money, line.pays, line.why,
        "; ".join(line.notes),
    ]  # fmt: skip


def _checks(listed: MaterialList) -> SheetTable:
    rows: list[list[Cell]] = [[NOT_ISSUED, words] for words in listed.gate.open]
    rows += [["ask", words] for words in listed.gate.asks]
    rows += [["note", words] for words in (listed.gate.words, *listed.notes)]
    columns = (Column("what", width=20), Column("words", "long", 110))
    return SheetTable("Checks", columns, rows, (f"{listed.name}: checks",))
