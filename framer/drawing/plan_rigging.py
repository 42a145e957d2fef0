"""What is in a plan for a step only: cover, lifts, booms, and workers with their names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framer.drawing.cover import sleeves
from framer.drawing.crop import piece
from framer.drawing.fitting import best_spot, edges_of
from framer.drawing.lettering import shortened
from framer.drawing.picture import Path, Primitive, Text
from framer.drawing.plan_panel import DOWN_IN, PLAN_REACH_IN, UP_IN, PlanPanel
from framer.drawing.rigging import Told, boom_from_above, lifts_from_above, step_of
from framer.drawing.spaces import box_in_plan
from framer.geometry.scene import Box, Part, Tag
from framer.model.step import Step
from framer.transfer.near import worker_part

_FROM_MIDDLE = (0, 1, -1, 2, -2, 3, -3, 4, -4, 6, -6, 8, -8, 10, -10)
"""Rows and columns that a name is tried in, the nearest to the middle of its room first."""


def cover_from_above(panel: PlanPanel) -> Iterator[Primitive]:
    """Cover-up over the wires and jumpers of the height of the plan."""

    def shows(part: Part) -> bool:
        return bool(part.tags & Tag.NEARBY) or (panel.shows(part) and not panel.is_low(part))

    yield from sleeves(panel.scene, panel.xy, panel.square, shows=shows)


def rigging_from_above(panel: PlanPanel) -> tuple[list[Primitive], list[Told]]:
    """The lifts that are up, and of the step the boom and the workers."""
    scene, step = panel.scene, step_of(panel.scene)
    foot = panel.pole.foot if panel.pole else (0.0, 0.0, 0.0)
    heights = (panel.cut - DOWN_IN, panel.cut + UP_IN)
    drawn, told = lifts_from_above(scene, foot, panel.xy, panel.square, heights)
    if step is None:
        return drawn, told
    for name, box in _workers(panel, step):
        drawn.extend(piece(Path(box_in_plan(panel.xy, box), "space", name), panel.square))
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


def names_inside(panel: PlanPanel, drawn: Sequence[Primitive]) -> Iterator[Text]:
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
