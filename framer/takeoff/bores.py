"""Bores through a pole and the bolts that go in them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from framer.checks.measures import ONE_BORE_IN
from framer.geometry.bores import Bored, bored
from framer.geometry.pole import PoleSolid
from framer.geometry.scene import Scene
from framer.geometry.spot import Spots
from framer.geometry.written import Marks, marks
from framer.model.job import Job
from framer.model.stage import Stage
from framer.stock.bolts import bolt_rules, bolt_size, thread_on_in
from framer.stock.part import ArmPart, Bore
from framer.units.compare import is_at_least
from framer.units.length import System, inches_text

BOLT_RULE_WORDS = {
    "stack": "what the bolt goes through",
    "thumb": "the thumb rule",
    "longer": "the longer of stack and thumb rule",
}
"""How a job says a bolt's length is found, as printed."""

_ONE_LINE_DEG = 0.01


class BoltLength(Struct, frozen=True):
    """The length of one through bolt, inches.

    Attributes:
        diameter_in: of the pole at the bore, `None` when not known.
        stack_in: what the bolt goes through, added up; `None` when not known.
        thumb_in: pole and timber and 2 in, the trade's thumb rule.
        stack_stock_in: the next stock length of the stack; `None` when longer than any in stock.
        thumb_stock_in: the same of the thumb rule.
        stock_in: the one to order by the job's bolt rule.
        words: the arithmetic.
        layers: what makes up the stack, name and thickness; a gain takes off.
        flip_girth_in: girth of the pole at the bore from which on a longer bolt is ordered.
        problems: what is wrong with the bolt ordered.
        needed_in: what the job's bolt rule asks for, before the next stock length.
    """

    diameter_in: float | None
    stack_in: float | None
    thumb_in: float | None
    stack_stock_in: float | None
    thumb_stock_in: float | None
    stock_in: float | None
    words: str
    layers: tuple[tuple[str, float], ...] = ()
    flip_girth_in: float | None = None
    problems: tuple[str, ...] = ()
    needed_in: float | None = None

    @property
    def differ(self) -> bool:
        """Whether stack and thumb rule ask for different stock lengths."""
        return self.stack_stock_in != self.thumb_stock_in


class BoreRow(Struct, frozen=True):
    """One bore: where it is on the pole, `None` where that is not known, and what goes through it.

    Attributes:
        items: ids of what its bolt holds; several where one bolt serves fittings on both faces.
        pole: id of the pole.
        up_in: how far up the pole from its ground line.
        at: the same as it is written, with the height above ground and the drop below the top.
        azimuth_deg: the way its bolt points, from the nut to the head.
        hole_in: diameter of the bore.
        bolt_kind: "machine" or "double arming".
        girth_from: in words, how the girth there is known.
        is_least: whether that girth is the least of the class, and a real pole is fatter.
    """

    items: tuple[str, ...]
    pole: str
    up_in: float | None
    at: Marks | None
    azimuth_deg: float
    hole_in: float
    bolt_dia_in: float
    bolt_kind: str
    bolt: BoltLength
    girth_from: str = ""
    is_least: bool = False

    @property
    def item(self) -> str:
        """The first of what its bolt holds."""
        return self.items[0]

    @property
    def washers(self) -> int:
        """Square washers on the bolt."""
        return 4 if self.bolt_kind == "double arming" else 2

    @property
    def nuts(self) -> int:
        """Nuts on the bolt besides the head."""
        return 4 if self.bolt_kind == "double arming" else 1

    def labels(self, job: Job) -> str:
        """The names of what its bolt holds."""
        return " and ".join(job.label(item) for item in self.items)


def next_stock_length_in(length_in: float, bore: Bore) -> float | None:
    """The shortest stock bolt that is at least as long; `None` when none is.

    Source of the rule: next means at least as long, or 10 + 4 + 2 would order 18; common practice.
    """
    size = bolt_size(bore.bolt_dia_in)
    lengths = size.double_arming_lengths_in if bore.bolt == "double arming" else size.lengths_in
    return next((stock for stock in sorted(lengths) if is_at_least(stock, length_in)), None)


