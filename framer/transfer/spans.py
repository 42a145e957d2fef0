"""The wires in their spans: what each pulls where the step has put its near end.

The far end of a wire stays where it was as found, wherever the near end goes, and where it is tied
there the wire stays as long as it was. A wire without a found place is taken from the framed stage.
Nothing here knows wind, ice or the swing of a wire.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from framer.errors import FormulaError
from framer.geometry.placing import place
from framer.geometry.sagging import level_tension
from framer.geometry.scene import Run, Scene
from framer.geometry.space import Point
from framer.mechanics.sag import shared_tension, slack
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import OnItem
from framer.model.stage import place_at
from framer.stock.catalogue import catalogue
from framer.stock.metals import metal_of
from framer.stock.part import InsulatorPart

FT = 12.0
_HAIR = 1e-6


class InSpan(Struct, frozen=True):
    """A wire in its span before anything is moved.

    Attributes:
        near: where it rests here.
        far: where it rests at the neighbour.
        weight: of it [lbf/in].
        tension_lbf: its level tension.
        stiffness_lbf: modulus times area; `None` when not known.
        strength_lbf: what it breaks at; `None` when not known.
        words: where the tension comes from.
        stretch_missing: what is not known of how it stretches.
    """

    near: Point
    far: Point
    weight: float
    tension_lbf: float
    stiffness_lbf: float | None
    strength_lbf: float | None
    words: str
    stretch_missing: str

    @property
    def level_in(self) -> float:
        """Level length of the span."""
        return math.dist(self.near[:2], self.far[:2])

    def longer_in(self, near: Point) -> float:
        """How much longer the way to the neighbour is from another near end; below 0 shorter."""
        return math.dist(near, self.far) - math.dist(self.near, self.far)


def in_spans(job: Job) -> dict[str, InSpan | str]:
    """Every wire before anything is moved, or in words what is not known of it.

    Worked out once and kept with the job, as its own cached properties are.
    """
    kept: dict[str, InSpan | str] | None = job.__dict__.get("_in_spans")
    if kept is None:
        found, framed = place(job, "found"), place(job, "framed")
        kept = {run.id: _in_span(job, run, found, framed) for run in job.wires}
        job.__dict__["_in_spans"] = kept
    return kept


def _in_span(job: Job, run: Wire, found: Scene, framed: Scene) -> InSpan | str:
    label = job.label(run.id)
    part = found.part_by_key.get(run.id) or framed.part_by_key.get(run.id)
    if part is None:
        return f"where {label} was as found not known"
    if part.missing or part.missing_far or not isinstance(part.shape, Run):
        return part.missing or part.missing_far or f"where {label} is not known"
    near, far = part.shape.p, part.shape.q
    now = level_tension(job, run, math.dist(near[:2], far[:2]), part.shape.sag_in)
    if isinstance(now, str):
        return now
    metal = metal_of(now.stock)
    known = metal is not None and now.stock.area_in2 is not None
    return InSpan(
        near,
        far,
        now.stock.weight_lb_per_ft / FT,
        now.tension_lbf,
        metal.modulus_psi * now.stock.area_in2 if metal and now.stock.area_in2 else None,
        now.stock.strength_lbf,
        f"{now.tension_lbf:,.0f} lbf at {now.temp_f:g} F, {now.words}",
        "" if known else f"how {now.stock.name} stretches is not known",
    )


class Conductor(Struct, frozen=True):
    """The wires of one conductor that rest at one place: one on either side, or one alone.

    Two wires on a support that is no dead-end are taken as one wire that runs through.

    Attributes:
        wires: ids, in the order of the job.
        host: the item they rest on.
        position: which place of it.
    """

    wires: tuple[str, ...]
    host: str
    position: int


def conductors(scene: Scene) -> tuple[Conductor, ...]:
    """Every conductor of the scene that rests on something, in the order of the job."""
    kept: tuple[Conductor, ...] | None = scene.kept.get("conductors")
    if kept is None:
        kept = scene.kept["conductors"] = tuple(_conductors(scene))
    return kept


def _conductors(scene: Scene) -> Iterator[Conductor]:
    job = scene.job
    found: dict[tuple[str, str, str, int], list[str]] = {}
    for run in job.wires:
        where = place_at(job, run, scene.stage)
        if isinstance(where, OnItem):
            key = (run.circuit, run.phase, where.host, where.position)
            found.setdefault(key, []).append(run.id)
    for (_, _, host, position), wires in found.items():
        stock = catalogue().get(job.item_by_id[host].part or "") if host in job.item_by_id else None
        if isinstance(stock, InsulatorPart) and stock.style == "dead-end":
            # each is an end of its own
            for wire in wires:
                yield Conductor((wire,), host, position)
        else:
            yield Conductor(tuple(wires), host, position)


def conductor_of(scene: Scene, wire: str) -> Conductor | None:
    """The conductor that a wire is part of at the scene's stage; `None` where it rests nowhere."""
    return next((one for one in conductors(scene) if wire in one.wires), None)


def near_end(scene: Scene, wire: str) -> Point | None:
    """Where a wire rests here at the scene's stage; `None` when that is not known."""
    part = scene.part_by_key.get(wire)
    return part.shape.p if part and isinstance(part.shape, Run) and not part.missing else None


class Pulling(Struct, frozen=True):
    """One wire as it pulls on what holds its near end.

    `east_in`, `north_in`, `up_in` lead from there to its far end; `weight` is lbf/in. `tension_lbf`
    is its level tension where the neighbour lets it run, `tied_lbf` with the move in it.
    """

    east_in: float
    north_in: float
    up_in: float
    weight: float
    tension_lbf: float
    tied_lbf: float

    @property
    def level_in(self) -> float:
        """Level length of its span."""
        return math.hypot(self.east_in, self.north_in)


