"""What is known before Qt is: the colour of the sheet, the directions looked at, their keys."""

from __future__ import annotations

from framer.geometry import space
from framer.geometry.space import azimuth_of_point

POINTS = tuple(
    (azimuth_of_point(letters), letters, word)
    for letters, word in zip(space.POINTS, space.POINT_WORDS, strict=True)
)
"""Degrees, letter, word."""

NUMBER_PAD = ("8", "9", "6", "3", "2", "1", "4", "7")
"""Digits in the order of POINTS: with Ctrl, the number pad is a compass with north up."""

PAPER_RGB = (253, 252, 249)
"""The sheet, in a light and a dark window alike."""
