"""An entry of several lengths, such as the bores a pole came with."""

from __future__ import annotations

import re

from framer.desk.entries.entry import MOST_IN, LengthEntry
from framer.errors import LengthError
from framer.units.length import length_text, read_length


class LengthsEntry(LengthEntry):
    """Lengths with commas or semicolons between; their value is a tuple, empty for none."""

    def _written(self, value: tuple[float, ...]) -> str:
        units = self._settings.units
        return ", ".join(length_text(one, step_in=1 / 16, system=units) for one in value)

    def read(self) -> tuple[tuple[float, ...], str]:
        """The typed lengths from the least up, and what one of them could mean else.

        Raises:
            LengthError: one of them is no length, or one that has no sense here.
        """
        unit = "m" if self._settings.units == "metric" else "in"
        pieces = [one.strip() for one in re.split("[,;]", self.text()) if one.strip()]
        lengths, both = [], ""
        for piece in pieces:
            typed = read_length(piece, unit)
            if not 0.0 <= typed.value_in <= MOST_IN:
                raise LengthError(f"'{piece}' is below zero or more than 1,000 ft")
            if typed.other_in is not None:
                value, other = (self._written((one,)) for one in (typed.value_in, typed.other_in))
                both = f"'{piece}' is read as {value}; if you mean {other}, type that"
            lengths.append(typed.value_in)
        return tuple(sorted(set(lengths))), both
