"""The list of findings: order, values, and the chosen one on the sheet and in words."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QGraphicsSimpleTextItem, QSplitter

from framer.checks.finding import RANK, Finding
from framer.desk.entries.entry import Choice
from framer.desk.panels.findings_filter import FindingsFilter
from framer.desk.window import Window
from tests.desk.driving import (
    board_of,
    bridge_of,
    drag,
    move,
    press,
    release,
    spot_of,
    table_of,
    texts,
)


def keys_in_list(window: Window) -> list[str]:
    return [row.finding.key for row in table_of(window).findings.model.rows]


def choose(window: Window, row: int) -> str:
    """Click a row of the list; gives the finding's key."""
    shown = table_of(window).findings.list
    index = table_of(window).findings.model.index(row)
    shown.scrollTo(index)
    QTest.mouseClick(
        shown.viewport(),
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
        shown.visualRect(index).center(),
    )
    return keys_in_list(window)[row]


def drawn_for(window: Window, key: str) -> list[str]:
    """Kinds of the graphics items that are drawn for a finding."""
    return [type(item).__name__ for item in board_of(window).overlay.items if item.data(0) == key]


def test_the_worst_finding_stands_first_and_the_counts_agree_with_the_list(corner: Window) -> None:
    table = table_of(corner)
    rows = table.findings.model.rows
    assert rows
    ranks = [RANK[row.finding.verdict] for row in rows]
    assert ranks == sorted(ranks)
    for verdict, number in table.counts.numbers.items():
        assert int(number.text()) == sum(row.finding.verdict == verdict for row in rows)


def test_the_counts_read_whole_however_narrow_the_side_is_drawn(corner: Window) -> None:
    counts = table_of(corner).counts
    split = table_of(corner).findChild(QSplitter, "beside the sheet")
    assert split is not None
    handle = split.handle(1)
    rows = set()
    for right in (-60, 30, 60, 300):
        start = handle.rect().center()
        QTest.mousePress(handle, Qt.MouseButton.LeftButton, pos=start)
        QTest.mouseMove(handle, start + QPoint(right, 0))
        QTest.mouseRelease(handle, Qt.MouseButton.LeftButton, pos=start + QPoint(right, 0))
        QApplication.processEvents()
        shown = [*counts.words.values(), *counts.numbers.values()]
        for one in shown:
            assert one.width() >= one.sizeHint().width(), (counts.width(), one.text())
            assert counts.rect().contains(one.geometry()), (counts.width(), one.text())
        for number, one in enumerate(shown):
            assert not any(one.geometry().intersects(other.geometry()) for other in shown[:number])
        rows.add(len({one.y() for one in counts.words.values()}))
    assert rows == {1, 2}


def test_a_row_says_its_verdict_in_words_beside_its_mark(corner: Window) -> None:
    model = table_of(corner).findings.model
    for row in (0, model.rowCount() - 1):
        verdict = model.rows[row].finding.verdict
        assert str(model.index(row).data()).startswith(f"{verdict}: ")


def test_every_row_has_room_for_all_of_its_text(corner: Window) -> None:
    shown = table_of(corner).findings.list
    for row in range(0, table_of(corner).findings.model.rowCount(), 7):
        index = table_of(corner).findings.model.index(row)
        room = shown.viewport().width() - 38
        needed = shown.row.laid_out(row, room).boundingRect()
        assert shown.visualRect(index).height() >= needed.height()
        assert needed.width() <= room


def test_choosing_a_finding_draws_it_on_the_framed_pole_and_explains_it(corner: Window) -> None:
    key = choose(corner, 2)
    assert bridge_of(corner).finding == key
    assert "QGraphicsLineItem" in drawn_for(corner, key)
    finding = table_of(corner).findings.model.rows[2].finding
    words = table_of(corner).findings.explanation.toPlainText()
    assert finding.rule.id in words
    assert "Measured: " in words
    assert "Required: " in words
    assert "Source: " in words
    shown = [text for text, _ in texts(corner)]
    assert "needs 3 ft 6 in" in shown


def test_escape_on_the_sheet_lets_the_finding_go(corner: Window) -> None:
    key = choose(corner, 2)
    QTest.keyClick(board_of(corner).view, Qt.Key.Key_Escape)
    assert bridge_of(corner).finding == ""
    assert drawn_for(corner, key) == []
    assert not table_of(corner).findings.list.selectedIndexes()
    assert "Choose a finding" in table_of(corner).findings.explanation.toPlainText()


