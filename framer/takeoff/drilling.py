"""The drill list of a pole: every bore in the order it is drilled, from butt, ground and top."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from msgspec import Struct

from framer.checks.measures import ONE_BORE_IN
from framer.errors import UnknownNameError
from framer.geometry.bores import factory_bores
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Scene
from framer.geometry.space import compass
from framer.geometry.written import STEP_IN, exact
from framer.model.item import Item
from framer.model.job import Job
from framer.model.place import Guyed, OnPole, Standing
from framer.model.stage import Fate, fate, place_at
from framer.stock.catalogue import catalogue
from framer.takeoff.bores import (
    BOLT_RULE_WORDS,
    BoreRow,
    bores,
    by_the_inch,
    flip_words,
    girth_missing,
)
from framer.takeoff.row import NEW_HARDWARE
from framer.units.compare import HAIR_IN, rounded
from framer.units.length import System

State = Literal["drill", "factory", "by others", "there"]
"""What is to be done at a bore: drilled, there from the factory, others drill it, there already."""

STATE_WORDS: dict[State, str] = {
    "drill": "drill",
    "factory": "factory bore, check its size",
    "by others": "drilled by others",
    "there": "there already",
}

_BORED = ("arm", "bracket", "transformer", "cutout", "arrester", "equipment", "guy", "attachment",
          "insulator", "lamp")  # fmt: skip
"""Kinds of items that hang on a pole by bolts, unless their stock part says otherwise."""


class DrillRow(Struct, frozen=True):
    """One bore of the list; lengths are on the printed grid, `None` where not known.

    Attributes:
        number: its place in the order.
        bore: the bore, with its bolt.
        what: what its bolt holds.
        state: what is to be done there.
        butt_in: from the butt along the pole.
        ground_in: above the ground line.
        top_in: below the finished top along the pole.
        check: butt and top added up, and whether that is the finished length, in words.
    """

    number: int
    bore: BoreRow
    what: str
    state: State
    butt_in: float | None
    ground_in: float | None
    top_in: float | None
    check: str

    @property
    def axis(self) -> str:
        """The compass line the bore runs along, such as N-S."""
        first, second = sorted(
            (self.bore.azimuth_deg % 360.0, (self.bore.azimuth_deg + 180.0) % 360.0)
        )
        return f"{compass(first)}-{compass(second)}"

    @property
    def head(self) -> str:
        """The side the head of the bolt is on; the arm's, where there is one."""
        return compass(self.bore.azimuth_deg)


class DrillList(Struct, frozen=True):
    """The bores of one pole.

    Attributes:
        pole: id of the pole.
        label: its name.
        solid: the pole.
        length_in: finished length, stock length less what is cut, `None` when not known.
        rows: from the top down, those of unknown height last.
        notes: what holds for the whole list: where length, depth and girth come from, the rule
            of the bolts.
        missing: what is not known, and what to give.
    """

    pole: str
    label: str
    solid: PoleSolid
    length_in: float | None
    rows: tuple[DrillRow, ...]
    notes: tuple[str, ...]
    missing: tuple[str, ...]


def drill_list(scene: Scene, pole: str) -> DrillList:
    """The drill list of a standing pole.

    Raises:
        UnknownNameError: no such pole stands at the scene's stage.
    """
    job = scene.job
    solid, item = scene.poles.get(pole), job.item_by_id.get(pole)
    if solid is None or item is None:
        raise UnknownNameError("standing pole", pole)
    where = place_at(job, item, scene.stage)
    cut = where.cut_in if isinstance(where, Standing) else 0.0
    stock = item.pole.length_in if item.pole else None
    factory = factory_bores(item.pole.bored_in if item.pole else (), cut)
    length = None if stock is None else stock - cut
    rows = tuple(
        _row(job, item, solid, cut, length, number, bore)
        for number, bore in enumerate((one for one in bores(scene) if one.pole == pole), start=1)
    )
    return DrillList(
        pole,
        job.label(pole),
        solid,
        length,
        rows,
        tuple(filter(None, (*_notes(job, solid, stock, cut), factory.labour(job.settings.units)))),
        tuple(dict.fromkeys(_missing(scene, item, solid, rows))),
    )


def _row(
    job: Job,
    pole: Item,
    solid: PoleSolid,
    cut: float,
    length: float | None,
    number: int,
    bore: BoreRow,
) -> DrillRow:
    butt, ground, top = bore.at or (None, None, None)
    check = "cannot say"
    if length is not None and butt is not None and top is not None:
        whole = rounded(length, STEP_IN[job.settings.units], "nearest")
        sign = "=" if abs(butt + top - whole) <= HAIR_IN else "is not"
        check = f"{exact(job, butt + top)} {sign} length"
    state = _state(job, pole, solid, cut, bore)
    return DrillRow(number, bore, bore.labels(job), state, butt, ground, top, check)


