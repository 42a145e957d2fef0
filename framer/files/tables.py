"""Tables a person keeps: CSV and XLSX files with a heading row, read cell by cell."""

from __future__ import annotations

import csv
import io
import math
import re
import zipfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TypeAlias

from msgspec import Struct

from framer.errors import FramerError
from framer.files.disk import cause

Cell: TypeAlias = str | float | None
"""What stands in a cell; `None` for nothing."""

MOST_BYTES = 64_000_000
MOST_ROWS = 200_000
"""A file larger than this is refused: it is no list of parts or poles."""

MOST_TOLD = 20
"""No more faults of one table than this are told at once."""

MOST_COLUMNS = 256
"""What stands farther right is not read: a lone cell out there would fill every row up to it."""

_LETTERS = re.compile("[^a-z0-9]+")


class TableError(FramerError, ValueError):
    """A table with a wrong entry: names file, row, column, and what was expected."""

    def __init__(self, file: str, row: int, column: str, problem: str) -> None:
        self.file, self.row, self.column, self.problem = file, row, column, problem
        where = ", ".join(
            filter(None, (f"row {row}" if row else "", f"column '{column}'" if column else ""))
        )
        super().__init__(f"{file}: {where}: {problem}" if where else f"{file}: {problem}")


class TableFaultsError(FramerError, ValueError):
    """A table with wrong entries: a sentence for each; nothing of it is used."""

    def __init__(self, problems: Sequence[str]) -> None:
        self.problems = tuple(problems)
        told = list(self.problems[:MOST_TOLD])
        if len(problems) > MOST_TOLD:
            told.append(f"and {len(problems) - MOST_TOLD} more faults")
        super().__init__("nothing was read in:\n  " + "\n  ".join(told))


class TableRow(Struct, frozen=True):
    """One row: its number in the file, counted from 1, and its cells by heading."""

    file: str
    number: int
    cells: Mapping[str, Cell]

    def text(self, column: str, *, required: bool = False) -> str:
        """A cell as text.

        Raises:
            TableError: it is required and empty.
        """
        value = self.cells.get(column)
        if isinstance(value, float):
            value = f"{value:.15g}"
        found = (value or "").strip()
        if required and not found:
            raise TableError(self.file, self.number, column, "is empty; it must be filled in")
        return found

    def number_of(self, column: str, *, least: float = 0.0, required: bool = False) -> float | None:
        """A cell as a number, `None` when it is empty.

        Raises:
            TableError: it is no number, or less than `least`, or required and empty.
        """
        text = self.text(column, required=required)
        if not text:
            return None
        plain = text.replace("$", "").replace(",", "") if _is_grouped(text) else text
        try:
            value = float(plain)
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            raise TableError(self.file, self.number, column, f"expected a number, found '{text}'")
        if value < least:
            problem = f"expected at least {least:g}, found '{text}'"
            raise TableError(self.file, self.number, column, problem)
        return value


def _is_grouped(text: str) -> bool:
    """Whether commas in a number are those of thousands, as in 1,250.50, and it may have a $."""
    return re.fullmatch(r"-?\$?\s*\d{1,3}(,\d{3})*(\.\d+)?|-?\$?\s*\d+(\.\d+)?", text) is not None


class Table(Struct, frozen=True):
    """A file's headings as they stand there, and its rows; rows without any cell are left out."""

    file: str
    headings: tuple[str, ...]
    rows: tuple[TableRow, ...]


def plain_heading(text: str) -> str:
    """A heading without capitals and signs: "Unit cost ($)" is "unit cost"."""
    return " ".join(_LETTERS.sub(" ", text.casefold()).split())


def read_table(path: Path, known: Mapping[str, Sequence[str]] | None = None) -> Table:
    """The first sheet of an XLSX file or the rows of a CSV file, under their headings.

    Args:
        path: the file, its ending says which.
        known: names of columns and the headings they may have; cells then come by these names.
            Without it cells come by the headings as they stand in the file.

    Raises:
        TableError: the file cannot be read, has no heading row, or two columns of one name.
    """

    def names_of(row: int, headings: Sequence[str]) -> Sequence[str]:
        return _named(path.name, row, headings, known)

    return _table(path, names_of)


