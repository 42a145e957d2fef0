"""Which rules speak of which pairs of parts, and what they require: all that place has no say in.

What a rule requires of two parts depends on what they are, not on where they are. So that is
worked out once for a structure and kept: while an arm is dragged the structure stays, and a check
is only the arithmetic of distances.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple, TypeAlias

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from framer.checks.bookshelf import CLIMBING, WORKING
from framer.checks.relaxing import cannot_relax
from framer.checks.requirement import NO_SAGS, Requirement, Sags, Site, requirement
from framer.checks.rulebook import (
    INCHES_PER,
    Likeness,
    MeasureName,
    Range,
    Rule,
    Rulebook,
    RuleStage,
    Selector,
    When,
)
from framer.checks.voltage import Wired, as_connected, assumed, tries
from framer.geometry.scene import Run, Scene, Tag
from framer.model.job import Job
from framer.model.line import Circuit, GroundUse
from framer.model.stage import Stage, crew_leaves, join_at
from framer.stock.catalogue import catalogue
from framer.stock.part import ArmPart

Whole: TypeAlias = NDArray[np.int64]
Real: TypeAlias = NDArray[np.float64]
Yes: TypeAlias = NDArray[np.bool_]

SELECTORS: dict[Selector, tuple[Tag, Tag]] = {
    "wire": (Tag.WIRE, Tag.NEARBY),
    "supply wire": (Tag.WIRE | Tag.SUPPLY, Tag.NEARBY),
    "phase": (Tag.WIRE | Tag.PHASE, Tag.NEARBY),
    "neutral": (Tag.WIRE | Tag.NEUTRAL, Tag.NEARBY),
    "open supply wire": (Tag.WIRE | Tag.SUPPLY, Tag.NEARBY | Tag.CABLE),
    "supply cable": (Tag.WIRE | Tag.SUPPLY | Tag.CABLE, Tag.NEARBY),
    "service drop": (Tag.WIRE | Tag.SUPPLY | Tag.DROP, Tag.NEARBY),
    "communications": (Tag.WIRE | Tag.COMMUNICATIONS, Tag.NEARBY),
    "communications drop": (Tag.WIRE | Tag.COMMUNICATIONS | Tag.DROP, Tag.NEARBY),
    "nearby wire": (Tag.WIRE | Tag.NEARBY, Tag(0)),
    "nearby supply": (Tag.WIRE | Tag.NEARBY | Tag.SUPPLY, Tag(0)),
    "nearby phase": (Tag.WIRE | Tag.NEARBY | Tag.PHASE, Tag(0)),
    "nearby communications": (Tag.WIRE | Tag.NEARBY | Tag.COMMUNICATIONS, Tag(0)),
    "pole": (Tag.POLE, Tag(0)),
    "arm": (Tag.ARM, Tag(0)),
    "guy": (Tag.GUY, Tag(0)),
    "anchor guy": (Tag.GUY | Tag.ANCHORED, Tag(0)),
    "span guy": (Tag.GUY, Tag.ANCHORED),
    "case": (Tag.CASE, Tag(0)),
    "grounded case": (Tag.CASE | Tag.GROUNDED, Tag(0)),
    "supply case": (Tag.CASE, Tag.COMMUNICATIONS | Tag.LAMP),
    "communications case": (Tag.CASE | Tag.COMMUNICATIONS, Tag(0)),
    "lamp": (Tag.CASE | Tag.LAMP, Tag(0)),
    "meter": (Tag.CASE | Tag.METER, Tag(0)),
    "live part": (Tag.LIVE, Tag(0)),
    "run": (Tag.RUN, Tag(0)),
    "riser": (Tag.RUN, Tag.EARTH),
    "ground wire": (Tag.RUN | Tag.EARTH, Tag(0)),
    "insulator": (Tag.INSULATOR, Tag(0)),
    "jumper": (Tag.JUMPER, Tag(0)),
    "worker": (Tag.WORKER, Tag(0)),
    "bore": (Tag.BORE, Tag(0)),
    "factory bore": (Tag.BORE | Tag.FACTORY, Tag(0)),
    "bore of a fitting": (Tag.BORE, Tag.FACTORY | Tag.ARM_BOLT),
    "space": (Tag.SPACE, Tag(0)),
}
"""Tags a part must have, and must not have, to be what a rule speaks of."""

_NUMBERS = {name: (int(has), int(lacks)) for name, (has, lacks) in SELECTORS.items()}


class PartKind(Struct, frozen=True):
    """All of a part that findings depend on, but for where it is."""

    tags: int
    owner: str
    pole: str | None
    level: str | None
    support: str | None
    circuit: str | None
    node: int
    style: str
    over: GroundUse | None
    span: str | None
    span_in: float | None
    sag_in: float | None
    sag_most_in: float | None
    kcmil: float | None
    material: str
    missing: str
    missing_far: str
    assumed: str


class Structure(Struct, frozen=True):
    """The parts of a scene without their places, and what decides about voltages."""

    parts: tuple[PartKind, ...]
    circuits: tuple[Circuit, ...]
    stage: RuleStage
    assume_up_to_kv: float
    built: str
    site: Site


class Rows(NamedTuple):
    """Everything to be judged, a pair a row: part `a` against `b`, the same for a single part.

    `rule` and the text numbers (`unsaid` of the need or the parts' places, `lost_far` of their
    far ends, `assumed` of the voltage) point into the plan's lists; text 0 is empty. `pair` is
    the number of the row's pair in `Pairs`.
    `surface`: take off radii. `most`: the need is the most there may be; `strict`: a gap of just
    the need is short. Rows of one `spot` are the same wires on the same supports, whichever way
    they leave; of one `kind`, those of one book measured one way. `cell` is the number of the
    requirement in the plan.
    """

    a: Whole
    b: Whole
    rule: Whole
    need: Real
    cell: Whole
    unsaid: Whole
    lost_far: Whole
    assumed: Whole
    pair: Whole
    surface: Yes
    most: Yes
    strict: Yes
    spot: Whole
    kind: Whole


class Pairs(NamedTuple):
    """The different pairs of each measure; rules and books ask the same distance many times."""

    a: Whole
    b: Whole


class Placed(Struct, frozen=True):
    """Rows that speak only of parts that lie as their rule asks.

    `a` and `b` are the different pairs among these rows, `which` the pair of each `row`. Row by
    row, `closer` is the limit of a rule for parts closer together up and down, `within_up` and
    `within_side` of one for parts no farther apart than both; `above` is 1 for one that wants the
    first higher, -1 lower, 0 either way. `crossed` are the pairs, by number, that a rule for wires
    that cross speaks of; `crossing` has of each such rule the places in these columns of its rows,
    which of the crossed pairs they are, and how far from the first's support they are to cross.
    """

    row: Whole
    a: Whole
    b: Whole
    which: Whole
    closer: Real
    within_up: Real
    within_side: Real
    above: Whole
    crossed: Whole
    crossing: tuple[tuple[Whole, Whole, Range], ...]


class Boxed(NamedTuple):
    """Rows that are met together, a pair a line; -1 for none.

    Row numbers of the strictest number and of a need that is not known, for each way to measure.
    """

    horizontal: Whole
    horizontal_unknown: Whole
    vertical: Whole
    vertical_unknown: Whole
    mid_span: Whole
    mid_span_unknown: Whole


class Plan(NamedTuple):
    """Everything to be measured for a structure under some books.

    `measures` says which pairs, from and up to, are measured how; `spots` is how many there are;
    `books` are those it was made for.
    """

    rules: tuple[Rule, ...]
    texts: tuple[str, ...]
    cells: tuple[Requirement, ...]
    rows: Rows
    pairs: Pairs
    measures: tuple[tuple[MeasureName, int, int], ...]
    placed: Placed
    spots: int
    boxed: Boxed
    books: tuple[Rulebook, ...]


class _Class(Struct, frozen=True):
    """What a requirement depends on."""

    tags: int
    wired: tuple[Wired, ...]
    joint_use: bool
    style: str
    over: GroundUse | None
    span_in: float | None
    sag_in: float | None
    sag_most_in: float | None
    kcmil: float | None
    material: str

    @property
    def kvs(self) -> tuple[float | None, ...]:
        """Voltages between phases of its circuits: 0 for communications, `None` not known."""
        return tuple(
            0.0 if end.circuit.kind == "communications" else end.circuit.kv for end in self.wired
        )

    @property
    def grounded(self) -> bool:
        """Whether it is an effectively grounded neutral or a bonded case."""
        if self.tags & _WIRE:
            return bool(self.wired) and all(end.grounded for end in self.wired)
        return bool(self.tags & _GROUNDED)


def rule_stage(job: Job, stage: Stage) -> RuleStage:
    """The kind of stage, for the choice of rules."""
    if stage == "found" or stage == "framed":
        return stage
    return "crew leaves" if crew_leaves(job, stage) else "temporary"


def connected_circuits(scene: Scene) -> tuple[Circuit, ...]:
    """The job's circuits, those wired together at the scene's stage at the volts they share."""
    return as_connected(scene.job.circuits, _wired_together(scene))


def _wired_together(scene: Scene) -> Iterator[tuple[str, str]]:
    """Circuits that have phase wires joined to each other at the scene's stage."""
    job = scene.job
    for join in job.joins:
        state = join_at(job, join, scene.stage)
        one, two = job.wire_by_id.get(join.a), job.wire_by_id.get(join.b)
        if state is None or state.made == "open" or one is None or two is None:
            continue
        if one.phase in _PHASES and two.phase in _PHASES and one.circuit != two.circuit:
            yield one.circuit, two.circuit


