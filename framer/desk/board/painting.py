"""Pictures as native graphics items, and small pictures painted on widgets.

Items are kept and changed where the next picture has the same kind of primitive in the same place
of its list, so that a drag touches little. Lines keep their weight and text its size whatever the
zoom; text therefore ignores the view's scale.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import cache
from typing import TypeAlias

from msgspec import Struct
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QGuiApplication,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
    QPolygonF,
    QTransform,
)
from PySide6.QtWidgets import (
    QGraphicsEllipseItem,
    QGraphicsItem,
    QGraphicsLineItem,
    QGraphicsPathItem,
    QGraphicsRectItem,
    QGraphicsScene,
    QGraphicsSimpleTextItem,
)

from framer.checks.finding import Verdict
from framer.desk.looks import PAPER_RGB
from framer.drawing.lettering import CAPITAL
from framer.drawing.marks import mark
from framer.drawing.picture import XY, Circle, Dimension, Line, Path, Primitive, Text
from framer.drawing.style import STYLES, StyleName
from framer.model.words import left_to_right
from framer.sheets.dimension import dimension_strokes

PAPER = QColor(*PAPER_RGB)

PX_PER_MM = 3.4
"""Line weights and dashes on screen, pixels per mm on paper."""

MARKED = QColor(0, 84, 170)
MARKED_MORE_PX = 1.8
"""What is selected is drawn in this colour and this much heavier."""

PLATE_PX = 1.5
"""A plate reaches this far past its text to each side."""

OWNER, STYLE = 0, 1
"""Data keys of items: whose they are, and their style."""

Stroke: TypeAlias = Line | Path | Circle | Text
Item: TypeAlias = (
    QGraphicsLineItem | QGraphicsPathItem | QGraphicsEllipseItem | QGraphicsSimpleTextItem
)

_UNMARKED: frozenset[StyleName] = frozenset({"level", "leader", "dimension", "space", "fouled"})
"""Styles that stay as they are when their owner is selected."""


def strokes(primitives: Iterable[Primitive]) -> Iterator[Stroke]:
    """The primitives with dimensions taken apart."""
    for primitive in primitives:
        if isinstance(primitive, Dimension):
            yield from dimension_strokes(primitive)
        else:
            yield primitive


FAINT_DASHES_PX = (4.0, 3.0)
"""What is drawn faint is thin and dashed, so that it is told apart without colour."""


@cache
def pen(style: StyleName, *, marked: bool = False, faint: bool = False) -> QPen:
    """The pen of a style: as wide on screen whatever the zoom."""
    look = STYLES[style]
    if faint:
        made = QPen(MARKED if marked else QColor(*look.colour))
        made.setWidthF(1.0 + (MARKED_MORE_PX if marked else 0.0))
        made.setCosmetic(True)
        made.setDashPattern([dash / made.widthF() for dash in FAINT_DASHES_PX])
        return made
    width = max(1.0, look.weight_mm * PX_PER_MM)
    made = QPen(QColor(*look.colour))
    if marked:
        width += MARKED_MORE_PX
        made.setColor(MARKED)
    made.setWidthF(width)
    made.setCosmetic(True)
    made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if look.dashes:
        made.setDashPattern([dash * PX_PER_MM / width for dash in look.dashes])
    return made


@cache
def ink(style: StyleName, *, marked: bool = False) -> QBrush:
    """The brush of a style's solid fills and its text."""
    return QBrush(MARKED if marked else QColor(*STYLES[style].colour))


@cache
def _paper() -> QBrush:
    return QBrush(PAPER)


@cache
def font(size_px: int) -> QFont:
    """The application's font at a size in pixels."""
    made = QFont(QGuiApplication.font())
    made.setPixelSize(size_px)
    return made


@cache
def _metrics(size_px: int) -> QFontMetricsF:
    return QFontMetricsF(font(size_px))


def font_px(capital_in: float, px_per_in: float) -> int:
    """The font size for capitals of a height, at a zoom."""
    return max(5, round(capital_in * px_per_in / CAPITAL))


def _path(stroke: Path) -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(x, -y) for x, y in stroke.points]))
    path.closeSubpath()
    return path


