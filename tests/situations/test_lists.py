"""Lists the estimator orders by: what does not close, what may be taken instead, what it weighs."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Job, Listed, Settings
from framer.model.place import OnPole, Removed, Standing, Undecided
from framer.sheets.estimate import total_rows
from framer.stock.part import Bore
from framer.takeoff.bores import bolt_length
from framer.takeoff.completeness import balances, gate
from framer.takeoff.drilling import drill_list
from framer.takeoff.estimate import Labour, estimate
from framer.takeoff.listing import material_list
from framer.takeoff.materials import materials
from framer.takeoff.prices import Price, Prices
from framer.takeoff.row import MaterialRow
from framer.takeoff.substitutes import instead, substitutes
from framer.units.figures import pounds
from tests.build import arm, job, pole

DOUBLE = "double-arm-10ft-4pin"


# A42: the hardware of a double arm closes.


def rows(**counts: float) -> list[MaterialRow]:
    names = {
        "bolts": "Double-arming bolt 5/8 in x 20 in",
        "nuts": "square nut 5/8 in",
        "washers": "square washer 2-1/4 in",
    }
    return [
        MaterialRow("Hardware", names[key], "", "install", many, "ea", "typed")
        for key, many in counts.items()
    ]


def test_a42_three_bolts_with_twelve_nuts_and_twelve_washers_close() -> None:
    """Four of each a double-arming bolt: UFGS-16370A p. 35, read."""
    assert list(balances(rows(bolts=3, nuts=12, washers=12))) == []


def test_a42_a_list_with_six_nuts_fails() -> None:
    (problem,) = balances(rows(bolts=3, nuts=6, washers=12))
    assert problem.startswith("does not balance: 6 square nut 5/8 in, at least 12 needed: ")
    assert "UFGS-16370A" in problem


def test_a42_a_list_with_one_washer_short_fails() -> None:
    (problem,) = balances(rows(bolts=3, nuts=12, washers=11))
    assert problem.startswith("does not balance: 11 square washer, at least 12 needed: ")


def test_a42_the_list_of_a_framed_double_arm_closes() -> None:
    made = job(*pole(50), arm("arm", 540.0, part=DOUBLE))
    listed = materials(made)
    assert list(balances(listed)) == []
    short = [
        MaterialRow(**{**{key: getattr(row, key) for key in MaterialRow.__slots__}, "quantity": 6})
        if row.name == "square nut 5/8 in"
        else row
        for row in listed
    ]
    assert any("6 square nut 5/8 in" in problem for problem in balances(short))


# A44: a substitute within the thread limit.


MACHINE = Bore()
# thumb rule: 8.79 + 3.75 + 2 = 14.54
NEED = bolt_length(8.79, 3.75, 0.5, MACHINE, "thumb")


def test_a44_16_in_is_right_and_18_in_is_past_the_limit() -> None:
    assert (NEED.needed_in, NEED.stock_in) == (pytest.approx(14.54), 16)
    said = {one.length_in: one for one in substitutes(NEED, MACHINE, 2.5)}
    assert 16 not in said
    assert said[18].past_in == pytest.approx(3.46)
    assert said[18].words == "18 in leaves 3.46 in: rejected, limit 2.5 in"
    assert instead(NEED, MACHINE, 2.5) == (
        "none on hand: 18 in leaves 3.46 in: rejected, limit 2.5 in; order 16 in, or washers or a "
        "spacer as the crew allows; never a shorter bolt"
    )


def test_a44_a_crew_that_takes_3_5_in_may_have_18_in() -> None:
    assert instead(NEED, MACHINE, 3.5) == "none on hand: 18 in leaves 3.46 in: within the limit"


def test_a44_at_the_limit_it_may_and_a_hair_below_not() -> None:
    assert "within the limit" in instead(NEED, MACHINE, 3.46)
    assert "rejected, limit 3.45 in" in instead(NEED, MACHINE, 3.45)


def test_a44_a_shorter_bolt_is_never_taken() -> None:
    said = {one.length_in: one for one in substitutes(NEED, MACHINE, 100.0)}
    for length in (6, 8, 10, 12, 14):
        assert "never a shorter bolt" in said[length].rejected
    assert not said[18].rejected


def test_a44_without_a_limit_nobody_can_say() -> None:
    assert "cannot say, nobody has said how far a bolt may reach past" in instead(
        NEED, MACHINE, None
    )


def test_a44_a_bolt_with_no_thread_where_the_nut_goes_is_rejected() -> None:
    """6 in of thread from 10 in on, memory: a nut 13.41 in from the head of a 24-in bolt."""
    said = {one.length_in: one for one in substitutes(NEED, MACHINE, 100.0)}
    # pole 8.79 - gain 0.5 + arm 3.75 + washers 0.375 = 12.415; thread of 24 in begins at 18
    assert said[24].rejected.startswith("the nut comes 12.41 in from the head")


def test_a44_the_list_says_so_beside_a_bolt_that_is_out_of_stock() -> None:
    made = job(
        *pole(50, dia_in=8.79), arm("arm", 540.0),
        settings=Settings(bolt_rule="thumb", most_past_in=2.5),
    )  # fmt: skip
    none = Prices("p.csv", (Price("Machine bolt 5/8 in x 16 in", on_hand=0.0, row=2),))
    (line,) = (one for one in material_list(made, none).lines if one.group == "Bolts")
    assert line.notes[0] == "0 on hand, 1 needed"
    assert line.notes[1].startswith("arm: none on hand: 18 in leaves 3.46 in: rejected, limit 2.5")
    enough = Prices("p.csv", (Price("Machine bolt 5/8 in x 16 in", on_hand=1.0, row=2),))
    (line,) = (one for one in material_list(made, enough).lines if one.group == "Bolts")
    assert line.notes == ()


# A45: every surveyed item has a fate.


FOUND = OnPole(when="found", host="old", at_in=300.0)
AFTER = OnPole(when="after", host="new", at_in=310.0)
GONE = Removed(when="after")


def surveyed(transfer: int, retire: int, others: int, *more: Item) -> Job:
    """So many things found, of each fate, and one pole to either side."""
    chains = [
        *[("t", (FOUND, AFTER))] * transfer,
        *[("r", (FOUND, GONE))] * retire,
        *[("o", (FOUND, replace(AFTER, by="others")))] * others,
    ]
    things = [
        Item(f"{key}-{number}", "attachment", chain, "comm-clamp")
        for number, (key, chain) in enumerate(chains)
    ]
    old = Item("old", "pole", (Standing(when="found"), GONE), name="Old pole", pole=PoleFacts())
    return job(*pole(45, key="new", east_in=24.0), old, *things, *more)


def test_a45_23_items_one_undecided_cannot_issue() -> None:
    """The old pole is one of the five that retire."""
    lamp = Item("lamp", "lamp", (FOUND, Undecided(when="after")), "lamp-arm-6ft", "street lamp")
    made = surveyed(14, 4, 3, lamp)
    said = gate(made, materials(made))
    assert said.surveyed == 23
    assert (said.counted["transfer"], said.counted["remove"], said.counted["by others"]) == (
        14, 5, 3,
    )  # fmt: skip
    assert said.open[0] == "1 item undecided: street lamp"
    assert said.words.endswith("22 of 23 decided")


def test_a45_when_the_lamp_is_decided_the_count_closes() -> None:
    lamp = Item("lamp", "lamp", (FOUND, AFTER), "lamp-arm-6ft", "street lamp")
    made = surveyed(14, 4, 3, lamp)
    said = gate(made, materials(made))
    assert not any("undecided" in words for words in said.open)
    assert sum(said.counted.values()) == said.surveyed == 23


def test_a45_the_fates_of_what_was_surveyed_always_add_up_to_it() -> None:
    for transfer in range(3):
        for others in range(3):
            made = surveyed(transfer, 1, others)
            said = gate(made, materials(made))
            assert sum(said.counted.values()) == said.surveyed == transfer + others + 2


# Sizes that are not known.


def test_a_size_that_is_not_known_keeps_the_list_from_being_issued() -> None:
    bare = Item("pole", "pole", (Standing(when="after"),), name="New pole", pole=PoleFacts())
    said = gate(made := job(bare, arm("arm", 440.0)), materials(made))
    assert "size or number not known: 1 ea Machine bolt 5/8 in, length unresolved" in said.open


def test_a_number_that_is_not_known_is_answered_by_a_typed_line() -> None:
    riser = Item(
        "riser", "riser",
        (OnPole(when="after", host="pole", at_in=0.0, to_in=300.0),), "riser-4in",
    )  # fmt: skip
    made = job(*pole(45), riser)
    words = "size or number not known: 1 set riser straps or brackets and weather head"
    assert words in gate(made, materials(made)).open
    name = "riser straps or brackets and weather head"
    typed = replace(made, listed=(Listed(name, 6.0, "ea", why="one a section"),))
    assert words not in gate(typed, materials(typed)).open
    (row,) = (row for row in materials(typed) if row.name == name)
    assert (row.quantity, row.unresolved, row.group) == (6.0, False, "Typed")
    none = replace(made, listed=(Listed(name, 0.0),))
    assert words not in gate(none, materials(none)).open
    assert not any(row.name == name for row in materials(none))


def test_tags_and_signs_are_asked_for_until_they_are_typed() -> None:
    made = job(*pole(45))
    assert [re.sub(" not typed.*", "", words) for words in gate(made, materials(made)).asks] == [
        "pole tag and signs of pole"
    ]
    typed = replace(made, listed=(Listed("pole tag and signs", 1.0),))
    assert gate(typed, materials(typed)).asks == ()


# A55: the weight on the list.


def test_the_list_weighs_arm_and_pins() -> None:
    # own: stock gives 61.9 lb for the heaviest 10-ft arm and 10 lb for a pin insulator with its pin
    from framer.model.place import OnArm

    pins = [
        Item(f"pin-{along:g}", "insulator", (OnArm(when="after", host="arm", along_in=along),),
             "pin-55-5-25kv")
        for along in (-54.0, 18.0, 54.0)
    ]  # fmt: skip
    lines = material_list(job(*pole(45), arm("arm", 440.0), *pins)).lines
    weights = {line.name: line.weight_lb for line in lines}
    assert weights["Wood arm 10 ft, 4 pins"] == 61.9
    assert weights["Pin insulator 55-5 on arm pin, 25 kV"] == 30.0


def test_a_pole_weighs_what_the_truck_carries_uncut_and_says_how_it_is_known() -> None:
    # own: 45 ft of 10 in: 540 x 78.54 / 1,728 = 24.544 ft3; Southern pine at 60.5 lb/ft3: 1,484.9
    timber = PoleFacts(540.0, "3", "Southern pine")
    for cut_in in (0.0, 54.0):
        item, *girths = pole(45, cut_in=cut_in)
        (line, *_) = material_list(job(replace(item, pole=timber), *girths)).lines
        assert line.weight_lb == pytest.approx(1484.9, abs=0.1)
        assert "45 ft of 10.0 to 10.0 in at 60.5 lb/ft3" in line.why


def test_a_pole_that_is_taken_down_weighs_what_stood_there_and_one_that_stays_nothing() -> None:
    # own: found with 9 ft cut off, 36 ft are there: 432 x 78.54 / 1,728 x 60.5 = 1,187.9
    timber = PoleFacts(540.0, "3", "Southern pine")
    item, *girths = pole(45, when="found", cut_in=108.0, depth_in=78.0)
    gone = replace(item, pole=timber, places=(*item.places, Removed(when="after")))
    (line, *_) = material_list(job(gone, *girths)).lines
    assert line.section == "returns and salvage"
    assert line.weight_lb == pytest.approx(1187.9, abs=0.1)
    (stays, *_) = material_list(job(replace(item, pole=timber), *girths)).lines
    assert stays.weight_lb is None


def test_a_pole_that_stands_only_for_a_while_is_weighed_as_a_new_one() -> None:
    item, *girths = pole(45, when="temporary")
    timber = replace(item, pole=PoleFacts(540.0, "3", "Southern pine"))
    (line, *_) = material_list(job(timber, *girths)).lines
    assert line.section == "temporary gear"
    assert line.weight_lb == pytest.approx(1484.9, abs=0.1)


def test_a_pole_of_the_least_girths_of_its_class_weighs_at_least_that_in_line_and_total() -> None:
    facts = PoleFacts(540.0, "3", "Southern pine")
    made = job(Item("pole", "pole", (Standing(when="after"),), pole=facts))
    listed = material_list(made)
    (line,) = listed.lines
    least = "least girths of the class: a real pole is heavier"
    assert line.weight_lb is not None
    assert (line.at_least, listed.at_least) == (least, least)
    assert f"weight: {least}" in line.notes
    total = next(
        one for one in total_rows(estimate(listed, Labour())) if one[0].startswith("weight")
    )
    assert total[1] == pounds(line.weight_lb)[0]
    assert total[3] == f"at least: {least}"
    # the store's own weight is that of its pole
    weighed = material_list(made, Prices("store.csv", (Price(line.name, weight_lb=1600.0),)))
    assert (weighed.weight_lb, weighed.at_least) == ((1600.0, 0), "")
    assert f"weight: {least}" not in weighed.lines[0].notes


def test_a_bolt_on_the_list_is_as_far_below_the_top_as_on_the_drill_list() -> None:
    # own: 524.03 in from the butt of 538.97 in is 524 from the butt and 539 in all: 15 below the
    # top, where 14.94 by itself is 14 15/16
    made = job(*pole(45, cut_in=1.03, depth_in=78.0), arm("arm", 446.03))
    (row,) = drill_list(place(made, "framed"), "pole").rows
    bolt = next(one for one in materials(made) if one.group == "Bolts")
    assert row.top_in == 15.0
    assert "at 1 ft 3 in below top" in bolt.why


def test_a_pole_of_unknown_wood_has_no_weight_and_one_that_was_weighed_has_that() -> None:
    bare, *girths = pole(45)
    (line, *_) = material_list(job(bare, *girths)).lines
    assert line.weight_lb is None
    (tagged, *_) = material_list(job(replace(bare, weight_lb=1500.0), *girths)).lines
    assert tagged.weight_lb == 1500.0
    assert "as weighed or tagged" in tagged.why


# Wire with waste.


@pytest.mark.parametrize(("waste", "feet"), [(0.0, 150), (5.0, 158), (10.0, 165)])
def test_new_wire_is_ordered_with_the_waste_that_was_set(waste: float, feet: int) -> None:
    # 1,795 in are 149.58 ft: 150; 157.06: 158; 164.54: 165
    from framer.model.line import Circuit, Span, Wire
    from framer.model.place import OnItem

    spool = Item("spool", "insulator", (OnPole(when="after", host="pole", at_in=300.0),),
                 "spool-53-2")  # fmt: skip
    wire = Wire("w", "c", "N", "n", (OnItem(when="after", host="spool"),), "acsr-raven-1-0")
    made = job(
        Circuit("c", "C"), Span("n", "N", 0.0, 1795.0), *pole(45), spool, wire,
        settings=Settings(wire_waste_percent=waste),
    )  # fmt: skip
    (row,) = (row for row in materials(made) if row.group == "Wires")
    assert (row.quantity, row.unit) == (feet, "ft")
    assert ("waste" in row.why) == (waste > 0)
