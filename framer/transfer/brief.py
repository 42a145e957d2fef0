"""The job brief: the five subjects the crew talks over, filled in as far as the job says.

Hazards, work procedure, special precautions, energy sources and protective equipment are the
subjects of 29 CFR 1910.269(c). What is only known at the pole stays blank; what the job should say
and does not is `missing`, and while anything is, the brief says that it is not complete.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from msgspec import Struct

from framer.checks.explain import one_line
from framer.checks.finding import Finding, Verdict
from framer.checks.rulebook import Rulebook
from framer.geometry.space import compass
from framer.model.step import Hold
from framer.strength.weighing import Weighed
from framer.transfer.cautions import caution_beside, cautions_of
from framer.transfer.compare import step_words
from framer.transfer.cover import cover_counts, cover_needed
from framer.transfer.holds import hold_rows, volts_words
from framer.transfer.moment import Moment
from framer.transfer.rubber import rubber_tests
from framer.transfer.stages import StageJudged, Transfer
from framer.transfer.weights import lifts
from framer.transfer.words import BLANK
from framer.units.figures import pounds_up

TIGHTEST = 3
MOVES = 3
"""So many of what a step moves stand in the brief; its stage sheet has them all."""

NOT_COMPLETE = "NOT COMPLETE"

STOP_WORK = (
    "STOP AND TALK IF",
    "the hold is lost, changed or doubtful",
    "thunder is near, wind gusts, ice comes, sticks are wet or in fog",
    "what you see differs from the sheet, or a height is off by more than its tolerance",
    "a support's rating is not known or is exceeded",
    "the old pole moves, cracks, or shows decay that is not on the sheet",
    "whoever stands by cannot see or reach",
    "anyone is new, a step is added, a shortcut is proposed",
    "a jumper or wire is not under control",
)
"""Printed large in a box."""

LIVE_FACTS = (
    "Date and time", "Weather, wind", "Person in charge", "Stands by", "Rescue plan, gear",
    "Nearest hospital", "Address here, radio or telephone", "Traffic, public", "Ground, truck set",
    "Changes since the sheet",
)  # fmt: skip
"""What is only known at the pole."""

CREW_LINES = 6


class Line(Struct, frozen=True):
    """A line of the brief; `under` belongs to the line before."""

    words: str
    verdict: Verdict | None = None
    under: bool = False


class Brief(NamedTuple):
    """The brief: its subjects, and `missing`, what it should say and the job does not."""

    hazards: tuple[Line, ...]
    procedure: tuple[Line, ...]
    precautions: tuple[Line, ...]
    energy: tuple[Line, ...]
    protection: tuple[Line, ...]
    weights: tuple[Line, ...]
    missing: tuple[Line, ...]


def brief(transfer: Transfer, books: Sequence[Rulebook]) -> Brief:
    """The brief of a transfer."""
    steps = [
        Moment(transfer.job, number, before.scene, after.scene, tuple(books))
        for number, (before, after) in enumerate(
            zip(transfer.stages, transfer.stages[1:-1], strict=False), start=1
        )
    ]
    return Brief(
        tuple(_hazards(transfer)),
        tuple(_procedure(transfer)),
        tuple(_precautions(transfer)),
        tuple(_energy(transfer, steps)),
        tuple(_protection(steps)),
        tuple(_weights(steps)),
        tuple(_missing(transfer, steps)),
    )


def _hazards(transfer: Transfer) -> Iterator[Line]:
    job = transfer.job
    for circuit in job.circuits:
        owner = f", {circuit.owner}" if circuit.owner else ""
        if circuit.kind == "supply":
            unknown: Verdict | None = "cannot say" if circuit.kv is None else None
            yield Line(f"{circuit.name}: {volts_words(circuit)}{owner}", unknown)
        else:
            yield Line(f"{circuit.name}: communications{owner}")
    for stage, one in transfer.tightest(TIGHTEST):
        yield Line(f"{one.verdict}: {one_line(job, one)}", one.verdict)
        yield Line(stage.name, under=True)
    known = {one.key for _, one in transfer.tightest(TIGHTEST)}
    for key, (one, at) in _by_key(transfer, "short").items():
        if key not in known:
            yield Line(f"short: {one_line(job, one)}; {_at_words(at)}", "short")


def _by_key(transfer: Transfer, verdict: Verdict) -> dict[str, tuple[Finding, list[StageJudged]]]:
    """What is said with a verdict, each once, with the stages it is said of."""
    found: dict[str, tuple[Finding, list[StageJudged]]] = {}
    for stage in transfer.stages[1:]:
        for one in stage.of(verdict):
            found.setdefault(one.key, (one, []))[1].append(stage)
    return found


def _at_words(stages: Sequence[StageJudged]) -> str:
    """At which stages, in a few words."""
    steps = [stage.stage for stage in stages if isinstance(stage.stage, int)]
    words = [f"after {steps_words(steps)}"] if steps else []
    if any(stage.stage == "framed" for stage in stages):
        words.append("as framed")
    return " and ".join(words)


def steps_words(numbers: Iterable[int]) -> str:
    """Steps in words, such as "step 3" or "steps 1, 3 to 7"."""
    rising = list(numbers)
    return f"step{'s' if len(rising) > 1 else ''} {numbers_words(rising)}"


def numbers_words(numbers: Iterable[int]) -> str:
    """Rising numbers in words, such as "1, 3 to 7, 9"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}" if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs)


