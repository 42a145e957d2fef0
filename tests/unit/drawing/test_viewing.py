"""Views are named by what one looks along, never by a bare left or right."""

from __future__ import annotations

import pytest

from framer.drawing.viewing import line_spans, view_words
from framer.model.job import Job
from framer.model.line import Circuit, Span, Wire
from framer.model.place import OnItem


def job(*azimuths: float, drops: tuple[str, ...] = ()) -> Job:
    """A job of spans named by their direction; `drops` hold nothing but a service."""
    spans = tuple(Span(f"{az:g}", f"pole {az:g}", az, 1200.0) for az in azimuths)
    where = (OnItem(when="after", host="clevis"),)
    wires = tuple(
        Wire(f"w-{span.id}", "main", "service" if span.id in drops else "A", span.id, where)
        for span in spans
    )
    return Job("test", circuits=(Circuit("main", "Main"),), spans=spans, wires=wires)


CORNER = job(0.0, 180.0, 270.0)


@pytest.mark.parametrize(
    ("look_deg", "words"),
    [
        (0.0, "looking along the line toward pole 0"),
        (180.0, "looking along the line toward pole 180"),
        (270.0, "looking along the tap toward pole 270"),
        (90.0, "looking along the tap, away from pole 270"),
        (9.0, "looking along the line toward pole 0"),
        (352.0, "looking along the line toward pole 0"),
        (45.0, "looking north-east"),
        (12.0, "looking 12 deg"),
    ],
)
def test_a_view_is_named_by_the_span_it_looks_along(look_deg: float, words: str) -> None:
    assert view_words(CORNER, look_deg) == words


def test_without_spans_it_is_the_compass() -> None:
    assert view_words(Job("test"), 90.0) == "looking east"


def test_a_span_with_nothing_but_a_service_is_no_line() -> None:
    made = job(90.0, 270.0, 0.0, drops=("0",))
    assert line_spans(made) == ("90", "270")
    assert view_words(made, 0.0) == "looking along the service toward pole 0"
    assert view_words(made, 180.0) == "looking along the service, away from pole 0"


def test_the_line_is_the_widest_pair_and_a_dead_end_or_a_corner_is_all_line() -> None:
    assert line_spans(job(10.0, 170.0, 205.0)) == ("10", "205")  # 165 deg against 160
    assert line_spans(job(40.0)) == ("40",)
    assert line_spans(job(0.0, 90.0)) == ("0", "90")
    assert line_spans(job(0.0, 60.0, 100.0)) == ("0", "60", "100")  # no two are a line
