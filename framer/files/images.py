"""Photos and scanned drawings: found from the folder of the job, and made small enough to print."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from framer.errors import FramerError
from framer.files.disk import cause

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES = 200_000_000
MOST_PIXELS = 80_000_000
"""An image larger than this is refused: it would fill the memory."""

QUALITY = 82
"""Of images in print, as JPEG counts it."""

MOST_TURNED_PX = 6_000
"""An image is turned with no more pixels than this across or down: 30 in at the finest print."""

WHITE = (255, 255, 255)

ORIENTATION, LYING = 274, (5, 6, 7, 8)
"""The tag by which a camera says how it was held, and its values for an image on its side."""


def image_path(path: str, folder: Path | None) -> Path:
    """The file of an image whose path is that from the folder of the job.

    Raises:
        FramerError: the job has no folder yet.
    """
    there = Path(path)
    if there.is_absolute():
        return there
    if folder is None:
        raise FramerError(f"{path}: save the job first, its images lie beside it")
    return folder / there


@contextmanager
def _opened(path: str, folder: Path | None) -> Iterator[Image]:
    """An image as it is in its file; whatever goes wrong with it is told by its path."""
    from PIL import Image as Images

    file = image_path(path, folder)
    try:
        if file.stat().st_size > MOST_BYTES:
            raise FramerError(f"{path}: is larger than 200 MB")
        data = file.read_bytes()
    except OSError as error:
        raise FramerError(f"{path}: {cause(error)}") from error
    try:
        with Images.open(io.BytesIO(data)) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise FramerError(f"{path}: has more than 80 million pixels")
            yield opened
    except FramerError:
        raise
    except Exception as error:  # the reader has no error of its own for what is no image
        raise FramerError(f"{path}: is no image that can be read: {error}") from error


def pixels_of(path: str, folder: Path | None) -> tuple[int, int]:
    """How many pixels an image has across and down, upright.

    Raises:
        FramerError: it is not there, or cannot be read.
    """
    with _opened(path, folder) as opened:
        wide, high = opened.size
        return (high, wide) if opened.getexif().get(ORIENTATION, 1) in LYING else (wide, high)


def read_image(path: str, folder: Path | None) -> Image:
    """An image upright, in red, green and blue on white.

    Raises:
        FramerError: it is not there, or cannot be read.
    """
    from PIL import Image as Images
    from PIL import ImageOps

    with _opened(path, folder) as opened:
        turned = ImageOps.exif_transpose(opened)
        if turned.mode in ("RGBA", "LA", "PA", "P"):
            clear = turned.convert("RGBA")
            paper = Images.new("RGBA", clear.size, (*WHITE, 255))
            return Images.alpha_composite(paper, clear).convert("RGB")
        return turned.convert("RGB")


def aspect_of(path: str, folder: Path | None) -> float:
    """How many times as wide as high an image is, upright.

    Raises:
        FramerError: it is not there, or cannot be read.
    """
    wide, high = pixels_of(path, folder)
    return wide / high


def print_bytes(
    path: str,
    folder: Path | None,
    shares: tuple[float, float, float, float],
    most_px: int,
    faded: float = 0.0,
    turn_deg: float = 0.0,
) -> bytes:
    """The part of an image that is printed, as JPEG; equal files give equal bytes.

    Args:
        path: of the image, from the folder of the job.
        folder: of the job.
        shares: left, top, right and bottom edge of the part, as shares of the image as turned.
        most_px: the part has no more pixels across or down than this.
        faded: how much paler it is, 1 for nothing but white.
        turn_deg: how far it is turned anticlockwise; what it does not cover is white then.

    Raises:
        FramerError: it is not there, or cannot be read.
    """
    from PIL import Image as Images

    image = read_image(path, folder)
    if turn_deg:
        image.thumbnail((MOST_TURNED_PX, MOST_TURNED_PX))
        image = image.rotate(turn_deg, Images.Resampling.BICUBIC, expand=True, fillcolor=WHITE)
    wide, high = image.size
    left, top, right, bottom = shares
    part = image.crop(
        (
            min(int(left * wide), wide - 1),
            min(int(top * high), high - 1),
            max(round(right * wide), int(left * wide) + 1),
            max(round(bottom * high), int(top * high) + 1),
        )
    )
    part.thumbnail((most_px, most_px))
    if faded:
        part = Images.blend(part, Images.new("RGB", part.size, WHITE), faded)
    made = io.BytesIO()
    part.save(made, "JPEG", quality=QUALITY)
    return made.getvalue()
