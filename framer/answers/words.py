"""What answers say: each thing with its lines, and the change of the job that it offers.

The command line prints them; the window lists them and carries out what is accepted.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from framer.answers.bands import Band, Bands, Bound, moved_to
from framer.answers.consequences import Judged, consequences
from framer.answers.lack import Lack
from framer.answers.levers import Lever, levers_work
from framer.answers.order import Elsewhere, changed, elsewhere, in_order, kept_order
from framer.answers.solve import Answer, Placed, Want, solve_work
from framer.answers.told import MOST_LISTED, Offer, Told, feet, inches
from framer.answers.work import Work
from framer.checks.engine import check
from framer.checks.explain import one_line, part_name
from framer.checks.finding import unit_of
from framer.checks.rulebook import Rulebook
from framer.errors import EditError
from framer.geometry.placing import place
from framer.geometry.written import exact, stepped
from framer.model.job import Job
from framer.units.compare import HAIR_IN

CLIMBING = "room to climb and jumpers are judged where an item is put, not in these heights"
ORDER = "the order of what carries wires is kept, and everything else stays where it is"
OUT_OF_ORDER = "free, but not in the order drafted, which Highest, Lowest and Nearest keep:"
LEVERS = "These give inches, each applied and solved again."


# --- room ---


def room_told(job: Job, books: Sequence[Rulebook], room: Bands) -> Iterator[Told]:
    """An item's room along its pole, the highest band first; last what would change the order."""
    kept = kept_order(job, books, room)
    inside, other = in_order(room, kept), elsewhere(room, kept)
    now, top = stepped(job, room.now_in), stepped(job, room.drop_in(room.now_in))
    yield Told(
        f"{job.label(room.key)}, bolt now {now} above ground, {top} below the finished top",
        tuple(_with_it(job, room)),
        title=True,
    )
    for bound, by in room.anyway:
        unit = "in" if bound.rule is None else unit_of(bound.rule)
        lack = inches(job, by) if unit == "in" else f"{by:g} {unit}"
        yield Told(f"short at any height by {lack}: {bound.words}", mark="!!")
    if not inside.bands:
        where = " in the order drafted" if other else ""
        yield Told(f"no height is free of what is short{where}", title=True)
    for band in reversed(inside.bands):
        more = f"not higher: {_first(band.above)}", f"not lower:  {_first(band.below)}"
        yield Told(_stretch(job, room, band), more)
    yield from _elsewhere(job, room, other)
    yield from _unsaid(room)
    yield Told(CLIMBING)


def _stretch(job: Job, room: Bands, band: Band | Elsewhere) -> str:
    """From and up to which heights an item has room."""
    # the ends of a narrow room would be rounded to the same, or past each other
    is_narrow = band.high_in - band.low_in <= 2 * job.settings.round_in
    said = exact if is_narrow else stepped
    ends = said(job, band.low_in, "up"), said(job, band.high_in, "down")
    high, low = room.drop_in(band.high_in), room.drop_in(band.low_in)
    drops = said(job, high, "up"), said(job, low, "down")
    if band.high_in - band.low_in < 1 / 8:
        return f"only at {ends[0]} above ground ({drops[0]} from the top)"
    return f"{ends[0]} to {ends[1]} above ground ({drops[0]} to {drops[1]} from the top)"


def _elsewhere(job: Job, room: Bands, found: Sequence[Elsewhere]) -> Iterator[Told]:
    if found:
        yield Told(OUT_OF_ORDER, title=True)
    for one in found:
        yield Told(_stretch(job, room, one), tuple(_changes(job, one)))


def order_words(job: Job, books: Sequence[Rulebook], room: Bands, height_in: float) -> str:
    """What of the order changes at a height where nothing is short; empty where that is not so."""
    if not any(one.low_in <= height_in <= one.high_in for one in room.bands):
        return ""
    changes = [one.otherwise for one in changed(kept_order(job, books, room), height_in)]
    return f"nothing is short there, but the order changes: {_listed(changes)}" if changes else ""


def _changes(job: Job, other: Elsewhere) -> Iterator[str]:
    """How the order would be in room out of it, and where that is not all over it."""
    for one in other.changes[:MOST_LISTED]:
        at, over = one.at_in, other.high_in if one.above else other.low_in
        part = abs(over - at) if (over > at) == one.above else 0.0
        side = "below" if one.above else "above"
        where = f" {side} {stepped(job, at)}" if part > job.settings.round_in else ""
        yield f"{one.otherwise}{where}"
    if len(other.changes) > MOST_LISTED:
        yield f"and {len(other.changes) - MOST_LISTED} more"


