"""Photos on sheets, two to a page: to look at, and never to measure from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec.structs import replace

from framer.checks.rulebook import Rulebook
from framer.drawing.lettering import shortened, wrapped
from framer.drawing.pages import Page, sheets_of
from framer.drawing.picture import Box, Image, Path, Picture, Primitive, Text, rectangle
from framer.drawing.sheet import MARGIN, PAPERS, TEXT, TITLE_HEIGHT, Paper, Sheet
from framer.errors import FramerError
from framer.model.job import Job
from framer.model.revision import Photo

A_PAGE = 2
"""Photos on a page."""

GAP, CAPTION = 0.15, 0.5
"""Between photos, and below each for its words, inches of paper."""

MOST_ROWS = 3
HEADING = "Photos: to look at, never to measure from"


def photo_sheets(
    job: Job,
    books: Sequence[Rulebook],
    aspects: Mapping[str, float | str],
    *,
    paper: Paper = PAPERS["tabloid"],
) -> tuple[Sheet, ...]:
    """The photos of a job in their order, numbered, with what is said of each.

    Args:
        job: the job.
        books: the rulebooks named in the title block.
        aspects: by path: how many times as wide as high a photo is, or why it is not there.
        paper: what they are printed on.

    Raises:
        FramerError: no photo is attached.
    """
    if not job.photos:
        raise FramerError("no photo is attached")
    pages = [
        Page(HEADING, _drawn(job.photos[at : at + A_PAGE], at, aspects, paper), 1, "")
        for at in range(0, len(job.photos), A_PAGE)
    ]
    return sheets_of(job, books, pages, paper)


def _drawn(
    photos: Sequence[Photo], first: int, aspects: Mapping[str, float | str], paper: Paper
) -> Picture:
    wide = (paper.width - 2 * MARGIN - (A_PAGE + 1) * GAP) / A_PAGE
    low, high = MARGIN + TITLE_HEIGHT + GAP, paper.height - MARGIN - GAP
    drawn = Picture(())
    for place, photo in enumerate(photos):
        left = MARGIN + GAP + place * (wide + GAP)
        cell = (left, low + CAPTION, left + wide, high)
        aspect = aspects.get(photo.path, "its file was not looked for")
        box = cell if isinstance(aspect, str) else _fitted(cell, aspect)
        drawn = drawn.with_more(_frame_and_words(photo, first + place + 1, box, low, cell, aspect))
        if not isinstance(aspect, str):
            drawn = replace(drawn, images=(*drawn.images, Image(photo.path, box, box)))
    return drawn


def _fitted(cell: Box, aspect: float) -> Box:
    """The largest box of a shape in a cell, at its upper edge and in the middle."""
    left, low, right, top = cell
    wide = min(right - left, (top - low) * aspect)
    start = (left + right - wide) / 2
    return (start, top - wide / aspect, start + wide, top)


def _frame_and_words(
    photo: Photo, number: int, box: Box, floor: float, cell: Box, aspect: float | str
) -> Iterator[Primitive]:
    left, low, _, top = box
    yield Path(rectangle(box), "leader")
    room = cell[2] - left
    words = ", ".join(filter(None, (photo.note or "no note", photo.date, photo.path)))
    lines = wrapped(f"{number}. {words}", room, TEXT)
    y = max(floor, low - CAPTION) + CAPTION - 1.8 * TEXT
    for row, line in enumerate(lines[:MOST_ROWS]):
        yield Text((left, y - 1.45 * row * TEXT), shortened(line, room, TEXT), TEXT, "label")
    if isinstance(aspect, str):
        lines = wrapped(f"not printed: {aspect}", room - 2 * GAP, TEXT)
        for row, line in enumerate(lines[: 2 * MOST_ROWS]):
            at = (left + GAP, (low + top) / 2 - 1.45 * row * TEXT)
            yield Text(at, shortened(line, room - 2 * GAP, TEXT), TEXT, "label")
