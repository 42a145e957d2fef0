"""The dialog in which loading, method and grade are chosen that strength is judged by."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QLabel, QVBoxLayout, QWidget

from framer.desk.bridge import Bridge
from framer.desk.entry import Choice
from framer.strength.choice import with_choices
from framer.strength.data import loadings
from framer.strength.findings import unjudged
from framer.strength.method import methods

NONE = "none chosen"
TYPED = "typed in the job file"
WIDTH_PX = 560
NOTE_LINES = 4


class StrengthChoice(QDialog):
    """What strength is judged by; every choice is a step that can be taken back."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.setWindowTitle("What strength is judged by")
        self.loading = Choice("loading district", lambda key: self._choose("loading", key), self)
        self.method = Choice("strength method", lambda key: self._choose("method", key), self)
        self.grade = Choice("grade of construction", lambda key: self._choose("grade", key), self)
        self.note = QLabel(self)
        self.note.setTextFormat(Qt.TextFormat.PlainText)
        self.note.setWordWrap(True)
        self.note.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.note.setMinimumHeight(NOTE_LINES * self.fontMetrics().lineSpacing())
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        rows = QFormLayout()
        rows.addRow("&Loading", self.loading)
        rows.addRow("&Method", self.method)
        rows.addRow("&Grade", self.grade)
        stack = QVBoxLayout(self)
        stack.addLayout(rows)
        stack.addWidget(self.note, 1)
        stack.addWidget(buttons)
        self.resize(WIDTH_PX, self.sizeHint().height())
        bridge.job_opened.connect(self.hide)
        bridge.job_changed.connect(self._on_job)

    def showEvent(self, event: QShowEvent) -> None:
        """Show the job as it is."""
        super().showEvent(event)
        self.refresh()

    def _on_job(self) -> None:
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Show what is chosen, and what there is to choose."""
        chosen = self.bridge.job.settings
        districts = [(one.name, one.id) for one in loadings().values()]
        self.loading.show_options([(NONE, ""), *districts, (TYPED, "typed")], chosen.loading)
        ways = [(one.name, one.id) for one in methods().values()]
        self.method.show_options([(NONE, ""), *ways], chosen.strength_method)
        method = methods().get(chosen.strength_method)
        grades = [(one.id, one.id) for one in method.grade] if method else []
        reason = "" if method else "choose a method first"
        self.grade.show_options([(NONE, ""), *grades], chosen.strength_grade, reason)
        said = [unjudged(self.bridge.job)]
        if method is not None:
            said += [f"Source: {method.source.words()}.", method.note]
        self.note.setText("\n".join(filter(None, said)))

    def _choose(self, what: str, key: object) -> None:
        problem = self.bridge.do(
            f"{what} of strength", lambda job: with_choices(job, **{what: str(key)})
        )
        if problem:
            self.note.setText(problem)
