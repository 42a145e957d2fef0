"""Heights as built, revisions and sign-off in the window."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog

from framer.desk.as_built import AsBuilt
from framer.desk.notices import Notices
from framer.desk.revisions import Revisions
from framer.desk.window import Window
from framer.edits.places import set_along_pole
from tests.desk.driving import board_of, bridge_of


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
    exporting = corner.filing.exporting
    assert exporting is not None
    for _ in range(200):
        if exporting.now is None:
            break
        QTest.qWait(50)
    assert path.read_bytes().startswith(b"%PDF-")
    assert corner.statusBar().currentMessage() == "wrote set.pdf"


def chosen(monkeypatch: pytest.MonkeyPatch, path: Path) -> None:
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(path), ""))


def test_a_survey_sheet_is_read_in_as_one_step(
    corner: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "survey.csv"
    path.write_text("kind,name,height,sky\nattachment,Old lamp,20 ft,blue\n", encoding="utf-8")
    chosen(monkeypatch, path)
    before = bridge_of(corner).job
    corner.commands.by_name["read_in"].trigger()
    assert bridge_of(corner).job.items[-1].name == "Old lamp"
    told = corner.statusBar().currentMessage()
    assert told == "1 items and 0 wires read in as found; not read: sky"
    bridge_of(corner).undo()
    assert bridge_of(corner).job == before


def test_a_wrong_survey_sheet_is_said_and_changes_nothing(
    corner: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "survey.csv"
    path.write_text("kind,name,height\nattachment,Old lamp,20\n", encoding="utf-8")
    chosen(monkeypatch, path)
    told: list[str] = []
    monkeypatch.setattr(corner, "complain", lambda _, problem: told.append(str(problem)))
    before = bridge_of(corner).job
    corner.commands.by_name["read_in"].trigger()
    assert bridge_of(corner).job is before
    assert "row 2, column 'height': '20' has no unit" in told[0]


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
