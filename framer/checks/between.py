"""Limits the crew typed for the time between steps, as a rulebook like any other."""

from __future__ import annotations

from functools import lru_cache
from typing import get_args

from framer.checks.rulebook import Band, Book, Rule, Rulebook
from framer.model.step import BetweenWire, LimitBetween
from framer.stock.source import Source

BETWEEN = "between"
"""Id of the book; its rules are named after the limits."""


@lru_cache(maxsize=8)
def limits_book(limits: tuple[LimitBetween, ...]) -> tuple[Rulebook, ...]:
    """The book of these limits, the same one for the same limits; none without limits."""
    if not limits:
        return ()
    book = Book(BETWEEN, "Limits between steps, as typed", "")
    return (Rulebook(book, tuple(_rule(limit) for limit in limits)),)


def _rule(limit: LimitBetween) -> Rule:
    between_wires = limit.b in get_args(BetweenWire)
    return Rule(
        id=f"{BETWEEN}.{limit.id}",
        title=f"Kept apart between steps, {limit.a} and {limit.b}",
        measure="slant" if between_wires else "surface",
        a=limit.a,
        b=limit.b,
        stages=("temporary",),
        convention="surface",
        need=(Band(value=limit.keep_in),),
        source=Source("typed in this job", "house"),
        note=limit.note,
    )
