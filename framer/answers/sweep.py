"""At which heights of things is a row short: found by halving doubts, not by trying them all.

An inch of the item changes no gap by more than its parts move. So between two heights with enough
to spare nothing can be short, and only the heights where it can be are looked at more closely.
Heights are places on a course of one or more tracks.
"""

from __future__ import annotations

from collections.abc import Container, Sequence
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.answers.stacked import STILL, Asked, Course
from framer.answers.work import Work

Whole: TypeAlias = NDArray[np.int64]
Real: TypeAlias = NDArray[np.float64]
Yes: TypeAlias = NDArray[np.bool_]

FINE_IN = 0.6
"""Heights are looked at this closely wherever a row may be short; what is short over less than
this and nowhere beside it would be less than a hundredth of an inch short."""

SAME_IN = 1 / 16
"""A gap that changes by less than this over all heights is one that height has no say in."""

_JUMPS_IN = 3.0
"""How closely a row is looked at that speaks only of parts that lie as its rule asks."""

_CLOSE_IN = 0.005
_FLAT_IN = 0.01
_FEW = 4
_INNER, _MOST_INNER, _AT_ONCE = 4, 6, 400
_SURE_IN = 1.0
_FAR_IN, _TOUCH_IN, _END_IN = 1e6, 1e-5, 0.1

_NEAR_IN, _FARTHER = 2e-4, 20.0
"""How near to where a row seems to turn it is looked at on both sides, and how much farther off
the next looks are."""

_LEVEL = {"horizontal"}
"""Measures in plan: how far apart two wires are there does not change as one goes straight up."""

_UPRIGHT = {
    "surface",
    "slant",
    "centre line",
    "vertical",
    "mid-span",
    "arm spacing",
    "bore spacing",
    "bore to gain",
    "clear of a space",
}
"""Measures that are no less than the height of one thing over another."""

_BETWEEN = {"vertical", "arm spacing"}
"""Measures of how far one thing is over another, or under it."""

_AROUND = {"surface", "slant", "centre line"}
"""Measures that are no less than the distance in plan."""

_ROUND = {"surface"}
"""Measures that end at the surface of the second thing."""

_FACED = {"clear of a space"}
"""Measures that are no less than how far a thing is out of any face of the second one, a box."""

_LINEAR = {"mid-span", "below top"}
"""Measures that change evenly as a thing goes up."""

_SAGGING = {"mid-span"}
"""Of the measures no less than a height, those for which the sag of our own wires counts."""

_BY_ORDER = {"mid-span"}
"""Measures that ask which of two supports is higher, and change at once where they are level."""

_BESIDE_IN = 4e-7
"""Such a measure is looked at so near to both sides of where it changes at once."""

_LEAST_FALL = 1e-6
"""More than rounding makes of a slope, inches for an inch."""

_MARGIN_IN = 6.0
"""More than what an arm is let in by, and than the slant of a bolt comes to."""

_PLAN_IN = 0.1
"""More than what rounding and the taper of a body come to in plan."""

_MOSTLY = 0.9
"""What seems to be proved but for this share of what may stay in doubt is not looked at."""

_WIDE = 0.4
"""What may be short over more than this share of all heights is looked at all over."""


class Stretch(Struct, frozen=True):
    """A row that is short from one height of the item to another, up its pole."""

    row: int
    low: float
    high: float


class Swept(NamedTuple):
    """What is short where on one track.

    Attributes:
        short: rows and where they are short.
        anyway: rows that are short by the same wherever the item is, with what they have to spare.
        lost: what is not known at some of the heights.
    """

    short: list[Stretch]
    anyway: dict[int, float]
    lost: tuple[str, ...]


