"""Sample jobs damaged at random, opened and judged like any other: no crash, no hang, no change."""

from __future__ import annotations

import faulthandler
import random
from pathlib import Path

import pytest

from framer.checks.explain import one_line
from framer.errors import FramerError, JobFileError
from framer.session import Session
from framer.sheets.dxf import dxf_bytes
from tests.faults.damage import DAMAGES

SAMPLES = Path(__file__).resolve().parent.parent.parent / "sample_jobs"
JOBS = sorted(SAMPLES.glob("*/*.framer"))

HANGS_S = 60
"""A file that takes longer ends the whole run with a picture of where it hangs."""


def opened(path: Path) -> Session | None:
    """The session of a file, `None` when it is refused in a sentence."""
    try:
        return Session.open(path)
    except JobFileError as error:
        refusal = str(error)
    assert refusal.startswith(f"{path.name}: ")
    assert len(refusal) < 20_000
    return None


def let_loose(folder: Path, count: int, seed: int, *, drawn_every: int) -> dict[str, int]:
    """Damage, open and judge so many files; how many were refused, judged and drawn."""
    dice = random.Random(seed)  # noqa: S311 - the same damage in every run
    texts = [path.read_bytes() for path in JOBS]
    path = folder / "damaged.framer"
    came = {"refused": 0, "judged": 0, "drawn": 0}
    for _ in range(count):
        data = dice.choice(DAMAGES)(dice.choice(texts), dice)
        path.write_bytes(data)
        faulthandler.dump_traceback_later(HANGS_S, exit=True)
        try:
            session = opened(path)
            if session is not None:
                came["judged"] += 1
                said = [one_line(session.job, one) for one in session.findings("framed")]
                assert said, "a job of which nothing at all is said"
                if came["judged"] % drawn_every == 0 and drawn(session):
                    came["drawn"] += 1
            else:
                came["refused"] += 1
        except Exception:
            (folder / "culprit.framer").write_bytes(data)
            raise
        finally:
            faulthandler.cancel_dump_traceback_later()
        assert list(folder.iterdir()) == [path]
        assert path.read_bytes() == data
    return came


def drawn(session: Session) -> bool:
    """Whether the job could be drawn; what has no room on paper says so."""
    try:
        sheet = session.sheet()
    except FramerError:
        return False
    assert dxf_bytes(sheet).rstrip().endswith(b"EOF")
    return True


def test_damaged_sample_jobs_are_refused_or_judged_and_never_changed(tmp_path: Path) -> None:
    came = let_loose(tmp_path, 1_000, 20260502, drawn_every=20)
    assert min(came.values()) > 0


@pytest.mark.long
@pytest.mark.parametrize("seed", range(10))
def test_a_hundred_thousand_of_them(tmp_path: Path, seed: int) -> None:
    came = let_loose(tmp_path, 10_000, seed, drawn_every=50)
    assert min(came.values()) > 0
