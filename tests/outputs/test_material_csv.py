"""The material list as CSV, read back by the csv module: columns, totals, nothing to be run.

Counts are taken by hand from the sample jobs: what was found, and what becomes of it.
"""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from msgspec.structs import replace
from openpyxl import load_workbook

from framer.drawing.lists import list_sheets
from framer.drawing.picture import Text
from framer.model.item import Item
from framer.model.job import Job
from framer.model.place import OnPole
from framer.sheets.material_csv import harmless, material_csv
from framer.sheets.material_json import material_json
from framer.sheets.material_xlsx import material_xlsx
from framer.sheets.output import write_materials
from framer.takeoff.listing import material_list
from framer.takeoff.materials import materials
from framer.takeoff.prices import Price, Prices
from tests.build import job, pole
from tests.outputs.samples import NAMES, sample

Rows = list[dict[str, str]]
FATES = (
    "install",
    "transfer",
    "move",
    "remove",
    "stays",
    "by others",
    "temporary",
    "undecided",
)


SECTIONS = ("material", "temporary gear", "returns and salvage")


def read_all(folder: Path, made: Job) -> Rows:
    """All lines of the file: the list, what keeps it from being issued, and its notes."""
    path = folder / "list.csv"
    write_materials(made, path)
    with path.open(encoding="utf-8", newline="") as opened:
        rows = list(csv.DictReader(opened, strict=True))
    assert all(None not in row and None not in row.values() for row in rows)
    return rows


def read(folder: Path, made: Job) -> Rows:
    """The lines of the list."""
    return [row for row in read_all(folder, made) if row["section"] in SECTIONS]


def total(rows: Rows, fate: str, **about: str) -> float:
    """The quantities of one fate in the rows whose cells hold these words."""
    chosen = [row for row in rows if all(words in row[cell] for cell, words in about.items())]
    assert chosen
    return sum(float(row[fate] or 0) for row in chosen)


@pytest.mark.parametrize("name", NAMES)
def test_the_columns_are_those_of_all_fates_with_reason_and_source(
    tmp_path: Path, name: str
) -> None:
    rows = read(tmp_path, sample(name).job)
    assert tuple(rows[0]) == (
        "section", "group", "name", "part", "stock number", "unit", *FATES, "weight lb",
        "cost each", "cost", "lead days", "who pays", "goes to", "why", "note",
    )  # fmt: skip
    assert len(rows) > 15
    for row in rows:
        assert row["group"]
        assert row["name"]
        assert row["unit"] in ("ea", "ft", "set")
        quantities = [row[fate] for fate in FATES if row[fate]]
        assert quantities, row
        assert all(float(quantity) > 0 for quantity in quantities)
        # each quantity has its reason
        assert all(f"{fate}: " in row["why"] for fate in FATES if row[fate])


def test_nothing_stands_on_two_lines(tmp_path: Path) -> None:
    for name in NAMES:
        rows = read(tmp_path, sample(name).job)
        keys = [(row["section"], row["group"], row["name"], row["unit"]) for row in rows]
        assert len(keys) == len(set(keys))


def test_a_light_thing_keeps_its_weight_alike_in_csv_spreadsheet_json_and_on_paper() -> None:
    prices = Prices(
        "p.csv",
        (
            Price("arm-10ft-4pin", weight_lb=0.02),
            Price("Machine bolt 5/8 in x 14 in", weight_lb=600.0),
        ),
    )
    listed = material_list(sample("corner").job, prices)
    for name, cell, paper in (
        ("Wood arm 10 ft, 4 pins", "0.04", "0.04 lb"),
        ("Machine bolt 5/8 in x 14 in", "1200", "1,200 lb"),
    ):
        rows = csv.DictReader(io.StringIO(material_csv(listed)))
        told = {row["weight lb"] for row in rows
                if row["name"] == name and row["section"] == "material"}  # fmt: skip
        assert told == {cell}
        (line,) = (
            one for one in json.loads(material_json(listed))["lines"]
            if (one["name"], one["section"]) == (name, "material")
        )  # fmt: skip
        assert line["weight_lb"] == float(cell)
        sheet = load_workbook(io.BytesIO(material_xlsx(listed)))["Material"]
        (row,) = (one for one in sheet.iter_rows() if one[1].value == name)
        (there,) = (one for one in row if one.value == float(cell))
        assert there.number_format == ("#,##0.00" if cell == "0.04" else "#,##0")
        pages = list_sheets(listed, sample("corner").job, ())
        texts = [one.text for page in pages for one in page.picture.primitives
                 if isinstance(one, Text)]  # fmt: skip
        assert paper in texts


