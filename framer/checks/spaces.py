"""The spaces that equipment needs, against the climbing column that is taken.

The column is as wide as the book asks about a level, as far up and down as the book carries it
there; between those stretches nothing is judged.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from framer.checks.finding import Finding, verdict
from framer.checks.levels import Level
from framer.checks.plan import selects
from framer.checks.requirement import Requirement, requirement
from framer.checks.room import Column, Way, climb
from framer.checks.rulebook import Rule, Rulebook, RuleStage
from framer.geometry.climbing import (
    LARGEST_IN,
    Outline,
    intrusions,
    outline,
    sizes_when_touched,
)
from framer.geometry.scene import Part, Scene
from framer.units.compare import HAIR_IN
from framer.units.length import length_text


class _Asked(NamedTuple):
    rule: Rule
    required: Requirement
    need_in: float


def space_findings(scene: Scene, books: Sequence[Rulebook], stage: RuleStage) -> Iterator[Finding]:
    """What rules say of spaces and the columns that are taken, one for each space: the worst."""
    rules = [
        rule
        for book in books
        for rule in book.rules
        if rule.measure == "clear of the column" and stage in rule.stages
    ]
    spaces = [
        number
        for number, part in enumerate(scene.parts)
        if any(selects(rule.a, part.tags) for rule in rules)
    ]
    if not spaces:
        return
    worst: dict[str, Finding] = {}
    for way in climb(scene, books):
        for rule in rules:
            required = requirement(rule, (), scene.job.settings.assume_up_to_kv)
            if required.need is None:
                if required.missing:
                    yield Finding(rule, None, None, "cannot say", missing=required.missing)
                continue
            for finding in _of_way(way, _Asked(rule, required, required.need), spaces):
                other = worst.setdefault(finding.key, finding)
                if finding.order < other.order:
                    worst[finding.key] = finding
    yield from worst.values()


def _of_way(way: Way, asked: _Asked, spaces: Sequence[int]) -> Iterator[Finding]:
    for number in spaces:
        part = way.scene.parts[number]
        if part.shape is None:
            if part.pole == way.pole:
                yield Finding(asked.rule, part, None, "cannot say", missing=part.missing)
            continue
        for index, (level, column) in enumerate(zip(way.levels, way.path, strict=True)):
            finding = _about_level(way, asked, part, (index, level, column), number)
            if finding is not None:
                yield finding


def _about_level(
    way: Way, asked: _Asked, part: Part, place: tuple[int, Level, Column], number: int
) -> Finding | None:
    """What is said of one space about one level; `None` where they are not near each other."""
    index, level, column = place
    judged = [one for one in column.judged if one.level == index]
    whole = outline(way.scene, number, level.frame, thick=True)
    # one that a reading puts just beyond the stretch may be in it, and counts
    reach = way.reaches_in[index] + part.tolerance_in
    low, high = level.low - reach, level.high + reach
    if whole is None or not judged or whole.high <= low + HAIR_IN or whole.low >= high - HAIR_IN:
        return None
    touched = float(sizes_when_touched([(level.frame, [whole])])[0, column.number])
    if touched >= LARGEST_IN:
        return None
    widths = [one.need_in for one in judged if one.need_in is not None]
    if not widths:
        label = way.scene.job.label(way.pole)
        missing = f"how wide the climbing space of {label} must be is not known"
        return Finding(asked.rule, part, None, "cannot say", missing=missing)
    gap = _room(way, (level, column), max(widths), whole, touched)
    return Finding(
        asked.rule,
        part,
        None,
        verdict(gap, asked.need_in, part.tolerance_in, assumed=False),
        gap,
        asked.need_in,
        part.tolerance_in,
        required=asked.required,
        where=f"{column.name}, {_span(way, max(whole.low, low), min(whole.high, high))}",
    )


def _room(
    way: Way, place: tuple[Level, Column], width_in: float, whole: Outline, touched_in: float
) -> float:
    """How much wider the column could be, or below 0, how far the space reaches into it."""
    level, column = place
    found = intrusions(way.scene, level.frame, column.number, width_in, [whole])
    return -found[0].reach_in if found else touched_in - width_in


def _span(way: Way, low: float, high: float) -> str:
    """From and to which height above the ground at the pole."""
    foot = way.scene.poles[way.pole].foot[2]
    system = way.scene.job.settings.units
    ends = (length_text(height - foot, step_in=1.0, system=system) for height in (low, high))
    return "from {} to {}".format(*ends)
