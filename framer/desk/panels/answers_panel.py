"""Answers beside the sheet: room along the pole, how far from the top, which pole, topping.

The room of what is selected is worked out once a gesture has ended; everything else when it is
asked for, a little at a time. What an answer offers is one step, as any edit.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QFontMetrics, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QButtonGroup,
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSizePolicy,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from framer.answers.bands import Bands, movable
from framer.answers.forms import Setting, framed_pole, mounted
from framer.answers.lengths import yard_of
from framer.answers.pole_words import POLE_HEADS, POLES_FROM, pole_work, top_off_work
from framer.answers.told import Told
from framer.answers.words import room_told, top_work
from framer.answers.work import Work
from framer.desk.bridge import Bridge
from framer.desk.entries.elided_label import ElidedLabel
from framer.desk.entries.entry import Choice, LengthEntry
from framer.desk.panels.asking import Asking
from framer.desk.panels.side_by_side import SideBySide
from framer.edits.links import end_link, set_link
from framer.errors import FramerError
from framer.model.item import Item
from framer.model.line import Wire
from framer.model.place import Guyed, OnPole
from framer.model.stage import host_of, place_at, pole_at
from framer.model.words import left_to_right

BUTTON_EDGES_PX = 24
"""What a button needs beside its words."""

REASON_INDENT_PX = 12
"""What decides stands this far in, below the numbers of its pole."""

REASON_ALPHA = 175
"""How strong its letters are, of 255."""

MARK_WORDS = {"+": "frames", "-": "does not do", "?": "cannot say", "!!": "short", "": ""}

WAIT_MS = 60
"""The room is worked out this long after the last change."""

NOTHING = (
    "Select an arm, or anything else that is fixed to the framed pole: here is where it can go."
)

OF_ITEM = (
    ("room", "Room", "the heights at which nothing that moves with it is short"),
    ("highest", "Highest", "how far from the top it goes"),
    ("lowest", "Lowest", "how far down it goes"),
    ("nearest", "Nearest", "the nearest place to where it is that meets everything"),
)
OF_POLE = (
    (
        "pole",
        "Which Pole",
        "the shortest pole that frames all this, everything staying where it is",
    ),
    ("topping", "Topping", "what a cut of the top changes, with the uncut pole beside it"),
)
NOWHERE = "nothing"
"""Stands in the choice of what an item follows for following nothing."""


class AnswersPanel(QWidget):
    """What can be asked of the selected thing and its pole, and the answer as a list.

    Attributes:
        room: where the selected thing can go, `None` when that is not known or not asked.
        buttons: the questions, by name.
        table: the poles to choose from, the best first; hidden for other questions.
        list: what the answer says, line by line.
        accept: carries out what the chosen line offers.
    """

    room_changed = Signal()

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.room: Bands | None = None
        self.wanted = False
        self._told: Sequence[Told] = ()
        self._rest: Sequence[Told] = ()
        self.name = QLabel(self)
        self.name.setTextFormat(Qt.TextFormat.PlainText)
        self.name.setWordWrap(True)
        self.link = LinkRow(bridge, self)
        self.buttons: dict[str, QPushButton] = {}
        self._group = QButtonGroup(self)
        self.rock = QCheckBox("in rock", self)
        self.rock.setToolTip("the depth is then that of the table for rock")
        self.slope = LengthEntry("low side", self._set_slope, empty="empty: level ground")
        self.slope.setPlaceholderText("level ground")
        self.slope.said.connect(bridge.say)
        self._slope_in = 0.0
        self.asking = Asking(self)
        self.at = ElidedLabel(self)
        self.at.setAccessibleName("what is being worked out")
        self.cancel = QPushButton("Cancel", self)
        self.cancel.setToolTip("stop working it out")
        self.table = PoleTable(self)
        self.list = _Answers(self)
        self.accept = QPushButton("Apply", self)
        self.accept.setMinimumWidth(10)
        self.accept.setAccessibleName("carry out what the chosen line offers")
        self._lay_out()
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT_MS)
        self._soon.timeout.connect(self.find_room)
        bridge.job_opened.connect(self.start_anew)
        bridge.job_changed.connect(self.start_anew)
        bridge.selection_changed.connect(self.start_anew)
        bridge.job_previewed.connect(self._on_gesture)
        self.asking.at.connect(self.at.show_text)
        self.asking.failed.connect(self._on_failed)
        self.asking.ended.connect(self._on_answer)
        self.cancel.clicked.connect(self._on_cancel)
        self.accept.clicked.connect(self.carry_out)
        self.list.currentRowChanged.connect(lambda _: self._offer())
        self.list.itemActivated.connect(lambda _: self.carry_out())
        self.table.currentItemChanged.connect(lambda *_: self._explain())
        self.table.itemActivated.connect(lambda *_: self.carry_out())
        self.rock.toggled.connect(lambda _: self._ask_again("pole"))
        self.start_anew()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setSpacing(3)
        for row, questions in enumerate((OF_ITEM, OF_POLE)):
            span = 4 // len(questions)
            for number, (name, words, hint) in enumerate(questions):
                button = QPushButton(words, self)
                button.setCheckable(True)
                button.setToolTip(hint)
                button.setAccessibleName(f"{words.lower()}: {hint}")
                button.setMinimumWidth(10)
                button.clicked.connect(partial(self.ask, name))
                self._group.addButton(button)
                self.buttons[name] = button
                grid.addWidget(button, row, span * number, 1, span)
        self._ground = QWidget(self)
        ground = QHBoxLayout(self._ground)
        ground.setContentsMargins(0, 0, 0, 0)
        ground.addWidget(self.rock)
        ground.addStretch(1)
        ground.addWidget(QLabel("low side of the hole", self._ground))
        ground.addWidget(self.slope)
        self.slope.setFixedWidth(96)
        self._working = QWidget(self)
        working = QHBoxLayout(self._working)
        working.setContentsMargins(0, 0, 0, 0)
        working.addWidget(self.at, 1)
        working.addWidget(self.cancel)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.name)
        column.addWidget(self.link)
        column.addLayout(grid)
        column.addWidget(self._ground)
        column.addWidget(self._working)
        column.addWidget(self.table, 1)
        column.addWidget(self.list, 1)
        column.addWidget(self.accept)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the words on the button to the new width."""
        super().resizeEvent(event)
        self._offer()

    # --- what is asked of what ---

    @property
    def key(self) -> str:
        """What the selected thing is fixed to its pole by: itself, or what carries it."""
        bridge = self.bridge
        if len(bridge.selection) != 1 or bridge.stage != "framed":
            return ""
        thing = bridge.named(bridge.selected)
        if isinstance(thing, Wire):
            return mounted(bridge.job, host_of(place_at(bridge.job, thing, "framed"))) or ""
        return (mounted(bridge.job, thing.id) if isinstance(thing, Item) else None) or ""

    @property
    def pole(self) -> str:
        """The pole that is asked about: that of the selected thing, or the framed one."""
        job = self.bridge.job
        thing = self.bridge.named(self.bridge.selected)
        pole = pole_at(job, thing, "framed") if isinstance(thing, Item | Wire) else None
        try:
            return framed_pole(job, pole)
        except FramerError:
            return ""

    @property
    def question(self) -> str:
        """Which question is answered, empty for none."""
        return next((name for name, one in self.buttons.items() if one.isChecked()), "")

    def start_anew(self) -> None:
        """Forget what was answered: it was of another thing, or of another state of the job."""
        self.asking.drop()
        self._show_room(None)
        job, key, pole = self.bridge.job, self.key, self.pole
        self.name.setText(
            f"{job.label(key)} on {job.label(pole_at(job, job.item_by_id[key], 'framed') or '')}"
            if key
            else job.label(pole)
            if pole
            else ""
        )
        self.link.show_item(key)
        why = "" if key and movable(job, key) else NOTHING
        for names, reason in (
            (OF_ITEM, why),
            (OF_POLE, "" if pole else "no pole stands as framed; put one in from stock"),
        ):
            for name, _, hint in names:
                self.buttons[name].setEnabled(not reason)
                self.buttons[name].setToolTip(reason or hint)
        self._check("")
        self._tell((Told(why, title=True),) if why else ())
        self._soon.stop()
        if not why:
            self._check("room")
            self._soon.start()

    def _check(self, name: str) -> None:
        self._group.setExclusive(False)
        for other, button in self.buttons.items():
            button.setChecked(other == name)
        self._group.setExclusive(bool(name))
        self._ground.setVisible(name == "pole")
        self._working.setVisible(False)

    def _on_gesture(self) -> None:
        """While a gesture lasts nothing is worked out; the room of what moves stays as it is."""
        self.asking.drop()
        self._working.hide()
        self._soon.stop()

    def find_room(self) -> None:
        """Work out the room of the selected thing, where anybody looks at it."""
        if not self.key or not (self.wanted or self.isVisible()):
            return
        try:
            room = self.bridge.session.room(self.key)
        except FramerError as problem:
            self._on_failed(str(problem))
            return
        self._show_room(room)
        if self.question == "room":
            books = self.bridge.session.books()
            self._tell(tuple(room_told(self.bridge.job, books, room)))

    def _show_room(self, room: Bands | None) -> None:
        if room is not self.room:
            self.room = room
            self.room_changed.emit()

    def look(self) -> None:
        """Give the keys to the question that is answered; the room is worked out if it was not."""
        if self.question == "room" and self.room is None:
            self.find_room()
        self.buttons[self.question or "room"].setFocus()

    def want_room(self, *, on: bool) -> None:
        """Whether the room is drawn on the sheet, and so asked for while this is not seen."""
        self.wanted = on
        if on and self.room is None:
            self._soon.start()

    def ask(self, name: str) -> None:
        """Answer a question."""
        self._check(name)
        self._soon.stop()
        self._tell(())
        if name == "room":
            self.asking.drop()
            self.find_room()
            return
        try:
            work = self._work(name)
        except FramerError as problem:
            self._on_failed(str(problem))
            return
        self.at.show_text("working it out")
        self._working.show()
        self.asking.begin(work)

    def _work(self, name: str) -> Work[object]:
        job, books = self.bridge.job, self.bridge.session.books()
        if name == "pole":
            setting = Setting("rock" if self.rock.isChecked() else "soil", self._slope_in)
            return pole_work(job, books, self.pole, yard_of(self.bridge.session.path), setting)
        if name == "topping":
            return top_off_work(job, books, self.pole, None)
        return top_work(job, books, self.key, name)  # type: ignore[arg-type]

    def _ask_again(self, name: str) -> None:
        if self.question == name:
            self.ask(name)

    def _set_slope(self, value: float | None) -> str:
        self._slope_in = value or 0.0
        self.slope.show_length(value, self.bridge.job.settings)
        self._ask_again("pole")
        return ""

    # --- answers ---

    def _on_answer(self, answer: tuple[object, tuple[Told, ...]]) -> None:
        self._working.hide()
        told = answer[1]
        if self.question == "pole":
            listed = yard_of(self.bridge.session.path) is not None
            told = (Told(POLES_FROM[listed]), *told)
        self._tell(told)

    def _on_failed(self, problem: str) -> None:
        self._working.hide()
        self._tell((Told(f"cannot say: {problem}", mark="?"),))

    def _on_cancel(self) -> None:
        self.asking.drop()
        self._working.hide()
        self._check("")
        self._tell((Told("not worked out; ask again", title=True),))

    def _tell(self, told: Sequence[Told]) -> None:
        rows = [one for one in told if one.cells]
        self._rest = [line for one in told if not one.cells for line in _apart(one)]
        self.table.show_rows(rows)
        self.table.setVisible(bool(rows))
        self._explain()

    def _explain(self) -> None:
        """List what is said: of the chosen row of the table first, where there is a table."""
        row = self.table.chosen
        self._told = self._rest if row is None else [row, *self._rest]
        self.list.show_told(self._told)
        first = next((at for at, one in enumerate(self._told) if one.offer is not None), -1)
        self.list.setCurrentRow(first)
        self._offer()

    def _chosen(self) -> Told | None:
        """The line whose offer would be carried out."""
        row = self.list.currentRow()
        return self._told[row] if 0 <= row < len(self._told) else None

    def _offer(self) -> None:
        """Say on the button what it would do, or why it does nothing."""
        chosen = self._chosen()
        offers = any(one.offer is not None for one in (*self._told, *self.table.rows))
        what = "pole" if self.table.rows else "line"
        reason = f"this {what} offers nothing to apply; choose another" if offers else ""
        self.accept.setVisible(offers)
        self.accept.setEnabled(chosen is not None and chosen.offer is not None)
        name = chosen.offer.name if chosen is not None and chosen.offer is not None else ""
        words = f"Apply: {name[0].upper()}{name[1:]}" if name else "Apply"
        room = self.width() - BUTTON_EDGES_PX
        metrics = self.accept.fontMetrics()
        self.accept.setText(metrics.elidedText(words, Qt.TextElideMode.ElideRight, room))
        self.accept.setToolTip(f"{name}; undo takes it back" if name else reason)

    def carry_out(self) -> None:
        """Do what the chosen line offers, as one step."""
        chosen = self._chosen()
        if chosen is not None and chosen.offer is not None:
            offer = chosen.offer
            problem = self.bridge.do(offer.name, offer.edit)
            self.bridge.say(problem or f"{offer.name}; undo takes it back")


