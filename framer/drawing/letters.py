"""Phase letters at their supports on a pole seen from the side."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from framer.drawing.fitting import box_of, meet
from framer.drawing.lettering import text_width
from framer.drawing.panel import NO_GIRTH_RADIUS_IN, Panel
from framer.drawing.picture import XY, Box, Text
from framer.geometry.scene import Part, Run
from framer.geometry.space import dot


def letters(panel: Panel) -> Iterator[Text]:
    """Phase letters at the supports; those that would lie over each other are in one row."""
    text = panel.view.text_in
    away = panel.view.away
    found: dict[tuple[str, XY], _Letter] = {}
    for part in panel.scene.bodies:
        if isinstance(part.shape, Run) and len(part.phase or "") == 1:
            at, near = panel.xy(part.shape.p), dot(part.shape.p, away)
            found.setdefault((part.phase or "", at), _Letter(*at, near, part))
    rows = [_letter_row(panel, [letter]) for letter in found.values()]
    again = True
    while again:
        apart: list[_LetterRow] = []
        again = False
        for row in rows:
            wide = box_of(row.text, 0.3 * text)
            for number, other in enumerate(apart):
                if meet(wide, other.box):
                    apart[number] = _letter_row(panel, [*other.letters, *row.letters])
                    again = True
                    break
            else:
                apart.append(row)
        rows = apart
    yield from (row.text for row in rows)


class _Letter(Struct, frozen=True):
    """A phase letter at its support: where that is seen, how far back, and the wire."""

    x: float
    y: float
    near: float
    part: Part


class _LetterRow(Struct, frozen=True):
    """Letters written as one text, and what that covers."""

    letters: list[_Letter]
    text: Text
    box: Box


def _letter_row(panel: Panel, letters: list[_Letter]) -> _LetterRow:
    """Letters as one text over their supports: from left to right, and from near to far."""
    text = panel.view.text_in
    step = 0.5 * text
    letters.sort(key=lambda one: (round(one.x / step), one.near, one.part.phase or ""))
    words = " ".join(dict.fromkeys(one.part.phase or "" for one in letters))
    xs, part = [one.x for one in letters], letters[0].part
    half = text_width(words, text) / 2 + 0.3 * text
    x = _beside_pole(panel, part, (min(xs) + max(xs)) / 2, half)
    at = (x, max(one.y for one in letters) + 0.6 * text)
    written = Text(at, words, text, "label", part.owner, "middle")
    return _LetterRow(letters, written, box_of(written))


def _beside_pole(panel: Panel, part: Part, x: float, half: float) -> float:
    """Where letters of a wire that rests on the pole itself stand: off its outline, not on it."""
    pole = panel.pole
    if pole is None or part.level != pole.item:
        return x
    middle = panel.xy(pole.point(part.up_in))[0]
    least = half + (pole.radius_in(part.up_in) or NO_GIRTH_RADIUS_IN)
    if abs(x - middle) >= least:
        return x
    return middle + (least if x >= middle else -least)
