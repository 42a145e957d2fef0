"""Answers that take a while, worked out a little at a time.

Such a piece of work is a generator: between two looks at a job it hands control back, with a word
on what it is at, and what comes out of it is what it returns. A window goes on between; whoever
only wants the answer runs it to its end.
"""

from __future__ import annotations

from collections.abc import Generator
from typing import TypeAlias, TypeVar

T = TypeVar("T")
Work: TypeAlias = Generator[str, None, T]
"""Work that ends in a `T`; what it yields says what it is at, empty for nothing new."""


def done(work: Work[T]) -> T:
    """What comes out of a piece of work, run to its end."""
    while True:
        try:
            next(work)
        except StopIteration as end:
            result: T = end.value
            return result
