"""A first-time user: from the empty window to a checked pole by what the window says."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QToolButton

from framer.desk.dialogs.line_tables import LineTables
from framer.desk.window import Window
from tests.desk.driving import bridge_of, enter, table_of
from tests.desk.test_line_tables import tab, typed

LEFT = Qt.MouseButton.LeftButton


def tool(window: Window, text: str) -> QToolButton:
    buttons = window.commands.tools.findChildren(QToolButton)
    return next(one for one in buttons if one.text() == text)


def test_from_the_empty_window_to_a_checked_pole_by_what_it_says(window: Window) -> None:
    start = next(one for one in window.findChildren(QPushButton) if one.text() == "Start a New Job")
    QTest.mouseClick(start, LEFT)
    bridge = bridge_of(window)

    def next_step() -> str:
        assert window.next_step.isVisible()
        return window.next_step.text()

    # a new job has its pole; which lines leave here is asked, and the key that is named opens it
    assert next_step().startswith("2. Tell which lines leave here")
    assert "(F9)" in next_step()
    QTest.keyClick(table_of(window).board.view, Qt.Key.Key_F9)
    tables = window.dialogs["lines"]
    assert isinstance(tables, LineTables)
    rows = tab(tables, "Circuits")
    QTest.mouseClick(tables.add_buttons["Circuits"], LEFT)
    typed(rows, 0, "kV", "12.47Y/7.2")
    typed(rows, 0, "Neutral", "grounded")
    rows = tab(tables, "Spans")
    for row, way in enumerate(("N", "S")):
        QTest.mouseClick(tables.add_buttons["Spans"], LEFT)
        typed(rows, row, "Direction", way)
        typed(rows, row, "Sag", "2 ft")
    # framing is asked next, and Frame By on the tool bar does it
    assert next_step().startswith("3. Frame it")
    QTest.mouseClick(tool(window, "Frame By..."), LEFT)
    tree = table_of(window).stock.tree
    while tree.currentIndex().data() != "Tangent":
        QTest.keyClick(tree, Qt.Key.Key_Down)
    QTest.keyClick(tree, Qt.Key.Key_Return)
    assert len(bridge.job.wires) == 8  # A, B, C, N in both spans
    # what crosses is asked next
    assert next_step().startswith("4. Tell what crosses")
    rows = tab(tables, "Nearby wires")
    QTest.mouseClick(tables.add_buttons["Nearby wires"], LEFT)
    assert bridge.job.nearby
    # how high it is is not known yet: that is not a pass
    assert bridge.session.findings("framed").counts["cannot say"] > 0
    typed(rows, 0, "Height", "39 ft")
    typed(rows, 0, "Passes", "0 ft")
    # the pole is 45 ft long and 6 ft 6 in deep: 38 ft 6 in up, half a foot under that wire
    assert "short: choose the first in the list" in next_step()
    tables.close()
    window.commands.by_name["findings"].trigger()  # F7
    worst = bridge.session.findings("framed")[0]
    assert bridge.finding == worst.key  # seen at once on the sheet
    QTest.keyClick(table_of(window).findings.list, Qt.Key.Key_Down)
    assert bridge.finding not in ("", worst.key)
    bridge.select(next(item.id for item in bridge.job.items if item.kind == "pole"))
    enter(table_of(window).thing.pole.cut, "6 ft")
    assert bridge.session.undo_name == "cut New pole"
    counts = bridge.session.findings("framed").counts
    assert counts["short"] == 0
    done = ("5. As framed nothing is short, but", "6. As framed nothing is short")
    assert next_step().startswith(done)
