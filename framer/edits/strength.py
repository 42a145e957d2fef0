"""Edits of what strength is reckoned from: loading, factors, tensions, girths, guys, ratings."""

from __future__ import annotations

import re
from typing import Any, TypeVar

import msgspec
from msgspec.structs import replace

from framer.edits.places import EditStage, with_place, with_thing
from framer.errors import EditError
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import Guyed
from framer.model.reading import Reading, What

_Record = TypeVar("_Record", bound=msgspec.Struct)

_LIMIT = re.compile(r"Expected `(?:float|int)[^`]*` (>=|<=|>|<) ([-\d.e+]+)")
_WORDS = {">=": "at least", "<=": "at most", ">": "more than", "<": "less than"}


def set_strength(job: Job, **changes: Any) -> Job:
    """The job with other settings of loading and factors.

    Raises:
        EditError: a number is beyond what a job takes.
    """
    return replace(job, settings=_changed(job.settings, changes))


def set_wire_tension(job: Job, key: str, **changes: float | None) -> Job:
    """The job with other tensions of a wire: tension_lbf, loaded_tension_lbf.

    Raises:
        EditError: there is no such wire, or a number is beyond what a job takes.
    """
    wire = job.wire_by_id.get(key)
    if not isinstance(wire, Wire):
        raise EditError(f"there is no wire '{key}'")
    return with_thing(job, _changed(wire, changes))


def set_item_facts(job: Job, key: str, **changes: Any) -> Job:
    """The job with other facts of an item: weight_lb, rated_lbf, and the part of a guy.

    Raises:
        EditError: there is no such item, or a number is beyond what a job takes.
    """
    item = job.item_by_id.get(key)
    if item is None:
        raise EditError(f"there is no item '{key}'")
    return with_thing(job, _changed(item, changes))


def guyed(item: Item) -> Guyed | None:
    """Where a guy is or will be, whichever of its chain comes last."""
    return next((place for place in reversed(item.places) if isinstance(place, Guyed)), None)


def set_guy(job: Job, key: str, **changes: Any) -> Job:
    """The job with other facts of a guy: lead_in, anchor_lbf, rod_dia_in, strut_in and the like.

    What was found is corrected where nothing else is planned of it, else what is planned.

    Raises:
        EditError: it is no guy, or a number is beyond what a job takes.
    """
    item = job.item_by_id.get(key)
    where = guyed(item) if item is not None else None
    if where is None:
        raise EditError(f"{job.label(key)} is no guy")
    stage: EditStage = "found" if where.when == "found" else "framed"
    return with_place(job, key, stage, _changed(where, changes))


def set_girth(job: Job, pole: str, what: What, value_in: float | None) -> Job:
    """The job with a girth, or sound girth or shell, measured at the ground line of a pole.

    `None` takes the readings at that height away.

    Raises:
        EditError: there is no such pole, or it is no such thickness.
    """
    item = job.item_by_id.get(pole)
    if item is None or item.pole is None:
        raise EditError(f"{job.label(pole)} is no pole")
    others = tuple(
        one for one in job.readings if (one.of, one.what, one.at_in or 0.0) != (pole, what, 0.0)
    )
    if value_in is None:
        return replace(job, readings=others)
    if not 0.0 < value_in <= 200.0:
        raise EditError("a pole is thicker than nothing and no more than 200 in round")
    known = next((one for one in job.girths(pole, what) if not one.at_in), None)
    made = (
        Reading(pole, what, value_in, at_in=0.0)
        if known is None
        else replace(known, value_in=value_in, source="measured")
    )
    return replace(job, readings=(*others, made))


def _changed(record: _Record, changes: dict[str, Any]) -> _Record:
    """The record with other values, each within what a job file takes."""
    made = replace(record, **changes)
    try:
        kept: _Record = msgspec.convert(msgspec.to_builtins(made), type(record))
    except msgspec.ValidationError as error:
        found = _LIMIT.search(str(error))
        words = f"{_WORDS[found[1]]} {float(found[2]):g}" if found else "another value"
        raise EditError(f"a job takes {words} here") from error
    return kept
