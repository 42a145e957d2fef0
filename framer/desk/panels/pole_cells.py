"""Entries of a pole: what timber it is, how deep and where it stands, what is cut off it.

Each is tried while it is typed or pointed at: the sheet shows the pole as it would be, and beside
the entries stands what follows, before anything is accepted.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Edit
from framer.desk.entries.entry import Cell, Choice, LengthEntry, Trial, compass_options
from framer.desk.entries.lengths_entry import LengthsEntry
from framer.desk.panels.mount_cells import Cells
from framer.desk.panels.subject import Subject
from framer.edits.places import set_pole, set_standing
from framer.geometry.pole import rule_depth_in
from framer.geometry.written import exact, rake_words
from framer.model.item import Item
from framer.model.place import Standing
from framer.stock.poles import pole_sizes
from framer.units.length import length_text

NOT_KNOWN = ("not known", None)
WIDTH = 96
LEAST_FOLLOWS_PX = 290
FACTS = ("length_in", "pole_class", "species", "bored_in")
"""Fields of the pole as timber; all others are of the way it stands."""

STEPS = {
    "length_in": "change length of",
    "pole_class": "change class of",
    "species": "change species of",
    "bored_in": "change factory bores of",
    "depth_in": "change setting depth of",
    "cut_in": "cut",
    "grade_in": "change grade at",
    "rake_in_per_10ft": "rake",
    "rake_azimuth_deg": "rake",
}
"""What a change of a field is called in the history; others are moves."""


class Follows(QFrame):
    """What follows from the change under way, with a button to accept it and one to leave it.

    It lies over the right end of the strip as long as it has something to say.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self.head = QLabel("What follows", self)
        font = self.head.font()
        font.setBold(True)
        self.head.setFont(font)
        self.text = QPlainTextEdit(self)
        self.text.setReadOnly(True)
        self.text.setFrameShape(QFrame.Shape.NoFrame)
        self.text.setAccessibleName("what follows from the change")
        self.text.setTabChangesFocus(True)
        self.accept = self._button("Accept", "Enter does the same")
        self.leave = self._button("Leave It", "as it was; Escape does the same")
        row = QHBoxLayout()
        row.setSpacing(4)
        row.addWidget(self.head, 1)
        row.addWidget(self.accept)
        row.addWidget(self.leave)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 2, 2, 2)
        column.setSpacing(1)
        column.addLayout(row)
        column.addWidget(self.text, 1)
        self.show_sentences(None)

    def _button(self, words: str, hint: str) -> QPushButton:
        button = QPushButton(words, self)
        # a click leaves the keys in the entry, whose text it is about
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.setToolTip(hint)
        button.setMaximumHeight(QFontMetrics(button.font()).height() + 8)
        return button

    def show_sentences(self, sentences: Sequence[str] | None) -> None:
        """Show what follows, line by line; `None` when no change is under way."""
        words = "\n".join(f"{one[0].upper()}{one[1:]}." for one in sentences or ())
        if words != self.text.toPlainText():
            self.text.setPlainText(words)
        self.setVisible(sentences is not None)
        self.raise_()


