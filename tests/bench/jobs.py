"""Jobs for benchmarks."""

from __future__ import annotations

import contextlib
import random
from pathlib import Path
from typing import TypeVar

from msgspec.structs import replace

from framer.edits.places import set_along_pole
from framer.errors import EditError
from framer.files.format import encode
from framer.files.reader import read_job
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, NearbyWire, Span, Wire
from framer.model.place import Guyed, Lifted, OnArm, OnItem, OnPole, Removed, Standing
from framer.model.reading import Reading
from framer.model.stage import host_of
from framer.model.step import Step

SAMPLES = Path(__file__).resolve().parent.parent.parent / "sample_jobs"


def full_pole() -> Job:
    """A pole that carries a hundred parts: two circuits turning a corner, equipment, guys."""
    items: list[Item] = [
        Item(
            "pole",
            "pole",
            (Standing(when="after", depth_in=102.0),),
            pole=PoleFacts(780.0, "1", "Southern pine"),
        )
    ]
    wires: list[Wire] = []
    joins: list[Join] = []

    def on_pole(key: str, kind: str, part: str, at: float, azimuth: float, **more: object) -> None:
        place = OnPole(when="after", host="pole", at_in=at, azimuth_deg=azimuth)
        items.append(Item(key, kind, (place,), part=part, **more))  # type: ignore[arg-type]

    for circuit, top in (("one", 640.0), ("two", 528.0)):
        for name, drop, azimuth in (("line", 0.0, 0.0), ("buck", 48.0, 270.0)):
            arm = f"{circuit}-{name}"
            on_pole(arm, "arm", "arm-10ft-4pin", top - drop, azimuth)
            place = OnItem(when="after", host=arm)
            items.append(Item(f"{arm}-brace", "brace", (place,), part="brace-angle-60in"))
            part = "pin-55-5-25kv" if name == "line" else "deadend-25kv"
            for phase, along in (("A", -54.0), ("B", 18.0), ("C", 54.0)):
                pin = f"{arm}-{phase}"
                spot = OnArm(when="after", host=arm, along_in=along)
                items.append(Item(pin, "insulator", (spot,), part=part))
                spans = ("north", "south") if name == "line" else ("west",)
                wires.extend(_wire(f"{pin}-{span}", circuit, phase, span, pin) for span in spans)
                if name == "line":
                    joins.append(_through(f"{pin}-north", f"{pin}-south"))
    on_pole("spool", "insulator", "spool-53-2", 430.0, 90.0)
    wires.extend(_wire(f"n-{span}", "one", "N", span, "spool") for span in ("north", "south"))
    on_pole("secondary", "insulator", "deadend-clevis-053", 400.0, 0.0)
    wires.append(_wire("triplex", "low", "triplex", "north", "secondary"))
    for number, at in enumerate((342.0, 330.0, 318.0, 306.0, 294.0, 282.0), start=1):
        clamp = f"clamp-{number}"
        on_pole(clamp, "attachment", "comm-clamp", at, 90.0)
        both = ("north", "south")
        wires.extend(_wire(f"{clamp}-{at}", f"comm-{number}", "cable", at, clamp) for at in both)
    for number, along in enumerate((-40.0, 0.0, 40.0), start=1):
        spot = OnArm(when="after", host="two-line", along_in=along)
        more = {"circuit": "two", "phase": "ABC"[number - 1]}
        items.append(Item(f"cutout-{number}", "cutout", (spot,), part="cutout-27kv", **more))
        items.append(Item(f"arrester-{number}", "arrester", (spot,), part="arrester-18kv", **more))
        azimuth = 120.0 * number % 360.0
        on_pole(f"bank-{number}", "transformer", "transformer-25kva", 460.0, azimuth, **more)
    for number, azimuth in enumerate((0.0, 90.0, 135.0, 180.0), start=1):
        guy = Guyed(
            when="after", host="pole", at_in=600.0 - 40 * number, azimuth_deg=azimuth, lead_in=240.0
        )
        items.append(Item(f"guy-{number}", "guy", (guy,), part="guy-3-8in-ehs"))
    for number, azimuth in enumerate((225.0, 315.0), start=1):
        run = OnPole(when="after", host="pole", at_in=0.0, to_in=380.0, azimuth_deg=azimuth)
        items.append(Item(f"riser-{number}", "riser", (run,), part="riser-2in"))
    on_pole("lamp", "lamp", "lamp-arm-6ft", 270.0, 45.0)
    owners = {"one": "First", "two": "First", "low": "First", "other": "Second"}
    supply = [
        Circuit(key, key, kv=kv, grounded_wye=True, owner=owners[key])
        for key, kv in (("one", 24.9), ("two", 12.47), ("low", 0.24), ("other", 34.5))
    ]
    phone = [
        Circuit(f"comm-{number}", f"comm {number}", "communications", owner=f"Attacher {number}")
        for number in range(1, 7)
    ]
    return Job(
        "full pole",
        books=("house", "nesc-2017", "go95"),
        circuits=(*supply, *phone),
        spans=tuple(
            Span(name, name, azimuth, 1_800.0, over="road", sag_in=36.0)
            for name, azimuth in (("north", 0.0), ("south", 180.0), ("west", 270.0))
        ),
        items=tuple(items),
        wires=tuple(wires),
        joins=tuple(joins),
        nearby=tuple(
            NearbyWire(f"near-{number}", f"near {number}", "other", 60.0 * number, 40.0, 120.0)
            for number in (1, 2, 3)
        ),
        readings=tuple(Reading(f"near-{number}", "height", 720.0) for number in (1, 2, 3)),
    )


