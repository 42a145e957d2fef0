"""Room along the pole: the heights at which an item, and all that is linked to it, may be.

A band is a stretch of heights of the item's bolt in which nothing that moves with it is short by
the books of the job, everything else staying where it is. Room to climb is not reckoned in: it is
judged when the item is put somewhere.
"""

from __future__ import annotations

import contextlib
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from framer.answers.stacked import Course, Track
from framer.answers.sweep import Swept, Units, sweep
from framer.answers.work import Work, done
from framer.checks.explain import part_name
from framer.checks.plan import Plan, plan, structure
from framer.checks.rulebook import Rule, Rulebook
from framer.checks.since import same_books, same_structure
from framer.edits.places import current_place, set_along_pole
from framer.errors import EditError
from framer.geometry.limit import limit_normal
from framer.geometry.placing import place
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Box, Part, Run, Scene, Tag, Tube
from framer.geometry.space import Point, dot
from framer.geometry.spot import Spots
from framer.geometry.written import exact
from framer.model.job import Job
from framer.model.line import LimitLine
from framer.model.link import linked
from framer.model.place import Guyed, OnPole
from framer.model.stage import pole_at
from framer.units.compare import HAIR_IN

SAME_END_IN = 1 / 16
"""What ends within this of a band's end bounds it too."""

_STRAIGHT_IN = 1 / 64
"""Nothing that moves with an item is farther than this from a straight way between knots."""

_SHORTEST_IN = 12.0

_ASIDE = 0.05
"""A height no nearer to an end of a stretch than this share of it tells how far the way bends."""

_PLAN = "plan of the framed pole"

_LIMITED = {"wires": Tag.WIRE, "arms": Tag.ARM, "poles": Tag.POLE}


class Bound(Struct, frozen=True, dict=True):
    """What keeps an item from going farther.

    Attributes:
        rule: the rule that would be short, `None` where it is no rule: an end of the pole or a
            limit line, which `said` names.
        a: the part judged.
        b: the part it is judged against.
        need: what must be kept, inches; `None` where that is no length.
        said: all of it in one line, where it is no rule.
        job: the job it is of, `None` where it is no rule.
    """

    rule: Rule | None
    a: Part | None
    b: Part | None
    need: float | None
    said: str = ""
    job: Job | None = None

    @property
    def key(self) -> tuple[str, ...]:
        """The same for the same rule and parts."""
        rule = self.rule.id if self.rule is not None else ""
        return rule, self.said, self.a.key if self.a else "", self.b.key if self.b else ""

    @cached_property
    def words(self) -> str:
        """All of it in one line; written when it is first asked for."""
        rule, need = self.rule, self.need
        if rule is None or need is None or self.job is None:
            return self.said
        parts = (part for part in (self.a, self.b) if part is not None)
        names = " - ".join(part_name(self.job, part) for part in parts)
        length = exact(self.job, need, "up")
        asked = f"{need:g} kV" if rule.measure == "insulator class" else length
        known = " [rule from memory]" if rule.source.how_known == "memory" else ""
        most = "at most" if rule.most else "at least"
        return f"{rule.title}: {names}, {most} {asked} ({rule.id}){known}"


class Band(Struct, frozen=True):
    """Heights above ground of the item's bolt, from and up to, and what bounds both ends."""

    low_in: float
    high_in: float
    below: tuple[Bound, ...]
    above: tuple[Bound, ...]


class Blocked(NamedTuple):
    """Heights above ground at which one thing is short."""

    low_in: float
    high_in: float
    bound: Bound


class Bands(Struct, frozen=True):
    """Room along the pole for one item.

    Attributes:
        key: the item.
        pole: its pole.
        now_in: height of its bolt above ground now.
        low_in: the lowest and
        high_in: the highest height at which it and all that moves with it is on the pole.
        rise: height gained per inch along the pole.
        top_in: the finished top above ground.
        bands: the room, lowest first; empty when there is none.
        blocked: where what is short.
        anyway: what is short at any height, by how much, in inches or in kV.
        unsaid: what is not known, and how many pairs cannot be judged for it.
        group: what moves with it, and how far each is above it along the pole.
        notes: what else has to be said, a sentence each.
    """

    key: str
    pole: str
    now_in: float
    low_in: float
    high_in: float
    rise: float
    top_in: float
    bands: tuple[Band, ...]
    blocked: tuple[Blocked, ...]
    anyway: tuple[tuple[Bound, float], ...]
    unsaid: tuple[tuple[str, int], ...]
    group: dict[str, float]
    notes: tuple[str, ...]

    def drop_in(self, height_in: float) -> float:
        """Distance from the finished top down to a height of the bolt, along the pole."""
        return (self.top_in - height_in) / self.rise