def structure(scene: Scene, stage: RuleStage) -> Structure:
    """The structure of a scene."""
    job = scene.job
    kinds = []
    materials = {
        item.id: stock.material
        for item in job.items
        if isinstance(stock := catalogue().get(item.part or ""), ArmPart)
    }
    for part in scene.parts:
        span = None
        if part.tags & _WIRE and not part.tags & _NEARBY:
            span = job.span_by_id[job.wire_by_id[part.owner].span]
        shape = part.shape
        kinds.append(
            PartKind(
                part.tags,
                part.owner,
                part.pole,
                part.level,
                part.support,
                part.circuit,
                part.node,
                part.style,
                span.over if span else None,
                span.id if span else None,
                span.length_in if span else None,
                shape.sag_in if isinstance(shape, Run) else None,
                shape.sag_most_in if isinstance(shape, Run) else None,
                part.kcmil,
                materials.get(part.level or "", ""),
                part.missing,
                part.missing_far,
                part.assumed,
            )
        )
    settings = job.settings
    return Structure(
        tuple(kinds),
        connected_circuits(scene),
        stage,
        settings.assume_up_to_kv,
        settings.built,
        Site(settings.altitude_m),
    )


_PHASES = ("A", "B", "C")
_WIRE, _NEARBY, _NEUTRAL = int(Tag.WIRE), int(Tag.NEARBY), int(Tag.NEUTRAL)
_BOTH = int(Tag.SUPPLY | Tag.COMMUNICATIONS)
_FACTORY = int(Tag.FACTORY)
_JUMPER = int(Tag.JUMPER)
_CARRIERS = int(Tag.ARM | Tag.INSULATOR)
_COVERED, _GROUNDED = int(Tag.COVERED), int(Tag.GROUNDED)
_AT_VOLTS, _EARTH = int(Tag.LIVE | Tag.CASE | Tag.RUN), int(Tag.EARTH)
_ABOVE: dict[bool | None, int] = {None: 0, True: 1, False: -1}
_SIDES: dict[MeasureName, int] = {"horizontal": 0, "vertical": 2, "mid-span": 4}
"""Where in `Boxed` a measure has its rows with a number; those without one come next."""
MM2_PER_KCMIL = 0.506707
"""Square millimetres in a thousand circular mils: pi/4 times 0.0254 squared, times 1,000."""


