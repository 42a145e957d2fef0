"""Edits that bring things in and take them out."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from framer.edits.things import (
    add_part,
    add_pole,
    carried_by,
    delete,
    new_id,
    place_on,
    put_found,
    put_on,
    put_part,
    set_part,
    was_found_on,
)
from framer.errors import EditError
from framer.model.faults import faults
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, LimitLine, NearbyWire, Span, Wire
from framer.model.place import (
    AnyPlace,
    Guyed,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Same,
    Standing,
    Undecided,
)
from framer.model.reading import Reading
from framer.model.stage import fate, place_at
from framer.model.step import Step
from framer.takeoff.materials import materials

POLE = PoleFacts(540.0, "4", "Southern pine")
PINS = (-54.0, -18.0, 18.0, 54.0)  # of the 10-ft arm in stock, house


def item(key: str, kind: str, *places: AnyPlace, part: str | None = None) -> Item:
    return Item(key, kind, places, part, name=key)  # type: ignore[arg-type]


def standing(key: str, *places: AnyPlace) -> Item:
    return Item(key, "pole", places, pole=POLE)


ARM = item("arm", "arm", OnPole(when="after", host="new", at_in=440.0), part="arm-10ft-4pin")


def job(*things: Item | Wire | Join, **more: Any) -> Job:
    """An old and a new pole and these things."""
    made = Job(
        "test",
        circuits=(Circuit("main", "Main"),),
        spans=(Span("north", "N", 0.0, 1800.0),),
        items=(
            standing("old", Standing(when="found"), Removed(when="after")),
            standing("new", Standing(when="after", east_in=24.0)),
            *(one for one in things if isinstance(one, Item)),
        ),
        wires=tuple(one for one in things if isinstance(one, Wire)),
        joins=tuple(one for one in things if isinstance(one, Join)),
        **more,
    )
    assert list(faults(made)) == []
    return made


def names(made: Job) -> set[str]:
    return set(made.thing_by_id)


# New ids and things.


def test_a_new_id_is_the_first_number_nothing_in_the_job_has() -> None:
    assert new_id(job(), "ground wire") == "ground-wire-1"
    made = replace(
        job(
            item("arm-1", "arm", OnPole(when="after", host="new", at_in=1.0)),
            nearby=(NearbyWire("arm-2", "x", "main", 0.0, 0.0, 0.0),),
            limits=(LimitLine("arm-3", "x"),),
            steps=(Step("arm-4", "x"),),
        ),
        circuits=(Circuit("arm-5", "x"),),
        spans=(Span("arm-6", "N", 0.0, 1.0),),
    )
    assert new_id(made, "arm") == "arm-7"


def test_a_part_is_added_as_an_item_of_its_kind() -> None:
    where = OnPole(when="after", host="new", at_in=400.0)
    before = job()
    after, key = add_part(before, "arm-10ft-4pin", where, "Line arm")
    assert after.items == (*before.items, Item(key, "arm", (where,), "arm-10ft-4pin", "Line arm"))
    assert key == "arm-1"
    assert add_part(after, "arm-10ft-4pin", where)[1] == "arm-2"
    assert len(before.items) == 2


@pytest.mark.parametrize("part", ["arm-99ft", "acsr-raven-1-0"])
def test_only_stock_parts_that_can_be_placed_are_added(part: str) -> None:
    with pytest.raises(EditError, match=f"there is no stock part '{part}' that can be placed"):
        add_part(job(), part, OnPole(when="after", host="new", at_in=400.0))


def test_a_part_needs_a_host_that_is_there() -> None:
    with pytest.raises(EditError, match="there is nothing named 'ghost' to put it on"):
        add_part(job(), "arm-10ft-4pin", OnPole(when="after", host="ghost", at_in=400.0))


def test_an_arm_brings_its_braces_and_an_insulator_comes_with_its_pin() -> None:
    where = OnPole(when="after", host="new", at_in=400.0)
    after, key = put_part(job(), "arm-10ft-4pin", where, "Line arm")
    brace = after.items[-1]
    assert (brace.kind, brace.part, brace.name) == ("brace", "brace-angle-60in", "Line arm brace")
    assert brace.places == (OnItem(when="after", host=key),)
    short, _ = put_part(job(), "arm-8ft-4pin", where)
    assert short.items[-1].part == "brace-flat-28in"
    on_it, pin = put_part(after, "pin-55-5-25kv", place_on(after, "pin-55-5-25kv", key))
    assert on_it.items[-1].id == pin
    listed = {(row.name, row.fate): row.quantity for row in materials(on_it)}
    assert listed["crossarm pin, steel, 1 in lead thread", "install"] == 1
    bolts = [row for row in materials(on_it) if row.group == "Bolts"]
    assert sum(row.quantity for row in bolts) == 2  # of the arm, and of its brace


def test_what_brings_nothing_comes_alone() -> None:
    where = OnPole(when="after", host="new", at_in=400.0)
    for part in ("deadend-arm-10ft-4pos", "transformer-25kva", "guard-arm-4ft"):
        after, _ = put_part(job(), part, where)
        assert len(after.items) == 3


@pytest.mark.parametrize(
    ("part", "host", "why"),
    [
        ("arm-10ft-4pin", "", "select first what it goes on"),
        ("arm-10ft-4pin", "main", "nothing is put on Main"),
        ("arm-10ft-4pin", "old", "old is not there as framed"),
        ("brace-flat-28in", "new", "a brace goes on an arm"),
    ],
)
def test_a_part_goes_only_on_what_takes_it(part: str, host: str, why: str) -> None:
    with pytest.raises(EditError, match=why):
        put_on(job(), part, host)


def test_a_pole_is_added() -> None:
    where = Standing(when="after", east_in=48.0)
    after, key = add_pole(job(), PoleFacts(600.0), where, "Stub")
    assert after.item_by_id[key] == Item(
        "pole-1", "pole", (where,), name="Stub", pole=PoleFacts(600.0)
    )


# Where a part goes when nobody says.


@pytest.mark.parametrize("pins", [0, 1, 2, 3])
def test_an_insulator_goes_on_the_first_free_pin(pins: int) -> None:
    taken = [
        item(f"pin-{n}", "insulator", OnArm(when="after", host="arm", along_in=PINS[n]))
        for n in range(pins)
    ]
    where = place_on(job(ARM, *taken), "pin-55-5-25kv", "arm")
    assert where == OnArm(when="after", host="arm", along_in=PINS[pins])


def test_a_full_arm_and_an_arm_without_pins_take_it_at_the_bolt() -> None:
    full = [
        item(f"pin-{n}", "insulator", OnArm(when="after", host="arm", along_in=along))
        for n, along in enumerate(PINS)
    ]
    bare = replace(ARM, part="equipment-arm-8ft")
    for made in (job(ARM, *full), job(bare)):
        assert place_on(made, "pin-55-5-25kv", "arm") == OnArm(when="after", host="arm")


def test_a_pin_that_stays_where_it_was_found_is_not_free() -> None:
    found_arm = replace(
        ARM, places=(OnPole(when="found", host="old", at_in=400.0), Same(when="after"))
    )
    on_first = OnArm(when="found", host="arm", along_in=PINS[0])
    for later in (Same(when="after"), Undecided(when="after")):
        made = job(found_arm, item("pin", "insulator", on_first, later))
        assert place_on(made, "pin-55-5-25kv", "arm") == OnArm(
            when="after", host="arm", along_in=PINS[1]
        )
    gone = job(found_arm, item("pin", "insulator", on_first, Removed(when="after")))
    assert place_on(gone, "pin-55-5-25kv", "arm") == OnArm(
        when="after", host="arm", along_in=PINS[0]
    )


def test_a_brace_goes_on_its_arm_and_on_no_pole() -> None:
    assert place_on(job(ARM), "brace-angle-60in", "arm") == OnItem(when="after", host="arm")
    with pytest.raises(EditError, match="a brace goes on an arm: select the arm first"):
        place_on(job(ARM), "brace-angle-60in", "new")


def test_what_goes_on_a_pole_starts_a_foot_below_the_lowest_thing_there() -> None:
    assert place_on(job(), "spool-53-2", "new") == OnPole(when="after", host="new", at_in=360.0)
    assert place_on(job(ARM), "spool-53-2", "new") == OnPole(when="after", host="new", at_in=428.0)
    stays = item(
        "box", "equipment", OnPole(when="found", host="new", at_in=300.0), Same(when="after")
    )
    on_new = replace(job(ARM), items=(*job(ARM).items, stays))
    assert place_on(on_new, "spool-53-2", "new") == OnPole(when="after", host="new", at_in=288.0)


def test_nothing_starts_in_the_ground() -> None:
    low = item("box", "equipment", OnPole(when="after", host="new", at_in=14.0))
    assert place_on(job(low), "spool-53-2", "new") == OnPole(when="after", host="new", at_in=12.0)


def test_a_guy_leads_away_and_a_riser_comes_up_from_the_ground() -> None:
    assert place_on(job(ARM), "guy-3-8in-ehs", "new") == Guyed(
        when="after", host="new", at_in=428.0, lead_in=180.0
    )
    for part in ("riser-4in", "ground-wire-molding"):
        assert place_on(job(ARM), part, "new") == OnPole(
            when="after", host="new", at_in=0.0, to_in=428.0
        )


def test_on_any_other_host_a_part_just_rests() -> None:
    pin = item("pin", "insulator", OnArm(when="after", host="arm"))
    made = job(ARM, pin)
    assert place_on(made, "insulator-hood-class-2", "pin") == OnItem(when="after", host="pin")


@pytest.mark.parametrize(("part", "host"), [("arm-99ft", "new"), ("spool-53-2", "ghost")])
def test_an_unknown_part_or_host_is_named(part: str, host: str) -> None:
    with pytest.raises(EditError, match=f"no stock part '{part}' or nothing named '{host}'"):
        place_on(job(), part, host)


@pytest.mark.parametrize(
    ("part", "host"),
    [
        ("arm-10ft-4pin", "new"),
        ("spool-53-2", "new"),
        ("guy-3-8in-ehs", "new"),
        ("riser-4in", "new"),
        ("transformer-25kva", "new"),
        ("pin-55-5-25kv", "arm"),
        ("brace-angle-60in", "arm"),
        ("cutout-15kv", "arm"),
    ],
)
def test_a_part_put_where_nobody_said_leaves_the_job_sound(part: str, host: str) -> None:
    made = job(ARM)
    after, _ = add_part(made, part, place_on(made, part, host))
    assert list(faults(after)) == []


# Taking things out.


def busy() -> Job:
    """An old arm with a pin goes out, a new one comes; a transformer and a clamp go over."""
    wire = Wire(
        "wire",
        "main",
        "A",
        "north",
        (OnItem(when="found", host="old-pin"), OnItem(when="after", host="pin")),
    )
    return job(
        item(
            "old-arm", "arm", OnPole(when="found", host="old", at_in=400.0), Removed(when="after")
        ),
        item("old-pin", "insulator", OnArm(when="found", host="old-arm"), Removed(when="after")),
        ARM,
        replace(item("pin", "insulator", OnArm(when="after", host="arm")), replaces="old-pin"),
        item("brace", "brace", OnItem(when="after", host="arm")),
        item(
            "bank",
            "transformer",
            OnPole(when="found", host="old", at_in=300.0),
            OnPole(when="after", host="new", at_in=310.0),
        ),
        item("bank-cover", "cover", OnItem(when="found", host="bank"), Same(when="after")),
        item("hose", "cover", OnItem(when="temporary", host="wire"), Removed(when="temporary")),
        wire,
        Join("tap", "wire", "bank", (JoinPlace("found", "tap"),)),
        readings=(
            Reading("old-arm", "height", 400.0),
            Reading("bank", "height", 300.0),
            Reading("wire", "sag", 30.0),
        ),
        steps=(Step("one", "One", moves=("arm", "pin", "wire", "tap", "hose")),),
    )


def test_what_only_ever_sits_on_a_thing_is_carried_by_it() -> None:
    made = busy()
    assert carried_by(made, "arm") == {"pin", "brace"}
    assert carried_by(made, "new") == {"arm", "pin", "brace"}
    assert carried_by(made, "old") == {"old-arm", "old-pin"}
    assert carried_by(made, "bank") == {"bank-cover"}
    assert carried_by(made, "wire") == {"hose"}
    assert carried_by(made, "pin") == set()


def test_a_thing_goes_with_what_sits_on_it_and_all_mention_of_it() -> None:
    before = busy()
    after = delete(before, "arm")
    assert names(before) - names(after) == {"arm", "pin", "brace"}
    assert after.steps[0].moves == ("wire", "tap", "hose")
    assert list(faults(after)) == []


def test_a_wire_of_something_deleted_is_undecided_from_there_on() -> None:
    after = delete(busy(), "arm")
    wire = after.wire_by_id["wire"]
    assert wire.places == (OnItem(when="found", host="old-pin"), Undecided(when="after"))
    assert fate(after, wire) == "undecided"
    assert place_at(after, wire, "framed") == wire.places[0]


def test_what_was_found_elsewhere_survives_the_pole_it_was_to_go_to() -> None:
    """The survey of a transformer is not lost because a new pole is drawn afresh."""
    after = delete(busy(), "new")
    bank = after.item_by_id["bank"]
    assert bank.places == (OnPole(when="found", host="old", at_in=300.0), Undecided(when="after"))
    assert {"bank-cover", "wire", "tap"} <= names(after)
    assert not {"arm", "pin", "brace"} & names(after)
    assert after.reading("bank", "height") is not None
    assert list(faults(after)) == []


def test_what_goes_elsewhere_survives_the_pole_it_was_found_on() -> None:
    after = delete(busy(), "old")
    bank = after.item_by_id["bank"]
    assert bank.places == (Undecided(when="found"), OnPole(when="after", host="new", at_in=310.0))
    assert place_at(after, bank, "found") is None
    assert not {"old-arm", "old-pin"} & names(after)
    assert list(faults(after)) == []


def test_what_replaced_something_deleted_replaces_nothing() -> None:
    assert delete(busy(), "old-pin").item_by_id["pin"].replaces is None


def test_a_wire_goes_only_by_name_with_its_cover_and_joins() -> None:
    before = busy()
    after = delete(before, "wire")
    assert names(before) - names(after) == {"wire", "hose", "tap"}
    assert [reading.of for reading in after.readings] == ["old-arm", "bank"]
    assert after.steps[0].moves == ("arm", "pin")
    assert list(faults(after)) == []


def test_a_join_goes_alone() -> None:
    before = busy()
    after = delete(before, "tap")
    assert names(before) - names(after) == {"tap"}
    assert after.steps[0].moves == ("arm", "pin", "wire", "hose")


def test_readings_from_the_ground_of_a_deleted_pole_go_with_it() -> None:
    near = (NearbyWire("near", "Near", "main", 0.0, 0.0, 0.0),)
    readings = (
        Reading("near", "height", 500.0, datum="old"),
        Reading("near", "height", 490.0, date="2025-01-01"),
    )
    after = delete(job(nearby=near, readings=readings), "old")
    assert after.readings == (readings[1],)


@pytest.mark.parametrize("key", ["ghost", "main", "north", "one"])
def test_only_items_wires_and_joins_are_deleted(key: str) -> None:
    with pytest.raises(EditError, match=f"there is nothing named '{key}'"):
        delete(busy(), key)


@pytest.mark.parametrize("key", sorted(busy().thing_by_id))
def test_a_sound_job_is_sound_without_any_one_thing(key: str) -> None:
    before = busy()
    after = delete(before, key)
    assert key not in names(after)
    assert list(faults(after)) == []
    assert before == busy()


def test_what_is_put_on_a_thing_that_goes_was_found_there_at_a_height_nobody_read() -> None:
    assert was_found_on(job(), "old")
    made, arm = put_found(job(), "arm-8ft-4pin", "old")
    assert made.item_by_id[arm].places == (
        OnPole(when="found", host="old"),
        Undecided(when="after"),
    )
    braces = [item for item in made.items if item.id not in job().item_by_id and item.id != arm]
    assert braces
    assert all(item.places[0].when == "found" for item in braces)
    # and so on: what sits on the arm was found with it
    assert was_found_on(made, arm)
    made, pin = put_found(made, "pin-55-5-25kv", arm)
    assert isinstance(made.item_by_id[pin].places[0], OnArm)
    assert made.item_by_id[pin].places[0].when == "found"
    assert made.item_by_id["old"] == job().item_by_id["old"]
    assert list(faults(made)) == list(faults(job()))
    with pytest.raises(EditError, match="an arm goes on"):
        put_found(made, "arm-8ft-4pin", arm)


def test_nothing_is_found_on_what_is_new_or_stays() -> None:
    stays = standing("stays", Standing(when="found"), Same(when="after"))
    for key in ("stays", "new", "nothing"):
        assert not was_found_on(job(stays), key)


def test_a_thing_without_a_part_is_given_one_and_nothing_else_of_it_changes() -> None:
    bare = job(item("arm", "arm", OnPole(when="after", host="new", at_in=440.0)))
    made = set_part(bare, "arm", "arm-8ft-4pin")
    assert made.item_by_id["arm"] == replace(bare.item_by_id["arm"], part="arm-8ft-4pin")
    assert made.items[:2] == bare.items[:2]
    assert list(faults(made)) == list(faults(bare))


@pytest.mark.parametrize(
    ("key", "part", "why"),
    [
        ("arm", "pin-55-5-25kv", "arm is an arm, and .* is an insulator"),
        ("arm", "arm-10ft-4pin", "arm is .* already"),
        ("arm", "no-such", "there is no stock part 'no-such'"),
        ("new", "arm-10ft-4pin", "is a pole, and .* is an arm"),
        ("gone", "arm-10ft-4pin", "is no part from stock"),
    ],
)
def test_a_part_of_another_kind_is_refused_with_a_sentence(key: str, part: str, why: str) -> None:
    with pytest.raises(EditError, match=why):
        set_part(job(ARM), key, part)


def test_a_part_on_which_what_is_carried_would_have_no_place_is_refused() -> None:
    # the 8-ft arm ends 48 in from its middle
    pin = item("pin", "insulator", OnArm(when="after", host="arm", along_in=54.0))
    with pytest.raises(EditError, match="pin would be past the end of Wood arm 8 ft, 4 pins"):
        set_part(job(ARM, pin), "arm", "arm-8ft-4pin")
    nearer = item("pin", "insulator", OnArm(when="after", host="arm", along_in=42.0))
    made = set_part(job(ARM, nearer), "arm", "arm-8ft-4pin")
    assert made.item_by_id["arm"].part == "arm-8ft-4pin"
