"""One step of the transfer as it is judged: the scenes before and after it, and who is there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeAlias

from msgspec import Struct

from framer.checks.finding import Finding
from framer.checks.rulebook import Band, MeasureName, Rule, Rulebook
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.job import Job, Thing
from framer.model.step import Step
from framer.stock.source import Source

_JOB = Source("this job", "house")


class Moment(Struct, frozen=True):
    """A step and the stages on either side of it.

    Attributes:
        job: the job.
        number: the step, counted from 1.
        before: the scene before it.
        after: the scene after it.
        books: the rulebooks the job is judged by.
    """

    job: Job
    number: int
    before: Scene
    after: Scene
    books: tuple[Rulebook, ...]

    @property
    def step(self) -> Step:
        """The step itself."""
        return self.job.steps[self.number - 1]

    @property
    def moved(self) -> tuple[Thing, ...]:
        """What the step moves, each thing once."""
        return tuple(self.job.thing_by_id[key] for key in dict.fromkeys(self.step.moves))


def moments(job: Job, books: Iterable[Rulebook]) -> Iterator[Moment]:
    """Every step of a job with the scenes on either side of it, in order."""
    ready = tuple(books)
    before = place(job, "found")
    for number in range(1, len(job.steps) + 1):
        after = place(job, number)
        yield Moment(job, number, before, after, ready)
        before = after


Judge: TypeAlias = Callable[[Moment], Iterable[Finding]]
"""Whoever has something to say of a step, beside the rulebooks."""


def step_rule(
    key: str,
    title: str,
    measure: MeasureName = "step order",
    *,
    most: bool = False,
    source: Source = _JOB,
    note: str = "",
) -> Rule:
    """A rule of the steps themselves, which is in no book; its id is `step.` and the key.

    `most`: what is needed is the most there may be, as of a load.
    """
    return Rule(
        id=f"step.{key}",
        title=title,
        measure=measure,
        a="wire",
        stages=("temporary", "crew leaves"),
        most=most,
        need=(Band(value=0.0),),
        source=source,
        note=note,
    )
