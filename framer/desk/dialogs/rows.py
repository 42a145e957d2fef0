"""Records of the job in a table, one a row; every cell that is typed over is one step."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import reduce
from typing import TypeAlias

from msgspec import Struct
from PySide6.QtCore import QAbstractItemModel, QModelIndex, QPersistentModelIndex, Qt, QTimer
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from framer.desk.bridge import Bridge
from framer.errors import EditError, LengthError
from framer.geometry.written import exact
from framer.model.job import Job
from framer.units.length import read_length

Index: TypeAlias = QModelIndex | QPersistentModelIndex
_Move = QAbstractItemView.CursorAction


class Column(Struct, frozen=True):
    """One column of a table.

    Attributes:
        title: its heading.
        show: the text of a record, by its key.
        enter: the job after a text is typed there; `None` for what is only shown.
        hint: what is understood.
        is_length: whether it holds a length, so that another reading of it is told.
        options: the only texts there are, to be chosen from a list; empty where any is typed.
    """

    title: str
    show: Callable[[Job, str], str]
    enter: Callable[[Job, str, str], Job] | None = None
    hint: str = ""
    is_length: bool = False
    options: tuple[str, ...] = ()


class Options(QStyledItemDelegate):
    """A list to choose from over a cell of a column that has only a few texts."""

    def createEditor(  # noqa: D102 - as Qt has it
        self, parent: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> QWidget:
        rows = self.parent()
        options = rows.columns[index.column()].options if isinstance(rows, Rows) else ()
        if not options:
            return super().createEditor(parent, option, index)
        box = QComboBox(parent)
        box.addItems(list(options))
        box.activated.connect(lambda _: self._chosen(box))
        return box

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show what is chosen, with the list open."""
        if not isinstance(editor, QComboBox):
            super().setEditorData(editor, index)
            return
        editor.setCurrentText(str(index.data()))
        QTimer.singleShot(0, editor, editor.showPopup)

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Take what is chosen."""
        if isinstance(editor, QComboBox):
            model.setData(index, editor.currentText())
        else:
            super().setModelData(editor, model, index)

    def _chosen(self, box: QComboBox) -> None:
        self.commitData.emit(box)
        self.closeEditor.emit(box)


class Rows(QTableWidget):
    """Records of the job, one a row."""

    def __init__(
        self,
        bridge: Bridge,
        name: str,
        columns: Sequence[Column],
        keys: Callable[[Job], Sequence[str]],
        say: Callable[[str], None],
        called: Callable[[Job, str], str] | None = None,
    ) -> None:
        """A table; `called` gives what a record is called in the history."""
        super().__init__()
        self.bridge, self.name, self.columns = bridge, name, columns
        self._keys, self._say, self._called = keys, say, called or row_label
        self.keys: tuple[str, ...] = ()
        self._filling = False
        self.setAccessibleName(name)
        self.setColumnCount(len(columns))
        self.setHorizontalHeaderLabels([column.title for column in columns])
        self.verticalHeader().setVisible(False)
        self.setTabKeyNavigation(False)
        self.setAlternatingRowColors(True)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(len(columns) - 1, QHeaderView.ResizeMode.Stretch)
        if any(column.options for column in columns):
            self.setItemDelegate(Options(self))
        self.itemChanged.connect(self._typed)

    @property
    def key(self) -> str:
        """The record of the current row, empty for none."""
        row = self.currentRow()
        return self.keys[row] if 0 <= row < len(self.keys) else ""

    @property
    def takes(self) -> str:
        """What the current cell takes, empty where nothing is known of it."""
        at = self.currentColumn()
        if not (self.key and 0 <= at < len(self.columns)):
            return ""
        column = self.columns[at]
        if column.enter is None:
            return f"{column.title}: only shown here"
        words = column.hint or ", ".join(filter(None, column.options))
        many = len({index.row() for index in self.selectedIndexes() if index.column() == at})
        of = f" of the {many} rows selected" if many > 1 else ""
        return f"{column.title}{of}: {words}" if words else ""

    def moveCursor(  # noqa: D102 - as Qt has it
        self, action: QAbstractItemView.CursorAction, keys: Qt.KeyboardModifier
    ) -> QModelIndex:
        at = super().moveCursor(action, keys)
        step = {_Move.MoveNext: 1, _Move.MovePrevious: -1}.get(action)
        if step is None or not at.isValid() or all(one.enter is None for one in self.columns):
            return at
        # what is only shown is passed over: typing there would go nowhere
        cell = at.row() * len(self.columns) + at.column()
        while self.columns[cell % len(self.columns)].enter is None:
            cell = (cell + step) % (len(self.columns) * self.rowCount())
        return self.model().index(*divmod(cell, len(self.columns)))

    def refresh(self) -> None:
        """Show the job as it is."""
        job = self.bridge.job
        self._filling = True
        self.keys = tuple(self._keys(job))
        self.setRowCount(len(self.keys))
        for row, key in enumerate(self.keys):
            for at, column in enumerate(self.columns):
                text = column.show(job, key)
                cell = self.item(row, at)
                if cell is None:
                    cell = QTableWidgetItem()
                    self.setItem(row, at, cell)
                cell.setText(text)
                flags = Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEnabled
                if column.enter is not None:
                    flags |= Qt.ItemFlag.ItemIsEditable
                cell.setFlags(flags)
                cell.setToolTip(column.hint or text)
        self._filling = False

    def _typed(self, cell: QTableWidgetItem) -> None:
        if self._filling:
            return
        column, text = self.columns[cell.column()], cell.text().strip()
        enter, keys = column.enter, [self.keys[row] for row in self._rows_typed(cell)]
        if enter is None or all(text == column.show(self.bridge.job, key) for key in keys):
            self.refresh()
            return
        what = f"{len(keys)} rows" if len(keys) > 1 else self._called(self.bridge.job, keys[0])
        problem = self.bridge.do(
            f"{column.title.lower()} of {what}",
            lambda job: reduce(lambda made, key: enter(made, key, text), keys, job),
        )
        self.refresh()
        if problem:
            self._say(f"{column.title}: {problem}")
        else:
            said = [other_reading(self.bridge.job, text) if column.is_length else ""]
            said += [f"in {len(keys)} rows; undo takes all of it back"] if len(keys) > 1 else []
            self._say("; ".join(filter(None, said)))

    def _rows_typed(self, cell: QTableWidgetItem) -> list[int]:
        """The rows a typed text is for: all that are selected in that column, else that of it."""
        chosen = {at.row() for at in self.selectedIndexes() if at.column() == cell.column()}
        return sorted(chosen) if cell.row() in chosen else [cell.row()]


def row_label(job: Job, key: str) -> str:
    """What the record of a row is called."""
    span = job.span_by_id.get(key)
    if span is not None:
        return f"span to {span.toward}"
    if " " in key and key.partition(" ")[0] in job.span_by_id:
        of, _, circuit = key.partition(" ")
        return f"{job.label(circuit)} to {job.span_by_id[of].toward}"
    return job.label(key)


# --- reading and writing of cells ---


def cell_length(job: Job, text: str) -> float:
    """The length in a typed text.

    Raises:
        EditError: it is none.
    """
    try:
        return read_length(text, "m" if job.settings.units == "metric" else "in").value_in
    except LengthError as problem:
        raise EditError(str(problem)) from problem


def length_or_none(job: Job, text: str) -> float | None:
    """The length in a typed text; `None` for an empty one.

    Raises:
        EditError: it is none.
    """
    return cell_length(job, text) if text else None


def other_reading(job: Job, text: str) -> str:
    """What a length is read as, where it could be meant in two ways."""
    try:
        typed = read_length(text, "m" if job.settings.units == "metric" else "in")
    except LengthError:
        return ""
    if typed.other_in is None:
        return ""
    value, other = written(job, typed.value_in), written(job, typed.other_in)
    return f"'{text}' is read as {value}; if you mean {other}, type that"


def written(job: Job, value_in: float | None) -> str:
    """A length as it is shown in a cell; empty for none."""
    if value_in is None:
        return ""
    return exact(job, value_in)
