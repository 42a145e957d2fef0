"""Labels nobody expected, in every text field of a job: all three files stay whole and readable."""

from __future__ import annotations

import csv
import subprocess
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from msgspec.structs import replace

from framer.drawing.picture import Dimension, Picture, Text
from framer.drawing.sheet import MARGIN, Sheet
from framer.model.faults import faults
from framer.model.job import Job
from framer.session import Session, SheetKind
from framer.sheets.dimension import dimension_strokes
from framer.sheets.output import write_all
from framer.sheets.pdf import LOST, write_pdf
from tests.outputs.samples import NAMES, sample, shown

LABELS = {
    "empty of sense": " ",
    "overlong": "Between the old mill and the upper bridge " * 80,
    "overlong word": "M" * 4000,
    "group codes": "arm\n  0\nEOF\n  0\nSECTION",
    "line ends": "a\r\nb\rc\u2028d\u2029e\x0bf\x85g",
    "controls": "a\x00b\x07c\x1bd\x7fe\u200bf\u202eg",
    "drawing codes": "50%%c 90%%d %%u^J^M \\P \\U+00E9 {\\H3x;big} <>",
    "print codes": "(un)balanced \\( \\) \\222 %comment /Name <</A 1>> endstream endobj",
    "markup": "<b>&amp;</b>]]><!--",
    "formula": '=HYPERLINK("x")',
    "letters of others": "Łódź Δίκτυο Сеть 変圧器 محول שנאי ผม",
    "far planes": "\U0001f50c\U0001f9f0\U00020000",
    "stacked accents": "e" + "\u0301" * 60,
    "not a character": "a\ufffeb\uffffc",
}


def renamed(made: Job, label: str) -> Job:
    """The job with the label in, or at the end of, everything that is called something."""
    return replace(
        made,
        name=label,
        place=label,
        owner=label,
        drafted_by=label,
        date=label,
        note=label,
        items=tuple(replace(one, name=label) for one in made.items),
        circuits=tuple(replace(one, name=label, owner=label) for one in made.circuits),
        spans=tuple(replace(one, toward=label) for one in made.spans),
        nearby=tuple(replace(one, name=label) for one in made.nearby),
        limits=tuple(replace(one, name=label) for one in made.limits),
    )


@pytest.fixture(params=LABELS, ids=lambda key: key.replace(" ", "-"))
def label(request: pytest.FixtureRequest) -> str:
    return LABELS[request.param]


@pytest.fixture(params=NAMES)
def session(request: pytest.FixtureRequest, label: str) -> Session:
    made = renamed(sample(request.param).job, label)
    assert list(faults(made)) == []
    return Session(made)


def texts(sheet: Sheet) -> list[Text]:
    found: list[Text] = []
    for one in sheet.picture.primitives:
        strokes = dimension_strokes(one) if isinstance(one, Dimension) else [one]
        found.extend(stroke for stroke in strokes if isinstance(stroke, Text))
    return found


@pytest.mark.parametrize("kind", ["change-out", "framing"])
def test_no_text_leaves_the_frame_and_what_matters_is_still_there(
    session: Session, kind: SheetKind
) -> None:
    for paper in ("tabloid", "letter"):
        made = session.sheet(None, paper, kind)
        margin = MARGIN * made.scale
        right, top = made.paper.width * made.scale - margin, made.paper.height * made.scale - margin
        printed = texts(made)
        for one in printed:
            box = Picture((one,)).bounds()
            assert box[0] >= margin - 0.001, one.text
            assert box[1] >= margin - 0.001, one.text
            assert box[2] <= right + 0.001, one.text
            assert box[3] <= top + 0.001, one.text
        words = " ".join(one.text for one in printed)
        assert f"Scale 1 in = {made.scale // 12} ft" in words
        assert "Drawing aid only" in words
        counts = session.findings("framed").counts
        assert ", ".join(f"{many} {verdict}" for verdict, many in counts.items()) in words


