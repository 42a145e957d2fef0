"""What stands beside the sheet can be read and pressed whole, however narrow it is made."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QCheckBox,
    QComboBox,
    QLabel,
    QLineEdit,
    QPushButton,
    QSplitter,
    QWidget,
)

from framer.desk.table import LEAST_SIDE_PX
from framer.desk.window import Window
from tests.desk.driving import LEFT, SAMPLES, bridge_of, table_of

EDGES_PX = {QComboBox: 26, QCheckBox: 18, QPushButton: 8}
"""What a control needs beside its words: an arrow, a box to tick, its edges."""
CUT_SHORT = {"list by thing", "list by rule", "add a thing", "rest wires", "follows"}
"""Names of choices that offer names of any length; the tool tip has them whole."""


def dragged(window: Window, side_px: int) -> QWidget:
    """The side, made so wide by dragging the bar between it and the sheet."""
    splits = table_of(window).findChildren(QSplitter)
    split = next(one for one in splits if one.objectName() == "beside the sheet")
    bar, side = split.handle(1), split.widget(1)
    here = bar.rect().center()
    QTest.mousePress(bar, LEFT, Qt.KeyboardModifier.NoModifier, here)
    by = QPoint(side.width() - side_px, 0)
    QTest.mouseMove(bar, here + by)
    QTest.mouseRelease(bar, LEFT, Qt.KeyboardModifier.NoModifier, here + by)
    QApplication.processEvents()
    return side


def cut_off(side: QWidget) -> list[str]:
    """Controls beside the sheet that reach out of it or are too narrow for their words."""
    found = []
    for control in side.findChildren(QWidget):
        if not isinstance(control, QAbstractButton | QComboBox | QLabel | QLineEdit):
            continue
        if not control.isVisible() or control.visibleRegion().isEmpty():
            continue  # scrolled out of sight from top to bottom
        is_choice = isinstance(control, QComboBox)
        words = control.currentText() if is_choice else control.text()
        name = f"{control.accessibleName()} {words}"
        left = control.mapTo(side, QPoint(0, 0)).x()
        seen = control.visibleRegion().boundingRect().width()
        if left < 0 or left + control.width() > side.width() or seen < control.width():
            found.append(f"{name}: out of the side")
        if isinstance(control, QLineEdit) or control.accessibleName() in CUT_SHORT:
            continue
        if isinstance(control, QLabel) and control.wordWrap():
            if control.height() < control.heightForWidth(control.width()):
                found.append(f"{name}: too low")
            continue
        edges = next((px for kind, px in EDGES_PX.items() if isinstance(control, kind)), 0)
        wide = control.fontMetrics().horizontalAdvance(words.replace("&", "")) + edges
        if words and not isinstance(control.parent(), QComboBox) and control.width() < wide:
            found.append(f"{name}: {control.width()} px for {wide}")
    return found


@pytest.mark.parametrize("side_px", [LEAST_SIDE_PX, 320, 480])
@pytest.mark.parametrize("size", [(1024, 700), (1280, 800), (1920, 1080)])
def test_nothing_beside_the_sheet_is_cut_off_at_any_width(
    window: Window, size: tuple[int, int], side_px: int
) -> None:
    window.resize(*size)
    window.filing.open_path(SAMPLES / "corner-transfer")
    table, bridge = table_of(window), bridge_of(window)
    side = dragged(window, side_px)
    # what the sheet and the strip below it need stays theirs
    assert side.width() == side_px or (size[0] < 1280 and side_px > 320)
    looked_at = set()
    for key in ("line-arm", "pole-new"):
        bridge.select(key)
        for page, tab in enumerate(table.tabs):
            QTest.mouseClick(tab, LEFT)
            assert table.pages.currentIndex() == page
            QApplication.processEvents()
            assert cut_off(side) == [], tab.text()
            looked_at.add(tab.text())
    assert looked_at == {"Findings", "Stock", "Answers", "Steps"}


@pytest.mark.parametrize("side_px", [LEAST_SIDE_PX, 340])
def test_every_entry_of_a_step_can_be_scrolled_to_and_pressed(window: Window, side_px: int) -> None:
    window.filing.open_path(SAMPLES / "corner-transfer")
    table = table_of(window)
    side = dragged(window, side_px)
    QTest.mouseClick(table.tabs[3], LEFT)
    steps = table.steps
    for _ in range(2):
        QTest.mouseClick(steps.boom.put_in, LEFT)  # out or in: both are looked at
        QApplication.processEvents()
        bar = steps.chosen.verticalScrollBar()
        assert not steps.chosen.horizontalScrollBar().isVisible()
        for value in range(0, bar.maximum() + 1, 60):
            bar.setValue(value)
            assert cut_off(side) == [], value
        bar.setValue(bar.maximum())
        assert not steps.boom.put_in.visibleRegion().isEmpty()
