"""The as-built redline as a drawing: the pole as measured, drawn values struck beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.drawing.elevation import elevation
from framer.drawing.fitting import spread
from framer.drawing.lettering import shortened, text_width
from framer.drawing.marks import scale_bar
from framer.drawing.panel import REACH_IN, View
from framer.drawing.picture import XY, Line, Picture, Primitive, Text
from framer.drawing.sheet import (
    PAPERS,
    TEXT,
    Paper,
    Room,
    Sheet,
    called_out,
    largest,
    with_findings,
)
from framer.errors import FramerError
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Scene
from framer.geometry.spot import Spots
from framer.takeoff.built import BuiltRow, measurable
from framer.units.compare import HAIR_IN

TRIES = ((1.0, True, 100), (0.8, True, 150), (0.65, True, 1000))
"""What is tried until the pole finds room: as for the change-out sketch, always with values."""

ROW = 3.6
"""A thing takes this much of the column of values, text heights."""

LABEL_ROOM = 30.0
"""A name is cut to this length, text heights."""

TICK_IN = 9.0
"""A drawn height is marked this far to either side of the pole's outline."""


def redline_drawing(
    built: Scene,
    findings: Sequence[Finding],
    books: Sequence[Rulebook],
    *,
    look_deg: float = 0.0,
    paper: Paper = PAPERS["tabloid"],
) -> tuple[Sheet, ...]:
    """A sheet for each pole on which something is not as drawn, or was measured.

    The pole is drawn to scale as built. Where a thing is not where it was drawn, the drawn value is
    struck out and the actual one stands beside it; its drawn height is marked on the pole.

    Args:
        built: the job as built.
        findings: its findings, worst first.
        books: the rulebooks they come from.
        look_deg: the direction looked in.
        paper: what it is printed on.

    Raises:
        FramerError: nothing was measured as built, or there is no room.
    """
    sheets = tuple(
        _sheet(built, pole, rows, findings, books, look_deg, paper)
        for pole, rows in _by_pole(built).items()
    )
    if not sheets:
        raise FramerError("nothing was measured as built")
    return sheets


def _by_pole(scene: Scene) -> dict[str, list[BuiltRow]]:
    """What can be measured on each pole that stands and has something to tell as built."""
    found: dict[str, list[BuiltRow]] = {}
    places = Spots(scene.job, scene.stage).places
    for row in measurable(scene.job):
        pole = row.key if row.what == "set" else getattr(places.get(row.key), "host", "")
        if pole in scene.poles and row.built_in is not None:
            found.setdefault(pole, []).append(row)
    return {pole: rows for pole, rows in found.items() if any(map(_has_news, rows))}


def _has_news(row: BuiltRow) -> bool:
    return row.is_measured or abs(row.off_in or 0.0) > HAIR_IN


def _drawn(
    built: Scene,
    pole: str,
    rows: Sequence[BuiltRow],
    numbered: Sequence[Finding],
    view: View,
    scale: int,
) -> Picture:
    """The pole as built with its values at the right, and a scale bar below."""
    text, solid = view.text_in, built.poles[pole]
    seen = elevation(built, view, pole, findings=numbered, dimensions=False, labels=False)
    low = seen.bounds()[1] - 3.5 * text
    metric = built.job.settings.units == "metric"
    words = f"{built.job.label(pole)} AS BUILT, {view.words}"
    return seen.with_more(
        (
            *_marks(solid, rows),
            *_values(solid, rows, text),
            Text((0.0, low), words, 1.4 * text, "title", "", "middle"),
            *scale_bar((0.0, low - 3.0 * text), scale, text, metric=metric),
        )
    )


def _level(solid: PoleSolid, row: BuiltRow, height_in: float) -> float:
    """Where a height stands in the drawing; what is said of the depth of the pole, at its foot."""
    return solid.foot[2] + (0.0 if row.what == "set" else height_in)


def _marks(solid: PoleSolid, rows: Sequence[BuiltRow]) -> Iterator[Primitive]:
    """The drawn heights of what is not where it was drawn, dotted across the pole."""
    for row in rows:
        if row.what != "set" and row.drawn_in is not None and abs(row.off_in or 0.0) > HAIR_IN:
            y = _level(solid, row, row.drawn_in)
            yield Line((-TICK_IN, y), (TICK_IN, y), "was", row.key)


def _values(solid: PoleSolid, rows: Sequence[BuiltRow], text: float) -> Iterator[Primitive]:
    """Names with their values in a column, the highest first, each tied to its height."""
    placed = sorted(
        ((_level(solid, row, row.built_in or 0.0), row) for row in rows), key=lambda one: -one[0]
    )
    x = REACH_IN + 2.0 * text
    heights = spread([y for y, _ in placed], ROW * text)
    for (y, row), middle in zip(placed, heights, strict=True):
        yield Line((_edge(solid, y), y), (x - 2.0 * text, y), "level", row.key)
        yield Line((x - 2.0 * text, y), (x - 0.4 * text, middle), "level", row.key)
        name = shortened(row.label, LABEL_ROOM * text, text)
        yield Text((x, middle + 0.3 * text), name, text, "label", row.key)
        yield from _value(row, (x, middle - 1.2 * text), text)


def _edge(solid: PoleSolid, y: float) -> float:
    """How far the pole reaches to the right at a height in the drawing."""
    return solid.radius_in(max(0.0, y - solid.foot[2])) or 0.0


def _value(row: BuiltRow, at: XY, text: float) -> Iterator[Primitive]:
    """One thing's value: the drawn one struck out where the actual one is another."""
    drawn, there, off = row.words
    what = "set" if row.what == "set" else "above ground"
    size = 0.9 * text
    if not _has_news(row):
        yield Text(at, f"{drawn} {what} as drawn, not measured", size, "label", row.key)
        return
    how = "measured" if row.is_measured else "follows"
    x, y = at
    if row.off_in is not None and abs(row.off_in) > HAIR_IN:
        wide = text_width(drawn, size)
        middle = y + 0.5 * size
        yield Text(at, drawn, size, "label", row.key)
        yield Line((x - 0.2 * size, middle), (x + wide + 0.2 * size, middle), "redline", row.key)
        x += wide + 1.2 * size
    yield Text((x, y), f"{there} {what}, {how}: {off}", size, "redline", row.key)


def _sheet(
    built: Scene,
    pole: str,
    rows: Sequence[BuiltRow],
    findings: Sequence[Finding],
    books: Sequence[Rulebook],
    look_deg: float,
    paper: Paper,
) -> Sheet:
    job = built.job
    drawn, scale, beside = largest(
        "the pole as built has",
        job,
        paper,
        TRIES,
        lambda share, _, scale: _drawn(
            built, pole, rows, called_out(findings), View(look_deg, share * TEXT * scale), scale
        ),
        lambda picture, scale, beside: Room(paper, beside).holds(picture, scale),
    )
    sheet = with_findings(
        drawn,
        scale,
        job,
        findings,
        books,
        paper,
        look_deg,
        "AS-BUILT REDLINE: struck is as drawn, beside it as built",
        beside=beside,
    )
    return replace(sheet, title=f"{job.title}, as-built redline")
