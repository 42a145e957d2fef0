"""The change-out sketch: on its paper, to a scale a ruler has, nothing over the edge."""

from __future__ import annotations

import re
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.drawing.lettering import CAPITAL
from framer.drawing.picture import Dimension, Line, Picture, Primitive, Text, dimension_text
from framer.drawing.picture import Path as Outline
from framer.drawing.sheet import (
    LIST_HEIGHT,
    LIST_WIDTH,
    MARGIN,
    MOST_CALLOUTS,
    PAPERS,
    TITLE_HEIGHT,
    Sheet,
    called_out,
    cautions,
    main_pole,
    scale_words,
)
from framer.errors import FramerError
from framer.files.reader import read_job
from framer.model.item import Item
from framer.model.job import Job, Settings
from framer.model.place import OnPole
from framer.resources import resources
from framer.session import Session
from framer.sheets.dimension import dimension_strokes
from tests.build import arm, job, pole

SAMPLES = Path(__file__).resolve().parent.parent.parent.parent / "sample_jobs"
NAMES = ("corner/alder-lane", "tangent/fenwick-road", "dead-end/quarry-lane")
LOOKS = (None, 0.0, 90.0, 180.0, 270.0)
HAIR = 1e-6
ABOUT_LEVELS = ("level", "dimension")


@cache
def sample(name: str) -> Job:
    return read_job(SAMPLES / f"{name}.framer")


@cache
def sheet(name: str, paper: str = "tabloid", look_deg: float | None = None) -> Sheet:
    return Session(sample(name)).sheet(look_deg, paper)


def pieces(made: Sheet) -> list[Primitive]:
    """Everything drawn, dimensions taken apart."""
    found: list[Primitive] = []
    for one in made.picture.primitives:
        found.extend(dimension_strokes(one) if isinstance(one, Dimension) else [one])
    return found


def texts(made: Sheet) -> list[Text]:
    return [one for one in pieces(made) if isinstance(one, Text)]


Box = tuple[float, float, float, float]


def box(*primitives: Primitive) -> Box:
    return Picture(tuple(primitives)).bounds()


def inside(one: Box, other: Box) -> bool:
    return (
        one[0] >= other[0] - HAIR
        and one[1] >= other[1] - HAIR
        and one[2] <= other[2] + HAIR
        and one[3] <= other[3] + HAIR
    )


def overlap(one: Box, other: Box) -> bool:
    return (
        one[0] < other[2] - HAIR
        and other[0] < one[2] - HAIR
        and one[1] < other[3] - HAIR
        and other[1] < one[3] - HAIR
    )


def frame(made: Sheet) -> Box:
    """The frame, in the sheet's own inches."""
    paper, scale = made.paper, made.scale
    return (
        MARGIN * scale,
        MARGIN * scale,
        (paper.width - MARGIN) * scale,
        (paper.height - MARGIN) * scale,
    )


def drawing(made: Sheet) -> Box:
    """Bounds of the two elevations, which come before the frame."""
    primitives = made.picture.primitives
    first = next(number for number, one in enumerate(primitives) if one.style == "frame")
    return box(*primitives[:first])


# On paper.


@pytest.mark.parametrize("look_deg", LOOKS)
@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_everything_is_on_the_paper_and_every_text_inside_the_frame(
    name: str, paper: str, look_deg: float | None
) -> None:
    made = sheet(name, paper, look_deg)
    size = (0.0, 0.0, made.paper.width * made.scale, made.paper.height * made.scale)
    assert inside(made.picture.bounds(), size)
    outside = [one.text for one in texts(made) if not inside(box(one), frame(made))]
    assert outside == []


def room_of_poles(made: Sheet) -> Box:
    """What is above the title block and beside or above the findings, by the lines of the frame."""
    left, low, right, top = frame(made)
    lines = [
        one for one in made.picture.primitives if isinstance(one, Line) and one.style == "frame"
    ]
    title, *more = sorted(lines, key=lambda line: max(line.p[1], line.q[1]))
    assert title.p == pytest.approx((left, low + TITLE_HEIGHT * made.scale))
    (other,) = more
    if other.p[0] == other.q[0]:
        assert other.p[0] == pytest.approx(right - LIST_WIDTH * made.scale)
        return (left, title.p[1], other.p[0], top)
    assert other.p[1] - title.p[1] >= LIST_HEIGHT * made.scale - HAIR
    return (left, other.p[1], right, top)


@pytest.mark.parametrize("look_deg", LOOKS)
@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_the_poles_keep_clear_of_findings_and_title_block(
    name: str, paper: str, look_deg: float | None
) -> None:
    made = sheet(name, paper, look_deg)
    assert inside(drawing(made), room_of_poles(made))


