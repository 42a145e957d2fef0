"""Rubber goods: which class may be used at which voltage, and when they are tested anew."""

from __future__ import annotations

from functools import cache

import msgspec

from framer.model.line import Circuit
from framer.resources import resources
from framer.stock.records import Positive, Record, check_known, read_whole


class RubberClass(Record, frozen=True, kw_only=True):
    """A class of rubber goods.

    Attributes:
        id: what is marked on the goods.
        max_kv: the highest voltage between phases they may be used on, kV.
        retest_ac_kv: what they are tested at, kV alternating.
        retest_dc_kv: or this, kV direct.
    """

    id: str
    max_kv: Positive
    retest_ac_kv: Positive
    retest_dc_kv: Positive


class RubberTest(Record, frozen=True, kw_only=True):
    """When one kind of goods is tested."""

    goods: str
    when: str


class _Rubber(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"classes": "class"}):
    classes: tuple[RubberClass, ...]
    test: tuple[RubberTest, ...]


@cache
def _rubber() -> _Rubber:
    path = resources() / "rubber.toml"
    found = read_whole(path, _Rubber)
    for record in (*found.classes, *found.test):
        check_known(path.name, getattr(record, "id", ""), record)
    return found


def rubber_classes() -> tuple[RubberClass, ...]:
    """The classes, weakest first.

    Raises:
        DataFileError: the file of them is not as expected.
    """
    return tuple(sorted(_rubber().classes, key=lambda one: one.max_kv))


def rubber_tests() -> tuple[RubberTest, ...]:
    """When each kind of goods is tested.

    Raises:
        DataFileError: the file of them is not as expected.
    """
    return _rubber().test


def rubber_class(name: str | None) -> RubberClass | None:
    """The class that is marked so; `None` for none, or one nobody knows."""
    return next((one for one in rubber_classes() if one.id == (name or "").strip()), None)


def least_class(kv: float) -> RubberClass | None:
    """The weakest class for a voltage between phases; `None` where even the strongest is less."""
    return next((one for one in rubber_classes() if one.max_kv >= kv - 1e-9), None)


def fits(name: str | None, circuit: Circuit) -> bool | None:
    """Whether goods of a class may be used on a circuit; `None` where that cannot be said."""
    known = rubber_class(name)
    if known is None or circuit.kv is None:
        return None
    return known.max_kv >= circuit.kv - 1e-9
