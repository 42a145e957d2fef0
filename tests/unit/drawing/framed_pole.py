"""A framed pole that tests of drawings look at, and what stands in a picture of it.

A line runs north and south on an arm 440 in up that faces north: phase A on its west end, B and C
east. A cable clamp sits on the east side, a transformer on the south, a riser on the north; a guy
leads west. The pole is 10 in thick, 45 ft long and 78 in deep, so its top is 462 in up.
"""

from __future__ import annotations

from framer.drawing.elevation import elevation
from framer.drawing.panel import View
from framer.drawing.picture import Picture, Primitive, Text
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.item import Item
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.place import Guyed, OnPole
from tests.build import Record, arm, job, pinned, pole, wire

TEXT_IN = 8.0

LOOKS = (0.0, 90.0, 180.0, 270.0)

NORTH, EAST, SOUTH, WEST = LOOKS

RIDGE = NearbyWire("near", "Ridge wire", "ridge", 30.0, 40.0, 90.0)


def on_pole(
    key: str, kind: str, part: str, at_in: float, faces_deg: float, to_in: float | None = None
) -> Item:
    where = OnPole(when="after", host="pole", at_in=at_in, azimuth_deg=faces_deg, to_in=to_in)
    return Item(key, kind, (where,), part, name=key.title())  # type: ignore[arg-type]


def framed(*more: Record) -> Scene:
    guyed = Guyed(when="after", host="pole", at_in=420.0, azimuth_deg=WEST, lead_in=240.0)
    return place(
        job(
            Circuit("main", "Main", kv=12.47, grounded_wye=True),
            Circuit("ridge", "Ridge", kv=12.47),
            Circuit("phone", "Phone", kind="communications"),
            Span("north", "N", NORTH, 1800.0),
            Span("south", "S", SOUTH, 1800.0),
            *pole(45),
            arm("arm", 440.0),
            *pinned("arm", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}),
            *(wire(f"south-{p}", "main", "south", f"arm-{p}-pin", phase=p) for p in "ABC"),
            on_pole("clamp", "attachment", "comm-clamp", 312.0, EAST),
            wire("cable", "phone", "north", "clamp", phase="cable"),
            on_pole("bank", "transformer", "transformer-25kva", 380.0, SOUTH),
            on_pole("riser", "riser", "riser-4in", 0.0, NORTH, 300.0),
            Item("guy", "guy", (guyed,), "guy-3-8in-ehs", name="Guy"),
            *more,
        ),
        "framed",
    )


def seen(scene: Scene, look_deg: float, **more: bool) -> Picture:
    return elevation(scene, View(look_deg, TEXT_IN), "pole", **more)


def of(picture: Picture, owner: str) -> list[Primitive]:
    """What is drawn of a thing itself, not its labels and dimensions."""
    about = ("label", "level", "dimension", "leader")
    return [one for one in picture.primitives if one.owner == owner and one.style not in about]


def texts(picture: Picture) -> list[Text]:
    return [one for one in picture.primitives if isinstance(one, Text)]


def labels(picture: Picture) -> dict[str, str]:
    """What stands under each name beside the pole."""
    label = [one for one in texts(picture) if one.style == "label"]
    below = {(one.at[0], round(one.at[1], 6)): one.text for one in label}
    found = {}
    for one in label:
        under = below.get((one.at[0], round(one.at[1] - 1.4 * TEXT_IN, 6)))
        if under is not None:
            found[one.text] = under
    return found
