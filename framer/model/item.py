"""Items: everything that stands or hangs at the location, except wires."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from framer.model.place import AnyPlace, Distance

ItemKind = Literal[
    "pole",
    "arm",
    "brace",
    "insulator",
    "bracket",
    "transformer",
    "cutout",
    "arrester",
    "equipment",
    "riser",
    "ground wire",
    "guy",
    "attachment",
    "lamp",
    "cover",
    "lift",
]


Pounds = Annotated[float, Meta(gt=0.0, le=100_000.0)]


class Rating(Struct, frozen=True, forbid_unknown_fields=True):
    """What a support takes from one wire, as its tag or the crew says; `None` when not known.

    `up_lbf` is the weight it carries; `side_lbf` the pull across the wire, `along_lbf` along it.
    """

    up_lbf: Pounds | None = None
    side_lbf: Pounds | None = None
    along_lbf: Pounds | None = None


class PoleFacts(Struct, frozen=True, forbid_unknown_fields=True):
    """What is known of a pole as a piece of timber; `None` means not known.

    `length_in` is the stock length, `pole_class` the strength class ("4", "H1"), `species` a name
    of the pole dimension table in resources/stock. `bored_in` is how far below the original top,
    before any cut, the factory bored it; empty when it did not or nobody said.
    """

    length_in: Distance | None = None
    pole_class: str | None = None
    species: str | None = None
    bored_in: tuple[Distance, ...] = ()


class Item(Struct, frozen=True, forbid_unknown_fields=True):
    """One thing with a chain of places.

    `part` names a stock part (not for poles), `circuit` and `phase` say what potential its live
    parts have, `circuit` also what a riser carries and a box is for, `replaces` names the item
    this one takes over from. `rating` is what a support takes from a wire, `condition` what a
    found thing was seen to be, empty when nobody looked. `weight_lb` is what it was weighed at or
    its tag says; `slack_in` how far a riser, ground wire or cable can be moved without a new piece.
    `rated_lbf` is what an insulator is rated to break at, instead of its stock part's rating:
    sideways at the wire where it stands, along its axis where it hangs or is strung out.
    """

    id: str
    kind: ItemKind
    places: tuple[AnyPlace, ...]
    part: str | None = None
    name: str = ""
    owner: str = ""
    circuit: str | None = None
    phase: str | None = None
    replaces: str | None = None
    pole: PoleFacts | None = None
    note: str = ""
    rating: Rating | None = None
    condition: Literal["", "sound", "poor"] = ""
    weight_lb: Pounds | None = None
    slack_in: Distance | None = None
    rated_lbf: Pounds | None = None
