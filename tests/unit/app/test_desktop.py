"""The desktop entry and file association for Linux.

Checked against the Desktop Entry Specification 1.5 and the Shared MIME-info specification 0.21 of
freedesktop.org, by their own programs where they are installed.
"""

from __future__ import annotations

import configparser
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import pytest

from framer.app import desktop
from framer.app.cli import main
from framer.errors import FramerError

pytestmark = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="the files are for Linux desktops"
)
MIME = "application/x-framer-job"
SHARED = "{http://www.freedesktop.org/standards/shared-mime-info}"


@pytest.fixture
def installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(desktop, "command", lambda: "/opt/framer/bin/framer")
    written = desktop.install(tmp_path)
    assert all(path.is_file() for path in written)
    return tmp_path


def entry_of(folder: Path) -> configparser.SectionProxy:
    parser = configparser.ConfigParser(interpolation=None, strict=True)
    parser.optionxform = str  # type: ignore[assignment,method-assign]
    parser.read(folder / "applications/framer.desktop", encoding="utf-8")
    assert parser.sections() == ["Desktop Entry"]
    return parser["Desktop Entry"]


def test_the_entry_starts_framer_with_the_file(installed: Path) -> None:
    entry = entry_of(installed)
    # the keys every application entry has, and one file handed over as %f
    assert (entry["Type"], entry["Name"]) == ("Application", "framer")
    assert entry["Exec"] == "/opt/framer/bin/framer open %f"
    assert entry["TryExec"] == "/opt/framer/bin/framer"
    assert entry["MimeType"].split(";")[:-1] == [MIME]  # lists end with a semicolon
    assert entry["Terminal"] == "false"
    assert (installed / f"icons/hicolor/scalable/apps/{entry['Icon']}.svg").is_file()


def test_job_files_have_a_type_of_their_own(installed: Path) -> None:
    root = ET.parse(installed / "mime/packages/framer-job.xml").getroot()  # noqa: S314
    (kind,) = root.findall(f"{SHARED}mime-type")
    assert kind.get("type") == MIME
    assert [one.get("pattern") for one in kind.findall(f"{SHARED}glob")] == ["*.framer"]


def test_the_icon_is_a_drawing(installed: Path) -> None:
    root = ET.parse(installed / "icons/hicolor/scalable/apps/framer.svg").getroot()  # noqa: S314
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert root.get("viewBox") == "0 0 64 64"


def test_the_desktop_knows_the_type_afterwards(
    installed: Path, needs_program: Callable[[str], str]
) -> None:
    needs_program("update-mime-database")
    listed = (installed / "mime/globs2").read_text(encoding="utf-8").splitlines()
    assert f"50:{MIME}:*.framer" in listed


@pytest.mark.skipif(shutil.which("desktop-file-validate") is None, reason="not installed here")
def test_the_entry_is_as_specified(installed: Path) -> None:
    done = subprocess.run(
        ["desktop-file-validate", str(installed / "applications/framer.desktop")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (0, "")


def test_a_path_with_blanks_is_quoted_and_one_that_cannot_be_written_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, wanted in (("my tools", '"{}"'), ("tools", "{}")):
        folder = tmp_path / name
        folder.mkdir()
        (folder / "framer").touch()
        monkeypatch.setattr(sys, "executable", str(folder / "python"))
        assert desktop.command() == wanted.format(folder / "framer")
    folder = tmp_path / "100%"
    folder.mkdir()
    (folder / "framer").touch()
    monkeypatch.setattr(sys, "executable", str(folder / "python"))
    with pytest.raises(FramerError, match="cannot hold this path"):
        desktop.command()


def test_the_command_writes_into_the_users_data_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr(desktop, "command", lambda: "/opt/framer/bin/framer")
    assert main(["desktop"]) == 0
    said = capsys.readouterr().out
    assert str(tmp_path / "data/applications/framer.desktop") in said
    assert "job files (*.framer) open in framer now" in said


def test_a_folder_that_takes_nothing_is_told_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "data").write_text("a file where the folder should be")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr(desktop, "command", lambda: "/opt/framer/bin/framer")
    assert main(["desktop"]) == 2
    assert "cannot be written" in capsys.readouterr().err
