"""The stock: a list by kind with a search, from which parts are put on what is selected."""

from __future__ import annotations

from functools import reduce

from msgspec.structs import replace
from PySide6.QtCore import QModelIndex, QPoint, QSortFilterProxyModel, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import (
    QApplication,
    QLabel,
    QLineEdit,
    QPushButton,
    QTreeView,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Bridge
from framer.desk.panels.subject import source_words
from framer.drawing.sheet import main_pole
from framer.edits.patterns import assumed, frame_by, ways_of
from framer.edits.places import with_thing
from framer.edits.things import add_pole, put_found, put_on, set_part, was_found_on
from framer.errors import EditError
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.place import Removed, Standing
from framer.model.stage import place_at, pole_at
from framer.stock.catalogue import catalogue
from framer.stock.patterns import pattern, patterns

PATTERN = "pattern:"
"""Stands before the id of a starting pattern in the list."""

NEW_POLE, OLD_POLE = "new pole", "old pole"
"""Stand in the list where others have the id of their part."""

ASIDE_IN = 36.0
"""A new pole is first put this far east of the old one; where it goes is then typed."""

USUAL_POLE = PoleFacts(540.0, "4", "Southern pine")
"""What a new pole is until it is said, when no pole was found: 45 ft, class 4."""

_PART = Qt.ItemDataRole.UserRole + 1


class StockPanel(QWidget):
    """Search, list and one button."""

    put = Signal(str)
    carried = Signal(str, QPoint)
    let_go = Signal()
    dropped = Signal()

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
        self.instead = QPushButton("Make It This Part", self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.search)
        column.addWidget(self.tree, 1)
        column.addWidget(self.about)
        column.addWidget(self.button)
        column.addWidget(self.instead)
        self._fill()
        self.search.textChanged.connect(self._filter)
        self.search.returnPressed.connect(self.put_chosen)
        self.search.went_down.connect(self._to_list)
        self.tree.chosen.connect(self.put_chosen)
        self.tree.carried.connect(self.carried)
        self.tree.let_go.connect(self.let_go)
        self.tree.dropped.connect(self.dropped)
        self.tree.selectionModel().currentChanged.connect(lambda *_: self.offer())
        self.button.clicked.connect(self.put_chosen)
        self.instead.clicked.connect(self.set_chosen)
        bridge.job_opened.connect(self.offer)
        bridge.job_changed.connect(self.offer)
        bridge.selection_changed.connect(self.offer)
        self.offer()

    def _fill(self) -> None:
        pole = QStandardItem("pole")
        pole.appendRow(_row("New pole", NEW_POLE))
        pole.appendRow(_row("Old pole, as it was found", OLD_POLE))
        self._model.appendRow(pole)
        whole = QStandardItem("starting pattern")
        whole.setSelectable(False)
        for one in patterns().values():
            whole.appendRow(_row(one.name, PATTERN + one.id))
        kinds: dict[str, QStandardItem] = {}
        for part in catalogue().values():
            if part.kind == "wire":
                continue
            if part.kind not in kinds:
                kinds[part.kind] = QStandardItem(part.kind)
                kinds[part.kind].setSelectable(False)
                self._model.appendRow(kinds[part.kind])
            kinds[part.kind].appendRow(_row(part.name, part.id))
        self._model.appendRow(whole)
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

    def show_patterns(self) -> None:
        """Open the list at the starting patterns, the first of them chosen."""
        self.search.clear()
        last = self._shown.index(self._shown.rowCount() - 1, 0)
        self.tree.expand(last)
        self.tree.setCurrentIndex(self._shown.index(0, 0, last))
        self.tree.scrollTo(last, QTreeView.ScrollHint.PositionAtTop)
        self.tree.setFocus()

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
        elif part.startswith(PATTERN):
            chosen = pattern(part.removeprefix(PATTERN))
            words = f"{chosen.about} Distances: {chosen.source.document}."
        elif part in _POLES:
            words = "Its length, class and place are typed below the sheet once it stands."
        self.about.setText(words)
        reason = self.why_not(part)
        host = self.bridge.job.label(self.bridge.selected) if self.bridge.selected else ""
        label = f"Put on {host}" if host else "Put on"
        if part in _POLES:
            label = f"Set the {part}"
        elif stock is not None and was_found_on(self.bridge.job, self.bridge.selected):
            label = f"Found on {host}"
        if part.startswith(PATTERN):
            on = self._pattern_pole()
            label = f"Frame {self.bridge.job.label(on)}" if on else "Frame"
        self.button.setText(label)
        self.button.setEnabled(not reason)
        self.button.setToolTip(reason or "Enter and a double click do the same")
        if reason:
            self.about.setText(f"{reason[0].upper()}{reason[1:]}. {words}")
        self.instead.setVisible(any(key in self.bridge.job.item_by_id for key in self._in_hand))
        why = self.why_not_instead(part)
        self.instead.setEnabled(not why)
        stays = f"{self._called} becomes this part and stays where it is"
        self.instead.setToolTip(why or stays)

    def why_not(self, part: str) -> str:
        """Why a part cannot be put on what is selected, empty when it can."""
        if not part:
            return "choose a part in the list first"
        job = self.bridge.job
        try:
            if part in _POLES:
                _POLES[part](job)
            elif part.startswith(PATTERN):
                self._framed(job, part)
            else:
                _put(job, part, self.bridge.selected)
        except EditError as problem:
            return str(problem)
        return ""

    @property
    def _in_hand(self) -> tuple[str, ...]:
        return self.bridge.selection

    @property
    def _called(self) -> str:
        keys = self._in_hand
        return self.bridge.job.label(keys[0]) if len(keys) == 1 else f"{len(keys)} things"

    def _instead(self, job: Job, part: str) -> Job:
        return reduce(lambda made, key: set_part(made, key, part), self._in_hand, job)

    def why_not_instead(self, part: str) -> str:
        """Why what is selected cannot be made a part, empty when it can."""
        if part not in catalogue():
            return "choose a part in the list first"
        if not self._in_hand:
            return "select first what is to be this part"
        try:
            self._instead(self.bridge.job, part)
        except EditError as problem:
            return str(problem)
        return ""

    def set_chosen(self) -> None:
        """Make what is selected the chosen part."""
        part, called = self.chosen, self._called
        words = f"{called}: {catalogue()[part].name}"
        problem = self.bridge.do(words, lambda job: self._instead(job, part))
        self.bridge.say(problem or f"{words}; undo takes it back")

    def put_chosen(self) -> None:
        """Put the chosen part on what is selected, and select it."""
        part, host = self.chosen, self.bridge.selected
        reason = self.why_not(part)
        if reason:
            self.bridge.say(reason)
            return
        job = self.bridge.job
        if part.startswith(PATTERN):
            self._frame(part)
            return
        if part in _POLES:
            made, key = _POLES[part](job)
            problem = self.bridge.do(f"set {made.label(key)}", lambda job: _POLES[part](job)[0])
        else:
            made, key = _put(job, part, host)
            name = f"put {made.label(key)} on {job.label(host)}"
            problem = self.bridge.do(name, lambda job: _put(job, part, host)[0])
        if problem:
            self.bridge.say(problem)
            return
        self.bridge.select(key)
        words = f"{self.bridge.job.label(key)} is there; type or drag it to its place"
        if part == OLD_POLE:
            words = "type the old pole's length and setting depth; then put on it what was found"
        elif part not in _POLES and was_found_on(job, host):
            words = (
                f"{self.bridge.job.label(key)} was found there: type where, and what becomes of it"
            )
        self.bridge.say(words)
        self.put.emit(key)

    def _pattern_pole(self) -> str:
        """The pole a pattern would frame: the one that is selected, or carries that; else the new.

        Empty where no pole stands as framed.
        """
        job, key = self.bridge.job, self.bridge.selected
        thing = job.item_by_id.get(key) or job.wire_by_id.get(key)
        on = pole_at(job, thing, "framed") if thing is not None else None
        scene = self.bridge.session.scene("framed")
        return on if on in scene.poles else main_pole(scene, new=True)

    def _framed(self, job: Job, part: str) -> tuple[Job, tuple[str, ...], str]:
        """The job framed by a pattern, the ids of what is new, and what was taken for it."""
        chosen = pattern(part.removeprefix(PATTERN))
        ways, taken = assumed(job, ways_of(job), chosen.needs)
        return *frame_by(job, chosen.id, self._pattern_pole(), ways), taken

    def _frame(self, part: str) -> None:
        _, keys, taken = self._framed(self.bridge.job, part)
        name = pattern(part.removeprefix(PATTERN)).name
        on = self.bridge.job.label(self._pattern_pole())
        problem = self.bridge.do(f"frame {on}: {name}", lambda job: self._framed(job, part)[0])
        if problem:
            self.bridge.say(problem)
            return
        self.bridge.select(keys[0])
        more = f"; {taken}" if taken else ""
        self.bridge.say(f"{name}: {len(keys)} things are there; move them as you like{more}")
        self.put.emit(keys[0])


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
    """The list; Enter and a double click choose, a drag carries a part away."""

    chosen = Signal()
    carried = Signal(str, QPoint)
    let_go = Signal()
    dropped = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.doubleClicked.connect(lambda index: self.chosen.emit() if index.data(_PART) else None)
        self._from = QPoint()
        self._part = ""
        self._carrying = False

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Remember what a drag would carry."""
        super().mousePressEvent(event)
        self._from = event.position().toPoint()
        held = event.button() == Qt.MouseButton.LeftButton
        part = str(self.indexAt(self._from).data(_PART) or "") if held else ""
        self._part = part if part in catalogue() else ""
        self._carrying = False

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Carry the part that was pressed; without one move over the list."""
        if not self._part or not event.buttons() & Qt.MouseButton.LeftButton:
            super().mouseMoveEvent(event)
            return
        away = event.position().toPoint() - self._from
        if self._carrying or away.manhattanLength() >= QApplication.startDragDistance():
            if not self._carrying:
                self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
            self._carrying = True
            self.carried.emit(self._part, event.globalPosition().toPoint())
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go of what was carried."""
        was, self._part = self._carrying, ""
        self._carrying = False
        super().mouseReleaseEvent(event)
        if was:
            self.viewport().unsetCursor()
            self.let_go.emit()

    def _drop(self) -> None:
        self._part, self._carrying = "", False
        self.viewport().unsetCursor()
        self.dropped.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter puts the part, Escape drops what is carried."""
        if event.key() == Qt.Key.Key_Escape and self._carrying:
            self._drop()
            event.accept()
            return
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


def _all_words(text: str) -> str:
    """A pattern for names that hold every word, in any order."""
    from re import escape

    return "".join(f"(?=.*{escape(word)})" for word in text.split())


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


def _with_old_pole(job: Job) -> tuple[Job, str]:
    """The job with the pole that was found, which goes; a new one where it stands moves aside."""
    poles = [item for item in job.items if item.kind == "pole"]
    known = next((pole for pole in poles if pole.places[0].when == "found"), None)
    if known is not None:
        raise EditError(f"there is an old pole already: {job.label(known.id)}")
    made, key = add_pole(job, USUAL_POLE, Standing(when="found"), "Old pole")
    old = made.item_by_id[key]
    made = with_thing(made, replace(old, places=(*old.places, Removed(when="after"))))
    for pole in poles:
        (where, *more) = pole.places
        if isinstance(where, Standing) and (where.east_in, where.north_in) == (0.0, 0.0):
            where = replace(where, east_in=ASIDE_IN)
        made = with_thing(made, replace(pole, places=(where, *more), replaces=key))
    return made, key


_POLES = {NEW_POLE: _with_new_pole, OLD_POLE: _with_old_pole}


def _put(job: Job, part: str, host: str) -> tuple[Job, str]:
    """The job with a part on a thing, as found where that was found and goes; and its id."""
    return (put_found if was_found_on(job, host) else put_on)(job, part, host)
