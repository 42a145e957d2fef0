"""Whether a material list may be issued: every surveyed thing has one fate, and counts balance."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from framer.model.job import Job
from framer.model.stage import Fate, fate
from framer.stock.catalogue import catalogue
from framer.stock.hardware import Balance, hardware_rules
from framer.takeoff.added import asked, better
from framer.takeoff.row import COLUMNS, NEW_HARDWARE, MaterialRow
from framer.units.compare import is_at_least
from framer.units.figures import count_words

NOT_ISSUED = "NOT TO BE ISSUED"
"""What a list is stamped with that is not complete."""


class Gate(Struct, frozen=True):
    """What keeps a list from being issued.

    Attributes:
        surveyed: how many things were found there.
        counted: how many of them end in each fate.
        open: why the list is not to be issued; empty when it may be.
        asks: what somebody should still look at, without holding up the list.
    """

    surveyed: int
    counted: Mapping[Fate, int]
    open: tuple[str, ...]
    asks: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The count: what was surveyed and where it ends."""
        each = ", ".join(f"{many} {name}" for name, many in self.counted.items())
        settled = sum(many for name, many in self.counted.items() if name != "undecided")
        return f"{self.surveyed} surveyed: {each}; {settled} of {self.surveyed} decided"


def gate(job: Job, rows: Iterable[MaterialRow]) -> Gate:
    """Whether the list of a job closes: fates of what was found, balances, sizes not known."""
    rows = tuple(rows)
    fates = {thing.id: fate(job, thing) for thing in job.things()}
    found = {
        thing.id: fates[thing.id]
        for thing in job.things()
        if not thing.places or thing.places[0].when == "found"
    }
    counted = {name: list(found.values()).count(name) for name in COLUMNS}
    undecided = [job.label(key) for key, one in found.items() if one == "undecided"]
    undecided += [
        job.label(key) for key, one in fates.items() if one == "undecided" and key not in found
    ]
    stops = []
    if undecided:
        items = "1 item" if len(undecided) == 1 else f"{len(undecided)} items"
        stops.append(f"{items} undecided: {', '.join(undecided)}")
    stops.extend(balances(rows))
    stops.extend(
        f"size or number not known: {count_words(row.quantity)} {row.unit} {row.name}"
        for row in rows
        if row.unresolved and row.fate == "install"
    )
    return Gate(
        len(found),
        {name: many for name, many in counted.items() if many},
        tuple(stops),
        (*asked(job, fates), *better(job, fates)),
    )


def balances(rows: Iterable[MaterialRow]) -> Iterator[str]:
    """Every balance that does not close, with both sums and the source."""
    new = [row for row in rows if row.fate in NEW_HARDWARE]
    for rule in hardware_rules().balance:
        left, right = _sum(new, rule.left), _sum(new, rule.right)
        closes = is_at_least(left, right)
        if rule.relation == "equal":
            closes = closes and is_at_least(right, left)
        if not closes:
            yield _words(rule, left, right)


def _words(rule: Balance, left: float, right: float) -> str:
    named = " and ".join(name for name, _ in rule.left)
    least = "" if rule.relation == "equal" else "at least "
    return (
        f"does not balance: {left:g} {named}, {least}{right:g} needed: {rule.title} "
        f"({rule.source.words()})"
    )


def _sum(rows: Iterable[MaterialRow], sides: Iterable[tuple[str, float]]) -> float:
    rows = tuple(rows)
    return sum(factor * row.quantity for name, factor in sides for row in rows if _is(row, name))


def _is(row: MaterialRow, name: str) -> bool:
    """Whether a row is named by a rule."""
    what, _, word = name.partition(":")
    if not word:
        return not row.part and row.name.startswith(name)
    stock = catalogue().get(row.part)
    return stock is not None and str(getattr(stock, what, "")) == word
