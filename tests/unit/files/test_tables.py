"""Tables a person keeps: CSV and XLSX read alike, and what is wrong said by row and column."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from framer.files.owned import read_labour, read_prices
from framer.files.tables import TableError, TableFaultsError, read_table

PRICES = (
    ("Item", "Stock No.", "Unit", "Unit cost ($)", "Lead time (days)", "On hand"),
    ("Machine bolt 5/8 in x 14 in", "BT-14", "C", 1250.5, 21, 40),
    ("arm-10ft-4pin", "XA-10", "ea", 84.5, None, None),
)


def table(path: Path, rows: tuple[tuple[object, ...], ...] = PRICES) -> Path:
    """The rows written as the ending says."""
    if path.suffix == ".xlsx":
        book = openpyxl.Workbook()
        sheet = book.active
        assert sheet is not None
        for row in rows:
            sheet.append(row)
        book.save(path)
    else:
        text = "\n".join(",".join("" if one is None else f'"{one}"' for one in row) for row in rows)
        path.write_text(text + "\n", encoding="utf-8")
    return path


@pytest.mark.parametrize("name", ["p.csv", "p.xlsx"])
def test_a_price_file_is_read_under_any_of_its_headings(tmp_path: Path, name: str) -> None:
    prices = read_prices(table(tmp_path / name))
    bolt, arm = prices.rows
    assert (bolt.name, bolt.stock_number, bolt.unit, bolt.cost) == (
        "Machine bolt 5/8 in x 14 in", "BT-14", "C", 1250.5,
    )  # fmt: skip
    assert (bolt.lead_days, bolt.on_hand, bolt.row) == (21, 40, 2)
    assert (arm.cost, arm.lead_days, arm.on_hand) == (84.5, None, None)
    assert prices.source == name


@pytest.mark.parametrize("name", ["p.csv", "p.xlsx"])
@pytest.mark.parametrize(
    ("bad", "said"),
    [
        ("ten", "row 3, column 'cost': expected a number, found 'ten'"),
        (-1, "row 3, column 'cost': expected at least 0, found '-1'"),
        ("nan", "row 3, column 'cost': expected a number, found 'nan'"),
        ("1e999", "row 3, column 'cost': expected a number, found '1e999'"),
    ],
)
def test_a_cell_that_is_no_price_is_said_with_its_place(
    tmp_path: Path, name: str, bad: object, said: str
) -> None:
    with pytest.raises(TableError) as wrong:
        read_prices(table(tmp_path / name, (("name", "cost"), ("a", 1), ("b", bad))))
    assert str(wrong.value) == f"{name}: {said}"


def test_thousands_and_dollars_are_understood_and_a_decimal_comma_is_refused(
    tmp_path: Path,
) -> None:
    rows = (("name", "cost"), ("a", "$1,250.50"), ("b", "1250.5"), ("c", "12,345"))
    costs = [row.cost for row in read_prices(table(tmp_path / "p.csv", rows)).rows]
    assert costs == [1250.5, 1250.5, 12345.0]
    with pytest.raises(TableError, match="found '12,5'"):
        read_prices(table(tmp_path / "p.csv", (("name", "cost"), ("a", "12,5"))))


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ((("cost",), (1,)), "column 'name': there is no such column"),
        ((("name", "cost"), ("", 1)), "row 2, column 'name': is empty"),
        ((("name", "cost", "Cost"), ("a", 1, 2)), "row 1, column 'Cost': a second column for cost"),
        (
            (("name", "cost"), ("A  b", 1), ("a B", 2)),
            "row 3, column 'name': 'a B' stands in row 2",
        ),
    ],
)
def test_a_table_that_makes_no_sense_is_refused(
    tmp_path: Path, rows: tuple[tuple[object, ...], ...], said: str
) -> None:
    with pytest.raises(TableError) as wrong:
        read_prices(table(tmp_path / "p.csv", rows))
    assert said in str(wrong.value)


def test_rows_keep_the_number_they_have_in_the_file(tmp_path: Path) -> None:
    path = tmp_path / "p.csv"
    path.write_text('name,cost\n\n"two\nlines",1\n\nc,bad\n', encoding="utf-8")
    assert [row.number for row in read_table(path).rows] == [3, 6]
    with pytest.raises(TableError, match="row 6, column 'cost'"):
        read_prices(path)


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_semicolons_and_tabs_are_understood_and_a_byte_order_mark_too(
    tmp_path: Path, mark: str
) -> None:
    path = tmp_path / "p.csv"
    path.write_text(f"\ufeffname{mark}cost\na{mark}2\n", encoding="utf-8")
    assert [(row.name, row.cost) for row in read_prices(path).rows] == [("a", 2.0)]


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("p.csv", b"name,cost\n\xff\xfe,1\n", "row 2: is not UTF-8 text"),
        ("p.csv", b"", "is empty"),
        ("p.xlsx", b"no workbook", "is no spreadsheet that can be read"),
        ("p.ods", b"", "a table is read from a .csv or .xlsx file"),
        ("p.csv", b'name,cost\n"a,1\n', "is no CSV there"),
    ],
)
def test_what_is_no_table_is_refused(tmp_path: Path, name: str, data: bytes, said: str) -> None:
    (tmp_path / name).write_bytes(data)
    with pytest.raises(TableError) as wrong:
        read_prices(tmp_path / name)
    assert said in str(wrong.value)


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(TableError, match=r"none\.csv: cannot be read"):
        read_prices(tmp_path / "none.csv")


def test_a_labour_file_keeps_what_is_empty_as_not_known(tmp_path: Path) -> None:
    rows = (
        ("task", "action", "labor hours", "unit", "source"),
        ("Poles", "Install", 8.0, "ea", "own records"),
        ("Poles", "remove", None, "ea", None),
    )
    labour = read_labour(table(tmp_path / "l.xlsx", rows))
    assert [(row.name, row.action, row.hours, row.source) for row in labour.rows] == [
        ("Poles", "install", 8.0, "own records"),
        ("Poles", "remove", None, ""),
    ]


def test_an_action_nobody_knows_is_refused(tmp_path: Path) -> None:
    rows = (("name", "action", "hours"), ("Poles", "paint", 1))
    with pytest.raises(TableError, match="row 2, column 'action': expected install, transfer"):
        read_labour(table(tmp_path / "l.csv", rows))


def test_every_fault_of_a_price_file_is_told_in_the_order_of_its_rows(tmp_path: Path) -> None:
    rows = (
        ("name", "cost", "weight lb", "on hand"),
        ("a", "ten", "-1", 5),
        ("b", 1, 2, 3),
        ("", 1, None, "some"),
        ("A", 4, None, None),
    )
    with pytest.raises(TableFaultsError) as wrong:
        read_prices(table(tmp_path / "p.csv", rows))
    assert str(wrong.value).splitlines() == [
        "nothing was read in:",
        "  p.csv: row 2, column 'cost': expected a number, found 'ten'",
        "  p.csv: row 2, column 'weight lb': expected at least 0, found '-1'",
        "  p.csv: row 4, column 'name': is empty; it must be filled in",
        "  p.csv: row 4, column 'on hand': expected a number, found 'some'",
        "  p.csv: row 5, column 'name': 'A' stands in row 2 already; expected it once",
    ]


def test_every_fault_of_a_labour_file_is_told(tmp_path: Path) -> None:
    rows = (
        ("name", "action", "hours"),
        ("Poles", "paint", "x"),
        ("Poles", "install", 1),
        ("poles", "Install", 2),
        ("", "", None),
        ("Wires", "", None),
    )
    with pytest.raises(TableFaultsError) as wrong:
        read_labour(table(tmp_path / "l.csv", rows))
    assert [words.partition(": ")[2] for words in wrong.value.problems] == [
        "row 2, column 'action': expected install, transfer, remove, found 'paint'",
        "row 2, column 'hours': expected a number, found 'x'",
        "row 4, column 'name': 'poles', install stands in row 3 already; expected it once",
        "row 6, column 'action': is empty; it must be filled in",
    ]
    with pytest.raises(TableFaultsError, match="'action': there is no such column"):
        read_labour(table(tmp_path / "l.csv", (("name",), ("Poles",))))


def test_of_very_many_faults_the_first_are_told_and_how_many_more_there_are(
    tmp_path: Path,
) -> None:
    rows = (("name", "cost"), *((f"thing {at}", "dear") for at in range(1_000)))
    with pytest.raises(TableFaultsError) as wrong:
        read_prices(table(tmp_path / "p.csv", rows))
    told = str(wrong.value).splitlines()
    assert len(told) == 22
    assert told[-1] == "  and 980 more faults"