class PoleCells(Cells):
    """Two rows, the timber with its cut and depth, and how it stands; and what follows."""

    def __init__(self) -> None:
        super().__init__()
        self.length = self._choice("length", "length_in")
        self.pole_class = self._choice("class", "pole_class")
        self.species = self._choice("species", "species")
        self.set_deep = self._length(
            "setting depth", "depth_in", empty="empty: by the job's depth rule"
        )
        self.cut = self._length("cut from the top", "cut_in")
        self.east = self._length("east", "east_in", signed="of the job's origin; minus: west")
        self.north = self._length("north", "north_in", signed="of the job's origin; minus: south")
        self.grade = self._length(
            "grade", "grade_in", signed="ground line above the job's datum; minus: below"
        )
        self.rake = self._length("rake in 10 ft", "rake_in_per_10ft")
        self.toward = self._choice("rakes toward", "rake_azimuth_deg")
        self.bored = LengthsEntry(
            "factory bores",
            lambda value: self._take("bored_in", value),
            empty="below the original top, before any cut, with commas between; empty: none",
            trial=self._trial("bored_in"),
        )
        self._tried: tuple[str, object] | None = None
        rows = QVBoxLayout()
        rows.setSpacing(4)
        self._rows = rows
        for controls in (
            (self.length, self.pole_class, self.species, self.set_deep, self.cut),
            (self.east, self.north, self.grade, self.rake, self.toward, self.bored),
        ):
            row = QHBoxLayout()
            row.setSpacing(10)
            for control in controls:
                cell = Cell(control, 124 if control is self.species else WIDTH)
                row.addWidget(cell)
                if control is self.rake:
                    self._rake_caption = cell.caption
            row.addStretch(1)
            rows.addLayout(row)
        self.follows = Follows(self)
        self.follows.accept.clicked.connect(self.accept_trial)
        self.follows.leave.clicked.connect(self.leave_trial)
        self.row.addLayout(rows)
        self.row.addStretch(1)

    def lay_over(self, strip: QWidget) -> None:
        """Put what follows over a strip, right of the entries."""
        if self.follows.parentWidget() is not strip:
            self.follows.setParent(strip)
        left = (
            self.mapTo(strip, self._rows.geometry().topLeft()).x() + self._rows.sizeHint().width()
        )
        left = min(left + 12, strip.width() - LEAST_FOLLOWS_PX)
        self.follows.setGeometry(left, 4, strip.width() - left - 6, strip.height() - 8)

    def _length(self, name: str, field: str, **more: Any) -> LengthEntry:
        def enter(value: float | None) -> str:
            return self._take(field, value)

        return LengthEntry(name, enter, trial=self._trial(field), **more)

    def _choice(self, name: str, field: str) -> Choice:
        return Choice(name, lambda value: self._choose(field, value), trial=self._trial(field))

    def _trial(self, field: str) -> Trial:
        return Trial(lambda value: self._try(field, value), self.drop_trial)

    def show_subject(self, subject: Subject) -> None:
        """The pole as it stands."""
        super().show_subject(subject)
        where, item = subject.where, subject.thing
        if not isinstance(where, Standing) or not isinstance(item, Item) or item.pole is None:
            return
        session = subject.bridge.session
        if self._tried is not None and session.job is session.settled:
            self._tried = None  # undone or edited elsewhere meanwhile
            self.follows.show_sentences(None)
        settings, facts = subject.job.settings, item.pole
        undecided = subject.locked
        sizes = pole_sizes()
        species = tuple((name, name) for name in sorted({key[0] for key in sizes}))
        self.species.show_options((NOT_KNOWN, *species), facts.species, undecided)
        feet = sorted({key[1] for key in sizes if facts.species in (None, key[0])})
        lengths = [12.0 * foot for foot in feet]
        if facts.length_in is not None and facts.length_in not in lengths:
            lengths.append(facts.length_in)
        options = tuple((length_text(length, system="ft-in"), length) for length in sorted(lengths))
        self.length.show_options((NOT_KNOWN, *options), facts.length_in, undecided)
        classes = self._classes(facts.species, facts.length_in)
        if facts.pole_class is not None and facts.pole_class not in classes:
            classes.append(facts.pole_class)
        self.pole_class.show_options(
            (NOT_KNOWN, *((name, name) for name in classes)), facts.pole_class, undecided
        )
        self.set_deep.show_length(where.depth_in, settings, subject.depth_locked)
        self.set_deep.setPlaceholderText(self._by_rule(subject, where, facts.length_in))
        for entry, value in (
            (self.cut, where.cut_in),
            (self.east, where.east_in),
            (self.north, where.north_in),
            (self.grade, where.grade_in),
            (self.rake, where.rake_in_per_10ft),
        ):
            entry.show_length(value, settings, undecided)
        self._rake_caption.setText(f"rake in {exact(subject.job, 120.0)}")
        self.bored.show_length(facts.bored_in, settings, undecided)
        self.toward.show_options(
            compass_options(where.rake_azimuth_deg), where.rake_azimuth_deg, undecided
        )

    def _classes(self, species: str | None, length_in: float | None) -> list[str]:
        """Classes the tables have for the species and length, strongest first."""
        feet = None if length_in is None else round(length_in / 12)
        there = {
            key[2] for key in pole_sizes() if species in (None, key[0]) and feet in (None, key[1])
        }
        return sorted(there, key=lambda name: -int(name[1:]) if name[0] == "H" else int(name))

    def _by_rule(self, subject: Subject, where: Standing, length_in: float | None) -> str:
        """What an empty depth comes to."""
        if subject.stage == "found":
            solid = subject.solid
            known = solid is not None and solid.depth_in is not None
            return exact(subject.job, solid.depth_in) if known and solid else "not known"
        if length_in is None:
            return "not known"
        return exact(subject.job, rule_depth_in(length_in, where.cut_in, subject.job.settings)[0])

    # --- what a change does ---

    def _edit(self, field: str, value: object) -> tuple[str, Edit] | str:
        """Name and function of a change, or what is wrong with the value."""
        subject = self.subject
        if subject is None:
            return "nothing is selected"
        if value is None and field not in (*FACTS, "depth_in"):
            return "type a length"
        if field == "rake_in_per_10ft" and isinstance(value, float) and value > 60.0:
            return f"a pole does not lean more than {rake_words(subject.job, 60.0)}"
        key, stage = subject.key, subject.stage
        name = f"{STEPS.get(field, 'move')} {subject.label}"
        if field in FACTS:
            return name, lambda job: set_pole(job, key, **{field: value})
        return name, lambda job: set_standing(job, key, stage, **{field: value})

    def _try(self, field: str, value: object) -> str:
        """Show the pole with the change, and what follows; gives what is wrong with it."""
        made = self._edit(field, value)
        if isinstance(made, str) or self.subject is None:
            return str(made)
        subject = self.subject
        self._tried = field, value
        problem = subject.bridge.preview(made[1])
        if not problem:
            self.follows.show_sentences(
                subject.bridge.session.consequences(subject.key, subject.stage)
                or ("nothing changes",)
            )
        return problem

    def drop_trial(self) -> None:
        """Show the pole as it is again, where a change was tried."""
        self.follows.show_sentences(None)
        if self._tried is not None and self.subject is not None:
            self._tried = None
            self.subject.bridge.drop_preview()

    def accept_trial(self) -> None:
        """Take the change that is shown."""
        if self._tried is None:
            return
        for entry in self.entries():
            if entry.isModified():
                entry.returnPressed.emit()
                entry.editingFinished.emit()
                return

    def leave_trial(self) -> None:
        """Leave the pole as it is."""
        for entry in self.entries():
            if entry.isModified():
                entry.put_back()
        self.drop_trial()

    def _take(self, field: str, value: object) -> str:
        """Carry a change out as one step; gives what is wrong with it."""
        made = self._edit(field, value)
        if isinstance(made, str) or self.subject is None:
            return str(made)
        self._tried = None
        self.follows.show_sentences(None)
        return self.subject.bridge.do(*made)

    def _choose(self, field: str, value: object) -> None:
        if self.subject is not None:
            self.subject.bridge.say(self._take(field, value))
