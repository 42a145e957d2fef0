"""The job: one immutable record of one pole location."""

from collections.abc import Iterator
from functools import cached_property
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct

from framer.model.guide import Guide
from framer.model.item import Item
from framer.model.line import Circuit, Join, Kilovolts, LimitLine, NearbyWire, Span, Wire
from framer.model.link import Link
from framer.model.place import Distance, Offset
from framer.model.reading import AT_HEIGHTS, Reading, What
from framer.model.revision import Notice, Photo, Revision, Signed
from framer.model.step import Hold, LimitBetween, Step
from framer.model.words import plain

Thing: TypeAlias = Item | Wire | Join
"""Whatever goes through a chain of places."""


Factor = Annotated[float, Meta(ge=0.0, le=20.0)]
Share = Annotated[float, Meta(gt=0.0, le=1.0)]


MOST_LABEL = 120
"""Letters of a name in a sentence; more would push its numbers out of sight."""


class Settings(Struct, frozen=True, forbid_unknown_fields=True):
    """Choices that hold for the whole job.

    `depth_rule`: how deep a new pole is set unless typed: ten percent of the length plus 2 ft,
    the table, or the deeper of both; `depth_length` says which length that is reckoned from.
    `assume_up_to_kv`: a circuit of unknown voltage is judged at every class up to this.
    `sag_credit`: whether the sag of our own wire may help it to pass under another.
    `bolt_rule`: how a through bolt's length is found.
    `jumper_bow_percent`: how much longer a jumper is than straight from end to end (15 is common
    practice); it is cut to the next `jumper_step_in`.
    `wire_waste_percent`: how much more new wire and strand is ordered than the spans are long.
    `most_past_in`: how far a bolt taken instead of another may reach past what it goes through;
    `None`: nobody has said.
    `round_in`: step of printed lengths.
    `built`: when the line was built, year-month-day, for books that ask it; the day of this work
    where the line counts as new. `altitude_m`: metres above sea level. `climbing_side`: the side or
    quadrant that is climbed, the nearest of the eight; empty for the one with most room.
    `street_side`: which way of the pole the street is, for phases named by street and field.
    `brand_to_50_ft_in`, `brand_over_50_ft_in`: how far the brand is from the butt of poles up to
    50 ft and of longer ones (ANSI O5.1 from memory, plus or minus 2 in; other texts say 2 in more).
    `loading`: the district whose ice and wind the pole is loaded with, an id of
    resources/strength/loading.toml, or "typed" for `typed_ice_in` and the other three; empty for
    none. `extreme_wind_mph` adds that wind without ice, `extreme_wind_by` says whether its pressure
    changes with height and gusts. `strength_method` and `strength_grade` say by what factors the
    strength is judged, ids in resources/strength/methods, or "typed" for the factors typed here;
    without them it is not. `person_lbf`: a person at the end of every arm, where the method does
    not ask for more. `tension_temp_f`: how warm the bare wire is at the tensions and sags given.
    `sag_from`: whether the least and most sag of a wire are those typed, or, where none is typed,
    reckoned from its tension at `cold_temp_f` and `hot_temp_f` and under ice of `sag_ice_in` at
    32 degrees F, where these are given. `arm_species`: the timber of wood arms whose stock part
    does not say it.
    `one_person_lb`, `handline_lb`: the most this crew has one person lift, and a handline;
    `pole_factor`: how many times what is on it the old pole must stand; `swing_in`,
    `setting_keep_in`: how far wires and pole may swing to each side, and what stays free on each
    side, while a pole goes up between wires; `auger_in`, `soil_in`: the auger's diameter, and the
    undisturbed soil left between its hole and a pole that stands. `None`: the crew has typed none.
    `crew_language`: what the job brief is written in beside English, an id in resources/languages;
    empty for English alone.
    """

    units: Literal["ft-in", "metric"] = "ft-in"
    round_in: Annotated[float, Meta(gt=0.0, le=1.0)] = 0.5
    depth_rule: Literal["ten percent", "table", "deeper"] = "deeper"
    depth_length: Literal["stock", "finished"] = "stock"
    assume_up_to_kv: Kilovolts = 34.5
    sag_credit: bool = False
    bolt_rule: Literal["stack", "thumb", "longer"] = "longer"
    jumper_bow_percent: Annotated[float, Meta(ge=0.0, le=200.0)] = 15.0
    jumper_step_in: Annotated[float, Meta(gt=0.0, le=60.0)] = 6.0
    wire_waste_percent: Annotated[float, Meta(ge=0.0, le=100.0)] = 0.0
    most_past_in: Distance | None = None
    brand_to_50_ft_in: Annotated[float, Meta(gt=0.0, le=400.0)] = 120.0
    brand_over_50_ft_in: Annotated[float, Meta(gt=0.0, le=400.0)] = 168.0
    built: Annotated[str, Meta(pattern=r"^(\d{4}-\d{2}-\d{2})?$")] = ""
    altitude_m: Annotated[float, Meta(ge=-500.0, le=9_000.0)] | None = None
    climbing_side: Literal["", "N", "NE", "E", "SE", "S", "SW", "W", "NW"] = ""
    street_side: Literal["", "N", "NE", "E", "SE", "S", "SW", "W", "NW"] = ""
    loading: str = ""
    typed_ice_in: Annotated[float, Meta(ge=0.0, le=6.0)] | None = None
    typed_wind_psf: Annotated[float, Meta(ge=0.0, le=200.0)] | None = None
    typed_flat_wind_psf: Annotated[float, Meta(ge=0.0, le=200.0)] | None = None
    typed_temp_f: Annotated[float, Meta(ge=-80.0, le=200.0)] | None = None
    extreme_wind_mph: Annotated[float, Meta(gt=0.0, le=250.0)] | None = None
    extreme_wind_by: Literal["pressure", "height and gust"] = "pressure"
    strength_method: str = ""
    strength_grade: str = ""
    typed_wind_factor: Factor | None = None
    typed_tension_factor: Factor | None = None
    typed_weight_factor: Factor | None = None
    typed_extreme_factor: Factor | None = None
    typed_wood_share: Share | None = None
    typed_guy_share: Share | None = None
    typed_anchor_share: Share | None = None
    typed_insulator_share: Share | None = None
    person_lbf: Annotated[float, Meta(gt=0.0, le=5_000.0)] | None = None
    tension_temp_f: Annotated[float, Meta(ge=-80.0, le=250.0)] = 60.0
    sag_from: Literal["typed", "computed"] = "typed"
    hot_temp_f: Annotated[float, Meta(ge=-80.0, le=500.0)] | None = None
    cold_temp_f: Annotated[float, Meta(ge=-80.0, le=250.0)] | None = None
    sag_ice_in: Annotated[float, Meta(ge=0.0, le=6.0)] = 0.0
    arm_species: str = ""
    one_person_lb: Annotated[float, Meta(gt=0.0, le=500.0)] | None = None
    handline_lb: Annotated[float, Meta(gt=0.0, le=2_000.0)] | None = None
    pole_factor: Annotated[float, Meta(gt=0.0, le=20.0)] | None = None
    swing_in: Distance | None = None
    setting_keep_in: Distance | None = None
    auger_in: Annotated[float, Meta(gt=0.0, le=120.0)] | None = None
    soil_in: Distance | None = None
    crew_language: str = ""


