"""The slider below the sheet plays the stages; what is found, drawn and edited follows it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from framer.desk.board.painting import OWNER, STYLE
from framer.desk.board.stage_slider import StageSlider
from framer.desk.board.two_poles import PaneKind
from framer.desk.window import Window
from framer.geometry.placing import place
from framer.model.place import Lifted, OnItem
from framer.model.stage import Stage, place_at, stage_name
from framer.transfer.near import worker_name
from tests.desk.driving import SAMPLES, board_of, bridge_of, click, drag, said, table_of, texts

Key = Qt.Key


@pytest.fixture
def transfer(window: Window, tmp_path: Path) -> Window:
    """The corner job with the steps of its transfer."""
    path = tmp_path / "transfer.framer"
    shutil.copy(SAMPLES / "corner-transfer" / "alder-lane-transfer.framer", path)
    window.filing.open_path(path)
    return window


def slider(window: Window) -> StageSlider:
    return board_of(window).stages


def set_pole(window: Window) -> int:
    """The number of the step that sets the new pole."""
    job = bridge_of(window).job
    return next(n for n, step in enumerate(job.steps, start=1) if step.kind == "set pole")


def test_there_is_a_notch_for_every_stage(transfer: Window) -> None:
    shown = slider(transfer)
    assert shown.isVisible()
    assert shown.slider.maximum() == len(bridge_of(transfer).job.steps) + 1
    assert shown.slider.value() == shown.slider.maximum()
    assert shown.name.text() == "as framed"


def test_arrow_keys_go_from_stage_to_stage_and_the_sheet_follows(transfer: Window) -> None:
    bridge, shown = bridge_of(transfer), slider(transfer)
    number = set_pole(transfer)
    shown.slider.setValue(number - 1)
    new = next(one.id for one in bridge.job.items if one.kind == "pole" and one.replaces)
    assert new not in {item.data(0) for item in board_of(transfer).framed.items}
    QTest.keyClick(shown.slider, Key.Key_Right)
    assert bridge.stage == number
    assert new in {item.data(0) for item in board_of(transfer).framed.items}
    heading = board_of(transfer).headings["framed"].text()
    assert heading == f"AFTER STEP {number}, looking north"
    assert shown.name.text() == stage_name(bridge.job, number)


@pytest.mark.parametrize("size", [(1000, 700), (1280, 800), (1920, 1080)])
def test_every_step_is_named_whole_beside_the_slider_and_by_number_over_each_view(
    transfer: Window, size: tuple[int, int]
) -> None:
    transfer.resize(*size)
    QApplication.processEvents()
    bridge, shown, board = bridge_of(transfer), slider(transfer), board_of(transfer)
    heights = set()
    shown.slider.setValue(0)
    for stage in bridge.session.stages[1:-1]:
        QTest.keyClick(shown.slider, Key.Key_Right)
        assert bridge.stage == stage
        name = shown.name
        assert name.text() == stage_name(bridge.job, stage)
        wrap = Qt.TextFlag.TextWordWrap
        needed = name.fontMetrics().boundingRect(name.rect(), wrap, name.text())
        assert name.rect().contains(needed), name.text()
        for kind in ("framed", "second"):
            assert f"STEP {stage}, " in board.headings[kind].text()
        heights.add(board.view.height())
    assert len(heights) == 1


def test_a_name_with_no_room_in_two_rows_is_cut_and_whole_as_tool_tip(transfer: Window) -> None:
    name = slider(transfer).name
    words = "after step 7: " + "a step with a long name, " * 20
    name.show_name(words)
    assert name.text().endswith("\u2026")
    assert words.startswith(name.text()[:-1])
    assert len(name.text()) > 40
    assert name.toolTip() == words


def test_each_stage_draws_what_is_there(transfer: Window) -> None:
    bridge, shown = bridge_of(transfer), slider(transfer)
    for at, stage in enumerate(bridge.session.stages):
        shown.slider.setValue(at)
        there = {part.owner for part in place(bridge.job, stage).bodies}
        there |= {  # what holds a wire up is no part of the scene, and drawn all the same
            item.id
            for item in bridge.job.items
            if isinstance(place_at(bridge.job, item, stage), Lifted)
        }
        drawn = {str(item.data(0)) for item in board_of(transfer).framed.items if item.data(0)}
        known = set(bridge.job.thing_by_id)
        cover = {  # neither is a sleeve over a wire, whose hoses are drawn as one
            item.id
            for item in bridge.job.items
            if item.kind == "cover" and isinstance(place_at(bridge.job, item, stage), OnItem)
        }
        assert drawn & known <= there | cover
        assert {one for one in there if one in known} - drawn == set()


def test_the_findings_are_those_of_the_stage_with_its_step(transfer: Window) -> None:
    bridge, number = bridge_of(transfer), set_pole(transfer)
    slider(transfer).slider.setValue(number)
    panel = table_of(transfer).findings
    judged = bridge.session.judged(number)
    keys = {row.finding.key for row in panel.model.rows}
    assert keys == {one.key for one in (*judged.findings, *judged.of_step)}
    assert panel.filter.stages.currentText() == stage_name(bridge.job, number)
    counts = bridge.session.findings(number).counts
    assert table_of(transfer).counts.numbers["tight"].text() == f"{counts['tight']}"


def test_what_was_as_short_when_found_says_so(transfer: Window) -> None:
    bridge = bridge_of(transfer)
    slider(transfer).slider.setValue(1)
    known = {one.key for one in bridge.session.judged(1).as_found}
    assert known
    model = table_of(transfer).findings.model
    told = {
        row.finding.key
        for at, row in enumerate(model.rows)
        if model.text(at).startswith("As found, no worse: ")
    }
    assert told == known
    assert f"{len(known)} short as found" in table_of(transfer).counts.waived.text()


def test_choosing_a_stage_in_the_filter_of_the_findings_lists_that_one(transfer: Window) -> None:
    choice = table_of(transfer).findings.filter.stages
    choice.activated.emit(3)
    panel, session = table_of(transfer).findings, bridge_of(transfer).session
    assert panel.stage == 3
    assert len(panel.model.rows) == len(session.findings(3))


def test_a_thing_of_a_stage_in_between_is_not_dragged_and_says_why(transfer: Window) -> None:
    bridge = bridge_of(transfer)
    number = len(bridge.job.steps) - 3
    slider(transfer).slider.setValue(number)
    before = bridge.job
    drag(transfer, "line-arm", 0.0, -24.0)
    assert bridge.job is before
    assert bridge.stage == number
    assert "as framed" in said(transfer)


def test_an_edit_of_the_framed_pole_shows_it_again(transfer: Window) -> None:
    bridge = bridge_of(transfer)
    slider(transfer).slider.setValue(5)
    bridge.select("line-arm")
    transfer.commands.by_name["sheet"].trigger()
    QTest.keyClick(board_of(transfer).view, Key.Key_Up)
    assert bridge.stage == "framed"
    assert bridge.session.is_changed
    assert slider(transfer).slider.value() == slider(transfer).slider.maximum()


def test_things_can_be_selected_at_every_stage(transfer: Window) -> None:
    slider(transfer).slider.setValue(2)
    click(transfer, "line-arm-old")
    assert bridge_of(transfer).selected == "line-arm-old"
    assert bridge_of(transfer).stage == 2


def test_the_menu_goes_a_stage_on_and_back(transfer: Window) -> None:
    bridge = bridge_of(transfer)
    slider(transfer).slider.setValue(4)
    transfer.commands.by_name["stage_after"].trigger()
    assert bridge.stage == 5
    transfer.commands.by_name["stage_before"].trigger()
    assert bridge.stage == 4
    slider(transfer).slider.setValue(0)
    transfer.commands.by_name["stage_before"].trigger()
    assert bridge.stage == "found"
    assert "first stage" in said(transfer)


def test_the_workers_of_the_step_are_outlined_with_their_names(transfer: Window) -> None:
    steps = bridge_of(transfer).job.steps
    number = next(n for n, step in enumerate(steps, start=1) if step.workers)
    slider(transfer).slider.setValue(number)
    shown = {text for text, _ in texts(transfer)}
    for worker in steps[number - 1].workers:
        assert worker_name(steps[number - 1], worker) in shown
    slider(transfer).slider.setValue(slider(transfer).slider.maximum())
    shown = {text for text, _ in texts(transfer)}
    assert worker_name(steps[number - 1], steps[number - 1].workers[0]) not in shown


def test_lifts_boom_and_workers_of_a_step_are_drawn_in_plan(transfer: Window) -> None:
    bridge, plan = bridge_of(transfer), board_of(transfer).layers["plan"]

    def shown(stage: Stage) -> tuple[set[str], set[str]]:
        slider(transfer).slider.setValue(bridge.session.stages.index(stage))
        return {str(item.data(OWNER)) for item in plan.items}, {one.text for one in plan.texts}

    number = set_pole(transfer)
    assert bridge.job.steps[number - 1].boom is not None
    owners, words = shown(number)
    assert {"lift-a", "lift-b", "lift-c", "Ben"} <= owners
    assert "BOOM" in words
    assert any(one.startswith("Boom 22 ft 5 in toward 138 deg") for one in words)
    assert [item for item in plan.items if item.data(STYLE) == "reach"]
    owners, words = shown("framed")
    assert not {"lift-a", "Ben"} & owners
    assert "BOOM" not in words
    assert not [item for item in plan.items if item.data(STYLE) == "reach"]


def test_what_is_covered_at_a_stage_has_a_sleeve_in_every_view(transfer: Window) -> None:
    bridge, board = bridge_of(transfer), board_of(transfer)

    def sleeves(stage: Stage) -> list[int]:
        slider(transfer).slider.setValue(bridge.session.stages.index(stage))
        kinds: tuple[PaneKind, ...] = ("framed", "second", "plan")
        return [
            sum(item.data(STYLE) == "cover" for item in board.layers[kind].items) for kind in kinds
        ]

    steps = bridge.job.steps
    cover = next(at for at, step in enumerate(steps, start=1) if step.kind == "cover")
    uncover = next(at for at, step in enumerate(steps, start=1) if step.kind == "uncover")
    assert sleeves("found") == [0, 0, 0]
    assert min(sleeves(cover)) > 3
    assert sleeves(uncover) == [0, 0, 0]


def test_play_shows_every_stage_and_ends_as_framed(transfer: Window, qtbot: QtBot) -> None:
    shown, seen = slider(transfer), []
    bridge_of(transfer).stage_changed.connect(lambda: seen.append(bridge_of(transfer).stage))
    shown._playing.setInterval(1)
    shown.play.click()
    assert shown.play.text() == "Stop"
    qtbot.waitUntil(lambda: bridge_of(transfer).stage == "framed", timeout=30_000)
    assert seen == list(bridge_of(transfer).session.stages)
    assert shown.play.text() == "Play"


def test_stages_are_judged_while_nobody_does_anything(transfer: Window, qtbot: QtBot) -> None:
    session = bridge_of(transfer).session
    qtbot.waitUntil(lambda: len(session.judged_so_far) == len(session.stages), timeout=30_000)
    assert slider(transfer).mark.isVisible()
    assert session.judged("framed").verdict in slider(transfer).mark.toolTip()


def test_undo_of_the_last_steps_leaves_no_stage_that_is_not_there(transfer: Window) -> None:
    from framer.edits.steps import insert_step

    bridge = bridge_of(transfer)
    last = len(bridge.job.steps) + 1
    bridge.do_here("put in a step", lambda job: insert_step(job, last, "One more")[0])
    slider(transfer).slider.setValue(last)
    assert bridge.stage == last
    transfer.commands.by_name["undo"].trigger()
    assert bridge.stage == "framed"


def test_no_text_lies_over_the_slider_and_none_is_lost_at_any_stage(transfer: Window) -> None:
    stages: tuple[Stage, ...] = bridge_of(transfer).session.stages
    room = board_of(transfer).view.viewport().rect().adjusted(-2, -2, 2, 2)
    for at in (1, len(stages) // 2, len(stages) - 2):
        slider(transfer).slider.setValue(at)
        lost = [text for text, box in texts(transfer) if not room.contains(box.toRect())]
        assert lost == []
