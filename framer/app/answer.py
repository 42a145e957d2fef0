"""`framer answer`: what the command line prints of room, height, pole and topping."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence

from framer.answers import setting as beside_answers
from framer.answers.bands import all_bands
from framer.answers.forms import Setting, framed_pole
from framer.answers.lengths import yard_of
from framer.answers.levers import levers
from framer.answers.pole_words import POLE_HEADS, POLES_FROM, pole_work, top_off_work
from framer.answers.told import Told
from framer.answers.words import levers_told, order_words, room_told, top_work
from framer.answers.work import done
from framer.errors import FramerError, UnknownNameError
from framer.geometry.placing import place
from framer.geometry.written import stepped
from framer.model.job import Job
from framer.session import Session
from framer.units.length import decimal_text, read_length

MOST_EXPLAINED = 3
"""Of the poles in the table no more than these are explained."""

MARKS = {"+": " + ", "-": " - ", "!!": "!! ", "?": "?  ", "": "   "}
"""What stands before a line, by how it stands."""


def print_answer(options: argparse.Namespace, session: Session) -> bool:
    """Print one answer; whether it is one, with nothing short and nothing unsaid.

    Raises:
        FramerError: the question makes no sense, or something it needs is not known.
    """
    asked = {"room": _room, "top": _top, "pole": _pole, "topping": _topping, "beside": _beside}
    return asked[options.question](options, session)


def _print(told: Iterable[Told]) -> None:
    for one in told:
        print(f"{'' if one.title else MARKS[one.mark]}{one.head}")
        for line in one.more:
            print(f"      {line}")


def _room(options: argparse.Namespace, session: Session) -> bool:
    job = session.job
    if options.item is not None:
        rooms = [session.room(_key(job, options.item))]
    else:
        rooms = list(all_bands(job, session.books()).values())
    for room in rooms:
        _print(room_told(job, session.books(), room))
    return bool(rooms) and all(one.bands and not one.anyway and not one.unsaid for one in rooms)


def _top(options: argparse.Namespace, session: Session) -> bool:
    job, key = session.job, _key(session.job, options.item)
    if options.at is not None:
        height = _length(options.at)
        found = levers(job, session.books(), key, height)
        where = stepped(job, height)
        if not found:
            print(f"{job.label(key)} can be {where} above ground as the job is")
            return True
        print(f"{job.label(key)} cannot be {where} above ground as the job is")
        if changes := order_words(job, session.books(), session.room(key), height):
            print(changes)
        _print(levers_told(job, found))
        return False
    answer, told = done(top_work(job, session.books(), key, options.want))
    _print(told)
    placed = answer.placed
    return placed is not None and not placed.left and not answer.room.unsaid


def _pole(options: argparse.Namespace, session: Session) -> bool:
    job = session.job
    listed = None if options.stock else yard_of(session.path)
    slope = _length(options.slope) if options.slope else 0.0
    setting = Setting("rock" if options.rock else "soil", slope)
    key = _key(job, options.pole) if options.pole else None
    found, told = done(pole_work(job, session.books(), key, listed, setting))
    print(f"in place of {job.label(found.pole)}, everything on it staying where it is")
    print(POLES_FROM[listed is not None])
    rows = [one for one in told if one.cells]
    _print_table(rows)
    _print(rows[:MOST_EXPLAINED])
    _print(one for one in told if not one.cells)
    best = found.options[0] if found.options else None
    is_said = best is not None and not best.is_open and not found.unsaid
    return best is not None and best.does and is_said and not found.anyway


def _print_table(rows: Sequence[Told]) -> None:
    """The rows under their heads, the marks before them."""
    lines = [POLE_HEADS, *(one.cells for one in rows)]
    widths = [max(len(line[at]) for line in lines) for at in range(len(POLE_HEADS))]
    for mark, line in zip(("", *(one.mark for one in rows)), lines, strict=True):
        cells = (cell.ljust(width) for cell, width in zip(line, widths, strict=True))
        print(f"{MARKS[mark]}{'  '.join(cells)}".rstrip())


def _topping(options: argparse.Namespace, session: Session) -> bool:
    job = session.job
    key = _key(job, options.pole) if options.pole else None
    cut = _length(options.cut) if options.cut else None
    found, told = done(top_off_work(job, session.books(), key, cut))
    _print(told)
    return found.after is not None and not found.after.shorts


# --- beside the old pole ---


def _beside(options: argparse.Namespace, session: Session) -> bool:
    job = session.job
    found = beside_answers.beside(
        old_butt_in=_length(options.old_butt),
        new_butt_in=_length(options.new_butt),
        auger_in=_length(options.auger),
        soil_in=_length(options.soil),
        lean_in_per_10ft=options.lean,
        height_in=_length(options.height) if options.height else None,
        system=job.settings.units,
    )
    print(f"centre to centre at least {stepped(job, found.apart_in, 'up')}")
    print(f"{stepped(job, found.tamping_in, 'down')} to tamp round the new butt")
    if found.faces_in is not None and found.height_in is not None:
        at, system = stepped(job, found.height_in), job.settings.units
        over = decimal_text(found.over_in, toward="up", system=system)
        faces = decimal_text(found.faces_in, toward="down", system=system)
        print(f"{at} up the old pole is {over} over: faces {faces}")
    pole = framed_pole(job)
    near = False
    for other, apart in beside_answers.apart_in(job, pole):
        less = apart < found.apart_in - 1e-6
        near |= less
        print(
            f"{'!! ' if less else ''}{job.label(pole)} is drafted "
            f"{stepped(job, apart, 'down')} from {job.label(other)}"
        )
    solid = place(job, "framed").poles[pole]
    for turn in beside_answers.turns(job, solid.foot):
        print(f"at {job.label(pole)} {beside_answers.turn_words(turn)}")
    return not near


# --- words ---


def _key(job: Job, text: str) -> str:
    """The id of the item a person named, by its id or its name."""
    if text in job.item_by_id:
        return text
    named = [item.id for item in job.items if item.name == text]
    if len(named) == 1:
        return named[0]
    if named:
        raise FramerError(f"several items are called '{text}': say which by id: {', '.join(named)}")
    raise UnknownNameError("item", text)


def _length(text: str) -> float:
    typed = read_length(text)
    if typed.other_in is not None:
        raise FramerError(f"'{text}' can be read two ways; write feet and inches")
    return typed.value_in
