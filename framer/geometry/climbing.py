"""Columns of room beside a pole: what of the scene lies in them, in plan, band by band of height.

A column is a square in plan that stands up along a pole. Four are sides (the middle of one edge
is on the pole's centre line), four are quadrants (a corner is there). They lie along and square
to the pole's topmost arm; by the compass where the pole has no arm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from framer.geometry.scene import Array, Box, Part, Run, Scene, Shape, Tag, Tube
from framer.geometry.space import Point, azimuth_of, toward

LARGEST_IN = 96.0
"""No square is looked for beyond this."""

COLUMNS = 8
_HAIR_IN = 1e-6
_ARM = int(Tag.ARM)
_FAR_IN = 6_000.0
_CORNERS = 16
"""A round is taken as a figure of so many sides around it, true to size along the columns."""

_QUARTER = np.repeat(np.arange(4), 2)
_WEIGHT = np.tile((2.0, 1.0), 4)
_LOW = np.tile((-np.inf, _HAIR_IN), 4)
"""Of every column: its quarter turn, and what sets a side and a quadrant apart; see `_touched`."""


class Frame(NamedTuple):
    """Where the columns of a pole stand: its centre line in plan, and two level directions.

    `out` is the way the topmost arm faces, `right` 90 degrees clockwise of it.
    """

    centre: tuple[float, float]
    out: tuple[float, float]
    right: tuple[float, float]

    def azimuth_deg(self, column: int) -> float:
        """The compass direction of a column: of its middle line, or of its far corner."""
        return (azimuth_of((*self.out, 0.0)) + 45.0 * column) % 360.0

    def local(self, points: Array, column: int = 0) -> Array:
        """Plan points (..., 2) as a column sees them: rightward and outward."""
        right, out = self._ways(column)
        seen: Array = (points - np.array(self.centre)) @ np.array([right, out]).T
        return seen

    def plan(self, points: Array, column: int = 0) -> Array:
        """Rightward and outward points of a column (..., 2), in plan: the way back of `local`."""
        right, out = self._ways(column)
        placed: Array = points @ np.array([right, out]) + np.array(self.centre)
        return placed

    def square(self, column: int, width_in: float) -> tuple[tuple[float, float], ...]:
        """The corners in plan of a column of some width, in order."""
        left = -width_in / 2 if is_side(column) else 0.0
        right = left + width_in
        corners = np.array([(left, 0.0), (right, 0.0), (right, width_in), (left, width_in)])
        return tuple((float(x), float(y)) for x, y in self.plan(corners, column))

    def _ways(self, column: int) -> tuple[tuple[float, float], tuple[float, float]]:
        """The ways rightward and outward of a column."""
        quarter = column // 2
        turned = (self.out, self.right, _minus(self.out), _minus(self.right))
        return turned[(quarter + 1) % 4], turned[quarter]


def _minus(way: tuple[float, float]) -> tuple[float, float]:
    return (-way[0], -way[1])


def is_side(column: int) -> bool:
    """Whether a column is a side; else it is a quadrant."""
    return column % 2 == 0


def frame_of(scene: Scene, pole: str) -> Frame:
    """The frame of a pole's columns at its ground line."""
    arms = [
        part.shape
        for part in scene.parts
        if part.tags & _ARM and part.pole == pole and isinstance(part.shape, Box)
    ]
    east, north, _ = scene.poles[pole].foot
    if not arms:
        return Frame((east, north), (0.0, 1.0), (1.0, 0.0))
    top = max(arms, key=lambda box: box.centre[2])
    return Frame((east, north), (top.v[0], top.v[1]), (top.u[0], top.u[1]))


def frame_at(scene: Scene, pole: str, frame: Frame, height_in: float) -> Frame:
    """A pole's frame at a height above its foot, where a leaning pole stands beside it."""
    solid = scene.poles[pole]
    east, north, _ = solid.point(height_in / solid.rise)
    return frame._replace(centre=(east, north))


class Outline(NamedTuple):
    """What a part covers in plan, and from and to which height (from the job datum).

    `points` are the corners of a figure without dents, in order; one is a point, two a line.
    `slants`: it covers less where only a band of its height is looked at.
    """

    part: int
    points: Array
    low: float
    high: float
    slants: bool = False


