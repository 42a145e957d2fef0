"""Heights as built, revisions and sign-off in the window."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox

from framer.desk.dialogs.as_built import AsBuilt
from framer.desk.dialogs.notices import Notices
from framer.desk.dialogs.read_in_dialog import MEANS, ReadInDialog
from framer.desk.dialogs.revisions import Revisions
from framer.desk.window import Window
from framer.edits.places import set_along_pole
from framer.edits.revisions import without_built
from framer.files.read_in import COLUMNS
from tests.desk.driving import board_of, bridge_of, drag, exported, press_menu, said


@pytest.fixture
def as_built(corner: Window) -> AsBuilt:
    corner.commands.by_name["as_built"].trigger()
    made = corner.dialogs["as_built"]
    assert isinstance(made, AsBuilt)
    QTest.qWaitForWindowExposed(made)
    return made


@pytest.fixture
def revisions(corner: Window) -> Revisions:
    corner.commands.by_name["revisions"].trigger()
    made = corner.dialogs["revisions"]
    assert isinstance(made, Revisions)
    QTest.qWaitForWindowExposed(made)
    return made


def typed(dialog: AsBuilt, key: str, text: str) -> None:
    entry = dialog.entries[key]
    entry.selectAll()
    if text:
        QTest.keyClicks(entry, text)
    else:
        QTest.keyClick(entry, Qt.Key.Key_Delete)
    QTest.keyClick(entry, Qt.Key.Key_Return)


def row(dialog: AsBuilt, key: str) -> list[str]:
    at = list(dialog.entries).index(key)
    items = (dialog.table.item(at, column) for column in (0, 1, 3))
    return [item.text() if item else "" for item in items]


def test_a_height_typed_as_built_is_judged_at_once_and_can_be_taken_back(
    corner: Window, as_built: AsBuilt
) -> None:
    session = bridge_of(corner).session
    before, job = session.findings("framed").counts, bridge_of(corner).job
    assert row(as_built, "line-arm") == ["Line arm", "42 ft above ground", ""]
    typed(as_built, "line-arm", "41 ft 8 in")
    assert row(as_built, "line-arm") == ["Line arm", "42 ft above ground", "4 in lower"]
    assert as_built.entries["line-arm"].text() == "41 ft 8 in"
    after = session.findings("framed").counts
    assert after != before
    assert as_built.note.text() == "As built: " + ", ".join(
        f"{many} {verdict}" for verdict, many in after.items()
    )
    assert as_built.isVisible()
    bridge_of(corner).undo()
    assert row(as_built, "line-arm")[2] == ""
    assert bridge_of(corner).job == job


def test_a_drag_with_the_box_on_is_an_actual_height_and_is_judged_at_once(
    corner: Window, as_built: AsBuilt
) -> None:
    bridge = bridge_of(corner)
    before, job = bridge.session.findings("framed").counts, bridge.job
    as_built.dragging.click()
    drag(corner, "line-arm", 0.0, -12.0)
    assert without_built(bridge.job) == job
    _, _, off = row(as_built, "line-arm")
    assert off.endswith("lower")
    assert as_built.entries["line-arm"].text() not in ("", "42 ft")
    assert bridge.session.findings("framed").counts != before
    bridge.undo()
    assert bridge.job == job
    # a pin moves along its arm, which is no height
    drag(corner, "pin-a-new", 12.0, 0.0)
    assert bridge.job == job
    assert "heights on the pole are measured" in said(corner)
    # without the dialog a drag is drawn again
    as_built.hide()
    assert not bridge.as_built
    drag(corner, "line-arm", 0.0, -12.0)
    assert bridge.job == without_built(bridge.job) != job


def test_an_emptied_entry_is_not_measured(corner: Window, as_built: AsBuilt) -> None:
    job = bridge_of(corner).job
    typed(as_built, "pole-new", "7 ft 3 in")
    assert row(as_built, "pole-new")[1:] == ["7 ft set", "3 in deeper"]
    typed(as_built, "pole-new", "")
    assert bridge_of(corner).job == job


def test_a_wrong_text_is_said_and_changes_nothing(corner: Window, as_built: AsBuilt) -> None:
    job = bridge_of(corner).job
    typed(as_built, "line-arm", "high up")
    assert "high up" in as_built.message.text()
    assert bridge_of(corner).job is job


def test_issuing_and_signing_need_a_name_and_say_why_not(
    corner: Window, revisions: Revisions
) -> None:
    assert revisions.state.text() == "no revision is issued; draft - not checked by chief"
    for button in (revisions.issue, revisions.sign):
        assert not button.isEnabled()
        assert button.toolTip() == "type a name first"
    QTest.keyClicks(revisions.by, "M. Okafor")
    QTest.keyClicks(revisions.note, "for the crew")
    QTest.mouseClick(revisions.issue, Qt.MouseButton.LeftButton)
    (one,) = bridge_of(corner).job.revisions
    assert (one.by, one.note) == ("M. Okafor", "for the crew")
    assert not revisions.issue.isEnabled()
    assert revisions.issue.toolTip() == "nothing has changed since the last revision"
    QTest.mouseClick(revisions.sign, Qt.MouseButton.LeftButton)
    assert "checked by M. Okafor" in revisions.state.text()
    assert "checked by M. Okafor" in board_of(corner).title_line.title.text()


def test_what_changed_since_is_listed_and_a_change_ends_the_sign_off(
    corner: Window, revisions: Revisions
) -> None:
    QTest.keyClicks(revisions.by, "M. Okafor")
    QTest.mouseClick(revisions.issue, Qt.MouseButton.LeftButton)
    QTest.mouseClick(revisions.sign, Qt.MouseButton.LeftButton)
    bridge_of(corner).do(
        "move", lambda job: set_along_pole(job, "line-arm", "framed", "drop", 24.0)
    )
    lines = [revisions.listed.item(at).text() for at in range(revisions.listed.count())]
    assert "since then" in lines
    assert "    Line arm: 12 in lower, 41 ft above ground" in lines
    assert "draft - not checked by chief since it was changed" in revisions.state.text()
    bridge_of(corner).undo()
    assert "checked by M. Okafor" in revisions.state.text()


def test_the_sheet_set_is_exported_from_the_file_menu(
    corner: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "set.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    corner.commands.by_name["export_sheets"].trigger()
    exported(corner)
    assert path.read_bytes().startswith(b"%PDF-")
    assert corner.statusBar().currentMessage() == "wrote set.pdf"


def chosen(monkeypatch: pytest.MonkeyPatch, path: Path) -> None:
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(path), ""))
    go_on = QMessageBox.StandardButton.Open
    monkeypatch.setattr(QMessageBox, "question", lambda *_: go_on)


Act = Callable[[ReadInDialog], None]


def reading_in(corner: Window, act: Act) -> None:
    """Read a survey sheet in, with `act` done in the dialog; what fails there fails the test."""
    failed: list[BaseException] = []

    def do() -> None:
        shown = QApplication.activeModalWidget()
        assert isinstance(shown, ReadInDialog)
        try:
            act(shown)
        except BaseException as problem:  # told after the dialog is closed, or it stays open
            failed.append(problem)
            shown.reject()

    QTimer.singleShot(50, do)
    corner.commands.by_name["read_in"].trigger()
    if failed:
        raise failed[0]


def means(shown: ReadInDialog, heading: str, column: str) -> None:
    """Choose what a column of the table is."""
    choice = shown.choices[shown.table.headings.index(heading)]
    choice.setCurrentIndex(choice.findData(column))
    QTest.qWait(300)


def told_in(shown: ReadInDialog) -> list[str]:
    return [shown.problems.item(at).text() for at in range(shown.problems.count())]


def test_the_columns_that_are_understood_are_said_before_a_file_is_chosen(
    corner: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[object] = []
    monkeypatch.setattr(
        QFileDialog, "getOpenFileName", lambda *given: asked.append(given) or ("", "")
    )
    words: list[str] = []

    def press(which: QMessageBox.StandardButton) -> None:
        shown = QApplication.activeModalWidget()
        if not isinstance(shown, QMessageBox):  # it is still being opened
            QTimer.singleShot(50, corner, lambda: press(which))
            return
        words.append(shown.text())
        QTest.mouseClick(shown.button(which), Qt.MouseButton.LeftButton)

    for which in (QMessageBox.StandardButton.Cancel, QMessageBox.StandardButton.Open):
        QTimer.singleShot(50, corner, lambda which=which: press(which))
        press_menu(corner, "read_in")
    assert len(asked) == 1
    assert len(words) == 2
    for column, others in COLUMNS.items():
        line = next(one for one in words[0].splitlines() if one.partition(" ")[0] == column)
        assert MEANS[column].removeprefix(column).lstrip(":, ") in line
        assert all(other in words[0] for other in others)


def test_a_survey_sheet_is_read_in_as_one_step(
    corner: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "survey.csv"
    path.write_text("kind,name,height,sky\nattachment,Old lamp,20 ft,blue\n", encoding="utf-8")
    chosen(monkeypatch, path)
    before = bridge_of(corner).job

    def act(shown: ReadInDialog) -> None:
        assert shown.state.text() == "1 items and 0 wires can be read in; not read: sky"
        shown.read.click()

    reading_in(corner, act)
    assert bridge_of(corner).job.items[-1].name == "Old lamp"
    told = corner.statusBar().currentMessage()
    assert told == "1 items and 0 wires read in as found; not read: sky"
    bridge_of(corner).undo()
    assert bridge_of(corner).job == before


def test_the_columns_of_a_survey_sheet_are_shown_and_get_their_meaning(
    corner: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "theirs.csv"
    path.write_text(
        "Sort,What it is,Up,Height of tree\n"
        "attachment,Old lamp,20.5,33 ft\nlamp,New lamp,24,9 ft\n",
        encoding="utf-8",
    )
    chosen(monkeypatch, path)

    def act(shown: ReadInDialog) -> None:
        assert shown.columns.item(1, 0).text() == "What it is"
        assert shown.columns.item(1, 1).text() == "Old lamp, New lamp"
        assert told_in(shown) == [
            "theirs.csv: column 'kind': there is no such column; map one to it"
        ]
        assert not shown.read.isEnabled()
        means(shown, "Sort", "kind")
        means(shown, "What it is", "name")
        means(shown, "Up", "height")
        assert told_in(shown) == [
            "theirs.csv: row 2, column 'height': '20.5' has no unit: write one",
            "theirs.csv: row 3, column 'height': '24' has no unit: write one",
        ]
        assert shown.state.text() == "Nothing is read in while 2 rows are wrong:"
        shown.unit.setCurrentIndex(shown.unit.findData("ft"))
        QTest.qWait(300)
        assert told_in(shown) == []
        means(shown, "Height of tree", "height")
        assert told_in(shown) == ["theirs.csv: column 'Height of tree': a second column for height"]
        means(shown, "Height of tree", "")
        shown.read.click()

    reading_in(corner, act)
    job = bridge_of(corner).job
    assert [item.name for item in job.items[-2:]] == ["Old lamp", "New lamp"]
    heights = [job.reading(item.id, "height") for item in job.items[-2:]]
    assert [one and one.value_in for one in heights] == [246.0, 288.0]


def test_a_wrong_survey_sheet_is_said_row_by_row_and_changes_nothing(
    corner: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "survey.csv"
    rows = "".join(f"attachment,Lamp {at},{at}\n" for at in range(30))
    path.write_text("kind,name,height\n" + rows, encoding="utf-8")
    chosen(monkeypatch, path)
    before = bridge_of(corner).job

    def act(shown: ReadInDialog) -> None:
        told = told_in(shown)
        assert len(told) == 30
        assert told[0] == "survey.csv: row 2, column 'height': '0' has no unit: write one"
        assert not shown.read.isEnabled()
        assert "mend" in shown.read.toolTip()
        shown.reject()

    reading_in(corner, act)
    assert bridge_of(corner).job is before
    assert corner.statusBar().currentMessage() == "nothing was read in"


def test_a_photo_is_attached_by_its_path_from_the_job(
    corner: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = bridge_of(corner).session.path
    assert path is not None
    chosen(monkeypatch, path.parent / "photos" / "7.jpg")
    corner.commands.by_name["attach_photo"].trigger()
    assert [one.path for one in bridge_of(corner).job.photos] == ["photos/7.jpg"]


def test_a_notice_rule_is_chosen_with_its_day_and_dropped(corner: Window) -> None:
    corner.commands.by_name["notices"].trigger()
    made = corner.dialogs["notices"]
    assert isinstance(made, Notices)
    QTest.qWaitForWindowExposed(made)

    def lines() -> str:
        return "\n".join(made.listed.item(at).text() for at in range(made.listed.count()))

    assert "Tarrow Telephone" in lines()
    assert "no notice rule is chosen" in lines()
    assert not made.drop.isEnabled()
    made.rule.setCurrentIndex(made.rule.findData("ma-90-days"))
    assert "section 34B" in made.told.text()
    made.day.setDate(QDate(2026, 3, 3))
    QTest.mouseClick(made.go_by, Qt.MouseButton.LeftButton)
    assert "by 1 June 2026" in lines()
    assert made.drop.isEnabled()
    QTest.mouseClick(made.drop, Qt.MouseButton.LeftButton)
    assert bridge_of(corner).job.notices == ()
