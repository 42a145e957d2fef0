"""What mouse and keys do on the sheet: select, drag, nudge, go from thing to thing."""

from __future__ import annotations

from PySide6.QtCore import QObject, QPoint, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtWidgets import (
    QGraphicsItem,
    QGraphicsLineItem,
    QGraphicsSimpleTextItem,
    QRubberBand,
)

from framer.desk.board import two_poles
from framer.desk.board.board import Board
from framer.desk.board.carrying import Carry
from framer.desk.board.gestures import Gesture, gesture_of, nudge
from framer.desk.board.ghost import ghost_dimensions, ghost_in_plan
from framer.desk.board.painting import OWNER, STYLE, Layer
from framer.desk.board.panes import Pane
from framer.desk.board.two_poles import PaneKind
from framer.desk.bridge import Bridge
from framer.drawing.fitting import clear_of
from framer.errors import LengthError
from framer.model.stage import stage_name
from framer.stock.catalogue import catalogue
from framer.units.length import read_length

NEAR_PX = 4
"""How far beside a thin thing a press still counts as on it."""

DRAG_FROM_PX = 3
"""A press that moves less than this is a click."""

_THIN = ("level", "leader", "dimension")


class Hands(QObject):
    """The one that presses, drags and lets go on the board.

    Attributes:
        gesture: the drag going on, `None` when there is none.
        carry: the part from stock that is carried over the sheet, `None` when there is none.
        band: the frame drawn about things to select them.
        ghost: dimensions to the neighbours of what is moved.
    """

    def __init__(self, bridge: Bridge, board: Board) -> None:
        super().__init__(board)
        self.bridge, self.board = bridge, board
        self.gesture: Gesture | None = None
        self.carry: Carry | None = None
        self._armed: Gesture | str | None = None
        self._kind: PaneKind = "framed"
        self._from = QPoint()
        self._also = False
        self._one = ""
        self._banding = False
        self._written = ""
        view = board.view
        self.band = QRubberBand(QRubberBand.Shape.Rectangle, view.viewport())
        self.ghost = Layer(view.scene(), 5.0, plates=True)
        view.pressed.connect(self.press)
        view.moved.connect(self.move)
        view.hovered.connect(self.hover)
        view.released.connect(self.release)
        view.escaped.connect(self.escape)
        view.nudged.connect(self.nudge)
        view.stepped.connect(self.step)
        view.typed.connect(self.type)
        bridge.job_opened.connect(self.let_go)

    def hit_in(self, at: QPoint) -> tuple[str, PaneKind]:
        """Whose drawing is at a point of the widget, and in which of the views."""
        view = self.board.view
        near = QRect(at.x() - NEAR_PX, at.y() - NEAR_PX, 2 * NEAR_PX, 2 * NEAR_PX)
        carried = self._carried()
        there = [
            item
            for item in view.items(near)
            if item.data(OWNER) and item.data(OWNER) not in carried
            if self.board.pane_of(item) is not None
        ]
        if not there:
            return "", self.board.pane_at(at).kind
        point = view.mapToScene(at)
        best = min(enumerate(there), key=lambda one: (*_rank(one[1], point), one[0]))[1]
        return str(best.data(OWNER)), self.board.pane_of(best) or "framed"

    def _carried(self) -> set[str]:
        """What is only shown while a part is carried."""
        if self.carry is None:
            return set()
        settled = self.bridge.session.settled
        return {item.id for item in self.bridge.job.items if item.id not in settled.item_by_id}

    def press(self, at: QPoint, also: bool = False) -> None:
        """Select what is there and be ready to drag it; with a key held, select it also."""
        key, kind = self.hit_in(at)
        self._from, self._kind, self._also = at, kind, also
        self.gesture = self._armed = None
        self._one, self._banding = "", not key
        if key and self.bridge.named(key) is None:
            self.bridge.choose(key)
            return
        if not key:
            if not also:
                self.bridge.select("")
            return
        if also:
            self.bridge.select_also(key)
        elif key in self.bridge.selection and len(self.bridge.selection) > 1:
            self._one = key  # a drag moves all of them, a click takes this one
        else:
            self.bridge.select(key)
        self.bridge.say(self._selected_words())
        if key not in self.bridge.selection:
            return
        label, stage = self.bridge.job.label(key), self.bridge.stage
        if kind == "found":
            self._armed = f"{label} is shown as found; what was found is not moved"
        elif stage != "framed":
            shown = stage_name(self.bridge.job, stage)
            self._armed = f"{label} is shown {shown}; to move it, turn the slider to as framed"
        else:
            pane = self.board.pane(kind)
            self._armed = gesture_of(self.bridge, key, pane.view, plan=pane.is_plan)

    def _selected_words(self) -> str:
        chosen = self.bridge.selection
        if len(chosen) > 1:
            return f"{len(chosen)} things are selected"
        return self.bridge.job.label(chosen[0]) if chosen else ""

    def move(self, at: QPoint, fine: bool) -> None:
        """Drag what was pressed, or draw a frame about things."""
        away = at - self._from
        if self.gesture is None:
            if max(abs(away.x()), abs(away.y())) < DRAG_FROM_PX:
                return
            if self._banding:
                self.band.setGeometry(QRect(self._from, at).normalized())
                self.band.show()
                return
            if self._armed is None:
                return
            if isinstance(self._armed, str):
                self.bridge.say(self._armed)
                self._armed, self._one = None, ""
                return
            self.gesture, self._written = self._armed, ""
            self.board.view.viewport().setCursor(self.gesture.cursor)
            if self.gesture.takes:
                hint = f"type the exact {self.gesture.takes}, Enter sets it"
                self.board.title_line.pointer.setText(hint)
        if self._written:
            return  # a length is being typed
        scale = self.board.px_per_in
        self.gesture.drag(away.x() / scale, -away.y() / scale, fine=fine)
        self._show_ghost(self._kind, self.gesture.key)

    def type(self, text: str) -> None:
        """Take a length that is typed while a thing is dragged; Enter puts the thing there."""
        gesture = self.gesture
        if gesture is None or not gesture.takes:
            return
        if text == "\b":
            self._written = self._written[:-1]
        elif text != "\r":
            self._written += text if text.isprintable() else ""
        if text != "\r" or not self._written:
            self.bridge.say(f"{gesture.takes}: {self._written}")
            return
        metric = self.bridge.job.settings.units == "metric"
        try:
            length = read_length(self._written, "m" if metric else "in").value_in
            problem = gesture.put(length) if length >= 0.0 else "a distance is not below zero"
        except LengthError as error:
            problem = str(error)
        if problem:
            self._written = ""
            self.bridge.say(problem)
            return
        words = gesture.words()
        self.release()
        self.bridge.say(words)

    def release(self) -> None:
        """Let go: the drag becomes one step, a frame selects what is wholly in it."""
        gesture, self.gesture, self._armed = self.gesture, None, None
        if gesture is not None:
            self.board.view.viewport().unsetCursor()
            self.board.title_line.pointer.clear()  # what can be typed while it is dragged
            self.ghost.clear()
            gesture.keep()
        elif self.band.isVisible():
            framed = self.framed_in(QRect(self.band.geometry()))
            self.bridge.select_all((*self.bridge.selection, *framed) if self._also else framed)
            words = self._selected_words() or "nothing is wholly in the frame"
            self.bridge.say(words)
        elif self._one:
            self.bridge.select(self._one)
            self.bridge.say(self.bridge.job.label(self._one))
        self._one, self._banding = "", False
        self.band.hide()

    def framed_in(self, frame: QRect) -> tuple[str, ...]:
        """Things of the framed pole that are drawn wholly in a frame; the pole only if alone.

        Wires of other lines are no part of it.
        """
        view = self.board.view
        box = QRectF(view.mapToScene(frame.topLeft()), view.mapToScene(frame.bottomRight()))
        drawn: dict[str, QRectF] = {}
        inside: dict[str, None] = {}
        known = self.bridge.job.thing_by_id
        for kind, layer in self.board.layers.items():
            if kind == "found":
                continue
            drawn.clear()
            for item in layer.items:
                key = str(item.data(OWNER) or "")
                thin = item.data(STYLE) in _THIN or isinstance(item, QGraphicsSimpleTextItem)
                if key in known and not thin:
                    drawn[key] = drawn.get(key, QRectF()).united(item.sceneBoundingRect())
            inside.update({key: None for key, covers in drawn.items() if box.contains(covers)})
        job = self.bridge.job
        poles = [key for key in inside if key in job.item_by_id]
        poles = [key for key in poles if job.item_by_id[key].kind == "pole"]
        return tuple(key for key in inside if key not in poles or len(inside) == len(poles))

    def escape(self) -> None:
        """Drop the drag or the frame; without one, lay down what is selected, then the finding."""
        busy = self.gesture is not None or self.carry is not None or self.band.isVisible()
        gesture = self.gesture
        self.let_go()
        if gesture is not None:
            gesture.drop()
        elif busy:
            return
        elif self.bridge.selected:
            self.bridge.select("")
        else:
            self.bridge.choose("")

    def let_go(self) -> None:
        """Have nothing in hand any more; what was dragged is left to whoever calls."""
        carry, self.carry = self.carry, None
        self.gesture = self._armed = None
        self._one, self._banding = "", False
        self.band.hide()
        self.ghost.clear()
        self.board.view.viewport().unsetCursor()
        if carry is not None:
            carry.off()

    def hover(self, at: QPoint) -> None:
        """Show by the pointer what can be dragged."""
        key, kind = self.hit_in(at)
        viewport = self.board.view.viewport()
        made: Gesture | str = ""
        if key and kind != "found" and self.bridge.stage == "framed":
            pane = self.board.pane(kind)
            made = gesture_of(self.bridge, key, pane.view, plan=pane.is_plan)
        if isinstance(made, Gesture):
            viewport.setCursor(made.cursor)
        elif key:
            viewport.setCursor(Qt.CursorShape.PointingHandCursor)
        else:
            viewport.unsetCursor()

    # --- a part from stock ---

    def carry_to(self, part: str, at: QPoint) -> None:
        """Carry a part from stock over a point of the screen."""
        if self.carry is None or self.carry.part != part:
            if self.gesture is not None or part not in catalogue():
                return
            self.bridge.show_stage("framed")
            self.carry = Carry(self.bridge, part)
        view = self.board.view
        point = view.viewport().mapFromGlobal(at)
        pane: Pane | None = None
        if QRect(QPoint(0, 0), QSize(view.viewport().size())).contains(point):
            pane = self.board.pane_at(point)
        under = self.hit_in(point)[0] if pane is not None else ""
        self.carry.move(pane, point, under)
        if self.carry.host and pane is not None:
            self._show_ghost(pane.kind, self.carry.key)
        else:
            self.ghost.clear()

    def put_down(self) -> None:
        """Let go of the part from stock: it stays where it is shown."""
        carry, self.carry = self.carry, None
        self.ghost.clear()
        if carry is not None and carry.put():
            self.board.view.setFocus()

    def _show_ghost(self, kind: PaneKind, key: str) -> None:
        """Draw the distances to the neighbours of what is moved."""
        if kind == "found":
            self.ghost.clear()
            return
        session = self.bridge.session
        pole = two_poles.framed_pole(session)
        view = self.board.pane(kind).view
        drawn = ghost_in_plan if kind == "plan" else ghost_dimensions
        layer, over = self.board.layers[kind], self.board.overlays[kind]
        self.ghost.root.setPos(layer.root.pos())
        gaps = drawn(session.scene("framed"), view, pole, key)
        self.ghost.show(clear_of(gaps, [*layer.texts, *over.texts]), self.board.px_per_in)

    def nudge(self, right_in: float, up_in: float) -> None:
        """Move what is selected by a key."""
        if self.gesture is not None:
            return
        if not self.bridge.selected:
            self.bridge.say("nothing is selected: click a thing, or use Page Down")
            return
        self.bridge.show_stage("framed")
        nudge(self.bridge, self.bridge.selected, self.board.sight, right_in, up_in)

    def step(self, by: int) -> None:
        """Select the next thing down or up: of the framed pole, then of what was found, then rest.

        What is drawn nowhere, because its size or its height is not known, comes last.
        """
        job, stage = self.bridge.job, self.bridge.stage
        keys: dict[str, None] = {}
        for shown in dict.fromkeys((stage, "found")):
            scene = self.bridge.session.scene(shown)
            heights = {
                owner: max(part.up_in for part in parts)
                for owner, parts in scene.parts_of.items()
                if parts[0].pole and self.bridge.named(owner) is not None
            }
            keys |= dict.fromkeys(sorted(heights, key=lambda key: -heights[key]))
        keys |= dict.fromkeys(thing.id for thing in job.placed())
        order = list(keys)
        if not order:
            self.bridge.say(f"nothing stands here {stage_name(job, stage)}")
            return
        now = order.index(self.bridge.selected) if self.bridge.selected in keys else -1
        key = order[(now + by) % len(order)] if now >= 0 else order[0]
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
