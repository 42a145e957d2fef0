"""Many heights of one thing measured at once, by the measures every check uses.

Between two knots of its pole's taper everything that moves with an item moves in a straight line
when the item goes up the pole. So two scenes, placed at the knots, give every height between: the
parts that moved are stacked beside those that stay, one copy for each height, and the plan's rows
are repeated for the copies.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple, TypeAlias, cast, overload

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from framer.checks.engine import best_way_of_boxes, measured, spares
from framer.checks.measures import MEASURES, Approach, Gauge, Measured
from framer.checks.plan import Boxed, Pairs, Placed, Plan, Rows
from framer.geometry.scene import Box, Part, Scene, Tag
from framer.units.compare import HAIR_IN

Whole: TypeAlias = NDArray[np.int64]
Real: TypeAlias = NDArray[np.float64]
Yes: TypeAlias = NDArray[np.bool_]

_STILL = 1e-9


class Judged(NamedTuple):
    """What rows have to spare at their heights, row by row.

    Attributes:
        spare: what is left over, negative when short, whatever the conditions of place say;
            infinite where it cannot be said.
        short: whether the row counts there and is short.
        lost: the text that says what is not known there, empty when all is.
    """

    spare: Real
    short: Yes
    lost: tuple[str, ...]


class Track:
    """The parts of a scene between two heights of one item.

    Attributes:
        low: the scene with the item at the lower knot.
        up: how far up its pole the item is at both knots.
        moves: which parts move with it; `moved` are their numbers.
        jumpers: which are pieces of jumpers.
        velocity: how far both ends of every part go for an inch of the item.
    """

    def __init__(self, low: Scene, high: Scene, up: tuple[float, float]) -> None:
        self.low, self.high, self.up = low, high, up
        width = up[1] - up[0]
        (p, q), (p_high, q_high) = low.ends, high.ends
        self._p, self._q = p, q
        self._dp, self._dq = (p_high - p) / width, (q_high - q) / width
        self._dup = (high.ups - low.ups) / width
        ends = np.hstack([self._dp, self._dq, self._dup[:, None]])
        self.moves: Yes = np.any(np.abs(np.nan_to_num(ends)) > _STILL, axis=1)
        self.velocity = np.stack([self._dp, self._dq])
        self._gauge = Gauge(low)
        self.jumpers: Yes = (low.tags & int(Tag.JUMPER)) != 0
        self._copies = np.cumsum(self.moves) - 1
        self.moved = np.nonzero(self.moves)[0]

    def off(self, scene: Scene, up: float) -> float:
        """How far anything is, in a scene between both, from where the straight way has it.

        The path of a jumper bends as it gets longer; jumpers are not followed.
        """
        lift = up - self.up[0]
        p, q = scene.ends
        apart = np.hstack([p - self._p - self._dp * lift, q - self._q - self._dq * lift])
        apart = np.where(self.jumpers[:, None], 0.0, np.abs(np.nan_to_num(apart)))
        return float(apart.max(initial=0.0))

    def fastest(self, a: Whole, b: Whole, level: Yes) -> Real:
        """How fast the gaps of pairs can change at most, inches for an inch of the item.

        Of those that are measured on the level, in plan, only what moves sideways counts.
        """
        still = np.where((a == b)[None, :, None], 0.0, self.velocity[:, b])
        ways = [self.velocity[i][a] - still[j] for i in (0, 1) for j in (0, 1)]
        flat = np.max([np.hypot(way[:, 0], way[:, 1]) for way in ways], axis=0)
        ups = np.abs(self._dup[a] - np.where(a == b, 0.0, self._dup[b]))
        risen = np.max([np.linalg.norm(way, axis=1) for way in ways], axis=0)
        rate = np.nan_to_num(np.where(level, flat, np.maximum(risen, ups)), nan=1.0)
        # the hottest sag of a wire of another line counts no farther than to what is under it,
        # and so comes nearer with it
        near = self._gauge.near
        doubled: Real = np.where(near[a] | near[b], 2.0 * rate, rate)
        return doubled

    def near(self, a: Whole, b: Whole, keep: Real) -> tuple[Real, Real]:
        """Heights of the item between which pairs may be nearer than asked, up and down.

        Outside these everything of one is higher than all of the other, by more than `keep`, with
        what it may hang down. Where no such heights are known they are all; none where the first
        is above the second.
        """
        up_a, down_a = self._upright(a)
        up_b, down_b = self._upright(b)
        low, high = np.zeros(len(a)), np.full(len(a), self.up[1] - self.up[0])
        clear = [
            self._apart(down_a, up_b, keep, high),
            self._apart(down_b, up_a, keep, high),
        ]
        for begins, ends in (*clear, *clear):
            there = begins <= ends
            low = np.where(there & (begins <= low), np.maximum(low, ends), low)
            high = np.where(there & (ends >= high), np.minimum(high, begins), high)
        return low + self.up[0], high + self.up[0]

    def level(self, a: Whole, b: Whole) -> Real:
        """At which height of the item the supports of two wires are level; NaN for none."""
        apart = self._p[a, 2] - self._p[b, 2]
        slope = self._dp[a, 2] - self._dp[b, 2]
        none = np.abs(slope) <= _STILL
        at: Real = np.where(none, np.nan, self.up[0] - apart / np.where(none, 1.0, slope))
        return at

    def _upright(self, part: Whole) -> tuple[tuple[Real, Real], tuple[Real, Real]]:
        """Heights of the ends of parts, with all they reach up and down, and how they change."""
        z = np.stack([self._p[part, 2], self._q[part, 2]])
        slope = np.stack([self._dp[part, 2], self._dq[part, 2]])
        reach_low, reach_high = (reach[part] for reach in self._gauge.reach)
        # where a sag is not known no measure counts any
        least, most = (np.nan_to_num(sag[part]) for sag in self._gauge.sags)
        radius = np.maximum(*(radii[part] for radii in self.low.radii))
        up = radius + np.maximum(0.0, reach_high - z.max(axis=0))
        down = radius + np.maximum(0.0, z.min(axis=0) - reach_low) + np.maximum(least, most)
        return (z + up, slope), (z - down, slope)

    @staticmethod
    def _apart(
        upper: tuple[Real, Real], lower: tuple[Real, Real], keep: Real, last: Real
    ) -> tuple[Real, Real]:
        """From and up to which height all of one lies over all of another."""
        begins, ends = np.zeros(len(keep)), last.copy()
        for i, j in ((0, 0), (0, 1), (1, 0), (1, 1)):
            apart, slope = upper[0][i] - lower[0][j] - keep, upper[1][i] - lower[1][j]
            turn = -apart / np.where(slope == 0.0, 1.0, slope)
            begins = np.where(slope > 0.0, np.maximum(begins, turn), begins)
            ends = np.where(slope < 0.0, np.minimum(ends, turn), ends)
            # what is not known lies over nothing
            never = np.isnan(apart) | np.isnan(slope) | ((slope == 0.0) & ~(apart >= 0.0))
            begins = np.where(never, np.inf, begins)
        return begins, ends

    def judge(self, asked: Asked, unit: Whole, up: Real) -> Judged:
        """Units of what is asked at heights of the item, their rows one after the other."""
        heights, at = np.unique(up, return_inverse=True)
        built = self._plan(asked, unit, at, len(heights))
        scene, gauge = self._scene(heights)
        measures = {**MEASURES, "clear square": self._square}
        found = measured(scene, built, gauge, measures, everywhere=True)
        spare = spares(built.rows, found.gap) + 0.5 * HAIR_IN
        spare = np.where((found.lost > 0) | np.isnan(spare), np.inf, spare)
        counts = best_way_of_boxes(built, found) & (found.lost == 0)
        lost = tuple(found.texts[number] for number in np.unique(found.lost[found.live]).tolist())
        return Judged(spare, counts & (spare < 0.0), tuple(filter(None, lost)))

    def lifted(self, number: int, rise_in: float) -> Part:
        """A part as it is with the item so far above the lower knot."""
        part = self.low.parts[number]
        shape = part.shape
        step_p, step_q = self._dp[number] * rise_in, self._dq[number] * rise_in
        if isinstance(shape, Box):
            middle = shape.centre + 0.5 * (step_p + step_q)
            shape = replace(shape, centre=tuple(middle.tolist()))
        elif shape is not None:
            p, q = (shape.p + step_p).tolist(), (shape.q + step_q).tolist()
            shape = replace(shape, p=tuple(p), q=tuple(q))
        return replace(part, shape=shape, up_in=part.up_in + float(self._dup[number]) * rise_in)

    def _number(self, part: Whole, at: Whole, heights: int) -> Whole:
        """The numbers in the stacked scene of parts at heights."""
        copy = len(self.moves) + self._copies[part] * heights + at
        return np.where(self.moves[part], copy, part)

    def _scene(self, heights: Real) -> tuple[Scene, Gauge]:
        """All parts as they stand at the lower knot, then a copy of each moved one by height."""
        low, moved, many = self.low, self.moved, len(heights)
        copied = np.repeat(moved, many)
        rise = np.tile(heights - self.up[0], len(moved))
        parts = _Parts(low.parts, copied, rise, self)
        scene = Scene(low.job, low.stage, low.poles, cast("tuple[Part, ...]", parts))
        every = np.concatenate([np.arange(len(low.parts)), copied])
        lift = np.concatenate([np.zeros(len(low.parts)), rise])
        known = scene.__dict__
        known["ends"] = (
            self._p[every] + self._dp[every] * lift[:, None],
            self._q[every] + self._dq[every] * lift[:, None],
        )
        known["ups"] = low.ups[every] + self._dup[every] * lift
        for name in ("tags", "tolerances", "far_tolerances", "sag_tolerances"):
            known[name] = getattr(low, name)[every]
        known["radii"] = tuple(radius[every] for radius in low.radii)
        pole, order = low.bolt_order
        # one bore keeps off every other, so which of them is the next need not be known
        known["bolt_order"] = pole[every], np.minimum(order[every], 0)
        gauge = _PairGauge(scene)
        base = self._gauge
        least, most = base.sags
        gauge.__dict__["sags"] = least[every], most[every]
        gauge.__dict__["far_unknown"] = base.far_unknown[every]
        gauge.__dict__["boxes"] = self._boxes(every, lift)
        return scene, gauge

    def _boxes(self, every: Whole, lift: Real) -> Any:
        number, centre, axes, half = self._gauge.boxes
        which = number[every]
        boxes = np.nonzero(which >= 0)[0]
        numbers = np.full(len(every), -1)
        numbers[boxes] = np.arange(len(boxes))
        if not len(boxes):
            return self._gauge.boxes._replace(number=numbers)
        of = which[boxes]
        step = 0.5 * (self._dp + self._dq)[every[boxes]] * lift[boxes, None]
        return self._gauge.boxes._replace(
            number=numbers, centre=centre[of] + step, axes=axes[of], half=half[of]
        )

    def _square(self, gauge: Gauge, a: Whole, b: Whole) -> Measured:
        """The clear square of two arms is one of the plan: their heights have no say in it."""
        first = len(self.moves)
        heights = max(1, (len(gauge.scene.parts) - first) // max(1, len(self.moved)))

        def here(part: Whole) -> Whole:
            base = part.copy()
            copies = part >= first
            base[copies] = self.moved[(part[copies] - first) // heights]
            return base

        pairs, back = np.unique(here(a) * first + here(b), return_inverse=True)
        found = MEASURES["clear square"](self._gauge, *np.divmod(pairs, first))
        missing = {
            row: found.missing[number]
            for row, number in enumerate(back.tolist())
            if number in found.missing
        }
        gap, p, q = found.gap[back], found.p[back], found.q[back]
        return Measured(gap, found.thickness[back], p, q, found.away[back], missing)

    def _plan(self, asked: Asked, unit: Whole, at: Whole, heights: int) -> Plan:
        """The plan of some units, each at one of the heights."""
        counts = asked.count[unit]
        first = np.cumsum(counts) - counts
        place = np.arange(counts.sum()) - np.repeat(first - asked.start[unit], counts)
        at = np.repeat(at, counts)
        rows, pairs = asked.plan.rows, asked.plan.pairs
        keys, pair_of = np.unique(rows.pair[place] * heights + at, return_inverse=True)
        of, height = np.divmod(keys, heights)
        measures = tuple(
            (name, *np.searchsorted(keys, (begin * heights, end * heights)).tolist())
            for name, begin, end in asked.plan.measures
        )
        copied = {name: getattr(rows, name)[place] for name in _SAME}
        sides = asked.sides[:, unit[counts > 1]]
        return asked.plan._replace(
            rows=Rows(
                a=self._number(rows.a[place], at, heights),
                b=self._number(rows.b[place], at, heights),
                pair=pair_of,
                **copied,
            ),
            pairs=Pairs(
                self._number(pairs.a[of], height, heights),
                self._number(pairs.b[of], height, heights),
            ),
            measures=measures,
            placed=self._placed(asked, place, at, heights),
            boxed=Boxed(*np.where(sides >= 0, sides + first[counts > 1], -1)),
        )

    def _placed(self, asked: Asked, row: Whole, at: Whole, heights: int) -> Placed:
        placed = asked.plan.placed
        here = np.nonzero(asked.place[row] >= 0)[0]
        old = asked.place[row[here]]
        pair, height = placed.which[old], at[here]
        crossing, crossed = [], []
        taken = 0
        for of_rule, _, far in placed.crossing:
            mine = np.nonzero(np.isin(old, of_rule))[0]
            crossing.append((mine, np.arange(taken, taken + len(mine)), far))
            crossed.append(mine)
            taken += len(mine)
        return Placed(
            row=here,
            a=self._number(placed.a[pair], height, heights),
            b=self._number(placed.b[pair], height, heights),
            which=np.arange(len(here)),
            closer=placed.closer[old],
            within_up=placed.within_up[old],
            within_side=placed.within_side[old],
            above=placed.above[old],
            crossed=np.concatenate(crossed) if crossed else np.zeros(0, dtype=np.int64),
            crossing=tuple(crossing),
        )


_SAME = tuple(name for name in Rows._fields if name not in ("a", "b", "pair"))


class Asked:
    """The rows of a plan that are asked for, as units: judged alone, or met together as one.

    Attributes:
        plan: the plan of these rows alone, the rows of a unit one after the other.
        start, count: which of its rows are those of each unit.
        sides: the rows of each unit in the order of `Boxed`, counted within it; -1 for none.
        place: the number of each row among those that lie as asked, -1 for any other.
        row: the number of each of its rows in the whole plan.
    """

    def __init__(self, planned: Plan, rows: Whole, *, alone: bool = False) -> None:
        """The units of some rows, or each of them `alone`."""
        sides = np.array(planned.boxed, dtype=np.int64).reshape(len(planned.boxed), -1)
        known = sides >= 0
        tied = np.zeros(len(planned.rows.a), dtype=bool)
        if not alone:
            tied[sides[known]] = True
        wanted = np.zeros(len(planned.rows.a), dtype=bool)
        wanted[rows] = True
        single = rows[~tied[rows]]
        boxes = np.nonzero((known & wanted[np.maximum(sides, 0)]).any(axis=0) & (not alone))[0]
        known = known[:, boxes]
        together = sides[:, boxes].T
        self.count = np.concatenate([np.ones(len(single), dtype=np.int64), known.sum(axis=0)])
        self.start = np.cumsum(self.count) - self.count
        self.row = np.concatenate([single, together[together >= 0]])
        none = np.full((len(sides), len(single)), -1)
        within = np.where(known, np.cumsum(known, axis=0) - 1, -1)
        self.sides: Whole = np.hstack([none, within])
        placed = np.full(len(planned.rows.a), -1)
        placed[planned.placed.row] = np.arange(len(planned.placed.row))
        self.place: Whole = placed[self.row]
        pairs, pair = np.unique(planned.rows.pair[self.row], return_inverse=True)
        columns: dict[str, Any] = {
            name: getattr(planned.rows, name)[self.row] for name in Rows._fields
        }
        columns["pair"] = pair
        self.plan = planned._replace(
            rows=Rows(**columns),
            pairs=Pairs(planned.pairs.a[pairs], planned.pairs.b[pairs]),
            measures=tuple(
                (name, *np.searchsorted(pairs, (begin, end)).tolist())
                for name, begin, end in planned.measures
            ),
        )


class _PairGauge(Gauge):
    """A gauge that works out only the pairs asked for: of all others there are too many."""

    _known: tuple[Whole, Approach] | None = None

    def approaches(self, a: Whole, b: Whole) -> Approach:
        """Where pairs of wires come closest in plan; what was asked last is kept."""
        pairs = a * len(self.scene.tags) + b
        at = self._places(pairs)
        if at is None or self._known is None:
            order = np.argsort(pairs)
            self._known = pairs[order], self._approach(a[order], b[order])
            at = np.searchsorted(self._known[0], pairs)
        s, t, p, q, hang = self._known[1]
        missing = {}
        if hang.missing:
            missing = {
                row: hang.missing[number]
                for row, number in enumerate(at.tolist())
                if number in hang.missing
            }
        sags = {name: getattr(hang, name)[at] for name in ("sag_a", "sag_b", "low_a", "low_b")}
        return Approach(s[at], t[at], p[at], q[at], hang._replace(missing=missing, **sags))

    def _places(self, pairs: Whole) -> Whole | None:
        """Where pairs are among those that are kept; `None` unless all are."""
        keys = self._known[0] if self._known is not None else pairs[:0]
        at = np.searchsorted(keys, pairs)
        if not len(keys) or (keys[np.minimum(at, len(keys) - 1)] != pairs).any():
            return None
        return at


class _Parts(Sequence[Part]):
    """The parts of a stacked scene; a copy is made when a measure looks at it."""

    def __init__(self, parts: tuple[Part, ...], copied: Whole, rise: Real, track: Track) -> None:
        self._parts, self._copied, self._rise, self._track = parts, copied, rise, track
        self._made: dict[int, Part] = {}

    def __len__(self) -> int:
        return len(self._parts) + len(self._copied)

    @overload
    def __getitem__(self, index: int) -> Part: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Part]: ...

    def __getitem__(self, index: int | slice) -> Part | Sequence[Part]:
        if isinstance(index, slice):
            return [self[number] for number in range(*index.indices(len(self)))]
        if index < len(self._parts):
            return self._parts[index]
        made = self._made.get(index)
        if made is None:
            copy = index - len(self._parts)
            number, rise = int(self._copied[copy]), float(self._rise[copy])
            made = self._made[index] = self._track.lifted(number, rise)
        return made

    def __iter__(self) -> Iterator[Part]:
        """What the parts are, in their order; where a copy is only its number says."""
        yield from self._parts
        yield from (self._parts[number] for number in self._copied.tolist())
