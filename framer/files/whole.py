"""Files other than jobs that are written whole or not at all."""

from __future__ import annotations

from pathlib import Path

from framer.errors import JobFileError
from framer.files.disk import behind_links, cause, file_name, put, sweep


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
