"""What was found is told in the window: the old pole, and what is on it, from stock."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from framer.desk.window import Window
from framer.model.place import OnArm, OnPole, Removed, Standing, Undecided
from tests.desk.driving import bridge_of, enter, said, table_of, texts
from tests.desk.test_stock_panel import find, stock_of


def put(window: Window, words: str) -> str:
    """Search the stock, press Enter, and give the id of what is there then."""
    find(stock_of(window), words)
    QTest.keyClick(table_of(window).stock.search, Qt.Key.Key_Return)
    return bridge_of(window).selected


def test_a_change_out_is_told_from_an_empty_window_by_keys(window: Window) -> None:
    window.commands.by_name["new"].trigger()
    bridge = bridge_of(window)
    new = bridge.selected
    assert "put the old pole in from stock (Insert)" in [text for text, _ in texts(window)]
    old = put(window, "old pole")
    job = bridge.job
    assert [type(one) for one in job.item_by_id[old].places] == [Standing, Removed]
    assert job.item_by_id[new].replaces == old
    # the old pole is where the job is reckoned from; the new one cannot stand in it
    assert [job.item_by_id[key].places[0].east_in for key in (old, new)] == [0.0, 36.0]  # type: ignore[union-attr]
    assert "setting depth" in said(window)
    assert "How high Old pole stands is not known." in [text for text, _ in texts(window)]
    enter(table_of(window).thing.pole.set_deep, "6 ft 6 in")
    assert bridge.session.scene("found").poles[old].top_up_in == 38.5 * 12

    arm = put(window, "wood arm 8 ft, 4 pins")
    assert table_of(window).stock.button.text() == "Found on Arm 1"
    placed = bridge.job.item_by_id[arm].places
    assert isinstance(placed[0], OnPole)
    assert (placed[0].when, placed[0].host) == ("found", old)
    assert isinstance(placed[1], Undecided)
    # nobody has said how high it was: it is not drawn, and what needs it cannot be said
    assert bridge.session.scene("found").parts_of[arm][0].shape is None
    enter(table_of(window).thing.on_pole.above_ground, "32 ft")
    assert bridge.session.scene("found").parts_of[arm][0].up_in == 32 * 12

    pin = put(window, "pin 25")
    where = bridge.job.item_by_id[pin].places[0]
    assert isinstance(where, OnArm)
    assert (where.when, where.host) == ("found", arm)
    assert window.next_step.text().startswith("2.")
    for _ in range(3):
        assert bridge.session.undo_name
        bridge.undo()
    assert pin not in bridge.job.item_by_id


def test_one_old_pole_is_enough(corner: Window) -> None:
    stock = stock_of(corner)
    find(stock, "old pole")
    assert not stock.button.isEnabled()
    assert "there is an old pole already" in stock.button.toolTip()
    before = bridge_of(corner).job
    QTest.keyClick(stock.search, Qt.Key.Key_Return)
    assert bridge_of(corner).job is before


def test_what_stays_on_a_pole_that_stays_takes_new_things(window: Window) -> None:
    window.commands.by_name["new"].trigger()
    bridge = bridge_of(window)
    old = put(window, "old pole")
    enter(table_of(window).thing.pole.set_deep, "6 ft 6 in")
    table_of(window).thing.fates.buttons["stays"].click()
    bridge.select(old)
    arm = put(window, "wood arm 8 ft, 4 pins")
    assert bridge.job.item_by_id[arm].places[0].when == "after"


def test_how_far_a_riser_ran_up_the_old_pole_is_not_known_until_it_is_typed(
    window: Window,
) -> None:
    window.commands.by_name["new"].trigger()
    bridge = bridge_of(window)
    put(window, "old pole")
    enter(table_of(window).thing.pole.set_deep, "6 ft 6 in")
    riser = put(window, "riser")
    where = bridge.job.item_by_id[riser].places[0]
    assert isinstance(where, OnPole)
    assert (where.when, where.at_in, where.to_in) == ("found", None, None)
    on_pole = table_of(window).thing.on_pole
    enter(on_pole.above_ground, "0 ft")
    lost = {one.owner: one.why for one in bridge.session.scene("found").unplaced}
    assert lost[riser] == "a run along the pole needs the heights of both its ends"
    assert on_pole.further["to_in"].isVisible()
    enter(on_pole.further["to_in"], "24 ft")
    (part,) = bridge.session.scene("found").parts_of[riser]
    assert part.shape is not None
    assert part.shape.q[2] == 24 * 12


def test_a_new_pole_set_while_the_old_one_is_selected_was_not_found_there(window: Window) -> None:
    window.commands.by_name["new"].trigger()
    bridge = bridge_of(window)
    new = bridge.selected
    old = put(window, "old pole")
    bridge.select(new)
    window.commands.by_name["delete"].trigger()
    assert new not in bridge.job.item_by_id
    bridge.select(old)
    put(window, "new pole")
    assert said(window) == "New pole is there; type or drag it to its place"
