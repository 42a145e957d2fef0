"""The view on the sheet: wheel, scroll and keys, told to whoever works on the sheet."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPalette,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QFrame, QGraphicsScene, QGraphicsView, QWidget

WHEEL_NOTCH = 120.0
ZOOM_PER_NOTCH = 1.2

STEP_IN, FINE_IN, COARSE_IN = 1.0, 1 / 16, 12.0
"""How far an arrow key moves a thing: alone, with Shift, with Ctrl."""

_ARROWS = {
    Qt.Key.Key_Up: (0.0, 1.0),
    Qt.Key.Key_Down: (0.0, -1.0),
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
}


class SheetView(QGraphicsView):
    """Zooms about the pointer and pans; everything else it tells by its signals."""

    zoomed = Signal(float, QPoint)
    resized = Signal()
    pressed = Signal(QPoint, bool)
    moved = Signal(QPoint, bool)
    hovered = Signal(QPoint)
    released = Signal()
    escaped = Signal()
    nudged = Signal(float, float)
    stepped = Signal(int)
    typed = Signal(str)

    def __init__(self, scene: QGraphicsScene, parent: QWidget | None = None) -> None:
        super().__init__(scene, parent)
        self.setAccessibleName("as found, as framed, from the side and from above")
        self.setAccessibleDescription(
            "Page Up and Page Down select things on the framed pole, arrow keys move them"
        )
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.MinimalViewportUpdate)
        self.setOptimizationFlag(QGraphicsView.OptimizationFlag.DontSavePainterState)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setBackgroundRole(QPalette.ColorRole.Mid)
        self.viewport().setMouseTracking(True)
        self._pan_from: QPoint | None = None
        self._space = False
        self._pressing = False

    def scroll_by(self, moved: QPoint) -> None:
        """Scroll by pixels, as far as the sheet goes."""
        for bar, by in (
            (self.horizontalScrollBar(), moved.x()),
            (self.verticalScrollBar(), moved.y()),
        ):
            bar.setValue(bar.value() + by)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer."""
        turned = event.angleDelta().y()
        if turned:
            at = event.position().toPoint()
            self.zoomed.emit(ZOOM_PER_NOTCH ** (turned / WHEEL_NOTCH), at)
        event.accept()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Tell that there is another room now."""
        super().resizeEvent(event)
        self.resized.emit()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to pan with the middle button or the space bar held, else press on the sheet."""
        at = event.position().toPoint()
        left = event.button() == Qt.MouseButton.LeftButton
        if event.button() == Qt.MouseButton.MiddleButton or (left and self._space):
            self._pan_from = at
            self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        elif left:
            self._pressing = True
            more = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
            self.pressed.emit(at, bool(event.modifiers() & more))
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pan, drag or hover."""
        at = event.position().toPoint()
        if self._pan_from is not None:
            self.scroll_by(self._pan_from - at)
            self._pan_from = at
        elif self._pressing:
            fine = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self.moved.emit(at, fine)
        else:
            self.hovered.emit(at)
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End what the press began."""
        if self._pan_from is not None:
            self._pan_from = None
            self.viewport().unsetCursor()
        elif self._pressing and event.button() == Qt.MouseButton.LeftButton:
            self._pressing = False
            self.released.emit()
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """A second press is a press."""
        self.mousePressEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrow keys nudge, Page keys go from thing to thing, Escape lets go."""
        key = Qt.Key(event.key())
        if self._pressing and event.text() and key != Qt.Key.Key_Escape:
            self.typed.emit(event.text())  # a length, while something is dragged
        elif key == Qt.Key.Key_Space:
            self._space = True
            self.viewport().setCursor(Qt.CursorShape.OpenHandCursor)
        elif key == Qt.Key.Key_Escape:
            self._pressing = False
            self.escaped.emit()
        elif key in _ARROWS:
            held = event.modifiers()
            step = STEP_IN
            if held & Qt.KeyboardModifier.ShiftModifier:
                step = FINE_IN
            elif held & Qt.KeyboardModifier.ControlModifier:
                step = COARSE_IN
            right, up = _ARROWS[key]
            self.nudged.emit(right * step, up * step)
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self.stepped.emit(1 if key == Qt.Key.Key_PageDown else -1)
        else:
            event.ignore()
            return
        event.accept()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """The space bar is let go."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self.viewport().unsetCursor()
        super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """No key stays held without the focus."""
        self._space = False
        super().focusOutEvent(event)
