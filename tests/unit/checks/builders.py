"""For any rule with a number: real things on a pole, a chosen bit more or less apart than it asks.

One builder for each measure. What a rule asks is worked out here from its bands as they are
printed, apart from the program. A rule that no builder can reach is an error, so that a test of
every shipped rule cannot leave one out. What the program itself cannot measure is named in
`NOT_MEASURED` and `NOT_IN_SPACE`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

from msgspec.structs import replace

from framer.checks.bookshelf import OF_STEPS, OF_STRENGTH
from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.checks.rulebook import Band, MeasureName, Range, Rule, Rulebook, Selector
from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Settings
from framer.model.line import Circuit, Join, JoinPlace, NearbyWire, Phase, Span
from framer.model.place import Guyed, OnPole, Standing
from framer.model.reading import Reading
from tests.build import ARM, POLE_RADIUS_IN, Record, arm, job, on_arm, pole, seat, wire

SIXTEENTH_IN = 1 / 16
RAVEN = "acsr-raven-1-0"
RAVEN_RADIUS_IN = 0.398 / 2  # 1/0 ACSR 6/1, ASTM B232 table 1: read
NO_4 = "acsr-swan-4"
NO_4_RADIUS_IN = 0.250 / 2  # No. 4 ACSR 6/1, ASTM B232 table 1: read
COVERED = "acsr-covered-1-0"
COVERED_RADIUS_IN = 0.52 / 2  # over the cover, as in stock
SPOOL = "spool-53-2"
GUY = "guy-5-16in-ehs"
GUY_RADIUS_IN = 0.3125 / 2  # 5/16 in strand, by its name
STEEL_ARM = "steel-arm-8ft-4pin"
ARM_HALF_LENGTH_IN = 60.0
ARM_TOP_IN = 13.0  # a wire on a pin over the bolt of its arm
PINS_KV = {15.0: "pin-55-4-15kv", 25.0: "pin-55-5-25kv", 35.0: "pin-56-3-35kv"}
INCHES = {"in": 1.0, "ft": 12.0, "mm": 1 / 25.4, "m": 1000 / 25.4, "kV": 1.0}

CLIMBING: tuple[MeasureName, ...] = (
    "climbing space",
    "climbing turn",
    "climbing count",
    "climbing guys apart",
    "clear of the column",
)
"""Of whole columns and no pairs; tests/situations/test_climbing.py, test_equipment_space.py."""

WORKING: tuple[MeasureName, ...] = ("working height",)
"""Of arms with all that eases it; tests/situations/test_working.py."""

NOT_MEASURED: tuple[MeasureName, ...] = (
    "approach",
    "not drawn",
    "not allowed",
    *OF_STEPS,
    *OF_STRENGTH,
    *CLIMBING,
    *WORKING,
)
"""Worked out for a worker, who is not drawn; nothing drawn to measure; nothing to measure."""

NOT_IN_SPACE: tuple[Selector, ...] = ("worker", "jumper")
"""Nobody draws these: a worker, and a jumper's path."""


class OutOfReachError(Exception):
    """No builder makes what a rule speaks of."""


def in_space(rule: Rule) -> bool:
    """Whether all a rule speaks of is drawn."""
    return not {rule.a, rule.b} & set(NOT_IN_SPACE)


def measurable(rule: Rule) -> bool:
    """Whether the gap a rule asks for can be measured on a pole."""
    return rule.measure not in NOT_MEASURED and in_space(rule)


# Which voltages and sags a rule is to be tried at.


class Edge(NamedTuple):
    """One band of a rule, a voltage at one of its ends, and a sag where it counts with one."""

    rule: Rule
    number: int
    kv: float
    sag_in: float = 0.0

    @property
    def band(self) -> Band:
        return self.rule.need[self.number]

    @property
    def numbered(self) -> bool:
        return not self.band.unknown and not self.band.nothing

    @property
    def name(self) -> str:
        sag = f"-sag-{self.sag_in:g}" if self.sag_in else ""
        return f"{self.rule.id}-at-{self.kv:g}-kV{sag}"


HAIR_KV = 0.001


def edges(rule: Rule) -> list[Edge]:
    """Each band of a rule at its last voltage and just over the band before, or halfway."""
    found: list[Edge] = []
    low, is_in_band = 0.0, False
    for number, band in enumerate(rule.need):
        if rule.voltage == "none":
            kvs = [12.47]
        elif rule.measure == "insulator class":
            kvs = list(PINS_KV)
        else:
            end = band.up_to_kv
            if band.under_kv is not None:
                end = band.under_kv - HAIR_KV
            first = low if is_in_band else low + HAIR_KV
            if rule.lookup == "only listed":
                first = end or first
            kvs = [first if low else (end or 10.0) / 2, end or low + 10.0]
        for kv in sorted(set(kvs)):
            found.extend(Edge(rule, number, kv, sag_in) for sag_in in _sags(band))
        low, is_in_band = band.end_kv or low, band.under_kv is not None
    return found


def _sags(band: Band) -> list[float]:
    """Where a root begins, and some feet on; no sag where none counts."""
    if band.root is None:
        return [0.0]
    begins_in = band.root.less / band.root.scale * INCHES[band.unit]
    return [begins_in, begins_in + 36.0] if begins_in else [36.0]


