"""`framer stages` and `framer brief`: what is written, and what is refused."""

from __future__ import annotations

import ezdxf

from tests.cli.running import CORNER, ROOT, Here

TRANSFER = ROOT / "sample_jobs/corner-transfer"


def test_stage_sheets_are_one_pdf_named_after_the_job(here: Here) -> None:
    ended = here.run("stages", TRANSFER)
    assert (ended.status, ended.out) == (0, "wrote alder-lane-transfer-stages.pdf\n")
    assert here.written() == {"alder-lane-transfer-stages.pdf"}


def test_the_brief_is_a_drawing_for_each_page_when_asked(here: Here) -> None:
    ended = here.run("brief", TRANSFER, "-o", "brief.dxf", "--paper", "a4")
    assert ended.status == 0
    written = sorted(here.written())
    assert "brief.dxf" in written
    assert len(written) == ended.out.count("wrote") > 1
    for name in written:
        assert ezdxf.readfile(name).audit().errors == []


def test_a_job_without_steps_has_no_stage_sheets_and_says_so(here: Here) -> None:
    ended = here.run("stages", CORNER)
    assert ended.status == 2
    assert "no steps" in ended.err
    assert here.written() == set()


def test_another_ending_is_refused(here: Here) -> None:
    ended = here.run("brief", TRANSFER, "-o", "brief.txt")
    assert ended.status == 2
    assert "a set of sheets is written as .dxf or .pdf" in ended.err
    assert here.written() == set()