def _circle(stroke: Circle) -> QRectF:
    (x, y), r = stroke.centre, stroke.radius
    return QRectF(x - r, -y - r, 2 * r, 2 * r)


def _text_place(stroke: Text, size_px: int) -> QTransform:
    """The text's own transform: its anchor on the baseline comes to the item's position."""
    metrics = _metrics(size_px)
    width = metrics.horizontalAdvance(left_to_right(stroke.text))
    start = {"left": 0.0, "middle": width / 2, "right": width}[stroke.anchor]
    return (
        QTransform().rotate(-stroke.rotation_deg).translate(-start, -metrics.ascent())
        if stroke.rotation_deg
        else QTransform.fromTranslate(-start, -metrics.ascent())
    )


class _Drawn(Struct):
    stroke: Stroke
    item: Item
    marked: bool
    size_px: int
    height: float


Kind: TypeAlias = tuple[type[Stroke], str, StyleName]
"""Whose a primitive is and what it looks like: an item is kept for the next of its kind."""

LEAST_PX = 0.02
"""What moves by less than this is not drawn anew: nobody could see it."""

_ABOVE = 1e-6
"""An item that has to come over another is raised by this much over it."""


class Layer:
    """One picture in a scene, under one root that can be shifted.

    Args:
        scene: where it is drawn.
        height: higher layers cover lower ones.
        plates: whether text stands on a plate of paper, so that it can be read over lines.

    Attributes:
        faint: whether outlines are drawn thin and dashed, as what is gone or only for comparison.
    """

    def __init__(self, scene: QGraphicsScene, height: float, *, plates: bool = False) -> None:
        self.root = QGraphicsRectItem()
        self.root.setPen(QPen(Qt.PenStyle.NoPen))
        self.root.setZValue(height)
        scene.addItem(self.root)
        self.faint = False
        self._faint_before = False
        self._scene = scene
        self._plates = plates
        self._drawn: list[_Drawn] = []
        self._texts: list[Text] | None = None
        self._looks: tuple[float, frozenset[str]] = (0.0, frozenset())

    @property
    def items(self) -> list[Item]:
        """The items of the picture, later ones over earlier ones."""
        return [drawn.item for drawn in self._drawn]

    @property
    def texts(self) -> list[Text]:
        """What is written in the picture."""
        if self._texts is None:
            strokes = (drawn.stroke for drawn in self._drawn)
            self._texts = [stroke for stroke in strokes if isinstance(stroke, Text)]
        return self._texts

    def outlines(self, owner: str) -> list[Stroke]:
        """What is drawn of an owner, without its labels and thin lines; of nobody nothing."""
        return [
            drawn.stroke
            for drawn in self._drawn
            if owner and drawn.stroke.owner == owner
            if not isinstance(drawn.stroke, Text) and drawn.stroke.style not in _UNMARKED
        ]

    def show(
        self, primitives: Iterable[Primitive], px_per_in: float, marked: Collection[str] = ()
    ) -> None:
        """Show a picture at a zoom, with the outlines of some owners marked.

        Items stay with what they show, so that one thing that moves touches few of them.
        """
        if self.faint != self._faint_before:
            self._faint_before = self.faint
            self.clear()
        self._texts = None
        wanted = list(strokes(primitives))
        looks, self._looks = self._looks, (px_per_in, frozenset(marked))
        new_looks = looks != self._looks
        anew = [
            (drawn, stroke)
            for drawn, stroke in zip(self._drawn, wanted, strict=False)
            if new_looks or drawn.stroke != stroke
        ]
        same = len(wanted) == len(self._drawn)
        if same and all(_kind(drawn.stroke) == _kind(stroke) for drawn, stroke in anew):
            for drawn, stroke in anew:
                self._change(drawn, stroke, px_per_in, marked)
        else:
            self._arrange(wanted, px_per_in, marked, new_looks=new_looks)

    def _arrange(
        self,
        wanted: Sequence[Stroke],
        px_per_in: float,
        marked: Collection[str],
        *,
        new_looks: bool,
    ) -> None:
        """Give every primitive an item of its kind, in their order, and take away the rest."""
        kept: dict[Kind, list[_Drawn]] = {}
        for drawn in reversed(self._drawn):
            kept.setdefault(_kind(drawn.stroke), []).append(drawn)
        now: list[_Drawn] = []
        height = 0.0
        above = _ABOVE if self._drawn else 1.0
        for stroke in wanted:
            there = kept.get(_kind(stroke))
            if there:
                drawn = there.pop()
                if new_looks or drawn.stroke != stroke:
                    self._change(drawn, stroke, px_per_in, marked)
                if drawn.height <= height:
                    drawn.height = height + _ABOVE
                    drawn.item.setZValue(drawn.height)
            else:
                drawn = self._new(stroke, height + above, px_per_in, marked)
            height = drawn.height
            now.append(drawn)
        for rest in kept.values():
            for drawn in rest:
                self._scene.removeItem(drawn.item)
        self._drawn = now

    def clear(self) -> None:
        """Show nothing."""
        for drawn in self._drawn:
            self._scene.removeItem(drawn.item)
        self._drawn = []
        self._texts = None

    def _new(
        self, stroke: Stroke, height: float, px_per_in: float, marked: Collection[str]
    ) -> _Drawn:
        item: Item
        if isinstance(stroke, Line):
            item = QGraphicsLineItem(self.root)
        elif isinstance(stroke, Path):
            item = QGraphicsPathItem(self.root)
        elif isinstance(stroke, Circle):
            item = QGraphicsEllipseItem(self.root)
        else:
            item = QGraphicsSimpleTextItem(self.root)
            item.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
            if self._plates:
                _add_plate(item)
        item.setZValue(height)
        item.setData(OWNER, stroke.owner)
        item.setData(STYLE, stroke.style)
        drawn = _Drawn(
            stroke, item, _is_marked(stroke, marked), _size_px(stroke, px_per_in), height
        )
        self._style(drawn)
        _place(drawn, plate=self._plates)
        return drawn

    def _change(
        self, drawn: _Drawn, stroke: Stroke, px_per_in: float, marked: Collection[str]
    ) -> None:
        """Show another primitive of the same kind by an item."""
        old, is_marked = drawn.stroke, _is_marked(stroke, marked)
        size = _size_px(stroke, px_per_in)
        looks_same = drawn.marked == is_marked and drawn.size_px == size
        if looks_same and _is_at(old, stroke, LEAST_PX / px_per_in):
            return
        drawn.stroke, drawn.marked, drawn.size_px = stroke, is_marked, size
        if looks_same and isinstance(stroke, Text) and _same_words(old, stroke):
            drawn.item.setPos(stroke.at[0], -stroke.at[1])
            return
        if not looks_same or getattr(stroke, "fill", "") != getattr(old, "fill", ""):
            self._style(drawn)
        _place(drawn, plate=self._plates)

    def _style(self, drawn: _Drawn) -> None:
        stroke, item, marked = drawn.stroke, drawn.item, drawn.marked
        if isinstance(item, QGraphicsSimpleTextItem):
            item.setFont(font(drawn.size_px))
            item.setBrush(ink(stroke.style, marked=marked))
            return
        item.setPen(pen(stroke.style, marked=marked, faint=self.faint))
        if isinstance(stroke, Path | Circle) and not isinstance(item, QGraphicsLineItem):
            if self.faint or stroke.fill == "none":
                item.setBrush(Qt.BrushStyle.NoBrush)
            elif stroke.fill == "solid":
                item.setBrush(ink(stroke.style, marked=marked))
            else:
                item.setBrush(_paper())


