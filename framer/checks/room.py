"""Room to climb: every column beside a pole, judged by every book that asks for one.

Levels are the wires that rest on one arm, or on one support of the pole, at one height. A column
is judged about each level, as far above and below it as the book carries its climbing space. Of
what lies in it a book lets some things pass, counts guys and covered runs, and says nothing
readable of others, which then is `cannot say`; everything else fouls.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from framer.checks.bookshelf import CLIMBING
from framer.checks.finding import RANK, Verdict, verdict
from framer.checks.plan import built_then, connected_circuits, selects
from framer.checks.requirement import NO_SAGS, Requirement, Site, requirement
from framer.checks.rulebook import Climbing, Rule, Rulebook, RuleStage
from framer.checks.voltage import Wired
from framer.geometry.climbing import (
    COLUMNS,
    LARGEST_IN,
    Frame,
    Intrusion,
    Outline,
    crosses,
    cut_to,
    frame_at,
    frame_of,
    intrusions,
    is_side,
    line_in_plan,
    most_at_once,
    outline,
    reaching,
    sizes_when_touched,
)
from framer.geometry.scene import Array, Part, Run, Scene, Tag
from framer.geometry.space import azimuth_of_point, compass
from framer.model.stage import place_at, pole_at
from framer.units.compare import HAIR_IN, is_at_least
from framer.units.length import length_text

ONE_HEIGHT_IN = 1.0
"""Wires of one arm no farther apart than this are of one level."""

_KINDS: tuple[tuple[int, str], ...] = (
    (int(Tag.BORE | Tag.SPACE | Tag.WORKER), ""),
    (int(Tag.WIRE | Tag.JUMPER), "wire"),
    (int(Tag.ARM), "arm"),
    (int(Tag.BRACE), "brace"),
    (int(Tag.INSULATOR), "insulator"),
    (int(Tag.FITTING), "fitting"),
    (int(Tag.GUY), "guy"),
    (int(Tag.CASE | Tag.LIVE), "case"),
)
_CABLES = int(Tag.CABLE | Tag.DROP | Tag.NEUTRAL | Tag.COMMUNICATIONS)
_WIRE, _NEARBY, _ARM = int(Tag.WIRE), int(Tag.NEARBY), int(Tag.ARM)
_JUMPER = int(Tag.JUMPER)
_RUN, _COVERED, _NEUTRAL = int(Tag.RUN), int(Tag.COVERED), int(Tag.NEUTRAL)
_WORDS = {"run": "covered run", "cable": "cable, neutral or secondary beside the pole"}
_SIZED = ("transformer", "cutout", "arrester", "equipment", "lamp", "riser", "ground wire", "guy")
"""Kinds of items that take room, so that one without a size leaves the room unknown."""
_CIRCUIT_BY_CIRCUIT = ("circuit", "to ground")


class Level(NamedTuple):
    """Wires at one height of a pole.

    `wires` and `arm` are numbers of parts; heights are from the job datum, at the supports.
    """

    wires: tuple[int, ...]
    arm: int | None
    low: float
    high: float
    frame: Frame


class Judgement(NamedTuple):
    """What one rule says of one column about one level.

    `clear_in` is the largest clear square of the column there. `limit` is the number of the part
    that limits it, -1 for none. `allowed` says which allowance of the book it rests on.
    """

    level: int
    rule: Rule
    required: Requirement
    clear_in: float
    need_in: float | None
    verdict: Verdict
    missing: str = ""
    allowed: str = ""
    limit: int = -1
    tolerance_in: float = 0.0

    @property
    def short_in(self) -> float:
        """What is wanting."""
        if self.need_in is None or self.verdict != "short":
            return 0.0
        return self.need_in - self.clear_in


class Count(NamedTuple):
    """Guys or covered runs in one window of a column, against how many a rule lets stand."""

    rule: Rule
    required: Requirement
    found: float
    most: float
    parts: tuple[Intrusion, ...]

    @property
    def verdict(self) -> Verdict:
        """Short where there is more than the rule lets stand."""
        return verdict(self.most, self.found, 0.0, assumed=False)


class Column(NamedTuple):
    """One side or quadrant of a pole from the lowest level to the top one.

    `number` counts clockwise in steps of 45 degrees from the way the topmost arm faces.
    """

    number: int
    azimuth_deg: float
    judged: tuple[Judgement, ...]
    counts: tuple[Count, ...]
    unsaid: tuple[str, ...]

    @property
    def kind(self) -> str:
        """Side or quadrant."""
        return "side" if is_side(self.number) else "quadrant"

    @property
    def name(self) -> str:
        """What it is called."""
        return f"{compass(self.azimuth_deg, words=True)} {self.kind}"

    @property
    def verdict(self) -> Verdict:
        """The worst of all that is said of it."""
        said = [one.verdict for one in self.judged] + [one.verdict for one in self.counts]
        if self.unsaid or not said:
            said.append("cannot say")
        return min(said, key=RANK.__getitem__)

    @property
    def short_in(self) -> float:
        """The most that is wanting about any level."""
        return max((one.short_in for one in self.judged), default=0.0)

    @property
    def clear_in(self) -> float:
        """The largest square that is clear about every level judged."""
        return min((one.clear_in for one in self.judged), default=LARGEST_IN)

    @property
    def order(self) -> tuple[float, ...]:
        """Sorting key: the best verdict first, then what takes fewest inches to free."""
        over = sum(max(0.0, one.found - one.most) for one in self.counts)
        wanting = sum(one.short_in for one in self.judged)
        return (
            -RANK[self.verdict],
            round(self.short_in, 6),
            over,
            round(wanting, 6),
            sum(one.verdict == "cannot say" for one in self.judged),
            -round(self.clear_in, 6),
            self.number,
        )


class Turn(NamedTuple):
    """Where the way up changes columns between two levels, and what that takes.

    `left_in` is what is left to turn in when the column stays put by both levels as far as the
    book carries it; `None` where that is not known.
    """

    rule: Rule
    required: Requirement
    upper: int
    lower: int
    above: Column
    below: Column
    degrees: float
    apart_in: float
    left_in: float | None
    need_in: float
    verdict: Verdict
    tolerance_in: float = 0.0


class Way(NamedTuple):
    """All columns of one pole by one book, best first, and the way up that is taken.

    `path` has the column for each level, from the top down. `unsaid` is what is not known and
    might stand in any column. `fouling` are, level by level, the parts about it that are in
    the way where they reach in; `thick`: wires as thick as they are; `reach_in`: how far the
    column is carried above and below a level.
    """

    scene: Scene
    pole: str
    book: Rulebook
    levels: tuple[Level, ...]
    columns: tuple[Column, ...]
    path: tuple[Column, ...]
    turns: tuple[Turn, ...]
    unsaid: tuple[str, ...]
    fouling: tuple[tuple[int, ...], ...]
    thick: bool
    reach_in: float

    @property
    def best(self) -> Column:
        """The column that is climbed, or the best of them where the way up turns."""
        taken = {column.number for column in self.path}
        return self.path[0] if len(taken) == 1 else self.columns[0]


Climb: TypeAlias = tuple[Way, ...]


_last: list[tuple[Scene, tuple[Rulebook, ...], Climb]] = []


def climb(scene: Scene, books: Sequence[Rulebook]) -> Climb:
    """The columns of every pole that is climbed, by every book that asks for climbing space.

    As framed only the new poles are climbed, where there are any. The last answer is kept.
    """
    for known, by, answer in _last:
        if known is scene and by == tuple(books):
            return answer
    stage = _stage(scene)
    asking = [
        (book, book.climbing, rules)
        for book in books
        if book.climbing is not None
        and (rules := [rule for rule in book.rules if _judges(rule, stage)])
    ]
    poles = _climbed(scene) if asking else []
    ways: list[Way] = []
    for pole in poles:
        room = _Room(scene, pole)
        # a book and one that changes it mostly ask the same of climbing: it is judged once
        judged: dict[tuple[Climbing, tuple[str, ...]], Way | None] = {}
        for book, climbing, rules in asking:
            alike = climbing, tuple(rule.id for rule in rules)
            if alike not in judged:
                judged[alike] = room.way(book, climbing, rules)
            way = judged[alike]
            if way is not None:
                ways.append(way._replace(book=book))
    _last[:] = [(scene, tuple(books), tuple(ways))]
    return tuple(ways)


def _stage(scene: Scene) -> RuleStage:
    return scene.stage if scene.stage == "found" or scene.stage == "framed" else "temporary"


def _judges(rule: Rule, stage: RuleStage) -> bool:
    return rule.measure in CLIMBING and stage in rule.stages


def _climbed(scene: Scene) -> list[str]:
    carrying = {part.pole for part in scene.parts if part.tags & _WIRE and part.pole}
    poles = [pole for pole in scene.poles if pole in carrying]
    by_id = scene.job.item_by_id
    new = [pole for pole in poles if by_id[pole].places[0].when != "found"]
    return new if scene.stage == "framed" and new else poles


class _Asked(NamedTuple):
    level: int
    rule: Rule
    required: Requirement


class _Standing:
    """Outlines of all that stands about a pole, in columns."""

    def __init__(self, outlines: list[Outline]) -> None:
        self.outlines = outlines
        self.part = np.array([one.part for one in outlines], dtype=np.int64)
        self.low = np.array([one.low for one in outlines])
        self.high = np.array([one.high for one in outlines])
        self.slants = np.array([one.slants for one in outlines], dtype=bool)
        self._touched: dict[Frame, Array] = {}

    def touched(self, frame: Frame) -> Array:
        """The size at which each column touches each whole outline; on a plumb pole worked once."""
        if frame not in self._touched:
            self._touched[frame] = sizes_when_touched([(frame, self.outlines)])
        return self._touched[frame]


class _Lying(NamedTuple):
    """What lies about a level: rows of what stands there, touched at which size, read or not."""

    rows: NDArray[np.int64]
    sizes: Array
    soft: NDArray[np.bool_]

    def clear(self, standing: _Standing) -> tuple[Array, NDArray[np.int64]]:
        """The largest clear square of each column, and the part that limits it; -1 for none."""
        clear, limits = np.full(COLUMNS, LARGEST_IN), np.full(COLUMNS, -1)
        hard = np.nonzero(~self.soft)[0]
        if len(hard):
            sizes = self.sizes[hard]
            least = sizes.argmin(axis=0)
            clear = np.minimum(sizes[least, np.arange(COLUMNS)], LARGEST_IN)
            limits = np.where(clear < LARGEST_IN, standing.part[self.rows[hard[least]]], -1)
        return clear, limits


class _About(NamedTuple):
    """All that is known about one level for one book."""

    climbing: Climbing
    standing: _Standing
    lying: _Lying
    clear: Array
    limits: NDArray[np.int64]
    lost: tuple[str, ...]


class _Room:
    """One pole's levels, and what stands about it."""

    def __init__(self, scene: Scene, pole: str) -> None:
        self.scene, self.pole = scene, pole
        self.levels = _levels(scene, pole)
        arms = {part.owner for part in scene.parts if part.tags & _ARM}
        self.kinds = [_kind(part, arms) for part in scene.parts]
        on_it = [part for part in scene.parts if part.pole == pole and part.tags & _WIRE]
        self.joint_use = all(
            any(part.tags & tag for part in on_it) for tag in (Tag.SUPPLY, Tag.COMMUNICATIONS)
        )
        self._stood: dict[bool, _Standing] = {}
        self.unsized = tuple(self._unsized())
        self.circuits = {one.id: one for one in connected_circuits(scene)}

    def way(self, book: Rulebook, climbing: Climbing, rules: Sequence[Rule]) -> Way | None:
        asked = list(self._asked([rule for rule in rules if rule.measure == "climbing space"]))
        if not asked:
            return None
        thick = any(one.rule.convention == "surface" for one in asked)
        counted = {
            selected
            for rule in rules
            if rule.measure in ("climbing count", "climbing guys apart")
            for selected in (("guy",) if "guy" in rule.a else ("run",))
        }
        passes = {*climbing.passes, *counted, ""}
        unread = set[str](climbing.unread) - passes
        standing = self.standing(thick=thick)
        lying = self._lying(climbing, passes, unread, thick=thick)
        lost, paths = self._not_known(passes)
        unsaid = (*lost, *paths)
        judged: list[list[Judgement]] = [[] for _ in range(COLUMNS)]
        for one in asked:
            here = lying[one.level]
            room = _About(climbing, standing, here, *here.clear(standing), lost)
            for column in range(COLUMNS):
                judged[column].append(self._judge(one, column, room))
        needs = [one.required.need for one in asked if one.required.need is not None]
        width = max(needs, default=None)
        counts = self._counts(climbing, rules, width, thick=thick)
        frame = self.levels[0].frame
        columns = tuple(
            Column(number, frame.azimuth_deg(number), tuple(judged[number]), counts[number], unsaid)
            for number in range(COLUMNS)
        )
        spoken = sorted({one.level for one in asked})
        path, turns = self._path(climbing, rules, columns, spoken)
        return Way(
            self.scene,
            self.pole,
            book,
            self.levels,
            tuple(sorted(columns, key=lambda column: column.order)),
            path,
            turns,
            unsaid,
            tuple(tuple(standing.part[here.rows[~here.soft]].tolist()) for here in lying),
            thick,
            climbing.reach.inches if climbing.reach else 0.0,
        )  # fmt: skip

    # What is asked

    def _asked(self, rules: Sequence[Rule]) -> Iterator[_Asked]:
        """The most demanding known requirement of each level, and those not known."""
        for number, level in enumerate(self.levels):
            spoken = [
                (rule, found)
                for rule in rules
                if (found := self._required(rule, level)) is not None
            ]
            # a rule that asks what else is there stands for those that do not
            if any(rule.b is not None for rule, _ in spoken):
                spoken = [one for one in spoken if one[0].b is not None]
            known = [one for one in spoken if one[1].need is not None]
            if known:
                yield _Asked(number, *max(known, key=lambda one: one[1].need or 0.0))
            unknown = {one[1].missing: one for one in spoken if one[1].missing}
            for rule, required in unknown.values():
                yield _Asked(number, rule, required)

    def _required(self, rule: Rule, level: Level) -> Requirement | None:
        """What a rule requires about a level; `None` where it does not speak of it."""
        parts, when = self.scene.parts, rule.when
        if when.joint_use not in (None, self.joint_use):
            return None
        wires = [number for number in level.wires if selects(rule.a, parts[number].tags)]
        if not wires:
            return None
        if rule.b is not None:
            beside = self._beside(rule, level)
            if not beside:
                return None
            wires += beside
        then, missing = built_then(when, self.scene.job.settings.built)
        if not then:
            return None
        ends = {
            (part.circuit, bool(part.tags & _NEUTRAL))
            for part in (parts[number] for number in wires)
            if part.circuit is not None
        }
        wired = tuple(Wired(self.circuits[key], neutral) for key, neutral in sorted(ends))
        if missing:
            return Requirement(missing=missing)
        settings = self.scene.job.settings
        each: Iterable[tuple[Wired, ...]] = (wired,)
        if rule.voltage in _CIRCUIT_BY_CIRCUIT:
            each = [(end,) for end in wired if end.circuit.kind == "supply"] or (wired,)
        found = [
            requirement(rule, ends, settings.assume_up_to_kv, NO_SAGS, Site(settings.altitude_m))
            for ends in each
        ]
        asking = [one for one in found if not one.nothing]
        if not asking:
            return None
        return max(asking, key=lambda one: (bool(one.missing), one.need or 0.0))

    def _beside(self, rule: Rule, level: Level) -> list[int]:
        """Wires of what else must be there for a rule to speak; empty when it is not."""
        scene, when = self.scene, rule.when
        if rule.b is None:
            return []
        if rule.b == "arm":
            if level.arm is None:
                return []
            own = scene.parts[level.arm]
            crossing = [
                part
                for part in scene.parts
                if part.pole == self.pole and part.tags & _ARM and crosses(own, part)
                and (when.closer_than_in is None or _bolts_apart(own, part) < when.closer_than_in)
            ]  # fmt: skip
            arms = {part.owner for part in crossing}
            return [
                number
                for number, part in enumerate(scene.parts)
                if part.tags & _WIRE and part.level in arms
            ]
        found = []
        for number, part in enumerate(scene.parts):
            if part.pole != self.pole or number in level.wires or not selects(rule.b, part.tags):
                continue
            if not isinstance(part.shape, Run):
                continue
            at = part.shape.p[2]
            above = level.low > at
            if when.a_above in (None, above) and (
                when.closer_than_in is None
                or max(at - level.high, level.low - at) < when.closer_than_in
            ):
                found.append(number)
        return found

    # What stands in the way

    def standing(self, *, thick: bool) -> _Standing:
        """All that stands about the pole, outlined once for every book that asks alike."""
        if thick not in self._stood:
            frame = self.levels[0].frame
            drawn = [
                one
                for number, kind in enumerate(self.kinds)
                if kind
                and self.scene.parts[number].owner != self.pole
                and (one := outline(self.scene, number, frame, thick=thick)) is not None
            ]
            self._stood[thick] = _Standing(drawn)
        return self._stood[thick]

    def _lying(
        self, climbing: Climbing, passes: set[str], unread: set[str], *, thick: bool
    ) -> list[_Lying]:
        """What lies about each level, and at which size each column touches it."""
        reach = climbing.reach.inches if climbing.reach else 0.0
        standing = self.standing(thick=thick)
        kinds = [self.kinds[one.part] for one in standing.outlines]
        counts = np.array([kind not in passes for kind in kinds], dtype=bool)
        soft = np.array([kind in unread for kind in kinds], dtype=bool)
        picked, places = [], []
        for level in self.levels:
            low, high = level.low - reach, level.high + reach
            mine = np.isin(standing.part, level.wires)
            into = (reaching(standing.low, standing.high, low, high) | mine) & counts
            rows = np.nonzero(into)[0]
            part_way = standing.slants[rows] & ((standing.low < low) | (standing.high > high))[rows]
            cut = [
                cut_to(self.scene, standing.outlines[row], level.frame, low, high)
                for row in rows[part_way].tolist()
            ]
            picked.append((rows, part_way))
            places.append((level.frame, cut))
        again = sizes_when_touched(places)
        lying, start = [], 0
        for level, (rows, part_way) in zip(self.levels, picked, strict=True):
            sizes = standing.touched(level.frame)[rows]
            end = start + int(part_way.sum())
            sizes[part_way] = again[start:end]
            start = end
            lying.append(_Lying(rows, sizes, soft[rows]))
        return lying

    def _judge(self, asked: _Asked, column: int, about: _About) -> Judgement:
        level, rule, required = asked
        parts = self.scene.parts
        gap, limit, need = float(about.clear[column]), int(about.limits[column]), required.need
        if need is None:
            missing = required.missing
            return Judgement(level, rule, required, gap, None, "cannot say", missing, limit=limit)
        tolerance = parts[limit].tolerance_in if limit >= 0 else 0.0
        said = verdict(gap, need, tolerance, assumed=bool(required.assumed))
        allowed = missing = ""
        if said == "short":
            eased = self._eased(about, level, column, gap, need)
            if eased is not None:
                (gap, need, allowed), said = eased, "tight"
        if said != "short":
            missing = self._unread(about, column, need) or self._lost(about, level, column, need)
            said = "cannot say" if missing else said
        return Judgement(level, rule, required, gap, need, said, missing, allowed, limit, tolerance)

    def _unread(self, about: _About, column: int, need: float) -> str:
        """What reaches in that the book says nothing readable of."""
        lying = about.lying
        rows = lying.rows[lying.soft & (lying.sizes[:, column] < need - HAIR_IN)]
        names = sorted({self.kinds[part] for part in about.standing.part[rows].tolist()})
        if not names:
            return ""
        words = ", ".join(_WORDS.get(name, name) for name in names)
        return f"whether it may stand in the climbing space is not known here: {words}"

    def _lost(self, about: _About, level: int, column: int, need: float) -> str:
        """What may stand in the column and whose size or place is not known."""
        if about.lost:
            return about.lost[0]
        for near in self.scene.job.nearby:
            part = self.scene.part_by_key.get(near.id)
            if part is None or part.shape is not None:
                continue
            line = line_in_plan((near.east_in, near.north_in), near.azimuth_deg)
            frame = self.levels[level].frame
            if sizes_when_touched([(frame, [line])])[0, column] < need - HAIR_IN:
                return part.missing
        return ""

    def _eased(
        self, about: _About, level: int, column: int, gap: float, need: float
    ) -> tuple[float, float, str] | None:
        """Gap, need and words where one allowance of the book makes up for what is wanting."""
        shift, reduction = about.climbing.shift, about.climbing.reduction
        if reduction is not None:
            less = need * (1.0 - reduction.value / 100.0)
            if is_at_least(gap, less):
                share = f"{reduction.value:g} percent less than the full width"
                return gap, less, f"{share}, for line angles and field variation only"
        aside = (need - gap) / 2
        if shift is None or not is_side(column) or not is_at_least(shift.inches, aside):
            return None
        frame, lying = self.levels[level].frame, about.lying
        fouling = [about.standing.outlines[row] for row in lying.rows[~lying.soft].tolist()]
        for way, hand in ((aside, "right"), (-aside, "left")):
            sizes = sizes_when_touched([(frame, fouling)], way)[:, column]
            moved = float(sizes.min(initial=LARGEST_IN))
            if is_at_least(moved, need):
                words = f"stands {length_text(aside, step_in=1 / 16, toward='up')} to the {hand} "
                words += "of the pole's centre line, where live parts keep their own distance"
                return moved, need, words
        return None

    def _unsized(self) -> list[str]:
        """Equipment that takes room nobody knows."""
        job, stage = self.scene.job, self.scene.stage
        drawn = self.scene.parts_of
        return [
            f"size of {job.label(item.id)} not known"
            for item in job.items
            if item.kind in _SIZED
            and item.id not in drawn
            and place_at(job, item, stage) is not None
            and pole_at(job, item, stage) == self.pole
        ]

    def _not_known(self, passes: set[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """What may stand in any column: things of no known size or place, and undrawn jumpers."""
        lost = [
            part
            for part, kind in zip(self.scene.parts, self.kinds, strict=True)
            if part.shape is None
            and not part.tags & _NEARBY
            and part.pole in (self.pole, None)
            and part.owner != self.pole
            and kind not in passes
        ]
        paths = [self.scene.job.label(part.owner) for part in lost if part.tags & _JUMPER]
        texts = {part.missing: None for part in lost if not part.tags & _JUMPER}
        drawn = f"paths of jumpers are not drawn: {', '.join(paths)}"
        return (*self.unsized, *texts), (drawn,) if paths else ()

    # Counting

    def _counts(
        self, climbing: Climbing, rules: Sequence[Rule], width: float | None, *, thick: bool
    ) -> list[tuple[Count, ...]]:
        """What the rules that count say of each column."""
        counting = [rule for rule in rules if rule.measure.startswith(("climbing c", "climbing g"))]
        found: list[list[Count]] = [[] for _ in range(COLUMNS)]
        if width is None or climbing.window is None or not counting:
            return [() for _ in found]
        window, parts = climbing.window.inches, self.scene.parts
        foot = self.scene.poles[self.pole].foot[2]
        frame = self.levels[0].frame
        for rule in counting:
            if rule.when.joint_use not in (None, self.joint_use):
                continue
            required = requirement(rule, (), self.scene.job.settings.assume_up_to_kv)
            kinds = ("guy",) if "guy" in rule.a else ("run",)
            numbers = [
                number
                for number, kind in enumerate(self.kinds)
                if kind in kinds and selects(rule.a, parts[number].tags)
            ]
            if required.need is None or not numbers:
                continue
            standing = self.standing(thick=thick)
            rows = np.nonzero(np.isin(standing.part, numbers))[0]
            touched = standing.touched(frame)[rows]
            for column in range(COLUMNS):
                met = rows[touched[:, column] < width - HAIR_IN].tolist()
                within = [
                    one._replace(low=max(one.low, foot))
                    for one in (standing.outlines[row] for row in met)
                ]
                inside = intrusions(self.scene, frame, column, width, within)
                picked = most_at_once([(one.low, one.high) for one in inside], window)
                most = [inside[number] for number in picked]
                if not most:
                    continue
                amount = float(len(most))
                if rule.measure == "climbing guys apart":
                    heights = [self.scene.ends[0][one.part][2] for one in most]
                    amount = float(max(heights) - min(heights))
                found[column].append(Count(rule, required, amount, required.need, tuple(most)))
        return [tuple(one) for one in found]

    # The way up

    def _path(
        self,
        climbing: Climbing,
        rules: Sequence[Rule],
        columns: tuple[Column, ...],
        spoken: list[int],
    ) -> tuple[tuple[Column, ...], tuple[Turn, ...]]:
        """The column for each level, and where the way up turns.

        The column that is climbed by the job, or the best one if it is not short; else, where
        every level has a column that is not short, the way past them that turns least.
        """
        wanted = self.scene.job.settings.climbing_side
        best = min(columns, key=lambda column: column.order)
        if wanted:
            asked = azimuth_of_point(wanted)
            best = min(columns, key=lambda column: _apart(asked, column.azimuth_deg))
        straight = tuple(best for _ in self.levels)
        if wanted or best.verdict != "short":
            return straight, ()
        open_to = [
            [
                column
                for column in columns
                if all(one.verdict != "short" for one in column.judged if one.level == level)
                and all(one.verdict != "short" for one in column.counts)
            ]
            for level in spoken
        ]
        if not all(open_to):
            return straight, ()
        turning = next((rule for rule in rules if rule.measure == "climbing turn"), None)
        if turning is not None and turning.when.joint_use not in (None, self.joint_use):
            turning = None
        ways: list[tuple[tuple[float, ...], tuple[Column, ...]]] = [
            ((0.0, 0.0, -column.clear_in), (column,)) for column in open_to[0]
        ]
        for number, choices in enumerate(open_to[1:], start=1):
            upper, lower = spoken[number - 1], spoken[number]
            after: list[tuple[tuple[float, ...], tuple[Column, ...]]] = []
            for column in choices:
                steps: list[tuple[tuple[float, ...], tuple[Column, ...]]] = []
                for cost, past in ways:
                    turn = self._turn(climbing, turning, upper, lower, past[-1], column)
                    degrees = _apart(past[-1].azimuth_deg, column.azimuth_deg)
                    lacking = max(0.0, turn.need_in - turn.apart_in) if turn else 0.0
                    spent = (cost[0] + lacking, cost[1] + degrees, cost[2] - column.clear_in)
                    steps.append((spent, (*past, column)))
                after.append(min(steps, key=lambda step: step[0]))
            ways = after
        _, chosen = min(ways, key=lambda way: way[0])
        turns = [
            turn
            for number in range(1, len(chosen))
            if (
                turn := self._turn(
                    climbing,
                    turning,
                    spoken[number - 1],
                    spoken[number],
                    chosen[number - 1],
                    chosen[number],
                )
            )
        ]
        at = dict(zip(spoken, chosen, strict=True))
        return tuple(at.get(level, best) for level in range(len(self.levels))), tuple(turns)

    def _turn(
        self,
        climbing: Climbing,
        rule: Rule | None,
        upper: int,
        lower: int,
        above: Column,
        below: Column,
    ) -> Turn | None:
        if rule is None or climbing.turn is None or above.number == below.number:
            return None
        required = requirement(rule, (), self.scene.job.settings.assume_up_to_kv)
        if required.need is None:
            return None
        degrees = _apart(above.azimuth_deg, below.azimuth_deg)
        apart = self.levels[upper].low - self.levels[lower].high
        need = turn_needs_in(degrees, climbing.turn.value, required.need)
        left = max(0.0, apart - 2 * climbing.reach.inches) if climbing.reach else None
        wires = [self.scene.parts[self.levels[level].wires[0]] for level in (upper, lower)]
        tolerance = sum(part.tolerance_in for part in wires)
        said = verdict(apart, need, tolerance, assumed=False)
        if said != "short" and (left is None or not is_at_least(left, need)):
            said = "cannot say"
        return Turn(
            rule, required, upper, lower, above, below, degrees, apart, left, need, said, tolerance
        )


def turn_needs_in(degrees: float, limit_deg: float, within_in: float) -> float:
    """The height a turn takes: the whole of `within_in` for each angle of `limit_deg` begun."""
    return math.ceil(degrees / limit_deg - 1e-6) * within_in


def _apart(one_deg: float, other_deg: float) -> float:
    off = abs(one_deg - other_deg) % 360.0
    return min(off, 360.0 - off)


def _levels(scene: Scene, pole: str) -> tuple[Level, ...]:
    """The levels of a pole, from the top down."""
    arms = {
        part.owner: number
        for number, part in reversed(list(enumerate(scene.parts)))
        if part.tags & _ARM
    }
    supports: dict[tuple[str, str], list[int]] = {}
    for number, part in enumerate(scene.parts):
        if part.pole == pole and part.tags & _WIRE and isinstance(part.shape, Run):
            supports.setdefault((part.level or "", part.support or ""), []).append(number)
    heights = {number: part.shape.p[2] for number, part in enumerate(scene.parts)
               if isinstance(part.shape, Run)}  # fmt: skip
    spans = sorted(
        (level, min(heights[n] for n in wires), max(heights[n] for n in wires), wires)
        for (level, _), wires in supports.items()
    )
    merged: list[tuple[str, float, float, list[int]]] = []
    for level, low, high, wires in spans:
        if merged and merged[-1][0] == level and low - merged[-1][1] <= ONE_HEIGHT_IN:
            _, first, top, others = merged[-1]
            merged[-1] = (level, first, max(top, high), others + wires)
        else:
            merged.append((level, low, high, wires))
    foot, ground = scene.poles[pole].foot[2], frame_of(scene, pole)
    return tuple(
        Level(
            tuple(sorted(wires)),
            arms.get(level),
            low,
            high,
            frame_at(scene, pole, ground, (low + high) / 2 - foot),
        )
        for level, low, high, wires in sorted(merged, key=lambda one: (-one[1], one[3]))
    )


def _kind(part: Part, arms: set[str]) -> str:
    """What a part is to a climber, as in the books' lists; nothing for what takes no room."""
    if part.tags & _WIRE and part.level not in arms and not part.tags & _NEARBY:
        return "cable" if part.tags & _CABLES or part.phase == "secondary" else "wire"
    if part.tags & _RUN:
        return "run" if part.tags & _COVERED else "bare run"
    return next((kind for tags, kind in _KINDS if part.tags & tags), "pole")


def _bolts_apart(one: Part, other: Part) -> float:
    return abs(one.up_in - other.up_in)
