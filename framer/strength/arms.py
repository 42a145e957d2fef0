"""Whether the arms of a pole stand their wires, a person, and what pulls them along the line.

An arm is a beam on the bolt that holds it. At every hole the moments of all that hangs or pulls
farther out are taken, upright and along the line, and their stresses at the corner of the section
are added. Braces are not counted at first; an arm that only stands with them, as stiff supports,
is `tight`. A double arm is two arms that share alike, not one thick one. Twist by what stands above
the arm, and the wind on the arm itself, are not counted; the arm carries more than is said.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from framer.errors import FormulaError, UnknownNameError
from framer.geometry.scene import Box, Scene, Tag
from framer.geometry.space import Point
from framer.mechanics.arm import (
    overhang_moment,
    section_at_pin,
    section_level,
    section_upright,
)
from framer.model.item import Item
from framer.model.stage import host_of, place_at
from framer.stock.bolts import bolt_size
from framer.stock.catalogue import catalogue
from framer.stock.part import ArmPart, BracePart
from framer.stock.source import Source
from framer.strength.data import Loading
from framer.strength.fittings import ArmWood, Person, arm_woods
from framer.strength.loads import Loads, loads
from framer.strength.member import Judged, down, up
from framer.strength.method import Asked, Grade, Method, asked
from framer.strength.typed import person_on_arm

PIN_HOLE_IN = 0.6875
"""Upright hole of a pin where the stock part does not say it: for a 5/8 in shank, from memory."""

BRACE_HOLE_IN = 0.5625
"""Level hole of a brace's bolt in the arm: for a 1/2 in bolt, the larger of the usual ones."""

LASTING = Loading(
    id="lasting",
    name="loads that last",
    ice_in=0.0,
    wind_psf=0.0,
    flat_wind_psf=0.0,
    temp_f=60.0,
    source=Source("bare wires at 60 F, without ice and wind", "common practice"),
)
"""What an arm carries for years."""

_OWNERS = "what sits on arms"
_BRACE = int(Tag.BRACE)
_HAIR = 1e-6
_SMALL_TURN_LBF_IN = 600.0
"""A turning moment that friction under the bolt's washer can be trusted with: 50 lbf ft, house."""


class ArmLoad(Struct, frozen=True):
    """One load on an arm, with factors.

    Attributes:
        name: what it comes from.
        out_in: how far from the bolt, along the arm; below 0 on the other side.
        down_lbf: upright.
        along_lbf: level, square to the arm; below 0 towards the side away from its face.
        gust_lbf: wind that adds to it either way.
    """

    name: str
    out_in: float
    down_lbf: float
    along_lbf: float
    gust_lbf: float = 0.0


class Place(NamedTuple):
    """A section of an arm: its distance from the bolt, and its section moduli [in3]."""

    words: str
    at_in: float
    upright_in3: float
    level_in3: float


class Stress(Struct, frozen=True):
    """The stress at a section of one arm member [psi], and the moments behind it [lbf in].

    `how` says how the upright moment comes about where it is not that of an overhang.
    """

    place: Place
    upright_lbf_in: float
    level_lbf_in: float
    psi: float
    how: str = ""


def arm_places(stock: ArmPart) -> list[Place]:
    """The sections of an arm that holes weaken: at its bolt and at every pin.

    Raises:
        FormulaError: a hole is as large as the arm.
    """
    width, depth = stock.width_in, stock.depth_in
    bolt = max((_hole(bore.bolt_dia_in) for bore in stock.bores), default=0.0)
    found = [
        Place(
            f"bolt, hole {bolt:g} in",
            0.0,
            section_upright(width, depth, bolt),
            section_level(width, depth, bolt),
        )
    ]
    pin = PIN_HOLE_IN if stock.pin_hole_in is None else stock.pin_hole_in
    if stock.material == "wood":
        found += [
            Place(
                f"pin {at:+g} in, hole {pin:g} in",
                at,
                section_at_pin(width, depth, pin),
                # seen from above the hole lies in the middle of the section
                section_upright(depth, width, pin),
            )
            for at in stock.pins_in
            if abs(at) > _HAIR
        ]
    return found


def _hole(bolt_dia_in: float) -> float:
    try:
        return bolt_size(bolt_dia_in).hole_in
    except UnknownNameError:
        return bolt_dia_in + 0.0625


