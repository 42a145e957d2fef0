"""Our window on the corner job, gone after its first paint, or once its findings are painted.

As the bare window it is gone at once then: tidying up is no part of starting. With `open` it stays
until the sheet is drawn too and all that was begun is done.
"""

import atexit
import gc
import os
import shutil
import sys
import tempfile
import time
from pathlib import Path

gc.disable()  # as the command does, before it reads in the same
from PySide6.QtCore import QTimer  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from framer.desk.start import open_window  # noqa: E402

# a copy of its own: unsaved work beside the sample would have to be asked about
JOB = Path(tempfile.mkdtemp()) / "alder-lane.framer"
shutil.copy("sample_jobs/corner/alder-lane.framer", JOB)
atexit.register(shutil.rmtree, JOB.parent)
SETTLED_MS = 300


def end(problem: str = "") -> None:
    """End here and now."""
    shutil.rmtree(JOB.parent)
    sys.stderr.write(problem)
    os._exit(1 if problem else 0)


def end_painted() -> None:
    """End with the first paint; what is large must not have been read in for it."""
    loaded = sorted({"numpy", "shapely"} & sys.modules.keys())
    end(f"loaded before the first paint: {', '.join(loaded)}" if loaded else "")


def end_with_findings() -> None:
    """End as soon as findings can be read; with words when there is nothing to read."""
    listed = window.table and window.table.findings.list
    first = listed and listed.visualRect(listed.model().index(0, 0))
    end("" if first and first.intersects(listed.viewport().rect()) else "no findings")


application = QApplication(sys.argv[:1])
window = open_window(JOB)
if sys.argv[1] == "paint":
    window.painted.connect(application.quit)  # which ends once all is painted
    application.exec()
    end_painted()
elif sys.argv[1] == "findings":
    window.findings_shown.connect(end_with_findings)

give_up = time.monotonic() + 30.0
while window.table is None and time.monotonic() < give_up:
    application.processEvents()
if window.table is None:
    sys.exit("the job did not open")
QTimer.singleShot(SETTLED_MS, application.quit)
application.exec()
if not window.table.board.layers["framed"].outlines("pole-new"):
    sys.exit("the sheet is not drawn")
