"""What a desktop program owes its user: recent jobs, windows, a tool bar, help, print preview."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QKeySequence, QPainter
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel, QSplitter, QToolButton
from pytestqt.qtbot import QtBot

from framer.desk import settings, start
from framer.desk.dialogs.help import Help
from framer.desk.dialogs.print_preview import PrintPreview, paint_sheet, printer_for
from framer.desk.menus import KEYS_HEADING, MENUS
from framer.desk.window import Window
from framer.drawing.sheet import MARGIN
from framer.model.job import Settings
from framer.session import Session
from tests.desk.driving import ROOT, SAMPLES, bridge_of, drag, said, table_of, texts

ALT = Qt.KeyboardModifier.AltModifier


def run(window: Window, name: str) -> None:
    action = window.commands.by_name[name]
    assert action.isEnabled(), action.toolTip()
    action.trigger()


@pytest.fixture
def another(qtbot: QtBot) -> Iterator[Callable[[], Window]]:
    """Makes further windows as a later start would."""
    made: list[Window] = []

    def make() -> Window:
        window = Window()
        window.filing.may_leave = lambda: True  # type: ignore[method-assign]
        qtbot.addWidget(window)
        made.append(window)
        window.show()
        return window

    yield make
    for window in made:
        if window.keeper is not None:
            window.keeper.leave()


def recent_actions(window: Window) -> list[tuple[str, bool, str]]:
    """The menu of recent jobs as it opens: words, whether each can be chosen, tool tip."""
    menu = window.commands.submenus["recent"]
    menu.aboutToShow.emit()
    return [(one.text(), one.isEnabled(), one.toolTip()) for one in menu.actions() if one.text()]


# --- recent jobs ---


def test_recent_jobs_are_offered_the_latest_first(
    window: Window, corner_path: Path, another: Callable[[], Window]
) -> None:
    assert recent_actions(window)[0][:2] == ("no job has been opened yet", False)
    window.filing.open_path(SAMPLES / "tangent")
    window.filing.open_path(corner_path)
    later = another()
    words = [text for text, enabled, _ in recent_actions(later) if enabled]
    assert words[0].startswith("&1 alder-lane.framer, in ")
    assert words[1].startswith("&2 ")
    assert str(SAMPLES / "tangent") in words[1]
    assert words[2] == "&Forget These"


def test_a_recent_job_is_opened_by_the_keyboard(
    window: Window, corner_path: Path, qtbot: QtBot
) -> None:
    settings.remember_recent(corner_path)
    menu = window.commands.submenus["recent"]
    menu.popup(window.mapToGlobal(window.rect().center()))
    QTest.keyClick(menu, Qt.Key.Key_1)
    qtbot.waitUntil(lambda: window.bridge is not None)
    assert bridge_of(window).session.path == corner_path


def test_a_job_that_is_gone_is_listed_and_says_so(window: Window, tmp_path: Path) -> None:
    gone = tmp_path / "weir-street.framer"
    settings.remember_recent(gone)
    (text, enabled, tip), *_ = recent_actions(window)
    assert "weir-street.framer" in text
    assert not enabled
    assert tip == f"it is not there any more: {gone}"


def test_saving_under_a_name_makes_it_recent_and_the_list_can_be_forgotten(
    corner: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "kept.framer"), "")
    )
    run(corner, "save_as")
    assert settings.recent()[0] == tmp_path / "kept.framer"
    recent_actions(corner)
    forget = next(
        one for one in corner.commands.submenus["recent"].actions() if "Forget" in one.text()
    )
    forget.trigger()
    assert settings.recent() == []


def test_only_the_latest_few_are_kept_and_none_twice(tmp_path: Path) -> None:
    for number in (*range(12), 11):
        settings.remember_recent(tmp_path / f"{number}.framer")
    names = [path.stem for path in settings.recent()]
    assert names == ["11", "10", "9", "8", "7", "6", "5", "4"]


# --- what is remembered ---


def test_the_size_is_as_it_was_left(window: Window, another: Callable[[], Window]) -> None:
    window.resize(700, 500)
    window.close()
    later = another()
    assert (later.width(), later.height()) == (700, 500)


def side_split(window: Window) -> QSplitter:
    found = table_of(window).findChild(QSplitter, "beside the sheet")
    assert isinstance(found, QSplitter)
    return found


def test_splitter_and_switches_are_as_they_were_left(
    corner: Window, corner_path: Path, another: Callable[[], Window]
) -> None:
    split = side_split(corner)
    whole = sum(split.sizes())
    split.setSizes([whole - 400, 400])
    assert split.sizes()[1] == pytest.approx(400, abs=4)
    assert corner.next_step.isVisible()
    run(corner, "next_step")
    assert not corner.next_step.isVisible()
    corner.close()
    later = another()
    later.resize(1280, 800)
    later.filing.open_path(corner_path)
    split = side_split(later)
    assert split.sizes()[1] == pytest.approx(400, abs=4)
    assert not later.next_step.isVisible()
    assert not later.commands.is_on("next_step")


def test_metres_are_a_step_of_the_job_and_the_next_new_job_has_them_too(
    corner: Window, another: Callable[[], Window]
) -> None:
    before = bridge_of(corner).job
    run(corner, "metric")
    assert bridge_of(corner).job.settings.units == "metric"
    bridge_of(corner).select("line-arm")
    assert table_of(corner).thing.on_pole.above_ground.text().endswith(" m")
    assert bridge_of(corner).session.undo_name == "write lengths in metres"
    shown = [text for text, _ in texts(corner)]
    assert "4.00 m" in shown
    assert not [text for text in shown if re.search(r"\d (ft|in)\b", text)]
    bridge_of(corner).select("pole-new")
    captions = [one.text() for one in corner.findChildren(QLabel) if "rake in" in one.text()]
    assert captions == ["rake in 3.048 m"]
    run(corner, "undo")
    assert bridge_of(corner).job is before
    assert not corner.commands.is_on("metric")
    run(corner, "redo")
    assert corner.commands.is_on("metric")
    later = another()
    run(later, "new")
    assert bridge_of(later).job.settings == Settings(units="metric")
    assert later.commands.is_on("metric")


def test_settings_are_in_a_file_of_their_own_that_need_not_be_sound(
    window: Window, another: Callable[[], Window]
) -> None:
    window.close()
    path = settings.settings_path()
    assert path.is_file()
    assert path.is_relative_to(os.environ["XDG_CONFIG_HOME"])
    path.write_bytes(b"\xff\x00[[[ not an ini file\nrecent=@Variant(\x00\x00\x7f")
    later = another()
    assert later.isVisible()
    assert isinstance(settings.recent(), list)


# --- several windows ---


def test_a_new_window_stands_aside_and_goes_when_it_is_closed(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = start.open_window(None)
    qtbot.addWidget(first)
    run(first, "new_window")
    (second,) = start._further
    assert second.isVisible()
    assert (second.x() - first.x(), second.y() - first.y()) == (28, 28)
    second.close()
    assert start._further == []


def test_a_job_opens_in_a_new_window_and_leaves_this_one_alone(
    qtbot: QtBot, corner_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = start.open_window(SAMPLES / "tangent")
    qtbot.addWidget(first)
    qtbot.waitUntil(lambda: first.bridge is not None)
    job = bridge_of(first).job
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(corner_path), ""))
    run(first, "open_window")
    (second,) = start._further
    qtbot.waitUntil(lambda: second.bridge is not None)
    assert bridge_of(second).session.path == corner_path
    assert bridge_of(first).job is job
    # the same job once more: the second window for it says so
    run(first, "open_window")
    third = start._further[1]
    qtbot.waitUntil(lambda: third.bridge is not None)
    assert "is open in another window too" in third.notice.text()
    assert third.notice.isVisible()
    for window in (second, third, first):
        window.close()
    assert start._further == []


def test_quit_closes_every_window_unless_one_has_something_to_keep(
    qtbot: QtBot, another: Callable[[], Window]
) -> None:
    first, second = another(), another()
    second.filing.may_leave = lambda: False  # type: ignore[method-assign]
    run(first, "quit")
    assert second.isVisible()
    second.filing.may_leave = lambda: True  # type: ignore[method-assign]
    first.show()
    run(second, "quit")
    assert not first.isVisible()
    assert not second.isVisible()


# --- the tool bar ---


def tools(window: Window) -> dict[str, QToolButton]:
    buttons = window.commands.tools.findChildren(QToolButton)
    return {one.text(): one for one in buttons if one.text()}


def test_the_tool_bar_has_few_words_and_each_is_a_command(corner: Window) -> None:
    shown = tools(corner)
    assert {"Undo", "Redo", "Fit", "Look...", "Print Preview"} <= set(shown)
    assert len(shown) <= 8
    drag(corner, "line-arm", 0.0, -30.0)
    assert shown["Undo"].text() == "Undo"  # the whole name is in the menu and the tool tip
    before = bridge_of(corner).job
    QTest.mouseClick(shown["Undo"], Qt.MouseButton.LeftButton)
    assert bridge_of(corner).job is not before
    looks = [one.text() for one in shown["Look..."].menu().actions()]
    assert looks[0] == "Look North"
    assert len(looks) == 8


def test_a_tool_that_is_disabled_says_why(corner: Window) -> None:
    undo = tools(corner)["Undo"]
    assert not undo.isEnabled()
    assert undo.toolTip() == "nothing has been done yet"
    drag(corner, "line-arm", 0.0, -30.0)
    assert undo.isEnabled()
    assert "move Line arm" in undo.toolTip()


def test_tools_are_reached_by_tab_show_the_focus_and_have_names(corner: Window) -> None:
    for text, button in tools(corner).items():
        assert button.focusPolicy() == Qt.FocusPolicy.TabFocus
        assert button.accessibleName() == text.rstrip(".")
    fit = tools(corner)["Fit"]
    plain = fit.grab().toImage()
    table_of(corner).board.view.setFocus()
    for _ in range(120):
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        if fit.hasFocus():
            break
    assert fit.hasFocus()
    assert fit.grab().toImage() != plain
    table_of(corner).board.zoom(2.0)
    zoomed = table_of(corner).board.px_per_in
    QTest.keyClick(fit, Qt.Key.Key_Space)
    assert table_of(corner).board.px_per_in < zoomed


def test_the_whole_window_is_walked_through_by_tab(corner: Window) -> None:
    """Tab comes to the sheet, the list, the tools and the entries, and back to where it began."""
    bridge_of(corner).select("pole-new")
    board = table_of(corner).board.view
    board.setFocus()
    seen = []
    for _ in range(120):
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        at = QApplication.focusWidget()
        if at in seen:
            break
        seen.append(at)
    assert board in seen
    assert tools(corner)["Fit"] in seen
    assert table_of(corner).findings.list in seen
    for entry in table_of(corner).thing.pole.entries():
        assert entry in seen


# --- what to do next ---


def test_a_new_job_is_told_what_to_do_and_the_line_follows_the_job(window: Window) -> None:
    assert not window.next_step.isVisible()
    run(window, "new")
    assert window.next_step.isVisible()
    assert window.next_step.text().startswith("2. Tell which lines leave here")
    run(window, "delete")
    assert window.next_step.text().startswith("1. Put a pole in")
    run(window, "undo")
    assert window.next_step.text().startswith("2. Tell which lines leave here")


def test_the_line_of_a_job_with_short_gaps_counts_them(corner: Window) -> None:
    short = bridge_of(corner).session.findings("framed").counts["short"]
    assert f"{short} gaps are short" in corner.next_step.text()


# --- help ---


def test_help_opens_beside_the_work_and_has_the_tour(window: Window) -> None:
    run(window, "help")
    page = window.dialogs["help"]
    assert isinstance(page, Help)
    assert page.isVisible()
    assert not page.isModal()
    text = page.page.toPlainText()
    assert "A tour in five minutes" in text
    assert "Put a pole in." in text
    assert page.page.verticalScrollBar().value() == 0
    run(window, "keys")
    assert page.page.cursorForPosition(page.page.rect().topLeft()).block().text() == KEYS_HEADING


def test_the_table_of_keys_has_every_command_as_the_menus_have_it(window: Window) -> None:
    run(window, "keys")
    page = window.dialogs["help"]
    assert isinstance(page, Help)
    text = page.page.toPlainText()
    for _, commands in MENUS:
        for command in commands:
            if command is None:
                continue
            assert command.words.replace("&", "") in text
            keys = window.commands.by_name[command.name].shortcuts()
            if keys:
                native = keys[0].toString(QKeySequence.SequenceFormat.NativeText)
                assert native in text


def test_no_two_commands_have_the_same_keys(window: Window) -> None:
    seen: dict[str, str] = {}
    for name, action in window.commands.by_name.items():
        for keys in action.shortcuts():
            other = seen.setdefault(keys.toString(), name)
            assert other == name, f"{keys.toString()}: {other} and {name}"


# --- print preview ---


def test_the_preview_stays_beside_the_work_and_shows_the_sheet_as_it_was_looked_at(
    corner: Window,
) -> None:
    run(corner, "look_south")
    run(corner, "print_preview")
    shown = corner.dialogs["print_preview"]
    assert isinstance(shown, PrintPreview)
    assert shown.isVisible()
    assert not shown.isModal()
    words = [getattr(one, "text", "") for one in shown.sheet.picture.primitives]
    assert "AS FRAMED, looking south" in words
    shown.close()
    QApplication.sendPostedEvents(None, 52)  # deferred deletes
    assert "print_preview" not in corner.dialogs


def test_the_drill_sheet_of_the_pole_in_hand_is_shown_on_the_screen(corner: Window) -> None:
    run(corner, "preview_drill")
    shown = corner.dialogs["print_preview"]
    assert isinstance(shown, PrintPreview)
    words = [getattr(one, "text", "") for one in shown.sheet.picture.primitives]
    # the rows of the new pole: butt and top add up to its length
    assert {"Line arm", "49 ft", "1 ft", "50 ft = length"} <= set(words)
    shown.close()


def test_the_sheet_is_painted_at_true_scale() -> None:
    """The frame of the sheet lies its margin from the edge of the paper, measured in the image."""
    sheet = Session.open(SAMPLES / "corner" / "alder-lane.framer").sheet()
    per_inch = 100.0
    image = QImage(
        round(sheet.paper.width * per_inch),
        round(sheet.paper.height * per_inch),
        QImage.Format.Format_RGB32,
    )
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    paint_sheet(painter, sheet, per_inch)
    painter.end()

    def dark(x: int, y: int) -> bool:
        return QColor(image.pixel(x, y)).lightness() < 160

    middle = image.height() // 2
    left = next(x for x in range(image.width()) if dark(x, middle))
    right = next(x for x in range(image.width() - 1, 0, -1) if dark(x, middle))
    assert left == pytest.approx(MARGIN * per_inch, abs=1.5)
    assert right == pytest.approx((sheet.paper.width - MARGIN) * per_inch, abs=1.5)
    column = image.width() // 4
    top = next(y for y in range(image.height()) if dark(column, y))
    bottom = next(y for y in range(image.height() - 1, 0, -1) if dark(column, y))
    assert top == pytest.approx(MARGIN * per_inch, abs=1.5)
    assert bottom == pytest.approx((sheet.paper.height - MARGIN) * per_inch, abs=1.5)


def test_what_is_printed_has_the_paper_of_the_sheet_and_its_words(
    qapp: QApplication, tmp_path: Path, needs_program: Callable[[str], str]
) -> None:
    sheet = Session.open(SAMPLES / "corner" / "alder-lane.framer").sheet()
    printer = printer_for(sheet)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    path = tmp_path / "printed.pdf"
    printer.setOutputFileName(str(path))
    preview = PrintPreview(sheet)
    preview.paint_pages(printer)
    preview.deleteLater()
    told = subprocess.run(
        [needs_program("pdfinfo"), str(path)], capture_output=True, text=True, check=True
    ).stdout
    # tabloid is 17 by 11 in, 72 points an inch
    assert "1224 x 792 pts" in told
    text = subprocess.run(
        [needs_program("pdftotext"), str(path), "-"], capture_output=True, text=True, check=True
    ).stdout
    assert "Alder Lane at Mill Road" in text
    assert "Drawing aid only" in text


# --- screens ---

SCALED = """
import sys
from pathlib import Path
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from framer.desk.start import open_window

application = QApplication([])
window = open_window(Path(sys.argv[1]))
window.resize(1280, 800)
while window.table is None:
    QTest.qWait(20)
picture = window.grab()
print(picture.width(), picture.height(), picture.devicePixelRatio())
window.close()
"""


def test_on_a_screen_of_twice_the_pixels_the_window_is_twice_as_fine(corner_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", SCALED, str(corner_path)],
        cwd=ROOT,
        env={**os.environ, "QT_SCALE_FACTOR": "2"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split() == ["2560", "1600", "2.0"]


def test_what_was_done_is_said_in_a_line(corner: Window) -> None:
    drag(corner, "line-arm", 0.0, -30.0)
    run(corner, "undo")
    assert said(corner) == "taken back: move Line arm"


def test_at_first_the_window_is_no_larger_than_the_screen(another: Callable[[], Window]) -> None:
    first = another()
    room = first.screen().availableSize()
    assert first.height() < room.height()  # its title bar stands above it
    assert first.width() == min(1280, room.width())
