"""What answers say: each thing with its lines, and the change of the job that it offers.

The command line prints them; the window lists them and carries out what is accepted.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Literal, NamedTuple, TypeAlias

from framer.answers.bands import Bands, Bound, moved_to
from framer.answers.consequences import Judged, consequences
from framer.answers.forms import Setting, with_cut
from framer.answers.lack import Lack
from framer.answers.lengths import (
    YARD_FILE,
    Choice,
    Option,
    Pole,
    classes_of,
    which_pole_work,
    with_pole,
)
from framer.answers.levers import Lever, levers_work
from framer.answers.solve import Answer, Placed, Want, solve_work
from framer.answers.topping import CAP, CLASS, SOURCES, Form, Topping, topping_work
from framer.answers.work import Work
from framer.checks.engine import check
from framer.checks.explain import one_line, part_name
from framer.checks.rulebook import Rulebook
from framer.errors import EditError
from framer.geometry.placing import place
from framer.model.job import Job
from framer.units.compare import HAIR_IN, Toward
from framer.units.length import inches_text, length_text

MOST_LISTED = 6
MOST_POLES = 3

CLIMBING = "room to climb and jumpers are judged where an item is put, not in these heights"
POLES_FROM = {
    True: f"poles from {YARD_FILE} beside the job",
    False: "poles of every stock length",
}
"""Where the poles come from, by whether there is a list of the yard."""

LEVERS = "These give inches, each applied and solved again."

Mark: TypeAlias = Literal["", "+", "-", "!!", "?"]
"""Enough, not enough, short, not known; nothing for what is only told."""


class Offer(NamedTuple):
    """A change of the job: what the step is called, and the edit."""

    name: str
    edit: Callable[[Job], Job]


class Told(NamedTuple):
    """One thing that is said.

    Attributes:
        head: its first line.
        more: its further lines.
        mark: how it stands.
        offer: what accepting it changes, `None` where there is nothing to accept.
        title: whether it is said of all that comes after it.
    """

    head: str
    more: tuple[str, ...] = ()
    mark: Mark = ""
    offer: Offer | None = None
    title: bool = False


# --- room ---


def room_told(job: Job, room: Bands) -> Iterator[Told]:
    """An item's room along its pole, the highest band first."""
    now, top = _text(job, room.now_in), _text(job, room.drop_in(room.now_in))
    yield Told(
        f"{job.label(room.key)}, bolt now {now} above ground, {top} below the finished top",
        tuple(_with_it(job, room)),
        title=True,
    )
    for bound, by in room.anyway:
        yield Told(f"short at any height by {by:g}: {bound.words}", mark="!!")
    if not room.bands:
        yield Told("no height is free of what is short", title=True)
    for band in reversed(room.bands):
        ends = _text(job, band.low_in, "up"), _text(job, band.high_in, "down")
        high, low = room.drop_in(band.high_in), room.drop_in(band.low_in)
        drops = _text(job, high, "up"), _text(job, low, "down")
        if band.high_in - band.low_in < 1 / 8:
            head = f"only at {ends[0]} above ground ({drops[0]} from the top)"
        else:
            head = f"{ends[0]} to {ends[1]} above ground ({drops[0]} to {drops[1]} from the top)"
        yield Told(head, (f"not higher: {_first(band.above)}", f"not lower:  {_first(band.below)}"))
    yield from _unsaid(room)
    yield Told(CLIMBING)


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
            yield f"{job.label(other)} moves with it, {_text(job, abs(above))} {side}"
    yield from room.notes


def _unsaid(room: Bands) -> Iterator[Told]:
    for text, many in room.unsaid[:MOST_LISTED]:
        yield Told(f"cannot say: {text} ({many} pair{'s' * (many != 1)})", mark="?")
    if len(room.unsaid) > MOST_LISTED:
        yield Told(f"and {len(room.unsaid) - MOST_LISTED} more things are not known", mark="?")


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
    if answer.placed is None and answer.longer is None:
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
        yield Told(
            f"{label}, {answer.want}: {_drop(job, answer.placed)}",
            (*_placed(job, answer, answer.placed), *_costs(job, books, answer, answer.placed)),
            offer=offer,
        )
        yield from _left(answer.placed)
    elif answer.longer is not None:
        longer = answer.longer
        yield Told(
            f"{label}: the pole is too short by {_text(job, longer.short_in, 'up')}", title=True
        )
        cut = f", topped by {_text(job, longer.cut_in, 'up')}" if longer.cut_in else ""
        made = longer.placed.job
        length = _feet(longer.length_in)
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
    else:
        yield from _nowhere(job, answer)
        yield from levers_told(job, found)
    yield from _unsaid(answer.room)


