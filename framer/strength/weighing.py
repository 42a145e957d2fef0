"""What an item weighs, and where that comes from."""

from __future__ import annotations

from typing import NamedTuple

from framer.geometry.pole import PoleSolid
from framer.mechanics.handling import frustum_weight
from framer.model.item import Item
from framer.model.job import Job
from framer.stock.catalogue import catalogue
from framer.strength.data import woods
from framer.units.length import decimal_text, length_text


class Weighed(NamedTuple):
    """A weight [lb] and where it comes from; `None` when not known, and then the words say what."""

    lb: float | None
    words: str
    assumed: str = ""


def weight_of(item: Item) -> Weighed:
    """Weight of an item that is no pole: as weighed, else the heaviest of its stock data."""
    label = item.name or item.id
    if item.weight_lb is not None:
        return Weighed(item.weight_lb, "as weighed or tagged")
    stock = catalogue().get(item.part or "")
    if stock is None or stock.weight_lb is None:
        return Weighed(None, f"weight of {label} not known")
    how = stock.how_known("weight_lb")
    return Weighed(max(stock.weight_lb), f"heaviest of its stock data, known by: {how}")


_IN3_PER_FT3 = 1728.0


def pole_weight(
    job: Job,
    item: Item,
    solid: PoleSolid,
    low_in: float | None = None,
    high_in: float | None = None,
) -> Weighed:
    """Weight of a pole, or of a piece of it between two distances up from its ground line."""
    label = job.label(item.id)
    if item.weight_lb is not None and low_in is None:
        return Weighed(item.weight_lb, "as weighed or tagged")
    low = low_in if low_in is not None else -(solid.depth_in or 0.0)
    high = high_in if high_in is not None else solid.top_up_in
    if high is None or solid.depth_in is None:
        return Weighed(None, f"length of {label} not known")
    one, other = solid.diameter_in(low), solid.diameter_in(high)
    if one is None or other is None:
        return Weighed(None, f"girth of {label} not known")
    species = item.pole.species if item.pole else None
    wood = woods().get(species or "")
    if wood is None or wood.density_lb_per_ft3 is None:
        what = species or f"wood of {label}"
        return Weighed(None, f"density of {what} not known: type the weight of {label}")
    pounds = frustum_weight(high - low, one, other, wood.density_lb_per_ft3 / _IN3_PER_FT3)
    system = job.settings.units
    thick = decimal_text(one, system=system).removesuffix(" in").removesuffix(" m")
    words = (
        f"{length_text(high - low, system=system)} of {thick} to "
        f"{decimal_text(other, system=system)} at "
        f"{wood.density_lb_per_ft3:g} lb/ft3{wood.how('density_lb_per_ft3')}"
    )
    least = "least girths of the class: a real pole is heavier" if solid.is_least_girth else ""
    return Weighed(pounds, words, least)
