"""The selected thing, with everything that is said and asked about it."""

from __future__ import annotations

from msgspec import Struct

from framer.desk.bridge import Bridge
from framer.edits.places import EditStage
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Part
from framer.geometry.written import exact
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import AnyPlace, Guyed, OnPole, Removed, Standing
from framer.model.reading import Reading
from framer.model.stage import Fate, fate, is_undecided, place_at, pole_at
from framer.stock.catalogue import catalogue
from framer.stock.part import AnyPart
from framer.stock.source import WORDS
from framer.units.length import length_text

CHANGE_READINGS = "readings are changed in the job's readings, not here"

FIELDS = {
    "brings": "what it brings",
    "class_kv": "voltage class",
    "cover_class": "voltage class",
    "deep_in": "depth",
    "dia_in": "diameter",
    "gain_in": "gain",
    "groove_in": "groove height",
    "length_in": "length",
    "levels_in": "places of the rack",
    "live": "live points",
    "middle_in": "overhang",
    "out_in": "reach from the pole",
    "pins_in": "pin positions",
    "plate_in": "plate",
    "top_in": "top",
}
"""What fields of stock parts are called."""


class Subject(Struct, frozen=True):
    """One item or wire at the end of its chain that can be seen and edited.

    Attributes:
        bridge: the open job.
        thing: the item or wire.
        stage: the end of its chain that is shown: as framed, or as found when it is gone then.
        where: its place there, `None` when it has none.
    """

    bridge: Bridge
    thing: Item | Wire
    stage: EditStage
    where: AnyPlace | None

    @property
    def key(self) -> str:
        """Its id."""
        return self.thing.id

    @property
    def job(self) -> Job:
        """The job as shown."""
        return self.bridge.job

    @property
    def label(self) -> str:
        """What it is called."""
        return self.job.label(self.key)

    @property
    def is_found(self) -> bool:
        """Whether it was there at the survey."""
        return self.thing.places[0].when == "found"

    @property
    def part(self) -> Part | None:
        """Its first part in the scene, `None` when it is not there."""
        parts = self.bridge.session.scene(self.stage).parts_of.get(self.key, ())
        return parts[0] if parts else None

    @property
    def solid(self) -> PoleSolid | None:
        """The pole it is, or is fixed to."""
        poles = self.bridge.session.scene(self.stage).poles
        if isinstance(self.where, OnPole | Guyed):
            return poles.get(self.where.host)
        return poles.get(self.key)

    @property
    def along_reading(self) -> Reading | None:
        """The reading that says how high it was found."""
        if self.stage != "found":
            return None
        readings = (self.job.reading(self.key, what) for what in ("height", "drop", "butt"))
        return next((reading for reading in readings if reading is not None), None)

    @property
    def locked(self) -> str:
        """Why its place cannot be changed here, empty when it can."""
        if self.stage == "framed" and is_undecided(self.thing):
            return f"say first what becomes of {self.label}"
        reading = self.along_reading
        if reading is not None:
            return f"this height was {_read_how(self.job, reading)}; {CHANGE_READINGS}"
        return ""

    @property
    def depth_locked(self) -> str:
        """Why a pole's depth cannot be typed here, empty when it can."""
        if self.locked or self.solid is None:
            return self.locked
        typed = isinstance(self.where, Standing) and self.where.depth_in is not None
        if self.stage == "found" and not typed and self.solid.depth_in is not None:
            return f"the depth follows from a reading ({self.solid.depth_from}); {CHANGE_READINGS}"
        return ""

    @property
    def fate(self) -> Fate:
        """What becomes of it; what stays on a pole that is gone goes to no other."""
        known = fate(self.job, self.thing)
        nowhere = known == "transfer" and pole_at(self.job, self.thing, "framed") is None
        return "stays" if nowhere else known

    @property
    def fate_words(self) -> str:
        """Whether it is new, what becomes of it if no button says so, and which stage is shown."""
        if not self.is_found:
            return "new here"
        words = f"found here, {self.fate}" if self.fate == "move" else "found here"
        return f"{words}, shown as found" if self.stage == "found" else words


