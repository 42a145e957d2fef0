"""Answers beside the sheet: what is asked, what is told, what is applied, and what is drawn."""

from __future__ import annotations

import itertools

import pytest
from PySide6.QtCore import QRectF, Qt, QTimer
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from framer.answers.words import ORDER, OUT_OF_ORDER
from framer.desk.panels.answers_panel import AnswersPanel
from framer.desk.window import Window
from framer.drawing.picture import Dimension, Path, Text
from framer.drawing.plan_panel import PLAN_REACH_IN
from framer.drawing.selected import thing_dimensions
from framer.edits.links import set_link
from framer.geometry.written import exact
from framer.model.link import Link
from framer.model.place import OnPole, Standing
from framer.model.stage import place_at
from framer.strength.choice import with_choices
from tests.desk.driving import (
    SAMPLES,
    board_of,
    bridge_of,
    click,
    drag,
    enter,
    height_of,
    move,
    over,
    place_of,
    press,
    release,
    said,
    spot_of,
    table_of,
    texts,
)

WIRE_IN = 42 * 12.0
"""The lower wire that crosses above the pole of the sample, by its reading."""
KEPT_IN, PIN_IN = 42.0, 13.0
"""House number from a neighbouring circuit; from an arm's bolt up to the wire on its pin."""
HIGHEST_IN = WIRE_IN - KEPT_IN - PIN_IN


@pytest.fixture
def linked(corner: Window, qtbot: QtBot) -> Window:
    """The corner sample with the buck arm kept 4 ft under the line arm, and answers shown."""
    bridge_of(corner).do("link", lambda job: set_link(job, "buck-arm", "line-arm", 48.0))
    click(corner, "line-arm")
    qtbot.waitUntil(corner.isActiveWindow)
    QTest.keyClick(corner, Qt.Key.Key_F4)
    assert answers_of(corner).isVisible()
    return corner


def answers_of(window: Window) -> AnswersPanel:
    return table_of(window).answers


def told(window: Window) -> list[str]:
    """The lines of the answer."""
    listed = answers_of(window).list
    return [listed.item(row).text() for row in range(listed.count())]


def asked(window: Window, qtbot: QtBot, name: str) -> list[str]:
    """The answer to a question, asked with the mouse."""
    answers = answers_of(window)
    QTest.mouseClick(answers.buttons[name], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not answers.asking.is_at_work, timeout=60_000)
    return told(window)


def apply(window: Window) -> None:
    QTest.mouseClick(answers_of(window).accept, Qt.MouseButton.LeftButton)


def strips(window: Window) -> list[tuple[float, float]]:
    """Lower and upper ends of the strips on the framed elevation, real inches."""
    found = []
    for drawn in board_of(window).overlay._drawn:
        if isinstance(drawn.stroke, Path) and drawn.stroke.style == "meets":
            ys = [y for _, y in drawn.stroke.points]
            found.append((min(ys), max(ys)))
    return found


def test_the_room_of_what_is_selected_is_listed_with_what_bounds_it(
    linked: Window, qtbot: QtBot
) -> None:
    qtbot.waitUntil(lambda: answers_of(linked).room is not None)
    lines = told(linked)
    assert "bolt now 42 ft above ground" in lines[0]
    assert lines[1] == "Buck arm moves with it, 4 ft below"
    assert "to 37 ft 5 in above ground" in lines[2]  # by HIGHEST_IN
    assert "not higher: Wires kept from a neighbouring circuit" in lines[2]
    assert lines[-1].startswith("room to climb and jumpers are judged where an item is put")


def test_the_highest_place_is_applied_as_one_step_named_so(linked: Window, qtbot: QtBot) -> None:
    lines = asked(linked, qtbot, "highest")
    assert lines[0].startswith("Line arm, highest: ")
    assert "37 ft 5 in above ground" in lines[0]
    assert "could go down by" in lines[0]
    before = bridge_of(linked).job
    apply(linked)
    assert height_of(linked, "line-arm") == pytest.approx(HIGHEST_IN, abs=1e-6)
    assert height_of(linked, "buck-arm") == pytest.approx(HIGHEST_IN - 48.0, abs=1e-6)
    assert bridge_of(linked).session.undo_name == "Line arm to its highest place"
    assert "undo takes it back" in said(linked)
    bridge_of(linked).undo()
    assert bridge_of(linked).job == before


def test_lowest_and_nearest_are_two_more_answers(linked: Window, qtbot: QtBot) -> None:
    lowest = asked(linked, qtbot, "lowest")[0]
    assert "could go up by" in lowest
    nearest = asked(linked, qtbot, "nearest")[0]
    # it stands too high now, so the nearest is the highest
    assert "37 ft 5 in above ground" in nearest


