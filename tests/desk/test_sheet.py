"""The sheet: headings, directions, zoom, and text that can be read."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QGraphicsSimpleTextItem, QLabel

from framer.desk.board.painting import OWNER, STYLE
from framer.desk.window import Window
from framer.files.reader import read_job
from framer.files.writer import write_job
from framer.model.place import OnPole
from framer.model.words import LEFT_TO_RIGHT
from tests.desk.driving import (
    LEFT,
    NO_KEYS,
    SAMPLES,
    board_of,
    bridge_of,
    click,
    move,
    over,
    place_of,
    press,
    release,
    said,
    spot_of,
    table_of,
    text_sizes,
    texts,
    turn_wheel,
)

JOBS = ("corner", "tangent", "dead-end")
WORDS = {
    0.0: "north",
    45.0: "north-east",
    90.0: "east",
    135.0: "south-east",
    180.0: "south",
    225.0: "south-west",
    270.0: "west",
    315.0: "north-west",
}


def heading(window: Window, stage: str) -> str:
    labels = board_of(window).headings
    return labels["found" if stage == "found" else "framed"].text()


def x_of(window: Window, key: str) -> float:
    """Where the first outline of a thing is on the framed elevation, from its pole's foot."""
    board = board_of(window)
    item = next(item for item in board.framed.items if item.data(0) == key)
    return item.mapToParent(item.boundingRect().center()).x()


def places_of_texts(window: Window) -> dict[str, tuple[float, float]]:
    return {
        item.text(): (item.pos().x(), item.pos().y())
        for item in board_of(window).framed.items
        if isinstance(item, QGraphicsSimpleTextItem)
    }


def test_both_headings_name_their_stage_and_the_direction(corner: Window) -> None:
    assert heading(corner, "found") == "AS FOUND, looking north"
    assert heading(corner, "framed") == "AS FRAMED, looking north"
    for label in board_of(corner).headings.values():
        assert label.isVisible()


def test_headings_stay_in_sight_when_the_sheet_is_scrolled(corner: Window) -> None:
    board = board_of(corner)
    board.zoom(3.0)
    for bar in (board.view.horizontalScrollBar(), board.view.verticalScrollBar()):
        bar.setValue(bar.minimum())
    label = board.headings["found"]
    assert label.isVisible()
    assert board.view.rect().contains(label.geometry())


@pytest.mark.parametrize("look_deg", WORDS)
def test_every_direction_is_named_on_sheet_and_rose_and_has_its_keys(
    corner: Window, look_deg: float
) -> None:
    job = bridge_of(corner).job
    corner.commands.by_name[f"look_{WORDS[look_deg]}"].trigger()
    assert heading(corner, "framed") == f"AS FRAMED, looking {WORDS[look_deg]}"
    assert heading(corner, "found") == f"AS FOUND, looking {WORDS[look_deg]}"
    rose = board_of(corner).rose
    assert [deg for deg, button in rose.buttons.items() if button.isChecked()] == [look_deg]
    assert bridge_of(corner).job is job


def test_looking_from_the_other_side_swaps_the_sides_and_changes_no_azimuth(
    corner: Window,
) -> None:
    def azimuths() -> list[float]:
        return [
            place.azimuth_deg
            for item in bridge_of(corner).job.items
            for place in item.places
            if isinstance(place, OnPole)
        ]

    before, stored = x_of(corner, "pin-c-new"), azimuths()
    assert before > 20.0  # C is on the east end, which is at the right when looking north
    QTest.mouseClick(board_of(corner).rose.buttons[180.0], LEFT)
    assert x_of(corner, "pin-c-new") == pytest.approx(-before, abs=1.0)
    assert azimuths() == stored
    where = place_of(corner, "line-arm")
    assert isinstance(where, OnPole)
    assert where.azimuth_deg == 0.0


def test_looking_from_another_side_by_keys(corner: Window) -> None:
    board_of(corner).view.setFocus()
    QTest.keyClick(board_of(corner).view, Qt.Key.Key_4, Qt.KeyboardModifier.ControlModifier)
    assert heading(corner, "framed") == "AS FRAMED, looking west"


