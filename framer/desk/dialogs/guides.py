"""The dialog in which scanned drawings are put behind the elevations by two known heights."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import (
    QButtonGroup,
    QCheckBox,
    QDialogButtonBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from framer.desk.bridge import Bridge
from framer.desk.dialogs.job_dialog import JobDialog
from framer.desk.entries.entry import Choice, LengthEntry
from framer.desk.looks import POINTS
from framer.drawing.guide import guide_box, guide_turn_deg
from framer.edits.guides import add_guide, remove_guide, set_guide
from framer.errors import FramerError
from framer.files.images import aspect_of, print_bytes
from framer.model.guide import Guide, Mark

SIZE_PX = (900, 640)
IMAGE_FILES = "Images (*.png *.jpg *.jpeg *.tif *.tiff *.bmp *.gif);;All files (*)"
MOST_PX = 1_600
CROSS_PX = 9
NUDGE = 0.001
"""An arrow key moves a mark by this share of the image."""

STAGES = (("the pole as found", "found"), ("the pole as framed", "framed"))
MARKS = (("low", "&Lower mark, on the middle of the pole"), ("high", "&Upper mark"))
COLOURS = {"low": QColor(0, 84, 170), "high": QColor(176, 24, 24)}


class MarkedImage(QWidget):
    """A scanned drawing with its two marks; a click, or the arrow keys, say where a mark is."""

    marked = Signal(float, float)
    nudged = Signal(float, float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.pixmap = QPixmap()
        self.marks: dict[str, Mark] = {}
        self.setAccessibleName("the scanned drawing with its two marks")
        self.setToolTip("click where the chosen mark is; arrow keys move it a little")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(QSize(300, 300))

    def show_marks(self, pixmap: QPixmap, marks: dict[str, Mark]) -> None:
        """Show a drawing and its marks."""
        self.pixmap, self.marks = pixmap, marks
        self.update()

    def place(self) -> QRectF:
        """Where the image is on the widget."""
        size = self.pixmap.size().scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
        return QRectF(
            (self.width() - size.width()) / 2, (self.height() - size.height()) / 2,
            size.width(), size.height(),
        )  # fmt: skip

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the drawing and the marks."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        if self.pixmap.isNull():
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, "no scanned drawing")
            return
        place = self.place()
        painter.drawPixmap(place, self.pixmap, QRectF(self.pixmap.rect()))
        for name, mark in self.marks.items():
            at = QPointF(
                place.left() + mark.x * place.width(), place.top() + mark.y * place.height()
            )
            painter.setPen(QPen(COLOURS[name], 2.0))
            for way in (QPointF(CROSS_PX, 0.0), QPointF(0.0, CROSS_PX)):
                painter.drawLine(at - way, at + way)
            painter.drawText(
                at + QPointF(CROSS_PX, -CROSS_PX / 2), "lower" if name == "low" else "upper"
            )

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A mark is where it is pressed."""
        place = self.place()
        if event.button() != Qt.MouseButton.LeftButton or not place.contains(event.position()):
            return
        off = event.position() - place.topLeft()
        self.marked.emit(off.x() / place.width(), off.y() / place.height())

    def keyPressEvent(self, event: Any) -> None:
        """Arrow keys move the chosen mark a little."""
        way = {
            Qt.Key.Key_Left: (-NUDGE, 0.0),
            Qt.Key.Key_Right: (NUDGE, 0.0),
            Qt.Key.Key_Up: (0.0, -NUDGE),
            Qt.Key.Key_Down: (0.0, NUDGE),
        }.get(event.key())
        if way is None:
            super().keyPressEvent(event)
        else:
            self.nudged.emit(*way)


