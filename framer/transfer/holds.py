"""Holds: for every circuit that could be touched, what was arranged, and what is still blank.

A hold keeps a device from closing again while people are at work; the line stays energised. It is
no release of the line, and a fuse is no hold.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
from msgspec import Struct

from framer.checks.finding import Finding, Verdict
from framer.checks.plan import connected_circuits
from framer.geometry.distance import closest
from framer.geometry.scene import Part
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Join
from framer.model.step import Hold
from framer.stock.source import Source
from framer.transfer.approach import dead_circuits
from framer.transfer.moment import Moment
from framer.transfer.near import Piece, covers, live_of, pieces, standing, worker_part
from framer.transfer.needed import worker_rule

TOUCH_IN = 120.0
"""What comes nearer than this to a worker's room or to a pole that is moved could be touched.

It is the 10 ft that machines keep from lines up to 50 kV, 29 CFR 1926.1408 Table A; that it is
taken for people too is a choice of ours."""

HOLD_OVER_KV = 0.6
"""Reclosing is made inoperable for lines over 600 V: 29 CFR 1910.269(q)(2); read."""

HOLD = worker_rule(
    "hold",
    "A hold, cover or release for every circuit within reach",
    Source("29 CFR 1910.269", "read", "text since 2014", "(q)(2), ecfr.gov"),
    "A hold blocks reclosing; the line stays energised. A fuse is not a hold.",
)

BLANK = "____"
"""What is printed where nobody has said."""


class HoldRow(Struct, frozen=True):
    """What is known of the hold on one circuit.

    Attributes:
        circuit: its id.
        name: what it is called.
        volts: its voltage in words.
        owner: whose it is.
        steps: the numbers of the steps in which it could be touched.
        protected_by: the device that is said to protect it.
        holds: what was arranged, empty for nothing.
        verdict: `meets`, or `cannot say` as long as something is open.
        words: what is open, or what was arranged.
    """

    circuit: str
    name: str
    volts: str
    owner: str
    steps: tuple[int, ...]
    protected_by: str
    holds: tuple[Hold, ...]
    verdict: Verdict
    words: str


def hold_findings(moment: Moment) -> Iterator[Finding]:
    """What is open about the circuits that could be touched in a step of the crew's."""
    job = moment.job
    if moment.step.by != "crew":
        return
    circuits = {circuit.id: circuit for circuit in connected_circuits(moment.after)}
    for key, part in sorted(within_reach(moment).items()):
        said, words = arranged(moment, circuits[key])
        if said != "meets":
            missing = f"{job.label(key)}: {words}"
            yield Finding(HOLD, part, None, said, missing=missing)


def hold_rows(moments: Iterable[Moment]) -> tuple[HoldRow, ...]:
    """A row for every circuit over 600 V, or of unknown voltage, that could be touched."""
    steps: dict[str, list[int]] = {}
    said: dict[str, tuple[Verdict, str]] = {}
    job: Job | None = None
    for moment in moments:
        job = moment.job
        if moment.step.by != "crew":
            continue
        circuits = {circuit.id: circuit for circuit in connected_circuits(moment.after)}
        for key in within_reach(moment):
            steps.setdefault(key, []).append(moment.number)
            one = arranged(moment, circuits[key])
            if key not in said or one[0] != "meets":
                said[key] = one
    if job is None:
        return ()
    return tuple(
        HoldRow(
            circuit.id,
            circuit.name,
            volts_words(circuit),
            circuit.owner,
            tuple(steps[circuit.id]),
            circuit.protected_by,
            holds_of(job, circuit.id),
            *said[circuit.id],
        )
        for circuit in job.circuits
        if circuit.id in steps
    )


def holds_of(job: Job, circuit: str) -> tuple[Hold, ...]:
    """What was arranged for a circuit; more than one where it is fed from more than one side."""
    return tuple(one for one in job.holds if one.circuit == circuit)


def volts_words(circuit: Circuit) -> str:
    """The voltage of a circuit in words."""
    if circuit.kv is None:
        return "voltage not known"
    ground = f"Y/{circuit.kv_to_ground:g}" if circuit.kv_to_ground is not None else ""
    return f"{circuit.kv:g}{ground} kV"


def arranged(moment: Moment, circuit: Circuit) -> tuple[Verdict, str]:
    """Whether all that was arranged for a circuit is complete, and what it is or lacks."""
    each = [_one(moment, circuit, one) for one in holds_of(moment.job, circuit.id)]
    if not each:
        return "cannot say", "no hold, cover or release is said"
    told = [one for one in each if one[0] != "meets"] or each
    return told[0][0], "; ".join(dict.fromkeys(words for _, words in told))


