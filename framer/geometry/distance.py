"""Distances between many pairs of straight bodies at once.

All arguments are arrays of shape (n, 3) for points and (n,) for numbers; row i of one belongs to
row i of the other. A NaN in, a NaN out.
"""

from __future__ import annotations

import numpy as np

from framer.geometry.scene import Array

_PARALLEL = 1e-12


def closest(p1: Array, q1: Array, p2: Array, q2: Array) -> tuple[Array, Array]:
    """Where on two segments they come closest.

    Returns:
        Two arrays of fractions 0..1 along p1-q1 and p2-q2. For parallel segments that lie side by
        side it is the place nearest p1.

    Source: the standard clamped solution of the 2 x 2 normal equations, as in C. Ericson,
    Real-Time Collision Detection (2005), section 5.1.9.
    """
    d1, d2, r = q1 - p1, q2 - p2, p1 - p2
    a = np.vecdot(d1, d1)
    e = np.vecdot(d2, d2)
    f = np.vecdot(d2, r)
    c = np.vecdot(d1, r)
    b = np.vecdot(d1, d2)
    a_safe, e_safe = np.where(a > 0, a, 1.0), np.where(e > 0, e, 1.0)
    denominator = a * e - b * b
    apart = denominator > _PARALLEL * np.maximum(a * e, 1e-300)
    s = np.where(apart, _in_line((b * f - c * e) / np.where(apart, denominator, 1.0)), 0.0)
    s = np.where(a > 0, s, 0.0)
    t = np.where(e > 0, (b * s + f) / e_safe, 0.0)
    t_in = _in_line(t)
    s = np.where((t != t_in) | (e == 0), _in_line((b * t_in - c) / a_safe), s)
    s = np.where(a > 0, s, 0.0)
    t = np.where(e > 0, _in_line((b * s + f) / e_safe), 0.0)
    return s, t


def _in_line(fraction: Array) -> Array:
    """Fractions kept between the ends of a line."""
    kept: Array = np.minimum(np.maximum(fraction, 0.0), 1.0)
    return kept


def closest_in_plan(p1: Array, q1: Array, p2: Array, q2: Array) -> tuple[Array, Array]:
    """Where on two segments they come closest seen from above."""
    return closest(p1[:, :2], q1[:, :2], p2[:, :2], q2[:, :2])


def along(p: Array, q: Array, fraction: Array) -> Array:
    """Points at fractions along segments."""
    return p + (q - p) * fraction[:, None]


def to_box(
    p: Array, q: Array, centre: Array, axes: Array, half: Array
) -> tuple[Array, Array, Array]:
    """How near segments come to boxes.

    The squared distance from a point moving along the segment to a box is a convex function made
    of parabolas that join where the point passes a face's plane; each piece's least value is in
    closed form.

    Args:
        p: one end of each segment (n, 3).
        q: the other end (n, 3).
        centre: middle of each box (n, 3).
        axes: unit vectors of each box as rows (n, 3, 3).
        half: half sizes (n, 3).

    Returns:
        distance (n,), fraction along the segment (n,), nearest point of the box (n, 3).
    """
    start = np.einsum("nij,nj->ni", axes, p - centre)
    step = np.einsum("nij,nj->ni", axes, q - p)
    moving = np.abs(step) > 1e-15
    safe = np.where(moving, step, 1.0)
    cuts = np.concatenate(
        [
            np.where(moving, (half - start) / safe, 0.0),
            np.where(moving, (-half - start) / safe, 0.0),
            np.zeros((len(p), 1)),
            np.ones((len(p), 1)),
        ],
        axis=1,
    )
    cuts = np.sort(_in_line(cuts), axis=1)
    low, high = cuts[:, :-1], cuts[:, 1:]
    middle = 0.5 * (low + high)
    at = start[:, None, :] + middle[:, :, None] * step[:, None, :]
    side = np.where(at > half[:, None, :], 1.0, np.where(at < -half[:, None, :], -1.0, 0.0))
    # on this piece, off(t) = start + t * step - side * half counts only where side is not 0
    constant = (start[:, None, :] - side * half[:, None, :]) * np.abs(side)
    slope = step[:, None, :] * np.abs(side)
    squared = np.vecdot(slope, slope)
    # along a face the distance stays the same: there the place nearest p counts, not noise
    changes = squared > _PARALLEL**2 * np.vecdot(step, step)[:, None]
    best = -np.vecdot(slope, constant) / np.where(changes, squared, 1.0)
    best = np.where(changes, np.clip(best, low, high), low)
    off = constant + best[:, :, None] * slope
    lengths = np.vecdot(off, off)
    known = np.where(np.isnan(lengths), np.inf, lengths)
    pick = np.argmax(known <= known.min(axis=1)[:, None] * (1.0 + _PARALLEL), axis=1)
    row = np.arange(len(p))
    fraction = best[row, pick]
    local = np.clip(start + fraction[:, None] * step, -half, half)
    point = centre + np.einsum("ni,nij->nj", local, axes)
    return np.sqrt(lengths[row, pick]), fraction, point


