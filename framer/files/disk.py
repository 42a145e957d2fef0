"""Whole files on disk: read with care, replaced in one go, and what went wrong in words."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import stat
from pathlib import Path

from framer.errors import JobFileError
from framer.files.format import MOST_BYTES

_BINARY = getattr(os, "O_BINARY", 0)  # Windows would change line ends

_CAUSES = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk space allowed to you is used up",
    errno.EFBIG: "the disk takes no file of that size",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "there is no permission",
    errno.EPERM: "there is no permission",
    errno.ENOENT: "there is no such file or folder",
    errno.ENOTDIR: "a part of its path is no folder",
    errno.EISDIR: "it is a folder",
    errno.ELOOP: "it is a link that leads round in a circle",
    errno.ENAMETOOLONG: "its name is too long",
    errno.EIO: "the disk reports a fault",
    errno.ENOLCK: "this drive has no locks",
    errno.EOPNOTSUPP: "this drive cannot do that",
    errno.ESTALE: "the network drive has lost it",
    errno.ETIMEDOUT: "the network drive does not answer",
    errno.EHOSTDOWN: "the network drive does not answer",
}


def file_name(path: Path) -> str:
    """What a file is called in a sentence."""
    return path.name or str(path)


def behind_links(path: Path) -> Path:
    """The file that is meant when the path is a link to it."""
    return Path(os.path.realpath(path))


def backup_path(path: Path) -> Path:
    """Where the version before the last is kept."""
    target = behind_links(path)
    return target.with_name(f"{target.name}.bak")


def format_path(path: Path, version: int) -> Path:
    """Where the last version of a job file in an older format stays."""
    target = behind_links(path)
    return target.with_name(f"{target.name}.format-{version}")


def cause(error: OSError | ValueError) -> str:
    """Why the system refused, in words."""
    if not isinstance(error, OSError):
        return "its name holds a character no file name may have"
    return _CAUSES.get(error.errno or 0, error.strerror or str(error))


def read_bytes(path: Path) -> bytes:
    """The bytes of an ordinary file.

    Raises:
        JobFileError: it is not there, no ordinary file, too large, or may not be read.
    """
    file = file_name(path)
    try:
        about = path.stat()
        if stat.S_ISDIR(about.st_mode):
            raise JobFileError(file, "", "is a folder; expected a job file")
        if not stat.S_ISREG(about.st_mode):
            raise JobFileError(file, "", "is no ordinary file; expected a job file")
        with path.open("rb") as opened:
            data = opened.read(MOST_BYTES + 1) if about.st_size <= MOST_BYTES else None
    except JobFileError:
        raise
    except FileNotFoundError as error:
        raise JobFileError(file, "", f"there is no such file in {path.parent}") from error
    except (OSError, ValueError) as error:
        raise JobFileError(file, "", f"cannot be read: {cause(error)}") from error
    if data is None or len(data) > MOST_BYTES:
        most = MOST_BYTES // 1024**2
        raise JobFileError(file, "", f"is larger than {most} MB, which no job file is")
    return data


def put(data: bytes, target: Path, mode: int | None = None) -> None:
    """Make a file hold these bytes; at every moment it is the old one or the new one, whole.

    Args:
        data: what to write.
        target: the file, not a link to it.
        mode: its permissions, the usual ones for a new file when left out.

    Raises:
        OSError: it could not be written; the file is as it was.
    """
    temporary = target.with_name(f".{target.name}.{os.urandom(4).hex()}.saving")
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY
    file = os.open(temporary, flags, 0o666 if mode is None else 0o600)
    try:
        try:
            if mode is not None:
                _give_mode(temporary, mode)
            rest = memoryview(data)
            while rest:
                rest = rest[os.write(file, rest) :]
            os.fsync(file)
        finally:
            os.close(file)
        temporary.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise


def _give_mode(path: Path, mode: int) -> None:
    """Give a file its permissions, where the drive knows such: many a network drive does not."""
    try:
        path.chmod(mode)
    except OSError as error:
        if error.errno not in (errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS):
            raise


def sweep(target: Path) -> None:
    """Remove what `put` left beside this file when it was cut short, as far as that is allowed."""
    left_over = re.compile(rf"\.{re.escape(target.name)}\.[0-9a-f]{{8}}\.saving")
    with contextlib.suppress(OSError):
        for path in target.parent.iterdir():
            if left_over.fullmatch(path.name):
                path.unlink(missing_ok=True)


def settle(folder: Path) -> None:
    """Have the disk note down what was replaced in a folder, so that a power cut keeps it.

    Raises:
        OSError: the disk did not confirm it.
    """
    try:
        file = os.open(folder, os.O_RDONLY)
    except OSError:  # Windows opens no folders, and a folder need not be readable
        return
    try:
        os.fsync(file)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.EOPNOTSUPP, errno.ENOSYS):  # it cannot do this
            raise
    finally:
        os.close(file)
