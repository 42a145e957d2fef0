"""The choice of loading, method and grade: each a step, and findings follow it."""

from __future__ import annotations

import pytest
from PySide6.QtTest import QTest

from framer.desk.strength_choice import StrengthChoice
from framer.desk.window import Window
from tests.desk.driving import bridge_of


@pytest.fixture
def choice(corner: Window) -> StrengthChoice:
    corner.commands.by_name["strength"].trigger()
    made = corner.dialogs["strength"]
    assert isinstance(made, StrengthChoice)
    QTest.qWaitForWindowExposed(made)
    return made


def picked(choice: StrengthChoice, name: str, words: str) -> None:
    """Choose as with the keyboard: the row with these words, then activate it."""
    box = getattr(choice, name)
    row = box.findText(words)
    assert row >= 0, f"no '{words}' to choose"
    box.setCurrentIndex(row)
    box.activated.emit(row)


def judged(window: Window) -> set[str]:
    found = bridge_of(window).session.findings("framed")
    return {one.rule.id for one in found if one.rule.id.startswith("strength.")}


def test_nothing_is_judged_until_all_is_chosen_and_every_choice_can_be_taken_back(
    corner: Window, choice: StrengthChoice
) -> None:
    assert "no loading district chosen" in choice.note.text()
    assert not choice.grade.isEnabled()
    picked(choice, "loading", "NESC heavy")
    assert bridge_of(corner).job.settings.loading == "nesc-heavy"
    assert "no strength method chosen" in choice.note.text()
    assert judged(corner) == set()
    picked(choice, "method", "NESC 2017, load and strength factors")
    picked(choice, "grade", "C")
    assert "not judged" not in choice.note.text()
    assert "from memory" in choice.note.text()
    assert "strength.pole.nesc-heavy" in judged(corner)
    bridge_of(corner).undo()
    assert choice.grade.currentText() == "none chosen"
    bridge_of(corner).undo()
    bridge_of(corner).undo()
    assert bridge_of(corner).job.settings.loading == ""
    assert judged(corner) == set()


def test_a_grade_goes_with_its_method(corner: Window, choice: StrengthChoice) -> None:
    picked(choice, "method", "GO 95, safety factors")
    picked(choice, "grade", "A")
    picked(choice, "method", "NESC 2017, load and strength factors")
    assert bridge_of(corner).job.settings.strength_grade == ""
    assert choice.grade.findText("A") == -1
