"""Benchmarks: each is measured against a floor in the same run, so machines can be compared.

`python3 tests bench` prints the table and adds a line for each to history.csv.
"""

from __future__ import annotations

import csv
import datetime
import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
sys.path.insert(0, str(ROOT))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

HISTORY = HERE / "history.csv"


@dataclass(frozen=True, slots=True)
class Line:
    """One benchmark: milliseconds, those of its floor, and what is aimed at."""

    name: str
    ms: float
    floor: str
    floor_ms: float
    aim: str

    @property
    def ratio(self) -> float:
        return self.ms / self.floor_ms


def middle_ms(run: Callable[[], object], times: int = 40) -> float:
    """The middle of several timings."""
    taken = []
    run()
    for _ in range(times):
        start = time.perf_counter()
        run()
        taken.append(time.perf_counter() - start)
    return sorted(taken)[times // 2] * 1_000


def checks() -> list[Line]:
    """The whole check of a pole of a hundred parts, and one step of dragging an arm on it."""
    import numpy as np

    from framer.checks.bookshelf import book_ids, rulebook
    from framer.checks.engine import check
    from framer.checks.room import climb
    from framer.checks.rulebook import Rulebook
    from framer.edits.places import set_along_pole
    from framer.geometry.distance import closest
    from framer.geometry.placing import place
    from tests.bench.jobs import full_pole

    job = full_pole()
    books = tuple(rulebook(key) for key in job.books)
    parts, rules = len(place(job, "framed").parts), sum(len(book.rules) for book in books)
    heights = iter(range(1, 100_000))

    def drag(judges: tuple[Rulebook, ...]) -> None:
        lower = 640.0 - (next(heights) % 90)
        moved = set_along_pole(job, "one-line", "framed", "height", lower)
        check(place(moved, "framed"), judges, moving=True)

    every = tuple(rulebook(key) for key in book_ids())
    many = sum(len(book.rules) for book in every)

    framed = iter([place(job, "framed") for _ in range(50)])
    points = np.random.default_rng(1).normal(size=(4, parts * (parts - 1) // 2, 3))
    floor = middle_ms(lambda: closest(*points))
    named = f"numpy, {points.shape[1]} segment pairs"
    return [
        Line(
            f"whole check, {parts} parts, {rules} rules",
            middle_ms(lambda: check(place(job, "framed"), books)),
            named,
            floor,
            "<= 10 ms",
        ),
        Line("one drag step on it", middle_ms(lambda: drag(books)), named, floor, "<= 4 ms"),
        Line(
            f"whole check, every book, {many} rules",
            middle_ms(lambda: check(place(job, "framed"), every)),
            named,
            floor,
            "<= 10 ms",
        ),
        Line(
            "all eight columns by one book",
            middle_ms(lambda: climb(next(framed), (rulebook("nesc-2017"),))),
            named,
            floor,
            "<= 30 ms",
        ),
        Line(
            f"the same without room to climb, {many} rules",
            middle_ms(lambda: check(place(job, "framed"), every, moving=True)),
            named,
            floor,
            "<= 10 ms",
        ),
        Line("one drag step on that", middle_ms(lambda: drag(every)), named, floor, "<= 4 ms"),
    ]


def start_ms(arguments: list[str], times: int = 9) -> float:
    """Wall time of a whole process; as in an installed program, compiled modules are kept."""
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
    surroundings.pop("PYTHONDONTWRITEBYTECODE", None)
    return middle_ms(
        lambda: subprocess.run(
            arguments, cwd=ROOT, env=surroundings, check=True, capture_output=True
        ),
        times,
    )


def starts() -> list[Line]:
    """Starting: help against a bare Python, the window against a bare window."""
    python = [sys.executable, "-P"]
    bare = start_ms([*python, "-c", "import argparse"])
    lines = [
        Line("framer --help", start_ms([*python, "-m", "framer", "--help"]), "python", bare, "")
    ]
    window = start_ms([*python, str(HERE / "bare_window.py")])
    for name, script, aim in (
        ("first paint", "paint", "<= 1.3"),
        ("first findings on screen", "findings", "<= 2.5"),
    ):
        taken = start_ms([*python, str(HERE / "our_window.py"), script])
        lines.append(Line(name, taken, "bare PySide6 window", window, aim))
    return lines


def drawings() -> list[Line]:
    """The corner job's sketch as DXF against the same entities by bare ezdxf."""
    from framer.session import Session
    from framer.sheets.dxf import dxf_bytes
    from tests.bench.bare_dxf import bare_dxf_bytes

    sheet = Session.open(ROOT / "sample_jobs/corner/alder-lane.framer").sheet()
    ours = middle_ms(lambda: dxf_bytes(sheet), 15)
    bare = middle_ms(lambda: bare_dxf_bytes(sheet), 15)
    return [Line("DXF of the corner sketch", ours, "bare ezdxf", bare, "<= 1.5")]


def main() -> int:
    """Measure everything, print it, keep it."""
    lines = [*checks(), *starts(), *drawings()]
    print(f"{'what':42}{'ms':>9}  {'floor':32}{'ms':>9}{'ratio':>8}  aim")
    for line in lines:
        print(
            f"{line.name:42}{line.ms:9.2f}  {line.floor:32}{line.floor_ms:9.2f}"
            f"{line.ratio:8.2f}  {line.aim}"
        )
    new = not HISTORY.exists()
    with HISTORY.open("a", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        if new:
            writer.writerow(("date", "what", "ms", "floor", "floor_ms", "ratio"))
        for line in lines:
            writer.writerow(
                (
                    datetime.date.today().isoformat(),
                    line.name,
                    f"{line.ms:.2f}",
                    line.floor,
                    f"{line.floor_ms:.2f}",
                    f"{line.ratio:.2f}",
                )
            )
    return 0


if __name__ == "__main__":
    sys.exit(main())