def outline(
    scene: Scene, number: int, frame: Frame, *, thick: bool, thin: bool = False
) -> Outline | None:
    """The outline of a whole part; `None` where its place is not known.

    A wire is as high as its support, and lies straight from there to its far end; with `thick` it
    is as thick as it is, else its centre line. With `thin` anything is its centre line in plan.
    """
    shape = scene.parts[number].shape
    if thin and shape is not None:
        return _middle_line(number, shape)
    if isinstance(shape, Run):
        return Outline(number, _strip(shape, thick=thick), shape.p[2], shape.p[2])
    if isinstance(shape, Box):
        if abs(shape.w[2]) > 1.0 - _HAIR_IN:
            up, points = shape.half[2], _upright(shape)
        else:
            axes = zip((shape.u, shape.v, shape.w), shape.half, strict=True)
            up, points = sum(abs(axis[2]) * half for axis, half in axes), _hull(_corners(shape))
        return Outline(number, points, shape.centre[2] - up, shape.centre[2] + up)
    if shape is None:
        return None
    lying = _lying(shape)
    radius = max(shape.r_p, shape.r_q)
    low, high = sorted((shape.p[2], shape.q[2]))
    level = math.dist(shape.p[:2], shape.q[:2]) <= _HAIR_IN
    points = _swept(shape.p, shape.q, radius, frame)
    slants = not level and high - low > _HAIR_IN
    return Outline(number, points, low - lying, high + lying, slants)


def _middle_line(number: int, shape: Shape) -> Outline:
    """The line from one end of a part to the other, as high as the part is."""
    if isinstance(shape, Box):
        up = sum(
            abs(axis[2]) * half
            for axis, half in zip((shape.u, shape.v, shape.w), shape.half, strict=True)
        )
        low, high = shape.centre[2] - up, shape.centre[2] + up
    else:
        up = _lying(shape) if isinstance(shape, Tube) else 0.0
        low, high = min(shape.p[2], shape.q[2]) - up, max(shape.p[2], shape.q[2]) + up
        if isinstance(shape, Run):
            low = high = shape.p[2]
    level = math.dist(shape.p[:2], shape.q[:2]) <= _HAIR_IN
    points = np.array([shape.p[:2]] if level else [shape.p[:2], shape.q[:2]])
    return Outline(number, points, low, high)


def cut_to(scene: Scene, whole: Outline, frame: Frame, low: float, high: float) -> Outline:
    """The outline of what of a part is within a band of height that it reaches into."""
    shape = scene.parts[whole.part].shape
    points = whole.points
    if whole.slants and isinstance(shape, Tube) and (whole.low < low or whole.high > high):
        lying, (p, q) = _lying(shape), (shape.p, shape.q)
        rise = q[2] - p[2]
        s, t = sorted(((low - lying - p[2]) / rise, (high + lying - p[2]) / rise))
        ends = [
            (p[0] + (q[0] - p[0]) * at, p[1] + (q[1] - p[1]) * at, 0.0)
            for at in (max(s, 0.0), min(t, 1.0))
        ]
        points = _swept(ends[0], ends[1], max(shape.r_p, shape.r_q), frame)
    return whole._replace(points=points, low=max(whole.low, low), high=min(whole.high, high))


def reaching(under: Array, over: Array, low: float, high: float) -> NDArray[np.bool_]:
    """Which heights, from and to, reach into a band; those that only touch its ends do not."""
    into: NDArray[np.bool_] = (over > low + _HAIR_IN) & (under < high - _HAIR_IN)
    return into


def _lying(shape: Tube) -> float:
    """How far a round reaches over and under its centre line: as thick as it lies down."""
    length = math.dist(shape.p, shape.q)
    aside = math.dist(shape.p[:2], shape.q[:2])
    return max(shape.r_p, shape.r_q) * (aside / length if length > 0.0 else 1.0)


_TURN = (np.arange(_CORNERS) + 0.5) * (2.0 * math.pi / _CORNERS)
_RING = np.column_stack([np.cos(_TURN), np.sin(_TURN)]) / math.cos(math.pi / _CORNERS)
_FACING = np.column_stack([np.cos(_TURN), np.sin(_TURN)]) + np.column_stack(
    [np.cos(_TURN + 2.0 * math.pi / _CORNERS), np.sin(_TURN + 2.0 * math.pi / _CORNERS)]
)
"""Corners of a figure around a round of 1 in, and the way the edge after each corner faces."""


