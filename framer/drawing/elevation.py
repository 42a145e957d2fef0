"""One pole seen from the side: what stands and hangs there, heights, drops and findings."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Sequence
from functools import lru_cache, partial
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.explain import asked_text, gap_text
from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.checks.shown import Foul, SpaceShown
from framer.checks.shown import spaces as spaces_by_books
from framer.drawing.cover import sleeves
from framer.drawing.fitting import along, around, kept_clear
from framer.drawing.kept import Kept
from framer.drawing.lettering import shortened, text_width, wrapped
from framer.drawing.lifted import lifted
from framer.drawing.marks import mark
from framer.drawing.picture import (
    XY,
    Circle,
    Dimension,
    Line,
    Path,
    Picture,
    Primitive,
    Text,
    dimension_ends,
    dimension_text,
    extent,
    rectangle,
)
from framer.drawing.spaces import (
    THIN_IN,
    Space,
    draw,
    label_rows,
    spaces_to_draw,
    spoken_of,
    strip,
)
from framer.drawing.style import StyleName
from framer.geometry.limit import limit_normal
from framer.geometry.phases import street_sides
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Box, Part, Run, Scene, Tag, Tube
from framer.geometry.space import Point, azimuth_of, compass, dot, toward, turned
from framer.geometry.written import exact, marks
from framer.model.job import Job
from framer.model.line import LimitLine

STUB_IN = 84.0
"""A wire is drawn this far out from its support."""

REACH_IN = 110.0
"""Nearby wires and the ground are drawn this far either side of the pole."""

NARROW_REACH_IN = 84.0
"""The same on the screen's narrow sheet and where nothing is named: wires reach as far."""

GUY_REACH_IN, GUY_SHORT_IN = 86.0, 8.0
"""A guy is drawn this far from the pole, short of the dimensions, and of all else by so much."""

FIRST_COLUMN_IN = 94.0
"""Dimensions start at least this far from the pole, outside a 10-ft arm."""

CALLOUT_COLUMN_IN = 76.0
"""Numbers of findings stand at least this far to the right of the pole."""

ARM_REACH_IN = 60.0
"""A 10-ft arm reaches this far from the pole; numbers keep off it however large the text."""

LABEL_ROOM = 34.0
"""A label is cut to this length, text heights."""

NARROW_ROOM, NARROW_ROWS = 13.5, 3
"""The same for one broken into short lines, and how many of them a name takes at most."""

MANY_LEVELS, MANY_ROOM = 10, 24.0
"""Where there are more levels than this, labels take two lines again, cut to this length."""

ON_EDGE = 0.9
"""A limit plane is drawn where at least this share of its direction lies in the view."""

LABEL_MARGIN = 0.7
"""Names keep this far off other texts, text heights: a comma reaches below its line."""

GRAIN = 1 / 16
"""Labels that touch are shifted by steps of this, text heights: less than can be seen."""

COLUMN = 2.1
"""Distance between columns of dimensions, per text height."""

NO_GIRTH_RADIUS_IN = 4.5
"""A pole of unknown girth is drawn, and only drawn, this thick."""


class View(Struct, frozen=True):
    """A way of looking: towards `look_deg`, with text `text_in` high in real inches."""

    look_deg: float
    text_in: float

    @property
    def words(self) -> str:
        """How the view is named; never left or right without a direction."""
        return f"looking {compass(self.look_deg, words=True)}"

    @property
    def right(self) -> Point:
        """Direction to the right in the view."""
        return toward(turned(self.look_deg, 90.0))

    @property
    def away(self) -> Point:
        """Direction looked at."""
        return toward(self.look_deg)


def broadside_look(scene: Scene) -> float:
    """The direction to look in so that the topmost arm is seen from the side; north without one."""
    arms = [
        (part.up_in, part.shape.v)
        for part in scene.bodies
        if part.tags & Tag.ARM and isinstance(part.shape, Box)
    ]
    return azimuth_of(max(arms)[1]) if arms else 0.0


class Panel:
    """Projection of one pole's surroundings: its foot is x 0, the job datum is y 0."""

    def __init__(self, scene: Scene, view: View, pole: str, reach_in: float = REACH_IN) -> None:
        self.scene, self.view, self.reach_in = scene, view, reach_in
        self.pole = scene.poles.get(pole)
        self.right = view.right
        self.origin = dot(self.pole.foot, self.right) if self.pole else 0.0

    def xy(self, point: Point) -> XY:
        """Where a point is in the drawing."""
        return (dot(point, self.right) - self.origin, point[2])


