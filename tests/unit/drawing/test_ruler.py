"""The height scale: feet up from the ground at the left, down from the finished top at the right.

A 45-ft pole set 78 in deep stands 462 in, 38 ft 6 in, out of the ground.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from framer.drawing.picture import Line, Text
from framer.drawing.ruler import ruler
from framer.geometry.placing import place
from tests.build import job, pole

TEXT_IN = 9.0


def drawn(grade_in: float = 0.0, text_in: float = TEXT_IN) -> tuple[list[Line], list[Text]]:
    solid = place(job(*pole(45, grade_in=grade_in)), "framed").poles["pole"]
    made = list(ruler(solid, -100.0, 462.0 + grade_in, text_in))
    return (
        [one for one in made if isinstance(one, Line)][1:],
        [one for one in made if isinstance(one, Text)],
    )


def test_there_is_a_tick_each_foot_up_from_the_ground_and_down_from_the_top() -> None:
    ticks, _ = drawn(grade_in=-6.0)
    left = [tick.p[1] for tick in ticks if tick.q[0] < -100.0]
    right = [tick.p[1] for tick in ticks if tick.q[0] > -100.0]
    assert left == [12.0 * foot - 6.0 for foot in range(39)]
    assert right == [456.0 - 12.0 * foot for foot in range(39)]


def test_there_is_a_number_each_five_feet_and_each_datum_is_named() -> None:
    _, texts = drawn()
    up = {one.text: one.at[1] + 0.4 * TEXT_IN for one in texts if one.anchor == "right"}
    down = {one.text: one.at[1] + 0.4 * TEXT_IN for one in texts if one.anchor == "left"}
    assert up == pytest.approx({"ground": 0.0, **{f"{5 * n} ft": 60.0 * n for n in range(1, 8)}})
    assert down == pytest.approx(
        {"top": 462.0, **{f"{5 * n} ft": 462.0 - 60.0 * n for n in range(1, 8)}}
    )


@pytest.mark.parametrize(
    ("text_in", "words"), [(3.0, "31 ft"), (1.5, "31 ft 6 in"), (0.8, "31 ft 3 in")]
)
def test_the_nearer_it_is_the_finer_it_is_numbered(text_in: float, words: str) -> None:
    assert words in {one.text for one in drawn(text_in=text_in)[1]}
    assert words not in {one.text for one in drawn(text_in=2.2 * text_in)[1]}


@pytest.mark.parametrize("text_in", [9.0, 3.0, 1.5, 0.8])
def test_no_number_lies_over_another(text_in: float) -> None:
    _, texts = drawn(text_in=text_in)
    for anchor in ("left", "right"):
        heights = sorted(one.at[1] for one in texts if one.anchor == anchor)
        assert len(heights) > 5
        assert all(b - a > 0.9 * text_in for a, b in pairwise(heights))


@pytest.mark.parametrize(
    ("text_in", "tick_m", "number_m"),
    [(9.0, 0.5, 2.0), (3.0, 0.1, 0.5), (1.5, 0.1, 0.2), (0.8, 0.02, 0.1)],
)
def test_a_metric_job_has_metres_on_it(text_in: float, tick_m: float, number_m: float) -> None:
    solid = place(job(*pole(45)), "framed").poles["pole"]
    made = ruler(solid, -100.0, 462.0, text_in, "metric")
    left = [one for one in made if isinstance(one, Line) and one.q[0] < -100.0]
    ticks = [one.p[1] * 0.0254 for one in left]
    assert ticks == pytest.approx([tick_m * number for number in range(len(ticks))])
    # own: the top is 462 x 0.0254 = 11.7348 m up
    assert ticks[-1] == pytest.approx(11.7348, abs=tick_m)
    numbers = [one for one in made if isinstance(one, Text) and one.anchor == "right"]
    for at, one in enumerate(numbers[1:], start=1):
        assert one.text == f"{at * number_m:.2f} m"
        assert (one.at[1] + 0.4 * text_in) * 0.0254 == pytest.approx(at * number_m)
    assert len(numbers) > 4
