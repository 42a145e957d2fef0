"""Edits of what the transfer rests on: holds, limits between steps, ratings, ties, crew limits."""

from __future__ import annotations

import re
from typing import Any, TypeVar

from msgspec import Struct, ValidationError, convert, to_builtins
from msgspec.structs import replace

from framer.edits.places import with_thing
from framer.errors import EditError
from framer.model.item import Rating
from framer.model.job import Job
from framer.model.step import BetweenWhat, BetweenWire, Hold, LimitBetween, Step

_Record = TypeVar("_Record", bound=Struct)
_RANGE = re.compile(r"Expected `(?:float|int)` (<=?|>=?) ([\d.]+)")
_SAID = {"<": "below", "<=": "at most", ">": "above", ">=": "at least"}


def checked(record: _Record) -> _Record:
    """A record that a job file would take.

    Raises:
        EditError: a field has a value that it cannot have.
    """
    try:
        return convert(to_builtins(record), type(record))
    except ValidationError as problem:
        found = _RANGE.search(str(problem))
        words = f"it must be {_SAID[found[1]]} {float(found[2]):,g}" if found else str(problem)
        raise EditError(words) from problem


# --- holds ---


def holds_of(job: Job, circuit: str) -> list[Hold]:
    """What was arranged for a circuit, in order."""
    return [one for one in job.holds if one.circuit == circuit]


def set_hold(job: Job, circuit: str, number: int, **changes: Any) -> Job:
    """The job with other facts of one of a circuit's holds, the first being 0.

    The first one comes to be when something is said of it.

    Raises:
        EditError: there is no such circuit or hold, or that cannot be said of it.
    """
    known = _known(job, circuit, number)
    mine = known or [Hold(circuit)]
    mine[number] = checked(replace(mine[number], **changes))
    return _with_holds(job, circuit, mine)


def add_hold(job: Job, circuit: str) -> Job:
    """The job with one more hold on a circuit, as it is fed from more than one side.

    Raises:
        EditError: there is no such circuit.
    """
    known = _known(job, circuit, 0)
    return _with_holds(job, circuit, [*(known or [Hold(circuit)]), Hold(circuit)])


def remove_hold(job: Job, circuit: str, number: int) -> Job:
    """The job without one of a circuit's holds.

    Raises:
        EditError: there is no such circuit or hold.
    """
    known = _known(job, circuit, number)
    if not known:
        raise EditError("nothing is arranged there yet")
    return _with_holds(job, circuit, known[:number] + known[number + 1 :])


def _known(job: Job, circuit: str, number: int) -> list[Hold]:
    if circuit not in job.circuit_by_id:
        raise EditError(f"there is no circuit '{circuit}'")
    known = holds_of(job, circuit)
    if not 0 <= number < max(len(known), 1):
        raise EditError("there is no such hold")
    return known


def _with_holds(job: Job, circuit: str, mine: list[Hold]) -> Job:
    """The job with these holds on a circuit, in the order of the circuits."""
    by = {one.id: mine if one.id == circuit else holds_of(job, one.id) for one in job.circuits}
    return replace(job, holds=tuple(one for each in by.values() for one in each))


# --- limits between steps ---


def add_limit_between(job: Job, a: BetweenWire, b: BetweenWhat, keep_in: float) -> tuple[Job, str]:
    """The job with one more distance kept between steps, and its id.

    Raises:
        EditError: that is no such distance.
    """
    taken = {one.id for one in job.limits_between}
    key, number = f"between-{a}-{b}".replace(" ", "-"), 1
    while key in taken or key in job.thing_by_id:
        number += 1
        key = f"between-{a}-{b}-{number}".replace(" ", "-")
    made = checked(LimitBetween(key, a, b, keep_in))
    return replace(job, limits_between=(*job.limits_between, made)), key


def set_limit_between(job: Job, key: str, **changes: Any) -> Job:
    """The job with another distance, or other things it is between.

    Raises:
        EditError: there is no such limit, or that cannot be one.
    """
    _limit(job, key)
    limits = tuple(
        checked(replace(one, **changes)) if one.id == key else one for one in job.limits_between
    )
    return replace(job, limits_between=limits)


def remove_limit_between(job: Job, key: str) -> Job:
    """The job without a distance kept between steps.

    Raises:
        EditError: there is no such limit.
    """
    _limit(job, key)
    limits = tuple(one for one in job.limits_between if one.id != key)
    return replace(job, limits_between=limits)


def _limit(job: Job, key: str) -> LimitBetween:
    for one in job.limits_between:
        if one.id == key:
            return one
    raise EditError(f"there is no limit '{key}'")


# --- things ---


def set_facts(job: Job, key: str, **changes: Any) -> Job:
    """The job with other facts of an item, wire or jumper, such as its weight, tie or tail.

    Raises:
        EditError: there is no such thing, or it cannot have that.
    """
    thing = job.thing_by_id.get(key)
    if thing is None:
        raise EditError(f"there is nothing named '{key}'")
    return with_thing(job, checked(replace(thing, **changes)))


def set_rating(job: Job, key: str, **changes: float | None) -> Job:
    """The job with what a support takes from a wire; without any number there is no rating.

    Raises:
        EditError: there is no such item, or it cannot have that.
    """
    item = job.item_by_id.get(key)
    if item is None:
        raise EditError(f"there is no item '{key}'")
    rating = replace(item.rating or Rating(), **changes)
    return set_facts(job, key, rating=None if rating == Rating() else rating)


def set_crew(job: Job, **changes: float | str | None) -> Job:
    """The job with other limits of the crew, or its language: fields of its settings.

    Raises:
        EditError: a value makes no sense.
    """
    return replace(job, settings=checked(replace(job.settings, **changes)))


def with_boom(step: Step, **changes: Any) -> Step:
    """A step with other facts of its boom.

    Raises:
        EditError: it has no boom, or a value makes no sense.
    """
    if step.boom is None:
        raise EditError("the step has no boom")
    return replace(step, boom=checked(replace(step.boom, **changes)))
