"""Poles in between: how deep the old pole stands, and what a pole stands with what is still on it.

Only the pull of the wires counts here, level at the height each rests at, with guys that lead
against it; no wind, no weight, no leaning. The strength is the mean one of new sound wood over the
girth of what is sound at the ground line. A pole that a boom or temporary guys hold is told apart:
how much these hold is not reckoned.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from framer.checks.finding import Finding, Verdict, verdict
from framer.geometry.pole import PoleSolid, rule_depth_in
from framer.geometry.scene import Scene, Tag, Tube
from framer.geometry.written import small
from framer.mechanics.pole import capacity, hollow_section_modulus
from framer.model.item import Item
from framer.model.job import Job
from framer.model.place import Guyed, Standing
from framer.model.stage import place_at
from framer.stock.catalogue import catalogue
from framer.stock.part import GuyPart
from framer.strength.data import woods
from framer.strength.held import Held
from framer.strength.loads import GuyOn
from framer.transfer.moment import Moment, step_rule
from framer.transfer.spans import FT, conductors, pulls
from framer.units.length import decimal_text, length_text

NOT_IN_IT = "mean strength of new sound wood, wire pull only, no wind"
_PULLING, _WIRE, _GUY = int(Tag.WIRE | Tag.GUY), int(Tag.WIRE), int(Tag.GUY)
_NEAR_GROUND_IN = 24.0
"""Readings of sound wood this near the ground line count for it."""
_HELD = "held by a boom or temporary guys; what these hold is not reckoned"
_SMALL_LBF_IN = 12.0 * FT
"""A moment of less than this, 12 lbf ft, is none."""


class WirePull(Struct, frozen=True):
    """What one conductor pulls on a pole."""

    wires: tuple[str, ...]
    height_in: float
    east_lbf: float
    north_lbf: float

    @property
    def level_lbf(self) -> float:
        """Its level pull."""
        return math.hypot(self.east_lbf, self.north_lbf)


class OnPoleNow(Struct, frozen=True):
    """What pulls on a pole at a stage.

    Attributes:
        wires: every conductor on it.
        guys: its guys.
        moment_lbf_in: about the ground line, after what the guys take.
        unguyed_lbf_in: before that.
        missing: what is not known.
        assumed: what was taken.
    """

    wires: tuple[WirePull, ...]
    guys: tuple[GuyOn, ...]
    moment_lbf_in: float
    unguyed_lbf_in: float
    missing: str = ""
    assumed: str = ""


class Stands(Struct, frozen=True):
    """What a pole stands at its ground line.

    Attributes:
        moment_lbf_in: at which it fails; `None` when something is missing.
        words: girth and strength it comes from, or what is not known.
        assumed: what was taken.
    """

    moment_lbf_in: float | None
    words: str
    assumed: str = ""


def times(capacity_lbf_in: float, moment_lbf_in: float) -> float:
    """How many times a pole stands what is on it; without end for nothing."""
    return capacity_lbf_in / moment_lbf_in if moment_lbf_in > 0.0 else math.inf


def moment_of(wires: tuple[WirePull, ...], guys: tuple[GuyOn, ...] = ()) -> tuple[float, float]:
    """The moment about the ground line, after and before what guys take of it [lbf in]."""
    whole = np.array(
        [
            sum((one.east_lbf * one.height_in for one in wires), 0.0),
            sum((one.north_lbf * one.height_in for one in wires), 0.0),
        ]
    )
    before = float(np.hypot(*whole))
    if not guys:
        return before, before
    held = Held(guys, np.array([0.0, 1.0]), None).pulls(np.array([[whole, whole]]))[0]
    for guy, pull in zip(guys, held.tolist(), strict=True):
        whole += pull * guy.height_in * np.array([guy.east, guy.north])
    return float(np.hypot(*whole)), before


def on_pole(scene: Scene, pole: str) -> OnPoleNow:
    """What pulls on a standing pole at the scene's stage."""
    kept: dict[str, OnPoleNow] = scene.kept.setdefault("on pole", {})
    if pole not in kept:
        kept[pole] = _on_pole(scene, pole)
    return kept[pole]