@lru_cache(maxsize=8_192)
def _swept(p: Point, q: Point, radius: float, frame: Frame) -> Array:
    """A line in plan, or a round along it, as corners; kept, as little moves from step to step."""
    off = (q[0] - p[0], q[1] - p[1])
    level = max(abs(off[0]), abs(off[1])) <= _HAIR_IN
    if radius <= 0.0:
        return np.array([p[:2]] if level else [p[:2], q[:2]])
    ways = np.array((frame.right, frame.out))
    ring: Array = _RING @ (ways * radius) + p[:2]
    if level:
        return ring
    # every edge that faces the way it is swept goes along, and takes its corners with it
    along = _FACING @ ways @ np.array(off) > 0.0
    both = np.repeat(np.arange(_CORNERS), 2)
    both[1::2] += 1
    swept: Array = ring[both % _CORNERS] + np.repeat(along, 2)[:, None] * np.array(off)
    return swept


def line_in_plan(through: tuple[float, float], azimuth_deg: float) -> Outline:
    """A long straight line of no known height through a plan point."""
    east, north, _ = toward(azimuth_deg)
    x, y = through
    ends = [(x + way * east, y + way * north) for way in (-_FAR_IN, _FAR_IN)]
    return Outline(-1, np.array(ends), -math.inf, math.inf)


def _strip(run: Run, *, thick: bool) -> Array:
    """A wire in plan: a line, or a strip as wide as it is thick and as much longer at its ends."""
    (x, y), (x_q, y_q) = run.p[:2], run.q[:2]
    length = math.hypot(x_q - x, y_q - y)
    if not thick or run.r <= 0.0 or length <= _HAIR_IN:
        return np.array([(x, y), (x_q, y_q)])
    u, v = (x_q - x) / length * run.r, (y_q - y) / length * run.r
    return np.array(
        [(x - u - v, y - v + u), (x - u + v, y - v - u), (x_q + u + v, y_q + v - u),
         (x_q + u - v, y_q + v + u)]
    )  # fmt: skip


def _upright(box: Box) -> Array:
    x, y = (
        (axis[0] * half, axis[1] * half)
        for axis, half in ((box.u, box.half[0]), (box.v, box.half[1]))
    )
    return np.array([
        (box.centre[0] + a * x[0] + b * y[0], box.centre[1] + a * x[1] + b * y[1])
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ])  # fmt: skip


def _corners(box: Box) -> Array:
    axes = np.array([box.u[:2], box.v[:2], box.w[:2]]) * np.array(box.half)[:, None]
    signs = np.array(np.meshgrid((-1, 1), (-1, 1), (-1, 1))).reshape(3, -1).T
    corners: Array = np.array(box.centre[:2]) + signs @ axes
    return corners


def _hull(points: Array) -> Array:
    """The corners of the least figure without dents around points, in order."""
    far = sorted({(round(x, 9), round(y, 9)) for x, y in points.tolist()})
    if len(far) < 3:
        return np.array(far)
    halves = []
    for way in (far, far[::-1]):
        half: list[tuple[float, float]] = []
        for point in way:
            while len(half) > 1 and _turn(half[-2], half[-1], point) <= 0.0:
                half.pop()
            half.append(point)
        halves.append(half[:-1])
    return np.array(halves[0] + halves[1])


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def sizes_when_touched(
    places: Sequence[tuple[Frame, Sequence[Outline]]], aside_in: float = 0.0
) -> Array:
    """The size at which each column's growing square first touches each outline; inches.

    Outlines of all places in order, columns. `aside_in` moves every column that far rightward.
    """
    sizes = [len(outline.points) for _, lying in places for outline in lying]
    if not sizes:
        return np.full((0, COLUMNS), LARGEST_IN)
    ends: NDArray[np.int64] = np.cumsum(sizes)
    starts: NDArray[np.int64] = ends - np.array(sizes)
    p = np.concatenate([
        frame.local(np.concatenate([outline.points for outline in lying]))
        for frame, lying in places
        if lying
    ])  # fmt: skip
    after = np.arange(1, len(p) + 1)
    after[ends - 1] = starts
    q = p[after]
    least: Array = np.minimum.reduceat(_touched(p, q, aside_in), starts, axis=0)
    for number in _about_the_middle(p, q, starts):
        # room that begins inside a figure, or on its edge, is none: no edge of it tells
        points = p[starts[number] : ends[number]]
        least[number, [_begins_in(points, column) for column in range(COLUMNS)]] = 0.0
    return least