class Units:
    """Rows that are judged alone, and rows that are met together as one.

    Attributes:
        low, high: the places of both ends of each unit's track.
        limited: which are judged only where their parts are near up and down.
        need: how near the axes of its parts may be, about, and
        speed: how fast they go past each other,
        rate: how fast what it has to spare can change at most, inches for an inch of the item.
        convex: of which what it has to spare is a convex function of the place, and
        linear: of which it is a straight line; both but for where it changes at once.
        lost: tracks, by number, and texts that say what is not known on them.
    """

    def __init__(self, course: Course, rows: Sequence[Whole]) -> None:
        self.course, self.asked = course, Asked(course, rows)
        self.start, self.count = self.asked.start, self.asked.count
        self.lost: set[tuple[int, str]] = set()
        track, table = self.asked.track, self.asked.rows
        self.low, self.high = course.start[track], course.end[track]
        self._flat, every = course.fastest(self.asked.a, self.asked.b)
        rate = np.where(self._is_of(_LEVEL), self._flat, every)
        rate = np.where(self._is_of(STILL), 0.0, rate)
        rate = np.where(course.sinks(self.asked.a, self.asked.b), 2.0 * rate, rate)
        rate = np.maximum.reduceat(rate, self.start) if len(self.count) else rate
        self.rate = 1.00001 * rate + 1e-9
        sides = self.asked.sides
        unknown = (sides[1::2] >= 0).any(axis=0)
        lost = np.logical_or.reduceat(table.lost_far > 0, self.start) if len(rate) else unknown
        unknown |= lost & (self.count > 1)
        self.jumps = (self.asked.place[self.start] >= 0) | unknown
        # of each row, whether it is one of those up and down of what is met one way or the other
        self._upright = np.ones(len(self.asked.row), dtype=bool)
        for side in sides[:2]:
            there = side >= 0
            self._upright[self.start[there] + side[there]] = False
        # as it nears or leaves what it passes, a unit is met or not by such a row
        passing = self.start.copy()
        for side in sides[4:1:-2]:
            there = side >= 0
            passing[there] = self.start[there] + side[there]
        a, b = self.asked.a[passing], self.asked.b[passing]
        around, round_ = (self._is_of(one)[passing] for one in (_AROUND, _ROUND))
        thick = np.where(table.surface[passing], course.stout[a], 0.0)
        thick += np.where(table.surface[passing] | round_, course.stout[b], 0.0)
        self.need = np.where(np.isnan(table.need), 0.0, table.need)[passing] + thick
        self._passing = passing
        self._crossing, self.speed = np.full(len(a), np.nan), every[passing]
        self._crossing[around], speed = course.passing(a[around], b[around], track[around])
        self.speed[around] = np.fmax(speed, 0.0)
        self.speed += 1e-9
        # what is not known of a far end is not known at some places only
        alone = (self.count == 1) & ~self.jumps & ~lost
        self.linear: Yes = alone & self._is_of(_LINEAR)[self.start]
        self.convex: Yes = alone & (self._is_of(_AROUND) & ~table.most)[self.start]
        some = self.start[self.convex]
        self.convex[self.convex] = course.at_one(self.asked.a[some], self.asked.b[some])
        self.convex |= self.linear
        limited = np.isfinite(self.asked.within)
        self.limited: Yes = np.logical_or.reduceat(limited, self.start) if len(rate) else limited
        self._unit = np.repeat(np.arange(len(self.count)), self.count)
        self._track = track[self._unit]

    def _is_of(self, measures: Container[str]) -> Yes:
        """Which rows are measured by one of these measures."""
        of = [measure in measures for measure, _, _ in self.course.plan.measures]
        return np.array(of, dtype=bool)[self.asked.measure]

    def turns(self) -> Real:
        """Where what is measured of each unit may change at once; NaN for nowhere."""
        a, b = self.asked.a, self.asked.b
        at, _ = self.course.level(a, b, self._track)
        at = np.where(self._is_of(_BY_ORDER), at, np.nan)
        # of what is met together only one is measured so
        turns: Real = np.fmax.reduceat(at, self.start)
        return turns

    def nearest(self) -> tuple[Real, Real, Real]:
        """Where each unit seems to pass something, how far off it turns short, and how fast.

        NaN where that cannot be said. It is where to look first: only what is measured counts.
        """
        rows = self._passing
        a, b = self.asked.a[rows], self.asked.b[rows]
        at, speed = self.course.level(a, b, self._track[rows])
        around = self._is_of(_AROUND)[rows]
        at = np.where(around, self._crossing, np.where(self._is_of(_BETWEEN)[rows], at, np.nan))
        speed = np.where(around, self.speed, speed)
        return at, self.need / speed, speed

    def windows(self) -> tuple[Real, Real]:
        """The places between which each unit may be short; none where the first is above."""
        a, b, table = self.asked.a, self.asked.b, self.asked.rows
        by_height = self._is_of(_UPRIGHT) & ~table.most & (a != b)
        # a rule for what is near up and down speaks of nothing else
        within = self.asked.within
        keep = np.where(by_height, np.minimum(table.need, within), within)
        by_height |= np.isfinite(within)
        sags = self._is_of(_SAGGING) | ~self._is_of(_UPRIGHT)
        begins, ends = self.course.near(a, b, keep + _MARGIN_IN, self._track, sags)
        # of what is met one way or the other, it must be short up and down to be short
        upright_too = np.repeat(
            np.logical_or.reduceat(by_height & (table.unsaid == 0), self.start), self.count
        )
        aside = (np.repeat(self.count, self.count) > 1) & upright_too & ~by_height
        low, high = (np.repeat(ends, self.count) for ends in (self.low, self.high))
        begins = np.where(by_height, begins, np.where(aside, np.inf, low))
        ends = np.where(by_height, ends, np.where(aside, -np.inf, high))
        begins, ends = (
            np.minimum.reduceat(begins, self.start),
            np.maximum.reduceat(ends, self.start),
        )
        begins[self._unit[self._kept_in_plan()]] = np.inf
        return begins, ends

    def _kept_in_plan(self) -> Whole:
        """The rows whose units keep their distance by what they keep in plan, at every height."""
        a, b, table = self.asked.a, self.asked.b, self.asked.rows
        # where one of two directions is met the other need not be
        either = ~self._upright & (table.lost_far == 0) & (table.unsaid == 0)
        faced = self._is_of(_FACED)
        beside = self._is_of(_AROUND) | either | faced
        rows = np.nonzero(beside & ~table.most & (a != b))[0]
        a, b, track = a[rows], b[rows], self._track[rows]
        half = 0.5 * (self.course.end - self.course.start)[track]
        apart = self.course.beside(a, b, track) - self._flat[rows] * half
        stout, surface = self.course.stout, table.surface[rows]
        round_ = self._is_of(_ROUND)[rows]
        apart -= np.where(surface | round_, stout[b], 0.0)
        off = self.course.off_surface(a[round_], b[round_], track[round_])
        apart[round_] = np.maximum(apart[round_], off)
        apart -= np.where(surface, stout[a], 0.0)
        faced = faced[rows]
        off = self.course.off_faces(a[faced], b[faced], track[faced])
        apart[faced] = off - (self._flat[rows] * half)[faced]
        kept: Whole = rows[apart > table.need[rows] + _PLAN_IN]
        return kept

    def row(self, unit: int) -> int:
        """The first row of a unit in the plan."""
        return int(self.asked.row[self.start[unit]])

    def judge(self, unit: Whole, place: Real) -> tuple[Real, Yes]:
        """What units have to spare at places, and whether they are short."""
        if not len(unit):
            return np.zeros(0), np.zeros(0, dtype=bool)
        counts = self.count[unit]
        first = np.cumsum(counts) - counts
        judged = self.course.judge(self.asked, unit, place)
        self.lost |= judged.lost
        if len(judged.spare) == len(unit):
            return judged.spare, judged.short
        short = np.logical_or.reduceat(judged.short, first)
        # the better of two directions counts, of which one is no better than the worse of two
        of = np.arange(len(judged.spare)) - np.repeat(first - self.start[unit], counts)
        upright = self._upright[of]
        worse = np.minimum.reduceat(np.where(upright, judged.spare, np.inf), first)
        worse = np.where(np.logical_or.reduceat(upright, first), worse, -np.inf)
        aside = np.maximum.reduceat(np.where(upright, -np.inf, judged.spare), first)
        # where one of them cannot be judged what is known of the others says nothing of beside it
        vague = self.jumps[unit] & (counts > 1)
        alike = np.repeat(short, counts) == (judged.spare < 0.0)
        least = np.minimum.reduceat(np.where(alike, judged.spare, np.inf), first)
        return np.where(vague, least, np.maximum(worse, aside)), short


