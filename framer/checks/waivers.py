"""Waivers: somebody answers for a gap that stays short."""

from __future__ import annotations

import datetime

from msgspec.structs import replace

from framer.checks.finding import Finding
from framer.errors import EditError
from framer.model.job import Job, Waiver


def why_not_waived(finding: Finding) -> str:
    """Why nobody can answer for a finding, empty when somebody can."""
    if finding.can_be_waived:
        return ""
    if finding.verdict != "short":
        return f"only a gap that is short is answered for; this one is '{finding.verdict}'"
    if finding.spare is None:
        return "only a gap that is measured is answered for"
    return "an approach distance to a worker is never waived"


def waive(job: Job, finding: Finding, *, reason: str, by: str, date: str) -> Job:
    """The job with somebody answering for a short gap as it is now.

    Raises:
        EditError: there is no name or reason, the date is none, or the finding is none that can
            be waived.
    """
    if not reason.strip() or not by.strip():
        raise EditError("a waiver needs a reason and the name of who answers for it")
    if date and not is_day(date):
        raise EditError(f"'{date}' is no day; write it as 2026-04-30")
    problem = why_not_waived(finding)
    if problem or finding.gap is None:
        raise EditError(problem)
    given = Waiver(finding.key, reason.strip(), by.strip(), date, finding.gap)
    others = tuple(waiver for waiver in job.waivers if waiver.key != finding.key)
    return replace(job, waivers=(*others, given))


def is_day(text: str) -> bool:
    """Whether a text is a day as jobs write it: year-month-day."""
    try:
        return datetime.date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def unwaive(job: Job, key: str) -> Job:
    """The job without the waiver of the finding with this key.

    Raises:
        EditError: there is none.
    """
    kept = tuple(waiver for waiver in job.waivers if waiver.key != key)
    if len(kept) == len(job.waivers):
        raise EditError("nobody answers for this finding")
    return replace(job, waivers=kept)
