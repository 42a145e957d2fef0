"""A typed number with or without its unit, for what is no length."""

from __future__ import annotations

import re

from framer.errors import LengthError
from framer.units.convert import convert

_AMOUNT = re.compile(r"(-?\s*\d[\d,]*(?:\.\d*)?|-?\s*\.\d+)\s*(.*)")


def read_amount(text: str, unit: str = "") -> float:
    """The number in a text such as "1,500", "1500 lbf" or "6.7 kN", in a unit.

    Args:
        text: what was typed.
        unit: what a bare number means: a name of units/convert.py, "F", "mph", or nothing for a
            plain factor.

    Raises:
        LengthError: it is no number, or its unit measures something else.
    """
    found = _AMOUNT.fullmatch(text.strip().replace("\u2212", "-"))
    if found is None:
        raise LengthError(f"'{text}' is no number{f' of {unit}' if unit else ''}")
    value = float(found[1].replace(",", "").replace(" ", ""))
    named = found[2].strip().removeprefix("\u00b0").removeprefix("deg ").strip()
    if not named or named.lower() == unit.lower():
        return value
    if unit == "F" and named.upper() == "C":
        return value * 9.0 / 5.0 + 32.0
    if unit == "lbf" and named in ("lb", "lbs", "#"):
        return value
    if not unit or unit in ("F", "mph"):
        raise LengthError(f"'{named}' in '{text}' means nothing here")
    return convert(value, named, unit)
