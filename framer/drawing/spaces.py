"""Room to climb and to work, and the room equipment needs: outlines, what fouls them, labels."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from typing import Literal, NamedTuple

from framer.checks.finding import Finding
from framer.checks.shown import Foul, SpaceShown
from framer.drawing.fitting import around, clipped, kept_clear
from framer.drawing.picture import XY, Line, Primitive, Text
from framer.geometry.climbing import frame_of, is_side
from framer.geometry.scene import Box, Part, Run, Scene, Tag
from framer.geometry.space import Point, compass
from framer.units.length import length_text

SpaceKind = Literal["climbing", "working", "equipment"]

MOST_FOULS = 2
"""A label names at most this many things that reach in, the farthest first."""

THIN_IN = 1.5
"""What fouls a space is marked at least this far to each side."""


class Space(NamedTuple):
    """A space to be drawn.

    `owner` is the id of the item it belongs to, or of the pole; `outline` its corners in plan, in
    order; heights are from the job datum.
    """

    kind: SpaceKind
    owner: str
    words: str
    outline: tuple[tuple[float, float], ...]
    low: float
    high: float
    fouls: tuple[Foul, ...]


def spaces_to_draw(
    scene: Scene,
    pole: str,
    shown: Sequence[SpaceShown] | None,
    findings: Sequence[Finding],
    hidden: Collection[str],
) -> list[Space]:
    """The spaces of a pole: those the books ask for, then what its equipment needs.

    Args:
        scene: the job at a stage.
        pole: id of the pole.
        shown: what the books ask for; `None` for no spaces at all.
        findings: those that may say what reaches into the space of equipment.
        hidden: kinds that are left out.
    """
    if shown is None:
        return []
    spaces = [
        Space(one.kind, pole, words_of(scene, one), one.outline, one.low_in, one.high_in, one.fouls)
        for one in shown
        if one.pole == pole
    ]
    spaces.extend(_of_equipment(scene, pole, findings))
    return [space for space in _joined(spaces) if space.kind not in hidden]


def words_of(scene: Scene, space: SpaceShown, called: str = "") -> str:
    """What a space is called: kind or what is given, side or quadrant, how wide it must be."""
    name = called or f"{space.kind.capitalize()} space"
    if space.kind == "climbing":
        azimuth = frame_of(scene, space.pole).azimuth_deg(space.column)
        name += f", {compass(azimuth)} {'side' if is_side(space.column) else 'quadrant'}"
    units = scene.job.settings.units
    if space.need_in is None:
        clear = length_text(space.clear_in, toward="down", system=units)
        return f"{name}, {clear} clear, need not known"
    return f"{name}, {length_text(space.need_in, toward='up', system=units)}"


def spoken_of(finding: Finding, shown: Sequence[SpaceShown]) -> tuple[SpaceShown, ...]:
    """The space a finding about room to climb or to work speaks of; empty for any other."""
    if finding.a is None or finding.a.shape is None:
        return ()
    level = finding.a.shape.p[2]
    same = [
        one
        for one in shown
        if one.rule == finding.rule.id
        and one.need_in == finding.need
        and one.verdict == finding.verdict
        and one.low_in <= level <= one.high_in
    ]
    return tuple(sorted(same, key=lambda one: abs((one.low_in + one.high_in) / 2 - level))[:1])


def _joined(spaces: Sequence[Space]) -> list[Space]:
    """Spaces of one kind that stand one over the other, as wide as each other, as one."""
    joined: list[Space] = []
    for space in sorted(spaces, key=lambda one: -one.high):
        for place, upper in enumerate(joined):
            if (
                upper.words == space.words
                and upper.owner == space.owner
                and upper.low <= space.high
                and _same(upper.outline, space.outline)
            ):
                fouls = {(one.key, round(one.reach_in, 3)): one for one in upper.fouls}
                fouls.update({(one.key, round(one.reach_in, 3)): one for one in space.fouls})
                low = min(upper.low, space.low)
                joined[place] = upper._replace(low=low, fouls=tuple(fouls.values()))
                break
        else:
            joined.append(space)
    return joined


def _same(a: Sequence[tuple[float, float]], b: Sequence[tuple[float, float]]) -> bool:
    return len(a) == len(b) and all(
        abs(p[0] - q[0]) < 0.5 and abs(p[1] - q[1]) < 0.5 for p, q in zip(a, b, strict=True)
    )


def _of_equipment(scene: Scene, pole: str, findings: Sequence[Finding]) -> Iterator[Space]:
    for part in scene.parts:
        box = part.shape
        if not part.tags & Tag.SPACE or part.pole != pole or not isinstance(box, Box):
            continue
        outline = box_in_plan(lambda point: point[:2], box)
        low, high = box.centre[2] - box.half[2], box.centre[2] + box.half[2]
        words = f"{scene.job.label(part.owner)}: {part.style}"
        fouls = tuple(_reaching_in(part, findings, low, high))
        yield Space("equipment", part.owner, words, outline, low, high, fouls)


def _reaching_in(
    space: Part, findings: Sequence[Finding], low: float, high: float
) -> Iterator[Foul]:
    for finding in findings:
        pair = (finding.a, finding.b)
        if space in pair and finding.gap is not None and finding.gap < 0.0:
            other = pair[1] if pair[0] is space else pair[0]
            if other is not None:
                yield Foul(other.key, -finding.gap, low, high)


# --- drawing ---


def draw(
    scene: Scene,
    spaces: Sequence[Space],
    figures: Sequence[tuple[XY, ...]],
    bodies: Callable[[Part, Foul], tuple[XY, ...]],
    text: float,
    words: Sequence[Text],
) -> Iterator[Primitive]:
    """Outlines, broken round the texts that are there, with what fouls each space hatched.

    Args:
        scene: the job at a stage.
        spaces: the spaces.
        figures: the outline of each in the drawing.
        bodies: the outline of a part in the drawing, as far up and down as it fouls.
        text: text height.
        words: texts that are there already.
    """
    clear = kept_clear(words) if spaces else []
    for space, figure in zip(spaces, figures, strict=True):
        for p, q in zip(figure, (*figure[1:], figure[0]), strict=True):
            for a, b in around(p, q, clear):
                yield Line(a, b, "space", space.owner)
        for foul in space.fouls:
            part = scene.part_by_key.get(foul.key)
            if part is not None and part.shape is not None:
                yield from hatch(bodies(part, foul), figure, text, part.owner)


def label_rows(scene: Scene, space: Space) -> list[str]:
    """The rows of a label: what the space is, then what reaches in and by how much."""
    units = scene.job.settings.units
    rows = [space.words]
    by_owner: dict[str, float] = {}
    for foul in space.fouls:
        part = scene.part_by_key.get(foul.key)
        if part is not None:
            by_owner[part.owner] = max(foul.reach_in, by_owner.get(part.owner, 0.0))
    worst = sorted(by_owner, key=lambda owner: -by_owner[owner])
    for owner in worst[:MOST_FOULS]:
        reach = length_text(by_owner[owner], toward="up", system=units)
        rows.append(f"{scene.job.label(owner)} reaches in {reach}")
    if len(worst) > MOST_FOULS:
        rows[-1] += f", {len(worst) - MOST_FOULS} more"
    return rows


def _bounds(figure: Sequence[XY]) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in figure], [y for _, y in figure]
    return (min(xs), min(ys), max(xs), max(ys))


def hatch(
    body: tuple[XY, ...], figure: tuple[XY, ...], text: float, owner: str
) -> Iterator[Primitive]:
    """Slanting strokes over what two figures without dents have in common."""
    boxes = [_bounds(body), _bounds(figure)]
    left, low = (max(box[side] for box in boxes) for side in (0, 1))
    right, high = (min(box[side] for box in boxes) for side in (2, 3))
    step = min(0.7 * text, max(right - left, high - low) / 3)
    if step <= 0.0 or right < left or high < low:
        return
    start = left - (high - low)
    while start < right:
        start += step
        piece = clipped((start, low), (start + high - low, high), body)
        piece = piece and clipped(*piece, figure)
        if piece is not None:
            yield Line(*piece, "fouled", owner)


def box_in_plan(xy: Callable[[Point], XY], box: Box) -> tuple[XY, ...]:
    """The corners of a box that stands upright, from above, in order."""
    x, y, z = box.centre
    (a, b), (c, d) = (
        (axis[0] * half, axis[1] * half)
        for axis, half in ((box.u, box.half[0]), (box.v, box.half[1]))
    )
    corners = (
        (x - a - c, y - b - d),
        (x + a - c, y + b - d),
        (x + a + c, y + b + d),
        (x - a + c, y - b + d),
    )
    return tuple(xy((east, north, z)) for east, north in corners)


def body_in_plan(xy: Callable[[Point], XY], part: Part) -> tuple[XY, ...]:
    """A part from above, as a figure without dents."""
    shape = part.shape
    if isinstance(shape, Box):
        return box_in_plan(xy, shape)
    if shape is None:
        return ()
    radius = shape.r if isinstance(shape, Run) else max(shape.r_p, shape.r_q)
    return strip(xy(shape.p), xy(shape.q), max(radius, THIN_IN))


def strip(p: XY, q: XY, half: float) -> tuple[XY, ...]:
    """A straight line made `half` thick to every side."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    length = (dx * dx + dy * dy) ** 0.5
    ux, uy = (dx / length, dy / length) if length > 1e-9 else (1.0, 0.0)
    a, b = (ux * half, uy * half), (-uy * half, ux * half)
    return (
        (p[0] - a[0] + b[0], p[1] - a[1] + b[1]),
        (p[0] - a[0] - b[0], p[1] - a[1] - b[1]),
        (q[0] + a[0] - b[0], q[1] + a[1] - b[1]),
        (q[0] + a[0] + b[0], q[1] + a[1] + b[1]),
    )
