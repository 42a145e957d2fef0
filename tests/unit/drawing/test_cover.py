"""Cover-up is a sleeve round what it covers: from the support on, as long as the hose that lies.

The hose of the stock is 6 ft long. The wire leaves its pin at the pole to the north, level.
"""

from __future__ import annotations

import pytest

from framer.drawing.bodies import STUB_IN
from framer.drawing.elevation import elevation
from framer.drawing.panel import View
from framer.drawing.picture import Circle, Path, Picture
from framer.drawing.plan import plan_view
from framer.drawing.plan_panel import PLAN_REACH_IN
from framer.geometry.placing import place
from framer.geometry.scene import Run, Scene
from framer.model.item import Item
from framer.model.line import Circuit, Span
from framer.model.place import OnItem
from framer.stock.catalogue import catalogue
from framer.stock.part import CoverPart
from tests.build import arm, job, pinned, pole

HOSE = "line-hose-6ft-class-3"
HOSE_IN = 72.0


def covered(hoses: int) -> Scene:
    on = OnItem(when="after", host="arm-A")
    lying = (Item(f"hose-{at}", "cover", (on,), HOSE) for at in range(hoses))
    made = job(
        Circuit("main", "Main", kv=12.47),
        Span("north", "N", 0.0, 1_800.0),
        *pole(45),
        arm("arm", 440.0),
        *pinned("arm", "main", "north", {"A": -54.0}),
        *lying,
    )
    return place(made, "framed")


def run_of(scene: Scene) -> Run:
    (run,) = [part.shape for part in scene.parts_of["arm-A"] if isinstance(part.shape, Run)]
    return run


def sleeve(picture: Picture) -> list[Path | Circle]:
    return [
        one for one in picture.primitives if isinstance(one, Path | Circle) and one.style == "cover"
    ]


def plan(scene: Scene, at_in: float = 440.0) -> Picture:
    return plan_view(scene, pole="pole", at_in=at_in, text_in=5.0, names=False)


def test_the_hose_of_the_stock_is_six_feet_long() -> None:
    part = catalogue()[HOSE]
    assert isinstance(part, CoverPart)
    assert part.length_in == HOSE_IN


@pytest.mark.parametrize("hoses", [1, 2])
def test_in_plan_a_sleeve_reaches_from_the_support_as_far_as_the_hose(hoses: int) -> None:
    scene = covered(hoses)
    (drawn,) = sleeve(plan(scene))
    assert isinstance(drawn, Path)
    start, ys = run_of(scene).p[1], [y for _, y in drawn.points]
    assert min(ys) == pytest.approx(start, abs=0.1)
    # two reach past the edge of the plan
    assert max(ys) == pytest.approx(start + HOSE_IN if hoses == 1 else PLAN_REACH_IN, abs=0.1)
    assert drawn.owner == "hose-0"


@pytest.mark.parametrize(("hoses", "long_in"), [(1, HOSE_IN), (2, STUB_IN)])
def test_from_the_side_it_reaches_as_far_and_no_farther_than_the_wire_is_drawn(
    hoses: int, long_in: float
) -> None:
    (drawn,) = sleeve(elevation(covered(hoses), View(90.0, 8.0), "pole"))
    assert isinstance(drawn, Path)
    xs = [x for x, _ in drawn.points]
    assert max(xs) - min(xs) == pytest.approx(long_in, abs=0.1)


def test_from_its_end_it_is_a_ring_round_the_wire() -> None:
    scene = covered(1)
    (drawn,) = sleeve(elevation(scene, View(0.0, 8.0), "pole"))
    assert isinstance(drawn, Circle)
    assert drawn.centre == pytest.approx((run_of(scene).p[0], run_of(scene).p[2]))


def test_without_cover_and_where_the_wire_is_not_seen_there_is_no_sleeve() -> None:
    assert sleeve(plan(covered(0))) == []
    assert sleeve(elevation(covered(0), View(90.0, 8.0), "pole")) == []
    # far below the height of the plan, and above it
    assert sleeve(plan(covered(1), at_in=600.0)) == []
    assert sleeve(plan(covered(1), at_in=300.0)) == []
