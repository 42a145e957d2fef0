"""Each way in which a step cannot be done where it stands is told, at that step."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.checks.explain import one_line
from framer.checks.finding import Finding
from framer.edits.places import with_thing
from framer.edits.steps import add_place_between, pinned
from framer.geometry.placing import place
from framer.model.faults import faults
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, Span
from framer.model.place import Lying, OnItem, Removed, Standing
from framer.model.step import Step
from framer.transfer.moment import Moment
from framer.transfer.order import order_findings
from tests.build import arm, job, on_arm, pole, wire

MAIN, EAST = Circuit("main", "Main", kv=12.47), Span("east", "pole 2", 90.0, 1800.0)


def two_poles() -> Job:
    """An arm, a pin and a wire, found on one pole and after on another."""
    old, *old_girths = pole(key="old", when="found", depth_in=78.0)
    new, *new_girths = pole(key="new", when="after", depth_in=78.0, north_in=-60.0)
    gone = Removed(when="after")
    old = replace(old, places=(*old.places, gone), name="Old pole")
    was = arm("arm-old", 400.0, on="old", when="found")
    pin = on_arm("pin-old", "arm-old", 54.0)
    pin = replace(pin, places=(replace(pin.places[0], when="found"), gone))
    here = wire("wire", "main", "east", "pin")
    here = replace(here, places=(OnItem(when="found", host="pin-old"), *here.places))
    return job(
        MAIN, EAST, old, *old_girths, replace(new, name="New pole"), *new_girths,
        replace(was, places=(*was.places, gone)), pin,
        arm("arm", 400.0, on="new"), on_arm("pin", "arm", 54.0), here,
    )  # fmt: skip


def told(made: Job, *steps: str | tuple[str, ...]) -> list[tuple[int, str, str]]:
    """What is said of steps that move these things: step, kind of finding, words."""
    given = tuple(
        Step(f"s{n}", f"step {n}", moves=(one,) if isinstance(one, str) else one)
        for n, one in enumerate(steps, start=1)
    )
    return said(replace(made, steps=given))


def findings(made: Job) -> list[tuple[int, Finding]]:
    scenes = [place(made, number) for number in range(len(made.steps) + 1)]
    found = [
        (number, finding)
        for number in range(1, len(scenes))
        for finding in order_findings(Moment(made, number, scenes[number - 1], scenes[number], ()))
    ]
    keys = [(number, finding.key) for number, finding in found]
    assert len(keys) == len(set(keys))
    return found


def said(made: Job) -> list[tuple[int, str, str]]:
    return [
        (number, finding.rule.id.partition(" ")[0].removeprefix("step."),
         finding.where or finding.missing)
        for number, finding in findings(made)
    ]  # fmt: skip


WHOLE = ("new", "arm", "pin", "wire", "pin-old", "arm-old", "old")


def test_nothing_is_told_of_an_order_that_works() -> None:
    assert told(two_poles(), *WHOLE) == []


def test_an_arm_before_its_pole_is_told_once() -> None:
    assert told(two_poles(), "arm", "new", *WHOLE[2:]) == [
        (1, "host", "arm is to be on New pole, which is not there yet")
    ]


def test_a_wire_whose_pin_is_not_there_yet_is_told() -> None:
    assert told(two_poles(), "new", "arm", "wire", "pin", "pin-old", "arm-old", "old") == [
        (3, "host", "A of Main to pole 2 is to be on pin, which is not there yet")
    ]


def test_a_pole_taken_from_under_its_wire_is_told_of_all_that_was_on_it() -> None:
    found = told(two_poles(), "new", "arm", "pin", "old", "wire", "pin-old", "arm-old")
    assert found == [
        (4, "host", "arm-old is to be on Old pole, which is gone"),
        (4, "host", "A of Main to pole 2 rests on arm-old, which is to be on Old pole, "
                    "which is gone"),
    ]  # fmt: skip


def test_an_arm_taken_from_under_a_pin_is_told_with_the_wire_it_drops() -> None:
    found = told(two_poles(), "new", "arm", "pin", "arm-old", "wire", "pin-old", "old")
    assert found == [
        (4, "host", "pin-old is to be on arm-old, which is gone"),
        (4, "host", "A of Main to pole 2 rests on pin-old, which is to be on arm-old, "
                    "which is gone"),
    ]  # fmt: skip


def test_an_arm_may_be_hung_on_a_pole_on_the_ground_but_no_wire() -> None:
    made = two_poles()
    new = made.item_by_id["new"]
    made = with_thing(made, replace(new, places=(Lying(when="temporary"), *new.places)))
    assert told(made, "new", "arm", "pin", "new", "wire", "pin-old", "arm-old", "old") == []
    assert told(made, "new", "arm", "pin", "wire", "new", "pin-old", "arm-old", "old") == [
        (4, "host", "A of Main to pole 2 is to be on New pole, which lies on the ground")
    ]


def test_nothing_is_said_of_where_things_lie_that_lie_on_the_ground_with_their_pole() -> None:
    made = two_poles()
    new = made.item_by_id["new"]
    made = with_thing(made, replace(new, places=(Lying(when="temporary"), *new.places)))
    made = replace(made, steps=(Step("s", "dress it", moves=("new", "arm", "pin")),))
    assert place(made, 1).unplaced == ()
    assert "arm" not in place(made, 1).parts_of


def test_sawing_a_pole_off_below_what_is_on_it_is_told() -> None:
    """The top is 540 - 78 = 462 in up, so 60 in cut off leaves 402 in, 70 in leaves 392 in."""
    made = two_poles()
    old = made.item_by_id["old"]
    for cut, words in ((60.0, []), (70.0, ["arm-old is still above the cut of Old pole"])):
        topped = Standing(when="temporary", depth_in=78.0, cut_in=cut)
        cut_job = with_thing(made, replace(old, places=(old.places[0], topped, old.places[1])))
        found = told(cut_job, "new", "arm", "pin", "wire", "old", "pin-old", "arm-old", "old")
        assert [text for _, kind, text in found if kind == "cut-off"] == words


def test_a_jumper_to_what_is_not_there_is_told() -> None:
    made = two_poles()
    box = Item("box", "equipment", (OnItem(when="after", host="arm"),), name="Box")
    tap = Join("tap", "wire", "box", (JoinPlace("after", "tap"),))
    made = replace(made, items=(*made.items, box), joins=(tap,))
    assert list(faults(made)) == []
    rest = ("wire", "pin-old", "arm-old", "old")
    assert told(made, "tap", "new", "arm", "pin", "box", *rest) == [
        (1, "join", "jumper A from pole 2 to Box joins Box, which is not there")
    ]
    assert told(made, "new", "arm", "pin", "box", "tap", *rest) == []


def test_a_chain_that_goes_back_skips_or_ends_is_told() -> None:
    made = add_place_between(two_poles(), "wire", OnItem(when="temporary", host="pin-old"))
    steps = tuple(
        Step(f"s{n}", "x", moves=(key,))
        for n, key in enumerate(("new", "arm", "pin", "wire", "wire", *WHOLE[4:]), start=1)
    )
    whole = pinned(replace(made, steps=steps))
    assert said(whole) == []
    turned = list(whole.steps)
    turned[3], turned[4] = turned[4], turned[3]
    assert said(replace(whole, steps=tuple(turned)))[:2] == [
        (4, "chain", "A of Main to pole 2 skips place 2 of its chain"),
        (5, "chain", "A of Main to pole 2 goes back to place 2 of its chain, from place 3"),
    ]
    again = replace(two_poles(), steps=(*(Step(f"s{k}", k, moves=(k,)) for k in WHOLE),
                                        Step("more", "more", moves=("arm",))))  # fmt: skip
    assert said(again) == [(8, "chain", "arm has been at its last place before")]


def test_what_no_step_brings_to_its_end_is_told_at_the_last_one() -> None:
    (only,) = findings(replace(two_poles(), steps=(Step("s", "all", moves=WHOLE[:-1]),)))
    number, finding = only
    assert (number, finding.verdict) == (1, "cannot say")
    assert finding.missing == "no step brings to its last place: Old pole"


@pytest.mark.parametrize("short", [True, False])
def test_a_finding_of_order_reads_as_a_sentence(short: bool) -> None:
    made = replace(two_poles(), steps=(Step("s", "x", moves=("arm",)),))
    lines = [one_line(made, finding) for _, finding in findings(made)
             if (finding.verdict == "short") == short]  # fmt: skip
    if short:
        assert lines == ["What a thing goes on is there first: arm is to be on New pole, which is "
                         "not there yet"]  # fmt: skip
    else:
        assert lines == ["Every thing is brought to its last place by a step: no step brings to "
                         "its last place: Old pole, New pole, arm-old, pin-old, ..."]  # fmt: skip
