"""How far many parts are from many straight pieces, all at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from framer.geometry.distance import to_box, to_cylinder
from framer.geometry.scene import Array, Box, Part, Run


def gaps_in(p: Array, q: Array, parts: Sequence[Part]) -> Array:
    """The distance from each piece to the surface of each part, a row for each part.

    Args:
        p: one end of each piece (n, 3).
        q: the other end (n, 3).
        parts: parts whose place is known.
    """
    ends = [
        (np.tile(np.array(part.shape.p), (len(p), 1)), np.tile(np.array(part.shape.q), (len(p), 1)))
        for part in parts
        if part.shape is not None
    ]
    return moving_gaps_in(p, q, parts, ends)


def moving_gaps_in(
    p: Array, q: Array, parts: Sequence[Part], ends: Sequence[tuple[Array, Array]]
) -> Array:
    """The same while the parts move too: `ends` are both ends of each at every piece.

    A box stays where it is.
    """
    count = len(p)
    found = np.full((len(parts), count), np.inf)
    boxes = [row for row, part in enumerate(parts) if isinstance(part.shape, Box)]
    tubes = [row for row in range(len(parts)) if row not in set(boxes)]
    if boxes:
        shapes = [part.shape for part in parts if isinstance(part.shape, Box)]
        centres = np.repeat(np.array([one.centre for one in shapes]), count, axis=0)
        axes = np.repeat(np.array([(one.u, one.v, one.w) for one in shapes]), count, axis=0)
        half = np.repeat(np.array([one.half for one in shapes]), count, axis=0)
        many = (np.tile(p, (len(boxes), 1)), np.tile(q, (len(boxes), 1)))
        found[boxes] = to_box(*many, centres, axes, half)[0].reshape(len(boxes), count)
    if tubes:
        base, top = (np.concatenate([ends[row][side] for row in tubes]) for side in (0, 1))
        radii = np.repeat(np.array([_radii(parts[row]) for row in tubes]), count, axis=0)
        many = (np.tile(p, (len(tubes), 1)), np.tile(q, (len(tubes), 1)))
        off = to_cylinder(*many, base, top, radii[:, 0].copy(), radii[:, 1].copy())[0]
        found[tubes] = off.reshape(len(tubes), count)
    return found


def _radii(part: Part) -> tuple[float, float]:
    shape = part.shape
    if isinstance(shape, Run):
        return shape.r, shape.r
    if shape is None or isinstance(shape, Box):
        return 0.0, 0.0
    return shape.r_p, shape.r_q
