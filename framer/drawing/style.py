"""Styles: what kind of thing a line stands for, and how heavy it is on paper.

Kinds are told apart by line weight, dashes and words; colour only helps. Verdicts carry a mark
of their own shape and a word, so that a grey print says the same.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

from msgspec import Struct

StyleName: TypeAlias = Literal[
    "ground",
    "pole",
    "arm",
    "brace",
    "insulator",
    "case",
    "live",
    "fitting",
    "run",
    "guy",
    "supply",
    "neutral",
    "communications",
    "nearby",
    "limit",
    "reach",
    "cover",
    "below",
    "was",
    "space",
    "fouled",
    "level",
    "label",
    "dimension",
    "scale",
    "leader",
    "redline",
    "guide",
    "short",
    "cannot say",
    "tight",
    "meets",
    "frame",
    "title",
    "caution",
]


class Style(Struct, frozen=True):
    """How one kind of line is drawn.

    Attributes:
        layer: name of its layer in a drawing file.
        weight_mm: line weight on paper.
        dashes: dash and gap lengths on paper, mm; empty for a full line.
        colour: red, green, blue on white paper.
    """

    layer: str
    weight_mm: float
    dashes: tuple[float, ...] = ()
    colour: tuple[int, int, int] = (0, 0, 0)


STYLES: dict[StyleName, Style] = {
    "ground": Style("GROUND", 0.5, (), (92, 64, 32)),
    "pole": Style("POLE", 0.5, (), (64, 44, 24)),
    "arm": Style("ARM", 0.35, (), (64, 44, 24)),
    "brace": Style("BRACE", 0.18, (), (96, 96, 96)),
    "insulator": Style("INSULATOR", 0.25, (), (0, 0, 0)),
    "case": Style("EQUIPMENT", 0.35, (), (48, 48, 48)),
    "live": Style("LIVE-PART", 0.25, (), (0, 0, 0)),
    "fitting": Style("FITTING", 0.25, (), (48, 48, 48)),
    "run": Style("RISER-GROUND", 0.25, (3.0, 1.0), (48, 48, 48)),
    "guy": Style("GUY", 0.25, (6.0, 1.5), (48, 48, 48)),
    "supply": Style("WIRE-SUPPLY", 0.35, (), (20, 20, 20)),
    "neutral": Style("WIRE-NEUTRAL", 0.25, (), (20, 20, 20)),
    "communications": Style("WIRE-COMM", 0.35, (4.0, 1.0, 1.0, 1.0), (20, 20, 20)),
    "nearby": Style("NEARBY-CIRCUIT", 0.5, (8.0, 1.5, 1.5, 1.5), (20, 20, 20)),
    "limit": Style("LIMIT-LINE", 0.35, (2.0, 1.0), (20, 20, 20)),
    "reach": Style("BOOM-REACH", 0.25, (5.0, 1.0, 1.0, 1.0), (48, 48, 48)),
    "cover": Style("COVER-UP", 0.35, (), (190, 92, 10)),
    "below": Style("BELOW-PLAN", 0.13, (), (150, 150, 150)),
    "was": Style("WAS-BEFORE", 0.18, (0.8, 0.8), (90, 90, 90)),
    "space": Style("SPACE", 0.18, (1.5, 1.5), (60, 60, 60)),
    "fouled": Style("SPACE-FOULED", 0.5, (), (176, 24, 24)),
    "level": Style("LEVEL-LINE", 0.13, (0.6, 0.9), (120, 120, 120)),
    "label": Style("LABEL", 0.18, (), (0, 0, 0)),
    "dimension": Style("DIMENSION", 0.18, (), (0, 0, 0)),
    "scale": Style("HEIGHT-SCALE", 0.13, (), (110, 110, 110)),
    "leader": Style("LEADER", 0.13, (), (60, 60, 60)),
    "redline": Style("REDLINE", 0.35, (), (176, 24, 24)),
    "guide": Style("GUIDE-IMAGE", 0.13, (), (120, 120, 120)),
    "short": Style("FINDING-SHORT", 0.5, (), (176, 24, 24)),
    "cannot say": Style("FINDING-CANNOT-SAY", 0.25, (), (110, 50, 140)),
    "tight": Style("FINDING-TIGHT", 0.35, (4.0, 1.0), (150, 90, 0)),
    "meets": Style("FINDING-MEETS", 0.25, (), (40, 90, 60)),
    "frame": Style("FRAME", 0.35, (), (0, 0, 0)),
    "title": Style("TITLE", 0.18, (), (0, 0, 0)),
    "caution": Style("CAUTION", 0.18, (), (0, 0, 0)),
}
