"""The sketch as DXF, opened and printed at its scale by LibreCAD, looked at as pixels.

LibreCAD writes letters as strokes, so there is no text to extract from what it prints: a text is
there when there is ink in its place, and fits when there is none past its end.
"""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from framer.drawing.picture import XY, Circle, Dimension, Line, Picture, Text, dimension_text
from framer.drawing.picture import Path as Outline
from framer.drawing.sheet import Sheet
from framer.drawing.style import STYLES
from framer.sheets.output import write_sheet
from tests.outputs.samples import NAMES, raster, sample

DPI = 100
NEAR_PX = 2
"""Ink this far from where it is expected counts: lines are about two pixels wide."""


@dataclass(frozen=True)
class Print:
    """A sheet and the ink LibreCAD printed of it."""

    sheet: Sheet
    ink: NDArray[np.bool_]

    def pixel(self, point: XY) -> tuple[int, int]:
        """Row and column of a point of the sheet."""
        x, y = (at / self.sheet.scale * DPI for at in point)
        return self.ink.shape[0] - 1 - round(y), round(x)

    def box(self, left: float, low: float, right: float, top: float) -> NDArray[np.bool_]:
        """The pixels of a rectangle of the sheet."""
        (row, column), (last_row, last_column) = self.pixel((left, top)), self.pixel((right, low))
        return self.ink[row : last_row + 1, column : last_column + 1]

    def is_inked(self, point: XY) -> bool:
        row, column = self.pixel(point)
        near = (
            slice(row - NEAR_PX, row + NEAR_PX + 1),
            slice(column - NEAR_PX, column + NEAR_PX + 1),
        )
        return bool(self.ink[near].any())


