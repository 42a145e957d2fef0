"""The choice of rulebooks a job is judged by."""

from __future__ import annotations

from msgspec.structs import replace

from framer.errors import EditError
from framer.model.job import Job


def with_book(job: Job, key: str) -> Job:
    """The job judged by one more rulebook; no change where it is already."""
    return job if key in job.books else replace(job, books=(*job.books, key))


def without_book(job: Job, key: str) -> Job:
    """The job no longer judged by a rulebook.

    Raises:
        EditError: it would be judged by none.
    """
    kept = tuple(book for book in job.books if book != key)
    if not kept:
        raise EditError("a job is judged by at least one rulebook; choose another one first")
    return replace(job, books=kept)
