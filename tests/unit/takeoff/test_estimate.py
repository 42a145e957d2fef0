"""Prices, labour, the estimate and the pick list of several jobs, by numbers made up here."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from framer.files.owned import read_labour
from framer.model.item import Item
from framer.model.job import Job, Listed
from framer.model.place import OnPole, Removed
from framer.resources import resources
from framer.takeoff.estimate import Labour, LabourRow, estimate
from framer.takeoff.listing import Line, MaterialList, material_list
from framer.takeoff.prices import Price, Prices
from framer.takeoff.rollup import Rollup
from tests.build import arm, job, pole

ARM = "Wood arm 10 ft, 4 pins"
BOLT = "Machine bolt 5/8 in x 16 in"  # 10 in pole, 3.75 in arm, 2 in


def made(*more: Item) -> Job:
    return job(*pole(45), arm("arm", 440.0), *more)


def old_arm() -> Item:
    there = OnPole(when="found", host="pole", at_in=400.0)
    return Item("old", "arm", (there, Removed(when="after")), "arm-10ft-4pin")


def line(listed: MaterialList, name: str, section: str = "material") -> Line:
    (found,) = (one for one in listed.lines if (one.name, one.section) == (name, section))
    return found


def test_a_line_is_priced_by_its_name_or_its_part() -> None:
    prices = Prices(
        "p.csv",
        (
            Price("machine  BOLT 5/8 in x 16 in", "B16", "C", 250.0, 150.0, 14.0, row=2),
            Price("arm-10ft-4pin", "XA", "ea", 84.5, pays="Town", row=3),
        ),
    )
    listed = material_list(made(), prices)
    bolt = line(listed, BOLT)
    # a hundred cost 250 and weigh 150 lb
    assert (bolt.each, bolt.cost, bolt.weight_lb, bolt.lead_days) == (2.5, 2.5, 1.5, 14.0)
    assert bolt.stock_number == "B16"
    assert (line(listed, ARM).each, line(listed, ARM).pays) == (84.5, "Town")
    # what somebody else pays for is not in the cost
    assert listed.cost[0] == 2.5


def test_a_price_for_another_unit_gives_no_cost_and_says_so() -> None:
    listed = material_list(made(), Prices("p.csv", (Price(BOLT, unit="lb", cost=2.0, row=7),)))
    assert line(listed, BOLT).each is None
    assert "p.csv row 7 is per lb: no cost" in line(listed, BOLT).notes


def test_without_a_price_nothing_is_taken_for_nothing() -> None:
    listed = material_list(made())
    assert all(one.each is None and one.cost is None for one in listed.lines)
    cost, unpriced = listed.cost
    assert cost == 0.0
    assert unpriced == sum("install" in one.amounts for one in listed.lines)


def test_rows_of_the_price_file_that_nothing_uses_are_counted() -> None:
    prices = Prices("p.csv", (Price(BOLT, cost=1.0), Price("anvil", cost=1.0)))
    assert "prices by p.csv; 1 of its rows not used here" in material_list(made(), prices).notes


# Labour.


def test_hours_go_by_name_then_part_then_group() -> None:
    labour = Labour(
        "l.csv",
        (
            LabourRow("Arms and braces", "install", 9.0),
            LabourRow("arm-10ft-4pin", "install", 3.0, source="own"),
            LabourRow("Arms and braces", "remove", 1.5),
        ),
    )
    found = estimate(material_list(made(old_arm())), labour, crew=3)
    assert (found.hours["install"], found.hours["remove"]) == (3.0, 1.5)
    assert found.total_hours == 4.5
    assert found.crew_hours == 1.5
    by_name = Labour("l.csv", (*labour.rows, LabourRow(ARM, "install", 2.0)))
    assert estimate(material_list(made()), by_name).hours["install"] == 2.0


def test_what_has_no_hours_is_counted_and_never_taken_for_none() -> None:
    found = estimate(material_list(made(old_arm())), Labour())
    assert found.total_hours == 0.0
    # pole and arm to install, an arm to remove; bolts are work of what they hold
    assert found.unknown == {"install": 2, "transfer": 0, "remove": 1}
    assert not found.is_whole


def test_hours_for_another_unit_are_not_used() -> None:
    found = estimate(material_list(made()), Labour("l", (LabourRow(ARM, "install", 2.0, "ft"),)))
    (work,) = (one for one in found.work if one.line.name == ARM)
    assert work.hours is None
    assert work.words == "row 0 is per ft, the list counts ea"


def test_material_labour_and_contingency_add_up() -> None:
    prices = Prices("p.csv", (Price(ARM, cost=100.0), Price(BOLT, cost=10.0)))
    labour = Labour("l.csv", (LabourRow(ARM, "install", 4.0),))
    found = estimate(material_list(made(), prices), labour, rate=50.0, contingency_percent=10.0)
    assert found.material == 110.0
    assert found.labour_cost == 200.0
    assert found.contingency == 31.0
    assert found.total == 341.0
    assert not found.is_whole  # the pole has neither price nor hours


def test_an_estimate_is_whole_when_nothing_is_missing() -> None:
    bare = replace(job(*pole(45)), listed=(Listed("pole tag and signs", 0.0),))
    pole_facts = replace(bare.items[0].pole, pole_class="4", species="Southern pine")  # type: ignore[type-var]
    known = replace(bare, items=(replace(bare.items[0], pole=pole_facts),))
    name = "Pole, 45 ft, class 4, Southern pine"
    prices = Prices("p.csv", (Price(name, cost=700.0),))
    labour = Labour("l.csv", (LabourRow(name, "install", 10.0),))
    assert estimate(material_list(known, prices), labour, rate=1.0).is_whole
    assert not estimate(material_list(known, prices), labour).is_whole
    assert not estimate(material_list(known), labour, rate=1.0).is_whole
    assert not estimate(material_list(known, prices), Labour(), rate=1.0).is_whole


def test_salvage_is_told_apart_and_not_taken_off() -> None:
    prices = Prices("p.csv", (Price(ARM, cost=100.0, salvage=5.0, goes="to the yard"),))
    found = estimate(material_list(made(old_arm()), prices), Labour())
    assert (found.salvage, found.material, found.total) == (5.0, 100.0, 100.0)
    gone = line(found.listed, ARM, "returns and salvage")
    assert gone.goes == "to the yard"
    assert line(found.listed, ARM).goes == ""


def test_the_hours_that_come_along_are_published_or_empty() -> None:
    """Commercial building cost book, section 33 71 16, read in a transcription of a stored copy."""
    labour = read_labour(resources() / "labour-example.csv")
    known = {row.name: row.hours for row in labour.rows if row.hours is not None}
    assert known == {
        "Pole, 20 ft, class 3, Douglas-fir (coast)": 6.452,
        "Pole, 30 ft, class 3, Douglas-fir (coast)": 7.692,
        "Pole, 40 ft, class 3, Douglas-fir (coast)": 8.696,
        "Pole, 45 ft, class 3, Douglas-fir (coast)": 11.765,
    }
    assert all(row.source for row in labour.rows if row.hours is not None)


# Several jobs.


def rolled_up(*lists: tuple[str, MaterialList]) -> MaterialList:
    """The pick list of jobs, each with its name."""
    whole = Rollup()
    for name, listed in lists:
        whole.add(listed, name)
    return whole.list()


def test_a_pick_list_adds_up_and_says_for_which_jobs() -> None:
    one, two = material_list(made()), material_list(made(old_arm()))
    whole = rolled_up(("first", one), ("second", two), ("third", two))
    assert line(whole, BOLT).amounts == {"install": 3}
    assert line(whole, BOLT).why == "first 1, second 1, third 1"
    assert line(whole, ARM, "returns and salvage").amounts == {"remove": 2}
    assert whole.gate.surveyed == 2
    for section in ("material", "returns and salvage"):
        for kept in whole.of(section):  # type: ignore[arg-type]
            parts = [one, two, two]
            expected = sum(
                single.all for part in parts for single in part.lines
                if (single.section, single.name) == (kept.section, kept.name)
            )  # fmt: skip
            assert kept.all == expected


def test_a_pick_list_is_not_to_be_issued_while_one_of_its_jobs_is_not() -> None:
    fine = material_list(replace(made(), listed=(Listed("pole tag and signs", 1.0),)))
    stopped = [words for words in fine.gate.open if "undecided" in words]
    assert stopped == []
    undecided = material_list(
        made(Item("lamp", "lamp", (OnPole(when="found", host="pole", at_in=300.0),),
                  "lamp-arm-6ft", "Street lamp"))
    )  # fmt: skip
    whole = rolled_up(("fine", fine), ("lamp street", undecided))
    assert "lamp street: 1 item undecided: Street lamp" in whole.gate.open


def test_a_job_that_could_not_be_read_is_said_on_the_pick_list() -> None:
    whole = Rollup()
    whole.add(material_list(made()), "first")
    whole.refuse("second", "is no job")
    assert "second: not on this list: is no job" in whole.list().gate.open


def test_many_jobs_are_named_up_to_a_dozen() -> None:
    listed = material_list(made())
    whole = rolled_up(*((f"job-{number}", listed) for number in range(15)))
    assert line(whole, BOLT).why.endswith("job-11 1, and 3 more jobs")
    assert whole.name == "Pick list of 15 jobs"


def test_what_lies_in_the_store_is_held_against_all_jobs() -> None:
    prices = Prices("p.csv", (Price(BOLT, on_hand=2.0),))
    listed = material_list(made(), prices)
    assert not any("on hand" in note for note in line(listed, BOLT).notes)
    whole = Rollup(prices)
    for name in ("a", "b", "c"):
        whole.add(listed, name)
    assert line(whole.list(), BOLT).notes[-1] == "all jobs: 2 on hand, 3 needed"


@pytest.mark.parametrize("unit", ["C", "c"])
def test_bolts_by_the_hundred_are_counted_singly(unit: str) -> None:
    assert Price("x", unit=unit, cost=120.0).each(120.0, "ea") == 1.2
    assert Price("x", unit="MFT", cost=500.0).each(500.0, "ft") == 0.5


def test_what_lies_in_the_store_is_held_against_what_stays_and_what_comes_for_a_while() -> None:
    while_working = Item(
        "spare", "arm",
        (OnPole(when="temporary", host="pole", at_in=380.0), Removed(when="after")),
        "arm-10ft-4pin",
    )  # fmt: skip
    prices = Prices("p.csv", (Price("arm-10ft-4pin", on_hand=1.0),))
    listed = material_list(made(while_working), prices)
    words = "1 on hand, 2 needed, 1 of them here"
    assert words in line(listed, ARM).notes
    assert words in line(listed, ARM, "temporary gear").notes
    enough = Prices("p.csv", (Price("arm-10ft-4pin", on_hand=2.0),))
    noted = [one.notes for one in material_list(made(while_working), enough).lines]
    assert not any("on hand" in note for notes in noted for note in notes)
