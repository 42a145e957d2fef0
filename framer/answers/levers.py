"""Levers: what gives inches where an item has too little room. Each is applied and solved again.

A lever is a change of the job that somebody can decide on: another way to hold the wires, another
arm, a cut, a pole a little aside, somebody else's wires moved. What it gives is never reckoned from
its size: the changed job is solved as any other, and what it makes short elsewhere is told.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from framer.answers.bands import Bands, Bound, bands_work, mount, moved_to
from framer.answers.forms import STEP_IN, least_cut_work, mounted, shorts, standing, with_cut
from framer.answers.lack import lack_at
from framer.answers.order import ordered
from framer.answers.solve import longest, missing_on_work
from framer.answers.work import Work, done
from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.edits.places import set_along_arm, set_azimuth, set_standing, with_thing
from framer.errors import EditError
from framer.geometry.scene import Run, Tag
from framer.geometry.space import POINT_WORDS
from framer.model.item import Item
from framer.model.job import Job
from framer.model.link import Link
from framer.model.place import OnArm, OnItem, OnPole
from framer.model.stage import place_at, pole_at
from framer.stock.catalogue import catalogue
from framer.stock.part import ArmPart, InsulatorPart
from framer.units.compare import HAIR_IN, rounded
from framer.units.length import inches_text, length_text

Change: TypeAlias = Callable[[Job], Job]

MOST_ASIDE_IN = 120.0
"""A pole is tried no farther aside than this."""


class Lever(Struct, frozen=True):
    """One change and what it gives.

    Attributes:
        words: the change, with its inches.
        gain_in: how much less is missing with it.
        left_in: how much is still missing; 0 where it is enough.
        job: the job with the change, and the item where it then may be if that is enough.
        breaks: what it makes short that was not.
        note: what else has to be said of it.
        ours: whether it is for the crew to draft; what its owner has to do is not.
    """

    words: str
    gain_in: float
    left_in: float
    job: Job
    breaks: tuple[Finding, ...]
    note: str = ""
    ours: bool = True

    @property
    def works(self) -> bool:
        """Whether it is enough, and makes nothing else short."""
        return self.left_in <= HAIR_IN and not self.breaks


def levers(
    job: Job, books: Sequence[Rulebook], key: str, height_in: float | None = None
) -> tuple[Lever, ...]:
    """What would give an item room, or room at a height; those that are enough come first.

    Raises:
        EditError: the item is fixed to no pole, or something needed is not known.
    """
    return done(levers_work(job, books, key, height_in))


def levers_work(
    job: Job, books: Sequence[Rulebook], key: str, height_in: float | None = None
) -> Work[tuple[Lever, ...]]:
    """What would give an item room, or room at a height, a try at a time.

    Raises:
        EditError: the item is fixed to no pole, or something needed is not known.
    """
    made = _Levers(job, books, key, height_in)
    return (yield from made.all())


class _Levers:
    def __init__(
        self, job: Job, books: Sequence[Rulebook], key: str, height_in: float | None
    ) -> None:
        self.job, self.books, self.key, self.at = job, tuple(books), key, height_in
        # how much is missing is a question to the longest pole; a height is one to the pole drafted
        self.form = longest(job, key) if height_in is None else job
        self.short_in = math.inf
        self.anyway: set[str] = set()
        self.before: set[str] = set()
        self.holding: tuple[Bound, ...] = ()

    def _look(self) -> Work[None]:
        """Where it is short as the job is, and of what."""
        yield "looking at what is in the way"
        found = yield from bands_work(self.form, self.books, self.key, whole=True)
        self.room = ordered(self.form, self.books, found)
        yield ""
        self.short_in = yield from self._lack(self.form)
        self.anyway = {bound.words for bound, _ in self.room.anyway}
        self.before = {one.key for one in shorts(self.job, self.books)}
        yield ""
        self.holding = yield from self._in_the_way()

    def _lack(self, form: Job) -> Work[float]:
        if self.at is None:
            return (yield from missing_on_work(form, self.books, self.key)).inches
        yield ""
        room = yield from bands_work(form, self.books, self.key)
        return lack_at(ordered(form, self.books, room), self.at)

    def _in_the_way(self) -> Work[tuple[Bound, ...]]:
        """What keeps the item from where it is wanted."""
        if self.at is None:
            found = yield from missing_on_work(self.form, self.books, self.key)
            return (*found.down, *found.up)
        return tuple(
            {
                one.bound.words: one.bound
                for one in self.room.blocked
                if one.low_in <= self.at <= one.high_in
            }.values()
        )

    def all(self) -> Work[tuple[Lever, ...]]:
        yield from self._look()
        if self.short_in <= HAIR_IN:
            return ()
        found: list[Lever] = []
        for make in (
            self._together,
            self._dead_ends,
            self._other_arms,
            self._topped,
            self._aside,
            self._communications,
            self._other_circuit,
            self._spacing,
        ):
            found += yield from make()
        return tuple(sorted(found, key=lambda one: (not one.works, one.left_in, one.words)))

    def _tried(
        self, words: str, change: Change, note: str = "", *, ours: bool = True
    ) -> Work[Lever | None]:
        """The lever, if the changed job can be judged at all."""
        yield f"trying: {words}"
        try:
            form, job = change(self.form), change(self.job)
            yield ""
            room = yield from bands_work(form, self.books, self.key)
            yield ""
            left = yield from self._lack(form)
            yield ""
            refused = [bound for bound, _ in room.anyway if bound.words not in self.anyway]
            if refused:
                return Lever(
                    words, 0.0, self.short_in, job, (), f"not allowed: {refused[0].words}", ours
                )
            new: tuple[Finding, ...] = ()
            if left <= HAIR_IN:
                yield ""
                drafted = yield from bands_work(job, self.books, self.key)
                yield ""
                drafted = ordered(job, self.books, drafted)
                if self.at is not None or drafted.bands:
                    job = moved_to(job, self.key, self._goal(drafted))
                    yield ""
                    found = shorts(job, self.books)
                    new = tuple(one for one in found if one.key not in self.before)
                else:
                    note = "; ".join(filter(None, (note, "and takes a longer pole")))
        except EditError:
            return None
        both = math.isinf(self.short_in), math.isinf(left)
        gain = 0.0 if all(both) else self.short_in - left
        return Lever(words, gain, left, job, new, note, ours)

    def _goal(self, room: Bands) -> float:
        return self.at if self.at is not None else room.bands[-1].high_in

    def _group_arms(self) -> list[tuple[Item, ArmPart]]:
        found = []
        for key in self.room.group:
            item = self.job.item_by_id[key]
            stock = catalogue().get(item.part or "")
            if isinstance(stock, ArmPart):
                found.append((item, stock))
        return found

    def _on_arm(self, arm: Item) -> list[tuple[Item, OnArm, InsulatorPart]]:
        """The insulators on an arm that hold wires."""
        wired = {
            where.host
            for wire in self.job.wires
            if isinstance(where := place_at(self.job, wire, "framed"), OnItem)
        }
        found = []
        for item in self.job.items:
            where = place_at(self.job, item, "framed")
            stock = catalogue().get(item.part or "")
            mounted = isinstance(where, OnArm) and where.host == arm.id and item.id in wired
            if mounted and isinstance(where, OnArm) and isinstance(stock, InsulatorPart):
                found.append((item, where, stock))
        return found

    def _together(self) -> Work[list[Lever]]:
        """What is in the way on the same pole moved along with it."""
        found: list[Lever] = []
        owners = dict.fromkeys(
            mounted(self.job, part.support) if part.tags & Tag.WIRE else part.owner
            for bound in self.holding
            for part in (bound.a, bound.b)
            if part is not None and part.pole == self.room.pole
        )
        for owner in owners:
            if owner is None or owner in self.room.group or owner == self.room.pole:
                continue
            try:
                drop = mount(self.job, self.key).up_in - mount(self.job, owner).up_in
            except EditError:
                continue

            def linked(job: Job, owner: str = owner, drop: float = drop) -> Job:
                kept = tuple(link for link in job.links if link.follower != owner)
                return replace(job, links=(*kept, Link(owner, self.key, drop)))

            side = "below" if drop >= 0.0 else "above"
            words = (
                f"let {self.job.label(owner)} move with it, {_length(self.job, abs(drop))} {side}"
            )
            lever = yield from self._tried(words, linked)
            if lever is not None:
                found.append(lever)
        return found

    def _dead_ends(self) -> Work[list[Lever]]:
        """The wires of an arm strung out at the bolt instead of standing on pins."""
        found: list[Lever] = []
        for arm, _ in self._group_arms():
            pins = [one for one in self._on_arm(arm) if one[2].style in ("pin", "post")]
            if not pins:
                continue
            parts = {item.id: _dead_end(stock.class_kv) for item, _, stock in pins}

            def strung(job: Job, parts: dict[str, str | None] = parts) -> Job:
                for key, part in parts.items():
                    job = with_thing(job, replace(job.item_by_id[key], part=part))
                return job

            if None not in parts.values():
                words = f"dead-end the wires of {self.job.label(arm.id)} at bolt level"
                lever = yield from self._tried(
                    words, strung, "wires that go through need a dead-end each way"
                )
                if lever is not None:
                    found.append(lever)
        return found

    def _other_arms(self) -> Work[list[Lever]]:
        """A shorter arm, or one to one side."""
        found: list[Lever] = []
        for arm, stock in self._group_arms():
            holds = sorted(self._on_arm(arm), key=lambda one: one[1].along_in)
            where = place_at(self.job, arm, "framed")
            if not holds or not isinstance(where, OnPole):
                continue
            best: Lever | None = None
            for other in _arms_instead(stock, len(holds)):
                for turned in (False, True) if other.middle_in else (False,):
                    places = sorted(other.pins_in)[: len(holds)]
                    turn = (where.azimuth_deg + 180.0) % 360.0 if turned else where.azimuth_deg
                    along = {
                        item.id: at
                        for (item, _, _), at in zip(
                            holds, reversed(places) if turned else places, strict=True
                        )
                    }

                    def changed(
                        job: Job,
                        arm: Item = arm,
                        part: str = other.id,
                        turn: float = turn,
                        along: dict[str, float] = along,
                    ) -> Job:
                        job = with_thing(job, replace(job.item_by_id[arm.id], part=part))
                        job = set_azimuth(job, arm.id, "framed", turn)
                        for key, at in along.items():
                            job = set_along_arm(job, key, "framed", at)
                        return job

                    side = f", to the other side of {self.job.label(arm.id)}" if turned else ""
                    words = f"{other.name} for {self.job.label(arm.id)}{side}"
                    lever = yield from self._tried(words, changed)
                    if lever is not None and (best is None or lever.left_in < best.left_in):
                        best = lever
            if best is not None:
                found.append(best)
        return found

    def _topped(self) -> Work[list[Lever]]:
        """The pole cut as far as its own timber asks."""
        found: list[Lever] = []
        cut = yield from least_cut_work(self.job, self.books, self.room.pole)
        if cut:
            already = standing(self.job, self.room.pole).cut_in
            words = f"top the pole by {_length(self.job, cut)}"
            lever = yield from self._tried(
                words, lambda job: with_cut(job, self.room.pole, already + cut)
            )
            if lever is not None:
                found.append(lever)
        return found

    def _aside(self) -> Work[list[Lever]]:
        """The pole set aside, square to the wire of another line that is in the way."""
        found: list[Lever] = []
        where = standing(self.job, self.room.pole)
        done = set()
        for bound in self.holding:
            for part in (bound.a, bound.b):
                if part is None or not part.tags & Tag.NEARBY or part.owner in done:
                    continue
                done.add(part.owner)
                shape = part.shape
                if not isinstance(shape, Run):
                    continue
                along = (shape.q[0] - shape.p[0], shape.q[1] - shape.p[1])
                length = math.hypot(*along)
                if length <= 0.0:
                    continue
                side = (along[1] / length, -along[0] / length)
                off = (where.east_in - shape.p[0]) * side[0] + (where.north_in - shape.p[1]) * side[
                    1
                ]
                sign = 1.0 if off >= 0.0 else -1.0
                way = (sign * side[0], sign * side[1])

                def moved(job: Job, far: float, way: tuple[float, float] = way) -> Job:
                    east, north = where.east_in + far * way[0], where.north_in + far * way[1]
                    return set_standing(job, self.room.pole, "framed", east_in=east, north_in=north)

                far = yield from self._least(moved, MOST_ASIDE_IN)
                point = POINT_WORDS[round(math.degrees(math.atan2(*way)) / 45.0) % 8]
                words = f"set the pole {_length(self.job, far)} farther {point}"
                lever = yield from self._tried(
                    words, _by(moved, far), "off the line it makes an angle"
                )
                if lever is not None:
                    found.append(lever)
        return found

    def _communications(self) -> Work[list[Lever]]:
        """All communications of the pole lowered."""
        found: list[Lever] = []
        ups = [bound for bound in self.holding if _names(bound, Tag.COMMUNICATIONS)]
        if not ups:
            return found
        supports = {
            part.support
            for bound in ups
            for part in (bound.a, bound.b)
            if part is not None and part.tags & Tag.COMMUNICATIONS and part.support
        }
        below = [
            item.id
            for item in self.job.items
            if item.id not in self.room.group
            and pole_at(self.job, item, "framed") == self.room.pole
            and isinstance(place_at(self.job, item, "framed"), OnPole)
            and (item.id in supports or self._holds_communications(item.id))
        ]

        def lowered(job: Job, far: float) -> Job:
            for key in below:
                at = mount(job, key)
                job = moved_to(job, key, (at.up_in * at.solid.rise) - far)
            return job

        far = yield from self._least(lowered, MOST_ASIDE_IN)
        words = f"lower communications by {_length(self.job, far)}"
        lever = yield from self._tried(words, _by(lowered, far), "needs notice to their owners")
        if lever is not None:
            found.append(lever)
        return found

    def _holds_communications(self, key: str) -> bool:
        return any(
            self.job.circuit_by_id[wire.circuit].kind == "communications"
            for wire in self.job.wires
            if isinstance(where := place_at(self.job, wire, "framed"), OnItem) and where.host == key
        )

    def _other_circuit(self) -> Work[list[Lever]]:
        """The wires of another line raised by their owner."""
        found: list[Lever] = []
        circuits = dict.fromkeys(
            part.circuit
            for bound in self.holding
            for part in (bound.a, bound.b)
            if part is not None and part.tags & Tag.NEARBY and part.circuit
        )
        for circuit in circuits:
            wires = {near.id for near in self.job.nearby if near.circuit == circuit}

            def raised(job: Job, far: float, wires: set[str] = wires) -> Job:
                readings = tuple(
                    replace(one, value_in=one.value_in + far)
                    if one.of in wires and one.what == "height"
                    else one
                    for one in job.readings
                )
                return replace(job, readings=readings)

            far = yield from self._least(raised, 2 * MOST_ASIDE_IN)
            words = f"raise {self.job.label(circuit)} by {_length(self.job, far)}"
            lever = yield from self._tried(
                words, _by(raised, far), "is its owner's to do", ours=False
            )
            if lever is not None:
                found.append(lever)
        return found

    def _spacing(self) -> Work[list[Lever]]:
        """What is linked set closer together, where no rule says otherwise."""
        found: list[Lever] = []
        for index, link in enumerate(self.job.links):
            if link.follower not in self.room.group or link.leader not in self.room.group:
                continue
            sign = 1.0 if link.drop_in >= 0.0 else -1.0

            def closer(
                job: Job,
                far: float,
                index: int = index,
                sign: float = sign,
                drop: float = link.drop_in,
            ) -> Job:
                links = list(job.links)
                links[index] = replace(links[index], drop_in=drop - sign * far)
                return replace(job, links=tuple(links))

            far = yield from self._least(closer, abs(link.drop_in))
            far = min(far, abs(link.drop_in))
            one, other = self.job.label(link.follower), self.job.label(link.leader)
            words = f"set {one} {_length(self.job, far)} closer to {other}"
            lever = yield from self._tried(words, _by(closer, far))
            if lever is not None:
                found.append(lever)
        return found

    def _least(self, form: Callable[[Job, float], Job], most: float) -> Work[float]:
        """The least of a change that is enough, in half inches; the most where none is."""

        def left(far: float) -> Work[float]:
            try:
                return (yield from self._lack(form(self.form, far)))
            except EditError:
                return math.inf

        low, high = 0, max(1, int(rounded(most, STEP_IN, "down") / STEP_IN))
        # what is missing is the first guess; it is often all that is needed
        guess = self.short_in if math.isfinite(self.short_in) else most
        first = min(high, max(1, int(rounded(guess, STEP_IN, "up") / STEP_IN)))
        if (yield from left(first * STEP_IN)) <= HAIR_IN:
            high = first
        elif (yield from left(high * STEP_IN)) > HAIR_IN:
            return first * STEP_IN
        else:
            low = first
        while high - low > 1:
            middle = (low + high) // 2
            enough = (yield from left(middle * STEP_IN)) <= HAIR_IN
            low, high = (low, middle) if enough else (middle, high)
        return high * STEP_IN


def _by(change: Callable[[Job, float], Job], far: float) -> Change:
    return lambda job: change(job, far)


def _dead_end(class_kv: float | None) -> str | None:
    """The stock dead-end of least class that is meant for as much."""
    fit = [
        one
        for one in catalogue().values()
        if isinstance(one, InsulatorPart)
        and one.style == "dead-end"
        and one.class_kv is not None
        and one.class_kv >= (class_kv or 0.0)
    ]
    return (
        min(fit, key=lambda one: (one.class_kv or 0.0, one.length_in, one.id)).id if fit else None
    )


def _arms_instead(stock: ArmPart, wires: int) -> Iterator[ArmPart]:
    """Arms of one kind with places for as many wires, that are shorter or go to one side."""
    for other in catalogue().values():
        if isinstance(other, ArmPart) and other.id != stock.id and other.members == stock.members:
            to_one_side = other.middle_in != 0.0
            shorter = other.length_in < stock.length_in and other.material == stock.material
            if len(other.pins_in) >= wires and (to_one_side or shorter):
                yield other


def _names(bound: Bound, tag: Tag) -> bool:
    return any(
        part is not None and part.tags & tag and not part.tags & Tag.NEARBY
        for part in (bound.a, bound.b)
    )


def _length(job: Job, value_in: float) -> str:
    written = inches_text if value_in < 24.0 else length_text
    return written(value_in, toward="up", system=job.settings.units)
