"""The change-out sketch: found and framed pole side by side, findings, title block, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from framer.checks.explain import one_line
from framer.checks.finding import RANK, Finding
from framer.checks.rulebook import Rulebook
from framer.drawing.elevation import View, elevation
from framer.drawing.lettering import shortened, wrapped
from framer.drawing.marks import mark, north_mark
from framer.drawing.picture import Circle, Line, Path, Picture, Primitive, Text
from framer.geometry.scene import Scene
from framer.model.job import Job
from framer.model.stage import stage_name
from framer.resources import resources


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper size, inches, wide side first."""

    name: str
    width: float
    height: float


PAPERS = {
    "letter": Paper("letter", 11.0, 8.5),
    "tabloid": Paper("tabloid", 17.0, 11.0),
    "a4": Paper("A4", 297 / 25.4, 210 / 25.4),
    "a3": Paper("A3", 420 / 25.4, 297 / 25.4),
}

FEET_TO_THE_INCH = (2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 30)
METRIC_SCALES = (20, 25, 50, 75, 100, 125, 150, 200, 250, 500)
"""Scales a sheet may have: whole feet to the inch, or 1:n."""

MARGIN = 0.4
TITLE_HEIGHT = 1.0
LIST_WIDTH = 3.9
TEXT = 0.085
MOST_CALLOUTS = 5
TIGHTEST = 3
"""Sizes on paper, inches."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A picture made for one paper at one scale; its lower left corner is 0, 0.

    `picture` is in real inches: one inch of it is 1/`scale` inch of paper.
    """

    picture: Picture
    paper: Paper
    scale: int
    title: str


@cache
def cautions() -> tuple[str, ...]:
    """The cautions that go on every print."""
    text = (resources() / "cautions.txt").read_text(encoding="utf-8")
    return tuple(line for line in text.splitlines() if line.strip())


def change_out_sheet(
    found: Scene,
    framed: Scene,
    findings: Sequence[Finding],
    books: Sequence[Rulebook],
    *,
    look_deg: float = 0.0,
    paper: Paper = PAPERS["tabloid"],
) -> Sheet:
    """Both poles to one scale with the findings of the framed stage.

    The scale is the largest of the usual ones at which everything fits.
    """
    metric = found.job.settings.units == "metric"
    scales = METRIC_SCALES if metric else tuple(12 * feet for feet in FEET_TO_THE_INCH)
    scale = scales[-1]
    drawn = Picture(())
    for scale in scales:
        drawn = _poles(found, framed, findings, View(look_deg, TEXT * scale))
        left, low, right, top = drawn.bounds()
        if right - left <= _room_wide(paper) * scale and top - low <= _room_high(paper) * scale:
            break
    left, low, right, _ = drawn.bounds()
    spare = _room_wide(paper) * scale - (right - left)
    x = MARGIN * scale + max(0.0, spare) / 2 - left
    y = (MARGIN + TITLE_HEIGHT + 0.1) * scale - low
    view = View(look_deg, TEXT * scale)
    more = [
        *_frame(paper, scale),
        *_title_block(found.job, books, view, paper, scale),
        *_findings_list(framed.job, findings, paper, scale),
    ]
    return Sheet(drawn.moved(x, y).with_more(more), paper, scale, found.job.name)


def _room_wide(paper: Paper) -> float:
    return paper.width - 2 * MARGIN - LIST_WIDTH - 0.2


def _room_high(paper: Paper) -> float:
    return paper.height - 2 * MARGIN - TITLE_HEIGHT - 0.2


def main_pole(scene: Scene, *, new: bool) -> str:
    """The pole a panel is drawn about: the new one if asked for, else the one found."""
    standing = [item for item in scene.job.items if item.id in scene.poles]
    for item in standing:
        is_new = item.places[0].when != "found"
        if is_new == new:
            return item.id
    return standing[0].id if standing else ""


def _poles(found: Scene, framed: Scene, findings: Sequence[Finding], view: View) -> Picture:
    """The two elevations beside each other, each with its heading."""
    shown = called_out(findings)
    left = elevation(found, view, main_pole(found, new=False), dimensions=False)
    right = elevation(framed, view, main_pole(framed, new=True), findings=shown)
    gap = 4 * view.text_in
    shift = left.bounds()[2] - right.bounds()[0] + gap
    both = Picture((*left.primitives, *right.moved(shift, 0.0).primitives))
    low = both.bounds()[1] - 3.5 * view.text_in
    headings = []
    for scene, x in ((found, 0.0), (framed, shift)):
        heading = f"{stage_name(scene.job, scene.stage).upper()}, {view.words}"
        headings.append(Text((x, low), heading, 1.4 * view.text_in, "title", "", "middle"))
    return both.with_more(headings)


def called_out(findings: Sequence[Finding]) -> list[Finding]:
    """The findings that are drawn and numbered: the worst that are not met."""
    return [
        finding for finding in findings if finding.verdict in ("short", "tight") and finding.line
    ][:MOST_CALLOUTS]


