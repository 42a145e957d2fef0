"""Jumpers, bypasses and taps: the path of a wire from one support to another on the pole.

The path is taken as straight from end to end and as much longer as the job's bow says, hung in a
flat curve. How a wire really hangs its lineman bends into it; so every gap to it rests on the bow.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache
from itertools import combinations, pairwise, product

from msgspec import Struct

from framer.geometry.phases import hanging
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Scene
from framer.geometry.space import Point, between, distance, dot, moved, raised
from framer.geometry.spot import NoPlaceError, Spot, Spots
from framer.geometry.wire_ends import wire_point
from framer.model.item import Item
from framer.model.line import Join, Wire
from framer.model.place import OnItem
from framer.model.stage import join_at
from framer.stock.catalogue import wire as stock_wire
from framer.stock.part import CasePart, InsulatorPart

PIECES = 4
"""Straight pieces a jumper is taken as."""

UNKNOWN_WIRE_RADIUS_IN = 0.75
"""A wire of unknown size is taken 1 1/2 in thick, more than any bare conductor in stock."""

JUMPERED = ("jumper", "bypass", "tap")
"""How joins are made that are a wire of their own from one thing to the other."""

_UPRIGHT = 0.5
"""A path whose level share is less than this is upright, and bows out from the pole."""


class JumperEnd(Struct, frozen=True):
    """One end of a jumper: `missing` says what is not known of it, `point` then means nothing."""

    point: Point = (0.0, 0.0, 0.0)
    pole: str = ""
    up_in: float = 0.0
    tolerance_in: float = 0.0
    missing: str = ""


class JumperPath(Struct, frozen=True):
    """The way of a jumper.

    Attributes:
        points: its corners from end to end; empty when an end is not known.
        straight_in: from end to end.
        length_in: along it: the straight way and the bow.
        a: its one end.
        b: its other end.
        missing: what is not known.
        goes_round: whether the bow had to be more, to go round the pole.
    """

    points: tuple[Point, ...]
    straight_in: float
    length_in: float
    a: JumperEnd
    b: JumperEnd
    missing: str = ""
    goes_round: bool = False


def jumper_path(spots: Spots, join: Join) -> JumperPath:
    """The path of a join that is a wire of its own, at the stage of the spots."""
    a, b = (_end(spots, key, live) for key, live in ((join.a, join.a_live), (join.b, join.b_live)))
    missing = a.missing or b.missing
    if missing:
        return JumperPath((), 0.0, 0.0, a, b, missing)
    bow = spots.job.settings.jumper_bow_percent / 100.0
    points, goes_round = _way(spots, a, b, bow, jumper_radius_in(spots, join))
    if not points:
        return JumperPath((), 0.0, 0.0, a, b, "how it goes round the pole not known")
    length = sum(distance(p, q) for p, q in pairwise(points))
    return JumperPath(points, distance(a.point, b.point), length, a, b, goes_round=goes_round)


def jumper_radius_in(spots: Spots, join: Join) -> float:
    """Half the thickness of a jumper: of its own wire, else of the wire it starts from."""
    first = spots.job.wire_by_id.get(join.a) or spots.job.wire_by_id.get(join.b)
    stock = stock_wire(join.part) or stock_wire(first.part if first else None)
    return stock.dia_in / 2 if stock else UNKNOWN_WIRE_RADIUS_IN


def live_points(spots: Spots, item: Item, stock: CasePart, spot: Spot) -> list[Point]:
    """The exposed live points of equipment, in the order of its stock part."""
    face = case_face(spots, item, spot)
    return [
        raised(moved(moved(face, spot.out, live.out_in), spot.right, live.right_in), live.up_in)
        for live in stock.live
    ]


def case_face(spots: Spots, item: Item, spot: Spot) -> Point:
    """The point of the face that equipment is fixed to."""
    under = spots.arm_under(item)
    return spot.point if under is None else moved(spot.point, spot.out, under[1].width_in / 2)


def _end(spots: Spots, key: str, live: int | None) -> JumperEnd:
    try:
        wire = spots.job.wire_by_id.get(key)
        if wire is not None:
            return _on_wire(spots, wire)
        item = spots.job.item_by_id.get(key)
        if item is None:
            return JumperEnd(missing=f"there is no '{key}'")
        return _on_item(spots, spots.host(key), live)
    except NoPlaceError as reason:
        return JumperEnd(missing=str(reason))


def _on_wire(spots: Spots, wire: Wire) -> JumperEnd:
    where = spots.places.get(wire.id)
    if not isinstance(where, OnItem):
        raise NoPlaceError(f"{spots.job.label(wire.id)} rests on nothing")
    support = spots.host(where.host)
    spot = spots.spot(support)
    point, _ = wire_point(spots, support, where.position)
    return JumperEnd(point, spot.pole, spot.up_in, spot.tolerance_in, spot.missing)


def _on_item(spots: Spots, item: Item, live: int | None) -> JumperEnd:
    label = spots.job.label(item.id)
    spot, stock = spots.spot(item), spots.stock(item)
    if isinstance(stock, CasePart) and stock.live:
        points = live_points(spots, item, stock, spot)
        number = 1 if live is None and len(points) == 1 else live
        if number is None:
            return JumperEnd(missing=f"which of {len(points)} live points of {label} not said")
        if number > len(points):
            return JumperEnd(missing=f"{label} has no live point {number}")
        point = points[number - 1]
    elif isinstance(stock, InsulatorPart):
        point, _ = wire_point(spots, item, 0)
    else:
        return JumperEnd(missing=f"where a wire is on {label} not known")
    return JumperEnd(point, spot.pole, spot.up_in, spot.tolerance_in, spot.missing)


def _outward(spots: Spots, end: JumperEnd) -> Point:
    """The level direction from the pole to an end of a jumper."""
    solid = spots.poles.get(end.pole)
    if solid is None:
        return (0.0, 1.0, 0.0)
    x, y = end.point[0] - solid.foot[0], end.point[1] - solid.foot[1]
    size = math.hypot(x, y)
    return (x / size, y / size, 0.0) if size > 1e-6 else (0.0, 1.0, 0.0)


def _way(
    spots: Spots, a: JumperEnd, b: JumperEnd, bow: float, radius_in: float
) -> tuple[tuple[Point, ...], bool]:
    """The corners of the path, and whether it goes round the pole; none where none keeps off it.

    The bow hangs down, square to the straight way; of an upright one it stands out from the pole.
    Where that would go through a pole it lies to one side, more than asked if need be.
    """
    length = distance(a.point, b.point)
    if length <= 0.0:
        return (a.point, b.point), False
    x, y, z = between(a.point, b.point)
    line = (x / length, y / length, z / length)
    level = math.hypot(line[0], line[1])
    outward, deep = _outward(spots, a), _depth(bow) * length
    hung = _square(outward if level < _UPRIGHT else (0.0, 0.0, -1.0), line)
    found = _chain(a.point, b.point, hung, deep)
    if not _pierces(spots, found, radius_in):
        return found, False
    aside = (line[1] / level, -line[0] / level, 0.0) if level > 1e-6 else outward
    for more in range(MOST_MORE):
        for way in (1.0, -1.0):
            across = (way * aside[0], way * aside[1], way * aside[2])
            found = _chain(a.point, b.point, across, deep + more)
            if not _pierces(spots, found, radius_in):
                return found, True
    return (), False


MOST_MORE = 48
"""How many inches more than its bow a jumper may go aside to get round a pole."""


def _square(way: Point, line: Point) -> Point:
    """The part of a direction that is square to another, as a unit vector."""
    share = dot(way, line)
    x, y, z = (one - share * other for one, other in zip(way, line, strict=True))
    size = math.sqrt(x * x + y * y + z * z)
    if size <= 1e-9:
        return (line[1], -line[0], 0.0)
    return (x / size, y / size, z / size)


def _chain(a: Point, b: Point, across: Point, deep_in: float) -> tuple[Point, ...]:
    """Straight pieces from end to end, as deep in the middle as told."""
    way = between(a, b)
    return tuple(
        moved(moved(a, way, share), across, 4.0 * deep_in * share * (1.0 - share))
        for share in (number / PIECES for number in range(PIECES + 1))
    )


def _pierces(spots: Spots, points: tuple[Point, ...], radius_in: float) -> bool:
    """Whether a chain goes through a standing pole, or has a corner that touches it.

    Its ends may lie on the pole's surface.
    """
    pieces = [(p, q, -_ON_SURFACE_IN) for p, q in pairwise(points)]
    pieces += [(point, point, radius_in) for point in points[1:-1]]
    for solid in spots.poles.values():
        top = solid.top_up_in
        for p, q, room in pieces:
            off, up = _off_axis(solid, p, q)
            if top is not None and up <= top and off < (solid.radius_in(up) or 0.0) + room:
                return True
    return False


def _off_axis(solid: PoleSolid, p: Point, q: Point) -> tuple[float, float]:
    """How near a straight piece comes to a pole's centre line, and how far up the pole there."""
    start, way = between(solid.foot, p), between(p, q)
    up, rise = dot(start, solid.axis), dot(way, solid.axis)
    aside, across = moved(start, solid.axis, -up), moved(way, solid.axis, -rise)
    size = dot(across, across)
    share = min(1.0, max(0.0, -dot(aside, across) / size)) if size > 0.0 else 0.0
    return math.hypot(*moved(aside, across, share)), up + share * rise


