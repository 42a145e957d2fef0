"""The job brief: what it says, what stays blank, and what keeps it from being ready."""

from __future__ import annotations

from functools import cache

import pytest
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.drawing.brief import SHORT_RULE, brief_sheets
from framer.drawing.picture import Text
from framer.files.find import job_file
from framer.files.reader import read_job
from framer.model.job import Job
from framer.model.step import Hold
from framer.transfer.brief import (
    NOT_COMPLETE,
    STOP_WORK,
    Brief,
    brief,
    numbers_words,
    steps_words,
)
from framer.transfer.stages import Transfer, judged
from framer.transfer.words import worker_words
from framer.units.figures import pounds_up
from tests.outputs.samples import JOBS


@cache
def job() -> Job:
    return read_job(job_file(JOBS / "corner-transfer"))


def told(made: Job) -> tuple[Transfer, Brief]:
    books = tuple(rulebook(key) for key in made.books)
    transfer = judged(made, books)
    return transfer, brief(transfer, books)


@cache
def sample() -> tuple[Transfer, Brief]:
    return told(job())


def words(made: Job) -> str:
    books = tuple(rulebook(key) for key in made.books)
    sheets = brief_sheets(judged(made, books), books)
    return " ".join(
        one.text for sheet in sheets for one in sheet.picture.primitives if isinstance(one, Text)
    )


def lines(some: tuple[object, ...]) -> str:
    return "\n".join(str(getattr(one, "words", "")) for one in some)


def test_every_circuit_is_named_with_its_voltage() -> None:
    _, made = sample()
    for circuit in job().circuits:
        line = next(one.words for one in made.hazards if one.words.startswith(circuit.name))
        if circuit.kind == "supply" and circuit.kv is not None:
            assert f"{circuit.kv:g}" in line
            assert "kV" in line


def test_the_procedure_is_the_steps_in_their_order_each_with_its_worst() -> None:
    transfer, made = sample()
    heads = [one for one in made.procedure if not one.under]
    assert len(heads) == len(job().steps)
    for number, (head, step) in enumerate(zip(heads, job().steps, strict=True), start=1):
        assert head.words.startswith(f"{number}. {step.title}")
        assert head.verdict == transfer.at(number).verdict
        assert head.words.endswith(transfer.at(number).verdict)


def test_each_precaution_is_told_once_with_the_steps_it_is_for() -> None:
    _, made = sample()
    cautions = [one.words for one in made.precautions if not one.under]
    assert len(cautions) == len(set(cautions)) > 5
    first = next(n for n, one in enumerate(made.precautions) if "Cover before" in one.words)
    number = next(n for n, step in enumerate(job().steps, start=1) if step.kind == "cover")
    assert f"step {number}" in made.precautions[first + 1].words.replace("steps", "step")


def test_a_hold_that_nobody_asked_for_is_blank_and_keeps_the_brief_open() -> None:
    bare = replace(job(), holds=())
    _, made = told(bare)
    assert any("arranged ____, device ____" in one.words for one in made.energy)
    circuit = next(one for one in job().circuits if one.kind == "supply")
    assert any(
        one.words.startswith(circuit.name) and one.verdict == "cannot say" for one in made.missing
    )


def test_a_fuse_is_no_hold() -> None:
    first = next(one for one in job().circuits if one.kind == "supply")
    fused = replace(job(), holds=(Hold(first.id, "fuse only", device="fuse"),))
    _, made = told(fused)
    assert any("a fuse is not a hold" in one.words for one in made.missing)