def _about_the_middle(p: Array, q: Array, starts: NDArray[np.int64]) -> list[int]:
    """Numbers of the figures that have the pole's centre line in them or on their edge."""
    along = q - p
    length = np.hypot(along[:, 0], along[:, 1])
    turn = p[:, 0] * along[:, 1] - p[:, 1] * along[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        off = np.where(length > _HAIR_IN, turn / length, np.nan)
    under, over = np.fmin.reduceat(off, starts), np.fmax.reduceat(off, starts)
    within = ((under > -_HAIR_IN) & (over > _HAIR_IN)) | ((over < _HAIR_IN) & (under < -_HAIR_IN))
    return [int(number) for number in np.nonzero(within)[0]]


def _begins_in(points: Array, column: int) -> bool:
    """Whether a figure about the pole's centre line covers where a column begins."""
    right, out = _seen(points, 0.0)
    corners = np.column_stack([right[:, column], out[:, column]])
    cut = _cut(corners.tolist(), 1, 0.0, 1.0)
    if not is_side(column):
        cut = _cut(cut, 0, 0.0, 1.0)
    if len(cut) < 3:
        return False
    x, y = np.array(cut).T
    area = abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))))
    return area > _HAIR_IN


def _touched(p: Array, q: Array, aside_in: float) -> Array:
    """The size at which each column's growing square first touches each line; lines, columns.

    The square of size s holds the points with 0 < y < s and, in a quadrant, 0 < x < s (weight 1),
    at a side |x| < s / 2 (weight 2). A point is touched at s = max(weight |x|, y), which along a
    line has its least value at an end of what is inside or where two of its pieces meet.
    """
    x, y = _seen(p, aside_in)
    x_q, y_q = _seen(q, aside_in)
    dx, dy = (np.where(np.abs(off) > _HAIR_IN**2, off, 0.0) for off in (x_q - x, y_q - y))
    start, end = np.zeros_like(x), np.ones_like(x)
    inside = np.ones_like(x, dtype=bool)
    with np.errstate(divide="ignore", invalid="ignore"):
        for value, change, low in ((y, dy, _HAIR_IN), (x, dx, _LOW)):
            cut = (low - value) / change
            start = np.where(change > 0.0, np.fmax(start, cut), start)
            end = np.where(change < 0.0, np.fmin(end, cut), end)
            inside &= (change != 0.0) | (value > low)
        inside &= start <= end
        least = np.full_like(x, LARGEST_IN)
        middle = -x / dx
        one, other = ((way * x - y) / (dy - way * dx) for way in (_WEIGHT, -_WEIGHT))
        for bend in (start, end, middle, one, other):
            at = np.fmin(np.fmax(bend, start), end)
            least = np.minimum(least, np.maximum(_WEIGHT * np.abs(x + dx * at), y + dy * at))
    touched: Array = np.where(inside, np.maximum(least, 0.0), LARGEST_IN)
    return touched


def _seen(points: Array, aside_in: float) -> tuple[Array, Array]:
    """Rightward and outward of points, by every column."""
    x, y = points[:, :1], points[:, 1:]
    right = np.concatenate([x, -y, -x, y], axis=1)[:, _QUARTER]
    out = np.concatenate([y, x, -y, -x], axis=1)[:, _QUARTER]
    return right - aside_in, out


class Intrusion(NamedTuple):
    """What reaches into a column: how far in from the nearest edge, from and to which height."""

    part: int
    reach_in: float
    low: float
    high: float


