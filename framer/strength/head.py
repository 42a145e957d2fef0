"""Guys that go to another pole: which pole that is, and what they pull on it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from framer.geometry.scene import Part, Scene, Tag, Tube
from framer.geometry.space import compass
from framer.model.place import Guyed
from framer.model.stage import place_at
from framer.strength.loads import GuyOn, Pull
from framer.strength.method import Asked

REACH_IN = 18.0
"""A guy that ends no farther from a pole's surface goes to that pole: house."""

_GUY = int(Tag.GUY)


class Ends(Struct, frozen=True):
    """Where a guy ends on a pole.

    Attributes:
        guy: id of the guy.
        giver: the pole it holds.
        pole: the pole it goes to.
        height_in: above that pole's ground line.
        up_in: along that pole.
    """

    guy: str
    giver: str
    pole: str
    height_in: float
    up_in: float


def ends_on(scene: Scene, pole: str) -> tuple[Ends, ...]:
    """The guys of other poles that go to a pole."""
    return tuple(one for one in _all(scene) if one.pole == pole)


def end_of(scene: Scene, guy: str) -> Ends | None:
    """Where a guy ends on another pole of the job; `None` where none stands there."""
    return next((one for one in _all(scene) if one.guy == guy), None)


def _all(scene: Scene) -> tuple[Ends, ...]:
    kept: tuple[Ends, ...] | None = scene.kept.get("guys that end on poles")
    if kept is None:
        kept = scene.kept["guys that end on poles"] = tuple(_found(scene))
    return kept


def _found(scene: Scene) -> Iterator[Ends]:
    for part in scene.bodies:
        if not part.tags & _GUY or part.key != part.owner or part.missing:
            continue
        where = place_at(scene.job, scene.job.item_by_id[part.owner], scene.stage)
        if isinstance(where, Guyed) and where.far_height_in > 0.0 and where.strut_in is None:
            yield from _nearest(scene, part, where.host)


def _nearest(scene: Scene, part: Part, giver: str) -> Iterator[Ends]:
    if not isinstance(part.shape, Tube):
        return
    x, y, z = part.shape.q
    found = []
    for key, solid in scene.poles.items():
        up = (z - solid.foot[2]) / solid.rise
        if key == giver or up <= 0.0 or (solid.top_up_in is not None and up > solid.top_up_in):
            continue
        off = math.dist((x, y), solid.point(up)[:2]) - (solid.radius_in(up) or 0.0)
        if off <= REACH_IN:
            found.append((off, Ends(part.owner, giver, key, z - solid.foot[2], up)))
    if found:
        yield min(found)[1]


def head_pull(scene: Scene, one: Ends, guy: GuyOn, level_lbf: float, want: Asked) -> Pull:
    """What a guy with a level pull, with factors, pulls on the pole it goes to, in whatever wind.

    The factors that pole is asked are taken off again.
    """
    solid = scene.poles[one.pole]
    axis = solid.point(one.up_in)
    level = level_lbf / want.tension
    down = -level_lbf * guy.drop_in / guy.lead_in / want.vertical
    way = compass(math.degrees(math.atan2(-guy.east, -guy.north)) % 360.0)
    return Pull(
        *(one.guy, guy.name, "wire tension", one.height_in, one.up_in * solid.rise),
        *(axis[0] - solid.foot[0], axis[1] - solid.foot[1]),
        *(-guy.east * level, -guy.north * level, down),
        f"{level_lbf:,.0f} lbf level with factors to {way}, the most it takes of what pulls on "
        f"{scene.job.label(one.giver)}",
    )


def each_other(scene: Scene, poles: Sequence[str]) -> str:
    """That poles are guyed to each other, which nothing here reckons."""
    names = " and ".join(scene.job.label(key) for key in poles)
    return f"{names} are guyed to each other: what each takes of the other is not reckoned"
