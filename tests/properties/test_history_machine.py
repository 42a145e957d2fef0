"""Random edits with undo and redo always give the jobs of a plain list of jobs."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Literal

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from framer.edits import places, things
from framer.edits.places import EditStage
from framer.errors import EditError
from framer.files.reader import read_job
from framer.model.faults import faults
from framer.model.job import Job
from framer.model.place import Hold, OnPole
from framer.session import Session

SAMPLES = Path(__file__).resolve().parent.parent.parent / "sample_jobs"
CORNER = read_job(SAMPLES / "corner" / "alder-lane.framer")
STAGES: st.SearchStrategy[EditStage] = st.sampled_from(["found", "framed"])
HOLDS: st.SearchStrategy[Hold] = st.sampled_from(["butt", "drop", "height"])
ITEMS = st.sampled_from([item.id for item in CORNER.items])
WIRES = st.sampled_from([wire.id for wire in CORNER.wires])
THINGS = st.sampled_from(list(CORNER.thing_by_id))
POLES = st.sampled_from(["pole-old", "pole-new"])
INCHES = st.integers(-100, 700).map(float)


class HistoryMachine(RuleBasedStateMachine):
    """A session beside a list of jobs and a place in it."""

    def __init__(self) -> None:
        super().__init__()
        self.session = Session(CORNER)
        self.jobs: list[Job] = [CORNER]
        self.at = 0

    def do(self, edit: Any) -> None:
        """An edit in both; one that is refused or changes nothing leaves both as they are."""
        before = self.session.job
        try:
            expected = edit(before)
        except EditError:
            expected = before
        try:
            self.session.do("edit", edit)
        except EditError:
            assert expected is before
        if expected != before:
            self.jobs = [*self.jobs[: self.at + 1], expected]
            self.at += 1

    @rule(key=ITEMS, stage=STAGES, hold=HOLDS, at_in=INCHES)
    def move_along_pole(self, key: str, stage: EditStage, hold: Hold, at_in: float) -> None:
        self.do(lambda job: places.set_along_pole(job, key, stage, hold, at_in))

    @rule(key=ITEMS, stage=STAGES, hold=HOLDS)
    def hold(self, key: str, stage: EditStage, hold: Hold) -> None:
        self.do(lambda job: places.set_hold(job, key, stage, hold))

    @rule(key=ITEMS, stage=STAGES, azimuth_deg=st.sampled_from([0.0, 45.0, 90.0, 180.0, 270.0]))
    def turn(self, key: str, stage: EditStage, azimuth_deg: float) -> None:
        self.do(lambda job: places.set_azimuth(job, key, stage, azimuth_deg))

    @rule(key=ITEMS, stage=STAGES, along_in=st.integers(-60, 60).map(float))
    def move_along_arm(self, key: str, stage: EditStage, along_in: float) -> None:
        self.do(lambda job: places.set_along_arm(job, key, stage, along_in))

    @rule(key=WIRES, stage=STAGES, support=ITEMS)
    def lay_wire(self, key: str, stage: EditStage, support: str) -> None:
        self.do(lambda job: places.set_support(job, key, stage, support))

    @rule(key=POLES, stage=STAGES, cut_in=INCHES, depth_in=st.none() | INCHES)
    def set_pole_in_ground(
        self, key: str, stage: EditStage, cut_in: float, depth_in: float | None
    ) -> None:
        changes = {"cut_in": cut_in, "depth_in": depth_in}
        self.do(lambda job: places.set_standing(job, key, stage, **changes))

    @rule(key=POLES, length_in=st.sampled_from([480.0, 540.0, 600.0, 660.0]))
    def take_another_pole(self, key: str, length_in: float) -> None:
        self.do(lambda job: places.set_pole(job, key, length_in=length_in))

    @rule(key=THINGS, fate=st.sampled_from(["stays", "remove", "by others", "undecided"]))
    def decide(self, key: str, fate: Literal["stays", "remove", "by others", "undecided"]) -> None:
        self.do(lambda job: places.set_fate(job, key, fate))

    @rule(key=THINGS)
    def transfer(self, key: str) -> None:
        self.do(lambda job: places.transfer(job, key, "pole-new"))

    @rule(part=st.sampled_from(["spool-53-2", "arm-10ft-4pin"]), at_in=INCHES)
    def add(self, part: str, at_in: float) -> None:
        where = OnPole(when="after", host="pole-new", at_in=abs(at_in))
        self.do(lambda job: things.add_part(job, part, where)[0])

    @rule(key=THINGS)
    def take_out(self, key: str) -> None:
        self.do(lambda job: things.delete(job, key))

    @rule(key=ITEMS, along_in=st.integers(-60, 60).map(float), kept=st.booleans())
    def drag(self, key: str, along_in: float, kept: bool) -> None:
        """A gesture is shown while it lasts and counts only if it is kept."""

        def edit(job: Job) -> Job:
            return places.set_along_arm(job, key, "framed", along_in)

        before = self.session.job
        try:
            self.session.preview(edit)
        except EditError:
            return
        assert self.session.job == edit(before)
        if not kept:
            self.session.drop_preview()
        else:
            self.session.keep_preview("edit")
            if edit(before) != before:
                self.jobs = [*self.jobs[: self.at + 1], edit(before)]
                self.at += 1

    @rule()
    def undo(self) -> None:
        self.session.undo()
        self.at = max(0, self.at - 1)

    @rule()
    def redo(self) -> None:
        self.session.redo()
        self.at = min(len(self.jobs) - 1, self.at + 1)

    @precondition(lambda self: self.at > 0)
    @rule()
    def undo_everything_and_redo_it(self) -> None:
        last = self.session.job
        for _ in range(self.at):
            self.session.undo()
        assert self.session.job is CORNER
        for _ in range(self.at):
            self.session.redo()
        assert self.session.job is last

    @invariant()
    def the_session_has_the_job_of_the_list(self) -> None:
        assert self.session.job == self.jobs[self.at]
        assert bool(self.session.undo_name) == (self.at > 0)
        assert bool(self.session.redo_name) == (self.at < len(self.jobs) - 1)
        assert self.session.is_changed == (self.session.job is not CORNER)

    @invariant()
    def no_edit_makes_a_job_unsound(self) -> None:
        assert list(faults(self.session.job)) == []


HistoryMachine.TestCase.settings = settings(deadline=None, max_examples=40, stateful_step_count=25)
TestHistory = HistoryMachine.TestCase
