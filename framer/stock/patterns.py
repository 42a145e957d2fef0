"""Starting patterns: whole pole heads as data in resources/patterns, one file each.

A pattern says which parts go where, relative to the pole's finished top and to the ways the line
goes; it knows no job. Whoever adds a file adds a pattern.
"""

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Annotated, Literal, TypeAlias

from msgspec import Meta, Struct, field

from framer.errors import DataFileError, UnknownNameError
from framer.resources import resources
from framer.stock.catalogue import GOES_ON, catalogue
from framer.stock.part import AnyPart, ArmPart, InsulatorPart, RunPart
from framer.stock.records import Named, read_folder, read_named
from framer.stock.source import HowKnown, Source

Way: TypeAlias = Literal["ahead", "back", "tap"]
"""Where a span goes: on along the line, back along it, or off it."""
Facing: TypeAlias = Literal["ahead", "back", "tap", "line", "pull"]
"""A direction: a way, "line" through the pole (halfway between the two ways of a line that turns),
or "pull", where the wires together draw the pole."""
Slot: TypeAlias = Literal["1", "2", "3", "N"]
"""Which conductor: the first, second, third phase from the left looking the way it goes (the line
is looked along ahead), or the neutral."""


class Piece(Struct, frozen=True, forbid_unknown_fields=True):
    """One part of a pattern.

    `key` names it in its file, `part` is the stock part, or several of which the first is taken
    whose class suits the circuit. On the pole it sits `drop_in` below the finished top and faces
    `faces`, turned `turn_deg` clockwise; on the piece `on` at pin number `pin`, counted from the
    left looking the way that arm faces, or `along_in` from its bolt. `up_to_drop_in` makes it a
    run from the ground up to there, `lead_in` is of a guy. `holds` says whose wire it holds, of
    `spans`, or whose phase it is on.
    """

    key: str
    part: str | tuple[str, ...]
    name: str
    on: str = ""
    drop_in: Annotated[float, Meta(ge=0.0)] | None = None
    faces: Facing = "line"
    turn_deg: Annotated[float, Meta(gt=-360.0, lt=360.0)] = 0.0
    pin: Annotated[int, Meta(ge=1)] | None = None
    along_in: float | None = None
    up_to_drop_in: Annotated[float, Meta(ge=0.0)] | None = None
    lead_in: Annotated[float, Meta(gt=0.0)] | None = None
    holds: Slot | None = None
    spans: tuple[Way, ...] = ()

    @property
    def parts(self) -> tuple[str, ...]:
        """Ids of the stock parts it can be, the lowest class first."""
        return (self.part,) if isinstance(self.part, str) else self.part


class Pattern(Named, frozen=True):
    """A pole head to start from.

    `about` says in a sentence what it is for, `needs` which ways must be known.
    """

    name: str
    about: str
    source: Source
    piece: tuple[Piece, ...]
    needs: tuple[Way, ...] = ("ahead",)
    known: dict[str, HowKnown] = field(default_factory=dict)


def read_pattern(path: Path) -> Pattern:
    """The pattern in a file.

    Raises:
        DataFileError: names the file, the piece and what was expected there.
    """
    made = read_named(path, Pattern)
    for place, problem in _faults(made):
        raise DataFileError(path.name, place, problem)
    return made


@cache
def patterns() -> dict[str, Pattern]:
    """Every pattern in resources/patterns, by id.

    Raises:
        DataFileError: a file is wrong.
    """
    return read_folder(resources() / "patterns", read_pattern)


def pattern(key: str) -> Pattern:
    """The pattern with an id.

    Raises:
        UnknownNameError: there is none.
    """
    found = patterns().get(key)
    if found is None:
        raise UnknownNameError("pattern", key)
    return found


def _faults(made: Pattern) -> Iterator[tuple[str, str]]:
    """What the types do not rule out, each with the piece it is in."""
    if not made.piece:
        yield "piece", "a pattern needs at least one piece"
    before: dict[str, Piece] = {}
    for piece in made.piece:
        place = f"piece '{piece.key}'"
        if piece.key in before:
            yield place, "the key is taken by a piece above"
        stock = [catalogue().get(key) for key in piece.parts]
        known = [one for one in stock if one is not None]
        if len(known) < max(1, len(stock)):
            missing = [key for key, one in zip(piece.parts, stock, strict=True) if one is None]
            yield place, f"no stock part '{missing[0] if missing else ''}'"
            return
        if len({one.kind for one in known}) > 1:
            yield place, "its stock parts must be of one kind"
        for problem in _piece_faults(made, piece, known[0], before):
            yield place, problem
        before[piece.key] = piece


def _piece_faults(
    made: Pattern, piece: Piece, stock: AnyPart, before: dict[str, Piece]
) -> Iterator[str]:
    host = before.get(piece.on)
    if piece.on and host is None:
        yield f"'{piece.on}' is no piece above"
        return
    hosts = [catalogue()[key] for key in host.parts] if host else []
    on = hosts[0].kind if hosts else "pole"
    takes = GOES_ON.get(stock.kind)
    if takes is not None and on not in takes:
        yield f"of kind '{stock.kind}', it goes on {' or '.join(takes)}, not on {on}"
    runs = isinstance(stock, RunPart)
    if runs != (piece.up_to_drop_in is not None):
        yield "up_to_drop_in is for what runs along the pole, which needs it"
    if (stock.kind == "guy") != (piece.lead_in is not None):
        yield "lead_in is for a guy, which needs it"
    if not runs and (piece.drop_in is None) != bool(piece.on):
        yield "give drop_in to what is on the pole, and to nothing else"
    if (piece.pin is not None or piece.along_in is not None) and on != "arm":
        yield "pin and along_in are for what is on an arm"
    if piece.pin is not None and piece.along_in is not None:
        yield "give pin or along_in, not both"
    for arm in hosts:
        if isinstance(arm, ArmPart) and (piece.pin or 1) > max(1, len(arm.pins_in)):
            yield f"'{arm.id}' has {len(arm.pins_in)} pins"
    if piece.spans and (piece.holds is None or not isinstance(stock, InsulatorPart)):
        yield "spans are for an insulator that holds a wire"
    for way in (*piece.spans, piece.faces):
        if way in ("back", "tap") and way not in made.needs:
            yield f"the pattern must need '{way}'"
    if piece.faces == "pull" and not {"back", "tap"} & set(made.needs):
        yield "a line of one way has no pull of its own: face it ahead"
