"""Edits that bring things in and take them out."""

from __future__ import annotations

from msgspec.structs import replace

from framer.edits.places import with_thing
from framer.errors import EditError
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import (
    AnyPlace,
    Guyed,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Same,
    Standing,
    Undecided,
)
from framer.model.stage import host_of, is_undecided, place_at
from framer.stock.catalogue import GOES_ON, catalogue
from framer.stock.part import AnyPart, ArmPart, InsulatorPart
from framer.units.compare import HAIR_IN


def new_id(job: Job, kind: str) -> str:
    """An id of the form kind-number that nothing in the job has."""
    stem = kind.replace(" ", "-")
    taken = {*job.thing_by_id, *job.circuit_by_id, *job.span_by_id}
    taken.update(near.id for near in job.nearby)
    taken.update(limit.id for limit in job.limits)
    taken.update(step.id for step in job.steps)
    number = 1
    while f"{stem}-{number}" in taken:
        number += 1
    return f"{stem}-{number}"


def add_part(job: Job, part: str, where: AnyPlace, name: str = "") -> tuple[Job, str]:
    """The job with one more item from stock, and its id.

    Raises:
        EditError: there is no such part, or its host is not in the job.
    """
    stock = catalogue().get(part)
    if stock is None or stock.kind == "wire":
        raise EditError(f"there is no stock part '{part}' that can be placed")
    host = host_of(where)
    if host is not None and host not in job.item_by_id:
        raise EditError(f"there is nothing named '{host}' to put it on")
    key = new_id(job, stock.kind)
    item = Item(key, stock.kind, (where,), part=part, name=name)  # type: ignore[arg-type]
    return replace(job, items=(*job.items, item)), key


def put_part(job: Job, part: str, where: AnyPlace, name: str = "") -> tuple[Job, str]:
    """The job with one more item from stock and what that part brings, and the id of the item.

    An arm brings its braces; its bolt, washers and an insulator's pin are data of the part itself.

    Raises:
        EditError: as for `add_part`.
    """
    job, key = add_part(job, part, where, name)
    for brought in catalogue()[part].brings:
        kind = catalogue()[brought].kind
        on = place_on(job, brought, key)
        job, _ = add_part(job, brought, on, f"{job.label(key)} {kind}")
    return job, key


def put_on(job: Job, part: str, host: str, where: AnyPlace | None = None) -> tuple[Job, str]:
    """The job with a part from stock put on a thing that is there as framed, and its id.

    Where nobody says where on it, it takes the place that `place_on` gives.

    Raises:
        EditError: the thing is not there, nobody has decided about it, or the part does not go
            on such a thing.
    """
    item = host_for(job, part, host)
    kind = catalogue()[part].kind
    number = new_id(job, kind).rpartition("-")[2]
    where = where or place_on(job, part, item.id)
    return put_part(job, part, where, f"{kind.capitalize()} {number}")


def was_found_on(job: Job, host: str) -> bool:
    """Whether what is put on a thing was found there: it was found, and as framed it is gone."""
    item = job.item_by_id.get(host)
    if item is None or item.places[0].when != "found":
        return False
    return is_undecided(item) or isinstance(place_at(job, item, "framed"), Removed)


def set_part(job: Job, key: str, part: str) -> Job:
    """The job with an item or wire that is this part from stock; where it is stays as it is.

    Raises:
        EditError: there is no such thing, it is of another kind, is that part already, or what it
            carries would have no place on that part.
    """
    thing = job.item_by_id.get(key) or job.wire_by_id.get(key)
    stock = catalogue().get(part)
    if thing is None:
        raise EditError(f"{job.label(key)} is no part from stock")
    if stock is None:
        raise EditError(f"there is no stock part '{part}'")
    kind = thing.kind if isinstance(thing, Item) else "wire"
    if stock.kind != kind:
        raise EditError(f"{job.label(key)} is {_a(kind)}, and {stock.name} is {_a(stock.kind)}")
    if thing.part == part:
        raise EditError(f"{job.label(key)} is {stock.name} already")
    for other in job.placed():
        for where in other.places:
            if host_of(where) == key and (why := _no_place(where, stock)):
                raise EditError(f"{job.label(other.id)} {why} of {stock.name}: move it first")
    return with_thing(job, replace(thing, part=part))


def _no_place(where: AnyPlace, stock: AnyPart) -> str:
    """Why a place on an item would be none on this part; empty where it would be one."""
    if isinstance(where, OnArm) and isinstance(stock, ArmPart):
        past = abs(where.along_in - stock.middle_in) > stock.length_in / 2.0 + HAIR_IN
        return "would be past the end" if past else ""
    if isinstance(where, OnItem) and isinstance(stock, InsulatorPart):
        return "rests on a place too many" if where.position >= len(stock.levels_in) else ""
    return ""


def as_it_stays(job: Job) -> Job:
    """The job if all that was found stayed as it was found, and nothing was decided yet."""
    stays = (
        replace(item, places=(item.places[0], Same(when="after")))
        if item.places[0].when == "found"
        else item
        for item in job.items
    )
    return replace(job, items=tuple(stays))


def put_found(job: Job, part: str, host: str, where: AnyPlace | None = None) -> tuple[Job, str]:
    """The job with a part on a thing as it was found, and its id.

    How high on the pole it was found is not known until it is read or typed, and nobody has said
    yet what becomes of it.

    Raises:
        EditError: as for `put_on`.
    """
    made, key = put_on(as_it_stays(job), part, host, where)
    found = (
        replace(item, places=(_as_found(item.places[0]), Undecided(when="after")))
        for item in made.items
        if item.id not in job.item_by_id
    )
    return replace(job, items=(*job.items, *found)), key


