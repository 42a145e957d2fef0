"""Every stage of the transfer, judged by the rules that are meant for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from msgspec import Struct

from framer.checks.engine import check
from framer.checks.finding import RANK, Finding, Verdict
from framer.checks.findings import Findings
from framer.checks.levels import hand_over
from framer.checks.plan import rule_stage
from framer.checks.rulebook import Rulebook
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.job import Job
from framer.model.stage import Stage, stage_name
from framer.model.step import Step
from framer.strength.findings import strength_findings
from framer.transfer.approach import approach_findings
from framer.transfer.cover import cover_findings
from framer.transfer.holds import hold_findings
from framer.transfer.loads import load_findings, neighbour_findings, old_arm_findings
from framer.transfer.moment import Judge, Moment
from framer.transfer.old_pole import pole_findings
from framer.transfer.order import order_findings
from framer.transfer.setting import setting_findings
from framer.transfer.slack import slack_findings
from framer.transfer.supports import support_findings
from framer.transfer.tails import tail_findings
from framer.transfer.way import way_findings
from framer.transfer.weights import lift_findings
from framer.units.compare import is_at_least

JUDGES: tuple[Judge, ...] = (
    order_findings,
    approach_findings,
    cover_findings,
    hold_findings,
    support_findings,
    load_findings,
    old_arm_findings,
    neighbour_findings,
    pole_findings,
    setting_findings,
    lift_findings,
    tail_findings,
    slack_findings,
    way_findings,
)
"""All that have something to say of a step, beside the rulebooks."""


class StageJudged(Struct, frozen=True, dict=True):
    """One stage of the transfer and everything that is said of it.

    Attributes:
        stage: "found", the number of steps that are done, or "framed".
        scene: the job at this stage.
        findings: what the rulebooks say, and the limits typed for between steps.
        of_step: what is said of the step that leads here; where the crew leaves, and as framed,
            also what the strength method of the job says, where one is chosen.
        found: by key, the gaps that were short as found; empty for the found stage itself.
    """

    stage: Stage
    scene: Scene
    findings: Findings
    of_step: tuple[Finding, ...]
    found: dict[str, float]

    @property
    def step(self) -> Step | None:
        """The step that leads here, `None` for found and framed."""
        if isinstance(self.stage, int) and self.stage > 0:
            return self.scene.job.steps[self.stage - 1]
        return None

    @property
    def name(self) -> str:
        """What the stage is called."""
        return stage_name(self.scene.job, self.stage)

    @cached_property
    def open(self) -> tuple[Finding, ...]:
        """All that is not met, worst first, without what was short as found and is no worse."""
        apart = {id(one) for one in self.as_found}
        every = (*(one for one in self.of_step if one.verdict != "meets"), *self.findings.open)
        return tuple(sorted((one for one in every if id(one) not in apart), key=_order))

    @cached_property
    def as_found(self) -> tuple[Finding, ...]:
        """What is short here and was as short, or shorter, as found."""
        return tuple(one for one in self._short() if self._no_worse(one))

    def of(self, verdict: Verdict) -> tuple[Finding, ...]:
        """The findings of one verdict, other than `meets`, without those as found."""
        return tuple(one for one in self.open if one.verdict == verdict)

    @property
    def verdict(self) -> Verdict:
        """The worst there is, without what was short as found; `meets` for nothing open."""
        return self.open[0].verdict if self.open else "meets"

    def gaps(self, most: int) -> list[Finding]:
        """The gaps with least to spare, in inches, at most so many, without those as found."""
        listed: list[Finding] = []
        first = 0
        for count in self.findings.counts.values():
            taken = 0
            for one in (self.findings[index] for index in range(first, first + count)):
                if taken == most:
                    break
                if one.spare is not None and one.unit == "in" and not self._no_worse(one):
                    listed.append(one)
                    taken += 1
            first += count
        listed.extend(one for one in self.of_step if one.spare is not None and one.unit == "in")
        return sorted(listed, key=_spare)[:most]

    def _short(self) -> Iterator[Finding]:
        yield from self.findings[: self.findings.counts["short"]]

    def _no_worse(self, one: Finding) -> bool:
        then = self.found.get(one.key) if one.verdict == "short" else None
        if then is None or one.gap is None:
            return False
        return is_at_least(then, one.gap) if one.rule.most else is_at_least(one.gap, then)


def _order(finding: Finding) -> tuple[int, float]:
    return RANK[finding.verdict], _spare(finding)


def _spare(finding: Finding) -> float:
    return float("inf") if finding.spare is None else finding.spare


class Transfer(Struct, frozen=True):
    """All stages of a job's transfer, from found through every step to framed."""

    job: Job
    stages: tuple[StageJudged, ...]

    def at(self, stage: Stage) -> StageJudged:
        """One stage.

        Raises:
            KeyError: there is no such stage.
        """
        for judged in self.stages:
            if judged.stage == stage:
                return judged
        raise KeyError(stage)

    @property
    def verdict(self) -> Verdict:
        """The worst of all stages but the found one."""
        return min((one.verdict for one in self.stages[1:]), key=RANK.__getitem__, default="meets")

    def tightest(self, most: int = 3) -> list[tuple[StageJudged, Finding]]:
        """The gaps with least to spare of the whole transfer, each where it is smallest."""
        least: dict[str, tuple[StageJudged, Finding]] = {}
        for stage in self.stages[1:]:
            for one in stage.gaps(most):
                known = least.get(one.key)
                if known is None or _spare(one) < _spare(known[1]):
                    least[one.key] = stage, one
        return sorted(least.values(), key=lambda pair: _spare(pair[1]))[:most]


def judged(job: Job, books: Sequence[Rulebook], judges: Sequence[Judge] = JUDGES) -> Transfer:
    """The transfer of a job: every stage placed and judged by the rules meant for it.

    The found stage is the first and the framed one the last; the found one is not repeated as
    "no step done".
    """
    return Transfer(job, tuple(each_stage(job, books, judges)))


def each_stage(
    job: Job, books: Sequence[Rulebook], judges: Sequence[Judge] = JUDGES
) -> Iterator[StageJudged]:
    """The stages of `judged` one after the other, each judged when it is asked for."""
    ready = tuple(books)
    scene = full = place(job, "found")
    before = check(scene, ready)
    short = before[: before.counts["short"]]
    found = {one.key: one.gap for one in short if one.gap is not None}
    yield StageJudged("found", scene, before, (), {})
    for number in range(1, len(job.steps) + 1):
        after = place(job, number, scene)
        moment = Moment(job, number, scene, after, ready)
        said = tuple(one for judge in judges for one in judge(moment))
        if rule_stage(job, number) != "temporary":
            # room to climb is judged here as it was where it was judged last
            hand_over(full, after)
            full = after
            said = (*said, *strength_findings(after))
        yield StageJudged(number, after, check(after, ready), said, found)
        scene = after
    framed = place(job, "framed")
    hand_over(full, framed)
    strength = tuple(strength_findings(framed))
    yield StageJudged("framed", framed, check(framed, ready), strength, found)
