"""The drill sheet of a pole: side views with the bores marked, their table, bolts, a rose."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec import Struct

from framer.drawing.fitting import overlaps, spread
from framer.drawing.lettering import shortened, text_width, wrapped
from framer.drawing.panel import NO_GIRTH_RADIUS_IN
from framer.drawing.picture import (
    XY,
    Anchor,
    Circle,
    Line,
    Path,
    Picture,
    Primitive,
    Text,
    rectangle,
)
from framer.drawing.sheet import (
    MARGIN,
    PAPERS,
    TEXT,
    TITLE_HEIGHT,
    Paper,
    Sheet,
    drafted,
    located,
    scale_words,
    title_block,
    usual_scales,
)
from framer.errors import FramerError
from framer.geometry.scene import Scene
from framer.geometry.space import POINTS, azimuth_of_point, compass, toward
from framer.geometry.written import exact, marks
from framer.model.job import Job
from framer.takeoff.drilling import DrillList, DrillRow, drill_cells, drill_list, stack_words
from framer.units.compare import HAIR_IN
from framer.units.length import System

VIEWS = 3.3
"""Width of the two side views, inches of paper."""

PAD = 0.12
ROSE = 0.6
"""Free room round each block, and the radius of the rose for usual letters; inches of paper."""

ROSE_STROKES = (0.35, 0.55, 0.75)
"""How far the way of a bore is drawn, shares of the rose's radius; the first that has room."""

LINE = 1.5
"""Height of a line of text per height of a capital."""

SHARES = (1.4, 1.2, 1.0, 0.88, 0.76, 0.66)
"""Shares of the usual text height that are tried until all has room."""

LEAST_NAME = 1.2
"""The column of names is at least this wide for the usual text height, inches of paper."""

BELOW_IN = 18.0
ABOVE_IN = 12.0
"""How much of the pole is shown below its lowest bore, and above the highest where the top is
not known."""

HEADINGS = (
    "", "bolt for", "to do", "from butt", "above ground", "from top", "butt + top", "runs", "head",
    "hole", "bolt",
)  # fmt: skip


def drill_sheet(scene: Scene, pole: str, *, paper: Paper = PAPERS["tabloid"]) -> Sheet:
    """The drill sheet of a standing pole.

    The side views are to scale along the pole; only as much of it is drawn as has bores.

    Raises:
        UnknownNameError: no such pole stands at the scene's stage.
        FramerError: the rows have no room on the paper.
    """
    job, listed = scene.job, drill_list(scene, pole)
    low, high = _shown(listed)
    scales = usual_scales(job)
    deep = paper.height - 2 * MARGIN - TITLE_HEIGHT - 1.1
    scale = next((one for one in scales if (high - low) / one <= deep), None)
    if scale is None:
        raise FramerError(f"the pole has no room on {paper.name} paper; take a larger one")
    for share in SHARES:
        page = _Page(job, listed, paper, scale, share * TEXT * scale)
        right = list(_right_side(page))
        floor = (MARGIN + TITLE_HEIGHT + PAD) * scale
        if page.has_names(share) and Picture(tuple(right)).bounds()[1] >= floor:
            break
    else:
        raise FramerError(
            f"{len(listed.rows)} bores have no room on {paper.name} paper; take a larger one"
        )
    lines = [
        located(job, listed.label),
        drafted(job),
        f"Side views: {scale_words(scale, job)} on {paper.name}, along the pole",
        "Rows from the top down; butt and top distances are along the pole",
    ]
    heading = f"Drill sheet: {job.title}"
    picture = Picture(
        (
            *_frame(paper, scale),
            *title_block(heading, lines, paper, scale, 0.0),
            *_side_views(
                _Page(job, listed, paper, scale, min(share, 1.0) * TEXT * scale), low, high
            ),
            *right,
        )
    )
    return Sheet(picture, paper, scale, heading, job)


