"""What the command line prints of strength: the calculation of every pole, line by line."""

from __future__ import annotations

from framer.app.paper import MARKS
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.stage import Stage, stage_name
from framer.strength.calculation import AID, calculations


def print_strength(job: Job, stage: Stage) -> bool:
    """Print the calculation of every pole; whether nothing is short and nothing left unsaid.

    Raises:
        FramerError: no loading or method is chosen, or there is none of that name.
    """
    scene = place(job, stage)
    found = calculations(scene)
    print(f"{job.title} - {stage_name(job, stage)}")
    print(AID)
    for one in found:
        print(f"\n{one.name}, {one.case}")
        for section in one.sections:
            print(f"\n{section.heading}")
            for line in section.lines:
                mark = MARKS[line.verdict] if line.verdict else "  "
                print(f"{mark} {'  ' * line.indent}{line.text}")
    return all(said in ("meets", "tight") for one in found for said in one.verdicts)
