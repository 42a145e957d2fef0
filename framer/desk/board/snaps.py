"""Where a drag settles: on the grid, level with a neighbour, on a bore, on a pin of the arm."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from framer.desk.bridge import FINE_STEP_IN
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Scene, Tag
from framer.model.job import Job
from framer.model.place import Guyed, OnArm, OnPole, Standing
from framer.model.stage import host_of, is_undecided, place_at

LEVEL_REACH_IN = 1.0
"""Nearer to the height of a neighbour or a bore than this, a drag settles on it."""

PIN_REACH_IN = 2.0
"""An insulator this near a pin position of its arm goes to it."""


class Target(Struct, frozen=True):
    """A value a drag can settle on, and what is said when it does."""

    value_in: float
    words: str


def settled(
    value_in: float, targets: Iterable[Target], step_in: float, reach_in: float
) -> tuple[float, str]:
    """A dragged value on the nearest target within reach, else on the grid; and what it is level
    with. On the finest grid nothing but the grid holds it.
    """  # noqa: D205
    if step_in > FINE_STEP_IN:
        near = min(targets, key=lambda one: abs(one.value_in - value_in), default=None)
        if near is not None and abs(near.value_in - value_in) < reach_in:
            return near.value_in, near.words
    return round(value_in / step_in) * step_in, ""


def levels(scene: Scene, pole: str, moved: Sequence[str] = ()) -> tuple[Target, ...]:
    """Drops below the top of a pole that things on it settle at: its neighbours' and its bores.

    Args:
        scene: the framed scene.
        pole: id of the pole.
        moved: what is dragged, with what it carries; it is no neighbour of itself.
    """
    solid = scene.poles.get(pole)
    if solid is None or solid.top_up_in is None:
        return ()
    job, found = scene.job, []
    for item in job.items:
        parts = scene.parts_of.get(item.id, ())
        where = place_at(job, item, "framed")
        if item.id in moved or not parts or not isinstance(where, OnPole | Guyed):
            continue
        if where.host == pole and parts[0].shape is not None and not parts[0].tags & Tag.RUN:
            words = f"level with {job.label(item.id)}"
            found.append(Target(solid.top_up_in - parts[0].up_in, words))
    return (*found, *bore_levels(job, pole, solid))


def bore_levels(job: Job, pole: str, solid: PoleSolid) -> tuple[Target, ...]:
    """Drops below the finished top of the holes a pole was bored with at the factory."""
    item = job.item_by_id[pole]
    where = place_at(job, item, "framed")
    cut = where.cut_in if isinstance(where, Standing) else 0.0
    bored = item.pole.bored_in if item.pole else ()
    top = solid.top_up_in or 0.0
    return tuple(
        Target(down - cut, "at a factory bore") for down in bored if 0.0 <= down - cut <= top
    )


def pins(job: Job, arm: str, pins_in: Sequence[float], moved: Sequence[str]) -> tuple[Target, ...]:
    """Pin positions of an arm; a taken one says by what."""
    taken: dict[float, str] = {}
    for item in job.items:
        at = place_at(job, item, "framed")
        there = isinstance(at, OnArm) and at.host == arm and not is_undecided(item)
        if there and isinstance(at, OnArm) and item.id not in moved:
            taken[round(at.along_in, 3)] = job.label(item.id)
    return tuple(
        Target(
            pin,
            f"on pin {number}, where {taken[round(pin, 3)]} is"
            if round(pin, 3) in taken
            else f"on pin {number}",
        )
        for number, pin in enumerate(sorted(pins_in), start=1)
    )


def carried(job: Job, key: str) -> tuple[str, ...]:
    """A thing and everything that hangs from it as framed."""
    hosts = {thing.id: host_of(place_at(job, thing, "framed")) for thing in job.placed()}
    found = {key: None}
    grown = True
    while grown:
        more = [name for name, host in hosts.items() if name not in found and host in found]
        grown = bool(more)
        found.update(dict.fromkeys(more))
    return tuple(found)