def bound_words(job: Job, room: Bands, bound: Bound) -> str:
    """What ends a band, in a few words for the drawing: what is in the way."""
    if bound.rule is None:
        return bound.words
    if bound.rule.measure == "below top":
        return "top margin"
    # what stays where it is says more than what moves
    others = [
        part
        for part in (bound.b, bound.a)
        if part is not None and not {part.owner, part.level, part.support} & set(room.group)
    ]
    part = others[0] if others else bound.a
    return part_name(job, part) if part is not None else bound.rule.title


def _with_it(job: Job, room: Bands) -> Iterator[str]:
    for other, above in room.group.items():
        if other != room.key:
            side = "above" if above > 0 else "below"
            yield f"{job.label(other)} moves with it, {stepped(job, abs(above))} {side}"
    yield from room.notes


def _unsaid(room: Bands) -> Iterator[Told]:
    for missing, many in room.unsaid[:MOST_LISTED]:
        yield Told(f"cannot say: {missing} ({many} pair{'s' * (many != 1)})", mark="?")
    if len(room.unsaid) > MOST_LISTED:
        more = len(room.unsaid) - MOST_LISTED
        yield Told(f"and {more} more thing{'s are' if more > 1 else ' is'} not known", mark="?")


def _first(bounds: tuple[Bound, ...]) -> str:
    more = f" and {len(bounds) - 1} more" if len(bounds) > 1 else ""
    return bounds[0].words + more if bounds else "not known"


# --- how far from the top ---


def top_work(
    job: Job, books: Sequence[Rulebook], key: str, want: Want
) -> Work[tuple[Answer, tuple[Told, ...]]]:
    """How far from the top an item goes, or what is missing, and what that says.

    Raises:
        EditError: it is fixed to no pole, or something needed is not known; says what.
    """
    answer = yield from solve_work(job, books, key, want)
    found: tuple[Lever, ...] = ()
    if answer.lack is not None:
        found = yield from levers_work(job, books, key)
    return answer, tuple(_top_told(job, books, answer, found))


def _top_told(
    job: Job, books: Sequence[Rulebook], answer: Answer, found: tuple[Lever, ...]
) -> Iterator[Told]:
    label = job.label(answer.key)
    if answer.placed is not None:
        height = answer.placed.height_in
        offer = Offer(
            f"{label} to its {answer.want} place", lambda job: moved_to(job, answer.key, height)
        )
        unsaid = ", as far as can be said" if answer.room.unsaid else ""
        yield Told(
            f"{label}, {answer.want}: {_drop(job, answer.placed)}{unsaid}",
            tuple(_placed(job, answer, answer.placed)),
            "?" if unsaid else "",
            offer,
        )
        if costs := tuple(_costs(job, books, answer, answer.placed)):
            yield Told("what follows from it:", costs)
        yield from _left(answer.placed)
    elif answer.longer is not None:
        longer = answer.longer
        yield Told(
            f"{label}: the pole is too short by {stepped(job, longer.short_in, 'up')}", title=True
        )
        cut = f", topped by {stepped(job, longer.cut_in, 'up')}" if longer.cut_in else ""
        made = longer.placed.job
        length = feet(longer.length_in) + _other_class(job, made, answer.room.pole)
        yield Told(
            f"use a {length} pole{cut}: then {_drop(job, longer.placed)}",
            tuple(_placed(job, answer, longer.placed)),
            offer=Offer(
                f"{length} pole, {label} to its {answer.want} place",
                lambda now: _same(now, job, made),
            ),
        )
        yield from _left(longer.placed)
        yield from _tried(answer)
    elif answer.makes:
        yield from _makes(job, answer)
    else:
        yield from _nowhere(job, answer)
    if answer.lack is not None:
        yield from levers_told(job, found)
    if answer.reordered is not None:
        yield from _reordered(job, answer, answer.reordered)
    yield from _elsewhere(job, answer.room, answer.elsewhere)
    yield from _unsaid(answer.room)
    yield Told(ORDER)


def _makes(job: Job, answer: Answer) -> Iterator[Told]:
    """Why it is put nowhere though it has room: all that moves is free there, the pole is not."""
    yield Told(
        f"{job.label(answer.key)}: there is room for its gaps, but every place tried in it makes "
        "something short at the whole pole; the best place:",
        tuple(one_line(job, one) for one in answer.makes[:MOST_LISTED]),
        title=True,
    )
    yield from _tried(answer)


def _reordered(job: Job, answer: Answer, placed: Placed) -> Iterator[Told]:
    """Where it goes if the order is changed, which nobody but the planner decides."""
    label, height = job.label(answer.key), placed.height_in
    then = _listed([one.otherwise for one in answer.changes])
    offer = Offer(
        f"{label} to its {answer.want} place, {then}", lambda job: moved_to(job, answer.key, height)
    )
    yield Told(
        f"with the order changed, {then}: {_drop(job, placed)}",
        tuple(_placed(job, answer, placed)),
        offer=offer,
    )
    yield from _left(placed)


