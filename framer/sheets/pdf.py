"""A sheet as PDF, through reportlab, with its fonts inside the file."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path as FilePath
from typing import Any

from framer.drawing.lettering import CAPITAL
from framer.drawing.picture import Circle, Line, Path, Primitive, Text
from framer.drawing.sheet import Sheet
from framer.drawing.style import STYLES
from framer.files.whole import write_whole
from framer.sheets.dimension import dimension_strokes

POINTS_PER_INCH = 72.0
FONT = "Vera"
"""Bitstream Vera Sans, which comes with reportlab."""


def write_pdf(sheets: tuple[Sheet, ...], path: FilePath) -> None:
    """Write sheets as the pages of one PDF file, whole or not at all."""
    write_whole(path, pdf_bytes(sheets))


@cache
def _font() -> str:
    import reportlab
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    folder = FilePath(reportlab.__file__).parent / "fonts"
    pdfmetrics.registerFont(TTFont(FONT, str(folder / "Vera.ttf")))
    return FONT


def pdf_bytes(sheets: tuple[Sheet, ...]) -> bytes:
    """The PDF of some sheets; equal sheets give equal bytes."""
    from reportlab.pdfgen.canvas import Canvas

    buffer = io.BytesIO()
    # else every page begins with a font that is not inside the file
    canvas = Canvas(buffer, invariant=1, pageCompression=1, initialFontName=_font())
    canvas.setTitle(sheets[0].title if sheets else "framer")
    for sheet in sheets:
        size = (sheet.paper.width * POINTS_PER_INCH, sheet.paper.height * POINTS_PER_INCH)
        canvas.setPageSize(size)
        canvas.saveState()
        for primitive in sheet.picture.primitives:
            _draw(canvas, primitive, POINTS_PER_INCH / sheet.scale)
        canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _pen(canvas: Any, primitive: Primitive) -> None:
    style = STYLES[primitive.style]
    red, green, blue = (part / 255.0 for part in style.colour)
    canvas.setStrokeColorRGB(red, green, blue)
    canvas.setLineWidth(style.weight_mm / 25.4 * POINTS_PER_INCH)
    canvas.setDash([dash / 25.4 * POINTS_PER_INCH for dash in style.dashes])
    canvas.setLineJoin(1)
    canvas.setLineCap(1)


def _draw(canvas: Any, primitive: Primitive, scale: float) -> None:
    _pen(canvas, primitive)
    if isinstance(primitive, Line):
        (x1, y1), (x2, y2) = primitive.p, primitive.q
        canvas.line(x1 * scale, y1 * scale, x2 * scale, y2 * scale)
    elif isinstance(primitive, Path):
        outline = canvas.beginPath()
        first, *rest = primitive.points
        outline.moveTo(first[0] * scale, first[1] * scale)
        for x, y in rest:
            outline.lineTo(x * scale, y * scale)
        outline.close()
        canvas.drawPath(outline, stroke=1, fill=_fill(canvas, primitive))
    elif isinstance(primitive, Circle):
        (x, y), radius = primitive.centre, primitive.radius
        fill = _fill(canvas, primitive)
        canvas.circle(x * scale, y * scale, radius * scale, stroke=1, fill=fill)
    elif isinstance(primitive, Text):
        _text(canvas, primitive, scale)
    else:
        for stroke in dimension_strokes(primitive):
            _draw(canvas, stroke, scale)


def _fill(canvas: Any, shape: Path | Circle) -> int:
    if shape.fill == "none":
        return 0
    colour = (255, 255, 255) if shape.fill == "paper" else STYLES[shape.style].colour
    canvas.setFillColorRGB(*(part / 255.0 for part in colour))
    return 1


def _text(canvas: Any, text: Text, scale: float) -> None:
    size = text.height * scale / CAPITAL
    canvas.setFont(_font(), size)
    canvas.setFillColorRGB(*(part / 255.0 for part in STYLES[text.style].colour))
    canvas.saveState()
    canvas.translate(text.at[0] * scale, text.at[1] * scale)
    canvas.rotate(text.rotation_deg)
    draw = {
        "left": canvas.drawString,
        "middle": canvas.drawCentredString,
        "right": canvas.drawRightString,
    }[text.anchor]
    draw(0, 0, _printable(text.text))
    canvas.restoreState()


def _printable(text: str) -> str:
    """The text with a question mark for each letter the font does not have."""
    from reportlab.pdfbase import pdfmetrics

    known = pdfmetrics.getFont(_font()).face.charToGlyph
    return "".join(letter if ord(letter) in known else "?" for letter in text)
