"""From a job and a stage to a scene: every thing put where its place says."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import cache
from itertools import pairwise

from framer.geometry.bores import bore_parts, factory_bore_parts
from framer.geometry.jumpers import (
    JUMPERED,
    UNKNOWN_WIRE_RADIUS_IN,
    case_face,
    jumper_path,
    jumper_radius_in,
    live_points,
)
from framer.geometry.potential import nodes
from framer.geometry.sagging import least_and_most_sag
from framer.geometry.scene import Box, Part, Run, Scene, Tag, Tube, Unplaced
from framer.geometry.space import Point, moved, raised, toward
from framer.geometry.spot import NoPlaceError, Spot, Spots
from framer.geometry.unmoved import unmoved
from framer.geometry.wire_ends import far_plan, insulator_axis, wire_point
from framer.mechanics.sag import parabola_sag_in
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Join, NearbyWire, Span, Wire
from framer.model.place import Guyed, Lying, OnItem, OnPole
from framer.model.stage import Stage, is_undecided, join_at, pole_at
from framer.stock.catalogue import wire as stock_wire
from framer.stock.part import (
    ArmPart,
    AttachmentPart,
    BracePart,
    CasePart,
    EquipmentPart,
    GroundWirePart,
    GuyPart,
    InsulatorPart,
    LampPart,
    RunPart,
    Space,
    WirePart,
)

NEARBY_REACH_IN = 6_000.0
"""A nearby wire is taken this far either way from the point it was read at."""

BRACE_RADIUS_IN = 0.75

STRUT_RADIUS_IN = 1.0
"""The strut of a sidewalk guy is taken as 2 in pipe: house."""

KCMIL_PER_IN2 = 4_000.0 / math.pi
"""A circular mil is the area of a circle a thousandth of an inch thick."""

_WORKING = ("transformer", "cutout", "equipment", "lamp")
"""Kinds of items that take more room to work than their body."""

_LIVE, _WITH_CIRCUIT = int(Tag.LIVE), int(Tag.LIVE | Tag.CASE | Tag.RUN)


def place(job: Job, stage: Stage, since: Scene | None = None) -> Scene:
    """The scene of the job at a stage.

    A scene `since` which few things moved only saves time: what it has still is taken over.

    Raises:
        UnknownNameError: an item's part is not in stock, or there is no such step.
    """
    return _Placing(job, stage, since).scene()


class _Placing:
    def __init__(self, job: Job, stage: Stage, since: Scene | None) -> None:
        self.job, self.stage = job, stage
        self.spots = Spots(job, stage)
        self.known = unmoved(since, self.spots, stage)
        self.since = since if self.known is not None else None
        self.nodes = nodes(job, stage)
        self.parts: list[Part] = []
        self.spaces: list[Part] = []

    def scene(self) -> Scene:
        job = self.job
        unplaced: list[Unplaced] = []
        for thing in job.placed():
            if thing.id in self.spots.places:
                if self._as_before(thing.id, unplaced):
                    continue
                try:
                    if isinstance(thing, Wire):
                        self._wire(thing)
                    else:
                        self._item(thing)
                except NoPlaceError as reason:
                    if not self._lies(thing):
                        unplaced.append(Unplaced(thing.id, str(reason)))
        for join in job.joins:
            self._jumper(join)
        for near in job.nearby:
            if not self._as_before(near.id, unplaced):
                self.parts.append(self._nearby(near))
        self.parts.extend(self.spaces)
        for bores in (bore_parts, factory_bore_parts):
            for item in job.items:
                self._bores(item, bores)
        undecided: tuple[str, ...] = ()
        if self.stage == "framed":
            undecided = tuple(thing.id for thing in job.things() if is_undecided(thing))
        scene = Scene(
            job, self.stage, self.spots.poles, tuple(self.parts), tuple(unplaced), undecided
        )
        if self.since is not None:
            scene.take_numbers(self.since)
        return scene

    def _lies(self, thing: Item | Wire) -> bool:
        """Whether an item lies on the ground between two steps, on a pole that does."""
        if isinstance(thing, Wire) or not isinstance(self.stage, int):
            return False
        pole = pole_at(self.job, thing, self.stage)
        return pole is not None and isinstance(self.spots.places.get(pole), Lying)

    def _as_before(self, key: str, unplaced: list[Unplaced]) -> bool:
        """Take a thing's parts over from the scene before; whether that could be done."""
        if self.known is None or key in self.known[1]:
            return False
        before = self.known[0]
        self.parts.extend(before.bodies.get(key, ()))
        self.spaces.extend(before.spaces.get(key, ()))
        if key in before.unplaced:
            unplaced.append(before.unplaced[key])
        return True

    def _bores(self, item: Item, bores: Callable[[Spots, Item], Iterator[Part]]) -> None:
        if self.known is None or item.id in self.known[1]:
            self.parts.extend(bores(self.spots, item))
        # those of a pole come last
        elif (bores is factory_bore_parts) == (item.kind == "pole"):
            self.parts.extend(self.known[0].bores.get(item.id, ()))

    def _item(self, item: Item) -> None:
        if item.kind == "pole":
            if item.id in self.spots.poles:
                self._pole(item)
            return
        if self._covers_a_wire(item):
            return  # cover over a wire is not drawn
        spot = self.spots.spot(item)
        stock = self.spots.stock(item)
        if isinstance(stock, ArmPart):
            self._arm(item, stock, spot)
        elif isinstance(stock, InsulatorPart):
            base, end = insulator_axis(self.spots, item, stock, spot)
            self._tube(item, spot, Tag.INSULATOR, base, end, stock.dia_in / 2, style=stock.style)
        elif isinstance(stock, CasePart):
            self._case(item, stock, spot)
        elif isinstance(stock, BracePart):
            self._brace(item, stock, spot)
        elif isinstance(stock, AttachmentPart):
            end = moved(spot.point, spot.out, stock.out_in)
            self._tube(item, spot, Tag.FITTING, spot.point, end, stock.dia_in / 2)
        elif isinstance(stock, RunPart):
            self._run_along_pole(item, stock, spot)
        elif isinstance(stock, GuyPart):
            self._guy(item, stock, spot)
        elif stock is None and item.kind in _WORKING:
            self._unknown_space(item, spot)

    def _covers_a_wire(self, item: Item) -> bool:
        """Whether it is cover over a wire, a nearby one too, or over a jumper that is made."""
        where = self.spots.places[item.id]
        if item.kind != "cover" or not isinstance(where, OnItem):
            return False
        if any(near.id == where.host for near in self.job.nearby):
            return True
        if where.host in self.job.wire_by_id:
            return where.host in self.spots.places
        join = self.job.thing_by_id.get(where.host)
        state = join_at(self.job, join, self.stage) if isinstance(join, Join) else None
        return state is not None and state.made != "open"

    def _pole(self, item: Item) -> None:
        solid = self.spots.poles[item.id]
        top = solid.top_up_in
        label = self.job.label(item.id)
        if top is None:
            missing, shape = f"top height of {label} not known", None
        else:
            butt = -(solid.depth_in or 0.0)
            r_butt, r_top = solid.radius_in(butt), solid.radius_in(top)
            missing = "" if r_butt and r_top else f"girth of {label} not known"
            shape = Tube(solid.point(butt), solid.point(top), r_butt or 0.0, r_top or 0.0)
        self.parts.append(
            Part(item.id, item.id, Tag.POLE, shape, item.id, missing=missing, style="pole")
        )

    def _arm(self, item: Item, stock: ArmPart, spot: Spot) -> None:
        half = (stock.length_in / 2, stock.width_in / 2, stock.depth_in / 2)
        for member in range(stock.members):
            centre = moved(self.spots.arm_centre(spot, stock, member), spot.right, stock.middle_in)
            box = Box(centre, spot.right, spot.out, (0.0, 0.0, 1.0), half)
            self._add(item, spot, Tag.ARM, box, suffix=f"/{member + 1}" if member else "")

    def _case(self, item: Item, stock: CasePart, spot: Spot) -> None:
        face = case_face(self.spots, item, spot)
        outward = moved(face, spot.out, stock.out_in + stock.deep_in / 2)
        middle = raised(outward, stock.top_in - stock.height_in / 2)
        if stock.round:
            half = stock.height_in / 2
            top, bottom = raised(middle, half), raised(middle, -half)
            self._tube(item, spot, self._case_tags(item, stock), bottom, top, stock.width_in / 2)
        else:
            sizes = (stock.width_in / 2, stock.deep_in / 2, stock.height_in / 2)
            box = Box(middle, spot.right, spot.out, (0.0, 0.0, 1.0), sizes)
            self._add(item, spot, self._case_tags(item, stock), box)
        for number, point in enumerate(live_points(self.spots, item, stock, spot), start=1):
            self._tube(item, spot, Tag.LIVE, point, point, 0.0, suffix=f"/live{number}")
        if stock.needs is None:
            self._unknown_space(item, spot)
        for number, need in enumerate(stock.needs or (), start=1):
            self._space(item, spot, need, face, number)

    def _space(self, item: Item, spot: Spot, need: Space, face: Point, number: int) -> None:
        """Space to be kept clear, from the face the equipment is fixed to."""
        reaches = (need.right_in, need.out_in, need.up_in)
        right, out, up = (0.5 * (low + high) for low, high in reaches)
        a, b, c = (0.5 * (high - low) for low, high in reaches)
        centre = raised(moved(moved(face, spot.out, out), spot.right, right), up)
        box = Box(centre, spot.right, spot.out, (0.0, 0.0, 1.0), (a, b, c))
        self.spaces.append(
            Part(
                key=f"{item.id}/space{number}",
                owner=item.id,
                tags=int(Tag.SPACE),
                shape=None if spot.missing else box,
                pole=spot.pole,
                up_in=spot.up_in,
                tolerance_in=spot.tolerance_in,
                missing=spot.missing,
                style=need.words,
            )
        )

    def _unknown_space(self, item: Item, spot: Spot) -> None:
        missing = f"the space {self.job.label(item.id)} needs to work not known"
        self.spaces.append(
            Part(
                f"{item.id}/space",
                item.id,
                int(Tag.SPACE),
                None,
                spot.pole,
                missing=missing,
                style="space to work",
            )
        )

    def _case_tags(self, item: Item, stock: CasePart) -> Tag:
        tags = Tag.CASE | Tag.LAMP if isinstance(stock, LampPart) else Tag.CASE
        if isinstance(stock, EquipmentPart) and stock.meter:
            tags |= Tag.METER
        if stock.grounded:
            tags |= Tag.GROUNDED
        circuit = self.job.circuit_by_id.get(item.circuit or "")
        if stock.communications or (circuit is not None and circuit.kind == "communications"):
            tags |= Tag.COMMUNICATIONS
        return tags

    def _brace(self, item: Item, stock: BracePart, spot: Spot) -> None:
        where = self.spots.places[item.id]
        arm = self.spots.host(where.host) if isinstance(where, OnItem) else None
        arm_stock = self.spots.stock(arm) if arm else None
        if not isinstance(arm_stock, ArmPart):
            raise NoPlaceError("a brace goes on an arm of known size")
        solid = self.spots.poles[spot.pole]
        low_up = spot.up_in - stock.drop_in
        low = moved(solid.point(low_up), spot.out, solid.radius_in(low_up) or 0.0)
        centre = self.spots.arm_centre(spot, arm_stock, 0)
        face = moved(centre, spot.out, arm_stock.width_in / 2)
        for suffix, reach in (("", stock.reach_in), ("/2", -stock.reach_in)):
            end = moved(face, spot.right, reach)
            self._tube(item, spot, Tag.BRACE, low, end, BRACE_RADIUS_IN, suffix=suffix)

    def _run_along_pole(self, item: Item, stock: RunPart, spot: Spot) -> None:
        where = self.spots.places[item.id]
        if not isinstance(where, OnPole) or where.to_in is None:
            raise NoPlaceError("a run along the pole needs the heights of both its ends")
        solid = self.spots.poles[where.host]
        other = solid.up(where.hold, where.to_in)
        if other is None:
            raise NoPlaceError(self.spots.gap(solid, where.hold))
        away = stock.out_in + stock.dia_in / 2 + where.out_in
        low, high = (
            moved(solid.point(up), spot.out, (solid.radius_in(up) or 0.0) + away)
            for up in sorted((spot.up_in, other))
        )
        tags = Tag.RUN | Tag.EARTH if isinstance(stock, GroundWirePart) else Tag.RUN
        if stock.covered:
            tags |= Tag.COVERED
        self._tube(item, spot, tags, low, high, stock.dia_in / 2)

    def _guy(self, item: Item, stock: GuyPart, spot: Spot) -> None:
        where = self.spots.places[item.id]
        if not isinstance(where, Guyed):
            raise NoPlaceError("a guy has a place of its own kind: 'guyed'")
        solid = self.spots.poles[where.host]
        far = raised(moved(solid.foot, spot.out, where.lead_in), where.far_height_in)
        tags = Tag.GUY | Tag.ANCHORED if where.far_height_in <= 0.0 else Tag.GUY
        if where.strut_in is None:
            self._tube(item, spot, tags, spot.point, far, stock.dia_in / 2)
            return
        if where.strut_height_in is None:
            raise NoPlaceError("the height of its strut is not known")
        at_pole = solid.point(where.strut_height_in / solid.rise)
        end = moved(at_pole, spot.out, where.strut_in)
        self._tube(item, spot, tags, spot.point, end, stock.dia_in / 2)
        self._tube(item, spot, tags, end, far, stock.dia_in / 2, suffix="/down")
        self._tube(item, spot, Tag.FITTING, at_pole, end, STRUT_RADIUS_IN, suffix="/strut")

    def _tube(
        self,
        item: Item,
        spot: Spot,
        tags: Tag,
        p: Point,
        q: Point,
        radius: float,
        *,
        suffix: str = "",
        style: str = "",
    ) -> None:
        self._add(item, spot, tags, Tube(p, q, radius, radius), suffix=suffix, style=style)

    def _add(
        self,
        item: Item,
        spot: Spot,
        tags: Tag,
        shape: Tube | Box,
        *,
        suffix: str = "",
        style: str = "",
    ) -> None:
        number = int(tags)
        live = bool(number & _LIVE)
        has_circuit = bool(number & _WITH_CIRCUIT)
        self.parts.append(
            Part(
                key=item.id + suffix,
                owner=item.id,
                tags=number,
                shape=None if spot.missing else shape,
                pole=spot.pole,
                level=spot.level,
                up_in=spot.up_in,
                circuit=item.circuit if has_circuit else None,
                phase=item.phase if live else None,
                node=self.nodes.get(item.id, -1) if live else -1,
                tolerance_in=spot.tolerance_in,
                missing=spot.missing,
                style=style or item.kind,
            )
        )

    def _wire(self, run: Wire) -> None:
        where = self.spots.places[run.id]
        if not isinstance(where, OnItem):
            raise NoPlaceError("it rests on nothing at this stage")
        support = self.spots.host(where.host)
        spot = self.spots.spot(support)
        near, style = wire_point(self.spots, support, where.position)
        span = self.job.span_by_id[run.span]
        stock = stock_wire(run.part)
        far, far_tolerance, missing_far = self._far_end(run, span, near, spot.pole)
        level = math.hypot(far[0] - near[0], far[1] - near[1])
        sag, sag_tolerance = self._sag(run, span, stock, level)
        least, most = least_and_most_sag(self.job, run, self.stage, level, sag)
        shape = Run(
            near,
            far,
            stock.dia_in / 2 if stock else UNKNOWN_WIRE_RADIUS_IN,
            sag_in=sag,
            sag_least_in=least,
            sag_most_in=most,
            sag_tolerance_in=sag_tolerance,
        )
        self.parts.append(
            Part(
                key=run.id,
                owner=run.id,
                tags=int(_wire_tags(self.job, run.circuit, run.phase, stock)),
                shape=None if spot.missing else shape,
                pole=spot.pole or None,
                level=spot.level,
                support=support.id,
                up_in=spot.up_in,
                circuit=run.circuit,
                phase=run.phase,
                node=self.nodes[run.id],
                tolerance_in=spot.tolerance_in,
                far_tolerance_in=far_tolerance,
                missing=spot.missing,
                missing_far=missing_far,
                style=style,
                kcmil=_kcmil(stock),
            )
        )

    def _jumper(self, join: Join) -> None:
        """A wire from one thing to another on the pole, in straight pieces."""
        made = join_at(self.job, join, self.stage)
        first = self.job.wire_by_id.get(join.a) or self.job.item_by_id.get(join.a)
        if made is None or made.made not in JUMPERED or first is None:
            return
        path = jumper_path(self.spots, join)
        radius = jumper_radius_in(self.spots, join)
        label, bow = self.job.label(join.id), self.job.settings.jumper_bow_percent
        how = "go round the pole" if path.goes_round else f"hang with a bow of {bow:g} %"
        tags = Tag.JUMPER | Tag.NEUTRAL if first.phase == "N" else Tag.JUMPER
        shapes: list[Tube | None] = [Tube(p, q, radius, radius) for p, q in pairwise(path.points)]
        for number, shape in enumerate(shapes or [None], start=1):
            self.parts.append(
                Part(
                    key=join.id if number == 1 else f"{join.id}/{number}",
                    owner=join.id,
                    tags=int(tags),
                    shape=shape,
                    pole=path.a.pole or None,
                    up_in=path.a.up_in,
                    circuit=first.circuit,
                    phase=first.phase,
                    node=self.nodes.get(first.id, -1),
                    tolerance_in=max(path.a.tolerance_in, path.b.tolerance_in),
                    missing=f"the path of {label} is not known: {path.missing}"
                    if path.missing
                    else "",
                    assumed=f"{label} taken to {how}",
                    style=made.made,
                )
            )

    def _far_end(self, run: Wire, span: Span, near: Point, pole: str) -> tuple[Point, float, str]:
        """The far end of a wire, its tolerance, and what is not known about it."""
        x, y = far_plan(self.spots, run, near, pole)
        read = self.job.reading(run.id, "height")
        if read is not None:
            height = read.value_in + self.spots.datum_in(read.datum)
            return (x, y, height), read.tolerance_in, ""
        if run.far_height_in is None:
            return (x, y, near[2]), 0.0, f"far height of {self.job.label(run.id)} not known"
        if run.far_height_in == "level":
            return (x, y, near[2]), 0.0, ""
        return (x, y, span.far_grade_in + run.far_height_in), 0.0, ""

    def _sag(
        self, run: Wire, span: Span, stock: WirePart | None, level_in: float
    ) -> tuple[float | None, float]:
        """Sag at mid-span and its tolerance; a reading beats what is typed."""
        read = self.job.reading(run.id, "sag")
        if read is not None:
            return read.value_in, read.tolerance_in
        for known in (run.sag_in, span.sag_in):
            if known is not None:
                return known, 0.0
        if run.tension_lbf is None or stock is None:
            return None, 0.0
        return parabola_sag_in(stock.weight_lb_per_ft, level_in, run.tension_lbf), 0.0

    def _nearby(self, near: NearbyWire) -> Part:
        read = self.job.reading(near.id, "height")
        stock = stock_wire(near.part)
        shape = None
        if read is not None:
            height = read.value_in + self.spots.datum_in(read.datum)
            middle = (near.east_in, near.north_in, height)
            line = toward(near.azimuth_deg)
            shape = Run(
                moved(middle, line, -NEARBY_REACH_IN),
                moved(middle, line, NEARBY_REACH_IN),
                stock.dia_in / 2 if stock else UNKNOWN_WIRE_RADIUS_IN,
                sag_in=0.0,
                sag_least_in=0.0,
                sag_most_in=near.hot_drop_in,
            )
        return Part(
            key=near.id,
            owner=near.id,
            tags=int(_wire_tags(self.job, near.circuit, "A", stock) | Tag.NEARBY),
            shape=shape,
            pole=None,
            circuit=near.circuit,
            tolerance_in=read.tolerance_in if read else 0.0,
            missing="" if read else f"height of {self.job.label(near.id)} not known",
            style="nearby",
            kcmil=_kcmil(stock),
        )


def _kcmil(stock: WirePart | None) -> float | None:
    if stock is None or stock.area_in2 is None:
        return None
    return stock.area_in2 * KCMIL_PER_IN2


def _wire_tags(job: Job, circuit: str, phase: str, stock: WirePart | None) -> Tag:
    covered = stock is not None and stock.covered
    return _tags_of_wire(job.circuit_by_id[circuit].kind, phase, covered)


@cache
def _tags_of_wire(kind: str, phase: str, covered: bool) -> Tag:
    tags = Tag.WIRE | Tag.COVERED if covered else Tag.WIRE
    if kind == "communications":
        tags |= Tag.COMMUNICATIONS | Tag.CABLE
        return tags | Tag.DROP if phase == "service" else tags
    tags |= Tag.SUPPLY
    if phase == "N":
        return tags | Tag.NEUTRAL
    if phase == "service":
        return tags | Tag.CABLE | Tag.DROP
    if phase in ("triplex", "cable"):
        return tags | Tag.CABLE
    return tags if phase == "secondary" else tags | Tag.PHASE
