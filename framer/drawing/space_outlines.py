"""Room to climb and to work, and the room equipment needs, on a pole seen from the side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.checks.shown import Foul
from framer.checks.shown import spaces as spaces_by_books
from framer.drawing.bodies import box_outline, stub
from framer.drawing.fitting import along
from framer.drawing.panel import Panel, View
from framer.drawing.picture import XY, Primitive, Text, rectangle
from framer.drawing.spaces import THIN_IN, Space, draw, spaces_to_draw, spoken_of, strip
from framer.geometry.scene import Box, Part, Run, Scene, Tag


def outlines(panel: Panel, drawn: Sequence[Space], words: Sequence[Text]) -> Iterator[Primitive]:
    """Spaces without their names, off the texts that are there."""
    figures = [upright_figure(panel, space) for space in drawn]
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
    return list(outlines(Panel(scene, view, pole), drawn, words))


def upright_figure(panel: Panel, space: Space) -> tuple[XY, ...]:
    """A space from the side: as wide as its outline in plan is seen."""
    xs = [panel.xy((east, north, 0.0))[0] for east, north in space.outline]
    left, right = min(xs), max(xs)
    return rectangle((left, space.low, right, space.high))


def _body(panel: Panel, part: Part, foul: Foul) -> tuple[XY, ...]:
    """A part from the side, from and to the heights at which it is in a space."""
    shape = part.shape
    if isinstance(shape, Box):
        return box_outline(panel, part, shape).points
    if shape is None:
        return ()
    p, q = panel.xy(shape.p), panel.xy(shape.q)
    if isinstance(shape, Run):
        end = q if part.tags & Tag.NEARBY else stub(p, q, shape)
        return strip((p[0], foul.low_in), (end[0], foul.high_in), max(shape.r, THIN_IN))
    rise = q[1] - p[1]
    if abs(rise) > 1.0:
        low, high = sorted(((foul.low_in - p[1]) / rise, (foul.high_in - p[1]) / rise))
        p, q = along(p, q, max(0.0, low)), along(p, q, min(1.0, high))
    return strip(p, q, max(shape.r_p, shape.r_q, THIN_IN))
