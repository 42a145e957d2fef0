"""The largest clear square beside a pole, worked out by hand in plan.

A quadrant's square has its corner on the pole's centre line; a side's square of size s reaches
s / 2 to either hand and s outward. A wire that only touches a square does not enter it.
"""

from __future__ import annotations

import math

import pytest

from framer.geometry.scene import Run
from framer.geometry.space import Point
from framer.geometry.squares import LARGEST_IN, Beside, largest_clear_squares

ORIGIN: Point = (0.0, 0.0, 400.0)
EAST: Point = (1.0, 0.0, 0.0)
FAR = 2000.0


def north(x: float, start: float = 0.0) -> Run:
    """A wire north, from beside the pole."""
    return Run((x, start, 0.0), (x, FAR, 0.0), 0.2)


def south(x: float, start: float = 0.0) -> Run:
    return Run((x, start, 0.0), (x, -FAR, 0.0), 0.2)


def east(y: float, start: float = 0.0) -> Run:
    return Run((start, y, 0.0), (FAR, y, 0.0), 0.2)


def west(y: float, start: float = 0.0) -> Run:
    return Run((start, y, 0.0), (-FAR, y, 0.0), 0.2)


def through(*xs: float) -> list[Run]:
    """Wires both north and south."""
    return [wire for x in xs for wire in (north(x), south(x))]


def largest(*wires: Run, middle: Point = ORIGIN, arm: Point = EAST) -> float:
    return largest_clear_squares([Beside(middle, arm, wires)])[0][0]


def test_without_wires_the_square_is_as_large_as_is_looked_for() -> None:
    assert largest() == LARGEST_IN


def test_wires_all_on_the_east_leave_the_west() -> None:
    assert largest(*through(1.0), east(5.0), east(-5.0)) == LARGEST_IN


def test_wires_half_an_inch_off_on_every_side_leave_half_an_inch() -> None:
    wires = [*through(-0.5, 0.5), *(far(y) for far in (east, west) for y in (-0.5, 0.5))]
    # a side's square would be 1 in wide between two of them, but a third crosses it at 0.5
    assert largest(*wires) == pytest.approx(0.5)


def test_a_line_arm_alone_with_pole_pins_at_14_5_in_leaves_29_in() -> None:
    # pins at 14-1/2 and 54 in either side: the side squares north and south are 2 x 14.5 = 29 in
    # wide; a quadrant's square between centre line and pin is 14.5
    assert largest(*through(-54.0, -14.5, 14.5, 54.0)) == pytest.approx(29.0)


def test_pole_pins_at_18_in_leave_36_in() -> None:
    assert largest(*through(-54.0, -18.0, 18.0, 54.0)) == pytest.approx(36.0)


def test_wires_on_one_side_of_the_pole_leave_a_whole_quadrant() -> None:
    assert largest(*through(-54.0, -18.0)) == LARGEST_IN
    # with one wire 40 in off on the other side, its quadrants are 40 and the north and south
    # sides 36, halved by the pin at 18; the east side is closed by the wire across it at 40
    assert largest(*through(-54.0, -18.0, 40.0)) == pytest.approx(40.0)


def test_line_and_buck_wires_leave_what_is_between_them() -> None:
    # line wires north and south at -54, -18, 54; buck wires west from 26 in off at -54, 18, 54.
    # North-east: nothing nearer than the line wire at 54 -> 54. North side: the line wire at -18
    # gives 36. So 54 in the north-east and the south-east quadrants.
    buck = [west(y, -26.0) for y in (-54.0, 18.0, 54.0)]
    assert largest(*through(-54.0, -18.0, 54.0), *buck) == pytest.approx(54.0)


def test_a_buck_wire_that_comes_in_at_an_angle_is_met_at_its_nearest_corner() -> None:
    # all four sides closed at 20 in but for the north-east, where a wire runs from (50, 0) to
    # (0, 50): the square's corner touches x + y = 50 at 25
    slanting = Run((50.0, 0.0, 0.0), (0.0, 50.0, 0.0), 0.2)
    closed = [west(-20.0), south(-20.0), west(20.0), north(-20.0), south(20.0), east(-20.0)]
    assert largest(slanting, *closed) == pytest.approx(25.0)


def test_a_wire_that_starts_farther_out_leaves_the_square_before_it() -> None:
    # wires 10 in to either hand, starting 30 in out on all four sides: the squares of the sides
    # reach 10 in to either hand at size 20, but meet the wires only from 30 in out on
    wires = [north(x, 30.0) for x in (-10.0, 10.0)] + [south(x, -30.0) for x in (-10.0, 10.0)]
    wires += [east(y, 30.0) for y in (-10.0, 10.0)] + [west(y, -30.0) for y in (-10.0, 10.0)]
    assert largest(*wires) == pytest.approx(30.0)


def test_a_wire_on_the_centre_line_belongs_to_both_quadrants_edges_and_enters_neither() -> None:
    # north and south on the centre line: the sides are closed, the quadrants free
    assert largest(*through(0.0)) == LARGEST_IN
    # with wires 24 in off besides, the quadrants are 24
    assert largest(*through(-24.0, 0.0, 24.0)) == pytest.approx(24.0)


@pytest.mark.parametrize("turn_deg", [0.0, 17.0, 90.0, 200.0])
def test_arms_and_wires_turned_and_moved_together_leave_the_same_square(turn_deg: float) -> None:
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))

    def there(point: Point) -> Point:
        return (c * point[0] - s * point[1] + 7.0, s * point[0] + c * point[1] - 24.0, 0.0)

    wires = through(-54.0, -14.5, 14.5, 54.0)
    turned = [Run(there(wire.p), there(wire.q), wire.r) for wire in wires]
    assert largest(*turned, middle=(7.0, -24.0, 0.0), arm=(c, s, 0.0)) == pytest.approx(29.0)


def test_the_far_corner_shows_where_the_square_is() -> None:
    # the only free quadrant is the south-east, to 30 in: its far corner is at (30, -30)
    closed = [*through(-10.0), north(12.0), east(8.0), south(30.0)]
    [(size, corner)] = largest_clear_squares([Beside(ORIGIN, EAST, closed)])
    assert size == pytest.approx(30.0)
    assert corner == pytest.approx((30.0, -30.0))


def test_the_middle_of_the_far_edge_shows_a_square_on_a_side() -> None:
    # north and south sides 29 in wide; east and west closed; of equal ones the first is taken
    [(size, corner)] = largest_clear_squares([Beside(ORIGIN, EAST, through(-14.5, 14.5))])
    assert size == pytest.approx(29.0)
    assert corner in (pytest.approx((0.0, 29.0)), pytest.approx((0.0, -29.0)))
