"""Room to work at the arms of a pole: how high it is between line and buck arm, and beside an arm.

The height lies between the wires of two arms that cross, one next under the other. Beside an arm
the room lies on the side that is climbed, under the arm's wires: along the arm from the climbing
space to the outermost wire, out from its face as far as the climbing space is wide there, and as
high as the book has it. A climbing space that leaves the side open, because it lies along the arm,
may have it on either side.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from framer.checks.bookshelf import WORKING
from framer.checks.finding import Finding, Verdict, verdict
from framer.checks.levels import Level, Surroundings, surroundings
from framer.checks.requirement import NO_SAGS, Requirement, Site, requirement
from framer.checks.room import Column, Judgement, Way, climb, stage_of, unread_words
from framer.checks.rulebook import Rule, Rulebook, When
from framer.checks.rulebook import Working as Book
from framer.checks.voltage import Wired, assumed, volts
from framer.geometry.climbing import (
    LARGEST_IN,
    Edges,
    Frame,
    Intrusion,
    Outline,
    crosses,
    heights_in,
)
from framer.geometry.scene import Array, Box, Part, Run, Scene, Tag
from framer.geometry.space import azimuth_of, compass
from framer.model.place import OnItem
from framer.model.stage import place_at
from framer.units.compare import HAIR_IN, is_at_least
from framer.units.length import length_text

_ARM, _WIRE, _SUPPLY = int(Tag.ARM), int(Tag.WIRE), int(Tag.SUPPLY)
_NEUTRAL, _LIVE, _JUMPER = int(Tag.NEUTRAL), int(Tag.LIVE), int(Tag.JUMPER)


class Carried(Struct, frozen=True):
    """An arm with supply on it: its parts, and its wires with the heights they rest at."""

    owner: str
    boxes: tuple[int, ...]
    wires: tuple[int, ...]
    low: float
    high: float
    missing: str


class Height(Struct, frozen=True):
    """What is said of the height between the wires of two arms that cross.

    `rule` is the one that is kept, or the one that asks least of those that might be. `refused`
    says of each reduction of the book why it is not to be had.
    """

    rule: Rule
    required: Requirement
    upper: Carried
    lower: Carried
    gap_in: float | None
    need_in: float | None
    verdict: Verdict
    missing: str = ""
    allowed: str = ""
    refused: tuple[str, ...] = ()
    tolerance_in: float = 0.0


class Side(Struct, frozen=True):
    """Room along one end of an arm, on the side it faces: its corners in plan, what is in it."""

    azimuth_deg: float
    corners: tuple[tuple[float, float], ...]
    fouling: tuple[Intrusion, ...]
    clear_in: float
    limit: int
    unread: str


class Beside(NamedTuple):
    """What is said of the room beside one arm.

    `low` and `high` are its heights from the job datum; `need_in` is how far out it must be clear,
    `clear_in` how far it is, `None` where the room has no size. No `sides`: the climbing space
    takes all of the arm's length.
    """

    rule: Rule
    required: Requirement | None
    arm: Carried
    column: Column
    low: float
    high: float
    sides: tuple[Side, ...]
    clear_in: float | None
    need_in: float | None
    verdict: Verdict
    missing: str = ""
    limit: int = -1
    tolerance_in: float = 0.0


class Work(Struct, frozen=True):
    """The room to work at one pole by one book, from the top down."""

    scene: Scene
    pole: str
    book: Rulebook
    heights: tuple[Height, ...]
    beside: tuple[Beside, ...]


def work(scene: Scene, books: Sequence[Rulebook]) -> tuple[Work, ...]:
    """The room to work at every pole that is climbed, by every book that asks for it.

    The answer is kept with the scene.
    """
    kept: dict[tuple[Rulebook, ...], tuple[Work, ...]] = scene.kept.setdefault("work", {})
    key = tuple(books)
    if key not in kept:
        kept[key] = tuple(_works(scene, books))
    return kept[key]


def _works(scene: Scene, books: Sequence[Rulebook]) -> Iterator[Work]:
    for way in climb(scene, books):
        book = way.book
        if book.working is None:
            continue
        room = _Room(way, surroundings(scene, way.pole))
        rules = [
            rule
            for rule in book.rules
            if rule.measure in WORKING and stage_of(scene) in rule.stages
        ]
        heights = tuple(room.heights(rules))
        yield Work(scene, way.pole, book, heights, tuple(room.beside(book.working, rules, heights)))


class _Room:
    """The arms of one pole, and the way up that is taken past them."""

    def __init__(self, way: Way, about: Surroundings) -> None:
        self.way, self.about, self.scene = way, about, way.scene
        self.arms = tuple(self._arms())
        self.covered = self._covered()
        self.standing = about.standing(thick=True)
        self.stood = [self.scene.parts[number] for number in self.standing.part.tolist()]
        self.kinds = [
            "jumper" if part.tags & _JUMPER else kind
            for kind, part in zip(self.standing.kinds, self.stood, strict=True)
        ]

    def _arms(self) -> Iterator[Carried]:
        """The arms that carry supply, from the top down."""
        parts = self.scene.parts
        boxes: dict[str, list[int]] = {}
        for number, part in enumerate(parts):
            if part.tags & _ARM and part.pole == self.way.pole:
                boxes.setdefault(part.owner, []).append(number)
        carried: dict[str, list[int]] = {}
        for number in self.about.on_it:
            if parts[number].level in boxes:
                carried.setdefault(parts[number].level or "", []).append(number)
        found = []
        for owner, wires in carried.items():
            if not any(parts[number].tags & _SUPPLY for number in wires):
                continue
            missing = next((parts[number].missing for number in wires if parts[number].missing), "")
            runs = [run for number in wires if isinstance(run := parts[number].shape, Run)]
            heights = [run.p[2] for run in runs] or [0.0]
            found.append(
                Carried(
                    owner, tuple(boxes[owner]), tuple(wires), min(heights), max(heights), missing
                )
            )
        return iter(sorted(found, key=lambda arm: (-arm.low, arm.owner)))

    def _covered(self) -> frozenset[str]:
        """Ids of wires that cover lies on."""
        job, stage = self.scene.job, self.scene.stage
        places = (place_at(job, item, stage) for item in job.items if item.kind == "cover")
        return frozenset(place.host for place in places if isinstance(place, OnItem))

    # How high

    def heights(self, rules: Sequence[Rule]) -> Iterator[Height]:
        """Each arm and the next one under it that crosses it."""
        parts = self.scene.parts
        known = [arm for arm in self.arms if not arm.missing]
        for arm in self.arms:
            # whether it crosses another, and which is over which, is not known either
            if arm.missing and len(self.arms) > 1:
                other = next(one for one in self.arms if one is not arm)
                for rule in rules:
                    if not rule.eases:
                        yield self._height(rule, (), arm, other)
        for number, upper in enumerate(known):
            lower = next(
                (
                    arm
                    for arm in known[number + 1 :]
                    if crosses(parts[upper.boxes[0]], parts[arm.boxes[0]])
                ),
                None,
            )
            if lower is None:
                continue
            for rule in rules:
                if not rule.eases:
                    reductions = [one for one in rules if one.eases == rule.id]
                    yield self._height(rule, reductions, upper, lower)

    def _height(
        self, rule: Rule, reductions: Sequence[Rule], upper: Carried, lower: Carried
    ) -> Height:
        wires = (*upper.wires, *lower.wires)
        required = self._required(rule, wires)
        missing = upper.missing or lower.missing
        if missing:
            return Height(rule, required, upper, lower, None, None, "cannot say", missing)
        parts = self.scene.parts
        gap = upper.low - lower.high
        if rule.convention == "surface":
            gap -= max(_radius(parts[number]) for number in upper.wires)
            gap -= max(_radius(parts[number]) for number in lower.wires)
        tolerance = sum(
            max(parts[number].tolerance_in for number in arm.wires) for arm in (upper, lower)
        )
        eased: list[tuple[Rule, Requirement]] = []
        refused: list[str] = []
        for one in reductions:
            why_not, found = self._eases(one, wires)
            if why_not:
                refused.append(f"{one.title}: not here, {why_not}")
            elif found.need is not None:
                eased.append((one, found))
        least = min(eased, key=lambda one: one[1].need or 0.0, default=None)
        said: Verdict = "cannot say"
        if required.need is not None:
            said = verdict(gap, required.need, tolerance, assumed=bool(required.assumed))
        if least is not None and least[1].need is not None:
            enough = is_at_least(gap, least[1].need)
            if said == "short" and enough:
                return Height(
                    *least, upper, lower, gap, least[1].need, "tight",
                    allowed=least[0].reason, refused=tuple(refused), tolerance_in=tolerance,
                )  # fmt: skip
            if required.need is None and not enough:
                # what the book asks is not known, but no less than what it would be eased to
                rule, required, said = *least, "short"
        return Height(
            rule, required, upper, lower, gap, required.need, said,
            "" if said != "cannot say" else required.missing,
            refused=tuple(refused), tolerance_in=tolerance,
        )  # fmt: skip

    def _wired(self, wires: Sequence[int]) -> tuple[Wired, ...]:
        parts = (self.scene.parts[number] for number in wires)
        ends = {
            (part.circuit, bool(part.tags & _NEUTRAL)) for part in parts if part.circuit is not None
        }
        return tuple(Wired(self.about.circuits[key], neutral) for key, neutral in sorted(ends))

    def _required(self, rule: Rule, wires: Sequence[int]) -> Requirement:
        settings, wired = self.scene.job.settings, self._wired(wires)
        known, key = self.about.required, (id(rule), wired)
        if key not in known:
            site = Site(settings.altitude_m)
            known[key] = rule, requirement(rule, wired, settings.assume_up_to_kv, NO_SAGS, site)
        return known[key][1] or Requirement(nothing=True)

    def _eases(self, rule: Rule, wires: Sequence[int]) -> tuple[str, Requirement]:
        """Why a reduction is not to be had, empty where it is; and what it asks."""
        when, job = rule.when, self.scene.job
        up_to = job.settings.assume_up_to_kv
        required = self._required(rule, wires)
        supply = [one for one in self._wired(wires) if one.circuit.kind == "supply"]
        guessed = [words for one in supply if (words := assumed(one.circuit, up_to, ground=True))]
        if required.nothing or required.need is None:
            return f"at {_highest(rule, supply, up_to):.4g} kV", required
        if guessed:
            return guessed[0], required
        if when.ground_kv is not None:
            to_ground = _to_ground(supply, up_to)
            if not when.ground_kv.holds(to_ground):
                return f"at {to_ground:.4g} kV to ground", required
        if when.arms_at_most is not None and len(self.arms) > when.arms_at_most:
            return f"with {len(self.arms)} arms that carry supply", required
        if when.all_covered:
            bare = self._uncovered(wires)
            if bare:
                return f"{bare} is not covered", required
        return "", required

    def _uncovered(self, wires: Sequence[int]) -> str:
        """What lies bare at two arms, of what carries supply; empty for nothing."""
        parts, label = self.scene.parts, self.scene.job.label
        arms = {parts[number].level for number in wires}
        bare = [
            parts[number]
            for number in wires
            if parts[number].tags & _SUPPLY and parts[number].owner not in self.covered
        ]
        bare += [
            part
            for part in parts
            if part.tags & _LIVE and part.pole == self.way.pole and part.level in arms
        ]
        return label(bare[0].owner) if bare else ""

    # Beside an arm

    def beside(
        self, book: Book, rules: Sequence[Rule], heights: Sequence[Height]
    ) -> Iterator[Beside]:
        """The room beside every arm that the way up passes and the book speaks of."""
        passes = {*book.passes, ""}
        lost = self.about.not_known(passes)
        for arm in self.arms:
            at = [
                number
                for number, level in enumerate(self.way.levels)
                if level.arm is not None and self.scene.parts[level.arm].owner == arm.owner
            ]
            if not at:
                continue
            column = self.way.path[at[0]]
            judged = [one for one in column.judged if one.level in at]
            if judged:
                height = self._as_high(rules, heights, arm)
                level = self.way.levels[at[0]]
                yield self._beside(book, height, arm, level, column, judged, lost[0])

    def _beside(
        self,
        book: Book,
        height: tuple[float | None, str],
        arm: Carried,
        level: Level,
        column: Column,
        judged: Sequence[Judgement],
        lost: Sequence[str],
    ) -> Beside:
        known = max(judged, key=lambda one: one.need_in or -1.0)
        rule = _room_rule(book, known.rule)
        high_in, missing = height
        nobody = next((one.required.missing for one in judged if one.required.missing), "")
        missing = book.unknown or arm.missing or nobody or missing
        if missing or known.need_in is None or high_in is None:
            return Beside(
                rule, None, arm, column, arm.low, arm.low, (), None, None, "cannot say", missing
            )
        # an allowance of the climbing space is none of the room to work
        need = known.required.need or known.need_in
        low, high = arm.low - high_in, arm.low
        sides = self._sides(book, arm, level, column, need, (low, high))
        worst = min(sides, key=lambda side: side.clear_in, default=None)
        clear, limit = (worst.clear_in, worst.limit) if worst else (LARGEST_IN, -1)
        tolerance = self.scene.parts[limit].tolerance_in if limit >= 0 else 0.0
        said = verdict(clear, need, tolerance, assumed=bool(known.required.assumed))
        if said != "short":
            missing = next((side.unread for side in sides if side.unread), "")
            missing = missing or (lost[0] if lost and sides else "")
            said = "cannot say" if missing else said
        return Beside(
            rule, known.required, arm, column, low, high, sides, clear, need, said, missing, limit,
            tolerance,
        )  # fmt: skip

    def _as_high(
        self, rules: Sequence[Rule], heights: Sequence[Height], arm: Carried
    ) -> tuple[float | None, str]:
        """How high the room under an arm's wires must be, or why that is not known."""
        for one in heights:
            if one.upper is arm and one.need_in is not None and one.verdict != "cannot say":
                return one.need_in, ""
        for rule in rules:
            if not rule.eases:
                required = self._required(rule, arm.wires)
                return required.need, required.missing
        return None, "how high the working space must be is not known here"

    def _sides(
        self,
        book: Book,
        arm: Carried,
        level: Level,
        column: Column,
        need: float,
        band: tuple[float, float],
    ) -> tuple[Side, ...]:
        """The room on both ends of an arm; where either face will do, of the one with more."""
        shapes = [
            shape
            for number in arm.boxes
            if isinstance(shape := self.scene.parts[number].shape, Box)
        ]
        first = shapes[0]
        frame = level.frame._replace(out=first.v[:2], right=first.u[:2])
        square = frame.local(np.array(level.frame.square(column.number, need)))
        (left, near), (right, far) = square.min(axis=0), square.max(axis=0)
        runs = [
            run for number in arm.wires if isinstance(run := self.scene.parts[number].shape, Run)
        ]
        along = frame.local(np.array([run.p[:2] for run in runs]))[:, 0]
        thick = np.array([run.r for run in runs])
        ends = (float((along - thick).min()), float((along + thick).max()))
        spans = [
            (low, high)
            for low, high in ((ends[0], float(left)), (float(right), ends[1]))
            if high - low > HAIR_IN
        ]
        middle = float(near + far)
        ways = (1.0, -1.0) if abs(middle) <= HAIR_IN else (1.0 if middle > 0.0 else -1.0,)
        faces = frame.local(np.array([shape.centre[:2] for shape in shapes]))[:, 1]
        half = first.half[1]
        best: tuple[Side, ...] | None = None
        for way in ways:
            face = way * float((way * faces).max() + half)
            lying = self._lying(book, arm, frame, band)
            made = tuple(self._side(frame, span, (face, way, need), lying) for span in spans)
            if best is None or _order(made) > _order(best):
                best = made
        return best or ()

    def _lying(
        self, book: Book, arm: Carried, frame: Frame, band: tuple[float, float]
    ) -> tuple[list[Outline], Array, list[str]]:
        """What stands in a band of height and may not: outlines, sides, kinds not read of."""
        standing, stood, kinds = self.standing, self.stood, self.kinds
        passed = np.array([
            kind in book.passes or _is_of(part, arm)
            for kind, part in zip(kinds, stood, strict=True)
        ])  # fmt: skip
        nothing = np.zeros(len(passed), dtype=bool)
        found = standing.band(frame, *band, nothing, passed)
        rows = found.rows.tolist()
        unread = set[str](book.unread)
        return (
            standing.of(found, rows),
            standing.sides(frame)[found.rows],
            [kinds[row] if kinds[row] in unread else "" for row in rows],
        )

    def _side(
        self,
        frame: Frame,
        span: tuple[float, float],
        out: tuple[float, float, float],
        lying: tuple[list[Outline], Array, list[str]],
    ) -> Side:
        (face, way, need), (outlines, sides, unread) = out, lying
        edges, all_out = (
            Edges(*span, *sorted((face, face + way * size))) for size in (need, LARGEST_IN)
        )
        clear, limit, soft = LARGEST_IN, -1, set[str]()
        fouling: list[Intrusion] = []
        may = (sides[:, 0] < all_out.right) & (sides[:, 1] > all_out.left)
        may &= (sides[:, 2] < all_out.far) & (sides[:, 3] > all_out.near)
        for number in np.nonzero(may)[0].tolist():
            one = outlines[number]

            def look(one: Outline = one) -> tuple[Edges | None, Intrusion | None]:
                """Where it lies far out, and how it reaches into the room itself."""
                points = frame.local(one.points)
                met, wide = edges.met(points), all_out.met(points)
                reach = edges.depth(met) if met else 0.0
                heights = heights_in(self.scene, frame, 0, edges, one) if met else (0.0, 0.0)
                if wide is not None and all_out.depth(wide) <= HAIR_IN:
                    wide = None
                return wide, Intrusion(one.part, reach, *heights) if reach > HAIR_IN else None

            wide, foul = self.standing.once(one, (frame, edges, all_out), look)
            if unread[number]:
                soft.update({unread[number]} if foul else ())
            elif wide is not None:
                from_face = wide.near - face if way > 0.0 else face - wide.far
                if from_face < clear:
                    clear, limit = from_face, one.part
                if foul is not None:
                    fouling.append(foul._replace(part=one.part))
        left, right, near, far = edges
        plan = frame.plan(np.array([(left, near), (right, near), (right, far), (left, far)]))
        return Side(
            azimuth_of((way * frame.out[0], way * frame.out[1], 0.0)),
            tuple((float(x), float(y)) for x, y in plan),
            tuple(sorted(fouling, key=lambda one: -one.reach_in)),
            max(0.0, clear),
            limit,
            unread_words("working", soft),
        )


