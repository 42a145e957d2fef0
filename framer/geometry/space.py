"""Points and directions: x east, y north, z up, inches, from the job's origin and datum."""

from __future__ import annotations

import math
from typing import TypeAlias

Point: TypeAlias = tuple[float, float, float]


def toward(azimuth_deg: float) -> Point:
    """The level unit vector in a compass direction.

    Quarter turns come out exact, so that things square to each other stay so.
    """
    quarter, rest = divmod(azimuth_deg, 90.0)
    if rest == 0.0:
        return ((0.0, 1.0, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (-1.0, 0.0, 0.0))[
            int(quarter) % 4
        ]
    angle = math.radians(azimuth_deg)
    return (math.sin(angle), math.cos(angle), 0.0)


def azimuth_of(direction: Point) -> float:
    """The compass direction of a vector, to a thousandth of a degree."""
    return round(math.degrees(math.atan2(direction[0], direction[1])), 3) % 360.0


def moved(point: Point, direction: Point, distance_in: float) -> Point:
    """The point `distance_in` on from another in a direction."""
    return (
        point[0] + direction[0] * distance_in,
        point[1] + direction[1] * distance_in,
        point[2] + direction[2] * distance_in,
    )


def level_way(start: Point, end: tuple[float, float]) -> Point | None:
    """The level unit vector from a point to another in plan; `None` where they are the same."""
    east, north = end[0] - start[0], end[1] - start[1]
    size = math.hypot(east, north)
    return (east / size, north / size, 0.0) if size > 0.0 else None


def raised(point: Point, height_in: float) -> Point:
    """The point straight above another."""
    return (point[0], point[1], point[2] + height_in)


def dot(a: Point, b: Point) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def between(a: Point, b: Point) -> Point:
    """The vector from one point to another."""
    return (b[0] - a[0], b[1] - a[1], b[2] - a[2])


def distance(a: Point, b: Point) -> float:
    """Straight-line distance."""
    return math.dist(a, b)


def turned(azimuth_deg: float, by_deg: float) -> float:
    """A compass direction turned clockwise, kept in 0 to 360."""
    return (azimuth_deg + by_deg) % 360.0


POINTS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
POINT_WORDS = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)
"""The points of the compass, clockwise from north, as letters and as words."""


def azimuth_of_point(point: str) -> float:
    """The direction of a point of the compass given by its letters."""
    return 45.0 * POINTS.index(point)


def compass(azimuth_deg: float, *, words: bool = False) -> str:
    """The direction as a compass point where it is one to half a degree, else in degrees."""
    index, off = divmod(azimuth_deg + 22.5, 45.0)
    if abs(off - 22.5) <= 0.5:
        return (POINT_WORDS if words else POINTS)[int(index) % 8]
    return f"{azimuth_deg:.0f} deg"
