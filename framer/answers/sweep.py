"""At which heights of one thing is a row short: found by halving doubts, not by trying them all.

An inch of the item changes no gap by more than its parts move. So between two heights with enough
to spare nothing can be short, and only the heights where it can be are looked at more closely.
"""

from __future__ import annotations

from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from framer.answers.stacked import Asked, Track
from framer.checks.measures import NOT_SURVEYED
from framer.checks.plan import Plan
from framer.units.compare import HAIR_IN

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

_CLOSE_IN = 0.02
_FLAT_IN = 0.01
_FIRST = 4
_INNER, _MOST_INNER, _AT_ONCE = 2, 6, 300
_ASK_LEAST = 0.85
_ROUNDS = 2
_SURE_IN = 1.0


_STILL = {*NOT_SURVEYED, "clear square"}
"""Measures that height has no say in."""

_LEVEL = {"horizontal"}
"""Measures in plan: how far apart two wires are there does not change as one goes straight up."""


def met_aside(planned: Plan, track: Track, rows: Whole) -> Whole:
    """The rows without those of pairs whose distance on the level is met at every height.

    Where one of two directions is met the other need not be, so such a pair is never short.
    """
    boxes = planned.boxed
    wanted = np.zeros(len(planned.rows.a), dtype=bool)
    wanted[rows] = True
    there = np.nonzero((boxes.horizontal >= 0) & (boxes.horizontal_unknown < 0))[0]
    there = there[wanted[boxes.horizontal[there]]]
    if not len(there):
        return rows
    units = Units(planned, track, boxes.horizontal[there], alone=True)
    low, high = track.up
    middle = 0.5 * (low + high)
    spare, _, _ = units.judge(np.arange(len(there)), np.full(len(there), middle))
    met = there[np.isfinite(spare) & (spare > units.rate * 0.5 * (high - low))]
    sides = np.array(boxes, dtype=np.int64).reshape(len(boxes), -1)[:, met]
    gone = np.zeros(len(planned.rows.a), dtype=bool)
    gone[sides[sides >= 0]] = True
    return rows[~gone[rows]]


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

_BY_ORDER = {"mid-span"}
"""Measures that ask which of two supports is higher, and change at once where they are level."""

_BESIDE_IN = 4e-7
"""Such a measure is looked at so near to both sides of where it changes at once."""

_MARGIN_IN = 6.0
"""More than what an arm is let in by, and than the slant of a bolt comes to."""

_WIDE = 0.4
"""What may be short over more than this share of all heights is looked at all over."""


class Stretch(NamedTuple):
    """A row that is short from one height of the item to another, up its pole."""

    row: int
    low: float
    high: float


class Swept(NamedTuple):
    """What is short where.

    Attributes:
        short: rows and where they are short.
        anyway: rows that are short by the same wherever the item is, with what they have to spare.
        lost: what is not known at some of the heights.
    """

    short: list[Stretch]
    anyway: dict[int, float]
    lost: tuple[str, ...]


