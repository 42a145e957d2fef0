"""Starting: menus and sheet first, then the job; and what the Qt binding must not do."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from framer.desk import start
from framer.desk.start import open_window
from framer.desk.table import DRAWING
from tests.desk.driving import ROOT, SAMPLES, board_of, table_of

BEFORE_FIRST_PAINT = """
import sys
from pathlib import Path
from PySide6 import QtCore
from PySide6.QtWidgets import QApplication
from framer.desk.start import open_window

application = QApplication([])
window = open_window(Path(sys.argv[1]))
window.painted.connect(lambda: print(sorted(
    name for name in ("numpy", "msgspec", "shapely", "ezdxf", "pint", "framer.session")
    if name in sys.modules), "Qt" in vars(QtCore), len(window.menuBar().actions())))
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
    # nor the hundred enumerations of QtCore.Qt, which take as long as all the rest of the window
    assert done.stdout.strip() == "[] False 4"


def test_qt_has_no_module_read_as_text_when_it_is_imported() -> None:
    script = (
        "import linecache, framer.desk.window; from framer.session import Session; "
        "print(sorted(linecache.cache))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert "session.py" not in done.stdout


def test_findings_can_be_read_while_the_sheet_is_still_to_be_drawn(
    qtbot: QtBot, tmp_path: Path
) -> None:
    job = shutil.copy(SAMPLES / "corner/alder-lane.framer", tmp_path)
    window = open_window(Path(job))
    qtbot.addWidget(window)
    seen = []

    def look() -> None:
        table = table_of(window)
        rows = table.findings.list
        first = rows.visualRect(rows.model().index(0, 0))
        drawn = rows.viewport().grab(first).toImage()
        inks = {drawn.pixel(x, y) for x in range(drawn.width()) for y in range(drawn.height())}
        words = [label.text() for label in table.findChildren(QLabel) if label.isVisible()]
        seen.append(
            (
                first.intersects(rows.viewport().rect()) and len(inks) > 5,
                [str(rows.model().index(row, 0).data()) for row in range(rows.model().rowCount())],
                {word: label.text() for word, label in table.counts.numbers.items()},
                DRAWING in words,
                hasattr(table, "board"),
            )
        )

    window.findings_shown.connect(look)
    qtbot.waitUntil(lambda: window.table is not None and hasattr(window.table, "board"))
    ((is_seen, lines, counts, says_so, has_sheet),) = seen
    assert is_seen
    assert says_so
    assert not has_sheet
    table = table_of(window)
    model = table.findings.model
    assert lines == [str(model.index(row).data()) for row in range(model.rowCount())]
    assert counts == {word: label.text() for word, label in table.counts.numbers.items()}
    assert DRAWING not in [
        label.text() for label in table.findChildren(QLabel) if label.isVisible()
    ]


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
