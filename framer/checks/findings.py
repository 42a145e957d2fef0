"""Findings of one check, kept as columns; a row becomes a `Finding` when it is looked at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple, TypeAlias, overload

import numpy as np
from numpy.typing import NDArray

from framer.checks.finding import RANK, Finding, Verdict
from framer.checks.requirement import Requirement
from framer.checks.rulebook import Rule
from framer.geometry.scene import Part
from framer.model.job import Waiver

Whole: TypeAlias = NDArray[np.int64]
Real: TypeAlias = NDArray[np.float64]

VERDICTS: tuple[Verdict, ...] = tuple(RANK)
"""Verdicts by their number, worst first."""


class Columns(NamedTuple):
    """Rows that can be measured. `b` is -1 for findings of one part."""

    rule: Whole
    a: Whole
    b: Whole
    verdict: Whole
    gap: Real
    need: Real
    spare: Real
    tolerance: Real
    p: Real
    q: Real
    assumed: Whole
    cell: Whole


class Findings(Sequence[Finding]):
    """All findings of a scene, worst first."""

    def __init__(
        self,
        parts: tuple[Part, ...],
        rules: tuple[Rule, ...],
        texts: tuple[str, ...],
        cells: tuple[Requirement, ...],
        columns: Columns,
        others: Sequence[Finding],
        waivers: Mapping[str, Waiver],
    ) -> None:
        """Sort the rows and the findings that are no rows (`others`) together."""
        self._waivers = waivers
        self._parts, self._rules, self._texts, self._cells = parts, rules, texts, cells
        self._columns = columns
        rows = len(columns.rule)
        self._others = [self._with_waiver(one) for one in others]
        verdict = [columns.verdict, np.array([RANK[one.verdict] for one in others], dtype=int)]
        spares = [one.spare for one in others]
        spare = [
            columns.spare,
            np.array([np.inf if one is None else one for one in spares], dtype=float),
        ]
        tie = np.arange(rows + len(others))
        self._order = np.lexsort((tie, np.concatenate(spare), np.concatenate(verdict)))
        self._verdicts = np.concatenate(verdict)
        self._made: dict[int, Finding] = {}

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
        columns = self._columns
        if row >= len(columns.rule):
            return self._others[row - len(columns.rule)]
        b = int(columns.b[row])
        p, q = columns.p[row].tolist(), columns.q[row].tolist()
        return self._with_waiver(
            Finding(
                self._rules[int(columns.rule[row])],
                self._parts[int(columns.a[row])],
                None if b < 0 else self._parts[b],
                VERDICTS[int(columns.verdict[row])],
                float(columns.gap[row]),
                float(columns.need[row]),
                float(columns.tolerance[row]),
                ((p[0], p[1], p[2]), (q[0], q[1], q[2])),
                assumed=self._texts[int(columns.assumed[row])],
                required=self._cells[int(columns.cell[row])],
            )
        )

    def _with_waiver(self, finding: Finding) -> Finding:
        if not self._waivers or finding.key not in self._waivers:
            return finding
        return replace(finding, waiver=self._waivers[finding.key])
