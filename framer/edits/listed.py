"""Lines of the material list that are typed: signs, tags, what no drawing shows."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from framer.errors import EditError
from framer.model.job import Job, Listed

NEW_NAME = "new line"


def add_listed(job: Job, name: str = "", quantity: float = 1.0, unit: str = "ea") -> Job:
    """The job with one more typed line."""
    made = Listed(name.strip() or NEW_NAME, quantity, unit)
    return replace(job, listed=(*job.listed, made))


def remove_listed(job: Job, at: int) -> Job:
    """The job without a typed line.

    Raises:
        EditError: there is none at this place.
    """
    _line(job, at)
    return replace(job, listed=(*job.listed[:at], *job.listed[at + 1 :]))


def set_listed(job: Job, at: int, **fields: str | float) -> Job:
    """The job with fields of a typed line changed.

    Raises:
        EditError: there is none at this place, or it would be none that a job can hold.
    """
    changed = {**msgspec.to_builtins(_line(job, at)), **fields}
    try:
        made = msgspec.convert(changed, type=Listed)
    except msgspec.ValidationError as error:
        raise EditError(f"a line of the list cannot be so: {error}") from error
    return replace(job, listed=(*job.listed[:at], made, *job.listed[at + 1 :]))


def _line(job: Job, at: int) -> Listed:
    if not 0 <= at < len(job.listed):
        raise EditError("there is no such line on the list")
    return job.listed[at]
