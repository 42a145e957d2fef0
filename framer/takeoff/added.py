"""What rules of completeness add to the list: rods, staples, molding, connectors and the like."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from msgspec import Struct

from framer.geometry.scene import Scene, Tag, Tube
from framer.geometry.written import small
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import AnyPlace, Guyed, OnArm, OnPole
from framer.model.stage import Fate, host_of, place_at
from framer.stock.catalogue import catalogue, wire
from framer.stock.hardware import Adds, hardware_rules
from framer.stock.part import ArmPart, InsulatorPart
from framer.takeoff.row import NEW_HARDWARE, MaterialRow, hardware_fate
from framer.units.length import length_text

PAIR, ANCHOR = "pair of arms", "anchor"
"""Hosts that rules name besides kinds of items: a double arm, and the ground a guy goes to."""

BRACKET = "bracket"

_SAME_PLACE_IN = 3.0
"""How far apart along an arm two insulators may be to be taken for the two of one wire, and along
the pole a thing and its bracket to be taken for one; house."""


def added(scene: Scene, fates: Mapping[str, Fate]) -> Iterator[MaterialRow]:
    """A line for everything a rule adds to a thing of the job."""
    job = scene.job
    for rule in hardware_rules().adds:
        if rule.per in ("same", "jumper") or rule.asks:
            continue
        for item in job.items:
            if fits(job, item, rule, fates[item.id]):
                yield from _rows(scene, item, rule, fates[item.id])


def asked(job: Job, fates: Mapping[str, Fate]) -> Iterator[str]:
    """What rules know is needed and ask for, unless a line of that name is typed."""
    typed = {line.name.casefold() for line in job.listed}
    for rule in hardware_rules().adds:
        if rule.asks and rule.name.casefold() not in typed:
            for item in job.items:
                if fits(job, item, rule, fates[item.id]):
                    yield f"{rule.name} of {job.label(item.id)} not typed: {rule.source.words()}"


def better(job: Job, fates: Mapping[str, Fate]) -> Iterator[str]:
    """What is put up on an arm whose wires are too strong for it by a rule."""
    for rule in hardware_rules().instead:
        for item in job.items:
            if fates[item.id] not in NEW_HARDWARE:
                continue
            if not any((item.part or "").startswith(one) for one in rule.parts):
                continue
            arm = host_of(_put(job, item))
            strong = [
                f"{job.label(run.id)}, {part.strength_lbf:,.0f} lb"
                for run in job.wires
                if (part := wire(run.part)) is not None
                and part.strength_lbf is not None
                and part.strength_lbf > rule.over_lbf
                and arm is not None
                and arm in _below(job, run)
            ]
            if strong:
                yield (
                    f"{job.label(item.id)}: {rule.words}, its arm holds {strong[0]} "
                    f"({rule.source.words()})"
                )


def _below(job: Job, run: Wire) -> Iterator[str]:
    """What a wire rests on as framed, and what that is on, and so on."""
    host = host_of(place_at(job, run, "framed"))
    while host is not None:
        yield host
        item = job.item_by_id.get(host)
        host = host_of(place_at(job, item, "framed")) if item is not None else None


def times(job: Job, item: Item, fate: Fate) -> tuple[float, str]:
    """How many of an item stand for the one drawn, and the words for it."""
    for rule in hardware_rules().adds:
        if rule.per == "same" and rule.count and fits(job, item, rule, fate):
            return 1.0 + rule.count, f", and one on the other arm of the pair ({_how(rule)})"
    return 1.0, ""


def jumper_pieces(label: str) -> Iterator[MaterialRow]:
    """What comes with a new jumper."""
    for rule in hardware_rules().adds:
        if rule.per == "jumper":
            yield _row(rule, rule.name, rule.count, "install", f"on {label}")


def fits(job: Job, item: Item, rule: Adds, fate: Fate) -> bool:
    """Whether a rule speaks of an item where it is put."""
    stock = catalogue().get(item.part or "")
    if item.kind not in rule.to or fate not in rule.fates:
        return False
    if rule.style and getattr(stock, "style", "") not in rule.style:
        return False
    if rule.parts and not any((item.part or "").startswith(one) for one in rule.parts):
        return False
    if not rule.on and not rule.not_on:
        return True
    hosts = set(_hosts(job, item))
    return (not rule.on or bool(hosts & set(rule.on))) and not hosts & set(rule.not_on)


def _put(job: Job, item: Item) -> AnyPlace | None:
    """Where an item is put: as framed, or the last place it had before it goes again."""
    there = [place for place in item.places if host_of(place) is not None]
    framed = place_at(job, item, "framed")
    return framed if host_of(framed) is not None else (there[-1] if there else None)


def _hosts(job: Job, item: Item) -> Iterator[str]:
    where = _put(job, item)
    if isinstance(where, Guyed) and where.far_height_in <= 0.0:
        yield ANCHOR
    if isinstance(where, OnPole) and item.kind != BRACKET:
        beside = (one for one in job.items if one.kind == BRACKET)
        if any(_same_spot(where, place_at(job, one, "framed")) for one in beside):
            yield BRACKET
    host = job.item_by_id.get(host_of(where) or "")
    if host is None:
        return
    yield host.kind
    stock = catalogue().get(host.part or "")
    if isinstance(stock, ArmPart) and stock.members > 1 and not _has_twin(job, item, host):
        yield PAIR


def _same_spot(one: OnPole, other: AnyPlace | None) -> bool:
    """Whether two things of a pole are drawn at one place, as a cutout and its bracket."""
    return (
        isinstance(other, OnPole)
        and (one.host, one.hold, one.azimuth_deg) == (other.host, other.hold, other.azimuth_deg)
        and one.at_in is not None
        and other.at_in is not None
        and abs(one.at_in - other.at_in) <= _SAME_PLACE_IN
    )


def _has_twin(job: Job, item: Item, arm: Item) -> bool:
    """Whether another item of the job is what goes on the other arm of the pair."""
    where = _put(job, item)
    for other in job.items:
        there = _put(job, other)
        if other.id == item.id or other.kind != item.kind or host_of(there) != arm.id:
            continue
        if not isinstance(where, OnArm) or not isinstance(there, OnArm):
            return True
        if abs(where.along_in - there.along_in) <= _SAME_PLACE_IN and where.member != there.member:
            return True
    return False


def _rows(scene: Scene, item: Item, rule: Adds, fate: Fate) -> Iterator[MaterialRow]:
    job, put = scene.job, hardware_fate(fate)
    label = job.label(item.id)
    if rule.per == "support":
        for name, phase in _held(job, item, rule.metal):
            why = f"{phase} on {label}"
            yield _row(rule, rule.name.format(wire=name), rule.count, put, why)
        return
    if rule.per == "item":
        yield _row(rule, rule.name, rule.count, put, f"with {label}")
        return
    run = ran(scene, item.id)
    if run is None:
        yield _row(rule, rule.name, None, put, f"length of {label} not known")
        return
    long = length_text(run.length_in, toward="up", system=job.settings.units)
    if rule.per == "foot":
        feet = math.ceil(run.length_in / 12.0)
        yield _row(rule, rule.name, rule.count and rule.count * feet, put, f"along {label}, {long}")
    else:
        many = spaced(run.low_in, run.high_in, run.top_in, rule)
        system = job.settings.units
        every, often = (small(system, size) for size in (rule.spacing_in, rule.near_in))
        near = length_text(rule.zone_in, system=system)
        why = f"along {label}, {long}: every {every}, every {often} within {near} of ground and top"
        yield _row(rule, rule.name, rule.count and rule.count * many, put, why)


def spaced(low_in: float, high_in: float, top_in: float | None, rule: Adds) -> int:
    """How many fixings a run along a pole takes, one at its lower end besides.

    A pole of no known top has no zone there.

    Args:
        low_in: lower end of the run above ground [in].
        high_in: its upper end [in].
        top_in: the finished top above ground [in].
        rule: spacing, spacing near the ends, and how far that goes.
    """
    edge = max(rule.zone_in, low_in)
    near_ground = max(0.0, min(high_in, edge) - low_in)
    near_top = 0.0
    if top_in is not None:
        near_top = max(0.0, high_in - max(top_in - rule.zone_in, edge))
    between = high_in - low_in - near_ground - near_top
    return 1 + sum(
        math.ceil(length / spacing - 1e-9)
        for length, spacing in (
            (near_ground, rule.near_in),
            (between, rule.spacing_in),
            (near_top, rule.near_in),
        )
    )


class Ran(Struct, frozen=True):
    """A thing that runs: its length, and its ends above the foot of its pole [in]."""

    length_in: float
    low_in: float
    high_in: float
    top_in: float | None


def ran(scene: Scene, key: str) -> Ran | None:
    """How long a guy or a run along the pole is as placed; `None` where that is not known."""
    parts = [
        (part, part.shape)
        for part in scene.parts_of.get(key, ())
        if part.tags & (Tag.GUY | Tag.RUN) and not part.tags & Tag.FITTING
    ]
    shapes = [shape for _, shape in parts if isinstance(shape, Tube)]
    if not shapes or len(shapes) < len(parts):
        return None
    length = sum(math.dist(shape.p, shape.q) for shape in shapes)
    heights = [point[2] for shape in shapes for point in (shape.p, shape.q)]
    solid = scene.poles.get(parts[0][0].pole or "")
    foot = solid.foot[2] if solid else 0.0
    top = solid.top_up_in * solid.rise if solid and solid.top_up_in is not None else None
    return Ran(length, min(heights) - foot, max(heights) - foot, top)


def _held(job: Job, item: Item, metals: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """The wires of a metal that a support holds through: name of the wire, phase and circuit."""
    seen = set()
    stock = catalogue().get(item.part or "")
    if not isinstance(stock, InsulatorPart):
        return
    for run in job.wires:
        if host_of(place_at(job, run, "framed")) != item.id:
            continue
        part = wire(run.part)
        key = (run.circuit, run.phase)
        if part is not None and part.material in metals and key not in seen:
            seen.add(key)
            yield part.name, f"{run.phase} of {job.label(run.circuit)}"


def _row(rule: Adds, name: str, count: float | None, fate: Fate, why: str) -> MaterialRow:
    quantity = 1.0 if count is None else count
    return MaterialRow(
        "Hardware", name, "", fate, quantity, rule.unit, why, rule.source.how_known,
        unresolved=count is None, rests_on=f"{rule.title}: {rule.source.words()}",
    )  # fmt: skip


def _how(rule: Adds) -> str:
    """Whose rule it is and how it is known, short enough for a line."""
    return f"{rule.source.document}, {rule.source.how_known}"
