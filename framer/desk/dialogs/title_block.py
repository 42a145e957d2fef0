"""The dialog in which the words of the title block are typed: name, place, who drafted it, when."""

from __future__ import annotations

import datetime
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Bridge
from framer.desk.dialogs.job_dialog import JobDialog
from framer.desk.entries.text_entry import TextEntry
from framer.edits.title import set_title
from framer.model.job import Job

WIDE_PX = 520
FIELDS = (
    ("name", "&Name of the job", "as on every sheet"),
    ("place", "&Place", "where the pole is"),
    ("owner", "&Owner", "whose line it is"),
    ("drafted_by", "Drafted &by", "your name"),
    ("date", "&Date", "such as 2026-04-30"),
    ("note", "No&te", "on no sheet; for who opens the job"),
)
"""Fields of the job, what they are called, and what is typed there."""

WHERE = "Edit, Job Title Block"


def lacking(job: Job) -> str:
    """What the title block has left open, and where that is typed; empty where nothing is."""
    words = {"drafted_by": "who drafted it", "date": "the date"}
    open_ = [said for field, said in words.items() if not getattr(job, field)]
    is_or_are = "are" if len(open_) > 1 else "is"
    return f"{' and '.join(open_)} {is_or_are} typed in {WHERE}" if open_ else ""


class TitleBlock(JobDialog):
    """One entry a field; each is a step when it is entered.

    Attributes:
        entries: the entries, by the field of the job.
        today: types today's date.
    """

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(bridge, parent)
        self.setWindowTitle("Job title block")
        self.entries: dict[str, TextEntry] = {}
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)
        self.message.setWordWrap(True)
        self.today = QPushButton("&Today", self)
        self.today.setAutoDefault(False)
        self.today.setToolTip("type today's date")
        self.today.clicked.connect(self._on_today)
        rows = QFormLayout()
        for field, words, _ in FIELDS:
            entry = TextEntry(words.replace("&", ""), partial(self._enter, field))
            entry.said.connect(self.message.setText)
            self.entries[field] = entry
            row = QHBoxLayout()
            row.addWidget(entry, 1)
            if field == "date":
                row.addWidget(self.today)
            rows.addRow(words, row)
            label = rows.labelForField(row)
            if isinstance(label, QLabel):
                label.setBuddy(entry)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        for button in buttons.buttons():
            if isinstance(button, QPushButton):
                button.setAutoDefault(False)
        stack = QVBoxLayout(self)
        stack.addLayout(rows)
        stack.addWidget(self.message)
        stack.addWidget(buttons)
        self.resize(WIDE_PX, self.sizeHint().height())

    def refresh(self) -> None:
        """Show the words as they now are."""
        for field, _, hint in FIELDS:
            self.entries[field].show_text(getattr(self.bridge.job, field), hint)
        self.message.clear()

    def _enter(self, field: str, text: str) -> str:
        name = self.entries[field].name.lower()
        return self.bridge.do_here(
            f"title block, {name}", lambda job: set_title(job, **{field: text})
        )

    def _on_today(self) -> None:
        today = datetime.date.today().isoformat()
        self.message.setText(self._enter("date", today))
