"""The user's own prices: what a line of the list costs, weighs, and who has it."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from msgspec import Struct

UNITS: dict[str, tuple[str, float]] = {
    "ea": ("ea", 1.0),
    "each": ("ea", 1.0),
    "c": ("ea", 100.0),
    "ft": ("ft", 1.0),
    "foot": ("ft", 1.0),
    "mft": ("ft", 1_000.0),
    "set": ("set", 1.0),
    "lb": ("lb", 1.0),
}
"""Units prices come by: what they count, and how many; C is a hundred, MFT a thousand feet."""


class Price(Struct, frozen=True):
    """One row of a price file.

    Attributes:
        name: of the line, as the list prints it, or the id of its stock part.
        stock_number: the owner's own.
        unit: what cost and weight are for, a word of `UNITS` or any other.
        cost: money a unit, `None` when not known.
        weight_lb: of a unit.
        lead_days: days from order to delivery.
        on_hand: how many of the unit lie in the store.
        pays: who pays.
        goes: where it goes when it is taken down.
        salvage: money a unit brings when it is taken down.
        row: number of the row in the file.
    """

    name: str
    stock_number: str = ""
    unit: str = "ea"
    cost: float | None = None
    weight_lb: float | None = None
    lead_days: float | None = None
    on_hand: float | None = None
    pays: str = ""
    goes: str = ""
    salvage: float | None = None
    row: int = 0

    def each(self, value: float | None, unit: str) -> float | None:
        """A value of the price's unit for one of `unit`; `None` where they do not go together."""
        counts, many = UNITS.get(self.unit.casefold(), (self.unit.casefold(), 1.0))
        if value is None or counts != unit.casefold():
            return None
        return value / many


def _key(name: str) -> str:
    return " ".join(name.casefold().split())


class Prices(Struct, frozen=True, dict=True):
    """A price file, found by name or part; `source` is the file's name."""

    source: str = ""
    rows: tuple[Price, ...] = ()

    @cached_property
    def _by_key(self) -> dict[str, Price]:
        return {_key(row.name): row for row in self.rows}

    def of(self, name: str, part: str = "") -> Price | None:
        """The price of a line, by its name, else by its stock part."""
        return self._by_key.get(_key(name)) or (self._by_key.get(_key(part)) if part else None)

    def without(self, names: Iterable[str]) -> tuple[Price, ...]:
        """Rows that none of these names uses."""
        used = {_key(name) for name in names}
        return tuple(row for row in self.rows if _key(row.name) not in used)
