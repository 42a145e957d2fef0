"""The material list as a spreadsheet: read back by another library, and opened by LibreOffice."""

from __future__ import annotations

import csv
import io
import subprocess
from collections.abc import Callable
from pathlib import Path
from textwrap import wrap

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from framer.sheets.estimate import estimate_xlsx
from framer.sheets.material_json import material_json
from framer.sheets.material_xlsx import material_xlsx
from framer.sheets.output import write_materials
from framer.takeoff.estimate import Labour, LabourRow, estimate
from framer.takeoff.listing import SECTIONS, material_list
from framer.takeoff.prices import Price, Prices
from tests.outputs.samples import NAMES, sample
from tests.outputs.test_material_csv import FORMULAS, unnamed

PRICES = Prices(
    "prices.csv",
    (
        Price("Machine bolt 5/8 in x 14 in", "BT-14", "C", 1250.0, 120.0, 21.0),
        Price("arm-10ft-4pin", "XA-10", "ea", 84.5),
    ),
)


def book(data: bytes) -> dict[str, Worksheet]:
    read = openpyxl.load_workbook(io.BytesIO(data))
    return {sheet.title: sheet for sheet in read.worksheets}


def head_row(sheet: Worksheet) -> int:
    """The row of the headings, under the lines over the table."""
    return next(row for row in range(1, 20) if sheet.cell(row, 1).value in ("group", "what"))


def cells(sheet: Worksheet) -> list[dict[str, object]]:
    top = head_row(sheet)
    heads = [str(cell.value) for cell in sheet[top]]
    return [
        dict(zip(heads, (cell.value for cell in row), strict=True))
        for row in sheet.iter_rows(min_row=top + 1)
    ]


@pytest.mark.parametrize("name", NAMES)
def test_every_line_of_the_list_is_on_its_sheet(name: str) -> None:
    listed = material_list(sample(name).job)
    sheets = book(material_xlsx(listed))
    filled = [section for section in SECTIONS if listed.of(section)]
    assert list(sheets) == [*(section.capitalize() for section in filled), "Checks"]
    for section in filled:
        rows, lines = cells(sheets[section.capitalize()]), listed.of(section)
        assert [row["name"] for row in rows] == [line.name for line in lines]
        for row, line in zip(rows, lines, strict=True):
            assert {fate: row[fate] for fate in line.amounts} == dict(line.amounts)


@pytest.mark.parametrize("name", NAMES)
def test_a_row_is_as_high_as_the_lines_its_cells_take(name: str) -> None:
    # with letters as wide as a digit, as which the width of a column counts them
    for sheet in book(material_xlsx(material_list(sample(name).job))).values():
        top = head_row(sheet)
        for row in sheet.iter_rows(min_row=top + 1):
            room = (sheet.row_dimensions[row[0].row].height or 15.0) / 15.0
            for cell in row:
                if isinstance(cell.value, str) and cell.column <= 3:
                    wide = sheet.column_dimensions[cell.column_letter].width
                    # of a long text more goes on a line than digits
                    lines = len(wrap(cell.value, int(wide * (1.2 if wide > 40 else 1.0))))
                    assert lines <= room or room >= 27.0, cell.value


def test_numbers_are_numbers_and_text_is_text() -> None:
    sheet = book(material_xlsx(material_list(sample("corner").job, PRICES)))["Material"]
    (bolt,) = (row for row in cells(sheet) if row["name"] == "Machine bolt 5/8 in x 14 in")
    assert (bolt["install"], bolt["cost each"], bolt["cost"], bolt["lead days"]) == (
        2, 12.5, 25, 21,
    )  # fmt: skip
    assert (bolt["weight lb"], bolt["stock number"]) == (2.4, "BT-14")
    assert bolt["transfer"] is None
    for row in sheet.iter_rows(min_row=head_row(sheet) + 1):
        for cell in row:
            assert cell.data_type in ("n", "s")
            assert (cell.data_type == "n") == (
                cell.value is None or not isinstance(cell.value, str)
            )


def test_headings_stay_in_sight_and_on_every_page() -> None:
    for sheet in book(material_xlsx(material_list(sample("tangent").job))).values():
        top = head_row(sheet)
        assert sheet.freeze_panes == f"A{top + 1}"
        assert sheet.print_title_rows == f"${top}:${top}"
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.fitToWidth in (None, 1)  # 1 is what is meant by none
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert "page &P of &N" in sheet.oddFooter.right.text.replace("&[Page]", "&P").replace(
            "&[Pages]", "&N"
        )


def test_a_list_that_does_not_close_says_so_on_every_sheet_of_it() -> None:
    sheets = book(material_xlsx(material_list(sample("tangent").job)))
    for title in ("Material", "Returns and salvage"):
        assert sheets[title].cell(2, 1).value == "NOT TO BE ISSUED: 1 item undecided: Street lamp"
    closed = book(material_xlsx(material_list(sample("corner").job)))
    assert closed["Material"].cell(2, 1).value == "group"