def bolt_length(
    diameter_in: float | None, timber_in: float, gains_in: float, bore: Bore, rule: str
) -> BoltLength:
    """The bolt for one bore.

    Args:
        diameter_in: diameter of the pole at the bore [in], `None` when not known.
        timber_in: timber along the bolt outside the pole [in].
        gains_in: how deep that timber is let in, all together [in].
        bore: the bore.
        rule: "stack", "thumb" or "longer".
    """
    rules, size = bolt_rules(), bolt_size(bore.bolt_dia_in)
    if diameter_in is None:
        return BoltLength(None, None, None, None, None, None, "size unresolved: girth not known")
    ends = 2 if bore.bolt == "double arming" else 1
    layers = (
        ("pole", diameter_in),
        ("gains", -gains_in),
        ("timber", timber_in),
        ("plates", bore.plate_in),
        ("washers", 2 * rules.washer_in),
        ("nuts", ends * size.nut_in),
        ("thread", ends * rules.thread_in),
    )
    stack = sum(thickness for _, thickness in layers)
    thumb = diameter_in + timber_in + bore.plate_in + rules.thumb_in
    by_stack, by_thumb = next_stock_length_in(stack, bore), next_stock_length_in(thumb, bore)
    chosen = {"stack": by_stack, "thumb": by_thumb}.get(rule)
    if rule == "longer" and by_stack is not None and by_thumb is not None:
        chosen = max(by_stack, by_thumb)
    hardware = 2 * rules.washer_in + ends * (size.nut_in + rules.thread_in)
    words = (
        f"pole {diameter_in:.2f} - gains {gains_in:g} + timber {timber_in:g} + plates "
        f"{bore.plate_in:g} + washers, nuts, thread {hardware:.2f} = {stack:.2f} in; "
        f"thumb rule {thumb:.2f} in"
    )
    if by_stack != by_thumb:
        words += "; the two differ"
    flip = None
    problems: tuple[str, ...] = ()
    needed = max({"stack": (stack,), "thumb": (thumb,)}.get(rule, (stack, thumb)))
    if chosen is not None:
        flip = math.pi * (chosen - needed + diameter_in)
        shown = ends * (size.nut_in + rules.thread_in)
        problems = tuple(thread_limits(chosen, stack, stack - shown, bore))
    return BoltLength(
        diameter_in,
        stack,
        thumb,
        by_stack,
        by_thumb,
        chosen,
        words,
        tuple(layer for layer in layers if layer[1]),
        flip,
        problems,
        needed,
    )


def thread_limits(stock_in: float, stack_in: float, grip_in: float, bore: Bore) -> Iterable[str]:
    """What keeps a bolt from being tightened: too short a bolt, or no thread where the nut goes."""
    if not is_at_least(stock_in, stack_in):
        less = stack_in - stock_in
        yield f"{stock_in:g} in by the thumb rule is {less:.2f} in less than the stack"
    thread = thread_on_in(stock_in)
    if bore.bolt == "double arming":
        return
    if thread is None:
        yield f"thread on a bolt of {stock_in:g} in not known"
    elif not is_at_least(grip_in, stock_in - thread):
        yield (
            f"the nut comes {grip_in:.2f} in from the head, where a bolt of {stock_in:g} in has "
            f"no thread: its {thread:g} in of it (memory) begin at {stock_in - thread:g} in"
        )


def bores(scene: Scene) -> tuple[BoreRow, ...]:
    """Every bore of the scene, pole by pole, from the top down, those of unknown height last."""
    return bores_at(scene.job, scene.stage)


def bores_at(job: Job, stage: Stage) -> tuple[BoreRow, ...]:
    """Every bore of a stage, in the order of `bores`; needs no scene."""
    rows = [_row(job, shared) for shared in _shared(bored(Spots(job, stage)))]
    return tuple(sorted(rows, key=_from_the_top))


def _from_the_top(row: BoreRow) -> tuple[str, float, str]:
    return (row.pole, math.inf if row.up_in is None else -row.up_in, row.item)