def test_where_there_is_no_room_the_levers_are_listed_and_applied(
    corner: Window, qtbot: QtBot
) -> None:
    click(corner, "line-arm")
    table_of(corner).turn_to_page(answers_of(corner))
    lines = asked(corner, qtbot, "highest")
    assert "no length works: 48 in missing" in lines[0]
    row = next(n for n, line in enumerate(lines) if line.startswith("let Buck arm move with it"))
    assert lines[row] == "let Buck arm move with it, 4 ft below: enough"
    answers_of(corner).list.setCurrentRow(row + 1)
    assert not answers_of(corner).accept.isEnabled()  # it gives nothing
    assert answers_of(corner).accept.toolTip()
    answers_of(corner).list.setCurrentRow(row)
    apply(corner)
    assert bridge_of(corner).job.links == (Link("buck-arm", "line-arm", 48.0),)
    assert height_of(corner, "line-arm") == pytest.approx(HIGHEST_IN, abs=0.5)
    assert not any(
        finding.verdict == "short" and "line-arm" in finding.key
        for finding in bridge_of(corner).session.findings("framed")
    )


def test_an_answer_is_applied_by_keys_alone(linked: Window, qtbot: QtBot) -> None:
    answers = answers_of(linked)
    assert answers.buttons["room"].hasFocus()
    QTest.keyClick(answers.buttons["room"], Qt.Key.Key_Right)
    QTest.keyClick(answers.buttons["highest"], Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: not answers.asking.is_at_work and bool(answers.list.count()))
    answers.list.setFocus()
    QTest.keyClick(answers.list, Qt.Key.Key_Return)
    assert height_of(linked, "line-arm") == pytest.approx(HIGHEST_IN, abs=1e-6)


def test_what_sits_on_an_arm_asks_for_the_arm(linked: Window) -> None:
    bridge_of(linked).select("pin-c-new")
    assert answers_of(linked).key == "line-arm"
    wire = next(one.id for one in bridge_of(linked).job.wires if _rests_on(linked, one.id, "pin"))
    bridge_of(linked).select(wire)
    assert answers_of(linked).key == "line-arm"


def _rests_on(window: Window, wire: str, host: str) -> bool:
    return str(getattr(place_of(window, wire), "host", "")).startswith(f"{host}-c-new")


def rows(window: Window) -> list[list[str]]:
    """The poles in the table, what decides last."""
    table = answers_of(window).table
    found = []
    for at in range(table.topLevelItemCount()):
        item = table.topLevelItem(at)
        assert item is not None
        found.append([*(item.text(n) for n in range(table.columnCount())), item.child(0).text(0)])
    return found


def test_which_pole_is_a_ranked_table_and_changes_the_pole(linked: Window, qtbot: QtBot) -> None:
    asked(linked, qtbot, "highest")
    apply(linked)
    lines = asked(linked, qtbot, "pole")
    # the line arm's bolt at 37 ft 5 in wants the top at 38 ft 5 in: 45 ft set 6.5 reaches 38.5, 1
    # in more; 50 ft reaches 43.0 and must be 3.5 ft under the wire at 42.0: 4 ft 6 in off
    first, second = rows(linked)[:2]
    assert first[:5] == ["45-ft", "3", "6 ft 6 in", "-", "1 in"]
    assert first[5].startswith("frames: Line arm: Arm bolt from the finished top")
    assert second[:5] == ["50-ft", "3", "7 ft", "4 ft 6 in", "1 in"]
    assert second[5].startswith("cut for: Ridge 2, near wire - New pole")
    forty = next(row for row in rows(linked) if row[0] == "40-ft")
    assert forty[4] == "53 in short"
    assert "45-ft frames: set 6 ft 6 in" in lines[0]
    assert lines[1].startswith("poles of every stock length; what the yard has")
    heights = {key: height_of(linked, key) for key in ("line-arm", "buck-arm", "spool-new")}
    apply(linked)
    pole = bridge_of(linked).job.item_by_id["pole-new"].pole
    assert pole is not None
    assert (pole.length_in, pole.pole_class) == (540.0, "3")
    assert bridge_of(linked).session.undo_name == "New pole: 45-ft"
    assert {key: height_of(linked, key) for key in heights} == pytest.approx(heights, abs=0.01)
    where = place_of(linked, "pole-new")
    assert isinstance(where, Standing)
    assert where.depth_in is None  # it goes on following the job's rule


