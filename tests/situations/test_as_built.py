"""Heights as built, typed, and what the gaps are then.

A frame on a 45-ft pole, 38.5 ft out of the ground, under a circuit read at 35.2 ft: line arm bolt
3 ft 11 in below the top, so 34 ft 7 in up, buck arm bolt 4 ft lower at 30 ft 7 in, its wires 13 in
higher at 31 ft 8 in, 3.533 ft under the circuit. The house rule keeps 3 ft 6 in.
"""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.drawing.picture import Line, Primitive, Text, extent
from framer.drawing.sheet import PAPERS
from framer.edits.arrange import moved_up
from framer.edits.links import set_link
from framer.edits.places import set_along_pole, with_place
from framer.edits.revisions import as_measured, built_at, built_deep, without_built
from framer.errors import EditError, FramerError
from framer.files.format import encode
from framer.files.reader import job_from
from framer.geometry.placing import place
from framer.model.faults import faults
from framer.model.job import Job
from framer.model.place import Removed
from framer.model.stage import fate
from framer.session import Session
from framer.takeoff.built import built_rows
from tests.build import arm, job, judged, pinned, pole
from tests.situations.test_ceiling import MAIN, NEARBY, OTHER, SIXTEENTH_IN, crossing, spans

LINE_IN, BUCK_IN = 12 * 34.0 + 7.0, 12 * 30.0 + 7.0


def drawn() -> Job:
    return job(
        MAIN,
        OTHER,
        *spans(),
        *pole(45),
        arm("line", 47.0, hold="drop"),
        arm("buck", 95.0, hold="drop", faces_deg=270.0),
        *pinned("buck", "main", "west", {"A": -54.0, "B": 54.0}),
        *crossing(35.2, east_in=-144.0),
    )


def built(up_in: float) -> Job:
    made = built_at(drawn(), "line", "height", LINE_IN + up_in)
    return built_at(made, "buck", "height", BUCK_IN + up_in)


def test_a46_a_frame_measured_2_in_higher_than_drawn_is_1_6_in_short() -> None:
    as_drawn = judged(drawn(), "house").the(NEARBY, "buck-A", "near")
    assert (as_drawn.verdict, as_drawn.gap) == ("meets", pytest.approx(42.4, abs=SIXTEENTH_IN))
    as_built = judged(built(2.0), "house").the(NEARBY, "buck-A", "near")
    assert as_built.verdict == "short"
    assert as_built.gap == pytest.approx(12 * 3.367, abs=SIXTEENTH_IN)
    assert as_built.spare == pytest.approx(-1.6, abs=SIXTEENTH_IN)


def test_a46_it_is_said_on_entry() -> None:
    session = Session(drawn())
    assert not [one for one in session.findings("framed") if one.verdict == "short"]
    session.do("as built", lambda made: built_at(made, "buck", "height", BUCK_IN + 2.0))
    short = {one.rule.id for one in session.findings("framed") if one.verdict == "short"}
    # the buck arm is now also only 3 ft 10 in under the line arm
    assert short == {NEARBY, "house.line-to-buck-arm"}
    session.undo()
    assert not [one for one in session.findings("framed") if one.verdict == "short"]


def test_the_redline_has_both_values_and_the_difference() -> None:
    rows = {row.key: row.words for row in built_rows(built(2.0))}
    assert rows == {
        "line": ("34 ft 7 in", "34 ft 9 in", "2 in higher"),
        "buck": ("30 ft 7 in", "30 ft 9 in", "2 in higher"),
    }
    assert built_rows(drawn()) == ()


def test_what_was_built_just_as_drawn_says_so() -> None:
    (row,) = built_rows(built_at(drawn(), "line", "drop", 47.0))
    assert row.words == ("34 ft 7 in", "34 ft 7 in", "as drawn")


def test_a_pole_set_deeper_brings_down_all_that_is_measured_from_its_top() -> None:
    # 6 ft 6 in deep as drawn
    made = built_deep(drawn(), "pole", 84.0)
    rows = {row.key: (row.words[2], row.is_measured) for row in built_rows(made)}
    assert rows == {
        "pole": ("6 in deeper", True),
        "line": ("6 in lower", False),
        "buck": ("6 in lower", False),
    }


def test_a_pole_cannot_be_built_with_nothing_above_ground() -> None:
    with pytest.raises(EditError, match="nothing above ground"):
        built_deep(drawn(), "pole", 540.0)


def test_what_is_fixed_to_no_pole_is_not_measured_along_one() -> None:
    with pytest.raises(EditError, match="not fixed to a pole"):
        built_at(drawn(), "buck-A-pin", "height", 400.0)
    with pytest.raises(EditError, match="no item 'nothing'"):
        built_at(drawn(), "nothing", "height", 400.0)
    with pytest.raises(EditError, match="no pole"):
        built_deep(drawn(), "line", 72.0)


def test_measuring_again_takes_the_place_of_the_first_and_as_drawn_comes_back_whole() -> None:
    made = built_at(built(2.0), "line", "height", LINE_IN + 1.0)
    assert [one.when for one in made.item_by_id["line"].places] == ["after", "built"]
    assert built_rows(made)[0].words[2] == "1 in higher"
    assert without_built(made) == drawn()


