"""For any rule with a number: real things on a pole, a chosen bit more or less apart than it asks.

One builder for each measure. What a rule asks is worked out here from its bands as they are
printed, apart from the program. A rule that no builder can reach is an error, so that a test of
every shipped rule cannot leave one out.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

from msgspec.structs import replace

from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.checks.rulebook import Band, MeasureName, Rule, Rulebook, Selector
from framer.geometry.placing import place
from framer.model.item import Item
from framer.model.line import Circuit, NearbyWire, Phase, Span
from framer.model.place import Guyed, OnPole
from framer.model.reading import Reading
from tests.build import ARM, POLE_RADIUS_IN, Record, arm, job, on_arm, pole, seat, wire

SIXTEENTH_IN = 1 / 16
RAVEN = "acsr-raven-1-0"
RAVEN_RADIUS_IN = 0.398 / 2  # 1/0 ACSR 6/1, ASTM B232 table 1: read
GUY = "guy-5-16in-ehs"
GUY_RADIUS_IN = 0.3125 / 2  # 5/16 in strand, by its name
ARM_HALF_LENGTH_IN = 60.0
PINS_KV = {15.0: "pin-55-4-15kv", 25.0: "pin-55-5-25kv", 35.0: "pin-56-3-35kv"}
INCHES = {"in": 1.0, "ft": 12.0, "mm": 1 / 25.4, "m": 1000 / 25.4, "kV": 1.0}

NORTH = Span("north", "N", 0.0, 1800.0)


class OutOfReachError(Exception):
    """No builder makes what a rule speaks of."""


# Which voltages a rule is to be tried at.


class Edge(NamedTuple):
    """One band of a rule, and a voltage at one of its ends."""

    rule: Rule
    number: int
    kv: float

    @property
    def band(self) -> Band:
        return self.rule.need[self.number]

    @property
    def name(self) -> str:
        return f"{self.rule.id}-at-{self.kv:g}-kV"


def edges(rule: Rule) -> list[Edge]:
    """Each band of a rule at its last voltage and just over the band before, or halfway."""
    found = []
    low = 0.0
    for number, band in enumerate(rule.need):
        if rule.voltage == "none":
            found.append(Edge(rule, number, 12.47))
        elif rule.measure == "insulator class":
            found.extend(Edge(rule, number, kv) for kv in PINS_KV)
        else:
            found.append(Edge(rule, number, low + 0.001 if low else (band.up_to_kv or 10.0) / 2))
            found.append(Edge(rule, number, band.up_to_kv or low + 10.0))
        low = band.up_to_kv or low
    return found


def printed_need(edge: Edge, kv: float | None = None) -> float:
    """What a band asks at a voltage, inches or kV: the value and its adder, unrounded."""
    band = edge.band
    assert band.value is not None
    over = max(0.0, (edge.kv if kv is None else kv) - band.over_kv)
    return (band.value + band.per_kv * over) * INCHES[band.unit]


def _between_surfaces(rule: Rule, need_in: float) -> bool:
    return rule.convention == "surface" or (rule.convention == "centre from 5 in" and need_in < 5.0)


# The things a rule speaks of.

_PHASES: dict[Selector, Phase] = {
    "wire": "A",
    "supply wire": "A",
    "open supply wire": "A",
    "phase": "A",
    "neutral": "N",
    "supply cable": "triplex",
    "service drop": "service",
    "communications": "cable",
    "nearby wire": "A",
    "nearby supply": "A",
    "nearby communications": "A",
}


def _kind(selector: Selector) -> str:
    return "communications" if "communications" in selector else "supply"


def _circuit(key: str, selector: Selector, kv: float, owner: str, *, wye: bool = False) -> Circuit:
    if _kind(selector) == "communications":
        return Circuit(key, f"Circuit {key}", kind="communications", owner=owner)
    return Circuit(key, f"Circuit {key}", kv=kv, grounded_wye=wye, owner=owner)


def _one_circuit(rule: Rule) -> bool:
    """Whether the two wires of a rule are built as wires of one circuit."""
    assert rule.b is not None
    if rule.when.circuit is not None:
        return rule.when.circuit == "same"
    kinds = _kind(rule.a) == _kind(rule.b) == "supply"
    nearby = "nearby" in rule.a or "nearby" in rule.b
    return kinds and not nearby and rule.when.owner != "different"


def _circuits(rule: Rule, kv: float) -> tuple[Circuit, Circuit]:
    """Circuits of the first and second wire for which a rule's basis gives this voltage.

    Delta circuits, whose volts to ground are those between phases; two circuits share the volts
    between them evenly.
    """
    assert rule.b is not None
    other = "Alder" if rule.when.owner == "same" else "Birch"
    if _one_circuit(rule):
        one = _circuit("one", rule.a, kv, "Alder")
        return one, one
    both_supply = _kind(rule.a) == _kind(rule.b) == "supply"
    if rule.voltage == "between" and both_supply:
        kv /= 2
    second_kv = 4.16 if rule.voltage in ("to ground", "circuit") and both_supply else kv
    return (
        _circuit("one", rule.a, kv, "Alder"),
        _circuit("two", rule.b, second_kv, other),
    )


@dataclass(frozen=True)
class Built:
    """Records of a job, and the ids of the two things a rule is to judge (or of the one)."""

    records: tuple[Record, ...]
    things: frozenset[str]


def _own_wire(
    key: str, selector: Selector, circuit: Circuit, on: str, height_in: float,
    *, phase: Phase | None = None, span: str = "north",
) -> list[Record]:  # fmt: skip
    """A level, taut wire."""
    return [
        wire(
            key,
            circuit.id,
            span,
            on,
            phase=phase or _PHASES[selector],
            part=RAVEN,
            sag_in=0.0,
            far_height_in=height_in,
        )
    ]


def _read_seat(key: str, height_in: float, tol_in: float, **more: Any) -> list[Record]:
    """A fixing; with a tolerance, one that was surveyed and stays as it was found."""
    made = seat(key, height_in, **more)
    if not tol_in:
        return [made]
    (where,) = made.places
    found = replace(where, when="found")
    reading = Reading(key, "height", height_in, tolerance_in=tol_in)
    return [replace(made, places=(found,)), reading]


def _nearby_wire(
    key: str, circuit: Circuit, east_in: float, height_in: float, tol_in: float
) -> list[Record]:
    return [
        NearbyWire(key, f"Neighbour {key}", circuit.id, east_in, 0.0, 0.0, part=RAVEN),
        Reading(key, "height", height_in, tolerance_in=tol_in),
    ]


def _wire_at(
    key: str, selector: Selector, circuit: Circuit, east_in: float, height_in: float,
    tol_in: float = 0.0, *, phase: Phase | None = None,
) -> list[Record]:  # fmt: skip
    """A wire to the north at a plan place east of the pole, on a bracket or of another line."""
    if selector not in _PHASES:
        raise OutOfReachError(f"a wire was wanted, not '{selector}'")
    if "nearby" in selector:
        return _nearby_wire(key, circuit, east_in, height_in, tol_in)
    on = f"{key}-seat"
    held = _read_seat(on, height_in, tol_in, out_in=east_in - POLE_RADIUS_IN)
    return [*held, *_own_wire(key, selector, circuit, on, height_in, phase=phase)]


def _second_phase(rule: Rule) -> Phase | None:
    """Another phase for the second of two phases of one circuit."""
    assert rule.b is not None
    return "B" if _one_circuit(rule) and _PHASES[rule.b] == "A" else None


def _records(*groups: Record | list[Record]) -> tuple[Record, ...]:
    """One flat list, each circuit once, with the span and the pole everything needs."""
    flat: list[Record] = [NORTH, *pole(60)]
    for group in groups:
        flat.extend(group if isinstance(group, list) else [group])
    seen: dict[str, Record] = {}
    rest = []
    for record in flat:
        if isinstance(record, Circuit):
            seen[record.id] = record
        else:
            rest.append(record)
    return (*seen.values(), *rest)


# Builders: rule, edge, what there is to be over what is asked, tolerance of a reading.


def _side_by_side(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """Two wires of one height."""
    rule, need_in = edge.rule, _wanted(edge)
    assert rule.b is not None
    one, two = _circuits(rule, edge.kv)
    apart = need_in + spare_in + (2 * RAVEN_RADIUS_IN if _between_surfaces(rule, need_in) else 0.0)
    return Built(
        _records(
            one,
            two,
            _wire_at("a", rule.a, one, 25.0, 380.0, tol_in),
            _wire_at("b", rule.b, two, 25.0 + apart, 380.0, phase=_second_phase(rule)),
        ),
        frozenset("ab"),
    )


def _one_over_the_other(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """Two wires straight one above the other: on brackets, or on arms where levels must differ."""
    rule, need_in = edge.rule, _wanted(edge)
    assert rule.b is not None
    one, two = _circuits(rule, edge.kv)
    apart = need_in + spare_in + (2 * RAVEN_RADIUS_IN if _between_surfaces(rule, need_in) else 0.0)
    second = _second_phase(rule)
    if rule.when.level != "different":
        upper = _wire_at("a", rule.a, one, 25.0, 380.0, tol_in)
        lower = _wire_at("b", rule.b, two, 25.0, 380.0 - apart, phase=second)
        return Built(_records(one, two, upper, lower), frozenset("ab"))
    if "nearby" in rule.a or "nearby" in rule.b:
        raise OutOfReachError("a nearby wire is on no level of ours")
    groups: list[list[Record]] = []
    for key, selector, circuit, bolt_in, phase in (
        ("a", rule.a, one, 380.0, None),
        ("b", rule.b, two, 380.0 - apart, second),
    ):
        pin = f"{key}-pin"
        loose = tol_in if key == "a" else 0.0
        groups.append(_read_arm(f"{key}-arm", bolt_in, loose))
        groups.append([on_arm(pin, f"{key}-arm", 25.0)])
        groups.append(_own_wire(key, selector, circuit, pin, bolt_in + 13.0, phase=phase))
    return Built(_records(one, two, *groups), frozenset("ab"))


def _past_a_surface(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A wire past a pole, the end of an arm, or a guy."""
    rule, need_in = edge.rule, _wanted(edge)
    one = _circuit("one", rule.a, edge.kv, "Alder")
    off = need_in + spare_in + (RAVEN_RADIUS_IN if _between_surfaces(rule, need_in) else 0.0)
    others: list[Record] = []
    if rule.when.joint_use:
        phone = Circuit("phone", "Phone", kind="communications", owner="Cedar")
        low = seat("low", 240.0, out_in=12.0)
        others += [phone, low, *_own_wire("p", "communications", phone, "low", 240.0)]
    if rule.b == "pole":
        body = "pole"
        own = _wire_at("a", rule.a, one, POLE_RADIUS_IN + off, 300.0, tol_in)
    elif rule.b == "arm":
        body = "arm"
        others.append(arm("arm", 300.0))
        own = _wire_at("a", rule.a, one, ARM_HALF_LENGTH_IN + off, 300.0, tol_in)
    elif rule.b == "anchor guy" and "nearby" not in rule.a:
        # the guy falls 45 degrees from the pole's surface, the wire is level with its top
        body = "guy"
        lead_in = POLE_RADIUS_IN + 300.0
        others.append(_guy(lead_in=lead_in, azimuth_deg=90.0, far_height_in=0.0))
        out_in = math.sqrt(2.0) * (off + GUY_RADIUS_IN)
        own = _wire_at("a", rule.a, one, POLE_RADIUS_IN + out_in, 300.0, tol_in)
    elif rule.b == "span guy" and "nearby" not in rule.a:
        # a level guy to the north, the wire straight above it
        body = "guy"
        others.append(_guy(lead_in=1800.0, azimuth_deg=0.0, far_height_in=300.0))
        height_in = 300.0 + off + GUY_RADIUS_IN
        held = _read_seat("a-seat", height_in, tol_in, out_in=1.0, faces_deg=0.0)
        own = [*held, *_own_wire("a", rule.a, one, "a-seat", height_in)]
    else:
        raise OutOfReachError(f"no builder for a wire past: {rule.b}")
    return Built(_records(one, others, own), frozenset(("a", body)))


