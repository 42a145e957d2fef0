"""Bodies and boxes that are to be kept clear, against points sampled all over the body."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from framer.geometry.clear import Bodies, out_of_boxes
from framer.geometry.scene import Array

HALF = np.array([4.0, 8.0, 15.0])
UPRIGHT = np.eye(3)


def turned(a: float, b: float, c: float) -> Array:
    """Three unit vectors square to each other."""
    made = np.eye(3)
    for axis, angle in enumerate((a, b, c)):
        turn = np.eye(3)
        one, two = [i for i in range(3) if i != axis]
        turn[one, one] = turn[two, two] = math.cos(angle)
        turn[one, two], turn[two, one] = -math.sin(angle), math.sin(angle)
        made = made @ turn
    return made


def gap(p: Array, q: Array, r: float, axes: Array, half: Array) -> float:
    """Of a body to the box of `HALF` about the origin."""
    bodies = Bodies(p[None], q[None], np.array([r]), axes[None], half[None])
    found, _, at_body, at_box = out_of_boxes(bodies, np.zeros((1, 3)), UPRIGHT[None], HALF[None])
    assert np.isfinite(at_body).all()
    assert np.isfinite(at_box).all()
    return float(found[0])


def of_box(centre: Array, axes: Array, half: Array) -> float:
    return gap(centre - axes[0] * half[0], centre + axes[0] * half[0], 0.0, axes, half)


def of_round(p: Array, q: Array, r: float) -> float:
    length = float(np.linalg.norm(q - p))
    axes, half = np.zeros((3, 3)), np.zeros(3)
    axes[0], half[0] = (q - p) / length, length / 2
    return gap(p, q, r, axes, half)


def outside(points: Array) -> float:
    """How far the nearest of some points stays out of the box; 0 for one inside."""
    return float(np.linalg.norm(np.maximum(np.abs(points) - HALF, 0.0), axis=1).min())


GRID = np.linspace(-1.0, 1.0, 17)
CUBE = np.stack(np.meshgrid(GRID, GRID, GRID), axis=-1).reshape(-1, 3)
ANGLE = st.floats(0.0, math.pi)
OFF = st.floats(-40.0, 40.0)
SIZE = st.floats(0.5, 12.0)


@given(
    angles=st.tuples(ANGLE, ANGLE, ANGLE),
    at=st.tuples(OFF, OFF, OFF),
    half=st.tuples(SIZE, SIZE, SIZE),
)
@settings(deadline=None, max_examples=200)
def test_a_box_is_never_said_to_be_farther_out_than_its_nearest_point(
    angles: tuple[float, float, float],
    at: tuple[float, float, float],
    half: tuple[float, float, float],
) -> None:
    axes, sizes = turned(*angles), np.array(half)
    points = np.array(at) + (CUBE * sizes) @ axes
    nearest = outside(points)
    found = of_box(np.array(at), axes, sizes)
    assert found <= nearest + 1e-6
    # and what overlaps is told from what does not, to within the grid of the samples
    step = float(np.linalg.norm(sizes)) / 8
    if nearest > step:
        assert found > 0.0
    if nearest == 0.0:
        assert found <= 1e-9


@given(at=st.tuples(OFF, OFF, OFF), to=st.tuples(OFF, OFF, OFF), r=st.floats(0.0, 3.0))
@settings(deadline=None, max_examples=200)
def test_a_thin_round_is_as_far_out_as_its_nearest_point_less_its_radius(
    at: tuple[float, float, float], to: tuple[float, float, float], r: float
) -> None:
    p, q = np.array(at), np.array(to)
    length = float(np.linalg.norm(q - p))
    if length < 1.0:
        return
    points = p + (q - p) * np.linspace(0.0, 1.0, 2001)[:, None]
    nearest = outside(points)
    thin = of_round(p, q, 0.0)
    if nearest > 0.1:
        assert thin == pytest.approx(nearest, abs=length / 2000)
    elif nearest == 0.0:
        assert thin <= 1e-9
    # a thick one is never nearer than its radius makes it, nor farther out than the thin one
    assert thin - r - 1e-9 <= of_round(p, q, r) <= thin + 1e-9


def test_the_move_that_frees_a_body_is_the_least_one() -> None:
    axes = UPRIGHT
    # 1 in into the side that is 4 in from the middle
    assert of_box(np.array([6.0, 0.0, 0.0]), axes, np.array([3.0, 2.0, 2.0])) == pytest.approx(-1.0)
    # a whole box within: 4 + 3 is less than any other way out
    assert of_box(np.zeros(3), axes, np.array([3.0, 2.0, 2.0])) == pytest.approx(-7.0)


def test_an_upright_round_is_flat_at_its_ends_and_round_at_its_side() -> None:
    low, high = np.array([0.0, 0.0, 17.0]), np.array([0.0, 0.0, 40.0])
    assert of_round(low, high, 3.0) == pytest.approx(2.0)
    # beyond an edge of the box: 3 and 4 make 5, less the radius
    aside = np.array([7.0, 12.0, 0.0])
    assert of_round(low * [1, 1, 0] + aside, high + aside, 3.0) == pytest.approx(2.0)
