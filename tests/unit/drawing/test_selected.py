"""Dimensions of what is selected: the numbers that stand on the sheet and on the drill list."""

from __future__ import annotations

import pytest

from framer.drawing.panel import View
from framer.drawing.picture import Dimension
from framer.drawing.selected import thing_dimensions
from framer.geometry.placing import place
from framer.geometry.written import exact
from framer.takeoff.drilling import drill_list
from tests.build import arm, job, pole
from tests.unit.drawing.framed_pole import NORTH, TEXT_IN


@pytest.mark.parametrize("rake_in", [0.0, 6.0])
def test_an_arm_is_as_far_from_top_and_ground_as_on_the_drill_list(rake_in: float) -> None:
    # 1.03 in are cut off: rounded by itself the drop would be 14 15/16 in, off by a step
    standing = {"cut_in": 1.03, "depth_in": 78.0, "rake_in_per_10ft": rake_in}
    made = job(*pole(45, **standing), arm("arm", 446.03))
    scene = place(made, "framed")
    (row,) = drill_list(scene, "pole").rows
    drawn = thing_dimensions(scene, View(NORTH, TEXT_IN), "pole", "arm")
    said = [one.text for one in drawn if isinstance(one, Dimension)]
    assert said == [exact(made, row.ground_in), exact(made, row.top_in)]