def _same(now: Job, asked: Job, made: Job) -> Job:
    """The job an answer made, which is only an answer to the job it was asked of."""
    if now is not asked:
        raise EditError("the job has changed since it was asked; ask again")
    return made


def _drop(job: Job, placed: Placed) -> str:
    drop, height = _fine(job, placed.drop_in), _fine(job, placed.height_in)
    return f"{drop} from the finished top, {height} above ground"


def _placed(job: Job, answer: Answer, placed: Placed) -> Iterator[str]:
    yield f"governs: {_first(placed.governs)}"
    if answer.want != "lowest":
        yield f"could go down by {_text(job, placed.down_in, 'down')}: {_first(placed.down)}"
    if answer.want != "highest":
        yield f"could go up by {_text(job, placed.up_in, 'down')}: {_first(placed.up)}"
    yield from _with_it(job, answer.room)
    if placed.climbing_in:
        by = _text(job, placed.climbing_in, "up")
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
    if math.isinf(found.inches):
        yield Told(f"{label}: no length works, and no height: {_first(found.up)}", title=True)
    else:
        yield Told(
            f"{label}: no length works: {_inches(job, found.inches)} missing",
            (f"keeps it up:   {_first(found.up)}", f"keeps it down: {_first(found.down)}"),
            title=True,
        )
    yield from _tried(answer)


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
            gain = "nothing" if one.gain_in < 1 / 16 else _inches(job, one.gain_in, "down")
            left = "" if math.isinf(one.left_in) else f", {_inches(job, one.left_in)} still missing"
            offer = _of_lever(job, one) if one.gain_in >= 1 / 16 else None
            yield Told(f"{one.words}: gives {gain}{left}{note}", mark="-", offer=offer)


def _of_lever(job: Job, lever: Lever) -> Offer | None:
    """The lever as a step; what only others can do is none."""
    if not lever.ours:
        return None
    return Offer(lever.words, lambda now: _same(now, job, lever.job))


def _tried(answer: Answer) -> Iterator[Told]:
    if answer.tried:
        yield Told("tried, and do not work: " + ", ".join(_feet(one) for one in answer.tried))


# --- which pole ---


def pole_work(
    job: Job,
    books: Sequence[Rulebook],
    pole: str | None,
    stock: Sequence[Pole] | None,
    setting: Setting,
) -> Work[tuple[Choice, tuple[Told, ...]]]:
    """Which pole frames, and what that says.

    Raises:
        EditError: there is no such pole as framed.
    """
    choice = yield from which_pole_work(job, books, pole, stock=stock, setting=setting)
    return choice, tuple(choice_told(job, choice, setting))


def choice_told(job: Job, choice: Choice, setting: Setting) -> Iterator[Told]:
    """Poles for a place, the best first."""
    for option in _listed(choice.options):
        yield _option(job, choice, option, setting)
    left = len(choice.options) - len(_listed(choice.options))
    if left:
        yield Told(f"and {left} more poles, no better than these")
    for finding in choice.anyway[:MOST_LISTED]:
        yield Told(f"short on every one of them: {one_line(job, finding)}", mark="!!")
    if len(choice.anyway) > MOST_LISTED:
        more = len(choice.anyway) - MOST_LISTED
        yield Told(f"and {more} more, short on every one of them", mark="!!")
    yield from (Told(note, title=True) for note in choice.notes)


def _listed(options: tuple[Option, ...]) -> list[Option]:
    """The best of those that frame, and of those that do not the nearest."""
    frame = [one for one in options if one.frames]
    others = [one for one in options if not one.frames]
    return [*frame[:MOST_POLES], *others[: MOST_POLES - 1]]


def _option(job: Job, choice: Choice, option: Option, setting: Setting) -> Told:
    words = _named(option.pole)
    if option.problem:
        return Told(f"{words}: cannot say", (option.problem,), "?")
    facts = []
    if option.depth_in is not None:
        facts.append(f"set {_fine(job, option.depth_in)} ({option.depth_from})")
    if option.top_in is not None:
        facts.append(f"top {_fine(job, option.top_in)} above ground")
    if option.cut_in:
        facts.append(f"to be topped by {_text(job, option.cut_in, 'up')}")
    if option.spare_in is not None and option.spare_in < -HAIR_IN:
        facts.append(f"{_inches(job, -option.spare_in)} too short")
    elif option.spare_in is not None:
        facts.append(f"{_inches(job, option.spare_in, 'down')} to spare at the top")
    verdict = "frames" if option.frames else "does not frame"
    offer = None
    if option.frames:
        offer = Offer(
            f"{job.label(choice.pole)}: {words}",
            lambda job: with_pole(job, choice.pole, option.pole, option.cut_in, setting),
        )
    return Told(
        f"{words} {verdict}: {', '.join(facts)}",
        tuple(_why(job, choice, option)),
        "+" if option.frames else "-",
        offer,
    )


