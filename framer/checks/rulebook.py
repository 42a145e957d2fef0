"""Rulebooks: what has to be kept, as records; checks/bookshelf.py reads them from files."""

import math
from typing import TYPE_CHECKING, Annotated, Any, Literal, overload

from msgspec import Meta, Struct

from framer.errors import DataFileError
from framer.model.line import GroundUse
from framer.stock.source import HowKnown, Source

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MeasureName = Literal[
    "slant",
    "vertical",
    "horizontal",
    "surface",
    "centre line",
    "mid-span",
    "line of sight",
    "above ground",
    "case above ground",
    "middle above ground",
    "arm spacing",
    "clear square",
    "below top",
    "bore spacing",
    "bore to gain",
    "clear of a space",
    "clear of the column",
    "insulator class",
    "guy insulator",
    "not allowed",
    "approach",
    "climbing space",
    "climbing turn",
    "climbing count",
    "climbing guys apart",
    "working height",
    "working space",
    "not drawn",
    "strength moment",
    "strength load",
    "strength stress",
    "step order",
    "supports",
    "load",
    "weight",
]
"""The measures there are; what each means is in checks/measures.py."""

Selector = Literal[
    "wire",
    "supply wire",
    "phase",
    "neutral",
    "open supply wire",
    "supply cable",
    "service drop",
    "communications",
    "communications drop",
    "nearby wire",
    "nearby supply",
    "nearby phase",
    "nearby communications",
    "pole",
    "arm",
    "guy",
    "anchor guy",
    "span guy",
    "case",
    "grounded case",
    "supply case",
    "communications case",
    "lamp",
    "meter",
    "live part",
    "run",
    "riser",
    "ground wire",
    "insulator",
    "jumper",
    "worker",
    "bore",
    "factory bore",
    "bore of a fitting",
    "space",
]
"""What a rule can speak of."""

Basis = Literal[
    "none", "between", "any two", "to ground", "circuit", "highest circuit", "conductor"
]
"""Which voltage picks the band: between the two wires, the highest between any two of all wires
concerned, of the first to ground, of the first between phases, the highest between phases of all
circuits concerned, or that highest with grounded neutrals left out."""

RuleStage = Literal["found", "temporary", "crew leaves", "framed"]
Unit = Literal["in", "ft", "m", "mm", "kV"]
Convention = Literal["centre", "surface", "centre from 5 in"]
Likeness = Literal["same", "different"]

Holes = Literal["next band", "not covered"]
"""What a voltage between two printed bands gets: the band above, or no answer from the book."""

Lookup = Literal["bands", "next listed", "only listed"]
"""How a voltage finds its row: between the ends of a band, by the next voltage listed, or only
where the very voltage is listed."""

CHOICES: dict[str, Any] = {
    "measure": MeasureName,
    "a": Selector,
    "b": Selector,
    "stages": RuleStage,
    "convention": Convention,
    "voltage": Basis,
    "unit": Unit,
    "how_known": HowKnown,
    "circuit": Likeness,
    "owner": Likeness,
    "level": Likeness,
    "over": GroundUse,
    "pole": Likeness,
    "holes": Holes,
    "lookup": Lookup,
    "at_limit": Literal["meets", "short"],
}
"""What may stand in each field that takes one of a few words."""

INCHES_PER: dict[Unit, float] = {
    "in": 1.0,
    "ft": 12.0,
    "m": 1000 / 25.4,
    "mm": 1 / 25.4,
    "kV": 1.0,
}


Positive = Annotated[float, Meta(gt=0.0)]
NotNegative = Annotated[float, Meta(ge=0.0)]


class Root(Struct, frozen=True, forbid_unknown_fields=True):
    """`times` the root of (`scale` x sag - `less`), sag and result in the unit of the band.

    The sag is the larger of the wires compared; with `most`, the most each will ever have. Under a
    root below zero the band asks nothing.
    """

    times: Positive
    scale: Positive = 1.0
    less: NotNegative = 0.0
    most: bool = False


