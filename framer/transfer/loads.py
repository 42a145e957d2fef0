"""Loads in hand: what every lift, temporary arm, extension and wire holder carries at a step.

What a support carries upright is half of the weight of the spans, the covers on the wire, and what
the wire pulls down because it is held above the line of its neighbours; where the neighbours are
tied the tension rises with it. Sideways it carries what the wire pulls across its line, along it
what a dead-ended wire pulls. Each is held against the rating typed for that direction. Source:
plain statics; the tests compare with exact catenaries.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from framer.checks.finding import Finding, verdict
from framer.geometry.scene import Part, Scene
from framer.geometry.spot import NoPlaceError, Spots
from framer.model.item import Item, Rating
from framer.model.job import Job
from framer.model.place import OnArm, OnItem, Standing
from framer.model.stage import Stage, host_of, place_at
from framer.strength.weighing import weight_of
from framer.transfer.moment import Moment, step_rule
from framer.transfer.spans import (
    FT,
    Conductor,
    Pulling,
    Pulls,
    conductor_of,
    conductors,
    in_spans,
    near_end,
    pulls,
)

NOTHING_LBF = 0.5
"""A pull of less than this asks for no rating of its direction."""


class Term(Struct, frozen=True):
    """One part of a load, and what it is called."""

    words: str
    lbf: float


class Load(Struct, frozen=True):
    """What a support carries of one conductor.

    Attributes:
        terms: the upright load, part by part, in the order it builds up.
        side_lbf: across the line of the wire.
        along_lbf: along it.
    """

    terms: tuple[Term, ...]
    side_lbf: float
    along_lbf: float

    @property
    def up_lbf(self) -> float:
        """The whole upright load; below 0 the wire pulls up."""
        return sum(term.lbf for term in self.terms)


def load(wires: Sequence[Pulling], covers_lbf: float = 0.0) -> Load:
    """What wires that rest at one place load it with, with the covers on them.

    The line of two wires is the way from the one neighbour to the other as seen from here, so that
    a turn pulls to the side; the line of one wire is its own, so that all of it pulls along.
    """
    terms = [Term("weight span", sum(one.weight * one.level_in / 2.0 for one in wires))]
    if covers_lbf:
        terms.append(Term("covers", covers_lbf))
    lift = sum(one.tension_lbf * -one.up_in / one.level_in for one in wires)
    tied = sum((one.tied_lbf - one.tension_lbf) * -one.up_in / one.level_in for one in wires)
    if abs(lift) > NOTHING_LBF:
        terms.append(Term("lift above its neighbours' line" if lift > 0.0 else _LOWER, lift))
    if abs(tied) > NOTHING_LBF:
        terms.append(Term("tension raised by tied neighbours" if tied > 0.0 else _SLACKER, tied))
    ways = [(one.east_in / one.level_in, one.north_in / one.level_in) for one in wires]
    east = sum(one.tied_lbf * way[0] for one, way in zip(wires, ways, strict=True))
    north = sum(one.tied_lbf * way[1] for one, way in zip(wires, ways, strict=True))
    others = ways[1:] or [(0.0, 0.0)]
    line = (
        ways[0][0] - sum(way[0] for way in others) / len(others),
        ways[0][1] - sum(way[1] for way in others) / len(others),
    )
    size = math.hypot(*line) or 1.0
    along = abs(east * line[0] + north * line[1]) / size
    side = abs(east * line[1] - north * line[0]) / size
    return Load(tuple(terms), side, along)


_LOWER = "held below its neighbours' line"
_SLACKER = "tension changed by tied neighbours"


def broken_by(terms: Sequence[Term], rating_lbf: float) -> str:
    """The part of a load that goes over a rating as it builds up; empty where none does."""
    total = 0.0
    for term in terms:
        total += term.lbf
        if total > rating_lbf:
            return term.words
    return ""


class InHand(Struct, frozen=True):
    """A conductor that something holds for the time being, and what that carries.

    Attributes:
        conductor: the wires and where they rest.
        supports: what they rest on, and what that is on, up to the pole or the ground.
        loose: the load with the neighbours' ties off, `None` when something is missing.
        tied: with them on.
        pulls: the wires as they pull.
        missing: what is not known.
    """

    conductor: Conductor
    supports: tuple[Item, ...]
    loose: Load | None
    tied: Load | None
    pulls: Pulls
    missing: str = ""

    @property
    def worse(self) -> Load | None:
        """The one with the larger upright load."""
        if self.loose is None or self.tied is None:
            return None
        return max(self.loose, self.tied, key=lambda one: one.up_lbf)


def supports(job: Job, host: str, stage: Stage) -> tuple[Item, ...]:
    """What a wire on an item rests on: the item, what that is on, and so on, without the pole."""
    found: list[Item] = []
    item = job.item_by_id.get(host)
    while item is not None and item.kind != "pole" and item not in found:
        found.append(item)
        under = host_of(place_at(job, item, stage))
        item = job.item_by_id.get(under) if under else None
    return tuple(found)


def in_hand(scene: Scene) -> tuple[InHand, ...]:
    """Every conductor held by something rated, by a lift, or by something put up for the time."""
    kept: tuple[InHand, ...] | None = scene.kept.get("in hand")
    if kept is None:
        kept = scene.kept["in hand"] = tuple(_in_hand(scene))
    return kept


def _in_hand(scene: Scene) -> Iterator[InHand]:
    job = scene.job
    for conductor in conductors(scene):
        under = supports(job, conductor.host, scene.stage)
        if any(_is_for_the_time(job, item, scene.stage) for item in under):
            yield _held(scene, conductor, under)


def _is_for_the_time(job: Job, item: Item, stage: Stage) -> bool:
    where = place_at(job, item, stage)
    if where is None or isinstance(where, Standing):
        return False
    return item.kind == "lift" or item.rating is not None or where.when == "temporary"


def _held(scene: Scene, conductor: Conductor, under: tuple[Item, ...]) -> InHand:
    covers, missing = _covers(scene, conductor)
    found = pulls(scene, conductor.wires)
    missing = found.missing or missing
    if missing:
        return InHand(conductor, under, None, None, found, missing)
    both = (load(found.loose, covers), load(found.tied, covers))
    return InHand(conductor, under, *both, found)


def _covers(scene: Scene, conductor: Conductor) -> tuple[float, str]:
    """Weight of the covers on a conductor, and what is not known of it."""
    job, total = scene.job, 0.0
    for item in job.items:
        where = place_at(job, item, scene.stage)
        if item.kind != "cover" or not isinstance(where, OnItem):
            continue
        if where.host not in conductor.wires:
            continue
        weighed = weight_of(item)
        if weighed.lb is None:
            return 0.0, weighed.words
        total += weighed.lb
    return total, ""


def load_findings(moment: Moment) -> Iterator[Finding]:
    """Every load in hand after the step against the rating of what carries it."""
    scene = moment.after
    for held in in_hand(scene):
        yield from _against_ratings(scene, held)


def _against_ratings(scene: Scene, held: InHand) -> Iterator[Finding]:
    job, wire = scene.job, held.conductor.wires[0]
    part = scene.part_by_key.get(wire)
    label = job.label(wire)
    rated = [item for item in held.supports if item.rating is not None]
    if not rated:
        host = held.supports[0]
        rule = step_rule(f"load.{host.id}.{wire}", f"Load on {job.label(host.id)}", "load")
        words = f"rating of {job.label(host.id)}, which holds {label}, not known"
        yield Finding(rule, part, None, "cannot say", missing=words)
    for item in rated:
        yield from _against(scene, held, item, item.rating or Rating(), part)


def _against(
    scene: Scene, held: InHand, item: Item, rating: Rating, part: Part | None
) -> Iterator[Finding]:
    job, wire = scene.job, held.conductor.wires[0]
    name, label = job.label(item.id), job.label(wire)
    if held.loose is None or held.tied is None or held.worse is None:
        rule = step_rule(f"load.{item.id}.{wire}", f"Load on {name}", "load")
        yield Finding(rule, part, None, "cannot say", missing=held.missing)
        return
    worse = held.worse
    sides = (
        ("up", "weight", worse.up_lbf, rating.up_lbf),
        ("side", "pull to the side", max(held.loose.side_lbf, held.tied.side_lbf), rating.side_lbf),
        ("along", "pull along", max(held.loose.along_lbf, held.tied.along_lbf), rating.along_lbf),
    )
    for key, words, lbf, most in sides:
        if key != "up" and lbf < NOTHING_LBF:
            continue
        rule = step_rule(
            f"load-{key}.{item.id}.{wire}", f"Load on {name}, {words}", "load", most=True
        )
        if key == "up" and lbf < -NOTHING_LBF:
            said = f"{label} pulls {name} up with {-lbf:,.1f} lbf: a rating for weight says nothing"
            yield Finding(rule, part, None, "cannot say", missing=said)
            continue
        if most is None:
            said = f"rating of {name} for {words} ({lbf:,.1f} lbf of {label}) not known"
            yield Finding(rule, part, None, "cannot say", missing=said)
            continue
        lines = tuple(f"{term.words}: {term.lbf:,.1f} lbf" for term in worse.terms)
        broken = broken_by(worse.terms, most) if key == "up" else ""
        yield Finding(
            rule,
            part,
            None,
            verdict(most, lbf, 0.0, assumed=bool(held.pulls.assumed)),
            lbf,
            most,
            assumed=held.pulls.assumed,
            where=f"it is the {broken} that goes over" if broken else "",
            worked=(*(lines if key == "up" else ()), *held.pulls.words),
        )


class ArmTurn(Struct, frozen=True):
    """How wires turn an arm about its bolt.

    Attributes:
        arm: id of it.
        moment_lbf_in: of all of them; positive pulls its positive end down.
        missing: what is not known; the moment then means nothing.
    """

    arm: str
    moment_lbf_in: float
    missing: str = ""


def arm_turns(scene: Scene) -> tuple[ArmTurn, ...]:
    """How the wires of the scene turn every arm that carries any."""
    job, spots = scene.job, Spots(scene.job, scene.stage)
    found: dict[str, float] = {}
    missing: dict[str, str] = {}
    for conductor in conductors(scene):
        for item in supports(job, conductor.host, scene.stage):
            where = place_at(job, item, scene.stage)
            if not isinstance(where, OnArm):
                continue
            found.setdefault(where.host, 0.0)
            try:
                along = _along(spots, item, where)
            except NoPlaceError as reason:
                missing.setdefault(where.host, str(reason))
                continue
            hung = pulls(scene, conductor.wires)
            if hung.missing:
                missing.setdefault(where.host, hung.missing)
            else:
                both = (load(hung.loose).up_lbf, load(hung.tied).up_lbf)
                found[where.host] += max(both) * along
    return tuple(ArmTurn(arm, found[arm], missing.get(arm, "")) for arm in found)


def _along(spots: Spots, item: Item, where: OnArm) -> float:
    spots.spot(item)
    return where.along_in


def old_arm_findings(moment: Moment) -> Iterator[Finding]:
    """That somebody looked at an old arm before wires are moved on it, with how it is turned."""
    job, after = moment.job, moment.after
    moved = {thing.id for thing in moment.moved}
    touched = {
        item.id
        for scene in (moment.before, after)
        for conductor in conductors(scene)
        if moved & {*conductor.wires}
        for item in supports(job, conductor.host, scene.stage)
        if item.kind == "arm"
    }
    turns = {one.arm: one for one in arm_turns(after)} if touched else {}
    for key in sorted(touched & {*turns}):
        item, turn = job.item_by_id[key], turns[key]
        if item.places[0].when != "found":
            continue
        label = job.label(key)
        rule = step_rule(f"old-arm.{key}", "An old arm is sound where wires are moved on it")
        part = after.part_by_key.get(key)
        words = f"turned by {abs(turn.moment_lbf_in) / FT:,.0f} lbf ft after this"
        if turn.missing:
            words = f"how far it is turned cannot be said: {turn.missing}"
        if not item.condition:
            missing = f"condition of {label} not known ({words})"
            yield Finding(rule, part, None, "cannot say", missing=missing)
        elif item.condition == "poor":
            yield Finding(rule, part, None, "short", where=f"{label} is poor; {words}")
        else:
            yield Finding(rule, part, None, "meets", where=f"{label} seen to be sound; {words}")


def neighbour_findings(moment: Moment) -> Iterator[Finding]:
    """That somebody looked at the neighbouring poles that a moved wire pulls on otherwise."""
    job, told = moment.job, set[str]()
    for thing in moment.moved:
        run = job.wire_by_id.get(thing.id)
        if run is None or run.span in told:
            continue
        span, was = job.span_by_id[run.span], in_spans(job)[run.id]
        near = near_end(moment.after, run.id)
        if near is None or isinstance(was, str):
            continue
        one = conductor_of(moment.after, run.id)
        found = pulls(moment.after, one.wires if one else (run.id,))
        changed = 0.0
        if not found.missing:
            at = one.wires.index(run.id) if one else 0
            changed = found.tied[at].tied_lbf - was.tension_lbf
        if not found.missing and abs(changed) < NOTHING_LBF and math.dist(near, was.near) < 1.0:
            continue
        told.add(run.span)
        rule = step_rule(f"neighbour.{span.id}", "Neighbouring poles take the changed pull")
        more = f"{changed:+,.0f} lbf in {job.label(run.id)}"
        part = moment.after.part_by_key.get(run.id)
        if span.far_condition == "sound":
            words = f"{span.toward} seen to be sound; {more}"
            yield Finding(rule, part, None, "meets", where=words)
        elif span.far_condition == "poor":
            yield Finding(rule, part, None, "short", where=f"{span.toward} is poor; {more}")
        else:
            missing = f"{span.toward}, its arms and ties not looked at ({more})"
            yield Finding(rule, part, None, "cannot say", missing=missing)
