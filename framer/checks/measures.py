"""What each measure means, as arithmetic on the scene; no rule and no number of a rule in here.

A measure takes a scene and two arrays of part numbers, row by row a pair, and gives for every
pair the distance between centre lines, what to take off for a distance between surfaces, the
line it was measured along, and whether that line lies away from the supports, where the far
height of a wire matters.

The measures:

slant: straight-line distance between two wires.
vertical, horizontal: up-and-down and sideways distance where two wires come closest in plan;
    vertical also at the supports of two wires of one span, where that is less, and from a wire's
    support up or down to the nearest height of a body.
surface: shortest distance from a wire, guy or live part to the surface of a pole, arm, case, guy or
    run.
centre line: shortest distance from a wire to the centre line of a pole.
mid-span: up-and-down distance of two wires of one span, half way along it.
line of sight: how high a wire at its most sag stays over the straight line between the supports
    of another of its span; below 0 where it hangs under that line.
above ground: least height of a wire over the ground of its span.
case above ground: height of the lowest point of a body over the ground at its pole.
middle above ground: height of a body's middle over the ground at its pole.
arm spacing: up-and-down distance between the bolts of two arms that cross.
clear square: the largest square beside the pole that no wire of two crossing arms enters.
below top: distance along the pole from the finished top down to an arm's bolt or to a bore; below
    0 for what was cut off.
bore spacing: distance along the pole from a bore to the next one of another fitting up or down,
    whichever way they go through.
bore to gain: distance along the pole from a bore's middle to the nearer edge of the gain of the
    next arm up or down; 0 inside it.
clear of a space: how far a body, or the space other equipment needs, stays out of the space that
    equipment needs; below 0 for how far it reaches in, which is the least move, any way, that
    would free it.
insulator class: the voltage an insulator is meant for.
guy insulator: how far along a guy, from the pole, its insulator reaches; 0 without one.
not allowed: 0 for every pair there is, so that none meets.
not drawn: what framer has nothing to measure by, so that it can never be said.

Not of pairs, so in checks/spaces.py:

clear of the column: how much wider the climbing column that is taken could be before it meets the
    space that equipment needs; below 0 for how far the space reaches into it, which is the least
    move in plan that would free it.

Not of pairs, so in checks/room.py:

climbing space: the largest square of a column beside the pole that nothing enters about a level
    of wires. A second part says what must be near for the rule to speak: an arm, that it crosses
    the level's own and is near as asked; else, that it lies above or below as asked. Where such a
    rule speaks, those without a second part do not.
climbing turn: height between two levels past which the column changes sides, for each angle begun.
climbing count: how many of the parts there are in the column within one window of height.
climbing guys apart: how far up and down the guys in one window are from each other at the pole.

Not of pairs of parts, so in checks/working.py:

working height: up and down between the wires of an arm and those of the next one under it that
    crosses it. A rule that `eases` another is asked only where that one is short.
working space: how far out from the face of an arm nothing stands under its wires, from the climbing
    space along to the outermost wire; as far as the climbing space is wide. It has no rule of its
    own: it stands in a book's `[working]`.

Of the steps of a transfer, so in framer/transfer:

approach: how near a worker in his room comes to what is bare and live.

In no book:

step order: whether a thing can go to its next place at that step; it has no number.
supports: how many supports hold loose wires, against how many wires there are.
load: what a support takes, against its rating.
strength moment, strength load, strength stress: what is carried, against what it stands; in
    framer/strength.
weight: what is lifted, against what lifts it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Any, NamedTuple, Protocol, TypeAlias

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.checks.rulebook import MeasureName
from framer.geometry.clear import Bodies, out_of_boxes
from framer.geometry.distance import along, closest, closest_in_plan, to_box, to_cylinder
from framer.geometry.scene import Array, Box, Run, Scene, Tag
from framer.geometry.squares import Beside, largest_clear_squares
from framer.mechanics.sag import drop_below_chord_in
from framer.model.place import Guyed, OnArm, OnItem
from framer.model.stage import place_at
from framer.stock.catalogue import catalogue
from framer.stock.part import ArmPart, GuyPart, InsulatorPart

Rows: TypeAlias = NDArray[np.int64]

SAG_PIECES = 128
"""Straight pieces a sagging wire is measured as; a 3-ft sag is then true to 1/400 in."""

AT_SUPPORT = 1e-9
"""Fractions of a span smaller than this are noise of floating-point arithmetic: the support."""

ONE_BORE_IN = 0.125
"""Bores no farther apart than this are one: they would run into each other. A house number."""

_ONE_LINE = 1e-6

_CROSSED = 0.5
"""Arms whose directions have a smaller product than this (more than 60 degrees) cross."""


class Measured(Struct, frozen=True):
    """Distances of many pairs.

    `missing` names, by row, what kept a distance from being known; `sagging` rows count the sag
    of a wire.
    """

    gap: Array
    thickness: Array
    p: Array
    q: Array
    away: NDArray[np.bool_]
    missing: dict[int, str]
    sagging: NDArray[np.bool_] | None = None


def at_the_pole(gap: Array, p: Array, q: Array, missing: dict[int, str] | None = None) -> Measured:
    """Distances of what has no thickness to take off, and in which no far end has a say."""
    count = len(gap)
    return Measured(gap, np.zeros(count), p, q, np.zeros(count, dtype=bool), missing or {})


class Measure(Protocol):
    """A function that measures pairs of a scene."""

    def __call__(self, gauge: Gauge, a: Rows, b: Rows) -> Measured:
        """Measure row i of `a` against row i of `b`."""
        ...


class _Hang(NamedTuple):
    """How far wires hang below the straight lines between their ends, for each pair.

    `sag_a`, `sag_b` at mid-span, `low_a`, `low_b` all along; `missing` by row.
    """

    sag_a: Array
    sag_b: Array
    low_a: Array
    low_b: Array
    missing: dict[int, str]

    @property
    def sagging(self) -> NDArray[np.bool_]:
        """Which pairs count the sag of one of their wires."""
        sagging: NDArray[np.bool_] = (self.sag_a != 0) | (self.sag_b != 0)
        return sagging


class _Boxes(NamedTuple):
    """Centres, axes and half sizes of boxes, and every part's number among them, -1 for none."""

    number: Rows
    centre: Array
    axes: Array
    half: Array

    def of(self, parts: Rows) -> tuple[Array, Array, Array]:
        """Centre, axes and half sizes of parts that are boxes."""
        rows = self.number[parts]
        return self.centre[rows], self.axes[rows], self.half[rows]


