"""What a job carries about its paper: revisions issued, a sign-off, notices to send, photos."""

from typing import Annotated

from msgspec import Meta, Struct

Day = Annotated[str, Meta(pattern=r"^\d{4}-\d{2}-\d{2}$")]
MaybeDay = Annotated[str, Meta(pattern=r"^(\d{4}-\d{2}-\d{2})?$")]
"""A day, or empty for none."""
Said = Annotated[str, Meta(min_length=1)]


class Revision(Struct, frozen=True, forbid_unknown_fields=True):
    """The job as it was issued, frozen.

    `snapshot` is the text of a job file with that job, without revisions; `verdicts` counts the
    findings it was issued with, `books` are the rulebooks and editions it was judged by.
    """

    number: Annotated[int, Meta(ge=1, le=9_999)]
    date: Day
    by: Said
    snapshot: str
    note: str = ""
    verdicts: str = ""
    books: tuple[str, ...] = ()


class Signed(Struct, frozen=True, forbid_unknown_fields=True):
    """The sign-off of one state of the job: who typed the name, when, and the mark of that state.

    In any other state of the job it counts for nothing.
    """

    by: Said
    date: Day
    mark: str


class Notice(Struct, frozen=True, forbid_unknown_fields=True):
    """A notice rule somebody chose for this job, and the day it is reckoned from."""

    rule: str
    date: Day


class Photo(Struct, frozen=True, forbid_unknown_fields=True):
    """A photo that belongs to the job; it is listed on paper, and never measured from."""

    path: Said
    note: str = ""
    date: MaybeDay = ""
