"""What survives when framer ends before a job is saved, and who holds a job's file."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QMessageBox, QPushButton
from pytestqt.qtbot import QtBot

from framer.desk.keeping import Keeper
from framer.desk.start import open_window
from framer.desk.window import Window
from framer.files.autosave import autosave_path, left_untitled
from framer.files.lock import holder
from framer.files.reader import read_job
from tests.desk.driving import ROOT, bridge_of, height_of, said

Answers = dict[str, QMessageBox.StandardButton]


@pytest.fixture(autouse=True)
def own_state_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


@pytest.fixture
def answers(monkeypatch: pytest.MonkeyPatch) -> Answers:
    """What is answered to each question, by its title; a question not foreseen fails."""
    given: Answers = {}

    def question(
        _parent: object, title: str, _text: str, *_more: object
    ) -> QMessageBox.StandardButton:
        return given[title]

    monkeypatch.setattr(QMessageBox, "question", question)
    return given


@pytest.fixture
def second(qtbot: QtBot) -> Iterator[Window]:
    """Another window, as of another framer."""
    made = Window()
    made.filing.may_leave = lambda: True  # type: ignore[method-assign]
    qtbot.addWidget(made)
    yield made
    if made.keeper is not None:
        made.keeper.leave()


def keeper_of(window: Window) -> Keeper:
    assert window.keeper is not None
    return window.keeper


def lower_the_arm(window: Window) -> float:
    """Move the line arm down by an inch; gives its height."""
    bridge_of(window).select("line-arm")
    assert window.table is not None
    window.table.hands.nudge(0.0, -1.0)
    return height_of(window, "line-arm")


def crash(window: Window) -> None:
    """End without saving or asking, as the system frees the lock of a process that died."""
    keeper_of(window).keep()
    keeper_of(window).leave()


def test_changes_are_kept_a_little_later(corner: Window, corner_path: Path, qtbot: QtBot) -> None:
    height = lower_the_arm(corner)
    qtbot.waitUntil(autosave_path(corner_path).exists, timeout=5_000)
    kept = read_job(autosave_path(corner_path))
    assert kept == bridge_of(corner).job
    assert height == 503.0
    assert read_job(corner_path) != kept


def test_a_gesture_under_way_is_not_kept(corner: Window, corner_path: Path) -> None:
    height = lower_the_arm(corner)
    from framer.edits.places import set_along_pole

    bridge_of(corner).preview(
        lambda job: set_along_pole(job, "line-arm", "framed", "height", 400.0)
    )
    keeper_of(corner).keep()
    bridge_of(corner).drop_preview()
    assert read_job(autosave_path(corner_path)) == bridge_of(corner).job
    assert height_of(corner, "line-arm") == height


def test_saving_forgets_what_was_kept(corner: Window, corner_path: Path) -> None:
    lower_the_arm(corner)
    keeper_of(corner).keep()
    corner.run("save")
    assert not autosave_path(corner_path).exists()


def test_after_a_crash_the_changes_come_back_when_wanted(
    corner: Window, corner_path: Path, second: Window, answers: Answers
) -> None:
    height = lower_the_arm(corner)
    crash(corner)
    answers["Unsaved changes were found"] = QMessageBox.StandardButton.Yes
    second.filing.open_path(corner_path)
    assert height_of(second, "line-arm") == height
    assert bridge_of(second).session.is_changed
    assert said(second) == "unsaved changes are back; undo takes them away, save keeps them"
    second.run("undo")
    assert height_of(second, "line-arm") == 504.0


def test_after_a_crash_the_changes_are_forgotten_when_not_wanted(
    corner: Window, corner_path: Path, second: Window, answers: Answers
) -> None:
    lower_the_arm(corner)
    crash(corner)
    answers["Unsaved changes were found"] = QMessageBox.StandardButton.No
    second.filing.open_path(corner_path)
    assert height_of(second, "line-arm") == 504.0
    assert not autosave_path(corner_path).exists()


def test_damaged_changes_are_told_of_and_left_where_they_are(
    corner: Window, corner_path: Path, second: Window
) -> None:
    lower_the_arm(corner)
    crash(corner)
    autosave_path(corner_path).write_bytes(b'{"format"')
    second.filing.open_path(corner_path)
    assert said(second).startswith("unsaved changes are there but cannot be read: ")
    assert autosave_path(corner_path).exists()


HOLD = """
import sys
from pathlib import Path
from framer.files.lock import lock

with lock(Path(sys.argv[1])):
    print("held", flush=True)
    sys.stdin.read()
"""


def test_a_job_open_in_another_framer_says_so(corner_path: Path, second: Window) -> None:
    other = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(corner_path)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        second.filing.open_path(corner_path)
        assert "is open in another framer too" in second.notice.text()
        assert f"process {other.pid}" in second.notice.text()
        assert second.notice.isVisibleTo(second)
        other.communicate("")


def test_a_job_open_in_another_window_says_so(
    corner: Window, corner_path: Path, second: Window
) -> None:
    second.filing.open_path(corner_path)
    assert "is open in another window too" in second.notice.text()
    assert second.notice.isVisibleTo(second)
    assert not corner.notice.isVisible()
    assert bridge_of(second).job == bridge_of(corner).job


def test_a_window_holds_its_file_until_it_is_closed(corner: Window, corner_path: Path) -> None:
    assert holder(corner_path) is not None
    corner.close()
    assert holder(corner_path) is None


def test_a_new_job_that_was_never_saved_is_offered_and_comes_back(
    window: Window, qtbot: QtBot
) -> None:
    window.run("new")
    bridge_of(window).do("note the owner", lambda job: replace(job, owner="Alder Light"))
    crash(window)
    assert len(left_untitled()) == 1

    again = open_window(None)
    again.filing.may_leave = lambda: True  # type: ignore[method-assign]
    qtbot.addWidget(again)
    (button,) = (
        one for one in again.findChildren(QPushButton) if one.text() == "Bring Back an Unsaved Job"
    )
    qtbot.waitUntil(lambda: button.isVisible(), timeout=5_000)
    button.click()
    assert bridge_of(again).job == bridge_of(window).job
    assert bridge_of(again).job.owner == "Alder Light"
    assert bridge_of(again).session.is_changed
    assert left_untitled() == ()  # it is held again
    keeper_of(again).drop()
    keeper_of(again).leave()


def test_without_an_unsaved_job_none_is_offered(qtbot: QtBot) -> None:
    again = open_window(None)
    qtbot.addWidget(again)
    qtbot.waitExposed(again)
    qtbot.wait(50)
    (button,) = (
        one for one in again.findChildren(QPushButton) if one.text() == "Bring Back an Unsaved Job"
    )
    assert not button.isVisible()


def test_what_is_thrown_away_is_not_kept(
    corner: Window, corner_path: Path, answers: Answers
) -> None:
    lower_the_arm(corner)
    keeper_of(corner).keep()
    answers["Changes are not saved"] = QMessageBox.StandardButton.Discard
    assert corner.filing.may_leave()
    assert not autosave_path(corner_path).exists()


def test_a_folder_that_takes_nothing_is_told_of_once(
    corner: Window, corner_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from framer.desk import keeping
    from framer.errors import JobFileError

    def full(_job: object, _path: object) -> None:
        raise JobFileError(corner_path.name, "", "no autosave: the disk is full")

    monkeypatch.setattr(keeping, "write_autosave", full)
    lower_the_arm(corner)
    keeper_of(corner).keep()
    assert said(corner).endswith("no autosave: the disk is full")
    bridge_of(corner).say("something else")
    keeper_of(corner).keep()
    assert said(corner) == "something else"
