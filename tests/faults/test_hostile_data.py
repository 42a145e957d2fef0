"""Rulebooks beside a job that were made to do harm: refused or read in part, in a sentence."""

from __future__ import annotations

import json
import random
import shutil
import time
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.checks.bookshelf import read_rulebook
from framer.errors import DataFileError, FramerError
from framer.files.reader import read_job
from framer.files.writer import write_job
from framer.resources import resources
from framer.session import Session
from tests.faults.damage import bytes_flipped, cut_off, piece_lost, piece_twice

SAMPLE = Path(__file__).resolve().parent.parent.parent / "sample_jobs/corner/alder-lane.framer"

BOOK = """
[book]
id = "own"
name = "Own"
edition = "1"
jurisdiction = "here"
"""

RULE = """
[[rule]]
id = "own.apart"
title = "Wires apart"
measure = "distance"
a = "wire"
b = "wire"
need = [{ value = 6, unit = "in" }]
source = { document = "own", how_known = "house" }
"""

HOSTILE = {
    "empty": "",
    "only brackets": "[" * 50_000,
    "brackets in brackets": "[book]\nid = " + "[" * 50_000,
    "dotted a thousand deep": "a." * 5_000 + "b = 1",
    "a million digits": BOOK + "x = " + "9" * 1_000_000,
    "no number": BOOK + RULE.replace("value = 6", "value = nan"),
    "without end": BOOK + RULE.replace("value = 6", "value = inf"),
    "below nothing": BOOK + RULE.replace("value = 6", "value = -1e308"),
    "larger than anything": BOOK + RULE.replace("value = 6", "value = 1e308"),
    "changes itself": BOOK + 'base = "own"\n',
    "changes a path": BOOK + 'base = "../../../etc/passwd"\n',
    "a path as id": BOOK.replace('"own"', '"../../own"', 1) + RULE,
    "same field twice": BOOK + 'id = "own"\n',
    "code for a value": BOOK + 'name2 = __import__("os").system("touch pwned")\n',
    "a date": BOOK.replace('"1"', "2026-05-01"),
    "a list for a book": '[[book]]\nid = "own"\n',
    "a word for rules": BOOK + 'rule = "none"\n',
    "a letter turned round": BOOK.replace('"Own"', '"\\u202ekoob\\u0000"') + RULE,
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_rulebook_is_said_and_the_job_still_judged(tmp_path: Path, kind: str) -> None:
    job = read_job(SAMPLE)
    (tmp_path / "rules").mkdir()
    path = tmp_path / "job.framer"
    (tmp_path / "rules/own.toml").write_text(BOOK + RULE, encoding="utf-8")
    write_job(replace(job, books=("house", "own")), path)
    (tmp_path / "rules/own.toml").write_text(HOSTILE[kind], encoding="utf-8")
    before = sorted(one.name for one in tmp_path.rglob("*"))
    began = time.process_time()
    session = Session.open(path)
    found = session.findings("framed")
    assert time.process_time() - began < 10.0
    # the other book still judges, and a book that is not whole is named
    assert any(one.rule.book == "house" for one in found)
    own = session.books()[1]
    harmless = kind in ("a letter turned round", "larger than anything", "a path as id")
    assert own.problems or harmless, "taken as sound"
    assert sorted(one.name for one in tmp_path.rglob("*")) == before


def test_a_rulebook_too_large_for_any_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    with path.open("wb") as file:
        file.truncate(2**40)  # takes no room on the disk
    with pytest.raises(DataFileError, match="is larger than 16 MB, which no rulebook is"):
        read_rulebook(path)


def test_no_rule_without_a_number_is_ever_met(tmp_path: Path) -> None:
    job = read_job(SAMPLE)
    (tmp_path / "rules").mkdir()
    for value in ("nan", "inf", "-inf", "-1e308", "1e308", "-1"):
        text = BOOK + RULE.replace("value = 6", f"value = {value}")
        (tmp_path / "rules/own.toml").write_text(text, encoding="utf-8")
        write_job(replace(job, books=("own",)), tmp_path / "job.framer")
        session = Session.open(tmp_path / "job.framer")
        verdicts = {one.verdict for one in session.findings("framed") if one.rule.id == "own.apart"}
        assert not verdicts & {"meets", "tight"} or session.books()[0].problems, value


def test_damaged_rulebooks_are_read_in_part_or_refused_in_a_sentence(tmp_path: Path) -> None:
    dice = random.Random(20260503)  # noqa: S311 - the same damage in every run
    texts = [
        path.read_bytes()
        for path in sorted((resources() / "rules").glob("*.toml"))
        if path.stat().st_size < 12_000
    ]
    assert len(texts) > 3
    path = tmp_path / "own.toml"
    whole = parts = refused = 0
    for _ in range(600):
        damage = dice.choice((bytes_flipped, cut_off, piece_lost, piece_twice))
        path.write_bytes(damage(dice.choice(texts), dice))
        try:
            book = read_rulebook(path)
            problems, none_at_all = book.problems, False
        except DataFileError as error:
            problems, none_at_all = (error,), True
        refused += none_at_all
        parts += bool(problems) and not none_at_all
        whole += not problems
        assert all(str(problem).startswith("own.toml: ") for problem in problems)
    assert min(whole, parts, refused) > 0


@pytest.mark.parametrize(
    "name",
    [
        "../outside",
        "/srv/pwned",
        "..",
        "a/b",
        "con",
        "x" * 300,
        "null\0",
        "\u202eemosdaer",
    ],
)
def test_a_book_named_like_a_path_reads_nothing_outside(tmp_path: Path, name: str) -> None:
    path = tmp_path / "deep" / "job.framer"
    path.parent.mkdir()
    (tmp_path / "outside.toml").write_text(BOOK + RULE, encoding="utf-8")
    shutil.copy(SAMPLE, path)
    text = path.read_text(encoding="utf-8")
    assert '"house"' in text
    path.write_text(text.replace('"house"', json.dumps(name), 1), encoding="utf-8")
    with pytest.raises(FramerError, match="there is no rulebook"):
        Session.open(path)


def test_more_parts_than_memory_takes_are_refused_in_a_sentence() -> None:
    job = read_job(SAMPLE)
    crowd = tuple(replace(job.nearby[0], id=f"near-{number}") for number in range(4_500))
    session = Session(replace(job, nearby=(*job.nearby, *crowd)))
    began = time.process_time()
    with pytest.raises(FramerError, match="at most 4,000 are judged together"):
        session.findings("framed")
    assert time.process_time() - began < 10.0
