"""Notices to attachers: who they are, what becomes of their things, and the days.

A new pole is set on 3 March 2026, and all has to be off the old one in 90 days: 28 days are left of
March, with April 58, with May 89, so 1 June 2026. Plant of an attacher is to be removed on 15 July
2026 with 60 days' written notice: 15 days back to 30 June, 45 to 31 May, 60 to 16 May 2026.
Massachusetts General Laws c. 164 s. 34B and New Hampshire rule En 1303.06 have such days.
"""

from __future__ import annotations

import datetime

import pytest
from msgspec.structs import replace

from framer.edits.revisions import with_notice, without_notice
from framer.errors import FramerError, UnknownNameError
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Span
from framer.model.place import OnItem, OnPole, Removed
from framer.takeoff.notices import (
    attached,
    day_words,
    due,
    dues,
    notice_lines,
    notice_rule,
    notice_rules,
)
from tests.build import job, pole, wire

PHONE = Circuit("phone", "Phone", kind="communications", owner="Cedar Telephone")


def shared() -> Job:
    """A found pole of Birch Light with a telephone cable that its owner takes off, and a lamp."""
    on_pole = OnPole(when="found", host="pole", at_in=288.0)
    clamp = Item("clamp", "attachment", (on_pole, Removed(when="after", by="others")),
                 name="Clamp", owner="Cedar Telephone")  # fmt: skip
    lamp = Item("lamp", "lamp", (on_pole,), name="Street lamp", owner="Town of Elm")
    own = Item("own", "bracket", (on_pole,), name="Bracket")
    cable = wire("cable", "phone", "north", "clamp", phase="cable")
    cable = replace(cable, places=(OnItem(when="found", host="clamp"),
                                   Removed(when="after", by="others")))  # fmt: skip
    made = job(PHONE, Span("north", "N", 0.0, 1800.0), *pole(45, when="found", depth_in=78.0),
               clamp, lamp, own, cable)  # fmt: skip
    return replace(made, owner="Birch Light")


def test_a40_all_off_in_90_days_of_3_march_is_1_june() -> None:
    assert due(notice_rule("ma-90-days"), "2026-03-03").day == datetime.date(2026, 6, 1)


def test_a40_60_days_notice_for_15_july_is_sent_by_16_may() -> None:
    assert due(notice_rule("nh-60-days"), "2026-07-15").day == datetime.date(2026, 5, 16)


@pytest.mark.parametrize(
    ("event", "day"),
    [("2028-02-28", "2028-05-28"), ("2026-12-31", "2027-03-31"), ("2027-11-02", "2028-01-31")],
)
def test_days_count_through_leap_years_and_new_years(event: str, day: str) -> None:
    """Counted on a calendar: 2028 is a leap year, 2027 is none."""
    assert due(notice_rule("ma-90-days"), event).day.isoformat() == day


def test_the_days_of_a_job_come_earliest_first_with_arithmetic_and_source() -> None:
    made = with_notice(with_notice(shared(), "ma-90-days", "2026-03-03"), "nh-60-days",
                       "2026-07-15")  # fmt: skip
    assert [day_words(one.day) for one in dues(made)] == ["16 May 2026", "1 June 2026"]
    first, second = (one.words for one in dues(made))
    assert "2026-07-15 - 60 days" in first
    assert "En 1303.06" in first
    assert "2026-03-03 + 90 days" in second
    assert "section 34B" in second


def test_no_rule_counts_unless_it_was_chosen() -> None:
    assert dues(shared()) == ()
    chosen = with_notice(shared(), "ma-90-days", "2026-03-03")
    again = with_notice(chosen, "ma-90-days", "2026-03-04")
    assert [one.date for one in again.notices] == ["2026-03-04"]
    assert without_notice(again, "ma-90-days").notices == ()


def test_every_attacher_is_named_with_what_becomes_of_each_thing() -> None:
    found = {one.key: (one.owner, one.fate, one.moves) for one in attached(shared())}
    assert found == {
        "clamp": ("Cedar Telephone", "by others", True),
        "cable": ("Cedar Telephone", "by others", True),
        "lamp": ("Town of Elm", "undecided", True),
    }


def test_what_nobody_decided_is_said_on_the_list() -> None:
    lines = "\n".join(notice_lines(shared()))
    assert "Street lamp, pole, 24 ft up: nobody has said yet what becomes of it" in lines
    assert "Clamp, pole, 24 ft up: its owner takes care of it" in lines


def test_every_rule_names_its_source_and_an_unknown_one_is_refused() -> None:
    assert set(notice_rules()) >= {"ma-90-days", "ma-48-hours", "nh-60-days"}
    for rule in notice_rules().values():
        assert rule.source.document
        assert rule.source.how_known == ("house" if rule.id.startswith("house") else "read")
    with pytest.raises(UnknownNameError, match="no notice rule 'nowhere'"):
        notice_rule("nowhere")


def test_what_is_no_day_is_refused() -> None:
    for words in ("2026-02-30", "9999-12-31"):
        with pytest.raises(FramerError, match="is no day to reckon from"):
            due(notice_rule("ma-90-days"), words)
