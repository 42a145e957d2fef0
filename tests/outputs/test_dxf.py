"""The sketch as DXF, read back by ezdxf: sound, true to size, and all that must be on it.

Expected sizes are worked out by hand from the sample jobs, the rest from the sheet it was made of.
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from ezdxf import recover

from framer.checks.explain import one_line
from framer.drawing.picture import Dimension, Text
from framer.drawing.sheet import called_out, cautions
from framer.drawing.style import STYLES
from framer.geometry.scene import Box, Tag
from framer.sheets.dxf import dxf_bytes
from framer.sheets.output import write_sheet
from framer.sheets.versions import Version
from framer.units.length import read_length
from tests.outputs.samples import NAMES, sample, shown

PAPERS = ("letter", "tabloid", "a4", "a3")


@pytest.fixture(params=NAMES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def written(folder: Path, name: str, paper: str = "tabloid") -> Path:
    path = folder / f"{name}.dxf"
    write_sheet(sample(name).sheet(None, paper), path)
    return path


@pytest.fixture
def document(tmp_path: Path, name: str) -> Any:
    return ezdxf.readfile(written(tmp_path, name))


def texts(document: Any) -> list[str]:
    """Every text there is to see, those of dimensions too."""
    blocks = [one.get_geometry_block() for one in document.modelspace().query("DIMENSION")]
    return [
        one.dxf.text for space in (document.modelspace(), *blocks) for one in space.query("TEXT")
    ]


def outline(entity: Any) -> tuple[float, float, float, float]:
    points = list(entity.get_points("xy"))
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs), min(ys), max(xs), max(ys))


# Sound.


@pytest.mark.parametrize("paper", PAPERS)
def test_the_audit_finds_nothing_wrong_and_nothing_to_mend(
    tmp_path: Path, name: str, paper: str
) -> None:
    path = written(tmp_path, name, paper)
    document, strict = recover.readfile(path)
    assert (strict.errors, strict.fixes) == ([], [])
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    assert len(document.modelspace()) > 80


def test_the_drawing_is_in_inches_and_as_large_as_its_paper_at_its_scale(
    document: Any, name: str
) -> None:
    made = sample(name).sheet()
    assert document.header["$INSUNITS"] == 1  # inches
    assert document.header["$MEASUREMENT"] == 0  # line types of inch drawings
    size = (17.0 * made.scale, 11.0 * made.scale)
    assert document.header["$EXTMIN"][:2] == (0.0, 0.0)
    for most in ("$EXTMAX", "$LIMMAX", "$PLIMMAX"):
        assert document.header[most][:2] == pytest.approx(size)


def test_only_what_every_program_shows_is_used_and_all_of_it_in_model_space(document: Any) -> None:
    space = document.modelspace()
    assert {one.dxftype() for one in space} <= {
        "LINE",
        "LWPOLYLINE",
        "CIRCLE",
        "TEXT",
        "HATCH",
        "DIMENSION",
        "INSERT",
    }
    for block in {one.block() for one in space.query("INSERT")}:
        assert {one.dxftype() for one in block} <= {"LINE", "LWPOLYLINE", "CIRCLE", "ATTDEF"}
    for attribute in (one for insert in space.query("INSERT") for one in insert.attribs):
        assert attribute.is_invisible
        assert attribute.dxf.height < 0.1  # some show it none the less
    # its own window, and the one that shows the sheet: nothing that must be seen
    assert {one.dxftype() for one in document.layout("Layout1")} == {"VIEWPORT"}
    assert len(document.layout("Layout1")) == 2
    for dimension in space.query("DIMENSION"):
        kinds = Counter(one.dxftype() for one in dimension.get_geometry_block())
        assert kinds["MTEXT"] == 0
        assert kinds["TEXT"] == 1
    assert all(hatch.dxf.solid_fill == 1 for hatch in space.query("HATCH"))
    kinds_in_order = [one.dxftype() for one in space]
    fills = [place for place, kind in enumerate(kinds_in_order) if kind == "HATCH"]
    assert fills == list(range(len(fills)))  # before the outlines they must not cover


def test_equal_sheets_give_equal_bytes(name: str) -> None:
    assert dxf_bytes(sample(name).sheet()) == dxf_bytes(sample(name).sheet())


@pytest.mark.parametrize(("version", "number"), [("R2000", 15), ("R2010", 24), ("R2018", 32)])
def test_each_version_is_sound_and_holds_the_same(
    tmp_path: Path, name: str, version: Version, number: int
) -> None:
    """AC1015, AC1024 and AC1032 are the numbers of these versions in the format's reference."""
    made = sample(name).sheet()
    path = tmp_path / "sketch.dxf"
    path.write_bytes(dxf_bytes(made, version))
    document = ezdxf.readfile(path)
    assert document.dxfversion == f"AC10{number}"
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    path.write_bytes(dxf_bytes(made))
    usual = ezdxf.readfile(path)
    assert Counter(texts(document)) == Counter(texts(usual))
    assert Counter(one.dxftype() for one in shown(document)) == Counter(
        one.dxftype() for one in shown(usual)
    )


