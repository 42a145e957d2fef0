"""The change-out sketch: found and framed pole side by side, findings, title block, cautions."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from pathlib import Path as FilePath
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.explain import one_line
from framer.checks.finding import RANK, Finding
from framer.checks.relaxing import relaxations
from framer.checks.rulebook import Rulebook
from framer.drawing.elevation import elevation
from framer.drawing.guide import printed_guides
from framer.drawing.lettering import shortened, text_width, wrapped
from framer.drawing.marks import mark, north_mark, scale_bar
from framer.drawing.panel import View
from framer.drawing.picture import XY, Circle, Line, Path, Picture, Primitive, Text, rectangle
from framer.errors import FramerError
from framer.files.revisions import revision_words, standing
from framer.geometry.scene import Scene
from framer.model.job import Job
from framer.model.stage import stage_name
from framer.resources import resources
from framer.strength.asked import unjudged


class Paper(Struct, frozen=True):
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
LIST_HEIGHT = 1.3
TEXT = 0.085
CLEAR = 0.1
"""Sizes on paper, inches: the findings have a column `LIST_WIDTH` wide beside the poles, or a
strip at least `LIST_HEIGHT` high below them; `CLEAR` is left free round the poles."""

SHRINK = (1.0, 0.9, 0.8, 0.72, 0.66)
"""A line that is too long for its room is made as small as this, share of its height."""

MOST_CALLOUTS = 5
TIGHTEST = 3
MOST_LINES = 6
"""A finding has at most this many lines in the list."""

WORTH_MOVING = 1.5
"""The findings go below the poles where that makes the poles this much larger."""

_Drawn = TypeVar("_Drawn")

TRIES = (
    (1.0, True, 150),
    (0.8, True, 240),
    (0.65, True, 240),
    (1.0, False, 240),
    (0.65, False, 1000),
)
"""What is tried until the poles find room and do not become too small: share of the usual text
height, whether there are dimensions beside the labels, which say the same, and 1 to how much the
poles may shrink."""


class Sheet(Struct, frozen=True):
    """A picture made for one paper at one scale; its lower left corner is 0, 0.

    `picture` is in real inches: one inch of it is 1/`scale` inch of paper. Owners in it are ids of
    `job`, and its images lie in `folder`.
    """

    picture: Picture
    paper: Paper
    scale: int
    title: str
    job: Job | None = None
    folder: FilePath | None = None


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

    The scale is the largest of the usual ones at which everything fits. The findings stand beside
    the poles; on small paper, where these would become tiny, below them.

    Raises:
        FramerError: the poles have no room on the paper at any scale, or what is relaxed has none.
    """
    drawn, scale, beside = _laid_out(found, framed, findings, look_deg, paper)
    return with_findings(
        drawn,
        scale,
        framed.job,
        findings,
        books,
        paper,
        look_deg,
        "heights above each pole's own ground",
        beside=beside,
    )


def with_findings(
    drawn: Picture,
    scale: int,
    job: Job,
    findings: Sequence[Finding],
    books: Sequence[Rulebook],
    paper: Paper,
    look_deg: float,
    seen: str,
    *,
    beside: bool,
) -> Sheet:
    """A sheet of poles at a scale, with frame, title block, and findings beside or below them.

    Args:
        drawn: the poles.
        scale: 1 to this.
        job: the job.
        findings: its findings, worst first; those that are called out are numbered.
        books: the rulebooks they come from.
        paper: what it is printed on.
        look_deg: the direction looked in.
        seen: what else the title block says of the view.
        beside: whether the findings stand beside the poles.
    """
    left, low, right, top = drawn.bounds()
    room = Room(paper, beside=beside)
    x = MARGIN * scale + (room.width * scale - (right - left)) / 2 - left
    # beside the findings the poles stand on the title block, above them they hang from the frame
    floor = (MARGIN + TITLE_HEIGHT + CLEAR) * scale
    ceiling = (paper.height - MARGIN - CLEAR) * scale
    y = floor - low if beside else ceiling - top
    line = (y + low) / scale - CLEAR
    view = View(look_deg, TEXT * scale)
    strip = None if beside else line
    more = [
        *frame(paper, scale),
        _list_edge(paper, scale, strip),
        *job_title(job, books, f"{view.words}; {seen}", view, paper),
        *findings_list(
            job,
            findings,
            books,
            list_columns(paper, strip),
            view.text_in,
            called_out(findings),
        ),
    ]
    return Sheet(drawn.moved(x, y).with_more(more), paper, scale, job.title, job)


