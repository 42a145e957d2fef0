"""What must hold of strength whatever the numbers."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.errors import FramerError
from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Span
from framer.model.place import Guyed, Standing
from framer.model.reading import Reading
from framer.stock.source import Source
from framer.strength.calculation import calculations
from framer.strength.choice import smallest_class
from framer.strength.data import Loading
from framer.strength.findings import strength_findings
from framer.strength.method import grade_of, method
from framer.strength.pole import PoleStrength, stands
from tests.build import job, seat, wire

FT = 12.0
METHOD = method("nesc-2017")
GRADE = grade_of(METHOD, "B")


def windy(wind_psf: float, ice_in: float = 0.0) -> Loading:
    return Loading(
        id="typed",
        name="typed",
        ice_in=ice_in,
        wind_psf=wind_psf,
        flat_wind_psf=1.6 * wind_psf,
        temp_f=30.0,
        source=Source("test", "house"),
    )


def line_pole(
    azimuths: tuple[float, ...],
    tension_lbf: float,
    pole_class: str = "2",
    guys: tuple[float, ...] = (),
    faces_deg: float = 0.0,
    **more: Any,
) -> Job:
    """Three wires to each side at different heights, and guys leading these ways."""
    facts = PoleFacts(480.0, pole_class, "Southern pine")
    records: list[Any] = [
        Item("pole", "pole", (Standing(when="after", depth_in=72.0),), pole=facts),
        Circuit("line", "Line", kv=12.47, grounded_wye=True),
    ]
    for number, azimuth in enumerate(azimuths):
        records.append(Span(f"span-{number}", f"pole {number}", azimuth % 360.0, FT * 200.0))
    for height in (33.0, 31.0, 28.0):
        records.append(seat(f"seat-{height:g}", FT * height, faces_deg=faces_deg))
        records.extend(
            wire(f"w-{height:g}-{number}", "line", f"span-{number}", f"seat-{height:g}",
                 part="acsr-raven-1-0", loaded_tension_lbf=tension_lbf, **more)
            for number in range(len(azimuths))
        )  # fmt: skip
    for number, azimuth in enumerate(guys):
        where = Guyed(when="after", host="pole", lead_in=240.0, at_in=FT * 32.0,
                      azimuth_deg=azimuth % 360.0)  # fmt: skip
        records.append(Item(f"guy-{number}", "guy", (where,), part="guy-3-8in-ehs"))
    return job(*records, settings=Settings(loading="typed"))


def stood(made: Job, case: Loading) -> PoleStrength:
    found = stands(place(made, "framed"), "pole", case, METHOD, GRADE)
    assert found.missing == ()
    return found


def used(found: PoleStrength) -> float:
    return found.need_lbf_in / found.strength_lbf_in


angles = st.floats(0.0, 360.0, exclude_max=True)
tensions = st.floats(50.0, 900.0)
winds = st.floats(0.0, 20.0)


@settings(max_examples=25, deadline=None)
@given(azimuth=angles, turn=st.floats(0.0, 60.0), tension=tensions, wind=winds,
       more=st.floats(0.1, 10.0))  # fmt: skip
def test_more_wind_never_helps(
    azimuth: float, turn: float, tension: float, wind: float, more: float
) -> None:
    made = line_pole((azimuth, azimuth + 180.0 + turn), tension)
    less, harder = (stood(made, windy(one)) for one in (wind, wind + more))
    if not (less.buckles or harder.buckles):
        assert used(harder) >= used(less) * (1.0 - 1e-6)


@settings(max_examples=25, deadline=None)
@given(turn=st.floats(0.0, 40.0), tension=tensions, wind=winds)
def test_a_larger_class_never_uses_more(turn: float, tension: float, wind: float) -> None:
    shares = [
        used(one)
        for pole_class in ("5", "4", "3", "2", "1", "H1")
        if not (one := stood(line_pole((0.0, 180.0 + turn), tension, pole_class),
                             windy(wind))).buckles
    ]  # fmt: skip
    assert shares == sorted(shares, reverse=True)


@settings(max_examples=25, deadline=None)
@given(spread=st.floats(5.0, 80.0), tension=tensions)
def test_guys_that_mirror_each_other_carry_the_same(spread: float, tension: float) -> None:
    made = line_pole((0.0,), tension, guys=(180.0 - spread, 180.0 + spread))
    one, other = stood(made, windy(0.0)).guys
    assert one.level_lbf == pytest.approx(other.level_lbf, rel=1e-6)
    # together they hold what the wires turn the pole with, each wire at its height
    turning = 1.65 * tension * (33.0 + 31.0 + 28.0) * FT
    held = 2.0 * one.level_lbf * math.cos(math.radians(spread)) * FT * 32.0
    assert held == pytest.approx(turning, rel=0.01)


@settings(max_examples=15, deadline=None)
@given(tension=tensions, wind=winds)
def test_two_guys_in_the_same_place_carry_half_each(tension: float, wind: float) -> None:
    one = stood(line_pole((0.0,), tension, guys=(180.0,)), windy(wind))
    two = stood(line_pole((0.0,), tension, guys=(180.0, 180.0)), windy(wind))
    assert two.guys[0].level_lbf == pytest.approx(two.guys[1].level_lbf, rel=1e-5)
    both = sum(guy.level_lbf for guy in two.guys)
    assert both == pytest.approx(one.guys[0].level_lbf, rel=1e-3)


@settings(max_examples=15, deadline=None)
@given(turned=angles, turn=st.floats(0.0, 50.0), tension=tensions, wind=st.floats(0.5, 20.0))
def test_nothing_changes_when_all_is_turned_by_the_compass(
    turned: float, turn: float, tension: float, wind: float
) -> None:
    still = stood(line_pole((0.0, 180.0 + turn), tension), windy(wind))
    ways = (turned, turned + 180.0 + turn)
    about = stood(line_pole(ways, tension, faces_deg=turned), windy(wind))
    if not (still.buckles or about.buckles):
        # the winds between the sixteen points and the ways of the wires are not tried
        assert used(about) == pytest.approx(used(still), rel=0.02)


@settings(max_examples=25, deadline=None)
@given(
    wind=st.floats(0.0, 200.0),
    ice=st.floats(0.0, 6.0),
    tension=st.floats(1.0, 200_000.0),
    guys=st.lists(angles, max_size=4),
    far=st.floats(0.0, 12_000.0),
)
def test_no_numbers_give_nan_or_an_end_that_is_no_number(
    wind: float, ice: float, tension: float, guys: list[float], far: float
) -> None:
    made = line_pole((0.0, 170.0), tension, guys=tuple(guys), far_height_in=far)
    found = stood(made, windy(wind, ice))
    numbers = [found.need_lbf_in, found.strength_lbf_in, found.upright_lbf, found.leaning_lbf_in]
    numbers += [guy.tension_lbf for guy in found.guys]
    numbers += [] if found.buckling_lbf is None else [found.buckling_lbf]
    assert np.isfinite(numbers).all()
    assert found.buckling_lbf is None or found.buckling_lbf > 0.0


WAYS = [("typed", ""), ("go95", "A"), ("nesc-2017", "B"), ("nesc-overload", "B"), ("go95", "F")]
NO_WAYS = [("nesc-2017", "F"), ("go95", ""), ("none such", "B")]


def usually(low: float, high: float) -> st.SearchStrategy[float | None]:
    """A number that is now and then not typed."""
    some = st.floats(low, high)
    return st.integers(0, 9).flatmap(lambda at: st.none() if at == 9 else some)


def typed_settings(way: tuple[str, str], **more: Any) -> Settings:
    return Settings(strength_method=way[0], strength_grade=way[1], **more)


TYPED = st.builds(
    typed_settings,
    way=st.sampled_from(3 * WAYS + NO_WAYS),
    loading=st.sampled_from(3 * ["typed", "nesc-heavy", "go95-light"] + ["", "no such district"]),
    typed_ice_in=usually(0.0, 6.0),
    typed_wind_psf=usually(0.0, 200.0),
    typed_flat_wind_psf=usually(0.0, 200.0),
    typed_temp_f=usually(-80.0, 200.0),
    extreme_wind_mph=usually(1e-6, 250.0),
    extreme_wind_by=st.sampled_from(("pressure", "height and gust")),
    typed_wind_factor=usually(0.0, 20.0),
    typed_tension_factor=usually(0.0, 20.0),
    typed_weight_factor=usually(0.0, 20.0),
    typed_extreme_factor=usually(0.0, 20.0),
    typed_wood_share=usually(1e-6, 1.0),
    typed_guy_share=usually(1e-6, 1.0),
    typed_anchor_share=usually(1e-6, 1.0),
    typed_insulator_share=usually(1e-6, 1.0),
    person_lbf=usually(1e-6, 5_000.0),
    tension_temp_f=st.floats(-80.0, 250.0),
    arm_species=st.sampled_from(("", "Douglas fir", "no such timber")),
)
"""Whatever a job file takes of loading and factors."""


GIRTHS = st.tuples(
    st.sampled_from(("girth", "sound girth", "sound shell")),
    st.floats(0.0, 12_000.0),
    st.floats(0.0, 500.0),
)
"""What was read, how much, and how high above the ground line."""


@settings(max_examples=120, deadline=None)
@given(
    typed=TYPED,
    tension=st.floats(1e-3, 200_000.0),
    loaded=st.booleans(),
    span=st.floats(1e-3, 120_000.0),
    lead=st.sampled_from((0.0, 1e-6, 240.0, 240.0, 240.0, 12_000.0)),
    at=st.sampled_from((0.0, 384.0, 384.0, 384.0, 12_000.0)),
    anchor=usually(1e-3, 500_000.0),
    strut=st.none() | usually(0.0, 12_000.0),
    girths=st.just([]) | st.lists(GIRTHS, max_size=3),
    rated=usually(1e-3, 100_000.0),
)  # fmt: skip
def test_whatever_is_typed_is_answered_in_numbers_or_words(
    typed: Settings, tension: float, loaded: bool, span: float, lead: float, at: float,
    anchor: float | None, strut: float | None, girths: list[tuple[Any, float, float]],
    rated: float | None,
) -> None:  # fmt: skip
    made = line_pole((0.0, 175.0), tension, guys=(180.0,))
    tensions = {"loaded_tension_lbf": tension if loaded else None, "tension_lbf": tension}
    where = Guyed(
        when="after", host="pole", lead_in=lead, at_in=at, azimuth_deg=180.0, anchor_lbf=anchor,
        rod_dia_in=0.75, strut_in=strut, strut_height_in=strut,
    )  # fmt: skip
    items = tuple(
        replace(one, places=(where,)) if one.kind == "guy" else
        replace(one, rated_lbf=rated) if one.kind == "insulator" else one
        for one in made.items
    )  # fmt: skip
    made = replace(
        made,
        settings=typed,
        items=items,
        wires=tuple(replace(one, **tensions) for one in made.wires),
        spans=tuple(replace(one, length_in=span) for one in made.spans),
        readings=tuple(Reading("pole", what, value, at_in=up) for what, value, up in girths),
    )
    scene = place(made, "framed")
    for one in strength_findings(scene):
        event(one.verdict)
        assert one.gap is None or math.isfinite(one.gap)
        assert one.need is None or math.isfinite(one.need)
        assert "nan" not in " ".join((one.missing, *one.worked)).split()
        if one.gap is None:
            assert one.verdict == "cannot say"
            assert one.missing
    assert smallest_class(made, "pole").words
    try:
        lines = [line.text for one in calculations(scene) for part in one.sections
                 for line in part.lines]  # fmt: skip
    except FramerError as problem:
        lines = [str(problem)]
    assert lines
    assert not any(word in ("nan", "inf") for line in lines for word in line.split())
