"""Where wires end: at what holds them here, and in plan at the neighbouring poles.

A wire that was found runs beside its span as found. There its far end stays, wherever its near end
is moved: a pole set off the line turns its wires. A new wire goes as far beside the neighbouring
pole's own line as it lies beside its pole here; that pole stands at the end of the span as measured
from the pole its wires were found on, or from the job's origin where none was found.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct

from framer.errors import UnknownNameError
from framer.geometry.space import Point, dot, level_way, moved, raised, toward, turned
from framer.geometry.spot import NoPlaceError, Spot, Spots
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Span, Wire
from framer.model.place import OnArm, OnItem
from framer.model.stage import Stage, host_of, place_at, pole_at
from framer.stock.part import ArmPart, AttachmentPart, InsulatorPart, LiftPart

Plan = tuple[float, float]

_ORIGIN = (0.0, 0.0, 0.0)
_KEPT = "_far_ends"
_TOLD: tuple[Stage, ...] = ("found", "framed")


class _Ends(Struct, frozen=True):
    """Far ends by wire at a stage that tells them, and by span the foot of the pole there."""

    at: dict[str, Plan]
    feet: dict[str, Point]


def wire_point(spots: Spots, support: Item, position: int) -> tuple[Point, str]:
    """The point a wire rests at on its support, and how it is held there.

    Raises:
        NoPlaceError: the support has nowhere to be, or no wire can rest on it.
    """
    spot = spots.spot(support)
    stock = spots.stock(support)
    if isinstance(stock, InsulatorPart):
        _, end = insulator_axis(spots, support, stock, spot)
        if position >= len(stock.levels_in):
            raise NoPlaceError(f"{spots.job.label(support.id)} has no position {position}")
        return raised(end, -stock.levels_in[position]), stock.style
    if isinstance(stock, AttachmentPart):
        return moved(spot.point, spot.out, stock.out_in), "attachment"
    if stock is None or isinstance(stock, LiftPart):
        return spot.point, support.kind
    raise NoPlaceError(f"no wire can rest on {spots.job.label(support.id)}")


def insulator_axis(
    spots: Spots, item: Item, stock: InsulatorPart, spot: Spot
) -> tuple[Point, Point]:
    """Mounting point and wire end of an insulator."""
    under = spots.arm_under(item)
    if stock.style == "dead-end":
        pull = _pull(spots, item, spot)
        point = spot.point if under is None else _face(spots, item, *under, spot, pull)
        return point, moved(point, pull, stock.length_in)
    if under is None:
        if stock.style == "suspension":
            return spot.point, raised(spot.point, -stock.length_in)
        end = moved(spot.point, spot.out, stock.length_in)
        return spot.point, end if stock.style == "post" else raised(end, stock.groove_in)
    half = under[1].depth_in / 2
    if stock.style == "suspension":
        base = raised(spot.point, -half)
        return base, raised(base, -stock.length_in)
    base = raised(spot.point, half)
    return base, raised(base, stock.groove_in)


def _pull(spots: Spots, item: Item, spot: Spot) -> Point:
    """The way a dead-end is strung out: to its wire's far end, else as its mount faces."""
    run = spots.wire_on.get(item.id)
    if run is None:
        return spot.out
    x, y = far_plan(spots, run, spot.point, spot.pole)
    return level_way(spot.point, (x, y)) or spot.out


def _face(spots: Spots, item: Item, arm: Item, stock: ArmPart, spot: Spot, pull: Point) -> Point:
    """The point of an arm's face a dead-end is fixed to, on the side it pulls towards."""
    square = dot(pull, spot.out)
    point = spot.point
    where = spots.places[item.id]
    if stock.members == 2 and isinstance(where, OnArm):
        centre = spots.arm_centre(spots.spot(arm), stock, 0 if square >= 0 else 1)
        point = moved(centre, spot.right, where.along_in)
    if abs(square) < 1e-6:
        return point
    return moved(point, spot.out, math.copysign(stock.width_in / 2, square))


def far_plan(spots: Spots, run: Wire, near: Point, pole: str) -> Plan:
    """East and north of a wire's far end; `near` is its near end now, on `pole` or on none."""
    job, stage = spots.job, spots.stage
    span = job.span_by_id[run.span]
    if run.far_offset_in is not None:
        far_pole = moved(_ORIGIN, toward(span.azimuth_deg), span.length_in)
        x, y, _ = moved(far_pole, toward(turned(span.azimuth_deg, 90.0)), run.far_offset_in)
        return x, y
    if stage == "found":
        return _beside_span(span, near)
    found = _ends(job, "found")
    if run.id in found.at:
        return found.at[run.id]
    if stage == "framed":
        return _new_end(spots, span, near, pole)
    return _ends(job, "framed").at.get(run.id) or _beside_span(span, near)


def far_pole(job: Job, span: Span) -> Plan:
    """East and north of the neighbouring pole of a span, whatever becomes of the pole here."""
    found = _ends(job, "found").feet
    foot = found.get(span.id) or next(iter(found.values()), _ORIGIN)
    return _beside_span(span, foot)


def hand_over(before: Job, job: Job, stage: Stage, changed: Iterable[str]) -> set[str]:
    """Wires that may end elsewhere than before, while only these items are other records.

    What holds them is among them: a dead-end is strung out along its wire. What still holds of what
    was worked out for the job before is taken over.
    """
    kept = before.__dict__.get(_KEPT, {})
    for told in _TOLD[: _TOLD.index(stage) if stage in _TOLD else None]:
        if any(_differs(before, job, key, told) for key in changed):
            held = {host for run in job.wires for at in run.places if (host := host_of(at))}
            return held.union(run.id for run in job.wires)
        if told in kept:
            job.__dict__.setdefault(_KEPT, {})[told] = kept[told]
    return set()


def _differs(before: Job, job: Job, key: str, stage: Stage) -> bool:
    then, now = before.item_by_id[key], job.item_by_id[key]
    return then.part != now.part or place_at(before, then, stage) != place_at(job, now, stage)


def _beside_span(span: Span, near: Point) -> Plan:
    x, y, _ = moved(near, toward(span.azimuth_deg), span.length_in)
    return x, y


def _new_end(spots: Spots, span: Span, near: Point, pole: str) -> Plan:
    """The far end of a wire by where it lies on the pole as framed."""
    if pole not in spots.poles:
        return _beside_span(span, near)
    (x, y), now = far_pole(spots.job, span), spots.poles[pole].foot
    return x + near[0] - now[0], y + near[1] - now[1]


def _ends(job: Job, stage: Stage) -> _Ends:
    """What a stage tells of far ends; kept with the job, as its own cached properties are."""
    kept: dict[Stage, _Ends] = job.__dict__.setdefault(_KEPT, {})
    if stage not in kept:
        kept[stage] = _work_out(Spots(job, stage))
    return kept[stage]


def _work_out(spots: Spots) -> _Ends:
    job = spots.job
    ends = _Ends({}, {})
    for run in job.wires:
        where = spots.places.get(run.id)
        if not isinstance(where, OnItem):
            continue
        pole = pole_at(job, run, spots.stage)
        if pole in spots.poles:
            ends.feet.setdefault(run.span, spots.poles[pole].foot)
        try:
            support = spots.host(where.host)
            spot = spots.spot(support)
            near, _ = wire_point(spots, support, where.position)
        except (NoPlaceError, UnknownNameError):
            continue
        if not spot.missing:
            ends.at[run.id] = far_plan(spots, run, near, spot.pole)
    return ends
