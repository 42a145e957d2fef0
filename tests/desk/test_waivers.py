"""Answering for a gap that stays short, and taking that back, in the findings panel."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit

from framer.checks.finding import Finding
from framer.desk.dialogs.answer import AnswerFor
from framer.desk.panels.findings_panel import FindingsPanel
from framer.desk.window import Window
from framer.edits.places import set_along_pole
from framer.files.reader import read_job
from tests.desk.driving import bridge_of, height_of, said, table_of

LEFT = Qt.MouseButton.LeftButton
BUCK = "house.line-to-buck-arm|line-arm|buck-arm"


@pytest.fixture
def panel(corner: Window) -> FindingsPanel:
    """The findings, with the buck arm a foot too high."""
    move_buck(corner, 12.0)
    return table_of(corner).findings


def move_buck(window: Window, by_in: float) -> None:
    height = height_of(window, "buck-arm") + by_in
    problem = bridge_of(window).do(
        "move", lambda job: set_along_pole(job, "buck-arm", "framed", "height", height)
    )
    assert problem == ""


def choose(panel: FindingsPanel, key: str) -> Finding:
    """Click a finding in the list."""
    row = panel.model.row_of(key)
    assert row >= 0
    index = panel.model.index(row)
    panel.list.scrollTo(index)
    centre = panel.list.visualRect(index).center()
    QTest.mouseClick(panel.list.viewport(), LEFT, Qt.KeyboardModifier.NoModifier, centre)
    assert panel.chosen is not None
    return panel.chosen


def open_dialog(panel: FindingsPanel) -> AnswerFor:
    assert panel.answer.isEnabled(), panel.answer.toolTip()
    QTest.mouseClick(panel.answer, LEFT)
    dialog = panel.dialog
    assert dialog.isVisible()
    return dialog


def write(entry: QLineEdit, text: str) -> None:
    entry.setFocus()
    entry.selectAll()
    QTest.keyClicks(entry, text) if text else QTest.keyClick(entry, Qt.Key.Key_Delete)


def answer(panel: FindingsPanel, name: str = "R. Alder", reason: str = "short tap only") -> None:
    """Fill the dialog in by keys and press Enter."""
    dialog = open_dialog(panel)
    write(dialog.name, name)
    write(dialog.reason, reason)
    QTest.keyClick(dialog.reason, Qt.Key.Key_Return)


def row_text(panel: FindingsPanel, key: str = BUCK) -> str:
    return str(panel.model.index(panel.model.row_of(key)).data())


def test_somebody_answers_for_a_short_gap_as_a_step(corner: Window, panel: FindingsPanel) -> None:
    choose(panel, BUCK)
    assert panel.answer.text() == "Answer for It..."
    answer(panel)
    (waiver,) = bridge_of(corner).job.waivers
    today = datetime.date.today().isoformat()
    assert (waiver.key, waiver.by, waiver.reason, waiver.date, waiver.gap_in) == (
        BUCK,
        "R. Alder",
        "short tap only",
        today,
        pytest.approx(36.0),
    )
    words = f"[R. Alder {today} answers for it: short tap only]"
    assert row_text(panel).startswith("short: ")
    assert row_text(panel).endswith(words)
    assert words in panel.explanation.toPlainText()
    assert panel.answer.text() == "Take Back"
    bridge_of(corner).undo()
    assert bridge_of(corner).job.waivers == ()
    assert words not in row_text(panel)
    assert panel.answer.text() == "Answer for It..."
    bridge_of(corner).redo()
    assert panel.answer.text() == "Take Back"


def test_the_counts_tell_how_many_are_answered_for(corner: Window, panel: FindingsPanel) -> None:
    counts = table_of(corner).counts
    short = int(counts.numbers["short"].text())
    assert not counts.waived.isVisible()
    choose(panel, BUCK)
    answer(panel)
    choose(panel, panel.model.rows[0].finding.key)
    answer(panel)
    assert int(counts.numbers["short"].text()) == short
    assert counts.waived.isVisible()
    assert counts.waived.text() == "(2 answered for)"
    assert counts.accessibleName().startswith(f"findings: {short} short (2 answered for), ")


def test_it_is_taken_back_by_the_same_button(corner: Window, panel: FindingsPanel) -> None:
    choose(panel, BUCK)
    answer(panel)
    QTest.mouseClick(panel.answer, LEFT)
    assert bridge_of(corner).job.waivers == ()
    assert panel.answer.text() == "Answer for It..."
    assert "undo brings it back" in said(corner)
    bridge_of(corner).undo()
    assert len(bridge_of(corner).job.waivers) == 1


def test_it_lapses_when_the_gap_shrinks_and_stays_when_it_grows(
    corner: Window, panel: FindingsPanel
) -> None:
    choose(panel, BUCK)
    answer(panel)
    move_buck(corner, -6.0)
    assert "answers for it" in row_text(panel)
    assert panel.answer.text() == "Take Back"
    move_buck(corner, 7.0)
    assert "what R. Alder answered for" in row_text(panel)
    assert "has lapsed: the gap was 3 ft then" in row_text(panel)
    assert panel.answer.text() == "Answer for It..."
    assert not table_of(corner).counts.waived.isVisible()
    answer(panel, "M. Okafor", "agreed again")
    (waiver,) = bridge_of(corner).job.waivers
    assert (waiver.by, waiver.gap_in) == ("M. Okafor", pytest.approx(35.0))


def test_it_lapses_on_screen_while_the_arm_is_still_being_dragged(
    corner: Window, panel: FindingsPanel
) -> None:
    choose(panel, BUCK)
    answer(panel)
    height = height_of(corner, "buck-arm") + 1.0
    bridge_of(corner).preview(
        lambda job: set_along_pole(job, "buck-arm", "framed", "height", height)
    )
    assert "has lapsed" in row_text(panel)
    assert panel.answer.text() == "Answer for It..."


@pytest.mark.parametrize(
    ("name", "reason", "day", "words", "goes_to"),
    [
        ("", "cabled", None, "needs a reason and the name", "name"),
        ("R. Alder", "  ", None, "needs a reason and the name", "reason"),
        ("R. Alder", "cabled", "yesterday", "'yesterday' is no day", "day"),
        ("R. Alder", "cabled", "2026-02-30", "'2026-02-30' is no day", "day"),
    ],
)
def test_what_is_missing_is_said_and_the_dialog_stays(
    corner: Window,
    panel: FindingsPanel,
    name: str,
    reason: str,
    day: str | None,
    words: str,
    goes_to: str,
) -> None:
    choose(panel, BUCK)
    dialog = open_dialog(panel)
    for entry, text in ((dialog.name, name), (dialog.reason, reason), (dialog.day, day)):
        if text is not None:
            write(entry, text)
    QTest.mouseClick(dialog.ok, LEFT)
    assert words in dialog.problem.text()
    assert dialog.isVisible()
    assert dialog.focusWidget() is getattr(dialog, goes_to)
    assert bridge_of(corner).job.waivers == ()
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert bridge_of(corner).job.waivers == ()


def test_the_dialog_tells_what_is_answered_for_and_what_ends_it(panel: FindingsPanel) -> None:
    finding = choose(panel, BUCK)
    dialog = open_dialog(panel)
    words = " ".join(label.text() for label in dialog.findChildren(type(dialog.problem)))
    assert finding.rule.title in words
    assert "This lapses when the gap, now 3 ft, gets smaller." in words
    assert dialog.day.text() == datetime.date.today().isoformat()


def test_what_cannot_be_answered_for_says_why(corner: Window, panel: FindingsPanel) -> None:
    bridge_of(corner).choose("")
    assert not panel.answer.isEnabled()
    assert panel.answer.toolTip() == "choose a short finding in the list first"
    seen = set()
    for row in panel.model.rows:
        verdict = row.finding.verdict
        if verdict in seen:
            continue
        seen.add(verdict)
        bridge_of(corner).choose(row.finding.key)
        assert panel.answer.isEnabled() == (verdict == "short")
        if verdict != "short":
            assert f"this one is '{verdict}'" in panel.answer.toolTip()
    assert {"short", "meets"} <= seen


def test_an_approach_distance_is_never_answered_for(
    corner: Window, panel: FindingsPanel, monkeypatch: pytest.MonkeyPatch
) -> None:
    finding = choose(panel, BUCK)
    row = panel.model.rows[panel.model.row_of(BUCK)]
    changed = replace(finding, rule=replace(finding.rule, measure="approach"))
    monkeypatch.setattr(type(row), "finding", property(lambda _row: changed))
    panel.update_button()
    assert not panel.answer.isEnabled()
    assert panel.answer.toolTip() == "an approach distance to a worker is never waived"


def test_it_is_saved_with_the_job(corner: Window, panel: FindingsPanel, corner_path: Path) -> None:
    choose(panel, BUCK)
    answer(panel)
    corner.filing.on_save()
    assert read_job(corner_path).waivers == bridge_of(corner).job.waivers
    corner.filing.open_path(corner_path)
    assert table_of(corner).counts.waived.text() == "(1 answered for)"
    assert table_of(corner).counts.waived.isVisible()


def test_what_other_rules_ask_stands_in_the_explanation(
    corner: Window, panel: FindingsPanel
) -> None:
    finding = next(
        row.finding for row in panel.model.rows if row.finding.rule.id == "house.nearby-wire"
    )
    choose(panel, finding.key)
    words = panel.explanation.toPlainText()
    assert words == "\n".join(bridge_of(corner).session.explanation(finding, "framed"))
    assert "Asked of the same pair by other rules:" in words
    assert "nesc-2017.233b-nearby-horizontal: 5 ft (sideways gap) [from memory]" in words
