"""A pole as a tapered round: where a height is on it, and how thick it is there.

Along a pole, `up` is the distance from its ground line, positive towards the top, measured along
the pole itself. The girth runs straight between the heights it is known at.
"""

from __future__ import annotations

import math

from msgspec import Struct

from framer.errors import UnknownNameError
from framer.geometry.space import Point, moved, toward
from framer.model.item import Item
from framer.model.job import Job, Settings
from framer.model.place import Hold, Standing
from framer.stock.poles import (
    C6_FROM_BUTT_IN,
    pole_size,
    table_depth_in,
    ten_percent_depth_in,
)

_LEAST = "least girths of the class"


class PoleSolid(Struct, frozen=True):
    """A standing pole.

    Attributes:
        item: id of the pole.
        foot: the axis at the ground line.
        axis: unit vector along the pole, upward.
        top_up_in: the finished top above the ground line along the pole, `None` when not known.
        depth_in: the butt below the ground line, `None` when not known.
        depth_from: in words, where the depth comes from.
        girths: (up, girth) pairs, lowest first; empty when no girth is known.
        girth_from: in words, where the girths come from.
        depth_tolerance_in: how far off the depth, and with it top and butt, may be.
        girth_tolerance_in: how far off the girths may be.
    """

    item: str
    foot: Point
    axis: Point
    top_up_in: float | None
    depth_in: float | None
    depth_from: str
    girths: tuple[tuple[float, float], ...]
    girth_from: str
    depth_tolerance_in: float = 0.0
    girth_tolerance_in: float = 0.0

    def tolerance_in(self, hold: Hold) -> float:
        """How far off the spot of an item may be that is held by a reference."""
        round_off = self.girth_tolerance_in / (2.0 * math.pi)
        return round_off + (0.0 if hold == "height" else self.depth_tolerance_in)

    @property
    def is_least_girth(self) -> bool:
        """Whether the girths are the least of the class, so that a real pole is fatter."""
        return self.girth_from.startswith(_LEAST)

    @property
    def rise(self) -> float:
        """Height gained per inch along the pole; 1 for a plumb pole."""
        return self.axis[2]

    def up(self, hold: Hold, at_in: float) -> float | None:
        """The distance along the pole of a place held by a reference, `None` when not known."""
        if hold == "height":
            return at_in / self.rise
        if hold == "drop":
            return None if self.top_up_in is None else self.top_up_in - at_in
        return None if self.depth_in is None else at_in - self.depth_in

    def at(self, hold: Hold, up_in: float) -> float | None:
        """The inverse of `up`: what a place reads on a reference."""
        if hold == "height":
            return up_in * self.rise
        if hold == "drop":
            return None if self.top_up_in is None else self.top_up_in - up_in
        return None if self.depth_in is None else up_in + self.depth_in

    def point(self, up_in: float) -> Point:
        """The axis at a distance along the pole."""
        return moved(self.foot, self.axis, up_in)

    def girth_in(self, up_in: float) -> float | None:
        """Girth at a distance along the pole, straight lines between and beyond known girths."""
        known = self.girths
        if len(known) < 2:
            return None
        index = 1
        while index < len(known) - 1 and known[index][0] < up_in:
            index += 1
        (low, at_low), (high, at_high) = known[index - 1], known[index]
        return at_low + (at_high - at_low) * (up_in - low) / (high - low)

    def radius_in(self, up_in: float) -> float | None:
        """Half the diameter at a distance along the pole."""
        girth = self.girth_in(up_in)
        return None if girth is None else girth / (2.0 * math.pi)

    def diameter_in(self, up_in: float) -> float | None:
        """Diameter at a distance along the pole."""
        girth = self.girth_in(up_in)
        return None if girth is None else girth / math.pi


def rule_depth_in(length_in: float, cut_in: float, settings: Settings) -> tuple[float, str]:
    """Setting depth by the job's rule, and the rule in words."""
    reckoned = length_in if settings.depth_length == "stock" else length_in - cut_in
    percent = ten_percent_depth_in(reckoned)
    table = table_depth_in(reckoned)
    by = f"by {settings.depth_length} length"
    if settings.depth_rule == "ten percent" or table is None:
        return percent, f"10 % + 2 ft, {by}"
    if settings.depth_rule == "table":
        return table, f"setting table, {by}"
    if table > percent:
        return table, f"setting table (deeper than 10 % + 2 ft), {by}"
    return percent, f"10 % + 2 ft (not less than the table), {by}"


