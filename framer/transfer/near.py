"""Where the workers of a step are, what near them is bare and energised, and how far that is."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from msgspec import Struct

from framer.checks.plan import connected_circuits
from framer.checks.voltage import Wired
from framer.geometry.distance import to_box
from framer.geometry.scene import Array, Box, Part, Run, Scene, Tag
from framer.geometry.space import Point, moved, raised, toward, turned
from framer.mechanics.sag import drop_below_chord_in
from framer.model.item import Item
from framer.model.line import Circuit
from framer.model.place import OnItem
from framer.model.stage import place_at
from framer.model.step import Step, Worker
from framer.stock.catalogue import catalogue
from framer.stock.part import CoverPart
from framer.transfer.rubber import fits, rubber_class
from framer.units.length import inches_text

Piece: TypeAlias = tuple[Point, Point, float]
"""A straight piece of a part: its ends and its radius."""

NEAR_IN, PIECE_IN = 288.0, 48.0
"""A sagging wire is taken in pieces of 4 ft for 24 ft from its support; the rest is one piece."""

_LIVE = int(Tag.WIRE | Tag.JUMPER | Tag.LIVE | Tag.CASE)
_NO_LIVE = int(Tag.COMMUNICATIONS | Tag.WORKER)
_NEUTRAL, _CABLE, _CASE, _GROUNDED = (
    int(tag) for tag in (Tag.NEUTRAL, Tag.CABLE, Tag.CASE, Tag.GROUNDED)
)
_WIRE, _NEARBY, _JUMPER = int(Tag.WIRE), int(Tag.NEARBY), int(Tag.JUMPER)
INSULATED_TO_KV = 0.6
"""A cable up to this is insulated; over it, it is taken as bare, as 29 CFR 1910.269(l)(10) has it
of covered wires."""


METAL_CASES = ("transformer", "lamp")
"""Kinds of items whose case is metal: energised until found grounded, 29 CFR 1910.269(l)(11)."""


class Cover(Struct, frozen=True):
    """Cover-up on a thing at a stage: how long and of which class, `None` where not known."""

    item: Item
    length_in: float | None
    cover_class: str | None


class Live(Struct, frozen=True):
    """A part that is energised as far as anyone knows.

    Attributes:
        part: the part.
        circuit: its circuit, at the volts of what it is joined to.
        neutral: whether it is a neutral.
        bare: what of it is bare; cover counts only where it surely fits.
        least: what of it is bare if every cover that may fit does.
        doubt: why `least` may not be all.
        cover: why some cover does not count; empty where all does.
        unsure: why it may not be energised at all: it is taken as if it were.
        assumed: what its place rests on.
    """

    part: Part
    circuit: Circuit
    neutral: bool
    bare: tuple[Piece, ...]
    least: tuple[Piece, ...]
    doubt: str = ""
    cover: str = ""
    unsure: str = ""
    assumed: str = ""

    @property
    def wired(self) -> Wired:
        """What its voltage depends on."""
        return Wired(self.circuit, self.neutral)


class Gap(Struct, frozen=True):
    """From a worker's body to a piece: the gap, below 0 inside, and the nearest points."""

    gap_in: float
    p: Point
    q: Point


def envelope_in(worker: Worker) -> float:
    """How far a worker takes up room out from the pole's face, tools and all."""
    return worker.envelope_in + worker.tools_in


def worker_name(step: Step, worker: Worker) -> str:
    """What a worker of a step is called."""
    return worker.name or f"worker {step.workers.index(worker) + 1}"


def worker_part(scene: Scene, step: Step, worker: Worker, *, bare_hands: bool = False) -> Part:
    """The body of a worker as a part of the scene, which the scene itself does not hold.

    It is a box: out from the pole's face by his envelope, to either side by the same, up from his
    feet; about the middle of a bucket by the envelope every way. With `bare_hands` without tools.
    """
    number = step.workers.index(worker) + 1
    name = worker_name(step, worker)
    shape, missing = _body(scene, worker, name, 0.0 if bare_hands else worker.tools_in)
    return Part(
        key=f"{step.id}/worker{number}",
        owner=name,
        tags=int(Tag.WORKER),
        shape=shape,
        pole=worker.pole,
        missing=missing,
        style="worker",
    )


