"""The order of what carries wires up a pole: what keeps it, and where else there is room.

The answer to "how far from the top" is not to bring supply under communications, or an arm under
another circuit that was under it, or over a wire that crosses above it. Room along the pole asks
nothing of that: it is where nothing is short.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from framer.answers.bands import Bands, Blocked, Bound, free, without
from framer.answers.forms import mounted, shorts, wired_items
from framer.checks.rulebook import Rulebook
from framer.geometry.distance import along, closest_in_plan
from framer.geometry.placing import place
from framer.geometry.scene import Part, Scene, Tag
from framer.geometry.spot import Spots
from framer.model.job import Job
from framer.model.stage import pole_at
from framer.units.compare import HAIR_IN

CROSSES_IN = 12.0
"""A wire of another line this near in plan is passed over or under, and not beside."""


class Kept(NamedTuple):
    """One thing that an item stays above or below, as drafted.

    Attributes:
        at_in: height above ground of the item's bolt at which the two would change places.
        above: whether the item is to stay above that height.
        bound: what is said of it, and the thing itself.
        otherwise: how the two would be on the other side of that height.
        ours: whether the thing is supply on the same pole: who drafts the pole can change that.
    """

    at_in: float
    above: bool
    bound: Bound
    otherwise: str
    ours: bool

    def past_in(self, low_in: float, high_in: float) -> float:
        """How far a stretch of heights goes past the one at which the two change places."""
        return self.at_in - low_in if self.above else high_in - self.at_in


class Elsewhere(NamedTuple):
    """Room out of the order drafted: from and up to, and what it changes, the nearest first."""

    low_in: float
    high_in: float
    changes: tuple[Kept, ...]


def kept_order(job: Job, books: Sequence[Rulebook], room: Bands) -> tuple[Kept, ...]:
    """What an item and all that moves with it stay above and below as drafted."""
    scene = place(job, "framed")
    found: dict[str, Kept] = {}
    for one in (*_on_pole(job, scene, room), *_to_crossings(job, books, scene, room)):
        # of several wires the one that comes to another first counts
        other = found.get(one.bound.said)
        if other is None or (one.at_in > other.at_in) == one.above:
            found[one.bound.said] = one
    return tuple(found.values())


def ordered(job: Job, books: Sequence[Rulebook], room: Bands) -> Bands:
    """The part of an item's room in which what carries wires on its pole keeps its order."""
    return in_order(room, kept_order(job, books, room))


def in_order(room: Bands, kept: Sequence[Kept]) -> Bands:
    """The part of an item's room in which an order is kept."""
    blocked = [
        Blocked(low, high, one.bound)
        for one in kept
        for low, high in [
            (room.low_in, min(one.at_in, room.high_in))
            if one.above
            else (max(one.at_in, room.low_in), room.high_in)
        ]
        if high > low
    ]
    return without(room, [*room.blocked, *blocked]) if blocked else room


def elsewhere(room: Bands, kept: Sequence[Kept]) -> tuple[Elsewhere, ...]:
    """The other part of an item's room, the highest first: nothing is short, the order changes."""
    inside = [Blocked(one.low_in, one.high_in, one.above[0]) for one in in_order(room, kept).bands]
    found = []
    for band in reversed(room.bands):
        for piece in reversed(free(inside, band.low_in, band.high_in)):
            low, high = piece.low_in, piece.high_in
            changes = [one for one in kept if one.past_in(low, high) > HAIR_IN]
            if changes:
                # what it comes to first is changed over most of it
                changes.sort(key=lambda one: -one.past_in(low, high))
                found.append(Elsewhere(low, high, tuple(changes)))
    return tuple(found)


def changed(kept: Sequence[Kept], height_in: float) -> tuple[Kept, ...]:
    """What of an order a height of the item's bolt changes."""
    return tuple(one for one in kept if one.past_in(height_in, height_in) > HAIR_IN)


def _on_pole(job: Job, scene: Scene, room: Bands) -> Iterator[Kept]:
    """What carries wires on the same pole and does not move with the item."""
    spots, wired = Spots(job, "framed"), wired_items(job)
    parts: dict[str, Part] = {}
    phones: dict[str, Part] = {}
    for part in scene.parts:
        parts.setdefault(part.owner, part)
        by = mounted(job, part.support)
        if by is not None:
            parts.setdefault(by, part)
            if part.tags & Tag.COMMUNICATIONS:
                phones.setdefault(by, part)
    ups: dict[str, float] = {}
    for item in job.items:
        up = spots.up_in(item)
        if up is not None and pole_at(job, item, "framed") == room.pole and item.id in wired:
            ups[item.id] = up
    now = room.now_in / room.rise
    for key, above in room.group.items():
        if key not in wired:
            continue
        for other, up in ups.items():
            if other in room.group or abs(now + above - up) <= HAIR_IN:
                continue
            over = now + above > up
            this, that = job.label(key), job.label(other)
            stays, then = ("below", "under") if over else ("above", "over")
            bound = Bound(
                None, parts.get(other), phones.get(other), None, f"{that} stays {stays} {this}"
            )
            at = (up - above) * room.rise
            yield Kept(at, over, bound, f"{this} {then} {that}", not {key, other} & phones.keys())


def _to_crossings(job: Job, books: Sequence[Rulebook], scene: Scene, room: Bands) -> Iterator[Kept]:
    """Wires of other lines that wires that move cross.

    They stay over a wire that they pass over now and are not short of; else they go under it.
    """
    ours = [
        number
        for number, part in enumerate(scene.parts)
        if part.tags & Tag.WIRE
        and part.shape is not None
        and mounted(job, part.support) in room.group
    ]
    theirs = [
        number
        for number, part in enumerate(scene.parts)
        if part.tags & Tag.NEARBY and part.shape is not None
    ]
    if not ours or not theirs:
        return
    one, two = (grid.ravel() for grid in np.meshgrid(ours, theirs))
    p, q = scene.ends
    s, t = closest_in_plan(p[one], q[one], p[two], q[two])
    apart = along(p[one], q[one], s) - along(p[two], q[two], t)
    crossing = np.nonzero(np.hypot(apart[:, 0], apart[:, 1]) <= CROSSES_IN)[0]
    over = two[crossing[apart[crossing, 2] > 0.0]].tolist()
    short = {
        part.owner
        for finding in (shorts(job, books) if over else ())
        for part in (finding.a, finding.b)
        if part is not None and part.tags & Tag.NEARBY
    }
    for row in crossing.tolist():
        near, rise = scene.parts[int(two[row])], -float(apart[row, 2])
        stays_over = rise < 0.0 and near.owner not in short
        key = mounted(job, scene.parts[int(one[row])].support) or ""
        way, then = ("over", "under") if stays_over else ("under", "over")
        wires, that = f"the wires of {job.label(key)}", job.label(near.owner)
        bound = Bound(None, near, None, None, f"{wires} stay {way} {that}")
        yield Kept(room.now_in + rise, stays_over, bound, f"{wires} {then} {that}", ours=False)
