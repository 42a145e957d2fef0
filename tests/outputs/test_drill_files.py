"""The drill sheet as DXF, PDF and CSV, opened by other programs.

The corner job's bores are worked out by hand: a 50-ft pole set 7 ft, not cut, with the line arm a
foot below the top and the buck arm 4 ft under it; their braces 18 in lower; spool and neutral
dead-end on one bolt at 29 ft 5 in; the clamp at 26 ft.
"""

from __future__ import annotations

import csv
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pytest
from ezdxf import recover

from framer.drawing.drill import drill_sheet
from framer.drawing.picture import Text, extent
from framer.drawing.sheet import PAPERS, cautions
from framer.errors import FramerError
from framer.geometry.placing import place
from framer.model.item import Item, PoleFacts
from framer.model.job import Settings
from framer.model.place import OnPole, Standing
from framer.sheets.output import write_drill
from framer.takeoff.drilling import drill_list
from framer.units.length import read_length
from tests.build import job
from tests.outputs.samples import NAMES, raster, sample, shown

POLE = "pole-new"
ROWS = [
    ("1", "Line arm", "drill", "49 ft", "42 ft", "1 ft", "N-S", "N"),
    ("2", "Line arm brace", "drill", "47 ft 6 in", "40 ft 6 in", "2 ft 6 in", "N-S", "N"),
    ("3", "Buck arm", "drill", "45 ft", "38 ft", "5 ft", "E-W", "W"),
    ("4", "Buck arm brace", "drill", "43 ft 6 in", "36 ft 6 in", "6 ft 6 in", "E-W", "W"),
    (
        "5", "Neutral spool and Neutral dead-end", "drill", "36 ft 5 in", "29 ft 5 in",
        "13 ft 7 in", "E-W", "E",
    ),
    ("6", "Communications clamp", "drilled by others", "33 ft", "26 ft", "17 ft", "E-W", "E"),
]  # fmt: skip


def written(folder: Path, ending: str, name: str = "corner", paper: str = "tabloid") -> Path:
    path = folder / f"{name}.{ending}"
    write_drill(sample(name).scene("framed"), POLE, path, paper=paper)
    return path


# CSV.


