"""Copies of things: taken out of a job as a small job of their own, and put into any job.

A copied fragment is a sound job: the things, what holds them, and the circuits they name. Its only
step names what was copied; what else is in it only says what the copies were fixed to.
"""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from framer.edits.places import current_place
from framer.edits.things import free_pin, new_id
from framer.errors import EditError
from framer.geometry.pole import PoleSolid, pole_solid
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit
from framer.model.place import AnyPlace, Guyed, OnArm, OnItem, OnPole, Removed, Standing
from framer.model.stage import host_of, is_undecided, place_at, pole_at
from framer.model.step import Step

STEP = "copied"
"""Id of the step of a fragment that names what was copied."""

BELOW_IN, BESIDE_DEG = 12.0, 45.0
"""A copy that would lie in its original goes this far below it, or this far round the pole."""

_MOST_TRIES = 100
_NEAR_IN = 1.0


def copied(job: Job, keys: Iterable[str]) -> Job:
    """The fragment with the items of these ids as framed, and the items they carry.

    Raises:
        EditError: there is no item among them, it is a pole, or it is not there as framed.
    """
    chosen = [key for key in dict.fromkeys(keys) if key in job.item_by_id]
    if not chosen:
        raise EditError("select what is to be copied: arms, insulators, equipment, guys")
    for key in chosen:
        if job.item_by_id[key].kind == "pole":
            raise EditError(f"{job.label(key)} is a pole; copy what is on it")
    taken = _with_carried(job, chosen)
    hosts: list[str] = []
    for key in taken:
        above = host_of(place_at(job, job.item_by_id[key], "framed"))
        while above is not None and above in job.item_by_id:
            if above not in taken and above not in hosts:
                hosts.append(above)
            above = host_of(place_at(job, job.item_by_id[above], "framed"))
    items = [_as_new(job, key) for key in (*hosts, *taken)]
    named = {item.circuit for item in items}
    return Job(
        f"copied from {job.title}"[:200],
        settings=job.settings,
        circuits=tuple(circuit for circuit in job.circuits if circuit.id in named),
        items=tuple(items),
        steps=(Step(STEP, "what was copied", moves=tuple(taken)),),
    )


def copied_keys(fragment: Job) -> tuple[str, ...]:
    """Ids of the things of a fragment that were copied.

    Raises:
        EditError: the job is no fragment.
    """
    step = next((step for step in fragment.steps if step.id == STEP), None)
    if step is None or not step.moves:
        raise EditError("that holds no copied things")
    return step.moves


def pasted(job: Job, fragment: Job, onto: str = "") -> tuple[Job, tuple[str, ...]]:
    """The job with the things of a fragment as new ones, and their ids.

    What was on a pole goes on the pole `onto`, or the one that carries `onto`; what was on an arm
    that was not copied goes on the arm `onto`. Without it they go where they were, if that is
    there, else on the one new pole. On a pole of another height they keep their distance below its
    finished top, as heads are framed from the top down. A spot that is taken makes way: a foot
    lower, the next free pin, or further round.

    Raises:
        EditError: there is nothing to put them on, or they would be off it.
    """
    keys = copied_keys(fragment)
    wanted = [item for item in _hosts_first(fragment) if item.id in keys]
    made: dict[str, str] = {}
    for item in wanted:
        where = place_at(fragment, item, "framed")
        host = host_of(where)
        if where is None or host is None:
            raise EditError(f"{fragment.label(item.id)} cannot be pasted")
        on = made.get(host) or _host(job, fragment, host, onto, item)
        key = new_id(job, item.kind)
        here = _as_deep(job, fragment, replace(where, host=on, when="after"), host)
        place = _made_way(job, item, here, new=host in made)
        job, circuit = _with_circuit(job, fragment, item.circuit)
        copy = replace(
            item,
            id=key,
            places=(place,),
            name=free_name(job, item.name),
            circuit=circuit,
            replaces=None,
        )
        job = replace(job, items=(*job.items, copy))
        made[item.id] = key
    return job, tuple(made[key] for key in keys)


