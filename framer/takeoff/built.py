"""The as-built redline: what the crew measured beside what was drawn."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from framer.edits.revisions import drawn_place, without_built
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.geometry.spot import Spots
from framer.geometry.written import STEP_IN, small
from framer.model.item import Item
from framer.model.job import Job
from framer.model.place import Guyed, OnPole, Standing
from framer.units.compare import HAIR_IN
from framer.units.length import System, length_text


class BuiltRow(Struct, frozen=True):
    """One thing as drawn and as built; heights above its own ground, depth of a pole."""

    key: str
    label: str
    what: str
    drawn_in: float | None
    built_in: float | None
    is_measured: bool
    system: System

    @property
    def off_in(self) -> float | None:
        """How much more there is built than drawn, `None` where one is not known."""
        if self.drawn_in is None or self.built_in is None:
            return None
        return self.built_in - self.drawn_in

    @property
    def words(self) -> tuple[str, str, str]:
        """Drawn, built and the difference, as printed."""
        off = self.off_in
        if off is None:
            difference = "cannot say"
        elif abs(off) <= HAIR_IN:
            difference = "as drawn"
        else:
            way = ("deeper", "shallower") if self.what == "set" else ("higher", "lower")
            difference = f"{small(self.system, abs(off))} {way[off < 0]}"
        return self._length(self.drawn_in), self._length(self.built_in), difference

    def _length(self, value: float | None) -> str:
        if value is None:
            return "not known"
        return length_text(value, step_in=STEP_IN[self.system], system=self.system)


def measurable(job: Job) -> tuple[BuiltRow, ...]:
    """Everything the crew can measure as built: things on poles, and how deep poles are set."""
    rows = {row.key: row for row in _rows(job)}
    fixed = OnPole | Guyed | Standing
    return tuple(
        rows[item.id]
        for item in job.items
        if isinstance(drawn_place(item), fixed) and rows[item.id].drawn_in is not None
    )


def built_rows(job: Job) -> tuple[BuiltRow, ...]:
    """What was measured as built, and what moved with it, in the order of the job.

    Empty while nothing was measured.
    """
    if not any(where.when == "built" for item in job.items for where in item.places):
        return ()
    return tuple(row for row in _rows(job) if row.is_measured or abs(row.off_in or 0.0) > HAIR_IN)


def _rows(job: Job) -> Iterator[BuiltRow]:
    """Every item as drawn and as built."""
    drawn, built = (place(one, "framed") for one in (without_built(job), job))
    spots = [Spots(scene.job, scene.stage) for scene in (drawn, built)]
    for item in job.items:
        measured = any(where.when == "built" for where in item.places)
        if item.kind == "pole":
            was, now = (_depth(scene, item) for scene in (drawn, built))
            what = "set"
        else:
            was, now = (height_in(one, item) for one in spots)
            what = "height"
        label, system = job.label(item.id), job.settings.units
        yield BuiltRow(item.id, label, what, was, now, measured, system)


def _depth(scene: Scene, item: Item) -> float | None:
    solid = scene.poles.get(item.id)
    return solid.depth_in if solid else None


def height_in(spots: Spots, item: Item) -> float | None:
    """Height of a thing on a pole above the ground there, `None` where that is not known."""
    host = getattr(spots.places.get(item.id), "host", "")
    up, solid = spots.up_in(item), spots.poles.get(host)
    return None if up is None or solid is None else up * solid.rise
