"""Our window on the corner job, gone after its first paint, or once its findings are painted."""

import atexit
import shutil
import sys
import tempfile
import time
from pathlib import Path

from PySide6.QtWidgets import QApplication

from framer.desk.start import open_window

# a copy of its own: unsaved work beside the sample would have to be asked about
JOB = Path(tempfile.mkdtemp()) / "alder-lane.framer"
shutil.copy("sample_jobs/corner/alder-lane.framer", JOB)
atexit.register(shutil.rmtree, JOB.parent)


application = QApplication(sys.argv[:1])
window = open_window(JOB)
if sys.argv[1] == "paint":
    window.painted.connect(application.quit)
    application.exec()
    loaded = {"numpy", "shapely"} & sys.modules.keys()
    sys.exit(f"loaded before the first paint: {', '.join(sorted(loaded))}" if loaded else 0)

give_up = time.monotonic() + 30.0
while window.table is None and time.monotonic() < give_up:
    application.processEvents()
if window.table is None:
    sys.exit("the job did not open")
if not window.table.findings.model.rows:
    sys.exit("no findings")
window.table.findings.list.viewport().repaint()
