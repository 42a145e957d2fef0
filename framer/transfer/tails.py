"""Jumpers as they are made and opened: their free tails, the load through them, their phases.

While one end of a jumper is clamped and the other is free, the free end reaches anything within
its length of the clamp.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from framer.checks.finding import Finding, verdict
from framer.geometry.jumpers import JUMPERED, jumper_path, unlike_phases
from framer.geometry.potential import nodes
from framer.geometry.scene import Part, Scene, Tag
from framer.geometry.spot import Spots
from framer.model.job import Job
from framer.model.line import Join, JoinPlace
from framer.model.place import Removed
from framer.model.stage import Stage, join_at, place_at
from framer.transfer.approach import dead_circuits
from framer.transfer.bodies import gaps_in
from framer.transfer.moment import Moment, step_rule
from framer.transfer.words import BLANK
from framer.units.length import length_text

_IN_THE_WAY = int(Tag.GUY | Tag.POLE | Tag.RUN | Tag.CASE | Tag.WIRE | Tag.LIVE | Tag.JUMPER)


def over_the_circle(tail_in: float, off_in: float) -> float:
    """How far inside the circle of a free tail a thing is; below 0 it is outside."""
    return tail_in - off_in


def tail_findings(moment: Moment) -> Iterator[Finding]:
    """Every jumper the step makes or opens."""
    for thing in moment.moved:
        if not isinstance(thing, Join):
            continue
        was = join_at(moment.job, thing, moment.number - 1)
        now = join_at(moment.job, thing, moment.number)
        if was == now:
            continue
        yield from _tail(moment, thing, was, now)
        if _is_closed(was) and not _is_closed(now):
            yield from _opened(moment, thing, was)
        if _is_closed(now) and not _is_closed(was):
            yield from _closed(moment, thing)


def _is_closed(state: JoinPlace | None) -> bool:
    return state is not None and state.made != "open"


def _tail(
    moment: Moment, join: Join, was: JoinPlace | None, now: JoinPlace | None
) -> Iterator[Finding]:
    """The nearest thing to either clamp against the tail that is free meanwhile."""
    made = now is not None and now.made in JUMPERED
    if not made and not (was is not None and was.made in JUMPERED):
        return
    job, label = moment.job, moment.job.label(join.id)
    scene = moment.after if made else moment.before
    rule = step_rule(f"tail.{join.id}", f"The free tail of {label} reaches nothing", "surface")
    mine = scene.part_by_key.get(join.id)
    path = jumper_path(Spots(job, scene.stage), join)
    if join.tail_in is None:
        words = f"how far the free tail of {label} reaches from its clamp not known"
        yield Finding(rule, mine, None, "cannot say", missing=words)
        return
    if path.missing:
        yield Finding(rule, mine, None, "cannot say", missing=path.missing)
        return
    parts = [part for part in scene.bodies if _may_touch(scene, part, join)]
    for part in parts:
        if part.shape is None or part.missing:
            words = part.missing or f"where {job.label(part.owner)} is not known"
            yield Finding(rule, mine, part, "cannot say", missing=words)
    known = [part for part in parts if part.shape is not None and not part.missing]
    if not known:
        return
    clamps = np.array([path.a.point, path.b.point])
    gaps = gaps_in(clamps, clamps, known)
    row, end = (int(one) for one in np.unravel_index(int(np.argmin(gaps)), gaps.shape))
    off, part = float(gaps[row, end]), known[row]
    tolerance = (path.a, path.b)[end].tolerance_in + part.tolerance_in
    over = over_the_circle(join.tail_in, off)
    where = ""
    if over > 0.0:
        most = length_text(max(0.0, off), toward="down", system=job.settings.units)
        where = f"control both ends, cover it, or cut the tail to less than {most}"
    yield Finding(
        rule,
        mine,
        part,
        verdict(off, join.tail_in, tolerance, assumed=False),
        off,
        join.tail_in,
        tolerance,
        where=where,
        worked=(f"Tail {length_text(join.tail_in, system=job.settings.units)} from either clamp",),
    )


def _may_touch(scene: Scene, part: Part, join: Join) -> bool:
    if not part.tags & _IN_THE_WAY or part.owner == join.id:
        return False
    own = {one.node for key in (join.a, join.b) for one in scene.parts_of.get(key, ())} - {-1}
    return part.owner not in (join.a, join.b) and part.node not in own


def _opened(moment: Moment, join: Join, was: JoinPlace | None) -> Iterator[Finding]:
    """A jumper that may carry load is opened only where another way is left for the load."""
    job, label = moment.job, moment.job.label(join.id)
    if any(_is_gone(job, end, moment.number) for end in (join.a, join.b)):
        return
    rule = step_rule(f"bypass.{join.id}", "No loaded jumper is opened without a bypass")
    part = moment.before.part_by_key.get(join.id)
    joined = nodes(job, moment.number)
    if joined.get(join.a, -1) == joined.get(join.b, -2):
        words = f"{label} is bypassed while it is opened"
        yield Finding(rule, part, None, "meets", where=words)
        return
    circuits = _circuits(job, join)
    if circuits and circuits <= dead_circuits(job, moment.number):
        words = f"{label} is opened with its circuit de-energised"
        yield Finding(rule, part, None, "meets", where=words)
        return
    if circuits and circuits <= {one.circuit for one in job.holds if one.kind == "de-energise"}:
        words = f"{label}: its circuit is not de-energised and grounded by earlier steps"
        yield Finding(rule, part, None, "cannot say", missing=words)
        return
    if was is not None and was.made == "tap":
        words = f"opening {label} puts out what it feeds"
        yield Finding(rule, part, None, "tight", where=words, assumed="an outage is arranged")
        return
    words = f"{label} is opened with no bypass on; does load flow there?"
    yield Finding(rule, part, None, "short", where=words)


def _circuits(job: Job, join: Join) -> set[str]:
    """The circuits of both ends of a join."""
    ends = [job.wire_by_id.get(key) or job.item_by_id.get(key) for key in (join.a, join.b)]
    return {end.circuit for end in ends if end is not None and end.circuit}


def _is_gone(job: Job, key: str, stage: Stage) -> bool:
    thing = job.wire_by_id.get(key) or job.item_by_id.get(key)
    return thing is None or isinstance(place_at(job, thing, stage), Removed | None)


def _closed(moment: Moment, join: Join) -> Iterator[Finding]:
    """A join that is made joins equal phases, and somebody proved it."""
    job, wires = moment.job, moment.job.wire_by_id
    if not all(key in wires and wires[key].phase in ("A", "B", "C") for key in (join.a, join.b)):
        return
    label, proved = job.label(join.id), join.phases_proved
    rule = step_rule(f"phases.{join.id}", "Phases are proved before a jumper is closed")
    part = moment.after.part_by_key.get(join.id)
    unlike = next((pair for pair in unlike_phases(moment.after) if pair[0].id == join.id), None)
    if unlike is not None and not proved:
        words = f"{label} joins {unlike[1]} to {unlike[2]}: prove phases at both sides"
        yield Finding(rule, part, None, "cannot say", missing=words)
    elif unlike is not None:
        words = f"{label} joins {unlike[1]} to {unlike[2]}; proved: {proved}"
        yield Finding(rule, part, None, "tight", where=words, assumed="the letters are not alike")
    elif proved:
        yield Finding(rule, part, None, "meets", where=f"{label}, proved: {proved}")
    else:
        words = f"{label} joins equal letters of the survey; phases proved by {BLANK}"
        yield Finding(rule, part, None, "tight", where=words, assumed="not proved yet")
