"""One open job: history, previews, scenes and findings, saving; without a window."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.edits.places import set_along_pole, set_standing
from framer.errors import EditError, FramerError, JobFileError
from framer.files.reader import read_job
from framer.model.job import Job
from framer.session import Session

CORNER = Path(__file__).resolve().parent.parent.parent / "sample_jobs/corner/alder-lane.framer"


@pytest.fixture
def session() -> Session:
    return Session.open(CORNER)


def lower(drop_in: float) -> Callable[[Job], Job]:
    """An edit that puts the line arm so far below the top."""
    return lambda job: set_along_pole(job, "line-arm", "framed", "drop", drop_in)


def cut(job: Job) -> Job:
    return set_standing(job, "pole-new", "framed", cut_in=54.0)


def refuse(job: Job) -> Job:
    raise EditError("no")


def arm_up(session: Session) -> float:
    return session.scene("framed").part_by_key["line-arm"].up_in


# Opening and names.


def test_a_session_has_the_job_and_the_name_of_its_file(session: Session) -> None:
    assert session.job == read_job(CORNER)
    assert (session.path, session.name) == (CORNER, "alder-lane")
    assert not session.is_changed


def test_a_job_without_a_file_is_called_job() -> None:
    assert Session(Job("x")).name == "job"


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(JobFileError, match=r"gone\.framer"):
        Session.open(tmp_path / "gone.framer")


# Steps.


def test_an_edit_is_a_step_that_can_be_taken_back(session: Session) -> None:
    first = session.job
    session.do("lower the line arm", lower(13.0))
    assert arm_up(session) == pytest.approx(516.0 - 13.0)
    assert (session.undo_name, session.redo_name, session.is_changed) == (
        "lower the line arm",
        "",
        True,
    )
    session.undo()
    assert session.job is first
    assert (session.undo_name, session.redo_name, session.is_changed) == (
        "",
        "lower the line arm",
        False,
    )
    session.redo()
    assert arm_up(session) == pytest.approx(516.0 - 13.0)


def test_a_refused_edit_changes_nothing(session: Session) -> None:
    before = session.job
    with pytest.raises(EditError, match="no"):
        session.do("nothing", refuse)
    assert session.job is before
    assert session.undo_name == ""


# Gestures.


def house_shorts(session: Session) -> list[str]:
    """What is short by the house rules, which are judged while a thing is moved too."""
    found = session.findings("framed")
    return [one.key for one in found if one.verdict == "short" and one.rule.book == "house"]


def test_a_preview_is_shown_and_checked_but_is_no_step(session: Session) -> None:
    before = session.job
    shorts = house_shorts(session)
    session.preview(cut)
    assert session.scene("framed").poles["pole-new"].top_up_in == pytest.approx(462.0)
    assert house_shorts(session) != shorts
    assert (session.undo_name, session.is_changed) == ("", False)
    session.drop_preview()
    assert session.job is before
    assert house_shorts(session) == shorts


def test_each_preview_starts_from_the_job_and_not_from_the_one_before(session: Session) -> None:
    session.preview(cut)
    session.preview(lower(13.0))
    assert session.scene("framed").poles["pole-new"].top_up_in == pytest.approx(516.0)


def test_a_preview_that_is_refused_leaves_the_one_before(session: Session) -> None:
    session.preview(cut)
    with pytest.raises(EditError):
        session.preview(refuse)
    assert session.scene("framed").poles["pole-new"].top_up_in == pytest.approx(462.0)


def test_a_kept_preview_is_one_step_however_often_it_was_shown(session: Session) -> None:
    before = session.job
    for drop_in in (20.0, 15.0, 13.0):
        session.preview(lower(drop_in))
    session.keep_preview("drag the line arm")
    assert session.undo_name == "drag the line arm"
    session.undo()
    assert session.job is before


def test_keeping_without_a_preview_is_no_step(session: Session) -> None:
    session.keep_preview("nothing")
    assert session.undo_name == ""


def test_undo_redo_and_a_new_edit_end_a_preview(session: Session) -> None:
    session.do("lower", lower(20.0))
    for leave in (session.undo, session.redo):
        session.preview(cut)
        leave()
        assert session.scene("framed").poles["pole-new"].top_up_in == pytest.approx(516.0)
    session.preview(cut)
    session.do("lower more", lower(25.0))
    assert session.scene("framed").poles["pole-new"].top_up_in == pytest.approx(516.0)
    assert arm_up(session) == pytest.approx(516.0 - 25.0)


# Scenes and findings.


def test_scenes_and_findings_are_worked_out_once_for_a_job(session: Session) -> None:
    assert session.scene("framed") is session.scene("framed")
    assert session.findings("found") is session.findings("found")
    assert session.scene("found") is not session.scene("framed")


def test_scenes_and_findings_are_never_those_of_another_job(session: Session) -> None:
    before = session.findings("framed")
    session.do("cut", cut)
    after = session.findings("framed")
    assert after is not before
    assert [one.gap for one in after] != [one.gap for one in before]
    session.undo()
    assert [one.gap for one in session.findings("framed")] == [one.gap for one in before]


def test_the_books_are_those_the_job_names(session: Session) -> None:
    assert [one.book.id for one in session.books()] == ["house", "nesc-2017"]


def test_a_book_that_is_gone_judges_nothing_and_that_is_said(session: Session) -> None:
    unknown = Session(replace(session.job, books=("nobodys",)))
    assert [one.rules for one in unknown.books()] == [()]
    first = unknown.findings("framed")[0]
    assert (first.rule.id, first.verdict) == ("job.rulebook", "cannot say")
    assert "nobodys is incomplete: nobodys.toml: there is no rulebook 'nobodys'" in first.missing


def test_the_sketch_is_of_the_job_as_shown_and_looks_at_the_top_arm(session: Session) -> None:
    sheet = session.sheet()
    words = [getattr(one, "text", "") for one in sheet.picture.primitives]
    assert "AS FRAMED, looking north" in words
    assert "1 ft below top, 42 ft above ground" in words
    session.preview(lower(13.0))
    words = [getattr(one, "text", "") for one in session.sheet(90.0, "a3").picture.primitives]
    assert "AS FRAMED, looking east" in words
    assert "1 ft 1 in below top, 41 ft 11 in above ground" in words


# Saving.


def test_saving_writes_the_job_and_not_a_preview(session: Session, tmp_path: Path) -> None:
    target = tmp_path / "copy.framer"
    session.do("lower", lower(13.0))
    kept = session.job
    session.preview(cut)
    session.save(target)
    assert read_job(target) == kept
    assert (session.path, session.name, session.is_changed) == (target, "copy", False)


def test_a_saved_job_is_changed_again_by_undo_and_by_the_next_edit(
    session: Session, tmp_path: Path
) -> None:
    session.do("lower", lower(13.0))
    session.save(tmp_path / "copy.framer")
    session.undo()
    assert session.is_changed
    session.redo()
    assert not session.is_changed
    session.do("cut", cut)
    session.save()
    assert read_job(tmp_path / "copy.framer") == session.job


def test_a_job_without_a_file_asks_where_to_save(tmp_path: Path) -> None:
    session = Session(Job("x"))
    with pytest.raises(FramerError, match="no file yet; say where to save it"):
        session.save()
    session.save(tmp_path / "x.framer")
    assert session.name == "x"


def test_a_save_that_fails_leaves_the_session_as_it_was(session: Session, tmp_path: Path) -> None:
    session.do("lower", lower(13.0))
    with pytest.raises(JobFileError, match="not saved"):
        session.save(tmp_path / "nowhere" / "copy.framer")
    assert session.path == CORNER
    assert session.is_changed


def test_room_to_climb_is_left_to_say_while_a_thing_is_moved(session: Session) -> None:
    def climbing() -> set[str]:
        return {
            finding.rule.id
            for finding in session.findings("framed")
            if finding.rule.measure.startswith("climbing") or finding.rule.id == "job.climbing"
        }

    settled = climbing()
    assert settled
    assert "job.climbing" not in settled
    session.preview(lower(67.0))
    assert climbing() == {"job.climbing"}
    session.keep_preview("lower the arm")
    assert "job.climbing" not in climbing()


def test_room_to_climb_is_not_told_as_asked_of_a_single_wire(session: Session) -> None:
    single = [
        finding
        for finding in session.findings("framed")
        if finding.b is None and finding.a is not None and "climb" not in finding.rule.measure
    ]
    assert single
    told = [line for finding in single for line in session.explanation(finding, "framed")]
    assert any(line.startswith("Rule ") for line in told)
    assert not any("square of the column" in line for line in told)
