"""Lifts, boom and workers from above: a lift's holder square, a boom's circle, arrows to the rest.

The pole stands at the job's origin; a plan reaches 96 in from it to each side. The lift's wire
rests 430 in up.
"""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from framer.drawing.picture import Circle, Line, Path, Picture, Text, extent
from framer.drawing.plan import plan_height, plan_view
from framer.drawing.plan_panel import PLAN_REACH_IN
from framer.drawing.rigging import CHORDS, HOLDER_IN, step_of
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.item import Item
from framer.model.line import Circuit, Span, Wire
from framer.model.place import Lifted, OnItem
from framer.model.step import Boom, Step, Worker
from tests.build import arm, job, pole

TEXT_IN = 5.0


def after(
    *, east_in: float = 60.0, boom: Boom | None = None, workers: tuple[Worker, ...] = ()
) -> Scene:
    """The pole after a step that brings a lift up and has a boom."""
    at = Lifted(when="temporary", east_in=east_in, north_in=-30.0, height_in=430.0)
    rest = OnItem(when="temporary", host="lift")
    made = job(
        Circuit("main", "Main", kv=12.47),
        Span("north", "N", 0.0, 1800.0),
        *pole(45, when="found"),
        arm("arm", 400.0, when="found"),
        Item("lift", "lift", (at,), "insulated-lift", name="Lift A"),
        Wire("A", "main", "A", "north", (rest,), far_height_in="level", sag_in=0.0),
    )
    step = Step("s1", "lift", moves=("lift", "A"), boom=boom, workers=workers)
    return place(replace(made, steps=(step, Step("s2", "then"))), 1)


def plan(
    scene: Scene, *, at_in: float = 430.0, look_deg: float = 0.0, names: bool = False
) -> Picture:
    return plan_view(
        scene, pole="pole", at_in=at_in, text_in=TEXT_IN, look_deg=look_deg, names=names
    )


def words(picture: Picture) -> list[str]:
    return [one.text for one in picture.primitives if isinstance(one, Text)]


def chords(picture: Picture) -> list[Line]:
    return [one for one in picture.primitives if isinstance(one, Line) and one.style == "reach"]


@pytest.mark.parametrize(
    ("look_deg", "x", "y"), [(0.0, 60.0, -30.0), (90.0, 30.0, 60.0), (180.0, -60.0, 30.0)]
)
def test_a_lift_is_a_square_where_its_wire_rests(look_deg: float, x: float, y: float) -> None:
    drawn = plan(after(), look_deg=look_deg).primitives
    (holder,) = [one for one in drawn if isinstance(one, Path) and one.owner == "lift"]
    corners = {(x + a, y + b) for a in (-HOLDER_IN, HOLDER_IN) for b in (-HOLDER_IN, HOLDER_IN)}
    assert {(round(a, 6), round(b, 6)) for a, b in holder.points} == corners
    assert holder.style == "case"


def test_a_lift_far_below_is_thin_and_one_above_is_left_out() -> None:
    def styles(at_in: float) -> list[str]:
        there = plan(after(), at_in=at_in).primitives
        return [one.style for one in there if isinstance(one, Path) and one.owner == "lift"]

    # of the level is what begins within 24 in above it; thin what ends more than 60 in below it
    assert [styles(at) for at in (405.0, 406.0)] == [[], ["case"]]
    assert [styles(at) for at in (490.0, 491.0)] == [["case"], ["below"]]


def test_the_plan_is_first_seen_at_the_height_of_a_lift_above_the_arm() -> None:
    assert plan_height(after(), "pole") == 430.0
    assert plan_height(place(after().job, 0), "pole") == 400.0


