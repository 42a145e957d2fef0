"""Guys, arms and handling loads against worked examples and exact catenaries."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from scipy.optimize import brentq

from framer.errors import FormulaError
from framer.mechanics.arm import overhang_moment, section_at_pin, section_level, section_upright
from framer.mechanics.guy import corner_pull, guy_load
from framer.mechanics.handling import frustum_weight
from framer.mechanics.sag import changed_tension, shared_tension
from framer.strength.held import Held
from framer.strength.loads import GuyOn
from framer.transfer.loads import load
from framer.transfer.spans import Pulling

RAVEN = {"weight": 0.1452 / 12.0, "area": 0.0968, "modulus": 11.5e6}
"""1/0 ACSR; modulus from memory."""


def level_pull(pulls: Sequence[tuple[float, float]], height: float, lead: float) -> float:
    """What a guy to the west takes of pulls to the east, each with its height [lbf]."""
    z = np.linspace(0.0, max(at for _, at in pulls), 200)
    moment = sum(lbf * np.maximum(at - z, 0.0) for lbf, at in pulls)
    guy = GuyOn("guy", "guy", height, -1.0, 0.0, lead, height, None)
    moments = np.stack([moment, np.zeros_like(z)], axis=1)[None]
    return float(Held([guy], z, None).pulls(moments)[0, 0])


def test_gonen_twelve_four() -> None:
    # 3,000 lb at 37.5 ft, 2,500 at 35.5; guy at 36.5, lead 15 (inputs read in the companion code)
    at_guy = level_pull([(3000.0, 450.0), (2500.0, 426.0)], 438.0, 180.0)
    load = guy_load(at_guy, 438.0, 180.0)
    assert at_guy == pytest.approx(5513.7, abs=0.05)
    assert load.vertical == pytest.approx(13_416.7, abs=0.1)
    assert load.tension == pytest.approx(14_505.4, abs=0.2)


@pytest.mark.parametrize(("degrees", "printed"), [(45.0, 1414.0), (70.0, 2924.0)])
def test_a_steeper_guy_carries_more(degrees: float, printed: float) -> None:
    # 1,000 lb sideways; published in print of a club (informal): 1,414 and 2,924
    load = guy_load(1000.0, 100.0 * math.tan(math.radians(degrees)), 100.0)
    assert load.tension == pytest.approx(printed, abs=0.5)


def test_a_lead_measured_on_site() -> None:
    # 3 x 1,500 lb at 37.4 ft and 900 at 29.4, guy at 35 ft, lead 18 ft: 5,565 and 12,170 lb
    at_guy = level_pull([(4500.0, 37.4 * 12.0), (900.0, 29.4 * 12.0)], 420.0, 216.0)
    assert at_guy == pytest.approx(5565.0, abs=1.0)
    assert guy_load(at_guy, 420.0, 216.0).tension == pytest.approx(12_170.0, abs=5.0)


def test_ground_that_falls_away_makes_the_guy_carry_more() -> None:
    level, lower, higher = (guy_load(1000.0, 400.0, 200.0, rise) for rise in (0.0, -48.0, 48.0))
    assert higher.tension < level.tension < lower.tension


def test_side_pull_of_an_angle() -> None:
    # 10 degrees at 876 lb: 152.7 lb; 2 x 1,800 lb at 20 degrees: the textbook 2 T sin(a/2)
    assert corner_pull(876.0, math.radians(10.0)) == pytest.approx(152.7, abs=0.05)


def pull_of_two_catenaries(rise: float, spans: tuple[float, float], tension: float) -> float:
    """What two exact catenaries pull down on a support `rise` above both neighbours [lbf]."""
    weight = RAVEN["weight"]
    total = 0.0
    for span in spans:
        c = tension / weight

        def difference(low: float, c: float = c, span: float = span) -> float:
            return c * (math.cosh((span - low) / c) - math.cosh(low / c)) + rise

        low = brentq(difference, -40.0 * span, 40.0 * span)
        total += tension * math.sinh(low / c)
    return total


@pytest.mark.parametrize(("rise_ft", "lbf"), [(0.0, 27.6), (2.0, 46.1), (5.0, 73.8), (-2.0, 9.1)])
def test_lifting_a_wire(rise_ft: float, lbf: float) -> None:
    spans = (2400.0, 2160.0)
    north, south = (Pulling(0.0, way, -12.0 * rise_ft, RAVEN["weight"], 876.0, 876.0)
                    for way in (spans[0], -spans[1]))  # fmt: skip
    ours = load([north, south]).up_lbf
    assert ours == pytest.approx(lbf, abs=0.05)
    assert ours == pytest.approx(pull_of_two_catenaries(12.0 * rise_ft, spans, 876.0), rel=0.0005)


@pytest.mark.parametrize(
    ("rise_ft", "lbf"), [(1.0, 888.0), (2.0, 926.0), (3.0, 990.0), (5.0, 1200.0)]
)
def test_tied_neighbours_raise_the_tension(rise_ft: float, lbf: float) -> None:
    # Raven, 200 ft, 876 lb, worked with the exact length of wire
    stiffness = RAVEN["area"] * RAVEN["modulus"]
    longer = math.hypot(2400.0, 12.0 * rise_ft) - 2400.0
    ours = shared_tension([(876.0, 2400.0, RAVEN["weight"], stiffness)], longer)
    assert ours == pytest.approx(lbf, rel=0.01)


@pytest.mark.parametrize("rise_ft", [0.0, 1.0, 2.5, 3.0])
def test_a_wire_through_two_spans_has_one_tension(rise_ft: float) -> None:
    # exact: unstretched wire in both catenaries as before, found again by Brent's method
    spans, weight, before = (1800.0, 1560.0), 0.463 / 12.0, 1200.0
    stiffness = 11.2e6 * 0.3072
    chords = [math.hypot(span, 12.0 * rise_ft) for span in spans]

    def unstretched(lengths: Sequence[float], tension: float) -> float:
        c = tension / weight
        hung = sum(2.0 * c * math.sinh(one / (2.0 * c)) for one in lengths)
        return hung / (1.0 + tension / stiffness)

    whole = unstretched(spans, before)
    exact = brentq(lambda tension: unstretched(chords, tension) - whole, 100.0, 20_000.0)
    longer = sum(chords) - sum(spans)
    parts = [(before, span, weight, stiffness) for span in spans]
    assert shared_tension(parts, longer) == pytest.approx(exact, rel=0.001)


def test_of_one_span_the_shared_tension_is_the_tied_one() -> None:
    longer = math.hypot(2400.0, 36.0) - 2400.0
    stiffness = RAVEN["area"] * RAVEN["modulus"]
    one = shared_tension([(876.0, 2400.0, RAVEN["weight"], stiffness)], longer)
    drawn = changed_tension(876.0, 2400.0, (RAVEN["weight"],) * 2, stiffness, 1.0, -longer / 2400.0)
    assert one == pytest.approx(drawn, rel=1e-9)


def test_the_piece_sawn_off_an_old_pole() -> None:
    # 8 ft, 8.5 in in the middle, 60 lb/ft3: 189.2 lb as a cylinder; a cone of that middle is a
    # little heavier
    cylinder = frustum_weight(96.0, 8.5, 8.5, 60.0 / 1728.0)
    assert cylinder == pytest.approx(189.2, abs=0.1)
    assert cylinder < frustum_weight(96.0, 8.0, 9.0, 60.0 / 1728.0) < 1.01 * cylinder


@pytest.mark.parametrize(
    ("width", "depth", "gross", "bolt", "pin", "level", "level_bolt"),
    [
        # sections of arms in print of a maker's drawing, holes 11/16 in (worked from its sizes)
        (3.75, 4.75, 14.1, 14.06, 11.52, 11.13, 9.52),
        (3.75, 5.75, 20.66, 20.63, 16.88, 13.48, 11.87),
        (4.75, 5.75, 26.17, 26.13, 22.39, 21.62, 19.04),
    ],
)
def test_sections_of_arms(
    width: float, depth: float, gross: float, bolt: float, pin: float, level: float,
    level_bolt: float,
) -> None:  # fmt: skip
    hole = 0.6875
    assert section_upright(width, depth) == pytest.approx(gross, abs=0.01)
    assert section_upright(width, depth, hole) == pytest.approx(bolt, abs=0.01)
    assert section_at_pin(width, depth, hole) == pytest.approx(pin, abs=0.01)
    assert section_level(width, depth) == pytest.approx(level, abs=0.01)
    assert section_level(width, depth, hole) == pytest.approx(level_bolt, abs=0.01)


def test_a_person_at_the_end_of_an_arm() -> None:
    # GO 95 Rule 46: 300 lb; 3-1/4 x 4-1/4 in arm, lever 46 in: 1,150 ft lb, 1,410 psi and with the
    # bolt hole 1,416
    moment = overhang_moment([(300.0, 46.0)], 0.0)
    assert moment / 12.0 == pytest.approx(1150.0)
    assert moment / section_upright(3.25, 4.25) == pytest.approx(1410.0, abs=1.0)
    assert moment / section_upright(3.25, 4.25, 0.6875) == pytest.approx(1416.0, abs=1.0)


@pytest.mark.parametrize(
    "bad",
    [
        lambda: guy_load(1000.0, 400.0, 0.0),
        lambda: guy_load(1000.0, 40.0, 100.0, 40.0),
        lambda: section_at_pin(3.0, 4.0, 3.0),
    ],
)
def test_what_makes_no_sense_is_said(bad: object) -> None:
    with pytest.raises(FormulaError):
        bad()  # type: ignore[operator]
