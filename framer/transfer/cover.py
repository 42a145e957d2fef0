"""Cover-up: what is laid, step by step and by class, and what the workers' places ask for."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from msgspec import Struct

from framer.checks.finding import Finding, Verdict, verdict
from framer.checks.plan import connected_circuits
from framer.geometry.scene import Part, Run, Scene, Tag
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit
from framer.model.place import AnyPlace, OnItem
from framer.model.stage import place_at
from framer.stock.catalogue import catalogue
from framer.stock.source import Source
from framer.transfer.approach import dead_circuits
from framer.transfer.moment import Moment
from framer.transfer.near import (
    Gap,
    Live,
    Stacked,
    Standing,
    cover_of,
    covers,
    jumper_length_in,
    live_of,
    nearest,
    past,
    standing,
    worker_part,
)
from framer.transfer.needed import needed, worker_rule
from framer.transfer.rubber import least_class, rubber_class
from framer.units.compare import is_at_least

HOSE_IN = 72.0
"""Length of one piece of hose that is counted with: 6 ft, as in stock; a house number."""

_SEARCHES, _PARTS = 8, 8
"""A span is divided by so many, so many times: of 1,000 ft, a thousandth of an inch is left."""

COVER = worker_rule(
    "cover",
    "Cover-up of a class that fits the circuit",
    Source("29 CFR 1910.137 and 1926.97", "read", "", "maximum use voltages, ecfr.gov"),
    "By the voltage between phases. Cover of too low a class, or of none known, covers nothing.",
    measure="insulator class",
)


class Laid(NamedTuple):
    """A piece of cover-up that a step puts on something.

    Attributes:
        step: the number of the step; 0 for what lies there from the start.
        item: its id.
        what: what kind of piece, as in stock.
        on: what it lies on, in words.
        cover_class: what is marked on it, `None` where nobody said.
        needs: the least class for the circuit; empty for what has none.
        verdict: whether the class fits.
        missing: what is not known for that.
    """

    step: int
    item: str
    what: str
    on: str
    cover_class: str | None
    needs: str
    verdict: Verdict
    missing: str = ""


class CoverNeeded(NamedTuple):
    """Cover that a wire or live part needs for where the workers are.

    Attributes:
        owner: id of the wire, jumper or item.
        support: what a wire rests on, where the insulator must be covered too; else `None`.
        step: the first step it is needed in.
        gap_in: how near the nearest worker comes to it, bare.
        along_in: how much of it: of a wire so far from its support, of a jumper its length, of a
            wire of another line so much about the point it was read at; `None` for a live part.
        hoses: how many pieces of hose that makes, `None` where it is no hose.
        needs: the least class; empty where it cannot be said, `missing` then says why.
        laid: the most pieces of a class that fits that ever lie on it.
        laid_in: how long they are together.
        hooded: whether a hood that fits ever lies on the support.
        missing: what is not known.
    """

    owner: str
    support: str | None
    step: int
    gap_in: float
    along_in: float | None
    hoses: int | None
    needs: str
    laid: int
    laid_in: float
    hooded: bool
    missing: str = ""

    @property
    def verdict(self) -> Verdict:
        """Whether the steps lay as much as is needed."""
        if self.missing:
            return "cannot say"
        enough = self.laid > 0 and is_at_least(self.laid_in, self.along_in or 0.0)
        return "meets" if enough and (self.support is None or self.hooded) else "short"


class CoverCount(Struct, frozen=True):
    """How many pieces of cover are needed, by what they are and their least class."""

    what: str
    needs: str
    pieces: int


def cover_findings(moment: Moment) -> Iterator[Finding]:
    """Whether the class of what a step puts on fits the circuit it covers."""
    circuits = {one.id: one for one in connected_circuits(moment.after)}
    told: set[tuple[str, str]] = set()
    for item, host in _put_on(moment):
        circuit = circuits.get(_circuit_of(moment.job, moment.after, host) or "")
        if circuit is None or circuit.kind != "supply":
            continue
        said, missing = class_verdict(item, circuit, moment.job)
        part = _part(moment.after, host)
        if missing:
            yield Finding(COVER, part, None, "cannot say", missing=missing)
            continue
        known = rubber_class(cover_of(item).cover_class)
        on = "it" if part else moment.job.label(host)
        where = f"class {known.id} on {on}" if known else ""
        has = known.max_kv if known else None
        if (host, where) in told:
            continue  # many pieces of a class on one thing are told once
        told.add((host, where))
        yield Finding(COVER, part, None, said, has, circuit.kv, where=where)


def class_verdict(item: Item, circuit: Circuit, job: Job) -> tuple[Verdict, str]:
    """Whether a piece of cover fits a circuit, and what is not known for it."""
    known = rubber_class(cover_of(item).cover_class)
    if known is None:
        return "cannot say", f"class of {job.label(item.id)} not known"
    if circuit.kv is None:
        return "cannot say", f"voltage of {circuit.name} not known, for {job.label(item.id)}"
    return verdict(known.max_kv, circuit.kv, 0.0, assumed=False), ""


def cover_laid(moments: Iterable[Moment]) -> tuple[Laid, ...]:
    """All cover-up in the order the steps put it on; what lies there from the start comes first."""
    rows: list[Laid] = []
    for moment in moments:
        if moment.number == 1:
            there = [
                (item, where.host)
                for item in moment.job.items
                if item.kind == "cover" and (where := _lies(moment.before, item))
            ]
            rows.extend(_laid(moment.before, 0, item, host) for item, host in there)
        rows.extend(
            _laid(moment.after, moment.number, item, host) for item, host in _put_on(moment)
        )
    return tuple(rows)


def _laid(scene: Scene, step: int, item: Item, host: str) -> Laid:
    job, stock = scene.job, catalogue().get(item.part or "")
    cover_class = cover_of(item).cover_class
    what, on = stock.name if stock else job.label(item.id), job.label(host)
    circuits = {one.id: one for one in connected_circuits(scene)}
    circuit = circuits.get(_circuit_of(job, scene, host) or "")
    if circuit is None or circuit.kind != "supply":
        return Laid(step, item.id, what, on, cover_class, "", "meets")
    said, missing = class_verdict(item, circuit, job)
    least = least_class(circuit.kv) if circuit.kv is not None else None
    return Laid(step, item.id, what, on, cover_class, least.id if least else "", said, missing)


def _put_on(moment: Moment) -> Iterator[tuple[Item, str]]:
    """Covers that the step puts on something, and what that is."""
    for thing in moment.moved:
        item = moment.job.item_by_id.get(thing.id)
        if item is not None and item.kind == "cover":
            now, then = _lies(moment.after, item), _lies(moment.before, item)
            if now is not None and (then is None or then.host != now.host):
                yield item, now.host


def _lies(scene: Scene, item: Item) -> OnItem | None:
    where: AnyPlace | None = place_at(scene.job, item, scene.stage)
    return where if isinstance(where, OnItem) else None


def _circuit_of(job: Job, scene: Scene, host: str) -> str | None:
    """The circuit of what cover lies on: its own, or that of the wire it holds up."""
    part = _part(scene, host)
    if part is not None and part.circuit:
        return part.circuit
    item = job.item_by_id.get(host)
    if item is not None and item.circuit:
        return item.circuit
    held = (one for one in scene.bodies if one.support == host and one.tags & Tag.WIRE)
    return next((one.circuit for one in held), None)


def _part(scene: Scene, key: str) -> Part | None:
    parts = scene.parts_of.get(key, ())
    return next((one for one in parts if one.circuit), parts[0] if parts else None)


def cover_needed(
    moments: Iterable[Moment], hose_in: float = HOSE_IN, each_way_in: float | None = None
) -> tuple[CoverNeeded, ...]:
    """What must be covered for the workers to be where the steps say, nearest first.

    What a worker handles is counted too: it is covered before and after. Each wire is covered to
    where it is far enough away, or, where the crew has typed it, `each_way_in` from its support.
    """
    found: dict[str, CoverNeeded] = {}
    for moment in moments:
        for one in _of_step(moment, hose_in, each_way_in):
            known = found.get(one.owner)
            found[one.owner] = one if known is None else _more(known, one)
    return tuple(sorted(found.values(), key=lambda one: (one.step, one.gap_in)))


def _more(known: CoverNeeded, one: CoverNeeded) -> CoverNeeded:
    """The first step's row with the most any step asks, and the most that ever lies there."""
    longer = one if (one.along_in or 0.0) > (known.along_in or 0.0) else known
    return known._replace(
        support=known.support or one.support,
        gap_in=min(known.gap_in, one.gap_in),
        along_in=longer.along_in,
        hoses=longer.hoses,
        laid=max(known.laid, one.laid),
        laid_in=max(known.laid_in, one.laid_in),
        hooded=known.hooded or one.hooded,
    )


