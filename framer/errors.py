"""Everything framer can complain about in a sentence a user can act on.

Each error also is the builtin a caller would expect, so code that does not know framer
can still catch it.
"""

from __future__ import annotations


class FramerError(Exception):
    """Root of all errors that are the user's to mend, never a fault of the program."""


class JobFileError(FramerError, ValueError):
    """A job file that cannot be read or written: names file, place in it and what was expected."""

    def __init__(self, file: str, place: str, problem: str) -> None:
        self.file, self.place, self.problem = file, place, problem
        where = f"{file}: {place}" if place else file
        super().__init__(f"{where}: {problem}")


class DataFileError(FramerError, ValueError):
    """A stock or rule file with a wrong entry: names file, entry, field and what was expected."""

    def __init__(self, file: str, entry: str, problem: str) -> None:
        self.file, self.entry, self.problem = file, entry, problem
        where = f"{file}: {entry}" if entry else file
        super().__init__(f"{where}: {problem}")


class LengthError(FramerError, ValueError):
    """Text that is no length, or a unit that is not on the list."""


class EditError(FramerError, ValueError):
    """An edit that makes no sense for this job; the job stays as it was."""


class UnknownNameError(FramerError, LookupError):
    """A name (item, part, rulebook, step) that is not there."""

    def __init__(self, kind: str, name: str, known: tuple[str, ...] = ()) -> None:
        self.kind, self.name = kind, name
        hint = f" (there are: {', '.join(known)})" if known else ""
        super().__init__(f"there is no {kind} '{name}'{hint}")

    def __str__(self) -> str:
        return str(self.args[0])


class FormulaError(FramerError, ValueError):
    """Numbers that no engineering formula makes sense of: a span of nothing, a lead of nothing."""
