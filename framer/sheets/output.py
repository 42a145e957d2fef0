"""Writing sheets and lists as the kind of file their name says."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from framer.drawing.calculation import calculation_sheets
from framer.drawing.drill import drill_sheet
from framer.drawing.lists import list_sheets
from framer.drawing.sheet import PAPERS, Sheet
from framer.errors import FramerError
from framer.files.whole import make_folder, write_whole
from framer.geometry.scene import Scene
from framer.model.job import Job
from framer.sheets.drill_csv import drill_csv
from framer.sheets.holds_csv import holds_csv
from framer.sheets.material_csv import material_csv
from framer.sheets.material_json import material_json
from framer.sheets.material_xlsx import material_xlsx
from framer.sheets.stringing_csv import stringing_csv
from framer.sheets.versions import Version
from framer.strength.calculation import calculations
from framer.strength.sagging import Stringing
from framer.takeoff.drilling import drill_list
from framer.takeoff.listing import MaterialList, material_list
from framer.transfer.holds import HoldRow

SHEETS = (".dxf", ".pdf", ".svg")
"""What a sheet can be written as."""


def write_sheet(
    sheet: Sheet, path: Path, *, job_file: Path | None = None, version: Version = "R2010"
) -> None:
    """Write a sheet as DXF, PDF or SVG.

    Args:
        sheet: what to write.
        path: the file, its ending says as what.
        job_file: file of the job, which is never written over.
        version: which DXF it is, where it is one.

    Raises:
        FramerError: the name has another ending or is the job's, or the file cannot be written.
    """
    kind = _ending(path, SHEETS, "a sheet", job_file)
    if kind == ".dxf":
        from framer.sheets.dxf import write_dxf

        write_dxf(sheet, path, version)
    elif kind == ".svg":
        from framer.sheets.svg import write_svg

        write_svg(sheet, path)
    else:
        from framer.sheets.pdf import write_pdf

        write_pdf((sheet,), path)


def write_sheets(
    sheets: Sequence[Sheet],
    path: Path,
    *,
    job_file: Path | None = None,
    version: Version = "R2010",
) -> tuple[Path, ...]:
    """Write a set of sheets: as the pages of one PDF file, or as a DXF or SVG file each.

    From the second on these files have the number of the page after the name. Gives what was
    written.

    Args:
        sheets: the set, in order.
        path: the file, its ending says as what.
        job_file: file of the job, which is never written over.
        version: which DXF they are, where they are some.

    Raises:
        FramerError: the name has another ending or is the job's, or a file cannot be written.
    """
    if _ending(path, SHEETS, "a set of sheets", job_file) == ".pdf":
        from framer.sheets.pdf import write_pdf

        write_pdf(tuple(sheets), path)
        return (path,)
    more = range(2, len(sheets) + 1)
    paths = (path, *(path.with_stem(f"{path.stem}-{number}") for number in more))
    for sheet, one in zip(sheets, paths, strict=True):
        write_sheet(sheet, one, job_file=job_file, version=version)
    return paths


def write_folder(
    sheets: Sequence[Sheet], folder: Path, kind: str = ".dxf", *, version: Version = "R2010"
) -> tuple[Path, ...]:
    """Write a set of sheets into a folder, made if need be: a file each, numbered and named.

    Raises:
        FramerError: the folder or a file cannot be written.
    """
    make_folder(folder)
    paths = tuple(
        folder / f"{number:02d}-{_named(sheet)}{kind}"
        for number, sheet in enumerate(sheets, start=1)
    )
    for sheet, path in zip(sheets, paths, strict=True):
        write_sheet(sheet, path, version=version)
    return paths


def _named(sheet: Sheet) -> str:
    """A sheet's title as the name of a file."""
    words = "".join(one if one.isascii() and one.isalnum() else " " for one in sheet.title)
    return "-".join(words.lower().split())[:60].strip("-") or "sheet"


def write_materials(
    job: Job,
    path: Path,
    *,
    listed: MaterialList | None = None,
    paper: str = "tabloid",
    job_file: Path | None = None,
) -> tuple[Path, ...]:
    """Write a material list as CSV, XLSX, JSON, or as sheets in PDF or DXF. Gives what was written.

    Args:
        job: whose list.
        path: the file, its ending says as what.
        listed: the list, priced or of several jobs; else that of the job.
        paper: name of the paper of sheets.
        job_file: file of the job, which is never written over.

    Raises:
        FramerError: the name has another ending or is the job's, or the file cannot be written.
    """
    endings = (".csv", ".xlsx", ".json", ".pdf", ".dxf")
    ending = _ending(path, endings, "a material list", job_file)
    listed = material_list(job) if listed is None else listed
    if ending == ".xlsx":
        write_whole(path, material_xlsx(listed))
    elif ending in (".csv", ".json"):
        text = material_csv(listed) if ending == ".csv" else material_json(listed)
        write_whole(path, text.encode("utf-8"))
    else:
        sheets = list_sheets(listed, job, (), paper=PAPERS[paper])
        return write_sheets(sheets, path, job_file=job_file)
    return (path,)


