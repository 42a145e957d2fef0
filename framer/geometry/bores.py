"""Bores through poles: those that fittings need, and those a pole was bored with at the factory."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Part, Tag, Tube
from framer.geometry.space import moved, toward
from framer.geometry.spot import Spots
from framer.model.item import Item
from framer.model.place import Guyed, OnItem, OnPole, Standing
from framer.stock.bolts import bolt_size
from framer.stock.catalogue import catalogue
from framer.stock.part import AnyPart, ArmPart, Bore, InsulatorPart
from framer.units.compare import is_at_least
from framer.units.length import System, length_text

FACTORY_HOLE_IN = 0.6875
"""A factory bore is taken for a 5/8 in bolt, as most are: from memory. No gap counts with it."""


class FactoryBores(Struct, frozen=True):
    """What a cut leaves of the bores a pole came with, each by how far below the original top.

    Attributes:
        cut_in: how much is cut off the top.
        cut_off: those above the cut.
        too_near: those left, but nearer the finished top than was asked.
        left: those that can be used.
    """

    cut_in: float
    cut_off: tuple[float, ...]
    too_near: tuple[float, ...]
    left: tuple[float, ...]

    @property
    def lost(self) -> int:
        """How many cannot be used."""
        return len(self.cut_off) + len(self.too_near)

    @property
    def words(self) -> str:
        """How many are lost and what that means for the crew; empty when none is."""
        many = self.lost + len(self.left)
        if not self.lost:
            return ""
        again = "all" if self.lost == many else "instead of these"
        return (
            f"{self.lost} of {many} factory bores lost, cut off or too near the top: "
            f"field-bore {again}, treat the bores"
        )

    def labour(self, system: System) -> str:
        """A note for lists that know no least distance from the top; empty where nothing is cut."""
        stay = (*self.too_near, *self.left)
        many = len(self.cut_off) + len(stay)
        if not many or self.cut_in <= 0.0:
            return ""
        note = f"{len(self.cut_off)} of {many} factory bores cut off with the top"
        if stay:
            left = length_text(min(stay) - self.cut_in, toward="down", system=system)
            note += f", the next {left} below the finished top"
        return f"{note}: field-bore what is lost, treat the bores"


def factory_bores(bored_in: Iterable[float], cut_in: float, margin_in: float = 0.0) -> FactoryBores:
    """What becomes of factory bores when a pole is topped.

    Args:
        bored_in: how far each is below the original top [in].
        cut_in: how much is cut off [in].
        margin_in: how far from the finished top a bore must be to be of use [in].
    """
    bored = sorted(bored_in)
    stay = [down for down in bored if is_at_least(down, cut_in)]
    near = [down for down in stay if not is_at_least(down - cut_in, margin_in)]
    return FactoryBores(
        cut_in, tuple(bored[: len(bored) - len(stay)]), tuple(near), tuple(stay[len(near) :])
    )


class Bored(Struct, frozen=True):
    """One bore that a fitting needs.

    Attributes:
        item: what needs it.
        stock: its stock part.
        bore: the bore.
        number: which of the part's bores, from 1.
        solid: the pole.
        up_in: how far up the pole, `None` when not known; `missing` then says why.
        azimuth_deg: the way its bolt points, from the nut to the head.
        tolerance_in: how far off `up_in` may be.
    """

    item: Item
    stock: AnyPart
    bore: Bore
    number: int
    solid: PoleSolid
    up_in: float | None
    azimuth_deg: float
    tolerance_in: float
    missing: str


def bored(spots: Spots, items: Iterable[Item] | None = None) -> Iterator[Bored]:
    """Every bore that fittings, or only some `items`, need at the stage of the spots."""
    known = catalogue()
    for item in spots.job.items if items is None else items:
        stock = known.get(item.part or "")
        if stock is None or not stock.bores:
            continue
        mount = item
        where = spots.places.get(item.id)
        if isinstance(where, OnItem):
            host = spots.job.item_by_id.get(where.host)
            if host is None or item.kind != "brace":
                continue
            mount, where = host, spots.places.get(host.id)
        if not isinstance(where, OnPole | Guyed) or where.host not in spots.poles:
            continue
        up, tolerance, missing = spots.along(mount, where)
        for number, bore in enumerate(stock.bores, start=1):
            yield Bored(
                item,
                stock,
                bore,
                number,
                spots.poles[where.host],
                None if up is None else up - bore.down_in,
                where.azimuth_deg,
                tolerance,
                missing,
            )


def bore_parts(spots: Spots, item: Item) -> Iterator[Part]:
    """The bores a fitting needs as parts of the scene: through the pole, from side to side."""
    for one in bored(spots, (item,)):
        tags, style = int(Tag.BORE), one.item.kind
        if isinstance(one.stock, ArmPart):
            tags |= int(Tag.ARM_BOLT)
        shape = None
        if one.up_in is not None:
            middle, out = one.solid.point(one.up_in), toward(one.azimuth_deg)
            half, r = (
                one.solid.radius_in(one.up_in) or 0.0,
                bolt_size(one.bore.bolt_dia_in).hole_in / 2,
            )
            shape = Tube(moved(middle, out, -half), moved(middle, out, half), r, r)
        yield Part(
            key=f"{one.item.id}/bore{one.number}",
            owner=one.item.id,
            tags=tags,
            shape=shape,
            pole=one.solid.item,
            up_in=one.up_in or 0.0,
            tolerance_in=one.tolerance_in,
            missing=one.missing,
            style=one.stock.style if isinstance(one.stock, InsulatorPart) else style,
        )


def factory_bore_parts(spots: Spots, item: Item) -> Iterator[Part]:
    """A standing pole's factory bores, those above the cut too: they are what is lost.

    Which way they go through is not known, so each is a point of the pole's axis.
    """
    where = spots.places.get(item.id)
    if item.pole is None or not isinstance(where, Standing):
        return
    solid = spots.poles[item.id]
    for number, from_top_in in enumerate(item.pole.bored_in, start=1):
        shape, up, missing = None, 0.0, ""
        if solid.top_up_in is None:
            missing = spots.gap(solid, "drop")
        else:
            up = solid.top_up_in + where.cut_in - from_top_in
            middle = solid.point(up)
            shape = Tube(middle, middle, FACTORY_HOLE_IN / 2, FACTORY_HOLE_IN / 2)
        yield Part(
            key=f"{item.id}/bore{number}",
            owner=item.id,
            tags=int(Tag.BORE | Tag.FACTORY),
            shape=shape,
            pole=item.id,
            up_in=up,
            missing=missing,
            style="factory",
        )