@pytest.mark.parametrize("drop", ["voltage", "holds", "workers", "weights", "steps"])
def test_dropping_a_needed_fact_is_listed_and_printed_as_not_complete(drop: str) -> None:
    made = job()
    if drop == "voltage":
        circuits = (replace(made.circuits[0], kv=None, kv_to_ground=None), *made.circuits[1:])
        made = replace(made, circuits=circuits)
        wanted = f"voltage of {made.circuits[0].name} not known"
    elif drop == "holds":
        made, wanted = replace(made, holds=()), "no hold, cover or release is said"
    elif drop == "workers":
        steps = tuple(replace(step, workers=()) for step in made.steps)
        made, wanted = replace(made, steps=steps), "no worker is placed in step"
    elif drop == "weights":
        items = tuple(
            replace(item, part=None) if item.kind == "arm" else item for item in made.items
        )
        made, wanted = replace(made, items=items), "weight of"
    else:
        made, wanted = replace(made, steps=()), "the job has no steps"
    _, said = told(made)
    assert wanted in lines(said.missing)
    paper = words(made)
    assert NOT_COMPLETE in paper
    assert " is complete" not in paper


def test_nothing_on_the_brief_says_that_it_is_done() -> None:
    paper = words(job()).lower()
    for word in ("safe", "approved", "compliant", "is complete"):
        assert word not in paper.split() if " " not in word else word not in paper


def test_the_stop_work_box_and_the_blanks_of_the_day_are_printed() -> None:
    paper = words(job())
    assert STOP_WORK[0] in paper
    for blank in ("Weather, wind", "Rescue plan", "Nearest hospital", "Stands by"):
        assert f"{blank}" in paper
    assert "name and signature" in paper
    assert paper.count(f"{SHORT_RULE} {SHORT_RULE}") == 6


def test_weights_are_blank_where_nobody_knows_them() -> None:
    _, made = sample()
    for one in made.weights:
        assert ("____ lb" in one.words) == (one.verdict == "cannot say")
        assert "lifted by ____" in one.words
    assert any("New pole" in one.words for one in made.weights)


@pytest.mark.parametrize(
    ("numbers", "said"),
    [([], ""), ([3], "3"), ([1, 2, 3], "1 to 3"), ([1, 3, 4, 6], "1, 3 to 4, 6")],
)
def test_numbers_in_a_row_are_told_as_from_and_to(numbers: list[int], said: str) -> None:
    assert numbers_words(numbers) == said


def test_weights_are_rounded_up_from_those_the_stage_sheets_judge() -> None:
    transfer, made = sample()
    told_here = lines(made.weights).split("\n")
    found = [
        (number, one.gap)
        for number, stage in enumerate(transfer.stages[1:-1], start=1)
        for one in stage.of_step
        if one.rule.id.startswith("step.lift.") and one.gap is not None
    ]
    assert len(found) == len(told_here) == 9
    for (number, weight_lb), line in zip(found, told_here, strict=True):
        assert line.startswith(f"step {number}: ")
        assert f": {pounds_up(weight_lb)} lb" in line
    # 1,682.2 lb of the new pole, 90.4 of an arm with what is on it
    assert any(": 1,683 lb (least girths" in line for line in told_here)
    assert any(": 90.4 lb, alone " in line for line in told_here)


def test_one_step_and_several_are_told_in_their_number() -> None:
    assert steps_words([3]) == "step 3"
    assert steps_words([1, 3, 4, 5]) == "steps 1, 3 to 5"


def test_what_cannot_be_said_stands_with_its_stages_on_one_line() -> None:
    _, made = sample()
    assert not any(one.under for one in made.missing)
    assert any(one.words.endswith("; after steps 33 to 35 and as framed") for one in made.missing)


def test_a_worker_is_told_with_his_gloves_once_and_what_he_handles() -> None:
    transfer, _ = sample()
    stage = transfer.stages[1]
    assert stage.step is not None
    (said,) = worker_words(stage.scene, stage.step)
    assert said.endswith("; rubber gloves class 3; handles grounded parts")
    (worker,) = stage.step.workers
    stick = replace(worker, method="hot stick", gloves="", at="")
    (said,) = worker_words(stage.scene, replace(stage.step, workers=(stick,)))
    assert said.endswith("; hot stick, rubber gloves class ____; handles ____")
