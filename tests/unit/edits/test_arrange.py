"""Moving, mirroring and deleting several things, and what makes a level."""

from __future__ import annotations

import pytest

from framer.edits.arrange import (
    carrier,
    deleted,
    level_of,
    mirrored,
    moved_along,
    moved_up,
    movers,
)
from framer.errors import EditError
from framer.geometry.placing import place
from framer.model.item import Item
from framer.model.job import Job
from framer.model.line import Circuit, Span
from framer.model.place import OnArm, OnItem, OnPole
from framer.model.stage import place_at
from tests.build import arm, job, on_arm, pole, wire

RISER = OnPole(when="after", host="pole", at_in=0.0, to_in=200.0)


def framed() -> Job:
    """A line arm with two pins, a wire and a brace; a buck arm a foot lower, a spool beside it."""
    brace = Item("brace", "brace", (OnItem(when="after", host="arm"),), "brace-angle-60in")
    spool = OnPole(when="after", host="pole", at_in=388.5, azimuth_deg=90.0)
    return job(
        Circuit("main", "Mill 3"),
        Span("north", "N", 0.0, 1_800.0),
        *pole(),
        arm("arm", 400.0),
        on_arm("pin-a", "arm", -54.0),
        on_arm("pin-b", "arm", 18.0),
        wire("wire-a", "main", "north", "pin-a"),
        brace,
        arm("buck", 96.0, hold="drop", faces_deg=270.0),
        Item("spool", "insulator", (spool,), "spool-53-2"),
        Item("riser", "riser", (RISER,), "riser-2in"),
    )


def up(made: Job, key: str) -> float:
    return place(made, "framed").parts_of[key][0].up_in


def along(made: Job, key: str) -> float:
    where = place_at(made, made.item_by_id[key], "framed")
    assert isinstance(where, OnArm)
    return where.along_in


def test_a_wire_and_a_brace_are_moved_by_what_they_rest_on() -> None:
    made = framed()
    assert carrier(made, "wire-a") == "pin-a"
    assert carrier(made, "brace") == "arm"
    assert movers(made, ["wire-a", "pin-a", "pin-b"]) == ("pin-a", "pin-b")


def test_a_pin_goes_with_its_arm_and_is_not_moved_twice() -> None:
    assert movers(framed(), ["pin-a", "arm", "buck", "brace"]) == ("arm", "buck")


def test_several_things_move_up_and_down_by_the_same_whatever_holds_them() -> None:
    before = framed()
    after = moved_up(before, ["arm", "buck", "spool"], -7.5)
    for key in ("arm", "buck", "spool", "pin-a"):
        assert up(after, key) == pytest.approx(up(before, key) - 7.5)
    held = [place_at(after, after.item_by_id[key], "framed") for key in ("arm", "buck")]
    assert [one.hold for one in held if isinstance(one, OnPole)] == ["height", "drop"]


@pytest.mark.parametrize(
    ("key", "by", "why"),
    [
        ("arm", 2_000.0, "above the top of pole"),
        ("spool", -500.0, "below the ground line"),
        ("pin-a", 1.0, "pin-a is not fixed to a pole"),
        ("riser", 1.0, "runs along the pole"),
    ],
)
def test_what_cannot_be_moved_up_stops_all_of_it(key: str, by: float, why: str) -> None:
    with pytest.raises(EditError, match=why):
        moved_up(framed(), ["buck", key], by)


def test_things_on_arms_move_each_by_its_own() -> None:
    made = moved_along(framed(), {"pin-a": 4.0, "pin-b": -4.0})
    assert (along(made, "pin-a"), along(made, "pin-b")) == (-50.0, 14.0)
    with pytest.raises(EditError, match="arm is not on an arm"):
        moved_along(framed(), {"arm": 1.0})


def test_a_pin_is_mirrored_to_the_other_side_of_its_arm() -> None:
    assert along(mirrored(framed(), ["pin-a"]), "pin-a") == 54.0


def test_an_arm_is_mirrored_to_the_opposite_face_and_its_pins_stay_east_and_west() -> None:
    before = framed()
    made = mirrored(before, ["arm"])
    where = place_at(made, made.item_by_id["arm"], "framed")
    assert isinstance(where, OnPole)
    assert where.azimuth_deg == 180.0
    for key in ("pin-a", "pin-b"):
        east = [place(one, "framed").parts_of[key][0].shape for one in (before, made)]
        xs = [shape.p[0] for shape in east if shape is not None]
        assert xs[0] == pytest.approx(xs[1])


def test_mirroring_twice_gives_the_same_job() -> None:
    keys = ["pin-b", "spool", "buck"]
    assert mirrored(mirrored(framed(), keys), keys) == framed()


def test_a_taken_place_is_not_mirrored_into_but_two_things_change_places() -> None:
    made = moved_along(framed(), {"pin-b": 36.0})
    with pytest.raises(EditError, match="pin-b is there already"):
        mirrored(made, ["pin-a"])
    swapped = mirrored(made, ["pin-a", "pin-b"])
    assert (along(swapped, "pin-a"), along(swapped, "pin-b")) == (54.0, -54.0)


def test_a_pole_has_no_other_side() -> None:
    with pytest.raises(EditError, match="pole has no other side"):
        mirrored(framed(), ["pole"])


def test_several_things_are_deleted_in_one_edit_even_if_one_carries_another() -> None:
    made = deleted(framed(), ["arm", "pin-a", "spool"])
    assert {item.id for item in made.items} == {"pole", "buck", "riser"}
    assert "wire-a" in made.wire_by_id
    with pytest.raises(EditError, match="part of the survey"):
        deleted(framed(), ["spool", "nobody"])


def test_a_level_is_everything_at_one_height_with_what_it_carries() -> None:
    made = framed()
    assert set(level_of(made, "pin-a")) == {"arm", "pin-a", "pin-b", "brace"}
    assert set(level_of(made, "wire-a")) == {"arm", "pin-a", "pin-b", "brace"}
    assert level_of(made, "pole") == ("pole",)


def test_things_within_an_inch_are_one_level() -> None:
    made = moved_up(framed(), ["spool"], up(framed(), "buck") - up(framed(), "spool") + 0.75)
    assert set(level_of(made, "buck")) == {"buck", "spool"}
    apart = moved_up(made, ["spool"], 0.5)
    assert level_of(apart, "buck") == ("buck",)
