"""One pole seen from above at a chosen height: arms, wires, guys, equipment and what is near."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.explain import asked_text, gap_text
from framer.checks.finding import Finding, Verdict
from framer.checks.shown import Foul, SpaceShown
from framer.drawing.cover import sleeves
from framer.drawing.crop import piece
from framer.drawing.elevation import (
    NO_GIRTH_RADIUS_IN,
    edges_of,
    outline_of_round,
    spread,
    style_of,
)
from framer.drawing.fitting import MARGIN, best_spot, box_of, meet, within
from framer.drawing.kept import Kept
from framer.drawing.lettering import shortened, text_width, wrapped
from framer.drawing.lifted import lifts
from framer.drawing.marks import mark, north_mark, scale_bar, scale_bar_in
from framer.drawing.picture import (
    XY,
    Anchor,
    Circle,
    Dimension,
    Line,
    Path,
    Picture,
    Primitive,
    Text,
    extent,
)
from framer.drawing.rigging import Told, boom_from_above, lifts_from_above, step_of
from framer.drawing.spaces import Space, body_in_plan, draw, label_rows, spaces_to_draw
from framer.drawing.style import StyleName
from framer.geometry.limit import limit_normal
from framer.geometry.pole import PoleSolid, pole_solid
from framer.geometry.scene import Box, Part, Run, Scene, Shape, Tag, Tube
from framer.geometry.space import Point, azimuth_of, azimuth_of_point, compass, dot, toward, turned
from framer.geometry.written import exact
from framer.model.item import Item
from framer.model.place import Standing
from framer.model.step import Step
from framer.transfer.near import worker_part
from framer.units.length import length_text

PLAN_REACH_IN = 96.0
"""A plan reaches this far from the pole to each side."""

GUY_SHARE = 0.9
"""A guy is broken off at this share of the reach."""

UP_IN, DOWN_IN = 24.0, 60.0
"""What begins within `UP_IN` above the height of a plan is of its level; what ends more than
`DOWN_IN` below it is drawn thin and has no name."""

LEVEL_SHARE = 0.95
"""A finding is drawn in plan where at least this share of its length lies level."""

LABEL_ROOM = 20.0
"""A label is broken into lines of this length, text heights."""

ROWS_BELOW, ROW_BELOW, SIZE_BELOW = 4, 1.45, 0.85
"""A plan without names has at most so many lines below it, so far apart and so high."""

NORTH_SIZE = 1.4
"""How far the ring of a plan's north mark is from its middle, text heights."""

ROW = 1.7
"""Rows of labels are this far apart, text heights."""

_POLE_BORNE = int(Tag.CASE | Tag.RUN)
_NEARBY, _POLE, _GUY = int(Tag.NEARBY), int(Tag.POLE), int(Tag.GUY)


class _Label(Struct, frozen=True):
    """What is to be written in a column beside the plan, with a line to what it names.

    `radius` is that of the round thing named, whose edge the line ends at.
    """

    anchor: XY
    text: str
    style: StyleName
    owner: str
    verdict: Verdict | None = None
    radius: float = 0.0


class PlanPanel:
    """Projection from above: the pole's foot is 0, 0 and what lies towards `look_deg` is up."""

    def __init__(
        self, scene: Scene, pole: str, at_in: float, text_in: float, look_deg: float
    ) -> None:
        self.scene, self.text, self.look_deg = scene, text_in, look_deg
        self.pole = scene.poles.get(pole)
        foot = self.pole.foot if self.pole else (0.0, 0.0, 0.0)
        self.cut = foot[2] + at_in
        self.right, self.ahead = toward(turned(look_deg, 90.0)), toward(look_deg)
        self.origin = (dot(foot, self.right), dot(foot, self.ahead))

    def xy(self, point: Point) -> XY:
        """Where a point is in the drawing."""
        return (dot(point, self.right) - self.origin[0], dot(point, self.ahead) - self.origin[1])

    @property
    def square(self) -> tuple[float, float, float, float]:
        """What is drawn: left, low, right, high."""
        return (-PLAN_REACH_IN, -PLAN_REACH_IN, PLAN_REACH_IN, PLAN_REACH_IN)

    def shows(self, part: Part) -> bool:
        """Whether a part begins low enough to be seen."""
        return part.shape is not None and _heights(part.shape)[0] <= self.cut + UP_IN

    def is_low(self, part: Part) -> bool:
        """Whether a part ends so far below the height that it is only drawn thin."""
        return part.shape is not None and _heights(part.shape)[1] < self.cut - DOWN_IN


