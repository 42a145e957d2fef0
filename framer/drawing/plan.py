"""One pole seen from above at a chosen height: arms, wires, guys, equipment and what is near."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from functools import partial

from framer.checks.explain import asked_text, gap_text
from framer.checks.finding import Finding
from framer.checks.shown import Foul, SpaceShown
from framer.drawing.fitting import within
from framer.drawing.kept import Kept
from framer.drawing.lifted import lifts
from framer.drawing.picture import XY, Dimension, Picture, Primitive, Text
from framer.drawing.plan_bodies import (
    limit_labels,
    limits_from_above,
    nearby_from_above,
    part_from_above,
    pole_elsewhere,
    pole_section,
)
from framer.drawing.plan_labels import (
    at_ends,
    at_sides,
    in_column,
    in_rows_below,
    letters_from_above,
    space_labels,
    wires_leaving,
)
from framer.drawing.plan_marks import arrows, at_edge, corner_below, north_in_corner, to_street
from framer.drawing.plan_panel import DOWN_IN, UP_IN, Label, PlanPanel, low_and_high
from framer.drawing.plan_rigging import cover_from_above, names_inside, rigging_from_above
from framer.drawing.rigging import step_of
from framer.drawing.spaces import body_in_plan, draw, spaces_to_draw
from framer.geometry.scene import Part, Run, Scene, Tag

LEVEL_SHARE = 0.95
"""A finding is drawn in plan where at least this share of its length lies level."""

_NEARBY, _POLE, _GUY = int(Tag.NEARBY), int(Tag.POLE), int(Tag.GUY)


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
    drawn = list(limits_from_above(panel))
    labels = list(limit_labels(panel))
    unnamed = partial(part_from_above, panel, [])
    for item in scene.job.items:
        if item.kind == "pole" and item.id not in scene.poles:
            drawn.extend(pole_elsewhere(panel, item, labels))
    for part in sorted(scene.bodies, key=_lowest):
        if part.shape is None:
            continue
        if part.tags & _NEARBY and isinstance(part.shape, Run):
            drawn.extend(nearby_from_above(panel, part, part.shape, labels))
        elif part.tags & _POLE:
            drawn.extend(pole_section(panel, part, labels))
        elif panel.shows(part) and (names or kept is None or part.tags & _GUY):
            drawn.extend(part_from_above(panel, labels, part))
        elif kept is not None and panel.shows(part):
            low = panel.is_low(part)
            drawn.extend(kept.of(part, unnamed, low))
    drawn.extend(cover_from_above(panel))
    rigging, told_of = rigging_from_above(panel)
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
        drawn.extend(arrows(panel, told_of, drawn))
        corner = list(north_in_corner(panel, drawn, kept, moving=moving)) if north else []
        there = [one for one in (*drawn, *corner) if isinstance(one, Text)]
        # of a step nothing is dragged: letters may stand where its lines leave room
        words = list(letters_from_above(panel, drawn if step_of(scene) else (), there))
        drawn.extend(to_street(panel, [*drawn, *words]))
        drawn.extend(names_inside(panel, [*drawn, *words]))
        told = [label for label in labels if label.verdict]
        told.extend(Label(one.at, one.words, "label", one.owner) for one in told_of if one.below)
        told.extend(space_labels(panel, here, figures))
        more = (*outlines(words), *measured, *words, *in_rows_below(panel, told), *corner)
        return Picture((*drawn, *more))
    leaving = wires_leaving(panel)
    labels.extend(at_sides(leaving))
    labels.extend(Label(at_edge(one.at), one.words, "label", one.owner) for one in told_of)
    labels.extend(space_labels(panel, here, figures))
    column = list(in_column(panel, labels))
    words = [one for one in column if isinstance(one, Text)]
    words.extend(letters_from_above(panel, [*drawn, *column]))
    words.extend(at_ends(panel, leaving, words))
    lines = [one for one in column if not isinstance(one, Text)]
    street = list(to_street(panel, [*drawn, *lines, *words]))
    street.extend(arrows(panel, told_of, [*drawn, *lines, *words, *street]))
    street.extend(names_inside(panel, [*drawn, *lines, *words, *street]))
    picture = Picture((*drawn, *street, *outlines(words), *measured, *lines, *words))
    return picture.with_more(corner_below(panel, picture.bounds()[1]))


def _lowest(part: Part) -> float:
    return low_and_high(part.shape)[1] if part.shape is not None else 0.0


def _body(panel: PlanPanel, part: Part, _foul: Foul) -> tuple[XY, ...]:
    return body_in_plan(panel.xy, part)


def _findings(
    panel: PlanPanel, findings: Sequence[Finding], labels: list[Label]
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
        labels.append(Label(middle, words, finding.verdict, finding.key, finding.verdict))
