"""Whether a pole stands its loads: the worst section in the worst wind, and how that comes."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from framer.geometry.scene import Scene
from framer.geometry.written import small
from framer.mechanics.pole import girth_for, twist_stress
from framer.model.place import Standing
from framer.strength.bending import Bending, Bent
from framer.strength.data import Loading, woods
from framer.strength.head import each_other, ends_on, head_pull
from framer.strength.loads import GuyOn, Kind, Loads, loads
from framer.strength.member import up
from framer.strength.method import Asked, Grade, Method, asked, fiber_psi
from framer.strength.section import Sections, sections
from framer.units.length import System, decimal_text

Array = NDArray[np.float64]

_TWIST_LBF_IN = 600.0
"""A twist of less than 50 lbf ft is not told; house."""


class GuyHolds(Struct, frozen=True):
    """What a guy of the pole carries at the most, over all directions of the wind, with factors.

    Attributes:
        guy: the guy.
        level_lbf: its level pull.
        tension_lbf: in the strand.
        down_lbf: what it presses down on the pole with.
        wind_to_deg: the wind it does so in.
        others: how many other guys take their share then.
    """

    guy: GuyOn
    level_lbf: float
    tension_lbf: float
    down_lbf: float
    wind_to_deg: float
    others: int = 0


class PoleStrength(Struct, frozen=True):
    """A pole under one loading by one method, at its worst section in the worst wind.

    Moments are lbf in, with the factors of the method.

    Attributes:
        pole: id of the pole.
        case: the loading.
        loads: what it carries, without factors.
        asked: the factors.
        need_lbf_in: the moment at the worst section.
        strength_lbf_in: what counts of its strength there.
        at_in: how high above the ground line that section is, along the pole.
        wind_to_deg: where the wind blows to.
        leaning_lbf_in: the part of the moment that comes of the pole's leaning.
        push_psi: stress at the worst section of what pushes along the pole.
        lean_in: how far the top leans under the loads without factors, `None` when not known.
        guys: what the guys carry.
        upright_lbf: what comes down on the pole, its guys' pull among it; only with guys or where
            it buckles.
        buckling_lbf: the load it buckles under, times the share that counts; `None` when not asked.
        buckles: whether no state was found in which it stands still.
        buckling_lines: how the load it buckles under comes about.
        there_already: whether it was found there, and is judged by when it is replaced.
        weakened: what was taken off at the worst section.
        missing: what is not known, so that nothing can be said.
        assumed: what was taken for want of better.
        lines: the arithmetic.
    """

    pole: str
    case: Loading
    loads: Loads
    asked: Asked
    need_lbf_in: float = 0.0
    strength_lbf_in: float = 0.0
    at_in: float = 0.0
    wind_to_deg: float = 0.0
    leaning_lbf_in: float = 0.0
    push_psi: float = 0.0
    lean_in: float | None = None
    guys: tuple[GuyHolds, ...] = ()
    upright_lbf: float = 0.0
    buckling_lbf: float | None = None
    buckles: bool = False
    buckling_lines: tuple[str, ...] = ()
    there_already: bool = False
    weakened: str = ""
    missing: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()

    @property
    def left_lbf_in(self) -> float:
        """What is left of the strength; below 0 for what is wanting."""
        return self.strength_lbf_in - self.need_lbf_in


def stands(
    scene: Scene, pole: str, case: Loading, method: Method, grade: Grade, found: Loads | None = None
) -> PoleStrength:
    """Whether a standing pole stands its loads at the scene's stage.

    What guys of other poles pull on it is among them.
    """
    return _stands(scene, pole, case, (method, grade), (), found)


def _stands(
    scene: Scene,
    pole: str,
    case: Loading,
    by: tuple[Method, Grade],
    holding: tuple[str, ...],
    found: Loads | None = None,
) -> PoleStrength:
    """The same; `holding` are the poles that are reckoned already for what they hold."""
    carried, (method, grade) = found or loads(scene, pole, case), by
    there = _there_already(scene, pole)
    want = asked(method, grade, carried.case, "wood", there_already=there)
    carried = _with_head_guys(scene, carried, case, by, (*holding, pole), want)
    case = carried.case
    facts = scene.job.item_by_id[pole].pole
    species = facts.species if facts else None
    label = scene.job.label(pole)
    stress, stress_from = fiber_psi(method, species)
    rise = scene.poles[pole].rise
    entries = tuple(one.entry_in / rise for one in carried.steady)
    entries += tuple(one.entry_in / rise for one in carried.gusts)
    cut = sections(scene, pole, (*entries, *(guy.height_in / rise for guy in carried.guys)))
    missing = list(carried.missing)
    if want.missing:
        missing.append(want.missing)
    if stress is None:
        missing.append(f"{label}: {stress_from}")
    if cut.missing and cut.missing not in missing:
        missing.append(cut.missing)
    if missing or stress is None or want.share is None:
        return PoleStrength(
            pole,
            case,
            carried,
            want,
            there_already=there,
            missing=tuple(missing),
            assumed=carried.assumed,
        )
    return _Standing(scene, carried, want, cut, (stress, stress_from), method, there).judged()


def _with_head_guys(
    scene: Scene,
    carried: Loads,
    case: Loading,
    by: tuple[Method, Grade],
    holding: tuple[str, ...],
    want: Asked,
) -> Loads:
    """The loads with what guys of other poles pull, as much as they take with factors there."""
    pulls, missing = list(carried.steady), list(carried.missing)
    for one in ends_on(scene, carried.pole):
        if one.giver in holding:
            missing.append(each_other(scene, holding))
            continue
        giver = _stands(scene, one.giver, case, by, holding)
        held = next((held for held in giver.guys if held.guy.owner == one.guy), None)
        if held is None:
            why = giver.missing[0] if giver.missing else "it has no place"
            missing.append(f"what {scene.job.label(one.guy)} pulls here not known: {why}")
        elif min(want.tension, want.vertical) <= 0.0:
            missing.append(f"what {held.guy.name} pulls counts with a factor of 0 here")
        elif held.level_lbf > 0.0:
            pulls.append(head_pull(scene, one, held.guy, held.level_lbf, want))
    return replace(carried, steady=tuple(pulls), missing=tuple(missing))


def _there_already(scene: Scene, pole: str) -> bool:
    """Whether the pole was found where it stands and the work is not yet done."""
    places = scene.job.item_by_id[pole].places
    first = places[0] if places else None
    return isinstance(first, Standing) and first.when == "found" and scene.stage != "framed"


class _Standing:
    """The reckoning of one pole whose every number is known."""

    def __init__(
        self,
        scene: Scene,
        carried: Loads,
        want: Asked,
        cut: Sections,
        stress: tuple[float, str],
        method: Method,
        there: bool,
    ) -> None:
        self.scene, self.carried, self.want, self.cut = scene, carried, want, cut
        self.stress, self.stress_from = stress
        self.there = there
        self.share = want.share or 0.0
        self.solid = scene.poles[carried.pole]
        self.label = scene.job.label(carried.pole)
        facts = scene.job.item_by_id[carried.pole].pole
        wood = woods().get((facts.species if facts else None) or "")
        self.bending = Bending(carried, cut, self.solid, wood)
        self.assumed = list(carried.assumed)
        if self.bending.modulus is None:
            self.assumed.append(
                f"modulus of elasticity of {self.label} not known: what its leaning adds is not "
                "counted"
            )
        if self.bending.density is None:
            self.assumed.append(f"weight of {self.label} itself not known, not counted")
        if there and not cut.read_sound:
            self.assumed.append(f"{self.label} taken as sound: no sound girth or shell was read")
        loading = carried.case.id
        if method.loadings and loading not in method.loadings and not carried.case.is_extreme:
            self.assumed.append(f"{method.name} is not made for {carried.case.name}")

    def judged(self) -> PoleStrength:
        want, bending = self.want, self.bending
        heavy = bending.bent(want.wind, want.tension, want.vertical)
        variants = [heavy]
        if want.vertical > 1.0:
            # weights that help are counted as they are
            variants.append(bending.bent(want.wind, want.tension, 1.0))
        worst: tuple[float, int, int, int] = (-1.0, 0, 0, 0)
        left = [self._for_bending(bent) for bent in variants]
        for number, bent in enumerate(variants):
            size = np.hypot(bent.moment[..., 0], bent.moment[..., 1]) * self.want.times
            used = size / np.maximum(left[number], 1e-9)
            most = float(used.max())
            if most > worst[0]:
                worst = (most, number, *divmod(int(used.argmax()), used.shape[1]))
        _, number, way, at = worst
        bent, strength = variants[number], left[number][way]
        vector = bent.moment[way, at]
        need = float(np.hypot(*vector)) * self.want.times
        first = float(np.hypot(*bent.first[way, at])) * self.want.times
        guys = self._guys(variants)
        buckling, upright, buckling_lines = self._buckling(heavy)
        buckles = any(one.buckles for one in variants)
        lean = bending.lean(way)
        tolerance = self.solid.girth_tolerance_in
        if tolerance and not buckles:
            thick = float(self.cut.dia_in[at]) * math.pi
            least = float(strength[at]) * max(0.0, 1.0 - tolerance / thick) ** 3
            if least < need <= strength[at]:
                off = small(self.scene.job.settings.units, tolerance, "up")
                self.assumed.append(f"girths of {self.label} are good to {off}")
        result = PoleStrength(
            self.carried.pole,
            self.carried.case,
            self.carried,
            self.want,
            need_lbf_in=need,
            strength_lbf_in=float(strength[at]),
            at_in=float(self.cut.up_in[at]),
            wind_to_deg=bending.ways[way],
            leaning_lbf_in=need - first,
            lean_in=lean,
            guys=guys,
            upright_lbf=upright,
            buckling_lbf=buckling,
            buckles=buckles,
            buckling_lines=buckling_lines,
            there_already=self.there,
            weakened=self.cut.words.get(at, ""),
            assumed=tuple(self.assumed),
        )
        result = replace(result, push_psi=float(self._push_psi(bent)[way, at]))
        lines = self._lines(result, vector, at, self.want.vertical if number == 0 else 1.0)
        return replace(result, lines=tuple(lines))

    def _push_psi(self, bent: Bent) -> Array:
        """The stress of what pushes along the pole, by wind and height [psi]."""
        stress: Array = bent.push * self.want.times / np.maximum(self.cut.area_in2, 1e-9)
        return stress

    def _for_bending(self, bent: Bent) -> Array:
        """What counts of the strength in bending, the push along the pole taken off."""
        counts = self.stress * self.share - self._push_psi(bent)
        strength: Array = np.maximum(counts, 0.0) * self.cut.modulus_in3
        return strength

    def _guys(self, variants: list[Bent]) -> tuple[GuyHolds, ...]:
        found = []
        for number, guy in enumerate(self.carried.guys):
            level, way, others = 0.0, 0, 0
            for bent in variants:
                at = int(np.argmax(bent.pulls[:, number]))
                if float(bent.pulls[at, number]) > level:
                    level, way = float(bent.pulls[at, number]), at
                    others = int((bent.pulls[at] > 0.0).sum()) - 1
            stretch = math.hypot(guy.lead_in, guy.drop_in) / guy.lead_in
            down = max(0.0, level * guy.drop_in / guy.lead_in)
            blown = self.bending.ways[way]
            found.append(GuyHolds(guy, level, level * stretch, down, blown, others))
        return tuple(found)

    def _buckling(self, bent: Bent) -> tuple[float | None, float, tuple[str, ...]]:
        """What counts of the load it buckles under, what comes down on it then, and how.

        Asked of a pole under its guys, and of any that does buckle.
        """
        worst = int(np.argmax(bent.crowding))
        ratio, load = float(bent.crowding[worst]), float(bent.upright[worst])
        if ratio <= 0.0 or not (bent.buckles or (bent.pulls > 0.0).any()):
            return None, load, ()
        counts, upright = load / ratio * self.share, load * self.want.times
        pressed = sum(
            float(pull) * max(0.0, guy.drop_in) / guy.lead_in
            for pull, guy in zip(bent.pulls[worst], self.carried.guys, strict=True)
        )
        lines = (
            f"Comes down on it with factors: {load - pressed:,.0f} lbf, half of its own weight "
            f"among it, + {pressed:,.0f} lbf of its guys = {load:,.0f} lbf"
            + (f" x {self.want.times:.4g}" if self.want.times != 1.0 else ""),
            *self.bending.critical_words(bent.pulls[worst]),
            f"It buckles under {load / ratio:,.0f} lbf, x {self.share:.4g} counts",
        )
        return counts, upright, lines

    def _lines(self, found: PoleStrength, vector: Array, at: int, vertical: float) -> list[str]:
        """The arithmetic at the worst section, line by line."""
        case = self.carried.case
        lines = [
            f"Loading: {case.name}, {case.ice_in:g} in of ice, {case.wind_psf:.4g} psf of wind, "
            f"{case.temp_f:g} F; {case.source.words()}",
            *self.want.words,
            f"Worst at {feet(found.at_in)} above the ground line, wind to "
            f"{found.wind_to_deg:g} deg; moments there along the sum, which pulls to "
            f"{math.degrees(math.atan2(*vector.tolist())) % 360.0:.1f} deg, lbf ft:",
        ]
        if found.buckles:
            lines[-1] = "Moments are not told: the leaning of the pole has no end under these loads"
            return [*lines, *self._about_guys(found)]
        size = float(np.hypot(*vector))
        leaning, given = found.leaning_lbf_in / self.want.times, 0.0
        factors = {"wire tension": self.want.tension, "weight": vertical}
        for kind, moment in self._by_kind(found, vector, at).items():
            factor = factors.get(kind, self.want.wind)
            given += moment * factor
            lines.append(
                f"  {kind}: {moment / 12.0:,.0f} x {factor:g} = {moment * factor / 12.0:,.0f}"
            )
        if found.guys:
            lines.append(f"  what the guys take: {(size - leaning - given) / 12.0:,.0f}")
        if self.bending.modulus is not None:
            lines.append(f"  what leaning adds: {leaning / 12.0:,.0f}")
            lines.append(
                f"  bent again and again until it stays, E {self.bending.modulus:,.0f} psi: "
                f"{self.bending.wood_words}"
            )
        if self.want.times != 1.0:
            lines.append(f"  together {size / 12.0:,.0f} x {self.want.times:g}")
        lines.append(f"Load: {moment_text(found.need_lbf_in, up=True)}")
        girth = float(self.cut.dia_in[at]) * math.pi
        off = f"; {self.cut.words[at]}" if at in self.cut.words else ""
        lines.append(
            f"Strength there: girth {girth:.2f} in ({self.solid.girth_from}){off}, section modulus "
            f"{float(self.cut.modulus_in3[at]):.2f} in3, {self.stress:,.0f} psi x {self.share:.4g}"
            + self._push_words(found, at)
        )
        lines.append(f"  bending strength: {self.stress_from}")
        lines.append(f"What counts of it: {moment_text(found.strength_lbf_in)}")
        counts = self.stress * self.share - found.push_psi
        if counts > 0.0:
            least = math.ceil(girth_for(found.need_lbf_in, counts) * 10.0 - 1e-6) / 10.0
            below = "; with less it is replaced" if self.there else ""
            lines.append(f"Sound girth asked there, without a hole: {least:.1f} in{below}")
        left = found.left_lbf_in
        named, rest = ("Left", left) if left >= 0.0 else ("Wanting", -left)
        lines.append(f"{named}: {moment_text(rest, up=left < 0.0)}")
        lines.extend(self._twist())
        if found.lean_in is not None:
            lines.append(
                f"The top leans {found.lean_in:.1f} in under these loads without factors, "
                "by the mean modulus"
            )
        return [*lines, *self._about_guys(found)]

    def _push_words(self, found: PoleStrength, at: int) -> str:
        """What is taken off for what pushes along the pole; nothing where none is counted."""
        if not found.push_psi:
            return ""
        area = float(self.cut.area_in2[at])
        return (
            f", less {found.push_psi * area:,.0f} lbf / {area:.2f} in2 = {found.push_psi:,.0f} psi "
            "of push along it"
        )

    def _about_guys(self, found: PoleStrength) -> list[str]:
        return [
            f"{one.guy.name} carries at most {up(one.tension_lbf)} lbf with factors, "
            f"{up(one.level_lbf)} lbf of it level"
            for one in found.guys
        ]

    def _twist(self) -> list[str]:
        """What twists the pole: told, for the strength of its wood in shear is not known here."""
        twist, low = self.bending.twist(self.want.wind, self.want.tension)
        if twist < _TWIST_LBF_IN:
            return []
        dia = float(self.cut.dia_in[self.cut.at(low / self.solid.rise)])
        return [
            f"Twist about its axis at most {twist / 12.0:,.0f} lbf ft with factors, "
            f"{twist_stress(twist, dia):,.0f} psi of shear at {feet(low)} (16 T / pi d^3); not "
            "judged: the shear strength of the wood is not known here"
        ]

    def _by_kind(self, found: PoleStrength, vector: Array, at: int) -> dict[Kind, float]:
        """What each kind of load adds at a section along the whole moment, without factors."""
        bending, wind = self.bending, found.wind_to_deg
        size = float(np.hypot(*vector))
        along = vector / size if size > 0.0 else np.array([0.0, 1.0])
        way = np.array(bending.u[bending.ways.index(wind)])
        sums: dict[Kind, float] = {"wind on pole": float(bending.on_pole[at] * (way @ along))}
        z, (axis_east, axis_north) = float(bending.z[at]), bending.axis[at].tolist()
        to_east, to_north = along.tolist()
        for pull in self.carried.blown(wind):
            if pull.entry_in < z - 1e-3 or pull.kind == "wind on pole":
                continue
            arm, down = pull.height_in - z, pull.down_lbf
            east = pull.east_lbf * arm + down * (pull.east_in - axis_east)
            north = pull.north_lbf * arm + down * (pull.north_in - axis_north)
            sums[pull.kind] = sums.get(pull.kind, 0.0) + east * to_east + north * to_north
        return sums


def feet(inches: float, system: System = "ft-in") -> str:
    """A height in feet to a tenth, or metres to a hundredth."""
    return decimal_text(inches, unit="ft", system=system)


def moment_text(lbf_in: float, *, up: bool = False) -> str:
    """A moment in whole lbf ft, rounded down, or up."""
    value = lbf_in / 12.0
    whole = math.ceil(value - 1e-6) if up else math.floor(value + 1e-6)
    return f"{whole:,} lbf ft"
