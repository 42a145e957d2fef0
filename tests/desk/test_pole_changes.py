"""Changing the pole in its panel: what follows is seen before anything is accepted."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from framer.desk.entries.entry import Choice, LengthEntry
from framer.desk.panels.pole_cells import PoleCells
from framer.desk.window import Window
from framer.model.place import Standing
from tests.desk.driving import (
    bridge_of,
    click,
    drag,
    enter,
    place_of,
    press,
    release,
    spot_of,
    table_of,
    texts,
    typed,
)


def cells_of(window: Window, key: str = "pole-new") -> PoleCells:
    bridge_of(window).select(key)
    return table_of(window).thing.pole


def follows(window: Window) -> str:
    shown = table_of(window).thing.pole.follows
    return shown.text.toPlainText() if shown.isVisible() else ""


def message(window: Window) -> str:
    return table_of(window).thing.message.whole


def open_list(choice: Choice) -> None:
    choice.setFocus()
    choice.showPopup()


def point_at(choice: Choice, words: str) -> None:
    """Go to a line of the open list by the arrow keys, as a person does."""
    wanted = choice.findText(words)
    assert wanted >= 0
    view = choice.view()
    while (now := view.currentIndex().row()) != wanted:
        QTest.keyClick(view, Qt.Key.Key_Down if now < wanted else Qt.Key.Key_Up)


def standing(window: Window) -> Standing:
    where = place_of(window, "pole-new")
    assert isinstance(where, Standing)
    return where


def test_while_a_cut_is_typed_the_sheet_and_the_sentences_show_what_follows(corner: Window) -> None:
    """The corner's new pole stands 43 ft up; its line arm is 1 ft, its buck arm 5 ft below top."""
    cells = cells_of(corner)
    session = bridge_of(corner).session
    job = session.settled
    assert follows(corner) == ""
    typed(cells.cut, "4 ft 6 in")
    assert "Finished top 43 ft -> 38 ft 6 in above ground." in follows(corner)
    assert "Line arm 1 ft -> 3 ft 6 in above the top, Buck arm 5 ft -> 6 in" in follows(corner)
    assert "Of the findings 3 become short" in follows(corner)
    assert any("38 ft 6 in" in text for text, _ in texts(corner))
    assert "top 38 ft 6 in above ground" in table_of(corner).thing.source.whole
    assert session.settled is job  # nothing has been accepted
    assert session.undo_name == ""


def test_escape_leaves_the_pole_as_it_was(corner: Window) -> None:
    cells = cells_of(corner)
    job = bridge_of(corner).job
    typed(cells.cut, "4 ft 6 in")
    assert bridge_of(corner).job is not job
    QTest.keyClick(cells.cut, Qt.Key.Key_Escape)
    assert bridge_of(corner).job is job
    assert (cells.cut.text(), follows(corner), message(corner)) == ("0 in", "", "")
    assert bridge_of(corner).session.undo_name == ""


def test_enter_accepts_it_as_one_step(corner: Window) -> None:
    cells = cells_of(corner)
    job = bridge_of(corner).job
    enter(cells.cut, "4 ft 6 in")
    assert standing(corner).cut_in == 54.0
    assert follows(corner) == ""
    assert bridge_of(corner).session.undo_name == "cut New pole"
    bridge_of(corner).undo()
    assert bridge_of(corner).job is job
    assert cells.cut.text() == "0 in"


def test_what_is_typed_further_is_what_counts(corner: Window) -> None:
    cells = cells_of(corner)
    typed(cells.cut, "4")  # 4 in so far
    assert "43 ft -> 42 ft 8 in" in follows(corner)
    QTest.keyClicks(cells.cut, " ft")
    assert "43 ft -> 39 ft" in follows(corner)
    QTest.keyClicks(cells.cut, " 6 inc")  # no unit yet: nothing can be shown
    assert follows(corner) == ""
    assert bridge_of(corner).job is bridge_of(corner).session.settled
    QTest.keyClicks(cells.cut, "h")
    assert "43 ft -> 38 ft 6 in" in follows(corner)
    QTest.keyClick(cells.cut, Qt.Key.Key_Return)
    assert standing(corner).cut_in == 54.0


def test_an_ambiguous_length_shows_both_readings_and_what_follows_from_the_one(
    corner: Window,
) -> None:
    typed(cells_of(corner).cut, "4.6 ft")
    assert "read as 4 ft 7 3/16 in; if you mean 4 ft 6 in" in message(corner)
    assert "43 ft -> 38 ft 4 13/16 in" in follows(corner)


@pytest.mark.parametrize("text", ["60 ft", "-3 ft"])
def test_what_cannot_be_is_said_while_it_is_typed_and_shows_nothing(
    corner: Window, text: str
) -> None:
    cells = cells_of(corner)
    job = bridge_of(corner).job
    typed(cells.cut, text)
    assert follows(corner) == ""
    assert bridge_of(corner).job is job
    QTest.keyClick(cells.cut, Qt.Key.Key_Return)
    assert message(corner)
    assert bridge_of(corner).job is job
    assert cells.cut.text() == text


def test_the_buttons_accept_and_leave_without_taking_the_keys(corner: Window) -> None:
    cells = cells_of(corner)
    job = bridge_of(corner).job
    for text, button, cut_in in (
        ("2 ft", cells.follows.leave, 0.0),
        ("3 ft", cells.follows.accept, 36.0),
    ):
        typed(cells.cut, text)
        assert button.isVisible()
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        assert standing(corner).cut_in == cut_in
        assert follows(corner) == ""
        assert not button.isVisible()
    assert bridge_of(corner).session.undo_name == "cut New pole"
    bridge_of(corner).undo()
    assert bridge_of(corner).job is job


