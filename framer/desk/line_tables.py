"""Circuits, spans, phases and nearby wires in tables; every cell that is typed over is one step."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Bridge
from framer.desk.entry import Choice
from framer.edits.line import (
    across_in,
    add_circuit,
    add_nearby,
    add_span,
    nearby,
    remove_circuit,
    remove_nearby,
    remove_span,
    set_across,
    set_circuit,
    set_nearby,
    set_nearby_height,
    set_phase_order,
    set_span,
    set_street_side,
)
from framer.errors import EditError, LengthError
from framer.geometry.phases import order_words
from framer.geometry.scene import Scene
from framer.geometry.space import POINT_WORDS, POINTS, compass, toward, turned
from framer.model.job import Job
from framer.units.length import length_text, read_length

SIZE_PX = (900, 420)

GROUND_USES = ("road", "along road", "driveway", "field", "pedestrian", "railroad", "water")

NO_STREET = "not said"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Attributes:
        title: its heading.
        show: the text of a record, by its key.
        enter: the job after a text is typed there; `None` for what is only shown.
        hint: what is understood.
        is_length: whether it holds a length, so that another reading of it is told.
    """

    title: str
    show: Callable[[Job, str], str]
    enter: Callable[[Job, str, str], Job] | None = None
    hint: str = ""
    is_length: bool = False


class Rows(QTableWidget):
    """Records of the job, one a row."""

    def __init__(
        self,
        bridge: Bridge,
        name: str,
        columns: Sequence[Column],
        keys: Callable[[Job], Sequence[str]],
        say: Callable[[str], None],
    ) -> None:
        super().__init__()
        self.bridge, self.name, self.columns = bridge, name, columns
        self._keys, self._say = keys, say
        self.keys: tuple[str, ...] = ()
        self._filling = False
        self.setAccessibleName(name)
        self.setColumnCount(len(columns))
        self.setHorizontalHeaderLabels([column.title for column in columns])
        self.verticalHeader().setVisible(False)
        self.setTabKeyNavigation(False)
        self.setAlternatingRowColors(True)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(len(columns) - 1, QHeaderView.ResizeMode.Stretch)
        self.itemChanged.connect(self._typed)

    @property
    def key(self) -> str:
        """The record of the current row, empty for none."""
        row = self.currentRow()
        return self.keys[row] if 0 <= row < len(self.keys) else ""

    def refresh(self) -> None:
        """Show the job as it is."""
        job = self.bridge.job
        self._filling = True
        self.keys = tuple(self._keys(job))
        self.setRowCount(len(self.keys))
        for row, key in enumerate(self.keys):
            for at, column in enumerate(self.columns):
                text = column.show(job, key)
                cell = self.item(row, at)
                if cell is None:
                    cell = QTableWidgetItem()
                    self.setItem(row, at, cell)
                cell.setText(text)
                flags = Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEnabled
                if column.enter is not None:
                    flags |= Qt.ItemFlag.ItemIsEditable
                cell.setFlags(flags)
                cell.setToolTip(column.hint or text)
        self._filling = False

    def _typed(self, cell: QTableWidgetItem) -> None:
        if self._filling:
            return
        column, key, text = self.columns[cell.column()], self.keys[cell.row()], cell.text().strip()
        enter = column.enter
        if enter is None or text == column.show(self.bridge.job, key):
            self.refresh()
            return
        name = f"{column.title.lower()} of {_label(self.bridge.job, key)}"
        problem = self.bridge.do(name, lambda job: enter(job, key, text))
        self.refresh()
        if problem:
            self._say(f"{column.title}: {problem}")
        else:
            self._say(_other_reading(self.bridge.job, text) if column.is_length else "")


