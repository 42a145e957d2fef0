"""Saves that are cut short or refused: the file is the old one or the new one, always whole."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
import pytest

from framer.errors import JobFileError
from framer.files import format as formats
from framer.files import reader, writer
from framer.files.autosave import autosave_path, write_autosave
from framer.files.format import encode
from framer.files.lock import lock
from framer.files.reader import job_from, read_job
from framer.files.writer import write_job
from framer.model.job import Job
from framer.session import Session
from tests.faults.corner import document

ROOT = Path(__file__).resolve().parent.parent.parent

CALLS = ("open", "write", "fsync", "close", "chmod", "replace", "unlink", "stat", "listdir")
"""What a save may ask of the system."""


def version(note: str) -> Job:
    """The small job, told apart by its note."""
    sound = job_from(msgspec.json.encode(document()), "corner.json").job
    return msgspec.structs.replace(sound, note=note)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A job file that was saved twice."""
    where = tmp_path / "corner.json"
    write_job(version("first"), where)
    write_job(version("second"), where)
    return where


def notes(path: Path) -> tuple[str, str]:
    """Which versions the file and its backup hold, both read as a whole."""
    return read_job(path).note, read_job(path.with_name("corner.json.bak")).note


def left_over(folder: Path) -> list[str]:
    """What is in the folder besides the file and its backup."""
    return sorted({entry.name for entry in folder.iterdir()} - {"corner.json", "corner.json.bak"})


# Killed


KILLER = """
import os, sys
from pathlib import Path
import msgspec
from framer.files.reader import read_job
from framer.files.writer import write_job

folder, calls = Path(sys.argv[1]), sys.argv[2].split(",")

def killed_at(number, moment, path):
    # in a process of its own: save, and be gone at one call to the system
    count = 0
    def deadly(name):
        plain = getattr(os, name)
        def call(*args, **kwargs):
            nonlocal count
            count += 1
            if count == number and moment == "before":
                os._exit(9)
            if count == number and moment == "half-way" and name == "write":
                plain(args[0], args[1][: len(args[1]) // 2])
                os._exit(9)
            result = plain(*args, **kwargs)
            if count == number and moment == "after":
                os._exit(9)
            return result
        return call
    for name in calls:
        setattr(os, name, deadly(name))
    write_job(third, path)
    os._exit(0)

third = msgspec.structs.replace(read_job(folder / "corner.json"), note="third")
for moment in ("before", "half-way", "after"):
    number = 0
    while True:
        number += 1
        copy = folder / f"{moment}-{number}"
        copy.mkdir()
        for name in ("corner.json", "corner.json.bak"):
            (copy / name).write_bytes((folder / name).read_bytes())
        child = os.fork()
        if child == 0:
            try:
                killed_at(number, moment, copy / "corner.json")
            finally:
                os._exit(3)
        status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        print(moment, number, status, flush=True)
        if status == 0 and number > 40:
            break
"""