@pytest.mark.parametrize("look_deg", LOOKS)
@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_on_small_paper_too_a_pole_is_large_enough_to_read(
    name: str, paper: str, look_deg: float | None
) -> None:
    """A 45-ft pole is 540 in / 240 = 2 1/4 in long at least, and no text under 4 points."""
    made = sheet(name, paper, look_deg)
    assert made.scale <= 240
    assert min(one.height for one in texts(made)) / made.scale * 72 / CAPITAL >= 4.0


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", NAMES)
def test_on_small_paper_the_findings_stand_below_the_poles(name: str, paper: str) -> None:
    made = sheet(name, paper)
    heading = next(one for one in texts(made) if one.text == "Findings, worst first")
    assert heading.at[1] < drawing(made)[1]
    counts = Session(sample(name)).findings("framed").counts
    assert ", ".join(f"{counts[verdict]} {verdict}" for verdict in counts) in [
        one.text for one in texts(made)
    ]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_on_small_paper_the_worst_findings_stay_and_the_rest_is_counted(paper: str) -> None:
    made = sheet(NAMES[0], paper)
    assert "... and " in " ".join(one.text for one in texts(made))
    listed = [one.text for one in texts(made) if one.text.isdecimal() and one.style == "short"]
    assert sorted(listed) == sorted([str(number) for number in range(1, 6)] * 2)


def clamps(many: int, first_in: float, apart_in: float) -> list[Item]:
    """Clamps up the south side of a pole."""
    heights = [first_in + apart_in * number for number in range(many)]
    return [
        Item(
            f"clamp {number}",
            "attachment",
            (OnPole(when="found", host="pole", at_in=at_in, azimuth_deg=180.0),),
            "comm-clamp",
        )
        for number, at_in in enumerate(heights)
    ]


def test_a_pole_with_more_on_it_than_the_paper_has_room_for_is_refused() -> None:
    crowded = Session(job(*pole(45, when="found", depth_in=78.0), *clamps(60, 60.0, 6.0)))
    with pytest.raises(FramerError, match="no room on letter paper"):
        crowded.sheet(None, "letter")


def test_where_dimensions_find_no_room_the_labels_still_say_drop_and_height() -> None:
    made = Session(job(*pole(45, when="found", depth_in=78.0), *clamps(26, 200.0, 9.0))).sheet(
        None, "letter"
    )
    drops = [one for one in made.picture.primitives if isinstance(one, Dimension) and one.text]
    assert drops == []
    # 462 in up to the top, 200 in up to the lowest
    assert "21 ft 10 in below top, 16 ft 8 in above ground" in [one.text for one in texts(made)]
    assert inside(drawing(made), room_of_poles(made))


@pytest.mark.parametrize("look_deg", LOOKS)
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("paper", ["tabloid", "letter"])
def test_texts_of_dimensions_do_not_cover_each_other(
    name: str, paper: str, look_deg: float | None
) -> None:
    made = sheet(name, paper, look_deg)
    boxes = [
        (one.text, box(stroke))
        for one in made.picture.primitives
        if isinstance(one, Dimension)
        for stroke in dimension_strokes(one)
        if isinstance(stroke, Text)
    ]
    assert len(boxes) >= 6
    covered = [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if overlap(one, other)]
    assert covered == []


@pytest.mark.parametrize("look_deg", LOOKS)
@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_no_text_of_the_drawing_lies_over_another(
    name: str, paper: str, look_deg: float | None
) -> None:
    made = sheet(name, paper, look_deg)
    primitives = made.picture.primitives
    first = next(number for number, one in enumerate(primitives) if one.style == "frame")
    boxes = [
        (one.text, box(one))
        for one in pieces(Sheet(Picture(primitives[:first]), made.paper, made.scale, ""))
        if isinstance(one, Text)
    ]
    assert len(boxes) > 20
    assert [(a, b) for (a, x), (b, y) in combinations(boxes, 2) if overlap(x, y)] == []


