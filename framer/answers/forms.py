"""Jobs that differ from the one drafted: another pole length, a cut top, a pole elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from framer.answers.work import Work
from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.checks.findings import Findings
from framer.checks.rulebook import Rulebook
from framer.edits.places import set_hold, with_place, with_thing
from framer.errors import EditError
from framer.geometry.placing import place
from framer.geometry.pole import rule_depth_in
from framer.geometry.scene import Tag
from framer.geometry.spot import Spots
from framer.model.item import PoleFacts
from framer.model.job import Job
from framer.model.place import Guyed, OnPole, Standing
from framer.model.stage import host_of, place_at
from framer.stock.poles import classes_weakest_first, pole_sizes, setting_depths
from framer.units.compare import rounded

STEP_IN = 0.5
"""Answers are given in steps of this, away from danger."""

Ground = Literal["soil", "rock"]


class Setting(Struct, frozen=True):
    """How deep a pole is set, where that is not the job's rule alone.

    Attributes:
        ground: ordinary soil, by the job's rule; or rock, by the table.
        slope_in: how much lower the ground is at the low side of the hole than at the pole's
            ground line; the depth is reckoned from there.
    """

    ground: Ground = "soil"
    slope_in: float = 0.0


class Depth(NamedTuple):
    """A setting depth and where it comes from; `None` where it is not known."""

    depth_in: float | None
    words: str


def depth(job: Job, length_in: float, cut_in: float, setting: Setting) -> Depth:
    """How deep a pole is set by the rule chosen."""
    settings = job.settings
    reckoned = length_in if settings.depth_length == "stock" else length_in - cut_in
    if setting.ground == "rock":
        row = next((one for one in setting_depths() if 12 * one.length_ft >= reckoned - 1e-6), None)
        if row is None or row.rock_in is None:
            return Depth(None, "the depth in rock of a pole of this length is not known here")
        known = " [from memory]" if row.how_known == "memory" else ""
        found = Depth(row.rock_in, f"table for rock, by {settings.depth_length} length{known}")
    else:
        found = Depth(*rule_depth_in(length_in, cut_in, settings))
    if setting.slope_in > 0.0 and found.depth_in is not None:
        return Depth(found.depth_in + setting.slope_in, f"{found.words}, from the low side")
    return found


def stock_lengths_in(species: str | None = None) -> tuple[float, ...]:
    """Lengths of stock poles of a species, of any when it is not known; the shortest first."""
    sizes = [one for one in pole_sizes().values() if species in (None, one.species)]
    return tuple(sorted({12.0 * one.length_ft for one in sizes or pole_sizes().values()}))


def standing(job: Job, pole: str) -> Standing:
    """Where a pole stands as framed.

    Raises:
        EditError: it is no pole, or does not stand.
    """
    item = job.item_by_id.get(pole)
    where = place_at(job, item, "framed") if item is not None else None
    if item is None or item.pole is None or not isinstance(where, Standing):
        raise EditError(f"{job.label(pole)} is no pole that stands as framed")
    return where


def framed_pole(job: Job, pole: str | None = None) -> str:
    """The pole asked about, or the one that stands as framed with most on it.

    Raises:
        EditError: there is none.
    """
    if pole is not None:
        standing(job, pole)
        return pole
    carried: dict[str, int] = {}
    for item in job.items:
        where = place_at(job, item, "framed")
        if isinstance(where, Standing) and item.kind == "pole":
            carried.setdefault(item.id, 0)
        if isinstance(where, OnPole | Guyed):
            carried[where.host] = carried.get(where.host, 0) + 1
    poles = {key: many for key, many in carried.items() if job.item_by_id[key].kind == "pole"}
    if not poles:
        raise EditError("no pole stands as framed; put one in, or name it")
    return max(poles, key=lambda key: poles[key])


def held_by_height(job: Job, pole: str) -> Job:
    """The job with everything on a pole held above ground, where it is now."""
    for item in job.items:
        where = place_at(job, item, "framed")
        if isinstance(where, OnPole | Guyed) and where.host == pole and where.hold != "height":
            try:
                job = set_hold(job, item.id, "framed", "height")
            except EditError:
                continue
    return job


def with_length(
    job: Job,
    pole: str,
    length_in: float,
    cut_in: float = 0.0,
    setting: Setting | None = None,
    depth_in: float | None = None,
) -> Job:
    """The job with a pole of another stock length, set by the rule unless its depth is given.

    What is on it stays where it is above ground. Where its class is not listed in that length, the
    pole is of the thinnest that is: without girths nothing on it could be judged.

    Raises:
        EditError: it is no standing pole, nothing of it would be above ground, or its depth is not
            known.
    """
    where, held = standing(job, pole), held_by_height(job, pole)
    item = held.item_by_id[pole]
    if depth_in is None:
        depth_in, words = depth(job, length_in, cut_in, setting or Setting())
        if depth_in is None:
            raise EditError(words)
    if length_in - cut_in - depth_in <= 0.0 or item.pole is None:
        raise EditError(f"nothing of {job.label(pole)} would be above ground")
    facts = replace(item.pole, length_in=length_in, pole_class=class_at(item.pole, length_in))
    changed = with_thing(held, replace(item, pole=facts))
    return with_place(changed, pole, "framed", replace(where, depth_in=depth_in, cut_in=cut_in))


def class_at(facts: PoleFacts, length_in: float) -> str | None:
    """The class of a pole in another length: its own where that is listed, else the thinnest."""
    listed = classes_weakest_first(facts.species or "", length_in)
    own = facts.pole_class
    if not own or not listed or any(one.pole_class == own for one in listed):
        return own
    return listed[0].pole_class


def with_cut(job: Job, pole: str, cut_in: float) -> Job:
    """The job with so much sawn off a pole; all that is on it stays where it is above ground."""
    where, held = standing(job, pole), held_by_height(job, pole)
    return with_place(held, pole, "framed", replace(where, cut_in=cut_in))


def mounted(job: Job, key: str | None) -> str | None:
    """The item fixed to a pole that carries an item, or is it."""
    while key is not None and key in job.item_by_id:
        where = place_at(job, job.item_by_id[key], "framed")
        if isinstance(where, OnPole | Guyed):
            return key
        key = host_of(where)
    return None


def wired_items(job: Job) -> set[str | None]:
    """Items fixed to a pole that carry wires, themselves or by what sits on them."""
    return {mounted(job, host_of(place_at(job, wire, "framed"))) for wire in job.wires}


def shorts(job: Job, books: Sequence[Rulebook], *, climbing: bool = False) -> list[Finding]:
    """Everything short as framed that nobody answers for."""
    found = check(place(job, "framed"), books, moving=not climbing)
    return [one for one in found[: found.counts["short"]] if not one.is_waived]


def pole_shorts(job: Job, books: Sequence[Rulebook], pole: str) -> list[Finding]:
    """What is short of the timber of one pole, whatever is on it."""
    return [
        one
        for one in shorts(job, books)
        if any(
            part is not None and part.owner == pole and part.tags & Tag.POLE
            for part in (one.a, one.b)
        )
    ]


def least_cut_work(job: Job, books: Sequence[Rulebook], pole: str) -> Work[float | None]:
    """The least more to be sawn off a pole so that its timber is short of nothing, a try at a time.

    0 where it is short of nothing now; `None` where no cut cures it that leaves a pole as high as
    the lowest thing that carries wires on it. To the next half inch.
    """
    if not pole_shorts(job, books, pole):
        return 0.0
    yield ""
    where, solid = standing(job, pole), place(job, "framed").poles[pole]
    if solid.top_up_in is None:
        return None

    def cured(more: float) -> bool:
        return not pole_shorts(with_cut(job, pole, where.cut_in + more), books, pole)

    spots, carry = Spots(job, "framed"), wired_items(job)
    ups = [
        up
        for item in job.items
        if item.id in carry
        and isinstance(at := spots.places.get(item.id), OnPole | Guyed)
        and at.host == pole
        and (up := spots.up_in(item)) is not None
    ]
    most = solid.top_up_in - max(12.0, min(ups, default=12.0))
    low, high = 0, int(rounded(most, STEP_IN, "down") / STEP_IN)
    if high <= 0 or not cured(high * STEP_IN):
        return None
    while high - low > 1:
        yield ""
        middle = (low + high) // 2
        low, high = (low, middle) if cured(middle * STEP_IN) else (middle, high)
    return high * STEP_IN


def tightest_to_top(judged: Findings, key: str) -> Finding | None:
    """Of what is asked a distance from the top of a pole, what has least to spare."""
    found = [
        one
        for one in judged
        if one.rule.measure == "below top"
        and one.a is not None
        and one.a.pole == key
        and one.a.owner != key
        and one.spare is not None
    ]
    return min(found, key=lambda one: one.spare or 0.0, default=None)
