"""The entities of a sheet written with ezdxf alone, as a floor for our own writer."""

from __future__ import annotations

import io
from typing import Any

import ezdxf

from framer.drawing.picture import Circle, Dimension, Line, Path
from framer.drawing.sheet import Sheet


def bare_dxf_bytes(sheet: Sheet) -> bytes:
    """The same lines, outlines, circles, fills, texts and dimensions, with no styling at all."""
    document: Any = ezdxf.new("R2010")
    space = document.modelspace()
    for one in sheet.picture.primitives:
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
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode("utf-8")
