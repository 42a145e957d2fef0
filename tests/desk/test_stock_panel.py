"""Putting things in from stock, and taking things out."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QTest

from framer.desk.panels.stock_panel import StockPanel
from framer.desk.window import Window
from framer.edits.places import with_thing
from framer.model.item import Item
from framer.model.job import Job
from framer.model.place import OnArm, OnItem, OnPole, Standing
from framer.stock.catalogue import part
from framer.stock.part import ArmPart, InsulatorPart
from tests.desk.driving import board_of, bridge_of, click, place_of, said, table_of

CTRL = Qt.KeyboardModifier.ControlModifier


def stock_of(window: Window) -> StockPanel:
    """The stock, turned to as by its key."""
    window.commands.by_name["stock"].trigger()
    return table_of(window).stock


def find(stock: StockPanel, words: str) -> None:
    stock.search.clear()
    QTest.keyClicks(stock.search, words)


def rows(stock: StockPanel) -> list[str]:
    """Names of the parts that are shown."""
    model = stock.tree.model()
    return [
        str(model.index(row, 0, model.index(kind, 0)).data())
        for kind in range(model.rowCount())
        for row in range(model.rowCount(model.index(kind, 0)))
    ]


def test_the_search_finds_parts_that_hold_every_word(corner: Window) -> None:
    stock = stock_of(corner)
    assert stock.search.hasFocus()
    everything = rows(stock)
    find(stock, "10 FT wood arm")
    shown = rows(stock)
    assert shown
    assert len(shown) < len(everything)
    for name in shown:
        assert all(word in name.lower() for word in ("10", "ft", "wood", "arm"))
    find(stock, "no such thing")
    assert rows(stock) == []
    assert not stock.button.isEnabled()


def test_a_kind_is_found_by_its_name(corner: Window) -> None:
    stock = stock_of(corner)
    find(stock, "arrester")
    assert "Arrester, rated 18 kV" in rows(stock)


def test_an_arm_is_put_on_the_selected_pole_and_selected(corner: Window) -> None:
    bridge_of(corner).select("pole-new")
    stock = stock_of(corner)
    find(stock, "Wood arm 8 ft, 4 pins")
    assert stock.button.isEnabled()
    assert stock.button.text() == "Put on New pole"
    QTest.mouseClick(stock.button, Qt.MouseButton.LeftButton)
    key = bridge_of(corner).selected
    item = bridge_of(corner).job.item_by_id[key]
    assert (item.kind, item.part) == ("arm", "arm-8ft-4pin")
    where = place_of(corner, key)
    assert isinstance(where, OnPole)
    assert where.host == "pole-new"
    assert bridge_of(corner).session.undo_name == f"put {item.name} on New pole"


def test_insulators_go_on_the_free_pins_of_an_arm_by_enter(corner: Window) -> None:
    bridge_of(corner).select("line-arm")
    stock = stock_of(corner)
    free = set(part("arm-10ft-4pin", ArmPart).pins_in) - {-54.0, -18.0, 54.0}
    find(stock, "pin 25 kV")
    QTest.keyClick(stock.search, Qt.Key.Key_Return)
    where = place_of(corner, bridge_of(corner).selected)
    assert isinstance(where, OnArm)
    assert where.host == "line-arm"
    assert where.along_in in free


def test_a_brace_is_put_on_an_arm_by_a_double_click_in_the_list(corner: Window) -> None:
    bridge_of(corner).select("line-arm")
    stock = stock_of(corner)
    find(stock, "wood brace")
    index = stock.tree.currentIndex()
    spot = stock.tree.visualRect(index).center()
    left, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    QTest.mouseClick(stock.tree.viewport(), left, none, spot)
    QTest.mouseDClick(stock.tree.viewport(), left, none, spot)
    where = place_of(corner, bridge_of(corner).selected)
    assert isinstance(where, OnItem)
    assert where.host == "line-arm"


def test_down_goes_from_the_search_into_the_list_and_enter_puts_the_part(corner: Window) -> None:
    bridge_of(corner).select("pole-new")
    stock = stock_of(corner)
    find(stock, "clamp")
    QTest.keyClick(stock.search, Qt.Key.Key_Down)
    assert stock.tree.hasFocus()
    count = len(bridge_of(corner).job.items)
    QTest.keyClick(stock.tree, Qt.Key.Key_Return)
    assert len(bridge_of(corner).job.items) == count + 1


@pytest.mark.parametrize(
    ("selected", "words", "why"),
    [
        ("", "Wood arm 8 ft, 4 pins", "select first what it goes on"),
        ("pole-new", "wood brace", "a brace goes on an arm"),
        ("line-arm", "Wood arm 8 ft, 4 pins", "an arm goes on a pole"),
        ("line-arm", "riser", "a riser goes on a pole"),
        ("ridge-near", "arrester 18 kV", "nothing is put on Ridge 2, near wire"),
        ("pole-new", "", "choose a part"),
        ("pole-new", "new pole", "there is a new pole already"),
    ],
)
def test_what_cannot_be_put_there_is_disabled_and_says_why(
    corner: Window, selected: str, words: str, why: str
) -> None:
    job = bridge_of(corner).job
    bridge_of(corner).select(selected)
    stock = stock_of(corner)
    find(stock, words)
    if not words:
        stock.tree.setCurrentIndex(QModelIndex())
    assert not stock.button.isEnabled()
    assert why in stock.button.toolTip()
    assert why.lower() in stock.about.text().lower()
    QTest.keyClick(stock.search, Qt.Key.Key_Return)
    assert why in said(corner)
    assert bridge_of(corner).job is job


def test_the_stock_says_where_its_values_are_from(corner: Window) -> None:
    bridge_of(corner).select("line-arm")
    stock = stock_of(corner)
    find(stock, "cutout 15 kV")
    assert "from memory - check in your copy" in stock.about.text()
    assert "house number - check that it is yours" in stock.about.text()


def test_what_was_put_in_is_deleted_undone_and_redone(corner: Window) -> None:
    before = bridge_of(corner).job
    bridge_of(corner).select("pole-new")
    stock = stock_of(corner)
    find(stock, "Wood arm 8 ft, 4 pins")
    stock.button.click()
    put, key = bridge_of(corner).job, bridge_of(corner).selected
    table_of(corner).board.view.setFocus()
    QTest.keyClick(table_of(corner).board.view, Qt.Key.Key_Delete)
    assert bridge_of(corner).job == before
    assert bridge_of(corner).selected == ""
    QTest.keyClick(table_of(corner).board.view, Qt.Key.Key_Z, CTRL)
    assert bridge_of(corner).job is put
    assert key in bridge_of(corner).job.item_by_id
    QTest.keyClick(table_of(corner).board.view, Qt.Key.Key_Z, CTRL)
    assert bridge_of(corner).job is before
    corner.commands.by_name["redo"].trigger()
    assert bridge_of(corner).job is put


def test_deleting_an_arm_says_what_went_with_it_and_leaves_the_wires(corner: Window) -> None:
    wires = len(bridge_of(corner).job.wires)
    click(corner, "line-arm")
    assert corner.commands.by_name["delete"].text() == "&Delete Line arm"
    corner.commands.by_name["delete"].trigger()
    job = bridge_of(corner).job
    assert "pin-a-new" not in job.item_by_id
    assert "line-brace" not in job.item_by_id
    assert len(job.wires) == wires
    assert "and 4 things on it" in said(corner)


def test_a_survey_wire_cannot_be_deleted_and_says_why(corner: Window) -> None:
    bridge_of(corner).select("ridge-near")
    action = corner.commands.by_name["delete"]
    assert not action.isEnabled()
    assert action.toolTip() == "it is part of the survey"


def test_a_new_pole_of_the_size_of_the_old_one_is_set_in_its_stead(corner: Window) -> None:
    bridge_of(corner).select("pole-new")
    corner.commands.by_name["delete"].trigger()
    stock = stock_of(corner)
    find(stock, "new pole")
    assert stock.button.text() == "Set the new pole"
    stock.button.click()
    key = bridge_of(corner).selected
    pole = bridge_of(corner).job.item_by_id[key]
    old = bridge_of(corner).job.item_by_id["pole-old"]
    assert pole.pole == old.pole
    assert pole.replaces == "pole-old"
    where = place_of(corner, key)
    assert isinstance(where, Standing)
    assert (where.east_in, where.north_in) != (0.0, 0.0)  # the old one still stands there


def test_what_was_read_in_without_a_part_is_given_one_and_undo_takes_it_back(
    corner: Window,
) -> None:
    bridge = bridge_of(corner)
    bridge.do("forget the part", lambda job: with_thing(job, bare(job, "buck-arm")))
    view = board_of(corner).view
    for _ in bridge.job.placed():  # it is not drawn: no press finds it
        if bridge.selected != "buck-arm":
            QTest.keyClick(view, Qt.Key.Key_PageDown)
    assert bridge.selected == "buck-arm"
    assert "no stock part named: choose it in the stock" in table_of(corner).thing.what.whole
    before = bridge.job
    stock = stock_of(corner)
    find(stock, "Wood arm 10 ft, 4 pins")
    assert stock.instead.isVisible()
    assert stock.instead.isEnabled()
    assert stock.instead.toolTip() == "Buck arm becomes this part and stays where it is"
    QTest.mouseClick(stock.instead, Qt.MouseButton.LeftButton)
    assert bridge.job.item_by_id["buck-arm"].part == stock.chosen
    name = part(stock.chosen, ArmPart).name
    assert said(corner) == f"Buck arm: {name}; undo takes it back"
    assert not stock.instead.isEnabled()
    assert stock.instead.toolTip() == f"Buck arm is {name} already"
    bridge.undo()
    assert bridge.job == before


def test_a_part_of_another_kind_is_no_part_of_it_and_several_are_given_one_at_once(
    corner: Window,
) -> None:
    bridge = bridge_of(corner)
    pins = [one.id for one in bridge.job.items if one.part == "pin-55-5-25kv"][:2]
    bridge.select_all(pins)
    stock = stock_of(corner)
    find(stock, "Wood arm 10 ft, 4 pins")
    assert not stock.instead.isEnabled()
    name = part(stock.chosen, ArmPart).name
    assert f"is an insulator, and {name} is an arm" in stock.instead.toolTip()
    find(stock, part("pin-56-3-35kv", InsulatorPart).name)
    QTest.mouseClick(stock.instead, Qt.MouseButton.LeftButton)
    assert {bridge.job.item_by_id[one].part for one in pins} == {"pin-56-3-35kv"}
    assert bridge.session.undo_name.startswith("2 things: ")
    bridge.select("")
    assert not stock.instead.isVisible()


def bare(job: Job, key: str) -> Item:
    return replace(job.item_by_id[key], part=None)
