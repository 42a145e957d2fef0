"""One line of the take-off, and the columns it can stand in."""

from __future__ import annotations

from msgspec import Struct

from framer.model.stage import Fate
from framer.stock.source import HowKnown

COLUMNS: tuple[Fate, ...] = (
    "install",
    "transfer",
    "move",
    "remove",
    "stays",
    "by others",
    "temporary",
    "undecided",
)
"""The columns of the list, one per fate."""

NEW_HARDWARE: frozenset[Fate] = frozenset({"install", "transfer", "move", "temporary"})
"""Fates whose things get new bolts, washers and small hardware.

Also what is moved: the new pole is another thickness, so old bolts seldom fit; common practice.
"""

TYPED = "Typed"
"""The group of lines that were typed on the job's own list."""

GROUPS = (
    "Poles",
    "Arms and braces",
    "Insulators",
    "Equipment",
    "Runs and grounds",
    "Guys",
    "Attachments",
    "Bolts",
    "Hardware",
    "Wires",
    TYPED,
)
"""The headings of the list, in its order."""


class MaterialRow(Struct, frozen=True):
    """One line of the list.

    Attributes:
        group: heading it stands under.
        name: what it is.
        part: id of the stock part, empty for hardware and poles.
        fate: the column the quantity stands in.
        quantity: how many, or feet of wire.
        unit: "ea", "ft" or "set", or as typed.
        why: the reason, with the numbers it rests on.
        how_known: how the part's data is known.
        unresolved: a size or number that cannot be said yet.
        weight_lb: of the whole quantity, `None` when not known.
        pays: who pays for it, empty for the owner of the job.
        rests_on: the rule that brings it and its source, empty where a stock part or the job does.
        at_least: why it weighs that at the least, empty where it is known better.
    """

    group: str
    name: str
    part: str
    fate: Fate
    quantity: float
    unit: str
    why: str
    how_known: HowKnown = "house"
    unresolved: bool = False
    weight_lb: float | None = None
    pays: str = ""
    rests_on: str = ""
    at_least: str = ""


def hardware_fate(fate: Fate) -> Fate:
    """The column of small hardware of a thing: apart where the thing is only temporary."""
    return "temporary" if fate == "temporary" else "install"
