"""Rules of completeness: what comes with things, what balances, where removed things go."""

from functools import cache
from typing import Literal

from msgspec import Struct

from framer.errors import DataFileError
from framer.model.stage import Fate
from framer.resources import resources
from framer.stock.records import read_whole
from framer.stock.source import Source

Per = Literal["item", "same", "support", "foot", "spacing", "jumper"]
"""What a rule counts by; resources/hardware-rules.toml says it in words."""


class Adds(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Small material that comes with things of a kind.

    `{wire}` in `name` is the wire's name. `count` `None`: it is needed, how many is not known;
    `asks` then has it asked for below the list instead of on a line of its own.
    """

    id: str
    title: str
    to: tuple[str, ...]
    per: Per
    source: Source
    name: str = ""
    unit: str = "ea"
    count: float | None = None
    style: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    not_on: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    metal: tuple[str, ...] = ()
    fates: tuple[Fate, ...] = ("install", "transfer", "move", "temporary")
    spacing_in: float = 24.0
    near_in: float = 24.0
    zone_in: float = 0.0
    asks: bool = False
    note: str = ""


class Balance(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Two sums of lines, each a way to name lines and a factor, that must agree."""

    id: str
    title: str
    left: tuple[tuple[str, float], ...]
    relation: Literal["equal", "at least"]
    right: tuple[tuple[str, float], ...]
    source: Source


class Instead(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Parts, by how their ids begin, that are to be others where their arm holds strong wires."""

    parts: tuple[str, ...]
    over_lbf: float
    words: str
    source: Source


class Goes(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Where a thing that is taken down goes; empty `to` is every kind."""

    to: tuple[str, ...]
    words: str
    source: Source
    material: tuple[str, ...] = ()


class HardwareRules(Struct, frozen=True, forbid_unknown_fields=True):
    """All of resources/hardware-rules.toml."""

    adds: tuple[Adds, ...]
    balance: tuple[Balance, ...]
    instead: tuple[Instead, ...]
    goes: tuple[Goes, ...]


@cache
def hardware_rules() -> HardwareRules:
    """The rules of completeness.

    Raises:
        DataFileError: the file is missing or wrong.
    """
    path = resources() / "hardware-rules.toml"
    rules = read_whole(path, HardwareRules)
    for rule in rules.adds:
        if not rule.name and rule.per != "same":
            raise DataFileError(path.name, rule.id, "says no name of what it adds")
    return rules
