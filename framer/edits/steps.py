"""Edits of the steps of the transfer. They prescribe no order; what one does is told elsewhere."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from framer.edits.places import with_thing
from framer.edits.things import new_id
from framer.errors import EditError
from framer.model.item import Item, ItemKind
from framer.model.job import Job, Thing
from framer.model.line import Join, Wire
from framer.model.place import AnyPlace, OnItem, Removed, Same, Undecided
from framer.model.stage import chain_index, fate, host_of, pole_at
from framer.model.step import Step, StepKind
from framer.stock.steps import Going, PatternStep, StepPattern, Taken


def step_number(job: Job, key: str) -> int:
    """The number of a step, counted from 1.

    Raises:
        EditError: there is none with this id.
    """
    for number, step in enumerate(job.steps, start=1):
        if step.id == key:
            return number
    raise EditError(f"there is no step '{key}'")


def pinned(job: Job) -> Job:
    """The job with every move bound to the place of its chain that it goes to now.

    So the steps mean the same when their order changes.
    """
    if all(len(step.to) == len(step.moves) for step in job.steps):
        return job
    at: dict[str, int] = {}
    steps = []
    for step in job.steps:
        goes = []
        for key, to in step.goes:
            now = at.get(key, chain_index(job, job.thing_by_id[key], "found"))
            at[key] = now + 1 if to is None else to - 1
            goes.append((key, at[key] + 1))
        steps.append(step.moving(goes))
    last = {key: len(job.thing_by_id[key].places) for key in at}
    for step in steps:
        for key, to in step.goes:
            if to is None or to > last[key]:
                raise EditError(f"a step moves {job.label(key)} past its last place")
    return replace(job, steps=tuple(steps))


def insert_step(
    job: Job, number: int, title: str, kind: StepKind = "other", moves: Iterable[str] = ()
) -> tuple[Job, str]:
    """The job with a new step that is the step of this number, and its id.

    What it moves goes to its next place.

    Raises:
        EditError: something it moves has no further place.
    """
    job = pinned(job)
    key = new_id(job, "step")
    at = min(max(number, 1), len(job.steps) + 1) - 1
    steps = (*job.steps[:at], Step(key, title, kind=kind), *job.steps[at:])
    return add_moves(replace(job, steps=steps), key, moves), key


def remove_step(job: Job, key: str) -> Job:
    """The job without a step; what it moved is moved by no step then.

    Raises:
        EditError: there is no such step.
    """
    step_number(job, key)
    return replace(job, steps=tuple(step for step in pinned(job).steps if step.id != key))


def move_step(job: Job, key: str, number: int) -> Job:
    """The job with a step put in another place of the order, as the step of this number.

    Every move still goes to the same place of its chain: an order in which it cannot is reported.

    Raises:
        EditError: there is no such step.
    """
    job = pinned(job)
    step = job.steps[step_number(job, key) - 1]
    rest = [one for one in job.steps if one.id != key]
    rest.insert(min(max(number, 1), len(job.steps)) - 1, step)
    return replace(job, steps=tuple(rest))


def split_step(job: Job, key: str, later: Iterable[str], title: str = "") -> tuple[Job, str]:
    """The job with some moves of a step in a step of their own right after it, and its id.

    Raises:
        EditError: there is no such step, or it does not move one of these, or nothing else.
    """
    job = pinned(job)
    number = step_number(job, key)
    step, wanted = job.steps[number - 1], set(later)
    if not wanted or not wanted < set(step.moves):
        raise EditError("choose some of what the step moves, not all of it")
    second = replace(
        step.moving(go for go in step.goes if go[0] in wanted),
        id=new_id(job, "step"),
        title=title or f"{step.title}, continued",
    )
    first = step.moving(go for go in step.goes if go[0] not in wanted)
    first = replace(first, crew_leaves=False)
    steps = (*job.steps[: number - 1], first, second, *job.steps[number:])
    return replace(job, steps=steps), second.id


def set_step(job: Job, key: str, **changes: Any) -> Job:
    """The job with the title, kind, doer, note, workers or the leaving of a step changed.

    Raises:
        EditError: there is no such step, or its title would be empty.
    """
    number = step_number(job, key)
    if not changes.get("title", "-").strip():
        raise EditError("a step needs a title")
    return _with_step(job, replace(job.steps[number - 1], **changes))


def add_moves(job: Job, key: str, moves: Iterable[str]) -> Job:
    """The job with more things moved by a step, each to the place after the one it has there.

    Raises:
        EditError: there is no such step or thing, or a thing has no further place.
    """
    job = pinned(job)
    number = step_number(job, key)
    step = job.steps[number - 1]
    goes = list(step.goes)
    for name in moves:
        thing = job.thing_by_id.get(name)
        if thing is None:
            raise EditError(f"there is nothing named '{name}'")
        to = chain_index(job, thing, number) + 1
        if to >= len(thing.places):
            raise EditError(f"{job.label(name)} has no place to go on to")
        goes.append((name, to + 1))
    return _with_step(job, step.moving(goes))


def remove_moves(job: Job, key: str, moves: Iterable[str]) -> Job:
    """The job with things that a step moves no longer moved by it.

    Raises:
        EditError: there is no such step.
    """
    job, gone = pinned(job), set(moves)
    step = job.steps[step_number(job, key) - 1]
    return _with_step(job, step.moving(go for go in step.goes if go[0] not in gone))


def add_place_between(job: Job, key: str, where: AnyPlace) -> Job:
    """The job with one more place between found and framed for an item or wire, its last so far.

    No step brings it there yet; steps that bring it on still do.

    Raises:
        EditError: there is no such item or wire.
    """
    thing: Item | Wire | None = job.item_by_id.get(key) or job.wire_by_id.get(key)
    if thing is None:
        raise EditError(f"there is no item or wire '{key}'")
    job = pinned(job)
    count = sum(place.when in ("found", "temporary") for place in thing.places)
    places = (*thing.places[:count], replace(where, when="temporary"), *thing.places[count:])
    return with_thing(_shifted(job, key, count + 1, 1), replace(thing, places=places))


def rest_on(job: Job, key: str, wires: Iterable[str], host: str, position: int = 0) -> Job:
    """The job with a step that rests wires on another support, from where later steps go on.

    Raises:
        EditError: there is no such step, wire or support, the step moves one of the wires already,
            or one has another place to go to first.
    """
    if host not in job.item_by_id:
        raise EditError(f"there is no item '{host}'")
    for wire in wires:
        number = step_number(job, key)
        if wire in job.steps[number - 1].moves:
            raise EditError(f"this step moves {job.label(wire)} already: take that out first")
        job = add_place_between(job, wire, OnItem(when="temporary", host=host, position=position))
        job = add_moves(job, key, (wire,))
        thing = job.wire_by_id[wire]
        later = thing.places[chain_index(job, thing, number) + 1 :]
        if any(where.when == "temporary" for where in later):
            raise EditError(f"{job.label(wire)} has another place to go to first")
    return job


def remove_place_between(job: Job, key: str, number: int) -> Job:
    """The job without one of the places between of an item or wire, the first place being 1.

    The step that brought it there no longer moves it.

    Raises:
        EditError: that is no place between.
    """
    thing: Item | Wire | None = job.item_by_id.get(key) or job.wire_by_id.get(key)
    if thing is None or not 1 <= number <= len(thing.places):
        raise EditError(f"{job.label(key)} has no place {number}")
    if thing.places[number - 1].when != "temporary" or len(thing.places) == 1:
        raise EditError(f"place {number} of {job.label(key)} is none between found and framed")
    job = pinned(job)
    steps = tuple(step.moving(go for go in step.goes if go != (key, number)) for step in job.steps)
    job = _shifted(replace(job, steps=steps), key, number + 1, -1)
    places = (*thing.places[: number - 1], *thing.places[number:])
    return with_thing(job, replace(thing, places=places))


def _shifted(job: Job, key: str, first: int, by: int) -> Job:
    """The job with the numbers of a thing's places, from one on, changed in the steps."""
    steps = tuple(
        step.moving(
            (name, to + by if name == key and to is not None and to >= first else to)
            for name, to in step.goes
        )
        for step in job.steps
    )
    return replace(job, steps=steps)


