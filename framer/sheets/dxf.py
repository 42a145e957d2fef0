"""A sheet as DXF: geometry at true size in model space, frame and title enlarged by the scale.

What other programs were found to do with DXF decides the form: everything that must be seen is in
model space as LINE, LWPOLYLINE, CIRCLE, TEXT, solid HATCH or DIMENSION; dimension texts are given
and written as plain TEXT; fills come before outlines; extents and dimension variables are set in
the header; line types have names that are common, since some draw any other as a full line.

Parts are blocks, one for each shape, inserted where they are, with attributes that are not shown:
PART, ITEM, NAME and OWNER. Paper space is an addition: one window to scale, and nothing else in it.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path as FilePath
from typing import Any

from framer.drawing.picture import (
    XY,
    Circle,
    Dimension,
    Image,
    Line,
    Path,
    Picture,
    Primitive,
    Text,
    shifted,
)
from framer.drawing.sheet import Sheet
from framer.drawing.style import STYLES, StyleName
from framer.errors import FramerError
from framer.files.images import pixels_of
from framer.files.whole import write_whole
from framer.model.job import Job
from framer.sheets.dimension import TICK, dimension_strokes
from framer.sheets.image import not_there
from framer.sheets.versions import Version

TEXT_STYLE = "PLAIN"
TEXT_WIDTH = 0.8
"""Width factor of texts: LibreCAD's own font, which it takes for any other, is up to a quarter
wider than the one room is left for."""
DIMENSION_STYLE = "FRAMER"


def write_dxf(sheet: Sheet, path: FilePath, version: Version = "R2010") -> None:
    """Write a sheet as one DXF file, whole or not at all."""
    write_whole(path, dxf_bytes(sheet, version))


def dxf_bytes(sheet: Sheet, version: Version = "R2010") -> bytes:
    """The DXF of a sheet; equal sheets give equal bytes."""
    document = drawing(sheet, version)
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode(document.output_encoding, "dxfreplace")


def drawing(sheet: Sheet, version: Version = "R2010") -> Any:
    """The DXF document of a sheet, an ezdxf Drawing."""
    import ezdxf

    ezdxf.options.write_fixed_meta_data_for_testing = True
    document = ezdxf.new(version, units=1)
    document.header["$MEASUREMENT"] = 0
    document.styles.add(TEXT_STYLE, font="arial.ttf")
    for name in dict.fromkeys(primitive.style for primitive in sheet.picture.primitives):
        _layer(document, name, sheet.scale)
    _dimension_style(document, sheet)
    space = document.modelspace()
    for image in sheet.picture.images:
        _image(document, sheet, image)
    for primitive in sheet.picture.primitives:
        if isinstance(primitive, Path | Circle) and primitive.fill == "solid":
            _hatch(space, primitive)
    blocks = _Blocks(document, sheet.job)
    for owner, group in groupby(sheet.picture.primitives, blocks.key_of):
        if owner:
            blocks.insert(owner, list(group))
        else:
            for primitive in group:
                _add(space, primitive)
    width, height = sheet.paper.width * sheet.scale, sheet.paper.height * sheet.scale
    space.reset_extents((0, 0, 0), (width, height, 0))
    space.reset_limits((0, 0), (width, height))
    _paper_space(document, sheet)
    document.header["$EXTMIN"], document.header["$EXTMAX"] = (0, 0, 0), (width, height, 0)
    return document


def _image(document: Any, sheet: Sheet, image: Image) -> None:
    """An image by the path of its file from the folder of the job; whole, for it is not cut off.

    A program that has the drawing beside the job shows it; its place is framed where it has not.
    """
    space = document.modelspace()
    if STYLES["guide"].layer not in document.layers:
        _layer(document, "guide", sheet.scale)
    try:
        pixels = pixels_of(image.path, sheet.folder)
    except FramerError as reason:
        for primitive in not_there(sheet, image, reason):
            _add(space, primitive)
        return
    left, low, right, top = image.box
    wide, high = image.size(pixels[0] / pixels[1]) if image.turn_deg else (right - left, top - low)
    # it is put in by its lower left corner, and turned about that
    turn = math.radians(image.turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    corner = (
        (left + right - wide * cos + high * sin) / 2,
        (low + top - wide * sin - high * cos) / 2,
    )
    made = space.add_image(
        document.add_image_def(image.path, pixels),
        corner,
        (wide, high),
        rotation=image.turn_deg,
        dxfattribs={"layer": STYLES["guide"].layer},
    )
    made.dxf.fade = round(100 * image.faded)


def _paper_space(document: Any, sheet: Sheet) -> None:
    """A page of the sheet's paper with one window that shows the model at its scale."""
    wide, high, scale = sheet.paper.width, sheet.paper.height, sheet.scale
    layout = document.layout("Layout1")
    layout.page_setup(size=(wide, high), margins=(0, 0, 0, 0), units="inch")
    layout.add_viewport(
        center=(wide / 2, high / 2),
        size=(wide, high),
        view_center_point=(wide * scale / 2, high * scale / 2),
        view_height=high * scale,
    )
    # some take its limits, which go into the header, for the page in drawing units
    layout.reset_limits((0, 0), (wide * scale, high * scale))


