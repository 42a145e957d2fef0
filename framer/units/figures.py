"""Counts and weights as they are printed: rounded up, and never to nothing."""

from __future__ import annotations

from framer.units.compare import rounded


def _up(value: float, places: int) -> float:
    least = 10.0**-places
    return round(max(rounded(value, least, "up"), least), places) if value > 0.0 else value


def pounds(weight_lb: float) -> tuple[float, int]:
    """A weight as printed, and to how many places: the pound from 100 lb on.

    A tenth is told below that, and a hundredth below 1 lb.
    """
    places = 0 if weight_lb >= 100.0 else 1 if weight_lb >= 1.0 else 2
    return _up(weight_lb, places), places


def pounds_up(weight_lb: float) -> str:
    """A weight as printed."""
    value, places = pounds(weight_lb)
    return f"{value:,.{places}f}"


def counted(amount: float) -> float:
    """A quantity as printed, with two places at most."""
    return _up(amount, 2)


def count_words(amount: float) -> str:
    """A quantity as printed, thousands set apart: "1,250", "12.5"."""
    return trimmed(f"{counted(amount):,.2f}")


def trimmed(number: str) -> str:
    """A decimal number without needless zeros."""
    return number.rstrip("0").rstrip(".") if "." in number else number
