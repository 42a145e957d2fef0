"""Jumpers: how long each is cut, and how near it comes to what it must keep off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from framer.geometry.climbing import (
    COLUMNS,
    LARGEST_IN,
    frame_at,
    frame_of,
    outline,
    sizes_when_touched,
)
from framer.geometry.distance import along, closest, to_box, to_cylinder
from framer.geometry.jumpers import JUMPERED, jumper_path
from framer.geometry.scene import Array, Box, Part, Run, Scene, Tag, Tube
from framer.geometry.space import Point, azimuth_of_point, compass
from framer.geometry.spot import Spots
from framer.model.job import Job
from framer.model.line import Join
from framer.model.stage import join_at
from framer.units.compare import rounded
from framer.units.length import length_text


class Approach(Struct, frozen=True):
    """How near a jumper comes to the nearest thing of one kind.

    `gap_in` is from the jumper's surface to the thing's, 0 where they touch.
    """

    kind: str
    owner: str
    gap_in: float
    p: Point
    q: Point


class JumperRow(Struct, frozen=True):
    """One jumper, bypass or tap of the stage.

    Attributes:
        join: its id.
        made: "jumper", "bypass" or "tap".
        part: id of its stock wire, or else that of the wire it starts from; `None` not known.
        straight_in: from support to support, `None` where its path is not known.
        length_in: along the path.
        cut_in: the length to cut, up to the next step of the job.
        phases: letters at its two ends.
        approaches: nearest pole, guy, arm, case, wire of another phase or circuit.
        climbed: the side that is climbed, empty where the job names none.
        column_in: how large a square of that side it leaves clear; `None` where it stays out.
        missing: why the path is not known.
        assumed: what the path rests on.
    """

    join: str
    made: str
    part: str | None
    straight_in: float | None
    length_in: float | None
    cut_in: float | None
    phases: tuple[str, str]
    approaches: tuple[Approach, ...]
    climbed: str
    column_in: float | None
    missing: str
    assumed: str


def jumpers(scene: Scene, *, near: bool = True) -> tuple[JumperRow, ...]:
    """Every join of the scene's stage that is a wire of its own, in the order of the job.

    Without `near` nobody looks what they come near, which takes most of the time.
    """
    spots = Spots(scene.job, scene.stage)
    rows = []
    for join in scene.job.joins:
        state = join_at(scene.job, join, scene.stage)
        if state is not None and state.made in JUMPERED and join.id in scene.parts_of:
            rows.append(_row(scene, spots, join, state.made, near=near))
    return tuple(rows)


def _row(scene: Scene, spots: Spots, join: Join, made: str, *, near: bool) -> JumperRow:
    job = scene.job
    path, settings = jumper_path(spots, join), job.settings
    pieces = [part for part in scene.parts_of[join.id] if part.shape is not None]
    known = not path.missing and bool(pieces)
    ends = [job.wire_by_id.get(key) or job.item_by_id.get(key) for key in (join.a, join.b)]
    phases = [(end.phase or "") if end else "" for end in ends]
    wires = [wire for key in (join.a, join.b) if (wire := job.wire_by_id.get(key)) is not None]
    first = scene.parts_of[join.id][0]
    return JumperRow(
        join=join.id,
        made=made,
        part=join.part or next((wire.part for wire in wires if wire.part), None),
        straight_in=path.straight_in if known else None,
        length_in=path.length_in if known else None,
        cut_in=rounded(path.length_in, settings.jumper_step_in, "up") if known else None,
        phases=(phases[0], phases[1]),
        approaches=tuple(_approaches(scene, join, pieces)) if near else (),
        climbed=settings.climbing_side,
        column_in=_column(scene, pieces) if known and near else None,
        missing=first.missing,
        assumed="" if first.missing else first.assumed,
    )


_KINDS: tuple[tuple[str, Tag], ...] = (
    ("pole", Tag.POLE),
    ("guy", Tag.GUY),
    ("arm", Tag.ARM),
    ("case", Tag.CASE),
    ("other wire", Tag.WIRE | Tag.JUMPER | Tag.LIVE),
)


def _approaches(scene: Scene, join: Join, pieces: Sequence[Part]) -> Iterator[Approach]:
    """The nearest of each kind; of wires and live parts those of another potential only."""
    if not pieces:
        return
    p, q = (np.array([getattr(part.shape, end) for part in pieces]) for end in "pq")
    own = pieces[0]
    radius = own.shape.r_p if isinstance(own.shape, Tube) else 0.0
    for kind, tags in _KINDS:
        best: Approach | None = None
        for part in scene.bodies:
            if not part.tags & tags or part.shape is None:
                continue
            if part.owner in (join.id, join.a, join.b):
                continue
            if part.node >= 0 and part.node == own.node:
                continue
            gap, at, to = _nearest(p, q, part, part.shape)
            gap = max(0.0, gap - radius)
            if best is None or gap < best.gap_in:
                best = Approach(kind, part.owner, gap, at, to)
        if best is not None:
            yield best


def _nearest(p: Array, q: Array, part: Part, shape: Tube | Box | Run) -> tuple[float, Point, Point]:
    """From the middle of a chain of pieces to the surface of a body, and between which points.

    Wires are taken straight from end to end, as at their supports.
    """
    count = len(p)
    if isinstance(shape, Box):
        centre, axes, half = (
            np.array([one] * count)
            for one in (shape.centre, (shape.u, shape.v, shape.w), shape.half)
        )
        gap, share, to = to_box(p, q, centre, axes, half)
    else:
        base, top = np.array([shape.p] * count), np.array([shape.q] * count)
        r_base, r_top = (shape.r, shape.r) if isinstance(shape, Run) else (shape.r_p, shape.r_q)
        if part.tags & (Tag.POLE | Tag.CASE):
            radii = np.full(count, r_base), np.full(count, r_top)
            gap, share, to = to_cylinder(p, q, base, top, *radii)
        else:
            share, there = closest(p, q, base, top)
            to = along(base, top, there)
            gap = np.linalg.norm(along(p, q, share) - to, axis=1) - max(r_base, r_top)
    best = int(np.argmin(gap))
    at = along(p, q, share)
    return float(gap[best]), _point(at[best]), _point(to[best])


def _point(row: Array) -> Point:
    x, y, z = row.tolist()
    return (x, y, z)


def _column(scene: Scene, pieces: Sequence[Part]) -> float | None:
    """The square of the side climbed that a jumper leaves clear; `None` where it stays out."""
    side, pole = scene.job.settings.climbing_side, pieces[0].pole
    if not side or pole not in scene.poles:
        return None
    frame = frame_of(scene, pole)
    wanted = azimuth_of_point(side)
    column = min(
        range(COLUMNS),
        key=lambda number: abs((frame.azimuth_deg(number) - wanted + 180.0) % 360.0 - 180.0),
    )
    numbers = {part.key: number for number, part in enumerate(scene.parts)}
    foot = scene.poles[pole].foot[2]
    least = LARGEST_IN
    for part in pieces:
        shape = part.shape
        if shape is None:
            continue
        middle = 0.5 * (shape.p[2] + shape.q[2]) - foot
        here = frame_at(scene, pole, frame, middle)
        lying = outline(scene, numbers[part.key], here, thick=True)
        if lying is not None:
            least = min(least, float(sizes_when_touched([(here, [lying])])[0, column]))
    return least if least < LARGEST_IN else None


NO_SIDE = "no side to climb is chosen: whether a jumper comes into its space is not said"


def jumper_name(job: Job, row: JumperRow) -> str:
    """What a jumper is called: what it is made as, and its phases, where the name says neither."""
    one, other = row.phases
    made = row.made if row.made != "jumper" else ""
    phases = f"{one or '-'} to {other or '-'}" if one != other or not one else ""
    return ", ".join(filter(None, (job.label(row.join), made, phases)))


def jumper_words(scene: Scene, row: JumperRow) -> Iterator[str]:
    """What is printed of a jumper, line by line."""
    job = scene.job
    units = job.settings.units
    if row.straight_in is None or row.length_in is None or row.cut_in is None:
        yield f"cannot say: {row.missing}"
        return

    def up(value: float) -> str:
        return length_text(value, toward="up", system=units)

    yield (
        f"{up(row.straight_in)} straight, {up(row.length_in)} along the path, cut {up(row.cut_in)}"
        f" ({row.assumed})"
    )
    for one in row.approaches:
        gap = length_text(one.gap_in, toward="down", system=units)
        touching = "" if one.gap_in > 0.0 else " as taken: lead it round or hold it off"
        yield f"nearest {one.kind}: {job.label(one.owner)}, {gap}{touching}"
    if row.column_in is not None:
        clear = length_text(row.column_in, toward="down", system=units)
        side = compass(azimuth_of_point(row.climbed), words=True)
        yield f"!! in the climbing space: it leaves {clear} square clear at the {side}"
