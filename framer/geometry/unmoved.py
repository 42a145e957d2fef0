"""What of a scene stays as it was while a few things move: most, in a drag or in one step."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from framer.geometry.potential import nodes
from framer.geometry.scene import Part, Scene, Tag, Unplaced
from framer.geometry.spot import Spots
from framer.geometry.wire_ends import hand_over
from framer.model.item import Item
from framer.model.job import Job
from framer.model.stage import Stage, host_of, place_at

_MOVABLE = ("items", "wires")
_SPACE, _BORE = int(Tag.SPACE), int(Tag.BORE)

_KEPT = "parts by owner"


def changed_things(before: Job, job: Job) -> set[str] | None:
    """Ids of the items and wires that are other records than before.

    `None` where more than such records has changed, or a pole has: its name is in what is said of
    all that is on it, and all that is on it may move with it.
    """
    if before is job:
        return set()
    for name in Job.__struct_fields__:
        if name not in _MOVABLE and getattr(before, name) is not getattr(job, name):
            return None
    changed: set[str] = set()
    for name in _MOVABLE:
        then: tuple[Any, ...] = getattr(before, name)
        now: tuple[Any, ...] = getattr(job, name)
        if then is now:
            continue
        if len(then) != len(now):
            return None
        for one, other in zip(then, now, strict=True):
            if one is other:
                continue
            if one.id != other.id or (isinstance(other, Item) and other.kind == "pole"):
                return None
            changed.add(other.id)
    return changed


class Unmoved(Struct, frozen=True):
    """Parts of an earlier scene by the thing they belong to, and things that had no place."""

    bodies: dict[str, list[Part]]
    spaces: dict[str, list[Part]]
    bores: dict[str, list[Part]]
    unplaced: dict[str, Unplaced]


def unmoved(since: Scene | None, spots: Spots, stage: Stage) -> tuple[Unmoved, set[str]] | None:
    """What an earlier scene has, and the things that must be placed anew all the same.

    `None` where nothing of it can be counted on.
    """
    job = spots.job
    if since is None or since.poles != spots.poles:
        return None
    changed = changed_things(since.job, job)
    # a dead-end is strung out along the wire that is on it
    if changed is None or since.job.wires is not job.wires:
        return None
    if any(since.job.item_by_id[key].circuit != job.item_by_id[key].circuit for key in changed):
        return None
    gone_on = _gone_on(job, since.stage, stage)
    if gone_on is None:
        return None
    hosts = {key: host for key, where in spots.places.items() if (host := host_of(where))}
    anew, grown = changed | gone_on | hand_over(since.job, job, stage, changed), -1
    while grown != len(anew):
        grown = len(anew)
        anew.update(key for key, host in hosts.items() if host in anew)
    known = since.kept.get(_KEPT)
    if known is None:
        known = since.kept[_KEPT] = _by_owner(since)
    return known, anew


def _gone_on(job: Job, then: Stage, now: Stage) -> set[str] | None:
    """Things that the steps from one stage to the other have a say in.

    `None` for found or framed against any other: there, wires end elsewhere.
    """
    if then == now:
        return set()
    if not (isinstance(then, int) and isinstance(now, int)):
        return None
    first, last = sorted((then, now))
    moved = {key for step in job.steps[first:last] for key in step.moves}
    wires = [job.wire_by_id[key] for key in moved if key in job.wire_by_id]
    held = {host_of(place_at(job, run, stage)) for run in wires for stage in (then, now)}
    before = nodes(job, then)
    joined = {key for key, number in nodes(job, now).items() if before[key] != number}
    return moved | joined | {host for host in held if host is not None}


def _by_owner(scene: Scene) -> Unmoved:
    known = Unmoved({}, {}, {}, {one.owner: one for one in scene.unplaced})
    for part in scene.parts:
        kind = known.bodies
        if part.tags & _SPACE:
            kind = known.spaces
        elif part.tags & _BORE:
            kind = known.bores
        kind.setdefault(part.owner, []).append(part)
    return known
