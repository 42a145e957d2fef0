"""One thing that an answer says, how it stands, and the lengths in it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple, TypeAlias

from msgspec import Struct

from framer.model.job import Job
from framer.units.compare import Toward
from framer.units.length import inches_text

MOST_LISTED = 6
"""Of findings of one kind no more than these are told."""


Mark: TypeAlias = Literal["", "+", "-", "!!", "?"]
"""Enough, not enough, short, not known; nothing for what is only told."""


class Offer(Struct, frozen=True):
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
        cells: the same as a row of a table, empty where it is none.
    """

    head: str
    more: tuple[str, ...] = ()
    mark: Mark = ""
    offer: Offer | None = None
    title: bool = False
    cells: tuple[str, ...] = ()


def inches(job: Job, value_in: float, toward: Toward = "up") -> str:
    """A short length, in inches even where it is more than a foot."""
    settings = job.settings
    return inches_text(value_in, step_in=settings.round_in, toward=toward, system=settings.units)


def feet(length_in: float) -> str:
    """What a stock pole is called by its length."""
    return f"{length_in / 12:g}-ft"