def read_columns(path: Path) -> Table:
    """As `read_table`, with cells by the number of their column, counted from 0.

    Raises:
        TableError: the file cannot be read, or has no heading row.
    """
    return _table(path, lambda _, headings: [str(at) for at in range(len(headings))])


def _table(path: Path, names_of: Callable[[int, Sequence[str]], Sequence[str]]) -> Table:
    """A table whose cells have the names that are given for its row number and headings."""
    name = path.name
    ending = path.suffix.lower()
    if ending not in (".csv", ".xlsx"):
        raise TableError(name, 0, "", "a table is read from a .csv or .xlsx file")
    try:
        if path.stat().st_size > MOST_BYTES:
            raise TableError(name, 0, "", "is larger than 64 MB")
        data = path.read_bytes()
    except OSError as error:
        raise TableError(name, 0, "", f"cannot be read: {cause(error)}") from error
    rows = list(_csv_rows(name, data) if ending == ".csv" else _xlsx_rows(name, data))
    filled = [(number, cells) for number, cells in rows if any(one is not None for one in cells)]
    if not filled:
        raise TableError(name, 0, "", "is empty; expected a row of headings")
    first, heads = filled[0]
    headings = tuple("" if one is None else str(one).strip() for one in heads)
    names = names_of(first, headings)
    made = tuple(
        TableRow(name, number, {key: cell for key, cell in zip(names, cells, strict=False) if key})
        for number, cells in filled[1:]
    )
    return Table(name, headings, made)


def _named(
    file: str, row: int, headings: Sequence[str], known: Mapping[str, Sequence[str]] | None
) -> list[str]:
    """The name of each column, empty for one that nobody asked for.

    Of several headings a column may have, the one named first counts.
    """
    if known is None:
        names = list(headings)
    else:
        plain = [plain_heading(heading) for heading in headings]
        names = [""] * len(headings)
        for key, words in known.items():
            wanted = next((one for one in map(plain_heading, (key, *words)) if one in plain), None)
            for place, heading in enumerate(plain):
                if heading == wanted:
                    names[place] = key
    for place, key in enumerate(names):
        if key and key in names[:place]:
            raise TableError(file, row, headings[place], f"a second column for {key}")
    return names


def _csv_rows(file: str, data: bytes) -> Iterator[tuple[int, list[Cell]]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise TableError(file, line, "", "is not UTF-8 text; save it as CSV UTF-8") from error
    first = text.split("\n", 1)[0]
    mark = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    before = 0
    try:
        for cells in reader:
            yield before + 1, [cell.strip() or None for cell in cells]
            before = reader.line_num
            if before > MOST_ROWS:
                raise TableError(file, before, "", f"more than {MOST_ROWS:,} rows")
    except csv.Error as error:
        raise TableError(file, reader.line_num, "", f"is no CSV there: {error}") from error


def _xlsx_rows(file: str, data: bytes) -> Iterator[tuple[int, list[Cell]]]:
    from openpyxl import load_workbook

    try:
        inside = zipfile.ZipFile(io.BytesIO(data)).infolist()
        if sum(one.file_size for one in inside) > 8 * MOST_BYTES:
            raise TableError(file, 0, "", "unpacks to more than 512 MB")
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        sheet = book.worksheets[0]
        sheet.reset_dimensions()
        for number, row in enumerate(
            sheet.iter_rows(values_only=True, max_col=MOST_COLUMNS), start=1
        ):
            if number > MOST_ROWS:
                raise TableError(file, number, "", f"more than {MOST_ROWS:,} rows")
            cells = [_cell(value) for value in row]
            while cells and cells[-1] is None:
                cells.pop()
            yield number, cells
    except FramerError:
        raise
    except Exception as error:  # the reader has no error of its own for what is no workbook
        raise TableError(file, 0, "", f"is no spreadsheet that can be read: {error}") from error


def _cell(value: object) -> Cell:
    if value is None or isinstance(value, bool):
        return None if value is None else str(value)
    if isinstance(value, int | float):
        return float(value)
    return str(value).strip() or None