def _on_pole(scene: Scene, pole: str) -> OnPoleNow:
    solid = scene.poles[pole]
    wires: list[WirePull] = []
    assumed: dict[str, None] = {}
    guys, missing = _guys(scene, pole)
    for conductor in conductors(scene):
        parts = [scene.part_by_key.get(key) for key in conductor.wires]
        if all(part is None or part.pole != pole for part in parts):
            continue
        found = pulls(scene, conductor.wires)
        if found.missing:
            missing = missing or found.missing
            continue
        both = []
        for drawn in (found.loose, found.tied):
            east = sum(one.tied_lbf * one.east_in / one.level_in for one in drawn)
            north = sum(one.tied_lbf * one.north_in / one.level_in for one in drawn)
            both.append((east, north))
        east, north = max(both, key=lambda pull: math.hypot(*pull))
        if found.assumed:
            assumed[found.assumed] = None
        heights = [
            part.shape.p[2]
            for part in parts
            if part is not None and part.shape is not None and not part.missing
        ]
        wires.append(WirePull(conductor.wires, max(heights) - solid.foot[2], east, north))
    after, before = moment_of(tuple(wires), guys)
    return OnPoleNow(tuple(wires), guys, after, before, missing, "; ".join(assumed))


def _guys(scene: Scene, pole: str) -> tuple[tuple[GuyOn, ...], str]:
    job, solid, missing = scene.job, scene.poles[pole], ""
    found: list[GuyOn] = []
    for item in job.items:
        where = place_at(job, item, scene.stage) if item.kind == "guy" else None
        if isinstance(where, Guyed) and where.host == pole and item.id not in scene.parts_of:
            missing = f"strand of {job.label(item.id)} not known"
    for part in scene.bodies:
        if not part.tags & _GUY or part.pole != pole:
            continue
        label = job.label(part.owner)
        if part.missing or not isinstance(part.shape, Tube):
            missing = part.missing or f"where {label} is not known"
            continue
        p, q = part.shape.p, part.shape.q
        axis = solid.point(part.up_in)
        lead = math.dist(axis[:2], q[:2])
        height = p[2] - solid.foot[2]
        if lead <= 1.0 or height <= 1.0:
            continue
        stock = catalogue().get(job.item_by_id[part.owner].part or "")
        found.append(
            GuyOn(
                part.owner,
                label,
                height,
                (q[0] - axis[0]) / lead,
                (q[1] - axis[1]) / lead,
                lead,
                p[2] - q[2],
                stock if isinstance(stock, GuyPart) else None,
            )
        )
    return tuple(found), missing


def stands(job: Job, item: Item, solid: PoleSolid) -> Stands:
    """What a pole stands at its ground line; of a found one the sound girth is asked for."""
    label = job.label(item.id)
    species = item.pole.species if item.pole else None
    wood = woods().get(species or "")
    if wood is None:
        what = f"bending strength of {species}" if species else f"species of {label}"
        return Stands(None, f"{what} not known")
    found = [one for one in job.girths(item.id, "sound girth") if _near(one.at_in)]
    assumed = ""
    if found:
        girth = min(one.value_in - one.tolerance_in for one in found)
        what = f"sound girth {small(job.settings.units, girth, 'down')}"
    elif item.places[0].when == "found":
        return Stands(None, f"sound girth of {label} not known")
    else:
        known = solid.girth_in(0.0)
        if known is None:
            return Stands(None, f"girth of {label} not known")
        round_in = decimal_text(known, toward="down", system=job.settings.units)
        girth, what = known, f"girth {round_in}, {solid.girth_from}"
    strength = capacity(wood.fiber_psi, girth)
    shells = [one for one in job.girths(item.id, "sound shell") if _near(one.at_in)]
    dia = girth / math.pi
    if shells and (thick := min(one.value_in - one.tolerance_in for one in shells)) < dia / 2.0:
        strength = wood.fiber_psi * hollow_section_modulus(dia, dia - 2.0 * max(thick, 0.0))
        what += f", shell {small(job.settings.units, thick, 'down')}"
    source = wood.how("fiber_psi")
    return Stands(strength, f"{what}, {wood.fiber_psi:,.0f} psi{source}; {NOT_IN_IT}", assumed)


