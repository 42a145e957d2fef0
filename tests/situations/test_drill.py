"""The drill list of a pole and what a revision changes on it, worked by hand.

Poles, hardware and rules are inputs of the situations, as in the bores' own tests.
"""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from framer.errors import UnknownNameError
from framer.geometry.placing import place
from framer.geometry.written import exact
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Settings
from framer.model.place import OnItem, OnPole, Removed, Standing
from framer.model.reading import Reading
from framer.takeoff.drilling import DrillList, bolt_words, drill_list, stack_words
from framer.takeoff.revision import revision
from tests.build import arm, job, on_arm

ARM = "arm-10ft-4pin"


def tapered(
    length_ft: float, ground_in: float, top_in: float, top_ft: float, **at: Any
) -> tuple[Item | Reading, ...]:
    """A pole whose girth falls straight from the ground to a height."""
    return (
        Item("pole", "pole", (Standing(when="after", **at),), pole=PoleFacts(12 * length_ft)),
        Reading("pole", "girth", ground_in, at_in=0.0),
        Reading("pole", "girth", top_in, at_in=12 * top_ft),
    )


def brace(key: str, of: str) -> Item:
    return Item(key, "brace", (OnItem(when="after", host=of),), "brace-angle-60in")


def spool(key: str, at_in: float, faces_deg: float = 90.0, hold: str = "height") -> Item:
    where = OnPole(when="after", host="pole", at_in=at_in, azimuth_deg=faces_deg, hold=hold)  # type: ignore[arg-type]
    return Item(key, "insulator", (where,), "spool-53-2")


def listed(made: Job, pole: str = "pole") -> DrillList:
    return drill_list(place(made, "framed"), pole)


# A17: the drill sheet in three references. The pole of A02: 50 ft, cut 4 ft 6 in, set 7 ft.


def a17() -> Job:
    return job(
        *tapered(50, 43.0, 25.0, 38.5, cut_in=54.0),
        arm("line arm", 13.0, hold="drop"),
        brace("line brace", "line arm"),
        arm("buck arm", 61.0, hold="drop", faces_deg=270.0),
        brace("buck brace", "buck arm"),
        spool("neutral", 12 * 29 + 5.0),
    )


def test_a17_every_row_says_its_place_three_ways_and_adds_up() -> None:
    made = a17()
    found = listed(made)
    printed = [
        (
            row.number,
            row.what,
            *(exact(made, one) for one in (row.butt_in, row.ground_in, row.top_in)),
            row.axis,
            row.check,
        )
        for row in found.rows
    ]
    same = "45 ft 6 in = length"
    assert printed == [
        (1, "line arm", "44 ft 5 in", "37 ft 5 in", "1 ft 1 in", "N-S", same),
        (2, "line brace", "42 ft 11 in", "35 ft 11 in", "2 ft 7 in", "N-S", same),
        (3, "buck arm", "40 ft 5 in", "33 ft 5 in", "5 ft 1 in", "E-W", same),
        (4, "buck brace", "38 ft 11 in", "31 ft 11 in", "6 ft 7 in", "E-W", same),
        (5, "neutral", "36 ft 5 in", "29 ft 5 in", "9 ft 1 in", "E-W", same),
    ]
    assert "Length 50 ft, cut 4 ft 6 in, finished 45 ft 6 in" in found.notes
    assert found.missing == ()


def test_a17_without_the_cut_the_rows_are_of_a_longer_pole_and_still_add_up() -> None:
    # own: not cut, the top is 43 ft up; the neutral at 29 ft 5 in is 36 ft 5 in from the butt and
    # 43 ft - 29 ft 5 in = 13 ft 7 in below the top; 36 ft 5 in + 13 ft 7 in = 50 ft
    made = job(*tapered(50, 43.0, 25.0, 38.5), spool("neutral", 12 * 29 + 5.0))
    (row,) = listed(made).rows
    assert exact(made, row.top_in) == "13 ft 7 in"
    assert row.check == "50 ft = length"


@pytest.mark.parametrize("units", ["ft-in", "metric"])
@pytest.mark.parametrize("at_in", [411.06, 411.1875, 400.3, 399.99])
def test_what_is_printed_adds_up_whatever_is_rounded(at_in: float, units: Any) -> None:
    # own: cut 4 ft 6 1/32 in, so that neither the length nor any distance is on the grid
    pole = tapered(50, 43.0, 25.0, 38.5, cut_in=54.03125)
    (row,) = listed(job(*pole, spool("a", at_in), settings=Settings(units=units))).rows
    assert row.check.endswith(" = length")
    assert row.butt_in is not None
    assert row.top_in is not None
    step = 1 / 16 if units == "ft-in" else 1 / 25.4
    assert row.butt_in == pytest.approx(at_in + 84.0, abs=step / 2 + 1e-6)
    # up to half a step of each of the three
    assert row.top_in == pytest.approx(600.0 - 54.03125 - 84.0 - at_in, abs=1.5 * step + 1e-6)


