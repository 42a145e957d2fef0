"""The sheet: both poles to one scale from one side, from the side square to it, and from above."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence

from msgspec.structs import replace
from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QBrush, QGuiApplication, QPen
from PySide6.QtWidgets import (
    QGraphicsItem,
    QGraphicsRectItem,
    QGraphicsScene,
    QLabel,
    QVBoxLayout,
    QWidget,
)

from framer.answers.bands import Bands
from framer.checks.finding import Finding
from framer.desk.board import two_poles
from framer.desk.board.guide_layer import GuideLayer
from framer.desk.board.painting import PAPER, Layer
from framer.desk.board.panes import Pane
from framer.desk.board.plan_head import PlanHead
from framer.desk.board.rose import Rose
from framer.desk.board.sheet_view import SheetView
from framer.desk.board.stage_slider import StageSlider
from framer.desk.board.title_line import TitleLine
from framer.desk.board.two_poles import PaneKind, Views
from framer.desk.bridge import Bridge
from framer.drawing.bands import room_strips
from framer.drawing.callouts import finding_line
from framer.drawing.fitting import box_of, clear_of, meet, overlaps, written
from framer.drawing.kept import Kept
from framer.drawing.panel import Panel, View, broadside_look
from framer.drawing.picture import Dimension, Path, Picture, Primitive, Text, extent, rectangle
from framer.drawing.selected import thing_dimensions
from framer.drawing.space_outlines import finding_space
from framer.drawing.stages import worker_outlines
from framer.drawing.viewing import view_words
from framer.geometry.scene import Scene
from framer.geometry.space import between, compass, distance, dot
from framer.geometry.written import exact, from_top
from framer.model.stage import Stage, stage_name
from framer.model.words import left_to_right

HEAD_PX, MARGIN_PX = 48, 12
"""Room above the drawing for the headings, and round it."""

SPARE_ABOVE = 0.25
"""Share of what is to spare that lies above the drawing; below it the rose needs room."""

LEAST_ZOOM, MOST_PX_PER_IN = 0.6, 40.0
"""Smallest zoom, times the one at which all fits, and the largest."""

REDRAW_MS = 40
"""While zooming goes on the drawing is made anew this often."""

RELEASE_MS = 100
"""While a button is held the sheet waits this long again before it is laid out anew."""

HANDLE_PX = 6.0

ROSE_STEP_PX = 2
"""Places for the rose are tried this far apart."""

SEEN_SHARE = 0.3
"""A finding is drawn in the second elevation if at least this share of its length is seen there."""

_HEADING = (
    "background: rgba(253, 252, 249, 230); color: #222; border-bottom: 1px solid #8a8578;"
    "padding: 3px 6px;"
)
_HEADING_EDGES_PX = 18
"""What a heading is wider than its words."""


class Board(QWidget):
    """The drafting sheet: found, framed, the elevation square to it, and the plan from above.

    Attributes:
        view: the scrolled and zoomed sheet.
        views: which views are shown.
        rose: choice of the direction looked at.
        headings: what each view is, by view; `along` what it looks along, where that is a span.
        finding_stage: the stage that the chosen finding is of.
        plan_head: the heading of the plan, with its height.
        layers: the drawing of each view; `overlays` what is drawn over it: dimensions of what is
            selected, and the chosen finding.
        guides: scanned drawings behind the elevations.
        stages: the slider that plays the stages.
        title_line: job, scale and caution below the drawing.
    """

    looked = Signal(float)

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.look_deg = 0.0
        self.views = Views()
        self.plan_at_in: float | None = None
        self.room: Bands | None = None
        self._drawn_room: tuple[object, tuple[Text, ...], tuple[Primitive, ...]] = (None, (), ())
        self.finding_stage: Stage = "framed"
        self.setAccessibleName("drafting sheet")
        self._scene = QGraphicsScene(self)
        # a tree of places costs more to keep up than it saves while most of the sheet is seen
        self._scene.setItemIndexMethod(QGraphicsScene.ItemIndexMethod.NoIndex)
        self._paper, self._plan_paper = self._blank(0.0), self._blank(2.5)
        self.layers: dict[PaneKind, Layer] = {
            "found": Layer(self._scene, 1.0, plates=True),
            "framed": Layer(self._scene, 2.0, plates=True),
            "second": Layer(self._scene, 2.2, plates=True),
            "plan": Layer(self._scene, 2.6, plates=True),
        }
        self.overlays: dict[PaneKind, Layer] = {
            "found": Layer(self._scene, 3.0, plates=True),
            "framed": Layer(self._scene, 4.0, plates=True),
            "second": Layer(self._scene, 4.1, plates=True),
            "plan": Layer(self._scene, 4.2, plates=True),
        }
        self.guides = GuideLayer(self._scene)
        self.view = SheetView(self._scene, self)
        self.rose = Rose(self.view)
        self.rose.looked.connect(self.look)
        kinds: tuple[PaneKind, ...] = ("found", "framed", "second")
        self.headings = {kind: self._heading("font-weight: bold;") for kind in kinds}
        self.along = {kind: self._heading("border: none;") for kind in kinds}
        self.plan_head = PlanHead(self.view, self.set_plan_height, self.step_plan)
        self.plan_head.height_in.said.connect(bridge.say)
        self.stages = StageSlider(bridge, self)
        self.title_line = TitleLine(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.view, 1)
        column.addWidget(self.stages)
        column.addWidget(self.title_line)
        self._fitted = True
        self._layout: two_poles.Layout | None = None
        self._room = QSize()
        self._around: tuple[Primitive, ...] = ()
        self._kept: dict[PaneKind, Kept] = {kind: Kept() for kind in self.layers}
        self._redraw_soon = QTimer(self)
        self._redraw_soon.setSingleShot(True)
        self._redraw_soon.setInterval(REDRAW_MS)
        self._redraw_soon.timeout.connect(self.redraw)
        self._lay_out_soon = QTimer(self)
        self._lay_out_soon.setSingleShot(True)
        self._lay_out_soon.timeout.connect(self._make_room)
        self._listen()

    def _blank(self, height: float) -> QGraphicsRectItem:
        paper = QGraphicsRectItem()
        paper.setBrush(QBrush(PAPER))
        paper.setPen(QPen(Qt.PenStyle.NoPen))
        paper.setZValue(height)
        self._scene.addItem(paper)
        return paper

    def _listen(self) -> None:
        bridge = self.bridge
        bridge.job_opened.connect(self.open)
        bridge.job_changed.connect(self.on_job_changed)
        bridge.job_previewed.connect(self.redraw_framed)
        bridge.stage_changed.connect(self.on_stage)
        bridge.selection_changed.connect(self.redraw)
        bridge.finding_chosen.connect(self.redraw)
        self.view.zoomed.connect(self.zoom)
        self.view.resized.connect(self.on_resized)
        self.view.hovered.connect(self.show_pointer)
        for bar in (self.view.horizontalScrollBar(), self.view.verticalScrollBar()):
            bar.valueChanged.connect(self._place_headings)
            bar.rangeChanged.connect(self._place_headings)

    def _heading(self, more: str) -> QLabel:
        label = QLabel(self.view)
        label.setStyleSheet(_HEADING + more)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        return label

    # --- what is seen ---

    @property
    def found(self) -> Layer:
        """The elevation as found."""
        return self.layers["found"]

    @property
    def framed(self) -> Layer:
        """The elevation as framed."""
        return self.layers["framed"]

    @property
    def overlay(self) -> Layer:
        """What is drawn over the elevation as framed."""
        return self.overlays["framed"]

    @property
    def px_per_in(self) -> float:
        """The zoom: pixels on screen per real inch."""
        return self.view.transform().m11()

    @property
    def sight(self) -> View:
        """The way of looking, with text of the right size for the zoom."""
        text = self._layout.text_at(self.px_per_in) if self._layout else 8.0
        return View(self.look_deg, text)

    @property
    def plan_height(self) -> float:
        """The height the plan looks down at, above the framed pole's ground line."""
        if self.plan_at_in is not None:
            return self.plan_at_in
        session = self.bridge.session
        levels = (two_poles.level_of(session, key) for key in self.in_hand)
        known = [level for level in levels if level is not None]
        # from the highest on, so that all that is selected can be seen
        return max(known) if known else two_poles.first_level(session)

    def open(self) -> None:
        """Show another job, from the side that its top arm is seen broadside from."""
        broadside = broadside_look(self.bridge.session.scene("framed"))
        self.look_deg = 45.0 * round(broadside / 45.0) % 360.0
        self.plan_at_in = None
        self.fit()

    def look(self, look_deg: float) -> None:
        """Look in another direction."""
        self.look_deg = look_deg
        self.fit()
        self.looked.emit(look_deg)
        self.bridge.say(f"looking {compass(look_deg, words=True)}")

    def show_views(self, views: Views) -> None:
        """Show or hide views."""
        if views == self.views:
            return
        kept = replace(views, spaces=self.views.spaces, room=self.views.room)
        only_spaces = kept == self.views
        self.views = views
        if self._layout is None:
            return
        if only_spaces:
            self.on_job_changed()
        else:
            self.fit()

    def set_plan_height(self, height_in: float | None) -> str:
        """Look down at a height above the ground; `None` follows what is selected."""
        self.plan_at_in = height_in
        self._show_plan_head()
        self.redraw_framed()
        return ""

    def step_plan(self, by: int) -> None:
        """Look down at the next level above (1) or below (-1)."""
        levels = two_poles.levels(self.bridge.session)
        now, hair = self.plan_height, 0.01
        beyond = [one for one in levels if (one - now) * by > hair]
        if not beyond:
            self.bridge.say("nothing is higher" if by > 0 else "nothing is lower")
            return
        self.plan_head.height_in.setModified(False)
        self.set_plan_height(min(beyond, key=lambda one: abs(one - now)))

    def fit(self) -> None:
        """Make all views as large as the sheet allows."""
        self._fitted = True
        self._lay_out()
        if self._layout is None:
            return
        self.view.resetTransform()
        self.view.scale(self._layout.px_per_in, self._layout.px_per_in)
        self.view.centerOn(self._paper.rect().center())
        self.redraw()
        self._place_rose()

    def zoom(self, factor: float, about: QPoint | None = None) -> None:
        """Zoom about a point of the view, or about its middle."""
        if self._layout is None:
            return
        at = about or self.view.viewport().rect().center()
        kept = self.view.mapToScene(at)
        least = LEAST_ZOOM * self._layout.px_per_in
        wanted = min(max(self.px_per_in * factor, least), MOST_PX_PER_IN) / self.px_per_in
        self.view.scale(wanted, wanted)
        self.view.scroll_by(self.view.mapFromScene(kept) - at)
        self._fitted = False
        self._place_rose()
        if not self._redraw_soon.isActive():
            self._redraw_soon.start()
        self._place_headings()

    def on_job_changed(self) -> None:
        """Draw the job after an edit; the sheet stays as it lies unless something needs room."""
        made, session = self._layout, self.bridge.session
        if made is None or two_poles.still_fits(session, self.look_deg, self.views, made):
            self.redraw()
        else:
            # the edit may come of the press that leaves an entry: until that press has been
            # taken everything stays where the pointer met it
            self.redraw()
            self._lay_out_soon.start(0)

    def _make_room(self) -> None:
        """Lay the sheet out anew for a job that has outgrown it."""
        if QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton:
            self._lay_out_soon.start(RELEASE_MS)
        elif self._fitted:
            self.fit()
        else:
            self._lay_out()
            self.redraw()

    def on_stage(self) -> None:
        """Draw another stage; the sheet stays as it lies unless something needs room."""
        made = self._layout
        if made is None:
            return
        if self.finding_stage == "found" and self.bridge.finding:
            self.finding_stage = self.bridge.stage
            self.redraw()  # the finding is on the pole as found
        else:
            self.finding_stage = self.bridge.stage
            self.redraw_framed()
            self._place_headings()
        if not two_poles.has_room(made, "framed", self._around):
            self.on_job_changed()

    def on_resized(self) -> None:
        """Keep the sheet filled."""
        # scroll bars that come and go with the paper leave the room as it is
        if self._fitted and self._layout and self._room != self.view.maximumViewportSize():
            self._lay_out_soon.start(0)  # not under a press that changes the strip below
        self._place_rose()
        self._place_headings()

    def _lay_out(self) -> None:
        """Find the place of every view and lay the paper under them."""
        room = self._room = self.view.maximumViewportSize()
        wide = max(200, room.width() - 2 * MARGIN_PX)
        high = max(150, room.height() - HEAD_PX - MARGIN_PX)
        made = two_poles.layout(self.bridge.session, self.look_deg, self.views, wide, high)
        self._layout = made
        for kind, (x, y) in made.places.items():
            for layer in (self.layers[kind], self.overlays[kind]):
                layer.root.setPos(x, -y)
        self.found.faint = self.overlays["found"].faint = self.views.together
        left, low, right, top = made.bounds
        px = 1.0 / made.px_per_in
        width = max(room.width() * px, right - left + 2 * MARGIN_PX * px)
        height = max(room.height() * px, top - low + (HEAD_PX + MARGIN_PX) * px)
        spare = height - (top - low) - (HEAD_PX + MARGIN_PX) * px
        x, y = (left + right - width) / 2, -top - HEAD_PX * px - SPARE_ABOVE * spare
        paper, old = QRectF(x, y, width, height), self._paper.rect()
        drawn = QRectF(left, -top - HEAD_PX * px, right - left, top - low + HEAD_PX * px)
        same = abs(old.width() - width) < px and abs(old.height() - height) < px
        if same and old.contains(drawn):
            paper = old  # what is about to be pressed stays under the pointer
        self._paper.setRect(paper)
        self._plan_paper.setVisible("plan" in made.boxes)
        if "plan" in made.boxes:
            left, low, right, top = made.boxes["plan"]
            self._plan_paper.setRect(QRectF(left, -top, right - left, top - low))
        # a hair inside the paper, or rounding would show scroll bars where all fits
        self._scene.setSceneRect(paper.adjusted(px, px, -px, -px))

    # --- where things are ---

    def pane(self, kind: PaneKind) -> Pane:
        """A view as it now lies."""
        sight = self.sight
        view = two_poles.second_view(sight) if kind == "second" else sight
        origin = self._layout.places.get(kind, (0.0, 0.0)) if self._layout else (0.0, 0.0)
        return Pane(kind, view, origin, self.view.mapToScene)

    def pane_at(self, point: QPoint) -> Pane:
        """The view that a point of the widget is in, or the nearest.

        Where found and framed are drawn together it is the framed one.
        """
        if self._layout is None:
            return self.pane("framed")
        at = self.view.mapToScene(point)
        boxes = dict(self._layout.boxes)
        plan = boxes.pop("plan", None)
        if plan and plan[0] <= at.x() <= plan[2] and plan[1] <= -at.y() <= plan[3]:
            return self.pane("plan")
        if self.views.together:
            boxes.pop("found", None)
        off = {kind: max(box[0] - at.x(), at.x() - box[2], 0.0) for kind, box in boxes.items()}
        return self.pane(min(off, key=lambda kind: off[kind]))

    def pane_of(self, item: QGraphicsItem) -> PaneKind | None:
        """The view an item is drawn in; `None` for paper."""
        parent = item.parentItem()
        return next(
            (
                kind
                for layers in (self.layers, self.overlays)
                for kind, layer in layers.items()
                if layer.root is parent
            ),
            None,
        )

    def show_pointer(self, point: QPoint) -> None:
        """Say below the drawing where the pointer is."""
        self.title_line.pointer.setText(self.pointer_words(point))

    def pointer_words(self, point: QPoint) -> str:
        """Where a point of the widget is, from the ground and the finished top, or in plan."""
        pane = self.pane_at(point)
        session = self.bridge.session
        found = pane.kind == "found"
        scene = session.scene("found" if found else session.shown)
        pole = two_poles.found_pole(session) if found else two_poles.framed_pole(session)
        solid = scene.poles.get(pole)
        if solid is None:
            return ""
        x, y = (round(4.0 * one) / 4.0 for one in pane.to_real(point))
        if pane.is_plan:
            east, north, _ = pane.way(x, y)
            sides = ((east, "east", "west"), (north, "north", "south"))
            said = [
                f"{exact(session.job, abs(by))} {way if by >= 0 else back}"
                for by, way, back in sides
            ]
            return f"pointer {', '.join(said)} of the pole"
        height = y - solid.foot[2]
        side = "above" if height >= 0 else "below"
        words = f"pointer {exact(session.job, abs(height))} {side} ground"
        if solid.top_up_in is not None:
            drop = round(4.0 * (solid.point(solid.top_up_in)[2] - y)) / 4.0
            words += f", {from_top(session.job, drop)}"
        return words

    # --- drawing ---

    @property
    def in_hand(self) -> tuple[str, ...]:
        """Everything that is selected."""
        return self.bridge.selection

    def redraw(self) -> None:
        """Draw everything anew."""
        if self._layout is None:
            return
        session, sight, together = self.bridge.session, self.sight, self.views.together
        ruler = self._layout.rulers_in[0]
        picture = two_poles.found_picture(session, sight, ruler, faint=together)
        self.found.show(picture.primitives, self.px_per_in, self.in_hand)
        more = list(self._handles("found"))
        if not together:
            scene, pole = session.scene("found"), two_poles.found_pole(session)
            dimensions = thing_dimensions(scene, sight, pole, self.bridge.selected)
            more.extend(clear_of(dimensions, self.found.texts))
            finding = self.finding() if self.finding_stage == "found" else None
            if finding is not None:
                around = picture.primitives
                more.extend(finding_space(scene, sight, pole, finding, session.books()))
                more.extend(finding_line(scene, sight, pole, finding, around, narrow=True))
        self.overlays["found"].show(more, self.px_per_in)
        self.guides.show(session, self._layout, self.look_deg)
        self.title_line.show_job(session.job)
        self.title_line.show_scale(self.view.physicalDpiX() / self.px_per_in)
        self.redraw_framed()
        self._place_headings()

    def redraw_framed(self) -> None:
        """Draw what an edit of the framed job changes."""
        if self._layout is None:
            return
        session, sight, shown = self.bridge.session, self.sight, self._layout.places
        finding = self.finding() if self.finding_stage == session.shown else None
        ruler = self._layout.rulers_in[1]
        rooms = two_poles.framed_spaces(session) if self.views.spaces else None
        self._around = two_poles.framed_picture(
            session, sight, ruler, rooms, self._kept["framed"]
        ).primitives
        self.framed.show(self._around, self.px_per_in, self.in_hand)
        self.overlay.show(self._over_framed(finding), self.px_per_in)
        if "second" in shown:
            view = two_poles.second_view(sight)
            picture = two_poles.second_picture(session, view, rooms, self._kept["second"])
            self.layers["second"].show(picture.primitives, self.px_per_in, self.in_hand)
            self.overlays["second"].show(self._over_second(finding), self.px_per_in)
        if "plan" in shown:
            chosen = () if finding is None else (finding,)
            picture = two_poles.plan_picture(
                session, sight, self.plan_height, chosen, rooms, self._kept["plan"]
            )
            self.layers["plan"].show(picture.primitives, self.px_per_in, self.in_hand)
            self.overlays["plan"].show(self._handles("plan"), self.px_per_in)
            self._show_plan_head()
        for kind in ("second", "plan"):
            if kind not in shown:
                self.layers[kind].clear()
                self.overlays[kind].clear()

    def _over_framed(self, finding: Finding | None) -> Iterator[Primitive]:
        """The dimensions of what is selected as framed, and the chosen finding."""
        session, sight = self.bridge.session, self.sight
        scene, pole = session.scene(session.shown), two_poles.framed_pole(session)
        yield from self._handles("framed")
        yield from self._under_plan("framed")
        told: list[Primitive] = []
        if isinstance(session.shown, int):
            step = session.job.steps[session.shown - 1]
            people = list(worker_outlines(scene, step, Panel(scene, sight, pole)))
            told.extend(one for one in people if not isinstance(one, Text))
            names = (one for one in people if isinstance(one, Text))
            told.extend(clear_of(names, self.framed.texts))
        dimensions = thing_dimensions(scene, sight, pole, self.bridge.selected)
        told.extend(clear_of(dimensions, self.framed.texts))
        if finding is not None:
            told.extend(finding_space(scene, sight, pole, finding, session.books(), self._around))
            told.extend(finding_line(scene, sight, pole, finding, self._around, narrow=True))
        yield from self._strips(scene, pole, told)
        yield from told

    def _under_plan(self, kind: PaneKind) -> Iterator[Primitive]:
        """The names that lie under the plan while a thing is in hand: on a tag over the plan.

        The plan gives way to them only when the thing is let go.
        """
        made = self._layout
        if made is None or "plan" not in made.boxes:
            return
        names = list(self._names_within(kind, made.boxes["plan"]))
        if names:
            left, low, right, top = Picture(tuple(names)).bounds()
            off = 0.4 * names[0].height
            tag = rectangle((left - off, low - off, right + off, top + off))
            yield Path(tag, "leader", "", fill="paper")
        yield from names

    def _names_within(self, kind: PaneKind, box: two_poles.Bounds) -> Iterator[Text]:
        """What is written of an elevation in a box of the sheet while a thing is in hand."""
        made, session = self._layout, self.bridge.session
        if made is None or kind not in made.places or session.job is session.settled:
            return
        (x, y), (left, low, right, top) = made.places[kind], box
        box = (left - x, low - y, right - x, top - y)
        yield from (text for text in self.layers[kind].texts if meet(box_of(text), box))

    def _strips(self, scene: Scene, pole: str, told: Sequence[Primitive]) -> Iterator[Primitive]:
        """Where what is selected can go, its words clear of what else is `told` of it.

        While a gesture lasts the words keep their places; those that are come over are left out.
        """
        room, session = self.room, self.bridge.session
        if room is None or not self.views.room or session.shown != "framed":
            return
        taken = self._plan_by_framed()
        drawn_for = (room, self.sight, scene.poles.get(pole), taken)
        others = written(told)
        known_for, known_others, drawn = self._drawn_room
        if known_for != drawn_for or (known_others != others and session.job is session.settled):
            around = (*self._around, *others)
            drawn = tuple(room_strips(scene, self.sight, pole, room, around, taken))
            self._drawn_room = (drawn_for, others, drawn)
        yield from (
            one
            for one in drawn
            if not (isinstance(one, Text) and any(overlaps(one, other) for other in others))
        )

    def _plan_by_framed(self) -> tuple[two_poles.Bounds, ...]:
        """What the plan and its heading cover, from the framed pole's foot; nothing without."""
        made = self._layout
        if made is None or "plan" not in made.boxes:
            return ()
        (left, low, right, top), (x, y) = made.boxes["plan"], made.places["framed"]
        head = two_poles.HEADING_ROOM * made.text_in
        return ((left - x, low - y, right - x, top + head - y),)

    def _over_second(self, finding: Finding | None) -> Iterator[Primitive]:
        """What the first elevation does not show: distances along an arm seen there from its end.

        The chosen finding is drawn where enough of it is seen.
        """
        session, view = self.bridge.session, two_poles.second_view(self.sight)
        scene, pole = session.scene(session.shown), two_poles.framed_pole(session)
        yield from self._handles("second")
        yield from self._under_plan("second")
        dimensions = list(thing_dimensions(scene, view, pole, self.bridge.selected))
        first = dimensions[0] if dimensions else None
        if isinstance(first, Dimension) and first.direction == "level":
            yield from clear_of(dimensions, self.layers["second"].texts)
        if finding is not None and seen_share(finding, view) >= SEEN_SHARE:
            yield from finding_space(scene, view, pole, finding, session.books())
            yield from finding_line(scene, view, pole, finding, narrow=True)

    def show_stage(self, stage: Stage) -> None:
        """Draw the chosen finding of this stage."""
        self.finding_stage = stage
        self.redraw()

    def show_room(self, room: Bands | None) -> None:
        """Draw where what is selected can go along its pole; nothing for `None`."""
        self.room = room
        if self._layout is not None and self.views.room:
            shown = self.finding_stage == self.bridge.session.shown
            finding = self.finding() if shown else None
            self.overlay.show(self._over_framed(finding), self.px_per_in)

    def finding(self) -> Finding | None:
        """The chosen finding as it now is; `None` without one, or when it is gone."""
        key = self.bridge.finding
        if not key:
            return None
        findings = self.bridge.session.findings(self.finding_stage)
        return next((finding for finding in findings if finding.key == key), None)

    def _handles(self, kind: PaneKind) -> Iterator[Primitive]:
        """Small squares at the corners of what is selected: a mark that needs no colour."""
        half = HANDLE_PX / 2 / self.px_per_in
        for owner in self.in_hand:
            points = [
                point for stroke in self.layers[kind].outlines(owner) for point in extent(stroke)
            ]
            if not points:
                continue
            xs, ys = [x for x, _ in points], [y for _, y in points]
            for x in (min(xs) - half, max(xs) + half):
                for y in (min(ys) - half, max(ys) + half):
                    corners = rectangle((x - half, y - half, x + half, y + half))
                    yield Path(corners, "frame", "", fill="paper")

    # --- headings ---

    def _place_headings(self) -> None:
        """Put each heading over its view, or as near to it as can be seen."""
        made = self._layout
        if made is None:
            return
        job, sight = self.bridge.job, self.sight
        for kind, label in self.headings.items():
            along = self.along[kind]
            shown = kind in made.places and not (kind == "found" and self.views.together)
            if not shown:
                label.hide()
                along.hide()
                continue
            view = two_poles.second_view(sight) if kind == "second" else sight
            label.ensurePolished()
            room, wide = self._heading_room(kind), label.fontMetrics().horizontalAdvance
            stage, way = self._stage_words(kind), view.words.removeprefix("looking ")
            short = stage.removeprefix("AFTER ")
            forms = (f"{stage}, {view.words}", f"{stage}, {way}", f"{short}, {way}", view.words)
            label.setText(next((one for one in forms if wide(one) <= room), way))
            words = view_words(job, view.look_deg)
            words = "" if words == view.words else left_to_right(words.removeprefix("looking "))
            along.ensurePolished()
            along.setText(
                along.fontMetrics().elidedText(
                    words, Qt.TextElideMode.ElideRight, self._heading_room(kind)
                )
            )
            for one, y in ((label, 3), (along, 25)):
                one.adjustSize()
                one.setVisible(bool(one.text()) and self._put(one, kind, y))
        plan = "plan" in made.boxes
        if plan:
            left, _, right, top = made.boxes["plan"]
            self.plan_head.fit((right - left) * self.px_per_in)
            self.plan_head.adjustSize()
            corner = self.view.mapFromScene(QPointF(left, -top))
            edge = self.view.viewport().width()
            if "second" in made.boxes and made.boxes["second"][0] > left:
                second = self.view.mapFromScene(QPointF(made.boxes["second"][0], 0.0)).x()
                edge = min(edge, second)
            x = min(corner.x(), edge - self.plan_head.width())
            self.plan_head.move(x, corner.y() - self.plan_head.height() - 2)
        self.plan_head.setVisible(plan)

    def _heading_room(self, kind: PaneKind) -> int:
        """How wide a heading may be before it reaches the view at the right of its own, pixels."""
        made = self._layout
        if made is None:
            return 0
        left = {
            one: self.view.mapFromScene(QPointF(made.boxes[one][0], 0.0)).x()
            for one in self.headings
            if one in made.boxes and not (one == "found" and self.views.together)
        }
        room = self.view.viewport().width()
        return (
            min((x for x in left.values() if x > left[kind]), default=room)
            - left[kind]
            - _HEADING_EDGES_PX
        )

    def _put(self, label: QLabel, kind: PaneKind, y: int) -> bool:
        """Put a heading over its view; whether enough of it can be seen."""
        made = self._layout
        if made is None:
            return False
        box, room = made.boxes[kind], self.view.viewport().width()
        at, first, last = (
            self.view.mapFromScene(QPointF(x, 0.0)).x()
            for x in (made.places[kind][0], box[0], box[2])
        )
        first, last = max(first, 0), min(last, room)
        most = max(first, last - label.width())
        label.move(min(max(at - label.width() // 2, first), most), y)
        return last - first > label.width() // 2

    def _stage_words(self, kind: PaneKind) -> str:
        job = self.bridge.job
        # what is done in a step stands whole beside the slider
        names = (stage_name(job, one) for one in ("found", self.bridge.stage))
        found, framed = (name.partition(":")[0].upper() for name in names)
        if kind == "found":
            return found
        return f"{found} AND {framed}" if self.views.together and kind == "framed" else framed

    def _show_plan_head(self) -> None:
        self.plan_head.show_height(self.plan_height, self.bridge.job.settings)
        self.plan_head.show_rule(follows=self.plan_at_in is None)
        head = self.view.mapToScene(self.plan_head.geometry()).boundingRect()
        box = (head.left(), -head.bottom(), head.right(), -head.top())
        kinds: tuple[PaneKind, ...] = ("framed", "second")
        covers = any(True for kind in kinds for _ in self._names_within(kind, box))
        self.plan_head.setVisible(not covers)

    def _place_rose(self) -> None:
        """Put the rose where the sheet is empty: at the bottom, left of the framed pole."""
        made = self._layout
        if made is None:
            return
        self.rose.show_look(self.look_deg)
        room, size = self.view.viewport().size(), self.rose.size()
        y = room.height() - size.height() - 2
        x = 4
        if self._fitted:
            border = self.view.mapFromScene(QPointF(made.boxes["framed"][0], 0.0)).x()
            wished = border - size.width()
            most = max(0, room.width() - size.width())
            taken = self._taken(QRect(0, y, room.width(), size.height()))

            firsts, lasts = sorted(one for one, _ in taken), sorted(one for _, one in taken)

            def covered(at: int) -> int:
                # of all that begins left of its right edge, what does not end left of the rose
                return bisect_left(firsts, at + size.width()) - bisect_right(lasts, at)

            places = range(0, most + 1, ROSE_STEP_PX)
            x = min(places, key=lambda at: (covered(at), abs(at - wished)), default=x)
        self.rose.move(x, y)

    def _taken(self, band: QRect) -> list[tuple[float, float]]:
        """From where to where across the widget things are drawn in a band of it, paper apart."""
        sight = self.view.viewportTransform()
        boxes = [
            item.deviceTransform(sight).mapRect(item.boundingRect())
            for item in self.view.items(band)
            if self.pane_of(item) is not None
        ]
        return [(box.left(), box.right()) for box in boxes]


def seen_share(finding: Finding, view: View) -> float:
    """How much of a finding's length is seen from a side, 0 without a line."""
    if finding.line is None:
        return 0.0
    p, q = finding.line
    whole = distance(p, q)
    if whole == 0.0:
        return 1.0
    along = between(p, q)
    return math.hypot(dot(along, view.right), along[2]) / whole