def _rectangle(x: float, y: float, width: float, height: float) -> Path:
    return Path(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), "frame")


def _frame(paper: Paper, scale: int) -> Iterator[Primitive]:
    wide, high = paper.width - 2 * MARGIN, paper.height - 2 * MARGIN
    yield _rectangle(MARGIN * scale, MARGIN * scale, wide * scale, high * scale)
    line = (MARGIN + TITLE_HEIGHT) * scale
    yield Line((MARGIN * scale, line), ((MARGIN + wide) * scale, line), "frame")
    side = (paper.width - MARGIN - LIST_WIDTH) * scale
    yield Line((side, line), (side, (MARGIN + high) * scale), "frame")


def _title_block(
    job: Job, books: Sequence[Rulebook], view: View, paper: Paper, scale: int
) -> Iterator[Primitive]:
    left, base = (MARGIN + 0.1) * scale, MARGIN * scale
    top = base + TITLE_HEIGHT * scale
    text = TEXT * scale
    name = shortened(job.name, 6.4 * scale, 1.9 * text)
    yield Text((left, top - 0.26 * scale), name, 1.9 * text, "title")
    rules = ", ".join(f"{book.book.name} ({book.book.edition})" for book in books)
    lines = [
        " - ".join(filter(None, (job.place, job.owner))),
        f"Drafted by {job.drafted_by or '____'}, {job.date or 'date ____'}; "
        "draft - not checked by chief",
        f"{scale_words(scale, job)} on {paper.name}; {view.words}; "
        "heights above each pole's own ground",
        f"Judged by: {rules}",
    ]
    for number, line in enumerate(lines):
        at = (left, top - (0.42 + 0.145 * number) * scale)
        yield Text(at, shortened(line, 6.4 * scale, text), text, "title")
    north = ((MARGIN + 6.9) * scale, base + 0.5 * TITLE_HEIGHT * scale)
    yield from north_mark(north, 0.22 * scale, view.look_deg)
    x = (MARGIN + 7.6) * scale
    room = (paper.width - 2 * MARGIN - 7.7) * scale
    deep = (TITLE_HEIGHT - 0.18) * scale
    for small in (share * text for share in (0.72, 0.68, 0.64, 0.6)):
        lines = wrapped(" ".join(cautions()), room, small)
        if 1.45 * small * (len(lines) - 1) <= deep:
            break
    for number, line in enumerate(lines):
        y = top - (0.13 * scale + 1.45 * small * number)
        yield Text((x, y), line, small, "caution")


def scale_words(scale: int, job: Job) -> str:
    """The scale as it is printed."""
    return (
        f"Scale 1:{scale}"
        if job.settings.units == "metric"
        else (f"Scale 1 in = {scale // 12} ft (1:{scale})")
    )


def _findings_list(
    job: Job, findings: Sequence[Finding], paper: Paper, scale: int
) -> Iterator[Primitive]:
    """Counts, then what is not met, then the tightest gaps that are."""
    text = TEXT * scale
    x = (paper.width - MARGIN - LIST_WIDTH + 0.1) * scale
    y = (paper.height - MARGIN - 0.25) * scale
    floor = (MARGIN + TITLE_HEIGHT + 0.25) * scale
    yield Text((x, y), "Findings, worst first", 1.4 * text, "title")
    y -= 1.9 * text
    counts = [
        f"{sum(finding.verdict == verdict for finding in findings)} {verdict}" for verdict in RANK
    ]
    yield Text((x, y), ", ".join(counts), text, "title")
    y -= 1.9 * text
    room = (LIST_WIDTH - 0.65) * scale
    numbers = called_out(findings)
    open_ones = [finding for finding in findings if finding.verdict != "meets"]
    met = [finding for finding in findings if finding.verdict == "meets" and finding.unit == "in"]
    listed = [*open_ones, *met[:TIGHTEST]]
    for place, finding in enumerate(listed):
        lines = wrapped(one_line(job, finding), room, text)
        if y - 1.45 * text * (len(lines) + 2) < floor:
            more = f"... and {len(listed) - place} more: see the list"
            yield Text((x, y), more, text, "label")
            return
        if place == len(open_ones):
            yield Text((x, y), "Tightest that meet", text, "title")
            y -= 1.9 * text
        yield from mark(finding.verdict, (x + 0.5 * text, y + 0.4 * text), text)
        if finding in numbers:
            yield from _number(numbers.index(finding) + 1, finding, x, y, scale)
        for line in lines:
            yield Text((x + 1.8 * text, y), line, text, "label")
            y -= 1.45 * text
        y -= 0.5 * text


def _number(number: int, finding: Finding, x: float, y: float, scale: int) -> Iterator[Primitive]:
    """The number a finding has in the drawing, in a ring at the end of its line in the list."""
    text = TEXT * scale
    spot = (x + (LIST_WIDTH - 0.3) * scale, y + 0.4 * text)
    yield Circle(spot, text, finding.verdict)
    at = (spot[0], spot[1] - 0.48 * text)
    yield Text(at, f"{number}", 0.95 * text, finding.verdict, "", "middle")
