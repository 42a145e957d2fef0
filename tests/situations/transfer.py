"""Small transfers built by hand, judged step by step, and what is said of one of their steps."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.finding import Finding
from framer.geometry.placing import place
from framer.model.faults import faults
from framer.model.item import Item
from framer.model.job import Job
from framer.model.place import OnItem
from framer.model.step import Hold, Step, Worker
from framer.transfer.moment import Judge, Moment
from tests.build import Record
from tests.build import job as made_of


def with_steps(made: Job, *steps: Step, holds: Iterable[Hold] = ()) -> Job:
    """The job with these steps and holds; sound."""
    found = replace(made, steps=steps, holds=tuple(holds))
    assert list(faults(found)) == []
    return found


def transfer(*records: Record, step: Step, **settings: Any) -> Job:
    """A job of these records with one step; site at sea level unless told."""
    made = made_of(*records)
    chosen = replace(made.settings, **{"altitude_m": 0.0, **settings})
    return with_steps(replace(made, settings=chosen), step)


def cover(
    key: str,
    on: str,
    part: str | None,
    *,
    when: str = "found",
) -> Item:
    """A piece of cover-up on a wire, an insulator or a jumper."""
    where = OnItem(when=when, host=on)  # type: ignore[arg-type]
    return Item(key, "cover", (where,), part, name=key if part is None else "")


def moment(made: Job, number: int = 1, *books: str) -> Moment:
    """One step of a job with the scenes on either side of it."""
    before = place(made, number - 1 if number > 1 else "found")
    ready = tuple(rulebook(key) for key in books)
    return Moment(made, number, before, place(made, number), ready)


def said(made: Job, judge: Judge, number: int = 1, *books: str) -> list[Finding]:
    """What a judge says of a step, worst first."""
    return sorted(judge(moment(made, number, *books)), key=lambda one: one.order)


def worker(name: str = "Ben", on: str = "pole", **more: Any) -> Worker:
    """A worker on a pole's east side at 30 ft, who handles nothing live unless told."""
    fields: dict[str, Any] = {"azimuth_deg": 90.0, "height_in": 360.0, "at": "ground"}
    return Worker(name, on, **{**fields, **more})


def work(*workers: Worker, key: str = "hang", title: str = "Hang line arm", **more: Any) -> Step:
    """A step of the crew."""
    return Step(key, title, workers=workers, **more)
