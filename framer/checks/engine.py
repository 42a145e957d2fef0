"""From a scene and rulebooks to findings: the plan says what to measure, here it is measured."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from framer.checks.finding import RANK, Finding
from framer.checks.findings import Columns, Findings
from framer.checks.jobwide import book_findings, job_findings
from framer.checks.measures import (
    MEASURES,
    NOT_SURVEYED,
    ONLY_CROSSING_ARMS,
    Gauge,
    crossing_arms,
)
from framer.checks.plan import Plan, Rows, plan, structure
from framer.checks.rulebook import INCHES_PER, Range, Rulebook, RuleStage
from framer.geometry.distance import along, closest, closest_in_plan
from framer.geometry.scene import Scene
from framer.model.stage import Stage
from framer.units.compare import HAIR_IN, is_at_least

Whole: TypeAlias = NDArray[np.int64]
Real: TypeAlias = NDArray[np.float64]
Yes: TypeAlias = NDArray[np.bool_]

_SHORT, _CANNOT_SAY, _TIGHT, _MEETS = (RANK[word] for word in RANK)

_CROSSED_IN = 1e-3
"""Wires no farther apart than this in plan cross there; it is noise of floating-point numbers."""

_UNSAID = -1e-3
"""What a direction that cannot be judged counts as: just short."""


def rule_stage(stage: Stage) -> RuleStage:
    """The kind of stage, for the choice of rules."""
    return stage if stage == "found" or stage == "framed" else "temporary"


def check(scene: Scene, books: Sequence[Rulebook]) -> Findings:
    """Everything the books and the job itself say of the scene, worst first."""
    planned = plan(structure(scene, rule_stage(scene.stage)), tuple(books))
    measured = _measured(scene, planned)
    live = _best_way_of_boxes(planned, measured)
    return Findings(
        scene.parts,
        planned.rules,
        planned.texts,
        planned.cells,
        _judged(planned, measured, live),
        [
            *job_findings(scene),
            *book_findings(books),
            *_cannot_say(scene, planned, measured, live),
        ],
        waivers={waiver.key: waiver for waiver in scene.job.waivers},
    )


class _Measured(NamedTuple):
    """The plan's rows, measured.

    `live` rows speak of this scene. `lost` is the number of the text that says what is not known;
    numbers beyond the plan's texts are in `texts`, which continues them.
    """

    gap: Real
    tolerance: Real
    p: Real
    q: Real
    away: Yes
    live: Yes
    lost: Whole
    texts: tuple[str, ...]


def _measured(scene: Scene, planned: Plan) -> _Measured:
    rows, gauge = planned.rows, Gauge(scene)
    count = len(rows.a)
    gap, away = np.full(count, np.nan), np.zeros(count, dtype=bool)
    p, q = np.full((count, 3), np.nan), np.full((count, 3), np.nan)
    tolerances = scene.tolerances
    tolerance = tolerances[rows.a] + np.where(rows.a == rows.b, 0.0, tolerances[rows.b])
    live = _live(scene, planned)
    wanted = live & (rows.unknown == 0) & (rows.lost == 0)
    late: dict[int, str] = {}
    for (measure, first, end), (leads, pair_of) in zip(
        planned.measures, planned.pairs, strict=True
    ):
        at = np.nonzero(wanted[first:end])[0] + first
        if len(at):
            asked, one = _different(pair_of[at - first], len(leads))
            a, b = rows.a[leads[asked]], rows.b[leads[asked]]
            result = MEASURES[measure](gauge, a, b)
            small = rows.small_surface[at] & ~(rows.need[at] >= 5.0)
            thick = np.where(rows.surface[at] | small, result.thickness[one], 0.0)
            gap[at] = result.gap[one] - thick
            away[at], p[at], q[at] = result.away[one], result.p[one], result.q[one]
            far = np.maximum(scene.far_tolerances[a], scene.far_tolerances[b])
            more = np.where(result.away, far, 0.0)
            if result.sagging is not None:
                sag = np.maximum(scene.sag_tolerances[a], scene.sag_tolerances[b])
                more += np.where(result.sagging, sag, 0.0)
            tolerance[at] += more[one]
            if result.missing:
                late.update(
                    (row, result.missing[pair])
                    for row, pair in zip(at.tolist(), one.tolist(), strict=True)
                    if pair in result.missing
                )
        if measure in NOT_SURVEYED:
            tolerance[first:end] = 0.0
    lost = np.where((rows.lost == 0) & away, rows.lost_far, rows.lost)
    lost = np.where(lost == 0, rows.unknown, lost)
    texts = {text: number for number, text in enumerate(planned.texts)}
    for row, text in late.items():
        lost[row] = texts.setdefault(text, len(texts))
    return _Measured(gap, tolerance, p, q, away, live, lost, tuple(texts))


def _different(numbers: Whole, count: int) -> tuple[Whole, Whole]:
    """The different numbers below a count, rising, and which of these each one is."""
    there = np.zeros(count, dtype=bool)
    there[numbers] = True
    return np.nonzero(there)[0], (np.cumsum(there) - 1)[numbers]


def _live(scene: Scene, planned: Plan) -> Yes:
    """The rows whose parts lie as the rule's conditions of place ask."""
    rows = planned.rows
    live = np.ones(len(rows.a), dtype=bool)
    limited = np.nonzero(np.isfinite(rows.closer))[0]
    if len(limited):
        p, q = scene.ends
        a, b = rows.a[limited], rows.b[limited]
        apart = np.abs((p[a] + q[a] - p[b] - q[b])[:, 2]) / 2
        live[limited] = ~is_at_least(apart, rows.closer[limited])
    for measure, first, end in planned.measures:
        if measure in ONLY_CROSSING_ARMS:
            live[first:end] &= crossing_arms(scene, rows.a[first:end], rows.b[first:end])
    placed = np.nonzero((rows.above != 0) | np.isfinite(rows.within_up))[0]
    if len(placed):
        live[placed] &= _lie_as_asked(scene, rows, placed)
    for number, rule in enumerate(planned.rules):
        if rule.when.crossing is not None:
            at = np.nonzero(rows.rule == number)[0]
            live[at] &= _cross_as_asked(scene, rows, at, rule.when.crossing)
    return live


