"""What is known before Qt is: the colour of the sheet, the directions looked at, their keys."""

from __future__ import annotations

POINTS = (
    (0.0, "N", "north"),
    (45.0, "NE", "north-east"),
    (90.0, "E", "east"),
    (135.0, "SE", "south-east"),
    (180.0, "S", "south"),
    (225.0, "SW", "south-west"),
    (270.0, "W", "west"),
    (315.0, "NW", "north-west"),
)
"""Degrees, letter, word."""

NUMBER_PAD = ("8", "9", "6", "3", "2", "1", "4", "7")
"""Digits in the order of POINTS: with Ctrl, the number pad is a compass with north up."""

PAPER_RGB = (253, 252, 249)
"""The sheet, in a light and a dark window alike."""
