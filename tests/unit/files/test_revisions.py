"""Revisions and the sign-off: frozen whole, told apart, and lapsing with any change."""

from __future__ import annotations

import json

import pytest
from msgspec.structs import replace

from framer.edits.places import set_along_pole
from framer.edits.revisions import with_photo
from framer.errors import EditError, JobFileError
from framer.files.format import encode
from framer.files.reader import job_from
from framer.files.revisions import (
    DRAFT,
    as_issued,
    is_latest,
    issued,
    revision_of,
    revision_words,
    signed,
    standing,
    superseded_words,
    thawed,
)
from framer.model.faults import faults
from framer.model.job import Job
from framer.session import Session
from framer.takeoff.revision import revision
from tests.build import arm, job, pole


def first() -> Job:
    return replace(job(*pole(45), arm("line", 47.0, hold="drop")), date="2026-05-01")


def lower(made: Job) -> Job:
    return set_along_pole(made, "line", "framed", "drop", 59.0)


def twice() -> Job:
    """Issued, lowered by a foot, issued again."""
    once = issued(first(), "M. Okafor", "2026-05-02", note="for the crew")
    return issued(lower(once), "M. Okafor", "2026-05-09")


def test_an_issued_revision_gives_back_the_job_as_it_was() -> None:
    made = twice()
    assert [one.number for one in made.revisions] == [1, 2]
    assert thawed(made.revisions[0]) == first()
    assert thawed(made.revisions[1]) == lower(first())


def test_a_snapshot_holds_no_older_revision() -> None:
    for one in twice().revisions:
        assert "revisions" not in json.loads(one.snapshot)["job"]
        assert thawed(one).revisions == ()


def test_revisions_are_kept_by_the_job_file() -> None:
    made = twice()
    assert job_from(encode(made), "job").job == made


def test_what_has_not_changed_is_not_issued_again_and_somebody_issues() -> None:
    once = issued(first(), "M. Okafor", "2026-05-02")
    with pytest.raises(EditError, match="nothing has changed since revision 1"):
        issued(once, "M. Okafor", "2026-05-03")
    with pytest.raises(EditError, match="type a name"):
        issued(first(), "  ", "2026-05-03")


def test_a_job_says_which_revision_it_is() -> None:
    assert revision_words(first()) == ""
    made = twice()
    assert revision_words(made) == "revision 2 of 2026-05-09"
    changed = with_photo(made, "pole.jpg")
    assert revision_words(changed) == "changed after revision 2 of 2026-05-09"
    assert revision_words(as_issued(made, 1)) == "revision 1 of 2026-05-02"


def test_an_old_revision_is_superseded_and_the_last_one_by_any_change() -> None:
    made = twice()
    assert superseded_words(made, 1) == "SUPERSEDED by revision 2 of 2026-05-09"
    assert superseded_words(made, 2) == ""
    assert superseded_words(with_photo(made, "pole.jpg"), 2).startswith("SUPERSEDED")
    with pytest.raises(EditError, match="there is no revision 3"):
        revision_of(made, 3)


def test_a43_two_revisions_differ_in_drawing_bores_and_lists() -> None:
    before, after = (thawed(one) for one in twice().revisions)
    changed = revision(before, after)
    # the pole is 6 ft 6 in deep: 38 ft 6 in - 3 ft 11 in is 34 ft 7 in, and a foot less
    assert changed.drawing == ("line: 12 in lower, 33 ft 7 in above ground",)
    assert [one.up_in for one in changed.bores] == [-12.0]
    assert changed.stamp
    assert revision(after, after).lines == ()


def test_things_that_are_new_or_gone_are_named() -> None:
    with_more = job(*pole(45), arm("line", 47.0, hold="drop"), arm("buck", 95.0, hold="drop"))
    assert "buck: new" in revision(first(), with_more).drawing
    assert "buck: gone" in revision(with_more, first()).drawing


def test_nobody_has_checked_a_job_until_somebody_signs_by_name() -> None:
    assert standing(first()) == DRAFT
    made = signed(first(), "J. Chief", "2026-05-03")
    assert standing(made) == "checked by J. Chief, 2026-05-03"
    with pytest.raises(EditError, match="a sign-off is a name"):
        signed(first(), "", "2026-05-03")


def test_a_sign_off_lapses_with_any_change_and_is_back_when_that_is_undone() -> None:
    session = Session(first())
    session.do("sign off", lambda made: signed(made, "J. Chief", "2026-05-03"))
    assert standing(session.job).startswith("checked by")
    for edit in (lower, lambda made: replace(made, note="x"), lambda made: with_photo(made, "p")):
        session.do("change", edit)
        assert standing(session.job) == f"{DRAFT} since it was changed"
        session.undo()
        assert standing(session.job).startswith("checked by")


def test_issuing_is_no_change_to_a_sign_off_nor_signing_one_to_a_revision() -> None:
    made = issued(signed(first(), "J. Chief", "2026-05-03"), "M. Okafor", "2026-05-04")
    assert standing(made) == "checked by J. Chief, 2026-05-03"
    assert standing(as_issued(made, 1)) == "checked by J. Chief, 2026-05-03"
    later = signed(issued(first(), "M. Okafor", "2026-05-02"), "J. Chief", "2026-05-03")
    assert is_latest(later)


def test_a_session_issues_with_its_findings_and_books() -> None:
    session = Session(first())
    session.issue("M. Okafor", "2026-05-02", "for the crew")
    (one,) = session.job.revisions
    counts = session.findings("framed").counts
    assert one.verdicts == ", ".join(f"{many} {verdict}" for verdict, many in counts.items())
    assert one.books == ("House rules (example) (1)",)


def test_a_damaged_snapshot_is_refused_by_the_number_of_its_revision() -> None:
    made = twice()
    damaged = replace(made.revisions[0], snapshot=made.revisions[0].snapshot[:-40])
    with pytest.raises(JobFileError, match="revision 1"):
        thawed(damaged)


def test_revisions_are_numbered_through() -> None:
    made = twice()
    skipped = replace(made, revisions=(made.revisions[1],))
    assert [one.place for one in faults(skipped)] == ["revisions[0].number"]