@lru_cache(maxsize=16)
def plan(built: Structure, books: tuple[Rulebook, ...]) -> Plan:
    """The plan of a structure under some books."""
    return _Planning(built).plan(books)


def asked_of(
    built: Structure, books: Sequence[Rulebook], a: int, b: int
) -> list[tuple[Rule, Requirement]]:
    """Every rule that speaks of two parts, given by their numbers, and what it requires.

    Conditions of place (closer, above, within) are not looked at.
    """
    planning = _Planning(built)
    one, two = (planning.classes[planning.class_of[number]] for number in (a, b))
    found = []
    for book in books:
        for rule in book.rules:
            if not planning.speaks(rule) or (rule.b is None) != (a == b):
                continue
            for first, second in ((one, two), (two, one)):
                if selects(rule.a, first.tags) and (rule.b is None or selects(rule.b, second.tags)):
                    cell = planning.cell(rule, first, second)
                    if cell is not None:
                        found.append((rule, cell))
                    break
    return found


class _Found(Struct, frozen=True):
    """One rule's pairs and what it requires of each: `cell` is the number of the requirement."""

    rule: int
    a: Whole
    b: Whole
    need: Real
    cell: Whole

    def picked(self, rows: Whole) -> _Found:
        """Only some of the pairs."""
        return _Found(self.rule, self.a[rows], self.b[rows], self.need[rows], self.cell[rows])


_MOST_KEPT = 50_000


class _Kept:
    """What rules require of classes, from all plans at one place; it does not depend on the stage.

    Classes and rules stay alive with it, so that a number or an `id` means one of them.
    """

    def __init__(self) -> None:
        self.cells: dict[tuple[int, int, int], tuple[Rule, Requirement | None]] = {}
        self._numbers: dict[_Class, int] = {}

    def number(self, one: _Class) -> int:
        """The number of a class."""
        return self._numbers.setdefault(one, len(self._numbers))

    def let_go(self) -> None:
        """Forget everything where it has become a lot, as while the sag of a wire is changed."""
        if len(self.cells) > _MOST_KEPT or len(self._numbers) > _MOST_KEPT:
            self.cells.clear()
            self._numbers.clear()


