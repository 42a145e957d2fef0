from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.errors import JobFileError
from framer.files.format import encode
from framer.files.reader import read_job
from framer.files.writer import write_job
from framer.model.job import Job

FIRST, SECOND, THIRD = (Job("corner", note=note) for note in ("first", "second", "third"))

needs_links = pytest.mark.skipif(os.name == "nt", reason="links need a privilege there")
needs_modes = pytest.mark.skipif(os.name == "nt", reason="files have no modes there")


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_a_new_file_holds_the_job_and_nothing_is_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "corner.json"
    write_job(FIRST, path)
    assert path.read_bytes() == encode(FIRST)
    assert read_job(path) == FIRST
    assert names(tmp_path) == ["corner.json"]


def test_the_version_before_is_kept_beside_the_file(tmp_path: Path) -> None:
    path, backup = tmp_path / "corner.json", tmp_path / "corner.json.bak"
    for job in (FIRST, SECOND, THIRD):
        write_job(job, path)
    assert read_job(path) == THIRD
    assert read_job(backup) == SECOND
    assert names(tmp_path) == ["corner.json", "corner.json.bak"]


def test_saving_the_same_job_again_keeps_the_backup_as_it_is(tmp_path: Path) -> None:
    path, backup = tmp_path / "corner.json", tmp_path / "corner.json.bak"
    for job in (FIRST, SECOND, SECOND, SECOND):
        write_job(job, path)
    assert read_job(backup) == FIRST


def test_a_file_that_is_no_job_is_kept_as_backup_too(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_bytes(b"not a job\r\n")
    write_job(FIRST, path)
    assert (tmp_path / "notes.txt.bak").read_bytes() == b"not a job\r\n"


def test_names_with_spaces_signs_and_other_scripts_are_saved(tmp_path: Path) -> None:
    for name in ("Mill Lane [7] (new).json", "電柱.json", "no ending", ".hidden", "*?.json"):
        if os.name == "nt" and "*" in name:
            continue
        write_job(FIRST, tmp_path / name)
        write_job(SECOND, tmp_path / name)
        assert read_job(tmp_path / name) == SECOND


@needs_modes
@pytest.mark.parametrize("kept", [0o600, 0o640, 0o664])
def test_the_permissions_of_the_file_are_kept_and_the_backup_has_them(
    tmp_path: Path, kept: int
) -> None:
    path = tmp_path / "corner.json"
    write_job(FIRST, path)
    path.chmod(kept)
    write_job(SECOND, path)
    assert mode(path) == kept
    assert mode(tmp_path / "corner.json.bak") == kept


@needs_modes
def test_a_new_file_has_the_usual_permissions(tmp_path: Path) -> None:
    before = os.umask(0o027)
    try:
        write_job(FIRST, tmp_path / "corner.json")
    finally:
        os.umask(before)
    assert mode(tmp_path / "corner.json") == 0o640


@needs_links
def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    shelf, desk = tmp_path / "shelf", tmp_path / "desk"
    shelf.mkdir()
    desk.mkdir()
    write_job(FIRST, shelf / "corner.json")
    (desk / "middle.json").symlink_to(shelf / "corner.json")
    (desk / "link.json").symlink_to("middle.json")
    write_job(SECOND, desk / "link.json")
    assert (desk / "link.json").is_symlink()
    assert not (shelf / "corner.json").is_symlink()
    assert read_job(shelf / "corner.json") == SECOND
    assert names(shelf) == ["corner.json", "corner.json.bak"]
    assert names(desk) == ["link.json", "middle.json"]


@needs_links
def test_a_link_to_a_file_that_is_not_there_yet_makes_it(tmp_path: Path) -> None:
    (tmp_path / "link.json").symlink_to("corner.json")
    write_job(FIRST, tmp_path / "link.json")
    assert (tmp_path / "link.json").is_symlink()
    assert read_job(tmp_path / "corner.json") == FIRST


def test_a_path_from_the_present_folder_is_saved_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    write_job(FIRST, Path("corner.json"))
    assert read_job(tmp_path / "corner.json") == FIRST


def test_the_sentence_about_a_job_that_is_not_sound_begins_with_its_place(tmp_path: Path) -> None:
    path = tmp_path / "corner.json"
    with pytest.raises(JobFileError) as caught:
        write_job(replace(FIRST, books=("gone",)), path)
    assert str(caught.value).startswith(
        "corner.json: books[0]: not saved: there is no rulebook 'gone'"
    )
    assert not path.exists()
