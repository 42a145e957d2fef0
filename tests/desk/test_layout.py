"""The views on the sheet are laid out as large as the room allows, wherever the plan lies."""

from __future__ import annotations

import pytest

from framer.desk.board import two_poles
from framer.desk.board.two_poles import (
    LARGE_ENOUGH,
    SIZES_PX,
    TRIED_IN,
    Layout,
    Views,
    layout,
    plan_spots,
)
from framer.session import Session
from tests.desk.driving import SAMPLES

ROOMS = [(900.0, 650.0), (1500.0, 900.0), (560.0, 480.0)]
JOBS = ["corner/alder-lane", "tangent/fenwick-road", "dead-end/quarry-lane"]


def every_place(
    session: Session, views: Views, room: tuple[float, float], px: float
) -> list[Layout]:
    """The layouts for a font size with the plan at each of its places, all tried to the end."""
    drawn = two_poles._Drawn(session, 0.0, views)
    made = []
    for spot in plan_spots(views):
        small, large = (two_poles._laid_out(drawn, text, spot) for text in TRIED_IN)
        scale = two_poles._most_scale(small, large, room, px)
        made.append(two_poles._fitted_with(drawn, room, px, spot, scale))
    return made


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("name", JOBS)
def test_no_place_of_the_plan_would_leave_more_room(name: str, room: tuple[float, float]) -> None:
    session = Session.open(SAMPLES / f"{name}.framer")
    for views in (Views(), Views(second=False), Views(plan=False), Views(together=True)):
        made = layout(session, 0.0, views, *room)
        others = every_place(session, views, room, made.size_px)
        assert made.px_per_in >= 0.99 * max(one.px_per_in for one in others)
        left, low, right, top = made.bounds
        if made.px_per_in > two_poles.SMALLEST:
            assert (right - left) * made.px_per_in <= room[0] * 1.005
            assert (top - low) * made.px_per_in <= room[1] * 1.005


@pytest.mark.parametrize("room", ROOMS)
def test_the_largest_text_is_taken_at_which_the_poles_stay_large_enough(
    room: tuple[float, float],
) -> None:
    session = Session.open(SAMPLES / "corner/alder-lane.framer")
    made = layout(session, 0.0, Views(), *room)
    for size in SIZES_PX[: SIZES_PX.index(made.size_px)]:
        largest = max(one.px_per_in for one in every_place(session, Views(), room, size))
        assert largest < LARGE_ENOUGH
    assert made.px_per_in >= LARGE_ENOUGH or made.size_px == SIZES_PX[-1]


def test_a_room_of_another_size_draws_only_what_is_new(monkeypatch: pytest.MonkeyPatch) -> None:
    session = Session.open(SAMPLES / "corner/alder-lane.framer")
    drawn = []
    elevation = two_poles.elevation
    monkeypatch.setattr(
        two_poles, "elevation", lambda *a, **k: drawn.append(a[1]) or elevation(*a, **k)
    )
    layout(session, 0.0, Views(), 900.0, 650.0)
    first, drawn[:] = len(drawn), []
    layout(session, 0.0, Views(), 900.0, 650.0)
    assert not drawn
    layout(session, 0.0, Views(), 880.0, 640.0)
    assert 0 < len(drawn) <= first - 3 * len(TRIED_IN) + 3
