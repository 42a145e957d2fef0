"""The job: one immutable record of one pole location."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from framer.model.item import Item
from framer.model.line import Circuit, Join, Kilovolts, LimitLine, NearbyWire, Span, Wire
from framer.model.place import Offset
from framer.model.reading import Reading, What

Thing: TypeAlias = Item | Wire | Join
"""Whatever goes through a chain of places."""


class Settings(Struct, frozen=True, forbid_unknown_fields=True):
    """Choices that hold for the whole job.

    `depth_rule`: how deep a new pole is set unless typed: ten percent of the length plus 2 ft,
    the table, or the deeper of both; `depth_length` says which length that is reckoned from.
    `assume_up_to_kv`: a circuit of unknown voltage is judged at every class up to this.
    `sag_credit`: whether the sag of our own wire may help it to pass under another.
    `bolt_rule`: how a through bolt's length is found. `round_in`: step of printed lengths.
    `built`: when the line was built, year-month-day, for books that ask it; the day of this work
    where the line counts as new. `altitude_m`: metres above sea level. `climbing_side`: the side or
    quadrant that is climbed, the nearest of the eight; empty for the one with most room.
    `brand_to_50_ft_in`, `brand_over_50_ft_in`: how far the brand is from the butt of poles up to
    50 ft and of longer ones (ANSI O5.1 from memory, plus or minus 2 in; other texts say 2 in more).
    """

    units: Literal["ft-in", "metric"] = "ft-in"
    round_in: Annotated[float, Meta(gt=0.0, le=1.0)] = 0.5
    depth_rule: Literal["ten percent", "table", "deeper"] = "deeper"
    depth_length: Literal["stock", "finished"] = "stock"
    assume_up_to_kv: Kilovolts = 34.5
    sag_credit: bool = False
    bolt_rule: Literal["stack", "thumb", "longer"] = "longer"
    brand_to_50_ft_in: Annotated[float, Meta(gt=0.0, le=400.0)] = 120.0
    brand_over_50_ft_in: Annotated[float, Meta(gt=0.0, le=400.0)] = 168.0
    built: Annotated[str, Meta(pattern=r"^(\d{4}-\d{2}-\d{2})?$")] = ""
    altitude_m: Annotated[float, Meta(ge=-500.0, le=9_000.0)] | None = None
    climbing_side: Literal["", "N", "NE", "E", "SE", "S", "SW", "W", "NW"] = ""


class Waiver(Struct, frozen=True, forbid_unknown_fields=True):
    """A finding that somebody answers for: it stays short, and is told apart from the others.

    `key` is the finding's; `gap_in` the gap there was when it was given. A smaller gap ends it.
    """

    key: str
    reason: Annotated[str, Meta(min_length=1)]
    by: Annotated[str, Meta(min_length=1)]
    date: Annotated[str, Meta(pattern=r"^(\d{4}-\d{2}-\d{2})?$")]
    gap_in: Offset


class Step(Struct, frozen=True, forbid_unknown_fields=True):
    """One step of the transfer: each thing named in `moves` goes one place along its chain."""

    id: str
    title: str
    by: Literal["crew", "others", "later"] = "crew"
    moves: tuple[str, ...] = ()
    note: str = ""


class Job(Struct, frozen=True, forbid_unknown_fields=True, dict=True):
    """One pole location: what was found, what is drafted, and by which rules it is judged."""

    name: str
    place: str = ""
    owner: str = ""
    drafted_by: str = ""
    date: str = ""
    note: str = ""
    books: tuple[str, ...] = ("house",)
    settings: Settings = Settings()
    circuits: tuple[Circuit, ...] = ()
    spans: tuple[Span, ...] = ()
    items: tuple[Item, ...] = ()
    wires: tuple[Wire, ...] = ()
    joins: tuple[Join, ...] = ()
    nearby: tuple[NearbyWire, ...] = ()
    limits: tuple[LimitLine, ...] = ()
    readings: tuple[Reading, ...] = ()
    steps: tuple[Step, ...] = ()
    waivers: tuple[Waiver, ...] = ()

    @cached_property
    def circuit_by_id(self) -> dict[str, Circuit]:
        """Circuits by id."""
        return {circuit.id: circuit for circuit in self.circuits}

    @cached_property
    def span_by_id(self) -> dict[str, Span]:
        """Spans by id."""
        return {span.id: span for span in self.spans}

    @cached_property
    def item_by_id(self) -> dict[str, Item]:
        """Items by id."""
        return {item.id: item for item in self.items}

    @cached_property
    def wire_by_id(self) -> dict[str, Wire]:
        """Wires by id."""
        return {wire.id: wire for wire in self.wires}

    @cached_property
    def thing_by_id(self) -> dict[str, Thing]:
        """Items, wires and joins by id."""
        return {thing.id: thing for thing in self.things()}

    @cached_property
    def _latest(self) -> dict[tuple[str, What], Reading]:
        latest: dict[tuple[str, What], Reading] = {}
        for reading in self.readings:
            known = latest.get((reading.of, reading.what))
            if reading.what != "girth" and (known is None or reading.date >= known.date):
                latest[reading.of, reading.what] = reading
        return latest

    def placed(self) -> Iterator[Item | Wire]:
        """Everything that is somewhere: items and wires."""
        yield from self.items
        yield from self.wires

    def things(self) -> Iterator[Thing]:
        """Everything with a chain of places."""
        yield from self.placed()
        yield from self.joins

    def reading(self, of: str, what: What) -> Reading | None:
        """The reading that counts, or `None`; girths have a height each, see `girths`."""
        return self._latest.get((of, what))

    def girths(self, pole: str) -> tuple[Reading, ...]:
        """The latest girth at each height of one pole, lowest first."""
        latest: dict[float, Reading] = {}
        for reading in self.readings:
            if reading.of == pole and reading.what == "girth":
                height = reading.at_in or 0.0
                known = latest.get(height)
                if known is None or reading.date >= known.date:
                    latest[height] = reading
        return tuple(latest[height] for height in sorted(latest))

    def label(self, key: str) -> str:
        """The name a person would use for the thing, span, circuit or nearby wire with this id."""
        named: Item | Circuit | None = self.item_by_id.get(key) or self.circuit_by_id.get(key)
        if named is not None:
            return named.name or named.id
        wire = self.wire_by_id.get(key)
        if wire is not None:
            circuit = self.circuit_by_id.get(wire.circuit)
            span = self.span_by_id.get(wire.span)
            toward = f" to {span.toward}" if span else ""
            return f"{wire.phase} of {circuit.name if circuit else wire.circuit}{toward}"
        others: tuple[NearbyWire | LimitLine, ...] = (*self.nearby, *self.limits)
        return next((other.name for other in others if other.id == key), key)
