"""The sweep leaves out heights at which nothing can be short, and no other."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from framer.answers import bands as bands_of
from framer.answers.bands import bands, movable
from framer.answers.sweep import Units
from framer.session import Session

JOBS = Path(__file__).resolve().parent.parent.parent.parent / "sample_jobs"
NEAR_IN = 0.05


def everywhere(units: Units) -> tuple[object, object]:
    """All heights, as if nothing were known of where a unit can be short."""
    low, high = units.track.up
    return np.full(len(units.count), low), np.full(len(units.count), high)


@pytest.mark.parametrize("name", ["corner/alder-lane", "tangent/fenwick-road"])
def test_looking_everywhere_finds_the_same_room(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session.open(JOBS / f"{name}.framer")
    job, books = session.job, session.books()
    keys = [item.id for item in job.items if movable(job, item.id)]
    found = {key: bands(job, books, key) for key in keys}
    monkeypatch.setattr(Units, "windows", everywhere)
    monkeypatch.setattr(bands_of, "met_aside", lambda _planned, _track, rows: rows)
    for key, room in found.items():
        ends = [(one.low_in, one.high_in) for one in bands(job, books, key).bands]
        assert ends == [pytest.approx((one.low_in, one.high_in), abs=NEAR_IN) for one in room.bands]
    assert any(room.bands for room in found.values())
