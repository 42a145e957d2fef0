"""Text in columns over as many pages as it takes: headings, lines with marks, and boxes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from framer.checks.finding import Verdict
from framer.drawing.lettering import shortened, text_width, wrapped
from framer.drawing.marks import mark
from framer.drawing.picture import XY, Circle, Line, Path, Primitive, Text, rectangle
from framer.drawing.sheet import ListColumn
from framer.drawing.style import StyleName

LINE = 1.45
"""From one line of text to the next, text heights."""

ABOVE = 0.7
"""What is left free over a heading, text heights."""

PAD = 0.6
"""What is left free in a box over and under its lines, text heights."""

HANGING = 1.4
"""How far the further lines of a text in a box are set in, of its heights: it has no mark."""

HEADING, LARGE = 1.25, 1.35
"""Sizes of headings, and of text in a box, per usual text height."""


class Said(Struct, frozen=True):
    """A line of text, wrapped where it is too long.

    Attributes:
        words: the text.
        verdict: whose mark stands before it, `None` for no mark.
        number: a number in a ring at its end, as in the drawing; 0 for none.
        letter: a letter in a box before it, as in the drawing; empty for none.
        under: whether it belongs to the line before, and is set in.
        heading: whether it heads what follows, and is never the last in a column.
        boxed: whether it stands large in a box, with the boxed lines before and after it.
    """

    words: str
    verdict: Verdict | None = None
    number: int = 0
    letter: str = ""
    under: bool = False
    heading: bool = False
    boxed: bool = False


def section(heading: str, lines: Iterable[Said | str], *, nothing: str = "") -> Iterator[Said]:
    """A heading and its lines; without lines what is said instead, or nothing at all."""
    listed = [Said(one) if isinstance(one, str) else one for one in lines]
    if not listed and nothing:
        listed = [Said(nothing)]
    if listed:
        yield Said(heading, heading=True)
        yield from listed


class Flow:
    """Writes lines into columns, one after the other; what has no room is `left`.

    Sizes are real inches; columns are inches of paper.
    """

    def __init__(self, columns: Sequence[ListColumn], scale: int, text: float) -> None:
        self.columns, self.scale, self.text = list(columns), scale, text
        self.drawn: list[Primitive] = []

    def write(self, lines: Sequence[Said]) -> list[Said]:
        """Write as many lines as have room; gives those that have none."""
        left = list(lines)
        for column in self.columns:
            left = self._column(column, left)
        return left

    def _column(self, column: ListColumn, lines: list[Said]) -> list[Said]:
        x, y, floor = (one * self.scale for one in (column.left, column.top, column.floor))
        wide, at = column.width * self.scale, 0
        while at < len(lines):
            group = _together(lines, at)
            pieces = [self._pieces(one, wide) for one in group]
            deep = sum(self._deep(one, rows) for one, rows in zip(group, pieces, strict=True))
            spare = 2 * PAD * self.text if group[0].boxed else 0.0
            if y - deep - spare < floor:
                break
            if group[0].boxed:
                self._box((x, y), wide, deep)
                y -= PAD * self.text
            for one, rows in zip(group, pieces, strict=True):
                self._one(one, rows, (x, y), wide)
                y -= self._deep(one, rows)
            at += len(group)
            if group[0].boxed:
                y -= (PAD + 0.6) * self.text
        return lines[at:]

    def _size(self, one: Said) -> float:
        return self.text * (HEADING if one.heading else LARGE if one.boxed else 1.0)

    def _inset(self, one: Said) -> float:
        if one.heading:
            return 0.0
        return (1.8 if one.boxed else 3.4 if one.under else 1.8) * self.text

    def _pieces(self, one: Said, wide: float) -> list[str]:
        size = self._size(one)
        room = wide - self._inset(one) - (2.6 if one.number else 0.6) * self.text
        room -= HANGING * size if one.boxed else 0.0
        return [shortened(row, room, size) for row in wrapped(one.words, room, size)] or [""]

    def _deep(self, one: Said, rows: Sequence[str]) -> float:
        after = ABOVE + 0.5 if one.heading else 0.35
        return (LINE * len(rows) * self._size(one)) + after * self.text

    def _one(self, one: Said, rows: Sequence[str], at: XY, wide: float) -> None:
        x, y, text, size = *at, self.text, self._size(one)
        base = y - size - (ABOVE * text if one.heading else 0.0)
        style: StyleName = "title" if one.heading or one.boxed else "label"
        for number, row in enumerate(rows):
            hanging = HANGING * size if one.boxed and number else 0.0
            spot = (x + self._inset(one) + hanging, base - LINE * number * size)
            self.drawn.append(Text(spot, row, size, style))
        if one.heading:
            under = base - LINE * (len(rows) - 1) * size - 0.4 * text
            self.drawn.append(Line((x, under), (x + wide, under), "leader"))
        middle = (x + (2.2 if one.under else 0.7) * text, base + 0.4 * text)
        if one.verdict is not None:
            self.drawn.extend(mark(one.verdict, middle, text))
        if one.letter:
            self.drawn.extend(letter_mark(one.letter, middle, text))
        if one.number:
            self.drawn.extend(
                number_mark(one.number, one.verdict, (x + wide - text, middle[1]), text)
            )

    def _box(self, at: XY, wide: float, deep: float) -> None:
        (x, y), low = at, at[1] - deep - 2 * PAD * self.text
        self.drawn.append(Path(rectangle((x, low, x + wide, y)), "short"))


def _together(lines: Sequence[Said], at: int) -> list[Said]:
    """The lines from one on that are kept in one column.

    A box, a heading and what it heads, a line and the first that is set in under it.
    """
    group = [lines[at]]
    while at + len(group) < len(lines):
        last, coming = group[-1], lines[at + len(group)]
        under = coming.under and not last.under
        if not (last.heading or under or (coming.boxed and last.boxed)):
            break
        group.append(coming)
    return group


def number_mark(number: int, verdict: Verdict | None, at: XY, text: float) -> Iterator[Primitive]:
    """A number in a ring."""
    style = verdict or "label"
    yield Circle(at, 0.9 * text, style)
    yield Text((at[0], at[1] - 0.43 * text), f"{number}", 0.85 * text, style, "", "middle")


def letter_mark(letter: str, at: XY, text: float, *, over: bool = False) -> Iterator[Primitive]:
    """A letter in a box; `over` a drawing it hides what is behind."""
    size = 0.8 * text
    half = max(0.75 * text, 0.5 * text_width(letter, size) + 0.2 * text)
    (x, y), tall = at, 0.75 * text
    corners = rectangle((x - half, y - tall, x + half, y + tall))
    yield Path(corners, "title", "", "paper" if over else "none")
    yield Text((x, y - 0.5 * size), letter, size, "title", "", "middle")
