"""A long day of random edits, undo, redo and checks: memory stays, and undo leads back."""

from __future__ import annotations

import gc
import random
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from framer.edits import history, places, things
from framer.errors import EditError
from framer.files.format import encode
from framer.files.reader import job_from, read_job
from framer.model.faults import faults
from framer.model.job import Job
from framer.model.place import OnPole
from framer.session import Session
from tests.long.counting import memory_mb, objects

CORNER = (
    Path(__file__).resolve().parent.parent.parent / "sample_jobs" / "corner" / "alder-lane.framer"
)
MOST_ITEMS = 60
"""A job with more is thinned out again, or the last edits would take longer than the first."""

Edit = Callable[[Job], Job]


@pytest.fixture(autouse=True, scope="module")
def what_other_tests_keep_is_not_counted() -> None:
    """Nor gone through each time."""
    gc.collect()
    gc.freeze()


class Worker:
    """Somebody who edits a job at random."""

    def __init__(self, session: Session, seed: int) -> None:
        self.session, self.dice = session, random.Random(seed)  # noqa: S311

    def edit(self) -> Edit:
        """An edit of anything; it may make no sense."""
        dice, job = self.dice, self.session.job
        stage = dice.choice(("found", "framed"))
        item = dice.choice(job.items).id
        thing = dice.choice(list(job.thing_by_id))
        inches = float(dice.randint(-100, 700))
        hold = dice.choice(("butt", "drop", "height"))
        choices: list[Edit] = [
            lambda one: places.set_along_pole(one, item, stage, hold, inches),
            lambda one: places.set_hold(one, item, stage, hold),
            lambda one: places.set_azimuth(one, item, stage, dice.choice((0.0, 45.0, 90.0, 270.0))),
            lambda one: places.set_along_arm(one, item, stage, inches / 12.0),
            lambda one: places.set_standing(one, "pole-new", stage, cut_in=abs(inches) / 10.0),
            lambda one: places.set_fate(one, thing, dice.choice(("stays", "remove", "undecided"))),
            lambda one: things.add_part(
                one,
                dice.choice(("spool-53-2", "arm-10ft-4pin")),
                OnPole(when="after", host="pole-new", at_in=abs(inches)),
            )[0],
        ]
        if thing not in ("pole-new", "pole-old"):
            choices.append(lambda one: things.delete(one, thing))
            if len(job.items) > MOST_ITEMS:
                return choices[-1]
        return dice.choice(choices)

    def act(self) -> None:
        """One edit, gesture, undo or redo."""
        what = self.dice.random()
        if what < 0.12:
            self.session.undo()
        elif what < 0.18:
            self.session.redo()
        else:
            try:
                edit = self.edit()
                if what < 0.4:
                    self.session.preview(edit)
                    self.session.keep_preview("edit")
                else:
                    self.session.do("edit", edit)
            except EditError:
                self.session.drop_preview()


def work(count: int, seed: int, *, check_every: int) -> tuple[list[float], list[int]]:
    """So many edits with checks, then all undone and redone; memory and things at each tenth."""
    start = read_job(CORNER)
    session = Session(start, CORNER)
    worker = Worker(session, seed)
    memory, alive = [], []
    for number in range(1, count + 1):
        worker.act()
        if number % check_every == 0:
            assert list(faults(session.job)) == []
            assert sum(session.findings("framed").counts.values()) > 0
        if number % (count // 10) == 0:
            data = encode(session.job)
            assert job_from(data, "corner.framer").job == session.job
            session.findings("framed")
            memory.append(memory_mb())
            alive.append(objects())
    last, undone = session.job, 0
    while session.undo_name:
        session.undo()
        undone += 1
    first = session.job
    # steps too old to be kept are let go, so only a history that kept all leads to the start
    if undone < history.MOST_STEPS:
        assert first is start
        assert encode(first) == encode(read_job(CORNER))
    for _ in range(undone):
        session.redo()
    assert session.job is last
    assert undone > min(count, history.MOST_STEPS) // 8
    return memory, alive


def is_flat(values: Sequence[float], allowed: float) -> bool:
    """Whether the later half is on average no more above the half before than allowed.

    The first tenths are left out: what is kept for later fills up then.
    """
    later = values[len(values) * 3 // 10 :]
    half = len(later) // 2
    before, after = later[:half], later[half:]
    return sum(after) / len(after) - sum(before) / len(before) <= allowed


def test_two_thousand_edits_lead_back_to_the_start(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(history, "MOST_STEPS", 10**9)
    work(2_000, 1, check_every=40)


def test_memory_stays_where_it_is_over_three_thousand_edits(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(history, "MOST_STEPS", 100)
    memory, alive = work(3_000, 2, check_every=60)
    assert is_flat(memory, 8.0), memory
    assert is_flat(alive, 0.05 * alive[-1]), alive


@pytest.mark.long
def test_a_hundred_thousand_edits_keep_memory_where_it_is() -> None:
    memory, alive = work(100_000, 3, check_every=50)
    assert is_flat(memory, 8.0), memory
    assert is_flat(alive, 0.05 * alive[-1]), alive


@pytest.mark.long
def test_a_hundred_thousand_edits_lead_back_to_the_start(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(history, "MOST_STEPS", 10**9)
    work(100_000, 4, check_every=500)