def stress_at(place: Place, side: float, some: list[ArmLoad], members: int) -> Stress:
    """The stress at a section from the loads farther out on a side (1 or -1), in one member."""
    there = side * place.at_in
    upright = overhang_moment([(one.down_lbf, side * one.out_in) for one in some], there)
    level = overhang_moment([(one.along_lbf, side * one.out_in) for one in some], there)
    gust = overhang_moment([(one.gust_lbf, side * one.out_in) for one in some], there)
    upright, level = abs(upright) / members, (abs(level) + gust) / members
    return Stress(place, upright, level, upright / place.upright_in3 + level / place.level_in3)


def worst_stress(stock: ArmPart, some: list[ArmLoad]) -> Stress:
    """The worst section of an arm that no brace helps.

    Raises:
        FormulaError: a hole is as large as the arm.
    """
    found = []
    for place in arm_places(stock):
        sides = (1.0, -1.0) if place.at_in == 0.0 else (math.copysign(1.0, place.at_in),)
        found += [stress_at(place, side, some, stock.members) for side in sides]
    return max(found, key=lambda one: one.psi)


def braced_stress(stock: ArmPart, some: list[ArmLoad], reach_in: float) -> Stress:
    """The worst section of an arm whose braces are stiff supports of what comes down.

    Beam on three supports: over the bolt no more than a quarter of both overhangs' moments, by the
    three moments' theorem, and what lies between bolt and brace as on a beam of that length.

    Raises:
        FormulaError: a hole is as large as the arm.
    """
    width, depth, members = stock.width_in, stock.depth_in, stock.members
    brace = Place(
        f"brace, hole {BRACE_HOLE_IN:g} in",
        reach_in,
        section_upright(width, depth, BRACE_HOLE_IN),
        section_level(width, depth, BRACE_HOLE_IN),
    )
    found, over = [], 0.0
    for side in (1.0, -1.0):
        at = brace._replace(at_in=side * reach_in)
        one = stress_at(at, side, some, members)
        over += one.upright_lbf_in / 4.0
        found.append(one)
    ends = " + ".join(f"{one.upright_lbf_in:,.0f}" for one in found)
    inside = sum(
        one.down_lbf * abs(one.out_in) * (reach_in - abs(one.out_in)) / reach_in
        for one in some
        if abs(one.out_in) < reach_in
    )
    over += inside / members
    how = (
        f"Braces as stiff supports {reach_in:g} in out: upright over the bolt no more than a "
        f"quarter of both overhangs' moments there ({ends}) / 4, + {inside / members:,.0f} of what "
        f"lies nearer, a beam on two supports, = {over:,.0f} lbf in"
    )
    bolt, *pins = arm_places(stock)
    for side in (1.0, -1.0):
        level = stress_at(bolt, side, some, members).level_lbf_in
        psi = over / bolt.upright_in3 + level / bolt.level_in3
        found.append(Stress(bolt, over, level, psi, how))
    for pin in pins:
        one = stress_at(pin, math.copysign(1.0, pin.at_in), some, members)
        if abs(pin.at_in) < reach_in:
            # nearer than the brace the larger of what either end of that piece has
            upright = max(over, *(found[number].upright_lbf_in for number in (0, 1)))
            psi = upright / pin.upright_in3 + one.level_lbf_in / pin.level_in3
            one = Stress(pin, upright, one.level_lbf_in, psi, f"{how}; nearer than the brace the "
                         "larger of that and what the braces have")  # fmt: skip
        found.append(one)
    return max(found, key=lambda one: one.psi)


def judged_arms(scene: Scene, method: Method, grade: Grade, carried: Loads) -> Iterator[Judged]:
    """What is said of every arm of a pole under a loading."""
    want = asked(method, grade, carried.case, "wood")
    frames = list(_frames(scene, carried.pole))
    if not frames:
        return
    lasting = None
    if method.id == "go95" and not carried.case.is_extreme:
        lasting = loads(scene, carried.pole, LASTING)
    person = person_on_arm(method, scene.job.settings)
    for frame in frames:
        arm = _Arm(scene, frame, want, carried)
        yield from arm.judged(person if not carried.case.is_extreme else None)
        if lasting is not None and not carried.missing:
            yield from _Arm(scene, frame, want, lasting).lasting()