@pytest.mark.skipif(os.name == "nt", reason="nothing forks there")
def test_a_save_killed_at_any_call_to_the_system_leaves_a_whole_file_old_or_new(
    path: Path,
) -> None:
    run = subprocess.run(
        [sys.executable, "-c", KILLER, str(path.parent), ",".join(CALLS)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    outcomes = set()
    kills = 0
    for line in run.stdout.splitlines():
        moment, number, status = line.split()
        assert status in ("0", "9"), run.stdout + run.stderr
        copy = path.parent / f"{moment}-{number}" / "corner.json"
        after = notes(copy)
        if status == "0":
            assert after == ("third", "second")
            assert left_over(copy.parent) == []
            continue
        kills += 1
        outcomes.add(after)
        # the version before is kept before it is replaced
        assert after in {("second", "first"), ("second", "second"), ("third", "second")}
        assert all(name.endswith(".saving") for name in left_over(copy.parent))
        write_job(version("fourth"), copy)
        assert read_job(copy).note == "fourth"
        assert left_over(copy.parent) == []
    assert outcomes == {("second", "first"), ("second", "second"), ("third", "second")}
    # two files are each opened, given their mode, written, synced, closed and put in place
    assert kills >= 2 * 12


# Refused by the system


def failing(monkeypatch: pytest.MonkeyPatch, number: int, code: int) -> list[str]:
    """Make the n-th call to the system fail; gives the names of the calls as they come."""
    called: list[str] = []

    def faulty(name: str) -> Callable[..., Any]:
        plain = getattr(os, name)

        def call(*args: Any, **kwargs: Any) -> Any:
            called.append(name)
            if len(called) != number:
                return plain(*args, **kwargs)
            if name == "close":
                plain(*args)  # a close that fails has closed
            raise OSError(code, os.strerror(code))

        return call

    for name in CALLS:
        monkeypatch.setattr(os, name, faulty(name))
    return called


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EACCES])
def test_a_save_refused_at_any_call_to_the_system_says_so_and_leaves_the_old_file(
    tmp_path: Path, code: int
) -> None:
    refusals = 0
    for number in range(1, 40):
        folder = tmp_path / str(number)
        folder.mkdir()
        path = folder / "corner.json"
        write_job(version("first"), path)
        write_job(version("second"), path)
        with pytest.MonkeyPatch.context() as patch:
            called = failing(patch, number, code)
            try:
                write_job(version("third"), path)
            except JobFileError as error:
                problem = error.problem
                refusals += 1
            else:
                problem = ""
        if not problem or problem.startswith("saved, but the disk did not confirm it"):
            assert notes(path) == ("third", "second")
        else:
            assert problem.startswith("not saved: ")
            assert problem.endswith("; the file is as it was")
            assert notes(path) in {("second", "first"), ("second", "second")}
        assert left_over(folder) == []
    assert len(called) < 39  # the last ones went through
    assert refusals >= 12


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT])
def test_a_disk_that_fills_up_half_way_is_told_of(
    path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    plain = os.write
    room = 100

    def write(file: int, data: bytes) -> int:
        nonlocal room
        if not room:
            raise OSError(code, os.strerror(code))
        taken = plain(file, bytes(data)[:room])
        room -= taken
        return taken

    monkeypatch.setattr(os, "write", write)
    with pytest.raises(
        JobFileError, match=r"not saved: the disk .*; the file is as it was"
    ) as full:
        write_job(version("third"), path)
    monkeypatch.undo()
    assert full.value.file == "corner.json"
    assert notes(path) == ("second", "first")
    assert left_over(path.parent) == []


def test_a_write_that_takes_only_a_part_is_carried_on(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = os.write
    monkeypatch.setattr(os, "write", lambda file, data: plain(file, bytes(data)[:7]))
    write_job(version("third"), path)
    monkeypatch.undo()
    assert notes(path) == ("third", "second")


LIMITED = """
import resource, sys
from pathlib import Path
import msgspec
from framer.errors import JobFileError
from framer.files.reader import read_job
from framer.files.writer import write_job

path = Path(sys.argv[1])
job = msgspec.structs.replace(read_job(path), note="third" * 10_000)
resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
try:
    write_job(job, path)
except JobFileError as error:
    print(error)
"""


@pytest.mark.skipif(os.name == "nt", reason="there are no such limits there")
def test_a_limit_of_the_system_itself_on_file_size_is_told_of(path: Path) -> None:
    run = subprocess.run(
        [sys.executable, "-c", LIMITED, str(path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout.startswith("corner.json: not saved: the disk takes no file of that size; ")
    assert notes(path)[0] == "second"
    assert left_over(path.parent) == []


def test_a_disk_that_does_not_confirm_the_new_file_is_told_of(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = os.fsync
    count = 0

    def fsync(file: int) -> None:
        nonlocal count
        count += 1
        if count == 3:  # backup, file, folder
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        plain(file)

    monkeypatch.setattr(os, "fsync", fsync)
    with pytest.raises(JobFileError, match="saved, but the disk did not confirm it"):
        write_job(version("third"), path)
    assert notes(path) == ("third", "second")


@pytest.mark.parametrize("code", [errno.EINVAL, errno.EOPNOTSUPP, errno.ENOSYS])
def test_a_file_system_that_cannot_confirm_folders_is_no_error(
    path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    plain = os.fsync
    count = 0

    def fsync(file: int) -> None:
        nonlocal count
        count += 1
        if count == 3:
            raise OSError(code, os.strerror(code))
        plain(file)

    monkeypatch.setattr(os, "fsync", fsync)
    write_job(version("third"), path)
    assert notes(path) == ("third", "second")


@pytest.mark.parametrize("code", [errno.EPERM, errno.EOPNOTSUPP])
def test_a_network_drive_without_permissions_is_no_error(
    path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    def chmod(*_: object, **__: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "chmod", chmod)
    write_job(version("third"), path)
    assert notes(path) == ("third", "second")
    assert left_over(path.parent) == []


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (errno.ESTALE, "the network drive has lost it"),
        (errno.ETIMEDOUT, "the network drive does not answer"),
        (errno.EIO, "the disk reports a fault"),
    ],
)
def test_a_network_drive_that_goes_away_is_told_of_and_the_old_file_stays(
    path: Path, monkeypatch: pytest.MonkeyPatch, code: int, words: str
) -> None:
    def replace(*_: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(JobFileError) as caught:
        write_job(version("third"), path)
    assert caught.value.problem == f"not saved: {words}; the file is as it was"
    assert notes(path) == ("second", "first")
    assert left_over(path.parent) == []


@pytest.mark.skipif(os.name == "nt", reason="locks are of another kind there")
@pytest.mark.parametrize("code", [errno.ENOLCK, errno.EOPNOTSUPP])
def test_a_drive_without_locks_says_so_and_can_still_be_saved_to(
    path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    import fcntl

    def flock(*_: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(fcntl, "flock", flock)
    with pytest.raises(JobFileError, match="cannot be locked: this drive"), lock(path):
        pytest.fail("it was locked")
    write_job(version("third"), path)
    write_autosave(version("fourth"), path)
    assert notes(path) == ("third", "second")
    assert read_job(autosave_path(path)).note == "fourth"


# Files of other formats


def test_a_file_of_an_older_format_stays_beside_the_new_one_for_good(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = path.read_bytes()
    for room in (formats, reader, writer):
        monkeypatch.setattr(room, "FORMAT", 2)
    monkeypatch.setattr(formats, "UPGRADES", {1: lambda record: (record, ["nothing, made up"])})
    session = Session.open(path)
    assert session.brought_up == ("nothing, made up",)
    assert path.read_bytes() == before
    for note in ("third", "fourth"):
        session.do("note", lambda job, note=note: msgspec.structs.replace(job, note=note))
        session.save()
    assert notes(path) == ("fourth", "third")
    assert (path.parent / "corner.json.format-1").read_bytes() == before
    assert left_over(path.parent) == ["corner.json.format-1"]


def test_a_file_of_a_newer_format_is_not_written_over(path: Path) -> None:
    newer = b'{"format": 7, "job": {"name": "x"}}'
    path.write_bytes(newer)
    with pytest.raises(JobFileError, match="not saved: the file there was made by a newer framer"):
        write_job(version("third"), path)
    assert path.read_bytes() == newer


# Refused by us


def test_a_read_only_file_stays_as_it_is(path: Path) -> None:
    path.chmod(0o444)
    with pytest.raises(JobFileError) as caught:
        write_job(version("third"), path)
    assert str(caught.value) == "corner.json: not saved: the file is read-only; it is as it was"
    assert notes(path) == ("second", "first")


def test_a_file_of_somebody_else_stays_as_it_is(ordinary_users_folder: Path) -> None:
    path = ordinary_users_folder / "corner.json"
    write_job(version("first"), path)
    ordinary_users_folder.chmod(0o500)
    with pytest.raises(JobFileError) as caught:
        write_job(version("second"), path)
    assert caught.value.problem == "not saved: there is no permission; the file is as it was"
    assert read_job(path).note == "first"


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "jobs"
    with pytest.raises(JobFileError) as caught:
        write_job(version("first"), folder / "corner.json")
    assert f"not saved: the folder {folder} is not there" in caught.value.problem
    assert not folder.exists()


def test_a_folder_in_place_of_the_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "corner.json").mkdir()
    with pytest.raises(JobFileError, match=r"corner\.json: not saved: it is a folder"):
        write_job(version("first"), tmp_path / "corner.json")


@pytest.mark.skipif(os.name == "nt", reason="there are no pipes in folders there")
def test_a_pipe_in_place_of_the_file_is_refused(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "corner.json")
    with pytest.raises(JobFileError, match="not saved: it is no ordinary file"):
        write_job(version("first"), tmp_path / "corner.json")


def test_something_far_too_large_for_a_job_file_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "film.json"
    with path.open("wb") as file:
        file.truncate(64 * 1024 * 1024 + 1)
    with pytest.raises(JobFileError, match="what is there is too large for a job file"):
        write_job(version("first"), path)
    assert path.stat().st_size == 64 * 1024 * 1024 + 1


def test_a_folder_in_place_of_the_backup_stops_the_save(path: Path) -> None:
    backup = path.with_name("corner.json.bak")
    backup.unlink()
    backup.mkdir()
    with pytest.raises(JobFileError, match="not saved: it is a folder; the file is as it was"):
        write_job(version("third"), path)
    assert read_job(path).note == "second"


@pytest.mark.skipif(os.name == "nt", reason="links need a privilege there")
def test_a_link_round_in_a_circle_is_refused_and_stays(tmp_path: Path) -> None:
    path = tmp_path / "corner.json"
    path.symlink_to(path)
    with pytest.raises(JobFileError, match="a link that leads round in a circle"):
        write_job(version("first"), path)
    assert path.is_symlink()


def test_a_name_no_file_may_have_is_refused() -> None:
    with pytest.raises(JobFileError, match="not saved: its name holds a character no file name"):
        write_job(version("first"), Path("corner\0.json"))


@pytest.mark.parametrize(
    ("change", "place", "problem"),
    [
        ({"books": ("gone",)}, "books[0]", "not saved: there is no rulebook 'gone'"),
        ({"spans": ()}, "wires[0] 'wire-A'.span", "not saved: there is no span 'east'"),
        ({"name": 7}, "name", "not saved: expected text, got 7"),
        ({"note": "\ud83d"}, "", "not saved: a text in the job holds half a character"),
        ({"note": b"bytes"}, "", "not saved: Object of type bytes is not JSON serializable"),
        ({"books": ["house"]}, "", "not saved: the job would not read back the same"),
    ],
)
def test_a_job_that_would_not_read_back_is_not_saved(
    path: Path, change: dict[str, Any], place: str, problem: str
) -> None:
    with pytest.raises(JobFileError) as caught:
        write_job(msgspec.structs.replace(version("third"), **change), path)
    assert caught.value.file == "corner.json"
    assert caught.value.place == place
    assert caught.value.problem.startswith(problem)
    assert notes(path) == ("second", "first")
    assert left_over(path.parent) == []


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_a_job_with_a_number_that_is_none_is_not_saved(path: Path, number: float) -> None:
    job = version("third")
    read = msgspec.structs.replace(job.readings[0], temp_f=number)
    with pytest.raises(JobFileError) as caught:
        write_job(msgspec.structs.replace(job, readings=(read,)), path)
    assert caught.value.place == "readings[0].temp_f"
    assert caught.value.problem.startswith("not saved: expected a number or null, got ")
    assert notes(path) == ("second", "first")


# Left over


def test_only_what_saves_of_this_file_left_over_is_swept(path: Path) -> None:
    ours = [".corner.json.0123abcd.saving", ".corner.json.bak.0123abcd.saving"]
    others = [
        ".corner.json.0123abcd.part",
        ".corner.json.saving",
        ".corner.jsonX0123abcd.saving",
        ".other.json.0123abcd.saving",
        "corner.json.0123abcd.saving",
    ]
    for name in (*ours, *others):
        (path.parent / name).write_bytes(b"half a j")
    write_job(version("third"), path)
    assert left_over(path.parent) == sorted(others)


def test_a_left_over_that_cannot_be_removed_does_not_stop_the_save(path: Path) -> None:
    (path.parent / ".corner.json.0123abcd.saving").mkdir()
    write_job(version("third"), path)
    assert notes(path) == ("third", "second")


def test_an_autosave_cut_short_leaves_the_one_before(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_autosave(version("third"), path)
    full = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def write(file: int, data: bytes) -> int:
        raise full

    monkeypatch.setattr(os, "write", write)
    with pytest.raises(JobFileError, match=r"corner\.json: no autosave: the disk is full"):
        write_autosave(version("fourth"), path)
    monkeypatch.undo()
    assert autosave_path(path).read_bytes() == encode(version("third"))
    assert left_over(path.parent) == [".corner.json.autosave"]
    assert notes(path) == ("second", "first")