def elevation(
    scene: Scene,
    view: View,
    pole: str,
    *,
    findings: Sequence[Finding] = (),
    dimensions: bool = True,
    labels: bool = True,
    narrow: bool = False,
    reach_in: float | None = None,
    spaces: Sequence[SpaceShown] | None = None,
    hidden: Collection[str] = frozenset(),
    kept: Kept | None = None,
) -> Picture:
    """The elevation of one pole.

    Args:
        scene: the job at a stage.
        view: from where it is seen.
        pole: id of the pole in the middle.
        findings: those to draw as measured lines.
        dimensions: whether drops and heights are dimensioned at the side of the labels.
        labels: whether names stand beside it; without, they are read across from another view.
        narrow: whether labels are broken into short lines, and spaces have none.
        reach_in: how far ground and wires that pass by are drawn, where not as usual; names stand
            beyond it.
        spaces: room to climb and to work that the books ask for, outlined, and with it the room
            that equipment needs; `None` for no spaces.
        hidden: kinds of spaces that are left out: "climbing", "working", "equipment".
        kept: what was drawn of this pole before, for parts that have not changed.
    """
    usual = REACH_IN if labels and not narrow else NARROW_REACH_IN
    panel = Panel(scene, view, pole, usual if reach_in is None else reach_in)
    primitives: list[Primitive] = [*_ground(panel), *_sides(panel)]
    kept = kept or Kept()
    kept.begin((view, pole, panel.pole and panel.pole.foot))
    drawing = partial(_part, panel)
    for part in sorted(scene.bodies, key=_depth_in(panel)):
        primitives.extend(kept.of(part, drawing))
    primitives.extend(lifted(scene, panel.xy, REACH_IN))
    window = (-REACH_IN, -math.inf, REACH_IN, math.inf)
    primitives.extend(sleeves(scene, panel.xy, window, most_in=STUB_IN))
    primitives.extend(_letters(panel))
    drawn = spaces_to_draw(scene, pole, spaces, findings, hidden)
    if labels:
        named = () if narrow else drawn
        primitives.extend(_levels(panel, named, dimensions=dimensions, narrow=narrow))
    words = [one for one in primitives if isinstance(one, Text)]
    words += [dimension_text(one) for one in primitives if isinstance(one, Dimension)]
    for names_of in (_nearby_labels, _limits) if labels else (_limits,):
        more = list(names_of(panel, words))
        primitives.extend(more)
        words.extend(label for label in more if isinstance(label, Text))
    primitives.extend(_outlines(panel, drawn, words))
    primitives.extend(callouts(scene, view, pole, findings, words))
    return Picture(tuple(primitives))


def _outlines(panel: Panel, drawn: Sequence[Space], words: Sequence[Text]) -> Iterator[Primitive]:
    """Spaces without their names, off the texts that are there."""
    figures = [_upright_figure(panel, space) for space in drawn]
    text = panel.view.text_in
    yield from draw(panel.scene, drawn, figures, partial(_body, panel), text, words)


def finding_space(
    scene: Scene,
    view: View,
    pole: str,
    finding: Finding,
    books: Sequence[Rulebook],
    others: Sequence[Primitive] = (),
) -> list[Primitive]:
    """The space that a finding speaks of, to lay over an elevation; nothing for one of none.

    Args:
        scene: the job at a stage.
        view: from where it is seen.
        pole: id of the pole in the middle.
        finding: the finding.
        books: the rulebooks the job is judged by.
        others: what is drawn already; the outline leaves out its texts.
    """
    if "space" not in finding.rule.measure or pole not in scene.poles:
        return []
    shown = spoken_of(finding, spaces_by_books(scene, books, pole))
    drawn = spaces_to_draw(scene, pole, shown, (), ("equipment",))
    words = [one for one in others if isinstance(one, Text)]
    return list(_outlines(Panel(scene, view, pole), drawn, words))


def _upright_figure(panel: Panel, space: Space) -> tuple[XY, ...]:
    """A space from the side: as wide as its outline in plan is seen."""
    xs = [panel.xy((east, north, 0.0))[0] for east, north in space.outline]
    left, right = min(xs), max(xs)
    return rectangle((left, space.low, right, space.high))


def _body(panel: Panel, part: Part, foul: Foul) -> tuple[XY, ...]:
    """A part from the side, from and to the heights at which it is in a space."""
    shape = part.shape
    if isinstance(shape, Box):
        drawn = _box(panel, part, shape)
        return drawn.points if isinstance(drawn, Path) else ()
    if shape is None:
        return ()
    p, q = panel.xy(shape.p), panel.xy(shape.q)
    if isinstance(shape, Run):
        end = q if part.tags & Tag.NEARBY else _stub(p, q, shape)
        return strip((p[0], foul.low_in), (end[0], foul.high_in), max(shape.r, THIN_IN))
    rise = q[1] - p[1]
    if abs(rise) > 1.0:
        low, high = sorted(((foul.low_in - p[1]) / rise, (foul.high_in - p[1]) / rise))
        p, q = along(p, q, max(0.0, low)), along(p, q, min(1.0, high))
    return strip(p, q, max(shape.r_p, shape.r_q, THIN_IN))


def edges_of(drawn: Sequence[Primitive]) -> Iterator[Line]:
    """The straight lines of a drawing, outlines and dimensions among them."""
    for one in drawn:
        if isinstance(one, Line):
            yield one
        elif isinstance(one, Path):
            for p, q in zip(one.points, (*one.points[1:], one.points[0]), strict=True):
                yield Line(p, q, one.style)
        elif isinstance(one, Dimension) and one.direction != "slant":
            start, end = dimension_ends(one)
            for p, q in ((one.p, start), (start, end), (end, one.q)):
                yield Line(p, q, one.style)


def _depth_in(panel: Panel) -> Callable[[Part], float]:
    """How near a part is, so that nearer ones are drawn over farther ones."""
    east, north, _ = panel.view.away
    foot = panel.pole.foot if panel.pole else (0.0, 0.0, 0.0)
    middle, is_pole = foot[0] * east + foot[1] * north, int(Tag.POLE)

    def depth(part: Part) -> float:
        shape = part.shape
        if shape is None or part.tags & is_pole:
            return 0.0
        p, q = shape.p, shape.q
        return middle - min(p[0] * east + p[1] * north, q[0] * east + q[1] * north)

    return depth


