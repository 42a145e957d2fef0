"""One framer at a time on a job file: a lock beside it that tells who holds it.

The system frees the lock when its holder ends, however it ends, so a lock file left behind by a
crash keeps nobody out. On a network drive the lock may only be seen by the machine that took it.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from framer.errors import JobFileError
from framer.files.disk import behind_links, cause, file_name

if sys.platform == "win32":
    import msvcrt

    def _take(file: int) -> bool:
        """Take the lock on an open file; False when another has it."""
        # a byte far behind the end, so that others can read who holds it
        os.lseek(file, 1 << 30, os.SEEK_SET)
        try:
            msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        finally:
            os.lseek(file, 0, os.SEEK_SET)
        return True

else:
    import fcntl

    def _take(file: int) -> bool:
        """Take the lock on an open file; False when another has it."""
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def lock_path(path: Path) -> Path:
    """The lock file of a job file."""
    target = behind_links(path)
    return target.with_name(f".{target.name}.lock")


@contextlib.contextmanager
def lock(path: Path) -> Iterator[None]:
    """Hold a job file, which need not exist yet, for as long as the block runs.

    Raises:
        JobFileError: another framer holds it, with host, process and since when; or the lock file
            cannot be made.
    """
    try:
        beside = lock_path(path)
        file = _held(beside, path)
    except JobFileError:
        raise
    except (OSError, ValueError) as error:
        raise JobFileError(file_name(path), "", f"cannot be locked: {cause(error)}") from error
    try:
        yield
    finally:
        if sys.platform != "win32":  # while still held, so that nobody else's is removed
            beside.unlink(missing_ok=True)
        os.close(file)
        if sys.platform == "win32":
            with contextlib.suppress(OSError):
                beside.unlink()


def holder(path: Path) -> str | None:
    """Who holds a job file, in words, `None` when nobody does."""
    try:
        file = os.open(lock_path(path), os.O_RDWR)
    except OSError:
        return None
    try:
        return None if _take(file) else _words(os.read(file, 1000))
    finally:
        os.close(file)


def _host() -> str:
    import socket  # takes a while, and opening a job needs no name of this machine

    return socket.gethostname()


def is_this_process(holder_words: str) -> bool:
    """Whether the words of `holder` are about this very process."""
    return holder_words.startswith(f"host {_host()}, process {os.getpid()}, ")


def _held(beside: Path, path: Path) -> int:
    """The open, locked lock file with our name in it."""
    while True:
        file = os.open(beside, os.O_RDWR | os.O_CREAT, 0o666)
        try:
            if not _take(file):
                who = _words(os.read(file, 1000))
                raise JobFileError(file_name(path), "", f"is open in another framer: {who}")
            # its last holder may have removed it between our opening and our taking it
            if _is(file, beside):
                _sign(file)
                return file
        except BaseException:
            os.close(file)
            raise
        os.close(file)


def _is(file: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(file), path.stat())
    except FileNotFoundError:
        return False


def _sign(file: int) -> None:
    if sys.platform != "win32":
        with contextlib.suppress(PermissionError):  # made by somebody else, who has seen to it
            os.fchmod(file, 0o666)  # so that others can take it over after a crash of ours
    who = {
        "host": _host(),
        "process": os.getpid(),
        "since": datetime.now().astimezone().isoformat(" ", "seconds"),
    }
    os.ftruncate(file, 0)
    os.write(file, json.dumps(who).encode())


def _words(data: bytes) -> str:
    try:
        who = json.loads(data)
        return f"host {who['host']}, process {who['process']}, since {who['since']}"
    except (ValueError, LookupError, TypeError):
        return "it does not say which"
