"""The views on the sheet: two elevations and the plan, one selection, where the pointer is."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QGraphicsItem, QGraphicsSimpleTextItem

from framer.desk.board import two_poles
from framer.desk.board.two_poles import PaneKind
from framer.desk.window import Window
from framer.geometry.written import exact
from tests.desk.driving import (
    SAMPLES,
    board_of,
    bridge_of,
    click,
    drag,
    enter,
    move,
    place_of,
    press,
    release,
    spot_of,
    table_of,
    texts,
)

KINDS: tuple[PaneKind, ...] = ("found", "framed", "second", "plan")


def items_of(window: Window, kind: PaneKind, key: str) -> list[QGraphicsItem]:
    return [
        item
        for item in board_of(window).layers[kind].items
        if item.data(0) == key and not isinstance(item, QGraphicsSimpleTextItem)
    ]


def spot_in(window: Window, kind: PaneKind, key: str) -> QPoint:
    """A point of the widget where a press is a press on this thing in this view."""
    board = board_of(window)
    for item in items_of(window, kind, key):
        box = item.sceneBoundingRect()
        for across in (0.5, 0.2, 0.8, 0.05, 0.95):
            for down in (0.5, 0.2, 0.8):
                at = QPointF(box.left() + across * box.width(), box.top() + down * box.height())
                point = board.view.mapFromScene(at)
                if table_of(window).hands.hit_in(point) == (key, kind):
                    return point
    raise AssertionError(f"nothing of {key} can be pressed in {kind}")


def switch(window: Window, name: str) -> None:
    window.commands.by_name[name].trigger()


def test_the_second_elevation_is_seen_from_the_right_of_the_first(corner: Window) -> None:
    headings = board_of(corner).headings
    assert headings["framed"].text() == "AS FRAMED, looking north"
    assert headings["second"].text() == "AS FRAMED, looking west"
    switch(corner, "look_east")
    assert headings["second"].text() == "AS FRAMED, looking north"


def test_views_along_a_span_say_so(corner: Window) -> None:
    along = board_of(corner).along
    assert along["framed"].text() == "along the line toward pole 6"
    assert along["second"].text() == "along the tap toward pole 7-W1"
    switch(corner, "look_north_east") if "look_north_east" in corner.commands.by_name else switch(
        corner, "look_north-east"
    )
    assert not along["framed"].isVisible()


def test_an_arm_seen_broadside_in_one_elevation_is_seen_end_on_in_the_other(
    corner: Window,
) -> None:
    def wide(kind: PaneKind, key: str) -> float:
        return items_of(corner, kind, key)[0].boundingRect().width()

    assert wide("framed", "line-arm") > 100.0 > 20.0 > wide("second", "line-arm")
    assert wide("second", "buck-arm") > 80.0 > 20.0 > wide("framed", "buck-arm")


def test_both_elevations_of_the_framed_pole_stand_on_one_ground_line(corner: Window) -> None:
    bottoms = {
        kind: items_of(corner, kind, "pole-new")[0].sceneBoundingRect().bottom()
        for kind in ("framed", "second")
    }
    assert bottoms["framed"] == pytest.approx(bottoms["second"])


@pytest.mark.parametrize("kind", ["framed", "second", "plan"])
def test_a_click_in_any_view_selects_in_all_of_them(corner: Window, kind: PaneKind) -> None:
    board = board_of(corner)
    others: tuple[PaneKind, ...] = ("framed", "second", "plan")

    def weights() -> list[float]:
        return [
            items_of(corner, other, "buck-arm")[0].pen().widthF()  # type: ignore[attr-defined]
            for other in others
        ]

    plain = weights()
    at = spot_in(corner, kind, "buck-arm")
    press(corner, at)
    release(corner, at)
    assert bridge_of(corner).selected == "buck-arm"
    assert all(marked > light for marked, light in zip(weights(), plain, strict=True))
    for other in others:
        handles = [item for item in board.overlays[other].items if item.data(1) == "frame"]
        assert len(handles) == 4


def test_everything_selected_is_marked_in_every_view(corner: Window) -> None:
    bridge_of(corner).select_all(("line-arm", "buck-arm"))
    for kind in ("framed", "second", "plan"):
        overlay = board_of(corner).overlays[kind]
        assert len([item for item in overlay.items if item.data(1) == "frame"]) == 8


def test_an_arm_is_dragged_up_and_down_in_the_second_elevation(corner: Window) -> None:
    board = board_of(corner)
    at = spot_in(corner, "second", "buck-arm")
    before = place_of(corner, "buck-arm")
    press(corner, at)
    move(corner, at + QPoint(0, round(12.0 * board.px_per_in)))
    release(corner, at)
    assert place_of(corner, "buck-arm") != before
    assert bridge_of(corner).session.undo_name.startswith("move")


@pytest.mark.parametrize("kind", KINDS)
def test_every_point_tells_its_view_and_its_place_there(corner: Window, kind: PaneKind) -> None:
    board = board_of(corner)
    key = "pole-old" if kind == "found" else "pole-new"
    item = items_of(corner, kind, key)[0]
    middle = item.sceneBoundingRect().center()
    pane = board.pane_at(board.view.mapFromScene(middle))
    assert pane.kind == kind
    x, y = pane.to_real(board.view.mapFromScene(middle))
    pixel = 1.0 / board.px_per_in
    assert x == pytest.approx(0.0, abs=2 * pixel)
    if kind == "plan":
        assert y == pytest.approx(0.0, abs=2 * pixel)
    else:
        # a 45-ft and a 50-ft pole, set 6 ft 6 in and 7 ft deep: half of the rest is up
        stage = "found" if kind == "found" else "framed"
        solid = bridge_of(corner).session.scene(stage).poles[key]
        assert solid.top_up_in is not None
        assert solid.depth_in is not None
        assert y == pytest.approx((solid.top_up_in - solid.depth_in) / 2, abs=2 * pixel)


def test_a_shift_in_a_view_is_one_in_space(corner: Window) -> None:
    board = board_of(corner)
    assert board.pane("framed").way(1.0, 2.0) == pytest.approx((1.0, 0.0, 2.0))  # looking north
    assert board.pane("second").way(1.0, 2.0) == pytest.approx((0.0, 1.0, 2.0))  # looking west
    assert board.pane("plan").way(1.0, 2.0) == pytest.approx((1.0, 2.0, 0.0))


def test_the_pointer_is_told_from_the_ground_and_from_the_top(corner: Window) -> None:
    board = board_of(corner)
    item = items_of(corner, "framed", "line-arm")[0]
    at = board.view.mapFromScene(item.sceneBoundingRect().center())
    QTest.mouseMove(board.view.viewport(), at + QPoint(1, 0))
    QTest.mouseMove(board.view.viewport(), at)
    told = board.title_line.pointer.text()
    assert "above ground" in told
    assert "below top" in told
    # the arm is 42 ft up, 1 ft below the top; a pixel is more than an inch
    assert "41 ft" in told or "42 ft" in told
    plan = board.view.mapFromScene(
        items_of(corner, "plan", "pole-new")[0].sceneBoundingRect().center()
    )
    assert board.pointer_words(plan + QPoint(40, -30)).endswith("north of the pole")
    assert " east, " in board.pointer_words(plan + QPoint(40, -30))


def how_large(window: Window) -> tuple[float, float]:
    """Font size and zoom of the sheet: room goes into text first."""
    made = board_of(window)._layout
    assert made is not None
    return made.size_px, made.px_per_in


@pytest.mark.parametrize(("command", "kind"), [("views_second", "second"), ("views_plan", "plan")])
def test_a_view_is_hidden_and_shown_and_the_rest_gets_its_room(
    corner: Window, command: str, kind: PaneKind
) -> None:
    board = board_of(corner)
    with_it, before = board.px_per_in, how_large(corner)
    assert board.layers[kind].items
    switch(corner, command)
    assert not board.layers[kind].items
    assert not board.overlays[kind].items
    assert how_large(corner) >= before
    assert not (board.headings[kind] if kind == "second" else board.plan_head).isVisible()
    switch(corner, command)
    assert board.layers[kind].items
    assert board.px_per_in == pytest.approx(with_it)


def test_views_by_keys(corner: Window) -> None:
    board = board_of(corner)
    QTest.keyClick(board.view, Qt.Key.Key_E, Qt.KeyboardModifier.ControlModifier)
    assert not board.views.second
    QTest.keyClick(board.view, Qt.Key.Key_G, Qt.KeyboardModifier.ControlModifier)
    assert board.views.together


def test_found_and_framed_together_are_told_apart_by_their_lines(corner: Window) -> None:
    board = board_of(corner)
    apart = how_large(corner)
    switch(corner, "views_together")
    assert how_large(corner) > apart
    assert board.headings["framed"].text() == "AS FOUND AND AS FRAMED, looking north"
    assert not board.headings["found"].isVisible()
    old, new = items_of(corner, "found", "pole-old")[0], items_of(corner, "framed", "pole-new")[0]
    assert old.pen().style() == Qt.PenStyle.CustomDashLine  # type: ignore[attr-defined]
    assert new.pen().style() == Qt.PenStyle.SolidLine  # type: ignore[attr-defined]
    assert old.pen().widthF() < new.pen().widthF()  # type: ignore[attr-defined]
    assert not any(isinstance(item, QGraphicsSimpleTextItem) for item in board.found.items)
    switch(corner, "views_together")
    old = items_of(corner, "found", "pole-old")[0]
    assert old.pen().style() == Qt.PenStyle.SolidLine  # type: ignore[attr-defined]


def test_together_both_poles_stand_as_far_apart_as_they_do(corner: Window) -> None:
    switch(corner, "views_together")
    for command in ("look_north", "look_east"):
        switch(corner, command)
        session = bridge_of(corner).session
        old = session.scene("found").poles["pole-old"].foot
        new = session.scene("framed").poles["pole-new"].foot
        right = board_of(corner).sight.right
        expected = sum((a - b) * r for a, b, r in zip(old, new, right, strict=True))
        centres = [
            items_of(corner, kind, key)[0].sceneBoundingRect().center().x()
            for kind, key in (("found", "pole-old"), ("framed", "pole-new"))
        ]
        assert centres[0] - centres[1] == pytest.approx(expected, abs=0.2)


def test_together_what_was_found_can_still_be_selected(corner: Window) -> None:
    switch(corner, "views_together")
    click(corner, "line-arm-old", framed=False)
    assert bridge_of(corner).selected == "line-arm-old"


def test_the_plan_follows_the_height_of_what_is_selected(corner: Window) -> None:
    board = board_of(corner)
    entry = board.plan_head.height_in
    assert entry.text() == "42 ft"  # the topmost arm
    click(corner, "buck-arm")
    assert entry.text() == "38 ft"
    drag(corner, "buck-arm", 0.0, -24.0)
    # a pixel is more than an inch here
    assert board.plan_height == pytest.approx(432.0, abs=1.5)
    assert entry.text() == exact(bridge_of(corner).job, board.plan_height)


def test_a_typed_height_of_the_plan_stays_until_it_is_emptied(corner: Window) -> None:
    board = board_of(corner)
    entry = board.plan_head.height_in
    names = {str(item.data(0)) for item in board.layers["plan"].items}
    assert "line-arm" in names
    enter(entry, "20 ft")
    assert board.plan_height == 240.0
    names = {str(item.data(0)) for item in board.layers["plan"].items}
    assert "line-arm" not in names  # it is above
    click(corner, "buck-arm")
    assert board.plan_height == 240.0
    enter(entry, "")
    assert board.plan_height == 456.0
    assert entry.text() == "38 ft"


def test_a_height_that_is_no_length_changes_nothing(corner: Window) -> None:
    board = board_of(corner)
    enter(board.plan_head.height_in, "high")
    assert board.plan_height == 504.0
    assert "height of the plan" in corner.statusBar().currentMessage()


def test_arrow_keys_in_the_height_go_from_level_to_level(corner: Window) -> None:
    board = board_of(corner)
    entry = board.plan_head.height_in
    entry.setFocus()
    QTest.keyClick(entry, Qt.Key.Key_Down)
    assert entry.text() == "38 ft"
    QTest.keyClick(entry, Qt.Key.Key_Up)
    assert entry.text() == "42 ft"
    for _ in range(5):
        QTest.keyClick(entry, Qt.Key.Key_Up)
    assert board.plan_height == max(two_poles.levels(bridge_of(corner).session))
    assert corner.statusBar().currentMessage() == "nothing is higher"


def test_room_to_climb_is_drawn_and_can_be_hidden(corner: Window) -> None:
    def outlines(kind: PaneKind) -> int:
        return sum(item.data(1) == "space" for item in board_of(corner).layers[kind].items)

    assert all(outlines(kind) > 0 for kind in ("framed", "second", "plan"))
    switch(corner, "show_spaces")
    assert all(outlines(kind) == 0 for kind in ("framed", "second", "plan"))


def test_room_to_climb_comes_back_when_a_move_is_done(corner: Window) -> None:
    def outlines() -> int:
        return sum(item.data(1) == "space" for item in board_of(corner).layers["plan"].items)

    at = spot_of(corner, "line-arm")
    press(corner, at)
    move(corner, at + QPoint(0, 12))
    assert outlines() == 0  # as the findings about it, it is worked out when the move is done
    release(corner, at)
    assert outlines() > 0


def test_the_height_scale_counts_up_from_the_ground_and_down_from_the_top(corner: Window) -> None:
    shown = [text for text, _ in texts(corner)]
    assert shown.count("ground") == 2
    assert shown.count("top") == 2
    assert shown.count("30 ft") == 4


def test_near_enough_the_height_scale_has_inches(corner: Window) -> None:
    board = board_of(corner)
    board.zoom(16.0)
    board.redraw()
    shown = [text for text, _ in texts(corner)]
    assert "30 ft 6 in" in shown


def test_the_scale_says_how_many_times_smaller_than_the_world_the_drawing_is(
    corner: Window,
) -> None:
    board = board_of(corner)
    before = float(board.title_line.scale.text().removeprefix("Scale 1:"))
    dots = board.view.physicalDpiX()
    assert before == pytest.approx(dots / board.px_per_in, rel=0.01)
    board.zoom(2.0)
    board.redraw()
    after = float(board.title_line.scale.text().removeprefix("Scale 1:"))
    assert after == pytest.approx(before / 2, rel=0.02)


def test_the_chosen_finding_is_measured_in_the_views_where_it_is_seen(corner: Window) -> None:
    model = table_of(corner).findings.model
    board = board_of(corner)
    drawn = set()
    for row in model.rows[:25]:
        bridge_of(corner).choose(row.finding.key)
        if row.finding.line is None:
            continue
        for kind in ("framed", "second"):
            said = [
                item.text()
                for item in board.overlays[kind].items
                if isinstance(item, QGraphicsSimpleTextItem) and item.data(0) == row.finding.key
            ]
            if said:
                drawn.add(kind)
                assert any(line.startswith("needs ") for line in said)
        said = [
            item.text()
            for item in board.layers["plan"].items
            if isinstance(item, QGraphicsSimpleTextItem) and item.data(0) == row.finding.key
        ]
        if said:
            drawn.add("plan")
            assert ", needs " in said[0]
    assert drawn == {"framed", "second", "plan"}


@pytest.mark.parametrize("size", [(1024, 700), (1280, 800)])
def test_a_bare_pole_says_what_to_do_next(window: Window, size: tuple[int, int]) -> None:
    window.resize(*size)
    window.run("new")
    heading = board_of(window).plan_head.geometry()
    for text, box in texts(window):
        assert not box.adjusted(1, 3, -1, -3).toRect().intersects(heading), text
    shown = [text for text, _ in texts(window)]
    assert "Put an arm on it from stock (Insert)," in shown
    assert "Nothing was found here:" in shown


def test_a_job_without_a_pole_says_what_to_do_next(window: Window) -> None:
    window.run("new")
    bridge = bridge_of(window)
    for item in bridge.job.items:
        bridge.select(item.id)
        window.commands.by_name["delete"].trigger()
    shown = [text for text, _ in texts(window)]
    assert "Put a new pole in from stock (Insert)." in shown
    assert not table_of(window).findings.model.rows or table_of(window).findings.list.nothing


def test_the_sheet_stays_as_it_lies_while_nothing_needs_room(corner: Window) -> None:
    board = board_of(corner)
    before, scale = board._layout, board.px_per_in
    drag(corner, "buck-arm", 0.0, -6.0)
    assert board._layout is before
    assert board.px_per_in == scale


def test_the_plan_gives_way_to_what_is_moved_to_its_place(corner: Window) -> None:
    board = board_of(corner)
    drag(corner, "buck-arm", 0.0, -240.0)
    plan = board._layout.boxes["plan"] if board._layout else (0.0, 0.0, 0.0, 0.0)
    left, low, right, high = plan
    labels = [
        item.sceneBoundingRect()
        for item in board.framed.items
        if isinstance(item, QGraphicsSimpleTextItem) and item.data(0) == "buck-arm"
    ]
    assert labels
    for box in labels:
        apart = box.left() > right or box.right() < left
        assert apart or -box.top() < low or -box.bottom() > high


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
@pytest.mark.parametrize("job", ["corner", "tangent", "dead-end"])
def test_headings_rose_and_plan_cover_nothing(
    window: Window, job: str, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.filing.open_path(SAMPLES / job)
    board = board_of(window)
    room = board.view.viewport().rect()
    over = [label for label in (*board.headings.values(), *board.along.values(), board.rose)
            if label.isVisible()]  # fmt: skip
    over.append(board.plan_head)
    for one in over:
        assert room.contains(one.geometry()), one.accessibleName()
        for words, box in texts(window):
            inner = box.adjusted(1, 3, -1, -3).toRect()
            assert not one.geometry().intersects(inner), (words, one)
    for a in over:
        for b in over:
            assert a is b or not a.geometry().intersects(b.geometry())


def test_levels_of_the_framed_pole_are_those_of_what_is_on_it(corner: Window) -> None:
    levels = two_poles.levels(bridge_of(corner).session)
    assert {504.0, 456.0} <= {round(level, 3) for level in levels}
    assert levels == sorted(levels)
