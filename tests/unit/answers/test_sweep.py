"""The sweep leaves out heights at which nothing can be short, and no other."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from framer.answers.bands import all_bands, bands, movable
from framer.answers.sweep import Units
from framer.session import Session

JOBS = Path(__file__).resolve().parent.parent.parent.parent / "sample_jobs"
NEAR_IN = 0.05


def everywhere(units: Units) -> tuple[object, object]:
    """All heights, as if nothing were known of where a unit can be short."""
    return units.low.copy(), units.high.copy()


@pytest.mark.parametrize("name", ["corner/alder-lane", "tangent/fenwick-road"])
def test_looking_everywhere_finds_the_same_room(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session.open(JOBS / f"{name}.framer")
    job, books = session.job, session.books()
    keys = [item.id for item in job.items if movable(job, item.id)]
    found = {key: bands(job, books, key) for key in keys}
    monkeypatch.setattr(Units, "windows", everywhere)
    for key, room in found.items():
        ends = [(one.low_in, one.high_in) for one in bands(job, books, key).bands]
        assert ends == [pytest.approx((one.low_in, one.high_in), abs=NEAR_IN) for one in room.bands]
    assert any(room.bands for room in found.values())


def test_what_is_taken_for_a_line_or_a_bow_is_measured_as_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen: list[Units] = []
    windows = Units.windows

    def noted(units: Units) -> tuple[object, object]:
        seen.append(units)
        return windows(units)

    monkeypatch.setattr(Units, "windows", noted)
    for name in ("corner/alder-lane", "tangent/fenwick-road", "dead-end/quarry-lane"):
        session = Session.open(JOBS / f"{name}.framer")
        all_bands(session.job, session.books())
    bows = lines = 0
    for units in seen:
        turns, which = units.turns(), np.nonzero(units.convex)[0]
        # a line may break where two supports are level
        inside = (units.low < turns) & (turns < units.high)
        low = np.where(inside, turns, units.low)[which] + 1e-6
        places = low + (units.high[which] - low) * np.linspace(0.0, 1.0, 17)[:, None]
        spare, _ = units.judge(np.repeat(which, len(places)), places.T.ravel())
        bends = np.diff(spare.reshape(len(which), -1), n=2)
        known = np.isfinite(bends)
        assert (bends[known] >= -1e-6).all()
        straight = known & units.linear[which, None]
        assert (np.abs(bends[straight]) <= 1e-6).all()
        lines += int(straight.sum())
        bows += int((bends[known] > 1e-3).sum())
    assert lines
    assert bows


@pytest.mark.parametrize("name", ["corner/alder-lane", "tangent/fenwick-road"])
def test_rooms_looked_at_together_are_those_looked_at_alone(name: str) -> None:
    session = Session.open(JOBS / f"{name}.framer")
    job, books = session.job, session.books()
    together = all_bands(job, books)
    assert together
    for key, room in together.items():
        alone = bands(job, books, key)
        ends = [pytest.approx((one.low_in, one.high_in), abs=NEAR_IN) for one in alone.bands]
        assert [(one.low_in, one.high_in) for one in room.bands] == ends
        assert {bound.words for bound, _ in room.anyway} == {
            bound.words for bound, _ in alone.anyway
        }
        assert room.unsaid == alone.unsaid
