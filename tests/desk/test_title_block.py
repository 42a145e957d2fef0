"""The words of the title block, typed in the window; and keys in menus, each of one command."""

from __future__ import annotations

import datetime
from collections import Counter

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest

from framer.desk.dialogs.print_preview import PrintPreview
from framer.desk.dialogs.title_block import TitleBlock, lacking
from framer.desk.window import Window
from framer.drawing.picture import Text
from framer.edits.title import set_title
from tests.desk.driving import board_of, bridge_of, press_menu


def asked_for(window: Window) -> TitleBlock:
    """The dialog, asked for with the mouse below the sheet."""
    QTest.mouseClick(board_of(window).title_line.title, Qt.MouseButton.LeftButton)
    shown = window.dialogs["title_block"]
    assert isinstance(shown, TitleBlock)
    assert shown.isVisible()
    return shown


def typed_in(shown: TitleBlock, field: str, text: str) -> None:
    shown.entries[field].selectAll()
    QTest.keyClicks(shown.entries[field], text)
    QTest.keyClick(shown.entries[field], Qt.Key.Key_Return)


def on_sheet(window: Window) -> str:
    texts = window.filing.sheet().picture.primitives
    return "\n".join(one.text for one in texts if isinstance(one, Text))


def test_who_drafted_it_and_when_are_typed_and_printed(corner: Window) -> None:
    bridge = bridge_of(corner)
    bridge.do("empty", lambda job: set_title(job, drafted_by="", date=""))
    assert "Drafted by ____, date ____" in on_sheet(corner)
    before = bridge.job
    shown = asked_for(corner)
    typed_in(shown, "drafted_by", "R. Fenwick")
    assert bridge.job.drafted_by == "R. Fenwick"
    assert bridge.session.undo_name == "title block, drafted by"
    QTest.mouseClick(shown.today, Qt.MouseButton.LeftButton)
    today = datetime.date.today().isoformat()
    assert shown.entries["date"].text() == today
    assert f"Drafted by R. Fenwick, {today}" in on_sheet(corner)
    bridge.undo()
    bridge.undo()
    assert bridge.job == before
    assert shown.entries["drafted_by"].text() == ""


def test_a_job_keeps_a_name(corner: Window) -> None:
    before = bridge_of(corner).job
    shown = asked_for(corner)
    shown.entries["name"].selectAll()
    QTest.keyClick(shown.entries["name"], Qt.Key.Key_Delete)
    QTest.keyClick(shown.entries["name"], Qt.Key.Key_Return)
    assert shown.message.text() == "Name of the job: a job has a name"
    assert shown.entries["name"].text() == before.name
    assert bridge_of(corner).job is before
    typed_in(shown, "name", "Pole 7")
    assert corner.windowTitle().startswith("Pole 7 (")
    assert board_of(corner).title_line.title.text().startswith("Pole 7")


def test_the_print_preview_says_where_what_is_open_is_typed(corner: Window) -> None:
    bridge = bridge_of(corner)
    bridge.do("empty", lambda job: set_title(job, drafted_by="", date="2026-04-30"))
    press_menu(corner, "print_preview")
    shown = corner.dialogs["print_preview"]
    assert isinstance(shown, PrintPreview)
    assert shown.windowTitle().endswith("; who drafted it is typed in Edit, Job Title Block")
    shown.close()
    bridge.undo()
    assert lacking(set_title(bridge.job, drafted_by="", date="")).startswith(
        "who drafted it and the date are typed in"
    )
    assert lacking(set_title(bridge.job, drafted_by="A", date="B")) == ""


@pytest.mark.parametrize("chosen", ["", "line-arm", "pole-new"])
def test_no_two_commands_of_a_menu_share_a_key(corner: Window, chosen: str) -> None:
    bridge_of(corner).do("a & b, and c", lambda job: set_title(job, place="Ash & Birch"))
    bridge_of(corner).select(chosen)
    menus = corner.commands.menus
    for actions in ([one.menuAction() for one in menus], *(one.actions() for one in menus)):
        keys = Counter(QKeySequence.mnemonic(one.text()).toString() for one in actions)
        del keys[""]
        assert keys
        assert [key for key, many in keys.items() if many > 1] == []
    undo = corner.commands.by_name["undo"]
    assert QKeySequence.mnemonic(undo.text()).toString() == "Alt+U"
    assert undo.text() == "&Undo a && b, and c"