class Units:
    """Rows that are judged alone, and rows that are met together as one."""

    def __init__(self, planned: Plan, track: Track, rows: Whole, *, alone: bool = False) -> None:
        self.track, self.asked = track, Asked(planned, rows, alone=alone)
        self.start, self.count = self.asked.start, self.asked.count
        table = self.asked.plan.rows
        still = np.array([one.measure in _STILL for one in planned.rules], dtype=bool)
        level = np.array([one.measure in _LEVEL for one in planned.rules], dtype=bool)[table.rule]
        rate = np.where(still[table.rule], 0.0, track.fastest(table.a, table.b, level))
        self.rate = np.maximum.reduceat(rate, self.start) if len(self.count) else rate
        self.rate = 1.0001 * self.rate + 1e-9
        self.need = np.nan_to_num(table.need[self.start])
        self.jumps = (self.asked.place[self.start] >= 0) | (self.count > 1)

        self._level, self._boxed = level, np.repeat(self.count, self.count) > 1

    def turns(self) -> Real:
        """Where what is measured of each unit may change at once; NaN for nowhere."""
        table = self.asked.plan.rows
        ordered = np.array([one.measure in _BY_ORDER for one in self.asked.plan.rules])[table.rule]
        at = np.where(ordered, self.track.level(table.a, table.b), np.nan)
        # of what is met together only one is measured so
        turns: Real = np.fmax.reduceat(at, self.start)
        return turns

    def windows(self) -> tuple[Real, Real]:
        """The heights between which each unit may be short; none where the first is above."""
        plan, low, high = self.asked.plan, *self.track.up
        table = plan.rows
        upright = np.array([one.measure in _UPRIGHT and not one.most for one in plan.rules])
        by_height = upright[table.rule] & (table.a != table.b)
        begins, ends = self.track.near(table.a, table.b, table.need + _MARGIN_IN)
        # of what is met one way or the other, it must be short up and down to be short
        upright_too = np.repeat(
            np.logical_or.reduceat(by_height & (table.unsaid == 0), self.start), self.count
        )
        aside = self._boxed & upright_too & ~by_height
        begins = np.where(by_height, begins, np.where(aside, np.inf, low))
        ends = np.where(by_height, ends, np.where(aside, -np.inf, high))
        return np.minimum.reduceat(begins, self.start), np.maximum.reduceat(ends, self.start)

    def row(self, unit: int) -> int:
        """The first row of a unit in the plan."""
        return int(self.asked.row[self.start[unit]])

    def judge(self, unit: Whole, up: Real) -> tuple[Real, Yes, tuple[str, ...]]:
        """What units have to spare at heights, whether they are short, and what is not known."""
        counts = self.count[unit]
        first = np.cumsum(counts) - counts
        judged = self.track.judge(self.asked, unit, up)
        if len(judged.spare) == len(unit):
            return judged.spare, judged.short, judged.lost
        short = np.logical_or.reduceat(judged.short, first)
        # where the better of two directions is met, what it has to spare is one of those above 0
        alike = np.repeat(short, counts) == (judged.spare < 0.0)
        spare = np.where(alike | np.repeat(counts == 1, counts), judged.spare, np.inf)
        return np.minimum.reduceat(spare, first), short, judged.lost


def sweep(units: Units, low: float, high: float, now: float, *, whole: bool = False) -> Swept:
    """Where each unit is short between two heights.

    Args:
        units: what is judged.
        low: from here,
        high: and up to here.
        now: where the item is, which is looked at too.
        whole: tell every stretch to its ends; else only what nothing else is short over as well.
    """
    if not len(units.count) or high <= low:
        return Swept([], {}, ())
    begins, ends = units.windows()
    there = begins < ends
    turns = units.turns()
    wide = there & (ends - begins > _WIDE * (high - low)) & np.isnan(turns)
    # those that ask most leave little room for the others to be looked at in
    first = np.ones(len(there), dtype=bool)
    if not whole:
        first = units.need >= np.quantile(units.need, _ASK_LEAST)
    nodes = np.unique(np.clip([*np.linspace(low, high, _FIRST + 1), now], low, high))
    most = np.nonzero(first & wide)[0]
    spare, short, lost = _at(units, most, nodes)
    anyway = _anyway(most, spare, short)
    done: list[tuple[Whole, Real, Real]] = []
    cells = _cells(most, np.tile(nodes, (len(most), 1)), spare, short)
    cells = cells.of(~np.isin(cells.unit, list(anyway)))
    narrow = np.nonzero(first & there & ~wide)[0]
    clear = begins[narrow] > low, ends[narrow] < high
    found = _Over(narrow, begins[narrow], ends[narrow], *clear).cut(turns[narrow])
    more, unknown = _over(units, found)
    lost |= unknown
    cells = _together([cells, more])
    others = np.nonzero(~first & there)[0]
    if len(others):
        for _ in range(_ROUNDS):
            if len(cells.unit):
                cells = _looked_at(units, cells, done, whole=False)
        at, to = np.array(_room(done, low, high)).reshape(-1, 2).T
        unit = np.tile(others, len(at))
        at, to = np.repeat(at, len(others)), np.repeat(to, len(others))
        clear = (begins[unit] > at) & (begins[unit] > low), (ends[unit] < to) & (ends[unit] < high)
        found = _Over(unit, np.maximum(begins[unit], at), np.minimum(ends[unit], to), *clear)
        more, unknown = _over(units, found.cut(turns[unit]))
        flat = np.unique(more.unit[more.short_low & more.short_high & wide[more.unit]])
        spare, short, _ = _at(units, flat, nodes)
        anyway |= _anyway(flat, spare, short)
        lost |= unknown
        cells = _together([cells, more.of(~np.isin(more.unit, list(anyway)))])
    while len(cells.unit):
        cells = _looked_at(units, cells, done, whole=whole)
    rows = {units.row(unit): spare for unit, spare in anyway.items()}
    return Swept(_joined(units, done), rows, tuple(sorted(lost)))


