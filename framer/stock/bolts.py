"""Bolt stock and the allowances of the length rule."""

from functools import cache

from msgspec import Struct

from framer.errors import DataFileError
from framer.resources import resources
from framer.stock.records import read_whole
from framer.stock.source import Source


class BoltSize(Struct, frozen=True, forbid_unknown_fields=True):
    """One diameter: nut height, the hole it needs, its washer's name, and stock lengths, inches."""

    dia_in: float
    nut_in: float
    hole_in: float
    washer: str
    lengths_in: tuple[float, ...]
    double_arming_lengths_in: tuple[float, ...] = ()


class BoltRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Allowances for the length of a through bolt, inches.

    `washer_in` is the thickness of one washer, `thread_in` what shows past the nut, `thumb_in`
    what the trade's thumb rule adds to pole and timber. `thread_on_in` pairs the shortest length
    of machine bolt with the thread on it, up to the next pair.
    """

    washer_in: float
    thread_in: float
    thumb_in: float
    thread_on_in: tuple[tuple[float, float], ...]
    size: tuple[BoltSize, ...]
    source: dict[str, Source]


@cache
def bolt_rules() -> BoltRules:
    """The bolt data in resources/stock/bolts.toml.

    Raises:
        DataFileError: the file is missing or wrong.
    """
    return read_whole(resources() / "stock" / "bolts.toml", BoltRules)


def bolt_size(dia_in: float) -> BoltSize:
    """The stocked size with this diameter.

    Raises:
        DataFileError: it is not stocked.
    """
    for size in bolt_rules().size:
        if abs(size.dia_in - dia_in) < 1e-6:
            return size
    raise DataFileError("bolts.toml", f"{dia_in:g} in", "no bolt of this diameter is listed")


def thread_on_in(length_in: float) -> float | None:
    """How much of a machine bolt is threaded, from its end [in]; `None` for a length not listed."""
    listed = [thread for least, thread in bolt_rules().thread_on_in if least <= length_in]
    return listed[-1] if listed else None
