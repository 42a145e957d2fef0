"""`framer sheet`, `materials` and `open` on paper: what is written, and what is left alone."""

from __future__ import annotations

import csv
import errno
import io
import os
import shutil
import sys
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from tests.cli.running import CORNER, TANGENT, Here, process

JOB = "alder-lane.framer"
LINUX = pytest.mark.skipif(sys.platform != "linux", reason="elsewhere there is always a screen")


def copied(folder: Path, name: str = JOB) -> Path:
    """The corner job in a folder, under another name if need be."""
    return Path(shutil.copy(CORNER / JOB, folder / name))


# Sheets.


def test_a_sheet_without_a_name_is_a_drawing_of_the_jobs_name_here(here: Here) -> None:
    ended = here.run("sheet", CORNER)
    assert (ended.status, ended.out, ended.err) == (0, "wrote alder-lane.dxf\n", "")
    assert here.written() == {"alder-lane.dxf"}
    assert ezdxf.readfile("alder-lane.dxf").audit().errors == []


def test_the_ending_says_what_is_written(here: Here) -> None:
    assert here.run("sheet", CORNER, "-o", "a.PDF").status == 0
    assert here.run("sheet", CORNER, "-o", "b.dxf").status == 0
    assert Path("a.PDF").read_bytes().startswith(b"%PDF-")
    assert b"SECTION" in Path("b.dxf").read_bytes()[:100]


@pytest.mark.parametrize("name", ["sketch", "sketch.dwg", "sketch.framer", "dxf"])
def test_any_other_ending_is_refused(here: Here, name: str) -> None:
    ended = here.run("sheet", CORNER, "-o", name)
    assert (ended.status, ended.out) == (2, "")
    assert ended.err == f"framer: {name}: a sheet is written as .dxf or .pdf or .svg\n"
    assert here.written() == set()


def test_paper_and_direction_are_those_asked_for(here: Here) -> None:
    assert here.run("sheet", TANGENT, "--paper", "a4", "--look", "south", "-o", "s.dxf").status == 0
    space = ezdxf.readfile("s.dxf").modelspace()
    printed = " ".join(one.dxf.text for one in space.query("TEXT"))
    assert "on A4; looking south" in printed
    assert "AS FRAMED, looking south" in printed


def test_a_framing_sheet_has_a_name_of_its_own(here: Here) -> None:
    ended = here.run("sheet", CORNER, "--kind", "framing", "--look", "north", "--paper", "a3")
    assert (ended.status, ended.out, ended.err) == (0, "wrote alder-lane-framing.dxf\n", "")
    document = ezdxf.readfile("alder-lane-framing.dxf")
    assert document.audit().errors == []
    printed = " ".join(one.dxf.text for one in document.modelspace().query("TEXT"))
    assert "on A3; framing; heights above ground" in printed
    assert "Looking along the line toward pole 6" in printed
    assert here.run("sheet", CORNER, "--kind", "stage").status == 2


def test_a_sheet_by_the_real_process(tmp_path: Path) -> None:
    ended = process(tmp_path, "sheet", CORNER, "-o", "corner.pdf")
    assert (ended.status, ended.out, ended.err) == (0, "wrote corner.pdf\n", "")
    assert [path.name for path in tmp_path.iterdir()] == ["corner.pdf"]


# Lists.


def test_a_list_is_printed_or_written_the_same(here: Here) -> None:
    printed = here.run("materials", CORNER)
    written = here.run("materials", CORNER, "-o", "list.csv")
    assert (printed.status, written.status) == (0, 0)
    assert written.out == "wrote list.csv\n"
    assert Path("list.csv").read_text(encoding="utf-8") == printed.out
    rows = list(csv.DictReader(io.StringIO(printed.out)))
    assert len(rows) > 15
    assert rows[0]["group"] == "Poles"