def sweep(units: Units, now: Sequence[float], *, whole: bool = False) -> Work[list[Swept]]:
    """Where each unit is short, track by track; a look at a time.

    Args:
        units: what is judged.
        now: where the item of each track is, on the course, which is looked at too.
        whole: tell every stretch to its ends; else only what nothing else is short over as well.
    """
    done: list[tuple[Whole, Real, Real]] = []
    anyway: dict[int, float] = {}
    if len(units.count):
        begins, ends = units.windows()
        turns = units.turns()
        there = np.nonzero(begins < ends)[0]
        wide = (ends - begins > _WIDE * (units.high - units.low)) & np.isnan(turns)
        low, high = begins[there], ends[there]
        apart = ~units.limited[there]
        clear = apart & (low > units.low[there]), apart & (high < units.high[there])
        cells = _over(units, _Over(there, low, high, *clear).cut(turns[there]))
        flat = wide & (np.bincount(cells.unit, minlength=len(wide)) > 0)
        flat[cells.unit[~cells.short_low | ~cells.short_high]] = False
        anyway = _anyway(units, np.nonzero(flat)[0], np.array(now))
        cells = cells.of(~np.isin(cells.unit, list(anyway)))
        while len(cells.unit):
            yield ""
            cells = _looked_at(units, cells, done, whole=whole)
    many = len(units.course.tracks)
    found = [Swept([], {}, ()) for _ in range(many)]
    for unit, spare in anyway.items():
        found[int(units.asked.track[unit])].anyway[units.row(unit)] = spare
    of, low, high = _joined(done)
    if not whole:
        told = _bounding(low, high)
        of, low, high = of[told], low[told], high[told]
    track, course = units.asked.track[of], units.course
    rows = units.asked.row[units.start[of]]
    ups = (course.up(track, low), course.up(track, high))
    for number, row, begin, end in zip(
        track.tolist(), rows.tolist(), *(one.tolist() for one in ups), strict=True
    ):
        found[number].short.append(Stretch(row, begin, end))
    return [
        one._replace(lost=tuple(sorted(text for track, text in units.lost if track == number)))
        for number, one in enumerate(found)
    ]


