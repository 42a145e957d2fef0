"""Entries and choices of the selected thing: what is typed is read here, and answered in words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from msgspec import Struct
from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent, QPaintEvent, QPalette, QWheelEvent
from PySide6.QtWidgets import (
    QComboBox,
    QLabel,
    QStyle,
    QStyleOptionComboBox,
    QStylePainter,
    QVBoxLayout,
    QWidget,
)

from framer.desk.entries.text_entry import JobEntry, TextEntry
from framer.errors import LengthError
from framer.geometry.space import compass
from framer.model.job import Settings
from framer.units.length import length_text, read_length

HOW = "type a length such as 3 ft 11 in, 3'-11\", 47 in or 1.19 m"

MOST_IN = 12_000.0
"""No length at one pole is more than 1,000 ft; a mistake is likelier."""

Enter = Callable[[Any], str]
"""What happens with an entered length; gives what is wrong with it, empty when it is done."""


class Trial(Struct, frozen=True):
    """Shows what a value would bring while it is typed or pointed at.

    Attributes:
        show: shows the job with the value; gives what is wrong with it.
        drop: shows the job as it is again.
    """

    show: Callable[[Any], str]
    drop: Callable[[], None]


class LengthEntry(JobEntry):
    """A length: shown as it is written, typed in any of the usual ways.

    What was understood, or what is wrong, is told by `said` while typing goes on and after Enter;
    a wrong text changes nothing.
    """

    said = Signal(str)

    def __init__(
        self,
        name: str,
        enter: Enter,
        *,
        signed: str = "",
        empty: str = "",
        hint: str = "",
        trial: Trial | None = None,
        parent: QWidget | None = None,
    ) -> None:
        """An entry.

        Args:
            name: what the length is.
            enter: what happens with it.
            signed: what a minus sign means; without it lengths below zero are refused.
            empty: what an empty entry means; without it an empty entry is refused.
            hint: what else should be known of it.
            trial: what shows a length while it is typed.
            parent: the widget it is on.
        """
        super().__init__(parent)
        self.name = name
        self._enter, self._signed, self._empty, self._trial = enter, signed, empty, trial
        self._settings = Settings()
        self._shown = ""
        self._reason = ""
        self.setAccessibleName(name)
        self._hint = "; ".join(filter(None, (hint, HOW, signed, empty)))
        self.setToolTip(self._hint)
        self.setAccessibleDescription(self._hint)
        self.textEdited.connect(self._echo)
        self.editingFinished.connect(self._finish)

    def show_length(self, value_in: Any, settings: Settings, reason: str = "") -> None:
        """Show a length, unless another is being typed.

        Args:
            value_in: the length, `None` when there is none.
            settings: units of the job.
            reason: why it cannot be typed, empty when it can.
        """
        self._settings = settings
        if reason != self._reason:  # while things are moved by hand this is said at every move
            self.setReadOnly(bool(reason))
            self.setToolTip(reason or self._hint)
            self.setAccessibleDescription(reason or self._hint)
        if reason or self._reason:
            palette = QPalette() if not reason else self.palette()
            if reason:
                quiet = palette.color(QPalette.ColorGroup.Active, QPalette.ColorRole.Window)
                palette.setColor(QPalette.ColorRole.Base, quiet)
            self.setPalette(palette)
        self._reason = reason
        self._shown = "" if value_in is None else self._written(value_in)
        if not self.isModified() and self.text() != self._shown:
            self.setText(self._shown)
            self.setCursorPosition(0)

    def _written(self, value: Any) -> str:
        return length_text(value, step_in=1 / 16, system=self._settings.units)

    def read(self) -> tuple[Any, str]:
        """The typed length, and what else it could mean.

        Raises:
            LengthError: it is no length, or one that has no sense here.
        """
        text = self.text().strip()
        if not text and self._empty:
            return None, ""
        typed = read_length(text, "m" if self._settings.units == "metric" else "in")
        if abs(typed.value_in) > MOST_IN:
            raise LengthError(f"'{text}' is more than 1,000 ft, longer than anything here")
        if typed.value_in < 0 and not self._signed:
            raise LengthError(f"'{text}' is below zero, which means nothing here")
        if typed.other_in is None:
            return typed.value_in, ""
        value, other = self._written(typed.value_in), self._written(typed.other_in)
        return typed.value_in, f"'{text}' is read as {value}; if you mean {other}, type that"

    def _echo(self) -> None:
        try:
            value, both = self.read()
        except LengthError:
            self.said.emit("")  # not finished yet
            self._drop_trial()
            return
        problem = self._trial.show(value) if self._trial is not None else ""
        if problem:
            self._drop_trial()
        if both:
            self.said.emit(f"{self.name}: {both}")
        elif problem:
            self.said.emit(f"{self.name}: {problem}")
        else:
            words = self._empty if value in (None, ()) else f"= {self._written(value)}"
            self.said.emit(f"{self.name} {words}")

    def _drop_trial(self) -> None:
        if self._trial is not None:
            self._trial.drop()

    def put_back(self) -> None:
        """Show again what was there before it was typed over."""
        self._drop_trial()
        self.setText(self._shown)
        self.setModified(False)
        self.said.emit("")

    def _finish(self) -> None:
        if not self.isModified():
            return
        try:
            value, both = self.read()
        except LengthError as problem:
            self.refuse(str(problem))
            return
        problem_text = self._enter(value)
        if problem_text:
            self.refuse(problem_text)
            return
        self.setModified(False)
        self.setText(self._shown)
        self.said.emit(f"{self.name}: {both}" if both else "")

    def refuse(self, problem: str) -> None:
        """Say what is wrong; what was there before is put back once the entry is left."""
        self._drop_trial()
        kept = f"; {self._shown} is kept" if self._shown else ""
        self.said.emit(f"{self.name}: {problem}{kept}")
        if not self.hasFocus():
            self.setText(self._shown)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Select all, so that typing replaces; a locked entry says why it is locked."""
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.selectAll()
        if self._reason:
            self.said.emit(f"{self.name}: {self._reason}")


