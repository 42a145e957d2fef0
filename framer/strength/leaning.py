"""What a pole's leaning adds to its moments, found by bending it again and again until it stays.

Where guys work the pole cannot lean away at the highest of them along the way they lead: it turns
about a pinned foot, and the guy takes the more that comes of it. What a guy presses down with goes
along a line through its anchor: as the pole leans sideways the guy pulls it back.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.mechanics.pole import deflection
from framer.strength.loads import GuyOn

Array = NDArray[np.float64]

ALL_BUT = 0.98
"""What is added shrinks by no more than this from round to round: the pole buckles."""

_STILL = 1e-4
"""The pole stands still when a further round of leaning moves it by less than this share."""
_ROUNDS = 400
_SETTLED = 12
"""After so many rounds what is added grows or shrinks by the same share every time."""


class Hold(Struct, frozen=True):
    """How guys hold the pole, by wind.

    Attributes:
        guys: number of the section each is fixed at, by guy.
        down: what each presses down with [lbf], by wind and guy.
        top: number of the section of the highest that works, by wind; 0 where none does.
        along: what part of a lean there the guys stop, a matrix east and north, by wind.
        share: of the lean at each guy what a line from the foot to there leans, by guy and section
            below it.
        over: what all guys above a section press down with, by wind and section.
    """

    guys: NDArray[np.int64]
    down: Array
    top: NDArray[np.int64]
    along: Array
    share: Array
    over: Array


def hold(guys: Sequence[GuyOn], pulls: Array, z: Array) -> Hold:
    """How guys with these level pulls, by wind and guy, hold a pole."""
    at = np.array([int(np.argmin(np.abs(z - guy.height_in))) for guy in guys], dtype=np.int64)
    steep = np.array([max(0.0, guy.drop_in) / guy.lead_in for guy in guys])
    top = np.zeros(len(pulls), dtype=np.int64)
    along = np.zeros((len(pulls), 2, 2))
    known: dict[bytes, Array] = {}
    for wind, pull in enumerate(pulls):
        works = pull > 1e-6 * max(float(pull.max()), 1.0)
        if not works.any():
            continue
        top[wind] = at[works].max()
        key = works.tobytes()
        if key not in known:
            some = [(one.east, one.north) for one, on in zip(guys, works, strict=True) if on]
            known[key] = np.linalg.pinv(np.array(some), rcond=1e-3) @ np.array(some)
        along[wind] = known[key]
    below = np.arange(len(z)) < at[:, None]
    down = pulls * steep
    return Hold(at, down, top, along, below * z / z[at][:, None], down @ below)


def lean_of(z: Array, moment: Array, stiff: Array) -> Array:
    """How far every height leans east and north, from moments by wind and height."""
    return np.moveaxis(deflection(z, np.moveaxis(moment, 1, 2), stiff), 2, 1)


def leaned(
    z: Array, stiff: Array, weight: Array, first: Array, held: Hold | None = None
) -> tuple[Array, float]:
    """Moments with what leaning adds, and by what share each round adds more than the last.

    Args:
        z: heights from the ground line up [in].
        stiff: E I there [lbf in2].
        weight: what comes down on the pole at each height [lbf].
        first: moments without leaning [lbf in], by wind, height, and east and north.
        held: how guys hold it.

    A share of nearly 1 and more means that it buckles; the moments are then the first ones.
    """
    over = np.cumsum(weight[::-1])[::-1]
    moment, last, growth = first, 0.0, 0.0
    for number in range(_ROUNDS):
        lean = lean_of(z, moment, stiff)
        if held is not None:
            lean = _stopped(z, lean, held)
        carried = np.cumsum((weight[:, None] * lean)[:, ::-1], axis=1)[:, ::-1]
        new = first + carried - over[None, :, None] * lean
        if held is not None:
            new += _by_guys(z, lean, carried[:, 0], held)
        change = float(np.abs(new - moment).max())
        growth = change / last if last > 0.0 else 0.0
        if number > _SETTLED and growth >= ALL_BUT:
            return first, growth
        if change <= _STILL * float(np.abs(new).max()) * (1.0 - min(growth, ALL_BUT)):
            return new, growth
        moment, last = new, change
    return first, max(growth, 1.0)


def _stopped(z: Array, lean: Array, held: Hold) -> Array:
    """The lean of a pole turned back about its foot so far that it is nil at the highest guy."""
    winds = np.arange(len(lean))
    there = lean[winds, held.top]
    back = np.einsum("kij,kj->ki", held.along, there)
    height = np.where(held.top > 0, z[held.top], 1.0)
    turned: Array = lean - back[:, None, :] * (z[None, :, None] / height[:, None, None])
    return turned


def _by_guys(z: Array, lean: Array, turning: Array, held: Hold) -> Array:
    """What the guys of a leaning pole do: they press down on it, and pull against its turning."""
    added = held.share.T @ (held.down[:, :, None] * lean[:, held.guys])
    added -= held.over[:, :, None] * lean
    height = np.where(held.top > 0, z[held.top], 0.0)
    arm = np.maximum(height[:, None] - z[None], 0.0) / np.maximum(height, 1.0)[:, None]
    stopped = np.einsum("kij,kj->ki", held.along, turning)
    taken: Array = added - arm[:, :, None] * stopped[:, None, :]
    return taken
