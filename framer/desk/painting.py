"""Pictures as native graphics items, and small pictures painted on widgets.

Items are kept and changed where the next picture has the same kind of primitive in the same place
of its list, so that a drag touches little. Lines keep their weight and text its size whatever the
zoom; text therefore ignores the view's scale.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import TypeAlias

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
from framer.drawing.picture import Circle, Dimension, Line, Path, Primitive, Text
from framer.drawing.style import STYLES, StyleName
from framer.sheets.dimension import dimension_strokes

PAPER = QColor(*PAPER_RGB)

PX_PER_MM = 3.4
"""Line weights and dashes on screen, pixels per mm on paper."""

MARKED = QColor(0, 84, 170)
MARKED_MORE_PX = 1.8
"""What is selected is drawn in this colour and this much heavier."""

OWNER, STYLE = 0, 1
"""Data keys of items: whose they are, and their style."""

Stroke: TypeAlias = Line | Path | Circle | Text
Item: TypeAlias = (
    QGraphicsLineItem | QGraphicsPathItem | QGraphicsEllipseItem | QGraphicsSimpleTextItem
)

_UNMARKED: frozenset[StyleName] = frozenset({"level", "leader", "dimension"})
"""Styles that stay as they are when their owner is selected."""


def strokes(primitives: Iterable[Primitive]) -> Iterator[Stroke]:
    """The primitives with dimensions taken apart."""
    for primitive in primitives:
        if isinstance(primitive, Dimension):
            yield from dimension_strokes(primitive)
        else:
            yield primitive


@cache
def pen(style: StyleName, *, marked: bool = False) -> QPen:
    """The pen of a style: as wide on screen whatever the zoom."""
    look = STYLES[style]
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
    width = metrics.horizontalAdvance(stroke.text)
    start = {"left": 0.0, "middle": width / 2, "right": width}[stroke.anchor]
    return (
        QTransform().rotate(-stroke.rotation_deg).translate(-start, -metrics.ascent())
        if stroke.rotation_deg
        else QTransform.fromTranslate(-start, -metrics.ascent())
    )


@dataclass(slots=True)
class _Drawn:
    stroke: Stroke
    item: Item
    marked: bool
    size_px: int


class Layer:
    """One picture in a scene, under one root that can be shifted.

    Args:
        scene: where it is drawn.
        height: higher layers cover lower ones.
        plates: whether text stands on a plate of paper, so that it can be read over lines.
    """

    def __init__(self, scene: QGraphicsScene, height: float, *, plates: bool = False) -> None:
        self.root = QGraphicsRectItem()
        self.root.setPen(QPen(Qt.PenStyle.NoPen))
        self.root.setZValue(height)
        scene.addItem(self.root)
        self._scene = scene
        self._plates = plates
        self._drawn: list[_Drawn] = []

    @property
    def items(self) -> list[Item]:
        """The items of the picture, later ones over earlier ones."""
        return [drawn.item for drawn in self._drawn]

    def outlines(self, owner: str) -> list[Stroke]:
        """What is drawn of an owner, without its labels and thin lines; of nobody nothing."""
        return [
            drawn.stroke
            for drawn in self._drawn
            if owner and drawn.stroke.owner == owner
            if not isinstance(drawn.stroke, Text) and drawn.stroke.style not in _UNMARKED
        ]

    def show(self, primitives: Iterable[Primitive], px_per_in: float, marked: str = "") -> None:
        """Show a picture at a zoom, with one owner's outlines marked."""
        count = 0
        for index, stroke in enumerate(strokes(primitives)):
            count += 1
            is_marked = bool(marked) and stroke.owner == marked and stroke.style not in _UNMARKED
            size = font_px(stroke.height, px_per_in) if isinstance(stroke, Text) else 0
            if index >= len(self._drawn):
                self._drawn.append(self._new(stroke, index, size, marked=is_marked))
                continue
            drawn = self._drawn[index]
            if type(drawn.stroke) is not type(stroke):
                self._scene.removeItem(drawn.item)
                self._drawn[index] = self._new(stroke, index, size, marked=is_marked)
            elif drawn.stroke != stroke or drawn.marked != is_marked or drawn.size_px != size:
                _change(drawn, stroke, size, marked=is_marked, plate=self._plates)
        for drawn in self._drawn[count:]:
            self._scene.removeItem(drawn.item)
        del self._drawn[count:]

    def _new(self, stroke: Stroke, index: int, size_px: int, *, marked: bool) -> _Drawn:
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
        item.setZValue(index)
        drawn = _Drawn(stroke, item, marked, size_px)
        _style(drawn)
        _place(drawn, plate=self._plates)
        return drawn


def _change(drawn: _Drawn, stroke: Stroke, size_px: int, *, marked: bool, plate: bool) -> None:
    old = drawn.stroke
    fill = getattr(old, "fill", "")
    looks_new = (
        old.style != stroke.style
        or old.owner != stroke.owner
        or getattr(stroke, "fill", "") != fill
        or drawn.marked != marked
        or drawn.size_px != size_px
    )
    drawn.stroke, drawn.marked, drawn.size_px = stroke, marked, size_px
    if looks_new:
        _style(drawn)
    _place(drawn, plate=plate)


def _style(drawn: _Drawn) -> None:
    stroke, item, marked = drawn.stroke, drawn.item, drawn.marked
    item.setData(OWNER, stroke.owner)
    item.setData(STYLE, stroke.style)
    if isinstance(item, QGraphicsSimpleTextItem):
        item.setFont(font(drawn.size_px))
        item.setBrush(ink(stroke.style, marked=marked))
        return
    item.setPen(pen(stroke.style, marked=marked))
    if isinstance(stroke, Path | Circle) and not isinstance(item, QGraphicsLineItem):
        if stroke.fill == "solid":
            item.setBrush(ink(stroke.style, marked=marked))
        elif stroke.fill == "paper":
            item.setBrush(_paper())
        else:
            item.setBrush(Qt.BrushStyle.NoBrush)


def _place(drawn: _Drawn, *, plate: bool) -> None:
    stroke, item = drawn.stroke, drawn.item
    if isinstance(stroke, Line) and isinstance(item, QGraphicsLineItem):
        item.setLine(QLineF(stroke.p[0], -stroke.p[1], stroke.q[0], -stroke.q[1]))
    elif isinstance(stroke, Path) and isinstance(item, QGraphicsPathItem):
        item.setPath(_path(stroke))
    elif isinstance(stroke, Circle) and isinstance(item, QGraphicsEllipseItem):
        item.setRect(_circle(stroke))
    elif isinstance(stroke, Text) and isinstance(item, QGraphicsSimpleTextItem):
        item.setText(stroke.text)
        item.setPos(stroke.at[0], -stroke.at[1])
        item.setTransform(_text_place(stroke, drawn.size_px))
        if plate:
            for child in item.childItems():
                if isinstance(child, QGraphicsRectItem):
                    child.setRect(item.boundingRect().adjusted(-2.0, 0.0, 2.0, 0.0))


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
            painter.drawText(QPointF(0.0, _metrics(size).ascent()), stroke.text)
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
