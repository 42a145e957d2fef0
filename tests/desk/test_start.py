"""Starting: menus and sheet first, then the job; and what the Qt binding must not do."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from framer.desk import start
from framer.desk.start import open_window
from tests.desk.driving import ROOT, SAMPLES, board_of, table_of

BEFORE_FIRST_PAINT = """
import sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
from framer.desk.start import open_window

application = QApplication([])
window = open_window(Path(sys.argv[1]))
window.painted.connect(lambda: print(sorted(
    name for name in ("numpy", "msgspec", "shapely", "ezdxf", "pint", "framer.session")
    if name in sys.modules), len(window.menuBar().actions())))
window.painted.connect(application.quit)
application.exec()
"""


def test_nothing_heavy_is_imported_before_the_first_paint_and_menus_are_there() -> None:
    done = subprocess.run(
        [sys.executable, "-c", BEFORE_FIRST_PAINT, str(SAMPLES / "corner")],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == "[] 4"


def test_the_job_of_a_folder_is_opened_after_the_first_paint(qtbot: QtBot) -> None:
    window = open_window(SAMPLES / "corner")
    qtbot.addWidget(window)
    assert window.bridge is None
    qtbot.waitUntil(lambda: window.table is not None)
    assert table_of(window).findings.model.rowCount() > 0
    assert board_of(window).framed.items


def test_a_wrong_path_at_the_start_leaves_an_empty_window_that_says_why(
    qtbot: QtBot, tmp_path: Path
) -> None:
    window = open_window(tmp_path)  # a folder without a job
    qtbot.addWidget(window)
    qtbot.waitUntil(window.notice.isVisible)
    assert "expected one .framer file in the folder, found none" in window.notice.text()
    assert window.bridge is None


def test_run_window_shows_the_window_until_it_is_closed(qapp: QApplication, qtbot: QtBot) -> None:
    seen = []

    def close() -> None:
        for widget in qapp.topLevelWidgets():
            if type(widget).__name__ == "Window" and widget.isVisible():
                seen.append(widget.windowTitle())
                widget.close()

    timer = QTimer()
    timer.setInterval(50)
    timer.timeout.connect(close)
    timer.start()
    assert start.run_window(None) == 0
    timer.stop()
    assert seen == ["framer"]


def test_calls_that_return_nothing_lose_no_reference_to_none() -> None:
    """Some versions of the binding lose one reference a call, and abort after some thousands."""
    thing = QObject()
    before = sys.getrefcount(None)
    for number in range(200):
        thing.setObjectName(str(number))
    assert sys.getrefcount(None) > before - 100