def plan_height(scene: Scene, pole: str) -> float:
    """The height above its ground line at which a pole is seen first: that of its topmost arm.

    That of a lift where one holds its wire higher; without either that of the topmost thing on it;
    0 for a bare pole or none.
    """
    ups = [
        (bool(part.tags & Tag.ARM), part.up_in)
        for part in scene.bodies
        if part.pole == pole and part.shape is not None and not part.tags & Tag.POLE
    ]
    solid = scene.poles.get(pole)
    if solid is not None:
        ups.extend((True, rest[2] - solid.foot[2]) for _, rest in lifts(scene))
    return max(ups)[1] if ups else 0.0


def plan_view(
    scene: Scene,
    *,
    pole: str,
    at_in: float,
    text_in: float,
    look_deg: float = 0.0,
    findings: Sequence[Finding] = (),
    spaces: Sequence[SpaceShown] | None = None,
    hidden: Collection[str] = frozenset(),
    names: bool = True,
    north: bool = True,
    kept: Kept | None = None,
    moving: bool = False,
) -> Picture:
    """The plan of one pole from above.

    Args:
        scene: the job at a stage.
        pole: id of the pole in the middle.
        at_in: height of the plan above the pole's ground line; what is far below is drawn thin,
            what is above is left out, but for neighbouring wires, which are always drawn.
        text_in: text height in real inches.
        look_deg: direction that is up on paper; north.
        findings: those that lie level are drawn as measured lines with gap and need.
        spaces: room to climb and to work that the books ask for, outlined where it is at this
            height, and with it the room that equipment needs; `None` for no spaces.
        hidden: kinds of spaces that are left out: "climbing", "working", "equipment".
        names: whether names stand beside it; without, they are read in an elevation, and gap and
            need of findings stand below.
        north: whether a north mark stands in the corner of a plan without names.
        kept: what was drawn of this pole before without names, for parts that have not changed.
        moving: whether a thing is moved by hand; the north mark stays in its corner then.
    """
    panel = PlanPanel(scene, pole, at_in, text_in, look_deg)
    if kept is not None:
        kept.begin((panel.pole and panel.pole.foot, pole, text_in, look_deg))
    drawn = list(_limits(panel))
    labels = list(_limit_labels(panel))
    unnamed = partial(_part, panel, [])
    for item in scene.job.items:
        if item.kind == "pole" and item.id not in scene.poles:
            drawn.extend(_pole_elsewhere(panel, item, labels))
    for part in sorted(scene.bodies, key=_lowest):
        if part.shape is None:
            continue
        if part.tags & _NEARBY and isinstance(part.shape, Run):
            drawn.extend(_nearby(panel, part, part.shape, labels))
        elif part.tags & _POLE:
            drawn.extend(_section(panel, part, labels))
        elif panel.shows(part) and (names or kept is None or part.tags & _GUY):
            drawn.extend(_part(panel, labels, part))
        elif kept is not None and panel.shows(part):
            low = panel.is_low(part)
            drawn.extend(kept.of(part, unnamed, low))
    drawn.extend(_cover(panel))
    rigging, told_of = _rigging(panel)
    drawn.extend(rigging)
    measured = list(_findings(panel, findings, labels))
    here = [
        space
        for space in spaces_to_draw(scene, pole, spaces, findings, hidden)
        if space.low <= panel.cut + UP_IN and space.high >= panel.cut - DOWN_IN
    ]
    figures = [tuple(panel.xy((x, y, 0.0)) for x, y in space.outline) for space in here]
    outlines = partial(draw, scene, here, figures, partial(_body, panel), text_in)
    if not names:
        drawn.extend(_arrows(panel, told_of, drawn))
        corner = list(_north(panel, drawn, kept, moving=moving)) if north else []
        there = [one for one in (*drawn, *corner) if isinstance(one, Text)]
        # of a step nothing is dragged: letters may stand where its lines leave room
        words = list(_letters(panel, drawn if step_of(scene) else (), there))
        drawn.extend(_street(panel, [*drawn, *words]))
        drawn.extend(_names_inside(panel, [*drawn, *words]))
        told = [label for label in labels if label.verdict]
        told.extend(_Label(one.at, one.words, "label", one.owner) for one in told_of if one.below)
        told.extend(_space_labels(panel, here, figures))
        more = (*outlines(words), *measured, *words, *_below(panel, told), *corner)
        return Picture((*drawn, *more))
    leaving = _leaving(panel)
    labels.extend(_at_sides(leaving))
    labels.extend(_Label(_at_edge(one.at), one.words, "label", one.owner) for one in told_of)
    labels.extend(_space_labels(panel, here, figures))
    column = list(_column(panel, labels))
    words = [one for one in column if isinstance(one, Text)]
    words.extend(_letters(panel, [*drawn, *column]))
    words.extend(_at_ends(panel, leaving, words))
    lines = [one for one in column if not isinstance(one, Text)]
    street = list(_street(panel, [*drawn, *lines, *words]))
    street.extend(_arrows(panel, told_of, [*drawn, *lines, *words, *street]))
    street.extend(_names_inside(panel, [*drawn, *lines, *words, *street]))
    picture = Picture((*drawn, *street, *outlines(words), *measured, *lines, *words))
    return picture.with_more(_corner(panel, picture.bounds()[1]))


