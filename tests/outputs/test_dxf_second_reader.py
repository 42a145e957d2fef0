"""The sketch as DXF, read and drawn by GDAL, which shares no code with what wrote it.

GDAL takes blocks and dimensions apart into lines and texts, so counts of entities are compared
with the primitives of the sheet, and the picture with where its lines are.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pyogrio
import pytest
import shapely
from PIL import Image, ImageDraw

from framer.drawing.picture import Circle, Dimension, Line, Text
from framer.drawing.picture import Path as Outline
from framer.drawing.sheet import Sheet
from framer.drawing.style import STYLES
from framer.sheets.dxf import dxf_bytes
from framer.sheets.versions import VERSIONS, Version
from framer.units.length import read_length
from tests.outputs.samples import NAMES, sample

PX_PER_IN = 60


@dataclass(frozen=True)
class Read:
    """What GDAL found in a file: layer, kind, text and geometry of each entity."""

    sheet: Sheet
    layers: list[str]
    kinds: list[str]
    texts: list[str | None]
    shapes: Any

    def of(self, kind: str) -> list[int]:
        return [at for at, one in enumerate(self.kinds) if one == kind]


def read(folder: Path, name: str, version: Version = "R2010") -> Read:
    made = sample(name).sheet()
    path = folder / "sketch.dxf"
    path.write_bytes(dxf_bytes(made, version))
    about, _, shapes, columns = pyogrio.raw.read(path)
    found = dict(zip(about["fields"], columns, strict=True))
    kinds = [str(one).rsplit(":", 1)[-1].removeprefix("AcDb") for one in found["SubClasses"]]
    return Read(made, list(found["Layer"]), kinds, list(found["Text"]), shapely.from_wkb(shapes))


@pytest.fixture(params=NAMES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.mark.parametrize("version", VERSIONS)
def test_every_text_is_read_on_its_layer(tmp_path: Path, name: str, version: Version) -> None:
    there = read(tmp_path, name, version)
    found = Counter((there.layers[at], there.texts[at]) for at in there.of("Text"))
    wanted = Counter(
        (STYLES[one.style].layer, one.text)
        for one in there.sheet.picture.primitives
        if isinstance(one, Text | Dimension) and one.text
    )
    assert sum(wanted.values()) > 60
    assert found == wanted


def test_fills_and_outlines_that_are_no_part_are_counted_alike(tmp_path: Path, name: str) -> None:
    there = read(tmp_path, name)
    job = there.sheet.job
    assert job is not None
    shapes = [one for one in there.sheet.picture.primitives if isinstance(one, Outline | Circle)]
    solid = sum(one.fill == "solid" for one in shapes)
    free = [one for one in shapes if one.owner not in job.item_by_id]
    assert len(there.of("Hatch")) == solid > 0
    assert len(there.of("Polyline")) == sum(isinstance(one, Outline) for one in free)
    assert len(there.of("Circle")) == sum(isinstance(one, Circle) for one in free)


def test_every_item_shown_is_read_with_its_attributes(tmp_path: Path, name: str) -> None:
    there = read(tmp_path, name)
    job = there.sheet.job
    assert job is not None
    told = [there.texts[at] for at in there.of("Attribute")]
    assert len(told) == 4 * len(there.of("BlockReference")) > 40
    owners = {
        one.owner
        for one in there.sheet.picture.primitives
        if isinstance(one, Line | Outline | Circle) and one.owner in job.item_by_id
    }
    assert {one for one in told if one in job.item_by_id} == owners


def test_a_dimension_is_as_long_as_its_text_says(tmp_path: Path, name: str) -> None:
    """Each text stands along a line of just that length."""
    there = read(tmp_path, name)
    wanted = [
        one
        for one in there.sheet.picture.primitives
        if isinstance(one, Dimension) and one.direction == "upright"
    ]
    assert len(wanted) >= 8
    lines = [there.shapes[at].coords for at in there.of("Line") if there.layers[at] == "DIMENSION"]
    for one in wanted:
        said = read_length(one.text).value_in
        lengths = [
            abs(line[0][1] - line[-1][1])
            for line in lines
            if line[0][0] == pytest.approx(one.across) == line[-1][0]
        ]
        # the slant of a raked pole is 1 in 7000, and 1/16 in is what is written
        assert any(math.isclose(said, one, abs_tol=1 / 32 + said / 7000) for one in lengths)


def test_the_picture_has_ink_where_the_sheet_has_lines_and_none_elsewhere(
    tmp_path: Path, name: str
) -> None:
    there = read(tmp_path, name)
    sheet = there.sheet
    px = PX_PER_IN / sheet.scale
    size = (round(sheet.paper.width * PX_PER_IN), round(sheet.paper.height * PX_PER_IN))
    image = Image.new("1", size)
    pen = ImageDraw.Draw(image)

    def at(point: tuple[float, ...]) -> tuple[float, float]:
        return point[0] * px, size[1] - 1 - point[1] * px

    for kind, shape in zip(there.kinds, there.shapes, strict=True):
        if kind == "Hatch" or shape is None:
            continue
        for piece in getattr(shape, "geoms", (shape,)):
            if piece.geom_type == "LineString":
                pen.line([at(point) for point in piece.coords], fill=1, width=3)
    ink = np.array(image)
    image.save(tmp_path / f"{name}.png")
    missing, drawn = [], 0
    for one in sheet.picture.primitives:
        if not isinstance(one, Line):
            continue
        drawn += 1
        for share in (0.1, 0.5, 0.9):
            x, y = at(tuple(p + share * (q - p) for p, q in zip(one.p, one.q, strict=True)))
            row, column = round(y), round(x)
            if not ink[row - 1 : row + 2, column - 1 : column + 2].any():
                missing.append(one)
    assert drawn > 50
    assert missing == []
    # the margin is 0.4 in all round
    edge = round(0.35 * PX_PER_IN)
    inside = ink[edge:-edge, edge:-edge].sum()
    assert inside == ink.sum() > 5_000
