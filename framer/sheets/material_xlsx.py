"""The material list as a spreadsheet: a sheet a section, and one with what keeps it open."""

from __future__ import annotations

from collections.abc import Sequence

from framer.sheets.workbook import Cell, Column, SheetTable, workbook
from framer.takeoff.completeness import NOT_ISSUED
from framer.takeoff.listing import SECTIONS, Line, MaterialList, Section
from framer.takeoff.row import COLUMNS
from framer.units.figures import counted, pounds

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
        [
            *(_sheet(listed, section) for section in SECTIONS if _has_sheet(listed, section)),
            _checks(listed),
        ],
        listed.date,
    )


def _has_sheet(listed: MaterialList, section: Section) -> bool:
    """Whether a section is a sheet: an empty one would print as a page of headings only."""
    return section == "material" or bool(listed.of(section))


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
                # only what stays is a cost of the job
                *((Column("cost", "money"),) if section == "material" else ()),
                Column("lead days", "days"),
            )
        ),
        Column("who pays"),
        Column("why", "long"),
        Column("note", "long", 40),
    ]
    rows = [_row(line, fates) for line in listed.of(section)]
    heading = f"{listed.name}: {section}"
    return SheetTable(section.capitalize(), columns, rows, (heading, *stamps(listed)), NOT_ISSUED)


def _row(line: Line, fates: Sequence[str]) -> list[Cell]:
    amounts = {str(fate): counted(amount) for fate, amount in line.amounts.items()}
    weight = None if line.weight_lb is None else pounds(line.weight_lb)[0]
    if line.section == "returns and salvage":
        gained = None if line.salvage is None else round(line.salvage * line.all, 2)
        money: list[Cell] = [line.salvage, gained, line.goes]
    elif line.section == "material":
        money = [line.each, line.cost, line.lead_days]
    else:
        money = [line.each, line.lead_days]
    return [
        line.group, line.name, line.part, line.stock_number, line.unit,
        *(amounts.get(fate) for fate in fates), weight, *money, line.pays, line.why,
        "; ".join(line.notes),
    ]  # fmt: skip


def _checks(listed: MaterialList) -> SheetTable:
    rows: list[list[Cell]] = [[NOT_ISSUED, words] for words in listed.gate.open]
    rows += [["ask", words] for words in listed.gate.asks]
    none = [f"{section}: none" for section in SECTIONS if not _has_sheet(listed, section)]
    rows += [["note", words] for words in (listed.gate.words, *none, *listed.notes)]
    columns = (Column("what", width=20), Column("words", "long", 110))
    return SheetTable("Checks", columns, rows, (f"{listed.name}: checks",))