class _Frame(Struct, frozen=True):
    """An arm in space: its bolt, the way along it and the way it faces."""

    item: Item
    stock: ArmPart
    bolt: Point
    along: Point
    out: Point
    brace: BracePart | None


def _frames(scene: Scene, pole: str) -> Iterator[_Frame]:
    braces: dict[str, BracePart] = {}
    for item in scene.job.items:
        stock = catalogue().get(item.part or "")
        if isinstance(stock, BracePart) and item.id in scene.parts_of:
            host = host_of(place_at(scene.job, item, scene.stage))
            if host:
                braces[host] = stock
    for item in scene.job.items:
        parts = scene.parts_of.get(item.id, ())
        stock = catalogue().get(item.part or "")
        if not parts or parts[0].pole != pole or not isinstance(stock, ArmPart):
            continue
        shape = parts[0].shape
        if isinstance(shape, Box):
            middle, along = shape.centre, shape.u
            bolt = (
                middle[0] - along[0] * stock.middle_in,
                middle[1] - along[1] * stock.middle_in,
                middle[2],
            )
            yield _Frame(item, stock, bolt, along, shape.v, braces.get(item.id))


def _owners_on(scene: Scene) -> dict[str, frozenset[str]]:
    """What sits on each arm, braces apart; kept with the scene."""
    kept: dict[str, frozenset[str]] | None = scene.kept.get(_OWNERS)
    if kept is None:
        found: dict[str, set[str]] = {}
        for part in scene.bodies:
            if part.level and not part.tags & _BRACE:
                found.setdefault(part.level, set()).add(part.owner)
        kept = scene.kept[_OWNERS] = {key: frozenset(some) for key, some in found.items()}
    return kept


