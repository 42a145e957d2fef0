"""Cautions of the steps, as data: which kind of step, and which number they stand beside."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from framer.checks.finding import Finding
from framer.checks.rulebook import MeasureName
from framer.model.step import Step, StepKind
from framer.resources import resources
from framer.stock.records import read_records


class Caution(Struct, frozen=True, forbid_unknown_fields=True):
    """A caution; `steps` are kinds it is for, empty for all; `measure` the number it is about."""

    steps: tuple[StepKind, ...]
    text: str
    measure: MeasureName | None = None

    def speaks_of(self, step: Step) -> bool:
        """Whether it is for steps of this kind."""
        return not self.steps or step.kind in self.steps


@cache
def step_cautions() -> tuple[Caution, ...]:
    """Every caution there is for steps.

    Raises:
        DataFileError: the file of them is not as expected.
    """
    return read_records(resources() / "step-cautions.toml", "caution", Caution)


def cautions_of(step: Step, said: tuple[Finding, ...]) -> tuple[str, ...]:
    """The cautions of a step that stand beside no number of it.

    `said` is what is said of the step with a number: cautions about these stand there.
    """
    beside = {one.rule.measure for one in said}
    return tuple(
        one.text
        for one in step_cautions()
        if one.speaks_of(step) and one.measure not in beside and (one.steps or one.measure is None)
    )


def caution_beside(step: Step, finding: Finding) -> str:
    """The caution that stands beside a number of a step; empty for none."""
    measure = finding.rule.measure
    found = (one for one in step_cautions() if one.measure == measure and one.speaks_of(step))
    return next((one.text for one in found), "")
