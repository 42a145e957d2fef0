"""The sheet set: numbered through, on every paper, measured, and what is left out is named."""

from __future__ import annotations

import math
import re
import subprocess
from collections.abc import Callable
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from msgspec.structs import replace

from framer.drawing.picture import Dimension, Text, extent
from framer.drawing.sheet import PAPERS, Sheet, cautions
from framer.drawing.sheet_set import foot_words
from framer.drawing.style import STYLES
from framer.edits.revisions import built_at, with_photo
from framer.files.revisions import as_issued, signed, superseded_words
from framer.session import Session
from framer.sheets.output import write_folder, write_sheets
from framer.sheets.svg import svg_bytes
from tests.outputs.samples import NAMES, raster, sample

DPI = 400
SIZES = ("letter", "tabloid", "a4", "a3")


@cache
def the_set(name: str, paper: str) -> tuple[Sheet, ...]:
    return sample(name).sheet_set(None, paper)


def run(*words: str) -> str:
    done = subprocess.run(words, capture_output=True, text=True, check=True, timeout=120)
    return done.stdout


def printed(sheet: Sheet) -> str:
    return " ".join(one.text for one in sheet.picture.primitives if isinstance(one, Text))


@pytest.mark.parametrize("paper", SIZES)
@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_has_its_number_state_and_cautions_and_nothing_over_the_edge(
    name: str, paper: str
) -> None:
    made, job = the_set(name, paper), sample(name).job
    for number, one in enumerate(made, start=1):
        words = printed(one)
        assert f"sheet {number} of {len(made)}" in words
        # revision, date, sign-off and rulebooks, none cut off
        assert foot_words(job, sample(name).books()) in words
        assert job.date in words
        assert "draft - not checked by chief" in words
        assert re.findall(r"\b(safe|approved|compliant|certified)\b", words, re.IGNORECASE) == []
        # cautions in full, and the first rulebook
        assert all(" ".join(caution.split()[:4]) in words for caution in cautions())
        assert sample(name).books()[0].book.name in words
        wide, high = (size * one.scale for size in (one.paper.width, one.paper.height))
        for primitive in one.picture.primitives:
            for x, y in extent(primitive):
                assert 0.0 <= x <= wide
                assert 0.0 <= y <= high


def test_the_list_names_every_sheet_and_what_is_not_there() -> None:
    made = the_set("corner", "tabloid")
    words = printed(made[0])
    for at, heading in ((2, "Framing sheet"), (3, "Change-out sketch"), (4, "Drill sheet"),
                        (5, "Jumper sketch")):  # fmt: skip
        assert f"{at}: {heading}" in words
    assert "Stage sheets: the job has no steps" in words
    assert "As-built redline: nothing was measured as built" in words
    titles = " ".join(one.title for one in made)
    for heading in ("Drill sheet", "Jumper sketch", "Job brief", "Pole and span table",
                    "Material list", "Joint use"):  # fmt: skip
        assert heading in titles


def test_a_transfer_has_its_stage_sheets_in_the_set() -> None:
    made = the_set("corner-transfer", "tabloid")
    assert sum(one.title.startswith("Stage sheet, step ") for one in made) >= 5
    assert any(one.title.startswith("Tightest three gaps") for one in made)


def test_all_sheets_are_pages_of_one_pdf_with_fonts_inside(
    tmp_path: Path, needs_program: Callable[[str], str]
) -> None:
    path = tmp_path / "set.pdf"
    made = the_set("corner", "letter")
    write_sheets(made, path)
    about = run(needs_program("pdfinfo"), str(path))
    assert re.search(rf"^Pages: +{len(made)}$", about, re.MULTILINE)
    fonts = run(needs_program("pdffonts"), str(path)).splitlines()[2:]
    assert fonts
    for line in fonts:
        assert line.split()[-5] == "yes", line
    for number in range(1, len(made) + 1):
        words = run(needs_program("pdftotext"), "-f", f"{number}", "-l", f"{number}", str(path),
                    "-")  # fmt: skip
        assert f"sheet {number} of {len(made)}" in words


@pytest.mark.parametrize("paper", SIZES)
def test_ten_feet_measure_ten_feet_at_the_scale_printed(
    tmp_path: Path, paper: str, needs_program: Callable[[str], str]
) -> None:
    """The buck arm's dimension, 38 ft from the ground, as pixels; half a percent is allowed."""
    sheet = sample("corner").sheet(None, paper)
    path = tmp_path / "sketch.pdf"
    write_sheets((sheet,), path)
    said = re.search(r"\(1:(\d+)\)", printed(sheet))
    assert said
    pixels = raster(needs_program("pdftoppm"), path, "-r", f"{DPI}")
    tall = next(
        one
        for one in sheet.picture.primitives
        if isinstance(one, Dimension) and one.text == "38 ft"
    )
    column = round(tall.across / sheet.scale * DPI)
    rows = np.flatnonzero(pixels[:, column].min(axis=1) < 128)
    runs = np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1)
    # at both ends a slanting tick sticks out by half its own thickness, across it
    ticks_in = STYLES["dimension"].weight_mm / 25.4 * math.sqrt(2.0)
    long_in = max(len(one) for one in runs) / DPI - ticks_in
    assert long_in * int(said[1]) / 12.0 * 10.0 / 38.0 == pytest.approx(10.0, rel=0.005)


