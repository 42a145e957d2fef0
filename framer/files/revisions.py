"""Freezing a job as a numbered revision, having it back, and the mark a sign-off rests on."""

from __future__ import annotations

import hashlib
import json

from msgspec.structs import replace

from framer.errors import EditError
from framer.files.format import FORMAT, plain
from framer.files.reader import job_from
from framer.model.job import Job
from framer.model.revision import Revision, Signed

DRAFT = "draft - not checked by chief"
"""What every sheet says until somebody signs by name."""


def frozen(job: Job) -> str:
    """The text of a job file with the job as it is, without its revisions."""
    bare = replace(job, revisions=())
    document = {"format": FORMAT, "job": plain(bare)}
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"))


def thawed(revision: Revision) -> Job:
    """The job as a revision froze it.

    Raises:
        JobFileError: the snapshot holds no sound job.
    """
    return job_from(revision.snapshot.encode(), f"revision {revision.number}").job


def as_issued(job: Job, number: int) -> Job:
    """The job as a revision froze it, with that revision and those before it.

    Raises:
        EditError: there is no such revision.
        JobFileError: the snapshot holds no sound job.
    """
    then = thawed(revision_of(job, number))
    return replace(then, revisions=tuple(one for one in job.revisions if one.number <= number))


def mark(job: Job) -> str:
    """What tells one state of a job from any other, sign-off and revisions apart."""
    return hashlib.sha256(frozen(replace(job, signed=None)).encode()).hexdigest()[:16]


def issued(
    job: Job, by: str, date: str, *, note: str = "", verdicts: str = "", books: tuple[str, ...] = ()
) -> Job:
    """The job with its present state frozen as the next revision.

    Raises:
        EditError: no name is given, or nothing has changed since the last revision.
    """
    if not by.strip():
        raise EditError("a revision is issued by somebody: type a name")
    if job.revisions and is_latest(job):
        raise EditError(f"nothing has changed since revision {job.revisions[-1].number}")
    number = job.revisions[-1].number + 1 if job.revisions else 1
    made = Revision(number, date, by.strip(), frozen(job), note, verdicts, books)
    return replace(job, revisions=(*job.revisions, made))


def is_latest(job: Job) -> bool:
    """Whether the job is as its latest revision froze it; to sign it off is no change."""
    if not job.revisions:
        return False
    document = json.loads(job.revisions[-1].snapshot)
    document["job"].pop("signed", None)
    then = json.dumps(document, ensure_ascii=False, separators=(",", ":"))
    return then == frozen(replace(job, signed=None))


def revision_of(job: Job, number: int) -> Revision:
    """The revision with a number.

    Raises:
        EditError: there is none.
    """
    found = next((one for one in job.revisions if one.number == number), None)
    if found is None:
        known = ", ".join(str(one.number) for one in job.revisions) or "none is issued"
        raise EditError(f"there is no revision {number} ({known})")
    return found


def signed(job: Job, by: str, date: str) -> Job:
    """The job signed off as it is now.

    Raises:
        EditError: no name is given.
    """
    if not by.strip():
        raise EditError("a sign-off is a name: type it")
    return replace(job, signed=Signed(by.strip(), date, mark(job)))


def standing(job: Job) -> str:
    """Who checked the job as it is, or that nobody has."""
    sign = job.signed
    if sign is not None and sign.mark == mark(job):
        return f"checked by {sign.by}, {sign.date}"
    return DRAFT if sign is None else f"{DRAFT} since it was changed"


def revision_words(job: Job) -> str:
    """Which revision a job is; empty when none is issued."""
    if not job.revisions:
        return ""
    last = job.revisions[-1]
    what = f"revision {last.number} of {last.date}"
    return what if is_latest(job) else f"changed after {what}"


def superseded_words(job: Job, number: int) -> str:
    """What is stamped on paper made of an old revision; empty while the job is still as it was."""
    old, last = revision_of(job, number), job.revisions[-1]
    if old.number != last.number:
        return f"SUPERSEDED by revision {last.number} of {last.date}"
    if not is_latest(job):
        return f"SUPERSEDED: the job was changed after revision {number}"
    return ""