_ON_SURFACE_IN = 0.01


def _longer(depth: float) -> float:
    """How long the chain over a straight of 1 is that is so deep in its middle."""
    heights = [4.0 * depth * at * (1.0 - at) for at in (n / PIECES for n in range(PIECES + 1))]
    return sum(math.hypot(1.0 / PIECES, high - low) for low, high in pairwise(heights))


@cache
def _depth(bow: float) -> float:
    """How deep the chain is in its middle, as a share of the straight, to be longer by the bow."""
    low, high = 0.0, 1.0 + bow
    for _ in range(60):
        middle = 0.5 * (low + high)
        if _longer(middle) < 1.0 + bow:
            low = middle
        else:
            high = middle
    return low


class Roll(Struct, frozen=True):
    """Two spans between which the phases of a circuit change their order across.

    Attributes:
        circuit: id of the circuit.
        first: id of the one span.
        second: id of the other.
        natural: the phases of the second from left to right, looking out from the pole, were none
            crossed.
        crossing: the pairs of phases whose jumpers cross in plan.
    """

    circuit: str
    first: str
    second: str
    natural: str
    crossing: tuple[tuple[str, str], ...]

    @property
    def words(self) -> str:
        """What changes, and what to do first."""
        count = len(self.crossing)
        crossings = "one crossing" if count == 1 else f"{_COUNTS.get(count, count)} crossings"
        if len(self.natural) == 3 and count == 3:
            what = "the outer two change sides"
        else:
            what = ", ".join(f"{one} and {other} change places" for one, other in self.crossing)
        return f"{what}: {crossings} in plan; confirm phases before any jumper"