def _kind(stroke: Stroke) -> Kind:
    return type(stroke), stroke.owner, stroke.style


def _is_marked(stroke: Stroke, marked: Collection[str]) -> bool:
    return stroke.owner in marked and stroke.style not in _UNMARKED


def _size_px(stroke: Stroke, px_per_in: float) -> int:
    return font_px(stroke.height, px_per_in) if isinstance(stroke, Text) else 0


def _is_at(old: Stroke, now: Stroke, hair: float) -> bool:
    """Whether a primitive of the same kind is where another is, but for less than a hair."""
    if isinstance(now, Line):
        return isinstance(old, Line) and _near(old.p, now.p, hair) and _near(old.q, now.q, hair)
    if isinstance(now, Path):
        return (
            isinstance(old, Path)
            and old.fill == now.fill
            and len(old.points) == len(now.points)
            and all(_near(a, b, hair) for a, b in zip(old.points, now.points, strict=True))
        )
    if isinstance(now, Circle):
        return (
            isinstance(old, Circle)
            and old.fill == now.fill
            and abs(old.radius - now.radius) < hair
            and _near(old.centre, now.centre, hair)
        )
    return old == now


def _near(a: XY, b: XY, hair: float) -> bool:
    return abs(a[0] - b[0]) < hair and abs(a[1] - b[1]) < hair