def _as_found(where: AnyPlace) -> AnyPlace:
    """A place as one of the survey: a height that nobody read is not known."""
    if isinstance(where, OnPole):
        return replace(where, when="found", at_in=None, to_in=None)
    if isinstance(where, Guyed):
        return replace(where, when="found", at_in=None)
    return replace(where, when="found")


def host_for(job: Job, part: str, host: str) -> Item:
    """The thing with an id, as one that a part can be put on.

    Raises:
        EditError: as for `put_on`.
    """
    if not host:
        raise EditError("select first what it goes on: the pole, an arm, or an item")
    item = job.item_by_id.get(host)
    if item is None:
        raise EditError(f"nothing is put on {job.label(host)}; select the pole, an arm or an item")
    where = place_at(job, item, "framed")
    if where is None or isinstance(where, Removed):
        raise EditError(f"{job.label(host)} is not there as framed")
    if is_undecided(item):
        raise EditError(f"say first what becomes of {job.label(host)}")
    kind = catalogue()[part].kind
    takes = GOES_ON.get(kind)
    if takes is not None and item.kind not in takes:
        raise EditError(f"{_a(kind)} goes on {' or '.join(_a(one) for one in takes)}")
    return item


def _a(kind: str) -> str:
    """The kind with its article."""
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def add_pole(job: Job, facts: PoleFacts, where: Standing, name: str = "") -> tuple[Job, str]:
    """The job with one more pole, and its id."""
    key = new_id(job, "pole")
    item = Item(key, "pole", (where,), pole=facts, name=name)
    return replace(job, items=(*job.items, item)), key


def carried_by(job: Job, key: str) -> set[str]:
    """Ids of all items that only ever sit on this one, and on those, and so on."""
    found = {key}
    grown = True
    while grown:
        more = {
            item.id
            for item in job.items
            if item.id not in found and (hosts := _hosts(item)) and hosts <= found
        }
        grown = bool(more)
        found |= more
    return found - {key}


def _hosts(thing: Item | Wire) -> set[str]:
    """Ids of all it sits on at some time."""
    return {host for at in thing.places if (host := host_of(at)) is not None}


def delete(job: Job, key: str) -> Job:
    """The job without one thing, without the items that only ever sit on it, and all mention.

    Where something else sat on what is deleted nobody has decided yet: a thing found elsewhere, or
    a wire, is deleted only by name.

    Raises:
        EditError: there is nothing with this id.
    """
    if key not in job.thing_by_id:
        raise EditError(f"there is nothing named '{key}'")
    gone = {key} | carried_by(job, key)
    gone |= {join.id for join in job.joins if {join.a, join.b} & gone}
    lost = [thing for thing in job.placed() if thing.id not in gone and _hosts(thing) & gone]
    for thing in lost:
        places = tuple(
            Undecided(when=at.when) if host_of(at) in gone else at for at in thing.places
        )
        job = with_thing(job, replace(thing, places=places))
    return replace(
        job,
        items=tuple(
            replace(item, replaces=None) if item.replaces in gone else item
            for item in job.items
            if item.id not in gone
        ),
        wires=tuple(wire for wire in job.wires if wire.id not in gone),
        joins=tuple(join for join in job.joins if join.id not in gone),
        links=tuple(link for link in job.links if not {link.follower, link.leader} & gone),
        readings=tuple(
            reading
            for reading in job.readings
            if reading.of not in gone and reading.datum not in gone
        ),
        steps=tuple(step.without(gone) for step in job.steps),
    )


def place_on(job: Job, part: str, host: str) -> AnyPlace:
    """The place a stock part takes when it is put on a host and nobody says where exactly.

    An insulator goes on the first free pin of an arm; what goes on a pole starts a foot below the
    lowest thing on it.

    Raises:
        EditError: the part cannot go on that host.
    """
    stock = catalogue().get(part)
    item = job.item_by_id.get(host)
    if stock is None or item is None:
        raise EditError(f"there is no stock part '{part}' or nothing named '{host}'")
    if item.kind == "arm":
        if stock.kind == "brace":
            return OnItem(when="after", host=host)
        return OnArm(when="after", host=host, along_in=free_pin(job, item))
    if item.kind != "pole":
        return OnItem(when="after", host=host)
    if stock.kind == "brace":
        raise EditError("a brace goes on an arm: select the arm first")
    heights = [
        at.at_in
        for other in job.items
        if isinstance(at := place_at(job, other, "framed"), OnPole)
        and at.host == host
        and at.hold == "height"
        and at.at_in
    ]
    height = max(12.0, min(heights, default=372.0) - 12.0)
    if stock.kind == "guy":
        return Guyed(when="after", host=host, at_in=height, lead_in=180.0)
    if stock.kind in ("riser", "ground wire"):
        return OnPole(when="after", host=host, at_in=0.0, to_in=height)
    return OnPole(when="after", host=host, at_in=height)


def free_pin(job: Job, arm: Item) -> float:
    """The first pin of an arm nothing is on as framed; the bolt when none is free."""
    stock = catalogue().get(arm.part or "")
    pins = stock.pins_in if isinstance(stock, ArmPart) else ()
    taken = {
        at.along_in
        for item in job.items
        if isinstance(at := place_at(job, item, "framed"), OnArm) and at.host == arm.id
    }
    return next((pin for pin in pins if pin not in taken), 0.0)