def printed_need(edge: Edge, kv: float | None = None) -> float:
    """What a band asks at a voltage, inches or kV: its terms as printed, unrounded."""
    band, at = edge.band, edge.kv if kv is None else kv
    assert edge.numbered
    assert not band.girth, "a term this does not know"
    assert not band.altitude, "a term this does not know"
    over = max(0.0, at - band.over_kv)
    value = (band.value or 0.0) + band.per_kv * over
    if band.step_kv is not None:
        value += band.per_step * math.ceil(round(over / band.step_kv, 9))
    if band.plus:
        assert not isinstance(band.plus, str)
        listed = [
            row for kv, row in band.plus if (kv > at if band.plus_highest else kv >= at - 1e-9)
        ]
        value += band.plus_times * listed[0]
    if band.root is not None:
        sag = edge.sag_in / INCHES[band.unit]
        value += band.root.times * math.sqrt(band.root.scale * sag - band.root.less)
    return max(band.floor, band.times * value) * INCHES[band.unit]


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
    "communications drop": "service",
    "nearby wire": "A",
    "nearby supply": "A",
    "nearby communications": "A",
}


def _kind(selector: Selector) -> str:
    return "communications" if "communications" in selector else "supply"


def _within(asked: Range) -> float:
    """A value in a range."""
    if asked.up_to is not None:
        return asked.up_to
    if asked.at_least is not None:
        return asked.at_least
    if asked.under is not None:
        return asked.under - 0.5
    return (asked.over or 0.0) + 0.5


def _circuit(key: str, selector: Selector, kv: float, owner: str, *, wye: bool = False) -> Circuit:
    if _kind(selector) == "communications":
        return Circuit(key, f"Circuit {key}", kind="communications", owner=owner)
    return Circuit(key, f"Circuit {key}", kv=kv, grounded_wye=wye, owner=owner)


def _one_circuit(rule: Rule) -> bool:
    """Whether the two wires of a rule are built as wires of one circuit."""
    assert rule.b is not None
    when = rule.when
    if when.circuit is not None:
        return when.circuit == "same"
    kinds = _kind(rule.a) == _kind(rule.b) == "supply"
    nearby = "nearby" in rule.a or "nearby" in rule.b
    ranges = when.a_kv is not None or when.b_kv is not None
    return kinds and not nearby and not ranges and when.owner != "different"


def _circuits(rule: Rule, kv: float) -> tuple[Circuit, Circuit]:
    """Circuits of the first and second wire for which a rule's basis gives this voltage.

    Delta circuits, whose volts to ground are those between phases, but for grounded neutrals; two
    circuits share the volts between them evenly, unless one of the two is grounded.
    """
    assert rule.b is not None
    when = rule.when
    other = "Alder" if when.owner == "same" else "Birch"
    a_wye, b_wye = when.a_grounded is True, when.b_grounded is True
    if _one_circuit(rule):
        grounded = a_wye or b_wye or (rule.a == "neutral" and rule.voltage == "none")
        one = _circuit("one", rule.a, kv, "Alder", wye=grounded)
        return one, one
    both_supply = _kind(rule.a) == _kind(rule.b) == "supply"
    if rule.voltage == "between" and both_supply and not a_wye and not b_wye:
        kv /= 2
    second_kv = 4.16 if rule.voltage in ("to ground", "circuit") and both_supply else kv
    if when.a_kv is not None and rule.voltage == "none":
        kv = _within(when.a_kv)
    if when.b_kv is not None:
        second_kv = _within(when.b_kv)
    two = _circuit("two", rule.b, second_kv, other, wye=b_wye)
    if when.voltage_known is False and two.kind == "supply":
        two = replace(two, kv=None)
    return _circuit("one", rule.a, kv, "Alder", wye=a_wye), two


@dataclass(frozen=True)
class Built:
    """Records of a job, and the ids of the two things a rule is to judge (or of the one)."""

    records: tuple[Record, ...]
    things: frozenset[str]
    settings: Settings


class Metal(NamedTuple):
    """A stock wire and its radius."""

    part: str
    radius_in: float


def _metal(rule: Rule, *, first: bool) -> Metal:
    """A wire of a size, and bare or covered, as the rule asks."""
    if (rule.when.a_covered if first else rule.when.b_covered) is True:
        return Metal(COVERED, COVERED_RADIUS_IN)
    size = rule.when.size or rule.when.size_of_larger
    share = 0.506707 if size and size.unit == "mm2" else 1.0
    if size is not None and not size.holds(123.3 * share):
        return Metal(NO_4, NO_4_RADIUS_IN)
    return Metal(RAVEN, RAVEN_RADIUS_IN)


def _span(rule: Rule) -> Span:
    """A way north, as long as the rule asks and over the ground it asks."""
    length_in = 1800.0
    if rule.when.span is not None:
        length_in = _within(rule.when.span) * INCHES["m" if rule.when.span.unit == "m" else "ft"]
    over = rule.when.over
    ground = over[0] if isinstance(over, tuple) else over
    return Span("north", "N", 0.0, length_in, over=ground or "road")


def _settings(rule: Rule) -> Settings:
    built = rule.when.built
    if built is None:
        return Settings()
    return Settings(built=built.since or "1900-01-01")


