"""Our window as it is made larger and smaller: milliseconds the sheet takes to be fitted to it.

Prints the middle and the longest time of thirty sizes, and the middle one at a size it is fitted to
already. Painting is not counted.
"""

import statistics
import time
from pathlib import Path

from PySide6.QtWidgets import QApplication

from framer.desk.window import Window
from framer.session import Session

SIZES = [(1400 - 13 * step, 900 - 7 * step) for step in range(30)]

application = QApplication([])
window = Window()
window.resize(1420, 910)
window.show()
window.show_session(Session.open(Path("sample_jobs/corner/alder-lane.framer")))
if window.table is None:
    raise SystemExit("the job did not open")
board = window.table.board


def fit_ms() -> float:
    """Milliseconds of one fitting."""
    begun = time.perf_counter()
    board.fit()
    return 1_000.0 * (time.perf_counter() - begun)


anew, again = [], []
for width, height in SIZES:
    board.view.setFixedSize(width - 340, height - 200)
    anew.append(fit_ms())
    again.append(fit_ms())
    application.processEvents()
print(statistics.median(anew), max(anew), statistics.median(again))
window.filing.may_leave = lambda: True  # type: ignore[method-assign]
window.close()
