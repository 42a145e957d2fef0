"""Edits of links: items that follow others along their pole."""

from __future__ import annotations

from msgspec.structs import replace

from framer.edits.places import set_along_pole
from framer.errors import EditError
from framer.geometry.spot import Spots
from framer.model.job import Job
from framer.model.link import Link, contradictions
from framer.model.stage import pole_at


def set_link(job: Job, follower: str, leader: str, drop_in: float | None = None) -> Job:
    """The job in which an item follows another at a distance below it, and is moved there.

    Args:
        job: the job.
        follower: id of the item that follows.
        leader: id of the item it follows.
        drop_in: how far below its leader it stays [in], negative for above; as it is now if `None`.

    Raises:
        EditError: one of them is not fixed to a pole as framed, they are on two poles, the link
            contradicts another, or the follower has no room there.
    """
    ups = []
    spots = Spots(job, "framed")
    for key in (follower, leader):
        item = job.item_by_id.get(key)
        up = spots.up_in(item) if item is not None else None
        if up is None:
            raise EditError(f"{job.label(key)} has no known height on a pole as framed")
        ups.append(up)
    one, other = (pole_at(job, job.item_by_id[key], "framed") for key in (follower, leader))
    if one != other:
        raise EditError(f"{job.label(follower)} and {job.label(leader)} are on two poles")
    drop = ups[1] - ups[0] if drop_in is None else drop_in
    others = tuple(link for link in job.links if link.follower != follower)
    links = (*others, Link(follower, leader, drop))
    for _, key, problem in contradictions(links):
        raise EditError(f"{job.label(key)} {problem}")
    return set_along_pole(
        replace(job, links=links), leader, "framed", "height", _height(spots, leader)
    )


def end_link(job: Job, follower: str) -> Job:
    """The job in which an item follows no other; it stays where it is.

    Raises:
        EditError: it follows none.
    """
    kept = tuple(link for link in job.links if link.follower != follower)
    if len(kept) == len(job.links):
        raise EditError(f"{job.label(follower)} follows nothing")
    return replace(job, links=kept)


def _height(spots: Spots, key: str) -> float:
    item = spots.job.item_by_id[key]
    solid = spots.poles[spots.spot(item).pole]
    return (spots.up_in(item) or 0.0) * solid.rise