@lru_cache(maxsize=4)
def _kept(assume_up_to_kv: float, built: str, site: Site) -> _Kept:
    """What is kept for jobs that differ in nothing else that a requirement depends on."""
    del assume_up_to_kv, built, site
    return _Kept()


class _Planning:
    def __init__(self, built: Structure) -> None:
        self.built = built
        self.count = len(built.parts)
        self.rules: list[Rule] = []
        self.cells: list[Requirement] = []
        self.texts: dict[str, int] = {"": 0}
        self._known_as: dict[Selector, tuple[list[int], Whole]] = {}
        self.classes, self.class_of = self._classify()
        self.kept = _kept(built.assume_up_to_kv, built.built, built.site)
        self.kept.let_go()
        self.kept_as = [self.kept.number(one) for one in self.classes]
        self.owner = _numbered(part.owner for part in built.parts)
        # both members of a double arm are one arm where only its bolt counts
        self.bolted = _numbered(
            f"{part.owner} {number}" if part.tags & _FACTORY else part.owner
            for number, part in enumerate(built.parts)
        )
        self.level = _numbered(part.level for part in built.parts)
        # the pieces of a jumper are one wire
        self.hung = _numbered(
            f"{part.support} {part.node}"
            if part.support
            else f"{part.owner} jumper"
            if part.tags & _JUMPER
            else str(number)
            for number, part in enumerate(built.parts)
        )
        self.pole = _numbered(part.pole for part in built.parts)
        self.span = _numbered(part.span for part in built.parts)
        self.node = np.array([part.node for part in built.parts], dtype=np.int64)
        self.missing = self._texts(part.missing for part in built.parts)
        self.far = self._texts(part.missing_far for part in built.parts)

    def plan(self, books: Sequence[Rulebook]) -> Plan:
        groups: dict[MeasureName, list[_Found]] = {}
        boxes: list[list[_Found]] = []
        spoken = self._spoken(books)
        for book in books:
            of_book: dict[MeasureName, list[_Found]] = {}
            in_boxes: dict[str, list[_Found]] = {}
            for rows in spoken.get(id(book), ()):
                rule = self.rules[rows.rule]
                if rule.box:
                    in_boxes.setdefault(rule.box, []).append(rows)
                else:
                    of_book.setdefault(rule.measure, []).append(rows)
            for measure, found in of_book.items():
                groups.setdefault(measure, []).extend(self._strictest(found))
            boxes.extend(self._strictest(found) for found in in_boxes.values())
        for box in boxes:
            for rows in box:
                groups.setdefault(self.rules[rows.rule].measure, []).append(rows)
        every = [rows for found in groups.values() for rows in found]
        ends = np.cumsum([0, *(len(rows.a) for rows in every)]).tolist()
        places = {id(rows): start for rows, start in zip(every, ends, strict=False)}
        pairs, pair, measures = self._pairs(groups)
        table = self._table(every, pair)
        return Plan(
            tuple(self.rules),
            tuple(self.texts),
            tuple(self.cells),
            table,
            pairs,
            measures,
            self._placed(table),
            int(table.spot.max(initial=-1)) + 1,
            self._boxed(boxes, places),
            tuple(books),
        )

    def speaks(self, rule: Rule) -> bool:
        """Whether a rule speaks of pairs at this stage; room to climb is judged by levels."""
        return self.built.stage in rule.stages and rule.measure not in (*CLIMBING, *WORKING)

    def _spoken(self, books: Sequence[Rulebook]) -> dict[int, list[_Found]]:
        """Each book's rules with the pairs they speak of, without those a rule relaxes."""
        spoken: dict[int, list[_Found]] = {}
        eased: dict[str, Yes] = {}
        by_id = {rule.id: rule for book in books for rule in book.rules}
        for book in books:
            for rule in book.rules:
                rows = self._rows(rule) if self.speaks(rule) else None
                if rows is None:
                    continue
                spoken.setdefault(id(book), []).append(rows)
                relaxed = by_id.get(rule.relaxes)
                if relaxed is not None and not cannot_relax(rule, relaxed):
                    # what is assumed or not known takes nothing off what another book asks
                    cells = [self.cells[number] for number in rows.cell.tolist()]
                    sure = [cell.need is not None and not cell.assumed for cell in cells]
                    nothing = np.zeros(self.count**2, dtype=bool)
                    eased.setdefault(relaxed.id, nothing)[self._pair(rows)[sure]] = True
        if not eased:
            return spoken
        return {key: list(self._not_eased(found, eased)) for key, found in spoken.items()}

    def _not_eased(self, found: list[_Found], eased: dict[str, Yes]) -> Iterator[_Found]:
        for rows in found:
            relaxed = eased.get(self.rules[rows.rule].id)
            if relaxed is None:
                yield rows
                continue
            pick = np.nonzero(~relaxed[self._pair(rows)])[0]
            if len(pick):
                yield rows.picked(pick)

    def _pairs(
        self, groups: dict[MeasureName, list[_Found]]
    ) -> tuple[Pairs, Whole, tuple[tuple[MeasureName, int, int], ...]]:
        """The different pairs of each measure, the number of every row's, where measures lie."""
        different, numbers, measures, first = [], [], [], 0
        for measure, found in groups.items():
            pair = _joined([rows.a * self.count + rows.b for rows in found])
            pairs, which = np.unique(pair, return_inverse=True)
            different.append(pairs)
            numbers.append(which + first)
            measures.append((measure, first, first + len(pairs)))
            first += len(pairs)
        return Pairs(*np.divmod(_joined(different), self.count)), _joined(numbers), tuple(measures)

    def _placed(self, table: Rows) -> Placed:
        """The rows whose rules have a condition of place, and these conditions."""
        whens = [rule.when for rule in self.rules]
        asks = [
            (when.closer_than_in, when.a_above, when.within, when.crossing) != (None,) * 4
            for when in whens
        ]
        row = np.nonzero(np.array(asks, dtype=bool)[table.rule])[0]
        rule = table.rule[row]
        pair = table.a[row] * self.count + table.b[row]
        pairs, which = np.unique(pair, return_inverse=True)
        limits = [when.closer_than_in for when in whens]
        near = [when.within for when in whens]
        across = [when.crossing is not None for when in whens]
        at = np.nonzero(np.array(across, dtype=bool)[rule])[0]
        crossed, of = np.unique(which[at], return_inverse=True)
        return Placed(
            row,
            *np.divmod(pairs, self.count),
            which,
            np.array([np.inf if limit is None else limit for limit in limits])[rule],
            np.array([one.up_in if one else np.inf for one in near])[rule],
            np.array([one.sideways_in if one else np.inf for one in near])[rule],
            np.array([_ABOVE[when.a_above] for when in whens], dtype=np.int64)[rule],
            crossed,
            tuple(
                (at[rule[at] == number], of[rule[at] == number], when.crossing)
                for number, when in enumerate(whens)
                if when.crossing is not None
            ),
        )

    def _text(self, text: str) -> int:
        return self.texts.setdefault(text, len(self.texts))

    def _texts(self, texts: Iterable[str]) -> Whole:
        return np.array([self._text(text) for text in texts], dtype=np.int64)

    def _classify(self) -> tuple[list[_Class], Whole]:
        parts = self.built.parts
        circuits = {circuit.id: circuit for circuit in self.built.circuits}
        carried: dict[str, set[tuple[str, bool]]] = {}
        kinds_on: dict[str | None, int] = {}
        for part in parts:
            if part.tags & _WIRE and part.circuit is not None:
                for carrier in (part.level, part.support):
                    if carrier is not None:
                        wires = carried.setdefault(carrier, set())
                        wires.add((part.circuit, bool(part.tags & _NEUTRAL)))
                kinds_on[part.pole] = kinds_on.get(part.pole, 0) | part.tags
        numbers: dict[_Class, int] = {}
        class_of = np.empty(len(parts), dtype=np.int64)
        for index, part in enumerate(parts):
            wires = set()
            if part.circuit is not None:
                wires = {(part.circuit, bool(part.tags & _NEUTRAL))}
            elif part.tags & _CARRIERS:
                wires = carried.get(part.owner, set())
            wired = tuple(Wired(circuits[key], neutral) for key, neutral in sorted(wires))
            joint = kinds_on.get(part.pole, 0) & _BOTH == _BOTH
            key = _Class(
                part.tags,
                wired,
                joint,
                part.style,
                part.over,
                part.span_in,
                part.sag_in,
                part.sag_most_in,
                part.kcmil,
                part.material,
            )
            class_of[index] = numbers.setdefault(key, len(numbers))
        return list(numbers), class_of

    def _rows(self, rule: Rule) -> _Found | None:
        """The pairs a rule speaks of; `None` when there are none."""
        number = len(self.rules)
        self.rules.append(rule)
        count, begun = len(self.classes), len(self.cells)
        cell_of = np.full((count, count), -1, dtype=np.int64)
        first, a = self._selected(rule.a)
        second, b = self._selected(rule.b or rule.a)
        for i in first:
            for j in second if rule.b is not None else (i,):
                cell = self._known_cell(rule, i, j)
                if cell is not None:
                    cell_of[i, j] = len(self.cells)
                    self.cells.append(cell)
        if len(self.cells) == begun:
            return None
        if rule.b is None:
            a = b = a[cell_of.diagonal()[self.class_of[a]] >= 0]
        else:
            one, other = np.nonzero(cell_of[np.ix_(self.class_of[a], self.class_of[b])] >= 0)
            a, b = a[one], b[other]
            keep = self._distinct(rule, a, b)
            a, b = a[keep], b[keep]
        if not len(a):
            return None
        cell_no = cell_of[self.class_of[a], self.class_of[b]]
        return _Found(number, a, b, _needs(self.cells[begun:])[cell_no - begun], cell_no)

    def _selected(self, selector: Selector) -> tuple[list[int], Whole]:
        """The classes a selector speaks of, and the parts of these."""
        known = self._known_as.get(selector)
        if known is None:
            meant = np.array([selects(selector, one.tags) for one in self.classes], dtype=bool)
            parts = np.nonzero(meant[self.class_of])[0]
            known = self._known_as[selector] = np.nonzero(meant)[0].tolist(), parts
        return known

    def _known_cell(self, rule: Rule, i: int, j: int) -> Requirement | None:
        """The cell of two classes by their numbers here, kept for plans that follow."""
        key = (id(rule), self.kept_as[i], self.kept_as[j])
        known = self.kept.cells.get(key)
        if known is None or known[0] is not rule:
            cell = self.cell(rule, self.classes[i], self.classes[j])
            known = self.kept.cells[key] = rule, cell
        return known[1]

    def cell(self, rule: Rule, a: _Class, b: _Class) -> Requirement | None:
        """What a rule requires of two classes; `None` where it does not speak of them."""
        unknown = _meet(rule, a, b, self.built)
        if unknown is None:
            return None
        unknown = unknown or _no_circuit(rule, a, b)
        if unknown:
            return Requirement(missing=unknown)
        wired = a.wired if rule.b is None else (*a.wired, *b.wired)
        built = self.built
        cell = requirement(rule, wired, built.assume_up_to_kv, _sags(rule, a, b), built.site)
        if cell.nothing:
            return None
        if rule.measure == "not drawn":
            return Requirement(missing=f"{rule.title}: framer draws nothing to measure it by")
        guessed = [
            assumed(end.circuit, built.assume_up_to_kv)
            for asked, one in ((rule.when.a_kv, a), (rule.when.b_kv, b))
            for end in one.wired
            if asked is not None and end.circuit.kind == "supply"
        ]
        words = [one for one in guessed if one and one not in cell.assumed]
        if not words:
            return cell
        return replace(cell, assumed="; ".join(filter(None, (cell.assumed, *words))))

    def _distinct(self, rule: Rule, a: Whole, b: Whole) -> Yes:
        """Which pairs are two things at different potentials, each pair once."""
        keep: Yes = self.owner[a] != self.owner[b]
        keep &= (self.node[a] < 0) | (self.node[a] != self.node[b])
        # a pair the rule speaks of either way round is judged once: the way that lies as it asks
        either = np.zeros(self.count**2, dtype=bool)
        either[b * self.count + a] = True
        if rule.when.a_above is None or rule.box:
            keep &= (a < b) | ~either[a * self.count + b]
        for asked, of in ((rule.when.level, self.level), (rule.when.pole, self.pole)):
            if asked is not None:
                same = of[a] == of[b]
                keep &= same if asked == "same" else ~same
        if rule.measure in ("mid-span", "line of sight"):
            keep &= self.span[a] == self.span[b]
        return keep

    def _strictest(self, found: list[_Found]) -> list[_Found]:
        """Of rules that measure a pair the same way, only the most demanding of each pair.

        A need that is not known hides no number and is hidden by none: both are told.
        """
        best: dict[tuple[str, str], Real] = {}
        for rows in found:
            held = best.setdefault(self._way(rows), np.full(self.count**2, -1.0))
            np.fmax.at(held, self._pair(rows), rows.need)
        kept = []
        taken: dict[tuple[str, str, bool], Yes] = {}
        for rows in found:
            pair, known = self._pair(rows), ~np.isnan(rows.need)
            strictest = ~known | (rows.need >= best[self._way(rows)][pair])
            for number in (True, False):
                nothing = np.zeros(self.count**2, dtype=bool)
                done = taken.setdefault((*self._way(rows), number), nothing)
                pick = np.nonzero(strictest & (known == number) & ~done[pair])[0]
                done[pair[pick]] = True
                if len(pick):
                    kept.append(rows.picked(pick))
        return kept

    def _way(self, rows: _Found) -> tuple[str, str]:
        rule, when = self.rules[rows.rule], self.rules[rows.rule].when
        if rule.most or rule.measure == "not drawn":
            return rule.measure, rule.id
        # a condition of place may not hold, so such a rule hides no other
        place = (when.closer_than_in, when.a_above, when.within, when.crossing, rule.at_limit)
        return rule.measure, f"{rule.convention} {place}"

    def _pair(self, rows: _Found) -> Whole:
        low, high = np.minimum(rows.a, rows.b), np.maximum(rows.a, rows.b)
        return low * self.count + high

    def _boxed(self, boxes: list[list[_Found]], places: dict[int, int]) -> Boxed:
        """Tie the directions of each pair in a box together.

        `places` is where a rule's rows begin; `_strictest` gives those with a number and those
        without one apart.
        """
        both: list[list[int]] = []
        for box in boxes:
            tied: dict[int, list[int]] = {}
            for rows in box:
                side = _SIDES[self.rules[rows.rule].measure] + int(np.isnan(rows.need[0]))
                for place, pair in enumerate(self._pair(rows).tolist(), start=places[id(rows)]):
                    tied.setdefault(pair, [-1] * len(Boxed._fields))[side] = place
            both.extend(tied.values())
        return Boxed(*np.array(both, dtype=np.int64).reshape(-1, len(Boxed._fields)).T)

    def _table(self, every: list[_Found], pair: Whole) -> Rows:
        a = _joined([rows.a for rows in every])
        b = _joined([rows.b for rows in every])
        rule = _joined([np.full(len(rows.a), rows.rule) for rows in every])
        cell = _joined([rows.cell for rows in every])
        need = _needs(self.cells)[cell]
        unknown = self._texts(one.missing for one in self.cells)[cell]
        assumed = self._texts(one.assumed for one in self.cells)[cell]
        rests = np.array([bool(part.assumed) for part in self.built.parts], dtype=bool)
        for row in np.nonzero(rests[a] | rests[b])[0].tolist():
            words = self._assumed(self.cells[cell[row]], int(a[row]), int(b[row]))
            assumed[row] = self._text(words)
        lost = np.where(self.missing[a] > 0, self.missing[a], self.missing[b])
        surface, small = (
            np.array([one.convention == words for one in self.rules], dtype=bool)[rule]
            for words in ("surface", "centre from 5 in")
        )
        kinds: dict[tuple[str, str], int] = {}
        kind = [kinds.setdefault((one.book, one.measure), len(kinds)) for one in self.rules]
        return Rows(
            a=a,
            b=b,
            rule=rule,
            need=need,
            cell=cell,
            unsaid=np.where(lost == 0, unknown, lost),
            lost_far=np.where(self.far[a] > 0, self.far[a], self.far[b]),
            assumed=assumed,
            pair=pair,
            surface=surface | (small & ~(need >= 5.0)),
            most=np.array([one.most for one in self.rules], dtype=bool)[rule],
            strict=np.array([one.at_limit == "short" for one in self.rules], dtype=bool)[rule],
            spot=self._spots(rule, a, b),
            kind=np.array(kind, dtype=np.int64)[rule],
        )

    def _assumed(self, cell: Requirement, a: int, b: int) -> str:
        """What a row rests on: the voltage taken, and places nobody measured."""
        parts = self.built.parts
        return "; ".join(filter(None, (cell.assumed, parts[a].assumed, parts[b].assumed)))

    def _spots(self, rule: Whole, a: Whole, b: Whole) -> Whole:
        one = np.where(a == b, self.bolted[a], self.hung[a])
        two = np.where(a == b, self.bolted[b], self.hung[b])
        low, high = np.minimum(one, two), np.maximum(one, two)
        spot = (rule * self.count + low) * self.count + high
        return np.unique(spot, return_inverse=True)[1]


