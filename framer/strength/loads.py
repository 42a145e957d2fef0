"""Every pull on a pole at a stage under a loading, as numbers and in words.

Heights are above the pole's own ground line, pulls lbf, east and north; down is positive. Wind
comes from anywhere, so what it does is kept as a `Gust` until a direction is chosen. Nothing here
is multiplied by a factor of any method.

What a wire does: it pulls along its span with its tension under the loading; half of the span's
weight, with what hangs over from a low or high neighbour, comes down on its support; the wind on
half of the span is taken along the wind, on the wire's width as the wind sees it. How its
tension changes is in geometry/sagging.py.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from framer.errors import FormulaError, UnknownNameError
from framer.geometry.sagging import hung
from framer.geometry.scene import Box, Part, Run, Scene, Shape, Tag, Tube
from framer.geometry.space import Point, compass
from framer.mechanics.gust import height_factor, pressure, structure_gust, wire_gust
from framer.mechanics.pole import wind_force
from framer.mechanics.wire import ice_load, resultant, wind_load
from framer.model.item import Item
from framer.model.job import Settings
from framer.model.line import Wire
from framer.model.place import Guyed
from framer.model.stage import place_at, pole_at
from framer.stock.catalogue import catalogue
from framer.stock.catalogue import wire as stock_wire
from framer.stock.part import GuyPart, WirePart
from framer.stock.source import Source
from framer.strength.data import Loading, loading
from framer.strength.weighing import weight_of

Kind = Literal["wire tension", "wind on wire", "wind on pole", "wind on equipment", "weight"]

_PSF = 1.0 / 144.0
_FT = 12.0
_HAIR = 1e-6

TYPED_TENSION = "tension under the loading, typed"

_HEAVY = ("transformer", "equipment", "lamp")
"""Kinds of items whose weight counts: without it nothing can be said. That of others is small."""

_WEIGHED = (
    *_HEAVY,
    "arm",
    "brace",
    "insulator",
    "bracket",
    "cutout",
    "arrester",
    "attachment",
)

_IN_THE_WIND = int(Tag.ARM | Tag.CASE | Tag.INSULATOR)
_NEARBY, _WIRE, _GUY = int(Tag.NEARBY), int(Tag.WIRE), int(Tag.GUY)


class Pull(NamedTuple):
    """One load on a pole.

    Attributes:
        owner: id of the thing it comes from.
        name: what that is called.
        kind: what sort of load it is, which picks its factor.
        height_in: where it acts.
        entry_in: where it goes into the pole; the pole above feels nothing of it.
        east_in: how far east of the pole's axis at its foot it acts; `north_in` alike.
        east_lbf: what it pulls to the east; `north_lbf`, `down_lbf` alike.
        words: where the number comes from.
    """

    owner: str
    name: str
    kind: Kind
    height_in: float
    entry_in: float
    east_in: float
    north_in: float
    east_lbf: float
    north_lbf: float
    down_lbf: float
    words: str

    @property
    def sideways_lbf(self) -> float:
        """What it pulls sideways."""
        return math.hypot(self.east_lbf, self.north_lbf)


class Gust(NamedTuple):
    """What the wind does to one thing; the same as a `Pull`, for any direction of the wind.

    Attributes:
        faces: level direction east and north that a face looks in, and the wind square on it [lbf].
        any_way_lbf: the wind on a round upright thing, from wherever it comes.
        psf: the pressure, where the words are to say on how much of it; 0 where they do.
    """

    owner: str
    name: str
    kind: Kind
    height_in: float
    entry_in: float
    east_in: float
    north_in: float
    faces: tuple[tuple[float, float, float], ...]
    any_way_lbf: float
    words: str
    psf: float = 0.0

    def told(self, force_lbf: float) -> str:
        """Where a force of it comes from: on how much of it, or at what angle to a wire."""
        if self.psf > 0.0:
            return f"{self.words} on {force_lbf / self.psf:.2f} ft2"
        square = sum(force for _, _, force in self.faces)
        if self.kind == "wind on wire" and force_lbf < 0.9995 * square:
            return f"{self.words}; x {force_lbf / square:.4f}, the sine of its angle to the wire"
        return self.words

    def force_lbf(self, east: float, north: float) -> float:
        """The wind's force when it blows the way of this unit vector."""
        faced = sum(abs(e * east + n * north) * force for e, n, force in self.faces)
        return self.any_way_lbf + faced


