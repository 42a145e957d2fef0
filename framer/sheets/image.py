"""Photos and scanned drawings on a sheet, as they are printed."""

from __future__ import annotations

from collections.abc import Iterator

from framer.drawing.lettering import shortened
from framer.drawing.picture import Image, Path, Primitive, Text, rectangle
from framer.drawing.sheet import TEXT, Sheet
from framer.errors import FramerError
from framer.files.images import print_bytes

DOTS_PER_INCH = 200.0
"""How fine images are printed at most."""


def image_bytes(sheet: Sheet, image: Image) -> bytes:
    """What is seen of an image, as JPEG.

    Raises:
        FramerError: its file is not there, or cannot be read.
    """
    left, low, right, top = image.clip
    longest = max(right - left, top - low) / sheet.scale
    most_px = max(1, round(longest * DOTS_PER_INCH))
    return print_bytes(image.path, sheet.folder, image.shares, most_px, image.faded, image.turn_deg)


def not_there(sheet: Sheet, image: Image, reason: FramerError) -> Iterator[Primitive]:
    """What is drawn in place of an image that cannot be printed."""
    left, _, right, top = image.clip
    yield Path(rectangle(image.clip), "guide")
    size = TEXT * sheet.scale
    words = shortened(f"not printed: {reason}", right - left - 2 * size, size)
    yield Text((left + size, top - 2 * size), words, size, "guide")