class Room(Struct, frozen=True):
    """Where the poles may stand, inches of paper."""

    paper: Paper
    beside: bool

    @property
    def width(self) -> float:
        """Width of the room."""
        return self.paper.width - 2 * MARGIN - (LIST_WIDTH if self.beside else 0.0)

    def holds(self, picture: Picture, scale: int) -> bool:
        """Whether a picture has room there at a scale."""
        left, low, right, top = picture.bounds()
        below = 0.0 if self.beside else LIST_HEIGHT
        height = self.paper.height - 2 * MARGIN - TITLE_HEIGHT - below
        wide, high = (right - left) / scale, (top - low) / scale
        return wide <= self.width - 2 * CLEAR and high <= height - 2 * CLEAR


def _laid_out(
    found: Scene, framed: Scene, findings: Sequence[Finding], look_deg: float, paper: Paper
) -> tuple[Picture, int, bool]:
    """The poles at the largest scale with room, that scale, and whether findings go beside them."""
    return largest(
        "the poles have",
        found.job,
        paper,
        TRIES,
        lambda share, dimensions, scale: _poles(
            found,
            framed,
            findings,
            View(look_deg, share * TEXT * scale),
            scale,
            dimensions=dimensions,
        ),
        lambda drawn, scale, beside: Room(paper, beside).holds(drawn, scale),
    )


def usual_scales(job: Job) -> tuple[int, ...]:
    """The scales its sheets may have, the largest first."""
    metric = job.settings.units == "metric"
    return METRIC_SCALES if metric else tuple(12 * feet for feet in FEET_TO_THE_INCH)


def largest(
    what: str,
    job: Job,
    paper: Paper,
    tries: Sequence[tuple[float, bool, int]],
    draw: Callable[[float, bool, int], _Drawn],
    holds: Callable[[_Drawn, int, bool], bool],
) -> tuple[_Drawn, int, bool]:
    """What is drawn of a pole at the largest usual scale with room, and where the findings go.

    Args:
        what: what is drawn, for the complaint.
        job: says by its units which scales are usual.
        paper: the paper it is for.
        tries: as `TRIES`.
        draw: the drawing for a share of the text height, with or without dimensions, at a scale.
        holds: whether a drawing has room at a scale, findings beside it or below.

    Returns:
        the drawing, its scale, and whether the findings go beside it.

    Raises:
        FramerError: there is no room at any scale.
    """
    scales = usual_scales(job)
    too_large: set[tuple[float, bool, int]] = set()
    for share, dimensions, smallest in tries:
        fits: dict[bool, tuple[_Drawn, int, bool]] = {}
        for scale in scales:
            if scale > smallest or True in fits:
                break
            if (share, dimensions, scale) in too_large:
                continue
            too_large.add((share, dimensions, scale))  # or nothing is tried after it
            drawn = draw(share, dimensions, scale)
            for beside in (True, False):
                if beside not in fits and holds(drawn, scale, beside):
                    fits[beside] = (drawn, scale, beside)
        if True in fits and False in fits:
            return fits[fits[True][1] < WORTH_MOVING * fits[False][1]]
        if fits:
            return next(iter(fits.values()))
    raise FramerError(
        f"{what} no room on {paper.name} paper, not even at 1:{scales[-1]}; take a larger one"
    )


def main_pole(scene: Scene, *, new: bool) -> str:
    """The pole a panel is drawn about: the new one if asked for, else the one found."""
    standing = [item for item in scene.job.items if item.id in scene.poles]
    for item in standing:
        is_new = item.places[0].when != "found"
        if is_new == new:
            return item.id
    return standing[0].id if standing else ""