def _guy(*, lead_in: float, azimuth_deg: float, far_height_in: float) -> Item:
    where = Guyed(
        when="after",
        host="pole",
        at_in=300.0,
        lead_in=lead_in,
        azimuth_deg=azimuth_deg,
        far_height_in=far_height_in,
    )
    return Item("guy", "guy", (where,), part=GUY)


def _from_the_centre_line(edge: Edge, spare_in: float, tol_in: float) -> Built:
    rule, need_in = edge.rule, _wanted(edge)
    if rule.b != "pole":
        raise OutOfReachError(f"only a pole has a centre line, not '{rule.b}'")
    one = _circuit("one", rule.a, edge.kv, "Alder")
    own = _wire_at("a", rule.a, one, need_in + spare_in, 300.0, tol_in)
    return Built(_records(one, own), frozenset(("a", "pole")))


def _above_ground(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A level span with 3 ft of sag over level ground."""
    rule, need_in = edge.rule, _wanted(edge)
    if rule.a not in _PHASES or "nearby" in rule.a:
        raise OutOfReachError(f"no builder for '{rule.a}' over ground")
    grounded = rule.a == "neutral" and rule.voltage == "none"
    one = _circuit("one", rule.a, edge.kv, "Alder", wye=grounded)
    height_in = need_in + spare_in + 36.0
    over = Span("over", "O", 0.0, 1800.0, over=rule.when.over or "road", sag_in=36.0)
    run = wire(
        "a", "one", "over", "a-seat", phase=_PHASES[rule.a], part=RAVEN, far_height_in=height_in
    )
    records: list[Record] = [over, one, seat("a-seat", height_in, out_in=20.0), run]
    if tol_in:
        records.append(Reading("a", "height", height_in, tolerance_in=tol_in))
    return Built(_records(records), frozenset("a"))


def _read_arm(key: str, at_in: float, tol_in: float, *, faces_deg: float = 0.0, hold: str = "height"
              ) -> list[Record]:  # fmt: skip
    """An arm; with a tolerance, one that was surveyed and stays as it was found."""
    made = arm(key, at_in, faces_deg=faces_deg, hold=hold)
    if not tol_in:
        return [made]
    (where,) = made.places
    assert isinstance(where, OnPole)
    found = OnPole(
        when="found", host=where.host, at_in=at_in, hold=where.hold, azimuth_deg=faces_deg
    )
    what = "drop" if hold == "drop" else "height"
    reading = Reading(key, what, at_in, tolerance_in=tol_in)  # type: ignore[arg-type]
    return [Item(key, "arm", (found,), part=ARM), reading]


def _arms_crossing(edge: Edge, spare_in: float, tol_in: float) -> Built:
    rule, apart = edge.rule, _wanted(edge) + spare_in
    if (rule.a, rule.b) != ("arm", "arm"):
        raise OutOfReachError("arm spacing is of two arms")
    return Built(
        _records(
            _read_arm("line", 400.0, tol_in),
            _read_arm("buck", 400.0 - apart, 0.0, faces_deg=270.0),
        ),
        frozenset(("line", "buck")),
    )


def _square_beside_the_pole(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A line arm and a buck arm to the west under it, with their outer wires as far as wanted.

    Wires of the line go north and south past the pole on both sides, so that no side and no
    quadrant is clear farther out.
    """
    rule, free_in = edge.rule, _wanted(edge) + spare_in
    if (rule.a, rule.b) != ("arm", "arm"):
        raise OutOfReachError("a clear square is of two arms")
    one = _circuit("one", "phase", edge.kv, "Alder")
    apart = (rule.when.closer_than_in or 48.0) - 12.0
    south, west = Span("south", "S", 180.0, 1800.0), Span("west", "W", 270.0, 1800.0)
    groups: list[Record | list[Record]] = [
        _read_arm("line", 420.0, tol_in),
        _read_arm("buck", 420.0 - apart, 0.0, faces_deg=270.0),
    ]
    for key, spans, height_in in (
        ("line", ("north", "south"), 433.0),
        ("buck", ("west",), 433.0 - apart),
    ):
        for phase, along in (("A", -free_in), ("C", free_in)):
            pin = f"{key}-{phase}-pin"
            groups.append(on_arm(pin, key, along))
            for span in spans:
                name = f"{key}-{phase}-{span}"
                groups.append(
                    _own_wire(name, "phase", one, pin, height_in, phase=phase, span=span)  # type: ignore[arg-type]
                )
    return Built(_records(south, west, one, *groups), frozenset(("line", "buck")))


def _below_the_top(edge: Edge, spare_in: float, tol_in: float) -> Built:
    if edge.rule.a != "arm":
        raise OutOfReachError(f"no builder for '{edge.rule.a}' below the top")
    arms = _read_arm("arm", _wanted(edge) + spare_in, tol_in, hold="drop")
    return Built(_records(arms), frozenset(("arm",)))


def _insulator_for_a_voltage(edge: Edge, spare_kv: float, tol_in: float) -> Built:
    """A pin whose class is the edge's voltage, on a circuit that asks `spare_kv` less.

    What a circuit asks grows with its voltage, so it is the voltage that is moved.
    """
    del tol_in
    if edge.rule.a != "insulator" or not edge.band.per_kv:
        raise OutOfReachError("no builder for an insulator class that no voltage moves")
    class_kv = edge.kv
    kv = class_kv + (class_kv - spare_kv - printed_need(edge)) / edge.band.per_kv
    one = _circuit("one", "phase", kv, "Alder")
    return Built(
        _records(
            one,
            arm("arm", 380.0),
            on_arm("pin", "arm", 30.0, part=PINS_KV[class_kv]),
            wire("a", "one", "north", "pin", part=RAVEN),
        ),
        frozenset(("pin",)),
    )


ANY_IN = 30.0
"""What is asked where a band gives no number, for the building only."""


def _wanted(edge: Edge) -> float:
    return ANY_IN if edge.band.value is None else printed_need(edge)


BUILDERS: dict[MeasureName, Callable[[Edge, float, float], Built]] = {
    "horizontal": _side_by_side,
    "slant": _side_by_side,
    "vertical": _one_over_the_other,
    "surface": _past_a_surface,
    "centre line": _from_the_centre_line,
    "above ground": _above_ground,
    "arm spacing": _arms_crossing,
    "clear square": _square_beside_the_pole,
    "below top": _below_the_top,
    "insulator class": _insulator_for_a_voltage,
}


def built(edge: Edge, spare: float = 0.0, *, tol_in: float = 0.0) -> Built:
    """The things of a rule, `spare` inches (kV) more apart than it asks."""
    builder = BUILDERS.get(edge.rule.measure)
    if builder is None:
        raise OutOfReachError(f"no builder for measure '{edge.rule.measure}'")
    return builder(edge, spare, tol_in)


def findings(made: Built, *books: Rulebook) -> list[Finding]:
    """What books say of exactly the things that were built for a rule."""
    scene = place(job(*made.records), "framed")
    assert scene.unplaced == ()
    return [
        finding
        for finding in check(scene, books)
        if {part.owner for part in (finding.a, finding.b) if part is not None} == made.things
    ]
