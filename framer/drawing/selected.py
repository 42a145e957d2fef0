"""The dimensions of one thing: what a person wants to read while it is moved."""

from __future__ import annotations

from collections.abc import Iterator

from framer.drawing.lettering import text_width
from framer.drawing.panel import NARROW_REACH_IN, NO_GIRTH_RADIUS_IN, Panel, View
from framer.drawing.picture import XY, Dimension, Text
from framer.geometry.scene import Box, Part, Run, Scene, Tag
from framer.geometry.space import between, dot
from framer.geometry.written import exact, marks

COLUMN_IN = 68.0
"""Drops and heights are dimensioned this far from the pole, outside a 10-ft arm."""

LINK_COLUMN = 2.1
"""A kept distance is drawn this far inside the height of the thing, text heights."""

SMALLEST_SHARE = 0.3
"""A distance along an arm is dimensioned where at least this share of it is seen."""


def thing_dimensions(scene: Scene, view: View, pole: str, key: str) -> Iterator[Dimension | Text]:
    """The dimensions of a thing in the elevation of a pole; none where it is not seen there.

    A pole has its top above ground and its setting depth, what sits on it its distance below the
    top and above ground, what sits on an arm its distance from the arm's bolt, a wire its height. A
    distance that is kept to another thing is dimensioned too.
    """
    parts = [part for part in scene.parts_of.get(key, ()) if part.shape is not None]
    if not parts:
        return
    panel = Panel(scene, view, pole)
    part = parts[0]
    if part.tags & Tag.POLE:
        if key == pole:
            yield from _of_pole(panel)
    elif isinstance(part.shape, Run):
        if part.pole in (pole, None):
            x, y = panel.xy(part.shape.p)
            # a neighbouring wire begins far outside the drawing
            yield from _height(panel, (max(x, -NARROW_REACH_IN), y), key)
    elif part.pole == pole and part.level not in (pole, None) and not part.tags & Tag.ARM:
        yield from _along_arm(panel, part)
    elif part.pole == pole:
        yield from _on_pole(panel, part)
        yield from _kept(panel, part)


def _upright(
    panel: Panel, p: XY, q: XY, across: float, length_in: float, key: str, more: str = ""
) -> Iterator[Dimension | Text]:
    """An upright dimension; where it is too short for its text, that stands past its far end."""
    text, words = panel.view.text_in, exact(panel.scene.job, length_in) + more
    wide, span, share = text_width(words, text), abs(p[1] - q[1]), 0.5
    if 0.0 < span <= wide + text:
        share = 1.0 + (0.8 * text + wide / 2) / span
    written = words if span else ""
    yield Dimension(p, q, across, written, text, "upright", "dimension", key, share)
    if not span:
        yield Text((across, p[1] + 0.9 * text), words, text, "dimension", key, "middle")


def _height(panel: Panel, at: XY, key: str) -> Iterator[Dimension | Text]:
    """Height above the pole's ground line, at the left."""
    foot = panel.pole.foot[2] if panel.pole else 0.0
    column = -COLUMN_IN
    yield from _upright(panel, (column, foot), at, column, at[1] - foot, key)


def _of_pole(panel: Panel) -> Iterator[Dimension | Text]:
    solid = panel.pole
    if solid is None or solid.top_up_in is None:
        return
    top = panel.xy(solid.point(solid.top_up_in))
    yield from _height(panel, top, solid.item)
    if solid.depth_in:
        butt = panel.xy(solid.point(-solid.depth_in))
        column = COLUMN_IN
        start = (column, solid.foot[2])
        yield from _upright(panel, start, butt, column, solid.depth_in, solid.item)


def _on_pole(panel: Panel, part: Part) -> Iterator[Dimension | Text]:
    solid = panel.pole
    if solid is None or part.shape is None:
        return
    y = panel.xy(solid.point(part.up_in))[1]
    xs = (panel.xy(part.shape.p)[0], panel.xy(part.shape.q)[0])
    if part.tags & Tag.GUY:
        xs = (0.0, 0.0)
    yield from _height(panel, (min(xs), y), part.owner)
    drop = marks(panel.scene.job, solid, part.up_in).top_in
    if solid.top_up_in is not None and drop is not None:
        top = panel.xy(solid.point(solid.top_up_in))
        radius = solid.radius_in(solid.top_up_in) or NO_GIRTH_RADIUS_IN
        start, end = (top[0] + radius, top[1]), (max(xs), y)
        more = " above top" if drop < 0.0 else ""
        yield from _upright(panel, start, end, COLUMN_IN, abs(drop), part.owner, more)


def _kept(panel: Panel, part: Part) -> Iterator[Dimension | Text]:
    """What the thing follows, and what follows it, with the distance that is kept."""
    solid, scene, columns = panel.pole, panel.scene, 0
    for link in scene.job.links:
        if solid is None or part.owner not in (link.follower, link.leader):
            continue
        ends = [scene.parts_of.get(key, ()) for key in (link.leader, link.follower)]
        if not all(ends) or any(one[0].pole != part.pole or one[0].missing for one in ends):
            continue
        p, q = (panel.xy(solid.point(one[0].up_in)) for one in ends)
        columns += 1  # each beside the last: two would lie over each other
        column = -COLUMN_IN + LINK_COLUMN * columns * panel.view.text_in
        yield from _upright(panel, p, q, column, abs(link.drop_in), part.owner, " kept")


def _along_arm(panel: Panel, part: Part) -> Iterator[Dimension | Text]:
    """From the arm's bolt to what sits on the arm, below the arm."""
    arms = panel.scene.parts_of.get(part.level or "", ())
    box = arms[0].shape if arms else None
    solid = panel.pole
    if not isinstance(box, Box) or solid is None or part.shape is None:
        return
    if abs(dot(box.u, panel.view.right)) < SMALLEST_SHARE:
        return
    bolt = solid.point(arms[0].up_in)
    point = part.shape.centre if isinstance(part.shape, Box) else part.shape.p
    along = dot(between(bolt, point), box.u)
    p, q = panel.xy(bolt), panel.xy(point)
    text = panel.view.text_in
    across = p[1] - box.half[2] - 2.0 * text
    words = exact(panel.scene.job, abs(along))
    roomy = abs(p[0] - q[0]) > text_width(words, text)
    written = words if roomy else ""
    yield Dimension(p, (q[0], p[1]), across, written, text, "level", "dimension", part.owner)
    if not roomy:
        beyond = max(p[0], q[0]) + text
        x = min(beyond, NARROW_REACH_IN - text_width(words, text))
        # below the line where it would reach the names at the right
        at = (x, across - (0.4 if x == beyond else 1.6) * text)
        yield Text(at, words, text, "dimension", part.owner)
