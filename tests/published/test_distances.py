"""Distances and squares against shapely in the plane, and against fine sampling in space."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.affinity import rotate
from shapely.geometry import LineString, Point, Polygon, box

from framer.geometry.distance import along, closest, to_box, to_cylinder
from framer.geometry.scene import Run
from framer.geometry.squares import LARGEST_IN, Beside, largest_clear_squares

Array = NDArray[np.float64]

COUNT = 400
SAMPLES = 4001
SEED = 20240521


@pytest.fixture
def random() -> np.random.Generator:
    return np.random.default_rng(SEED)


def _flat(points: Array) -> Array:
    return np.column_stack([points, np.zeros(len(points))])


def _plane(random: np.random.Generator) -> Array:
    """Points in the plane z = 0; every tenth on a grid, for parallel and touching segments."""
    points = random.uniform(-100.0, 100.0, (COUNT, 2))
    points[::10] = np.round(points[::10] / 25.0) * 25.0
    return _flat(points)


def _lines(p: Array, q: Array) -> NDArray[np.object_]:
    return shapely.linestrings(np.stack([p[:, :2], q[:, :2]], axis=1))


def _sampled(p: Array, q: Array, distance: Callable[[Array], Array]) -> Array:
    """The least distance over fine samples of each segment: never less than the true one."""
    least = np.full(len(p), np.inf)
    for fraction in np.linspace(0.0, 1.0, SAMPLES):
        least = np.minimum(least, distance(p + (q - p) * fraction))
    return least


def _grain(p: Array, q: Array) -> Array:
    """How much too far a sampled distance can be: half the way between two samples."""
    return np.linalg.norm(q - p, axis=1) / (SAMPLES - 1) / 2.0 + 1e-9


def test_segments_in_a_plane_are_as_far_apart_as_shapely_says(
    random: np.random.Generator,
) -> None:
    p1, q1, p2, q2 = (_plane(random) for _ in range(4))
    s, t = closest(p1, q1, p2, q2)
    gap = np.linalg.norm(along(p1, q1, s) - along(p2, q2, t), axis=1)
    assert gap == pytest.approx(shapely.distance(_lines(p1, q1), _lines(p2, q2)), abs=1e-9)


def test_parallel_and_pointlike_segments_are_as_far_apart_as_shapely_says(
    random: np.random.Generator,
) -> None:
    p1, q1, shift = _plane(random), _plane(random), _plane(random)
    stretch = random.uniform(-1.5, 1.5, COUNT)[:, None]
    p2, q2 = p1 + shift, p1 + shift + (q1 - p1) * stretch
    q2[::7] = p2[::7]
    s, t = closest(p1, q1, p2, q2)
    gap = np.linalg.norm(along(p1, q1, s) - along(p2, q2, t), axis=1)
    assert gap == pytest.approx(shapely.distance(_lines(p1, q1), _lines(p2, q2)), abs=1e-7)


def test_segments_in_space_are_never_farther_apart_than_samples_of_them(
    random: np.random.Generator,
) -> None:
    p1, q1, p2, q2 = (random.uniform(-100.0, 100.0, (60, 3)) for _ in range(4))
    s, t = closest(p1, q1, p2, q2)
    gap = np.linalg.norm(along(p1, q1, s) - along(p2, q2, t), axis=1)

    def to_other(at: Array) -> Array:
        d = q2 - p2
        fraction = np.einsum("ij,ij->i", at - p2, d) / np.einsum("ij,ij->i", d, d)
        foot = p2 + d * np.clip(fraction, 0.0, 1.0)[:, None]
        return np.linalg.norm(at - foot, axis=1)

    sampled = _sampled(p1, q1, to_other)
    assert np.all(gap <= sampled + 1e-9)
    assert np.all(sampled - gap <= _grain(p1, q1))


def test_a_segment_in_the_plane_of_a_turned_box_is_as_far_as_shapely_says(
    random: np.random.Generator,
) -> None:
    p, q = _plane(random), _plane(random)
    middle = _plane(random)
    angle = random.uniform(0.0, 2 * math.pi, COUNT)
    angle[::4] = 0.0
    cos, sin, none, one = np.cos(angle), np.sin(angle), np.zeros(COUNT), np.ones(COUNT)
    axes = np.stack(
        [
            np.stack([cos, sin, none], axis=1),
            np.stack([-sin, cos, none], axis=1),
            np.stack([none, none, one], axis=1),
        ],
        axis=1,
    )
    half = np.column_stack([random.uniform(1, 60, COUNT), random.uniform(1, 9, COUNT), one])
    gap, fraction, nearest = to_box(p, q, middle, axes, half)
    for row in range(COUNT):
        x, y = middle[row, :2]
        a, b = half[row, :2]
        outline = rotate(
            box(x - a, y - b, x + a, y + b), angle[row], origin=(x, y), use_radians=True
        )
        line = LineString([p[row, :2], q[row, :2]])
        assert gap[row] == pytest.approx(outline.distance(line), abs=1e-9)
        at = p[row] + (q[row] - p[row]) * fraction[row]
        assert math.dist(at, nearest[row]) == pytest.approx(gap[row], abs=1e-9)
        assert outline.distance(Point(nearest[row, :2])) < 1e-9


def test_a_segment_in_space_is_never_farther_from_a_box_than_samples_of_it(
    random: np.random.Generator,
) -> None:
    count = 60
    p, q = (random.uniform(-80.0, 80.0, (count, 3)) for _ in range(2))
    middle = random.uniform(-20.0, 20.0, (count, 3))
    axes = np.stack([np.linalg.qr(random.normal(size=(3, 3)))[0] for _ in range(count)])
    half = random.uniform(0.5, 30.0, (count, 3))
    gap, _, _ = to_box(p, q, middle, axes, half)

    def outside(at: Array) -> Array:
        local = np.einsum("nij,nj->ni", axes, at - middle)
        return np.linalg.norm(np.maximum(np.abs(local) - half, 0.0), axis=1)

    sampled = _sampled(p, q, outside)
    assert np.all(gap <= sampled + 1e-9)
    assert np.all(sampled - gap <= _grain(p, q))


def test_a_level_segment_is_as_far_from_an_upright_cylinder_as_shapely_says_of_its_circle(
    random: np.random.Generator,
) -> None:
    p, q, axis = _plane(random), _plane(random), _plane(random)
    radius = random.uniform(1.0, 12.0, COUNT)
    up = np.array([0.0, 0.0, 500.0])
    gap, _, nearest = to_cylinder(p, q, axis - up, axis + up, radius, radius)
    to_axis = shapely.distance(_lines(p, q), shapely.points(axis[:, :2]))
    assert gap == pytest.approx(np.maximum(to_axis - radius, 0.0), abs=1e-9)
    on_rim = np.linalg.norm((nearest - axis)[:, :2], axis=1)
    assert on_rim[gap > 0] == pytest.approx(radius[gap > 0], abs=1e-9)


def test_a_segment_in_the_plane_of_a_lying_cylinder_is_as_far_as_shapely_says_of_its_outline(
    random: np.random.Generator,
) -> None:
    p, q, base, top = (_plane(random) for _ in range(4))
    long_enough = np.linalg.norm(top - base, axis=1) > 1.0
    p, q, base, top = (points[long_enough] for points in (p, q, base, top))
    radius = random.uniform(0.1, 12.0, len(p))
    gap, _, _ = to_cylinder(p, q, base, top, radius, radius)
    for row in range(len(p)):
        run = top[row] - base[row]
        side = np.array([-run[1], run[0]]) / np.linalg.norm(run) * radius[row]
        low, high = base[row, :2], top[row, :2]
        outline = Polygon([low + side, high + side, high - side, low - side])
        line = LineString([p[row, :2], q[row, :2]])
        assert gap[row] == pytest.approx(outline.distance(line), abs=1e-6)


def test_a_segment_in_space_is_never_farther_from_a_cylinder_than_samples_of_it(
    random: np.random.Generator,
) -> None:
    count = 60
    p, q, base, top = (random.uniform(-80.0, 80.0, (count, 3)) for _ in range(4))
    radius = random.uniform(0.5, 15.0, count)
    gap, _, _ = to_cylinder(p, q, base, top, radius, radius)
    length = np.linalg.norm(top - base, axis=1)
    unit = (top - base) / length[:, None]

    def outside(at: Array) -> Array:
        up = np.einsum("ij,ij->i", at - base, unit)
        radial = np.linalg.norm(at - base - unit * up[:, None], axis=1)
        past = np.maximum(np.maximum(-up, up - length), 0.0)
        return np.hypot(np.maximum(radial - radius, 0.0), past)

    sampled = _sampled(p, q, outside)
    assert np.all(gap <= sampled + 1e-6)
    assert np.all(sampled - gap <= _grain(p, q) + 1e-6)


def test_a_tapered_pole_is_as_near_as_its_own_surface_to_a_hundredth_of_an_inch(
    random: np.random.Generator,
) -> None:
    # a 40-ft pole of girths 33.5 in and 21 in (class 4 southern pine, handbook.sref.info, READ)
    count, length = 60, 480.0
    r_base, r_top = 33.5 / (2 * math.pi), 21.0 / (2 * math.pi)
    base, top = np.zeros((count, 3)), np.tile([0.0, 0.0, length], (count, 1))
    level = random.uniform(20.0, 460.0, count)
    p = np.column_stack([random.uniform(-90, 90, count), random.uniform(-90, 90, count), level])
    q = np.column_stack(
        [random.uniform(-90, 90, count), random.uniform(-90, 90, count), level + 5.0]
    )
    gap, _, _ = to_cylinder(p, q, base, top, np.full(count, r_base), np.full(count, r_top))
    slope = math.atan((r_base - r_top) / length)

    def outside(at: Array) -> Array:
        radius = r_base + (r_top - r_base) * at[:, 2] / length
        level_gap = np.hypot(at[:, 0], at[:, 1]) - radius
        return np.maximum(level_gap, 0.0) * math.cos(slope)

    assert gap == pytest.approx(_sampled(p, q, outside), abs=0.01 + _grain(p, q).max())


def _largest_by_shapely(wires: list[tuple[tuple[float, float], tuple[float, float]]]) -> float:
    """Grows each quadrant's and each side's square by halving until a wire is inside."""
    lines = [LineString(ends) for ends in wires]

    def is_clear(square: Polygon) -> bool:
        return not any(line.relate_pattern(square, "T********") for line in lines)

    families: list[Callable[[float], Polygon]] = []
    for quarter in range(4):

        def quadrant(size: float, turn: int = 90 * quarter) -> Polygon:
            return rotate(box(0.0, 0.0, size, size), turn, origin=(0.0, 0.0))

        def side(size: float, turn: int = 90 * quarter) -> Polygon:
            return rotate(box(-size / 2, 0.0, size / 2, size), turn, origin=(0.0, 0.0))

        families += [quadrant, side]
    best = 0.0
    for family in families:
        low, high = 0.0, LARGEST_IN
        if is_clear(family(high)):
            return LARGEST_IN
        while high - low > 1e-7:
            middle = (low + high) / 2
            low, high = (middle, high) if is_clear(family(middle)) else (low, middle)
        best = max(best, low)
    return best


def test_the_largest_clear_square_is_the_one_found_by_growing_shapely_polygons(
    random: np.random.Generator,
) -> None:
    for _ in range(40):
        ends = random.uniform(-90.0, 90.0, (random.integers(1, 7), 2, 2))
        wires = [((a[0], a[1]), (b[0], b[1])) for a, b in ends.tolist()]
        runs = [Run((*a, 0.0), (*b, 0.0), 0.2) for a, b in wires]
        [(size, _)] = largest_clear_squares([Beside((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), runs)])
        assert size == pytest.approx(_largest_by_shapely(wires), abs=1e-5)


def test_the_largest_clear_square_turns_with_the_arms_and_moves_with_the_pole(
    random: np.random.Generator,
) -> None:
    for _ in range(20):
        ends = random.uniform(-90.0, 90.0, (random.integers(2, 7), 2, 2))
        plain = [((a[0], a[1]), (b[0], b[1])) for a, b in ends.tolist()]
        degrees = float(random.uniform(0.0, 360.0))
        runs = []
        for a, b in plain:
            turned = rotate(LineString([a, b]), degrees, origin=(0.0, 0.0))
            (x0, y0), (x1, y1) = turned.coords
            runs.append(Run((x0 + 300.0, y0 - 40.0, 0.0), (x1 + 300.0, y1 - 40.0, 0.0), 0.2))
        radians = math.radians(degrees)
        arm = (math.cos(radians), math.sin(radians), 0.0)
        [(size, _)] = largest_clear_squares([Beside((300.0, -40.0, 0.0), arm, runs)])
        assert size == pytest.approx(_largest_by_shapely(plain), abs=1e-5)


def test_wires_30_in_off_on_all_four_sides_leave_a_square_of_30_in() -> None:
    # a 60 x 60 in box of wires around the pole: a quadrant has 30 x 30 in, and so has a side
    corners = [(-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0)]
    runs = [
        Run((*a, 0.0), (*b, 0.0), 0.2)
        for a, b in zip(corners, corners[1:] + corners[:1], strict=True)
    ]
    [(size, corner)] = largest_clear_squares([Beside((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), runs)])
    assert size == pytest.approx(30.0)
    assert max(abs(corner[0]), abs(corner[1])) == pytest.approx(30.0)
