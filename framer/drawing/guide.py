"""Where a scanned drawing lies behind an elevation."""

from __future__ import annotations

import math
from collections.abc import Sequence

from framer.drawing.picture import XY, Box, Image
from framer.model.guide import Guide
from framer.model.stage import Stage
from framer.units.compare import HAIR_IN

FADED = 0.55
"""A scanned drawing is so much paler than its file, so that lines over it are read."""

MOST_IN = 24_000.0
"""A drawing that would be higher than this has its marks in the wrong place."""

SAME_LOOK_DEG = 0.5


def guide_turn_deg(guide: Guide) -> float:
    """How far a scanned drawing is turned anticlockwise: the way between its marks is upright."""
    across, up = _between(guide)
    return math.degrees(math.atan2(across, up)) if guide.is_turned else 0.0


def _between(guide: Guide) -> XY:
    """The way from the lower mark to the higher one in the image, in heights of it."""
    low, high = guide.low, guide.high
    return (high.x - low.x) * guide.aspect, low.y - high.y


def guide_box(guide: Guide, ground_in: float) -> Box | str:
    """Where the whole image lies in an elevation, or what is wanting to place it.

    Args:
        guide: the scanned drawing.
        ground_in: where the ground of the pole in the middle is in the elevation.
    """
    low, high = guide.low, guide.high
    if low.height_in is None or high.height_in is None:
        return "type the heights of both marks"
    rise, between = high.height_in - low.height_in, _between(guide)
    share = math.hypot(*between) if guide.is_turned else between[1]
    if rise <= HAIR_IN or share <= 0.0:
        return "the higher mark must be above the lower one, in the image and by its height"
    tall = rise / share
    if tall > MOST_IN:
        return "the marks are too near to each other for their heights"
    turn = math.radians(guide_turn_deg(guide))
    cos, sin = math.cos(turn), math.sin(turn)
    # the corners from the lower mark on, which lies on the middle of the pole
    rights = [tall * guide.aspect * (x - low.x) for x in (0.0, 1.0)]
    ups = [tall * (low.y - y) for y in (0.0, 1.0)]
    xs = [cos * right - sin * up for right in rights for up in ups]
    ys = [ground_in + low.height_in + sin * right + cos * up for right in rights for up in ups]
    return (min(xs), min(ys), max(xs), max(ys))


def printed_guides(
    guides: Sequence[Guide], stage: Stage, look_deg: float, ground_in: float, clip: Box
) -> tuple[Image, ...]:
    """The scanned drawings that are printed behind an elevation, cut off at its bounds."""
    return tuple(
        image
        for guide in guides
        if guide.is_printed and is_of(guide, stage, look_deg)
        if (image := guide_image(guide, ground_in, clip)) is not None
    )


def is_of(guide: Guide, stage: Stage, look_deg: float) -> bool:
    """Whether a scanned drawing lies behind the pole at a stage, seen in a direction."""
    off = abs((guide.look_deg - look_deg + 180.0) % 360.0 - 180.0)
    return guide.stage == stage and off <= SAME_LOOK_DEG


def guide_image(guide: Guide, ground_in: float, clip: Box | None = None) -> Image | None:
    """A scanned drawing as an image, the part within `clip`; `None` where it has no place."""
    box = guide_box(guide, ground_in)
    if isinstance(box, str):
        return None
    seen = box if clip is None else _common(box, clip)
    return None if seen is None else Image(guide.path, box, seen, FADED, guide_turn_deg(guide))


def _common(box: Box, other: Box) -> Box | None:
    left, low = max(box[0], other[0]), max(box[1], other[1])
    right, top = min(box[2], other[2]), min(box[3], other[3])
    return (left, low, right, top) if left < right and low < top else None
