"""The fewest inches that free a climbing column, as moves that were tried before they are said.

Each thing in the way is moved out by the least of the ways there are: a pin along its arm, a thing
on the pole to another side or farther down. A move counts only when the column, judged again with
the move made, is free of the thing. What else the moves bring about, only a whole check tells.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.checks.levels import hand_over
from framer.checks.room import Column, Judgement, Way, climb
from framer.checks.room_findings import reaching_in
from framer.checks.rulebook import Rulebook
from framer.edits.places import EditStage, current_place, set_along_arm, set_along_pole, set_azimuth
from framer.errors import EditError
from framer.geometry.climbing import is_side
from framer.geometry.placing import place
from framer.geometry.scene import Array, Run
from framer.geometry.space import compass
from framer.geometry.written import stepped
from framer.model.item import Item
from framer.model.job import Job
from framer.model.place import Guyed, OnArm, OnPole
from framer.units.compare import rounded

_MOST_MOVES = 12
"""More things than this are not moved out of one column."""

_SIDES = tuple(45.0 * number for number in range(8))


class Freed(Struct, frozen=True):
    """One move towards a free column: in words, how far, and the job with it made."""

    words: str
    inches: float
    job: Job


class Freeing(Struct, frozen=True):
    """Moves, one after the other, and ids of what is then still in the way of the column."""

    column: Column
    moves: tuple[Freed, ...]
    left: tuple[str, ...]


class _Tried(Struct, frozen=True):
    """A job, judged again: its way and the column that is to be freed."""

    way: Way
    column: Column

    @property
    def in_the_way(self) -> dict[str, tuple[Judgement, int] | None]:
        """Ids of what makes the column short, the deepest first, with where and which part.

        `None` for what only counts too many.
        """
        way, found = self.way, dict[str, tuple[Judgement, int] | None]()
        deepest: list[tuple[float, str, Judgement, int]] = []
        for judged in self.column.judged:
            for one in reaching_in(way, self.column, judged) if judged.verdict == "short" else ():
                owner = way.scene.parts[one.part].owner
                deepest.append((-one.reach_in, owner, judged, one.part))
        for _, owner, judged, part in sorted(deepest, key=lambda one: one[:2]):
            found.setdefault(owner, (judged, part))
        for count in self.column.counts:
            if count.verdict == "short":
                for one in count.parts:
                    found.setdefault(way.scene.parts[one.part].owner, None)
        return found


def freeing(way: Way, column: Column | None = None) -> Freeing:
    """What would free a column, else the best one, of all that makes it short.

    No moves for one that is not short, and for a stage between found and framed.
    """
    stage = way.scene.stage
    freed = column or way.columns[0]
    tried = _Tried(way, freed)
    moves: list[Freed] = []
    while (
        (stage == "found" or stage == "framed")
        and tried.column.verdict == "short"
        and len(moves) < _MOST_MOVES
        and (better := _next(tried, stage)) is not None
    ):
        move, tried = better
        moves.append(move)
    return Freeing(freed, tuple(moves), tuple(tried.in_the_way))


def _next(tried: _Tried, stage: EditStage) -> tuple[Freed, _Tried] | None:
    """The move of fewest inches that takes something out of the column and brings nothing in."""
    before = tried.in_the_way
    best: tuple[Freed, _Tried] | None = None
    for owner, where in before.items():
        for move in sorted(_moves(tried, stage, owner, where), key=lambda one: one.inches):
            if best is not None and best[0].inches <= move.inches:
                break
            after = _judged(tried, move.job)
            if after is not None and _less(after, tried, owner):
                best = move, after
                break
    return best


def _less(after: _Tried, before: _Tried, owner: str) -> bool:
    """Whether less is in the way: one thing fewer, or one count fewer."""
    left, was = after.in_the_way, before.in_the_way
    over = sum(max(0.0, one.found - one.most) for one in after.column.counts)
    before_over = sum(max(0.0, one.found - one.most) for one in before.column.counts)
    fewer = owner not in left and left.keys() <= was.keys()
    return fewer or (over < before_over and left.keys() <= was.keys())


def _judged(tried: _Tried, job: Job) -> _Tried | None:
    """A job judged anew: the same column of the same pole by the same book."""
    scene = place(job, tried.way.scene.stage)
    hand_over(tried.way.scene, scene)
    for way in climb(scene, (tried.way.book,)):
        if way.pole == tried.way.pole:
            number = tried.column.number
            return _Tried(way, next(one for one in way.columns if one.number == number))
    return None


def _moves(
    tried: _Tried, stage: EditStage, owner: str, where: tuple[Judgement, int] | None
) -> Iterator[Freed]:
    """The moves that might take a thing out of the column."""
    job = tried.way.scene.job
    part = tried.way.scene.parts_of[owner][0]
    wire = job.wire_by_id.get(owner)
    key = part.support if wire is not None else owner
    item = job.item_by_id.get(key or "")
    if item is None:
        return
    try:
        spot = current_place(job, item.id, stage)
    except EditError:
        return
    if isinstance(spot, OnArm) and where is not None:
        yield from _along(tried, stage, item, spot, where)
    elif isinstance(spot, OnPole | Guyed):
        yield from _around(tried, stage, item, spot)
        if where is not None and wire is None:
            yield from _down(tried, stage, item, where)


def _along(
    tried: _Tried, stage: EditStage, item: Item, spot: OnArm, where: tuple[Judgement, int]
) -> Iterator[Freed]:
    """A pin outward along its arm; with it its fellow on the other side that is in as far."""
    job, way = tried.way.scene.job, tried.way
    out_in = _out_in(tried, spot.host, where)
    if out_in is None:
        return
    out_in = rounded(out_in, job.settings.round_in, "up")
    sign = -1.0 if spot.along_in < 0.0 else 1.0
    try:
        moved = set_along_arm(job, item.id, stage, spot.along_in + sign * out_in)
    except EditError:
        return
    fellow = _fellow(job, stage, item, spot)
    length = stepped(job, out_in)
    wires_of = {part.support for part in way.scene.parts if part.owner in tried.in_the_way}
    if fellow is not None and fellow.id in wires_of:
        other = current_place(job, fellow.id, stage)
        if isinstance(other, OnArm):
            both = set_along_arm(moved, fellow.id, stage, other.along_in - sign * out_in)
            words = f"widen the pole pins of {job.label(spot.host)} {length} in each side"
            yield Freed(words.replace(" in in ", " in "), out_in, both)
    yield Freed(f"move {job.label(item.id)} {length} outward along its arm", out_in, moved)


def _out_in(tried: _Tried, arm: str, where: tuple[Judgement, int]) -> float | None:
    """How far outward along its arm a wire must go to be out of the column; `None` if it cannot."""
    judged, number = where
    way, column = tried.way, tried.column.number
    run = way.scene.parts[number].shape
    boxes = way.scene.parts_of.get(arm)
    if not isinstance(run, Run) or boxes is None or boxes[0].shape is None:
        return None
    frame = way.levels[judged.level].frame
    ends = np.array([boxes[0].shape.p[:2], boxes[0].shape.q[:2]])
    right, out = _off(frame.local(ends, column))
    x, y = frame.local(np.array([run.p[:2]]), column)[0]
    need = judged.need_in or 0.0
    thick = run.r if way.book.climbing and way.book.climbing.convention != "centre" else 0.0
    if abs(right) > abs(out):
        edge = need / 2 if is_side(column) else need
        return float(edge - (abs(x) - thick))
    return float(need - (y - thick))


def _off(ends: Array) -> tuple[float, float]:
    right, out = ends[1] - ends[0]
    return float(right), float(out)


def _fellow(job: Job, stage: EditStage, item: Item, spot: OnArm) -> Item | None:
    """The next pin on the other side of the bolt of an arm."""
    others = []
    for other in job.items:
        if other.id == item.id or other.kind != item.kind:
            continue
        try:
            at = current_place(job, other.id, stage)
        except EditError:
            continue
        if isinstance(at, OnArm) and at.host == spot.host and at.along_in * spot.along_in < 0.0:
            others.append((abs(at.along_in), other))
    return min(others, key=lambda one: one[0])[1] if others else None


def _around(tried: _Tried, stage: EditStage, item: Item, spot: OnPole | Guyed) -> Iterator[Freed]:
    """A thing on the pole to another side; as many inches as its outer end goes round."""
    job, scene = tried.way.scene.job, tried.way.scene
    centre = tried.way.levels[0].frame.centre
    parts = scene.parts_of.get(item.id, ())
    off = max((math.dist(part.shape.p[:2], centre) for part in parts if part.shape), default=0.0)
    for side in _SIDES:
        turn = abs((side - spot.azimuth_deg + 180.0) % 360.0 - 180.0)
        if turn < 1.0:
            continue
        try:
            moved = set_azimuth(job, item.id, stage, side)
        except EditError:
            continue
        words = f"move {job.label(item.id)} to the {compass(side, words=True)}"
        yield Freed(words, math.radians(turn) * off, moved)


def _down(
    tried: _Tried, stage: EditStage, item: Item, where: tuple[Judgement, int]
) -> Iterator[Freed]:
    """A thing on the pole farther down, under the stretch the column is carried about a level."""
    job, way, (judged, _) = tried.way.scene.job, tried.way, where
    level, reach = way.levels[judged.level], way.reaches_in[judged.level]
    tops = [
        one.high
        for one in way.lying[judged.level].fouling()
        if way.scene.parts[one.part].owner == item.id
    ]  # fmt: skip
    parts = way.scene.parts_of.get(item.id, ())
    if not tops or not parts:
        return
    by_in = rounded(max(tops) - (level.low - reach), job.settings.round_in, "up")
    try:
        moved = set_along_pole(job, item.id, stage, "height", parts[0].up_in - by_in)
    except EditError:
        return
    length = stepped(job, by_in)
    yield Freed(f"move {job.label(item.id)} {length} down", by_in, moved)


def freeing_words(found: Freeing, job: Job) -> str:
    """What would free a column, in one sentence; empty where no move helps or none is needed."""
    if not found.moves:
        return ""
    words = f"to free the {found.column.name}: {', then '.join(one.words for one in found.moves)}"
    if found.left:
        names = ", ".join(job.label(owner) for owner in found.left)
        words += f"; {names} must go out of it as well"
    return words


def brings(found: Freeing, way: Way, books: Sequence[Rulebook]) -> tuple[Finding, ...]:
    """What the books say is short with the moves made, and was not before."""
    if not found.moves:
        return ()
    stage = way.scene.stage
    before = {one.key for one in check(way.scene, books) if one.verdict == "short"}
    after = check(place(found.moves[-1].job, stage), books)
    return tuple(one for one in after if one.verdict == "short" and one.key not in before)
