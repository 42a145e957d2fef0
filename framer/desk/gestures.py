"""Gestures on the framed pole: what a drag or an arrow key does to a thing.

A gesture shows the job as it would be and makes one step of it in the end. Distances snap as a
crew measures: drops below the top to the inch, with Shift to the sixteenth.
"""

from __future__ import annotations

from abc import ABC, abstractmethod

from PySide6.QtCore import Qt

from framer.desk.bridge import Bridge, Edit
from framer.drawing.elevation import View, exact
from framer.drawing.picture import XY
from framer.edits.places import set_along_arm, set_along_pole
from framer.errors import FramerError
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Box, Part
from framer.geometry.space import azimuth_of, compass, dot
from framer.model.item import Item
from framer.model.place import Guyed, OnArm, OnItem, OnPole, Removed
from framer.model.stage import is_undecided, place_at
from framer.stock.catalogue import catalogue
from framer.stock.part import ArmPart

STEP_IN, FINE_STEP_IN = 1.0, 1 / 16
PIN_REACH_IN = 2.0
"""An insulator this near a pin position of its arm goes to it."""

SEEN_SHARE = 0.3
"""Things are dragged along an arm where at least this share of its length is seen."""


class Gesture(ABC):
    """One drag, from press to release.

    Attributes:
        step_name: what the step is called in the history.
        cursor: shape of the pointer while it lasts.
    """

    step_name: str
    cursor: Qt.CursorShape

    def __init__(self, bridge: Bridge, key: str) -> None:
        self.bridge, self.key = bridge, key
        self.label = bridge.job.label(key)
        self.step_name = f"move {self.label}"
        self._last: float | None = None

    def drag(self, dx_in: float, dy_in: float, *, fine: bool) -> None:
        """Show the job with the thing dragged this far right and up from where it was."""
        value = self._value((dx_in, dy_in), FINE_STEP_IN if fine else STEP_IN)
        if value == self._last:
            return
        self._last = value
        problem = self.bridge.preview(self._edit(value))
        self.bridge.say(problem or self.words())

    def keep(self) -> None:
        """Let go: what is shown becomes one step."""
        if self._last is not None:
            self.bridge.keep_preview(self.step_name)

    def drop(self) -> None:
        """Take it back: the job is as it was."""
        if self._last is not None:
            self.bridge.drop_preview()
            self.bridge.say(f"{self.label} stays where it was")

    @abstractmethod
    def words(self) -> str:
        """Where the thing now is, in words."""

    @abstractmethod
    def _value(self, moved: XY, step_in: float) -> float:
        """The distance it is dragged to, on the grid of a step."""

    @abstractmethod
    def _edit(self, value: float) -> Edit:
        """The edit that puts it there."""


class AlongPole(Gesture):
    """An arm or another thing on the pole, dragged up and down."""

    cursor = Qt.CursorShape.SizeVerCursor

    def __init__(self, bridge: Bridge, part: Part, solid: PoleSolid, top_up_in: float) -> None:
        super().__init__(bridge, part.owner)
        self._rise = solid.rise
        self._top_up_in = top_up_in
        self._start_in = top_up_in - part.up_in

    def _value(self, moved: XY, step_in: float) -> float:
        drop = round((self._start_in - moved[1] / self._rise) / step_in) * step_in
        return min(max(drop, 0.0), self._top_up_in)

    def _edit(self, value: float) -> Edit:
        return lambda job: set_along_pole(job, self.key, "framed", "drop", value)

    def words(self) -> str:
        """Drop and height of the thing."""
        return along_pole_words(self.bridge, self.key)


class AlongArm(Gesture):
    """An insulator or another thing on an arm, dragged along it.

    Its side is worked out from the compass, so it is dragged rightly from whichever side the arm
    is seen.
    """

    cursor = Qt.CursorShape.SizeHorCursor

    def __init__(
        self, bridge: Bridge, key: str, where: OnArm, box: Box, stock: ArmPart, view: View
    ) -> None:
        super().__init__(bridge, key)
        self._share = dot(box.u, view.right)
        self._start_in = where.along_in
        self._pins = stock.pins_in
        half = stock.length_in / 2
        self._ends = (stock.middle_in - half, stock.middle_in + half)

    def _value(self, moved: XY, step_in: float) -> float:
        along = self._start_in + moved[0] / self._share
        nearest = min(self._pins, key=lambda pin: abs(pin - along), default=along)
        if step_in == STEP_IN and self._pins and abs(nearest - along) <= PIN_REACH_IN:
            return nearest
        return min(max(round(along / step_in) * step_in, self._ends[0]), self._ends[1])

    def _edit(self, value: float) -> Edit:
        return lambda job: set_along_arm(job, self.key, "framed", value)

    def words(self) -> str:
        """Distance from the arm's bolt, by compass."""
        return along_arm_words(self.bridge, self.key)


