"""The least distance on a way, found from a few of its pieces, is that of all of them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from framer.geometry.scene import Box, Part, Run, Shape, Tag, Tube
from framer.transfer.bodies import ends_of, gaps_in, nearest_in

COUNT = 17
COORDINATE = st.floats(-120.0, 120.0, allow_nan=False).map(lambda value: round(value, 3))
POINT = st.tuples(COORDINATE, COORDINATE, COORDINATE)
SIZE = st.floats(0.1, 30.0).map(lambda value: round(value, 3))
TUBE = st.builds(Tube, POINT, POINT, SIZE, SIZE)
RUN = st.builds(Run, POINT, POINT, st.floats(0.1, 1.0))
BOX = st.builds(
    lambda centre, half: Box(centre, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), half),
    POINT,
    st.tuples(SIZE, SIZE, SIZE),
)


def parts_of(shapes: list[Shape]) -> list[Part]:
    return [Part(f"{at}", f"{at}", int(Tag.POLE), one, None) for at, one in enumerate(shapes)]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.one_of(TUBE, RUN, BOX), min_size=1, max_size=6), POINT, POINT, POINT, POINT)
def test_the_least_of_a_way_is_the_least_of_all_its_pieces(
    shapes: list[Shape],
    p: tuple[float, float, float],
    q: tuple[float, float, float],
    p_after: tuple[float, float, float],
    q_after: tuple[float, float, float],
) -> None:
    parts, share = parts_of(shapes), np.linspace(0.0, 1.0, COUNT)[:, None]
    near, far = (
        np.array([a]) + (np.array([b]) - np.array([a])) * share
        for a, b in ((p, p_after), (q, q_after))
    )
    ends = tuple(np.repeat(one[:, None], COUNT, axis=1) for one in ends_of(parts))
    every = gaps_in(near, far, parts)
    least, at = nearest_in(near, far, parts, (ends[0], ends[1]))
    assert least == pytest.approx(every.min(axis=1), abs=1e-9)
    for row, piece in enumerate(at.tolist()):
        assert every[row, piece] == pytest.approx(every[row].min(), abs=1e-9)


def test_a_part_that_moves_too_is_met_where_it_then_is() -> None:
    # a wire goes 16 in up beside one that goes along 10 in away; a third stays at the start
    share = np.linspace(0.0, 1.0, COUNT)[:, None]
    near = np.array([[0.0, 0.0, 0.0]]) + np.array([[0.0, 0.0, 16.0]]) * share
    far = near + np.array([[0.0, 600.0, 0.0]])
    line = Run((10.0, 0.0, 0.0), (10.0, 600.0, 0.0), 0.5)
    parts = parts_of([line, line])
    base, top = (np.repeat(one[:, None], COUNT, axis=1) for one in ends_of(parts))
    base[0], top[0] = near + np.array([[10.0, 0.0, 0.0]]), far + np.array([[10.0, 0.0, 0.0]])
    least, at = nearest_in(near, far, parts, (base, top))
    assert least == pytest.approx([9.5, 9.5])
    assert at.tolist() == [0, 0]
    gone = np.argmin(gaps_in(near[-1:], far[-1:], parts[1:]))
    assert gone == 0
    assert gaps_in(near[-1:], far[-1:], parts[1:])[0, 0] == pytest.approx(np.hypot(10, 16) - 0.5)
