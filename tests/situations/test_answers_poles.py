"""Which pole, what a cut of its top does, and how it is set: answers worked out.

All places and circuits are invented; distances kept are the example house rules. H = L - C - D:
stock length less what is cut from the top less the depth.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, Literal

import pytest
from msgspec.structs import replace

from framer.answers.bands import moved_to
from framer.answers.consequences import Judged, consequences
from framer.answers.forms import Setting
from framer.answers.lengths import (
    CLASS_OPEN,
    GIRTHS_KEPT,
    Pole,
    read_yard,
    which_pole_work,
    with_pole,
)
from framer.answers.setting import Turn, apart_in, beside, rake_at_top_in, turn_words, turns
from framer.answers.topping import CLASS, topping_work
from framer.answers.work import done
from framer.checks.bookshelf import rulebook
from framer.checks.engine import check
from framer.errors import DataFileError, EditError
from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Settings
from framer.model.line import Circuit, Span
from framer.model.place import Standing
from tests.build import Record, arm, job, pinned, pole
from tests.situations.test_ceiling import crossing, spans

HOUSE = (rulebook("house"),)
MAIN = Circuit("main", "Main", kv=24.9, grounded_wye=True)
OTHER = Circuit("other", "West circuit", kv=12.47, grounded_wye=True, owner="Birch")


def framed(
    length_ft: float,
    bolt_in: float,
    *more: Record,
    settings: Settings | None = None,
    **standing: Any,
) -> Job:
    """A pole with a line arm at a height and its wires on pins."""
    return job(
        MAIN,
        OTHER,
        *spans(),
        *pole(length_ft, **standing),
        arm("line", bolt_in),
        *pinned("line", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}),
        *more,
        settings=settings,
    )


# A03 and A14: the shortest pole that frames.


def test_a03_of_the_stock_lengths_45_ft_is_the_shortest_that_frames() -> None:
    # the line bolt at 33.333 ft wants the top at 34.333: 40 ft gives 34.0, 4 in short, 45 ft 38.5
    found = done(which_pole_work(framed(40, 400.0), HOUSE))
    best = found.options[0]
    assert (best.pole.length_in, best.frames, best.cut_in) == (540.0, True, 0.0)
    assert best.top_in == pytest.approx(12 * 38.5)
    assert best.spare_in == pytest.approx(50.0)
    forty = next(one for one in found.options if one.pole.length_in == 480.0)
    assert not forty.frames
    assert forty.spare_in == pytest.approx(-4.0)
    assert CLASS_OPEN in found.notes


def of_a_class(made: Job, pole_class: str) -> Job:
    """The pole of the job as one of a class, with no girth measured."""
    items = tuple(
        replace(one, pole=replace(one.pole, pole_class=pole_class, species="Southern pine"))
        if one.pole is not None
        else one
        for one in made.items
    )
    return replace(made, items=items, readings=tuple(r for r in made.readings if r.of != "pole"))


def test_a_length_in_which_the_class_is_not_listed_is_judged_as_the_thinnest_that_is() -> None:
    # ANSI O5.1 lists Southern pine to class 4 at 80 ft and to class 3 at 85 ft. The bolt at 400 in:
    # 85 ft set 10.5 reaches 894 in, 894 - 400 - 12 = 482 in to spare
    found = done(which_pole_work(of_a_class(framed(40, 400.0), "4"), HOUSE))
    by_length = {one.pole.length_in / 12: one for one in found.options}
    assert (by_length[80.0].as_class, by_length[85.0].as_class) == ("4", "3")
    assert by_length[85.0].spare_in == pytest.approx(482.0)
    assert by_length[85.0].unsaid == ()
    made = with_pole(of_a_class(framed(40, 400.0), "4"), "pole", Pole(1020.0), 0.0, Setting())
    facts = made.item_by_id["pole"].pole
    assert facts is not None
    assert facts.pole_class == "3"


def test_what_cannot_be_said_of_a_pole_is_no_pass() -> None:
    # nobody read how high the crossing wire is: whether a top comes near it is not known
    made = framed(40, 400.0, *crossing(42.0, azimuth_deg=90.0))
    unread = replace(made, readings=tuple(one for one in made.readings if one.of != "near"))
    found = done(which_pole_work(unread, HOUSE))
    assert {one.missing for one in found.unsaid} == {"height of West circuit not known"}
    assert not done(which_pole_work(made, HOUSE)).unsaid


def test_a_class_of_the_yard_that_is_not_in_the_tables_leaves_its_framing_unsaid() -> None:
    made = of_a_class(framed(40, 400.0), "4")
    found = done(which_pole_work(made, HOUSE, stock=[Pole(540.0, "9"), Pole(600.0, "3")]))
    assert [one.pole.length_in for one in found.options] == [600.0, 540.0]
    assert not found.options[0].is_open
    assert found.options[1].is_open
    assert "girth of pole not known" in {one.missing for one in found.options[1].unsaid}


def test_girths_measured_on_the_pole_drafted_go_with_it_where_the_other_is_of_a_class() -> None:
    made = framed(40, 400.0)
    assert len(made.girths("pole")) == 2
    pine = Pole(540.0, "4", "Southern pine")
    assert not with_pole(made, "pole", pine, 0.0, Setting()).girths("pole")
    # without a class they are all that is known of any pole there
    assert len(with_pole(made, "pole", Pole(540.0), 0.0, Setting()).girths("pole")) == 2
    assert GIRTHS_KEPT in done(which_pole_work(made, HOUSE)).notes


def test_of_two_in_the_yard_the_thinner_that_stands_comes_first() -> None:
    made = of_a_class(framed(40, 400.0), "4")
    yard = [Pole(540.0, "1"), Pole(540.0, "4"), Pole(540.0, "2")]
    found = done(which_pole_work(made, HOUSE, stock=yard))
    assert [one.pole.pole_class for one in found.options] == ["4", "2", "1"]


def test_the_best_come_first_and_those_that_do_not_frame_by_what_they_lack() -> None:
    found = done(which_pole_work(framed(40, 400.0), HOUSE))
    frame = [one.pole.length_in for one in found.options if one.frames]
    lack = [one.spare_in for one in found.options if not one.frames]
    assert frame == sorted(frame)
    assert lack == sorted(lack, key=lambda one: -(one or 0.0))
    assert [one.frames for one in found.options] == sorted(
        (one.frames for one in found.options), reverse=True
    )


@pytest.mark.parametrize(
    ("grade_ft", "best_ft", "spare_in"),
    [
        # A14: bolt 37.2 over the old datum, top wanted at 38.2; the ground 0.8 ft lower, so 45 ft
        # reaches 37.7 and is 6 in short; 50 ft reaches 42.2: 4.0 ft to spare
        (-0.8, 50.0, 48.0),
        # own numbers: on level ground 45 ft reaches 38.5: 3.6 in to spare
        (0.0, 45.0, 3.6),
        # 0.3 ft lower: exactly enough
        (-0.3, 45.0, 0.0),
    ],
)
def test_a14_where_the_ground_drops_a_longer_pole_is_needed(
    grade_ft: float, best_ft: float, spare_in: float
) -> None:
    made = framed(45, 12 * (37.2 - grade_ft), grade_in=12 * grade_ft)
    found = done(which_pole_work(made, HOUSE))
    assert found.options[0].pole.length_in == pytest.approx(12 * best_ft)
    assert found.options[0].spare_in == pytest.approx(spare_in, abs=1e-6)
    if grade_ft == -0.8:
        short = next(one for one in found.options if one.pole.length_in == 540.0)
        assert short.spare_in == pytest.approx(-6.0)


def test_a02_under_a_crossing_wire_a_longer_pole_is_topped_and_a_45_ft_one_is_not() -> None:
    # top at most 42.0 - 3.5 = 38.5: 45 ft reaches exactly that, 50 ft must lose 4.5 ft
    made = framed(50, 12 * 38.5 - 13.0, *crossing(42.0, azimuth_deg=90.0))
    found = done(which_pole_work(made, HOUSE))
    by_length = {one.pole.length_in / 12: one for one in found.options}
    assert found.options[0].pole.length_in == 540.0
    assert by_length[45.0].cut_in == 0.0
    assert by_length[50.0].cut_in == pytest.approx(54.0)
    assert by_length[50.0].frames
    assert by_length[50.0].spare_in == pytest.approx(1.0)
    # 40 ft reaches 34.0; bolt at 37.417
    assert by_length[40.0].spare_in == pytest.approx(-(37.417 + 1.0 - 34.0) * 12, abs=0.01)


# A09: which length sets the depth, and other ways to set a pole.


@pytest.mark.parametrize(
    ("reckoned", "depth_ft", "other_ft"), [("stock", 7.0, 6.8), ("finished", 6.8, 7.0)]
)
def test_a09_says_which_length_set_the_depth_and_what_the_other_would_be(
    reckoned: Literal["stock", "finished"], depth_ft: float, other_ft: float
) -> None:
    # a 50-ft pole cut 2 ft: by stock length 7.0, by finished 4.8 + 2 = 6.8, 2.4 in apart. The
    # crossing wire is where either form needs just that cut: 41.0 + 3.5 and 41.2 + 3.5
    top_ft = 48.0 - depth_ft
    made = framed(
        50,
        12 * (top_ft - 2.0),
        *crossing(top_ft + 3.5, azimuth_deg=90.0),
        settings=Settings(depth_rule="ten percent", depth_length=reckoned),
    )
    found = done(which_pole_work(made, HOUSE, stock=[Pole(600.0)])).options[0]
    assert found.cut_in == pytest.approx(24.0, abs=0.5)
    assert found.depth_in == pytest.approx(12 * depth_ft, abs=0.06)
    assert found.other_depth_in == pytest.approx(12 * other_ft, abs=0.06)
    assert reckoned in found.depth_from


@pytest.mark.parametrize(
    ("length_ft", "setting", "depth_ft"),
    [
        # ordinary soil: 10 % + 2 ft
        (50, Setting(), 7.0),
        # the handbook's table for rock (read at second hand): 45 ft and 50 ft 4.5 ft, 40 ft 4.0
        (50, Setting("rock"), 4.5),
        (40, Setting("rock"), 4.0),
        # from the low side of a slope: 9 in more
        (50, Setting("soil", 9.0), 7.75),
        (45, Setting("rock", 6.0), 5.0),
    ],
)
def test_depth_by_the_rule_chosen(length_ft: float, setting: Setting, depth_ft: float) -> None:
    made = framed(length_ft, 300.0)
    found = done(
        which_pole_work(made, HOUSE, stock=[Pole(12.0 * length_ft)], setting=setting)
    ).options[0]
    assert found.depth_in == pytest.approx(12 * depth_ft)
    if setting.ground == "rock":
        assert "rock" in found.depth_from
    if setting.slope_in:
        assert "low side" in found.depth_from


def test_a_depth_in_rock_that_is_not_known_is_said_and_does_not_frame() -> None:
    # the table has no depth in rock beyond 60 ft
    found = done(
        which_pole_work(framed(45, 300.0), HOUSE, stock=[Pole(840.0)], setting=Setting("rock"))
    )
    assert not found.options[0].frames
    assert "depth in rock" in found.options[0].problem
    assert found.options[0].depth_in is None


def test_of_the_poles_in_the_yard_only_those_there_are_offered(tmp_path: Path) -> None:
    path = tmp_path / "yard.csv"
    path.write_text("length_ft,class,species,count\n45,4,,0\n50,3,Southern pine,2\n40,4,,5\n")
    yard = read_yard(path)
    assert yard == (Pole(600.0, "3", "Southern pine", 2), Pole(480.0, "4", "", 5))
    found = done(which_pole_work(framed(40, 400.0), HOUSE, stock=yard))
    assert [one.pole.length_in for one in found.options] == [600.0, 480.0]
    assert found.options[0].frames
    assert found.options[0].pole.pole_class == "3"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("length,class\n45,4\n", "line 2"),
        ("length_ft\nforty\n", "line 2"),
        ("length_ft,count\n45,1\n4500,2\n", "line 3"),
        ("length_ft\n", "no pole is listed"),
    ],
)
def test_a_yard_list_that_makes_no_sense_is_refused(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "yard.csv"
    path.write_text(text)
    with pytest.raises(DataFileError, match=words):
        read_yard(path)


def test_a_job_without_a_standing_pole_says_so() -> None:
    with pytest.raises(EditError, match="no pole stands"):
        done(which_pole_work(job(MAIN), HOUSE))


# A02 and A19: topping.


def stock_bored(*bored_in: float, cut_in: float = 0.0) -> Job:
    """The 50-ft pole of A02 with factory bores, under the crossing wire at 42.0."""
    made = job(
        MAIN,
        OTHER,
        *spans(),
        *pole(50, cut_in=cut_in),
        arm("line", 12 * 38.5 - 13.0),
        *pinned("line", "main", "south", {"A": -54.0, "B": 18.0, "C": 54.0}),
        *crossing(42.0, azimuth_deg=90.0),
    )
    facts = PoleFacts(600.0, bored_in=bored_in)
    items = tuple(replace(one, pole=facts) if one.id == "pole" else one for one in made.items)
    return replace(made, items=items)


def test_a02_both_forms_are_told_the_one_that_fails_and_the_one_that_passes() -> None:
    # H 43.0 uncut; top at most 38.5: cut 4 ft 6 in; the bolt at 37.417 goes from 67 in to 13 in
    found = done(topping_work(stock_bored(), HOUSE))
    assert found.after is not None
    assert found.after.cut_in == pytest.approx(54.0)
    assert found.before.top_in == pytest.approx(12 * 43.0)
    assert found.after.top_in == pytest.approx(12 * 38.5)
    assert {one.rule.id for one in found.before.shorts} == {"house.nearby-pole"}
    assert found.after.shorts == ()
    assert found.after.margin is not None
    assert found.after.margin.gap == pytest.approx(13.0, abs=0.01)
    (line,) = found.drops
    assert (line.before_in, line.after_in) == (
        pytest.approx(67.0, abs=0.01),
        pytest.approx(13.0, abs=0.01),
    )
    assert "no longer describes" in CLASS


def test_a02_a_cut_of_4_ft_5_in_typed_is_1_in_too_little() -> None:
    found = done(topping_work(stock_bored(), HOUSE, cut_in=53.0))
    assert found.after is not None
    (short,) = found.after.shorts
    assert short.rule.id == "house.nearby-pole"
    assert short.spare == pytest.approx(-1.0)


def test_a02_under_a_lower_wire_the_cut_is_longer_and_the_margin_fails() -> None:
    # own numbers: 41.75 ft, top at most 38.25: cut 4.75 ft = 57 in; the bolt at 37.417 is then
    # 10 in from the top, 2 in short of 12, and its wires 3 in too high
    made = stock_bored()
    readings = tuple(
        replace(one, value_in=12 * 41.75) if one.of == "near" else one for one in made.readings
    )
    found = done(topping_work(replace(made, readings=readings), HOUSE))
    assert found.after is not None
    assert found.after.cut_in == pytest.approx(57.0)
    assert {one.rule.id for one in found.after.shorts} == {"house.top-margin", "house.nearby-wire"}


def test_a19_two_factory_bores_are_lost() -> None:
    # bored at 12 in and 60 in: the first is cut off with 54 in, the other is 6 in from the top
    found = done(topping_work(stock_bored(12.0, 60.0), HOUSE))
    assert found.lost_bores == (
        (12.0, pytest.approx(-42.0)),
        (60.0, pytest.approx(6.0)),
    )


def test_a19_a_bore_farther_down_stays_of_use() -> None:
    # own numbers: 66 in is 12 in from the finished top, just enough; 65 in is not
    found = done(topping_work(stock_bored(65.0, 66.0), HOUSE))
    assert [one[0] for one in found.lost_bores] == [65.0]


def test_a_pole_that_needs_no_cut_says_so() -> None:
    found = done(topping_work(framed(45, 400.0), HOUSE))
    assert not found.needed
    assert found.after is found.before


def test_a_wire_beside_the_whole_pole_is_cured_by_no_cut() -> None:
    # own numbers: 3 ft from the pole's centre line and at half its height
    found = done(topping_work(framed(45, 400.0, *crossing(10.0, east_in=-36.0)), HOUSE))
    assert found.after is None
    assert found.needed


def test_a_pole_of_no_known_length_says_what_to_give() -> None:
    made = job(MAIN, Item("pole", "pole", (Standing(when="after"),), pole=PoleFacts()))
    with pytest.raises(EditError, match="give its length and depth"):
        done(topping_work(made, HOUSE))


# A11: beside the old pole.


def test_a11_centres_are_2_ft_apart_and_faces_8_9_in() -> None:
    # 6 + 24/2 + 12/2 = 24; (24 - 13)/2 = 5.5; 2 x 33/10 = 6.6; 24 - 6.6 - 8.5 = 8.9
    found = beside(
        old_butt_in=12.0,
        new_butt_in=13.0,
        auger_in=24.0,
        soil_in=6.0,
        lean_in_per_10ft=2.0,
        height_in=12 * 33.0,
        old_dia_in=8.5,
        new_dia_in=8.5,
    )
    assert found.apart_in == pytest.approx(24.0)
    assert found.tamping_in == pytest.approx(5.5)
    assert found.over_in == pytest.approx(6.6)
    assert found.faces_in == pytest.approx(8.9)


def test_a11_with_other_numbers() -> None:
    # 8 + 30/2 + 14/2 = 30; 3 x 25/10 = 7.5; 30 - 7.5 - (14 + 16)/2 = 7.5
    found = beside(
        old_butt_in=14.0,
        new_butt_in=16.0,
        auger_in=30.0,
        soil_in=8.0,
        lean_in_per_10ft=3.0,
        height_in=300.0,
    )
    assert (found.apart_in, found.tamping_in) == (pytest.approx(30.0), pytest.approx(7.0))
    assert found.faces_in == pytest.approx(7.5)


def test_a_butt_thicker_than_the_auger_is_refused() -> None:
    with pytest.raises(EditError, match="larger auger"):
        beside(old_butt_in=12.0, new_butt_in=25.0, auger_in=24.0, soil_in=6.0)


def test_how_far_the_drafted_poles_are_apart() -> None:
    made = job(MAIN, *pole(45), *pole(45, key="old", depth_in=78.0, east_in=-24.0, north_in=7.0))
    assert apart_in(made, "pole") == (("old", pytest.approx(25.0)),)


# A12 and A13: offset and rake.


def passing(
    back_ft: float, ahead_ft: float, tension_lbf: float | None = 1_800.0, **standing: Any
) -> Job:
    """A pole at which three wires go on from the north to the south."""
    return job(
        MAIN,
        Span("north", "North", 0.0, 12 * back_ft),
        Span("south", "South", 180.0, 12 * ahead_ft),
        *pole(45, **standing),
        arm("line", 12 * 33.0),
        *pinned(
            "line", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}, tension_lbf=tension_lbf
        ),
    )


def turning(made: Job) -> Turn:
    (turn,) = turns(made, place(made, "framed").poles["pole"].foot)
    return turn


def test_a12_a_pole_3_ft_off_the_line_turns_it_by_2_29_deg() -> None:
    # 2 atan(3/150) = 2.29 deg; 2 x 1,800 x sin(1.146 deg) = 72 lb each, 216 lb for three, to the
    # west, where the line was
    found = turning(passing(150.0, 150.0, east_in=36.0))
    assert found.angle_deg == pytest.approx(2.29, abs=0.005)
    assert found.pull_lbf == pytest.approx(216.0, abs=0.15)
    assert (found.wires, found.toward_deg) == (3, pytest.approx(270.0, abs=0.01))
    words = turn_words(found, 0.0)
    assert "turns 0.00 -> 2.29 deg there, so it is no tangent any more" in words
    assert "its 3 wires of known tension pull 216 lbf west" in words


def test_a12_what_follows_says_so_when_the_pole_is_set_aside() -> None:
    line, off = passing(150.0, 150.0), passing(150.0, 150.0, east_in=36.0)
    both = [
        Judged(scene, check(scene, HOUSE))
        for scene in (place(line, "framed"), place(off, "framed"))
    ]
    said = consequences(both[0], both[1], "pole")
    assert any("no tangent any more" in one and "216 lbf west" in one for one in said)
    # farther along the line it stays a tangent
    on = place(passing(150.0, 150.0, north_in=36.0), "framed")
    said = consequences(both[0], Judged(on, check(on, HOUSE)), "pole")
    assert not any("turns" in one for one in said)


def test_a12_with_unequal_spans() -> None:
    # atan(2/100) + atan(2/200) = 1.1458 + 0.5729 = 1.7187 deg; 2 x 1,200 x sin(0.8594) = 36.0
    # each, 108 in all
    found = turning(passing(100.0, 200.0, 1_200.0, east_in=-24.0))
    assert found.angle_deg == pytest.approx(1.7187, abs=2e-3)
    assert found.pull_lbf == pytest.approx(108.0, abs=0.15)
    assert found.toward_deg == pytest.approx(90.0, abs=0.5)


def test_a12_wires_of_no_known_tension_are_named() -> None:
    words = turn_words(turning(passing(150.0, 150.0, None, east_in=36.0)))
    assert "3 of its wires have no tension typed" in words
    assert "lbf" not in words


def test_a13_a_corner_pole_38_5_ft_up_stands_7_7_to_15_4_in_off() -> None:
    assert rake_at_top_in(12 * 38.5, 2.0, 4.0) == (pytest.approx(7.7), pytest.approx(15.4))
    # own numbers: 43 ft, 1.5 to 3 in
    assert rake_at_top_in(12 * 43.0, 1.5, 3.0) == (pytest.approx(6.45), pytest.approx(12.9))


def test_a13_what_follows_says_what_a_rake_is_to_be() -> None:
    # raked 3 in in 10 ft the top of a 45-ft pole is 38.5 x sqrt(1 - 1/1601) = 38.488 ft up: 7.70 to
    # 15.40 in there, 7 11/16 and 15 3/8 in
    plumb, raked = (
        place(passing(150.0, 150.0, **standing), "framed")
        for standing in ({}, {"rake_in_per_10ft": 3.0, "rake_azimuth_deg": 90.0})
    )
    said = consequences(
        Judged(plumb, check(plumb, HOUSE)), Judged(raked, check(raked, HOUSE)), "pole"
    )
    (rake,) = [one for one in said if "guide specification" in one]
    assert "2 in to 4 in in 10 ft, away from the pull" in rake
    assert "7 11/16 in to 1 ft 3 3/8 in at this top" in rake


# A43: what a lower arm does to the bolts.


def tapered(bolt_drop_in: float) -> Job:
    """The 55-ft pole of A16: girth 27 in at its top 47.5 ft up, 47.5 in at the ground."""
    from framer.model.reading import Reading

    facts = PoleFacts(660.0)
    return job(
        MAIN,
        *spans(),
        Item("pole", "pole", (Standing(when="after"),), pole=facts),
        Reading("pole", "girth", 47.5, at_in=0.0),
        Reading("pole", "girth", 27.0, at_in=570.0),
        arm("line", bolt_drop_in, hold="drop"),
        *pinned("line", "main", "north", {"A": -54.0, "B": 18.0, "C": 54.0}),
        settings=Settings(bolt_rule="thumb"),
    )


@pytest.mark.parametrize(
    ("drop_in", "lower_in", "flips"),
    [
        # thumb sum = diameter + 3.75 + 2; 8.594 in at the top and 0.1374 in more per foot: 16-in
        # bolts down to 12.05 ft. From 11 ft 7 in (15.94) to 12 ft 7 in (16.07): 16 becomes 18
        (139.0, 12.0, True),
        # own numbers: from 10 ft (15.72) to 11 ft (15.86): 16 both times
        (120.0, 12.0, False),
        # from 12 ft (15.993) by 1 in to 12 ft 1 in (16.004): 18
        (144.0, 1.0, True),
    ],
)
def test_a43_lowering_the_arm_says_whether_its_bolt_flips(
    drop_in: float, lower_in: float, flips: bool
) -> None:
    made = tapered(drop_in)
    lower = moved_to(made, "line", 12 * 47.5 - drop_in - lower_in)
    both = [
        Judged(scene, check(scene, HOUSE))
        for scene in (place(one, "framed") for one in (made, lower))
    ]
    said = consequences(both[0], both[1], "pole")
    assert any("line 16 in -> 18 in" in line for line in said) == flips