@pytest.mark.parametrize("look_deg", LOOKS)
@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_level_lines_and_dimension_lines_cross_no_text_of_a_dimension(
    name: str, paper: str, look_deg: float | None
) -> None:
    made = sheet(name, paper, look_deg)
    dimensions = [one for one in made.picture.primitives if isinstance(one, Dimension) and one.text]
    lines = [
        box(one) for one in pieces(made) if isinstance(one, Line) and one.style in ABOUT_LEVELS
    ]
    assert len(dimensions) >= 6
    crossed = []
    for one in dimensions:
        x_1, y_1, x_2, y_2 = box(dimension_text(one))
        crossed += [
            one.text
            for left, low, right, high in lines
            if left < x_2 and x_1 < right and low < y_2 and y_1 < high
        ]
    assert crossed == []


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("paper", list(PAPERS))
def test_title_block_findings_and_cautions_do_not_cover_each_other(name: str, paper: str) -> None:
    made = sheet(name, paper)
    primitives = made.picture.primitives
    first = next(number for number, one in enumerate(primitives) if one.style == "frame")
    boxes = [(one.text, box(one)) for one in primitives[first:] if isinstance(one, Text)]
    # a letter may hang under its line, no more
    boxes = [(text, (x, y + 0.2 * (top - y), right, top)) for text, (x, y, right, top) in boxes]
    assert [(a, b) for (a, x), (b, y) in combinations(boxes, 2) if overlap(x, y)] == []


# To scale.


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_the_scale_is_a_whole_number_of_feet_to_the_inch_and_is_printed(
    name: str, paper: str
) -> None:
    made = sheet(name, paper)
    feet, rest = divmod(made.scale, 12)
    assert rest == 0
    assert 1 <= feet <= 30
    printed = [one.text for one in texts(made) if one.text.startswith("Scale ")]
    assert len(printed) == 1
    assert printed[0].startswith(f"Scale 1 in = {feet} ft (1:{made.scale}) on {made.paper.name};")


def test_a_metric_job_has_a_metric_scale() -> None:
    metric = replace(sample(NAMES[0]), settings=Settings(units="metric"))
    made = Session(metric).sheet(None, "a3")
    assert made.scale in (20, 25, 50, 75, 100, 125, 150, 200, 250, 500)
    assert scale_words(made.scale, metric) == f"Scale 1:{made.scale}"


def test_the_largest_scale_at_which_it_fits_is_taken() -> None:
    """One foot to the inch less would not fit any more."""
    for name in NAMES:
        made = sheet(name)
        left, low, right, top = frame(made)
        wide = (right - left) / made.scale - LIST_WIDTH
        high = (top - low) / made.scale - TITLE_HEIGHT
        drawn = drawing(made)
        larger = made.scale - 12
        # text keeps its size on paper, so the drawing shrinks less than the scale
        assert (
            drawn[2] - drawn[0] > 0.8 * wide * larger or drawn[3] - drawn[1] > 0.8 * high * larger
        )


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize(
    ("units", "unit", "unit_in"), [("ft-in", "ft", 12.0), ("metric", "m", 39.3700787)]
)
def test_the_scale_bar_is_as_long_as_it_says_and_an_inch_or_more_on_paper(
    paper: str, units: str, unit: str, unit_in: float
) -> None:
    about = replace(sample(NAMES[0]), settings=Settings(units=units))
    made = Session(about).sheet(None, paper)
    bar = [
        one for one in made.picture.primitives if isinstance(one, Outline) and one.style == "scale"
    ]
    left, low, right, _ = box(*bar)
    (said,) = (one for one in texts(made) if one.style == "scale" and one.text.endswith(unit))
    assert right - left == pytest.approx(float(said.text.removesuffix(unit)) * unit_in)
    assert (right - left) / made.scale >= 1.0
    assert said.at[0] == pytest.approx(right)
    assert low < said.at[1]


def test_both_poles_are_drawn_to_one_scale_at_true_size() -> None:
    # old pole 45 ft; new pole 50 ft, 84 in deep by the rule
    made = sheet(NAMES[0])
    poles = {one.owner: box(one) for one in made.picture.primitives if one.style == "pole"}
    assert poles["pole-new"][3] - poles["pole-new"][1] == pytest.approx(600.0)
    assert poles["pole-old"][3] - poles["pole-old"][1] == pytest.approx(540.0)
    # their ground lines are level with each other: 84 in and 78 in above the butts
    new, old = poles["pole-new"][1] + 84.0, poles["pole-old"][1] + 78.0
    assert new == pytest.approx(old)
    assert poles["pole-old"][2] < poles["pole-new"][0]


# What is printed.


@pytest.mark.parametrize("name", NAMES)
def test_the_title_block_says_what_by_whom_when_and_by_which_rules(name: str) -> None:
    printed = " | ".join(one.text for one in texts(sheet(name)))
    about = sample(name)
    for wanted in (about.name, about.place, about.drafted_by, about.date, "not checked by chief"):
        assert wanted in printed
    assert "House rules (example) (1)" in printed
    assert "heights above each pole's own ground" in printed
    assert "AS FOUND, looking " in printed
    assert "AS FRAMED, looking " in printed


