"""Room along the pole as drawn: strips where the room is, with the heights of their ends."""

from __future__ import annotations

from framer.answers.bands import Bands, bands
from framer.checks.bookshelf import rulebook
from framer.drawing.bands import NO_ROOM, room_strips
from framer.drawing.panel import View
from framer.drawing.picture import XY, Line, Path, Primitive, Text
from framer.geometry.placing import place
from framer.model.job import Job
from tests.build import POLE_RADIUS_IN, arm, job, pole
from tests.situations.test_answers import lowered

HOUSE = (rulebook("house"),)
VIEW = View(look_deg=0.0, text_in=4.0)


def drawn(made: Job, room: Bands, around: tuple[Primitive, ...] = ()) -> list[Primitive]:
    return list(room_strips(place(made, "framed"), VIEW, "pole", room, around))


def outlines(primitives: list[Primitive]) -> list[tuple[float, float]]:
    """Lower and upper end of every strip."""
    ys = [[y for _, y in one.points] for one in primitives if isinstance(one, Path)]
    return [(min(one), max(one)) for one in ys]


def words(primitives: list[Primitive]) -> list[str]:
    return [one.text for one in primitives if isinstance(one, Text)]


def test_every_band_is_a_strip_beside_the_pole_with_both_heights() -> None:
    made = lowered(30.0)
    room = bands(made, HOUSE, "line")
    found = drawn(made, room)
    assert room.bands
    assert outlines(found) == [(one.low_in, one.high_in) for one in room.bands]
    for one in found:
        if isinstance(one, Path):
            assert min(x for x, _ in one.points) > POLE_RADIUS_IN
    assert len(words(found)) == 2 * len(room.bands)


def test_the_hatch_stays_inside_its_strip() -> None:
    made = lowered(30.0)
    found = drawn(made, bands(made, HOUSE, "line"))
    ends: list[XY] = [end for one in found if isinstance(one, Line) for end in (one.p, one.q)]
    boxes = [one.points for one in found if isinstance(one, Path)]
    assert ends
    for x, y in ends:
        assert any(
            min(a for a, _ in box) - 1e-6 <= x <= max(a for a, _ in box) + 1e-6
            and min(b for _, b in box) - 1e-6 <= y <= max(b for _, b in box) + 1e-6
            for box in boxes
        )


def test_where_a_label_is_in_the_way_the_height_alone_is_written() -> None:
    made = lowered(30.0)
    room = bands(made, HOUSE, "line")
    free = words(drawn(made, room))
    column = tuple(
        Text((POLE_RADIUS_IN + 44.0, 2.0 * number - 100.0), "a label of the pole", 4.0, "label")
        for number in range(400)
    )
    beside = words(drawn(made, room, column))
    # the labels leave room for a short reason and not for a long one
    assert free == [
        "37 ft 6 in: top margin",
        "36 ft: buck",
        "28 ft: buck",
        "0 in: the ground at pole",
    ]
    assert beside == ["37 ft 6 in", "36 ft: buck", "28 ft: buck", "0 in"]


def test_a_thing_without_room_is_told_so() -> None:
    made = lowered(30.0)
    room = bands(made, HOUSE, "line")
    none = Bands(**{**{name: getattr(room, name) for name in room.__slots__}, "bands": ()})
    found = drawn(made, none)
    assert outlines(found) == []
    assert words(found) == [NO_ROOM]


def test_the_room_on_another_pole_is_not_drawn() -> None:
    made = job(*pole(), arm("line", 400.0))
    room = bands(made, HOUSE, "line")
    assert list(room_strips(place(made, "framed"), VIEW, "elsewhere", room)) == []