def test_pressing_a_finding_on_the_sheet_keeps_what_is_selected(corner: Window) -> None:
    bridge_of(corner).select("buck-arm")
    key = choose(corner, 2)
    board = board_of(corner)
    label = next(
        item
        for item in board.overlay.items
        if item.data(0) == key and isinstance(item, QGraphicsSimpleTextItem)
    )
    box = label.deviceTransform(board.view.viewportTransform()).mapRect(label.boundingRect())
    at = box.center().toPoint()
    assert table_of(corner).hands.hit_in(at) == (key, "framed")
    press(corner, at)
    release(corner, at)
    assert bridge_of(corner).finding == key
    assert bridge_of(corner).selected == "buck-arm"


def test_arrow_keys_go_through_the_list_and_the_sheet_follows(corner: Window) -> None:
    choose(corner, 0)
    QTest.keyClick(table_of(corner).findings.list, Qt.Key.Key_Down)
    key = keys_in_list(corner)[1]
    assert bridge_of(corner).finding == key
    assert drawn_for(corner, key)


def test_rows_stay_in_place_during_a_drag_and_sort_anew_when_it_ends(corner: Window) -> None:
    model = table_of(corner).findings.model
    before = keys_in_list(corner)
    texts_before = [str(model.index(row).data()) for row in range(5)]
    start = spot_of(corner, "line-arm")
    press(corner, start)
    for down in (15, 30, 46):
        move(corner, start + QPoint(0, down))
    assert keys_in_list(corner)[: len(before)] == before
    assert [str(model.index(row).data()) for row in range(5)] != texts_before
    ranks = [RANK[row.finding.verdict] for row in model.rows]
    assert ranks != sorted(ranks)  # the verdicts did change, and nothing jumped
    release(corner, start + QPoint(0, 46))
    ranks = [RANK[row.finding.verdict] for row in model.rows]
    assert ranks == sorted(ranks)


def test_the_chosen_finding_stays_chosen_through_edits_and_its_drawing_follows(
    corner: Window,
) -> None:
    key = choose(corner, 2)
    words = table_of(corner).findings.explanation.toPlainText()
    drag(corner, "line-arm", 0.0, -20.0)
    assert bridge_of(corner).finding == key
    row = table_of(corner).findings.list.currentIndex().row()
    assert keys_in_list(corner)[row] == key
    assert table_of(corner).findings.explanation.toPlainText() != words
    assert drawn_for(corner, key)


def test_a_finding_that_is_gone_is_said_to_be_gone(corner: Window) -> None:
    row = next(
        at for at, key in enumerate(keys_in_list(corner)) if key.endswith("ridge-near|line-arm")
    )
    key = choose(corner, row)
    bridge_of(corner).select("line-arm")
    corner.commands.by_name["delete"].trigger()
    assert key not in keys_in_list(corner)
    assert "no longer there" in table_of(corner).findings.explanation.toPlainText()
    assert drawn_for(corner, key) == []
    corner.commands.by_name["undo"].trigger()
    assert key in keys_in_list(corner)
    assert drawn_for(corner, key)


def test_what_cannot_be_said_is_listed_with_its_reason(corner: Window) -> None:
    row, missing = next(
        (at, row.finding.missing)
        for at, row in enumerate(table_of(corner).findings.model.rows)
        if row.finding.verdict == "cannot say"
    )
    assert missing
    key = choose(corner, row)
    assert f"Missing: {missing}." in table_of(corner).findings.explanation.toPlainText()
    assert drawn_for(corner, key) == []  # nothing can be measured


def test_room_to_climb_is_judged_when_the_move_is_done(corner: Window) -> None:
    def climbing() -> list[str]:
        model = table_of(corner).findings.model
        return [
            model.text(at)
            for at, row in enumerate(model.rows)
            if row.finding.rule.measure.startswith("climbing")
            or row.finding.rule.id == "job.climbing"
        ]

    settled = climbing()
    assert settled
    assert not any("judged when the move is done" in text for text in settled)
    at = spot_of(corner, "line-arm")
    press(corner, at)
    for down in (8, 16):
        move(corner, at + QPoint(0, down))
    *before, last = climbing()
    assert last == "Room to climb: judged when the move is done"
    assert before == [f"Before this move: {text}" for text in settled]
    release(corner, at + QPoint(0, 16))
    assert not any("this move" in text or "the move" in text for text in climbing())


def filter_of(window: Window) -> FindingsFilter:
    return table_of(window).findings.filter


def pick(choice: Choice, words: str) -> None:
    """Choose a line of a choice by the keys, as from its open list."""
    choice.setFocus()
    at = choice.findText(words)
    assert at >= 0, [choice.itemText(row) for row in range(choice.count())]
    QTest.keyClick(choice, Qt.Key.Key_Home)
    for _ in range(at):
        QTest.keyClick(choice, Qt.Key.Key_Down)
    assert choice.currentText() == words


