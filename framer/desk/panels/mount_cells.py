"""Entries of what sits on a pole, on an arm, or on another item."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtWidgets import QHBoxLayout, QWidget

from framer.desk.entries.entry import Cell, Choice, LengthEntry, Said, compass_options
from framer.desk.panels.subject import Subject
from framer.edits.places import (
    set_along_arm,
    set_along_pole,
    set_azimuth,
    set_further,
    set_hold,
    set_support,
    supports,
)
from framer.geometry.space import compass, turned
from framer.geometry.written import exact
from framer.model.line import Wire
from framer.model.place import Guyed, Hold, Lifted, OnArm, OnItem, OnPole
from framer.model.stage import place_at
from framer.stock.catalogue import catalogue
from framer.stock.part import ArmPart, RunPart
from framer.units.compare import HAIR_IN

WIDTH, WIDE = 96, 112

HOLDS: tuple[tuple[str, Hold], ...] = (
    ("finished top", "drop"),
    ("ground", "height"),
    ("butt", "butt"),
)


class Cells(QWidget):
    """Entries for one kind of place; shows one subject at a time."""

    def __init__(self) -> None:
        super().__init__()
        self.subject: Subject | None = None
        self.row = QHBoxLayout(self)
        self.row.setContentsMargins(0, 0, 0, 0)
        self.row.setSpacing(10)

    def add(self, *cells: QWidget) -> None:
        """Put cells in the row."""
        for cell in cells:
            self.row.addWidget(cell)

    def entries(self) -> Iterator[LengthEntry]:
        """The length entries."""
        yield from self.findChildren(LengthEntry)

    def show_subject(self, subject: Subject) -> None:
        """Show another subject, or the same with other values."""
        self.subject = subject


FURTHER: tuple[tuple[str, str, str, str], ...] = (
    ("to_in", "other end", "", "counted as the reference it is held by"),
    ("out_in", "out from the pole", "minus: nearer than its stock part says", ""),
    ("lead_in", "lead", "", "how far out the guy goes in plan"),
    (
        "far_height_in",
        "far end up",
        "minus: below ground at the pole",
        "0 for an anchor on level ground",
    ),
    ("insulator_in", "insulator to", "", "along the guy; empty: as its stock part says"),
)
"""Lengths that only some things on a pole have: field, name, what minus means, what it is."""


class OnPoleCells(Cells):
    """Distance along the pole by each reference, which of them holds, the side.

    Runs and guys have their other end too.
    """

    def __init__(self) -> None:
        super().__init__()
        self.from_top = LengthEntry("from finished top", lambda value: self._move("drop", value))
        self.above_ground = LengthEntry("above ground", lambda value: self._move("height", value))
        self.from_butt = LengthEntry("from butt", lambda value: self._move("butt", value))
        self.hold = Choice("held by", self._hold)
        self.side = Choice("side it faces", self._turn)
        self.further = {
            field: self._further(field, name, signed, hint) for field, name, signed, hint in FURTHER
        }
        usual = (self.from_top, self.above_ground, self.from_butt, self.hold, self.side)
        self.add(*(Cell(one, WIDE if one is self.hold else WIDTH) for one in usual))
        self._further_cells = {field: Cell(one, WIDTH) for field, one in self.further.items()}
        self.add(*self._further_cells.values())
        for cell in self._further_cells.values():
            cell.hide()  # all together would ask for more room than any thing needs
        self.row.addStretch(1)

    def _further(self, field: str, name: str, signed: str, hint: str) -> LengthEntry:
        empty = "empty: as its stock part says" if field == "insulator_in" else ""
        return LengthEntry(
            name, lambda value: self._set(field, value), signed=signed, empty=empty, hint=hint
        )

    def _set(self, field: str, value: float | None) -> str:
        subject = self.subject
        if subject is None or (value is None and field != "insulator_in"):
            return "type a length"
        name = next(name for known, name, *_ in FURTHER if known == field)
        return subject.bridge.do(
            f"change {name} of {subject.label}",
            lambda job: set_further(job, subject.key, subject.stage, field, value),
        )

    def show_subject(self, subject: Subject) -> None:
        """Where it sits, by every reference."""
        super().show_subject(subject)
        where, solid, part = subject.where, subject.solid, subject.part
        if not isinstance(where, OnPole | Guyed):
            return
        entries: tuple[tuple[LengthEntry, Hold], ...] = (
            (self.from_top, "drop"),
            (self.above_ground, "height"),
            (self.from_butt, "butt"),
        )
        for entry, hold in entries:
            known = solid is not None and part is not None and not part.missing
            value = solid.at(hold, part.up_in) if solid and part and known else None
            entry.show_length(value, subject.job.settings, subject.locked)
        stock = catalogue().get(subject.thing.part or "")
        is_run = isinstance(stock, RunPart) or getattr(where, "to_in", None) is not None
        for field, entry in self.further.items():
            shown = hasattr(where, field) and (field != "to_in" or is_run)
            self._further_cells[field].setVisible(shown)
            if shown:
                entry.show_length(getattr(where, field), subject.job.settings, subject.locked)
        held = subject.locked
        if not held and where.at_in is None:
            held = "its height was read and not typed; type it, and it is held by a reference"
        self.hold.show_options(HOLDS, where.hold if where.at_in is not None else None, held)
        undecided = subject.locked if subject.stage == "framed" else ""
        self.side.show_options(compass_options(where.azimuth_deg), where.azimuth_deg, undecided)

    def _move(self, hold: Hold, value: float | None) -> str:
        subject = self.subject
        if subject is None or value is None:
            return "type a length"
        return subject.bridge.do(
            f"move {subject.label}",
            lambda job: set_along_pole(job, subject.key, subject.stage, hold, value),
        )

    def _hold(self, hold: object) -> None:
        subject = self.subject
        if subject is None or hold not in ("drop", "height", "butt"):
            return
        words = next(words for words, one in HOLDS if one == hold)
        problem = subject.bridge.do(
            f"hold {subject.label} by the {words}",
            lambda job: set_hold(job, subject.key, subject.stage, hold),
        )
        subject.bridge.say(problem or f"{subject.label} keeps its distance from the {words}")

    def _turn(self, azimuth: object) -> None:
        subject = self.subject
        if subject is None or not isinstance(azimuth, float):
            return
        problem = subject.bridge.do(
            f"turn {subject.label}",
            lambda job: set_azimuth(job, subject.key, subject.stage, azimuth),
        )
        subject.bridge.say(problem or f"{subject.label} faces {compass(azimuth, words=True)}")


class OnArmCells(Cells):
    """Distance from the arm's bolt, and to which side by compass."""

    def __init__(self) -> None:
        super().__init__()
        self.along = LengthEntry("from the arm's bolt", self._move)
        self.side = Choice("side of the bolt", self._change_side)
        self.host = Said("sits on")
        self.add(Cell(self.along), Cell(self.side), Cell(self.host))
        self.row.addStretch(1)

    def show_subject(self, subject: Subject) -> None:
        """Where it sits on its arm."""
        super().show_subject(subject)
        where = subject.where
        if not isinstance(where, OnArm):
            return
        self.along.show_length(abs(where.along_in), subject.job.settings, subject.locked)
        positive = self._positive(subject)
        options = (
            (compass(positive, words=True), 1.0),
            (compass(turned(positive, 180.0), words=True), -1.0),
        )
        self.side.show_options(options, 1.0 if where.along_in >= 0 else -1.0, subject.locked)
        self.host.setText(subject.job.label(where.host))

    def _positive(self, subject: Subject) -> float:
        """Compass direction of the arm's positive end."""
        where = subject.where
        arm = subject.job.item_by_id.get(where.host) if isinstance(where, OnArm) else None
        place = place_at(subject.job, arm, subject.stage) if arm else None
        return turned(place.azimuth_deg, 90.0) if isinstance(place, OnPole) else 90.0

    def _move(self, value: float | None) -> str:
        subject = self.subject
        if subject is None or value is None or not isinstance(subject.where, OnArm):
            return "type a length"
        along = -value if subject.where.along_in < 0 else value
        return self._put(subject, along)

    def _change_side(self, sign: object) -> None:
        subject = self.subject
        if subject is None or not isinstance(sign, float):
            return
        if isinstance(subject.where, OnArm):
            problem = self._put(subject, sign * abs(subject.where.along_in))
            if problem:
                subject.bridge.say(problem)

    def _put(self, subject: Subject, along_in: float) -> str:
        where = subject.where
        arm = subject.job.item_by_id.get(where.host) if isinstance(where, OnArm) else None
        stock = catalogue().get(arm.part or "") if arm else None
        if isinstance(stock, ArmPart) and arm is not None:
            beyond = abs(along_in - stock.middle_in) - stock.length_in / 2
            if beyond > HAIR_IN:
                far = exact(subject.job, beyond)
                return f"that is {far} beyond the end of {subject.job.label(arm.id)}"
        return subject.bridge.do(
            f"move {subject.label}",
            lambda job: set_along_arm(job, subject.key, subject.stage, along_in),
        )


