"""Workers and what is bare and energised near them: inches there are against inches needed.

Approach distances are no clearances of construction: meeting one says nothing of the other. They
are never waived. A step is judged as it begins and as it ends, and the worse is told; the way
between is not looked at.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import combinations

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.finding import Finding, verdict
from framer.geometry.potential import nodes
from framer.geometry.scene import Part, Scene
from framer.model.job import Job
from framer.model.place import OnItem
from framer.model.stage import place_at
from framer.model.step import Worker
from framer.stock.source import Source
from framer.transfer.moment import Moment
from framer.transfer.near import (
    Gap,
    Live,
    LiveParts,
    envelope_in,
    live_of,
    nearest,
    standing,
    worker_name,
    worker_part,
)
from framer.transfer.needed import PLACED, Exposure, Needed, inches_up, needed, worker_rule
from framer.transfer.rubber import rubber_class
from framer.units.compare import is_at_least, rounded
from framer.units.figures import trimmed

GLOVES = worker_rule(
    "gloves",
    "Rubber gloves for what the worker handles",
    Source("29 CFR 1910.137 and 1926.97", "read", "", "maximum use voltages, ecfr.gov"),
    "By the voltage between phases. Sleeves too, unless every live part that is not worked on is "
    "insulated from the worker, from where his upper arm was not exposed (1910.269(l)(4)(i)).",
    measure="insulator class",
)
ONE_POTENTIAL = worker_rule(
    "one-potential",
    "One potential at a time on a pole",
    Source("WAC 296-45-325(2)", "read", "2020-06-02", "notes, apps.leg.wa.gov"),
    "Two workers of a pair are never both at work on different phases or polarities.",
    b="worker",
)


class _At(Struct, frozen=True):
    """A worker at one end of a step, all live there and how near it is.

    `near` counts his tools, `in_hand` does not. `held` is what he handles and all at its
    potential; `covering` what the step covers or bares.
    """

    moment: Moment
    worker: Worker
    name: str
    body: Part
    live: tuple[Live, ...]
    near: list[Gap | None]
    in_hand: list[Gap | None]
    held: Collection[str]
    covering: Collection[str]
    when: str

    @property
    def handles_live(self) -> bool:
        return any(one.part.owner in self.held for one in self.live)


def approach_findings(moment: Moment) -> Iterator[Finding]:
    """What is said of the workers of a step: approach, gloves, one potential on a pole.

    A step by others, or later, has no workers of ours. One of the crew's without workers cannot be
    judged.
    """
    step = moment.step
    if step.by != "crew":
        return
    if not step.workers:
        yield _unsaid(f"where the workers of step {moment.number} stand is not said")
        return
    dead = dead_circuits(moment.job, moment.number)
    ends = [(scene, live_of(scene, dead)) for scene in (moment.before, moment.after)]
    for worker in step.workers:
        yield from _of_worker(moment, worker, ends)
    yield from _potentials(moment)


def dead_circuits(job: Job, number: int) -> frozenset[str]:
    """Circuits that are de-energised and grounded before a step, as arranged and as the steps say.

    Each needs its own steps for both, done before, a device and who asked; else it is energised.
    """
    arranged = {one.circuit for one in job.holds if one.kind == "de-energise"}
    confirmed = {
        one.circuit
        for one in job.holds
        if one.kind == "de-energise" and one.device and one.asked_by
    }
    done = [step.kind for step in job.steps[: number - 1]]
    each = min(done.count("de-energise"), done.count("ground"))
    return frozenset(confirmed) if arranged and each >= len(arranged) else frozenset()


def _unsaid(missing: str, body: Part | None = None) -> Finding:
    return Finding(PLACED, body, None, "cannot say", missing=missing)


def _of_worker(
    moment: Moment, worker: Worker, ends: Iterable[tuple[Scene, LiveParts]]
) -> Iterator[Finding]:
    """The worst of a worker's approach to each thing at the step's two ends."""
    step = moment.step
    found: list[Finding] = []
    nowhere: Part | None = None
    stands = False
    covering = _being_covered(moment)
    for scene, live in ends:
        body = worker_part(scene, step, worker)
        room = standing(body, worker)
        if room is None:
            nowhere = body
            continue
        stands = True
        near = in_hand = live.bare.nearest(room)
        hands = standing(worker_part(scene, step, worker, bare_hands=True), worker)
        if worker.method == "hot stick" and worker.tools_in and hands is not None:
            in_hand = live.bare.nearest(hands)
        when = "as the step begins" if scene is moment.before else "as the step ends"
        held, name = _held(moment.job, scene, worker), worker_name(step, worker)
        at = _At(moment, worker, name, body, live.lives, near, in_hand, held, covering, when)
        found.extend(_at_one_end(at))
    if nowhere is not None and not stands:
        yield _unsaid(nowhere.missing, nowhere)
        return
    yield from _worst(found)


def _worst(found: Iterable[Finding]) -> Iterator[Finding]:
    """Of each thing the worst, and of all that meets the nearest of each circuit."""
    kept: dict[str, Finding] = {}
    seen: set[str] = set()
    for one in sorted(found, key=lambda one: one.order):
        thing = f"{one.rule.measure} {one.b.owner}" if one.b else ""
        if thing in seen:
            continue
        if thing:
            seen.add(thing)
        key = thing
        if one.verdict == "meets":
            key = f"{one.rule.measure} meets {one.b.circuit if one.b else ''}"
        elif one.verdict == "cannot say":
            key = one.missing
        known = kept.get(key)
        if known is None:
            kept[key] = one
        elif one.verdict == "cannot say":
            kept[key] = replace(known, count=known.count + 1)
    yield from kept.values()


def _held(job: Job, scene: Scene, worker: Worker) -> set[str]:
    """What a worker handles and all that is joined to it: one potential."""
    if worker.at in ("", "ground"):
        return set()
    numbers = nodes(job, scene.stage)
    of = numbers.get(worker.at)
    if of is None:
        return {worker.at}
    same = {key for key, number in numbers.items() if number == of}
    return same | {join.id for join in job.joins if join.a in same and join.b in same}


def _being_covered(moment: Moment) -> set[str]:
    """What the step puts cover on or takes it off, and the wires on what it hoods."""
    hosts: set[str] = set()
    for thing in moment.moved:
        item = moment.job.item_by_id.get(thing.id)
        if item is not None and item.kind == "cover":
            for scene in (moment.before, moment.after):
                where = place_at(moment.job, item, scene.stage)
                if isinstance(where, OnItem):
                    hosts.add(where.host)
    parts = (*moment.before.bodies, *moment.after.bodies)
    return hosts | {part.owner for part in parts if part.support in hosts}


def _at_one_end(at: _At) -> Iterator[Finding]:
    exposure, unsaid = _exposure(at)
    for live, near, in_hand in zip(at.live, at.near, at.in_hand, strict=True):
        owner, job = live.part.owner, at.moment.job
        if live.part.shape is None:
            yield _unsaid(live.part.missing or f"where {job.label(owner)} is, is not known")
        elif owner in at.held and at.worker.method != "hot stick":
            yield _gloved(at, live)
        else:
            # a hot stick is what reaches in to what he handles, so his body alone keeps away
            gap = in_hand if owner in at.held else near
            if gap is not None:
                yield from _kept(at, live, gap, exposure, unsaid)


def _gloved(at: _At, live: Live) -> Finding:
    """The class of a worker's gloves against the voltage of what he handles."""
    label, circuit = at.moment.job.label(live.part.owner), live.circuit
    known = rubber_class(at.worker.gloves)
    missing = ""
    if at.worker.method != "gloves":
        missing = f"how {at.name} handles {label} is not said"
    elif known is None:
        missing = f"the class of the gloves of {at.name} is not known"
    elif circuit.kv is None:
        missing = f"voltage of {circuit.name} not known"
    if missing or known is None or circuit.kv is None:
        return Finding(GLOVES, at.body, live.part, "cannot say", missing=missing)
    said = verdict(known.max_kv, circuit.kv, 0.0, assumed=False)
    where = f"class {known.id}, {at.when}"
    return Finding(GLOVES, at.body, live.part, said, known.max_kv, circuit.kv, where=where)