def to_cylinder(
    p: Array, q: Array, base: Array, top: Array, r_base: Array, r_top: Array
) -> tuple[Array, Array, Array]:
    """How near segments come to upright or slanting round bodies with flat ends.

    A body's radius is taken where the segment comes closest to its axis; over a pole's taper of
    an eighth of an inch per foot this is true to a thousandth of an inch.

    Args:
        p: one end of each segment (n, 3).
        q: the other end (n, 3).
        base: one end of each axis (n, 3).
        top: the other end (n, 3).
        r_base: radius at `base` (n,).
        r_top: radius at `top` (n,).

    Returns:
        distance to the surface, 0 inside (n,); fraction along the segment (n,); nearest point of
        the body (n, 3).
    """
    s, t = closest(p, q, base, top)
    at, on_axis = along(p, q, s), along(base, top, t)
    radius = r_base + (r_top - r_base) * t
    out = at - on_axis
    length = np.sqrt(np.vecdot(out, out))
    unit = out / np.where(length > 0, length, 1.0)[:, None]
    gap = np.maximum(length - radius, 0.0)
    point = on_axis + unit * np.minimum(radius, length)[:, None]
    ends = np.nonzero(((t <= 0.0) | (t >= 1.0)) & (radius > 0.0))[0]
    if len(ends):
        body = (base[ends], top[ends], radius[ends])
        s[ends], gap[ends], point[ends] = _past_the_end(p[ends], q[ends], *body)
    return gap, s, point


def _nearest_on_cylinder(at: Array, base: Array, top: Array, radius: Array) -> Array:
    """The point of each flat-ended cylinder nearest to a point."""
    axis = top - base
    length = np.sqrt(np.vecdot(axis, axis))
    unit = axis / np.where(length > 0, length, 1.0)[:, None]
    up = np.einsum("ij,ij->i", at - base, unit)
    side = at - base - unit * up[:, None]
    radial = np.sqrt(np.vecdot(side, side))
    inward = np.minimum(radial, radius) / np.where(radial > 0, radial, 1.0)
    nearest: Array = base + unit * np.clip(up, 0.0, length)[:, None] + side * inward[:, None]
    return nearest


_GRID = np.linspace(0.0, 1.0, 33)
_NARROWINGS = 8
"""Each narrowing leaves a sixteenth of the interval: 16^-8 of a span is a billionth of it."""
_STEEP = 1e-3
"""A distance that grows more slowly than this, inches per inch, may grow only for rounding."""


def _past_the_end(
    p: Array, q: Array, base: Array, top: Array, radius: Array
) -> tuple[Array, Array, Array]:
    """The nearest approach where it is at a flat end.

    The distance to a convex body is convex along the segment: one that grows at the start is
    least there. Else the least value lies between the neighbours of the least of a row of trial
    points; the row is drawn ever closer.
    """
    axis = top - base
    length = np.sqrt(np.vecdot(axis, axis))
    unit = axis / np.where(length > 0, length, 1.0)[:, None]
    # along the axis and off it, a point of the segment moves in a straight line
    step, start = q - p, p - base
    up_start, up_step = np.vecdot(start, unit), np.vecdot(step, unit)
    off_start, off_step = start - unit * up_start[:, None], step - unit * up_step[:, None]
    aa = np.vecdot(off_step, off_step)
    ab = np.vecdot(off_start, off_step)
    bb = np.vecdot(off_start, off_start)
    over, under = np.maximum(up_start - length, 0.0), np.maximum(-up_start, 0.0)
    radial = np.sqrt(bb)
    outside = np.maximum(radial - radius, 0.0)
    growth = (over - under) * up_step + outside * ab / np.where(radial > 0, radial, 1.0)
    steep = _STEEP * np.hypot(over + under, outside) * np.sqrt(aa + up_step * up_step)
    best = np.zeros(len(p))
    rows = np.nonzero(~(growth > steep))[0]
    if len(rows):
        lines = (up_start, up_step, length, aa, ab, bb, radius)
        best[rows] = _narrowed(*(values[rows, None] for values in lines))
    at = along(p, q, best)
    nearest = _nearest_on_cylinder(at, base, top, radius)
    away = at - nearest
    return best, np.sqrt(np.vecdot(away, away)), nearest


def _narrowed(
    up_start: Array, up_step: Array, length: Array, aa: Array, ab: Array, bb: Array, radius: Array
) -> Array:
    """Where along segments the distance to a cylinder is least; all arguments are columns."""
    rows, last = np.arange(len(aa)), len(_GRID) - 1
    low, high = np.zeros(len(aa)), np.ones(len(aa))
    best = low
    for _ in range(_NARROWINGS):
        trial = low[:, None] + (high - low)[:, None] * _GRID
        up = up_start + up_step * trial
        beyond = np.maximum(np.maximum(up - length, -up), 0.0)
        radial = np.sqrt(np.maximum((aa * trial + 2.0 * ab) * trial + bb, 0.0))
        outside = np.maximum(radial - radius, 0.0)
        pick = np.argmin(beyond * beyond + outside * outside, axis=1)
        best = trial[rows, pick]
        low = trial[rows, np.maximum(pick - 1, 0)]
        high = trial[rows, np.minimum(pick + 1, last)]
    return best