def gust_forces(gusts: Sequence[Gust], ways: NDArray[np.float64]) -> NDArray[np.float64]:
    """The force of each gust when the wind blows these ways, by way and gust [lbf].

    `ways` are unit vectors east and north, one a row; the same as `Gust.force_lbf` of each.
    """
    found: NDArray[np.float64] = np.tile([float(one.any_way_lbf) for one in gusts], (len(ways), 1))
    faces = [(at, *face) for at, one in enumerate(gusts) for face in one.faces]
    if faces:
        numbers = np.array(faces)
        faced = np.abs(ways @ numbers[:, 1:3].T) * numbers[:, 3]
        owner = numbers[:, :1] == np.arange(len(gusts))
        found += faced @ owner
    return found


class GuyOn(Struct, frozen=True):
    """A guy of the pole, as far as it holds it.

    Attributes:
        owner: id of the guy.
        name: what it is called.
        height_in: where it is fixed.
        east, north: unit vector of the way it leads, level.
        lead_in: how far it leads, level.
        drop_in: how much lower its far end is, or the end of the strut it goes over.
        stock: its strand, `None` when not known.
        strut_height_in: of the strut a sidewalk guy goes over, which pushes back on the pole there;
            0 for a straight guy.
    """

    owner: str
    name: str
    height_in: float
    east: float
    north: float
    lead_in: float
    drop_in: float
    stock: GuyPart | None
    strut_height_in: float = 0.0


class Strung(Struct, frozen=True):
    """A wire under the loading, for whoever goes on with its tension.

    Attributes:
        key: id of the wire.
        tension_lbf: the level tension under the loading.
        strength_lbf: what it breaks at, `None` when not known.
        words: where the tension comes from.
    """

    key: str
    tension_lbf: float
    strength_lbf: float | None
    words: str


class Loads(Struct, frozen=True):
    """Everything a pole carries under one loading.

    Attributes:
        pole: id of the pole.
        case: the loading.
        steady: what does not depend on where the wind comes from.
        gusts: what the wind does.
        guys: what holds the pole.
        strung: the wires of known tension.
        missing: what is not known, so that nothing can be said of the whole.
        assumed: what was taken for want of better.
    """

    pole: str
    case: Loading
    steady: tuple[Pull, ...]
    gusts: tuple[Gust, ...]
    guys: tuple[GuyOn, ...]
    strung: tuple[Strung, ...]
    missing: tuple[str, ...]
    assumed: tuple[str, ...]

    def blown(self, wind_to_deg: float) -> tuple[Pull, ...]:
        """All pulls while the wind blows towards a direction, the steady ones first."""
        east, north = _way(wind_to_deg)
        way = f"wind to {compass(wind_to_deg)}"
        return (
            *self.steady,
            *(
                Pull(
                    *one[:7],
                    force * east,
                    force * north,
                    0.0,
                    f"{one.told(force)}; {way}",
                )
                for one in self.gusts
                if (force := one.force_lbf(east, north)) > 0.0
            ),
        )

    def directions(self) -> tuple[float, ...]:
        """Where the wind may blow to, degrees clockwise from north.

        Sixteen points of the compass, square to every wire, and the way the wires pull.
        """
        found = {22.5 * number for number in range(16)}
        for gust in self.gusts:
            if gust.kind == "wind on wire":
                azimuth = math.degrees(math.atan2(gust.faces[0][0], gust.faces[0][1])) % 180.0
                found.update((azimuth, azimuth + 180.0))
        east = sum(one.east_lbf for one in self.steady)
        north = sum(one.north_lbf for one in self.steady)
        if math.hypot(east, north) > _HAIR:
            found.add(math.degrees(math.atan2(east, north)) % 360.0)
        return tuple(sorted({round(one, 3) % 360.0 for one in found}))


