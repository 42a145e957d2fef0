"""Strength of arm timber, rods, bolts and insulators, read from resources/strength."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any, TypeVar

import msgspec
from msgspec import Struct

from framer.errors import DataFileError
from framer.stock.records import NotNegative, Positive, Record, read_records, read_toml
from framer.strength.data import strength_folder

_R = TypeVar("_R", bound=Record)


class ArmWood(Record, frozen=True, kw_only=True):
    """Sawn timber: bending strength [psi], what share counts under loads of a year and more."""

    id: str
    fiber_psi: Positive
    lasting_share: Positive


class Steel(Record, frozen=True, kw_only=True):
    """A rod or bolt: thickness [in] and what it breaks at [lbf]."""

    dia_in: Positive
    strength_lbf: Positive


class InsulatorShare(Record, frozen=True, kw_only=True):
    """What share of an insulator's rating counts by a method, across and along its axis."""

    method: str
    sideways: Positive
    along: Positive


class Person(Record, frozen=True, kw_only=True):
    """A person at the end of an arm by a method [lbf]."""

    method: str
    pounds: NotNegative


class WireShare(Record, frozen=True, kw_only=True):
    """The share of its strength a wire may be pulled to by a method."""

    method: str
    loaded: Positive
    bare_60_f: Positive | None = None


class Fittings(Struct, frozen=True):
    """All of fittings.toml."""

    rods: tuple[Steel, ...]
    bolts: tuple[Steel, ...]
    insulators: tuple[InsulatorShare, ...]
    persons: tuple[Person, ...]
    wires: tuple[WireShare, ...]


@cache
def arm_woods() -> dict[str, ArmWood]:
    """Timber of arms by id.

    Raises:
        DataFileError: the file is missing or wrong.
    """
    found = read_records(strength_folder() / "arm-wood.toml", "wood", ArmWood)
    return {one.id: one for one in found}


@cache
def fittings() -> Fittings:
    """Strength of rods and bolts, and shares of insulators.

    Raises:
        DataFileError: the file is missing or wrong.
    """
    path = strength_folder() / "fittings.toml"
    data = read_toml(path)
    made = Fittings(
        _table(path, data, "rod", Steel),
        _table(path, data, "bolt", Steel),
        _table(path, data, "insulator", InsulatorShare),
        _table(path, data, "person", Person),
        _table(path, data, "wire", WireShare),
    )
    if data:
        raise DataFileError(path.name, next(iter(data)), "expected no such table")
    return made


def _table(path: Path, data: dict[str, Any], name: str, kind: type[_R]) -> tuple[_R, ...]:
    try:
        return tuple(msgspec.convert(data.pop(name, []), type=list[kind]))  # type: ignore[valid-type]
    except msgspec.ValidationError as error:
        raise DataFileError(path.name, name, str(error)) from error


def steel_of(some: tuple[Steel, ...], dia_in: float) -> Steel | None:
    """The rod or bolt of a thickness, `None` when not known."""
    return next((one for one in some if abs(one.dia_in - dia_in) < 1e-3), None)
