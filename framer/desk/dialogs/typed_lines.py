"""The dialog with the typed lines of the material list, and what the list still asks for."""

from __future__ import annotations

from collections.abc import Callable
from typing import get_args, get_type_hints

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Bridge
from framer.desk.dialogs.job_dialog import JobDialog
from framer.desk.dialogs.rows import Column, Rows
from framer.edits.listed import add_listed, remove_listed, set_listed
from framer.errors import EditError
from framer.model.job import Job, Listed
from framer.takeoff.completeness import NOT_ISSUED
from framer.takeoff.listing import material_list
from framer.takeoff.materials import materials

SIZE_PX = (860, 520)
FATES: tuple[str, ...] = get_args(get_type_hints(Listed)["fate"])
_LINE = Qt.ItemDataRole.UserRole


class TypedLines(JobDialog):
    """What is typed onto the material list; every change is a step to take back.

    Attributes:
        rows: the typed lines.
        asks: what keeps the list from being issued, and what it asks for.
    """

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(bridge, parent)
        self.setWindowTitle("Typed lines of the material list")
        self.message, self.state = QLabel(self), QLabel(self)
        for label in (self.message, self.state):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
        self.rows = Rows(
            bridge,
            "typed lines of the material list",
            COLUMNS,
            lambda job: [str(at) for at in range(len(job.listed))],
            self.message.setText,
        )
        self.asks = QListWidget(self)
        self.asks.setWordWrap(True)
        self.asks.setAccessibleName("what the list asks for, and what keeps it from being issued")
        self.add, self.remove = QPushButton("&Add a Line", self), QPushButton("&Remove It", self)
        self.answer = QPushButton("Add a &Line for What Is Chosen Below", self)
        for button, act in (
            (self.add, self._add),
            (self.remove, self._remove),
            (self.answer, self._answer),
        ):
            button.setAutoDefault(False)
            button.clicked.connect(act)
        self.rows.itemSelectionChanged.connect(self._allow)
        self.asks.currentRowChanged.connect(lambda _: self._allow())
        self._lay_out()

    def _lay_out(self) -> None:
        below = QHBoxLayout()
        for button in (self.add, self.remove, self.answer):
            below.addWidget(button)
        below.addStretch(1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        buttons.button(QDialogButtonBox.StandardButton.Close).setAutoDefault(False)
        stack = QVBoxLayout(self)
        stack.addWidget(self.rows, 3)
        stack.addLayout(below)
        stack.addWidget(self.message)
        stack.addWidget(self.state)
        stack.addWidget(self.asks, 2)
        stack.addWidget(buttons)
        self.resize(*SIZE_PX)

    def refresh(self) -> None:
        """Show the typed lines, and what the list still wants."""
        self.rows.refresh()
        gate = material_list(self.bridge.job).gate
        self.state.setText(
            f"{NOT_ISSUED}: this list does not close. {gate.words}."
            if gate.open
            else f"This list closes. {gate.words}."
        )
        self.asks.clear()
        # other lines without a size want it in the drawing, not a typed line
        known = {
            row.name: (row.quantity, row.unit)
            for row in materials(self.bridge.job)
            if row.unresolved and row.rests_on
        }
        for words in (*gate.open, *gate.asks):
            self.asks.addItem(words)
            name = max((one for one in known if words.endswith(f" {one}")), key=len, default="")
            if not name and words in gate.asks and " not typed: " in words:
                name = words.partition(" of ")[0]
            many, unit = known.get(name, (1.0, "ea"))
            self.asks.item(self.asks.count() - 1).setData(_LINE, (name, many, unit))
        self._allow()

    def _allow(self) -> None:
        chosen = bool(self.rows.key)
        self.remove.setEnabled(chosen)
        self.remove.setToolTip("" if chosen else "choose a line first")
        asked = self._asked()[0]
        self.answer.setEnabled(bool(asked))
        self.answer.setToolTip(
            f"a line for {asked}" if asked else "choose below what has no number yet"
        )

    def _asked(self) -> tuple[str, float, str]:
        """Name, quantity and unit of the line that would answer what is chosen below."""
        item = self.asks.currentItem()
        name, many, unit = item.data(_LINE) if item is not None else ("", 0.0, "")
        return name, many, unit

    def _do(self, name: str, edit: Callable[[Job], Job]) -> bool:
        problem = self.bridge.do_here(name, edit)
        self.message.setText(problem)
        return not problem

    def _add(self) -> None:
        if self._do("add a line to the list", add_listed):
            self._to_last(0)

    def _answer(self) -> None:
        line = self._asked()
        if self._do(f"type a line for {line[0]}", lambda job: add_listed(job, *line)):
            self._to_last(1)

    def _to_last(self, column: int) -> None:
        self.rows.setCurrentCell(self.rows.rowCount() - 1, column)
        self.rows.setFocus()

    def _remove(self) -> None:
        at = int(self.rows.key)
        name = self.bridge.job.listed[at].name
        if self._do(f"take {name} off the list", lambda job: remove_listed(job, at)):
            self.message.setText(f"{name} is off the list; undo brings it back")


def _text(field: str) -> Callable[[Job, str], str]:
    return lambda job, key: str(getattr(job.listed[int(key)], field))


def _set(field: str) -> Callable[[Job, str, str], Job]:
    return lambda job, key, text: set_listed(job, int(key), **{field: text})


def _quantity(job: Job, key: str) -> str:
    return f"{job.listed[int(key)].quantity:g}"


def _set_quantity(job: Job, key: str, text: str) -> Job:
    try:
        value = float(text.replace(",", ""))
    except ValueError as error:
        raise EditError(f"'{text}' is no number") from error
    return set_listed(job, int(key), quantity=value)


def _set_fate(job: Job, key: str, text: str) -> Job:
    fate = next((one for one in FATES if one == text.lower()), "")
    if not fate:
        raise EditError(f"'{text}' is none of {', '.join(FATES)}")
    return set_listed(job, int(key), fate=fate)


COLUMNS = (
    Column("What", _text("name"), _set("name"), "as it is to stand on the list"),
    Column("How many", _quantity, _set_quantity, "0 says that none is needed"),
    Column("Unit", _text("unit"), _set("unit"), "ea, ft, set and the like"),
    Column("What becomes of it", _text("fate"), _set_fate, ", ".join(FATES)),
    Column("Who pays", _text("pays"), _set("pays"), "empty: the owner of the job"),
    Column("Why", _text("why"), _set("why"), "printed beside the line"),
)
