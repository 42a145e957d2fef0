"""The calculation sheet of a pole: every number with its formula and source.

It is one page where the paper has room for it in small print, else several in larger.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from framer.drawing.lettering import shortened, text_width, wrapped
from framer.drawing.marks import mark
from framer.drawing.picture import Line as Stroke
from framer.drawing.picture import Picture, Primitive, Text
from framer.drawing.sheet import (
    MARGIN,
    PAPERS,
    TEXT,
    TITLE_HEIGHT,
    Paper,
    Sheet,
    drafted,
    frame,
    located,
    title_block,
)
from framer.model.job import Job
from framer.strength.calculation import AID, Calculation, Section

PAD = 0.12
"""Free room round each column, inches."""

LINE = 1.5
"""Height of a line of text per height of a capital."""

SHARES = (1.0, 0.9, 0.8, 0.7, 0.62, 0.55)
"""Shares of the usual text height that are tried until all has room on one page."""

SPREAD = 0.8
"""The share where it has not."""

IN_FEET = "Reckoned in feet, inches and pounds."
"""What the sheet of a metric job says of its arithmetic, which has the units of its sources."""

LEAST_COLUMN = 62.0
"""How wide a column is at least, in heights of a capital: some 75 characters."""


class _Row(Struct, frozen=True):
    """One printed line: its words, how far in it begins in heights of a capital, its style."""

    words: str
    indent: float
    heading: bool
    verdict: str


def calculation_sheets(
    job: Job, found: Iterable[Calculation], *, paper: Paper = PAPERS["tabloid"]
) -> tuple[Sheet, ...]:
    """The pages of every calculation of a job."""
    return tuple(sheet for one in found for sheet in _sheets(job, one, paper))


def _sheets(job: Job, calc: Calculation, paper: Paper) -> Iterator[Sheet]:
    for share in SHARES:
        pages = _laid_out(calc, paper, share * TEXT)
        if len(pages) == 1:
            break
    else:
        pages = _laid_out(calc, paper, SPREAD * TEXT)
    for number, primitives in enumerate(pages, start=1):
        of = f", page {number} of {len(pages)}" if len(pages) > 1 else ""
        yield _sheet(job, f"{calc.name}, {calc.case}{of}", primitives, paper)


def _sheet(job: Job, named: str, primitives: list[Primitive], paper: Paper) -> Sheet:
    metric = job.settings.units == "metric"
    lines = [
        located(job),
        drafted(job),
        named,
        f"{AID} {IN_FEET}" if metric else AID,
        "Verified by ______________________  licence ______________  date __________",
    ]
    heading = f"Strength: {job.title}"
    block = title_block(heading, lines, paper, 1, 0.0)
    return Sheet(Picture((*frame(paper, 1), *block, *primitives)), paper, 1, heading, job)


def _laid_out(calc: Calculation, paper: Paper, text: float) -> list[list[Primitive]]:
    """All sections in columns, by page."""
    wide = paper.width - 2 * MARGIN
    many = max(1, int(wide / (LEAST_COLUMN * text + 2 * PAD)))
    each = wide / many
    top, floor = paper.height - MARGIN - PAD - text, MARGIN + TITLE_HEIGHT + PAD
    edges: list[Primitive] = [
        Stroke((x, MARGIN + TITLE_HEIGHT), (x, paper.height - MARGIN), "leader")
        for x in (MARGIN + edge * each for edge in range(1, many))
    ]
    found: list[list[Primitive]] = [[*edges]]
    column, y = 0, top
    rows = [row for section in calc.sections for row in _rows(section, each - 2 * PAD, text)]
    for row in rows:
        # a heading does not stand alone at the foot of a column
        deep = 3.0 if row.heading else 1.0
        if y - (deep - 1.0) * LINE * text < floor:
            column, y = column + 1, top
            if column == many:
                column = 0
                found.append([*edges])
        if row.heading and y < top:
            y -= 0.6 * text
        found[-1].extend(_drawn(row, MARGIN + column * each + PAD, y, text, each - 2 * PAD))
        y -= LINE * text * (1.15 if row.heading else 1.0)
    return found


def _rows(section: Section, room: float, text: float) -> Iterator[_Row]:
    yield _Row(section.heading, 0.0, heading=True, verdict="")
    for line in section.lines:
        indent = 1.4 * line.indent + (1.8 if line.verdict else 0.0)
        for number, words in enumerate(wrapped(line.text, room - (indent + 1.4) * text, text)):
            again = 1.0 if number else 0.0
            verdict = line.verdict or ""
            yield _Row(words, indent + again, heading=False, verdict="" if number else verdict)


def _drawn(row: _Row, x: float, y: float, text: float, room: float) -> Iterator[Primitive]:
    size = 1.15 * text if row.heading else text
    left = x + row.indent * text
    if row.verdict:
        yield from mark(row.verdict, (left - 1.2 * text, y + 0.45 * text), text)  # type: ignore[arg-type]
    words = row.words
    if text_width(words, size) > room - row.indent * text:
        words = shortened(words, room - row.indent * text, size)
    yield Text((left, y), words, size, "title" if row.heading else "label")
