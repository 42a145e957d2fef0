"""What mouse and keys do on the sheet: select, drag, nudge, go from thing to thing."""

from __future__ import annotations

from PySide6.QtCore import QObject, QPoint, QPointF, QRect, Qt
from PySide6.QtWidgets import QGraphicsItem, QGraphicsLineItem, QGraphicsSimpleTextItem

from framer.desk.board import Board
from framer.desk.bridge import Bridge
from framer.desk.gestures import Gesture, gesture_for, nudge
from framer.desk.painting import OWNER, STYLE

NEAR_PX = 4
"""How far beside a thin thing a press still counts as on it."""

DRAG_FROM_PX = 3
"""A press that moves less than this is a click."""

_THIN = ("level", "leader", "dimension")


class Hands(QObject):
    """The one that presses, drags and lets go on the board.

    Attributes:
        gesture: the drag going on, `None` when there is none.
    """

    def __init__(self, bridge: Bridge, board: Board) -> None:
        super().__init__(board)
        self.bridge, self.board = bridge, board
        self.gesture: Gesture | None = None
        self._armed: Gesture | str | None = None
        self._from = QPoint()
        view = board.view
        view.pressed.connect(self.press)
        view.moved.connect(self.move)
        view.hovered.connect(self.hover)
        view.released.connect(self.release)
        view.escaped.connect(self.escape)
        view.nudged.connect(self.nudge)
        view.stepped.connect(self.step)

    def hit(self, at: QPoint) -> tuple[str, bool]:
        """Whose drawing is at a point of the view, and whether it is on the framed pole."""
        view = self.board.view
        near = QRect(at.x() - NEAR_PX, at.y() - NEAR_PX, 2 * NEAR_PX, 2 * NEAR_PX)
        there = [item for item in view.items(near) if item.data(OWNER)]
        if not there:
            return "", False
        point = view.mapToScene(at)
        best = min(enumerate(there), key=lambda one: (*_rank(one[1], point), one[0]))[1]
        parent = best.parentItem()
        framed = parent is self.board.framed.root or parent is self.board.overlay.root
        return str(best.data(OWNER)), framed

    def press(self, at: QPoint) -> None:
        """Select what is there and be ready to drag it."""
        key, framed = self.hit(at)
        self._from = at
        self.gesture = self._armed = None
        if key and self.bridge.named(key) is None:
            self.bridge.choose(key)
            return
        self.bridge.select(key)
        if not key:
            return
        self.bridge.say(self.bridge.job.label(key))
        if framed:
            self._armed = gesture_for(self.bridge, key, self.board.sight)
        else:
            label = self.bridge.job.label(key)
            self._armed = f"{label} is shown as found; what was found is not moved"

    def move(self, at: QPoint, fine: bool) -> None:
        """Drag what was pressed."""
        away = at - self._from
        if self.gesture is None:
            if max(abs(away.x()), abs(away.y())) < DRAG_FROM_PX or self._armed is None:
                return
            if isinstance(self._armed, str):
                self.bridge.say(self._armed)
                self._armed = None
                return
            self.gesture = self._armed
            self.board.view.viewport().setCursor(self.gesture.cursor)
        scale = self.board.px_per_in
        self.gesture.drag(away.x() / scale, -away.y() / scale, fine=fine)

    def release(self) -> None:
        """Let go: the drag becomes one step."""
        gesture, self.gesture, self._armed = self.gesture, None, None
        if gesture is not None:
            self.board.view.viewport().unsetCursor()
            gesture.keep()

    def escape(self) -> None:
        """Drop the drag; without one, lay down what is selected, then the finding."""
        gesture, self.gesture, self._armed = self.gesture, None, None
        if gesture is not None:
            self.board.view.viewport().unsetCursor()
            gesture.drop()
        elif self.bridge.selected:
            self.bridge.select("")
        else:
            self.bridge.choose("")

    def hover(self, at: QPoint) -> None:
        """Show by the pointer what can be dragged."""
        key, framed = self.hit(at)
        viewport = self.board.view.viewport()
        made = gesture_for(self.bridge, key, self.board.sight) if key and framed else ""
        if isinstance(made, Gesture):
            viewport.setCursor(made.cursor)
        elif key:
            viewport.setCursor(Qt.CursorShape.PointingHandCursor)
        else:
            viewport.unsetCursor()

    def nudge(self, right_in: float, up_in: float) -> None:
        """Move what is selected by a key."""
        if self.gesture is not None:
            return
        if not self.bridge.selected:
            self.bridge.say("nothing is selected: click a thing, or use Page Down")
            return
        nudge(self.bridge, self.bridge.selected, self.board.sight, right_in, up_in)

    def step(self, by: int) -> None:
        """Select the next thing down or up the framed pole."""
        scene = self.bridge.session.scene("framed")
        heights = {
            owner: max(part.up_in for part in parts)
            for owner, parts in scene.parts_of.items()
            if parts[0].pole and self.bridge.named(owner) is not None
        }
        keys = sorted(heights, key=lambda key: -heights[key])
        if not keys:
            self.bridge.say("nothing stands here as framed")
            return
        now = keys.index(self.bridge.selected) if self.bridge.selected in keys else -1
        key = keys[(now + by) % len(keys)] if now >= 0 else keys[0]
        self.bridge.select(key)
        self.bridge.say(self.bridge.job.label(key))


def _rank(item: QGraphicsItem, point: QPointF) -> tuple[int, float]:
    """Sorting key of a hit: bodies under the pointer by size, then lines, text, thin lines."""
    thin = item.data(STYLE) in _THIN
    if isinstance(item, QGraphicsSimpleTextItem):
        return (2, 0.0)
    if isinstance(item, QGraphicsLineItem):
        return (3 if thin else 1, 0.0)
    box = item.sceneBoundingRect()
    inside = item.contains(item.mapFromScene(point))
    return (0 if inside else 1, box.width() * box.height())
