"""The entities of a sheet written with ezdxf alone, as a floor for our own writer."""

from __future__ import annotations

import io
from itertools import groupby
from typing import Any

import ezdxf

from framer.drawing.picture import Circle, Dimension, Line, Path, Primitive
from framer.drawing.sheet import Sheet


def bare_dxf_bytes(sheet: Sheet) -> bytes:
    """The same lines, outlines, circles, fills, texts, dimensions and inserts, with no styling."""
    document: Any = ezdxf.new("R2010")
    space = document.modelspace()
    items = sheet.job.item_by_id if sheet.job else {}

    def item_of(one: Primitive) -> str:
        return one.owner if isinstance(one, Line | Path | Circle) and one.owner in items else ""

    for owner, group in groupby(sheet.picture.primitives, item_of):
        some = list(group)
        if not owner:
            for one in some:
                _add(space, one)
            continue
        name = f"{items[owner].part}-{len(some)}"
        if name not in document.blocks:
            block = document.blocks.new(name)
            for one in some:
                _add(block, one)
            for tag in range(4):
                block.add_attdef(f"TAG{tag}")
        insert = space.add_blockref(name, (0, 0))
        for tag in range(4):
            insert.add_attrib(f"TAG{tag}", owner)
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode("utf-8")


def _add(space: Any, one: Primitive) -> None:
    if isinstance(one, Line):
        space.add_line(one.p, one.q)
    elif isinstance(one, Path):
        space.add_lwpolyline(one.points, close=True)
        if one.fill == "solid":
            space.add_hatch().paths.add_polyline_path(one.points, is_closed=True)
    elif isinstance(one, Circle):
        space.add_circle(one.centre, one.radius)
        if one.fill == "solid":
            space.add_hatch().paths.add_edge_path().add_arc(one.centre, one.radius, 0, 360)
    elif isinstance(one, Dimension):
        if one.direction == "slant":
            for _ in range(3):
                space.add_line(one.p, one.q)
        else:
            space.add_linear_dim((one.across, one.p[1]), one.p, one.q, angle=90).render()
    else:
        space.add_text(one.text, height=one.height).set_placement(one.at)
