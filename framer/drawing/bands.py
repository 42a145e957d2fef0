"""Room along the pole as hatched strips beside it, with the heights of their ends and what ends it.

The hatch says what a strip is without colour; what bounds it is written at its ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from framer.answers.bands import Band, Bands
from framer.answers.words import bound_words
from framer.drawing.fitting import MARGIN, box_of, meet, written
from framer.drawing.lettering import shortened
from framer.drawing.panel import NO_GIRTH_RADIUS_IN, Panel, View
from framer.drawing.picture import XY, Box, Line, Path, Primitive, Text
from framer.geometry.scene import Scene
from framer.geometry.written import stepped
from framer.model.job import Job

WIDE, OFF = 0.9, 0.5
"""How wide a strip is, and how far from the pole, text heights."""

HATCH = 1.1
"""From one stroke of the hatch to the next, text heights."""

STEPS = (0.0, 1.5, 3.0, -1.6, -3.1)
"""Where words are tried, from their place on, text heights."""

LONGEST = 26.0
"""Words at the end of a strip are cut at this width, text heights."""

NO_ROOM = "no height is free of what is short"


def room_strips(
    scene: Scene,
    view: View,
    pole: str,
    room: Bands,
    around: Sequence[Primitive] = (),
    taken: Sequence[Box] = (),
) -> Iterator[Primitive]:
    """The room of an item as strips at the right of its pole; none where that is another pole.

    Words keep clear of those drawn `around` and of what is `taken`, as by a plan beside the pole;
    where there is no place for a reason, the height alone is written.
    """
    panel = Panel(scene, view, pole)
    solid = panel.pole
    if solid is None or room.pole != pole or solid.rise != room.rise:
        return
    for band in room.bands:
        yield from _strip(panel, band)
    boxes = [*taken, *map(box_of, written(around))]
    for text in _words(panel, room, boxes):
        boxes.append(box_of(text))
        yield text


def _words(panel: Panel, room: Bands, taken: Sequence[Box]) -> Iterator[Text]:
    """The heights of the ends of the strips, and what bounds them."""
    text = panel.view.text_in
    if not room.bands:
        x, y = _beside(panel, room.now_in)
        yield from _spot((x, y - 2.0 * text), -1, (NO_ROOM, "no room"), text, taken)
    lowest = math.inf
    for band in reversed(room.bands):
        for above in (True, False):
            x, y = _beside(panel, band.high_in if above else band.low_in)
            at = x + (WIDE + 0.5) * text, y + (0.3 if above else -1.3) * text
            tried = _end_words(panel.scene.job, room, band, text, above=above)
            for one in _spot(at, 1 if above else -1, tried, text, taken, lowest):
                lowest = one.at[1]
                yield one


def _beside(panel: Panel, height_in: float) -> XY:
    """Where a strip begins beside the pole at a height."""
    solid, text = panel.pole, panel.view.text_in
    if solid is None:
        return 0.0, height_in
    up = height_in / solid.rise
    x, y = panel.xy(solid.point(up))
    return x + (solid.radius_in(up) or NO_GIRTH_RADIUS_IN) + OFF * text, y


def _strip(panel: Panel, band: Band) -> Iterator[Primitive]:
    text = panel.view.text_in
    wide, step = WIDE * text, HATCH * text
    (x_low, low), (x_high, high) = _beside(panel, band.low_in), _beside(panel, band.high_in)
    corners = ((x_low, low), (x_low + wide, low), (x_high + wide, high), (x_high, high))
    yield Path(corners, "meets")
    tall = high - low
    # every stroke rises by the width of the strip, as far as the strip goes
    first = int(-wide / step) - 1
    for number in range(first, int(tall / step) + 1):
        begins = number * step
        start, end = max(0.0, -begins), min(wide, tall - begins)
        if start < end:
            lean = (x_high - x_low) / tall
            yield Line(
                (x_low + lean * (begins + start) + start, low + begins + start),
                (x_low + lean * (begins + end) + end, low + begins + end),
                "meets",
            )


def _spot(
    at: XY,
    way: int,
    tried: Sequence[str],
    height: float,
    taken: Sequence[Box],
    under: float = math.inf,
) -> Iterator[Text]:
    """The longest of some words that has room near a place: there, farther that way, or back.

    They stay `under` a height, so that heights are read in their order.

    Nothing where none has: it would not be legible, and stands in the list beside the sheet.
    """
    for margin in (MARGIN * height, 0.0):
        for words in tried:
            for step in STEPS:
                text = Text((at[0], at[1] + way * step * height), words, height, "meets")
                box = box_of(text, margin)
                if text.at[1] < under and not any(meet(box, other) for other in taken):
                    yield text
                    return


def _end_words(job: Job, room: Bands, band: Band, text: float, *, above: bool) -> tuple[str, str]:
    """The height of an end with what bounds it, and alone."""
    length = stepped(job, band.high_in if above else band.low_in, "down" if above else "up")
    bounds = band.above if above else band.below
    reason = bound_words(job, room, bounds[0]) if bounds else "not known"
    return shortened(f"{length}: {reason}", LONGEST * text, text), length
