"""Entries of a pole: what timber it is, how deep and where it stands, what is cut off it."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout

from framer.desk.entry import Cell, Choice, LengthEntry, compass_options
from framer.desk.mount_cells import Cells
from framer.desk.subject import Subject
from framer.edits.places import set_pole, set_standing
from framer.geometry.pole import rule_depth_in
from framer.model.item import Item
from framer.model.place import Standing
from framer.stock.poles import pole_sizes
from framer.units.length import length_text

NOT_KNOWN = ("not known", None)
WIDTH = 96


class PoleCells(Cells):
    """Two rows: the timber with its cut and depth, and how it stands."""

    def __init__(self) -> None:
        super().__init__()
        self.length = Choice("length", lambda value: self._fact("length_in", value))
        self.pole_class = Choice("class", lambda value: self._fact("pole_class", value))
        self.species = Choice("species", lambda value: self._fact("species", value))
        self.set_deep = LengthEntry(
            "setting depth", self._deepen, empty="empty: by the job's depth rule"
        )
        self.cut = LengthEntry("cut from the top", lambda value: self._stand("cut_in", value))
        self.east = LengthEntry(
            "east",
            lambda value: self._stand("east_in", value),
            signed="of the job's origin; minus: west",
        )
        self.north = LengthEntry(
            "north",
            lambda value: self._stand("north_in", value),
            signed="of the job's origin; minus: south",
        )
        self.grade = LengthEntry(
            "grade",
            lambda value: self._stand("grade_in", value),
            signed="ground line above the job's datum; minus: below",
        )
        self.rake = LengthEntry(
            "rake in 10 ft", lambda value: self._stand("rake_in_per_10ft", value)
        )
        self.toward = Choice("rakes toward", lambda value: self._lean(value))
        rows = QVBoxLayout()
        rows.setSpacing(4)
        for controls in (
            (self.length, self.pole_class, self.species, self.set_deep, self.cut),
            (self.east, self.north, self.grade, self.rake, self.toward),
        ):
            row = QHBoxLayout()
            row.setSpacing(10)
            for control in controls:
                row.addWidget(Cell(control, 124 if control is self.species else WIDTH))
            row.addStretch(1)
            rows.addLayout(row)
        self.row.addLayout(rows)

    def show_subject(self, subject: Subject) -> None:
        """The pole as it stands."""
        super().show_subject(subject)
        where, item = subject.where, subject.thing
        if not isinstance(where, Standing) or not isinstance(item, Item) or item.pole is None:
            return
        settings, facts = subject.job.settings, item.pole
        undecided = subject.locked
        sizes = pole_sizes()
        species = tuple((name, name) for name in sorted({key[0] for key in sizes}))
        self.species.show_options((NOT_KNOWN, *species), facts.species, undecided)
        feet = sorted({key[1] for key in sizes if facts.species in (None, key[0])})
        lengths = [12.0 * foot for foot in feet]
        if facts.length_in is not None and facts.length_in not in lengths:
            lengths.append(facts.length_in)
        options = tuple((length_text(length), length) for length in sorted(lengths))
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
            return length_text(solid.depth_in or 0.0) if known and solid else "not known"
        if length_in is None:
            return "not known"
        return f"{length_text(rule_depth_in(length_in, where.cut_in, subject.job.settings)[0])}"

    def _stand(self, field: str, value: float | None) -> str:
        subject = self.subject
        if subject is None or value is None:
            return "type a length"
        names = {"cut_in": "cut", "grade_in": "grade", "rake_in_per_10ft": "rake"}
        name = f"{names.get(field, 'move')} {subject.label}"
        if field == "rake_in_per_10ft" and value > 60.0:
            return "a pole does not lean more than 60 in in 10 ft"
        return subject.bridge.do(
            name, lambda job: set_standing(job, subject.key, subject.stage, **{field: value})
        )

    def _deepen(self, value: float | None) -> str:
        subject = self.subject
        if subject is None:
            return "nothing is selected"
        return subject.bridge.do(
            f"set {subject.label} deeper or less deep",
            lambda job: set_standing(job, subject.key, subject.stage, depth_in=value),
        )

    def _lean(self, azimuth: object) -> None:
        subject = self.subject
        if subject is not None:
            problem = subject.bridge.do(
                f"rake {subject.label}",
                lambda job: set_standing(job, subject.key, subject.stage, rake_azimuth_deg=azimuth),
            )
            subject.bridge.say(problem)

    def _fact(self, field: str, value: object) -> None:
        subject = self.subject
        if subject is not None:
            problem = subject.bridge.do(
                f"change {subject.label}",
                lambda job: set_pole(job, subject.key, **{field: value}),
            )
            subject.bridge.say(problem)
