"""The sheet: both poles to one scale, seen from one side."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QBrush, QPen
from PySide6.QtWidgets import QGraphicsRectItem, QGraphicsScene, QLabel, QVBoxLayout, QWidget

from framer.checks.finding import Finding
from framer.desk import two_poles
from framer.desk.bridge import Bridge
from framer.desk.painting import PAPER, Layer
from framer.desk.rose import Rose
from framer.desk.sheet_view import SheetView
from framer.drawing.column import column_outline
from framer.drawing.elevation import View, broadside_look, finding_line
from framer.drawing.picture import Path, Primitive, extent
from framer.drawing.selected import thing_dimensions
from framer.drawing.sheet import cautions
from framer.geometry.space import compass
from framer.model.stage import Stage, stage_name

HEAD_PX, MARGIN_PX = 32, 12
"""Room above the drawing for the headings, and round it."""

LEAST_ZOOM, MOST_PX_PER_IN = 0.6, 40.0
"""Smallest zoom, times the one at which all fits, and the largest."""

REDRAW_MS = 40
"""While zooming goes on the drawing is made anew this often."""

HANDLE_PX = 6.0

_HEADING = (
    "background: rgba(253, 252, 249, 230); color: #222; border-bottom: 1px solid #8a8578;"
    "padding: 3px 10px; font-weight: bold;"
)
_FOOTER = "background: #fdfcf9; color: #444; border-top: 1px solid #d8d3c6; padding: 2px 8px;"


class Board(QWidget):
    """The drafting sheet with the pole as found at its left and as framed at its right.

    Attributes:
        view: the scrolled and zoomed sheet.
        rose: choice of the direction looked at.
        headings: what the two elevations are, by stage.
        found, framed: the two elevations.
        found_overlay, overlay: dimensions of what is selected, and the chosen finding.
    """

    looked = Signal(float)

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self.look_deg = 0.0
        self.setAccessibleName("drafting sheet")
        self._scene = QGraphicsScene(self)
        self._paper = QGraphicsRectItem()
        self._paper.setBrush(QBrush(PAPER))
        self._paper.setPen(QPen(Qt.PenStyle.NoPen))
        self._scene.addItem(self._paper)
        self.found = Layer(self._scene, 1.0)
        self.framed = Layer(self._scene, 2.0)
        self.found_overlay = Layer(self._scene, 3.0, plates=True)
        self.overlay = Layer(self._scene, 4.0, plates=True)
        self.view = SheetView(self._scene, self)
        self.rose = Rose(self.view)
        self.rose.looked.connect(self.look)
        self.headings: dict[Stage, QLabel] = {"found": self._heading(), "framed": self._heading()}
        self.footer = QLabel(cautions()[0], self)
        self.footer.setWordWrap(True)
        self.footer.setStyleSheet(_FOOTER)
        self.footer.setAccessibleName("caution")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.view, 1)
        column.addWidget(self.footer)
        self._fitted = True
        self._layout: two_poles.Layout | None = None
        self._around: tuple[Primitive, ...] = ()
        self._redraw_soon = QTimer(self)
        self._redraw_soon.setSingleShot(True)
        self._redraw_soon.setInterval(REDRAW_MS)
        self._redraw_soon.timeout.connect(self.redraw)
        self._listen()

    def _listen(self) -> None:
        bridge = self.bridge
        bridge.job_opened.connect(self.open)
        bridge.job_changed.connect(self.on_job_changed)
        bridge.job_previewed.connect(self.redraw_framed)
        bridge.selection_changed.connect(self.redraw)
        bridge.finding_chosen.connect(self.redraw_overlay)
        self.view.zoomed.connect(self.zoom)
        self.view.resized.connect(self.on_resized)
        for bar in (self.view.horizontalScrollBar(), self.view.verticalScrollBar()):
            bar.valueChanged.connect(self._place_headings)
            bar.rangeChanged.connect(self._place_headings)

    def _heading(self) -> QLabel:
        label = QLabel(self.view)
        label.setStyleSheet(_HEADING)
        label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        return label

    # --- what is seen ---

    @property
    def px_per_in(self) -> float:
        """The zoom: pixels on screen per real inch."""
        return self.view.transform().m11()

    @property
    def sight(self) -> View:
        """The way of looking, with text of the right size for the zoom."""
        text = self._layout.text_at(self.px_per_in) if self._layout else 8.0
        return View(self.look_deg, text)

    def open(self) -> None:
        """Show another job, from the side that its top arm is seen broadside from."""
        broadside = broadside_look(self.bridge.session.scene("framed"))
        self.look_deg = 45.0 * round(broadside / 45.0) % 360.0
        self.fit()

    def look(self, look_deg: float) -> None:
        """Look in another direction."""
        self.look_deg = look_deg
        self.fit()
        self.looked.emit(look_deg)
        self.bridge.say(f"looking {compass(look_deg, words=True)}")

    def fit(self) -> None:
        """Make both poles as large as the sheet allows."""
        self._fitted = True
        self._lay_out()
        if self._layout is None:
            return
        self.view.resetTransform()
        self.view.scale(self._layout.px_per_in, self._layout.px_per_in)
        self.view.centerOn(self._paper.rect().center())
        self._place_rose()
        self.redraw()

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
        made = self._layout
        if made is None or two_poles.still_fits(self.bridge.session, self.look_deg, made):
            self.redraw()
        elif self._fitted:
            self.fit()
        else:
            self._lay_out()
            self.redraw()

    def on_resized(self) -> None:
        """Keep the sheet filled."""
        if self._fitted and self._layout is not None:
            self.fit()
        self._place_rose()
        self._place_headings()

    def _lay_out(self) -> None:
        """Find the place of both elevations and lay the paper under them."""
        room = self.view.maximumViewportSize()
        wide = max(200, room.width() - 2 * MARGIN_PX)
        high = max(150, room.height() - HEAD_PX - MARGIN_PX)
        made = two_poles.layout(self.bridge.session, self.look_deg, wide, high)
        self._layout = made
        for layer in (self.framed, self.overlay):
            layer.root.setPos(made.shift_in, 0.0)
        left, low, right, top = made.bounds
        px = 1.0 / made.px_per_in
        width = max(room.width() * px, right - left + 2 * MARGIN_PX * px)
        height = max(room.height() * px, top - low + (HEAD_PX + MARGIN_PX) * px)
        spare = height - (top - low) - (HEAD_PX + MARGIN_PX) * px
        x, y = (left + right - width) / 2, -top - HEAD_PX * px - spare / 2
        paper = QRectF(x, y, width, height)
        self._paper.setRect(paper)
        # a hair inside the paper, or rounding would show scroll bars where all fits
        self._scene.setSceneRect(paper.adjusted(px, px, -px, -px))

    # --- drawing ---

    def redraw(self) -> None:
        """Draw everything anew."""
        if self._layout is None:
            return
        ruler = self._layout.rulers_in[0]
        picture = two_poles.found_picture(self.bridge.session, self.sight, ruler)
        self.found.show(picture.primitives, self.px_per_in, self.bridge.selected)
        session, key = self.bridge.session, self.bridge.selected
        scene, pole = session.scene("found"), two_poles.found_pole(session)
        more = [*self._handles(self.found), *thing_dimensions(scene, self.sight, pole, key)]
        self.found_overlay.show(more, self.px_per_in)
        self.redraw_framed()
        self._place_headings()

    def redraw_framed(self) -> None:
        """Draw what an edit of the framed job changes."""
        if self._layout is None:
            return
        ruler = self._layout.rulers_in[1]
        picture = two_poles.framed_picture(self.bridge.session, self.sight, ruler)
        self.framed.show(picture.primitives, self.px_per_in, self.bridge.selected)
        self._around = picture.primitives
        self.redraw_overlay()

    def redraw_overlay(self) -> None:
        """Draw the dimensions of what is selected as framed, and the chosen finding."""
        if self._layout is None:
            return
        session, sight, key = self.bridge.session, self.sight, self.bridge.selected
        scene, pole = session.scene("framed"), two_poles.framed_pole(session)
        more = [*self._handles(self.framed), *thing_dimensions(scene, sight, pole, key)]
        finding = self.finding()
        if finding is not None:
            more.extend(column_outline(scene, sight, pole, finding, session.books()))
            more.extend(finding_line(scene, sight, pole, finding, self._around))
        self.overlay.show(more, self.px_per_in)

    def finding(self) -> Finding | None:
        """The chosen finding as it now is; `None` without one, or when it is gone."""
        key = self.bridge.finding
        if not key:
            return None
        findings = self.bridge.session.findings("framed")
        return next((finding for finding in findings if finding.key == key), None)

    def _handles(self, layer: Layer) -> Iterator[Primitive]:
        """Small squares at the corners of what is selected: a mark that needs no colour."""
        points = [
            point for stroke in layer.outlines(self.bridge.selected) for point in extent(stroke)
        ]
        if not points:
            return
        xs, ys = [x for x, _ in points], [y for _, y in points]
        half = HANDLE_PX / 2 / self.px_per_in
        for x in (min(xs) - half, max(xs) + half):
            for y in (min(ys) - half, max(ys) + half):
                corners = ((x - half, y - half), (x + half, y - half), (x + half, y + half),
                           (x - half, y + half))  # fmt: skip
                yield Path(corners, "frame", "", fill="paper")

    def _place_headings(self) -> None:
        """Put each heading over its pole, or as near to it as can be seen."""
        made = self._layout
        if made is None:
            return
        border = made.shift_in + made.rulers_in[1] - 4.0 * made.text_in
        room = self.view.viewport().width()
        for stage, foot, left, right in (
            ("found", 0.0, made.bounds[0], border),
            ("framed", made.shift_in, border, made.bounds[2]),
        ):
            label = self.headings["found" if stage == "found" else "framed"]
            name = stage_name(self.bridge.job, "found" if stage == "found" else "framed")
            label.setText(f"{name.upper()}, {self.sight.words}")
            label.adjustSize()
            at, first, last = (
                self.view.mapFromScene(QPointF(x, 0.0)).x() for x in (foot, left, right)
            )
            first, last = max(first, 0), min(last, room)
            label.setVisible(last - first > label.width() // 2)
            most = max(first, last - label.width())
            label.move(min(max(at - label.width() // 2, first), most), 4)

    def _place_rose(self) -> None:
        """Put the rose where the sheet is empty: at the bottom, between the poles if they show."""
        made = self._layout
        if made is None:
            return
        self.rose.show_look(self.look_deg)
        room = self.view.viewport().size()
        x = 4
        if self._fitted:
            border = made.shift_in + made.rulers_in[1] - 4.0 * made.text_in
            x = self.view.mapFromScene(QPointF(border, 0.0)).x() - self.rose.width()
            x = min(max(0, x), room.width() - self.rose.width())
        self.rose.move(x, room.height() - self.rose.height() - 2)