class Mount(NamedTuple):
    """How an item is fixed along its pole as framed."""

    solid: PoleSolid
    up_in: float
    top_in: float


def movable(job: Job, key: str) -> bool:
    """Whether an item is fixed to a pole as framed, at a height that can be changed."""
    try:
        mount(job, key)
    except EditError:
        return False
    return True


def mount(job: Job, key: str, spots: Spots | None = None) -> Mount:
    """How an item is fixed along its pole as framed.

    Raises:
        EditError: it is fixed to no pole, or where it is or the pole's top is not known; says
            what has to be put right.
    """
    item = job.item_by_id.get(key)
    if item is None:
        raise EditError(f"there is no item '{key}'; items are fixed to poles, wires rest on them")
    where = current_place(job, key, "framed")
    if not isinstance(where, OnPole | Guyed):
        raise EditError(f"{job.label(key)} is not fixed to a pole: ask for what carries it")
    spots = spots or Spots(job, "framed")
    solid = spots.poles.get(where.host)
    if solid is None:
        raise EditError(f"{job.label(where.host)} is not standing as framed")
    if solid.top_up_in is None:
        raise EditError(
            f"the top of {job.label(where.host)} is not known: give its length and depth, or a "
            "reading of its top"
        )
    up, _, missing = spots.along(item, where)
    if up is None:
        raise EditError(f"{missing}: give a reading or a height")
    return Mount(solid, up, solid.top_up_in)


def moved_to(job: Job, key: str, height_in: float) -> Job:
    """The job with an item, and what is linked to it, at a height above ground.

    Raises:
        EditError: it cannot be there.
    """
    return set_along_pole(job, key, "framed", "height", height_in)


def bands(
    job: Job,
    books: Sequence[Rulebook],
    key: str,
    *,
    whole: bool = False,
    since: Scene | None = None,
) -> Bands:
    """The room of one item along its pole.

    With `whole` every thing that is short is told with all the heights at which it is; else those
    are left out where something else is short as well. A scene of the job as framed, or of nearly
    the same job, only saves time.

    Raises:
        EditError: it is fixed to no pole, or something needed is not known; says what.
    """
    return done(bands_work(job, books, key, whole=whole, since=since))


def bands_work(
    job: Job,
    books: Sequence[Rulebook],
    key: str,
    *,
    whole: bool = False,
    since: Scene | None = None,
) -> Work[Bands]:
    """The room of one item along its pole, as `bands` has it, a look at a time.

    Raises:
        EditError: it is fixed to no pole, or something needed is not known; says what.
    """
    mover = _mover(job, key, Spots(job, "framed"))
    (room,) = yield from _rooms(job, books, [mover], since, whole=whole)
    return room


class _Mover(Struct, frozen=True):
    """An item that can go up and down its pole.

    `group` is what moves with it, and how far each is above it; `as_linked`, that each of these is
    there now. `low` and `high` are up the pole.
    """

    key: str
    solid: PoleSolid
    up: float
    top: float
    low: float
    high: float
    group: dict[str, float]
    as_linked: bool
    notes: list[str]


def _mover(job: Job, key: str, spots: Spots) -> _Mover:
    solid, up, top = mount(job, key, spots)
    pole = pole_at(job, job.item_by_id[key], "framed")
    group, as_linked, notes = {key: 0.0}, True, []
    for other, above in linked(job.links, key).items():
        if other == key:
            continue
        if pole_at(job, job.item_by_id[other], "framed") != pole:
            notes.append(f"{job.label(other)} is linked but on another pole: it stays there")
            continue
        group[other] = above
        is_at = spots.up_in(job.item_by_id[other])
        if is_at is None:
            raise EditError(f"the height of {job.label(other)}, which moves with it, is not known")
        as_linked &= abs(is_at - up - above) <= HAIR_IN
        if abs(is_at - up - above) > SAME_END_IN:
            notes.append(
                f"{job.label(other)} is not where its link says: it goes there with the first move"
            )
    low, high = max(0.0, -min(group.values())), top - max(0.0, *group.values())
    return _Mover(key, solid, up, top, low, high, group, as_linked, notes)


