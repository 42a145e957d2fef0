"""Many heights of many things measured at once, by the measures every check uses.

Between two knots of its pole's taper everything that moves with an item moves in a straight line
when the item goes up the pole. So two scenes, placed at the knots, give every height between: a
track. Tracks are laid end to end, and rows of the plan, each at a place of its own on that course,
are measured as the pairs of one scene that has no other parts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Any, TypeAlias, cast, overload

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from framer.checks.engine import best_way_of_boxes, measured, spares
from framer.checks.measures import (
    MEASURES,
    NOT_SURVEYED,
    SPEAKS_OF,
    Approach,
    Gauge,
    Measure,
    Measured,
    SpeaksOf,
)
from framer.checks.plan import Boxed, Pairs, Placed, Plan, Rows
from framer.checks.rulebook import MeasureName
from framer.geometry.distance import along, closest
from framer.geometry.scene import Box, Part, Scene, Tag
from framer.units.compare import HAIR_IN

Whole: TypeAlias = NDArray[np.int64]
Real: TypeAlias = NDArray[np.float64]
Yes: TypeAlias = NDArray[np.bool_]

_STILL = 1e-9
_ONE_WAY = 1e-6

_BETWEEN_IN = 1_000.0
"""How far apart tracks lie on a course, so that nothing is beside two of them."""

STILL: tuple[MeasureName, ...] = (*NOT_SURVEYED, "clear square")
"""Measures that height has no say in."""

_BY_PLACE: dict[MeasureName, SpeaksOf] = {"bore spacing": SPEAKS_OF["bore spacing"]}
"""Which pairs there are to measure, where their height has a say in it."""

_BY_KIND = {measure: speaks for measure, speaks in SPEAKS_OF.items() if measure not in _BY_PLACE}

_KNOWN, _SPOKEN = "gaps that height has no say in", "rows that speak of their pairs"


class Judged(Struct, frozen=True):
    """What rows have to spare at their places, row by row.

    Attributes:
        spare: what is left over, negative when short, whatever the conditions of place say;
            infinite where it cannot be said.
        short: whether the row counts there and is short.
        lost: tracks, by number, and texts that say what is not known on them.
    """

    spare: Real
    short: Yes
    lost: set[tuple[int, str]]


class Track:
    """The parts of a scene between two heights of one item.

    Attributes:
        low: the scene with the item at the lower knot.
        up: how far up its pole the item is at both knots.
        velocity: how far both ends of every part go for an inch of the item.
        risen: how far up its pole every part goes for an inch of the item.
        moves: which parts move with it; `moved` are their numbers.
        jumpers: which are pieces of jumpers.
    """

    def __init__(self, low: Scene, high: Scene, up: tuple[float, float]) -> None:
        self.low, self.up = low, up
        width = up[1] - up[0]
        (p, q), (p_high, q_high) = low.ends, high.ends
        self.ends = p, q
        self.velocity = (p_high - p) / width, (q_high - q) / width
        self.risen = (high.ups - low.ups) / width
        ends = np.hstack([*self.velocity, self.risen[:, None]])
        self.moves: Yes = np.any(np.abs(ends) > _STILL, axis=1)
        self.moved = np.nonzero(self.moves)[0]
        self.jumpers: Yes = (low.tags & int(Tag.JUMPER)) != 0

    def off(self, scene: Scene, up: float) -> float:
        """How far anything is, in a scene between both, from where the straight way has it.

        The path of a jumper bends as it gets longer; jumpers are not followed.
        """
        lift = up - self.up[0]
        apart = np.hstack(
            [
                there - here - way * lift
                for there, here, way in zip(scene.ends, self.ends, self.velocity, strict=True)
            ]
        )
        return float(np.fmax.reduce(np.abs(apart[~self.jumpers]), axis=None, initial=0.0))

    def lifted(self, number: int, rise_in: float) -> Part:
        """A part as it is with the item so far above the lower knot."""
        part = self.low.parts[number]
        shape = part.shape
        step_p, step_q = (way[number] * rise_in for way in self.velocity)
        if isinstance(shape, Box):
            middle = shape.centre + 0.5 * (step_p + step_q)
            shape = replace(shape, centre=tuple(middle.tolist()))
        elif shape is not None:
            p, q = (shape.p + step_p).tolist(), (shape.q + step_q).tolist()
            shape = replace(shape, p=tuple(p), q=tuple(q))
        return replace(part, shape=shape, up_in=part.up_in + float(self.risen[number]) * rise_in)


def _unordered(scene: Scene) -> tuple[Whole, Whole]:
    """The order of bolts without which is the next: one bore keeps off every other."""
    pole, order = scene.bolt_order
    return pole, np.minimum(order, 0)


class Course:
    """Tracks of one structure laid end to end, and its plan.

    A place on the course is a height of the item of one track. A part of a track has a number of
    its own on the course.

    Attributes:
        plan: what is asked of the parts of every track.
        tracks: the tracks.
        start, end: the places of both knots of each track.
    """

    def __init__(self, planned: Plan, tracks: Sequence[Track], like: Scene) -> None:
        """The tracks of a plan; what height has no say in is measured in a scene `like` theirs."""
        self.plan, self.tracks, self._like = planned, tuple(tracks), like
        self._lowest, highest = np.array([track.up for track in tracks]).T
        widths = highest - self._lowest
        self.start: Real = np.cumsum(widths + _BETWEEN_IN) - widths - _BETWEEN_IN
        self.end: Real = self.start + widths
        lows = [track.low for track in tracks]
        self._parts = [part for low in lows for part in low.parts]
        self._many = len(lows[0].parts)
        self._p, self._q = (np.concatenate([one.ends[side] for one in tracks]) for side in (0, 1))
        self._dp, self._dq = (
            np.concatenate([one.velocity[side] for one in tracks]) for side in (0, 1)
        )
        self._dup = np.concatenate([one.risen for one in tracks])
        self._columns = {
            name: np.concatenate([getattr(low, name) for low in lows]) for name in _COLUMNS
        }
        self._radii = tuple(np.concatenate([low.radii[side] for low in lows]) for side in (0, 1))
        pole, order = (np.concatenate(one) for one in zip(*map(_unordered, lows), strict=True))
        self._bolt_order = pole, order
        self._gauges = [Gauge(low) for low in lows]
        self._known: dict[MeasureName, dict[int, tuple[float, str]]] = like.kept.setdefault(
            _KNOWN, {}
        )
        self._measures = {**MEASURES, **{measure: self._still(measure) for measure in STILL}}
        self._near = (self._columns["tags"] & int(Tag.NEARBY)) != 0
        # these are the same on every track
        self.far_unknown = np.tile(self._gauges[0].far_unknown, len(lows))
        self.span = np.tile(self._gauges[0].span, len(lows))

    def middle_way(self, part: Whole) -> Real:
        """How far the middles of parts go for an inch of the item."""
        way: Real = 0.5 * (self._dp[part] + self._dq[part])
        return way

    def place(self, track: int, up: float) -> float:
        """Where on the course the item of a track is at a height."""
        return float(self.start[track]) + up - self.tracks[track].up[0]

    def up(self, track: Whole, place: Real) -> Real:
        """The heights of the items of tracks at places on the course."""
        up: Real = self._lowest[track] + place - self.start[track]
        return up

    def number(self, track: Whole, part: Whole) -> Whole:
        """The numbers on the course of parts of tracks."""
        return track * self._many + part

    @cached_property
    def boxes(self) -> Any:
        """The boxes among the parts of all tracks, as a gauge has them."""
        each = [gauge.boxes for gauge in self._gauges]
        before = np.cumsum([0, *(len(boxes.half) for boxes in each)])
        numbers = [
            np.where(boxes.number >= 0, boxes.number + first, -1)
            for boxes, first in zip(each, before.tolist(), strict=False)
        ]
        columns = {
            name: np.concatenate([getattr(boxes, name) for boxes in each])
            for name in ("centre", "axes", "half")
        }
        return each[0]._replace(number=np.concatenate(numbers), **columns)

    @cached_property
    def stout(self) -> Real:
        """How far the surface of every part is from its axis at most."""
        stout: Real = np.maximum(*self._radii)
        boxes = np.nonzero(self.boxes.number >= 0)[0]
        half = self.boxes.half[self.boxes.number[boxes]]
        stout[boxes] = np.hypot(half[:, 1], half[:, 2])
        return stout

    @cached_property
    def sags(self) -> tuple[Real, Real]:
        """Least and most sag of every part, as a gauge has them."""
        least, most = zip(*(gauge.sags for gauge in self._gauges), strict=True)
        return np.concatenate(least), np.concatenate(most)

    @cached_property
    def reach(self) -> tuple[Real, Real]:
        """Lowest and highest point of every body at its lower knot."""
        low, high = zip(*(gauge.reach for gauge in self._gauges), strict=True)
        return np.concatenate(low), np.concatenate(high)

    def fastest(self, a: Whole, b: Whole) -> tuple[Real, Real]:
        """How fast pairs come nearer at most, in plan and at all, inches for one of the item."""
        moves: Real = np.where(a == b, 0.0, 1.0)
        one, other = (np.stack([self._dp[part], self._dq[part]]) for part in (a, b))
        way = one[:, None] - other * moves[:, None]
        level = way[..., :2]
        flat, risen = (np.sqrt(np.vecdot(each, each).max(axis=(0, 1))) for each in (level, way))
        every = np.maximum(risen, np.abs(self._dup[a] - self._dup[b] * moves))
        return np.where(np.isnan(flat), 1.0, flat), np.where(np.isnan(every), 1.0, every)

    def sinks(self, a: Whole, b: Whole) -> Yes:
        """Which pairs have a wire of another line, whose sag counts no farther than to the other.

        So it comes nearer with what is under it.
        """
        hangs: Yes = self._near & (self.sags[1] > 0.0)
        sinks: Yes = hangs[a] | hangs[b]
        return sinks

    def passing(self, a: Whole, b: Whole, track: Whole) -> tuple[Real, Real]:
        """At which places the straight lines of pairs cross, and how fast they part from there.

        Lines that are not parallel come straight nearer: only what moves square to both counts.
        NaN for no such place.
        """
        one, two = self._q[a] - self._p[a], self._q[b] - self._p[b]
        way = self._dp[a] - self._dp[b]
        across = np.cross(one, two)
        sizes = np.sqrt(np.vecdot(one, one) * np.vecdot(two, two))
        size = np.sqrt(np.vecdot(across, across))
        crossed = size > _ONE_WAY * sizes
        across /= np.where(crossed, size, np.nan)[:, None]
        closing = np.vecdot(way, across)
        closing = np.where(np.abs(closing) > _STILL, closing, np.nan)
        at: Real = self.start[track] - np.vecdot(self._p[a] - self._p[b], across) / closing
        speed: Real = np.where(crossed, np.abs(closing), np.sqrt(np.vecdot(way, way)))
        return at, speed

    def at_one(self, a: Whole, b: Whole) -> Yes:
        """Which pairs are of straight things that keep their directions, with no sag that counts.

        The distance of two such things is a convex function of the place.
        """
        part = np.concatenate([a, b])
        turned = np.abs(self._dp[part] - self._dq[part]).max(axis=1) > _STILL
        bent = (turned | np.isnan(self._dp[part, 0]) | self._near[part]).reshape(2, -1).any(axis=0)
        r_p, r_q = self._radii
        at_one: Yes = ~bent & (r_p[b] == r_q[b])
        return at_one

    def off_surface(self, a: Whole, b: Whole, track: Whole) -> Real:
        """How far things at least keep from the surfaces of long round ones that stay.

        They keep off the axis, however long it were, by what they are off it half way less what
        they go square to it, and the surface is as far from it as its taper has it where they
        pass. Infinitely far below 0 where that is not known.
        """
        axis = self._q[b] - self._p[b]
        size = np.sqrt(np.vecdot(axis, axis))
        known = (self.boxes.number[b] < 0) & (size > 0.0)
        known &= np.abs(np.hstack([self._dp[b], self._dq[b]])).max(axis=1) <= _STILL
        size = np.where(size > 0.0, size, 1.0)
        axis = axis / size[:, None]

        def split(vector: Real) -> tuple[Real, Real]:
            """How long vectors are along the axis and square to it."""
            lengthwise = np.vecdot(vector, axis)
            off = vector - lengthwise[:, None] * axis
            return lengthwise, np.sqrt(np.vecdot(off, off))

        half = (0.5 * (self.end - self.start))[track]
        p, q = (
            ends[a] + ways[a] * half[:, None]
            for ends, ways in ((self._p, self._dp), (self._q, self._dq))
        )
        up = [np.vecdot(end - self._p[b], axis) for end in (p, q)]
        sides = np.minimum(*up) - 1.0, np.maximum(*up) + 1.0
        s, _ = closest(p, q, *(self._p[b] + axis * side[:, None] for side in sides))
        off_axis = split(along(p, q, s) - self._p[b])
        moved = [split(ways[a]) for ways in (self._dp, self._dq)]
        along_axis, square = (np.maximum(*one) * half for one in zip(*np.abs(moved), strict=True))
        # however long the thing were it would keep off by what its line does
        normal = np.cross(q - p, axis)
        width = np.sqrt(np.vecdot(normal, normal))
        normal /= np.where(width > 0.0, width, 1.0)[:, None]
        turned = np.abs(self._dp[a] - self._dq[a]).max(axis=1) > _STILL
        lines = np.abs(np.vecdot(normal, p - self._p[b]))
        lines -= np.abs(np.vecdot(normal, self._dp[a])) * half
        least = np.maximum(off_axis[1] - square, np.where(turned, 0.0, lines))
        # farther along a slanting thing the surface may come nearer by the taper
        r_p, r_q = (radii[b] for radii in self._radii)
        taper = (r_q - r_p) / size
        run, rise = split(q - p)[::-1]
        nearer = np.minimum(1.0, np.abs(taper * rise) / np.where(run > 0.0, run, 1e-9))
        thick = r_p + taper * np.clip(off_axis[0] + [-along_axis, along_axis], 0.0, size)
        keeps = least * np.sqrt(1.0 - nearer**2) - thick.max(axis=0)
        return np.where(known & ~np.isnan(keeps), keeps, -np.inf)

    def beside(self, a: Whole, b: Whole, track: Whole) -> Real:
        """How far apart the axes of pairs are in plan, half way along their tracks.

        No sag has a say in it.
        """
        half = (0.5 * (self.end - self.start))[track, None]
        ends = [
            ends[part, :2] + way[part, :2] * half
            for part in (a, b)
            for ends, way in ((self._p, self._dp), (self._q, self._dq))
        ]
        s, t = closest(*ends)
        apart = along(ends[0], ends[1], s) - along(ends[2], ends[3], t)
        return np.hypot(apart[:, 0], apart[:, 1])

    def off_faces(self, a: Whole, b: Whole, track: Whole) -> Real:
        """How far things are out of the upright faces of boxes, half way along their tracks.

        Infinitely far below 0 for boxes without.
        """
        half = (0.5 * (self.end - self.start))[track, None]
        p, q = (
            ends[a] + ways[a] * half for ends, ways in ((self._p, self._dp), (self._q, self._dq))
        )
        centre = 0.5 * (self._p[b] + self._q[b]) + self.middle_way(b) * half
        box = self.boxes.number[b]
        axes, sizes = self.boxes.axes[box], self.boxes.half[box]
        one, other = (np.vecdot(axes, (end - centre)[:, None]) for end in (p, q))
        off = np.maximum(np.minimum(one, other), -np.maximum(one, other)) - sizes
        upright = (np.abs(axes[:, :, 2]) <= _STILL) & (box >= 0)[:, None]
        out: Real = np.where(upright, off, -np.inf).max(axis=1) - self.stout[a]
        return out

    def near(self, a: Whole, b: Whole, keep: Real, track: Whole, sags: Yes) -> tuple[Real, Real]:
        """Places between which pairs may be nearer than asked, up and down.

        Outside these everything of one is higher than all of the other, by more than `keep`, with
        what it may hang down: where it `sags`, and beside a wire of another line. Where no such
        places are known they are all; none where the first is above the second.
        """
        sags = sags | self._near[a] | self._near[b]
        up_a, down_a = self._upright(a, sags)
        up_b, down_b = self._upright(b, sags)
        start = self.start[track]
        last = self.end[track] - start
        low, high = np.zeros(len(a)), last
        clear = [self._apart(down_a, up_b, keep, last), self._apart(down_b, up_a, keep, last)]
        for begins, ends in (*clear, *clear):
            there = begins <= ends
            low = np.where(there & (begins <= low), np.maximum(low, ends), low)
            high = np.where(there & (ends >= high), np.minimum(high, begins), high)
        return low + start, high + start

    def level(self, a: Whole, b: Whole, track: Whole) -> tuple[Real, Real]:
        """At which places the supports of two wires are level, and how fast they part from there.

        NaN for none.
        """
        apart = self._p[a, 2] - self._p[b, 2]
        slope = self._dp[a, 2] - self._dp[b, 2]
        slope = np.where(np.abs(slope) <= _STILL, np.nan, slope)
        return self.start[track] - apart / slope, np.abs(slope)

    def _upright(self, part: Whole, sags: Yes) -> tuple[tuple[Real, Real], tuple[Real, Real]]:
        """Heights of the ends of parts, with all they reach up and down, and how they change."""
        z = np.stack([self._p[part, 2], self._q[part, 2]])
        slope = np.stack([self._dp[part, 2], self._dq[part, 2]])
        reach_low, reach_high = (reach[part] for reach in self.reach)
        # where a sag is not known no measure counts any
        least, most = (np.where(sags, np.fmax(sag[part], 0.0), 0.0) for sag in self.sags)
        radius = np.maximum(*(radii[part] for radii in self._radii))
        up = radius + np.maximum(0.0, reach_high - z.max(axis=0))
        down = radius + np.maximum(0.0, z.min(axis=0) - reach_low) + np.maximum(least, most)
        return (z + up, slope), (z - down, slope)

    @staticmethod
    def _apart(
        upper: tuple[Real, Real], lower: tuple[Real, Real], keep: Real, last: Real
    ) -> tuple[Real, Real]:
        """From and up to which height all of one lies over all of another."""
        apart, slope = (one[:, None] - other for one, other in zip(upper, lower, strict=True))
        apart -= keep
        turn = -apart / np.where(slope == 0.0, 1.0, slope)
        begins = np.where(slope > 0.0, np.maximum(turn, 0.0), 0.0).max(axis=(0, 1))
        ends = np.where(slope < 0.0, np.minimum(turn, last), last).min(axis=(0, 1))
        # what is not known lies over nothing
        never = np.isnan(apart) | np.isnan(slope) | ((slope == 0.0) & ~(apart >= 0.0))
        return np.where(never.any(axis=(0, 1)), np.inf, begins), ends

    def judge(self, asked: Asked, unit: Whole, place: Real) -> Judged:
        """Units of what is asked at places, their rows one after the other."""
        counts = asked.count[unit]
        first = np.cumsum(counts) - counts
        of = np.arange(counts.sum()) - np.repeat(first - asked.start[unit], counts)
        rise = np.repeat(place - self.start[asked.track[unit]], counts)
        many = asked.measure[of]
        # pairs of one measure lie side by side
        order = np.argsort(many, kind="stable")
        scene, gauge, a, b = self._scene(asked.a[of[order]], asked.b[of[order]], rise[order])
        pair = np.empty_like(order)
        pair[order] = np.arange(len(order))
        built = self._plan(asked, of, Pairs(a, b), pair)
        sides = asked.sides[:, unit[counts > 1]]
        built = built._replace(boxed=Boxed(*np.where(sides >= 0, sides + first[counts > 1], -1)))
        found = measured(scene, built, gauge, self._measures, everywhere=True, speaks_of=_BY_PLACE)
        spare = spares(built.rows, found.gap) + 0.5 * HAIR_IN
        spare = np.where((found.lost > 0) | np.isnan(spare), np.inf, spare)
        counts_there = best_way_of_boxes(built, found) & (found.lost == 0)
        lost: set[tuple[int, str]] = set()
        unsaid = np.nonzero(found.live & (found.lost > 0))[0]
        if len(unsaid):
            tracks = asked.track[np.repeat(unit, counts)[unsaid]].tolist()
            texts = [found.texts[number] for number in found.lost[unsaid].tolist()]
            lost = set(zip(tracks, texts, strict=True))
        return Judged(spare, counts_there & (spare < 0.0), lost)

    def spoken(self) -> Yes:
        """Which rows of the plan speak of their pairs, as far as height has no say in it."""
        rows, pairs = self.plan.rows, self.plan.pairs
        of, kept = self._like.kept.get(_SPOKEN, (None, None))
        if of is not rows.pair:
            scene = Scene(self._like.job, self._like.stage, self._like.poles, self._like.parts)
            scene.take_numbers(self._like)
            scene.__dict__["bolt_order"] = _unordered(self._like)
            spoken = np.ones(len(pairs.a), dtype=bool)
            for measure, first, end in self.plan.measures:
                if measure in _BY_KIND:
                    some = slice(first, end)
                    spoken[some] = _BY_KIND[measure](scene, pairs.a[some], pairs.b[some])
            kept = spoken[rows.pair]
            self._like.kept[_SPOKEN] = rows.pair, kept
        return cast("Yes", kept)

    def _scene(self, a: Whole, b: Whole, rise: Real) -> tuple[Scene, Gauge, Whole, Whole]:
        """A scene of pairs of parts, each so far above the lower knot, and their numbers in it."""
        count = len(a)
        every, rise = np.concatenate([a, b]), np.concatenate([rise, rise])
        low = self.tracks[0].low
        parts = cast("tuple[Part, ...]", _Parts(self._parts, every))
        scene = Scene(low.job, low.stage, low.poles, parts)
        known = scene.__dict__
        known["ends"] = tuple(
            ends.take(every, axis=0) + way.take(every, axis=0) * rise[:, None]
            for ends, way in ((self._p, self._dp), (self._q, self._dq))
        )
        known["ups"] = self._columns["ups"][every] + self._dup[every] * rise
        for name in _COLUMNS[1:]:
            known[name] = self._columns[name][every]
        known["radii"] = tuple(radius[every] for radius in self._radii)
        known["bolt_order"] = tuple(column[every] for column in self._bolt_order)
        one = np.arange(count)
        gauge = _PairGauge(scene, self, every, rise)
        return scene, gauge, one, np.where(a == b, one, one + count)

    def _plan(self, asked: Asked, of: Whole, pairs: Pairs, pair: Whole) -> Plan:
        """The plan of some of the rows asked for, in pairs of their own."""
        rows = asked.rows
        columns = {name: getattr(rows, name)[of] for name in _SAME}
        ends = np.cumsum(np.bincount(asked.measure[of], minlength=len(self.plan.measures)))
        begin = 0
        measures = []
        for (name, _, _), end in zip(self.plan.measures, ends.tolist(), strict=True):
            if end > begin:
                measures.append((name, begin, end))
            begin = end
        return self.plan._replace(
            rows=Rows(a=pairs.a[pair], b=pairs.b[pair], pair=pair, **columns),
            pairs=pairs,
            measures=tuple(measures),
            placed=self._placed(asked, of, pairs, pair),
        )

    def _placed(self, asked: Asked, of: Whole, pairs: Pairs, pair: Whole) -> Placed:
        placed = self.plan.placed
        here = np.nonzero(asked.place[of] >= 0)[0]
        old = asked.place[of[here]]
        crossing, crossed = [], []
        taken = 0
        for of_rule, _, far in placed.crossing:
            mine = np.nonzero(np.isin(old, of_rule))[0]
            crossing.append((mine, np.arange(taken, taken + len(mine)), far))
            crossed.append(mine)
            taken += len(mine)
        return Placed(
            row=here,
            a=pairs.a[pair[here]],
            b=pairs.b[pair[here]],
            which=np.arange(len(here)),
            closer=placed.closer[old],
            within_up=placed.within_up[old],
            within_side=placed.within_side[old],
            above=placed.above[old],
            crossed=np.concatenate(crossed) if crossed else np.zeros(0, dtype=np.int64),
            crossing=tuple(crossing),
        )

    def _still(self, measure: MeasureName) -> Measure:
        """A measure that height has no say in: what it finds of a pair is kept."""

        def measured_once(gauge: Gauge, a: Whole, b: Whole) -> Measured:
            every = cast("_PairGauge", gauge).every % self._many
            pairs, back = np.unique(every[a] * self._many + every[b], return_inverse=True)
            keys = pairs.tolist()
            known = self._known.setdefault(measure, {})
            left = [key for key in keys if key not in known]
            if left:
                found = MEASURES[measure](Gauge(self._like), *np.divmod(left, self._many))
                for row, key in enumerate(left):
                    known[key] = float(found.gap[row]), found.missing.get(row, "")
            gap = np.array([known[key][0] for key in keys])[back]
            texts = [known[key][1] for key in keys]
            missing = {row: texts[key] for row, key in enumerate(back.tolist()) if texts[key]}
            none, nowhere = np.zeros(len(a)), np.full((len(a), 3), np.nan)
            return Measured(gap, none, nowhere, nowhere, none > 0.0, missing)

        return measured_once


_COLUMNS = ("ups", "tags", "tolerances", "far_tolerances", "sag_tolerances")
_SAME = tuple(name for name in Rows._fields if name not in ("a", "b", "pair"))


class Asked:
    """The rows of a course's plan that are asked for: judged alone, or met together as one unit.

    Attributes:
        track: the number of the track of each unit.
        start, count: which of the rows are those of each unit.
        sides: the rows of each unit in the order of `Boxed`, counted within it; -1 for none.
        row: the number of each row in the plan.
        rows: these rows of the plan.
        a, b: the numbers of the parts of each row on the course.
        measure: the number of the measure of each row among those of the plan.
        place: the number of each row among those that lie as asked, -1 for any other.
        within: how far apart up and down the parts of each row may be for it to speak of them.
    """

    def __init__(self, course: Course, rows: Sequence[Whole]) -> None:
        """The units of some rows of each track."""
        planned = course.plan
        found = [self._units(planned, one) for one in rows]
        self.count, self.sides, self.row = (
            np.concatenate([one[column] for one in found], axis=-1) for column in (0, 1, 2)
        )
        self.start = np.cumsum(self.count) - self.count
        self.track = np.repeat(np.arange(len(found)), [len(one[0]) for one in found])
        self.rows = Rows(*(column[self.row] for column in planned.rows))
        track = np.repeat(self.track, self.count)
        self.a, self.b = (course.number(track, part) for part in (self.rows.a, self.rows.b))
        placed = np.full(len(planned.rows.a), -1)
        placed[planned.placed.row] = np.arange(len(planned.placed.row))
        self.place: Whole = placed[self.row]
        within = np.full(len(planned.rows.a), np.inf)
        within[planned.placed.row] = planned.placed.within_up
        self.within: Real = within[self.row]
        ends = [end for _, _, end in planned.measures]
        self.measure = np.searchsorted(ends, self.rows.pair, side="right")

    @staticmethod
    def _units(planned: Plan, rows: Whole) -> tuple[Whole, Whole, Whole]:
        """How many rows each unit has, its sides, and the rows in their order."""
        sides = np.array(planned.boxed, dtype=np.int64).reshape(len(planned.boxed), -1)
        known = sides >= 0
        tied = np.zeros(len(planned.rows.a), dtype=bool)
        tied[sides[known]] = True
        wanted = np.zeros(len(planned.rows.a), dtype=bool)
        wanted[rows] = True
        single = rows[~tied[rows]]
        boxes = np.nonzero((known & wanted[np.maximum(sides, 0)]).any(axis=0))[0]
        known = known[:, boxes]
        together = sides[:, boxes].T
        none = np.full((len(sides), len(single)), -1)
        within = np.where(known, np.cumsum(known, axis=0) - 1, -1)
        return (
            np.concatenate([np.ones(len(single), dtype=np.int64), known.sum(axis=0)]),
            np.hstack([none, within]),
            np.concatenate([single, together[together >= 0]]),
        )


class _PairGauge(Gauge):
    """A gauge of pairs at places of a course; `every` are the parts' numbers there."""

    def __init__(self, scene: Scene, course: Course, every: Whole, rise: Real) -> None:
        super().__init__(scene)
        self._course, self.every, self._rise = course, every, rise

    def approaches(self, a: Whole, b: Whole) -> Approach:
        """Where pairs of wires come closest in plan: of all others there are too many."""
        return self._approach(a, b)

    @cached_property
    def sags(self) -> tuple[Real, Real]:
        """Least sag of every part, 0 where there is none, and most sag, NaN where not known."""
        least, most = self._course.sags
        return least[self.every], most[self.every]

    @cached_property
    def far_unknown(self) -> Yes:
        """Which parts are wires of unknown far height."""
        return self._course.far_unknown[self.every]

    @cached_property
    def span(self) -> Whole:
        """The number of each wire's span, -1 for what is in none."""
        return self._course.span[self.every]

    @cached_property
    def boxes(self) -> Any:
        """The boxes among the parts."""
        known, every = self._course.boxes, self.every
        which = known.number[every]
        here = np.nonzero(which >= 0)[0]
        numbers = np.full(len(every), -1)
        numbers[here] = np.arange(len(here))
        of = which[here]
        step = self._course.middle_way(every[here]) * self._rise[here, None]
        return known._replace(
            number=numbers, centre=known.centre[of] + step, axes=known.axes[of], half=known.half[of]
        )


class _Parts(Sequence[Part]):
    """The parts of a scene of pairs: what they are. Where they are only its numbers say."""

    def __init__(self, parts: list[Part], every: Whole) -> None:
        self._parts = parts
        self._every: list[int] = every.tolist()

    def __len__(self) -> int:
        return len(self._every)

    @overload
    def __getitem__(self, index: int) -> Part: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Part]: ...

    def __getitem__(self, index: int | slice) -> Part | Sequence[Part]:
        if isinstance(index, slice):
            return [self._parts[number] for number in self._every[index]]
        return self._parts[self._every[index]]

    def __iter__(self) -> Iterator[Part]:
        return (self._parts[number] for number in self._every)
