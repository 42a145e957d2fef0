"""From a scene and rulebooks to findings: the plan says what to measure, here it is measured."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from framer.checks.finding import RANK, Finding
from framer.checks.findings import Columns, Findings
from framer.checks.jobwide import book_findings, climbing_unsaid, job_findings
from framer.checks.measures import (
    MEASURES,
    NOT_SURVEYED,
    SPEAKS_OF,
    Gauge,
)
from framer.checks.plan import Placed, Plan, plan, structure
from framer.checks.room_findings import climbing_findings
from framer.checks.rulebook import INCHES_PER, Rulebook, RuleStage
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


def check(scene: Scene, books: Sequence[Rulebook], *, moving: bool = False) -> Findings:
    """Everything the books and the job itself say of the scene, worst first.

    While a thing is `moving` by hand, room to climb, which takes longer, is left to say.
    """
    planned = plan(structure(scene, rule_stage(scene.stage)), tuple(books))
    measured = _measured(scene, planned)
    live = _best_way_of_boxes(planned, measured)
    return Findings(
        scene.parts,
        planned,
        _judged(planned, measured, live),
        [
            *job_findings(scene),
            *book_findings(books),
            *_cannot_say(scene, planned, measured, live),
            *(climbing_unsaid(books) if moving else climbing_findings(scene, books)),
        ],
        waivers={waiver.key: waiver for waiver in scene.job.waivers},
    )


class _Measured(NamedTuple):
    """The plan's rows, measured; `p` and `q` are of its pairs.

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
    rows, pairs, gauge = planned.rows, planned.pairs, Gauge(scene)
    count = len(pairs.a)
    gap, thickness = np.full(count, np.nan), np.zeros(count)
    p, q = np.full((count, 3), np.nan), np.full((count, 3), np.nan)
    away = np.zeros(count, dtype=bool)
    tolerances = scene.tolerances
    tolerance = tolerances[pairs.a] + np.where(pairs.a == pairs.b, 0.0, tolerances[pairs.b])
    live = _live(scene, planned)
    wanted = live & (rows.unsaid == 0)
    asked = np.zeros(count, dtype=bool)
    asked[rows.pair[wanted]] = True
    missing: dict[int, str] = {}
    for measure, first, end in planned.measures:
        at = np.nonzero(asked[first:end])[0] + first
        if not len(at):
            continue
        a, b = pairs.a[at], pairs.b[at]
        result = MEASURES[measure](gauge, a, b)
        gap[at], thickness[at], away[at] = result.gap, result.thickness, result.away
        p[at], q[at] = result.p, result.q
        if measure in NOT_SURVEYED:
            tolerance[at] = 0.0
        else:
            far = np.maximum(scene.far_tolerances[a], scene.far_tolerances[b])
            more = np.where(result.away, far, 0.0)
            if result.sagging is not None:
                sag = np.maximum(scene.sag_tolerances[a], scene.sag_tolerances[b])
                more += np.where(result.sagging, sag, 0.0)
            tolerance[at] += more
        missing.update((int(at[row]), text) for row, text in result.missing.items())
    row_away = wanted & away[rows.pair]
    lost = np.where(row_away, rows.lost_far, rows.unsaid)
    texts = planned.texts
    if missing:
        numbers = {text: number for number, text in enumerate(texts)}
        late = np.zeros(count, dtype=np.int64)
        for pair, text in missing.items():
            late[pair] = numbers.setdefault(text, len(numbers))
        row_late = np.where(wanted, late[rows.pair], 0)
        lost, texts = np.where(row_late > 0, row_late, lost), tuple(numbers)
    thick = np.where(rows.surface, thickness[rows.pair], 0.0)
    return _Measured(
        np.where(wanted, gap[rows.pair] - thick, np.nan),
        tolerance[rows.pair],
        p,
        q,
        row_away,
        live,
        lost,
        texts,
    )


def _live(scene: Scene, planned: Plan) -> Yes:
    """The rows whose parts lie as the rule's conditions of place ask."""
    pairs, placed = planned.pairs, planned.placed
    lying = np.ones(len(pairs.a), dtype=bool)
    for measure, first, end in planned.measures:
        if measure in SPEAKS_OF:
            lying[first:end] = SPEAKS_OF[measure](scene, pairs.a[first:end], pairs.b[first:end])
    live: Yes = lying[planned.rows.pair]
    if len(placed.row):
        live[placed.row] &= _lie_as_asked(scene, placed)
    if len(placed.crossed):
        live[placed.row] &= _cross_as_asked(scene, placed)
    return live


def _cross_as_asked(scene: Scene, placed: Placed) -> Yes:
    """Which rows cross as far from the first's support as asked; those of unknown place do."""
    p, q = scene.ends
    a, b = placed.a[placed.crossed], placed.b[placed.crossed]
    s, t = closest_in_plan(p[a], q[a], p[b], q[b])
    place = along(p[a], q[a], s)
    apart, off = (place - along(p[b], q[b], t))[:, :2], (place - p[a])[:, :2]
    far_in = np.hypot(*off.T)
    crossing = np.hypot(*apart.T) <= _CROSSED_IN
    as_asked = np.ones(len(placed.row), dtype=bool)
    for rows, pair, asked in placed.crossing:
        far = far_in[pair] / INCHES_PER["m" if asked.unit == "m" else "ft"]
        as_asked[rows] = np.isnan(far) | (crossing[pair] & asked.holds(far))
    return as_asked


def _lie_as_asked(scene: Scene, placed: Placed) -> Yes:
    """Which rows lie closer, above or within as their rule asks; those of unknown place do."""
    p, q = scene.ends
    a, b, which = placed.a, placed.b, placed.which
    higher = p[a, 2] - p[b, 2]
    middles = np.abs((p[a] + q[a] - p[b] - q[b])[:, 2]) / 2
    s, t = closest(p[a], q[a], p[b], q[b])
    apart = np.abs(along(p[a], q[a], s) - along(p[b], q[b], t))
    sideways = np.hypot(apart[:, 0], apart[:, 1])
    asked = (placed.above == 0) | (np.sign(higher)[which] == placed.above)
    asked &= is_at_least(placed.within_up, apart[which, 2])
    asked &= is_at_least(placed.within_side, sideways[which])
    lying: Yes = np.isnan(higher)[which] | asked
    lying &= ~is_at_least(middles[which], placed.closer)
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
    tolerance = measured.tolerance[at]
    loose = ~is_at_least(spare - tolerance, nothing) | (rows.assumed[at] > 0)
    verdict = np.where(~is_at_least(spare, nothing), _SHORT, np.where(loose, _TIGHT, _MEETS))
    kept = _once(rows.spot[at], planned.spots, measured.away[at], verdict, spare)
    at = at[kept]
    return Columns(
        row=at,
        verdict=verdict[kept],
        gap=gap[kept],
        spare=spare[kept],
        tolerance=tolerance[kept],
        p=measured.p,
        q=measured.q,
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
    kind = rows.kind[unsaid] * len(texts) + measured.lost[unsaid]
    counts = np.bincount(kind)
    firsts = np.zeros(len(counts), dtype=np.int64)
    firsts[kind[::-1]] = unsaid[::-1]
    there = np.nonzero(counts)[0]
    found = []
    for row, count in sorted(zip(firsts[there].tolist(), counts[there].tolist(), strict=True)):
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
