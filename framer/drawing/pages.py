"""Pages of a set: numbered, each with frame and title block, of drawing and text or text alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from framer.checks.rulebook import Rulebook
from framer.drawing.columns import Flow, Said
from framer.drawing.picture import Picture
from framer.drawing.sheet import (
    MARGIN,
    TEXT,
    TITLE_HEIGHT,
    ListColumn,
    Paper,
    Sheet,
    drafted,
    frame,
    judged_by,
    located,
    scale_words,
    title_block,
)
from framer.errors import FramerError
from framer.model.job import Job

LEAST_COLUMN = 3.4
"""Least width of a column of text, inches of paper."""


class Page(Struct, frozen=True):
    """What is on a sheet inside its frame, and how it is seen.

    `scale` is 1, and `seen` empty, where nothing is drawn to scale.
    """

    heading: str
    drawn: Picture
    scale: int
    seen: str


def sheets_of(
    job: Job,
    books: Sequence[Rulebook],
    pages: Sequence[Page],
    paper: Paper,
    look_deg: float = 0.0,
) -> tuple[Sheet, ...]:
    """The pages as sheets, each with its number and how many there are."""
    return tuple(
        _sheet(job, books, page, look_deg, paper, f"page {number} of {len(pages)}")
        for number, page in enumerate(pages, start=1)
    )


def _sheet(
    job: Job,
    books: Sequence[Rulebook],
    page: Page,
    look_deg: float,
    paper: Paper,
    number: str,
) -> Sheet:
    lines = [
        located(job, job.title),
        f"{drafted(job)}; {number}",
        *((f"{scale_words(page.scale, job)} on {paper.name}; {page.seen}",) if page.seen else ()),
        *judged_by(books, paper),
    ]
    more = (
        *frame(paper, page.scale),
        *title_block(page.heading, lines, paper, page.scale, look_deg if page.seen else None),
    )
    title = f"{page.heading} ({number})"
    return Sheet(page.drawn.with_more(more), paper, page.scale, title, job)


def text_pages(heading: str, lines: Sequence[Said], paper: Paper) -> Iterator[Page]:
    """Pages of nothing but text, in columns.

    Raises:
        FramerError: a line has no room on the paper.
    """
    left = list(lines)
    while left:
        flow = Flow(text_columns(paper, MARGIN, paper.height - MARGIN), 1, TEXT)
        rest = flow.write(left)
        if len(rest) == len(left):
            raise FramerError(f"a text has no room on {paper.name} paper; take a larger one")
        yield Page(heading, Picture(tuple(flow.drawn)), 1, "")
        left = rest


def text_columns(paper: Paper, left: float, top: float) -> list[ListColumn]:
    """Columns of text from one edge to the right one, each wide enough to read."""
    wide = paper.width - MARGIN - left
    many = max(1, int(wide / LEAST_COLUMN))
    each = wide / many
    floor = MARGIN + TITLE_HEIGHT + 0.08
    return [
        ListColumn(left + 0.12 + each * at, top - 0.14, each - 0.24, floor) for at in range(many)
    ]
