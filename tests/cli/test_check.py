"""`framer check`: its exit status is a promise, and a job that cannot be read is no clean job."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from framer.checks.finding import Verdict
from framer.files.writer import write_job
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.reading import Reading
from framer.session import Session
from tests.build import Record, arm, job, pinned, pole
from tests.cli.running import CORNER, ROOT, TANGENT, Here, process

ARM_AT_IN = 450.0
"""Bolt 12 in below the top of a 45-ft pole 78 in deep, exactly what the house rule asks."""
WIRES_UP_IN = ARM_AT_IN + 13.0


def framed(*more: Record, arm_at_in: float = ARM_AT_IN) -> Job:
    """A pole with three wires on an arm, each to spare, and what else a test adds."""
    return job(
        Circuit("main", "Main", kv=12.47, kv_to_ground=7.2, grounded_wye=True),
        Circuit("ridge", "Ridge", kv=12.47, kv_to_ground=7.2, grounded_wye=True),
        Span("north", "N", 0.0, 1800.0),
        *pole(45, depth_in=78.0),
        arm("arm", arm_at_in),
        *pinned("arm", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}),
        *more,
    )


def crossing(height_in: float | None, tolerance_in: float = 0.0) -> list[Record]:
    """A wire of another line square over the pole, read at a height or never read."""
    wire = NearbyWire("over", "Ridge wire", "ridge", 0.0, 0.0, 90.0)
    if height_in is None:
        return [wire]
    return [wire, Reading("over", "height", height_in, tolerance_in=tolerance_in)]


def counted(made: Job) -> dict[Verdict, int]:
    return Session(made).findings("framed").counts


def status(here: Here, made: Job, *words: str) -> int:
    path = here.folder / "job.framer"
    write_job(made, path)
    return here.run("check", path, *words).status


# The exit status.


def test_it_is_0_when_everything_meets(here: Here) -> None:
    counts = counted(framed())
    assert counts["meets"] >= 4
    assert sum(counts.values()) == counts["meets"]
    assert status(here, framed()) == 0


def test_it_is_1_when_one_gap_is_a_sixteenth_short_and_0_when_it_is_exact(here: Here) -> None:
    assert status(here, framed(arm_at_in=ARM_AT_IN)) == 0
    lower_top = framed(arm_at_in=ARM_AT_IN + 1 / 16)
    assert counted(lower_top)["short"] == 1
    assert status(here, lower_top) == 1


def test_it_is_1_when_one_thing_cannot_be_said_and_nothing_is_short(here: Here) -> None:
    unread = framed(*crossing(None))
    counts = counted(unread)
    assert counts["short"] == 0
    assert counts["cannot say"] > 0
    assert status(here, unread) == 1


def test_it_is_0_when_the_worst_is_tight(here: Here) -> None:
    """Met, but not if the reading is off: 42 in to the wires, read to 2 in."""
    close = framed(*crossing(WIRES_UP_IN + 42.0, tolerance_in=2.0))
    counts = counted(close)
    assert counts["short"] == counts["cannot say"] == 0
    assert counts["tight"] > 0
    assert status(here, close) == 0


@pytest.mark.parametrize("words", [["--all"], ["--keys"], ["--all", "--keys"]])
def test_what_is_printed_does_not_change_it(here: Here, words: list[str]) -> None:
    assert status(here, framed(), *words) == 0
    assert status(here, framed(*crossing(None)), *words) == 1


def test_it_is_that_of_the_stage_asked_for(here: Here) -> None:
    found = here.run("check", CORNER, "--stage", "found")
    framed_too = here.run("check", CORNER)
    assert (found.status, framed_too.status) == (1, 1)
    assert "as found" in found.out.splitlines()[0]
    assert "as framed" in framed_too.out.splitlines()[0]


def test_a_reader_who_stops_reading_is_not_told_that_all_is_clean(tmp_path: Path) -> None:
    """As `framer check job | head -1` with pipefail; much is printed, and the pipe is closed."""
    path = tmp_path / "job.framer"
    write_job(framed(), path)
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = subprocess.run(
            [sys.executable, "-P", "-m", "framer", "check", str(path), "--all"],
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=writing,
            stderr=subprocess.PIPE,
            timeout=120,
            check=False,
        )
    finally:
        os.close(writing)
    assert done.returncode == 1
    assert b"Traceback" not in done.stderr


# What is printed.


def test_the_corner_by_the_real_process(tmp_path: Path) -> None:
    ended = process(tmp_path, "check", CORNER)
    assert ended.status == 1
    assert ended.err == ""
    first, *rest = ended.out.splitlines()
    assert first == "Alder Lane at Mill Road, corner pole 7 - as framed"
    assert rest[0].startswith("judged by House rules (example)")
    assert "!! short " in ended.out
    counts = Session.open(CORNER / "alder-lane.framer").findings("framed").counts
    assert rest[-2] == ", ".join(f"{many} {verdict}" for verdict, many in counts.items())
    assert rest[-1] == "strength not judged: no loading district chosen"
    assert list(tmp_path.iterdir()) == []


def test_worst_comes_first_and_what_meets_only_on_request(here: Here) -> None:
    short = here.run("check", CORNER).out
    everything = here.run("check", CORNER, "--all").out
    marks = [line[:2] for line in short.splitlines() if line[:2] in ("!!", "? ", "~ ")]
    assert marks == sorted(marks, key=["!!", "? ", "~ "].index)
    assert "meets     " not in short
    meets = Session.open(CORNER / "alder-lane.framer").findings("framed").counts["meets"]
    assert sum(line.startswith("   meets ") for line in everything.splitlines()) == meets > 50


def test_a_key_printed_explains_its_finding(here: Here) -> None:
    listed = here.run("check", CORNER, "--keys").out.splitlines()
    place = next(number for number, line in enumerate(listed) if line.startswith("!! short"))
    key = listed[place + 1].strip()
    explained = here.run("check", CORNER, "--explain", key)
    assert explained.status == 1
    said = listed[place].removeprefix("!! short").strip()
    assert explained.out.splitlines()[0] == f"short: {said}"
    assert "\nSource: " in explained.out
    assert "\nRequired: " in explained.out


def test_a_name_in_letters_the_terminal_has_not_is_no_reason_to_stop(tmp_path: Path) -> None:
    path = tmp_path / "job.framer"
    write_job(replace(framed(), name="Łódź 変電所"), path)
    ended = process(tmp_path, "check", path, PYTHONIOENCODING="ascii")
    assert ended.status == 0
    assert ended.err == ""


def test_nothing_is_called_safe_approved_or_compliant(here: Here) -> None:
    for sample in (CORNER, TANGENT):
        printed = here.run("check", sample, "--all").out
        assert len(printed) > 1000
        assert re.findall(r"\b(safe|approved|compliant)\b", printed, re.IGNORECASE) == []


# Input that is wrong.


def broken(folder: Path, name: str) -> Path:
    """The corner job spoilt in one way, or something else where a job should be."""
    path = folder / f"{name}.framer"
    text = (CORNER / "alder-lane.framer").read_text(encoding="utf-8")
    record: dict[str, Any] = json.loads(text)
    if name == "cut":
        text = text[: len(text) // 2]
    elif name == "newer":
        text = json.dumps({**record, "format": 999})
    elif name == "stranger":
        record["job"]["colour"] = "red"
        text = json.dumps(record)
    elif name == "negative":
        record["job"]["spans"][0]["length_in"] = -5
        text = json.dumps(record)
    elif name == "not-a-number":
        record["job"]["spans"][0]["length_in"] = float("nan")
        text = json.dumps(record)
    elif name == "orphan":
        record["job"]["wires"][0]["span"] = "nowhere"
        text = json.dumps(record)
    elif name == "empty":
        text = ""
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("cut", "cut.framer"),
        ("newer", "format"),
        ("stranger", "colour"),
        ("negative", "length_in"),
        ("not-a-number", "length_in"),
        ("orphan", "nowhere"),
        ("empty", "empty.framer"),
    ],
)
@pytest.mark.parametrize("command", ["check", "sheet", "materials", "open"])
def test_a_bad_job_is_one_sentence_status_2_and_nothing_written(
    here: Here, tmp_path: Path, command: str, name: str, words: str
) -> None:
    path = broken(tmp_path, name)
    before = path.read_bytes()
    ended = here.run(command, path)
    assert ended.status == 2
    (sentence,) = ended.err.splitlines()
    assert sentence.startswith(f"framer: {path.name}: ")
    assert words in sentence
    assert "Traceback" not in ended.err
    assert ended.out in ("", "framer: no screen here, so the job comes on paper\n")
    assert here.written() == set()
    assert path.read_bytes() == before


def test_a_bad_job_by_the_real_process(tmp_path: Path) -> None:
    path = broken(tmp_path, "cut")
    ended = process(tmp_path, "check", path)
    assert (ended.status, ended.out) == (2, "")
    assert ended.err.startswith("framer: cut.framer: ")
    assert list(tmp_path.iterdir()) == [path]


def test_a_job_that_is_not_there_is_said(here: Here) -> None:
    ended = here.run("check", "nowhere.framer")
    assert (ended.status, ended.out) == (2, "")
    assert "there is no such file" in ended.err


def test_a_folder_must_hold_just_one_job(here: Here) -> None:
    none = here.run("check", here.folder)
    assert (none.status, "found none" in none.err) == (2, True)
    for name in ("one", "two"):
        shutil.copy(CORNER / "alder-lane.framer", here.folder / f"{name}.framer")
    both = here.run("check", here.folder)
    assert (both.status, "one.framer, two.framer" in both.err) == (2, True)


@pytest.mark.parametrize("stage", ["next", "-1", "99", "1.5", ""])
def test_a_stage_there_is_not_is_said(here: Here, stage: str) -> None:
    ended = here.run("check", CORNER, f"--stage={stage}")
    assert (ended.status, ended.out) == (2, "")
    assert ended.err.startswith("framer: ")


def test_a_key_there_is_not_is_said(here: Here) -> None:
    ended = here.run("check", CORNER, "--explain", "house.nearby-pole|nothing")
    assert (ended.status, ended.out) == (2, "")
    assert "there is no finding 'house.nearby-pole|nothing'" in ended.err
