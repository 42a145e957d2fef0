"""Where a thing is: one place in the chain of places it goes through.

A chain runs found, temporary (any number), after, built. A thing without a `found` place is new;
a thing without an `after` place is undecided. Along a pole a place is held by one of three
references, and stays there when the others change: `butt` (distance up from the butt), `drop`
(distance down from the finished top) or `height` (distance above the pole's own grade).
"""

from typing import Annotated, Literal

from msgspec import Meta, Struct

When = Literal["found", "temporary", "after", "built"]
By = Literal["crew", "others"]
Hold = Literal["butt", "drop", "height"]

Distance = Annotated[float, Meta(ge=0.0, le=12_000.0)]
"""A length that cannot be negative, inches; 1,000 ft is the most any single one may be."""
Offset = Annotated[float, Meta(ge=-120_000.0, le=120_000.0)]
"""A signed length, inches."""
Azimuth = Annotated[float, Meta(ge=0.0, lt=360.0)]
"""Compass direction, degrees clockwise from north."""


class Place(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag_field="where"):
    """What all places share: when in the chain it comes, and who brings the thing there."""

    when: When
    by: By = "crew"


class Standing(Place, frozen=True, kw_only=True, tag="standing"):
    """A pole in the ground.

    `east_in`, `north_in` locate the pole's axis at its ground line from the job's origin;
    `grade_in` is that ground line above the job datum. `depth_in` is butt to ground line along
    the pole; left out, it follows the job's depth rule for a new pole and the brand reading for a
    found one. `cut_in` is what is sawn off the stock top. The pole leans `rake_in_per_10ft`
    towards `rake_azimuth_deg`. `held` says that a boom or temporary guys hold it.
    """

    east_in: Offset = 0.0
    north_in: Offset = 0.0
    grade_in: Offset = 0.0
    depth_in: Distance | None = None
    cut_in: Distance = 0.0
    rake_in_per_10ft: Annotated[float, Meta(ge=0.0, le=60.0)] = 0.0
    rake_azimuth_deg: Azimuth = 0.0
    held: bool = False


class Lying(Place, frozen=True, kw_only=True, tag="lying"):
    """A pole on the ground, not yet set or already pulled."""


class OnPole(Place, frozen=True, kw_only=True, tag="on pole"):
    """Fixed to a pole: at `at_in` along the reference `hold`, on the side `azimuth_deg`.

    For an arm `azimuth_deg` is the face it sits on; its positive end lies 90 degrees clockwise
    of that (an arm facing north has its positive end east). `at_in` left out means the height is
    a survey reading. `to_in` is the other end of a run along the pole (riser, ground wire), on
    the same reference. `out_in` adds to the distance from the pole's surface.
    """

    host: str
    at_in: Distance | None = None
    hold: Hold = "height"
    azimuth_deg: Azimuth = 0.0
    to_in: Distance | None = None
    out_in: Offset = 0.0


class OnArm(Place, frozen=True, kw_only=True, tag="on arm"):
    """Fixed to an arm, `along_in` from its bolt: positive is clockwise of the way the arm faces.

    On a double arm `member` 0 is the arm on the face named, 1 the one across the pole.
    """

    host: str
    along_in: Offset = 0.0
    member: Literal[0, 1] = 0


class OnItem(Place, frozen=True, kw_only=True, tag="on"):
    """Resting on or fixed to another item: a wire on its insulator, a cover on its wire.

    `position` counts the places of a rack from the top.
    """

    host: str
    position: Annotated[int, Meta(ge=0, le=20)] = 0


class Guyed(Place, frozen=True, kw_only=True, tag="guyed"):
    """A guy from a pole at `at_in` (reference `hold`), leading `lead_in` towards `azimuth_deg`.

    `far_height_in` is the far end above the pole's grade: 0 for an anchor on level ground, the
    attachment height for a guy to another pole. `insulator_in` is how far along the guy from the
    pole its strain insulator reaches, where the stock part does not say it. `anchor_lbf` is what
    the anchor holds in its ground, as typed; `rod_dia_in` the thickness of its rod. A sidewalk guy
    goes over the end of a strut `strut_in` long, `strut_height_in` above the pole's grade, and from
    there down to its anchor.
    """

    host: str
    lead_in: Distance
    at_in: Distance | None = None
    hold: Hold = "height"
    azimuth_deg: Azimuth = 0.0
    far_height_in: Offset = 0.0
    insulator_in: Distance | None = None
    anchor_lbf: Annotated[float, Meta(gt=0.0, le=500_000.0)] | None = None
    rod_dia_in: Annotated[float, Meta(gt=0.0, le=4.0)] | None = None
    strut_in: Distance | None = None
    strut_height_in: Distance | None = None


class Lifted(Place, frozen=True, kw_only=True, tag="lifted"):
    """A lift that holds a wire up from the ground, by a boom or a stand; no pole carries it.

    The wire rests at `east_in`, `north_in` from the job's origin, `height_in` above the job datum.
    """

    east_in: Offset
    north_in: Offset
    height_in: Offset


class Same(Place, frozen=True, kw_only=True, tag="as before"):
    """Exactly as in the place before; a correction of that place travels on by itself."""


class Removed(Place, frozen=True, kw_only=True, tag="removed"):
    """Taken away."""


class Undecided(Place, frozen=True, kw_only=True, tag="undecided"):
    """Nobody has said yet what becomes of it. Every surveyed thing starts here."""


AnyPlace = Standing | Lying | OnPole | OnArm | OnItem | Guyed | Lifted | Same | Removed | Undecided
