"""Passing under or over a neighbouring circuit, and poles that are long enough for it or not.

All places and circuits are invented. Distances kept are the example house rules: 3 ft 6 in from a
neighbouring circuit, 4 ft from line arm to buck arm, 12 in from bolt to top, 40 in from supply to
communications. Heights are feet above grade at the pole unless a name says inches; a wire on a pin
stands 13 in above its arm's bolt.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.checks.explain import explained
from framer.checks.finding import Finding
from framer.model.job import Job, Settings
from framer.model.line import Circuit, NearbyWire, Span, Wire
from framer.model.reading import Reading
from tests.build import (
    ARM_OUT_IN,
    Checked,
    Record,
    arm,
    job,
    judged,
    on_arm,
    pinned,
    pole,
    seat,
    wire,
    written_book,
)

MAIN = Circuit("main", "Main", kv=24.9, grounded_wye=True)
OTHER = Circuit("other", "West circuit", kv=12.47, grounded_wye=True, owner="Birch")
PHONE = Circuit("phone", "Phone", kind="communications", owner="Cedar")
KEEP_IN = 42.0
NEARBY, NEARBY_POLE, NEARBY_ARM = "house.nearby-wire", "house.nearby-pole", "house.nearby-arm"
TOP, BUCK = "house.top-margin", "house.line-to-buck-arm"
SIXTEENTH_IN = 1 / 16


def crossing(
    height_ft: float,
    *,
    east_in: float = 0.0,
    azimuth_deg: float = 0.0,
    hot_drop_in: float = 0.0,
) -> tuple[NearbyWire, Reading]:
    """A wire of the other circuit and the height it was read at."""
    near = NearbyWire("near", "West circuit", "other", east_in, 0.0, azimuth_deg, hot_drop_in)
    return near, Reading("near", "height", 12 * height_ft)


def spans(sag_in: float = 0.0, length_ft: float = 150.0) -> tuple[Span, ...]:
    """Ways to the north, south and west; without sag the figures are those at the pole."""
    ways = (("north", 0.0), ("south", 180.0), ("west", 270.0))
    return tuple(
        Span(key, key.title(), azimuth, 12 * length_ft, sag_in=sag_in) for key, azimuth in ways
    )


# A01: lower the line arm so that the buck wires pass under a circuit on the west.


def lowered(
    drop_in: float,
    *,
    up_in: float = 0.0,
    west_in: float = 144.0,
    settings: Settings | None = None,
) -> Job:
    """A 45-ft pole, H = 38.5 ft; a circuit 12 ft west of it runs north-south, 35.2 ft high.

    Line arm bolt `drop_in` below the top, buck arm 4 ft below that; the frame moved up by `up_in`.
    """
    line_in = drop_in - up_in
    return job(
        MAIN,
        OTHER,
        Span("north", "N", 0.0, 1800.0, sag_in=18.0),
        Span("west", "W", 270.0, 1680.0, sag_in=24.0),
        *pole(45),
        arm("line", line_in, hold="drop"),
        arm("buck", line_in + 48.0, hold="drop", faces_deg=270.0),
        *pinned("line", "main", "north", {"A": -54.0, "B": -18.0, "C": 54.0}),
        *pinned("buck", "main", "west", {"C": -54.0, "B": -18.0, "A": 54.0}, sag_cold_in=18.0),
        *crossing(35.2, east_in=-west_in),
        settings=settings,
    )


def test_a01_buck_wires_pass_under_with_the_line_arm_3_ft_11_in_down() -> None:
    # line bolt 38.5 ft - 3 ft 11 in = 34.583, buck bolt 30.583, buck wire 31.667, gap 3.533 ft
    checked = judged(lowered(47.0), "house")
    for phase in "ABC":
        finding = checked.the(NEARBY, f"buck-{phase}", "near")
        assert finding.verdict == "meets"
        assert finding.gap == pytest.approx(42.4, abs=SIXTEENTH_IN)
        assert checked.near_end(f"buck-{phase}")[2] == pytest.approx(12 * 31.0 + 8.0)
    assert checked.the(BUCK, "line", "buck").verdict == "meets"
    assert checked.the(TOP, "line").gap == pytest.approx(47.0)
    assert not [finding for finding in checked.findings if finding.verdict != "meets"]


def test_a01_the_line_arm_must_be_3_ft_10_6_in_down_at_least() -> None:
    # wire at most 31.70 ft, line bolt at most 34.617, so 3.883 ft = 46.6 in from the top
    at_limit = judged(lowered(46.6), "house").the(NEARBY, "buck-A", "near")
    above = judged(lowered(46.6 - SIXTEENTH_IN), "house").the(NEARBY, "buck-A", "near")
    assert (at_limit.verdict, above.verdict) == ("meets", "short")


def test_a01_the_line_wires_are_clear_sideways() -> None:
    # the line wire starts 35.667 ft up and sags through 35.2; its pin is 4.5 ft out, so 7.5 ft
    # from that circuit sideways
    checked = judged(lowered(47.0), "house")
    finding = checked.the(NEARBY, "line-A", "near")
    assert checked.near_end("line-A")[2] / 12 == pytest.approx(35.667, abs=0.001)
    assert finding.verdict == "meets"
    assert finding.gap == pytest.approx(12 * 7.5, abs=SIXTEENTH_IN)


def test_a01_the_sag_of_the_buck_wires_is_credited_only_when_ticked() -> None:
    # cold sag 1.5 ft in 140 ft: 4 x 1.5 x 12 x 128 / 140^2 = 0.470 ft = 5.64 in lower 12 ft from
    # the pins, which stand 6.375 in west of the centre line
    west_in = 144.0 + ARM_OUT_IN
    plain = judged(lowered(47.0, west_in=west_in), "house")
    ticked = judged(lowered(47.0, west_in=west_in, settings=Settings(sag_credit=True)), "house")
    assert plain.the(NEARBY, "buck-A", "near").gap == pytest.approx(42.4, abs=SIXTEENTH_IN)
    credited = ticked.the(NEARBY, "buck-A", "near").gap
    assert credited == pytest.approx(42.4 + 5.64, abs=SIXTEENTH_IN)


def sagging(cold_in: float, hot_in: float, settings: Settings | None = None) -> list[str]:
    """What is said of the gap of a buck wire that passes 12 ft out of its pin under the circuit."""
    made = lowered(47.0, west_in=144.0 + ARM_OUT_IN, settings=settings)
    wires = tuple(
        replace(one, sag_cold_in=cold_in, sag_hot_in=hot_in) if one.id.startswith("buck") else one
        for one in made.wires
    )
    made = replace(made, wires=wires)
    finding = judged(made, "house").the(NEARBY, "buck-A", "near")
    return [one for one in explained(made, finding) if one.startswith("Told only")]


def test_a01_how_much_lower_the_sag_brings_the_wire_is_told_and_not_counted() -> None:
    # 4 x 1.5 x 12 x 128 / 140^2 = 0.470 ft = 5.64 in cold, 2.4 ft of hot sag 0.752 ft = 9.03 in
    (told,) = sagging(18.0, 28.8)
    assert "12 ft out A of Main to W hangs below its chord" in told
    assert "by 5 5/8 in at its least sag, 9 in at its most" in told
    assert "Nothing of it counts here" in told
    # own numbers: 2 ft and 3 ft: 4 x 2 x 12 x 128 / 140^2 = 0.627 ft = 7.52 in; 11.28 in
    (told,) = sagging(24.0, 36.0)
    assert "by 7 1/2 in at its least sag, 11 1/4 in at its most" in told


def test_a01_where_the_sag_is_credited_it_is_not_told_as_uncounted() -> None:
    assert not sagging(18.0, 28.8, Settings(sag_credit=True))


def test_a01_with_a_higher_crossing_and_a_longer_pole() -> None:
    # own numbers: 50-ft pole 7.0 deep, H 43.0; circuit at 39.0, wire at most 35.5, buck bolt
    # 34.417, line bolt 38.417: 4.583 ft = 4 ft 7 in from the top, exactly
    def at(drop_in: float) -> Checked:
        return judged(
            job(
                MAIN,
                OTHER,
                *spans(),
                *pole(50),
                arm("line", drop_in, hold="drop"),
                arm("buck", drop_in + 48.0, hold="drop", faces_deg=270.0),
                *pinned("buck", "main", "west", {"A": -54.0, "B": 54.0}),
                *crossing(39.0, east_in=-100.0),
            ),
            "house",
        )

    assert at(55.0).the(NEARBY, "buck-A", "near").verdict == "meets"
    assert at(55.0 - SIXTEENTH_IN).the(NEARBY, "buck-A", "near").verdict == "short"


def test_a46_a_frame_built_2_in_higher_than_a01_is_1_6_in_short() -> None:
    # 3.5333 ft - 2 in = 3.367 ft, 3.5 wanted
    finding = judged(lowered(47.0, up_in=2.0), "house").the(NEARBY, "buck-B", "near")
    assert finding.verdict == "short"
    assert finding.spare == pytest.approx(-1.6, abs=SIXTEENTH_IN)


# A02: the bare top stands in the ceiling.


def under_a_ceiling(*, cut_in: float, drop_in: float, ceiling_ft: float = 42.0) -> Checked:
    """A 50-ft pole, D 7.0, under a wire that runs east-west straight over pole and arm."""
    return judged(
        job(
            MAIN,
            OTHER,
            *spans(),
            *pole(50, cut_in=cut_in),
            arm("line", drop_in, hold="drop"),
            arm("buck", drop_in + 48.0, hold="drop", faces_deg=270.0),
            *pinned("line", "main", "south", {"A": -54.0, "B": 18.0, "C": 54.0}),
            *crossing(ceiling_ft, azimuth_deg=90.0),
        ),
        "house",
    )


def test_a02_the_uncut_pole_stands_above_the_wire_that_its_own_wires_clear() -> None:
    # H 43.0; wire at most 38.5, bolt 37.417: 5 ft 7 in below the uncut top, which is 1.0 ft
    # above the crossing wire
    checked = under_a_ceiling(cut_in=0.0, drop_in=67.0)
    for phase in "ABC":
        finding = checked.the(NEARBY, f"line-{phase}", "near")
        assert (finding.verdict, finding.gap) == ("meets", pytest.approx(42.0))
    into_it = checked.the(NEARBY_POLE, "near", "pole")
    assert (into_it.verdict, into_it.gap) == ("short", pytest.approx(0.0, abs=SIXTEENTH_IN))


def test_a02_topped_by_4_ft_6_in_it_passes_with_13_in_from_bolt_to_top() -> None:
    # top at most 42.0 - 3.5 = 38.5: cut 4 ft 6 in; t = 38.5 - 37.417 = 13.0 in; buck bolt 33.417
    checked = under_a_ceiling(cut_in=54.0, drop_in=13.0)
    assert {finding.verdict for finding in checked.findings} == {"meets"}
    assert checked.the(NEARBY_POLE, "near", "pole").gap == pytest.approx(42.0)
    assert checked.the(NEARBY, "line-B", "near").gap == pytest.approx(42.0)
    top = checked.the(TOP, "line")
    assert (top.gap, top.spare) == (pytest.approx(13.0), pytest.approx(1.0))
    buck = checked.scene.part_by_key["buck"].shape
    assert buck is not None
    assert buck.p[2] / 12 == pytest.approx(33.417, abs=0.001)


def test_a02_cut_1_16_in_less_the_top_is_short() -> None:
    checked = under_a_ceiling(cut_in=54.0 - SIXTEENTH_IN, drop_in=13.0 + SIXTEENTH_IN)
    assert checked.the(NEARBY, "line-A", "near").verdict == "meets"
    assert checked.the(NEARBY_POLE, "near", "pole").verdict == "short"


def test_a02_with_a_lower_ceiling_the_top_margin_is_what_fails() -> None:
    # own numbers: ceiling 41.0, top at most 37.5: cut 5 ft 6 in; wires on pins 13 in up need the
    # bolt 13 in under 37.5, so 13 in again; a bolt 11 in down puts the wires 2 in too high, and
    # is 1 in short of 12 in from the top
    good = under_a_ceiling(cut_in=66.0, drop_in=13.0, ceiling_ft=41.0)
    assert {finding.verdict for finding in good.findings} == {"meets"}
    high = under_a_ceiling(cut_in=66.0, drop_in=11.0, ceiling_ft=41.0)
    assert high.the(TOP, "line").spare == pytest.approx(-1.0)
    assert high.the(NEARBY, "line-A", "near").spare == pytest.approx(-2.0)


# A03 and A04: a floor stack on poles of several lengths.


def stack(length_ft: float, *, up_in: float = 0.0, ceiling_ft: float | None = None) -> Checked:
    """Communications 21.0, neutral 40 in above, buck bolt 5 ft above that, line bolt 4 ft more.

    The buck wires are dead-ended, at the bolt; the line wires on pins.
    """
    bolt_in = 400.0 + up_in
    records: list[Record] = [
        seat("low", 252.0 + up_in, out_in=2.0),
        wire("p", "phone", "north", "low", phase="cable"),
        seat("mid", 292.0 + up_in, out_in=2.0),
        wire("n", "main", "north", "mid", phase="N"),
        arm("buck", bolt_in - 48.0, faces_deg=270.0),
        on_arm("buck-end", "buck", 54.0, part="deadend-25kv"),
        wire("b", "main", "west", "buck-end"),
        arm("line", bolt_in),
        *pinned("line", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}),
    ]
    if ceiling_ft is not None:
        records += crossing(ceiling_ft, azimuth_deg=90.0)
    return judged(job(MAIN, OTHER, PHONE, *spans(), *pole(length_ft), *records), "house")


def test_a03_a_40_ft_pole_is_4_in_short() -> None:
    # 21.0 + 3.333 + 5.0 + 4.0 + 1.0 = 34.333 ft wanted; a 40-ft pole set 6.0 gives 34.0
    checked = stack(40)
    top = checked.the(TOP, "line")
    assert top.verdict == "short"
    assert top.spare == pytest.approx(-4.0, abs=SIXTEENTH_IN)
    assert [finding.rule.id for finding in checked.findings if finding.verdict == "short"] == [TOP]


def test_a03_a_45_ft_pole_works_with_4_ft_2_in_to_spare() -> None:
    # H 38.5 - 34.333 = 4.167 ft; the line wire 34.417 up; the neutral exactly 40 in up
    checked = stack(45)
    assert {finding.verdict for finding in checked.findings} == {"meets"}
    assert checked.the(TOP, "line").spare == pytest.approx(50.0, abs=SIXTEENTH_IN)
    assert checked.near_end("line-A")[2] / 12 == pytest.approx(34.417, abs=0.001)
    assert checked.near_end("b")[2] / 12 == pytest.approx(29.333, abs=0.001)
    over_phone = checked.the("house.supply-to-communications", "n", "p")
    assert (over_phone.verdict, over_phone.gap) == ("meets", pytest.approx(40.0))
    assert checked.the(BUCK, "line", "buck").gap == pytest.approx(48.0)


def test_a03_a_stack_of_20_in_more_takes_the_45_ft_pole_too_and_the_40_ft_one_not() -> None:
    # own numbers: 34.333 ft + 20 in = 36.0 ft; 45 ft: 38.5 - 36.0 = 30 in; 40 ft: 24 in short
    assert stack(45, up_in=20.0).the(TOP, "line").spare == pytest.approx(30.0)
    assert stack(40, up_in=20.0).the(TOP, "line").spare == pytest.approx(-24.0)


def test_a04_no_length_helps_under_a_circuit_at_36_ft() -> None:
    # 3.5 ft under 36.0 is 32.5; the stack wants 34.417: 1.917 ft = 23 in short, at any length
    for length_ft in (45, 50, 55):
        finding = stack(length_ft, ceiling_ft=36.0).the(NEARBY, "line-A", "near")
        # nearest in plan at the pin, 6.375 in north of the crossing wire
        short_in = KEEP_IN - math.hypot(19.0, ARM_OUT_IN)
        assert finding.verdict == "short"
        assert finding.spare == pytest.approx(-short_in, abs=SIXTEENTH_IN)


def test_a04_straight_under_it_the_wires_are_23_in_short() -> None:
    near = NearbyWire("near", "West circuit", "other", 0.0, 100.0, 90.0)
    made = job(
        MAIN,
        OTHER,
        *spans(),
        *pole(45),
        arm("line", 400.0),
        *pinned("line", "main", "north", {"A": -54.0}),
        near,
        Reading("near", "height", 12 * 36.0),
    )
    finding = judged(made, "house").the(NEARBY, "line-A", "near")
    assert finding.spare == pytest.approx(-23.0, abs=SIXTEENTH_IN)


# A05: curing one clash makes another.


def beside(
    line_bolt_ft: float,
    *,
    pins_in: tuple[float, ...] = (-54.0, 54.0),
    part: str = "arm-10ft-4pin",
    east_in: float = 0.0,
    sag_in: float = 0.0,
    off_in: float = 0.0,
) -> Checked:
    """A line arm and its buck arm 4 ft below, beside a circuit 6 ft west of x = 0, 33.0 ft up.

    The line lies `off_in` farther east at its next pole, which stays where it is: then it is at
    this pole that its wires pass nearest.
    """
    line = {chr(ord("A") + number): x for number, x in enumerate(pins_in)}
    going_off = [
        replace(one, far_offset_in=line[one.phase] + off_in) if isinstance(one, Wire) else one
        for one in pinned("line", "main", "north", line)
    ]
    return judged(
        job(
            MAIN,
            OTHER,
            *spans(sag_in),
            *pole(45, east_in=east_in),
            arm("line", 12 * line_bolt_ft, part=part),
            arm("buck", 12 * line_bolt_ft - 48.0, faces_deg=270.0),
            *going_off,
            *pinned("buck", "main", "west", {"A": -54.0, "B": 54.0}, sag_in=0.0),
            *crossing(33.0, east_in=-72.0),
        ),
        "house",
    )


LOWERED_FT = 33.0 - 3.5 - 13 / 12 + 4.0  # buck wires 3.5 ft under: line bolt 32.417


def test_a05_the_buck_wires_pass_but_the_west_line_wire_is_1_58_ft_away() -> None:
    # line wire 33.5 ft, west pin x = -4.5: sqrt(1.5^2 + 0.5^2) = 1.58 ft
    checked = beside(LOWERED_FT)
    assert checked.the(NEARBY, "buck-A", "near").gap == pytest.approx(42.0)
    finding = checked.the(NEARBY, "line-A", "near")
    assert finding.verdict == "short"
    assert finding.gap == pytest.approx(12 * math.hypot(1.5, 0.5), abs=SIXTEENTH_IN)
    assert checked.near_end("line-A")[2] / 12 == pytest.approx(33.5)


def test_a05_an_8_ft_arm_does_not_cure_it() -> None:
    # pin at -3.5 ft: sqrt(2.5^2 + 0.5^2) = 2.55 ft
    finding = beside(LOWERED_FT, pins_in=(-42.0, 42.0), part="arm-8ft-4pin").the(
        NEARBY, "line-A", "near"
    )
    # the 8-ft arm is 4-1/2 in deep, its wires stand 1/8 in lower: 6 - 1/8 in above the circuit
    assert finding.verdict == "short"
    assert finding.gap == pytest.approx(math.hypot(30.0, 5.875), abs=SIXTEENTH_IN)
    assert finding.gap == pytest.approx(12 * 2.55, abs=0.1)


def test_a05_all_line_wires_east_of_the_pole_cure_it() -> None:
    # all east of x = -1.5 on an alley arm: sqrt(4.5^2 + 0.5^2) = 4.53 ft
    checked = beside(LOWERED_FT, pins_in=(-18.0, 60.0, 102.0), part="alley-arm-10ft")
    nearest = checked.the(NEARBY, "line-A", "near")
    assert nearest.verdict == "meets"
    assert nearest.gap == pytest.approx(12 * 4.53, abs=0.1)
    assert {finding.verdict for finding in checked.of(NEARBY)} == {"meets"}


def test_a05_a_pole_2_ft_farther_east_cures_it() -> None:
    # sqrt(3.5^2 - 0.5^2) - 1.5 = 1.964 ft = 23.57 in is needed
    need_in = 12 * (math.sqrt(3.5**2 - 0.5**2) - 1.5)

    def set_aside(east_in: float) -> Finding:
        checked = beside(LOWERED_FT, east_in=east_in, off_in=150.0)
        return checked.the(NEARBY, "line-A", "near")

    assert need_in == pytest.approx(23.57, abs=0.01)
    assert set_aside(24.0).verdict == "meets"
    moved = set_aside(need_in)
    less = set_aside(need_in - SIXTEENTH_IN)
    assert (moved.verdict, less.verdict) == ("meets", "short")


def test_a05_line_wires_down_to_29_838_ft_cure_it() -> None:
    # 33.0 - sqrt(3.5^2 - 1.5^2) = 29.838; line bolt 28.754, buck bolt 24.754, t = 9.746 ft
    bolt_ft = 33.0 - math.sqrt(3.5**2 - 1.5**2) - 13 / 12
    assert bolt_ft == pytest.approx(28.754, abs=0.001)
    checked = beside(bolt_ft)
    assert checked.the(NEARBY, "line-A", "near").gap == pytest.approx(42.0, abs=SIXTEENTH_IN)
    assert beside(38.5 - 9.75).the(NEARBY, "line-A", "near").verdict == "meets"
    assert checked.the(TOP, "line").gap == pytest.approx(12 * 9.746, abs=0.01)


def test_a05_a_line_wire_that_sags_through_the_others_height_is_18_in_away() -> None:
    # own numbers: with 1 ft of sag the west wire dips past 33.0 and is 1.5 ft away, sideways
    finding = beside(LOWERED_FT, sag_in=12.0).the(NEARBY, "line-A", "near")
    assert finding.verdict == "short"
    assert finding.gap == pytest.approx(18.0, abs=SIXTEENTH_IN)


# A06: slant distance, not vertical.


def slanting(*, pin_in: float = -54.0, lower_in: float = 0.0) -> Checked:
    """A west pin wire 37.0 ft up beside a wire 6.0 ft out, 39.8 ft up, running the same way."""
    return judged(
        job(
            MAIN,
            OTHER,
            *spans(),
            *pole(50),
            arm("line", 12 * 37.0 - 13.0 - lower_in),
            *pinned("line", "main", "north", {"A": pin_in}),
            *crossing(39.8, east_in=-72.0),
        ),
        "house",
    )


@pytest.mark.parametrize(
    ("pin_in", "lower_in", "slant_ft", "verdict"),
    [
        pytest.param(-54.0, 0.0, 3.18, "short", id="as-drafted"),
        pytest.param(-42.0, 0.0, 3.75, "meets", id="pin-12-in-east"),
        pytest.param(-54.0, 4.5, 3.51, "meets", id="arm-4.5-in-lower"),
        # own numbers: sqrt(1.5^2 + (2.8 + 4/12)^2) = 3.474, 0.3 in short
        pytest.param(-54.0, 4.0, 3.474, "short", id="arm-4-in-lower"),
    ],
)
def test_a06_the_distance_to_a_wire_up_and_aside_is_straight(
    pin_in: float, lower_in: float, slant_ft: float, verdict: str
) -> None:
    finding = slanting(pin_in=pin_in, lower_in=lower_in).the(NEARBY, "line-A", "near")
    assert finding.verdict == verdict
    assert finding.gap == pytest.approx(12 * slant_ft, abs=0.06)


def test_a06_as_drafted_it_is_3_9_in_short() -> None:
    finding = slanting().the(NEARBY, "line-A", "near")
    assert finding.spare == pytest.approx(-3.9, abs=SIXTEENTH_IN)
    lowest = slanting(lower_in=4.35).the(NEARBY, "line-A", "near")
    assert lowest.gap == pytest.approx(42.0, abs=SIXTEENTH_IN)


# A07: hot-day ceiling.


def under_a_warming_wire(hot_drop_ft: float) -> Checked:
    """A line wire 34.7 ft up, a wire across it read at 39.0 on a cool day."""
    return judged(
        job(
            MAIN,
            OTHER,
            *spans(),
            *pole(50),
            arm("line", 12 * 34.7 - 13.0),
            *pinned("line", "main", "south", {"A": -54.0}),
            *crossing(39.0, azimuth_deg=90.0, hot_drop_in=12 * hot_drop_ft),
        ),
        "house",
    )


def test_a07_a_gap_that_holds_on_a_cool_day_is_1_2_in_short_on_the_hottest() -> None:
    # 39.0 - 34.7 = 4.3 ft on the day; 39.0 - 0.9 - 34.7 = 3.4 ft at worst
    on_the_day = under_a_warming_wire(0.0).the(NEARBY, "line-A", "near")
    worst = under_a_warming_wire(0.9).the(NEARBY, "line-A", "near")
    assert (on_the_day.verdict, on_the_day.gap) == ("meets", pytest.approx(12 * 4.3))
    assert worst.verdict == "short"
    assert worst.spare == pytest.approx(-1.2, abs=SIXTEENTH_IN)


def test_a07_a_hot_drop_of_0_8_ft_is_just_held() -> None:
    # own numbers: 39.0 - 0.8 - 34.7 = 3.5
    assert under_a_warming_wire(0.8).the(NEARBY, "line-A", "near").verdict == "meets"
    more = under_a_warming_wire(0.8 + SIXTEENTH_IN / 12).the(NEARBY, "line-A", "near")
    assert more.verdict == "short"


def test_a07_a_hot_drop_does_not_help_a_wire_that_passes_over() -> None:
    # own numbers: our wire 2.0 ft over a wire at 32.7; that it may hang lower later is no help
    made = job(
        MAIN,
        OTHER,
        *spans(),
        *pole(50),
        arm("line", 12 * 34.7 - 13.0),
        *pinned("line", "main", "south", {"A": -54.0}),
        *crossing(32.7, azimuth_deg=90.0, hot_drop_in=24.0),
    )
    finding = judged(made, "house").the(NEARBY, "line-A", "near")
    assert (finding.verdict, finding.gap) == ("short", pytest.approx(24.0))


def test_a07_a_wire_that_comes_down_through_ours_on_a_hot_day_is_short() -> None:
    # own numbers: read 10 in above our wire, 5 ft lower at the hottest: at 10 in it is short
    # already, whatever it is at 50 in below
    made = job(
        MAIN,
        OTHER,
        *spans(),
        *pole(50),
        arm("line", 12 * 34.7 - 13.0),
        *pinned("line", "main", "south", {"A": -54.0}),
        *crossing(34.7 + 10 / 12, azimuth_deg=90.0, hot_drop_in=60.0),
    )
    assert judged(made, "house").the(NEARBY, "line-A", "near").verdict == "short"


# A08: the crossing is out in the span.

VERTICAL = """
[[rule]]
id = "mine.up-and-down"
title = "Wires kept under a neighbouring circuit, up and down"
measure = "vertical"
a = "wire"
b = "nearby wire"
need = [{ value = 3.5, unit = "ft" }]
source = { document = "a test", how_known = "house" }
"""


def crossed_in_span(
    *,
    credit: bool,
    out_ft: float = 12.0,
    span_ft: float = 150.0,
    sag_ft: float = 3.0,
    over_ft: float = 39.9,
    hot_sag_ft: float = 4.0,
) -> Job:
    """A wire 37.0 ft up at the pole, crossed `out_ft` from its pin by one at `over_ft`."""
    north_in = ARM_OUT_IN + 12 * out_ft
    return job(
        MAIN,
        OTHER,
        Span("north", "N", 0.0, 12 * span_ft, sag_in=12 * hot_sag_ft),
        *pole(50),
        arm("line", 12 * 37.0 - 13.0),
        *pinned("line", "main", "north", {"A": -54.0}, sag_cold_in=12 * sag_ft),
        NearbyWire("near", "West circuit", "other", 0.0, north_in, 90.0),
        Reading("near", "height", 12 * over_ft),
        settings=Settings(sag_credit=credit),
    )


def test_a08_without_the_credit_the_gap_is_as_at_the_pole(tmp_path: Path) -> None:
    # 39.9 - 37.0 = 2.9 ft, short 7.2 in
    book = written_book(tmp_path, VERTICAL)
    checked = judged(crossed_in_span(credit=False), "house", book)
    for rule in (NEARBY, "mine.up-and-down"):
        finding = checked.the(rule, "line-A", "near")
        assert finding.verdict == "short"
        assert finding.spare == pytest.approx(-7.2, abs=SIXTEENTH_IN)


def test_a08_with_the_credit_the_least_sag_counts(tmp_path: Path) -> None:
    # y = 4 x 3.0 x 12 x 138 / 150^2 = 0.883 ft: wire 36.117 there, gap 39.9 - 36.117 = 3.783 ft;
    # the hot sag of 4 ft would give 1.178 ft and is not what counts
    checked = judged(crossed_in_span(credit=True), written_book(tmp_path, VERTICAL))
    finding = checked.the("mine.up-and-down", "line-A", "near")
    assert finding.verdict == "meets"
    assert finding.gap == pytest.approx(12 * (39.9 - 37.0 + 0.8832), abs=SIXTEENTH_IN)


def test_a08_the_straight_distance_is_a_little_less_because_the_wire_slopes() -> None:
    # the least of sqrt(dy^2 + dz^2) over the parabola, sampled every 1/100 in
    finding = judged(crossed_in_span(credit=True), "house").the(NEARBY, "line-A", "near")
    sampled = min(
        math.hypot(y - 144.0, 34.8 + 4 * 36.0 * (y / 1800.0) * (1 - y / 1800.0))
        for y in (number / 100 for number in range(10_000, 20_000))
    )
    assert sampled == pytest.approx(12 * 3.7747, abs=0.01)
    assert finding.verdict == "meets"
    assert finding.gap == pytest.approx(sampled, abs=SIXTEENTH_IN)


def test_a08_with_another_span_the_credit_is_not_enough(tmp_path: Path) -> None:
    # own numbers: 200 ft, sag 2.0 ft, crossed 10 ft out: 4 x 2 x 10 x 190 / 200^2 = 0.38 ft;
    # 40.0 - 37.0 + 0.38 = 3.38 ft, short 1.44 in
    made = crossed_in_span(credit=True, out_ft=10.0, span_ft=200.0, sag_ft=2.0, over_ft=40.0)
    finding = judged(made, written_book(tmp_path, VERTICAL)).the(
        "mine.up-and-down", "line-A", "near"
    )
    assert finding.verdict == "short"
    assert finding.spare == pytest.approx(-1.44, abs=SIXTEENTH_IN)


def test_a08_a_wire_that_passes_over_is_taken_at_its_most_sag(tmp_path: Path) -> None:
    # own numbers: 4 ft of sag at the hottest takes 4 x 4 x 12 x 138 / 150^2 = 1.178 ft off a
    # wire 37.0 up that passes over one at 32.0: 5.0 - 1.178 = 3.822 ft, whatever is ticked
    for credit in (False, True):
        made = crossed_in_span(credit=credit, over_ft=32.0)
        finding = judged(made, written_book(tmp_path, VERTICAL)).the(
            "mine.up-and-down", "line-A", "near"
        )
        assert finding.gap == pytest.approx(12 * (5.0 - 1.1776), abs=SIXTEENTH_IN)


def test_a08_a_wire_that_sags_down_through_another_is_short(tmp_path: Path) -> None:
    # own numbers: 20 in over the other where it crosses at mid-span; 10 in of sag on a cold day
    # leaves 10 in, 6 ft of sag on a hot one hangs it 52 in under: short on the cold day
    made = crossed_in_span(
        credit=False, out_ft=74.5, sag_ft=10 / 12, hot_sag_ft=6.0, over_ft=37.0 - 20 / 12
    )
    finding = judged(made, written_book(tmp_path, VERTICAL)).the(
        "mine.up-and-down", "line-A", "near"
    )
    assert finding.verdict == "short"