_HATCH_IN = 8.0


def _ground(panel: Panel) -> Iterator[Primitive]:
    grade = panel.pole.foot[2] if panel.pole else 0.0
    yield Line((-panel.reach_in, grade), (panel.reach_in, grade), "ground")
    for step in range(-3, 4):
        x = step * panel.reach_in / 3.5
        yield Line((x, grade), (x - 6.0, grade - _HATCH_IN), "ground")


def _sides(panel: Panel) -> Iterator[Primitive]:
    """Street and field below the ground line on their sides, where the job says them."""
    sides = street_sides(panel.scene, panel.right)
    if sides is None:
        return
    text, grade = panel.view.text_in, panel.pole.foot[2] if panel.pole else 0.0
    y = grade - _HATCH_IN - 1.6 * text
    yield Text((-panel.reach_in, y), sides[0].upper(), text, "label")
    yield Text((panel.reach_in, y), sides[1].upper(), text, "label", "", "right")


def _part(panel: Panel, part: Part) -> Iterator[Primitive]:
    shape = part.shape
    if shape is None:
        return
    if part.tags & Tag.NEARBY and isinstance(shape, Run):
        yield from _nearby(panel, part, shape)
    elif isinstance(shape, Run):
        yield from _wire(panel, part, shape)
    elif isinstance(shape, Box):
        yield _box(panel, part, shape)
    elif part.tags & Tag.LIVE:
        yield Circle(panel.xy(shape.p), 0.9, "live", part.owner, fill="solid")
    else:
        yield from _tube(panel, part, shape)


def style_of(part: Part) -> StyleName:
    """The style a part is drawn in."""
    return _style_of_tags(part.tags)


@lru_cache
def _style_of_tags(tags: int) -> StyleName:
    for tag, style in _STYLE_OF:
        if tags & tag:
            return style
    return "fitting"


_STYLE_OF: tuple[tuple[Tag, StyleName], ...] = (
    (Tag.POLE, "pole"),
    (Tag.ARM, "arm"),
    (Tag.BRACE, "brace"),
    (Tag.INSULATOR, "insulator"),
    (Tag.CASE, "case"),
    (Tag.LIVE, "live"),
    (Tag.GUY, "guy"),
    (Tag.RUN, "run"),
    (Tag.NEARBY, "nearby"),
    (Tag.COMMUNICATIONS, "communications"),
    (Tag.NEUTRAL, "neutral"),
    (Tag.WIRE | Tag.JUMPER, "supply"),
)


def _box(panel: Panel, part: Part, box: Box) -> Primitive:
    """The outline of a box that stands upright: a rectangle in any level view."""
    x, y = panel.xy(box.centre)
    right = panel.view.right
    wide = sum(
        abs(dot(axis, right)) * half
        for axis, half in zip((box.u, box.v, box.w), box.half, strict=True)
    )
    high = box.half[2]
    corners = rectangle((x - wide, y - high, x + wide, y + high))
    return Path(corners, style_of(part), part.owner, fill="paper")


def _tube(panel: Panel, part: Part, tube: Tube) -> Iterator[Primitive]:
    p, q = panel.xy(tube.p), panel.xy(tube.q)
    style = style_of(part)
    if part.tags & Tag.BRACE:
        yield Line(p, q, style, part.owner)
        return
    if part.tags & Tag.GUY:
        yield from _guy(panel, part, p, q)
        return
    r_p, r_q = tube.r_p, tube.r_q
    if part.tags & Tag.POLE and not (r_p and r_q):
        r_p = r_q = NO_GIRTH_RADIUS_IN
    if part.tags & Tag.INSULATOR:
        yield from _insulator(p, q, tube, part)
        return
    yield Path(outline_of_round(p, q, r_p, r_q), style, part.owner, fill="paper")


def _guy(panel: Panel, part: Part, p: XY, q: XY) -> Iterator[Primitive]:
    """A guy, broken off with a break mark where it leaves the drawing."""
    side = abs(q[0])
    # a sidewalk guy is drawn to the end of its strut and from there down
    over_strut = f"{part.owner}/strut" in panel.scene.part_by_key
    # a guy of the other pole, or one seen end on, may begin further out than that
    reach = min(GUY_REACH_IN, panel.reach_in - GUY_SHORT_IN)
    reach = max(reach, abs(p[0]) + panel.view.text_in)
    if side <= reach or over_strut:
        yield Line(p, q, "guy", part.owner)
        return
    x, y = along(p, q, (reach - abs(p[0])) / (side - abs(p[0])))
    yield Line(p, (x, y), "guy", part.owner)
    text = panel.view.text_in
    for shift in (-0.3, 0.3):
        at = x + shift * text
        yield Line((at - 0.4 * text, y - 0.6 * text), (at + 0.4 * text, y + 0.6 * text), "guy")


