"""The workers of a step: where each is, how far he takes up room, and what he handles."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from framer.desk.bridge import Bridge
from framer.desk.entries.entry import Cell, Choice, LengthEntry, compass_options
from framer.desk.entries.text_entry import TextEntry
from framer.desk.panels.side_by_side import SideBySide
from framer.edits.steps import set_step
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.step import Step, Worker
from framer.transfer.near import worker_name

CELL_PX, WIDE_PX = 100, 112
"""How wide an entry is, and one with long words to choose from."""

HOW = (("climbing", "climbing"), ("in a bucket", "bucket"), ("on the ground", "ground"))
METHODS = (("not said", ""), ("rubber gloves", "gloves"), ("hot stick", "hot stick"))
GLOVES = (("not said", ""), *((f"class {one}", one) for one in ("00", "0", "1", "2", "3", "4")))


class WorkerCells(QWidget):
    """The entries of one worker.

    Attributes:
        name, feet, reach: what is typed.
        pole, side, how, at, method, gloves: what is chosen.
    """

    said = Signal(str)

    def __init__(self, change: Callable[[str, Any], str], remove: Callable[[], None]) -> None:
        """Entries; `change` takes the name of a field and its value and says what is wrong."""
        super().__init__()

        def chosen(field: str) -> Callable[[object], None]:
            return lambda value: self._told(change(field, value))

        self.name = TextEntry("Worker", lambda text: change("name", text))
        self.pole = Choice("On or at pole", chosen("pole"))
        self.side = Choice("Side", chosen("azimuth_deg"))
        self.how = Choice("How", chosen("by"))
        self.feet = LengthEntry(
            "Feet up",
            lambda value: change("height_in", value),
            empty="not said: then nothing can be said of approach",
            hint="how high the feet, or the bucket's floor, are above the ground",
        )
        self.reach = LengthEntry(
            "Room out",
            lambda value: change("envelope_in", value),
            hint="how far out from the pole the worker takes up room; 2 ft is common practice",
        )
        self.at = Choice("Handles", chosen("at"))
        self.method = Choice("Method", chosen("method"))
        self.gloves = Choice("Gloves", chosen("gloves"))
        controls: tuple[TextEntry | LengthEntry | Choice, ...] = (
            *(self.name, self.pole, self.side),
            *(self.how, self.feet, self.reach),
            *(self.at, self.method, self.gloves),
        )
        self.take_out = QPushButton("Take This Worker Out", self)
        self.take_out.clicked.connect(lambda: remove())
        under = QHBoxLayout()
        under.addWidget(self.take_out)
        under.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 6)
        column.setSpacing(3)
        wide = {self.method.name: WIDE_PX, self.gloves.name: 2 * CELL_PX - WIDE_PX}
        cells = [Cell(control, wide.get(control.name, CELL_PX)) for control in controls]
        column.addWidget(SideBySide(cells, self, gap=4))
        column.addLayout(under)
        for entry in (self.name, self.feet, self.reach):
            entry.said.connect(self.said)

    def _told(self, problem: str) -> None:
        if problem:
            self.said.emit(problem)

    def show_worker(self, job: Job, step: Step, worker: Worker) -> None:
        """Show where a worker is."""
        self.name.show_text(worker.name, worker_name(step, worker))
        poles = [(job.label(one.id), one.id) for one in job.items if one.kind == "pole"]
        self.pole.show_options(poles, worker.pole)
        self.side.show_options(compass_options(worker.azimuth_deg), worker.azimuth_deg)
        self.how.show_options(HOW, worker.by)
        self.feet.show_length(worker.height_in, job.settings)
        self.reach.show_length(worker.envelope_in, job.settings)
        handled = [("nothing said", ""), ("the ground", "ground"), *handled_options(job)]
        self.at.show_options(handled, worker.at)
        self.method.show_options(METHODS, worker.method)
        self.gloves.show_options(GLOVES, worker.gloves)


def handled_options(job: Job) -> list[tuple[str, object]]:
    """What a worker can handle: wires, and items of a circuit."""
    things = [
        thing for thing in job.placed() if isinstance(thing, Wire) or thing.circuit is not None
    ]
    return [(job.label(thing.id), thing.id) for thing in things]


class Workers(QWidget):
    """The workers of a step one under the other, and a button for one more.

    Attributes:
        rows: the entries of each worker.
        add: the button.
    """

    said = Signal(str)

    def __init__(self, bridge: Bridge, parent: QWidget) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self._step = ""
        self.rows: list[WorkerCells] = []
        self.add = QPushButton("Put a Worker in", self)
        self.add.clicked.connect(self._on_add)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self.add)

    def show_step(self, step: Step | None) -> None:
        """Show the workers of a step."""
        self._step = step.id if step else ""
        workers = step.workers if step else ()
        while len(self.rows) > len(workers):
            row = self.rows.pop()
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        while len(self.rows) < len(workers):
            self.rows.append(self._row(len(self.rows)))
            self._column.insertWidget(len(self.rows) - 1, self.rows[-1])
        for row, worker in zip(self.rows, workers, strict=True):
            if step is not None:
                row.show_worker(self.bridge.job, step, worker)
        self.add.setEnabled(bool(step) and bool(self._first_pole()))

    def _row(self, at: int) -> WorkerCells:
        row = WorkerCells(
            lambda field, value: self._change(at, field, value), lambda: self._remove(at)
        )
        row.said.connect(self.said)
        return row

    def _first_pole(self) -> str:
        poles = (one.id for one in self.bridge.job.items if one.kind == "pole")
        return next(poles, "")

    def _workers(self, job: Job) -> tuple[Worker, ...]:
        return next(step.workers for step in job.steps if step.id == self._step)

    def _change(self, at: int, field: str, value: Any) -> str:
        key = self._step

        def edit(job: Job) -> Job:
            workers = list(self._workers(job))
            workers[at] = replace(workers[at], **{field: value})
            return set_step(job, key, workers=tuple(workers))

        return self.bridge.do_here("place a worker", edit)

    def _remove(self, at: int) -> None:
        key = self._step

        def edit(job: Job) -> Job:
            workers = self._workers(job)
            return set_step(job, key, workers=(*workers[:at], *workers[at + 1 :]))

        problem = self.bridge.do_here("take a worker out", edit)
        self.said.emit(problem or "the worker is out; undo brings him back")

    def _on_add(self) -> None:
        key, pole = self._step, self._first_pole()

        def edit(job: Job) -> Job:
            workers = self._workers(job)
            like = replace(workers[-1], name="") if workers else Worker("", pole)
            return set_step(job, key, workers=(*workers, like))

        problem = self.bridge.do_here("put a worker in", edit)
        self.said.emit(problem or "say where the worker is and what is handled")