def _same_words(old: Stroke, now: Text) -> bool:
    """Whether a text only stands elsewhere: what it says is not set anew then."""
    return isinstance(old, Text) and (old.text, old.anchor, old.rotation_deg) == (
        now.text,
        now.anchor,
        now.rotation_deg,
    )


def _place(drawn: _Drawn, *, plate: bool) -> None:
    stroke, item = drawn.stroke, drawn.item
    if isinstance(stroke, Line) and isinstance(item, QGraphicsLineItem):
        item.setLine(QLineF(stroke.p[0], -stroke.p[1], stroke.q[0], -stroke.q[1]))
    elif isinstance(stroke, Path) and isinstance(item, QGraphicsPathItem):
        item.setPath(_path(stroke))
    elif isinstance(stroke, Circle) and isinstance(item, QGraphicsEllipseItem):
        item.setRect(_circle(stroke))
    elif isinstance(stroke, Text) and isinstance(item, QGraphicsSimpleTextItem):
        item.setText(left_to_right(stroke.text))
        item.setPos(stroke.at[0], -stroke.at[1])
        item.setTransform(_text_place(stroke, drawn.size_px))
        if plate:
            for child in item.childItems():
                if isinstance(child, QGraphicsRectItem):
                    child.setRect(_plate(item.boundingRect().width(), drawn.size_px))


def _plate(width: float, size_px: int) -> QRectF:
    """What a plate covers: capitals and a hair round them, so that little else is hidden."""
    metrics = _metrics(size_px)
    high = metrics.capHeight()
    return QRectF(-PLATE_PX, metrics.ascent() - high - 0.5, width + 2.0 * PLATE_PX, high + 1.0)


def _add_plate(item: QGraphicsSimpleTextItem) -> None:
    plate = QGraphicsRectItem(item)
    plate.setFlag(QGraphicsItem.GraphicsItemFlag.ItemStacksBehindParent)
    plate.setPen(QPen(Qt.PenStyle.NoPen))
    plate.setBrush(_paper())


def paint(painter: QPainter, primitives: Iterable[Primitive], px_per_in: float) -> None:
    """Paint a small picture whose origin is the painter's."""
    for stroke in strokes(primitives):
        painter.setPen(pen(stroke.style))
        solid = isinstance(stroke, Path | Circle) and stroke.fill == "solid"
        painter.setBrush(ink(stroke.style) if solid else Qt.BrushStyle.NoBrush)
        painter.save()
        if isinstance(stroke, Text):
            size = font_px(stroke.height, px_per_in)
            painter.setFont(font(size))
            painter.translate(stroke.at[0] * px_per_in, -stroke.at[1] * px_per_in)
            painter.setTransform(_text_place(stroke, size), combine=True)
            painter.drawText(QPointF(0.0, _metrics(size).ascent()), left_to_right(stroke.text))
        else:
            painter.scale(px_per_in, px_per_in)
            if isinstance(stroke, Line):
                painter.drawLine(QLineF(stroke.p[0], -stroke.p[1], stroke.q[0], -stroke.q[1]))
            elif isinstance(stroke, Path):
                painter.drawPath(_path(stroke))
            else:
                painter.drawEllipse(_circle(stroke))
        painter.restore()


def mark_pixmap(verdict: Verdict, size_px: int, ratio: float = 1.0) -> QPixmap:
    """A verdict's mark on a chip of paper, so that it looks the same in a dark window."""
    pixmap = QPixmap(round(size_px * ratio), round(size_px * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(_paper())
    painter.drawRoundedRect(QRectF(0, 0, size_px, size_px), 3.0, 3.0)
    painter.translate(size_px / 2, size_px / 2)
    paint(painter, mark(verdict, (0.0, 0.0), 0.6 * size_px), 1.0)
    painter.end()
    return pixmap
