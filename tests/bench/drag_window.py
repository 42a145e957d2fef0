"""Our window while an arm is dragged on a pole of a hundred parts: milliseconds of every frame.

A frame is one move of the mouse and the painting after it. `checks` drags with the findings live,
`none` the same job judged by no rulebook; both show all views.
"""

import os
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from msgspec.structs import replace
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from framer.desk.window import Window
from framer.session import Session
from tests.bench.jobs import full_pole
from tests.desk.driving import board_of, press, release, spot_of

FRAMES, WARM = 300, 20
ARM = "one-line"

application = QApplication(sys.argv[:1])
job = full_pole()
if sys.argv[1] == "none":
    job = replace(job, books=())
window = Window()
window.resize(1280, 800)
window.show()
window.show_session(Session(job))
board = board_of(window)
shown = {kind for kind, layer in board.layers.items() if layer.items}
if shown != {"found", "framed", "second", "plan"}:
    sys.exit(f"not all views are shown: {', '.join(sorted(shown))}")
if window.bridge is None:
    sys.exit("the job did not open")
window.bridge.select(ARM)
application.processEvents()
viewport = board.view.viewport()
start = spot_of(window, ARM)
press(window, start)
times = []
up_before = window.bridge.session.scene("framed").parts_of[ARM][0].up_in
for frame in range(WARM + FRAMES):
    at = QPointF(start + QPoint(0, 4 + frame % 60))
    begun = time.perf_counter()
    move = QMouseEvent(
        QMouseEvent.Type.MouseMove,
        at,
        QPointF(viewport.mapToGlobal(at.toPoint())),
        Qt.MouseButton.NoButton,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    QApplication.sendEvent(viewport, move)
    application.processEvents()
    if frame >= WARM:
        times.append(1_000.0 * (time.perf_counter() - begun))
if window.bridge.session.scene("framed").parts_of[ARM][0].up_in == up_before:
    sys.exit("nothing was dragged")
release(window, start)
times.sort()
print(times[FRAMES // 2], times[int(0.99 * FRAMES)])
window.filing.may_leave = lambda: True  # type: ignore[method-assign]
window.close()
