"""The framing sheet: two elevations and the plan of the framed pole, to scale, nothing covered."""

from __future__ import annotations

from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.checks.shown import SpaceShown
from framer.drawing.framing import climbing_lines, tightest
from framer.drawing.lettering import CAPITAL
from framer.drawing.picture import Circle, Dimension, Picture, Text
from framer.drawing.picture import Path as Outline
from framer.drawing.sheet import MARGIN, PAPERS, Sheet, cautions, main_pole, scale_words
from framer.errors import FramerError
from framer.files.reader import read_job
from framer.model.job import Job, Settings
from framer.session import Session
from tests.unit.drawing.test_sheet import box, frame, inside, overlap, pieces, texts

SAMPLES = Path(__file__).resolve().parents[3] / "sample_jobs"
NAMES = ("corner/alder-lane", "tangent/fenwick-road", "dead-end/quarry-lane")
POLES_IN = dict(zip(NAMES, (600.0, 540.0, 540.0), strict=True))
LOOKS = (None, 0.0, 90.0, 45.0)


@cache
def session(name: str) -> Session:
    return Session(read_job(SAMPLES / f"{name}.framer"))


@cache
def sheet(name: str, paper: str = "tabloid", look_deg: float | None = None) -> Sheet:
    return session(name).sheet(look_deg, paper, "framing")


def said(made: Sheet) -> str:
    return " ".join(one.text for one in texts(made))


@pytest.mark.parametrize("look_deg", LOOKS)
@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_everything_is_within_the_frame_and_no_text_lies_over_another(
    name: str, paper: str, look_deg: float | None
) -> None:
    made = sheet(name, paper, look_deg)
    assert [one for one in pieces(made) if not inside(box(one), frame(made))] == []
    boxes = [(one.text, box(one)) for one in texts(made)]
    assert len(boxes) > 60
    assert [(a, b) for (a, x), (b, y) in combinations(boxes, 2) if overlap(x, y)] == []


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_heights_and_drops_are_dimensions_on_every_paper(name: str, paper: str) -> None:
    upright = [
        one
        for one in sheet(name, paper).picture.primitives
        if isinstance(one, Dimension) and one.direction == "upright"
    ]
    drawn = {one.owner for one in upright}
    items = session(name).job.item_by_id
    arms = {key for key, item in items.items() if item.kind == "arm" and len(item.places) == 1}
    new_arms = {key for key in arms if items[key].places[0].when == "after"}
    assert new_arms
    assert new_arms <= drawn
    assert all(sum(one.owner == key for one in upright) >= 2 for key in new_arms)


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_views_and_lists_keep_to_their_rooms(name: str, paper: str) -> None:
    """No text and no outline of a view lies across a line of the frame."""
    made = sheet(name, paper)
    lines = [box(one) for one in made.picture.primitives if one.style == "frame"][1:]
    assert len(lines) >= 2
    for one in pieces(made):
        if one.style != "frame":
            assert not any(overlap(box(one), line) for line in lines)


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_the_pole_is_as_long_in_both_elevations_as_it_is(name: str, paper: str) -> None:
    made = sheet(name, paper)
    key = main_pole(session(name).scene("framed"), new=True)
    drawn = [
        one
        for one in made.picture.primitives
        if isinstance(one, Outline) and one.style == "pole" and one.owner == key
    ]
    assert len(drawn) == 2
    for one in drawn:
        _, low, _, high = box(one)
        # the pole of the dead-end leans a little
        assert high - low == pytest.approx(POLES_IN[name], rel=0.003)
    # on one ground line; the butt of one that leans is cut slantwise
    first, second = (box(one) for one in drawn)
    assert first[1] == pytest.approx(second[1], abs=0.5)
    assert any(
        isinstance(one, Circle) and one.style == "pole" and one.owner == key
        for one in made.picture.primitives
    )


@pytest.mark.parametrize("name", NAMES)
def test_on_small_paper_too_it_can_be_read(name: str) -> None:
    for paper in PAPERS:
        made = sheet(name, paper)
        assert made.scale <= 180
        assert min(one.height for one in texts(made)) / made.scale * 72 / CAPITAL >= 4.0


