"""Hands for the tests: they find things on the sheet by what is drawn, and press, drag and type."""

from __future__ import annotations

import atexit
import itertools
import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QEventLoop, QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QGraphicsSimpleTextItem, QWidget

from framer.desk.board.board import Board
from framer.desk.board.two_poles import PaneKind
from framer.desk.bridge import Bridge
from framer.desk.entries.entry import LengthEntry
from framer.desk.table import Table
from framer.desk.window import Window
from framer.model.place import AnyPlace
from framer.model.stage import place_at

ROOT = Path(__file__).resolve().parents[2]


def _copied_samples() -> Path:
    """The sample jobs copied, so that no test holds or changes the files of another."""
    folder = Path(tempfile.mkdtemp(prefix="framer-samples-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return shutil.copytree(
        ROOT / "sample_jobs", folder / "sample_jobs", ignore=shutil.ignore_patterns(".*")
    )


SAMPLES = _copied_samples()
NO_KEYS = Qt.KeyboardModifier.NoModifier
LEFT = Qt.MouseButton.LeftButton


def table_of(window: Window) -> Table:
    """The drafting table of a window with a job."""
    assert window.table is not None
    return window.table


def bridge_of(window: Window) -> Bridge:
    """The open job of a window."""
    assert window.bridge is not None
    return window.bridge


def board_of(window: Window) -> Board:
    """The sheet of a window."""
    return table_of(window).board


def spot_of(window: Window, key: str, *, framed: bool = True) -> QPoint:
    """A point of the view where a press is a press on this thing."""
    table = table_of(window)
    layer = table.board.framed if framed else table.board.found
    for item in layer.items:
        if item.data(0) != key or isinstance(item, QGraphicsSimpleTextItem):
            continue
        box = item.sceneBoundingRect()
        for across in (0.5, 0.25, 0.75, 0.1, 0.9):
            for down in (0.5, 0.25, 0.75):
                point = table.board.view.mapFromScene(
                    box.left() + across * box.width(), box.top() + down * box.height()
                )
                owner, kind = table.hands.hit_in(point)
                if (owner, kind != "found") == (key, framed):
                    return point
    raise AssertionError(f"nothing of {key} can be pressed")


def press(window: Window, at: QPoint) -> None:
    """Press the left button on the sheet."""
    QTest.mousePress(board_of(window).view.viewport(), LEFT, NO_KEYS, at)


def move(window: Window, at: QPoint, keys: Qt.KeyboardModifier = NO_KEYS) -> None:
    """Move the pointer with the left button held and perhaps a key."""
    viewport = board_of(window).view.viewport()
    where = QPointF(at)
    event = QMouseEvent(
        QMouseEvent.Type.MouseMove,
        where,
        QPointF(viewport.mapToGlobal(at)),
        Qt.MouseButton.NoButton,
        LEFT,
        keys,
    )
    QApplication.sendEvent(viewport, event)


def release(window: Window, at: QPoint) -> None:
    """Let the left button go."""
    QTest.mouseRelease(board_of(window).view.viewport(), LEFT, NO_KEYS, at)


def drag(
    window: Window,
    key: str,
    right_in: float,
    up_in: float,
    keys: Qt.KeyboardModifier = NO_KEYS,
) -> None:
    """Drag a thing of the framed pole this far in real inches, in a few moves."""
    start = spot_of(window, key)
    scale = board_of(window).px_per_in
    press(window, start)
    for share in (0.3, 0.7, 1.0):
        at = start + QPoint(round(share * right_in * scale), round(-share * up_in * scale))
        move(window, at, keys)
    release(window, at)


def click(window: Window, key: str, *, framed: bool = True) -> None:
    """Select a thing by the mouse."""
    at = spot_of(window, key, framed=framed)
    press(window, at)
    release(window, at)


def turn_wheel(window: Window, at: QPoint, notches: int) -> None:
    """Turn the wheel over a point of the sheet."""
    wheel(board_of(window).view.viewport(), notches, at)


def wheel(widget: QWidget, notches: int, at: QPoint | None = None) -> None:
    """Turn the wheel over a widget."""
    at = at or widget.rect().center()
    event = QWheelEvent(
        QPointF(at),
        QPointF(widget.mapToGlobal(at)),
        QPoint(),
        QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton,
        NO_KEYS,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(widget, event)


def enter(entry: LengthEntry, text: str) -> None:
    """Type over what is in an entry, and press Enter."""
    typed(entry, text)
    QTest.keyClick(entry, Qt.Key.Key_Return)


def typed(entry: LengthEntry, text: str) -> None:
    """Type over what is in an entry."""
    entry.setFocus()
    entry.selectAll()
    QTest.keyClicks(entry, text) if text else QTest.keyClick(entry, Qt.Key.Key_Delete)


def press_menu(window: Window, name: str) -> None:
    """Open a menu with the mouse and press a command of it."""
    action = window.commands.by_name[name]
    menu = next(one for one in window.commands.menus if action in one.actions())
    bar, left = window.menuBar(), Qt.MouseButton.LeftButton
    QTest.mouseClick(bar, left, pos=bar.actionGeometry(menu.menuAction()).center())
    QTest.mouseClick(menu, left, pos=menu.actionGeometry(action).center())


def place_of(window: Window, key: str) -> AnyPlace:
    """Where a thing is as framed, by the job."""
    job = bridge_of(window).job
    where = place_at(job, job.item_by_id.get(key) or job.wire_by_id[key], "framed")
    assert where is not None
    return where


def height_of(window: Window, key: str) -> float:
    """How far up the framed pole a thing is, inches above its ground line."""
    return bridge_of(window).session.scene("framed").parts_of[key][0].up_in


def drop_of(window: Window, key: str) -> float:
    """How far below the finished top of the framed pole a thing is, inches."""
    scene = bridge_of(window).session.scene("framed")
    part = scene.parts_of[key][0]
    assert part.pole is not None
    drop = scene.poles[part.pole].at("drop", part.up_in)
    assert drop is not None
    return drop


def text_sizes(window: Window) -> dict[str, int]:
    """Font size in pixels of every text of the framed elevation."""
    return {
        item.text(): item.font().pixelSize()
        for item in board_of(window).framed.items
        if isinstance(item, QGraphicsSimpleTextItem)
    }


def said(window: Window) -> str:
    """What the status bar says."""
    return window.statusBar().currentMessage()


def exported(window: Window) -> None:
    """Wait for the end of an export that runs beside the work.

    Not with `qWait`, which keeps Python to itself, so that a thread beside it hardly gets on.
    """
    line = window.filing.exporting
    if line is not None and line.now is not None:
        loop = QEventLoop()
        line.done.connect(loop.quit)
        loop.exec()


def texts(window: Window) -> list[tuple[str, QRectF]]:
    """Every text on the sheet with the pixels it covers."""
    board = board_of(window)
    found = []
    ghost = table_of(window).hands.ghost
    for layer in (*board.layers.values(), *board.overlays.values(), ghost):
        for item in layer.items:
            if isinstance(item, QGraphicsSimpleTextItem) and item.text():
                box = item.deviceTransform(board.view.viewportTransform()).mapRect(
                    item.boundingRect()
                )
                found.append((item.text(), box))
    return found


def over(window: Window) -> list[tuple[str, str]]:
    """The texts of the sheet that lie over each other."""
    return [
        (a, b)
        for (a, box), (b, other) in itertools.combinations(texts(window), 2)
        # a font's box has room above and below its letters
        if box.adjusted(1, 3, -1, -3).intersects(other.adjusted(1, 3, -1, -3))
    ]


def carry(window: Window, part: str, spots: Sequence[QPoint], *, let_go: bool = True) -> None:
    """Press a part in the list of the stock, carry it over points of the sheet, and let it go."""
    stock = table_of(window).stock
    table_of(window).turn_to(1)
    stock.search.setText(part)
    tree = stock.tree
    at = tree.visualRect(tree.currentIndex()).center()
    QTest.mousePress(tree.viewport(), LEFT, NO_KEYS, at)
    sheet = board_of(window).view.viewport()
    last = at
    for spot in spots:
        where = sheet.mapToGlobal(spot)
        last = tree.viewport().mapFromGlobal(where)
        event = QMouseEvent(
            QMouseEvent.Type.MouseMove,
            QPointF(last),
            QPointF(where),
            Qt.MouseButton.NoButton,
            LEFT,
            NO_KEYS,
        )
        QApplication.sendEvent(tree.viewport(), event)
    if let_go:
        QTest.mouseRelease(tree.viewport(), LEFT, NO_KEYS, last)


def point_in(window: Window, kind: PaneKind, right_in: float, up_in: float) -> QPoint:
    """The point of the sheet at a distance from the pole's foot in a view, real inches."""
    board = board_of(window)
    x, y = board.pane(kind).origin
    return board.view.mapFromScene(QPointF(x + right_in, -y - up_in))