def _insulator(p: XY, q: XY, tube: Tube, part: Part) -> Iterator[Primitive]:
    """An insulator as a stem with sheds near its wire end; seen end on, as a circle."""
    if math.dist(p, q) < tube.r_p:
        yield Circle(q, tube.r_p, "insulator", part.owner, fill="paper")
        return
    strung = part.style in ("dead-end", "suspension")
    sheds = (0.25, 0.45, 0.65, 0.85) if strung else (0.55, 0.8)
    yield Line(p, q, "insulator", part.owner)
    for place, size in zip(sheds, (1.0,) * len(sheds) if strung else (1.0, 0.7), strict=True):
        a, b = along(p, q, place - 0.08), along(p, q, place + 0.08)
        radius = tube.r_p * size
        yield Path(
            outline_of_round(a, b, radius, radius * 0.7), "insulator", part.owner, fill="paper"
        )


def outline_of_round(p: XY, q: XY, r_p: float, r_q: float) -> tuple[XY, ...]:
    """The outline of a round body seen from the side."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    length = (dx * dx + dy * dy) ** 0.5
    if length == 0.0:
        return rectangle((p[0] - r_p, p[1] - r_p, p[0] + r_p, p[1] + r_p))
    nx, ny = -dy / length, dx / length
    return (
        (p[0] + nx * r_p, p[1] + ny * r_p),
        (q[0] + nx * r_q, q[1] + ny * r_q),
        (q[0] - nx * r_q, q[1] - ny * r_q),
        (p[0] - nx * r_p, p[1] - ny * r_p),
    )


def _wire(panel: Panel, part: Part, run: Run) -> Iterator[Primitive]:
    """A wire: a dot at its support and its first feet outward."""
    style = style_of(part)
    x, y = panel.xy(run.p)
    end = _stub((x, y), panel.xy(run.q), run)
    if abs(end[0] - x) > 2.0:
        yield Line((x, y), end, style, part.owner)
    yield Circle((x, y), max(1.2, run.r), style, part.owner, fill="solid")


def _stub(p: XY, q: XY, run: Run) -> XY:
    """Where the first feet of a wire end that are drawn."""
    length = math.dist(run.p[:2], run.q[:2])
    share = min(1.0, STUB_IN / length) if length else 0.0
    return along(p, q, share)


def _nearby(panel: Panel, part: Part, run: Run) -> Iterator[Primitive]:
    """A neighbouring wire: a level line where it crosses the view, and a ring nearest the pole.

    Where that lies beyond what is drawn, an arrow points to it.
    """
    height, x = run.p[2], _nearest_x(panel, run)
    x_p, x_q = sorted((panel.xy(run.p)[0], panel.xy(run.q)[0]))
    left, right = max(-panel.reach_in, x_p), min(panel.reach_in, x_q)
    if right - left > 6.0:
        yield Line((left, height), (right, height), "nearby", part.owner)
    if abs(x) <= panel.reach_in:
        yield Circle((x, height), 2.0, "nearby", part.owner)
        return
    way, size = math.copysign(1.0, x), 0.6 * panel.view.text_in
    tip = way * panel.reach_in
    corners = ((tip, height), (tip - way * size, height + size / 2),
               (tip - way * size, height - size / 2))  # fmt: skip
    yield Path(corners, "nearby", part.owner, fill="solid")


def _nearest_x(panel: Panel, run: Run) -> float:
    """How far right in the view a wire is where it is nearest the pole."""
    dx, dy = run.q[0] - run.p[0], run.q[1] - run.p[1]
    foot = panel.pole.foot if panel.pole else (0.0, 0.0, 0.0)
    share = ((foot[0] - run.p[0]) * dx + (foot[1] - run.p[1]) * dy) / (dx * dx + dy * dy)
    return panel.xy((run.p[0] + dx * share, run.p[1] + dy * share, run.p[2]))[0]


def _off_words(panel: Panel, run: Run) -> str:
    """How far to which side a wire passes, where that is beyond what is drawn; else nothing."""
    x = _nearest_x(panel, run)
    if abs(x) <= panel.reach_in:
        return ""
    side = compass(turned(panel.view.look_deg, 90.0 if x > 0.0 else 270.0))
    return f", {exact(panel.scene.job, abs(x))} {side}"


def _nearby_labels(panel: Panel, letters: Sequence[Text]) -> Iterator[Primitive]:
    """Names and heights of neighbouring wires; those close together are named above the top one.

    Where phase letters are in the way the names stand higher, tied to their wires by a line.
    """
    text = panel.view.text_in
    foot = panel.pole.foot[2] if panel.pole else 0.0
    lines = sorted(
        (
            (part.shape.p[2], part.owner, _off_words(panel, part.shape))
            for part in panel.scene.bodies
            if part.tags & _NEARBY and isinstance(part.shape, Run)
        ),
        reverse=True,
    )
    bundles: list[list[tuple[float, str, str]]] = []
    for line in lines:
        if bundles and bundles[-1][-1][0] - line[0] < 2.2 * text:
            bundles[-1].append(line)
        else:
            bundles.append([line])
    for bundle in bundles:
        top, lowest = bundle[0][0], bundle[-1][0]
        labels = []
        for row, (height, owner, off) in enumerate(reversed(bundle)):
            up = f", {exact(panel.scene.job, height - foot)} up{off}"
            room = LABEL_ROOM * text - text_width(up, text)
            label = shortened(panel.scene.job.label(owner), room, text) + up
            at = (-panel.reach_in, top + (0.5 + 1.5 * row) * text)
            labels.append(Text(at, label, text, "label", owner))
        lift = _lift(labels, letters)
        if lift:
            high = top + lift + 0.3 * text
            left = -panel.reach_in
            yield Line((left, lowest), (left, high), "level", bundle[0][1])
        yield from (replace(label, at=(label.at[0], label.at[1] + lift)) for label in labels)


def _lift(labels: Sequence[Text], others: Sequence[Text]) -> float:
    """How far a block of labels must go up so that none lies over another text."""
    lift = 0.0
    boxes = [(extent(label), LABEL_MARGIN * label.height) for label in labels]
    first, last = min(box[0][0] for box, _ in boxes), max(box[1][0] for box, _ in boxes)
    widest = max(margin for _, margin in boxes)
    covers = (extent(other) for other in sorted(others, key=lambda text: text.at[1]))
    for (left, low), (right, high) in covers:
        if left > last + widest or right < first - widest:
            continue
        for ((x_1, y_1), (x_2, y_2)), margin in boxes:
            beside = left > x_2 + margin or right < x_1 - margin
            if not beside and y_1 + lift < high + margin and y_2 + lift > low - margin:
                lift = high + margin - y_1
    return lift


def _letters(panel: Panel) -> Iterator[Text]:
    """Phase letters at the supports; those that would lie over each other are in one row."""
    text = panel.view.text_in
    away = panel.view.away
    found: dict[tuple[str, XY], _Letter] = {}
    for part in panel.scene.bodies:
        if isinstance(part.shape, Run) and len(part.phase or "") == 1:
            at, near = panel.xy(part.shape.p), dot(part.shape.p, away)
            found.setdefault((part.phase or "", at), _Letter(*at, near, part))
    rows = [_letter_row(panel, [letter]) for letter in found.values()]
    again = True
    while again:
        apart: list[_LetterRow] = []
        again = False
        for row in rows:
            for number, other in enumerate(apart):
                if _meet(row.box, other.box, 0.3 * text):
                    apart[number] = _letter_row(panel, [*other.letters, *row.letters])
                    again = True
                    break
            else:
                apart.append(row)
        rows = apart
    yield from (row.text for row in rows)


class _Letter(NamedTuple):
    """A phase letter at its support: where that is seen, how far back, and the wire."""

    x: float
    y: float
    near: float
    part: Part


class _LetterRow(NamedTuple):
    """Letters written as one text, and what that covers."""

    letters: list[_Letter]
    text: Text
    box: tuple[XY, ...]


def _letter_row(panel: Panel, letters: list[_Letter]) -> _LetterRow:
    """Letters as one text over their supports: from left to right, and from near to far."""
    text = panel.view.text_in
    step = 0.5 * text
    letters.sort(key=lambda one: (round(one.x / step), one.near, one.part.phase or ""))
    words = " ".join(dict.fromkeys(one.part.phase or "" for one in letters))
    xs, part = [one.x for one in letters], letters[0].part
    half = text_width(words, text) / 2 + 0.3 * text
    x = _beside_pole(panel, part, (min(xs) + max(xs)) / 2, half)
    at = (x, max(one.y for one in letters) + 0.6 * text)
    written = Text(at, words, text, "label", part.owner, "middle")
    return _LetterRow(letters, written, extent(written))


def _meet(one: tuple[XY, ...], other: tuple[XY, ...], margin: float) -> bool:
    """Whether two texts lie over each other or nearer than a margin, by what they cover."""
    (a, b), (c, d) = one
    (e, f), (g, h) = other
    return a < g + margin and e < c + margin and b < h + margin and f < d + margin


def _beside_pole(panel: Panel, part: Part, x: float, half: float) -> float:
    """Where letters of a wire that rests on the pole itself stand: off its outline, not on it."""
    pole = panel.pole
    if pole is None or part.level != pole.item:
        return x
    middle = panel.xy(pole.point(part.up_in))[0]
    least = half + (pole.radius_in(part.up_in) or NO_GIRTH_RADIUS_IN)
    if abs(x - middle) >= least:
        return x
    return middle + (least if x >= middle else -least)


def _limits(panel: Panel, others: Sequence[Text]) -> Iterator[Primitive]:
    for limit in panel.scene.job.limits:
        yield from _limit(panel, limit, others)


def _edge(panel: Panel, limit: LimitLine) -> tuple[XY, XY] | None:
    """The ends of a limit line where its plane is seen on edge, the upper or right one last."""
    normal = limit_normal(limit)
    across, up = dot(normal, panel.view.right), normal[2]
    if math.hypot(across, up) < ON_EDGE:
        return None
    x, y = panel.xy((limit.east_in, limit.north_in, limit.height_in))
    if abs(across) > abs(up):
        high = REACH_IN * 4
        return (x + y * up / across, 0.0), (x - (high - y) * up / across, high)
    slope = across / up
    reach = panel.reach_in
    return (-reach, y + (reach + x) * slope), (reach, y - (reach - x) * slope)


def _limit(panel: Panel, limit: LimitLine, others: Sequence[Text]) -> Iterator[Primitive]:
    """A limit line where its plane is seen on edge, named at its upper end."""
    ends = _edge(panel, limit)
    if ends is None:
        return
    text = panel.view.text_in
    (x, y) = ends[1]
    name = shortened(limit.name, LABEL_ROOM / 2 * text, text)
    label = Text((x, y + 0.5 * text), name, text, "label", limit.id, "middle")
    lift = _lift([label], others)
    yield Line(ends[0], ends[1], "limit", limit.id)
    if lift:
        yield Line((x, y), (x, y + lift), "level", limit.id)
    yield replace(label, at=(x, label.at[1] + lift))


# --- levels: labels and dimensions ---


class _Level(Struct, frozen=True):
    """A height on the pole worth a label, with how far what sits there reaches to either side."""

    owner: str
    name: str
    up_in: float
    left: float
    right: float


class _Row(NamedTuple):
    """A label beside the elevation: where its line starts, and its lines with text heights."""

    owner: str
    y: float
    start: float
    lines: list[tuple[str, float]]


def _levels(
    panel: Panel, spaces: Sequence[Space], *, dimensions: bool, narrow: bool
) -> Iterator[Primitive]:
    """Names and heights of what is fixed to the pole, and of the spaces, in one column."""
    pole = panel.pole
    if pole is None:
        return
    levels = _level_list(panel, pole)
    text = panel.view.text_in
    drops = list(_drops(panel, pole, levels)) if dimensions else []
    if dimensions:
        yield from drops
        yield from _heights(panel, pole, levels)
    last = drops[-1].across + COLUMN * text if drops else 0.0
    # outside the neighbouring wires, which may run at the height of a label
    label_x = max(last, _hangs_to(panel) + text)
    short = narrow and len(levels) <= MANY_LEVELS
    rows = [
        _Row(
            level.owner,
            pole.point(level.up_in)[2],
            # the extension line of the drop goes as far as its column
            drops[number].across + text if drops else level.right,
            _label_rows(panel, pole, level, narrow=narrow, short=short),
        )
        for number, level in enumerate(levels)
    ]
    rows.extend(_space_rows(panel, spaces))
    rows.sort(key=lambda row: -row.y)
    sizes = [(0.2 + 1.4 * len(row.lines)) * text for row in rows]
    heights = spread([row.y for row in rows], sizes, GRAIN * text)
    words = kept_clear(dimension_text(drop) for drop in drops)
    for row, middle in zip(rows, heights, strict=True):
        label_y = middle + 0.7 * (len(row.lines) - 2) * text
        for left, right in around((row.start, row.y), (label_x - text, row.y), words):
            if row.start < label_x - text:
                yield Line(left, right, "level", row.owner)
        yield Line((label_x - text, row.y), (label_x, label_y), "level", row.owner)
        x = label_x + 0.4 * text
        for place, (line, size) in enumerate(row.lines):
            at = (x, label_y + (0.2 - 1.4 * place) * text)
            yield Text(at, line, size, "label", row.owner)


def _hangs_to(panel: Panel) -> float:
    """How far right of the pole there is something drawn: a lift holds a wire farther out."""
    text, nearest = panel.view.text_in, panel.reach_in
    if nearest < REACH_IN:
        xs = (
            panel.xy(part.shape.p)[0] + text
            for part in panel.scene.bodies
            if isinstance(part.shape, Run) and not part.tags & _NEARBY
        )
        return max((x for x in xs if nearest < x <= REACH_IN), default=nearest)
    return nearest


def _space_rows(panel: Panel, spaces: Sequence[Space]) -> Iterator[_Row]:
    """Spaces are named from the middle of their right edge."""
    text = panel.view.text_in
    named: set[tuple[str, ...]] = set()
    for space in spaces:
        (_, low), (right, _), (_, high), _ = _upright_figure(panel, space)
        first, *fouls = label_rows(panel.scene, space)
        key = (first, *fouls, f"{low:.1f} {high:.1f}")
        if key in named:  # the same on the other side
            continue
        named.add(key)
        lines = [
            (shortened(line, LABEL_ROOM * text, size), size)
            for words, size in ((first, text), ("; ".join(fouls), 0.85 * text))
            for line in wrapped(
                shortened(words, 1.8 * LABEL_ROOM * text, size), LABEL_ROOM * text, size
            )
        ]
        yield _Row(space.owner, (low + high) / 2, right, lines)


def _label_rows(
    panel: Panel, pole: PoleSolid, level: _Level, *, narrow: bool, short: bool
) -> list[tuple[str, float]]:
    """The lines of a level's label with their text heights: name, then drop and height."""
    text, size = panel.view.text_in, 0.85 * panel.view.text_in
    job, at = panel.scene.job, marks(panel.scene.job, pole, level.up_in)
    height = exact(job, at.ground_in)
    up = f"{height} up" if narrow else f"{height} above ground"
    drops = [] if at.top_in is None else [from_top(job, at.top_in)]
    if not short:
        name = shortened(level.name, (MANY_ROOM if narrow else LABEL_ROOM) * text, text)
        return [(name, text), (", ".join((*drops, up)), size)]
    room = NARROW_ROOM * text
    names = wrapped(level.name, room, text)
    if len(names) > NARROW_ROWS:
        names = [*names[: NARROW_ROWS - 1], f"{names[NARROW_ROWS - 1]}..."]
    lines = [(shortened(name, room, text), text) for name in names]
    return lines + [(line, size) for line in (*drops, up)]