def test_a_pole_of_no_known_length_cannot_be_checked() -> None:
    bare = Item("pole", "pole", (Standing(when="after", depth_in=84.0),), pole=PoleFacts(None))
    found = listed(job(bare, spool("neutral", 353.0)))
    (row,) = found.rows
    assert (row.butt_in, row.top_in, row.check) == (437.0, None, "cannot say")
    assert "length of pole not known: butt and top cannot be checked" in found.missing
    assert (
        "girth of pole not known; give its length and class and species, or two girths as readings"
        in found.missing
    )
    assert bolt_words(row) == "5/8 in length unresolved"


def test_a_bore_of_no_known_height_comes_last_and_says_what_is_missing() -> None:
    bare = Item("pole", "pole", (Standing(when="after", depth_in=84.0),), pole=PoleFacts(None))
    found = listed(job(bare, spool("high", 12.0, hold="drop"), spool("low", 353.0)))
    assert [row.what for row in found.rows] == ["low", "high"]
    assert "bore 2, high: size unresolved: top height of pole not known" in found.missing


def test_what_hangs_on_the_pole_without_bores_in_stock_is_named() -> None:
    box = Item(
        "box", "equipment", (OnPole(when="after", host="pole", at_in=200.0),), name="Grey box"
    )
    found = listed(job(*tapered(50, 43.0, 25.0, 38.5, cut_in=54.0), box))
    assert found.missing == ("bores of Grey box not known: no stock part is named",)
    assert found.rows == ()


def test_there_is_no_list_of_a_pole_that_does_not_stand() -> None:
    with pytest.raises(UnknownNameError):
        listed(a17(), "other")


# What is to be done at a bore.


def test_on_a_pole_that_stays_only_what_is_new_is_drilled() -> None:
    found, stays = Standing(when="found", depth_in=84.0), Standing(when="after", depth_in=84.0)
    pole = Item("pole", "pole", (found, stays), pole=PoleFacts(600.0))
    girths = [Reading("pole", "girth", 30.0, at_in=at) for at in (0.0, 480.0)]

    def at(when: Any, by: Any = "crew") -> OnPole:
        return OnPole(when=when, host="pole", at_in=300.0, by=by)

    def kept(key: str, at_in: float, by: Any = "crew", first: str = "after") -> Item:
        one = replace(at("after", by), at_in=at_in)
        chain = (one,) if first == "after" else (replace(one, when="found", by="crew"), one)
        return Item(key, "insulator", chain, "spool-53-2")  # type: ignore[arg-type]

    rows = listed(
        job(
            pole,
            *girths,
            kept("new", 400.0),
            kept("old", 350.0, first="found"),
            kept("theirs", 300.0, by="others"),
            Item("gone", "insulator", (at("found"), Removed(when="after")), "spool-53-2"),
        )
    ).rows
    assert [(row.what, row.state) for row in rows] == [
        ("new", "drill"),
        ("old", "there"),
        ("theirs", "by others"),
    ]


def test_a_bore_the_factory_made_is_not_drilled_again() -> None:
    # own: bored 8 ft below the stock top, cut 4 ft 6 in: 3 ft 6 in below the finished top
    facts = PoleFacts(600.0, bored_in=(96.0,))
    pole = Item("pole", "pole", (Standing(when="after", cut_in=54.0),), pole=facts)
    rows = listed(
        job(pole, spool("there", 42.0, hold="drop"), spool("not", 50.0, hold="drop"))
    ).rows
    assert [(row.what, row.state) for row in rows] == [("there", "factory"), ("not", "drill")]


# One bolt for two fittings on opposite faces (list one bolt: D + S1 + S2).


def test_one_bolt_serves_fittings_on_opposite_faces() -> None:
    # own: 10 in pole; arm 3.75 let in 0.5 on the north, a 3/8 in clevis on the south:
    # 10 - 0.5 + 3.75 + 0.375 + 0.375 + 0.6 + 0.5 = 15.10, so 16; thumb 10 + 4.125 + 2 = 16.125, 18
    girths = 31.41592653589793
    pole = tapered(50, girths, girths, 38.5, cut_in=54.0)
    made = job(*pole, spool("clevis", 400.0, 180.0), arm("arm", 400.0))
    (row,) = listed(made).rows
    assert (row.bore.items, row.what) == (("arm", "clevis"), "arm and clevis")
    # the head is on the arm's side
    assert (row.axis, row.head) == ("N-S", "N")
    bolt = row.bore.bolt
    assert (bolt.stack_in, bolt.thumb_in) == (pytest.approx(15.10), pytest.approx(16.125))
    assert (bolt.stack_stock_in, bolt.thumb_stock_in, bolt.stock_in) == (16, 18, 18)
    assert "THE TWO DIFFER" in stack_words(row, "ft-in")[0]


