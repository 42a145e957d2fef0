"""The material list: what goes in which column, what comes with it, and whether it closes."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from msgspec.structs import replace

from framer.files.reader import read_job
from framer.model.item import Item, PoleFacts
from framer.model.job import Job
from framer.model.line import Circuit, Span, Wire
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
from framer.stock.catalogue import catalogue
from framer.stock.part import InsulatorPart
from framer.takeoff.materials import materials
from framer.takeoff.row import COLUMNS, MaterialRow
from tests.build import job, pole

SAMPLES = Path(__file__).resolve().parent.parent.parent.parent / "sample_jobs"
NAMES = ("corner/alder-lane", "tangent/fenwick-road", "dead-end/quarry-lane")

FOUND = OnPole(when="found", host="old", at_in=300.0)
AFTER = OnPole(when="after", host="new", at_in=310.0)
GONE, STAYS, OPEN = Removed(when="after"), Same(when="after"), Undecided(when="after")


def item(key: str, part: str, *chain: AnyPlace, name: str = "") -> Item:
    return Item(key, catalogue()[part].kind, chain, part, name=name or key)  # type: ignore[arg-type]


def made(*things: Item | Wire) -> Job:
    return job(
        Circuit("main", "Main"),
        Span("north", "N", 0.0, 1795.0),
        *pole(45, key="old", when="found", depth_in=78.0),
        *pole(45, key="new", east_in=24.0),
        *things,
    )


def rows(changed: Job, name: str) -> dict[str, MaterialRow]:
    """The rows of one name, by column."""
    return {row.fate: row for row in materials(changed) if row.name == name}


def quantity(changed: Job, name: str, column: str = "install") -> float:
    found = rows(changed, name).get(column)
    return found.quantity if found else 0.0


SPOOL = "spool-53-2"
SPOOL_NAME = "Spool 53-2 in a clevis on a through bolt"
BOLT, NUT, WASHER = "Machine bolt 5/8 in x 14 in", "square nut 5/8 in", "square washer 2-1/4 in"
# 10 in pole, 3/8 in clevis, 2 in: 12.375, so 14 in


# Columns.


@pytest.mark.parametrize(
    ("chain", "column"),
    [
        ((AFTER,), "install"),
        ((FOUND, AFTER), "transfer"),
        ((FOUND, replace(AFTER, host="old")), "move"),
        ((FOUND, GONE), "remove"),
        ((FOUND, STAYS), "stays"),
        ((FOUND, replace(AFTER, by="others")), "by others"),
        ((FOUND, replace(GONE, by="others")), "by others"),
        ((replace(FOUND, when="temporary"), GONE), "temporary"),
        ((FOUND, OPEN), "undecided"),
        ((FOUND,), "undecided"),
    ],
)
def test_a_thing_stands_in_the_column_of_its_fate(chain: tuple[AnyPlace, ...], column: str) -> None:
    found = rows(made(item("spool", SPOOL, *chain)), SPOOL_NAME)
    assert {fate: row.quantity for fate, row in found.items()} == {column: 1}
    assert column in COLUMNS


@pytest.mark.parametrize(
    ("chain", "bolts"),
    [
        ((AFTER,), 1),
        ((FOUND, AFTER), 1),
        ((FOUND, replace(AFTER, host="old")), 1),
        ((FOUND, GONE), 0),
        ((FOUND, STAYS), 0),
        ((FOUND, replace(AFTER, by="others")), 0),
        ((FOUND, OPEN), 0),
    ],
)
def test_what_is_put_up_anew_gets_new_bolts_and_small_hardware(
    chain: tuple[AnyPlace, ...], bolts: int
) -> None:
    """Also what is moved: the new pole is another thickness; common practice."""
    listed = made(item("spool", SPOOL, *chain))
    assert quantity(listed, BOLT) == bolts
    assert quantity(listed, NUT) == bolts
    assert quantity(listed, WASHER) == 2 * bolts
    assert quantity(listed, "tie wire or formed tie") == bolts
    assert quantity(listed, "clevis for spool") == bolts


def test_things_of_one_kind_and_fate_are_one_line() -> None:
    lower = replace(AFTER, at_in=250.0)
    listed = made(item("a", SPOOL, AFTER), item("b", SPOOL, lower), item("c", SPOOL, FOUND, GONE))
    assert {fate: row.quantity for fate, row in rows(listed, SPOOL_NAME).items()} == {
        "install": 2,
        "remove": 1,
    }
    assert quantity(listed, BOLT) == 2


def test_a_change_out_puts_in_as_much_as_it_takes_out() -> None:
    old = item("old-spool", SPOOL, FOUND, GONE)
    new = replace(item("new-spool", SPOOL, AFTER), replaces="old-spool")
    found = rows(made(old, new), SPOOL_NAME)
    assert {fate: row.quantity for fate, row in found.items()} == {"install": 1, "remove": 1}


# Reasons.


def test_every_line_says_for_what_it_is() -> None:
    old = item("old-spool", SPOOL, FOUND, GONE, name="Old spool")
    new = replace(item("new-spool", SPOOL, AFTER, name="Spool"), replaces="old-spool")
    listed = made(old, new)
    assert rows(listed, SPOOL_NAME)["install"].why == "Spool, replaces Old spool"
    assert rows(listed, SPOOL_NAME)["remove"].why == "Old spool"
    assert rows(listed, "clevis for spool")["install"].why == "with Spool"
    assert rows(listed, WASHER)["install"].why == "2 on the bolt of Spool"
    assert rows(listed, NUT)["install"].why == "on the bolt of Spool"


@pytest.mark.parametrize("name", NAMES)
def test_the_reasons_of_small_hardware_add_up_to_its_count(name: str) -> None:
    job = read_job(SAMPLES / f"{name}.framer")
    counted = 0
    for row in materials(job):
        if row.group != "Hardware" or row.unit == "ft":
            continue
        firsts = (one.split(" ", 1)[0] for one in row.why.split("; "))
        assert sum(float(one) if one.isdigit() else 1.0 for one in firsts) == row.quantity, row.why
        counted += 1
    assert counted > 10


def test_a_bolt_says_why_it_is_that_long() -> None:
    # 310 in up on a pole 462 in up, so 152 in below the top; 10 + 0.375 + 1.475 and + 2
    why = rows(made(item("spool", SPOOL, AFTER, name="Spool")), BOLT)["install"].why
    assert why.startswith("14 in because the pole is 10.0 in at 12 ft 8 in below top: Spool (")
    assert "= 11.85 in; thumb rule 12.38 in; the two differ" in why


def test_a_bolt_on_a_pole_of_no_known_top_says_how_high_it_is() -> None:
    bare = job(*pole(None, key="new"), item("spool", SPOOL, AFTER))
    assert "at 25 ft 10 in above ground" in rows(bare, BOLT)["install"].why


def test_two_of_a_kind_are_each_named() -> None:
    listed = made(item("a", SPOOL, AFTER), item("b", SPOOL, replace(AFTER, at_in=250.0)))
    assert rows(listed, SPOOL_NAME)["install"].why == "a; b"
    assert rows(listed, "clevis for spool")["install"].why == "with a; with b"


@pytest.mark.parametrize("name", NAMES)
def test_no_line_of_a_sample_is_without_reason_or_quantity(name: str) -> None:
    listed = materials(read_job(SAMPLES / f"{name}.framer"))
    assert len(listed) > 15
    for row in listed:
        assert row.why
        assert row.quantity > 0
        assert row.unit in ("ea", "ft", "set")


# Poles, wires, things of no known size.


def test_a_pole_is_listed_by_length_class_and_species() -> None:
    listed = materials(read_job(SAMPLES / "corner/alder-lane.framer"))
    poles = {(row.name, row.fate): row for row in listed if row.group == "Poles"}
    assert set(poles) == {
        ("Pole, 45 ft, class 4, Southern pine", "remove"),
        ("Pole, 50 ft, class 3, Southern pine", "install"),
    }
    assert not any(row.unresolved for row in poles.values())


def test_a_pole_of_unknown_class_is_unresolved() -> None:
    found = rows(made(), "Pole, 45 ft, class not known, species not known")
    assert found["install"].unresolved
    bare = Item(
        "stub", "pole", (Standing(when="after"),), pole=PoleFacts(None, "3", "Southern pine")
    )
    name = "Pole, length not known, class 3, Southern pine"
    assert rows(job(bare), name)["install"].unresolved


def test_a_new_wire_is_listed_by_the_foot_rounded_up_and_a_kept_one_by_the_piece() -> None:
    # span 1,795 in = 149.6 ft
    support = item("spool", SPOOL, AFTER)
    new = Wire(
        "fresh", "main", "N", "north", (OnItem(when="after", host="spool"),), "acsr-raven-1-0"
    )
    old = Wire(
        "old-wire",
        "main",
        "N",
        "north",
        (OnItem(when="found", host="old-spool"), OnItem(when="after", host="spool")),
        "acsr-raven-1-0",
    )
    listed = made(support, item("old-spool", SPOOL, FOUND, GONE), new, old)
    found = rows(listed, "ACSR 1/0 6/1 Raven")
    assert {fate: (row.quantity, row.unit) for fate, row in found.items()} == {
        "install": (150, "ft"),
        "transfer": (1, "ea"),
    }
    assert found["install"].why == "N of Main to N, span 150 ft"


def test_what_has_no_stock_part_is_listed_by_name_and_unresolved() -> None:
    box = Item("box", "equipment", (AFTER,), name="Grey box")
    wire = Wire("w", "main", "N", "north", (OnItem(when="after", host="box"),))
    listed = made(box, wire)
    assert rows(listed, "Grey box")["install"].unresolved
    assert rows(listed, "Wire of unknown size")["install"].unresolved


def test_groups_come_in_the_order_of_the_list() -> None:
    groups = [row.group for row in materials(read_job(SAMPLES / "tangent/fenwick-road.framer"))]
    assert list(dict.fromkeys(groups)) == [
        "Poles",
        "Arms and braces",
        "Insulators",
        "Equipment",
        "Runs and grounds",
        "Attachments",
        "Bolts",
        "Hardware",
        "Wires",
    ]


# How values are known.


def test_a_line_is_known_no_better_than_the_worst_of_it() -> None:
    found = rows(made(item("spool", SPOOL, AFTER)), SPOOL_NAME)["install"]
    assert found.how_known == "memory"
    assert rows(made(item("spool", SPOOL, AFTER)), WASHER)["install"].how_known == "read"


# Balance of the samples.


def installed(name: str) -> Counter[str]:
    listed = materials(read_job(SAMPLES / f"{name}.framer"))
    counted: Counter[str] = Counter()
    for row in listed:
        if row.fate == "install":
            counted[row.name] += int(row.quantity)
    return counted


@pytest.mark.parametrize("name", NAMES)
def test_plain_bolts_have_two_washers_and_a_nut_and_double_arming_bolts_four_of_each(
    name: str,
) -> None:
    """A washer under every head and nut on wood (UFGS-16370A p. 19, read); four nuts and washers
    on each double-arming bolt (p. 35, read)."""
    counted = installed(name)
    plain = sum(count for key, count in counted.items() if key.startswith("Machine bolt 5/8 in"))
    arming = sum(
        count for key, count in counted.items() if key.lower().startswith("double-arming bolt 5/8")
    )
    assert plain > 0
    assert counted[WASHER] == 2 * plain + 4 * arming
    assert counted[NUT] == plain + 4 * arming
    assert arming == (3 if name.startswith("dead-end") else 0)


@pytest.mark.parametrize("name", NAMES)
def test_there_is_a_tie_for_every_insulator_a_wire_is_tied_to(name: str) -> None:
    sample = read_job(SAMPLES / f"{name}.framer")
    tied = 0
    for one in sample.items:
        stock = catalogue().get(one.part or "")
        new = one.places[0].when == "after"
        if new and isinstance(stock, InsulatorPart) and stock.style in ("pin", "post", "spool"):
            tied += 1
    assert installed(name)["tie wire or formed tie"] == tied


def test_a_pin_is_on_the_list_with_its_steel_pin() -> None:
    arm = item("arm", "arm-10ft-4pin", AFTER)
    pins = [
        item(f"pin-{along:g}", "pin-55-5-25kv", OnArm(when="after", host="arm", along_in=along))
        for along in (-54.0, 18.0, 54.0)
    ]
    listed = made(arm, *pins)
    assert quantity(listed, "crossarm pin, steel, 1 in lead thread") == 3
    assert quantity(listed, "tie wire or formed tie") == 3
    assert quantity(listed, NUT) == 1  # of the arm's bolt alone


# What comes for a while only.


def test_a_temporary_arm_brings_its_own_bolt_apart_from_what_stays() -> None:
    """Hardware of the way in between is on no list that looks at the framed pole alone."""
    transfer = read_job(SAMPLES / "corner-transfer/alder-lane-transfer.framer")
    found = [row for row in materials(transfer) if row.fate == "temporary"]
    bolts = {row.name: row for row in found if row.group == "Bolts"}
    (bolt,) = bolts.values()
    assert bolt.quantity == 1
    assert "Temporary dead-end arm (" in bolt.why
    counts = {row.name: row.quantity for row in found}
    assert (counts[NUT], counts[WASHER], counts["locknut 5/8 in"]) == (1, 2, 1)
    assert counts["dead-end clamp or formed grip"] == 3
    # and none of it stands with what stays
    assert not any("Temporary" in row.why for row in materials(transfer) if row.fate == "install")
