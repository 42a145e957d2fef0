"""Loading districts and woods, read from resources/strength."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from framer.errors import UnknownNameError
from framer.resources import resources
from framer.stock.records import (
    NotNegative,
    Positive,
    Record,
    read_records,
)


class Loading(Record, frozen=True, kw_only=True):
    """Ice, wind and temperature that a line is loaded with.

    Attributes:
        ice_in: ice all round a wire.
        wind_psf: wind on wires, poles and other round things, of their projected area.
        flat_wind_psf: wind on flat things.
        temp_f: how warm the wires are, degrees F.
        constant_lb_per_ft: added to the load on a wire for its tension only.
        is_extreme: wind without ice that is judged by factors of its own.
        by_height: whether the wind changes with height and gusts; the pressures are then those at
            the reference height.
    """

    id: str
    name: str
    ice_in: NotNegative
    wind_psf: NotNegative
    flat_wind_psf: NotNegative
    temp_f: float
    constant_lb_per_ft: NotNegative = 0.0
    is_extreme: bool = False
    by_height: bool = False


class Wood(Record, frozen=True, kw_only=True):
    """Round timber of a species: mean bending strength and modulus [psi], weight [lb/ft3]."""

    species: str
    fiber_psi: Positive
    modulus_psi: Positive | None = None
    density_lb_per_ft3: Positive | None = None


def strength_folder() -> Path:
    """The folder of the strength data."""
    return resources() / "strength"


@cache
def loadings() -> dict[str, Loading]:
    """Loading districts by id.

    Raises:
        DataFileError: the file is missing or wrong.
    """
    records = read_records(strength_folder() / "loading.toml", "loading", Loading)
    return {record.id: record for record in records}


def loading(key: str) -> Loading:
    """The loading district with an id.

    Raises:
        UnknownNameError: there is none.
    """
    found = loadings().get(key)
    if found is None:
        raise UnknownNameError("loading", key, (*loadings(), "typed"))
    return found


@cache
def woods() -> dict[str, Wood]:
    """Round timber by species.

    Raises:
        DataFileError: the file is missing or wrong.
    """
    records = read_records(strength_folder() / "wood.toml", "wood", Wood)
    return {record.species: record for record in records}