class Choice(QComboBox):
    """A few words to choose from, each with a value behind it.

    With a trial, what is pointed at in the open list is shown before it is chosen.
    """

    def __init__(
        self,
        name: str,
        choose: Callable[[object], None],
        parent: QWidget | None = None,
        *,
        trial: Trial | None = None,
    ) -> None:
        super().__init__(parent)
        self.name = name
        self._choose, self._trial = choose, trial
        self._options: Sequence[tuple[str, object]] = ()
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.activated.connect(self._chosen)
        if trial is not None:
            self.highlighted.connect(self._pointed_at)
            self.view().installEventFilter(self)

    def show_options(
        self, options: Sequence[tuple[str, object]], value: object, reason: str = ""
    ) -> None:
        """Show what there is to choose and what is chosen; with a reason nothing can be chosen.

        A list that is open stays as it is: what it points at is only tried.
        """
        if self.view().isVisible():
            return
        if options != self._options:
            self._options = options
            self.clear()
            self.addItems([words for words, _ in options])
        index = next((row for row, (_, held) in enumerate(options) if held == value), -1)
        self.setCurrentIndex(index)
        self.setEnabled(not reason)
        self.setToolTip(reason or self.name)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint what is chosen, with dots where there is no room for all of it."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        painter = QStylePainter(self)
        if self.currentIndex() < 0:
            option.currentText = self.placeholderText()
            faint = option.palette.placeholderText()
            option.palette.setBrush(QPalette.ColorRole.ButtonText, faint)
        field = self.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox,
            option,
            QStyle.SubControl.SC_ComboBoxEditField,
            self,
        )
        option.currentText = self.fontMetrics().elidedText(
            option.currentText, Qt.TextElideMode.ElideRight, field.width() - 2
        )
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        event.accept()

    def _chosen(self, index: int) -> None:
        self._choose(self._options[index][1])

    def _pointed_at(self, index: int) -> None:
        if self._trial is not None and self.view().isVisible():
            self._trial.show(self._options[index][1])

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """When the list closes, what was only pointed at is gone with it."""
        if event.type() == QEvent.Type.Hide and self._trial is not None:
            self._trial.drop()
        return super().eventFilter(watched, event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel changes nothing unless the choice has the focus."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


def compass_options(azimuth_deg: float) -> tuple[tuple[str, float], ...]:
    """The eight compass points, and the direction itself when it is none of them."""
    points = tuple((compass(45.0 * step, words=True), 45.0 * step) for step in range(8))
    if any(abs(azimuth_deg - point) < 1e-6 for _, point in points):
        return points
    return (*points, (f"{azimuth_deg:g} degrees", azimuth_deg))


class Cell(QWidget):
    """A control, or a text, under its name, as in the title block of a sheet."""

    def __init__(self, control: LengthEntry | TextEntry | Choice | Said, width: int = 108) -> None:
        super().__init__()
        self.control = control
        self.caption = caption = QLabel(control.name, self)
        if not isinstance(control, Said):
            caption.setBuddy(control)
            control.setFixedWidth(width)
        font = caption.font()
        font.setPointSizeF(0.86 * font.pointSizeF())
        caption.setFont(font)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addWidget(caption)
        column.addWidget(control)
        column.addStretch(1)


class Said(QLabel):
    """A text that only tells."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setContentsMargins(0, 4, 0, 0)
        self.setAccessibleName(name)
