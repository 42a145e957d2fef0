"""Framing a pole by a starting pattern, in one edit; everything is edited freely afterwards."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import cast

from msgspec import Struct, field
from msgspec.structs import replace

from framer.edits.clip import free_name
from framer.edits.places import set_support, with_thing
from framer.edits.things import new_id, put_part
from framer.errors import EditError
from framer.geometry.placing import place
from framer.geometry.pole import PoleSolid, pole_solid
from framer.geometry.scene import Run, Scene
from framer.geometry.space import Point, azimuth_of, between, compass, dot, toward, turned
from framer.model.job import Job
from framer.model.line import Phase, Span, Wire
from framer.model.place import AnyPlace, Guyed, OnArm, OnItem, OnPole, Standing
from framer.model.stage import place_at
from framer.stock.catalogue import catalogue
from framer.stock.part import ArmPart, GuyPart, InsulatorPart, RunPart
from framer.stock.patterns import Facing, Pattern, Piece, Way, pattern

STRAIGHT_TO_DEG = 60.0
"""Two spans that turn by no more than this are one line; beyond it one goes off from the other."""

PHASES = ("A", "B", "C")


class Ways(Struct, frozen=True):
    """Which ways the line goes from a pole, degrees clockwise from north, and the spans there.

    Attributes:
        deg: direction by way; a way that is missing is not known.
        spans: id of the span by way, where the job has it.
    """

    deg: dict[Way, float]
    spans: dict[Way, str] = field(default_factory=dict)


def ways_of(job: Job) -> Ways:
    """The ways by the job's spans: the straightest pair is the line, the first other the tap.

    A job without spans has none.
    """
    spans = job.spans
    pairs = [
        (abs(180.0 - _angle(a.azimuth_deg, b.azimuth_deg)), first, second)
        for first, a in enumerate(spans)
        for second, b in enumerate(spans)
        if first < second
    ]
    found: dict[Way, Span] = {}
    straightest = min(pairs, default=None)
    if straightest is not None and straightest[0] <= STRAIGHT_TO_DEG:
        found["ahead"], found["back"] = spans[straightest[1]], spans[straightest[2]]
    elif spans:
        found["ahead"] = spans[0]
    others = [span for span in spans if span not in found.values()]
    if others:
        found["tap"] = others[0]
    return Ways(
        {way: span.azimuth_deg for way, span in found.items()},
        {way: span.id for way, span in found.items()},
    )


def assumed(job: Job, ways: Ways, needs: Iterable[Way]) -> tuple[Ways, str]:
    """The ways with those that are not known taken, and what was taken, in words.

    Ahead is north, back is opposite, a tap goes off to the right.
    """
    said = []
    for way in ("ahead", "back", "tap"):
        if way in needs and way not in ways.deg:
            ahead = ways.deg.get("ahead", 0.0)
            taken = {"ahead": 0.0, "back": ahead + 180.0, "tap": ahead + 90.0}[way]
            ways = with_way(job, ways, way, taken)
            name = "the tap" if way == "tap" else f"the line {way}"
            said.append(f"{name} is taken to go {compass(taken % 360.0, words=True)}")
    more = "; add its span under Circuits and Spans" if said else ""
    return ways, ", ".join(said) + more


def with_way(job: Job, ways: Ways, way: Way, azimuth_deg: float) -> Ways:
    """The ways with one turned to a direction, along the span that goes there if one does."""
    deg, spans = dict(ways.deg), dict(ways.spans)
    deg[way] = azimuth_deg % 360.0
    spans.pop(way, None)
    for span in job.spans:
        if _angle(span.azimuth_deg, azimuth_deg) < 1.0:
            spans[way] = span.id
    return Ways(deg, spans)


def main_circuit(job: Job, spans: Iterable[str]) -> str:
    """The supply circuit with most phase wires in some spans, empty when there is none.

    Where no wire hangs there yet: the first of the job that is not one of the wires nearby.
    """
    among = set(spans)
    count: dict[str, int] = {}
    for wire in job.wires:
        circuit = job.circuit_by_id.get(wire.circuit)
        if wire.span in among and wire.phase in PHASES and circuit and circuit.kind == "supply":
            count[wire.circuit] = count.get(wire.circuit, 0) + 1
    if count:
        return max(count, key=lambda key: count[key])
    others = {near.circuit for near in job.nearby}
    supply = [circuit.id for circuit in job.circuits if circuit.kind == "supply"]
    return next((key for key in supply if key not in others), "")


def frame_by(
    job: Job,
    key: str,
    pole: str,
    ways: Ways | None = None,
    *,
    circuit: str | None = None,
    wires: bool = True,
) -> tuple[Job, tuple[str, ...]]:
    """The job with a pattern's parts on a pole, and their ids.

    Args:
        job: the job.
        key: id of the pattern.
        pole: a pole that stands as framed.
        ways: where the line goes; by the spans of the job when left out.
        circuit: whose wires and voltage; the one with most wires there when left out.
        wires: whether the wires of the circuit are laid on their new insulators, in the order
            they hang now, and strung in spans that have no wires at all.

    Raises:
        EditError: the pole does not stand, its height is not known, a way the pattern needs is
            not known, or something would be below ground.
    """
    made = _Framing(job, pattern(key), pole, ways or ways_of(job), circuit)
    return made.framed(wires=wires)


class _Framing:
    def __init__(
        self, job: Job, chosen: Pattern, pole: str, ways: Ways, circuit: str | None
    ) -> None:
        self.job, self.chosen, self.pole, self.ways = job, chosen, pole, ways
        for way in chosen.needs:
            if way not in ways.deg:
                raise EditError(f"{chosen.name}: say which way the line goes {_WAY_WORDS[way]}")
        self.solid = _standing(job, pole)
        spans = ways.spans.values()
        self.circuit = main_circuit(job, spans) if circuit is None else circuit
        self.slots = {way: self._in_order(way) for way in ("ahead", "tap")}
        self.made: dict[str, str] = {}
        hung = {wire.span for wire in job.wires}
        self.without_wires = {span.id for span in job.spans if self.circuit} - hung

    def framed(self, *, wires: bool) -> tuple[Job, tuple[str, ...]]:
        for piece in self.chosen.piece:
            phase = self._phase(piece)
            if (piece.holds and phase is None) or (piece.on and piece.on not in self.made):
                continue  # the line has fewer phases than the pattern
            self._put(piece, phase)
            if wires:
                self._lay(piece, phase)
        if not self.made:
            raise EditError(f"{self.chosen.name}: the circuit has none of its wires here")
        return self.job, tuple(self.made.values())

    def _put(self, piece: Piece, phase: str | None) -> None:
        part = self._part(piece)
        where = self._place(piece, part)
        name = f"{piece.name} {phase}" if phase in PHASES else piece.name
        self.job, key = put_part(self.job, part, where, free_name(self.job, name))
        self.made[piece.key] = key
        item = self.job.item_by_id[key]
        if phase is not None and self.circuit and not isinstance(catalogue()[part], InsulatorPart):
            item = replace(item, circuit=self.circuit, phase=phase)
            self.job = with_thing(self.job, item)
        elif isinstance(catalogue()[part], RunPart) and item.kind == "riser" and self.circuit:
            self.job = with_thing(self.job, replace(item, circuit=self.circuit))

    def _lay(self, piece: Piece, phase: str | None) -> None:
        among = {self.ways.spans[way] for way in piece.spans if way in self.ways.spans}
        for wire in self.job.wires:
            if wire.circuit == self.circuit and wire.phase == phase and wire.span in among:
                self.job = set_support(self.job, wire.id, "framed", self.made[piece.key])
        for span in sorted(among & self.without_wires) if phase is not None else ():
            where = OnItem(when="after", host=self.made[piece.key])
            strung = Wire(
                new_id(self.job, "wire"), self.circuit, cast("Phase", phase), span, (where,)
            )
            self.job = replace(self.job, wires=(*self.job.wires, strung))

    def _part(self, piece: Piece) -> str:
        """The first of its parts whose class suits the circuit; the last where none is known to."""
        circuit = self.job.circuit_by_id.get(self.circuit)
        kv = circuit.kv if circuit else None
        for key in piece.parts:
            rated = getattr(catalogue()[key], "class_kv", None)
            if kv is not None and rated is not None and rated >= kv:
                return key
        return piece.parts[-1]

    def _place(self, piece: Piece, part: str) -> AnyPlace:
        stock = catalogue()[part]
        if piece.on:
            host = self.made[piece.on]
            arm = catalogue().get(self.job.item_by_id[host].part or "")
            if not isinstance(arm, ArmPart):
                return OnItem(when="after", host=host)
            along = piece.along_in or 0.0
            if piece.pin is not None:
                along = sorted(arm.pins_in)[piece.pin - 1]
            return OnArm(when="after", host=host, along_in=along)
        azimuth = turned(self._facing(piece.faces), piece.turn_deg)
        top = self.solid.top_up_in
        if top is None:
            raise EditError(f"the top height of {self.job.label(self.pole)} is not known")
        drop = piece.drop_in or 0.0
        if isinstance(stock, RunPart):
            at = top - (piece.up_to_drop_in or 0.0)
            self._refuse_below_ground(piece, at)
            up = self.solid.at("height", at)
            return OnPole(
                when="after", host=self.pole, at_in=0.0, to_in=up, hold="height",
                azimuth_deg=azimuth,
            )  # fmt: skip
        self._refuse_below_ground(piece, top - drop)
        if isinstance(stock, GuyPart):
            return Guyed(
                when="after", host=self.pole, lead_in=piece.lead_in or 0.0, at_in=drop,
                hold="drop", azimuth_deg=azimuth,
            )  # fmt: skip
        return OnPole(when="after", host=self.pole, at_in=drop, hold="drop", azimuth_deg=azimuth)

    def _refuse_below_ground(self, piece: Piece, up_in: float) -> None:
        if up_in < 0.0:
            label = self.job.label(self.pole)
            raise EditError(f"{piece.name} would be below the ground line: {label} is too short")

    def _facing(self, faces: Facing) -> float:
        deg = self.ways.deg
        ahead = deg["ahead"]
        back = deg.get("back", turned(ahead, 180.0))
        if faces == "line":
            through = _sum(toward(ahead), toward(turned(back, 180.0)))
            return ahead if math.hypot(*through) < 1e-6 else azimuth_of(through)
        if faces == "pull":
            ways = [way for way in ("ahead", "back", "tap") if way in self.chosen.needs]
            drawn = (0.0, 0.0, 0.0)
            for way in ways:
                drawn = _sum(drawn, toward(deg[way]))
            # a straight line pulls nowhere; what would face the pull then faces its right
            return turned(ahead, 90.0) if math.hypot(*drawn) < 1e-6 else azimuth_of(drawn)
        return deg.get(faces, back)

    # --- phases ---

    def _phase(self, piece: Piece) -> str | None:
        if piece.holds is None or piece.holds == "N":
            return piece.holds
        along_tap = "tap" in piece.spans or (not piece.spans and piece.faces == "tap")
        slots = self.slots["tap" if along_tap else "ahead"]
        number = int(piece.holds) - 1
        return slots[number] if number < len(slots) else None

    def _in_order(self, way: Way) -> tuple[str, ...]:
        """Phases from the left looking a way, as they hang now; A, B, C where none hang."""
        spans = {self.ways.spans.get(way)}
        if way == "ahead":
            spans.add(self.ways.spans.get("back"))
        wires = [
            wire
            for wire in self.job.wires
            if wire.circuit == self.circuit and wire.phase in PHASES and wire.span in spans
        ]
        if not wires:
            return PHASES
        right = toward(turned(self.ways.deg.get(way, 0.0), 90.0))
        across = _across(self.job, wires, right)
        present = [phase for phase in PHASES if any(wire.phase == phase for wire in wires)]
        if not all(phase in across for phase in present):
            return tuple(present)
        return tuple(sorted(present, key=lambda phase: across[phase]))


_WAY_WORDS: dict[Way, str] = {"ahead": "ahead", "back": "back", "tap": "off (the tap)"}


def _across(job: Job, wires: list[Wire], right: Point) -> dict[str, float]:
    """How far to the right of its pole each phase hangs now; those that hang nowhere are left out.

    Where it hangs as framed counts for what has been decided, else where it was found.
    """
    found: dict[str, float] = {}
    scenes: list[Scene] = [place(job, "found"), place(job, "framed")]
    for scene in scenes:
        for wire in wires:
            parts = scene.parts_of.get(wire.id, ())
            shape = parts[0].shape if parts else None
            solid = scene.poles.get(parts[0].pole or "") if parts else None
            if isinstance(shape, Run) and solid is not None and wire.phase not in found:
                found[wire.phase] = dot(between(solid.foot, shape.p), right)
    return found


def _standing(job: Job, key: str) -> PoleSolid:
    item = job.item_by_id.get(key)
    where = place_at(job, item, "framed") if item else None
    if item is None or item.kind != "pole":
        raise EditError("select the pole that is framed")
    if not isinstance(where, Standing):
        raise EditError(f"{job.label(key)} does not stand in the framed job")
    return pole_solid(job, item, where)


def _sum(a: Point, b: Point) -> Point:
    return (a[0] + b[0], a[1] + b[1], 0.0)


def _angle(a: float, b: float) -> float:
    """The angle between two directions, 0 to 180 degrees."""
    return abs((a - b + 180.0) % 360.0 - 180.0)
