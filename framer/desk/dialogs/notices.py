"""The dialog with notices to attachers: the rules chosen, the days, and who must move what."""

from __future__ import annotations

from PySide6.QtCore import QDate, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDateEdit,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Bridge
from framer.desk.dialogs.job_dialog import JobDialog
from framer.edits.revisions import with_notice, without_notice
from framer.errors import FramerError
from framer.takeoff.notices import attached, notice_lines, notice_rules

SIZE_PX = (760, 460)


class Notices(JobDialog):
    """Who else is on the poles, and by when by which rule; each choice can be taken back."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(bridge, parent)
        self.setWindowTitle("Notices to attachers")
        self.listed = QListWidget(self)
        self.listed.setWordWrap(True)
        self.listed.setAccessibleName("attachers, what is theirs, and days")
        self.rule = QComboBox(self)
        self.rule.setAccessibleName("notice rule")
        for key, rule in notice_rules().items():
            self.rule.addItem(rule.title, key)
        self.day = QDateEdit(QDate.currentDate(), self)
        self.day.setDisplayFormat("yyyy-MM-dd")
        self.day.setCalendarPopup(True)
        self.day.setAccessibleName("day of the event the rule reckons from")
        self.told = QLabel(self)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.told.setWordWrap(True)
        self.go_by, self.drop = QPushButton("&Go by It", self), QPushButton("&Drop It", self)
        self.go_by.clicked.connect(self._go_by)
        self.drop.clicked.connect(self._drop)
        self.rule.currentIndexChanged.connect(lambda _: self._tell())
        rows = QFormLayout()
        rows.addRow("&Rule", self.rule)
        rows.addRow("D&ay", self.day)
        rows.addRow("", self.told)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.go_by)
        row.addWidget(self.drop)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        stack = QVBoxLayout(self)
        stack.addWidget(self.listed, 1)
        stack.addLayout(rows)
        stack.addLayout(row)
        stack.addWidget(buttons)
        self.resize(*SIZE_PX)

    def refresh(self) -> None:
        """List attachers and days."""
        job = self.bridge.job
        self.listed.clear()
        try:
            lines = list(notice_lines(job))
        except FramerError as problem:
            lines = [str(problem)]
        if not attached(job):
            lines.insert(0, "nobody else is on these poles, as far as owners are given")
        if not job.notices:
            lines.append("no notice rule is chosen: no day can be given")
        self.listed.addItems(lines)
        self._tell()

    def _tell(self) -> None:
        """What the rule reckons from, its source, and whether it is chosen."""
        rule = notice_rules()[str(self.rule.currentData())]
        self.told.setText(
            f"{rule.days} days {rule.reckoned} {rule.event}. Source: {rule.source.words()}."
        )
        chosen = any(one.rule == rule.id for one in self.bridge.job.notices)
        self.drop.setEnabled(chosen)
        self.drop.setToolTip("" if chosen else "this rule is not chosen")

    def _go_by(self) -> None:
        key, day = str(self.rule.currentData()), self.day.date().toString("yyyy-MM-dd")
        self.bridge.do_here("choose a notice rule", lambda job: with_notice(job, key, day))

    def _drop(self) -> None:
        key = str(self.rule.currentData())
        self.bridge.do_here("drop a notice rule", lambda job: without_notice(job, key))
