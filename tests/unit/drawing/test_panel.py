"""How a view is named, and which one is broadside."""

from __future__ import annotations

import pytest

from framer.drawing.panel import View, broadside_look
from framer.drawing.picture import Picture
from framer.geometry.placing import place
from tests.build import arm, job, pole
from tests.unit.drawing.framed_pole import TEXT_IN, of, seen


@pytest.mark.parametrize(
    ("look_deg", "words"),
    [
        (0.0, "north"),
        (90.0, "east"),
        (180.0, "south"),
        (270.0, "west"),
        (225.0, "south-west"),
        (17.0, "17 deg"),
    ],
)
def test_a_view_is_named_by_where_it_looks(look_deg: float, words: str) -> None:
    assert View(look_deg, TEXT_IN).words == f"looking {words}"


@pytest.mark.parametrize(
    ("faces_deg", "look_deg"), [(0.0, 0.0), (90.0, 90.0), (270.0, 270.0), (45.0, 45.0)]
)
def test_the_top_arm_is_seen_broadside(faces_deg: float, look_deg: float) -> None:
    lower = arm("lower", 400.0, faces_deg=10.0)
    made = place(job(*pole(45), lower, arm("arm", 440.0, faces_deg=faces_deg)), "framed")
    assert broadside_look(made) == look_deg
    left, _, right, _ = Picture(tuple(of(seen(made, look_deg), "arm"))).bounds()
    assert right - left == pytest.approx(120.0)


def test_without_an_arm_the_view_is_to_the_north() -> None:
    assert broadside_look(place(job(*pole(45)), "framed")) == 0.0