@pytest.fixture(params=NAMES)
def printed(
    request: pytest.FixtureRequest, tmp_path: Path, needs_program: Callable[[str], str]
) -> Print:
    librecad, pdftoppm = needs_program("librecad"), needs_program("pdftoppm")
    made = sample(request.param).sheet()
    drawing = tmp_path / "sketch.dxf"
    write_sheet(made, drawing)
    done = subprocess.run(
        [librecad, "dxf2pdf", "-s", f"{1 / made.scale:.12f}", "-t", str(tmp_path), str(drawing)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        # its settings and no screen
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen", "HOME": str(tmp_path)},
    )
    pdf = tmp_path / "sketch.pdf"
    assert pdf.exists(), done.stdout + done.stderr
    assert pdf.stat().st_size > 50_000
    # the page is the paper enlarged, of which the sheet at its scale is the lower left corner
    high, wide = (round(size * DPI) for size in (made.paper.height, made.paper.width))
    above = round(made.paper.height * made.scale * DPI) - high
    corner = ["-r", str(DPI), "-x", "0", "-y", str(above), "-W", str(wide), "-H", str(high)]
    pixels = raster(pdftoppm, pdf, *corner)
    assert pixels.shape == (high, wide, 3)
    return Print(made, pixels.min(axis=2) < 225)


def texts(sheet: Sheet) -> list[Text]:
    primitives = sheet.picture.primitives
    found = [one for one in primitives if isinstance(one, Text)]
    return found + [
        dimension_text(one) for one in primitives if isinstance(one, Dimension) and one.text
    ]


def along(p: XY, q: XY, step: float) -> list[XY]:
    """Points on a line, not its very ends."""
    many = max(2, int(np.hypot(q[0] - p[0], q[1] - p[1]) / step))
    return [
        (p[0] + (q[0] - p[0]) * place / many, p[1] + (q[1] - p[1]) * place / many)
        for place in range(1, many)
    ]


def test_the_frame_has_its_size_on_paper(printed: Print) -> None:
    rows, columns = np.nonzero(printed.ink)
    paper = printed.sheet.paper
    # a margin of 0.4 in all round
    assert (columns.min() / DPI, columns.max() / DPI) == pytest.approx(
        (0.4, paper.width - 0.4), abs=0.03
    )
    assert (rows.min() / DPI, rows.max() / DPI) == pytest.approx(
        (0.4, paper.height - 0.4), abs=0.03
    )


def test_every_full_line_is_where_the_sheet_has_it(printed: Print) -> None:
    points: list[XY] = []
    for one in printed.sheet.picture.primitives:
        if STYLES[one.style].dashes:
            continue
        if isinstance(one, Line):
            points += along(one.p, one.q, 6.0)
        elif isinstance(one, Outline):
            for p, q in zip(one.points, (*one.points[1:], one.points[0]), strict=True):
                points += along(p, q, 6.0)
        elif isinstance(one, Circle):
            (x, y), radius = one.centre, one.radius
            points += [(x - radius, y), (x + radius, y), (x, y - radius), (x, y + radius)]
        elif isinstance(one, Dimension) and one.direction == "upright":
            points += along((one.across, one.p[1]), (one.across, one.q[1]), 6.0)
    assert len(points) > 1500
    missing = [point for point in points if not printed.is_inked(point)]
    assert missing == []


def test_every_dashed_line_is_there_and_is_broken(printed: Print) -> None:
    dashed = [
        one
        for one in printed.sheet.picture.primitives
        if isinstance(one, Line)
        and one.style in ("nearby", "limit", "level", "communications")
        and np.hypot(one.p[0] - one.q[0], one.p[1] - one.q[1]) > 0.5 * printed.sheet.scale
    ]
    assert len(dashed) >= 5
    for one in dashed:
        points = along(one.p, one.q, 1.0)
        inked = sum(printed.is_inked(point) for point in points) / len(points)
        assert inked > 0.1, one


def test_every_text_is_in_its_place(printed: Print) -> None:
    wanted = texts(printed.sheet)
    assert len(wanted) > 60
    for one in wanted:
        left, low, right, top = Picture((one,)).bounds()
        inked = printed.box(left, low, right, top)
        long_way = inked.any(axis=1 if one.rotation_deg else 0)
        # thin upright strokes leave ink in one column of five at least
        assert long_way.mean() > (0.2 if len(one.text) > 5 else 0.05), one.text


def test_no_finding_runs_into_the_numbers_beside_the_list(printed: Print) -> None:
    """LibreCAD's letters are wider; in the list lines end before the column of numbers."""
    sheet = printed.sheet
    list_left = sheet.paper.width - 0.4 - 3.9
    low, top = (0.4 + 1.0 + 0.05) * sheet.scale, (sheet.paper.height - 0.8) * sheet.scale
    between = [(list_left + at) * sheet.scale for at in (3.47, 3.58)]
    assert not printed.box(between[0], low, between[1], top).any()
    # and where the lines are there is ink
    assert printed.box((list_left + 0.3) * sheet.scale, low, between[0], top).any()


def test_nothing_is_drawn_where_the_sheet_has_nothing(printed: Print) -> None:
    """All ink lies in or next to the bounds of something of the sheet."""
    allowed = np.zeros_like(printed.ink)
    for one in printed.sheet.picture.primitives:
        left, low, right, top = Picture((one,)).bounds()
        margin = 0.12 * printed.sheet.scale  # ticks, and arrows outside a short dimension
        (row, column), (last_row, last_column) = (
            printed.pixel((left - margin, top + margin)),
            printed.pixel((right + margin, low - margin)),
        )
        if one.style == "frame" and isinstance(one, Outline):
            continue
        allowed[max(0, row) : last_row + 1, max(0, column) : last_column + 1] = True
    for row in (39, 40, 41, 42):  # the frame
        allowed[row, :] = allowed[-row - 1, :] = True
        allowed[:, row] = allowed[:, -row - 1] = True
    stray = printed.ink & ~allowed
    assert stray.sum() == 0, np.argwhere(stray)[:5]
