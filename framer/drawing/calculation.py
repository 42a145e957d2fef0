"""The calculation sheet of a pole: every number with its formula and source, on one page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

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
from framer.errors import FramerError
from framer.model.job import Job
from framer.strength.calculation import AID, Calculation, Section

PAD = 0.12
"""Free room round each column, inches."""

LINE = 1.5
"""Height of a line of text per height of a capital."""

SHARES = (1.0, 0.9, 0.8, 0.7, 0.62, 0.55)
"""Shares of the usual text height that are tried until all has room."""

LEAST_COLUMN = 62.0
"""How wide a column is at least, in heights of a capital: some 75 characters."""


class _Row(NamedTuple):
    """One printed line: its words, how far in it begins in heights of a capital, its style."""

    words: str
    indent: float
    heading: bool
    verdict: str


def calculation_sheets(
    job: Job, found: Iterable[Calculation], *, paper: Paper = PAPERS["tabloid"]
) -> tuple[Sheet, ...]:
    """A page for every calculation of a job.

    Raises:
        FramerError: a page has no room on the paper.
    """
    return tuple(_sheet(job, one, paper) for one in found)


def _sheet(job: Job, calc: Calculation, paper: Paper) -> Sheet:
    for share in SHARES:
        text = share * TEXT
        primitives = _laid_out(calc, paper, text)
        if primitives is not None:
            break
    else:
        raise FramerError(
            f"the calculation of {calc.name} has no room on {paper.name} paper: take a larger one"
        )
    lines = [
        located(job),
        drafted(job),
        f"{calc.name}, {calc.case}",
        AID,
        "Verified by ______________________  licence ______________  date __________",
    ]
    heading = f"Strength: {job.title}"
    block = title_block(heading, lines, paper, 1, 0.0)
    return Sheet(Picture((*frame(paper, 1), *block, *primitives)), paper, 1, heading, job)


def _laid_out(calc: Calculation, paper: Paper, text: float) -> list[Primitive] | None:
    """All sections in columns; `None` where they have no room at this text height."""
    wide = paper.width - 2 * MARGIN
    many = max(1, int(wide / (LEAST_COLUMN * text + 2 * PAD)))
    each = wide / many
    top, floor = paper.height - MARGIN - PAD - text, MARGIN + TITLE_HEIGHT + PAD
    found: list[Primitive] = []
    column, y = 0, top
    rows = [row for section in calc.sections for row in _rows(section, each - 2 * PAD, text)]
    for row in rows:
        # a heading does not stand alone at the foot of a column
        deep = 3.0 if row.heading else 1.0
        if y - (deep - 1.0) * LINE * text < floor:
            column, y = column + 1, top
            if column == many:
                return None
        if row.heading and y < top:
            y -= 0.6 * text
        found.extend(_drawn(row, MARGIN + column * each + PAD, y, text, each - 2 * PAD))
        y -= LINE * text * (1.15 if row.heading else 1.0)
    for edge in range(1, many):
        x = MARGIN + edge * each
        found.append(Stroke((x, MARGIN + TITLE_HEIGHT), (x, paper.height - MARGIN), "leader"))
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
