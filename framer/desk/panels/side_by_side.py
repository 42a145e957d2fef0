"""Controls beside each other, in as many rows as they need where there is little room."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

WORDS_PX, MENU_MARK_PX = 14, 12
"""What a button needs beside its words, and how wide the mark of a button's menu is."""


def as_wide_as_words(button: QAbstractButton, *, menu: bool = False) -> None:
    """Let a button be narrower than usual, but not than its words; what is to spare it takes."""
    words = button.fontMetrics().horizontalAdvance(button.text())
    button.setMinimumWidth(words + WORDS_PX + (MENU_MARK_PX if menu else 0))
    button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)


class SideBySide(QWidget):
    """Puts its controls in rows, as many in a row as can be read whole.

    Those whose size policy expands share what is to spare.
    """

    def __init__(self, controls: Sequence[QWidget], parent: QWidget, *, gap: int = 3) -> None:
        """Rows of controls, `gap` pixels apart."""
        super().__init__(parent)
        self._controls, self._gap = tuple(controls), gap
        for control in controls:
            control.setParent(self)
        self._put_in_rows()

    def sizeHint(self) -> QSize:
        """All in one row."""
        wide = sum(map(_least, self._controls)) + (len(self._controls) - 1) * self._gap
        return QSize(wide, self.height())

    def minimumSizeHint(self) -> QSize:
        """No narrower than the widest of them."""
        return QSize(max(map(_least, self._controls)), self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put them in rows of the new width."""
        super().resizeEvent(event)
        self._put_in_rows()

    def _rows(self) -> list[list[QWidget]]:
        rows: list[list[QWidget]] = [[]]
        left = self.width()
        for control in self._controls:
            if rows[-1] and _least(control) > left:
                rows.append([])
                left = self.width()
            rows[-1].append(control)
            left -= _least(control) + self._gap
        return rows

    def _put_in_rows(self) -> None:
        y = 0
        for row in self._rows():
            high = max(control.sizeHint().height() for control in row)
            spare = self.width() - sum(map(_least, row)) - (len(row) - 1) * self._gap
            more = max(0, spare) // max(1, sum(map(_grows, row)))
            x = 0
            for control in row:
                wide = _least(control) + (more if _grows(control) else 0)
                control.setGeometry(x, y, wide, high)
                x += wide + self._gap
            y += high + self._gap
        self.setFixedHeight(y - self._gap)


def _grows(control: QWidget) -> bool:
    """Whether a control takes what is to spare."""
    return bool(control.sizePolicy().expandingDirections() & Qt.Orientation.Horizontal)


def _least(control: QWidget) -> int:
    """How narrow a control can be."""
    return control.minimumWidth() or control.minimumSizeHint().width()