def _one(moment: Moment, circuit: Circuit, hold: Hold) -> tuple[Verdict, str]:
    if not hold.kind:
        return "cannot say", "no hold, cover or release is said"
    if hold.kind == "fuse only":
        return (
            "cannot say",
            "fuse protected, a fuse is not a hold: decide hold, cover or de-energise",
        )
    if hold.kind == "cover":
        return _covered(moment, circuit)
    blanks = [
        word for word, value in (("device", hold.device), ("who asked", hold.asked_by)) if not value
    ]
    device = hold.device or BLANK
    if blanks:
        return "cannot say", f"{hold.kind} on {device}: {' and '.join(blanks)} not said"
    if hold.kind == "de-energise" and circuit.id not in dead_circuits(moment.job, moment.number):
        return (
            "cannot say",
            f"to be de-energised by {device}: not de-energised and grounded by earlier steps",
        )
    return "meets", f"{hold.kind} on {device}, asked by {hold.asked_by}"


def _covered(moment: Moment, circuit: Circuit) -> tuple[Verdict, str]:
    """A circuit said to be covered instead: something of it is, as the step ends or begins."""
    job = moment.job
    of = {wire.id for wire in job.wires if wire.circuit == circuit.id}
    of |= {item.id for item in job.items if item.circuit == circuit.id}
    scenes = (moment.before, moment.after)
    on = {part.support for scene in scenes for part in scene.bodies if part.owner in of}
    lying = {host for scene in scenes for host in covers(scene)}
    if lying & (of | {key for key in on if key}):
        return "meets", "covered instead, see the cover list"
    return "cannot say", "to be covered, and no cover lies on it"


def within_reach(moment: Moment) -> dict[str, Part]:
    """Circuits over 600 V, or of unknown voltage, that could be touched, each with its part.

    Those of what the step moves or a worker handles, and those that pass within 10 ft of a worker's
    room or of a pole the step moves.
    """
    found: dict[str, Part] = {}
    touched = {thing.id for thing in moment.moved} | {one.at for one in moment.step.workers}
    for thing in moment.moved:
        if isinstance(thing, Join):
            touched |= {thing.a, thing.b}
    poles = [one.id for one in moment.moved if isinstance(one, Item) and one.kind == "pole"]
    for scene in (moment.before, moment.after):
        live = live_of(scene, uncovered=True)
        near = set[int]()
        for worker in moment.step.workers:
            body = standing(worker_part(scene, moment.step, worker), worker)
            gaps = live.bare.nearest(body) if body else []
            near |= {n for n, one in enumerate(gaps) if one is not None and one.gap_in < TOUCH_IN}
        sides = [scene.part_by_key[key] for key in poles if key in scene.part_by_key]
        for number, one in enumerate(live.lives):
            key, kv = one.circuit.id, one.circuit.kv
            if key in found or (kv is not None and kv <= HOLD_OVER_KV):
                continue
            if one.part.owner in touched or number in near or _comes_near(one.bare, sides):
                found[key] = one.part
    return found


def _comes_near(shown: tuple[Piece, ...], poles: list[Part]) -> bool:
    return any(
        _apart(one, other) < TOUCH_IN for pole in poles for other in pieces(pole) for one in shown
    )


def _apart(one: Piece, other: Piece) -> float:
    """How far two pieces are from each other, to their surfaces."""
    (p1, q1, r1), (p2, q2, r2) = one, other
    ends = [np.array([point]) for point in (p1, q1, p2, q2)]
    s, t = closest(*ends)
    at = ends[0] + (ends[1] - ends[0]) * s[:, None]
    to = ends[2] + (ends[3] - ends[2]) * t[:, None]
    return float(np.linalg.norm(at - to)) - r1 - r2


HEADINGS = (
    "circuit", "voltage", "owner", "steps", "protected by", "arranged", "device", "asked by",
    "given to", "number", "time", "released", "open",
)  # fmt: skip


def request_rows(rows: Iterable[HoldRow]) -> tuple[tuple[str, ...], ...]:
    """The request sheet: a line a circuit; what nobody said stays empty for the pen."""
    return tuple(
        (
            row.name,
            row.volts,
            row.owner,
            ", ".join(map(str, row.steps)),
            row.protected_by,
            hold.kind,
            hold.device,
            hold.asked_by,
            hold.given_to,
            hold.number,
            "",
            "",
            "" if row.verdict == "meets" else row.words,
        )
        for row in rows
        for hold in row.holds or (Hold(row.circuit),)
    )