def _cross_as_asked(scene: Scene, rows: Rows, at: Whole, asked: Range) -> Yes:
    """Which rows cross as far from the first's support as asked; those of unknown place do."""
    p, q = scene.ends
    a, b = rows.a[at], rows.b[at]
    s, t = closest_in_plan(p[a], q[a], p[b], q[b])
    place = along(p[a], q[a], s)
    apart, off = (place - along(p[b], q[b], t))[:, :2], (place - p[a])[:, :2]
    far = np.hypot(*off.T) / INCHES_PER["m" if asked.unit == "m" else "ft"]
    crossing = np.hypot(*apart.T) <= _CROSSED_IN
    holds = np.array([asked.holds(one) for one in far.tolist()], dtype=bool)
    as_asked: Yes = np.isnan(far) | (crossing & holds)
    return as_asked


def _lie_as_asked(scene: Scene, rows: Rows, at: Whole) -> Yes:
    """Which rows lie above or within as their rule asks; those of unknown place do."""
    p, q = scene.ends
    a, b = rows.a[at], rows.b[at]
    higher = p[a, 2] - p[b, 2]
    unknown = np.isnan(higher)
    asked: Yes = (rows.above[at] == 0) | (np.sign(higher) == rows.above[at])
    s, t = closest(p[a], q[a], p[b], q[b])
    apart = np.abs(along(p[a], q[a], s) - along(p[b], q[b], t))
    near = is_at_least(rows.within_up[at], apart[:, 2])
    near &= is_at_least(rows.within_side[at], np.hypot(apart[:, 0], apart[:, 1]))
    lying: Yes = unknown | (asked & near)
    return lying


