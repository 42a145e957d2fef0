"""The dialog with the revisions of a job and its sign-off."""

from __future__ import annotations

import datetime

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Bridge
from framer.desk.dialogs.job_dialog import JobDialog
from framer.errors import FramerError
from framer.files.revisions import is_latest, revision_words, signed, standing, thawed
from framer.takeoff.revision import revision

SIZE_PX = (640, 460)


class Revisions(JobDialog):
    """What was issued and what changed; issuing and signing are steps that can be taken back."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(bridge, parent)
        self.setWindowTitle("Revisions and sign-off")
        self.state = QLabel(self)
        self.state.setTextFormat(Qt.TextFormat.PlainText)
        self.state.setWordWrap(True)
        self.listed = QListWidget(self)
        self.listed.setWordWrap(True)
        self.listed.setAccessibleName("revisions, and what changed after each")
        self.by, self.note = QLineEdit(self), QLineEdit(self)
        self.by.setAccessibleName("name of who issues or signs")
        self.note.setAccessibleName("what the revision is issued for")
        self.issue, self.sign = QPushButton("&Issue", self), QPushButton("&Sign Off", self)
        self.issue.clicked.connect(self._issue)
        self.sign.clicked.connect(self._sign)
        self.by.textChanged.connect(lambda _: self._allow())
        rows = QFormLayout()
        rows.addRow("&Name", self.by)
        rows.addRow("N&ote", self.note)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.issue)
        row.addWidget(self.sign)
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)
        self.message.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        for button in (*buttons.buttons(), self.issue, self.sign):
            if isinstance(button, QPushButton):
                button.setAutoDefault(False)
        stack = QVBoxLayout(self)
        stack.addWidget(self.state)
        stack.addWidget(self.listed, 1)
        stack.addLayout(rows)
        stack.addLayout(row)
        stack.addWidget(self.message)
        stack.addWidget(buttons)
        self.resize(*SIZE_PX)

    def showEvent(self, event: QShowEvent) -> None:
        """Show the job as it is."""
        self.message.clear()
        super().showEvent(event)
        self.by.setFocus()

    def refresh(self) -> None:
        """Show what was issued, what changed since, and who checked it."""
        job = self.bridge.job
        self.state.setText(
            "; ".join((revision_words(job) or "no revision is issued", standing(job)))
        )
        self.listed.clear()
        try:
            self._list()
        except FramerError as problem:
            self.message.setText(str(problem))
        self._allow()

    def _list(self) -> None:
        job, before = self.bridge.job, None
        for one in job.revisions:
            said = f"revision {one.number}, {one.date}, issued by {one.by}"
            self.listed.addItem(": ".join(filter(None, (said, one.note))))
            then = thawed(one)
            if before is not None:
                self._changes(revision(before, then).lines)
            before = then
        if before is not None and not is_latest(job):
            self.listed.addItem("since then")
            self._changes(revision(before, job).lines)

    def _changes(self, lines: tuple[str, ...]) -> None:
        for line in lines or ("nothing on drawing or lists",):
            self.listed.addItem(f"    {line}")

    def _allow(self) -> None:
        named = "" if self.by.text().strip() else "type a name first"
        same = "nothing has changed since the last revision" if is_latest(self.bridge.job) else ""
        for button, reason, hint in (
            (self.issue, named or same, "freeze the job as its next revision"),
            (self.sign, named, "checked by this name; any later change ends it"),
        ):
            button.setEnabled(not reason)
            button.setToolTip(reason or hint)

    def _issue(self) -> None:
        by, note, today = self.by.text(), self.note.text().strip(), _today()
        self.message.setText(self.bridge.issue(by, today, note))

    def _sign(self) -> None:
        by, today = self.by.text(), _today()
        self.message.setText(self.bridge.do_here("sign off", lambda job: signed(job, by, today)))


def _today() -> str:
    return datetime.date.today().isoformat()
