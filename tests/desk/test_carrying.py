"""Carrying a part from the stock onto the sheet by mouse."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QGraphicsSimpleTextItem

from framer.desk.board.painting import OWNER
from framer.desk.window import Window
from framer.edits.places import set_fate
from framer.geometry.scene import Box
from framer.model.place import OnArm, OnPole, Undecided
from tests.desk.driving import (
    SAMPLES,
    board_of,
    bridge_of,
    carry,
    drop_of,
    place_of,
    point_in,
    said,
    spot_of,
    table_of,
)
from tests.desk.test_stock_panel import find, stock_of


def new_items(window: Window, before: object) -> list[str]:
    known = {item.id for item in before.items}  # type: ignore[attr-defined]
    return [item.id for item in bridge_of(window).job.items if item.id not in known]


def test_a_transformer_is_let_go_on_the_pole_where_the_pointer_is(corner: Window) -> None:
    before = bridge_of(corner).job
    spot = point_in(corner, "framed", 8.0, 240.0)
    carry(corner, "Transformer 25 kVA", [spot + QPoint(60, 0), spot + QPoint(20, 0), spot])
    (key,) = new_items(corner, before)
    where = place_of(corner, key)
    assert isinstance(where, OnPole)
    assert (where.host, where.azimuth_deg) == ("pole-new", 90.0)
    height = bridge_of(corner).session.scene("framed").parts_of[key][0].up_in
    assert height == pytest.approx(240.0, abs=2.0)
    assert drop_of(corner, key) % 1.0 == 0.0
    assert bridge_of(corner).selected == key
    assert bridge_of(corner).session.undo_name == "put Transformer 1 on New pole"
    assert board_of(corner).view.hasFocus()
    bridge_of(corner).undo()
    assert bridge_of(corner).job is before


def test_on_the_other_side_of_the_pole_it_faces_the_other_way(corner: Window) -> None:
    before = bridge_of(corner).job
    carry(corner, "Transformer 25 kVA", [point_in(corner, "framed", -8.0, 240.0)])
    where = place_of(corner, new_items(corner, before)[0])
    assert isinstance(where, OnPole)
    assert where.azimuth_deg == 270.0


def test_while_it_is_carried_it_is_shown_with_its_gaps_and_is_no_step(corner: Window) -> None:
    before = bridge_of(corner).session.settled
    spot = point_in(corner, "framed", 8.0, 240.0)
    carry(corner, "Transformer 25 kVA", [spot], let_go=False)
    assert "transformer-1" in bridge_of(corner).job.item_by_id
    assert bridge_of(corner).session.settled is before
    assert "below Communications clamp" in said(corner)
    assert table_of(corner).hands.ghost.items
    QTest.keyClick(table_of(corner).stock.tree, Qt.Key.Key_Escape)
    assert bridge_of(corner).job is before
    assert table_of(corner).hands.ghost.items == []
    sheet = table_of(corner).stock.tree.viewport()
    QTest.mouseRelease(sheet, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)
    assert bridge_of(corner).job is before


@pytest.mark.parametrize("height_in", [100.0, 130.0, 160.0, 190.0])
def test_the_name_of_what_is_carried_is_read_over_the_plan(
    window: Window, height_in: float
) -> None:
    window.resize(1280, 800)
    window.filing.open_path(SAMPLES / "corner-transfer")
    board = board_of(window)
    spot = point_in(window, "framed", 8.0, height_in)
    carry(window, "Transformer 25 kVA", [spot + QPoint(4, 0), spot], let_go=False)
    named = [
        item
        for item in (*board.overlay.items, *board.framed.items)
        if isinstance(item, QGraphicsSimpleTextItem) and item.data(OWNER) == "transformer-1"
    ]
    seen = set()
    for item in named:
        box = item.deviceTransform(board.view.viewportTransform()).mapRect(item.boundingRect())
        middle = box.center().toPoint()
        assert board.view.childAt(middle) in (None, board.view.viewport())
        on_top = next(
            one
            for one in board.view.items(middle)
            if board.pane_of(one) is not None and one.isVisible()
        )
        assert isinstance(on_top, QGraphicsSimpleTextItem)
        seen.add(on_top.text())
    assert "Transformer 1" in seen
    QTest.keyClick(board.view, Qt.Key.Key_Escape)
    assert board.plan_head.isVisible()


def test_an_insulator_is_let_go_on_the_pin_of_the_arm_under_it(corner: Window) -> None:
    before = bridge_of(corner).job
    arm = bridge_of(corner).session.scene("framed").parts_of["line-arm"][0].shape
    assert isinstance(arm, Box)
    spot = point_in(corner, "framed", 18.0, arm.centre[2] + 2.0)
    carry(corner, "pin 25 kV", [spot + QPoint(30, -30), spot])
    where = place_of(corner, new_items(corner, before)[0])
    assert where == OnArm(when="after", host="line-arm", along_in=18.0)


def test_a_pin_that_is_settled_on_is_told(corner: Window) -> None:
    arm = bridge_of(corner).session.scene("framed").parts_of["line-arm"][0].shape
    assert isinstance(arm, Box)
    spot = point_in(corner, "framed", 17.0, arm.centre[2] + 4.0)
    carry(corner, "pin 25 kV", [spot], let_go=False)
    assert "on pin 3" in said(corner)
    QTest.mouseRelease(
        table_of(corner).stock.tree.viewport(),
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )


def test_an_arm_faces_the_viewer_and_brings_its_braces(corner: Window) -> None:
    before = bridge_of(corner).job
    carry(corner, "Wood arm 8 ft, 4 pins", [point_in(corner, "framed", 20.0, 250.0)])
    made = new_items(corner, before)
    kinds = [bridge_of(corner).job.item_by_id[key].kind for key in made]
    assert kinds == ["arm", "brace"]
    where = place_of(corner, made[0])
    assert isinstance(where, OnPole)
    assert where.azimuth_deg == board_of(corner).look_deg
    bridge_of(corner).undo()
    assert bridge_of(corner).job is before


def test_in_the_second_view_an_arm_is_put_square_to_the_first(corner: Window) -> None:
    before = bridge_of(corner).job
    carry(corner, "Wood arm 8 ft, 4 pins", [point_in(corner, "second", 2.0, 250.0)])
    where = place_of(corner, new_items(corner, before)[0])
    assert isinstance(where, OnPole)
    assert where.azimuth_deg == (board_of(corner).look_deg - 90.0) % 360.0


@pytest.mark.parametrize(
    ("part", "kind", "right_in"),
    [
        ("wood brace", "framed", 8.0),
        ("wood brace", "found", 8.0),
        ("Transformer 25 kVA", "framed", 90.0),
    ],
)
def test_let_go_where_it_cannot_be_nothing_happens_and_it_is_said(
    corner: Window, part: str, kind: str, right_in: float
) -> None:
    before = bridge_of(corner).job
    carry(corner, part, [point_in(corner, kind, right_in, 200.0)])  # type: ignore[arg-type]
    assert bridge_of(corner).job is before
    assert "let it go on the" in said(corner)


def test_let_go_beside_the_sheet_nothing_happens(corner: Window) -> None:
    before = bridge_of(corner).job
    spot = point_in(corner, "framed", 8.0, 240.0)
    carry(corner, "Transformer 25 kVA", [spot, QPoint(-50, -50)])
    assert bridge_of(corner).job is before
    assert bridge_of(corner).session.undo_name == ""


def test_a_brace_is_let_go_on_an_arm(corner: Window) -> None:
    before = bridge_of(corner).job
    carry(corner, "wood brace", [spot_of(corner, "buck-arm")])
    assert len(new_items(corner, before)) == 1


def test_a_part_let_go_on_the_old_pole_was_found_there_and_its_height_is_to_be_typed(
    corner: Window,
) -> None:
    before = bridge_of(corner).job
    carry(corner, "Transformer 25 kVA", [point_in(corner, "found", 8.0, 240.0)], let_go=False)
    assert "on Old pole, as it was found; how high is typed then" in said(corner)
    assert bridge_of(corner).session.settled is before
    carry(corner, "Transformer 25 kVA", [point_in(corner, "found", 8.0, 240.0)])
    (key,) = new_items(corner, before)
    was, then = bridge_of(corner).job.item_by_id[key].places
    assert isinstance(was, OnPole)
    assert (was.when, was.host, was.at_in, was.azimuth_deg) == ("found", "pole-old", None, 90.0)
    assert isinstance(then, Undecided)
    assert bridge_of(corner).selected == key
    assert "was found there: type where, and what becomes of it" in said(corner)
    bridge_of(corner).undo()
    assert bridge_of(corner).job is before


def test_an_insulator_let_go_on_an_arm_as_found_is_on_the_pin_under_it(corner: Window) -> None:
    before = bridge_of(corner).job
    spot = spot_of(corner, "line-arm-old", framed=False)
    carry(corner, "Pin insulator", [spot])
    (key,) = new_items(corner, before)
    was = bridge_of(corner).job.item_by_id[key].places[0]
    assert isinstance(was, OnArm)
    assert (was.when, was.host) == ("found", "line-arm-old")


def test_a_part_is_let_go_on_an_old_pole_of_which_nothing_is_drawn_yet(window: Window) -> None:
    window.commands.by_name["new"].trigger()
    find(stock_of(window), "old pole")
    QTest.keyClick(table_of(window).stock.search, Qt.Key.Key_Return)
    old, before = bridge_of(window).selected, bridge_of(window).job
    assert bridge_of(window).session.scene("found").poles[old].top_up_in is None
    carry(window, "Wood arm 8 ft, 4 pins", [point_in(window, "found", 0.0, 100.0)])
    made = [bridge_of(window).job.item_by_id[key] for key in new_items(window, before)]
    assert made
    was = made[0].places[0]
    assert isinstance(was, OnPole)
    assert (was.when, was.host) == ("found", old)


def test_what_stays_takes_new_things_on_the_framed_pole_only(corner: Window) -> None:
    bridge = bridge_of(corner)
    bridge.do("it stays", lambda job: set_fate(job, "pole-old", "stays"))
    before = bridge.job
    carry(corner, "Transformer 25 kVA", [point_in(corner, "found", 8.0, 240.0)])
    assert bridge.job is before
    assert said(corner).startswith("Old pole stays: what is new on it is let go on the framed pole")


def test_a_click_in_the_list_carries_nothing(corner: Window) -> None:
    before = bridge_of(corner).job
    carry(corner, "Transformer 25 kVA", [])
    assert bridge_of(corner).job is before
    assert table_of(corner).hands.carry is None