def _near(at_in: float | None) -> bool:
    return (at_in or 0.0) <= _NEAR_GROUND_IN


def pole_findings(moment: Moment) -> Iterator[Finding]:
    """What is said of every pole whose strain the step changes."""
    for pole in moment.after.poles:
        item = moment.job.item_by_id[pole]
        if not _changes(moment, pole):
            continue
        if item.places[0].when == "found":
            yield from _depth(moment, item)
        strength = _strength(moment, item)
        if strength is not None:
            yield strength
        yield from _guys_off(moment, item, strength)
        yield from _last_wire(moment, item)


def _changes(moment: Moment, pole: str) -> bool:
    """Whether the step moves the pole itself, or a wire or a guy that is or was on it."""
    moved = {thing.id for thing in moment.moved}
    if pole in moved:
        return True
    for scene in (moment.before, moment.after):
        for key in moved:
            for part in scene.parts_of.get(key, ()):
                if part.pole == pole and part.tags & _PULLING:
                    return True
        # what carries wires takes them with it
        for conductor in conductors(scene):
            run = scene.part_by_key.get(conductor.wires[0])
            if conductor.host in moved and run is not None and run.pole == pole:
                return True
    return False


def is_held(job: Job, item: Item, number: int) -> bool:
    """Whether a boom or temporary guys hold a pole at a stage."""
    where = place_at(job, item, number)
    return isinstance(where, Standing) and where.held


def _depth(moment: Moment, item: Item) -> Iterator[Finding]:
    job, label = moment.job, moment.job.label(item.id)
    solid = moment.after.poles[item.id]
    rule = step_rule(
        f"old-depth.{item.id}", "An old pole is as deep as the rule before its strain is changed",
        "slant",
    )  # fmt: skip
    part = moment.after.part_by_key.get(item.id)
    length = item.pole.length_in if item.pole else None
    if solid.depth_in is None or length is None:
        what = "length" if length is None else "setting depth"
        yield Finding(rule, part, None, "cannot say", missing=f"{what} of {label} not known")
        return
    where = place_at(job, item, moment.number)
    cut = where.cut_in if isinstance(where, Standing) else 0.0
    need, words = rule_depth_in(length, cut, job.settings)
    said: Verdict = verdict(solid.depth_in, need, solid.depth_tolerance_in, assumed=False)
    assumed, more = "", ""
    if said == "short":
        more = "do not change its strain until it is held"
        if is_held(job, item, moment.number):
            said, assumed, more = "tight", _HELD, f"shallow, but {_HELD}"
    yield Finding(
        rule,
        part,
        None,
        said,
        solid.depth_in,
        need,
        solid.depth_tolerance_in,
        assumed=assumed,
        where=more,
        worked=(f"Depth from {solid.depth_from}; rule: {words}",),
    )