class OnItemCells(Cells):
    """What a wire rests on; for another item only where it goes along with its host."""

    def __init__(self) -> None:
        super().__init__()
        self.support = Choice("rests on", self._rest)
        self.cell = Cell(self.support, 220)
        self.note = Said("where it is")
        self.add(self.cell, Cell(self.note))
        self.row.addStretch(1)

    def show_subject(self, subject: Subject) -> None:
        """Its support, or its host."""
        super().show_subject(subject)
        where = subject.where
        is_wire = isinstance(subject.thing, Wire)
        self.cell.setVisible(is_wire)
        if not isinstance(where, OnItem):
            up = isinstance(where, Lifted)
            nothing = "it rests on nothing at this stage"
            self.note.setText("it is held up from the ground" if up else nothing)
            self.cell.setVisible(False)
            return
        if is_wire:
            options: tuple[tuple[str, object], ...] = tuple(
                (words, (item, position))
                for words, item, position in supports(subject.job, "framed")
            )
            chosen = (where.host, where.position)
            if chosen not in [held for _, held in options]:
                gone = f"{subject.job.label(where.host)} (not there as framed)"
                options = (*options, (gone, chosen))
            self.support.show_options(options, chosen)
            self.note.setText(self._height(subject))
        else:
            self.note.setText(f"on {subject.job.label(where.host)}; it goes where that goes")

    def _height(self, subject: Subject) -> str:
        shape = subject.part.shape if subject.part else None
        if shape is None or subject.part is None:
            return ""
        scene = subject.bridge.session.scene(subject.stage)
        foot = scene.poles[subject.part.pole].foot[2] if subject.part.pole else 0.0
        return f"{exact(subject.job, shape.p[2] - foot)} above ground"

    def _rest(self, chosen: object) -> None:
        subject = self.subject
        if subject is None or not isinstance(chosen, tuple):
            return
        key, position = chosen
        label = subject.job.label(key)
        problem = subject.bridge.do(
            f"rest {subject.label} on {label}",
            lambda job: set_support(job, subject.key, "framed", key, position),
        )
        subject.bridge.say(problem or f"{subject.label} rests on {label}")
