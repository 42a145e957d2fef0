"""Which wires and live items are at one potential: whatever the joins of a stage connect."""

from __future__ import annotations

import pytest

from framer.geometry.potential import nodes
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, JoinState, Span, Wire
from framer.model.place import OnItem, OnPole
from framer.model.stage import Stage
from framer.model.step import Step


def job(*joins: Join, steps: tuple[Step, ...] = ()) -> Job:
    """Four wires, a cutout that belongs to their circuit, and a bracket that belongs to none."""
    on_pole = (OnPole(when="found", host="pole", at_in=400.0),)
    return Job(
        "test",
        circuits=(Circuit("main", "Main"),),
        spans=(Span("east", "E", 90.0, 1800.0),),
        items=(
            Item("cutout", "cutout", on_pole, name="cutout", circuit="main"),
            Item("bracket", "bracket", on_pole, name="bracket"),
        ),
        wires=tuple(
            Wire(key, "main", "A", "east", (OnItem(when="found", host="cutout"),)) for key in "abcd"
        ),
        joins=joins,
        steps=steps,
    )


def join(a: str, b: str, *places: JoinPlace) -> Join:
    return Join(f"{a}-{b}", a, b, places or (JoinPlace("found", "through"),))


def sets(made: Job, stage: Stage = "found") -> set[frozenset[str]]:
    """The connected sets."""
    together: dict[int, set[str]] = {}
    for key, node in nodes(made, stage).items():
        together.setdefault(node, set()).add(key)
    return {frozenset(keys) for keys in together.values()}


def split(*groups: str) -> set[frozenset[str]]:
    """Sets written as words: "ab cutout" is wire a, wire b and the cutout."""
    return {
        frozenset(key for word in group.split() for key in ([word] if len(word) > 4 else word))
        for group in groups
    }


def test_what_is_joined_to_nothing_floats_by_itself() -> None:
    assert sets(job()) == split("a", "b", "c", "d", "cutout")


def test_an_item_of_no_circuit_has_no_potential() -> None:
    assert "bracket" not in nodes(job(join("a", "bracket"), join("bracket", "b")), "found")
    assert sets(job(join("a", "bracket"), join("bracket", "b"))) == split(
        "a", "b", "c", "d", "cutout"
    )


def test_joins_connect_through_a_chain_in_any_order() -> None:
    chain = [join("a", "b"), join("c", "cutout"), join("b", "c")]
    for order in (chain, chain[::-1]):
        assert sets(job(*order)) == split("abc cutout", "d")


def test_a_ring_of_joins_is_one_set() -> None:
    assert sets(job(join("a", "b"), join("b", "c"), join("c", "a"))) == split("abc", "d", "cutout")


def test_a_second_join_of_the_same_two_changes_nothing() -> None:
    assert sets(job(join("a", "b"), Join("again", "b", "a", (JoinPlace("found", "tap"),)))) == (
        split("ab", "c", "d", "cutout")
    )


@pytest.mark.parametrize(
    ("made", "connects"),
    [("through", True), ("jumper", True), ("bypass", True), ("tap", True), ("open", False)],
)
def test_every_state_but_open_connects(made: JoinState, connects: bool) -> None:
    found = sets(job(join("a", "b", JoinPlace("found", made))))
    assert (frozenset("ab") in found) is connects


def test_one_of_two_ways_round_keeps_them_together_until_both_are_open() -> None:
    bypass = Join(
        "bypass", "a", "b", (JoinPlace("temporary", "bypass"), JoinPlace("temporary", "open"))
    )
    cut = join("a", "b", JoinPlace("found", "through"), JoinPlace("after", "open"))
    steps = tuple(
        Step(f"{n}", "", moves=(key,)) for n, key in enumerate(("bypass", "a-b", "bypass"))
    )
    made = job(cut, bypass, steps=steps)
    joined = [frozenset("ab") in sets(made, stage) for stage in (0, 1, 2, 3)]
    assert joined == [True, True, True, False]


def test_a_join_of_the_framed_job_is_not_there_as_found() -> None:
    made = job(join("a", "b", JoinPlace("after", "jumper")))
    assert frozenset("ab") not in sets(made, "found")
    assert frozenset("ab") in sets(made, "framed")


def test_a_join_to_something_that_is_no_wire_and_no_item_connects_nothing() -> None:
    assert sets(job(join("a", "ghost"))) == sets(job())
