"""A whole pole head put on by one action, from the stock list or the menu."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from framer.desk.dialogs.line_tables import LineTables
from framer.desk.window import Window
from framer.edits.arrange import deleted
from framer.model.place import OnArm, OnItem
from framer.model.stage import place_at
from framer.stock.patterns import patterns
from tests.desk.driving import board_of, bridge_of, over, place_of, said, table_of, texts
from tests.desk.test_line_tables import column

HEAD = ("line-arm", "buck-arm", "spool-new", "neutral-end-new")


@pytest.fixture
def bare(corner: Window) -> Window:
    """The corner job with nothing of its head on the new pole."""
    bridge_of(corner).do("bare", lambda job: deleted(job, HEAD))
    return corner


def where_hung(window: Window) -> dict[str, object]:
    """What each wire of the line hangs on as framed: how high on which side."""
    scene = bridge_of(window).session.scene("framed")
    return {
        wire.id: tuple(round(one, 3) for one in scene.parts_of[wire.id][0].shape.p)  # type: ignore[union-attr]
        for wire in bridge_of(window).job.wires
        if wire.circuit == "main" and wire.id in scene.parts_of
    }


def test_the_corner_pattern_frames_the_sample_as_it_was_framed_by_hand(corner: Window) -> None:
    by_hand = where_hung(corner)
    bridge_of(corner).do("bare", lambda job: deleted(job, HEAD))
    before = bridge_of(corner).job
    bridge_of(corner).select("pole-new")
    stock = table_of(corner).stock
    table_of(corner).turn_to(1)
    stock.search.setText("corner with buck arm")
    assert stock.button.text() == "Frame New pole"
    QTest.keyClick(stock.search, Qt.Key.Key_Return)
    by_pattern = where_hung(corner)
    assert by_pattern.keys() == by_hand.keys()
    for key, point in by_hand.items():
        assert by_pattern[key] == pytest.approx(point, abs=0.01), key
    assert bridge_of(corner).session.undo_name == "frame New pole: Corner with buck arm"
    assert "10 things are there" in said(corner)
    bridge_of(corner).undo()
    assert bridge_of(corner).job is before


def test_the_menu_shows_the_patterns_and_enter_takes_one(bare: Window) -> None:
    board_of(bare).view.setFocus()
    QTest.keyClick(board_of(bare).view, Qt.Key.Key_T, Qt.KeyboardModifier.ControlModifier)
    stock = table_of(bare).stock
    assert stock.tree.hasFocus()
    assert stock.chosen.startswith("pattern:")
    assert patterns()[stock.chosen.removeprefix("pattern:")].about in stock.about.text()
    count = len(bridge_of(bare).job.items)
    QTest.keyClick(stock.tree, Qt.Key.Key_Return)
    assert len(bridge_of(bare).job.items) > count


def test_what_a_pattern_puts_in_is_edited_as_anything_else(bare: Window) -> None:
    stock = table_of(bare).stock
    stock.search.setText("tangent")
    stock.put_chosen()
    key = bridge_of(bare).selected
    before = place_of(bare, key)
    board_of(bare).view.setFocus()
    QTest.keyClick(board_of(bare).view, Qt.Key.Key_Down)
    assert place_of(bare, key) != before
    pins = [
        item
        for item in bridge_of(bare).job.items
        if isinstance(at := place_at(bridge_of(bare).job, item, "framed"), OnArm) and at.host == key
    ]
    assert [pin.name for pin in pins] == ["Pin A", "Pin B", "Pin C"]
    wire = place_of(bare, "north-a")
    assert isinstance(wire, OnItem)
    assert wire.host == pins[0].id


def test_a_job_without_spans_is_framed_north_and_says_so(window: Window) -> None:
    window.commands.by_name["new"].trigger()
    stock = table_of(window).stock
    table_of(window).turn_to(1)
    stock.search.setText("tangent")
    QTest.keyClick(stock.search, Qt.Key.Key_Return)
    assert "the line ahead is taken to go north" in said(window)
    assert any(item.name == "Line arm" for item in bridge_of(window).job.items)


def test_a_pattern_that_cannot_be_put_there_says_why(corner: Window) -> None:
    bridge_of(corner).do("no pole", lambda job: deleted(job, ("pole-new",)))
    stock = table_of(corner).stock
    table_of(corner).turn_to(1)
    stock.search.setText("tangent")
    assert not stock.button.isEnabled()
    assert "select the pole that is framed" in stock.button.toolTip()


def test_the_circuit_is_strung_though_a_wire_of_another_line_was_told_first(
    window: Window,
) -> None:
    window.commands.by_name["new"].trigger()
    window.commands.by_name["lines"].trigger()
    tables = window.dialogs["lines"]
    assert isinstance(tables, LineTables)
    for name in ("Circuits", "Spans", "Nearby wires"):
        QTest.mouseClick(tables.add_buttons[name], Qt.MouseButton.LeftButton)
    rows = tables.tables["Nearby wires"]
    rows.item(0, column(rows, "Height")).setText("35 ft")
    tables.close()
    # what to do on the bare pole lies under no name of a wire that passes
    assert any("Nothing is on this pole yet" in text for text, _ in texts(window))
    assert over(window) == []
    window.commands.by_name["frame_by"].trigger()
    tree = table_of(window).stock.tree
    while tree.currentIndex().data() != "Tangent":
        QTest.keyClick(tree, Qt.Key.Key_Down)
    QTest.keyClick(tree, Qt.Key.Key_Return)
    job = bridge_of(window).job
    assert len(job.circuits) == 2
    assert {wire.circuit for wire in job.wires} == {job.circuits[0].id}
    assert len(job.wires) == 4