def _body(scene: Scene, worker: Worker, name: str, tools_in: float) -> tuple[Box | None, str]:
    solid = scene.poles.get(worker.pole)
    label = scene.job.label(worker.pole)
    if solid is None:
        return None, f"{label}, on which {name} works, does not stand"
    height = 0.0 if worker.by == "ground" and worker.height_in is None else worker.height_in
    if height is None:
        return None, f"how high {name} stands is not known"
    tall = worker.reach_up_in + tools_in
    middle = solid.point((height + tall / 2.0) / solid.rise)
    radius = solid.radius_in(height / solid.rise)
    if radius is None:
        return None, f"girth of {label} not known"
    out, wide = toward(worker.azimuth_deg), worker.envelope_in + tools_in
    half_out = wide if worker.by == "bucket" else wide / 2.0
    away = worker.out_in if worker.by == "bucket" else worker.out_in + half_out
    centre = moved(middle, out, radius + away)
    right = toward(turned(worker.azimuth_deg, 90.0))
    return Box(centre, right, out, (0.0, 0.0, 1.0), (wide, half_out, tall / 2.0)), ""


def covers(scene: Scene) -> dict[str, list[Cover]]:
    """Cover-up by what it lies on, at the scene's stage."""
    found: dict[str, list[Cover]] = {}
    for item in scene.job.items:
        if item.kind == "cover":
            where = place_at(scene.job, item, scene.stage)
            if isinstance(where, OnItem):
                found.setdefault(where.host, []).append(cover_of(item))
    return found


def cover_of(item: Item) -> Cover:
    """What is known of a piece of cover-up from its stock part."""
    stock = catalogue().get(item.part or "")
    if isinstance(stock, CoverPart):
        return Cover(item, stock.length_in, stock.cover_class)
    return Cover(item, None, None)


def live_parts(
    scene: Scene, dead: Collection[str] = (), *, uncovered: bool = False
) -> Iterator[Live]:
    """Everything energised that is not insulated all over, but for circuits that are `dead`.

    Grounded neutrals are none of it. A part whose place is not known has no pieces. With
    `uncovered` as if no cover lay on anything.
    """
    circuits = {circuit.id: circuit for circuit in connected_circuits(scene)}
    lying = {} if uncovered else covers(scene)
    for part in scene.bodies:
        circuit = circuits.get(part.circuit or "")
        if circuit is None or circuit.kind != "supply" or circuit.id in dead:
            continue
        if part.tags & _LIVE and not part.tags & _NO_LIVE:
            live = _live(scene, part, circuit, lying)
            if live is not None:
                yield live


