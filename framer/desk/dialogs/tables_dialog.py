"""What dialogs with tables of the job have in common."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Bridge
from framer.desk.dialogs.job_dialog import JobDialog
from framer.desk.dialogs.rows import Column, Rows, row_label
from framer.model.job import Job
from framer.model.words import left_to_right

SIZE_PX = (940, 470)


class TablesDialog(JobDialog):
    """Tables on tabs, and below them one line for what is wrong or how something was understood.

    Attributes:
        tables: by what they hold.
        takes: what can be typed in the cell that is edited.
        message: what is wrong with what was typed, or how it was understood.
    """

    def __init__(self, bridge: Bridge, title: str, parent: QWidget | None = None) -> None:
        super().__init__(bridge, parent)
        self.setWindowTitle(title)
        self.takes, self.message = self._line(), self._line()
        self.takes.setAccessibleName("what the cell takes")
        self.tabs = QTabWidget(self)
        self.tables: dict[str, Rows] = {}
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        stack = QVBoxLayout(self)
        stack.addWidget(self.tabs, 1)
        stack.addWidget(self.takes)
        stack.addWidget(self.message)
        stack.addWidget(buttons)
        self.tabs.currentChanged.connect(lambda _: self._say_what_it_takes())
        self.resize(*SIZE_PX)

    def _line(self) -> QLabel:
        """A place for words below the tables that does not grow with them."""
        line = QLabel(self)
        line.setTextFormat(Qt.TextFormat.PlainText)
        line.setWordWrap(True)
        line.setMinimumHeight(2 * self.fontMetrics().lineSpacing())
        line.setAlignment(Qt.AlignmentFlag.AlignTop)
        return line

    def add_tab(
        self,
        name: str,
        columns: Sequence[Column],
        keys: Callable[[Job], Sequence[str]],
        *controls: QWidget,
        called: Callable[[Job, str], str] = row_label,
    ) -> None:
        """Add a table with what stands below it; `called` as in `Rows`."""
        page = QWidget(self.tabs)
        rows = Rows(self.bridge, name.lower(), columns, keys, self.tell, called)
        rows.itemSelectionChanged.connect(self.allow)
        rows.currentCellChanged.connect(lambda *_: self._say_what_it_takes())
        rows.itemSelectionChanged.connect(self._say_what_it_takes)
        self.tables[name] = rows
        column = QVBoxLayout(page)
        column.addWidget(rows, 1)
        if controls:
            below = QHBoxLayout()
            for control in controls:
                below.addWidget(control)
            below.addStretch(1)
            column.addLayout(below)
        self.tabs.addTab(page, name)

    def button(self, words: str, act: Callable[[], None]) -> QPushButton:
        """A button that is pressed on purpose only: Enter in a cell or an entry presses none."""
        button = QPushButton(words, self)
        button.setAutoDefault(False)
        button.clicked.connect(lambda _=False: act())
        return button

    def refresh(self) -> None:
        """Show the job as it is."""
        for rows in self.tables.values():
            rows.refresh()
        self._say_what_it_takes()
        self.allow()

    def _say_what_it_takes(self) -> None:
        """Say what the current cell of the table in front takes."""
        page = self.tabs.currentWidget()
        shown = next((one for one in self.tables.values() if one.parent() is page), None)
        self.takes.setText(left_to_right(shown.takes) if shown is not None else "")

    def tell(self, words: str) -> None:
        """Say something below the tables."""
        self.message.setText(words)

    def allow(self) -> None:
        """Enable what can be pressed now."""