@pytest.mark.parametrize("paper", ["tabloid", "letter"])
def test_the_worst_finding_is_listed_with_its_numbers_however_long_the_names(
    label: str, paper: str
) -> None:
    """The crossing wire runs through the bare top of the pole: nothing where 3 1/2 ft must be."""
    session = Session(renamed(sample("corner").job, label))
    assert session.findings("framed")[0].verdict == "short"
    printed = " ".join(
        one.text for one in texts(session.sheet(None, paper)) if one.style == "label"
    )
    assert "kept from a neighbouring circuit" in printed
    assert "0 in, needs 3 ft 6 in, short 3 ft 6 in" in printed


def test_all_three_files_are_whole(
    tmp_path: Path, session: Session, needs_program: Callable[[str], str]
) -> None:
    made = session.sheet()
    sketch, printed, listed = write_all(session.job, made, tmp_path / "out", "job")

    document = ezdxf.readfile(sketch)
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    flat = [one for one in made.picture.primitives if not isinstance(one, Dimension)]
    solid = sum(getattr(one, "fill", "") == "solid" for one in flat)
    slanting = [
        stroke
        for one in made.picture.primitives
        if isinstance(one, Dimension) and one.direction == "slant"
        for stroke in dimension_strokes(one)
    ]
    upright = sum(
        isinstance(one, Dimension) and one.direction != "slant" for one in made.picture.primitives
    )
    # nothing lost and nothing smuggled in
    assert len(shown(document)) == len(flat) + solid + len(slanting) + upright
    told = [one for insert in document.modelspace().query("INSERT") for one in insert.attribs]
    for one in (*document.modelspace().query("TEXT"), *told):
        assert one.dxf.text.isprintable()
        assert "%%" not in one.dxf.text

    program = needs_program("pdftotext")
    done = subprocess.run(
        [program, "-raw", str(printed), "-"], capture_output=True, check=True, timeout=60
    )
    assert done.stderr == b""
    extracted = " ".join(done.stdout.decode("utf-8").split())
    assert f"Scale 1 in = {made.scale // 12} ft (1:{made.scale}) on tabloid" in extracted
    assert "Wood, rope, hardware and cover are not insulation beyond their rating." in extracted

    with listed.open(encoding="utf-8", newline="") as opened:
        rows = list(csv.reader(opened, strict=True))
    assert {len(row) for row in rows} == {22}
    assert not any(cell[:1] in ("=", "+", "-", "@") for row in rows for cell in row)
    poles = [row for row in rows if row[1] == "Poles"]
    assert len(poles) == 2


def printed_with_name(pdftotext: str, folder: Path, name: str) -> str:
    """What can be read of the printed corner sketch when the job has this name."""
    made = replace(sample("corner").job, name=name)
    path = folder / "job.pdf"
    write_pdf((Session(made).sheet(),), path)
    done = subprocess.run(
        [pdftotext, "-raw", str(path), "-"], capture_output=True, text=True, check=True
    )
    return done.stdout


def test_letters_the_print_has_no_shape_for_are_question_marks_and_that_is_said(
    tmp_path: Path, needs_program: Callable[[str], str]
) -> None:
    printed = printed_with_name(needs_program("pdftotext"), tmp_path, "Pole 7 変圧 end")
    assert "Pole 7 ?? end" in printed
    assert LOST in printed


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("Pole 7 by the mill?", "Pole 7 by the mill?"),
        ("12\u2032 6\u2033 arm", "12' 6\" arm"),
        ("Zoe\u0308 A\u030alesund \u00bd", "Zoë Ålesund ½"),  # accents as letters of their own
    ],
)
def test_letters_that_can_be_printed_lose_nothing_and_no_loss_is_said(
    tmp_path: Path, needs_program: Callable[[str], str], name: str, told: str
) -> None:
    printed = printed_with_name(needs_program("pdftotext"), tmp_path, name)
    assert told in printed
    assert LOST not in printed
