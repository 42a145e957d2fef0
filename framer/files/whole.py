"""Files other than jobs that are written whole or not at all."""

from __future__ import annotations

import contextlib
from pathlib import Path

from framer.errors import JobFileError
from framer.files.disk import backup_path, behind_links, cause, file_name, put, sweep


def write_whole(path: Path, data: bytes) -> None:
    """Put data in a file so that at any moment the file is the old one or the new one, whole.

    Raises:
        JobFileError: it cannot be written; the old file, if any, is as it was.
    """
    try:
        target = behind_links(path)
        sweep(target)
        put(data, target)
    except (OSError, ValueError) as error:
        raise JobFileError(file_name(path), "", f"cannot be written: {cause(error)}") from error


def make_folder(folder: Path) -> None:
    """Make a folder where there is none.

    Raises:
        JobFileError: it cannot be made.
    """
    try:
        folder.mkdir(exist_ok=True)
    except (OSError, ValueError) as error:
        raise JobFileError(file_name(folder), "", f"cannot be made: {cause(error)}") from error


def keep_before(path: Path) -> None:
    """Keep what a file holds now as `<name>.bak` beside it, before it is written again.

    Raises:
        JobFileError: the copy cannot be written.
    """
    try:
        with contextlib.suppress(FileNotFoundError):
            put(behind_links(path).read_bytes(), backup_path(path))
    except (OSError, ValueError) as error:
        raise JobFileError(file_name(path), "", f"cannot be kept: {cause(error)}") from error
