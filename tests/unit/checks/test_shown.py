"""Rooms to climb and to work as outlines to draw."""

from __future__ import annotations

import pytest

from framer.checks.bookshelf import rulebook
from framer.checks.shown import SpaceShown, spaces
from framer.geometry.placing import place
from framer.geometry.scene import Scene
from framer.model.job import Settings
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.reading import Reading
from tests.build import ARM_OUT_IN, Record, arm, job, pinned, pole

NESC = rulebook("nesc-2017")
FACE_IN = ARM_OUT_IN + 3.75 / 2


def scene(*more: Record, pin_in: float = 20.0, kv: float = 12.47) -> Scene:
    """A line arm that faces north, 450 in up, whose wires rest 463 in up; climbed on the north."""
    made = job(
        *pole(),
        Span("north", "N", 0.0, 1_800.0, sag_in=24.0),
        Circuit("alder", "Alder", kv=kv, grounded_wye=True),
        arm("line", 450.0),
        *pinned("line", "alder", "north", {"A": -54.0, "B": pin_in}),
        *more,
        settings=Settings(climbing_side="N"),
    )
    return place(made, "framed")


def the(kind: str, of: Scene, column: int | None = None) -> SpaceShown:
    (found,) = (one for one in spaces(of, (NESC,), "pole", column) if one.kind == kind)
    return found


def flat(outline: tuple[tuple[float, float], ...]) -> list[float]:
    return [value for corner in outline for value in corner]


def test_a_column_stands_on_the_side_of_the_pole_as_wide_as_it_must_be() -> None:
    # NESC from memory: 30 in, carried 40 in about the level
    shown = the("climbing", scene())
    assert (shown.need_in, shown.verdict, shown.fouls) == (30.0, "meets", ())
    assert flat(shown.outline) == pytest.approx([-15.0, 0.0, 15.0, 0.0, 15.0, 30.0, -15.0, 30.0])
    assert (shown.low_in, shown.high_in) == (423.0, 503.0)
    assert (shown.pole, shown.rule, shown.column) == ("pole", "nesc-2017.236-width", 0)


def test_another_column_is_shown_when_asked_for() -> None:
    # south-east, with a corner on the pole
    shown = the("climbing", scene(), 3)
    assert sorted({round(x) for x, _ in shown.outline}) == [0, 30]
    assert sorted({round(y) for _, y in shown.outline}) == [-30, 0]


def test_what_reaches_in_is_shown_with_its_heights_and_how_far() -> None:
    # 12 in off the middle, 3/4 in thick to each side: 15 less 11 1/4
    (foul,) = the("climbing", scene(pin_in=12.0)).fouls
    assert (foul.key, foul.reach_in) == ("line-B", pytest.approx(3.75))
    assert (foul.low_in, foul.high_in) == (463.0, 463.0)


def test_the_room_beside_an_arm_lies_from_the_climbing_space_to_the_outermost_wire() -> None:
    shown = [one for one in spaces(scene(), (NESC,), "pole") if one.kind == "working"]
    spans = sorted(
        (min(x for x, _ in one.outline), max(x for x, _ in one.outline)) for one in shown
    )
    assert spans == [pytest.approx((-54.75, -15.0)), pytest.approx((15.0, 20.75))]
    for one in shown:
        ys = [y for _, y in one.outline]
        assert (min(ys), max(ys)) == pytest.approx((FACE_IN, FACE_IN + 30.0))
        assert (one.low_in, one.high_in) == (445.0, 463.0)
        assert (one.rule, one.verdict) == ("nesc-2017.237-room", "meets")


def test_a_wire_in_the_room_is_shown_with_how_far_it_reaches_in() -> None:
    near = NearbyWire("near", "Near", "alder", 0.0, FACE_IN + 20.75, 90.0)
    height = Reading("near", "height", 455.0, tolerance_in=0.0)
    left = next(
        one
        for one in spaces(scene(near, height), (NESC,), "pole")
        if one.kind == "working" and one.outline[0][0] < 0.0
    )
    (foul,) = left.fouls
    assert (foul.key, foul.reach_in) == ("near", pytest.approx(10.0))
    assert (left.clear_in, left.verdict) == (pytest.approx(20.0), "short")


def test_where_the_width_is_not_known_what_is_clear_is_shown() -> None:
    shown = the("climbing", scene(kv=99.0))
    assert (shown.need_in, shown.verdict) == (None, "cannot say")
    width = max(x for x, _ in shown.outline) - min(x for x, _ in shown.outline)
    assert width == pytest.approx(shown.clear_in)


def test_another_pole_or_a_book_that_asks_nothing_shows_nothing() -> None:
    assert spaces(scene(), (NESC,), "other") == ()
    assert spaces(scene(), (rulebook("house"),), "pole") == ()