def _state(job: Job, pole: Item, solid: PoleSolid, cut: float, bore: BoreRow) -> State:
    fates: list[Fate] = [fate(job, job.item_by_id[item]) for item in bore.items]
    if bore.up_in is not None and solid.top_up_in is not None and pole.pole is not None:
        original_top = solid.top_up_in + cut
        if any(abs(original_top - down - bore.up_in) <= ONE_BORE_IN for down in pole.pole.bored_in):
            return "factory"
    if all(one == "by others" for one in fates):
        return "by others"
    new_pole = pole.places[0].when != "found"
    return "drill" if new_pole or any(one in NEW_HARDWARE for one in fates) else "there"


def _notes(job: Job, solid: PoleSolid, stock: float | None, cut: float) -> Iterator[str]:
    length = None if stock is None else stock - cut
    ends = ", ".join(
        f"{name} {exact(job, value)}"
        for name, value in (("Length", stock), ("cut", cut), ("finished", length))
    )
    yield ends
    yield f"Butt {exact(job, solid.depth_in)} below ground: {solid.depth_from}"
    yield f"Girth: {solid.girth_from}"
    rule = BOLT_RULE_WORDS[job.settings.bolt_rule]
    yield f"Bolt length by {rule}; next stock length at least that"


def _missing(
    scene: Scene, pole: Item, solid: PoleSolid, rows: tuple[DrillRow, ...]
) -> Iterator[str]:
    job = scene.job
    label = job.label(pole.id)
    if pole.pole is None or pole.pole.length_in is None:
        yield f"length of {label} not known: butt and top cannot be checked"
    if solid.depth_in is None:
        yield f"setting depth of {label} not known: give its depth or brand height"
    if len(solid.girths) < 2:
        yield girth_missing(job, solid)
    for row in rows:
        if row.bore.up_in is None:
            yield f"bore {row.number}, {row.what}: {row.bore.bolt.words}"
    known = catalogue()
    for item in job.items:
        where = place_at(job, item, scene.stage)
        if not isinstance(where, OnPole | Guyed) or where.host != pole.id:
            continue
        part = known.get(item.part or "")
        if item.kind in _BORED and (part is None or not part.bores) and not _screwed(item):
            yield f"bores of {job.label(item.id)} not known: " + (
                "no stock part is named" if part is None else f"stock has none for {part.name}"
            )


def _screwed(item: Item) -> bool:
    """Whether the part goes on without a bore through the pole, as its stock entry says."""
    part = catalogue().get(item.part or "")
    return part is not None and "no through bore" in part.note


def bolt_words(row: DrillRow) -> str:
    """The bolt to take, as printed: kind, diameter and length."""
    bore = row.bore
    dia = by_the_inch(bore.bolt_dia_in)
    kind = "double-arming " if bore.bolt_kind == "double arming" else ""
    stock = bore.bolt.stock_in
    length = "length unresolved" if stock is None else f"x {by_the_inch(stock)}"
    return f"{kind}{dia} {length}"


def stack_words(row: DrillRow, system: System) -> tuple[str, ...]:
    """How the bolt's length comes about: stack, thumb rule, what flips it, what is wrong.

    Bolts are made by the inch, so that their stack is in inches in every job.
    """
    bolt = row.bore.bolt
    if bolt.stack_in is None or bolt.thumb_in is None:
        return (bolt.words,)
    pieces = "".join(
        f" {'-' if thickness < 0 else '+'} {name} {abs(thickness):.2f}"
        for name, thickness in bolt.layers
    ).removeprefix(" + ")
    none = "none in stock"
    by_stack, by_thumb = (
        none if one is None else f"{one:g} in" for one in (bolt.stack_stock_in, bolt.thumb_stock_in)
    )
    lines = [
        f"{pieces} = {bolt.stack_in:.2f} in: {by_stack}; thumb rule {bolt.thumb_in:.2f} in: "
        f"{by_thumb}{'; THE TWO DIFFER' if bolt.differ else ''}"
    ]
    return tuple(filter(None, (*lines, flip_words(row.bore, system), *bolt.problems)))


def drill_cells(job: Job, row: DrillRow) -> tuple[str, ...]:
    """A row of the list as it is read, number first; paper and CSV say the same."""
    return (
        f"{row.number}",
        row.what,
        STATE_WORDS[row.state],
        exact(job, row.butt_in),
        exact(job, row.ground_in),
        exact(job, row.top_in),
        row.check,
        row.axis,
        row.head,
        by_the_inch(row.bore.hole_in),
        bolt_words(row),
    )