def _own_wire(
    key: str, rule: Rule, circuit: Circuit, on: str, height_in: float,
    *, first: bool, sag_in: float = 0.0, span: str = "north", phase: Phase | None = None,
) -> list[Record]:  # fmt: skip
    """A level wire, taut unless told."""
    selector = rule.a if first else rule.b
    if selector not in _PHASES:
        raise OutOfReachError(f"a wire was wanted, not '{selector}'")
    if phase is None:
        phase = _phase(rule, first=first)
    part = _metal(rule, first=first).part
    return [
        wire(
            key, circuit.id, span, on,
            phase=phase, part=part, sag_in=sag_in, far_height_in=height_in,
        )
    ]  # fmt: skip


def _phase(rule: Rule, *, first: bool) -> Phase:
    selector = rule.a if first else rule.b
    grounded = rule.when.a_grounded if first else rule.when.b_grounded
    assert selector is not None
    if grounded is True:
        return "N"
    if not first and rule.a in _PHASES and rule.measure != "above ground":
        same = _PHASES[selector] == "A" and "nearby" not in selector
        return "B" if same and _one_circuit(rule) else _PHASES[selector]
    return _PHASES[selector]


def _read_seat(key: str, height_in: float, tol_in: float, **more: Any) -> list[Record]:
    """A fixing; with a tolerance, one that was surveyed and stays as it was found."""
    return _read(seat(key, height_in, **more), height_in, tol_in)


def _read(made: Item, at_in: float, tol_in: float, what: str = "height") -> list[Record]:
    """A thing; with a tolerance, one that was surveyed and stays as it was found."""
    if not tol_in:
        return [made]
    (where,) = made.places
    reading = Reading(made.id, what, at_in, tolerance_in=tol_in)  # type: ignore[arg-type]
    return [replace(made, places=(replace(where, when="found"),)), reading]


def _read_arm(
    key: str, at_in: float, tol_in: float,
    *, faces_deg: float = 0.0, hold: str = "height", part: str = ARM,
) -> list[Record]:  # fmt: skip
    made = arm(key, at_in, faces_deg=faces_deg, hold=hold, part=part)
    return _read(made, at_in, tol_in, "drop" if hold == "drop" else "height")


def _wire_at(
    key: str, rule: Rule, circuit: Circuit, east_in: float, height_in: float,
    tol_in: float = 0.0, *, first: bool = True, sag_in: float = 0.0, north_in: float = 0.0,
) -> list[Record]:  # fmt: skip
    """A wire to the north at a plan place east of the pole, on a bracket or of another line.

    On a rack where the rule asks it; a nearby wire crosses `north_in` from the pole.
    """
    selector = rule.a if first else rule.b
    if selector is not None and "nearby" in selector:
        part = _metal(rule, first=first).part
        turn = 90.0 if north_in else 0.0
        near = NearbyWire(key, f"Near {key}", circuit.id, east_in, north_in, turn, part=part)
        return [near, Reading(key, "height", height_in, tolerance_in=tol_in)]
    on, out_in = f"{key}-seat", east_in - POLE_RADIUS_IN
    if rule.when.style == "rack":
        where = OnPole(when="after", host="pole", at_in=height_in, azimuth_deg=90.0,
                       out_in=out_in - RACK_OUT_IN)  # fmt: skip
        held = _read(Item(on, "insulator", (where,), part=RACK), height_in, tol_in)
    elif rule.when.style is None:
        held = _read_seat(on, height_in, tol_in, out_in=out_in)
    else:
        raise OutOfReachError(f"no builder for a wire held by: {rule.when.style}")
    return [*held, *_own_wire(key, rule, circuit, on, height_in, first=first, sag_in=sag_in)]


RACK, RACK_OUT_IN = "rack-3-spool", 4.0  # its wire stands 4 in off the surface, as in stock


def _job(rule: Rule, *groups: Record | list[Record], things: str = "a b") -> Built:
    """Everything, each circuit once, with the span and the pole it needs."""
    flat: list[Record] = [_span(rule), *pole(60)]
    for group in groups:
        flat.extend(group if isinstance(group, list) else [group])
    seen: dict[str, Record] = {}
    rest = []
    for record in flat:
        if isinstance(record, Circuit):
            seen[record.id] = record
        else:
            rest.append(record)
    if rule.when.joint_use:
        low = seat("low", 240.0, out_in=12.0)
        seen["phone"] = Circuit("phone", "Phone", kind="communications", owner="Cedar")
        rest += [low, wire("p", "phone", "north", "low", phase="cable", sag_in=0.0)]
    return Built((*seen.values(), *rest), frozenset(things.split()), _settings(rule))


# Builders: edge, what there is to be over what is asked, tolerance of a reading.


def _apart(edge: Edge, spare_in: float, *, wires: int = 2) -> float:
    """How far apart middles have to be."""
    rule, need_in = edge.rule, _wanted(edge)
    gap_in = need_in - spare_in if rule.most else need_in + spare_in
    if _between_surfaces(rule, need_in):
        gap_in += _metal(rule, first=True).radius_in
        if wires == 2:
            gap_in += _metal(rule, first=False).radius_in
    return gap_in


