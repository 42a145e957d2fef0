"""Survey sheets read in: every row right or none, faults by row and column."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest
from msgspec.structs import replace

from framer.files.read_in import read_in
from framer.files.tables import TableError, TableFaultsError
from framer.geometry.placing import place
from framer.model.job import Job
from framer.model.line import Circuit, Span
from framer.model.stage import fate
from tests.build import job, pole

HEADS = ("kind", "id", "name", "part", "on", "height", "along", "side", "owner", "circuit",
         "phase", "span", "tolerance")  # fmt: skip
ROWS = (
    # wires before what they rest on, and that before its arm
    ("wire", "w-a", "", "", "pin-a", "", "", "", "", "Mill", "A", "North pole", ""),
    ("insulator", "pin-a", "", "pin-55-5-25kv", "line", "", "54 in", "", "", "", "", "", ""),
    ("arm", "line", "Line arm", "arm-10ft-4pin", "", "34 ft 7 in", "", "W", "", "", "", "", "2 in"),
    ("attachment", "", "Clamp", "", "pole", "24'", "", "90", "Cedar", "", "", "", ""),
)


def bare() -> Job:
    return job(
        Circuit("mill", "Mill", kv=12.47),
        Span("north", "North pole", 0.0, 1800.0),
        *pole(45, when="found", depth_in=78.0),
    )


def sheet(folder: Path, *rows: tuple[str, ...], heads: tuple[str, ...] = HEADS) -> Path:
    path = folder / "survey.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows((heads, *rows))
    return path


def test_items_and_wires_come_in_as_found_in_whatever_order_they_stand(tmp_path: Path) -> None:
    found = read_in(bare(), sheet(tmp_path, *ROWS))
    assert (found.items, found.wires, found.left) == (3, 1, ())
    made = found.job
    scene = place(made, "found")
    (arm,) = scene.parts_of["line"]
    assert arm.shape is not None
    assert arm.shape.centre[2] == pytest.approx(12 * 34 + 7)  # type: ignore[union-attr]
    assert arm.tolerance_in >= 2.0
    clamp = next(item for item in made.items if item.name == "Clamp")
    assert (clamp.owner, clamp.places[0].azimuth_deg) == ("Cedar", 90.0)  # type: ignore[union-attr]
    # the wire rests on its pin 10-5/8 in above the arm, 13 in above the bolt
    (wire,) = scene.parts_of["w-a"]
    assert wire.shape is not None
    assert wire.shape.p[2] == pytest.approx(12 * 34 + 7 + 13)  # type: ignore[union-attr]


def test_what_becomes_of_what_was_read_is_left_open(tmp_path: Path) -> None:
    made = read_in(bare(), sheet(tmp_path, *ROWS)).job
    new = [thing for thing in made.placed() if thing.id not in bare().thing_by_id]
    assert len(new) == 4
    assert {fate(made, thing) for thing in new} == {"undecided"}


def test_a_spreadsheet_reads_like_a_csv_file(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    page = book.active
    assert page is not None
    for row in (HEADS, *ROWS):
        page.append([cell or None for cell in row])
    path = tmp_path / "survey.xlsx"
    book.save(path)
    assert read_in(bare(), path).job == read_in(bare(), sheet(tmp_path, *ROWS)).job


def test_headings_are_mapped_to_columns(tmp_path: Path) -> None:
    heads = ("Type", "What is it", "Feet up", "Weather")
    path = sheet(tmp_path, ("bracket", "Bracket", "20 ft", "rain"), heads=heads)
    found = read_in(bare(), path, {"What is it": "name", "Feet up": "height"})
    assert (found.items, found.left) == (1, ("Weather",))
    assert found.job.items[-1].name == "Bracket"
    with pytest.raises(TableError, match="'high' is none of: kind"):
        read_in(bare(), path, {"Feet up": "high"})


def one(**cells: str) -> tuple[str, ...]:
    row = {"kind": "bracket", "name": "Bracket", "height": "20 ft", **cells}
    return tuple(row.get(head, "") for head in HEADS)


@pytest.mark.parametrize(
    ("cells", "column", "problem"),
    [
        ({"kind": "pin"}, "kind", "expected wire, arm"),
        ({"kind": ""}, "kind", "is empty"),
        ({"height": ""}, "height", "give either a height or a drop"),
        ({"height": "20"}, "height", "'20' has no unit"),
        ({"height": "28.11 ft"}, "height", "may mean 28 ft 11 in, or 28.11 ft"),
        ({"kind": "arm", "height": "-28.5 ft"}, "height", "may mean -28 ft 5 in, or -28.5 ft"),
        ({"height": "high up"}, "height", "high up"),
        ({"height": "2000 ft"}, "", "12000"),
        ({"side": "left"}, "side", "expected N, NE"),
        ({"side": "360"}, "side", "expected N, NE"),
        ({"part": "nothing"}, "part", "there is no stock part 'nothing'"),
        ({"part": "arm-10ft-4pin"}, "part", "is of kind 'arm', not 'bracket'"),
        ({"name": ""}, "part", "give a stock part or at least a name"),
        ({"on": "tree"}, "on", "nothing in the job is named 'tree'"),
        ({"circuit": "Ridge"}, "circuit", "nothing in the job is named 'Ridge'"),
        ({"id": "pole"}, "id", "'pole' is taken already"),
        ({"kind": "wire", "phase": "X", "on": "pole"}, "phase", "expected A, B, C"),
    ],
)
def test_a_wrong_cell_is_told_by_row_and_column(
    tmp_path: Path, cells: dict[str, str], column: str, problem: str
) -> None:
    path = sheet(tmp_path, one(), one(**cells))
    with pytest.raises(TableFaultsError) as refused:
        read_in(bare(), path)
    (told,) = refused.value.problems
    assert told.startswith("survey.csv: row 3")
    assert problem in told
    assert f"column '{column}'" in told or not column


def test_every_wrong_row_is_told_once_in_order_and_nothing_comes_in(tmp_path: Path) -> None:
    rows = [one(height="20") if at % 2 else one() for at in range(60)]
    before = bare()
    with pytest.raises(TableFaultsError) as refused:
        read_in(before, sheet(tmp_path, *rows))
    told = [int(words.split("row ")[1].split(",")[0]) for words in refused.value.problems]
    assert told == list(range(3, 62, 2))
    assert "and 10 more faults" in str(refused.value)
    assert before == bare()


def test_bare_numbers_are_read_in_the_unit_named(tmp_path: Path) -> None:
    for unit, inches in (("ft", 12 * 28.11), ("in", 28.11), ("m", 28.11 / 0.0254)):
        found = read_in(bare(), sheet(tmp_path, one(height="28.11")), bare=unit)  # type: ignore[arg-type]
        assert found.job.readings[-1].value_in == pytest.approx(inches)


def test_a_table_without_kinds_is_refused(tmp_path: Path) -> None:
    path = sheet(tmp_path, ("Bracket", "20 ft"), heads=("name", "height"))
    with pytest.raises(TableError, match="there is no such column"):
        read_in(bare(), path)


def test_with_two_found_poles_each_row_says_which(tmp_path: Path) -> None:
    made = bare()
    second = replace(made.items[0], id="other", name="Other pole")
    two = replace(made, items=(*made.items, second))
    with pytest.raises(TableFaultsError, match="2 poles were found here"):
        read_in(two, sheet(tmp_path, one()))
    assert read_in(two, sheet(tmp_path, one(on="Other pole"))).items == 1


def test_a_heading_may_be_said_to_mean_another_column_or_nothing(tmp_path: Path) -> None:
    # "height" here is that of the tree beside the pole, and "Up" the clamp's
    heads = ("kind", "name", "height", "Up", "note")
    path = sheet(tmp_path, ("attachment", "Clamp", "40 ft", "24 ft", "old"), heads=heads)
    found = read_in(bare(), path, {"Up": "height", "height": "", "note": ""})
    (clamp,) = (item for item in found.job.items if item.name == "Clamp")
    read = found.job.reading(clamp.id, "height")
    assert read is not None
    assert read.value_in == 288.0
    assert clamp.note == ""
    assert found.left == ("height", "note")


def test_a_heading_that_is_not_there_cannot_be_mapped(tmp_path: Path) -> None:
    with pytest.raises(TableError, match="column 'Depth': there is no such heading"):
        read_in(bare(), sheet(tmp_path, *ROWS), {"Depth": "drop"})


def test_a_stock_part_is_known_by_the_name_the_stock_list_shows(tmp_path: Path) -> None:
    row = one(kind="arm", part="wood arm 8 ft, 4 pins", name="Old arm")
    found = read_in(bare(), sheet(tmp_path, row))
    assert found.job.items[-1].part == "arm-8ft-4pin"