def _apart(told: Told) -> tuple[Told, ...]:
    """A title and what stands below it, so that the title alone is in bold."""
    if not (told.title and told.more):
        return (told,)
    return told._replace(more=()), Told("\n".join(told.more), (), told.mark, told.offer)


class PoleTable(QTreeWidget):
    """Poles to choose from, the best first: the numbers of each, and below them what decides.

    Attributes:
        rows: what is told of each.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.rows: Sequence[Told] = ()
        self.setAccessibleName("poles, the best first")
        self.setRootIsDecorated(False)
        self.setItemsExpandable(False)
        self.setIndentation(REASON_INDENT_PX)
        self.setUniformRowHeights(True)
        self.setAllColumnsShowFocus(True)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.setHeaderLabels(POLE_HEADS[:-1])
        self.header().setSectionsMovable(False)
        self.header().setStretchLastSection(True)
        self.header().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)

    @property
    def chosen(self) -> Told | None:
        """What is told of the chosen pole."""
        at = self.currentIndex()
        row = (at.parent() if at.parent().isValid() else at).row()
        return self.rows[row] if 0 <= row < len(self.rows) else None

    def show_rows(self, rows: Sequence[Told]) -> None:
        """List these and choose the first."""
        self.clear()
        self.rows = rows
        quiet = self.palette().text().color()
        quiet.setAlpha(REASON_ALPHA)
        for one in rows:
            mark = MARK_WORDS[one.mark]
            numbers = QTreeWidgetItem(self, list(one.cells[:-1]))
            numbers.setToolTip(0, f"{mark}; Enter puts it in" if one.offer is not None else mark)
            reason = QTreeWidgetItem(numbers, [one.cells[-1]])
            reason.setFirstColumnSpanned(True)
            reason.setFlags(Qt.ItemFlag.ItemIsEnabled)
            reason.setForeground(0, quiet)
            reason.setToolTip(0, one.cells[-1])
            numbers.setExpanded(True)
        if rows:
            self.setCurrentIndex(self.model().index(0, 0))

    def currentChanged(
        self,
        current: QModelIndex | QPersistentModelIndex,
        previous: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """A pole is chosen by its reason too."""
        super().currentChanged(current, previous)
        if current.parent().isValid():
            self.setCurrentIndex(current.parent())

    def moveCursor(
        self, action: QAbstractItemView.CursorAction, keys: Qt.KeyboardModifier
    ) -> QModelIndex:
        """Keys go from pole to pole."""
        at = super().moveCursor(action, keys)
        if not at.parent().isValid():
            return at
        pole = at.parent()
        below = pole.siblingAtRow(pole.row() + 1)
        down = action == QAbstractItemView.CursorAction.MoveDown
        return below if down and below.isValid() else pole


class _Answers(QListWidget):
    """Lines of an answer; each is as high as its text needs."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWordWrap(True)
        self.setAccessibleName("the answer")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.setSpacing(1)

    def show_told(self, told: Sequence[Told]) -> None:
        """List what is told."""
        self.clear()
        for one in told:
            words = "\n".join((one.head, *(f"    {line}" for line in one.more)))
            item = QListWidgetItem(left_to_right(words))
            if one.title:
                font = item.font()
                font.setBold(True)
                item.setFont(font)
            item.setToolTip("Enter applies it" if one.offer is not None else "")
            self.addItem(item)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Break the lines anew."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        room = self.viewport().width() - 12
        for row in range(self.count()):
            item = self.item(row)
            box = QFontMetrics(item.font()).boundingRect(
                0, 0, max(40, room), 10_000, int(Qt.TextFlag.TextWordWrap), item.text()
            )
            item.setSizeHint(QSize(room, box.height() + 8))


