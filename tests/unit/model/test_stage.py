"""Stages: which place of its chain each thing is at, step by step."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.errors import UnknownNameError
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, Span, Wire
from framer.model.place import (
    AnyPlace,
    Lying,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Same,
    Standing,
    Undecided,
    When,
)
from framer.model.stage import (
    Stage,
    chain_index,
    host_of,
    is_undecided,
    join_at,
    place_at,
    pole_at,
    stage_name,
)
from framer.model.step import Step


def on_pole(when: When, at_in: float = 400.0, host: str = "old") -> OnPole:
    return OnPole(when=when, host=host, at_in=at_in)


def job(*things: Item | Wire | Join, steps: tuple[Step, ...] = ()) -> Job:
    return Job(
        "test",
        circuits=(Circuit("main", "Main"),),
        spans=(Span("east", "E", 90.0, 1800.0),),
        items=tuple(one for one in things if isinstance(one, Item)),
        wires=tuple(one for one in things if isinstance(one, Wire)),
        joins=tuple(one for one in things if isinstance(one, Join)),
        steps=steps,
    )


def box(*places: AnyPlace, key: str = "box") -> Item:
    return Item(key, "equipment", places, name=key)


def steps(*moves: tuple[str, ...]) -> tuple[Step, ...]:
    return tuple(Step(f"s{n}", f"step {n}", moves=each) for n, each in enumerate(moves, start=1))


FOUND, SPREAD, AFTER = on_pole("found", 400.0), on_pole("temporary", 440.0), on_pole("after", 380.0)


def where(made: Job, key: str, stage: Stage) -> AnyPlace | None:
    thing = made.item_by_id.get(key) or made.wire_by_id[key]
    return place_at(made, thing, stage)


# Steps move things along their chains.


def test_each_step_that_names_a_thing_moves_it_one_place_on() -> None:
    made = job(box(FOUND, SPREAD, AFTER), steps=steps(("box",), (), ("box",)))
    assert [where(made, "box", stage) for stage in (0, 1, 2, 3)] == [FOUND, SPREAD, SPREAD, AFTER]


def test_as_found_is_the_first_place_and_as_framed_the_last_whatever_the_steps() -> None:
    for plan in (steps(), steps(("box",)), steps(("box",), ("box",), ("box",))):
        made = job(box(FOUND, SPREAD, AFTER), steps=plan)
        assert where(made, "box", "found") == FOUND
        assert where(made, "box", "framed") == AFTER


def test_a_step_that_names_a_thing_twice_moves_it_two_places() -> None:
    made = job(box(FOUND, SPREAD, AFTER), steps=steps(("box", "box")))
    assert where(made, "box", 1) == AFTER


def test_nothing_moves_past_the_end_of_its_chain() -> None:
    made = job(box(FOUND, AFTER), steps=steps(("box",), ("box",), ("box",)))
    assert where(made, "box", 3) == AFTER


def test_a_new_thing_is_nowhere_until_a_step_brings_it() -> None:
    made = job(box(SPREAD, AFTER), steps=steps((), ("box",), ("box",)))
    assert [where(made, "box", stage) for stage in ("found", 0, 1)] == [None, None, None]
    assert [where(made, "box", stage) for stage in (2, 3, "framed")] == [SPREAD, AFTER, AFTER]


def test_what_was_built_is_what_is_framed() -> None:
    built = on_pole("built", 382.0)
    assert where(job(box(FOUND, AFTER, built)), "box", "framed") == built


def test_moving_one_thing_leaves_the_others_where_they_are() -> None:
    made = job(box(FOUND, AFTER), box(FOUND, AFTER, key="other"), steps=steps(("box",)))
    assert (where(made, "box", 1), where(made, "other", 1)) == (AFTER, FOUND)


def test_a_step_that_is_not_there_cannot_be_asked_for() -> None:
    made = job(box(FOUND, AFTER), steps=steps(("box",)))
    for stage in (-1, 2):
        with pytest.raises(UnknownNameError, match=f"no step '{stage}'"):
            chain_index(made, made.items[0], stage)
        with pytest.raises(UnknownNameError, match=f"no step '{stage}'"):
            stage_name(made, stage)


def test_stages_are_named_as_on_paper() -> None:
    made = job(box(FOUND, AFTER), steps=steps(("box",)))
    names = [stage_name(made, stage) for stage in ("found", 0, 1, "framed")]
    assert names == ["as found", "as found", "after step 1: step 1", "as framed"]


# "As before" and "undecided" stand for the place before.


def test_as_before_is_the_place_before() -> None:
    made = job(box(FOUND, Same(when="after")))
    assert where(made, "box", "framed") == FOUND


def test_as_before_goes_back_over_as_many_as_there_are() -> None:
    same = (Same(when="temporary"), Same(when="temporary"), Same(when="after"))
    made = job(box(SPREAD, *same[1:]), steps=steps(("box",)))
    assert where(made, "box", "framed") == SPREAD
    assert where(job(box(FOUND, *same)), "box", "framed") == FOUND


def test_as_before_after_a_temporary_place_is_that_place() -> None:
    made = job(box(FOUND, SPREAD, Same(when="after")))
    assert where(made, "box", "framed") == SPREAD


def test_an_undecided_thing_is_still_where_it_was() -> None:
    made = job(box(FOUND, Undecided(when="after")))
    assert where(made, "box", "framed") == FOUND


def test_as_before_after_removed_is_removed() -> None:
    made = job(box(FOUND, Removed(when="temporary"), Same(when="after")))
    assert isinstance(where(made, "box", "framed"), Removed)


def test_a_thing_whose_first_place_nobody_knows_is_nowhere() -> None:
    made = job(box(Undecided(when="found"), Undecided(when="after")))
    assert where(made, "box", "found") is None
    assert where(made, "box", "framed") is None


@pytest.mark.parametrize("later", [Same(when="after"), Undecided(when="after")])
def test_a_correction_as_found_travels_on(later: AnyPlace) -> None:
    made = job(box(FOUND, later))
    corrected = replace(FOUND, at_in=396.0, azimuth_deg=90.0)
    made = job(replace(made.items[0], places=(corrected, later)))
    assert where(made, "box", "framed") == corrected


def test_a_correction_as_found_leaves_a_drafted_place_alone() -> None:
    made = job(box(replace(FOUND, at_in=396.0), AFTER))
    assert where(made, "box", "framed") == AFTER


# Hosts.


def test_the_host_is_what_a_place_is_on() -> None:
    assert host_of(on_pole("found", host="pole")) == "pole"
    assert host_of(OnArm(when="found", host="arm")) == "arm"
    assert host_of(OnItem(when="found", host="pin")) == "pin"
    for place in (Standing(when="found"), Lying(when="found"), Same(when="after"), None):
        assert host_of(place) is None


def pole(key: str, *places: AnyPlace) -> Item:
    return Item(key, "pole", places, pole=PoleFacts())


def change_out(*arm: AnyPlace, steps: tuple[Step, ...] = ()) -> Job:
    """An arm that goes its own way from an old pole, with a pin and a wire that stay on it."""
    later = Same(when="after")
    return job(
        pole("old", Standing(when="found"), Removed(when="after")),
        pole("new", Lying(when="found"), Standing(when="after")),
        Item("arm", "arm", arm, name="arm"),
        Item("pin", "insulator", (OnArm(when="found", host="arm"), later), name="pin"),
        Wire("wire", "main", "A", "east", (OnItem(when="found", host="pin"), later)),
        Item("hose", "cover", (OnItem(when="found", host="wire"), later), name="hose"),
        steps=steps,
    )


def test_the_pole_that_carries_a_thing_is_found_up_all_its_hosts() -> None:
    made = change_out(FOUND, on_pole("after", host="new"), steps=steps((), ("arm",), ("new",)))
    for key in ("arm", "pin", "wire", "hose"):
        thing = made.item_by_id.get(key) or made.wire_by_id[key]
        assert [pole_at(made, thing, stage) for stage in ("found", 1, 2, "framed")] == [
            "old",
            "old",
            "new",
            "new",
        ]
    assert pole_at(made, made.item_by_id["old"], "found") == "old"
    assert pole_at(made, made.item_by_id["new"], "found") == "new"  # it lies there


def test_what_hangs_on_something_removed_is_on_no_pole() -> None:
    made = change_out(FOUND, Removed(when="after"))
    assert pole_at(made, made.wire_by_id["wire"], "framed") is None
    assert pole_at(made, made.item_by_id["old"], "framed") is None


def test_things_that_hold_each_other_up_are_on_no_pole() -> None:
    one = box(OnItem(when="found", host="two"), key="one")
    two = box(OnItem(when="found", host="one"), key="two")
    assert pole_at(job(one, two), one, "found") is None


# Joins.


def test_a_join_goes_through_its_states_like_a_thing_through_places() -> None:
    through, bypassed, opened = (
        JoinPlace("found", "through"),
        JoinPlace("temporary", "bypass"),
        JoinPlace("after", "open"),
    )
    join = Join("j", "wire", "other", (through, bypassed, opened))
    made = job(join, steps=steps(("j",), ("j",)))
    states = [join_at(made, join, stage) for stage in ("found", 0, 1, 2, "framed")]
    assert states == [through, through, bypassed, opened, opened]


def test_a_new_join_is_not_made_before_its_step() -> None:
    join = Join("j", "wire", "other", (JoinPlace("after", "jumper"),))
    made = job(join, steps=steps((), ("j",)))
    assert join_at(made, join, "found") is None
    assert join_at(made, join, 1) is None
    assert join_at(made, join, 2) == join_at(made, join, "framed") == join.places[0]


# Who has said what becomes of it.


@pytest.mark.parametrize(
    ("places", "undecided"),
    [
        ((FOUND,), True),
        ((FOUND, SPREAD), True),
        ((FOUND, Undecided(when="after")), True),
        ((FOUND, AFTER, Undecided(when="built")), True),
        ((), True),
        ((FOUND, AFTER), False),
        ((FOUND, Same(when="after")), False),
        ((FOUND, Removed(when="after")), False),
        ((AFTER, on_pole("built")), False),
    ],
)
def test_a_thing_is_undecided_until_its_chain_ends_in_a_place_after(
    places: tuple[AnyPlace, ...], undecided: bool
) -> None:
    assert is_undecided(box(*places)) is undecided
