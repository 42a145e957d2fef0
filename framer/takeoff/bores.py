"""Bores through a pole and the bolts that go in them."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from framer.geometry.bores import Bored, bored
from framer.geometry.scene import Scene
from framer.geometry.spot import Spots
from framer.model.job import Job
from framer.stock.bolts import bolt_rules, bolt_size
from framer.stock.part import ArmPart, Bore
from framer.units.compare import is_at_least


@dataclass(frozen=True, slots=True)
class BoltLength:
    """The length of one through bolt, inches.

    Attributes:
        diameter_in: of the pole at the bore, `None` when not known.
        stack_in: what the bolt goes through, added up; `None` when not known.
        thumb_in: pole and timber and 2 in, the trade's thumb rule.
        stock_in: the next stock length of the stack, of the thumb rule, and the one to order by
            the job's bolt rule; `None` when not known or longer than any in stock.
    """

    diameter_in: float | None
    stack_in: float | None
    thumb_in: float | None
    stack_stock_in: float | None
    thumb_stock_in: float | None
    stock_in: float | None
    words: str


@dataclass(frozen=True, slots=True)
class BoreRow:
    """One bore: where it is on the pole, `None` where that is not known, and what goes through it.

    `azimuth_deg` is the way its bolt points, from the nut to the head.
    """

    item: str
    pole: str
    up_in: float | None
    from_butt_in: float | None
    above_ground_in: float | None
    from_top_in: float | None
    azimuth_deg: float
    hole_in: float
    bolt_dia_in: float
    bolt_kind: str
    bolt: BoltLength

    @property
    def washers(self) -> int:
        """Square washers on the bolt."""
        return 4 if self.bolt_kind == "double arming" else 2

    @property
    def nuts(self) -> int:
        """Nuts on the bolt besides the head."""
        return 4 if self.bolt_kind == "double arming" else 1


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
    hardware = 2 * rules.washer_in + ends * (size.nut_in + rules.thread_in)
    stack = diameter_in - gains_in + timber_in + bore.plate_in + hardware
    thumb = diameter_in + timber_in + bore.plate_in + rules.thumb_in
    by_stack, by_thumb = next_stock_length_in(stack, bore), next_stock_length_in(thumb, bore)
    chosen = {"stack": by_stack, "thumb": by_thumb}.get(rule)
    if rule == "longer" and by_stack is not None and by_thumb is not None:
        chosen = max(by_stack, by_thumb)
    words = (
        f"pole {diameter_in:.2f} - gains {gains_in:g} + timber {timber_in:g} + plates "
        f"{bore.plate_in:g} + washers, nuts, thread {hardware:.2f} = {stack:.2f} in; "
        f"thumb rule {thumb:.2f} in"
    )
    if by_stack != by_thumb:
        words += "; the two differ"
    return BoltLength(diameter_in, stack, thumb, by_stack, by_thumb, chosen, words)


def bores(scene: Scene) -> tuple[BoreRow, ...]:
    """Every bore of the scene, pole by pole, from the top down, those of unknown height last."""
    rows = [_row(scene.job, one) for one in bored(Spots(scene.job, scene.stage))]
    return tuple(sorted(rows, key=_from_the_top))


def _from_the_top(row: BoreRow) -> tuple[str, float, str]:
    return (row.pole, math.inf if row.up_in is None else -row.up_in, row.item)


def _row(job: Job, one: Bored) -> BoreRow:
    stock, bore, solid, up = one.stock, one.bore, one.solid, one.up_in
    timber, gains = 0.0, 0.0
    if isinstance(stock, ArmPart) and stock.material == "wood":
        timber, gains = stock.width_in * stock.members, stock.gain_in * stock.members
    diameter = None if up is None else solid.diameter_in(up)
    bolt = bolt_length(diameter, timber, gains, bore, job.settings.bolt_rule)
    if up is None:
        bolt = replace(bolt, words="size unresolved: height not known")
    return BoreRow(
        item=one.item.id,
        pole=solid.item,
        up_in=up,
        from_butt_in=None if up is None else solid.at("butt", up),
        above_ground_in=None if up is None else up * solid.rise,
        from_top_in=None if up is None else solid.at("drop", up),
        azimuth_deg=one.azimuth_deg,
        hole_in=bolt_size(bore.bolt_dia_in).hole_in,
        bolt_dia_in=bore.bolt_dia_in,
        bolt_kind=bore.bolt,
        bolt=bolt,
    )