class _Arm:
    """One arm under one loading."""

    def __init__(self, scene: Scene, frame: _Frame, want: Asked, carried: Loads) -> None:
        self.scene, self.frame, self.want, self.carried = scene, frame, want, carried
        self.name = scene.job.label(frame.item.id)
        self.here = _owners_on(scene).get(frame.item.id, frozenset())
        self.loads = list(self._loads())
        self.wood, self.assumed = self._timber()
        self.missing = self._missing()

    def _loads(self) -> Iterator[ArmLoad]:
        frame, foot = self.frame, self.scene.poles[self.carried.pole].foot
        joined: dict[tuple[str, float], list[float]] = {}
        for pull in self.carried.steady:
            own = pull.owner == frame.item.id
            if not own and pull.owner not in self.here:
                continue
            at = (foot[0] + pull.east_in - frame.bolt[0], foot[1] + pull.north_in - frame.bolt[1])
            out = at[0] * frame.along[0] + at[1] * frame.along[1]
            if own:
                # its weight hangs half on either side of the middle
                quarter = frame.stock.length_in / 4.0
                for side in (quarter, -quarter):
                    half = pull.down_lbf * self.want.vertical / 2.0
                    yield ArmLoad("the arm's own weight", frame.stock.middle_in + side, half, 0.0)
                continue
            level = pull.east_lbf * frame.out[0] + pull.north_lbf * frame.out[1]
            one = joined.setdefault((pull.name, round(out, 3)), [0.0, 0.0, 0.0])
            one[0] += pull.down_lbf * self.want.vertical
            one[1] += level * self.want.tension
        for gust in self.carried.gusts:
            if gust.kind != "wind on wire" or gust.owner not in self.here:
                continue
            at = (foot[0] + gust.east_in - frame.bolt[0], foot[1] + gust.north_in - frame.bolt[1])
            out = at[0] * frame.along[0] + at[1] * frame.along[1]
            force = gust.force_lbf(frame.out[0], frame.out[1]) * self.want.wind
            joined.setdefault((gust.name, round(out, 3)), [0.0, 0.0, 0.0])[2] += force
        for (name, out), some in joined.items():
            yield ArmLoad(name, out, *some)

    def _timber(self) -> tuple[ArmWood | None, tuple[str, ...]]:
        """The timber; where nobody said it the weakest listed, and that this was taken."""
        key = self.frame.stock.species or self.scene.job.settings.arm_species
        if key:
            return arm_woods().get(key), ()
        weakest = min(arm_woods().values(), key=lambda one: one.fiber_psi)
        return weakest, (f"timber of {self.name} not known, taken as the weakest: {weakest.id}",)

    def _missing(self) -> str:
        """What is not known, so that nothing can be said of this arm."""
        job = self.scene.job
        if self.frame.stock.material != "wood":
            material = self.frame.stock.material
            return f"bending strength of {material} arms not known: {self.frame.stock.name}"
        if self.wood is None:
            known = ", ".join(arm_woods())
            return f"there is no arm timber '{job.settings.arm_species}' (there are: {known})"
        if self.want.missing:
            return self.want.missing
        strung = {one.key for one in self.carried.strung}
        for run in job.wires:
            if run.id in self.here and run.id not in strung:
                label = job.label(run.id)
                return next((one for one in self.carried.missing if label in one), "") or (
                    f"tension of {label} not known"
                )
        for item in job.items:
            if item.kind in ("transformer", "equipment") and item.id in self.here:
                label = job.label(item.id)
                for one in self.carried.missing:
                    if label in one:
                        return one
        return ""

    def judged(self, person: Person | None) -> Iterator[Judged]:
        """What is said of this arm under its loading."""
        yield self._bending(self.loads, 1.0)
        if person is not None:
            yield self._person(person)
        yield from self._turning()
        yield from self._positions()

    def lasting(self) -> Iterator[Judged]:
        """What is said of it under what it carries for years."""
        if any(abs(one.along_lbf) > _HAIR for one in self.loads):
            yield self._bending(self.loads, self.wood.lasting_share if self.wood else 1.0)

    def _bending(self, some: list[ArmLoad], lasting: float) -> Judged:
        base = Judged("arm", self.frame.item.id, self.name, self.carried.case.name, unit="psi")
        if self.missing or self.wood is None or self.want.share is None:
            return replace(base, missing=self.missing)
        holds = self.wood.fiber_psi * self.want.share * lasting
        try:
            worst = worst_stress(self.frame.stock, some)
            assumed = self.assumed
            brace = self.frame.brace
            if worst.psi > holds and brace is not None:
                braced = braced_stress(self.frame.stock, some, brace.reach_in)
                if braced.psi <= holds:
                    worst = braced
                    assumed = (*assumed, "braces counted as stiff supports")
        except FormulaError as error:
            return replace(base, missing=f"{self.name}: {error}")
        return self._said(base, worst, holds, assumed, some, lasting)

    def _said(
        self,
        base: Judged,
        worst: Stress,
        holds: float,
        assumed: tuple[str, ...],
        some: list[ArmLoad],
        lasting: float,
    ) -> Judged:
        wood = self.wood
        if worst.psi > holds and self.assumed:
            best = max(arm_woods().values(), key=lambda one: one.fiber_psi)
            most = holds * best.fiber_psi / self.wood.fiber_psi if self.wood else holds
            if worst.psi <= most:
                return replace(
                    base,
                    missing=f"timber of {self.name} not known, and the weakest is short",
                    lines=tuple(self._lines(worst, holds, some, lasting, wood)),
                )
            # no timber listed stands it
            wood, holds = best, most
            assumed = (f"timber of {self.name} not known, taken as the strongest: {best.id}",)
        return replace(
            base,
            load=worst.psi,
            holds=holds,
            assumed=assumed,
            where=worst.place.words,
            lines=tuple(self._lines(worst, holds, some, lasting, wood)),
        )

    def _person(self, person: Person) -> Judged:
        stock = self.frame.stock
        base = Judged(
            "person on arm", self.frame.item.id, self.name, self.carried.case.name, unit="psi"
        )
        if self.missing or self.wood is None or self.want.share is None:
            return replace(base, missing=self.missing)
        far = stock.middle_in + stock.length_in / 2.0
        near = stock.middle_in - stock.length_in / 2.0
        end = far if abs(far) >= abs(near) else near
        ends = (far, near) if abs(abs(far) - abs(near)) < _HAIR else (end,)
        found = []
        try:
            for at in ends:
                loaded = [*self.loads, ArmLoad("a person", at, person.pounds, 0.0)]
                found.append((worst_stress(stock, loaded), loaded))
        except FormulaError as error:
            return replace(base, missing=f"{self.name}: {error}")
        worst, loaded = max(found, key=lambda one: one[0].psi)
        holds = self.wood.fiber_psi * self.want.share
        said = self._said(base, worst, holds, self.assumed, loaded, 1.0)
        words = f"Person: {person.pounds:g} lbf at the end, {person.source.words()}. {person.note}"
        return replace(said, lines=(words.strip(), *said.lines))

    def _lines(
        self,
        worst: Stress,
        holds: float,
        some: list[ArmLoad],
        lasting: float,
        wood: ArmWood | None,
    ) -> Iterator[str]:
        stock, place = self.frame.stock, worst.place
        members = f", {stock.members} arms share alike" if stock.members > 1 else ""
        yield (
            f"{self.name}, {stock.name}, {stock.width_in:g} x {stock.depth_in:g} in{members}: "
            f"worst at the {place.words}; loads with factors, lbf at in from the bolt:"
        )
        for one in some:
            level = f", level {one.along_lbf:,.0f}" if abs(one.along_lbf) > 0.5 else ""
            wind = f", wind {one.gust_lbf:,.0f}" if one.gust_lbf > 0.5 else ""
            yield f"  {one.name}: down {one.down_lbf:,.0f}{level}{wind} at {one.out_in:+.2f}"
        if worst.how:
            yield worst.how
        yield (
            f"Upright {worst.upright_lbf_in:,.0f} lbf in / {place.upright_in3:.3f} in3 + level "
            f"{worst.level_lbf_in:,.0f} lbf in / {place.level_in3:.3f} in3 = {up(worst.psi)} psi"
        )
        yield "  moments of the loads farther out on one side, in one arm; wind either way"
        if place.at_in == 0.0:
            yield "  sections with a level hole d: b (h^3 - d^3) / 6 h and (h - d) b^2 / 6"
        else:
            yield "  sections with an upright hole d: (b - d) h^2 / 6 and h (b^3 - d^3) / 6 b"
        if wood is not None and self.want.share is not None:
            last = f" x {lasting:g} for loads that last" if lasting < 1.0 else ""
            yield (
                f"Counts: {wood.fiber_psi:,.0f} psi x {self.want.share:.4g}{last} = "
                f"{down(holds)} psi; {wood.id}, {wood.source.words()}"
            )

    def _turning(self) -> Iterator[Judged]:
        """What turns the arm about its bolt, and what is there against it."""
        if self.missing:
            return
        turn = abs(sum(one.down_lbf * one.out_in for one in self.loads))
        brace, stock = self.frame.brace, self.frame.stock
        if turn <= _SMALL_TURN_LBF_IN or len(stock.bores) > 1:
            return
        base = Judged("arm turning", self.frame.item.id, self.name, self.carried.case.name)
        if brace is None:
            yield replace(
                base, missing=f"{self.name} has no brace against {turn / 12.0:,.0f} lbf ft"
            )
            return
        strut = math.hypot(brace.reach_in, brace.drop_in)
        push = turn / brace.reach_in * strut / brace.drop_in if brace.drop_in > 0.0 else math.inf
        if not math.isfinite(push):
            yield replace(base, missing=f"{brace.name} drops by nothing and holds nothing")
            return
        line = (
            f"One brace takes {turn:,.0f} lbf in / {brace.reach_in:g} in x {strut:.1f} / "
            f"{brace.drop_in:g} in = {up(push)} lbf along it"
        )
        yield replace(
            base, missing=f"strength of {brace.name} not known; it takes {up(push)} lbf",
            lines=(line,),
        )  # fmt: skip

    def _positions(self) -> Iterator[Judged]:
        """The pull of each wire position against its rating, on arms that have one."""
        rated = self.frame.stock.position_lbf
        if rated is None:
            return
        for one in self.loads:
            pull = abs(one.along_lbf) + one.gust_lbf
            if pull <= _HAIR:
                continue
            base = Judged("position", self.frame.item.id, self.name, self.carried.case.name)
            yield replace(
                base,
                load=pull,
                holds=rated,
                where=one.name,
                lines=(
                    f"{one.name} pulls {pull:,.0f} lbf with factors; rated {rated:,.0f} lbf a "
                    f"position, {self.frame.stock.source.words()}",
                ),
            )
