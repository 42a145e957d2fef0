"""The sheet set: all there is on paper of a job, numbered through, and what was left out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TypeAlias

from msgspec.structs import replace

from framer.checks.rulebook import Rulebook
from framer.drawing.columns import Said, section
from framer.drawing.lettering import text_width
from framer.drawing.pages import sheets_of, text_pages
from framer.drawing.picture import Primitive, Text
from framer.drawing.sheet import MARGIN, PAPERS, Paper, Sheet, fitted
from framer.errors import FramerError
from framer.files.revisions import revision_words, standing
from framer.model.job import Job

Part: TypeAlias = tuple[str, Callable[[], Sequence[Sheet]]]
"""A part of the set: what it is called, and how its sheets are made."""

FOOT = 0.075
"""Height of capitals in the line below the frame, inches of paper."""

COVER = "Sheet list"


def sheet_set(
    job: Job,
    books: Sequence[Rulebook],
    parts: Sequence[Part],
    *,
    paper: Paper = PAPERS["tabloid"],
    superseded: str = "",
) -> tuple[Sheet, ...]:
    """The sheets of all parts after a list of them, each with its number below the frame.

    A part that cannot be made is named on the list with the reason.

    Args:
        job: the job.
        books: the rulebooks it is judged by.
        parts: what goes into the set, in order.
        paper: what it is printed on.
        superseded: what is stamped on every sheet of an old revision; empty for none.

    Raises:
        FramerError: the list has no room on the paper.
    """
    made: list[tuple[str, Sequence[Sheet]]] = []
    left_out: list[str] = []
    for name, make in parts:
        try:
            sheets = make()
        except FramerError as reason:
            left_out.append(f"{name}: {reason}")
        else:
            made.append((name, sheets))
    cover = _cover(job, books, made, left_out, 1, paper)
    if len(cover) > 1:  # it moves the numbers of the others on
        cover = _cover(job, books, made, left_out, len(cover), paper)
    every = [*cover, *(sheet for _, sheets in made for sheet in sheets)]
    foot = foot_words(job, books)
    return tuple(
        _numbered(sheet, number, len(every), foot, superseded)
        for number, sheet in enumerate(every, start=1)
    )


def foot_words(job: Job, books: Sequence[Rulebook]) -> str:
    """Revision, date, rulebooks and sign-off as they stand below each frame."""
    words = (
        job.title,
        revision_words(job) or "no revision issued",
        job.date or "no date",
        standing(job),
        ", ".join(book.book.name for book in books),
    )
    return "; ".join(words)


def _cover(
    job: Job,
    books: Sequence[Rulebook],
    made: Sequence[tuple[str, Sequence[Sheet]]],
    left_out: Sequence[str],
    own: int,
    paper: Paper,
) -> tuple[Sheet, ...]:
    lines = [Said(COVER, heading=True)]
    at = own + 1
    for name, sheets in made:
        last = at + len(sheets) - 1
        lines.append(Said(f"{at}: {name}" if last == at else f"{at} to {last}: {name}"))
        at = last + 1
    lines.extend(section("Not in this set", left_out))
    lines.extend(section("Revisions", _revisions(job), nothing="none is issued"))
    lines.extend(section("Photos, to look at and never to measure from", _photos(job)))
    return sheets_of(job, books, list(text_pages(COVER, lines, paper)), paper)


def _revisions(job: Job) -> Iterator[Said]:
    for one in reversed(job.revisions):
        words = f"revision {one.number}, {one.date}, issued by {one.by}"
        yield Said(": ".join(filter(None, (words, one.note))))
        if one.verdicts:
            yield Said(f"{one.verdicts}; by {', '.join(one.books)}", under=True)


def _photos(job: Job) -> Iterator[str]:
    for one in job.photos:
        yield ", ".join(filter(None, (one.path, one.note, one.date)))


def _numbered(sheet: Sheet, number: int, count: int, foot: str, superseded: str) -> Sheet:
    return replace(
        sheet, picture=sheet.picture.with_more(_foot(sheet, number, count, foot, superseded))
    )


def _foot(sheet: Sheet, number: int, count: int, foot: str, superseded: str) -> Iterator[Primitive]:
    scale, size = sheet.scale, FOOT * sheet.scale
    right, y = (sheet.paper.width - MARGIN) * scale, (MARGIN - 0.13) * scale
    words = f"sheet {number} of {count}"
    yield Text((right, y), words, size, "title", "", "right")
    room = right - MARGIN * scale - text_width(words, size) - 3 * size
    yield fitted(foot, (MARGIN * scale, y), room, size)
    if superseded:
        top = (sheet.paper.height - MARGIN + 0.08) * scale
        yield Text((MARGIN * scale, top), superseded, 2.0 * size, "short")
