"""Writing a job file so that no moment, however unlucky, leaves a broken one."""

from __future__ import annotations

import os
import stat
from collections.abc import Collection
from pathlib import Path

from msgspec import Struct

from framer.checks.bookshelf import own_books
from framer.errors import JobFileError
from framer.files.disk import (
    backup_path,
    behind_links,
    cause,
    file_name,
    format_path,
    put,
    settle,
    sweep,
)
from framer.files.format import FORMAT, MOST_BYTES, encode, version_of
from framer.files.reader import job_from
from framer.model.job import Job


class _Old(Struct, frozen=True):
    """The file as it is before the save."""

    data: bytes
    mode: int


def write_job(job: Job, path: Path) -> None:
    """Make a file hold the job; the version before is kept beside it as `<name>.bak`.

    A file of an older format stays besides as `<name>.format-<number>`, which no later save takes.
    A link is followed to the file it leads to, which keeps its permissions.

    Raises:
        JobFileError: the job is not sound, or the file cannot be written; it is as it was, unless
            the sentence says that the disk did not confirm the new one.
    """
    file = file_name(path)
    try:
        target = behind_links(path)
        data = job_bytes(job, file, own_books(path.parent / "rules"))
        old = _old(target, file)
        backup = backup_path(target)
        sweep(target)
        sweep(backup)
        if old is not None and old.data != data:
            _keep_old_format(old, target)
            put(old.data, backup, old.mode)
        put(data, target, old.mode if old else None)
    except JobFileError:
        raise
    except (OSError, ValueError) as error:
        if isinstance(error, FileNotFoundError) and not target.parent.is_dir():
            why = f"the folder {target.parent} is not there"
        else:
            why = cause(error)
        raise JobFileError(file, "", f"not saved: {why}; the file is as it was") from error
    try:
        settle(target.parent)
    except OSError as error:
        problem = f"saved, but the disk did not confirm it ({cause(error)}); save it again"
        raise JobFileError(file, "", problem) from error


def job_bytes(job: Job, file: str, books: Collection[str] = ()) -> bytes:
    """The bytes of a job's file, which read back as exactly this job.

    `books` are ids of rulebooks of its own.

    Raises:
        JobFileError: they would not, because the job is not sound.
    """
    try:
        data = encode(job)
    except UnicodeEncodeError as error:
        raise JobFileError(
            file, "", "not saved: a text in the job holds half a character"
        ) from error
    except TypeError as error:
        raise JobFileError(file, "", f"not saved: {error}") from error
    try:
        read_back = job_from(data, file, books).job
    except JobFileError as error:
        raise JobFileError(file, error.place, f"not saved: {error.problem}") from error
    if read_back != job:
        raise JobFileError(file, "", "not saved: the job would not read back the same")
    return data


def _keep_old_format(old: _Old, target: Path) -> None:
    version = version_of(old.data)
    if version is None or version == FORMAT:
        return
    if version > FORMAT:
        raise JobFileError(
            file_name(target),
            "",
            f"not saved: the file there was made by a newer framer (format {version}; this one "
            f"writes {FORMAT}); it is as it was",
        )
    kept = format_path(target, version)
    if not kept.exists():
        put(old.data, kept, old.mode)


def _old(target: Path, file: str) -> _Old | None:
    if target.is_symlink():
        raise JobFileError(file, "", "not saved: it is a link that leads round in a circle")
    try:
        about = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(about.st_mode):
        raise JobFileError(file, "", "not saved: it is a folder")
    if not stat.S_ISREG(about.st_mode):
        raise JobFileError(file, "", "not saved: it is no ordinary file")
    if not about.st_mode & 0o222 or not os.access(target, os.W_OK):
        raise JobFileError(file, "", "not saved: the file is read-only; it is as it was")
    if about.st_size > MOST_BYTES:
        problem = "not saved: what is there is too large for a job file; it is as it was"
        raise JobFileError(file, "", problem)
    return _Old(target.read_bytes(), stat.S_IMODE(about.st_mode))