def gesture_for(bridge: Bridge, key: str, view: View) -> Gesture | str:
    """The gesture that drags a thing of the framed pole, or why it cannot be dragged.

    What rests on something, as a wire on its insulator and a brace on its arm, drags that.
    """
    job, label = bridge.job, bridge.job.label(key)
    thing = job.item_by_id.get(key) or job.wire_by_id.get(key)
    if thing is not None and is_undecided(thing):
        return f"say first what becomes of {label}"
    resting = place_at(job, thing, "framed") if thing else None
    if isinstance(resting, OnItem):
        return gesture_for(bridge, resting.host, view)
    item = job.item_by_id.get(key)
    if item is None:
        return f"{label} is as surveyed; it is not moved here"
    reason = not_moved(bridge, item)
    if reason:
        return reason
    where = place_at(job, item, "framed")
    scene = bridge.session.scene("framed")
    parts = scene.parts_of.get(key, ())
    if isinstance(where, OnPole | Guyed) and parts:
        solid = scene.poles[where.host]
        if solid.top_up_in is None:
            return f"the top height of {job.label(where.host)} is not known"
        return AlongPole(bridge, parts[0], solid, solid.top_up_in)
    if isinstance(where, OnArm):
        arm = scene.parts_of.get(where.host, ())
        box = arm[0].shape if arm else None
        stock = catalogue().get(job.item_by_id[where.host].part or "")
        if not isinstance(box, Box) or not isinstance(stock, ArmPart):
            return f"where {job.label(where.host)} is or how long it is, is not known"
        if abs(dot(box.u, view.right)) < SEEN_SHARE:
            way = compass(azimuth_of(box.v), words=True)
            return f"{job.label(where.host)} is seen from its end; look {way} to drag along it"
        return AlongArm(bridge, key, where, box, stock, view)
    return f"{label} is not placed by dragging"


def not_moved(bridge: Bridge, item: Item) -> str:
    """Why an item of the framed pole is not moved by hand, empty when it can be."""
    job = bridge.job
    where = place_at(job, item, "framed")
    if item.kind == "pole":
        return f"{item.name or item.id}: type where it stands and how deep, below the sheet"
    if where is None or isinstance(where, Removed):
        return f"{job.label(item.id)} is not there as framed"
    if isinstance(where, OnPole) and where.to_in is not None:
        return f"{job.label(item.id)} runs along the pole; type its lower end below the sheet"
    return ""


def nudge(bridge: Bridge, key: str, view: View, right_in: float, up_in: float) -> None:
    """Move a thing by a key: up along its pole, or to the right in the view along its arm."""
    made = gesture_for(bridge, key, view)
    if isinstance(made, str):
        bridge.say(made)
        return
    if isinstance(made, AlongPole) != bool(up_in):
        other = "up and down" if isinstance(made, AlongPole) else "left and right along its arm"
        bridge.say(f"{made.label} moves {other}")
        return
    made.drag(right_in, up_in, fine=True)
    made.keep()


def along_pole_words(bridge: Bridge, key: str) -> str:
    """Where a thing sits on the framed pole: below top, above ground."""
    scene = bridge.session.scene("framed")
    label = bridge.job.label(key)
    part = scene.parts_of[key][0]
    solid = scene.poles[part.pole or ""]
    drop, height = solid.at("drop", part.up_in), solid.at("height", part.up_in)
    words = [] if drop is None else [f"{exact(drop)} below top"]
    words += [] if height is None else [f"{exact(height)} above ground"]
    return f"{label}: {', '.join(words)}"


def along_arm_words(bridge: Bridge, key: str) -> str:
    """Where a thing sits on its arm as framed, from the bolt and by compass."""
    job = bridge.job
    item = job.item_by_id[key]
    where = place_at(job, item, "framed")
    if not isinstance(where, OnArm):
        raise FramerError(f"{job.label(key)} is not on an arm")
    parts = bridge.session.scene("framed").parts_of.get(where.host, ())
    side = ""
    if parts and isinstance(parts[0].shape, Box) and where.along_in:
        u = parts[0].shape.u
        away = u if where.along_in > 0 else (-u[0], -u[1], -u[2])
        side = f" {compass(azimuth_of(away), words=True)}"
    return f"{job.label(key)}: {exact(abs(where.along_in))}{side} of the bolt of " + job.label(
        where.host
    )