def test_pointing_at_a_length_in_the_list_shows_what_follows_and_escape_leaves_it(
    corner: Window,
) -> None:
    cells = cells_of(corner)
    job = bridge_of(corner).job
    open_list(cells.length)
    point_at(cells.length, "45 ft")
    assert "Finished top 43 ft -> 38 ft 6 in above ground." in follows(corner)
    assert "Setting depth 7 ft -> 6 ft 6 in" in follows(corner)
    assert bridge_of(corner).session.settled is job
    QTest.keyClick(cells.length.view(), Qt.Key.Key_Escape)
    assert not cells.length.view().isVisible()
    assert follows(corner) == ""
    assert bridge_of(corner).job is job
    assert cells.length.currentText() == "50 ft"


def test_choosing_in_the_list_is_one_step(corner: Window) -> None:
    cells = cells_of(corner)
    job = bridge_of(corner).job
    open_list(cells.length)
    point_at(cells.length, "45 ft")
    QTest.keyClick(cells.length.view(), Qt.Key.Key_Return)
    assert cells.length.currentText() == "45 ft"
    assert follows(corner) == ""
    assert bridge_of(corner).session.undo_name == "change length of New pole"
    bridge_of(corner).undo()
    assert bridge_of(corner).job is job


def test_another_class_says_which_bolts_change(corner: Window) -> None:
    cells = cells_of(corner)
    open_list(cells.pole_class)
    point_at(cells.pole_class, "H1")
    assert "Other bolts: Line arm 14 in -> 16 in" in follows(corner)
    QTest.keyClick(cells.pole_class.view(), Qt.Key.Key_Escape)
    assert follows(corner) == ""


@pytest.mark.parametrize(
    ("name", "text", "step", "said"),
    [
        ("setting depth", "8 ft", "change setting depth of New pole", "7 ft -> 8 ft, typed"),
        ("cut from the top", "1 ft", "cut New pole", "43 ft -> 42 ft above ground"),
        ("east", "2 ft", "move New pole", "from Old pole, centre to centre"),
        ("north", "-4 ft", "move New pole", "2 ft -> 4 ft from Old pole"),
        ("grade", "-9.6 in", "change grade at New pole", "9 5/8 in below the job's datum"),
        ("rake in 10 ft", "3 in", "rake New pole", "top stands 0 in -> 1 ft"),
        ("factory bores", "1 ft, 5 ft", "change factory bores of New pole", "become short"),
    ],
)
def test_every_number_of_the_pole_is_tried_first_and_taken_in_one_step(
    corner: Window, name: str, text: str, step: str, said: str
) -> None:
    entry = next(one for one in cells_of(corner).entries() if one.name == name)
    job = bridge_of(corner).job
    typed(entry, text)
    assert said in follows(corner)
    assert bridge_of(corner).session.settled is job
    QTest.keyClick(entry, Qt.Key.Key_Return)
    assert bridge_of(corner).session.undo_name == step
    assert follows(corner) == ""
    bridge_of(corner).undo()
    assert bridge_of(corner).job is job


def test_selecting_another_thing_by_the_mouse_takes_what_was_typed_and_is_one_step(
    corner: Window,
) -> None:
    cells = cells_of(corner)
    typed(cells.cut, "1 ft")
    at = spot_of(corner, "buck-arm")
    table_of(corner).board.view.setFocus(Qt.FocusReason.MouseFocusReason)
    press(corner, at)
    release(corner, at)
    assert bridge_of(corner).selected == "buck-arm"
    assert standing(corner).cut_in == 12.0
    assert bridge_of(corner).session.undo_name == "cut New pole"
    assert follows(corner) == ""


def test_what_was_only_tried_is_dropped_when_another_thing_is_selected(corner: Window) -> None:
    cells = cells_of(corner)
    job = bridge_of(corner).job
    typed(cells.cut, "1 ft")
    bridge_of(corner).select("buck-arm")
    assert bridge_of(corner).job is job
    assert follows(corner) == ""
    click(corner, "pole-new")
    assert cells.cut.text() == "0 in"


def test_undo_while_a_change_is_tried_leaves_no_sentences_behind(corner: Window) -> None:
    drag(corner, "line-arm", 0.0, -30.0)
    cells = cells_of(corner)
    typed(cells.cut, "1 ft")
    corner.run("undo")
    assert follows(corner) == ""
    assert bridge_of(corner).job is bridge_of(corner).session.settled


def test_what_follows_covers_no_entry_of_the_pole(corner: Window) -> None:
    for size in ((1280, 800), (1920, 1080)):
        corner.resize(*size)
        cells = cells_of(corner)
        typed(cells.cut, "4 ft 6 in")
        shown = cells.follows
        assert shown.isVisible()
        left = shown.mapTo(corner, QPoint(0, 0)).x()
        for control in (*cells.entries(), *cells.findChildren(Choice)):
            right = control.mapTo(corner, control.rect().topRight()).x()
            assert right <= left, control.name
        strip = table_of(corner).thing
        assert strip.rect().contains(shown.geometry())
        assert shown.head.width() >= shown.head.sizeHint().width()
        for button in (shown.accept, shown.leave):
            assert button.width() >= button.sizeHint().width()
        QTest.keyClick(cells.cut, Qt.Key.Key_Escape)


def test_the_pole_that_was_found_says_what_follows_too(corner: Window) -> None:
    """The survey's pole: its grade may be corrected, and the sheet as found follows."""
    cells = cells_of(corner, "pole-old")
    grade = next(one for one in cells.entries() if one.name == "grade")
    assert isinstance(grade, LengthEntry)
    typed(grade, "1 ft")
    assert "1 ft above the job's datum" in follows(corner)
    QTest.keyClick(grade, Qt.Key.Key_Escape)
    assert follows(corner) == ""
