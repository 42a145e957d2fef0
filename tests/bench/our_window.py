"""Our window on the corner job, gone after its first paint, or once its findings are painted."""

import sys
from pathlib import Path

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication

from framer.desk.start import open_window

JOB = Path("sample_jobs/corner/alder-lane.framer")


class PaintWatch(QObject):
    """Ends the program when what it watches has been painted with something in it."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let everything through."""
        if event.type() == QEvent.Type.Paint and table.findings.model.rows:
            table.findings.list.viewport().removeEventFilter(self)
            # posted behind this paint, so it ends after it
            QApplication.postEvent(self, QEvent(QEvent.Type.User))
        return False

    def customEvent(self, event: QEvent) -> None:
        """Painted."""
        application.exit(0)


application = QApplication(sys.argv[:1])
window = open_window(JOB)
if sys.argv[1] == "paint":
    window.painted.connect(application.quit)
    application.exec()
    loaded = {"numpy", "shapely"} & sys.modules.keys()
    sys.exit(f"loaded before the first paint: {', '.join(sorted(loaded))}" if loaded else 0)

while window.table is None:
    application.processEvents()
table = window.table
watch = PaintWatch()
table.findings.list.viewport().installEventFilter(watch)
sys.exit(application.exec())
