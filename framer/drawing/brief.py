"""The job brief on paper: the crew's five subjects, stop-work box, weights, names to be signed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framer.checks.rulebook import Rulebook
from framer.drawing.columns import Said, section
from framer.drawing.pages import sheets_of, text_pages
from framer.drawing.sheet import PAPERS, Paper, Sheet
from framer.transfer.brief import (
    CREW_LINES,
    LIVE_FACTS,
    NOT_COMPLETE,
    STOP_WORK,
    Brief,
    Line,
    brief,
)
from framer.transfer.stages import Transfer

RULE = "______________________________"


def brief_sheets(
    transfer: Transfer, books: Sequence[Rulebook], *, paper: Paper = PAPERS["letter"]
) -> tuple[Sheet, ...]:
    """The job brief, over as many pages as it takes.

    Raises:
        FramerError: a text has no room on the paper.
    """
    told = brief(transfer, books)
    pages = list(text_pages("Job brief", list(_lines(told)), paper))
    return sheets_of(transfer.job, books, pages, paper)


def _lines(told: Brief) -> Iterator[Said]:
    yield from (Said(words, boxed=True) for words in STOP_WORK)
    yield Said(_state(told), heading=True)
    yield from _said(told.missing)
    if not told.missing:
        yield Said("The job says all that is asked of it. The blanks are filled at the pole.")
    yield from section("Only known here and now", (f"{one}: {RULE}" for one in LIVE_FACTS))
    yield from section("1  Hazards", _said(told.hazards), nothing="none is in the job: ____")
    yield from section("2  Procedure", _said(told.procedure), nothing="the job has no steps")
    yield from section("3  Special precautions", _said(told.precautions), nothing="____")
    yield from section("4  Energy sources and holds", _said(told.energy), nothing="____")
    yield from section("5  Protective equipment", _said(told.protection), nothing="____")
    yield from section("Weights and lifts", _said(told.weights), nothing="nothing is lifted")
    yield from section(
        "Everyone was told, and may stop the work",
        (f"name {RULE[:14]} sign {RULE[:14]}" for _ in range(CREW_LINES)),
    )


def _state(told: Brief) -> str:
    """Whether something is missing; that it is complete is for the crew to say, not for paper."""
    if not told.missing:
        return "Blanks to fill before work begins"
    many = sum(not one.under for one in told.missing)
    return f"{NOT_COMPLETE}: {many} thing{'s' * (many > 1)} cannot be said"


def _said(lines: Sequence[Line]) -> Iterator[Said]:
    for one in lines:
        yield Said(one.words, one.verdict, under=one.under)
