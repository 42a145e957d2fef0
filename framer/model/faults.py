"""What the types alone cannot rule out: references, chains, and numbers that contradict."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple, Protocol

from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import JoinPlace, Wire
from framer.model.link import contradictions
from framer.model.place import (
    AnyPlace,
    Guyed,
    Lifted,
    Lying,
    OnArm,
    OnItem,
    OnPole,
    Same,
    Standing,
)
from framer.model.stage import host_of

MOST_THINGS = 20_000
"""More records than this are refused: no pole carries them, and a mistake is likelier."""

_ORDER = {"found": 0, "temporary": 1, "after": 2, "built": 3}


class _Named(Protocol):
    @property
    def id(self) -> str: ...


class Fault(NamedTuple):
    """A contradiction in a job: where in the record, and what was expected there."""

    place: str
    problem: str


def faults(job: Job) -> Iterator[Fault]:
    """Every contradiction in the job, in the order of the record; none for a sound one."""
    count = sum(
        len(records)
        for records in (job.items, job.wires, job.joins, job.nearby, job.limits, job.readings)
    )
    if count > MOST_THINGS:
        yield Fault("", f"{count:,} records; at most {MOST_THINGS:,} are taken for one pole")
        return
    yield from _names(job)
    for place, thing in _placed(job):
        yield from _chain(place, thing.places)
        for index, where in enumerate(thing.places):
            yield from _where(job, thing, where, f"{place}.places[{index}]")
    yield from _items(job)
    yield from _references(job)
    yield from _links(job)
    yield from _rings(job)


def _placed(job: Job) -> Iterator[tuple[str, Item | Wire]]:
    for index, item in enumerate(job.items):
        yield f"items[{index}] '{item.id}'", item
    for index, wire in enumerate(job.wires):
        yield f"wires[{index}] '{wire.id}'", wire


def _names(job: Job) -> Iterator[Fault]:
    seen: dict[str, str] = {}
    groups: dict[str, Sequence[_Named]] = {
        "circuits": job.circuits,
        "spans": job.spans,
        "items": job.items,
        "wires": job.wires,
        "joins": job.joins,
        "nearby": job.nearby,
        "limits": job.limits,
        "steps": job.steps,
        "limits_between": job.limits_between,
    }
    for group, records in groups.items():
        for index, record in enumerate(records):
            place = f"{group}[{index}]"
            if not record.id:
                yield Fault(place, "the id is empty; every record needs one")
            elif record.id in seen:
                yield Fault(place, f"the id '{record.id}' is taken by {seen[record.id]}")
            seen.setdefault(record.id, place)


def _chain(place: str, places: Sequence[AnyPlace | JoinPlace]) -> Iterator[Fault]:
    if not places:
        yield Fault(place, "it has no place; give at least one")
        return
    order = [_ORDER[where.when] for where in places]
    if order != sorted(order):
        yield Fault(place, "its places must run found, temporary, after, built")
    for when in ("found", "after", "built"):
        if sum(where.when == when for where in places) > 1:
            yield Fault(place, f"it has more than one place '{when}'")
    if isinstance(places[0], Same):
        yield Fault(place, "its first place is 'as before', but nothing comes before it")


def _where(job: Job, thing: Item | Wire, where: AnyPlace, place: str) -> Iterator[Fault]:
    host_id = host_of(where)
    if host_id is not None:
        host = job.item_by_id.get(host_id)
        if host is None:
            known = set(job.wire_by_id)
            if isinstance(thing, Item) and thing.kind == "cover":
                known |= {join.id for join in job.joins} | {near.id for near in job.nearby}
            if host_id not in known:
                yield Fault(place, f"its host '{host_id}' is not in the job")
            elif not isinstance(where, OnItem):
                yield Fault(place, f"its host '{host_id}' is a wire; only 'on' goes on a wire")
        else:
            if isinstance(where, OnPole | Guyed) and host.kind != "pole":
                yield Fault(place, f"its host '{host_id}' is no pole but: {host.kind}")
            if isinstance(where, OnArm) and host.kind != "arm":
                yield Fault(place, f"its host '{host_id}' is no arm but: {host.kind}")
    is_pole = isinstance(thing, Item) and thing.kind == "pole"
    if is_pole and isinstance(where, OnPole | OnArm | OnItem | Guyed):
        yield Fault(place, "a pole stands or lies on the ground, it is not fixed to an item")
    if not is_pole and isinstance(where, Standing | Lying):
        yield Fault(place, "only a pole stands or lies on the ground")
    if isinstance(where, Lifted) and not (isinstance(thing, Item) and thing.kind == "lift"):
        yield Fault(place, "only a lift is held up from the ground; other things go on it")
    if isinstance(thing, Wire) and isinstance(where, OnPole | OnArm | Guyed):
        yield Fault(place, "a wire rests on an insulator or attachment: use 'on'")
    if isinstance(where, OnPole) and where.at_in is None and where.when != "found":
        yield Fault(place, "at_in is missing; only a found place may leave it to a reading")


def _items(job: Job) -> Iterator[Fault]:
    for index, item in enumerate(job.items):
        place = f"items[{index}] '{item.id}'"
        if (item.kind == "pole") != (item.pole is not None):
            expected = "needs" if item.kind == "pole" else "must not have"
            yield Fault(f"{place}.pole", f"an item of kind '{item.kind}' {expected} pole facts")
        if item.kind == "pole" and item.part is not None:
            yield Fault(f"{place}.part", "a pole has pole facts, not a stock part")
        if item.kind != "pole" and item.part is None and not item.name:
            yield Fault(place, "it needs a stock part or at least a name")
        if item.circuit is not None and item.circuit not in job.circuit_by_id:
            yield Fault(f"{place}.circuit", f"there is no circuit '{item.circuit}'")
        if item.replaces is not None and item.replaces not in job.item_by_id:
            yield Fault(f"{place}.replaces", f"there is no item '{item.replaces}'")
        if item.pole is not None and item.pole.length_in is not None:
            for number, where in enumerate(item.places):
                if isinstance(where, Standing):
                    buried = where.cut_in + (where.depth_in or 0.0)
                    if buried >= item.pole.length_in:
                        yield Fault(
                            f"{place}.places[{number}]",
                            "nothing of the pole is above ground: depth_in plus cut_in must be "
                            "less than length_in",
                        )


def _references(job: Job) -> Iterator[Fault]:
    nearby = {wire.id for wire in job.nearby}
    for index, wire in enumerate(job.wires):
        if wire.circuit not in job.circuit_by_id:
            yield Fault(
                f"wires[{index}] '{wire.id}'.circuit", f"there is no circuit '{wire.circuit}'"
            )
        if wire.span not in job.span_by_id:
            yield Fault(f"wires[{index}] '{wire.id}'.span", f"there is no span '{wire.span}'")
    for index, near in enumerate(job.nearby):
        if near.circuit not in job.circuit_by_id:
            yield Fault(
                f"nearby[{index}] '{near.id}'.circuit", f"there is no circuit '{near.circuit}'"
            )
    for index, join in enumerate(job.joins):
        for end in (join.a, join.b):
            if end not in job.wire_by_id and end not in job.item_by_id:
                yield Fault(f"joins[{index}] '{join.id}'", f"there is no wire or item '{end}'")
        yield from _chain(f"joins[{index}] '{join.id}'", join.places)
    for index, reading in enumerate(job.readings):
        place = f"readings[{index}]"
        known = reading.of in job.item_by_id or reading.of in job.wire_by_id or reading.of in nearby
        if not known:
            yield Fault(f"{place}.of", f"there is no item, wire or nearby wire '{reading.of}'")
        datum = job.item_by_id.get(reading.datum)
        if reading.datum != "job" and (datum is None or datum.kind != "pole"):
            yield Fault(f"{place}.datum", f"'{reading.datum}' is no pole; say a pole's id or 'job'")
    for index, step in enumerate(job.steps):
        for name in step.moves:
            if name not in job.thing_by_id:
                yield Fault(f"steps[{index}] '{step.id}'.moves", f"there is nothing named '{name}'")
        if step.to and len(step.to) != len(step.moves):
            problem = "has a number for each of its moves, or none"
            yield Fault(f"steps[{index}] '{step.id}'.to", problem)
        for name, to in step.goes:
            moved = job.thing_by_id.get(name)
            if moved is not None and to is not None and to > len(moved.places):
                problem = f"'{name}' has {len(moved.places)} places, so none numbered {to}"
                yield Fault(f"steps[{index}] '{step.id}'.to", problem)
        for number, worker in enumerate(step.workers):
            place = f"steps[{index}] '{step.id}'.workers[{number}]"
            on = job.item_by_id.get(worker.pole)
            if on is None or on.kind != "pole":
                yield Fault(f"{place}.pole", f"'{worker.pole}' is no pole; say a pole's id")
            if worker.at not in ("", "ground", *nearby) and worker.at not in job.thing_by_id:
                yield Fault(f"{place}.at", f"there is no wire or item '{worker.at}'")
    for index, one in enumerate(job.revisions):
        if one.number != index + 1:
            yield Fault(f"revisions[{index}].number", f"expected {index + 1}, got {one.number}")
    for index, hold in enumerate(job.holds):
        if hold.circuit not in job.circuit_by_id:
            yield Fault(f"holds[{index}].circuit", f"there is no circuit '{hold.circuit}'")


def _links(job: Job) -> Iterator[Fault]:
    for index, link in enumerate(job.links):
        for name in (link.follower, link.leader):
            item = job.item_by_id.get(name)
            if item is None or item.kind == "pole":
                yield Fault(f"links[{index}]", f"there is no item '{name}' that is fixed to a pole")
    for index, follower, problem in contradictions(job.links):
        yield Fault(f"links[{index}]", f"'{follower}' {problem}")


def _rings(job: Job) -> Iterator[Fault]:
    """Hosts that, followed up, lead back to where they began."""
    hosts = {
        thing.id: {host for where in thing.places if (host := host_of(where)) is not None}
        for _, thing in _placed(job)
    }
    settled: set[str] = set()
    for start in hosts:
        path: list[str] = []
        trail: list[Iterator[str]] = [iter((start,))]
        on_path: set[str] = set()
        while trail:
            following = next(trail[-1], None)
            if following is None:
                trail.pop()
                if path:
                    done = path.pop()
                    on_path.discard(done)
                    settled.add(done)
                continue
            if following in on_path:
                yield Fault(f"'{following}'", "it is held up by itself, through its hosts")
                return
            if following in settled or following not in hosts:
                continue
            path.append(following)
            on_path.add(following)
            trail.append(iter(sorted(hosts[following])))