def _side_by_side(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """Two wires of one height."""
    rule = edge.rule
    assert rule.b is not None
    if "jumper" in (rule.a, rule.b):
        return _with_a_jumper(edge)
    if rule.when.a_above is not None:
        return _one_over_the_other(edge, spare_in, tol_in)
    one, two = _circuits(rule, edge.kv)
    east_in = 25.0 + _apart(edge, spare_in)
    return _job(
        rule, one, two,
        _wire_at("a", rule, one, 25.0, 380.0, tol_in, sag_in=edge.sag_in),
        _wire_at("b", rule, two, east_in, 380.0, first=False, sag_in=edge.sag_in),
    )  # fmt: skip


def _with_a_jumper(edge: Edge) -> Built:
    """A wire jumpered or tapped to another of its phase, and a wire of another circuit."""
    rule = edge.rule
    if rule.a != "jumper" or rule.b is None or rule.b not in _PHASES:
        raise OutOfReachError("a jumper goes first, past a wire")
    one = _circuit("one", "phase", edge.kv, "Alder")
    two = _circuit("two", rule.b, 0.24, "Birch")
    made = "tap" if rule.when.style == "tap" else "jumper"
    groups: list[list[Record]] = []
    for key, of, height_in in (("x", one, 380.0), ("y", one, 340.0), ("b", two, 360.0)):
        phase: Phase = _PHASES[rule.b] if of is two else "A"
        groups.append([seat(f"{key}-seat", height_in)])
        groups.append([wire(key, of.id, "north", f"{key}-seat", phase=phase, sag_in=0.0)])
    join = Join("a", "x", "y", (JoinPlace("after", made),))  # type: ignore[arg-type]
    return _job(rule, one, two, join, *groups)


def _one_over_the_other(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """Two wires straight one above the other, or a wire over a body.

    On brackets or racks, or on arms where levels must differ; a nearby wire where it is to cross.
    """
    rule = edge.rule
    assert rule.b is not None
    if rule.a not in _PHASES or rule.b not in _PHASES:
        return _over_a_body(edge, spare_in, tol_in)
    one, two = _circuits(rule, edge.kv)
    down = _apart(edge, spare_in) * (-1.0 if rule.when.a_above is False else 1.0)
    nearby = "nearby" in rule.a or "nearby" in rule.b
    if rule.when.level == "different":
        if nearby:
            raise OutOfReachError("a nearby wire is on no level of ours")
        return _on_two_arms(edge, one, two, down, tol_in)
    north_in = 0.0
    if rule.when.crossing is not None:
        north_in = (
            _within(rule.when.crossing) * INCHES["m" if rule.when.crossing.unit == "m" else "ft"]
        )
    return _job(
        rule, one, two,
        _wire_at("a", rule, one, 25.0, 380.0, tol_in, north_in=north_in),
        _wire_at("b", rule, two, 25.0, 380.0 - down, first=False, north_in=north_in),
    )  # fmt: skip


def _on_two_arms(edge: Edge, one: Circuit, two: Circuit, down_in: float, tol_in: float) -> Built:
    groups: list[list[Record]] = []
    for key, circuit, bolt_in in (("a", one, 380.0), ("b", two, 380.0 - down_in)):
        pin, first = f"{key}-pin", key == "a"
        groups.append(_read_arm(f"{key}-arm", bolt_in, tol_in if first else 0.0))
        groups.append([on_arm(pin, f"{key}-arm", 25.0)])
        groups.append(_own_wire(key, edge.rule, circuit, pin, bolt_in + ARM_TOP_IN, first=first))
    return _job(edge.rule, one, two, *groups)


class Body(NamedTuple):
    """A stock part and where its lowest point lies from its bolt, as in stock."""

    kind: str
    part: str
    bottom_in: float


_BODIES: dict[Selector, Body] = {
    "grounded case": Body("transformer", "transformer-25kva", 6.0 - 36.0),
    "case": Body("transformer", "transformer-25kva", 6.0 - 36.0),
    "supply case": Body("cutout", "cutout-15kv", 9.0 - 18.0),
    "communications case": Body("equipment", "communications-box", 10.0 - 20.0),
    "lamp": Body("lamp", "lamp-arm-6ft", 28.0 - 30.0),
    "meter": Body("equipment", "meter-box", 8.0 - 16.0),
    "live part": Body("cutout", "cutout-15kv", -7.0),
}
LIVE_OUT_IN = 14.0  # the live points of that cutout, from the face it is on


def _body(edge: Edge, selector: Selector, lowest_in: float, circuit: str | None) -> Item:
    """A case with its lowest point at a height on the west side of the pole."""
    if selector not in _BODIES:
        raise OutOfReachError(f"no builder for the body: {selector}")
    kind, part, bottom_in = _BODIES[selector]
    first = selector == edge.rule.a
    if kind == "lamp" and (edge.rule.when.a_grounded if first else edge.rule.when.b_grounded):
        part = "lamp-arm-6ft-bonded"
    where = OnPole(when="after", host="pole", at_in=lowest_in - bottom_in, azimuth_deg=270.0)
    phase = "A" if circuit else None
    return Item("body", kind, (where,), part, circuit=circuit, phase=phase)  # type: ignore[arg-type]


def _over_a_body(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A wire on a bracket straight under or over the heights of a case, lamp or ground wire."""
    rule = edge.rule
    assert rule.b is not None
    wire_first = rule.a in _PHASES
    selector, other = (rule.a, rule.b) if wire_first else (rule.b, rule.a)
    if selector not in _PHASES or "nearby" in selector:
        raise OutOfReachError(f"no builder for '{rule.a}' over '{rule.b}'")
    one = _circuit("one", selector, edge.kv, "Alder")
    two = _circuit("two", "phase", edge.kv, "Birch")
    gap_in = _apart(edge, spare_in, wires=1)
    # a case lies over the wire, a bare ground wire ends under it
    if other == "ground wire":
        where = OnPole(when="after", host="pole", at_in=0.0, to_in=250.0, azimuth_deg=270.0)
        body = Item("body", "ground wire", (where,), "ground-wire-no-6")
        height_in = 250.0 + gap_in
    else:
        height_in = 250.0
        body = _body(edge, other, height_in + gap_in, two.id)
    held = _read_seat("a-seat", height_in, tol_in, out_in=10.0)
    own = _own_wire("a", rule, one, "a-seat", height_in, first=wire_first)
    return _job(rule, one, two, body, held, own, things="a body")


def _past_a_surface(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A wire past a pole, the end of an arm, a guy, a riser; a live part past a wire."""
    rule = edge.rule
    one = _circuit("one", rule.a, edge.kv, "Alder", wye=rule.when.a_grounded is True)
    if (rule.a, rule.b) in (("anchor guy", "anchor guy"), ("span guy", "guy")):
        return _guys_of_two_poles(edge, spare_in, tol_in)
    if rule.a == "live part":
        return _live_part_past(edge)
    off = _apart(edge, spare_in, wires=1)
    others: list[Record] = []
    body = str(rule.b)
    if rule.b == "pole" and rule.when.pole == "different":
        # the wire runs past a pole of the same thickness farther east
        east_in = 60.0 + off + POLE_RADIUS_IN
        others += pole(60, key="other", east_in=east_in)
        own, body = _wire_at("a", rule, one, 60.0, 300.0, tol_in), "other"
    elif rule.b == "pole":
        own = _wire_at("a", rule, one, POLE_RADIUS_IN + off, 300.0, tol_in)
    elif rule.b == "arm":
        others.append(arm("arm", 300.0))
        own = _wire_at("a", rule, one, ARM_HALF_LENGTH_IN + off, 300.0, tol_in)
    elif rule.b in ("run", "riser", "ground wire"):
        run, outer_in, circuit = _run(edge, one)
        others += [run, circuit]
        own, body = _wire_at("a", rule, one, outer_in + off, 300.0, tol_in), "run"
    elif rule.b in ("guy", "anchor guy") and "nearby" not in rule.a:
        # the guy falls 45 degrees from the pole's surface, the wire is level with its top
        body = "guy"
        others.append(_guy(lead_in=POLE_RADIUS_IN + 300.0, azimuth_deg=90.0, far_height_in=0.0))
        out_in = math.sqrt(2.0) * (off + GUY_RADIUS_IN)
        own = _wire_at("a", rule, one, POLE_RADIUS_IN + out_in, 300.0, tol_in)
    elif rule.b == "span guy" and "nearby" not in rule.a:
        # a level guy to the north, the wire straight above it
        body = "guy"
        others.append(_guy(lead_in=1800.0, azimuth_deg=0.0, far_height_in=300.0))
        height_in = 300.0 + off + GUY_RADIUS_IN
        held = _read_seat("a-seat", height_in, tol_in, out_in=1.0, faces_deg=0.0)
        own = [*held, *_own_wire("a", rule, one, "a-seat", height_in, first=True)]
    else:
        raise OutOfReachError(f"no builder for '{rule.a}' past '{rule.b}'")
    return _job(rule, one, others, own, things=f"a {body}")


def _run(edge: Edge, one: Circuit) -> tuple[Item, float, Circuit]:
    """A riser up the east side, how far east its outside is, and its circuit."""
    when = edge.rule.when
    # 2 in conduit half an inch off the pole; an open wire 5 in off
    part, out_in, dia_in = ("riser-2in", 0.5, 2.375)
    if when.b_covered is False:
        part, out_in, dia_in = ("riser-open-wire-1-0", 5.0, 0.398)
    circuit = one if when.circuit == "same" else _circuit("two", "phase", 0.24, "Alder")
    where = OnPole(when="after", host="pole", at_in=0.0, to_in=400.0, azimuth_deg=90.0)
    run = Item("run", "riser", (where,), part, circuit=circuit.id)
    return run, POLE_RADIUS_IN + out_in + dia_in, circuit


def _live_part_past(edge: Edge) -> Built:
    """A cutout with a wire a few feet below it."""
    rule = edge.rule
    if rule.b is None or rule.b not in _PHASES:
        raise OutOfReachError(f"no builder for a live part past '{rule.b}'")
    one = _circuit("one", "phase", edge.kv, "Alder")
    two = one if rule.when.circuit == "same" else _circuit("two", rule.b, 4.16, "Birch")
    held = [seat("b-seat", 240.0, out_in=10.0)]
    phase: Phase = "B" if two is one else _PHASES[rule.b]
    own = wire("b", two.id, "north", "b-seat", phase=phase, sag_in=0.0)
    cutout = _body(edge, "live part", 300.0, one.id)
    return _job(rule, one, two, held, own, cutout, things="b body")


def _guys_of_two_poles(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """Guys of two poles, side by side to the east; the farther pole stands to the north."""
    if tol_in:
        raise OutOfReachError("guys that were read")
    rule = edge.rule
    need_in = _wanted(edge) + spare_in
    radii = 2.0 if _between_surfaces(rule, need_in) else 1.0
    apart = need_in + radii * GUY_RADIUS_IN
    far_in = 0.0 if rule.a == "anchor guy" else 200.0
    guys = [_guy(lead_in=200.0, azimuth_deg=90.0, far_height_in=far_in)]
    (where,) = guys[0].places
    other = replace(guys[0], id="other-guy", places=(replace(where, host="other"),))
    return _job(rule, *pole(60, key="other", north_in=apart), *guys, other, things="guy other-guy")


def _guy(
    *, lead_in: float, azimuth_deg: float, far_height_in: float, insulator_in: float | None = None
) -> Item:
    where = Guyed(
        when="after", host="pole", at_in=300.0, lead_in=lead_in, azimuth_deg=azimuth_deg,
        far_height_in=far_height_in, insulator_in=insulator_in,
    )  # fmt: skip
    return Item("guy", "guy", (where,), part=GUY)


def _insulator_in_a_guy(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A guy with an insulator, and a wire 5 ft over where it is fixed."""
    del tol_in
    rule = edge.rule
    if rule.a != "guy" or rule.b not in _PHASES:
        raise OutOfReachError("a guy's insulator is judged against a wire")
    one = _circuit("one", rule.b, edge.kv, "Alder")
    gap_in = _wanted(edge) - spare_in if rule.most else _wanted(edge) + spare_in
    guy = _guy(lead_in=240.0, azimuth_deg=270.0, far_height_in=0.0, insulator_in=max(0.0, gap_in))
    held = seat("b-seat", 360.0, out_in=10.0)
    own = _own_wire("b", rule, one, "b-seat", 360.0, first=False)
    return _job(rule, one, guy, held, own, things="guy b")


def _from_the_centre_line(edge: Edge, spare_in: float, tol_in: float) -> Built:
    rule, out_in = edge.rule, _wanted(edge) + spare_in
    if rule.b != "pole":
        raise OutOfReachError(f"only a pole has a centre line, not '{rule.b}'")
    one = _circuit("one", rule.a, edge.kv, "Alder")
    if rule.a == "live part":
        cutout = _body(edge, "live part", 300.0, one.id)
        (where,) = cutout.places
        moved = replace(where, out_in=out_in - POLE_RADIUS_IN - LIVE_OUT_IN)
        read = _read(replace(cutout, places=(moved,)), moved.at_in, tol_in)  # type: ignore[union-attr]
        return _job(rule, one, read, things="body pole")
    own = _wire_at("a", rule, one, out_in, 300.0, tol_in)
    return _job(rule, one, own, things="a pole")


def _above_ground(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A level span with 3 ft of sag over level ground."""
    rule = edge.rule
    if rule.a not in _PHASES or "nearby" in rule.a:
        raise OutOfReachError(f"no builder for '{rule.a}' over ground")
    grounded = rule.a == "neutral" and rule.voltage == "none"
    one = _circuit("one", rule.a, edge.kv, "Alder", wye=grounded)
    height_in = _wanted(edge) + spare_in + 36.0
    run = _own_wire("a", rule, one, "a-seat", height_in, first=True, sag_in=36.0)
    records: list[Record] = [one, seat("a-seat", height_in, out_in=20.0), *run]
    if tol_in:
        records.append(Reading("a", "height", height_in, tolerance_in=tol_in))
    return _job(rule, records, things="a")


def _case_above_ground(edge: Edge, spare_in: float, tol_in: float) -> Built:
    rule, lowest_in = edge.rule, _wanted(edge) + spare_in
    one = _circuit("one", "phase", edge.kv, "Alder")
    body = _body(edge, rule.a, lowest_in, one.id)
    (where,) = body.places
    assert isinstance(where, OnPole)
    assert where.at_in is not None
    return _job(rule, one, _read(body, where.at_in, tol_in), things="body")


def _middle_above_ground(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A body whose middle is at its bolt, as that of the meter box."""
    rule = edge.rule
    if rule.a != "meter":
        raise OutOfReachError(f"no builder for the middle of '{rule.a}'")
    height_in = _wanted(edge) + (-spare_in if rule.most else spare_in)
    one = _circuit("one", "phase", edge.kv, "Alder")
    body = _body(edge, rule.a, height_in + _BODIES[rule.a].bottom_in, one.id)
    return _job(rule, one, _read(body, height_in, tol_in), things="body")


def _half_way_along(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """Two wires one over the other, far apart at the supports; the upper one sags to the gap."""
    rule = edge.rule
    assert rule.b is not None
    one, two = _circuits(rule, edge.kv)
    gap_in = _apart(edge, spare_in)
    apart = 2.0 * gap_in + 60.0
    a_below = rule.when.a_above is False
    heights = (380.0, 380.0 - apart) if not a_below else (380.0 - apart, 380.0)
    sags = (apart - gap_in, 0.0) if not a_below else (0.0, apart - gap_in)
    return _job(
        rule, one, two,
        _wire_at("a", rule, one, 25.0, heights[0], tol_in, sag_in=sags[0]),
        _wire_at("b", rule, two, 25.0, heights[1], first=False, sag_in=sags[1]),
    )  # fmt: skip


def _over_a_line_of_supports(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A wire over another of its span, sagging to a height over the line of the other's ends."""
    rule = edge.rule
    one, two = _circuits(rule, edge.kv)
    gap_in, sag_in = _wanted(edge) + spare_in, 60.0
    return _job(
        rule, one, two,
        _wire_at("a", rule, one, 25.0, 300.0 + gap_in + sag_in, tol_in, sag_in=sag_in),
        _wire_at("b", rule, two, 25.0, 300.0, first=False, sag_in=30.0),
    )  # fmt: skip


def _arms_crossing(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A line arm and a buck arm, with a phase on each where volts count."""
    rule, apart = edge.rule, _wanted(edge) + spare_in
    if (rule.a, rule.b) != ("arm", "arm"):
        raise OutOfReachError("arm spacing is of two arms")
    one = _circuit("one", "phase", edge.kv, "Alder")
    west = Span("west", "W", 270.0, 1800.0)
    groups: list[Record | list[Record]] = [
        _read_arm("line", 400.0, tol_in),
        _read_arm("buck", 400.0 - apart, 0.0, faces_deg=270.0),
    ]
    for key, span in (("line", "north"), ("buck", "west")):
        groups.append(on_arm(f"{key}-pin", key, 40.0))
        groups.append(wire(f"{key}-A", "one", span, f"{key}-pin", part=RAVEN, sag_in=0.0))
    return _job(rule, one, west, *groups, things="line buck")


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
    for key, spans in (("line", ("north", "south")), ("buck", ("west",))):
        for phase, along in (("A", -free_in), ("C", free_in)):
            pin = f"{key}-{phase}-pin"
            groups.append(on_arm(pin, key, along))
            groups.append(
                [
                    wire(f"{key}-{phase}-{span}", "one", span, pin, phase=phase, sag_in=0.0)
                    for span in spans
                ]
            )
    return _job(rule, south, west, one, *groups, things="line buck")


def _below_the_top(edge: Edge, spare_in: float, tol_in: float) -> Built:
    drop_in = _wanted(edge) + spare_in
    if edge.rule.a == "arm":
        return _job(edge.rule, _read_arm("arm", drop_in, tol_in, hold="drop"), things="arm")
    if edge.rule.a == "bore of a fitting":
        where = OnPole(when="after", host="pole", at_in=drop_in, hold="drop")
        spool = Item("spool", "insulator", (where,), SPOOL)
        return _job(edge.rule, _read(spool, drop_in, tol_in, "drop"), things="spool")
    if edge.rule.a == "factory bore":
        # 3 ft of the pole are cut off
        facts = PoleFacts(720.0, bored_in=(36.0 + drop_in,))
        cut = (Standing(when="after", cut_in=36.0),)
        records = tuple(
            replace(one, pole=facts, places=cut) if isinstance(one, Item) else one
            for one in _job(edge.rule).records
        )
        return Built(records, frozenset({"pole"}), _settings(edge.rule))
    raise OutOfReachError(f"no builder for '{edge.rule.a}' below the top")


def _spool(key: str, height_in: float, tol_in: float, faces_deg: float) -> list[Record]:
    """A spool with its one bore."""
    where = OnPole(when="after", host="pole", at_in=height_in, azimuth_deg=faces_deg)
    return _read(Item(key, "insulator", (where,), SPOOL), height_in, tol_in)


def _two_bores(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """Two spools, one facing east and the other north under it."""
    if (edge.rule.a, edge.rule.b) != ("bore", "bore"):
        raise OutOfReachError("a spacing of bores is of two bores")
    under_in = 300.0 - _wanted(edge) - spare_in
    return _job(edge.rule, _spool("a", 300.0, tol_in, 90.0), _spool("b", under_in, 0.0, 0.0))


def _bore_over_a_gain(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A spool over an arm 4-3/4 in high."""
    if (edge.rule.a, edge.rule.b) != ("bore", "arm"):
        raise OutOfReachError("a gain is of an arm, and a bore comes near it")
    over_in = 300.0 + 4.75 / 2 + _wanted(edge) + spare_in
    return _job(edge.rule, _spool("a", over_in, tol_in, 90.0), arm("b", 300.0))


def _over_a_swing(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """A cutout to the west; the swing of its holder reaches 7 in over its bolt, 14 to 30 in out."""
    rule, gap_in = edge.rule, _wanted(edge) + spare_in
    if rule.b != "space":
        raise OutOfReachError(f"no builder for a space called '{rule.b}'")
    one = _circuit("one", "phase", edge.kv, "Alder")

    def cutout(height_in: float) -> Item:
        where = OnPole(when="after", host="pole", at_in=height_in, azimuth_deg=270.0)
        return Item("body", "cutout", (where,), "cutout-15kv", circuit="one", phase="A")

    if rule.a == "guy":
        # level to the west at 300 in
        guy = _guy(lead_in=1800.0, azimuth_deg=270.0, far_height_in=300.0)
        return _job(rule, one, guy, cutout(293.0 - GUY_RADIUS_IN - gap_in), things="guy body")
    if rule.a == "case":
        # an arrester stands on its bolt
        where = OnPole(
            when="after", host="pole", at_in=307.0 + gap_in, azimuth_deg=270.0, out_in=14.0
        )
        arrester = Item("a", "arrester", (where,), "arrester-10kv", circuit="one", phase="B")
        made = _read(arrester, 307.0 + gap_in, tol_in)
        return _job(rule, one, made, cutout(300.0), things="a body")
    if rule.a == "space":
        # the swing of another cutout reaches 23 in under its bolt
        other = replace(cutout(330.0 + gap_in), id="a")
        return _job(rule, one, _read(other, 330.0 + gap_in, tol_in), cutout(300.0), things="a body")
    if rule.a in ("arm", "run"):
        # fixed 14 in off the pole, straight over the swing
        body, foot_in = arm("a", 307.0 + gap_in + 4.75 / 2, faces_deg=270.0), 4.75 / 2
        if rule.a == "run":
            foot_in = 0.0
            up = OnPole(when="after", host="pole", at_in=307.0 + gap_in, to_in=400.0)
            body = Item("a", "riser", (replace(up, azimuth_deg=270.0),), "riser-2in", circuit="one")
        (where,) = body.places
        body = replace(body, places=(replace(where, out_in=14.0),))
        made = _read(body, 307.0 + gap_in + foot_in, tol_in)
        return _job(rule, one, made, cutout(300.0), things="a body")
    height_in = 307.0 + RAVEN_RADIUS_IN + gap_in
    if rule.a == "nearby wire":
        near = NearbyWire("a", "a", "one", east_in=-27.0, north_in=0.0, azimuth_deg=0.0, part=RAVEN)
        read = Reading("a", "height", height_in, tolerance_in=tol_in)
        return _job(rule, one, near, read, cutout(300.0), things="a body")
    if rule.a != "wire":
        raise OutOfReachError(f"no builder for '{rule.a}' in a space")
    held = _read_seat("a-seat", height_in, tol_in, out_in=19.0, faces_deg=270.0)
    own = wire("a", "one", "north", "a-seat", part=RAVEN, sag_in=0.0)
    return _job(rule, one, held, own, cutout(300.0), things="a body")


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
    return _job(
        edge.rule,
        one,
        arm("arm", 380.0),
        on_arm("pin", "arm", 30.0, part=PINS_KV[class_kv]),
        wire("a", "one", "north", "pin", part=RAVEN),
        things="pin",
    )


def _side_by_side_on_an_arm(edge: Edge, spare_in: float, tol_in: float) -> Built:
    """Two wires on one arm, of the material that is asked for: that they are there counts."""
    del spare_in, tol_in
    rule = edge.rule
    if rule.a not in _PHASES or rule.b not in _PHASES:
        raise OutOfReachError(f"no builder for '{rule.a}' and '{rule.b}' in one place")
    one, two = _circuits(rule, edge.kv)
    part = STEEL_ARM if rule.when.material == "steel" else ARM
    groups: list[list[Record]] = [[arm("arm", 380.0, part=part)]]
    for key, circuit, along in (("a", one, -40.0), ("b", two, 40.0)):
        groups.append([on_arm(f"{key}-pin", "arm", along)])
        height_in = 380.0 + ARM_TOP_IN
        groups.append(_own_wire(key, rule, circuit, f"{key}-pin", height_in, first=key == "a"))
    return _job(rule, one, two, *groups)


ANY_IN = 30.0
"""What is asked where a band gives no number, for the building only."""


def _wanted(edge: Edge) -> float:
    return printed_need(edge) if edge.numbered else ANY_IN


BUILDERS: dict[MeasureName, Callable[[Edge, float, float], Built]] = {
    "horizontal": _side_by_side,
    "slant": _side_by_side,
    "vertical": _one_over_the_other,
    "surface": _past_a_surface,
    "centre line": _from_the_centre_line,
    "mid-span": _half_way_along,
    "line of sight": _over_a_line_of_supports,
    "above ground": _above_ground,
    "case above ground": _case_above_ground,
    "middle above ground": _middle_above_ground,
    "arm spacing": _arms_crossing,
    "clear square": _square_beside_the_pole,
    "below top": _below_the_top,
    "bore spacing": _two_bores,
    "bore to gain": _bore_over_a_gain,
    "clear of a space": _over_a_swing,
    "insulator class": _insulator_for_a_voltage,
    "guy insulator": _insulator_in_a_guy,
    "not allowed": _side_by_side_on_an_arm,
}


def built(edge: Edge, spare: float = 0.0, *, tol_in: float = 0.0) -> Built:
    """The things of a rule, `spare` inches (kV) on the good side of what it asks."""
    builder = BUILDERS.get(edge.rule.measure)
    if builder is None:
        raise OutOfReachError(f"no builder for measure '{edge.rule.measure}'")
    return builder(edge, spare, tol_in)


def findings(made: Built, *books: Rulebook) -> list[Finding]:
    """What books say of exactly the things that were built for a rule."""
    scene = place(job(*made.records, settings=made.settings), "framed")
    assert scene.unplaced == ()
    return [
        finding
        for finding in check(scene, books)
        if {part.owner for part in (finding.a, finding.b) if part is not None} == made.things
    ]
