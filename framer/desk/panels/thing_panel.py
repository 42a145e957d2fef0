"""The strip below the sheet: the selected thing, its entries as cells of a title block."""

from __future__ import annotations

from functools import reduce
from typing import Literal, TypeAlias, cast

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetrics, QResizeEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from framer.desk.board.two_poles import framed_pole
from framer.desk.bridge import Bridge
from framer.desk.entries.elided_label import ElidedLabel
from framer.desk.entries.entry import Choice, LengthEntry
from framer.desk.panels.mount_cells import Cells, OnArmCells, OnItemCells, OnPoleCells
from framer.desk.panels.pole_cells import PoleCells
from framer.desk.panels.subject import Subject, how_known, subject_of, what_it_is
from framer.edits.places import set_fate, transfer
from framer.geometry.written import exact
from framer.model.item import Item
from framer.model.line import Join, NearbyWire, Wire
from framer.model.place import Guyed, OnArm, OnPole, Standing

FATES = (
    ("stays", "stays", "it stays as it was found"),
    ("remove", "remove", "the crew takes it away"),
    ("by others", "by others", "others move or take it away"),
    ("undecided", "undecided", "nobody has said yet"),
    ("transfer", "to the new pole", "it goes over to the new pole, at the height it has"),
)
"""Fates that can be chosen for what was found: fate, words on the button, what it means."""

Fate: TypeAlias = Literal["stays", "remove", "by others", "undecided"]

NOTHING = (
    "Nothing is selected: click a thing on the sheet, or go from thing to thing with Page Down.\n"
    "Then drag it, move it by arrow keys, or type here where it is. The wheel zooms,\n"
    "the middle button or the space bar held moves the sheet."
)


