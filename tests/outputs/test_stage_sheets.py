"""Stage sheets and job brief as PDF and DXF: sound, whole, and no text over another."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from functools import cache
from itertools import combinations, groupby, pairwise
from pathlib import Path as FilePath

import ezdxf
import pytest
from msgspec.structs import replace

from framer.checks.finding import RANK
from framer.drawing.fitting import box_of, edges_of, meet, overlaps, within
from framer.drawing.picture import (
    Circle,
    Dimension,
    Line,
    Path,
    Picture,
    Text,
    dimension_text,
    extent,
)
from framer.drawing.sheet import MARGIN, PAPERS, TEXT, TITLE_HEIGHT, Sheet
from framer.drawing.stages import letter, stage_sheets
from framer.drawing.style import STYLES, StyleName
from framer.model.stage import host_of
from framer.sheets.output import write_sheets
from framer.transfer.compare import changes
from framer.transfer.stages import judged
from tests.outputs.samples import sample

SIZES = ("letter", "tabloid", "a4", "a3")
NAME = "corner-transfer"


@cache
def stages(paper: str) -> tuple[Sheet, ...]:
    return sample(NAME).stage_sheets(None, paper)


@cache
def brief(paper: str) -> tuple[Sheet, ...]:
    return sample(NAME).brief_sheets(paper)


def words(sheet: Sheet) -> list[Text]:
    found = [one for one in sheet.picture.primitives if isinstance(one, Text) and one.text]
    dimensions = (one for one in sheet.picture.primitives if isinstance(one, Dimension))
    return [*found, *(dimension_text(one) for one in dimensions if one.text)]


def said(sheets: tuple[Sheet, ...]) -> str:
    return " ".join(" ".join(one.text.split()) for sheet in sheets for one in words(sheet))


def printed(pdftotext: str, path: FilePath) -> str:
    done = subprocess.run(
        [pdftotext, "-raw", str(path), "-"], capture_output=True, text=True, check=True, timeout=60
    )
    return " ".join(done.stdout.split())


def apart(sheet: Sheet) -> list[tuple[str, str]]:
    """Texts of the column, title block and boxes that lie over another one."""
    edge = max(
        (one.p[0] for one in sheet.picture.primitives
         if hasattr(one, "p") and one.style == "frame" and one.p[0] == one.q[0]),
        default=0.0,
    )  # fmt: skip
    # letters of phases stand at the wires, however near these are
    beside = [one for one in words(sheet) if extent(one)[0][0] > edge and len(one.text) > 1]
    boxes = [(one.text, box_of(one)) for one in beside]
    return [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if meet(one, other)]


@pytest.mark.parametrize("paper", SIZES)
def test_no_text_beside_the_drawing_lies_over_another(paper: str) -> None:
    assert [pair for sheet in (*stages(paper), *brief(paper)) for pair in apart(sheet)] == []


def test_a_page_for_a_few_lines_is_saved_by_smaller_text() -> None:
    job = sample(NAME).job
    (number,) = (at for at, step in enumerate(job.steps, start=1) if step.kind == "uncover")
    (sheet,) = (one for one in stages("tabloid") if f", step {number} of" in one.title)
    support = next(one for one in words(sheet) if "Neutral dead-end on New" in one.text)
    assert 0.8 * TEXT <= support.height / sheet.scale < TEXT


Box = tuple[float, float, float, float]


def letter_boxes_and_rings(sheet: Sheet) -> list[Box]:
    """What covers the drawing: boxes round letters, rings round numbers."""
    found: list[Box] = []
    for one in sheet.picture.primitives:
        if isinstance(one, Path) and (one.style, one.fill) == ("title", "paper"):
            xs, ys = ([point[at] for point in one.points] for at in (0, 1))
            found.append((min(xs), min(ys), max(xs), max(ys)))
        elif isinstance(one, Circle) and one.style in RANK and one.fill == "paper":
            (x, y), r = one.centre, one.radius
            found.append((x - r, y - r, x + r, y + r))
    return found


@pytest.mark.parametrize("paper", SIZES)
def test_letters_and_worker_names_lie_over_no_text_and_no_number(paper: str) -> None:
    workers = {worker.name for step in sample(NAME).job.steps for worker in step.workers}
    seen = 0
    for sheet in stages(paper):
        covers, texts = letter_boxes_and_rings(sheet), words(sheet)
        hair = 0.01 * sheet.scale
        assert [
            pair for pair in combinations(covers, 2) if meet(pair[0], grown(pair[1], -hair))
        ] == [], sheet.title
        for one in texts:
            if one.text in workers:
                seen += 1
                others = [box_of(two) for two in texts if two is not one]
                assert not any(meet(box_of(one), two) for two in (*others, *covers)), sheet.title
    assert seen > 20


def grown(box: Box, by: float) -> Box:
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


@pytest.mark.parametrize("paper", SIZES)
def test_the_title_block_has_no_empty_line(paper: str) -> None:
    for sheet in (*stages(paper), *brief(paper)):
        left = (MARGIN + 0.1) * sheet.scale
        block = (MARGIN + TITLE_HEIGHT) * sheet.scale
        lines = sorted(
            (one.at[1] / sheet.scale for one in words(sheet)
             if one.style == "title" and one.at[0] == pytest.approx(left) and one.at[1] < block),
            reverse=True,
        )  # fmt: skip
        assert len(lines) >= 4
        assert [a - b for a, b in pairwise(lines[1:])] == pytest.approx([0.13] * (len(lines) - 2))


def test_where_lifts_are_up_or_a_boom_stands_the_pole_is_drawn_from_above_over_nothing() -> None:
    with_plan = {}
    for sheet in stages("tabloid"):
        title = next((one for one in words(sheet) if one.text.startswith("Plan at ")), None)
        if title is None:
            continue
        of = sheet.title.partition(" (page")[0]
        with_plan[of] = [one for one in sheet.picture.primitives if one.style == "reach"]
        crossed = [one.text for one in words(sheet) if one is not title and overlaps(one, title)]
        assert crossed == [], of
    job = sample(NAME).job
    booms = [at for at, step in enumerate(job.steps, start=1) if step.boom is not None]
    # the old pole is pulled by others with a boom, and no gap is changed by that
    (set_pole, top) = booms[:2]
    assert with_plan[f"Stage sheet, step {set_pole} of {len(job.steps)}"]
    assert f"Stage sheet, step {top} of {len(job.steps)}" in with_plan
    lifts_up = next(at for at, step in enumerate(job.steps, start=1) if "lift-a" in step.moves)
    titles = [f"Stage sheet, step {at} of {len(job.steps)}" for at in range(1, lifts_up)]
    assert not any(title in with_plan for title in titles)
    assert f"Stage sheet, step {lifts_up} of {len(job.steps)}" in with_plan


@pytest.mark.parametrize("paper", SIZES)
def test_the_step_that_sets_the_pole_has_its_plan_with_the_boom_on_every_paper(paper: str) -> None:
    steps = sample(NAME).job.steps
    at = next(at for at, step in enumerate(steps, start=1) if step.kind == "set pole")
    sheet = next(one for one in stages(paper) if f", step {at} of" in one.title)
    assert any(one.text.startswith("Plan at ") for one in words(sheet))
    assert any(one.text.startswith("Boom ") for one in words(sheet))


@pytest.mark.parametrize("paper", SIZES)
def test_everything_lies_within_the_frame(paper: str) -> None:
    size = PAPERS[paper]
    for sheet in (*stages(paper), *brief(paper)):
        left, low, right, top = (one / sheet.scale for one in sheet.picture.bounds())
        hair = 1e-6
        assert left >= MARGIN - hair, sheet.title
        assert low >= MARGIN - hair, sheet.title
        assert right <= size.width - MARGIN + hair, sheet.title
        assert top <= size.height - MARGIN + hair, sheet.title


@pytest.mark.parametrize("paper", SIZES)
def test_pages_are_numbered_and_dated_and_nothing_is_signed(paper: str) -> None:
    for sheets in (stages(paper), brief(paper)):
        for number, sheet in enumerate(sheets, start=1):
            text = said((sheet,))
            assert f"page {number} of {len(sheets)}" in text
            assert "draft - not checked by chief" in text
            assert sample(NAME).job.date in text


def test_every_step_that_changes_something_has_its_sheet_and_no_other_has() -> None:
    transfer = sample(NAME).transfer()
    titles = [sheet.title for sheet in stages("tabloid")]
    for before, after in pairwise(transfer.stages[:-1]):
        told, step = changes(before, after), after.step
        assert step is not None
        wanted = told.come or told.gone or told.moved or told.gaps
        near_workers = any(one.rule.measure == "approach" for one in after.of_step)
        wanted = bool(wanted) or near_workers or step.kind in ("cover", "uncover")
        assert any(f"step {after.stage} of" in title for title in titles) == wanted


def test_what_moves_is_lettered_in_the_drawing_and_the_list() -> None:
    sheet = next(one for one in stages("tabloid") if ", step 2 of" in one.title)
    step = sample(NAME).job.steps[1]
    many = len(dict.fromkeys(step.moves))
    texts = [one.text for one in words(sheet)]
    views = 2
    for at in range(many):
        assert texts.count(chr(ord("a") + at)) == 1 + views


@pytest.mark.parametrize("paper", SIZES)
def test_every_letter_of_the_list_is_in_the_drawing_and_what_is_not_drawn_has_none(
    paper: str,
) -> None:
    seen = 0
    for sheet in stages(paper):
        if "continued" in sheet.title:
            continue
        texts = [one.text for one in words(sheet) if one.style == "title"]
        letters = {text for text in texts if len(text) == 1 and text.islower()}
        seen += len(letters)
        assert all(texts.count(one) >= 2 for one in letters), sheet.title
    assert seen > 80
    # the new pole is laid ready on the ground, which no view shows
    job = sample(NAME).job
    laid = next(at for at, step in enumerate(job.steps, start=1) if "pole-new" in step.moves)
    (sheet, *_) = (one for one in stages(paper) if f", step {laid} of" in one.title)
    assert "New pole: put on the ground" in said((sheet,))
    assert "a" not in [one.text for one in words(sheet)]


@pytest.mark.parametrize("paper", SIZES)
def test_the_north_mark_of_a_plan_lies_over_nothing(paper: str) -> None:
    marks = 0
    for sheet in stages(paper):
        block = (MARGIN + TITLE_HEIGHT) * sheet.scale
        drawn = sheet.picture.primitives
        for one in drawn:
            if not isinstance(one, Circle) or one.style != "title" or one.centre[1] < block:
                continue
            marks += 1
            (x, y), r = one.centre, one.radius
            box = (x - r, y - r, x + r, y + r)
            others = [line for line in edges_of(drawn) if line.style != "title"]
            assert not any(within(line.p, line.q, box) for line in others), sheet.title
            over = [text.text for text in words(sheet) if meet(box_of(text), box)]
            assert over == [], sheet.title
    assert marks == sum(
        one.text.startswith("Plan at ") for sheet in stages(paper) for one in words(sheet)
    )
    assert marks > 8


def test_a_step_of_others_that_changes_no_gap_has_no_sheet_and_the_list_says_so() -> None:
    job = sample(NAME).job
    steps = tuple(
        replace(one, workers=(), by="others") if one.kind == "support old pole" else one
        for one in job.steps
    )
    number = next(at for at, one in enumerate(steps, start=1) if one.kind == "support old pole")
    books = sample(NAME).books()
    sheets = stage_sheets(judged(replace(job, steps=steps), books), books)
    assert not any(f"step {number} of" in sheet.title for sheet in sheets)
    assert said(sheets).count("no sheet: no gap is changed") == 1


@pytest.mark.parametrize("paper", SIZES)
def test_cover_laid_piece_after_piece_on_one_wire_has_one_letter_and_every_name(paper: str) -> None:
    job = sample(NAME).job
    laid = [job.item_by_id[key] for key in job.steps[0].moves]
    assert {one.kind for one in laid} == {"cover"}
    many = len(list(groupby(host_of(one.places[0]) for one in laid)))
    assert many < len(laid)
    texts = [
        one.text for one in words(next(one for one in stages(paper) if ", step 1 of" in one.title))
    ]
    assert [letter(at) for at in range(many) if texts.count(letter(at)) < 2] == []
    assert texts.count(letter(many)) == 0
    told = " ".join(texts)
    assert [one.name for one in laid if one.name not in told] == []


def test_the_tightest_three_of_the_whole_transfer_stand_on_the_last_page() -> None:
    session = sample(NAME)
    last = stages("tabloid")[-1]
    assert last.title.startswith("Tightest three gaps of the whole transfer")
    text = said((last,))
    least = min(
        one.spare
        for stage in session.transfer().stages[1:]
        for one in stage.gaps(3)
        if one.spare is not None and one.rule.measure != "approach"
    )
    shown = [one for _, one in session.transfer().tightest(3)]
    assert shown[0].spare == pytest.approx(least)
    assert "1: after step" in text
    assert "2: after step" in text
    assert "3: after step" in text


def test_approach_stands_under_a_heading_of_its_own() -> None:
    text = said(stages("tabloid"))
    assert "Approach to workers (never answered for)" in text
    assert "Tightest gaps of things, construction and limits between steps" in text


@pytest.mark.parametrize("paper", SIZES)
def test_a_pdf_has_every_page_and_every_word(
    tmp_path: FilePath, paper: str, needs_program: Callable[[str], str]
) -> None:
    for name, sheets in (("stages", stages(paper)), ("brief", brief(paper))):
        path = tmp_path / f"{name}.pdf"
        assert write_sheets(sheets, path) == (path,)
        text = printed(needs_program("pdftotext"), path)
        wanted = [" ".join(one.text.split()) for sheet in sheets for one in words(sheet)]
        assert len(wanted) > 150
        assert [one for one in wanted if one not in text] == []
        assert f"page {len(sheets)} of {len(sheets)}" in text


def test_each_dxf_is_sound_and_has_every_text(tmp_path: FilePath) -> None:
    sheets = (*stages("letter")[:4], stages("letter")[-2], *brief("letter"))
    written = write_sheets(sheets, tmp_path / "set.dxf")
    assert [path.name for path in written[:2]] == ["set.dxf", "set-2.dxf"]
    assert len(written) == len(sheets)
    for path, sheet in zip(written, sheets, strict=True):
        document = ezdxf.readfile(path)
        audit = document.audit()
        assert (audit.errors, audit.fixes) == ([], [])
        there = sorted(one.dxf.text for one in document.modelspace().query("TEXT"))
        assert there == sorted(
            one.text for one in sheet.picture.primitives if isinstance(one, Text)
        )


def test_a_sheet_with_the_circle_of_a_boom_goes_into_dxf_too(tmp_path: FilePath) -> None:
    sheet = next(
        one for one in stages("tabloid")
        if any(part.style == "reach" for part in one.picture.primitives)
    )  # fmt: skip
    (path,) = write_sheets((sheet,), tmp_path / "set.dxf")
    document = ezdxf.readfile(path)
    assert document.audit().errors == []
    reach = document.modelspace().query(f'*[layer=="{STYLES["reach"].layer}"]')
    assert len(reach) > 0
    assert document.layers.get(STYLES["reach"].layer).dxf.linetype == "CENTER"


@pytest.mark.parametrize("style", [name for name, style in STYLES.items() if style.dashes])
def test_every_dashed_style_has_a_line_type_of_its_own_in_dxf(
    style: StyleName, tmp_path: FilePath
) -> None:
    picture = Picture((Line((0.0, 0.0), (100.0, 50.0), style),))
    (path,) = write_sheets((Sheet(picture, PAPERS["letter"], 12, "one"),), tmp_path / "one.dxf")
    document = ezdxf.readfile(path)
    layer = document.layers.get(STYLES[style].layer)
    pattern = document.linetypes.get(layer.dxf.linetype).pattern_tags.tags
    dashes = [abs(tag.value) / 12 * 25.4 for tag in pattern if tag.code == 49]
    assert dashes == pytest.approx(STYLES[style].dashes)


def test_where_things_were_is_on_a_layer_of_its_own(tmp_path: FilePath) -> None:
    moved = next(one for one in stages("tabloid") if ", step 5 of" in one.title)
    (path,) = write_sheets((moved,), tmp_path / "moved.dxf")
    assert "WAS-BEFORE" in {one.dxf.layer for one in ezdxf.readfile(path).modelspace()}


def test_equal_jobs_give_equal_bytes(tmp_path: FilePath) -> None:
    first, second = tmp_path / "a.pdf", tmp_path / "b.pdf"
    write_sheets(brief("letter"), first)
    write_sheets(sample(NAME).brief_sheets("letter"), second)
    assert first.read_bytes() == second.read_bytes()


def test_a_brief_without_steps_does_not_say_that_nothing_is_lifted() -> None:
    told = said(sample("corner").brief_sheets("letter"))
    assert told.count("the job has no steps") == 3  # asked for, the procedure, the weights
    assert "nothing is lifted" not in told
