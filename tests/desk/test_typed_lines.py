"""Typed lines of the material list, on screen."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from framer.desk.dialogs.typed_lines import TypedLines
from framer.desk.window import Window
from framer.model.job import Listed
from framer.takeoff.listing import material_list
from tests.desk.driving import bridge_of


@pytest.fixture
def lines(corner: Window) -> TypedLines:
    corner.commands.by_name["typed_lines"].trigger()
    made = corner.dialogs["typed_lines"]
    assert isinstance(made, TypedLines)
    QTest.qWaitForWindowExposed(made)
    return made


def typed(dialog: TypedLines, at: int, column: str, text: str) -> None:
    titles = [one.title for one in dialog.rows.columns]
    cell = dialog.rows.item(at, titles.index(column))
    assert cell is not None
    cell.setText(text)


def press(button: object) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)  # type: ignore[call-overload]


def test_a_line_is_added_typed_and_taken_off_step_by_step(
    corner: Window, lines: TypedLines
) -> None:
    bridge = bridge_of(corner)
    before = bridge.job
    press(lines.add)
    typed(lines, 0, "What", "pole tag, number 7-31")
    typed(lines, 0, "How many", "2")
    typed(lines, 0, "What becomes of it", "Install")
    typed(lines, 0, "Who pays", "Tarrow Telephone")
    typed(lines, 0, "Why", "street side")
    wanted = Listed(
        "pole tag, number 7-31", 2.0, "ea", "install", "street side", "Tarrow Telephone"
    )
    assert bridge.job.listed == (wanted,)
    (line,) = (one for one in material_list(bridge.job).lines if one.name == wanted.name)
    assert dict(line.amounts) == {"install": 2.0}
    assert line.pays == "Tarrow Telephone"
    lines.rows.setCurrentCell(0, 0)
    press(lines.remove)
    assert bridge.job.listed == ()
    assert "undo brings it back" in lines.message.text()
    bridge.undo()
    assert bridge.job.listed == (wanted,)
    while bridge.session.undo_name:
        bridge.undo()
    assert bridge.job == before


@pytest.mark.parametrize(
    ("column", "text", "words"),
    [
        ("How many", "some", "'some' is no number"),
        ("How many", "-3", "cannot be so"),
        ("What becomes of it", "burn", "none of install, remove, stays, by others, temporary"),
        ("What", "", "cannot be so"),
    ],
)
def test_what_a_line_cannot_be_is_said_and_changes_nothing(
    corner: Window, lines: TypedLines, column: str, text: str, words: str
) -> None:
    press(lines.add)
    before = bridge_of(corner).job
    typed(lines, 0, column, text)
    assert words in lines.message.text()
    assert bridge_of(corner).job is before


def test_what_the_list_asks_for_is_answered_by_a_line_of_that_name(
    corner: Window, lines: TypedLines
) -> None:
    asked = [lines.asks.item(at).text() for at in range(lines.asks.count())]
    at = next(at for at, words in enumerate(asked) if words.startswith("pole tag and signs"))
    lines.asks.setCurrentRow(at)
    press(lines.answer)
    (line,) = bridge_of(corner).job.listed
    assert line.name == "pole tag and signs"
    left = [lines.asks.item(at).text() for at in range(lines.asks.count())]
    assert not any(words.startswith("pole tag and signs") for words in left)