def _lowest(part: Part) -> float:
    return _heights(part.shape)[1] if part.shape is not None else 0.0


def _heights(shape: Shape) -> tuple[float, float]:
    """From and to which height a shape reaches; a wire is as high as its support."""
    if isinstance(shape, Box):
        return shape.centre[2] - shape.half[2], shape.centre[2] + shape.half[2]
    if isinstance(shape, Run):
        return shape.p[2], shape.p[2]
    low, high = shape.p[2], shape.q[2]
    return (low, high) if low <= high else (high, low)


# --- parts ---


def _part(panel: PlanPanel, labels: list[_Label], part: Part) -> Iterator[Primitive]:
    """A part, cut off where the plan ends: what hangs at a pole beside may reach farther."""
    for one in _whole_part(panel, labels, part):
        yield from piece(one, panel.square)


def _whole_part(panel: PlanPanel, labels: list[_Label], part: Part) -> Iterator[Primitive]:
    shape = part.shape
    if shape is None:
        return
    low = panel.is_low(part)
    style: StyleName = "below" if low else style_of(part)
    name = panel.scene.job.label(part.owner)
    if isinstance(shape, Run):
        yield from _wire(panel, part, shape, style)
    elif part.tags & Tag.GUY and isinstance(shape, Tube):
        yield from _guy(panel, part, shape, labels)
    elif isinstance(shape, Box):
        corners = _box(panel, shape)
        yield Path(corners, style, part.owner, "none" if low else "paper")
        if part.tags & Tag.ARM and not low and part.key == part.owner:
            face = compass(azimuth_of(shape.v), words=True)
            end = max((panel.xy(shape.p), panel.xy(shape.q)), key=lambda at: (abs(at[0]), at[0]))
            labels.append(_Label(end, f"{name}, faces {face}", "label", part.owner))
    elif part.tags & Tag.LIVE:
        yield Circle(panel.xy(shape.p), 0.9, style, part.owner, fill="none" if low else "solid")
    elif part.tags & (Tag.BRACE | Tag.JUMPER):
        yield Line(panel.xy(shape.p), panel.xy(shape.q), style, part.owner)
    else:
        yield _round(panel, part, shape, style)
    if part.tags & _POLE_BORNE and not low and part.key == part.owner:
        middle = shape.centre if isinstance(shape, Box) else shape.p
        labels.append(_Label(panel.xy(middle), name, "label", part.owner))


def _round(panel: PlanPanel, part: Part, tube: Tube, style: StyleName) -> Primitive:
    """A round body: a circle where it stands up, its outline where it lies."""
    p, q = panel.xy(tube.p), panel.xy(tube.q)
    radius = max(tube.r_p, tube.r_q)
    if math.dist(p, q) < 0.5:
        return Circle(
            p, max(radius, 1.0), style, part.owner, "none" if style == "below" else "paper"
        )
    corners = outline_of_round(p, q, max(tube.r_p, 0.5), max(tube.r_q, 0.5))
    return Path(corners, style, part.owner, "none" if style == "below" else "paper")


def _box(panel: PlanPanel, box: Box) -> tuple[XY, ...]:
    """A box from above, its level axes as they lie."""
    (x, y), sides = panel.xy(box.centre), []
    for axis, half in ((box.u, box.half[0]), (box.v, box.half[1])):
        sides.append((dot(axis, panel.right) * half, dot(axis, panel.ahead) * half))
    (a, b), (c, d) = sides
    return ((x - a - c, y - b - d), (x + a - c, y + b - d), (x + a + c, y + b + d),
            (x - a + c, y - b + d))  # fmt: skip


def _section(panel: PlanPanel, part: Part, labels: list[_Label]) -> Iterator[Primitive]:
    solid = panel.scene.poles[part.owner]
    yield from _pole_circle(panel, solid, "pole")
    at = _up(panel, solid)
    diameter = solid.diameter_in(at)
    thick = f", {exact(panel.scene.job, diameter)} thick here" if diameter else ", girth not known"
    labels.append(_pole_label(panel, solid, panel.scene.job.label(part.owner) + thick))


def _up(panel: PlanPanel, solid: PoleSolid) -> float:
    """How far along a pole the plan cuts it; its top where it ends below."""
    up = (panel.cut - solid.foot[2]) / solid.rise
    return up if solid.top_up_in is None else min(up, solid.top_up_in)