def write_holds(rows: Iterable[HoldRow], path: Path, *, job_file: Path | None = None) -> None:
    """Write the request sheet for holds as CSV.

    Args:
        rows: a row a circuit.
        path: the file.
        job_file: file of the job, which is never written over.

    Raises:
        FramerError: the name has another ending or is the job's, or the file cannot be written.
    """
    _ending(path, (".csv",), "a request sheet", job_file)
    write_whole(path, holds_csv(rows).encode("utf-8"))


def write_drill(
    scene: Scene, pole: str, path: Path, *, paper: str = "tabloid", job_file: Path | None = None
) -> None:
    """Write the drill sheet of a pole as DXF or PDF, or its rows as CSV.

    Args:
        scene: the job at the stage the pole is drilled for.
        pole: id of the pole.
        path: the file, its ending says as what.
        paper: name of the paper.
        job_file: file of the job, which is never written over.

    Raises:
        UnknownNameError: no such pole stands then.
        FramerError: the name has another ending or is the job's, the rows have no room on the
            paper, or the file cannot be written.
    """
    if _ending(path, (".csv", ".dxf", ".pdf"), "a drill sheet", job_file) == ".csv":
        write_whole(path, drill_csv(scene.job, drill_list(scene, pole)).encode("utf-8"))
    else:
        write_sheet(drill_sheet(scene, pole, paper=PAPERS[paper]), path, job_file=job_file)


def write_calculations(
    scene: Scene, path: Path, *, paper: str = "tabloid", job_file: Path | None = None
) -> tuple[tuple[Path, ...], bool]:
    """Write the calculation of every pole and loading: as a PDF, a page each, or a DXF each.

    Args:
        scene: the job at a stage.
        path: the file, its ending says as what; further DXF files get a number.
        paper: name of the paper.
        job_file: file of the job, which is never written over.

    Returns:
        The files written, and whether nothing in them is short or left unsaid.

    Raises:
        FramerError: no loading or method is chosen, the name has another ending or is the job's, or
            a file cannot be written.
    """
    _ending(path, (".dxf", ".pdf"), "a calculation", job_file)
    found = calculations(scene)
    sheets = calculation_sheets(scene.job, found, paper=PAPERS[paper])
    clean = all(said in ("meets", "tight") for one in found for said in one.verdicts)
    return write_sheets(sheets, path, job_file=job_file), clean


def write_stringing(
    scene: Scene, tables: Sequence[Stringing], path: Path, *, job_file: Path | None = None
) -> None:
    """Write stringing tables as CSV.

    Raises:
        FramerError: the name has another ending or is the job's, or the file cannot be written.
    """
    _ending(path, (".csv",), "a stringing table", job_file)
    write_whole(path, stringing_csv(scene.job, tables).encode("utf-8"))


def write_all(
    job: Job,
    sheet: Sheet,
    folder: Path,
    name: str,
    *,
    more: Mapping[str, Sheet] | None = None,
    job_file: Path | None = None,
) -> tuple[Path, ...]:
    """Write sketch (DXF and PDF), material list and `more` sheets into a folder, made if need be.

    A further sheet has its word after the name of the job.

    Raises:
        FramerError: the folder or a file cannot be written, or a file would be the job's.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FramerError(f"{folder}: cannot be made: {error.strerror}") from error
    sketch, printed = folder / f"{name}.dxf", folder / f"{name}.pdf"
    listed = folder / f"{name}-materials.csv"
    write_sheet(sheet, sketch, job_file=job_file)
    write_sheet(sheet, printed, job_file=job_file)
    write_materials(job, listed, job_file=job_file)
    written = [sketch, printed, listed]
    for word, other in (more or {}).items():
        for suffix in (".dxf", ".pdf"):
            written.append(folder / f"{name}-{word}{suffix}")
            write_sheet(other, written[-1], job_file=job_file)
    return tuple(written)


def _ending(path: Path, endings: tuple[str, ...], what: str, job_file: Path | None) -> str:
    """The ending of a file that may be written."""
    ending = path.suffix.lower()
    if ending not in endings:
        raise FramerError(f"{path.name}: {what} is written as {' or '.join(endings)}")
    try:
        is_job = job_file is not None and path.samefile(job_file)
    except OSError:  # one of them is not there
        is_job = False
    if is_job:
        raise FramerError(f"{path.name}: that is the job itself; choose another name")
    return ending
