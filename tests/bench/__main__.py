"""Benchmarks: each is measured against a floor in the same run, so machines can be compared.

`python3 tests bench` prints the table and adds a line for each to history.csv.
"""

from __future__ import annotations

import csv
import datetime
import itertools
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Collection
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

    from framer.answers.bands import all_bands, bands
    from framer.checks.bookshelf import book_ids, rulebook
    from framer.checks.engine import check
    from framer.checks.levels import hand_over
    from framer.checks.room import climb
    from framer.checks.rulebook import Rulebook
    from framer.checks.working import work
    from framer.edits.places import set_along_pole, set_azimuth
    from framer.geometry.distance import closest
    from framer.geometry.placing import place
    from tests.bench.jobs import full_pole

    job = full_pole()
    books = tuple(rulebook(key) for key in job.books)
    parts, rules = len(place(job, "framed").parts), sum(len(book.rules) for book in books)
    heights = iter(range(1, 100_000))
    as_framed = place(job, "framed")

    def dragging(judges: tuple[Rulebook, ...]) -> Callable[[], None]:
        """One step of a drag as the session takes it: what stays put is taken over."""
        last = [check(place(job, "framed"), judges, moving=True)]

        def step() -> None:
            lower = 640.0 - (next(heights) % 90)
            moved = set_along_pole(job, "one-line", "framed", "height", lower)
            (before,) = last
            scene = place(moved, "framed", before.gaps.scene if before.gaps else None)
            last[0] = check(scene, judges, moving=True, since=before)

        return step

    every = tuple(rulebook(key) for key in book_ids())
    many = sum(len(book.rules) for book in every)

    framed = iter([place(job, "framed") for _ in range(50)])
    climbed = iter([scene for scene in (place(job, "framed") for _ in range(50))
                    if climb(scene, (rulebook("nesc-2017"),))])  # fmt: skip

    def one_moved() -> float:
        """Room to climb of each scene of a row, a riser a degree farther round in each."""
        turned = [set_azimuth(job, "riser-1", "framed", 180.0 + n) for n in range(42)]
        pairs = itertools.pairwise([place(moved, "framed") for moved in turned])

        def step() -> None:
            before, scene = next(pairs)
            hand_over(before, scene)
            climb(scene, (rulebook("nesc-2017"),))

        return middle_ms(step)

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
        Line("one drag step on it", middle_ms(dragging(books)), named, floor, "<= 4 ms"),
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
        Line("one moved thing, room to climb", one_moved(), named, floor, "<= 4 ms"),
        Line(
            "room to work, columns known",
            middle_ms(lambda: work(next(climbed), (rulebook("nesc-2017"),))),
            named,
            floor,
            "",
        ),
        Line(
            f"the same without room to climb, {many} rules",
            middle_ms(lambda: check(place(job, "framed"), every, moving=True)),
            named,
            floor,
            "<= 10 ms",
        ),
        Line("one drag step on that", middle_ms(dragging(every)), named, floor, "<= 4 ms"),
        Line(
            "room along the pole, one item",
            middle_ms(lambda: bands(job, books, "one-line", since=as_framed)),
            named,
            floor,
            "<= 8 ms",
        ),
        Line(
            "room along the pole, every item",
            middle_ms(lambda: all_bands(job, books), 5),
            named,
            floor,
            "<= 200 ms",
        ),
    ]


def strengths() -> list[Line]:
    """The whole mechanical check of a stage: pole, guys, arms, insulators of a full pole.

    Every run has a scene of its own, for what is worked out of one is kept with it.
    """
    import numpy as np
    from msgspec.structs import replace

    from framer.geometry.placing import place
    from framer.strength.findings import strength_findings
    from tests.bench.jobs import loaded_pole

    job = loaded_pole()
    windy = replace(job, settings=replace(job.settings, extreme_wind_mph=90.0))
    scene = place(job, "framed")
    found = list(strength_findings(scene))
    if not any(one.rule.id.startswith("strength.pole.") and one.gap is not None for one in found):
        raise RuntimeError("the pole of the benchmark is not reckoned to the end")
    matrices = np.random.default_rng(1).normal(size=(400, 12, 12))
    floor = middle_ms(lambda: np.linalg.solve(matrices, matrices[:, 0, :, None]))
    return [
        Line(
            f"{words}, {len(scene.parts)} parts",
            middle_ms(lambda made=made: list(strength_findings(place(made, "framed")))),
            "numpy, 400 systems of 12 equations",
            floor,
            "<= 20 ms",
        )
        for words, made in (
            ("whole mechanical check", job),
            ("the same under two loadings", windy),
        )
    ]


