"""`framer strength` as a user calls it."""

from __future__ import annotations

from pathlib import Path

from tests.cli.running import ROOT, process

DEAD_END = ROOT / "sample_jobs/dead-end"


def test_without_a_choice_it_says_so(tmp_path: Path) -> None:
    ended = process(tmp_path, "strength", DEAD_END)
    assert ended.status == 2
    assert ended.err.strip() == "framer: strength not judged: no loading district chosen"


def test_it_prints_loads_moment_strength_and_what_is_left(tmp_path: Path) -> None:
    choice = ("--loading", "nesc-light", "--method", "nesc-2017", "--grade", "C")
    ended = process(tmp_path, "strength", DEAD_END, *choice)
    assert ended.err == ""
    assert ended.status == 1
    for words in (
        "New pole, NESC light",
        "Loads without factors, wind to",
        "wire tension: 2,309.9 to 90.0 deg at 37.00 ft",
        "1,500.0 lbf bare (0.2911 lb/ft) at 60 F",
        "Load: ",
        "What counts of it: ",
        "from memory - check in your copy",
        "Primary guy",
    ):
        assert words in ended.out
    assert any(words in ended.out for words in ("Left: ", "Wanting: "))
    for never in ("safe ", "approved", "compliant", "nan"):
        assert never not in ended.out
    found = process(tmp_path, "strength", DEAD_END, "--stage", "found", *choice)
    assert "A pole that is there already is replaced below" in found.out


def test_a_choice_that_is_not_there_is_refused_with_those_that_are(tmp_path: Path) -> None:
    choice = ("--loading", "nesc-light", "--method", "nesc-2017", "--grade", "Q")
    ended = process(tmp_path, "strength", DEAD_END, *choice)
    assert ended.status == 2
    assert "there is no grade of NESC 2017, load and strength factors 'Q'" in ended.err
    assert "Traceback" not in ended.err
