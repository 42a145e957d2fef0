"""Spreadsheets with typed cells: a sheet a table, headings frozen, ready to print.

Text is only ever text: a name that begins with = is no formula. Equal tables are equal bytes.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import UTC, date, datetime
from textwrap import wrap
from typing import Literal, TypeAlias

from msgspec import Struct

Cell: TypeAlias = str | float | None
Kind = Literal["text", "long", "count", "weight", "money", "days"]
"""What a column holds; long text is wrapped, numbers are numbers."""

_TEXTS: tuple[Kind, ...] = ("text", "long")
_PLACES: dict[Kind, tuple[int, int]] = {
    "count": (0, 2),
    "weight": (0, 2),
    "money": (2, 4),
    "days": (0, 1),
}
"""The fewest and the most places of a number; between them it has those it needs."""

_WIDTHS: dict[Kind, float] = {
    "text": 14.0, "long": 52.0, "count": 10.0, "weight": 10.0, "money": 11.0, "days": 9.0,
}  # fmt: skip
_TEXT = {"align": "left", "indent": 1}
"""Keeps text off the numbers of the column before."""

_TEXT_INDENT = 1.5
"""What that takes of a column, characters."""

_NOISE = 1e-9
_LINE_POINTS = 15.0
_MOST_LINES = 27
"""A row of a spreadsheet is at most 409 points high."""

_TABLOID = 17
"""The number of 11 x 17 in paper."""

_MOST_TEXT = 32_000
"""A cell of a spreadsheet holds at most 32,767 characters."""


class Column(Struct, frozen=True):
    """A column: its heading, what it holds, its width in characters if not the usual."""

    heading: str
    kind: Kind = "text"
    width: float | None = None


class SheetTable(Struct, frozen=True):
    """One sheet: its name, lines over the table, the columns, the rows.

    A line that begins with `stamp` is printed bold and red.
    """

    name: str
    columns: Sequence[Column]
    rows: Sequence[Sequence[Cell]]
    above: Sequence[str] = ()
    stamp: str = ""


def workbook(title: str, sheets: Sequence[SheetTable], day: str = "") -> bytes:
    """A workbook of these sheets.

    Args:
        title: of the document, also printed in the foot.
        sheets: in order.
        day: year-month-day the file says it is of; the first of 2000 where that is no date.
    """
    from xlsxwriter import Workbook

    made = io.BytesIO()
    plain = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = Workbook(made, {"in_memory": True, **plain})
    book.set_properties({"title": title, "created": _day(day)})
    bold = book.add_format({"bold": True})
    stamp = book.add_format({"bold": True, "font_color": "#C00000", "text_wrap": True})
    top_line = {"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"}
    heads = {
        **{kind: book.add_format({**top_line, **_TEXT}) for kind in _TEXTS},
        **{kind: book.add_format({**top_line, "align": "right"}) for kind in _PLACES},
    }
    words = book.add_format({"num_format": "@", "valign": "top", "text_wrap": True, **_TEXT})
    numbers = [
        book.add_format({"num_format": shown, "valign": "top"})
        for shown in ("#,##0", *(f"#,##0.{'0' * places}" for places in range(1, 5)))
    ]
    for table in sheets:
        sheet = book.add_worksheet(table.name[:31])
        many, top = len(table.columns), len(table.above)
        for row, line in enumerate(table.above):
            is_stamp = bool(table.stamp) and line.startswith(table.stamp)
            sheet.write_string(row, 0, _fit(line), stamp if is_stamp else bold)
            if is_stamp:
                sheet.merge_range(row, 0, row, max(1, many - 1), _fit(line), stamp)
        for place, column in enumerate(table.columns):
            sheet.set_column(place, place, _width(column))
            sheet.write_string(top, place, column.heading, heads[column.kind])
        for row, values in enumerate(table.rows, start=top + 1):
            sheet.set_row(row, _LINE_POINTS * _lines(table.columns, values))
            for place, (column, value) in enumerate(zip(table.columns, values, strict=True)):
                if value is None or value == "":
                    sheet.write_blank(row, place, None, words)
                elif isinstance(value, str):
                    sheet.write_string(row, place, _fit(value), words)
                else:
                    look = numbers[_places(value, column.kind)]
                    sheet.write_number(row, place, value, look)
        sheet.set_row(top, 2 * _LINE_POINTS)
        sheet.freeze_panes(top + 1, 0)
        sheet.repeat_rows(top)
        sheet.set_landscape()
        sheet.set_paper(_TABLOID)
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(0.4, 0.4, 0.6, 0.6)
        sheet.set_footer("&L" + title.replace("&", "&&")[:120] + "&C&A&Rpage &P of &N")
        if table.rows:
            sheet.autofilter(top, 0, top + len(table.rows), many - 1)
            sheet.print_area(0, 0, top + len(table.rows), many - 1)
    book.close()
    return made.getvalue()


def _places(value: float, kind: Kind) -> int:
    """How many places of a number are shown."""
    least, most = _PLACES.get(kind, (0, 2))
    enough = (one for one in range(least, most) if abs(round(value, one) - value) < _NOISE)
    return next(enough, most)


def _width(column: Column) -> float:
    return column.width or _WIDTHS[column.kind]


def _lines(columns: Sequence[Column], values: Sequence[Cell]) -> int:
    """How many lines a row takes, as its cells are wrapped; a row has room for some thirty."""
    most = 1
    for column, value in zip(columns, values, strict=True):
        if isinstance(value, str):
            # fonts differ; a line too many is better than one that is hidden
            share = 1.2 if column.kind == "long" else 1.05
            each = max(1, round(share * (_width(column) - _TEXT_INDENT)))
            most = max(most, sum(len(wrap(one, each)) or 1 for one in value.split("\n")))
    return min(most, _MOST_LINES)


def _fit(text: str) -> str:
    return text if len(text) <= _MOST_TEXT else f"{text[:_MOST_TEXT]}..."


def _day(day: str) -> datetime:
    try:
        known = date.fromisoformat(day)
    except ValueError:
        known = date(2000, 1, 1)
    return datetime(known.year, known.month, known.day, tzinfo=UTC).replace(tzinfo=None)