def start_ms(arguments: list[str], times: int = 9, ends: Collection[int] = (0,)) -> float:
    """Wall time of a whole process; as in an installed program, compiled modules are kept."""
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
    surroundings.pop("PYTHONDONTWRITEBYTECODE", None)

    def run() -> None:
        done = subprocess.run(
            arguments, cwd=ROOT, env=surroundings, check=False, capture_output=True
        )
        if done.returncode not in ends:
            raise RuntimeError(done.stderr.decode())

    return middle_ms(run, times)


def transfers() -> list[Line]:
    """Every stage of a transfer of twenty steps, nothing known from before."""
    import numpy as np

    from framer.checks.bookshelf import rulebook
    from framer.checks.plan import plan
    from framer.geometry.distance import closest
    from framer.geometry.placing import place
    from framer.transfer.stages import judged
    from tests.bench.jobs import full_transfer

    job = full_transfer()
    books = tuple(rulebook(key) for key in job.books)
    parts = len(place(job, "found").parts)
    points = np.random.default_rng(1).normal(size=(4, parts * (parts - 1) // 2, 3))

    def whole() -> None:
        plan.cache_clear()
        judged(job, books)

    name = f"{len(job.steps)} stages, {parts} parts, and found, framed"
    floor = middle_ms(lambda: closest(*points))
    named = f"numpy, {points.shape[1]} segment pairs"
    return [Line(name, middle_ms(whole, 9), named, floor, "<= 300 ms")]


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


# a process counts what it was forked from as its own: one that is small starts the one measured
_PEAK = """
import os, subprocess, sys
process = subprocess.Popen(sys.argv[1:])
_, status, used = os.wait4(process.pid, 0)
print(used.ru_maxrss)
sys.exit(os.waitstatus_to_exitcode(status))
"""


def peak_mb(arguments: list[str]) -> float:
    """The most memory a process had at any moment."""
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-S", "-c", _PEAK, *arguments],
        cwd=ROOT,
        env=surroundings,
        check=True,
        stdout=subprocess.PIPE,
        text=True,
    )
    return float(done.stdout.split()[-1]) / 1024


def commands() -> list[Line]:
    """A job from the command line, two sizes of a batch, and memory of the open window."""
    from tests.bench.jobs import write_many

    python = [sys.executable, "-P"]
    corner = "sample_jobs/corner"
    checked = [*python, "-m", "framer", "check", corner]
    numpy = start_ms([*python, "-c", "import argparse, numpy"])
    lines = [
        Line("framer check of one job", start_ms(checked, ends=(1,)), "numpy", numpy, "<= 400 ms")
    ]
    with tempfile.TemporaryDirectory() as folder:
        taken = {}
        for count in (200, 800):
            jobs = Path(folder) / str(count)
            jobs.mkdir()
            write_many(jobs, count)
            batch = [*python, "-m", "framer", "check", "--batch", str(jobs)]
            taken[count] = start_ms(batch, 1, ends=(1,)) / count
    more, few = taken[800], taken[200]
    lines += [
        Line("a job of 800 in a batch", more, "a job of 200", few, "<= 1.1, <= 6.7 ms"),
        Line(
            "MB of memory, job open",
            peak_mb([*python, str(HERE / "our_window.py"), "open"]),
            "MB of a bare PySide6 window",
            peak_mb([*python, str(HERE / "bare_window.py")]),
            "<= 80 MB more",
        ),
    ]
    return lines


def middle_and_worst(script: str, how: str) -> list[float]:
    """What a script with a window prints: the middle of its times, then one of the longest."""
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
    run = [sys.executable, "-P", str(HERE / script), how]
    done = subprocess.run(
        run, cwd=ROOT, env=surroundings, check=True, capture_output=True, text=True
    )
    return [float(word) for word in done.stdout.split()]


def slides() -> list[Line]:
    """Moving the slider of the stages once all are judged, against no rulebook at all."""
    live, bare = (middle_and_worst("stages_window.py", how) for how in ("checks", "none"))
    named = "the same, no rulebook"
    return [
        Line("a move of the stage slider, median", live[0], named, bare[0], "<= 33 ms"),
        Line("the slowest of twenty such", live[1], named, bare[1], ""),
    ]


def fits() -> list[Line]:
    """Laying the sheet out anew in a window of another size, against one of the same size."""
    fit, worst, same = middle_and_worst("fit_window.py", "")
    named = "the same in a window of that size"
    return [
        Line("the sheet fitted to a window, median", fit, named, same, "<= 50 ms"),
        Line("the slowest of thirty such", worst, named, same, ""),
    ]


def drags() -> list[Line]:
    """Dragging an arm with all views shown and findings live, against no rulebook at all."""
    live, bare = (middle_and_worst("drag_window.py", how) for how in ("checks", "none"))
    named = "the same, no rulebook"
    return [
        Line("a frame of a drag, all views, median", live[0], named, bare[0], "<= 16 ms"),
        Line("the slowest of a hundred such", live[1], named, bare[1], "<= 33 ms"),
    ]


def drawings() -> list[Line]:
    """The corner job's sketch as DXF against the same entities by bare ezdxf."""
    from framer.session import Session
    from framer.sheets.dxf import dxf_bytes
    from framer.sheets.pdf import pdf_bytes
    from tests.bench.bare_dxf import bare_dxf_bytes

    sheet = Session.open(ROOT / "sample_jobs/corner/alder-lane.framer").sheet()
    ours = middle_ms(lambda: dxf_bytes(sheet), 15)
    bare = middle_ms(lambda: bare_dxf_bytes(sheet), 15)

    def whole_set() -> bytes:
        fresh = Session.open(ROOT / "sample_jobs/corner/alder-lane.framer")
        return pdf_bytes(fresh.sheet_set())

    return [
        Line("DXF of the corner sketch", ours, "bare ezdxf", bare, "<= 1.5"),
        Line("sheet set of the corner as PDF", middle_ms(whole_set, 5), "bare ezdxf, one sketch",
             bare, "<= 3000 ms"),
    ]  # fmt: skip


def lists() -> list[Line]:
    """A thousand jobs as one pick list, by the command, against reading them one by one."""
    import tempfile

    from msgspec.structs import replace

    from framer.files.reader import read_job
    from framer.files.writer import write_job
    from framer.model.place import OnPole

    corner = read_job(ROOT / "sample_jobs/corner/alder-lane.framer")
    with tempfile.TemporaryDirectory() as folder:
        paths = [Path(folder) / f"job-{number:04}.framer" for number in range(1_000)]
        for number, path in enumerate(paths):
            # each with its fittings at heights of its own, so that nothing is worked out once
            items = tuple(
                replace(
                    item,
                    places=tuple(
                        replace(one, at_in=one.at_in - 0.01 * number)
                        if isinstance(one, OnPole) and one.at_in is not None and one.at_in > 100.0
                        else one
                        for one in item.places
                    ),
                )
                for item in corner.items
            )
            write_job(replace(corner, items=items), path)
        start = time.perf_counter()
        for path in paths:
            read_job(path)
        floor = 1_000 * (time.perf_counter() - start)
        start = time.perf_counter()
        subprocess.run(
            [sys.executable, "-m", "framer", "pick", folder, "-o", f"{folder}/pick.xlsx"],
            cwd=ROOT, check=True, capture_output=True,
        )  # fmt: skip
        ours = 1_000 * (time.perf_counter() - start)
    return [Line("1,000 jobs as one pick list", ours, "reading them", floor, "<= 10 s, two cores")]


def main() -> int:
    """Measure everything, print it, keep it."""
    lines = [
        *checks(),
        *strengths(),
        *transfers(),
        *slides(),
        *drags(),
        *fits(),
        *starts(),
        *commands(),
        *drawings(),
        *lists(),
    ]
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