def _shown(listed: DrillList) -> tuple[float, float]:
    """From and to which height the pole is drawn."""
    ups = [row.bore.up_in for row in listed.rows if row.bore.up_in is not None]
    solid = listed.solid
    top = solid.top_up_in
    if top is None:
        top = max(ups, default=120.0) + ABOVE_IN
    low = min(ups, default=0.0) - BELOW_IN
    return math.floor(low * solid.rise + HAIR_IN) / solid.rise, max([top, *ups])


class _Page(Struct, frozen=True):
    """What is drawn on: `text` is the height of its capitals in real inches."""

    job: Job
    listed: DrillList
    paper: Paper
    scale: int
    text: float

    @property
    def rose(self) -> float:
        """The radius of the rose, larger with larger letters."""
        return ROSE * self.scale * max(1.0, self.text / (TEXT * self.scale))

    @property
    def left(self) -> float:
        """Where the table begins."""
        return (MARGIN + VIEWS + PAD) * self.scale

    @property
    def right(self) -> float:
        """Where it has to end."""
        return (self.paper.width - MARGIN - PAD) * self.scale

    @property
    def top(self) -> float:
        """The highest anything is drawn."""
        return (self.paper.height - MARGIN - PAD) * self.scale

    @property
    def cells(self) -> list[tuple[str, ...]]:
        """The table, with its headings."""
        return [HEADINGS, *(drill_cells(self.job, row) for row in self.listed.rows)]

    @property
    def widths(self) -> list[float]:
        """Widths of the columns; that of the names is what the others leave."""
        gap = 1.2 * self.text
        wide = [
            max(text_width(row[column], self.text) for row in self.cells) + gap
            for column in range(len(HEADINGS))
        ]
        rest = self.right - self.left - sum(wide[:1]) - sum(wide[2:])
        return [wide[0], min(wide[1], rest), *wide[2:]]

    def has_names(self, share: float) -> bool:
        """Whether the names are whole, or there is room enough for them to be told apart."""
        column = self.widths[1]
        whole = max(text_width(row[1], self.text) for row in self.cells) <= column
        return whole or (share <= 1.0 and column / self.scale >= LEAST_NAME * share)


def _frame(paper: Paper, scale: int) -> Iterator[Primitive]:
    left, low = MARGIN * scale, MARGIN * scale
    right, high = (paper.width - MARGIN) * scale, (paper.height - MARGIN) * scale
    yield Path(rectangle((left, low, right, high)), "frame")
    line, side = (MARGIN + TITLE_HEIGHT) * scale, (MARGIN + VIEWS) * scale
    yield Line((left, line), (right, line), "frame")
    yield Line((side, line), (side, high), "frame")


def _right_side(page: _Page) -> Iterator[Primitive]:
    """Table, notes, what is missing, and how each bolt's length comes about; beside it the rose."""
    y = page.top - page.text
    widths = page.widths
    for number, cells in enumerate(page.cells):
        x, rows = page.left, 1
        for column, (cell, wide) in enumerate(zip(cells, widths, strict=True)):
            room = wide - 0.6 * page.text
            pieces = wrapped(cell, room, page.text) if column == 1 else [cell]
            for row, piece in enumerate(pieces):
                at = (x, y - row * LINE * page.text)
                words = shortened(piece, room, page.text) if column == 1 else piece
                yield Text(at, words, page.text, "title" if number == 0 else "label")
            x, rows = x + wide, max(rows, len(pieces))
        y -= (rows - 1) * LINE * page.text
        if number == 0:
            line = y - 0.6 * page.text
            yield Line((page.left, line), (page.right, line), "leader")
            y -= 0.5 * page.text
        y -= 1.25 * LINE * page.text
    if not page.listed.rows:
        yield Text((page.left, y), "no bore is needed on this pole", page.text, "label")
        y -= LINE * page.text
    under = y - 0.5 * page.text
    rose = 3.1 * page.rose
    centre = (page.right - rose / 2, under - rose / 2)
    yield from _rose(page, centre)
    room = page.right - page.left - rose - page.text
    y = under - page.text
    for heading, lines in _words(page.listed, page.job.settings.units):
        yield Text((page.left, y), heading, 1.15 * page.text, "title")
        y -= 1.2 * LINE * page.text
        for words in lines:
            below = y < centre[1] - page.rose - 5.0 * page.text
            wide = page.right - page.left if below else room
            for piece in wrapped(words, wide - page.text, page.text):
                yield Text((page.left + page.text, y), piece, page.text, "label")
                y -= LINE * page.text
        y -= 0.5 * page.text


