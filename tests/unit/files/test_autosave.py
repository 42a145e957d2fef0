from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.errors import JobFileError
from framer.files.autosave import (
    autosave_path,
    drop_autosave,
    left_untitled,
    newer_autosave,
    state_folder,
    untitled_path,
    write_autosave,
)
from framer.files.lock import lock
from framer.files.reader import read_job
from framer.files.writer import write_job
from framer.model.job import Job

SAVED, EDITED = Job("corner"), Job("corner", note="edited")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A saved job file."""
    where = tmp_path / "corner.json"
    write_job(SAVED, where)
    return where


@pytest.fixture
def own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder for untitled jobs, in a place of this test."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setattr(sys, "platform", "linux")
    return tmp_path / "state" / "framer"


def at(path: Path, seconds: float) -> None:
    """Set when a file was last written."""
    os.utime(path, (seconds, seconds))


def test_an_autosave_is_hidden_beside_the_file_which_it_does_not_touch(path: Path) -> None:
    before = path.read_bytes()
    write_autosave(EDITED, path)
    assert autosave_path(path) == path.with_name(".corner.json.autosave")
    assert path.read_bytes() == before
    assert sorted(entry.name for entry in path.parent.iterdir()) == [
        ".corner.json.autosave",
        "corner.json",
    ]


@pytest.mark.skipif(os.name == "nt", reason="files have no modes there")
def test_an_autosave_is_open_to_the_same_people_as_the_file(path: Path) -> None:
    path.chmod(0o600)
    write_autosave(EDITED, path)
    assert stat.S_IMODE(autosave_path(path).stat().st_mode) == 0o600


def test_a_newer_autosave_is_found_and_reads_as_a_job(path: Path) -> None:
    write_autosave(EDITED, path)
    found = newer_autosave(path)
    assert found is not None
    assert read_job(found) == EDITED


def test_without_an_autosave_none_is_found(path: Path) -> None:
    assert newer_autosave(path) is None


def test_an_autosave_older_than_the_file_is_not_offered(path: Path) -> None:
    write_autosave(EDITED, path)
    at(autosave_path(path), 1_000)
    at(path, 1_001)
    assert newer_autosave(path) is None


def test_an_autosave_as_old_as_the_file_is_offered(path: Path) -> None:
    write_autosave(EDITED, path)
    at(autosave_path(path), 1_000)
    at(path, 1_000)
    assert newer_autosave(path) is not None


def test_an_autosave_that_holds_the_same_as_the_file_is_not_offered(path: Path) -> None:
    write_autosave(SAVED, path)
    assert newer_autosave(path) is None


def test_the_autosave_of_a_file_that_is_gone_is_offered(path: Path) -> None:
    write_autosave(EDITED, path)
    path.unlink()
    assert newer_autosave(path) == autosave_path(path)


def test_a_dropped_autosave_is_gone_and_may_be_dropped_again(path: Path) -> None:
    write_autosave(EDITED, path)
    drop_autosave(path)
    drop_autosave(path)
    assert newer_autosave(path) is None
    assert read_job(path) == SAVED


def test_an_autosave_that_cannot_be_dropped_is_told_of(path: Path) -> None:
    autosave_path(path).mkdir()
    with pytest.raises(JobFileError, match=r"corner\.json: its autosave cannot be removed"):
        drop_autosave(path)


def test_a_later_autosave_takes_the_place_of_an_earlier_and_of_what_one_left_over(
    path: Path,
) -> None:
    left_over = path.with_name("..corner.json.autosave.0123abcd.saving")
    left_over.write_bytes(b"half")
    write_autosave(EDITED, path)
    write_autosave(replace(EDITED, note="again"), path)
    assert read_job(autosave_path(path)).note == "again"
    assert not left_over.exists()


def test_a_job_that_is_not_sound_is_no_autosave(path: Path) -> None:
    with pytest.raises(JobFileError, match=r"books\[0\]: not saved: there is no rulebook"):
        write_autosave(replace(EDITED, books=("gone",)), path)
    assert newer_autosave(path) is None


def test_an_autosave_without_a_folder_is_told_of(tmp_path: Path) -> None:
    with pytest.raises(JobFileError, match=r"corner\.json: no autosave: there is no such file"):
        write_autosave(EDITED, tmp_path / "gone" / "corner.json")


@pytest.mark.skipif(os.name == "nt", reason="links need a privilege there")
def test_the_autosave_of_a_link_is_beside_the_file_it_leads_to(path: Path, tmp_path: Path) -> None:
    (tmp_path / "desk").mkdir()
    link = tmp_path / "desk" / "link.json"
    link.symlink_to(path)
    write_autosave(EDITED, link)
    assert autosave_path(link) == autosave_path(path)
    assert newer_autosave(link) == autosave_path(path)


def test_every_untitled_job_has_a_path_of_its_own_in_the_state_folder(own_state: Path) -> None:
    one, two = untitled_path(), untitled_path()
    assert one.parent == two.parent == own_state
    assert one != two
    if os.name != "nt":
        assert stat.S_IMODE(own_state.stat().st_mode) == 0o700


def test_an_untitled_job_is_found_after_its_framer_is_gone(own_state: Path) -> None:
    assert left_untitled() == ()
    path = untitled_path()
    assert left_untitled() == ()
    with lock(path):
        write_autosave(EDITED, path)
        assert left_untitled() == ()  # its framer is still there
    assert left_untitled() == (path,)
    found = newer_autosave(path)
    assert found is not None
    assert read_job(found) == EDITED
    drop_autosave(path)
    assert left_untitled() == ()


def test_of_several_untitled_jobs_the_latest_comes_first(own_state: Path) -> None:
    paths = [untitled_path() for _ in range(3)]
    for path, seconds in zip(paths, (2_000, 3_000, 1_000), strict=True):
        write_autosave(EDITED, path)
        at(autosave_path(path), seconds)
    assert left_untitled() == (paths[1], paths[0], paths[2])


def test_other_files_in_the_state_folder_are_no_untitled_jobs(own_state: Path) -> None:
    own_state.mkdir(parents=True)
    for name in (".untitled-1.json.autosave", "untitled-0123abcd.json", ".x.json.autosave"):
        (own_state / name).write_bytes(b"{}")
    assert left_untitled() == ()


def test_a_state_folder_that_cannot_be_made_is_told_of(own_state: Path) -> None:
    own_state.parent.write_bytes(b"a file in the way")
    with pytest.raises(JobFileError, match="there is no place for it"):
        untitled_path()
    assert left_untitled() == ()


@pytest.mark.parametrize("given", ["", "relative/state"])
def test_without_a_usable_state_folder_given_it_is_in_the_users_own(
    monkeypatch: pytest.MonkeyPatch, given: str
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(Path, "home", lambda: Path("/people/mill"))
    monkeypatch.setenv("XDG_STATE_HOME", given)
    # XDG Base Directory Specification: $HOME/.local/state if unset or empty; relative is invalid
    assert state_folder() == Path("/people/mill/.local/state/framer")


@pytest.mark.parametrize(
    ("platform", "folder"),
    [
        ("darwin", "/people/mill/Library/Application Support/framer"),
        ("win32", "/people/mill/AppData/Local/framer"),
    ],
)
def test_other_systems_have_their_own_folders(
    monkeypatch: pytest.MonkeyPatch, platform: str, folder: str
) -> None:
    monkeypatch.setattr(sys, "platform", platform)
    monkeypatch.setattr(Path, "home", lambda: Path("/people/mill"))
    monkeypatch.setenv("LOCALAPPDATA", "")
    assert state_folder() == Path(folder)
