"""Starting the window: menus and an empty sheet first, the job after the first paint."""

from __future__ import annotations

import gc
import sys
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from framer import __version__
from framer.desk.window import Window


def run_window(path: Path | None) -> int:
    """Show the window with a job, or without one, until it is closed; gives the exit status."""
    application = QApplication.instance()
    if not isinstance(application, QApplication):
        application = QApplication(sys.argv[:1])
    application.setApplicationName("framer")
    application.setApplicationVersion(__version__)
    window = open_window(path)
    status: int = application.exec()
    window.deleteLater()
    return status


def open_window(path: Path | None) -> Window:
    """Show the window; the job is read once the window has been painted."""
    window = Window()
    if path is not None:
        window.show_empty(path.name or str(path))
        window.painted.connect(
            lambda: QTimer.singleShot(0, window, lambda: _open_first(window, path))
        )
    else:
        window.painted.connect(lambda: QTimer.singleShot(0, window, window.offer_left))
    window.show()
    return window


def _open_first(window: Window, path: Path) -> None:
    """Open the job the window was started with.

    With modules, stock and rules read in, hardly anything is let go of meanwhile; looking for it
    again and again takes a tenth of the time.
    """
    gc.disable()
    try:
        window.filing.open_path(path)
    finally:
        gc.enable()
