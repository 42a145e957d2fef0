"""Writing sheets and lists as the kind of file their name says."""

from __future__ import annotations

from pathlib import Path

from framer.drawing.sheet import Sheet
from framer.errors import FramerError
from framer.files.whole import write_whole
from framer.model.job import Job
from framer.sheets.material_csv import material_csv
from framer.takeoff.materials import materials


def write_sheet(sheet: Sheet, path: Path) -> None:
    """Write a sheet as DXF or PDF.

    Raises:
        FramerError: the name has another ending, or the file cannot be written.
    """
    kind = path.suffix.lower()
    if kind == ".dxf":
        from framer.sheets.dxf import write_dxf

        write_dxf(sheet, path)
    elif kind == ".pdf":
        from framer.sheets.pdf import write_pdf

        write_pdf((sheet,), path)
    else:
        raise FramerError(f"{path.name}: a sheet is written as .dxf or .pdf")


def write_materials(job: Job, path: Path) -> None:
    """Write the material list as CSV.

    Raises:
        JobFileError: the file cannot be written.
    """
    write_whole(path, material_csv(materials(job)).encode("utf-8"))


def write_all(job: Job, sheet: Sheet, folder: Path, name: str) -> tuple[Path, ...]:
    """Write sketch (DXF and PDF) and material list into a folder, made if need be.

    Raises:
        FramerError: the folder or a file cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FramerError(f"{folder}: cannot be made: {error.strerror}") from error
    sketch, printed = folder / f"{name}.dxf", folder / f"{name}.pdf"
    listed = folder / f"{name}-materials.csv"
    write_sheet(sheet, sketch)
    write_sheet(sheet, printed)
    write_materials(job, listed)
    return sketch, printed, listed
