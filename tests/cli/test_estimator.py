"""`framer materials`, `pick` and `estimate`: the estimator's lists from the command line."""

from __future__ import annotations

import csv
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import openpyxl

from tests.cli.running import CORNER, ROOT, TANGENT, Here

JOB = CORNER / "alder-lane.framer"


def test_a_list_that_closes_is_clean_and_one_that_does_not_is_not(here: Here) -> None:
    ended = here.run("materials", CORNER)
    assert (ended.status, ended.err) == (0, "")
    assert ended.out.startswith("section,group,name,part,stock number,unit,install,")
    ended = here.run("materials", TANGENT, "-o", "list.xlsx")
    assert (ended.status, ended.out) == (1, "wrote list.xlsx\n")
    assert ended.err == "NOT TO BE ISSUED: 1 item undecided: Street lamp\n"


def test_prices_come_from_the_users_file(here: Here) -> None:
    Path("p.csv").write_text("name,cost,stock no\narm-10ft-4pin,84.5,XA\n", encoding="utf-8")
    assert here.run("materials", CORNER, "--prices", "p.csv", "-o", "l.json").status == 0
    lines = json.loads(Path("l.json").read_text(encoding="utf-8"))["lines"]
    (arm,) = (
        line for line in lines if line["part"] == "arm-10ft-4pin" and line["section"] == "material"
    )
    assert (arm["cost_each"], arm["cost"], arm["stock_number"]) == (84.5, 169.0, "XA")


def test_a_wrong_price_file_is_said_by_row_and_column_and_writes_nothing(here: Here) -> None:
    Path("p.csv").write_text("name,cost\narm,much\n", encoding="utf-8")
    ended = here.run("materials", CORNER, "--prices", "p.csv", "-o", "l.csv")
    assert ended.status == 2
    assert "p.csv: row 2, column 'cost': expected a number, found 'much'" in ended.err
    assert here.written() == {"p.csv"}


def test_several_jobs_are_one_pick_list(here: Here) -> None:
    Path("jobs").mkdir()
    for number in range(3):
        shutil.copy(JOB, Path("jobs") / f"job-{number}.framer")
    ended = here.run("pick", "jobs", "-o", "pick.xlsx")
    assert (ended.status, ended.out, ended.err) == (0, "wrote pick.xlsx\n", "")
    sheet = openpyxl.load_workbook("pick.xlsx")["Material"]
    (row,) = (
        row for row in sheet.iter_rows(values_only=True) if row[1] == "Wood arm 10 ft, 4 pins"
    )
    assert row[5] == 6  # two arms a job
    assert "job-0 2, job-1 2, job-2 2" in row


def test_a_job_that_cannot_be_read_is_said_and_the_list_is_not_to_be_issued(here: Here) -> None:
    Path("jobs").mkdir()
    shutil.copy(JOB, Path("jobs") / "good.framer")
    Path("jobs/bad.framer").write_text("{}", encoding="utf-8")
    ended = here.run("pick", "jobs", "-o", "pick.csv")
    assert ended.status == 1
    assert "NOT TO BE ISSUED: bad: not on this list: " in ended.err
    with Path("pick.csv").open(encoding="utf-8", newline="") as file:
        first = next(iter(csv.DictReader(file)))
    assert first["section"] == "NOT TO BE ISSUED"
    assert first["name"].startswith("bad: not on this list: ")


def test_a_pick_list_never_goes_over_a_job(here: Here) -> None:
    shutil.copy(JOB, "one.framer")
    before = Path("one.framer").read_bytes()
    assert here.run("pick", "one.framer", "-o", "one.framer").status == 2
    assert Path("one.framer").read_bytes() == before


def test_ctrl_c_ends_a_pick_list_and_writes_nothing(here: Here) -> None:
    Path("jobs").mkdir()
    for number in range(600):
        shutil.copy(JOB, Path("jobs") / f"job-{number}.framer")
    process = subprocess.Popen(
        [sys.executable, "-P", "-m", "framer", "pick", "jobs", "-o", "pick.csv"],
        env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    time.sleep(2.0)
    assert process.poll() is None
    os.killpg(process.pid, signal.SIGINT)  # as a terminal does, to all of them
    out, err = process.communicate(timeout=60)
    assert (process.returncode, out) == (2, "")
    assert "stopped; nothing was written" in err
    assert "Traceback" not in err
    assert not Path("pick.csv").exists()


def test_the_estimate_says_what_is_missing_and_is_then_not_clean(here: Here) -> None:
    ended = here.run("estimate", CORNER, "--crew", "4", "--contingency", "10")
    assert ended.status == 1
    assert "labour to install: not known - 7 lines without hours\n" in ended.out
    assert "contingency: not known - 10 %, as typed\n" in ended.out
    assert "\ntotal: not known - nothing of it is known\n" in ended.out
    assert "salvage, not taken off: not known - 7 lines without salvage value\n" in ended.out
    assert "put your own hours into a labour file" in ended.out


def test_the_estimate_adds_up_by_the_users_files(here: Here) -> None:
    Path("p.csv").write_text("name,cost\narm-10ft-4pin,100\n", encoding="utf-8")
    Path("l.csv").write_text(
        "name,action,hours\narm-10ft-4pin,install,3\narm-10ft-4pin,remove,1\n", encoding="utf-8"
    )
    ended = here.run(
        "estimate", CORNER, "--prices", "p.csv", "--labour", "l.csv", "--crew", "4", "--rate", "50",
        "--contingency", "10", "-o", "e.csv",
    )  # fmt: skip
    # two arms: 6 h to install, 2 h to remove, at 50; 200 of material; 10 % of 600
    assert "labour to install: 6.00 h" in ended.out
    assert "crew time: 2.00 h - crew of 4" in ended.out
    assert "total: 660.00 - of what is known: not a whole estimate" in ended.out
    assert "total,,labour cost,,,,400," in Path("e.csv").read_text(encoding="utf-8")


def test_numbers_that_make_no_sense_are_refused(here: Here) -> None:
    for words in (("--crew", "0"), ("--rate", "-1"), ("--contingency", "-5")):
        assert here.run("estimate", CORNER, *words).status == 2
