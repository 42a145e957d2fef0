"""What dialogs that show something of the open job have in common."""

from __future__ import annotations

from PySide6.QtCore import QPoint
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QDialog, QWidget

from framer.desk.bridge import Bridge


class JobDialog(QDialog):
    """Stays open beside the window, follows the job while it is seen, and goes with the job."""

    def __init__(self, bridge: Bridge, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bridge = bridge
        self._left_at: QPoint | None = None
        bridge.job_opened.connect(self.hide)
        bridge.job_changed.connect(self._on_job)

    def showEvent(self, event: QShowEvent) -> None:
        """Show the job as it is, and the dialog where it was closed.

        Left to the window manager it would wander by the height of its title bar each time.
        """
        if self._left_at is not None and not event.spontaneous():
            self.move(self._left_at)
        super().showEvent(event)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Keep in mind where it stood."""
        if not event.spontaneous():
            self._left_at = self.pos()
        super().hideEvent(event)

    def _on_job(self) -> None:
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Show the job as it now is."""
        raise NotImplementedError
