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
from msgspec import Struct
from numpy.typing import NDArray

from framer.checks.bookshelf import CLIMBING
from framer.checks.finding import RANK, Verdict, verdict
from framer.checks.levels import Band, Level, Standing, Surroundings, surroundings
from framer.checks.plan import built_then, rule_stage, selects
from framer.checks.requirement import NO_SAGS, Requirement, Site, requirement
from framer.checks.rulebook import Climbing, Rule, Rulebook, RuleStage
from framer.checks.voltage import Wired, volts
from framer.geometry.climbing import (
    COLUMNS,
    LARGEST_IN,
    Intrusion,
    Outline,
    crosses,
    is_side,
    line_in_plan,
    most_at_once,
    sizes_when_touched,
)
from framer.geometry.scene import Array, Part, Run, Scene, Tag
from framer.geometry.space import azimuth_of_point, compass
from framer.geometry.written import exact
from framer.units.compare import HAIR_IN, is_at_least

_NEUTRAL, _SUPPLY, _COMMUNICATIONS = (
    int(Tag.NEUTRAL),
    int(Tag.SUPPLY),
    int(Tag.COMMUNICATIONS),
)
_WIRE, _ARM = int(Tag.WIRE), int(Tag.ARM)
_WORDS = {"run": "covered run", "cable": "cable, neutral or secondary beside the pole"}
_HAIR_KV = 1e-6
_NO_MATTER_IN = 1 / 16
"""Two readings of a book no farther apart than this are told as one."""
_CIRCUIT_BY_CIRCUIT = ("circuit", "to ground")