class LineTables(QDialog):
    """The tables of what the line brings; open beside the sheet, in step with it.

    Attributes:
        tables: by what they hold.
        street: which way of the pole the street is.
        message: what is wrong with what was typed, or how it was understood.
    """

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.setWindowTitle("Circuits, spans and nearby wires")
        self.message = QLabel(self)
        self.message.setTextFormat(Qt.TextFormat.PlainText)
        self.message.setWordWrap(True)
        self.message.setMinimumHeight(2 * self.fontMetrics().lineSpacing())
        self.message.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.tabs = QTabWidget(self)
        self.tables: dict[str, Rows] = {}
        self.add_buttons: dict[str, QPushButton] = {}
        self.remove_buttons: dict[str, QPushButton] = {}
        self.street = Choice("Street", self._choose_street, self)
        self._add_tab("Circuits", CIRCUITS, lambda job: [one.id for one in job.circuits])
        self._add_tab("Spans", SPANS, lambda job: [one.id for one in job.spans])
        self._add_tab("Phases", PHASES, phase_keys)
        self._add_tab("Nearby wires", NEARBY, lambda job: [one.id for one in job.nearby])
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        stack = QVBoxLayout(self)
        stack.addWidget(self.tabs, 1)
        stack.addWidget(self.message)
        stack.addWidget(buttons)
        self.resize(*SIZE_PX)
        bridge.job_opened.connect(self.hide)
        bridge.job_changed.connect(self._on_job)

    def _add_tab(
        self, name: str, columns: Sequence[Column], keys: Callable[[Job], Sequence[str]]
    ) -> None:
        page = QWidget(self.tabs)
        rows = Rows(self.bridge, name.lower(), columns, keys, self._tell)
        self.tables[name] = rows
        below = QHBoxLayout()
        if name == "Phases":
            below.addWidget(QLabel("The street is to the", page))
            below.addWidget(self.street)
        else:
            add = QPushButton(f"Add {_SINGLE[name]}", page)
            remove = QPushButton(f"Remove {_SINGLE[name]}", page)
            add.clicked.connect(lambda: self._add(name))
            remove.clicked.connect(lambda: self._remove(name))
            rows.itemSelectionChanged.connect(self._allow)
            self.add_buttons[name], self.remove_buttons[name] = add, remove
            below.addWidget(add)
            below.addWidget(remove)
        below.addStretch(1)
        column = QVBoxLayout(page)
        column.addWidget(rows, 1)
        column.addLayout(below)
        self.tabs.addTab(page, name)

    def showEvent(self, event: QShowEvent) -> None:
        """Show the job as it is."""
        super().showEvent(event)
        self.refresh()

    def refresh(self) -> None:
        """Show the job as it is."""
        for rows in self.tables.values():
            rows.refresh()
        options = ((NO_STREET, ""), *zip(POINT_WORDS, POINTS, strict=True))
        self.street.show_options(options, self.bridge.job.settings.street_side)
        self._allow()

    def _on_job(self) -> None:
        if self.isVisible():
            self.refresh()

    def _tell(self, words: str) -> None:
        self.message.setText(words)

    def _allow(self) -> None:
        for name, button in self.remove_buttons.items():
            chosen = bool(self.tables[name].key)
            button.setEnabled(chosen)
            button.setToolTip("" if chosen else f"choose {_SINGLE[name]} first")

    def _choose_street(self, side: object) -> None:
        problem = self.bridge.do("side of the street", lambda job: set_street_side(job, str(side)))
        self._tell(problem)

    def _add(self, name: str) -> None:
        adders: dict[str, Callable[[Job], tuple[Job, str]]] = {
            "Circuits": add_circuit,
            "Spans": add_span,
            "Nearby wires": add_nearby,
        }
        problem = self.bridge.do(f"add {_SINGLE[name]}", lambda job: adders[name](job)[0])
        self._tell(problem)
        rows = self.tables[name]
        if not problem:
            rows.setCurrentCell(rows.rowCount() - 1, 0)
            rows.setFocus()

    def _remove(self, name: str) -> None:
        removers: dict[str, Callable[[Job, str], Job]] = {
            "Circuits": remove_circuit,
            "Spans": remove_span,
            "Nearby wires": remove_nearby,
        }
        key = self.tables[name].key
        words = f"remove {_label(self.bridge.job, key)}"
        problem = self.bridge.do(words, lambda job: removers[name](job, key))
        self._tell(problem or f"{words}; undo brings it back")


_SINGLE = {"Circuits": "a circuit", "Spans": "a span", "Nearby wires": "a nearby wire"}