def _rooms(
    job: Job,
    books: Sequence[Rulebook],
    movers: Sequence[_Mover],
    since: Scene | None,
    *,
    whole: bool = False,
) -> Work[list[Bands]]:
    """The room of each of some items; they are looked at together, which saves time."""
    now = since if since is not None and since.job is job else place(job, "framed", since)
    tracks: list[Track] = []
    of: list[int] = []
    for number, mover in enumerate(movers):
        if mover.high - mover.low > SAME_END_IN:
            found = list(_tracks(mover, now))
            tracks += found
            of += [number] * len(found)
            yield ""
    ups = [movers[number].up for number in of]
    pieces = yield from _pieces(now, tracks, ups, books, whole=whole)
    return [
        _room_of(
            job, mover, [piece for piece, one in zip(pieces, of, strict=True) if one == number]
        )
        for number, mover in enumerate(movers)
    ]


def _room_of(job: Job, mover: _Mover, found: Sequence[_Piece]) -> Bands:
    solid, scale = mover.solid, mover.solid.rise
    ends = _end("the ground at", job, solid), _end("the finished top of", job, solid)
    short: list[tuple[float, float, Bound]] = []
    anyway: dict[str, tuple[Bound, float]] = {}
    everywhere = set.intersection(*(set(piece.anyway) for piece in found)) if found else set()
    for piece in found:
        short += piece.short
        for words, (bound, spare) in piece.anyway.items():
            if words in everywhere:
                anyway[words] = bound, min(spare, anyway.get(words, (bound, spare))[1])
            else:
                short.append((*piece.ends, bound))
    blocked = tuple(
        Blocked(begins * scale, stops * scale, bound)
        for begins, stops, bound in sorted(_whole(short), key=lambda one: one[:2])
    )
    low, high = mover.low * scale, mover.high * scale
    return Bands(
        key=mover.key,
        pole=solid.item,
        now_in=mover.up * scale,
        low_in=low,
        high_in=high,
        rise=scale,
        top_in=mover.top * scale,
        bands=tuple(_free(blocked, (low, high), ends)),
        blocked=blocked,
        anyway=tuple(anyway.values()),
        unsaid=tuple(found[0].unsaid.items()) if found else (),
        group=mover.group,
        notes=tuple(mover.notes),
    )


def without(room: Bands, blocked: Sequence[Blocked]) -> Bands:
    """The room with other heights blocked."""
    found = tuple(sorted(blocked, key=lambda one: one[:2]))
    return replace(room, bands=free(found, room.low_in, room.high_in), blocked=found)


def free(blocked: Sequence[Blocked], low_in: float, high_in: float) -> tuple[Band, ...]:
    """What is left of the heights between two, by what is blocked, the lowest first."""
    ends = Bound(None, None, None, None, "an end of the pole")
    return tuple(_free(blocked, (low_in, high_in), (ends, ends)))


def all_bands(job: Job, books: Sequence[Rulebook]) -> dict[str, Bands]:
    """The room of every item that is fixed to a pole, by id; of those it can be said of."""
    spots = Spots(job, "framed")
    movers = []
    for item in job.items:
        with contextlib.suppress(EditError):
            movers.append(_mover(job, item.id, spots))
    rooms = done(_rooms(job, books, movers, None))
    return {room.key: room for room in rooms}


def _end(words: str, job: Job, solid: PoleSolid) -> Bound:
    return Bound(None, None, None, None, f"{words} {job.label(solid.item)}")


def _knots(solid: PoleSolid, group: dict[str, float], low: float, high: float) -> list[float]:
    """Where the taper of the pole under something that moves changes, with both ends."""
    turns = {
        up - above
        for up, _ in solid.girths[1:-1]
        for above in group.values()
        if low + HAIR_IN < up - above < high - HAIR_IN
    }
    return [low, *sorted(turns), high]


def _tracks(mover: _Mover, now: Scene) -> Iterator[Track]:
    """What moves with an item between knots, split until it moves in straight lines.

    `now` is the scene of the job as it is.
    """
    job, solid = now.job, mover.solid

    def scene(up: float) -> Scene:
        return place(moved_to(job, mover.key, up * solid.rise), "framed", now)

    def between(low: float, high: float) -> tuple[float, Scene]:
        """A scene from somewhere about the middle between two heights."""
        aside = _ASIDE * (high - low)
        if low + aside < mover.up < high - aside and mover.as_linked:
            return mover.up, now
        middle = 0.5 * (low + high)
        return middle, scene(middle)

    knots = _knots(solid, mover.group, mover.low, mover.high)
    todo = [(one, scene(one)) for one in reversed(knots)]
    while len(todo) > 1:
        low, at_low = todo.pop()
        high, at_high = todo[-1]
        track = Track(at_low, at_high, (low, high))
        at, there = between(low, high)
        # a bend shows as a parabola: all of it half way, less nearer to an end
        share = (at - low) / (high - low)
        bend = track.off(there, at) / (4.0 * share * (1.0 - share))
        if bend > _STRAIGHT_IN and high - low > _SHORTEST_IN:
            todo += [(at, there), (low, at_low)]
        else:
            yield track


