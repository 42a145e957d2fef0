"""Topping: how much has to be sawn off a pole, and what that does; the uncut form beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from framer.answers.consequences import Judged, consequences
from framer.answers.forms import (
    framed_pole,
    least_cut_work,
    standing,
    tightest_to_top,
    with_cut,
)
from framer.answers.work import Work
from framer.checks.engine import check
from framer.checks.finding import Finding
from framer.checks.rulebook import Rulebook
from framer.errors import EditError
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.place import Guyed, OnPole
from framer.model.stage import place_at
from framer.units.compare import HAIR_IN

SOURCES = (
    "sources disagree on cutting the top of a treated pole: an agency's manual (FIST 4-6) says not "
    "to cut the top of a new replacement pole; a guide for transmission lines says tops are not "
    "cut, and a cut one is capped with mastic; a government guide specification (UFGS 16301N) says "
    "to saw the top where a pole must be shortened; none has the butt cut"
)
"""Read, in excerpts: U.S. Bureau of Reclamation FIST 4-6; transmission-line.net; UFGS-16301N."""

CLASS = (
    "the class letter no longer describes a topped pole: its tip is thicker than the class asks, "
    "and all below the cut is as it was; reckon strength from girths measured on it"
)
CAP = "cap or seal the cut top; shorten from the top only"


class Drop(Struct, frozen=True):
    """One thing on the pole: below the uncut and the cut top, and above ground; `None` unknown."""

    key: str
    before_in: float | None
    after_in: float | None
    height_in: float | None


class Form(Struct, frozen=True):
    """A pole with one cut, and what is short of everything in the job then."""

    job: Job
    cut_in: float
    top_in: float | None
    diameter_in: float | None
    shorts: tuple[Finding, ...]
    margin: Finding | None


class Topping(Struct, frozen=True):
    """What a cut of the top does.

    Attributes:
        pole: the pole.
        before: as it is drafted.
        after: with the cut; `None` where no cut cures what is short of its timber.
        needed: whether its timber is short of anything as drafted.
        drops: what is on it, from the top down.
        lost_bores: factory bores that are of no use after the cut, how far each was below the
            original top, and how far it is below the finished one; negative for cut off.
        words: everything else that changes, a sentence each.
    """

    pole: str
    before: Form
    after: Form | None
    needed: bool
    drops: tuple[Drop, ...]
    lost_bores: tuple[tuple[float, float], ...]
    words: tuple[str, ...]


def topping_work(
    job: Job, books: Sequence[Rulebook], pole: str | None = None, cut_in: float | None = None
) -> Work[Topping]:
    """What becomes of a pole and all on it with a cut, or with the least that its timber asks.

    Everything on it stays where it is above ground.

    Raises:
        EditError: there is no such pole as framed, or its top is not known.
    """
    key = framed_pole(job, pole)
    where, solid = standing(job, key), place(job, "framed").poles[key]
    if solid.top_up_in is None:
        raise EditError(
            f"the top of {job.label(key)} is not known: give its length and depth, or a reading "
            "of its top"
        )
    more = yield from least_cut_work(job, books, key)
    yield "cutting the top"
    needed = more is None or more > HAIR_IN
    least = None if more is None else where.cut_in + more
    cut = least if cut_in is None else cut_in
    before = _form(job, books, key, where.cut_in)
    yield ""
    if cut is None or abs(cut - where.cut_in) <= HAIR_IN:
        after = None if cut is None else before
        return Topping(key, before, after, needed, tuple(_drops(job, job, key)), (), ())
    if cut >= where.cut_in + solid.top_up_in:
        raise EditError(f"nothing of {job.label(key)} would be above ground")
    topped = with_cut(job, key, cut)
    scenes = [Judged(place(one, "framed"), ()) for one in (job, topped)]
    judged = [Judged(one.scene, check(one.scene, books, moving=True)) for one in scenes]
    yield ""
    after = _form(topped, books, key, cut)
    yield ""
    return Topping(
        key,
        before,
        after,
        needed,
        tuple(_drops(job, topped, key)),
        tuple(_lost(topped, books, key)),
        tuple(
            # drops and factory bores are told one by one
            line
            for line in consequences(judged[0], judged[1], key)
            if not line.startswith(("below the finished top", "factory bores"))
        ),
    )


def _form(job: Job, books: Sequence[Rulebook], key: str, cut_in: float) -> Form:
    scene = place(job, "framed")
    solid = scene.poles[key]
    found = check(scene, books, moving=True)
    top = solid.top_up_in
    return Form(
        job,
        cut_in,
        None if top is None else top * solid.rise,
        None if top is None else solid.diameter_in(top),
        tuple(one for one in found[: found.counts["short"]] if not one.is_waived),
        tightest_to_top(found, key),
    )


def _drops(before: Job, after: Job, key: str) -> Iterator[Drop]:
    scenes = [place(one, "framed") for one in (before, after)]
    rows = []
    for item in after.items:
        where = place_at(after, item, "framed")
        if not isinstance(where, OnPole | Guyed) or where.host != key:
            continue
        drops: list[float | None] = []
        height = None
        for scene in scenes:
            solid, parts = scene.poles[key], scene.parts_of.get(item.id, ())
            known = bool(parts) and not parts[0].missing
            drops.append(solid.at("drop", parts[0].up_in) if known else None)
            height = solid.at("height", parts[0].up_in) if known else None
        rows.append(Drop(item.id, drops[0], drops[1], height))
    yield from sorted(rows, key=lambda one: -(one.height_in or 0.0))


def _lost(job: Job, books: Sequence[Rulebook], key: str) -> Iterator[tuple[float, float]]:
    """Factory bores that are cut off, or too near the finished top by the books."""
    item = job.item_by_id[key]
    bored = item.pole.bored_in if item.pole else ()
    near = {
        one.a.key
        for one in check(place(job, "framed"), books, moving=True)
        if one.rule.measure == "below top" and one.verdict == "short" and one.a is not None
    }
    cut = standing(job, key).cut_in
    for number, from_top in enumerate(bored, start=1):
        if from_top - cut < -HAIR_IN or f"{key}/bore{number}" in near:
            yield from_top, from_top - cut