_COUNTS = {2: "two", 3: "three"}


def crossings(first: str, second: str) -> tuple[tuple[str, str], ...]:
    """The pairs of phases that cross between two spans, both orders looking out from the pole.

    The left wire of the one goes on as the right wire of the other: two that keep their order
    as seen looking out have changed places.
    """
    common = [phase for phase in first if phase in second]
    found = (
        (min(one, other), max(one, other))
        for place, one in enumerate(common)
        for other in common[place + 1 :]
        if second.index(one) < second.index(other)
    )
    return tuple(sorted(found))


def rolls(scene: Scene) -> Iterator[Roll]:
    """Where the phases of a circuit cross in plan from one span to another, at the scene's pole.

    Spans whose phases are joined are looked at; where nothing of the circuit is joined yet, every
    two. A jumper to wires that run through is as good from either of their spans: the one with
    fewer crossings counts. Wires one above the other are in no order across.
    """
    job, joined = scene.job, set(_joined_spans(scene))
    hung: dict[str, dict[str, dict[str, float]]] = {}
    for span in job.spans:
        for wire in hanging(scene, span.id):
            spans = hung.setdefault(job.wire_by_id[wire.wire].circuit, {})
            spans.setdefault(span.id, {})[wire.phase] = wire.across_in
    for circuit in (one.id for one in job.circuits if one.id in hung):
        spans = hung[circuit]
        made = [
            (one, other, how)
            for of, one, other, how in sorted(joined)
            if of == circuit and one in spans and other in spans
        ]
        through = {(one, other) for one, other, how in made if how == "through"}
        pairs = [(one, other) for one, other, _ in made] or list(combinations(sorted(spans), 2))
        for one, other in dict.fromkeys(pairs):
            ways = [(one, other)]
            if (one, other) not in through:
                firsts, seconds = (
                    sorted(_with_through(span, through) & {*spans}) for span in (one, other)
                )
                ways = [(a, b) for a, b in product(firsts, seconds) if a != b]
            found = [_roll(circuit, (a, spans[a]), (b, spans[b])) for a, b in ways]
            least = min(found, key=lambda roll: len(roll.crossing))
            if least.crossing:
                yield least