def _words(listed: DrillList, system: System) -> Iterator[tuple[str, Sequence[str]]]:
    """Everything beside the table, under its headings."""
    if listed.missing:
        yield "Not known", listed.missing
    yield "Pole", listed.notes
    bolts: dict[str, list[str]] = {}
    for row in listed.rows:
        bolts.setdefault("; ".join(stack_words(row, system)), []).append(f"{row.number}")
    if bolts:
        yield "Bolts, inches", [f"{', '.join(rows)}: {words}" for words, rows in bolts.items()]


def _rose(page: _Page, centre: XY) -> Iterator[Primitive]:
    """The compass seen from above, with the way each bore runs; the square is the bolt's head."""
    radius, (x, y), text = page.rose, centre, page.text
    yield Circle(centre, radius, "leader")
    for point in POINTS[::2]:
        east, north, _ = toward(azimuth_of_point(point))
        off = radius + 1.1 * text
        at = (x + off * east, y + off * north - 0.5 * text)
        yield Text(at, point, text, "title", "", "middle")
    groups: dict[float, list[int]] = {}
    for row in page.listed.rows:
        groups.setdefault(row.bore.azimuth_deg, []).append(row.number)
    written: list[Text] = []
    for azimuth, numbers in sorted(groups.items()):
        # bores that run nearly one way get longer and longer strokes, so that their numbers part
        for share in ROSE_STROKES:
            stroke = tuple(_stroke(centre, share * radius, azimuth, numbers, text))
            words = [one for one in stroke if isinstance(one, Text)]
            if not any(overlaps(one, other) for one in words for other in written):
                break
        written.extend(words)
        yield from stroke
    under = (x, y - radius - 3.6 * text)
    yield Text(under, "from above; square: head", 0.85 * text, "label", "", "middle")


def _stroke(
    centre: XY, reach: float, azimuth_deg: float, numbers: Sequence[int], text: float
) -> Iterator[Primitive]:
    """One way that bores run in the rose: a line as far as `reach`, its head, the numbers."""
    (x, y), (east, north, _) = centre, toward(azimuth_deg)
    tip = (x + reach * east, y + reach * north)
    yield Line((x - reach * east, y - reach * north), tip, "case")
    half = 0.3 * text
    yield Path(
        ((tip[0] - half, tip[1] - half), (tip[0] + half, tip[1] - half),
         (tip[0] + half, tip[1] + half), (tip[0] - half, tip[1] + half)),
        "case", fill="solid",
    )  # fmt: skip
    anchor: Anchor = "middle" if abs(east) < 0.5 else "left" if east > 0 else "right"
    pieces = [numbers[first : first + 2] for first in range(0, len(numbers), 2)]
    for line, piece in enumerate(pieces):
        down = line if north < -0.5 else line - (len(pieces) - 1) * (0.5 if north < 0.5 else 1.0)
        spot = (
            tip[0] + 0.8 * text * east,
            tip[1] + 1.1 * text * north - (0.5 + 1.3 * down) * text,
        )
        yield Text(spot, ", ".join(map(str, piece)), text, "label", "", anchor)


def _side_views(page: _Page, low: float, high: float) -> Iterator[Primitive]:
    """The pole seen from two sides square to each other, one along the first bore."""
    rows = [row for row in page.listed.rows if row.bore.up_in is not None]
    # the head of the first bolt towards the reader, and then what lies to the right of it
    look = (rows[0].bore.azimuth_deg + 180.0) % 360.0 if rows else 0.0
    wide = VIEWS * page.scale
    base = page.top - 3.0 * page.text - high
    for share, look_deg, with_words in ((0.22, look, True), (0.82, (look + 90.0) % 360.0, False)):
        axis = MARGIN * page.scale + share * wide
        yield from _side_view(page, (axis, base), (low, high), look_deg, with_words=with_words)


