"""Starting the window: menus and an empty sheet first, the job after the first paint."""

from __future__ import annotations

import gc
import sys
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from framer import __version__
from framer.desk.faults import watch
from framer.desk.window import ASIDE_PX, Window

_further: list[Window] = []
"""Windows opened from another one, which nobody else holds."""


def run_window(path: Path | None) -> int:
    """Show the window with a job, or without one, until all are closed; gives the exit status."""
    application = QApplication.instance()
    if not isinstance(application, QApplication):
        application = QApplication(sys.argv[:1])
    application.setApplicationName("framer")
    application.setApplicationVersion(__version__)
    application.setDesktopFileName("framer")
    watch()
    window = open_window(path)
    status: int = application.exec()
    window.deleteLater()
    return status


def open_window(path: Path | None) -> Window:
    """Show the window; the job is read once the window has been painted."""
    window = Window()
    window.wants_window.connect(lambda other: _open_further(window, other))
    if path is not None:
        window.show_empty(path.name or str(path))
        window.painted.connect(
            lambda: QTimer.singleShot(0, window, lambda: _open_first(window, path))
        )
    else:
        window.painted.connect(lambda: QTimer.singleShot(0, window, lambda: _offer(window)))
    window.show()
    return window


def _open_further(window: Window, path: Path | None) -> Window:
    """One more window, a little aside of the one it was asked for in."""
    further = open_window(path)
    _further.append(further)
    further.move(window.x() + ASIDE_PX, window.y() + ASIDE_PX)
    further.closed.connect(lambda: _let_go(further))
    return further


def _let_go(window: Window) -> None:
    if window in _further:
        _further.remove(window)
        window.deleteLater()


def _offer(window: Window) -> None:
    window.offer_left()
    gc.enable()


def _open_first(window: Window, path: Path) -> None:
    """Open the job the window was started with.

    With modules, stock and rules read in, hardly anything is let go of meanwhile; looking for it
    again and again takes a tenth of the time. Most of it stays for good, and going through it later
    would hold up a drag.
    """
    gc.disable()
    try:
        window.filing.open_path(path)
    finally:
        if not gc.get_freeze_count():
            gc.freeze()
        gc.enable()
