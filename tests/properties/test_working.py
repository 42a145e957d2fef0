"""Room to work: against points sampled one by one, turned about, and with things moved.

And rooms judged with the help of the scene before: they say what they say without it.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.finding import RANK
from framer.checks.levels import hand_over
from framer.checks.room import climb
from framer.checks.rulebook import Rulebook
from framer.checks.working import Beside, Work, work
from framer.edits.places import set_along_arm, set_along_pole, set_azimuth
from framer.geometry.placing import place
from framer.geometry.scene import Box, Part, Run, Scene, Shape, Tag, Tube
from framer.model.job import Job, Settings
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.reading import Reading
from tests.bench.jobs import full_pole
from tests.build import ARM_OUT_IN, Record, arm, job, pinned, pole

NESC = rulebook("nesc-2017")
assert NESC.working is not None
PLAIN = Rulebook(
    NESC.book,
    NESC.rules,
    (),
    NESC.climbing,
    replace(NESC.working, unread=(), passes=("arm", "insulator")),
)
"""The same book, as if it let nothing but arms and insulators stand beside an arm."""

STEP_IN = 0.5
FACE_IN = ARM_OUT_IN + 3.75 / 2
OUTER_IN = 54.75
WIDE_IN, HIGH_IN, WIRES_IN = 30.0, 18.0, 463.0
"""At 12.47 kV, from memory; wires of no known size are 1 1/2 in thick."""


def line_arm(turn_deg: float = 0.0) -> Job:
    """A line arm that faces north, or turned, its wires at 54 in, climbed on the side it faces."""
    spans = [
        Span(name, name, (azimuth + turn_deg) % 360.0, 1_800.0, sag_in=24.0)
        for name, azimuth in (("north", 0.0), ("south", 180.0))
    ]
    records: list[Record] = [
        *pole(),
        *spans,
        Circuit("alder", "Alder", kv=12.47, grounded_wye=True, owner="Alder"),
        arm("line", 450.0, faces_deg=turn_deg % 360.0),
        *pinned("line", "alder", "north", {"A": -54.0, "B": 54.0}),
    ]
    return job(*records, settings=Settings(climbing_side="N"))


ALONE = place(line_arm(), "framed")


def with_part(shape: Shape, tag: Tag = Tag.CASE) -> Scene:
    """The scene of the line arm and one thing more."""
    extra = Part("extra", "extra", int(tag), shape, "pole")
    return replace(ALONE, parts=(*ALONE.parts, extra))


def the_room(scene: Scene, book: Rulebook = PLAIN) -> Beside:
    ((found,),) = (each.beside for each in work(scene, (book,)))
    return found


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    x, y = draw(st.floats(-60.0, 60.0)), draw(st.floats(0.0, 50.0))
    turn = draw(st.floats(0.0, 2.0 * math.pi))
    u, v = (math.cos(turn), math.sin(turn), 0.0), (-math.sin(turn), math.cos(turn), 0.0)
    middle, radius = 455.0, draw(st.floats(0.5, 6.0))
    kind = draw(st.sampled_from(("wire", "round", "box")))
    if kind == "wire":
        return Run((x, y, middle), (x + 900.0 * u[0], y + 900.0 * u[1], middle), 0.4)
    if kind == "round":
        return Tube((x, y, middle - 5.0), (x, y, middle + 5.0), radius, radius)
    half = (draw(st.floats(0.5, 8.0)), radius, 5.0)
    return Box((x, y, middle), u, v, (0.0, 0.0, 1.0), half)


def covered(shape: Shape, x: np.ndarray, y: np.ndarray, more_in: float) -> np.ndarray:
    """Which points lie in what a shape covers in plan, made larger by `more_in` all around."""
    if isinstance(shape, Box):
        off_x, off_y = x - shape.centre[0], y - shape.centre[1]
        u = np.abs(off_x * shape.u[0] + off_y * shape.u[1])
        v = np.abs(off_x * shape.v[0] + off_y * shape.v[1])
        inside: np.ndarray = (u <= shape.half[0] + more_in) & (v <= shape.half[1] + more_in)
        return inside
    radius = shape.r if isinstance(shape, Run) else shape.r_p
    (ax, ay), (bx, by) = shape.p[:2], shape.q[:2]
    dx, dy = bx - ax, by - ay
    square = dx * dx + dy * dy
    t = 0.0 if square == 0.0 else np.clip(((x - ax) * dx + (y - ay) * dy) / square, 0.0, 1.0)
    near: np.ndarray = np.hypot(x - ax - t * dx, y - ay - t * dy) <= radius + more_in
    return near


def sampled(shape: Shape, more_in: float) -> float:
    """How far out from the face the first sampled point of both sides lies in the shape."""
    along = np.arange(WIDE_IN / 2 + STEP_IN / 2, OUTER_IN, STEP_IN)
    out = np.arange(STEP_IN / 2, 60.0, STEP_IN)
    x, y = np.meshgrid(np.concatenate([-along, along]), out)
    within = covered(shape, x, y + FACE_IN, more_in)
    return float(y[within].min(initial=math.inf))


@settings(max_examples=120, deadline=None)
@given(shapes())
def test_the_room_beside_an_arm_is_that_of_points_sampled_one_by_one(shape: Shape) -> None:
    found = the_room(with_part(shape))
    assert (found.need_in, found.low, found.high) == (WIDE_IN, WIRES_IN - HIGH_IN, WIRES_IN)
    assert found.clear_in is not None
    coarse = STEP_IN + 0.5
    touched = sampled(shape, -1e-9)
    if touched < math.inf:
        assert found.clear_in <= touched + 1e-6
    if found.clear_in < 60.0 - 2 * coarse:
        assert sampled(shape, coarse) <= found.clear_in + 2 * coarse
    assert (found.verdict == "short") == (found.clear_in < WIDE_IN - 1e-6)
    # what makes it short is named, with how far it reaches in
    fouls = [foul for side in found.sides for foul in side.fouling]
    if found.clear_in < WIDE_IN - 0.01 and fouls:
        assert all(0.0 < foul.reach_in <= WIDE_IN + 1e-6 for foul in fouls)
    if found.clear_in > WIDE_IN + 1e-6:
        assert fouls == []


def crossed(turn_deg: float, out_in: float, height_in: float) -> Work:
    """The line arm and a wire of another line square to its own, so far out on the climbed side."""
    way = math.radians(turn_deg)
    made = line_arm(turn_deg)
    near = NearbyWire(
        "near", "Near", "alder", out_in * math.sin(way), out_in * math.cos(way),
        (turn_deg + 90.0) % 360.0,
    )  # fmt: skip
    height = Reading("near", "height", height_in, tolerance_in=0.0)
    compass = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")[round(turn_deg / 45.0) % 8]
    made = replace(
        made,
        nearby=(near,),
        readings=(*made.readings, height),
        settings=Settings(climbing_side=compass),  # type: ignore[arg-type]
    )
    (found,) = work(place(made, "framed"), (NESC,))
    return found


@settings(max_examples=30, deadline=None)
@given(
    st.integers(1, 7).map(lambda n: 45.0 * n),
    st.floats(10.0, 60.0),
    st.floats(440.0, 470.0),
)
def test_turning_the_whole_job_changes_nothing(
    turn_deg: float, out_in: float, height_in: float
) -> None:
    (straight,) = crossed(0.0, out_in, height_in).beside
    (turned,) = crossed(turn_deg, out_in, height_in).beside
    assert turned.clear_in == pytest.approx(straight.clear_in, abs=1e-3)
    assert straight.clear_in is not None
    if abs(straight.clear_in - WIDE_IN) > 0.01:
        assert turned.verdict == straight.verdict


@settings(max_examples=40, deadline=None)
@given(st.floats(10.0, 60.0), st.floats(0.0, 30.0), st.floats(440.0, 470.0))
def test_moving_a_wire_outward_never_makes_anything_worse(
    out_in: float, more_in: float, height_in: float
) -> None:
    (before,) = crossed(0.0, out_in, height_in).beside
    (after,) = crossed(0.0, out_in + more_in, height_in).beside
    assert before.clear_in is not None
    assert after.clear_in is not None
    assert after.clear_in >= before.clear_in - 1e-6
    assert RANK[after.verdict] >= RANK[before.verdict]


FULL = full_pole()
BOOKS = tuple(rulebook(key) for key in ("nesc-2017", "go95-older", "tw-j0030019"))


@st.composite
def moves(draw: st.DrawFn) -> list[tuple[str, str, float]]:
    kinds = {
        "up": st.tuples(
            st.sampled_from(("one-line", "two-buck", "bank-1", "spool")), st.floats(-30.0, 8.0)
        ),
        "around": st.tuples(
            st.sampled_from(("riser-1", "bank-2", "guy-1", "one-line")), st.floats(0.0, 359.0)
        ),
        "along": st.tuples(st.sampled_from(("one-line-A", "two-line-B")), st.floats(-56.0, 56.0)),
    }
    made = []
    for _ in range(draw(st.integers(1, 4))):
        kind = draw(st.sampled_from(sorted(kinds)))
        key, by = draw(kinds[kind])
        made.append((kind, key, by))
    return made


def moved(made: Job, kind: str, key: str, by: float) -> Job:
    if kind == "around":
        return set_azimuth(made, key, "framed", by)
    if kind == "along":
        return set_along_arm(made, key, "framed", by)
    (part, *_) = place(made, "framed").parts_of[key]
    return set_along_pole(made, key, "framed", "height", part.up_in + by)


def said(scene: Scene) -> list[Any]:
    """All that is said of the rooms of a scene, without what is only compared by identity."""
    ways = [
        (
            [(one.number, one.judged, one.counts, one.unsaid) for one in way.columns],
            [one.number for one in way.path],
            [(turn.upper, turn.lower, turn.verdict, turn.left_in) for turn in way.turns],
            [
                [(one.part, one.low, one.high, one.points.tolist()) for one in at]
                for at in (lying.fouling() for lying in way.lying)
            ],
            way.reaches_in,
        )
        for way in climb(scene, BOOKS)
    ]
    rooms = [
        (each.heights, [(one.sides, one.clear_in, one.verdict) for one in each.beside])
        for each in work(scene, BOOKS)
    ]
    return [ways, rooms]


@settings(max_examples=20, deadline=None)
@given(moves())
def test_with_the_scene_before_at_hand_the_same_is_said(
    steps: list[tuple[str, str, float]],
) -> None:
    made, before = FULL, place(FULL, "framed")
    said(before)
    for kind, key, by in steps:
        made = moved(made, kind, key, by)
        scene = place(made, "framed")
        hand_over(before, scene)
        assert said(scene) == said(place(made, "framed"))
        before = scene
