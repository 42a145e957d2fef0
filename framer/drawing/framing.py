"""The framing sheet: the framed pole from two sides and from above, for those who frame it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from msgspec.structs import replace

from framer.checks.finding import Finding, Verdict
from framer.checks.findings import VERDICTS
from framer.checks.rulebook import Rulebook
from framer.checks.shown import SpaceShown, spaces
from framer.drawing.elevation import elevation
from framer.drawing.lettering import shortened, wrapped
from framer.drawing.panel import View
from framer.drawing.picture import Line, Picture, Primitive, Text
from framer.drawing.plan import plan_height, plan_view
from framer.drawing.sheet import (
    CLEAR,
    LIST_HEIGHT,
    LIST_WIDTH,
    MARGIN,
    PAPERS,
    TEXT,
    TIGHTEST,
    TITLE_HEIGHT,
    ListColumn,
    Paper,
    Sheet,
    findings_list,
    frame,
    job_title,
    largest,
    list_columns,
    main_pole,
    with_guides,
)
from framer.drawing.spaces import words_of
from framer.drawing.viewing import view_words
from framer.errors import FramerError
from framer.geometry.scene import Scene
from framer.units.length import length_text

LEAST_LIST = 2.2
"""Height the findings need below the plan, inches of paper."""

BETWEEN = 2.0
"""Between the views, text heights."""

TRIES = (
    (1.0, True, 100),
    (0.8, True, 120),
    (0.65, True, 120),
    (0.65, False, 120),
    (0.65, True, 240),
    (0.65, False, 1000),
)
"""What is tried until the views find room, as for the change-out sketch."""

NARROW_BELOW = 0.8
"""With text of a smaller share width is what is wanting: labels are broken into short lines."""


class _Views:
    """The three views at one scale, each with its heading; drawn when they are asked for.

    Where the first is too large for the paper, nobody asks for the others.
    """

    def __init__(
        self,
        scene: Scene,
        pole: str,
        numbered: Sequence[Finding],
        shown: Sequence[SpaceShown],
        view: View,
        *,
        dimensions: bool,
        narrow: bool,
    ) -> None:
        self._scene, self._pole, self._view = scene, pole, view
        self._numbered, self._shown = numbered, shown
        self._dimensions, self._narrow = dimensions, narrow

    @cached_property
    def first(self) -> Picture:
        """The elevation with names and dimensions."""
        return self._side(self._view, dimensions=self._dimensions, narrow=self._narrow)

    @cached_property
    def second(self) -> Picture:
        """The elevation square to it."""
        across = replace(self._view, look_deg=(self._view.look_deg + 90.0) % 360.0)
        return self._side(across, dimensions=False, labels=False)

    @cached_property
    def plan(self) -> Picture:
        """The pole from above."""
        scene, text = self._scene, self._view.text_in
        at_in = plan_height(scene, self._pole)
        drawn = plan_view(
            scene,
            pole=self._pole,
            at_in=at_in,
            text_in=text,
            findings=self._numbered,
            spaces=self._shown,
        )
        height = length_text(at_in, step_in=1.0, system=scene.job.settings.units)
        return _headed(drawn, f"from above at {height}", text)

    def _side(
        self, view: View, *, dimensions: bool, labels: bool = True, narrow: bool = False
    ) -> Picture:
        drawn = elevation(
            self._scene,
            view,
            self._pole,
            findings=self._numbered,
            dimensions=dimensions,
            labels=labels,
            narrow=narrow,
            spaces=self._shown,
        )
        drawn = with_guides(self._scene, view, self._pole, drawn)
        return _headed(drawn, view_words(self._scene.job, view.look_deg), view.text_in)


def framing_sheet(
    framed: Scene,
    findings: Sequence[Finding],
    books: Sequence[Rulebook],
    *,
    look_deg: float = 0.0,
    paper: Paper = PAPERS["tabloid"],
) -> Sheet:
    """The framed pole to one scale: elevation, the one square to it, and plan.

    The room to climb and to work is outlined, the three tightest gaps are drawn and numbered. The
    findings stand below the plan, on small paper below everything.

    Args:
        framed: the framed job.
        findings: its findings, worst first.
        books: the rulebooks they come from.
        look_deg: direction of the first elevation; the second looks 90 degrees to its right.
        paper: what it is printed on.

    Raises:
        FramerError: there is no pole, or no room on the paper at any scale.
    """
    job, pole = framed.job, main_pole(framed, new=True)
    if pole not in framed.poles:
        raise FramerError("no pole stands here as framed: there is nothing to make a sheet of")
    numbered = tightest(findings)
    shown = spaces(framed, books, pole)
    views, scale, beside = _laid_out(framed, pole, numbered, shown, look_deg, paper)
    if beside:
        drawn, columns, lines = _beside(views, paper, scale)
    else:
        drawn, columns, lines = _in_a_row(views, paper, scale)
    view = View(look_deg, TEXT * scale)
    seen = "heights above ground, drops below top"
    more = [
        *lines,
        *job_title(job, books, f"framing; {seen}", view, paper),
        *findings_list(
            job,
            findings,
            books,
            columns,
            view.text_in,
            numbered,
            first="Tightest three gaps" if len(numbered) == TIGHTEST else "Tightest gaps",
            more=climbing_lines(framed, shown),
        ),
    ]
    return Sheet(drawn.with_more(more), paper, scale, f"{job.title}, framing sheet", job)


def tightest(findings: Sequence[Finding]) -> list[Finding]:
    """The three gaps with least to spare that can be drawn, one for each pair of parts."""
    chosen: list[Finding] = []
    pairs: set[frozenset[str]] = set()
    for finding in findings:
        if finding.line is None or finding.spare is None or finding.unit != "in":
            continue
        pair = frozenset(part.owner for part in (finding.a, finding.b) if part is not None)
        if pair not in pairs:
            pairs.add(pair)
            chosen.append(finding)
        if len(chosen) == TIGHTEST:
            break
    return chosen


def climbing_lines(scene: Scene, shown: Sequence[SpaceShown]) -> list[str]:
    """The side to climb by, from the top down, with what is said of it by each rule."""
    said: dict[str, dict[Verdict, None]] = {}
    for one in shown:
        if one.kind == "climbing":
            said.setdefault(words_of(scene, one, one.label), {})[one.verdict] = None
    # of one rule it may be short at one height and not known at another
    return [
        f"{words}: {' and '.join(one for one in VERDICTS if one in told)}"
        for words, told in said.items()
    ]


def _laid_out(
    scene: Scene,
    pole: str,
    numbered: Sequence[Finding],
    shown: Sequence[SpaceShown],
    look_deg: float,
    paper: Paper,
) -> tuple[_Views, int, bool]:
    """The views at the largest scale with room, and whether the findings go below the plan."""
    return largest(
        "the pole has",
        scene.job,
        paper,
        TRIES,
        lambda share, dimensions, scale: _Views(
            scene,
            pole,
            numbered,
            shown,
            View(look_deg, share * TEXT * scale),
            dimensions=dimensions,
            narrow=share < NARROW_BELOW,
        ),
        lambda views, scale, beside: _has_room(views, paper, scale, beside=beside),
    )


def _headed(picture: Picture, words: str, text: float) -> Picture:
    """A picture with its heading below the middle of what it shows."""
    left, low, right, _ = picture.bounds()
    size = 1.3 * text
    room = min(max(right - left, 16 * size), 26 * size)
    lines = wrapped(shortened(words[0].upper() + words[1:], 2.7 * room, size), room, size)
    return picture.with_more(
        Text(
            (0.0, low - (2.4 + 1.5 * row) * size),
            shortened(line, room, size),
            size,
            "title",
            "",
            "middle",
        )
        for row, line in enumerate(lines)
    )


def _size(picture: Picture) -> tuple[float, float]:
    left, low, right, top = picture.bounds()
    return right - left, top - low


def _size_of_both(views: _Views, gap: float) -> tuple[float, float]:
    """How large the two elevations are side by side, without putting them there."""
    one, other = views.first.bounds(), views.second.bounds()
    wide = sum(_size(picture)[0] for picture in (views.first, views.second)) + gap
    return wide, max(one[3], other[3]) - min(one[1], other[1])


def _both(views: _Views, gap: float) -> Picture:
    """The two elevations side by side on one ground line."""
    shift = views.first.bounds()[2] - views.second.bounds()[0] + gap
    return views.first.beside(views.second.moved(shift, 0.0))


def _gap(scale: int) -> float:
    return BETWEEN * TEXT * scale


def _right_width(views: _Views, scale: int) -> float:
    """Width of the column with plan and findings, inches of paper."""
    return max(LIST_WIDTH, _size(views.plan)[0] / scale + 2 * CLEAR)


def _has_room(views: _Views, paper: Paper, scale: int, *, beside: bool) -> bool:
    width = paper.width - 2 * MARGIN - 2 * CLEAR
    height = paper.height - 2 * MARGIN - TITLE_HEIGHT - 2 * CLEAR
    wide, high = (one / scale for one in _size(views.first))
    if wide > width or high > height:
        return False
    wide, high = (one / scale for one in _size_of_both(views, _gap(scale)))
    plan_wide, plan_high = (one / scale for one in _size(views.plan))
    if beside:
        wide += _right_width(views, scale)
        return wide <= width and high <= height and plan_high + LEAST_LIST <= height
    wide += plan_wide + _gap(scale) / scale
    return wide <= width and max(high, plan_high) <= height - LIST_HEIGHT


def _beside(
    views: _Views, paper: Paper, scale: int
) -> tuple[Picture, list[ListColumn], list[Primitive]]:
    """The elevations at the left, the plan over the findings at the right."""
    both = _both(views, _gap(scale))
    wide = _right_width(views, scale)
    edge = paper.width - MARGIN - wide
    floor, ceiling = MARGIN + TITLE_HEIGHT, paper.height - MARGIN
    left, low, right, _ = both.bounds()
    x = MARGIN * scale + ((edge - MARGIN) * scale - (right - left)) / 2 - left
    drawn = both.moved(x, (floor + CLEAR) * scale - low)
    left, low, right, top = views.plan.bounds()
    x = edge * scale + (wide * scale - (right - left)) / 2 - left
    plan = views.plan.moved(x, (ceiling - CLEAR) * scale - top)
    line = ceiling - 2 * CLEAR - (top - low) / scale
    column = ListColumn(edge + 0.1, line - 0.25, wide - 0.2, floor + 0.12)
    lines = [
        *frame(paper, scale),
        Line((edge * scale, floor * scale), (edge * scale, ceiling * scale), "frame"),
        Line((edge * scale, line * scale), ((paper.width - MARGIN) * scale, line * scale), "frame"),
    ]
    return drawn.with_more(plan.primitives), [column], lines


def _in_a_row(
    views: _Views, paper: Paper, scale: int
) -> tuple[Picture, list[ListColumn], list[Primitive]]:
    """The three views beside each other, the findings below them."""
    both = _both(views, _gap(scale))
    ceiling = (paper.height - MARGIN - CLEAR) * scale
    drawn = both.moved(0.0, ceiling - both.bounds()[3])
    plan = views.plan.moved(
        drawn.bounds()[2] - views.plan.bounds()[0] + _gap(scale),
        ceiling - views.plan.bounds()[3],
    )
    drawn = drawn.with_more(plan.primitives)
    left, low, right, _ = drawn.bounds()
    drawn = drawn.moved((paper.width * scale - (right - left)) / 2 - left, 0.0)
    strip = low / scale - CLEAR
    edges = (MARGIN * scale, (paper.width - MARGIN) * scale)
    lines = [
        *frame(paper, scale),
        Line((edges[0], strip * scale), (edges[1], strip * scale), "frame"),
    ]
    return drawn, list_columns(paper, strip), lines