def _with_step(job: Job, changed: Step) -> Job:
    return replace(job, steps=tuple(changed if s.id == changed.id else s for s in job.steps))


class _Move(Struct, frozen=True):
    """A move of a thing's chain: to which place, the first being 1, and what kind of move."""

    thing: Thing
    to: int
    going: Going
    by: str


def from_pattern(job: Job, pattern: StepPattern) -> Job:
    """The job with the steps a pattern makes of its things, in place of the steps it has.

    Only moves that a chain has become part of a step, each after those before it in the chain;
    cover that is moved on the way goes with the wire it covers;
    a step of the pattern that would move nothing is left out. What no step takes is left over,
    and the check of the transfer says so.
    """
    job = replace(job, steps=())
    waiting = {thing.id: list(_moves(thing)) for thing in job.things()}
    steps: list[Step] = []
    for asked in pattern.step:
        ready = [
            moves[0]
            for moves in waiting.values()
            if moves and moves[0].going == asked.going and _takes(job, asked, moves[0])
        ]
        for move in ready:
            waiting[move.thing.id].pop(0)
        for group in _groups(ready) if asked.each else [ready] if ready else []:
            name = job.label(group[0].thing.id)
            group.extend(_cover_along(waiting, group))
            steps.append(
                Step(
                    f"step-{len(steps) + 1}",
                    asked.title.replace("{name}", name),
                    asked.by,
                    tuple(move.thing.id for move in group),
                    kind=asked.kind,
                    crew_leaves=asked.crew_leaves,
                    to=tuple(move.to for move in group),
                )
            )
    taken = {*job.thing_by_id, *job.circuit_by_id, *job.span_by_id}
    if taken & {step.id for step in steps}:
        steps = [replace(step, id=f"transfer-{step.id}") for step in steps]
    return _with_last_wire(replace(job, steps=tuple(steps)))


