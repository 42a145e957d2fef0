"""Columns beside a pole: against points sampled one by one, turned about, and with things moved."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from framer.checks.bookshelf import rulebook
from framer.checks.finding import RANK
from framer.checks.room import Way, climb
from framer.checks.room_findings import climbing_findings
from framer.geometry.climbing import (
    COLUMNS,
    Frame,
    Outline,
    intrusions,
    is_side,
    most_at_once,
    outline,
    sizes_when_touched,
)
from framer.geometry.placing import place
from framer.geometry.scene import Box, Part, Run, Scene, Shape, Tag, Tube
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Span
from framer.model.place import OnPole
from tests.build import Record, arm, job, pinned, pole, seat, wire

STEP_IN = 0.5
MOST_IN = 40.0
FRAME = Frame((0.0, 0.0), (0.0, 1.0), (1.0, 0.0))

near = st.floats(-45.0, 45.0)
thin = st.floats(0.5, 8.0)
angle = st.floats(0.0, 2.0 * math.pi)


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    x, y, turn = draw(near), draw(near), draw(angle)
    u, v = (math.cos(turn), math.sin(turn), 0.0), (-math.sin(turn), math.cos(turn), 0.0)
    kind = draw(st.sampled_from(("wire", "round", "slanting", "box")))
    if kind == "wire":
        far = (x + 900.0 * u[0], y + 900.0 * u[1], 0.0)
        return Run((x, y, 0.0), far, draw(st.floats(0.1, 1.0)))
    radius = draw(thin)
    if kind == "round":
        return Tube((x, y, -50.0), (x, y, 50.0), radius, radius)
    if kind == "slanting":
        return Tube((x, y, 50.0), (x + 60.0 * u[0], y + 60.0 * u[1], -50.0), radius, radius)
    return Box((x, y, 0.0), u, v, (0.0, 0.0, 1.0), (draw(thin), draw(thin), 10.0))


def scene_of(shape: Shape) -> Scene:
    return Scene(Job("test"), "framed", {}, (Part("one", "one", int(Tag.CASE), shape, "pole"),))


def covered(shape: Shape, x: np.ndarray, y: np.ndarray, more_in: float) -> np.ndarray:
    """Which points lie in what a shape covers in plan, made larger by `more_in` all around."""
    if isinstance(shape, Box):
        off_x, off_y = x - shape.centre[0], y - shape.centre[1]
        u = np.abs(off_x * shape.u[0] + off_y * shape.u[1])
        v = np.abs(off_x * shape.v[0] + off_y * shape.v[1])
        return (u <= shape.half[0] + more_in) & (v <= shape.half[1] + more_in)
    radius = shape.r if isinstance(shape, Run) else shape.r_p
    (ax, ay), (bx, by) = shape.p[:2], shape.q[:2]
    dx, dy = bx - ax, by - ay
    square = dx * dx + dy * dy
    t = 0.0 if square == 0.0 else np.clip(((x - ax) * dx + (y - ay) * dy) / square, 0.0, 1.0)
    return np.hypot(x - ax - t * dx, y - ay - t * dy) <= radius + more_in


GRID = np.arange(STEP_IN / 2, MOST_IN, STEP_IN)


def sampled(shape: Shape, column: int, more_in: float) -> float:
    """The size at which a growing square first holds a sampled point of the shape."""
    sideways = np.concatenate([-GRID, GRID]) if is_side(column) else GRID
    right, out = np.meshgrid(sideways, GRID)
    turn = math.radians(90.0 * (column // 2))
    # outward is north for column 0 and goes round clockwise; right is clockwise of it
    x = right * math.cos(turn) + out * math.sin(turn)
    y = -right * math.sin(turn) + out * math.cos(turn)
    within = covered(shape, x, y, more_in)
    sizes = np.maximum((2.0 if is_side(column) else 1.0) * np.abs(right), out)
    return float(sizes[within].min(initial=math.inf))


@settings(max_examples=150, deadline=None)
@given(shapes())
def test_the_clear_square_is_that_of_points_sampled_one_by_one(shape: Shape) -> None:
    drawn = outline(scene_of(shape), 0, FRAME, thick=True)
    assert drawn is not None
    touched = sizes_when_touched([(FRAME, [drawn])])[0]
    # a round is taken as a figure around it, 2 in 100 more at its corners; a wire's ends square
    coarse = STEP_IN + 0.5
    for column in range(COLUMNS):
        size = float(touched[column])
        never = sampled(shape, column, -1e-9)
        if never < math.inf:
            assert size <= never + 1e-6, column
        if size < MOST_IN - 2 * coarse:
            assert sampled(shape, column, coarse) <= size + 2 * coarse, column


@settings(max_examples=150, deadline=None)
@given(shapes(), st.integers(0, COLUMNS - 1), st.floats(10.0, 40.0))
def test_what_reaches_in_is_what_is_touched_under_the_width(
    shape: Shape, column: int, width_in: float
) -> None:
    scene = scene_of(shape)
    drawn = outline(scene, 0, FRAME, thick=True)
    assert drawn is not None
    size = float(sizes_when_touched([(FRAME, [drawn])])[0, column])
    found = intrusions(scene, FRAME, column, width_in, [drawn])
    if size < width_in - 1e-3:
        (one,) = found
        # it reaches in no deeper than the square is wide, nor less than where it is touched
        assert 0.0 < one.reach_in <= width_in + 1e-6
    if size > width_in + 1e-3:
        assert found == []


@settings(max_examples=100, deadline=None)
@given(shapes(), angle, near, near)
def test_columns_turn_and_move_with_the_pole(
    shape: Shape, turn: float, east: float, north: float
) -> None:
    c, s = math.cos(turn), math.sin(turn)

    def moved(points: np.ndarray) -> np.ndarray:
        return points @ np.array([[c, s], [-s, c]]) + np.array([east, north])

    drawn = outline(scene_of(shape), 0, FRAME, thick=True)
    assert drawn is not None
    other = Frame((east, north), (-s, c), (c, s))
    there = Outline(0, moved(drawn.points), drawn.low, drawn.high)
    here = sizes_when_touched([(FRAME, [drawn])])
    assert sizes_when_touched([(other, [there])]) == pytest.approx(here, abs=1e-4)


ALDER = Circuit("alder", "Alder", kv=12.47, grounded_wye=True, owner="Alder")


def corner_job(turn_deg: float, out_in: float, pin_in: float, side_deg: float) -> Job:
    """A line arm, a spool wire and a cutout, all turned by an angle."""
    spans = [
        Span(name, name, (azimuth + turn_deg) % 360.0, 1_800.0, sag_in=24.0)
        for name, azimuth in (("north", 0.0), ("south", 180.0))
    ]
    cutout = OnPole(
        when="after",
        host="pole",
        at_in=400.0,
        azimuth_deg=(side_deg + turn_deg) % 360.0,
        out_in=out_in,
    )
    records: list[Record] = [
        *pole(),
        *spans,
        ALDER,
        arm("line", 440.0, faces_deg=turn_deg % 360.0),
        *pinned("line", "alder", "north", {"A": -pin_in, "B": pin_in}),
        seat("low-seat", 395.0, out_in=20.0, faces_deg=(90.0 + turn_deg) % 360.0),
        wire("low", "alder", "south", "low-seat", phase="C"),
        Item("cutout", "cutout", (cutout,), part="cutout-27kv", circuit="alder", phase="A"),
    ]
    return job(*records)


def the_way(made: Job, book: str) -> Way:
    (way,) = climb(place(made, "framed"), (rulebook(book),))
    return way


def told(way: Way) -> list[tuple[Any, ...]]:
    """Every column by its number from the arm, with all that is said of it."""
    return [
        (
            column.number,
            column.verdict,
            [(one.level, one.rule.id, one.verdict) for one in column.judged],
        )
        for column in sorted(way.columns, key=lambda column: column.number)
    ]


def clear(way: Way) -> list[float]:
    return [
        one.clear_in
        for column in sorted(way.columns, key=lambda column: column.number)
        for one in column.judged
    ]


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(("go95-older", "nesc-2017")),
    st.floats(0.1, 359.0),
    st.floats(0.0, 40.0),
    st.floats(8.0, 30.0),
    st.sampled_from((30.0, 135.0, 200.0, 290.0)),
)
def test_turning_the_whole_job_changes_nothing(
    book: str, turn_deg: float, out_in: float, pin_in: float, side_deg: float
) -> None:
    straight = the_way(corner_job(0.0, out_in, pin_in, side_deg), book)
    turned = the_way(corner_job(turn_deg, out_in, pin_in, side_deg), book)
    assert clear(turned) == pytest.approx(clear(straight), abs=1e-3)
    on_the_line = [
        abs(one.clear_in - (one.need_in or 0.0) * share) < 2e-3
        for column in straight.columns
        for one in column.judged
        for share in (1.0, 0.98)
    ]
    if not any(on_the_line):
        assert told(turned) == told(straight)


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(("go95-older", "nesc-2017")),
    st.floats(0.0, 30.0),
    st.floats(0.0, 30.0),
    st.sampled_from((0.0, 30.0, 90.0, 135.0, 200.0, 290.0)),
)
def test_moving_a_thing_outward_never_makes_anything_worse(
    book: str, out_in: float, more_in: float, side_deg: float
) -> None:
    before = the_way(corner_job(0.0, out_in, 18.0, side_deg), book)
    after = the_way(corner_job(0.0, out_in + more_in, 18.0, side_deg), book)
    for one, other in zip(
        sorted(before.columns, key=lambda column: column.number),
        sorted(after.columns, key=lambda column: column.number),
        strict=True,
    ):
        for was, now in zip(one.judged, other.judged, strict=True):
            # with an allowance it is not the same square that is measured
            if not (was.allowed or now.allowed):
                assert now.clear_in >= was.clear_in - 1e-6
            assert RANK[now.verdict] >= RANK[was.verdict]
    worst = [
        sum(found.verdict == "short" for found in climbing_findings(way.scene, (way.book,)))
        for way in (before, after)
    ]
    assert worst[1] <= worst[0]


@given(
    st.lists(st.tuples(st.floats(0.0, 400.0), st.floats(0.0, 100.0)), max_size=7),
    st.floats(1.0, 100.0),
)
def test_the_fullest_window_is_that_of_windows_tried_everywhere(
    spans: list[tuple[float, float]], window_in: float
) -> None:
    ranges = [(low, low + length) for low, length in spans]
    found = most_at_once(ranges, window_in)
    tries = [top for _, top in ranges] + [low - window_in + 1e-3 for low, _ in ranges]
    most = max(
        (
            sum(high >= start - 1e-6 and low < start + window_in - 1e-6 for low, high in ranges)
            for start in tries
        ),
        default=0,
    )
    assert len(found) == most