def busiest_pole(scene: Scene) -> str:
    """The pole with most on it; of two with as much the new one. Empty when none stands."""
    new = main_pole(scene, new=True)
    on = [part.pole for part in scene.bodies]
    return max(scene.poles, key=lambda pole: (on.count(pole), pole == new), default="")


def _poles(
    found: Scene,
    framed: Scene,
    findings: Sequence[Finding],
    view: View,
    scale: int,
    *,
    dimensions: bool,
) -> Picture:
    """The two elevations beside each other, each with its heading, and a scale bar below."""
    shown = called_out(findings)
    old, new = main_pole(found, new=False), main_pole(framed, new=True)
    left = with_guides(found, view, old, elevation(found, view, old, dimensions=False))
    right = with_guides(
        framed,
        view,
        new,
        elevation(framed, view, new, findings=shown, dimensions=dimensions),
    )
    gap = 4 * view.text_in
    shift = left.bounds()[2] - right.bounds()[0] + gap
    both = left.beside(right.moved(shift, 0.0))
    low = both.bounds()[1] - 3.5 * view.text_in
    headings = []
    for scene, x in ((found, 0.0), (framed, shift)):
        heading = f"{stage_name(scene.job, scene.stage).upper()}, {view.words}"
        headings.append(Text((x, low), heading, 1.4 * view.text_in, "title", "", "middle"))
    metric = found.job.settings.units == "metric"
    bar = scale_bar((shift / 2, low - 3.0 * view.text_in), scale, view.text_in, metric=metric)
    return both.with_more((*headings, *bar))


def with_guides(scene: Scene, view: View, pole: str, drawn: Picture) -> Picture:
    """An elevation with the scanned drawings that are printed behind it."""
    solid = scene.poles.get(pole)
    if solid is None or not scene.job.guides:
        return drawn
    images = printed_guides(
        scene.job.guides, scene.stage, view.look_deg, solid.foot[2], drawn.bounds()
    )
    return replace(drawn, images=images)


def called_out(findings: Sequence[Finding]) -> list[Finding]:
    """The findings that are drawn and numbered: the worst that are not met."""
    return [
        finding for finding in findings if finding.verdict in ("short", "tight") and finding.line
    ][:MOST_CALLOUTS]


def frame(paper: Paper, scale: int) -> Iterator[Primitive]:
    """The frame and the line over the title block."""
    wide, high = paper.width - 2 * MARGIN, paper.height - 2 * MARGIN
    x = y = MARGIN * scale
    yield Path(rectangle((x, y, x + wide * scale, y + high * scale)), "frame")
    line = (MARGIN + TITLE_HEIGHT) * scale
    yield Line((MARGIN * scale, line), ((MARGIN + wide) * scale, line), "frame")


def _list_edge(paper: Paper, scale: int, strip: float | None) -> Line:
    """What sets the findings apart: a strip up to a height, or the room beside the poles."""
    left, right = MARGIN * scale, (paper.width - MARGIN) * scale
    if strip is not None:
        return Line((left, strip * scale), (right, strip * scale), "frame")
    side = right - LIST_WIDTH * scale
    floor, ceiling = (MARGIN + TITLE_HEIGHT) * scale, (paper.height - MARGIN) * scale
    return Line((side, floor), (side, ceiling), "frame")


def drafted(job: Job) -> str:
    """Who drafted the job, when, and who checked it, if anybody has."""
    by = f"Drafted by {job.drafted_by or '____'}, {job.date or 'date ____'}"
    return f"{by}; {standing(job)}"


def located(job: Job, *before: str) -> str:
    """Where the job is, whose it is, which revision; after what is named."""
    return " - ".join(filter(None, (*before, job.place, job.owner, revision_words(job))))


def title_room(paper: Paper) -> float:
    """Width of the lines in the title block, inches of paper."""
    return 6.4 if paper.width > 13.0 else 5.3


