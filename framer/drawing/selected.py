"""The dimensions of one thing: what a person wants to read while it is moved."""

from __future__ import annotations

from collections.abc import Iterator

from framer.drawing.elevation import (
    FIRST_COLUMN_IN,
    NO_GIRTH_RADIUS_IN,
    Panel,
    View,
    exact,
)
from framer.drawing.picture import Dimension
from framer.geometry.scene import Box, Part, Run, Scene, Tag
from framer.geometry.space import between, dot

SMALLEST_SHARE = 0.3
"""A distance along an arm is dimensioned where at least this share of it is seen."""


def thing_dimensions(scene: Scene, view: View, pole: str, key: str) -> Iterator[Dimension]:
    """The dimensions of a thing in the elevation of a pole; none where it is not seen there.

    A pole has its top above ground and its setting depth, what sits on it its distance below the
    top and above ground, what sits on an arm its distance from the arm's bolt, a wire its height.
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
            yield _height(panel, panel.xy(part.shape.p), key)
    elif part.pole == pole and part.level not in (pole, None) and not part.tags & Tag.ARM:
        yield from _along_arm(panel, part)
    elif part.pole == pole:
        yield from _on_pole(panel, part)


def _height(panel: Panel, at: tuple[float, float], key: str) -> Dimension:
    """Height above the pole's ground line, at the left."""
    foot = panel.pole.foot[2] if panel.pole else 0.0
    column = -FIRST_COLUMN_IN
    return Dimension(
        (column, foot),
        at,
        column,
        exact(at[1] - foot),
        panel.view.text_in,
        "upright",
        "dimension",
        key,
    )


def _of_pole(panel: Panel) -> Iterator[Dimension]:
    solid = panel.pole
    if solid is None or solid.top_up_in is None:
        return
    top = panel.xy(solid.point(solid.top_up_in))
    yield _height(panel, top, solid.item)
    if solid.depth_in:
        butt = panel.xy(solid.point(-solid.depth_in))
        column = -FIRST_COLUMN_IN
        words = exact(solid.depth_in)
        size = panel.view.text_in
        start = (column, solid.foot[2])
        yield Dimension(start, butt, column, words, size, "upright", "dimension", solid.item)


def _on_pole(panel: Panel, part: Part) -> Iterator[Dimension]:
    solid = panel.pole
    if solid is None or part.shape is None:
        return
    y = panel.xy(solid.point(part.up_in))[1]
    xs = (panel.xy(part.shape.p)[0], panel.xy(part.shape.q)[0])
    if part.tags & Tag.GUY:
        xs = (0.0, 0.0)
    yield _height(panel, (min(xs), y), part.owner)
    if solid.top_up_in is not None:
        top = panel.xy(solid.point(solid.top_up_in))
        radius = solid.radius_in(solid.top_up_in) or NO_GIRTH_RADIUS_IN
        words = exact(solid.top_up_in - part.up_in)
        start = (top[0] + radius, top[1])
        size = panel.view.text_in
        yield Dimension(
            start, (max(xs), y), FIRST_COLUMN_IN, words, size, "upright", "dimension", part.owner
        )


def _along_arm(panel: Panel, part: Part) -> Iterator[Dimension]:
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
    yield Dimension(
        (p[0], p[1]), (q[0], p[1]), across, exact(abs(along)), text, "level", "dimension",
        part.owner,
    )  # fmt: skip
