"""Parts from the side: nearer over farther, guys from where they begin, what is not known."""

from __future__ import annotations

import pytest

from framer.drawing.elevation import elevation
from framer.drawing.panel import View
from framer.drawing.picture import Line, Picture
from framer.drawing.picture import Path as Outline
from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.place import Guyed, Standing
from tests.build import arm, job, pole
from tests.unit.drawing.framed_pole import NORTH, SOUTH, framed, of, seen


def test_a_pole_of_unknown_girth_is_drawn_and_what_sits_on_it_is_not() -> None:
    bare = Item("pole", "pole", (Standing(when="after"),), pole=PoleFacts(540.0))
    picture = seen(place(job(bare, arm("arm", 440.0)), "framed"), NORTH)
    left, _, right, _ = Picture(tuple(of(picture, "pole"))).bounds()
    assert right - left > 4.0
    assert of(picture, "arm") == []


def test_a_pole_of_unknown_top_is_not_drawn() -> None:
    assert of(seen(place(job(*pole(None)), "framed"), NORTH), "pole") == []


def test_nearer_things_are_drawn_over_farther_ones() -> None:
    for look, order in ((NORTH, ["riser", "bank"]), (SOUTH, ["bank", "riser"])):
        drawn = [one.owner for one in seen(framed(), look).primitives if isinstance(one, Outline)]
        assert sorted(("bank", "riser"), key=drawn.index) == order


@pytest.mark.parametrize("apart_in", [60.0, 86.0, 150.0])
def test_a_guy_of_the_other_pole_is_drawn_from_where_it_begins_also_end_on(apart_in: float) -> None:
    guyed = Guyed(when="after", host="other", at_in=420.0, azimuth_deg=NORTH, lead_in=240.0)
    scene = place(
        job(
            *pole(45),
            *pole(45, key="other", east_in=apart_in),
            Item("guy", "guy", (guyed,), "guy-3-8in-ehs", name="Guy"),
        ),
        "framed",
    )
    drawn = elevation(scene, View(NORTH, 3.0), "pole", labels=False, dimensions=False)
    first = next(one for one in of(drawn, "guy") if isinstance(one, Line))
    assert first.p[0] == pytest.approx(apart_in, abs=12.0)
    assert first.q[0] == pytest.approx(first.p[0], abs=1.0)
    assert first.q[1] < first.p[1]
