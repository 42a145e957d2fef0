"""The angles of the pole and span table are those at the pole as framed."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from framer.drawing.picture import Text
from framer.drawing.span_table import span_sheets
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.line import Circuit, Span
from tests.build import job, pole, seat, wire

LENGTH_IN = 150.0 * 12.0


def straight_line(east_in: float) -> Job:
    """A line due north past a pole that stands so far east of it."""
    return job(
        *pole(depth_in=72.0, east_in=east_in),
        seat("seat", 400.0),
        Circuit("c", "Mill 3", "supply", 7.2),
        Span("back", "pole 6", 180.0, LENGTH_IN),
        Span("ahead", "pole 8", 0.0, LENGTH_IN),
        wire("a-back", "c", "back", "seat"),
        wire("a-ahead", "c", "ahead", "seat"),
    )


@pytest.mark.parametrize("east_in", [0.0, 36.0, -36.0])
def test_a_pole_set_off_a_straight_line_turns_it_as_reckoned_by_hand(east_in: float) -> None:
    """3 ft off spans of 150 ft: twice the angle whose tangent is 3 / 150, 2.3 degrees."""
    turn = 2.0 * math.degrees(math.atan(abs(east_in) / LENGTH_IN))
    assert f"{turn:.1f}" == ("2.3" if east_in else "0.0")
    texts = {
        one.text
        for sheet in span_sheets(place(straight_line(east_in), "framed"), ())
        for one in sheet.picture.primitives
        if isinstance(one, Text)
    }
    assert {f"{180.0 - turn:.1f} deg", f"{turn:.1f} deg"} <= texts


@pytest.mark.parametrize(
    ("far_grade_in", "said"),
    [(0.0, "level with here"), (-12.0, "1 ft below here"), (30.0, "2 ft 6 in above here")],
)
def test_ground_at_the_other_pole_is_told_as_above_or_below(far_grade_in: float, said: str) -> None:
    level = straight_line(0.0)
    first, *others = level.spans
    made = replace(level, spans=(replace(first, far_grade_in=far_grade_in), *others))
    texts = [
        one.text
        for sheet in span_sheets(place(made, "framed"), ())
        for one in sheet.picture.primitives
        if isinstance(one, Text)
    ]
    assert said in texts
