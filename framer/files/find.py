"""Finding the job file a person means."""

from __future__ import annotations

from pathlib import Path

from framer.errors import JobFileError

SUFFIX = ".framer"
"""Ending of job files."""


def job_file(path: Path) -> Path:
    """The path itself, or the one job file in it when it is a folder.

    Raises:
        JobFileError: the folder holds no job file, or more than one.
    """
    if not path.is_dir():
        return path
    jobs = sorted(path.glob(f"*{SUFFIX}"))
    if len(jobs) != 1:
        names = ", ".join(job.name for job in jobs) or "none"
        raise JobFileError(
            str(path), "", f"expected one {SUFFIX} file in the folder, found {names}"
        )
    return jobs[0]
