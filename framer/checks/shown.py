"""The rooms to climb and to work that the books ask for, as outlines to draw."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from msgspec import Struct

from framer.checks.finding import Verdict
from framer.checks.room import Column, Judgement, Way, climb
from framer.checks.room_findings import reaching_in
from framer.checks.rulebook import Rulebook
from framer.checks.working import Work, work
from framer.geometry.climbing import Intrusion
from framer.geometry.scene import Scene


class Foul(Struct, frozen=True):
    """A part in a space: its key, how far it reaches in, and from and to which height there."""

    key: str
    reach_in: float
    low_in: float
    high_in: float


class SpaceShown(Struct, frozen=True):
    """One required space of one pole by one rule, to be drawn.

    `outline` are its corners in plan, east and north in order; heights are from the job datum.
    `label` is the rule's title, `rule` its id. `column` counts clockwise in steps of 45 degrees
    from the way the topmost arm faces. `need_in` is `None` where it is not known: then the outline
    is that of what is clear.
    """

    kind: Literal["climbing", "working"]
    label: str
    pole: str
    outline: tuple[tuple[float, float], ...]
    low_in: float
    high_in: float
    fouls: tuple[Foul, ...]
    need_in: float | None
    clear_in: float
    verdict: Verdict
    rule: str = ""
    column: int = 0


def spaces(
    scene: Scene, books: Sequence[Rulebook], pole: str, column: int | None = None
) -> tuple[SpaceShown, ...]:
    """The spaces the books ask for at a pole, from the top down, book by book.

    Those of one column, or of the way up that is taken; the room to work is always by that.
    """
    # a book and one that changes it mostly ask the same
    shown: dict[SpaceShown, None] = {}
    for way in climb(scene, books):
        if way.pole == pole:
            shown.update(dict.fromkeys(_climbing(way, column)))
    for found in work(scene, books):
        if found.pole == pole:
            shown.update(dict.fromkeys(_working(found)))
    return tuple(shown)


def _working(found: Work) -> Iterator[SpaceShown]:
    for one in found.beside:
        for side in one.sides:
            yield SpaceShown(
                "working",
                one.rule.title,
                found.pole,
                side.corners,
                one.low,
                one.high,
                _fouls(found.scene, side.fouling),
                one.need_in,
                side.clear_in,
                one.verdict,
                one.rule.id,
                one.column.number,
            )


def _climbing(way: Way, number: int | None) -> Iterator[SpaceShown]:
    by_number = {one.number: one for one in way.columns}
    for level, taken in enumerate(way.path):
        column = taken if number is None else by_number[number]
        for judged in column.judged:
            if judged.level == level:
                yield _column_shown(way, column, judged)


def _column_shown(way: Way, column: Column, judged: Judgement) -> SpaceShown:
    level, reach = way.levels[judged.level], way.reaches_in[judged.level]
    width = judged.clear_in if judged.need_in is None else judged.need_in
    return SpaceShown(
        "climbing",
        judged.rule.title,
        way.pole,
        level.frame.square(column.number, width),
        max(level.low - reach, way.scene.poles[way.pole].foot[2]),
        level.high + reach,
        _fouls(way.scene, reaching_in(way, column, judged)),
        judged.need_in,
        judged.clear_in,
        judged.verdict,
        judged.rule.id,
        column.number,
    )


def _fouls(scene: Scene, found: Sequence[Intrusion]) -> tuple[Foul, ...]:
    return tuple(Foul(scene.parts[one.part].key, one.reach_in, one.low, one.high) for one in found)