class Guides(JobDialog):
    """Scanned drawings behind the elevations; every change is a step to take back.

    Attributes:
        image: the chosen drawing with its marks.
        heights: the entries of the heights of both marks.
        state: how the chosen drawing lies, or what is wanting.
        message: what is wrong with what was typed or chosen.
    """

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(bridge, parent)
        self.setWindowTitle("Scanned drawings behind the elevations")
        self.at = 0
        self._pixmaps: dict[str, QPixmap] = {}
        self.image = MarkedImage(self)
        self.image.marked.connect(self._mark)
        self.image.nudged.connect(self._nudge)
        self.drawing = Choice("scanned drawing", self._choose, self)
        self.stage = Choice("which pole it lies behind", partial(self._set, "stage"), self)
        self.look = Choice("direction it is seen in", partial(self._set, "look_deg"), self)
        self.state, self.message = QLabel(self), QLabel(self)
        for label in (self.state, self.message):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
        self.add, self.remove = QPushButton("&Add...", self), QPushButton("&Remove", self)
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        self.turned = QCheckBox("&Turn until the upper mark is over the lower one", self)
        self.shown = QCheckBox("Show on &screen", self)
        self.printed = QCheckBox("&Print on sketch and framing sheet", self)
        self.turned.clicked.connect(lambda on=False: self._set("is_turned", bool(on)))
        self.shown.clicked.connect(lambda on=False: self._set("is_shown", bool(on)))
        self.printed.clicked.connect(lambda on=False: self._set("is_printed", bool(on)))
        self.heights: dict[str, LengthEntry] = {}
        self.marks: dict[str, QRadioButton] = {}
        self._group = QButtonGroup(self)
        for name, words in MARKS:
            self.marks[name] = QRadioButton(words, self)
            self._group.addButton(self.marks[name])
            entry = LengthEntry(
                f"{words.replace('&', '').partition(',')[0]}, above ground",
                partial(self._height, name),
                signed="minus: below ground",
                empty="empty: not known",
            )
            entry.said.connect(self.message.setText)
            self.heights[name] = entry
        self.marks["low"].setChecked(True)
        self._lay_out()

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow("&Drawing", self.drawing)
        row = QHBoxLayout()
        row.addWidget(self.add)
        row.addWidget(self.remove)
        row.addStretch(1)
        form.addRow("", row)
        form.addRow("&Behind", self.stage)
        form.addRow("See&n looking", self.look)
        for name, _ in MARKS:
            form.addRow(self.marks[name])
            form.addRow("is above ground", self.heights[name])
        form.addRow(self.turned)
        form.addRow(self.shown)
        form.addRow(self.printed)
        note = QLabel(
            "Choose a mark and click where it is in the drawing, then type its height. The drawing "
            "is looked at only: nothing is measured from it. For one that lies askew put both "
            "marks on the middle of the pole, and have it turned.",
            self,
        )
        note.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        for button in (*buttons.buttons(), self.add, self.remove):
            if isinstance(button, QPushButton):
                button.setAutoDefault(False)
        side = QVBoxLayout()
        side.addWidget(note)
        side.addLayout(form)
        side.addWidget(self.state)
        side.addWidget(self.message)
        side.addStretch(1)
        side.addWidget(buttons)
        both = QHBoxLayout(self)
        both.addWidget(self.image, 3)
        both.addLayout(side, 2)
        self.resize(*SIZE_PX)

    @property
    def guide(self) -> Guide | None:
        """The chosen drawing."""
        guides = self.bridge.job.guides
        return guides[self.at] if self.at < len(guides) else None

    def refresh(self) -> None:
        """Show the drawings of the job, and the chosen one with its marks."""
        job = self.bridge.job
        self.at = max(0, min(self.at, len(job.guides) - 1))
        guide, reason = self.guide, "" if job.guides else "add a scanned drawing first"
        names = [(f"{at}. {one.path}", at - 1) for at, one in enumerate(job.guides, start=1)]
        self.drawing.show_options(names, self.at, reason)
        self.stage.show_options(STAGES, guide.stage if guide else "found", reason)
        looks = [(word, azimuth) for azimuth, _, word in POINTS]
        self.look.show_options(looks, guide.look_deg if guide else 0.0, reason)
        for box, on in (
            (self.turned, bool(guide and guide.is_turned)),
            (self.shown, bool(guide and guide.is_shown)),
            (self.printed, bool(guide and guide.is_printed)),
        ):
            box.setChecked(on)
        for widget in (self.remove, self.turned, self.shown, self.printed, *self.marks.values()):
            widget.setEnabled(not reason)
            widget.setToolTip(reason)
        marks = {"low": guide.low, "high": guide.high} if guide else {}
        for name, entry in self.heights.items():
            mark = marks.get(name)
            entry.show_length(mark.height_in if mark else None, job.settings, reason)
        problem, pixmap = "", QPixmap()
        if guide is not None:
            try:
                pixmap = self._pixmap(guide.path)
            except FramerError as wrong:
                problem = str(wrong)
            placed = guide_box(guide, 0.0)
            problem = problem or (placed if isinstance(placed, str) else "")
        self.image.show_marks(pixmap, marks)
        self.state.setText(problem or (_lies(guide) if guide else reason))

    def _pixmap(self, path: str) -> QPixmap:
        if path not in self._pixmaps:
            made = QPixmap()
            folder = self.bridge.session.folder
            made.loadFromData(print_bytes(path, folder, (0.0, 0.0, 1.0, 1.0), MOST_PX))
            self._pixmaps[path] = made
        return self._pixmaps[path]

    def _choose(self, at: object) -> None:
        self.at = int(str(at))
        self.refresh()

    def _set(self, field: str, value: object) -> None:
        at = self.at
        problem = self.bridge.do_here(
            "place the scanned drawing", lambda job: set_guide(job, at, **{field: value})
        )
        self.message.setText(problem)

    def _mark(self, x: float, y: float) -> None:
        guide = self.guide
        if guide is None:
            return
        name = "low" if self.marks["low"].isChecked() else "high"
        old: Mark = getattr(guide, name)
        x, y = (min(max(value, 0.0), 1.0) for value in (x, y))
        self._set(name, Mark(x, y, old.height_in))

    def _nudge(self, right: float, down: float) -> None:
        guide = self.guide
        if guide is not None:
            mark = guide.low if self.marks["low"].isChecked() else guide.high
            self._mark(mark.x + right, mark.y + down)

    def _height(self, name: str, value: float | None) -> str:
        guide, at = self.guide, self.at
        if guide is None:
            return "add a scanned drawing first"
        mark: Mark = getattr(guide, name)
        made = Mark(mark.x, mark.y, value)
        return self.bridge.do_here(
            "height of a mark", lambda job: set_guide(job, at, **{name: made})
        )

    def _add(self) -> None:
        folder = self.bridge.session.folder or Path.home()
        name, _ = QFileDialog.getOpenFileName(
            self, "Choose a scanned drawing", str(folder), IMAGE_FILES
        )
        if not name:
            return
        path = Path(name)
        if path.is_relative_to(folder):
            path = path.relative_to(folder)
        words, look = path.as_posix(), self._looked_deg()
        try:
            aspect = aspect_of(words, folder)
        except FramerError as wrong:
            self.message.setText(str(wrong))
            return
        at = len(self.bridge.job.guides)
        problem = self.bridge.do_here(
            "put in a scanned drawing", lambda job: add_guide(job, words, aspect, look)
        )
        self.at = at
        self.refresh()
        self.message.setText(problem)

    def _looked_deg(self) -> float:
        """The direction the board looks in."""
        table = getattr(self.parent(), "table", None)
        return float(table.board.look_deg) if table is not None else 0.0

    def _remove(self) -> None:
        at = self.at
        self.bridge.do_here("take out a scanned drawing", lambda job: remove_guide(job, at))


def _lies(guide: Guide) -> str:
    """How a drawing that has its place lies."""
    turn = guide_turn_deg(guide)
    way = "anticlockwise" if turn > 0.0 else "clockwise"
    turned = f", turned {abs(turn):.1f} degrees {way}" if abs(turn) >= 0.05 else ""
    return f"It lies behind the elevation{turned}."
