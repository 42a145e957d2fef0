"""Findings that come from the job itself and no book.

Undecided things, things with nowhere to be, phases that cross, and limit lines the planner placed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from framer.checks.finding import Finding, verdict
from framer.checks.rulebook import Band, Rule, Rulebook
from framer.geometry.jumpers import rolls, unlike_phases
from framer.geometry.limit import limit_normal
from framer.geometry.scene import Box, Part, Scene, Tag, Tube
from framer.geometry.space import Point, dot, moved
from framer.model.line import LimitLine
from framer.stock.source import Source

_JOB = Source("this job", "house")


def _rule(key: str, title: str) -> Rule:
    return Rule(
        id=f"job.{key}",
        title=title,
        measure="slant",
        a="wire",
        b="wire",
        need=(Band(value=0.0),),
        source=_JOB,
    )


UNDECIDED = _rule("undecided", "Every surveyed thing needs a fate")
UNPLACED = _rule("no-place", "Everything rests on something that is there")
CLIMBING = _rule("climbing", "Room to climb")
PHASES = _rule("phases", "Every jumper joins equal phases")
UNREAD = _rule("rulebook", "Every rule of the books chosen can be read")


def job_findings(scene: Scene) -> Iterator[Finding]:
    """The findings of the job itself."""
    if scene.undecided:
        names = [scene.job.label(key) for key in scene.undecided]
        shown = ", ".join(names[:4]) + (", ..." if len(names) > 4 else "")
        yield Finding(
            UNDECIDED,
            None,
            None,
            "cannot say",
            missing=f"what becomes of {shown} is not said",
            count=len(names),
        )
    for nowhere in scene.unplaced:
        label = scene.job.label(nowhere.owner)
        yield Finding(
            UNPLACED, None, None, "cannot say", missing=f"where {label} is: {nowhere.why}"
        )
    yield from phase_findings(scene)
    for limit in scene.job.limits:
        yield from _limit(scene, limit)


def phase_findings(scene: Scene) -> Iterator[Finding]:
    """Joins of unlike phase letters, and phases that cross from one span to the next."""
    job = scene.job
    for join, one, other in unlike_phases(scene):
        a, b = job.label(join.a), job.label(join.b)
        words = f"{job.label(join.id)} joins phase {one} to {other} ({a} - {b}): confirm phases"
        yield Finding(PHASES, None, None, "cannot say", missing=words)
    for roll in rolls(scene):
        to = [job.span_by_id[span].toward for span in (roll.first, roll.second)]
        words = f"{job.label(roll.circuit)}, {to[0]} to {to[1]}: {roll.words}"
        yield Finding(PHASES, None, None, "cannot say", missing=words)


def book_findings(books: Iterable[Rulebook]) -> Iterator[Finding]:
    """What the books themselves leave open: rules that could not be read judge nothing."""
    for book in books:
        if book.problems:
            yield Finding(
                UNREAD,
                None,
                None,
                "cannot say",
                missing=f"{book.book.name} is incomplete: {book.problems[0]}",
                count=len(book.problems),
            )


def climbing_unsaid(books: Iterable[Rulebook]) -> Iterator[Finding]:
    """That room to climb is not judged yet, where a book asks for it."""
    if any(book.climbing is not None for book in books):
        yield Finding(CLIMBING, None, None, "cannot say", missing="judged when the move is done")


_BOUND = {"wires": Tag.WIRE, "arms": Tag.ARM, "poles": Tag.POLE}


def _limit(scene: Scene, limit: LimitLine) -> Iterator[Finding]:
    """The parts that come nearest the plane: all that are short of it, else the nearest one."""
    normal = limit_normal(limit)
    origin = (limit.east_in, limit.north_in, limit.height_in)
    judged = []
    lost: dict[str, tuple[Part, int]] = {}
    rule = _rule(f"limit-line {limit.id}", f"Limit line {limit.name}")
    wanted = _BOUND.get(limit.binds)
    for part in scene.bodies:
        if part.tags & Tag.NEARBY or not (wanted is None or part.tags & wanted):
            continue
        if part.missing or part.shape is None:
            first, count = lost.get(part.missing, (part, 0))
            lost[part.missing] = first, count + 1
            continue
        gap, point = _room(part, origin, normal)
        judged.append(
            Finding(
                rule,
                part,
                None,
                verdict(gap, limit.keep_in, part.tolerance_in, assumed=False),
                gap,
                limit.keep_in,
                part.tolerance_in,
                (point, moved(point, normal, gap)),
            )
        )
    for missing, (part, count) in lost.items():
        yield Finding(rule, part, None, "cannot say", missing=missing, count=count)
    short = [finding for finding in judged if finding.verdict != "meets"]
    yield from short or sorted(judged, key=lambda finding: finding.order)[:1]


def _room(part: Part, origin: Point, normal: Point) -> tuple[float, Point]:
    """How far a part stays from a plane on the allowed side, negative past it; and where."""
    shape = part.shape
    points: list[tuple[Point, float]]
    if isinstance(shape, Box):
        points = []
        for a in (-1, 1):
            for b in (-1, 1):
                for c in (-1, 1):
                    corner = moved(shape.centre, shape.u, a * shape.half[0])
                    corner = moved(corner, shape.v, b * shape.half[1])
                    points.append((moved(corner, shape.w, c * shape.half[2]), 0.0))
    elif isinstance(shape, Tube):
        points = [(shape.p, shape.r_p), (shape.q, shape.r_q)]
    elif shape is not None:
        points = [(shape.p, shape.r), (shape.q, shape.r)]
    else:
        points = []
    return min(
        (
            (
                dot(
                    (origin[0] - at[0], origin[1] - at[1], origin[2] - at[2]),
                    normal,
                )
                - radius,
                at,
            )
            for at, radius in points
        ),
        key=lambda room: room[0],
    )