def _procedure(transfer: Transfer) -> Iterator[Line]:
    for stage in transfer.stages:
        step = stage.step
        if step is None:
            continue
        by = {"crew": "", "others": " (by others)", "later": " (later)"}[step.by]
        leaves = "; the crew leaves" if step.crew_leaves else ""
        yield Line(f"{stage.stage}. {step.title}{by}{leaves}: {stage.verdict}", stage.verdict)
        if isinstance(stage.stage, int):
            moves = step_words(transfer.job, stage.stage)
            # the line that says how many more takes as much paper as one more
            many = len(moves) if len(moves) <= MOVES + 1 else MOVES
            yield from (Line(words, under=True) for words in moves[:many])
            if len(moves) > many:
                yield Line(f"... and {len(moves) - many} more: see the stage sheet", under=True)


def _precautions(transfer: Transfer) -> Iterator[Line]:
    """Each caution once, with the steps it is for and the numbers that caused it, worst first."""
    steps: dict[str, list[int]] = {}
    causes: dict[str, dict[str, tuple[Finding, list[StageJudged]]]] = {}
    for stage in transfer.stages:
        step = stage.step
        if step is None or not isinstance(stage.stage, int):
            continue
        told = tuple(stage.open)
        for words in cautions_of(step, told):
            steps.setdefault(words, []).append(stage.stage)
        for one in told:
            words = caution_beside(step, one)
            if words:
                steps.setdefault(words, []).append(stage.stage)
                causes.setdefault(words, {}).setdefault(one.key, (one, []))[1].append(stage)
    for words, numbers in steps.items():
        yield Line(words)
        shown = sorted(set(numbers))
        yield Line(steps_words(shown), under=True)
        worst = sorted(causes.get(words, {}).values(), key=lambda pair: pair[0].order)
        for one, stages in worst[:TIGHTEST]:
            at = _at_words(stages)
            yield Line(f"{one.verdict} {at}: {one_line(transfer.job, one)}", one.verdict)
        if len(worst) > TIGHTEST:
            more = len(worst) - TIGHTEST
            yield Line(f"... and {more} more: see the stage sheets", under=True)