def _callout_column(panel: Panel) -> float:
    """Where the numbers of findings stand: right of the arms, and of wires that rest there."""
    text = panel.view.text_in
    column = max(CALLOUT_COLUMN_IN, ARM_REACH_IN + 1.5 * text)
    for x in sorted(
        panel.xy(part.shape.p)[0]
        for part in panel.scene.bodies
        if isinstance(part.shape, Run) and not part.tags & _NEARBY
    ):
        if abs(x - column) < 2.5 * text:
            # and left of the names, which begin where the drawing ends
            column = max(column, min(x + 2.5 * text, REACH_IN - 1.3 * text))
    return column


def _first_column(panel: Panel) -> float:
    """Where the first drop is dimensioned: its text stands clear of the numbers of findings."""
    return max(FIRST_COLUMN_IN, _callout_column(panel) + 2.5 * panel.view.text_in)


def from_top(job: Job, drop_in: float) -> str:
    """How far below the finished top something is, or above it where the top was cut off."""
    return f"{exact(job, abs(drop_in))} {'above' if drop_in < 0.0 else 'below'} top"


_ARM, _NEARBY = int(Tag.ARM), int(Tag.NEARBY)
_NO_LEVEL = int(Tag.POLE | Tag.BRACE | Tag.RUN | Tag.LIVE)


