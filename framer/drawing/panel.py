"""A pole seen from the side: which way, and where a point of the job is in the drawing."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from framer.drawing.picture import XY
from framer.geometry.scene import Box, Run, Scene, Tag
from framer.geometry.space import Point, azimuth_of, compass, dot, toward, turned

REACH_IN = 110.0
"""Nearby wires and the ground are drawn this far either side of the pole."""

NARROW_REACH_IN = 84.0
"""The same on the screen's narrow sheet and where nothing is named: wires reach as far."""

NO_GIRTH_RADIUS_IN = 4.5
"""A pole of unknown girth is drawn, and only drawn, this thick."""

LABEL_ROOM = 34.0
"""A label is cut to this length, text heights."""

_NEARBY = int(Tag.NEARBY)


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

    def across(self, box: Box) -> float:
        """How far a box that stands upright reaches to either side of its middle."""
        return sum(
            abs(dot(axis, self.right)) * half
            for axis, half in zip((box.u, box.v, box.w), box.half, strict=True)
        )

    def wire_xs(self) -> Iterator[float]:
        """How far right of the pole each wire, service or jumper begins; of none that passes by."""
        for part in self.scene.bodies:
            if isinstance(part.shape, Run) and not part.tags & _NEARBY:
                yield self.xy(part.shape.p)[0]
