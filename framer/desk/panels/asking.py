"""Work that takes a while, done in the event loop bit by bit: the window goes on between."""

from __future__ import annotations

import time
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from framer.answers.work import Work
from framer.errors import FramerError

SLICE_S = 0.012
"""Work goes on for this long before what a person does comes first again."""


class Asking(QObject):
    """One piece of work at a time.

    Signals:
        at: a word on what it is at.
        ended: what came out of it.
        failed: why nothing comes out of it.
    """

    at = Signal(str)
    ended = Signal(object)
    failed = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._work: Work[Any] | None = None
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._go_on)

    @property
    def is_at_work(self) -> bool:
        """Whether something is being worked out."""
        return self._work is not None

    def begin(self, work: Work[Any]) -> None:
        """Work something out, and drop what was being worked out before."""
        self.drop()
        self._work = work
        self._timer.start()

    def drop(self) -> None:
        """Stop working; nothing comes out of it."""
        self._timer.stop()
        if self._work is not None:
            self._work.close()
        self._work = None

    def _go_on(self) -> None:
        work, until = self._work, time.perf_counter() + SLICE_S
        if work is None:
            return
        words = ""
        try:
            while time.perf_counter() < until:
                words = next(work) or words
        except StopIteration as end:
            self.drop()
            self.ended.emit(end.value)
            return
        except FramerError as problem:
            self.drop()
            self.failed.emit(str(problem))
            return
        except Exception:
            self.drop()
            self.failed.emit("a fault of framer; the line above the sheet says more")
            raise
        if words:
            self.at.emit(words)