def _level_list(panel: Panel, pole: PoleSolid) -> list[_Level]:
    """Everything fixed to the pole, from the top down; what sits at one height is one level."""
    job = panel.scene.job
    levels: dict[int, _Level] = {}
    for part in panel.scene.bodies:
        item = job.item_by_id.get(part.owner)
        on_pole = part.level == pole.item or bool(part.tags & _ARM)
        if item is None or part.shape is None or part.pole != pole.item or not on_pole:
            continue
        if part.tags & _NO_LEVEL:
            continue
        xs = (panel.xy(part.shape.p)[0], panel.xy(part.shape.q)[0])
        name = job.label(part.owner)
        if part.tags & Tag.GUY:
            xs = (0.0, 0.0)
            end = "anchor" if part.tags & Tag.ANCHORED else "far end"
            lead = math.dist(pole.foot[:2], part.shape.q[:2])
            name = f"{name}, {end} {exact(job, lead)} out"
        key = round(part.up_in * 16)
        known = levels.get(key)
        if known is None:
            levels[key] = _Level(part.owner, name, part.up_in, min(xs), max(xs))
        else:
            names = known.name if name in known.name else f"{known.name}, {name}"
            left, right = min(known.left, *xs), max(known.right, *xs)
            levels[key] = _Level(known.owner, names, known.up_in, left, right)
    return sorted(levels.values(), key=lambda level: -level.up_in)


