"""The lists of several jobs as one pick list."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from framer.model.stage import Fate
from framer.takeoff.completeness import Gate
from framer.takeoff.listing import Line, MaterialList, in_order, joined, lacking, needed_in_all
from framer.takeoff.prices import Prices
from framer.takeoff.row import COLUMNS
from framer.units.figures import count_words

NAMED = 12
"""So many jobs are named on a line; of more the number is said."""


class Rollup:
    """Adds lists up, one at a time; `prices` are those the lists were priced by."""

    def __init__(self, prices: Prices | None = None) -> None:
        self._prices = prices or Prices()
        self._lines: dict[tuple[str, str, str, str, str], Line] = {}
        self._whose: dict[tuple[str, str, str, str, str], dict[str, float]] = {}
        self._stops: list[str] = []
        self._asks: dict[str, None] = {}
        self._counted: dict[Fate, int] = {}
        self._surveyed = self._jobs = 0

    def add(self, listed: MaterialList, name: str) -> None:
        """Add the list of a job called `name`."""
        self._jobs += 1
        for line in listed.lines:
            key = (line.section, line.group, line.name, line.unit, line.pays)
            held = self._lines.get(key)
            bare = replace(line, why="")
            self._lines[key] = bare if held is None else joined(held, bare)
            whose = self._whose.setdefault(key, {})
            whose[name] = whose.get(name, 0.0) + line.all
        self._stops.extend(f"{name}: {words}" for words in listed.gate.open)
        self._asks |= {f"{name}: {words}": None for words in listed.gate.asks}
        self._surveyed += listed.gate.surveyed
        for fate, many in listed.gate.counted.items():
            self._counted[fate] = self._counted.get(fate, 0) + many

    def refuse(self, name: str, problem: str) -> None:
        """Say that a job could not be listed; the pick list is then short of it."""
        self._stops.append(f"{name}: not on this list: {problem}")

    def list(self, name: str = "") -> MaterialList:
        """The pick list."""
        needed = needed_in_all(self._lines.values())
        lines = [self._line(key, needed) for key in self._lines]
        counted = {fate: self._counted[fate] for fate in COLUMNS if self._counted.get(fate)}
        gate = Gate(self._surveyed, counted, tuple(self._stops), tuple(self._asks))
        jobs = "1 job" if self._jobs == 1 else f"{self._jobs:,} jobs"
        note = f"rolled up of {jobs}"
        return MaterialList(
            name or f"Pick list of {jobs}", "", tuple(sorted(lines, key=in_order)), gate,
            self._prices.source, (note,),
        )  # fmt: skip

    def _line(
        self, key: tuple[str, str, str, str, str], needed: Mapping[tuple[str, str], float]
    ) -> Line:
        line = self._lines[key]
        price = self._prices.of(line.name, line.part)
        words = lacking(line, price, needed[line.name, line.unit]) if price else ""
        notes = (*line.notes, f"all jobs: {words}") if words else line.notes
        return replace(line, why=_whose(self._whose[key]), notes=notes)


def _whose(amounts: dict[str, float]) -> str:
    """How many each job takes, the first few by name."""
    named = [f"{name} {count_words(amount)}" for name, amount in list(amounts.items())[:NAMED]]
    more = len(amounts) - len(named)
    return ", ".join(named) + (f", and {more:,} more jobs" if more else "")