def test_a_job_as_built_is_sound_reads_back_and_keeps_its_fates() -> None:
    made = built(2.0)
    assert list(faults(made)) == []
    assert job_from(encode(made), "built").job == made
    assert {fate(made, item) for item in made.items} == {"install"}
    # pins and wires went up with the arm they are on
    higher = place(made, "framed").parts_of["buck-A"][0].shape
    lower = place(drawn(), "framed").parts_of["buck-A"][0].shape
    assert higher is not None
    assert lower is not None
    assert higher.p[2] - lower.p[2] == pytest.approx(2.0)


def test_metric_jobs_say_metres() -> None:
    made = built(2.0)
    metric = replace(made, settings=replace(made.settings, units="metric"))
    assert {row.words for row in built_rows(metric)} == {
        ("10.541 m", "10.592 m", "0.051 m higher"),
        ("9.322 m", "9.373 m", "0.051 m higher"),
    }


def test_moving_what_was_measured_corrects_that_and_leaves_what_was_drawn() -> None:
    made = set_along_pole(built(2.0), "line", "framed", "height", LINE_IN + 3.0)
    rows = {row.key: row.words for row in built_rows(made)}
    assert rows["line"] == ("34 ft 7 in", "34 ft 10 in", "3 in higher")
    assert without_built(made) == drawn()


def test_what_is_taken_away_after_all_was_not_built() -> None:
    made = with_place(built(2.0), "line", "framed", Removed(when="after"))
    assert made.item_by_id["line"].places == (Removed(when="after"),)


@pytest.mark.parametrize("paper", list(PAPERS))
def test_the_redline_sheet_strikes_the_drawn_value_and_has_the_actual_one_beside(
    paper: str,
) -> None:
    session = Session(replace(built(2.0), books=("house",)))
    drawing, table = session.redline_sheets(0.0, paper)
    drawn, there = (
        next(one for one in drawing.picture.primitives if text_of(one) == words)
        for words in ("30 ft 7 in", "30 ft 9 in above ground, measured: 2 in higher")
    )
    assert isinstance(drawn, Text)
    assert isinstance(there, Text)
    (left, low), (right, high) = extent(drawn)
    strikes = [
        one
        for one in drawing.picture.primitives
        if isinstance(one, Line) and one.style == "redline" and one.owner == "buck"
    ]
    (strike,) = strikes
    assert strike.p[0] <= left < right <= strike.q[0]
    assert low < strike.p[1] == strike.q[1] < high
    assert there.at[1] == drawn.at[1]
    assert there.at[0] > strike.q[0]
    # the arm is drawn to scale where it was measured, its drawn height is marked on the pole
    ground = next(one for one in drawing.picture.primitives if one.style == "ground")
    assert isinstance(ground, Line)
    (mark,) = (
        one
        for one in drawing.picture.primitives
        if isinstance(one, Line) and one.style == "was" and one.owner == "buck"
    )
    assert mark.p[1] - ground.p[1] == pytest.approx(BUCK_IN)
    # what is short as built stands on the same sheet
    printed = " ".join(filter(None, map(text_of, drawing.picture.primitives)))
    assert "needs 3 ft 6 in" in printed
    assert "AS-BUILT REDLINE" in printed
    assert "30 ft 7 in" in " ".join(filter(None, map(text_of, table.picture.primitives)))


def test_what_was_not_measured_and_has_not_moved_is_said_to_be_so() -> None:
    session = Session(built_at(drawn(), "line", "height", LINE_IN + 1.0))
    drawing, _ = session.redline_sheets(0.0)
    printed = [text_of(one) for one in drawing.picture.primitives]
    assert "30 ft 7 in above ground as drawn, not measured" in printed
    assert "34 ft 8 in above ground, measured: 1 in higher" in printed


def test_without_anything_measured_there_is_no_redline_sheet() -> None:
    with pytest.raises(FramerError, match="nothing was measured"):
        Session(drawn()).redline_sheets()


def test_what_is_moved_once_it_is_measured_leaves_the_drawing_as_it_was() -> None:
    made = moved_up(as_measured(drawn(), ("line", "buck")), ("line", "buck"), 2.0)
    assert without_built(made) == drawn()
    assert {row.key: row.words for row in built_rows(made)} == {
        "line": ("34 ft 7 in", "34 ft 9 in", "2 in higher"),
        "buck": ("30 ft 7 in", "30 ft 9 in", "2 in higher"),
    }
    # 3.533 ft less 2 in is 3.367 ft, 1.6 in short of 3 ft 6 in
    found = judged(made, "house").the(NEARBY, "buck-A", "near")
    assert found.spare == pytest.approx(-1.6, abs=SIXTEENTH_IN)


def test_what_follows_a_measured_thing_is_measured_with_it() -> None:
    made = as_measured(set_link(drawn(), "buck", "line"), ("line",))
    made = set_along_pole(made, "line", "framed", "height", LINE_IN + 2.0)
    assert {row.key: row.words[2] for row in built_rows(made)} == {
        "line": "2 in higher",
        "buck": "2 in higher",
    }
    assert without_built(made) == set_link(drawn(), "buck", "line")


def text_of(one: Primitive) -> str:
    return one.text if isinstance(one, Text) else ""