def _joined(arrays: list[Whole]) -> Whole:
    return np.concatenate(arrays) if arrays else np.zeros(0, dtype=np.int64)


def _needs(cells: Sequence[Requirement]) -> Real:
    """The numbers of requirements, NaN where it is not known."""
    return np.array([np.nan if cell.need is None else cell.need for cell in cells], dtype=float)


def _numbered(values: Iterable[str | None]) -> Whole:
    numbers: dict[str | None, int] = {}
    return np.array([numbers.setdefault(value, len(numbers)) for value in values], dtype=np.int64)


def selects(selector: Selector, tags: int) -> bool:
    """Whether a part with these tags is what a selector speaks of."""
    wanted, unwanted = _NUMBERS[selector]
    return tags & wanted == wanted and not tags & unwanted


def _meet(rule: Rule, a: _Class, b: _Class, built: Structure) -> str | None:
    """What is not known of the rule's conditions, empty when all hold; `None` when one fails."""
    when = rule.when
    checks = (
        when.joint_use in (None, a.joint_use),
        when.style in (None, a.style),
        when.not_style is None or a.style != when.not_style,
        when.over is None or a.over is None or a.over in _every(when.over),
        when.voltage_known in (None, None not in (*a.kvs, *b.kvs)),
        when.material in (None, a.material),
        _is(when.a_covered, bool(a.tags & _COVERED)),
        _is(when.b_covered, bool(b.tags & _COVERED)),
        _is(when.a_grounded, a.grounded),
        _is(when.b_grounded, b.grounded),
        when.a_kv is None or _may_hold(when.a_kv, a, built.assume_up_to_kv),
        when.b_kv is None or _may_hold(when.b_kv, b, built.assume_up_to_kv),
        _alike(when.circuit, _circuits(a), _circuits(b)),
        _alike(when.owner, _owners(a), _owners(b)),
    )
    if not all(checks):
        return None
    unknown = "what the span crosses not known" if when.over and a.over is None else ""
    for held, missing in (_length(when.span, a), _size(when, a, b), built_then(when, built.built)):
        if not held:
            return None
        unknown = unknown or missing
    return unknown


