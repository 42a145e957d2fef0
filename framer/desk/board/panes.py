"""One view on the sheet: what it shows, where it lies, and where a point in it is."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct
from PySide6.QtCore import QPoint, QPointF

from framer.desk.board.two_poles import PaneKind
from framer.drawing.panel import View
from framer.drawing.picture import XY
from framer.geometry.space import Point


class Pane(Struct, frozen=True):
    """A view.

    Attributes:
        kind: which of the views.
        view: the way of looking; a plan is turned like an elevation with the same.
        origin: where the foot of its pole is on the sheet at the job's datum, real inches.
        to_sheet: from a point of the widget to the sheet, y down.
    """

    kind: PaneKind
    view: View
    origin: XY
    to_sheet: Callable[[QPoint], QPointF]

    @property
    def is_plan(self) -> bool:
        """Whether it is seen from above."""
        return self.kind == "plan"

    @property
    def stage_is_framed(self) -> bool:
        """Whether it shows the job as framed, which can be changed by hand."""
        return self.kind != "found"

    def to_real(self, point: QPoint) -> XY:
        """Where a point of the widget is, real inches from the pole's foot.

        Right and up, in a plan right and away; up is from the job's datum.
        """
        at = self.to_sheet(point)
        return at.x() - self.origin[0], -at.y() - self.origin[1]

    def way(self, right_in: float, up_in: float) -> Point:
        """A shift in the drawing as one in space: east, north, up; nothing towards the viewer."""
        right, up = self.view.right, self.view.away if self.is_plan else (0.0, 0.0, 1.0)
        return (
            right[0] * right_in + up[0] * up_in,
            right[1] * right_in + up[1] * up_in,
            right[2] * right_in + up[2] * up_in,
        )
