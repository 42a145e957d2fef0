"""`framer drill`, `jumpers` and `changes`: what is printed and written."""

from __future__ import annotations

import csv
from pathlib import Path

import ezdxf
import pytest

from framer.files.reader import read_job
from framer.files.writer import write_job
from tests.cli.running import CORNER, TANGENT, Here

JOB = "alder-lane.framer"


def test_drill_prints_every_bore(here: Here) -> None:
    ended = here.run("drill", CORNER)
    assert (ended.status, ended.err) == (0, "")
    assert "1. Line arm: drill, 5/8 in x 14 in" in ended.out
    assert "49 ft from butt, 42 ft above ground, 1 ft from top; check 50 ft = length" in ended.out
    assert here.written() == set()


def test_drill_says_what_is_not_known_and_is_then_not_clean(here: Here) -> None:
    ended = here.run("drill", TANGENT)
    assert ended.status == 1
    assert "cannot say bores of Cutout not known" in ended.out


@pytest.mark.parametrize("name", ["d.csv", "d.dxf", "d.pdf"])
def test_drill_writes_what_the_ending_says(here: Here, name: str) -> None:
    ended = here.run("drill", CORNER, "-o", name, "--paper", "letter")
    assert (ended.status, ended.out) == (0, f"wrote {name}\n")
    assert here.written() == {name}
    if name.endswith("csv"):
        with Path(name).open(newline="", encoding="utf-8") as file:
            assert sum(row["number"].isdigit() for row in csv.DictReader(file)) == 6
    elif name.endswith("dxf"):
        assert ezdxf.readfile(name).audit().errors == []
    else:
        assert Path(name).read_bytes().startswith(b"%PDF-")


def test_a_pole_that_does_not_stand_is_refused(here: Here) -> None:
    ended = here.run("drill", CORNER, "--pole", "nowhere", "-o", "d.csv")
    assert (ended.status, ended.out) == (2, "")
    assert "standing pole" in ended.err
    assert here.written() == set()


def test_jumpers_are_printed_with_their_cut(here: Here) -> None:
    ended = here.run("jumpers", CORNER)
    assert ended.status == 0
    assert "\njumper A from pole 8 to pole 7-W1\n" in ended.out
    assert (
        "cut 8 ft (jumper A from pole 8 to pole 7-W1 taken to hang with a bow of 15 %)" in ended.out
    )
    assert "no side to climb is chosen" in ended.out


def test_changes_of_a_job_to_itself_are_none(here: Here) -> None:
    ended = here.run("changes", CORNER, CORNER)
    assert ended.status == 0
    assert ended.out.endswith("nothing on the lists changes\n")


def test_changes_are_printed_with_the_stamp(here: Here) -> None:
    from msgspec.structs import replace

    from framer.edits.places import set_along_pole

    first = read_job(CORNER / JOB)
    lower = replace(set_along_pole(first, "line-arm", "framed", "height", 492.0), date="2026-11-27")
    write_job(lower, Path("lower.framer"))
    ended = here.run("changes", CORNER, "lower.framer")
    assert ended.status == 1
    assert "bore for Line arm: 12 in down to 48 ft from butt" in ended.out
    assert "superseded by the sketch of 2026-11-27" in ended.out
