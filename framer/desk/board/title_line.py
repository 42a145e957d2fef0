"""The line below the drawing: job, scale, where the pointer is, and the first caution."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QWidget

from framer.drawing.sheet import cautions
from framer.files.revisions import standing
from framer.model.job import Job
from framer.model.words import left_to_right, plain

HOW_TYPED = "click to type name, place, owner, drafted by and date of the title block"

_LOOK = (
    "TitleLine { background: #fdfcf9; border-top: 1px solid #8a8578; }"
    "QLabel { background: transparent; color: #444; }"
)


class Title(QLabel):
    """Names of the job, cut where there is no room, and in full who checked it.

    A press on it asks for what the title block says to be typed.
    """

    pressed = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._names = self._standing = ""
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setAccessibleName("job")
        self.setStyleSheet("color: #222; font-weight: bold;")
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def show_job(self, names: str, standing: str) -> None:
        """Show other names."""
        self._names, self._standing = left_to_right(names), left_to_right(standing)
        self.setToolTip(f"{self._names}, {self._standing}\n{HOW_TYPED}")
        self._fit()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Ask for the title block."""
        if event.button() == Qt.MouseButton.LeftButton:
            self.pressed.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the names to the new width."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        self.ensurePolished()
        metrics, more = self.fontMetrics(), f", {self._standing}"
        room = self.width() - metrics.horizontalAdvance(more)
        names = metrics.elidedText(self._names, Qt.TextElideMode.ElideRight, room)
        self.setText(f"{names}{more}" if self._standing else "")


class TitleLine(QWidget):
    """What stands in the title block of a sheet, in two lines.

    Attributes:
        title: job, place, and who checked it.
        pointer: heights and distances where the pointer is.
        scale: the scale on this screen.
        caution: the caution that is always in sight.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setStyleSheet(_LOOK)
        self.title, self.pointer = Title(self), self._label("pointer")
        self.scale, self.caution = self._label("scale"), self._label("caution")
        self.caution.setText(cautions()[0])
        self.caution.setWordWrap(True)
        self.scale.setStyleSheet("color: #222; font-weight: bold;")
        self.scale.setToolTip("real size to size on this screen, as the screen gives its dots")
        grid = QGridLayout(self)
        grid.setContentsMargins(8, 2, 8, 2)
        grid.setHorizontalSpacing(24)
        grid.setVerticalSpacing(0)
        grid.addWidget(self.title, 0, 0)
        grid.addWidget(self.pointer, 0, 1)
        grid.addWidget(self.scale, 0, 2)
        grid.addWidget(self.caution, 1, 0, 1, 3)
        grid.setColumnStretch(0, 1)

    def _label(self, name: str) -> QLabel:
        label = QLabel(self)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setAccessibleName(name)
        return label

    def show_job(self, job: Job) -> None:
        """Name the job."""
        self.title.show_job(", ".join(filter(None, (job.title, plain(job.place)))), standing(job))

    def show_scale(self, many: float) -> None:
        """Tell that one inch on screen is so many in the world."""
        self.scale.setText(f"Scale 1:{many:.3g}" if many < 100 else f"Scale 1:{many:.0f}")
