"""What a step has round the pole, seen from above: the lifts that are up, the boom's circle.

What lies outside the plan is told, with how far it is and which way, and an arrow points to it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

from msgspec import Struct

from framer.drawing.crop import Window, piece
from framer.drawing.lifted import lifts
from framer.drawing.picture import XY, Circle, Line, Path, Primitive, rectangle
from framer.geometry.scene import Scene
from framer.geometry.space import Point, azimuth_of, between, compass, dot
from framer.model.step import Boom, Step
from framer.units.length import length_text

HOLDER_IN, STAND_IN = 4.0, 7.0
"""Half of a lift's holder from above, and the turntable of a boom: larger than life, to be seen."""

CHORDS = 90
"""A boom's circle is drawn by so many chords, so that it can be cut off where the plan ends."""

ToPaper: TypeAlias = Callable[[Point], XY]


class Told(Struct, frozen=True):
    """What is written of a thing round the pole.

    Attributes:
        at: where it is, or where the arrow to it ends.
        words: its name, and how far away it is where that cannot be seen.
        arrow: the word at the arrow that points to it; empty where it is in the plan.
        owner: whose it is; empty for the boom.
    """

    at: XY
    words: str
    arrow: str = ""
    owner: str = ""

    @property
    def below(self) -> bool:
        """Whether it is written below a plan without names: what its drawing does not tell."""
        return bool(self.arrow) or not self.owner


def step_of(scene: Scene) -> Step | None:
    """The step a scene is after; `None` for the pole as found or framed."""
    steps, stage = scene.job.steps, scene.stage
    return steps[stage - 1] if isinstance(stage, int) and 0 < stage <= len(steps) else None


def lifts_from_above(
    scene: Scene, foot: Point, xy: ToPaper, window: Window, heights: tuple[float, float]
) -> tuple[list[Primitive], list[Told]]:
    """The holder of every lift below the upper of two heights, thin below the lower one."""
    drawn: list[Primitive] = []
    told: list[Told] = []
    for item, rest in lifts(scene):
        if rest[2] > heights[1]:
            continue
        x, y = at = xy(rest)
        name, h = scene.job.label(item.id), HOLDER_IN
        if not _inside(at, window):
            told.append(Told(at, f"{name} {_away(scene, foot, rest)}", "LIFT", item.id))
            continue
        corners = rectangle((x - h, y - h, x + h, y + h))
        low = rest[2] < heights[0]
        drawn.extend(piece(Path(corners, "below" if low else "case", item.id), window))
        told.append(Told(at, name, "", item.id))
    return drawn, told


def boom_from_above(
    scene: Scene, boom: Boom, foot: Point, xy: ToPaper, window: Window
) -> tuple[list[Primitive], Told]:
    """The circle a boom reaches, its stand, and where both are."""
    stand: Point = (boom.east_in, boom.north_in, foot[2])
    x, y = at = xy(stand)
    drawn: list[Primitive] = []
    reach = boom.reach_in
    ring = [
        (x + reach * math.cos(turn), y + reach * math.sin(turn))
        for turn in (math.tau * number / CHORDS for number in range(CHORDS))
    ]
    for p, q in zip(ring, (*ring[1:], ring[0]), strict=True):
        drawn.extend(piece(Line(p, q, "reach"), window))
    crossed, seen = bool(drawn), _inside(at, window)
    if seen:
        drawn.append(Circle(at, STAND_IN, "reach", fill="paper"))
        for dx, dy in ((STAND_IN, 0.0), (0.0, STAND_IN)):
            drawn.append(Line((x - dx, y - dy), (x + dx, y + dy), "reach"))
    size = length_text(reach, step_in=1.0, toward="up", system=scene.job.settings.units)
    words = f"Boom {_away(scene, foot, stand)}, reaches {size}"
    if not crossed:
        far = max(math.dist(at, corner) for corner in rectangle(window))
        words += ": all of this plan" if far <= reach else ": not to this plan"
    return drawn, Told(at, words, "" if seen else "BOOM")


def _away(scene: Scene, foot: Point, there: Point) -> str:
    """How far something is from the middle of a pole, and which way."""
    off = between(foot, (there[0], there[1], foot[2]))
    size = length_text(math.sqrt(dot(off, off)), step_in=1.0, system=scene.job.settings.units)
    return f"{size} toward {compass(azimuth_of(off))}"


def _inside(at: XY, window: Window) -> bool:
    return window[0] <= at[0] <= window[2] and window[1] <= at[1] <= window[3]
