"""Which distance is meant: straight, up and down, sideways; centres or surfaces; and what moves it.

Places and circuits are invented, and so are the small rulebooks, but for the 4 in to a metal pin
and the convention of small gaps between surfaces (California GO 95 rule 38, a current page).
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from framer.checks.rulebook import Rulebook
from framer.geometry.space import Point
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.reading import Reading
from tests.build import (
    ARM_OUT_IN,
    POLE_RADIUS_IN,
    Checked,
    Record,
    arm,
    job,
    judged,
    on_arm,
    pole,
    seat,
    wire,
    written_book,
)

MAIN = Circuit("main", "Main", kv=12.47, grounded_wye=True)
OTHER = Circuit("other", "West circuit", kv=12.47, grounded_wye=True, owner="Birch")
NORTH = Span("north", "N", 0.0, 1800.0, sag_in=0.0)
SOUTH = Span("south", "S", 180.0, 1800.0, sag_in=0.0)
SIXTEENTH_IN = 1 / 16


def book(folder: Path, *rules: tuple[str, str], need_in: float = 42.0) -> Rulebook:
    """Rules for a wire and a neighbouring wire: measure and convention of each."""
    written = ""
    for measure, convention in rules:
        written += f"""
        [[rule]]
        id = "mine.{measure}-{convention.replace(" ", "-")}"
        title = "Wires apart"
        measure = "{measure}"
        a = "wire"
        b = "nearby wire"
        convention = "{convention}"
        need = [{{ value = {need_in} }}]
        source = {{ document = "a test", how_known = "house" }}
        """
    return written_book(folder, written)


def beside(
    by: Rulebook | str,
    east_in: float,
    up_in: float,
    near_at: Point,
    *,
    ours: str | None = None,
    theirs: str | None = None,
) -> Checked:
    """A wire to the north on a seat beside the pole, and a neighbouring wire along it."""
    return judged(
        job(
            MAIN,
            OTHER,
            NORTH,
            *pole(50),
            seat("seat", up_in, out_in=abs(east_in) - POLE_RADIUS_IN, faces_deg=270.0),
            wire("a", "main", "north", "seat", part=ours),
            NearbyWire("near", "West circuit", "other", near_at[0], near_at[1], 0.0, part=theirs),
            Reading("near", "height", near_at[2]),
        ),
        by,
    )


# A06: the same two wires by three rules. West pin wire (-4.5, 37.0), the other (-6.0, 39.8), feet.

PIN, ACROSS = -54.0, (-72.0, 0.0, 12 * 39.8)


@pytest.mark.parametrize(
    ("measure", "feet", "verdict"),
    [
        # 3.5 ft asked: sqrt(1.5^2 + 2.8^2) = 3.18 straight, 2.8 up and down, 1.5 sideways
        ("slant", math.hypot(1.5, 2.8), "short"),
        ("vertical", 2.8, "short"),
        ("horizontal", 1.5, "short"),
    ],
)
def test_a06_a_rule_says_which_distance_it_means(
    tmp_path: Path, measure: str, feet: float, verdict: str
) -> None:
    checked = beside(book(tmp_path, (measure, "centre")), PIN, 12 * 37.0, ACROSS)
    finding = checked.the(f"mine.{measure}-centre", "a", "near")
    assert finding.gap == pytest.approx(12 * feet, abs=SIXTEENTH_IN)
    assert finding.verdict == verdict


def test_a06_with_the_pin_12_in_east_the_straight_rule_is_met_and_the_vertical_one_is_not(
    tmp_path: Path,
) -> None:
    # sqrt(2.5^2 + 2.8^2) = 3.75 ft; up and down it is 2.8 ft still
    rules = book(tmp_path, ("slant", "centre"), ("vertical", "centre"))
    checked = beside(rules, PIN + 12.0, 12 * 37.0, ACROSS)
    straight = checked.the("mine.slant-centre", "a", "near")
    upright = checked.the("mine.vertical-centre", "a", "near")
    assert (straight.verdict, upright.verdict) == ("meets", "short")
    assert straight.gap == pytest.approx(12 * 3.7537, abs=0.01)
    assert upright.spare == pytest.approx(-8.4, abs=SIXTEENTH_IN)


def test_a06_with_own_numbers_the_line_of_a_gap_is_as_long_as_the_gap(tmp_path: Path) -> None:
    # 20 in aside and 21 in up: 29 in straight
    rules = book(tmp_path, ("slant", "centre"), ("vertical", "centre"), ("horizontal", "centre"))
    checked = beside(rules, -40.0, 400.0, (-60.0, 0.0, 421.0))
    for measure, inches in (("slant", 29.0), ("vertical", 21.0), ("horizontal", 20.0)):
        finding = checked.the(f"mine.{measure}-centre", "a", "near")
        assert finding.gap == pytest.approx(inches)
        assert finding.line is not None
        assert math.dist(*finding.line) == pytest.approx(inches)


# A52: centre or surface? 4 in asked; centres 4.6 in apart, wire 0.5 in thick, pin 1.0 in.

WIRE_0_5, WIRE_1_0 = "messenger-25m", "comm-cable-1in"


def pin_beside_wire(
    folder: Path, convention: str, *, centres_in: float = 4.6, need_in: float = 4.0
) -> tuple[str, float]:
    """Verdict and gap of a 0.5-in wire beside a 1.0-in round thing."""
    by = book(folder, ("slant", convention), need_in=need_in)
    near_at = (-40.0 - centres_in, 0.0, 400.0)
    checked = beside(by, -40.0, 400.0, near_at, ours=WIRE_0_5, theirs=WIRE_1_0)
    (finding,) = checked.about("a", "near")
    assert finding.gap is not None
    return finding.verdict, finding.gap


def test_a52_a_gap_under_5_in_is_taken_between_surfaces(tmp_path: Path) -> None:
    # 4.6 - 0.25 - 0.5 = 3.85, under 4
    verdict, gap = pin_beside_wire(tmp_path, "centre from 5 in")
    assert (verdict, gap) == ("short", pytest.approx(3.85))


def test_a52_between_centres_it_would_be_met(tmp_path: Path) -> None:
    verdict, gap = pin_beside_wire(tmp_path, "centre")
    assert (verdict, gap) == ("meets", pytest.approx(4.6))


def test_a52_it_is_the_asked_distance_that_picks_the_convention(tmp_path: Path) -> None:
    # own numbers: 5 in asked is between centres, so 5.0 will do; 4.9 asked wants 4.9 + 0.75
    assert pin_beside_wire(tmp_path, "centre from 5 in", centres_in=5.0, need_in=5.0)[0] == "meets"
    for centres_in, verdict in ((5.65, "meets"), (5.6, "short")):
        found = pin_beside_wire(tmp_path, "centre from 5 in", centres_in=centres_in, need_in=4.9)
        assert found == (verdict, pytest.approx(centres_in - 0.75))


def test_a52_a_surface_rule_takes_both_halves_off_whatever_the_size(tmp_path: Path) -> None:
    # own numbers: 42.75 between centres is 42.0 between surfaces
    for centres_in, verdict in ((42.75, "meets"), (42.75 - SIXTEENTH_IN, "short")):
        found = pin_beside_wire(tmp_path, "surface", centres_in=centres_in, need_in=42.0)
        assert found[0] == verdict


# What moves a wire: rake, grade, offset.


def held(
    *records: Record, along_in: float = 0.0, hold: str = "height", at_in: float = 400.0, **at: Any
) -> Checked:
    """A wire to the north on a pin of an arm, on a 45-ft pole that stands as told."""
    return judged(
        job(
            MAIN,
            OTHER,
            NORTH,
            *pole(45, **at),
            arm("arm", at_in, hold=hold),
            on_arm("pin", "arm", along_in),
            wire("a", "main", "north", "pin"),
            *records,
        ),
        "house",
    )


@pytest.mark.parametrize(("rake_in", "at_top_in"), [(2.0, 7.7), (4.0, 15.4)])
def test_a13_rake_carries_the_top_of_a_pole_38_5_ft_high(rake_in: float, at_top_in: float) -> None:
    # 38.5 ft / 10 ft x 2 to 4 in
    checked = held(rake_in_per_10ft=rake_in, rake_azimuth_deg=270.0)
    top = checked.scene.part_by_key["pole"].shape
    assert top is not None
    assert -top.q[0] == pytest.approx(at_top_in, abs=SIXTEENTH_IN)
    # leaning takes some height: by less than 1/4 in here
    assert 0.0 < 12 * 38.5 - top.q[2] < 0.26


def test_rake_moves_a_wire_with_the_place_on_the_pole_it_hangs_from() -> None:
    # 3 in per 10 ft at 400 in up: 10 in; held by height the wire stays 413 in up
    plumb = held(along_in=-54.0).near_end("a")
    raked = held(along_in=-54.0, rake_in_per_10ft=3.0, rake_azimuth_deg=270.0).near_end("a")
    assert plumb == pytest.approx((-54.0, ARM_OUT_IN, 413.0))
    assert raked == pytest.approx((-64.0, ARM_OUT_IN, 413.0))
    north = held(along_in=-54.0, rake_in_per_10ft=3.0, rake_azimuth_deg=0.0).near_end("a")
    assert north == pytest.approx((-54.0, ARM_OUT_IN + 10.0, 413.0))


def test_rake_takes_height_from_a_wire_held_from_the_top() -> None:
    # 3 in per 10 ft is 1 in 40: cos = 40 / sqrt(1601); 462 - 62 = 400 in along the pole is
    # 399.875 in up and 9.997 in over
    cosine = 40.0 / math.sqrt(1601.0)
    raked = held(hold="drop", at_in=62.0, rake_in_per_10ft=3.0, rake_azimuth_deg=270.0)
    east, _, up = raked.near_end("a")
    assert up == pytest.approx(400.0 * cosine + 13.0)
    assert up == pytest.approx(412.875, abs=0.001)
    assert east == pytest.approx(-10.0 * cosine)


def test_rake_towards_a_neighbour_eats_the_gap_inch_by_inch() -> None:
    # a wire beside ours at the same height, 52 in off: raked 10 in towards it 42 in are left
    near = (
        NearbyWire("near", "West circuit", "other", -106.0, 0.0, 0.0),
        Reading("near", "height", 413.0),
    )
    plumb = held(*near, along_in=-54.0).the("house.nearby-wire", "a", "near")
    raked = held(*near, along_in=-54.0, rake_in_per_10ft=3.0, rake_azimuth_deg=270.0)
    more = held(*near, along_in=-54.0, rake_in_per_10ft=3.03, rake_azimuth_deg=270.0)
    assert plumb.gap == pytest.approx(52.0)
    at_limit = raked.the("house.nearby-wire", "a", "near")
    assert (at_limit.verdict, at_limit.gap) == ("meets", pytest.approx(42.0))
    assert more.the("house.nearby-wire", "a", "near").verdict == "short"


def test_grade_carries_a_wire_up_and_down_with_its_pole() -> None:
    # 0.8 ft lower: 400 in above the pole's own ground is 390.4 over the job's datum
    assert held(grade_in=-9.6).near_end("a")[2] == pytest.approx(403.4)
    assert held(grade_in=14.0).near_end("a")[2] == pytest.approx(427.0)


def test_a_height_read_from_another_ground_is_brought_to_the_job_datum() -> None:
    # the neighbour read 30 ft above the pole's ground, which is 9.6 in below the datum: 350.4;
    # our wire at 413 - 9.6 = 403.4, over it by 53.0 either way; read from the job's datum by 43.4
    beside_it = NearbyWire("near", "West circuit", "other", 0.0, 0.0, 0.0)
    by_pole = held(beside_it, Reading("near", "height", 360.0, datum="pole"), grade_in=-9.6)
    by_job = held(beside_it, Reading("near", "height", 360.0), grade_in=-9.6)
    assert by_pole.the("house.nearby-wire", "a", "near").gap == pytest.approx(53.0)
    assert by_job.the("house.nearby-wire", "a", "near").gap == pytest.approx(43.4)


def test_the_far_end_stands_on_its_own_grade() -> None:
    # far pole on ground 30 in higher, wire 380 in up there: 410 over the datum, 150 ft north
    made = job(
        MAIN,
        Span("north", "N", 0.0, 1800.0, far_grade_in=30.0, sag_in=0.0),
        *pole(45),
        seat("seat", 400.0, out_in=7.0),
        wire("a", "main", "north", "seat", far_height_in=380.0),
    )
    assert judged(made).far_end("a") == pytest.approx((12.0, 1800.0, 410.0))


def test_a_pole_set_aside_takes_its_wire_along() -> None:
    east, north, _ = held(east_in=36.0, north_in=-20.0, along_in=-54.0).near_end("a")
    assert (east, north) == pytest.approx((-18.0, ARM_OUT_IN - 20.0))


def test_a12_a_pole_3_ft_off_line_makes_an_angle_of_2_29_degrees() -> None:
    # 2 x atan(3 / 150); the far ends stay on the line
    made = job(
        MAIN,
        NORTH,
        SOUTH,
        *pole(45, east_in=36.0),
        arm("arm", 400.0),
        on_arm("pin", "arm", 0.0),
        wire("n", "main", "north", "pin", far_offset_in=0.0),
        wire("s", "main", "south", "pin", far_offset_in=0.0),
    )
    checked = judged(made)
    bends = 0.0
    for key in "ns":
        (x0, y0, _), (x1, y1, _) = checked.near_end(key), checked.far_end(key)
        assert (x0, x1, abs(y1)) == pytest.approx((36.0, 0.0, 1800.0))
        bends += math.degrees(math.atan((x0 - x1) / abs(y1 - y0)))
    assert bends == pytest.approx(2.29, abs=0.005)


def test_a12_5_ft_off_in_spans_of_200_and_180_ft_make_3_02_degrees() -> None:
    # own numbers: atan(5 / 200) + atan(5 / 180) = 1.432 + 1.591; pins 6.4 in north shift it little
    made = job(
        MAIN,
        Span("north", "N", 0.0, 2400.0),
        Span("south", "S", 180.0, 2160.0),
        *pole(45, east_in=-60.0),
        arm("arm", 400.0),
        on_arm("pin", "arm", 0.0),
        wire("n", "main", "north", "pin", far_offset_in=0.0),
        wire("s", "main", "south", "pin", far_offset_in=0.0),
    )
    checked = judged(made)
    ends = {key: (checked.near_end(key), checked.far_end(key)) for key in "ns"}
    bends = sum(
        math.degrees(math.atan2(abs(far[0] - near[0]), abs(far[1] - near[1])))
        for near, far in ends.values()
    )
    assert bends == pytest.approx(3.02, abs=0.005)


def test_an_offset_far_end_is_to_the_right_seen_from_here() -> None:
    # 24 in right of a span to the north is east, of one to the south west
    made = job(
        MAIN,
        NORTH,
        SOUTH,
        *pole(45),
        seat("seat", 400.0),
        wire("n", "main", "north", "seat", far_offset_in=24.0),
        wire("s", "main", "south", "seat", far_offset_in=24.0),
    )
    checked = judged(made)
    assert checked.far_end("n")[:2] == pytest.approx((24.0, 1800.0))
    assert checked.far_end("s")[:2] == pytest.approx((-24.0, -1800.0))
