"""Scanned drawings on the board, pale behind the elevations; nothing of them can be pressed."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtGui import QPixmap, QTransform
from PySide6.QtWidgets import QGraphicsPixmapItem, QGraphicsScene

from framer.desk.board import two_poles
from framer.drawing.guide import FADED, guide_image, is_of
from framer.drawing.panel import View
from framer.drawing.picture import Image
from framer.errors import FramerError
from framer.files.images import print_bytes
from framer.geometry.scene import Scene
from framer.model.stage import Stage
from framer.session import Session

HEIGHT = 0.5
"""Over the paper, under all that is drawn."""

MOST_PX = 2_400
"""Scans are shown no finer than this across or down."""

Placed = tuple[Image, float, float]
"""An image in its view, and where the view's origin is on the sheet."""


class GuideLayer:
    """The scanned drawings that are shown, each where its two marks put it."""

    def __init__(self, scene: QGraphicsScene) -> None:
        self._scene = scene
        self._shown: tuple[Placed, ...] = ()
        self._of: Session | None = None
        self.items: list[QGraphicsPixmapItem] = []
        self._pixmaps: dict[str, QPixmap | None] = {}

    def show(self, session: Session, made: two_poles.Layout, look_deg: float) -> None:
        """Show the drawings of a job in its views as they lie."""
        wanted = tuple(_placed(session, made, look_deg)) if session.job.guides else ()
        if wanted == self._shown and session is self._of:
            return
        if session is not self._of:
            self._pixmaps.clear()
        self._of, self._shown = session, wanted
        for item in self.items:
            self._scene.removeItem(item)
        self.items = []
        for image, x, y in wanted:
            pixmap = self._pixmap(session, image.path)
            if pixmap is not None:
                self._add(pixmap, image, x, y)

    def _add(self, pixmap: QPixmap, image: Image, x: float, y: float) -> None:
        item = QGraphicsPixmapItem(pixmap)
        item.setZValue(HEIGHT)
        item.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        item.setTransformationMode(Qt.TransformationMode.SmoothTransformation)
        left, low, right, top = image.box
        item.setPos((left + right) / 2 + x, -(low + top) / 2 - y)
        across, down = pixmap.width(), pixmap.height()
        wide, high = image.size(across / down)
        # about its middle; down on the screen turns the other way round
        turned = QTransform().rotate(-image.turn_deg).scale(wide / across, high / down)
        item.setTransform(turned.translate(-across / 2, -down / 2))
        self._scene.addItem(item)
        self.items.append(item)

    def _pixmap(self, session: Session, path: str) -> QPixmap | None:
        """A scan from its file, read once; `None` where it cannot be."""
        if path not in self._pixmaps:
            made = QPixmap()
            try:
                made.loadFromData(
                    print_bytes(path, session.folder, (0.0, 0.0, 1.0, 1.0), MOST_PX, FADED)
                )
            except FramerError:  # the dialog says what is wrong with it
                made = QPixmap()
            self._pixmaps[path] = None if made.isNull() else made
        return self._pixmaps[path]


def _placed(session: Session, made: two_poles.Layout, look_deg: float) -> Iterator[Placed]:
    second = two_poles.second_view(View(look_deg, 1.0)).look_deg
    found, framed = session.scene("found"), session.scene(session.shown)
    old, new = two_poles.found_pole(session), two_poles.framed_pole(session)
    panes: tuple[tuple[two_poles.PaneKind, Scene, str, float, Stage], ...] = (
        ("found", found, old, look_deg, "found"),
        ("framed", framed, new, look_deg, "framed"),
        ("second", framed, new, second, "framed"),
    )
    for kind, scene, pole, look, stage in panes:
        at, solid = made.places.get(kind), scene.poles.get(pole)
        if at is None or solid is None:
            continue
        for guide in session.job.guides:
            image = guide_image(guide, solid.foot[2])
            if guide.is_shown and is_of(guide, stage, look) and image is not None:
                yield image, at[0], at[1]
