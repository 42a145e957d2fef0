"""Findings of one check found again in the next, by rule and parts."""

from __future__ import annotations

from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.checks.findings import Findings
from framer.edits.places import set_along_pole
from framer.edits.things import delete
from framer.geometry.placing import place
from framer.model.job import Job
from tests.bench.jobs import full_pole


def findings(job: Job, *, moving: bool = False) -> Findings:
    books = tuple(rulebook(key) for key in job.books)
    return check(place(job, "framed"), books, moving=moving)


def follow(before: Findings, after: Findings) -> tuple[int, int]:
    """Compare with the keys; gives how many are there still, and how many are gone."""
    places = after.now(before)
    keys = {after.numbered(number).key for number in after.numbers}
    still = gone = 0
    for number in before.numbers:
        key = before.numbered(number).key
        if places[number] >= 0:
            assert after.numbered(places[number]).key == key
            still += 1
        else:
            assert key not in keys
            gone += 1
    assert len(places) == len(before)
    return still, gone


def test_after_a_move_every_finding_is_found_again_or_is_gone() -> None:
    job = full_pole()
    before = findings(job)
    for height in (639.0, 600.0, 540.0):
        after = findings(set_along_pole(job, "one-line", "framed", "height", height), moving=True)
        still, gone = follow(before, after)
        assert still > 1_000
        assert gone > 0  # room to climb is not judged while a thing moves


def test_numbers_are_worst_first_as_the_findings_are() -> None:
    made = findings(full_pole())
    assert [made.numbered(number).key for number in made.numbers] == [one.key for one in made]


def test_after_another_plan_they_are_found_by_what_they_speak_of() -> None:
    job = full_pole()
    still, gone = follow(findings(job), findings(delete(job, "two-buck")))
    assert still > 500
    assert gone > 100