def job_title(
    job: Job, books: Sequence[Rulebook], seen: str, view: View, paper: Paper
) -> Iterator[Primitive]:
    """The title block of a sheet that findings stand on; `seen` says how the poles are shown."""
    scale = round(view.text_in / TEXT)
    lines = [
        located(job),
        drafted(job),
        f"{scale_words(scale, job)} on {paper.name}; {seen}",
        *judged_by(books, paper),
    ]
    yield from title_block(job.title, lines, paper, scale, view.look_deg)


def judged_by(books: Sequence[Rulebook], paper: Paper) -> list[str]:
    """The rulebooks in the title block, on two lines at most; none without books."""
    if not books:
        return []
    rules = ", ".join(one.book.title for one in books)
    first, *more = wrapped(f"Judged by: {rules}", title_room(paper), TEXT)
    return [first, " ".join(more)] if more else [first]


def title_block(
    heading: str, lines: Sequence[str], paper: Paper, scale: int, look_deg: float | None
) -> Iterator[Primitive]:
    """A heading and up to five lines, a north mark for the direction looked in, the cautions.

    Without a direction there is no north mark.
    """
    left, base = (MARGIN + 0.1) * scale, MARGIN * scale
    top = base + TITLE_HEIGHT * scale
    text = TEXT * scale
    room = title_room(paper)
    yield fitted(heading, (left, top - 0.26 * scale), room * scale, 1.9 * text)
    for number, line in enumerate(lines):
        at = (left, top - (0.41 + 0.13 * number) * scale)
        if line:
            yield fitted(line, at, room * scale, text)
    north = ((MARGIN + room + 0.5) * scale, base + 0.5 * TITLE_HEIGHT * scale)
    if look_deg is not None:
        yield from north_mark(north, 0.22 * scale, look_deg)
    beside = room + (1.2 if look_deg is not None or paper.width > 13.0 else 0.4)
    x = (MARGIN + beside) * scale
    room = (paper.width - 2 * MARGIN - beside - 0.1) * scale
    deep = (TITLE_HEIGHT - 0.18) * scale
    for small in (share * text for share in (1.0, 0.9, 0.8, 0.72, 0.68, 0.64, 0.6)):
        lines = wrapped(" ".join(cautions()), room, small)
        if 1.45 * small * (len(lines) - 1) <= deep:
            break
    for number, line in enumerate(lines):
        y = top - (0.13 * scale + 1.45 * small * number)
        yield Text((x, y), line, small, "caution")


def fitted(words: str, at: XY, room: float, height: float) -> Text:
    """A line of a title block that is made smaller before anything of it is left out."""
    small = next(
        (share * height for share in SHRINK if text_width(words, share * height) <= room),
        SHRINK[-1] * height,
    )
    return Text(at, shortened(words, room, small), small, "title")


def scale_words(scale: int, job: Job) -> str:
    """The scale as it is printed."""
    return (
        f"Scale 1:{scale}"
        if job.settings.units == "metric"
        else (f"Scale 1 in = {scale // 12} ft (1:{scale})")
    )


class ListColumn(Struct, frozen=True):
    """Room for a part of the list, inches of paper."""

    left: float
    top: float
    width: float
    floor: float


def list_columns(paper: Paper, strip: float | None) -> list[ListColumn]:
    """One column beside the poles, or as many as a strip up to a height has room for."""
    floor = MARGIN + TITLE_HEIGHT + 0.12
    if strip is None:
        left = paper.width - MARGIN - LIST_WIDTH
        return [ListColumn(left + 0.1, paper.height - MARGIN - 0.25, LIST_WIDTH - 0.2, floor)]
    wide = paper.width - 2 * MARGIN
    many = max(1, int(wide / LIST_WIDTH))
    each = wide / many
    return [
        ListColumn(MARGIN + 0.1 + each * number, strip - 0.22, each - 0.2, floor)
        for number in range(many)
    ]