ATTRIBUTES = ("PART", "ITEM", "NAME", "OWNER")
"""What is told of each part: id of the stock part, id in the job, name, and whose it is."""

ATTRIBUTE_IN = 0.01
"""Height of attributes: some programs show even those that are not to be seen."""

_NO_NAME = re.compile(r"[^A-Z0-9]+")


class _Blocks:
    """The blocks of a document: one for each shape of each part, used wherever it is again."""

    def __init__(self, document: Any, job: Job | None) -> None:
        self.document, self.job = document, job
        self.space = document.modelspace()
        self._known: dict[tuple[object, ...], str] = {}
        self._names: dict[str, int] = {}

    def key_of(self, one: Primitive) -> str:
        """The id of the item an outline belongs to; empty for texts, wires and what is no item."""
        if self.job is None or not isinstance(one, Line | Path | Circle):
            return ""
        return one.owner if one.owner in self.job.item_by_id else ""

    def insert(self, key: str, outlines: Sequence[Primitive]) -> None:
        """Put the outlines of an item as an insert of its block."""
        part, name, owner = self._about(key)
        left, low, _, _ = Picture(tuple(outlines)).bounds()
        drawn = [shifted(one, -left, -low) for one in outlines]
        shape = (part, *(piece for one in drawn for piece in _shape(one)))
        block = self._known.get(shape)
        if block is None:
            block = self._known[shape] = self._made(part, drawn)
        layer = STYLES[outlines[0].style].layer
        made = self.space.add_blockref(block, (left, low), {"layer": layer})
        for tag, text in zip(ATTRIBUTES, (part, key, name, owner), strict=True):
            attribute = made.add_attrib(
                tag, plain(text), (left, low), {"layer": layer, "height": ATTRIBUTE_IN}
            )
            attribute.is_invisible = True

    def _about(self, key: str) -> tuple[str, str, str]:
        """Stock part, or kind where there is none, name, and owner of an item."""
        assert self.job is not None  # noqa: S101 - `key_of` gives no key without a job
        item = self.job.item_by_id[key]
        return item.part or item.kind, self.job.label(key), item.owner or self.job.owner

    def _made(self, part: str, drawn: Sequence[Primitive]) -> str:
        word = _NO_NAME.sub("-", part.upper()).strip("-") or "PART"
        number = self._names[word] = self._names.get(word, 0) + 1
        name = word if number == 1 else f"{word}-{number}"
        block = self.document.blocks.new(name)
        for one in drawn:
            _add(block, one)
        for at, tag in enumerate(ATTRIBUTES):
            definition = block.add_attdef(
                tag, (0, -at * ATTRIBUTE_IN), dxfattribs={"height": ATTRIBUTE_IN}
            )
            definition.is_invisible = True
        return name


def _shape(one: Primitive) -> Iterator[object]:
    """What tells one outline from another; corners to a thousandth of an inch."""
    yield one.style
    if isinstance(one, Line):
        yield from (_near(one.p), _near(one.q))
    elif isinstance(one, Path):
        yield from map(_near, one.points)
    elif isinstance(one, Circle):
        yield from (_near(one.centre), round(one.radius, 3))


def _near(point: XY) -> XY:
    return round(point[0], 3), round(point[1], 3)


_LINE_TYPES: dict[StyleName, str] = {
    "run": "DASHED",
    "guy": "DASHEDX2",
    "limit": "DASHED2",
    "reach": "CENTER",
    "space": "HIDDEN",
    "was": "DOT",
    "tight": "HIDDEN2",
    "level": "DOT2",
    "communications": "DASHDOT",
    "nearby": "DASHDOTX2",
}
"""Names of the line types of dashed styles; the dashes are those of the style."""

_WEIGHTS = (13, 18, 25, 35, 50, 70)
"""Line weights a DXF file may name that are used here, hundredths of a millimetre."""