def test_totals_of_the_corner(tmp_path: Path) -> None:
    rows = read(tmp_path, sample("corner").job)
    assert total(rows, "install", name="Pole, 50 ft, class 3") == 1
    assert total(rows, "remove", name="Pole, 45 ft, class 4") == 1
    # line and buck arm, each with a brace
    for group_fate in ("install", "remove"):
        assert total(rows, group_fate, part="arm-10ft-4pin") == 2
        assert total(rows, group_fate, part="brace-angle-60in") == 2
        # A, B and C on pins and as dead-ends
        assert total(rows, group_fate, part="pin-55-5-25kv") == 3
        assert total(rows, group_fate, part="deadend-25kv") == 3
    # A, B and C in three spans, the neutral in three; the cable in two is its owner's to move
    assert total(rows, "transfer", part="acsr-336-18-1-merlin") == 9
    assert total(rows, "transfer", part="acsr-raven-1-0") == 3
    assert total(rows, "by others", part="comm-cable-1in") == 2
    assert total(rows, "by others", part="comm-clamp") == 1
    # through bolts: two arms, two braces, one for spool and neutral dead-end on opposite faces; a
    # nut and two washers each
    assert total(rows, "install", group="Bolts") == 5
    assert total(rows, "install", name="square nut") == 5
    assert total(rows, "install", name="square washer") == 10
    assert all(not row["undecided"] for row in rows)


def test_what_is_taken_down_and_what_comes_for_a_while_stand_apart(tmp_path: Path) -> None:
    for row in read(tmp_path, sample("corner").job):
        assert bool(row["remove"]) == (row["section"] == "returns and salvage")
        assert bool(row["goes to"]) == bool(row["remove"])
        assert bool(row["temporary"]) == (row["section"] == "temporary gear")
    (old,) = (
        row for row in read(tmp_path, sample("corner").job) if row["name"][:11] == "Pole, 45 ft"
    )
    assert old["goes to"] == "disposal: treated wood (common practice)"


def test_a_list_that_does_not_close_says_first_that_it_is_not_to_be_issued(tmp_path: Path) -> None:
    rows = read_all(tmp_path, sample("tangent").job)
    assert (rows[0]["section"], rows[0]["name"]) == (
        "NOT TO BE ISSUED",
        "1 item undecided: Street lamp",
    )
    assert all(row["section"] != "NOT TO BE ISSUED" for row in rows[1:])
    closed = read_all(tmp_path, sample("corner").job)
    assert all(row["section"] != "NOT TO BE ISSUED" for row in closed)


def test_what_nobody_decided_on_stands_in_its_own_column(tmp_path: Path) -> None:
    rows = read(tmp_path, sample("tangent").job)
    undecided = [row["part"] for row in rows if row["undecided"]]
    assert undecided == ["lamp-arm-6ft"]
    assert total(rows, "transfer", part="transformer-25kva") == 1


@pytest.mark.parametrize("name", NAMES)
def test_the_list_holds_every_quantity_of_the_take_off(tmp_path: Path, name: str) -> None:
    rows = read(tmp_path, sample(name).job)
    taken_off = materials(sample(name).job)
    for fate in FATES:
        expected = sum(row.quantity for row in taken_off if row.fate == fate)
        assert sum(float(row[fate] or 0) for row in rows) == expected


def test_a_part_known_from_memory_says_so(tmp_path: Path) -> None:
    rows = read(tmp_path, sample("tangent").job)
    (cutout,) = (row for row in rows if row["part"] == "cutout-15kv")
    assert "from memory" in cutout["note"]


# Nothing a spreadsheet would run.


FORMULAS = (
    "=1+1",
    '=HYPERLINK("http://nowhere.invalid","arm")',
    "+1",
    "-1+cmd|' /C calc'!A0",
    "@SUM(A1)",
    "\t=1+1",
    "\r=1+1",
    "\n=1+1",
    "\uff1d1+1",
)


def unnamed(name: str) -> Job:
    """A pole with a thing of no stock part on it, called this."""
    where = OnPole(when="after", host="pole", at_in=300.0)
    return job(*pole(45), Item("thing", "attachment", (where,), name=name))


@pytest.mark.parametrize("name", FORMULAS)
def test_a_label_a_spreadsheet_would_run_is_written_as_text(tmp_path: Path, name: str) -> None:
    rows = read(tmp_path, unnamed(name))
    (row,) = (row for row in rows if row["group"] == "Attachments")
    assert row["name"] == f"'{name}".replace("\r", "\n")
    for cells in read_all(tmp_path, unnamed(name)):
        assert not any(cell[:1] in "=+-@\t\r\n\uff1d" for cell in cells.values() if cell)


def test_a_species_that_looks_like_a_formula_stays_inside_its_name(tmp_path: Path) -> None:
    corner = sample("corner").job
    poles = tuple(
        replace(one, pole=replace(one.pole, species="=2+2")) if one.pole else one
        for one in corner.items
    )
    names = [row["name"] for row in read(tmp_path, replace(corner, items=poles))]
    assert "Pole, 50 ft, class 3, =2+2" in names


@pytest.mark.parametrize("cell", ["Wood arm 10 ft", "5/8 in", "'quoted", "a=b", "", "  =1"])
def test_other_cells_stay_as_they_are(cell: str) -> None:
    assert harmless(cell) == cell


@pytest.mark.parametrize(
    "name", ['say "arm", twice', "two\nlines", "semi;colon", "Łódź 変圧器", "x" * 5000, "'=1"]
)
def test_any_other_name_is_read_back_as_it_was(tmp_path: Path, name: str) -> None:
    (row,) = (row for row in read(tmp_path, unnamed(name)) if row["group"] == "Attachments")
    assert row["name"] == name
    assert row["note"] == "unresolved"
