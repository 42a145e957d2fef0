"""Where wires end at the neighbouring poles, in plan.

A wire that was found runs beside its span as found. There its far end stays, wherever its near end
is moved: a pole set off the line turns its wires. A new wire goes as far beside the neighbouring
pole's own line as it lies beside its pole here; that pole stands at the end of the span as measured
from the pole its wires were found on, or from the job's origin where none was found.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from framer.errors import UnknownNameError
from framer.geometry.space import Point, moved, toward, turned
from framer.geometry.spot import NoPlaceError, Spots
from framer.model.job import Job
from framer.model.line import Span, Wire
from framer.model.place import OnItem
from framer.model.stage import Stage, host_of, place_at, pole_at

Plan = tuple[float, float]

_ORIGIN = (0.0, 0.0, 0.0)
_KEPT = "_far_ends"
_TOLD: tuple[Stage, ...] = ("found", "framed")


class _Ends(NamedTuple):
    """Far ends by wire at a stage that tells them, and by span the foot of the pole there."""

    at: dict[str, Plan]
    feet: dict[str, Point]


def far_plan(spots: Spots, stage: Stage, run: Wire, near: Point, pole: str) -> Plan:
    """East and north of a wire's far end; `near` is its near end now, on `pole` or on none."""
    job = spots.job
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
        kept[stage] = _work_out(Spots(job, stage), stage)
    return kept[stage]


def _work_out(spots: Spots, stage: Stage) -> _Ends:
    job = spots.job
    ends = _Ends({}, {})
    for run in job.wires:
        where = spots.places.get(run.id)
        if not isinstance(where, OnItem):
            continue
        pole = pole_at(job, run, stage)
        if pole in spots.poles:
            ends.feet.setdefault(run.span, spots.poles[pole].foot)
        try:
            support = spots.host(where.host)
            spot = spots.spot(support)
            near, _ = spots.wire_point(support, where.position)
        except (NoPlaceError, UnknownNameError):
            continue
        if not spot.missing:
            ends.at[run.id] = far_plan(spots, stage, run, near, spot.pole)
    return ends