def _pole_circle(panel: PlanPanel, solid: PoleSolid, style: StyleName) -> Iterator[Primitive]:
    up = _up(panel, solid)
    centre = panel.xy(solid.point(up))
    radius = solid.radius_in(up) or NO_GIRTH_RADIUS_IN
    yield Circle(centre, radius, style, solid.item, "none" if style == "below" else "paper")
    yield Line((centre[0] - 1.5, centre[1]), (centre[0] + 1.5, centre[1]), style, solid.item)
    yield Line((centre[0], centre[1] - 1.5), (centre[0], centre[1] + 1.5), style, solid.item)


def _pole_label(panel: PlanPanel, solid: PoleSolid, words: str) -> _Label:
    up = _up(panel, solid)
    radius = solid.radius_in(up) or NO_GIRTH_RADIUS_IN
    return _Label(panel.xy(solid.point(up)), words, "label", solid.item, radius=radius)


def _pole_elsewhere(panel: PlanPanel, item: Item, labels: list[_Label]) -> Iterator[Primitive]:
    """Where a pole stands that is not there at this stage: the hole found, or the one to come."""
    places = [place for place in item.places if isinstance(place, Standing)]
    if not places:
        return
    was = places[0].when == "found"
    solid = pole_solid(panel.scene.job, item, places[0] if was else places[-1])
    middle = panel.xy(solid.foot)
    if max(abs(middle[0]), abs(middle[1])) > PLAN_REACH_IN - 12.0:
        return
    yield from _pole_circle(panel, solid, "below")
    words = f"{panel.scene.job.label(item.id)}, {'as found' if was else 'as framed'}"
    labels.append(_pole_label(panel, solid, words))


def _wire(panel: PlanPanel, part: Part, run: Run, style: StyleName) -> Iterator[Primitive]:
    p = panel.xy(run.p)
    inside = within(p, panel.xy(run.q), panel.square)
    if inside is None:
        return
    yield Line(*inside, style, part.owner)
    yield Circle(
        p, max(1.2, run.r), style, part.owner, fill="solid" if style != "below" else "none"
    )


def _guy(panel: PlanPanel, part: Part, tube: Tube, labels: list[_Label]) -> Iterator[Primitive]:
    """A guy below the height of the plan, broken off with a break mark where it leaves it."""
    rise = tube.p[2] - tube.q[2]
    share = max(0.0, min(1.0, (tube.p[2] - panel.cut - UP_IN) / rise)) if rise > 0.0 else 0.0
    start = tuple(a + (b - a) * share for a, b in zip(tube.p, tube.q, strict=True))
    room = GUY_SHARE * PLAN_REACH_IN
    p, q = panel.xy((start[0], start[1], start[2])), panel.xy(tube.q)
    inside = within(p, q, (-room, -room, room, room))
    if inside is None:
        return
    p, end = inside
    yield Line(p, end, "guy", part.owner)
    if part.key != part.owner:
        return  # below the strut of a sidewalk guy
    text, length = panel.text, math.dist(p, q)
    if math.dist(end, q) > 1e-6:
        along = ((q[0] - p[0]) / length, (q[1] - p[1]) / length)
        for shift in (-0.3, 0.3):
            at = (end[0] + shift * text * along[0], end[1] + shift * text * along[1])
            a = (0.5 * text * (0.5 * along[0] - along[1]), 0.5 * text * (0.5 * along[1] + along[0]))
            yield Line((at[0] - a[0], at[1] - a[1]), (at[0] + a[0], at[1] + a[1]), "guy")
    solid = panel.scene.poles.get(part.pole or "")
    lead = math.dist(solid.foot[:2], tube.q[:2]) if solid else length
    end_words = "anchor" if part.tags & Tag.ANCHORED else "far end"
    way = compass(azimuth_of((tube.q[0] - tube.p[0], tube.q[1] - tube.p[1], 0.0)), words=True)
    name = panel.scene.job.label(part.owner)
    words = f"{name}, {end_words} {exact(panel.scene.job, lead)} {way}"
    labels.append(_Label(end, words, "label", part.owner))


def _nearby(panel: PlanPanel, part: Part, run: Run, labels: list[_Label]) -> Iterator[Primitive]:
    """A wire of another line, with its name and height, at any height."""
    inside = within(panel.xy(run.p), panel.xy(run.q), panel.square)
    if inside is None:
        return
    yield Line(*inside, "nearby", part.owner)
    foot = panel.pole.foot[2] if panel.pole else 0.0
    words = f", {exact(panel.scene.job, run.p[2] - foot)} up"
    end = max(inside, key=lambda at: (round(abs(at[0]), 3), at[0]))
    name = shortened(panel.scene.job.label(part.owner), 2 * LABEL_ROOM * panel.text, panel.text)
    labels.append(_Label(end, name + words, "label", part.owner))


