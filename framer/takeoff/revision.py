"""What changes on the lists from one version of a job to the next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from framer.geometry.placing import place
from framer.geometry.spot import Spots
from framer.geometry.written import exact, small
from framer.model.job import Job
from framer.model.place import AnyPlace
from framer.takeoff.built import height_in
from framer.takeoff.drilling import DrillRow, bolt_words, drill_list
from framer.takeoff.materials import materials
from framer.units.compare import HAIR_IN


class MaterialChange(Struct, frozen=True):
    """How much more, or less when negative, there is of one thing of one fate."""

    name: str
    fate: str
    unit: str
    more: float

    @property
    def words(self) -> str:
        """The change as printed."""
        return f"{self.more:+g} {self.unit} {self.name} ({self.fate})"


class BoreChange(Struct, frozen=True):
    """A bore that is new, gone, or not as it was; `up_in` is how far up the pole it went."""

    pole: str
    what: str
    words: str
    up_in: float = 0.0


class Revision(Struct, frozen=True):
    """Everything that changes; `stamp` goes on lists made of the earlier version, if any does.

    `drawing` says in words what is drawn otherwise.
    """

    materials: tuple[MaterialChange, ...]
    bores: tuple[BoreChange, ...]
    stamp: str
    drawing: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[str, ...]:
        """All changes as printed."""
        return (
            *self.drawing,
            *(change.words for change in self.materials),
            *(f"bore for {change.what}: {change.words}" for change in self.bores),
        )


def revision(before: Job, after: Job) -> Revision:
    """What a later version of a job changes on the material list and the drill lists.

    Lists of the earlier version are superseded when anything on them changes, or when the sketch
    of the later one is newer.
    """
    changed, bores = tuple(_materials(before, after)), tuple(_bores(before, after))
    stamp = ""
    drawing = tuple(_drawing(before, after))
    if changed or bores or drawing or after.date > before.date:
        stamp = (
            f"lists of {before.date or 'no date'} are superseded by the sketch of "
            f"{after.date or 'no date'}"
        )
    return Revision(changed, bores, stamp, drawing)


def _drawing(before: Job, after: Job) -> Iterator[str]:
    """What is drawn otherwise as framed: new, gone, at another height, side or host, another part.

    Things that only ride along, as pins on an arm that is lowered, are not named.
    """
    spots = [Spots(job, "framed") for job in (before, after)]
    for key in dict.fromkeys((*before.item_by_id, *after.item_by_id)):
        was, now = (one.places.get(key) for one in spots)
        if was is None and now is None:
            continue
        if now is None:
            yield f"{before.label(key)}: gone"
        elif was is None:
            yield f"{after.label(key)}: new"
        else:
            words = [*_height_words(spots, key), *_place_words(after, was, now)]
            if before.item_by_id[key].part != after.item_by_id[key].part:
                words.append(f"another part: {after.item_by_id[key].part or 'none'}")
            if words:
                yield f"{after.label(key)}: {', '.join(words)}"


def _height_words(spots: Sequence[Spots], key: str) -> Iterator[str]:
    """How much higher or lower a thing on a pole is, or how a pole stands otherwise."""
    job = spots[1].job
    solids = [one.poles.get(key) for one in spots]
    pairs = [
        ("top", [solid.top_up_in if solid else None for solid in solids]),
        ("butt", [-solid.depth_in if solid and solid.depth_in else None for solid in solids]),
        ("", [height_in(one, one.job.item_by_id[key]) for one in spots]),
    ]
    for what, (was, now) in pairs:
        if was is None or now is None or abs(now - was) <= HAIR_IN:
            continue
        far = small(job.settings.units, abs(now - was))
        way = "higher" if now > was else "lower"
        there = "" if what else f", {exact(job, now)} above ground"
        yield f"{what} {far} {way}{there}".strip()


def _place_words(job: Job, was: AnyPlace, now: AnyPlace) -> Iterator[str]:
    """What else is otherwise about a place."""
    names = (("azimuth_deg", "faces {:g} deg"), ("along_in", "{} along its arm"),
             ("east_in", "{} east"), ("north_in", "{} north"), ("lead_in", "lead {}"))  # fmt: skip
    for name, words in names:
        value = getattr(now, name, None)
        if value is not None and value != getattr(was, name, None):
            far = value if name == "azimuth_deg" else small(job.settings.units, value)
            yield words.format(far)
    host = getattr(now, "host", None)
    if host != getattr(was, "host", None) and host is not None:
        yield f"on {job.label(host)}"


def _materials(before: Job, after: Job) -> Iterator[MaterialChange]:
    more: dict[tuple[str, str, str], float] = {}
    for job, sign in ((before, -1.0), (after, 1.0)):
        for row in materials(job):
            key = (row.name, row.fate, row.unit)
            more[key] = more.get(key, 0.0) + sign * row.quantity
    for (name, fate, unit), amount in sorted(more.items()):
        if abs(amount) > HAIR_IN:
            yield MaterialChange(name, fate, unit, amount)


def _bores(before: Job, after: Job) -> Iterator[BoreChange]:
    was, now = _rows(before), _rows(after)
    for key in dict.fromkeys((*was, *now)):
        old, new = was.get(key), now.get(key)
        pole = key[0]
        if old is None and new is not None:
            place_ = exact(after, new.butt_in)
            yield BoreChange(pole, new.what, f"new, {place_} from butt, {bolt_words(new)}")
        elif new is None and old is not None:
            yield BoreChange(pole, old.what, f"gone, was {exact(before, old.butt_in)} from butt")
        elif old is not None and new is not None:
            words, up = _moved(before, after, old, new)
            if words:
                yield BoreChange(pole, new.what, words, up)


def _rows(job: Job) -> dict[tuple[str, tuple[str, ...], int], DrillRow]:
    """Every drill row by pole and what its bolt holds, those of one thing numbered downward."""
    scene = place(job, "framed")
    found: dict[tuple[str, tuple[str, ...], int], DrillRow] = {}
    for pole in scene.poles:
        for row in drill_list(scene, pole).rows:
            number = sum(key[:2] == (pole, row.bore.items) for key in found)
            found[pole, row.bore.items, number] = row
    return found


def _moved(before: Job, after: Job, old: DrillRow, new: DrillRow) -> tuple[str, float]:
    words, up = [], 0.0
    if old.butt_in is not None and new.butt_in is not None:
        up = new.butt_in - old.butt_in
        if abs(up) > HAIR_IN:
            way = "up" if up > 0 else "down"
            far = small(after.settings.units, abs(up))
            words.append(f"{far} {way} to {exact(after, new.butt_in)} from butt")
    elif old.butt_in != new.butt_in:
        words.append(f"{exact(before, old.butt_in)} to {exact(after, new.butt_in)} from butt")
    if old.axis != new.axis or old.head != new.head:
        words.append(f"runs {new.axis}, head {new.head}")
    if bolt_words(old) != bolt_words(new):
        words.append(f"bolt {bolt_words(old)} becomes {bolt_words(new)}")
    return ", ".join(words), up
