"""Edits of what the line brings: circuits, spans, the order of phases, and nearby wires."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from msgspec.structs import replace

from framer.edits.places import with_thing
from framer.edits.things import new_id
from framer.errors import EditError
from framer.geometry.phases import hanging
from framer.geometry.placing import place
from framer.geometry.space import POINTS, Point, dot, toward, turned
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, NearbyWire, Span, Wire
from framer.model.place import Offset
from framer.model.reading import Reading
from framer.units.length import decimal_text

MOST_KV, MOST_SPAN_IN, MOST_LENGTH_IN, MOST_OFFSET_IN = 1_500.0, 120_000.0, 12_000.0, 120_000.0
"""The most a job file takes."""

USUAL_SPAN_IN = 1_800.0
"""A new span is 150 ft long until it is said."""

USUAL_ACROSS_IN = 240.0
"""A new nearby wire is put 20 ft from the pole, until it is said where it is."""


OTHER_LINE = "Other line"
"""What the circuit of a nearby wire is called until it is named."""


# --- circuits ---


def add_circuit(job: Job, name: str = "") -> tuple[Job, str]:
    """The job with one more circuit of unknown voltage, and its id."""
    key = new_id(job, "circuit")
    made = Circuit(key, name or f"Circuit {key.rpartition('-')[2]}")
    return replace(job, circuits=(*job.circuits, made)), key


def set_circuit(job: Job, key: str, **changes: Any) -> Job:
    """The job with other facts of a circuit: name, kind, volts, neutral, owner, approach_in.

    Raises:
        EditError: there is no such circuit, it would have no name, or a number makes no sense.
    """
    circuit = job.circuit_by_id.get(key)
    if circuit is None:
        raise EditError(f"there is no circuit '{key}'")
    changed = replace(circuit, **changes)
    if not changed.name.strip():
        raise EditError("a circuit needs a name")
    for kv in (changed.kv, changed.kv_to_ground):
        if kv is not None and not 0.0 < kv <= MOST_KV:
            raise EditError(f"a voltage is above 0 and up to {MOST_KV:,.0f} kV")
    if (changed.kv_to_ground or 0.0) > (changed.kv or MOST_KV):
        raise EditError("the voltage to ground cannot be above that between phases")
    if changed.kind == "communications" and changed.kv is not None:
        raise EditError("a communications line has no voltage here")
    if changed.approach_in is not None and not 0.0 <= changed.approach_in <= MOST_LENGTH_IN:
        raise EditError(f"an approach distance is from 0 up to {_most(job, MOST_LENGTH_IN)}")
    return replace(job, circuits=tuple(changed if one.id == key else one for one in job.circuits))


def remove_circuit(job: Job, key: str) -> Job:
    """The job without a circuit nothing is of.

    Raises:
        EditError: something is of it.
    """
    if key not in job.circuit_by_id:
        raise EditError(f"there is no circuit '{key}'")
    things: tuple[Wire | NearbyWire | Item, ...] = (*job.wires, *job.nearby, *job.items)
    users = [thing.id for thing in things if thing.circuit == key]
    if users:
        label, more = job.label(key), len(users) - 1
        others = f" and {more} more are" if more else " is"
        raise EditError(f"{job.label(users[0])}{others} of {label}; change that first")
    holds = tuple(hold for hold in job.holds if hold.circuit != key)
    circuits = tuple(one for one in job.circuits if one.id != key)
    return replace(job, circuits=circuits, holds=holds)


def set_street_side(job: Job, side: str) -> Job:
    """The job with the street on another side of the pole: "N", "NE", ...; empty for unknown.

    Raises:
        EditError: it is no point of the compass.
    """
    if side and side not in POINTS:
        raise EditError(f"'{side}' is no point of the compass")
    return replace(job, settings=replace(job.settings, street_side=side))


# --- spans ---


def add_span(job: Job, azimuth_deg: float = 0.0) -> tuple[Job, str]:
    """The job with one more span, and its id."""
    key = new_id(job, "span")
    made = Span(key, f"pole {key.rpartition('-')[2]}", azimuth_deg % 360.0, USUAL_SPAN_IN)
    return replace(job, spans=(*job.spans, made)), key


def set_span(job: Job, key: str, **changes: Any) -> Job:
    """The job with other facts of a span: toward, azimuth_deg, length_in, far_grade_in, sag_in.

    A direction beyond the circle is brought into it.

    Raises:
        EditError: there is no such span, or a length makes no sense.
    """
    span = job.span_by_id.get(key)
    if span is None:
        raise EditError(f"there is no span '{key}'")
    if "azimuth_deg" in changes:
        changes["azimuth_deg"] = _round_the_circle(changes["azimuth_deg"])
    changed = replace(span, **changes)
    if not changed.toward.strip():
        raise EditError("say what the span goes toward: a pole, a house")
    if not 0.0 < changed.length_in <= MOST_SPAN_IN:
        raise EditError(f"a span is longer than 0 and up to {_most(job, MOST_SPAN_IN)}")
    _refuse_beyond(job, changed.far_grade_in, MOST_OFFSET_IN, "a drop of the ground")
    if changed.sag_in is not None and not 0.0 <= changed.sag_in <= MOST_LENGTH_IN:
        raise EditError(f"a sag is from 0 up to {_most(job, MOST_LENGTH_IN)}")
    return replace(job, spans=tuple(changed if one.id == key else one for one in job.spans))


def remove_span(job: Job, key: str) -> Job:
    """The job without a span no wire is in.

    Raises:
        EditError: there is a wire in it.
    """
    span = job.span_by_id.get(key)
    if span is None:
        raise EditError(f"there is no span '{key}'")
    wires = [wire for wire in job.wires if wire.span == key]
    if wires:
        count = "a wire is" if len(wires) == 1 else f"{len(wires)} wires are"
        raise EditError(f"{count} in the span to {span.toward}; delete them first")
    return replace(job, spans=tuple(one for one in job.spans if one.id != key))


def set_phase_order(job: Job, span: str, circuit: str, phases: Sequence[str]) -> Job:
    """The job with the phase wires of a circuit in a span named anew, from the left looking along.

    The wires stay where they hang; only which is which changes.

    Raises:
        EditError: not exactly the phases that hang there, each once.
    """
    if span not in job.span_by_id or circuit not in job.circuit_by_id:
        raise EditError("there is no such span or circuit")
    wires = hanging(place(job, "framed"), span, circuit) or hanging(
        place(job, "found"), span, circuit
    )
    there = sorted(one.phase for one in wires)
    if not wires:
        raise EditError(f"no phase of {job.label(circuit)} hangs in that span")
    if sorted(phases) != there:
        raise EditError(f"name each of {', '.join(there)} once, from left to right")
    for one, phase in zip(wires, phases, strict=True):
        job = with_thing(job, replace(job.wire_by_id[one.wire], phase=phase))
    return job


# --- nearby wires ---


def add_nearby(job: Job, azimuth_deg: float = 0.0, across_in: float = USUAL_ACROSS_IN,
               circuit: str = "") -> tuple[Job, str]:  # fmt: skip
    """The job with one more wire of another line past the pole, its height unknown; and its id.

    Unless a circuit is named it is of the last one that can be another line's: the first circuit,
    and those that leave here, are not. Without one a circuit of unknown voltage is added: of ours
    the wire would be asked for less.
    """
    passing = {one.circuit for one in job.nearby}
    ours = {wire.circuit for wire in job.wires} | {one.id for one in job.circuits[:1]}
    others = [one.id for one in job.circuits if one.id in passing or one.id not in ours]
    of = circuit or (others[-1] if others else "")
    if not of:
        job, of = add_circuit(job, OTHER_LINE)
    key = new_id(job, "nearby")
    name = f"{job.label(of)}, near wire {key.rpartition('-')[2]}"
    made = NearbyWire(key, name, of, 0.0, 0.0, azimuth_deg % 360.0)
    return set_across(replace(job, nearby=(*job.nearby, made)), key, across_in), key


def nearby(job: Job, key: str) -> NearbyWire:
    """The nearby wire with an id.

    Raises:
        EditError: there is none.
    """
    found = next((near for near in job.nearby if near.id == key), None)
    if found is None:
        raise EditError(f"there is no nearby wire '{key}'")
    return found


def set_nearby(job: Job, key: str, **changes: Any) -> Job:
    """The job with other facts of a nearby wire: name, circuit, azimuth_deg, hot_drop_in, part.

    A direction beyond the circle is brought into it; the wire turns about the point of its plan
    that is nearest to the job's origin, so that it stays as far from the pole.

    Raises:
        EditError: there is no such wire or circuit, or a number makes no sense.
    """
    near = nearby(job, key)
    if "azimuth_deg" in changes:
        changes["azimuth_deg"] = _round_the_circle(changes["azimuth_deg"])
    changed = replace(near, **changes)
    if not changed.name.strip():
        raise EditError("a nearby wire needs a name")
    if changed.circuit not in job.circuit_by_id:
        raise EditError(f"there is no circuit '{changed.circuit}'")
    if not 0.0 <= changed.hot_drop_in <= MOST_LENGTH_IN:
        raise EditError("a wire hangs no higher when it is hot: give 0 or more")
    _refuse_beyond(job, changed.east_in, MOST_OFFSET_IN, "a distance east")
    _refuse_beyond(job, changed.north_in, MOST_OFFSET_IN, "a distance north")
    made = _with_nearby(job, changed)
    if "azimuth_deg" in changes:
        made = set_across(made, key, across_in(job, key))
    return made


def across_in(job: Job, key: str) -> float:
    """How far to the right of the job's origin a nearby wire passes, looking along it."""
    near = nearby(job, key)
    return dot((near.east_in, near.north_in, 0.0), _right(near.azimuth_deg))


