"""The job brief in two languages: English whole and in its order, the other beside it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

import framer.drawing.brief as drawing_brief
from framer.checks.bookshelf import rulebook
from framer.drawing.brief import brief_lines, brief_sheets
from framer.drawing.columns import Said
from framer.drawing.language import language, read_language
from framer.drawing.picture import Text
from framer.drawing.sheet import PAPERS
from framer.files.find import job_file
from framer.files.reader import read_job
from framer.transfer.brief import LIVE_FACTS, STOP_WORK
from framer.transfer.stages import Transfer, judged
from tests.outputs.samples import JOBS


@cache
def transfer(spoken: str) -> Transfer:
    job = read_job(job_file(JOBS / "corner-transfer"))
    job = replace(job, settings=replace(job.settings, crew_language=spoken))
    return judged(job, tuple(rulebook(key) for key in job.books))


@cache
def lines(spoken: str) -> tuple[Said, ...]:
    made = transfer(spoken)
    return tuple(brief_lines(made, [rulebook(key) for key in made.job.books]))


def test_every_english_line_is_there_in_its_order() -> None:
    spanish = language("es")
    assert spanish is not None
    both = iter(lines("es"))
    for one in lines(""):
        labelled = one.heading or "______" in one.words
        found = next(it for it in both if it.words == one.words or (labelled and " / " in it.words))
        assert (found.verdict, found.heading, found.under) == (one.verdict, one.heading, one.under)


def test_each_line_is_followed_by_its_words_and_names_stay() -> None:
    words = [one.words for one in lines("es")]
    at = words.index("Lift for A: put up by a boom or stand")
    assert words[at + 1].startswith("/ Lift for A: ")
    assert words[at + 1].removeprefix("/ ") != words[at]
    under = lines("es")[at + 1]
    assert under.under
    assert under.verdict is None  # the mark stands once, at the English line


def test_the_box_stands_once_in_each_language() -> None:
    boxed = [one.words for one in lines("es") if one.boxed]
    assert boxed[: len(STOP_WORK)] == list(STOP_WORK)
    assert len(boxed) == 2 * len(STOP_WORK)


def test_a_blank_is_there_once_and_named_twice() -> None:
    blanks = [one.words for one in lines("es") if one.words.startswith(f"{LIVE_FACTS[0]} / ")]
    assert len(blanks) == 1
    assert blanks[0].count("______________________________") == 1


def test_it_says_whose_words_they_are_and_that_english_counts() -> None:
    words = [one.words for one in lines("es")]
    spanish = language("es")
    assert spanish is not None
    assert f"Español: {spanish.source.words()}. The English line counts." in words
    assert "from memory - check in your copy" in spanish.source.words()
    assert f"/ {spanish.note}" in words


def test_lines_without_words_are_counted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "xx.toml"
    path.write_text(
        'id = "xx"\nname = "Ixxish"\nnote = "vale el inglés"\n'
        'source = { document = "made up for a test", how_known = "memory" }\n'
        '[says]\n"Keep the neutral continuous." = "No abra el neutro."\n'
    )
    monkeypatch.setattr(drawing_brief, "language", lambda _: read_language(path))
    made = transfer("es")
    said = [one.words for one in brief_lines(made, [rulebook(key) for key in made.job.books])]
    said_of = [one for one in lines("") if not one.heading and not one.boxed]
    blanks = [one for one in said_of if "______" in one.words or one.words == "____"]
    many = len(said_of) - len(blanks) - 1
    assert f"in English only: {many} lines of what follows" in said
    assert "/ No abra el neutro." in said


def test_an_unknown_language_leaves_english_and_is_told() -> None:
    told, *rest = [one for one in lines("tlh") if not one.boxed]
    assert told.words.startswith("in English only: there is no language 'tlh'")
    assert told.verdict == "cannot say"
    assert rest == [one for one in lines("") if not one.boxed]


def test_both_languages_have_room_on_every_paper() -> None:
    made = transfer("es")
    books = [rulebook(key) for key in made.job.books]
    for paper in PAPERS.values():
        drawn = [
            it.text
            for sheet in brief_sheets(made, books, paper=paper)
            for it in sheet.picture.primitives
            if isinstance(it, Text)
        ]
        assert not [text for text in drawn if text.endswith("...") and not text.startswith("...")]
