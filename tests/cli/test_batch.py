"""Many jobs checked in one go."""

from __future__ import annotations

import os
import shutil
import signal
from pathlib import Path

import pytest

from framer.app import batch
from framer.app.batch import job_files, judge, judged
from framer.errors import FramerError
from tests.bench.jobs import write_many
from tests.cli.running import CORNER, Here, process

ROOT = CORNER.parent.parent


@pytest.fixture
def many(tmp_path: Path) -> Path:
    """A folder of thirty jobs, in two folders."""
    folder = tmp_path / "jobs"
    for part in ("one", "two"):
        (folder / part).mkdir(parents=True)
        write_many(folder / part, 15)
    return folder


def test_every_job_is_judged_as_it_is_alone(many: Path) -> None:
    done = process(many, "check", "--batch", many, "--processes", "2")
    assert done.status == 1
    lines = done.out.splitlines()
    assert lines[-1].startswith("30 jobs: ")
    for path in job_files([many]):
        (line,) = (line for line in lines if f"{path}:" in line)
        alone = process(many, "check", path)
        counts = [f"{count} {verdict}" for verdict, count in judge(path, "framed").counts.items()]
        assert line.endswith(", ".join(counts))
        assert ", ".join(counts) in alone.out.replace("(0 of them answered for)", "")
        if path.name > "job-00003":
            break


def test_one_process_and_two_say_the_same_in_the_same_order(many: Path) -> None:
    paths = job_files([many])
    assert list(judged(paths, "framed", 1)) == list(judged(paths, "framed", 2))
    assert [row.path for row in judged(paths, "framed", 2)] == list(paths)


def test_a_bad_file_among_them_is_said_and_the_others_are_judged(here: Here, many: Path) -> None:
    (many / "one" / "bad.framer").write_text("{", encoding="utf-8")
    (many / "two" / ".job-00001.framer.autosave").write_text("{", encoding="utf-8")
    done = here.run("check", "--batch", many, "--processes", "1")
    assert done.status == 2
    assert "bad.framer: not judged: bad.framer: line 1" in done.out
    assert done.out.splitlines()[-1].endswith("1 not judged")
    assert done.out.splitlines()[-1].startswith("31 jobs: ")


def test_a_folder_without_jobs_and_one_that_is_not_there_are_named(
    here: Here, tmp_path: Path
) -> None:
    (tmp_path / "empty").mkdir()
    assert "no .framer file in" in here.run("check", "--batch", tmp_path / "empty").err
    gone = here.run("check", "--batch", tmp_path / "gone")
    assert (gone.status, "there is no such file or folder" in gone.err) == (2, True)


def test_a_job_or_a_batch_is_asked_for(here: Here) -> None:
    assert here.run("check").status == 2
    assert here.run("check", CORNER, "--batch", CORNER).status == 2


def test_a_stage_only_some_jobs_have_is_said_of_the_others(here: Here, tmp_path: Path) -> None:
    shutil.copytree(CORNER, tmp_path / "corner")
    done = here.run("check", "--batch", tmp_path / "corner", "--stage", "9")
    assert done.status == 2
    assert "not judged:" in done.out


def _dies(path: Path, stage: str) -> batch.Row:
    os.kill(os.getpid(), signal.SIGKILL)
    return batch.Row(path, {})


@pytest.mark.skipif(os.name == "nt", reason="nothing is killed that way there")
def test_a_process_that_the_system_ends_is_said(
    many: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(batch, "judge", _dies)
    with pytest.raises(FramerError, match="the system ended a process half way"):
        list(judged(job_files([many]), "framed", 2))


def _stopped(path: Path, stage: str) -> batch.Row:
    raise KeyboardInterrupt


def test_a_batch_stopped_by_hand_says_so_in_one_line(
    here: Here, many: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(batch, "judge", _stopped)
    done = here.run("check", "--batch", many, "--processes", "1")
    assert (done.status, done.err) == (130, "framer: stopped before it was done\n")


def test_a_batch_on_two_processes_ends_with_nothing_to_complain_of(many: Path) -> None:
    assert process(many, "check", "--batch", many, "--processes", "2").err == ""
