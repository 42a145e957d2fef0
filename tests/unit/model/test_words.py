"""Names in sentences: nothing in a name moves, hides or turns the numbers beside it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.explain import one_line
from framer.files.find import job_file
from framer.model.job import MOST_LABEL
from framer.model.words import LEFT_TO_RIGHT, left_to_right, plain
from framer.session import Session
from tests.cli.running import CORNER

HEBREW = "\u05e9\u05e0\u05d0\u05d9 12"


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("line arm", "line arm"),
        ("arm\n-- meets", "arm -- meets"),
        ("arm\r\n", "arm "),
        ("\x1b[2Karm", " [2Karm"),
        ("arm \u202e5", "arm  5"),
        ("a\u2028b\u2066c\x85d", "a b c d"),
        ("Łódź ½ 変圧", "Łódź ½ 変圧"),
        ("\u0645\u06cc\u200c\u062e", "\u0645\u06cc\u200c\u062e"),  # joins letters, turns nothing
    ],
)
def test_a_name_stays_on_its_line_and_turns_nothing(name: str, told: str) -> None:
    assert plain(name) == told


@given(st.text())
def test_a_plain_text_has_no_line_end_and_is_as_it_was_when_made_plain_again(text: str) -> None:
    told = plain(text)
    assert len(told.splitlines()) <= 1
    assert plain(told) == told


def test_words_from_the_right_end_before_the_number_that_follows() -> None:
    told = left_to_right(f"{HEBREW}: 0 in")
    assert told == f"{LEFT_TO_RIGHT}{HEBREW[:4]}{LEFT_TO_RIGHT} 12: 0 in"


def test_every_line_begins_at_the_left() -> None:
    told = left_to_right(f"arm\n{HEBREW}")
    assert [line[0] for line in told.splitlines()] == [LEFT_TO_RIGHT] * 2


@pytest.mark.parametrize("text", ["arm 12: 0 in", "Łódź 12: 0 in", "変圧 12", ""])
def test_a_text_without_such_words_is_as_it_was(text: str) -> None:
    assert left_to_right(text) == text


def test_a_mark_that_turns_what_follows_is_not_shown() -> None:
    assert left_to_right("need \u202e21 in") == "need 21 in"


def test_a_name_far_too_long_is_cut_so_that_the_numbers_are_in_sight() -> None:
    job = Session.open(job_file(CORNER)).job
    long = replace(job, items=tuple(replace(one, name="old mill " * 400) for one in job.items))
    label = long.label(long.items[0].id)
    assert len(label) <= MOST_LABEL
    assert label.endswith("mill...")
    usual = "m" * MOST_LABEL
    assert replace(job, items=(replace(job.items[0], name=usual),)).label(job.items[0].id) == usual


def test_findings_say_hostile_names_on_one_line() -> None:
    job = Session.open(job_file(CORNER)).job
    name = "arm\n!! short\x1b[2K\u202e"
    session = Session(replace(job, items=tuple(replace(one, name=name) for one in job.items)))
    said = [one_line(session.job, one) for one in session.findings("framed")]
    assert any("arm !! short [2K" in one for one in said)
    assert all(one.isprintable() for one in said)
