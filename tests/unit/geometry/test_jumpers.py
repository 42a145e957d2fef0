"""The path a jumper is taken to have: its length, which way it bows, how it keeps off the pole."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from framer.geometry.jumpers import PIECES, JumperPath, jumper_path
from framer.geometry.space import Point
from framer.geometry.spot import Spots
from framer.model.job import Settings
from framer.model.line import Circuit, Join, JoinPlace, Span
from tests.build import job, pole, seat, wire


def path(a: Point, b: Point, bow: float = 15.0, dia_in: float = 10.0) -> JumperPath:
    """The path between two wires that rest at points, inches from the middle of the pole."""
    records = []
    for key, point in (("a", a), ("b", b)):
        out = math.hypot(*point[:2]) - dia_in / 2
        azimuth = math.degrees(math.atan2(point[0], point[1])) % 360.0
        records.append(seat(f"{key}-seat", point[2], out_in=out, faces_deg=azimuth))
        records.append(wire(key, "main", "north", f"{key}-seat"))
    made = job(
        Circuit("main", "Main"),
        Span("north", "pole 2", 0.0, 1800.0),
        *pole(55, dia_in=dia_in),
        *records,
        Join("hop", "a", "b", (JoinPlace("after", "jumper"),)),
        settings=Settings(jumper_bow_percent=bow),
    )
    return jumper_path(Spots(made, "framed"), made.joins[0])


away = st.floats(20.0, 100.0)
heights = st.floats(300.0, 500.0)
angles = st.floats(0.0, 2 * math.pi, exclude_max=True)


@given(away, angles, heights, away, angles, heights, st.sampled_from([0.0, 5.0, 15.0, 40.0]))
def test_a_path_is_longer_than_straight_by_its_bow_or_goes_round(
    r_a: float, t_a: float, z_a: float, r_b: float, t_b: float, z_b: float, bow: float
) -> None:
    a = (r_a * math.sin(t_a), r_a * math.cos(t_a), z_a)
    b = (r_b * math.sin(t_b), r_b * math.cos(t_b), z_b)
    assume(math.dist(a, b) > 1.0)
    found = path(a, b, bow)
    assert not found.missing
    assert found.points[0] == pytest.approx(a, abs=1e-6)
    assert found.points[-1] == pytest.approx(b, abs=1e-6)
    assert found.straight_in == pytest.approx(math.dist(a, b))
    along = sum(math.dist(p, q) for p, q in pairwise(found.points))
    assert found.length_in == pytest.approx(along)
    asked = found.straight_in * (1 + bow / 100)
    if found.goes_round:
        assert found.length_in >= asked - 1e-6
    else:
        assert found.length_in == pytest.approx(asked)
    for p, q in pairwise(found.points):
        for n in range(21):
            x, y = (u + (v - u) * n / 20 for u, v in zip(p[:2], q[:2], strict=True))
            assert math.hypot(x, y) > 4.98


def test_it_has_as_many_pieces_as_are_told() -> None:
    assert len(path((40.0, 0.0, 400.0), (40.0, 30.0, 380.0)).points) == PIECES + 1


def test_a_level_jumper_hangs_straight_down() -> None:
    # own: 40 in to the north along x = 40: middle at y = 0, lower
    found = path((40.0, -20.0, 400.0), (40.0, 20.0, 400.0))
    x, y, z = found.points[PIECES // 2]
    assert (x, y) == (pytest.approx(40.0), pytest.approx(0.0, abs=1e-9))
    assert z < 395.0


def test_an_upright_jumper_stands_out_from_the_pole() -> None:
    found = path((40.0, 0.0, 440.0), (40.0, 0.0, 400.0))
    x, y, z = found.points[PIECES // 2]
    assert x > 45.0
    assert (y, z) == (pytest.approx(0.0, abs=1e-9), pytest.approx(420.0))


def test_more_bow_is_deeper_and_none_is_straight() -> None:
    depths = [
        400.0 - path((40.0, -20.0, 400.0), (40.0, 20.0, 400.0), bow).points[PIECES // 2][2]
        for bow in (0.0, 5.0, 15.0, 60.0)
    ]
    assert depths[0] == pytest.approx(0.0, abs=1e-4)
    assert depths == sorted(depths)


def test_two_wires_on_one_point_have_no_way_between() -> None:
    found = path((40.0, 0.0, 400.0), (40.0, 0.0, 400.0))
    assert (found.straight_in, found.length_in, found.missing) == (0.0, 0.0, "")


def test_round_the_pole_it_keeps_off_by_half_its_thickness() -> None:
    # own: from 8 in north to 8 in south of a 10-in pole, wires of unknown size, 1 1/2 in thick
    found = path((0.0, 8.0, 400.0), (0.0, -8.0, 400.0))
    assert found.goes_round
    assert min(math.hypot(x, y) for x, y, _ in found.points) >= 5.75 - 1e-6
