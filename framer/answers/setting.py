"""Setting a pole: how close beside the old one, what an offset turns, how far a rake leans."""

from __future__ import annotations

import math
from itertools import combinations

from msgspec import Struct

from framer.errors import EditError
from framer.geometry.placing import place
from framer.geometry.space import Point, azimuth_of, compass, level_way, toward
from framer.geometry.wire_ends import far_pole
from framer.geometry.written import small
from framer.mechanics.guy import corner_pull
from framer.mechanics.handling import hole_apart
from framer.model.job import Job
from framer.model.line import Span
from framer.model.place import Standing
from framer.model.stage import place_at
from framer.units.length import System


class Beside(Struct, frozen=True):
    """A new pole beside an old one.

    Attributes:
        apart_in: least distance centre to centre at the ground: undisturbed soil, half the auger,
            half the old butt.
        tamping_in: room round the new butt in the hole.
        faces_in: gap of the faces at `height_in`, where the old pole leans over; `None` without a
            height.
    """

    apart_in: float
    tamping_in: float
    height_in: float | None = None
    over_in: float = 0.0
    faces_in: float | None = None


def beside(
    *,
    old_butt_in: float,
    new_butt_in: float,
    auger_in: float,
    soil_in: float,
    lean_in_per_10ft: float = 0.0,
    height_in: float | None = None,
    old_dia_in: float | None = None,
    new_dia_in: float | None = None,
    system: System = "ft-in",
) -> Beside:
    """How close beside an old pole the hole for a new one can be.

    Args:
        old_butt_in: the old pole's diameter at the ground.
        new_butt_in: the new pole's diameter at its butt.
        auger_in: diameter of the auger.
        soil_in: undisturbed soil to be kept between hole and old pole.
        lean_in_per_10ft: how far the old pole leans towards the new one.
        height_in: height at which the faces are looked at.
        old_dia_in: diameter of the old pole there; as at the ground if `None`.
        new_dia_in: diameter of the new pole there; as at its butt if `None`.
        system: units of what is said where it does not go.

    Raises:
        EditError: the butt does not go into the hole.
    """
    if auger_in < new_butt_in:
        butt, hole = small(system, new_butt_in, "up"), small(system, auger_in, "down")
        raise EditError(f"a butt of {butt} does not go into a hole of {hole}: take a larger auger")
    apart = hole_apart(auger_in, soil_in, old_butt_in)
    tamping = (auger_in - new_butt_in) / 2
    if height_in is None:
        return Beside(apart, tamping)
    over = lean_in_per_10ft * height_in / 120.0
    old = old_butt_in if old_dia_in is None else old_dia_in
    new = new_butt_in if new_dia_in is None else new_dia_in
    return Beside(apart, tamping, height_in, over, apart - over - (old + new) / 2)


class Turn(Struct, frozen=True):
    """What a line turns at a pole.

    Attributes:
        back, ahead: the two neighbouring poles.
        angle_deg: how much the line turns there, 0 for a tangent.
        toward_deg: where the two spans together pull.
        pull_lbf: what the wires of the one span pull that way, those of known tension.
        wires: how many these are.
        untold: how many wires of that span have no tension typed.
    """

    back: str
    ahead: str
    angle_deg: float
    toward_deg: float
    pull_lbf: float
    wires: int
    untold: int


MOST_LINE_TURN_DEG = 45.0
"""A line that turns more goes on from another arm, and is two lines here [common practice]."""


def turns(job: Job, foot: Point) -> tuple[Turn, ...]:
    """What every line that goes on past a pole turns there; the far poles stay where they are."""
    found = []
    for back, ahead in combinations(job.spans, 2):
        ways = [way_to(job, foot, one) for one in (back, ahead)]
        east, north = (sum(way[axis] for way in ways) for axis in (0, 1))
        both = math.hypot(east, north)
        angle = math.degrees(2.0 * math.asin(min(1.0, both / 2.0)))
        if angle > MOST_LINE_TURN_DEG:
            continue
        wires = [wire for wire in job.wires if wire.span == back.id]
        pulls = [one for wire in wires if (one := wire.loaded_tension_lbf or wire.tension_lbf)]
        found.append(
            Turn(
                back=back.toward,
                ahead=ahead.toward,
                angle_deg=angle,
                toward_deg=azimuth_of((east, north, 0.0)),
                pull_lbf=corner_pull(math.fsum(pulls), math.radians(angle)),
                wires=len(pulls),
                untold=len(wires) - len(pulls),
            )
        )
    return tuple(found)


def way_to(job: Job, foot: Point, span: Span) -> tuple[float, float]:
    """The level direction from a pole to the far pole of a span, which stays where it is."""
    east, north, _ = level_way(foot, far_pole(job, span)) or toward(span.azimuth_deg)
    return east, north


def turn_words(now: Turn, was_deg: float | None = None) -> str:
    """What a line turns, and what it turned before where that is another matter."""
    angle = f"{now.angle_deg:.2f} deg"
    if was_deg is not None:
        angle = f"{was_deg:.2f} -> {angle}"
    words = f"the line from {now.back} to {now.ahead} turns {angle} there"
    if now.angle_deg < LEAST_TURN_DEG:
        return words
    if was_deg is None or was_deg < LEAST_TURN_DEG:
        words += ", so it is no tangent" + ("" if was_deg is None else " any more")
    if now.wires:
        side = compass(now.toward_deg, words=True)
        many = f"{now.wires} wire{'s' * (now.wires != 1)}"
        words += f"; its {many} of known tension pull {math.ceil(now.pull_lbf - 1e-6):,} lbf {side}"
    if now.untold:
        words += f"; {now.untold} of its wires have no tension typed"
    return words


LEAST_TURN_DEG = 0.1
"""A line that turns less is a tangent still."""

RAKE_IN_PER_10FT = (2.0, 4.0)
"""Rake of poles that strain, against the pull, when the wires are at tension.

Source: UFGS 16301N, a guide specification with the numbers in brackets; READ.
"""


def rake_at_top_in(
    height_in: float, least_in_per_10ft: float, most_in_per_10ft: float
) -> tuple[float, float]:
    """How far the top of a raked pole stands off, away from the pull, from and up to."""
    return height_in * least_in_per_10ft / 120.0, height_in * most_in_per_10ft / 120.0


def apart_in(job: Job, pole: str) -> tuple[tuple[str, float], ...]:
    """How far each other pole of the job stood or stands from one, centre to centre.

    Raises:
        EditError: there is no such pole as framed.
    """
    solid = place(job, "framed").poles.get(pole)
    if solid is None:
        raise EditError(f"{job.label(pole)} does not stand as framed")
    found = []
    for item in job.items:
        where = place_at(job, item, "found") or place_at(job, item, "framed")
        if item.id != pole and item.kind == "pole" and isinstance(where, Standing):
            found.append((item.id, math.dist(solid.foot[:2], (where.east_in, where.north_in))))
    return tuple(found)
