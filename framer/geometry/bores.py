"""Bores through poles: those that fittings need, and those a pole was bored with at the factory."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Part, Tag, Tube
from framer.geometry.space import moved, toward
from framer.geometry.spot import Spots
from framer.model.item import Item
from framer.model.place import Guyed, OnItem, OnPole, Standing
from framer.stock.bolts import bolt_size
from framer.stock.catalogue import catalogue
from framer.stock.part import AnyPart, ArmPart, Bore, InsulatorPart

FACTORY_HOLE_IN = 0.6875
"""A factory bore is taken for a 5/8 in bolt, as most are: from memory. No gap counts with it."""


@dataclass(frozen=True, slots=True)
class Bored:
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


def bored(spots: Spots) -> Iterator[Bored]:
    """Every bore that fittings need at the stage of the spots, item by item."""
    known = catalogue()
    for item in spots.job.items:
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


def bore_parts(spots: Spots) -> Iterator[Part]:
    """Every bore as a part of the scene: through the pole, from one side to the other."""
    for one in bored(spots):
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
    for item in spots.job.items:
        where = spots.places.get(item.id)
        if item.pole is not None and isinstance(where, Standing):
            yield from _factory_bores(spots, item, where)


def _factory_bores(spots: Spots, item: Item, where: Standing) -> Iterator[Part]:
    """A pole's factory bores, those above the cut too: they are what is lost.

    Which way they go through is not known, so each is a point of the pole's axis.
    """
    solid = spots.poles[item.id]
    for number, from_top_in in enumerate(item.pole.bored_in if item.pole else (), start=1):
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
