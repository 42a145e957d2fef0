"""How a wire hangs hot, cold and under ice, from what a job knows of it."""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from framer.geometry.placing import place
from framer.geometry.sagging import Hung, hung
from framer.geometry.scene import Run
from framer.mechanics.sag import catenary_sag, changed_tension, horizontal_from_sag
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Span
from framer.model.reading import Reading
from tests.build import job, pole, seat, wire

RAVEN = "acsr-raven-1-0"
BARE = 0.1452 / 12.0
E_A, ALPHA = 11.5e6 * 0.0968, 10.6e-6


def strung(settings: Settings | None = None, *more: Reading, two: bool = False, **of: Any) -> Job:
    """One wire to the east, and with `two` its like to the west on the same support."""
    records: list[Any] = [
        *pole(),
        seat("seat", 360.0),
        Circuit("c", "Line"),
        Span("east", "east", 90.0, 2400.0),
        wire("w", "c", "east", "seat", part=RAVEN, **of),
        *more,
    ]
    if two:
        records += [
            Span("west", "west", 270.0, 3600.0),
            wire("v", "c", "west", "seat", part=RAVEN, **of),
        ]
    return job(*records, settings=settings)


def run_of(made: Job, key: str = "w") -> Run:
    shape = place(made, "framed").part_by_key[key].shape
    assert isinstance(shape, Run)
    return shape


def known(made: Job, key: str = "w", sag_in: float | None = None) -> Hung:
    span = made.span_by_id[made.wire_by_id[key].span].length_in
    one = hung(made, made.wire_by_id[key], "framed", span, sag_in)
    assert isinstance(one, Hung), one
    return one


def test_nothing_changes_unless_the_job_asks_for_it() -> None:
    made = strung(Settings(hot_temp_f=120.0, cold_temp_f=0.0), tension_lbf=800.0)
    shape = run_of(made)
    assert shape.sag_most_in == shape.sag_in == shape.sag_least_in


def test_hot_and_cold_sag_are_those_of_the_change_of_state() -> None:
    asked = Settings(sag_from="computed", hot_temp_f=120.0, cold_temp_f=0.0)
    shape = run_of(strung(asked, tension_lbf=800.0))
    for sag, warmer in ((shape.sag_most_in, 60.0), (shape.sag_least_in, -60.0)):
        tension = changed_tension(800.0, 2400.0, (BARE, BARE), E_A, ALPHA, warmer)
        assert sag == pytest.approx(catenary_sag(BARE, 2400.0, tension), rel=1e-6)
    assert shape.sag_least_in is not None
    assert shape.sag_in is not None
    assert shape.sag_most_in is not None
    assert shape.sag_least_in < shape.sag_in < shape.sag_most_in


def test_what_is_typed_counts_before_what_is_computed() -> None:
    asked = Settings(sag_from="computed", hot_temp_f=120.0, cold_temp_f=0.0)
    shape = run_of(strung(asked, tension_lbf=800.0, sag_hot_in=77.0))
    assert shape.sag_most_in == 77.0
    assert shape.sag_least_in is not None
    assert shape.sag_least_in < 12.0


def test_ice_may_sag_a_wire_more_than_heat() -> None:
    hot = Settings(sag_from="computed", hot_temp_f=60.0)
    iced = Settings(sag_from="computed", hot_temp_f=60.0, sag_ice_in=0.5)
    one, other = (run_of(strung(asked, tension_lbf=800.0)).sag_most_in for asked in (hot, iced))
    assert one is not None
    assert other is not None
    assert other > 1.5 * one


def test_without_a_temperature_the_most_sag_is_not_the_one_of_today() -> None:
    shape = run_of(strung(Settings(sag_from="computed"), tension_lbf=800.0))
    assert shape.sag_in is not None
    assert (shape.sag_least_in, shape.sag_most_in) == (None, None)


def test_a_wire_of_unknown_size_has_no_computed_sag() -> None:
    made = strung(Settings(sag_from="computed", hot_temp_f=120.0), sag_in=30.0)
    made = replace(made, wires=(replace(made.wires[0], part=None),))
    shape = run_of(made)
    assert (shape.sag_in, shape.sag_most_in) == (30.0, None)


def test_a_reading_of_the_sag_counts_with_its_own_temperature() -> None:
    read = Reading("w", "sag", 20.0, temp_f=90.0)
    made = strung(None, read, tension_lbf=800.0)
    one = known(made, sag_in=20.0)
    assert one.temp_f == 90.0
    assert one.sag_at(90.0) == pytest.approx(20.0, rel=1e-6)
    assert one.sag_at(60.0) < 20.0


def test_a_wire_that_goes_on_over_its_support_has_the_ruling_span_of_both() -> None:
    alone, both = known(strung(tension_lbf=800.0)), known(strung(tension_lbf=800.0, two=True))
    assert alone.ruling_in == 2400.0
    cubes = 2400.0**3 + 3600.0**3
    assert both.ruling_in == pytest.approx(math.sqrt(cubes / 6000.0))
    assert "200 ft and 300 ft" in both.ruling_words
    # the longer neighbour keeps the tension up in the heat
    assert both.tension_at(120.0) > alone.tension_at(120.0)


def test_a_typed_ruling_span_counts() -> None:
    made = strung(tension_lbf=800.0)
    made = replace(made, spans=(replace(made.spans[0], ruling_span_in=3000.0),))
    assert known(made).ruling_in == 3000.0


@pytest.mark.parametrize(
    ("of", "sag", "words"),
    [
        ({}, None, "tension of A of Line to east not known"),
        ({"tension_lbf": 9000.0}, None, "breaks at 4,380"),
        ({"sag_in": 5000.0}, 5000.0, "does not sag more than its span is long"),
    ],
)
def test_what_makes_no_sense_is_said_in_words(
    of: dict[str, Any], sag: float | None, words: str
) -> None:
    made = strung(**of)
    said = hung(made, made.wire_by_id["w"], "framed", 2400.0, sag)
    assert isinstance(said, str)
    assert words in said


@pytest.mark.parametrize("sag", [0.5, 20.0, 400.0, 2400.0])
def test_the_tension_of_a_sag_is_the_one_that_sags_so(sag: float) -> None:
    tension = horizontal_from_sag(BARE, 2400.0, sag)
    assert catenary_sag(BARE, 2400.0, tension) == pytest.approx(sag, rel=1e-9)
