"""One finding: a rule, what it speaks of, the gap there is and the gap there must be."""

from typing import Literal

from msgspec import Struct

from framer.checks.requirement import Requirement
from framer.checks.rulebook import MeasureName, Rule
from framer.geometry.scene import Part
from framer.geometry.space import Point
from framer.model.job import Waiver
from framer.units.compare import is_at_least

Verdict = Literal["short", "cannot say", "tight", "meets"]

RANK: dict[Verdict, int] = {"short": 0, "cannot say": 1, "tight": 2, "meets": 3}
"""Worst first."""


_UNITS: dict[MeasureName, str] = {
    "insulator class": "kV",
    "climbing count": "",
    "step order": "",
    "supports": "",
    "load": "lbf",
    "weight": "lb",
    "strength moment": "lbf ft",
    "strength load": "lbf",
    "strength stress": "psi",
}
"""Units of the measures that are no length."""


def unit_of(rule: Rule) -> str:
    """The unit a rule's requirement and gap are in; empty for a count."""
    return _UNITS.get(rule.measure, "in")


class Finding(Struct, frozen=True, eq=False):
    """What one rule says of one pair, or of one part.

    Attributes:
        rule: the rule.
        a: the part judged, `None` for a finding about the job.
        b: the part it is judged against.
        verdict: short, cannot say, tight or meets.
        gap: what there is, inches (kV for voltage classes); `None` when it cannot be measured.
        need: what there must be; `None` when it is not known.
        tolerance_in: how far off the gap may be, from the survey.
        line: the gap as a line in space.
        missing: what is not known, for `cannot say`.
        assumed: what was assumed, for `tight`.
        count: how many pairs this stands for; more than 1 only for `cannot say`.
        required: how the requirement comes about, `None` where it comes from no book.
        waiver: who answers for it, `None` for nobody; it may have lapsed.
        where: in words, where it is, for what the names of its parts do not tell.
        reading: how the book was read where it may be read otherwise, and what that would give.
        worked: the arithmetic behind gap and need, line by line, for what is reckoned.
    """

    rule: Rule
    a: Part | None
    b: Part | None
    verdict: Verdict
    gap: float | None = None
    need: float | None = None
    tolerance_in: float = 0.0
    line: tuple[Point, Point] | None = None
    missing: str = ""
    assumed: str = ""
    count: int = 1
    required: Requirement | None = None
    waiver: Waiver | None = None
    where: str = ""
    reading: str = ""
    worked: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """The same for the same rule and parts, whatever the numbers; unique in one check."""
        if self.missing:
            return f"{self.rule.id}|?{self.missing}"
        names = (part.key for part in (self.a, self.b) if part is not None)
        return "|".join((self.rule.id, *names))

    @property
    def spare(self) -> float | None:
        """What is left over, negative when short; `None` when that cannot be said."""
        if self.gap is None or self.need is None:
            return None
        return self.need - self.gap if self.rule.most else self.gap - self.need

    @property
    def is_of_workers(self) -> bool:
        """Whether it is about workers and what is energised near them, and no clearance."""
        return self.rule.measure == "approach" or "worker" in (self.rule.a, self.rule.b)

    @property
    def can_be_waived(self) -> bool:
        """Whether somebody may answer for it: a gap that is short, but none to a worker."""
        return self.verdict == "short" and self.spare is not None and not self.is_of_workers

    @property
    def is_waived(self) -> bool:
        """Whether somebody answers for it, and the gap is no smaller than it was then."""
        if self.waiver is None or self.gap is None or not self.can_be_waived:
            return False
        then = self.waiver.gap_in
        return is_at_least(then, self.gap) if self.rule.most else is_at_least(self.gap, then)

    @property
    def order(self) -> tuple[int, float, str]:
        """Sorting key: worst first, then least spare, then key."""
        spare = self.spare
        return (RANK[self.verdict], float("inf") if spare is None else spare, self.key)

    @property
    def unit(self) -> str:
        """Unit of gap and need."""
        return unit_of(self.rule)


def verdict(gap: float, need: float, tolerance: float, *, assumed: bool) -> Verdict:
    """The verdict on a gap that can be measured against a need that is known.

    A gap that only holds if every reading in it is right, or that rests on an assumption, is at
    best tight.
    """
    if not is_at_least(gap, need):
        return "short"
    if assumed or not is_at_least(gap - tolerance, need):
        return "tight"
    return "meets"
