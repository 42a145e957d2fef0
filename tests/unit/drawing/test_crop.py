"""Parts of a picture cut off at the edges of a window."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from framer.drawing.crop import cropped
from framer.drawing.picture import Circle, Line, Path, Picture, Text, extent

WINDOW = (0.0, 0.0, 10.0, 5.0)
points = st.tuples(st.integers(-20, 30).map(float), st.integers(-20, 30).map(float))


def crop(*drawn: Line | Path | Circle | Text) -> tuple[object, ...]:
    return cropped(Picture(drawn), WINDOW).primitives


def test_a_line_through_the_window_keeps_the_part_inside() -> None:
    assert crop(Line((-5.0, 2.0), (15.0, 2.0), "arm")) == (Line((0.0, 2.0), (10.0, 2.0), "arm"),)
    assert crop(Line((2.0, 2.0), (2.0, 9.0), "arm")) == (Line((2.0, 2.0), (2.0, 5.0), "arm"),)
    # from (-2, 0) to (8, 10): it comes in at (0, 2) and leaves at (3, 5)
    assert crop(Line((-2.0, 0.0), (8.0, 10.0), "arm")) == (Line((0.0, 2.0), (3.0, 5.0), "arm"),)


def test_a_line_past_the_window_is_left_out() -> None:
    assert crop(Line((-5.0, 6.0), (15.0, 6.0), "arm"), Line((11.0, 0.0), (20.0, 5.0), "arm")) == ()


def test_a_pole_that_goes_on_below_is_cut_off_straight() -> None:
    (made,) = crop(Path(((3.0, -50.0), (5.0, -50.0), (5.0, 3.0), (3.0, 3.0)), "pole"))
    assert isinstance(made, Path)
    assert sorted(made.points) == [(3.0, 0.0), (3.0, 3.0), (5.0, 0.0), (5.0, 3.0)]


def test_texts_and_circles_are_whole_or_not_there() -> None:
    inside, over = Circle((5.0, 2.0), 1.0, "arm"), Circle((9.5, 2.0), 1.0, "arm")
    assert crop(inside, over, Text((9.0, 1.0), "long words", 1.0, "label")) == (inside,)


@given(points, points, st.lists(points, min_size=3, max_size=6))
def test_nothing_is_left_past_the_edges_and_what_is_inside_stays(
    p: tuple[float, float], q: tuple[float, float], corners: list[tuple[float, float]]
) -> None:
    drawn = (Line(p, q, "arm"), Path(tuple(corners), "pole"))
    made = cropped(Picture(drawn), WINDOW)
    left, low, right, top = WINDOW
    for one in made.primitives:
        for x, y in extent(one):
            assert left - 1e-9 <= x <= right + 1e-9
            assert low - 1e-9 <= y <= top + 1e-9
    for one in drawn:
        ends = extent(one)
        if all(left <= x <= right and low <= y <= top for x, y in ends) and p != q:
            assert one in made.primitives
