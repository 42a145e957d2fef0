"""What holds a wire up from the ground is drawn under the wire, from every side."""

from __future__ import annotations

import pytest

from framer.drawing.elevation import elevation
from framer.drawing.lifted import HALF_IN, HEAD_IN, MAST_IN
from framer.drawing.panel import View
from framer.drawing.picture import Line, Path
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.item import Item
from framer.model.line import Circuit, Span, Wire
from framer.model.place import Lifted, OnItem
from tests.build import job, pole


def scene(east_in: float = 60.0) -> Scene:
    at = Lifted(when="after", east_in=east_in, north_in=-30.0, height_in=430.0)
    rest = OnItem(when="after", host="lift")
    made = job(
        Circuit("main", "Main", kv=12.47),
        Span("north", "N", 0.0, 1800.0),
        *pole(45),
        Item("lift", "lift", (at,), "insulated-lift"),
        Wire("A", "main", "A", "north", (rest,), far_height_in="level", sag_in=0.0),
    )
    return place(made, "framed")


@pytest.mark.parametrize(("look_deg", "x"), [(0.0, 60.0), (180.0, -60.0), (90.0, 30.0)])
def test_a_lift_is_drawn_under_the_wire_it_holds(look_deg: float, x: float) -> None:
    picture = elevation(scene(), View(look_deg, 8.0), "pole")
    mine = [one for one in picture.primitives if one.owner == "lift"]
    (head,) = [one for one in mine if isinstance(one, Path)]
    xs, ys = zip(*head.points, strict=True)
    assert (min(xs), max(xs)) == (pytest.approx(x - HALF_IN), pytest.approx(x + HALF_IN))
    assert (min(ys), max(ys)) == (pytest.approx(430.0 - HEAD_IN), pytest.approx(430.0))
    (mast,) = [one for one in mine if isinstance(one, Line)]
    assert (mast.p[1], mast.q[1]) == (430.0 - HEAD_IN, 430.0 - HEAD_IN - MAST_IN)


def test_a_lift_far_out_is_not_drawn_nor_one_that_is_not_there() -> None:
    far = elevation(scene(6_000.0), View(0.0, 8.0), "pole")
    assert not [one for one in far.primitives if one.owner == "lift"]
    found = place(scene().job, "found")
    before = elevation(found, View(0.0, 8.0), "pole")
    assert not [one for one in before.primitives if one.owner == "lift"]
