"""What follows from a change of the pole, told before it is accepted: topping, depth, grade.

Places invented. The numbers of each situation are worked out beside its test; distances kept are
the example house rules, 3 ft 6 in from a neighbouring circuit and 12 in from bolt to top.
"""

from __future__ import annotations

from collections.abc import Callable

from framer.edits.places import set_along_pole, set_pole, set_standing
from framer.model.item import PoleFacts
from framer.model.job import Job, Settings
from framer.model.line import Circuit, NearbyWire, Span
from framer.model.reading import Reading
from framer.session import Session
from tests.build import Record, arm, job, owners, pinned, pole

MAIN = Circuit("main", "Main", kv=24.9, grounded_wye=True)
OTHER = Circuit("other", "Other circuit", kv=12.47, grounded_wye=True, owner="Birch")
SOUTH = Span("south", "South", 180.0, 1800.0, sag_in=0.0)
NEARBY_POLE, TOP = "house.nearby-pole", "house.top-margin"
Edit = Callable[[Job], Job]


def framed(
    *records: Record, length_ft: float, line_in: float, settings: Settings | None = None
) -> Session:
    """A pole with a line arm whose bolt is `line_in` above its ground."""
    return Session(
        job(
            MAIN,
            OTHER,
            SOUTH,
            *pole(length_ft),
            arm("line", line_in),
            *pinned("line", "main", "south", {"A": -54.0, "B": 18.0, "C": 54.0}),
            *records,
            settings=settings,
        )
    )


def crossing(height_ft: float) -> tuple[Record, ...]:
    """A wire that runs east-west straight over pole and arm."""
    near = NearbyWire("near", "Other circuit", "other", 0.0, 0.0, 90.0)
    return near, Reading("near", "height", 12 * height_ft)


def follows(session: Session, edit: Edit) -> tuple[str, ...]:
    """What is said to follow from an edit, which is then dropped."""
    before = session.job
    session.preview(edit)
    said = session.consequences("pole", "framed")
    session.drop_preview()
    assert session.job is before
    return said


def cut(inches: float) -> Edit:
    return lambda job: set_standing(job, "pole", "framed", cut_in=inches)


def shorts(session: Session, rule: str) -> list[set[str]]:
    return [
        owners(finding)
        for finding in session.findings("framed")
        if finding.rule.id == rule and finding.verdict == "short"
    ]


# A02: the bare top stands in the ceiling. 50-ft stock, D 7.0, H 43.0 = 516 in; the wire 42.0 ft up.
# Line wire at most 38.5, bolt 37.417 ft = 449 in: 5 ft 7 in below the uncut top.


def test_a02_topping_by_4_ft_6_in_says_what_becomes_of_drops_and_gaps() -> None:
    # top at most 42.0 - 3.5 = 38.5 ft; then the bolt is 38.5 - 37.417 = 13 in below it
    session = framed(*crossing(42.0), length_ft=50, line_in=449.0)
    assert shorts(session, NEARBY_POLE) == [{"near", "pole"}]
    said = follows(session, cut(54.0))
    assert said[0] == "of the findings 1 is no longer short"
    assert "finished top 43 ft -> 38 ft 6 in above ground" in said
    assert "below the finished top, 1 thing re-reckoned: line 5 ft 7 in -> 1 ft 1 in" in said
    assert not any(one.startswith("becomes") for one in said)
    session.do("cut", cut(54.0))
    assert shorts(session, NEARBY_POLE) == []
    assert shorts(session, TOP) == []


def test_a02_cut_2_in_more_the_bolt_is_too_near_the_top() -> None:
    # own number: 4 ft 8 in leaves 11 in, 1 in short of 12
    session = framed(*crossing(42.0), length_ft=50, line_in=449.0)
    said = follows(session, cut(56.0))
    assert said[0] == "of the findings 1 becomes short, 1 is no longer short"
    assert any(
        one.startswith("becomes short: Arm bolt from the finished top: line: 11 in, needs 1 ft")
        for one in said
    )


def test_a02_an_arm_held_by_the_top_comes_down_with_it() -> None:
    # own numbers: held 1 ft below the top it goes from 42.0 to 37.5 ft up, and no drop changes
    session = Session(job(MAIN, OTHER, SOUTH, *pole(50), arm("line", 12.0, hold="drop")))
    said = follows(session, cut(54.0))
    assert "above ground, 1 thing re-reckoned: line 42 ft -> 37 ft 6 in" in said
    assert not any(one.startswith("below the finished top") for one in said)


def test_a02_an_arm_above_the_cut_is_said_to_be_above_the_top() -> None:
    # own numbers: a bolt 1 ft below the top of 43.0 is 3 ft 6 in above 38.5
    session = framed(length_ft=50, line_in=504.0)
    said = follows(session, cut(54.0))
    assert any("line 1 ft -> 3 ft 6 in above the top" in one for one in said)


def test_a02_two_factory_bores_are_lost_by_the_cut() -> None:
    # bored at 12 in and 60 in: the first is cut off, the second 60 - 54 = 6 in from the finished
    # top, inside the 12-in margin
    session = framed(length_ft=50, line_in=449.0)
    session.do("bore", lambda job: set_pole(job, "pole", bored_in=(12.0, 60.0)))
    said = follows(session, cut(54.0))
    wanted = "factory bores lost: 2 of 2 (1 cut off, 1 too near the finished top); field-bore all"
    assert any(one.startswith(wanted) for one in said)
    # own number: 1 in off leaves the lower bore where it is of use, and the upper 11 in down
    said = follows(session, cut(1.0))
    assert any(one.startswith("factory bores lost: 1 of 2 (1 too near") for one in said)
    session.do("bore lower", lambda job: set_pole(job, "pole", bored_in=(60.0,)))
    assert not any(one.startswith("factory bores") for one in follows(session, cut(1.0)))