def _cover_along(waiting: dict[str, list[_Move]], group: Sequence[_Move]) -> list[_Move]:
    """Moves of cover that goes with wires of a group onto what they are moved onto."""
    onto = {_host(move.thing, move.to - 1) for move in group if isinstance(move.thing, Wire)}
    going = []
    for moves in waiting.values():
        move = moves[0] if moves else None
        if move is None or not isinstance(move.thing, Item) or move.thing.kind != "cover":
            continue
        if move.going == "between" and host_of(move.thing.places[move.to - 1]) in onto:
            going.append(moves.pop(0))
    return going


def _moves(thing: Thing) -> Iterator[_Move]:
    """The moves of a chain that change anything, in its order."""
    found = bool(thing.places) and thing.places[0].when == "found"
    for index, where in enumerate(thing.places):
        if (index == 0 and found) or isinstance(where, Same | Undecided):
            continue
        gone = isinstance(where, Removed) or getattr(where, "made", "") == "open"
        going: Going = "after"
        if gone:
            going = "leaves"
        elif index == 0:
            going = "comes"
        elif where.when == "temporary":
            going = "between"
        yield _Move(thing, index + 1, going, where.by)


_KINDS: dict[ItemKind, Taken] = {
    "cover": "cover",
    "arm": "arm",
    "brace": "arm",
    "insulator": "insulator",
    "bracket": "insulator",
    "attachment": "insulator",
    "guy": "guy",
    "transformer": "equipment",
    "cutout": "equipment",
    "arrester": "equipment",
    "equipment": "equipment",
    "riser": "equipment",
    "ground wire": "equipment",
    "lamp": "equipment",
    "lift": "temporary support",
}

_HOLDS = ("arm", "insulator")
"""What may be a temporary support."""


def _takes(job: Job, asked: PatternStep, move: _Move) -> bool:
    others = move.by == "others"
    return _taken(job, move.thing) in asked.takes and others == (asked.by == "others")


def _taken(job: Job, thing: Thing) -> Taken:
    if isinstance(thing, Join):
        return "jumper"
    if isinstance(thing, Wire):
        if job.circuit_by_id[thing.circuit].kind == "communications":
            return "communications"
        if thing.phase == "N":
            return "neutral"
        return "phase" if thing.phase in ("A", "B", "C") else "secondary"
    if thing.kind == "pole":
        return "old pole" if thing.places[0].when == "found" else "new pole"
    kind = _KINDS[thing.kind]
    return "temporary support" if kind in _HOLDS and fate(job, thing) == "temporary" else kind


def _groups(moves: Sequence[_Move]) -> list[list[_Move]]:
    """Things by themselves, but wires of one conductor together."""
    groups: dict[object, list[_Move]] = {}
    for move in moves:
        thing = move.thing
        key: object = thing.id
        if isinstance(thing, Wire):
            hosts = [_host(thing, index) for index in (move.to - 2, move.to - 1)]
            key = (thing.circuit, thing.phase, *hosts)
        groups.setdefault(key, []).append(move)
    return list(groups.values())


def _host(thing: Wire, index: int) -> str | None:
    return host_of(thing.places[index]) if index >= 0 else None


def _with_last_wire(job: Job) -> Job:
    """The job with the crew's step that takes the last wire off a pole called that."""
    for number in range(len(job.steps), 0, -1):
        step = job.steps[number - 1]
        wires = [job.wire_by_id[key] for key in step.moves if key in job.wire_by_id]
        if step.by == "crew" and any(
            (pole := pole_at(job, wire, number - 1)) is not None
            and pole != pole_at(job, wire, number)
            and pole == pole_at(job, wire, "found")
            for wire in wires
        ):
            return _with_step(job, replace(step, kind="last wire"))
    return job
