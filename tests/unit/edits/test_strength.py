"""Edits of what strength is reckoned from."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from framer.edits.strength import (
    guyed,
    set_girth,
    set_guy,
    set_item_facts,
    set_strength,
    set_wire_tension,
)
from framer.errors import EditError
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Span
from framer.model.place import Guyed
from framer.model.reading import Reading
from tests.build import job, pole, seat, wire


def line(*guys: Guyed) -> Job:
    return job(
        *pole(), Circuit("c", "Line"), Span("east", "east", 90.0, 2400.0), seat("s", 400.0),
        wire("w", "c", "east", "s"), Item("g", "guy", guys, part="guy-3-8in-ehs"),
    )  # fmt: skip


FOUND = Guyed(when="found", host="pole", at_in=400.0, lead_in=240.0)
AFTER = Guyed(when="after", host="pole", at_in=400.0, lead_in=240.0)


def test_a_number_beyond_what_a_job_takes_is_refused_with_the_limit() -> None:
    made = line(AFTER)
    assert set_strength(made, typed_ice_in=0.5).settings.typed_ice_in == 0.5
    refused: list[tuple[Any, str]] = [
        (lambda: set_strength(made, typed_ice_in=6.5), "at most 6"),
        (lambda: set_strength(made, typed_wood_share=0.0), "more than 0"),
        (lambda: set_strength(made, typed_temp_f=-81.0), "at least -80"),
        (lambda: set_wire_tension(made, "w", tension_lbf=0.0), "more than 0"),
        (lambda: set_item_facts(made, "s", rated_lbf=1e6), "at most 100000"),
        (lambda: set_guy(made, "g", anchor_lbf=-1.0), "more than 0"),
        (lambda: set_girth(made, "pole", "sound girth", 0.0), "thicker than nothing"),
    ]
    for edit, words in refused:
        with pytest.raises(EditError, match=words):
            edit()


def test_what_is_not_there_is_said() -> None:
    made = line(AFTER)
    for edit in (
        lambda: set_wire_tension(made, "none", tension_lbf=1.0),
        lambda: set_item_facts(made, "none", weight_lb=1.0),
        lambda: set_guy(made, "s", anchor_lbf=1.0),
        lambda: set_girth(made, "w", "girth", 30.0),
    ):
        with pytest.raises(EditError):
            edit()


def test_a_guy_that_is_there_is_corrected_and_not_planned_anew() -> None:
    made = set_guy(line(FOUND), "g", anchor_lbf=9_000.0)
    assert [one.when for one in made.item_by_id["g"].places] == ["found"]
    planned = set_guy(line(FOUND, AFTER), "g", lead_in=300.0)
    found, after = planned.item_by_id["g"].places
    assert (found, after.when) == (FOUND, "after")
    assert guyed(planned.item_by_id["g"]) == after
    assert isinstance(after, Guyed)
    assert after.lead_in == 300.0


def test_a_girth_at_the_ground_line_leaves_others_alone() -> None:
    made = set_girth(line(AFTER), "pole", "sound girth", 33.0)
    made = set_girth(made, "pole", "sound girth", 32.0)
    assert [one.value_in for one in made.girths("pole", "sound girth")] == [32.0]
    higher = Reading("pole", "sound girth", 30.0, at_in=36.0)
    made = set_girth(job_with(made, higher), "pole", "sound girth", None)
    assert made.girths("pole", "sound girth") == (higher,)


def job_with(made: Job, reading: Reading) -> Job:
    return replace(made, readings=(*made.readings, reading))