def _drops(panel: Panel, pole: PoleSolid, levels: Sequence[_Level]) -> Iterator[Dimension]:
    """How far below the finished top each level is, at the right, the shortest nearest the pole."""
    if pole.top_up_in is None:
        return
    job, text = panel.scene.job, panel.view.text_in
    size = 0.85 * text
    top = panel.xy(pole.point(pole.top_up_in))
    radius = pole.radius_in(pole.top_up_in) or NO_GIRTH_RADIUS_IN
    start = (top[0] + radius, top[1])
    columns = _columns(panel, _first_column(panel), COLUMN * text)
    for level, column in zip(levels, columns, strict=False):
        y = pole.point(level.up_in)[2]
        drop = marks(job, pole, level.up_in).top_in or 0.0
        words = exact(job, drop) if drop >= 0.0 else f"{exact(job, -drop)} above top"
        end = (level.right, y)
        yield _upright(start, end, column, words, size, level.owner)


def _heights(panel: Panel, pole: PoleSolid, levels: Sequence[_Level]) -> Iterator[Dimension]:
    """How far above ground each level is, at the left, the lowest nearest the pole."""
    job, text = panel.scene.job, panel.view.text_in
    ground = pole.foot[2]
    columns = _columns(panel, -FIRST_COLUMN_IN, -COLUMN * text)
    for level, column in zip(reversed(levels), columns, strict=False):
        y = pole.point(level.up_in)[2]
        start = (max(column, -REACH_IN), ground)
        end = (level.left, y)
        words = exact(job, marks(job, pole, level.up_in).ground_in)
        yield _upright(start, end, column, words, 0.85 * text, level.owner)


def _columns(panel: Panel, first: float, step: float) -> Iterator[float]:
    """Columns for dimensions, outwards, none with its text on a limit line."""
    text = panel.view.text_in
    edges = [edge for limit in panel.scene.job.limits if (edge := _edge(panel, limit))]
    walls = [sorted((p[0], q[0])) for p, q in edges if abs(p[0] - q[0]) < REACH_IN]
    column = first
    while True:
        while any(low - 0.5 * text < column < high + 1.5 * text for low, high in walls):
            column += step / 8
        yield column
        column += step


def _upright(p: XY, q: XY, across: float, words: str, size: float, owner: str) -> Dimension:
    """An upright dimension; its text stands above it where there is no room within."""
    span, width = abs(q[1] - p[1]), text_width(words, size)
    share = 0.5
    if 0.0 < span < width + 1.4 * size:  # with its ticks
        above = (0.8 * size + width / 2) / span
        share = -above if p[1] > q[1] else 1.0 + above
    return Dimension(p, q, across, words, size, "upright", "dimension", owner, share)


