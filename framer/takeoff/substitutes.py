"""A longer bolt for one that is not on hand: never a shorter one, never past the crew's limit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from framer.stock.bolts import bolt_size
from framer.stock.part import Bore
from framer.takeoff.bores import BoltLength, thread_limits
from framer.units.compare import is_at_least


class Substitute(Struct, frozen=True):
    """One stock length in place of the right one.

    Attributes:
        length_in: the stock length.
        past_in: how far it reaches past what is needed; below 0 it is too short.
        rejected: why it may not be taken; empty when it may.
        unsaid: what is not known to say so.
    """

    length_in: float
    past_in: float
    rejected: str = ""
    unsaid: str = ""

    @property
    def words(self) -> str:
        """What is printed of it."""
        past = f"{self.length_in:g} in leaves {self.past_in:.2f} in"
        if self.past_in < 0:
            past = f"{self.length_in:g} in"
        if self.rejected:
            return f"{past}: rejected, {self.rejected}"
        if self.unsaid:
            return f"{past}: cannot say, {self.unsaid}"
        return f"{past}: within the limit"


def substitutes(bolt: BoltLength, bore: Bore, limit_in: float | None) -> Iterator[Substitute]:
    """Every other stock length of the bore's bolt, shortest first, and whether it may be taken.

    Args:
        bolt: the length that is needed.
        bore: the bore it goes through.
        limit_in: how far past what is needed the crew accepts; `None` when nobody has said.
    """
    size = bolt_size(bore.bolt_dia_in)
    lengths = size.double_arming_lengths_in if bore.bolt == "double arming" else size.lengths_in
    if bolt.needed_in is None or bolt.stack_in is None:
        return
    for length in sorted(lengths):
        if length == bolt.stock_in:
            continue
        past = length - bolt.needed_in
        rejected, unsaid = "", ""
        least = max(bolt.needed_in, bolt.stack_in)
        thread = () if length < least else tuple(_thread(length, bolt, bore))
        if not is_at_least(length, least):
            rejected = f"shorter than the {least:.2f} in needed; never a shorter bolt"
        elif thread:
            rejected = thread[0]
        elif limit_in is None:
            unsaid = "nobody has said how far a bolt may reach past"
        elif not is_at_least(limit_in, past):
            rejected = f"limit {limit_in:g} in"
        yield Substitute(length, past, rejected, unsaid)


def _thread(length_in: float, bolt: BoltLength, bore: Bore) -> Iterable[str]:
    shown = sum(thick for name, thick in bolt.layers if name in ("nuts", "thread"))
    stack = bolt.stack_in or 0.0
    return thread_limits(length_in, stack, stack - shown, bore)


def instead(bolt: BoltLength, bore: Bore, limit_in: float | None) -> str:
    """What to do when the right length is not on hand, as printed."""
    if bolt.stock_in is None:
        return ""
    longer = [one for one in substitutes(bolt, bore, limit_in) if one.length_in > bolt.stock_in]
    taken = next((one for one in longer if not one.rejected and not one.unsaid), None)
    if taken is not None:
        return f"none on hand: {taken.words}"
    near = f"{longer[0].words}; " if longer else ""
    return (
        f"none on hand: {near}order {bolt.stock_in:g} in, or washers or a spacer as the crew "
        "allows; never a shorter bolt"
    )