class Band(Struct, frozen=True, forbid_unknown_fields=True):
    """What is required in one voltage band, above the band before it up to and with `up_to_kv`.

    `under_kv` ends a band whose printed end is not in it. `from_kv` is the lowest voltage printed
    in the band where that leaves a hole above the band before.

    `value` is as printed in `unit`. Added to it: `per_kv` for each kV over `over_kv`, pro rata;
    `per_step` for each step of `step_kv` begun over `over_kv`; the value at the next listed
    voltage of the book's table `plus`, `plus_times` counted; the `root` of a sag; `girth`, a share
    of the pole's girth. All that `times` counts, and never less than `floor`. The factor of the
    book's `altitude` table counts what `plus` adds, or all where it adds nothing. `plus_highest`
    is taken over from the table.

    `also` is what is printed beside it in another unit. `unknown` says, instead of a value, what
    the book would say but is not known here; `nothing` that the book asks nothing in this band.
    """

    value: NotNegative | None = None
    unit: Unit = "in"
    from_kv: NotNegative | None = None
    up_to_kv: Positive | None = None
    under_kv: Positive | None = None
    per_kv: NotNegative = 0.0
    over_kv: NotNegative = 0.0
    per_step: NotNegative = 0.0
    step_kv: Positive | None = None
    plus: str | tuple[tuple[Positive, NotNegative], ...] = ""
    plus_highest: bool = False
    plus_times: Positive = 1.0
    root: Root | None = None
    girth: NotNegative = 0.0
    altitude: str | tuple[tuple[Positive, Positive], ...] = ""
    times: Positive = 1.0
    floor: NotNegative = 0.0
    also: str = ""
    unknown: str = ""
    nothing: bool = False

    @property
    def end_kv(self) -> float | None:
        """Where the band ends, whether the end is in it or not; `None` for an open one."""
        return self.under_kv if self.up_to_kv is None else self.up_to_kv


class Table(Struct, frozen=True, forbid_unknown_fields=True):
    """Values by voltage that several rules of a book add: pairs of kV and value, rising.

    `highest`: the voltages are the highest of a system, so that a nominal one, which is less,
    never takes the row of the same number.
    """

    id: str
    unit: Unit
    rows: tuple[tuple[Positive, NotNegative], ...]
    source: Source
    highest: bool = False


class Altitude(Struct, frozen=True, forbid_unknown_fields=True):
    """Factors by height above sea level: pairs of the last metre of a row and its factor."""

    id: str
    rows: tuple[tuple[Positive, Positive], ...]
    source: Source


class Range(Struct, frozen=True, forbid_unknown_fields=True):
    """More than `over`, or `at_least`; and `up_to`, or less than `under`."""

    over: float | None = None
    at_least: float | None = None
    up_to: float | None = None
    under: float | None = None
    unit: Literal["kV", "ft", "m", "in", "kcmil", "mm2"] = "kV"

    @overload
    def holds(self, value: float) -> bool: ...
    @overload
    def holds(self, value: "NDArray[np.float64]") -> "NDArray[np.bool_]": ...

    def holds(self, value: "float | NDArray[np.float64]") -> "bool | NDArray[np.bool_]":
        """Whether a value, or each of many, in the unit of the range, lies in it."""
        hair = 1e-9
        low = -math.inf if self.at_least is None else self.at_least - hair
        high = math.inf if self.up_to is None else self.up_to + hair
        held: bool | NDArray[np.bool_] = (value >= low) & (value <= high)
        if self.over is not None:
            held &= value > self.over + hair
        if self.under is not None:
            held &= value < self.under - hair
        return held


class Built(Struct, frozen=True, forbid_unknown_fields=True):
    """When the line was built: on this day or later, and before that day (year-month-day)."""

    since: str = ""
    before: str = ""


class Within(Struct, frozen=True, forbid_unknown_fields=True):
    """Both no farther than this apart: up and down, and sideways; inches."""

    up_in: float
    sideways_in: float


