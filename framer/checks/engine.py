"""From a scene and rulebooks to findings: the plan says what to measure, here it is measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TypeAlias

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.checks.between import limits_book
from framer.checks.finding import RANK, Finding
from framer.checks.findings import Columns, Findings
from framer.checks.jobwide import book_findings, climbing_unsaid, job_findings
from framer.checks.levels import hand_over
from framer.checks.measures import (
    MEASURES,
    NOT_SURVEYED,
    SPEAKS_OF,
    Gauge,
    Measure,
    SpeaksOf,
)
from framer.checks.plan import Placed, Plan, Rows, plan, rule_stage, structure
from framer.checks.room_findings import climbing_findings
from framer.checks.rulebook import INCHES_PER, MeasureName, Rulebook
from framer.checks.since import Gaps, same_books, same_structure
from framer.checks.spaces import space_findings
from framer.checks.working import working_findings
from framer.errors import FramerError
from framer.geometry.distance import along, closest, closest_in_plan
from framer.geometry.scene import Scene, Tag
from framer.units.compare import HAIR_IN, is_at_least

Whole: TypeAlias = NDArray[np.int64]
Real: TypeAlias = NDArray[np.float64]
Yes: TypeAlias = NDArray[np.bool_]

_SHORT, _CANNOT_SAY, _TIGHT, _MEETS = (RANK[word] for word in RANK)

_CROSSED_IN = 1e-3
"""Wires no farther apart than this in plan cross there; it is noise of floating-point numbers."""

_UNSAID = -1e-3
"""What a direction that cannot be judged counts as: just short."""

MOST_PARTS = 4_000
"""More parts than this are refused: a hundred are a full pole, and memory goes by the square."""


def check(
    scene: Scene,
    books: Sequence[Rulebook],
    *,
    moving: bool = False,
    since: Findings | None = None,
) -> Findings:
    """Everything the books and the job itself say of the scene, worst first.

    Between two steps the limits typed for that time are one more book.
    While a thing is `moving` by hand, room to climb, which takes longer, is left to say. Findings
    of the scene `since` which few things moved only save time: what is said is the same.

    Raises:
        FramerError: there are more parts than are judged together.
    """
    if len(scene.parts) > MOST_PARTS:
        raise FramerError(
            f"{len(scene.parts):,} parts; at most {MOST_PARTS:,} are judged together, for each is "
            "measured to each other"
        )
    if rule_stage(scene.job, scene.stage) == "temporary":
        books = (*books, *limits_book(scene.job.limits_between))
    if since is not None and since.gaps is not None:
        hand_over(since.gaps.scene, scene)
    planned = _planned(scene, tuple(books), since)
    found = measured(scene, planned, since=since.gaps if since else None)
    live = best_way_of_boxes(planned, found)
    return Findings(
        scene.parts,
        planned,
        _judged(scene, planned, found, live),
        [
            *job_findings(scene),
            *book_findings(books),
            *_cannot_say(scene, planned, found, live),
            *(climbing_unsaid(books) if moving else _climbing(scene, books)),
        ],
        waivers={waiver.key: waiver for waiver in scene.job.waivers},
        gaps=found.gaps,
    )


def _planned(scene: Scene, books: tuple[Rulebook, ...], since: Findings | None) -> Plan:
    """The plan of a scene; that of the scene before where only places have changed."""
    gaps = since.gaps if since else None
    if gaps is not None and same_books(gaps.planned, books) and same_structure(gaps.scene, scene):
        return gaps.planned
    return plan(structure(scene, rule_stage(scene.job, scene.stage)), books)


def _climbing(scene: Scene, books: Sequence[Rulebook]) -> Iterator[Finding]:
    """Room to climb, the spaces that reach into it, and room to work."""
    yield from climbing_findings(scene, books)
    yield from working_findings(scene, books)
    yield from space_findings(scene, books, rule_stage(scene.job, scene.stage))


class Measurement(Struct, frozen=True):
    """The plan's rows, measured; `p` and `q` are of its pairs.

    `live` rows speak of this scene. `lost` is the number of the text that says what is not known;
    numbers beyond the plan's texts are in `texts`, which continues them. `gaps` are of its pairs.
    """

    gap: Real
    tolerance: Real
    p: Real
    q: Real
    away: Yes
    live: Yes
    lost: Whole
    texts: tuple[str, ...]
    gaps: Gaps


def measured(
    scene: Scene,
    planned: Plan,
    gauge: Gauge | None = None,
    measures: Mapping[MeasureName, Measure] = MEASURES,
    since: Gaps | None = None,
    *,
    everywhere: bool = False,
    speaks_of: Mapping[MeasureName, SpeaksOf] = SPEAKS_OF,
) -> Measurement:
    """The plan's rows measured in a scene, by a gauge of it and by these measures.

    Gaps known `since` another scene are not measured again where neither part has moved. With
    `everywhere` those rows are measured too that do not lie as their rule's conditions ask.
    Which pairs a measure speaks of is looked at by `speaks_of`.
    """
    rows, pairs = planned.rows, planned.pairs
    gaps = since.taken_over(scene, planned) if since else Gaps.none(scene, planned)
    live = _live(scene, planned, speaks_of)
    wanted = (live | everywhere) & (rows.unsaid == 0)
    asked = np.zeros(len(pairs.a), dtype=bool)
    asked[rows.pair[wanted]] = True
    asked &= ~gaps.known
    gaps.known[asked] = True
    at = np.nonzero(asked)[0]
    _measure(gauge or Gauge(scene, pairs.a[at], pairs.b[at]), measures, gaps, at)
    away, missing = gaps.away, gaps.lost
    row_away = wanted & away.take(rows.pair)
    lost = np.where(row_away, rows.lost_far, rows.unsaid)
    texts = planned.texts
    if missing:
        numbers = {text: number for number, text in enumerate(texts)}
        late = np.zeros(len(pairs.a), dtype=np.int64)
        for pair, text in missing.items():
            late[pair] = numbers.setdefault(text, len(numbers))
        row_late = np.where(wanted, late.take(rows.pair), 0)
        lost, texts = np.where(row_late > 0, row_late, lost), tuple(numbers)
    thick = np.where(rows.surface, gaps.thickness.take(rows.pair), 0.0)
    return Measurement(
        np.where(wanted, gaps.gap.take(rows.pair) - thick, np.nan),
        gaps.tolerance.take(rows.pair),
        gaps.p,
        gaps.q,
        row_away,
        live,
        lost,
        texts,
        gaps,
    )


def _measure(gauge: Gauge, measures: Mapping[MeasureName, Measure], gaps: Gaps, at: Whole) -> None:
    """Measure the pairs of these numbers, lowest first, each by the measure of its rule.

    Readings have a say in what is surveyed.
    """
    scene, planned = gauge.scene, gaps.planned
    a, b = planned.pairs.a[at], planned.pairs.b[at]
    gap, thickness = np.empty(len(at)), np.empty(len(at))
    p, q = np.empty((len(at), 3)), np.empty((len(at), 3))
    away, sagging, surveyed = np.zeros((3, len(at)), dtype=bool)
    bounds = np.array([one[1:] for one in planned.measures], dtype=np.int64).reshape(-1, 2)
    within = np.searchsorted(at, bounds).tolist()
    for (measure, _, _), (start, stop) in zip(planned.measures, within, strict=True):
        if start == stop:
            continue
        of = slice(start, stop)
        result = measures[measure](gauge, a[of], b[of])
        gap[of], thickness[of], away[of] = result.gap, result.thickness, result.away
        p[of], q[of] = result.p, result.q
        surveyed[of] = measure not in NOT_SURVEYED
        if result.sagging is not None:
            sagging[of] = result.sagging
        gaps.lost.update((int(at[start + row]), text) for row, text in result.missing.items())
    tolerance = scene.tolerances[a] + np.where(a == b, 0.0, scene.tolerances[b])
    for which, loose in ((away, scene.far_tolerances), (sagging, scene.sag_tolerances)):
        tolerance += np.where(which, np.maximum(loose[a], loose[b]), 0.0)
    gaps.gap[at], gaps.thickness[at], gaps.away[at] = gap, thickness, away
    gaps.p[at], gaps.q[at] = p, q
    gaps.tolerance[at] = np.where(surveyed, tolerance, 0.0)


def _live(scene: Scene, planned: Plan, speaks_of: Mapping[MeasureName, SpeaksOf]) -> Yes:
    """The rows whose parts lie as the rule's conditions of place ask."""
    pairs, placed = planned.pairs, planned.placed
    lying = np.ones(len(pairs.a), dtype=bool)
    for measure, first, end in planned.measures:
        if measure in speaks_of:
            lying[first:end] = speaks_of[measure](scene, pairs.a[first:end], pairs.b[first:end])
    live: Yes = lying.take(planned.rows.pair)
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


