"""Circuits, spans, phases and nearby wires in tables; every cell that is typed over is one step."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from framer.desk.bridge import Bridge
from framer.desk.dialogs.rows import Column, cell_length, length_or_none, row_label, written
from framer.desk.dialogs.tables_dialog import TablesDialog
from framer.desk.entries.entry import Choice
from framer.edits.line import (
    OTHER_LINE,
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
from framer.edits.transfer import set_facts
from framer.errors import EditError
from framer.geometry.phases import order_words
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.geometry.space import POINT_WORDS, POINTS, compass, toward, turned
from framer.model.job import Job

GROUND_USES = ("road", "along road", "driveway", "field", "pedestrian", "railroad", "water")

NO_STREET = "not said"


class LineTables(TablesDialog):
    """The tables of what the line brings; open beside the sheet, in step with it.

    Attributes:
        street: which way of the pole the street is.
        add_buttons, remove_buttons: by what they add and remove.
    """

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(bridge, "Circuits, spans and nearby wires", parent)
        self.add_buttons: dict[str, QPushButton] = {}
        self.remove_buttons: dict[str, QPushButton] = {}
        self.street = Choice("Street", self._choose_street, self)
        self._add_tab("Circuits", CIRCUITS, lambda job: [one.id for one in job.circuits])
        self._add_tab("Spans", SPANS, lambda job: [one.id for one in job.spans])
        self.add_tab("Phases", PHASES, phase_keys, QLabel("The street is to the"), self.street)
        self.add_tab("Wire ends", WIRE_ENDS, lambda job: [one.id for one in job.wires])
        self._add_tab("Nearby wires", NEARBY, lambda job: [one.id for one in job.nearby])

    def _add_tab(
        self, name: str, columns: Sequence[Column], keys: Callable[[Job], Sequence[str]]
    ) -> None:
        add = self.button(f"Add {_SINGLE[name]}", lambda: self._add(name))
        remove = self.button(f"Remove {_SINGLE[name]}", lambda: self._remove(name))
        self.add_buttons[name], self.remove_buttons[name] = add, remove
        self.add_tab(name, columns, keys, add, remove)

    def refresh(self) -> None:
        """Show the job as it is."""
        options = ((NO_STREET, ""), *zip(POINT_WORDS, POINTS, strict=True))
        self.street.show_options(options, self.bridge.job.settings.street_side)
        super().refresh()

    def allow(self) -> None:
        """A thing is removed once it is chosen."""
        for name, button in self.remove_buttons.items():
            chosen = name in self.tables and bool(self.tables[name].key)
            button.setEnabled(chosen)
            button.setToolTip("" if chosen else f"choose {_SINGLE[name]} first")

    def _choose_street(self, side: object) -> None:
        problem = self.bridge.do("side of the street", lambda job: set_street_side(job, str(side)))
        self.tell(problem)

    def _add(self, name: str) -> None:
        adders: dict[str, Callable[[Job], tuple[Job, str]]] = {
            "Circuits": add_circuit,
            "Spans": add_span,
            "Nearby wires": add_nearby,
        }
        before = len(self.bridge.job.circuits)
        problem = self.bridge.do(f"add {_SINGLE[name]}", lambda job: adders[name](job)[0])
        brought = name != "Circuits" and len(self.bridge.job.circuits) > before
        more = (
            f"a circuit for it, {OTHER_LINE}, was added: tell its voltage, here or under Circuits"
        )
        self.tell(problem or (more if brought else ""))
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
        words = f"remove {row_label(self.bridge.job, key)}"
        problem = self.bridge.do(words, lambda job: removers[name](job, key))
        self.tell(problem or f"{words}; undo brings it back")


_SINGLE = {"Circuits": "a circuit", "Spans": "a span", "Nearby wires": "a nearby wire"}


def phase_keys(job: Job) -> list[str]:
    """A key for every circuit in every span that has phases there: span and circuit."""
    found: dict[str, None] = {}
    for wire in job.wires:
        if wire.phase in ("A", "B", "C"):
            found[f"{wire.span} {wire.circuit}"] = None
    return [key for key in found if key.count(" ") == 1]


# --- reading and writing of cells ---


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
    return written(job, job.span_by_id[key].sag_in)


def _set_span_sag(job: Job, key: str, text: str) -> Job:
    return set_span(job, key, sag_in=length_or_none(job, text))


def _phase_order(job: Job, key: str, text: str) -> Job:
    span, _, circuit = key.partition(" ")
    letters = tuple(letter for letter in text.upper() if letter not in " ,-")
    return set_phase_order(job, span, circuit, letters)


def _scene(job: Job) -> Scene:
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
    return "" if read is None else written(job, read.value_in)


def _tolerance(job: Job, key: str) -> str:
    read = job.reading(key, "height")
    return "" if read is None else written(job, read.tolerance_in)


def _set_height(job: Job, key: str, text: str) -> Job:
    return set_nearby_height(job, key, length_or_none(job, text))


def _set_tolerance(job: Job, key: str, text: str) -> Job:
    read = job.reading(key, "height")
    if read is None:
        raise EditError("type the height first")
    return set_nearby_height(job, key, read.value_in, cell_length(job, text or "0"))


def _aside_text(job: Job, azimuth_deg: float, right_in: float) -> str:
    """How far to the right of a line something is, as a distance and a side by compass."""
    side = turned(azimuth_deg, 90.0 if right_in >= 0.0 else 270.0)
    return f"{written(job, abs(right_in))} {POINT_WORDS[round(side / 45.0) % 8]}"


def _aside(job: Job, azimuth_deg: float, text: str, now_in: float) -> float:
    """How far to the right of a line a text says: "12 ft west"; without a side, that it is on now.

    Raises:
        EditError: it is no length, or the line runs to that side.
    """
    words = text.split()
    names = (*(word for word in POINT_WORDS), *(point.lower() for point in POINTS))
    has_side = bool(words) and words[-1].lower() in names
    length = cell_length(job, " ".join(words[:-1]) if has_side else text)
    if not has_side:
        return length if now_in >= 0.0 else -length
    right = toward(turned(azimuth_deg, 90.0))
    way = toward(read_direction(words[-1]))
    towards = way[0] * right[0] + way[1] * right[1]
    if abs(towards) < 1e-6:
        raise EditError(f"the wire runs {words[-1].lower()}: say on which side it passes")
    return length if towards > 0.0 else -length


def _across_text(job: Job, key: str) -> str:
    return _aside_text(job, nearby(job, key).azimuth_deg, across_in(job, key))


def _set_across(job: Job, key: str, text: str) -> Job:
    aside = _aside(job, nearby(job, key).azimuth_deg, text, across_in(job, key))
    return set_across(job, key, aside)


def _span_azimuth(job: Job, wire: str) -> float:
    return job.span_by_id[job.wire_by_id[wire].span].azimuth_deg


def _far_aside_text(job: Job, key: str) -> str:
    aside = job.wire_by_id[key].far_offset_in
    return "" if aside is None else _aside_text(job, _span_azimuth(job, key), aside)


def _set_far_aside(job: Job, key: str, text: str) -> Job:
    if not text:
        return set_facts(job, key, far_offset_in=None)
    now = job.wire_by_id[key].far_offset_in or 0.0
    return set_facts(job, key, far_offset_in=_aside(job, _span_azimuth(job, key), text, now))


def _far_height_text(job: Job, key: str) -> str:
    height = job.wire_by_id[key].far_height_in
    return "level" if height == "level" else written(job, height)


def _set_far_height(job: Job, key: str, text: str) -> Job:
    if text.lower() == "level":
        return set_facts(job, key, far_height_in="level")
    return set_facts(job, key, far_height_in=length_or_none(job, text))


LENGTH = "a length such as 38 ft 6 in, 38.5 ft, 11.7 m"
KV = "12.47, or 24.9Y/14.4 with volts to ground; empty: unknown"
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
    Column("kV", _kv_text, _set_kv, KV),
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
        lambda job, key: written(job, job.circuit_by_id[key].approach_in),
        lambda job, key, text: set_circuit(
            job, key, approach_in=length_or_none(job, text)
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
        lambda job, key: written(job, job.span_by_id[key].length_in),
        lambda job, key, text: set_span(job, key, length_in=cell_length(job, text)),
        LENGTH,
        is_length=True,
    ),
    Column(
        "Ground there",
        lambda job, key: written(job, job.span_by_id[key].far_grade_in),
        lambda job, key, text: set_span(job, key, far_grade_in=cell_length(job, text or "0")),
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
WIRE_ENDS = (
    Column("Wire", lambda job, key: job.label(key)),
    Column(
        "Height there",
        _far_height_text,
        _set_far_height,
        f"above the ground at the neighbouring pole, {LENGTH}; level: as high as here; empty: "
        "unknown; with more rows selected, in all of them",
        is_length=True,
    ),
    Column(
        "Aside there",
        _far_aside_text,
        _set_far_aside,
        "how far its end is beside the line of the span, and on which side: 2 ft west; empty: "
        "where the wire was found to go, a new one like those",
    ),
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
    Column(
        "kV",
        lambda job, key: _kv_text(job, nearby(job, key).circuit),
        lambda job, key, text: _set_kv(job, nearby(job, key).circuit, text),
        f"of its circuit: {KV}",
    ),
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
        lambda job, key: written(job, nearby(job, key).hot_drop_in),
        lambda job, key, text: set_nearby(job, key, hot_drop_in=cell_length(job, text or "0")),
        f"how much lower it hangs at its hottest than when it was read; {LENGTH}",
        is_length=True,
    ),
)
