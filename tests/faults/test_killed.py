"""Killed for real, at a moment nobody chose: each file is the old one or the new one, whole."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.files.autosave import autosave_path
from framer.files.disk import backup_path
from framer.files.lock import holder, lock
from framer.files.reader import read_job
from framer.files.writer import write_job
from tests.faults.corner import document, written

pytestmark = pytest.mark.skipif(os.name == "nt", reason="nothing forks there")

ROOT = Path(__file__).resolve().parent.parent.parent

NURSERY = """
import os, random, signal, sys, time
from pathlib import Path
from msgspec.structs import replace
from framer.files.autosave import write_autosave
from framer.files.lock import lock
from framer.files.reader import read_job
from framer.files.writer import write_job
from framer.session import Session
from framer.sheets.output import write_materials, write_sheet

what, job_path, target = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
runs, dice, job = int(sys.argv[4]), random.Random(int(sys.argv[5])), read_job(job_path)
# long enough for several writes to the disk
notes = [replace(job, name=f"version {n % 2}", note=f"{n} " * 40_000) for n in range(40)]
sessions = [
    Session(replace(job, items=tuple(replace(one, name=f"thing {n}") for one in job.items)))
    for n in (0, 1)
]

def put(number):
    if what == "save":
        with lock(target):
            write_job(notes[number], target)
    elif what == "autosave":
        write_autosave(notes[number], target)
    elif target.suffix == ".csv":
        write_materials(sessions[number % 2].job, target)
    else:
        write_sheet(sheets[number % 2], target)

if what == "export" and target.suffix != ".csv":
    sheets = [session.sheet() for session in sessions]
if what == "export":
    plain = target
    for number in (0, 1):
        target = plain.with_stem(f"whole-{number}")
        put(number)
    target = plain
put(0)
begun = time.perf_counter()
put(1)
lasts = time.perf_counter() - begun

for _ in range(runs):
    put(0)
    told, tell = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            for number in range(1, 40):
                put(number)
                os.write(tell, b".")
        finally:
            os._exit(0)
    os.close(tell)
    time.sleep(dice.uniform(0.0, 4.0 * lasts))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    done = b""
    while some := os.read(told, 100):
        done += some
    os.close(told)
    print(len(done), flush=True)
    sys.stdin.readline()
"""


class Killed:
    """A process that does one thing again and again in a child, and kills the child."""

    def __init__(self, what: str, job: Path, target: Path, runs: int) -> None:
        self.left = runs
        self.process = subprocess.Popen(
            [sys.executable, "-c", NURSERY, what, str(job), str(target), str(runs), "20260501"],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def next(self) -> int:
        """After the next kill: how often the child had done it and said so."""
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        assert line, f"ended by itself with {self.process.wait()}"
        self.left -= 1
        return int(line)

    def go_on(self) -> None:
        """All was looked at; the next one may start."""
        assert self.process.stdin is not None
        self.process.stdin.write("\n")
        self.process.stdin.flush()

    def __enter__(self) -> Killed:
        return self

    def __exit__(self, kind: object, *more: object) -> None:
        if kind is not None:
            self.process.kill()
        self.process.communicate(timeout=60)
        assert kind is not None or self.process.returncode == 0


def saves_are_whole(folder: Path, runs: int) -> None:
    job, target = written(folder, document()), folder / "saved.framer"
    first = replace(read_job(job), note="-1")
    half_way, left_before = 0, 1
    with Killed("save", job, target, runs) as killed:
        while killed.left:
            done = killed.next()
            last, before = (
                int(read_job(path).note.split()[0]) for path in (target, backup_path(target))
            )
            assert last in (done, done + 1)
            # the first child, killed before it saved, leaves what the process saved before it
            assert before in (last, last - 1) or (last == 0 and before == left_before)
            left_before = -1
            left = [one for one in folder.iterdir() if one.suffix == ".saving"]
            half_way += bool(left) or before == last or last == done + 1
            assert holder(target) is None
            with lock(target):  # what the dead one held is free
                write_job(first, target)
            assert not [one for one in folder.iterdir() if one.suffix == ".saving"]
            killed.go_on()
    assert half_way > runs // 50, "hardly a kill came in the middle of a save"


def autosaves_are_whole(folder: Path, runs: int) -> None:
    job, target = written(folder, document()), folder / "saved.framer"
    write_job(read_job(job), target)
    as_saved = target.read_bytes()
    with Killed("autosave", job, target, runs) as killed:
        while killed.left:
            done = killed.next()
            kept = int(read_job(autosave_path(target)).note.split()[0])
            assert kept in (done, done + 1)
            assert target.read_bytes() == as_saved
            killed.go_on()


def exports_are_whole(folder: Path, suffix: str, runs: int) -> None:
    job = ROOT / "sample_jobs/corner/alder-lane.framer"
    target = folder / f"out{suffix}"
    half_way = 0
    with Killed("export", job, target, runs) as killed:
        while killed.left:
            done = killed.next()
            whole = [target.with_stem(f"whole-{number}").read_bytes() for number in (0, 1)]
            assert whole[0] != whole[1]
            assert target.read_bytes() in (whole[done % 2], whole[(done + 1) % 2])
            half_way += any(one.suffix == ".saving" for one in folder.iterdir())
            killed.go_on()
    assert half_way or runs < 100


def test_saves_killed_at_random_leave_the_old_or_the_new_job(tmp_path: Path) -> None:
    saves_are_whole(tmp_path, 60)


def test_autosaves_killed_at_random_leave_the_old_or_the_new_one(tmp_path: Path) -> None:
    autosaves_are_whole(tmp_path, 40)


@pytest.mark.parametrize("suffix", [".csv", ".dxf", ".pdf"])
def test_exports_killed_at_random_leave_the_old_or_the_new_file(
    tmp_path: Path, suffix: str
) -> None:
    exports_are_whole(tmp_path, suffix, 12)


@pytest.mark.long
def test_five_hundred_saves_killed(tmp_path: Path) -> None:
    saves_are_whole(tmp_path, 500)


@pytest.mark.long
def test_five_hundred_autosaves_killed(tmp_path: Path) -> None:
    autosaves_are_whole(tmp_path, 500)


@pytest.mark.long
@pytest.mark.parametrize("suffix", [".csv", ".dxf", ".pdf"])
def test_five_hundred_exports_killed(tmp_path: Path, suffix: str) -> None:
    exports_are_whole(tmp_path, suffix, 500 if suffix == ".csv" else 250)
