"""Room for texts: pieces of lines, figures cut by lines, and places free of both."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from framer.drawing.fitting import (
    around,
    best_spot,
    box_of,
    clear_of,
    clipped,
    kept_clear,
    overlaps,
    spread,
    within,
)
from framer.drawing.picture import XY, Dimension, Line, Text, dimension_text, extent

BOX = (0.0, 0.0, 10.0, 4.0)
SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0))
COORDINATES = st.floats(-30.0, 30.0)
POINTS = st.tuples(COORDINATES, COORDINATES)


def text(x: float, y: float, words: str = "ABC") -> Text:
    return Text((x, y), words, 2.0, "label")


def test_the_piece_of_a_line_within_a_box() -> None:
    assert within((-5.0, 2.0), (15.0, 2.0), BOX) == ((0.0, 2.0), (10.0, 2.0))
    assert within((1.0, 1.0), (2.0, 3.0), BOX) == ((1.0, 1.0), (2.0, 3.0))
    assert within((-5.0, 5.0), (15.0, 5.0), BOX) is None
    assert within((-2.0, 0.0), (0.0, -2.0), BOX) is None
    p, q = within((-2.0, -2.0), (8.0, 8.0), BOX) or ((0.0, 0.0), (0.0, 0.0))
    assert (*p, *q) == pytest.approx((0.0, 0.0, 4.0, 4.0))


@given(POINTS, POINTS)
def test_a_box_and_a_figure_of_its_corners_cut_alike(p: XY, q: XY) -> None:
    by_box, by_figure = within(p, q, BOX), clipped(p, q, SQUARE)
    length = math.dist(p, q)
    if by_box is None or by_figure is None:
        kept = [math.dist(*piece) for piece in (by_box, by_figure) if piece is not None]
        assert all(one <= 1e-6 * max(1.0, length) for one in kept)
    else:
        for one, other in zip(by_box, by_figure, strict=True):
            assert one == pytest.approx(other, abs=1e-6)


def test_a_line_leaves_out_the_texts_in_its_way() -> None:
    there = text(10.0, -1.0)
    (left, low), (right, high) = extent(there)
    first, second = around((0.0, 0.0), (40.0, 0.0), kept_clear([there, text(0.0, 50.0)]))
    assert first[0] == (0.0, 0.0)
    assert first[1][0] < left
    assert second[0][0] > right
    assert second[1] == (40.0, 0.0)
    clear = kept_clear([there])
    assert list(around((0.0, 9.0), (40.0, 9.0), clear)) == [((0.0, 9.0), (40.0, 9.0))]
    assert list(around((left, low), (right, high), clear)) == []


def test_dimensions_keep_their_places_and_their_texts_go_off_others() -> None:
    over = Dimension((0.0, 0.0), (40.0, 0.0), 5.0, "4 ft", 2.0, "level", "dimension")
    beside = text(100.0, 0.0)
    assert list(clear_of([over, beside], [])) == [over, beside]
    there = dimension_text(over)
    line, words = clear_of([over], [there])
    assert isinstance(line, Dimension)
    assert (line.p, line.q, line.across, line.text) == (over.p, over.q, over.across, "")
    assert isinstance(words, Text)
    assert (words.text, words.at[0]) == ("4 ft", there.at[0])
    assert not overlaps(words, there)
    assert abs(words.at[1] - there.at[1]) < 3.0 * there.height
    first, second = clear_of([text(0.0, 0.0), text(1.0, 0.5)], [])
    assert isinstance(first, Text)
    assert isinstance(second, Text)
    assert not overlaps(first, second)


@given(st.lists(POINTS, max_size=6), POINTS, POINTS)
def test_no_piece_of_a_line_runs_through_a_text(spots: list[XY], p: XY, q: XY) -> None:
    texts = [text(*spot) for spot in spots]
    pieces = list(around(p, q, kept_clear(texts)))
    assert not any(within(a, b, box_of(one)) for a, b in pieces for one in texts)
    assert sum(math.dist(a, b) for a, b in pieces) <= math.dist(p, q) + 1e-6


def test_a_text_goes_to_the_first_place_that_is_free() -> None:
    taken, line = text(0.0, 0.0), Line((-5.0, 11.0), (30.0, 11.0), "arm")
    placed = best_spot(text(0.0, 0.0), [(0.0, 0.0), (0.0, 10.0), (0.0, 20.0)], [taken], [line])
    assert placed.at == (0.0, 20.0)
    # over a line rather than over a text
    placed = best_spot(text(0.0, 0.0), [(0.0, 0.0), (0.0, 10.0)], [taken], [line])
    assert placed.at == (0.0, 10.0)


def test_texts_overlap_where_they_share_ground() -> None:
    assert overlaps(text(0.0, 0.0), text(1.0, 1.0))
    assert not overlaps(text(0.0, 0.0), text(0.0, 2.5))
    assert overlaps(text(0.0, 0.0), text(0.0, 2.5), margin=1.0)


@given(st.lists(st.floats(0.0, 500.0), min_size=1, max_size=12), st.floats(5.0, 40.0))
def test_labels_are_spread_in_order_and_moved_no_more_than_needed(
    heights: list[float], apart: float
) -> None:
    heights = sorted(heights, reverse=True)
    settled = spread(heights, apart)
    for upper, lower in pairwise(settled):
        assert upper - lower >= 0.99 * apart
    assert sum(settled) == pytest.approx(sum(heights), abs=1e-6)
    if all(upper - lower >= apart for upper, lower in pairwise(heights)):
        assert settled == pytest.approx(heights, abs=1e-9)


@given(st.lists(st.tuples(st.floats(0.0, 500.0), st.floats(5.0, 40.0)), max_size=12))
def test_labels_of_different_sizes_get_the_room_each_takes(rows: list[tuple[float, float]]) -> None:
    rows = sorted(rows, reverse=True)
    settled = spread([height for height, _ in rows], [size for _, size in rows])
    assert len(settled) == len(rows)
    for number in range(len(rows) - 1):
        room = (rows[number][1] + rows[number + 1][1]) / 2
        assert settled[number] - settled[number + 1] >= room - 1e-6
    assert sum(settled) == pytest.approx(sum(height for height, _ in rows), abs=1e-6)


def test_many_labels_are_spread_as_exactly_as_few() -> None:
    settled = spread([100.0 - number for number in range(200)], 10.0)
    assert [upper - lower for upper, lower in pairwise(settled)] == pytest.approx([10.0] * 199)
    assert sum(settled) == pytest.approx(sum(100.0 - number for number in range(200)))
