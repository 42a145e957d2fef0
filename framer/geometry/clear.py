"""How far bodies stay out of boxes that are to be kept clear, and how far they reach in."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from framer.geometry.distance import along, to_box
from framer.geometry.scene import Array

_NO_DIRECTION = 1e-9

LINE_RADIUS_IN = 1.0
"""Rounds no thicker than this, wires and guys, are taken as lines with round ends."""


class Bodies(NamedTuple):
    """Bodies, one a row: boxes by `axes` and `half` sizes, or straight rounds from `p` to `q`.

    `p`, `q` are the ends of a box's length too; `r` is the radius of a round, 0 for a box; `axes`
    (n, 3, 3) and `half` (n, 3) are 0 for rounds but for their direction and half length.
    """

    p: Array
    q: Array
    r: Array
    axes: Array
    half: Array


def out_of_boxes(bodies: Bodies, centre: Array, axes: Array, half: Array) -> tuple[Array, ...]:
    """How far bodies stay out of boxes, below 0 for those that reach in.

    For lines that stay out it is the distance. For all else it is the most that a plane can be
    moved between the two, of the planes square to the faces and edges of both and to the shortest
    line between them: any plane between two bodies proves a gap, so this is never more than there
    is, and for bodies that overlap the least of these moves frees them.

    Args:
        bodies: the bodies.
        centre: middle of each box (n, 3).
        axes: unit vectors of each box as rows (n, 3, 3).
        half: half sizes (n, 3).

    Returns:
        gap (n,), fraction along the body (n,), a point of the body (n, 3) and one of the box.
    """
    p, q, r, _, own_half = bodies
    distance, fraction, at_box = to_box(p, q, centre, axes, half)
    axis = along(p, q, fraction)
    gap = distance - r
    toward = (at_box - axis) / np.where(distance > 0.0, distance, 1.0)[:, None]
    at_body = axis + toward * r[:, None]
    thick = (r > LINE_RADIUS_IN) | (own_half[:, 1] > 0.0)
    rows = np.nonzero(thick | ~(gap > 0.0))[0]
    if len(rows):
        some = Bodies(*(field[rows] for field in bodies))
        nearest = (axis - at_box)[rows]
        gap[rows], out = _planes(some, nearest, centre[rows], axes[rows], half[rows])
        inside = gap[rows] < 0.0
        at_body[rows] = np.where(inside[:, None], at_box[rows], axis[rows] - out * r[rows, None])
        freed = at_body[rows] - out * gap[rows, None]
        at_box[rows] = np.where(inside[:, None], freed, at_box[rows])
    return gap, fraction, at_body, at_box


def _planes(
    bodies: Bodies, nearest: Array, centre: Array, axes: Array, half: Array
) -> tuple[Array, Array]:
    """The widest room between planes, and the way out; `nearest` points from box to body."""
    p, q, r, own, own_half = bodies
    slantwise = nearest - np.einsum("ni,ni->n", nearest, own[:, 0])[:, None] * own[:, 0]
    edges = np.cross(own[:, :, None, :], axes[:, None, :, :]).reshape(-1, 9, 3)
    across = [axes, own, edges, nearest[:, None, :], slantwise[:, None, :]]
    normals = np.concatenate(across, axis=1)
    size = np.linalg.norm(normals, axis=2)
    real = size > _NO_DIRECTION
    normals = normals / np.where(real, size, 1.0)[:, :, None]
    to_middle = np.einsum("nki,ni->nk", normals, 0.5 * (p + q) - centre)
    lengthwise = np.einsum("nki,ni->nk", normals, own[:, 0])
    reach = (
        np.einsum("nkj,nj->nk", np.abs(np.einsum("nki,nji->nkj", normals, axes)), half)
        + np.einsum("nkj,nj->nk", np.abs(np.einsum("nki,nji->nkj", normals, own)), own_half)
        + r[:, None] * np.sqrt(np.maximum(0.0, 1.0 - lengthwise**2))
    )
    room = np.where(real | np.isnan(to_middle), np.abs(to_middle) - reach, -np.inf)
    best = np.argmax(room, axis=1)
    rows = np.arange(len(room))
    side = np.where(to_middle[rows, best] < 0.0, -1.0, 1.0)
    return room[rows, best], normals[rows, best] * side[:, None]