def _limits(panel: PlanPanel) -> Iterator[Primitive]:
    for key, (p, q) in _upright_limits(panel):
        yield Line(p, q, "limit", key)


def _limit_labels(panel: PlanPanel) -> Iterator[_Label]:
    for key, ends in _upright_limits(panel):
        end = max(ends, key=lambda at: (round(abs(at[0]), 3), -at[1]))
        yield _Label(end, panel.scene.job.label(key), "label", key)


def _upright_limits(panel: PlanPanel) -> Iterator[tuple[str, tuple[XY, XY]]]:
    """Walls and property lines, where they cut the height of the plan."""
    for limit in panel.scene.job.limits:
        east, north, up = limit_normal(limit)
        level = math.hypot(east, north)
        if level < 0.5:
            continue
        shift = (limit.height_in - panel.cut) * up / level
        point = (
            limit.east_in + shift * east / level,
            limit.north_in + shift * north / level,
            panel.cut,
        )
        x, y = panel.xy(point)
        along = (dot((-north, east, 0.0), panel.right), dot((-north, east, 0.0), panel.ahead))
        far = 10.0 * PLAN_REACH_IN / level
        p, q = ((x + way * far * along[0], y + way * far * along[1]) for way in (-1.0, 1.0))
        inside = within(p, q, panel.square)
        if inside is not None:
            yield limit.id, inside


def _body(panel: PlanPanel, part: Part, _foul: Foul) -> tuple[XY, ...]:
    return body_in_plan(panel.xy, part)


# --- words ---


def _space_labels(
    panel: PlanPanel, spaces: Sequence[Space], figures: Sequence[Sequence[XY]]
) -> Iterator[_Label]:
    """Spaces are named from the middle of their side that lies farthest out."""
    named: set[str] = set()
    for space, figure in zip(spaces, figures, strict=True):
        words = "\n".join(label_rows(panel.scene, space))
        if words in named:  # of another level, the same but for the pole's lean
            continue
        named.add(words)
        middles = [
            ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
            for p, q in zip(figure, (*figure[1:], figure[0]), strict=True)
        ]
        anchor = max(middles, key=lambda at: (round(abs(at[0]), 3), -at[1]))
        yield _Label(anchor, words, "label", space.owner)


def _letters(
    panel: PlanPanel, drawn: Sequence[Primitive], others: Sequence[Text] = ()
) -> Iterator[Text]:
    """Phase letters at the supports, off other texts, arm and wires where there is room."""
    text = panel.text
    at: dict[tuple[int, int], dict[str, tuple[XY, Part]]] = {}
    for part in panel.scene.bodies:
        if not isinstance(part.shape, Run) or len(part.phase or "") != 1:
            continue
        if part.tags & Tag.NEARBY or not panel.shows(part) or panel.is_low(part):
            continue
        spot = panel.xy(part.shape.p)
        if max(abs(spot[0]), abs(spot[1])) > PLAN_REACH_IN:
            continue
        key = (round(spot[0] / text), round(spot[1] / text))
        at.setdefault(key, {}).setdefault(part.phase or "", (spot, part))
    lines = list(edges_of(drawn))
    texts = list(others)
    for letters in at.values():
        word = " ".join(sorted(letters))
        (x, y), part = next(iter(letters.values()))
        wide = text_width(word, text)
        near = [
            (x + dx * (0.9 * text + wide / 2), y + dy * 1.3 * text - 0.5 * text)
            for dx, dy in ((1, 1), (-1, 1), (1, -1), (-1, -1), (1, 2), (-1, 2), (1, -2), (-1, -2))
        ]
        # over the plan stands its heading
        near = [spot for spot in near if spot[1] + text <= PLAN_REACH_IN] or near
        plain = Text(near[0], word, text, "label", part.owner, "middle")
        texts.append(best_spot(plain, near, texts, lines))
        yield texts[-1]


def _findings(
    panel: PlanPanel, findings: Sequence[Finding], labels: list[_Label]
) -> Iterator[Primitive]:
    """Findings that lie level and at the height of the plan, as measured lines."""
    job = panel.scene.job
    for finding in findings:
        if finding.line is None:
            continue
        a, b = finding.line
        p, q = panel.xy(a), panel.xy(b)
        heights = (a[2], b[2])
        near = panel.cut - DOWN_IN <= min(heights) and max(heights) <= panel.cut + UP_IN
        if not near or math.dist(p, q) < LEVEL_SHARE * math.dist(a, b):
            continue
        inside = within(p, q, panel.square)
        if inside is None or inside != (p, q):
            continue
        yield Dimension(p, q, 0.0, "", 0.7 * panel.text, "slant", finding.verdict, finding.key)
        words = f"{gap_text(job, finding)}, {asked_text(job, finding)}"
        middle = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
        labels.append(_Label(middle, words, finding.verdict, finding.key, finding.verdict))


