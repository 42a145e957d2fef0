"""Stage sheets: one for each step of the transfer that changes a gap, a worker's too.

The pole after the step with what moved marked by letters and where it was dashed, the workers,
the tightest gaps numbered; beside it what the crew asks at that moment. Approach distances stand
apart from construction clearances: they are other rules, and nobody may answer for them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise

from msgspec import structs
from msgspec.structs import replace

from framer.checks.explain import one_line
from framer.checks.finding import RANK, Finding
from framer.checks.rulebook import Rulebook
from framer.drawing.columns import Flow, Said, letter_mark, section
from framer.drawing.elevation import elevation
from framer.drawing.fitting import best_spot, edges_of, meet
from framer.drawing.lettering import shortened, wrapped
from framer.drawing.lifted import lifts
from framer.drawing.marks import north_mark
from framer.drawing.pages import LEAST_COLUMN, Page, sheets_of, text_columns, text_pages
from framer.drawing.panel import REACH_IN, Panel, View
from framer.drawing.picture import (
    XY,
    Circle,
    Dimension,
    Line,
    Path,
    Picture,
    Primitive,
    Text,
    dimension_text,
    extent,
    rectangle,
)
from framer.drawing.plan import plan_height, plan_view
from framer.drawing.plan_panel import PLAN_REACH_IN
from framer.drawing.rigging import step_of
from framer.drawing.sheet import (
    CLEAR,
    MARGIN,
    PAPERS,
    TEXT,
    TIGHTEST,
    TITLE_HEIGHT,
    Paper,
    Sheet,
    busiest_pole,
    main_pole,
    usual_scales,
)
from framer.drawing.viewing import view_words
from framer.errors import FramerError
from framer.geometry.scene import Box, Scene, Tag
from framer.geometry.space import turned
from framer.model.job import Job
from framer.model.stage import host_of, place_at
from framer.model.step import Step
from framer.transfer.cautions import caution_beside, cautions_of
from framer.transfer.compare import changes, step_words
from framer.transfer.near import worker_part
from framer.transfer.stages import StageJudged, Transfer
from framer.transfer.words import cover_words, support_words, worker_words
from framer.units.length import length_text

TRIES = ((1.0, 150), (0.8, 200), (0.65, 1000))
"""Shares of the usual text height that are tried, and 1 to how much the pole may shrink."""

SHARE = 0.6
"""The pole has at most this share of the width."""

SMALLER = (0.9, 0.8)
"""Shares of the usual text height in which a sheet with little too much text may have it all."""

MOST_OPEN = 7
"""So many findings that are not met are written out; how many more there are is said."""

APPROACH = "approach"
NOTHING_MOVES = "nothing that is drawn moves"


def stage_sheets(
    transfer: Transfer,
    books: Sequence[Rulebook],
    *,
    look_deg: float = 0.0,
    paper: Paper = PAPERS["tabloid"],
) -> tuple[Sheet, ...]:
    """A sheet for every step that changes a gap, with pages of text where one has no room.

    The last one has the tightest three gaps of the whole transfer.

    Raises:
        FramerError: the job has no steps, or a pole has no room on the paper.
    """
    if not transfer.job.steps:
        raise FramerError("the job has no steps: put them in first, or copy a starting pattern")
    pages: list[Page] = []
    for before, after in pairwise(transfer.stages[:-1]):
        step = after.step
        if step is not None and _has_sheet(before, after):
            pages.extend(_step_pages(before, after, step, look_deg, paper))
    pages.extend(_tightest_pages(transfer, look_deg, paper))
    return sheets_of(transfer.job, books, pages, paper, look_deg)


def _has_sheet(before: StageJudged, after: StageJudged) -> bool:
    """Whether a step changes a gap, that of a worker to what is live, or the cover."""
    told = changes(before, after)
    return (
        bool(told.come or told.gone or told.moved or told.gaps)
        or any(one.rule.measure == APPROACH for one in after.of_step)
        or (after.step is not None and after.step.kind in ("cover", "uncover"))
    )


# --- one step ---


def _step_pages(
    before: StageJudged,
    after: StageJudged,
    step: Step,
    look_deg: float,
    paper: Paper,
) -> Iterator[Page]:
    job, number = after.scene.job, after.stage
    gaps = [one for one in after.gaps(12) if one.rule.measure != APPROACH and one.line]
    numbered = _once_a_pair(gaps)
    heading = f"Stage sheet, step {number} of {len(job.steps)}"
    drawn, scale, edge = _drawn(before, after, step, numbered, look_deg, paper)
    lines = list(_step_lines(after, step, numbered, drawn))
    columns = text_columns(paper, edge, paper.height - MARGIN)
    flow = Flow(columns, scale, TEXT * scale)
    left = flow.write(lines)
    for share in SMALLER if left else ():
        # a page for a few lines is saved by smaller text, where that does it
        smaller = Flow(columns, scale, share * TEXT * scale)
        if not smaller.write(lines):
            flow, left = smaller, []
            break
    floor, ceiling = MARGIN + TITLE_HEIGHT, paper.height - MARGIN
    line = Line((edge * scale, floor * scale), (edge * scale, ceiling * scale), "frame")
    seen = f"{view_words(job, look_deg)}; heights above ground"
    yield Page(heading, drawn.with_more((*flow.drawn, line)), scale, seen)
    yield from text_pages(f"{heading}, continued", left, paper)


def _no_sheet(before: StageJudged, after: StageJudged) -> str:
    """What a list of the steps says of one without a sheet, so that nobody looks for it."""
    none = after.step is not None and not _has_sheet(before, after)
    return " (no sheet: no gap is changed)" if none else ""


def _once_a_pair(gaps: Iterable[Finding]) -> list[Finding]:
    """The first three gaps, one for each pair of things."""
    chosen: list[Finding] = []
    pairs: set[frozenset[str]] = set()
    for one in gaps:
        pair = frozenset(part.owner for part in (one.a, one.b) if part is not None)
        if pair not in pairs and len(chosen) < TIGHTEST:
            pairs.add(pair)
            chosen.append(one)
    return chosen


def _step_lines(
    after: StageJudged, step: Step, numbered: Sequence[Finding], drawn: Picture
) -> Iterator[Said]:
    """All the text of a step; what has no letter in the drawing has none here."""
    scene, job = after.scene, after.scene.job
    number = int(after.stage) if isinstance(after.stage, int) else 0
    who = {"crew": "by the crew", "others": "by others", "later": "later"}[step.by]
    kind = step.kind if step.kind != "other" else "kind not said"
    more = "; the crew leaves after it" if step.crew_leaves else ""
    worst = after.verdict
    yield Said(f"Step {number} of {len(job.steps)}: {step.title}", heading=True)
    yield Said(f"{worst}: the worst of this stage ({kind}, {who}{more})", verdict=worst)
    if step.note:
        yield Said(step.note)
    lettered = {one.text for one in drawn.primitives if isinstance(one, Text)}
    moves = dict(zip(dict.fromkeys(step.moves), step_words(job, number), strict=True))
    yield from section(
        "What moves",
        (
            Said(words, letter=letter(at) if letter(at) in lettered else "")
            for at, keys in enumerate(_moved_together(scene, step))
            for words in _moved_words(job, keys, moves)
        ),
        nothing=NOTHING_MOVES,
    )
    yield from section(
        "Before anyone starts",
        (f"- {one}" for one in cautions_of(step, (*after.of_step, *after.open))),
    )
    people = [Said(words) for words in worker_words(scene, step)]
    unplaced = [Said("no worker is placed in this step: approach is not judged", "cannot say")]
    if step.by == "crew":
        yield from section("Where the workers are", people or unplaced)
    approach = [one for one in after.of_step if one.rule.measure == APPROACH]
    told = list(_findings(job, step, _worst_first(approach), ()))
    if people and not told:
        told = [Said("nothing is said of it in this step", "cannot say")]
    yield from section("Approach to workers (never answered for)", told)
    yield from section("Tightest gaps of things, construction and limits between steps",
                       _findings(job, step, numbered, numbered),
                       nothing="no gap can be given")  # fmt: skip
    # that every wire has its support is told below, by name
    held = [
        one for one in after.of_step if one.rule.measure == "supports" and one.verdict == "meets"
    ]
    said = [one for one in after.of_step if one not in (*approach, *held, *numbered)]
    yield from section("Said of this step", _findings(job, step, _worst_first(said), ()))
    rest = [one for one in after.open if one not in (*numbered, *after.of_step)]
    yield from section("Not met besides", _findings(job, step, rest, ()))
    if after.as_found:
        many = len(after.as_found)
        yield from section(
            "As found", [f"{many} gap{'s are' if many > 1 else ' is'} short as found, no worse now"]
        )
    yield from section("Cover in place", cover_words(scene), nothing="none")
    yield from section("What supports each wire", support_words(scene), nothing="no wire is here")


def _moved_together(after: Scene, step: Step) -> list[list[str]]:
    """What a step moves, in its order; cover laid or taken piece after piece is on one wire one."""
    groups: list[tuple[str, list[str]]] = []
    for key in dict.fromkeys(step.moves):
        item = after.job.item_by_id.get(key)
        on = _carrier(after, key) if item is not None and item.kind == "cover" else ""
        if groups and on and on == groups[-1][0]:
            groups[-1][1].append(key)
        else:
            groups.append((on, [key]))
    return [keys for _, keys in groups]


def _moved_words(job: Job, keys: Sequence[str], said: Mapping[str, str]) -> Iterator[str]:
    """What is said of things that have one letter: in one line where it is the same."""
    names_of: dict[str, list[str]] = {}
    for key in keys:
        label = job.label(key)
        names_of.setdefault(said[key].removeprefix(f"{label}: "), []).append(label)
    for done, labels in names_of.items():
        yield f"{', '.join(labels)}: {done}"


def _worst_first(findings: Iterable[Finding]) -> list[Finding]:
    return sorted(findings, key=lambda one: one.order)


def _findings(
    job: Job, step: Step, findings: Sequence[Finding], numbered: Sequence[Finding]
) -> Iterator[Said]:
    """Findings, each with the caution its number calls for; not more than have a point."""
    told: set[str] = set()
    for one in findings[:MOST_OPEN]:
        at = numbered.index(one) + 1 if one in numbered else 0
        yield Said(f"{one.verdict}: {one_line(job, one)}", one.verdict, at)
        caution = caution_beside(step, one)
        if caution and caution not in told:
            told.add(caution)
            yield Said(caution, under=True)
    if len(findings) > MOST_OPEN:
        more = len(findings) - MOST_OPEN
        yield Said(f"... and {more} more, none worse: see the list of this stage")


def letter(at: int) -> str:
    """The letter of a place in a list: a to z, then aa and on; capitals are phases."""
    first, last = divmod(at, 26)
    return (letter(first - 1) if first else "") + chr(ord("a") + last)


# --- the drawing ---


def _drawn(
    before: StageJudged,
    after: StageJudged,
    step: Step,
    numbered: Sequence[Finding],
    look_deg: float,
    paper: Paper,
) -> tuple[Picture, int, float]:
    """The pole at the largest scale with room, that scale, and where the text begins on paper."""
    job = after.scene.job
    inside = paper.width - 2 * MARGIN
    most = min(SHARE * inside, inside - LEAST_COLUMN)
    high = paper.height - 2 * MARGIN - TITLE_HEIGHT - 2 * CLEAR
    tall = _tall(after.scene)
    for share, smallest in TRIES:
        for scale in usual_scales(job):
            if scale > smallest:
                break
            if tall / scale > high:
                continue  # not even the poles have room
            text_in = share * TEXT * scale
            view, across = View(look_deg, text_in), View(turned(look_deg, 90.0), text_in)
            first = _pole(before.scene, after.scene, step, view, numbered)
            if not _has_room(first, most, high, scale):
                continue
            second = _pole(before.scene, after.scene, step, across, numbered, labels=False)
            both = _beside(first, second, 3.0 * TEXT * scale)
            views = [one for one in (both, first) if _has_room(one, most, high, scale)]
            plan = _plan(after.scene, text_in, look_deg)
            made = views[0] if plan is None else _with_plan(views, plan, view, most, high, scale)
            left, low, right, _ = made.bounds()
            x, y = (MARGIN + CLEAR) * scale - left, (MARGIN + TITLE_HEIGHT + CLEAR) * scale - low
            return made.moved(x, y), scale, MARGIN + (right - left) / scale + 2 * CLEAR
    raise FramerError(f"the pole has no room on {paper.name} paper; take a larger one")


def _with_plan(
    views: Sequence[Picture], plan: Picture, view: View, wide: float, high: float, scale: int
) -> Picture:
    """The first of some drawings that has room for a plan, with it; without one the first alone.

    A plan says more of lifts and of a boom than the view from the other side.
    """
    for one in views:
        wider = _beside(one, plan, 3.0 * TEXT * scale)
        if _has_room(wider, wide, high, scale):
            return wider
        between = _between(one, plan, 0.8 * view.text_in)
        if between is not None:
            return between
    return views[0]


def _plan(scene: Scene, text_in: float, look_deg: float) -> Picture | None:
    """The busiest pole from above, where lifts are up or a boom stands there; else `None`."""
    step = step_of(scene)
    if not any(lifts(scene)) and (step is None or step.boom is None):
        return None
    pole = busiest_pole(scene)
    at_in = plan_height(scene, pole)
    drawn = plan_view(
        scene,
        pole=pole,
        at_in=at_in,
        text_in=text_in,
        look_deg=look_deg,
        names=False,
        north=False,
    ).moved(0.0, PLAN_REACH_IN + 2.0 * text_in)
    words = f"Plan at {length_text(at_in, step_in=1.0, system=scene.job.settings.units)}"
    high = 2.0 * PLAN_REACH_IN + 3.5 * text_in
    heading = Text((-2.0 * text_in, high), words, 1.1 * text_in, "title", "", "middle")
    # beside the heading and not in a corner of the plan: wires reach every corner of that
    at = (PLAN_REACH_IN - 2.0 * text_in, 2.0 * PLAN_REACH_IN + 3.2 * text_in)
    north = north_mark(at, text_in, look_deg)
    return drawn.with_more([heading, *north])


def _tall(scene: Scene) -> float:
    """From the lowest butt to the highest top of the poles, real inches."""
    ends = [
        end[2]
        for part in scene.bodies
        if part.tags & Tag.POLE and part.shape is not None
        for end in (part.shape.p, part.shape.q)
    ]
    return max(ends) - min(ends) if ends else 0.0


def _has_room(picture: Picture, wide: float, high: float, scale: int) -> bool:
    left, low, right, top = picture.bounds()
    return (right - left) / scale + 2 * CLEAR <= wide and (top - low) / scale <= high


def _beside(first: Picture, second: Picture, gap: float) -> Picture:
    """Two views on one ground line."""
    shift = first.bounds()[2] - second.bounds()[0] + gap
    return first.with_more(second.moved(shift, 0.0).primitives)


def _between(drawn: Picture, more: Picture, gap: float) -> Picture | None:
    """A drawing with another in an empty place of it above the ground, the leftmost lowest.

    `None` where no place is empty.
    """
    left, low, right, high = more.bounds()
    boxes = [
        (min(xs) - gap, min(ys) - gap, max(xs) + gap, max(ys) + gap)
        for xs, ys in (zip(*extent(one), strict=True) for one in drawn.primitives)
    ]
    first, _, last, top = drawn.bounds()
    for y in _steps(0.0, top - (high - low), gap):
        for x in _steps(first, last - (right - left), gap):
            box = (x, y, x + right - left, y + high - low)
            if not any(meet(box, other) for other in boxes):
                return drawn.with_more(more.moved(x - left, y - low).primitives)
    return None


def _steps(start: float, end: float, by: float) -> Iterator[float]:
    return (start + by * number for number in range(max(0, int((end - start) / by) + 1)))


def _pole(
    before: Scene,
    after: Scene,
    step: Step,
    view: View,
    numbered: Sequence[Finding],
    *,
    labels: bool = True,
) -> Picture:
    """The pole after a step: where things were dashed, workers, letters beside what moved."""
    pole = busiest_pole(after)
    panel = Panel(after, view, pole)
    shown = [_if_near(one, panel) for one in numbered]
    drawn = elevation(
        after, view, pole, findings=shown, dimensions=False, labels=labels, narrow=True,
        reach_in=REACH_IN,  # lifts hold wires outside the arms
    )  # fmt: skip
    drawn = _phases_off_lines(drawn, view.text_in)
    was = list(_was(before, view, panel, step))
    words = [one for one in drawn.primitives if isinstance(one, Text)]
    # letters keep off the middle of a finding's line too, where its text would be
    words += [dimension_text(one) for one in drawn.primitives if isinstance(one, Dimension)]
    words += [_ring(one) for one in drawn.primitives
              if isinstance(one, Circle) and one.style in RANK]  # fmt: skip
    lines = [one for one in drawn.primitives if isinstance(one, Line)]
    people = list(_named(worker_outlines(after, step, panel), words, lines))
    words += [one for one in people if isinstance(one, Text)]
    marks = list(_letters(after, step, drawn, was, words, view.text_in))
    return Picture((*was, *drawn.primitives, *people, *marks))


def _phases_off_lines(drawn: Picture, text: float) -> Picture:
    """The letters of phases a little aside where cover or jumpers lie behind them.

    Not so far that one could stand for the wire beside.
    """
    lines = list(edges_of(drawn.primitives))
    placed: list[Primitive] = []
    texts = [one for one in drawn.primitives if isinstance(one, Text)]
    for one in drawn.primitives:
        if isinstance(one, Text) and one.style == "label" and _is_of_phases(one.text):
            (x, y), others = one.at, [other for other in texts if other is not one]
            moved = best_spot(one, ((x + across * text, y + up * text) for across, up in _ASIDE),
                              others, lines)  # fmt: skip
            texts = [*others, moved]
            placed.append(moved)
        else:
            placed.append(one)
    return Picture(tuple(placed), drawn.images)


_ASIDE = ((0, 0), (0, 0.5), (0.9, 0), (-0.9, 0), (0.9, 0.5), (-0.9, 0.5), (1.1, -0.8), (-1.1, -0.8))


def _is_of_phases(words: str) -> bool:
    return all(len(word) == 1 and word.isupper() for word in words.split())


def _ring(ring: Circle) -> Text:
    """A text as large as the ring round a number, to find room beside it."""
    return Text((ring.centre[0], ring.centre[1] - ring.radius), "0", 2.0 * ring.radius, "label",
                "", "middle")  # fmt: skip


def _named(
    outlines: Iterable[Primitive], words: Sequence[Text], lines: Sequence[Line]
) -> Iterator[Primitive]:
    """Outlines of workers with each name where it is usual, or about there off texts and lines."""
    for one in outlines:
        if isinstance(one, Text):
            (x, y), text = one.at, one.height
            spots = [one.at]
            for off in (2.0, 4.0, 6.0):
                spots += [(x - off * text, y), (x + off * text, y)]
            spots += [(at, y - 1.5 * text) for at, _ in spots]
            yield best_spot(one, spots, words, lines)
        else:
            yield one


def _if_near(finding: Finding, panel: Panel) -> Finding:
    """The finding, without its line where that lies out in the span, past what is drawn."""
    if finding.line is None or all(abs(panel.xy(end)[0]) <= REACH_IN for end in finding.line):
        return finding
    return structs.replace(finding, line=None)


def _was(before: Scene, view: View, panel: Panel, step: Step) -> Iterator[Primitive]:
    """Where what moves was before the step, dashed."""
    pole = main_pole(before, new=True)
    if not pole:
        return
    there = Panel(before, view, pole)
    drawn = elevation(before, view, pole, dimensions=False, labels=False)
    wanted = set(step.moves)
    shift = there.origin - panel.origin
    for one in drawn.moved(shift, 0.0).primitives:
        if one.owner in wanted and isinstance(one, Line | Path | Circle):
            yield (
                replace(one, style="was")
                if isinstance(one, Line)
                else replace(one, style="was", fill="none")
            )


def worker_outlines(scene: Scene, step: Step, panel: Panel) -> Iterator[Primitive]:
    """The room each worker takes up, outlined, with the name."""
    text = panel.view.text_in
    for worker in step.workers:
        part = worker_part(scene, step, worker)
        box = part.shape
        if not isinstance(box, Box):
            continue
        x, y = panel.xy(box.centre)
        wide, high = panel.across(box), box.half[2]
        corners = rectangle((x - wide, y - high, x + wide, y + high))
        yield Path(corners, "space", part.owner)
        name = shortened(part.owner, 12 * text, text)
        below, beside = y - high - 1.3 * text, wide + 0.4 * text
        if below > 0.0:
            yield Text((x, below), name, text, "label", part.owner, "middle")
        # of somebody on the ground it would lie on the ground line
        elif x < 0.0:
            yield Text((x - beside, y - high), name, text, "label", part.owner, "right")
        else:
            yield Text((x + beside, y - high), name, text, "label", part.owner, "left")


def _letters(
    after: Scene,
    step: Step,
    drawn: Picture,
    was: Sequence[Primitive],
    words: list[Text],
    text: float,
) -> Iterator[Primitive]:
    """The letter of each thing that moves, beside it and off all texts."""
    lines = [one for one in drawn.primitives if isinstance(one, Line)]
    lowest = drawn.bounds()[1]
    for at, keys in enumerate(_moved_together(after, step)):
        points = [
            point
            for key in keys
            for point in _points(drawn.primitives, key)
            or _points(was, key)
            or _points(drawn.primitives, _carrier(after, key))
        ]
        if not points:
            continue
        name = letter(at)
        spots = list(_round_about(points, text))
        # below a butt a letter would make the drawing taller, and with it smaller
        spots = [spot for spot in spots if spot[1] >= lowest] or spots
        # its box is as wide for an i as for an m
        size = Text(spots[0], "0" * len(name), 1.5 * text, "title", keys[0], "middle")
        put = best_spot(size, spots, words, lines)
        words.append(put)
        middle = (put.at[0], put.at[1] + 0.75 * text)
        near = min(points, key=lambda p: (p[0] - middle[0]) ** 2 + (p[1] - middle[1]) ** 2)
        yield Line(middle, near, "leader")
        yield from letter_mark(name, middle, text, over=True)


def _points(primitives: Iterable[Primitive], key: str) -> list[XY]:
    """The corners of what is drawn of a thing, texts apart."""
    return [
        point
        for one in primitives
        if key and one.owner == key and isinstance(one, Line | Path | Circle)
        for point in (one.points if isinstance(one, Path) else extent(one))
    ]


def _carrier(after: Scene, key: str) -> str:
    """What a thing that is not drawn itself lies on after the step, or lay on before it."""
    job = after.job
    item = job.item_by_id.get(key)
    if item is None or not isinstance(after.stage, int):
        return ""
    stages = (after.stage, after.stage - 1)
    hosts = (host_of(place_at(job, item, stage)) for stage in stages)
    return next((host for host in hosts if host), "")


def _round_about(points: Sequence[XY], text: float) -> Iterator[XY]:
    """Places for a letter round a thing, the nearest first; of a long one round its middle."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    left, right, low, top = min(xs), max(xs), min(ys), max(ys)
    x, y = (left + right) / 2, (low + top) / 2
    for off in (1.6, 2.8, 4.2, 6.0, 8.0, 10.0, 12.0):
        far = off * text
        for dx, dy in ((0, 1), (1, 1), (-1, 1), (0, -1), (1, -1), (-1, -1),
                       (0.5, 1), (-0.5, 1), (0.5, -1), (-0.5, -1)):  # fmt: skip
            yield (x + dx * far, (top if dy > 0 else low) + dy * far - 0.75 * text)
        yield (right + far, y - 0.75 * text)
        yield (left - far, y - 0.75 * text)