class Pages(QStackedWidget):
    """Pages that leave the strip one height, whichever is shown: the sheet above it stays as it is.

    Attributes:
        tall: the page that does without the line below it.
        line_px: how high that line is, with the space above it.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.tall: QWidget | None = None
        self.line_px = 0
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.currentChanged.connect(self.updateGeometry)

    def _high(self) -> int:
        pages = [page for at in range(self.count()) if (page := self.widget(at)) is not None]
        line = {page: 0 if page is self.tall else self.line_px for page in pages}
        strip = max((page.sizeHint().height() + line[page] for page in pages), default=0)
        shown = self.currentWidget()
        return strip - line[shown] if shown is not None else strip

    def sizeHint(self) -> QSize:
        """As high as the strip leaves it."""
        return QSize(super().sizeHint().width(), self._high())

    def minimumSizeHint(self) -> QSize:
        """No less high."""
        return QSize(super().minimumSizeHint().width(), self._high())


class FateRow(QWidget):
    """What becomes of a found thing, one button a fate."""

    def __init__(self, bridge: Bridge, parent: QWidget) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self._subject: Subject | None = None
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2)
        self._group = QButtonGroup(self)
        self.buttons: dict[str, QPushButton] = {}
        for name, words, _ in FATES:
            button = QPushButton(words, self)
            button.setCheckable(True)
            button.setAccessibleName(f"fate: {words}")
            button.clicked.connect(lambda _=False, chosen=name: self._choose(chosen))
            self._group.addButton(button)
            self.buttons[name] = button
            row.addWidget(button)

    def show_subject(self, subject: Subject) -> None:
        """Show the fate; what was not found has none to choose."""
        self._subject = subject
        self.setVisible(subject.is_found)
        known, many = subject.fate, len(self._found_in_hand(subject))
        of_all = f"; so for all {many} selected" if many > 1 else ""
        self._group.setExclusive(False)
        for name, _, meaning in FATES:
            button = self.buttons[name]
            button.setChecked(name == known)
            reason = self._why_no_transfer(subject) if name == "transfer" else ""
            button.setEnabled(not reason)
            button.setToolTip(reason or f"{meaning}{of_all}")
        self._group.setExclusive(any(button.isChecked() for button in self.buttons.values()))

    def _why_no_transfer(self, subject: Subject) -> str:
        pole = framed_pole(self.bridge.session)
        new = subject.job.item_by_id.get(pole)
        if isinstance(subject.thing, Item) and subject.thing.kind == "pole":
            return "a pole is not transferred; put a new one in from stock"
        if new is None or new.places[0].when == "found":
            return "there is no new pole; put one in from stock first"
        if isinstance(subject.thing, Wire):
            return "choose what it rests on on the new pole; that transfers it"
        return ""

    def _choose(self, name: str) -> None:
        subject = self._subject
        if subject is None:
            return
        keys = self._found_in_hand(subject)
        label = subject.label if len(keys) == 1 else f"{len(keys)} things"
        if name == "transfer":
            pole = framed_pole(self.bridge.session)
            words = f"{label}: to {subject.job.label(pole)}"
            problem = self.bridge.do(
                words, lambda job: reduce(lambda made, key: transfer(made, key, pole), keys, job)
            )
        else:
            words, fate = f"{label}: {name}", cast("Fate", name)
            problem = self.bridge.do(
                words, lambda job: reduce(lambda made, key: set_fate(made, key, fate), keys, job)
            )
        self.bridge.say(problem or f"{words}; undo takes it back")
        if problem:
            self.show_subject(subject)

    def _found_in_hand(self, subject: Subject) -> list[str]:
        """Everything selected that was found; a pole only by itself."""
        job = self.bridge.job
        things = [job.thing_by_id[key] for key in self.bridge.selection if key in job.thing_by_id]
        found = [
            thing.id
            for thing in things
            if not isinstance(thing, Join)
            and thing.places[0].when == "found"
            and not (isinstance(thing, Item) and thing.kind == "pole")
        ]
        return found if subject.key in found else [subject.key]


class ThingPanel(QWidget):
    """Name, source, fate and entries of the selected thing, and a line for what was typed."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.setAccessibleName("the selected thing")
        self.name = QLabel(self)
        font = self.name.font()
        font.setBold(True)
        self.name.setFont(font)
        self.name.setTextFormat(Qt.TextFormat.PlainText)
        self.what = ElidedLabel(self)
        self.source = ElidedLabel(self)
        self.fates = FateRow(bridge, self)
        self.message = ElidedLabel(self)
        self.message.setAccessibleName("what was understood of the entry")
        self.message.hide()
        self.pages = Pages(self)
        self.nothing = QLabel(NOTHING, self)
        self.nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.pole, self.on_pole = PoleCells(), OnPoleCells()
        self.on_arm, self.on_item = OnArmCells(), OnItemCells()
        self.cells: tuple[Cells, ...] = (self.pole, self.on_pole, self.on_arm, self.on_item)
        self.pages.addWidget(self.nothing)
        for cells in self.cells:
            self.pages.addWidget(cells)
            for entry in cells.entries():
                entry.said.connect(self._show_message)
        self.pages.tall = self.pole
        self._lay_out()
        bridge.job_opened.connect(self.show_selected)
        bridge.job_changed.connect(self.show_selected)
        bridge.job_previewed.connect(self.show_selected)
        bridge.selection_changed.connect(self._on_selection)
        self.show_selected()

    def _lay_out(self) -> None:
        head = self._head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(self.name)
        head.addWidget(self.what, 1)
        head.addWidget(self.fates)
        column = self._column = QVBoxLayout(self)
        column.setContentsMargins(10, 6, 10, 4)
        column.setSpacing(3)
        column.addLayout(head)
        column.addWidget(self.pages)
        column.addWidget(self.source)
        column.addWidget(self.message)
        head_px = self.fates.buttons["stays"].sizeHint().height()
        self.name.setMinimumHeight(head_px)
        line_px = QFontMetrics(self.font()).height() + 2
        for line in (self.source, self.message):
            line.setFixedHeight(line_px)
        self.pages.line_px = line_px + column.spacing()
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What follows from a change of the pole lies over the right end."""
        super().resizeEvent(event)
        self.pole.lay_over(self)

    def _turn_to(self, page: QWidget) -> None:
        """Show a page; how the thing is known stands below it, beside the name for a tall one."""
        was_tall, is_tall = (one is self.pages.tall for one in (self.pages.currentWidget(), page))
        if was_tall != is_tall:
            for line in (self.source, self.message):
                (self._head if was_tall else self._column).removeWidget(line)
                if is_tall:
                    self._head.insertWidget(2, line, 2)
                else:
                    self._column.addWidget(line)
        self.pages.setCurrentWidget(page)
        self.what.setVisible(not (is_tall and self.message.whole))

    def _show_message(self, text: str) -> None:
        """Say what was understood of an entry in the place of how the thing is known."""
        self.message.show_text(text)
        self.what.setVisible(not (text and self.pages.currentWidget() is self.pages.tall))
        self.source.setVisible(not text)
        self.message.setVisible(bool(text))

    def _on_selection(self) -> None:
        self._show_message("")
        focused = self.focusWidget()
        if isinstance(focused, LengthEntry):
            focused.setModified(False)  # what was being typed was meant for another thing
        self.pole.drop_trial()
        self.show_selected()

    def show_selected(self) -> None:
        """Show what is selected as it now is."""
        subject = subject_of(self.bridge)
        if subject is None:
            self.fates.hide()
            self._show_surveyed()
            return
        self.name.setText(subject.label)
        self.what.show_text(what_it_is(subject))
        self.source.show_text(how_known(subject))
        self.fates.show_subject(subject)
        cells = self._cells_for(subject)
        self._turn_to(cells)
        cells.show_subject(subject)
        self.pole.lay_over(self)

    def focus_first(self) -> None:
        """Give the keys to the first entry or choice."""
        for control in self.pages.findChildren(QWidget):
            shown = isinstance(control, LengthEntry | Choice) and control.isVisible()
            if shown and control.isEnabled():
                control.setFocus(Qt.FocusReason.TabFocusReason)
                return

    def _cells_for(self, subject: Subject) -> Cells:
        if isinstance(subject.where, Standing):
            return self.pole
        if isinstance(subject.where, OnPole | Guyed):
            return self.on_pole
        return self.on_arm if isinstance(subject.where, OnArm) else self.on_item

    def _show_surveyed(self) -> None:
        """Nothing, or a wire or limit of the survey, which is not edited here."""
        named = self.bridge.named(self.bridge.selected) if self.bridge.selected else None
        self._turn_to(self.nothing)
        self.name.setText(self.bridge.job.label(self.bridge.selected) if named else "")
        if named is None:
            self.what.show_text("")
            self.source.show_text("")
            self.nothing.setText(NOTHING)
            return
        self.nothing.setText("It is part of the survey and is changed in the job's readings.")
        if isinstance(named, NearbyWire):
            self.nothing.setText(
                "Drag it in the plan; its height and place are typed in Circuits and Spans (F9)."
            )
            self.what.show_text(f"wire of {self.bridge.job.label(named.circuit)}, another line")
            reading = self.bridge.job.reading(named.id, "height")
            words = "its height is not known"
            if reading is not None:
                up = exact(self.bridge.job, reading.value_in)
                words = f"{up} up, {reading.source} {reading.date}".strip()
                words += f", good to {exact(self.bridge.job, reading.tolerance_in)} either way"
            self.source.show_text(words)
        else:
            self.what.show_text("limit line: framing must not pass it")
            self.source.show_text("")