def findings_list(
    job: Job,
    findings: Sequence[Finding],
    books: Sequence[Rulebook],
    columns: Sequence[ListColumn],
    text: float,
    numbered: Sequence[Finding],
    *,
    first: str = "",
    more: Sequence[str] = (),
) -> Iterator[Primitive]:
    """Counts, what is relaxed, then what is not met, then the tightest gaps that are.

    Args:
        job: the job.
        findings: all findings, worst first.
        books: the rulebooks they come from.
        columns: room for the list.
        text: text height in real inches.
        numbered: the findings that are drawn, in the order of their numbers.
        first: a heading under which the numbered findings come before all others; else they stand
            in their place.
        more: further lines, after what is relaxed and whether strength is judged.
    """
    scale = round(text / TEXT)
    column, *others = columns
    x, y = column.left * scale, column.top * scale
    yield Text((x, y), "Findings, worst first", 1.4 * text, "title")
    y -= 1.9 * text
    counts = [
        f"{sum(finding.verdict == verdict for finding in findings)} {verdict}" for verdict in RANK
    ]
    waived = sum(finding.is_waived for finding in findings)
    if waived:
        counts[0] += f" ({waived} answered for)"
    yield Text((x, y), ", ".join(counts), text, "title")
    y -= 1.9 * text
    wide = (column.width - 0.1) * scale
    for words in filter(None, (*relaxations(books), unjudged(job), *more)):
        # all of it, whatever else has no room
        for line in wrapped(words, wide, text):
            if y - (0.0 if others else 2.2 * text) < column.floor * scale:
                if not others:
                    raise FramerError("what is relaxed has no room on this paper: take a larger")
                column, *others = others
                x, y = column.left * scale, column.top * scale
            yield Text((x, y), shortened(line, wide, text), text, "label")
            y -= 1.45 * text
        y -= 0.5 * text
    room = (column.width - 0.45) * scale
    listed = _listed(findings, numbered, first)
    for place, (heading, finding) in enumerate(listed):
        lines = _lines(one_line(job, finding), room, text)
        # a last column keeps a line free to say how many more there are
        rows = len(lines) - 1 + 1.4 * bool(heading)
        last = 0.0 if others or place == len(listed) - 1 else 1.5
        if y - 1.45 * text * (rows + last) < column.floor * scale:
            if not others:
                beyond = f"... and {len(listed) - place} more: see the list"
                yield Text((x, y), beyond, text, "label")
                return
            column, *others = others
            x, y = column.left * scale, column.top * scale
        if heading:
            yield Text((x, y), heading, text, "title")
            y -= 1.9 * text
        yield from mark(finding.verdict, (x + 0.5 * text, y + 0.4 * text), text)
        if finding in numbered:
            ring = (x + (column.width - 0.1) * scale, y + 0.4 * text)
            yield from _number(numbered.index(finding) + 1, finding, ring, text)
        for line in lines:
            yield Text((x + 1.8 * text, y), line, text, "label")
            y -= 1.45 * text
        y -= 0.5 * text


def _listed(
    findings: Sequence[Finding], numbered: Sequence[Finding], first: str
) -> list[tuple[str, Finding]]:
    """The findings to list in order, each with the heading that comes before it, if any."""
    open_ones = [finding for finding in findings if finding.verdict != "meets"]
    if first:
        rest = [finding for finding in open_ones if finding not in numbered]
        parts = ((first, list(numbered)), ("All else that is not met", rest))
    else:
        met = [one for one in findings if one.verdict == "meets" and one.unit == "in"]
        parts = (("", open_ones), ("Tightest that meet", met[:TIGHTEST]))
    return [
        (heading if place == 0 else "", finding)
        for heading, some in parts
        for place, finding in enumerate(some)
    ]


def _lines(words: str, room: float, text: float) -> list[str]:
    """A finding in few lines; of one that is too long, beginning and end, where the numbers are."""
    lines = [shortened(line, room, text) for line in wrapped(words, room, text)]
    if len(lines) <= MOST_LINES:
        return lines
    return [*lines[: MOST_LINES - 3], "...", *lines[-2:]]


def _number(number: int, finding: Finding, spot: XY, text: float) -> Iterator[Primitive]:
    """The number a finding has in the drawing, in a ring at the end of its line in the list."""
    yield Circle(spot, 0.9 * text, finding.verdict)
    at = (spot[0], spot[1] - 0.43 * text)
    yield Text(at, f"{number}", 0.85 * text, finding.verdict, "", "middle")