def _anyway(units: Units, unit: Whole, now: Real) -> dict[int, float]:
    """Which units are short by the same at all heights, and what they have to spare."""
    if not len(unit):
        return {}
    low, high = units.low[unit], units.high[unit]
    nodes = np.linspace(low, high, _FEW + 1, axis=1)
    nodes = np.column_stack([nodes, np.clip(now[units.asked.track[unit]], low, high)])
    spare, short = units.judge(np.repeat(unit, nodes.shape[1]), nodes.ravel())
    spare, short = spare.reshape(nodes.shape), short.reshape(nodes.shape)
    always = short.all(axis=1)
    spread = spare.max(axis=1) - np.where(always, spare.min(axis=1), -np.inf)
    return {
        int(unit[number]): float(spare[number].min())
        for number in np.nonzero(spread < SAME_IN)[0].tolist()
    }


class _Over(NamedTuple):
    """Units between heights of their own.

    Where a unit is clear at the lower or the upper one, by the margin its heights were found with,
    it need not be looked at there.
    """

    unit: Whole
    low: Real
    high: Real
    clear_low: Yes
    clear_high: Yes

    def of(self, which: Yes) -> _Over:
        """Some of them."""
        columns: list[Any] = [column[which] for column in self]
        return _Over(*columns)

    def cut(self, turns: Real) -> _Over:
        """The same in two where something turns at once, without those that have no height."""
        there = (self.low < turns) & (turns < self.high)
        over = self.of(there)
        no, at = np.zeros(len(over.unit), dtype=bool), turns[there]
        below = over._replace(high=at - _BESIDE_IN, clear_high=no)
        above = over._replace(low=at + _BESIDE_IN, clear_low=no)
        pieces = (self.of(~there & (self.low < self.high)), below, above)
        columns: list[Any] = [np.concatenate(column) for column in zip(*pieces, strict=True)]
        return _Over(*columns)


