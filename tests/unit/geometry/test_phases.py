"""The order phases hang in, from the left looking along their span."""

from __future__ import annotations

import pytest

from framer.geometry.phases import hanging, order_words
from framer.geometry.placing import place
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Span
from tests.build import arm, job, pinned, pole


def turned(azimuth_deg: float, settings: Settings | None = None) -> Job:
    """An arm square to a span that goes that way; A is at the left, B in the middle."""
    return job(
        Circuit("main", "Mill 3"),
        Circuit("other", "Ridge 2"),
        Span("span", "pole 2", azimuth_deg, 1_800.0),
        *pole(),
        arm("arm", 400.0, faces_deg=azimuth_deg),
        arm("low", 340.0, faces_deg=azimuth_deg),
        *pinned("arm", "main", "span", {"C": 54.0, "A": -54.0, "B": 18.0}),
        *pinned("low", "other", "span", {"B": -20.0}),
        settings=settings,
    )


@pytest.mark.parametrize(
    ("azimuth_deg", "words"),
    [
        (0.0, "A B C from west to east"),
        (90.0, "A B C from north to south"),
        (180.0, "A B C from east to west"),
        (225.0, "A B C from south-east to north-west"),
    ],
)
def test_the_order_is_told_by_compass_from_the_left(azimuth_deg: float, words: str) -> None:
    scene = place(turned(azimuth_deg), "framed")
    assert [one.phase for one in hanging(scene, "span", "main")] == ["A", "B", "C"]
    assert order_words(scene, "span", "main") == words


def test_distances_are_to_the_right_of_the_pole() -> None:
    scene = place(turned(137.0), "framed")
    across = [one.across_in for one in hanging(scene, "span", "main")]
    assert across == pytest.approx([-54.0, 18.0, 54.0])


def test_one_circuit_or_all_of_a_span() -> None:
    scene = place(turned(0.0), "framed")
    assert order_words(scene, "span", "other") == "B"
    assert [one.phase for one in hanging(scene, "span")] == ["A", "B", "B", "C"]
    assert order_words(scene, "span", "none") == ""


@pytest.mark.parametrize(
    ("street", "sides"),
    [("E", ("field", "street")), ("W", ("street", "field")), ("NE", ("field", "street"))],
)
def test_street_and_field_are_named_where_the_job_says(street: str, sides: tuple[str, str]) -> None:
    made = turned(0.0, Settings(street_side=street))  # type: ignore[arg-type]
    words = order_words(place(made, "framed"), "span", "main")
    assert words.endswith(f"(A on the {sides[0]} side, C on the {sides[1]})")


def test_a_line_that_goes_to_the_street_has_no_street_side() -> None:
    made = turned(0.0, Settings(street_side="N"))
    assert "street" not in order_words(place(made, "framed"), "span", "main")