def intrusions(
    scene: Scene,
    frame: Frame,
    column: int,
    width_in: float,
    lying: Sequence[Outline],
    aside_in: float = 0.0,
) -> list[Intrusion]:
    """Every outline that reaches into a column of some width, the deepest first.

    How far is from the edge of the column it is least in from, the edges on the pole's centre
    line among them: what it would have to move to be out.
    """
    half = width_in / 2 if is_side(column) else 0.0
    left, right = (-half, half) if half else (0.0, width_in)
    edges = Edges(left + aside_in, right + aside_in, 0.0, width_in)
    found = []
    for one in lying:
        met = edges.met(frame.local(one.points, column))
        reach = edges.depth(met) if met else 0.0
        if reach > _HAIR_IN:
            heights = heights_in(scene, frame, column, edges, one)
            found.append(Intrusion(one.part, reach, *heights))
    return sorted(found, key=lambda one: -one.reach_in)


class Edges(NamedTuple):
    """The four edges of an upright space in plan, as a frame sees it."""

    left: float
    right: float
    near: float
    far: float

    def met(self, points: Array) -> Edges | None:
        """From where to where a figure lies within; `None` where it does not."""
        cut: list[Corner] = points.tolist()
        for axis, low, high in ((0, self.left, self.right), (1, self.near, self.far)):
            cut = _cut(_cut(cut, axis, low, 1.0), axis, high, -1.0)
        if not cut:
            return None
        xs, ys = zip(*cut, strict=True)
        return Edges(min(xs), max(xs), min(ys), max(ys))

    def depth(self, met: Edges) -> float:
        """How far what lies within is in from the edge it is least in from."""
        return min(
            self.right - met.left, met.right - self.left, self.far - met.near, met.far - self.near
        )


Corner: TypeAlias = Sequence[float]
"""Rightward and outward."""


def _cut(corners: list[Corner], axis: int, at: float, way: float) -> list[Corner]:
    """What of a figure lies beyond a line square to an axis; corners in order, none if nothing."""
    beyond = [way * (corner[axis] - at) for corner in corners]
    if not corners or min(beyond) >= 0.0:
        return corners
    kept: list[Corner] = []
    for number, (corner, off) in enumerate(zip(corners, beyond, strict=True)):
        after = (number + 1) % len(corners)
        if off >= 0.0:
            kept.append(corner)
        if off * beyond[after] < 0.0:
            share, (x, y), (x_q, y_q) = off / (off - beyond[after]), corner, corners[after]
            kept.append((x + (x_q - x) * share, y + (y_q - y) * share))
    return kept


def heights_in(
    scene: Scene, frame: Frame, column: int, edges: Edges, outline: Outline
) -> tuple[float, float]:
    """From and to which height a part is in a space; a slanting one goes in and out."""
    shape = scene.parts[outline.part].shape
    if not isinstance(shape, Tube) or abs(shape.q[2] - shape.p[2]) <= _HAIR_IN:
        return outline.low, outline.high
    radius = max(shape.r_p, shape.r_q)
    (x, y), (x_q, y_q) = frame.local(np.array([shape.p[:2], shape.q[:2]]), column)
    start, end = 0.0, 1.0
    for value, change, low, high in (
        (x, x_q - x, edges.left, edges.right),
        (y, y_q - y, edges.near, edges.far),
    ):
        if abs(change) > _HAIR_IN:
            s, t = sorted(((low - radius - value) / change, (high + radius - value) / change))
            start, end = max(start, s), min(end, t)
    rise = shape.q[2] - shape.p[2]
    heights = sorted((shape.p[2] + rise * start, shape.p[2] + rise * end))
    return max(outline.low, heights[0]), min(outline.high, heights[1])


def crosses(one: Part, other: Part) -> bool:
    """Whether two arms lie across each other (more than 60 degrees)."""
    if not (isinstance(one.shape, Box) and isinstance(other.shape, Box)):
        return False
    u, v = one.shape.u, other.shape.u
    return abs(u[0] * v[0] + u[1] * v[1]) < 0.5


def most_at_once(ranges: Sequence[tuple[float, float]], window_in: float) -> list[int]:
    """Numbers of the ranges in the fullest window: all that one window of this height meets."""
    best: list[int] = []
    for _, top in ranges:
        met = [
            number
            for number, (low, high) in enumerate(ranges)
            if high >= top - _HAIR_IN and low < top + window_in - _HAIR_IN
        ]
        best = max(best, met, key=len)
    return best
