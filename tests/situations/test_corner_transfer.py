"""The corner pole changed out step by step: it ends with nothing short, and a wrong order is told.

The numbers of the framing are worked out in test_samples.py. Here it is the order that counts.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.edits.steps import move_step
from framer.files.find import job_file
from framer.files.reader import read_job
from framer.model.job import Job
from framer.transfer.compare import step_words
from framer.transfer.order import order_findings
from framer.transfer.stages import Transfer, judged

JOBS = Path(__file__).resolve().parent.parent.parent / "sample_jobs"


@cache
def sample() -> Job:
    return read_job(job_file(JOBS / "corner-transfer"))


def transfer(job: Job) -> Transfer:
    return judged(job, tuple(rulebook(key) for key in job.books))


def step(title: str) -> tuple[str, int]:
    """Id and number of the one step whose title begins so."""
    ((number, found),) = [
        (number, one)
        for number, one in enumerate(sample().steps, start=1)
        if one.title.startswith(title)
    ]
    return found.id, number


def short(job: Job) -> list[tuple[int | str, str, str]]:
    """All that is short and was not so as found: stage, rule, and what it is about."""
    return [
        (stage.stage, finding.rule.id, finding.where)
        for stage in transfer(job).stages[1:]
        for finding in stage.of("short")
    ]


def test_the_whole_transfer_goes_through_with_nothing_short() -> None:
    job = sample()
    assert len(job.steps) >= 14
    assert short(job) == []


def test_every_kind_of_work_is_a_step_of_it() -> None:
    kinds = {one.kind for one in sample().steps}
    assert kinds >= {
        "cover", "temporary support", "spread", "support old pole", "set pole", "guy", "hang",
        "move wire", "bypass", "jumper", "neutral", "last wire", "top old pole", "uncover",
        "ready pole", "strip", "communications", "pull old pole",
    }  # fmt: skip
    assert "other" not in kinds


def test_its_end_is_the_mended_framing() -> None:
    """Line arm 37 ft 5 in up, buck arm 33 ft 5 in, 4 ft 6 in cut off the top."""
    job = sample()
    framed = {key: job.item_by_id[key].places[-1] for key in ("line-arm", "buck-arm", "pole-new")}
    assert framed["line-arm"].at_in == 37 * 12 + 5
    assert framed["buck-arm"].at_in == 33 * 12 + 5
    assert framed["pole-new"].cut_in == 4 * 12 + 6
    whole = transfer(job)
    last, end = whole.stages[-2], whole.stages[-1]
    parts = [{part.key: part.shape for part in one.scene.parts} for one in (last, end)]
    assert parts[0] == parts[1]


def test_what_is_short_as_found_goes_away_as_the_wires_move() -> None:
    """A, B and C are an inch short of Ridge 2 as found, A both ways."""
    counts = [len(stage.as_found) for stage in transfer(sample()).stages[1:]]
    assert counts[0] == 4
    assert counts == sorted(counts, reverse=True)
    assert counts[-1] == 0


def test_a_wire_set_down_before_its_arm_is_told_at_that_step() -> None:
    key, number = step("Set down B on the line arm")
    _, hang = step("Hang the line arm with its pins")
    assert hang < number
    found = short(move_step(sample(), key, hang))
    where = "B of Mill 3 to pole 6 is to be on Pin B, which is not there yet"
    assert (hang, "step.host north-b", where) in found
    assert {stage for stage, rule, _ in found if rule.startswith("step.")} == {hang}


def test_spreading_b_before_a_brings_them_too_near_each_other_at_that_step() -> None:
    """B goes to 56 in west and 459 in up; A is still on its pin, 54 in west and 463 in up."""
    key, _ = step("Spread B out on its lift")
    _, a = step("Spread A out on its lift")
    early = move_step(sample(), key, a)
    found = {(stage, rule) for stage, rule, _ in short(early)}
    assert (a, "between.between-phase-phase") in found
    assert {stage for stage, rule in found if rule.startswith("between.")} == {a}
    gaps = [finding.gap for finding in transfer(early).at(a).of("short") if finding.gap is not None]
    at_the_pole_in = math.hypot(56.0 - 54.0, 463.0 - 459.0) - 0.684  # Merlin is 0.684 in thick
    assert min(gaps) <= at_the_pole_in


def test_the_pole_set_before_b_is_out_of_its_way_touches_it() -> None:
    """The pole comes up 24 in west, some 4 in thick each way; B hangs 18 in west."""
    key, _ = step("Set the new pole")
    _, spread = step("Spread B out on its lift")
    early = move_step(sample(), step("Lay the new pole ready")[0], spread)
    early = move_step(early, key, spread + 1)
    found = short(early)
    assert (spread + 1, "between.between-phase-pole", "") in found


def test_the_old_pole_topped_before_it_is_stripped_is_told() -> None:
    key, _ = step("Top the old pole")
    _, strip = step("Strip the old pole")
    found = short(move_step(sample(), key, strip))
    told = {where for stage, rule, where in found if stage == strip and rule.startswith("step.cut")}
    assert "Old neutral spool is still above the cut of Old pole" in told
    assert "Old guy is still above the cut of Old pole" in told


def test_a_step_reads_as_what_is_done() -> None:
    _, number = step("Spread A out")
    assert step_words(sample(), number) == (
        "A of Mill 3 to pole 6: from Old pin A to Lift for A",
        "A of Mill 3 to pole 8: from Old pin A to Lift for A",
        "Hood of A: from Old pin A to Lift for A",
    )
    _, number = step("Top the old pole")
    assert step_words(sample(), number) == ("Old pole: 11 ft 4 in cut off its top, let go",)
    _, number = step("Hold the old pole")
    assert step_words(sample(), number) == ("Old pole: held from now on",)


def test_poles_set_and_jumpers_made_are_told_as_the_crew_says_it() -> None:
    _, number = step("Set the new pole")
    # 50 ft, 10 % and 2 ft
    assert step_words(sample(), number) == ("New pole: set in the ground, 7 ft deep",)
    _, number = step("Put on the bypasses")
    assert step_words(sample(), number)[0] == "jumper A from pole 8 to pole 7-W1: bypass on"
    _, number = step("Make the jumpers")
    assert (
        step_words(sample(), number)[0]
        == "jumper A from pole 8 to pole 7-W1: jumper made, bypass off"
    )


def test_what_is_put_on_an_arm_is_told_with_the_end_it_goes_to() -> None:
    _, number = step("Hang the buck arm")
    told = dict(line.split(": ", 1) for line in step_words(sample(), number))
    # A and B dead-end on the north end, C on the south end, both 4 ft 6 in out
    assert told["Dead-end A"] == "put on Buck arm, 4 ft 6 in north of its bolt"
    assert told["Dead-end C"] == "put on Buck arm, 4 ft 6 in south of its bolt"


def test_b_set_down_first_of_all_is_told_wherever_that_comes_back() -> None:
    """It skips its lift; later it goes back to it, and is on it when it is taken down.

    Its hood goes with it, so that it is told where the hood is to be put on and taken off too.
    """
    key, _ = step("Set down B on the line arm")
    early = move_step(sample(), key, 1)
    stages = judged(early, (), (order_findings,)).stages
    told = [one.stage for one in stages if one.of_step]
    assert told == [
        1,
        step("Cover the wires")[1] + 1,
        step("Spread B out")[1] + 1,
        step("Take down the lifts")[1],
        step("Uncover in reverse")[1],
        len(early.steps),
    ]


APPROACH = ("approach.", "us-1910-269.")
"""How ids of rules begin that are about workers and what is energised near them."""


def of_workers(job: Job, verdict: str) -> list[tuple[int | str, str]]:
    """What is said of the workers by this verdict: stage and rule."""
    return [
        (stage.stage, finding.rule.id)
        for stage in transfer(job).stages[1:]
        for finding in stage.of_step
        if finding.verdict == verdict and finding.rule.id.startswith(APPROACH)
    ]


def test_every_step_of_the_crew_has_its_workers_and_all_of_that_can_be_said() -> None:
    job = sample()
    assert all(one.workers for one in job.steps if one.by == "crew")
    assert of_workers(job, "cannot say") == []
    assert of_workers(job, "short") == []
    assert len(of_workers(job, "meets")) > len(job.steps)


@pytest.mark.parametrize("kind", ["hose-north-c", "hood-b", "hose-jumper-c-4"])
def test_a_piece_of_cover_left_out_is_told_at_the_steps_that_need_it(kind: str) -> None:
    job = sample()
    without = replace(
        job,
        items=tuple(one for one in job.items if one.id != kind),
        steps=tuple(one.without({kind}) for one in job.steps),
    )
    told = of_workers(without, "short")
    assert told
    assert all(rule.startswith("us-1910-269.") for _, rule in told)


def test_cover_of_a_class_too_low_is_told_where_it_is_laid_and_where_it_is_near() -> None:
    job = sample()
    low = replace(
        job,
        items=tuple(
            replace(one, part="line-hose-6ft-class-2") if one.id == "hose-south-a" else one
            for one in job.items
        ),
    )
    _, cover = step("Cover the wires")
    told = of_workers(low, "short")
    assert (cover, "approach.cover") in told
    assert any(stage > cover and rule.startswith("us-") for stage, rule in told)


@pytest.mark.parametrize("gone", ["voltage", "hold", "gloves", "height above sea level", "place"])
def test_a_fact_that_is_gone_turns_its_steps_to_cannot_say(gone: str) -> None:
    job = sample()
    if gone == "voltage":
        circuits = tuple(replace(one, kv=None) if one.id == "main" else one for one in job.circuits)
        job = replace(job, circuits=circuits)
    elif gone == "hold":
        job = replace(job, holds=job.holds[1:])
    elif gone == "height above sea level":
        job = replace(job, settings=replace(job.settings, altitude_m=None))
    else:
        field = {"gloves": {"gloves": ""}, "place": {"height_in": None}}[gone]
        job = replace(
            job,
            steps=tuple(
                replace(one, workers=tuple(replace(who, **field) for who in one.workers))
                for one in job.steps
            ),
        )
    assert of_workers(job, "cannot say")
