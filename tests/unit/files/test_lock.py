from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from framer.errors import JobFileError
from framer.files.lock import holder, lock, lock_path

ROOT = Path(__file__).resolve().parent.parent.parent.parent

HOLDER = """
import sys
from pathlib import Path
from framer.files.lock import lock

with lock(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "corner.json"


def test_a_lock_is_held_for_the_block_and_leaves_nothing_behind(path: Path) -> None:
    with lock(path):
        assert lock_path(path).name == ".corner.json.lock"
        assert lock_path(path).is_file()
    assert list(path.parent.iterdir()) == []


def test_a_second_lock_is_refused_and_tells_who_holds_the_first(path: Path) -> None:
    with lock(path):
        with pytest.raises(JobFileError) as caught, lock(path):
            pytest.fail("it was given twice")
        assert holder(path) is not None
        assert caught.value.problem == f"is open in another framer: {holder(path)}"
    who = re.fullmatch(
        r"is open in another framer: host (.+), process (\d+), "
        r"since \d{4}-\d\d-\d\d \d\d:\d\d:\d\d[+-]\d\d:\d\d",
        caught.value.problem,
    )
    assert who is not None
    assert who.groups() == (socket.gethostname(), str(os.getpid()))


def test_after_the_block_it_may_be_held_again(path: Path) -> None:
    for _ in range(3):
        with lock(path):
            pass
        assert holder(path) is None


def test_an_error_in_the_block_gives_the_lock_back(path: Path) -> None:
    with pytest.raises(ZeroDivisionError), lock(path):
        _ = 1 / 0
    with lock(path):
        pass


def test_locks_of_two_files_do_not_meet(path: Path) -> None:
    with lock(path), lock(path.with_name("other.json")):
        assert holder(path.with_name("third.json")) is None


@pytest.mark.skipif(os.name == "nt", reason="links need a privilege there")
def test_a_link_to_the_file_has_the_lock_of_the_file(path: Path) -> None:
    link = path.with_name("link.json")
    link.symlink_to(path)
    with lock(link):
        assert holder(path) is not None


def test_another_process_holds_it_until_it_is_killed(path: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline().strip() == b"held"
        with pytest.raises(JobFileError, match=f"process {other.pid},"), lock(path):
            pytest.fail("it was given twice")
        other.kill()
    # the lock file is still there, but nobody holds it
    assert lock_path(path).exists()
    assert holder(path) is None
    with lock(path):
        assert holder(path) is not None
    assert not lock_path(path).exists()


def test_a_lock_file_with_anything_in_it_keeps_nobody_out(path: Path) -> None:
    for left in (b"", b"\xff\x00", b"[]", b'{"host": 3}', b"x" * 5000):
        lock_path(path).write_bytes(left)
        with lock(path):
            assert holder(path) is not None


def test_a_holder_that_does_not_say_who_it_is_is_still_a_holder(path: Path) -> None:
    with lock(path):
        lock_path(path).write_bytes(b"[]")
        assert holder(path) == "it does not say which"


def test_a_folder_that_is_not_there_is_told_of(path: Path) -> None:
    with (
        pytest.raises(JobFileError, match=r"corner\.json: cannot be locked: there is no such"),
        lock(path.parent / "gone" / "corner.json"),
    ):
        pytest.fail("it was given")


def test_a_lock_file_removed_by_its_last_holder_meanwhile_is_made_anew(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = os.open
    opened = 0

    def removed_after_opening(name: Path, flags: int, mode: int = 0o777) -> int:
        nonlocal opened
        file = plain(name, flags, mode)
        opened += 1
        if opened == 1:
            lock_path(path).unlink()
        return file

    monkeypatch.setattr(os, "open", removed_after_opening)
    with lock(path):
        assert opened == 2
        assert holder(path) is not None
