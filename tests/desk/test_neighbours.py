"""How far what is moved is from its neighbours, and what it settles on."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QGraphicsSimpleTextItem

from framer.desk.board.ghost import along_arm, along_pole, ghost_dimensions, ghost_words
from framer.desk.board.snaps import Target, levels, pins, settled
from framer.desk.window import Window
from framer.drawing.panel import View
from framer.drawing.picture import Dimension, Text
from framer.edits.places import set_pole
from framer.geometry.placing import place
from framer.model.job import Job
from tests.build import arm, job, on_arm, pole
from tests.desk.driving import (
    board_of,
    bridge_of,
    click,
    drop_of,
    height_of,
    move,
    place_of,
    press,
    release,
    said,
    spot_of,
    table_of,
)


def framed() -> Job:
    """Two arms 4 ft apart facing north, the upper one with three pins."""
    return job(
        *pole(),
        arm("upper", 420.0),
        arm("lower", 372.0),
        on_arm("west", "upper", -54.0),
        on_arm("middle", "upper", 18.0),
        on_arm("east", "upper", 54.0),
    )


def test_neighbours_along_the_pole_are_the_next_things_the_top_and_the_ground() -> None:
    scene = place(framed(), "framed")
    top = scene.poles["pole"].top_up_in
    assert top is not None
    above, below = along_pole(scene, "upper")
    assert above is not None
    assert below is not None
    assert (above.key, above.gap_in) == ("pole", pytest.approx(top - 420.0))
    assert (below.key, below.gap_in) == ("lower", pytest.approx(48.0))
    above, below = along_pole(scene, "lower")
    assert above is not None
    assert below is not None
    assert (above.key, above.gap_in) == ("upper", pytest.approx(48.0))
    assert (below.key, below.gap_in, below.at_in) == ("pole", pytest.approx(372.0), 0.0)


def test_neighbours_along_an_arm_are_the_next_things_and_its_ends() -> None:
    scene = place(framed(), "framed")
    left, right = along_arm(scene, "middle")
    assert left is not None
    assert right is not None
    assert (left.key, left.gap_in) == ("west", pytest.approx(72.0))
    assert (right.key, right.gap_in) == ("east", pytest.approx(36.0))
    left, right = along_arm(scene, "east")
    assert right is not None
    assert (right.key, right.gap_in) == ("upper", pytest.approx(6.0))


def test_the_gaps_are_told_and_drawn() -> None:
    scene = place(framed(), "framed")
    assert ghost_words(scene, "lower") == "4 ft below upper, 31 ft above ground"
    assert ghost_words(scene, "middle") == "6 ft from west, 3 ft from east"
    assert ghost_words(scene, "east") == "3 ft from middle, 6 in from the arm's end"
    drawn = list(ghost_dimensions(scene, View(0.0, 5.0), "pole", "middle"))
    spans = sorted(round(abs(one.p[0] - one.q[0])) for one in drawn if isinstance(one, Dimension))
    assert spans == [36, 72]
    written = {one.text for one in drawn if isinstance(one, Dimension | Text)} - {""}
    assert written == {"6 ft", "3 ft"}


@pytest.mark.parametrize("look_deg", [0.0, 180.0, 30.0])
def test_an_arm_seen_aslant_has_its_true_distances(look_deg: float) -> None:
    scene = place(framed(), "framed")
    drawn = list(ghost_dimensions(scene, View(look_deg, 5.0), "pole", "middle"))
    written = {one.text for one in drawn if isinstance(one, Dimension | Text)} - {""}
    assert written == {"6 ft", "3 ft"}


def test_nothing_is_drawn_of_an_arm_seen_from_its_end_or_of_a_pole() -> None:
    scene = place(framed(), "framed")
    assert list(ghost_dimensions(scene, View(90.0, 5.0), "pole", "middle")) == []
    assert list(ghost_dimensions(scene, View(0.0, 5.0), "pole", "pole")) == []
    assert list(ghost_dimensions(scene, View(0.0, 5.0), "other", "upper")) == []


# What a drag settles on.


def test_a_value_settles_on_a_target_within_reach_else_on_the_grid() -> None:
    targets = (Target(10.3, "level with x"), Target(40.0, "level with y"))
    assert settled(9.5, targets, 1.0, 1.0) == (10.3, "level with x")
    assert settled(9.2, targets, 1.0, 1.0) == (9.0, "")
    assert settled(9.2, targets, 0.5, 1.0) == (9.0, "")
    assert settled(9.3, targets, 0.5, 1.0) == (9.5, "")
    assert settled(10.26, targets, 1 / 16, 1.0) == (10.25, "")


def test_levels_are_those_of_the_neighbours_and_of_factory_bores() -> None:
    made = framed()
    scene = place(set_pole(made, "pole", bored_in=(14.0, 62.0)), "framed")
    top = scene.poles["pole"].top_up_in
    assert top is not None
    found = {one.words: one.value_in for one in levels(scene, "pole", ("upper",))}
    assert found["level with lower"] == pytest.approx(top - 372.0)
    assert "level with upper" not in found
    bores = [one.value_in for one in levels(scene, "pole") if one.words == "at a factory bore"]
    assert bores == [14.0, 62.0]


def test_a_taken_pin_says_by_what() -> None:
    found = [one.words for one in pins(framed(), "upper", (-54.0, -18.0, 18.0, 54.0), ("middle",))]
    assert found == ["on pin 1, where west is", "on pin 2", "on pin 3", "on pin 4, where east is"]


# By mouse.


def ghost_texts(window: Window) -> list[str]:
    return [
        item.text()
        for item in table_of(window).hands.ghost.items
        if isinstance(item, QGraphicsSimpleTextItem)
    ]


def test_the_gaps_to_its_neighbours_are_shown_while_an_arm_is_dragged(corner: Window) -> None:
    start = spot_of(corner, "buck-arm")
    press(corner, start)
    assert ghost_texts(corner) == []
    at = start + QPoint(0, 25)
    move(corner, at)
    gap = height_of(corner, "line-arm") - height_of(corner, "buck-arm")
    whole = f"{int(gap // 12)} ft {int(gap % 12)} in"
    assert whole.removesuffix(" 0 in") in ghost_texts(corner)
    assert len(ghost_texts(corner)) == 2
    release(corner, at)
    assert ghost_texts(corner) == []


def test_an_arm_dragged_near_the_height_of_another_settles_level_with_it(corner: Window) -> None:
    start = spot_of(corner, "buck-arm")
    scale = board_of(corner).px_per_in
    up = height_of(corner, "line-arm") - height_of(corner, "buck-arm")
    press(corner, start)
    move(corner, start - QPoint(0, round(up * scale)))
    assert "level with Line arm" in said(corner)
    assert drop_of(corner, "buck-arm") == pytest.approx(drop_of(corner, "line-arm"))
    release(corner, start)


def test_half_inches_are_a_setting(corner: Window) -> None:
    corner.commands.by_name["half_inches"].trigger()
    assert "half inches" in said(corner)
    board_of(corner).zoom(6.0, spot_of(corner, "spool-new"))
    start = spot_of(corner, "spool-new")
    press(corner, start)
    seen = set()
    for down in range(8, 40):
        move(corner, start + QPoint(0, down))
        seen.add(drop_of(corner, "spool-new") % 1.0)
    release(corner, start)
    assert seen == {0.0, 0.5}
    corner.commands.by_name["half_inches"].trigger()
    assert bridge_of(corner).step_in == 1.0


def test_escape_takes_the_ghost_away(corner: Window) -> None:
    before = place_of(corner, "pin-b-new")
    start = spot_of(corner, "pin-b-new")
    press(corner, start)
    move(corner, start + QPoint(20, 0))
    assert ghost_texts(corner)
    board_of(corner).view.escaped.emit()
    assert ghost_texts(corner) == []
    assert place_of(corner, "pin-b-new") == before
    release(corner, start)


def test_the_ghost_is_drawn_in_the_view_where_it_is_dragged(corner: Window) -> None:
    click(corner, "buck-arm")
    board = board_of(corner)
    hands = table_of(corner).hands
    layer = board.layers["second"]
    box = next(
        item.sceneBoundingRect()
        for item in layer.items
        if item.data(0) == "buck-arm" and not isinstance(item, QGraphicsSimpleTextItem)
    )
    at = board.view.mapFromScene(box.center().x() + 0.3 * box.width(), box.center().y())
    assert hands.hit_in(at) == ("buck-arm", "second")
    before = drop_of(corner, "buck-arm")
    press(corner, at)
    move(corner, at + QPoint(0, 30))
    assert hands.ghost.root.pos() == layer.root.pos()
    assert drop_of(corner, "buck-arm") > before
    release(corner, at + QPoint(0, 30))
    assert bridge_of(corner).session.undo_name == "move Buck arm"