def test_a_section_without_a_line_has_no_page_and_is_said_to_be_empty() -> None:
    for name, there in (("corner", False), ("corner-transfer", True)):
        listed = material_list(sample(name).job)
        sheets = book(material_xlsx(listed))
        assert bool(listed.of("temporary gear")) == there
        assert ("Temporary gear" in sheets) == there
        said = [row["words"] for row in cells(sheets["Checks"])]
        assert ("temporary gear: none" in said) != there


def test_the_same_list_is_the_same_bytes() -> None:
    one, two = (material_xlsx(material_list(sample("corner").job, PRICES)) for _ in range(2))
    assert one == two
    assert material_json(material_list(sample("corner").job)) == material_json(
        material_list(sample("corner").job)
    )


@pytest.mark.parametrize("name", FORMULAS)
def test_a_name_a_spreadsheet_would_run_is_only_text(name: str) -> None:
    sheet = book(material_xlsx(material_list(unnamed(name))))["Material"]
    (cell,) = (
        cell for row in sheet.iter_rows() for cell in row
        if cell.data_type == "s" and str(cell.value).strip().endswith(name.strip()[1:])
        and cell.column_letter == "B"
    )  # fmt: skip
    assert cell.data_type == "s"
    for row in sheet.iter_rows():
        assert all(one.data_type != "f" for one in row)


def converted(soffice: str, folder: Path, data: bytes) -> list[list[str]]:
    """The first sheet as LibreOffice shows it."""
    (folder / "list.xlsx").write_bytes(data)
    subprocess.run(
        [soffice, "--headless", f"-env:UserInstallation={(folder / 'own').as_uri()}",
         "--convert-to", 'csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false',
         "--outdir", str(folder), str(folder / "list.xlsx")],
        capture_output=True, check=True, timeout=180,
    )  # fmt: skip
    with (folder / "list.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def test_libreoffice_opens_it_with_the_same_cells(
    tmp_path: Path, needs_program: Callable[[str], str]
) -> None:
    listed = material_list(sample("tangent").job, PRICES)
    rows = converted(needs_program("soffice"), tmp_path, material_xlsx(listed))
    assert rows[1][0] == "NOT TO BE ISSUED: 1 item undecided: Street lamp"
    heads = rows[2]
    shown = [dict(zip(heads, row, strict=True)) for row in rows[3:]]
    assert [row["name"] for row in shown] == [line.name for line in listed.of("material")]
    for row, line in zip(shown, listed.of("material"), strict=True):
        for fate, amount in line.amounts.items():
            assert float(row[fate].replace(",", "")) == amount


def test_libreoffice_runs_no_name(tmp_path: Path, needs_program: Callable[[str], str]) -> None:
    listed = material_list(unnamed("=1+1"))
    rows = converted(needs_program("soffice"), tmp_path, material_xlsx(listed))
    names = [row[1] for row in rows]
    assert "=1+1" in names
    assert "2" not in names


def test_the_estimate_has_empty_cells_where_nothing_is_known() -> None:
    listed = material_list(sample("corner").job, PRICES)
    hours = Labour("l.csv", (LabourRow("arm-10ft-4pin", "install", 3.0),))
    sheets = book(estimate_xlsx(estimate(listed, hours, crew=4)))
    totals = {row[0].value: row[1].value for row in sheets["Totals"].iter_rows(min_row=2)}
    assert totals["labour to install"] == 6.0
    assert totals["labour to remove"] is None
    assert totals["labour cost"] is None
    assert totals["crew time"] == 1.5
    assert totals["material"] == 2 * 84.5 + 2 * 12.5


def test_the_list_is_written_as_its_ending_says(tmp_path: Path) -> None:
    job = sample("corner").job
    for ending, begins in (("xlsx", b"PK"), ("json", b"{"), ("pdf", b"%PDF-"), ("csv", b"section")):
        path = tmp_path / f"list.{ending}"
        assert write_materials(job, path) == (path,)
        assert path.read_bytes().startswith(begins)


def test_the_printed_list_has_every_name_and_the_stamp(
    tmp_path: Path, needs_program: Callable[[str], str]
) -> None:
    text = needs_program("pdftotext")
    for name in ("corner", "tangent"):
        path = tmp_path / f"{name}.pdf"
        write_materials(sample(name).job, path, paper="letter")
        done = subprocess.run([text, "-raw", str(path), "-"], capture_output=True, check=True)
        words = " ".join(done.stdout.decode().split())
        for line in material_list(sample(name).job).lines:
            assert line.name.split()[0] in words
        assert ("NOT TO BE ISSUED" in words) == (name == "tangent")
        assert "because the pole is" in words
