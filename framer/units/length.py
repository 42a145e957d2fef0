"""Lengths as people type and read them: feet, inches, fractions, metric.

Typed text is read here and nowhere else; a units library reads "1 1/2 in" as half an inch.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from msgspec import Struct

from framer.errors import LengthError
from framer.units.compare import Toward, rounded

System = Literal["ft-in", "metric"]

INCHES = {
    "in": Fraction(1),
    "inch": Fraction(1),
    "inches": Fraction(1),
    '"': Fraction(1),
    "ft": Fraction(12),
    "foot": Fraction(12),
    "feet": Fraction(12),
    "'": Fraction(12),
    "mm": Fraction(10, 254),
    "cm": Fraction(100, 254),
    "m": Fraction(10_000, 254),
}
"""Inches in one of each unit; exact, since the inch is 25.4 mm by definition (1959 agreement)."""

_PRIMES = str.maketrans({"′": "'", "’": "'", "″": '"', "”": '"', "–": "-", "−": "-", "\u00a0": " "})
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = r"(?:\d+\s*/\s*\d+|\d+(?:\.\d*)?(?:[\s-]+\d+\s*/\s*\d+)?|\.\d+)"
_PIECE = re.compile(
    rf"\s*-?\s*(?P<number>{_NUMBER})\s*(?P<unit>[a-z]+|['\"]{{1,2}})?\.?", re.IGNORECASE
)
_TOO_LONG = 60
_MOST_IN = 1e7


class TypedLength(Struct, frozen=True):
    """What a typed length was taken to mean, inches, and how else it could be meant.

    `other_in` is the second reading of an ambiguous text such as "28.11 ft", else `None`.
    """

    value_in: float
    other_in: float | None = None


def _fraction(number: str) -> Fraction:
    total = Fraction(0)
    joined = re.sub(r"\s*/\s*", "/", number.strip())
    for word in re.split(r"[\s-]+", joined):
        if word.endswith("/0") or re.search(r"/0+$", word):
            raise LengthError(f"'{number}' divides by zero")
        total += Fraction(word)
    return total


def _second_reading(number: str, unit: str) -> Fraction | None:
    """Feet with one or two digits after the point that could be meant as whole inches."""
    match = re.fullmatch(r"(\d+)\.(\d{1,2})", number)
    if match is None or INCHES.get(unit) != 12:
        return None
    inches = int(match[2])
    return 12 * Fraction(match[1]) + inches if 1 <= inches <= 11 else None


def read_length(text: str, bare_unit: str = "in") -> TypedLength:
    """The length a person typed.

    Reads 3 ft 11 in, 3'-11", 47 in, 47, 1.19 m, 11 1/2 in, 3/4". A number without a unit has
    `bare_unit`, except right after feet, where it is inches.

    Raises:
        LengthError: the text is no length; the message says what is.
    """
    wanted = "write a length such as 3 ft 11 in, 3'-11\", 47 in or 1.19 m"
    cleaned = text.translate(_PRIMES).strip().lower()
    for vulgar, plain in _VULGAR.items():
        cleaned = cleaned.replace(vulgar, f" {plain}")
    cleaned = cleaned.strip()
    if not cleaned or len(cleaned) > _TOO_LONG:
        raise LengthError(f"'{text[:_TOO_LONG]}' is no length; {wanted}")
    negative = cleaned.startswith("-")
    position = 1 if negative else 0
    total, other, last_unit, pieces = Fraction(0), None, "", 0
    while position < len(cleaned):
        match = _PIECE.match(cleaned, position)
        if match is None or match.end() == position:
            raise LengthError(f"'{text}' is no length; {wanted}")
        unit = match["unit"] or ("in" if INCHES.get(last_unit) == 12 else bare_unit)
        unit = '"' if unit == "''" else unit
        if unit not in INCHES:
            raise LengthError(f"'{unit}' in '{text}' is no unit of length known here; {wanted}")
        if pieces and not (INCHES[last_unit] == 12 and INCHES[unit] == 1):
            raise LengthError(f"'{text}' mixes units; {wanted}")
        total += _fraction(match["number"]) * INCHES[unit]
        if pieces == 0:
            other = _second_reading(match["number"].strip(), unit)
        last_unit, position, pieces = unit, match.end(), pieces + 1
    if pieces > 1:
        other = None
    if abs(total) > _MOST_IN:
        raise LengthError(f"'{text}' is longer than anything drawn here")
    factor = -1 if negative else 1
    return TypedLength(float(factor * total), None if other is None else float(factor * other))


def metric_step_mm(step_in: float) -> float:
    """The step of metres [mm] where inches have a step: 10, 1 below 3/8 in, 0.1 below 1/100 in."""
    return 10.0 if step_in >= 0.375 else 1.0 if step_in >= 0.01 else 0.1


def length_text(
    value_in: float,
    *,
    step_in: float = 0.5,
    toward: Toward = "nearest",
    system: System,
) -> str:
    """The length as it is printed: 3 ft 11 1/2 in, or 1.207 m.

    Args:
        value_in: the length [in].
        step_in: grid it is rounded to [in]; metric uses that of `metric_step_mm`.
        toward: round gaps down and requirements up, so that print never favours danger.
        system: feet and inches, or metres.
    """
    if not math.isfinite(value_in):
        return "-"
    if system == "metric":
        step_mm = metric_step_mm(step_in)
        places = 2 if step_mm == 10.0 else 3 if step_mm == 1.0 else 4
        return f"{rounded(value_in * 25.4, step_mm, toward) / 1000:.{places}f} m"
    return _feet_and_inches(rounded(value_in, step_in, toward))


@lru_cache(maxsize=4_096)
def _feet_and_inches(on_grid: float) -> str:
    """A length on a grid in words, kept: few lengths are printed, and each many times."""
    sign, on_grid = ("-", -on_grid) if on_grid < 0 else ("", on_grid)
    feet = int(on_grid // 12)
    inches = Fraction(on_grid - 12 * feet).limit_denominator(64)
    whole, part = divmod(inches, 1)
    words = []
    if feet:
        words.append(f"{feet} ft")
    if whole or part or not feet:
        fraction = f"{part.numerator}/{part.denominator}" if part else ""
        words.append(
            " ".join(filter(None, (str(whole) if whole or not part else "", fraction, "in")))
        )
    return sign + " ".join(words)


def inches_text(
    value_in: float,
    *,
    step_in: float = 0.5,
    toward: Toward = "nearest",
    system: System,
) -> str:
    """A short length in inches alone, 47 1/2 in, or in metres as `length_text` writes it."""
    if system == "metric":
        return length_text(value_in, step_in=step_in, toward=toward, system=system)
    on_grid = rounded(value_in, step_in, toward)
    sign, on_grid = ("-", -on_grid) if on_grid < 0 else ("", on_grid)
    whole, part = divmod(Fraction(on_grid).limit_denominator(64), 1)
    fraction = f"{part.numerator}/{part.denominator}" if part else ""
    return sign + " ".join(filter(None, (str(whole) if whole or not part else "", fraction, "in")))


def decimal_text(
    value_in: float,
    places: int = 1,
    *,
    unit: Literal["in", "ft"] = "in",
    toward: Toward = "nearest",
    system: System,
) -> str:
    """The length as a decimal number: 30.4 in, 152.0 ft, or metres about as finely."""
    one_in = float(INCHES[unit])
    step_in = one_in * 10.0**-places
    if system == "metric":
        return length_text(value_in, step_in=step_in / 3.0, toward=toward, system=system)
    return f"{rounded(value_in, step_in, toward) / one_in:,.{places}f} {unit}"