def full_transfer() -> Job:
    """That pole as found, and twenty steps: ten times a wire is taken out on a lift and put back.

    The crew leaves half way, and at the end.
    """
    job = full_pole()
    chosen = [f"{arm}-{phase}" for arm in ("one-line", "two-line", "one-buck") for phase in "ABC"]
    chosen.append("spool")
    items = [_found(item) for item in job.items]
    wires = {wire.id: _found(wire) for wire in job.wires}
    steps = []
    for number, pin in enumerate(chosen):
        lift, at = (
            f"lift-{number}",
            Lifted(when="temporary", east_in=150.0 + number, north_in=40.0, height_in=600.0),
        )
        items.append(Item(lift, "lift", (at, Removed(when="after")), name=lift))
        moves = [wire.id for wire in wires.values() if host_of(wire.places[0]) == pin]
        for key in moves:
            out, back = OnItem(when="temporary", host=lift), OnItem(when="after", host=pin)
            wires[key] = replace(wires[key], places=(*wires[key].places, out, back))
        leaves = number == 4
        steps.append(Step(f"out-{number}", "out", moves=(lift, *moves)))
        steps.append(Step(f"back-{number}", "back", moves=(*moves, lift), crew_leaves=leaves))
    joins = tuple(_found(join) for join in job.joins)
    return replace(
        job, items=tuple(items), wires=tuple(wires.values()), joins=joins, steps=tuple(steps)
    )


_Thing = TypeVar("_Thing", Item, Wire, Join)


def _found(thing: _Thing) -> _Thing:
    return replace(thing, places=tuple(replace(at, when="found") for at in thing.places))


def _wire(key: str, circuit: str, phase: str, span: str, support: str) -> Wire:
    return Wire(
        key,
        circuit,
        phase,  # type: ignore[arg-type]
        span,
        (OnItem(when="after", host=support),),
        part="acsr-336-18-1-merlin",
        far_height_in="level",
    )


def _through(a: str, b: str) -> Join:
    return Join(f"{a}-{b}", a, b, (JoinPlace("after", "through"),))


def loaded_pole() -> Job:
    """The full pole as its strength can be reckoned: every tension typed, weights known."""
    job = full_pole()
    return replace(
        job,
        wires=tuple(replace(one, loaded_tension_lbf=400.0) for one in job.wires),
        items=tuple(one for one in job.items if one.kind != "lamp"),
        settings=replace(
            job.settings, loading="nesc-heavy", strength_method="nesc-2017", strength_grade="C"
        ),
    )


def write_many(folder: Path, count: int) -> None:
    """Job files of some forty parts each, no two alike: samples with their arms moved."""
    dice = random.Random(1)  # noqa: S311 - the same jobs in every run
    samples = [read_job(path) for path in sorted(SAMPLES.glob("*/*.framer"))[:4]]
    for number in range(count):
        job = samples[number % len(samples)]
        arms = [item.id for item in job.items if item.kind == "arm"]
        for arm in dice.sample(arms, min(2, len(arms))):
            with contextlib.suppress(EditError):
                job = set_along_pole(job, arm, "framed", "height", 380.0 + 40.0 * dice.random())
        data = encode(replace(job, name=f"{job.name} {number}"))
        (folder / f"job-{number:05}.framer").write_bytes(data)
