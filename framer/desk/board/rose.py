"""The compass rose on the sheet: north mark and choice of the direction looked at in one."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QButtonGroup, QToolButton, QWidget

from framer.desk.looks import NUMBER_PAD, PAPER_RGB, POINTS

SIZE = 108
_RING = 40
_INK = QColor(40, 40, 40)

_LOOK = (
    "QToolButton { border: none; border-radius: 11px; color: #333; background: transparent; }"
    "QToolButton:hover { background: #e3ded2; }"
    "QToolButton:focus { border: 1px solid #0054aa; }"
    "QToolButton:checked { background: #333; color: #fdfcf9; font-weight: bold; }"
)


class Rose(QWidget):
    """Eight buttons round a north arrow, turned so that the direction looked at is up.

    What stands at the sides of the rose is what lies at the sides of the drawing.
    """

    looked = Signal(float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.look_deg = 0.0
        self.setAccessibleName("direction looked at")
        self.setFixedSize(QSize(SIZE, SIZE))
        self.setStyleSheet(_LOOK)
        self._group = QButtonGroup(self)
        self.buttons: dict[float, QToolButton] = {}
        for (azimuth, letter, word), digit in zip(POINTS, NUMBER_PAD, strict=True):
            button = QToolButton(self)
            button.setText(letter)
            button.setCheckable(True)
            button.setFixedSize(26, 22)
            font = button.font()
            font.setPixelSize(11)
            button.setFont(font)
            button.setAccessibleName(f"look {word}")
            button.setToolTip(f"look {word} (Ctrl+{digit})")
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.clicked.connect(lambda _=False, to=azimuth: self.looked.emit(to))
            self._group.addButton(button)
            self.buttons[azimuth] = button
        self.show_look(0.0)

    def show_look(self, look_deg: float) -> None:
        """Turn the rose."""
        self.look_deg = look_deg
        self._group.setExclusive(False)
        for azimuth, button in self.buttons.items():
            centre = self._at(azimuth, _RING)
            button.move(round(centre.x() - 13), round(centre.y() - 11))
            button.setChecked(abs(azimuth - look_deg) < 1e-6)
        self._group.setExclusive(True)
        self.update()

    def _at(self, azimuth: float, distance: float) -> QPointF:
        angle = math.radians(azimuth - self.look_deg)
        middle = SIZE / 2
        return QPointF(middle + distance * math.sin(angle), middle - distance * math.cos(angle))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the ring and the arrow that points north."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(*PAPER_RGB, 215))
        painter.drawEllipse(QRectF(0, 0, SIZE, SIZE))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(200, 194, 180), 1.0))
        painter.drawEllipse(QRectF(SIZE / 2 - 25, SIZE / 2 - 25, 50, 50))
        painter.setPen(QPen(_INK, 1.4))
        painter.drawLine(self._at(180.0, 22.0), self._at(0.0, 14.0))
        painter.setBrush(_INK)
        tip = [self._at(0.0, 24.0)]
        angle = math.radians(-self.look_deg)
        base = self._at(0.0, 13.0)
        for side in (-1.0, 1.0):
            across = QPointF(4.0 * side * math.cos(angle), 4.0 * side * math.sin(angle))
            tip.append(base + across)
        painter.drawPolygon(QPolygonF(tip))
        painter.end()