def _over(units: Units, over: _Over) -> _Cells:
    """The cells of units between heights of their own that are not clear at the first look."""
    unit, low, high, *clear = over
    level, off, speed = (one[unit] for one in units.nearest())
    passed = (low < level) & (level < high)
    middle = np.where(passed, level, 0.5 * (low + high))
    rate, alone = units.rate[unit], passed & (units.count[unit] == 1) & ~units.jumps[unit]
    # on both sides of where it seems to turn, if that is known
    turns = np.stack([level - off, level + off])
    turns = np.where((low + _NEAR_IN < turns) & (turns < high - _NEAR_IN), turns, np.nan)
    # what nears as fast as it can is short all the way to the middle by what is short there
    short = np.where(alone & (off * (1.0 - speed / rate) <= _MOSTLY * _CLOSE_IN), np.nan, _NEAR_IN)
    beside = [turns[0] - _NEAR_IN, turns[0] + short, turns[1] - short, turns[1] + _NEAR_IN]
    # and half way from there to what is known to be clear, where that does not prove all between
    halfway = []
    for way, known in zip((turns[0] - low, high - turns[1]), clear, strict=True):
        proved = np.where(known, _MARGIN_IN, np.where(alone, speed * way, 0.0)) / rate
        aside = 0.5 * (way - np.where(known, _MARGIN_IN, 0.0))
        halfway.append(np.where(way - proved <= _MOSTLY * FINE_IN, np.nan, aside))
    beside += [turns[0] - halfway[0], turns[1] + halfway[1]]
    nodes = np.column_stack([low, middle, *beside, high])
    looked = ~np.isnan(nodes)
    looked[:, 0], looked[:, -1] = ~clear[0], ~clear[1]
    spare, short = np.full(nodes.shape, _MARGIN_IN), np.zeros(nodes.shape, dtype=bool)
    row, column = np.nonzero(looked)
    spare[row, column], short[row, column] = units.judge(unit[row], nodes[row, column])
    farthest = np.maximum(high - middle, middle - low)
    doubt = short[:, 1] | (spare[:, 1] <= rate * farthest)
    unit, *columns = (one[doubt] for one in (unit, nodes, spare, short))
    order = np.argsort(columns[0])
    nodes, spare, short = (np.take_along_axis(one, order, axis=1) for one in columns)
    rate = units.rate[unit]
    cells = _cells(units, unit, nodes, spare, short, (rate, rate))
    return cells.of(cells.low < cells.high)


class _Cells(NamedTuple):
    """Stretches between two heights, with what is to spare and whether it is short at both.

    The falls are how fast what is to spare can get less at most, up from the lower height and
    down from the upper one.
    """

    unit: Whole
    low: Real
    high: Real
    spare_low: Real
    spare_high: Real
    short_low: Yes
    short_high: Yes
    fall_low: Real
    fall_high: Real

    def of(self, which: Yes) -> _Cells:
        """Some of the cells."""
        columns: list[Any] = [column[which] for column in self]
        return _Cells(*columns)


def _cells(
    units: Units, unit: Whole, nodes: Real, spare: Real, short: Yes, falls: tuple[Real, Real]
) -> _Cells:
    """The cells between heights, a unit a line; the falls are those at the outermost of them."""
    rate = units.rate[unit, None]
    # farther on a convex function falls no faster than it fell, nor rose the other way
    width = np.diff(nodes)
    measured = np.isfinite(spare) & (spare != _MARGIN_IN)
    known = units.convex[unit, None] & (width > 0.0) & measured[:, :-1] & measured[:, 1:]
    rise = np.diff(np.where(measured, spare, 0.0))
    steep = 1.0001 * rise / np.where(known, width, 1.0)
    up, down = (
        np.where(known, np.clip(one, 0.0, rate) + _LEAST_FALL, rate) for one in (-steep, steep)
    )
    return _Cells(
        np.repeat(unit, nodes.shape[1] - 1),
        nodes[:, :-1].ravel(),
        nodes[:, 1:].ravel(),
        spare[:, :-1].ravel(),
        spare[:, 1:].ravel(),
        short[:, :-1].ravel(),
        short[:, 1:].ravel(),
        np.column_stack([falls[0], up[:, :-1]]).ravel(),
        np.column_stack([down[:, 1:], falls[1]]).ravel(),
    )


