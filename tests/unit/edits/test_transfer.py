"""Edits of what the transfer rests on: holds, limits between steps, ratings, crew limits."""

from __future__ import annotations

import pytest

from framer.edits.transfer import (
    add_hold,
    add_limit_between,
    holds_of,
    remove_hold,
    remove_limit_between,
    set_crew,
    set_facts,
    set_hold,
    set_limit_between,
    set_rating,
)
from framer.errors import EditError
from framer.files.find import job_file
from framer.files.reader import read_job
from framer.model.item import Rating
from framer.model.job import Job
from framer.model.step import Hold
from tests.outputs.samples import JOBS


def job() -> Job:
    return read_job(job_file(JOBS / "corner-transfer"))


def test_a_hold_comes_to_be_when_something_is_said_of_it() -> None:
    bare = remove_hold(remove_hold(job(), "main", 0), "ridge", 0)
    assert bare.holds == ()
    said = set_hold(bare, "ridge", 0, kind="hold")
    assert said.holds == (Hold("ridge", "hold"),)
    both = set_hold(said, "main", 0, device="recloser 4")
    assert [one.circuit for one in both.holds] == ["main", "ridge"]


def test_a_circuit_fed_from_two_sides_has_two_holds() -> None:
    two = set_hold(add_hold(job(), "main"), "main", 1, kind="hold", device="tie switch")
    assert [one.device for one in holds_of(two, "main")] == [
        "recloser at Mill substation",
        "tie switch",
    ]
    assert remove_hold(two, "main", 1) == job()


def test_what_is_no_hold_is_refused() -> None:
    for circuit, number, changes in (
        ("none", 0, {"kind": "hold"}),
        ("main", 4, {"kind": "hold"}),
        ("main", 0, {"kind": "a good word"}),
    ):
        with pytest.raises(EditError):
            set_hold(job(), circuit, number, **changes)
    with pytest.raises(EditError):
        remove_hold(remove_hold(job(), "main", 0), "main", 0)


def test_a_limit_between_is_put_in_changed_and_taken_out() -> None:
    more, key = add_limit_between(job(), "phase", "phase", 24.0)
    assert len({one.id for one in more.limits_between}) == len(job().limits_between) + 1
    changed = set_limit_between(more, key, keep_in=30.0, b="guy")
    assert (changed.limits_between[-1].b, changed.limits_between[-1].keep_in) == ("guy", 30.0)
    assert remove_limit_between(changed, key) == job()
    with pytest.raises(EditError, match="above 0"):
        set_limit_between(more, key, keep_in=0.0)
    with pytest.raises(EditError):
        add_limit_between(job(), "phase", "worker", 24.0)  # type: ignore[arg-type]
    with pytest.raises(EditError):
        remove_limit_between(job(), "no-such")


def test_a_rating_without_numbers_is_none() -> None:
    made = set_rating(job(), "pole-old", up_lbf=125.0)
    assert made.item_by_id["pole-old"].rating == Rating(125.0)
    assert set_rating(made, "pole-old", up_lbf=None).item_by_id["pole-old"].rating is None
    with pytest.raises(EditError):
        set_rating(job(), "north-a", up_lbf=1.0)


def test_facts_of_things_and_limits_of_the_crew_keep_to_what_a_file_takes() -> None:
    assert set_facts(job(), "jumper-a", tail_in=26.4).thing_by_id["jumper-a"].tail_in == 26.4  # type: ignore[union-attr]
    assert set_crew(job(), auger_in=18.0).settings.auger_in == 18.0
    assert set_crew(job(), auger_in=None).settings.auger_in is None
    for bad in ({"auger_in": 0.0}, {"one_person_lb": 5_000.0}, {"altitude_m": 20_000.0}):
        with pytest.raises(EditError, match="it must be"):
            set_crew(job(), **bad)
    with pytest.raises(EditError):
        set_facts(job(), "jumper-a", tail_in=-1.0)
    with pytest.raises(EditError):
        set_facts(job(), "no-such", tail_in=1.0)
