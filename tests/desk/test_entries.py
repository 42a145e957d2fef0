"""The entries of the selected thing: what is typed, what is answered, what changes."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from framer.desk.entries.entry import Choice
from framer.desk.entries.text_entry import TextEntry
from framer.desk.panels.pole_cells import PoleCells
from framer.desk.panels.thing_panel import ThingPanel
from framer.desk.window import Window
from framer.model.place import OnArm, OnItem, OnPole, Standing
from tests.desk.driving import (
    SAMPLES,
    board_of,
    bridge_of,
    click,
    drop_of,
    enter,
    height_of,
    place_of,
    said,
    table_of,
    texts,
    typed,
    wheel,
)


def panel_of(window: Window, key: str) -> ThingPanel:
    """The strip below the sheet with a thing in it."""
    bridge_of(window).select(key)
    return table_of(window).thing


def message(window: Window) -> str:
    return table_of(window).thing.message.whole


def pole_cells(window: Window) -> PoleCells:
    return panel_of(window, "pole-new").pole


def choose(choice: Choice, words: str) -> None:
    """Choose by the keyboard, as a person does: open, go to the line, Enter."""
    row = choice.findText(words)
    assert row >= 0, f"{words} is not offered"
    choice.setFocus()
    choice.showPopup()
    view = choice.view()
    view.setCurrentIndex(choice.model().index(row, 0))
    QTest.keyClick(view, Qt.Key.Key_Return)


@pytest.mark.parametrize("text", ["3 ft 11 in", "3'-11\"", "47 in", "1.1938 m"])
def test_a_length_is_understood_in_each_of_its_spellings(corner: Window, text: str) -> None:
    """47 in is 1.1938 m: the inch is 25.4 mm (international agreement of 1959)."""
    entry = panel_of(corner, "line-arm").on_pole.from_top
    enter(entry, text)
    assert drop_of(corner, "line-arm") == pytest.approx(47.0)
    assert entry.text() == "3 ft 11 in"
    assert message(corner) == ""
    assert bridge_of(corner).session.undo_name == "move Line arm"


def test_metres_with_two_places_are_taken_as_written(corner: Window) -> None:
    enter(panel_of(corner, "line-arm").on_pole.from_top, "1.19 m")
    assert drop_of(corner, "line-arm") == pytest.approx(1190 / 25.4)


def test_what_is_typed_is_echoed_before_enter(corner: Window) -> None:
    job = bridge_of(corner).job
    typed(panel_of(corner, "line-arm").on_pole.from_top, "47")
    assert message(corner) == "from finished top = 3 ft 11 in"
    assert bridge_of(corner).job is job


def test_an_ambiguous_text_echoes_both_readings_below_the_field(corner: Window) -> None:
    entry = panel_of(corner, "line-arm").on_pole.above_ground
    typed(entry, "28.11 ft")
    line = table_of(corner).thing.message
    assert "28 ft 1 5/16 in" in message(corner)
    assert "28 ft 11 in" in message(corner)
    assert line.isVisible()
    assert (
        line.mapToGlobal(line.rect().topLeft()).y()
        > entry.mapToGlobal(entry.rect().bottomLeft()).y()
    )
    QTest.keyClick(entry, Qt.Key.Key_Return)
    assert height_of(corner, "line-arm") == pytest.approx(28.11 * 12)
    assert "28 ft 11 in" in message(corner)  # still there to be read after it was taken


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("three feet", "is no length"),
        ("3 furlongs", "'furlongs' in '3 furlongs' is no unit of length"),
        ("3 m 4 in", "mixes units"),
        ("", "is no length"),
        ("-2 in", "below zero"),
        ("60 ft", "above the top of New pole"),
        ("2000 ft", "longer than anything here"),
    ],
)
def test_a_wrong_text_says_what_is_wrong_and_changes_nothing(
    corner: Window, text: str, why: str
) -> None:
    job = bridge_of(corner).job
    entry = panel_of(corner, "line-arm").on_pole.above_ground
    enter(entry, text)
    assert why in message(corner)
    assert "42 ft is kept" in message(corner)
    assert bridge_of(corner).job is job
    assert entry.text() == text  # to be mended
    QTest.keyClick(entry, Qt.Key.Key_Escape)
    assert entry.text() == "42 ft"
    assert message(corner) == ""


def test_a_wrong_text_does_not_stay_when_the_entry_is_left(corner: Window) -> None:
    entry = panel_of(corner, "line-arm").on_pole.above_ground
    typed(entry, "nonsense")
    board_of(corner).view.setFocus()
    assert entry.text() == "42 ft"
    assert "is no length" in message(corner)


def test_leaving_an_entry_takes_what_was_typed(corner: Window) -> None:
    typed(panel_of(corner, "line-arm").on_pole.above_ground, "41 ft")
    board_of(corner).view.setFocus()
    assert height_of(corner, "line-arm") == pytest.approx(492.0)


def test_each_reference_moves_the_arm_and_all_three_follow(corner: Window) -> None:
    """The new pole is 50 ft long and 7 ft deep (10 % of the length and 2 ft): 43 ft stand out."""
    cells = panel_of(corner, "line-arm").on_pole
    for entry, text, shown in (
        (cells.from_top, "5 ft 7 in", ("5 ft 7 in", "37 ft 5 in", "44 ft 5 in")),
        (cells.above_ground, "40 ft", ("3 ft", "40 ft", "47 ft")),
        (cells.from_butt, "46 ft 6 in", ("3 ft 6 in", "39 ft 6 in", "46 ft 6 in")),
    ):
        enter(entry, text)
        assert (cells.from_top.text(), cells.above_ground.text(), cells.from_butt.text()) == shown


def test_a_new_reference_keeps_the_spot_until_the_pole_is_cut(corner: Window) -> None:
    cells = panel_of(corner, "line-arm").on_pole
    choose(cells.hold, "finished top")
    where = place_of(corner, "line-arm")
    assert isinstance(where, OnPole)
    assert (where.hold, where.at_in) == ("drop", 12.0)
    assert bridge_of(corner).session.undo_name == "hold Line arm by the finished top"
    enter(pole_cells(corner).cut, "2 ft")
    assert drop_of(corner, "line-arm") == pytest.approx(12.0)
    assert drop_of(corner, "buck-arm") == pytest.approx(36.0)  # held by the ground: 60 less 24


def test_cutting_the_pole_changes_every_drop_that_is_shown(corner: Window) -> None:
    before = {key: drop_of(corner, key) for key in ("line-arm", "buck-arm", "comm-clamp-new")
              if key in bridge_of(corner).job.item_by_id}  # fmt: skip
    assert len(before) >= 2
    enter(pole_cells(corner).cut, "1 ft")
    for key, drop in before.items():
        assert drop_of(corner, key) == pytest.approx(drop - 12.0)
    shown = [text for text, _ in texts(corner)]
    for words in ("0 in below top", "42 ft up", "4 ft below top", "38 ft up"):
        assert any(words in text for text in shown), words
    assert bridge_of(corner).session.undo_name == "cut New pole"


def test_an_arm_above_the_cut_is_a_finding_and_not_an_accident(corner: Window) -> None:
    enter(pole_cells(corner).cut, "4 ft 6 in")
    assert drop_of(corner, "line-arm") == pytest.approx(-42.0)
    rows = table_of(corner).findings.model.rows
    shorts = [row.finding for row in rows if row.finding.verdict == "short"]
    assert any(one.a is not None and one.a.owner == "line-arm" for one in shorts)


def test_an_empty_depth_goes_by_the_rule_that_is_named(corner: Window) -> None:
    cells = pole_cells(corner)
    panel = table_of(corner).thing
    assert cells.set_deep.text() == ""
    assert cells.set_deep.placeholderText() == "7 ft"
    assert "7 ft deep: 10 % + 2 ft" in panel.source.whole
    enter(cells.set_deep, "8 ft")
    where = place_of(corner, "pole-new")
    assert isinstance(where, Standing)
    assert where.depth_in == 96.0
    assert "8 ft deep: typed" in panel.source.whole
    assert "top 42 ft above ground" in panel.source.whole
    enter(cells.set_deep, "")
    where = place_of(corner, "pole-new")
    assert isinstance(where, Standing)
    assert where.depth_in is None


def test_what_timber_the_pole_is_is_chosen_and_its_girth_says_where_it_is_from(
    corner: Window,
) -> None:
    cells = pole_cells(corner)
    choose(cells.length, "55 ft")
    choose(cells.pole_class, "1")
    pole = bridge_of(corner).job.item_by_id["pole-new"].pole
    assert pole is not None
    assert (pole.length_in, pole.pole_class) == (660.0, "1")
    panel = table_of(corner).thing
    assert "55 ft, class 1" in panel.what.whole
    assert "girth: least girths of the class" in panel.source.whole
    choose(cells.species, "not known")
    assert "girth: no girth known" in panel.source.whole


def test_where_and_how_the_pole_stands_is_typed(corner: Window) -> None:
    cells = pole_cells(corner)
    for entry, text in (
        (cells.east, "1 ft"),
        (cells.north, "-3 ft"),
        (cells.grade, "-6 in"),
        (cells.rake, "3 in"),
    ):
        enter(entry, text)
    choose(cells.toward, "south-west")
    where = place_of(corner, "pole-new")
    assert isinstance(where, Standing)
    assert (where.east_in, where.north_in, where.grade_in) == (12.0, -36.0, -6.0)
    assert (where.rake_in_per_10ft, where.rake_azimuth_deg) == (3.0, 225.0)
    enter(cells.rake, "9 ft")
    assert "does not lean" in message(corner)


def test_a_pole_cannot_vanish_into_the_ground(corner: Window) -> None:
    job = bridge_of(corner).job
    enter(pole_cells(corner).cut, "49 ft")
    assert "above ground" in message(corner)
    assert bridge_of(corner).job is job


def test_an_arm_turned_to_the_opposite_face_keeps_east_east(corner: Window) -> None:
    choose(panel_of(corner, "line-arm").on_pole.side, "south")
    where, pin = place_of(corner, "line-arm"), place_of(corner, "pin-c-new")
    assert isinstance(where, OnPole)
    assert isinstance(pin, OnArm)
    assert where.azimuth_deg == 180.0
    assert pin.along_in == -54.0  # the positive end is now west; C was 54 in to the east
    cells = panel_of(corner, "pin-c-new").on_arm
    assert (cells.along.text(), cells.side.currentText()) == ("4 ft 6 in", "east")


def test_the_distance_along_an_arm_is_typed_with_its_compass_side(corner: Window) -> None:
    cells = panel_of(corner, "pin-a-new").on_arm
    assert (cells.along.text(), cells.side.currentText()) == ("4 ft 6 in", "west")
    assert cells.host.text() == "Line arm"
    enter(cells.along, "4 ft")
    where = place_of(corner, "pin-a-new")
    assert isinstance(where, OnArm)
    assert where.along_in == -48.0
    choose(cells.side, "east")
    where = place_of(corner, "pin-a-new")
    assert isinstance(where, OnArm)
    assert where.along_in == 48.0
    enter(cells.along, "5 ft 2 in")
    assert "2 in beyond the end of Line arm" in message(corner)


def test_a_wire_is_put_on_another_support(corner: Window) -> None:
    wire = next(
        wire
        for wire in bridge_of(corner).job.wires
        if wire.phase == "A" and isinstance(wire.places[-1], OnItem)
        if wire.places[-1].host == "pin-a-new"
    )
    cells = panel_of(corner, wire.id).on_item
    assert cells.support.currentText() == "Pin A"
    assert "above ground" in cells.note.text()
    choose(cells.support, "Pin B")
    where = place_of(corner, wire.id)
    assert isinstance(where, OnItem)
    assert where.host == "pin-b-new"
    offered = [cells.support.itemText(row) for row in range(cells.support.count())]
    assert "Old pin A" not in offered  # it is taken away


def test_a_height_that_was_read_is_shown_and_locked_with_the_reason(corner: Window) -> None:
    job = bridge_of(corner).job
    panel = panel_of(corner, "line-arm-old")
    cells = panel.on_pole
    assert panel.pages.currentWidget() is cells
    for entry in (cells.from_top, cells.above_ground, cells.from_butt):
        assert entry.isReadOnly()
        assert "readings are changed in the job's readings" in entry.toolTip()
        assert entry.text()
    assert cells.above_ground.text() == "37 ft 6 in"
    typed(cells.above_ground, "30 ft")
    assert cells.above_ground.text() == "37 ft 6 in"
    assert "readings are changed" in message(corner)
    assert not cells.hold.isEnabled()
    assert cells.hold.toolTip()
    assert "measured on" in panel.source.whole
    assert bridge_of(corner).job is job


def test_the_panel_says_what_a_thing_is_and_how_its_values_are_known(corner: Window) -> None:
    panel = panel_of(corner, "line-arm")
    assert panel.name.text() == "Line arm"
    assert panel.what.whole == "Wood arm 10 ft, 4 pins; new here"
    assert "house number - check that it is yours" in panel.source.whole
    assert "from memory - check in your copy" in panel.source.whole
    panel = panel_of(corner, "pole-old")
    assert "found here, shown as found" in panel.what.whole
    assert panel.fates.buttons["remove"].isChecked()
    panel = panel_of(corner, "ridge-near")
    assert "another line" in panel.what.whole
    assert "42 ft up" in panel.source.whole
    panel = panel_of(corner, "")
    assert "Nothing is selected" in panel.nothing.text()


def test_the_fate_of_a_found_thing_is_chosen_by_buttons(window: Window) -> None:
    window.filing.open_path(SAMPLES / "tangent")
    job = bridge_of(window).job
    lamp = next(item for item in job.items if item.kind == "lamp")
    panel = panel_of(window, lamp.id)
    assert panel.fates.isVisible()
    assert panel.fates.buttons["undecided"].isChecked()

    def last_place() -> str:
        known = bridge_of(window).job.item_by_id[lamp.id].places[-1]
        return f"{type(known).__name__} by {known.by}"

    for name, last in (
        ("remove", "Removed by crew"),
        ("by others", "Removed by others"),
        ("stays", "Same by crew"),
        ("transfer", "OnPole by crew"),
        ("undecided", "Undecided by crew"),
    ):
        QTest.mouseClick(panel.fates.buttons[name], Qt.MouseButton.LeftButton)
        assert last_place() == last
        checked = [name for name, button in panel.fates.buttons.items() if button.isChecked()]
        assert checked == [name]
    window.commands.by_name["undo"].trigger()
    assert last_place() == "OnPole by crew"
    # at the height it was found at: 21 ft (the survey of the sample)
    assert panel.on_pole.above_ground.text() == "21 ft"


def test_new_things_have_no_fate_to_choose_and_a_pole_is_not_transferred(corner: Window) -> None:
    assert not panel_of(corner, "line-arm").fates.isVisible()
    button = panel_of(corner, "pole-old").fates.buttons["transfer"]
    assert not button.isEnabled()
    assert "not transferred" in button.toolTip()


def test_undo_in_an_entry_takes_back_the_step_when_nothing_is_being_typed(corner: Window) -> None:
    job = bridge_of(corner).job
    entry = panel_of(corner, "line-arm").on_pole.above_ground
    enter(entry, "40 ft")
    QTest.keyClick(entry, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert bridge_of(corner).job is job
    assert entry.text() == "42 ft"


def test_what_is_typed_for_one_thing_never_goes_to_another(corner: Window) -> None:
    entry = panel_of(corner, "line-arm").on_pole.above_ground
    buck = height_of(corner, "buck-arm")
    typed(entry, "40 ft")
    click(corner, "buck-arm")
    assert height_of(corner, "buck-arm") == buck
    assert height_of(corner, "line-arm") == pytest.approx(480.0)
    assert entry.text() == "38 ft"


def test_the_wheel_over_a_choice_turns_nothing_unless_it_has_the_focus(corner: Window) -> None:
    job = bridge_of(corner).job
    choice = panel_of(corner, "line-arm").on_pole.side
    board_of(corner).view.setFocus()
    wheel(choice, -1)
    assert bridge_of(corner).job is job
    choice.setFocus()
    wheel(choice, -1)
    where = place_of(corner, "line-arm")
    assert isinstance(where, OnPole)
    assert where.azimuth_deg == 45.0


def test_said_in_the_status_bar_after_a_choice(corner: Window) -> None:
    choose(panel_of(corner, "line-arm").on_pole.side, "east")
    assert said(corner) == "Line arm faces east"


def bored_of(window: Window) -> tuple[float, ...]:
    pole = bridge_of(window).session.settled.item_by_id["pole-new"].pole
    assert pole is not None
    return pole.bored_in


@pytest.mark.parametrize(
    ("text", "bored_in"),
    [
        ("12 in, 5 ft", (12.0, 60.0)),
        ("5'; 1'", (12.0, 60.0)),
        ("7 ft 6 in,, 18, 18", (18.0, 90.0)),
        ("0.3048 m", (12.0,)),
        ("", ()),
    ],
)
def test_factory_bores_are_typed_as_lengths_with_commas_between(
    corner: Window, text: str, bored_in: tuple[float, ...]
) -> None:
    entry = pole_cells(corner).bored
    enter(entry, "2 ft")
    assert bored_of(corner) == (24.0,)
    enter(entry, text)
    assert bored_of(corner) == pytest.approx(bored_in)
    assert bridge_of(corner).session.undo_name == "change factory bores of New pole"


def test_factory_bores_the_cut_takes_are_told_in_the_list_of_findings(corner: Window) -> None:
    enter(pole_cells(corner).bored, "1 ft, 5 ft")
    enter(pole_cells(corner).cut, "4 ft 6 in")
    found = bridge_of(corner).session.findings("framed")
    short = [one.gap for one in found if one.rule.id == "house.factory-bore-top"]
    assert short == pytest.approx([-42.0, 6.0])


@pytest.mark.parametrize("text", ["1 ft, much", "1 ft, -3 in", "2000 ft"])
def test_bores_that_make_no_sense_change_nothing(corner: Window, text: str) -> None:
    entry = pole_cells(corner).bored
    enter(entry, "2 ft")
    enter(entry, text)
    assert bored_of(corner) == (24.0,)
    assert "factory bores: " in message(corner)


LONG = "Transfer the north line conductors one at a time to the new line arm and tie in"


def cut_with_dots(control: QWidget, set_text: Callable[[str], None]) -> bool:
    """Whether a long text is painted as a part of it with dots after would be."""
    control.setFixedWidth(150)
    control.show()
    set_text(LONG)
    seen = control.grab().toImage()
    for many in range(len(LONG)):
        set_text(f"{LONG[:many].rstrip()}\u2026")
        if control.grab().toImage() == seen:
            return 5 < many < len(LONG) - 5
    return False


def test_a_long_text_ends_in_dots_until_it_is_typed_over(qtbot: QtBot) -> None:
    entry = TextEntry("Title", lambda _: "")
    qtbot.addWidget(entry)
    assert cut_with_dots(entry, entry.setText)
    assert not cut_with_dots(*plain_line(qtbot))


def plain_line(qtbot: QtBot) -> tuple[QLineEdit, Callable[[str], None]]:
    line = QLineEdit()
    qtbot.addWidget(line)
    return line, line.setText


def test_a_long_choice_ends_in_dots(qtbot: QtBot) -> None:
    choice = Choice("add a thing", lambda _: None)
    qtbot.addWidget(choice)
    assert cut_with_dots(choice, lambda text: choice.show_options([(text, 1)], 1))
    choice.setPlaceholderText("")
    choice.show_options([("a", 1)], 2)
    nothing = choice.grab().toImage()
    choice.setPlaceholderText("add a thing ...")
    assert choice.grab().toImage() != nothing
