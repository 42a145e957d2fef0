"""Fates: what becomes of a thing follows from its chain of places."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, Span, Wire
from framer.model.place import (
    AnyPlace,
    OnArm,
    OnItem,
    OnPole,
    Removed,
    Same,
    Standing,
    Undecided,
)
from framer.model.stage import fate

FOUND = OnPole(when="found", host="old", at_in=400.0)
LATER = OnPole(when="after", host="new", at_in=430.0)
AGAIN = OnPole(when="after", host="old", at_in=400.0)
LOWER = OnPole(when="after", host="old", at_in=380.0)
AWAY = OnPole(when="temporary", host="old", at_in=440.0)
GONE, SAME, OPEN = Removed(when="after"), Same(when="after"), Undecided(when="after")

OLD = Item("old", "pole", (Standing(when="found"), SAME), pole=PoleFacts())
NEW = Item("new", "pole", (Standing(when="after", east_in=24.0),), pole=PoleFacts())


def job(*things: Item | Wire | Join) -> Job:
    return Job(
        "test",
        circuits=(Circuit("main", "Main"),),
        spans=(Span("east", "E", 90.0, 1800.0),),
        items=(OLD, NEW, *(one for one in things if isinstance(one, Item))),
        wires=tuple(one for one in things if isinstance(one, Wire)),
        joins=tuple(one for one in things if isinstance(one, Join)),
    )


def of(*places: AnyPlace) -> str:
    """The fate of an item with this chain."""
    box = Item("box", "equipment", places, name="box")
    return fate(job(box), box)


@pytest.mark.parametrize(
    ("places", "expected"),
    [
        ((LATER,), "install"),
        ((AWAY, LATER), "install"),
        ((LATER, replace(LATER, when="built")), "install"),
        ((FOUND, GONE), "remove"),
        ((FOUND, AWAY, GONE), "remove"),
        ((FOUND, LATER), "transfer"),
        ((FOUND, AWAY, LATER), "transfer"),
        ((FOUND, LOWER), "move"),
        ((FOUND, replace(AGAIN, azimuth_deg=90.0)), "move"),
        ((FOUND, AGAIN), "stays"),
        ((FOUND, SAME), "stays"),
        ((FOUND, AWAY, AGAIN), "stays"),
        ((FOUND, replace(LATER, by="others")), "by others"),
        ((FOUND, replace(GONE, by="others")), "by others"),
        ((FOUND, replace(SAME, by="others")), "by others"),
        ((replace(LATER, by="others"),), "by others"),
        ((FOUND,), "undecided"),
        ((FOUND, AWAY), "undecided"),
        ((FOUND, OPEN), "undecided"),
        ((FOUND, replace(OPEN, by="others")), "undecided"),
        ((LATER, replace(OPEN, when="built")), "undecided"),
        ((), "undecided"),
        ((AWAY,), "temporary"),
        ((AWAY, replace(AWAY, host="new")), "temporary"),
        ((AWAY, GONE), "temporary"),
        ((AWAY, replace(GONE, when="temporary")), "temporary"),
    ],
)
def test_the_fate_follows_from_the_chain(places: tuple[AnyPlace, ...], expected: str) -> None:
    assert of(*places) == expected


def test_what_is_replaced_is_removed_and_what_replaces_it_is_installed() -> None:
    old = Item("old-arm", "arm", (FOUND, GONE), name="old arm")
    new = Item("arm", "arm", (LATER,), name="arm", replaces="old-arm")
    made = job(old, new)
    assert (fate(made, old), fate(made, new)) == ("remove", "install")


def test_an_old_pole_that_stays_and_a_new_one_beside_it() -> None:
    made = job()
    assert (fate(made, OLD), fate(made, NEW)) == ("stays", "install")


def test_a_pole_set_anew_in_another_place_is_moved() -> None:
    there = Standing(when="after", east_in=36.0)
    pole = Item("pole", "pole", (Standing(when="found"), there), pole=PoleFacts())
    assert fate(job(pole), pole) == "move"


def riding(*arm_places: AnyPlace) -> tuple[Job, Item, Wire]:
    """An arm with a pin and a wire on it; nobody says of these but 'as before'."""
    pin = Item("pin", "insulator", (OnArm(when="found", host="arm"), SAME), name="pin")
    wire = Wire("wire", "main", "A", "east", (OnItem(when="found", host="pin"), SAME))
    made = job(Item("arm", "arm", arm_places, name="arm"), pin, wire)
    return made, pin, wire


def test_what_rides_on_an_arm_to_the_new_pole_is_transferred_with_it() -> None:
    made, pin, wire = riding(FOUND, LATER)
    assert (fate(made, pin), fate(made, wire)) == ("transfer", "transfer")


def test_what_rides_on_an_arm_that_stays_stays() -> None:
    made, pin, wire = riding(FOUND, SAME)
    assert (fate(made, pin), fate(made, wire)) == ("stays", "stays")


def test_a_wire_on_a_new_insulator_of_the_same_pole_is_moved() -> None:
    wire = Wire(
        "wire",
        "main",
        "A",
        "east",
        (OnItem(when="found", host="pin"), OnItem(when="after", host="new-pin")),
    )
    pins = (
        Item("pin", "insulator", (FOUND, GONE), name="pin"),
        Item("new-pin", "insulator", (LOWER,), name="new pin"),
    )
    assert fate(job(*pins, wire), wire) == "move"


@pytest.mark.parametrize(
    ("places", "expected"),
    [
        ((JoinPlace("found", "through"), JoinPlace("after", "through")), "stays"),
        ((JoinPlace("found", "through"), JoinPlace("after", "jumper")), "stays"),
        ((JoinPlace("found", "tap"), JoinPlace("after", "open")), "remove"),
        ((JoinPlace("after", "jumper"),), "install"),
        ((JoinPlace("found", "tap"), JoinPlace("after", "tap", by="others")), "by others"),
        ((JoinPlace("found", "tap"),), "undecided"),
        ((JoinPlace("found", "tap"), JoinPlace("temporary", "open")), "undecided"),
        ((JoinPlace("temporary", "bypass"),), "temporary"),
        ((JoinPlace("temporary", "bypass"), JoinPlace("temporary", "open")), "temporary"),
    ],
)
def test_joins_have_fates_too(places: tuple[JoinPlace, ...], expected: str) -> None:
    join = Join("join", "old", "new", places)
    assert fate(job(join), join) == expected


def test_a_bypass_that_is_made_and_opened_again_was_only_temporary() -> None:
    join = Join(
        "join", "old", "new", (JoinPlace("temporary", "bypass"), JoinPlace("after", "open"))
    )
    assert fate(job(join), join) == "temporary"