def phase_keys(job: Job) -> list[str]:
    """A key for every circuit in every span that has phases there: span and circuit."""
    found: dict[str, None] = {}
    for wire in job.wires:
        if wire.phase in ("A", "B", "C"):
            found[f"{wire.span} {wire.circuit}"] = None
    return [key for key in found if key.count(" ") == 1]


def _label(job: Job, key: str) -> str:
    span = job.span_by_id.get(key)
    if span is not None:
        return f"span to {span.toward}"
    if " " in key and key.partition(" ")[0] in job.span_by_id:
        of, _, circuit = key.partition(" ")
        return f"{job.label(circuit)} to {job.span_by_id[of].toward}"
    return job.label(key)


# --- reading and writing of cells ---


def _length(job: Job, text: str) -> float:
    try:
        return read_length(text, "m" if job.settings.units == "metric" else "in").value_in
    except LengthError as problem:
        raise EditError(str(problem)) from problem


def _other_reading(job: Job, text: str) -> str:
    """What a length is read as, where it could be meant in two ways."""
    try:
        typed = read_length(text, "m" if job.settings.units == "metric" else "in")
    except LengthError:
        return ""
    if typed.other_in is None:
        return ""
    value, other = _written(job, typed.value_in), _written(job, typed.other_in)
    return f"'{text}' is read as {value}; if you mean {other}, type that"


def _written(job: Job, value_in: float | None) -> str:
    if value_in is None:
        return ""
    return length_text(value_in, step_in=1 / 16, system=job.settings.units)


def read_kv(text: str) -> tuple[float | None, float | None]:
    """The voltage between phases and to ground [kV] in a text such as 12.47 or 24.9Y/14.4.

    An empty text is a voltage nobody knows; volts are told by a V alone.

    Raises:
        EditError: it is no voltage.
    """
    cleaned = text.strip().lower().replace("grd", "").replace(",", "")
    if not cleaned:
        return None, None
    number = r"(\d+(?:\.\d+)?)"
    match = re.fullmatch(rf"{number}\s*y?\s*(?:/\s*{number})?\s*(kv|v)?", cleaned)
    if match is None:
        raise EditError(f"'{text}' is no voltage; type kV such as 12.47 or 24.9Y/14.4")
    scale = 0.001 if match[3] == "v" else 1.0
    to_ground = None if match[2] is None else float(match[2]) * scale
    return float(match[1]) * scale, to_ground


def read_direction(text: str) -> float:
    """A compass direction in degrees from a text such as 270, W, west or south-west.

    Raises:
        EditError: it is none.
    """
    cleaned = text.strip().lower().replace("degrees", "").replace("deg", "").replace("°", "")
    word = cleaned.strip().replace("-", "").replace(" ", "")
    for names in (
        [point.lower() for point in POINTS],
        [one.replace("-", "") for one in POINT_WORDS],
    ):
        if word in names:
            return 45.0 * names.index(word)
    try:
        value = float(cleaned)
    except ValueError:
        value = float("nan")
    if not 0.0 <= value <= 360.0:
        raise EditError(f"'{text}' is no direction; type degrees from north, or a point such as NW")
    return value % 360.0


def _kv_text(job: Job, key: str) -> str:
    circuit = job.circuit_by_id[key]
    if circuit.kv is None:
        return ""
    ground = f"Y/{circuit.kv_to_ground:g}" if circuit.kv_to_ground is not None else ""
    return f"{circuit.kv:g}{ground}"


NEUTRALS = {"grounded": True, "not grounded": False, "": None}
"""What is said of a circuit's neutral, and whether it is effectively grounded."""


def _neutral(job: Job, key: str) -> str:
    known = job.circuit_by_id[key].grounded_wye
    return next(words for words, grounded in NEUTRALS.items() if grounded is known)


def _set_neutral(job: Job, key: str, text: str) -> Job:
    words = text.strip().lower()
    if words not in NEUTRALS:
        raise EditError(f"'{text}' is not known; type grounded, not grounded, or nothing")
    return set_circuit(job, key, grounded_wye=NEUTRALS[words])


def _set_kv(job: Job, key: str, text: str) -> Job:
    kv, to_ground = read_kv(text)
    return set_circuit(job, key, kv=kv, kv_to_ground=to_ground)


