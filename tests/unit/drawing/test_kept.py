"""What was drawn of a part is kept while the part and the view stay, and never longer."""

from __future__ import annotations

import pytest

from framer.drawing.elevation import elevation
from framer.drawing.kept import Kept
from framer.drawing.panel import View
from framer.drawing.plan import plan_view
from framer.edits.places import set_along_pole
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from tests.bench.jobs import full_pole


def scenes() -> tuple[Scene, Scene]:
    """A full pole, and the same with its upper line arm 2 ft lower."""
    job = full_pole()
    lower = set_along_pole(job, "one-line", "framed", "height", 616.0)
    return place(job, "framed"), place(lower, "framed")


@pytest.mark.parametrize("look_deg", [0.0, 45.0, 270.0])
def test_an_elevation_with_what_is_kept_is_the_one_drawn_anew(look_deg: float) -> None:
    kept, view = Kept(), View(look_deg, 9.0)
    for scene in (*scenes(), *scenes()):
        known = elevation(scene, view, "pole", kept=kept)
        assert known == elevation(scene, view, "pole")


def test_a_plan_with_what_is_kept_is_the_one_drawn_anew_at_every_height() -> None:
    kept = Kept()
    for scene in scenes():
        for at_in in (640.0, 616.0, 300.0, 640.0):
            drawn = [
                plan_view(scene, pole="pole", at_in=at_in, text_in=9.0, names=False, kept=one)
                for one in (kept, None)
            ]
            assert drawn[0] == drawn[1]


def test_only_what_moved_is_drawn_anew() -> None:
    before, after = scenes()
    kept, view = Kept(), View(0.0, 9.0)
    drawn = elevation(before, view, "pole", kept=kept).primitives
    first = {id(one) for one in drawn}
    second = elevation(after, view, "pole", kept=kept).primitives
    stayed = {one.owner for one in second if id(one) in first}
    moved = {one.owner for one in second if id(one) not in first}
    assert {"two-line", "spool", "pole", "clamp-1"} <= stayed
    assert "one-line" in moved
    assert "one-line" not in stayed


def test_another_look_or_text_size_is_drawn_anew() -> None:
    scene, _ = scenes()
    kept = Kept()
    for view in (View(0.0, 9.0), View(90.0, 9.0), View(90.0, 12.0), View(0.0, 9.0)):
        assert elevation(scene, view, "pole", kept=kept) == elevation(scene, view, "pole")
