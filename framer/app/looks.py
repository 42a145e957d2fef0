"""How a sheet is asked for on the command line: paper, and the direction it is seen in."""

from __future__ import annotations

import argparse

from framer.geometry.space import POINT_WORDS

LOOKS = {word: 45.0 * number for number, word in enumerate(POINT_WORDS)}
"""Directions a view can be named by."""


def paper_argument(command: argparse.ArgumentParser, usual: str = "tabloid") -> None:
    """Let a command say the paper."""
    command.add_argument(
        "--paper", choices=("letter", "tabloid", "a4", "a3"), default=usual, help="paper size"
    )


def look_argument(command: argparse.ArgumentParser) -> None:
    """Let a command say the direction looked in."""
    command.add_argument(
        "--look", choices=LOOKS, help="direction of the view; else the top arm is seen broadside"
    )
