"""Nothing is lost: the open job is kept beside its file while it has changes, and held by one."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from framer.errors import FramerError, JobFileError
from framer.files.autosave import drop_autosave, untitled_path, write_autosave
from framer.files.lock import holder, is_this_process, lock

if TYPE_CHECKING:
    from framer.desk.bridge import Bridge

AFTER_MS = 1_500
"""How long after the last step the job is kept."""


class Keeper(QObject):
    """Keeps the open job of a window until it is saved or left.

    Attributes:
        path: the file the job is kept for; one of its own for a job that has no file yet, `None`
            when there is no place for that.
        problem: why the job cannot be kept, said once.
    """

    def __init__(self, bridge: Bridge) -> None:
        super().__init__(bridge)
        self._bridge = bridge
        self._lock = ExitStack()
        self.path: Path | None = None
        self.problem = ""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(AFTER_MS)
        self._timer.timeout.connect(self.keep)
        bridge.job_changed.connect(self._timer.start)

    def take(self, left: Path | None = None) -> str:
        """Hold the open job's file; gives what a person should know of it, empty for nothing.

        `left` is the path of a job without a file that is brought back.
        """
        self.leave()
        path = self._bridge.session.path or left
        try:
            self.path = path or untitled_path()
            other = holder(self.path)
            if other is not None:
                where = f"another framer too ({other})"
                if is_this_process(other):
                    where = "another window too"
                return f"{self.path.name} is open in {where}; what is saved last is what stays"
            self._lock.enter_context(lock(self.path))
            if self._bridge.session.is_changed:
                self._timer.start()
        except JobFileError as problem:
            return f"this job is not held: {problem}"
        return ""

    def keep(self) -> None:
        """Keep the job as it is now, or forget what was kept when all is saved."""
        session = self._bridge.session
        if self.path is None:
            return
        try:
            if session.is_changed:
                write_autosave(session.settled, self.path)
            else:
                drop_autosave(self.path)
        except FramerError as problem:
            if str(problem) != self.problem:
                self._bridge.say(f"changes are not kept against a crash: {problem}")
            self.problem = str(problem)

    def drop(self) -> None:
        """Forget what was kept: it is saved, or nobody wants it."""
        self._timer.stop()
        if self.path is not None:
            try:
                drop_autosave(self.path)
            except FramerError as problem:
                self._bridge.say(str(problem))

    def leave(self) -> None:
        """Let go of the file."""
        self._timer.stop()
        self._lock.close()
        self.path = None