def _layer(document: Any, name: StyleName, scale: int) -> None:
    style = STYLES[name]
    line_type = "CONTINUOUS"
    if style.dashes:
        line_type = _LINE_TYPES[name]
        lengths = [dash / 25.4 * scale for dash in style.dashes]
        signed = [length if place % 2 == 0 else -length for place, length in enumerate(lengths)]
        document.linetypes.add(line_type, [sum(lengths), *signed], description=style.layer)
    layer = document.layers.add(style.layer, linetype=line_type)
    layer.rgb = style.colour
    weight = round(style.weight_mm * 100)
    layer.dxf.lineweight = min(_WEIGHTS, key=lambda listed: abs(listed - weight))


def _dimension_style(document: Any, sheet: Sheet) -> None:
    sizes = [one.height for one in sheet.picture.primitives if isinstance(one, Dimension)]
    height = max(sizes, default=0.08 * sheet.scale)
    style = document.dimstyles.add(DIMENSION_STYLE)
    style.dxf.dimtxsty = TEXT_STYLE
    style.dxf.dimtxt = height
    style.dxf.dimasz = height
    style.dxf.dimtsz = TICK * height
    style.dxf.dimexe = 0.6 * height
    style.dxf.dimexo = 0.3 * height
    style.dxf.dimgap = 0.35 * height
    style.dxf.dimtad = 1
    style.dxf.dimtih = 0
    style.dxf.dimtoh = 0
    style.dxf.dimlfac = 1
    style.dxf.dimscale = 1
    style.dxf.dimdec = 4
    style.dxf.dimdsep = ord(".")
    style.copy_to_header(document)


def _hatch(space: Any, shape: Path | Circle) -> None:
    hatch = space.add_hatch(dxfattribs={"layer": STYLES[shape.style].layer})
    if isinstance(shape, Path):
        hatch.paths.add_polyline_path(shape.points, is_closed=True)
    else:
        hatch.paths.add_edge_path().add_arc(shape.centre, shape.radius, 0, 360)


def _add(space: Any, primitive: Primitive) -> None:
    attributes = {"layer": STYLES[primitive.style].layer}
    if isinstance(primitive, Line):
        space.add_line(primitive.p, primitive.q, attributes)
    elif isinstance(primitive, Path):
        space.add_lwpolyline(primitive.points, close=True, dxfattribs=attributes)
    elif isinstance(primitive, Circle):
        space.add_circle(primitive.centre, primitive.radius, attributes)
    elif isinstance(primitive, Text):
        _text(space, primitive, attributes)
    elif primitive.direction == "slant":
        for stroke in dimension_strokes(primitive):
            _add(space, stroke)
    else:
        _dimension(space, primitive, attributes)


def _text(space: Any, text: Text, attributes: dict[str, str]) -> None:
    from ezdxf.enums import TextEntityAlignment

    align = {
        "left": TextEntityAlignment.LEFT,
        "middle": TextEntityAlignment.CENTER,
        "right": TextEntityAlignment.RIGHT,
    }[text.anchor]
    entity = space.add_text(
        plain(text.text),
        height=text.height,
        rotation=text.rotation_deg,
        dxfattribs={**attributes, "style": TEXT_STYLE, "width": TEXT_WIDTH},
    )
    entity.set_placement(text.at, align=align)


def plain(text: str) -> str:
    """A text that stands for itself: nothing in it is a line break, a symbol code or a control."""
    shown = "".join(letter if letter.isprintable() else " " for letter in text)
    return shown.replace("%%", "% %").replace("^", "^ ")


def _dimension(space: Any, dimension: Dimension, attributes: dict[str, str]) -> None:
    """A real dimension whose text is given, and drawn as plain TEXT in its own block."""
    upright = dimension.direction == "upright"
    base = (dimension.across, dimension.p[1]) if upright else (dimension.p[0], dimension.across)
    # from below: LibreCAD puts the text on the far side of one that is measured downwards
    p, q = sorted((dimension.p, dimension.q), key=lambda point: point[1 if upright else 0])
    made = space.add_linear_dim(
        base=base,
        p1=p,
        p2=q,
        angle=90 if upright else 0,
        text=plain(dimension.text),
        dimstyle=DIMENSION_STYLE,
        dxfattribs=attributes,
    )
    made.render()
    block = made.dimension.get_geometry_block()
    for note in list(block.query("MTEXT")):
        block.delete_entity(note)
    for stroke in dimension_strokes(dimension):
        if isinstance(stroke, Text):
            _text(block, stroke, attributes)
