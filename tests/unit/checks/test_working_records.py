"""What a rulebook may say of room to work, and what it is refused for."""

from __future__ import annotations

from pathlib import Path

import pytest

from framer.checks.bookshelf import read_rulebook, rulebook
from tests.build import written_book

SOURCE = 'source = { document = "D", how_known = "house" }'
WORKING = f"""
[working]
id = "mine.room"
title = "Room"
{SOURCE}
"""


def rule(key: str, *lines: str, when: str = "") -> str:
    return "\n".join((
        "[[rule]]",
        f'id = "mine.{key}"',
        'title = "Height"',
        'measure = "working height"',
        'a = "arm"',
        'b = "arm"',
        "need = [{ value = 20 }]",
        SOURCE,
        *lines,
        f"when = {{ {when} }}" if when else "",
        "",
    ))  # fmt: skip


def refusal(folder: Path, text: str) -> str:
    path = folder / "mine.toml"
    path.write_text(f'[book]\nid = "mine"\nname = "Mine"\nedition = "1"\n{text}', encoding="utf-8")
    (problem,) = read_rulebook(path).problems
    return str(problem)


def test_a_record_and_a_rule_that_eases_another_are_read(tmp_path: Path) -> None:
    eased = rule(
        "less", 'eases = "mine.height"', 'reason = "all covered"', when="all_covered = true"
    )
    book = written_book(tmp_path, WORKING + rule("height") + eased)
    assert book.problems == ()
    assert book.working is not None
    assert book.working.id == "mine.room"
    assert [one.eases for one in book.rules] == ["", "mine.height"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (rule("less", 'eases = "mine.other"', 'reason = "r"'), "eases: expected a rule above"),
        (rule("height") + rule("less", 'eases = "mine.height"'), "reason: expected under which"),
        (rule("height", when="joint_use = true"), "when.joint_use: not judged of a working height"),
        (rule("height").replace('b = "arm"', 'b = "pole"'), "a: a working height is between"),
        (
            rule("height").replace("working height", "working space"),
            "a working space stands in [working]",
        ),
        (
            rule("gap", when="arms_at_most = 2").replace("working height", "arm spacing"),
            "when.arms_at_most: judged of a working height only",
        ),
        (
            rule("gap", 'eases = "mine.gap"').replace("working height", "arm spacing"),
            "eases: only a working height is eased",
        ),
        (WORKING.replace('title = "Room"', "title = 3"), "[working]"),
        (WORKING + 'passes = ["pillow"]\n', "[working]"),
    ],
)
def test_what_makes_no_sense_is_refused_by_name(tmp_path: Path, text: str, words: str) -> None:
    assert words in refusal(tmp_path, text)


def test_a_book_that_changes_another_keeps_its_room_to_work() -> None:
    assert rulebook("nesc-2012").working == rulebook("nesc-2017").working
    assert rulebook("go95-older").working == rulebook("go95").working
