"""The guard of this folder, seen at work: it must catch what a test leaves behind."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

TESTS = """
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QComboBox, QMainWindow, QWidget

kept = []

def test_tidy(qtbot):
    window = QMainWindow()
    window.menuBar().addMenu("menu").addAction("action")
    box = QComboBox()
    box.addItems(["a", "b"])
    window.setCentralWidget(box)
    qtbot.addWidget(window)
    window.show()
    box.showPopup()
    QTimer(window).start(50)

def test_window(qtbot):
    kept.append(QWidget())

def test_timer(qtbot, qapp):
    QTimer(qapp).start(60_000)

def test_single_shot(qtbot):
    QTimer.singleShot(60_000, lambda: None)

def test_tidy_again(qtbot):
    pass
"""


def test_a_window_or_timer_left_behind_fails_its_test_and_no_other(tmp_path: Path) -> None:
    shutil.copy(Path(__file__).with_name("conftest.py"), tmp_path)
    (tmp_path / "test_some.py").write_text(TESTS)
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:xdist", "-p", "no:cacheprovider", "-ra", "."],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert re.search(r"5 passed, 3 errors", done.stdout), done.stdout
    failed = re.findall(r"^ERROR test_some\.py::(\w+)", done.stdout, re.MULTILINE)
    assert sorted(failed) == ["test_single_shot", "test_timer", "test_window"]