def _best_way_of_boxes(planned: Plan, measured: _Measured) -> Yes:
    """The live rows, with only the better of two directions that are met together.

    A direction that cannot be judged loses to one that is met and wins over one that is short;
    where a number of it is short it is short whatever else is not known. Up and down is kept at
    the support and at mid-span, so it is as good as the worse of these, and both are told.
    """
    boxed, live = planned.boxed, measured.live
    if not len(boxed.horizontal):
        return live
    known = np.where(measured.lost == 0, measured.gap - planned.rows.need, _UNSAID)
    ways = []
    for number, unknown in (
        (boxed.horizontal, boxed.horizontal_unknown),
        (boxed.vertical, boxed.vertical_unknown),
        (boxed.mid_span, boxed.mid_span_unknown),
    ):
        spare = np.where(number >= 0, known[number], np.where(unknown >= 0, np.inf, -np.inf))
        spare = np.where(unknown >= 0, np.minimum(spare, _UNSAID), spare)
        told = np.where((unknown >= 0) & (spare >= _UNSAID), unknown, number)
        ways.append((spare, told))
    (sideways, beside), (upright, above), (halfway, between) = ways
    worse = np.where(above >= 0, np.minimum(upright, halfway), halfway)
    upright = np.where(between >= 0, worse, upright)
    aside = sideways >= upright
    kept = live.copy()
    for every in boxed:
        kept[every[every >= 0]] = False
    for told in (beside[aside], above[~aside], between[~aside]):
        there = told[told >= 0]
        kept[there] = live[there]
    return kept


def _judged(planned: Plan, measured: _Measured, live: Yes) -> Columns:
    """The rows that can be judged, with their verdicts."""
    rows = planned.rows
    at = np.nonzero(live & (measured.lost == 0))[0]
    gap, need = measured.gap[at], rows.need[at]
    spare = np.where(rows.most[at], need - gap, gap - need)
    # where the very limit is not enough, it takes more than rounding can make
    spare = np.where(rows.strict[at], spare - 2 * HAIR_IN, spare)
    nothing = np.zeros(len(at))
    loose = ~is_at_least(spare - measured.tolerance[at], nothing) | (rows.assumed[at] > 0)
    verdict = np.where(~is_at_least(spare, nothing), _SHORT, np.where(loose, _TIGHT, _MEETS))
    kept = _once(rows.spot[at], planned.spots, measured.away[at], verdict, spare)
    at = at[kept]
    a, b = rows.a[at], rows.b[at]
    return Columns(
        rule=rows.rule[at],
        a=a,
        b=np.where(a == b, -1, b),
        verdict=verdict[kept],
        gap=measured.gap[at],
        need=rows.need[at],
        spare=spare[kept],
        tolerance=measured.tolerance[at],
        p=measured.p[at],
        q=measured.q[at],
        assumed=rows.assumed[at],
        cell=rows.cell[at],
    )


def _once(spot: Whole, spots: int, away: Yes, verdict: Whole, spare: Real) -> Yes:
    """Which rows stay when those at the same supports are told once, by the worst of them."""
    same = np.nonzero(~away)[0]
    worst = verdict[same] * 1e7 + np.clip(spare[same], -1e6, 1e6)
    least = np.full(spots, np.inf)
    np.minimum.at(least, spot[same], worst)
    same = same[worst <= least[spot[same]] + HAIR_IN]
    first = np.full(spots, -1)
    first[spot[same[::-1]]] = same[::-1]
    kept = away.copy()
    kept[first[first >= 0]] = True
    return kept


def _cannot_say(scene: Scene, planned: Plan, measured: _Measured, live: Yes) -> list[Finding]:
    """One finding for each thing a book and measure miss, with how many pairs it stands for."""
    rows, texts = planned.rows, measured.texts
    unsaid = np.nonzero(live & (measured.lost > 0))[0]
    if not len(unsaid):
        return []
    starts = np.array([first for _, first, _ in planned.measures])
    way = np.searchsorted(starts, unsaid, side="right")
    kind = (planned.book[rows.rule[unsaid]] * (len(starts) + 1) + way) * len(texts)
    kind += measured.lost[unsaid]
    _, firsts, counts = np.unique(kind, return_index=True, return_counts=True)
    found = []
    for row, count in sorted(zip(unsaid[firsts].tolist(), counts.tolist(), strict=True)):
        a, b = int(rows.a[row]), int(rows.b[row])
        found.append(
            Finding(
                planned.rules[int(rows.rule[row])],
                scene.parts[a],
                None if a == b else scene.parts[b],
                "cannot say",
                missing=texts[int(measured.lost[row])],
                assumed=texts[int(rows.assumed[row])],
                count=count,
            )
        )
    return found
