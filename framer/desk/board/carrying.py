"""A part carried from the stock onto the sheet: it is shown where it would go, until it is let go.

What is under the pointer is what it goes on: an arm, an item, else the framed pole; where nothing
of the kind is, nothing is shown.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import QPoint

from framer.desk.board import two_poles
from framer.desk.board.ghost import ghost_words
from framer.desk.board.panes import Pane
from framer.desk.board.snaps import LEVEL_REACH_IN, PIN_REACH_IN, levels, pins, settled
from framer.desk.bridge import Bridge
from framer.drawing.picture import XY
from framer.edits.things import (
    as_it_stays,
    host_for,
    new_id,
    place_on,
    put_found,
    put_on,
    was_found_on,
)
from framer.errors import EditError
from framer.geometry.scene import Box, Part, Scene, Tag
from framer.geometry.space import azimuth_of, between, dot
from framer.model.job import Job
from framer.model.place import AnyPlace, Guyed, OnArm, OnPole
from framer.model.stage import host_of, place_at
from framer.stock.catalogue import GOES_ON, catalogue
from framer.stock.part import ArmPart

ARM_REACH_IN = 14.0
"""A part this near above or below an arm is taken to be meant for it."""

POLE_REACH_IN = 66.0
"""A part farther from the middle of the pole than this is beside it, not on it."""

SEEN_SHARE = 0.3


class Carry:
    """A part in hand over the sheet.

    Attributes:
        part: id of the stock part.
        key: id it will have.
        host: what it would go on now, empty for nothing.
    """

    def __init__(self, bridge: Bridge, part: str) -> None:
        self.bridge, self.part = bridge, part
        self.kind = catalogue()[part].kind
        self.key = new_id(bridge.session.settled, self.kind)
        self.host = ""
        self._snap = ""
        self._found = False

    def move(self, pane: Pane | None, point: QPoint, under: str) -> None:
        """Show it at a point of a view; `None` for beside the sheet.

        Args:
            pane: the view the pointer is in.
            point: the point, in the sheet's widget.
            under: id of the thing under the pointer, empty for none.
        """
        job = self.bridge.session.settled
        self._found = pane is not None and not pane.stage_is_framed
        if self._found:
            job = as_it_stays(job)
        host = self._host(job, pane, point, under) if pane is not None else ""
        if pane is None or not host:
            self.off()
            self.bridge.say(f"{catalogue()[self.part].name}: let it go on {self._goes_on()}")
            return
        if self._found and not was_found_on(self.bridge.session.settled, host):
            self.off()
            label = self.bridge.job.label(host)
            self.bridge.say(f"{label} stays: what is new on it is let go on the framed pole")
            return
        try:
            host_for(job, self.part, host)
            where = self._place(job, pane, pane.to_real(point), host)
        except EditError as problem:
            self.off()
            self.bridge.say(str(problem))
            return
        edit = self._edit(host, where)
        problem_text = self.bridge.preview(edit)
        if problem_text:
            self.off()
            self.bridge.say(problem_text)
            return
        self.host = host
        label = f"{self.bridge.job.label(self.key)} on {self.bridge.job.label(host)}"
        if self._found:
            how_high = "" if isinstance(where, OnArm) else "; how high is typed then"
            self.bridge.say(f"{label}, as it was found{how_high}")
            return
        scene = self.bridge.session.scene("framed")
        words = (label, ghost_words(scene, self.key), self._snap)
        self.bridge.say("; ".join(filter(None, words)))

    def put(self) -> bool:
        """Let it go: where it is shown it stays, as one step. Gives whether it was anywhere."""
        if not self.host:
            return False
        job = self.bridge.job
        self.bridge.keep_preview(f"put {job.label(self.key)} on {job.label(self.host)}")
        self.bridge.select(self.key)
        if self._found:
            label = self.bridge.job.label(self.key)
            self.bridge.say(f"{label} was found there: type where, and what becomes of it")
        return True

    def off(self) -> None:
        """Show the job without it."""
        if self.host:
            self.host = ""
            self.bridge.drop_preview()

    def _edit(self, host: str, where: AnyPlace) -> Callable[[Job], Job]:
        put = put_found if self._found else put_on
        return lambda job: put(job, self.part, host, where)[0]

    def _goes_on(self) -> str:
        takes = GOES_ON.get(self.kind, ("thing it belongs to",))
        return " or ".join(f"the {one}" for one in takes)

    def _host(self, job: Job, pane: Pane, point: QPoint, under: str) -> str:
        """What it would go on: what is under the pointer or carries that, an arm near by, the pole.

        Things that are only shown while it is carried are not there yet.
        """
        takes = GOES_ON.get(self.kind)
        seen: set[str] = set()
        key = under
        while key and key not in seen:
            seen.add(key)
            item = job.item_by_id.get(key)
            right = item is not None and (takes is None or item.kind in takes)
            if item is not None and right and item.kind != "pole":
                return key
            thing = item or job.wire_by_id.get(key)
            key = (host_of(place_at(job, thing, "framed")) if thing else None) or ""
        x, y = pane.to_real(point)
        if takes is None or "arm" in takes:
            near = self._arm_near(pane, x, y)
            if near:
                return near
        pole = self._pole()
        if takes is not None and "pole" not in takes:
            return ""
        return pole if abs(x) <= POLE_REACH_IN else ""

    def _arm_near(self, pane: Pane, x: float, y: float) -> str:
        scene = self._settled_scene()
        found: list[tuple[float, str]] = []
        for part in scene.bodies:
            if not part.tags & Tag.ARM or not isinstance(part.shape, Box):
                continue
            if part.pole != self._pole() or part.owner == self.key:
                continue
            along, off = _on_arm(scene, part, pane, x, y)
            if along is not None and abs(along) <= part.shape.half[0] and off <= ARM_REACH_IN:
                found.append((off, part.owner))
        return min(found)[1] if found else ""

    def _settled_scene(self) -> Scene:
        """The scene it is carried over; with the carried part in it while that is shown."""
        return self.bridge.session.scene("found" if self._found else "framed")

    def _pole(self) -> str:
        """The pole it is carried over."""
        of = two_poles.found_pole if self._found else two_poles.framed_pole
        return of(self.bridge.session)

    def _place(self, job: Job, pane: Pane, at: XY, host: str) -> AnyPlace:
        """The place on a host at a point of a view, settled on grid, neighbours and pins."""
        where = place_on(job, self.part, host)
        scene, step = self._settled_scene(), self.bridge.step_in
        self._snap = ""
        if isinstance(where, OnArm):
            arm = scene.parts_of[host][0]
            stock = catalogue().get(job.item_by_id[host].part or "")
            along, _ = _on_arm(scene, arm, pane, *at)
            if along is None or not isinstance(stock, ArmPart):
                return where  # the arm is seen from its end: the first free pin
            targets = pins(job, host, stock.pins_in, ())
            along, self._snap = settled(along, targets, step, PIN_REACH_IN)
            half = stock.length_in / 2
            least, most = stock.middle_in - half, stock.middle_in + half
            return replace(where, along_in=min(max(along, least), most))
        if not isinstance(where, OnPole | Guyed):
            return where
        if self._found:
            return replace(where, azimuth_deg=self._azimuth(pane, at))
        solid = scene.poles.get(host)
        if solid is None or solid.top_up_in is None:
            raise EditError(f"the top height of {job.label(host)} is not known")
        azimuth = self._azimuth(pane, at)
        if pane.is_plan or (isinstance(where, OnPole) and where.to_in is not None):
            return replace(where, azimuth_deg=azimuth)
        up = (at[1] - solid.foot[2]) / solid.rise
        targets = levels(scene, host, (self.key,))
        drop, self._snap = settled(solid.top_up_in - up, targets, step, LEVEL_REACH_IN)
        drop = min(max(drop, 0.0), solid.top_up_in)
        return replace(where, at_in=drop, hold="drop", azimuth_deg=azimuth)

    def _azimuth(self, pane: Pane, at: XY) -> float:
        """An arm faces the viewer, so that it is seen whole; the rest the side it is held to."""
        if pane.is_plan:
            way = pane.way(*at)
            return azimuth_of(way) if way != (0.0, 0.0, 0.0) else 0.0
        if self.kind == "arm":
            return azimuth_of(pane.view.away)
        right = pane.view.right
        return azimuth_of(right if at[0] >= 0.0 else (-right[0], -right[1], 0.0))


def _on_arm(scene: Scene, arm: Part, pane: Pane, x: float, y: float) -> tuple[float | None, float]:
    """Where a point of a view is along an arm from its bolt, and how far off the arm it is drawn.

    `None` where the arm is seen from its end.
    """
    box, solid = arm.shape, scene.poles.get(arm.pole or "")
    if not isinstance(box, Box) or solid is None:
        return None, 0.0
    bolt = between(solid.foot, solid.point(arm.up_in))
    away = pane.view.away
    up_u, up_bolt = (
        (dot(box.u, away), dot(bolt, away)) if pane.is_plan else (0.0, bolt[2] + solid.foot[2])
    )
    seen = (dot(box.u, pane.view.right), up_u)
    share = seen[0] ** 2 + seen[1] ** 2
    dx, dy = x - dot(bolt, pane.view.right), y - up_bolt
    if share < SEEN_SHARE**2:
        return None, abs(dy)
    along = (dx * seen[0] + dy * seen[1]) / share
    off = abs(dx * seen[1] - dy * seen[0]) / share**0.5
    return along, off
