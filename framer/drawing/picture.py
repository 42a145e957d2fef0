"""A picture: flat primitives in real inches, each with a style and an owner.

What is drawn is decided here once; screen, DXF, PDF and SVG only decide how. x runs right, y up,
both in inches of the real world; text heights too, so a picture is made for one paper scale.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import cached_property
from typing import Literal, TypeAlias

from msgspec import Struct
from msgspec.structs import replace

from framer.drawing.lettering import text_width
from framer.drawing.style import StyleName

XY: TypeAlias = tuple[float, float]
Anchor = Literal["left", "middle", "right"]
Fill = Literal["none", "paper", "solid"]
"""Inside of an outline: open, covered with paper so that it hides what is behind, or inked."""


class Line(Struct, frozen=True):
    """A straight line."""

    p: XY
    q: XY
    style: StyleName
    owner: str = ""


class Path(Struct, frozen=True):
    """A closed chain of straight lines."""

    points: tuple[XY, ...]
    style: StyleName
    owner: str = ""
    fill: Fill = "none"


class Circle(Struct, frozen=True):
    """A circle."""

    centre: XY
    radius: float
    style: StyleName
    owner: str = ""
    fill: Fill = "none"


class Text(Struct, frozen=True):
    """One line of text with its baseline at `at`."""

    at: XY
    text: str
    height: float
    style: StyleName
    owner: str = ""
    anchor: Anchor = "left"
    rotation_deg: float = 0.0


class Dimension(Struct, frozen=True):
    """A measured distance: extension lines from `p` and `q` to a dimension line.

    `across` is where the dimension line lies: the x of an upright dimension, the y of a level
    one. A slanting dimension runs straight from `p` to `q`. `text_share` is where along it the
    middle of the text stands: 0 at `p`, 1 at `q`, past either end where there is no room between.
    """

    p: XY
    q: XY
    across: float
    text: str
    height: float
    direction: Literal["upright", "level", "slant"]
    style: StyleName
    owner: str = ""
    text_share: float = 0.5


Primitive: TypeAlias = Line | Path | Circle | Text | Dimension

Box: TypeAlias = tuple[float, float, float, float]
"""Least x, least y, most x, most y."""


def rectangle(box: Box) -> tuple[XY, XY, XY, XY]:
    """The corners of a box, from the lower left one to the right and round."""
    left, low, right, high = box
    return ((left, low), (right, low), (right, high), (left, high))


class Image(Struct, frozen=True):
    """A photo or scanned drawing under all primitives; only looked at.

    Attributes:
        path: of its file, from the folder of the job.
        box: where the whole image lies, all of it within where it is turned.
        clip: the part of it that is seen.
        faded: how much paler than its file it is, 1 for white.
        turn_deg: how far it is turned anticlockwise about its middle.
    """

    path: str
    box: Box
    clip: Box
    faded: float = 0.0
    turn_deg: float = 0.0

    def size(self, aspect: float) -> tuple[float, float]:
        """Width and height of the image before it is turned, by how many times as wide as high."""
        turn = math.radians(self.turn_deg)
        deep = aspect * abs(math.sin(turn)) + abs(math.cos(turn))
        high = (self.box[3] - self.box[1]) / deep
        return aspect * high, high

    @property
    def shares(self) -> Box:
        """Left, top, right and bottom edge of what is seen, as shares of the image as turned."""
        left, low, right, top = self.box
        wide, high = right - left, top - low
        return (
            (self.clip[0] - left) / wide,
            (top - self.clip[3]) / high,
            (self.clip[2] - left) / wide,
            (top - self.clip[1]) / high,
        )

    def moved(self, dx: float, dy: float) -> Image:
        """The image shifted."""
        box, clip = (
            (left + dx, low + dy, right + dx, top + dy)
            for left, low, right, top in (self.box, self.clip)
        )
        return replace(self, box=box, clip=clip)


class Picture(Struct, frozen=True, dict=True):
    """Primitives, later ones over earlier ones, and images under all of them."""

    primitives: tuple[Primitive, ...]
    images: tuple[Image, ...] = ()

    def bounds(self) -> Box:
        """Least x, least y, most x, most y of all primitives; zeros for an empty picture."""
        return self._bounds

    @cached_property
    def _bounds(self) -> Box:
        # asked several times while a sheet is laid out
        points = [point for primitive in self.primitives for point in extent(primitive)]
        if not points:
            return (0.0, 0.0, 0.0, 0.0)
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return (min(xs), min(ys), max(xs), max(ys))

    def moved(self, dx: float, dy: float) -> Picture:
        """The picture shifted."""
        return Picture(
            tuple(shifted(primitive, dx, dy) for primitive in self.primitives),
            tuple(image.moved(dx, dy) for image in self.images),
        )

    def with_more(self, more: Iterable[Primitive]) -> Picture:
        """The picture with further primitives on top."""
        return Picture((*self.primitives, *more), self.images)

    def beside(self, other: Picture) -> Picture:
        """Both pictures as one, the other on top."""
        return Picture((*self.primitives, *other.primitives), (*self.images, *other.images))


_SHARE_BEFORE: dict[Anchor, float] = {"left": 0.0, "middle": 0.5, "right": 1.0}
"""How much of a text lies before the point it is placed by."""


def extent(primitive: Primitive) -> tuple[XY, ...]:
    """Points that bound a primitive."""
    if isinstance(primitive, Text):  # most that are asked about
        (x, y), width = primitive.at, text_width(primitive.text, primitive.height)
        if primitive.rotation_deg:
            start = y - _SHARE_BEFORE[primitive.anchor] * width
            return ((x - primitive.height, start), (x, start + width))
        start = x - _SHARE_BEFORE[primitive.anchor] * width
        return ((start, y), (start + width, y + primitive.height))
    if isinstance(primitive, Line):
        return (primitive.p, primitive.q)
    if isinstance(primitive, Path):
        return primitive.points
    if isinstance(primitive, Circle):
        (x, y), r = primitive.centre, primitive.radius
        return ((x - r, y - r), (x + r, y + r))
    words = extent(dimension_text(primitive)) if primitive.text else ()
    return (primitive.p, primitive.q, *dimension_ends(primitive), *words)


def dimension_ends(dimension: Dimension) -> tuple[XY, XY]:
    """The ends of the dimension line itself."""
    if dimension.direction == "upright":
        return (dimension.across, dimension.p[1]), (dimension.across, dimension.q[1])
    if dimension.direction == "level":
        return (dimension.p[0], dimension.across), (dimension.q[0], dimension.across)
    return dimension.p, dimension.q


def dimension_text(dimension: Dimension) -> Text:
    """The text of a dimension: along an upright one, over any other."""
    p, q = dimension_ends(dimension)
    height, share = dimension.height, dimension.text_share
    x, y = p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])
    off, turn = 0.35 * height, 0.0
    if dimension.direction == "upright":
        x, turn = x - off, 90.0
    else:
        y += off
    return Text((x, y), dimension.text, height, dimension.style, dimension.owner, "middle", turn)


def shifted(primitive: Primitive, dx: float, dy: float) -> Primitive:
    """A primitive moved."""

    def at(point: XY) -> XY:
        return (point[0] + dx, point[1] + dy)

    if isinstance(primitive, Line):
        return replace(primitive, p=at(primitive.p), q=at(primitive.q))
    if isinstance(primitive, Path):
        return replace(primitive, points=tuple(at(point) for point in primitive.points))
    if isinstance(primitive, Circle):
        return replace(primitive, centre=at(primitive.centre))
    if isinstance(primitive, Text):
        return replace(primitive, at=at(primitive.at))
    across = primitive.across + {"upright": dx, "level": dy, "slant": 0.0}[primitive.direction]
    return replace(primitive, p=at(primitive.p), q=at(primitive.q), across=across)
