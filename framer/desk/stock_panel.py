"""The stock: a list by kind with a search, from which parts are put on what is selected."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import QModelIndex, QSortFilterProxyModel, Qt, Signal
from PySide6.QtGui import QKeyEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QLabel, QLineEdit, QPushButton, QTreeView, QVBoxLayout, QWidget

from framer.desk.bridge import Bridge
from framer.desk.subject import source_words
from framer.edits.places import with_thing
from framer.edits.things import add_part, add_pole, new_id, place_on
from framer.errors import EditError
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.place import Removed, Standing
from framer.model.stage import is_undecided, place_at
from framer.stock.catalogue import catalogue

NEW_POLE = "new pole"
"""Stands in the list where others have the id of their part."""

ASIDE_IN = 36.0
"""A new pole is first put this far east of the old one; where it goes is then typed."""

USUAL_POLE = PoleFacts(540.0, "4", "Southern pine")
"""What a new pole is until it is said, when no pole was found: 45 ft, class 4."""

GOES_ON: dict[str, tuple[str, ...]] = {
    "arm": ("pole",),
    "guy": ("pole",),
    "riser": ("pole",),
    "ground wire": ("pole",),
    "brace": ("arm",),
    "insulator": ("arm", "pole"),
    "transformer": ("pole", "arm"),
    "equipment": ("pole", "arm"),
    "bracket": ("pole", "arm"),
    "lamp": ("pole",),
    "attachment": ("pole", "arm"),
    "cutout": ("arm", "bracket", "pole"),
    "arrester": ("arm", "bracket", "pole", "transformer"),
}
"""What the kinds of parts are put on; kinds that are not named go on any item."""

_PART = Qt.ItemDataRole.UserRole + 1


class StockPanel(QWidget):
    """Search, list and one button."""

    put = Signal(str)

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.search = _Search(self)
        self.search.setPlaceholderText("search: arm 10 ft, cutout, 3/8 in")
        self.search.setAccessibleName("search the stock")
        self.search.setClearButtonEnabled(True)
        self._model = QStandardItemModel(self)
        self._shown = QSortFilterProxyModel(self)
        self._shown.setSourceModel(self._model)
        self._shown.setRecursiveFilteringEnabled(True)
        self._shown.setAutoAcceptChildRows(True)
        self._shown.setFilterCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.tree = _Tree(self)
        self.tree.setModel(self._shown)
        self.tree.setHeaderHidden(True)
        self.tree.setAccessibleName("stock by kind")
        self.tree.setEditTriggers(QTreeView.EditTrigger.NoEditTriggers)
        self.about = QLabel(self)
        self.about.setWordWrap(True)
        self.about.setTextFormat(Qt.TextFormat.PlainText)
        self.about.setMinimumHeight(3 * self.fontMetrics().lineSpacing())
        self.about.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.button = QPushButton(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.search)
        column.addWidget(self.tree, 1)
        column.addWidget(self.about)
        column.addWidget(self.button)
        self._fill()
        self.search.textChanged.connect(self._filter)
        self.search.returnPressed.connect(self.put_chosen)
        self.search.went_down.connect(self._to_list)
        self.tree.chosen.connect(self.put_chosen)
        self.tree.selectionModel().currentChanged.connect(lambda *_: self.offer())
        self.button.clicked.connect(self.put_chosen)
        bridge.job_opened.connect(self.offer)
        bridge.job_changed.connect(self.offer)
        bridge.selection_changed.connect(self.offer)
        self.offer()

    def _fill(self) -> None:
        pole = QStandardItem("pole")
        pole.appendRow(_row("New pole beside the old one", NEW_POLE))
        self._model.appendRow(pole)
        kinds: dict[str, QStandardItem] = {}
        for part in catalogue().values():
            if part.kind == "wire":
                continue
            if part.kind not in kinds:
                kinds[part.kind] = QStandardItem(part.kind)
                kinds[part.kind].setSelectable(False)
                self._model.appendRow(kinds[part.kind])
            kinds[part.kind].appendRow(_row(part.name, part.id))
        pole.setSelectable(False)
        self.tree.expand(self._shown.index(0, 0))

    def _filter(self, text: str) -> None:
        self._shown.setFilterRegularExpression(_all_words(text))
        if text.strip():
            self.tree.expandAll()
            first = self._first_part()
            if first.isValid():
                self.tree.setCurrentIndex(first)
        else:
            self.tree.collapseAll()
            self.tree.expand(self._shown.index(0, 0))
        self.offer()

    def _first_part(self) -> QModelIndex:
        kind = self._shown.index(0, 0)
        return self._shown.index(0, 0, kind) if kind.isValid() else QModelIndex()

    def _to_list(self) -> None:
        self.tree.setFocus()
        if not self.tree.currentIndex().isValid():
            self.tree.setCurrentIndex(self._first_part())

    @property
    def chosen(self) -> str:
        """Id of the chosen part, empty for none."""
        index = self.tree.currentIndex()
        return str(index.data(_PART) or "") if index.isValid() else ""

    def offer(self) -> None:
        """Say on the button what it would do, or why it cannot."""
        part = self.chosen
        stock = catalogue().get(part)
        words = ""
        if stock is not None:
            weights = dict.fromkeys(f"{weight:g}" for weight in stock.weight_lb or ())
            words = f"{' to '.join(weights)} lb; " if weights else ""
            words += source_words(stock)
        elif part == NEW_POLE:
            words = "Its length, class and place are typed below the sheet once it stands."
        self.about.setText(words)
        reason = self.why_not(part)
        host = self.bridge.job.label(self.bridge.selected) if self.bridge.selected else ""
        label = "Set the new pole" if part == NEW_POLE else f"Put on {host}" if host else "Put on"
        self.button.setText(label)
        self.button.setEnabled(not reason)
        self.button.setToolTip(reason or "Enter and a double click do the same")
        if reason:
            self.about.setText(f"{reason[0].upper()}{reason[1:]}. {words}")

    def why_not(self, part: str) -> str:
        """Why a part cannot be put on what is selected, empty when it can."""
        if not part:
            return "choose a part in the list first"
        job = self.bridge.job
        try:
            if part == NEW_POLE:
                _with_new_pole(job)
            else:
                _with_part(job, part, self.bridge.selected)
        except EditError as problem:
            return str(problem)
        return ""

    def put_chosen(self) -> None:
        """Put the chosen part on what is selected, and select it."""
        part, host = self.chosen, self.bridge.selected
        reason = self.why_not(part)
        if reason:
            self.bridge.say(reason)
            return
        job = self.bridge.job
        if part == NEW_POLE:
            _, key = _with_new_pole(job)
            problem = self.bridge.do("set New pole", lambda job: _with_new_pole(job)[0])
        else:
            made, key = _with_part(job, part, host)
            name = f"put {made.label(key)} on {job.label(host)}"
            problem = self.bridge.do(name, lambda job: _with_part(job, part, host)[0])
        if problem:
            self.bridge.say(problem)
            return
        self.bridge.select(key)
        self.bridge.say(f"{self.bridge.job.label(key)} is there; type or drag it to its place")
        self.put.emit(key)


class _Search(QLineEdit):
    """The search field; Down goes to the list."""

    went_down = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go down into the list."""
        if event.key() == Qt.Key.Key_Down:
            self.went_down.emit()
            event.accept()
            return
        super().keyPressEvent(event)


