"""One pole seen from the side: what stands and hangs there, heights, drops and findings."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from functools import partial

from framer.checks.finding import Finding
from framer.checks.shown import SpaceShown
from framer.drawing.bodies import STUB_IN, depth_in, draw_part
from framer.drawing.callouts import callouts
from framer.drawing.cover import sleeves
from framer.drawing.fitting import written
from framer.drawing.kept import Kept
from framer.drawing.letters import letters
from framer.drawing.levels import levels
from framer.drawing.lifted import lifted
from framer.drawing.limits import limits
from framer.drawing.nearby import nearby_labels
from framer.drawing.panel import NARROW_REACH_IN, REACH_IN, Panel, View
from framer.drawing.picture import Line, Picture, Primitive, Text
from framer.drawing.space_outlines import outlines
from framer.drawing.spaces import spaces_to_draw
from framer.geometry.phases import street_sides
from framer.geometry.scene import Scene

_HATCH_IN = 8.0


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
    drawing = partial(draw_part, panel)
    for part in sorted(scene.bodies, key=depth_in(panel)):
        primitives.extend(kept.of(part, drawing))
    primitives.extend(lifted(scene, panel.xy, REACH_IN))
    window = (-REACH_IN, -math.inf, REACH_IN, math.inf)
    primitives.extend(sleeves(scene, panel.xy, window, most_in=STUB_IN))
    primitives.extend(letters(panel))
    drawn = spaces_to_draw(scene, pole, spaces, findings, hidden)
    if labels:
        named = () if narrow else drawn
        primitives.extend(levels(panel, named, dimensions=dimensions, narrow=narrow))
    words = [*written(primitives)]
    for names_of in (nearby_labels, limits) if labels else (limits,):
        more = list(names_of(panel, words))
        primitives.extend(more)
        words.extend(label for label in more if isinstance(label, Text))
    primitives.extend(outlines(panel, drawn, words))
    primitives.extend(callouts(scene, view, pole, findings, words))
    return Picture(tuple(primitives))


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
