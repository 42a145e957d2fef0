"""Lengths as drawings and drill lists write them: the same number reads the same on every sheet."""

from __future__ import annotations

from typing import NamedTuple

from framer.geometry.pole import PoleSolid
from framer.model.job import Job
from framer.units.compare import HAIR_IN, Toward, rounded
from framer.units.length import System, inches_text, length_text

STEP_IN: dict[System, float] = {"ft-in": 1 / 16, "metric": 1.0 / 25.4}
"""Step of lengths that are drawn, drilled or typed: 1/16 in or a millimetre, house numbers."""


def exact(job: Job, value_in: float | None, toward: Toward = "nearest") -> str:
    """A length as it is drawn and drilled, in the job's units."""
    if value_in is None:
        return "not known"
    units = job.settings.units
    return length_text(value_in, step_in=STEP_IN[units], toward=toward, system=units)


def stepped(job: Job, value_in: float, toward: Toward = "nearest") -> str:
    """A length as it is told: to the job's own step of printed lengths, in its units."""
    settings = job.settings
    return length_text(value_in, step_in=settings.round_in, toward=toward, system=settings.units)


def from_top(job: Job, drop_in: float) -> str:
    """How far below the finished top something is, or above it where the top was cut off."""
    return f"{exact(job, abs(drop_in))} {'above' if drop_in < 0.0 else 'below'} top"


def small(system: System, value_in: float, toward: Toward = "nearest") -> str:
    """A short length as it is drawn: in inches alone, or metres."""
    return inches_text(value_in, step_in=STEP_IN[system], toward=toward, system=system)


def rake_words(job: Job, in_per_10ft: float) -> str:
    """How much a pole leans: "4 in in 10 ft", or metres in as many metres."""
    return f"{small(job.settings.units, in_per_10ft)} in {exact(job, 120.0)}"


class Marks(NamedTuple):
    """Where a height on a pole is, on the grid that is written [in]; `None` where not known.

    Attributes:
        butt_in: from the butt along the pole.
        ground_in: above the ground line.
        top_in: below the finished top along the pole; below 0 over it.
    """

    butt_in: float | None
    ground_in: float
    top_in: float | None


def marks(job: Job, solid: PoleSolid, up_in: float) -> Marks:
    """How far a height on a pole is from butt, ground and finished top, as written.

    Each is rounded by itself; what butt and top together are then off by goes to the one from the
    top, so that they add up to the finished length.

    Args:
        job: says by its units which grid.
        solid: the pole.
        up_in: the height, along the pole from the ground line [in].
    """
    step = STEP_IN[job.settings.units]
    ground = rounded(up_in * solid.rise, step, "nearest")
    depth, top_up = solid.depth_in, solid.top_up_in
    butt = None if depth is None else rounded(depth + up_in, step, "nearest")
    if top_up is None:
        return Marks(butt, ground, None)
    top = rounded(top_up - up_in, step, "nearest")
    if depth is not None and butt is not None:
        whole = rounded(depth + top_up, step, "nearest")
        if abs(butt + top - whole) <= step + HAIR_IN:
            top = whole - butt
    return Marks(butt, ground, top)
