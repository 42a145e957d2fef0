"""The choice of rulebooks."""

from __future__ import annotations

import pytest

from framer.edits.books import with_book, without_book
from framer.errors import EditError
from framer.model.job import Job


def test_a_book_is_added_last_and_taken_away() -> None:
    job = with_book(Job("x"), "nesc-2017")
    assert job.books == ("house", "nesc-2017")
    assert without_book(job, "house").books == ("nesc-2017",)


def test_a_book_that_judges_already_changes_nothing() -> None:
    job = Job("x")
    assert with_book(job, "house") is job
    assert without_book(job, "nobodys") == job


def test_some_book_has_to_judge() -> None:
    with pytest.raises(EditError, match="at least one rulebook"):
        without_book(Job("x"), "house")
