"""Bores of a pole: how far apart and from the finished top, and what a cut does to factory ones.

Situation: the pole is bored for a line arm and a buck arm with their braces and a neutral. Its
butt is 7 ft deep and its finished top 45 ft 6 in from the butt. The numbers asked for (6 in
between bores, 12 in from the top) are inputs of the situations: no published source gives one.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from framer.checks.bookshelf import rulebook
from framer.checks.explain import explained, one_line
from framer.checks.finding import Finding
from framer.checks.rulebook import Band, Rulebook
from framer.geometry.bores import factory_bores
from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Waiver
from framer.model.place import OnItem, OnPole, Standing
from framer.model.reading import Reading
from framer.takeoff.bores import bores
from framer.takeoff.drilling import drill_list
from framer.takeoff.materials import materials
from tests.build import Checked, arm, job, judged, on_arm, seat

APART, TOP, FACTORY, GAIN = (
    f"house.{key}" for key in ("bore-spacing", "bore-top", "factory-bore-top", "bore-to-gain")
)
BRACE = "brace-angle-60in"
"""Bolted to the pole 18 in below its arm."""


def feet(ft: float, inches: float = 0.0) -> float:
    return 12.0 * ft + inches


def stick(*, cut_in: float = 54.0, bored_in: tuple[float, ...] = ()) -> list[Any]:
    """A 50-ft pole, 7 ft deep, 10 in thick."""
    facts = PoleFacts(600.0, bored_in=bored_in)
    where = Standing(when="after", depth_in=84.0, cut_in=cut_in)
    girth = 31.4159265
    return [
        Item("pole", "pole", (where,), pole=facts),
        Reading("pole", "girth", girth, at_in=0.0),
        Reading("pole", "girth", girth, at_in=400.0),
    ]


def brace(arm_key: str) -> Item:
    return Item(f"{arm_key}-brace", "brace", (OnItem(when="after", host=arm_key),), BRACE)


def spool(butt_in: float, *, key: str = "neutral", faces_deg: float = 0.0) -> Item:
    where = OnPole(when="after", host="pole", at_in=butt_in, hold="butt", azimuth_deg=faces_deg)
    return Item(key, "insulator", (where,), "spool-53-2")


def framed(neutral_in: float, *, faces_deg: float = 90.0) -> Job:
    """The five bores of the drill sheet, the neutral where it is told."""
    return job(
        *stick(),
        arm("line", feet(44, 5), hold="butt"),
        brace("line"),
        arm("buck", feet(40, 5), hold="butt", faces_deg=90.0),
        brace("buck"),
        spool(neutral_in, faces_deg=faces_deg),
    )


def house(made: Job) -> Checked:
    return judged(made, "house")


def verdicts(found: list[Finding]) -> dict[frozenset[str], tuple[str, float]]:
    return {
        frozenset(part.owner for part in (one.a, one.b) if part): (
            one.verdict,
            round(one.gap or 0.0, 6),
        )
        for one in found
    }


# A17 and A18.


@pytest.mark.parametrize(
    ("neutral_in", "gap_in", "verdict"),
    [
        (feet(38, 8), 3.0, "short"),  # 3 in below the buck brace at 38 ft 11 in
        (feet(38, 5), 6.0, "meets"),  # moved down 3 in: just what is asked
        (feet(38, 5.0625), 5.9375, "short"),  # own: a sixteenth less
        (feet(39, 2), 3.0, "short"),  # own: as far above it
        (feet(39, 5), 6.0, "meets"),
    ],
)
@pytest.mark.parametrize("faces_deg", [0.0, 90.0, 137.0, 270.0])
def test_a18_the_neutral_bolt_keeps_off_the_brace_bore_whichever_way_it_goes_through(
    neutral_in: float, gap_in: float, verdict: str, faces_deg: float
) -> None:
    finding = house(framed(neutral_in, faces_deg=faces_deg)).the(APART, "neutral", "buck-brace")
    assert finding.gap == pytest.approx(gap_in, abs=1e-6)
    assert (finding.verdict, finding.need) == (verdict, 6.0)


def test_a18_says_what_is_short_and_that_no_source_is_behind_the_number() -> None:
    made = framed(feet(38, 8))
    finding = house(made).the(APART, "neutral", "buck-brace")
    assert "3 in, needs 6 in, short 3 in" in one_line(made, finding)
    assert one_line(made, finding).count("bore of ") == 2
    words = "\n".join(explained(made, finding))
    assert "no published source" in words
    assert "distance along the pole between bores: 3 in (3.000 in)" in words


def test_a18_the_measured_line_lies_along_the_pole_between_the_bores() -> None:
    finding = house(framed(feet(38, 8))).the(APART, "neutral", "buck-brace")
    assert finding.line is not None
    heights = sorted(point[2] for point in finding.line)
    assert heights == pytest.approx([feet(38, 8) - 84.0, feet(38, 11) - 84.0])
    assert all(point[:2] == pytest.approx((0.0, 0.0)) for point in finding.line)


def test_a17_the_bores_of_the_scene_are_those_of_the_drill_sheet() -> None:
    scene = place(framed(feet(36, 5)), "framed")
    drawn = {part.owner: part.up_in + 84.0 for part in scene.parts if "/bore" in part.key}
    assert drawn == {row.item: row.at.butt_in for row in bores(scene) if row.at}
    assert sorted(drawn.values()) == pytest.approx(
        [feet(36, 5), feet(38, 11), feet(40, 5), feet(42, 11), feet(44, 5)]
    )


def test_a17_each_bore_is_judged_against_the_next_up_and_down() -> None:
    found = verdicts(house(framed(feet(36, 5))).of(APART))
    assert found == {
        frozenset({"line", "line-brace"}): ("meets", 18.0),
        frozenset({"line-brace", "buck"}): ("meets", 30.0),
        frozenset({"buck", "buck-brace"}): ("meets", 18.0),
        frozenset({"buck-brace", "neutral"}): ("meets", 30.0),
    }


@given(at=st.lists(st.integers(0, 80), min_size=2, max_size=7), ask_in=st.integers(1, 30))
@settings(deadline=None, max_examples=40)
def test_looking_at_the_next_one_only_misses_no_bore_that_is_too_near(
    at: list[int], ask_in: int
) -> None:
    faces = (0.0, 100.0, 55.0, 20.0, 75.0, 140.0, 160.0)  # no two along one line
    made = job(
        *stick(),
        *(
            spool(400.0 + up / 2, key=f"n{number}", faces_deg=faces[number])
            for number, up in enumerate(at)
        ),
    )
    shipped = rulebook("house")
    (rule,) = (one for one in shipped.rules if one.id == APART)
    asked = replace(rule, need=(Band(value=float(ask_in)),))
    short = {
        part.owner
        for one in judged(made, Rulebook(shipped.book, (asked,))).findings
        if one.verdict == "short"
        for part in (one.a, one.b)
        if part is not None
    }
    too_near = {
        f"n{one}"
        for one, up in enumerate(at)
        for other, up_other in enumerate(at)
        if one != other and abs(up - up_other) / 2 < ask_in
    }
    assert short == too_near


def test_a_pole_that_leans_is_measured_along_itself() -> None:
    made = framed(feet(38, 8))
    pole_item = made.items[0]
    (where,) = pole_item.places
    assert isinstance(where, Standing)
    leaning = replace(pole_item, places=(replace(where, rake_in_per_10ft=12.0),))
    made = replace(made, items=(leaning, *made.items[1:]))
    assert house(made).the(APART, "neutral", "buck-brace").gap == pytest.approx(3.0, abs=1e-6)


def test_somebody_can_answer_for_two_bores_until_they_come_nearer() -> None:
    made = framed(feet(38, 8))
    key = house(made).the(APART, "neutral", "buck-brace").key
    waiver = Waiver(key=key, reason="old bore plugged", by="J. Cole", date="2026-05-04", gap_in=3.0)
    kept = house(replace(made, waivers=(waiver,)))
    assert kept.the(APART, "neutral", "buck-brace").is_waived
    nearer = house(replace(framed(feet(38, 9)), waivers=(waiver,)))
    assert not nearer.the(APART, "neutral", "buck-brace").is_waived


def test_fittings_of_one_line_at_one_height_share_a_bolt_and_others_run_into_each_other() -> None:
    def two(faces_deg: float, higher_in: float = 0.0) -> list[Finding]:
        one = spool(400.0, key="one")
        other = spool(400.0 + higher_in, key="other", faces_deg=faces_deg)
        return house(job(*stick(), one, other)).of(APART)

    assert two(180.0) == []
    assert verdicts(two(90.0)) == {frozenset({"one", "other"}): ("short", 0.0)}
    assert verdicts(two(180.0, 1.0)) == {frozenset({"one", "other"}): ("short", 1.0)}


def test_the_two_bores_of_one_fitting_are_where_it_has_them() -> None:
    where = OnPole(when="after", host="pole", at_in=300.0)
    tank = Item("tank", "transformer", (where,), "transformer-25kva")
    scene = house(job(*stick(), tank))
    assert [part.key for part in scene.scene.parts if "/bore" in part.key] == [
        "tank/bore1",
        "tank/bore2",
    ]
    assert scene.of(APART) == []


def test_bores_of_two_poles_at_one_height_are_no_pair() -> None:
    other = [
        replace(record, id="other") if isinstance(record, Item) else replace(record, of="other")
        for record in stick()
    ]
    pole_item = replace(
        other[0], places=(Standing(when="after", depth_in=84.0, cut_in=54.0, east_in=40.0),)
    )
    there = replace(spool(400.0, key="there"), places=(
        OnPole(when="after", host="other", at_in=400.0, hold="butt", azimuth_deg=90.0),
    ))  # fmt: skip
    made = job(*stick(), pole_item, *other[1:], spool(401.0, key="here"), there)
    assert house(made).of(APART) == []


def test_a_bore_at_a_height_nobody_knows_is_named() -> None:
    made = framed(feet(38, 8))
    (where,) = made.items[0].places
    facts = PoleFacts(None)
    no_length = replace(made.items[0], places=(replace(where, depth_in=None),), pole=facts)
    found = house(replace(made, items=(no_length, *made.items[1:]))).of(APART)
    assert {one.verdict for one in found} == {"cannot say"}
    assert {one.missing for one in found} == {"setting depth of pole not known"}


# Gains.


@pytest.mark.parametrize(
    ("over_in", "gap_in", "verdict"),
    # an arm 4-3/4 in high is let in 2-3/8 in up and down from its bolt
    [(4.375, 2.0, "meets"), (4.25, 1.875, "short"), (2.0, 0.0, "short"), (8.0, 5.625, "meets")],
)
def test_a_bore_keeps_off_the_edge_of_a_gain(over_in: float, gap_in: float, verdict: str) -> None:
    made = job(*stick(), arm("arm", 450.0, hold="butt"), spool(450.0 + over_in, faces_deg=90.0))
    finding = house(made).the(GAIN, "neutral", "arm")
    assert finding.gap == pytest.approx(gap_in, abs=1e-6)
    assert finding.verdict == verdict


def test_an_arm_that_is_not_let_in_has_no_gain() -> None:
    steel = arm("arm", 450.0, hold="butt", part="steel-arm-8ft-4pin")
    assert house(job(*stick(), steel, spool(453.0))).of(GAIN) == []


def test_a_double_arm_is_one_gain_for_a_bore() -> None:
    double = arm("arm", 450.0, hold="butt", part="double-arm-10ft-4pin")
    assert len(house(job(*stick(), double, spool(453.0))).of(GAIN, "neutral", "arm")) == 1


# A19: stock bored at 12 and 60 in from the original top, cut 4 ft 6 in.


def factory(cut_in: float, *bored_in: float) -> tuple[Job, list[Finding]]:
    made = job(*stick(cut_in=cut_in, bored_in=bored_in))
    found = house(made).of(FACTORY)
    return made, sorted(found, key=lambda one: one.a.key if one.a else "")


def test_a19_one_bore_is_cut_off_and_the_other_is_too_near_the_finished_top() -> None:
    made, (gone, near) = factory(54.0, 12.0, 60.0)
    assert (gone.verdict, gone.gap) == ("short", pytest.approx(-42.0))
    assert (near.verdict, near.gap) == ("short", pytest.approx(6.0))
    assert (gone.need, near.need) == (12.0, 12.0)
    lost = "2 of 2 factory bores lost, cut off or too near the top: field-bore all, treat the bores"
    assert lost in one_line(made, gone)
    assert lost in one_line(made, near)
    assert "factory bore 1 of pole: 3 ft 6 in above the cut, needs 1 ft" in one_line(made, gone)


@pytest.mark.parametrize(
    ("cut_in", "bored_in", "lost", "of"),
    [
        (0.0, (12.0, 60.0), 0, 2),  # own: nothing cut, the upper one just at the margin
        (0.0, (11.9375, 60.0), 1, 2),
        (48.0, (12.0, 60.0), 1, 2),  # own: a 4 ft cut leaves the lower one just at the margin
        (48.0625, (12.0, 60.0), 2, 2),
        (54.0, (12.0, 60.0, 66.0, 90.0), 2, 4),
        (54.0, (), 0, 0),
    ],
)
def test_a19_with_other_cuts(
    cut_in: float, bored_in: tuple[float, ...], lost: int, of: int
) -> None:
    made, found = factory(cut_in, *bored_in)
    assert len(found) == of
    short = [one for one in found if one.verdict == "short"]
    assert len(short) == lost
    assert {one.verdict for one in found if one not in short} <= {"meets"}
    for one in short:
        words = one_line(made, one)
        assert f"{lost} of {of} factory bores lost" in words
        assert ("field-bore all" in words) == (lost == of)
        assert "treat the bores" in words


@pytest.mark.parametrize(
    ("cut_in", "bored_in", "note"),
    [
        (
            54.0,
            (12.0, 60.0),
            "1 of 2 factory bores cut off with the top, the next 6 in below the finished top: "
            "field-bore what is lost, treat the bores",
        ),
        # own: all of them gone; none gone but the top nearer; nothing cut; none bored
        (
            72.0,
            (12.0, 60.0),
            "2 of 2 factory bores cut off with the top: field-bore what is lost, treat the bores",
        ),
        (
            10.0,
            (60.0, 12.0),
            "0 of 2 factory bores cut off with the top, the next 2 in below the finished top: "
            "field-bore what is lost, treat the bores",
        ),
        (0.0, (12.0, 60.0), ""),
        (54.0, (), ""),
    ],
)
def test_a19_a_labour_note_stands_in_the_material_list_and_on_the_drill_list(
    cut_in: float, bored_in: tuple[float, ...], note: str
) -> None:
    made = job(*stick(cut_in=cut_in, bored_in=bored_in))
    (row,) = (row for row in materials(made) if row.group == "Poles")
    notes = drill_list(place(made, "framed"), "pole").notes
    if note:
        assert row.why.endswith(note)
        assert note in notes
    else:
        assert "factory bore" not in row.why + " ".join(notes)


@given(
    bored_in=st.lists(st.floats(0.0, 200.0), max_size=6),
    cut_in=st.floats(0.0, 120.0),
    more_in=st.floats(0.0, 60.0),
    margin_in=st.floats(0.0, 24.0),
)
def test_a_deeper_cut_never_brings_a_factory_bore_back(
    bored_in: list[float], cut_in: float, more_in: float, margin_in: float
) -> None:
    less, deeper = (factory_bores(bored_in, cut, margin_in) for cut in (cut_in, cut_in + more_in))
    assert set(deeper.left) <= set(less.left)
    assert sorted((*less.cut_off, *less.too_near, *less.left)) == sorted(bored_in)
    assert less.lost <= deeper.lost
    assert bool(less.words) == bool(less.lost)


def test_a_bore_cut_off_is_near_no_other_and_one_left_is() -> None:
    # the factory bores at 60 and 12 in lie 540 and 588 in from the butt; the top is at 546
    made = job(*stick(bored_in=(12.0, 60.0)), spool(543.0))
    found = house(made).of(APART)
    assert verdicts(found) == {frozenset({"neutral", "pole"}): ("short", 3.0)}
    (one,) = found
    assert {part.key for part in (one.a, one.b) if part} == {"neutral/bore1", "pole/bore2"}


def test_a_fitting_on_a_factory_bore_uses_it() -> None:
    assert house(job(*stick(bored_in=(120.0,)), spool(480.0))).of(APART) == []
    assert house(job(*stick(bored_in=(120.0,)), spool(481.0))).of(APART) != []


# The finished top.


@pytest.mark.parametrize(("from_top_in", "verdict"), [(6.0, "meets"), (5.9375, "short")])
def test_a_bolt_of_a_fitting_keeps_off_the_finished_top(from_top_in: float, verdict: str) -> None:
    finding = house(job(*stick(), spool(546.0 - from_top_in))).the(TOP, "neutral")
    assert finding.verdict == verdict
    assert finding.gap == pytest.approx(from_top_in)


def test_arm_bolts_and_pole_top_pins_have_other_rules() -> None:
    where = OnPole(when="after", host="pole", at_in=2.0, hold="drop")
    pin = Item("pin", "insulator", (where,), "pole-top-pin-15kv")
    checked = house(job(*stick(), pin, arm("arm", 13.0, hold="drop")))
    assert checked.of(TOP) == []
    assert checked.the("house.top-margin", "arm").verdict == "meets"


# What bores do not change.


def test_bores_are_no_things_to_see_or_to_select() -> None:
    scene = place(framed(feet(38, 8)), "framed")
    assert not [part for part in scene.bodies if "/bore" in part.key]
    assert not [part for parts in scene.parts_of.values() for part in parts if "/bore" in part.key]
    assert len(scene.parts) == len(scene.bodies) + 5


def test_no_other_rule_speaks_of_a_bore() -> None:
    made = job(
        *stick(),
        arm("arm", 500.0, hold="butt"),
        on_arm("pin", "arm", 40.0),
        spool(497.0),
        seat("seat", 380.0),
    )
    for finding in judged(made, "house", "nesc-2017", "go95").findings:
        keys = [part.key for part in (finding.a, finding.b) if part is not None]
        if any("/bore" in key for key in keys):
            assert finding.rule.id in (APART, TOP, FACTORY, GAIN)


@given(
    by_deg=st.floats(0.0, 360.0),
    neutral_in=st.floats(feet(37), feet(45)),
    faces_deg=st.floats(0.0, 359.0),
)
@settings(deadline=None, max_examples=30)
def test_turning_the_job_changes_nothing(
    by_deg: float, neutral_in: float, faces_deg: float
) -> None:
    def turned(item: Item) -> Item:
        return replace(
            item,
            places=tuple(
                replace(where, azimuth_deg=(where.azimuth_deg + by_deg) % 360.0)
                if isinstance(where, OnPole)
                else where
                for where in item.places
            ),
        )

    made = framed(neutral_in, faces_deg=faces_deg)
    after = replace(made, items=tuple(turned(item) for item in made.items))
    for rule in (APART, GAIN, TOP):
        before = verdicts(house(made).of(rule))
        assert verdicts(house(after).of(rule)) == before
