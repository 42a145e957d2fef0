"""Undo and redo over whole jobs."""

from __future__ import annotations

from framer.edits import history
from framer.edits.history import MOST_STEPS, History
from framer.model.job import Job

FIRST = Job("first")


def steps(past: History, *names: str) -> list[Job]:
    """Jobs done one after the other, each named like its step."""
    jobs = [Job(name) for name in names]
    for name, made in zip(names, jobs, strict=True):
        past.do(name, made)
    return jobs


def test_a_new_history_has_nothing_to_undo_or_redo_and_is_not_changed() -> None:
    past = History(FIRST)
    assert past.job is FIRST
    assert (past.undo_name, past.redo_name, past.is_changed) == ("", "", False)
    past.undo()
    past.redo()
    assert past.job is FIRST


def test_undo_and_redo_go_back_and_forth_and_name_what_they_do() -> None:
    past = History(FIRST)
    one, two = steps(past, "one", "two")
    assert (past.job, past.undo_name, past.redo_name) == (two, "two", "")
    past.undo()
    assert past.job is one
    assert (past.undo_name, past.redo_name) == ("one", "two")
    past.undo()
    assert past.job is FIRST
    assert (past.undo_name, past.redo_name) == ("", "one")
    past.redo()
    past.redo()
    assert past.job is two
    assert (past.undo_name, past.redo_name) == ("two", "")


def test_a_new_edit_forgets_what_was_undone() -> None:
    past = History(FIRST)
    steps(past, "one", "two")
    past.undo()
    (other,) = steps(past, "other")
    past.redo()
    assert past.job is other
    assert past.redo_name == ""
    past.undo()
    assert past.job == Job("one")


def test_an_edit_that_changes_nothing_is_no_step() -> None:
    past = History(FIRST)
    past.do("nothing", Job("first"))
    assert (past.job is FIRST, past.undo_name) == (True, "")
    steps(past, "one")
    past.undo()
    past.do("nothing", Job("first"))
    assert past.redo_name == "one"  # and what was undone can still come back


def test_a_saved_job_is_unchanged_until_it_is_edited_and_again_when_that_is_undone() -> None:
    past = History(FIRST)
    steps(past, "one")
    assert past.is_changed
    past.saved = past.job
    assert not past.is_changed
    steps(past, "two")
    assert past.is_changed
    past.undo()
    assert not past.is_changed
    past.undo()
    assert past.is_changed


def test_a_job_that_was_never_saved_is_changed() -> None:
    past = History(FIRST)
    past.saved = None
    assert past.is_changed


def test_the_oldest_steps_are_let_go_and_the_newest_kept() -> None:
    past = History(FIRST)
    jobs = steps(past, *(f"{number}" for number in range(MOST_STEPS + 5)))
    undone = 0
    while past.undo_name:
        past.undo()
        undone += 1
    assert undone == history.MOST_STEPS
    assert past.job is jobs[4]  # the first job and the first four edits are forgotten
    while past.redo_name:
        past.redo()
    assert past.job is jobs[-1]
