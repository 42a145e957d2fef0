"""Sag, tension, blow-out and stringing of whole jobs, and what crossing and ground checks get."""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from framer.checks.explain import explained
from framer.geometry.placing import place
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Span
from framer.strength.data import loading
from framer.strength.sagging import Hanging, WireSags, sags, stringing, temperatures, wave_time_s
from framer.units.length import length_text
from tests.build import job, judged, pole, seat, wire

RAVEN = "acsr-raven-1-0"


def one_wire(settings: Settings | None = None, over: str | None = None, **of: Any) -> Job:
    of.setdefault("part", RAVEN)
    of.setdefault("tension_lbf", 876.0)
    return job(
        *pole(), seat("seat", 300.0), Circuit("c", "Line", kv=12.47, grounded_wye=True),
        Span("east", "east", 90.0, 2400.0, over=over),  # type: ignore[arg-type]
        wire("w", "c", "east", "seat", **of), settings=settings,
    )  # fmt: skip


def the_sags(made: Job, case: str | None = None) -> WireSags:
    (found,) = sags(place(made, "framed"), loading(case) if case else None)
    return found


def state(found: WireSags, words: str) -> Hanging:
    (one,) = [one for one in found.states if one.words == words]
    return one


def test_computed_heat_lowers_the_wire_over_a_road() -> None:
    known = one_wire(Settings(hot_temp_f=120.0), over="road")
    hot = replace(known, settings=replace(known.settings, sag_from="computed"))
    rule = next(
        one.rule.id for one in judged(known, "nesc-2017").findings
        if one.rule.measure == "above ground" and one.gap is not None
    )  # fmt: skip
    before, after = (judged(made, "nesc-2017").the(rule, "w") for made in (known, hot))
    assert before.gap is not None
    assert after.gap is not None
    states = the_sags(known)
    more = state(states, "hot").sag_in - state(states, "as known").sag_in
    assert before.gap - after.gap == pytest.approx(more, abs=0.1)


def test_a_computed_sag_says_in_the_explanation_what_it_misses() -> None:
    known = one_wire(Settings(hot_temp_f=120.0), over="road")
    hot = replace(known, settings=replace(known.settings, sag_from="computed"))
    said = []
    for made in (known, hot):
        found = next(
            one
            for one in judged(made, "nesc-2017").about("w")
            if one.rule.measure == "above ground" and one.gap is not None
        )
        said.append(" ".join(explained(made, found)))
    assert "two metals" not in said[0]
    assert "two metals" in said[1]
    most = length_text(state(the_sags(known), "hot").sag_in, step_in=1 / 16, system="ft-in")
    assert f"Sag of A of Line to east: least not known, most {most}" in said[1]


def test_a_heat_nobody_gave_is_no_pass_over_a_road() -> None:
    made = one_wire(Settings(sag_from="computed"), over="road")
    found = [
        one for one in judged(made, "nesc-2017").about("w") if one.rule.measure == "above ground"
    ]
    assert found
    assert {one.verdict for one in found} == {"cannot say"}


def test_a_loaded_wire_pulls_more_sags_more_and_is_blown_aside() -> None:
    made = one_wire(Settings(hot_temp_f=120.0, cold_temp_f=0.0))
    found = the_sags(made, "nesc-heavy")
    heavy, cold = state(found, "under NESC heavy"), state(found, "cold")
    assert heavy.tension_lbf > cold.tension_lbf > state(found, "as known").tension_lbf
    assert heavy.sag_in > cold.sag_in
    # the plane hangs over by wind 4 psf on 1.398 in against 0.1452 and 0.5584 lb/ft
    assert heavy.aside_in / heavy.down_in == pytest.approx(
        (4.0 * 1.398 / 12.0) / (0.1452 + 0.5584), rel=1e-3
    )
    assert math.hypot(heavy.aside_in, heavy.down_in) == pytest.approx(heavy.sag_in)
    assert state(found, "hot").aside_in == 0.0


def test_a_far_end_much_higher_lifts_this_end() -> None:
    made = one_wire(far_height_in=900.0)
    assert state(the_sags(made), "as known").low_in < 0.0
    level = one_wire()
    assert state(the_sags(level), "as known").low_in == pytest.approx(1200.0, rel=1e-3)


def test_what_a_linear_model_misses_is_said_of_acsr_and_not_of_copper() -> None:
    acsr = the_sags(one_wire())
    copper = the_sags(one_wire(part="copper-4-0-7-strand"))
    assert any("two metals" in words for words in acsr.notes)
    assert not any("two metals" in words for words in copper.notes)
    for found in (acsr, copper):
        assert any("creep" in words for words in found.notes)


def test_stringing_tables_fall_with_heat_and_pulses_are_slower() -> None:
    (table,) = stringing(place(one_wire(), "framed"))
    tensions = [row.tension_lbf for row in table.rows]
    assert tensions == sorted(tensions, reverse=True)
    times = [row.waves_s for row in table.rows]
    assert times == sorted(times)
    (at_60,) = [row for row in table.rows if row.temp_f == 60.0]
    assert at_60.tension_lbf == pytest.approx(876.0)


def test_a_pulse_runs_at_the_root_of_tension_over_mass() -> None:
    # 200 ft of Raven at 876 lbf: two spans' length at sqrt(H g / w), three times
    speed = math.sqrt(876.0 * 386.09 / (0.1452 / 12.0))
    (table,) = stringing(place(one_wire(), "framed"), [60.0])
    assert table.rows[0].waves_s == pytest.approx(3.0 * 2.0 * 2400.0 / speed, rel=1e-3)
    assert wave_time_s(0.0) == 0.0


def test_a_row_of_temperatures_has_both_ends() -> None:
    assert temperatures(20.0, 110.0, 10.0) == [float(temp) for temp in range(20, 111, 10)]
    assert temperatures(0.0, 25.0, 10.0) == [0.0, 10.0, 20.0, 25.0]
    assert temperatures(60.0, 60.0, 10.0) == [60.0]


@pytest.mark.parametrize(
    "of", [{"part": None}, {"tension_lbf": None}, {"tension_lbf": 9000.0}, {"tension_lbf": 0.01}]
)
def test_a_wire_of_which_too_little_is_known_says_so(of: dict[str, Any]) -> None:
    found = the_sags(one_wire(Settings(hot_temp_f=120.0), **of), "nesc-heavy")
    numbers = [value for one in found.states for value in one[1:]]
    assert all(math.isfinite(value) for value in numbers)  # type: ignore[arg-type]
    assert found.missing
