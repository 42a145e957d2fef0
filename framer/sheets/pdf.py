"""A sheet as PDF, through reportlab, with its fonts inside the file."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Container
from functools import cache
from pathlib import Path as FilePath
from typing import Any

from framer.drawing.lettering import CAPITAL
from framer.drawing.picture import Circle, Dimension, Image, Line, Path, Primitive, Text
from framer.drawing.sheet import MARGIN, Sheet
from framer.drawing.style import STYLES
from framer.errors import FramerError
from framer.files.whole import write_whole
from framer.sheets.dimension import dimension_strokes
from framer.sheets.image import image_bytes, not_there

POINTS_PER_INCH = 72.0
FONT = "Vera"
"""Bitstream Vera Sans, which comes with reportlab."""

LOST = "Some letters of names have no shape in the font of this print: each is printed as ?."
"""Said on every page that lacks letters."""

NOTE_IN = 0.08
"""Height of its capitals on paper, inches."""

_ALIKE = str.maketrans({"\u2032": "'", "\u2033": '"', "\u2212": "-", "\u2010": "-", "\u2011": "-"})
"""Letters the font lacks that look like others it has: primes, minus and hyphens."""


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
        for image in sheet.picture.images:
            _image(canvas, sheet, image)
        for primitive in sheet.picture.primitives:
            _draw(canvas, primitive, POINTS_PER_INCH / sheet.scale)
        _note(canvas, sheet)
        canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _image(canvas: Any, sheet: Sheet, image: Image) -> None:
    """What is seen of an image, or why it is not printed."""
    from reportlab.lib.utils import ImageReader

    scale = POINTS_PER_INCH / sheet.scale
    try:
        data = image_bytes(sheet, image)
    except FramerError as reason:
        for primitive in not_there(sheet, image, reason):
            _draw(canvas, primitive, scale)
        return
    left, low, right, top = (value * scale for value in image.clip)
    reader = ImageReader(io.BytesIO(data))
    canvas.drawImage(reader, left, low, right - left, top - low)


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
    if text.isascii() and text.isprintable():
        return text
    whole = unicodedata.normalize("NFC", text).translate(_ALIKE)
    return "".join(letter if ord(letter) in _shapes() else "?" for letter in whole)


def _shapes() -> Container[int]:
    """Codes of all letters the font has a shape for."""
    from reportlab.pdfbase import pdfmetrics

    shapes: Container[int] = pdfmetrics.getFont(_font()).face.charToGlyph
    return shapes


def _note(canvas: Any, sheet: Sheet) -> None:
    """Say in the margin that letters of names were lost, where some were."""
    texts = (
        one.text
        for stroke in sheet.picture.primitives
        for one in (dimension_strokes(stroke) if isinstance(stroke, Dimension) else (stroke,))
        if isinstance(one, Text)
    )
    if any(_printable(text).count("?") > text.count("?") for text in texts):
        at = (MARGIN * sheet.scale, 0.4 * MARGIN * sheet.scale)
        note = Text(at, LOST, NOTE_IN * sheet.scale, "label")
        _draw(canvas, note, POINTS_PER_INCH / sheet.scale)