class LinkRow(QWidget):
    """What an item follows along its pole, and how far below; the distance emptied ends it."""

    def __init__(self, bridge: Bridge, parent: QWidget) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.key = ""
        self.distance = LengthEntry(
            "kept under",
            self._set,
            signed="minus: above it",
            empty="empty: it follows nothing",
            hint="how far under the other one it stays, whichever of them is moved",
        )
        self.distance.said.connect(bridge.say)
        self.distance.setFixedWidth(84)
        self.leader = Choice("follows", self._follow, self)
        self.leader.setMinimumContentsLength(8)
        ends = [_named("stays", self.distance), _named("under", self.leader)]
        ends[1].setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(SideBySide(ends, self, gap=4))

    def show_item(self, key: str) -> None:
        """Show what an item follows; nothing is shown for none."""
        self.key = key
        job = self.bridge.job
        others: list[str] = []
        if key:
            pole = pole_at(job, job.item_by_id[key], "framed")
            others = [
                item.id
                for item in job.items
                if item.id != key
                and pole_at(job, item, "framed") == pole
                and isinstance(place_at(job, item, "framed"), OnPole | Guyed)
            ]
        self.setVisible(bool(others))
        link = next((one for one in job.links if one.follower == key), None)
        options = ((NOWHERE, ""), *((job.label(one), one) for one in others))
        self.leader.show_options(options, link.leader if link else "")
        reason = "" if link else "choose first what it stays under"
        self.distance.show_length(link.drop_in if link else None, job.settings, reason)

    def _follow(self, leader: object) -> None:
        job, key = self.bridge.job, self.key
        if leader:
            name = f"{job.label(key)} follows {job.label(str(leader))}"
            problem = self.bridge.do(name, lambda job: set_link(job, key, str(leader)))
        else:
            name = f"{job.label(key)} follows nothing"
            problem = self.bridge.do(name, lambda job: end_link(job, key))
        self.bridge.say(problem or name)
        self.show_item(key)

    def _set(self, value: float | None) -> str:
        job, key = self.bridge.job, self.key
        link = next((one for one in job.links if one.follower == key), None)
        if link is None:
            return "choose first what it stays under"
        if value is None:
            return self.bridge.do(
                f"{job.label(key)} follows nothing", lambda job: end_link(job, key)
            )
        return self.bridge.do(
            f"keep {job.label(key)} under {job.label(link.leader)}",
            lambda job: set_link(job, key, link.leader, value),
        )


def _named(words: str, control: QWidget) -> QWidget:
    """A control with its name before it."""
    made = QWidget()
    row = QHBoxLayout(made)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(4)
    label = QLabel(words, made)
    label.setBuddy(control)
    row.addWidget(label)
    row.addWidget(control, 1)
    return made