# --- the whole transfer ---


def _tightest_pages(transfer: Transfer, look_deg: float, paper: Paper) -> Iterator[Page]:
    """The tightest three gaps of the whole transfer, each at the stage where it is smallest."""
    job = transfer.job
    least = _tightest(transfer)
    views, scale = _three(transfer, least, look_deg, paper)
    heading = "Tightest three gaps of the whole transfer"
    lines: list[Said] = []
    for at, (stage, one) in enumerate(least, start=1):
        lines.append(Said(f"{one.verdict}: {one_line(job, one)}", one.verdict, at))
        lines.append(Said(stage.name, under=True))
    approach = sorted(
        (
            (one, stage)
            for stage in transfer.stages
            for one in stage.of_step
            if one.rule.measure == APPROACH
        ),
        key=lambda pair: pair[0].order,
    )
    nearest: list[Said] = []
    for one, stage in approach[:TIGHTEST]:
        nearest.append(Said(f"{one.verdict}: {one_line(job, one)}", one.verdict))
        nearest.append(Said(stage.name, under=True))
    told = [
        *section("Gaps of things, construction and limits between steps", lines,
                 nothing="no gap can be given"),
        *section("Approach to workers, apart from these (never answered for)",
            nearest,
            nothing="nothing is said of it: no worker is placed in any step"),
        *section("The steps, and the worst that is said of each",
                 [Said(f"{stage.verdict}: {stage.name}{_no_sheet(before, stage)}", stage.verdict)
                  for before, stage in pairwise(transfer.stages)]),
    ]  # fmt: skip
    strip = views.bounds()[1] / scale - CLEAR if least else paper.height - MARGIN
    flow = Flow(text_columns(paper, MARGIN, strip), scale, TEXT * scale)
    left = flow.write(told)
    edges = (MARGIN * scale, (paper.width - MARGIN) * scale)
    line = Line((edges[0], strip * scale), (edges[1], strip * scale), "frame")
    seen = f"{view_words(job, look_deg)}; heights above ground" if least else ""
    yield Page(heading, views.with_more((*flow.drawn, line)), scale, seen)
    yield from text_pages(f"{heading}, continued", left, paper)