def spread(
    heights: Sequence[float], apart: float | Sequence[float], grain: float = 0.0
) -> list[float]:
    """Heights, highest first, moved as little as needed so that none is too near the next.

    `apart` is the room that each takes, half above and half below it, or one for all. What touches
    ends at a multiple of `grain`, so that one of many that moves a little does not shift them all.
    """
    sizes = [apart] * len(heights) if isinstance(apart, float | int) else list(apart)
    # what touches is a block: its top, its size, and the places it holds
    blocks: list[tuple[float, float, int]] = []
    for height, own in zip(heights, sizes, strict=True):
        top, size, many = height + own / 2, own, 1
        while blocks and blocks[-1][0] - blocks[-1][1] < top:
            upper, above, count = blocks.pop()
            # together they stand evenly about where they were to stand
            top = (upper * count + (top + above) * many) / (count + many)
            size, many = size + above, many + count
        blocks.append((top, size, many))
    moved: list[float] = []
    for edge, _, many in blocks:
        if many == 1:
            moved.append(heights[len(moved)])
            continue
        edge = round(edge / grain) * grain if grain else edge
        for _ in range(many):
            own = sizes[len(moved)]
            moved.append(edge - own / 2)
            edge -= own
    return moved


# --- findings ---


def finding_line(
    scene: Scene,
    view: View,
    pole: str,
    finding: Finding,
    around: Sequence[Primitive] = (),
    *,
    narrow: bool = False,
) -> Iterator[Primitive]:
    """A finding as a measured line, with mark, gap and need at the side; nothing without a line.

    Args:
        scene: the job at a stage.
        view: from where it is seen.
        pole: id of the pole in the middle.
        finding: the finding.
        around: what is drawn already; gap and need stand where they cover none of its texts.
        narrow: whether the need stands below the gap and not beside it.
    """
    if finding.line is None:
        return
    panel = Panel(scene, view, pole, NARROW_REACH_IN if narrow else REACH_IN)
    p, q = panel.xy(finding.line[0]), panel.xy(finding.line[1])
    text = view.text_in
    style = finding.verdict
    gap, need = gap_text(scene.job, finding), asked_text(scene.job, finding)
    words = gap if narrow else f"{gap}, {need}"
    x = panel.reach_in + text
    middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
    at = Text((x + 1.9 * text, middle[1]), words, text, style, finding.key)
    below = 1.7 * text if narrow else 0.0
    at = _beside(at, [other for other in around if isinstance(other, Text)], below)
    level = at.at[1] + 0.5 * text
    yield Line(middle, (x, level), "leader", finding.key)
    yield Dimension(p, q, 0.0, "", 0.85 * text, "slant", style, finding.key)
    yield from mark(finding.verdict, (x + 0.8 * text, level), text, finding.key)
    yield at
    if narrow:
        yield replace(at, at=(at.at[0], at.at[1] - below), text=need)


def _beside(text: Text, others: Sequence[Text], below: float) -> Text:
    """The text moved up or down as little as needed so that it covers no other.

    It needs as much room as another line `below` it, of about the same length. It goes no higher
    than they do: above are the headings.
    """
    margin = 0.4 * text.height
    boxes = [extent(other) for other in others]
    highest = max((box[1][1] for box in boxes), default=math.inf)
    for step in range(400):
        shift = (step + 1) // 2 * (1 if step % 2 else -1) * 0.25 * text.height
        moved = replace(text, at=(text.at[0], text.at[1] + shift))
        (left, low), (right, high) = extent(moved)
        left -= 2.0 * text.height  # its mark
        low -= below
        right += 2.0 * below
        if high > highest and shift > 0.0:
            continue
        if not any(
            a < right + margin and b > left - margin and c < high + margin and d > low - margin
            for (a, c), (b, d) in boxes
        ):
            return moved
    return text


def callouts(
    scene: Scene, view: View, pole: str, findings: Sequence[Finding], around: Sequence[Text] = ()
) -> Iterator[Primitive]:
    """Findings as measured lines, numbered from 1.

    The numbers stand in a column beside the pole, below any text that is in their way.
    """
    if not findings:
        return
    panel = Panel(scene, view, pole)
    text = view.text_in
    lines = [
        (number, finding, panel.xy(finding.line[0]), panel.xy(finding.line[1]))
        for number, finding in enumerate(findings, start=1)
        if finding.line is not None
    ]
    lines.sort(key=lambda line: -(line[2][1] + line[3][1]))
    middles = [(line[2][1] + line[3][1]) / 2 for line in lines]
    x = _callout_column(panel)
    heights = spread(middles, 2.4 * text)
    down = _drop(x, heights, 1.3 * text, around)
    for (number, finding, p, q), height in zip(lines, heights, strict=True):
        y = height - down
        style = finding.verdict
        middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
        yield Dimension(p, q, 0.0, "", 0.7 * text, "slant", style, finding.key)
        yield Line((x - text, y), middle, "leader", finding.key)
        yield Circle((x, y), text, style, finding.key, "paper")
        size = 0.95 * text
        yield Text((x, y - 0.48 * text), f"{number}", size, style, finding.key, "middle")


def _drop(x: float, heights: Sequence[float], radius: float, others: Sequence[Text]) -> float:
    """How far down rings in a column must go so that none lies over a text."""
    boxes = [extent(other) for other in others]
    above = [
        (low, high)
        for (left, low), (right, high) in boxes
        if left <= x + radius and x - radius <= right
    ]
    drop, still = 0.0, False
    while not still:
        still = True
        for low, high in above:
            for height in heights:
                over = height - drop + radius - low
                if over > 1e-6 and height - drop - radius < high:
                    drop, still = height + radius - low, False
    return drop
