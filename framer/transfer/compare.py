"""What one stage of the transfer has other than another: parts, gaps and verdicts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from msgspec import Struct

from framer.checks.finding import Finding
from framer.geometry.pole import pole_solid
from framer.geometry.scene import Part
from framer.geometry.space import compass, turned
from framer.geometry.written import stepped
from framer.model.item import Item
from framer.model.job import Job, Thing
from framer.model.line import Join
from framer.model.place import (
    AnyPlace,
    Guyed,
    Lifted,
    Lying,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Standing,
)
from framer.model.stage import Stage, host_of, join_at, place_at
from framer.transfer.stages import StageJudged
from framer.units.compare import HAIR_IN


class Turn(Struct, frozen=True):
    """A finding that is not the same in two stages; `None` where it is in one of them only."""

    before: Finding | None
    after: Finding | None


class Changes(NamedTuple):
    """What a later stage has other than an earlier one.

    Attributes:
        come, gone, moved: ids of the things that are new there, gone, or lie elsewhere; what only
            moves along with its support, and the pole that is only cut, are among those moved.
        verdicts: findings that are another verdict, or in one of the stages only; those that meet
            where the other stage has none are left out.
        gaps: findings of the same verdict whose gap is another.
    """

    come: tuple[str, ...]
    gone: tuple[str, ...]
    moved: tuple[str, ...]
    verdicts: tuple[Turn, ...]
    gaps: tuple[Turn, ...]


def changes(before: StageJudged, after: StageJudged) -> Changes:
    """What a later stage has other than an earlier one; findings worst first."""
    then, now = before.scene.parts_of, after.scene.parts_of
    both = [key for key in now if key in then]
    turns = tuple(_turns(before, after))
    return Changes(
        tuple(key for key in now if key not in then),
        tuple(key for key in then if key not in now),
        tuple(key for key in both if _shapes(then[key]) != _shapes(now[key])),
        tuple(turn for turn in turns if _verdict(turn.before) != _verdict(turn.after)),
        tuple(turn for turn in turns if _verdict(turn.before) == _verdict(turn.after)),
    )


def _turns(before: StageJudged, after: StageJudged) -> Iterator[Turn]:
    then = {one.key: one for one in (*before.of_step, *before.findings)}
    for one in (*after.of_step, *after.findings):
        known = then.pop(one.key, None)
        if known is None:
            if one.verdict != "meets":
                yield Turn(None, one)
        elif known.verdict != one.verdict or _gap_differs(known, one):
            yield Turn(known, one)
    yield from (Turn(one, None) for one in then.values() if one.verdict != "meets")


def _gap_differs(one: Finding, other: Finding) -> bool:
    if one.gap is None or other.gap is None:
        return one.gap is not other.gap
    return abs(one.gap - other.gap) > HAIR_IN


def _verdict(finding: Finding | None) -> str:
    return "" if finding is None else finding.verdict


def _shapes(parts: tuple[Part, ...]) -> tuple[object, ...]:
    return tuple(part.shape for part in parts)


def step_words(job: Job, number: int) -> tuple[str, ...]:
    """What a step does, a line for each thing it moves.

    Raises:
        UnknownNameError: there is no such step.
    """
    step = job.steps[number - 1]
    return tuple(_words(job, job.thing_by_id[key], number) for key in dict.fromkeys(step.moves))


def _words(job: Job, thing: Thing, number: int) -> str:
    label = job.label(thing.id)
    if isinstance(thing, Join):
        return f"{label}: {_join_words(job, thing, number)}"
    then, now = place_at(job, thing, number - 1), place_at(job, thing, number)
    if now is None or isinstance(now, Removed):
        return f"{label}: taken away"
    where = place_words(job, thing.id, number)
    if then is None or isinstance(then, Removed):
        return f"{label}: put {where}"
    if then is now:
        return f"{label}: stays {where}"
    if isinstance(then, Standing) and isinstance(now, Standing):
        return f"{label}: {_of_pole(job, then, now) or f'stays {where}'}"
    if isinstance(now, Standing) and isinstance(thing, Item):
        deep = pole_solid(job, thing, now).depth_in
        far = "depth not known" if deep is None else f"{stepped(job, deep)} deep"
        return f"{label}: set in the ground, {far}{', held' if now.held else ''}"
    if host_of(then) == host_of(now) and type(then) is type(now):
        return f"{label}: moved {where}"
    return f"{label}: from {_host_words(job, then)} to {_host_words(job, now)}"


def _join_words(job: Job, join: Join, number: int) -> str:
    """What a step does to a join: what comes on, and that a bypass comes off."""
    then, now = join_at(job, join, number - 1), join_at(job, join, number)
    if now is None:
        return "not made"
    if now.made == "bypass":
        return "bypass on"
    made = "opened" if now.made == "open" else f"{now.made} made"
    return f"{made}, bypass off" if then is not None and then.made == "bypass" else made


def _of_pole(job: Job, then: Standing, now: Standing) -> str:
    said = []
    if now.cut_in > then.cut_in:
        off = stepped(job, now.cut_in - then.cut_in)
        said.append(f"{off} cut off its top")
    if now.held != then.held:
        said.append("held from now on" if now.held else "let go")
    return ", ".join(said)


def place_words(job: Job, key: str, stage: Stage) -> str:
    """Where an item or wire is at a stage, in words such as "on New pole, 37 ft 5 in up"."""
    thing = job.item_by_id.get(key) or job.wire_by_id[key]
    where = place_at(job, thing, stage)
    if isinstance(where, Standing):
        return "in the ground, held" if where.held else "in the ground"
    if isinstance(where, OnPole | Guyed) and where.at_in is not None:
        far = stepped(job, where.at_in)
        on = {"height": "up", "drop": "below its top", "butt": "from its butt"}[where.hold]
        return f"on {job.label(where.host)}, {far} {on}"
    if isinstance(where, OnArm):
        return f"on {job.label(where.host)}, {_along_words(job, where, stage)}"
    words = _host_words(job, where)
    if isinstance(where, Lifted):
        return f"up by {words}"
    return words if host_of(where) is None else f"on {words}"


def _along_words(job: Job, where: OnArm, stage: Stage) -> str:
    """How far along its arm a thing is, and toward which end: both ends are often as far."""
    far = stepped(job, abs(where.along_in))
    arm = job.item_by_id.get(where.host)
    on = None if arm is None else place_at(job, arm, stage)
    if not isinstance(on, OnPole) or abs(where.along_in) <= HAIR_IN:
        return f"{far} from its bolt"
    end = turned(on.azimuth_deg, 90.0 if where.along_in > 0 else -90.0)
    return f"{far} {compass(end, words=True)} of its bolt"


def _host_words(job: Job, where: AnyPlace | None) -> str:
    if isinstance(where, OnPole | OnArm | OnItem | Guyed):
        return job.label(where.host)
    if isinstance(where, Lifted):
        return "a boom or stand"
    if isinstance(where, Lying):
        return "on the ground"
    return "nowhere" if where is None or isinstance(where, Removed) else "in the ground"