def _at(units: Units, unit: Whole, nodes: Real) -> tuple[Real, Yes, set[str]]:
    """Units, a line each, at all of some heights."""
    shape = (len(unit), len(nodes))
    if not len(unit):
        return np.zeros(shape), np.zeros(shape, dtype=bool), set()
    spare, short, lost = units.judge(np.repeat(unit, len(nodes)), np.tile(nodes, len(unit)))
    return spare.reshape(shape), short.reshape(shape), set(lost)


def _anyway(unit: Whole, spare: Real, short: Yes) -> dict[int, float]:
    """Units that are short by the same at all heights, and what they have to spare."""
    if not len(unit):
        return {}
    always = short.all(axis=1)
    spread = spare.max(axis=1) - np.where(always, spare.min(axis=1), -np.inf)
    return {
        int(unit[number]): float(spare[number].min())
        for number in np.nonzero(spread < SAME_IN)[0].tolist()
    }


def _room(
    done: list[tuple[Whole, Real, Real]], low: float, high: float
) -> list[tuple[float, float]]:
    """The heights nothing is known to be short at, and a little to either side of them."""
    begins, ends = _union(done)
    lows, highs = [low, *ends.tolist()], [*begins.tolist(), high]
    return [
        (max(low, one - _SURE_IN), min(high, other + _SURE_IN))
        for one, other in zip(lows, highs, strict=True)
        if other >= one - HAIR_IN
    ]


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


def _over(units: Units, over: _Over) -> tuple[_Cells, set[str]]:
    """The cells of units between heights of their own that are not clear at the first look."""
    unit, low, high, *clear = over
    many = len(unit)
    if not many:
        return _together([]), set()
    nodes = np.column_stack([low, 0.5 * (low + high), high])
    spare, short = np.full((many, 3), _MARGIN_IN), np.zeros((many, 3), dtype=bool)
    look = np.column_stack([~clear[0], np.ones(many, dtype=bool), ~clear[1]])
    row, column = np.nonzero(look)
    spare[row, column], short[row, column], lost = units.judge(unit[row], nodes[row, column])
    doubt = short[:, 1] | (spare[:, 1] <= units.rate[unit] * 0.5 * (high - low))
    return _cells(unit[doubt], nodes[doubt], spare[doubt], short[doubt]), set(lost)


class _Cells(NamedTuple):
    """Stretches between two heights, with what is to spare and whether it is short at both."""

    unit: Whole
    low: Real
    high: Real
    spare_low: Real
    spare_high: Real
    short_low: Yes
    short_high: Yes

    def of(self, which: Yes) -> _Cells:
        """Some of the cells."""
        columns: list[Any] = [column[which] for column in self]
        return _Cells(*columns)


def _together(cells: list[_Cells]) -> _Cells:
    """All cells of some lists."""
    none = np.zeros((0, 2))
    every = [_cells(np.zeros(0, dtype=np.int64), none, none, none != none), *cells]
    columns: list[Any] = [np.concatenate(column) for column in zip(*every, strict=True)]
    return _Cells(*columns)


