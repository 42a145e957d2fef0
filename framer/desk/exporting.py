"""Exports beside the work: a file is made and written while the window stays at hand.

A thread works on a job that nothing changes any more, so it needs nothing of the window. What
takes longer than a moment says so in the status bar, where it can be cancelled.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from framer.errors import FramerError

AT_ONCE_S = 0.4
"""So long an export is waited for; after that the window goes on and says that it runs."""

LOOK_MS = 40
"""So often it is looked whether it is done."""


class Export:
    """One export.

    Attributes:
        is_cancelled: whether it was cancelled; what is not written by then will not be.
        written: the files that were written.
        problem: what went wrong, `None` if nothing.
    """

    def __init__(self, make: Callable[[], Any], write: Callable[[Any], Sequence[Path]]) -> None:
        self.is_cancelled = False
        self.written: tuple[Path, ...] = ()
        self.problem: FramerError | None = None
        self._broken: BaseException | None = None
        self._make, self._write = make, write
        self._thread = threading.Thread(target=self._run, name="export")
        self._thread.start()

    def _run(self) -> None:
        try:
            made = self._make()
            if not self.is_cancelled:
                self.written = tuple(self._write(made))
        except FramerError as problem:
            self.problem = problem
        except BaseException as broken:  # raised again where somebody sees it
            self._broken = broken

    def is_done(self, wait_s: float = 0.0) -> bool:
        """Whether it is done, now or within a time."""
        self._thread.join(wait_s)
        if self._thread.is_alive():
            return False
        if self._broken is not None:
            broken, self._broken = self._broken, None
            raise broken
        return True


class Exporting(QWidget):
    """The export under way: its line in the status bar, with a button that cancels it.

    Attributes:
        now: the export, `None` while there is none.
        done: tells of one that has ended.
    """

    done = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.now: Export | None = None
        self.words = QLabel(self)
        self.cancel = QPushButton("Cancel", self)
        self.cancel.setAccessibleName("cancel the export")
        self.cancel.setToolTip("what is not written yet will not be")
        self.cancel.clicked.connect(self.stop)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.words)
        row.addWidget(self.cancel)
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_MS)
        self._timer.timeout.connect(self._look)
        self.hide()

    def start(
        self, name: str, make: Callable[[], Any], write: Callable[[Any], Sequence[Path]]
    ) -> bool:
        """Begin an export; whether there was none under way.

        Args:
            name: what the file is called.
            make: makes what is to be written; it and `write` touch nothing of the window.
            write: writes it and gives the files.
        """
        if self.now is not None:
            return False
        self.now = Export(make, write)
        if self.now.is_done(AT_ONCE_S):
            self._end()
        else:
            self.words.setText(f"writing {name} ...")
            self.show()
            self._timer.start()
        return True

    def stop(self) -> None:
        """Cancel the export."""
        if self.now is not None:
            self.now.is_cancelled = True
            self.words.setText("cancelling ...")

    def leave(self) -> None:
        """Cancel it and wait for its end, as the window closes."""
        self.stop()
        while self.now is not None and not self.now.is_done(LOOK_MS / 1_000):
            pass
        self._timer.stop()
        self.now = None

    def _look(self) -> None:
        try:
            if self.now is None or self.now.is_done():
                self._end()
        except BaseException:
            self._stop_looking()
            raise

    def _end(self) -> None:
        ended = self.now
        self._stop_looking()
        self.done.emit(ended)

    def _stop_looking(self) -> None:
        self.now = None
        self._timer.stop()
        self.hide()


def words_of(ended: Export) -> str:
    """What became of an export that met no problem."""
    if not ended.written:
        return "the export was cancelled; nothing was written"
    more = f" and {len(ended.written) - 1} more" if len(ended.written) > 1 else ""
    return f"wrote {ended.written[0].name}{more}"
