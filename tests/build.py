"""Whole jobs built by hand from a few words, and the one finding a test asks about.

Every pole here is 10 in thick from butt to top, by two girths as if measured, so that distances
from its surface can be worked out in one's head. Lengths are inches unless the name says feet.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from framer.checks.bookshelf import read_rulebook, rulebook
from framer.checks.engine import check
from framer.checks.finding import RANK, Finding, Verdict
from framer.checks.rulebook import Rulebook
from framer.geometry.placing import place
from framer.geometry.scene import Run, Scene
from framer.model.faults import faults
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Join, LimitLine, NearbyWire, Span, Wire
from framer.model.place import OnArm, OnItem, OnPole, Standing, When
from framer.model.reading import Reading
from framer.model.stage import Stage

POLE_RADIUS_IN = 5.0
ARM = "arm-10ft-4pin"
"""A wood arm 3-3/4 in along the bolt and 4-3/4 in deep, let 1/2 in into the pole."""
PIN = "pin-55-5-25kv"
"""Holds the wire 10-5/8 in above the arm, 13 in above the bolt of that arm."""
ARM_OUT_IN = POLE_RADIUS_IN + 3.75 / 2 - 0.5
"""How far an arm's middle stands out from the centre line of a pole."""

Record = Circuit | Span | Item | Wire | Join | NearbyWire | LimitLine | Reading
Kind = tuple[type[Record], str]
_FIELDS: tuple[Kind, ...] = (
    (Circuit, "circuits"),
    (Span, "spans"),
    (Item, "items"),
    (Wire, "wires"),
    (Join, "joins"),
    (NearbyWire, "nearby"),
    (LimitLine, "limits"),
    (Reading, "readings"),
)


def job(*records: Record, settings: Settings | None = None) -> Job:
    """A sound job of these records, in whatever order they come."""
    fields: dict[str, list[Record]] = {name: [] for _, name in _FIELDS}
    for record in records:
        fields[next(name for kind, name in _FIELDS if isinstance(record, kind))].append(record)
    sorted_out: dict[str, Any] = {name: tuple(found) for name, found in fields.items()}
    made = Job("test", settings=settings or Settings(), **sorted_out)
    assert list(faults(made)) == []
    return made


def pole(
    length_ft: float | None = 45.0,
    *,
    key: str = "pole",
    when: When = "after",
    dia_in: float = 2 * POLE_RADIUS_IN,
    **standing: Any,
) -> tuple[Item, Reading, Reading]:
    """A pole with the two girths that make it `dia_in` thick all the way."""
    facts = PoleFacts(None if length_ft is None else 12 * length_ft)
    girth_in = math.pi * dia_in
    return (
        Item(key, "pole", (Standing(when=when, **standing),), pole=facts),
        Reading(key, "girth", girth_in, at_in=0.0),
        Reading(key, "girth", girth_in, at_in=480.0),
    )


def arm(
    key: str,
    at_in: float,
    *,
    hold: str = "height",
    faces_deg: float = 0.0,
    part: str = ARM,
    on: str = "pole",
    when: When = "after",
) -> Item:
    """An arm with its bolt at a height above the pole's grade, or as `hold` says."""
    where = OnPole(when=when, host=on, at_in=at_in, hold=hold, azimuth_deg=faces_deg)  # type: ignore[arg-type]
    return Item(key, "arm", (where,), part=part)


def on_arm(key: str, arm_key: str, along_in: float, *, part: str = PIN) -> Item:
    """An insulator on an arm; positive is clockwise of the way the arm faces."""
    return Item(key, "insulator", (OnArm(when="after", host=arm_key, along_in=along_in),), part)


def seat(
    key: str,
    height_in: float,
    *,
    out_in: float = 0.0,
    faces_deg: float = 90.0,
    on: str = "pole",
) -> Item:
    """A fixing of no known size, which holds a wire `out_in` from the pole's surface."""
    where = OnPole(when="after", host=on, at_in=height_in, azimuth_deg=faces_deg, out_in=out_in)
    return Item(key, "bracket", (where,), name=key)


def wire(
    key: str, circuit: str, span: str, on: str, *, phase: str = "A", position: int = 0, **more: Any
) -> Wire:
    """A wire that ends on an item and is level, unless told."""
    more.setdefault("far_height_in", "level")
    where = OnItem(when="after", host=on, position=position)
    return Wire(key, circuit, phase, span, (where,), **more)  # type: ignore[arg-type]


def pinned(
    arm_key: str, circuit: str, span: str, along: dict[str, float], **more: Any
) -> list[Record]:
    """Pins along an arm with a wire each; keys are `arm-A` for phase A, its pin `arm-A-pin`."""
    made: list[Record] = []
    for phase, along_in in along.items():
        key = f"{arm_key}-{phase}"
        made.append(on_arm(f"{key}-pin", arm_key, along_in))
        made.append(wire(key, circuit, span, f"{key}-pin", phase=phase, **more))
    return made


@dataclass(frozen=True)
class Checked:
    """A job at one stage, placed and judged."""

    scene: Scene
    findings: Sequence[Finding] = field(repr=False)

    def of(self, rule: str, *things: str) -> list[Finding]:
        """The findings of one rule, for these things if any are named."""
        return [
            finding
            for finding in self.findings
            if finding.rule.id == rule and (not things or owners(finding) == set(things))
        ]

    def the(self, rule: str, *things: str) -> Finding:
        """The one finding of a rule for these things."""
        found = self.of(rule, *things)
        seen = "\n".join(f"{finding.key}: {finding.verdict}" for finding in self.findings)
        assert len(found) == 1, f"{len(found)} findings of {rule} for {things} among:\n{seen}"
        return found[0]

    def about(self, *things: str) -> list[Finding]:
        """Every finding that names all of these things."""
        return [finding for finding in self.findings if owners(finding) >= set(things)]

    def near_end(self, key: str) -> tuple[float, float, float]:
        """Where a wire rests: east, north, up."""
        return self._run(key).p

    def far_end(self, key: str) -> tuple[float, float, float]:
        """Where a wire goes: east, north, up."""
        return self._run(key).q

    def _run(self, key: str) -> Run:
        shape = self.scene.part_by_key[key].shape
        assert isinstance(shape, Run)
        return shape


def owners(finding: Finding) -> set[str]:
    """Ids of the things a finding speaks of."""
    return {part.owner for part in (finding.a, finding.b) if part is not None}


def worst(findings: Iterable[Finding]) -> Verdict:
    """The worst verdict among some findings."""
    return min((finding.verdict for finding in findings), key=RANK.__getitem__)


def judged(made: Job, *books: str | Rulebook, stage: Stage = "framed") -> Checked:
    """The job placed and judged by rulebooks, given as ids or ready."""
    scene = place(made, stage)
    assert scene.unplaced == ()
    ready: Iterable[Rulebook] = (rulebook(b) if isinstance(b, str) else b for b in books)
    return Checked(scene, check(scene, tuple(ready)))


def written_book(folder: Path, rules: str) -> Rulebook:
    """A rulebook `mine` with rules written out as TOML, read as any other."""
    path = folder / "mine.toml"
    path.write_text(f'[book]\nid = "mine"\nname = "Mine"\nedition = "1"\n{rules}', encoding="utf-8")
    book = read_rulebook(path)
    assert book.problems == ()
    return book
