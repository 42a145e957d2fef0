"""A tangent pole whose wires are held in hand: places, spans and ratings as a test asks for them.

Line north and south, spans 150 and 130 ft, ACSR 336.4 kcmil 26/7 (0.4627 lb/ft, 0.3072 in2,
11.2e6 psi). As found every wire rests 30 ft up, as high as at both neighbours.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from msgspec.structs import replace

from framer.model.item import Item, Rating
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Span, Wire
from framer.model.place import Lifted, OnArm, OnItem, OnPole, Standing
from framer.model.step import Step
from tests.build import ARM, PIN, Record, pole
from tests.build import job as made_of
from tests.situations.transfer import with_steps

MAIN = Circuit("main", "Main", kv=12.47, kv_to_ground=7.2, grounded_wye=True)
SPANS = (Span("north", "pole 1", 0.0, 1800.0), Span("south", "pole 3", 180.0, 1560.0))
LINNET = "acsr-336-26-7-linnet"
WIRE_IN = 360.0
NORTH_IN = 5.0 + 3.75 / 2 - 0.5
"""How far north of the pole the arm's middle is, and the wires with it."""


def arm_and_pins(along: dict[str, float], **arm: Any) -> list[Record]:
    """The old arm with a pin for each phase."""
    bolt = WIRE_IN - 13.0
    where = OnPole(when="found", host="pole", at_in=bolt, azimuth_deg=0.0)
    made: list[Record] = [Item("old-arm", "arm", (where,), ARM, **arm)]
    for phase, at in along.items():
        pin = OnArm(when="found", host="old-arm", along_in=at)
        made.append(Item(f"pin-{phase}", "insulator", (pin,), PIN))
    return made


def two_wires(phase: str, *hosts: str, **more: Any) -> list[Record]:
    """Both wires of a phase: on their pin as found, then for the time on each of these hosts."""
    places = (
        OnItem(when="found", host=f"pin-{phase}"),
        *(OnItem(when="temporary", host=host) for host in hosts),
    )
    fields: dict[str, Any] = {"part": LINNET, "tension_lbf": 1200.0, "far_height_in": "level"}
    fields |= {"far_tie": "loose"} | more
    return [
        Wire(f"{phase}-{span}", "main", phase, span, places, **fields)  # type: ignore[arg-type]
        for span in ("north", "south")
    ]


def lift(
    key: str,
    east_in: float,
    up_in: float,
    *,
    rating: Rating | None = None,
    part: str | None = "insulated-lift",
    **more: Any,
) -> Item:
    """A lift that holds a wire so far east of the pole, so much above where wires were found."""
    at = Lifted(when="temporary", east_in=east_in, north_in=NORTH_IN, height_in=WIRE_IN + up_in)
    return Item(key, "lift", (at,), part, name=more.pop("name", key), rating=rating, **more)


def held(
    *records: Record,
    along: dict[str, float],
    moves: Sequence[str],
    settings: Settings | None = None,
    arm: dict[str, Any] | None = None,
    more_steps: Iterable[Step] = (),
) -> Job:
    """The job with one step that moves these things, and any that come after."""
    old = pole(45.0, when="found")
    standing = old[0].places[0]
    assert isinstance(standing, Standing)
    made = made_of(MAIN, *SPANS, *old, *arm_and_pins(along, **(arm or {})), *records)
    made = replace(made, settings=settings or Settings())
    step = Step("spread", "Spread the wires", kind="spread", moves=tuple(moves))
    return with_steps(made, step, *more_steps)