def _looked_at(
    units: Units, cells: _Cells, done: list[tuple[Whole, Real, Real]], *, whole: bool
) -> _Cells:
    """Put aside what is clear, note what is short, and look closer at what is in doubt."""
    rate, jumps = units.rate[cells.unit], units.jumps[cells.unit]
    # within what is to spare at a height nothing turns short, and the other way round; but what
    # would be short and is not spoken of there may be beside it
    sure_low = (cells.spare_low >= 0.0) | (cells.short_low & ~jumps)
    sure_high = (cells.spare_high >= 0.0) | (cells.short_high & ~jumps)
    alike = cells.short_low == cells.short_high
    # where it cannot be said nothing is proved of what is short beside it
    sure_low &= alike | np.isfinite(cells.spare_low)
    sure_high &= alike | np.isfinite(cells.spare_high)
    fall_low = np.where(cells.short_low, rate, cells.fall_low)
    fall_high = np.where(cells.short_high, rate, cells.fall_high)
    low = cells.low + np.where(sure_low, np.abs(cells.spare_low) / fall_low, 0.0)
    high = cells.high - np.where(sure_high, np.abs(cells.spare_high) / fall_high, 0.0)
    at, near = _root(cells)
    # a convex function is nowhere above its chord, and a line is the chord
    known = (cells.spare_low != _MARGIN_IN) & (cells.spare_high != _MARGIN_IN)
    linear, convex = (which[cells.unit] & known for which in (units.linear, units.convex))
    low = np.where(near & (convex & cells.short_low | linear), at, low)
    high = np.where(near & (convex & cells.short_high | linear), at, high)
    low = np.where(alike & (convex & cells.short_low | linear), high, low)
    convex &= near
    doubt = high - low
    least = np.where(jumps, _JUMPS_IN, FINE_IN)
    settled = alike & ((doubt <= least) | (~jumps & (rate * (cells.high - cells.low) <= _FLAT_IN)))
    full = settled & cells.short_low
    done.append((cells.unit[full], cells.low[full], cells.high[full]))
    # a straight line is true over a short way, or where it turns right beside what is clear; a
    # jump is where it is known to be
    beside = np.where(cells.short_low, cells.spare_high, cells.spare_low) <= 2.0 * _NEAR_IN * rate
    straight = near & ~convex & ~beside
    turns = ~alike & (np.where(straight, cells.high - cells.low, doubt) <= _CLOSE_IN)
    if turns.any():
        clear = np.where(convex, np.where(cells.short_low, high, low), at)
        done.append(_turned(cells.of(turns), clear[turns], near[turns]))
    open_ = ~(settled | turns)
    done += [
        (cells.unit[one], begins[one], ends[one])
        for one, begins, ends in (
            (open_ & cells.short_low & sure_low, cells.low, np.minimum(low, cells.high)),
            (open_ & cells.short_high & sure_high, np.maximum(high, cells.low), cells.high),
        )
    ]
    if not whole:
        open_ &= ~_within(_union(done), low, high)
    left = cells.of(open_)
    if not len(left.unit):
        return left
    low, high = np.minimum(low, high)[open_], np.maximum(low, high)[open_]
    low, high = np.maximum(low, left.low), np.minimum(high, left.high)
    at, near = at[open_], near[open_]
    at = np.where(near, _bent(units, left, at), at)
    return _split(units, left, low, high, at, near)


def _union(done: list[tuple[Whole, Real, Real]]) -> tuple[Real, Real]:
    """Heights at which something is short, as stretches that do not touch."""
    if not done:
        return np.zeros(0), np.zeros(0)
    low, high = (np.concatenate([one[side] for one in done]) for side in (1, 2))
    order = np.argsort(low)
    low, high = low[order], np.maximum.accumulate(high[order]) if len(order) else high
    first = np.ones(len(low), dtype=bool)
    first[1:] = low[1:] > high[:-1]
    last = np.ones(len(low), dtype=bool)
    last[:-1] = first[1:]
    return low[first], high[last]


def _within(union: tuple[Real, Real], low: Real, high: Real) -> Yes:
    """Which stretches lie well inside one of the union's."""
    begins, ends = union
    if not len(begins):
        return np.zeros(len(low), dtype=bool)
    which = np.maximum(np.searchsorted(begins, low - _SURE_IN, side="right") - 1, 0)
    inside: Yes = (begins[which] <= low - _SURE_IN) & (high + _SURE_IN <= ends[which])
    return inside


def _root(cells: _Cells) -> tuple[Real, Yes]:
    """Where the straight line between both ends is 0, and where it has such a place."""
    known = np.isfinite(cells.spare_high) & np.isfinite(cells.spare_low)
    span = np.where(known, cells.spare_high, 1.0) - np.where(known, cells.spare_low, 0.0)
    usable = known & (cells.short_low != cells.short_high)
    usable &= (cells.spare_low < 0.0) == cells.short_low
    usable &= (cells.spare_high < 0.0) == cells.short_high
    share = np.where(usable, -cells.spare_low / np.where(usable, span, 1.0), 0.5)
    return cells.low + share * (cells.high - cells.low), usable


