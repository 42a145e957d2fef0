"""Many jobs checked in one go, on all cores, with a line for each that is not clean."""

from __future__ import annotations

import gc
import os
import signal
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from functools import partial
from pathlib import Path
from typing import TypeVar

from msgspec import Struct

from framer.errors import FramerError
from framer.files.find import SUFFIX

AT_ONCE = 16
"""Jobs handed to a process at a time: few enough that the bar moves, many enough to be quick."""

FEW = 24
"""So many jobs are done sooner by one process than others are started."""

_BAR = 30

_T = TypeVar("_T")


class Row(Struct, frozen=True):
    """What came of one job.

    Attributes:
        path: its file.
        counts: how many findings there are of each verdict.
        problem: why it could not be judged, empty when it was.
    """

    path: Path
    counts: dict[str, int]
    problem: str = ""

    @property
    def is_open(self) -> bool:
        """Whether anything is short or cannot be said."""
        return bool(self.counts.get("short") or self.counts.get("cannot say"))


def job_files(places: Sequence[Path]) -> tuple[Path, ...]:
    """All job files that are named, and all in the folders that are, each once, in order.

    Raises:
        FramerError: one of them is not there, or there is no job file at all.
    """
    found: dict[Path, None] = {}
    for place in places:
        if not place.exists():
            raise FramerError(f"{place}: there is no such file or folder")
        inside = sorted(place.rglob(f"*{SUFFIX}")) if place.is_dir() else [place]
        found.update(dict.fromkeys(path for path in inside if not path.is_dir()))
    if not found:
        raise FramerError(f"no {SUFFIX} file in {', '.join(str(place) for place in places)}")
    return tuple(found)


def judge(path: Path, stage: str) -> Row:
    """A job opened and judged; what is wrong with it is said in the row."""
    from framer.app.paper import stage_from
    from framer.session import Session

    try:
        session = Session.open(path)
        counts = session.findings(stage_from(stage, session.job)).counts
    except FramerError as problem:
        return Row(path, {}, str(problem))
    except Exception as fault:  # one job that trips the program keeps no other from being judged
        return Row(path, {}, f"a fault of the program, not of this job: {fault!r}")
    return Row(path, {str(verdict): count for verdict, count in counts.items()})


def judged(paths: Sequence[Path], stage: str, processes: int) -> Iterator[Row]:
    """All jobs judged, in their order.

    Raises:
        FramerError: the system ended one of the processes.
    """
    yield from each(partial(judge, stage=stage), paths, processes)


def each(one: Callable[[Path], _T], paths: Sequence[Path], processes: int) -> Iterator[_T]:
    """What comes of each path, in their order, worked out by so many processes.

    Raises:
        FramerError: the system ended one of the processes.
    """
    if processes < 2 or len(paths) <= FEW:
        yield from map(one, paths)
        return
    with ProcessPoolExecutor(processes, initializer=_settle) as pool:
        try:
            yield from pool.map(one, paths, chunksize=AT_ONCE)
        except BrokenProcessPool as error:
            raise FramerError(
                "the system ended a process half way, most likely for want of memory; try again "
                "with --processes 1"
            ) from error
        finally:
            # what is begun is waited for: a pool left to itself complains when the program ends
            pool.shutdown(wait=True, cancel_futures=True)


def check_all(places: Sequence[Path], stage: str, *, everything: bool, processes: int) -> int:
    """Check all jobs and print what came of each; gives the exit status.

    Args:
        places: job files, and folders with job files at any depth.
        stage: the stage to judge, as a person names it.
        everything: print the clean ones too.
        processes: how many to use; 0 for one on each core.

    Raises:
        FramerError: there is nothing to check, or the checking was cut short.
    """
    paths = job_files(places)
    bar = Bar(len(paths))
    with_open = refused = 0
    for row in judged(paths, stage, processes or cores()):
        with_open += row.is_open
        refused += bool(row.problem)
        if row.problem or row.is_open or everything:
            bar.clear()
            print(_words(row))
        bar.step()
    bar.clear()
    judged_count = len(paths) - refused
    print(
        f"{len(paths):,} jobs: {with_open:,} with something short or unsaid, "
        f"{judged_count - with_open:,} without, {refused:,} not judged"
    )
    return 2 if refused else 1 if with_open else 0


def _words(row: Row) -> str:
    from framer.app.paper import MARKS

    if row.problem:
        return f"?? {row.path}: not judged: {row.problem}"
    worst = next((verdict for verdict, count in row.counts.items() if count), "meets")
    said = ", ".join(f"{count} {verdict}" for verdict, count in row.counts.items())
    return f"{MARKS[worst]} {row.path}: {said}"


def _settle() -> None:
    """In each process: Ctrl-C is the first one's affair; what is read in stays as it is."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    from framer.app import paper  # noqa: F401 - read in before the first job

    gc.collect()
    gc.freeze()


def cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class Bar:
    """How far it is, on a terminal only, in one line that is written over."""

    def __init__(self, total: int) -> None:
        self._total, self._done = total, 0
        self._begun = self._last = time.monotonic()
        self._shown = sys.stderr.isatty()

    def step(self) -> None:
        """One more is done."""
        self._done += 1
        now = time.monotonic()
        if not self._shown or now - self._last < 0.1:
            return
        self._last = now
        full = _BAR * self._done // self._total
        rate = self._done / max(now - self._begun, 1e-6)
        left = (self._total - self._done) / rate
        sys.stderr.write(
            f"\r[{'#' * full}{' ' * (_BAR - full)}] {self._done:,} of {self._total:,}, "
            f"{rate:.0f} a second, {left:.0f} s left\x1b[K"
        )
        sys.stderr.flush()

    def clear(self) -> None:
        """Take the line away."""
        if self._shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