def test_an_arrow_points_to_a_lift_outside_and_its_distance_is_written() -> None:
    scene = after(east_in=160.0)
    picture = plan(scene)
    assert not [one for one in picture.primitives if isinstance(one, Path) and one.owner == "lift"]
    # sqrt(160^2 + 30^2) = 162.8 in, 13 ft 7 in; atan(160 / -30) is 100.6 degrees from north
    assert "Lift A 13 ft 7 in toward 101 deg" in words(picture)
    assert "LIFT" in words(picture)
    named = " ".join(words(plan(scene, names=True)))
    assert "Lift A 13 ft 7 in toward 101 deg" in named


def test_the_circle_of_a_boom_is_cut_off_where_the_plan_ends() -> None:
    # 300 in south of the pole, reaches 360: its circle passes 60 in north of the pole
    picture = plan(after(boom=Boom(0.0, -300.0, 360.0)))
    there = chords(picture)
    assert there
    off = 360.0 * (1.0 - math.cos(math.pi / CHORDS)) + 1e-6
    for one in there:
        for x, y in (one.p, one.q):
            assert 360.0 - off <= math.dist((x, y), (0.0, -300.0)) <= 360.0 + 1e-6
            assert max(abs(x), abs(y)) <= PLAN_REACH_IN + 1e-6
    ends = [end for one in there for end in (one.p, one.q)]
    assert max(y for _, y in ends) == pytest.approx(60.0, abs=off)
    assert min(x for x, _ in ends) == pytest.approx(-PLAN_REACH_IN)
    assert max(x for x, _ in ends) == pytest.approx(PLAN_REACH_IN)
    assert "BOOM" in words(picture)
    assert any("Boom 25 ft toward S, reaches 30 ft" in one for one in words(picture))


def test_a_boom_that_stands_in_the_plan_has_its_turntable_there() -> None:
    picture = plan(after(boom=Boom(50.0, 40.0, 30.0)))
    (stand,) = [
        one for one in picture.primitives if isinstance(one, Circle) and one.style == "reach"
    ]
    assert stand.centre == (50.0, 40.0)
    assert "BOOM" not in words(picture)
    ends = [end for one in chords(picture) for end in (one.p, one.q)]
    assert max(x for x, _ in ends) == pytest.approx(80.0)


@pytest.mark.parametrize(
    ("boom", "said"),
    [
        (Boom(-240.0, 0.0, 480.0), "reaches 40 ft: all of this plan"),
        (Boom(-240.0, 0.0, 120.0), "reaches 10 ft: not to this plan"),
    ],
)
def test_a_circle_that_does_not_cross_the_plan_is_told(boom: Boom, said: str) -> None:
    picture = plan(after(boom=boom))
    assert not chords(picture)
    told = " ".join(words(picture))
    assert f"Boom 20 ft toward W, {said}" in told


def test_a_boom_is_drawn_after_its_own_step_only() -> None:
    scene = after(boom=Boom(0.0, -300.0, 360.0))
    assert chords(plan(scene))
    for stage in ("found", 2, "framed"):
        assert not chords(plan(place(scene.job, stage)))
    assert step_of(scene) is scene.job.steps[0]
    assert step_of(place(scene.job, "framed")) is None


def test_the_room_of_a_worker_is_outlined_with_his_name() -> None:
    # in a bucket 40 in off the face of the pole at its east, 24 in room every way
    ben = Worker("Ben", "pole", 90.0, 380.0, 40.0, by="bucket")
    picture = plan(after(workers=(ben,)))
    (room,) = [one for one in picture.primitives if isinstance(one, Path) and one.owner == "Ben"]
    xs, ys = zip(*room.points, strict=True)
    assert (max(xs) - min(xs), max(ys) - min(ys)) == (pytest.approx(48.0), pytest.approx(48.0))
    assert (min(ys) + max(ys)) / 2 == pytest.approx(0.0, abs=1e-6)
    assert min(xs) > 0.0
    (name,) = [one for one in picture.primitives if isinstance(one, Text) and one.text == "Ben"]
    (left, low), (right, high) = extent(name)
    assert min(xs) < (left + right) / 2 < max(xs)
    assert min(ys) < (low + high) / 2 < max(ys)
