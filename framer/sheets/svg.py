"""A sheet as SVG, at its size on paper; every text has the width it was given room for."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from pathlib import Path as FilePath
from xml.sax.saxutils import escape, quoteattr

from framer.drawing.lettering import CAPITAL, text_width
from framer.drawing.picture import Circle, Image, Line, Path, Primitive, Text
from framer.drawing.sheet import Sheet
from framer.drawing.style import STYLES, StyleName
from framer.errors import FramerError
from framer.files.whole import write_whole
from framer.model.words import left_to_right
from framer.sheets.dimension import dimension_strokes
from framer.sheets.image import image_bytes, not_there
from framer.units.figures import trimmed

FONTS = "'Bitstream Vera Sans', 'DejaVu Sans', Verdana, sans-serif"
"""Alike in shape; whichever is there is set to the width of the first."""

MM = 25.4
UNITS = 100.0
"""User units per millimetre of paper: some programs round the size of a font to whole units."""


def write_svg(sheet: Sheet, path: FilePath) -> None:
    """Write a sheet as one SVG file, whole or not at all."""
    write_whole(path, svg_bytes(sheet))


def svg_bytes(sheet: Sheet) -> bytes:
    """The SVG of a sheet at its size on paper; equal sheets give equal bytes."""
    wide_mm, high_mm = sheet.paper.width * MM, sheet.paper.height * MM
    wide, high = UNITS * wide_mm, UNITS * high_mm
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(wide_mm)}mm" height="{_n(high_mm)}mm" '
        f'viewBox="0 0 {_n(wide)} {_n(high)}" font-family="{FONTS}" stroke-linecap="round" '
        'stroke-linejoin="round">',
        f"<title>{escape(_clean(sheet.title))}</title>",
        f'<rect width="{_n(wide)}" height="{_n(high)}" fill="#ffffff"/>',
    ]
    pen = _Pen(UNITS * MM / sheet.scale, high)
    for image in sheet.picture.images:
        lines.extend(pen.image(sheet, image))
    for primitive in sheet.picture.primitives:
        lines.extend(pen.drawn(primitive))
    lines.append("</svg>\n")
    return "\n".join(lines).encode("utf-8", "replace")


def _n(value: float) -> str:
    """A number to a tenth of a user unit, without needless zeros."""
    text = trimmed(f"{value:.1f}")
    return "0" if text == "-0" else text


def _clean(text: str) -> str:
    return "".join(letter if letter.isprintable() else " " for letter in text)


def _colour(style: StyleName) -> str:
    return "#{:02x}{:02x}{:02x}".format(*STYLES[style].colour)


class _Pen:
    """Draws primitives; `scale` is user units per real inch, y runs down from `high`."""

    def __init__(self, scale: float, high: float) -> None:
        self.scale, self.high = scale, high

    def at(self, point: tuple[float, float]) -> tuple[str, str]:
        """A point on the page, as written."""
        return _n(point[0] * self.scale), _n(self.high - point[1] * self.scale)

    def image(self, sheet: Sheet, image: Image) -> Iterator[str]:
        """What is seen of an image, inside the file, or why it is not there."""
        try:
            data = base64.b64encode(image_bytes(sheet, image)).decode("ascii")
        except FramerError as reason:
            for primitive in not_there(sheet, image, reason):
                yield from self.drawn(primitive)
            return
        left, low, right, top = image.clip
        x, y = self.at((left, top))
        wide, high = _n((right - left) * self.scale), _n((top - low) * self.scale)
        yield (
            f'<image x="{x}" y="{y}" width="{wide}" height="{high}" preserveAspectRatio="none" '
            f'href="data:image/jpeg;base64,{data}"/>'
        )

    def drawn(self, one: Primitive) -> Iterator[str]:
        """The elements of one primitive."""
        if isinstance(one, Line):
            (x1, y1), (x2, y2) = self.at(one.p), self.at(one.q)
            yield f'<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"{self._stroke(one)}/>'
        elif isinstance(one, Path):
            points = " ".join(",".join(self.at(point)) for point in one.points)
            yield f'<polygon points="{points}"{self._stroke(one)}{self._fill(one)}/>'
        elif isinstance(one, Circle):
            (x, y), radius = self.at(one.centre), _n(one.radius * self.scale)
            yield f'<circle cx="{x}" cy="{y}" r="{radius}"{self._stroke(one)}{self._fill(one)}/>'
        elif isinstance(one, Text):
            yield self._text(one)
        else:
            for stroke in dimension_strokes(one):
                yield from self.drawn(stroke)

    def _stroke(self, one: Line | Path | Circle) -> str:
        style = STYLES[one.style]
        words = f' stroke="{_colour(one.style)}" stroke-width="{_n(UNITS * style.weight_mm)}"'
        if style.dashes:
            words += f' stroke-dasharray="{" ".join(_n(UNITS * dash) for dash in style.dashes)}"'
        return words + self._owner(one)

    def _owner(self, one: Line | Path | Circle | Text) -> str:
        return f" data-owner={quoteattr(_clean(one.owner))}" if one.owner else ""

    def _fill(self, shape: Path | Circle) -> str:
        paint = {"none": "none", "paper": "#ffffff", "solid": _colour(shape.style)}
        return f' fill="{paint[shape.fill]}"'

    def _text(self, one: Text) -> str:
        x, y = self.at(one.at)
        size = one.height * self.scale / CAPITAL
        words = _clean(one.text)
        wide = text_width(words, one.height) * self.scale
        anchor = {"left": "start", "middle": "middle", "right": "end"}[one.anchor]
        turn = f' transform="rotate({_n(-one.rotation_deg)} {x} {y})"' if one.rotation_deg else ""
        length = f' textLength="{_n(wide)}" lengthAdjust="spacingAndGlyphs"' if wide else ""
        return (
            f'<text x="{x}" y="{y}" font-size="{_n(size)}" text-anchor="{anchor}"{length} '
            f'fill="{_colour(one.style)}" xml:space="preserve"{turn}{self._owner(one)}>'
            f"{escape(left_to_right(words))}</text>"
        )