def test_a_list_by_the_real_process(tmp_path: Path) -> None:
    ended = process(tmp_path, "materials", TANGENT)
    # nobody has decided about its street lamp
    assert (ended.status, ended.err) == (1, "NOT TO BE ISSUED: 1 item undecided: Street lamp\n")
    assert ended.out.startswith("section,group,name,part,stock number,unit,install,")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["list", "list.txt", "list.framer"])
def test_a_list_of_another_ending_is_refused(here: Here, name: str) -> None:
    ended = here.run("materials", CORNER, "-o", name)
    assert (ended.status, ended.out) == (2, "")
    endings = ".csv or .xlsx or .json or .pdf or .dxf"
    assert ended.err == f"framer: {name}: a material list is written as {endings}\n"
    assert here.written() == set()


# The job itself is never written over.


@pytest.mark.parametrize(
    ("name", "command"), [("job.dxf", "sheet"), ("job.pdf", "sheet"), ("job.csv", "materials")]
)
def test_a_job_of_any_name_is_not_written_over(here: Here, name: str, command: str) -> None:
    path = copied(here.folder, name)
    before = path.read_bytes()
    ended = here.run(command, path, "-o", name)
    assert (ended.status, ended.out) == (2, "")
    assert ended.err == f"framer: {name}: that is the job itself; choose another name\n"
    assert path.read_bytes() == before
    assert here.written() == {name}


def test_a_sheet_without_a_name_does_not_take_the_jobs_place(here: Here) -> None:
    path = copied(here.folder, "job.dxf")
    before = path.read_bytes()
    assert here.run("sheet", path).status == 2
    assert path.read_bytes() == before


def test_nor_is_it_through_a_link(here: Here) -> None:
    path = copied(here.folder)
    before = path.read_bytes()
    try:
        Path("list.csv").symlink_to(path)
    except OSError:
        pytest.skip("no links here")
    assert here.run("materials", path, "-o", "list.csv").status == 2
    assert path.read_bytes() == before


@LINUX
def test_paper_beside_a_job_of_the_same_name_leaves_the_job_alone(here: Here) -> None:
    path = copied(here.folder, "job.pdf")
    before = path.read_bytes()
    ended = here.run("open", path, "--out", here.folder)
    assert ended.status == 2
    assert "that is the job itself" in ended.err
    assert path.read_bytes() == before


def test_writing_beside_the_job_leaves_it_as_it_is(here: Here) -> None:
    path = copied(here.folder)
    before = path.read_bytes()
    assert here.run("sheet", path, "-o", "a.dxf").status == 0
    assert here.run("materials", path, "-o", "a.csv").status == 0
    assert here.run("check", path).status == 1
    assert path.read_bytes() == before
    assert here.written() == {JOB, "a.dxf", "a.csv"}


# Whole or not at all.


@pytest.mark.parametrize(
    ("command", "name"), [("sheet", "a.dxf"), ("sheet", "a.pdf"), ("materials", "a.csv")]
)
def test_a_disk_that_fills_leaves_the_file_before(
    here: Here, monkeypatch: pytest.MonkeyPatch, command: str, name: str
) -> None:
    Path(name).write_bytes(b"the one before")
    really_write, written = os.write, []

    def write(file: int, data: Any) -> int:
        if written:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        written.append(really_write(file, bytes(data)[:1000]))
        return written[0]

    with monkeypatch.context() as full:
        full.setattr(os, "write", write)
        ended = here.run(command, CORNER, "-o", name)
    assert written == [1000]
    assert (ended.status, ended.out) == (2, "")
    assert ended.err == f"framer: {name}: cannot be written: the disk is full\n"
    assert Path(name).read_bytes() == b"the one before"
    assert here.written() == {name}


