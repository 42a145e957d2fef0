"""Loading, method and what is typed of strength: each a step, and findings follow it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from framer.desk.dialogs.strength_choice import StrengthChoice
from framer.desk.window import Window
from framer.edits.places import with_thing
from framer.edits.strength import guyed
from tests.desk.driving import SAMPLES, bridge_of


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


def typed(choice: StrengthChoice, name: str, text: str) -> None:
    """Type over an entry, with Enter."""
    entry = choice.entries[name]
    entry.setFocus()
    entry.selectAll()
    QTest.keyClicks(entry, text)
    QTest.keyClick(entry, Qt.Key.Key_Return)
    assert choice.isVisible()


def typed_over(choice: StrengthChoice, table: str, row: int, column: int, text: str) -> None:
    """Type over a cell of a table."""
    cell = choice.tables[table].item(row, column)
    assert cell is not None
    assert cell.flags() & Qt.ItemFlag.ItemIsEditable
    cell.setText(text)


def test_ice_wind_and_temperature_are_typed_where_the_district_is_typed(
    corner: Window, choice: StrengthChoice
) -> None:
    assert not choice.entries["typed_ice_in"].isEnabled()
    picked(choice, "loading", "NESC heavy")
    assert choice.entries["typed_ice_in"].placeholderText() == "0.5"
    picked(choice, "loading", "typed below")
    typed(choice, "typed_ice_in", "0.25")
    typed(choice, "typed_wind_psf", "6 psf")
    typed(choice, "typed_temp_f", "-10 C")
    settings = bridge_of(corner).job.settings
    assert (settings.typed_ice_in, settings.typed_wind_psf, settings.typed_temp_f) == (0.25, 6, 14)
    typed(choice, "typed_wind_psf", "201")
    assert "at most 200" in choice.problem.text()
    assert bridge_of(corner).job.settings == settings
    typed(choice, "typed_wind_psf", "six")
    assert "is no number" in choice.problem.text()
    assert bridge_of(corner).job.settings == settings
    bridge_of(corner).undo()
    assert bridge_of(corner).job.settings.typed_temp_f is None


def test_factors_are_typed_where_the_method_is_typed(
    corner: Window, choice: StrengthChoice
) -> None:
    picked(choice, "loading", "NESC heavy")
    picked(choice, "method", "NESC 2017, load and strength factors")
    picked(choice, "grade", "B")
    assert not choice.entries["typed_wind_factor"].isEnabled()
    assert choice.entries["typed_wind_factor"].placeholderText() == "2.5"
    picked(choice, "method", "Typed factors")
    assert not choice.grade.isEnabled()
    for name in ("wind_factor", "tension_factor", "weight_factor"):
        typed(choice, f"typed_{name}", "1.5")
    pole = [one for one in bridge_of(corner).session.findings("framed")
            if one.rule.id == "strength.pole.nesc-heavy"]  # fmt: skip
    assert "share of the strength of wood not typed" in {one.missing for one in pole}
    typed(choice, "typed_wood_share", "0.5")
    typed(choice, "person_lbf", "250 lb")
    assert bridge_of(corner).job.settings.typed_wood_share == 0.5
    assert bridge_of(corner).job.settings.person_lbf == 250.0
    assert "As framed: " in choice.note.text()


def test_extreme_wind_may_press_by_height(corner: Window, choice: StrengthChoice) -> None:
    assert not choice.gusts.isEnabled()
    typed(choice, "extreme_wind_mph", "90")
    picked(choice, "gusts", "by height and gust (NESC)")
    assert bridge_of(corner).job.settings.extreme_wind_by == "height and gust"


def test_tensions_girths_and_ratings_are_typed_into_tables(
    corner: Window, choice: StrengthChoice
) -> None:
    bridge = bridge_of(corner)
    wires, poles = choice.tables["Wires"], choice.tables["Poles"]
    typed_over(choice, "Wires", 0, 2, "1,250 lbf")
    typed_over(choice, "Wires", 0, 3, "2.5 kN")
    wire = bridge.job.wire_by_id[wires.keys[0]]
    assert wire.tension_lbf == 1_250.0
    assert wire.loaded_tension_lbf == pytest.approx(562.02, abs=0.01)
    typed_over(choice, "Poles", 0, 3, "2 ft 9 in")
    assert [one.value_in for one in bridge.job.girths(poles.keys[0], "sound girth")] == [33.0]
    typed_over(choice, "Poles", 0, 3, "")
    assert bridge.job.girths(poles.keys[0], "sound girth") == ()
    things = choice.tables["Insulators and Weights"]
    kinds = [bridge.job.item_by_id[key].kind for key in things.keys]
    typed_over(choice, "Insulators and Weights", kinds.index("insulator"), 3, "2800")
    assert bridge.job.item_by_id[things.keys[kinds.index("insulator")]].rated_lbf == 2_800.0
    typed_over(choice, "Insulators and Weights", kinds.index("arm"), 3, "2800")
    assert "only insulators" in choice.problem.text()
    typed_over(choice, "Wires", 0, 2, "-5")
    assert "more than 0" in choice.problem.text()
    assert bridge.job.wire_by_id[wires.keys[0]].tension_lbf == 1_250.0


def test_anchor_rod_strand_and_lead_of_a_guy_are_typed_and_it_stays_where_it_is(
    window: Window,
) -> None:
    window.filing.open_path(SAMPLES / "dead-end" / "quarry-lane.framer")
    window.commands.by_name["strength"].trigger()
    choice = window.dialogs["strength"]
    assert isinstance(choice, StrengthChoice)
    bridge = bridge_of(window)
    keys = choice.tables["Guys"].keys
    row = keys.index("guy-primary")
    before = bridge.job.item_by_id["guy-primary"]
    typed_over(choice, "Guys", row, 1, "7/16 ehs")
    typed_over(choice, "Guys", row, 2, "22 ft")
    typed_over(choice, "Guys", row, 3, "20,000")
    typed_over(choice, "Guys", row, 4, "3/4 in")
    after = bridge.job.item_by_id["guy-primary"]
    where = guyed(after)
    assert where is not None
    assert (where.lead_in, where.anchor_lbf, where.rod_dia_in) == (264.0, 20_000.0, 0.75)
    assert "7/16" in choice.tables["Guys"].item(row, 1).text()
    assert [one.when for one in after.places] == [one.when for one in before.places]
    typed_over(choice, "Guys", row, 1, "ehs")
    assert "could be" in choice.problem.text()
    typed_over(choice, "Guys", row, 2, "")
    assert "a guy has a lead" in choice.problem.text()


def test_the_size_of_a_wire_that_has_none_is_typed(corner: Window, choice: StrengthChoice) -> None:
    bridge = bridge_of(corner)
    wires = choice.tables["Wires"]
    row = next(at for at, key in enumerate(wires.keys) if bridge.job.wire_by_id[key].part)
    key = wires.keys[row]
    bare = replace(bridge.job.wire_by_id[key], part=None)
    bridge.do("forget its size", lambda job: with_thing(job, bare))
    assert wires.item(row, 1).text() == "not known"
    typed_over(choice, "Wires", row, 1, "acsr 1/0 raven")
    assert bridge.job.wire_by_id[key] == replace(bare, part="acsr-raven-1-0")
    assert "Raven" in wires.item(row, 1).text()
    typed_over(choice, "Wires", row, 1, "acsr 2")
    assert "'acsr 2' could be: " in choice.problem.text()
    typed_over(choice, "Wires", row, 1, "rope")
    assert "there is no wire 'rope' in stock" in choice.problem.text()
    assert bridge.job.wire_by_id[key].part == "acsr-raven-1-0"
    bridge.undo()
    assert bridge.job.wire_by_id[key] == bare


def test_the_sag_table_shows_every_state_and_what_the_wind_does(window: Window) -> None:
    window.filing.open_path(SAMPLES / "dead-end" / "quarry-lane.framer")
    window.commands.by_name["strength"].trigger()
    choice = window.dialogs["strength"]
    assert isinstance(choice, StrengthChoice)

    def states() -> dict[str, list[str]]:
        table = choice.sags
        rows = [[cell.text() if (cell := table.item(row, at)) else "" for at in range(8)]
                for row in range(table.rowCount())]  # fmt: skip
        return {row[1]: row for row in rows if row[0].startswith("A of")}

    assert list(states()) == ["as known"]
    picked(choice, "loading", "NESC heavy")
    typed(choice, "hot_temp_f", "120")
    typed(choice, "cold_temp_f", "0")
    assert list(states()) == ["as known", "cold", "hot", "under NESC heavy"]
    assert states()["under NESC heavy"][3:7] == ["3,479", "3,483", "2 ft 6 in", "1 ft 2 1/2 in"]
    assert states()["hot"][6] == ""
    picked(choice, "sag_from", "reckoned from its tension")
    assert bridge_of(window).job.settings.sag_from == "computed"


def test_what_numbers_rest_on_stands_under_the_page_in_sight(choice: StrengthChoice) -> None:
    assert "errs towards danger" in choice.note.text()
    choice.tabs.setCurrentWidget(choice.sags)
    assert "One elastic metal: creep" in choice.note.text()
    assert "a published sag sheet prints an average" in choice.note.text()
    choice.tabs.setCurrentIndex(0)
    assert "no loading district chosen" in choice.note.text()
