"""Steps of the transfer, who works where in them, holds on circuits, limits kept in between."""

from collections.abc import Container, Iterable
from typing import Annotated, Literal

from msgspec import Meta, Struct
from msgspec.structs import replace

from framer.model.item import Pounds
from framer.model.place import Azimuth, Distance, Offset

StepKind = Literal[
    "cover",
    "temporary support",
    "spread",
    "support old pole",
    "ready pole",
    "set pole",
    "guy",
    "bore",
    "hang",
    "move wire",
    "bypass",
    "jumper",
    "neutral",
    "secondary",
    "communications",
    "equipment",
    "last wire",
    "strip",
    "top old pole",
    "pull old pole",
    "uncover",
    "de-energise",
    "ground",
    "other",
]
"""What kind of work a step is."""

RubberClass = Literal["", "00", "0", "1", "2", "3", "4"]
"""Class of rubber goods; empty when not said."""


class Worker(Struct, frozen=True, forbid_unknown_fields=True):
    """One worker's position during a step.

    He is on the pole `pole`, or beside it in a bucket, on its side `azimuth_deg`, with his feet
    (or the bucket's floor) `height_in` above the pole's grade; `out_in` is how far the middle of a
    bucket is from the pole's face. He takes up `envelope_in` out from the pole's face (24 in is
    common practice) and to either side, and `reach_up_in` up from his feet (8 ft is common
    practice); `tools_in` reaches beyond that. `at` is the wire or live item that he handles, or
    "ground"; empty when nobody said. `gloves` is the class of his rubber gloves.
    """

    name: str
    pole: str
    azimuth_deg: Azimuth = 0.0
    height_in: Distance | None = None
    out_in: Offset = 0.0
    envelope_in: Distance = 24.0
    reach_up_in: Distance = 96.0
    tools_in: Distance = 0.0
    at: str = ""
    by: Literal["climbing", "bucket", "ground"] = "climbing"
    method: Literal["", "gloves", "hot stick"] = ""
    gloves: RubberClass = ""
    note: str = ""


class Boom(Struct, frozen=True, forbid_unknown_fields=True):
    """Where a boom stands during a step, from the job's origin, and how far out it can reach.

    `lift_lb` is what it lifts there, by its chart; `None` when nobody looked. `butt_in` is how far
    above the ground line the butt is when a pole it sets or pulls stands upright over its hole;
    below 0 it is in the hole by then, and the pole comes up slanting.
    """

    east_in: Offset
    north_in: Offset
    reach_in: Distance
    lift_lb: Pounds | None = None
    butt_in: Offset = 0.0


class Step(Struct, frozen=True, forbid_unknown_fields=True):
    """One step of the transfer: each thing named in `moves` goes one place along its chain.

    `to` says, in the order of `moves`, which place of its chain each goes to, the first being 1, so
    that steps can change their order and still mean the same; empty for the next one each. After a
    step with `crew_leaves` nobody is at the pole any more, as after the last step, and before one
    by others or on a later day; such a stage is judged like a finished pole. `drop_deg` is the side
    of the pole on which a piece sawn off its top comes down; `None` when nobody said.
    """

    id: str
    title: str
    by: Literal["crew", "others", "later"] = "crew"
    moves: tuple[str, ...] = ()
    note: str = ""
    kind: StepKind = "other"
    workers: tuple[Worker, ...] = ()
    crew_leaves: bool = False
    to: tuple[Annotated[int, Meta(ge=1, le=1_000)], ...] = ()
    boom: Boom | None = None
    drop_deg: Azimuth | None = None

    @property
    def goes(self) -> tuple[tuple[str, int | None], ...]:
        """Each thing that moves with the place it goes to, the first being 1; `None`: the next."""
        return tuple(zip(self.moves, self.to or (None,) * len(self.moves), strict=False))

    def moving(self, goes: Iterable[tuple[str, int | None]]) -> "Step":
        """The step with these moves instead; all have a number, or none is kept."""
        kept = tuple(goes)
        numbers = tuple(to for _, to in kept if to is not None)
        to = numbers if len(numbers) == len(kept) else ()
        return replace(self, moves=tuple(key for key, _ in kept), to=to)

    def without(self, gone: Container[str]) -> "Step":
        """The step without all mention of these things."""
        workers = tuple(
            replace(one, at="") if one.at in gone else one
            for one in self.workers
            if one.pole not in gone
        )
        return replace(self.moving(go for go in self.goes if go[0] not in gone), workers=workers)


class Hold(Struct, frozen=True, forbid_unknown_fields=True):
    """What was arranged for a circuit within reach; what is empty was not confirmed.

    `kind`: a hold on its device, covered instead, de-energised instead, or nothing but a fuse,
    which is no hold.
    """

    circuit: str
    kind: Literal["", "hold", "cover", "de-energise", "fuse only"] = ""
    device: str = ""
    asked_by: str = ""
    given_to: str = ""
    number: str = ""
    note: str = ""


BetweenWire = Literal["wire", "supply wire", "phase", "neutral", "communications", "nearby wire"]
BetweenWhat = Literal[BetweenWire, "pole", "arm", "guy", "case"]
"""What a limit between steps can speak of; the words are those of rules."""


class LimitBetween(Struct, frozen=True, forbid_unknown_fields=True):
    """A distance the crew keeps while the work is going on, between any `a` and any `b`.

    It counts from surface to surface between what is at different potentials, after every step but
    those the crew leaves after.
    """

    id: str
    a: BetweenWire
    b: BetweenWhat
    keep_in: Annotated[float, Meta(gt=0.0, le=12_000.0)]
    note: str = ""
