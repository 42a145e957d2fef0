"""What an item weighs, and where that comes from."""

from __future__ import annotations

from typing import NamedTuple

from framer.model.item import Item
from framer.stock.catalogue import catalogue


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