def _column(panel: PlanPanel, labels: Sequence[_Label]) -> Iterator[Primitive]:
    """Labels in a column at either side, each tied to what it names."""
    sides: dict[bool, list[_Label]] = {True: [], False: []}
    for label in sorted(labels, key=lambda one: -abs(one.anchor[0])):
        at_left = label.anchor[0] < 0.0
        # one in the middle goes where there are fewer
        if abs(label.anchor[0]) < 0.12 * PLAN_REACH_IN:
            at_left = len(sides[True]) < len(sides[False])
        sides[at_left].append(label)
    for at_left, there in sides.items():
        there.sort(key=lambda label: -label.anchor[1])
        yield from _side(panel, there, at_left=at_left)


def _side(panel: PlanPanel, labels: Sequence[_Label], *, at_left: bool) -> Iterator[Primitive]:
    text, way = panel.text, -1.0 if at_left else 1.0
    anchor: Anchor = "right" if at_left else "left"
    x = way * (PLAN_REACH_IN + 2.5 * text)
    rows = [
        (label if first else None, line, label)
        for label in labels
        for first, line in _rows(label.text, text)
    ]
    heights = spread([label.anchor[1] for _, _, label in rows], ROW * text)
    for (begun, line, label), y in zip(rows, heights, strict=True):
        start = x + way * (2.0 if label.verdict else 0.4) * text
        if begun is not None:
            away = label.radius / max(math.dist(label.anchor, (x, y)), 1e-9)
            near = (
                label.anchor[0] + (x - label.anchor[0]) * away,
                label.anchor[1] + (y - label.anchor[1]) * away,
            )
            yield Line(near, (x, y), "leader", label.owner)
            if label.verdict:
                yield from mark(label.verdict, (x + way * 0.9 * text, y), text, label.owner)
        yield Text((start, y - 0.5 * text), line, text, label.style, label.owner, anchor)


def _rows(words: str, text: float) -> Iterator[tuple[bool, str]]:
    """The rows of a label, and whether each is the first."""
    room, first = LABEL_ROOM * text, True
    for part in words.split("\n"):
        for line in wrapped(shortened(part, 2.5 * room, text), room, text):
            yield first, shortened(line, room, text)
            first = False


class _Leaving(Struct, frozen=True):
    """The wires of one span at the height of the plan: where they leave it, and their names."""

    span: str
    at: XY
    lines: tuple[str, ...]


def _leaving(panel: PlanPanel) -> list[_Leaving]:
    job = panel.scene.job
    ends: dict[str, list[XY]] = {}
    names: dict[str, dict[str, list[str]]] = {}
    for part in panel.scene.bodies:
        wire = job.wire_by_id.get(part.owner)
        if wire is None or not isinstance(part.shape, Run):
            continue
        if not panel.shows(part) or panel.is_low(part):
            continue
        inside = within(panel.xy(part.shape.p), panel.xy(part.shape.q), panel.square)
        if inside is None:
            continue
        ends.setdefault(wire.span, []).append(inside[1])
        of = names.setdefault(wire.span, {}).setdefault(job.label(wire.circuit), [])
        if len(wire.phase) == 1 and wire.phase not in of:
            of.append(wire.phase)
    found = []
    for key, there in ends.items():
        span = job.span_by_id[key]
        length = length_text(span.length_in, step_in=1.0, system=job.settings.units)
        over = f", {span.over}" if span.over in ("along road", "driveway") else ""
        over = f", over {span.over}" if span.over in ("road", "railroad", "water") else over
        circuits = "; ".join(
            " ".join((circuit, *sorted(phases))) for circuit, phases in names[key].items()
        )
        middle = (
            sum(x for x, _ in there) / len(there),
            sum(y for _, y in there) / len(there),
        )
        if abs(middle[0]) >= abs(middle[1]):  # its name is tied to a wire
            middle = min(there, key=lambda end: abs(end[1] - middle[1]))
        found.append(_Leaving(key, middle, (f"to {span.toward}, {length}{over}", circuits)))
    return found


def _is_at_side(leaving: _Leaving) -> bool:
    x, y = leaving.at
    return abs(x) >= abs(y)


def _at_sides(all_leaving: Sequence[_Leaving]) -> Iterator[_Label]:
    """Names of spans that leave at a side go into the columns."""
    for leaving in all_leaving:
        if _is_at_side(leaving):
            yield _Label(leaving.at, "\n".join(leaving.lines), "label", leaving.span)