def _energy(transfer: Transfer, steps: Sequence[Moment]) -> Iterator[Line]:
    rows = hold_rows(steps)
    for row in rows:
        owner = row.owner or f"owner {BLANK}"
        yield Line(f"{row.name}, {row.volts}, {owner}: {row.words}", row.verdict)
        for hold in row.holds or (Hold(row.circuit),):
            said = (
                ("arranged", hold.kind),
                ("device", hold.device),
                ("asked by", hold.asked_by),
                ("given to", hold.given_to),
                ("number", hold.number),
            )
            words = ", ".join(f"{name} {value or BLANK}" for name, value in said)
            yield Line(f"{words}; given __:__, released __:__", under=True)
        yield Line(f"within reach in {steps_words(row.steps)}", under=True)
    if transfer.job.steps:
        yield Line(
            "Blank means not confirmed. A fuse is not a hold. A hold is not a test for dead."
        )


def _protection(steps: Sequence[Moment]) -> Iterator[Line]:
    for count in cover_counts(cover_needed(steps)):
        needs = f"class {count.needs} or higher" if count.needs else f"class {BLANK}"
        unknown: Verdict | None = None if count.needs else "cannot say"
        yield Line(f"{count.pieces} x {count.what}, {needs}; tested ____", unknown)
    gloves: dict[str, list[int]] = {}
    for moment in steps:
        for worker in moment.step.workers:
            if worker.by != "ground":
                gloves.setdefault(worker.gloves or BLANK, []).append(moment.number)
    for name, numbers in gloves.items():
        blank: Verdict | None = "cannot say" if name == BLANK else None
        shown = steps_words(dict.fromkeys(numbers))
        yield Line(f"rubber gloves class {name}, {shown}; tested ____", blank)
    for test in rubber_tests():
        yield Line(f"{test.goods} tested: {test.when}", under=True)
    yield Line("hard hat, eye protection, arc-rated clothing, fall protection: ____")


def _weights(steps: Sequence[Moment]) -> Iterator[Line]:
    for moment in steps:
        for one in lifts(moment):
            weighs = _pounds(one.dressed)
            alone = f", alone {_pounds(one.bare)}" if one.with_it else ""
            dressed = f" with {', '.join(one.with_it)}" if one.with_it else ""
            unknown: Verdict | None = "cannot say" if one.dressed.lb is None else None
            words = f"step {moment.number}: {one.name}{dressed}: {weighs}{alone}; lifted by ____"
            if one.is_top:
                side = moment.step.drop_deg
                down = BLANK if side is None else compass(side, words=True)
                words += f"; comes down on the {down} side"
                unknown = "cannot say" if side is None else unknown
            yield Line(words, unknown)


def _pounds(weighed: Weighed) -> str:
    if weighed.lb is None:
        return f"____ lb ({weighed.words})"
    assumed = f" ({weighed.assumed})" if weighed.assumed else ""
    return f"{pounds_up(weighed.lb)} lb{assumed}"


def _missing(transfer: Transfer, steps: Sequence[Moment]) -> Iterator[Line]:
    """What the brief cannot say; each thing once."""
    if not transfer.job.steps:
        yield Line("the job has no steps", "cannot say")
    said: dict[str, str] = {}
    for one, stages in _by_key(transfer, "cannot say").values():
        said.setdefault(one_line(transfer.job, one), _at_words(stages))
    for words, at in said.items():
        yield Line(f"{words}; {at}", "cannot say")
    bare = [
        moment.number for moment in steps if moment.step.by == "crew" and not moment.step.workers
    ]
    if bare:
        yield Line(f"no worker is placed in {steps_words(bare)}", "cannot say")
    for row in hold_rows(steps):
        if row.verdict != "meets":
            yield Line(f"{row.name}: {row.words}", "cannot say")
    unweighed = dict.fromkeys(
        one.name for moment in steps for one in lifts(moment) if one.dressed.lb is None
    )
    if unweighed:
        yield Line(f"weight of {', '.join(unweighed)} not known", "cannot say")
    for circuit in transfer.job.circuits:
        if circuit.kind == "supply" and circuit.kv is None:
            yield Line(f"voltage of {circuit.name} not known", "cannot say")