def listed(window: Window) -> list[Finding]:
    return [row.finding for row in table_of(window).findings.model.rows]


def test_findings_are_filtered_by_verdict(corner: Window) -> None:
    everything = listed(corner)
    pick(filter_of(corner).verdict, "cannot say")
    assert listed(corner)
    assert {finding.verdict for finding in listed(corner)} == {"cannot say"}
    pick(filter_of(corner).verdict, "not met")
    assert len(listed(corner)) == sum(finding.verdict != "meets" for finding in everything)


def test_findings_are_filtered_by_rule_and_by_thing(corner: Window) -> None:
    finding = next(one for one in listed(corner) if one.a is not None and one.b is not None)
    pick(filter_of(corner).rule, finding.rule.title)
    assert {one.rule.title for one in listed(corner)} == {finding.rule.title}
    assert finding.a is not None
    pick(filter_of(corner).thing, bridge_of(corner).job.label(finding.a.owner))
    owners = [{part.owner for part in (one.a, one.b) if part is not None} for one in listed(corner)]
    assert owners
    assert all(finding.a.owner in there for there in owners)


def test_findings_of_what_is_selected_follow_the_selection(corner: Window) -> None:
    pick(filter_of(corner).thing, "what is selected")
    assert listed(corner) == []
    bridge_of(corner).select("buck-arm")
    first = listed(corner)
    assert first
    assert all("buck-arm" in {one.a.owner if one.a else "", one.b.owner if one.b else ""}
               for one in first)  # fmt: skip
    bridge_of(corner).select("line-arm")
    assert [one.key for one in listed(corner)] != [one.key for one in first]


def test_findings_are_searched_by_words_in_any_order(corner: Window) -> None:
    search = filter_of(corner).search
    search.setFocus()
    QTest.keyClicks(search, "near ridge")
    model = table_of(corner).findings.model
    assert 0 < len(model.rows) < model.all_count
    for row in range(len(model.rows)):
        words = str(model.index(row).data()).lower()
        assert "near" in words
        assert "ridge" in words


def test_an_empty_list_says_why_and_clear_brings_all_back(corner: Window) -> None:
    table = table_of(corner)
    search = filter_of(corner).search
    search.setFocus()
    QTest.keyClicks(search, "no such words anywhere")
    assert table.findings.model.rows == []
    assert "Clear" in table.findings.list.nothing
    image = table.findings.list.viewport().grab().toImage()
    colours = {image.pixel(x, y) for x in range(0, image.width(), 2) for y in range(10, 60, 2)}
    assert len(colours) > 1  # it is written there
    QTest.mouseClick(filter_of(corner).clear_all, Qt.MouseButton.LeftButton)
    assert len(table.findings.model.rows) == table.findings.model.all_count > 0
    assert search.text() == ""
    assert not filter_of(corner).clear_all.isEnabled()


def test_the_findings_of_the_pole_as_found_are_listed_and_drawn_on_it(corner: Window) -> None:
    framed = [finding.key for finding in listed(corner)]
    pick(filter_of(corner).stages, "as found")
    assert [finding.key for finding in listed(corner)] != framed
    row = next(at for at, finding in enumerate(listed(corner)) if finding.line is not None)
    key = choose(corner, row)
    board = board_of(corner)
    assert [item for item in board.overlays["found"].items if item.data(0) == key]
    assert drawn_for(corner, key) == []
    assert listed(corner)[row].rule.id in table_of(corner).findings.explanation.toPlainText()


def test_a_filtered_list_stays_filtered_and_in_place_while_a_thing_is_dragged(
    corner: Window,
) -> None:
    pick(filter_of(corner).verdict, "short")
    before = keys_in_list(corner)
    start = spot_of(corner, "line-arm")
    press(corner, start)
    for down in (15, 30):
        move(corner, start + QPoint(0, down))
    assert keys_in_list(corner)[: len(before)] == before
    assert any(finding.verdict != "short" for finding in listed(corner))
    release(corner, start + QPoint(0, 30))
    assert {finding.verdict for finding in listed(corner)} == {"short"}


def test_a_finding_chosen_on_the_sheet_is_explained_though_it_is_filtered_out(
    corner: Window,
) -> None:
    key = next(finding.key for finding in listed(corner) if finding.verdict == "short")
    pick(filter_of(corner).verdict, "cannot say")
    bridge_of(corner).choose(key)
    words = table_of(corner).findings.explanation.toPlainText()
    assert "filter" in words
    QTest.mouseClick(filter_of(corner).clear_all, Qt.MouseButton.LeftButton)
    assert "Measured: " in table_of(corner).findings.explanation.toPlainText()