def _strength(moment: Moment, item: Item) -> Finding | None:
    job, scene = moment.job, moment.after
    label, factor = job.label(item.id), job.settings.pole_factor
    rule = step_rule(
        f"pole-stands.{item.id}", f"{label} stands what is on it", "strength moment", note=NOT_IN_IT
    )
    part = scene.part_by_key.get(item.id)
    now = on_pole(scene, item.id)
    if not now.missing and now.moment_lbf_in < _SMALL_LBF_IN:
        return None
    held = is_held(job, item, moment.number)
    strong = stands(job, item, scene.poles[item.id])
    missing = now.missing or (strong.words if strong.moment_lbf_in is None else "")
    if not missing and factor is None:
        missing = f"how many times {label} must stand what is on it not typed"
    if missing or strong.moment_lbf_in is None or factor is None:
        return Finding(rule, part, None, "cannot say", missing=missing)
    gap, need = strong.moment_lbf_in / FT, factor * now.moment_lbf_in / FT
    said = verdict(gap, need, 0.0, assumed=bool(now.assumed))
    ratio = times(strong.moment_lbf_in, now.moment_lbf_in)
    where = f"{math.floor(ratio * 100.0) / 100.0:.2f} times, asked {factor:g}; {NOT_IN_IT}"
    assumed = now.assumed
    if said == "short":
        where += "; do not slack guys, support the pole first"
        if held:
            said = "tight"
            assumed = _HELD
    return Finding(
        rule,
        part,
        None,
        said,
        gap,
        need,
        assumed=assumed,
        where=where,
        worked=(
            f"Stands {gap:,.0f} lbf ft: {strong.words}",
            *(
                f"{job.label(one.wires[0])}: {one.level_lbf:,.1f} lbf at "
                f"{length_text(one.height_in, system=job.settings.units)}"
                for one in now.wires
            ),
            f"Moment of the wires {now.unguyed_lbf_in / FT:,.0f} lbf ft, "
            f"{now.moment_lbf_in / FT:,.0f} lbf ft after {len(now.guys)} guys; times {factor:g}",
        ),
    )


def _guys_off(moment: Moment, item: Item, strength: Finding | None) -> Iterator[Finding]:
    """Guys slackened before what takes over from them holds."""
    job = moment.job
    if not on_pole(moment.after, item.id).wires:
        return
    for thing in moment.moved:
        if not isinstance(thing, Item) or thing.kind != "guy":
            continue
        was = place_at(job, thing, moment.number - 1)
        now = place_at(job, thing, moment.number)
        if not isinstance(was, Guyed) or was.host != item.id or now == was:
            continue
        successors = [one for one in job.items if one.replaces == thing.id]
        there = [
            one for one in successors if isinstance(place_at(job, one, moment.number - 1), Guyed)
        ]
        rule = step_rule(f"guy-off.{thing.id}", "No guy is slackened before its replacement holds")
        part = moment.before.part_by_key.get(thing.id)
        label = job.label(thing.id)
        if there:
            words = f"{job.label(there[0].id)} has taken over from {label}"
            yield Finding(rule, part, None, "meets", where=words)
            continue
        alone = "meets" if strength is None else strength.verdict
        words = f"nothing has taken over from {label}"
        if alone == "meets":
            words += f"; {job.label(item.id)} stands without it"
        if alone == "cannot say" and strength is not None:
            missing = f"{words}; {strength.missing}"
            yield Finding(rule, part, None, "cannot say", missing=missing)
        else:
            if alone == "short":
                words += ": do not slack it, support the pole first"
            assumed = strength.assumed if strength is not None else ""
            yield Finding(rule, part, None, alone, where=words, assumed=assumed)


def _last_wire(moment: Moment, item: Item) -> Iterator[Finding]:
    """The step that takes the last wire off a pole, when it may topple."""
    before = _count(moment.before, item.id)
    if not before or _count(moment.after, item.id):
        return
    job, label = moment.job, moment.job.label(item.id)
    rule = step_rule(f"last-wire.{item.id}", "Nobody is on a pole when the last wire comes off it")
    part = moment.after.part_by_key.get(item.id)
    held = is_held(job, item, moment.number - 1) and is_held(job, item, moment.number)
    if held:
        yield Finding(rule, part, None, "meets", where=f"{label} is held")
        return
    words = f"{label} is not held and may topple: people off it, boom on"
    climbing = any(one.pole == item.id and one.by == "climbing" for one in moment.step.workers)
    yield Finding(
        rule, part, None, "short" if climbing else "tight", where=words, assumed="not held"
    )


def _count(scene: Scene, pole: str) -> int:
    return sum(1 for part in scene.bodies if part.tags & _WIRE and part.pole == pole)