def _whole(short: list[tuple[float, float, Bound]]) -> list[tuple[float, float, Bound]]:
    """Stretches of one thing that was looked at piece by piece, made one."""
    found: dict[tuple[str, ...], list[tuple[float, float, Bound]]] = {}
    for low, high, bound in sorted(short, key=lambda one: one[:2]):
        those = found.setdefault(bound.key, [])
        if those and low <= those[-1][1] + HAIR_IN:
            those[-1] = those[-1][0], max(high, those[-1][1]), bound
        else:
            those.append((low, high, bound))
    return [one for those in found.values() for one in those]


class _Piece(Struct, frozen=True):
    """What is short between two knots, along the pole, and what is not known there."""

    ends: tuple[float, float]
    short: list[tuple[float, float, Bound]]
    anyway: dict[str, tuple[Bound, float]]
    unsaid: dict[str, int]


def _pieces(
    now: Scene,
    tracks: Sequence[Track],
    ups: Sequence[float],
    books: Sequence[Rulebook],
    *,
    whole: bool,
) -> Work[list[_Piece]]:
    """What is short on each track; those of one plan are looked at together."""
    found: dict[int, _Piece] = {}
    left, like = list(range(len(tracks))), now
    while left:
        alike = [one for one in left if same_structure(like, tracks[one].low)]
        if alike:
            planned = _waived(_plan_of(like, books), like)
            yield ""
            course = Course(planned, [tracks[one] for one in alike], like)
            here = [ups[one] for one in alike]
            pieces = yield from _on_course(course, here, whole=whole)
            found.update(zip(alike, pieces, strict=True))
            left = [one for one in left if one not in found]
        if left:
            like = tracks[left[0]].low
    return [found[number] for number in range(len(tracks))]


def _plan_of(scene: Scene, books: Sequence[Rulebook]) -> Plan:
    """The plan of a scene, which is kept with it."""
    kept: Plan | None = scene.kept.get(_PLAN)
    if kept is None or not same_books(kept, tuple(books)):
        kept = scene.kept[_PLAN] = plan(structure(scene, "framed"), tuple(books))
    return kept


def _on_course(course: Course, now: Sequence[float], *, whole: bool) -> Work[list[_Piece]]:
    planned, tracks = course.plan, course.tracks
    rows = planned.rows
    sayable = course.spoken() & (rows.unsaid == 0)
    asked, unsaid = [], []
    for track in tracks:
        takes_part = track.moves[rows.a] | track.moves[rows.b]
        takes_part &= ~track.jumpers[rows.a] & ~track.jumpers[rows.b]
        asked.append(np.nonzero(takes_part & sayable)[0])
        numbers = rows.unsaid[takes_part & (rows.unsaid > 0)].tolist()
        unsaid.append(dict(Counter(planned.texts[number] for number in numbers)))
    units = Units(course, asked)
    yield ""
    at = [course.place(number, up) for number, up in enumerate(now)]
    swept = yield from sweep(units, at, whole=whole)
    return [
        _piece(track, planned, texts, found)
        for track, texts, found in zip(tracks, unsaid, swept, strict=True)
    ]


def _piece(track: Track, planned: Plan, unsaid: dict[str, int], found: Swept) -> _Piece:
    scene = track.low
    job = scene.job
    for text in found.lost:
        unsaid.setdefault(text, 1)
    short = [(one.low, one.high, _bound(job, scene, planned, one.row)) for one in found.short]
    anyway = {}
    for row, spare in found.anyway.items():
        bound = _bound(job, scene, planned, row)
        anyway[bound.words] = bound, -spare
    short += _limits(job, track)
    return _Piece(track.up, short, anyway, unsaid)


