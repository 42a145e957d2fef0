"""Where each item is mounted: the point it is fixed at and which way is outward there."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from framer.errors import UnknownNameError
from framer.geometry.pole import PoleSolid, pole_solid
from framer.geometry.space import Point, moved, toward, turned
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import (
    AnyPlace,
    Guyed,
    Hold,
    Lifted,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Standing,
)
from framer.model.stage import Stage, place_at
from framer.stock.catalogue import catalogue
from framer.stock.part import AnyPart, ArmPart


class NoPlaceError(Exception):
    """A thing has nowhere to be at this stage; the message says why."""


class Spot(Struct, frozen=True):
    """Where an item is mounted.

    Attributes:
        point: for an arm and what sits on a pole, the pole's surface; for what sits on an arm,
            the arm's centre line.
        out: level unit vector away from the pole.
        right: level unit vector clockwise of `out`.
        pole: id of the pole; empty for what is held up from the ground.
        level: id of the arm, or of the pole, that carries it.
        up_in: distance along the pole above its ground line.
        tolerance_in: how far off it may be.
        missing: what is not known about it; `point` then means nothing.
    """

    point: Point
    out: Point
    right: Point
    pole: str
    level: str
    up_in: float = 0.0
    tolerance_in: float = 0.0
    missing: str = ""


class Spots:
    """The spots of one job at one stage, each worked out once, hosts before what they carry.

    Attributes:
        places: where each item and wire is that is there.
        poles: the poles that stand.
        wire_on: the first wire that rests on each item.
    """

    def __init__(self, job: Job, stage: Stage) -> None:
        self.job, self.stage = job, stage
        self.places: dict[str, AnyPlace] = {}
        for thing in job.placed():
            where = place_at(job, thing, stage)
            if where is not None and not isinstance(where, Removed):
                self.places[thing.id] = where
        self.poles: dict[str, PoleSolid] = {}
        for item in job.items:
            where = self.places.get(item.id)
            if isinstance(where, Standing):
                self.poles[item.id] = pole_solid(job, item, where)
        self.wire_on: dict[str, Wire] = {}
        for run in job.wires:
            where = self.places.get(run.id)
            if isinstance(where, OnItem):
                self.wire_on.setdefault(where.host, run)
        self._known: dict[str, Spot | NoPlaceError] = {}

    def stock(self, item: Item) -> AnyPart | None:
        """The item's stock part, `None` for one that names none.

        Raises:
            UnknownNameError: there is no such part of the item's kind.
        """
        if item.part is None:
            return None
        found = catalogue().get(item.part)
        if found is None or found.kind != item.kind:
            raise UnknownNameError(f"stock {item.kind}", item.part)
        return found

    def spot(self, item: Item) -> Spot:
        """Where the item is mounted.

        Raises:
            NoPlaceError: it has nowhere to be.
        """
        known = self._known.get(item.id)
        if known is None:
            try:
                known = self._find(item)
            except NoPlaceError as reason:
                known = reason
            self._known[item.id] = known
        if isinstance(known, NoPlaceError):
            raise known
        return known

    def up_in(self, item: Item) -> float | None:
        """How far up its pole an item sits along it; `None` where that is not known."""
        where = self.places.get(item.id)
        if not isinstance(where, OnPole | Guyed) or where.host not in self.poles:
            return None
        return self.along(item, where)[0]

    def host(self, key: str) -> Item:
        """A host item that is there at this stage.

        Raises:
            NoPlaceError: it is not.
        """
        item = self.job.item_by_id.get(key)
        if item is None:
            raise NoPlaceError(f"it rests on {self.job.label(key)}, which is no item")
        if key not in self.places:
            raise NoPlaceError(f"{self.job.label(key)} is not there at this stage")
        return item

    def datum_in(self, datum: str) -> float:
        """Grade of a reading's datum above the job datum."""
        if datum in self.poles:
            return self.poles[datum].foot[2]
        pole = self.job.item_by_id.get(datum)
        grades = [at.grade_in for at in pole.places if isinstance(at, Standing)] if pole else []
        return grades[0] if grades else 0.0

    def _find(self, item: Item) -> Spot:
        where = self.places.get(item.id)
        if isinstance(where, OnPole | Guyed):
            return self._on_pole(item, where)
        if isinstance(where, OnArm):
            return self._on_arm(where)
        if isinstance(where, Lifted):
            point = (where.east_in, where.north_in, where.height_in)
            return Spot(point, (0.0, 1.0, 0.0), (1.0, 0.0, 0.0), "", item.id)
        if isinstance(where, OnItem):
            return self.spot(self.host(where.host))
        raise NoPlaceError("it has no place to be fixed at")

    def _on_pole(self, item: Item, where: OnPole | Guyed) -> Spot:
        solid = self.poles.get(where.host)
        if solid is None:
            raise NoPlaceError(f"{self.job.label(where.host)} is not standing at this stage")
        out = toward(where.azimuth_deg)
        right = toward(turned(where.azimuth_deg, 90.0))
        up, tolerance, missing = self.along(item, where)
        spot = Spot(solid.foot, out, right, where.host, where.host, missing=missing)
        if up is None:
            return spot
        radius = solid.radius_in(up)
        if radius is None:
            missing = f"girth of {self.job.label(where.host)} not known"
        extra = where.out_in if isinstance(where, OnPole) else 0.0
        return replace(
            spot,
            point=moved(solid.point(up), out, (radius or 0.0) + extra),
            up_in=up,
            tolerance_in=tolerance,
            missing=missing,
        )

    def along(self, item: Item, where: OnPole | Guyed) -> tuple[float | None, float, str]:
        """How far up a standing pole an item sits, how far off that may be, what is missing for it.

        A reading of a found place beats the number typed in the place.
        """
        solid = self.poles[where.host]
        hold, at, tolerance = where.hold, where.at_in, 0.0
        if where.when == "found":
            whats: tuple[Hold, ...] = ("height", "drop", "butt")
            for what in whats:
                read = self.job.reading(item.id, what)
                if read is not None:
                    hold, at, tolerance = what, read.value_in, read.tolerance_in
                    if what == "height":
                        at += self.datum_in(read.datum) - solid.foot[2]
                    break
        tolerance += solid.tolerance_in(hold)
        if at is None:
            return None, tolerance, f"height of {self.job.label(item.id)} not known"
        up = solid.up(hold, at)
        return up, tolerance, "" if up is not None else self.gap(solid, hold)

    def gap(self, solid: PoleSolid, hold: str) -> str:
        """What is not known of a pole when a place held by `hold` cannot be found on it."""
        label = self.job.label(solid.item)
        fact = "top height" if hold == "drop" else "setting depth"
        return f"{fact} of {label} not known"

    def _on_arm(self, where: OnArm) -> Spot:
        arm = self.host(where.host)
        stock = self.stock(arm)
        if not isinstance(stock, ArmPart):
            raise NoPlaceError(f"the size of {self.job.label(arm.id)} is not known")
        spot = self.spot(arm)
        centre = self.arm_centre(spot, stock, min(where.member, stock.members - 1))
        return replace(spot, point=moved(centre, spot.right, where.along_in), level=arm.id)

    def arm_centre(self, spot: Spot, stock: ArmPart, member: int) -> Point:
        """An arm's centre line at its bolt, let into the pole by its gain.

        Member 1 of a double arm lies across the pole.
        """
        from_surface = stock.width_in / 2 - stock.gain_in
        if member == 0:
            return moved(spot.point, spot.out, from_surface)
        diameter = self.poles[spot.pole].diameter_in(spot.up_in) or 0.0
        return moved(spot.point, spot.out, -diameter - from_surface)

    def arm_under(self, item: Item) -> tuple[Item, ArmPart] | None:
        """The arm an item sits on, with its stock part; `None` when it sits on no arm."""
        where = self.places.get(item.id)
        if not isinstance(where, OnArm):
            return None
        arm = self.job.item_by_id[where.host]
        stock = self.stock(arm)
        return (arm, stock) if isinstance(stock, ArmPart) else None