class Pulls(Struct, frozen=True):
    """The wires of one conductor as they pull, the neighbours' ties off and on, and what is said.

    `assumed` is what was taken about ties and stretch; `missing` is what is not known, and then
    there are no wires.
    """

    loose: tuple[Pulling, ...]
    tied: tuple[Pulling, ...]
    words: tuple[str, ...]
    assumed: str = ""
    missing: str = ""


def pulls(scene: Scene, wires: Sequence[str]) -> Pulls:
    """How the wires of one conductor pull at the scene's stage.

    Where nobody said whether a wire is tied at the neighbour, both are worked out. It is kept with
    the job by where the wires rest, for most rest there at many stages.
    """
    nears = tuple(near_end(scene, key) for key in wires)
    if None in nears:
        return _pulls(scene, wires)
    kept: dict[object, Pulls] = scene.job.__dict__.setdefault("_pulls", {})
    key = (*wires, *nears)
    if key not in kept:
        kept[key] = _pulls(scene, wires)
    return kept[key]


def _pulls(scene: Scene, wires: Sequence[str]) -> Pulls:
    job = scene.job
    moved = drawn(scene, wires)
    if moved.missing:
        return Pulls((), (), (), missing=moved.missing)
    ties = {job.wire_by_id[key].far_tie for key in wires}
    is_moved = any(abs(one) > _HAIR for one in moved.longer_in)
    if is_moved and moved.tied_lbf is None and "loose" not in ties:
        return Pulls((), (), (), missing=moved.stretch_missing)
    loose: list[Pulling] = []
    tied: list[Pulling] = []
    for span, near in zip(moved.spans, moved.nears, strict=True):
        way = (span.far[0] - near[0], span.far[1] - near[1], span.far[2] - near[2])
        with_move = span.tension_lbf
        if is_moved and moved.tied_lbf is not None and "loose" not in ties:
            with_move = moved.tied_lbf
        free = with_move if ties == {"tied"} else span.tension_lbf
        loose.append(Pulling(*way, span.weight, span.tension_lbf, free))
        tied.append(Pulling(*way, span.weight, span.tension_lbf, with_move))
    said = (f"{job.label(key)}: {one.words}" for key, one in zip(wires, moved.spans, strict=True))
    untold = [
        job.span_by_id[job.wire_by_id[key].span].toward
        for key in wires
        if not job.wire_by_id[key].far_tie and is_moved and "loose" not in ties
    ]
    assumed = []
    if untold:
        at = " and ".join(dict.fromkeys(untold))
        assumed.append(f"not said whether it is tied at {at}: the worse is taken")
    if is_moved and moved.stretch_missing and "loose" not in ties:
        assumed.append(f"{moved.stretch_missing}: taken not to stretch")
    return Pulls(tuple(loose), tuple(tied), tuple(said), "; ".join(assumed))


def _unstretched_lbf(spans: Sequence[InSpan], longer_in: float) -> float | None:
    """The most a wire can pull whose stretch is not known: that of one that does not stretch.

    `None` where such a wire would not reach. What the way gains it takes from its slack alone,
    which goes with one over the tension squared.
    """
    have = sum(slack(one.weight, one.level_in, one.tension_lbf) for one in spans)
    if longer_in >= 0.99 * have:
        return None
    rise: float = (have / (have - max(longer_in, 0.0))) ** 0.5
    return max(one.tension_lbf for one in spans) * rise


class Drawn(Struct, frozen=True):
    """What moving the near end of a conductor does to it while the neighbours hold it.

    Attributes:
        spans: its wires before anything was moved.
        nears: where each rests now.
        longer_in: how much longer the way of each is; below 0 shorter.
        tied_lbf: its one tension now, `None` when not known.
        stretch_missing: what is not known of its stretch; the tension is then the most it can be.
        missing: what is not known of all of it; the rest is then empty.
    """

    spans: tuple[InSpan, ...] = ()
    nears: tuple[Point, ...] = ()
    longer_in: tuple[float, ...] = ()
    tied_lbf: float | None = None
    stretch_missing: str = ""
    missing: str = ""


def drawn(scene: Scene, wires: Sequence[str]) -> Drawn:
    """What a conductor is like at the scene's stage, tied at the neighbours.

    A wire that runs through keeps its whole length from neighbour to neighbour: what one span
    gains by the move the other gives, and both have one tension.
    """
    job = scene.job
    spans: list[InSpan] = []
    nears: list[Point] = []
    for key in wires:
        span, near = in_spans(job)[key], near_end(scene, key)
        if isinstance(span, str):
            return Drawn(missing=span)
        if near is None:
            part = scene.part_by_key.get(key)
            return Drawn(
                missing=(part.missing if part else "") or f"where {job.label(key)} is not known"
            )
        spans.append(span)
        nears.append(near)
    longer = tuple(one.longer_in(near) for one, near in zip(spans, nears, strict=True))
    parts = [
        (one.tension_lbf, one.level_in, one.weight, one.stiffness_lbf)
        for one in spans
        if one.stiffness_lbf is not None
    ]
    if len(parts) < len(spans):
        why = next(one.stretch_missing for one in spans if one.stiffness_lbf is None)
        most = _unstretched_lbf(spans, sum(longer))
        return Drawn(tuple(spans), tuple(nears), longer, most, f"{why}: {job.label(wires[0])}")
    try:
        tension = shared_tension(parts, sum(longer))
    except (FormulaError, OverflowError, ZeroDivisionError) as error:
        return Drawn(missing=f"{job.label(wires[0])}: {error}")
    if not (math.isfinite(tension) and tension > 0.0):
        return Drawn(missing=f"{job.label(wires[0])}: the tension does not come out")
    return Drawn(tuple(spans), tuple(nears), longer, tension)
