"""Scanned drawings behind the elevations, on screen."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image as Images
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog

from framer.desk.dialogs.guides import Guides
from framer.desk.window import Window
from framer.drawing.guide import guide_turn_deg
from framer.model.guide import Guide
from tests.desk.driving import board_of, bridge_of, drag, drop_of, enter


@pytest.fixture
def guides(corner: Window, monkeypatch: pytest.MonkeyPatch) -> Guides:
    """The dialog with a scan of 100 by 200 pixels just added, beside the job."""
    path = bridge_of(corner).session.path
    assert path is not None
    Images.new("RGB", (100, 200), (40, 90, 160)).save(path.parent / "old.png")
    chosen = str(path.parent / "old.png")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (chosen, ""))
    corner.commands.by_name["guides"].trigger()
    made = corner.dialogs["guides"]
    assert isinstance(made, Guides)
    QTest.qWaitForWindowExposed(made)
    made.add.click()
    return made


def click(guides: Guides, across: float, down: float) -> None:
    place = guides.image.place()
    at = QPoint(
        round(place.left() + across * place.width()), round(place.top() + down * place.height())
    )
    QTest.mouseClick(guides.image, Qt.MouseButton.LeftButton, pos=at)


def the(corner: Window) -> Guide:
    (guide,) = bridge_of(corner).job.guides
    return guide


def test_a_scan_is_placed_by_two_clicks_and_two_heights(corner: Window, guides: Guides) -> None:
    assert the(corner).path == "old.png"
    assert the(corner).aspect == 0.5
    assert the(corner).look_deg == board_of(corner).look_deg
    assert guides.state.text() == "type the heights of both marks"
    assert board_of(corner).guides.items == []
    click(guides, 0.4, 0.95)
    guides.marks["high"].click()
    click(guides, 0.4, 0.05)
    enter(guides.heights["low"], "0")
    enter(guides.heights["high"], "36 ft")
    guide = the(corner)
    assert (guide.low.x, guide.low.y) == pytest.approx((0.4, 0.95), abs=0.01)
    assert (guide.high.x, guide.high.y) == pytest.approx((0.4, 0.05), abs=0.01)
    assert (guide.low.height_in, guide.high.height_in) == (0.0, 432.0)
    assert guides.state.text() == "It lies behind the elevation."
    (item,) = board_of(corner).guides.items
    box, origin = item.sceneBoundingRect(), board_of(corner).pane("found").origin
    tall = 432.0 / (guide.low.y - guide.high.y)
    assert box.height() == pytest.approx(tall, rel=1e-3)
    assert box.width() == pytest.approx(tall / 2, rel=1e-3)
    assert box.left() + guide.low.x * box.width() == pytest.approx(origin[0], abs=0.5)


def test_a_scan_that_lies_askew_is_turned_and_told_so(corner: Window, guides: Guides) -> None:
    click(guides, 0.3, 0.9)
    guides.marks["high"].click()
    click(guides, 0.6, 0.1)
    enter(guides.heights["low"], "0")
    enter(guides.heights["high"], "36 ft")
    board = board_of(corner)
    assert guides.state.text() == "It lies behind the elevation."
    guides.turned.click()
    guide = the(corner)
    assert guide.is_turned
    # 30 px across in 160 px up, 10.6 degrees, as near as the clicks are
    turn = guide_turn_deg(guide)
    assert turn == pytest.approx(10.6, abs=0.3)
    lies = f"It lies behind the elevation, turned {turn:.1f} degrees anticlockwise."
    assert guides.state.text() == lies
    (item,), origin = board.guides.items, board.pane("found").origin
    wide, high = item.pixmap().width(), item.pixmap().height()
    low, top = (item.mapToScene(mark.x * wide, mark.y * high) for mark in (guide.low, guide.high))
    assert low.x() == pytest.approx(origin[0], abs=0.5)
    assert top.x() == pytest.approx(origin[0], abs=0.5)
    assert low.y() - top.y() == pytest.approx(432.0, abs=0.5)
    bridge_of(corner).undo()
    assert not guides.turned.isChecked()


def test_arrow_keys_move_the_chosen_mark_a_little(corner: Window, guides: Guides) -> None:
    QTest.keyClick(guides.image, Qt.Key.Key_Up)
    QTest.keyClick(guides.image, Qt.Key.Key_Left)
    assert (the(corner).low.x, the(corner).low.y) == pytest.approx((0.499, 0.899))
    bridge_of(corner).undo()
    bridge_of(corner).undo()
    assert (the(corner).low.x, the(corner).low.y) == (0.5, 0.9)


def test_it_is_hidden_seen_from_its_side_only_and_printed_only_if_chosen(
    corner: Window, guides: Guides
) -> None:
    enter(guides.heights["low"], "0")
    enter(guides.heights["high"], "36 ft")
    board, session = board_of(corner), bridge_of(corner).session
    look = board.look_deg
    assert len(board.guides.items) == 1
    board.look((look + 90.0) % 360.0)
    assert board.guides.items == []
    board.look(look)
    assert len(board.guides.items) == 1
    assert session.sheet(look).picture.images == ()
    guides.printed.click()
    assert len(session.sheet(look).picture.images) == 1
    guides.shown.click()
    assert board.guides.items == []
    guides.remove.click()
    assert bridge_of(corner).job.guides == ()
    assert guides.state.text() == "add a scanned drawing first"


def test_things_before_a_scan_are_dragged_as_ever(corner: Window, guides: Guides) -> None:
    guides.stage.activated.emit(1)  # behind the pole as framed
    enter(guides.heights["low"], "0")
    enter(guides.heights["high"], "36 ft")
    assert len(board_of(corner).guides.items) == 1
    before = drop_of(corner, "line-arm")
    drag(corner, "line-arm", 0.0, -24.0)
    assert drop_of(corner, "line-arm") == pytest.approx(before + 24.0, abs=2.0)


def test_a_scan_that_is_gone_is_said_and_nothing_of_it_is_shown(
    corner: Window, guides: Guides
) -> None:
    enter(guides.heights["low"], "0")
    enter(guides.heights["high"], "36 ft")
    path = bridge_of(corner).session.path
    assert path is not None
    Path(path.parent / "old.png").unlink()
    guides._pixmaps.clear()
    guides.refresh()
    assert "old.png" in guides.state.text()
