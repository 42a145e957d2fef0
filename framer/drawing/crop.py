"""A part of a picture: what lies in a rectangle, cut off at its edges."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

from msgspec.structs import replace

from framer.drawing.fitting import within
from framer.drawing.picture import (
    XY,
    Circle,
    Dimension,
    Line,
    Path,
    Picture,
    Primitive,
    Text,
    extent,
)

Window: TypeAlias = tuple[float, float, float, float]
"""Least x, least y, most x, most y."""


def cropped(picture: Picture, window: Window) -> Picture:
    """What of a picture lies in a window; texts, dimensions and circles only whole."""
    return Picture(tuple(part for one in picture.primitives for part in piece(one, window)))


def piece(one: Primitive, window: Window) -> Iterator[Primitive]:
    """What of one primitive lies in a window, or nothing."""
    if isinstance(one, Line):
        ends = within(one.p, one.q, window)
        if ends is not None:
            yield replace(one, p=ends[0], q=ends[1])
    elif isinstance(one, Path):
        points = _polygon(one.points, window)
        if points:
            yield replace(one, points=points)
    elif isinstance(one, Circle | Text | Dimension):
        left, low, right, top = window
        if all(left <= x <= right and low <= y <= top for x, y in extent(one)):
            yield one


def _polygon(points: tuple[XY, ...], window: Window) -> tuple[XY, ...]:
    """An outline cut off at the four edges, one after the other (Sutherland and Hodgman's way)."""
    shape = list(points)
    for axis, limit, keeps_more in (
        (0, window[0], True),
        (1, window[1], True),
        (0, window[2], False),
        (1, window[3], False),
    ):
        kept: list[XY] = []
        for number, here in enumerate(shape):
            before = shape[number - 1]
            inside = [(one[axis] >= limit) == keeps_more or one[axis] == limit
                      for one in (before, here)]  # fmt: skip
            if inside[0] != inside[1]:
                share = (limit - before[axis]) / (here[axis] - before[axis])
                kept.append((before[0] + share * (here[0] - before[0]),
                             before[1] + share * (here[1] - before[1])))  # fmt: skip
            if inside[1]:
                kept.append(here)
        shape = kept
    return tuple(shape)
