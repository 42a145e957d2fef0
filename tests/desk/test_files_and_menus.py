"""The job's files, and what the window says when there is nothing or something wrong."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event, Timer
from typing import Any

import ezdxf
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QLabel, QMessageBox, QPushButton

from framer import __version__
from framer.desk import exporting
from framer.desk.window import Window
from framer.drawing.sheet import Sheet
from framer.drawing.viewing import view_words
from framer.files.reader import read_job
from framer.files.writer import write_job
from framer.session import Session
from tests.desk.driving import (
    SAMPLES,
    board_of,
    bridge_of,
    drag,
    exported,
    height_of,
    said,
    table_of,
    texts,
)

CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def save_to(monkeypatch: pytest.MonkeyPatch) -> Callable[[Path | None], None]:
    """Answers the dialog that asks for a file to write."""

    def answer(path: Path | None) -> None:
        def chosen(*_: object) -> tuple[str, str]:
            return ("" if path is None else str(path), "")

        monkeypatch.setattr(QFileDialog, "getSaveFileName", chosen)

    return answer


@pytest.fixture
def open_from(monkeypatch: pytest.MonkeyPatch) -> Callable[[Path | None], None]:
    """Answers the dialog that asks for a file to open."""

    def answer(path: Path | None) -> None:
        def chosen(*_: object) -> tuple[str, str]:
            return ("" if path is None else str(path), "")

        monkeypatch.setattr(QFileDialog, "getOpenFileName", chosen)

    return answer


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Callable[[QMessageBox.StandardButton], list[str]]:
    """Answers the question about changes; gives the questions that were asked."""

    def answer(button: QMessageBox.StandardButton) -> list[str]:
        questions: list[str] = []

        def chosen(_parent: object, _title: str, text: str, *_: object) -> object:
            questions.append(text)
            return button

        monkeypatch.setattr(QMessageBox, "question", chosen)
        return questions

    return answer


def run(window: Window, name: str) -> None:
    action = window.commands.by_name[name]
    assert action.isEnabled(), action.toolTip()
    action.trigger()
    exported(window)


def test_without_a_job_the_window_says_what_to_do_next(window: Window) -> None:
    words = [label.text() for label in window.findChildren(QLabel) if label.isVisible()]
    assert any("No job is open. Open a job file" in text for text in words)
    buttons = [one.text() for one in window.findChildren(QPushButton) if one.isVisible()]
    assert buttons == ["Open a Job...", "Start a New Job"]
    for name in ("save", "export_pdf", "undo", "fit", "look_east"):
        assert not window.commands.by_name[name].isEnabled()
        assert window.commands.by_name[name].toolTip() == "open a job or start a new one first"


def test_the_button_on_the_empty_sheet_opens_a_job(
    window: Window, corner_path: Path, open_from: Callable[[Path | None], None]
) -> None:
    open_from(corner_path)
    button = next(one for one in window.findChildren(QPushButton) if one.text() == "Open a Job...")
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert window.windowTitle().startswith("Alder Lane at Mill Road, corner pole 7")
    assert board_of(window).isVisible()


def test_a_new_job_has_one_new_pole_in_hand(window: Window) -> None:
    run(window, "new")
    job = bridge_of(window).job
    assert [item.kind for item in job.items] == ["pole"]
    assert bridge_of(window).selected == job.items[0].id
    assert board_of(window).view.isVisible()
    assert "New job (not saved yet)" in window.windowTitle()
    shown = [text for text, _ in texts(window)]
    assert "Nothing was found here:" in shown


def test_a_job_without_a_new_pole_says_what_to_do_on_the_sheet(corner: Window) -> None:
    for key in ("pole-new", "pole-old"):
        bridge_of(corner).select(key)
        run(corner, "delete")
    shown = [text for text, _ in texts(corner)]
    assert "No pole stands here yet." in shown
    assert "Put a new pole in from stock (Insert)." in shown


def test_saving_and_opening_again_gives_the_same_job(
    corner: Window, corner_path: Path, tmp_path: Path, save_to: Callable[[Path | None], None]
) -> None:
    drag(corner, "line-arm", 0.0, -30.0)
    assert corner.isWindowModified()
    run(corner, "save")
    assert not corner.isWindowModified()
    assert read_job(corner_path) == bridge_of(corner).job
    drag(corner, "buck-arm", 0.0, -30.0)
    other = tmp_path / "elsewhere"
    save_to(other)
    run(corner, "save_as")
    written = tmp_path / "elsewhere.framer"
    assert read_job(written) == bridge_of(corner).job
    assert "elsewhere.framer" in corner.windowTitle()
    assert read_job(corner_path) != bridge_of(corner).job
    job = bridge_of(corner).job
    corner.filing.open_path(written)
    assert bridge_of(corner).job == job
    write_job(bridge_of(corner).job, tmp_path / "again.framer")
    assert (tmp_path / "again.framer").read_bytes() == written.read_bytes()


def test_a_new_job_takes_its_name_from_the_file_it_is_first_saved_in(
    window: Window, tmp_path: Path, save_to: Callable[[Path | None], None]
) -> None:
    run(window, "new")
    save_to(tmp_path / "Weir Street 4.framer")
    run(window, "save")
    assert bridge_of(window).job.name == "Weir Street 4"
    assert window.windowTitle().startswith("Weir Street 4 (Weir Street 4.framer)")
    assert not window.isWindowModified()


def test_a_dialog_that_is_cancelled_changes_nothing(
    corner: Window,
    tmp_path: Path,
    save_to: Callable[[Path | None], None],
    open_from: Callable[[Path | None], None],
) -> None:
    job = bridge_of(corner).job
    save_to(None)
    open_from(None)
    before = sorted(tmp_path.rglob("*"))
    for name in ("save_as", "export_dxf", "export_pdf", "export_csv", "export_drill", "open"):
        run(corner, name)
    for name in ("export_framing", "export_brief"):
        run(corner, name)
    assert bridge_of(corner).job is job
    assert sorted(tmp_path.rglob("*")) == before


def test_the_sketch_and_the_material_list_are_exported(
    corner: Window, tmp_path: Path, save_to: Callable[[Path | None], None]
) -> None:
    corner.commands.by_name["look_south"].trigger()
    save_to(tmp_path / "sketch")
    run(corner, "export_dxf")
    document = ezdxf.readfile(tmp_path / "sketch.dxf")
    words = [one.dxf.text for one in document.modelspace().query("TEXT")]
    assert "AS FRAMED, looking south" in words  # as it is seen on the screen
    assert said(corner) == "wrote sketch.dxf"
    run(corner, "export_pdf")
    assert (tmp_path / "sketch.pdf").read_bytes().startswith(b"%PDF-")
    save_to(tmp_path / "list.csv")
    run(corner, "export_csv")
    with (tmp_path / "list.csv").open(newline="", encoding="utf-8") as file:
        listed = list(csv.DictReader(file))
    assert any("Wood arm 10 ft" in row["name"] for row in listed)
    save_to(tmp_path / "list.xlsx")
    run(corner, "export_csv")
    assert (tmp_path / "list.xlsx").read_bytes().startswith(b"PK")


def test_the_drill_sheet_is_exported_as_its_ending_says(
    corner: Window, tmp_path: Path, save_to: Callable[[Path | None], None]
) -> None:
    for name in ("drill.pdf", "drill.dxf", "drill.csv"):
        save_to(tmp_path / name)
        run(corner, "export_drill")
        assert said(corner) == f"wrote {name}"
    assert (tmp_path / "drill.pdf").read_bytes().startswith(b"%PDF-")
    assert ezdxf.readfile(tmp_path / "drill.dxf").audit().errors == []
    with (tmp_path / "drill.csv").open(newline="", encoding="utf-8") as file:
        assert [row["bolt for"] for row in csv.DictReader(file)][:2] == [
            "Line arm",
            "Line arm brace",
        ]


def test_the_stringing_table_is_exported(
    corner: Window, tmp_path: Path, save_to: Callable[[Path | None], None]
) -> None:
    save_to(tmp_path / "stringing.csv")
    run(corner, "export_stringing")
    assert said(corner) == "wrote stringing.csv"
    with (tmp_path / "stringing.csv").open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["temperature F"] == "60"]
    assert any("A of Mill 3 to pole 6" in row["wire"] for row in rows)


def test_the_framing_sheet_is_exported_as_it_is_seen(
    corner: Window, tmp_path: Path, save_to: Callable[[Path | None], None]
) -> None:
    corner.commands.by_name["look_east"].trigger()
    save_to(tmp_path / "framing.dxf")
    run(corner, "export_framing")
    assert said(corner) == "wrote framing.dxf"
    document = ezdxf.readfile(tmp_path / "framing.dxf")
    assert document.audit().errors == []
    words = " ".join(one.dxf.text for one in document.modelspace().query("TEXT"))
    assert "; framing; heights above ground" in words
    assert view_words(bridge_of(corner).job, 90.0).lower() in words.lower()


def test_stage_sheets_need_steps_and_are_exported_with_the_brief(
    window: Window, tmp_path: Path, save_to: Callable[[Path | None], None]
) -> None:
    path = tmp_path / "transfer.framer"
    shutil.copy(SAMPLES / "corner-transfer" / "alder-lane-transfer.framer", path)
    window.filing.open_path(path)
    for name in ("stages", "brief"):
        save_to(tmp_path / f"{name}.pdf")
        run(window, f"export_{name}")
        assert said(window) == f"wrote {name}.pdf"
        assert (tmp_path / f"{name}.pdf").read_bytes().startswith(b"%PDF-")
    save_to(tmp_path / "brief.dxf")
    run(window, "export_brief")
    pages = sorted(tmp_path.glob("brief*.dxf"))
    assert len(pages) > 1
    assert said(window) == f"wrote brief.dxf and {len(pages) - 1} more"
    window.commands.by_name["new"].trigger()
    assert not window.commands.by_name["export_stages"].isEnabled()
    assert "no steps" in window.commands.by_name["export_stages"].toolTip()


@pytest.fixture
def slow(corner: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Event]:
    """An export that goes on only when this is set, with the window at hand meanwhile."""
    go_on = Event()
    made = Session.sheet

    def sheet(*arguments: Any) -> Sheet:
        go_on.wait(30.0)
        return made(*arguments)

    monkeypatch.setattr(exporting, "AT_ONCE_S", 0.02)
    monkeypatch.setattr(Session, "sheet", sheet)
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (f"{tmp_path}/slow.pdf", ""))
    corner.commands.by_name["export_pdf"].trigger()
    yield go_on
    go_on.set()
    exported(corner)


def test_a_long_export_says_so_while_the_window_stays_at_hand(
    corner: Window, slow: Event, tmp_path: Path
) -> None:
    line = corner.filing.exporting
    assert line is not None
    assert line.isVisible()
    assert line.words.text() == "writing slow.pdf ..."
    before = bridge_of(corner).job
    drag(corner, "line-arm", 0.0, -12.0)
    assert bridge_of(corner).job is not before
    corner.commands.by_name["export_pdf"].trigger()
    assert said(corner) == "wait for the export that is under way, or cancel it"
    slow.set()
    exported(corner)
    assert said(corner) == "wrote slow.pdf"
    assert not line.isVisible()
    assert (tmp_path / "slow.pdf").read_bytes().startswith(b"%PDF-")


def test_a_long_export_can_be_cancelled(corner: Window, slow: Event, tmp_path: Path) -> None:
    line = corner.filing.exporting
    assert line is not None
    QTest.mouseClick(line.cancel, Qt.MouseButton.LeftButton)
    slow.set()
    exported(corner)
    assert said(corner) == "the export was cancelled; nothing was written"
    assert not (tmp_path / "slow.pdf").exists()


def test_a_window_that_closes_cancels_its_export(
    corner: Window, slow: Event, tmp_path: Path
) -> None:
    corner.filing.may_leave = lambda: True  # type: ignore[method-assign]
    Timer(0.2, slow.set).start()
    corner.close()
    assert corner.filing.exporting is not None
    assert corner.filing.exporting.now is None
    assert not (tmp_path / "slow.pdf").exists()


def test_an_export_that_cannot_be_written_is_said_in_the_window(
    corner: Window, tmp_path: Path, save_to: Callable[[Path | None], None]
) -> None:
    save_to(tmp_path / "no such folder" / "sketch.pdf")
    run(corner, "export_pdf")
    assert corner.notice.isVisible()
    assert "sketch.pdf: cannot be written" in corner.notice.text()


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("broken.framer", b"{", "the file ends in the middle"),
        ("future.framer", b'{"format": 99, "job": {"name": "x"}}', "made by a newer framer"),
        ("odd.framer", b'{"format": 1, "job": {"name": "x", "books": ["nowhere"]}}', "'nowhere'"),
        ("missing.framer", None, "there is no such file"),
    ],
)
def test_a_wrong_file_is_said_in_the_window_and_the_open_job_stays(
    corner: Window,
    tmp_path: Path,
    open_from: Callable[[Path | None], None],
    name: str,
    content: bytes | None,
    why: str,
) -> None:
    job = bridge_of(corner).job
    path = tmp_path / name
    if content is not None:
        path.write_bytes(content)
    open_from(path)
    run(corner, "open")
    assert corner.notice.isVisible()
    assert why in corner.notice.text()
    assert name in corner.notice.text()
    assert bridge_of(corner).job is job
    assert "Alder Lane" in corner.windowTitle()


def test_a_wrong_file_in_an_empty_window_leaves_it_ready(window: Window, tmp_path: Path) -> None:
    window.filing.open_path(tmp_path / "nothing.framer")
    assert "there is no such file" in window.notice.text()
    assert window.notice.isVisible()
    assert window.bridge is None
    run(window, "new")
    assert not window.notice.isVisible()


def test_closing_with_changes_asks_once_and_can_be_called_off(
    corner: Window, corner_path: Path, asked: Callable[[QMessageBox.StandardButton], list[str]]
) -> None:
    box = QMessageBox.StandardButton
    questions = asked(box.Cancel)
    assert _closes(corner)  # nothing has changed: no question
    assert questions == []
    drag(corner, "line-arm", 0.0, -30.0)
    assert not _closes(corner)
    assert len(questions) == 1
    assert "Alder Lane at Mill Road" in questions[0]
    asked(box.Discard)
    assert _closes(corner)
    assert read_job(corner_path) != bridge_of(corner).job
    asked(box.Save)
    assert _closes(corner)
    assert read_job(corner_path) == bridge_of(corner).job


def test_opening_another_job_with_changes_asks_too(
    corner: Window,
    open_from: Callable[[Path | None], None],
    corner_path: Path,
    asked: Callable[[QMessageBox.StandardButton], list[str]],
) -> None:
    drag(corner, "line-arm", 0.0, -30.0)
    job = bridge_of(corner).job
    questions = asked(QMessageBox.StandardButton.Cancel)
    open_from(corner_path)
    for name in ("open", "new"):
        run(corner, name)
    assert len(questions) == 2
    assert bridge_of(corner).job is job


def _closes(window: Window) -> bool:
    event = QCloseEvent()
    window.closeEvent(event)
    return event.isAccepted()


def test_another_job_starts_with_nothing_selected_and_fits_the_sheet(corner: Window) -> None:
    bridge_of(corner).select("line-arm")
    board_of(corner).zoom(4.0)
    table_of(corner).findings.list.scrollToBottom()
    corner.filing.open_path(SAMPLES / "tangent")
    assert table_of(corner).findings.list.verticalScrollBar().value() == 0
    assert bridge_of(corner).selected == ""
    assert bridge_of(corner).finding == ""
    assert board_of(corner).headings["framed"].text() == "AS FRAMED, looking east"
    assert not board_of(corner).view.horizontalScrollBar().isVisible()


def test_undo_and_redo_are_named_in_the_menu_and_work_by_keys(corner: Window) -> None:
    view, start = board_of(corner).view, height_of(corner, "line-arm")
    drag(corner, "line-arm", 0.0, -30.0)
    drag(corner, "buck-arm", 0.0, -30.0)
    undo, redo = corner.commands.by_name["undo"], corner.commands.by_name["redo"]
    assert undo.text() == "&Undo move Buck arm"
    QTest.keyClick(view, Qt.Key.Key_Z, CTRL)
    assert (undo.text(), redo.text()) == ("&Undo move Line arm", "&Redo move Buck arm")
    QTest.keyClick(view, Qt.Key.Key_Z, CTRL)
    assert height_of(corner, "line-arm") == start
    assert undo.toolTip() == "nothing has been done yet"
    assert not corner.isWindowModified()
    QTest.keyClick(view, Qt.Key.Key_Z, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert height_of(corner, "line-arm") != start


def test_about_shows_the_version_and_the_cautions(
    corner: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[str] = []
    monkeypatch.setattr(QMessageBox, "about", lambda *words: shown.extend(map(str, words)))
    run(corner, "about")
    text = "\n".join(shown)
    assert __version__ in text
    assert "MIT licence" in text
    assert "Drawing aid only" in text
    assert '"cannot say" is not a pass' in text


def test_keys_lead_to_sheet_findings_and_entries(corner: Window) -> None:
    bridge_of(corner).select("line-arm")
    view = board_of(corner).view
    QTest.keyClick(view, Qt.Key.Key_F7)
    assert table_of(corner).findings.list.hasFocus()
    QTest.keyClick(table_of(corner).findings.list, Qt.Key.Key_F8)
    assert table_of(corner).thing.on_pole.from_top.hasFocus()
    QTest.keyClick(table_of(corner).thing.on_pole.from_top, Qt.Key.Key_F6)
    assert view.hasFocus()
