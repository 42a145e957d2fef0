"""Whether insulators hold their wire across and along their axis, and the bolts of dead-ends.

By the letter of what was read the loads are taken without factors and a share of the rating counts.
The wind that adds most to the pull is taken. What has no rating in stock cannot be said.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from framer.geometry.scene import Scene
from framer.model.item import Item
from framer.stock.catalogue import catalogue
from framer.stock.part import InsulatorPart
from framer.strength.fittings import InsulatorShare, fittings, steel_of
from framer.strength.loads import Gust, Loads, Pull, gust_forces
from framer.strength.member import Judged, down, up, used
from framer.strength.method import Grade, Method, asked
from framer.strength.typed import insulator_share

_ALL_ROUND = np.array(
    [(math.sin(step * math.pi / 90.0), math.cos(step * math.pi / 90.0)) for step in range(90)]
)
_ALONG = ("dead-end", "suspension")
"""Styles that hang or are strung out in the way of the pull."""


def judged_insulators(
    scene: Scene, method: Method, grade: Grade, carried: Loads
) -> Iterator[Judged]:
    """What is said of every insulator of a pole that holds a wire of known tension."""
    share = insulator_share(method, scene.job.settings)
    pulls: dict[str, list[Pull]] = defaultdict(list)
    gusts: dict[str, list[Gust]] = defaultdict(list)
    strung = {one.key for one in carried.strung}
    support = {
        part.owner: part.support
        for part in scene.bodies
        if part.owner in strung and part.pole == carried.pole and part.support
    }
    for pull in carried.steady:
        if pull.owner in support:
            pulls[support[pull.owner] or ""].append(pull)
    for gust in carried.gusts:
        if gust.owner in support:
            gusts[support[gust.owner] or ""].append(gust)
    for key, some in pulls.items():
        item = scene.job.item_by_id.get(key)
        stock = catalogue().get(item.part or "") if item is not None else None
        if item is None or not isinstance(stock, InsulatorPart):
            continue
        yield _insulator(item, scene, stock, some, gusts[key], share, method, carried)
        if stock.style == "dead-end" and stock.bores and _on_pole(scene, item, carried):
            yield _bolt(item, scene, stock, some, method, grade, carried)


def _on_pole(scene: Scene, item: Item, carried: Loads) -> bool:
    parts = scene.parts_of.get(item.id, ())
    return bool(parts) and parts[0].level == carried.pole


def most_sideways(pulls: list[Pull], gusts: list[Gust]) -> tuple[float, float]:
    """What wires pull sideways in the worst wind, and what comes down, without factors [lbf]."""
    east = sum(one.east_lbf for one in pulls)
    north = sum(one.north_lbf for one in pulls)
    down = sum(one.down_lbf for one in pulls)
    faces = [(face[0], face[1]) for gust in gusts for face in gust.faces]
    ways = np.concatenate((_ALL_ROUND, np.array(faces).reshape(-1, 2)))
    ways = np.concatenate((ways, -ways))
    force = gust_forces(gusts, ways).sum(axis=1)
    most = float(np.hypot(east + force * ways[:, 0], north + force * ways[:, 1]).max())
    most = max(most, math.hypot(east, north))
    return most, down


def _insulator(
    item: Item,
    scene: Scene,
    stock: InsulatorPart,
    pulls: list[Pull],
    gusts: list[Gust],
    share: InsulatorShare | None,
    method: Method,
    carried: Loads,
) -> Judged:
    base = Judged("insulator", item.id, scene.job.label(item.id), carried.case.name)
    side, low = most_sideways(pulls, gusts)
    along = stock.style in _ALONG
    load = math.hypot(side, low) if along else side
    rating = stock.along_lbf if along else stock.sideways_lbf
    how = f"known by: {stock.how_known('along_lbf' if along else 'sideways_lbf')}"
    if item.rated_lbf is not None:
        rating, how = item.rated_lbf, "typed"
    words = "along its axis" if along else "sideways at the wire"
    whole = f" and {up(abs(low))} lbf {'down' if low > 0.0 else 'up'}: {up(load)} lbf {words}"
    wires = math.hypot(
        *(sum(getattr(one, way) for one in pulls) for way in ("east_lbf", "north_lbf"))
    )
    lines: tuple[str, ...] = (
        f"Wires {wires:,.1f} lbf and wind together pull {up(side)} lbf "
        f"{'level' + whole if along else words}, without factors, in the worst wind",
    )
    if not along and abs(low) >= 1.0:
        way = "come down on it" if low > 0.0 else "lift it"
        lines += (f"{up(abs(low))} lbf {way}: no rating for that is known here, not judged",)
    if rating is None:
        return replace(base, missing=f"strength of {stock.name} {words} not known", lines=lines)
    if share is None:
        return replace(
            base,
            missing=f"what {method.name} lets insulators carry is not known here",
            lines=lines,
        )
    part = share.along if along else share.sideways
    lines += (
        f"{stock.name}: rated {rating:,.0f} lbf {words} ({how}) x {part:g} = "
        f"{down(rating * part)} lbf",
        *used(load, rating * part, "what counts of its rating"),
        f"Share: {share.source.words()}. {share.note}",
    )
    return replace(base, load=load, holds=rating * part, where=words, lines=lines)


def _bolt(
    item: Item,
    scene: Scene,
    stock: InsulatorPart,
    pulls: list[Pull],
    method: Method,
    grade: Grade,
    carried: Loads,
) -> Judged:
    """The bolt through the pole that a dead-end pulls along."""
    base = Judged("bolt", item.id, scene.job.label(item.id), carried.case.name)
    want = asked(method, grade, carried.case, "guy")
    dia = stock.bores[0].bolt_dia_in
    steel = steel_of(fittings().bolts, dia)
    pull = math.hypot(sum(one.east_lbf for one in pulls), sum(one.north_lbf for one in pulls))
    load = pull * want.tension
    if steel is None:
        return replace(base, missing=f"strength of a {dia:g} in bolt not known")
    if want.share is None:
        return replace(base, missing=want.missing)
    many = len(stock.bores)
    holds = steel.strength_lbf * want.share
    lines = (
        f"Pull along the bolt {pull:,.1f} lbf x {want.tension:g} = {up(load)} lbf"
        + (f"; {many} bolts, taken as one" if many > 1 else ""),
        f"{dia:g} in bolt breaks at {steel.strength_lbf:,.0f} lbf, {steel.source.words()}; x "
        f"{want.share:.4g} as for guys: the method's factor of bolts is not known here",
    )
    return replace(
        base,
        load=load,
        holds=holds,
        assumed=("bolts judged by the factor of guys",),
        lines=lines,
    )
