"""The dialog in which heights are typed as the crew measured them; gaps are judged at once."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QDialogButtonBox,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Bridge
from framer.desk.dialogs.job_dialog import JobDialog
from framer.desk.entries.entry import LengthEntry
from framer.edits.revisions import built_at, built_deep, not_built
from framer.takeoff.built import BuiltRow, measurable

COLUMNS = ("What", "As drawn", "As built, typed", "Difference")
WIDTHS_PX = (240, 200, 150, 150)
SIZE_PX = (800, 460)


class AsBuilt(JobDialog):
    """What was drawn beside what was measured; every height typed is a step to take back."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(bridge, parent)
        self.setWindowTitle("Heights as built")
        self.table = QTableWidget(0, len(COLUMNS), self)
        self.table.setHorizontalHeaderLabels(COLUMNS)
        self.table.verticalHeader().hide()
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.table.setAccessibleName("things on the poles, as drawn and as built")
        for column, width in enumerate(WIDTHS_PX):
            self.table.setColumnWidth(column, width)
        self.table.horizontalHeader().setStretchLastSection(True)
        self.entries: dict[str, LengthEntry] = {}
        self.note = QLabel(self)
        self.note.setTextFormat(Qt.TextFormat.PlainText)
        self.note.setWordWrap(True)
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)
        self.message.setWordWrap(True)
        self.dragging = QCheckBox("Things &dragged on the sheet are measured as built", self)
        self.dragging.setToolTip(
            "on: a drag up or down is the actual height, and what was drawn stays; off: a drag "
            "changes the drawing. It ends with this dialog."
        )
        self.dragging.toggled.connect(self._drag)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        close = buttons.button(QDialogButtonBox.StandardButton.Close)
        close.setAutoDefault(False)  # Enter takes a height, and leaves the dialog open
        stack = QVBoxLayout(self)
        stack.addWidget(self.table, 1)
        stack.addWidget(self.dragging)
        stack.addWidget(self.message)
        stack.addWidget(self.note)
        stack.addWidget(buttons)
        self.resize(*SIZE_PX)

    def hideEvent(self, event: QHideEvent) -> None:
        """A drag is drawn again, not measured."""
        self.dragging.setChecked(False)
        super().hideEvent(event)

    def _drag(self, on: bool) -> None:
        self.bridge.as_built = on
        self.bridge.say(
            "what is dragged up or down is now measured as built"
            if on
            else "what is dragged changes the drawing again"
        )

    def refresh(self) -> None:
        """Show every thing that can be measured, and what is found with what was measured."""
        rows = measurable(self.bridge.job)
        if [row.key for row in rows] != list(self.entries):
            self._list_anew(rows)
        for at, row in enumerate(rows):
            drawn, _, off = row.words
            what = "set" if row.what == "set" else "above ground"
            cells = (row.label, f"{drawn} {what}", "", off if row.is_measured or row.off_in else "")
            for column in (0, 1, 3):
                item = self.table.item(at, column)
                if item is not None:
                    item.setText(cells[column])
            value = row.built_in if row.is_measured else None
            self.entries[row.key].show_length(value, self.bridge.job.settings)
        counts = self.bridge.session.findings("framed").counts
        measured = any(row.is_measured for row in rows)
        self.note.setText(
            ("As built: " if measured else "Nothing is measured; as drawn: ")
            + ", ".join(f"{many} {verdict}" for verdict, many in counts.items())
        )

    def _list_anew(self, rows: tuple[BuiltRow, ...]) -> None:
        self.entries.clear()
        self.table.setRowCount(0)
        self.table.setRowCount(len(rows))
        for at, row in enumerate(rows):
            for column in (0, 1, 3):
                self.table.setItem(at, column, QTableWidgetItem())
            name = f"{row.label}, {'set' if row.what == 'set' else 'above ground'}, as built"
            entry = LengthEntry(name, partial(self._built, row.key), empty="empty: not measured")
            entry.said.connect(self.message.setText)
            self.entries[row.key] = entry
            self.table.setCellWidget(at, 2, entry)

    def _built(self, key: str, value: float | None) -> str:
        item = self.bridge.job.item_by_id[key]
        name = f"{self.bridge.job.label(key)} as built"
        if value is None:
            return self.bridge.do(name, lambda job: not_built(job, key))
        if item.kind == "pole":
            return self.bridge.do(name, lambda job: built_deep(job, key, value))
        return self.bridge.do(name, lambda job: built_at(job, key, "height", value))
