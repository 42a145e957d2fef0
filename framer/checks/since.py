"""What a check can take over from the one before: gaps of pairs of which neither part has moved.

While a thing is dragged nearly everything else stays where it is. A gap depends on the two parts,
on their poles, and on what of the job never changes while a thing is moved; where any of that did
change, nothing is taken over.
"""

from __future__ import annotations

from operator import attrgetter, is_
from typing import TypeAlias

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from framer.checks.plan import Plan
from framer.checks.rulebook import Rulebook
from framer.geometry.scene import Array, Part, Run, Scene, Tag
from framer.geometry.unmoved import changed_things

Yes: TypeAlias = NDArray[np.bool_]


class Gaps(Struct, frozen=True):
    """The pairs of a plan as measured in one scene; rows that nobody asked for are not `known`.

    `lost` says of pairs, by number, what kept their gap from being known.
    """

    scene: Scene
    planned: Plan
    known: Yes
    gap: Array
    thickness: Array
    tolerance: Array
    p: Array
    q: Array
    away: Yes
    lost: dict[int, str]

    @classmethod
    def none(cls, scene: Scene, planned: Plan) -> Gaps:
        """Nothing measured yet."""
        count = len(planned.pairs.a)
        return cls(
            scene,
            planned,
            np.zeros(count, dtype=bool),
            np.full(count, np.nan),
            np.zeros(count),
            np.zeros(count),
            np.full((count, 3), np.nan),
            np.full((count, 3), np.nan),
            np.zeros(count, dtype=bool),
            {},
        )

    def taken_over(self, scene: Scene, planned: Plan) -> Gaps:
        """What of it still holds in another scene; the rows are copies."""
        moved = moved_parts(self.scene, scene) if planned is self.planned else None
        if moved is None:
            return Gaps.none(scene, planned)
        a, b = planned.pairs
        known = self.known & ~moved[a] & ~moved[b]
        return Gaps(
            scene,
            planned,
            known,
            self.gap.copy(),
            self.thickness.copy(),
            self.tolerance.copy(),
            self.p.copy(),
            self.q.copy(),
            self.away.copy(),
            {pair: text for pair, text in self.lost.items() if known[pair]},
        )


_ARM = int(Tag.ARM)


def moved_parts(before: Scene, scene: Scene) -> Yes | None:
    """Which parts of a scene may lie otherwise than before; `None` where nothing can be compared.

    An arm counts as moved with the wires on it, as what is beside the pole is measured by arms.
    """
    owners = changed_things(before.job, scene.job)
    alike = before.stage == scene.stage and len(before.parts) == len(scene.parts)
    if owners is None or not alike or before.poles != scene.poles:
        return None
    moved = [
        then is not now and (now.owner in owners or _differs(then, now))
        for then, now in zip(before.parts, scene.parts, strict=True)
    ]
    levels = {part.level for part, away in zip(scene.parts, moved, strict=True) if away}
    return np.array(
        [
            away or (part.tags & _ARM and part.owner in levels)
            for part, away in zip(scene.parts, moved, strict=True)
        ],
        dtype=bool,
    )


_OF_PLACES = ("key", "shape", "up_in", "tolerance_in", "far_tolerance_in")
_place = attrgetter(*_OF_PLACES)
_rest = attrgetter(*(name for name in Part.__struct_fields__ if name not in _OF_PLACES))


def _differs(then: Part, now: Part) -> bool:
    differs: bool = _place(then) != _place(now)
    return differs


def same_books(planned: Plan, books: tuple[Rulebook, ...]) -> bool:
    """Whether a plan was made for just these books."""
    return len(planned.books) == len(books) and all(map(is_, planned.books, books))


def same_structure(before: Scene, scene: Scene) -> bool:
    """Whether two scenes differ in places only, so that the plan of the one is that of the other.

    May say no where it is so.
    """
    job, then = scene.job, before.job
    changed = changed_things(then, job)
    if changed is None or then.wires is not job.wires or before.stage != scene.stage:
        return False
    items = ((then.item_by_id[key], job.item_by_id[key]) for key in changed)
    if any(one.part != other.part for one, other in items):
        return False
    pairs = zip(before.parts, scene.parts, strict=False)
    return len(before.parts) == len(scene.parts) and all(
        one is other or _kind(one) == _kind(other) for one, other in pairs
    )


def _kind(part: Part) -> tuple[object, ...]:
    """All of a part that a plan depends on."""
    shape = part.shape
    sags = (shape.sag_in, shape.sag_most_in) if isinstance(shape, Run) else None
    return sags, _rest(part)