def _order(sides: Sequence[Side]) -> tuple[float, bool]:
    """The more room the better, and what is known before what is not."""
    return (
        min((side.clear_in for side in sides), default=LARGEST_IN),
        not any(side.unread for side in sides),
    )


def _is_of(part: Part, arm: Carried) -> bool:
    """Whether a part belongs to an arm: itself, or a wire that rests on it."""
    return part.owner == arm.owner or bool(part.tags & _WIRE and part.level == arm.owner)


def _radius(part: Part) -> float:
    return part.shape.r if isinstance(part.shape, Run) else 0.0


def _highest(rule: Rule, supply: Sequence[Wired], up_to_kv: float) -> float:
    return max(volts(rule.voltage, tuple(supply), up_to_kv).kv)


def _to_ground(supply: Sequence[Wired], up_to_kv: float) -> float:
    """The most volts to ground of any circuit."""
    return max(
        (
            kv
            for one in supply
            for kv in volts("to ground", (one._replace(neutral=False),), up_to_kv).kv
        ),
        default=0.0,
    )


def _room_rule(book: Book, width: Rule) -> Rule:
    """The room beside an arm as a rule: as far out as the climbing space is wide."""
    return replace(
        width,
        id=book.id,
        title=book.title,
        measure="working space",
        b=None,
        when=When(),
        source=book.source,
        note=book.note,
        relaxes="",
        replaces="",
    )


