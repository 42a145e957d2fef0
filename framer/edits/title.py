"""Edits of what the title block says of the job."""

from __future__ import annotations

from msgspec.structs import replace

from framer.errors import EditError
from framer.model.job import Job


def set_title(job: Job, **changes: str) -> Job:
    """The job with other words in its title block: name, place, owner, drafted_by, date, note.

    Raises:
        EditError: the job would have no name.
    """
    if not changes.get("name", job.name).strip():
        raise EditError("a job has a name")
    return replace(job, **changes)
