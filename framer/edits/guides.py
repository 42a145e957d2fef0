"""Scanned drawings that lie behind the elevations."""

from __future__ import annotations

from typing import Any

import msgspec
from msgspec.structs import replace

from framer.errors import EditError
from framer.model.guide import Guide, Mark
from framer.model.job import Job

MOST_GUIDES = 20


def add_guide(job: Job, path: str, aspect: float, look_deg: float) -> Job:
    """The job with a scanned drawing behind the pole as found, its heights not known yet.

    Raises:
        EditError: no path is given, or there are too many already.
    """
    if not path.strip():
        raise EditError("a scanned drawing needs the path of its file")
    if len(job.guides) >= MOST_GUIDES:
        raise EditError(f"a job has at most {MOST_GUIDES} scanned drawings")
    made = Guide(path.strip(), aspect, Mark(0.5, 0.9), Mark(0.5, 0.1), look_deg=look_deg % 360.0)
    return replace(job, guides=(*job.guides, made))


def set_guide(job: Job, at: int, **fields: Any) -> Job:
    """The job with fields of a scanned drawing changed.

    Raises:
        EditError: there is none at this place, or it would be none that a job can hold.
    """
    changed = replace(_guide(job, at), **fields)
    try:
        made = msgspec.convert(msgspec.to_builtins(changed), type=Guide)
    except msgspec.ValidationError as error:
        raise EditError(f"a scanned drawing cannot be so: {error}") from error
    return replace(job, guides=(*job.guides[:at], made, *job.guides[at + 1 :]))


def remove_guide(job: Job, at: int) -> Job:
    """The job without a scanned drawing; its file stays.

    Raises:
        EditError: there is none at this place.
    """
    _guide(job, at)
    return replace(job, guides=(*job.guides[:at], *job.guides[at + 1 :]))


def _guide(job: Job, at: int) -> Guide:
    if not 0 <= at < len(job.guides):
        raise EditError("there is no such scanned drawing")
    return job.guides[at]
