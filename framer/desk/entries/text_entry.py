"""A line of text that becomes a step when it is entered."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QPaintEvent, QPalette
from PySide6.QtWidgets import QLineEdit, QStyle, QStyleOptionFrame, QStylePainter


class JobEntry(QLineEdit):
    """An entry of the job; undo and redo are the job's while nothing is being typed."""

    def event(self, event: QEvent) -> bool:
        """Leave undo and redo to the job while nothing is being typed."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            keys = QKeySequence.StandardKey
            if not self.isModified() and (event.matches(keys.Undo) or event.matches(keys.Redo)):
                event.ignore()
                return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape puts back what was there."""
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self.put_back()
            event.accept()
            return
        super().keyPressEvent(event)

    def put_back(self) -> None:
        """Show again what was there before it was typed over."""
        raise NotImplementedError


class TextEntry(JobEntry):
    """A text; Enter takes it, Escape puts back what was there. `said` tells what is wrong."""

    said = Signal(str)

    def __init__(self, name: str, enter: Callable[[str], str]) -> None:
        super().__init__()
        self.name = name
        self._enter = enter
        self._shown = ""
        self.setAccessibleName(name)
        self.editingFinished.connect(self._finish)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint a text with dots where there is no room for all of it, until it is typed over."""
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        style = self.style()
        inside = style.subElementRect(QStyle.SubElement.SE_LineEditContents, option, self)
        inside.adjust(2, 0, -2, 0)
        text, metrics = self.text(), self.fontMetrics()
        if self.hasFocus() or metrics.horizontalAdvance(text) <= inside.width():
            super().paintEvent(event)
            return
        painter = QStylePainter(self)
        painter.drawPrimitive(QStyle.PrimitiveElement.PE_PanelLineEdit, option)
        painter.drawItemText(
            inside,
            int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter),
            option.palette,
            self.isEnabled(),
            metrics.elidedText(text, Qt.TextElideMode.ElideRight, inside.width()),
            QPalette.ColorRole.Text,
        )
        event.accept()

    def show_text(self, text: str, hint: str = "") -> None:
        """Show a text, unless another is being typed; `hint` is what stands in an empty entry."""
        self._shown = text
        self.setPlaceholderText(hint)
        self.setToolTip(text or hint)
        if not self.isModified() and self.text() != text:
            self.setText(text)
            self.setCursorPosition(0)

    def put_back(self) -> None:
        """Show again what was there before it was typed over."""
        self.setText(self._shown)
        self.setModified(False)

    def _finish(self) -> None:
        if not self.isModified():
            return
        problem = self._enter(self.text().strip())
        if problem:
            self.put_back()
            self.said.emit(f"{self.name}: {problem}")
            return
        self.setModified(False)
