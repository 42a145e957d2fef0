"""Survey readings: a value, what it is of, and how far it can be trusted."""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from framer.model.place import Distance

What = Literal[
    "height",
    "drop",
    "butt",
    "girth",
    "sound girth",
    "sound shell",
    "brand height",
    "depth",
    "top height",
    "sag",
]
"""What can be read. All are lengths in inches.

height: above the datum's grade, of an item on a pole, a wire's far end or a nearby wire;
drop, butt: along the pole an item sits on; girth: of a pole at `at_in` above its grade; sound
girth: of its sound wood there, the rotten shell taken off; sound shell: thickness of the sound wood
there, round a hollow heart;
brand height: of a pole's brand above its grade; depth: a pole's setting depth;
top height: of a pole's top above its grade; sag: of a wire.
"""


AT_HEIGHTS: tuple[What, ...] = ("girth", "sound girth", "sound shell")
"""What a pole has at every height, so that readings at different ones all count."""


class Reading(Struct, frozen=True, forbid_unknown_fields=True):
    """One reading of one quantity.

    Of several the latest date counts, and of equal dates the later in the list. `of` is the id of
    an item, wire or nearby wire; `datum` the id of the pole whose grade a height was taken from,
    or "job" for the job datum. `tolerance_in` is how far off the value may be either way;
    `temp_f` the air temperature at the time.
    """

    of: str
    what: What
    value_in: Annotated[float, Meta(ge=0.0, le=12_000.0)]
    source: Literal["measured", "record", "guessed"] = "measured"
    date: Annotated[str, Meta(pattern=r"^(\d{4}-\d{2}-\d{2})?$")] = ""
    tolerance_in: Distance = 0.0
    datum: str = "job"
    at_in: Distance | None = None
    temp_f: float | None = None
    note: str = ""