def test_fittings_square_to_each_other_or_at_two_heights_have_a_bolt_each() -> None:
    pole = tapered(50, 43.0, 25.0, 38.5, cut_in=54.0)
    square = listed(job(*pole, spool("a", 400.0, 90.0), spool("b", 400.0, 0.0))).rows
    apart = listed(job(*pole, spool("a", 400.0, 90.0), spool("b", 400.25, 270.0))).rows
    assert [len(square), len(apart)] == [2, 2]


# A43: revision B lowers the line arm of A16 by a foot; the bolts by the thumb rule.


def revised(drop_in: float, date: str) -> Job:
    pole = tapered(55, 47.5, 27.0, 47.5, depth_in=90.0)
    made = job(
        *pole,
        arm("arm", drop_in, hold="drop"),
        brace("brace", "arm"),
        on_arm("pin", "arm", 54.0),
        settings=Settings(bolt_rule="thumb"),
    )
    return replace(made, date=date)


def test_a43_a_lower_arm_takes_a_longer_bolt_and_its_bores_go_down() -> None:
    changed = revision(revised(139.0, "2026-05-01"), revised(151.0, "2026-05-08"))
    # arm 15.94 and 16.07 as in A16. Brace 18 in lower, a 3/16 in strap: 8.594 + 0.1374 x 13.083 +
    # 0.1875 + 2 = 12.58 and 12.72: 14 both times
    assert [change.words for change in changed.materials] == [
        "-1 ea Machine bolt 5/8 in x 16 in (install)",
        "+1 ea Machine bolt 5/8 in x 18 in (install)",
    ]
    # the top is 55 ft from the butt: 11 ft 7 in down is 43 ft 5 in, and a foot less
    assert [(change.what, change.up_in) for change in changed.bores] == [
        ("arm", -12.0),
        ("brace", -12.0),
    ]
    assert changed.bores[0].words == (
        "12 in down to 42 ft 5 in from butt, bolt 5/8 in x 16 in becomes 5/8 in x 18 in"
    )
    assert changed.stamp == "lists of 2026-05-01 are superseded by the sketch of 2026-05-08"


def test_a43_the_brace_bolt_flips_too_where_the_pole_is_at_its_limit() -> None:
    # own: brace thumb 8.594 + 0.1374 x d + 2.1875 is 14 in at d = 23.43 ft, so with the arm at
    # 21 ft 6 in (brace 23 ft 0 in, 13.94) and a foot lower (24 ft 0 in, 14.08); the arm there
    # 8.594 + 2.954 + 5.75 = 17.30 and 17.44: 18 both times
    changed = revision(revised(258.0, "2026-05-01"), revised(270.0, "2026-05-08"))
    assert [change.words for change in changed.materials] == [
        "-1 ea Machine bolt 5/8 in x 14 in (install)",
        "+1 ea Machine bolt 5/8 in x 16 in (install)",
    ]


def test_a43_half_an_inch_of_drop_moves_the_bores_and_no_bolt() -> None:
    changed = revision(revised(139.0, "2026-05-01"), revised(139.5, "2026-05-01"))
    assert changed.materials == ()
    assert [change.up_in for change in changed.bores] == [-0.5, -0.5]
    assert changed.stamp


def test_a43_a_newer_sketch_of_the_same_job_supersedes_the_lists_and_the_same_one_does_not() -> (
    None
):
    first = revised(139.0, "2026-05-01")
    assert revision(first, first).stamp == ""
    newer = revision(first, replace(first, date="2026-05-02"))
    assert (newer.lines, bool(newer.stamp)) == ((), True)


def test_a_bore_that_is_new_or_gone_is_named() -> None:
    pole = tapered(50, 43.0, 25.0, 38.5, cut_in=54.0)
    before, after = job(*pole, spool("a", 400.0)), job(*pole, spool("b", 390.0))
    assert [change.words for change in revision(before, after).bores] == [
        "gone, was 40 ft 4 in from butt",
        "new, 39 ft 6 in from butt, 5/8 in x 12 in",
    ]
