"""What answers about a pole say: which one, and what a cut of its top does."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framer.answers.forms import Setting, with_cut
from framer.answers.lengths import (
    YARD_FILE,
    Choice,
    Option,
    Pole,
    classes_of,
    which_pole_work,
    with_pole,
)
from framer.answers.told import MOST_LISTED, Mark, Offer, Told, feet, inches
from framer.answers.topping import CAP, CLASS, SOURCES, Form, Topping, topping_work
from framer.answers.work import Work
from framer.checks.explain import one_line, pair_name
from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.geometry.written import exact, stepped
from framer.model.job import Job
from framer.units.compare import HAIR_IN
from framer.units.length import decimal_text

POLES_FROM = {
    True: f"poles from {YARD_FILE} beside the job",
    False: (
        f"poles of every stock length; what the yard has is taken from {YARD_FILE} beside the job, "
        "where there is one: length_ft, class, species, count"
    ),
}
"""Where the poles come from, by whether there is a list of the yard."""

POLE_HEADS = ("pole", "class", "set", "cut off", "spare", "what decides")
"""Of the table of poles: what each of the cells holds."""


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
    """Poles for a place, the best first; each is a row of a table too."""
    for option in choice.options:
        yield _option(job, choice, option, setting)
    for finding in choice.anyway[:MOST_LISTED]:
        yield Told(f"short on every one of them: {one_line(job, finding)}", mark="!!")
    if len(choice.anyway) > MOST_LISTED:
        more = len(choice.anyway) - MOST_LISTED
        yield Told(f"and {more} more, short on every one of them", mark="!!")
    missing = dict.fromkeys(one.missing for one in choice.unsaid)
    yield from (Told(f"cannot say on any of them: {words}", mark="?") for words in missing)
    yield from (Told(note) for note in choice.notes)


def _option(job: Job, choice: Choice, option: Option, setting: Setting) -> Told:
    words, cells = _named(option.pole), _cells(job, option)
    if option.problem:
        return Told(f"{words}: cannot say", (option.problem,), "?", cells=cells)
    facts = []
    if option.depth_in is not None:
        facts.append(f"set {exact(job, option.depth_in)} ({option.depth_from})")
    if option.top_in is not None:
        facts.append(f"top {exact(job, option.top_in)} above ground")
    if option.cut_in:
        facts.append(f"to be topped by {stepped(job, option.cut_in, 'up')}")
    if option.spare_in is not None and option.spare_in < -HAIR_IN:
        facts.append(f"{inches(job, -option.spare_in)} too short")
    elif option.spare_in is not None:
        facts.append(f"{inches(job, option.spare_in, 'down')} to spare at the top")
    offer = None
    if option.does:
        offer = Offer(
            f"{job.label(choice.pole)}: {_named(option.taken)}",
            lambda job: with_pole(job, choice.pole, option.taken, option.cut_in, setting),
        )
    verdict = "frames" if option.frames else "does not frame"
    if option.frames and option.falls:
        verdict = "frames, but is too weak"
    return Told(
        f"{words} {verdict}: {', '.join(facts)}",
        tuple(_why(job, choice, option)),
        _mark(option),
        offer,
        cells=cells,
    )


def _mark(option: Option) -> Mark:
    if not option.does:
        return "-"
    return "?" if option.is_open else "+"


def _cells(job: Job, option: Option) -> tuple[str, ...]:
    deep, spare = option.depth_in, option.spare_in
    if spare is None:
        left = "-"
    elif spare < -HAIR_IN:
        left = f"{inches(job, -spare)} short"
    else:
        left = inches(job, spare, "down")
    return (
        feet(option.pole.length_in),
        _class(option),
        "?" if deep is None else stepped(job, deep),
        stepped(job, option.cut_in, "up") if option.cut_in else "-",
        left,
        "; ".join(filter(None, (_of_yard(option.pole), _decides(job, option)))),
    )


def _class(option: Option) -> str:
    known, strength = option.pole.pole_class, option.strength
    if strength is None:
        return known or option.as_class or "-"
    if strength.is_open:
        return f"{known} ?".strip()
    if not strength.stands:
        return f"{known} too weak" if known else "none stands"
    tight = any(one.verdict == "tight" for one in strength.findings)
    return strength.pole_class + (", tight" if tight else "")


def _decides(job: Job, option: Option) -> str:
    """Why a pole is where it is in the list, in few words."""
    if option.problem:
        return f"cannot say: {option.problem}"
    if option.shorts:
        return f"short: {_about(job, option.shorts[0])}"
    if option.falls and option.strength is not None:
        return option.strength.words
    if option.unsaid:
        return f"cannot say: {option.unsaid[0].missing}"
    if option.strength is not None and option.strength.is_open:
        return option.strength.words
    if option.cut_for is not None:
        return f"cut for: {_about(job, option.cut_for)}"
    if option.bound is not None:
        return f"frames: {_about(job, option.bound)}"
    return "frames: nothing on it is asked a distance from the top"


def _about(job: Job, finding: Finding) -> str:
    return f"{pair_name(job, finding)}: {finding.rule.title}"


def _why(job: Job, choice: Choice, option: Option) -> Iterator[str]:
    less = (option.depth_in or 0.0) - (option.other_depth_in or option.depth_in or 0.0)
    if abs(less) > 1 / 16:
        other = "finished" if job.settings.depth_length == "stock" else "stock"
        yield f"by {other} length it would be set {stepped(job, abs(less))} " + (
            "less deep" if less >= 0 else "deeper"
        )
    if option.cut_for is not None and option.cut_in:
        yield f"uncut it is short: {one_line(job, option.cut_for)}"
    yield from (f"cannot say: {one.missing}" for one in option.unsaid[:2])
    for finding in option.shorts[:2]:
        yield one_line(job, finding)
    if len(option.shorts) > 2:
        yield f"and {len(option.shorts) - 2} more short"
    if option.bound is not None and not option.shorts:
        yield f"nearest its top: {one_line(job, option.bound)}"
    if option.strength is not None:
        yield option.strength.words
    elif option.frames and not option.pole.pole_class:
        if option.as_class != (drafted := _drafted_class(job, choice)):
            yield f"as class {option.as_class}: class {drafted} is not listed in this length"
        classes = classes_of(job, choice.pole, option.pole.length_in)
        if classes:
            yield f"listed in classes {', '.join(classes)}"


def _drafted_class(job: Job, choice: Choice) -> str:
    facts = job.item_by_id[choice.pole].pole
    return (facts.pole_class if facts else None) or ""


def _named(pole: Pole) -> str:
    words = [feet(pole.length_in)]
    if pole.pole_class:
        words.append(f"class {pole.pole_class}")
    known = _of_yard(pole)
    return " ".join(words) + (f" ({known})" if known else "")


def _of_yard(pole: Pole) -> str:
    """What a list of the yard says more of a pole."""
    there = "" if pole.left is None else f"{pole.left} there"
    return ", ".join(filter(None, (pole.species, there)))


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
    cut = stepped(job, after.cut_in, "up")
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
            "not known" if one is None else exact(job, one)
            for one in (drop.before_in, drop.after_in, drop.height_in)
        )
        yield Told(f"{job.label(drop.key)}: {before} -> {below} from the finished top, {height} up")
    for from_top, left in found.lost_bores:
        bore = f"factory bore {exact(job, from_top)} from the original top"
        if left < 0.0:
            yield Told(f"{bore}: cut off", mark="!!")
        else:
            yield Told(f"{bore}: {exact(job, left)} from the finished top, too near", mark="!!")
    yield from (Told(line) for line in (*found.words, CAP, CLASS, SOURCES))


def _form(job: Job, name: str, form: Form, offer: Offer | None = None) -> Told:
    top = "not known" if form.top_in is None else exact(job, form.top_in)
    thick = (
        "not known"
        if form.diameter_in is None
        else decimal_text(form.diameter_in, 2, system=job.settings.units)
    )
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