def _no_circuit(rule: Rule, a: _Class, b: _Class) -> str:
    """What is missing where a part with volts, that are asked for, names no circuit."""
    if rule.voltage == "none":
        return ""
    for one in (a,) if rule.voltage in ("to ground", "circuit") else (a, b):
        if one.tags & _AT_VOLTS and not one.tags & _EARTH and not one.wired:
            return "circuit of equipment or a riser not named"
    return ""


def _every(uses: GroundUse | tuple[GroundUse, ...]) -> tuple[GroundUse, ...]:
    return uses if isinstance(uses, tuple) else (uses,)


def _is(asked: bool | None, so: bool) -> bool:
    return asked is None or asked == so


def _alike(asked: Likeness | None, one: set[str], other: set[str]) -> bool:
    return asked is None or (one == other) == (asked == "same")


def _circuits(one: _Class) -> set[str]:
    return {end.circuit.id for end in one.wired}


def _owners(one: _Class) -> set[str]:
    return {end.circuit.owner for end in one.wired}


def _may_hold(asked: Range, one: _Class, up_to_kv: float) -> bool:
    """Whether a circuit of it is, or may for want of a voltage be, in the range."""
    return any(
        asked.holds(kv)
        for end in one.wired
        for kv in ((0.0,) if end.circuit.kind == "communications" else tries(end.circuit, up_to_kv))
    )


