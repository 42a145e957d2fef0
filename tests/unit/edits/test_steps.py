"""Steps put in, taken out, put in another order, split, and made from patterns."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.edits.places import set_fate, with_place
from framer.edits.steps import (
    add_moves,
    add_place_between,
    from_pattern,
    insert_step,
    move_step,
    pinned,
    remove_moves,
    remove_place_between,
    remove_step,
    rest_on,
    set_step,
    split_step,
    step_number,
)
from framer.edits.things import delete
from framer.errors import EditError
from framer.model.faults import faults
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, Span, Wire
from framer.model.place import AnyPlace, OnArm, OnItem, OnPole, Removed, Same, Standing
from framer.model.stage import chain_index, host_of, place_at
from framer.model.step import Hold, Step, Worker
from framer.stock.source import Source
from framer.stock.steps import PatternStep, StepPattern

GONE = Removed(when="after")


def item(key: str, kind: str, *places: AnyPlace, **more: object) -> Item:
    return Item(key, kind, places, name=key, **more)  # type: ignore[arg-type]


def changing() -> Job:
    """An old pole with an arm and two wires, a new pole, an arm on it, cover, a temporary arm."""

    def wire(key: str, phase: str, pin: str, between: str | None = None) -> Wire:
        middle = (OnItem(when="temporary", host=between),) if between else ()
        first = OnItem(when="found", host=f"{pin}-old")
        last = OnItem(when="after", host=f"{pin}-new")
        return Wire(key, "main", phase, "east", (first, *middle, last))  # type: ignore[arg-type]

    def pin(key: str, along: float) -> tuple[Item, Item]:
        old = item(f"{key}-old", "insulator", OnArm(when="found", host="arm-old", along_in=along),
                   GONE)  # fmt: skip
        new = OnArm(when="after", host="arm-new", along_in=along)
        return old, item(f"{key}-new", "insulator", new)

    facts = PoleFacts(540.0)
    made = Job(
        "test",
        circuits=(Circuit("main", "Main"),),
        spans=(Span("east", "pole 2", 90.0, 1800.0),),
        items=(
            item("old", "pole", Standing(when="found", depth_in=72.0), GONE, pole=facts),
            item("new", "pole", Standing(when="after", north_in=-24.0), pole=facts),
            item("arm-old", "arm", OnPole(when="found", host="old", at_in=400.0), GONE),
            item("arm-new", "arm", OnPole(when="after", host="new", at_in=400.0)),
            *pin("a", -54.0),
            *pin("b", 54.0),
            item("holder", "insulator", OnPole(when="temporary", host="old", at_in=380.0), GONE),
            item("hose", "cover", OnItem(when="temporary", host="wire-a"), GONE),
        ),
        wires=(wire("wire-a", "A", "a", "holder"), wire("wire-b", "B", "b")),
        joins=(Join("tap", "wire-a", "wire-b", (JoinPlace("found", "open"),)),),
    )
    assert list(faults(made)) == []
    return made


def stepped(*moves: str) -> Job:
    """The job with a step for each of these moves."""
    steps = tuple(Step(f"s{n}", f"move {key}", moves=(key,)) for n, key in enumerate(moves, 1))
    return replace(changing(), steps=steps)


def test_a_new_step_moves_things_to_their_next_places() -> None:
    job, key = insert_step(stepped("hose"), 2, "Spread A", "spread", ("holder", "wire-a"))
    step = job.steps[step_number(job, key) - 1]
    assert [step.title, step.kind] == ["Spread A", "spread"]
    assert step.goes == (("holder", 1), ("wire-a", 2))
    assert place_at(job, job.wire_by_id["wire-a"], 2) == OnItem(when="temporary", host="holder")
    job, again = insert_step(job, 99, "Move A", "move wire", ("wire-a",))
    assert job.steps[-1].id == again
    assert job.steps[-1].goes == (("wire-a", 3),)
    assert place_at(job, job.wire_by_id["wire-a"], 3) == OnItem(when="after", host="a-new")


def test_a_step_refuses_what_has_nowhere_to_go_on_to() -> None:
    job = stepped("wire-b")
    with pytest.raises(EditError, match="B of Main to pole 2 has no place to go on to"):
        add_moves(job, "s1", ("wire-b",))
    with pytest.raises(EditError, match="nothing named 'ghost'"):
        add_moves(job, "s1", ("ghost",))
    with pytest.raises(EditError, match="no step 'ghost'"):
        add_moves(job, "ghost", ("hose",))


def test_steps_mean_the_same_in_another_order() -> None:
    job = move_step(stepped("holder", "wire-a", "wire-b", "wire-a"), "s4", 1)
    assert [step.id for step in job.steps] == ["s4", "s1", "s2", "s3"]
    assert job.steps[0].goes == (("wire-a", 3),)
    wire = job.wire_by_id["wire-a"]
    assert [chain_index(job, wire, stage) for stage in range(5)] == [0, 2, 2, 1, 1]
    assert list(faults(job)) == []


def test_a_step_is_put_no_farther_than_the_ends() -> None:
    job = stepped("holder", "wire-b", "hose")
    assert [s.id for s in move_step(job, "s1", 99).steps] == ["s2", "s3", "s1"]
    assert [s.id for s in move_step(job, "s3", -1).steps] == ["s3", "s1", "s2"]


def test_what_a_removed_step_moved_is_moved_by_none() -> None:
    job = remove_step(stepped("holder", "wire-a", "wire-a"), "s2")
    assert [step.goes for step in job.steps] == [(("holder", 1),), (("wire-a", 3),)]


def test_binding_refuses_a_job_that_moves_a_thing_too_far() -> None:
    with pytest.raises(EditError, match="moves B of Main to pole 2 past its last place"):
        pinned(stepped("wire-b", "wire-b"))


def test_a_step_is_split_in_two() -> None:
    whole = Step("s1", "Both", moves=("holder", "wire-b", "hose"), kind="spread", crew_leaves=True)
    job, key = split_step(replace(changing(), steps=(whole,)), "s1", ("wire-b",))
    first, second = job.steps
    assert first.goes == (("holder", 1), ("hose", 1))
    assert (second.id, second.title, second.kind) == (key, "Both, continued", "spread")
    assert second.goes == (("wire-b", 2),)
    assert [first.crew_leaves, second.crew_leaves] == [False, True]
    for wrong in ((), ("holder", "wire-b", "hose"), ("wire-a",)):
        with pytest.raises(EditError, match="some of what the step moves"):
            split_step(replace(changing(), steps=(whole,)), "s1", wrong)


def test_a_step_gets_another_title_kind_and_doer() -> None:
    job = set_step(stepped("hose"), "s1", title="Uncover", kind="uncover", by="later")
    assert (job.steps[0].title, job.steps[0].kind, job.steps[0].by) == (
        "Uncover",
        "uncover",
        "later",
    )
    with pytest.raises(EditError, match="needs a title"):
        set_step(job, "s1", title=" ")


def test_a_move_is_taken_out_of_a_step() -> None:
    job, _ = insert_step(changing(), 1, "Both", moves=("holder", "wire-b"))
    assert remove_moves(job, job.steps[0].id, ("holder",)).steps[0].goes == (("wire-b", 2),)


def test_a_place_between_comes_before_the_framed_one_and_steps_still_bring_things_there() -> None:
    job = pinned(stepped("wire-b"))
    job = add_place_between(job, "wire-b", OnItem(when="after", host="holder"))
    assert [place.when for place in job.wire_by_id["wire-b"].places] == [
        "found", "temporary", "after"
    ]  # fmt: skip
    assert job.steps[0].goes == (("wire-b", 3),)
    back = remove_place_between(job, "wire-b", 2)
    assert back == pinned(stepped("wire-b"))
    with pytest.raises(EditError, match="place 1 of B of Main to pole 2 is none between"):
        remove_place_between(job, "wire-b", 1)


def test_a_step_rests_wires_on_a_support_from_where_later_steps_go_on() -> None:
    job = pinned(stepped("holder", "wire-b"))
    with pytest.raises(EditError, match="moves B of Main to pole 2 already"):
        rest_on(job, "s2", ("wire-b",), "holder")
    job = pinned(stepped("holder", "hose", "wire-b"))
    rested = rest_on(job, "s1", ("wire-b",), "holder")
    where = [place_at(rested, rested.wire_by_id["wire-b"], number) for number in range(4)]
    assert [host_of(place) for place in where] == ["b-old", "holder", "holder", "b-new"]
    assert list(faults(rested)) == []
    with pytest.raises(EditError, match="no item 'nobody'"):
        rest_on(job, "s1", ("wire-b",), "nobody")


def test_a_wire_rests_on_no_second_support_before_the_first() -> None:
    job = pinned(stepped("holder", "hose", "wire-a", "wire-a"))
    with pytest.raises(EditError, match="A of Main to pole 2 has another place to go to first"):
        rest_on(job, "s1", ("wire-a",), "b-old")


def test_the_step_that_brought_a_thing_to_a_place_between_goes_with_it() -> None:
    job = remove_place_between(stepped("holder", "wire-a", "wire-a"), "wire-a", 2)
    assert [step.goes for step in job.steps] == [(("holder", 1),), (), (("wire-a", 2),)]
    assert list(faults(job)) == []


def test_a_chain_that_gets_shorter_leaves_no_move_to_nowhere() -> None:
    job = pinned(stepped("wire-b", "hose", "arm-old"))
    undecided = set_fate(job, "arm-old", "undecided")
    assert list(faults(undecided)) == []


def test_a_thing_that_turns_out_to_have_been_there_is_still_brought_where_it_was() -> None:
    job = pinned(stepped("hose", "hose"))
    was = place_at(job, job.item_by_id["hose"], 1)
    found = with_place(job, "hose", "found", OnItem(when="found", host="wire-b"))
    assert [step.goes for step in found.steps] == [(("hose", 2),), (("hose", 3),)]
    assert place_at(found, found.item_by_id["hose"], 1) == was


def test_what_is_deleted_is_in_no_step_any_more() -> None:
    worker = Worker("one", "new", at="wire-b")
    job = stepped("wire-a", "wire-b")
    job = replace(job, steps=(*pinned(job).steps, Step("s3", "x", workers=(worker,))))
    gone = delete(job, "wire-b")
    assert [step.goes for step in gone.steps] == [(("wire-a", 2),), (), ()]
    assert gone.steps[2].workers[0].at == ""
    assert delete(gone, "new").steps[2].workers == ()


# Patterns.


def pattern(*steps: PatternStep) -> StepPattern:
    return StepPattern("mine", "Mine", "Mine.", Source("typed here", "house"), steps)


SPREAD = PatternStep("Spread {name}", "spread", ("phase",), "between", each=True)
MOVE = PatternStep("Move {name}", "move wire", ("phase",), "after", each=True)
HANG = PatternStep("Hang", "hang", ("arm", "insulator"), "comes")
COVER = PatternStep("Cover", "cover", ("cover",), "comes")
UNCOVER = PatternStep("Uncover", "uncover", ("cover",), "leaves")
STRIP = PatternStep("Strip", "other", ("arm", "insulator", "temporary support"), "leaves")
HOLDER = PatternStep("Holders", "temporary support", ("temporary support",), "comes")


def test_a_pattern_takes_the_things_whose_chains_go_that_way() -> None:
    job = from_pattern(changing(), pattern(COVER, HOLDER, SPREAD, HANG, MOVE, STRIP, UNCOVER))
    assert [(step.title, step.goes) for step in job.steps] == [
        ("Cover", (("hose", 1),)),
        ("Holders", (("holder", 1),)),
        ("Spread A of Main to pole 2", (("wire-a", 2),)),
        ("Hang", (("arm-new", 1), ("a-new", 1), ("b-new", 1))),
        ("Move A of Main to pole 2", (("wire-a", 3),)),
        ("Move B of Main to pole 2", (("wire-b", 2),)),
        ("Strip", (("arm-old", 2), ("a-old", 2), ("b-old", 2), ("holder", 2))),
        ("Uncover", (("hose", 2),)),
    ]
    assert [step.kind for step in job.steps][4:6] == ["move wire", "last wire"]
    assert list(faults(job)) == []


def test_a_pattern_moves_nothing_before_its_chain_has_got_there() -> None:
    job = from_pattern(changing(), pattern(MOVE, SPREAD))
    assert [step.goes for step in job.steps] == [(("wire-b", 2),), (("wire-a", 2),)]


def test_a_pattern_replaces_the_steps_there_were_and_leaves_what_moves_nothing() -> None:
    job = from_pattern(stepped("wire-b"), pattern(UNCOVER, COVER))
    assert [step.title for step in job.steps] == ["Cover"]


def test_what_others_do_is_in_steps_by_others() -> None:
    job = changing()
    clamp = item("clamp", "attachment", OnPole(when="found", host="old", at_in=300.0),
                 OnPole(when="after", by="others", host="new", at_in=300.0))  # fmt: skip
    stays = item("lamp", "lamp", OnPole(when="found", host="old", at_in=200.0), Same(when="after"))
    job = replace(job, items=(*job.items, clamp, stays))
    ours = PatternStep("Ours", "other", ("insulator", "equipment"), "after")
    theirs = replace(ours, title="Theirs", by="others")
    made = from_pattern(job, pattern(ours, theirs))
    assert [(step.title, step.by, step.moves) for step in made.steps] == [
        ("Theirs", "others", ("clamp",))
    ]


def test_wires_on_one_support_go_together() -> None:
    job = changing()
    west = replace(job.wire_by_id["wire-b"], id="wire-b-west")
    job = replace(job, wires=(*job.wires, west))
    made = from_pattern(job, pattern(MOVE))
    assert [step.moves for step in made.steps] == [("wire-b", "wire-b-west")]


def test_a_hold_on_an_unknown_circuit_and_a_worker_on_no_pole_are_refused() -> None:
    job = replace(
        changing(),
        holds=(Hold("ghost"),),
        steps=(Step("s", "x", workers=(Worker("one", "arm-old", at="ghost"),), to=(1,)),),
    )
    assert {fault.place for fault in faults(job)} == {
        "holds[0].circuit",
        "steps[0] 's'.workers[0].pole",
        "steps[0] 's'.workers[0].at",
        "steps[0] 's'.to",
    }
