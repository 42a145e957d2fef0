"""The jumper sketch: the top of the pole from two sides and above, each jumper numbered."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from framer.checks.rulebook import Rulebook
from framer.drawing.columns import Flow, Said, number_mark
from framer.drawing.crop import Window, cropped
from framer.drawing.elevation import elevation
from framer.drawing.fitting import best_spot
from framer.drawing.lettering import wrapped
from framer.drawing.pages import Page, sheets_of, text_columns, text_pages
from framer.drawing.panel import View
from framer.drawing.picture import XY, Line, Path, Picture, Primitive, Text, extent, rectangle
from framer.drawing.plan import plan_height, plan_view
from framer.drawing.sheet import CLEAR, MARGIN, PAPERS, TEXT, TITLE_HEIGHT, Paper, Sheet
from framer.drawing.viewing import view_words
from framer.errors import FramerError
from framer.geometry.scene import Scene
from framer.geometry.space import turned
from framer.takeoff.jumpers import NO_SIDE, JumperRow, jumper_name, jumper_words, jumpers
from framer.units.length import length_text

ROUND_IN = 30.0
"""What is shown round about the jumpers."""

SHARE = 0.56
"""The views have at most this share of the height."""

SCALES = (6, 8, 10, 12, 16, 20, 24, 30, 36, 48, 60, 72, 96, 120, 180, 240)
METRIC = (5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 200)
"""Scales, 1 to n: whole fractions of an inch to the foot for most, and round ones."""

HEADING = "Jumper sketch"


def jumper_sheets(
    scene: Scene,
    books: Sequence[Rulebook],
    *,
    look_deg: float = 0.0,
    paper: Paper = PAPERS["tabloid"],
) -> tuple[Sheet, ...]:
    """A sketch for each pole that jumpers are made on, with path, cut length and what is near.

    Raises:
        FramerError: no jumper is made at the scene's stage, or it has no room on the paper.
    """
    rows = jumpers(scene)
    if not rows:
        raise FramerError("no jumper is made here")
    poles: dict[str, list[JumperRow]] = {}
    for row in rows:
        poles.setdefault(scene.parts_of[row.join][0].pole or "", []).append(row)
    pages = [
        page for pole, some in poles.items() for page in _pages(scene, pole, some, look_deg, paper)
    ]
    return sheets_of(scene.job, books, pages, paper, look_deg)


def _pages(
    scene: Scene, pole: str, rows: Sequence[JumperRow], look_deg: float, paper: Paper
) -> Iterator[Page]:
    job = scene.job
    lines = list(_lines(scene, rows))
    drawn = any(row.length_in is not None for row in rows) and pole in scene.poles
    heading = f"{HEADING}: {job.label(pole)}" if pole else HEADING
    if not drawn:
        yield from text_pages(heading, lines, paper)
        return
    views, scale = _three(scene, pole, rows, look_deg, paper)
    strip = views.bounds()[1] / scale - CLEAR
    flow = Flow(text_columns(paper, MARGIN, strip), scale, TEXT * scale)
    rest = flow.write(lines)
    edges = (MARGIN * scale, (paper.width - MARGIN) * scale)
    line = Line((edges[0], strip * scale), (edges[1], strip * scale), "frame")
    yield Page(heading, views.with_more((*flow.drawn, line)), scale, view_words(job, look_deg))
    yield from text_pages(f"{heading}, continued", rest, paper)


def _lines(scene: Scene, rows: Sequence[JumperRow]) -> Iterator[Said]:
    job = scene.job
    for number, row in enumerate(rows, start=1):
        yield Said(f"{number}. {jumper_name(job, row)}", number=number)
        verdict = "cannot say" if row.length_in is None else None
        for at, words in enumerate(jumper_words(scene, row)):
            yield Said(words, verdict if at == 0 else None, under=True)  # type: ignore[arg-type]
    if rows and not job.settings.climbing_side:
        yield Said(NO_SIDE)


def _three(
    scene: Scene, pole: str, rows: Sequence[JumperRow], look_deg: float, paper: Paper
) -> tuple[Picture, int]:
    """Both elevations and the plan beside each other, under the upper edge of the paper."""
    room = paper.width - 2 * MARGIN - 2 * CLEAR
    high = SHARE * (paper.height - 2 * MARGIN - TITLE_HEIGHT)
    metric = scene.job.settings.units == "metric"
    for scale in METRIC if metric else SCALES:
        made = _row(scene, pole, rows, look_deg, TEXT * scale)
        left, low, right, top = made.bounds()
        if (right - left) / scale <= room and (top - low) / scale <= high:
            x = (paper.width * scale - (right - left)) / 2 - left
            return made.moved(x, (paper.height - MARGIN - CLEAR) * scale - top), scale
    raise FramerError(f"the jumpers have no room on {paper.name} paper; take a larger one")


def _row(
    scene: Scene, pole: str, rows: Sequence[JumperRow], look_deg: float, text: float
) -> Picture:
    job, row, edge = scene.job, Picture(()), 0.0
    at_in = plan_height(scene, pole)
    at = length_text(at_in, step_in=1.0, system=job.settings.units)
    looks = [(look, View(look, text)) for look in (look_deg, turned(look_deg, 90.0))]
    views = [
        (view_words(job, look), elevation(scene, view, pole, dimensions=False, labels=False))
        for look, view in looks
    ]
    plan = plan_view(scene, pole=pole, at_in=at_in, text_in=text, names=False, north=False)
    views.append((f"from above at {at}, north up", plan))
    for words, picture in views:
        shown = _near(picture, rows)
        if shown is None:
            continue
        left, low, right, _ = window = shown
        crop = cropped(picture, window)
        numbered = crop.with_more(_numbers(crop, rows, text))
        size, middle = 1.2 * text, (left + right) / 2
        heading = wrapped(words[0].upper() + words[1:], max(right - left, 18 * text), size)
        top = max(window[3], numbered.bounds()[3])
        corners = rectangle((left, low, right, top))
        lines = [
            Text((middle, low - (2.0 + 1.5 * at) * size), line, size, "title", "", "middle")
            for at, line in enumerate(heading)
        ]
        whole = numbered.with_more((Path(corners, "leader"), *lines))
        bounds = whole.bounds()
        # the windows end at one height
        row = row.with_more(whole.moved(edge - bounds[0], -bounds[3]).primitives)
        edge += bounds[2] - bounds[0] + 2.5 * text
    return row


def _points(picture: Picture, key: str) -> list[XY]:
    return [
        point
        for one in picture.primitives
        if one.owner == key and isinstance(one, Line | Path)
        for point in extent(one)
    ]


def _near(picture: Picture, rows: Sequence[JumperRow]) -> Window | None:
    """The window round all jumpers in a view."""
    points = [point for row in rows for point in _points(picture, row.join)]
    if not points:
        return None
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) - ROUND_IN, min(ys) - ROUND_IN, max(xs) + ROUND_IN, max(ys) + ROUND_IN)


def _numbers(picture: Picture, rows: Sequence[JumperRow], text: float) -> Iterator[Primitive]:
    """The number of each jumper in a ring, off the others, led to the middle of its path."""
    words = [one for one in picture.primitives if isinstance(one, Text)]
    lines = [one for one in picture.primitives if isinstance(one, Line)]
    for number, row in enumerate(rows, start=1):
        points = _points(picture, row.join)
        if not points:
            continue
        to = points[len(points) // 2]
        spots = [
            (to[0] + dx * far * text, to[1] + (dy * far - 0.43) * text)
            for far in (2.2, 3.6, 5.2)
            for dx, dy in ((0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1), (1, 0), (-1, 0))
        ]
        first = Text(spots[0], f" {number} ", 1.6 * text, "label", row.join, "middle")
        put = best_spot(first, spots, words, lines)
        words.append(put)
        at = (put.at[0], put.at[1] + 0.43 * text)
        yield Line(to, at, "leader", row.join)
        yield Path(_ring(at, 0.95 * text), "leader", row.join, "paper")
        yield from number_mark(number, None, at, text)


def _ring(at: XY, radius: float) -> tuple[XY, ...]:
    """A square that hides the leader's end behind a ring."""
    (x, y), half = at, 0.7 * radius
    return rectangle((x - half, y - half, x + half, y + half))
