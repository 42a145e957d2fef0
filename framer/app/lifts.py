"""What `framer lifts` prints: weights lifted, loads in hand, arms turned, spans changed."""

from __future__ import annotations

from collections.abc import Iterator

from framer.app.paper import MARKS
from framer.checks.explain import one_line
from framer.checks.finding import RANK
from framer.model.job import Job
from framer.session import Session
from framer.strength.weighing import Weighed
from framer.transfer.loads import NOTHING_LBF, InHand, arm_turns, in_hand, load_findings
from framer.transfer.moment import Moment, moments
from framer.transfer.slack import changes
from framer.transfer.supports import support_findings
from framer.transfer.weights import (
    RECOMMENDED,
    RECOMMENDED_FOR,
    Lift,
    lift_findings,
    lifts,
)
from framer.units.compare import rounded
from framer.units.figures import pounds_up
from framer.units.length import inches_text


def print_lifts(session: Session) -> bool:
    """Print what each step lifts and holds; whether nothing is short or cannot be said.

    What is held as in the step before is not printed again.
    """
    job, steps = session.job, list(moments(session.job, session.books()))
    print(f"{job.title} - lifts")
    if not steps:
        print("?  the job has no steps: what they lift cannot be said")
    _print_limits(job)
    clean, before = bool(steps), set[str]()
    for step in steps:
        said = [*lift_findings(step), *support_findings(step), *load_findings(step)]
        said.sort(key=lambda one: one.order)
        clean &= all(RANK[one.verdict] > RANK["cannot say"] for one in said)
        lines = [f"   {_lift(one)}" for one in lifts(step)]
        held = [f"   {one}" for one in _held(step)]
        held += [
            f"{MARKS[one.verdict]} {one.verdict:10} {one_line(job, one)}"
            for one in said
            if one.verdict != "meets"
        ]
        lines += [line for line in held if line not in before]
        before = {*held}
        if lines:
            print(f"\nstep {step.number}: {step.step.title}")
        for line in lines:
            print(line)
    _print_turns(job, steps)
    _print_spans(job, steps)
    return clean


def _print_limits(job: Job) -> None:
    settings = job.settings
    for words, limit in (
        ("one person", settings.one_person_lb),
        ("handline", settings.handline_lb),
    ):
        typed = "no limit typed" if limit is None else f"at most {limit:g} lb"
        print(f"   {words}: {typed}")
    print(f"   recommended for one person: {RECOMMENDED}: {RECOMMENDED_FOR}")


def _lift(one: Lift) -> str:
    words = f"{one.name}: {_pounds(one.bare)}"
    if one.with_it:
        names = ", ".join(one.with_it)
        words += f" bare; {_pounds(one.dressed)} with {names}"
    return words


def _pounds(weight: Weighed) -> str:
    if weight.lb is None:
        return f"cannot say ({weight.words})"
    more = f"; {weight.assumed}" if weight.assumed else ""
    return f"{pounds_up(weight.lb)} lb ({weight.words}{more})"


def _held(step: Moment) -> Iterator[str]:
    """The load of each conductor in hand, part by part, with the ratings of what carries it."""
    job = step.job
    for held in in_hand(step.after):
        load = held.worse
        if load is None or held.tied is None or held.loose is None:
            continue
        parts = ", ".join(f"{term.words} {term.lbf:,.1f}" for term in load.terms)
        words = f"{rounded(load.up_lbf, 0.1, 'up'):,.1f} lbf ({parts})"
        for way, lbf in (
            ("to the side", max(held.loose.side_lbf, held.tied.side_lbf)),
            ("along", max(held.loose.along_lbf, held.tied.along_lbf)),
        ):
            if lbf >= NOTHING_LBF:
                words += f", {rounded(lbf, 0.1, 'up'):,.1f} lbf {way}"
        name = job.label(held.conductor.wires[0])
        yield f"{name} on {job.label(held.conductor.host)}: {words}{_ratings(job, held)}"


def _ratings(job: Job, held: InHand) -> str:
    """What is typed of everything that carries a conductor."""
    said = []
    for item in held.supports:
        if item.rating is None:
            continue
        sides = (
            ("up", item.rating.up_lbf),
            ("side", item.rating.side_lbf),
            ("along", item.rating.along_lbf),
        )
        typed = ", ".join(f"{way} {lbf:g}" for way, lbf in sides if lbf is not None)
        said.append(f"{job.label(item.id)} rated {typed or 'nothing'}")
    return f"; {'; '.join(said)}" if said else "; no rating typed"


def _print_turns(job: Job, steps: list[Moment]) -> None:
    """How each arm is turned about its bolt by its wires, from stage to stage."""
    stages = [("as found", steps[0].before)] if steps else []
    stages += [(f"after step {one.number}", one.after) for one in steps]
    rows: dict[str, list[str]] = {}
    worst: dict[str, float] = {}
    before: dict[str, str] = {}
    for name, scene in stages:
        for turn in arm_turns(scene):
            words = f"{turn.moment_lbf_in / 12.0:+,.0f} lbf ft"
            if turn.missing:
                words = f"cannot say: {turn.missing}"
            else:
                worst[turn.arm] = max(worst.get(turn.arm, 0.0), abs(turn.moment_lbf_in))
            if before.get(turn.arm) != words:
                rows.setdefault(turn.arm, []).append(f"{name} {words}")
            before[turn.arm] = words
    if rows:
        print("\narms turned about their bolts by wires (positive end down is +)")
    for arm, said in rows.items():
        most = f"; worst {worst[arm] / 12.0:,.0f} lbf ft" if arm in worst else ""
        print(f"   {job.label(arm)}: {'; '.join(said)}{most}")


def _print_spans(job: Job, steps: list[Moment]) -> None:
    """How every span is changed when all is done."""
    rows = []
    for one in changes(steps[-1].after) if steps else ():
        if one.missing:
            rows.append(f"{job.label(one.wires[0])}: cannot say: {one.missing}")
        for wire, longer in zip(one.wires, one.longer_in, strict=False):
            if abs(longer) >= 1 / 16:
                way = "longer" if longer > 0.0 else "shorter"
                size = inches_text(
                    abs(longer), step_in=1 / 16, toward="up", system=job.settings.units
                )
                rows.append(f"{job.label(wire)}: {size} {way}")
    if rows:
        print("\nways to the neighbouring poles after the last step, against as found")
    for row in rows:
        print(f"   {row}")