def working_findings(scene: Scene, books: Sequence[Rulebook]) -> Iterator[Finding]:
    """What the books say of the room to work."""
    told: set[str] = set()
    for one in work(scene, books):
        for finding in (*_height_findings(one), *_beside_findings(one)):
            # a book and one that changes it say the same of what is not changed
            if finding.key not in told:
                told.add(finding.key)
                yield finding


def _height_findings(found: Work) -> Iterator[Finding]:
    parts = found.scene.parts
    unsaid: dict[str, Finding] = {}
    for one in found.heights:
        upper, lower = (parts[arm.boxes[0]] for arm in (one.upper, one.lower))
        if one.verdict == "cannot say":
            known = unsaid.get(one.missing)
            unsaid[one.missing] = Finding(
                one.rule, upper, lower, "cannot say", missing=one.missing,
                count=known.count + 1 if known else 1, reading="; ".join(one.refused),
            )  # fmt: skip
            continue
        yield Finding(
            one.rule,
            upper,
            lower,
            one.verdict,
            one.gap_in,
            one.need_in,
            one.tolerance_in,
            assumed="; ".join(filter(None, (one.required.assumed, one.allowed))),
            required=one.required,
            reading="; ".join(one.refused) if one.verdict == "short" else "",
        )
    yield from unsaid.values()


