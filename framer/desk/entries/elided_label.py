"""One line of words that ends in dots where there is no room for them."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics, QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from framer.model.words import left_to_right


class ElidedLabel(QLabel):
    """One line that ends in dots when there is no room; the tool tip has all of it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._whole = ""
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setTextFormat(Qt.TextFormat.PlainText)

    def show_text(self, text: str) -> None:
        """Show another text."""
        whole = left_to_right(text)
        if whole != self._whole:
            self._whole = whole
            self.setToolTip(text)
            self._fit()

    @property
    def whole(self) -> str:
        """The text with nothing left out."""
        return self._whole

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the text to the new width."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        metrics = QFontMetrics(self.font())
        self.setText(metrics.elidedText(self._whole, Qt.TextElideMode.ElideRight, self.width()))
