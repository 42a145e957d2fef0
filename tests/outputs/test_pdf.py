"""The sketch as PDF, read by poppler's programs: its text, its page and its scale on paper.

Lengths of poles are those of the sample jobs: 45 and 50 ft, 40 and 45 ft, 40 and 45 ft.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from framer.drawing.picture import Dimension, Text
from framer.drawing.sheet import cautions
from framer.drawing.style import STYLES
from framer.sheets.output import write_sheet
from framer.sheets.pdf import pdf_bytes
from tests.outputs.samples import NAMES, Pixels, raster, sample

PAGES_PT = {
    "letter": (792.0, 612.0),
    "tabloid": (1224.0, 792.0),
    "a4": (297 / 25.4 * 72, 210 / 25.4 * 72),
    "a3": (420 / 25.4 * 72, 297 / 25.4 * 72),
}
POLES_IN = {"corner": (540.0, 600.0), "tangent": (480.0, 540.0), "dead-end": (480.0, 540.0)}
DPI = 144


@pytest.fixture(params=NAMES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def written(folder: Path, name: str, paper: str = "tabloid") -> Path:
    path = folder / f"{name}-{paper}.pdf"
    write_sheet(sample(name).sheet(None, paper), path)
    return path


def run(*words: str) -> str:
    done = subprocess.run(words, capture_output=True, text=True, check=True, timeout=60)
    assert done.stderr == ""
    return done.stdout


@pytest.fixture
def text_of(needs_program: Callable[[str], str]) -> Callable[[Path], str]:
    """The text of a PDF as another program extracts it, blanks and line ends as one blank."""
    program = needs_program("pdftotext")
    return lambda path: " ".join(run(program, "-raw", str(path), "-").split())


# The page.


@pytest.mark.parametrize("paper", list(PAGES_PT))
def test_there_is_one_page_and_it_has_the_size_of_its_paper(
    tmp_path: Path, name: str, paper: str, needs_program: Callable[[str], str]
) -> None:
    about = run(needs_program("pdfinfo"), str(written(tmp_path, name, paper)))
    assert re.search(r"^Pages: +1$", about, re.MULTILINE)
    size = re.search(r"^Page size: +([\d.]+) x ([\d.]+) pts", about, re.MULTILINE)
    assert size
    assert [float(one) for one in size.groups()] == pytest.approx(PAGES_PT[paper], abs=0.01)
    assert sample(name).job.name in about


def test_its_fonts_are_inside_it(
    tmp_path: Path, name: str, needs_program: Callable[[str], str]
) -> None:
    listed = run(needs_program("pdffonts"), str(written(tmp_path, name))).splitlines()[2:]
    assert listed
    for line in listed:
        embedded, _, to_unicode = line.split()[-5:-2]
        assert (embedded, to_unicode) == ("yes", "yes"), line


def test_equal_sheets_give_equal_bytes(name: str) -> None:
    sheets = (sample(name).sheet(),)
    assert pdf_bytes(sheets) == pdf_bytes(sheets)


# What is printed.


@pytest.mark.parametrize("paper", list(PAGES_PT))
def test_every_text_of_the_sheet_can_be_extracted(
    tmp_path: Path, name: str, paper: str, text_of: Callable[[Path], str]
) -> None:
    printed = text_of(written(tmp_path, name, paper))
    made = sample(name).sheet(None, paper)
    wanted = [
        one.text
        for one in made.picture.primitives
        if isinstance(one, Text | Dimension) and one.text
    ]
    assert len(wanted) > 60
    assert [text for text in wanted if " ".join(text.split()) not in printed] == []


@pytest.mark.parametrize("paper", list(PAGES_PT))
def test_every_caution_is_printed_and_nothing_is_called_safe_approved_or_compliant(
    tmp_path: Path, name: str, paper: str, text_of: Callable[[Path], str]
) -> None:
    printed = text_of(written(tmp_path, name, paper))
    assert len(cautions()) >= 6
    for caution in cautions():
        assert caution in printed
    assert re.findall(r"\b(safe|approved|compliant|certified)\b", printed, re.IGNORECASE) == []


def test_who_what_where_and_by_which_rules_is_printed(
    tmp_path: Path, name: str, text_of: Callable[[Path], str]
) -> None:
    printed = text_of(written(tmp_path, name))
    session = sample(name)
    job = session.job
    assert f"{job.name} {job.place} - {job.owner}" in printed
    assert f"Drafted by {job.drafted_by}, {job.date}; draft - not checked by chief" in printed
    for book in session.books():
        book_name, edition = book.book.name, book.book.edition
        # an edition that is in the name is not said twice
        once = edition in book_name.replace(",", "").split()
        assert (book_name if once else f"{book_name} ({edition})") in printed
        assert f"{book_name} ({edition})" not in printed or not once


# To scale.


def stated_scale(printed: str) -> int:
    """The scale a reader finds on the print."""
    said = re.search(r"Scale 1 in = (\d+) ft \(1:(\d+)\)", printed)
    assert said
    feet, ratio = (int(one) for one in said.groups())
    assert ratio == 12 * feet
    return ratio


def in_colour(pixels: Pixels, style: str) -> NDArray[np.bool_]:
    """Where a page has the colour of a style of lines."""
    wanted = np.array(STYLES[style].colour)  # type: ignore[index]
    off = np.abs(pixels.astype(int) - wanted).max(axis=2)
    found: NDArray[np.bool_] = off < 12
    return found


def middles_of_headings(pdftotext: str, path: Path) -> list[float]:
    """Where the poles stand on the page, inches from its left: each above its heading."""
    page = run(pdftotext, "-bbox", str(path), "-")
    word = re.compile(r'<word xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)"[^>]*>([^<]+)</word>')
    words = [(float(left), float(right), text) for left, right, text in word.findall(page)]
    found = []
    for place, (left, _, text) in enumerate(words):
        if text == "AS" and words[place + 1][2] in ("FOUND,", "FRAMED,"):
            assert words[place + 2][2] == "looking"
            found.append((left + words[place + 3][1]) / 2 / 72)
    return found


@pytest.mark.parametrize("paper", list(PAGES_PT))
def test_a_pole_measured_on_paper_times_the_stated_scale_is_as_long_as_it_is(
    tmp_path: Path,
    name: str,
    paper: str,
    needs_program: Callable[[str], str],
    text_of: Callable[[Path], str],
) -> None:
    path = written(tmp_path, name, paper)
    scale = stated_scale(text_of(path))
    brown = in_colour(raster(needs_program("pdftoppm"), path, "-r", str(DPI)), "pole")
    middles = middles_of_headings(needs_program("pdftotext"), path)
    assert len(middles) == 2
    for middle, length_in in zip(middles, POLES_IN[name], strict=True):
        # its sides too: other lines may lie over the middle of its top
        reach = round(5.0 / scale * DPI)
        column = round(middle * DPI)
        rows = np.nonzero(brown[:, column - reach : column + reach + 1].any(axis=1))[0]
        # from the middle of the line across the top to that across the butt; lines are 0.5 mm
        on_paper_in = (rows.max() - rows.min() + 1) / DPI - 0.5 / 25.4
        assert on_paper_in * scale == pytest.approx(length_in, abs=2 * scale / DPI)


def test_the_scale_bar_measured_on_paper_is_as_long_as_it_says(
    tmp_path: Path,
    name: str,
    needs_program: Callable[[str], str],
    text_of: Callable[[Path], str],
) -> None:
    path = written(tmp_path, name)
    printed = text_of(path)
    said = re.search(r"looking [a-z-]+ 0 (\d+) (\d+) ft", printed)
    assert said
    half_ft, all_ft = (int(one) for one in said.groups())
    assert all_ft == 2 * half_ft
    grey = in_colour(raster(needs_program("pdftoppm"), path, "-r", str(DPI)), "scale")
    # the solid half: more rows than the thin outline of the whole
    runs = [longest_run(np.nonzero(row)[0]) for row in grey]
    half = np.median([run for run in runs if run > DPI / 3])
    scale = stated_scale(printed)
    assert half / DPI * scale == pytest.approx(12.0 * half_ft, abs=2 * scale / DPI)


def longest_run(columns: NDArray[np.int_]) -> int:
    """How many of these columns lie beside each other at most."""
    pieces = np.split(columns, np.nonzero(np.diff(columns) > 1)[0] + 1)
    return max(piece.size for piece in pieces)
