"""Stages: which place each thing is at, at one moment of the change-out; and fates.

A stage is "found", "framed", or the number of steps that are done.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import Literal, TypeAlias

from framer.errors import UnknownNameError
from framer.model.item import Item
from framer.model.job import Job, Thing
from framer.model.line import Join, JoinPlace, Wire
from framer.model.place import (
    AnyPlace,
    Guyed,
    Lying,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Same,
    Standing,
    Undecided,
)
from framer.model.words import plain

Stage: TypeAlias = Literal["found", "framed"] | int
Fate = Literal[
    "install", "remove", "transfer", "move", "stays", "by others", "undecided", "temporary"
]


_AS_BEFORE, _HOSTED = (Same, Undecided), (OnPole, OnArm, OnItem, Guyed)


def stage_name(job: Job, stage: Stage) -> str:
    """What the stage is called on screen and paper.

    Raises:
        UnknownNameError: there are fewer steps than that.
    """
    if stage == "found":
        return "as found"
    if stage == "framed":
        return "as framed"
    if not 0 <= stage <= len(job.steps):
        raise UnknownNameError("step", str(stage))
    return "as found" if stage == 0 else f"after step {stage}: {plain(job.steps[stage - 1].title)}"


def crew_leaves(job: Job, stage: Stage) -> bool:
    """Whether the crew has left the pole at a stage that is the number of steps done.

    It leaves where a step says so, when all is done, and before others or a later day go on.
    """
    if not isinstance(stage, int) or stage == 0:
        return False
    stage_name(job, stage)
    step = job.steps[stage - 1]
    following = job.steps[stage].by if stage < len(job.steps) else "others"
    another_day = following == "later" and step.by != "later"
    return step.crew_leaves or following == "others" or another_day


def chain_index(job: Job, thing: Thing, stage: Stage) -> int:
    """Index of the thing's place in its chain at the stage; -1 before it has come at all."""
    first = 0 if thing.places and thing.places[0].when == "found" else -1
    last = len(thing.places) - 1
    if stage == "found":
        return first
    if stage == "framed":
        return last
    if not 0 <= stage <= len(job.steps):
        raise UnknownNameError("step", str(stage))
    steps, indices = job.moved.get(thing.id, ((), ()))
    done = bisect_right(steps, stage)
    return indices[done - 1] if done else first


def place_at(job: Job, thing: Item | Wire, stage: Stage) -> AnyPlace | None:
    """The place the thing is physically at, with "as before" and "undecided" resolved.

    `None` means it has not come yet. An undecided thing is still where it was before.
    """
    index = chain_index(job, thing, stage)
    while index >= 0 and isinstance(thing.places[index], _AS_BEFORE):
        index -= 1
    return thing.places[index] if index >= 0 else None


def join_at(job: Job, join: Join, stage: Stage) -> JoinPlace | None:
    """The state of the join at the stage, `None` before it is made."""
    index = chain_index(job, join, stage)
    return join.places[index] if index >= 0 else None


def host_of(place: AnyPlace | None) -> str | None:
    """The item a place is on, `None` for one that needs no host."""
    if isinstance(place, _HOSTED):
        return place.host
    return None


def pole_at(job: Job, thing: Item | Wire, stage: Stage) -> str | None:
    """The pole that carries the thing at the stage, up the chain of hosts; `None` if none does."""
    seen: set[str] = set()
    current: Item | Wire | None = thing
    while current is not None and current.id not in seen:
        seen.add(current.id)
        place = place_at(job, current, stage)
        if isinstance(place, Standing | Lying):
            return current.id
        host = host_of(place)
        current = job.item_by_id.get(host) or job.wire_by_id.get(host) if host else None
    return None


def is_undecided(thing: Thing) -> bool:
    """Whether nobody has said what becomes of it."""
    if not thing.places:
        return True
    last = thing.places[-1]
    return isinstance(last, Undecided) or last.when not in ("after", "built")


def fate(job: Job, thing: Thing) -> Fate:
    """What becomes of the thing; derived from its chain, never stored."""
    if not thing.places:
        return "undecided"
    first, last = thing.places[0], thing.places[-1]
    found = first.when == "found"
    if not found and all(place.when == "temporary" for place in thing.places):
        return "temporary"
    gone = isinstance(last, Removed) or (isinstance(last, JoinPlace) and last.made == "open")
    if gone and not found:
        return "temporary"
    if is_undecided(thing):
        return "undecided"
    if last.by == "others":
        return "by others"
    if gone:
        return "remove"
    if not found:
        return "install"
    if isinstance(thing, Join):
        return "stays"
    if pole_at(job, thing, "found") != pole_at(job, thing, "framed"):
        return "transfer"
    before, after = place_at(job, thing, "found"), place_at(job, thing, "framed")
    if before is after or (before is not None and _same_spot(before, after)):
        return "stays"
    return "move"


def _same_spot(before: AnyPlace, after: AnyPlace | None) -> bool:
    if type(before) is not type(after):
        return False
    return all(
        getattr(before, name) == getattr(after, name)
        for name in before.__struct_fields__
        if name not in ("when", "by")
    )
