"""Which wires and live items are at one potential: the connected sets of the joins."""

from __future__ import annotations

from framer.model.job import Job
from framer.model.stage import Stage, join_at


def nodes(job: Job, stage: Stage) -> dict[str, int]:
    """A number for each wire and item with a circuit; equal numbers are connected at the stage.

    A piece that is joined to nothing has a number of its own: it floats, and counts as energised
    at a potential different from everything else.
    """
    parent: dict[str, str] = {run.id: run.id for run in job.wires}
    parent.update({item.id: item.id for item in job.items if item.circuit})

    def root(key: str) -> str:
        while parent[key] != key:
            parent[key] = parent[parent[key]]
            key = parent[key]
        return key

    for join in job.joins:
        state = join_at(job, join, stage)
        if state is not None and state.made != "open" and join.a in parent and join.b in parent:
            parent[root(join.a)] = root(join.b)
    numbers: dict[str, int] = {}
    return {key: numbers.setdefault(root(key), len(numbers)) for key in parent}
