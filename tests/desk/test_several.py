"""Several things in hand: selected, dragged, nudged, mirrored, copied and deleted together."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from framer.desk.window import Window
from framer.edits.things import delete
from framer.model.place import OnArm, Removed
from framer.model.stage import place_at
from tests.desk.driving import (
    LEFT,
    NO_KEYS,
    board_of,
    bridge_of,
    click,
    height_of,
    move,
    place_of,
    point_in,
    press,
    release,
    said,
    spot_of,
    table_of,
)

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def also(window: Window, key: str, held: Qt.KeyboardModifier = CTRL) -> None:
    """Click a thing with a key held."""
    at = spot_of(window, key)
    QTest.mouseClick(board_of(window).view.viewport(), LEFT, held, at)


def run(window: Window, name: str) -> None:
    """A command of the menu, which must be allowed."""
    action = window.commands.by_name[name]
    assert action.isEnabled(), action.toolTip()
    action.trigger()


def along(window: Window, key: str) -> float:
    where = place_of(window, key)
    assert isinstance(where, OnArm)
    return where.along_in


def frame(window: Window, a: QPoint, b: QPoint, held: Qt.KeyboardModifier = NO_KEYS) -> None:
    """Draw a frame from one point to another."""
    viewport = board_of(window).view.viewport()
    QTest.mousePress(viewport, LEFT, held, a)
    move(window, a + (b - a) / 2)
    move(window, b)
    assert table_of(window).hands.band.isVisible()
    QTest.mouseRelease(viewport, LEFT, held, b)


@pytest.mark.parametrize("held", [CTRL, SHIFT])
def test_a_click_with_a_key_takes_one_more_or_lays_it_down(
    corner: Window, held: Qt.KeyboardModifier
) -> None:
    click(corner, "line-arm")
    also(corner, "buck-arm", held)
    assert bridge_of(corner).selection == ("line-arm", "buck-arm")
    assert bridge_of(corner).selected == "buck-arm"
    assert said(corner) == "2 things are selected"
    also(corner, "line-arm", held)
    assert bridge_of(corner).selection == ("buck-arm",)


def test_a_plain_click_on_one_of_several_takes_only_that(corner: Window) -> None:
    click(corner, "line-arm")
    also(corner, "buck-arm")
    click(corner, "line-arm")
    assert bridge_of(corner).selection == ("line-arm",)


def test_a_frame_takes_what_is_wholly_in_it(corner: Window) -> None:
    scene = bridge_of(corner).session.scene("framed")
    up = scene.parts_of["line-arm"][0].up_in
    low = point_in(corner, "framed", -75.0, up - 10.0)
    high = point_in(corner, "framed", 75.0, up + 40.0)
    frame(corner, low, high)
    chosen = set(bridge_of(corner).selection)
    assert {"line-arm", "pin-a-new", "pin-b-new", "pin-c-new"} <= chosen
    assert not {"buck-arm", "pole-new", "spool-new"} & chosen
    assert not table_of(corner).hands.band.isVisible()
    empty = point_in(corner, "framed", 60.0, 250.0)
    frame(corner, empty, empty + QPoint(8, 8))
    assert bridge_of(corner).selection == ()
    assert said(corner) == "nothing is wholly in the frame"


def test_a_frame_with_a_key_held_adds(corner: Window) -> None:
    click(corner, "spool-new")
    scene = bridge_of(corner).session.scene("framed")
    up = scene.parts_of["line-arm"][0].up_in
    low = point_in(corner, "framed", -75.0, up - 10.0)
    high = point_in(corner, "framed", 75.0, up + 40.0)
    frame(corner, low, high, CTRL)
    assert bridge_of(corner).selection[0] == "spool-new"
    assert "line-arm" in bridge_of(corner).selection


def test_two_arms_are_dragged_together_in_one_step(corner: Window) -> None:
    before = bridge_of(corner).job
    heights = [height_of(corner, key) for key in ("line-arm", "buck-arm")]
    click(corner, "buck-arm")
    also(corner, "line-arm")
    start = spot_of(corner, "line-arm")
    press(corner, start)
    move(corner, start + QPoint(0, 30))
    release(corner, start + QPoint(0, 30))
    moved = [
        was - height_of(corner, key)
        for was, key in zip(heights, ("line-arm", "buck-arm"), strict=True)
    ]
    assert moved[0] == pytest.approx(moved[1])
    assert moved[0] > 20.0
    assert bridge_of(corner).selection == ("buck-arm", "line-arm")
    assert bridge_of(corner).session.undo_name == "move 2 things"
    bridge_of(corner).undo()
    assert bridge_of(corner).job is before


def test_pins_are_dragged_along_their_arm_together(corner: Window) -> None:
    click(corner, "pin-a-new")
    also(corner, "pin-b-new")
    start = spot_of(corner, "pin-b-new")
    scale = board_of(corner).px_per_in
    press(corner, start)
    move(corner, start + QPoint(round(5.0 * scale), 0))
    release(corner, start)
    assert along(corner, "pin-a-new") + 54.0 == along(corner, "pin-b-new") + 18.0 > 3.0


def test_arrow_keys_move_several_with_all_three_steps(corner: Window) -> None:
    view = board_of(corner).view
    click(corner, "line-arm")
    also(corner, "buck-arm")
    view.setFocus()
    before = height_of(corner, "buck-arm")
    QTest.keyClick(view, Qt.Key.Key_Down)
    assert before - height_of(corner, "buck-arm") == pytest.approx(1.0)
    QTest.keyClick(view, Qt.Key.Key_Down, CTRL)
    assert before - height_of(corner, "buck-arm") == pytest.approx(13.0)
    QTest.keyClick(view, Qt.Key.Key_Up, SHIFT)
    assert before - height_of(corner, "buck-arm") == pytest.approx(13.0 - 1 / 16)
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert said(corner) == "2 things move up and down"


def test_things_on_arms_and_on_the_pole_are_not_dragged_together(corner: Window) -> None:
    before = bridge_of(corner).job
    click(corner, "spool-new")
    also(corner, "pin-a-new")
    start = spot_of(corner, "pin-a-new")
    press(corner, start)
    move(corner, start + QPoint(20, 0))
    release(corner, start)
    assert bridge_of(corner).job is before
    assert "not dragged together" in said(corner)


def test_a_level_is_selected_by_one_command(corner: Window) -> None:
    click(corner, "pin-a-new")
    run(corner, "select_level")
    chosen = bridge_of(corner).selection
    assert set(chosen) >= {"line-arm", "line-brace", "pin-a-new", "pin-b-new", "pin-c-new"}
    assert chosen[-1] == "pin-a-new"
    before = height_of(corner, "pin-b-new")
    board_of(corner).view.setFocus()
    QTest.keyClick(board_of(corner).view, Qt.Key.Key_Down)
    assert before - height_of(corner, "pin-b-new") == pytest.approx(1.0)


def test_several_things_are_deleted_in_one_step(corner: Window) -> None:
    before = bridge_of(corner).job
    click(corner, "line-arm")
    also(corner, "spool-new")
    assert corner.commands.by_name["delete"].text() == "&Delete 2 things"
    run(corner, "delete")
    assert not {"line-arm", "spool-new", "pin-a-new"} & set(bridge_of(corner).job.item_by_id)
    assert "delete 2 things, and 4 things on them" in said(corner)
    assert bridge_of(corner).selection == ()
    bridge_of(corner).undo()
    assert bridge_of(corner).job is before


def test_an_arm_is_duplicated_with_its_pins_by_key_and_taken_in_hand(corner: Window) -> None:
    before = bridge_of(corner).job
    click(corner, "line-arm")
    board_of(corner).view.setFocus()
    QTest.keyClick(board_of(corner).view, Qt.Key.Key_D, CTRL)
    job, key = bridge_of(corner).job, bridge_of(corner).selected
    assert job.label(key) == "Line arm 2"
    pins = [
        item
        for item in job.items
        if isinstance(at := place_at(job, item, "framed"), OnArm) and at.host == key
    ]
    assert len(pins) == 3
    assert len(job.items) == len(before.items) + 5  # and its brace
    assert job.wires == before.wires
    bridge_of(corner).undo()
    assert bridge_of(corner).job is before


def test_mirroring_is_one_step_and_says_what_is_in_the_way(corner: Window) -> None:
    click(corner, "pin-b-new")
    board_of(corner).view.setFocus()
    QTest.keyClick(board_of(corner).view, Qt.Key.Key_M, CTRL)
    assert along(corner, "pin-b-new") == 18.0
    click(corner, "pin-a-new")
    run(corner, "mirror")
    assert "Pin C is there already" in said(corner)
    also(corner, "pin-c-new")
    run(corner, "mirror")
    assert (along(corner, "pin-a-new"), along(corner, "pin-c-new")) == (54.0, -54.0)
    assert bridge_of(corner).session.undo_name == "mirror 2 things"


def test_a_copy_is_text_and_is_pasted_into_a_new_job(corner: Window) -> None:
    click(corner, "line-arm")
    board_of(corner).view.setFocus()
    QTest.keyClick(board_of(corner).view, Qt.Key.Key_C, CTRL)
    assert '"format"' in QApplication.clipboard().text()
    assert "5 things copied" in said(corner)
    corner.filing.may_leave = lambda: True  # type: ignore[method-assign]
    run(corner, "new")
    assert not any(item.kind == "arm" for item in bridge_of(corner).job.items)
    board_of(corner).view.setFocus()
    QTest.keyClick(board_of(corner).view, Qt.Key.Key_V, CTRL)
    job = bridge_of(corner).job
    assert [item.name for item in job.items if item.kind == "arm"] == ["Line arm"]
    assert len(bridge_of(corner).selection) == 5
    assert bridge_of(corner).session.undo_name == "paste 5 things"


@pytest.mark.parametrize("text", ["", "hello", '{"format": 1}', '{"format": 1, "job": {}}'])
def test_what_is_no_copy_is_not_pasted_and_says_why(corner: Window, text: str) -> None:
    before = bridge_of(corner).job
    QApplication.clipboard().setText(text)
    run(corner, "paste")
    assert bridge_of(corner).job is before
    assert "the clipboard" in said(corner)


@pytest.mark.parametrize(
    ("keys", "command", "why"),
    [
        ((), "copy", "nothing is selected"),
        (("pole-new",), "duplicate", "New pole is a pole; copy what is on it"),
        (("north-a",), "copy", "wires and what was surveyed are not copied"),
        (("ridge-near",), "delete", "it is part of the survey"),
        (("line-arm", "ridge-near"), "delete", "Ridge 2, near wire is part of the survey"),
        (("pole-new",), "mirror", "New pole has no other side"),
        ((), "select_level", "nothing is selected"),
    ],
)
def test_what_cannot_be_done_says_why(
    corner: Window, keys: tuple[str, ...], command: str, why: str
) -> None:
    bridge_of(corner).select_all(keys)
    action = corner.commands.by_name[command]
    assert not action.isEnabled()
    assert action.toolTip() == why


def test_what_is_gone_is_in_hand_no_more(corner: Window) -> None:
    click(corner, "spool-new")
    also(corner, "line-arm")
    bridge_of(corner).do("delete", lambda job: delete(job, "line-arm"))
    assert bridge_of(corner).selection == ("spool-new",)


def test_the_fate_of_several_found_things_is_one_press_and_one_step(corner: Window) -> None:
    bridge = bridge_of(corner)
    before = bridge.job
    keys = ("pin-a-old", "pin-b-old", "spool-old")
    for number, key in enumerate(keys):
        at = spot_of(corner, key, framed=False)
        modifiers = CTRL if number else Qt.KeyboardModifier.NoModifier
        QTest.mouseClick(board_of(corner).view.viewport(), LEFT, modifiers, at)
    assert set(bridge.selection) == set(keys)
    button = table_of(corner).thing.fates.buttons["by others"]
    assert "all 3 selected" in button.toolTip()
    QTest.mouseClick(button, LEFT)
    for key in keys:
        assert bridge.job.item_by_id[key].places[-1] == Removed(when="after", by="others")
    assert said(corner) == "3 things: by others; undo takes it back"
    bridge.undo()
    assert bridge.job == before