def _kept(at: _At, live: Live, bare: Gap, exposure: Exposure, unsaid: str) -> Iterator[Finding]:
    """A worker's distance from what is bare of a part."""
    body = at.body
    ask = _needed(at, live, exposure)
    if ask.need_in is None:
        yield _unsaid(f"{ask.missing} ({at.name})", body)
        return
    # where no distance is given, to touch is not to avoid contact
    is_short = not is_at_least(bare.gap_in, ask.need_in) or (ask.contact and bare.gap_in <= 0.0)
    if is_short and live.part.owner in at.covering and at.worker.method:
        if at.worker.method == "gloves":
            yield _gloved(at, live)
        yield _while_covered(at, live)
        return
    missing = _missing(at, live, bare, ask, unsaid, is_short=is_short)
    if missing:
        yield Finding(
            ask.rule,
            body,
            live.part,
            "cannot say",
            bare.gap_in,
            missing=f"{missing} ({at.name})",
            where=at.when,
        )
        return
    tolerance, room = live.part.tolerance_in, _room(at.moment.job, at.worker, bare, ask)
    said = verdict(bare.gap_in, ask.need_in, tolerance, assumed=bool(live.assumed))
    yield Finding(
        ask.rule,
        body,
        live.part,
        "short" if is_short else said,
        bare.gap_in,
        ask.need_in,
        tolerance,
        (bare.q, bare.p),
        assumed=live.assumed,
        required=ask.required,
        where="; ".join(filter(None, (at.when, room, live.cover))),
        reading=ask.reading,
    )


