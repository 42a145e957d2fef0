"""Thousands of things done at random by mouse and keys: nothing crashes, and undo leads back."""

from __future__ import annotations

import random

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from framer.desk.window import Window
from framer.files.writer import job_bytes
from framer.model.faults import faults
from framer.stock.catalogue import catalogue
from framer.stock.patterns import patterns
from tests.desk.driving import LEFT, NO_KEYS, board_of, bridge_of, table_of, wheel

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
KEYS = (NO_KEYS, NO_KEYS, CTRL, SHIFT)
ARROWS = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Left, Qt.Key.Key_Right)
COMMANDS = (
    "copy",
    "paste",
    "duplicate",
    "mirror",
    "select_level",
    "delete",
    "half_inches",
    "fit",
    "zoom_in",
    "zoom_out",
    "look_north",
    "look_north-east",
    "look_west",
    "look_south",
)
MOST_ITEMS = 90
"""A larger job is cut down again, or the last actions would take longer than the first thousand."""


class Monkey:
    """Somebody who presses and drags anything anywhere."""

    def __init__(self, window: Window, seed: int) -> None:
        self.window, self.dice = window, random.Random(seed)  # noqa: S311
        self.bridge, self.board = bridge_of(window), board_of(window)
        self.sheet = self.board.view.viewport()
        self.done: list[str] = []
        self.moves = (
            (30, self.drag),
            (14, self.click),
            (8, self.frame),
            (14, self.arrow),
            (5, self.page),
            (4, self.undo),
            (4, self.redo),
            (3, self.turn_wheel),
            (8, self.command),
            (6, self.carry),
            (2, self.put),
            (2, self.escape),
        )

    def act(self) -> None:
        """One action."""
        weights = [weight for weight, _ in self.moves]
        move = self.dice.choices([move for _, move in self.moves], weights)[0]
        self.done.append(move.__name__)
        move()

    def somewhere(self) -> QPoint:
        """A point of the sheet: where something is drawn, more often than not."""
        size = self.sheet.size()
        at = QPoint(self.dice.randrange(size.width()), self.dice.randrange(size.height()))
        if self.dice.random() < 0.8:
            layer = self.board.layers[self.dice.choice(("framed", "second", "plan", "found"))]
            items = [item for item in layer.items if item.data(0)]
            if items:
                box = self.dice.choice(items).sceneBoundingRect()
                near = self.board.view.mapFromScene(box.center())
                near += QPoint(self.dice.randint(-9, 9), self.dice.randint(-9, 9))
                if self.sheet.rect().contains(near):
                    return near
        return at

    def pointer(self, widget: QWidget, at: QPoint, held: Qt.KeyboardModifier) -> None:
        """Move the pointer with the button held."""
        event = QMouseEvent(
            QMouseEvent.Type.MouseMove,
            QPointF(at),
            QPointF(widget.mapToGlobal(at)),
            Qt.MouseButton.NoButton,
            LEFT,
            held,
        )
        QApplication.sendEvent(widget, event)

    def drag(self) -> None:
        start, held = self.somewhere(), self.dice.choice(KEYS)
        QTest.mousePress(self.sheet, LEFT, held, start)
        at = start
        for _ in range(self.dice.randint(1, 3)):
            at += QPoint(self.dice.randint(-60, 60), self.dice.randint(-60, 60))
            self.pointer(self.sheet, at, held)
        if self.dice.random() < 0.1:
            QTest.keyClick(self.board.view, Qt.Key.Key_Escape)
        QTest.mouseRelease(self.sheet, LEFT, held, at)

    def click(self) -> None:
        QTest.mouseClick(self.sheet, LEFT, self.dice.choice(KEYS), self.somewhere())

    def frame(self) -> None:
        start, held = self.somewhere(), self.dice.choice(KEYS)
        at = start + QPoint(self.dice.randint(-300, 300), self.dice.randint(-300, 300))
        QTest.mousePress(self.sheet, LEFT, held, start)
        self.pointer(self.sheet, at, held)
        QTest.mouseRelease(self.sheet, LEFT, held, at)

    def arrow(self) -> None:
        QTest.keyClick(self.board.view, self.dice.choice(ARROWS), self.dice.choice(KEYS))

    def page(self) -> None:
        key = self.dice.choice((Qt.Key.Key_PageUp, Qt.Key.Key_PageDown))
        QTest.keyClick(self.board.view, key)

    def undo(self) -> None:
        self.window.on_undo()

    def redo(self) -> None:
        self.window.on_redo()

    def turn_wheel(self) -> None:
        wheel(self.sheet, self.dice.choice((-2, -1, 1, 2)), self.somewhere())

    def command(self) -> None:
        action = self.window.commands.by_name[self.dice.choice(COMMANDS)]
        if action.isEnabled():
            action.trigger()
        if len(self.bridge.job.items) > MOST_ITEMS:
            while self.bridge.session.undo_name and len(self.bridge.job.items) > MOST_ITEMS // 2:
                self.window.on_undo()

    def carry(self) -> None:
        hands = table_of(self.window).hands
        parts = [part.id for part in catalogue().values() if part.kind != "wire"]
        part = self.dice.choice(parts)
        for _ in range(self.dice.randint(1, 3)):
            hands.carry_to(part, self.sheet.mapToGlobal(self.somewhere()))
        if self.dice.random() < 0.3:
            hands.let_go()
        else:
            hands.put_down()

    def put(self) -> None:
        stock = table_of(self.window).stock
        names = [one.name for one in patterns().values()] + ["Wood arm 8 ft", "pin 25 kV", "spool"]
        stock.search.setText(self.dice.choice(names))
        stock.put_chosen()

    def escape(self) -> None:
        QTest.keyClick(self.board.view, Qt.Key.Key_Escape)


def let_loose(window: Window, actions: int, seed: int) -> Monkey:
    """Do things at random, looking at the job now and then; undo everything; do it all again."""
    monkey = Monkey(window, seed)
    bridge = bridge_of(window)
    start = bridge.job
    for number in range(actions):
        monkey.act()
        if number % 50 == 0:
            assert list(faults(bridge.session.settled)) == [], monkey.done[-50:]
    assert table_of(window).hands.gesture is None
    assert table_of(window).hands.carry is None
    assert table_of(window).hands.ghost.items == []
    assert bridge.job is bridge.session.settled
    last = bridge.job
    assert job_bytes(last, "last.framer")
    steps = 0
    while bridge.session.undo_name:
        bridge.undo()
        steps += 1
    assert bridge.job is start
    for _ in range(steps):
        bridge.redo()
    assert bridge.job is last
    return monkey


def test_anything_done_at_random_is_undone_to_the_start(corner: Window) -> None:
    monkey = let_loose(corner, 500, 20_260)
    assert {move.__name__ for _, move in monkey.moves} <= set(monkey.done)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(8))
def test_far_more_of_it(corner: Window, seed: int) -> None:
    let_loose(corner, 4_000, seed)
