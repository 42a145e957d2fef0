"""What goes up and comes down, how heavy it is, and who or what can lift it.

Weights come from the tag or the scale where the job says them, else the heaviest of the stock data;
of a pole and of a piece sawn off it from its thickness and the density of its wood.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from framer.checks.finding import Finding, verdict
from framer.geometry.scene import Part
from framer.geometry.space import compass
from framer.model.item import Item
from framer.model.place import Lifted, OnArm, OnItem, Removed
from framer.model.stage import host_of, place_at
from framer.strength.weighing import Weighed, pole_weight, weight_of
from framer.transfer.moment import Moment, step_rule
from framer.units.figures import pounds_up

RECOMMENDED_LB = 51.0
"""What one person is recommended to lift at most: the load constant of the NIOSH lifting equation,
which is for the floor, close to the body and without twist. Source: OSHA's poultry eTool on the
equation, osha.gov/SLTC/etools/poultry/additional_material/niosh.html; READ."""

RECOMMENDED = (
    f"{RECOMMENDED_LB:g} lb, load constant of the NIOSH lifting equation (read on osha.gov)"
)
RECOMMENDED_FOR = "floor-level lift, ideal conditions, not aloft"

_LIGHT = ("guy", "riser", "ground wire", "brace", "cover", "insulator", "attachment")
"""Kinds that go up piece by piece or in hand, of which no weight is asked unless on an arm."""


class Lift(Struct, frozen=True):
    """One thing that goes up or comes down in a step.

    Attributes:
        step: the step, counted from 1.
        item: id of the thing.
        name: what it is called.
        bare: its weight alone.
        dressed: with all that goes up on it; the same as `bare` where nothing does.
        with_it: names of what goes up on it.
        is_pole: whether it is a whole pole, which neither hand nor handline lifts.
        is_top: whether it is a piece sawn off a pole's top, which comes down on one side.
    """

    step: int
    item: str
    name: str
    bare: Weighed
    dressed: Weighed
    with_it: tuple[str, ...] = ()
    is_pole: bool = False
    is_top: bool = False


def lifts(moment: Moment) -> Iterator[Lift]:
    """Everything that goes up or comes down in a step, with its weight bare and dressed.

    What is moved in one step with the thing it is on counts as dressing of that.
    """
    job, moved = moment.job, {one.id for one in moment.moved}
    for thing in moment.moved:
        if not isinstance(thing, Item) or thing.kind in _LIGHT:
            continue
        if thing.kind == "pole":
            yield from _pole_lifts(moment, thing)
        elif _host(moment, thing) not in moved and not _from_ground(moment, thing):
            on_it = _riders(moment, thing)
            bare = weight_of(thing)
            yield Lift(
                moment.number,
                thing.id,
                job.label(thing.id),
                bare,
                _sum(bare, [weight_of(one) for one in on_it]),
                tuple(job.label(one.id) for one in on_it),
            )


def _from_ground(moment: Moment, item: Item) -> bool:
    """Whether an item is a lift that stands on the ground or hangs on a boom."""
    stages = (moment.number - 1, moment.number)
    return any(isinstance(place_at(moment.job, item, stage), Lifted) for stage in stages)


def _host(moment: Moment, item: Item) -> str | None:
    """What an item is on after the step; before it where it is taken away."""
    now = place_at(moment.job, item, moment.number)
    if isinstance(now, Removed):
        now = place_at(moment.job, item, moment.number - 1)
    return host_of(now) if isinstance(now, OnArm | OnItem) else None


def _riders(moment: Moment, item: Item) -> list[Item]:
    """The items that move in the same step, being on it."""
    found: list[Item] = []
    hosts, todo = {item.id}, [one for one in moment.moved if isinstance(one, Item)]
    for _ in todo:
        for one in todo:
            if one not in found and one.kind != "cover" and _host(moment, one) in hosts:
                found.append(one)
                hosts.add(one.id)
    return found


def _sum(bare: Weighed, others: list[Weighed]) -> Weighed:
    known = [one.lb for one in (bare, *others) if one.lb is not None]
    missing = [one.words for one in (bare, *others) if one.lb is None]
    if missing:
        return Weighed(None, missing[0])
    return Weighed(sum(known), bare.words, bare.assumed)


def _pole_lifts(moment: Moment, item: Item) -> Iterator[Lift]:
    job, label = moment.job, moment.job.label(item.id)
    was, now = moment.before.poles.get(item.id), moment.after.poles.get(item.id)
    solid = now or was
    if solid is None:
        return
    if was is None or now is None:
        whole = pole_weight(job, item, solid)
        yield Lift(moment.number, item.id, label, whole, whole, is_pole=True)
        return
    top, cut = was.top_up_in, now.top_up_in
    if top is not None and cut is not None and cut < top - _HAIR:
        piece = pole_weight(job, item, was, cut, top)
        name = f"top sawn off {label}"
        yield Lift(moment.number, item.id, name, piece, piece, is_top=True)


_HAIR = 1e-6


def lift_findings(moment: Moment) -> Iterator[Finding]:
    """Every lift of a step against what the crew typed that people, handline and boom lift."""
    settings, boom = moment.job.settings, moment.step.boom
    for one in lifts(moment):
        part = _part(moment, one.item)
        if one.is_top:
            yield _drop(moment, one, part)
        rule = step_rule(f"lift.{one.item}", f"Lift of {one.name}", "weight", most=True)
        if one.bare.lb is None:
            yield Finding(rule, part, None, "cannot say", missing=one.bare.words)
            continue
        limits = (settings.one_person_lb, settings.handline_lb, boom.lift_lb if boom else None)
        if one.is_pole:
            limits = (None, None, limits[2])
        typed = [limit for limit in limits if limit is not None]
        bare = one.bare.lb
        weight, assumed = bare if one.dressed.lb is None else one.dressed.lb, one.bare.assumed
        if one.dressed.lb is None:
            assumed = f"bare: {one.dressed.words}"
        untold = [name for name, limit in zip(_LIFTS, limits, strict=True) if limit is None]
        if one.is_pole:
            untold = [name for name in untold if name == "a boom"]
        if untold and not any(weight <= limit for limit in typed):
            over = f", more than {max(typed):g} lb" if typed else ""
            words = f"{one.name}: {pounds_up(weight)} lb{over}; what {' or '.join(untold)} lifts"
            missing = f"{words} here not typed"
            yield Finding(rule, part, None, "cannot say", missing=missing)
            continue
        most = next((limit for limit in typed if weight <= limit), max(typed))
        who, alone = _who(limits, weight), limits[0]
        if alone is not None and bare <= alone < weight:
            who += f"; bare ({pounds_up(bare)} lb) by one person"
        yield Finding(
            rule,
            part,
            None,
            verdict(most, weight, 0.0, assumed=bool(assumed)),
            weight,
            most,
            assumed=assumed,
            where=who,
            worked=(f"{pounds_up(weight)} lb: {one.bare.words}",),
        )


def _drop(moment: Moment, one: Lift, part: Part | None) -> Finding:
    """On which side of the pole a piece sawn off its top comes down."""
    rule = step_rule(f"drop.{one.item}", f"Where the {one.name} comes down")
    side = moment.step.drop_deg
    if side is None:
        missing = f"on which side the {one.name} comes down not said"
        return Finding(rule, part, None, "cannot say", missing=missing)
    return Finding(rule, part, None, "meets", where=f"on the {compass(side, words=True)} side")


_LIFTS = ("one person", "a handline", "a boom")
_WHO = ("by one person", "by handline", "by boom")


def _who(limits: tuple[float | None, ...], weight: float) -> str:
    for words, limit in zip(_WHO, limits, strict=True):
        if limit is not None and weight <= limit:
            return words
    return "no lift typed takes it"


def _part(moment: Moment, key: str) -> Part | None:
    return moment.after.part_by_key.get(key) or moment.before.part_by_key.get(key)
