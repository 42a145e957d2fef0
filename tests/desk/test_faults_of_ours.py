"""A fault of the program is said in the window, and nothing of the job is lost by it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QToolButton
from pytestqt.qtbot import QtBot

from framer.desk.faults import _known, fault_file, watch
from framer.desk.panels.answers_panel import AnswersPanel
from framer.desk.window import Window
from framer.edits.places import set_along_pole
from framer.files.autosave import autosave_path
from framer.files.reader import read_job
from framer.model.job import Job
from tests.desk.driving import bridge_of, click, press_menu, table_of

pytestmark = pytest.mark.qt_no_exception_capture
"""Else every exception in a slot fails a test, as it does in all other files."""


class _BrokenError(Exception):
    pass


def broken(*_: object) -> None:
    raise _BrokenError("as if something was overlooked")


@pytest.fixture
def on_console(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[BaseException]]:
    """What goes to the console while faults are watched."""
    seen: list[BaseException] = []
    monkeypatch.setattr(sys, "excepthook", lambda *told: seen.append(told[1]))
    watch()
    _known.clear()
    file = fault_file()
    yield seen
    file.unlink(missing_ok=True)


def notice(window: Window) -> str:
    return window.notice.text() if window.notice.isVisible() else ""


def raised(job: Job) -> Job:
    return set_along_pole(job, "line-arm", "framed", "height", 440.0)


def test_a_fault_in_a_command_is_said_and_the_job_is_kept(
    corner: Window,
    corner_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    on_console: list[BaseException],
) -> None:
    bridge_of(corner).do("raise the line arm", raised)
    monkeypatch.setattr(Window, "on_print_preview", broken)
    press_menu(corner, "print_preview")
    assert [type(one) for one in on_console] == [_BrokenError]
    kept = autosave_path(corner_path)
    assert notice(corner) == (
        "Print Preview may not be done: framer has a fault there. Nothing of the job is lost: it "
        f"is kept in {kept}. The details are in {fault_file()}."
    )
    assert read_job(kept) == bridge_of(corner).session.settled
    written = fault_file().read_text(encoding="utf-8")
    assert "tried: Print Preview" in written
    assert "_BrokenError: as if something was overlooked" in written
    # the window goes on, and the line goes away when it is closed
    close = corner.notice.parentWidget().findChild(QToolButton)
    QTest.mouseClick(close, Qt.MouseButton.LeftButton)
    assert notice(corner) == ""
    bridge_of(corner).undo()
    assert not bridge_of(corner).session.is_changed


def test_a_fault_in_an_edit_names_the_step_and_changes_nothing(
    corner: Window, on_console: list[BaseException], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = bridge_of(corner).job
    click(corner, "line-arm")
    monkeypatch.setattr("framer.edits.arrange.deleted", broken)
    press_menu(corner, "delete")
    assert len(on_console) == 1
    assert notice(corner).startswith("Delete Line arm may not be done: framer has a fault there.")
    assert bridge_of(corner).job == before


def test_a_fault_in_a_slot_that_no_command_began_is_said_too(
    corner: Window,
    qtbot: QtBot,
    on_console: list[BaseException],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(AnswersPanel, "_work", lambda *_: _broken_work())
    click(corner, "line-arm")
    corner.run("answers")
    answers = table_of(corner).answers
    QTest.mouseClick(answers.buttons["highest"], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(notice(corner)))
    assert [type(one) for one in on_console] == [_BrokenError]
    assert notice(corner).startswith("The last thing may not be done: framer has a fault there. ")
    assert "it is in its file as it is here" in notice(corner)
    assert not answers.asking.is_at_work
    assert "a fault of framer" in answers.list.item(0).text()


def test_a_fault_that_comes_again_and_again_is_written_down_once(
    corner: Window, on_console: list[BaseException]
) -> None:
    bridge_of(corner).selection_changed.connect(broken)
    for key in ("line-arm", "buck-arm", "line-arm"):
        click(corner, key)
    bridge_of(corner).selection_changed.disconnect(broken)
    assert len(on_console) == 3
    assert fault_file().read_text(encoding="utf-8").count("Traceback") == 1


def test_where_nothing_can_be_written_that_is_said(
    corner: Window,
    corner_path: Path,
    on_console: list[BaseException],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    bridge_of(corner).do("raise the line arm", raised)
    blocked = tmp_path / "no folder"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setattr("framer.files.autosave.state_folder", lambda: blocked)
    monkeypatch.setattr("framer.desk.keeping.write_autosave", broken)
    monkeypatch.setattr(Window, "on_print_preview", broken)
    press_menu(corner, "print_preview")
    assert "The job could not be kept (as if something was overlooked)" in notice(corner)
    assert "The details are on the console only" in notice(corner)


def _broken_work() -> Iterator[str]:
    yield "at it"
    broken()