class When(Struct, frozen=True, forbid_unknown_fields=True):
    """Conditions a pair must meet for the rule to speak of it; all given ones must hold.

    `joint_use`: the pole carries both supply and communications. `style`: how the first wire is
    held. `closer_than_in`: strictly closer up and down. `over`: what the span crosses, one or any
    of several. `crossing`: they cross, so far in plan from the first's support. `pole`:
    on one pole or not. `voltage_known`: of every circuit concerned, or not of one. `a_kv`, `b_kv`:
    voltage between phases of the first's and the second's circuit, 0 for communications. `span`:
    length of the first's span. `size`: of the smaller wire; `size_of_larger`: of the larger.
    `a_covered`, `b_covered`: a covered wire or run, a bare one. `a_grounded`, `b_grounded`: an
    effectively grounded neutral or bonded case, or neither. `a_above`: the first lies higher, or
    lower, at the support. `material`: of the arm both sit on. `within`: both no farther apart.
    `built`: when the line was built.

    Of a working height alone: `ground_kv`: the most volts to ground of all circuits there;
    `arms_at_most`: no more arms with supply on the pole; `all_covered`: cover lies on every supply
    wire there.
    """

    circuit: Likeness | None = None
    owner: Likeness | None = None
    level: Likeness | None = None
    pole: Likeness | None = None
    joint_use: bool | None = None
    style: str | None = None
    not_style: str | None = None
    closer_than_in: float | None = None
    over: GroundUse | tuple[GroundUse, ...] | None = None
    crossing: Range | None = None
    voltage_known: bool | None = None
    a_kv: Range | None = None
    b_kv: Range | None = None
    span: Range | None = None
    size: Range | None = None
    size_of_larger: Range | None = None
    a_covered: bool | None = None
    b_covered: bool | None = None
    a_grounded: bool | None = None
    b_grounded: bool | None = None
    a_above: bool | None = None
    material: str | None = None
    within: Within | None = None
    built: Built | None = None
    ground_kv: Range | None = None
    arms_at_most: int | None = None
    all_covered: bool | None = None