def test_what_nobody_filled_in_is_printed_blank() -> None:
    made = Session(job(*pole(45), arm("arm", 440.0))).sheet()
    assert "Drafted by ____, date ____; draft - not checked by chief" in [
        one.text for one in texts(made)
    ]


@pytest.mark.parametrize("paper", list(PAPERS))
def test_every_caution_is_on_every_sheet(paper: str) -> None:
    printed = " ".join(one.text for one in texts(sheet(NAMES[0], paper)) if one.style == "caution")
    written = (resources() / "cautions.txt").read_text(encoding="utf-8").split()
    assert printed.split() == written
    assert len(cautions()) >= 6


@pytest.mark.parametrize("name", NAMES)
def test_no_sheet_says_that_anything_is_safe_approved_or_compliant(name: str) -> None:
    printed = " ".join(one.text for one in texts(sheet(name)))
    assert re.findall(r"\b(safe|approved|compliant|certified)\b", printed, re.IGNORECASE) == []


@pytest.mark.parametrize("name", NAMES)
def test_the_counts_of_all_verdicts_are_printed(name: str) -> None:
    findings = Session(sample(name)).findings("framed")
    counts = findings.counts
    words = ", ".join(f"{counts[verdict]} {verdict}" for verdict in counts)
    assert words in [one.text for one in texts(sheet(name))]


@pytest.mark.parametrize("name", NAMES)
def test_what_is_short_or_tight_is_numbered_in_the_drawing_and_in_the_list(name: str) -> None:
    findings = Session(sample(name)).findings("framed")
    numbered = called_out(findings)
    assert len(numbered) == min(
        MOST_CALLOUTS,
        sum(one.verdict in ("short", "tight") and one.line is not None for one in findings),
    )
    numbers = [
        one.text for one in texts(sheet(name)) if one.text.isdecimal() and one.style != "scale"
    ]
    expected = [str(number) for number in range(1, len(numbered) + 1)]
    assert sorted(numbers) == sorted(expected * 2)


def test_a_list_that_is_too_long_says_how_many_more_there_are() -> None:
    made = sheet(NAMES[0])
    (more,) = (one.text for one in texts(made) if one.text.startswith("... and "))
    # each short one in the list has a wedge before it, which belongs to nothing on the pole
    shown = sum(
        isinstance(one, Outline) and one.style == "short" and one.owner == ""
        for one in made.picture.primitives
    )
    findings = Session(sample(NAMES[0])).findings("framed")
    open_ones = [one for one in findings if one.verdict != "meets"]
    # what is not met and the three tightest that meet are listed
    assert more == f"... and {len(open_ones) + 3 - shown} more: see the list"


def test_what_cannot_be_said_is_in_the_list_with_its_mark() -> None:
    made = sheet("dead-end/quarry-lane")
    marks = [one for one in texts(made) if one.text == "?"]
    found = Session(sample("dead-end/quarry-lane")).findings("framed")
    assert len(marks) == found.counts["cannot say"] > 5


# Which poles.


def test_the_found_pole_is_drawn_as_found_and_the_new_one_as_framed() -> None:
    session = Session(sample(NAMES[0]))
    assert main_pole(session.scene("found"), new=False) == "pole-old"
    assert main_pole(session.scene("framed"), new=True) == "pole-new"


def test_where_no_pole_is_new_the_one_that_stands_is_drawn_in_both() -> None:
    session = Session(job(*pole(45, when="found", depth_in=78.0)))
    assert main_pole(session.scene("framed"), new=True) == "pole"
    assert main_pole(Session(Job("empty")).scene("framed"), new=True) == ""


def test_an_empty_job_still_makes_a_sheet() -> None:
    made = Session(Job("Nothing yet")).sheet()
    assert "Nothing yet" in [one.text for one in texts(made)]
    assert inside(made.picture.bounds(), frame(made))


LONG = "Between the old mill and the upper bridge on the road to Harrowdale"


def test_long_names_stay_inside_the_frame() -> None:
    corner = sample(NAMES[0])
    named = replace(
        corner,
        name=f"{LONG}, {LONG}",
        place=LONG,
        owner=LONG,
        drafted_by=LONG,
        items=tuple(replace(one, name=f"{one.name} of {LONG[:24]}") for one in corner.items),
        nearby=tuple(replace(one, name=f"{one.name} of {LONG[:24]}") for one in corner.nearby),
    )
    made = Session(named).sheet()
    assert [one.text for one in texts(made) if not inside(box(one), frame(made))] == []
    assert any(one.text.endswith("...") for one in texts(made))