def _shared(every: Iterable[Bored]) -> list[list[Bored]]:
    """The bores, those of one height along one line together: one bolt serves what is on them."""
    groups: list[list[Bored]] = []
    for one in every:
        held = next((group for group in groups if _is_one_bore(group[0], one)), None)
        if held is None:
            groups.append([one])
        else:
            held.append(one)
    return groups


def _is_one_bore(one: Bored, other: Bored) -> bool:
    if one.solid.item != other.solid.item or one.item.id == other.item.id:
        return False
    if one.up_in is None or other.up_in is None:
        return False
    turn = (one.azimuth_deg - other.azimuth_deg) % 180.0
    in_line = min(turn, 180.0 - turn) <= _ONE_LINE_DEG
    return in_line and is_at_least(ONE_BORE_IN, abs(one.up_in - other.up_in))


def _timber(one: Bored) -> tuple[float, float]:
    """Timber along the bolt, and how deep it is let in."""
    stock = one.stock
    if isinstance(stock, ArmPart) and stock.material == "wood":
        return stock.width_in * stock.members, stock.gain_in * stock.members
    return 0.0, 0.0


def _row(job: Job, shared: Sequence[Bored]) -> BoreRow:
    # the head goes on the arm side (UFGS-16370A p. 35, read), so the first is what has most timber
    shared = sorted(shared, key=lambda one: -_timber(one)[0])
    first = shared[0]
    solid, up = first.solid, first.up_in
    bore = Bore(
        bolt_dia_in=max(one.bore.bolt_dia_in for one in shared),
        plate_in=sum(one.bore.plate_in for one in shared),
        bolt=max((one.bore.bolt for one in shared), key=lambda kind: kind == "double arming"),
    )
    timber, gains = (sum(each) for each in zip(*map(_timber, shared), strict=True))
    diameter = None if up is None else solid.diameter_in(up)
    bolt = bolt_length(diameter, timber, gains, bore, job.settings.bolt_rule)
    if up is None:
        bolt = replace(bolt, words=f"size unresolved: {first.missing}")
    elif diameter is None:
        bolt = replace(bolt, words=f"size unresolved: {girth_missing(job, solid)}")
    return BoreRow(
        items=tuple(one.item.id for one in shared),
        pole=solid.item,
        up_in=up,
        at=None if up is None else marks(job, solid, up),
        azimuth_deg=first.azimuth_deg,
        hole_in=bolt_size(bore.bolt_dia_in).hole_in,
        bolt_dia_in=bore.bolt_dia_in,
        bolt_kind=bore.bolt,
        bolt=bolt,
        girth_from=solid.girth_from,
        is_least=solid.is_least_girth,
    )


def girth_missing(job: Job, solid: PoleSolid) -> str:
    """What to give so that the pole's girth is known."""
    item = job.item_by_id[solid.item]
    facts = item.pole
    wanted = [
        name
        for name, value in (
            ("length", facts.length_in if facts else None),
            ("class", facts.pole_class if facts else None),
            ("species", facts.species if facts else None),
        )
        if not value
    ]
    if not wanted and solid.depth_in is None:
        wanted = ["setting depth"]
    give = " and ".join(wanted) or "another class, this one is not in the tables"
    return f"girth of {job.label(item.id)} not known; give its {give}, or two girths as readings"


def by_the_inch(value_in: float) -> str:
    """A size of a bolt or of its hole: by the inch in every job, as both are sold."""
    return inches_text(value_in, step_in=1 / 16, system="ft-in")


def flip_words(row: BoreRow, system: System) -> str:
    """From which girth on a longer bolt is ordered, where the girth is the least of the class."""
    bolt = row.bolt
    if not row.is_least or bolt.flip_girth_in is None or bolt.diameter_in is None:
        return ""
    here = inches_text(math.pi * bolt.diameter_in, step_in=1 / 8, toward="down", system=system)
    flip = inches_text(bolt.flip_girth_in, step_in=1 / 8, toward="down", system=system)
    return (
        f"girth {here} there is the least of the class, a real pole is fatter: "
        f"over {flip} it takes a longer bolt"
    )
