"""What to do next, in one line: from an empty job to a checked pole."""

from __future__ import annotations

from collections.abc import Sequence

from framer.checks.finding import Finding, Verdict
from framer.model.item import Item
from framer.model.job import Job
from framer.model.place import Standing
from framer.model.stage import is_undecided, place_at, pole_at

SURVEY = "1. Put a pole in: Insert opens the stock, Enter sets the new pole."
LINES = (
    "2. Tell which lines leave here: Edit, Circuits and Spans... (F9); a circuit with its voltage, "
    "and a span each way it goes."
)
FRAME = (
    "3. Frame it: Edit, Frame By... puts a whole pole head on, with its wires; or select "
    "the pole and put an arm on it from the stock (Insert)."
)
WIRES = (
    "3. No wire hangs here yet: Edit, Frame By... strings the circuit in its spans; what "
    "has no wires has no gaps to check."
)
CROSSING = (
    "4. Tell what crosses or runs near, with the height that was read: Edit, Circuits and Spans... "
    "(F9); what is not told is not checked."
)


def next_step(job: Job, findings: Sequence[Finding]) -> str:
    """What to do next.

    Args:
        job: the job as it is.
        findings: what the rules say of it as framed.
    """
    poles = [
        item
        for item in job.items
        if item.kind == "pole" and isinstance(place_at(job, item, "framed"), Standing)
    ]
    if not poles:
        return SURVEY
    if not job.spans or not job.circuits:
        return LINES
    if not _is_framed(job, [pole for pole in poles if pole.places[0].when != "found"] or poles):
        return FRAME
    undecided = [thing for thing in job.placed() if is_undecided(thing)]
    if undecided:
        many = f" and {len(undecided) - 1} more" if len(undecided) > 1 else ""
        return (
            f"Say what becomes of {job.label(undecided[0].id)}{many}: select it and press one of "
            "the buttons below the sheet."
        )
    if not job.wires:
        return WIRES
    return _judged(job, findings)


def _is_framed(job: Job, poles: Sequence[Item]) -> bool:
    """Whether anything is on one of the poles as framed."""
    there = {pole.id for pole in poles}
    return any(pole_at(job, item, "framed") in there for item in job.items if item.id not in there)


def _judged(job: Job, findings: Sequence[Finding]) -> str:
    counts: dict[Verdict, int] = {"short": 0, "cannot say": 0, "tight": 0, "meets": 0}
    for finding in findings:
        waived = finding.verdict == "short" and finding.is_waived
        counts[finding.verdict] += 0 if waived else 1
    if not job.nearby and not job.limits:
        short = f"{_many(counts['short'])} short already. " if counts["short"] else ""
        return f"{CROSSING} {short}".strip()
    if counts["short"]:
        return (
            f"5. As framed {_many(counts['short'])} short: choose the first in the list (F7), see "
            "it on the sheet, and drag or type (F8) until there is room; or somebody answers for "
            "it."
        )
    if counts["cannot say"]:
        return (
            f"5. As framed nothing is short, but {counts['cannot say']} cannot be said: choose the "
            "first in the list (F7); it names what is not known."
        )
    tight = f"; {counts['tight']} tight, look at them (F7)" if counts["tight"] else ""
    return (
        f"6. As framed nothing is short{tight}. Look at the sheet in File, Print Preview, and save."
    )


def _many(count: int) -> str:
    return "1 gap is" if count == 1 else f"{count} gaps are"