class Rule(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One requirement of a book.

    `box` names a group of horizontal, vertical and mid-span rules of one book that are met
    together: a pair is short only where it is short sideways and, at the support or at mid-span,
    up and down. `convention`: distances between centre lines, or
    between surfaces, or (GO 95 rule 38) centre lines for 5 in and more and surfaces for less.
    `at_limit` is what a gap of exactly the requirement is. `most`: the requirement is the most
    there may be, not the least. `replaces` is a rule of the book under this one; `relaxes` a rule
    of any book that is left out where this one speaks, for the `reason` given. `eases` is a rule of
    this book for a working height that asks more: where that is not kept this one will do, under
    its conditions and those that `reason` names.
    """

    id: str
    title: str
    measure: MeasureName
    a: Selector
    b: Selector | None = None
    when: When = When()
    stages: tuple[RuleStage, ...] = ("found", "crew leaves", "framed")
    convention: Convention = "centre"
    voltage: Basis = "none"
    lookup: Lookup = "bands"
    holes: Holes = "next band"
    at_limit: Literal["meets", "short"] = "meets"
    most: bool = False
    need: tuple[Band, ...]
    box: str | None = None
    replaces: str = ""
    relaxes: str = ""
    eases: str = ""
    reason: str = ""
    source: Source
    note: str = ""

    @property
    def book(self) -> str:
        """The book this rule is of."""
        return self.id.partition(".")[0]


class Stated(Struct, frozen=True, forbid_unknown_fields=True):
    """One number of a book and where it stands in it; `%` a share, `deg` an angle."""

    value: NotNegative
    unit: Literal["in", "ft", "m", "mm", "%", "deg"]
    source: Source

    @property
    def inches(self) -> float:
        """The length in inches; 0 for what is no length."""
        if self.unit == "%" or self.unit == "deg":
            return 0.0
        return self.value * INCHES_PER[self.unit]


Lying = Literal[
    "arm", "insulator", "fitting", "brace", "guy", "run", "case", "wire", "cable", "jumper"
]
"""What may stand in a climbing or working space: `run` is a covered run along the pole, `cable` a
cable, drop, neutral or secondary that rests on no arm, `wire` any other; a `jumper` is told from
the wires in a working space only."""


Measured = Literal["centre", "surface", "not said"]
"""How a width is measured between wires: between centre lines, between surfaces, or not said by
the book; then the surfaces are taken, which asks more, and what there is between centre lines is
told beside it."""


class Further(Struct, frozen=True, forbid_unknown_fields=True):
    """How far a column is carried about some levels of supply under communications.

    Those with a circuit of more than `over_kv` between phases or `over_ground_kv` to ground.
    """

    value: Positive
    unit: Literal["in", "ft", "m", "mm"]
    over_kv: Positive
    over_ground_kv: Positive
    source: Source

    @property
    def inches(self) -> float:
        """The length in inches."""
        return self.value * INCHES_PER[self.unit]


class Halved(Struct, frozen=True, forbid_unknown_fields=True):
    """What may reach into a column by half its diameter, so that its middle line counts.

    About a level that rests on no arm and has a circuit of more than `over_kv`.
    """

    kinds: tuple[Lying, ...]
    over_kv: NotNegative
    source: Source


class Climbing(Struct, frozen=True, forbid_unknown_fields=True):
    """How a book's climbing space is carried up a pole; its widths, limits and counts are rules.

    `reach`: how far above and below each level it stays where it is; left out, the book does not
    say and only the level itself is judged; `further`: some levels more. `window`: the height in
    which guys and runs are counted. `turn`: the angle that takes the height of the rule for
    turning. `shift`: how far a side may stand off the pole's centre line; `reduction`: what it may
    fall below its width. Only one of these two is ever given. `passes`: what may stand in it;
    `halved`: what only by half; `unread`: what the book speaks of in words not known here. Guys and
    runs that a rule counts need not be named.
    """

    convention: Measured = "not said"
    reach: Stated | None = None
    further: Further | None = None
    window: Stated | None = None
    turn: Stated | None = None
    shift: Stated | None = None
    reduction: Stated | None = None
    passes: tuple[Lying, ...] = ("arm", "insulator", "fitting")
    halved: Halved | None = None
    unread: tuple[Lying, ...] = ()
    note: str = ""


class Working(Struct, frozen=True, forbid_unknown_fields=True):
    """A book's room to work beside an arm; how high it is, is a rule of the book.

    It lies under the wires of the arm, along it from the climbing space to the outermost wire, out
    from its face as far as the climbing space is wide. `id` is what findings of it are named by,
    `passes` what may stand in it, `unread` what the book speaks of in words not known here.
    `unknown` says, instead, what the book would say but is not known here.
    """

    id: str
    title: str
    source: Source
    passes: tuple[Lying, ...] = ("arm", "insulator", "fitting")
    unread: tuple[Lying, ...] = ()
    unknown: str = ""
    note: str = ""


class Book(Struct, frozen=True, forbid_unknown_fields=True):
    """A rulebook's own facts.

    `base` is the book this one changes rule by rule. `partial`: it holds only part of what the
    printed book asks, so silence of it means nothing. `retired` are ids of rules it had once; they
    are never used again, so that a finding or waiver of old cannot point to another rule.
    """

    id: str
    name: str
    edition: str
    jurisdiction: str = ""
    note: str = ""
    base: str = ""
    partial: bool = False
    retired: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """Its name with its edition, which the name of some has in it."""
        is_named = self.edition in self.name.replace(",", "").split()
        return self.name if is_named else f"{self.name} ({self.edition})"


class Rulebook(Struct, frozen=True, eq=False):
    """A book and its rules; `problems` lists rules that could not be read.

    `climbing` is `None` for a book that asks no climbing space, `working` for one that asks no
    working space.

    Compared by identity: a book is read once.
    """

    book: Book
    rules: tuple[Rule, ...]
    problems: tuple[DataFileError, ...] = ()
    climbing: Climbing | None = None
    working: Working | None = None