def _at_ends(
    panel: PlanPanel, all_leaving: Sequence[_Leaving], others: Sequence[Text]
) -> Iterator[Text]:
    """Names of spans that leave at the upper or lower end, outside it, off all other texts."""
    text, there = panel.text, list(others)
    for leaving in all_leaving:
        if _is_at_side(leaving):
            continue
        (x, y), above = leaving.at, leaving.at[1] > 0.0
        shown = [shortened(line, 2 * PLAN_REACH_IN, text) for line in leaving.lines]
        first = y + (0.6 + 1.5 * (len(shown) - 1)) * text if above else y - 1.6 * text
        block = [
            Text((x, first - 1.5 * text * row), line, text, "label", leaving.span, "middle")
            for row, line in enumerate(shown)
        ]
        step = 0.25 * text if above else -0.25 * text
        taken = [box_of(other) for other in there]
        while any(meet(box_of(one, MARGIN * text), other) for one in block for other in taken):
            block = [replace(one, at=(one.at[0], one.at[1] + step)) for one in block]
        there.extend(block)
        yield from block


def bare_box(text_in: float) -> tuple[float, float, float, float]:
    """What a plan without names covers: left, low, right, high."""
    low = -PLAN_REACH_IN - (1.0 + ROW_BELOW * ROWS_BELOW) * text_in
    return (-PLAN_REACH_IN, low, PLAN_REACH_IN, PLAN_REACH_IN)


def _below(panel: PlanPanel, labels: Sequence[_Label]) -> Iterator[Primitive]:
    """Gap and need of findings and names of spaces, line by line below what is drawn."""
    text, room = panel.text, 2.0 * PLAN_REACH_IN
    size = SIZE_BELOW * text
    rows = [
        (line, label, row == 0)
        for label in labels
        for row, line in enumerate(
            line for words in label.text.split("\n") for line in wrapped(words, room, size)
        )
    ]
    if len(rows) > ROWS_BELOW:
        line, label, first = rows[ROWS_BELOW - 1]
        rows[ROWS_BELOW - 1 :] = [(f"{line} ...", label, first)]
    y = -PLAN_REACH_IN - ROW_BELOW * text
    for line, label, first in rows:
        shown = shortened(line, room, size)
        yield Text((0.0, y), shown, size, label.style, label.owner, "middle")
        if first and label.verdict:
            half = text_width(shown, size) / 2
            yield from mark(label.verdict, (-half - text, y + 0.5 * size), text, label.owner)
        y -= ROW_BELOW * text


def _north(
    panel: PlanPanel, drawn: Sequence[Primitive], kept: Kept | None, *, moving: bool
) -> Iterator[Primitive]:
    """A north mark in the corner with least in it; lines that it stands on end at its edge."""
    text, off = panel.text, PLAN_REACH_IN - 2.9 * panel.text
    known = kept.corner if kept is not None else None
    corner = known if known and moving else _clearest(panel, drawn, off, known)
    if kept is not None:
        kept.corner = corner
    yield Circle(corner, NORTH_SIZE * text, "title", fill="paper")
    yield from north_mark(corner, NORTH_SIZE * text, panel.look_deg)


def _clearest(panel: PlanPanel, drawn: Sequence[Primitive], off: float, known: XY | None) -> XY:
    """The corner with least in it; of two alike the `known` one, else the first from the right."""
    corners = [(off, off), (off, -off), (-off, -off), (-off, off)]
    boxes = (extent(one) for one in drawn if isinstance(one, Text))
    lines = [*edges_of(drawn), *(Line(box[0], box[1], "label") for box in boxes)]

    def crossed(at: XY) -> tuple[int, bool]:
        x, y, room = *at, 2.7 * panel.text
        box = (x - room, y - room, x + room, y + room)
        return sum(within(one.p, one.q, box) is not None for one in lines), at != known

    return min(corners, key=crossed)


def _corner(panel: PlanPanel, low: float) -> Iterator[Primitive]:
    """A north mark and a scale bar below all else."""
    text = panel.text
    metric = panel.scene.job.settings.units == "metric"
    at = (-PLAN_REACH_IN + 2.6 * text, low - 4.6 * text)
    half = scale_bar_in(12.0 * text, metric=metric) / 2
    middle = max(0.0, at[0] + 4.0 * text + half)
    yield from scale_bar((middle, low - 4.7 * text), 12.0 * text, text, metric=metric)
    yield from north_mark(at, 1.8 * text, panel.look_deg)


def _street(panel: PlanPanel, drawn: Sequence[Primitive]) -> Iterator[Primitive]:
    """The word for the street, with an arrow toward it, near the edge on its side."""
    side = panel.scene.job.settings.street_side
    if side:
        way = toward(azimuth_of_point(side))
        yield from _arrow(panel, (dot(way, panel.right), dot(way, panel.ahead)), "STREET", drawn)