def _waived(planned: Plan, scene: Scene) -> Plan:
    """The plan with the gaps somebody answers for asked no wider than they were then."""
    waivers = {waiver.key: waiver.gap_in for waiver in scene.job.waivers}
    if not waivers:
        return planned
    rows, need = planned.rows, planned.rows.need.copy()
    for row, (rule, a, b) in enumerate(
        zip(rows.rule.tolist(), rows.a.tolist(), rows.b.tolist(), strict=True)
    ):
        judged = planned.rules[rule]
        names = [scene.parts[number].key for number in dict.fromkeys((a, b))]
        then = waivers.get("|".join((judged.id, *names)))
        if (
            then is not None
            and judged.measure != "approach"
            and "worker"
            not in (
                judged.a,
                judged.b,
            )
        ):
            need[row] = max(need[row], then) if judged.most else min(need[row], then)
    return planned._replace(rows=rows._replace(need=need))


def _bound(job: Job, scene: Scene, planned: Plan, row: int) -> Bound:
    rows = planned.rows
    a, b = scene.parts[int(rows.a[row])], scene.parts[int(rows.b[row])]
    rule, need = planned.rules[int(rows.rule[row])], float(rows.need[row])
    return Bound(rule, a, b if b is not a else None, need, job=job)


def _limits(job: Job, track: Track) -> Iterator[tuple[float, float, Bound]]:
    """Where what moves is past a limit line; along a straight way that is all from some height."""
    low, high = track.up
    for limit in job.limits:
        wanted = _LIMITED.get(limit.binds)
        for number in track.moved.tolist():
            part = track.low.parts[number]
            if part.tags & (Tag.NEARBY | Tag.BORE | Tag.SPACE):
                continue
            if part.missing or part.shape is None or not (wanted is None or part.tags & wanted):
                continue
            ends = zip(_room(part, limit), _room(track.lifted(number, high - low), limit))  # noqa: B905
            words = f"limit line {limit.name}: {part_name(job, part)}"
            bound = Bound(None, part, None, limit.keep_in, words)
            for at_low, at_high in ends:
                if at_low < -HAIR_IN or at_high < -HAIR_IN:
                    turn = low + (high - low) * min(1.0, max(0.0, _root(at_low, at_high)))
                    yield (low, turn, bound) if at_low < at_high else (turn, high, bound)


def _root(at_low: float, at_high: float) -> float:
    """Where a straight line from one value to another is 0, as a share of the way."""
    if at_low < 0.0 and at_high < 0.0:
        return 1.0 if at_low < at_high else 0.0
    return at_low / (at_low - at_high)


def _room(part: Part, limit: LimitLine) -> list[float]:
    """What both ends of a part have to spare before a limit line."""
    normal, shape = limit_normal(limit), part.shape
    origin: Point = (limit.east_in, limit.north_in, limit.height_in)
    if isinstance(shape, Box):
        sides = zip((shape.v, shape.w), shape.half[1:], strict=True)
        thick = [sum(abs(dot(axis, normal)) * half for axis, half in sides)] * 2
    elif isinstance(shape, Tube):
        thick = [shape.r_p, shape.r_q]
    else:
        thick = [shape.r, shape.r] if isinstance(shape, Run) else [0.0, 0.0]
    ends = (shape.p, shape.q) if shape is not None else ()
    return [
        dot((origin[0] - at[0], origin[1] - at[1], origin[2] - at[2]), normal)
        - radius
        - limit.keep_in
        for at, radius in zip(ends, thick, strict=False)
    ]


def _free(
    blocked: Sequence[Blocked], ends: tuple[float, float], limits: tuple[Bound, Bound]
) -> Iterator[Band]:
    """What is left between two heights, with what bounds it."""
    at, high = ends
    for begins, stops in [*_merged(blocked), (high, high)]:
        if begins - at > 0.25 * HAIR_IN:
            yield Band(
                at,
                min(begins, high),
                _bounding([one for one in blocked if abs(one.high_in - at) <= SAME_END_IN])
                or (limits[0],),
                _bounding([one for one in blocked if abs(one.low_in - begins) <= SAME_END_IN])
                or (limits[1],),
            )
        at = max(at, stops)


def _bounding(found: list[Blocked]) -> tuple[Bound, ...]:
    return tuple({one.bound.words: one.bound for one in found}.values())


def _merged(blocked: Sequence[Blocked]) -> Iterator[tuple[float, float]]:
    """The heights at which anything is short, as stretches that do not touch."""
    low = high = None
    for one in blocked:
        if low is None or high is None:
            low, high = one.low_in, one.high_in
        elif one.low_in <= high:
            high = max(high, one.high_in)
        else:
            yield low, high
            low, high = one.low_in, one.high_in
    if low is not None and high is not None:
        yield low, high
