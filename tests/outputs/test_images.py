"""Photos and scanned drawings on paper: where they lie, and what is said of those not there."""

from __future__ import annotations

import base64
import io
import math
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pytest
from msgspec.structs import replace
from PIL import Image as Images
from PIL import ImageDraw

from framer.drawing.guide import FADED, guide_box, guide_turn_deg
from framer.drawing.picture import Image, Line, Text
from framer.drawing.sheet import PAPERS, Sheet
from framer.edits.revisions import with_photo
from framer.errors import FramerError
from framer.files.images import aspect_of, print_bytes
from framer.files.writer import write_job
from framer.model.guide import Guide, Mark
from framer.session import Session
from framer.sheets.dxf import dxf_bytes
from framer.sheets.output import write_sheets
from framer.sheets.svg import svg_bytes
from tests.outputs.samples import raster, sample

NeedsProgram = Callable[[str], str]

RED, GREEN = (220, 30, 30), (30, 160, 60)
WIDE, HIGH = 400, 800
"""Of the scan, pixels: red where the pole is, green for the rest."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    scan = Images.new("RGB", (WIDE, HIGH), GREEN)
    scan.paste(RED, (180, 0, 220, HIGH))
    scan.save(tmp_path / "scan.png")
    (tmp_path / "photos").mkdir()
    Images.new("RGB", (600, 300), RED).save(tmp_path / "photos" / "wide.jpg")
    # the camera was held upright: its file lies on its side and says so
    turned = Images.Exif()
    turned[274] = 6
    Images.new("RGB", (600, 300), GREEN).save(tmp_path / "photos" / "tall.jpg", exif=turned)
    return tmp_path


def scan(**fields: object) -> Guide:
    """The bottom of the scan is the ground line, a quarter from its top is 37 ft 6 in up."""
    guide = Guide("scan.png", WIDE / HIGH, Mark(0.5, 1.0, 0.0), Mark(0.5, 0.25, 450.0))
    return replace(guide, **fields)  # type: ignore[arg-type]


def session(folder: Path, *guides: Guide) -> Session:
    job = replace(sample("corner").job, guides=guides)
    for name, note in (("wide.jpg", "from the south"), ("tall.jpg", ""), ("gone.jpg", "the butt")):
        job = with_photo(job, f"photos/{name}", note)
    path = folder / "job.framer"
    write_job(job, path)
    return Session.open(path)


def texts(sheet: Sheet) -> str:
    return " ".join(one.text for one in sheet.picture.primitives if isinstance(one, Text))


def test_two_marks_place_a_scan_and_it_is_as_wide_as_its_shape_says() -> None:
    # 450 in are three quarters of its height: 600 in high, 300 in wide, its middle on the pole
    assert guide_box(scan(), 0.0) == pytest.approx((-150.0, 0.0, 150.0, 600.0))
    assert guide_box(scan(low=Mark(0.25, 1.0, -12.0)), 100.0) == pytest.approx(
        (-0.25 * 308.0, 88.0, 0.75 * 308.0, 704.0)
    )


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"low": Mark(0.5, 1.0)}, "heights of both marks"),
        ({"high": Mark(0.5, 0.25)}, "heights of both marks"),
        ({"high": Mark(0.5, 0.25, -1.0)}, "must be above"),
        ({"high": Mark(0.5, 1.0, 450.0)}, "must be above"),
        ({"high": Mark(0.5, 0.9999, 450.0)}, "too near"),
    ],
)
def test_a_scan_without_a_place_is_not_shown_and_it_is_said_why(
    fields: dict[str, Mark], words: str
) -> None:
    assert words in str(guide_box(scan(**fields), 0.0))


def test_a_scan_is_printed_to_scale_behind_its_pole_and_only_where_that_is_chosen(
    folder: Path, needs_program: NeedsProgram
) -> None:
    printed = session(folder, scan(is_printed=True)).sheet(0.0, "tabloid")
    (image,) = printed.picture.images
    pole = next(
        one
        for one in printed.picture.primitives
        if one.owner == "pole-old" and not isinstance(one, Text)
    )
    foot = sum(x for x, _ in pole.points) / len(pole.points)  # type: ignore[union-attr]
    assert (image.box[0] + image.box[2]) / 2 == pytest.approx(foot, abs=1.0)
    assert image.box[2] - image.box[0] == pytest.approx(300.0)
    # cut off where the elevation ends, so that nothing lies over the next pole or the frame
    assert image.clip[3] < image.box[3]
    path = folder / "printed.pdf"
    write_sheets((printed,), path)
    dots = 100
    pixels = raster(needs_program("pdftoppm"), path, "-r", str(dots))
    at = dots / printed.scale
    row = round(len(pixels) - 250.0 * at - image.box[1] * at)
    seen = pixels[row].astype(int)
    # a grass green made paler by as much as is said, from edge to edge of the scan but the pole
    pale = [round(part + FADED * (255 - part)) for part in GREEN]
    green = np.flatnonzero(np.abs(seen - pale).max(axis=1) <= 6)
    assert green[0] == pytest.approx(image.clip[0] * at, abs=2)
    assert green[-1] == pytest.approx(image.clip[2] * at, abs=2)
    hidden = session(folder, scan()).sheet(0.0, "tabloid")
    assert hidden.picture.images == ()
    assert session(folder, scan(is_printed=True)).sheet(90.0, "tabloid").picture.images == ()


ASKEW = Mark(0.3, 0.9, 0.0), Mark(0.55, 0.1, 450.0)
"""Marks on the middle of a pole that stands askew in its scan: 100 px right in 640 px up."""


def askew(folder: Path) -> Guide:
    """A scan with a straight red pole through both marks, that leans to the right."""
    low, high = ASKEW
    made = Images.new("RGB", (WIDE, HIGH), GREEN)
    ends = [(mark.x * WIDE, mark.y * HIGH) for mark in (low, high)]
    ImageDraw.Draw(made).line(ends, RED, 60)
    made.save(folder / "askew.png")
    return Guide("askew.png", WIDE / HIGH, low, high, is_turned=True, is_printed=True, look_deg=0.0)


def test_a_scan_that_lies_askew_is_turned_until_its_marks_stand_over_each_other(
    folder: Path,
) -> None:
    made = askew(folder)
    lean = math.degrees(math.atan2(100.0, 640.0))
    assert guide_turn_deg(made) == pytest.approx(lean)
    box = guide_box(made, 100.0)
    assert isinstance(box, tuple)
    # what lies between the marks in pixels is 450 in: so large is a pixel, and the turned whole
    pixel = 450.0 / math.hypot(100.0, 640.0)
    sin, cos = math.sin(math.radians(lean)), math.cos(math.radians(lean))
    assert box[2] - box[0] == pytest.approx(pixel * (WIDE * cos + HIGH * sin))
    assert box[3] - box[1] == pytest.approx(pixel * (WIDE * sin + HIGH * cos))
    assert guide_turn_deg(replace(made, is_turned=False)) == 0.0
    # one that lies on its side is put up
    flat = replace(made, low=Mark(0.1, 0.5, 0.0), high=Mark(0.9, 0.5, 450.0))
    assert guide_turn_deg(flat) == pytest.approx(90.0)
    assert isinstance(guide_box(flat, 0.0), tuple)
    assert "must be above" in str(guide_box(replace(flat, is_turned=False), 0.0))


def test_a_turned_scan_is_printed_with_its_pole_upright_on_the_pole(
    folder: Path, needs_program: NeedsProgram
) -> None:
    printed = session(folder, askew(folder)).sheet(0.0, "tabloid")
    (image,) = printed.picture.images
    foot, ground = pole_line(printed)
    path = folder / "turned.pdf"
    write_sheets((printed,), path)
    dots = 100
    pixels = raster(needs_program("pdftoppm"), path, "-r", str(dots)).astype(int)
    at = dots / printed.scale
    for height in (60.0, 250.0, 400.0):
        row = round(len(pixels) - (ground + height) * at)
        red = np.flatnonzero(pixels[row, :, 0] > pixels[row, :, 1] + 50)
        red = red[(red > image.clip[0] * at) & (red < image.clip[2] * at)]
        assert (red[0] + red[-1]) / 2 == pytest.approx(foot * at, abs=2.5)


def pole_line(sheet: Sheet) -> tuple[float, float]:
    """Where the middle of the old pole and the ground line are on a sheet, real inches."""
    pole = next(one for one in sheet.picture.primitives
                if one.owner == "pole-old" and not isinstance(one, Text))  # fmt: skip
    ground = next(one for one in sheet.picture.primitives
                  if isinstance(one, Line) and one.style == "ground")  # fmt: skip
    xs = [x for x, _ in pole.points]  # type: ignore[union-attr]
    return sum(xs) / len(xs), ground.p[1]


@pytest.mark.parametrize("version", ["R2000", "R2010", "R2018"])
def test_a_turned_scan_lies_in_a_dxf_as_on_paper(folder: Path, version: str) -> None:
    made = askew(folder)
    sheet = session(folder, made).sheet(0.0, "tabloid")
    path = folder / "turned.dxf"
    path.write_bytes(dxf_bytes(sheet, version))  # type: ignore[arg-type]
    document = ezdxf.readfile(path)
    assert len(document.audit().errors) == 0
    (image,) = document.modelspace().query("IMAGE")
    foot, ground = pole_line(sheet)
    across, up = (image.dxf.u_pixel, image.dxf.v_pixel)
    assert across.magnitude == pytest.approx(up.magnitude)
    assert across.dot(up) == pytest.approx(0.0, abs=1e-9)
    for mark in (made.low, made.high):
        there = image.dxf.insert + across * (mark.x * WIDE) + up * ((1.0 - mark.y) * HIGH)
        assert there.x == pytest.approx(foot, abs=1.0)
        assert there.y == pytest.approx(ground + (mark.height_in or 0.0), abs=0.5)


def test_the_findings_and_the_scale_are_the_same_with_a_scan(folder: Path) -> None:
    bare, with_scan = session(folder), session(folder, scan(is_printed=True))
    assert [one.key for one in bare.findings("framed")] == [
        one.key for one in with_scan.findings("framed")
    ]
    sheets = [one.sheet(0.0, "letter", kind) for one in (bare, with_scan) for kind in
              ("change-out", "framing")]  # fmt: skip
    assert [one.scale for one in sheets[:2]] == [one.scale for one in sheets[2:]]
    assert [one.picture.primitives for one in sheets[:2]] == [
        one.picture.primitives for one in sheets[2:]
    ]


@pytest.mark.parametrize("paper", list(PAPERS))
def test_photos_are_printed_upright_in_their_shape_with_what_is_said_of_them(
    folder: Path, paper: str
) -> None:
    first, second = session(folder).photo_sheets(paper)
    shapes = [(one.path, _aspect(one)) for one in first.picture.images]
    assert shapes == [
        ("photos/wide.jpg", pytest.approx(2.0)),
        ("photos/tall.jpg", pytest.approx(0.5)),
    ]
    words = texts(first)
    assert "1. from the south, photos/wide.jpg" in words
    assert "2. no note, photos/tall.jpg" in words
    assert "never to measure from" in words
    left, right = first.picture.images
    assert left.box[2] < right.box[0]
    assert second.picture.images == ()
    assert "not printed: photos/gone.jpg" in texts(second)


def _aspect(image: Image) -> float:
    left, low, right, top = image.box
    return (right - left) / (top - low)


def test_photos_are_in_the_set_and_inside_its_files(
    folder: Path, needs_program: NeedsProgram
) -> None:
    opened = session(folder)
    made = opened.sheet_set(None, "a4")
    photos = [one for one in made if one.picture.images]
    assert len(photos) == 1
    assert opened.photo_sheets("a4")[0].picture.images == photos[0].picture.images
    path = folder / "photos.pdf"
    write_sheets(tuple(photos), path)
    pixels = raster(needs_program("pdftoppm"), path, "-r", "50").astype(int)
    for colour in (RED, GREEN):
        assert (np.abs(pixels - colour).max(axis=2) <= 6).mean() > 0.05
    assert svg_bytes(photos[0]) == svg_bytes(photos[0])
    root = ElementTree.fromstring(svg_bytes(photos[0]))  # noqa: S314 - our own
    inside = [one.get("href", "") for one in root.iter("{http://www.w3.org/2000/svg}image")]
    sizes = [
        Images.open(io.BytesIO(base64.b64decode(one.partition("base64,")[2]))).size
        for one in inside
    ]
    assert [wide > high for wide, high in sizes] == [True, False]


@pytest.mark.parametrize("version", ["R2000", "R2010", "R2018"])
def test_a_dxf_names_the_photo_by_its_path_from_the_job_and_has_no_errors(
    folder: Path, version: str
) -> None:
    sheet, _ = session(folder).photo_sheets("tabloid")
    data = dxf_bytes(sheet, version)  # type: ignore[arg-type]
    assert data == dxf_bytes(sheet, version)  # type: ignore[arg-type]
    path = folder / "photos.dxf"
    path.write_bytes(data)
    document = ezdxf.readfile(path)
    assert len(document.audit().errors) == 0
    images = document.modelspace().query("IMAGE")
    assert [one.image_def.dxf.filename for one in images] == ["photos/wide.jpg", "photos/tall.jpg"]
    assert [one.dxf.image_size.x > one.dxf.image_size.y for one in images] == [True, False]
    assert str(folder).encode() not in data


def test_what_is_no_image_is_said_by_its_path(folder: Path) -> None:
    (folder / "notes.png").write_text("no image", encoding="utf-8")
    for path, words in (
        ("notes.png", "notes.png: is no image that can be read"),
        ("nowhere.png", "nowhere.png: "),
        ("photos", "photos: "),
    ):
        with pytest.raises(FramerError, match=words):
            aspect_of(path, folder)
    with pytest.raises(FramerError, match="save the job first"):
        aspect_of("scan.png", None)
    cut = (folder / "photos" / "wide.jpg").read_bytes()
    (folder / "photos" / "wide.jpg").write_bytes(cut[: len(cut) // 2])
    with pytest.raises(FramerError, match="no image that can be read"):
        print_bytes("photos/wide.jpg", folder, (0.0, 0.0, 1.0, 1.0), 100)


def test_a_photo_that_is_broken_is_framed_with_the_reason(folder: Path) -> None:
    cut = (folder / "photos" / "wide.jpg").read_bytes()
    (folder / "photos" / "wide.jpg").write_bytes(cut[: len(cut) // 2])
    sheet, _ = session(folder).photo_sheets("a3")
    assert b"not printed: photos/wide.jpg" in svg_bytes(sheet)