def test_revision_sign_off_and_photos_are_on_paper() -> None:
    session = Session(sample("corner").job)
    session.do("photo", lambda job: with_photo(job, "photos/pole-7.jpg", "from the south"))
    session.issue("M. Okafor", "2026-11-21", "for the crew")
    session.do("sign off", lambda job: signed(job, "J. Chief", "2026-11-22"))
    made = session.sheet_set(None, "a4")
    assert "photos/pole-7.jpg, from the south" in printed(made[0])
    assert "revision 1, 2026-11-21, issued by M. Okafor: for the crew" in printed(made[0])
    for one in made:
        assert "revision 1 of 2026-11-21" in printed(one)
        assert "checked by J. Chief, 2026-11-22" in printed(one)
        assert "draft" not in printed(one)
    session.do("change", lambda job: replace(job, note="moved"))
    for one in session.sheet_set(None, "a4"):
        assert "draft - not checked by chief since it was changed" in printed(one)


def test_sheets_of_an_old_revision_are_stamped_on_every_page() -> None:
    session = Session(sample("corner").job)
    session.issue("M. Okafor", "2026-11-21")
    session.do("built", lambda job: built_at(job, "line-arm", "height", 500.0))
    session.issue("M. Okafor", "2026-11-23")
    stamp = superseded_words(session.job, 1)
    old = Session(as_issued(session.job, 1)).sheet_set(None, "tabloid", stamp)
    for one in old:
        assert "SUPERSEDED by revision 2 of 2026-11-23" in printed(one)
        assert "revision 1 of 2026-11-21" in printed(one)
    new = session.sheet_set(None, "tabloid")
    assert not any("SUPERSEDED" in printed(one) for one in new)
    (redline,) = (one for one in new if one.title.startswith("As-built redline"))
    assert sum(one.title.endswith(", as-built redline") for one in new) == 1
    for words in ("42 ft", "41 ft 8 in", "4 in lower", "measured"):
        assert words in printed(redline)


@pytest.mark.parametrize("kind", [".dxf", ".svg"])
def test_a_folder_has_a_file_for_each_sheet(tmp_path: Path, kind: str) -> None:
    made = the_set("dead-end", "a3")
    written = write_folder(made, tmp_path / "set", kind)
    assert len(written) == len(made) == len(set(written))
    assert [path.name[:3] for path in written] == [f"{at:02d}-" for at in range(1, len(made) + 1)]
    assert all(path.suffix == kind and path.stat().st_size > 2_000 for path in written)


# SVG.


@pytest.mark.parametrize("name", NAMES)
def test_svg_is_as_large_as_its_paper_and_has_every_text(name: str) -> None:
    sheet = sample(name).sheet(None, "a4")
    root = ElementTree.fromstring(svg_bytes(sheet))  # noqa: S314 - our own
    assert (root.get("width"), root.get("height")) == ("297mm", "210mm")
    assert root.get("viewBox") == "0 0 29700 21000"
    found = sorted(one.text or "" for one in root.iter("{http://www.w3.org/2000/svg}text"))
    wanted = sorted(
        one.text
        for one in sheet.picture.primitives
        if isinstance(one, Text | Dimension) and one.text
    )
    assert found == wanted
    assert svg_bytes(sheet) == svg_bytes(sheet)


def test_svg_lines_are_at_their_scale_and_hostile_names_harm_nothing() -> None:
    sheet = sample("corner").sheet(None, "tabloid")
    root = ElementTree.fromstring(svg_bytes(sheet))  # noqa: S314 - our own
    space = "{http://www.w3.org/2000/svg}"
    poles = [
        [tuple(map(float, point.split(","))) for point in one.get("points", "").split()]
        for one in root.iter(f"{space}polygon")
        if one.get("data-owner") == "pole-new"
    ]
    tall = max(max(y for _, y in points) - min(y for _, y in points) for points in poles)
    # a 50-ft pole in hundredths of a millimetre of paper
    assert tall == pytest.approx(600.0 * 2540.0 / sheet.scale, abs=0.2)
    named = replace(sample("corner").job, name='<script>"&\x07')
    hostile = Session(named).sheet(None, "tabloid")
    root = ElementTree.fromstring(svg_bytes(hostile))  # noqa: S314 - our own
    assert root.find(f"{space}title") is not None
    assert list(root.iter(f"{space}script")) == []


def test_papers_are_all_there_are() -> None:
    assert set(PAPERS) == set(SIZES)
