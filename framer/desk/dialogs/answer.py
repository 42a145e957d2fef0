"""The dialog in which somebody answers for a gap that stays short."""

from __future__ import annotations

import datetime

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from framer.checks.explain import gap_text, one_line
from framer.checks.finding import Finding
from framer.checks.waivers import waive
from framer.desk.bridge import Bridge

WIDTH_PX = 460


class AnswerFor(QDialog):
    """Name, reason and day of a waiver for one finding."""

    def __init__(self, bridge: Bridge, finding: Finding, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge, self.finding = bridge, finding
        self.setWindowTitle("Answer for a short gap")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        job = bridge.job
        what = _wrapped(f"{finding.verdict}: {one_line(job, finding)}", self)
        ends = _wrapped(
            f"It stays short and is listed as answered for. This lapses when the gap, now "
            f"{gap_text(job, finding)}, gets smaller.",
            self,
        )
        self.name, self.reason, self.day = QLineEdit(self), QLineEdit(self), QLineEdit(self)
        self.day.setText(datetime.date.today().isoformat())
        self.day.setToolTip("year-month-day, such as 2026-04-30")
        self.problem = _wrapped("", self)
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        for words, entry in (
            ("&Who answers for it", self.name),
            ("Wh&y it may stay", self.reason),
            ("&Day", self.day),
        ):
            form.addRow(words, entry)
            entry.setAccessibleName(words.replace("&", ""))
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Cancel, self)
        self.ok = self.buttons.addButton("&Answer for It", QDialogButtonBox.ButtonRole.AcceptRole)
        self.ok.setDefault(True)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        for part in (what, ends):
            column.addWidget(part)
        column.addLayout(form)
        column.addWidget(self.problem)
        column.addWidget(self.buttons)
        self.setMinimumWidth(WIDTH_PX)
        self.name.setFocus()

    def accept(self) -> None:
        """Answer for it, or say what is missing."""
        finding = self.finding
        by, reason, day = (entry.text() for entry in (self.name, self.reason, self.day))
        problem = self.bridge.do(
            f"answer for {finding.rule.title}",
            lambda job: waive(job, finding, reason=reason, by=by, date=day.strip()),
        )
        if problem:
            self.problem.setText(f"{problem[0].upper()}{problem[1:]}.")
            empty = (entry for entry in (self.name, self.reason) if not entry.text().strip())
            next(empty, self.day).setFocus()
            return
        self.bridge.say(f"{by.strip()} answers for it; undo takes it back")
        super().accept()


def _wrapped(text: str, parent: QWidget) -> QLabel:
    label = QLabel(text, parent)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label