class _Tree(QTreeView):
    """The list; Enter and a double click choose."""

    chosen = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.doubleClicked.connect(lambda index: self.chosen.emit() if index.data(_PART) else None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter puts the part."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.chosen.emit()
            event.accept()
            return
        super().keyPressEvent(event)


def _row(words: str, part: str) -> QStandardItem:
    row = QStandardItem(words)
    row.setData(part, _PART)
    row.setToolTip(words)
    return row


def _a(kind: str) -> str:
    """The kind with its article."""
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def _all_words(text: str) -> str:
    """A pattern for names that hold every word, in any order."""
    from re import escape

    return "".join(f"(?=.*{escape(word)})" for word in text.split())


def _with_part(job: Job, part: str, host: str) -> tuple[Job, str]:
    """The job with a part put on a host that is there as framed."""
    if not host:
        raise EditError("select first what it goes on: the pole, an arm, or an item")
    item = job.item_by_id.get(host)
    if item is None:
        raise EditError(f"nothing is put on {job.label(host)}; select the pole, an arm or an item")
    where = place_at(job, item, "framed")
    if where is None or isinstance(where, Removed):
        raise EditError(f"{job.label(host)} is not there as framed")
    if is_undecided(item):
        raise EditError(f"say first what becomes of {job.label(host)}")
    kind = catalogue()[part].kind
    takes = GOES_ON.get(kind)
    if takes is not None and item.kind not in takes:
        raise EditError(f"{_a(kind)} goes on {' or '.join(_a(one) for one in takes)}")
    number = new_id(job, kind).rpartition("-")[2]
    return add_part(job, part, place_on(job, part, host), f"{kind.capitalize()} {number}")


def _with_new_pole(job: Job) -> tuple[Job, str]:
    """The job with a new pole beside the old one, of the same size, in its stead."""
    poles = [item for item in job.items if item.kind == "pole"]
    new = next((pole for pole in poles if pole.places[0].when != "found"), None)
    if new is not None:
        raise EditError(f"there is a new pole already: {job.label(new.id)}")
    old: Item | None = poles[0] if poles else None
    facts = old.pole if old and old.pole and old.pole.length_in else USUAL_POLE
    at = place_at(job, old, "found") if old else None
    where = Standing(when="after")
    if isinstance(at, Standing):
        where = replace(
            where, east_in=at.east_in + ASIDE_IN, north_in=at.north_in, grade_in=at.grade_in
        )
    made, key = add_pole(job, facts, where, "New pole")
    if old is not None:
        made = with_thing(made, replace(made.item_by_id[key], replaces=old.id))
    return made, key