def test_the_first_caution_is_always_below_the_sheet(corner: Window) -> None:
    caution = board_of(corner).title_line.caution
    assert caution.isVisible()
    assert caution.text().startswith("Drawing aid only")
    board_of(corner).zoom(5.0)
    assert caution.isVisible()


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
@pytest.mark.parametrize("job", JOBS)
def test_no_text_lies_over_another_from_whichever_side_it_is_seen(
    window: Window, job: str, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.filing.open_path(SAMPLES / job)
    for look_deg in WORDS:
        board_of(window).look(look_deg)
        assert len(texts(window)) > 20
        assert over(window) == []


@pytest.mark.parametrize("job", JOBS)
def test_no_dimension_of_a_selected_thing_or_finding_lies_over_a_text(
    window: Window, job: str
) -> None:
    window.filing.open_path(SAMPLES / job)
    bridge = bridge_of(window)
    for item in bridge.job.items:
        bridge.select(item.id)
        assert over(window) == [], item.id
    bridge.select("")
    for finding in bridge.session.findings("framed")[:15]:
        bridge.choose(finding.key)
        assert over(window) == [], finding.key


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
@pytest.mark.parametrize("job", JOBS)
def test_no_dimension_of_what_is_dragged_lies_over_a_text(
    window: Window, job: str, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.filing.open_path(SAMPLES / job)
    board, bridge = board_of(window), bridge_of(window)
    ghost = table_of(window).hands.ghost
    dragged = 0
    for item in bridge.job.items:
        if item.kind not in ("arm", "insulator", "attachment"):
            continue
        for up_in in (14.0, -14.0, -30.0):
            try:
                start = spot_of(window, item.id)
            except AssertionError:
                break  # it is not on this pole
            press(window, start)
            at = start + QPoint(4, round(-up_in * board.px_per_in))
            move(window, at)
            dragged += bool(ghost.texts)
            assert over(window) == [], (item.id, up_in)
            release(window, at)
            window.commands.by_name["undo"].trigger()
    assert dragged > 5


def spot_in_plan(window: Window, key: str) -> QPoint | None:
    """A point of the plan where a press is a press on this thing, `None` without one."""
    board, hands = board_of(window), table_of(window).hands
    for item in board.layers["plan"].items:
        if item.data(OWNER) != key or isinstance(item, QGraphicsSimpleTextItem):
            continue
        box = item.sceneBoundingRect()
        for share in (0.5, 0.3, 0.7, 0.15, 0.85):
            for other in (share, 1.0 - share):
                point = board.view.mapFromScene(
                    box.left() + share * box.width(), box.top() + other * box.height()
                )
                if hands.hit_in(point) == (key, "plan"):
                    return point
    return None


@pytest.mark.parametrize("size", [(1000, 700), (1280, 800), (1920, 1080)])
@pytest.mark.parametrize("job", JOBS)
def test_no_dimension_of_what_is_dragged_in_plan_lies_over_a_text(
    window: Window, job: str, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.filing.open_path(SAMPLES / job)
    board, bridge, hands = board_of(window), bridge_of(window), table_of(window).hands
    moved, written = 0, 0
    for key in [thing.id for thing in (*bridge.job.items, *bridge.job.nearby)]:
        for way in (QPoint(9, 5), QPoint(-40, 20), QPoint(30, -40)):
            start = spot_in_plan(window, key)
            if start is None:
                break
            press(window, start)
            move(window, start + way)
            moved += hands.gesture is not None
            written += bool(hands.ghost.texts)
            assert over(window) == [], (key, way)
            QTest.keyClick(board.view, Qt.Key.Key_Escape)
            release(window, start + way)
    assert moved > 5
    # where wires of other lines pass their distances are written
    assert written or not bridge.job.nearby


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
def test_at_every_stage_no_text_lies_over_another_and_the_sheet_stays_as_it_lies(
    window: Window, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.filing.open_path(SAMPLES / "corner-transfer")
    board, bridge = board_of(window), bridge_of(window)
    laid = board._layout
    for stage in bridge.session.stages:
        bridge.show_stage(stage)
        assert over(window) == [], stage
        shown = sorted(
            (label for label in board.headings.values() if label.isVisible()), key=QLabel.x
        )
        assert len(shown) == 3
        for one, other in itertools.pairwise(shown):
            assert one.geometry().right() < other.x(), (stage, one.text())
        # a long name of a step is cut, never the direction
        assert [label.text().rpartition(", ")[2] for label in shown] == [
            "looking north",
            "looking north",
            "looking west",
        ]
    assert board._layout is laid


def test_the_sheet_keeps_its_size_whatever_is_selected(corner: Window) -> None:
    board, bridge, thing = board_of(corner), bridge_of(corner), table_of(corner).thing
    kinds = ("", "pole-old", "pole-new", "line-arm", "pin-c-new", bridge.job.nearby[0].id)
    sizes = set()
    for key in kinds:
        bridge.select(key)
        QApplication.processEvents()
        sizes.add((board.view.height(), thing.height(), board.px_per_in))
        assert thing.source.isVisible() or not thing.source.whole
        assert thing.source.geometry().bottom() < thing.height()
    assert len(sizes) == 1


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
@pytest.mark.parametrize("job", JOBS)
def test_what_is_written_of_a_finding_lies_under_no_heading(
    window: Window, job: str, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.filing.open_path(SAMPLES / job)
    board, bridge = board_of(window), bridge_of(window)
    over_it = [*board.headings.values(), *board.along.values(), board.plan_head]
    for finding in bridge.session.findings("framed")[:15]:
        bridge.choose(finding.key)
        for words, box in texts(window):
            inner = box.adjusted(1, 3, -1, -3).toRect()
            covered = any(one.isVisible() and one.geometry().intersects(inner) for one in over_it)
            assert not covered, (finding.key, words)


def test_the_height_of_a_neighbouring_wire_is_dimensioned_within_its_view(corner: Window) -> None:
    board, bridge = board_of(corner), bridge_of(corner)
    bridge.select(bridge.job.nearby[0].id)
    made = board._layout
    assert made is not None
    for kind in ("found", "framed"):
        drawn = [one for one in board.overlays[kind].items if one.data(STYLE) == "dimension"]
        assert drawn
        left = min(one.sceneBoundingRect().left() for one in drawn)
        assert left >= made.boxes[kind][0]


def test_the_plan_covers_neither_pole_while_both_stand(window: Window) -> None:
    window.filing.open_path(SAMPLES / "corner-transfer")
    board, bridge = board_of(window), bridge_of(window)
    both = 0
    for stage in bridge.session.stages:
        bridge.show_stage(stage)
        paper = board._plan_paper.sceneBoundingRect()
        for kind in ("framed", "second"):
            poles = [
                item.sceneBoundingRect()
                for item in board.layers[kind].items
                if item.data(STYLE) == "pole" and item.data(OWNER) in ("pole-old", "pole-new")
            ]
            both += len(poles) > 1
            assert not any(paper.intersects(box) for box in poles), (stage, kind)
    assert both


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
@pytest.mark.parametrize("job", JOBS)
def test_everything_fits_the_sheet_and_can_be_read(
    window: Window, job: str, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.filing.open_path(SAMPLES / job)
    view = board_of(window).view
    room = view.viewport().rect()
    for text, box in texts(window):
        assert room.contains(box.toRect()), text
    assert 9 <= max(text_sizes(window).values()) <= 12
    assert not view.horizontalScrollBar().isVisible()
    assert not view.verticalScrollBar().isVisible()


def test_the_sheet_is_by_far_the_largest_thing_in_the_window(corner: Window) -> None:
    sheet = board_of(corner).size()
    assert sheet.width() * sheet.height() > 0.5 * corner.width() * corner.height()


def test_the_wheel_zooms_about_the_pointer_and_text_keeps_its_size(corner: Window) -> None:
    board = board_of(corner)
    at = spot_of(corner, "line-arm")
    point, scale = board.view.mapToScene(at), board.px_per_in
    sizes = text_sizes(corner)
    for _ in range(4):
        turn_wheel(corner, at, 1)
    board.redraw()
    assert board.px_per_in > 1.9 * scale
    moved = board.view.mapToScene(at) - point
    assert abs(moved.x()) * board.px_per_in < 3
    assert abs(moved.y()) * board.px_per_in < 3
    assert text_sizes(corner) == sizes


def test_text_is_made_anew_soon_after_zooming(corner: Window) -> None:
    board = board_of(corner)
    before = board.sight.text_in
    places = places_of_texts(corner)
    board.zoom(2.5)
    assert board.sight.text_in < before
    QTest.qWait(120)
    now = places_of_texts(corner)
    assert now.keys() == places.keys()
    assert now != places


def test_zoom_and_fit_by_keys(corner: Window) -> None:
    board = board_of(corner)
    fitted = board.px_per_in
    ctrl = Qt.KeyboardModifier.ControlModifier
    QTest.keyClick(board.view, Qt.Key.Key_Equal, ctrl)
    assert board.px_per_in > fitted
    QTest.keyClick(board.view, Qt.Key.Key_0, ctrl)
    assert board.px_per_in == pytest.approx(fitted)
    QTest.keyClick(board.view, Qt.Key.Key_Minus, ctrl)
    assert board.px_per_in < fitted


@pytest.mark.parametrize("with_space", [False, True])
def test_the_sheet_is_panned_by_the_middle_button_or_with_the_space_bar(
    corner: Window, with_space: bool
) -> None:
    board = board_of(corner)
    board.zoom(3.0)
    viewport = board.view.viewport()
    button = LEFT if with_space else Qt.MouseButton.MiddleButton
    bars = (board.view.horizontalScrollBar(), board.view.verticalScrollBar())
    for bar in bars:
        bar.setValue((bar.minimum() + bar.maximum()) // 2)
    before = [bar.value() for bar in bars]
    if with_space:
        QTest.keyPress(board.view, Qt.Key.Key_Space)
    QTest.mousePress(viewport, button, NO_KEYS, QPoint(200, 200))
    QTest.mouseMove(viewport, QPoint(230, 215))
    QTest.mouseRelease(viewport, button, NO_KEYS, QPoint(230, 215))
    assert [bar.value() for bar in bars] == [before[0] - 30, before[1] - 15]
    assert bridge_of(corner).selected == ""
    if with_space:
        QTest.keyRelease(board.view, Qt.Key.Key_Space)
        QTest.mousePress(viewport, button, NO_KEYS, QPoint(200, 200))
        QTest.mouseMove(viewport, QPoint(240, 200))
        QTest.mouseRelease(viewport, button, NO_KEYS, QPoint(240, 200))
        assert bars[0].value() == before[0] - 30


def test_both_poles_stand_to_one_scale(corner: Window) -> None:
    """The old pole is 45 ft, the new one 50 ft: outlines drawn 540 and 600 in long."""
    board = board_of(corner)

    def outline(layer_items: list[object], key: str) -> float:
        item = next(item for item in layer_items if item.data(0) == key)  # type: ignore[attr-defined]
        return float(item.path().boundingRect().height())  # type: ignore[attr-defined]

    assert outline(list(board.found.items), "pole-old") == pytest.approx(540.0, abs=0.5)
    assert outline(list(board.framed.items), "pole-new") == pytest.approx(600.0, abs=0.5)
    assert board.view.transform().m11() == pytest.approx(board.view.transform().m22())


def test_what_is_selected_is_heavier_has_handles_and_its_dimensions(corner: Window) -> None:
    board = board_of(corner)

    def weight() -> float:
        item = next(item for item in board.framed.items if item.data(0) == "buck-arm")
        return item.pen().widthF()

    light = weight()
    click(corner, "buck-arm")
    assert weight() > light
    handles = [item for item in board.overlay.items if item.data(1) == "frame"]
    assert len(handles) == 4
    shown = [text for text, _ in texts(corner)]
    # the finished top is 43 ft up and the buck arm 38 ft
    assert "5 ft" in shown
    assert "38 ft" in shown
    bridge_of(corner).select("")
    assert board.overlay.items == []


def test_a_thing_that_stays_is_marked_on_both_poles(window: Window) -> None:
    window.filing.open_path(SAMPLES / "corner")
    window.commands.by_name["look_east"].trigger()
    bridge_of(window).select("ridge-near")
    board = board_of(window)
    for layer in (board.found, board.framed):
        pens = [item.pen().widthF() for item in layer.items
                if item.data(OWNER) == "ridge-near"
                and item.data(STYLE) != "fouled"  # the hatch where it reaches into a space
                and not isinstance(item, QGraphicsSimpleTextItem)]  # fmt: skip
        assert pens
        assert all(width > 2.5 for width in pens)


def test_items_are_kept_from_one_picture_to_the_next(corner: Window) -> None:
    board = board_of(corner)
    bridge_of(corner).select("line-arm")
    before = [id(item) for item in board.framed.items]
    press(corner, spot_of(corner, "line-arm"))
    move(corner, spot_of(corner, "line-arm") + QPoint(0, 30))
    now = [id(item) for item in board.framed.items]
    assert len(before) > 100
    # lines are broken round texts, so a few pieces come and go
    assert len(set(now) & set(before)) > 0.9 * len(now)
    QTest.keyClick(board.view, Qt.Key.Key_Escape)


def test_the_board_and_its_parts_are_named_for_screen_readers(corner: Window) -> None:
    table = table_of(corner)
    for part in (
        table.board,
        table.board.view,
        table.board.rose,
        table.thing,
        table.counts,
        table.findings.list,
        table.findings.explanation,
        table.stock.search,
        table.stock.tree,
    ):
        assert part.accessibleName()
    assert f"{table.counts.numbers['short'].text()} short" in table.counts.accessibleName()


def test_long_names_leave_room_for_who_checked_it_and_for_the_next_heading(
    window: Window, tmp_path: Path
) -> None:
    name = "Between the old mill and the upper bridge on Alder Lane"
    job = read_job(SAMPLES / "corner" / "alder-lane.framer")
    spans = tuple(replace(one, toward=name) for one in job.spans)
    write_job(replace(job, name=name, place=name, spans=spans), tmp_path / "job.framer")
    window.filing.open_path(tmp_path / "job.framer")
    board = board_of(window)
    title = board.title_line.title
    assert title.text().startswith("Between the old mill and the upper bridge on Alder Lane, Betw")
    assert title.text().endswith("\u2026, draft - not checked by chief")
    assert title.fontMetrics().horizontalAdvance(title.text()) <= title.width()
    shown = sorted(
        (label.geometry() for label in board.along.values() if label.isVisible()),
        key=QRect.left,
    )
    assert len(shown) == 3
    assert all(one.right() < other.left() for one, other in itertools.pairwise(shown))
    assert all("\u2026" in label.text() for label in board.along.values() if label.isVisible())


def test_numbers_after_a_name_read_from_the_right_stay_where_the_sentence_has_them(
    window: Window, tmp_path: Path
) -> None:
    name = "\u05e9\u05e0\u05d0\u05d9 12"
    marked = f"{LEFT_TO_RIGHT}{name[:4]}{LEFT_TO_RIGHT} 12"
    job = read_job(SAMPLES / "corner" / "alder-lane.framer")
    nearby = tuple(replace(one, name=name) for one in job.nearby)
    write_job(replace(job, name=name, nearby=nearby), tmp_path / "job.framer")
    window.filing.open_path(tmp_path / "job.framer")
    table = table_of(window)
    assert any(text.startswith(f"{marked}, 42 ft") for text, _ in texts(window))
    assert f": {marked[1:]} - New pole: 0 in, needs 3 ft 6 in" in table.findings.model.text(0)
    assert table.board.title_line.title.text().startswith(f"{marked}, ")
    assert said(window) == f"{marked} is open"
