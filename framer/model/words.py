"""Texts of a job put into sentences: no letter in them changes what stands beside it."""

from __future__ import annotations

import re

_TURN = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
"""Marks without shape that turn the direction of what follows."""

_TURNS = re.compile(f"[{_TURN}]+")
_MOVES = re.compile(f"[\x00-\x1f\x7f-\x9f\u2028\u2029{_TURN}]+")

_FROM_RIGHT = (
    "\u0590-\u05ff\u0600-\u0605\u0608\u060b\u060d\u061b-\u064a\u066d-\u08ff\ufb1d-\ufdff"
    "\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff"
)
_WORDS_FROM_RIGHT = re.compile(f"[{_FROM_RIGHT}]+(?:\\s+[{_FROM_RIGHT}]+)*")
_LINE_BEGINS = re.compile("^", re.MULTILINE)

LEFT_TO_RIGHT = "\u200e"
"""A letter without shape that is read from the left."""


def plain(text: str) -> str:
    """A text on one line, with a space for whatever would move or turn what follows it.

    A name with a line end could pass for a line of its own, and one with a mark that turns the
    direction would show the numbers after it backwards.
    """
    return text if text.isprintable() else _MOVES.sub(" ", text)


def left_to_right(text: str) -> str:
    """A text for the screen whose numbers stay where the sentence has them.

    After words that are read from the right, a screen would set "12: 0 in" as "0 :12 in", and a
    line that begins with such a word would run from the right as a whole.
    """
    if text.isascii():
        return text
    marked, many = _WORDS_FROM_RIGHT.subn(
        lambda words: words[0] + LEFT_TO_RIGHT, _TURNS.sub("", text)
    )
    return _LINE_BEGINS.sub(LEFT_TO_RIGHT, marked) if many else marked