def table(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_the_csv_has_every_bore_in_order(tmp_path: Path) -> None:
    names = ("number", "bolt for", "to do", "from butt", "above ground", "from top", "runs", "head")
    rows = table(written(tmp_path, "csv"))
    bores = [row for row in rows if row["number"].isdigit()]
    assert [tuple(row[name] for name in names) for row in bores] == ROWS
    assert {row["hole"] for row in bores} == {"11/16 in"}
    notes = [row["bolt for"] for row in rows if row["number"] == "note"]
    assert "Length 50 ft, cut 0 in, finished 50 ft" in notes
    assert "Bolt length by the longer of stack and thumb rule; next stock length at least that" in (
        notes
    )


@pytest.mark.parametrize("name", NAMES)
def test_the_distances_of_every_row_add_up_as_printed(tmp_path: Path, name: str) -> None:
    rows = [row for row in table(written(tmp_path, "csv", name)) if row["number"].isdigit()]
    assert len(rows) >= 4
    for row in rows:
        butt, top = (read_length(row[key]).value_in for key in ("from butt", "from top"))
        length = row["butt + top"].removesuffix(" = length")
        assert butt + top == read_length(length).value_in
        assert length in ("45 ft", "50 ft")


def test_a_hostile_name_is_no_formula(tmp_path: Path) -> None:
    where = OnPole(when="after", host="pole", at_in=300.0)
    made = job(
        Item("pole", "pole", (Standing(when="after"),), pole=PoleFacts(540.0)),
        Item("a", "insulator", (where,), "spool-53-2", name="=1+1"),
    )
    path = tmp_path / "a.csv"
    write_drill(place(made, "framed"), "pole", path)
    assert table(path)[0]["bolt for"] == "'=1+1"


# DXF.


def texts(document: Any) -> list[str]:
    return [one.dxf.text for one in document.modelspace().query("TEXT")]


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_the_drawing_is_sound_and_has_every_cell(tmp_path: Path, name: str, paper: str) -> None:
    path = written(tmp_path, "dxf", name, paper)
    document, auditor = recover.readfile(path)
    assert (auditor.errors, auditor.fixes) == ([], [])
    printed = texts(document)
    for row in table(written(tmp_path, "csv", name)):
        if row["number"].isdigit():
            for key in ("from butt", "above ground", "from top", "butt + top", "runs", "bolt"):
                assert row[key] in printed, row[key]


def test_the_side_views_are_true_to_size(tmp_path: Path) -> None:
    document = ezdxf.readfile(written(tmp_path, "dxf"))
    circles = shown(document, "CIRCLE", "EQUIPMENT")
    # two bores run north-south and are seen end on from the south, four from the west; 11/16 in
    assert sorted(round(one.dxf.radius, 6) for one in circles) == [0.34375] * 6
    from_the_south = sorted({round(one.dxf.center.x, 3) for one in circles})
    first = [one.dxf.center.y for one in circles if round(one.dxf.center.x, 3) == from_the_south[0]]
    assert max(first) - min(first) == pytest.approx(18.0)
    second = [
        one.dxf.center.y for one in circles if round(one.dxf.center.x, 3) == from_the_south[1]
    ]
    # buck arm 5 ft down to the clamp 17 ft down
    assert max(second) - min(second) == pytest.approx(144.0)
    assert max(first) - max(second) == pytest.approx(48.0)


# PDF.


def run(*words: str) -> str:
    done = subprocess.run(words, capture_output=True, text=True, check=True, timeout=60)
    assert done.stderr == ""
    return done.stdout


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_the_page_has_rows_bolts_and_cautions(
    tmp_path: Path, name: str, paper: str, needs_program: Callable[[str], str]
) -> None:
    path = written(tmp_path, "pdf", name, paper)
    printed = " ".join(run(needs_program("pdftotext"), "-raw", str(path), "-").split())
    rows = [row for row in table(written(tmp_path, "csv", name)) if row["number"].isdigit()]
    for row in rows:
        assert f"{row['from butt']} {row['above ground']} {row['from top']}" in printed
        assert row["bolt"] in printed
    assert "Drill sheet:" in printed
    assert " ".join(cautions()[0].split()[:6]) in printed
    assert re.search(r"^Pages: +1$", run(needs_program("pdfinfo"), str(path)), re.MULTILINE)


def test_the_page_is_not_empty_and_nothing_is_cut_off_at_its_edge(
    tmp_path: Path, needs_program: Callable[[str], str]
) -> None:
    pixels = raster(needs_program("pdftoppm"), written(tmp_path, "pdf"), "-r", "72")
    dark = pixels.min(axis=2) < 128
    assert 0.002 < dark.mean() < 0.2
    margin = int(0.35 * 72)
    for edge in (dark[:margin], dark[-margin:], dark[:, :margin], dark[:, -margin:]):
        assert not np.any(edge)


# Room on the paper.


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_no_text_runs_into_another(name: str, paper: str) -> None:
    sheet = drill_sheet(sample(name).scene("framed"), POLE, paper=PAPERS[paper])
    boxes = []
    for one in sheet.picture.primitives:
        if isinstance(one, Text):
            (left, low), (right, high) = extent(one)
            boxes.append((left, low, right, high, one.text))
            assert left >= 0.4 * sheet.scale, one.text
            assert right <= (sheet.paper.width - 0.4) * sheet.scale, one.text
    for number, (left, low, right, high, text) in enumerate(boxes):
        for other in boxes[number + 1 :]:
            apart = right <= other[0] or other[2] <= left or high <= other[1] or other[3] <= low
            assert apart, (text, other[4])


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_every_name_is_whole_over_two_lines_where_one_has_no_room(name: str, paper: str) -> None:
    scene = sample(name).scene("framed")
    sheet = drill_sheet(scene, POLE, paper=PAPERS[paper])
    texts = [one for one in sheet.picture.primitives if isinstance(one, Text)]
    (head,) = (one for one in texts if one.text == "bolt for")
    column = [one for one in texts if one.at[0] == head.at[0] and one.at[1] < head.at[1]]
    words = " ".join(one.text for one in sorted(column, key=lambda one: -one.at[1]))
    names = " ".join(row.what for row in drill_list(scene, POLE).rows)
    assert words.startswith(names)


def many(count: int, units: Any = "ft-in") -> Any:
    pole = Item("pole", "pole", (Standing(when="after"),), pole=PoleFacts(540.0))
    places = [
        OnPole(
            when="after",
            host="pole",
            at_in=440.0 - 9.0 * number,
            azimuth_deg=45.0 * number % 360.0,
        )
        for number in range(count)
    ]
    spools = [
        Item(f"s{number}", "insulator", (where,), "spool-53-2", name=f"Spool {number} of a crowd")
        for number, where in enumerate(places)
    ]
    return place(job(pole, *spools, settings=Settings(units=units)), "framed")


@pytest.mark.parametrize("units", ["ft-in", "metric"])
def test_a_crowded_pole_finds_room_with_smaller_text(units: Any) -> None:
    sheet = drill_sheet(many(16, units), "pole")
    smallest = min(one.height for one in sheet.picture.primitives if isinstance(one, Text))
    assert smallest >= 0.5 * 0.085 * sheet.scale


def test_a_sheet_with_room_to_spare_has_larger_letters_and_whole_names() -> None:
    def row(count: int) -> tuple[str, float]:
        """A name in the table, and how high it is on the paper."""
        sheet = drill_sheet(many(count), "pole")
        texts = [one for one in sheet.picture.primitives if isinstance(one, Text)]
        name = next(one for one in texts if one.text.startswith("Spool 0"))
        return name.text, name.height / sheet.scale

    (name, few), (_, crowd) = row(3), row(30)
    assert name == "Spool 0 of a crowd"
    assert few > 1.15 * crowd


def test_too_many_bores_for_the_paper_are_not_left_out() -> None:
    with pytest.raises(FramerError, match="48 bores have no room on letter paper"):
        drill_sheet(many(48), "pole", paper=PAPERS["letter"])


def test_a_pole_without_bores_has_a_sheet_that_says_so() -> None:
    sheet = drill_sheet(many(0), "pole")
    words = [one.text for one in sheet.picture.primitives if isinstance(one, Text)]
    assert "no bore is needed on this pole" in words


@pytest.mark.parametrize("name", ["a.dwg", "a.framer", "a"])
def test_any_other_ending_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(FramerError, match="a drill sheet is written as"):
        write_drill(many(1), "pole", tmp_path / name)
    assert list(tmp_path.iterdir()) == []