def _set_kind(job: Job, key: str, text: str) -> Job:
    kinds = {"s": "supply", "c": "communications"}
    kind = kinds.get(text[:1].lower(), "")
    if not kind.startswith(text.lower()):
        raise EditError("type supply or communications")
    return set_circuit(job, key, kind=kind)


def _set_over(job: Job, key: str, text: str) -> Job:
    if text and text not in GROUND_USES:
        raise EditError(f"type one of {', '.join(GROUND_USES)}, or nothing")
    return set_span(job, key, over=text or None)


def _direction_text(azimuth_deg: float) -> str:
    point = compass(azimuth_deg, words=True)
    return f"{azimuth_deg:g} deg" if "deg" in point else f"{azimuth_deg:g} deg, {point}"


def _direction(text: str) -> float:
    return read_direction(text.partition(",")[0])


def _span_sag(job: Job, key: str) -> str:
    return _written(job, job.span_by_id[key].sag_in)


def _set_span_sag(job: Job, key: str, text: str) -> Job:
    return set_span(job, key, sag_in=_length(job, text) if text else None)


def _phase_order(job: Job, key: str, text: str) -> Job:
    span, _, circuit = key.partition(" ")
    letters = tuple(letter for letter in text.upper() if letter not in " ,-")
    return set_phase_order(job, span, circuit, letters)


def _scene(job: Job) -> Scene:
    from framer.geometry.placing import place

    return place(job, "framed")


def _phase_letters(job: Job, key: str) -> str:
    return _phase_words(job, key).partition(" from ")[0]


def _phase_words(job: Job, key: str) -> str:
    span, _, circuit = key.partition(" ")
    return order_words(_scene(job), span, circuit)


def _circuit_named(job: Job, text: str) -> str:
    for circuit in job.circuits:
        if text.lower() in (circuit.name.lower(), circuit.id.lower()):
            return circuit.id
    names = ", ".join(circuit.name for circuit in job.circuits)
    raise EditError(f"there is no circuit '{text}'; there are: {names}")


def _height(job: Job, key: str) -> str:
    read = job.reading(key, "height")
    return "" if read is None else _written(job, read.value_in)


def _tolerance(job: Job, key: str) -> str:
    read = job.reading(key, "height")
    return "" if read is None else _written(job, read.tolerance_in)


def _set_height(job: Job, key: str, text: str) -> Job:
    return set_nearby_height(job, key, _length(job, text) if text else None)


def _set_tolerance(job: Job, key: str, text: str) -> Job:
    read = job.reading(key, "height")
    if read is None:
        raise EditError("type the height first")
    return set_nearby_height(job, key, read.value_in, _length(job, text or "0"))


def _side(job: Job, key: str) -> str:
    """The side of the job's origin a nearby wire passes on, by compass."""
    azimuth = turned(nearby(job, key).azimuth_deg, 90.0)
    side = azimuth if across_in(job, key) >= 0.0 else turned(azimuth, 180.0)
    return POINT_WORDS[round(side / 45.0) % 8]


def _across_text(job: Job, key: str) -> str:
    return f"{_written(job, abs(across_in(job, key)))} {_side(job, key)}"


def _set_across(job: Job, key: str, text: str) -> Job:
    """A distance with the side it is on: "12 ft west"; without a side, the side it is on now."""
    words = text.split()
    names = (*(word for word in POINT_WORDS), *(point.lower() for point in POINTS))
    side = words[-1].lower() if words and words[-1].lower() in names else _side(job, key)
    length = _length(job, " ".join(words[:-1]) if words and words[-1].lower() in names else text)
    right = toward(turned(nearby(job, key).azimuth_deg, 90.0))
    way = toward(read_direction(side))
    towards = way[0] * right[0] + way[1] * right[1]
    if abs(towards) < 1e-6:
        raise EditError(f"the wire runs {side}: say on which side of the pole it passes")
    return set_across(job, key, length if towards > 0.0 else -length)