def test_the_window_in_paper_space_shows_the_whole_sheet_at_its_scale(
    document: Any, name: str
) -> None:
    made = sample(name).sheet()
    window = document.layout("Layout1").viewports()[-1]
    assert window.dxf.view_height / window.dxf.height == pytest.approx(made.scale)
    assert (window.dxf.width, window.dxf.height) == pytest.approx((17.0, 11.0))
    middle = window.dxf.view_center_point
    assert (middle.x, middle.y) == pytest.approx((8.5 * made.scale, 5.5 * made.scale))


# Blocks.


def told(insert: Any) -> dict[str, str]:
    return {one.dxf.tag: one.dxf.text for one in insert.attribs}


def test_every_item_is_a_block_with_its_part_id_name_and_owner(document: Any, name: str) -> None:
    job = sample(name).job
    inserts = [told(one) for one in document.modelspace().query("INSERT")]
    assert {one["ITEM"] for one in inserts} <= set(job.item_by_id)
    for one in inserts:
        item = job.item_by_id[one["ITEM"]]
        assert one["PART"] == (item.part or item.kind)
        assert one["NAME"] == job.label(item.id)
        assert one["OWNER"] == (item.owner or job.owner)
    shown_items = {
        part.owner
        for stage in ("found", "framed")
        for part in sample(name).scene(stage).bodies
        if part.shape is not None and part.owner in job.item_by_id
    }
    assert {one["ITEM"] for one in inserts} >= shown_items - {
        item.id for item in job.items if item.kind == "bracket"
    }


def test_alike_parts_share_a_block(tmp_path: Path) -> None:
    """The corner has three pins on the old line arm and three on the new one, all of one part."""
    space = ezdxf.readfile(written(tmp_path, "corner")).modelspace()
    pins = [one for one in space.query("INSERT") if told(one)["PART"] == "pin-55-5-25kv"]
    assert len({told(one)["ITEM"] for one in pins}) == 6
    assert len({one.dxf.name for one in pins}) == 1


# Layers.


def test_everything_is_on_a_layer_that_says_what_it_is(document: Any, name: str) -> None:
    defined = {layer.dxf.name for layer in document.layers}
    used = {one.dxf.layer for one in (*shown(document), *document.modelspace())}
    assert used <= defined - {"0", "Defpoints"}
    assert all(re.fullmatch(r"[A-Z]+(-[A-Z]+)*", layer) for layer in used)
    assert used >= {"POLE", "ARM", "GROUND", "WIRE-SUPPLY", "WIRE-NEUTRAL", "DIMENSION", "LABEL"}
    assert used >= {"FRAME", "TITLE", "CAUTION", "HEIGHT-SCALE"}
    # ground, pole, arm, brace, insulator and so on are told apart without colour
    verdicts = {one.verdict for one in called_out(sample(name).findings("framed"))}
    assert used >= {f"FINDING-{verdict.upper().replace(' ', '-')}" for verdict in verdicts}


