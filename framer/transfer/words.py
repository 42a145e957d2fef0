"""What stands on paper of a stage: where its workers are, its cover, what carries each wire."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from framer.geometry.scene import Scene
from framer.geometry.space import compass
from framer.geometry.written import stepped
from framer.model.job import Job
from framer.model.line import Wire
from framer.model.place import Lifted
from framer.model.stage import host_of, place_at, pole_at
from framer.model.step import Step, Worker
from framer.stock.catalogue import catalogue
from framer.transfer.near import covers, worker_name

BLANK = "____"


def worker_words(scene: Scene, step: Step) -> tuple[str, ...]:
    """Each worker of a step: where, how, with which gloves, and what he handles."""
    return tuple(_worker(scene.job, step, one) for one in step.workers)


def _worker(job: Job, step: Step, worker: Worker) -> str:
    how = {"climbing": "climbing", "bucket": "in a bucket at", "ground": "on the ground at"}
    side = compass(worker.azimuth_deg, words=True)
    said = [f"{how[worker.by]} {job.label(worker.pole)}, {side} side"]
    if worker.by != "ground":
        feet = BLANK if worker.height_in is None else stepped(job, worker.height_in)
        said.append(f"feet {feet} up")
    said.append(f"reaches {stepped(job, worker.envelope_in + worker.tools_in)} out")
    if worker.by != "ground":
        method = {"gloves": "", "hot stick": "hot stick, ", "": f"method {BLANK}, "}
        said.append(f"{method[worker.method]}rubber gloves class {worker.gloves or BLANK}")
        at = job.label(worker.at) if worker.at else BLANK
        said.append(f"handles {'grounded parts' if worker.at == 'ground' else at}")
    words = f"{worker_name(step, worker)}: {'; '.join(said)}"
    return f"{words}; {worker.note}" if worker.note else words


def cover_words(scene: Scene) -> tuple[str, ...]:
    """Cover-up in place at the scene's stage: what lies on what, by stock part."""
    job = scene.job
    rows: dict[tuple[str, str], list[str]] = {}
    for host, there in covers(scene).items():
        for one in there:
            long = BLANK if one.length_in is None else stepped(job, one.length_in)
            stock = catalogue().get(one.item.part or "")
            name = stock.name if stock else job.label(one.item.id)
            key = (name, f"class {one.cover_class or BLANK}, {long}")
            rows.setdefault(key, []).append(job.label(host))
    return tuple(
        f"{len(hosts)} x {name} ({size}): {', '.join(_times(hosts))}"
        for (name, size), hosts in rows.items()
    )


def _times(hosts: list[str]) -> Iterator[str]:
    """Each once, with how many times it is there where that is more than once."""
    for host, many in Counter(hosts).items():
        yield f"{many} on {host}" if many > 1 else host


def support_words(scene: Scene) -> tuple[str, ...]:
    """What carries each wire at the scene's stage; wires of one conductor on one support once."""
    job = scene.job
    rows: dict[tuple[str, str, str], list[str]] = {}
    for wire in job.wires:
        where = place_at(job, wire, scene.stage)
        on = _support(job, wire, scene)
        if where is not None and on:
            toward = job.span_by_id[wire.span].toward
            rows.setdefault((wire.circuit, wire.phase, on), []).append(toward)
    return tuple(
        f"{phase} of {job.label(circuit)} to {' and '.join(toward)}: {on}"
        for (circuit, phase, on), toward in rows.items()
    )


def _support(job: Job, wire: Wire, scene: Scene) -> str:
    """What a wire rests on, in words; empty where it is not there."""
    host = host_of(place_at(job, wire, scene.stage))
    if host is None:
        return ""
    pole = pole_at(job, wire, scene.stage)
    item = job.item_by_id.get(host)
    if item is not None and isinstance(place_at(job, item, scene.stage), Lifted):
        return f"{job.label(host)}, held up from the ground"
    return f"{job.label(host)} on {job.label(pole)}" if pole else f"{job.label(host)}, on nothing"
