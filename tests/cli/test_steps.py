"""`framer steps`: what each step does, what is open at its stage, and the exit status."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.app.cli import main
from framer.files.find import job_file
from framer.files.reader import read_job
from framer.files.writer import write_job

JOBS = Path(__file__).resolve().parent.parent.parent / "sample_jobs"


def test_every_step_is_printed_with_what_it_does_and_its_tightest_gaps(
    capsys: pytest.CaptureFixture[str],
) -> None:
    status = main(["steps", str(JOBS / "corner-transfer")])
    lines = capsys.readouterr().out.splitlines()
    assert status == 1  # where the crew leaves something cannot be said
    job = read_job(job_file(JOBS / "corner-transfer"))
    for number, step in enumerate(job.steps, start=1):
        assert f"after step {number}: {step.title}" in lines
    assert "   C of Mill 3 to pole 7-W1: from Old dead-end C to Temporary dead-end C" in lines
    assert "              4 short as found and no worse, not counted" in lines
    start = lines.index("tightest of the whole transfer")
    assert len(lines[start:]) == 5
    assert lines[-1].startswith("stages with something short: 0;")


def test_brief_leaves_out_what_each_step_moves(capsys: pytest.CaptureFixture[str]) -> None:
    main(["steps", str(JOBS / "corner-transfer"), "--brief"])
    printed = capsys.readouterr().out
    assert "from Old dead-end C to" not in printed
    assert "after step 1:" in printed


def test_what_is_out_of_order_is_printed_at_its_step(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = read_job(job_file(JOBS / "corner-transfer"))
    order = sorted(job.steps, key=lambda step: step.kind != "hang")
    path = tmp_path / "wrong.framer"
    write_job(replace(job, steps=tuple(order)), path)
    assert main(["steps", str(path), "--brief"]) == 1
    lines = capsys.readouterr().out.splitlines()
    first = lines.index("after step 1: Hang the buck arm with its dead-ends")
    assert "is to be on New pole, which is not there yet" in lines[first + 1]
    assert lines[first + 1].startswith("!! short")


def test_a_job_without_steps_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    main(["steps", str(JOBS / "tangent")])
    assert "the job has no steps" in capsys.readouterr().out


def test_approach_is_told_apart_at_every_step_with_cover_and_holds_at_the_end(
    capsys: pytest.CaptureFixture[str],
) -> None:
    main(["steps", str(JOBS / "corner-transfer"), "--brief"])
    lines = capsys.readouterr().out.splitlines()
    head = "   of the workers; approach distances are no clearances of construction:"
    job = read_job(job_file(JOBS / "corner-transfer"))
    assert lines.count(head) == sum(step.by == "crew" for step in job.steps)
    after = [lines[number + 1] for number, line in enumerate(lines) if line == head]
    assert all("Line worker to a live part" in line for line in after)
    start = next(n for n, line in enumerate(lines) if line.startswith("cover needed: "))
    assert "28 x hose of class 3, 6 x hood of class 3" in lines[start]
    assert "Mill 3, 24.9Y/14.4 kV: hold on recloser at Mill substation" in lines[start + 1]


def test_what_is_tight_without_a_gap_is_printed_at_its_step_too(
    capsys: pytest.CaptureFixture[str],
) -> None:
    main(["steps", str(JOBS / "corner-transfer"), "--brief"])
    out = capsys.readouterr().out
    after = out.partition("after step 15: ")[2].partition("after step 16: ")[0]
    boom = "~  tight      What the boom can reach: inside its circle of 30 ft: Ridge 2, Mill 3"
    assert boom in after.splitlines()
