"""What the transfer rests on, in tables: holds, limits between steps, ratings, ties, crew limits.

Every cell that is typed over is one step that can be taken back.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any, cast, get_args

from PySide6.QtWidgets import QLabel, QWidget

from framer.desk.bridge import Bridge
from framer.desk.dialogs.rows import Column, cell_length, length_or_none, written
from framer.desk.dialogs.tables_dialog import TablesDialog
from framer.desk.entries.entry import Choice, LengthEntry
from framer.drawing.language import languages
from framer.edits.line import set_circuit, set_span
from framer.edits.transfer import (
    add_hold,
    add_limit_between,
    holds_of,
    remove_hold,
    remove_limit_between,
    set_crew,
    set_facts,
    set_hold,
    set_limit_between,
    set_rating,
)
from framer.errors import EditError
from framer.model.item import Item
from framer.model.job import Job
from framer.model.place import Lifted
from framer.model.stage import host_of
from framer.model.step import BetweenWhat, BetweenWire, Hold, LimitBetween
from framer.transfer.holds import volts_words

LENGTH = "a length such as 3 ft 6 in, 42 in, 1.1 m; empty: not known"
POUNDS = "pounds, such as 125; empty: not known"
_FT_PER_M = 1.0 / 0.3048

KINDS = {
    "nothing said": "",
    "hold": "hold",
    "covered instead": "cover",
    "de-energise": "de-energise",
    "fuse only, no hold": "fuse only",
}
CONDITIONS = {"nobody looked": "", "sound": "sound", "poor": "poor"}
NO_OTHER = "no other language"
TIES = {"not said": "", "tied": "tied", "loose": "loose"}


def _word(words: dict[str, str], value: str) -> str:
    return next(one for one, held in words.items() if held == value)


def _read_word(words: dict[str, str], text: str) -> str:
    if text not in words:
        raise EditError(f"choose one of {', '.join(words)}")
    return words[text]


def read_number(text: str, unit: str) -> float | None:
    """A number above nothing with or without its unit behind; `None` for an empty text.

    Raises:
        EditError: it is none.
    """
    cleaned = text.strip().lower().replace(",", "")
    if not cleaned:
        return None
    found = re.fullmatch(rf"(\d+(?:\.\d*)?|\.\d+)\s*(?:{unit})?", cleaned)
    if found is None:
        raise EditError(f"'{text}' is no number above nothing")
    return float(found[1])


def read_altitude(text: str) -> float | None:
    """Metres above sea level in a text such as 5200 ft or 1,585 m; `None` for an empty one.

    Raises:
        EditError: it is none, or without its unit.
    """
    cleaned = text.strip().lower().replace(",", "")
    if not cleaned:
        return None
    found = re.fullmatch(r"(-?\d+(?:\.\d+)?)\s*(ft|m)", cleaned)
    if found is None:
        raise EditError(f"'{text}' is no height above sea level; type 5200 ft or 1585 m")
    return float(found[1]) / (_FT_PER_M if found[2] == "ft" else 1.0)


def _number(value: float | None, unit: str = "") -> str:
    return "" if value is None else f"{value:g}{unit}"


# --- holds ---


def hold_keys(job: Job) -> list[str]:
    """A key for every hold, and one for every supply circuit without: circuit and number."""
    return [
        f"{circuit.id}#{number}"
        for circuit in job.circuits
        if circuit.kind == "supply"
        for number in range(max(1, len(holds_of(job, circuit.id))))
    ]


def _hold(job: Job, key: str) -> Hold:
    circuit, _, number = key.rpartition("#")
    known = holds_of(job, circuit)
    return known[int(number)] if known else Hold(circuit)


def _set_hold(job: Job, key: str, **changes: str) -> Job:
    circuit, _, number = key.rpartition("#")
    return set_hold(job, circuit, int(number), **changes)


def _of_hold(title: str, field: str, hint: str) -> Column:
    return Column(
        title,
        lambda job, key: str(getattr(_hold(job, key), field)),
        lambda job, key, text: _set_hold(job, key, **{field: text}),
        hint,
    )


def _circuit(key: str) -> str:
    return key.rpartition("#")[0]


HOLDS = (
    Column("Circuit", lambda job, key: job.label(_circuit(key))),
    Column("Voltage", lambda job, key: volts_words(job.circuit_by_id[_circuit(key)])),
    Column(
        "Protected by",
        lambda job, key: job.circuit_by_id[_circuit(key)].protected_by,
        lambda job, key, text: set_circuit(job, _circuit(key), protected_by=text),
        "the device that protects it, as said",
    ),
    Column(
        "Arranged",
        lambda job, key: _word(KINDS, _hold(job, key).kind),
        lambda job, key, text: _set_hold(job, key, kind=_read_word(KINDS, text)),
        "a hold, covered or de-energised instead; a fuse is not a hold",
        options=tuple(KINDS),
    ),
    _of_hold("Device", "device", "the device it is arranged on; empty prints as blank"),
    _of_hold("Asked by", "asked_by", "who asked for it; empty prints as blank"),
    _of_hold("Given to", "given_to", "who holds it on the pole"),
    _of_hold("Number", "number", "its number with the control room"),
)


# --- limits between steps ---


def _limit(job: Job, key: str) -> LimitBetween:
    return next(one for one in job.limits_between if one.id == key)


def _set_keep(job: Job, key: str, text: str) -> Job:
    return set_limit_between(job, key, keep_in=cell_length(job, text))


LIMITS = (
    Column(
        "Between",
        lambda job, key: _limit(job, key).a,
        lambda job, key, text: set_limit_between(job, key, a=text),
        options=get_args(BetweenWire),
    ),
    Column(
        "And",
        lambda job, key: _limit(job, key).b,
        lambda job, key, text: set_limit_between(job, key, b=text),
        options=get_args(BetweenWhat),
    ),
    Column(
        "Keep",
        lambda job, key: written(job, _limit(job, key).keep_in),
        _set_keep,
        "surface to surface, after every step the crew does not leave after, and on the way",
        is_length=True,
    ),
    Column(
        "Note",
        lambda job, key: _limit(job, key).note,
        lambda job, key, text: set_limit_between(job, key, note=text),
        "who typed it and why",
    ),
)


# --- supports, wires, jumpers ---

_HANDLED = (
    *("lift", "transformer", "cutout", "arrester", "equipment"),
    *("riser", "ground wire", "pole"),
)


def support_keys(job: Job) -> list[str]:
    """Ids of what carries a wire at any stage, and of what is lifted; lifts come first."""
    hosts = {host_of(place) for wire in job.wires for place in wire.places} - {None}
    grown = -1
    while grown != len(hosts):
        grown = len(hosts)
        for key in tuple(hosts):
            item = job.item_by_id.get(key or "")
            hosts |= {host_of(place) for place in (item.places if item else ())} - {None}
    chosen = [one for one in job.items if one.id in hosts or one.kind in _HANDLED]
    return [one.id for one in sorted(chosen, key=_rank)]


def _rank(item: Item) -> int:
    if item.kind == "lift" or any(isinstance(place, Lifted) for place in item.places):
        return 0
    if any(place.when == "temporary" for place in item.places):
        return 1
    return {"arm": 2, "insulator": 3, "pole": 5}.get(item.kind, 4)


def _rating(title: str, field: str, hint: str) -> Column:
    def show(job: Job, key: str) -> str:
        rating = job.item_by_id[key].rating
        return _number(getattr(rating, field) if rating else None)

    def enter(job: Job, key: str, text: str) -> Job:
        return set_rating(job, key, **{field: read_number(text, "lbf?")})

    return Column(title, show, enter, f"{hint}; {POUNDS}")


SUPPORTS = (
    Column("Thing", lambda job, key: job.label(key)),
    _rating("Rated for weight, lbf", "up_lbf", "the weight of one wire it carries, by its tag"),
    _rating("To the side, lbf", "side_lbf", "the pull across the wire it takes"),
    _rating("Along, lbf", "along_lbf", "the pull along the wire it takes"),
    Column(
        "Seen to be",
        lambda job, key: _word(CONDITIONS, job.item_by_id[key].condition),
        lambda job, key, text: set_facts(job, key, condition=_read_word(CONDITIONS, text)),
        "what it was seen to be where it is",
        options=tuple(CONDITIONS),
    ),
    Column(
        "Weighs, lb",
        lambda job, key: _number(job.item_by_id[key].weight_lb),
        lambda job, key, text: set_facts(job, key, weight_lb=read_number(text, "lb")),
        f"as weighed or by its tag; {POUNDS}",
    ),
    Column(
        "Slack",
        lambda job, key: written(job, job.item_by_id[key].slack_in),
        lambda job, key, text: set_facts(job, key, slack_in=length_or_none(job, text)),
        f"how far a riser or ground wire can be moved; {LENGTH}",
        is_length=True,
    ),
)  # fmt: skip
WIRES = (
    Column("Wire", lambda job, key: job.label(key)),
    Column(
        "Tied at the neighbour",
        lambda job, key: _word(TIES, job.wire_by_id[key].far_tie),
        lambda job, key, text: set_facts(job, key, far_tie=_read_word(TIES, text)),
        "tied, or loose: untied or on rollers; not said: the worse is taken",
        options=tuple(TIES),
    ),
    Column(
        "Neighbouring pole, its arms and ties",
        lambda job, key: _word(CONDITIONS, job.span_by_id[job.wire_by_id[key].span].far_condition),
        lambda job, key, text: set_span(
            job, job.wire_by_id[key].span, far_condition=_read_word(CONDITIONS, text)
        ),
        "what they were seen to be; one answer for all wires of the span",
        options=tuple(CONDITIONS),
    ),
)
JUMPERS = (
    Column("Jumper", lambda job, key: job.label(key)),
    Column(
        "Joins",
        lambda job, key: " and ".join(job.label(end) for end in _ends(job, key)),
    ),
    Column(
        "Free tail",
        lambda job, key: written(job, _join(job, key).tail_in),
        lambda job, key, text: set_facts(job, key, tail_in=length_or_none(job, text)),
        f"how far the free end reaches from the clamp that holds the other; {LENGTH}",
        is_length=True,
    ),
    Column(
        "Phases proved by",
        lambda job, key: _join(job, key).phases_proved,
        lambda job, key, text: set_facts(job, key, phases_proved=text),
        "who proved the phases of both ends, and how; empty: nobody has",
    ),
)


def _join(job: Job, key: str) -> Any:
    return job.thing_by_id[key]


def _ends(job: Job, key: str) -> tuple[str, str]:
    return _join(job, key).a, _join(job, key).b


def jumper_keys(job: Job) -> list[str]:
    """Ids of the joins that are a jumper, bypass or tap at any stage."""
    made = ("jumper", "bypass", "tap")
    return [one.id for one in job.joins if any(place.made in made for place in one.places)]


# --- limits of the crew ---

_POUNDS, _TIMES, _LENGTH, _HEIGHT = "pounds", "times", "length", "height"
CREW: dict[str, tuple[str, str, str]] = {
    "one_person_lb": ("One person lifts at most", _POUNDS, "of this crew, on this pole"),
    "handline_lb": ("A handline raises at most", _POUNDS, "of this crew"),
    "pole_factor": ("The old pole stands what is on it", _TIMES, "so many times, at least"),
    "swing_in": ("Wires and pole swing to each side", _LENGTH, "while a pole goes up between"),
    "setting_keep_in": ("Kept free on each side of it besides", _LENGTH, "while a pole goes up"),
    "auger_in": ("Diameter of the auger", _LENGTH, "the new hole is bored with"),
    "soil_in": ("Undisturbed soil left beside a pole", _LENGTH, "between it and the new hole"),
    "altitude_m": ("Site above sea level", _HEIGHT, "approach distances grow with it above 900 m"),
}
"""Settings that the crew types: what each is, how it is written, and what for."""


def _crew_text(job: Job, key: str) -> str:
    value, how = getattr(job.settings, key), CREW[key][1]
    if value is None:
        return ""
    if how == _LENGTH:
        return written(job, value)
    if how == _HEIGHT:
        metric = job.settings.units == "metric"
        return f"{value:,.0f} m" if metric else f"{value * _FT_PER_M:,.0f} ft"
    return f"{value:g} lb" if how == _POUNDS else f"{value:g} times"


def _set_crew(job: Job, key: str, text: str) -> Job:
    how = CREW[key][1]
    if how == _LENGTH:
        value = length_or_none(job, text)
    elif how == _HEIGHT:
        value = read_altitude(text)
    else:
        value = read_number(text, "lbf?" if how == _POUNDS else "times?")
    return set_crew(job, **{key: value})


CREW_COLUMNS = (
    Column("What", lambda _, key: CREW[key][0]),
    Column(
        "Value",
        _crew_text,
        _set_crew,
        "empty: nobody has typed one; what needs it cannot be said then",
    ),
    Column("For", lambda _, key: CREW[key][2]),
)


def _called(job: Job, key: str) -> str:
    """What a row is called in the history."""
    if key in CREW:
        return CREW[key][0].lower()
    if any(one.id == key for one in job.limits_between):
        return f"{_limit(job, key).a} and {_limit(job, key).b}"
    return job.label(_circuit(key) or key)


class TransferTables(TablesDialog):
    """The tables of what the transfer rests on; open beside the window, in step with it.

    Attributes:
        add_hold, remove_hold, remove_limit: the buttons.
        between, other, keep: a new limit between steps; its length puts it in.
        language: what the job brief is in beside English.
    """

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(bridge, "What the transfer rests on", parent)
        self.add_hold = self.button("Another Hold", self._on_add_hold)
        self.add_hold.setToolTip("for a circuit that is fed from more than one side")
        self.remove_hold = self.button("Remove Hold", self._on_remove_hold)
        self._between: tuple[str, str] = ("phase", "phase")
        self.between = Choice("between", lambda one: self._choose(str(one), self._between[1]), self)
        self.other = Choice("and", lambda one: self._choose(self._between[0], str(one)), self)
        self.keep = LengthEntry("distance to keep", self._on_add_limit, empty="none yet")
        self.keep.said.connect(self.tell)
        self.remove_limit = self.button("Remove Limit", self._on_remove_limit)
        below_limits = (QLabel("New: between"), self.between, QLabel("and"), self.other,
                        QLabel("keep"), self.keep, self.remove_limit)  # fmt: skip
        self._add_tab("Holds", HOLDS, hold_keys, self.add_hold, self.remove_hold)
        self._add_tab(
            "Limits", LIMITS, lambda job: [one.id for one in job.limits_between], *below_limits
        )
        self._add_tab("Supports", SUPPORTS, support_keys)
        self._add_tab("Wires", WIRES, lambda job: [one.id for one in job.wires])
        self._add_tab("Jumpers", JUMPERS, jumper_keys)
        self.language = Choice("second language of the job brief", self._on_language, self)
        below_crew = (QLabel("The job brief is in English and"), self.language)
        self._add_tab("Crew and site", CREW_COLUMNS, lambda _: list(CREW), *below_crew)

    def _add_tab(
        self,
        name: str,
        columns: Sequence[Column],
        keys: Callable[[Job], Sequence[str]],
        *controls: QWidget,
    ) -> None:
        self.add_tab(name, columns, keys, *controls, called=_called)

    def refresh(self) -> None:
        """Show the job as it is."""
        self._choose(*self._between)
        asked = self.bridge.job.settings.crew_language
        known = [(one.name, one.id) for one in languages().values()]
        unknown = [] if not asked or asked in languages() else [(asked, asked)]
        self.language.show_options([(NO_OTHER, ""), *known, *unknown], asked)
        super().refresh()

    def allow(self) -> None:
        """A hold is added beside or removed, and a limit removed, once one is chosen."""
        if len(self.tables) < 2:
            return  # still being made
        hold, limit = self.tables["Holds"].key, self.tables["Limits"].key
        self.add_hold.setEnabled(bool(hold))
        known = bool(hold) and bool(holds_of(self.bridge.job, _circuit(hold)))
        self.remove_hold.setEnabled(known)
        self.remove_limit.setEnabled(bool(limit))

    def _do(self, name: str, edit: Callable[[Job], Job]) -> str:
        problem = self.bridge.do(name, edit)
        self.tell(problem or f"{name}; undo takes it back")
        return problem

    def _on_add_hold(self) -> None:
        key = _circuit(self.tables["Holds"].key)
        self._do(f"another hold on {self.bridge.job.label(key)}", lambda job: add_hold(job, key))

    def _on_remove_hold(self) -> None:
        circuit, _, number = self.tables["Holds"].key.rpartition("#")
        name = f"remove a hold on {self.bridge.job.label(circuit)}"
        self._do(name, lambda job: remove_hold(job, circuit, int(number)))

    def _choose(self, one: str, other: str) -> None:
        self._between = (one, other)
        self.between.show_options([(word, word) for word in get_args(BetweenWire)], one)
        self.other.show_options([(word, word) for word in get_args(BetweenWhat)], other)
        self.keep.show_length(None, self.bridge.job.settings)

    def _on_language(self, key: object) -> None:
        self._do(
            "second language of the job brief",
            lambda job: set_crew(job, crew_language=str(key)),
        )

    def _on_add_limit(self, keep_in: float | None) -> str:
        if keep_in is None:
            return ""
        a, b = cast("tuple[BetweenWire, BetweenWhat]", self._between)
        name = f"keep {a} from {b} between steps"
        return self._do(name, lambda job: add_limit_between(job, a, b, keep_in)[0])

    def _on_remove_limit(self) -> None:
        key = self.tables["Limits"].key
        name = f"remove the limit of {_called(self.bridge.job, key)}"
        self._do(name, lambda job: remove_limit_between(job, key))
