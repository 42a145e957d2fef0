"""What contradicts itself in a job is told once, with its place in the record."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from framer.model.faults import MOST_THINGS, Fault, faults
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, LimitLine, NearbyWire, Span, Wire
from framer.model.place import (
    AnyPlace,
    Guyed,
    Lifted,
    Lying,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Same,
    Standing,
    Undecided,
)
from framer.model.reading import Reading
from framer.model.step import Step

ON_POLE = OnPole(when="found", host="pole", at_in=400.0)
SOUND = Job(
    "test",
    circuits=(Circuit("main", "Main"),),
    spans=(Span("east", "E", 90.0, 1800.0),),
    items=(
        Item("pole", "pole", (Standing(when="found"),), pole=PoleFacts(540.0)),
        Item("arm", "arm", (ON_POLE,), part="arm-10ft-4pin"),
        Item("pin", "insulator", (OnArm(when="found", host="arm"),), part="pin-55-5-25kv"),
        Item("hose", "cover", (OnItem(when="found", host="wire"),), name="hose"),
        Item("guy", "guy", (Guyed(when="found", host="pole", lead_in=240.0),), name="guy"),
    ),
    wires=(Wire("wire", "main", "A", "east", (OnItem(when="found", host="pin"),)),),
    joins=(Join("join", "wire", "pin", (JoinPlace("found", "tap"),)),),
    nearby=(NearbyWire("near", "Near", "main", 0.0, 0.0, 0.0),),
    limits=(LimitLine("wall", "Wall"),),
    readings=(Reading("near", "height", 500.0, datum="pole"), Reading("arm", "height", 400.0)),
    steps=(Step("one", "One", moves=("arm", "wire", "join")),),
)


def told(job: Job) -> list[Fault]:
    return list(faults(job))


def with_item(key: str, **changes: Any) -> Job:
    items = (replace(it, **changes) if it.id == key else it for it in SOUND.items)
    return replace(SOUND, items=tuple(items))


def with_places(key: str, *places: AnyPlace) -> Job:
    if key in SOUND.item_by_id:
        return with_item(key, places=places)
    return replace(SOUND, wires=(replace(SOUND.wires[0], places=places),))


def with_join(**changes: Any) -> Job:
    return replace(SOUND, joins=(replace(SOUND.joins[0], **changes),))


def with_reading(**changes: Any) -> Job:
    return replace(SOUND, readings=(replace(SOUND.readings[0], **changes),))


def test_only_a_lift_is_held_up_from_the_ground() -> None:
    up = Lifted(when="found", east_in=0.0, north_in=0.0, height_in=400.0)
    (found,) = told(with_places("guy", up))
    assert found.problem == "only a lift is held up from the ground; other things go on it"
    lift = Item("lift", "lift", (up,), name="Lift")
    assert told(replace(SOUND, items=(*SOUND.items, lift))) == []


@pytest.mark.parametrize("host", ["wire", "near", "join"])
def test_cover_goes_on_a_wire_a_nearby_wire_and_a_jumper(host: str) -> None:
    assert told(with_places("hose", OnItem(when="found", host=host))) == []


@pytest.mark.parametrize("host", ["near", "join"])
def test_nothing_but_cover_goes_on_a_nearby_wire_or_a_jumper(host: str) -> None:
    (found,) = told(with_places("guy", OnItem(when="found", host=host)))
    assert found.problem == f"its host '{host}' is not in the job"


def test_a_sound_job_has_no_faults() -> None:
    assert told(SOUND) == []
    assert told(Job("empty")) == []


NEW_POLE = Item("new", "pole", (Standing(when="after"),), pole=PoleFacts())
NOTHING_ABOVE = (
    "nothing of the pole is above ground: depth_in plus cut_in must be less than length_in"
)
AS_BEFORE = "its first place is 'as before', but nothing comes before it"
ORDER = "its places must run found, temporary, after, built"


@pytest.mark.parametrize(
    ("job", "place", "problem"),
    [
        # names
        (
            replace(SOUND, spans=(*SOUND.spans, Span("", "E", 0.0, 1.0))),
            "spans[1]",
            "the id is empty; every record needs one",
        ),
        (
            replace(SOUND, limits=(LimitLine("arm", "Wall"),)),
            "limits[0]",
            "the id 'arm' is taken by items[1]",
        ),
        (
            replace(SOUND, steps=(*SOUND.steps, Step("one", "Again"))),
            "steps[1]",
            "the id 'one' is taken by steps[0]",
        ),
        # chains
        (with_places("hose"), "items[3] 'hose'", "it has no place; give at least one"),
        (
            with_places("hose", Removed(when="after"), OnItem(when="found", host="wire")),
            "items[3] 'hose'",
            ORDER,
        ),
        (
            with_places("wire", OnItem(when="after", host="pin"), Undecided(when="temporary")),
            "wires[0] 'wire'",
            ORDER,
        ),
        *(
            (
                with_places("hose", *(Undecided(when=when) for _ in range(2))),
                "items[3] 'hose'",
                f"it has more than one place '{when}'",
            )
            for when in ("found", "after", "built")
        ),
        (with_places("hose", Same(when="found")), "items[3] 'hose'", AS_BEFORE),
        (with_join(places=()), "joins[0] 'join'", "it has no place; give at least one"),
        (
            with_join(places=(JoinPlace("after", "tap"), JoinPlace("found", "tap"))),
            "joins[0] 'join'",
            ORDER,
        ),
        (
            with_join(places=(JoinPlace("after", "tap"), JoinPlace("after", "open"))),
            "joins[0] 'join'",
            "it has more than one place 'after'",
        ),
        # where things are
        (
            with_places("arm", replace(ON_POLE, host="pile")),
            "items[1] 'arm'.places[0]",
            "its host 'pile' is not in the job",
        ),
        (
            with_places("arm", ON_POLE, replace(ON_POLE, when="after", host="pile")),
            "items[1] 'arm'.places[1]",
            "its host 'pile' is not in the job",
        ),
        (
            with_places("guy", replace(ON_POLE, host="wire")),
            "items[4] 'guy'.places[0]",
            "its host 'wire' is a wire; only 'on' goes on a wire",
        ),
        (
            with_places("guy", replace(ON_POLE, host="arm")),
            "items[4] 'guy'.places[0]",
            "its host 'arm' is no pole but: arm",
        ),
        (
            with_places("guy", Guyed(when="found", host="pin", lead_in=1.0)),
            "items[4] 'guy'.places[0]",
            "its host 'pin' is no pole but: insulator",
        ),
        (
            with_places("pin", OnArm(when="found", host="pole")),
            "items[2] 'pin'.places[0]",
            "its host 'pole' is no arm but: pole",
        ),
        (
            replace(
                SOUND,
                items=(
                    *SOUND.items,
                    replace(NEW_POLE, places=(OnItem(when="after", host="arm"),)),
                ),
            ),
            "items[5] 'new'.places[0]",
            "a pole stands or lies on the ground, it is not fixed to an item",
        ),
        *(
            (
                with_places("hose", place),
                "items[3] 'hose'.places[0]",
                "only a pole stands or lies on the ground",
            )
            for place in (Standing(when="found"), Lying(when="found"))
        ),
        *(
            (
                with_places("wire", place),
                "wires[0] 'wire'.places[0]",
                "a wire rests on an insulator or attachment: use 'on'",
            )
            for place in (
                ON_POLE,
                OnArm(when="found", host="arm"),
                Guyed(when="found", host="pole", lead_in=1.0),
            )
        ),
        (
            with_places("arm", ON_POLE, OnPole(when="after", host="pole")),
            "items[1] 'arm'.places[1]",
            "at_in is missing; only a found place may leave it to a reading",
        ),
        # items
        (
            with_item("pole", pole=None),
            "items[0] 'pole'.pole",
            "an item of kind 'pole' needs pole facts",
        ),
        (
            with_item("guy", pole=PoleFacts()),
            "items[4] 'guy'.pole",
            "an item of kind 'guy' must not have pole facts",
        ),
        (
            with_item("pole", part="arm-10ft-4pin"),
            "items[0] 'pole'.part",
            "a pole has pole facts, not a stock part",
        ),
        (
            with_item("hose", name=""),
            "items[3] 'hose'",
            "it needs a stock part or at least a name",
        ),
        (with_item("pin", circuit="west"), "items[2] 'pin'.circuit", "there is no circuit 'west'"),
        (with_item("pin", replaces="wire"), "items[2] 'pin'.replaces", "there is no item 'wire'"),
        *(
            (with_places("pole", standing), "items[0] 'pole'.places[0]", NOTHING_ABOVE)
            for standing in (
                Standing(when="found", depth_in=540.0),
                Standing(when="found", cut_in=540.0),
                Standing(when="found", depth_in=300.0, cut_in=240.0),
            )
        ),
        # references
        (
            replace(SOUND, wires=(replace(SOUND.wires[0], circuit="west"),)),
            "wires[0] 'wire'.circuit",
            "there is no circuit 'west'",
        ),
        (
            replace(SOUND, wires=(replace(SOUND.wires[0], span="west"),)),
            "wires[0] 'wire'.span",
            "there is no span 'west'",
        ),
        (
            replace(SOUND, nearby=(replace(SOUND.nearby[0], circuit="west"),)),
            "nearby[0] 'near'.circuit",
            "there is no circuit 'west'",
        ),
        (with_join(a="near"), "joins[0] 'join'", "there is no wire or item 'near'"),
        (with_join(b="join"), "joins[0] 'join'", "there is no wire or item 'join'"),
        (
            with_reading(of="wall"),
            "readings[0].of",
            "there is no item, wire or nearby wire 'wall'",
        ),
        (
            with_reading(datum="arm"),
            "readings[0].datum",
            "'arm' is no pole; say a pole's id or 'job'",
        ),
        (
            with_reading(datum="hill"),
            "readings[0].datum",
            "'hill' is no pole; say a pole's id or 'job'",
        ),
        (
            replace(SOUND, steps=(Step("one", "One", moves=("arm", "near")),)),
            "steps[0] 'one'.moves",
            "there is nothing named 'near'",
        ),
    ],
)
def test_each_fault_is_told_once_with_its_place(job: Job, place: str, problem: str) -> None:
    assert told(job) == [Fault(place, problem)]


def test_a_found_place_may_leave_its_height_to_a_reading() -> None:
    assert told(with_places("arm", OnPole(when="found", host="pole"))) == []


def test_a_pole_with_a_sixteenth_above_ground_is_sound_and_one_of_no_known_length_too() -> None:
    barely = Standing(when="found", depth_in=300.0, cut_in=239.9375)
    assert told(with_places("pole", barely)) == []
    buried = (Standing(when="found", cut_in=540.0),)
    assert told(with_item("pole", pole=PoleFacts(), places=buried)) == []


def box(key: str, host: str) -> Item:
    return Item(key, "equipment", (OnItem(when="found", host=host),), name=key)


def test_things_that_hold_each_other_up_are_a_ring() -> None:
    ring = (box("box-1", "box-2"), box("box-2", "box-3"), box("box-3", "box-1"))
    made = replace(SOUND, items=(*SOUND.items, *ring))
    assert told(made) == [Fault("'box-1'", "it is held up by itself, through its hosts")]


def test_a_thing_on_itself_is_a_ring() -> None:
    made = replace(SOUND, items=(*SOUND.items, box("box-1", "box-1")))
    assert told(made) == [Fault("'box-1'", "it is held up by itself, through its hosts")]


def test_hosts_of_different_times_make_a_ring_too() -> None:
    """Held by each other at no one time, but nothing then says which moves first."""
    one = replace(box("box-1", "pole"), places=(box("", "pole").places[0], Undecided(when="after")))
    two = box("box-2", "box-1")
    turned = replace(one, places=(one.places[0], OnItem(when="after", host="box-2")))
    assert told(replace(SOUND, items=(*SOUND.items, one, two))) == []
    found = told(replace(SOUND, items=(*SOUND.items, turned, two)))
    assert [fault.problem for fault in found] == ["it is held up by itself, through its hosts"]


def test_a_tower_of_hosts_without_a_ring_is_sound_however_high() -> None:
    tower = [box("level-0", "pole")]
    tower += [box(f"level-{n}", f"level-{n - 1}") for n in range(1, 3000)]
    assert told(replace(SOUND, items=(*SOUND.items, *reversed(tower)))) == []


def test_a_job_with_more_records_than_any_pole_carries_is_refused_as_a_whole() -> None:
    readings = (Reading("nobody", "height", 1.0),) * (MOST_THINGS - 9)
    most = replace(SOUND, readings=readings)
    assert {fault.problem for fault in told(most)} == {
        "there is no item, wire or nearby wire 'nobody'"
    }
    found = told(replace(most, readings=(*readings, readings[0])))
    assert found == [Fault("", "20,001 records; at most 20,000 are taken for one pole")]


def test_every_fault_of_a_job_is_told() -> None:
    made = with_item("pin", circuit="west", replaces="nothing")
    made = replace(made, wires=(replace(SOUND.wires[0], span="up"),))
    assert [fault.place for fault in told(made)] == [
        "items[2] 'pin'.circuit",
        "items[2] 'pin'.replaces",
        "wires[0] 'wire'.span",
    ]
