"""Gestures on the framed pole: what a drag or an arrow key does to a thing.

A gesture shows the job as it would be and makes one step of it in the end. Distances settle as a
crew measures: drops below the top to the inch or half inch, level with what is beside, on pins and
bores; with Shift to the sixteenth wherever it is.
"""

from __future__ import annotations

from abc import ABC, abstractmethod

from PySide6.QtCore import Qt

from framer.desk.board.ghost import ghost_words
from framer.desk.board.snaps import LEVEL_REACH_IN, PIN_REACH_IN, carried, levels, pins, settled
from framer.desk.bridge import FINE_STEP_IN, Bridge, Edit
from framer.drawing.panel import View
from framer.drawing.picture import XY
from framer.edits.arrange import moved_along, moved_up, movers
from framer.edits.line import across_in, set_across
from framer.edits.places import set_along_arm, set_along_pole
from framer.edits.revisions import as_measured
from framer.errors import FramerError
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Box, Part
from framer.geometry.space import Point, azimuth_of, compass, dot, toward, turned
from framer.geometry.written import exact, from_top, marks
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import NearbyWire
from framer.model.place import Guyed, OnArm, OnItem, OnPole, Removed
from framer.model.stage import is_undecided, place_at
from framer.stock.catalogue import catalogue
from framer.stock.part import ArmPart

SEEN_SHARE = 0.3
"""Things are dragged along an arm where at least this share of its length is seen."""


class Gesture(ABC):
    """One drag, from press to release.

    Attributes:
        step_name: what the step is called in the history.
        cursor: shape of the pointer while it lasts.
        keys: what is moved.
        snap: what it has settled on, in words; empty for the grid.
        takes: what length can be typed while it lasts; empty for none.
    """

    step_name: str
    cursor: Qt.CursorShape
    snap = ""
    takes = ""

    def __init__(self, bridge: Bridge, key: str) -> None:
        self.bridge, self.key = bridge, key
        self.keys: tuple[str, ...] = (key,)
        self.label = bridge.job.label(key)
        self.step_name = f"move {self.label}"
        self._last: float | None = None

    def drag(self, dx_in: float, dy_in: float, *, fine: bool) -> None:
        """Show the job with the thing dragged this far right and up from where it was."""
        value = self._value((dx_in, dy_in), FINE_STEP_IN if fine else self.bridge.step_in)
        if value == self._last:
            return
        self._last = value
        problem = self.bridge.preview(self._edit(value))
        self.bridge.say(problem or "; ".join(filter(None, (self.words(), self.snap))))

    def put(self, length_in: float) -> str:
        """Show the job with the thing at a typed length; gives what is wrong with it."""
        value = self._typed(length_in)
        problem = self.bridge.preview(self._edit(value))
        if not problem:
            self._last = value
        return problem

    def _typed(self, length_in: float) -> float:
        """The value that a typed length means."""
        return length_in

    def keep(self) -> None:
        """Let go: what is shown becomes one step."""
        if self._last is not None:
            self.bridge.keep_preview(self.step_name)

    def drop(self) -> None:
        """Take it back: the job is as it was."""
        if self._last is not None:
            self.bridge.drop_preview()
            self.bridge.say(f"{self.label} stays where it was")

    def measured(self, job: Job) -> Job:
        """The job in which what is moved is measured as built, where that is what dragging does."""
        return as_measured(job, self.keys) if self.bridge.as_built else job

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
    takes = "distance from finished top"

    def __init__(self, bridge: Bridge, part: Part, solid: PoleSolid, top_up_in: float) -> None:
        super().__init__(bridge, part.owner)
        self._rise = solid.rise
        self._top_up_in = top_up_in
        self._start_in = top_up_in - part.up_in
        scene = bridge.session.scene("framed")
        if bridge.as_built:
            self.step_name = f"{self.label} as built"
        self._targets = levels(scene, solid.item, carried(bridge.job, part.owner))

    def _value(self, moved: XY, step_in: float) -> float:
        drop = self._start_in - moved[1] / self._rise
        drop, self.snap = settled(drop, self._targets, step_in, LEVEL_REACH_IN)
        return min(max(drop, 0.0), self._top_up_in)

    def _edit(self, value: float) -> Edit:
        return lambda job: set_along_pole(self.measured(job), self.key, "framed", "drop", value)

    def words(self) -> str:
        """Drop and height of the thing, and how far it is from its neighbours."""
        return _with_neighbours(self.bridge, self.key, along_pole_words(self.bridge, self.key))