def _tightest(transfer: Transfer) -> list[tuple[StageJudged, Finding]]:
    """The tightest gaps but those to workers, one for each pair of things."""
    every = [pair for pair in transfer.tightest(40) if pair[1].rule.measure != APPROACH]
    kept = _once_a_pair(one for _, one in every if one.line is not None)
    return [pair for pair in every if pair[1] in kept]


DRAWN_SHARE = 0.52
"""The three views have at most this share of the height."""


def _three(
    transfer: Transfer,
    least: Sequence[tuple[StageJudged, Finding]],
    look_deg: float,
    paper: Paper,
) -> tuple[Picture, int]:
    """The stages of these gaps beside each other, under the upper edge of the paper."""
    if not least:
        return Picture(()), 1
    room, tall = paper.width - 2 * MARGIN - 2 * CLEAR, max(_tall(one.scene) for one, _ in least)
    high = DRAWN_SHARE * (paper.height - 2 * MARGIN - TITLE_HEIGHT)
    for share, smallest in TRIES:
        for scale in usual_scales(transfer.job):
            if scale > smallest:
                break
            if tall / scale > high:
                continue
            made = _row(least, View(look_deg, share * TEXT * scale))
            left, low, right, top = made.bounds()
            if (right - left) / scale <= room and (top - low) / scale <= high:
                x = (paper.width * scale - (right - left)) / 2 - left
                return made.moved(x, (paper.height - MARGIN - CLEAR) * scale - top), scale
    raise FramerError(f"three views have no room on {paper.name} paper; take a larger one")


def _row(least: Sequence[tuple[StageJudged, Finding]], view: View) -> Picture:
    row, edge, size = Picture(()), 0.0, 1.1 * view.text_in
    for at, (stage, finding) in enumerate(least):
        pole = busiest_pole(stage.scene)
        panel = Panel(stage.scene, view, pole)
        # those without a line only take up the numbers before
        shown = [structs.replace(one, line=None) for _, one in least[:at]]
        shown.append(_if_near(finding, panel))
        drawn = elevation(
            stage.scene, view, pole, findings=shown, dimensions=False, narrow=True,
            reach_in=REACH_IN,
        )  # fmt: skip
        left, low, right, _ = drawn.bounds()
        words = wrapped(f"{at + 1}: {stage.name}", right - left, size)
        drawn = drawn.with_more(
            Text(((left + right) / 2, low - (2.2 + 1.5 * line) * size), text, size, "title", "",
                 "middle")
            for line, text in enumerate(words)
        )  # fmt: skip
        row = row.with_more(drawn.moved(edge - left, 0.0).primitives)
        edge += right - left + 3.0 * view.text_in
    return row
