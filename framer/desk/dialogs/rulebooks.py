"""The dialog in which the rulebooks that judge the job are chosen."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from framer.checks.rulebook import Rulebook
from framer.desk.bridge import Bridge
from framer.edits.books import with_book, without_book

COLUMNS = ("Rulebook", "Edition", "Where it holds", "Take care")
WIDTHS_PX = (390, 150, 170)
SIZE_PX = (980, 460)
NOTE_LINES = 5

_KEY = Qt.ItemDataRole.UserRole + 1
_YES, _NO = Qt.CheckState.Checked, Qt.CheckState.Unchecked


def cares(book: Rulebook) -> str:
    """What has to be known of a book before it is relied on; empty for nothing."""
    said = []
    if book.problems:
        many = len(book.problems)
        said.append(f"incomplete: {many} rule{'s' * (many > 1)} cannot be read")
    if book.book.partial:
        said.append("partial: its silence means nothing")
    memory = sum(rule.source.how_known == "memory" for rule in book.rules)
    if memory:
        said.append("from memory" if memory == len(book.rules) else "partly from memory")
    return "; ".join(said)


class Rulebooks(QDialog):
    """All rulebooks; a tick is a step that can be taken back."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.setWindowTitle("Rulebooks that judge the job")
        self.tree = QTreeWidget(self)
        self.tree.setHeaderLabels(COLUMNS)
        self.tree.setRootIsDecorated(False)
        self.tree.setAllColumnsShowFocus(True)
        self.tree.setAccessibleName("rulebooks, ticked where they judge the job")
        for column, width in enumerate(WIDTHS_PX):
            self.tree.setColumnWidth(column, width)
        self.note = QLabel(self)
        self.note.setTextFormat(Qt.TextFormat.PlainText)
        self.note.setWordWrap(True)
        self.note.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.note.setMinimumHeight(NOTE_LINES * self.fontMetrics().lineSpacing())
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)
        self.message.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        stack = QVBoxLayout(self)
        stack.addWidget(self.tree, 1)
        stack.addWidget(self.note)
        stack.addWidget(self.message)
        stack.addWidget(buttons)
        self.resize(*SIZE_PX)
        self._books: dict[str, Rulebook] = {}
        self.tree.itemChanged.connect(self._on_tick)
        self.tree.currentItemChanged.connect(lambda *_: self._tell())
        bridge.job_opened.connect(self.hide)
        bridge.job_changed.connect(self._on_job)

    def showEvent(self, event: QShowEvent) -> None:
        """List the books as they are now."""
        super().showEvent(event)
        self.message.clear()
        self._list_anew()
        self.tree.setFocus()

    def _on_job(self) -> None:
        if self.isVisible():
            self.refresh()

    def _list_anew(self) -> None:
        self.tree.clear()
        self.refresh()
        self.tree.setCurrentItem(self.rows()[0])

    def refresh(self) -> None:
        """Show the books and what is ticked; new ones come last, rows stay where they are."""
        session = self.bridge.session
        self._books = {book.book.id: book for book in session.shelf()}
        rows = {str(row.data(0, _KEY)): row for row in self.rows()}
        self.tree.blockSignals(True)
        for key, book in self._books.items():
            row = rows.get(key)
            if row is None:
                row = QTreeWidgetItem(self.tree)
                row.setData(0, _KEY, key)
            facts = book.book
            texts = (facts.name, facts.edition, facts.jurisdiction, cares(book))
            for column, text in enumerate(texts):
                row.setText(column, text)
                row.setToolTip(column, text)
            row.setCheckState(0, _YES if key in session.job.books else _NO)
        self.tree.blockSignals(False)
        self._tell()

    def rows(self) -> list[QTreeWidgetItem]:
        """The rows of the list."""
        found = (self.tree.topLevelItem(at) for at in range(self.tree.topLevelItemCount()))
        return [row for row in found if row is not None]

    def _current(self) -> str:
        item = self.tree.currentItem()
        return str(item.data(0, _KEY)) if item is not None else ""

    def _tell(self) -> None:
        """The note of the current book, and what in it could not be read."""
        book = self._books.get(self._current())
        if book is None:
            self.note.clear()
            return
        many = len(book.rules)
        said = [f"{book.book.id}: {many} rule{'s' * (many != 1)}. {book.book.note}".strip()]
        said += [f"Not read: {problem}" for problem in book.problems[:3]]
        self.note.setText("\n".join(said))

    def _on_tick(self, row: QTreeWidgetItem, column: int) -> None:
        if column != 0:
            return
        key = str(row.data(0, _KEY))
        name = self._books[key].book.name if key in self._books else key
        if row.checkState(0) == _YES:
            problem = self.bridge.do(f"judge by {name}", lambda job: with_book(job, key))
        else:
            problem = self.bridge.do(f"not judge by {name}", lambda job: without_book(job, key))
        self.message.setText(f"{problem[0].upper()}{problem[1:]}." if problem else "")
        if problem:
            self.refresh()
