"""One positive support for every loose wire: hands do not count, and no support counts twice."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from framer.checks.finding import Finding
from framer.geometry.scene import Scene
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import Removed
from framer.model.stage import Stage, place_at
from framer.stock.catalogue import catalogue
from framer.stock.part import LiftPart
from framer.transfer.loads import in_hand, supports
from framer.transfer.moment import Moment, step_rule
from framer.transfer.spans import Conductor, conductors


class Unsupported(Struct, frozen=True):
    """A conductor without a support of its own, and why."""

    conductor: Conductor
    why: str


def unsupported(scene: Scene) -> tuple[Unsupported, ...]:
    """Every conductor of the scene that no positive support of its own holds."""
    job = scene.job
    taken: dict[tuple[str, int], Conductor] = {}
    found: list[Unsupported] = []
    for one in conductors(scene):
        why = _why_none(job, one, scene.stage)
        first = taken.setdefault((one.host, one.position), one)
        if not why and first is not one:
            why = f"{job.label(one.host)} holds {job.label(first.wires[0])} already"
        if why:
            found.append(Unsupported(one, why))
    return tuple(found)


def _why_none(job: Job, one: Conductor, stage: Stage) -> str:
    """Why what a conductor rests on is no positive support; empty where it is one."""
    if not _is_there(job, one.host, stage):
        return f"{job.label(one.host)} is not there"
    for item in supports(job, one.host, stage):
        if not is_positive(item):
            return f"{job.label(item.id)} does not count: no rating is typed for it"
    return ""


def is_positive(item: Item) -> bool:
    """Whether an item holds a wire by itself; a hand or a handline only where a rating is typed."""
    stock = catalogue().get(item.part or "")
    if isinstance(stock, LiftPart) and not stock.positive:
        return item.rating is not None and item.rating.up_lbf is not None
    return True


def _is_there(job: Job, key: str, stage: Stage) -> bool:
    item = job.item_by_id.get(key)
    if item is None:
        return False
    where = place_at(job, item, stage)
    return where is not None and not isinstance(where, Removed)


def support_findings(moment: Moment) -> Iterator[Finding]:
    """Wires without a support of their own after the step, and those that are held for the time."""
    job, scene = moment.job, moment.after
    lacking = unsupported(scene)
    for one in lacking:
        yield _finding(moment, one.conductor, 0.0, f"has no support of its own: {one.why}")
    without = {one.conductor for one in lacking}
    for held in in_hand(scene):
        if held.conductor not in without:
            words = f"is held by {job.label(held.conductor.host)}"
            yield _finding(moment, held.conductor, 1.0, words)


def _finding(moment: Moment, one: Conductor, count: float, words: str) -> Finding:
    job, scene = moment.job, moment.after
    wire = job.wire_by_id[one.wires[0]]
    rule = step_rule(f"supports.{wire.id}", "One positive support for every wire", "supports")
    return Finding(
        rule,
        scene.part_by_key.get(wire.id),
        None,
        "meets" if count else "short",
        count,
        1.0,
        where=f"{called(job, wire)} {words}",
    )


def called(job: Job, wire: Wire) -> str:
    """A wire as a crew calls it: "C phase of Mill 3"."""
    circuit = job.label(wire.circuit)
    word = {"N": "neutral"}.get(wire.phase, wire.phase)
    return f"{word} phase of {circuit}" if wire.phase in ("A", "B", "C") else f"{word} of {circuit}"