class Judgement(Struct, frozen=True):
    """What one rule says of one column about one level.

    `clear_in` is the largest clear square of the column there. `limit` is the number of the part
    that limits it, -1 for none. `allowed` says which allowance of the book it rests on.
    `between_centres_in` is what is clear where wires count as their centre lines, of a book that
    does not say how it is measured and where that makes a difference.
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
    between_centres_in: float | None = None

    @property
    def short_in(self) -> float:
        """What is wanting."""
        if self.need_in is None or self.verdict != "short":
            return 0.0
        return self.need_in - self.clear_in


class Count(Struct, frozen=True):
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


class Column(Struct, frozen=True):
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


class Turn(Struct, frozen=True):
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


class Lying(Struct, frozen=True):
    """What lies about a level: rows of what stands there, touched at which size, read or not."""

    standing: Standing
    band: Band
    sizes: Array
    soft: NDArray[np.bool_]

    def clear(self, sizes: Array) -> tuple[Array, NDArray[np.int64]]:
        """The largest clear square of each column, and the part that limits it; -1 for none."""
        clear, limits = np.full(COLUMNS, LARGEST_IN), np.full(COLUMNS, -1)
        hard = np.nonzero(~self.soft)[0]
        if len(hard):
            sizes = sizes[hard]
            least = sizes.argmin(axis=0)
            clear = np.minimum(sizes[least, np.arange(COLUMNS)], LARGEST_IN)
            part = self.standing.part[self.band.rows[hard[least]]]
            limits = np.where(clear < LARGEST_IN, part, -1)
        return clear, limits

    def fouling(self) -> list[Outline]:
        """Outlines of all that the book does not let stand here, cut to the band."""
        return self.standing.of(self.band, self.band.rows[~self.soft].tolist())


class Way(NamedTuple):
    """All columns of one pole by one book, best first, and the way up that is taken.

    `path` has the column for each level, from the top down. `unsaid` is what is not known and
    might stand in any column. `lying` is, level by level, what lies about it; `reaches_in`: how far
    the column is carried above and below each level.
    """

    scene: Scene
    pole: str
    book: Rulebook
    levels: tuple[Level, ...]
    columns: tuple[Column, ...]
    path: tuple[Column, ...]
    turns: tuple[Turn, ...]
    unsaid: tuple[str, ...]
    lying: tuple[Lying, ...]
    reaches_in: tuple[float, ...]

    @property
    def best(self) -> Column:
        """The column that is climbed, or the best of them where the way up turns."""
        taken = {column.number for column in self.path}
        return self.path[0] if len(taken) == 1 else self.columns[0]


Climb: TypeAlias = tuple[Way, ...]


def climb(scene: Scene, books: Sequence[Rulebook]) -> Climb:
    """The columns of every pole that is climbed, by every book that asks for climbing space.

    As framed only the new poles are climbed, where there are any. The answer is kept with the
    scene.
    """
    kept: dict[tuple[Rulebook, ...], Climb] = scene.kept.setdefault("climb", {})
    key = tuple(books)
    if key not in kept:
        kept[key] = tuple(_ways(scene, books))
    return kept[key]


def _ways(scene: Scene, books: Sequence[Rulebook]) -> Iterator[Way]:
    stage = stage_of(scene)
    asking = [
        (book, book.climbing, rules)
        for book in books
        if book.climbing is not None
        and (rules := [rule for rule in book.rules if _judges(rule, stage)])
    ]
    for pole in climbed(scene) if asking else ():
        room = _Room(surroundings(scene, pole))
        # a book and one that changes it mostly ask the same of climbing: it is judged once
        judged: dict[tuple[Climbing, tuple[str, ...]], Way | None] = {}
        for book, climbing, rules in asking:
            alike = climbing, tuple(rule.id for rule in rules)
            if alike not in judged:
                judged[alike] = room.way(book, climbing, rules)
            way = judged[alike]
            if way is not None:
                yield way._replace(book=book)


def stage_of(scene: Scene) -> RuleStage:
    """The kind of stage a scene is of, for the choice of rules."""
    return rule_stage(scene.job, scene.stage)


def _judges(rule: Rule, stage: RuleStage) -> bool:
    return rule.measure in CLIMBING and stage in rule.stages


def climbed(scene: Scene) -> list[str]:
    """The poles that are climbed: those that carry wires, as framed only the new ones if any."""
    carrying = {part.pole for part in scene.parts if part.tags & _WIRE and part.pole}
    poles = [pole for pole in scene.poles if pole in carrying]
    by_id = scene.job.item_by_id
    new = [pole for pole in poles if by_id[pole].places[0].when != "found"]
    return new if scene.stage == "framed" and new else poles


class _Asked(NamedTuple):
    level: int
    rule: Rule
    required: Requirement


class _About(Struct, frozen=True):
    """All that is known about one level for one book."""

    climbing: Climbing
    lying: Lying
    clear: Array
    limits: NDArray[np.int64]
    centres: Array | None
    softest: Array | None
    lost: tuple[str, ...]


class _Room:
    """The columns of one pole."""

    def __init__(self, about: Surroundings) -> None:
        self.about, self.scene, self.pole = about, about.scene, about.pole
        self.levels, self.kinds, self.joint_use = about.levels, about.kinds, about.joint_use
        cables = [
            part
            for part in (self.scene.parts[number] for number in about.on_it)
            if part.tags & _COMMUNICATIONS
        ]
        # one at no known height may be over all else
        self.top_communications = max(
            (part.shape.p[2] if isinstance(part.shape, Run) else math.inf for part in cables),
            default=-math.inf,
        )

    def way(self, book: Rulebook, climbing: Climbing, rules: Sequence[Rule]) -> Way | None:
        asked = list(self._asked([rule for rule in rules if rule.measure == "climbing space"]))
        if not asked:
            return None
        counted = {
            selected
            for rule in rules
            if rule.measure in ("climbing count", "climbing guys apart")
            for selected in (("guy",) if "guy" in rule.a else ("run",))
        }
        passes = {*climbing.passes, *counted, ""}
        unread = set[str](climbing.unread) - passes
        reaches = tuple(self._reach(climbing, level) for level in self.levels)
        lying = self._lying(climbing, reaches, passes, unread)
        lost, paths = self.about.not_known(passes)
        unsaid = (*lost, *paths)
        judged: list[list[Judgement]] = [[] for _ in range(COLUMNS)]
        rooms: dict[int, _About] = {}
        for one in asked:
            if one.level not in rooms:
                here = lying[one.level]
                centres = self._between_centres(climbing, one.level, here)
                softest = here.sizes[here.soft].min(axis=0) if here.soft.any() else None
                rooms[one.level] = _About(
                    climbing, here, *here.clear(here.sizes), centres, softest, lost
                )
            for column in range(COLUMNS):
                judged[column].append(self._judge(one, column, rooms[one.level]))
        needs = [one.required.need for one in asked if one.required.need is not None]
        width = max(needs, default=None)
        counts = self._counts(climbing, rules, width)
        frame = self.levels[0].frame
        columns = tuple(
            Column(number, frame.azimuth_deg(number), tuple(judged[number]), counts[number], unsaid)
            for number in range(COLUMNS)
        )
        spoken = sorted({one.level for one in asked})
        columns = tuple(sorted(columns, key=lambda column: column.order))
        path, turns = self._path(climbing, rules, columns, spoken, reaches)
        return Way(
            self.scene,
            self.pole,
            book,
            self.levels,
            columns,
            path,
            turns,
            unsaid,
            tuple(lying),
            reaches,
        )

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
        parts, when, known = self.scene.parts, rule.when, self.about.required
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
        ends = {
            (part.circuit, bool(part.tags & _NEUTRAL))
            for part in (parts[number] for number in wires)
            if part.circuit is not None
        }
        key = id(rule), frozenset(ends)
        if key not in known:
            known[key] = rule, self._required_of(rule, sorted(ends))
        return known[key][1]

    def _required_of(self, rule: Rule, ends: Iterable[tuple[str, bool]]) -> Requirement | None:
        """What a rule requires past wires of some circuits, neutrals or not."""
        settings = self.scene.job.settings
        then, missing = built_then(rule.when, settings.built)
        if not then:
            return None
        if missing:
            return Requirement(missing=missing)
        wired = tuple(Wired(self.about.circuits[key], neutral) for key, neutral in ends)
        each: Iterable[tuple[Wired, ...]] = (wired,)
        if rule.voltage in _CIRCUIT_BY_CIRCUIT:
            each = [(end,) for end in wired if end.circuit.kind == "supply"] or (wired,)
        found = [
            requirement(rule, of, settings.assume_up_to_kv, NO_SAGS, Site(settings.altitude_m))
            for of in each
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
            return [number for number in self.about.on_it if scene.parts[number].level in arms]
        found = []
        for number in self.about.on_it:
            part = scene.parts[number]
            if number in level.wires or not selects(rule.b, part.tags):
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

    def _reach(self, climbing: Climbing, level: Level) -> float:
        """How far the column is carried above and below a level."""
        reach = climbing.reach.inches if climbing.reach else 0.0
        further = climbing.further
        if further is None or self.top_communications <= level.high:
            return reach
        if not self._over(level, further.over_kv, further.over_ground_kv):
            return reach
        return max(reach, further.inches)

    def _over(self, level: Level, over_kv: float, over_ground_kv: float = math.inf) -> bool:
        """Whether a circuit of a level has, or may have, more than these volts."""
        up_to = self.scene.job.settings.assume_up_to_kv
        for number in level.wires:
            part = self.scene.parts[number]
            if not part.tags & _SUPPLY or part.circuit is None:
                continue
            wired = (Wired(self.about.circuits[part.circuit], neutral=False),)
            if max(volts("circuit", wired, up_to).kv) > over_kv + _HAIR_KV:
                return True
            if max(volts("to ground", wired, up_to).kv) > over_ground_kv + _HAIR_KV:
                return True
        return False

    def _lying(
        self, climbing: Climbing, reaches: Sequence[float], passes: set[str], unread: set[str]
    ) -> list[Lying]:
        """What lies about each level, and at which size each column touches it."""
        thick, half = climbing.convention != "centre", climbing.halved
        bands: list[tuple[Standing, Band]] = []
        let: dict[Standing, NDArray[np.bool_]] = {}
        for level, reach in zip(self.levels, reaches, strict=True):
            halved: frozenset[str] = frozenset()
            if half is not None and level.arm is None and self._over(level, half.over_kv):
                halved = frozenset(half.kinds)
            standing = self.about.standing(thick=thick, halved=halved)
            if standing not in let:
                let[standing] = np.array([kind in passes - halved for kind in standing.kinds])
            low, high = level.low - reach, level.high + reach
            mine = np.zeros(len(standing.part), dtype=bool)
            mine[np.searchsorted(standing.part, level.wires)] = True
            bands.append((standing, standing.band(level.frame, low, high, mine, let[standing])))
        sizes: dict[Standing, Iterator[Array]] = {
            one: iter(one.touched_in([band for standing, band in bands if standing is one]))
            for one in let
        }
        soft = {one: np.array([kind in unread for kind in one.kinds]) for one in let}
        return [
            Lying(standing, band, next(sizes[standing]), soft[standing][band.rows])
            for standing, band in bands
        ]

    def _between_centres(self, climbing: Climbing, level: int, here: Lying) -> Array | None:
        """What is clear of each column where wires count as their centre lines.

        Only of a book that does not say how it is measured.
        """
        if climbing.convention != "not said":
            return None
        are_wires, row_of = self.about.wires_in(here.standing)
        wires, rows = are_wires[here.band.rows], row_of[here.band.rows]
        sizes = here.sizes.copy()
        thin = self.about.centre_lines().touched(self.levels[level].frame)
        sizes[wires] = thin[rows[wires]]
        return here.clear(sizes)[0]

    def _judge(self, asked: _Asked, column: int, about: _About) -> Judgement:
        level, rule, required = asked
        parts = self.scene.parts
        gap, limit, need = float(about.clear[column]), int(about.limits[column]), required.need
        centres = None if about.centres is None else float(about.centres[column])
        if centres is not None and centres - gap <= _NO_MATTER_IN:
            centres = None
        if need is None:
            missing = required.missing
            return Judgement(
                level, rule, required, gap, None, "cannot say", missing,
                limit=limit, between_centres_in=centres,
            )  # fmt: skip
        tolerance = parts[limit].tolerance_in if limit >= 0 else 0.0
        rests = required.assumed or (parts[limit].assumed if limit >= 0 else "")
        said = verdict(gap, need, tolerance, assumed=bool(rests))
        allowed = missing = ""
        if said == "short":
            eased = self._eased(about, level, column, gap, need)
            if eased is not None:
                (gap, need, allowed), said = eased, "tight"
        if said != "short":
            missing = self._unread(about, column, need) or self._lost(about, level, column, need)
            said = "cannot say" if missing else said
        return Judgement(
            level, rule, required, gap, need, said, missing, allowed, limit, tolerance, centres
        )

    def _unread(self, about: _About, column: int, need: float) -> str:
        """What reaches in that the book says nothing readable of."""
        lying = about.lying
        if about.softest is None or about.softest[column] >= need - HAIR_IN:
            return ""
        rows = lying.band.rows[lying.soft & (lying.sizes[:, column] < need - HAIR_IN)]
        names = {lying.standing.kinds[row] for row in rows.tolist()}
        return unread_words("climbing", names)

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
        frame, fouling = self.levels[level].frame, about.lying.fouling()
        for way, hand in ((aside, "right"), (-aside, "left")):
            sizes = sizes_when_touched([(frame, fouling)], way)[:, column]
            moved = float(sizes.min(initial=LARGEST_IN))
            if is_at_least(moved, need):
                off = exact(self.scene.job, aside, "up")
                words = f"stands {off} to the {hand} "
                words += "of the pole's centre line, where live parts keep their own distance"
                return moved, need, words
        return None

    # Counting

    def _counts(
        self, climbing: Climbing, rules: Sequence[Rule], width: float | None
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
            standing = self.about.standing(thick=climbing.convention != "centre")
            rows = np.nonzero(np.isin(standing.part, numbers))[0]
            touched = standing.touched(frame)[rows]
            for column in range(COLUMNS):
                met = rows[touched[:, column] < width - HAIR_IN].tolist()
                inside = standing.inside(frame, column, width, met, foot)
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
        reaches: Sequence[float],
    ) -> tuple[tuple[Column, ...], tuple[Turn, ...]]:
        """The column for each level, and where the way up turns; `columns` come best first.

        The column that is climbed by the job, or the best one if it is not short; else, where
        every level has a column that is not short, the way past them that turns least.
        """
        wanted = self.scene.job.settings.climbing_side
        best = columns[0]
        if wanted:
            asked = azimuth_of_point(wanted)
            best = min(columns, key=lambda column: _apart(asked, column.azimuth_deg))
        straight = tuple(best for _ in self.levels)
        if wanted or best.verdict != "short":
            return straight, ()
        short_at = {
            column.number: {one.level for one in column.judged if one.verdict == "short"}
            for column in columns
        }
        countable = [
            column for column in columns if all(one.verdict != "short" for one in column.counts)
        ]
        open_to = [
            [column for column in countable if level not in short_at[column.number]]
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
                    both = past[-1], column
                    turn = self._turn(climbing, turning, (upper, lower), both, reaches)
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
                    (spoken[number - 1], spoken[number]),
                    (chosen[number - 1], chosen[number]),
                    reaches,
                )
            )
        ]
        at = dict(zip(spoken, chosen, strict=True))
        return tuple(at.get(level, best) for level in range(len(self.levels))), tuple(turns)

    def _turn(
        self,
        climbing: Climbing,
        rule: Rule | None,
        between: tuple[int, int],
        columns: tuple[Column, Column],
        reaches: Sequence[float],
    ) -> Turn | None:
        (upper, lower), (above, below) = between, columns
        if rule is None or climbing.turn is None or above.number == below.number:
            return None
        required = requirement(rule, (), self.scene.job.settings.assume_up_to_kv)
        if required.need is None:
            return None
        degrees = _apart(above.azimuth_deg, below.azimuth_deg)
        apart = self.levels[upper].low - self.levels[lower].high
        need = turn_needs_in(degrees, climbing.turn.value, required.need)
        left = None
        if climbing.reach:
            left = max(0.0, apart - reaches[upper] - reaches[lower])
        wires = [self.scene.parts[self.levels[level].wires[0]] for level in (upper, lower)]
        tolerance = sum(part.tolerance_in for part in wires)
        said = verdict(apart, need, tolerance, assumed=False)
        if said != "short" and (left is None or not is_at_least(left, need)):
            said = "cannot say"
        return Turn(
            rule, required, upper, lower, above, below, degrees, apart, left, need, said, tolerance
        )


def unread_words(room: str, kinds: Iterable[str]) -> str:
    """That nobody read whether some kinds of things may stand in a room; empty for no kinds."""
    names = ", ".join(_WORDS.get(kind, kind) for kind in sorted(kinds))
    return f"whether it may stand in the {room} space is not known here: {names}" if names else ""


def turn_needs_in(degrees: float, limit_deg: float, within_in: float) -> float:
    """The height a turn takes: the whole of `within_in` for each angle of `limit_deg` begun."""
    return math.ceil(degrees / limit_deg - 1e-6) * within_in


def _apart(one_deg: float, other_deg: float) -> float:
    off = abs(one_deg - other_deg) % 360.0
    return min(off, 360.0 - off)


def _bolts_apart(one: Part, other: Part) -> float:
    return abs(one.up_in - other.up_in)
