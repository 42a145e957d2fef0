"""How far many parts are from many straight pieces, all at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from framer.geometry.distance import along, closest, to_box, to_cylinder
from framer.geometry.scene import Array, Box, Part, Run
from framer.units.compare import HAIR_IN


def gaps_in(p: Array, q: Array, parts: Sequence[Part]) -> Array:
    """The distance from each piece to the surface of each part, a row for each part.

    Args:
        p: one end of each piece (n, 3).
        q: the other end (n, 3).
        parts: parts whose place is known.
    """
    each = np.repeat(np.arange(len(parts)), len(p))
    base, top = ends_of(parts)
    many = (np.tile(p, (len(parts), 1)), np.tile(q, (len(parts), 1)))
    return _gaps(parts, each, *many, base[each], top[each]).reshape(len(parts), len(p))


def ends_of(parts: Sequence[Part]) -> tuple[Array, Array]:
    """Both ends of the axis of parts whose place is known, a row for each part."""
    shapes = [part.shape for part in parts if part.shape is not None]
    rows = np.array([(*one.p, *one.q) for one in shapes], dtype=np.float64).reshape(-1, 6)
    return rows[:, :3], rows[:, 3:]


def nearest_in(
    p: Array, q: Array, parts: Sequence[Part], ends: tuple[Array, Array]
) -> tuple[Array, NDArray[np.int64]]:
    """The least distance of each part from any of the pieces, and the number of that piece.

    Args:
        p: one end of each piece (n, 3).
        q: the other end (n, 3).
        parts: parts whose place is known.
        ends: both ends of the axis of each part at each piece (parts, n, 3); a box stays.
    """
    count = len(p)
    base, top = (one.reshape(-1, 3) for one in ends)
    many_p, many_q = np.tile(p, (len(parts), 1)), np.tile(q, (len(parts), 1))
    s, t = closest(many_p, many_q, base, top)
    apart = along(many_p, many_q, s) - along(base, top, t)
    off = np.sqrt(np.vecdot(apart, apart)).reshape(len(parts), count)
    # a part is nowhere nearer than its axis less its thickness, and nowhere farther than its axis
    thick = np.array([_thickness(part) for part in parts])
    near = off - thick[:, None] <= off.min(axis=1)[:, None] + HAIR_IN
    flat = np.nonzero(near.ravel())[0]
    gaps = np.full((len(parts), count), np.inf)
    pairs = (many_p[flat], many_q[flat], base[flat], top[flat])
    gaps[near] = _gaps(parts, flat // count, *pairs)
    at = np.argmin(gaps, axis=1)
    return gaps[np.arange(len(parts)), at], at


def _gaps(
    parts: Sequence[Part], each: NDArray[np.int64], p: Array, q: Array, base: Array, top: Array
) -> Array:
    """The gap of each pair of a piece and a part; `each` is the number of the part."""
    found = np.empty(len(each))
    is_box = np.array([isinstance(part.shape, Box) for part in parts])[each]
    boxes, tubes = np.nonzero(is_box)[0], np.nonzero(~is_box)[0]
    if len(boxes):
        shapes = [parts[row].shape for row in each[boxes].tolist()]
        solid = [one for one in shapes if isinstance(one, Box)]
        centres = np.array([one.centre for one in solid])
        axes = np.array([(one.u, one.v, one.w) for one in solid])
        half = np.array([one.half for one in solid])
        found[boxes] = to_box(p[boxes], q[boxes], centres, axes, half)[0]
    if len(tubes):
        radii = np.array([_radii(part) for part in parts])[each[tubes]]
        ends = (base[tubes], top[tubes], radii[:, 0].copy(), radii[:, 1].copy())
        found[tubes] = to_cylinder(p[tubes], q[tubes], *ends)[0]
    return found


def _radii(part: Part) -> tuple[float, float]:
    shape = part.shape
    if isinstance(shape, Run):
        return shape.r, shape.r
    if shape is None or isinstance(shape, Box):
        return 0.0, 0.0
    return shape.r_p, shape.r_q


def _thickness(part: Part) -> float:
    """How far a part reaches from its axis at most."""
    if isinstance(part.shape, Box):
        return float(np.hypot(*part.shape.half[1:]))
    return max(_radii(part))