def _arrows(
    panel: PlanPanel, told: Sequence[Told], drawn: Sequence[Primitive]
) -> Iterator[Primitive]:
    """Arrows to what lies outside the plan."""
    others = list(drawn)
    for one in told:
        if one.arrow:
            others.extend(_arrow(panel, one.at, one.arrow, others))
    yield from others[len(drawn) :]


def _arrow(
    panel: PlanPanel, toward_xy: XY, word: str, drawn: Sequence[Primitive]
) -> Iterator[Primitive]:
    """An arrow near the edge, from the middle toward a point, with a word off other texts."""
    long = math.hypot(*toward_xy)
    x, y = toward_xy[0] / long, toward_xy[1] / long
    text, far = panel.text, 0.97 * PLAN_REACH_IN / max(abs(x), abs(y))
    tip, tail = (x * far, y * far), (x * (far - 3.0 * text), y * (far - 3.0 * text))
    arrow = [Line(tail, tip, "label")]
    for turn in (-0.6, 0.6):
        barb = (-x + turn * y, -y - turn * x)
        end = (tip[0] + 0.9 * text * barb[0], tip[1] + 0.9 * text * barb[1])
        arrow.append(Line(tip, end, "label"))
    yield from arrow
    wide = text_width(word, text)
    # behind the tail by half of the word in the arrow's direction
    back = (0.6 + 0.5 * abs(y)) * text + abs(x) * wide / 2
    spots = [
        (tail[0] - x * back + dx * wide, tail[1] - y * back - 0.5 * text + dy * text)
        for dx, dy in ((0, 0), (0, 1.6), (0, -1.6), (0.8, 0), (-0.8, 0), (0, 3.2), (0, -3.2))
    ]
    words = [one for one in drawn if isinstance(one, Text)]
    plain = Text(spots[0], word, text, "label", "", "middle")
    yield best_spot(plain, spots, words, [*arrow, *edges_of(drawn)])


def _at_edge(at: XY) -> XY:
    """A point, or where the way to it leaves the plan."""
    off = max(abs(at[0]), abs(at[1])) / PLAN_REACH_IN
    return at if off <= 1.0 else (at[0] / off, at[1] / off)


# --- what a step has round the pole ---


def _cover(panel: PlanPanel) -> Iterator[Primitive]:
    """Cover-up over the wires and jumpers of the height of the plan."""

    def shows(part: Part) -> bool:
        return bool(part.tags & _NEARBY) or (panel.shows(part) and not panel.is_low(part))

    yield from sleeves(panel.scene, panel.xy, panel.square, shows=shows)


def _rigging(panel: PlanPanel) -> tuple[list[Primitive], list[Told]]:
    """The lifts that are up, and of the step the boom and the workers."""
    scene, step = panel.scene, step_of(panel.scene)
    foot = panel.pole.foot if panel.pole else (0.0, 0.0, 0.0)
    heights = (panel.cut - DOWN_IN, panel.cut + UP_IN)
    drawn, told = lifts_from_above(scene, foot, panel.xy, panel.square, heights)
    if step is None:
        return drawn, told
    for name, box in _workers(panel, step):
        drawn.extend(piece(Path(_box(panel, box), "space", name), panel.square))
    if step.boom is not None:
        more, boom = boom_from_above(scene, step.boom, foot, panel.xy, panel.square)
        drawn.extend(more)
        told.append(boom)
    return drawn, told


def _workers(panel: PlanPanel, step: Step) -> Iterator[tuple[str, Box]]:
    for worker in step.workers:
        part = worker_part(panel.scene, step, worker)
        if isinstance(part.shape, Box):
            yield part.owner, part.shape


_FROM_MIDDLE = (0, 1, -1, 2, -2, 3, -3, 4, -4, 6, -6, 8, -8, 10, -10)
"""Rows and columns that a name is tried in, the nearest to the middle of its room first."""


def _names_inside(panel: PlanPanel, drawn: Sequence[Primitive]) -> Iterator[Text]:
    """The names of the workers in their rooms, off texts, and off lines where there is room."""
    step, text = step_of(panel.scene), panel.text
    others, lines = [one for one in drawn if isinstance(one, Text)], list(edges_of(drawn))
    for name, box in _workers(panel, step) if step is not None else ():
        x, y = panel.xy(box.centre)
        if max(abs(x), abs(y)) > PLAN_REACH_IN:
            continue
        words = shortened(name, 8.0 * text, text)
        spots = [
            (x + 0.75 * across * text, y + (0.75 * row - 0.5) * text)
            for row in _FROM_MIDDLE
            for across in _FROM_MIDDLE
            if (max(abs(row), abs(across)) <= 3 or not across)
            and abs(y + 0.75 * row * text) < PLAN_REACH_IN - text
        ]
        plain = Text((x, y - 0.5 * text), words, text, "label", name, "middle")
        others.append(best_spot(plain, spots, others, lines))
        yield others[-1]
