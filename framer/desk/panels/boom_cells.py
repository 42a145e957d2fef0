"""The boom of a step: where its truck stands, how far it reaches, what it lifts, what is near."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from framer.desk.bridge import Bridge
from framer.desk.dialogs.transfer_tables import read_number
from framer.desk.entries.entry import Cell, Choice, LengthEntry, compass_options
from framer.desk.entries.text_entry import TextEntry
from framer.desk.panels.side_by_side import SideBySide
from framer.edits.steps import set_step
from framer.edits.transfer import with_boom
from framer.errors import EditError
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.step import Boom, Step
from framer.transfer.setting import in_circle

CELL_PX = 100

NEW = Boom(240.0, 0.0, 360.0)
"""A new boom is put 20 ft east of the job's origin and reaches 30 ft, until it is said."""


class BoomCells(QWidget):
    """The entries of the boom of a step, and the side on which a sawn-off top comes down.

    Attributes:
        put_in: the button that puts a boom in, or takes it out.
        east, north, reach, lifts, butt: what is typed of it.
        drop: where a piece sawn off the pole's top comes down.
        inside: the circuits inside its circle.
    """

    said = Signal(str)

    def __init__(self, bridge: Bridge, parent: QWidget) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self._step: Step | None = None
        origin = "from the job's origin, where the old pole mostly is"
        self.east = self._length("Stands east", "east_in", f"how far east {origin}", "west of it")
        self.north = self._length("Stands north", "north_in", f"how far north {origin}", "south")
        self.reach = self._length("Reaches out", "reach_in", "how far out from its turntable")
        self.lifts = TextEntry("Lifts there, lb", self._set_lift)
        self.butt = self._length(
            "Butt above ground", "butt_in",
            "how high the butt is when the pole it sets stands upright over its hole",
            "in the hole by then",
        )  # fmt: skip
        self.drop = Choice("Sawn top comes down", self._set_drop)
        self.inside = QLabel(self)
        self.inside.setTextFormat(Qt.TextFormat.PlainText)
        self.inside.setWordWrap(True)
        self.inside.setAccessibleName("circuits inside the boom's circle")
        self.put_in = QPushButton("Put a Boom in", self)
        self.put_in.clicked.connect(lambda _=False: self._on_put_in())
        self._cells = QWidget(self)
        controls: tuple[LengthEntry | TextEntry, ...] = (
            *(self.east, self.north, self.reach),
            *(self.lifts, self.butt),
        )
        cells = [Cell(control, CELL_PX) for control in controls]
        of_boom = QVBoxLayout(self._cells)
        of_boom.setContentsMargins(0, 0, 0, 0)
        of_boom.setSpacing(4)
        of_boom.addWidget(SideBySide(cells, self._cells, gap=4))
        of_boom.addWidget(self.inside)
        self._drop_cell = Cell(self.drop, 2 * CELL_PX)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(3)
        column.addWidget(self._cells)
        column.addWidget(self.put_in)
        column.addWidget(self._drop_cell)
        for entry in controls:
            entry.said.connect(self.said)

    def _length(self, name: str, field: str, hint: str, signed: str = "") -> LengthEntry:
        minus = f"with a minus {signed}" if signed else ""
        return LengthEntry(
            name, lambda value: self._change(**{field: value}), signed=minus, hint=hint
        )

    def show_step(self, step: Step | None) -> None:
        """Show the boom of a step."""
        self._step = step
        boom = step.boom if step else None
        self._cells.setVisible(boom is not None)
        self.put_in.setText("Take the Boom out" if boom else "Put a Boom in")
        self.put_in.setEnabled(step is not None)
        self._drop_cell.setVisible(bool(step) and self._saws(step))
        if step is not None:
            side = step.drop_deg
            options = [("not said", None), *compass_options(0.0 if side is None else side)]
            self.drop.show_options(options, side)
        if boom is None:
            return
        settings = self.bridge.job.settings
        for entry, value in (
            (self.east, boom.east_in), (self.north, boom.north_in),
            (self.reach, boom.reach_in), (self.butt, boom.butt_in),
        ):  # fmt: skip
            entry.show_length(value, settings)
        self.lifts.show_text("" if boom.lift_lb is None else f"{boom.lift_lb:g}", "by its chart")
        names = ", ".join(self.bridge.job.label(key) for key in self._near(boom))
        self.inside.setText(f"Inside its circle: {names or 'no supply wire'}")

    def _saws(self, step: Step | None) -> bool:
        """Whether a step saws off the top of a pole."""
        if step is None:
            return False
        return step.kind == "top old pole" or step.drop_deg is not None

    def _near(self, boom: Boom) -> tuple[str, ...]:
        """The circuits inside a boom's circle before the step."""
        job, step = self.bridge.job, self._step
        number = next((at for at, one in enumerate(job.steps) if step and one.id == step.id), 0)
        return in_circle(place(job, number), boom)

    def _do(self, name: str, edit: Callable[[Job], Job]) -> str:
        return self.bridge.do_here(name, edit)

    def _change(self, **changes: Any) -> str:
        step = self._step
        if step is None:
            return "choose a step first"

        def edit(job: Job) -> Job:
            changed = with_boom(next(one for one in job.steps if one.id == step.id), **changes)
            return set_step(job, step.id, boom=changed.boom)

        return self._do("place the boom", edit)

    def _set_lift(self, text: str) -> str:
        try:
            return self._change(lift_lb=read_number(text, "lbf?"))
        except EditError as problem:
            return str(problem)

    def _set_drop(self, side: object) -> None:
        step = self._step
        if step is not None:
            name = "where the sawn top comes down"
            problem = self._do(name, lambda job: set_step(job, step.id, drop_deg=side))
            self.said.emit(problem)

    def _on_put_in(self) -> None:
        step = self._step
        if step is None:
            return
        boom = None if step.boom else self._like()
        name = "put a boom in" if boom else "take the boom out"
        problem = self._do(name, lambda job: set_step(job, step.id, boom=boom))
        more = "say where it stands and how far it reaches" if boom else "undo brings it back"
        self.said.emit(problem or more)

    def _like(self) -> Boom:
        """A boom as in another step, else a new one."""
        known = (one.boom for one in self.bridge.job.steps if one.boom is not None)
        return replace(next(known, NEW))