def cases(settings: Settings) -> tuple[tuple[Loading, ...], tuple[str, ...]]:
    """The loadings a job asks for, and what is not known of them."""
    found: list[Loading] = []
    missing: list[str] = []
    if settings.loading == "typed":
        typed = (settings.typed_ice_in, settings.typed_wind_psf, settings.typed_temp_f)
        ice, wind, temp = typed
        if ice is None or wind is None or temp is None:
            names = ("ice", "wind", "temperature")
            words = " and ".join(n for n, v in zip(names, typed, strict=True) if v is None)
            missing.append(f"{words} of the typed loading not known")
        else:
            flat = settings.typed_flat_wind_psf
            source = Source("typed in this job", "house")
            found.append(
                Loading(
                    id="typed",
                    name="typed loading",
                    ice_in=ice,
                    wind_psf=wind,
                    flat_wind_psf=wind if flat is None else flat,
                    temp_f=temp,
                    source=source,
                )
            )
    elif settings.loading:
        try:
            found.append(loading(settings.loading))
        except UnknownNameError as error:
            missing.append(str(error))
    if settings.extreme_wind_mph is not None:
        by_height = settings.extreme_wind_by == "height and gust"
        found.append(extreme_wind(settings.extreme_wind_mph, by_height=by_height))
    return tuple(found), tuple(missing)


def extreme_wind(mph: float, *, by_height: bool = False) -> Loading:
    """Wind without ice at 60 degrees F, by 0.00256 V^2."""
    psf = pressure(mph)
    note = "No factor for height and none for gusts."
    if by_height:
        note = "Times factors of height and gusts, NESC Rule 250C (from memory)."
    return Loading(
        id="extreme",
        name=f"extreme wind {mph:g} mph",
        ice_in=0.0,
        wind_psf=psf,
        flat_wind_psf=1.6 * psf,
        temp_f=60.0,
        is_extreme=True,
        by_height=by_height,
        source=Source("textbook: 0.00256 V^2 on round things", "read"),
        known={"flat_wind_psf": "memory", "temp_f": "memory"},
        note=f"{note} The NESC asks for it where anything is above 60 ft (from memory).",
    )


def wind_on_wire(case: Loading, high_in: float, span_in: float) -> tuple[float, str]:
    """What presses on a wire so high above the ground line in its span [psf], and in words."""
    if not case.by_height or high_in <= _HAIR:
        return case.wind_psf, f"{case.wind_psf:.4g} psf{case.how('wind_psf')}"
    height = height_factor(high_in / _FT, structure=False)
    gust = wire_gust(high_in / _FT, span_in / _FT)
    psf = case.wind_psf * height * gust
    words = f"{case.wind_psf:.2f} x height {height:.3f} x gust {gust:.3f}, from memory"
    return psf, f"{psf:.2f} psf ({words})"


def loads(scene: Scene, pole: str, case: Loading) -> Loads:
    """Everything a standing pole carries at the scene's stage under a loading."""
    return _Reckoning(scene, pole, case).all()