def _beside_findings(found: Work) -> Iterator[Finding]:
    parts, job = found.scene.parts, found.scene.job
    unsaid: dict[str, Finding] = {}
    for one in found.beside:
        arm = parts[one.arm.boxes[0]]
        if one.verdict == "cannot say":
            known = unsaid.get(one.missing)
            unsaid[one.missing] = Finding(
                one.rule, arm, None, "cannot say", missing=one.missing,
                count=known.count + 1 if known else 1,
            )  # fmt: skip
            continue
        deepest: dict[str, Intrusion] = {}
        for side in one.sides:
            for foul in side.fouling:
                deepest.setdefault(parts[foul.part].owner, foul)
        foot = found.scene.poles[found.pole].foot[2]
        system = job.settings.units
        ends = (
            length_text(height - foot, step_in=1.0, system=system) for height in (one.low, one.high)
        )
        way = one.sides[0].azimuth_deg if one.sides else one.column.azimuth_deg
        where = "{} of the arm, from {} to {}".format(compass(way, words=True), *ends)
        if not one.sides:
            where += "; the climbing space takes all of the arm"
        if deepest:
            where += "; in it: " + ", ".join(
                f"{job.label(owner)} {length_text(foul.reach_in, toward='up', system=system)}"
                for owner, foul in deepest.items()
            )
        yield Finding(
            one.rule,
            arm,
            parts[one.limit] if one.limit >= 0 else None,
            one.verdict,
            one.clear_in,
            one.need_in,
            one.tolerance_in,
            assumed=one.required.assumed if one.required else "",
            required=one.required,
            where=where,
        )
    yield from unsaid.values()
