"""Undo and redo over whole jobs: jobs never change, so a step back is the job there was."""

from __future__ import annotations

from msgspec import Struct

from framer.model.job import Job

MOST_STEPS = 1_000
"""Older steps are let go; a job shares all that an edit did not touch, so steps cost little."""


class _Step(Struct, frozen=True):
    name: str
    job: Job


class History:
    """The job as it is, and how it came to be.

    Attributes:
        saved: the job that is in the file.
    """

    def __init__(self, job: Job) -> None:
        self._done: list[_Step] = [_Step("", job)]
        self._undone: list[_Step] = []
        self.saved: Job | None = job

    @property
    def job(self) -> Job:
        """The job as it is."""
        return self._done[-1].job

    @property
    def is_changed(self) -> bool:
        """Whether the job differs from the saved one."""
        return self.job is not self.saved

    @property
    def undo_name(self) -> str:
        """What undo would take back; empty when there is nothing."""
        return self._done[-1].name if len(self._done) > 1 else ""

    @property
    def redo_name(self) -> str:
        """What redo would bring back; empty when there is nothing."""
        return self._undone[-1].name if self._undone else ""

    def do(self, name: str, job: Job) -> None:
        """The job after an edit. An edit that changes nothing is no step."""
        if job == self.job:
            return
        self._undone.clear()
        self._done.append(_Step(name, job))
        if len(self._done) > MOST_STEPS + 1:
            del self._done[0]

    def undo(self) -> None:
        """One step back, if there is one."""
        if len(self._done) > 1:
            self._undone.append(self._done.pop())

    def redo(self) -> None:
        """One step forward again, if there is one."""
        if self._undone:
            self._done.append(self._undone.pop())
