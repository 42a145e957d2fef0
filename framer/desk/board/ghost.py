"""What is shown of a thing while it is moved: how far it is from its neighbours.

Along the pole from what is next above and below, along an arm from what is next on either side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from framer.drawing.lettering import text_width
from framer.drawing.panel import NARROW_REACH_IN, Panel, View
from framer.drawing.picture import Dimension, Text
from framer.drawing.selected import COLUMN_IN, SMALLEST_SHARE
from framer.geometry.scene import Box, Part, Run, Scene, Tag
from framer.geometry.space import between, dot
from framer.geometry.written import exact

COLUMN = 4.2
"""The column of these dimensions is this far inside those of the thing itself, text heights."""

BELOW_ARM = 4.5
"""Dimensions along an arm are written this far below it, text heights."""

BESIDE = 9.0
"""Two dimensions of a wire in plan are this far apart, text heights."""

_SAME_WAY = 0.05
"""Wires turned from each other by less than this, in radians, run the same way."""

SAME_LEVEL_IN = 0.5
"""What is this near to the height of a thing is beside it, not above or below."""


_ARM, _NO_NEIGHBOUR = int(Tag.ARM), int(Tag.POLE | Tag.BRACE | Tag.RUN | Tag.WIRE)


class Neighbour(Struct, frozen=True):
    """What is next to a thing in one direction, `gap_in` away, centre to centre.

    `at_in` is where it is: up its pole from the ground line, or along its arm from the bolt.
    """

    key: str
    at_in: float
    gap_in: float


def along_pole(scene: Scene, key: str) -> tuple[Neighbour | None, Neighbour | None]:
    """What is fixed to the same pole next above and next below a thing that is fixed to it.

    Above the topmost thing is the top, below the lowest the ground line; both have the pole's id.
    """
    part = _first(scene, key)
    solid = scene.poles.get(part.pole or "") if part else None
    if part is None or solid is None:
        return None, None
    ups = {solid.item: 0.0}
    for other in scene.bodies:
        fixed = other.level == solid.item or other.tags & _ARM
        if other.pole != solid.item or not fixed or other.tags & _NO_NEIGHBOUR:
            continue
        if other.shape is not None:
            ups.setdefault(other.owner, other.up_in)
    ups.pop(key, None)
    here = part.up_in
    above = [(up - here, name) for name, up in ups.items() if up > here + SAME_LEVEL_IN]
    below = [(here - up, name) for name, up in ups.items() if up < here - SAME_LEVEL_IN]
    if solid.top_up_in is not None and solid.top_up_in > here + SAME_LEVEL_IN:
        above.append((solid.top_up_in - here, solid.item))
    return (
        Neighbour(min(above)[1], here + min(above)[0], min(above)[0]) if above else None,
        Neighbour(min(below)[1], here - min(below)[0], min(below)[0]) if below else None,
    )


def along_arm(scene: Scene, key: str) -> tuple[Neighbour | None, Neighbour | None]:
    """What is on the same arm next on the counter-clockwise and the clockwise side of a thing.

    Beyond the outermost thing is the arm's end, with the arm's id.
    """
    part = _first(scene, key)
    arms = scene.parts_of.get(part.level or "", ()) if part else ()
    box = arms[0].shape if arms else None
    here = _along(scene, part, arms[0]) if part and arms else None
    if part is None or not isinstance(box, Box) or here is None:
        return None, None
    spots: list[tuple[float, str]] = []
    for owner, parts in scene.parts_of.items():
        on_arm = parts[0].level == part.level and not parts[0].tags & (Tag.ARM | Tag.WIRE)
        if owner == key or not on_arm or parts[0].tags & Tag.BRACE:
            continue
        at = _along(scene, parts[0], arms[0])
        if at is not None:
            spots.append((at, owner))
    bolt = _bolt(scene, arms[0])
    spots += [(dot(between(bolt, end), box.u), arms[0].owner) for end in (box.p, box.q)]
    left = max(((at, name) for at, name in spots if at < here - SAME_LEVEL_IN), default=None)
    right = min(((at, name) for at, name in spots if at > here + SAME_LEVEL_IN), default=None)
    return (
        Neighbour(left[1], left[0], here - left[0]) if left else None,
        Neighbour(right[1], right[0], right[0] - here) if right else None,
    )


def ghost_dimensions(scene: Scene, view: View, pole: str, key: str) -> Iterator[Dimension | Text]:
    """The dimensions to the neighbours of a thing in the elevation of a pole.

    None where the thing is not on that pole or, on an arm, is seen from the arm's end.
    """
    part = _first(scene, key)
    if part is None or part.pole != pole or part.tags & (Tag.POLE | Tag.WIRE):
        return
    panel = Panel(scene, view, pole)
    if part.level not in (pole, None) and not part.tags & Tag.ARM:
        yield from _on_arm(panel, part)
    else:
        yield from _on_pole(panel, part)


def ghost_in_plan(scene: Scene, view: View, pole: str, key: str) -> Iterator[Dimension]:
    """How far a wire of another line passes from a pole, seen from above, square to the wire.

    Where another such wire runs the same way, how far it is from the nearest of these too.
    """
    part, solid = _first(scene, key), scene.poles.get(pole)
    if part is None or solid is None or not isinstance(part.shape, Run) or part.pole is not None:
        return
    run, text = part.shape, view.text_in
    length = math.dist(run.p[:2], run.q[:2])
    if length == 0.0:
        return
    way = ((run.q[0] - run.p[0]) / length, (run.q[1] - run.p[1]) / length, 0.0)
    square = (way[1], -way[0], 0.0)
    others = (
        one.shape
        for one in scene.bodies
        if one.owner != key and one.pole is None and isinstance(one.shape, Run)
    )
    away = dot(between(solid.foot, run.p), square)
    apart = [
        dot(between(run.p, one.p), square)
        for one in others
        if abs(dot(between(one.p, one.q), square)) < _SAME_WAY * math.dist(one.p[:2], one.q[:2])
    ]
    apart = [one for one in apart if abs(one) > SAME_LEVEL_IN]
    # the second beside the first, or it would lie over it
    gaps = [(0.0, away, -away)]
    gaps += [(BESIDE * text, away, min(apart, key=abs))] if apart else []
    for along, across, gap in gaps:
        if abs(gap) <= SAME_LEVEL_IN:
            continue
        ends = [
            (along * way[0] + off * square[0], along * way[1] + off * square[1], 0.0)
            for off in (across + gap, across)
        ]
        p, q = ((dot(end, view.right), dot(end, view.away)) for end in ends)
        yield Dimension(p, q, 0.0, exact(scene.job, abs(gap)), text, "slant", "dimension", key)


def ghost_words(scene: Scene, key: str) -> str:
    """The same in words: "2 ft 0 in below Line arm, 1 ft 6 in above Neutral spool"."""
    part = _first(scene, key)
    if part is None:
        return ""
    job, said = scene.job, []
    if part.level == part.pole or part.tags & Tag.ARM:
        above, below = along_pole(scene, key)
        top = f"the top of {job.label(part.pole or '')}"
        if above is not None:
            said.append(f"{exact(job, above.gap_in)} below " + _name(scene, above, part, top))
        if below is not None:
            said.append(f"{exact(job, below.gap_in)} above " + _name(scene, below, part, "ground"))
    else:
        for side in along_arm(scene, key):
            if side is not None:
                end = "the arm's end"
                said.append(f"{exact(job, side.gap_in)} from " + _name(scene, side, part, end))
    return ", ".join(said)


def _name(scene: Scene, one: Neighbour, part: Part, end: str) -> str:
    return end if one.key in (part.pole, part.level) else scene.job.label(one.key)


def _first(scene: Scene, key: str) -> Part | None:
    parts = scene.parts_of.get(key, ())
    return parts[0] if parts and parts[0].shape is not None else None


def _bolt(scene: Scene, arm: Part) -> tuple[float, float, float]:
    return scene.poles[arm.pole or ""].point(arm.up_in)


def _along(scene: Scene, part: Part, arm: Part) -> float | None:
    """How far along its arm a part sits, clockwise of the way the arm faces."""
    box = arm.shape
    if not isinstance(box, Box) or part.shape is None:
        return None
    point = part.shape.centre if isinstance(part.shape, Box) else part.shape.p
    return dot(between(_bolt(scene, arm), point), box.u)


def _on_pole(panel: Panel, part: Part) -> Iterator[Dimension | Text]:
    solid = panel.pole
    if solid is None or part.shape is None:
        return
    text = panel.view.text_in
    here = panel.xy(solid.point(part.up_in))
    xs = (panel.xy(part.shape.p)[0], panel.xy(part.shape.q)[0])
    edge = (here[0] if part.tags & Tag.GUY else min(xs), here[1])
    column = -COLUMN_IN + COLUMN * text
    for one in along_pole(panel.scene, part.owner):
        if one is None:
            continue
        there = panel.xy(solid.point(one.at_in))
        words = exact(panel.scene.job, one.gap_in)
        roomy = abs(there[1] - here[1]) > text_width(words, text) + text
        written = words if roomy else ""
        yield Dimension(there, edge, column, written, text, "upright", "dimension", part.owner)
        if not roomy:
            away = 0.9 * text if there[1] > here[1] else -1.9 * text
            at = (column, there[1] + away)
            yield Text(at, words, text, "dimension", part.owner, "middle")


def _on_arm(panel: Panel, part: Part) -> Iterator[Dimension | Text]:
    arms = panel.scene.parts_of.get(part.level or "", ())
    box = arms[0].shape if arms else None
    if not isinstance(box, Box) or abs(dot(box.u, panel.view.right)) < SMALLEST_SHARE:
        return
    here = _along(panel.scene, part, arms[0])
    if here is None:
        return
    text = panel.view.text_in
    bolt = _bolt(panel.scene, arms[0])
    share = dot(box.u, panel.view.right)
    x, y = panel.xy(bolt)
    across = y - box.half[2] - BELOW_ARM * text
    for one in along_arm(panel.scene, part.owner):
        if one is None:
            continue
        p, q = (x + here * share, y), (x + one.at_in * share, y)
        words = exact(panel.scene.job, one.gap_in)
        roomy = abs(p[0] - q[0]) > text_width(words, text) + text
        written = words if roomy else ""
        yield Dimension(p, q, across, written, text, "level", "dimension", part.owner)
        if not roomy:
            # clear of the names that stand beside the pole
            most = NARROW_REACH_IN - text_width(words, text) / 2
            off = 0.6 * text + text_width(words, text) / 2
            middle = min(q[0] + off, most) if q[0] > p[0] else max(q[0] - off, -most)
            at = (middle, across - 0.4 * text)
            yield Text(at, words, text, "dimension", part.owner, "middle")
