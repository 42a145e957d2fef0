"""A finding that cannot say tells where in the window what it misses is typed."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

import framer
from framer.desk.dialogs.tables_dialog import TablesDialog
from framer.desk.panels.where_typed import FACTS, LINES, PLACES, where_typed
from framer.desk.window import Window
from tests.desk.driving import bridge_of, table_of

CHECKED = [
    path
    for room in ("checks", "geometry", "transfer")
    for path in (Path(framer.__file__).parent / room).glob("*.py")
]
DIALOGS = {LINES: "lines", FACTS: "transfer_facts"}


@pytest.mark.parametrize("start", [start for start, _ in PLACES])
def test_the_place_named_is_there(corner: Window, start: str) -> None:
    where = dict(PLACES)[start].partition(";")[0]
    for menu, name in DIALOGS.items():
        if where.startswith(menu):
            corner.commands.by_name[name].trigger()
            dialog = corner.dialogs[name]
            assert isinstance(dialog, TablesDialog)
            tab, _, title = where.removeprefix(f"{menu}, ").partition(", ")
            titles = [column.title for column in dialog.tables[tab].columns if column.enter]
            assert title in titles if title else titles
            return
    assert where == "Steps (F5), Gloves of the worker"
    assert table_of(corner).tabs[3].text() == "Steps"


@cache
def said_in_code() -> tuple[str, ...]:
    """How every text begins that stands where things are placed and judged."""
    found = []
    for path in CHECKED:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            first = node.values[0] if isinstance(node, ast.JoinedStr) and node.values else node
            if isinstance(first, ast.Constant) and isinstance(first.value, str):
                found.append(first.value)
    return tuple(found)


@pytest.mark.parametrize("start", [start for start, _ in PLACES])
def test_what_is_missing_is_said_so(start: str) -> None:
    assert any(text.startswith(start) for text in said_in_code())


def test_the_far_height_of_a_new_line_is_asked_for_where_it_is_typed(window: Window) -> None:
    window.commands.by_name["new"].trigger()
    bridge, panel = bridge_of(window), table_of(window).findings
    QTest.keyClick(table_of(window).board.view, Qt.Key.Key_F9)
    lines = window.dialogs["lines"]
    assert isinstance(lines, TablesDialog)
    rows = lines.tables["Nearby wires"]
    for add in ("Circuits", "Nearby wires"):
        QTest.mouseClick(lines.add_buttons[add], Qt.MouseButton.LeftButton)  # type: ignore[attr-defined]
    near = bridge.job.nearby[0]
    finding = next(
        one for one in bridge.session.findings("framed") if one.missing.startswith("height of ")
    )
    bridge.choose(finding.key)
    assert "To type it: Edit, Circuits and Spans (F9), Nearby wires, Height." in panel.words()
    assert where_typed(bridge.job, f"height of {near.name} not known")
    rows.item(0, 3).setText("38 ft")
    assert not any(
        where_typed(bridge.job, one.missing).endswith("Nearby wires, Height")
        for one in bridge.session.findings("framed")
    )
