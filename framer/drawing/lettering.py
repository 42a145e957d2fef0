"""How wide text is, and where it breaks.

Widths are those of Bitstream Vera Sans, the font of our PDF files, which is wider than most; text
set in another plain font finds room too.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from functools import lru_cache
from itertools import accumulate
from unicodedata import combining, normalize

CAPITAL = 0.73
"""Height of a capital letter per font size."""

_WIDTHS = (
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636,
    636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
    575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685,
    611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579,
    278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
)  # fmt: skip
"""Advance widths of the characters from space to tilde, thousandths of the font size."""

_BETWEEN_WORDS = re.compile(r" (?!(?:\d+/\d+ )?(?:in|ft|m|mm|lbf|lb|kV)\b)(?<!ft (?=\d))")
"""Where a line may end."""

_OTHER = 1342
"""Any other character is taken as wide as the widest of the font, the per mille sign."""


def text_width(text: str, height: float) -> float:
    """The width of a text whose capitals are `height` high."""
    return _high(_advance_of(text), height)


@lru_cache(maxsize=8_192)
def _advance_of(text: str) -> int:
    return sum(map(_advance, text))


def _high(advance: int, height: float) -> float:
    return advance / 1000.0 * height / CAPITAL


def _advance(character: str) -> int:
    code = ord(character)
    if code > 126:  # a letter with an accent is as wide as without
        parts = normalize("NFD", character)
        code = ord(parts[0]) if len(parts) > 1 and all(map(combining, parts[1:])) else code
    return _WIDTHS[code - 32] if 32 <= code < 127 else _OTHER


def wrapped(text: str, room: float, height: float) -> list[str]:
    """The text in lines no wider than `room`; a word wider than that has a line of its own.

    A number stays with its unit, and feet with their inches, where there is room for both.
    """
    lines: list[str] = []
    words: list[str] = []
    for piece in _BETWEEN_WORDS.split(" ".join(text.split())):
        words += [piece] if text_width(piece, height) <= room else piece.split()
    for word in filter(None, words):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, height) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def shortened(text: str, room: float, height: float) -> str:
    """The text cut to fit `room`, with three dots where something is left out."""
    if text_width(text, height) <= room:
        return text
    widths = list(accumulate(map(_advance, text + "...")))
    dots = widths[-1] - widths[len(text) - 1]
    many = bisect_right(widths, room, hi=len(text), key=lambda wide: _high(wide + dots, height))
    return text[:many].rstrip() + "..."
