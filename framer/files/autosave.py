"""What survives a crash: the job as last seen, beside its file until it is saved.

An untitled job gets a path of its own in the user's state folder, and is then kept, locked and
found again like any other.
"""

from __future__ import annotations

import os
import re
import stat
import sys
from pathlib import Path

from framer.errors import JobFileError
from framer.files.disk import behind_links, cause, file_name, put, sweep
from framer.files.lock import holder
from framer.files.reader import books_beside
from framer.files.writer import job_bytes
from framer.model.job import Job


def autosave_path(path: Path) -> Path:
    """Where a job file's autosave is."""
    target = behind_links(path)
    return target.with_name(f".{target.name}.autosave")


def write_autosave(job: Job, path: Path) -> None:
    """Keep the job as it is now, without touching its file, and open to the same people.

    Raises:
        JobFileError: the job is not sound, or cannot be kept there.
    """
    file = file_name(path)
    data = job_bytes(job, file, books_beside(path))
    try:
        kept = autosave_path(path)
        sweep(kept)
        put(data, kept, stat.S_IMODE(path.stat().st_mode) if path.is_file() else None)
    except (OSError, ValueError) as error:
        raise JobFileError(file, "", f"no autosave: {cause(error)}") from error


def newer_autosave(path: Path) -> Path | None:
    """The autosave of a job file, if it holds anything that the file does not.

    That is not so when the file was written later, or holds the same. The path is one for
    `read_job`, which says if the autosave is damaged.
    """
    kept = autosave_path(path)
    try:
        kept_at = kept.stat().st_mtime_ns
        kept_data = kept.read_bytes()
    except OSError:
        return None
    try:
        if path.stat().st_mtime_ns > kept_at or path.read_bytes() == kept_data:
            return None
    except OSError:  # the file is gone or cannot be read, so the autosave is all there is
        return kept
    return kept


def drop_autosave(path: Path) -> None:
    """Forget the autosave of a job file, if there is one.

    Raises:
        JobFileError: it cannot be removed.
    """
    try:
        autosave_path(path).unlink(missing_ok=True)
    except OSError as error:
        problem = f"its autosave cannot be removed: {cause(error)}"
        raise JobFileError(file_name(path), "", problem) from error


def state_folder() -> Path:
    """Where this user's programs keep what should survive a crash."""
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local") / "framer"
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / "framer"
    given = os.environ.get("XDG_STATE_HOME", "")
    # the specification has relative paths ignored
    return (Path(given) if Path(given).is_absolute() else home / ".local" / "state") / "framer"


def untitled_path() -> Path:
    """A path for a job that has no file yet, like no other's; for `lock` and the autosave.

    Raises:
        JobFileError: the state folder cannot be made.
    """
    name = f"untitled-{os.urandom(4).hex()}.json"
    try:
        folder = state_folder()
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise JobFileError(name, "", f"there is no place for it: {cause(error)}") from error
    return folder / name


def left_untitled() -> tuple[Path, ...]:
    """Paths of untitled jobs with an autosave whose framer is gone, the latest first."""
    name = re.compile(r"\.(untitled-[0-9a-f]{8}\.json)\.autosave")
    left = []
    try:
        for kept in state_folder().iterdir():
            match = name.fullmatch(kept.name)
            if match and holder(path := kept.with_name(match.group(1))) is None:
                left.append((kept.stat().st_mtime_ns, path))
    except OSError:
        return ()
    return tuple(path for _, path in sorted(left, reverse=True))
