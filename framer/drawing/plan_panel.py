"""A pole seen from above: where a point of the job is in the plan, what of it is seen."""

from __future__ import annotations

from msgspec import Struct

from framer.checks.finding import Verdict
from framer.drawing.picture import XY
from framer.drawing.style import StyleName
from framer.geometry.scene import Box, Part, Run, Scene, Shape
from framer.geometry.space import Point, dot, toward, turned

PLAN_REACH_IN = 96.0
"""A plan reaches this far from the pole to each side."""

UP_IN, DOWN_IN = 24.0, 60.0
"""What begins within `UP_IN` above the height of a plan is of its level; what ends more than
`DOWN_IN` below it is drawn thin and has no name."""

LABEL_ROOM = 20.0
"""A label is broken into lines of this length, text heights."""


class Label(Struct, frozen=True):
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
        return part.shape is not None and low_and_high(part.shape)[0] <= self.cut + UP_IN

    def is_low(self, part: Part) -> bool:
        """Whether a part ends so far below the height that it is only drawn thin."""
        return part.shape is not None and low_and_high(part.shape)[1] < self.cut - DOWN_IN


def low_and_high(shape: Shape) -> tuple[float, float]:
    """From and to which height a shape reaches; a wire is as high as its support."""
    if isinstance(shape, Box):
        return shape.centre[2] - shape.half[2], shape.centre[2] + shape.half[2]
    if isinstance(shape, Run):
        return shape.p[2], shape.p[2]
    low, high = shape.p[2], shape.q[2]
    return (low, high) if low <= high else (high, low)