def _with_through(span: str, through: set[tuple[str, str]]) -> set[str]:
    """A span and those its wires run through to."""
    return {span, *(one for pair in through if span in pair for one in pair)}


_LETTERS = ("A", "B", "C")
_BESIDE_IN = 1.0
"""Wires less than this apart sideways are one above the other."""


def _joined_spans(scene: Scene) -> Iterator[tuple[str, str, str, str]]:
    """Circuit, spans in order, and how made, of phases that are joined at the scene's stage."""
    job = scene.job
    for join in job.joins:
        state = join_at(job, join, scene.stage)
        a, b = job.wire_by_id.get(join.a), job.wire_by_id.get(join.b)
        if state is None or state.made == "open" or a is None or b is None:
            continue
        if a.phase in _LETTERS and b.phase in _LETTERS and a.span != b.span:
            first, second = sorted((a.span, b.span))
            yield a.circuit, first, second, state.made


def _roll(
    circuit: str, first: tuple[str, dict[str, float]], second: tuple[str, dict[str, float]]
) -> Roll:
    (one, at_one), (other, at_other) = first, second
    common = [phase for phase in at_one if phase in at_other]
    orders = ["".join(sorted(common, key=lambda phase: at[phase])) for at in (at_one, at_other)]
    crossing = tuple(
        (left, right)
        for left, right in crossings(*orders)
        if all(abs(at[left] - at[right]) >= _BESIDE_IN for at in (at_one, at_other))
    )
    return Roll(circuit, one, other, orders[0][::-1], crossing)


def unlike_phases(scene: Scene) -> Iterator[tuple[Join, str, str]]:
    """Joins that are made at the scene's stage and join different phase letters, and these."""
    job = scene.job
    for join in job.joins:
        state = join_at(job, join, scene.stage)
        if state is None or state.made == "open":
            continue
        ends = [job.wire_by_id.get(key) or job.item_by_id.get(key) for key in (join.a, join.b)]
        one, other = ((end.phase or "") if end else "" for end in ends)
        both = [set(phase) for phase in (one, other) if phase and set(phase) <= set("ABCN")]
        if len(both) == 2 and not both[0] & both[1]:
            yield join, one, other