def _live(scene: Scene, part: Part, circuit: Circuit, lying: dict[str, list[Cover]]) -> Live | None:
    neutral = bool(part.tags & _NEUTRAL)
    unsure = ""
    if neutral:
        if circuit.grounded_wye:
            return None
        if circuit.grounded_wye is None:
            unsure = f"whether the neutral of {circuit.name} is grounded is not known"
    if part.tags & _CABLE and circuit.kv is not None and circuit.kv <= INSULATED_TO_KV:
        return None
    if part.tags & _CASE:
        if part.tags & _GROUNDED or part.style not in METAL_CASES:
            return None
        label = scene.job.label(part.owner)
        unsure = f"whether the case of {label} is grounded is not known: energised until found so"
    if part.tags & _WIRE and not part.tags & _NEARBY:
        return _wire(scene, part, circuit, lying, neutral, unsure)
    on = lying.get(part.owner, [])
    shown = pieces(part)
    if part.tags & _CASE or not on:
        return Live(part, circuit, neutral, shown, shown, unsure=unsure, assumed=part.assumed)
    sure, maybe, doubt, why = _sorted(scene, on, circuit)
    long = sum(one.length_in or 0.0 for one in sure)
    more = sum(one.length_in or math.inf for one in maybe)
    if part.tags & _JUMPER:
        whole = jumper_length_in(scene, part.owner)
        bare, least = (() if covered >= whole else shown for covered in (long, long + more))
        if sure and bare:
            system = scene.job.settings.units
            have = inches_text(long, step_in=1 / 16, toward="down", system=system)
            asked = inches_text(whole, step_in=1.0, toward="up", system=system)
            short = f"{have} of hose on {asked} of {scene.job.label(part.owner)}"
            why = "; ".join(filter(None, (why, short)))
    elif part.tags & _NEARBY:
        bare, least = (tuple(_beside(shown, length)) for length in (long, long + more))
    else:
        bare = () if sure else shown
        least = () if sure or maybe else shown
    return Live(part, circuit, neutral, bare, least, doubt, why, unsure, part.assumed)


def _wire(
    scene: Scene,
    part: Part,
    circuit: Circuit,
    lying: dict[str, list[Cover]],
    neutral: bool,
    unsure: str,
) -> Live:
    """A wire of ours: hose on it covers it from its support out, a hood the wire at the support."""
    hose, hood = lying.get(part.owner, []), lying.get(part.support or "", [])
    sure_hose, maybe_hose, hose_doubt, why = _sorted(scene, hose, circuit)
    sure_hood, maybe_hood, hood_doubt, hood_why = _sorted(scene, hood, circuit)
    hooded = sum(one.length_in or 0.0 for one in sure_hood) / 2.0
    along = sum(one.length_in or 0.0 for one in sure_hose)
    bare = _bare(part, max(hooded, along), at_support=not sure_hood)
    maybe = sum(one.length_in or math.inf for one in maybe_hose)
    least = _bare(part, max(hooded, along + maybe), at_support=not (sure_hood or maybe_hood))
    shape = part.shape
    assumed = part.assumed
    if isinstance(shape, Run) and shape.sag_most_in is None:
        straight = f"sag of {scene.job.label(part.owner)} not known: taken as straight"
        assumed = "; ".join(filter(None, (assumed, straight)))
    doubt = "; ".join(filter(None, (hose_doubt, hood_doubt)))
    words = "; ".join(filter(None, (why, hood_why)))
    return Live(part, circuit, neutral, bare, least, doubt, words, unsure, assumed)


def jumper_length_in(scene: Scene, owner: str) -> float:
    """How long a jumper is along its path, bow and all."""
    shapes = [part.shape for part in scene.parts_of.get(owner, ())]
    return sum(math.dist(one.p, one.q) for one in shapes if one is not None)


def _beside(shown: Iterable[Piece], covered_in: float) -> Iterator[Piece]:
    """What of a level wire lies beside the cover about its middle, where it was read."""
    for p, q, r in shown:
        half = math.dist(p, q) / 2.0
        if covered_in / 2.0 >= half:
            continue
        share = (half - covered_in / 2.0) / (2.0 * half)
        for end, other in ((p, q), (q, p)):
            x, y, z = (a + (b - a) * share for a, b in zip(end, other, strict=True))
            yield end, (x, y, z), r


def _sorted(
    scene: Scene, lying: list[Cover], circuit: Circuit
) -> tuple[list[Cover], list[Cover], str, str]:
    """Covers that fit the circuit, those that may, why that is not known, and why others do not."""
    sure, maybe, doubts, why = [], [], [], []
    for one in lying:
        label = scene.job.label(one.item.id)
        fitting = fits(one.cover_class, circuit)
        if fitting and one.length_in is not None:
            sure.append(one)
        elif fitting is False and (known := rubber_class(one.cover_class)):
            why.append(f"{label} is class {known.id}, for {known.max_kv:g} kV at most")
        else:
            maybe.append(one)
            missing = "voltage" if circuit.kv is None else "class"
            missing = "length" if fitting else missing
            of = circuit.name if missing == "voltage" else label
            doubts.append(f"{missing} of {of} not known")
    return sure, maybe, "; ".join(dict.fromkeys(doubts)), "; ".join(dict.fromkeys(why))


