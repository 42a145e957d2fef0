"""Price and survey tables made to do harm: refused in a sentence, soon, and without much memory."""

from __future__ import annotations

import io
import time
import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from framer.files.tables import TableError, read_table

SHEET = "xl/worksheets/sheet1.xml"


def workbook(folder: Path, sheet: bytes) -> Path:
    """A spreadsheet whose one sheet has this text."""
    made, book = io.BytesIO(), Workbook()
    book.save(made)
    path = folder / "prices.xlsx"
    with zipfile.ZipFile(made) as plain, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as bad:
        for one in plain.infolist():
            bad.writestr(one.filename, sheet if one.filename == SHEET else plain.read(one))
    return path


def test_a_zip_bomb_is_refused_before_it_is_unpacked(tmp_path: Path) -> None:
    path = workbook(tmp_path, b" " * (600 * 1024**2))
    assert path.stat().st_size < 1024**2
    began = time.process_time()
    with pytest.raises(TableError, match="unpacks to more than 512 MB"):
        read_table(path)
    assert time.process_time() - began < 2.0


def test_entities_within_entities_are_refused(tmp_path: Path) -> None:
    entities = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 12))
    text = f'<!DOCTYPE x [<!ENTITY e0 "lol">{entities}]><worksheet><sheetData><row><c t="str">'
    sheet = f"<?xml version='1.0'?>{text}<v>&e11;</v></c></row></sheetData></worksheet>"
    began = time.process_time()
    with pytest.raises(TableError, match="is no spreadsheet that can be read"):
        read_table(workbook(tmp_path, sheet.encode()))
    assert time.process_time() - began < 5.0


def test_lone_cells_at_the_far_right_do_not_fill_the_rows(tmp_path: Path) -> None:
    rows = "".join(
        f'<row r="{n}"><c r="A{n}"><v>{n}</v></c><c r="XFD{n}"><v>1</v></c></row>'
        for n in range(1, 1_001)
    )
    space = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    sheet = f'<worksheet xmlns="{space}"><sheetData>{rows}</sheetData></worksheet>'
    began = time.process_time()
    table = read_table(workbook(tmp_path, sheet.encode()))
    assert time.process_time() - began < 1.0
    assert len(table.headings) == 1
    assert len(table.rows) == 999


@pytest.mark.parametrize(
    "data",
    [b"", b"PK\x03\x04", b"PK\x05\x06" + b"\0" * 18, b"not a spreadsheet" * 100, b"\0" * 1000],
)
def test_what_is_no_spreadsheet_is_refused(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "prices.xlsx"
    path.write_bytes(data)
    with pytest.raises(TableError, match=r"prices\.xlsx"):
        read_table(path)


@pytest.mark.parametrize(
    "data", [b"", b"\n\n\n", b"\xff\xfe\x00", b'a,b\n"never closed\n', b"a,b\n" + b"\0" * 50]
)
def test_what_is_no_table_is_refused_or_empty(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "prices.csv"
    path.write_bytes(data)
    try:
        rows = read_table(path).rows
    except TableError:
        rows = ()
    assert all(len(row.cells) <= 2 for row in rows)