class AlongArm(Gesture):
    """An insulator or another thing on an arm, dragged along it.

    Its side is worked out from the compass, so it is dragged rightly from whichever side the arm
    is seen.
    """

    cursor = Qt.CursorShape.SizeHorCursor
    takes = "distance from the arm's bolt"

    def __init__(
        self,
        bridge: Bridge,
        key: str,
        where: OnArm,
        stock: ArmPart,
        seen: XY,
    ) -> None:
        super().__init__(bridge, key)
        self._seen = seen
        self._start_in = where.along_in
        self._pins = pins(bridge.job, where.host, stock.pins_in, (key,))
        half = stock.length_in / 2
        self._ends = (stock.middle_in - half, stock.middle_in + half)

    def _value(self, moved: XY, step_in: float) -> float:
        along = self._start_in + _along(moved, self._seen)
        along, self.snap = settled(along, self._pins, step_in, PIN_REACH_IN)
        return min(max(along, self._ends[0]), self._ends[1])

    def put(self, length_in: float) -> str:
        """Put it so far from the bolt, to the side it is on."""
        if not self._ends[0] <= self._typed(length_in) <= self._ends[1]:
            return f"that is beyond the end of the arm {self.label} is on"
        return super().put(length_in)

    def _typed(self, length_in: float) -> float:
        now = self._start_in if self._last is None else self._last
        return -length_in if now < 0.0 else length_in

    def _edit(self, value: float) -> Edit:
        return lambda job: set_along_arm(job, self.key, "framed", value)

    def words(self) -> str:
        """Distance from the arm's bolt, by compass, and from what is on either side."""
        return _with_neighbours(self.bridge, self.key, along_arm_words(self.bridge, self.key))


class Together(Gesture):
    """Several things dragged by the same distance: along the pole, or all along their arms."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(self, bridge: Bridge, keys: tuple[str, ...], ways: dict[str, XY]) -> None:
        """A drag of several things.

        Args:
            bridge: the open job.
            keys: what is moved.
            ways: for things that are all on arms, how a step along each one's arm is seen; empty
                where they are moved along the pole.
        """
        super().__init__(bridge, keys[-1])
        self.keys, self._ways = keys, ways
        self.step_name = f"move {len(keys)} things"
        self.cursor = Qt.CursorShape.SizeHorCursor if ways else Qt.CursorShape.SizeVerCursor

    def _value(self, moved: XY, step_in: float) -> float:
        by = _along(moved, self._ways[self.key]) if self._ways else moved[1]
        return round(by / step_in) * step_in

    def _edit(self, value: float) -> Edit:
        if not self._ways:
            return lambda job: moved_up(self.measured(job), self.keys, value)
        first = self._ways[self.key]
        by = {
            key: value if way[0] * first[0] + way[1] * first[1] >= 0.0 else -value
            for key, way in self._ways.items()
        }
        return lambda job: moved_along(job, by)

    def words(self) -> str:
        """How far they have been moved."""
        by = self._last or 0.0
        words = f"{len(self.keys)} things: {exact(self.bridge.job, abs(by))}"
        if self._ways:
            return f"{words} along their arms"
        return f"{words} {'up' if by >= 0.0 else 'down'}"


class AcrossPlan(Gesture):
    """A wire of another line, dragged in the plan square to itself."""

    cursor = Qt.CursorShape.SizeAllCursor

    def __init__(self, bridge: Bridge, near: NearbyWire, right: Point, away: Point) -> None:
        super().__init__(bridge, near.id)
        self._start_in = across_in(bridge.job, near.id)
        side = toward(turned(near.azimuth_deg, 90.0))
        self._seen = (dot(side, right), dot(side, away))
        self._side = side

    def _value(self, moved: XY, step_in: float) -> float:
        return round((self._start_in + _along(moved, self._seen)) / step_in) * step_in

    def _edit(self, value: float) -> Edit:
        return lambda job: set_across(job, self.key, value)

    def words(self) -> str:
        """How far it passes from the job's origin, by compass."""
        across = across_in(self.bridge.job, self.key)
        side = self._side if across >= 0.0 else (-self._side[0], -self._side[1], 0.0)
        way = compass(azimuth_of(side), words=True)
        return f"{self.label}: {exact(self.bridge.job, abs(across))} {way} of the old pole's place"


def _along(moved: XY, seen: XY) -> float:
    """How far along a direction a drag goes; `seen` is a step of one inch along it, as drawn."""
    return (moved[0] * seen[0] + moved[1] * seen[1]) / (seen[0] ** 2 + seen[1] ** 2)


def _with_neighbours(bridge: Bridge, key: str, words: str) -> str:
    return "; ".join(filter(None, (words, ghost_words(bridge.session.scene("framed"), key))))