class _Reckoning:
    def __init__(self, scene: Scene, pole: str, case: Loading) -> None:
        self.scene, self.pole = scene, pole
        self.job = scene.job
        self.solid = scene.poles[pole]
        self.open, self.case = case, self._on_structure(case)
        self.foot: Point = self.solid.foot
        self.steady: list[Pull] = []
        self.gusts: list[Gust] = []
        self.guys: list[GuyOn] = []
        self.strung: list[Strung] = []
        self.missing: dict[str, None] = {}
        self.assumed: dict[str, None] = {}
        self.weighed: dict[str, None] = {}

    def _on_structure(self, case: Loading) -> Loading:
        """The loading as it presses on this pole and all on it but wires."""
        top = self.solid.top_up_in
        if not case.by_height or top is None or top <= _HAIR:
            return case
        feet = top * self.solid.rise / _FT
        height, gust = height_factor(feet, structure=True), structure_gust(feet)
        return replace(
            case,
            wind_psf=case.wind_psf * height * gust,
            flat_wind_psf=case.flat_wind_psf * height * gust,
            known={**case.known, "wind_psf": "memory"},
            note=f"{case.note} On the pole, {feet:.1f} ft: {case.wind_psf:.2f} psf x height "
            f"{height:.3f} x gust {gust:.3f}.",
        )

    def _on_wire(self, shape: Run, span_in: float) -> tuple[float, str]:
        return wind_on_wire(self.open, shape.p[2] - self.foot[2], span_in)

    def all(self) -> Loads:
        for part in self.scene.bodies:
            if part.pole != self.pole or part.tags & _NEARBY:
                continue
            if part.tags & _WIRE:
                self._wire(part)
            elif part.tags & _GUY:
                if part.key == part.owner:
                    self._guy(part)
            elif part.tags & _IN_THE_WIND:
                self._blown_on(part)
        self._weights()
        self._pole()
        for nowhere in self.scene.unplaced:
            thing = self.job.thing_by_id.get(nowhere.owner)
            if isinstance(thing, Wire) or (isinstance(thing, Item) and thing.kind == "guy"):
                self._miss(f"where {self.job.label(nowhere.owner)} is: {nowhere.why}")
        return Loads(
            self.pole,
            self.case,
            tuple(self.steady),
            tuple(self.gusts),
            tuple(self.guys),
            tuple(self.strung),
            tuple(self.missing),
            tuple(self.assumed) + self._not_weighed(),
        )

    def _miss(self, words: str) -> None:
        self.missing[words] = None

    def _wire(self, part: Part) -> None:
        run = self.job.wire_by_id[part.owner]
        label = self.job.label(run.id)
        stock = stock_wire(run.part)
        if part.missing or not isinstance(part.shape, Run):
            self._miss(part.missing or f"where {label} is not known")
            return
        if stock is None:
            self._miss(f"wire size of {label} not known")
            return
        east, north = (part.shape.q[i] - part.shape.p[i] for i in (0, 1))
        span = math.hypot(east, north)
        if span <= _HAIR:
            self._miss(f"the span of {label} is nothing long")
            return
        strung = self._tension(run, part.shape, stock, span)
        if isinstance(strung, str):
            self._miss(strung)
            return
        self.strung.append(strung)
        if part.missing_far:
            self.assumed[f"{part.missing_far}, taken as level"] = None
        self._hung(part, part.shape, stock, strung, (east / span, north / span, span))

    def _hung(
        self,
        part: Part,
        shape: Run,
        stock: WirePart,
        strung: Strung,
        line: tuple[float, float, float],
    ) -> None:
        """The pulls of a wire of known tension; `line` is its level direction and span."""
        case, label = self.case, self.job.label(part.owner)
        east, north, span = line
        at = self._at(shape.p, part.up_in)
        ice = ice_load(stock.dia_in, case.ice_in)
        upright = stock.weight_lb_per_ft / _FT + ice
        over = strung.tension_lbf * (shape.p[2] - shape.q[2]) / span
        pull = strung.tension_lbf
        self.steady.append(
            Pull(
                *(part.owner, label, "wire tension", *at),
                *(pull * east, pull * north, 0.0),
                strung.words,
            )
        )
        weight = upright * _FT
        words = f"{weight:.4f} lb/ft ({_with_ice(case)}) on half of {span / _FT:,.1f} ft"
        if abs(over) >= 0.05:
            words += f"; {over:+,.1f} lbf, tension x rise / span, for a far end {_higher(shape)}"
        self.steady.append(
            Pull(
                *(part.owner, label, "weight", *at),
                *(0.0, 0.0, upright * span / 2.0 + over),
                words,
            )
        )
        psf, pressed = self._on_wire(shape, span)
        push = wind_load(stock.dia_in, case.ice_in, psf * _PSF)
        self.gusts.append(
            Gust(
                *(part.owner, label, "wind on wire", *at),
                ((-north, east, push * span / 2.0),),
                0.0,
                f"{pressed} on {stock.dia_in:g}{_two_ices(case)} in, half of {span / _FT:,.1f} ft",
            )
        )

    def _tension(self, run: Wire, shape: Run, stock: WirePart, span: float) -> Strung | str:
        """The tension of a wire under the loading, or what is missing for it."""
        label, case = self.job.label(run.id), self.case
        if run.loaded_tension_lbf is not None and not case.is_extreme:
            return Strung(run.id, run.loaded_tension_lbf, stock.strength_lbf, TYPED_TENSION)
        one = hung(self.job, run, self.scene.stage, span, shape.sag_in)
        if isinstance(one, str):
            return one
        upright = one.bare + ice_load(stock.dia_in, case.ice_in)
        psf, _ = self._on_wire(shape, span)
        push = wind_load(stock.dia_in, case.ice_in, psf * _PSF)
        loaded = resultant(upright, push, case.constant_lb_per_ft / _FT)
        try:
            found = one.tension_at(case.temp_f, loaded)
        except FormulaError:
            return f"the tension of {label} under the loading does not come out"
        extra = f" + {case.constant_lb_per_ft:g}" if case.constant_lb_per_ft else ""
        words = (
            f"{one.tension_lbf:,.1f} lbf bare ({one.bare * _FT:.4f} lb/ft) at {one.temp_f:g} F, "
            f"{one.words}; loaded sqrt({upright * _FT:.4f}^2 + {push * _FT:.4f}^2){extra} = "
            f"{loaded * _FT:.4f} lb/ft at {case.temp_f:g} F; S {one.ruling_in / _FT:,.2f} ft, "
            f"{one.ruling_words}; E {one.metal.modulus_psi / 1e6:g}e6 psi"
            f"{one.metal.how('modulus_psi')}, A {one.area_in2:.4f} in2, "
            f"{one.metal.expansion_per_f * 1e6:g}e-6 per F{one.metal.how('expansion_per_f')}"
        )
        return Strung(run.id, found, stock.strength_lbf, words)

    def _guy(self, part: Part) -> None:
        label = self.job.label(part.owner)
        if part.missing or not isinstance(part.shape, Tube):
            self._miss(part.missing or f"where {label} is not known")
            return
        p, q = part.shape.p, part.shape.q
        axis = self.solid.point(part.up_in)
        east, north = q[0] - axis[0], q[1] - axis[1]
        lead = math.hypot(east, north)
        height = p[2] - self.foot[2]
        where = place_at(self.job, self.job.item_by_id[part.owner], self.scene.stage)
        if (isinstance(where, Guyed) and where.lead_in <= _HAIR) or lead <= _HAIR:
            self._miss(f"{label} has no lead: a guy without lead holds nothing")
            return
        if height <= _HAIR:
            self._miss(f"{label} is not above the ground line")
            return
        if isinstance(where, Guyed) and where.strut_in is not None and q[2] >= p[2]:
            self._miss(f"the strut of {label} is not below the guy")
            return
        stock = catalogue().get(self.job.item_by_id[part.owner].part or "")
        self.guys.append(
            GuyOn(
                part.owner,
                label,
                height,
                east / lead,
                north / lead,
                lead,
                p[2] - q[2],
                stock if isinstance(stock, GuyPart) else None,
                (where.strut_height_in or 0.0) if isinstance(where, Guyed) else 0.0,
            )
        )

    def _blown_on(self, part: Part) -> None:
        if part.shape is None or part.missing:
            self._miss(part.missing or f"where {self.job.label(part.owner)} is not known")
            return
        middle = _middle(part.shape)
        faces: tuple[tuple[float, float, float], ...] = ()
        force = 0.0
        if isinstance(part.shape, Box):
            psf = self.case.flat_wind_psf
            faces = tuple(_faces(part.shape, psf * _PSF))
            known = self.case.how("flat_wind_psf")
        else:
            psf = self.case.wind_psf
            known = self.case.how("wind_psf")
            if isinstance(part.shape, Tube):
                width = part.shape.r_p + part.shape.r_q
                force = psf * _PSF * width * math.dist(part.shape.p, part.shape.q)
        if force <= 0.0 and not faces:
            return
        self.gusts.append(
            Gust(
                *(part.owner, self.job.label(part.owner), "wind on equipment"),
                *self._at(middle, part.up_in),
                faces,
                force,
                f"{psf:.4g} psf{known}",
                psf,
            )
        )

    def _weights(self) -> None:
        parts_of = self.scene.parts_of
        for item in self.job.items:
            if item.kind == "guy" and item.id not in parts_of and self._is_here(item):
                self._miss(f"strand of {self.job.label(item.id)} not known")
            if item.kind not in _WEIGHED:
                continue
            bodies = parts_of.get(item.id, ())
            if bodies and bodies[0].pole != self.pole:
                continue
            if not bodies and not self._is_here(item):
                continue
            self._weight(item, bodies[0] if bodies else None)

    def _is_here(self, item: Item) -> bool:
        return pole_at(self.job, item, self.scene.stage) == self.pole

    def _weight(self, item: Item, body: Part | None) -> None:
        label = self.job.label(item.id)
        weighed = weight_of(item)
        if weighed.lb is None:
            if item.kind in _HEAVY:
                self._miss(f"weight of {label} not known")
            else:
                self.weighed[label] = None
            return
        if body is None or body.shape is None or body.missing:
            self._miss((body.missing if body else "") or f"where {label} is not known")
            return
        self.steady.append(
            Pull(
                *(item.id, label, "weight", *self._at(_middle(body.shape), body.up_in)),
                *(0.0, 0.0, weighed.lb),
                weighed.words,
            )
        )

    def _not_weighed(self) -> tuple[str, ...]:
        """The small things of unknown weight, in one line."""
        if not self.weighed:
            return ()
        names = list(self.weighed)
        shown = ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
        return (f"weight of {shown} not known, not counted",)

    def _pole(self) -> None:
        top = self.solid.top_up_in
        at_foot = self.solid.diameter_in(0.0)
        at_top = None if top is None else self.solid.diameter_in(top)
        label = self.job.label(self.pole)
        if top is None:
            self._miss(f"top height of {label} not known")
        if at_foot is None:
            self._miss(f"girth of {label} not known")
        if top is None or at_foot is None or at_top is None:
            return
        height = top * self.solid.rise
        psf = self.case.wind_psf
        middle = top * (at_foot + 2.0 * at_top) / (3.0 * (at_foot + at_top))
        self.gusts.append(
            Gust(
                *(self.pole, label, "wind on pole", *self._at(self.solid.point(middle), top)),
                (),
                wind_force(psf * _PSF, height, at_top, at_foot),
                f"{psf:.4g} psf{self.case.how('wind_psf')} on {at_top:.2f} to {at_foot:.2f} in, "
                f"{height / _FT:.2f} ft, without ice",
            )
        )

    def _at(self, point: Point, up_in: float) -> tuple[float, float, float, float]:
        """Height, entry, and place beside the axis at the foot."""
        height = point[2] - self.foot[2]
        entry = up_in * self.solid.rise
        return height, entry, point[0] - self.foot[0], point[1] - self.foot[1]


def _way(azimuth_deg: float) -> tuple[float, float]:
    angle = math.radians(azimuth_deg)
    return math.sin(angle), math.cos(angle)


def _middle(shape: Shape) -> Point:
    if isinstance(shape, Box):
        return shape.centre
    p, q = shape.p, shape.q
    return ((p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0, (p[2] + q[2]) / 2.0)


def _faces(box: Box, pressure: float) -> Iterator[tuple[float, float, float]]:
    """The upright faces of a box: the way each looks, and the wind square on it."""
    a, b, c = box.half
    for axis, area in ((box.u, b * c), (box.v, a * c), (box.w, a * b)):
        level = math.hypot(axis[0], axis[1])
        if level > _HAIR:
            yield axis[0] / level, axis[1] / level, pressure * 4.0 * area * level


def _with_ice(case: Loading) -> str:
    return f"with {case.ice_in:g} in of ice" if case.ice_in else "no ice"


def _two_ices(case: Loading) -> str:
    return f" + 2 x {case.ice_in:g}" if case.ice_in else ""


def _higher(shape: Run) -> str:
    rise = shape.q[2] - shape.p[2]
    return f"{abs(rise) / _FT:.2f} ft {'higher' if rise > 0.0 else 'lower'}"
