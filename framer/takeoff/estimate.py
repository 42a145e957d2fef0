"""Labour and cost of a job by the user's own numbers; what nobody gave stays not known."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from msgspec import Struct

from framer.model.stage import Fate
from framer.takeoff.listing import Line, MaterialList

ACTIONS: dict[Fate, str] = {
    "install": "install",
    "transfer": "transfer",
    "move": "transfer",
    "remove": "remove",
}
"""Which work the quantity of a column is; a thing moved on its own pole counts as transferred."""

WORK = ("install", "transfer", "remove")
"""The kinds of work, as totals are given."""

_WITH_OTHERS = ("Bolts", "Hardware")
"""Groups whose hours are part of what they hold, unless the labour file names them."""


class LabourRow(Struct, frozen=True):
    """Labour hours for one unit of a line; `hours` `None`: nobody knows yet.

    Attributes:
        name: of the line as the list prints it, the id of its stock part, or its group.
        action: "install", "transfer" or "remove".
        hours: labour hours for one unit.
        unit: what a unit is.
        source: where the number is from.
        conditions: what it holds for.
        row: number of the row in the file.
    """

    name: str
    action: str
    hours: float | None
    unit: str = "ea"
    source: str = ""
    conditions: str = ""
    row: int = 0


def _key(name: str) -> str:
    return " ".join(name.casefold().split())


class Labour(Struct, frozen=True, dict=True):
    """A labour file; `source` is its name."""

    source: str = ""
    rows: tuple[LabourRow, ...] = ()

    @cached_property
    def _by_key(self) -> dict[tuple[str, str], LabourRow]:
        return {(_key(row.name), row.action): row for row in self.rows}

    def of(self, line: Line, action: str) -> LabourRow | None:
        """The hours for a line: by its name, else its part, else its group."""
        for name in (line.name, line.part, line.group):
            row = self._by_key.get((_key(name), action)) if name else None
            if row is not None:
                return row
        return None


class Work(Struct, frozen=True):
    """One line's work of one kind; hours `None` where they are not known."""

    line: Line
    action: str
    quantity: float
    each: float | None
    hours: float | None
    words: str


class Estimate(Struct, frozen=True):
    """The estimate of a list.

    Attributes:
        listed: what it is of.
        work: each line's work, hours known or not.
        hours: labour hours of each kind of work, as far as known.
        unknown: how many lines of each kind have no hours.
        crew: how many work, `None` when nobody has said.
        material: cost of what is installed, as far as known.
        unpriced: how many installed lines have no price.
        salvage: what is taken down brings, as far as known.
        rate: money a labour hour, `None` when nobody has said.
        contingency_percent: on labour and material, as typed.
    """

    listed: MaterialList
    work: tuple[Work, ...]
    hours: dict[str, float]
    unknown: dict[str, int]
    crew: int | None
    material: float
    unpriced: int
    salvage: float
    rate: float | None
    contingency_percent: float

    @property
    def total_hours(self) -> float:
        """Labour hours of all work, as far as known."""
        return sum(self.hours.values())

    @property
    def crew_hours(self) -> float | None:
        """Hours by the clock of the whole crew; `None` when its size is not known."""
        return self.total_hours / self.crew if self.crew else None

    @property
    def labour_cost(self) -> float | None:
        """Cost of the hours known; `None` when no rate was typed."""
        return None if self.rate is None else round(self.total_hours * self.rate, 2)

    @property
    def contingency(self) -> float:
        """The contingency in money, on what is known."""
        base = self.material + (self.labour_cost or 0.0)
        return round(base * self.contingency_percent / 100.0, 2)

    @property
    def total(self) -> float:
        """Material, labour and contingency, as far as known; salvage is not taken off."""
        return round(self.material + (self.labour_cost or 0.0) + self.contingency, 2)

    @property
    def is_whole(self) -> bool:
        """Whether nothing is missing from it: hours, prices, rate, and a list that closes."""
        known = not any(self.unknown.values()) and not self.unpriced
        return known and self.rate is not None and not self.listed.gate.open


def estimate(
    listed: MaterialList,
    labour: Labour,
    *,
    crew: int | None = None,
    rate: float | None = None,
    contingency_percent: float = 0.0,
) -> Estimate:
    """Hours and cost of a list.

    Args:
        listed: the list, priced.
        labour: hours a unit.
        crew: how many work.
        rate: money a labour hour.
        contingency_percent: added to labour and material.
    """
    work = tuple(_work(listed, labour))
    hours = {
        action: sum(one.hours for one in work if one.action == action and one.hours is not None)
        for action in WORK
    }
    unknown = {
        action: sum(one.action == action and one.hours is None for one in work) for action in WORK
    }
    material, unpriced = listed.cost
    salvage = sum(
        line.salvage * line.amounts.get("remove", 0.0)
        for line in listed.lines
        if line.salvage is not None
    )
    return Estimate(
        listed, work, hours, unknown, crew, material, unpriced, round(salvage, 2), rate,
        contingency_percent,
    )  # fmt: skip


def _work(listed: MaterialList, labour: Labour) -> Iterator[Work]:
    for line in listed.lines:
        amounts: dict[str, float] = {}
        for fate, action in ACTIONS.items():
            if line.amounts.get(fate):
                amounts[action] = amounts.get(action, 0.0) + line.amounts[fate]
        for action, quantity in amounts.items():
            row = labour.of(line, action)
            if row is None and line.group in _WITH_OTHERS:
                continue  # done with what it holds
            yield _one(line, action, quantity, row)


def _one(line: Line, action: str, quantity: float, row: LabourRow | None) -> Work:
    if row is None:
        return Work(line, action, quantity, None, None, "no row in the labour file")
    about = "; ".join(filter(None, (row.source, row.conditions)))
    if row.hours is None:
        return Work(line, action, quantity, None, None, f"hours left empty in row {row.row}")
    if row.unit.casefold() != line.unit.casefold():
        words = f"row {row.row} is per {row.unit}, the list counts {line.unit}"
        return Work(line, action, quantity, None, None, words)
    return Work(line, action, quantity, row.hours, quantity * row.hours, about)
