"""A jumper on the board can be clicked; its ends place it, so nothing drags it."""

from __future__ import annotations

from framer.desk.window import Window
from tests.desk.driving import bridge_of, click, drag


def test_a_click_on_a_jumper_changes_nothing(corner: Window) -> None:
    before = bridge_of(corner).job
    click(corner, "jumper-c")
    assert bridge_of(corner).job is before
    assert not corner.notice.isVisible()


def test_a_jumper_that_is_dragged_stays_between_its_ends(corner: Window) -> None:
    before = bridge_of(corner).job
    drag(corner, "jumper-c", 30.0, 20.0)
    assert bridge_of(corner).job == before
    assert not corner.notice.isVisible()