def _side_view(
    page: _Page, at: XY, shown: tuple[float, float], look_deg: float, *, with_words: bool
) -> Iterator[Primitive]:
    solid, text, (x, base), (low, high) = page.listed.solid, page.text, at, shown
    r_low, r_high = (solid.radius_in(up) or NO_GIRTH_RADIUS_IN for up in (low, high))
    corners = ((x - r_low, base + low), (x + r_low, base + low), (x + r_high, base + high),
               (x - r_high, base + high))  # fmt: skip
    yield Path(corners, "pole", page.listed.pole, "paper")
    heading = f"looking {compass(look_deg, words=True)}"
    yield Text((x, base + high + 1.2 * text), heading, text, "title", "", "middle")
    yield from _break(x, base + low, r_low, text)
    if with_words:
        yield from _ends(page, (x - r_low, base + low - 2.4 * text), low)
    rows = [row for row in page.listed.rows if row.bore.up_in is not None]
    heights = spread([base + (row.bore.up_in or 0.0) for row in rows], 1.6 * text)
    for row, label_y in zip(rows, heights, strict=True):
        y = base + (row.bore.up_in or 0.0)
        radius = solid.radius_in(row.bore.up_in or 0.0) or NO_GIRTH_RADIUS_IN
        yield from _bore(row, (x, y), radius, look_deg, text)
        label_x = x + max(r_low, r_high) + 2.2 * text
        yield Line((x + radius + 0.4 * text, y), (label_x - 0.3 * text, label_y), "leader")
        words = f"{row.number}"
        if with_words:
            words += f"  {exact(page.job, row.top_in)}" if row.top_in is not None else ""
        yield Text((label_x, label_y - 0.5 * text), words, text, "dimension")


def _bore(
    row: DrillRow, at: XY, radius: float, look_deg: float, text: float
) -> Iterator[Primitive]:
    """A bore end on as a circle with a cross; from the side its two edges and the bolt's head."""
    x, y = at
    turn = math.radians(row.bore.azimuth_deg - look_deg)
    across = math.sin(turn)
    half = row.bore.hole_in / 2
    if abs(across) < 0.05:
        yield Circle(at, half, "case", row.bore.item)
        for dx, dy in ((half + 0.3 * text, 0.0), (0.0, half + 0.3 * text)):
            yield Line((x - dx, y - dy), (x + dx, y + dy), "leader", row.bore.item)
        return
    reach = radius * across
    for edge in (-half, half):
        yield Line((x - reach, y + edge), (x + reach, y + edge), "run", row.bore.item)
    head = x + reach
    out = math.copysign(0.45 * text, across)
    yield Path(
        ((head, y - 0.4 * text), (head + out, y - 0.4 * text), (head + out, y + 0.4 * text),
         (head, y + 0.4 * text)),
        "case", row.bore.item, fill="solid",
    )  # fmt: skip


def _break(x: float, y: float, radius: float, text: float) -> Iterator[Primitive]:
    """The mark of a pole that goes on."""
    points = (
        (x - radius - 0.8 * text, y), (x - 0.4 * text, y), (x - 0.15 * text, y + 0.6 * text),
        (x + 0.15 * text, y - 0.6 * text), (x + 0.4 * text, y), (x + radius + 0.8 * text, y),
    )  # fmt: skip
    for p, q in pairwise(points):
        yield Line(p, q, "leader")


def _ends(page: _Page, at: XY, low: float) -> Iterator[Primitive]:
    """How far down ground and butt are from where the drawing breaks off."""
    there = marks(page.job, page.listed.solid, low)
    above = f"{exact(page.job, there.ground_in)} above ground"
    lines = [above if low >= 0 else "break below ground"]
    if there.butt_in is not None:
        lines.append(f"{exact(page.job, there.butt_in)} from butt")
    for number, words in enumerate(lines):
        y = at[1] - number * LINE * page.text
        yield Text((at[0], y), words, 0.9 * page.text, "label")
