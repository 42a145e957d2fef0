"""Pole class tables and setting depths."""

from __future__ import annotations

import csv
import math
from functools import cache
from pathlib import Path
from typing import NamedTuple

from msgspec import Struct

from framer.errors import DataFileError, UnknownNameError
from framer.resources import resources
from framer.stock.source import HowKnown

C6_FROM_BUTT_IN = 72.0
"""The class tables give girths at the top and 6 ft from the butt."""


class PoleSize(Struct, frozen=True):
    """Least girths of one length and class, inches, and how the weaker of the two is known."""

    species: str
    length_ft: int
    pole_class: str
    girth_6ft_in: float
    girth_top_in: float
    how_known: HowKnown
    source: str


class Depth(NamedTuple):
    """Setting depth of one stock length, inches."""

    length_ft: int
    soil_in: float
    rock_in: float | None
    how_known: HowKnown
    source: str


def _rows(path: Path) -> list[dict[str, str]]:
    try:
        with path.open(newline="", encoding="utf-8") as file:
            lines = csv.reader(file)
            names = next(lines, [])
            return [dict(zip(names, line, strict=False)) for line in lines if line]
    except OSError as error:
        raise DataFileError(path.name, "", f"cannot be read: {error.strerror}") from error
    except (UnicodeDecodeError, csv.Error) as error:
        raise DataFileError(path.name, "", f"is not CSV text: {error}") from error


@cache
def pole_sizes() -> dict[tuple[str, int, str], PoleSize]:
    """The class tables, by species, length in feet and class."""
    path = resources() / "stock" / "poles.csv"
    table = {}
    for number, row in enumerate(_rows(path), start=2):
        try:
            size = PoleSize(
                row["species"],
                int(row["length_ft"]),
                row["class"],
                float(row["girth_6ft_in"]),
                float(row["girth_top_in"]),
                row["how_known"],  # type: ignore[arg-type]
                row["source"],
            )
        except (KeyError, TypeError, ValueError) as error:
            raise DataFileError(
                path.name, f"line {number}", f"wrong or missing value: {error}"
            ) from error
        table[size.species, size.length_ft, size.pole_class] = size
    return table


@cache
def setting_depths() -> tuple[Depth, ...]:
    """The setting depth table, shortest pole first."""
    path = resources() / "stock" / "setting_depth.csv"
    table = []
    for number, row in enumerate(_rows(path), start=2):
        try:
            table.append(
                Depth(
                    int(row["length_ft"]),
                    12 * float(row["soil_ft"]),
                    12 * float(row["rock_ft"]) if row["rock_ft"] else None,
                    row["how_known"],  # type: ignore[arg-type]
                    row["source"],
                )
            )
        except (KeyError, TypeError, ValueError) as error:
            raise DataFileError(
                path.name, f"line {number}", f"wrong or missing value: {error}"
            ) from error
    return tuple(sorted(table))


def pole_size(species: str, length_in: float, pole_class: str) -> PoleSize:
    """The class table's row for a pole.

    Raises:
        UnknownNameError: the table has no such pole.
    """
    size = pole_sizes().get((species, round(length_in / 12), pole_class))
    if size is None or not math.isclose(length_in, 12 * size.length_ft):
        raise UnknownNameError(
            "pole in the class tables", f"{species} {length_in / 12:g} ft class {pole_class}"
        )
    return size


def classes_weakest_first(species: str, length_in: float) -> list[PoleSize]:
    """The classes in which a length of a species is listed, the thinnest first."""
    return sorted(
        (
            size
            for size in pole_sizes().values()
            if size.species == species and abs(12.0 * size.length_ft - length_in) < 1e-6
        ),
        key=lambda size: (size.girth_6ft_in, size.girth_top_in),
    )


def ten_percent_depth_in(length_in: float) -> float:
    """Ten percent of the length plus 2 ft, never less than 5 ft.

    Source: rule of thumb of a linemen's handbook, 5th ed., at second hand; READ.
    """
    return max(60.0, 0.1 * length_in + 24.0)


def table_depth_in(length_in: float) -> float | None:
    """The table's depth in ordinary soil for the next listed length, `None` beyond the table."""
    for depth in setting_depths():
        if 12 * depth.length_ft >= length_in - 1e-6:
            return depth.soil_in
    return None