def _bent(units: Units, cells: _Cells, straight: Real) -> Real:
    """Where cells turn short when what is measured is a distance to something passed by.

    Of one thing that goes past another the distance squared is a parabola. Where that makes no
    sense it is where the `straight` line is 0.
    """
    rate, need = units.speed[cells.unit], units.need[cells.unit]
    at_low, at_high = need + cells.spare_low, need + cells.spare_high
    with np.errstate(invalid="ignore"):
        middle = 0.5 * (cells.low + cells.high)
        middle -= 0.5 * (at_high**2 - at_low**2) / (rate**2 * (cells.high - cells.low))
        nearest = np.maximum(0.0, at_low**2 - (rate * (cells.low - middle)) ** 2)
        off = np.sqrt(need**2 - nearest) / rate
        at = np.where(cells.short_low, middle + off, middle - off)
        # what is known to be clear at an end is not measured there
        known = np.where(cells.short_low, cells.spare_high, cells.spare_low) != _MARGIN_IN
        beyond = np.where(cells.short_low, -cells.spare_low, cells.spare_high) / rate
        at = np.where(known, at, np.where(cells.short_low, cells.low, cells.high) + beyond)
        inside = (cells.low < at) & (at < cells.high)
    return np.where(inside, at, straight)


def _turned(cells: _Cells, at: Real, usable: Yes) -> tuple[Whole, Real, Real]:
    """The short part of cells in which a row turns short; all of it where that is a jump."""
    some = cells.short_low | cells.short_high
    low = np.where(cells.short_low | ~usable, cells.low, at)
    high = np.where(cells.short_high | ~usable, cells.high, at)
    return cells.unit[some], low[some], high[some]


def _split(units: Units, cells: _Cells, low: Real, high: Real, at: Real, near: Yes) -> _Cells:
    """The cells looked at between the heights in doubt, beside where they turn if that is known."""
    many = len(cells.unit)
    # a look costs little more at many heights than at few
    most = _AT_ONCE * len(units.course.tracks) // many
    looks = min(_MOST_INNER, max(_INNER, most))
    share = np.arange(1, looks + 1) / (looks + 1)
    inner = low[:, None] + (high - low)[:, None] * share
    sides = (high - at)[near], (low - at)[near]
    beside = _beside(looks, *np.where(cells.short_low[near], sides, sides[::-1]))
    inner[near] = np.clip(at[near, None] + beside, low[near, None], high[near, None])
    spare, short = units.judge(np.repeat(cells.unit, looks), inner.ravel())
    return _cells(
        units,
        cells.unit,
        np.column_stack([cells.low, inner, cells.high]),
        np.column_stack([cells.spare_low, spare.reshape(many, -1), cells.spare_high]),
        np.column_stack([cells.short_low, short.reshape(many, -1), cells.short_high]),
        (cells.fall_low, cells.fall_high),
    )


def _beside(looks: int, clear: Real, short: Real) -> Real:
    """How far from where rows seem to turn they are looked at.

    On both sides, and half way to the ends that seem to be `clear` and `short` so far off: what
    nears at one speed is proved clear by that, and what does not is at least halved.
    """
    way = np.sign(clear)[:, None]
    near = way * _NEAR_IN * np.array([1.0, -1.0])
    every = np.column_stack([near, 0.5 * clear, 0.5 * short, _FARTHER * near])
    return np.sort(every[:, :looks], axis=1)


def _joined(done: list[tuple[Whole, Real, Real]]) -> tuple[Whole, Real, Real]:
    """Short stretches of each unit, those that touch made one."""
    if not done:
        return np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0)
    unit, low, high = (np.concatenate(column) for column in zip(*done, strict=True))
    order = np.lexsort((low, unit))
    unit, low, high = unit[order], low[order], high[order]
    # each unit far from every other
    far = unit * _FAR_IN
    reached = np.maximum.accumulate(high + far)
    first = np.ones(len(unit), dtype=bool)
    first[1:] = low[1:] + far[1:] > reached[:-1] + _TOUCH_IN
    starts = np.nonzero(first)[0]
    return unit[starts], low[starts], np.maximum.reduceat(high, starts) if len(starts) else high


def _bounding(low: Real, high: Real) -> Whole:
    """Stretches that together cover what any does, and those that end with what is covered."""
    order = np.lexsort((-high, low))
    reached = np.maximum.accumulate(high[order])
    farther = np.ones(len(order), dtype=bool)
    farther[1:] = high[order][1:] > reached[:-1]
    begins, ends = _union([(order, low, high)])
    which = np.searchsorted(begins, low, side="right") - 1
    kept = (low - begins[which] <= _END_IN) | (ends[which] - high <= _END_IN)
    kept[order] |= farther
    return np.nonzero(kept)[0]
