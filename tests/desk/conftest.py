"""Window tests leave nothing behind: no window, no running timer."""

from __future__ import annotations

import gc
import shutil
import sys
import weakref
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, QStandardPaths, QTimer
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

if TYPE_CHECKING:
    from framer.desk.window import Window


@pytest.fixture(scope="session", autouse=True)
def qt_folders_out_of_reach() -> None:
    """Where the XDG variables mean nothing to Qt, it has a mode for tests."""
    QStandardPaths.setTestModeEnabled(sys.platform != "linux")


@pytest.fixture(scope="session", autouse=True)
def modules_left_out_of_the_count(qapp: QApplication) -> None:
    """What modules hold for good is not gone through after every test: most of its time."""
    from framer.desk import table, window  # noqa: F401 - read in before the first test
    from framer.desk.board import board  # noqa: F401
    from framer.desk.panels import (  # noqa: F401
        answers_panel,
        steps_panel,
        stock_panel,
        thing_panel,
    )

    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def own_settings(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """What a window of one test remembers, no other test sees."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("settings")))


@pytest.fixture(scope="session", autouse=True)
def every_timer() -> Iterator[weakref.WeakSet[QTimer]]:
    """Timers that Python makes; those inside Qt end with the widgets that own them.

    To look for them among all that Python holds takes a tenth of the time of a test.
    """
    timers: weakref.WeakSet[QTimer] = weakref.WeakSet()
    make = QTimer.__init__

    def made(timer: QTimer, *arguments: Any, **named: Any) -> None:
        make(timer, *arguments, **named)
        timers.add(timer)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(QTimer, "__init__", made)
        yield timers


@pytest.fixture(autouse=True)
def nothing_left_behind(qapp: QApplication, every_timer: weakref.WeakSet[QTimer]) -> Iterator[None]:
    """Fail a test after which a window of its own still exists or a timer of its own still runs."""
    windows_before = QApplication.topLevelWidgets()
    timers_before = _running(every_timer)
    yield
    # pytest-qt has closed the widgets it was given, but deleting them takes an event
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    windows = _new_windows(windows_before)
    if windows:
        del windows
        gc.collect()  # a window kept by nothing but a ring of references is gone by itself
        windows = _new_windows(windows_before)
    timers = [timer for timer in _running(every_timer) if timer not in timers_before]
    left = [f"window {_described(window)}" for window in windows]
    left += [
        f"timer of {timer.interval()} ms, parent {_described(timer.parent())}" for timer in timers
    ]
    for window in windows:
        window.deleteLater()
    for timer in timers:
        timer.stop()
    assert not left, f"left behind: {'; '.join(left)}"


def _new_windows(known: list[QWidget]) -> list[QWidget]:
    return [
        window
        for window in QApplication.topLevelWidgets()
        # a tool tip lives on for a while and is Qt's own
        if window not in known and window.metaObject().className() != "QTipLabel"
    ]


def _running(timers: Iterable[QTimer]) -> list[QTimer]:
    return [timer for timer in timers if isValid(timer) and timer.isActive()]


def _described(thing: QObject | None) -> str:
    return f"{type(thing).__name__} {thing.objectName()}".strip() if thing else "nothing"


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    """The window without a job; it closes without asking about changes."""
    from framer.desk.window import Window

    made = Window()
    qtbot.addWidget(made, before_close_func=_forget_changes)
    made.resize(1280, 800)
    made.show()
    qtbot.waitExposed(made)
    return made


def _forget_changes(window: Window) -> None:
    window.filing.may_leave = lambda: True  # type: ignore[method-assign]


@pytest.fixture
def corner_path(tmp_path: Path) -> Path:
    """A copy of the corner sample that a test may write to."""
    from tests.desk.driving import SAMPLES

    path = tmp_path / "alder-lane.framer"
    shutil.copy(SAMPLES / "corner" / "alder-lane.framer", path)
    return path


@pytest.fixture
def corner(window: Window, corner_path: Path) -> Window:
    """The window with the corner sample."""
    window.filing.open_path(corner_path)
    assert window.bridge is not None
    return window
