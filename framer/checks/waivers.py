"""Waivers: somebody answers for a gap that stays short."""

from __future__ import annotations

from msgspec.structs import replace

from framer.checks.finding import Finding
from framer.errors import EditError
from framer.model.job import Job, Waiver


def waive(job: Job, finding: Finding, *, reason: str, by: str, date: str) -> Job:
    """The job with somebody answering for a short gap as it is now.

    Raises:
        EditError: there is no name or reason, or the finding is none that can be waived.
    """
    if not reason.strip() or not by.strip():
        raise EditError("a waiver needs a reason and the name of who answers for it")
    if not finding.can_be_waived or finding.gap is None:
        raise EditError(
            "only a gap that is short can be waived, and never an approach distance to a worker"
        )
    given = Waiver(finding.key, reason.strip(), by.strip(), date, finding.gap)
    others = tuple(waiver for waiver in job.waivers if waiver.key != finding.key)
    return replace(job, waivers=(*others, given))


def unwaive(job: Job, key: str) -> Job:
    """The job without the waiver of the finding with this key.

    Raises:
        EditError: there is none.
    """
    kept = tuple(waiver for waiver in job.waivers if waiver.key != key)
    if len(kept) == len(job.waivers):
        raise EditError("nobody answers for this finding")
    return replace(job, waivers=kept)