def test_layers_have_the_line_weight_and_dashes_of_their_style(document: Any) -> None:
    by_layer = {style.layer: style for style in STYLES.values()}
    for layer in document.layers:
        style = by_layer.get(layer.dxf.name)
        if style is None:
            assert layer.dxf.name in ("0", "Defpoints")
            continue
        assert layer.dxf.lineweight / 100 == pytest.approx(style.weight_mm, abs=0.04)
        assert (layer.dxf.linetype.upper() != "CONTINUOUS") == bool(style.dashes)
        assert layer.dxf.linetype in document.linetypes


def test_a_neighbouring_circuit_and_a_telephone_cable_are_dashed_under_common_names(
    tmp_path: Path,
) -> None:
    layers = ezdxf.readfile(written(tmp_path, "corner")).layers
    assert layers.get("NEARBY-CIRCUIT").dxf.linetype == "DASHDOTX2"
    assert layers.get("WIRE-COMM").dxf.linetype == "DASHDOT"


# True to size.


def test_both_poles_of_the_corner_are_as_long_and_thick_as_they_are(tmp_path: Path) -> None:
    """Old 45 ft, new 50 ft, thick at the top as girths there make them.

    Old: 36.5 in measured at the ground, 35 in 60 in up, so 36.5 - 462 x 1.5 / 60 = 24.95 in at the
    top; new: class 3, 23 in by ANSI O5.1.
    """
    poles = shown(ezdxf.readfile(written(tmp_path, "corner")), "LWPOLYLINE", "POLE")
    old, new = sorted((outline(one) for one in poles), key=lambda box: box[0])
    assert old[3] - old[1] == pytest.approx(540.0)
    assert new[3] - new[1] == pytest.approx(600.0)
    for entity, girth_in in zip(
        sorted(poles, key=lambda one: outline(one)[0]), (24.95, 23.0), strict=True
    ):
        top = max(y for _, y in entity.get_points("xy"))
        xs = [x for x, y in entity.get_points("xy") if y == pytest.approx(top)]
        assert max(xs) - min(xs) == pytest.approx(girth_in / 3.14159265, abs=0.001)


def test_known_distances_of_the_corner_are_true(tmp_path: Path) -> None:
    """Line arm bolt 504 in up, buck arm 48 in under it; pins 108 in apart; pole 84 in deep."""
    document = ezdxf.readfile(written(tmp_path, "corner"))
    new = max(map(outline, shown(document, "LWPOLYLINE", "POLE")), key=lambda b: b[0])
    arms = sorted(
        map(outline, shown(document, "LWPOLYLINE", "ARM")),
        key=lambda box: (box[0] < new[0] - 200.0, -box[3]),
    )
    line, buck = arms[:2]
    assert line[2] - line[0] == pytest.approx(120.0)
    middle = (line[1] + line[3]) / 2
    assert middle - new[1] == pytest.approx(84.0 + 504.0)
    assert middle - (buck[1] + buck[3]) / 2 == pytest.approx(48.0)
    # a wire on a pin stands 13 in above the bolt, on the pins at 54 in either way
    dots = [one.dxf.center for one in shown(document, "CIRCLE", "WIRE-SUPPLY")]
    on_line_arm = [dot for dot in dots if dot.y == pytest.approx(middle + 13.0)]
    xs = [dot.x for dot in on_line_arm if abs(dot.x - (line[0] + line[2]) / 2) < 60.0]
    assert max(xs) - min(xs) == pytest.approx(108.0)


