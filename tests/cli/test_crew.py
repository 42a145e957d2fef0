"""`framer cover`, `holds` and `approach`: what is printed, written, and the exit status."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.files.writer import write_job
from framer.model.step import Hold
from tests.cli.running import CORNER, Here
from tests.situations.test_cover import laid, three_phases
from tests.situations.test_holds import COMPLETE, crossing
from tests.situations.transfer import with_steps, work, worker


def test_approach_prints_both_exposures_in_feet_and_how_they_come_about(here: Here) -> None:
    ended = here.run("approach", "26", "--altitude-ft", "5200")
    assert (ended.status, ended.err) == (0, "")
    assert "phase to ground: 2.73 ft" in ended.out
    assert "phase to phase: 3.16 ft" in ended.out
    assert "us-1910-269.r3-ground: 30.9 in; the larger counts" in ended.out
    assert "= 103.7 kV peak" in ended.out
    assert "class 3 or more" in ended.out


def test_approach_says_what_it_cannot(here: Here) -> None:
    ended = here.run("approach", "115")
    assert ended.status == 1
    assert "cannot say" in ended.out
    assert "no class reaches it" in ended.out
    assert "avoid contact" in here.run("approach", "0.24").out
    assert "over 900 m above sea level more, up to 43.7 in" in here.run("approach", "26").out


def test_approach_looks_clothing_up(here: Here) -> None:
    known = here.run("approach", "12.47", "--ka", "8", "--cycles", "10")
    assert (known.status, "4 cal/cm2" in known.out) == (0, True)
    unknown = here.run("approach", "12.47", "--ka", "40", "--cycles", "10")
    assert (unknown.status, "no row for 12.47 kV and 40 kA" in unknown.out) == (1, True)


@pytest.mark.parametrize("kv", ["0", "-3", "1501"])
def test_approach_takes_no_voltage_there_is_not(here: Here, kv: str) -> None:
    ended = here.run("approach", "--", kv)
    assert (ended.status, ended.out) == (2, "")
    assert "above 0 and up to 1,500 kV" in ended.err


def test_cover_prints_what_is_laid_and_what_is_needed_by_count_and_class(here: Here) -> None:
    write_job(laid(), Path("job.framer"))
    ended = here.run("cover", "job.framer", "--each-way", "6")
    assert (ended.status, ended.err) == (0, "")
    assert (
        "step 1: 1 x Line hose 6 ft, class 3 on A of Mill 3 to pole 6, class 3, needs class 3"
        in ended.out
    )
    assert "in all 4 x hose, class 3 or more" in ended.out
    assert "in all 2 x hood, class 3 or more" in ended.out
    assert "class 4  to 36,000 V; tested at 40,000 V ac or 70,000 V dc" in ended.out
    assert "gloves: before first issue, every 6 months" in ended.out


def test_cover_that_is_needed_and_not_laid_is_short(here: Here) -> None:
    write_job(with_steps(three_phases(), work(worker())), Path("job.framer"))
    ended = here.run("cover", "job.framer")
    assert ended.status == 1
    assert "no step lays any cover" in ended.out
    assert "!! short      step 1: B of Mill 3 to pole 6: 1 x hose for " in ended.out
    assert "hood on pin-B, not laid" in ended.out


def test_cover_and_holds_of_a_job_without_steps_cannot_be_said(here: Here) -> None:
    for command in ("cover", "holds"):
        ended = here.run(command, CORNER)
        assert ended.status == 1
        assert "?  the job has no steps" in ended.out


def test_cover_of_steps_without_workers_cannot_be_said(here: Here) -> None:
    write_job(with_steps(three_phases(), work()), Path("job.framer"))
    for command in ("cover", "holds"):
        ended = here.run(command, "job.framer")
        assert ended.status == 1
        assert "in steps 1 cannot be said: no worker is placed there" in ended.out


def test_holds_print_blanks_as_blanks(here: Here) -> None:
    write_job(crossing(Hold("main", "hold"), Hold("ridge", "fuse only")), Path("job.framer"))
    ended = here.run("holds", "job.framer")
    assert ended.status == 1
    assert "?  cannot say Mill 3, 24.9Y/14.4 kV, in steps 1: hold on ____" in ended.out
    assert "device ____; asked by ____; given to ____" in ended.out
    assert "a fuse is not a hold: decide hold, cover or de-energise" in ended.out


def test_complete_holds_are_clean(here: Here) -> None:
    other = replace(COMPLETE, circuit="ridge", device="switch 12")
    write_job(crossing(COMPLETE, other), Path("job.framer"))
    ended = here.run("holds", "job.framer")
    assert ended.status == 0
    assert "hold on recloser R7, asked by M. Okafor" in ended.out


def test_the_request_sheet_is_written_as_csv_and_as_nothing_else(here: Here) -> None:
    write_job(crossing(COMPLETE), Path("job.framer"))
    ended = here.run("holds", "job.framer", "-o", "holds.csv")
    assert (ended.status, ended.out) == (0, "wrote holds.csv\n")
    with Path("holds.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [row["circuit"] for row in rows] == ["Mill 3", "Ridge 2"]
    assert rows[1]["device"] == ""
    assert here.run("holds", "job.framer", "-o", "holds.pdf").status == 2
    assert here.run("holds", "job.framer", "-o", "job.framer").status == 2


@pytest.mark.parametrize("feet", ["0", "1001", "-1"])
def test_a_length_of_cover_there_is_not_is_refused(here: Here, feet: str) -> None:
    write_job(laid(), Path("job.framer"))
    assert here.run("cover", "job.framer", f"--each-way={feet}").status == 2
