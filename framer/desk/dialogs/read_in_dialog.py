"""The dialog in which the columns of a survey sheet get their meaning, before rows are read in."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHeaderView,
    QLabel,
    QListWidget,
    QMessageBox,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from framer.errors import FramerError
from framer.files.read_in import COLUMNS, Bare, ReadIn, columns_of, rows_in
from framer.files.tables import Table, TableFaultsError
from framer.model.job import Job

SIZE_PX = (820, 620)
SHOWN_ROWS = 3
"""So many values of a column are shown beside its heading."""

WAIT_MS = 150
"""Rows are tried again when no choice was changed for so long."""

NOT_READ = "not read"
HEAD = (
    "Choose a table, CSV or XLSX, with one item or wire as found in each row, and headings above. "
    "Only the kind is needed; these columns are understood, in any order:"
)
TAIL = (
    "Lengths are written with their unit: 28 ft 3 in, 8.6 m. What other headings mean is chosen "
    "in the next window, before anything is read in."
)
MEANS: dict[str, str] = {
    "kind": "kind: arm, insulator, wire ...",
    "id": "id, as other rows name it",
    "name": "name",
    "part": "stock part",
    "on": "what it is on: pole, arm or item",
    "height": "height above ground",
    "drop": "distance below the top",
    "along": "distance along the arm",
    "side": "side of the pole",
    "owner": "owner",
    "circuit": "circuit",
    "phase": "phase",
    "span": "span, by where it goes",
    "sag": "sag",
    "tolerance": "give or take",
    "date": "day it was read",
    "note": "note",
}
UNITS: tuple[tuple[str, Bare], ...] = (
    ("is wrong: write one", ""),
    ("is in inches", "in"),
    ("is in feet", "ft"),
    ("is in metres", "m"),
)


def understood_first(window: QWidget) -> bool:
    """Say which columns a survey sheet may have, before one is chosen; whether one is to be."""
    buttons = QMessageBox.StandardButton.Open | QMessageBox.StandardButton.Cancel
    answer = QMessageBox.question(
        window, "Read in a survey", understood(), buttons, QMessageBox.StandardButton.Open
    )
    return answer == QMessageBox.StandardButton.Open


def understood() -> str:
    """Which columns a survey sheet may have, and other headings that are taken for them."""
    lines = []
    for column, others in COLUMNS.items():
        meaning = MEANS.get(column, "").removeprefix(column).lstrip(":, ")
        known = f"  (or {', '.join(others)})" if others else ""
        lines.append(f"{column}{f' - {meaning}' if meaning else ''}{known}")
    return "\n".join((HEAD, "", *lines, "", TAIL))


class ReadInDialog(QDialog):
    """Shows the columns of a table and what is wrong with its rows, until they can be read in.

    Attributes:
        found: the job with what was read, `None` while something is wrong.
        choices: what each column means.
    """

    def __init__(self, job: Job, table: Table, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.job, self.table = job, table
        self.found: ReadIn | None = None
        self.setWindowTitle(f"Read in {table.file}")
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT_MS)
        self._timer.timeout.connect(self.try_rows)
        self.choices: list[QComboBox] = []
        self.columns = self._made_columns(columns_of(table, {}))
        self.unit = QComboBox(self)
        self.unit.setAccessibleName("what a length without a unit means")
        for words, bare in UNITS:
            self.unit.addItem(words, bare)
        self.unit.currentIndexChanged.connect(lambda _: self._timer.start())
        self.state = QLabel(self)
        self.state.setTextFormat(Qt.TextFormat.PlainText)
        self.state.setWordWrap(True)
        self.problems = QListWidget(self)
        self.problems.setWordWrap(True)
        self.problems.setAccessibleName("what is wrong, row by row")
        self.buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel, self
        )
        self.read = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        self.read.setText("&Read In")
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        stack = QVBoxLayout(self)
        stack.addWidget(QLabel("Say what each column of the table is.", self))
        stack.addWidget(self.columns, 3)
        form = QFormLayout()
        form.addRow("A length without a &unit", self.unit)
        stack.addLayout(form)
        stack.addWidget(self.state)
        stack.addWidget(self.problems, 2)
        stack.addWidget(self.buttons)
        self.resize(*SIZE_PX)
        self.try_rows()

    def _made_columns(self, guessed: list[str]) -> QTableWidget:
        shown = QTableWidget(len(self.table.headings), 3, self)
        shown.setHorizontalHeaderLabels(["Heading", "First rows", "Is"])
        shown.verticalHeader().hide()
        shown.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        shown.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        shown.setTabKeyNavigation(False)
        shown.setAccessibleName("columns of the table")
        for at, heading in enumerate(self.table.headings):
            first = [row.text(str(at)) for row in self.table.rows[:SHOWN_ROWS]]
            shown.setItem(at, 0, QTableWidgetItem(heading or "(no heading)"))
            shown.setItem(at, 1, QTableWidgetItem(", ".join(filter(None, first))))
            choice = QComboBox(shown)
            choice.setAccessibleName(f"what {heading or 'this column'} is")
            choice.addItem(NOT_READ, "")
            for column in COLUMNS:
                choice.addItem(MEANS.get(column, column), column)
            choice.setCurrentIndex(choice.findData(guessed[at]))
            choice.currentIndexChanged.connect(lambda _: self._timer.start())
            self.choices.append(choice)
            shown.setCellWidget(at, 2, choice)
        header = shown.horizontalHeader()
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(2, QHeaderView.ResizeMode.ResizeToContents)
        return shown

    def try_rows(self) -> None:
        """Read the rows as the columns now are, and say how many come in or what is wrong."""
        self._timer.stop()
        columns = [str(choice.currentData()) for choice in self.choices]
        bare = cast("Bare", self.unit.currentData())
        self.found, problems = None, []
        try:
            self.found = rows_in(self.job, self.table, columns, bare)
        except TableFaultsError as wrong:
            problems = list(wrong.problems)
        except FramerError as wrong:
            problems = [str(wrong)]
        self.problems.clear()
        self.problems.addItems(problems)
        if self.found is not None:
            left = f"; not read: {', '.join(self.found.left)}" if self.found.left else ""
            words = f"{self.found.items} items and {self.found.wires} wires can be read in{left}"
        else:
            many = f"{len(problems)} rows are" if len(problems) > 1 else "something is"
            words = f"Nothing is read in while {many} wrong:"
        self.state.setText(words)
        ready = self.found is not None
        self.read.setEnabled(ready)
        self.read.setToolTip("" if ready else "mend what is listed first, here or in the table")

    def accept(self) -> None:
        """Take the rows as the columns now are."""
        if self._timer.isActive():
            self.try_rows()
        if self.found is not None:
            super().accept()
