"""The steps beside the sheet: order, moves and workers by mouse and key, one undo step each."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from framer.desk.panels.steps_panel import NOT_BETWEEN, StepsPanel
from framer.desk.window import Window
from framer.edits.steps import pinned
from framer.model.stage import host_of, place_at
from framer.model.step import Step
from tests.desk.driving import LEFT, NO_KEYS, SAMPLES, bridge_of, enter, said, table_of

ALT, CTRL = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ControlModifier
Key = Qt.Key


@pytest.fixture
def transfer(window: Window, tmp_path: Path) -> Window:
    """The corner job with the steps of its transfer, its steps beside the sheet."""
    path = tmp_path / "transfer.framer"
    shutil.copy(SAMPLES / "corner-transfer" / "alder-lane-transfer.framer", path)
    window.filing.open_path(path)
    window.commands.by_name["steps"].trigger()
    return window


def panel(window: Window) -> StepsPanel:
    return table_of(window).steps


def steps(window: Window) -> tuple[Step, ...]:
    return bridge_of(window).job.steps


def titles(window: Window) -> list[str]:
    return [step.title for step in steps(window)]


def rows(window: Window) -> list[str]:
    listed = panel(window).list
    return [listed.item(row).text() for row in range(listed.count())]


def undo(window: Window) -> None:
    window.commands.by_name["undo"].trigger()


def test_every_step_is_listed_with_number_title_kind_and_who(transfer: Window) -> None:
    shown, listed = rows(transfer), steps(transfer)
    assert len(shown) == len(listed) > 13
    for number, (row, step) in enumerate(zip(shown, listed, strict=True), start=1):
        assert row.startswith(f"{number}. {step.title}\n")
        assert (step.kind if step.kind != "other" else "kind not said") in row
        assert ("by others" in row) == (step.by == "others")


def test_when_a_step_is_judged_its_worst_is_told_in_a_word_and_a_mark(transfer: Window) -> None:
    session = bridge_of(transfer).session
    assert "not judged yet" in rows(transfer)[-1]
    while session.judge_next():
        pass
    bridge_of(transfer).stages_judged.emit()
    for number, row in enumerate(rows(transfer), start=1):
        assert row.split("\n")[1].startswith(session.judged(number).verdict)
        assert not panel(transfer).list.item(number - 1).icon().isNull()


def test_a_step_is_moved_by_alt_and_the_arrows_and_back_by_one_undo(transfer: Window) -> None:
    before, listed = titles(transfer), panel(transfer).list
    panel(transfer).choose(4)
    QTest.keyClick(listed, Key.Key_Down, ALT)
    assert titles(transfer) == [*before[:3], before[4], before[3], *before[5:]]
    assert listed.currentRow() == 4
    assert bridge_of(transfer).stage == 5
    QTest.keyClick(listed, Key.Key_Up, ALT)
    assert titles(transfer) == before
    undo(transfer)
    undo(transfer)
    assert titles(transfer) == before
    assert not bridge_of(transfer).session.is_changed


def test_the_ends_of_the_list_hold(transfer: Window) -> None:
    before, listed = titles(transfer), panel(transfer).list
    panel(transfer).choose(1)
    QTest.keyClick(listed, Key.Key_Up, ALT)
    assert titles(transfer) == before
    assert not panel(transfer).up.isEnabled()
    assert panel(transfer).down.isEnabled()


@pytest.mark.parametrize(("row", "onto", "at"), [(1, 4, 4), (4, 1, 1)])
def test_a_step_is_dragged_to_another_place(transfer: Window, row: int, onto: int, at: int) -> None:
    before, listed = titles(transfer), panel(transfer).list
    listed.scrollToTop()
    start = listed.visualItemRect(listed.item(row)).center()
    box = listed.visualItemRect(listed.item(onto))
    end = QPoint(start.x(), box.bottom() - 2 if onto > row else box.top() + 2)
    QTest.mousePress(listed.viewport(), LEFT, NO_KEYS, start)
    for point in (start + QPoint(0, 14 if onto > row else -14), end):
        event = QMouseEvent(
            QMouseEvent.Type.MouseMove, QPointF(point),
            QPointF(listed.viewport().mapToGlobal(point)), Qt.MouseButton.NoButton, LEFT, NO_KEYS,
        )  # fmt: skip
        QApplication.sendEvent(listed.viewport(), event)
    QTest.mouseRelease(listed.viewport(), LEFT, NO_KEYS, end)
    rest = [title for title in before if title != before[row]]
    assert titles(transfer) == [*rest[:at], before[row], *rest[at:]]
    undo(transfer)
    assert titles(transfer) == before


def test_delete_in_the_list_takes_out_the_step_and_nothing_on_the_sheet(transfer: Window) -> None:
    bridge = bridge_of(transfer)
    before, things = titles(transfer), len(list(bridge.job.things()))
    bridge.select("line-arm")
    panel(transfer).choose(3)
    panel(transfer).list.setFocus()
    QTest.keyClick(panel(transfer).list, Key.Key_Delete)
    assert titles(transfer) == [*before[:2], *before[3:]]
    assert len(list(bridge.job.things())) == things
    undo(transfer)
    assert titles(transfer) == before


def test_a_step_put_in_comes_after_the_chosen_one_and_is_named(transfer: Window) -> None:
    before = titles(transfer)
    panel(transfer).choose(2)
    transfer.commands.by_name["put_in_step"].trigger()
    entry = panel(transfer).title
    QTest.keyClicks(entry, "Talk it over")
    QTest.keyClick(entry, Key.Key_Return)
    assert titles(transfer) == [*before[:2], "Talk it over", *before[2:]]
    undo(transfer)
    undo(transfer)
    assert titles(transfer) == before


def test_an_empty_title_is_refused_in_words(transfer: Window) -> None:
    panel(transfer).choose(2)
    before, entry = titles(transfer), panel(transfer).title
    entry.setFocus()
    entry.selectAll()
    QTest.keyClick(entry, Key.Key_Delete)
    QTest.keyClick(entry, Key.Key_Return)
    assert titles(transfer) == before
    assert entry.text() == before[1]
    assert "title" in said(transfer)


def test_kind_doer_and_leaving_are_chosen(transfer: Window) -> None:
    shown = panel(transfer)
    shown.choose(2)
    shown.kind.activated.emit(shown.kind.findText("bypass"))
    shown.by.activated.emit(shown.by.findText("others"))
    shown.leaves.click()
    step = steps(transfer)[1]
    assert (step.kind, step.by, step.crew_leaves) == ("bypass", "others", True)
    assert "bypass, by others; the crew leaves" in rows(transfer)[1]
    for _ in range(3):
        undo(transfer)
    assert not bridge_of(transfer).session.is_changed


def test_chosen_moves_are_split_off_and_taken_out(transfer: Window) -> None:
    shown = panel(transfer)
    shown.choose(1)
    moves = steps(transfer)[0].moves
    assert shown.moves.count() == len(moves) > 2
    shown.moves.item(0).setSelected(True)
    QTest.mouseClick(shown.split, LEFT)
    assert steps(transfer)[0].moves == moves[1:]
    assert steps(transfer)[1].moves == moves[:1]
    undo(transfer)
    assert steps(transfer)[0].moves == moves
    shown.moves.item(1).setSelected(True)
    shown.moves.setFocus()
    QTest.keyClick(shown.moves, Key.Key_Delete)
    assert steps(transfer)[0].moves == (moves[0], *moves[2:])


def test_what_has_a_further_place_is_added_and_goes_one_place_on(transfer: Window) -> None:
    shown = panel(transfer)
    bridge = bridge_of(transfer)
    last = len(steps(transfer))
    shown.choose(last)
    assert shown.add.count() == 0
    shown.choose(1)
    moved = steps(transfer)[0].moves[0]
    shown.moves.item(0).setSelected(True)
    QTest.mouseClick(shown.take_moves, LEFT)
    assert moved not in steps(transfer)[0].moves
    bridge.select(moved)
    QTest.mouseClick(shown.add_selected, LEFT)
    assert dict(steps(transfer)[0].goes)[moved] == 1


def choose_rest(window: Window, words: str) -> None:
    rest = panel(window).rest
    rest.setCurrentIndex(rest.findText(words))
    rest.activated.emit(rest.currentIndex())


def test_selected_wires_rest_on_a_lift_by_a_step_and_no_longer_when_that_is_taken_out(
    transfer: Window,
) -> None:
    shown, bridge = panel(transfer), bridge_of(transfer)
    up = next(n for n, step in enumerate(steps(transfer), 1) if "lift-a" in step.moves)
    neutral = ["north-n", "south-n"]
    shown.choose(up)
    assert not shown.rest.isEnabled()
    assert shown.rest.toolTip() == "select wires on the sheet first"
    bridge.select_all(neutral)
    before = bridge.job
    choose_rest(transfer, "Lift for A")
    assert set(neutral) <= set(steps(transfer)[up - 1].moves)
    held = bridge.session.scene(up)
    assert {host_of(place_at(bridge.job, bridge.job.wire_by_id[one], up)) for one in neutral} == {
        "lift-a"
    }
    assert all(held.parts_of[one] for one in neutral)
    choose_rest(transfer, NOT_BETWEEN)
    assert bridge.job == pinned(before)
    undo(transfer)
    undo(transfer)
    assert bridge.job == before


def test_a_worker_is_put_in_and_placed_by_entries(transfer: Window) -> None:
    shown = panel(transfer)
    empty = next(n for n, step in enumerate(steps(transfer), start=1) if not step.workers)
    shown.choose(empty)
    QTest.mouseClick(shown.workers.add, LEFT)
    row = shown.workers.rows[0]
    enter(row.feet, "29 ft 6 in")
    enter(row.reach, "30 in")
    row.side.activated.emit(row.side.findText("west"))
    row.method.activated.emit(row.method.findText("rubber gloves"))
    row.gloves.activated.emit(row.gloves.findText("class 3"))
    worker = steps(transfer)[empty - 1].workers[0]
    assert (worker.height_in, worker.envelope_in, worker.azimuth_deg) == (354.0, 30.0, 270.0)
    assert (worker.method, worker.gloves) == ("gloves", "3")
    undo(transfer)
    assert steps(transfer)[empty - 1].workers[0].gloves == ""
    QTest.mouseClick(row.take_out, LEFT)
    assert steps(transfer)[empty - 1].workers == ()
    assert shown.workers.rows == []


def test_a_wrong_length_of_a_worker_changes_nothing_and_is_told(transfer: Window) -> None:
    shown = panel(transfer)
    placed = next(n for n, step in enumerate(steps(transfer), start=1) if step.workers)
    shown.choose(placed)
    before = steps(transfer)
    enter(shown.workers.rows[0].feet, "high")
    assert steps(transfer) == before
    assert "Feet up" in said(transfer)


def test_a_starting_pattern_takes_the_place_of_the_steps_in_one_step(transfer: Window) -> None:
    before = titles(transfer)
    menu = panel(transfer).start_from.menu()
    names = [action.text() for action in menu.actions()]
    assert len(names) == 4
    menu.actions()[names.index("Rubber gloves")].trigger()
    assert titles(transfer) != before
    assert titles(transfer)[0].startswith("Cover what is within reach")
    undo(transfer)
    assert titles(transfer) == before


def test_a_job_without_steps_says_what_to_do(window: Window) -> None:
    window.commands.by_name["new"].trigger()
    window.commands.by_name["steps"].trigger()
    shown = panel(window)
    assert bridge_of(window).job.steps == ()
    assert not shown.chosen.isEnabled()
    assert shown.put_in.isEnabled()
    assert not table_of(window).board.stages.isVisible()
    assert "no steps" in window.commands.by_name["stage_after"].toolTip()


def test_after_a_starting_pattern_the_keys_go_through_its_steps(corner: Window) -> None:
    corner.commands.by_name["steps"].trigger()
    steps, bridge = panel(corner), bridge_of(corner)
    steps.start_from.setFocus()
    action = steps.start_from.menu().actions()[0]
    action.trigger()
    assert bridge.job.steps
    assert steps.list.hasFocus()
    # the step that is chosen is the one that is shown
    assert (steps.list.currentRow(), bridge.stage) == (0, 1)
    QTest.keyClick(steps.list, Qt.Key.Key_Down)
    assert (steps.list.currentRow(), bridge.stage) == (1, 2)