def set_across(job: Job, key: str, across: Offset) -> Job:
    """The job with a nearby wire at another distance from the job's origin, square to itself.

    Raises:
        EditError: there is no such wire, or it would be too far away.
    """
    near = nearby(job, key)
    _refuse_beyond(job, across, MOST_OFFSET_IN, "an offset")
    right = _right(near.azimuth_deg)
    by = across - across_in(job, key)
    moved = replace(
        near,
        east_in=_settled(near.east_in + by * right[0]),
        north_in=_settled(near.north_in + by * right[1]),
    )
    _refuse_beyond(job, moved.east_in, MOST_OFFSET_IN, "a distance east")
    _refuse_beyond(job, moved.north_in, MOST_OFFSET_IN, "a distance north")
    return _with_nearby(job, moved)


def set_nearby_height(
    job: Job, key: str, height_in: float | None, tolerance_in: float | None = None
) -> Job:
    """The job with the height reading that counts of a nearby wire changed, or a first one.

    `None` for the height takes the readings away: then nobody knows it. Who changes the height
    by hand says it is measured; the tolerance stays unless it is given.

    Raises:
        EditError: there is no such wire, or a number makes no sense.
    """
    label = nearby(job, key).name
    if height_in is None:
        kept = (one for one in job.readings if not (one.of == key and one.what == "height"))
        return replace(job, readings=tuple(kept))
    known = job.reading(key, "height")
    tolerance = tolerance_in if tolerance_in is not None else known.tolerance_in if known else 0.0
    for value, what in ((height_in, "a height"), (tolerance, "a tolerance")):
        if not 0.0 <= value <= MOST_LENGTH_IN:
            raise EditError(f"{label}: {what} is from 0 up to {_most(job, MOST_LENGTH_IN)}")
    if known is None:
        made = Reading(key, "height", height_in, tolerance_in=tolerance)
        return replace(job, readings=(*job.readings, made))
    changed = replace(known, value_in=height_in, tolerance_in=tolerance)
    return replace(job, readings=tuple(changed if one is known else one for one in job.readings))


