"""A scanned drawing that lies behind an elevation, to look at and never to measure from."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from framer.model.place import Azimuth, Offset

Share = Annotated[float, Meta(ge=0.0, le=1.0)]


class Mark(Struct, frozen=True, forbid_unknown_fields=True):
    """A point of a scanned drawing whose height is known.

    `x`, `y` are its place in the image, as shares of width and height from the left top corner;
    `height_in` is above the ground of the pole in the middle of the view, `None` when not known.
    """

    x: Share
    y: Share
    height_in: Offset | None = None


class Guide(Struct, frozen=True, forbid_unknown_fields=True):
    """A scanned drawing behind one elevation, placed by two marks; nothing is measured from it.

    `path` is that of its file from the folder of the job, `aspect` how many times as wide as high
    the image is. It lies behind the pole as `stage`, seen in the direction `look_deg`, with its
    lower mark on the pole's foot line. `is_turned` until the higher mark stands over the lower one,
    for a scan that does not lie straight. `is_shown` on screen, `is_printed` on sketch and framing
    sheet.
    """

    path: Annotated[str, Meta(min_length=1)]
    aspect: Annotated[float, Meta(gt=0.0, le=1_000.0)]
    low: Mark
    high: Mark
    stage: Literal["found", "framed"] = "found"
    look_deg: Azimuth = 0.0
    is_shown: bool = True
    is_printed: bool = False
    is_turned: bool = False
