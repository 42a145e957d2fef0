"""No control is dead: what is enabled does something a person notices, the rest says why not."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QDialog,
    QFileDialog,
    QMessageBox,
    QPushButton,
    QToolButton,
)

from framer.desk.menus import MENUS
from framer.desk.window import Window
from framer.edits.places import set_along_pole
from framer.edits.steps import insert_step
from framer.model.job import Job
from tests.desk.driving import SAMPLES, board_of, bridge_of, table_of

SELECTED = ("", "line-arm", "pin-c-new", "pole-new", "pole-old", "line-arm-old", "ridge-near")
COMMANDS = tuple(
    one.name for _, commands in MENUS for one in commands if one is not None and not one.is_menu
)


def _to(drop_in: float) -> Callable[[Job], Job]:
    return lambda job: set_along_pole(job, "line-arm", "framed", "drop", drop_in)


@pytest.fixture
def dialogs(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Answers every dialog with nothing chosen; gives the titles of those that were shown."""
    shown: list[str] = []

    def file(_parent: object, title: str, *_: object) -> tuple[str, str]:
        shown.append(title)
        return "", ""

    def box(_parent: object, title: str, *_: object) -> QMessageBox.StandardButton:
        shown.append(title)
        return QMessageBox.StandardButton.Cancel

    for name in ("getOpenFileName", "getSaveFileName"):
        monkeypatch.setattr(QFileDialog, name, file)
    for name in ("about", "information", "question"):
        monkeypatch.setattr(QMessageBox, name, box)
    return shown


def state(window: Window, dialogs: list[str]) -> tuple[object, ...]:
    """Everything a person could notice."""
    shown = (window.isVisible(), window.windowTitle(), window.statusBar().currentMessage())
    focus = QApplication.focusWidget()
    open_dialogs = tuple(name for name, dialog in window.dialogs.items() if dialog.isVisible())
    shown = (*shown, open_dialogs)
    if window.table is None or window.bridge is None:
        return (*shown, focus, tuple(dialogs))
    board, table, bridge = window.table.board, window.table, window.bridge
    return (
        *shown,
        focus,
        tuple(dialogs),
        bridge.job,
        bridge.selected,
        bridge.finding,
        board.look_deg,
        board.views,
        board.px_per_in,
        table.pages.currentIndex(),
        window.notice.isVisible(),
        tuple(button.isChecked() for button in window.findChildren(QAbstractButton)),
        window.isWindowModified(),
    )


def open_corner(window: Window, path: Path) -> None:
    """The corner job with a step to undo, one to redo, and a sheet that does not fit."""
    window.filing.open_path(path)
    with_undo(window)
    board_of(window).zoom(1.5)  # so that fitting has something to do
    window.setFocus()


def with_undo(window: Window) -> None:
    """Have two stages to go to, a step of the history to undo and one to redo."""
    bridge = bridge_of(window)
    bridge.do("put in a step", lambda job: insert_step(job, 1, "look at it")[0])
    for away in (30.0, 40.0):
        bridge.do("move", _to(away))
    bridge.undo()
    window.statusBar().clearMessage()


def test_a_command_that_is_disabled_says_why(corner: Window) -> None:
    disabled = set()
    for selected in SELECTED:
        bridge_of(corner).select(selected)
        for name, action in corner.commands.by_name.items():
            if not action.isEnabled():
                disabled.add(name)
                assert action.toolTip()
    needs_one = {"delete", "thing", "copy", "duplicate", "mirror", "select_level"}
    needs_steps = {"stage_before", "stage_after", "export_stages"}
    if bridge_of(corner).job.steps:
        needs_steps.clear()
    assert disabled == {"undo", "redo", *needs_one, *needs_steps}


@pytest.mark.parametrize("menu", [title.strip("&") for title, _ in MENUS])
def test_every_command_of_a_menu_does_something(
    window: Window, corner_path: Path, dialogs: list[str], menu: str
) -> None:
    window.wants_window.connect(lambda _: dialogs.append("a window"))
    commands = next(commands for title, commands in MENUS if title.strip("&") == menu)
    job = None
    for command in commands:
        if command is None or command.is_menu:
            continue
        if window.bridge is None or window.bridge.job is not job:
            open_corner(window, corner_path)
            job = bridge_of(window).job
        bridge_of(window).select("line-arm")
        board_of(window).zoom(1.5)
        if command.name == "look_north":
            board_of(window).look(90.0)
        window.setFocus()
        window.statusBar().clearMessage()
        action = window.commands.by_name[command.name]
        assert action.isEnabled(), command.name
        before = state(window, dialogs)
        action.trigger()
        assert state(window, dialogs) != before, command.name
        for dialog in window.findChildren(QDialog):
            dialog.close()
        window.show()


def test_without_a_job_every_command_does_something_or_says_why_it_cannot(
    window: Window, dialogs: list[str]
) -> None:
    enabled = []
    window.wants_window.connect(lambda _: dialogs.append("a window"))
    for name in COMMANDS:
        action = window.commands.by_name[name]
        if name == "new":
            continue  # after it there is a job
        if not action.isEnabled():
            assert action.toolTip() == "open a job or start a new one first"
            continue
        enabled.append(name)
        before = state(window, dialogs)
        action.trigger()
        assert state(window, dialogs) != before, name
        for dialog in window.dialogs.values():
            dialog.close()
        window.show()
    assert enabled == ["open", "new_window", "close", "quit", "help", "keys", "about"]


@pytest.mark.parametrize("selected", ["pin-c-new", "pole-old", "line-arm-old", "ridge-near"])
def test_every_button_does_something_or_says_why_it_cannot(
    window: Window, corner_path: Path, dialogs: list[str], selected: str
) -> None:
    open_corner(window, corner_path)
    tried = 0
    for page in (0, 1, 2):
        bridge_of(window).select(selected)
        table_of(window).turn_to(page)
        for button in window.findChildren(QAbstractButton):
            if not button.isVisibleTo(window):
                continue
            tried += 1
            assert button.text() or button.accessibleName()
            if not button.isEnabled():
                assert button.toolTip(), button.text()
                continue
            if isinstance(button, QToolButton) and button.menu() is not None:
                assert button.menu().actions()  # it shows these, which are commands of the menus
                continue
            if button.isCheckable() and button.isChecked():
                continue  # shows what already holds
            bridge_of(window).select(selected)
            window.statusBar().clearMessage()
            before = state(window, dialogs)
            job = bridge_of(window).job
            button.click()
            assert state(window, dialogs) != before, button.text() or button.objectName()
            for dialog in window.findChildren(QDialog):
                dialog.close()
            if bridge_of(window).job is not job:
                open_corner(window, SAMPLES / "corner")
            if table_of(window).pages.currentIndex() != page:
                table_of(window).turn_to(page)
    assert tried > 15


def test_every_button_and_entry_can_be_named(corner: Window) -> None:
    for key in SELECTED:
        bridge_of(corner).select(key)
        for button in corner.findChildren(QPushButton):
            assert button.text() or button.accessibleName()
        for cells in table_of(corner).thing.cells:
            for entry in cells.entries():
                assert entry.accessibleName()
                assert entry.toolTip()


def test_entries_that_cannot_be_typed_in_give_a_reason(corner: Window) -> None:
    locked = 0
    for item in bridge_of(corner).job.items:
        bridge_of(corner).select(item.id)
        for cells in table_of(corner).thing.cells:
            if not cells.isVisibleTo(corner):
                continue
            for entry in cells.entries():
                if entry.isReadOnly():
                    locked += 1
                    assert entry.toolTip().startswith(("this height was", "the depth follows"))
    assert locked > 5
