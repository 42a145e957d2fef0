"""The job brief on paper: the crew's five subjects, stop-work box, weights, names to be signed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from framer.checks.rulebook import Rulebook
from framer.drawing.columns import Said, section
from framer.drawing.language import Language, language
from framer.drawing.pages import sheets_of, text_pages
from framer.drawing.sheet import PAPERS, Paper, Sheet
from framer.errors import UnknownNameError
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
from framer.transfer.words import BLANK

NO_STEPS = "the job has no steps"

RULE = 30 * "_"
SHORT_RULE = 24 * "_"


def brief_sheets(
    transfer: Transfer, books: Sequence[Rulebook], *, paper: Paper = PAPERS["letter"]
) -> tuple[Sheet, ...]:
    """The job brief, over as many pages as it takes.

    Raises:
        FramerError: a text has no room on the paper.
    """
    pages = list(text_pages("Job brief", list(brief_lines(transfer, books)), paper))
    return sheets_of(transfer.job, books, pages, paper)


def brief_lines(transfer: Transfer, books: Sequence[Rulebook]) -> Iterator[Said]:
    """The lines of the job brief, where the crew has another language in English and in that."""
    told = brief(transfer, books)
    yield from _boxed(STOP_WORK)
    try:
        spoken = language(transfer.job.settings.crew_language)
    except UnknownNameError as problem:
        yield Said(f"in English only: {problem}", "cannot say")
        spoken = None
    if spoken is None:
        yield from _lines(told, str)
    else:
        yield from _in_both(list(_lines(told, spoken.beside)), spoken)


def _in_both(lines: Sequence[Said], spoken: Language) -> Iterator[Said]:
    """The lines, each with the words for it behind a stroke; before them the language's own box."""
    told = [(one, None if _is_in_both(one) else spoken.said(one.words)) for one in lines]
    alone = sum(words == "" for _, words in told)
    yield Said(f"{spoken.name}: {spoken.source.words()}. The English line counts.")
    yield Said(f"/ {spoken.note}", under=True)
    if alone:
        yield Said(f"in English only: {alone} line{'s' * (alone > 1)} of what follows")
    yield from _boxed(filter(None, map(spoken.said, STOP_WORK)))
    for one, words in told:
        yield one
        if words and words != one.words:
            yield Said(f"/ {words}", under=True)


def _is_in_both(line: Said) -> bool:
    """Whether both languages are in a line already, or no words: a heading, a blank to fill."""
    return line.heading or SHORT_RULE in line.words or line.words == BLANK


def _boxed(lines: Iterable[str]) -> Iterator[Said]:
    return (Said(words, boxed=True) for words in lines)


def _lines(told: Brief, label: Callable[[str], str]) -> Iterator[Said]:
    """The lines below the box; `label` words headings, and what a blank is for."""
    yield Said(label(_state(told)), heading=True)
    yield from _said(told.missing)
    if not told.missing:
        yield Said("The job says all that is asked of it. The blanks are filled at the pole.")
    live = (f"{label(one)}: {RULE}" for one in LIVE_FACTS)
    yield from section(label("Only known here and now"), live)
    subjects = (
        ("1  Hazards", told.hazards, "none is in the job: ____"),
        ("2  Procedure", told.procedure, NO_STEPS),
        ("3  Special precautions", told.precautions, BLANK),
        ("4  Energy sources and holds", told.energy, BLANK),
        ("5  Protective equipment", told.protection, BLANK),
        ("Weights and lifts", told.weights, "nothing is lifted" if told.procedure else NO_STEPS),
    )
    for heading, lines, nothing in subjects:
        yield from section(label(heading), _said(lines), nothing=nothing)
    to_sign = "Everyone was told, and may stop the work: name and signature"
    yield from section(label(to_sign), [f"{SHORT_RULE}  {SHORT_RULE}"] * CREW_LINES)


def _state(told: Brief) -> str:
    """Whether something is missing; that it is complete is for the crew to say, not for paper."""
    if not told.missing:
        return "Blanks to fill before work begins"
    many = sum(not one.under for one in told.missing)
    return f"{NOT_COMPLETE}: {many} thing{'s' * (many > 1)} cannot be said"


def _said(lines: Sequence[Line]) -> Iterator[Said]:
    for one in lines:
        yield Said(one.words, one.verdict, under=one.under)