def duplicated(job: Job, keys: Iterable[str]) -> tuple[Job, tuple[str, ...]]:
    """The job with things once more beside themselves, and the ids of the new ones.

    Raises:
        EditError: as for `copied` and `pasted`.
    """
    return pasted(job, copied(job, keys))


def free_name(job: Job, name: str) -> str:
    """The name, or with the first number at which no item of the job has it."""
    taken = {item.name for item in job.items}
    if not name or name not in taken:
        return name
    stem, _, last = name.rpartition(" ")
    if stem and last.isdigit():
        name = stem
    number = 2
    while f"{name} {number}" in taken:
        number += 1
    return f"{name} {number}"


def _with_carried(job: Job, keys: list[str]) -> list[str]:
    """These items and all that sit on them as framed, hosts before what they carry."""
    taken = dict.fromkeys(keys)
    grown = True
    while grown:
        more = [
            item.id
            for item in job.items
            if item.id not in taken
            and not is_undecided(item)
            and host_of(place_at(job, item, "framed")) in taken
        ]
        grown = bool(more)
        taken.update(dict.fromkeys(more))
    return list(taken)


def _as_new(job: Job, key: str) -> Item:
    """An item with its framed place as its only one."""
    item = job.item_by_id[key]
    where = current_place(job, key, "framed")
    if isinstance(where, Removed):
        raise EditError(f"{job.label(key)} is not there as framed")
    if isinstance(where, OnPole | Guyed) and where.at_in is None:
        raise EditError(f"the height of {job.label(key)} is not known")
    return replace(item, places=(replace(where, when="after", by="crew"),), replaces=None)


def _hosts_first(fragment: Job) -> list[Item]:
    ready: list[Item] = []
    names: set[str] = set()
    waiting = list(fragment.items)
    while waiting:
        now = [item for item in waiting if (host_of(item.places[0]) or "") in names | {""}]
        if not now:
            raise EditError("the copied things hold each other up")
        ready.extend(now)
        names.update(item.id for item in now)
        waiting = [item for item in waiting if item.id not in names]
    return ready


def _host(job: Job, fragment: Job, host: str, onto: str, item: Item) -> str:
    """What a copy goes on in the job, in the place of what the original was on."""
    was = fragment.item_by_id[host]
    chosen = job.item_by_id.get(onto)
    if chosen is not None and chosen.kind == was.kind and _is_there(job, chosen):
        return chosen.id
    if was.kind == "pole" and onto in job.thing_by_id:
        pole = pole_at(job, job.item_by_id.get(onto) or job.wire_by_id[onto], "framed")
        if pole is not None and _is_there(job, job.item_by_id[pole]):
            return pole
    same = job.item_by_id.get(host)
    if same is not None and (same.kind, same.name) == (was.kind, was.name) and _is_there(job, same):
        return same.id
    if was.kind == "pole":
        poles = [one for one in job.items if one.kind == "pole" and _is_there(job, one)]
        new = [pole for pole in poles if pole.places[0].when != "found"] or poles
        if len(new) == 1:
            return new[0].id
    article = "an" if was.kind[0] in "aeiou" else "a"
    label = fragment.label(item.id)
    raise EditError(f"{label} was on {article} {was.kind}: select the {was.kind} it goes on")


def _is_there(job: Job, item: Item) -> bool:
    where = place_at(job, item, "framed")
    if item.kind == "pole":
        return isinstance(where, Standing)
    return where is not None and not isinstance(where, Removed) and not is_undecided(item)


def _as_deep(job: Job, fragment: Job, where: AnyPlace, was_on: str) -> AnyPlace:
    """The place as far below the finished top of its new pole as it was below that of the old one.

    A run along the pole begins where it began; where a top is not known the place is as it was.
    """
    if not isinstance(where, OnPole | Guyed) or where.at_in is None:
        return where
    if isinstance(where, OnPole) and where.to_in is not None:
        return where
    old, new = _solid(fragment, was_on), _solid(job, where.host)
    up = old.up(where.hold, where.at_in) if old else None
    drop = old.at("drop", up) if old and up is not None else None
    at = new.up("drop", drop) if new and drop is not None else None
    held = new.at(where.hold, at) if new and at is not None else None
    return where if held is None else replace(where, at_in=held)


