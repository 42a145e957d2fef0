"""The sketch as it will be printed, on screen and on a printer, at true scale.

Printing is imported only when it is asked for.
"""

from __future__ import annotations

from PySide6.QtCore import QLineF, QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QImage,
    QPageLayout,
    QPageSize,
    QPainter,
    QPen,
    QPolygonF,
)
from PySide6.QtPrintSupport import QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QWidget

from framer.desk.board.painting import ink, strokes
from framer.drawing.lettering import CAPITAL, text_width
from framer.drawing.picture import Circle, Fill, Line, Primitive, Text
from framer.drawing.sheet import Sheet
from framer.drawing.style import STYLES, StyleName
from framer.errors import FramerError
from framer.model.words import left_to_right
from framer.sheets.image import image_bytes, not_there

MM_PER_INCH = 25.4
FONT_PX = 100
"""Text is painted in a large font made smaller, so that no printer rounds its size."""


def paint_sheet(painter: QPainter, sheet: Sheet, px_per_paper_in: float) -> None:
    """Paint a whole sheet, its upper left corner at 0, 0.

    Args:
        painter: where.
        sheet: what.
        px_per_paper_in: how many units of the painter an inch of paper has.
    """
    px = px_per_paper_in / sheet.scale
    high = sheet.paper.height * px_per_paper_in

    def at(point: tuple[float, float]) -> QPointF:
        return QPointF(point[0] * px, high - point[1] * px)

    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    missing: list[Primitive] = []
    for image in sheet.picture.images:
        try:
            data = image_bytes(sheet, image)
        except FramerError as reason:
            missing.extend(not_there(sheet, image, reason))
            continue
        left, low, right, top = image.clip
        painter.drawImage(QRectF(at((left, top)), at((right, low))), QImage.fromData(data))
    for stroke in strokes((*missing, *sheet.picture.primitives)):
        painter.setPen(_pen(stroke.style, px_per_paper_in))
        if isinstance(stroke, Text):
            _paint_text(painter, stroke, at(stroke.at), px)
        elif isinstance(stroke, Line):
            painter.drawLine(QLineF(at(stroke.p), at(stroke.q)))
        elif isinstance(stroke, Circle):
            painter.setBrush(_brush(stroke.fill, stroke.style))
            painter.drawEllipse(at(stroke.centre), stroke.radius * px, stroke.radius * px)
        else:
            painter.setBrush(_brush(stroke.fill, stroke.style))
            painter.drawPolygon(QPolygonF([at(point) for point in stroke.points]))
    painter.restore()


def _pen(style: StyleName, px_per_paper_in: float) -> QPen:
    look = STYLES[style]
    width = look.weight_mm / MM_PER_INCH * px_per_paper_in
    made = QPen(QColor(*look.colour), width)
    made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if look.dashes:
        made.setDashPattern([dash / look.weight_mm for dash in look.dashes])
    return made


def _brush(fill: Fill, style: StyleName) -> QBrush:
    if fill == "solid":
        return ink(style)
    white = QBrush(Qt.GlobalColor.white)
    return white if fill == "paper" else QBrush(Qt.BrushStyle.NoBrush)


def _paint_text(painter: QPainter, text: Text, at: QPointF, px: float) -> None:
    """Paint a text as high as it says and never wider than it was reckoned to be."""
    font = QFont(painter.font())
    font.setPixelSize(FONT_PX)
    words = left_to_right(text.text)
    wide = max(1.0, QFontMetricsF(font).horizontalAdvance(words))
    size = text.height * px / CAPITAL / FONT_PX
    across = min(size, text_width(text.text, text.height) * px / wide)
    start = {"left": 0.0, "middle": -wide / 2, "right": -wide}[text.anchor]
    painter.save()
    painter.translate(at)
    painter.rotate(-text.rotation_deg)
    painter.scale(across, size)
    painter.setFont(font)
    painter.drawText(QPointF(start, 0.0), words)
    painter.restore()


def printer_for(sheet: Sheet) -> QPrinter:
    """A printer set to the sheet's paper, with nothing scaled."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(sheet.title)
    printer.setFullPage(True)
    size = QSizeF(sheet.paper.height, sheet.paper.width)  # page sizes are named upright
    page = QPageSize(size, QPageSize.Unit.Inch, sheet.paper.name)
    across = QPageLayout.Orientation.Landscape
    printer.setPageLayout(QPageLayout(page, across, QMarginsF(0.0, 0.0, 0.0, 0.0)))
    return printer


class PrintPreview(QPrintPreviewDialog):
    """The sheet at true scale, and the button that prints it.

    What the title block lacks, and where that is typed, is said above it.
    """

    def __init__(self, sheet: Sheet, parent: QWidget | None = None, lacking: str = "") -> None:
        self._printer = printer_for(sheet)
        super().__init__(self._printer, parent)
        self.sheet = sheet
        title = f"Print preview: {sheet.title}, {scale_words(sheet)}"
        self.setWindowTitle("; ".join(filter(None, (title, lacking))))
        self.paintRequested.connect(self.paint_pages)
        self.resize(1100, 760)

    def paint_pages(self, printer: QPrinter) -> None:
        """Paint the sheet on a page."""
        painter = QPainter(printer)
        paint_sheet(painter, self.sheet, float(printer.resolution()))
        painter.end()


def scale_words(sheet: Sheet) -> str:
    """Paper and scale, as said in the title."""
    return f"{sheet.paper.name}, 1:{sheet.scale}"
