"""Setting a pole, or pulling one: through the spread wires, past the old pole, under what is above.

The pole is taken straight up and down over its hole, in its own direction, its butt lifted to the
ground line or to where the boom's record says. So its top comes as high as it is long, and at the
height of a wire passes every section between the butt lifted and the butt in the hole. Wires are
taken straight from support to support; how far wires and pole swing is what the crew typed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from framer.checks.finding import Finding, Verdict, verdict
from framer.geometry.distance import to_box, to_cylinder
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Box, Part, Run, Scene, Tag, Tube
from framer.geometry.space import Point, moved
from framer.mechanics.handling import hole_apart
from framer.model.item import Item
from framer.model.job import Job
from framer.model.step import Boom
from framer.transfer.moment import Moment, step_rule
from framer.units.length import System, inches_text, length_text

SLANTING = "it comes up slanting: only upright is checked"
_SUPPLY = int(Tag.WIRE | Tag.SUPPLY)


class Through(Struct, frozen=True):
    """A pole between two wires: what it needs, what is to spare, the swing there is room for."""

    need_in: float
    spare_in: float
    swing_in: float


def through(width_in: float, dia_in: float, keep_in: float, swing_in: float) -> Through:
    """Room for a pole between two wires.

    Args:
        width_in: between the wires.
        dia_in: widest section of the pole that reaches their height.
        keep_in: what stays free on each side.
        swing_in: how far wires and pole may swing on each side.
    """
    need = dia_in + 2.0 * keep_in + 2.0 * swing_in
    return Through(need, width_in - need, (width_in - dia_in) / 2.0 - keep_in)


class Raised(Struct, frozen=True):
    """A pole hanging upright over its hole; `foot_in` is the height of the ground line there."""

    butt: Point
    top: Point
    r_butt: float
    r_top: float
    foot_in: float = 0.0

    def dia_at(self, height_in: float) -> float:
        """Its diameter at a height above the butt."""
        long = max(self.top[2] - self.butt[2], 1e-9)
        share = min(1.0, max(0.0, height_in / long))
        return 2.0 * (self.r_butt + (self.r_top - self.r_butt) * share)


def raised(job: Job, solid: PoleSolid, butt_in: float = 0.0) -> Raised | str:
    """A pole as it hangs over its hole, its butt so high above the ground, or what is missing."""
    label, top = job.label(solid.item), solid.top_up_in
    if top is None or solid.depth_in is None:
        return f"length and depth of {label} not known"
    r_butt, r_top = solid.radius_in(-solid.depth_in), solid.radius_in(top)
    if r_butt is None or r_top is None:
        return f"girth of {label} not known"
    lifted = max(butt_in, -solid.depth_in)
    butt = moved(solid.foot, solid.axis, lifted)
    long = solid.depth_in + top
    return Raised(butt, moved(butt, solid.axis, long), r_butt, r_top, solid.foot[2])


def setting_findings(moment: Moment) -> Iterator[Finding]:
    """Every pole that the step sets or pulls."""
    for thing in moment.moved:
        if not isinstance(thing, Item) or thing.kind != "pole":
            continue
        was, now = moment.before.poles.get(thing.id), moment.after.poles.get(thing.id)
        if was is None and now is not None:
            yield from _hole(moment, thing, now)
            yield from _passing(moment, thing, now, moment.before, "set")
            yield from _boom(moment, thing)
        elif was is not None and now is None and moment.step.by != "others":
            yield from _passing(moment, thing, was, moment.after, "pulled")
            yield from _boom(moment, thing)


def _hole(moment: Moment, item: Item, solid: PoleSolid) -> Iterator[Finding]:
    """The hole of a pole against the poles that stand: soil between, and the butt in the hole."""
    job, settings = moment.job, moment.job.settings
    part = moment.after.part_by_key.get(item.id)
    others = [(key, one) for key, one in moment.before.poles.items() if key != item.id]
    for key, other in others:
        label = job.label(key)
        rule = step_rule(
            f"hole.{item.id}.{key}", f"Undisturbed soil is left beside {label}", "horizontal"
        )
        stands = moment.before.part_by_key.get(key)
        dia, missing = other.diameter_in(0.0), ""
        if settings.auger_in is None or settings.soil_in is None:
            what = "diameter of the auger" if settings.auger_in is None else "soil to be left"
            missing = f"{what} for the hole beside {label} not typed"
        elif dia is None:
            missing = f"girth of {label} not known"
        if missing or settings.auger_in is None or settings.soil_in is None or dia is None:
            yield Finding(rule, part, stands, "cannot say", missing=missing)
            continue
        apart = math.dist(solid.foot[:2], other.foot[:2])
        need = hole_apart(settings.auger_in, settings.soil_in, dia)
        least = f"{label} is as thick as the least of its class" if other.is_least_girth else ""
        yield Finding(
            rule,
            part,
            stands,
            verdict(apart, need, 0.0, assumed=bool(least)),
            apart,
            need,
            assumed=least,
            where="centre to centre at the ground line",
            worked=(
                "{} of soil, half the auger of {}, half of {}".format(
                    *_up((settings.soil_in, settings.auger_in, dia), settings.units)
                ),
            ),
        )
    yield from _butt(moment, item, solid, part)


def _up(sizes: Iterable[float], system: System) -> Iterator[str]:
    """Short lengths in words, rounded up."""
    return (inches_text(size, toward="up", system=system) for size in sizes)


def _butt(moment: Moment, item: Item, solid: PoleSolid, part: Part | None) -> Iterator[Finding]:
    """The butt of a pole against the hole, where the auger is known."""
    auger, depth = moment.job.settings.auger_in, solid.depth_in
    dia = None if depth is None else solid.diameter_in(-depth)
    if auger is None or dia is None:
        return
    rule = step_rule(f"butt.{item.id}", "The butt goes into the hole", "horizontal")
    least = "a real pole is thicker than the least of its class" if solid.is_least_girth else ""
    tamping = inches_text(
        max(0.0, (auger - dia) / 2.0), toward="down", system=moment.job.settings.units
    )
    yield Finding(
        rule,
        part,
        None,
        verdict(auger, dia, 0.0, assumed=bool(least)),
        auger,
        dia,
        assumed=least,
        where=f"{tamping} of room to tamp all round",
    )


def _passing(
    moment: Moment, item: Item, solid: PoleSolid, scene: Scene, word: str
) -> Iterator[Finding]:
    job, settings = moment.job, moment.job.settings
    part = moment.after.part_by_key.get(item.id) or moment.before.part_by_key.get(item.id)
    rule = step_rule(f"{word}.{item.id}", f"A pole keeps off the wires while it is {word}", "slant")
    boom = moment.step.boom
    butt_in = boom.butt_in if boom is not None else 0.0
    up = raised(job, solid, butt_in)
    slanting = SLANTING if butt_in < 0.0 else ""
    system = settings.units
    above = length_text(butt_in, system=system)
    how = f"Upright over its hole with its butt {above} above ground"
    missing = up if isinstance(up, str) else ""
    if settings.setting_keep_in is None:
        missing = missing or "how far to keep off on each side while a pole goes up not typed"
    if settings.swing_in is None:
        missing = missing or "how far wires and pole may swing while a pole goes up not typed"
    if missing or isinstance(up, str):
        yield Finding(rule, part, None, "cannot say", missing=missing)
        return
    keep, swing = settings.setting_keep_in or 0.0, settings.swing_in or 0.0
    passed: list[tuple[Finding, Beside]] = []
    for other in scene.bodies:
        if other.tags & _SUPPLY != _SUPPLY or other.pole == item.id:
            continue
        if other.missing or not isinstance(other.shape, Run):
            words = other.missing or f"where {job.label(other.owner)} is not known"
            yield Finding(rule, part, other, "cannot say", missing=words)
            continue
        at = beside(up, other.shape)
        off, need = at.gap_in - other.shape.r, keep + swing
        over = at.on_wire[2] >= up.top[2]
        high = length_text(up.top[2] - up.foot_in, system=system)
        where = f"its top comes to {high} while lifted"
        said = verdict(off, need, other.tolerance_in, assumed=bool(slanting))
        finding = Finding(
            rule,
            part,
            other,
            said,
            off,
            need,
            other.tolerance_in,
            (at.on_pole, at.on_wire),
            assumed=slanting,
            where=where if over else "",
            worked=(
                how,
                "Needs {} to keep and {} of swing".format(*_up((keep, swing), system)),
            ),
        )
        passed.append((finding, at))
    near = sorted((pair[0] for pair in passed), key=lambda one: one.order)
    yield from [one for one in near if one.verdict != "meets"] or near[:1]
    yield from _between(moment, item, up, passed, slanting)
    yield from _touching(moment, item, up, scene, swing)


class Beside(NamedTuple):
    """Where a wire passes a hanging pole.

    Attributes:
        gap_in: from the pole's surface to the wire's centre line.
        axis_in: from the pole's axis, level.
        height_in: of that place above the butt.
        way: level direction from the pole to it, east and north.
        on_pole: the place on the pole; `on_wire` that on the wire.
    """

    gap_in: float
    axis_in: float
    height_in: float
    way: tuple[float, float]
    on_pole: Point
    on_wire: Point


def beside(up: Raised, run: Run) -> Beside:
    """Where a wire comes nearest to a hanging pole."""
    p, q = np.array([run.p]), np.array([run.q])
    body = (np.array([up.butt]), np.array([up.top]), np.array([up.r_butt]), np.array([up.r_top]))
    gap, share, on = to_cylinder(p, q, *body)
    wire = p[0] + (q[0] - p[0]) * share[0]
    height = float(wire[2]) - up.butt[2]
    long = max(up.top[2] - up.butt[2], 1e-9)
    axis = np.array(up.butt) + (np.array(up.top) - np.array(up.butt)) * min(1.0, height / long)
    east, north = float(wire[0] - axis[0]), float(wire[1] - axis[1])
    off = math.hypot(east, north)
    way = (east / off, north / off) if off > 1e-9 else (0.0, 0.0)
    return Beside(float(gap[0]), off, height, way, _point(on[0]), _point(wire))


def _point(array: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Point:
    east, north, height = (float(one) for one in array)
    return (east, north, height)


def _between(
    moment: Moment,
    item: Item,
    up: Raised,
    passed: list[tuple[Finding, Beside]],
    slanting: str,
) -> Iterator[Finding]:
    """The gap between the nearest wires on two sides, with the swing there is room for."""
    settings = moment.job.settings
    beside_it = (one for one in passed if up.butt[2] < one[1].on_wire[2] < up.top[2])
    low = sorted(beside_it, key=lambda one: one[1].axis_in)
    if not low:
        return
    first, at = low[0]
    other = next((one for one in low[1:] if _opposite(one[1].way, at.way)), None)
    if other is None:
        return
    second, there = other
    keep, swing = settings.setting_keep_in or 0.0, settings.swing_in or 0.0
    system = settings.units
    dia = up.dia_at(min(at.height_in, there.height_in))
    radii = sum(one.b.shape.r for one in (first, second) if one.b and isinstance(one.b.shape, Run))
    width = at.axis_in + there.axis_in - radii
    # a hole that is not in the middle leaves the smaller side on both
    room = min(width, 2.0 * at.axis_in - radii)
    found = through(room, dia, keep, swing)
    tolerance = first.tolerance_in + second.tolerance_in
    allowed = inches_text(max(0.0, found.swing_in), toward="down", system=system)
    where = f"swing it allows: {allowed} each side"
    if width - room > 1.0:
        between = length_text(width, toward="down", system=system)
        where += f"; {between} between them, hole not in the middle"
    names = f"{moment.job.label(first.b.owner)}" if first.b else ""
    rule = step_rule(
        f"gap.{item.id}", f"Gap for the pole between {names} and the wire across", "slant"
    )
    yield Finding(
        rule,
        first.b,
        second.b,
        verdict(room, found.need_in, tolerance, assumed=bool(slanting)),
        room,
        found.need_in,
        tolerance,
        assumed=slanting,
        where=where,
        worked=(
            "{} thick where it passes, {} kept and {} of swing on each side".format(
                *_up((dia, keep, swing), system)
            ),
        ),
    )


def _opposite(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return one[0] * other[0] + one[1] * other[1] < -0.5


def _touching(
    moment: Moment, item: Item, up: Raised, scene: Scene, swing_in: float
) -> Iterator[Finding]:
    """The nearest of the other poles and their arms."""
    found: list[tuple[float, Part]] = []
    base, top = np.array([up.butt]), np.array([up.top])
    for other in scene.bodies:
        if not other.tags & (Tag.POLE | Tag.ARM) or other.pole == item.id or other.missing:
            continue
        shape = other.shape
        if isinstance(shape, Box):
            axes = np.array([[shape.u, shape.v, shape.w]])
            off, share, _ = to_box(
                base, top, np.array([shape.centre]), axes, np.array([shape.half])
            )
            radius = up.r_butt + (up.r_top - up.r_butt) * float(share[0])
            found.append((float(off[0]) - radius, other))
        elif isinstance(shape, Tube):
            ends = (np.array([shape.p]), np.array([shape.q]))
            radii = (np.array([shape.r_p]), np.array([shape.r_q]))
            off, share, _ = to_cylinder(base, top, *ends, *radii)
            radius = up.r_butt + (up.r_top - up.r_butt) * float(share[0])
            found.append((float(off[0]) - radius, other))
    rule = step_rule(f"fouls.{item.id}", "A pole passes other poles and their arms", "surface")
    part = moment.after.part_by_key.get(item.id) or moment.before.part_by_key.get(item.id)
    for gap, other in sorted(found, key=lambda one: one[0])[:1]:
        said: Verdict = verdict(gap, swing_in, other.tolerance_in, assumed=False)
        words = f"{job_label(moment, other)} is in the way" if gap <= 0.0 else ""
        yield Finding(rule, part, other, said, gap, swing_in, other.tolerance_in, where=words)


def job_label(moment: Moment, part: Part) -> str:
    """What the thing is called that a part belongs to."""
    return moment.job.label(part.owner)


def in_circle(scene: Scene, boom: Boom) -> tuple[str, ...]:
    """The circuits with a wire inside the circle that a boom can reach, nearest first."""
    found: dict[str, float] = {}
    for part in scene.bodies:
        if part.tags & _SUPPLY != _SUPPLY or not isinstance(part.shape, Run) or part.missing:
            continue
        off = _off_in_plan(part.shape, boom)
        if part.circuit is not None and off <= boom.reach_in:
            found[part.circuit] = min(off, found.get(part.circuit, math.inf))
    return tuple(sorted(found, key=found.__getitem__))


def _off_in_plan(run: Run, boom: Boom) -> float:
    way = (run.q[0] - run.p[0], run.q[1] - run.p[1])
    start = (boom.east_in - run.p[0], boom.north_in - run.p[1])
    size = way[0] ** 2 + way[1] ** 2
    share = (start[0] * way[0] + start[1] * way[1]) / size if size > 0.0 else 0.0
    share = min(1.0, max(0.0, share))
    return math.hypot(start[0] - share * way[0], start[1] - share * way[1])


def _boom(moment: Moment, item: Item) -> Iterator[Finding]:
    job, boom = moment.job, moment.step.boom
    part = moment.after.part_by_key.get(item.id) or moment.before.part_by_key.get(item.id)
    rule = step_rule(f"boom.{item.id}", "What the boom can reach")
    if boom is None:
        words = f"where the boom for {job.label(item.id)} stands and how far it reaches not typed"
        yield Finding(rule, part, None, "cannot say", missing=words)
        return
    inside = in_circle(moment.before, boom)
    if not inside:
        yield Finding(rule, part, None, "meets", where="no supply wire inside its circle")
        return
    names = ", ".join(job.label(one) for one in inside)
    reach = length_text(boom.reach_in, toward="up", system=job.settings.units)
    words = f"inside its circle of {reach}: {names}"
    yield Finding(rule, part, None, "tight", where=words, assumed="it is kept off them by hand")
