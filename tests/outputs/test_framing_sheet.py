"""The framing sheet as DXF and PDF, read by other programs: sound, and true to scale."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from ezdxf import recover
from msgspec.structs import replace

from framer.drawing.picture import Dimension, Picture, Text
from framer.drawing.picture import Path as Outline
from framer.drawing.sheet import Sheet, main_pole
from framer.drawing.style import STYLES
from framer.sheets.output import write_sheet
from tests.outputs.samples import NAMES, raster, sample

PAPERS = ("letter", "tabloid", "a4", "a3")
DPI = 200
POLES_IN = {"corner": 600.0, "tangent": 540.0, "dead-end": 540.0}


def sheet(name: str, paper: str) -> Sheet:
    return sample(name).sheet(None, paper, "framing")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_the_audit_finds_nothing_wrong_and_every_text_is_there(
    tmp_path: Path, name: str, paper: str
) -> None:
    made, path = sheet(name, paper), tmp_path / "framing.dxf"
    write_sheet(made, path)
    document, strict = recover.readfile(path)
    assert (strict.errors, strict.fixes) == ([], [])
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    space = document.modelspace()
    written = sorted(one.dxf.text for one in space.query("TEXT"))
    wanted = [one.text for one in made.picture.primitives if isinstance(one, Text)]
    assert written == sorted(wanted)
    dimensions = [one for one in made.picture.primitives if isinstance(one, Dimension)]
    assert len(space.query("DIMENSION")) == sum(one.direction != "slant" for one in dimensions)


@pytest.mark.parametrize("name", NAMES)
def test_spaces_and_what_is_far_below_are_on_layers_of_their_own(tmp_path: Path, name: str) -> None:
    path = tmp_path / "framing.dxf"
    write_sheet(sheet(name, "tabloid"), path)
    document = ezdxf.readfile(path)
    used = {one.dxf.layer for one in document.modelspace()}
    assert {"SPACE", "BELOW-PLAN"} <= used
    assert document.layers.get("SPACE").dxf.linetype in document.linetypes


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_both_poles_measured_on_paper_are_as_long_as_they_are(
    tmp_path: Path, name: str, paper: str, needs_program: Callable[[str], str]
) -> None:
    made, path = sheet(name, paper), tmp_path / "poles.pdf"
    key = main_pole(sample(name).scene("framed"), new=True)
    outlines = tuple(
        one
        for one in made.picture.primitives
        if isinstance(one, Outline) and one.style == "pole" and one.owner == key
    )
    assert len(outlines) == 2
    # alone, or a line across the top hides some of it
    write_sheet(replace(made, picture=Picture(outlines)), path)
    pixels = raster(needs_program("pdftoppm"), path, "-r", str(DPI))
    brown = np.abs(pixels.astype(np.int16) - np.int16(STYLES["pole"].colour)).max(axis=2) < 12
    for outline in outlines:
        left, _, right, _ = Picture((outline,)).bounds()
        first, last = (round(x / made.scale * DPI) for x in (left, right))
        rows = np.nonzero(brown[:, first : last + 1].any(axis=1))[0]
        # lines are 0.5 mm wide
        on_paper_in = (rows.max() - rows.min() + 1) / DPI - 0.5 / 25.4
        assert on_paper_in * made.scale == pytest.approx(POLES_IN[name], rel=0.005)


@pytest.mark.parametrize("name", NAMES)
def test_every_text_can_be_extracted_from_the_print(
    tmp_path: Path, name: str, needs_program: Callable[[str], str]
) -> None:
    made, path = sheet(name, "letter"), tmp_path / "framing.pdf"
    write_sheet(made, path)
    done = subprocess.run(
        [needs_program("pdftotext"), "-raw", str(path), "-"],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    printed = " ".join(done.stdout.split())
    wanted = [one.text for one in made.picture.primitives if isinstance(one, Text) and one.text]
    assert len(wanted) > 60
    assert [text for text in wanted if " ".join(text.split()) not in printed] == []
