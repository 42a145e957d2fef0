"""Rating of clothing against an arc, looked up in a printed table; nothing is worked out."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from framer.resources import resources
from framer.stock.records import Positive, Record, read_records
from framer.stock.source import Source


class ArcRow(Record, frozen=True, kw_only=True):
    """A row of the table.

    Attributes:
        from_kv: least voltage between phases.
        up_to_kv: highest voltage between phases.
        fault_ka: highest fault current, kA.
        cycles: longest times to clear, cycles of 60 Hz, rising.
        cal_per_cm2: what clothing is rated at for each, cal/cm2.
    """

    from_kv: Positive
    up_to_kv: Positive
    fault_ka: Positive
    cycles: tuple[Positive, ...]
    cal_per_cm2: tuple[Positive, ...]


class ArcRating(Struct, frozen=True):
    """The rating that will do, cal/cm2; or what is not known for it."""

    cal_per_cm2: float | None
    source: Source | None = None
    missing: str = ""


@cache
def arc_rows() -> tuple[ArcRow, ...]:
    """The rows that are known.

    Raises:
        DataFileError: the file of them is not as expected.
    """
    return read_records(resources() / "arc.toml", "row", ArcRow)


def arc_rating(kv: float, fault_ka: float, cycles: float) -> ArcRating:
    """The least rating in the table for a voltage, fault current and time to clear.

    The row of the next higher current is taken.
    """
    rows = [one for one in arc_rows() if one.from_kv <= kv <= one.up_to_kv]
    rows = sorted((one for one in rows if one.fault_ka >= fault_ka), key=lambda one: one.fault_ka)
    if not rows:
        return ArcRating(None, missing=f"no row for {kv:g} kV and {fault_ka:g} kA is known here")
    row = rows[0]
    for longest, rating in zip(row.cycles, row.cal_per_cm2, strict=True):
        if cycles <= longest:
            return ArcRating(rating, row.source)
    missing = f"{cycles:g} cycles is longer than the {max(row.cycles):g} of the table"
    return ArcRating(None, row.source, missing)