def _bare(part: Part, covered_in: float, *, at_support: bool) -> tuple[Piece, ...]:
    """What of a wire is bare past the cover, and the wire at its support where no hood lies."""
    shape = part.shape
    if not isinstance(shape, Run):
        return ()
    found = past(shape, covered_in, nearby=bool(part.tags & _NEARBY))
    return (*found, (shape.p, shape.p, shape.r)) if at_support and covered_in > 0.0 else found


def past(run: Run, start_in: float, *, nearby: bool) -> tuple[Piece, ...]:
    """What of a wire is left past a cover so long: from its support on, or about its middle."""
    return tuple(_beside(_level(run), start_in)) if nearby else _run(run, start_in)


def pieces(part: Part) -> tuple[Piece, ...]:
    """A part as straight pieces; a box by its edges."""
    shape = part.shape
    if shape is None:
        return ()
    if isinstance(shape, Run):
        return _level(shape) if part.tags & _NEARBY else _run(shape, 0.0)
    if isinstance(shape, Box):
        return tuple(_edges(shape))
    return ((shape.p, shape.q, max(shape.r_p, shape.r_q)),)


def _level(run: Run) -> tuple[Piece, ...]:
    """A wire of another line, level where it was read, and as low as it ever hangs."""
    low = -(run.sag_most_in or 0.0)
    as_read = (run.p, run.q, run.r)
    hottest = (raised(run.p, low), raised(run.q, low), run.r)
    return (as_read,) if low == 0.0 else (as_read, hottest)


@lru_cache(maxsize=4096)
def _run(shape: Run, start_in: float) -> tuple[Piece, ...]:
    """A wire from a distance along it on, at its least sag and at its most.

    Most wires are where they were a stage before, so what was worked out is kept.
    """
    length = math.dist(shape.p, shape.q)
    if start_in >= length:
        return ()
    ends = (start_in + PIECE_IN * n for n in range(int(NEAR_IN / PIECE_IN) + 1))
    marks = [*(one / length for one in ends if one < length), 1.0]
    (x, y, z), (x2, y2, z2) = shape.p, shape.q
    found: list[Piece] = []
    for sag in {shape.sag_least_in or 0.0, shape.sag_most_in or 0.0}:
        points = [
            (
                x + (x2 - x) * u,
                y + (y2 - y) * u,
                z + (z2 - z) * u - drop_below_chord_in(sag, u),
            )
            for u in marks
        ]
        found.extend((p, q, shape.r) for p, q in pairwise(points))
    return tuple(found)


def _edges(box: Box) -> Iterator[Piece]:
    axes = (box.u, box.v, box.w)
    for number in range(3):
        one, two = (number + 1) % 3, (number + 2) % 3
        for side in (-1.0, 1.0):
            for other in (-1.0, 1.0):
                middle = moved(box.centre, axes[one], side * box.half[one])
                middle = moved(middle, axes[two], other * box.half[two])
                half = box.half[number]
                yield moved(middle, axes[number], -half), moved(middle, axes[number], half), 0.0


class Standing(Struct, frozen=True):
    """A worker's body, and how a piece through it is measured.

    In a bucket from the bucket's middle, else from the pole's face.
    """

    box: Box
    in_bucket: bool


def standing(part: Part, worker: Worker) -> Standing | None:
    """The body of a worker as it is measured from; `None` where its place is not known."""
    return Standing(part.shape, worker.by == "bucket") if isinstance(part.shape, Box) else None


