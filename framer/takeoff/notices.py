"""Joint use: who else is on the poles, what each has to move, and by when by rules chosen."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from functools import cache
from typing import Annotated, Literal

from msgspec import Meta, Struct

from framer.errors import FramerError, UnknownNameError
from framer.geometry.spot import Spots
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.stage import Fate, fate, pole_at
from framer.resources import resources
from framer.stock.records import read_records
from framer.stock.source import Source
from framer.units.length import length_text

MOVES: frozenset[Fate] = frozenset({"transfer", "move", "remove", "by others", "undecided"})
"""Fates that mean an attacher's thing does not stay where it was found."""

FATE_WORDS: dict[Fate, str] = {
    "transfer": "moves to the new pole, by our crew",
    "move": "moves on its pole, by our crew",
    "remove": "comes off, by our crew",
    "by others": "its owner takes care of it",
    "undecided": "nobody has said yet what becomes of it",
}


class NoticeRule(Struct, frozen=True, forbid_unknown_fields=True):
    """Within how many days of an event something has to be done, as a law or contract says it."""

    id: str
    title: str
    event: str
    days: Annotated[int, Meta(ge=0, le=3_660)]
    reckoned: Literal["before", "after"]
    what: str
    source: Source


class Due(Struct, frozen=True):
    """A day something is due, by a rule somebody chose."""

    rule: NoticeRule
    event_day: str
    day: datetime.date

    @property
    def words(self) -> str:
        """The day with the arithmetic and the source."""
        sign = "+" if self.rule.reckoned == "after" else "-"
        by = "by" if self.rule.reckoned == "after" else "not later than"
        return (
            f"{self.rule.what} {by} {day_words(self.day)}: {self.rule.event} {self.event_day} "
            f"{sign} {self.rule.days} days; {self.rule.source.words()}"
        )


class Attached(Struct, frozen=True):
    """One thing of another owner: whose, what, where, and what becomes of it."""

    owner: str
    key: str
    what: str
    where: str
    fate: Fate

    @property
    def moves(self) -> bool:
        """Whether it does not stay where it was found."""
        return self.fate in MOVES


@cache
def notice_rules() -> dict[str, NoticeRule]:
    """Every notice rule there is, by id."""
    path = resources() / "notices.toml"
    return {rule.id: rule for rule in read_records(path, "rule", NoticeRule)}


def notice_rule(key: str) -> NoticeRule:
    """The notice rule with an id.

    Raises:
        UnknownNameError: there is none.
    """
    rule = notice_rules().get(key)
    if rule is None:
        raise UnknownNameError("notice rule", key)
    return rule


def due(rule: NoticeRule, event_day: str) -> Due:
    """The day a rule gives, reckoned from the day of its event.

    Raises:
        FramerError: that is no day.
    """
    days = datetime.timedelta(days=rule.days)
    try:
        event = datetime.date.fromisoformat(event_day)
        day = event + days if rule.reckoned == "after" else event - days
    except (ValueError, OverflowError) as error:
        raise FramerError(f"'{event_day}' is no day to reckon from") from error
    return Due(rule, event_day, day)


def dues(job: Job) -> tuple[Due, ...]:
    """Every day the rules chosen for a job give, the earliest first.

    Raises:
        FramerError: a rule is not there, or its day is none.
    """
    found = [due(notice_rule(one.rule), one.date) for one in job.notices]
    return tuple(sorted(found, key=lambda one: one.day))


def day_words(day: datetime.date) -> str:
    """A day as printed: 1 June 2026."""
    return f"{day.day} {day:%B} {day.year}"


def attached(job: Job) -> tuple[Attached, ...]:
    """Everything of other owners that was found at the poles, by owner.

    What has no owner of its own has that of its circuit; without one it is the job's.
    """
    found: list[Attached] = []
    spots = Spots(job, "found")
    for thing in job.placed():
        if thing.places[0].when != "found" or pole_at(job, thing, "found") is None:
            continue
        owner = owner_of(job, thing)
        if owner and owner != job.owner:
            found.append(Attached(owner, thing.id, job.label(thing.id), _where(spots, thing),
                                  fate(job, thing)))  # fmt: skip
    return tuple(sorted(found, key=lambda one: one.owner))


def owner_of(job: Job, thing: Item | Wire) -> str:
    """Whose a thing is; empty where nobody said."""
    own = thing.owner if isinstance(thing, Item) else ""
    circuit = job.circuit_by_id.get(thing.circuit or "")
    return own or (circuit.owner if circuit else "")


def _where(spots: Spots, thing: Item | Wire) -> str:
    pole = pole_at(spots.job, thing, "found")
    on = spots.job.label(pole) if pole else ""
    up = spots.up_in(thing) if isinstance(thing, Item) else None
    if up is None:
        return on
    return f"{on}, {length_text(up, system=spots.job.settings.units)} up"


def notice_lines(job: Job) -> Iterator[str]:
    """What is printed: each owner with what is theirs, then the days."""
    owner = ""
    for one in attached(job):
        if one.owner != owner:
            owner = one.owner
            yield owner
        yield f"   {one.what}, {one.where}: {FATE_WORDS.get(one.fate, one.fate)}"
    for day in dues(job):
        yield day.words
