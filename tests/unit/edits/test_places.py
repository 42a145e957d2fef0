"""Edits of where things are: a new job each time, the old one as it was, or a refusal.

The new pole is 45 ft long and 78 in deep, so its top is 462 in up; it is 10 in thick all the way.
"""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from framer.edits import places
from framer.edits.places import EditStage
from framer.errors import EditError
from framer.geometry.placing import place
from framer.geometry.scene import Box, Run, Scene, Tube
from framer.model.faults import faults
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, Join, JoinPlace, Span, Wire
from framer.model.place import (
    AnyPlace,
    Guyed,
    Hold,
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
from framer.model.stage import fate, is_undecided, place_at
from tests.build import job, pole

FOUND_ON_OLD = OnPole(when="found", host="old", at_in=400.0, azimuth_deg=90.0)
LATER = Same(when="after")


def arm(key: str, *chain: AnyPlace) -> Item:
    return Item(key, "arm", chain, "arm-10ft-4pin", name=key.title())


def made(*things: Item | Wire | Join | Reading) -> Job:
    """An old pole, a new one 24 in east on ground 6 in lower, and these things."""
    return job(
        Circuit("main", "Main"),
        Span("north", "N", 0.0, 1800.0),
        *pole(45, key="old", when="found", depth_in=78.0),
        *pole(45, key="new", east_in=24.0, grade_in=-6.0, depth_in=78.0),
        *things,
    )


def where(changed: Job, key: str, stage: EditStage = "framed") -> AnyPlace | None:
    thing = changed.item_by_id.get(key) or changed.wire_by_id[key]
    return place_at(changed, thing, stage)


def spot(changed: Job, key: str, stage: EditStage = "framed") -> tuple[float, float, float]:
    """The middle of a thing's first part, where it has a shape."""
    shape = place(changed, stage).part_by_key[key].shape
    if isinstance(shape, Box):
        return shape.centre
    assert isinstance(shape, Tube | Run)
    return shape.p


def at(*numbers: float) -> Any:
    return pytest.approx(numbers, abs=1e-6)


NEW_ARM = arm("arm", OnPole(when="after", host="new", at_in=440.0))
FOUND_ARM = arm("arm", FOUND_ON_OLD)


# Whole places.


def test_setting_the_place_framed_ends_the_chain_and_leaves_the_rest() -> None:
    away = replace(FOUND_ON_OLD, when="temporary", at_in=440.0)
    built = replace(FOUND_ON_OLD, when="built", at_in=402.0)
    before = made(arm("arm", FOUND_ON_OLD, away, replace(FOUND_ON_OLD, when="after"), built))
    goal = OnPole(when="after", host="new", at_in=430.0)
    after = places.with_place(before, "arm", "framed", goal)
    assert after.item_by_id["arm"].places == (FOUND_ON_OLD, away, goal)
    assert before.item_by_id["arm"].places[-1] == built


def test_setting_the_place_found_leaves_what_comes_after() -> None:
    before = made(arm("arm", FOUND_ON_OLD, LATER))
    corrected = replace(FOUND_ON_OLD, at_in=396.0)
    after = places.with_place(before, "arm", "found", replace(corrected, when="after"))
    assert after.item_by_id["arm"].places == (corrected, LATER)
    assert where(after, "arm") == corrected


def test_an_edit_touches_nothing_else() -> None:
    before = made(FOUND_ARM, arm("other", FOUND_ON_OLD))
    after = places.set_fate(before, "arm", "remove")
    assert after.item_by_id["other"] is before.item_by_id["other"]
    for name in ("circuits", "spans", "wires", "readings", "settings"):
        assert getattr(after, name) is getattr(before, name)


def test_a_thing_that_is_not_there_cannot_be_edited() -> None:
    for key in ("ghost", "main", "north"):
        with pytest.raises(EditError, match=f"no item or wire '{key}'"):
            places.with_place(made(), key, "framed", LATER)


def test_wires_and_joins_are_replaced_like_items() -> None:
    wire = Wire("w", "main", "A", "north", (OnItem(when="found", host="arm"),))
    tap = Join("j", "w", "arm", (JoinPlace("found", "tap"),))
    before = made(FOUND_ARM, wire, tap)
    assert places.with_thing(before, replace(wire, sag_in=3.0)).wires[0].sag_in == 3.0
    assert places.with_thing(before, replace(tap, note="x")).joins[0].note == "x"


def test_the_place_to_change_is_the_resolved_one() -> None:
    kept = made(arm("arm", FOUND_ON_OLD, LATER))
    assert places.current_place(kept, "arm", "framed") == FOUND_ON_OLD
    assert places.current_place(made(NEW_ARM), "arm", "framed") == NEW_ARM.places[0]


def test_what_was_read_is_carried_into_a_place_that_is_changed() -> None:
    kept = made(
        arm("arm", replace(FOUND_ON_OLD, at_in=None), LATER), Reading("arm", "height", 396.0)
    )
    assert places.current_place(kept, "arm", "framed") == replace(FOUND_ON_OLD, at_in=396.0)
    # found 396 in up, so 540 - 78 - 396 = 66 in below the top
    by_drop = arm("arm", OnPole(when="found", host="old", hold="drop"), LATER)
    dropped = places.current_place(made(by_drop, Reading("arm", "height", 396.0)), "arm", "framed")
    assert dropped == OnPole(when="found", host="old", hold="drop", at_in=66.0)


@pytest.mark.parametrize(
    ("chain", "stage", "why"),
    [
        ((FOUND_ON_OLD,), "framed", "say first what becomes of Arm"),
        ((FOUND_ON_OLD, Undecided(when="after")), "framed", "say first what becomes of Arm"),
        (NEW_ARM.places, "found", "Arm has no place as found"),
    ],
)
def test_a_place_nobody_has_decided_cannot_be_changed(
    chain: tuple[AnyPlace, ...], stage: EditStage, why: str
) -> None:
    with pytest.raises(EditError, match=why):
        places.current_place(made(arm("arm", *chain)), "arm", stage)


# Along the pole.


@pytest.mark.parametrize(("hold", "value"), [("height", 430.0), ("drop", 32.0), ("butt", 508.0)])
def test_a_thing_is_moved_to_a_distance_on_any_reference(hold: Hold, value: float) -> None:
    after = places.set_along_pole(made(NEW_ARM), "arm", "framed", hold, value)
    assert where(after, "arm") == replace(NEW_ARM.places[0], at_in=430.0)
    assert spot(after, "arm") == at(24.0, 6.375, 424.0)


@pytest.mark.parametrize(("held_by", "value"), [("height", 430.0), ("drop", 32.0), ("butt", 508.0)])
def test_a_moved_thing_stays_held_by_its_own_reference(held_by: Hold, value: float) -> None:
    held = arm("arm", OnPole(when="after", host="new", at_in=5.0, hold=held_by))
    after = places.set_along_pole(made(held), "arm", "framed", "height", 430.0)
    moved = where(after, "arm")
    assert isinstance(moved, OnPole)
    assert (moved.hold, moved.at_in) == (held_by, value)


def test_a_thing_that_stays_can_be_lowered_where_it_is() -> None:
    kept = made(arm("arm", FOUND_ON_OLD, LATER))
    after = places.set_along_pole(kept, "arm", "framed", "height", 388.0)
    assert after.item_by_id["arm"].places == (
        FOUND_ON_OLD,
        replace(FOUND_ON_OLD, when="after", at_in=388.0),
    )
    assert fate(after, after.item_by_id["arm"]) == "move"


def test_a_guy_is_moved_like_an_arm() -> None:
    guyed = Guyed(when="after", host="new", lead_in=240.0, at_in=400.0)
    guy = Item("guy", "guy", (guyed,), "guy-3-8in-ehs")
    after = places.set_along_pole(made(guy), "guy", "framed", "drop", 72.0)
    assert spot(after, "guy") == at(24.0, 5.0, 384.0)


@pytest.mark.parametrize(
    ("hold", "value", "why"),
    [
        ("height", 462.1, "above the top of new"),
        ("drop", 462.1, "below the ground line"),
        ("butt", 540.1, "above the top of new"),
        ("butt", 77.9, "below the ground line"),
    ],
)
def test_nothing_is_moved_off_the_pole(hold: Hold, value: float, why: str) -> None:
    with pytest.raises(EditError, match=why):
        places.set_along_pole(made(NEW_ARM), "arm", "framed", hold, value)


@pytest.mark.parametrize(("hold", "value"), [("height", 462.0), ("drop", 0.0), ("butt", 78.0)])
def test_the_very_top_and_the_ground_line_are_still_on_the_pole(hold: Hold, value: float) -> None:
    after = places.set_along_pole(made(NEW_ARM), "arm", "framed", hold, value)
    assert spot(after, "arm")[2] == pytest.approx(0.0 - 6.0 if hold == "butt" else 456.0)


def test_a_distance_from_an_end_nobody_knows_is_refused() -> None:
    unknown = job(*pole(None, key="new"), NEW_ARM)
    for hold in ("drop", "butt"):
        with pytest.raises(EditError, match="length or setting depth of new is not known"):
            places.set_along_pole(unknown, "arm", "framed", hold, 10.0)  # type: ignore[arg-type]
    assert where(places.set_along_pole(unknown, "arm", "framed", "height", 300.0), "arm") == (
        replace(NEW_ARM.places[0], at_in=300.0)
    )


def test_what_is_not_on_a_standing_pole_is_not_moved_along_one() -> None:
    pin = Item("pin", "insulator", (OnArm(when="after", host="arm"),), "pin-55-5-25kv", name="Pin")
    with pytest.raises(EditError, match="Pin is not fixed to a pole"):
        places.set_along_pole(made(NEW_ARM, pin), "pin", "framed", "height", 400.0)
    lying = Item("new", "pole", (Lying(when="found"), LATER), pole=PoleFacts(540.0))
    with pytest.raises(EditError, match="new is not standing as framed"):
        places.set_along_pole(job(lying, NEW_ARM), "arm", "framed", "height", 400.0)


def test_what_was_read_as_found_is_not_typed_over() -> None:
    """The reading would count all the same, and the edit would do nothing."""
    read = made(FOUND_ARM, Reading("arm", "drop", 66.0))
    with pytest.raises(EditError, match="where Arm was found is a reading; correct the reading"):
        places.set_along_pole(read, "arm", "found", "height", 400.0)
    typed = places.set_along_pole(made(FOUND_ARM), "arm", "found", "height", 396.0)
    assert spot(typed, "arm", "found")[2] == pytest.approx(396.0)


# What a thing is held by.


@pytest.mark.parametrize("before", ["butt", "drop", "height"])
@pytest.mark.parametrize("after", ["butt", "drop", "height"])
def test_another_reference_holds_a_thing_at_the_spot_it_is_at(before: Hold, after: Hold) -> None:
    value = {"height": 430.0, "drop": 32.0, "butt": 508.0}
    held = arm("arm", OnPole(when="after", host="new", at_in=value[before], hold=before))
    changed = where(places.set_hold(made(held), "arm", "framed", after), "arm")
    assert changed == OnPole(when="after", host="new", at_in=value[after], hold=after)


def test_both_ends_of_a_riser_are_held_by_the_other_reference() -> None:
    riser = Item(
        "riser", "riser", (OnPole(when="after", host="new", at_in=0.0, to_in=396.0),), "riser-4in"
    )
    after = places.set_hold(made(riser), "riser", "framed", "butt")
    assert where(after, "riser") == OnPole(
        when="after", host="new", at_in=78.0, to_in=474.0, hold="butt"
    )
    before_it, after_it = (
        place(one, "framed").part_by_key["riser"] for one in (made(riser), after)
    )
    assert before_it.shape == after_it.shape


@pytest.mark.parametrize(("hold", "up_in"), [("drop", 418.0), ("height", 440.0), ("butt", 440.0)])
def test_a_thing_held_from_the_top_comes_down_when_the_pole_is_cut(
    hold: Hold, up_in: float
) -> None:
    held = places.set_hold(made(NEW_ARM), "arm", "framed", hold)
    cut = places.set_standing(held, "new", "framed", cut_in=22.0)
    assert spot(cut, "arm")[2] == pytest.approx(up_in - 6.0)


def test_a_thing_above_a_cut_top_cannot_be_held_from_it() -> None:
    high = made(arm("arm", OnPole(when="after", host="new", at_in=440.0)))
    cut = places.set_standing(high, "new", "framed", cut_in=48.0)
    with pytest.raises(EditError, match="above the top of new"):
        places.set_hold(cut, "arm", "framed", "drop")


def test_what_has_no_typed_height_or_is_on_no_pole_cannot_be_held_otherwise() -> None:
    read = made(arm("arm", replace(FOUND_ON_OLD, at_in=None)), Reading("arm", "height", 396.0))
    with pytest.raises(EditError, match="no typed height"):
        places.set_hold(read, "arm", "found", "drop")
    unknown = job(*pole(None, key="new"), NEW_ARM)
    with pytest.raises(EditError, match="length or setting depth of new is not known"):
        places.set_hold(unknown, "arm", "framed", "drop")


# Sides.


def test_an_arm_is_turned_to_another_side() -> None:
    after = places.set_azimuth(made(NEW_ARM), "arm", "framed", 270.0)
    assert spot(after, "arm") == at(24.0 - 6.375, 0.0, 434.0)


def test_a_direction_is_kept_within_one_turn() -> None:
    turned = where(places.set_azimuth(made(NEW_ARM), "arm", "framed", 450.0), "arm")
    assert isinstance(turned, OnPole)
    assert turned.azimuth_deg == 90.0


def pins(*chain: AnyPlace) -> tuple[Item, ...]:
    """Two pins that go through these places, at 54 in on the one side and 18 on the other."""

    def along(at_in: float) -> Item:
        own = tuple(
            replace(one, along_in=at_in) if isinstance(one, OnArm) else one for one in chain
        )
        return Item(f"pin-{at_in:g}", "insulator", own, "pin-55-5-25kv")

    return along(-54.0), along(18.0)


ON_ARM = OnArm(when="after", host="arm")


def test_pins_of_an_arm_on_the_opposite_face_stay_on_their_side_of_the_pole() -> None:
    before = made(NEW_ARM, *pins(ON_ARM))
    after = places.set_azimuth(before, "arm", "framed", 180.0)
    assert spot(after, "arm") == at(24.0, -6.375, 434.0)
    for key in ("pin--54", "pin-18"):
        assert spot(after, key)[0] == pytest.approx(spot(before, key)[0])


def test_pins_of_an_arm_that_is_turned_aside_turn_with_it() -> None:
    after = places.set_azimuth(made(NEW_ARM, *pins(ON_ARM)), "arm", "framed", 90.0)
    # the positive end of an arm that faces east is south
    assert spot(after, "pin-18") == at(24.0 + 6.375, -18.0, 434.0 + 2.375)


def test_turning_an_arm_decides_nothing_about_what_sits_on_it() -> None:
    found = replace(ON_ARM, when="found")
    kept = made(arm("arm", FOUND_ON_OLD, LATER), *pins(found))
    after = places.set_azimuth(kept, "arm", "framed", 270.0)
    assert all(is_undecided(after.item_by_id[key]) for key in ("pin--54", "pin-18"))


def test_turning_what_stays_where_it_was_read_keeps_it_at_that_height() -> None:
    chain = (replace(FOUND_ON_OLD, at_in=None), LATER)
    kept = made(arm("arm", *chain), Reading("arm", "height", 396.0))
    after = places.set_azimuth(kept, "arm", "framed", 0.0)
    assert list(faults(after)) == []
    assert spot(after, "arm") == at(0.0, 6.375, 396.0)


def test_turning_what_stays_at_a_height_nobody_knows_is_refused() -> None:
    kept = made(arm("arm", replace(FOUND_ON_OLD, at_in=None), LATER))
    with pytest.raises(EditError, match="the height of Arm is not known"):
        places.set_azimuth(kept, "arm", "framed", 0.0)
    # but it can be given one
    after = places.set_along_pole(kept, "arm", "framed", "height", 380.0)
    assert spot(after, "arm")[2] == pytest.approx(380.0)


def test_what_is_on_no_pole_has_no_side() -> None:
    with pytest.raises(EditError, match="not fixed to a pole"):
        places.set_azimuth(made(NEW_ARM, *pins(ON_ARM)), "pin-18", "framed", 0.0)


# Along the arm, and supports.


def test_a_pin_is_moved_along_its_arm() -> None:
    after = places.set_along_arm(made(NEW_ARM, *pins(ON_ARM)), "pin-18", "framed", 54.0)
    assert where(after, "pin-18") == replace(ON_ARM, along_in=54.0)
    with pytest.raises(EditError, match="Arm is not on an arm"):
        places.set_along_arm(after, "arm", "framed", 0.0)


WIRE = Wire("w", "main", "A", "north", (OnItem(when="found", host="pin--54"),))


def test_a_wire_is_laid_on_another_support_in_either_stage() -> None:
    before = made(NEW_ARM, *pins(ON_ARM), WIRE)
    framed = places.set_support(before, "w", "framed", "pin-18")
    assert framed.wires[0].places == (WIRE.places[0], OnItem(when="after", host="pin-18"))
    found = places.set_support(framed, "w", "found", "pin-18", position=2)
    assert found.wires[0].places[0] == OnItem(when="found", host="pin-18", position=2)
    assert found.wires[0].places[1:] == framed.wires[0].places[1:]


def test_a_support_and_a_wire_must_be_there() -> None:
    before = made(NEW_ARM, *pins(ON_ARM), WIRE)
    for wire, support in (("w", "ghost"), ("ghost", "pin-18"), ("arm", "pin-18"), ("w", "w")):
        with pytest.raises(EditError, match="there is no wire"):
            places.set_support(before, wire, "framed", support)


# Poles.


def test_a_pole_stands_otherwise() -> None:
    after = places.set_standing(made(), "new", "framed", cut_in=54.0, rake_in_per_10ft=2.0)
    standing = where(after, "new")
    assert isinstance(standing, Standing)
    assert (standing.cut_in, standing.depth_in, standing.rake_in_per_10ft) == (54.0, 78.0, 2.0)


def test_an_old_pole_that_is_topped_stays_as_deep_as_it_is() -> None:
    old = Item("old", "pole", (Standing(when="found"), LATER), pole=PoleFacts(540.0))
    kept = job(old, Reading("old", "depth", 62.0))
    topped = places.set_standing(kept, "old", "framed", cut_in=48.0)
    assert place(topped, "framed").poles["old"].top_up_in == pytest.approx(430.0)
    assert place(topped, "found").poles["old"].top_up_in == pytest.approx(478.0)


@pytest.mark.parametrize(
    "changes",
    [
        {"cut_in": 462.0},
        {"depth_in": 540.0},
        {"depth_in": 300.0, "cut_in": 240.0},
        {"depth_in": None, "cut_in": 462.0},
        {"depth_in": None, "cut_in": 600.0},
    ],
)
def test_something_of_a_pole_must_be_above_ground(changes: dict[str, Any]) -> None:
    """By the rule a 45-ft pole is 6.5 ft deep: with 38.5 ft cut off nothing is left."""
    with pytest.raises(EditError, match="nothing of new would be above ground"):
        places.set_standing(made(), "new", "framed", **changes)


@pytest.mark.parametrize("changes", [{"cut_in": -1.0}, {"depth_in": -0.1}])
def test_depth_and_cut_are_no_negative_lengths(changes: dict[str, Any]) -> None:
    with pytest.raises(EditError, match="cannot be negative"):
        places.set_standing(made(), "new", "framed", **changes)


def test_only_a_standing_pole_stands() -> None:
    gone = Item("old", "pole", (Standing(when="found"), Removed(when="after")), pole=PoleFacts())
    for broken, key in ((job(gone), "old"), (made(NEW_ARM), "arm")):
        with pytest.raises(EditError, match="is no standing pole"):
            places.set_standing(broken, key, "framed", cut_in=1.0)


def test_facts_of_a_pole_are_changed() -> None:
    after = places.set_pole(made(), "new", length_in=600.0, pole_class="3")
    assert after.item_by_id["new"].pole == PoleFacts(600.0, "3")
    with pytest.raises(EditError, match="Arm is no pole"):
        places.set_pole(made(NEW_ARM), "arm", length_in=600.0)


def test_a_pole_is_not_made_shorter_than_what_is_in_the_ground_and_cut_off() -> None:
    cut = places.set_standing(made(), "new", "framed", cut_in=54.0)
    assert places.set_pole(cut, "new", length_in=132.1).item_by_id["new"].pole == PoleFacts(132.1)
    with pytest.raises(EditError, match="nothing of new would be above ground"):
        places.set_pole(cut, "new", length_in=132.0)


# Fates.


@pytest.mark.parametrize(
    ("chosen", "fate_of_it"),
    [
        ("stays", "stays"),
        ("remove", "remove"),
        ("by others", "by others"),
        ("undecided", "undecided"),
    ],
)
def test_a_fate_is_decided_and_decided_again(chosen: Any, fate_of_it: str) -> None:
    before = made(arm("arm", FOUND_ON_OLD, OnPole(when="after", host="new", at_in=430.0)))
    for start in (made(FOUND_ARM), before):
        after = places.set_fate(start, "arm", chosen)
        assert fate(after, after.item_by_id["arm"]) == fate_of_it
        assert after.item_by_id["arm"].places[0] == FOUND_ON_OLD


def test_only_what_was_found_has_a_fate_to_decide() -> None:
    with pytest.raises(EditError, match="Arm was not found here; delete it instead"):
        places.set_fate(made(NEW_ARM), "arm", "remove")


# Transfers.


def test_a_thing_goes_over_at_the_height_and_side_it_has() -> None:
    # 400 in over the old ground; the new ground is 6 in lower: 406 over that
    after = places.transfer(made(FOUND_ARM), "arm", "new")
    assert where(after, "arm") == OnPole(
        when="after", host="new", at_in=406.0, azimuth_deg=90.0, hold="height"
    )
    assert spot(after, "arm") == at(24.0 + 6.375, 0.0, 400.0)
    assert fate(after, after.item_by_id["arm"]) == "transfer"


@pytest.mark.parametrize(
    ("found", "reading"),
    [
        (replace(FOUND_ON_OLD, at_in=62.0, hold="drop"), None),
        (replace(FOUND_ON_OLD, at_in=478.0, hold="butt"), None),
        (replace(FOUND_ON_OLD, at_in=None), Reading("arm", "height", 400.0)),
        (replace(FOUND_ON_OLD, at_in=300.0), Reading("arm", "drop", 62.0)),
    ],
)
def test_a_thing_goes_over_at_its_height_however_that_is_known(
    found: OnPole, reading: Reading | None
) -> None:
    before = made(arm("arm", found), *([reading] if reading else []))
    assert spot(places.transfer(before, "arm", "new"), "arm")[2] == pytest.approx(400.0)


def test_a_guy_goes_over_with_its_lead() -> None:
    guyed = Guyed(when="found", host="old", lead_in=240.0, at_in=380.0, azimuth_deg=270.0)
    guy = Item("guy", "guy", (guyed,), "guy-3-8in-ehs")
    after = where(places.transfer(made(guy), "guy", "new"), "guy")
    assert after == replace(guyed, when="after", host="new", at_in=386.0)


def test_both_ends_of_a_riser_go_over() -> None:
    # found 78 and 438 in from the butt: 0 and 360 in up, 6 and 366 over the lower ground
    found = OnPole(when="found", host="old", at_in=78.0, to_in=438.0, hold="butt")
    riser = Item("riser", "riser", (found,), "riser-4in")
    after = where(places.transfer(made(riser), "riser", "new"), "riser")
    assert after == OnPole(when="after", host="new", at_in=6.0, to_in=366.0, hold="height")


def test_what_sits_on_a_transferred_arm_goes_with_it() -> None:
    found = replace(ON_ARM, when="found")
    after = places.transfer(made(FOUND_ARM, *pins(found)), "arm", "new", by="others")
    for key in ("pin--54", "pin-18"):
        assert after.item_by_id[key].places[-1] == Same(when="after", by="others")
        assert spot(after, key)[0] == pytest.approx(24.0 + 6.375)


def test_what_has_been_decided_otherwise_stays_decided() -> None:
    found = replace(ON_ARM, when="found")
    gone, open_one = pins(found, Removed(when="after"))[0], pins(found, Undecided(when="after"))[1]
    after = places.transfer(made(FOUND_ARM, gone, open_one), "arm", "new")
    assert after.item_by_id[gone.id].places == gone.places
    assert after.item_by_id[open_one.id].places[-1] == LATER


def test_what_is_on_an_arm_is_transferred_by_staying_on_it() -> None:
    found = replace(ON_ARM, when="found")
    after = places.transfer(made(FOUND_ARM, *pins(found)), "pin-18", "new")
    assert after.item_by_id["pin-18"].places == (
        replace(found, along_in=18.0),
        LATER,
    )


@pytest.mark.parametrize("pole_key", ["ghost", "arm"])
def test_a_thing_goes_over_only_to_a_standing_pole(pole_key: str) -> None:
    with pytest.raises(EditError, match="does not stand in the framed job"):
        places.transfer(made(FOUND_ARM), "arm", pole_key)


def test_a_thing_that_was_not_found_or_at_no_known_height_does_not_go_over() -> None:
    with pytest.raises(EditError, match="Arm was not found here"):
        places.transfer(made(NEW_ARM), "arm", "new")
    unknown = made(arm("arm", replace(FOUND_ON_OLD, at_in=None)))
    with pytest.raises(EditError, match="the height of Arm is not known"):
        places.transfer(unknown, "arm", "new")


def test_edits_of_a_sound_job_leave_it_sound() -> None:
    found = replace(ON_ARM, when="found")
    before = made(FOUND_ARM, *pins(found), WIRE)
    after = places.transfer(before, "arm", "new")
    after = places.set_hold(after, "arm", "framed", "drop")
    after = places.set_azimuth(after, "arm", "framed", 270.0)
    after = places.set_along_pole(after, "arm", "framed", "drop", 13.0)
    after = places.set_support(after, "w", "framed", "pin-18")
    after = places.set_standing(after, "new", "framed", cut_in=54.0)
    scene: Scene = place(after, "framed")
    assert list(faults(after)) == []
    assert scene.unplaced == ()
    assert scene.poles["new"].at("drop", scene.part_by_key["arm"].up_in) == pytest.approx(13.0)
