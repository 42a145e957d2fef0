"""What is said of room to climb: the findings of the way up that is taken, and columns in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from framer.checks.finding import Finding
from framer.checks.room import Column, Count, Judgement, Turn, Way, climb
from framer.checks.rulebook import Rule, Rulebook
from framer.geometry.climbing import Intrusion, intrusions
from framer.geometry.scene import Scene
from framer.geometry.space import Point
from framer.geometry.written import stepped
from framer.units.compare import is_at_least
from framer.units.length import System, length_text


def foulings(way: Way, column: Column, judged: Judgement) -> list[Intrusion]:
    """What makes a column short about a level, the deepest part of each thing."""
    deepest: dict[str, Intrusion] = {}
    for one in reaching_in(way, column, judged) if judged.verdict == "short" else ():
        deepest.setdefault(way.scene.parts[one.part].owner, one)
    return list(deepest.values())


def reaching_in(way: Way, column: Column, judged: Judgement) -> list[Intrusion]:
    """What the book lets not pass and reaches in at the width asked, the deepest first."""
    if judged.need_in is None:
        return []
    level = way.levels[judged.level]
    lying = way.lying[judged.level].fouling()
    return intrusions(way.scene, level.frame, column.number, judged.need_in, lying)


def _span(way: Way, one: Intrusion) -> str:
    foot = way.scene.poles[way.pole].foot[2]
    system = way.scene.job.settings.units
    low, high = (
        length_text(height - foot, step_in=1.0, system=system) for height in (one.low, one.high)
    )
    return f"at {high}" if low == high else f"from {low} to {high}"


def column_words(way: Way, column: Column) -> Iterator[str]:
    """What is in a column, and what would free it, a line each; nothing for a clear one."""
    job = way.scene.job
    deepest: dict[str, Intrusion] = {}
    for judged in column.judged:
        for one in foulings(way, column, judged):
            owner = way.scene.parts[one.part].owner
            had = deepest.get(owner, one)
            deepest[owner] = Intrusion(
                had.part,
                max(had.reach_in, one.reach_in),
                min(had.low, one.low),
                max(had.high, one.high),
            )
    for owner, one in sorted(deepest.items(), key=lambda found: -found[1].reach_in):
        reach = stepped(job, one.reach_in, "up")
        yield f"{job.label(owner)} reaches {reach} in, {_span(way, one)}: move it that far out"
    for text in dict.fromkeys(filter(None, (judged.missing for judged in column.judged))):
        yield f"cannot say: {text}"
    yield from dict.fromkeys(filter(None, (judged.allowed for judged in column.judged)))
    for count in column.counts:
        if count.verdict == "short":
            names = ", ".join(job.label(way.scene.parts[one.part].owner) for one in count.parts)
            yield f"{names}, {_span(way, together(count))}: {count.rule.title.lower()}: " + (
                f"{count.found:g}, at most {count.most:g}: move one out of the {column.kind}"
            )


def together(count: Count) -> Intrusion:
    """Where all that is counted is side by side: from the highest low end to the lowest top."""
    ends = max(one.low for one in count.parts), min(one.high for one in count.parts)
    return count.parts[0]._replace(low=min(ends), high=max(ends))


def way_words(way: Way) -> Iterator[str]:
    """How the way up goes, where it turns, and what is not known of any column."""
    system = way.scene.job.settings.units
    if len({column.number for column in way.path}) > 1:
        stretches: list[str] = []
        for level, column in zip(way.levels, way.path, strict=True):
            foot = way.scene.poles[way.pole].foot[2]
            at = length_text(level.high - foot, step_in=1.0, system=system)
            if not stretches or not stretches[-1].startswith(column.name):
                stretches.append(f"{column.name} at {at}")
        yield "no one column is clear; from the top down: " + ", ".join(stretches)
    for turn in way.turns:
        apart = length_text(turn.apart_in, toward="down", system=system)
        need = length_text(turn.need_in, toward="up", system=system)
        line = f"{turn.verdict}: turns {turn.degrees:.0f} degrees in {apart}, needs {need}"
        if turn.left_in is not None:
            left = length_text(turn.left_in, toward="down", system=system)
            line += f"; read so that it stays put by both levels, in {left}"
        yield line
    for text in way.unsaid:
        yield f"cannot say: {text}"


def climbing_findings(scene: Scene, books: Sequence[Rulebook]) -> Iterator[Finding]:
    """What the books say of the way up that is taken."""
    told = set()
    for way in climb(scene, books):
        for finding in _findings(way):
            # a book and one that changes it say the same of what is not changed
            if finding.key not in told:
                told.add(finding.key)
                yield finding


def _findings(way: Way) -> Iterator[Finding]:
    parts = way.scene.parts
    pole = way.scene.part_by_key.get(way.pole)
    unsaid: dict[tuple[str, str], Finding] = {}
    first: Rule | None = None
    for number, column in enumerate(way.path):
        for one in column.judged:
            if one.level != number:
                continue
            first = first or one.rule
            wire = parts[way.levels[number].wires[0]]
            if one.verdict == "cannot say":
                told = unsaid.get((one.rule.id, one.missing))
                times = told.count + 1 if told else 1
                unsaid[one.rule.id, one.missing] = Finding(
                    one.rule, wire, pole, "cannot say", missing=one.missing, count=times
                )
                continue
            limit = parts[one.limit] if one.limit >= 0 else None
            other = limit if limit is not None and limit.owner != wire.owner else pole
            yield Finding(
                one.rule,
                wire,
                other,
                one.verdict,
                one.clear_in,
                one.need_in,
                one.tolerance_in,
                _gap_line(way, column, one),
                assumed="; ".join(
                    filter(
                        None,
                        (one.required.assumed, limit.assumed if limit else "", one.allowed),
                    )
                ),
                required=one.required,
                where=column.name,
                reading=_measured_words(one, way.scene.job.settings.units),
            )
    yield from unsaid.values()
    for text in way.unsaid if first is not None else ():
        if first is not None and (first.id, text) not in unsaid:
            yield Finding(first, None, None, "cannot say", missing=text)
    for turn in way.turns:
        yield _turn_finding(way, turn)
    for column in dict.fromkeys(way.path):
        for count in column.counts:
            most = parts[count.parts[0].part]
            yield Finding(
                count.rule,
                most,
                pole,
                count.verdict,
                count.found,
                count.most,
                required=count.required,
                where=f"{column.name}, {_span(way, together(count))}",
            )


def _measured_words(judged: Judgement, system: System) -> str:
    """That the width is taken between surfaces, and what there is between centre lines."""
    if judged.between_centres_in is None:
        return ""
    between, centres = (
        length_text(inches, step_in=1 / 16, toward="down", system=system)
        for inches in (judged.clear_in, judged.between_centres_in)
    )
    words = f"the book does not say how its width is measured: between surfaces {between}, "
    words += f"which is taken; between centre lines {centres}"
    need = judged.need_in
    if judged.verdict == "short" and need and is_at_least(judged.between_centres_in, need):
        words += ", which would do"
    return words


def _gap_line(way: Way, column: Column, judged: Judgement) -> tuple[Point, Point]:
    level = way.levels[judged.level]
    (east, north), height = level.frame.centre, (level.low + level.high) / 2
    far = judged.clear_in if column.kind == "side" else judged.clear_in * math.sqrt(2.0)
    angle = math.radians(column.azimuth_deg)
    tip = (east + far * math.sin(angle), north + far * math.cos(angle), height)
    return (east, north, height), tip


def _turn_finding(way: Way, turn: Turn) -> Finding:
    system = way.scene.job.settings.units
    upper, lower = (
        way.scene.parts[way.levels[level].wires[0]] for level in (turn.upper, turn.lower)
    )
    where = f"{turn.above.name} to {turn.below.name}, {turn.degrees:.0f} degrees"
    if turn.left_in is not None:
        left = length_text(turn.left_in, toward="down", system=system)
        where += f"; {left} is left where it stays put by both levels"
    if turn.verdict == "cannot say":
        apart, need = (
            length_text(turn.apart_in, toward="down", system=system),
            length_text(turn.need_in, toward="up", system=system),
        )
        missing = f"{where}: {apart} in all, needs {need}; whether the room by the levels counts"
        return Finding(turn.rule, upper, lower, "cannot say", missing=missing + " is not said")
    return Finding(
        turn.rule,
        upper,
        lower,
        turn.verdict,
        turn.apart_in,
        turn.need_in,
        turn.tolerance_in,
        required=turn.required,
        where=where,
    )