def subject_of(bridge: Bridge) -> Subject | None:
    """The selected item or wire; `None` when nothing, or something surveyed nearby, is."""
    named = bridge.named(bridge.selected) if bridge.selected else None
    if not isinstance(named, Item | Wire):
        return None
    where = place_at(bridge.job, named, "framed")
    gone = where is None or isinstance(where, Removed) or is_undecided(named)
    if gone and named.places[0].when == "found":
        return Subject(bridge, named, "found", place_at(bridge.job, named, "found"))
    return Subject(bridge, named, "framed", where)


def what_it_is(subject: Subject) -> str:
    """Kind, stock name and fate, for the head of the panel."""
    thing = subject.thing
    if isinstance(thing, Item) and thing.pole is not None:
        facts = thing.pole
        size = [
            length_text(facts.length_in, system="ft-in") if facts.length_in else "length not known",
            f"class {facts.pole_class}" if facts.pole_class else "class not known",
            facts.species or "species not known",
        ]
        words = f"pole, {', '.join(size)}"
    else:
        stock = catalogue().get(thing.part or "")
        kind = "wire" if isinstance(thing, Wire) else thing.kind
        none = (
            "type its size in Edit, Strength, Wires"
            if kind == "wire"
            else "choose it in the stock (Insert)"
        )
        words = stock.name if stock else f"{kind}, no stock part named: {none}"
    return f"{words}; {subject.fate_words}"


def how_known(subject: Subject) -> str:
    """Source of the part's values, or of the pole's, and what is only recalled or an example."""
    thing = subject.thing
    said = []
    if isinstance(thing, Item) and thing.pole is not None:
        solid = subject.solid
        if solid is None:
            return "not standing at this stage"
        known = solid.depth_in is not None
        depth = f"{exact(subject.job, solid.depth_in)} deep: " if known else "depth: "
        said = [f"{depth}{solid.depth_from}", f"girth: {_with_warning(solid.girth_from)}"]
        if solid.top_up_in is not None:
            said.insert(0, f"top {exact(subject.job, solid.top_up_in * solid.rise)} above ground")
    else:
        stock = catalogue().get(thing.part or "")
        if stock is not None:
            said.append(source_words(stock))
    reading = subject.along_reading
    if reading is not None:
        said.append(f"height {_read_how(subject.job, reading)}")
    part = subject.part
    if part is not None and part.missing:
        said.append(f"cannot be drawn: {part.missing}")
    said += [
        f"cannot be drawn: {lost.why}"
        for lost in subject.bridge.session.scene(subject.stage).unplaced
        if lost.owner == subject.key
    ]
    return "; ".join(said)


def source_words(stock: AnyPart) -> str:
    """Where the values of a stock part come from, those first that need a warning."""
    fields: dict[str, list[str]] = {}
    for name, how in stock.known.items():
        if WORDS[how]:
            fields.setdefault(WORDS[how], []).append(FIELDS.get(name, name.partition("_")[0]))
    said = [f"{', '.join(names)}: {warned}" for warned, names in fields.items()]
    warning = WORDS[stock.source.how_known]
    named = ", ".join(
        filter(None, (stock.source.document, stock.source.edition, stock.source.place))
    )
    said.append(f"{warning} ({named})" if warning else f"source: {named}")
    return "; ".join(said)


def _with_warning(girth_from: str) -> str:
    """Where girths come from, with the usual warning for values from memory."""
    for how, warning in WORDS.items():
        if warning:
            girth_from = girth_from.replace(f"({how})", f"({warning})")
    return girth_from


def _read_how(job: Job, reading: Reading) -> str:
    how = {"measured": "measured", "record": "taken from a record", "guessed": "guessed"}
    words = how[reading.source]
    if reading.date:
        words += f" on {reading.date}"
    if reading.tolerance_in:
        words += f", good to {exact(job, reading.tolerance_in)} either way"
    return words
