"""Edits of where things are. Each takes a job and gives a new one; the old one stays as it was."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal

from msgspec.structs import replace

from framer.errors import EditError
from framer.geometry.placing import place
from framer.geometry.pole import PoleSolid, pole_solid
from framer.geometry.spot import Spots
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Join, Wire
from framer.model.link import linked
from framer.model.place import (
    AnyPlace,
    Azimuth,
    By,
    Guyed,
    Hold,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Same,
    Standing,
    Undecided,
    When,
)
from framer.model.stage import Stage, host_of, is_undecided, place_at, pole_at
from framer.stock.catalogue import catalogue
from framer.stock.part import AttachmentPart, InsulatorPart

EditStage = Literal["found", "framed"]
"""Which end of a chain an edit is about."""


def with_thing(job: Job, thing: Item | Wire | Join) -> Job:
    """The job with one thing replaced by its new version of the same id.

    Steps that brought it to a place it has no more no longer do.
    """
    if thing.id in job.moved and len(thing.places) < len(job.thing_by_id[thing.id].places):
        last = len(thing.places)
        steps = tuple(
            step.moving(go for go in step.goes if go[0] != thing.id or (go[1] or 0) <= last)
            for step in job.steps
        )
        job = replace(job, steps=steps)
    if isinstance(thing, Item):
        return replace(job, items=tuple(thing if it.id == thing.id else it for it in job.items))
    if isinstance(thing, Wire):
        return replace(job, wires=tuple(thing if it.id == thing.id else it for it in job.wires))
    return replace(job, joins=tuple(thing if it.id == thing.id else it for it in job.joins))


def thing(job: Job, key: str) -> Item | Wire:
    """The item or wire with an id.

    Raises:
        EditError: there is none.
    """
    found: Item | Wire | None = job.item_by_id.get(key) or job.wire_by_id.get(key)
    if found is None:
        raise EditError(f"there is no item or wire '{key}'")
    return found


def with_place(job: Job, key: str, stage: EditStage, where: AnyPlace) -> Job:
    """The job with the found or the after place of one thing set.

    Raises:
        EditError: there is no such thing, or the place after is at a height nobody knows.
    """
    changed = thing(job, key)
    if stage == "framed" and isinstance(where, OnPole) and where.at_in is None:
        raise EditError(f"the height of {job.label(key)} is not known")
    places = changed.places
    if stage == "found":
        rest = tuple(place for place in places if place.when != "found")
        if len(rest) == len(places):
            job = _places_counted_from(job, key, 1)
        chain: tuple[AnyPlace, ...] = (replace(where, when="found"), *rest)
    else:
        built = next((place for place in places if place.when == "built"), None)
        # what was measured as built is corrected, and what was drawn stays beside it
        same = type(built) is type(where) and host_of(built) == host_of(where)
        when: When = "built" if same else "after"
        replaced = ("built",) if when == "built" else ("after", "built")
        rest = tuple(place for place in places if place.when not in replaced)
        chain = (*rest, replace(where, when=when))
    return with_thing(job, replace(changed, places=chain))


def _places_counted_from(job: Job, key: str, more: int) -> Job:
    """The job whose steps bring a thing to the places they did, with more before these."""
    steps = tuple(
        step.moving((name, to + more if name == key and to else to) for name, to in step.goes)
        for step in job.steps
    )
    return replace(job, steps=steps)


def current_place(job: Job, key: str, stage: EditStage) -> AnyPlace:
    """Where a thing is at one end of its chain, so that it can be changed.

    The place framed of a thing that was read where it was found and stays there has what was read.

    Raises:
        EditError: it has no place there, or nobody has said yet what becomes of it.
    """
    changed = thing(job, key)
    where = place_at(job, changed, stage)
    if where is None:
        raise EditError(f"{job.label(key)} has no place {_stage_words(stage)}")
    if stage == "framed" and is_undecided(changed):
        raise EditError(f"say first what becomes of {job.label(key)}")
    if stage == "framed" and where.when == "found" and isinstance(where, OnPole | Guyed):
        spots = Spots(job, "found")
        up = spots.up_in(job.item_by_id[key])
        at = None if up is None else spots.poles[where.host].at(where.hold, up)
        return replace(where, at_in=None if at is None else max(0.0, at))
    return where


def _stage_words(stage: EditStage) -> str:
    return "as found" if stage == "found" else "as framed"


def set_along_pole(job: Job, key: str, stage: EditStage, hold: Hold, at_in: float) -> Job:
    """The job with an item moved along its pole to a distance on one of the references.

    The place keeps the reference it is held by; only the spot changes.

    Raises:
        EditError: the item is not on a pole, the spot would be above the top or underground, or
            it was read where the thing was found, which beats what is typed.
    """
    where = current_place(job, key, stage)
    if not isinstance(where, OnPole | Guyed):
        raise EditError(f"{job.label(key)} is not fixed to a pole")
    if stage == "found" and any(job.reading(key, what) for what in ("height", "drop", "butt")):
        raise EditError(f"where {job.label(key)} was found is a reading; correct the reading")
    pole = job.item_by_id.get(where.host)
    standing = place_at(job, pole, stage) if pole else None
    if pole is None or not isinstance(standing, Standing):
        raise EditError(f"{job.label(where.host)} is not standing {_stage_words(stage)}")
    solid = pole_solid(job, pole, standing)
    up = solid.up(hold, at_in)
    at = None if up is None else solid.at(where.hold, up)
    if up is None or at is None:
        raise EditError(f"the length or setting depth of {job.label(pole.id)} is not known")
    if solid.top_up_in is not None and up > solid.top_up_in + 1e-6:
        raise EditError(f"that is above the top of {job.label(pole.id)}")
    if up < -1e-6:
        raise EditError("that is below the ground line")
    moved = with_place(job, key, stage, replace(where, at_in=max(0.0, at)))
    return moved if stage == "found" else _followed(moved, key, solid, up)


def _followed(job: Job, key: str, solid: PoleSolid, up_in: float) -> Job:
    """The job with all that is linked to an item moved along the pole with it.

    Raises:
        EditError: something linked would be above the top or underground.
    """
    for other, above in linked(job.links, key).items():
        if other == key or pole_at(job, job.item_by_id[other], "framed") != solid.item:
            continue
        where = current_place(job, other, "framed")
        if not isinstance(where, OnPole | Guyed):
            continue
        up = up_in + above
        at = solid.at(where.hold, up)
        beyond = solid.top_up_in is not None and up > solid.top_up_in + 1e-6
        if at is None or beyond or up < -1e-6:
            why = "above the top" if beyond else "below the ground line"
            moves_with = f"{job.label(other)} moves with {job.label(key)}"
            raise EditError(f"{moves_with}, and would be {why} of {job.label(solid.item)}")
        job = with_place(job, other, "framed", replace(where, at_in=max(0.0, at)))
    return job


def set_hold(job: Job, key: str, stage: EditStage, hold: Hold) -> Job:
    """The job with an item held by another reference, at the spot it is at.

    Raises:
        EditError: the item is not on a pole, it is above the finished top or underground, or the
            reference is not known.
    """
    where = current_place(job, key, stage)
    if not isinstance(where, OnPole | Guyed) or where.at_in is None:
        raise EditError(f"{job.label(key)} has no typed height on a pole")
    pole = job.item_by_id[where.host]
    standing = place_at(job, pole, stage)
    if not isinstance(standing, Standing):
        raise EditError(f"{job.label(where.host)} is not standing {_stage_words(stage)}")
    solid = pole_solid(job, pole, standing)
    held = replace(where, hold=hold, at_in=_carried_over(job, solid, where.hold, where.at_in, hold))
    if isinstance(held, OnPole) and held.to_in is not None:
        held = replace(held, to_in=_carried_over(job, solid, where.hold, held.to_in, hold))
    return with_place(job, key, stage, held)


def _carried_over(job: Job, solid: PoleSolid, hold: Hold, at_in: float, to: Hold) -> float:
    """What a spot held by one reference reads on another.

    Raises:
        EditError: it is not known, or beyond the end the other is counted from.
    """
    up = solid.up(hold, at_in)
    at = None if up is None else solid.at(to, up)
    label = job.label(solid.item)
    if at is None:
        raise EditError(f"the length or setting depth of {label} is not known")
    if at < -1e-6:
        where = {
            "drop": "above the top of",
            "butt": "below the butt of",
            "height": "below ground at",
        }
        raise EditError(f"it is {where[to]} {label}")
    return max(0.0, at)


def set_azimuth(job: Job, key: str, stage: EditStage, azimuth_deg: Azimuth) -> Job:
    """The job with an item on another side of its pole.

    What sits on a turned arm keeps its distance from the bolt; where the arm goes to the opposite
    face, what was east of the pole stays east, but for what nobody has decided about.

    Raises:
        EditError: the item is not on a pole.
    """
    where = current_place(job, key, stage)
    if not isinstance(where, OnPole | Guyed):
        raise EditError(f"{job.label(key)} is not fixed to a pole")
    turned = with_place(job, key, stage, replace(where, azimuth_deg=azimuth_deg % 360.0))
    if abs((azimuth_deg - where.azimuth_deg) % 360.0 - 180.0) > 1e-6:
        return turned
    for item in job.items:
        at = place_at(job, item, stage)
        undecided = stage == "framed" and is_undecided(item)
        if isinstance(at, OnArm) and at.host == key and not undecided:
            turned = with_place(turned, item.id, stage, replace(at, along_in=-at.along_in))
    return turned


def set_further(job: Job, key: str, stage: EditStage, field: str, value_in: float | None) -> Job:
    """The job with another length of something on a pole changed: of a run, a guy, or a fitting.

    Raises:
        EditError: what is there has no such length.
    """
    where = current_place(job, key, stage)
    lengths = {"to_in", "out_in"} if isinstance(where, OnPole) else set()
    if isinstance(where, Guyed):
        lengths = {"lead_in", "far_height_in", "insulator_in"}
    if field not in lengths:
        raise EditError(f"{job.label(key)} has no such length")
    return with_place(job, key, stage, replace(where, **{field: value_in}))


def set_along_arm(job: Job, key: str, stage: EditStage, along_in: float) -> Job:
    """The job with an item moved along its arm.

    Raises:
        EditError: the item is not on an arm.
    """
    where = current_place(job, key, stage)
    if not isinstance(where, OnArm):
        raise EditError(f"{job.label(key)} is not on an arm")
    return with_place(job, key, stage, replace(where, along_in=along_in))


def supports(job: Job, stage: Stage) -> Iterator[tuple[str, str, int]]:
    """Everything a wire can rest on at a stage: in words, the item, and which of its places."""
    for item in job.items:
        where = place_at(job, item, stage)
        if where is None or isinstance(where, Removed) or is_undecided(item):
            continue
        stock = catalogue().get(item.part or "")
        if isinstance(stock, InsulatorPart) and len(stock.levels_in) > 1:
            for position in range(len(stock.levels_in)):
                yield f"{job.label(item.id)}, place {position + 1} from the top", item.id, position
        elif item.kind == "lift" or isinstance(stock, InsulatorPart | AttachmentPart):
            yield job.label(item.id), item.id, 0


def set_support(job: Job, key: str, stage: EditStage, support: str, position: int = 0) -> Job:
    """The job with a wire resting on another item.

    Raises:
        EditError: there is no such wire or item.
    """
    if key not in job.wire_by_id or support not in job.item_by_id:
        raise EditError(f"there is no wire '{key}' or no item '{support}'")
    where = OnItem(when="after", host=support, position=position)
    return with_place(job, key, stage, where)


def set_standing(job: Job, key: str, stage: EditStage, **changes: Any) -> Job:
    """The job with a pole standing otherwise: depth, cut, offset, grade, rake.

    Raises:
        EditError: it is no standing pole, or nothing of it would be above ground.
    """
    where = current_place(job, key, stage)
    pole = job.item_by_id.get(key)
    if not isinstance(where, Standing) or pole is None or pole.pole is None:
        raise EditError(f"{job.label(key)} is no standing pole")
    changed = replace(where, **changes)
    if min(changed.cut_in, changed.depth_in or 0.0) < 0:
        raise EditError("a depth or a cut cannot be negative")
    stands = _above_ground(with_place(job, key, stage, changed), key)
    return stands if stage == "found" else _links_kept(stands, pole, changed)


def _links_kept(job: Job, pole: Item, standing: Standing) -> Job:
    """The job with linked items of a pole where their leaders are, after it was cut or set anew."""
    solid, followers = pole_solid(job, pole, standing), {link.follower for link in job.links}
    for leader in sorted({link.leader for link in job.links} - followers):
        where = place_at(job, job.item_by_id[leader], "framed")
        if isinstance(where, OnPole | Guyed) and where.host == pole.id:
            up = Spots(job, "framed").up_in(job.item_by_id[leader])
            if up is not None:
                job = _followed(job, leader, solid, up)
    return job


def _above_ground(job: Job, key: str) -> Job:
    """The job, in which some of a pole is above ground wherever it stands.

    Raises:
        EditError: nothing of it is.
    """
    pole = job.item_by_id[key]
    length = pole.pole.length_in if pole.pole else None
    for where in pole.places:
        if isinstance(where, Standing) and length is not None:
            top = pole_solid(job, pole, where).top_up_in
            buried = where.cut_in + (where.depth_in or 0.0)
            if buried >= length or (top is not None and top <= 0.0):
                raise EditError(f"nothing of {job.label(key)} would be above ground")
    return job


def set_pole(job: Job, key: str, **changes: Any) -> Job:
    """The job with other facts of a pole: length, class, species.

    Raises:
        EditError: it is no pole, or nothing of it would be above ground.
    """
    pole = job.item_by_id.get(key)
    if pole is None or pole.pole is None:
        raise EditError(f"{job.label(key)} is no pole")
    changed = replace(pole, pole=replace(pole.pole, **changes))
    return _above_ground(with_thing(job, changed), key)


def set_fate(job: Job, key: str, fate: Literal["stays", "remove", "by others", "undecided"]) -> Job:
    """The job with the fate of a found thing decided without moving it.

    Raises:
        EditError: the thing was not found here.
    """
    changed = thing(job, key)
    if changed.places[0].when != "found":
        raise EditError(f"{job.label(key)} was not found here; delete it instead")
    last: dict[str, AnyPlace] = {
        "stays": Same(when="after"),
        "remove": Removed(when="after"),
        "by others": Removed(when="after", by="others"),
        "undecided": Undecided(when="after"),
    }
    return with_place(job, key, "framed", last[fate])


def transfer(job: Job, key: str, pole: str, by: By = "crew") -> Job:
    """The job with a found thing moved over to another pole, at the height and side it has.

    What sits on an arm or other item goes with it and keeps its place there, unless it has been
    decided otherwise.

    Raises:
        EditError: the thing or the pole is not there, or its height is not known.
    """
    changed = thing(job, key)
    where = place_at(job, changed, "found")
    target = job.item_by_id.get(pole)
    standing = place_at(job, target, "framed") if target else None
    if where is None:
        raise EditError(f"{job.label(key)} was not found here")
    if target is None or not isinstance(standing, Standing):
        raise EditError(f"{job.label(pole)} does not stand in the framed job")
    if not isinstance(where, OnPole | Guyed):
        return with_place(job, key, "framed", Same(when="after", by=by))
    above_datum = _found_heights(job, key, where)
    if above_datum is None:
        raise EditError(f"the height of {job.label(key)} is not known")
    height, other = (max(0.0, one - standing.grade_in) for one in above_datum)
    moved = replace(where, host=pole, hold="height", at_in=height, by=by)
    if isinstance(moved, OnPole) and moved.to_in is not None:
        moved = replace(moved, to_in=other)
    done = with_place(job, key, "framed", moved)
    for item in job.items:
        at = place_at(job, item, "found")
        if isinstance(at, OnArm | OnItem) and at.host == key and is_undecided(item):
            done = with_place(done, item.id, "framed", Same(when="after", by=by))
    return done


def _found_heights(job: Job, key: str, where: OnPole | Guyed) -> tuple[float, float] | None:
    """Heights above the job datum at which a thing was found, and its other end if it is a run.

    The scene knows about readings. `None` when they are not known.
    """
    scene = place(job, "found")
    parts = scene.parts_of.get(key, ())
    if not parts or parts[0].missing:
        return None
    solid = scene.poles[where.host]
    height = solid.point(parts[0].up_in)[2]
    to_in = where.to_in if isinstance(where, OnPole) else None
    other = None if to_in is None else solid.up(where.hold, to_in)
    return height, height if other is None else solid.point(other)[2]
