"""Circuits, spans, phases and nearby wires in tables, and a nearby wire dragged in the plan."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QGraphicsSimpleTextItem, QLineEdit
from pytestqt.qtbot import QtBot

from framer.desk.dialogs.line_tables import LineTables, read_direction, read_kv
from framer.desk.dialogs.rows import Rows
from framer.desk.window import Window
from framer.edits.line import across_in
from framer.errors import EditError
from framer.geometry.placing import place
from framer.geometry.scene import Run
from framer.geometry.written import exact
from tests.desk.driving import (
    board_of,
    bridge_of,
    move,
    place_of,
    press,
    release,
    said,
    table_of,
)


@pytest.fixture
def tables(corner: Window) -> LineTables:
    """The dialog, opened from the menu."""
    corner.commands.by_name["lines"].trigger()
    dialog = corner.dialogs["lines"]
    assert isinstance(dialog, LineTables)
    assert dialog.isVisible()
    return dialog


def tab(tables: LineTables, name: str) -> Rows:
    """One of the tables, in front."""
    names = [tables.tabs.tabText(at) for at in range(tables.tabs.count())]
    tables.tabs.setCurrentIndex(names.index(name))
    return tables.tables[name]


def column(rows: Rows, title: str) -> int:
    return next(at for at, one in enumerate(rows.columns) if one.title == title)


def shown(rows: Rows, row: int, title: str) -> str:
    cell = rows.item(row, column(rows, title))
    assert cell is not None
    return cell.text()


def typed(rows: Rows, row: int, title: str, text: str) -> None:
    """Type over a cell by keys and press Enter."""
    rows.setCurrentCell(row, column(rows, title))
    rows.setFocus()
    QTest.keyClick(rows, Qt.Key.Key_F2)
    editor = rows.findChildren(QLineEdit)[-1]  # one that has been left may still be there
    editor.selectAll()
    QTest.keyClicks(editor, text) if text else QTest.keyClick(editor, Qt.Key.Key_Delete)
    QTest.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()  # Qt takes what was typed with the next event


def test_every_circuit_span_and_nearby_wire_is_a_row(tables: LineTables) -> None:
    job = tables.bridge.job
    for name, records in (
        ("Circuits", job.circuits),
        ("Spans", job.spans),
        ("Nearby wires", job.nearby),
    ):
        assert tab(tables, name).keys == tuple(one.id for one in records)
    assert shown(tab(tables, "Circuits"), 0, "kV") == "24.9Y/14.4"
    assert shown(tab(tables, "Spans"), 2, "Direction") == "270 deg, west"
    assert shown(tab(tables, "Spans"), 0, "Length") == "150 ft"


@pytest.mark.parametrize(
    ("name", "title", "text", "becomes"),
    [
        ("Circuits", "Name", "Mill 4", "Mill 4"),
        ("Circuits", "kV", "12.47Y/7.2", "12.47Y/7.2"),
        ("Circuits", "kV", "", ""),
        ("Circuits", "Approach", "2 ft 7 in", "2 ft 7 in"),
        ("Circuits", "Approach", "", ""),
        ("Spans", "Toward", "pole 6A", "pole 6A"),
        ("Spans", "Direction", "NE", "45 deg, north-east"),
        ("Spans", "Direction", "12.5", "12.5 deg"),
        ("Spans", "Length", "45.72 m", "150 ft"),
        ("Spans", "Length", "160'", "160 ft"),
        ("Spans", "Ground there", "-2 ft", "-2 ft"),
        ("Spans", "Over", "field", "field"),
        ("Wire ends", "Height there", "38 ft", "38 ft"),
        ("Wire ends", "Height there", "Level", "level"),
        ("Wire ends", "Height there", "", ""),
        ("Wire ends", "Aside there", "2 ft 6 in east", "2 ft 6 in east"),
        ("Wire ends", "Aside there", "2 ft W", "2 ft west"),
        ("Wire ends", "Aside there", "", ""),
        ("Nearby wires", "Height", "41 ft 3 in", "41 ft 3 in"),
        ("Nearby wires", "Height", "", ""),
        ("Nearby wires", "Give or take", "6 in", "6 in"),
        ("Nearby wires", "Runs", "90", "90 deg, east"),
        ("Nearby wires", "Circuit", "Mill 3", "Mill 3"),
        ("Nearby wires", "Hot, lower by", "1 ft", "1 ft"),
        ("Nearby wires", "Passes", "10 ft south-west", "10 ft south-west"),
        ("Nearby wires", "Passes", "10 ft NE", "10 ft north-east"),
    ],
)
def test_a_cell_that_is_typed_over_is_one_step(
    tables: LineTables, name: str, title: str, text: str, becomes: str
) -> None:
    before = tables.bridge.job
    rows = tab(tables, name)
    was = shown(rows, 0, title)
    typed(rows, 0, title, text)
    assert shown(rows, 0, title) == becomes
    QApplication.processEvents()  # Qt takes what was typed with the next event
    if becomes == was:
        assert tables.bridge.job is before
        return
    assert title.lower() in tables.bridge.session.undo_name
    tables.bridge.undo()
    assert tables.bridge.job is before
    assert shown(rows, 0, title) == was


@pytest.mark.parametrize(
    ("name", "title", "text", "why"),
    [
        ("Circuits", "kV", "lots", "is no voltage; type kV such as 12.47"),
        ("Circuits", "Name", " ", "a circuit needs a name"),
        ("Circuits", "Kind", "water", "type supply or communications"),
        ("Circuits", "Approach", "-1 ft", "an approach distance is from 0 up to 1,000 ft"),
        ("Spans", "Direction", "upwards", "is no direction"),
        ("Spans", "Length", "0", "longer than 0"),
        ("Spans", "Length", "12 apples", "is no unit of length"),
        ("Spans", "Over", "moon", "type one of road"),
        ("Wire ends", "Aside there", "2 ft north", "the wire runs north: say on which side"),
        ("Wire ends", "Height there", "high", "is no"),
        ("Nearby wires", "Height", "-3 ft", "a height is from 0"),
        ("Nearby wires", "Circuit", "Nobody's", "there is no circuit"),
    ],
)
def test_what_makes_no_sense_changes_nothing_and_says_why(
    tables: LineTables, name: str, title: str, text: str, why: str
) -> None:
    before = tables.bridge.job
    rows = tab(tables, name)
    was = shown(rows, 0, title)
    typed(rows, 0, title, text)
    assert tables.bridge.job is before
    assert shown(rows, 0, title) == was
    assert why in tables.message.text()


def test_a_far_end_typed_aside_is_where_the_wire_goes(tables: LineTables) -> None:
    rows = tab(tables, "Wire ends")
    row = rows.keys.index("north-a")
    typed(rows, row, "Aside there", "2 ft west")
    job = tables.bridge.job
    assert job.wire_by_id["north-a"].far_offset_in == -24.0
    shape = place(job, "framed").part_by_key["north-a"].shape
    assert isinstance(shape, Run)
    assert shape.q[:2] == pytest.approx((-24.0, 1800.0))
    # a length alone stays on the side it is on
    typed(rows, row, "Aside there", "3 ft")
    assert tables.bridge.job.wire_by_id["north-a"].far_offset_in == -36.0


def test_a_length_that_could_be_meant_in_two_ways_tells_both(tables: LineTables) -> None:
    typed(tab(tables, "Nearby wires"), 0, "Height", "41.10 ft")
    assert tables.message.text().startswith("'41.10 ft' is read as 41 ft")
    assert "if you mean 41 ft 10 in, type that" in tables.message.text()


def test_the_order_of_phases_is_told_by_compass_and_by_the_street(tables: LineTables) -> None:
    rows = tab(tables, "Phases")
    assert shown(rows, 0, "Order") == "A B C"
    assert shown(rows, 0, "In words") == "A B C from west to east"
    tables.street.setCurrentIndex(1 + 6)  # west
    tables.street.activated.emit(1 + 6)
    assert tables.bridge.job.settings.street_side == "W"
    words = "A B C from west to east (A on the street side, C on the field)"
    assert shown(rows, 0, "In words") == words


def test_phases_can_be_named_in_another_order(tables: LineTables, corner: Window) -> None:
    typed(tab(tables, "Phases"), 0, "Order", "c b a")
    assert shown(tab(tables, "Phases"), 0, "Order") == "C B A"
    job = bridge_of(corner).job
    assert job.wire_by_id["north-a"].phase == "C"
    assert place_of(corner, "north-a") == place_of(corner, "south-a")
    typed(tab(tables, "Phases"), 0, "Order", "A A B")
    assert "name each of A, B, C once" in tables.message.text()


def test_records_are_added_and_removed_by_buttons(tables: LineTables) -> None:
    for name in ("Circuits", "Spans", "Nearby wires"):
        before = tables.bridge.job
        rows = tab(tables, name)
        count = rows.rowCount()
        tables.add_buttons[name].click()
        assert rows.rowCount() == count + 1
        assert rows.currentRow() == count
        tables.remove_buttons[name].click()
        assert tables.bridge.job == before


def test_what_is_in_use_is_not_removed_and_says_why(tables: LineTables) -> None:
    rows = tab(tables, "Spans")
    button = tables.remove_buttons["Spans"]
    assert not button.isEnabled()
    assert button.toolTip() == "choose a span first"
    rows.setCurrentCell(0, 0)
    before = tables.bridge.job
    button.click()
    assert tables.bridge.job is before
    assert "wires are in the span to pole 6; delete them first" in tables.message.text()


def test_the_tables_follow_the_job_and_close_with_it(tables: LineTables, corner: Window) -> None:
    bridge_of(corner).undo()
    typed(tab(tables, "Circuits"), 0, "Name", "Mill 9")
    bridge_of(corner).undo()
    assert shown(tab(tables, "Circuits"), 0, "Name") == "Mill 3"
    QTest.keyClick(tables, Qt.Key.Key_Escape)
    assert not tables.isVisible()


@pytest.mark.parametrize(
    ("text", "kv"),
    [
        ("12.47", (12.47, None)),
        ("12.47 kV", (12.47, None)),
        ("24.9Y/14.4", (24.9, 14.4)),
        ("24.9 GrdY / 14.4 kV", (24.9, 14.4)),
        ("7,200 V", (7.2, None)),
        ("", (None, None)),
    ],
)
def test_voltages_are_read_as_they_are_written(
    text: str, kv: tuple[float | None, float | None]
) -> None:
    assert read_kv(text) == kv


@pytest.mark.parametrize(
    ("text", "azimuth_deg"),
    [("270", 270.0), ("west", 270.0), ("W", 270.0), ("South-West", 225.0), ("360", 0.0)],
)
def test_directions_are_read_as_they_are_said(text: str, azimuth_deg: float) -> None:
    assert read_direction(text) == azimuth_deg


@pytest.mark.parametrize("text", ["", "-5", "400", "left", "nan", "inf"])
def test_what_is_no_direction_is_refused(text: str) -> None:
    with pytest.raises(EditError, match="is no direction"):
        read_direction(text)


# In the plan.


def wire_in_plan(window: Window, key: str) -> QPoint:
    """A point where a wire in the plan is pressed."""
    board = board_of(window)
    hands = table_of(window).hands
    for item in board.layers["plan"].items:
        if item.data(0) != key:
            continue
        box = item.sceneBoundingRect()
        for share in range(1, 40):
            for flip in (False, True):
                x = box.left() + share / 40 * box.width()
                y = box.top() + (1 - share / 40 if flip else share / 40) * box.height()
                at = board.view.mapFromScene(x, y)
                if hands.hit_in(at) == (key, "plan"):
                    return at
    raise AssertionError(f"{key} cannot be pressed in the plan")


def test_a_nearby_wire_is_dragged_square_to_itself_in_the_plan(corner: Window) -> None:
    before = bridge_of(corner).job
    was = across_in(before, "ridge-near")
    start = wire_in_plan(corner, "ridge-near")
    scale = board_of(corner).px_per_in
    press(corner, start)
    # it runs 120 degrees from north, so its right hand is 210: down and to the left
    at = start + QPoint(round(-0.5 * 24.0 * scale), round(0.866 * 24.0 * scale))
    move(corner, at)
    assert "of the old pole's place" in said(corner)
    hands = table_of(corner).hands
    written = [
        item.text() for item in hands.ghost.items if isinstance(item, QGraphicsSimpleTextItem)
    ]
    moved = {near.id: near for near in bridge_of(corner).job.nearby}
    foot = bridge_of(corner).session.scene("framed").poles["pole-new"].foot
    way = math.radians(moved["ridge-near"].azimuth_deg)

    def off(east_in: float, north_in: float) -> float:
        wire = moved["ridge-near"]
        return (east_in - wire.east_in) * math.cos(way) - (north_in - wire.north_in) * math.sin(way)

    beside = [
        abs(off(near.east_in, near.north_in))
        for near in moved.values()
        if near.id != "ridge-near" and near.azimuth_deg == moved["ridge-near"].azimuth_deg
    ]
    assert beside, "no other wire runs beside it"
    made = bridge_of(corner).job
    assert written == [exact(made, abs(off(foot[0], foot[1]))), exact(made, min(beside))]
    release(corner, at)
    job = bridge_of(corner).job
    assert across_in(job, "ridge-near") - was == pytest.approx(24.0, abs=2.0)
    across = across_in(job, "ridge-near")
    assert across == pytest.approx(round(across), abs=1e-4)
    assert job.readings == before.readings
    assert bridge_of(corner).session.undo_name == "move Ridge 2, near wire"
    bridge_of(corner).undo()
    assert bridge_of(corner).job is before


def test_a_pin_is_dragged_along_its_arm_in_the_plan(corner: Window) -> None:
    bridge_of(corner).select("end-b-new")
    start = wire_in_plan(corner, "end-b-new")
    before = place_of(corner, "end-b-new")
    press(corner, start)
    move(corner, start + QPoint(0, -18))
    release(corner, start + QPoint(0, -18))
    assert place_of(corner, "end-b-new") != before
    assert bridge_of(corner).session.undo_name == "move Dead-end B"


def test_an_arm_is_not_dragged_up_in_the_plan(corner: Window) -> None:
    before = bridge_of(corner).job
    start = wire_in_plan(corner, "buck-arm")
    press(corner, start)
    move(corner, start + QPoint(10, 10))
    release(corner, start)
    assert bridge_of(corner).job is before
    assert "moves up and down" in said(corner)


def keyed(text: str) -> None:
    """Type into the cell that is edited, and go on with Tab."""
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit), editor
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, Qt.Key.Key_Tab)


def test_tab_goes_from_cell_to_cell_and_passes_over_what_is_only_shown(
    tables: LineTables, qtbot: QtBot
) -> None:
    qtbot.waitUntil(tables.isActiveWindow)
    rows = tab(tables, "Wire ends")
    before = shown(rows, 1, "Aside there")
    rows.setFocus()
    rows.setCurrentCell(0, column(rows, "Height there"))
    rows.editItem(rows.currentItem())
    keyed("31 ft")
    keyed("")
    # the wire's name, which begins the next row, is only shown
    keyed("32 ft")
    assert [shown(rows, row, "Height there") for row in (0, 1)] == ["31 ft", "32 ft"]
    assert (rows.currentRow(), rows.currentColumn()) == (1, column(rows, "Aside there"))
    assert shown(rows, 1, "Aside there") == before
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Backtab)
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Backtab)
    assert (rows.currentRow(), rows.currentColumn()) == (0, column(rows, "Aside there"))


def test_a_nearby_wire_is_told_in_one_row_by_keys_alone(tables: LineTables, qtbot: QtBot) -> None:
    qtbot.waitUntil(tables.isActiveWindow)
    rows = tab(tables, "Nearby wires")
    QTest.mouseClick(tables.add_buttons["Nearby wires"], Qt.MouseButton.LeftButton)
    row = rows.currentRow()
    rows.editItem(rows.currentItem())
    for text in ("West feeder", shown(rows, row, "Circuit"), "12.47", "35.2 ft", "2 in", "N"):
        keyed(text)
    keyed("12 ft west")
    assert [shown(rows, row, one) for one in ("Name", "kV", "Height", "Passes")] == [
        "West feeder",
        "12.47",
        "35 ft 2 3/8 in",
        "12 ft west",
    ]
    assert rows.rowCount() == len(tables.bridge.job.nearby)


def test_what_a_cell_takes_is_said_below_the_table_before_anything_is_typed(
    tables: LineTables,
) -> None:
    rows = tab(tables, "Circuits")
    rows.setCurrentCell(0, column(rows, "kV"))
    assert tables.takes.text().startswith("kV: 12.47, or 24.9Y/14.4")
    assert tables.takes.isVisible()
    rows.setCurrentCell(0, column(rows, "Phases here"))
    assert tables.takes.text() == "Phases here: only shown here"
    spans = tab(tables, "Spans")
    assert tables.takes.text() == spans.takes
    spans.setCurrentCell(0, column(spans, "Over"))
    assert "driveway" in tables.takes.text()


def test_what_is_typed_with_more_rows_selected_goes_into_all_of_them_as_one_step(
    tables: LineTables, qtbot: QtBot
) -> None:
    qtbot.waitUntil(tables.isActiveWindow)
    rows = tab(tables, "Wire ends")
    at, before = column(rows, "Height there"), tables.bridge.job
    last = rows.rowCount() - 1
    for row, keys in (
        (0, Qt.KeyboardModifier.NoModifier),
        (last, Qt.KeyboardModifier.ShiftModifier),
    ):
        rows.scrollToItem(rows.item(row, at))
        spot = rows.visualItemRect(rows.item(row, at)).center()
        QTest.mouseClick(rows.viewport(), Qt.MouseButton.LeftButton, keys, spot)
    assert f"of the {last + 1} rows selected" in tables.takes.text()
    QTest.keyClick(rows, Qt.Key.Key_L)  # typing begins the entry
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    QTest.keyClicks(editor, "evel")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()  # Qt takes what was typed with the next event
    assert {shown(rows, row, "Height there") for row in range(last + 1)} == {"level"}
    assert f"in {last + 1} rows" in tables.message.text()
    tables.bridge.undo()
    assert tables.bridge.job == before