def brand_from_butt_in(length_in: float, settings: Settings) -> float:
    """How far the brand is from the butt, by the job's setting for short and long poles."""
    short = length_in <= 600.0
    return settings.brand_to_50_ft_in if short else settings.brand_over_50_ft_in


def _where_found(item: Item, place: Standing) -> Standing | None:
    """The found place of a pole that is still in the hole it was found in, cut or not."""
    first = item.places[0]
    if not isinstance(first, Standing) or first.when != "found":
        return None
    hole = (first.east_in, first.north_in)
    return first if hole == (place.east_in, place.north_in) else None


def _depth(job: Job, item: Item, place: Standing) -> tuple[float | None, str, float]:
    """Setting depth, where it comes from in words, and its tolerance."""
    length = item.pole.length_in if item.pole else None
    if place.depth_in is not None:
        return place.depth_in, "typed", 0.0
    found = _where_found(item, place)
    if found is None:
        if length is None:
            return None, "not known", 0.0
        return *rule_depth_in(length, place.cut_in, job.settings), 0.0
    # ground raised about a pole buries it deeper
    raised = place.grade_in - found.grade_in
    if found.depth_in is not None:
        return found.depth_in + raised, "typed", 0.0
    read = job.reading(item.id, "depth")
    if read is not None:
        return read.value_in + raised, f"reading, {read.source}", read.tolerance_in
    brand = job.reading(item.id, "brand height")
    if brand is not None and length is not None:
        depth = brand_from_butt_in(length, job.settings) - brand.value_in + raised
        return depth, "brand height", brand.tolerance_in
    top = job.reading(item.id, "top height")
    if top is not None and length is not None:
        depth = length - found.cut_in - top.value_in + raised
        return depth, "length less top height", top.tolerance_in
    return None, "not known", 0.0


def _girths(
    job: Job, item: Item, depth_in: float | None
) -> tuple[tuple[tuple[float, float], ...], str]:
    facts = item.pole
    measured = tuple((reading.at_in or 0.0, reading.value_in) for reading in job.girths(item.id))
    if len(measured) >= 2:
        return measured, "measured girths"
    table: tuple[tuple[float, float], ...] = ()
    words = "no girth known"
    if facts and facts.length_in and facts.species and facts.pole_class and depth_in is not None:
        try:
            size = pole_size(facts.species, facts.length_in, facts.pole_class)
        except UnknownNameError:
            words = "not in the class tables"
        else:
            table = (
                (C6_FROM_BUTT_IN - depth_in, size.girth_6ft_in),
                (facts.length_in - depth_in, size.girth_top_in),
            )
            words = f"{_LEAST} ({size.how_known})"
    if table and measured:
        up, girth = measured[0]
        (low, at_low), (high, at_high) = table
        more = girth - (at_low + (at_high - at_low) * (up - low) / (high - low))
        return (
            ((low, at_low + more), (high, at_high + more)),
            f"one measured girth with the taper of the class ({size.how_known})",
        )
    return table, words


def pole_solid(job: Job, item: Item, place: Standing) -> PoleSolid:
    """The pole as it stands at one of its places."""
    depth, depth_from, depth_tolerance = _depth(job, item, place)
    length = item.pole.length_in if item.pole else None
    top: float | None = None
    if length is not None and depth is not None:
        top = length - place.cut_in - depth
    elif (found := _where_found(item, place)) and (read := job.reading(item.id, "top height")):
        top = read.value_in - (place.cut_in - found.cut_in) - (place.grade_in - found.grade_in)
        depth_tolerance = read.tolerance_in
    lean = place.rake_in_per_10ft / 120.0
    rise = 1.0 / math.sqrt(1.0 + lean * lean)
    side = toward(place.rake_azimuth_deg)
    girths, girth_from = _girths(job, item, depth)
    return PoleSolid(
        item=item.id,
        foot=(place.east_in, place.north_in, place.grade_in),
        axis=(side[0] * lean * rise, side[1] * lean * rise, rise),
        top_up_in=top,
        depth_in=depth,
        depth_from=depth_from,
        girths=girths,
        girth_from=girth_from,
        depth_tolerance_in=depth_tolerance,
        girth_tolerance_in=max((read.tolerance_in for read in job.girths(item.id)), default=0.0),
    )