def gesture_for(bridge: Bridge, key: str, view: View, *, plan: bool = False) -> Gesture | str:
    """The gesture that drags a thing of the framed pole, or why it cannot be dragged.

    What rests on something, as a wire on its insulator and a brace on its arm, drags that.

    Args:
        bridge: the open job.
        key: what is pressed.
        view: how it is looked at.
        plan: whether it is pressed in the plan, which is turned like the view.
    """
    job, label = bridge.job, bridge.job.label(key)
    thing = job.item_by_id.get(key) or job.wire_by_id.get(key)
    if thing is not None and is_undecided(thing):
        return f"say first what becomes of {label}"
    resting = place_at(job, thing, "framed") if thing else None
    if isinstance(resting, OnItem):
        return gesture_for(bridge, resting.host, view, plan=plan)
    item = job.item_by_id.get(key)
    if item is None:
        near = next((near for near in job.nearby if near.id == key), None)
        if near is None:
            return f"{label} is as surveyed; it is not moved here"
        if not plan:
            return f"{label}: drag it in the plan, or type where it is (Circuits and Spans)"
        if bridge.as_built:
            return f"{label}: as built, heights on the pole are measured"
        return AcrossPlan(bridge, near, view.right, view.away)
    reason = not_moved(bridge, item)
    if reason:
        return reason
    where = place_at(job, item, "framed")
    scene = bridge.session.scene("framed")
    parts = scene.parts_of.get(key, ())
    if isinstance(where, OnPole | Guyed) and parts:
        if plan:
            return f"{label} moves up and down: drag it where the pole is seen from the side"
        solid = scene.poles[where.host]
        if solid.top_up_in is None:
            return f"the top height of {job.label(where.host)} is not known"
        return AlongPole(bridge, parts[0], solid, solid.top_up_in)
    if isinstance(where, OnArm):
        if bridge.as_built:
            return f"{label} is on an arm: as built, heights on the pole are measured"
        seen = _arm_seen(bridge, where, view, plan=plan)
        if isinstance(seen, str):
            return seen
        stock = _arm_of(bridge, where)[1]
        if stock is None:
            return f"how long {job.label(where.host)} is, is not known"
        return AlongArm(bridge, key, where, stock, seen)
    return f"{label} is not placed by dragging"


def _arm_of(bridge: Bridge, where: OnArm) -> tuple[Box | None, ArmPart | None]:
    arm = bridge.session.scene("framed").parts_of.get(where.host, ())
    box = arm[0].shape if arm else None
    stock = catalogue().get(bridge.job.item_by_id[where.host].part or "")
    return (
        box if isinstance(box, Box) else None,
        stock if isinstance(stock, ArmPart) else None,
    )


def _arm_seen(bridge: Bridge, where: OnArm, view: View, *, plan: bool) -> XY | str:
    """How an inch along an arm is drawn, or why nothing can be dragged along it."""
    box, stock = _arm_of(bridge, where)
    label = bridge.job.label(where.host)
    if box is None or stock is None:
        return f"where {label} is or how long it is, is not known"
    seen = (dot(box.u, view.right), dot(box.u, view.away) if plan else 0.0)
    if not plan and abs(seen[0]) < SEEN_SHARE:
        way = compass(azimuth_of(box.v), words=True)
        return f"{label} is seen from its end; look {way} to drag along it"
    return seen


def gesture_of(bridge: Bridge, key: str, view: View, *, plan: bool = False) -> Gesture | str:
    """The gesture that drags all that is selected, where `key` is one of several; else its own."""
    if key not in bridge.selection or len(bridge.selection) < 2:
        return gesture_for(bridge, key, view, plan=plan)
    job = bridge.job
    keys = movers(job, bridge.selection)
    if len(keys) == 1:
        return gesture_for(bridge, keys[0], view, plan=plan)
    ways: dict[str, XY] = {}
    for one in keys:
        made = gesture_for(bridge, one, view, plan=plan)
        if isinstance(made, str):
            return made
        item = job.item_by_id.get(one)
        where = place_at(job, item, "framed") if item else None
        if isinstance(where, OnArm):
            seen = _arm_seen(bridge, where, view, plan=plan)
            if isinstance(seen, str):
                return seen
            ways[one] = seen
        elif not isinstance(made, AlongPole):
            return f"{job.label(one)} is dragged alone"
    if ways and len(ways) < len(keys):
        return "things on arms and things on the pole are not dragged together"
    return Together(bridge, keys, ways)


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
    """Move what is selected by a key: up along the pole, or to the right in the view along arms."""
    made = gesture_of(bridge, key, view)
    if isinstance(made, str):
        bridge.say(made)
        return
    upright = made.cursor == Qt.CursorShape.SizeVerCursor
    if upright != bool(up_in):
        what = made.label if len(made.keys) == 1 else f"{len(made.keys)} things"
        other = "up and down" if upright else "left and right along its arm"
        bridge.say(f"{what} moves {other}" if len(made.keys) == 1 else f"{what} move {other}")
        return
    made.drag(right_in, up_in, fine=True)
    made.keep()


def along_pole_words(bridge: Bridge, key: str) -> str:
    """Where a thing sits on the framed pole: below top, above ground."""
    scene = bridge.session.scene("framed")
    label = bridge.job.label(key)
    part = scene.parts_of[key][0]
    solid = scene.poles[part.pole or ""]
    at = marks(bridge.job, solid, part.up_in)
    words = [] if at.top_in is None else [from_top(bridge.job, at.top_in)]
    words.append(f"{exact(bridge.job, at.ground_in)} above ground")
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
    return f"{job.label(key)}: {exact(job, abs(where.along_in))}{side} of the bolt of " + job.label(
        where.host
    )