def cover_counts(rows: Iterable[CoverNeeded]) -> tuple[CoverCount, ...]:
    """How many hoses, hoods and other covers that makes; one hood for each insulator."""
    counts: dict[tuple[str, str], int] = {}
    hooded: set[str] = set()
    for one in rows:
        what, count = ("hose", one.hoses) if one.hoses is not None else ("cover", 1)
        counts[what, one.needs] = counts.get((what, one.needs), 0) + count
        if one.support is not None and one.support not in hooded:
            hooded.add(one.support)
            counts["hood", one.needs] = counts.get(("hood", one.needs), 0) + 1
    return tuple(CoverCount(what, needs, count) for (what, needs), count in counts.items() if count)


def _of_step(moment: Moment, hose_in: float, each_way_in: float | None) -> Iterator[CoverNeeded]:
    dead = dead_circuits(moment.job, moment.number)
    for scene in (moment.before, moment.after):
        lying = covers(scene)
        live_parts = live_of(scene, dead, uncovered=True)
        bodies = _bodies(moment, scene)
        # of each worker how near every live part is
        gaps = [live_parts.bare.nearest(body) for body in bodies]
        for number, live in enumerate(live_parts.lives):
            met = [(body, of[number]) for body, of in zip(bodies, gaps, strict=True)]
            reach = _reach(moment, scene, live, met)
            if reach is None:
                continue
            gap, along, at_support = reach
            circuit, part = live.circuit, live.part
            least = least_class(circuit.kv) if circuit.kv is not None else None
            missing = ""
            if circuit.kv is None:
                missing = f"voltage of {circuit.name} not known"
            elif least is None:
                missing = f"no class of rubber goods is for {circuit.kv:g} kV"
            if part.support is not None and each_way_in is not None:
                along = each_way_in
            fitting = [
                one
                for one in lying.get(part.owner, [])
                if class_verdict(one.item, circuit, scene.job)[0] == "meets"
            ]
            hoods = lying.get(part.support or "", [])
            yield CoverNeeded(
                part.owner,
                part.support if at_support or (each_way_in and part.support) else None,
                moment.number,
                gap,
                along,
                None if along is None else math.ceil(along / hose_in - 1e-6),
                least.id if least else "",
                len(fitting),
                sum(one.length_in or 0.0 for one in fitting),
                any(class_verdict(one.item, circuit, scene.job)[0] == "meets" for one in hoods),
                missing,
            )