def _cells(unit: Whole, nodes: Real, spare: Real, short: Yes) -> _Cells:
    """The cells between heights, a unit a line."""
    return _Cells(
        np.repeat(unit, nodes.shape[1] - 1),
        nodes[:, :-1].ravel(),
        nodes[:, 1:].ravel(),
        spare[:, :-1].ravel(),
        spare[:, 1:].ravel(),
        short[:, :-1].ravel(),
        short[:, 1:].ravel(),
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
    low = cells.low + np.where(sure_low, np.abs(cells.spare_low) / rate, 0.0)
    high = cells.high - np.where(sure_high, np.abs(cells.spare_high) / rate, 0.0)
    doubt = high - low
    alike = cells.short_low == cells.short_high
    least = np.where(jumps, _JUMPS_IN, FINE_IN)
    settled = alike & ((doubt <= least) | (rate * (cells.high - cells.low) <= _FLAT_IN))
    full = settled & cells.short_low
    done.append((cells.unit[full], cells.low[full], cells.high[full]))
    turns = ~alike & (doubt <= _CLOSE_IN)
    if turns.any():
        done.append(_turned(cells.of(turns)))
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
    return _split(units, left, low[open_], high[open_], alike[open_])


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
    span = cells.spare_high - cells.spare_low
    usable = np.isfinite(span) & ((cells.spare_low < 0.0) != (cells.spare_high < 0.0))
    usable &= (cells.spare_low < 0.0) == cells.short_low
    usable &= (cells.spare_high < 0.0) == cells.short_high
    share = np.where(usable, -cells.spare_low / np.where(usable, span, 1.0), 0.5)
    return cells.low + share * (cells.high - cells.low), usable


def _turned(cells: _Cells) -> tuple[Whole, Real, Real]:
    """The short part of cells in which a row turns short; all of it where that is a jump."""
    at, usable = _root(cells)
    low = np.where(cells.short_low | ~usable, cells.low, at)
    high = np.where(cells.short_high | ~usable, cells.high, at)
    return cells.unit, low, high


def _split(units: Units, cells: _Cells, low: Real, high: Real, alike: Yes) -> _Cells:
    """The cells looked at between the heights that are in doubt."""
    many = len(cells.unit)
    # a look costs little more at many heights than at few
    looks = min(_MOST_INNER, max(_INNER, _AT_ONCE // many))
    share = np.arange(1, looks + 1) / (looks + 1)
    inner = low[:, None] + (high - low)[:, None] * share
    at, usable = _root(cells)
    near = ~alike & usable
    beside = at[near, None] + (high - low)[near, None] * _beside(looks)
    inner[near] = np.clip(beside, low[near, None], high[near, None])
    spare, short, _ = units.judge(np.repeat(cells.unit, looks), inner.ravel())
    return _cells(
        cells.unit,
        np.column_stack([cells.low, inner, cells.high]),
        np.column_stack([cells.spare_low, spare.reshape(many, -1), cells.spare_high]),
        np.column_stack([cells.short_low, short.reshape(many, -1), cells.short_high]),
    )


def _beside(looks: int) -> Real:
    """Where to look on both sides of where a row seems to turn, in shares of what is in doubt."""
    near = 0.02 / 6.0 ** np.arange(looks // 2)
    return np.sort(np.concatenate([near, -near, np.zeros(looks % 2)]))


def _joined(units: Units, done: list[tuple[Whole, Real, Real]]) -> list[Stretch]:
    """Short stretches of each unit, those that touch made one."""
    if not done:
        return []
    unit, low, high = (np.concatenate(column) for column in zip(*done, strict=True))
    order = np.lexsort((low, unit))
    found: list[Stretch] = []
    for one, begins, ends in zip(
        unit[order].tolist(), low[order].tolist(), high[order].tolist(), strict=True
    ):
        row = units.row(one)
        last = found[-1] if found else None
        if last is not None and last.row == row and begins <= last.high + 1e-6:
            found[-1] = Stretch(row, last.low, max(last.high, ends))
        else:
            found.append(Stretch(row, begins, ends))
    return found