def _solid(job: Job, key: str) -> PoleSolid | None:
    pole = job.item_by_id.get(key)
    standing = place_at(job, pole, "framed") if pole else None
    return pole_solid(job, pole, standing) if pole and isinstance(standing, Standing) else None


def _made_way(job: Job, item: Item, where: AnyPlace, *, new: bool) -> AnyPlace:
    """The place, or the nearest like it where nothing of the same kind is."""
    if new or isinstance(where, OnItem):
        return where
    if isinstance(where, OnArm):
        others = _others(job, item, where)
        beside = {round(at.along_in, 3) for at in others if isinstance(at, OnArm)}
        if round(where.along_in, 3) not in beside:
            return where
        return replace(where, along_in=free_pin(job, job.item_by_id[where.host]))
    if not isinstance(where, OnPole | Guyed):
        return where
    around = _others(job, item, where)
    for _ in range(_MOST_TRIES):
        if not any(_in_the_same_spot(where, at) for at in around):
            break
        if isinstance(where, OnPole) and where.to_in is None:
            down = BELOW_IN if where.hold == "drop" else -BELOW_IN
            where = replace(where, at_in=(where.at_in or 0.0) + down)
        else:
            where = replace(where, azimuth_deg=(where.azimuth_deg + BESIDE_DEG) % 360.0)
    _refuse_off_the_pole(job, item, where)
    return where


def _others(job: Job, item: Item, where: OnPole | OnArm | Guyed) -> list[OnPole | OnArm | Guyed]:
    """Framed places on the same host of things of the same kind; on an arm of any."""
    found = []
    for other in job.items:
        at = place_at(job, other, "framed")
        like = other.kind == item.kind or isinstance(where, OnArm)
        if like and isinstance(at, OnPole | OnArm | Guyed) and at.host == where.host:
            found.append(at)
    return found


def _in_the_same_spot(where: OnPole | Guyed, at: AnyPlace) -> bool:
    if not isinstance(at, OnPole | Guyed) or where.at_in is None or at.at_in is None:
        return False
    round_off = abs((where.azimuth_deg - at.azimuth_deg + 180.0) % 360.0 - 180.0)
    # places held otherwise are told apart by the rules, not here
    level = where.hold == at.hold and abs(where.at_in - at.at_in) < _NEAR_IN
    return level and round_off < 1.0


def _refuse_off_the_pole(job: Job, item: Item, where: OnPole | Guyed) -> None:
    solid = _solid(job, where.host)
    if solid is None or where.at_in is None:
        raise EditError(f"{job.label(where.host)} is not standing as framed")
    up = solid.up(where.hold, where.at_in)
    label = item.name or item.id
    if up is not None and solid.top_up_in is not None and up > solid.top_up_in + 1e-6:
        raise EditError(f"{label} would be above the top of {job.label(where.host)}")
    if up is not None and up < -1e-6:
        raise EditError(f"{label} would be below the ground line of {job.label(where.host)}")


def _with_circuit(job: Job, fragment: Job, key: str | None) -> tuple[Job, str | None]:
    """The job with a circuit of the fragment, and its id here; one of the same name is it."""
    if key is None:
        return job, None
    circuit: Circuit = fragment.circuit_by_id[key]
    here = job.circuit_by_id.get(key)
    if here is not None and here.name == circuit.name:
        return job, key
    named = next((one for one in job.circuits if one.name == circuit.name), None)
    if named is not None:
        return job, named.id
    new = key if here is None and not _is_taken(job, key) else new_id(job, "circuit")
    return replace(job, circuits=(*job.circuits, replace(circuit, id=new))), new


def _is_taken(job: Job, key: str) -> bool:
    groups = (job.circuits, job.spans, job.nearby, job.limits, job.steps)
    return key in job.thing_by_id or any(one.id == key for group in groups for one in group)