class Approach(NamedTuple):
    """Where two wires come closest in plan, and how they hang there; row by row.

    `s`, `t` are fractions of their lengths, `p`, `q` the points; `missing` what is not known.
    """

    s: Array
    t: Array
    p: Array
    q: Array
    hang: _Hang


class Gauge:
    """What measures share about one scene, worked out once.

    Attributes:
        scene: the scene.
    """

    def __init__(self, scene: Scene, a: Rows | None = None, b: Rows | None = None) -> None:
        """A gauge of a scene, for the pairs `a` and `b` only where they are given."""
        self.scene = scene
        self._pairs = None if a is None or b is None else (a, b)

    @cached_property
    def near(self) -> NDArray[np.bool_]:
        """Which parts are wires of other lines."""
        near: NDArray[np.bool_] = (self.scene.tags & int(Tag.NEARBY)) != 0
        return near

    @cached_property
    def jumper(self) -> NDArray[np.bool_]:
        """Which parts are pieces of jumpers."""
        jumper: NDArray[np.bool_] = (self.scene.tags & int(Tag.JUMPER)) != 0
        return jumper

    @cached_property
    def far_unknown(self) -> NDArray[np.bool_]:
        """Which parts are wires of unknown far height."""
        return np.array([bool(part.missing_far) for part in self.scene.parts], dtype=bool)

    @cached_property
    def span(self) -> Rows:
        """The number of each wire's span, -1 for what is in none."""
        job, tags = self.scene.job, self.scene.tags
        number = {span.id: at for at, span in enumerate(job.spans)}
        found = np.full(len(tags), -1, dtype=np.int64)
        for at in np.nonzero(((tags & int(Tag.WIRE)) != 0) & ~self.near)[0].tolist():
            found[at] = number[job.wire_by_id[self.scene.parts[at].owner].span]
        return found

    @cached_property
    def _wire_number(self) -> Rows:
        """Each part's place among the wires and jumpers, -1 for what is none."""
        is_wire = (self.scene.tags & int(Tag.WIRE | Tag.JUMPER)) != 0
        return np.where(is_wire, np.cumsum(is_wire) - 1, -1)

    @cached_property
    def _all_approaches(self) -> tuple[Rows, Approach]:
        """The approach of wires to each other, by the pair's number in the table."""
        wires = np.nonzero(self._wire_number >= 0)[0]
        one, two = self._wire_pairs(len(wires))
        count = len(one)
        table = np.zeros((len(wires), len(wires)), dtype=np.int64)
        table[one, two], table[two, one] = np.arange(count), np.arange(count, 2 * count)
        s, t, p, q, hang = self._approach(wires[one], wires[two])
        missing = {**hang.missing, **{count + row: text for row, text in hang.missing.items()}}
        return table, Approach(
            np.concatenate([s, t]),
            np.concatenate([t, s]),
            np.concatenate([p, q]),
            np.concatenate([q, p]),
            _Hang(
                np.concatenate([hang.sag_a, hang.sag_b]),
                np.concatenate([hang.sag_b, hang.sag_a]),
                np.concatenate([hang.low_a, hang.low_b]),
                np.concatenate([hang.low_b, hang.low_a]),
                missing,
            ),
        )

    def _wire_pairs(self, count: int) -> tuple[Rows, Rows]:
        """Numbers of wires to be paired, the lower one first, each pair once."""
        if self._pairs is None:
            return np.triu_indices(count, k=1)
        one, two = (self._wire_number[parts] for parts in self._pairs)
        wanted = np.zeros((count + 1, count + 1), dtype=bool)
        wanted[np.minimum(one, two), np.maximum(one, two)] = True
        one, two = np.nonzero(np.triu(wanted[:count, :count], k=1))
        return one, two

    def approaches(self, a: Rows, b: Rows) -> Approach:
        """Where pairs of wires come closest in plan."""
        table, (s, t, p, q, hang) = self._all_approaches
        row = table[self._wire_number[a], self._wire_number[b]]
        missing = {}
        if hang.missing:
            missing = {
                place: hang.missing[number]
                for place, number in enumerate(row.tolist())
                if number in hang.missing
            }
        sags, lows = (hang.sag_a[row], hang.sag_b[row]), (hang.low_a[row], hang.low_b[row])
        hanging = _Hang(*sags, *lows, missing)
        return Approach(s[row], t[row], p[row], q[row], hanging)

    def _approach(self, a: Rows, b: Rows) -> Approach:
        p, q = self.scene.ends
        p_a, q_a, p_b, q_b = p[a], q[a], p[b], q[b]
        pairs = ((p_a, p_b), (q_a, q_b), (p_b, p_a), (q_b, q_a))
        first, second = closest_in_plan(*(np.concatenate(pair) for pair in pairs))
        (s, t_b), (t, s_b) = np.split(first, 2), np.split(second, 2)
        # side by side, wires are as near in plan at several places: where they are nearest in
        # height counts, whichever of them comes first
        rise, rise_b = (
            np.abs((along(p_a, q_a, on_a) - along(p_b, q_b, on_b))[:, 2])
            for on_a, on_b in ((s, t), (s_b, t_b))
        )
        s, t = np.where(rise_b < rise, s_b, s), np.where(rise_b < rise, t_b, t)
        at_a, at_b = along(p_a, q_a, s), along(p_b, q_b, t)
        hang = self._hang(a, b, (s, t), (at_a[:, 2], at_b[:, 2]))
        return Approach(
            s,
            t,
            _lowered(at_a, drop_below_chord_in(hang.sag_a, s) + hang.low_a),
            _lowered(at_b, drop_below_chord_in(hang.sag_b, t) + hang.low_b),
            hang,
        )

    def _hang(
        self, a: Rows, b: Rows, fractions: tuple[Array, Array], heights: tuple[Array, Array]
    ) -> _Hang:
        """How far each pair's wires hang below their chords where that matters.

        A wire of ours passing under a nearby one gets no help from its own sag unless the job
        credits it, and the nearby one is taken at its hottest; passing over, ours is taken at its
        most sag. A wire that in doing so would come below the other met it on the way, so it is
        taken where it meets it. Between our own wires no sag counts: those rules are for the
        supports.
        """
        zero = np.zeros(len(a))
        mixed = self.near[a] != self.near[b]
        if not mixed.any():
            return _Hang(zero, zero, zero, zero, {})
        scene, a_near = self.scene, self.near[a]
        ours, theirs = np.where(a_near, b, a), np.where(a_near, a, b)
        above = np.where(a_near, heights[0] - heights[1], heights[1] - heights[0])
        under = above >= 0
        least, most = self.sags
        credit = least[ours] if scene.job.settings.sag_credit else zero
        sag = np.where(mixed, np.where(under, credit, most[ours]), 0.0)
        missing = {
            row: _sag_unknown(scene, ours[row]) for row in np.nonzero(np.isnan(sag))[0].tolist()
        }
        sag = _known(sag)
        own = np.where(a_near, fractions[1], fractions[0])
        share = 4.0 * own * (1.0 - own)
        low = np.where(mixed & under, _known(most[theirs]), 0.0)
        low = np.minimum(low, np.maximum(above, 0.0) + sag * share)
        meets = ~under & (sag * share > -above)
        sag = np.where(meets, -above / np.where(share > 0, share, 1.0), sag)
        return _Hang(
            np.where(a_near, 0.0, sag),
            np.where(a_near, sag, 0.0),
            np.where(a_near, low, 0.0),
            np.where(a_near, 0.0, low),
            missing,
        )

    @cached_property
    def sags(self) -> tuple[Array, Array]:
        """Least sag of every part, 0 where there is none, and most sag, NaN where not known."""
        least, most = self.scene.sags
        # the bow of a jumper is in its path
        return least, np.where(self.jumper, 0.0, most)

    def away(self, a: Rows, b: Rows, s: Array, t: Array) -> NDArray[np.bool_]:
        """Which approaches lie away from our supports, where a far end has a say."""
        held = self.near | self.jumper
        return ((s > AT_SUPPORT) & ~held[a]) | ((t > AT_SUPPORT) & ~held[b])

    @cached_property
    def boxes(self) -> _Boxes:
        """The boxes among the parts."""
        is_box, centre, axes, half = self.scene.boxes
        return _Boxes(np.where(is_box, np.cumsum(is_box) - 1, -1), centre, axes, half)

    @cached_property
    def reach(self) -> tuple[Array, Array]:
        """Lowest and highest point of every body, NaN where its place is not known."""
        p, q = self.scene.ends
        low, high = np.minimum(p[:, 2], q[:, 2]), np.maximum(p[:, 2], q[:, 2])
        number, centre, axes, half = self.boxes
        boxes = np.nonzero(number >= 0)[0]
        if len(boxes):
            upright = (np.abs(axes[:, :, 2]) * half).sum(axis=1)
            low[boxes], high[boxes] = centre[:, 2] - upright, centre[:, 2] + upright
        return low, high

    def thickness(self, a: Rows, b: Rows) -> Array:
        """Both radii together."""
        r = self.scene.radii[0]
        return r[a] + r[b]


