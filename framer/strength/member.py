"""What is said of one member: what it carries, what counts of its strength, what is left."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from framer.checks.finding import Verdict
from framer.units.compare import is_at_least

About = Literal["arm", "person on arm", "arm turning", "position", "guy", "anchor", "rod",
                "insulator", "bolt", "wire"]  # fmt: skip

TITLES: dict[About, str] = {
    "arm": "Arms stand what they carry",
    "person on arm": "Arms stand a person at their end",
    "arm turning": "Something keeps every arm from turning",
    "position": "Wire positions of an arm hold their pull",
    "guy": "Guy strand holds its pull",
    "anchor": "Anchors hold their guy",
    "rod": "Anchor rods hold their guy",
    "insulator": "Insulators hold their wire",
    "bolt": "Bolts hold what is dead-ended on them",
    "wire": "Wires are pulled no harder than the limit",
}


class Judged(Struct, frozen=True):
    """One member under one loading.

    Attributes:
        about: what sort of member.
        owner: id of the thing.
        name: what it is called.
        case: the loading.
        load: what it carries, with factors.
        holds: what counts of its strength.
        unit: of both.
        missing: what is not known; nothing can then be said.
        assumed: what the answer rests on that nobody said.
        lines: formulas with numbers, and sources.
        where: which part of it.
    """

    about: About
    owner: str
    name: str
    case: str
    load: float | None = None
    holds: float | None = None
    unit: Literal["lbf", "psi"] = "lbf"
    missing: str = ""
    assumed: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    where: str = ""

    @property
    def left(self) -> float | None:
        """What is left of its strength, below 0 for what is wanting; `None` when not known."""
        if self.load is None or self.holds is None or self.missing:
            return None
        return self.holds - self.load

    @property
    def verdict(self) -> Verdict:
        """Short, cannot say, tight or meets."""
        if self.load is None or self.holds is None or self.missing:
            return "cannot say"
        if not (math.isfinite(self.load) and math.isfinite(self.holds)):
            return "cannot say"
        if not is_at_least(self.holds, self.load):
            return "short"
        return "tight" if self.assumed else "meets"

    @property
    def words(self) -> str:
        """Load, strength and what is left, rounded away from danger."""
        left = self.left
        if self.load is None or self.holds is None or left is None:
            return f"cannot say: {self.missing}"
        named = (
            f"{down(left)} {self.unit} left" if left >= 0.0 else f"{up(-left)} {self.unit} short"
        )
        return f"carries {up(self.load)} {self.unit}, {down(self.holds)} counts: {named}"


def used(load: float, of: float, what: str) -> tuple[str, ...]:
    """The line that says how many percent of something a load is, rounded up; none of nothing."""
    return (f"That is {up(100.0 * load / of)} % of {what}",) if of > 0.0 else ()


def up(value: float) -> str:
    """A load as text, rounded up."""
    return f"{math.ceil(value - 1e-6):,}"


def down(value: float) -> str:
    """What counts of a strength as text, rounded down."""
    return f"{math.floor(value + 1e-6):,}"
