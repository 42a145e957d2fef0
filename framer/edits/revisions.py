"""As-built places, chosen notice rules, and photos of a job."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from framer.edits.places import with_thing
from framer.errors import EditError
from framer.geometry.spot import Spots
from framer.model.item import Item
from framer.model.job import Job
from framer.model.link import linked
from framer.model.place import AnyPlace, Guyed, Hold, OnPole, Same, Standing, Undecided
from framer.model.revision import Notice, Photo

MOST_PHOTOS = 200


def drawn_place(item: Item) -> AnyPlace | None:
    """Where an item was to be, whatever was built; `None` where nobody said."""
    for where in reversed(item.places):
        if where.when != "built" and not isinstance(where, Same | Undecided):
            return where
    return None


def without_built(job: Job) -> Job:
    """The job as it was drawn: nothing measured by the crew."""
    for item in job.items:
        chain = tuple(where for where in item.places if where.when != "built")
        if chain and chain != item.places:
            job = with_thing(job, replace(item, places=chain))
    return job


def built_at(job: Job, key: str, hold: Hold, at_in: float) -> Job:
    """The job with an item built where the crew measured it along its pole.

    Args:
        job: the job.
        key: id of an item on a pole, or of a guy.
        hold: what the distance is measured from.
        at_in: the distance as measured, inches.

    Raises:
        EditError: there is no such item on a pole, or it was not to be there.
    """
    item = _item(job, key)
    drawn = drawn_place(item)
    if not isinstance(drawn, OnPole | Guyed):
        raise EditError(f"{job.label(key)} is not fixed to a pole as drawn: nothing to measure")
    return _built(job, item, replace(drawn, when="built", by="crew", hold=hold, at_in=at_in))


def built_deep(job: Job, key: str, depth_in: float) -> Job:
    """The job with a pole set as deep as the crew measured.

    Raises:
        EditError: there is no such pole, or it was not to stand.
    """
    item = _item(job, key)
    drawn = drawn_place(item)
    if not isinstance(drawn, Standing):
        raise EditError(f"{job.label(key)} is no pole that stands as drawn")
    length = item.pole.length_in if item.pole else None
    if length is not None and depth_in + drawn.cut_in >= length:
        raise EditError(f"{job.label(key)} would have nothing above ground at that depth")
    return _built(job, item, replace(drawn, when="built", by="crew", depth_in=depth_in))


def as_measured(job: Job, keys: Iterable[str]) -> Job:
    """The job with items on poles, and what follows them, built where they are now.

    What is moved along its pole after that is corrected as built, and what was drawn stays.

    Raises:
        EditError: one of them is not fixed to a pole as drawn.
    """
    spots = Spots(job, "framed")
    for key in dict.fromkeys(other for one in keys for other in (one, *linked(job.links, one))):
        item = _item(job, key)
        if any(where.when == "built" for where in item.places):
            continue
        up, where = spots.up_in(item), spots.places.get(key)
        solid = spots.poles.get(getattr(where, "host", ""))
        at = None if up is None or solid is None else solid.at("height", up)
        if at is None:
            raise EditError(f"{job.label(key)} is at no known height on a pole: nothing to measure")
        job = built_at(job, key, "height", at)
    return job


def not_built(job: Job, key: str) -> Job:
    """The job with nothing measured of an item.

    Raises:
        EditError: there is no such item.
    """
    item = _item(job, key)
    kept = tuple(place for place in item.places if place.when != "built")
    return job if kept == item.places else with_thing(job, replace(item, places=kept))


def _item(job: Job, key: str) -> Item:
    item = job.item_by_id.get(key)
    if item is None:
        raise EditError(f"there is no item '{key}'")
    return item


def _built(job: Job, item: Item, where: AnyPlace) -> Job:
    kept = tuple(place for place in item.places if place.when != "built")
    return with_thing(job, replace(item, places=(*kept, where)))


def with_notice(job: Job, rule: str, date: str) -> Job:
    """The job with a notice rule reckoned from a day; the same rule is not there twice."""
    others = tuple(one for one in job.notices if one.rule != rule)
    return replace(job, notices=(*others, Notice(rule, date)))


def without_notice(job: Job, rule: str) -> Job:
    """The job without a notice rule."""
    return replace(job, notices=tuple(one for one in job.notices if one.rule != rule))


def with_photo(job: Job, path: str, note: str = "", date: str = "") -> Job:
    """The job with one more photo.

    Raises:
        EditError: no path is given, or there are too many already.
    """
    if not path.strip():
        raise EditError("a photo needs the path of its file")
    if len(job.photos) >= MOST_PHOTOS:
        raise EditError(f"a job has at most {MOST_PHOTOS} photos")
    return replace(job, photos=(*job.photos, Photo(path.strip(), note, date)))