def _listed(words: Sequence[str]) -> str:
    return ", ".join(words[:2]) + (f" and {len(words) - 2} more" if len(words) > 2 else "")


def _other_class(job: Job, made: Job, pole: str) -> str:
    """The class of a pole where it is not the one drafted, which is not listed in its length."""
    was, now = (one.item_by_id[pole].pole for one in (job, made))
    if was is None or now is None or now.pole_class == was.pole_class:
        return ""
    return f" class {now.pole_class}"


def _same(now: Job, asked: Job, made: Job) -> Job:
    """The job an answer made, which is only an answer to the job it was asked of."""
    if now is not asked:
        raise EditError("the job has changed since it was asked; ask again")
    return made


def _drop(job: Job, placed: Placed) -> str:
    drop, height = exact(job, placed.drop_in), exact(job, placed.height_in)
    return f"{drop} from the finished top, {height} above ground"


def _placed(job: Job, answer: Answer, placed: Placed) -> Iterator[str]:
    yield f"governs: {_first(placed.governs)}"
    if answer.want != "lowest":
        yield f"could go down by {stepped(job, placed.down_in, 'down')}: {_first(placed.down)}"
    if answer.want != "highest":
        yield f"could go up by {stepped(job, placed.up_in, 'down')}: {_first(placed.up)}"
    yield from _with_it(job, answer.room)
    if placed.climbing_in:
        by = stepped(job, placed.climbing_in, "up")
        yield f"moved {by} farther than gaps ask, for what is judged at the whole pole"


def _costs(job: Job, books: Sequence[Rulebook], answer: Answer, placed: Placed) -> Iterator[str]:
    """What else of the pole changes with the item there."""
    both = [
        Judged(scene, check(scene, books, moving=True))
        for scene in (place(one, "framed") for one in (job, placed.job))
    ]
    yield from consequences(both[0], both[1], answer.room.pole)


def _left(placed: Placed) -> Iterator[Told]:
    for finding in placed.left[:MOST_LISTED]:
        yield Told(f"short before and after: {one_line(placed.job, finding)}", mark="!!")
    if len(placed.left) > MOST_LISTED:
        more = len(placed.left) - MOST_LISTED
        yield Told(f"and {more} more short before and after", mark="!!")


def _nowhere(job: Job, answer: Answer) -> Iterator[Told]:
    found = answer.lack or Lack(math.inf, (), ())
    label = job.label(answer.key)
    also = ("room out of that order is listed last",) if answer.elsewhere else ()
    if math.isinf(found.inches):
        height = f"no height{_as_drafted(answer)}"
        yield Told(f"{label}: no length works, and {height}: {_first(found.up)}", title=True)
    else:
        yield Told(
            f"{label}: no length works: {inches(job, found.inches)} missing{_as_drafted(answer)}",
            (f"keeps it up:   {_first(found.up)}", f"keeps it down: {_first(found.down)}", *also),
            title=True,
        )
    yield from _tried(answer)


def _as_drafted(answer: Answer) -> str:
    return ", in the order drafted" if answer.elsewhere else ""


def levers_told(job: Job, found: Sequence[Lever]) -> Iterator[Told]:
    """What gives inches, those that are enough first."""
    if not found:
        yield Told("nothing tried gives an inch", title=True)
        return
    yield Told(LEVERS, title=True)
    for one in found:
        note = f" ({one.note})" if one.note else ""
        if one.works:
            yield Told(f"{one.words}: enough{note}", mark="+", offer=_of_lever(job, one))
        elif one.left_in <= HAIR_IN:
            yield Told(
                f"{one.words}: enough here, but makes short{note}:",
                tuple(one_line(one.job, each) for each in one.breaks[:3]),
                mark="-",
            )
        else:
            gives = one.gain_in >= job.settings.round_in
            gain = inches(job, one.gain_in, "down") if math.isfinite(one.gain_in) else "room"
            gain = gain if gives else "nothing"
            left = "" if math.isinf(one.left_in) else f", {inches(job, one.left_in)} still missing"
            offer = _of_lever(job, one) if gives else None
            yield Told(f"{one.words}: gives {gain}{left}{note}", mark="-", offer=offer)


def _of_lever(job: Job, lever: Lever) -> Offer | None:
    """The lever as a step; what only others can do is none."""
    if not lever.ours:
        return None
    return Offer(lever.words, lambda now: _same(now, job, lever.job))


def _tried(answer: Answer) -> Iterator[Told]:
    if answer.tried:
        yield Told("tried, and do not work: " + ", ".join(feet(one) for one in answer.tried))