@pytest.mark.parametrize(
    ("command", "name"), [("sheet", "a.dxf"), ("sheet", "a.pdf"), ("materials", "a.csv")]
)
def test_a_folder_that_is_not_there_is_said(here: Here, command: str, name: str) -> None:
    ended = here.run(command, CORNER, "-o", Path("nowhere") / name)
    assert (ended.status, ended.out) == (2, "")
    assert ended.err == f"framer: {name}: cannot be written: there is no such file or folder\n"
    assert here.written() == set()


def test_a_folder_in_the_files_place_is_said_and_kept(here: Here) -> None:
    Path("a.dxf").mkdir()
    ended = here.run("sheet", CORNER, "-o", "a.dxf")
    assert (ended.status, ended.out) == (2, "")
    assert "a.dxf: cannot be written: " in ended.err
    assert here.written() == {"a.dxf"}


def test_written_again_it_is_the_same(here: Here) -> None:
    for name, command in (("a.dxf", "sheet"), ("a.pdf", "sheet"), ("a.csv", "materials")):
        assert here.run(command, CORNER, "-o", name).status == 0
        first = Path(name).read_bytes()
        assert here.run(command, CORNER, "-o", name).status == 0
        assert Path(name).read_bytes() == first


# Open without a screen.


@LINUX
def test_open_without_a_screen_says_so_and_puts_the_job_on_paper(here: Here) -> None:
    ended = here.run("open", CORNER)
    assert (ended.status, ended.err) == (0, "")
    lines = ended.out.splitlines()
    assert lines[0] == "framer: no screen here, so the job comes on paper"
    checked = here.run("check", CORNER).out
    assert checked in ended.out
    names = [
        "alder-lane.dxf",
        "alder-lane.pdf",
        "alder-lane-materials.csv",
        "alder-lane-framing.dxf",
        "alder-lane-framing.pdf",
    ]
    assert lines[-5:] == [f"wrote {Path('out') / name}" for name in names]
    assert here.written() == {"out", *(str(Path("out") / name) for name in names)}
    assert all((Path("out") / name).stat().st_size > 1000 for name in names)


@LINUX
def test_open_by_the_real_process_writes_where_it_is_told(tmp_path: Path) -> None:
    ended = process(tmp_path, "open", TANGENT, "--out", "a/b")
    assert (ended.status, ended.err) == (0, "")
    assert ended.out.startswith("framer: no screen here, so the job comes on paper\n")
    assert "cannot say" in ended.out
    assert sorted(path.name for path in (tmp_path / "a/b").iterdir()) == [
        "fenwick-road-framing.dxf",
        "fenwick-road-framing.pdf",
        "fenwick-road-materials.csv",
        "fenwick-road.dxf",
        "fenwick-road.pdf",
    ]


@LINUX
def test_open_without_a_screen_needs_a_job(here: Here) -> None:
    ended = here.run("open")
    assert (ended.status, ended.out) == (2, "")
    assert ended.err == "framer: there is no screen here; name a job to have it on paper\n"
    assert here.written() == set()


@LINUX
def test_a_folder_for_paper_that_cannot_be_made_is_said(here: Here) -> None:
    Path("out").write_text("in the way")
    ended = here.run("open", CORNER)
    assert ended.status == 2
    assert ended.err.startswith("framer: out: cannot be made: ")
    assert Path("out").read_text() == "in the way"
    assert here.written() == {"out"}
    deeper = here.run("open", CORNER, "--out", Path("out") / "deeper")
    assert (deeper.status, "cannot be made" in deeper.err) == (2, True)


@LINUX
def test_a_folder_for_paper_nobody_can_write_in_is_said(here: Here) -> None:
    """Not even root makes files or folders in /proc."""
    made = here.run("open", CORNER, "--out", "/proc/framer")
    assert made.status == 2
    assert made.err.startswith("framer: /proc/framer: cannot be made: ")
    written = here.run("open", CORNER, "--out", "/proc/self")
    assert written.status == 2
    assert written.err.startswith("framer: alder-lane.dxf: cannot be written: ")
    assert "wrote" not in written.out