@pytest.mark.parametrize("name", NAMES)
def test_it_says_what_it_is_and_that_nobody_has_checked_it(name: str) -> None:
    made, job = sheet(name), session(name).job
    printed = said(made)
    assert f"{scale_words(made.scale, job)} on tabloid; framing; heights above ground" in printed
    assert "draft - not checked by chief" in printed
    for book in session(name).books():
        book_name, edition = book.book.name, book.book.edition
        # an edition that is in the name is not said twice
        once = edition in book_name.replace(",", "").split()
        assert (book_name if once else f"{book_name} ({edition})") in printed
        assert f"{book_name} ({edition})" not in printed or not once
    assert all(caution in printed for caution in cautions())
    assert "From above at " in printed
    assert printed.count("Looking ") == 2


def test_the_views_are_named_by_what_they_look_along() -> None:
    printed = said(sheet("corner/alder-lane", "tabloid", 0.0))
    assert "Looking along the line toward pole 6" in printed
    assert "Looking along the tap, away from pole 7-W1" in " ".join(printed.split())


@pytest.mark.parametrize("name", NAMES)
def test_the_three_tightest_gaps_are_drawn_numbered_and_listed_first(name: str) -> None:
    findings = session(name).findings("framed")
    chosen = tightest(findings)
    assert len(chosen) == 3
    spares = [
        one.spare for one in findings if one.line and one.spare is not None and one.unit == "in"
    ]
    assert chosen[0].spare == min(spare for spare in spares if spare is not None)
    pairs = {frozenset(part.owner for part in (one.a, one.b) if part) for one in chosen}
    assert len(pairs) == 3
    made = sheet(name)
    rings = [
        one.text
        for one in texts(made)
        if one.text in ("1", "2", "3") and one.style in ("short", "tight", "meets")
    ]
    # in both elevations and in the list
    assert sorted(rings) == ["1"] * 3 + ["2"] * 3 + ["3"] * 3
    order = [one.text for one in made.picture.primitives if isinstance(one, Text)]
    assert order.index("Tightest three gaps") < order.index("All else that is not met")


@pytest.mark.parametrize("name", NAMES)
def test_the_side_to_climb_is_drawn_in_three_views_and_told(name: str) -> None:
    made = sheet(name)
    assert "Climbing space, " in said(made)
    # each line says by which rule: one side may be asked for by several
    told = [one.text for one in texts(made) if one.text.startswith("Climbing space ")]
    for line in (one for one in told if one.endswith((": meets", ": short", ": cannot say"))):
        assert line.startswith("Climbing space past"), line
    outlined = [box(one) for one in made.picture.primitives if one.style == "space"]
    assert len(outlined) >= 12


def test_a_metric_job_has_a_metric_scale() -> None:
    made = session(NAMES[0]).job
    metric = Session(replace(made, settings=Settings(units="metric"))).sheet(None, "a3", "framing")
    assert f"Scale 1:{metric.scale} on A3" in said(metric)
    assert metric.scale in (75, 100, 125)


def test_without_a_pole_there_is_no_framing_sheet() -> None:
    with pytest.raises(FramerError, match="no pole stands here as framed"):
        Session(Job("empty")).sheet(kind="framing")


def test_a_bare_pole_has_one() -> None:
    made = read_job(SAMPLES / f"{NAMES[0]}.framer")
    bare = replace(
        made,
        items=tuple(one for one in made.items if one.kind == "pole"),
        wires=(),
        joins=(),
        nearby=(),
        readings=tuple(one for one in made.readings if one.of == "pole-old"),
    )
    drawn = Session(bare).sheet(kind="framing")
    margin = MARGIN * drawn.scale
    assert Picture(drawn.picture.primitives).bounds()[0] == pytest.approx(margin)
    assert "New pole" in said(drawn)


def test_one_line_tells_all_that_a_rule_says_of_a_side_worst_first() -> None:
    scene = session(NAMES[0]).scene("framed")
    low = SpaceShown("climbing", "Climbing space past supply", "pole-new", ((0.0, 0.0),) * 4,
                     300.0, 340.0, (), 30.0, 30.0, "cannot say", "x", 0)  # fmt: skip
    high = replace(low, low_in=340.0, verdict="short")
    other = replace(low, label="Climbing space past communications")
    told = climbing_lines(scene, [low, high, other])
    assert [line.rsplit(": ", 1)[1] for line in told] == ["short and cannot say", "cannot say"]
