"""What the transfer rests on in tables, and the boom of a step: every entry one undo step."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox

from framer.desk.dialogs.rows import Rows
from framer.desk.dialogs.transfer_tables import (
    TransferTables,
    read_altitude,
    read_number,
    support_keys,
)
from framer.desk.window import Window
from framer.edits.transfer import set_crew
from framer.errors import EditError
from framer.model.item import Rating
from framer.model.job import Job
from framer.model.step import Boom, Hold
from tests.desk.driving import SAMPLES, bridge_of, enter, table_of
from tests.desk.test_line_tables import shown, typed


@pytest.fixture
def window_of_transfer(window: Window, tmp_path: Path) -> Window:
    path = tmp_path / "transfer.framer"
    path.write_bytes((SAMPLES / "corner-transfer" / "alder-lane-transfer.framer").read_bytes())
    window.filing.open_path(path)
    return window


@pytest.fixture
def facts(window_of_transfer: Window) -> TransferTables:
    """The dialog, opened from the menu."""
    window_of_transfer.commands.by_name["transfer_facts"].trigger()
    dialog = window_of_transfer.dialogs["transfer_facts"]
    assert isinstance(dialog, TransferTables)
    return dialog


def front(facts: TransferTables, name: str) -> Rows:
    names = [facts.tabs.tabText(at) for at in range(facts.tabs.count())]
    facts.tabs.setCurrentIndex(names.index(name))
    return facts.tables[name]


def job(facts: TransferTables) -> Job:
    return facts.bridge.job


def test_every_supply_circuit_has_a_row_and_who_asked_is_typed_over(facts: TransferTables) -> None:
    rows = front(facts, "Holds")
    assert [shown(rows, row, "Circuit") for row in range(rows.rowCount())] == ["Mill 3", "Ridge 2"]
    typed(rows, 0, "Asked by", "B. Hale")
    assert job(facts).holds[0].asked_by == "B. Hale"
    typed(rows, 0, "Asked by", "")
    assert job(facts).holds[0].asked_by == ""
    facts.bridge.undo()
    facts.bridge.undo()
    assert not facts.bridge.session.is_changed


def test_what_is_arranged_is_chosen_from_a_list(facts: TransferTables) -> None:
    rows = front(facts, "Holds")
    rows.setCurrentCell(1, 3)
    QTest.keyClick(rows, Qt.Key.Key_F2)
    (box,) = rows.findChildren(QComboBox)
    assert [box.itemText(at) for at in range(box.count())][-1] == "fuse only, no hold"
    box.setCurrentIndex(box.count() - 1)
    box.activated.emit(box.count() - 1)
    QApplication.processEvents()
    assert job(facts).holds[1].kind == "fuse only"
    assert shown(rows, 1, "Arranged") == "fuse only, no hold"


def test_a_circuit_without_a_hold_gets_one_by_typing_its_device(facts: TransferTables) -> None:
    rows = front(facts, "Holds")
    rows.setCurrentCell(1, 0)
    facts.remove_hold.click()
    assert [one.circuit for one in job(facts).holds] == ["main"]
    rows.setCurrentCell(1, 0)
    assert not facts.remove_hold.isEnabled()
    typed(rows, 1, "Device", "recloser R9")
    assert job(facts).holds[1] == Hold("ridge", device="recloser R9")
    rows.setCurrentCell(1, 0)
    facts.add_hold.click()
    assert [one.circuit for one in job(facts).holds] == ["main", "ridge", "ridge"]


def test_a_limit_between_steps_comes_with_its_typed_distance(facts: TransferTables) -> None:
    front(facts, "Limits")
    before = len(job(facts).limits_between)
    facts.other.setCurrentText("case")
    facts.other.activated.emit(facts.other.currentIndex())
    enter(facts.keep, "1 ft 9 in")
    made = job(facts).limits_between[-1]
    assert (made.a, made.b, made.keep_in) == ("phase", "case", 21.0)
    assert facts.keep.text() == ""
    rows = facts.tables["Limits"]
    typed(rows, before, "Keep", "2 ft")
    assert job(facts).limits_between[-1].keep_in == 24.0
    typed(rows, before, "Keep", "0")
    assert job(facts).limits_between[-1].keep_in == 24.0
    assert "above 0" in facts.message.text()
    rows.setCurrentCell(before, 0)
    facts.remove_limit.click()
    assert len(job(facts).limits_between) == before


def test_ratings_ties_tails_and_proofs_are_typed(facts: TransferTables) -> None:
    supports = front(facts, "Supports")
    assert support_keys(job(facts))[0].startswith("lift")
    typed(supports, 0, "Rated for weight, lbf", "125 lbf")
    lift = support_keys(job(facts))[0]
    assert job(facts).item_by_id[lift].rating == Rating(125.0, 500.0)
    typed(supports, 0, "Rated for weight, lbf", "a lot")
    assert "no number" in facts.message.text()
    jumpers = front(facts, "Jumpers")
    typed(jumpers, 0, "Free tail", "2.2 ft")
    typed(jumpers, 0, "Phases proved by", "Ben, by voltmeter")
    join = next(one for one in job(facts).joins if one.id == jumpers.keys[0])
    assert (join.tail_in, join.phases_proved) == (pytest.approx(26.4), "Ben, by voltmeter")


def test_limits_of_the_crew_and_the_site_are_typed(facts: TransferTables) -> None:
    rows = front(facts, "Crew and site")
    at = {shown(rows, row, "What"): row for row in range(rows.rowCount())}
    typed(rows, at["Diameter of the auger"], "Value", "18 in")
    typed(rows, at["Undisturbed soil left beside a pole"], "Value", "")
    typed(rows, at["Site above sea level"], "Value", "5200 ft")
    typed(rows, at["One person lifts at most"], "Value", "45")
    made = job(facts).settings
    assert (made.auger_in, made.soil_in, made.one_person_lb) == (18.0, None, 45.0)
    assert made.altitude_m == pytest.approx(1585.0, abs=0.5)
    typed(rows, at["Site above sea level"], "Value", "5200")
    assert "5200 ft or 1585 m" in facts.message.text()


@pytest.mark.parametrize(("text", "value"), [("", None), ("1,250 lb", 1250.0), (".5", 0.5)])
def test_numbers_are_read_with_or_without_their_unit(text: str, value: float | None) -> None:
    assert read_number(text, "lb") == value


def test_what_is_no_number_or_height_is_refused() -> None:
    for text in ("-3", "3 kg", "many"):
        with pytest.raises(EditError):
            read_number(text, "lb")
    for text in ("900", "high"):
        with pytest.raises(EditError):
            read_altitude(text)
    assert read_altitude("") is None


def test_the_boom_of_a_step_is_put_in_typed_and_taken_out(window_of_transfer: Window) -> None:
    window = window_of_transfer
    window.commands.by_name["steps"].trigger()
    panel = table_of(window).steps
    panel.choose(13)
    cells = panel.boom
    assert cells.put_in.text() == "Put a Boom in"
    assert not cells.east.isVisible()
    cells.put_in.click()
    assert cells.east.isVisible()
    enter(cells.east, "-20 ft")
    enter(cells.reach, "30 ft")
    cells.lifts.setText("2500")
    cells.lifts.setModified(True)
    cells.lifts.editingFinished.emit()
    made = bridge_of(window).job.steps[12].boom
    assert made is not None
    assert (made.east_in, made.reach_in, made.lift_lb) == (-240.0, 360.0, 2500.0)
    assert cells.inside.text() == "Inside its circle: Mill 3, Ridge 2"
    cells.put_in.click()
    assert bridge_of(window).job.steps[12].boom is None


def test_the_side_a_sawn_top_comes_down_on_is_chosen_at_its_step(
    window_of_transfer: Window,
) -> None:
    window = window_of_transfer
    window.commands.by_name["steps"].trigger()
    panel = table_of(window).steps
    panel.choose(13)
    assert not panel.boom.drop.isVisible()
    panel.choose(32)
    assert panel.boom.drop.currentText() == "east"
    panel.boom.drop.setCurrentText("south")
    panel.boom.drop.activated.emit(panel.boom.drop.currentIndex())
    assert bridge_of(window).job.steps[31].drop_deg == 180.0
    assert bridge_of(window).job.steps[31].boom == Boom(180.0, 0.0, 360.0, 3000.0)


def test_the_second_language_of_the_brief_is_chosen_and_taken_back(facts: TransferTables) -> None:
    front(facts, "Crew and site")
    assert facts.language.currentText() == "no other language"
    facts.language.setFocus()
    QTest.keyClick(facts.language, Qt.Key.Key_Down)
    assert facts.language.currentText() == "Español"
    assert job(facts).settings.crew_language == "es"
    facts.bridge.undo()
    assert job(facts).settings.crew_language == ""
    assert facts.language.currentText() == "no other language"


def test_a_language_that_is_not_here_is_shown_by_its_name(facts: TransferTables) -> None:
    facts.bridge.do("from elsewhere", lambda made: set_crew(made, crew_language="tlh"))
    assert facts.language.currentText() == "tlh"
    QTest.keyClick(facts.language, Qt.Key.Key_Home)
    assert job(facts).settings.crew_language == ""
