"""Circuits, spans, wires, joins and the wires of neighbouring lines."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from framer.model.place import AnyPlace, Azimuth, By, Distance, Offset, When

Kilovolts = Annotated[float, Meta(gt=0.0, le=1_500.0)]
Phase = Literal["A", "B", "C", "N", "secondary", "triplex", "service", "cable", "messenger"]
"""Which conductor of its circuit: a phase, the neutral, an open secondary wire, an insulated
secondary or service cable (of communications: a drop), a communications cable or messenger."""
LiveNumber = Annotated[int, Meta(ge=1, le=20)]
JoinState = Literal["through", "jumper", "bypass", "tap", "open"]
GroundUse = Literal["road", "along road", "driveway", "field", "pedestrian", "railroad", "water"]
"""What a span crosses: a road trucks go on, or the ground beside it; where cars go and no trucks;
other land that vehicles can cross; where only people walk; tracks; water."""


class Circuit(Struct, frozen=True, forbid_unknown_fields=True):
    """A supply circuit or a communications line.

    `kv` is nominal volts between phases in kV, `None` when not known; `kv_to_ground` the nominal
    volts to ground where the name of the system gives one (14.4 of 24.9Y/14.4).
    `grounded_wye` says whether the neutral is effectively grounded, `None` when not known.
    `approach_in` is the employer's own approach distance to it; less than the rulebooks ask counts
    for nothing.
    """

    id: str
    name: str
    kind: Literal["supply", "communications"] = "supply"
    kv: Kilovolts | None = None
    kv_to_ground: Kilovolts | None = None
    grounded_wye: bool | None = None
    owner: str = ""
    protected_by: str = ""
    approach_in: Distance | None = None
    note: str = ""


class Span(Struct, frozen=True, forbid_unknown_fields=True):
    """The way to one neighbouring pole: direction, length, grade there, what is crossed.

    `ruling_span_in` is that of the section between dead-ends the span belongs to; left out, it is
    worked out from the spans known here. `far_condition` is what that pole, its arms and ties were
    seen to be, empty when nobody looked.
    """

    id: str
    toward: str
    azimuth_deg: Azimuth
    length_in: Annotated[float, Meta(gt=0.0, le=120_000.0)]
    far_grade_in: Offset = 0.0
    over: GroundUse | None = None
    sag_in: Distance | None = None
    ruling_span_in: Annotated[float, Meta(gt=0.0, le=120_000.0)] | None = None
    note: str = ""
    far_condition: Literal["", "sound", "poor"] = ""


class Wire(Struct, frozen=True, forbid_unknown_fields=True):
    """One conductor or cable in one span; its near end rests on an item, stage by stage.

    `far_height_in` is its height above grade at the far pole, or "level" for as high as here.
    `far_offset_in` is how far its far end lies to the right of the span's own line from the job's
    origin; left out, geometry/wire_ends.py says where it ends.
    Sag comes from `sag_in` (else the span's, else `tension_lbf` with the weight from stock);
    `sag_cold_in` and `sag_hot_in` are the least and the most it will ever have. `tension_lbf` is
    that of the bare wire at the job's `tension_temp_f`, `loaded_tension_lbf` that under the job's
    loading, where a sag sheet says it. `far_tie` says whether it is tied at the neighbouring pole
    while it is moved, or loose there (untied, or on rollers); empty when not said.
    """

    id: str
    circuit: str
    phase: Phase
    span: str
    places: tuple[AnyPlace, ...]
    part: str | None = None
    far_height_in: Distance | Literal["level"] | None = None
    far_offset_in: Offset | None = None
    sag_in: Distance | None = None
    sag_cold_in: Distance | None = None
    sag_hot_in: Distance | None = None
    tension_lbf: Annotated[float, Meta(gt=0.0, le=200_000.0)] | None = None
    loaded_tension_lbf: Annotated[float, Meta(gt=0.0, le=200_000.0)] | None = None
    note: str = ""
    far_tie: Literal["", "tied", "loose"] = ""


class JoinPlace(Struct, frozen=True, forbid_unknown_fields=True):
    """One state in the chain of a join."""

    when: When
    made: JoinState
    by: By = "crew"


class Join(Struct, frozen=True, forbid_unknown_fields=True):
    """An electrical connection between two wires or live items, staged like everything else.

    `a_live`, `b_live` say which of an item's exposed live points the end is on, counted from 1 as
    in its stock part; left out, its only one. `tail_in` is how far the free end of the jumper
    reaches from the clamp that holds the other while it is made or opened. `phases_proved` is who
    proved the phases of both ends, and how; empty when nobody has.
    """

    id: str
    a: str
    b: str
    places: tuple[JoinPlace, ...]
    part: str | None = None
    a_live: LiveNumber | None = None
    b_live: LiveNumber | None = None
    note: str = ""
    tail_in: Distance | None = None
    phases_proved: str = ""


class NearbyWire(Struct, frozen=True, forbid_unknown_fields=True):
    """A wire of another line that passes near this pole; its height is a survey reading.

    It runs level along `azimuth_deg` through the plan point `east_in`, `north_in`, where its
    height was read. `hot_drop_in` is how much lower than read it hangs at its hottest.
    """

    id: str
    name: str
    circuit: str
    east_in: Offset
    north_in: Offset
    azimuth_deg: Azimuth
    hot_drop_in: Distance = 0.0
    part: str | None = None
    note: str = ""


class LimitLine(Struct, frozen=True, forbid_unknown_fields=True):
    """A plane that framing must not pass: a wall, a property line, a ceiling.

    The plane goes through (`east_in`, `north_in`, `height_in` above datum) and is square to the
    direction `azimuth_deg`, `tilt_deg` above the horizon, which points to the forbidden side.
    A ceiling has `tilt_deg` 90. `keep_in` is how far from the plane everything named stays.
    """

    id: str
    name: str
    east_in: Offset = 0.0
    north_in: Offset = 0.0
    height_in: Offset = 0.0
    azimuth_deg: Azimuth = 0.0
    tilt_deg: Annotated[float, Meta(ge=-90.0, le=90.0)] = 0.0
    keep_in: Distance = 0.0
    binds: Literal["wires", "arms", "poles", "everything"] = "everything"
    note: str = ""
