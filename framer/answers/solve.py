"""How far from the top: the height of an item at which everything is met, or what is missing.

The bands say where that is; the height given is on the half inch, on the side away from danger, and
the whole job is checked there once more.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from framer.answers.bands import (
    Band,
    Bands,
    Blocked,
    Bound,
    bands,
    bands_work,
    mount,
    moved_to,
    without,
)
from framer.answers.forms import (
    STEP_IN,
    least_cut_work,
    pole_shorts,
    shorts,
    standing,
    stock_lengths_in,
    with_cut,
    with_length,
)
from framer.answers.lack import Lack, lack
from framer.answers.order import Elsewhere, Kept, changed, elsewhere, in_order, kept_order, ordered
from framer.answers.work import Work
from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.errors import EditError
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.reading import Reading
from framer.strength.choice import without_girths
from framer.units.compare import HAIR_IN, rounded

Want = Literal["highest", "lowest", "nearest"]

FINE_IN = 1 / 16
_MOST_TRIES = 12
_TRY_IN = 6.0


class Placed(Struct, frozen=True):
    """Where an item can be.

    Attributes:
        job: the job with the item there.
        height_in: its bolt above ground.
        drop_in: its bolt below the finished top, along the pole.
        governs: what keeps it from going farther the way that was asked.
        down_in: how much farther down it could go, and
        down: what it would meet there.
        up_in: how much farther up it could go.
        up: what it would meet there.
        left: what is short there all the same: what was short before, wherever the item is.
        climbing: the heights above had room to climb short, so it was moved on from them by this.
    """

    job: Job
    height_in: float
    drop_in: float
    governs: tuple[Bound, ...]
    down_in: float
    down: tuple[Bound, ...]
    up_in: float
    up: tuple[Bound, ...]
    left: tuple[Finding, ...]
    climbing_in: float = 0.0


class _Put(NamedTuple):
    """The place found; where there is none, what the best height tried would make short."""

    placed: Placed | None
    makes: tuple[Finding, ...] = ()


class Longer(Struct, frozen=True):
    """A stock length that works where the pole drafted is too short.

    Attributes:
        short_in: how much too low the finished top is.
        length_in: the shortest stock length that works.
        cut_in: what has to be sawn off it.
        placed: where the item then is.
    """

    short_in: float
    length_in: float
    cut_in: float
    placed: Placed


class Answer(Struct, frozen=True):
    """How far from the top an item goes.

    Attributes:
        key: the item.
        want: which way was asked.
        room: its room along the pole as drafted.
        placed: where it goes, `None` where it has no room.
        longer: a longer pole that works, `None` where none does or none is needed.
        lack: what is missing where no length works.
        tried: the stock lengths that were tried and do not work, in inches.
        elsewhere: room that would change the order of what carries wires, which is kept.
        reordered: where it goes with the order of our own supply changed, and
        changes: what of the order that changes; `None` and empty where it has a place in order.
        makes: what it would make short at the best height of its room, where it is put nowhere
            though it has room: the whole pole is judged there, with room to climb.
    """

    key: str
    want: Want
    room: Bands
    placed: Placed | None
    longer: Longer | None = None
    lack: Lack | None = None
    tried: tuple[float, ...] = ()
    elsewhere: tuple[Elsewhere, ...] = ()
    reordered: Placed | None = None
    changes: tuple[Kept, ...] = ()
    makes: tuple[Finding, ...] = ()


def solve_work(
    job: Job, books: Sequence[Rulebook], key: str, want: Want = "highest"
) -> Work[Answer]:
    """The highest, lowest or nearest place of an item at which all is met, a look at a time.

    Raises:
        EditError: it is fixed to no pole, or something needed is not known; says what.
    """
    yield "looking for room"
    room = yield from bands_work(job, books, key)
    kept = kept_order(job, books, room)
    other = elsewhere(room, kept)
    yield ""
    placed, makes = yield from _placed(job, books, in_order(room, kept), want)
    if placed is not None:
        return Answer(key, want, room, placed, elsewhere=other)
    theirs = [one for one in kept if not one.ours]
    reordered, _ = yield from _placed(job, books, in_order(room, theirs), want)
    changes = changed(kept, reordered.height_in) if reordered is not None else ()
    longer, tried = yield from _longer(job, books, room, want)
    lacking = None
    if longer is None and not makes:
        yield "no length works: counting what is missing"
        lacking = yield from missing_on_work(longest(job, key), books, key)
    return Answer(key, want, room, None, longer, lacking, tried, other, reordered, changes, makes)


def longest(job: Job, key: str) -> Job:
    """The job with the longest stock pole under an item, all on it where it is above ground."""
    pole = mount(job, key).solid.item
    for length in reversed(_longer_lengths(job, pole)):
        try:
            return with_length(job, pole, length)
        except EditError:
            continue
    return job


def missing_on_work(job: Job, books: Sequence[Rulebook], key: str) -> Work[Lack]:
    """What is missing for an item to be anywhere on the pole of the job, a look at a time.

    The pole is cut as far down as its own timber asks, so that a top is never what is missing
    where a longer pole would do.
    """
    room = yield from bands_work(job, books, key, whole=True)
    yield ""
    cut = yield from least_cut_work(job, books, room.pole)
    yield ""
    if not cut:
        return lack(ordered(job, books, room))
    # with the top everything that is kept from the top comes down
    solid = mount(job, key).solid
    top = (solid.at("height", room.top_in / room.rise - cut) or 0.0) - max(room.group.values())
    ends = Bound(None, None, None, None, f"the top of {job.label(room.pole)}, cut for its timber")
    blocked = [Blocked(min(top, room.high_in), room.high_in, ends)]
    for one in room.blocked:
        down = cut * room.rise if one.bound.rule and one.bound.rule.measure == "below top" else 0.0
        blocked.append(Blocked(max(one.low_in - down, room.low_in), one.high_in, one.bound))
    return lack(ordered(job, books, without(room, blocked)))


def _in_order(job: Job, books: Sequence[Rulebook], key: str, *, whole: bool = False) -> Bands:
    return ordered(job, books, bands(job, books, key, whole=whole))


def _longer_lengths(job: Job, pole: str) -> list[float]:
    item = job.item_by_id[pole]
    now = item.pole.length_in if item.pole else None
    species = item.pole.species if item.pole else None
    return [one for one in stock_lengths_in(species) if now is None or one > now + HAIR_IN]


def _fitted(
    job: Job, books: Sequence[Rulebook], pole: str, length_in: float
) -> Work[tuple[Job, float]]:
    """The job with a pole of another length, topped as far as its timber asks, and the cut."""
    form = with_length(job, pole, length_in)
    cut = yield from least_cut_work(form, books, pole)
    yield ""
    if cut is None:
        drafted, longer = ({one.key for one in pole_shorts(of, books, pole)} for of in (job, form))
        if not longer <= drafted:
            raise EditError(f"no cut cures what the timber of {job.label(pole)} is short of")
    if not cut:
        return form, 0.0
    return with_cut(form, pole, cut), cut


def _longer(
    job: Job, books: Sequence[Rulebook], room: Bands, want: Want
) -> Work[tuple[Longer | None, tuple[float, ...]]]:
    """The shortest longer stock pole that works; and the lengths that do not."""
    tried: list[float] = []
    for length in _longer_lengths(job, room.pole):
        yield f"trying a {length / 12:g}-ft pole"
        try:
            form, cut = yield from _fitted(job, books, room.pole, length)
            inside = _in_order(form, books, room.key)
            yield ""
            placed, _ = yield from _placed(form, books, inside, want)
        except EditError:
            placed = None
        if placed is not None:
            short = yield from _too_short(job, books, room)
            return Longer(short, length, cut, placed), tuple(tried)
        tried.append(length)
    return None, tuple(tried)


def _too_short(job: Job, books: Sequence[Rulebook], room: Bands) -> Work[float]:
    """How much higher the top of the pole as drafted must be, to the next half inch."""
    item, where = job.item_by_id[room.pole], standing(job, room.pole)
    length = item.pole.length_in if item.pole else None
    if length is None:
        return math.inf
    depth = length - where.cut_in - room.top_in / room.rise
    # no class table has such a length, so what is added is as thick as the pole goes on
    girths = place(job, "framed").poles[room.pole].girths
    known = tuple(Reading(room.pole, "girth", girth, at_in=up) for up, girth in girths)
    bare = without_girths(job, room.pole) if known else job
    thick = replace(bare, readings=(*bare.readings, *known))

    def works(more: float) -> bool:
        form = with_length(thick, room.pole, length + more, where.cut_in, depth_in=depth)
        return bool(_in_order(form, books, room.key).bands)

    low, high = 0, 1
    while not works(high * STEP_IN):
        yield ""
        low, high = high, 2 * high
        if high * STEP_IN > 600.0:
            return math.inf
    while high - low > 1:
        yield ""
        middle = (low + high) // 2
        low, high = (low, middle) if works(middle * STEP_IN) else (middle, high)
    return high * STEP_IN


def _placed(job: Job, books: Sequence[Rulebook], room: Bands, want: Want) -> Work[_Put]:
    """The best height in the room at which the whole check finds nothing short that was not."""
    if not room.bands:
        return _Put(None)
    before = {one.key for one in shorts(job, books, climbing=True)}
    first, makes = None, None
    for band, height in _tries(room, want):
        yield ""
        first = height if first is None else first
        moved = moved_to(job, room.key, height)
        found = shorts(moved, books, climbing=True)
        new = tuple(one for one in found if one.key not in before)
        makes = new if makes is None else makes
        if not new:
            placed = Placed(
                job=moved,
                height_in=height,
                drop_in=room.drop_in(height),
                governs=band.below if want == "lowest" else band.above,
                down_in=height - band.low_in,
                down=band.below,
                up_in=band.high_in - height,
                up=band.above,
                left=tuple(found),
                climbing_in=abs(height - first),
            )
            return _Put(placed)
    return _Put(None, makes or ())


def _tries(room: Bands, want: Want) -> Iterator[tuple[Band, float]]:
    """Heights to try, the best first; more than one only for what the bands do not reckon with."""
    order = list(room.bands)
    if want == "highest":
        order.reverse()
    if want == "nearest":
        order.sort(key=lambda band: max(band.low_in - room.now_in, room.now_in - band.high_in, 0.0))
    left = _MOST_TRIES
    for band in order:
        best = {"highest": band.high_in, "lowest": band.low_in}.get(
            want, min(band.high_in, max(band.low_in, room.now_in))
        )
        down = want == "highest" or (want == "nearest" and best < room.now_in - HAIR_IN)
        far = best - band.low_in if down else band.high_in - best
        for number in range(int(far / _TRY_IN) + 1):
            if not left:
                return
            left -= 1
            at = best - number * _TRY_IN if down else best + number * _TRY_IN
            yield band, _stepped(room, band, at, down=down)


def _stepped(room: Bands, band: Band, height_in: float, *, down: bool) -> float:
    """A height on the half inch below the top, no farther than asked and within its band.

    Where the band is narrower than that, on the sixteenth; else the height itself.
    """
    drop = room.drop_in(height_in)
    for step in (STEP_IN, FINE_IN):
        stepped = room.top_in - rounded(drop, step, "up" if down else "down") * room.rise
        if band.low_in - HAIR_IN <= stepped <= band.high_in + HAIR_IN:
            return stepped
    return height_in