def _why(job: Job, choice: Choice, option: Option) -> Iterator[str]:
    less = (option.depth_in or 0.0) - (option.other_depth_in or option.depth_in or 0.0)
    if abs(less) > 1 / 16:
        other = "finished" if job.settings.depth_length == "stock" else "stock"
        yield f"by {other} length it would be set {_text(job, abs(less))} " + (
            "less deep" if less >= 0 else "deeper"
        )
    for finding in option.shorts[:2]:
        yield one_line(job, finding)
    if len(option.shorts) > 2:
        yield f"and {len(option.shorts) - 2} more short"
    if option.strength is not None:
        yield option.strength.words
    elif option.frames and not option.pole.pole_class:
        classes = classes_of(job, choice.pole, option.pole.length_in)
        if classes:
            yield f"listed in classes {', '.join(classes)}"


def _named(pole: Pole) -> str:
    words = [_feet(pole.length_in)]
    if pole.pole_class:
        words.append(f"class {pole.pole_class}")
    words += [pole.species] if pole.species else []
    words += [f"({pole.left} there)"] if pole.left is not None else []
    return " ".join(words)


# --- topping ---


def top_off_work(
    job: Job, books: Sequence[Rulebook], pole: str | None, cut_in: float | None
) -> Work[tuple[Topping, tuple[Told, ...]]]:
    """What a cut of the top does, and what that says.

    Raises:
        EditError: there is no such pole as framed, or its top is not known.
    """
    found = yield from topping_work(job, books, pole, cut_in)
    return found, tuple(topping_told(job, found))


def topping_told(job: Job, found: Topping) -> Iterator[Told]:
    """What a cut does, the form that fails beside the one that passes."""
    label = job.label(found.pole)
    if found.after is None:
        yield Told(f"{label}: no cut cures what its timber is short of", title=True)
        yield _form(job, "as drafted", found.before)
        return
    if found.after is found.before:
        yield Told(f"{label}: needs no more cut than it has", title=True)
        yield _form(job, "as drafted", found.before)
        return
    after = found.after
    cut = _text(job, after.cut_in, "up")
    yield Told(
        f"{label}: cut {cut} from the stock top"
        + ("" if found.needed else ", which its timber does not ask"),
        title=True,
    )
    yield _form(job, "as drafted", found.before)
    yield _form(
        job,
        f"topped by {cut}",
        after,
        Offer(f"top {label} by {cut}", lambda job: with_cut(job, found.pole, after.cut_in)),
    )
    for drop in found.drops:
        before, below, height = (
            "not known" if one is None else _fine(job, one)
            for one in (drop.before_in, drop.after_in, drop.height_in)
        )
        yield Told(f"{job.label(drop.key)}: {before} -> {below} from the finished top, {height} up")
    for from_top, left in found.lost_bores:
        bore = f"factory bore {_fine(job, from_top)} from the original top"
        if left < 0.0:
            yield Told(f"{bore}: cut off", mark="!!")
        else:
            yield Told(f"{bore}: {_fine(job, left)} from the finished top, too near", mark="!!")
    yield from (Told(line) for line in (*found.words, CAP, CLASS, SOURCES))


def _form(job: Job, name: str, form: Form, offer: Offer | None = None) -> Told:
    top = "not known" if form.top_in is None else _fine(job, form.top_in)
    thick = "not known" if form.diameter_in is None else f"{form.diameter_in:.2f} in"
    more = []
    if form.margin is not None:
        more.append(f"nearest its top: {one_line(form.job, form.margin)}")
    more += [f"short: {one_line(form.job, one)}" for one in form.shorts[:MOST_LISTED]]
    if len(form.shorts) > MOST_LISTED:
        more.append(f"and {len(form.shorts) - MOST_LISTED} more short")
    if not form.shorts:
        more.append("nothing short")
    return Told(
        f"{name}: finished top {top} above ground, diameter there {thick}",
        tuple(more),
        "!!" if form.shorts else "+",
        offer,
    )


# --- lengths ---


def _text(job: Job, value_in: float, toward: Toward = "nearest") -> str:
    settings = job.settings
    return length_text(value_in, step_in=settings.round_in, toward=toward, system=settings.units)


def _fine(job: Job, value_in: float) -> str:
    return length_text(value_in, step_in=1 / 16, system=job.settings.units)


def _inches(job: Job, value_in: float, toward: Toward = "up") -> str:
    if job.settings.units == "metric":
        return _text(job, value_in, toward)
    return inches_text(value_in, step_in=job.settings.round_in, toward=toward)


def _feet(length_in: float) -> str:
    return f"{length_in / 12:g}-ft"