class Stacked:
    """Pieces of many things as arrays, so that all are measured at once."""

    def __init__(self, groups: Sequence[Sequence[Piece]]) -> None:
        """Stack the pieces of each group."""
        self.counts = [len(group) for group in groups]
        rows = [(*p, *q, r) for group in groups for p, q, r in group]
        numbers = np.array(rows, dtype=np.float64).reshape(-1, 7)
        self.p, self.q, self.r = numbers[:, :3], numbers[:, 3:6], numbers[:, 6]

    def nearest(self, body: Standing) -> list[Gap | None]:
        """The nearest piece of each group to a body; `None` for a group without pieces."""
        if not len(self.p):
            return [None] * len(self.counts)
        box, count = body.box, len(self.p)
        centre = np.broadcast_to(np.array(box.centre), (count, 3))
        axes = np.broadcast_to(np.array((box.u, box.v, box.w)), (count, 3, 3))
        half = np.broadcast_to(np.array(box.half), (count, 3))
        away, fraction, at_body = to_box(self.p, self.q, centre, axes, half)
        gap = away - self.r
        inside = np.nonzero(away <= 0.0)[0]
        if len(inside):
            gap[inside] = _inside(self.p[inside], self.q[inside], body) - self.r[inside]
        found: list[Gap | None] = []
        start = 0
        for size in self.counts:
            if not size:
                found.append(None)
                continue
            row = start + int(np.argmin(gap[start : start + size]))
            at = self.p[row] + (self.q[row] - self.p[row]) * fraction[row]
            found.append(Gap(float(gap[row]), _point(at), _point(at_body[row])))
            start += size
        return found


def nearest(body: Standing, shown: Sequence[Piece]) -> Gap | None:
    """The nearest of some pieces to a worker's body; `None` where there are none.

    A piece that passes through the body has a gap below 0: how much nearer it comes to where the
    worker's room is measured from than that room reaches.
    """
    (found,) = Stacked([shown]).nearest(body)
    return found


_TRIALS = np.linspace(0.0, 1.0, 65)


def _inside(p: Array, q: Array, body: Standing) -> Array:
    """How far out pieces through a body come at least, less how far it reaches."""
    box = body.box
    axes, half = np.array((box.u, box.v, box.w)), np.array(box.half)
    start, step = (p - np.array(box.centre)) @ axes.T, (q - p) @ axes.T
    moving = np.abs(step) > 1e-12
    safe = np.where(moving, step, 1.0)
    one, two = (-half - start) / safe, (half - start) / safe
    enter = np.where(moving, np.minimum(one, two), 0.0).max(axis=1).clip(0.0, 1.0)
    leave = np.where(moving, np.maximum(one, two), 1.0).min(axis=1).clip(0.0, 1.0)
    if body.in_bucket:
        t = enter[:, None] + (leave - enter)[:, None] * _TRIALS
        off = [np.abs(start[:, None, n] + step[:, None, n] * t) for n in (0, 1)]
        from_middle: Array = np.maximum(*off).min(axis=1) - box.half[1]
        return from_middle
    ends = [start[:, 1] + step[:, 1] * t for t in (enter, leave)]
    from_face: Array = np.minimum(*ends) - box.half[1]
    return from_face


def _point(row: Array) -> Point:
    return (float(row[0]), float(row[1]), float(row[2]))


class LiveParts(Struct, frozen=True):
    """All live parts of a scene, and their bare pieces stacked."""

    lives: tuple[Live, ...]
    bare: Stacked


def live_of(
    scene: Scene, dead: frozenset[str] = frozenset(), *, uncovered: bool = False
) -> LiveParts:
    """The live parts of a scene, worked out once for it."""
    key = f"live parts {sorted(dead)} {uncovered}"
    known: LiveParts | None = scene.kept.get(key)
    if known is None:
        lives = tuple(live_parts(scene, dead, uncovered=uncovered))
        known = scene.kept[key] = LiveParts(lives, Stacked([one.bare for one in lives]))
    return known