class Waiver(Struct, frozen=True, forbid_unknown_fields=True):
    """A finding that somebody answers for: it stays short, and is told apart from the others.

    `key` is the finding's; `gap_in` the gap there was when it was given. A smaller gap ends it.
    """

    key: str
    reason: Annotated[str, Meta(min_length=1)]
    by: Annotated[str, Meta(min_length=1)]
    date: Annotated[str, Meta(pattern=r"^(\d{4}-\d{2}-\d{2})?$")]
    gap_in: Offset


class Listed(Struct, frozen=True, forbid_unknown_fields=True):
    """A line of the material list that was typed: a sign, a tag, what no drawing shows.

    It also answers for a line of the same name whose number the tool does not know; a `quantity`
    of 0 says that none is needed. `pays` is who pays for it, empty for the owner of the job.
    """

    name: Annotated[str, Meta(min_length=1)]
    quantity: Annotated[float, Meta(ge=0.0, le=100_000.0)]
    unit: Annotated[str, Meta(min_length=1)] = "ea"
    fate: Literal["install", "remove", "stays", "by others", "temporary"] = "install"
    why: str = ""
    pays: str = ""


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
    holds: tuple[Hold, ...] = ()
    limits_between: tuple[LimitBetween, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    links: tuple[Link, ...] = ()
    listed: tuple[Listed, ...] = ()
    revisions: tuple[Revision, ...] = ()
    signed: Signed | None = None
    notices: tuple[Notice, ...] = ()
    photos: tuple[Photo, ...] = ()
    guides: tuple[Guide, ...] = ()

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
    def wires_of(self) -> dict[str, list[Wire]]:
        """Wires by the span they are of."""
        wires: dict[str, list[Wire]] = {}
        for wire in self.wires:
            wires.setdefault(wire.span, []).append(wire)
        return wires

    @cached_property
    def thing_by_id(self) -> dict[str, Thing]:
        """Items, wires and joins by id."""
        return {thing.id: thing for thing in self.things()}

    @cached_property
    def moved(self) -> dict[str, tuple[list[int], list[int]]]:
        """Of each thing that a step moves: the numbers of these steps, and where it is after each.

        Steps are counted from 1; where it is, is the index of the place in its chain.
        """
        found: dict[str, tuple[list[int], list[int]]] = {}
        for number, step in enumerate(self.steps, start=1):
            for key, to in step.goes:
                places = self.thing_by_id[key].places
                steps, indices = found.setdefault(key, ([], []))
                first = 0 if places and places[0].when == "found" else -1
                index = (indices[-1] if indices else first) + 1 if to is None else to - 1
                steps.append(number)
                indices.append(min(index, len(places) - 1))
        return found

    @cached_property
    def _latest(self) -> dict[tuple[str, What], Reading]:
        latest: dict[tuple[str, What], Reading] = {}
        for reading in self.readings:
            known = latest.get((reading.of, reading.what))
            if reading.what not in AT_HEIGHTS and (known is None or reading.date >= known.date):
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

    def girths(self, pole: str, what: What = "girth") -> tuple[Reading, ...]:
        """The latest girth, or sound girth or shell, at each height of one pole, lowest first."""
        latest: dict[float, Reading] = {}
        for reading in self.readings:
            if reading.of == pole and reading.what == what:
                height = reading.at_in or 0.0
                known = latest.get(height)
                if known is None or reading.date >= known.date:
                    latest[height] = reading
        return tuple(latest[height] for height in sorted(latest))

    @property
    def title(self) -> str:
        """The name of the job on one line."""
        return plain(self.name)

    def label(self, key: str) -> str:
        """The name a person would use for the thing, span, circuit or nearby wire with this id.

        It is on one line, cut where it is far too long to be read; what would move or turn the
        words after it is left out.
        """
        label = plain(self._label(key))
        return label if len(label) <= MOST_LABEL else f"{label[: MOST_LABEL - 3].rstrip()}..."

    def _label(self, key: str) -> str:
        named: Item | Circuit | None = self.item_by_id.get(key) or self.circuit_by_id.get(key)
        if named is not None:
            return named.name or named.id
        wire = self.wire_by_id.get(key)
        if wire is not None:
            circuit = self.circuit_by_id.get(wire.circuit)
            span = self.span_by_id.get(wire.span)
            toward = f" to {span.toward}" if span else ""
            return f"{wire.phase} of {circuit.name if circuit else wire.circuit}{toward}"
        join = self.thing_by_id.get(key)
        if isinstance(join, Join):
            return self._jumper(join)
        others: tuple[NearbyWire | LimitLine, ...] = (*self.nearby, *self.limits)
        return next((other.name for other in others if other.id == key), key)

    def _jumper(self, join: Join) -> str:
        phases, ends = [], []
        for end in (join.a, join.b):
            wire = self.wire_by_id.get(end)
            span = self.span_by_id.get(wire.span) if wire else None
            phases += [wire.phase] if wire else []
            ends.append(span.toward if span else self._label(end))
        letters = "/".join(dict.fromkeys(phases))
        named = f"jumper {letters}" if letters else "jumper"
        return f"{named} from {ends[0]} to {ends[1]}"
