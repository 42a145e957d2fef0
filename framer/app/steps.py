"""What `framer steps` prints: each step, what it does, and what its stage is like."""

from __future__ import annotations

from framer.app.crew import print_needs
from framer.app.paper import MARKS
from framer.checks.explain import one_line
from framer.checks.finding import Finding, Verdict
from framer.model.job import Job
from framer.session import Session
from framer.transfer.compare import Turn, changes, step_words
from framer.transfer.stages import StageJudged

TIGHTEST = 3
"""How many gaps are told of each stage and of the whole transfer."""

_COUNTED: tuple[Verdict, ...] = ("short", "cannot say")


def print_steps(session: Session, *, brief: bool = False) -> bool:
    """Print every stage of the transfer; whether nothing there is short or cannot be said.

    What is short as found and no worse is told apart and does not count. `brief` leaves out what
    each step moves and what it changes.
    """
    job = session.job
    transfer = session.transfer()
    print(f"{job.title} - {len(job.steps)} steps")
    if not job.steps:
        print("the job has no steps")
    before = transfer.stages[0]
    for stage in transfer.stages[1:]:
        print(f"\n{stage.name}")
        if stage.step is not None and not brief:
            for line in step_words(job, int(stage.stage)):
                print(f"   {line}")
        _print_open(job, stage)
        if not brief:
            _print_changes(job, before, stage)
        before = stage
    if job.steps:
        print()
        print_needs(session)
    print("\ntightest of the whole transfer")
    for where, finding in transfer.tightest(TIGHTEST):
        print(f"{MARKS[finding.verdict]} {where.name}: {one_line(job, finding)}")
    short, unsaid = (
        sum(bool(one.of(verdict)) for one in transfer.stages[1:]) for verdict in _COUNTED
    )
    print(f"stages with something short: {short}; with something that cannot be said: {unsaid}")
    return transfer.verdict in ("meets", "tight")


def _print_open(job: Job, stage: StageJudged) -> None:
    told = [one for one in stage.open if one.verdict != "tight"]
    told += [one for one in stage.gaps(TIGHTEST) if one.verdict != "short"]
    for finding in told:
        if not finding.is_of_workers:
            print(f"{MARKS[finding.verdict]} {finding.verdict:10} {one_line(job, finding)}")
    tight = [one for one in stage.of("tight") if one not in told and not one.is_of_workers]
    for finding in tight[:TIGHTEST]:
        print(f"{MARKS[finding.verdict]} {finding.verdict:10} {one_line(job, finding)}")
    if len(tight) > TIGHTEST:
        print(f"   {'':10} {len(tight) - TIGHTEST} more tight: see the stage sheet")
    near = [one for one in told if one.is_of_workers]
    if not near:
        # of what meets, the nearest is told all the same
        kept = [one for one in stage.of_step if one.is_of_workers and one.unit == "in"]
        near = sorted((one for one in kept if one.spare is not None), key=_spare)[:1]
    if near:
        print("   of the workers; approach distances are no clearances of construction:")
    for finding in near:
        print(f"{MARKS[finding.verdict]} {finding.verdict:10} {one_line(job, finding)}")
    if stage.as_found:
        count = len(stage.as_found)
        print(f"   {'':10} {count} short as found and no worse, not counted")


def _spare(finding: Finding) -> float:
    return finding.spare or 0.0


def _print_changes(job: Job, before: StageJudged, stage: StageJudged) -> None:
    changed = changes(before, stage)
    for turn in changed.verdicts:
        if words := _turn(job, turn):
            print(f"   {'':10} now {words}")
    if changed.gaps:
        print(f"   {'':10} {len(changed.gaps)} other gaps are not what they were")


def _turn(job: Job, turn: Turn) -> str:
    """What became of a finding; empty where it stands above as open, or is in one stage only."""
    if turn.before is None or turn.after is None or turn.after.verdict in _COUNTED:
        return ""
    return f"{turn.after.verdict}, was {turn.before.verdict}: {one_line(job, turn.after)}"