def _missing(at: _At, live: Live, bare: Gap, ask: Needed, unsaid: str, *, is_short: bool) -> str:
    """What is not known and would decide; empty where nothing is."""
    need = ask.need_in or 0.0
    if is_short:
        label = at.moment.job.label(live.part.owner)
        if live.doubt and _may_be_clear(at, live, need):
            return f"{live.doubt}: cover on {label}"
        if unsaid and is_at_least(bare.gap_in, _needed(at, live, "ground").need_in or 0.0):
            return f"{unsaid}, {label} is near"
        return live.unsure
    if live.circuit.kv is None:
        up_to = at.moment.job.settings.assume_up_to_kv
        return f"voltage of {live.circuit.name} not known, kept to {up_to:g} kV"
    if ask.missing:
        return ask.missing
    if ask.most_in is not None and not is_at_least(bare.gap_in, ask.most_in):
        system = at.moment.job.settings.units
        low, high = inches_up(need, system), inches_up(ask.most_in, system)
        return f"height above sea level not known: {low} to 900 m, up to {high} higher"
    return ""


def _may_be_clear(at: _At, live: Live, need_in: float) -> bool:
    """Whether a part is far enough away if all cover that may fit does."""
    room = standing(at.body, at.worker)
    best = nearest(room, live.least) if room else None
    return best is None or is_at_least(best.gap_in, need_in)


def _exposure(at: _At) -> tuple[Exposure, str]:
    """The worker's exposure, and what is not said where the larger is taken."""
    if at.worker.method == "hot stick" or (at.worker.at and not at.handles_live):
        return "ground", ""
    return "phase", "" if at.worker.at else f"what {at.name} handles is not said"


def _needed(at: _At, live: Live, exposure: Exposure) -> Needed:
    settings = at.moment.job.settings
    return needed(
        live.wired,
        exposure,
        settings.altitude_m,
        settings.assume_up_to_kv,
        at.moment.books,
        settings.units,
    )


def _while_covered(at: _At, live: Live) -> Finding:
    label = at.moment.job.label(live.part.owner)
    where = f"{at.name} covers or bares {label}: where he is meanwhile is not looked at"
    return Finding(PLACED, at.body, live.part, "tight", where=where)


def _room(job: Job, worker: Worker, bare: Gap, ask: Needed) -> str:
    """What there is and what is needed, the room the worker takes up counted in.

    Room, gap and need are rounded each by itself, so that the sums are right as printed.
    """
    unit, one_in, places = ("m", 0.0254, 3) if job.settings.units == "metric" else ("in", 1.0, 1)
    step = 10.0**-places
    room, apart = (
        rounded(value * one_in, step, "up") for value in (envelope_in(worker), ask.need_in or 0.0)
    )
    gap = rounded(bare.gap_in * one_in, step, "down")
    has, asks, have, total = (
        trimmed(f"{value:.{places}f}") for value in (room, apart, room + gap, room + apart)
    )
    return (
        f"with his room of {has} {unit} there are {have} {unit}, "
        f"needs {has} + {asks} = {total} {unit}"
    )


def _potentials(moment: Moment) -> Iterator[Finding]:
    """Workers of one pole on what is not at one potential, pair by pair."""
    step = moment.step
    aloft = [one for one in step.workers if one.by != "ground"]
    for first, second in combinations(aloft, 2):
        if first.pole != second.pole:
            continue
        apart, missing = _differ(moment, first, second)
        a, b = (worker_part(moment.before, step, one) for one in (first, second))
        where = ", ".join(
            f"{worker_name(step, one)} on {_handled(moment.job, one)}" for one in (first, second)
        )
        if missing:
            yield Finding(ONE_POTENTIAL, a, b, "cannot say", missing=f"{missing} ({where})")
        elif apart:
            yield Finding(ONE_POTENTIAL, a, b, "short", where=where)


def _handled(job: Job, worker: Worker) -> str:
    return job.label(worker.at) if worker.at else "what is not said"


def _differ(moment: Moment, first: Worker, second: Worker) -> tuple[bool, str]:
    """Whether two workers handle different potentials, or what is not known for that."""
    if not (first.at and second.at):
        return False, "what each worker handles is not said"
    job = moment.job
    one, two = _potential(job, first), _potential(job, second)
    if first.at == second.at or (one == two == "ground"):
        return False, ""
    numbers = nodes(job, moment.before.stage)
    joined = numbers.get(first.at, -1) == numbers.get(second.at, -2)
    if joined:
        return False, ""
    if one == two and one != "ground":
        return False, "no join says that both are one potential"
    if "?" in (one[-1:], two[-1:]) and "ground" in (one, two):
        return False, "whether the neutral is grounded is not known"
    return True, ""


def _potential(job: Job, worker: Worker) -> str:
    """A word for the potential of what a worker handles; one ending in "?" may be ground."""
    wire, item = job.wire_by_id.get(worker.at), job.item_by_id.get(worker.at)
    near = next((one for one in job.nearby if one.id == worker.at), None)
    of = wire.circuit if wire else item.circuit if item else near.circuit if near else None
    circuit = job.circuit_by_id.get(of or "")
    phase = wire.phase if wire else item.phase if item else None
    if circuit is None or circuit.kind == "communications":
        return "ground"
    if phase == "N":
        return {True: "ground", None: f"{circuit.id} N?", False: f"{circuit.id} N"}[
            circuit.grounded_wye
        ]
    return f"{circuit.id} {phase or worker.at}"