def test_keys_go_from_pole_to_pole_and_enter_puts_one_in(linked: Window, qtbot: QtBot) -> None:
    asked(linked, qtbot, "highest")
    apply(linked)
    asked(linked, qtbot, "pole")
    answers = answers_of(linked)
    answers.table.setFocus()
    QTest.keyClick(answers.table, Qt.Key.Key_Down)
    assert "50-ft frames" in told(linked)[0]
    assert answers.accept.text() == "Apply: New pole: 50-ft"
    QTest.keyClick(answers.table, Qt.Key.Key_Up)
    assert "45-ft frames" in told(linked)[0]
    QTest.keyClick(answers.table, Qt.Key.Key_End)
    assert "20-ft does not frame" in told(linked)[0]
    assert not answers.accept.isEnabled()
    assert answers.accept.toolTip() == "this pole offers nothing to apply; choose another"
    QTest.keyClick(answers.table, Qt.Key.Key_Home)
    QTest.keyClick(answers.table, Qt.Key.Key_Down)
    QTest.keyClick(answers.table, Qt.Key.Key_Return)
    where = place_of(linked, "pole-new")
    assert isinstance(where, Standing)
    assert where.cut_in == 54.0
    assert not answers.table.isVisible()  # it was of another state of the job


def test_a_pole_is_chosen_by_what_decides_too(linked: Window, qtbot: QtBot) -> None:
    asked(linked, qtbot, "pole")
    table = answers_of(linked).table
    second = table.topLevelItem(1)
    assert second is not None
    spot = table.visualItemRect(second.child(0)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert table.currentItem() is second
    assert told(linked)[0].startswith(second.text(0))


def test_which_pole_names_the_class_by_the_loads_once_strength_is_judged(
    linked: Window, qtbot: QtBot
) -> None:
    asked(linked, qtbot, "highest")
    apply(linked)
    assert any("class: open until" in line for line in asked(linked, qtbot, "pole"))
    bridge_of(linked).do("strength", lambda job: with_choices(job, "nesc-heavy", "nesc-2017", "C"))
    lines = asked(linked, qtbot, "pole")
    assert not any("class: open until" in line for line in lines)
    # how one of the wires of the corner stretches is not known: that is said, and is no pass
    first = rows(linked)[0]
    assert (first[0], first[1]) == ("45-ft", "?")
    assert first[5].startswith("class: cannot say: ")
    assert "is not known" in first[5]


def test_the_ground_changes_how_deep_poles_are_set(linked: Window, qtbot: QtBot) -> None:
    answers = answers_of(linked)
    asked(linked, qtbot, "pole")
    QTest.mouseClick(answers.rock, Qt.MouseButton.LeftButton, pos=answers.rock.rect().center())
    answers.rock.setChecked(True)
    qtbot.waitUntil(lambda: not answers.asking.is_at_work, timeout=60_000)
    assert "table for rock" in told(linked)[0]
    enter(answers.slope, "1 ft")
    qtbot.waitUntil(lambda: not answers.asking.is_at_work, timeout=60_000)
    assert "table for rock" in told(linked)[0]
    assert "from the low side" in told(linked)[0]
    assert answers.slope.text() == "1 ft"


def test_topping_lists_the_uncut_and_the_cut_pole(corner: Window, qtbot: QtBot) -> None:
    click(corner, "pole-new")
    table_of(corner).turn_to_page(answers_of(corner))
    assert not answers_of(corner).buttons["room"].isEnabled()
    lines = asked(corner, qtbot, "topping")
    # the wire above the bare top, less the number kept from it, is where the top has to be
    assert lines[0] == "New pole: cut 4 ft 6 in from the stock top"
    assert lines[1].startswith("as drafted: finished top 43 ft above ground")
    assert "Pole and its top kept from a neighbouring circuit" in lines[1]
    assert lines[2].startswith("topped by 4 ft 6 in: finished top 38 ft 6 in above ground")
    apply(corner)
    where = place_of(corner, "pole-new")
    assert isinstance(where, Standing)
    assert where.cut_in == 54.0
    assert bridge_of(corner).session.undo_name == "top New pole by 4 ft 6 in"


def test_the_window_goes_on_while_an_answer_is_worked_out_and_can_stop_it(
    corner: Window, qtbot: QtBot
) -> None:
    click(corner, "line-arm")
    answers = answers_of(corner)
    table_of(corner).turn_to_page(answers)
    ticks: list[int] = []
    clock = QTimer(corner)
    clock.timeout.connect(lambda: ticks.append(len(ticks)))
    clock.start(0)
    QTest.mouseClick(answers.buttons["pole"], Qt.MouseButton.LeftButton)
    assert answers.asking.is_at_work
    qtbot.waitUntil(lambda: answers.at.whole.startswith("trying a "))
    assert answers.cancel.isVisible()
    begun = len(ticks)
    qtbot.waitUntil(lambda: len(ticks) > begun + 5)
    assert answers.asking.is_at_work
    QTest.mouseClick(answers.cancel, Qt.MouseButton.LeftButton)
    clock.stop()
    assert not answers.asking.is_at_work
    assert not answers.cancel.isVisible()
    assert told(corner) == ["not worked out; ask again"]


def test_a_change_of_the_job_drops_what_was_answered(linked: Window, qtbot: QtBot) -> None:
    asked(linked, qtbot, "highest")
    drag(linked, "line-arm", 0.0, -24.0)
    assert answers_of(linked).question == "room"
    qtbot.waitUntil(lambda: answers_of(linked).room is not None)
    now_in = height_of(linked, "line-arm")
    assert now_in == pytest.approx(480.0, abs=1.5)  # a pixel is more than an inch
    assert f"bolt now {exact(bridge_of(linked).job, now_in)} above ground" in told(linked)[0]


def test_an_item_follows_another_at_a_typed_distance_until_that_is_emptied(
    corner: Window,
) -> None:
    click(corner, "buck-arm")
    answers = answers_of(corner)
    table_of(corner).turn_to_page(answers)
    row = answers.link
    assert row.distance.isReadOnly()
    row.leader.setFocus()
    at = row.leader.findText("Line arm")
    while row.leader.currentIndex() != at:
        QTest.keyClick(row.leader, Qt.Key.Key_Down)
    assert bridge_of(corner).job.links == (Link("buck-arm", "line-arm", 48.0),)
    assert bridge_of(corner).session.undo_name == "Buck arm follows Line arm"
    assert row.distance.text() == "4 ft"
    enter(row.distance, "5 ft")
    assert bridge_of(corner).session.undo_name == "keep Buck arm under Line arm"
    line = height_of(corner, "line-arm")
    assert height_of(corner, "buck-arm") == pytest.approx(line - 60.0)
    assert "5 ft kept" in [text for text, _ in texts(corner)]
    drag(corner, "line-arm", 0.0, -36.0)
    assert height_of(corner, "buck-arm") == pytest.approx(height_of(corner, "line-arm") - 60.0)
    click(corner, "buck-arm")
    enter(row.distance, "")
    assert bridge_of(corner).job.links == ()
    assert bridge_of(corner).session.undo_name == "Buck arm follows nothing"
    assert row.distance.text() == ""


def test_a_link_that_would_go_round_is_refused_in_words(linked: Window) -> None:
    row = answers_of(linked).link
    row.leader.setFocus()
    row.leader.setCurrentIndex(row.leader.findText("Buck arm"))
    row.leader.activated.emit(row.leader.currentIndex())
    assert "would follow itself" in said(linked)
    assert bridge_of(linked).job.links == (Link("buck-arm", "line-arm", 48.0),)
    assert row.leader.currentText() == "nothing"


def test_the_room_is_drawn_beside_the_pole_while_a_thing_is_selected(
    linked: Window, qtbot: QtBot
) -> None:
    qtbot.waitUntil(lambda: bool(strips(linked)))
    room = answers_of(linked).room
    assert room is not None
    foot = bridge_of(linked).session.scene("framed").poles["pole-new"].foot[2]
    drawn = [(low - foot, high - foot) for low, high in strips(linked)]
    assert drawn == [pytest.approx((one.low_in, one.high_in)) for one in room.bands]
    assert drawn[-1][1] == pytest.approx(HIGHEST_IN, abs=0.5)
    written = [text for text, _ in texts(linked)]
    assert any(text.startswith("37 ft 5 in") for text in written)
    # where there is room beside it, what is in the way is named
    assert any(text.endswith(": bore of Neutral spool") for text in written)
    bridge_of(linked).select("")
    assert strips(linked) == []


def test_the_heights_of_the_room_are_written_clear_of_the_plan_beside_the_pole(
    window: Window, qtbot: QtBot
) -> None:
    window.resize(1280, 800)
    window.filing.open_path(SAMPLES / "corner-transfer")
    bridge, board = bridge_of(window), board_of(window)
    plan = board.layers["plan"].root
    looked_at = 0
    for item in bridge.job.items:
        where = place_at(bridge.job, item, "framed")
        if not isinstance(where, OnPole) or where.host != "pole-new":
            continue
        bridge.select(item.id)
        qtbot.waitUntil(lambda: bool(strips(window)))
        looked_at += 1
        view = board.view
        square = PLAN_REACH_IN - 1.0
        covered = [
            view.mapFromScene(
                plan.mapRectToScene(QRectF(-square, -square, 2 * square, 2 * square))
            ).boundingRect(),
            board.plan_head.geometry(),
        ]
        for drawn in board.overlay._drawn:
            if isinstance(drawn.stroke, Text) and drawn.stroke.style == "meets":
                box = drawn.item.deviceTransform(view.viewportTransform())
                seen = box.mapRect(drawn.item.boundingRect()).adjusted(1, 3, -1, -3).toRect()
                assert not any(seen.intersects(one) for one in covered), drawn.stroke.text
    assert looked_at > 3


@pytest.mark.parametrize("job", ["corner", "tangent", "dead-end"])
def test_the_heights_of_the_room_lie_over_no_dimension_and_no_words_of_a_finding(
    window: Window, qtbot: QtBot, job: str
) -> None:
    window.resize(1280, 800)
    window.filing.open_path(SAMPLES / job)
    bridge, findings = bridge_of(window), bridge_of(window).session.findings("framed")
    looked_at = 0
    for finding in itertools.islice(findings, 40):
        keys = [part.owner for part in (finding.a, finding.b) if part is not None]
        on_pole = [key for key in keys if key in bridge.job.item_by_id]
        if not on_pole or on_pole[0] == "pole-new":
            continue
        bridge.select(on_pole[0])
        qtbot.waitUntil(lambda: answers_of(window).room is not None)
        bridge.choose(finding.key)
        green = [
            drawn.stroke.text
            for drawn in board_of(window).overlay._drawn
            if isinstance(drawn.stroke, Text) and drawn.stroke.style == "meets"
        ]
        lying_over = [pair for pair in over(window) if set(pair) & set(green)]
        assert lying_over == [], finding.key
        looked_at += bool(green)
    assert looked_at > 5


def test_the_room_stays_drawn_while_the_thing_is_dragged(linked: Window, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: bool(strips(linked)))
    before = strips(linked)
    at = spot_of(linked, "line-arm")
    press(linked, at)
    for down in (10, 25, 40):
        move(linked, at + type(at)(0, down))
    assert strips(linked) == before
    release(linked, at + type(at)(0, 40))
    qtbot.waitUntil(lambda: bool(strips(linked)))


def test_the_room_on_the_sheet_is_switched_off_by_a_key(linked: Window, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: bool(strips(linked)))
    QTest.keyClick(linked, Qt.Key.Key_R, Qt.KeyboardModifier.ControlModifier)
    assert strips(linked) == []
    QTest.keyClick(linked, Qt.Key.Key_R, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: bool(strips(linked)))


def test_two_things_selected_have_no_room_of_one(linked: Window) -> None:
    bridge_of(linked).select_all(("line-arm", "spool-new"))
    assert answers_of(linked).key == ""
    assert told(linked)[0].startswith("Select an arm")


def test_what_is_missing_is_said(linked: Window, qtbot: QtBot) -> None:
    bridge_of(linked).select("line-arm-old")
    QTest.qWait(100)
    assert answers_of(linked).room is None
    assert told(linked)
    assert not strips(linked)


def test_two_kept_distances_are_dimensioned_beside_each_other(linked: Window) -> None:
    bridge = bridge_of(linked)
    bridge.do("link", lambda job: set_link(job, "spool-new", "line-arm", 120.0))
    bridge.select("line-arm")
    board = board_of(linked)
    drawn = thing_dimensions(bridge.session.scene("framed"), board.sight, "pole-new", "line-arm")
    kept = [one for one in drawn if isinstance(one, Dimension) and one.text.endswith(" kept")]
    assert [one.text for one in kept] == ["4 ft kept", "10 ft kept"]
    apart = kept[1].across - kept[0].across
    assert apart > kept[0].height
    assert {"4 ft kept", "10 ft kept"} <= {text for text, _ in texts(linked)}


def test_room_and_highest_say_the_same_of_what_is_out_of_order(
    corner: Window, qtbot: QtBot
) -> None:
    # the buck arm, which follows nothing here, keeps the line arm up; under it there is room
    click(corner, "line-arm")
    QTest.keyClick(corner, Qt.Key.Key_F4)
    rooms = [one.strip() for one in asked(corner, qtbot, "room")]
    tops = [one.strip() for one in asked(corner, qtbot, "highest")]
    assert OUT_OF_ORDER in rooms
    listed = rooms[rooms.index(OUT_OF_ORDER) + 1 : -1]
    assert listed
    assert all(" above ground (" in one for one in listed)
    assert tops[tops.index(OUT_OF_ORDER) + 1 :][: len(listed)] == listed
    assert "in the order drafted" in tops[0]
    assert tops[-1] == ORDER