def _sag_unknown(scene: Scene, number: int) -> str:
    return f"sag of {scene.job.label(scene.parts[number].owner)} not known"


def _known(sag_in: Array) -> Array:
    """Sags, 0 where they are not known."""
    return np.where(np.isnan(sag_in), 0.0, sag_in)


def _lowered(points: Array, by: Array) -> Array:
    down = points.copy()
    down[:, 2] -= by
    return down


def vertical(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Up-and-down distance where two wires come closest in plan, or of a wire and a body."""
    both = (gauge.scene.tags[a] & gauge.scene.tags[b] & int(Tag.WIRE)) != 0
    if both.all():
        return _between_wires(gauge, a, b)
    upright = _to_body(gauge, a[~both], b[~both])
    if not both.any():
        return upright
    return _merged(both, _between_wires(gauge, a[both], b[both]), upright)


def _merged(first: NDArray[np.bool_], one: Measured, other: Measured) -> Measured:
    """The rows of one where `first`, else those of the other."""

    def woven(a: NDArray[Any], b: NDArray[Any]) -> NDArray[Any]:
        rows = np.empty((len(first), *a.shape[1:]), dtype=a.dtype)
        rows[first], rows[~first] = a, b
        return rows

    missing = {}
    for rows, measured in ((np.nonzero(first)[0], one), (np.nonzero(~first)[0], other)):
        missing.update({int(rows[row]): text for row, text in measured.missing.items()})
    none = np.zeros(len(first), dtype=bool)
    sags = [none[: len(m.gap)] if m.sagging is None else m.sagging for m in (one, other)]
    return Measured(
        woven(one.gap, other.gap),
        woven(one.thickness, other.thickness),
        woven(one.p, other.p),
        woven(one.q, other.q),
        woven(one.away, other.away),
        missing,
        woven(*sags),
    )


def _between_wires(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    s, t, p, q, hang = gauge.approaches(a, b)
    gap = np.abs(p[:, 2] - q[:, 2])
    # wires of one span that come a little nearer to each other farther out are side by side at
    # their supports all the same
    ends = gauge.scene.ends[0]
    here = np.abs(ends[a, 2] - ends[b, 2])
    nearer = (gauge.span[a] >= 0) & (gauge.span[a] == gauge.span[b]) & (here < gap)
    gap = np.where(nearer, here, gap)
    s, t = np.where(nearer, 0.0, s), np.where(nearer, 0.0, t)
    p, q = (np.where(nearer[:, None], ends[one], at) for one, at in ((a, p), (b, q)))
    above = np.column_stack([q[:, :2], p[:, 2]])
    away = gauge.away(a, b, s, t)
    sagging = hang.sagging
    return Measured(gap, gauge.thickness(a, b), above, q, away, hang.missing, sagging)


def _to_body(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """From a wire's support up or down to the nearest height of a body."""
    scene = gauge.scene
    swapped = (scene.tags[a] & int(Tag.WIRE)) == 0
    wires, bodies = np.where(swapped, b, a), np.where(swapped, a, b)
    low, high = (ends[bodies] for ends in gauge.reach)
    at = scene.ends[0][wires]
    nearest = np.clip(at[:, 2], low, high)
    to = np.column_stack([at[:, :2], nearest])
    r = scene.radii[0][wires]
    return Measured(
        np.abs(at[:, 2] - nearest),
        r,
        np.where(swapped[:, None], to, at),
        np.where(swapped[:, None], at, to),
        np.zeros(len(a), dtype=bool),
        {},
    )


def horizontal(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Sideways distance where two wires come closest in plan."""
    s, t, p, q, hang = gauge.approaches(a, b)
    gap = np.hypot(*(p - q)[:, :2].T)
    beside = np.column_stack([q[:, :2], p[:, 2]])
    away = gauge.away(a, b, s, t)
    sagging = hang.sagging
    return Measured(gap, gauge.thickness(a, b), p, beside, away, hang.missing, sagging)


def slant(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Straight-line distance between two wires."""
    p, q = gauge.scene.ends
    hang = gauge.approaches(a, b).hang
    sag_a, sag_b, low_a, low_b, missing = hang
    p_a, q_a = _lowered(p[a], low_a), _lowered(q[a], low_a)
    p_b, q_b = _lowered(p[b], low_b), _lowered(q[b], low_b)
    s, t = closest(p_a, q_a, p_b, q_b)
    at_a, at_b = along(p_a, q_a, s), along(p_b, q_b, t)
    # of two wires one hangs at most
    for rows in _some(np.nonzero(sag_a != 0.0)[0]):
        found = _closest_hanging(p_a[rows], q_a[rows], sag_a[rows], p_b[rows], q_b[rows])
        at_a[rows], at_b[rows], s[rows], t[rows] = found
    for rows in _some(np.nonzero(sag_b != 0.0)[0]):
        found = _closest_hanging(p_b[rows], q_b[rows], sag_b[rows], p_a[rows], q_a[rows])
        at_b[rows], at_a[rows], t[rows], s[rows] = found
    off = at_a - at_b
    gap = np.sqrt(np.vecdot(off, off))
    away = (
        gauge.away(a, b, s, t) | _may_come_nearer(gauge, a, -off) | _may_come_nearer(gauge, b, off)
    )
    return Measured(gap, gauge.thickness(a, b), at_a, at_b, away, missing, hang.sagging)


def _may_come_nearer(gauge: Gauge, wires: Rows, across: Array) -> NDArray[np.bool_]:
    """Which wires of unknown far height, nearest at their support, may be nearer farther out.

    `across` points from the wire to the other one. No wire rises or falls more than it runs, so
    only what lies farther behind the support than above or below it is surely nearest there.
    """
    unknown = gauge.far_unknown[wires] & ~gauge.near[wires]
    if not unknown.any():
        return unknown
    p, q = gauge.scene.ends
    run = (q - p)[wires, :2]
    length = np.hypot(*run.T)
    ahead = np.vecdot(across[:, :2], run) / np.where(length > 0, length, 1.0)
    may: NDArray[np.bool_] = unknown & (ahead > -np.abs(across[:, 2]))
    return may


def _some(rows: Rows) -> list[Rows]:
    """So many of some rows at a time as memory allows."""
    return np.array_split(rows, 1 + len(rows) // SAG_PIECES) if len(rows) else []


def _closest_hanging(
    p: Array, q: Array, sag_in: Array, p_b: Array, q_b: Array
) -> tuple[Array, Array, Array, Array]:
    """Closest points of hanging wires and straight ones, and the fractions of their lengths.

    A hanging wire is as many straight pieces as follow its sag.
    """
    count, shares = len(p), np.linspace(0.0, 1.0, SAG_PIECES + 1)
    points = p[:, None] + (q - p)[:, None] * shares[:, None]
    points[:, :, 2] -= drop_below_chord_in(sag_in[:, None], shares)
    begin, end = (piece.reshape(-1, 3) for piece in (points[:, :-1], points[:, 1:]))
    straight = np.repeat(p_b, SAG_PIECES, axis=0), np.repeat(q_b, SAG_PIECES, axis=0)
    s, t = closest(begin, end, *straight)
    at, at_b = along(begin, end, s), along(*straight, t)
    off = np.linalg.norm(at - at_b, axis=1).reshape(count, SAG_PIECES)
    number = np.argmin(off, axis=1)
    best = np.arange(count) * SAG_PIECES + number
    return at[best], at_b[best], (number + s[best]) / SAG_PIECES, t[best]


def surface(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Shortest distance from a wire's middle to the surface of a body.

    A wire of another line over the body is taken at its hottest, no lower than the body's top.
    """
    scene = gauge.scene
    p, q = scene.ends
    wire_p, wire_q = _at_hottest(gauge, a, gauge.reach[1][b])
    r_p, r_q = scene.radii
    count = len(a)
    gap = np.full(count, np.nan)
    at_a, at_b = np.full((count, 3), np.nan), np.full((count, 3), np.nan)
    fraction = np.zeros(count)
    boxes = gauge.boxes.number[b] >= 0
    for rows, is_box in ((np.nonzero(boxes)[0], True), (np.nonzero(~boxes)[0], False)):
        if not len(rows):
            continue
        body, wire = b[rows], (wire_p[rows], wire_q[rows])
        if is_box:
            found = to_box(*wire, *gauge.boxes.of(body))
        else:
            found = to_cylinder(*wire, p[body], q[body], r_p[body], r_q[body])
        gap[rows], fraction[rows], at_b[rows] = found
        at_a[rows] = along(*wire, fraction[rows])
    return Measured(gap, r_p[a], at_a, at_b, fraction > AT_SUPPORT, {})


def _at_hottest(gauge: Gauge, a: Rows, least: Array) -> tuple[Array, Array]:
    """Both ends of each row's wire; a nearby one as low as it gets, but for no lower than asked."""
    p, q = gauge.scene.ends
    over = np.minimum(p[a, 2], q[a, 2]) - least
    low = np.minimum(gauge.sags[1][a], np.maximum(over, 0.0))
    low = np.where(gauge.near[a] & ~np.isnan(low), low, 0.0)
    return _lowered(p[a], low), _lowered(q[a], low)


def centre_line(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Shortest distance from a wire's middle to the centre line of a pole."""
    scene = gauge.scene
    p, q = scene.ends
    s, t = closest(p[a], q[a], p[b], q[b])
    at_a, at_b = along(p[a], q[a], s), along(p[b], q[b], t)
    off = at_a - at_b
    gap = np.sqrt(np.vecdot(off, off))
    return Measured(gap, np.zeros(len(a)), at_a, at_b, s > AT_SUPPORT, {})


def above_ground(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Least height of a wire at its most sag over the straight line between the grades."""
    scene = gauge.scene
    del b
    count = len(a)
    # sag, grade here, grade at the far end
    known = np.full((count, 3), np.nan)
    missing: dict[int, str] = {}
    for row, number in enumerate(a.tolist()):
        part = scene.parts[number]
        run = part.shape
        if not isinstance(run, Run):
            continue
        if part.pole is None:
            missing[row] = f"ground under {scene.job.label(part.owner)} not known"
            continue
        if run.sag_most_in is None:
            missing[row] = _sag_unknown(scene, number)
            continue
        span = scene.job.span_by_id[scene.job.wire_by_id[part.owner].span]
        known[row] = run.sag_most_in, scene.poles[part.pole].foot[2], span.far_grade_in
    sag, near, far = known.T
    p, q = (ends[a] for ends in scene.ends)
    rise = (q - p)[:, 2] - (far - near)
    level = np.where(sag > 0.0, 0.5 - rise / (8.0 * np.where(sag > 0.0, sag, 1.0)), rise < 0.0)
    u = np.clip(level, 0.0, 1.0)
    low = _lowered(along(p, q, u), drop_below_chord_in(sag, u))
    grade = near + (far - near) * u
    ground = np.column_stack([low[:, :2], grade])
    every = np.ones(count, dtype=bool)
    return Measured(low[:, 2] - grade, np.zeros(count), low, ground, every, missing, every)


def mid_span(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Up-and-down distance of two wires of one span half way along it.

    The upper wire at its most sag, the lower one at its least: the worst of what was given.
    """
    scene = gauge.scene
    p, q = scene.ends
    half_a, half_b = 0.5 * (p[a] + q[a]), 0.5 * (p[b] + q[b])
    least, most = gauge.sags
    a_upper = p[a, 2] >= p[b, 2]
    sag_a = np.where(a_upper, most[a], least[a])
    sag_b = np.where(a_upper, least[b], most[b])
    unknown = np.isnan(most[a]) | np.isnan(most[b])
    missing = {}
    for row in np.nonzero(unknown)[0].tolist():
        lost = a[row] if np.isnan(most[a[row]]) else b[row]
        missing[row] = _sag_unknown(scene, lost)
    at_a, at_b = _lowered(half_a, _known(sag_a)), _lowered(half_b, _known(sag_b))
    gap = np.where(a_upper, at_a[:, 2] - at_b[:, 2], at_b[:, 2] - at_a[:, 2])
    above = np.column_stack([at_b[:, :2], at_a[:, 2]])
    every = np.ones(len(a), dtype=bool)
    return Measured(gap, gauge.thickness(a, b), above, at_b, every, missing, every)


def line_of_sight(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """How high the first wire, at its most sag, stays over the second's chord; least along both."""
    scene = gauge.scene
    p, q = scene.ends
    sag = gauge.sags[1][a]
    missing = {row: _sag_unknown(scene, a[row]) for row in np.nonzero(np.isnan(sag))[0].tolist()}
    sag = _known(sag)
    near, far = p[a, 2] - p[b, 2], q[a, 2] - q[b, 2]
    steep = np.where(sag > 0.0, (far - near) / (8.0 * np.where(sag > 0.0, sag, 1.0)), 0.0)
    level = np.where(sag > 0.0, 0.5 - steep, far < near)
    u = np.clip(level, 0.0, 1.0)
    at = _lowered(along(p[a], q[a], u), drop_below_chord_in(sag, u))
    line = along(p[b], q[b], u)
    every = np.ones(len(a), dtype=bool)
    return Measured(at[:, 2] - line[:, 2], np.zeros(len(a)), at, line, every, missing, every)


def case_above_ground(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Height of the lowest point of a body over the ground line of its pole."""
    del b
    return _over_its_ground(gauge, a, gauge.reach[0])


def middle_above_ground(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Height of a body's middle over the ground line of its pole."""
    del b
    low, high = gauge.reach
    return _over_its_ground(gauge, a, 0.5 * (low + high))


def _over_its_ground(gauge: Gauge, a: Rows, heights: Array) -> Measured:
    """From the ground line of each body's pole to the height given for the body."""
    scene = gauge.scene
    feet = {key: pole.foot[2] for key, pole in scene.poles.items()}
    grade = np.array([feet.get(scene.parts[number].pole or "", np.nan) for number in a.tolist()])
    p, q = (ends[a] for ends in scene.ends)
    middle = (gauge.boxes.number[a] >= 0)[:, None]
    at = np.where(middle, 0.5 * (p + q), np.where((p[:, 2] <= q[:, 2])[:, None], p, q))
    low, ground = at.copy(), at.copy()
    low[:, 2], ground[:, 2] = heights[a], grade
    return at_the_pole(low[:, 2] - grade, low, ground)


def crossing_arms(scene: Scene, a: Rows, b: Rows) -> NDArray[np.bool_]:
    """Which pairs are arms of one pole that lie across each other."""
    crossed = np.zeros(len(a), dtype=bool)
    for row, (one, two) in enumerate(zip(a.tolist(), b.tolist(), strict=True)):
        first, second = scene.parts[one], scene.parts[two]
        if first.pole != second.pole:
            continue
        if isinstance(first.shape, Box) and isinstance(second.shape, Box):
            u, v = first.shape.u, second.shape.u
            crossed[row] = abs(u[0] * v[0] + u[1] * v[1]) < _CROSSED
        else:
            crossed[row] = first.shape is None or second.shape is None
    return crossed


def arm_spacing(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Up-and-down distance between the bolts of two arms of one pole that cross."""
    scene = gauge.scene
    p, q = scene.ends
    at_a, at_b = 0.5 * (p[a] + q[a]), 0.5 * (p[b] + q[b])
    gap = np.abs(at_a[:, 2] - at_b[:, 2])
    at_b = np.column_stack([at_a[:, :2], at_b[:, 2]])
    return at_the_pole(gap, at_a, at_b)


def clear_square(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """The largest square beside the pole that no wire of two crossing arms enters, in plan.

    One side or one quadrant, measured from the pole's centre line; the arms set the directions.
    """
    scene = gauge.scene
    count = len(a)
    gap = np.full(count, np.nan)
    p, q = np.full((count, 3), np.nan), np.full((count, 3), np.nan)
    wires: dict[str, list[Run]] = {}
    for part in scene.parts:
        if isinstance(part.shape, Run) and part.level is not None:
            wires.setdefault(part.level, []).append(part.shape)
    rows, places = [], []
    for row, (one, two) in enumerate(zip(a.tolist(), b.tolist(), strict=True)):
        first, second = scene.parts[one], scene.parts[two]
        pole = scene.poles.get(first.pole or "")
        if not (isinstance(first.shape, Box) and isinstance(second.shape, Box) and pole):
            continue
        between = [*wires.get(first.owner, ()), *wires.get(second.owner, ())]
        height = 0.5 * (first.shape.centre[2] + second.shape.centre[2])
        east, north, _ = pole.point((height - pole.foot[2]) / pole.rise)
        rows.append(row)
        places.append(Beside((east, north, height), first.shape.u, between))
    for row, place, (size, corner) in zip(rows, places, largest_clear_squares(places), strict=True):
        gap[row], p[row], q[row] = size, place.middle, (*corner, place.middle[2])
    return at_the_pole(gap, p, q)


def below_top(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Distance along the pole from the finished top down to a bolt; below 0 for one cut off."""
    scene = gauge.scene
    del b
    count = len(a)
    gap = np.full(count, np.nan)
    p, q = np.full((count, 3), np.nan), np.full((count, 3), np.nan)
    missing: dict[int, str] = {}
    for row, number in enumerate(a.tolist()):
        part = scene.parts[number]
        pole = scene.poles.get(part.pole or "")
        if part.shape is None or pole is None:
            continue
        if pole.top_up_in is None:
            missing[row] = f"top height of {scene.job.label(pole.item)} not known"
            continue
        up = float(scene.ups[number])
        gap[row] = pole.top_up_in - up
        p[row], q[row] = pole.point(up), pole.point(pole.top_up_in)
    return at_the_pole(gap, p, q, missing)


def next_bores(scene: Scene, a: Rows, b: Rows) -> NDArray[np.bool_]:
    """Which pairs are two bores of one pole with no other between, or one of unknown height.

    What keeps off the next one up and down keeps off all. Bores at one height and along one line
    are one bore, with one bolt for all that is on it; a factory bore can be along any line, as the
    pole is turned to suit. A bore cut off with the top is none.
    """
    found = _next_up_or_down(scene, a, b)
    rows = np.nonzero(found)[0]
    one, two = a[rows], b[rows]
    near = np.abs(scene.ups[one] - scene.ups[two]) <= ONE_BORE_IN
    if near.any():
        rows, one, two = rows[near], one[near], two[near]
        p, q = scene.ends
        first, second = q[one] - p[one], q[two] - p[two]
        crossed = np.linalg.norm(np.cross(first, second), axis=1)
        sizes = np.linalg.norm(first, axis=1) * np.linalg.norm(second, axis=1)
        found[rows] = ~(crossed <= _ONE_LINE * np.maximum(sizes, 1.0))
    return found


def bores_and_gains(scene: Scene, a: Rows, b: Rows) -> NDArray[np.bool_]:
    """Which pairs are a bore and an arm let into the same pole, with no other bore between."""
    gained: NDArray[np.bool_] = _gains(scene, b) > 0.0
    return gained & _next_up_or_down(scene, a, b)


def _next_up_or_down(scene: Scene, a: Rows, b: Rows) -> NDArray[np.bool_]:
    """Which pairs of bores, or of a bore and an arm, have no other bore of their pole between."""
    pole, order = scene.bolt_order
    one, two = order[a], order[b]
    found: NDArray[np.bool_] = (np.abs(one - two) <= 1) | (one == -2) | (two == -2)
    found &= (pole[a] == pole[b]) & (one != -1) & (two != -1)
    return found


def not_carried(scene: Scene, a: Rows, b: Rows) -> NDArray[np.bool_]:
    """Which pairs are things of which neither carries the other, by itself or by something else."""
    owners: dict[str, int] = {}
    of = np.array([owners.setdefault(part.owner, len(owners)) for part in scene.parts], dtype=int)
    carried = np.zeros((len(owners), len(owners)), dtype=bool)
    for owner, number in owners.items():
        for carrier in _carriers(scene, owner):
            if carrier in owners:
                carried[number, owners[carrier]] = True
    one, two = of[a], of[b]
    apart: NDArray[np.bool_] = ~(carried[one, two] | carried[two, one])
    return apart


def _carriers(scene: Scene, key: str) -> set[str]:
    """What an item hangs on, but for the pole."""
    found: set[str] = set()
    thing = scene.job.item_by_id.get(key)
    while thing is not None:
        where = place_at(scene.job, thing, scene.stage)
        if not isinstance(where, OnItem | OnArm) or where.host in found:
            break
        found.add(where.host)
        thing = scene.job.item_by_id.get(where.host)
    return found


def _gains(scene: Scene, parts: Rows) -> Array:
    """Half the height of the gain each part is let in by; 0 for none."""
    half = np.zeros(len(scene.parts))
    known = catalogue()
    for number in set(parts.tolist()):
        part = scene.parts[number]
        # a double arm has one bolt: its first member stands for both
        if part.tags & int(Tag.ARM) and part.key == part.owner:
            stock = known.get(scene.job.item_by_id[part.owner].part or "")
            if isinstance(stock, ArmPart) and stock.gain_in > 0.0:
                half[number] = stock.depth_in / 2
    return half[parts]


def bore_spacing(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Distance along the pole between two bores."""
    return _along_the_pole(gauge, a, b, np.zeros(len(a)))


def bore_to_gain(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """Distance along the pole from a bore's middle to the nearer edge of an arm's gain."""
    return _along_the_pole(gauge, a, b, _gains(gauge.scene, b))


def _along_the_pole(gauge: Gauge, a: Rows, b: Rows, half: Array) -> Measured:
    """From the bolts `a` to those of `b`, less half a gain; the line is on the pole's axis."""
    scene = gauge.scene
    ups, count = scene.ups[a], len(a)
    apart = scene.ups[b] - ups
    gap = np.maximum(0.0, np.abs(apart) - half)
    foot, axis = np.full((count, 3), np.nan), np.full((count, 3), np.nan)
    for row, number in enumerate(a.tolist()):
        pole = scene.poles.get(scene.parts[number].pole or "")
        if pole is not None:
            foot[row], axis[row] = pole.foot, pole.axis
    p = foot + axis * ups[:, None]
    q = p + axis * np.copysign(gap, apart)[:, None]
    return at_the_pole(gap, p, q)


def clear_of_space(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """How far a body stays out of a space; a wire of another line at its hottest.

    One that in getting hot sinks through the space is taken in its middle. Two spaces are as far
    apart as the wider of the gaps that can be proved from the one and from the other.
    """
    gap, fraction, at_a, at_b = _out_of(gauge, a, b)
    tags = gauge.scene.tags[a]
    rows = np.nonzero(tags & int(Tag.SPACE))[0]
    if len(rows):
        other, _, q, p = _out_of(gauge, b[rows], a[rows])
        wider = other > gap[rows]
        rows = rows[wider]
        gap[rows], at_a[rows], at_b[rows] = other[wider], p[wider], q[wider]
    wires = (tags & int(Tag.WIRE)) != 0
    return Measured(gap, np.zeros(len(a)), at_a, at_b, wires & (fraction > AT_SUPPORT), {})


def _out_of(gauge: Gauge, a: Rows, b: Rows) -> tuple[Array, ...]:
    """How far bodies stay out of spaces, as `out_of_boxes` gives it."""
    low, high = gauge.reach
    p, q = _at_hottest(gauge, a, 0.5 * (low + high)[b])
    along_it = q - p
    length = np.sqrt(np.vecdot(along_it, along_it))
    axes, half = np.zeros((len(a), 3, 3)), np.zeros((len(a), 3))
    axes[:, 0] = along_it / np.where(length > 0.0, length, 1.0)[:, None]
    half[:, 0] = 0.5 * length
    boxes = gauge.boxes.number[a] >= 0
    if boxes.any():
        _, axes[boxes], half[boxes] = gauge.boxes.of(a[boxes])
    bodies = Bodies(p, q, gauge.scene.radii[0][a], axes, half)
    return out_of_boxes(bodies, *gauge.boxes.of(b))


def insulator_class(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """The highest circuit voltage between phases an insulator is meant for, kV."""
    scene = gauge.scene
    del b
    count = len(a)
    gap = np.full(count, np.nan)
    missing: dict[int, str] = {}
    p = scene.ends[0][a]
    for row, number in enumerate(a.tolist()):
        item = scene.job.item_by_id[scene.parts[number].owner]
        stock = catalogue().get(item.part or "")
        if isinstance(stock, InsulatorPart) and stock.class_kv is not None:
            gap[row] = stock.class_kv
        else:
            missing[row] = f"voltage class of {scene.job.label(item.id)} not known"
    return at_the_pole(gap, p, p, missing)


def guy_insulator(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """How far along a guy, from its pole, the strain insulator reaches; 0 for a guy without."""
    scene = gauge.scene
    del b
    p, q = scene.ends
    known = {number: _insulated_in(scene, number) for number in set(a.tolist())}
    reach = np.array([known[number] for number in a.tolist()])
    length = np.linalg.norm(q[a] - p[a], axis=1)
    share = np.minimum(1.0, reach / np.where(length > 0.0, length, 1.0))
    return at_the_pole(reach, p[a], along(p[a], q[a], share))


def _insulated_in(scene: Scene, number: int) -> float:
    """How far a guy's insulator reaches, as typed in its place or else as in stock."""
    item = scene.job.item_by_id[scene.parts[number].owner]
    where = place_at(scene.job, item, scene.stage)
    stock = catalogue().get(item.part or "")
    typed = where.insulator_in if isinstance(where, Guyed) else None
    known = stock.insulator_in if isinstance(stock, GuyPart) else None
    return (typed if typed is not None else known) or 0.0


def not_allowed(gauge: Gauge, a: Rows, b: Rows) -> Measured:
    """0 for every pair: that it is there is what is not allowed."""
    p = gauge.scene.ends[0]
    return at_the_pole(np.zeros(len(a)), p[a], p[b])


MEASURES: dict[MeasureName, Measure] = {
    "slant": slant,
    "vertical": vertical,
    "horizontal": horizontal,
    "surface": surface,
    "centre line": centre_line,
    "mid-span": mid_span,
    "line of sight": line_of_sight,
    "above ground": above_ground,
    "case above ground": case_above_ground,
    "middle above ground": middle_above_ground,
    "arm spacing": arm_spacing,
    "clear square": clear_square,
    "below top": below_top,
    "bore spacing": bore_spacing,
    "bore to gain": bore_to_gain,
    "clear of a space": clear_of_space,
    "insulator class": insulator_class,
    "guy insulator": guy_insulator,
    "not allowed": not_allowed,
    "approach": slant,
}
"""All of pairs or single parts but "not drawn", which has nothing to measure."""

NOT_SURVEYED: frozenset[MeasureName] = frozenset(
    {"insulator class", "guy insulator", "not allowed"}
)
"""Measures that no survey reading has a say in."""

SpeaksOf: TypeAlias = Callable[[Scene, Rows, Rows], NDArray[np.bool_]]

SPEAKS_OF: dict[MeasureName, SpeaksOf] = {
    "arm spacing": crossing_arms,
    "clear square": crossing_arms,
    "bore spacing": next_bores,
    "bore to gain": bores_and_gains,
    "clear of a space": not_carried,
}
"""Which pairs there are to measure, for measures that speak only of some."""
