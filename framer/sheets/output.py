"""Writing sheets and lists as the kind of file their name says."""

from __future__ import annotations

from pathlib import Path

from framer.drawing.sheet import Sheet
from framer.errors import FramerError
from framer.files.whole import write_whole
from framer.model.job import Job
from framer.sheets.material_csv import material_csv
from framer.takeoff.materials import materials


def write_sheet(sheet: Sheet, path: Path, *, job_file: Path | None = None) -> None:
    """Write a sheet as DXF or PDF.

    Args:
        sheet: what to write.
        path: the file, its ending says as what.
        job_file: file of the job, which is never written over.

    Raises:
        FramerError: the name has another ending or is the job's, or the file cannot be written.
    """
    kind = _ending(path, (".dxf", ".pdf"), "a sheet", job_file)
    if kind == ".dxf":
        from framer.sheets.dxf import write_dxf

        write_dxf(sheet, path)
    else:
        from framer.sheets.pdf import write_pdf

        write_pdf((sheet,), path)


def write_materials(job: Job, path: Path, *, job_file: Path | None = None) -> None:
    """Write the material list as CSV.

    Args:
        job: whose list.
        path: the file.
        job_file: file of the job, which is never written over.

    Raises:
        FramerError: the name has another ending or is the job's, or the file cannot be written.
    """
    _ending(path, (".csv",), "a material list", job_file)
    write_whole(path, material_csv(materials(job)).encode("utf-8"))


def write_all(
    job: Job, sheet: Sheet, folder: Path, name: str, *, job_file: Path | None = None
) -> tuple[Path, ...]:
    """Write sketch (DXF and PDF) and material list into a folder, made if need be.

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
    return sketch, printed, listed


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
