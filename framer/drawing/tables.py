"""Tables on paper: rows with headings, cells wrapped, over as many pages as it takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from framer.drawing.lettering import shortened, text_width, wrapped
from framer.drawing.pages import Page
from framer.drawing.picture import Line, Picture, Primitive, Text
from framer.drawing.sheet import MARGIN, TEXT, TITLE_HEIGHT, Paper
from framer.errors import FramerError

LINE = 1.4
"""From one line of a cell to the next, text heights."""

PAD = 0.8
"""Free room over each row, text heights."""

GAP = 1.4
"""Between two columns, text heights."""

LEAST = 12.0
"""A column that is wrapped is at least this wide, text heights."""

SHARES = (1.0, 0.9, 0.8)
"""Shares of the usual text height that are tried until the columns have room."""

NEAR_EMPTY = 0.3
"""A last page with less than this share of it used is saved by smaller text, where that does it."""


class Table(Struct, frozen=True):
    """One table: its heading, those of its columns, its rows, and a line said above it.

    A row with one cell is a heading within the table.
    """

    heading: str
    columns: Sequence[str]
    rows: Sequence[Sequence[str]]
    said: str = ""


def without_empty(table: Table) -> Table:
    """A table without the columns in which nothing stands."""
    rows = [row for row in table.rows if len(row) > 1]
    kept = [at for at in range(len(table.columns)) if any(row[at] for row in rows)]
    return replace(
        table,
        columns=[table.columns[at] for at in kept],
        rows=[[row[at] for at in kept] if len(row) > 1 else row for row in table.rows],
    )


def table_pages(heading: str, tables: Sequence[Table], paper: Paper) -> Iterator[Page]:
    """Pages with these tables below each other.

    Raises:
        FramerError: a column has no room on the paper.
    """
    largest = min((_share(table, paper) for table in tables), default=1.0)
    written = _written(tables, paper, largest)
    if written.is_last_near_empty:
        smaller = (_written(tables, paper, share) for share in SHARES if share < largest)
        written = next((one for one in smaller if len(one.pages) < len(written.pages)), written)
    for drawn in written.pages:
        yield Page(heading, Picture(tuple(drawn)), 1, "")


def _written(tables: Sequence[Table], paper: Paper, share: float) -> _Writer:
    """The tables on their pages, at a share of the usual text height."""
    writer = _Writer(paper, share * TEXT)
    for table in tables:
        writer.table(table)
    return writer


def _room(paper: Paper) -> float:
    return paper.width - 2 * MARGIN - 0.3


def _share(table: Table, paper: Paper) -> float:
    for share in SHARES:
        if sum(_least(table, share * TEXT)) <= _room(paper):
            return share
    raise FramerError(f"{table.heading} has no room on {paper.name} paper; take a larger one")


def _cells(table: Table, column: int) -> list[str]:
    return [table.columns[column], *(row[column] for row in table.rows if len(row) > 1)]


def _least(table: Table, text: float) -> list[float]:
    """The least widths of the columns: wide enough for any word, and to read."""
    wide = []
    for column in range(len(table.columns)):
        cells = _cells(table, column)
        full = max(text_width(cell, text) for cell in cells)
        word = max(text_width(one, text) for cell in cells for one in (cell.split() or [""]))
        wide.append(max(min(full, LEAST * text), word) + GAP * text)
    return wide


def _widths(table: Table, text: float, room: float) -> list[float]:
    """Widths of the columns: what they need, or where that is too much an equal share.

    Columns that need less than that share have all they need, and the others share the rest.
    """
    full = [
        max(text_width(cell, text) for cell in _cells(table, column)) + GAP * text
        for column in range(len(table.columns))
    ]
    wide = _least(table, text)
    if sum(full) <= room:
        return full
    spare, wanting = room - sum(wide), [at for at, most in enumerate(full) if most > wide[at]]
    while wanting and spare > 1e-9:
        each = spare / len(wanting)
        for at in wanting:
            more = min(each, full[at] - wide[at])
            wide[at] += more
            spare -= more
        wanting = [at for at in wanting if full[at] - wide[at] > 1e-9]
    return wide


class _Writer:
    """Writes tables from the top of one page to the foot of the last."""

    def __init__(self, paper: Paper, text: float) -> None:
        self.text, self.room = text, _room(paper)
        self.left, self.top = MARGIN + 0.15, paper.height - MARGIN - 0.12
        self.floor = MARGIN + TITLE_HEIGHT + 0.1
        self.pages: list[list[Primitive]] = []
        self.y = -1.0

    @property
    def is_last_near_empty(self) -> bool:
        """Whether there is more than one page, and next to nothing on the last."""
        used = (self.top - self.y) / (self.top - self.floor)
        return len(self.pages) > 1 and used < NEAR_EMPTY

    def table(self, table: Table) -> None:
        """One table, its headings again on each page."""
        wide = _widths(table, self.text, self.room)
        rows = [self._pieces(row, wide) for row in table.rows]
        # a heading within the table stays with the row it heads
        kept = [
            self._deep(pieces) + (self._deep(under) if len(row) == 1 else 0.0)
            for row, pieces, under in zip(table.rows, rows, [*rows[1:], [[""]]], strict=False)
        ]
        self._begin(table, wide, "", kept[0] if kept else 0.0)
        for row, pieces, deep in zip(table.rows, rows, kept, strict=True):
            if self.y - deep < self.floor:
                self._new_page()
                self._begin(table, wide, ", continued", deep)
            self._row(pieces, wide, heading=len(row) == 1)
        self.y -= 1.6 * self.text

    def _new_page(self) -> None:
        self.pages.append([])
        self.y = self.top

    def _begin(self, table: Table, wide: Sequence[float], more: str, first: float) -> None:
        said = wrapped(table.said, self.room, self.text) if table.said and not more else []
        heads = self._pieces(table.columns, wide) if table.rows else []
        deep = 3.2 * self.text + LINE * self.text * len(said) + self._deep(heads) + first
        if not self.pages or self.y - deep < self.floor:
            self._new_page()
        page, text = self.pages[-1], self.text
        self.y -= 1.5 * text
        page.append(Text((self.left, self.y), f"{table.heading}{more}", 1.35 * text, "title"))
        self.y -= 0.5 * text
        for line in said:
            self.y -= LINE * text
            page.append(Text((self.left, self.y), line, text, "label"))
        if not heads:
            return
        self._row(heads, wide, heading=True)
        self.y -= 0.5 * text
        right = self.left + self.room
        page.append(Line((self.left, self.y), (right, self.y), "leader"))

    def _pieces(self, row: Sequence[str], wide: Sequence[float]) -> list[list[str]]:
        if len(row) == 1:
            return [[shortened(row[0], self.room, self.text)]]
        return [
            wrapped(cell, room - GAP * self.text + 1e-6, self.text) or [""]
            for cell, room in zip(row, wide, strict=True)
        ]

    def _deep(self, pieces: Sequence[Sequence[str]]) -> float:
        return (PAD + LINE * max(map(len, pieces))) * self.text if pieces else 0.0

    def _row(
        self, pieces: Sequence[Sequence[str]], wide: Sequence[float], *, heading: bool
    ) -> None:
        x, text = self.left, self.text
        for lines, room in zip(pieces, wide, strict=False):
            for number, line in enumerate(lines):
                y = self.y - PAD * text - LINE * text * number - text
                fit = line if len(pieces) == 1 else shortened(line, room - 0.3 * text, text)
                style = "title" if heading else "label"
                self.pages[-1].append(Text((x, y), fit, text, style))  # type: ignore[arg-type]
            x += room
        self.y -= self._deep(pieces)
