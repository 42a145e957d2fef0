"""Edits of several things at once: moved, mirrored, deleted, and which make one level."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from framer.edits.places import current_place, set_along_arm, set_along_pole, set_azimuth
from framer.edits.things import delete
from framer.errors import EditError
from framer.geometry.spot import Spots
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import Guyed, OnArm, OnItem, OnPole, Removed
from framer.model.stage import host_of, place_at

LEVEL_IN = 1.0
"""Things on a pole whose bolts are this near to one height are one level."""


def carrier(job: Job, key: str) -> str:
    """What is moved when a thing is: what a wire or a brace rests on, else the thing itself."""
    seen = {key}
    while True:
        thing: Item | Wire | None = job.item_by_id.get(key) or job.wire_by_id.get(key)
        where = place_at(job, thing, "framed") if thing else None
        if not isinstance(where, OnItem) or where.host in seen:
            return key
        key = where.host
        seen.add(key)


def movers(job: Job, keys: Iterable[str]) -> tuple[str, ...]:
    """What has to be moved so that all these things move: nothing twice, nothing that is carried.

    A pin whose arm is among them goes with its arm.
    """
    moved = dict.fromkeys(carrier(job, key) for key in keys)
    return tuple(key for key in moved if not any(above in moved for above in _above(job, key)))


def _above(job: Job, key: str) -> Iterable[str]:
    """Everything a thing hangs from as framed, nearest first."""
    seen = {key}
    while True:
        thing: Item | Wire | None = job.item_by_id.get(key) or job.wire_by_id.get(key)
        host = host_of(place_at(job, thing, "framed")) if thing else None
        if host is None or host in seen:
            return
        yield host
        seen.add(host)
        key = host


def moved_up(job: Job, keys: Iterable[str], up_in: float) -> Job:
    """The job with things moved along their pole by the same distance, down where negative.

    Raises:
        EditError: one of them is not fixed to a pole, or would be off it; none is moved then.
    """
    before, spots = job, Spots(job, "framed")
    for key in keys:
        # from where it was before all of them, for one may have followed another already
        where = current_place(before, key, "framed")
        if not isinstance(where, OnPole | Guyed) or where.host not in spots.poles:
            raise EditError(f"{job.label(key)} is not fixed to a pole")
        if isinstance(where, OnPole) and where.to_in is not None:
            raise EditError(f"{job.label(key)} runs along the pole; type its ends below the sheet")
        solid = spots.poles[where.host]
        up = None if where.at_in is None else solid.up(where.hold, where.at_in)
        at = None if up is None else solid.at(where.hold, up + up_in)
        if at is None:
            raise EditError(f"the height of {job.label(key)} is not known")
        job = set_along_pole(job, key, "framed", where.hold, at)
    return job


def moved_along(job: Job, by_in: Mapping[str, float]) -> Job:
    """The job with things moved along their arms, each by its own distance.

    Raises:
        EditError: one of them is not on an arm; none is moved then.
    """
    for key, along_in in by_in.items():
        where = current_place(job, key, "framed")
        if not isinstance(where, OnArm):
            raise EditError(f"{job.label(key)} is not on an arm")
        job = set_along_arm(job, key, "framed", where.along_in + along_in)
    return job


def mirrored(job: Job, keys: Iterable[str]) -> Job:
    """The job with things on the other side: of the arm they sit on, or of their pole.

    An arm goes to the opposite face, and what is on it stays east or west as it was.

    Raises:
        EditError: a thing has no other side, or something is there already.
    """
    moved = movers(job, keys)
    for key in moved:
        where = current_place(job, key, "framed")
        if isinstance(where, OnPole | Guyed):
            job = set_azimuth(job, key, "framed", (where.azimuth_deg + 180.0) % 360.0)
        elif isinstance(where, OnArm):
            for other in job.items:
                at = place_at(job, other, "framed")
                if not isinstance(at, OnArm) or other.id in moved:
                    continue
                same = (at.host, at.member) == (where.host, where.member)
                if same and abs(at.along_in + where.along_in) < 1.0:
                    raise EditError(f"{job.label(other.id)} is there already")
            job = set_along_arm(job, key, "framed", -where.along_in)
        else:
            raise EditError(f"{job.label(key)} has no other side")
    return job


def deleted(job: Job, keys: Iterable[str]) -> Job:
    """The job without these things, and what only ever sat on them.

    Raises:
        EditError: one of them is no thing of the job; none is deleted then.
    """
    wanted = tuple(dict.fromkeys(keys))
    for key in wanted:
        if key not in job.thing_by_id:
            raise EditError(f"{job.label(key)} is part of the survey" if key else "nothing chosen")
    for key in wanted:
        if key in job.thing_by_id:
            job = delete(job, key)
    return job


def level_of(job: Job, key: str) -> tuple[str, ...]:
    """Everything at the level of a thing as framed: what is fixed to the pole at one height.

    Items that hang from those are of the level too; wires are not named, they go with them.
    """
    spots = Spots(job, "framed")
    base = job.item_by_id.get(_fixed(job, key))
    if base is None or base.kind == "pole":
        return (key,)
    up, pole = spots.up_in(base), host_of(place_at(job, base, "framed"))
    found: dict[str, None] = {}
    for item in job.items:
        at = place_at(job, item, "framed")
        if at is None or isinstance(at, Removed):
            continue
        fixed = job.item_by_id.get(_fixed(job, item.id))
        if fixed is None or fixed.kind == "pole":
            continue
        on, other = host_of(place_at(job, fixed, "framed")), spots.up_in(fixed)
        level = up is not None and other is not None and abs(other - up) < LEVEL_IN
        if fixed.id == base.id or (on == pole and level):
            found[item.id] = None
    return tuple(found)


def _fixed(job: Job, key: str) -> str:
    """The thing itself or what it hangs from that is fixed to the pole."""
    last = key
    for above in _above(job, key):
        item = job.item_by_id.get(above)
        if item is not None and item.kind == "pole":
            return last
        last = above
    return last