def best_way_of_boxes(planned: Plan, measured: Measurement) -> Yes:
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


def spares(rows: Rows, gap: Real) -> Real:
    """What every row has to spare, negative when short."""
    spare = np.where(rows.most, rows.need - gap, gap - rows.need)
    # where the very limit is not enough, it takes more than rounding can make
    return np.where(rows.strict, spare - 2 * HAIR_IN, spare)


def _judged(scene: Scene, planned: Plan, measured: Measurement, live: Yes) -> Columns:
    """The rows that can be judged, with their verdicts."""
    rows = planned.rows
    at = np.nonzero(live & (measured.lost == 0))[0]
    gap = measured.gap[at]
    spare = spares(rows, measured.gap)[at]
    nothing = np.zeros(len(at))
    tolerance = measured.tolerance[at]
    loose = ~is_at_least(spare - tolerance, nothing) | (rows.assumed[at] > 0)
    verdict = np.where(~is_at_least(spare, nothing), _SHORT, np.where(loose, _TIGHT, _MEETS))
    # of the pieces of a jumper the worst is told, wherever it is
    jumper = ((scene.tags[rows.a[at]] | scene.tags[rows.b[at]]) & int(Tag.JUMPER)) != 0
    kept = _once(rows.spot[at], planned.spots, measured.away[at] & ~jumper, verdict, spare)
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


def _cannot_say(scene: Scene, planned: Plan, measured: Measurement, live: Yes) -> list[Finding]:
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
