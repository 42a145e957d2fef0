"""Findings of one check, kept as columns; a row becomes a `Finding` when it is looked at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TypeAlias, overload

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from framer.checks.finding import RANK, Finding, Verdict
from framer.checks.plan import Plan
from framer.checks.since import Gaps
from framer.geometry.scene import Part
from framer.model.job import Waiver

Whole: TypeAlias = NDArray[np.int64]
Real: TypeAlias = NDArray[np.float64]

VERDICTS: tuple[Verdict, ...] = tuple(RANK)
"""Verdicts by their number, worst first."""


class Columns(Struct, frozen=True):
    """Rows of the plan that can be judged; `p` and `q` are of its pairs, all others of `row`."""

    row: Whole
    verdict: Whole
    gap: Real
    spare: Real
    tolerance: Real
    p: Real
    q: Real


class Findings(Sequence[Finding]):
    """All findings of a scene, worst first."""

    def __init__(
        self,
        parts: tuple[Part, ...],
        planned: Plan,
        columns: Columns,
        others: Sequence[Finding],
        waivers: Mapping[str, Waiver],
        gaps: Gaps | None = None,
    ) -> None:
        """Sort the rows and the findings that are no rows (`others`) together.

        `gaps` are kept for the next check, which may take some over.
        """
        self.gaps = gaps
        self._waivers = waivers
        self._parts, self._planned, self._columns = parts, planned, columns
        self._others = [self._with_waiver(one) for one in others]
        verdict = [columns.verdict, np.array([RANK[one.verdict] for one in others], dtype=int)]
        spares = [one.spare for one in others]
        spare = [
            columns.spare,
            np.array([np.inf if one is None else one for one in spares], dtype=float),
        ]
        self._verdicts = np.concatenate(verdict)
        self._order = np.lexsort((np.concatenate(spare), self._verdicts))
        self._made: dict[int, Finding] = {}

    def with_more(self, more: Sequence[Finding]) -> Findings:
        """These and others sorted together."""
        if not more:
            return self
        others = [*self._others, *more]
        return Findings(self._parts, self._planned, self._columns, others, self._waivers, self.gaps)

    @property
    def counts(self) -> dict[Verdict, int]:
        """How many findings there are of each verdict."""
        counted = np.bincount(self._verdicts, minlength=len(VERDICTS)).tolist()
        return dict(zip(VERDICTS, counted, strict=True))

    @property
    def waived(self) -> int:
        """How many of the short ones somebody answers for."""
        if not self._waivers:
            return 0
        return sum(finding.is_waived for finding in self[: self.counts["short"]])

    @property
    def open(self) -> list[Finding]:
        """The findings that are not met."""
        met = int((self._verdicts == RANK["meets"]).sum())
        return [self[index] for index in range(len(self) - met)]

    @property
    def numbers(self) -> list[int]:
        """The findings as numbers, worst first; see `numbered` and `now`."""
        return list(self._order.tolist())

    def numbered(self, number: int) -> Finding:
        """The finding of a number."""
        return self._finding(number)

    def others(self, numbers: Whole) -> list[int]:
        """The findings but for those of some numbers, worst first; numbers below 0 are of none."""
        other = np.ones(len(self._order), dtype=bool)
        other[numbers[numbers >= 0]] = False
        return list(self._order[other[self._order]].tolist())

    def now(self, before: Findings) -> Whole:
        """The numbers here of the findings of an earlier check, by their numbers there; -1: gone.

        The same rule speaks of the same parts in both. While a plan is kept, as during a move by
        hand, this looks at no single finding.
        """
        if self._planned is not before._planned:
            known = {self._finding(number).key: number for number in self._order.tolist()}
            there = [known.get(before._finding(at).key, -1) for at in range(len(before))]
            return np.array(there, dtype=np.int64)
        rows = self._columns.row
        places = np.full(len(self._planned.rows.a), -1)
        places[rows] = np.arange(len(rows))
        known = {one.key: number for number, one in enumerate(self._others, start=len(rows))}
        others = [known.get(one.key, -1) for one in before._others]
        return np.concatenate([places[before._columns.row], np.array(others, dtype=np.int64)])

    def __len__(self) -> int:
        return len(self._order)

    @overload
    def __getitem__(self, index: int) -> Finding: ...
    @overload
    def __getitem__(self, index: slice) -> list[Finding]: ...

    def __getitem__(self, index: int | slice) -> Finding | list[Finding]:
        if isinstance(index, slice):
            return [self._finding(int(row)) for row in self._order[index]]
        return self._finding(int(self._order[index]))

    def __iter__(self) -> Iterator[Finding]:
        return (self._finding(row) for row in self._order.tolist())

    def _finding(self, row: int) -> Finding:
        made = self._made.get(row)
        if made is None:
            made = self._made[row] = self._make(row)
        return made

    def _make(self, row: int) -> Finding:
        columns, planned, rows = self._columns, self._planned, self._planned.rows
        if row >= len(columns.row):
            return self._others[row - len(columns.row)]
        of = int(columns.row[row])
        a, b, pair = int(rows.a[of]), int(rows.b[of]), int(rows.pair[of])
        p, q = columns.p[pair].tolist(), columns.q[pair].tolist()
        return self._with_waiver(
            Finding(
                planned.rules[int(rows.rule[of])],
                self._parts[a],
                None if a == b else self._parts[b],
                VERDICTS[int(columns.verdict[row])],
                float(columns.gap[row]),
                float(rows.need[of]),
                float(columns.tolerance[row]),
                ((p[0], p[1], p[2]), (q[0], q[1], q[2])),
                assumed=planned.texts[int(rows.assumed[of])],
                required=planned.cells[int(rows.cell[of])],
            )
        )

    def _with_waiver(self, finding: Finding) -> Finding:
        if not self._waivers or finding.key not in self._waivers:
            return finding
        return replace(finding, waiver=self._waivers[finding.key])
