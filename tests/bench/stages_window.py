"""Our window while the slider plays a transfer of twenty steps: milliseconds of every move.

A move is the slider on another stage and the painting after it, all views shown, every stage judged
before. `checks` has the findings of the stages, `none` the same job judged by no rulebook.
"""

import os
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from msgspec.structs import replace
from PySide6.QtWidgets import QApplication

from framer.desk.window import Window
from framer.session import Session
from tests.bench.jobs import full_transfer
from tests.desk.driving import board_of

ROUNDS = 6

application = QApplication(sys.argv[:1])
job = full_transfer()
if sys.argv[1] == "none":
    job = replace(job, books=())
window = Window()
window.resize(1280, 800)
window.show()
window.show_session(Session(job))
if window.bridge is None:
    sys.exit("the job did not open")
session = window.bridge.session
session.transfer()
slider = board_of(window).stages.slider
stages = range(slider.maximum() + 1)
if len(stages) != len(job.steps) + 2:
    sys.exit(f"the slider has {len(stages)} stages")
times = []
for round_ in range(ROUNDS):
    for at in stages if round_ % 2 else reversed(stages):
        before = window.bridge.stage
        begun = time.perf_counter()
        slider.setValue(at)
        application.processEvents()
        # the first round is not counted: everything is drawn for the first time
        if round_ and window.bridge.stage != before:
            times.append(1_000.0 * (time.perf_counter() - begun))
times.sort()
print(times[len(times) // 2], times[int(0.95 * len(times))])
window.filing.may_leave = lambda: True  # type: ignore[method-assign]
window.close()