def test_arms_stand_where_the_scene_has_them(document: Any, name: str) -> None:
    """Heights between all arms of both panels as placed, to a thousandth of an inch."""
    session = sample(name)
    expected = sorted(
        part.shape.centre[2]
        for stage in ("found", "framed")
        for part in session.scene(stage).parts
        if part.tags & Tag.ARM and isinstance(part.shape, Box)
    )
    arms = shown(document, "LWPOLYLINE", "ARM")
    drawn = sorted((box[1] + box[3]) / 2 for box in map(outline, arms))
    assert len(drawn) == len(expected) >= 2
    assert [y - drawn[0] for y in drawn] == pytest.approx(
        [y - expected[0] for y in expected], abs=0.001
    )


def test_a_dimension_measures_what_its_text_says(document: Any) -> None:
    """To 1/16 in, in which they are written, and the slant of a raked pole, 1 in 7000."""
    dimensions = list(document.modelspace().query("DIMENSION"))
    assert len(dimensions) >= 8
    for dimension in dimensions:
        said = read_length(dimension.dxf.text).value_in
        assert dimension.get_measurement() == pytest.approx(said, abs=1 / 32 + said / 7000)


# What must be on it.


def test_drops_and_heights_of_the_corner_are_dimensioned(tmp_path: Path) -> None:
    """Top at 50 ft - 7 ft = 43 ft; arms 42 and 38 ft, neutral 353 in, cable 26 ft above ground."""
    document = ezdxf.readfile(written(tmp_path, "corner"))
    space = document.modelspace()
    new = max(map(outline, shown(document, "LWPOLYLINE", "POLE")), key=lambda b: b[0])
    ground, top = new[1] + 84.0, new[3]
    from_ground, from_top = set(), set()
    for dimension in space.query("DIMENSION"):
        ys = sorted((dimension.dxf.defpoint2.y, dimension.dxf.defpoint3.y))
        if ys[0] == pytest.approx(ground):
            from_ground.add(dimension.dxf.text)
        if ys[1] == pytest.approx(top):
            from_top.add(dimension.dxf.text)
    assert from_ground == {"42 ft", "38 ft", "29 ft 5 in", "26 ft"}
    assert from_top == {"1 ft", "5 ft", "13 ft 7 in", "17 ft"}


def test_title_block_scale_and_cautions_are_on_it(document: Any, name: str) -> None:
    session = sample(name)
    job, made = session.job, session.sheet()
    printed = " ".join(texts(document))
    for words in (job.name, job.place, job.owner, job.drafted_by, job.date):
        assert words
        assert words in printed
    assert f"Scale 1 in = {made.scale // 12} ft (1:{made.scale}) on tabloid" in printed
    assert "AS FOUND, looking " in printed
    assert "AS FRAMED, looking " in printed
    assert "draft - not checked by chief" in printed
    caution = " ".join(
        one.dxf.text for one in document.modelspace().query("TEXT[layer=='CAUTION']")
    )
    assert caution.split() == " ".join(cautions()).split()


def test_findings_are_listed_worst_first_with_their_counts(document: Any, name: str) -> None:
    session = sample(name)
    findings = session.findings("framed")
    labels = " ".join(one.dxf.text for one in document.modelspace().query("TEXT[layer=='LABEL']"))
    first = one_line(session.job, findings[0])
    assert first in labels
    counts = ", ".join(f"{many} {verdict}" for verdict, many in findings.counts.items())
    assert counts in texts(document)


def test_every_text_of_the_sheet_is_in_the_file_and_no_other(document: Any, name: str) -> None:
    made = sample(name).sheet()
    expected = [one.text for one in made.picture.primitives if isinstance(one, Text)]
    expected += [
        one.text for one in made.picture.primitives if isinstance(one, Dimension) and one.text
    ]
    assert Counter(texts(document)) == Counter(expected)


def test_nothing_is_called_safe_approved_or_compliant(document: Any) -> None:
    printed = " ".join(texts(document))
    assert re.findall(r"\b(safe|approved|compliant|certified)\b", printed, re.IGNORECASE) == []
