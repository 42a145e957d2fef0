"""`framer sheets`, `issue`, `sign`, `revisions`, `built`, `notices`, `photo` and `read-in`."""

from __future__ import annotations

import shutil
from pathlib import Path

import ezdxf
import pytest

from framer.files.find import job_file
from framer.files.lock import lock
from framer.files.reader import read_job
from tests.cli.running import CORNER, Here


@pytest.fixture
def corner(here: Here) -> Path:
    """A copy of the corner job in the folder the commands run in."""
    shutil.copytree(CORNER, here.folder / "corner")
    return Path("corner")


def test_sheets_writes_one_pdf(here: Here, corner: Path) -> None:
    ended = here.run("sheets", corner, "-o", "set.pdf", "--paper", "letter")
    assert (ended.status, ended.out, ended.err) == (0, "wrote set.pdf\n", "")
    assert Path("set.pdf").read_bytes().startswith(b"%PDF-")


def test_sheets_writes_a_folder_of_drawings_of_the_version_asked_for(
    here: Here, corner: Path
) -> None:
    ended = here.run("sheets", corner, "-o", "drawings", "--dxf", "R2000")
    written = sorted(Path("drawings").iterdir())
    assert ended.status == 0
    assert ended.out == "".join(f"wrote {path}\n" for path in written)
    assert len(written) >= 8
    assert ezdxf.readfile(written[1]).dxfversion == "AC1015"
    assert here.run("sheets", corner, "-o", "pictures", "--as", "svg").status == 0
    assert {path.suffix for path in Path("pictures").iterdir()} == {".svg"}


def test_issue_sign_and_revisions(here: Here, corner: Path) -> None:
    ended = here.run("issue", corner, "--by", "M. Okafor", "--date", "2026-11-21")
    assert ended.out.startswith("issued revision 1 of 2026-11-21: ")
    again = here.run("issue", corner, "--by", "M. Okafor", "--date", "2026-11-22")
    assert again.status == 2
    assert "nothing has changed since revision 1" in again.err
    signed = here.run("sign", corner, "--by", "J. Chief", "--date", "2026-11-22")
    assert signed.out == "checked by J. Chief, 2026-11-22\n"
    assert here.run("revisions", corner).status == 0
    here.run("built", corner, "line-arm", "41 ft 8 in")
    listed = here.run("revisions", corner)
    assert listed.status == 1
    assert "draft - not checked by chief since it was changed" in listed.out
    assert "Line arm: 4 in lower, 41 ft 8 in above ground" in listed.out
    changed = here.run("changes", corner, "--revision", "1")
    assert "Line arm: 4 in lower" in changed.out
    assert "are superseded by" in changed.out
    assert here.run("changes", corner).status == 2
    old = here.run("materials", corner, "--revision", "1", "-o", "old.csv")
    assert old.status == 1
    assert "SUPERSEDED: the job was changed after revision 1" in old.err
    assert "SUPERSEDED" in Path("old.csv").read_text(encoding="utf-8")
    assert "SUPERSEDED" not in here.run("materials", corner).err


def test_built_checks_again_at_once(here: Here, corner: Path) -> None:
    ended = here.run("built", corner, "buck-arm", "38 ft 2 in")
    assert ended.status == 1
    assert "Buck arm: height 38 ft as drawn, 38 ft 2 in as built: 2 in higher" in ended.out
    assert "!! short" in ended.out
    deep = here.run("built", corner, "pole-new", "7 ft 3 in")
    assert "New pole: set 7 ft as drawn, 7 ft 3 in as built: 3 in deeper" in deep.out
    wrong = here.run("built", corner, "buck-arm", "high")
    assert wrong.status == 2


def test_the_redline_is_written_as_drawing_and_table(here: Here, corner: Path) -> None:
    nothing = here.run("built", corner, "-o", here.folder / "redline.pdf")
    assert nothing.status == 2
    assert "nothing was measured as built" in nothing.err
    assert not (here.folder / "redline.pdf").exists()
    ended = here.run("built", corner, "buck-arm", "38 ft 2 in", "-o", here.folder / "redline.svg")
    assert (here.folder / "redline.svg").name in ended.out
    drawn = (here.folder / "redline.svg").read_text(encoding="utf-8")
    assert "38 ft 2 in above ground, measured: 2 in higher" in drawn
    assert "As drawn and as built" in (here.folder / "redline-2.svg").read_text(encoding="utf-8")


def test_notices(here: Here, corner: Path) -> None:
    none = here.run("notices", corner)
    assert (none.status, "no notice rule is chosen" in none.out) == (1, True)
    assert "ma-90-days" in here.run("notices", corner, "--rules").out
    ended = here.run("notices", corner, "--rule", "ma-90-days", "--date", "2026-03-03")
    assert ended.status == 0
    assert "by 1 June 2026: the new pole is set 2026-03-03 + 90 days" in ended.out
    assert "Tarrow Telephone" in ended.out
    assert here.run("notices", corner, "--rule", "none", "--date", "2026-03-03").status == 2
    assert here.run("notices", corner, "--rule", "ma-90-days", "--date", "March").status == 2
    here.run("notices", corner, "--rule", "ma-90-days", "--drop")
    assert read_job(job_file(corner)).notices == ()


def test_photo(here: Here, corner: Path) -> None:
    ended = here.run("photo", corner, "photos/7.jpg", "--note", "from the south")
    assert "nothing is measured from it" in ended.out
    (one,) = read_job(job_file(corner)).photos
    assert (one.path, one.note, one.date) == ("photos/7.jpg", "from the south", "")


def test_a_photo_may_be_named_from_the_folder_one_is_in(here: Here, corner: Path) -> None:
    (corner / "pictures").mkdir()
    (corner / "pictures" / "7.jpg").write_bytes(b"")
    ended = here.run("photo", corner, f"{corner}/pictures/7.jpg")
    assert "not there yet" not in ended.out
    assert "9.jpg is not there yet" in here.run("photo", corner, "9.jpg").out
    photos = read_job(job_file(corner)).photos
    assert [one.path for one in photos] == ["pictures/7.jpg", "9.jpg"]


def test_read_in(here: Here, corner: Path) -> None:
    Path("survey.csv").write_text(
        "What,name,Feet,Weather\nattachment,Old lamp,20 ft,rain\n", encoding="utf-8"
    )
    mapped = ("--map", "What=kind", "--map", "Feet=height")
    words = ("read-in", "survey.csv", "--into", corner, *mapped)
    before = job_file(corner).read_bytes()
    tried = here.run(*words, "--try")
    assert (tried.status, job_file(corner).read_bytes() == before) == (0, True)
    ended = here.run(*words)
    assert "1 items and 0 wires read in, as found" in ended.out
    assert "column 'Weather' was not read" in ended.out
    assert read_job(job_file(corner)).items[-1].name == "Old lamp"
    Path("survey.csv").write_text("kind,name,height\nattachment,X,20\n", encoding="utf-8")
    wrong = here.run("read-in", "survey.csv", "--into", corner)
    assert wrong.status == 2
    assert "survey.csv: row 2, column 'height': '20' has no unit" in wrong.err


def test_a_job_that_is_open_elsewhere_is_not_written(here: Here, corner: Path) -> None:
    path = job_file(corner)
    before = path.read_bytes()
    with lock(path):
        ended = here.run("photo", corner, "7.jpg")
    assert ended.status == 2
    assert "is open in another framer" in ended.err
    assert path.read_bytes() == before
