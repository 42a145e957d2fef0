"""One pole: where its three references lead, how deep it is and how thick.

Girths of Southern pine, 45 ft class 4, are 35.0 in 6 ft from the butt and 21 in at the top (pole
specifications in a silviculture handbook, handbook.sref.info, read).
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framer.geometry.placing import place
from framer.geometry.pole import PoleSolid, brand_from_butt_in, rule_depth_in
from framer.model.item import Item, PoleFacts
from framer.model.job import Settings
from framer.model.place import Hold, Lying, Removed, Same, Standing
from framer.model.reading import Reading
from framer.model.stage import Stage
from tests.build import job

PINE = PoleFacts(540.0, "4", "Southern pine")
HOLDS: tuple[Hold, ...] = ("butt", "drop", "height")
GIRTHS = (Reading("p", "girth", 40.0, at_in=0.0), Reading("p", "girth", 20.0, at_in=400.0))


def stands(
    *places: Standing | Same,
    facts: PoleFacts = PINE,
    readings: tuple[Reading, ...] = (),
    stage: Stage = "found",
    settings: Settings | None = None,
) -> PoleSolid:
    """One pole as it stands at a stage."""
    item = Item("p", "pole", places, pole=facts)
    return place(job(item, *readings, settings=settings), stage).poles["p"]


def new(facts: PoleFacts = PINE, *readings: Reading, **at: Any) -> PoleSolid:
    return stands(Standing(when="after", **at), facts=facts, readings=readings, stage="framed")


def found(facts: PoleFacts = PINE, *readings: Reading, **at: Any) -> PoleSolid:
    return stands(Standing(when="found", **at), facts=facts, readings=readings)


# The three references.


def test_a_place_is_found_from_butt_top_and_ground() -> None:
    # 45 ft, 6 ft in the ground, 2 ft cut off: 37 ft above ground
    pole = new(depth_in=72.0, cut_in=24.0)
    assert pole.top_up_in == 12 * 37.0
    assert pole.up("butt", 72.0) == 0.0
    assert pole.up("butt", 12 * 40.0) == 12 * 34.0
    assert pole.up("drop", 13.0) == 12 * 37.0 - 13.0
    assert pole.up("height", 12 * 30.0) == 12 * 30.0


@pytest.mark.parametrize("hold", HOLDS)
@given(
    at_in=st.floats(0.0, 500.0),
    depth_in=st.floats(0.0, 200.0),
    cut_in=st.floats(0.0, 200.0),
    rake_in=st.floats(0.0, 60.0),
)
def test_what_a_place_reads_on_a_reference_leads_back_to_it(
    hold: Hold, at_in: float, depth_in: float, cut_in: float, rake_in: float
) -> None:
    pole = new(depth_in=depth_in, cut_in=cut_in, rake_in_per_10ft=rake_in)
    up = pole.up(hold, at_in)
    assert up is not None
    assert pole.at(hold, up) == pytest.approx(at_in, abs=1e-9)


@given(up_in=st.floats(0.0, 440.0))
def test_from_the_butt_and_from_the_top_add_up_to_what_is_left_of_the_pole(up_in: float) -> None:
    pole = new(depth_in=72.0, cut_in=24.0)
    butt, drop = pole.at("butt", up_in), pole.at("drop", up_in)
    assert butt is not None
    assert drop is not None
    assert butt + drop == pytest.approx(540.0 - 24.0)


def test_without_a_depth_only_the_height_leads_anywhere() -> None:
    pole = new(PoleFacts(None))
    assert (pole.up("butt", 100.0), pole.up("drop", 100.0)) == (None, None)
    assert (pole.at("butt", 100.0), pole.at("drop", 100.0)) == (None, None)
    assert pole.up("height", 100.0) == pole.at("height", 100.0) == 100.0


# Grade and rake.


def test_grade_lifts_the_foot_and_changes_no_distance_along_the_pole() -> None:
    level, raised = new(), new(grade_in=-9.6, east_in=3.0, north_in=-24.0)
    assert raised.foot == (3.0, -24.0, -9.6)
    assert raised.point(100.0) == pytest.approx((3.0, -24.0, 90.4))
    for hold in HOLDS:
        assert raised.up(hold, 300.0) == level.up(hold, 300.0)


def test_a_raked_pole_leans_the_way_it_is_told() -> None:
    # 6 in per 10 ft towards the west: the axis runs 6 west for 120 up
    pole = new(rake_in_per_10ft=6.0, rake_azimuth_deg=270.0)
    long = math.hypot(6.0, 120.0)
    assert pole.axis == pytest.approx((-6 / long, 0.0, 120 / long))
    assert pole.point(long) == pytest.approx((-6.0, 0.0, 120.0))
    assert pole.rise == pytest.approx(120 / long)


def test_a_height_on_a_raked_pole_is_upright_and_drop_and_butt_run_along_it() -> None:
    pole = new(rake_in_per_10ft=60.0, depth_in=72.0)
    up = pole.up("height", 240.0)
    assert up is not None
    assert pole.point(up)[2] == pytest.approx(240.0)
    assert up == pytest.approx(240.0 * math.sqrt(1.25))  # 5 in 10: hypotenuse 1.118
    assert pole.up("butt", 172.0) == pytest.approx(100.0)
    assert pole.up("drop", 68.0) == pytest.approx(400.0)


# Depth.


def test_a_typed_depth_beats_everything() -> None:
    pole = found(PINE, Reading("p", "depth", 70.0), depth_in=66.0)
    assert (pole.depth_in, pole.depth_from) == (66.0, "typed")


def test_a_read_depth_beats_brand_and_top() -> None:
    readings = (
        Reading("p", "top height", 400.0),
        Reading("p", "brand height", 38.4),
        Reading("p", "depth", 70.0, source="record"),
    )
    pole = found(PINE, *readings)
    assert (pole.depth_in, pole.depth_from) == (70.0, "reading, record")


def test_the_brand_beats_the_top() -> None:
    # brand 10 ft from the butt (ANSI O5.1, memory), read 3.2 ft up: 6.8 ft deep
    pole = found(PINE, Reading("p", "top height", 400.0), Reading("p", "brand height", 38.4))
    assert (pole.depth_in, pole.depth_from) == (pytest.approx(81.6), "brand height")
    assert pole.top_up_in == pytest.approx(540.0 - 81.6)


def test_a_measured_top_and_the_length_give_the_depth() -> None:
    pole = found(PINE, Reading("p", "top height", 478.8), cut_in=6.0)
    assert pole.depth_in == pytest.approx(540.0 - 6.0 - 478.8)
    assert pole.depth_from == "length less top height"
    assert pole.top_up_in == pytest.approx(478.8)


def test_a_measured_top_of_a_pole_of_no_known_length_is_the_top_and_no_depth() -> None:
    pole = found(
        PoleFacts(None), Reading("p", "top height", 478.8), Reading("p", "brand height", 9)
    )
    assert (pole.top_up_in, pole.depth_in, pole.depth_from) == (478.8, None, "not known")


def test_a_found_pole_nobody_measured_has_no_depth() -> None:
    pole = found()
    assert (pole.depth_in, pole.top_up_in, pole.depth_from) == (None, None, "not known")


def test_a_new_pole_goes_by_the_rule_and_no_reading() -> None:
    pole = new(PINE, Reading("p", "depth", 60.0))
    assert pole.depth_in == pytest.approx(78.0)
    assert "10 % + 2 ft" in pole.depth_from


def test_a_new_pole_of_no_known_length_has_no_depth() -> None:
    assert (new(PoleFacts(None)).depth_in, new(PoleFacts(None)).depth_from) == (None, "not known")


@pytest.mark.parametrize("words", ["depth", "brand height", "top height"])
def test_a_pole_that_is_topped_stays_as_deep_as_it_was_found(words: str) -> None:
    # 62 in deep however it was told: depth 62, brand 120 - 58, top 540 - 6 - 472; then 48 in are
    # cut off where 6 in were off before
    value = {"depth": 62.0, "brand height": 58.0, "top height": 472.0}[words]
    pole = stands(
        Standing(when="found", cut_in=6.0),
        Standing(when="after", cut_in=48.0),
        readings=(Reading("p", words, value),),  # type: ignore[arg-type]
        stage="framed",
    )
    assert pole.depth_in == pytest.approx(62.0)
    assert pole.top_up_in == pytest.approx(540.0 - 48.0 - 62.0)


def test_a_pole_that_is_topped_keeps_its_typed_depth() -> None:
    pole = stands(
        Standing(when="found", depth_in=62.0), Standing(when="after", cut_in=48.0), stage="framed"
    )
    assert (pole.depth_in, pole.top_up_in) == (62.0, 540.0 - 48.0 - 62.0)


def test_a_measured_top_of_a_pole_of_no_known_length_goes_down_with_the_cut() -> None:
    pole = stands(
        Standing(when="found"),
        Standing(when="after", cut_in=48.0),
        facts=PoleFacts(None),
        readings=(Reading("p", "top height", 478.8),),
        stage="framed",
    )
    assert pole.top_up_in == pytest.approx(430.8)


def test_ground_raised_about_a_pole_buries_it_deeper_and_leaves_its_top_where_it_is() -> None:
    # 62 in deep, top 478 over the old ground; 10 in of fill
    for facts, reading in (
        (PINE, Reading("p", "depth", 62.0)),
        (PoleFacts(None), Reading("p", "top height", 478.0)),
    ):
        pole = stands(
            Standing(when="found", grade_in=4.0),
            Standing(when="after", grade_in=14.0),
            facts=facts,
            readings=(reading,),
            stage="framed",
        )
        assert pole.top_up_in == pytest.approx(468.0)
        assert pole.point(468.0)[2] == pytest.approx(482.0)
        assert pole.depth_in == (None if facts.length_in is None else 72.0)


def test_a_pole_set_anew_elsewhere_goes_by_the_rule() -> None:
    pole = stands(
        Standing(when="found"),
        Standing(when="after", north_in=-24.0),
        readings=(Reading("p", "depth", 62.0),),
        stage="framed",
    )
    assert pole.depth_in == pytest.approx(78.0)


def test_a_pole_left_as_it_was_is_as_deep_as_it_was() -> None:
    pole = stands(
        Standing(when="found"),
        Same(when="after"),
        readings=(Reading("p", "depth", 62.0),),
        stage="framed",
    )
    assert pole.depth_in == 62.0


@pytest.mark.parametrize(
    ("length_ft", "cut_ft", "settings", "depth_ft", "words"),
    [
        # 10 % + 2 ft; the handbook's table has 6.5 at 45 ft and 5.5 at 30 ft (both read)
        (45, 0, Settings(depth_rule="ten percent"), 6.5, "10 % + 2 ft, by stock length"),
        (45, 0, Settings(depth_rule="table"), 6.5, "setting table, by stock length"),
        (30, 0, Settings(depth_rule="ten percent"), 5.0, "10 % + 2 ft, by stock length"),
        (30, 0, Settings(), 5.5, "setting table (deeper than 10 % + 2 ft), by stock length"),
        (50, 0, Settings(), 7.0, "10 % + 2 ft (not less than the table), by stock length"),
        # by what is left of it: 48 ft has 4.8 + 2; the table's next length is 50 ft, 7.0
        (
            50,
            2,
            Settings(depth_rule="ten percent", depth_length="finished"),
            6.8,
            "10 % + 2 ft, by finished length",
        ),
        (
            50,
            2,
            Settings(depth_length="finished"),
            7.0,
            "setting table (deeper than 10 % + 2 ft), by finished length",
        ),
        # beyond the table's 90 ft only the rule of thumb is left
        (100, 0, Settings(depth_rule="table"), 12.0, "10 % + 2 ft, by stock length"),
    ],
)
def test_the_depth_rule(
    length_ft: float, cut_ft: float, settings: Settings, depth_ft: float, words: str
) -> None:
    depth_in, said = rule_depth_in(12 * length_ft, 12 * cut_ft, settings)
    assert (depth_in, said) == (pytest.approx(12 * depth_ft), words)


def test_the_brand_is_farther_up_on_poles_over_50_ft() -> None:
    # 10 ft and 14 ft from the butt, ANSI O5.1, memory
    assert [brand_from_butt_in(12 * feet, Settings()) for feet in (45, 50, 50.5, 55)] == [
        120.0,
        120.0,
        168.0,
        168.0,
    ]
    own = Settings(brand_to_50_ft_in=122.0, brand_over_50_ft_in=170.0)
    assert [brand_from_butt_in(12 * feet, own) for feet in (50, 55)] == [122.0, 170.0]


# Girths.


def test_two_measured_girths_make_a_straight_line_also_beyond_them() -> None:
    pole = new(PoleFacts(540.0), *GIRTHS)
    assert pole.girth_from == "measured girths"
    assert [pole.girth_in(up) for up in (0.0, 100.0, 400.0, 420.0, -40.0)] == pytest.approx(
        [40.0, 35.0, 20.0, 19.0, 42.0]
    )
    assert pole.diameter_in(100.0) == pytest.approx(35.0 / math.pi)
    assert pole.radius_in(100.0) == pytest.approx(35.0 / (2 * math.pi))


def test_three_measured_girths_make_two_lines() -> None:
    pole = new(PINE, *GIRTHS, Reading("p", "girth", 36.0, at_in=200.0))
    assert [pole.girth_in(up) for up in (100.0, 200.0, 300.0, 500.0, -100.0)] == pytest.approx(
        [38.0, 36.0, 28.0, 12.0, 42.0]
    )


def test_of_girths_at_one_height_the_latest_counts() -> None:
    before = Reading("p", "girth", 44.0, at_in=0.0, date="2026-01-05")
    after = Reading("p", "girth", 41.0, at_in=0.0, date="2026-03-01")
    for readings in ((before, after), (after, before)):
        pole = new(PoleFacts(540.0), *readings, Reading("p", "girth", 20.0, at_in=400.0))
        assert pole.girth_in(0.0) == 41.0


def test_without_measurement_the_class_gives_its_least_girths() -> None:
    # 6.5 ft deep: 6 ft from the butt is 6 in under ground, the stock top 38.5 ft up
    pole = new()
    assert pole.girth_in(-6.0) == pytest.approx(35.0)
    assert pole.girth_in(12 * 38.5) == pytest.approx(21.0)
    assert pole.girth_from == "least girths of the class (read)"


def test_cutting_the_top_leaves_the_rest_as_thick_as_it_was() -> None:
    whole, cut = new(depth_in=78.0), new(depth_in=78.0, cut_in=54.0)
    for up in (-78.0, 0.0, 200.0, 400.0):
        assert cut.girth_in(up) == whole.girth_in(up)


def test_one_measured_girth_shifts_the_line_of_the_class() -> None:
    # at the ground the class has 35 - 14 x 6 / 468 = 34.821; 38 measured there is 3.179 more
    pole = new(PINE, Reading("p", "girth", 38.0))
    line = 35.0 - 14.0 * 6.0 / 468.0
    assert pole.girth_in(0.0) == pytest.approx(38.0)
    assert pole.girth_in(12 * 38.5) == pytest.approx(21.0 + 38.0 - line)
    assert pole.girth_from == "one measured girth with the taper of the class (read)"


def test_one_measured_girth_and_no_class_is_no_line() -> None:
    pole = new(PoleFacts(540.0), Reading("p", "girth", 38.0))
    assert pole.girths == ()
    assert pole.girth_in(0.0) is None


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        (PoleFacts(540.0), "no girth known"),
        (PoleFacts(540.0, "4"), "no girth known"),
        (PoleFacts(540.0, None, "Southern pine"), "no girth known"),
        (PoleFacts(540.0, "4", "Elm"), "not in the class tables"),
        (PoleFacts(546.0, "4", "Southern pine"), "not in the class tables"),
        (PoleFacts(540.0, "15", "Southern pine"), "not in the class tables"),
    ],
)
def test_a_pole_of_no_known_class_has_no_girth(facts: PoleFacts, words: str) -> None:
    pole = new(facts)
    assert pole.girth_from == words
    assert (pole.girth_in(0.0), pole.radius_in(0.0), pole.diameter_in(0.0)) == (None, None, None)


def test_without_a_depth_the_class_says_nothing_of_a_height() -> None:
    assert found().girth_in(0.0) is None


# Which poles stand.


def test_only_standing_poles_are_there() -> None:
    items = (
        Item("old", "pole", (Standing(when="found"), Removed(when="after")), pole=PINE),
        Item("new", "pole", (Lying(when="found"), Standing(when="after")), pole=PINE),
    )
    made = job(*items)
    assert list(place(made, "found").poles) == ["old"]
    assert list(place(made, "framed").poles) == ["new"]
