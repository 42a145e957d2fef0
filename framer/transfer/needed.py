"""The approach distance a line worker keeps from a live part: the most that any book asks."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Literal, TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.requirement import NO_SAGS, Requirement, Site, requirement
from framer.checks.rulebook import INCHES_PER, Band, MeasureName, Rule, Rulebook, Selector
from framer.checks.voltage import Wired
from framer.geometry.written import small
from framer.stock.source import Source
from framer.units.compare import is_at_least, rounded
from framer.units.length import System, decimal_text

Exposure: TypeAlias = Literal["ground", "phase"]
"""Phase to ground; or phase to phase, of one who handles a phase, to another."""

LINE_WORK = "us-1910-269"
"""The book whose distances hold for every line worker, whatever else the job is judged by."""

OTHER_WORK = ("us-1910-268.", "us-1910-333.", "us-1926-1408.", "ca-cohs.unqualified", "ca-ab-s4.")
"""How ids of rules begin that speak of other people and of machines."""


def worker_rule(
    key: str,
    title: str,
    source: Source,
    note: str = "",
    *,
    measure: MeasureName = "approach",
    b: Selector = "supply wire",
) -> Rule:
    """A rule about workers that is in no book; its id is `approach.` and the key."""
    return Rule(
        id=f"approach.{key}",
        title=title,
        measure=measure,
        a="worker",
        b=b,
        stages=("temporary", "crew leaves"),
        need=(Band(value=0.0),),
        source=source,
        note=note,
    )


EMPLOYER = worker_rule(
    "employer",
    "Line worker to a live part, the employer's own distance",
    Source("typed in this job", "house"),
    "It counts only where it is more than the rulebooks ask.",
)
CONTACT = worker_rule(
    "contact",
    "Line worker to a live part up to 300 V: avoid contact",
    Source("29 CFR 1910.269", "read", "text since 2014", "Table R-6, first row, ecfr.gov"),
    "No distance is given; nothing live is to be where the worker takes up room.",
)
PLACED = worker_rule("workers", "Approach distances of the workers", Source("this job", "house"))


class Needed(Struct, frozen=True):
    """The approach distance to a part.

    Attributes:
        rule: the rule that asks most.
        need_in: what is needed, `None` where nothing is known of it.
        reading: what the other readings and books give, where they differ.
        required: how the requirement of a book comes about.
        missing: what is not known; with a `need_in`, what may ask more than that.
        most_in: the most it is at any height above sea level, where that height is not known.
        contact: no distance is given: contact is to be avoided.
    """

    rule: Rule
    need_in: float | None
    reading: str = ""
    required: Requirement | None = None
    missing: str = ""
    most_in: float | None = None
    contact: bool = False


class Asked(Struct, frozen=True):
    """What one rule asks, inches as printed in feet, and how that comes about."""

    need_in: float
    rule: Rule
    found: Requirement


def feet_up_in(length_in: float) -> float:
    """A distance in hundredths of a foot, rounded up as the tables are printed; inches."""
    return 12.0 * rounded(length_in / 12.0, 0.01, "up")


def inches_up(value_in: float, system: System = "ft-in") -> str:
    """Inches to a tenth, or millimetres as metres, rounded up."""
    return decimal_text(value_in, toward="up", system=system)


@lru_cache(maxsize=256)
def needed(
    end: Wired,
    exposure: Exposure,
    altitude_m: float | None,
    up_to_kv: float,
    books: tuple[Rulebook, ...] = (),
    system: System = "ft-in",
) -> Needed:
    """What a line worker keeps from a live part: the most that any reading of any book asks.

    The federal book counts whether it is among `books` or not. A distance of the employer's own
    that is less than the books ask counts for nothing. A circuit of unknown voltage is taken at
    `up_to_kv`: no rule asks less of a higher one. Its words are in units of `system`.
    """
    if end.circuit.kv is None:
        end = end._replace(circuit=replace(end.circuit, kv=up_to_kv))
    asked, missing, contact = _asked(end, exposure, Site(altitude_m), up_to_kv, books)
    own_in = end.circuit.approach_in
    if not asked:
        if contact and not missing:
            return Needed(CONTACT, own_in or 0.0, contact=True)
        return Needed(PLACED, None, missing=missing or "no rule asks a distance")
    most = max(asked, key=lambda one: one.need_in)
    rule, need, required = most.rule, most.need_in, most.found
    at_most = max(_anywhere(one) for one in asked)
    words = [f"{one.rule.id}: {inches_up(one.need_in, system)}" for one in asked]
    if len({round(one.need_in, 6) for one in asked}) == 1:
        words = words[:1] if own_in is not None else []
    if own_in is not None:
        less = not is_at_least(own_in, need)
        own = small(system, own_in, "up")
        words.append(f"the employer's own: {own}{', less and so not counted' * less}")
        if not is_at_least(need, own_in):
            return Needed(
                EMPLOYER,
                own_in,
                "; ".join(words),
                missing=missing,
                most_in=None if altitude_m is not None else max(own_in, at_most),
            )
    return Needed(
        rule,
        need,
        "; ".join(words),
        required,
        missing,
        None if altitude_m is not None else at_most,
    )


def _asked(
    end: Wired, exposure: Exposure, site: Site, up_to_kv: float, books: tuple[Rulebook, ...]
) -> tuple[list[Asked], str, bool]:
    """What each rule asks, what is not known, and whether one says to avoid contact."""
    asked: list[Asked] = []
    missing: list[str] = []
    contact = False
    for rule in _rules(exposure, books):
        found = requirement(rule, (end,), up_to_kv, NO_SAGS, site)
        if "avoid contact" in found.missing:
            contact = True
        elif found.missing:
            missing.append(found.missing)
        elif found.need is not None:
            asked.append(Asked(feet_up_in(found.need), rule, found))
    return asked, "; ".join(dict.fromkeys(missing)), contact


def _rules(exposure: Exposure, books: tuple[Rulebook, ...]) -> Iterator[Rule]:
    """The rules of line workers for one exposure, and such as hold for both."""
    every = {book.book.id: book for book in (rulebook(LINE_WORK), *books)}
    other = "-phase" if exposure == "ground" else "-ground"
    for book in every.values():
        for rule in book.rules:
            if (rule.measure, rule.a, rule.b) != ("approach", "worker", "supply wire"):
                continue
            # the rows by voltage to ground of a single-phase system ask no more than the others
            if rule.id.startswith(OTHER_WORK) or rule.id.endswith((other, "-single-phase")):
                continue
            yield rule


def _anywhere(one: Asked) -> float:
    """The most a rule asks at any height above sea level, from what it asks low down."""
    band = one.rule.need[one.found.band]
    rows = () if isinstance(band.altitude, str) else band.altitude
    most = max((factor for _, factor in rows), default=1.0)
    need = one.found.need or 0.0
    # the factor counts what a table adds, or all where none does
    steady = (band.value or 0.0) * INCHES_PER[band.unit] if band.plus else 0.0
    return feet_up_in(steady + most * (need - steady))
