"""The order phases hang in across the line: by compass, and by the street and the field."""

from __future__ import annotations

from msgspec import Struct

from framer.geometry.scene import Run, Scene, Tag
from framer.geometry.space import (
    Point,
    azimuth_of,
    azimuth_of_point,
    between,
    compass,
    dot,
    toward,
    turned,
)

_PHASE = int(Tag.PHASE)


class Hanging(Struct, frozen=True):
    """One phase wire of a span, `across_in` to the right of its pole, looking along the span."""

    wire: str
    phase: str
    across_in: float


def hanging(scene: Scene, span: str, circuit: str = "") -> tuple[Hanging, ...]:
    """The phases of a span from the left, looking along it; of one circuit where it is named."""
    wires = scene.job.wires_of.get(span, [])
    if circuit:
        wires = [wire for wire in wires if wire.circuit == circuit]
    if not wires:
        return ()
    azimuth = scene.job.span_by_id[span].azimuth_deg
    right = toward(turned(azimuth, 90.0))
    found = []
    for wire in wires:
        part = scene.part_by_key.get(wire.id)
        if part is None:
            continue
        shape, solid = part.shape, scene.poles.get(part.pole or "")
        if part.tags & _PHASE and isinstance(shape, Run) and solid is not None:
            across = dot(between(solid.foot, shape.p), right)
            found.append(Hanging(wire.id, wire.phase, across))
    return tuple(sorted(found, key=lambda one: (one.across_in, one.phase)))


def order_words(scene: Scene, span: str, circuit: str = "") -> str:
    """The order in words: "A B C from west to east", with street and field where they are known.

    Empty where no phase hangs in the span.
    """
    wires = hanging(scene, span, circuit)
    if not wires:
        return ""
    letters = " ".join(one.phase for one in wires)
    if len(wires) == 1:
        return letters
    right = toward(turned(scene.job.span_by_id[span].azimuth_deg, 90.0))
    first, last = _side(right, left=True), _side(right, left=False)
    words = f"{letters} from {first} to {last}"
    sides = street_sides(scene, right)
    if sides is not None:
        words += f" ({wires[0].phase} on the {sides[0]} side, {wires[-1].phase} on the {sides[1]})"
    return words


def street_sides(scene: Scene, right: Point) -> tuple[str, str] | None:
    """Which of street and field is at the left and which at the right, for a right hand.

    `None` where the job does not say where the street is, or the line goes to it.
    """
    side = scene.job.settings.street_side
    if not side:
        return None
    towards = dot(toward(azimuth_of_point(side)), right)
    if abs(towards) < 0.3:
        return None
    return ("field", "street") if towards > 0.0 else ("street", "field")


def _side(right: Point, *, left: bool) -> str:
    way = (-right[0], -right[1], 0.0) if left else right
    return compass(azimuth_of(way), words=True)
