"""The way of a wire from one place to the next: what it comes near to in between.

Its near end is taken straight from the one place to the other, all wires of a step together, in
equal pieces; between two of these positions it can come nearer by half a piece, which is the
tolerance. What is not at its own potential is looked at, and what no wire goes through.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TypeAlias

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.checks.finding import Finding, verdict
from framer.checks.plan import selects
from framer.geometry.scene import Part, Run, Scene, Tag
from framer.geometry.space import Point
from framer.model.line import Wire
from framer.model.step import LimitBetween
from framer.transfer.bodies import ends_of, nearest_in
from framer.transfer.moment import Moment, step_rule
from framer.units.length import length_text

PIECES = 16
"""Equal pieces a way is looked at in."""

ENDS_ONLY = "ends only: the way between the two places is not checked"
_BODIES = int(Tag.WIRE | Tag.POLE | Tag.GUY | Tag.CASE | Tag.ARM | Tag.LIVE)
_ARM, _CARRYING = int(Tag.ARM), int(Tag.ARM | Tag.POLE)

Points: TypeAlias = NDArray[np.float64]


class Nearest(Struct, frozen=True):
    """The nearest another part comes to a wire on its way: how near, and which piece."""

    part: Part
    gap_in: float
    at: int


def way_findings(moment: Moment) -> Iterator[Finding]:
    """Every wire the step takes from one place to another."""
    job = moment.job
    for thing in moment.moved:
        if not isinstance(thing, Wire):
            continue
        was, now = (scene.part_by_key.get(thing.id) for scene in (moment.before, moment.after))
        if was is None or now is None or was.shape == now.shape:
            continue
        label = job.label(thing.id)
        rule = step_rule(f"way.{thing.id}", f"{label} keeps its distance on the way", "surface")
        missing = was.missing or now.missing
        if missing or not isinstance(was.shape, Run) or not isinstance(now.shape, Run):
            words = f"{ENDS_ONLY}: {missing or 'where it is not known'}"
            yield Finding(rule, now, None, "cannot say", missing=words)
            continue
        step = math.dist(was.shape.p, now.shape.p) / PIECES
        met, told = nearest(moment, thing.id), False
        for one in met:
            if one.gap_in <= 0.0:
                words = f"the straight way goes through {job.label(one.part.owner)}"
                yield Finding(rule, now, one.part, "short", one.gap_in, 0.0, where=words)
                told = True
        if told:
            continue
        judged = [
            (one, limit.keep_in)
            for one in met
            for limit in job.limits_between
            if _speaks(limit, now, one.part)
        ]
        if not judged:
            words = f"{ENDS_ONLY} against {_names(moment, met)}: no limit between steps is typed"
            yield Finding(rule, now, None, "cannot say", missing=words)
            continue
        closest, keep = min(judged, key=lambda pair: pair[0].gap_in - pair[1])
        tolerance = step / 2.0 + now.tolerance_in + closest.part.tolerance_in
        yield Finding(
            rule,
            now,
            closest.part,
            verdict(closest.gap_in, keep, tolerance, assumed=False),
            closest.gap_in,
            keep,
            tolerance,
            where=_how_far(closest.at),
        )


def _how_far(at: int) -> str:
    """At which part of the straight way a wire comes nearest, in words."""
    if at in (0, PIECES):
        return f"nearest at the {'end' if at else 'start'} of the straight way"
    return f"nearest after {at} of {PIECES} parts of the straight way"


def _names(moment: Moment, met: Sequence[Nearest]) -> str:
    """The nearest thing on the way, with how near it comes."""
    if not met:
        return "anything"
    one = min(met, key=lambda each: each.gap_in)
    gap = length_text(one.gap_in, toward="down", system=moment.job.settings.units)
    return f"{moment.job.label(one.part.owner)}, {gap} away on the straight way"


def _speaks(limit: LimitBetween, one: Part, other: Part) -> bool:
    return (selects(limit.a, one.tags) and selects(limit.b, other.tags)) or (
        selects(limit.b, one.tags) and selects(limit.a, other.tags)
    )


def nearest(moment: Moment, wire: str) -> tuple[Nearest, ...]:
    """How near everything that matters comes to a wire on its straight way."""
    own = _way(moment, wire)
    if own is None:
        return ()
    p, q, radius = own
    parts = _in_the_way(moment, wire)
    if not parts:
        return ()
    gaps, at = nearest_in(p, q, parts, _ends(moment, parts, len(p)))
    each = zip(parts, gaps.tolist(), at.tolist(), strict=True)
    return tuple(Nearest(part, gap - radius, piece) for part, gap, piece in each)


def _ends(moment: Moment, parts: Sequence[Part], count: int) -> tuple[Points, Points]:
    """Both ends of parts at each position: those of a wire that moves too move with it."""
    base, top = (np.repeat(one[:, None], count, axis=1) for one in ends_of(parts))
    moves = set(moment.step.moves)
    for row, part in enumerate(parts):
        moving = part.owner in moves and isinstance(part.shape, Run)
        way = _way(moment, part.key) if moving else None
        if way is not None:
            base[row], top[row] = way[0], way[1]
    return base, top


def _way(moment: Moment, wire: str) -> tuple[Points, Points, float] | None:
    """Near and far ends of a wire at each position of its way, and its radius."""
    was, now = (scene.part_by_key.get(wire) for scene in (moment.before, moment.after))
    if was is None or now is None or was.missing or now.missing:
        return None
    if not isinstance(was.shape, Run) or not isinstance(now.shape, Run):
        return None
    share = np.linspace(0.0, 1.0, PIECES + 1)[:, None]
    return (
        _from_to(was.shape.p, now.shape.p, share),
        _from_to(was.shape.q, now.shape.q, share),
        now.shape.r,
    )


def _from_to(one: Point, other: Point, share: Points) -> Points:
    here, there = np.array([one]), np.array([other])
    way: Points = here + (there - here) * share
    return way


def _in_the_way(moment: Moment, wire: str) -> tuple[Part, ...]:
    """The parts that a wire must not come near to on its way.

    Not what is at its own potential before or after, and no arm or pole that carries it then.
    """
    pairs = [(scene, scene.part_by_key[wire]) for scene in (moment.before, moment.after)]
    return tuple(
        part
        for part in moment.after.bodies
        if part.tags & _BODIES
        and part.owner != wire
        and part.shape is not None
        and not part.missing
        and not any(_has_to_do_with(part, scene, mine) for scene, mine in pairs)
    )


def _has_to_do_with(part: Part, scene: Scene, wire: Part) -> bool:
    if part.tags & _CARRYING and _carries(part, wire):
        return True
    there = scene.part_by_key.get(part.key)
    return there is not None and _is_one_with(there, wire)


def _is_one_with(one: Part, other: Part) -> bool:
    """Whether two parts are at one potential, or are the two wires of one phase on one support."""
    if one.node >= 0 and one.node == other.node:
        return True
    alike = (one.circuit, one.phase, one.support) == (other.circuit, other.phase, other.support)
    return alike and one.support is not None


def _carries(part: Part, wire: Part) -> bool:
    on = {wire.level, wire.support}
    return part.owner in on or (bool(part.tags & _ARM) and part.pole == wire.pole)
