"""Starting patterns of steps: usual ways to go about a transfer, as data in resources/steps.

A pattern says in what order kinds of things are moved; it knows no job. Nobody says that its order
is the right one: it is one to start from.
"""

from functools import cache
from pathlib import Path
from typing import Literal, TypeAlias

from msgspec import Struct

from framer.errors import DataFileError
from framer.model.step import StepKind
from framer.resources import resources
from framer.stock.records import Named, read_folder, read_named
from framer.stock.source import Source

Taken: TypeAlias = Literal[
    "cover",
    "temporary support",
    "new pole",
    "old pole",
    "guy",
    "arm",
    "insulator",
    "equipment",
    "phase",
    "neutral",
    "secondary",
    "communications",
    "jumper",
]
"""What a step takes: arms go with their braces, insulators with all that holds a wire, equipment
with risers and ground wires, jumpers with all other joins; a temporary support is whatever holds
wires and is there only in between."""

Going: TypeAlias = Literal["comes", "between", "after", "leaves"]
"""Which move of a chain: it is put there first; to a place in between; to its place as framed; it
is taken away, or opened."""


class PatternStep(Struct, frozen=True, forbid_unknown_fields=True):
    """One step of a pattern: all that it takes and that goes that way, or one step `each`.

    `title` has `{name}` for the thing where there is one step each; wires that lie on the same
    support are one conductor and go together.
    """

    title: str
    kind: StepKind
    takes: tuple[Taken, ...]
    going: Going
    each: bool = False
    by: Literal["crew", "others", "later"] = "crew"
    crew_leaves: bool = False


class StepPattern(Named, frozen=True):
    """An order of steps to start from; `about` says in a sentence what it is for."""

    name: str
    about: str
    source: Source
    step: tuple[PatternStep, ...]


def read_step_pattern(path: Path) -> StepPattern:
    """The pattern in a file.

    Raises:
        DataFileError: names the file and what was expected there.
    """
    made = read_named(path, StepPattern)
    for number, step in enumerate(made.step, start=1):
        if not step.takes:
            raise DataFileError(path.name, f"step {number}", "it takes nothing")
        if step.each != ("{name}" in step.title):
            problem = "a step for each thing has {name} in its title, and no other has"
            raise DataFileError(path.name, f"step {number}", problem)
    return made


@cache
def step_patterns() -> dict[str, StepPattern]:
    """Every pattern in resources/steps, by id.

    Raises:
        DataFileError: a file is wrong.
    """
    return read_folder(resources() / "steps", read_step_pattern)
