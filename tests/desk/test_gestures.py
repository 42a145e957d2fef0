"""Dragging and nudging on the framed pole, by mouse and keys."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from framer.desk.board.gestures import AlongArm, gesture_for
from framer.desk.window import Window
from framer.edits.places import with_thing
from framer.model.place import OnArm
from framer.stock.catalogue import part
from framer.stock.part import ArmPart
from tests.desk.driving import (
    board_of,
    bridge_of,
    click,
    drag,
    drop_of,
    height_of,
    move,
    place_of,
    press,
    release,
    said,
    spot_of,
    table_of,
)

SHIFT = Qt.KeyboardModifier.ShiftModifier
CTRL = Qt.KeyboardModifier.ControlModifier
NEAR_PX_IN = 2.0
"""A pixel on screen is about an inch and a quarter; a drag lands this near to where it aims."""


def along(window: Window, key: str) -> float:
    where = place_of(window, key)
    assert isinstance(where, OnArm)
    return where.along_in


def test_dragging_an_arm_down_moves_it_and_what_sits_on_it(corner: Window) -> None:
    before, pin = height_of(corner, "line-arm"), height_of(corner, "pin-a-new")
    drag(corner, "line-arm", 0.0, -55.0)
    moved = before - height_of(corner, "line-arm")
    assert moved == pytest.approx(55.0, abs=NEAR_PX_IN)
    assert pin - height_of(corner, "pin-a-new") == pytest.approx(moved)


def test_a_length_typed_while_an_arm_is_dragged_sets_its_exact_drop(corner: Window) -> None:
    start = spot_of(corner, "line-arm")
    press(corner, start)
    move(corner, start + QPoint(0, 20))
    assert "type the exact distance from finished top" in board_of(corner).title_line.pointer.text()
    viewport = board_of(corner).view
    for wrong in ("38", "9"):
        QTest.keyClicks(viewport, wrong)
        QTest.keyClick(viewport, Qt.Key.Key_Backspace)
    QTest.keyClick(viewport, Qt.Key.Key_Backspace)
    QTest.keyClicks(viewport, "4' 7 1/2\"")
    assert said(corner) == "distance from finished top: 4' 7 1/2\""
    move(corner, start + QPoint(0, 35))  # a hand is not still while the other types
    QTest.keyClick(viewport, Qt.Key.Key_Return)
    assert drop_of(corner, "line-arm") == pytest.approx(55.5)
    move(corner, start + QPoint(0, 60))
    release(corner, start + QPoint(0, 60))
    assert drop_of(corner, "line-arm") == pytest.approx(55.5)
    bridge_of(corner).undo()
    assert drop_of(corner, "line-arm") != pytest.approx(55.5)


def test_a_length_typed_while_something_on_an_arm_is_dragged_is_from_the_bolt(
    corner: Window,
) -> None:
    start, was = spot_of(corner, "pin-a-new"), along(corner, "pin-a-new")
    press(corner, start)
    move(corner, start + QPoint(6, 0))
    QTest.keyClicks(board_of(corner).view, "99 ft\r")
    assert "beyond the end of the arm" in said(corner)
    QTest.keyClicks(board_of(corner).view, "3x\r")
    assert "is no length" in said(corner) or "is no unit" in said(corner)
    QTest.keyClicks(board_of(corner).view, "33 1/4\r")
    release(corner, start)
    assert abs(along(corner, "pin-a-new")) == pytest.approx(33.25)
    assert along(corner, "pin-a-new") * was > 0.0


def test_a_drag_lands_on_a_whole_inch_below_the_top_and_with_shift_on_a_sixteenth(
    corner: Window,
) -> None:
    drag(corner, "line-arm", 0.0, -37.3)
    assert drop_of(corner, "line-arm") % 1.0 == pytest.approx(0.0, abs=1e-6)
    drag(corner, "buck-arm", 0.0, -10.3, SHIFT)
    sixteenths = 16 * drop_of(corner, "buck-arm")
    assert sixteenths == pytest.approx(round(sixteenths), abs=1e-4)
    assert drop_of(corner, "buck-arm") % 1.0 != pytest.approx(0.0, abs=1e-6)


def test_counts_and_words_change_while_the_arm_is_dragged(corner: Window) -> None:
    short = table_of(corner).counts.numbers["short"]
    before = int(short.text())
    start = spot_of(corner, "line-arm")
    press(corner, start)
    move(corner, start + QPoint(0, 46))
    assert int(short.text()) < before
    told = said(corner)
    assert re.fullmatch(r"Line arm: .+ below top, .+ above ground; .+ below .+, .+ above .+", told)
    move(corner, start + QPoint(0, 60))
    assert said(corner) != told
    assert bridge_of(corner).session.undo_name == ""  # not a step yet
    release(corner, start + QPoint(0, 60))
    assert bridge_of(corner).session.undo_name == "move Line arm"


def test_a_whole_drag_is_one_step_and_undo_takes_it_back(corner: Window) -> None:
    job = bridge_of(corner).job
    drag(corner, "line-arm", 0.0, -40.0)
    assert corner.commands.by_name["undo"].text() == "&Undo move Line arm"
    moved = bridge_of(corner).job
    corner.commands.by_name["undo"].trigger()
    assert bridge_of(corner).job is job
    assert not corner.commands.by_name["undo"].isEnabled()
    corner.commands.by_name["redo"].trigger()
    assert bridge_of(corner).job is moved


def test_escape_drops_the_drag_and_nothing_is_a_step(corner: Window) -> None:
    job = bridge_of(corner).job
    start = spot_of(corner, "line-arm")
    press(corner, start)
    move(corner, start + QPoint(0, 40))
    assert bridge_of(corner).job is not job
    QTest.keyClick(board_of(corner).view, Qt.Key.Key_Escape)
    assert bridge_of(corner).job is job
    move(corner, start + QPoint(0, 80))
    release(corner, start + QPoint(0, 80))
    assert bridge_of(corner).job is job
    assert bridge_of(corner).session.undo_name == ""
    assert "stays where it was" in said(corner)


def test_a_click_selects_and_moves_nothing(corner: Window) -> None:
    job = bridge_of(corner).job
    click(corner, "buck-arm")
    assert bridge_of(corner).selected == "buck-arm"
    assert bridge_of(corner).job is job
    assert table_of(corner).thing.name.text() == "Buck arm"


def test_an_arm_stops_at_the_top_and_at_the_ground(corner: Window) -> None:
    drag(corner, "line-arm", 0.0, 200.0)
    assert drop_of(corner, "line-arm") == pytest.approx(0.0)
    drag(corner, "buck-arm", 0.0, -700.0)
    assert height_of(corner, "buck-arm") == pytest.approx(0.0, abs=1e-6)


def test_an_insulator_dragged_along_its_arm_snaps_to_the_pin_positions(corner: Window) -> None:
    pins = part("arm-10ft-4pin", ArmPart).pins_in
    bridge_of(corner).do("take C away", lambda job: job)
    assert along(corner, "pin-c-new") == 54.0
    aim = max(pin for pin in pins if 0 < pin < 54.0)
    drag(corner, "pin-c-new", aim + 1.0 - 54.0, 0.0)
    assert along(corner, "pin-c-new") == aim
    between = (aim + 54.0) / 2
    drag(corner, "pin-c-new", between - aim, 0.0)
    assert along(corner, "pin-c-new") == pytest.approx(between, abs=NEAR_PX_IN)
    assert along(corner, "pin-c-new") % 1.0 == 0.0


@pytest.mark.parametrize(("look_deg", "right_is"), [(0.0, 1.0), (180.0, -1.0), (45.0, 1.0)])
def test_compass_sides_stay_right_from_whichever_side_an_arm_is_seen(
    corner: Window, look_deg: float, right_is: float
) -> None:
    board_of(corner).look(look_deg)
    before = along(corner, "pin-c-new")
    seen = abs({0.0: 1.0, 180.0: -1.0, 45.0: 0.5**0.5}[look_deg])
    # the line arm faces north, so its positive end is east; looking south, east is at the left
    drag(corner, "pin-c-new", -right_is * 20.0 * seen, 0.0)
    assert along(corner, "pin-c-new") - before == pytest.approx(-20.0, abs=2 * NEAR_PX_IN)
    assert "east of the bolt of Line arm" in said(corner)


def test_an_insulator_does_not_leave_its_arm(corner: Window) -> None:
    drag(corner, "pin-c-new", 150.0, 0.0)
    assert along(corner, "pin-c-new") == 60.0  # half of a 10-ft arm


def test_what_rests_on_a_thing_drags_it(corner: Window) -> None:
    before = height_of(corner, "line-arm")
    drag(corner, "line-brace", 0.0, -30.0)
    assert height_of(corner, "line-arm") - before == pytest.approx(-30.0, abs=2 * NEAR_PX_IN)
    made = gesture_for(bridge_of(corner), "north-c", board_of(corner).sight)
    assert isinstance(made, AlongArm)
    assert made.key == "pin-c-new"


def test_what_cannot_be_dragged_says_why(corner: Window) -> None:
    job = bridge_of(corner).job
    drag(corner, "pole-new", 30.0, 0.0)
    assert "type where it stands" in said(corner)
    drag(corner, "ridge-near", 0.0, -30.0)
    assert "drag it in the plan" in said(corner)
    board_of(corner).look(90.0)
    drag(corner, "pin-a-new", 10.0, 0.0)
    assert "seen from its end" in said(corner)
    assert bridge_of(corner).job is job


def test_the_pole_as_found_is_not_dragged(corner: Window) -> None:
    job = bridge_of(corner).job
    start = spot_of(corner, "line-arm-old", framed=False)
    press(corner, start)
    move(corner, start + QPoint(0, 30))
    release(corner, start + QPoint(0, 30))
    assert bridge_of(corner).job is job
    assert bridge_of(corner).selected == "line-arm-old"
    assert "found" in said(corner)


def test_arrow_keys_nudge_by_an_inch_a_sixteenth_and_a_foot(corner: Window) -> None:
    click(corner, "line-arm")
    view, start = board_of(corner).view, height_of(corner, "line-arm")
    QTest.keyClick(view, Qt.Key.Key_Down)
    assert height_of(corner, "line-arm") == pytest.approx(start - 1.0)
    QTest.keyClick(view, Qt.Key.Key_Down, SHIFT)
    assert height_of(corner, "line-arm") == pytest.approx(start - 1.0 - 1 / 16)
    QTest.keyClick(view, Qt.Key.Key_Down, CTRL)
    assert height_of(corner, "line-arm") == pytest.approx(start - 13.0 - 1 / 16)
    QTest.keyClick(view, Qt.Key.Key_Up)
    assert height_of(corner, "line-arm") == pytest.approx(start - 12.0 - 1 / 16)
    assert bridge_of(corner).session.undo_name == "move Line arm"


def test_arrow_keys_move_an_insulator_to_the_right_in_the_view(corner: Window) -> None:
    click(corner, "pin-a-new")
    view = board_of(corner).view
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert along(corner, "pin-a-new") == -53.0
    board_of(corner).look(180.0)
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert along(corner, "pin-a-new") == -54.0
    QTest.keyClick(view, Qt.Key.Key_Up)
    assert "moves left and right along its arm" in said(corner)


def test_keys_without_a_selection_say_what_to_do(corner: Window) -> None:
    QTest.keyClick(board_of(corner).view, Qt.Key.Key_Down)
    assert "nothing is selected" in said(corner)


def test_page_keys_go_from_thing_to_thing_down_the_pole(corner: Window) -> None:
    view = board_of(corner).view
    heights = []
    for _ in range(6):
        QTest.keyClick(view, Qt.Key.Key_PageDown)
        key = bridge_of(corner).selected
        assert key
        heights.append(max(one.up_in for one in
                           bridge_of(corner).session.scene("framed").parts_of[key]))  # fmt: skip
    assert heights == sorted(heights, reverse=True)
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert bridge_of(corner).selected == ""


def test_page_keys_reach_what_was_found_and_what_is_drawn_nowhere(corner: Window) -> None:
    bridge, view = bridge_of(corner), board_of(corner).view
    arm = bridge.job.item_by_id["buck-arm"]
    bridge.do("forget its part", lambda job: with_thing(job, replace(arm, part=None)))
    assert "buck-arm" not in bridge.session.scene("framed").parts_of
    reached: list[str] = []
    view.setFocus()
    while len(reached) <= len(list(bridge.job.placed())) and bridge.selected not in reached[:-1]:
        QTest.keyClick(view, Qt.Key.Key_PageDown)
        reached.append(bridge.selected)
    # round once: everything that is somewhere, and the first again
    assert reached[-1] == reached[0]
    assert set(reached) == {thing.id for thing in bridge.job.placed()}
    framed = [key for key in reached if key in bridge.session.scene("framed").parts_of]
    assert reached.index("pole-old") > reached.index(framed[-2])
    QTest.keyClick(view, Qt.Key.Key_PageUp)
    assert bridge.selected == reached[-2]