def _bodies(moment: Moment, scene: Scene) -> list[Standing]:
    """Where the workers of the step stand, of those whose place is known."""
    workers = moment.step.workers
    stand = (standing(worker_part(scene, moment.step, worker), worker) for worker in workers)
    return [body for body in stand if body is not None]


def _reach(
    moment: Moment, scene: Scene, live: Live, met: Iterable[tuple[Standing, Gap | None]]
) -> tuple[float, float | None, bool] | None:
    """How near the workers come to a part, how far along it, and whether to its support.

    `met` is each worker's body and how near the part is to it. `None` where no worker is within
    the approach distance. The exposure is taken phase to phase.
    """
    least, along, at_support = math.inf, 0.0, False
    settings = moment.job.settings
    ask = needed(live.wired, "phase", settings.altitude_m, settings.assume_up_to_kv, moment.books)
    need = ask.most_in if ask.most_in is not None else ask.need_in
    if need is None or not live.bare:
        return None
    shape = live.part.shape
    for body, found in met:
        if found is None:
            continue
        least = min(least, found.gap_in)
        if is_at_least(found.gap_in, need) or not isinstance(shape, Run):
            continue
        longest, is_near = _along(body, shape, need, nearby=bool(live.part.tags & Tag.NEARBY))
        along, at_support = max(along, longest), at_support or is_near
    if is_at_least(least, need):
        return None
    if live.part.tags & Tag.JUMPER:
        return least, jumper_length_in(scene, live.part.owner), False
    return least, along if isinstance(shape, Run) else None, at_support


@lru_cache(maxsize=4096)
def _along(body: Standing, shape: Run, need_in: float, *, nearby: bool) -> tuple[float, bool]:
    """How much of a wire must be covered for the rest of it to be far enough away.

    From its support on; of a wire of another line, about the point it was read at. And whether
    its support is too near. Workers and wires mostly stay where they were a step before, so what
    was worked out is kept.
    """
    low, high = 0.0, math.dist(shape.p, shape.q)
    for _ in range(_SEARCHES):
        step = (high - low) / _PARTS
        tried = [low + step * number for number in range(1, _PARTS)]
        rests = Stacked([past(shape, start, nearby=nearby) for start in tried]).nearest(body)
        short = (
            number
            for number, rest in enumerate(rests, start=1)
            if rest is not None and not is_at_least(rest.gap_in, need_in)
        )
        last = max(short, default=0)
        low, high = low + step * last, low + step * (last + 1)
    start = nearest(body, [(shape.p, shape.p, shape.r)])
    return high, start is not None and not is_at_least(start.gap_in, need_in)
