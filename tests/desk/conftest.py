"""Window tests leave nothing behind: no window, no running timer."""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, QStandardPaths, QTimer
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid


@pytest.fixture(scope="session", autouse=True)
def qt_folders_out_of_reach() -> None:
    """Where the XDG variables mean nothing to Qt, it has a mode for tests."""
    QStandardPaths.setTestModeEnabled(sys.platform != "linux")


@pytest.fixture(autouse=True)
def nothing_left_behind(qapp: QApplication) -> Iterator[None]:
    """Fail a test after which a window of its own still exists or a timer of its own still runs."""
    windows_before = QApplication.topLevelWidgets()
    timers_before = _running_timers()
    yield
    # pytest-qt has closed the widgets it was given, but deleting them takes an event
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    windows = _new_windows(windows_before)
    if windows:
        del windows
        gc.collect()  # a window kept by nothing but a ring of references is gone by itself
        windows = _new_windows(windows_before)
    timers = [timer for timer in _running_timers() if timer not in timers_before]
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


def _running_timers() -> list[QTimer]:
    """Timers that Python knows of; those inside Qt end with the widgets that own them."""
    return [
        thing
        for thing in gc.get_objects()
        if isinstance(thing, QTimer) and isValid(thing) and thing.isActive()
    ]


def _described(thing: QObject | None) -> str:
    return f"{type(thing).__name__} {thing.objectName()}".strip() if thing else "nothing"