def _length(asked: Range | None, one: _Class) -> tuple[bool, str]:
    if asked is None:
        return True, ""
    if one.span_in is None:
        return True, "length of the span not known"
    return asked.holds(one.span_in / INCHES_PER["m" if asked.unit == "m" else "ft"]), ""


def _size(when: When, a: _Class, b: _Class) -> tuple[bool, str]:
    if when.size is None and when.size_of_larger is None:
        return True, ""
    wires = [one.kcmil for one in (a, b) if one.tags & _WIRE]
    sizes = [size for size in wires if size is not None]
    if len(sizes) < len(wires) or not sizes:
        return True, "size of a wire not known"
    return all(
        asked is None or asked.holds(size * (MM2_PER_KCMIL if asked.unit == "mm2" else 1.0))
        for asked, size in ((when.size, min(sizes)), (when.size_of_larger, max(sizes)))
    ), ""


def built_then(when: When, day: str) -> tuple[bool, str]:
    """Whether a line built on a day is of the time a rule asks, and what is not known of it."""
    if when.built is None:
        return True, ""
    if not day:
        return True, "when the line was built not known"
    since, before = when.built.since, when.built.before
    return (not since or day >= since) and (not before or day < before), ""


def _sags(rule: Rule, a: _Class, b: _Class) -> Sags:
    """The larger sag of the wires of a pair, where the rule counts with one."""
    roots = [band.root for band in rule.need if band.root is not None]
    if not roots:
        return NO_SAGS
    most = any(root.most for root in roots)
    wires = [
        one.sag_most_in if most else one.sag_in
        for one in (a, b)
        if one.tags & _WIRE and not one.tags & _NEARBY
    ]
    known = [sag for sag in wires if sag is not None]
    if len(known) < len(wires) or not known:
        return NO_SAGS
    return Sags(max(known))