def remove_nearby(job: Job, key: str) -> Job:
    """The job without a nearby wire and its readings.

    Raises:
        EditError: there is no such wire.
    """
    nearby(job, key)
    return replace(
        job,
        nearby=tuple(near for near in job.nearby if near.id != key),
        readings=tuple(reading for reading in job.readings if reading.of != key),
    )


def _with_nearby(job: Job, changed: NearbyWire) -> Job:
    return replace(
        job, nearby=tuple(changed if near.id == changed.id else near for near in job.nearby)
    )


def _right(azimuth_deg: float) -> Point:
    return toward(turned(azimuth_deg, 90.0))


def _settled(value: float) -> float:
    """A coordinate without the last digits of sines, which would make plain numbers ugly."""
    return round(value, 6) + 0.0


def _round_the_circle(azimuth_deg: float) -> float:
    # a hair below nought would round up to the whole circle
    turned_in = azimuth_deg % 360.0
    return 0.0 if turned_in >= 360.0 else turned_in


def _refuse_beyond(job: Job, value: float, most: float, what: str) -> None:
    if not abs(value) <= most:
        raise EditError(f"{what} is at most {_most(job, most)}")


def _most(job: Job, length_in: float) -> str:
    return decimal_text(length_in, 0, unit="ft", toward="down", system=job.settings.units)
