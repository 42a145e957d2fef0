"""Setting a pole: how close beside the old one, what an offset turns, how far a rake leans."""

from __future__ import annotations

import math
from dataclasses import dataclass

from framer.errors import EditError
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.place import Standing
from framer.model.stage import place_at


@dataclass(frozen=True, slots=True)
class Beside:
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

    Raises:
        EditError: the butt does not go into the hole.
    """
    if auger_in < new_butt_in:
        raise EditError(
            f"a butt of {new_butt_in:g} in does not go into a hole of {auger_in:g} in: take a "
            "larger auger"
        )
    apart = soil_in + auger_in / 2 + old_butt_in / 2
    tamping = (auger_in - new_butt_in) / 2
    if height_in is None:
        return Beside(apart, tamping)
    over = lean_in_per_10ft * height_in / 120.0
    old = old_butt_in if old_dia_in is None else old_dia_in
    new = new_butt_in if new_dia_in is None else new_dia_in
    return Beside(apart, tamping, height_in, over, apart - over - (old + new) / 2)


@dataclass(frozen=True, slots=True)
class Turn:
    """What a line turns at a pole that is set off it: the angle, and the pull of one wire."""

    angle_deg: float
    pull_lbf: float | None


def off_line(
    off_in: float, back_span_in: float, ahead_span_in: float, tension_lbf: float | None = None
) -> Turn:
    """The angle of a straight line at a pole set sideways of it, and what each wire pulls there.

    Raises:
        EditError: a span has no length.
    """
    if min(back_span_in, ahead_span_in) <= 0.0:
        raise EditError("both spans need a length")
    angle = math.atan2(off_in, back_span_in) + math.atan2(off_in, ahead_span_in)
    pull = None if tension_lbf is None else 2.0 * tension_lbf * math.sin(angle / 2.0)
    return Turn(math.degrees(angle), pull)


def rake_at_top_in(
    height_in: float, least_in_per_10ft: float, most_in_per_10ft: float
) -> tuple[float, float]:
    """How far the top of a raked pole is to stand off, away from the pull, from and up to."""
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
