"""The questions `framer answer` takes; the answers, which take longer to load, are elsewhere."""

from __future__ import annotations

import argparse


def add_questions(command: argparse.ArgumentParser) -> None:
    """What `framer answer JOB` can be asked."""
    asked = command.add_subparsers(title="questions", metavar="question", required=True)

    one = asked.add_parser("room", help="the heights at which an item may be")
    one.add_argument("item", nargs="?", help="id or name of what is fixed to a pole; else of each")
    one.set_defaults(question="room")

    one = asked.add_parser("top", help="how far from the top an item goes")
    one.add_argument("item", help="id or name of what is fixed to a pole")
    one.add_argument("--want", choices=("highest", "lowest", "nearest"), default="highest")
    one.add_argument("--at", metavar="HEIGHT", help="what would let it be at this height instead")
    one.set_defaults(question="top")

    one = asked.add_parser("pole", help="which pole is the shortest that frames")
    one.add_argument("pole", nargs="?", help="id or name of the pole; else the one with most on it")
    one.add_argument("--rock", action="store_true", help="set in rock, by the table")
    one.add_argument("--slope", metavar="LENGTH", help="how much lower the low side of the hole is")
    one.add_argument("--stock", action="store_true", help="all of stock, whatever yard.csv says")
    one.set_defaults(question="pole")

    one = asked.add_parser("topping", help="what a cut of the top does")
    one.add_argument("pole", nargs="?", help="id or name of the pole; else the one with most on it")
    one.add_argument("--cut", metavar="LENGTH", help="the cut; else the least the timber asks")
    one.set_defaults(question="topping")

    one = asked.add_parser("beside", help="how close beside an old pole, and what an offset turns")
    for name, words in (
        ("--old-butt", "diameter of the old pole at the ground"),
        ("--new-butt", "diameter of the new pole's butt"),
        ("--auger", "diameter of the auger"),
        ("--soil", "undisturbed soil to be kept"),
    ):
        one.add_argument(name, metavar="LENGTH", required=True, help=words)
    one.add_argument("--lean", type=float, default=0.0, help="inches in 10 ft towards the new pole")
    one.add_argument("--height", metavar="LENGTH", help="where to look at the faces")
    one.set_defaults(question="beside")