LENGTH = "a length such as 38 ft 6 in, 38.5 ft, 11.7 m"
CIRCUITS = (
    Column(
        "Name",
        lambda job, key: job.circuit_by_id[key].name,
        lambda job, key, text: set_circuit(job, key, name=text),
    ),
    Column(
        "Kind",
        lambda job, key: job.circuit_by_id[key].kind,
        _set_kind,
        "supply or communications",
    ),
    Column("kV", _kv_text, _set_kv, "12.47, or 24.9Y/14.4 with volts to ground; empty: unknown"),
    Column("Neutral", _neutral, _set_neutral, "grounded, or not grounded; empty: unknown"),
    Column(
        "Phases here",
        lambda job, key: "".join(
            phase for phase in ("A", "B", "C", "N")
            if any(wire.circuit == key and wire.phase == phase for wire in job.wires)
        ),
    ),
    Column(
        "Approach",
        lambda job, key: _written(job, job.circuit_by_id[key].approach_in),
        lambda job, key, text: set_circuit(
            job, key, approach_in=_length(job, text) if text else None
        ),
        f"the employer's own approach distance, {LENGTH}; less than the rulebooks ask counts for "
        "nothing; empty: none",
        is_length=True,
    ),
    Column(
        "Owner",
        lambda job, key: job.circuit_by_id[key].owner,
        lambda job, key, text: set_circuit(job, key, owner=text),
    ),
)  # fmt: skip
SPANS = (
    Column(
        "Toward",
        lambda job, key: job.span_by_id[key].toward,
        lambda job, key, text: set_span(job, key, toward=text),
    ),
    Column(
        "Direction",
        lambda job, key: _direction_text(job.span_by_id[key].azimuth_deg),
        lambda job, key, text: set_span(job, key, azimuth_deg=_direction(text)),
        "degrees from north, or a point such as NW",
    ),
    Column(
        "Length",
        lambda job, key: _written(job, job.span_by_id[key].length_in),
        lambda job, key, text: set_span(job, key, length_in=_length(job, text)),
        LENGTH,
        is_length=True,
    ),
    Column(
        "Ground there",
        lambda job, key: _written(job, job.span_by_id[key].far_grade_in),
        lambda job, key, text: set_span(job, key, far_grade_in=_length(job, text or "0")),
        f"how much higher the ground is at the far pole, lower with a minus; {LENGTH}",
        is_length=True,
    ),
    Column("Sag", _span_sag, _set_span_sag, f"{LENGTH}; empty: by each wire", is_length=True),
    Column(
        "Over",
        lambda job, key: job.span_by_id[key].over or "",
        _set_over,
        ", ".join(GROUND_USES),
    ),
)
PHASES = (
    Column("Span", lambda job, key: f"to {job.span_by_id[key.partition(' ')[0]].toward}"),
    Column("Circuit", lambda job, key: job.label(key.partition(" ")[2])),
    Column(
        "Order",
        _phase_letters,
        _phase_order,
        "letters from the left looking along the span, such as C B A",
    ),
    Column("In words", _phase_words),
)
NEARBY = (
    Column(
        "Name",
        lambda job, key: nearby(job, key).name,
        lambda job, key, text: set_nearby(job, key, name=text),
    ),
    Column(
        "Circuit",
        lambda job, key: job.label(nearby(job, key).circuit),
        lambda job, key, text: set_nearby(job, key, circuit=_circuit_named(job, text)),
        "the name of a circuit of the job",
    ),
    Column("kV", lambda job, key: _kv_text(job, nearby(job, key).circuit), None, "of its circuit"),
    Column("Height", _height, _set_height, f"as read; {LENGTH}; empty: unknown", is_length=True),
    Column("Give or take", _tolerance, _set_tolerance, LENGTH, is_length=True),
    Column(
        "Runs",
        lambda job, key: _direction_text(nearby(job, key).azimuth_deg),
        lambda job, key, text: set_nearby(job, key, azimuth_deg=_direction(text)),
        "the direction it runs in: degrees from north, or a point such as NW",
    ),
    Column(
        "Passes",
        _across_text,
        _set_across,
        "how far from the old pole's place, and on which side: 12 ft west",
    ),
    Column(
        "Hot, lower by",
        lambda job, key: _written(job, nearby(job, key).hot_drop_in),
        lambda job, key, text: set_nearby(job, key, hot_drop_in=_length(job, text or "0")),
        f"how much lower it hangs at its hottest than when it was read; {LENGTH}",
        is_length=True,
    ),
)