# A09: which length sets the depth? 50-ft stock cut 2 ft.


def test_a09_the_length_used_is_said_and_the_2_4_in_that_the_other_differs() -> None:
    # by stock length D 7.0, H 41.0; by finished length D 4.8 + 2 = 6.8, H 41.2: 2.4 in
    session = framed(length_ft=50, line_in=420.0, settings=Settings(depth_rule="ten percent"))
    said = follows(session, cut(24.0))
    assert "finished top 43 ft -> 41 ft above ground" in said
    assert (
        "the depth is reckoned from the stock length: 7 ft; from the finished length it would be "
        "6 ft 9 5/8 in, 2 3/8 in less"
    ) in said


def test_a09_by_the_finished_length_the_depth_itself_changes() -> None:
    by_finished = Settings(depth_rule="ten percent", depth_length="finished")
    said = follows(framed(length_ft=50, line_in=420.0, settings=by_finished), cut(24.0))
    assert "finished top 43 ft -> 41 ft 2 3/8 in above ground" in said
    assert "setting depth 7 ft -> 6 ft 9 5/8 in, 10 % + 2 ft, by finished length" in said
    assert (
        "the depth is reckoned from the finished length: 6 ft 9 5/8 in; from the stock length it "
        "would be 7 ft, 2 3/8 in more"
    ) in said


def test_a09_a_typed_depth_is_reckoned_from_no_length() -> None:
    session = framed(length_ft=50, line_in=420.0)
    session.do("deep", lambda job: set_standing(job, "pole", "framed", depth_in=90.0))
    assert not any("reckoned from" in one for one in follows(session, cut(24.0)))


# A14: the ground at the new hole is 0.8 ft = 9.6 in lower. A 45-ft pole, H 38.5; the job needs its
# top 38.2 ft up in the old datum: the bolt 37.2 ft up and 12 in under the top.


def lower_ground(job: Job) -> Job:
    return set_standing(job, "pole", "framed", grade_in=-9.6)


def test_a14_the_top_of_the_same_pole_comes_out_lower() -> None:
    # 38.5 - 0.8 = 37.7 ft
    said = follows(framed(length_ft=45, line_in=446.4), lower_ground)
    assert "ground at the pole at the job's datum -> 9 5/8 in below the job's datum" in said
    assert "finished top 38 ft 6 in -> 37 ft 8 3/8 in above the job's datum" in said


def test_a14_framed_to_the_old_datum_it_is_6_in_short_and_50_ft_is_not() -> None:
    # the bolt is to be 37.2 + 0.8 = 38.0 ft above the new ground: 6 in under the top of 38.5
    session = framed(length_ft=45, line_in=446.4)
    session.do("lower", lower_ground)
    assert shorts(session, TOP) == []
    session.do("raise", lambda job: set_along_pole(job, "line", "framed", "height", 456.0))
    (short,) = [one for one in session.findings("framed") if one.verdict == "short"]
    assert (short.rule.id, short.gap, short.spare) == (TOP, 6.0, -6.0)
    said = follows(session, lambda job: set_pole(job, "pole", length_in=600.0))
    assert said[0] == "of the findings 1 is no longer short"
    assert "setting depth 6 ft 6 in -> 7 ft" in " ".join(said)
    assert "finished top 38 ft 6 in -> 43 ft above ground" in said


# What else a pole is, and nothing at all.


def test_another_class_changes_the_bolts_that_go_through_it() -> None:
    """Southern pine 50 ft, class 4 and class 1, is thicker: the arm's bolt has to be longer."""
    bare, *_ = pole(50)
    timber = PoleFacts(600.0, "4", "Southern pine")
    made = job(MAIN, SOUTH, _with(bare, timber), arm("line", 400.0))
    said = follows(Session(made), lambda job: set_pole(job, "pole", pole_class="1"))
    (bolts,) = [one for one in said if one.startswith("other bolts: line ")]
    before, after = bolts.removeprefix("other bolts: line ").split(" -> ")
    assert float(before.split()[0]) < float(after.split()[0])


def _with(item: Record, facts: PoleFacts) -> Record:
    from msgspec.structs import replace

    return replace(item, pole=facts)  # type: ignore[type-var]


def test_a_rake_says_how_far_the_top_goes_over() -> None:
    # 3 in in 10 ft over 38.5 ft along the pole: 3/120 of the plumb height, 11.5 in
    said = follows(
        framed(length_ft=45, line_in=400.0),
        lambda job: set_standing(job, "pole", "framed", rake_in_per_10ft=3.0),
    )
    assert any(one.startswith("the top stands 0 in -> 11 9/16 in") for one in said)


def test_another_spot_says_how_far_it_is_from_the_old_pole() -> None:
    old = pole(45, key="old", when="found")
    said = follows(
        framed(*old, length_ft=45, line_in=400.0),
        lambda job: set_standing(job, "pole", "framed", east_in=24.0, north_in=-18.0),
    )
    assert "0 in -> 2 ft 6 in from old, centre to centre at the ground" in said  # 24, 18, 30


def test_no_change_has_no_consequences_and_a_change_without_any_says_so() -> None:
    session = framed(length_ft=45, line_in=400.0)
    assert follows(session, lambda job: job) == ()
    assert session.consequences("pole", "framed") == ()
    held = follows(session, lambda job: set_standing(job, "pole", "framed", held=True))
    assert held == ("nothing else changes",)
