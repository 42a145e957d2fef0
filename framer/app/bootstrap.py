"""First start of a checkout: make its own environment in `.venv`, then run framer from there.

Standard library only. The folder carries a mark: empty while the set-up is under way, so that an
interrupted one is made anew, and afterwards a stamp of what was installed for whom, so that later
starts only compare. A lock lets one start at a time set up; it is passed on to pip, so it holds
even when a killed start leaves its pip running.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal, NoReturn

from framer.app import machine
from framer.app.machine import MachineError

MARK = "framer-set-up.json"
LOG = "set-up.log"

_OLDEST = (3, 11)
_CAUSES = (
    (
        "the package index cannot be reached - is there a network?",
        (
            "NewConnectionError",
            "Failed to establish a new connection",
            "name resolution",
            "Name or service not known",
            "Network is unreachable",
            "timed out",
            "ProxyError",
            "SSLError",
        ),
    ),
    ("the disk is full", ("No space left on device",)),
)


def ready(root: Path, extras: tuple[str, ...] = ()) -> Path:
    """The interpreter of the checkout's environment, made or brought up to date where needed.

    Args:
        root: folder of the checkout, with pyproject.toml.
        extras: optional dependencies of pyproject.toml that are needed too.

    Raises:
        MachineError: it cannot be made; the sentence says why.
        OSError: a folder or file cannot be written.
    """
    if sys.version_info < _OLDEST:
        is_now = ".".join(map(str, sys.version_info[:2]))
        raise MachineError(f"Python 3.11 or newer is needed; this is {is_now}")
    folder = root / ".venv"
    want = stamp(root, extras)
    if what_to_do(folder, want) != "nothing":
        with _alone(root) as lock:
            todo = what_to_do(folder, want)
            if todo == "make":
                machine.say("setting up once, about half a minute")
                _make(folder, lock)
            elif todo == "install":
                machine.say("bringing its Python packages up to date")
            if todo != "nothing":
                _install(root, folder, want, lock)
    return interpreter(folder)


def stamp(root: Path, extras: tuple[str, ...]) -> dict[str, Any]:
    """What an environment must have been made for, to be used as it is."""
    return {
        "place": str(root / ".venv"),
        "python": sys.implementation.cache_tag,
        "project": hashlib.sha256((root / "pyproject.toml").read_bytes()).hexdigest(),
        "extras": sorted(extras),
    }


def what_to_do(folder: Path, want: dict[str, Any]) -> Literal["nothing", "install", "make"]:
    """Whether an environment serves as it is, lacks packages, or must be made anew.

    One without a mark was made by somebody else; it is kept if its Python is ours.
    """
    if not interpreter(folder).exists():
        return "make"
    have = _read_mark(folder)
    if have is None:
        return "install" if _python_of(folder) == sys.version_info[:2] else "make"
    if have.get("place") != want["place"] or have.get("python") != want["python"]:
        return "make"
    if have.get("project") != want["project"] or set(want["extras"]) - set(have["extras"]):
        return "install"
    return "nothing"


def interpreter(folder: Path) -> Path:
    """Where an environment keeps its Python."""
    return folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def hand_over(python: Path, arguments: list[str]) -> NoReturn:
    """Become another Python with these arguments; its exit code is ours."""
    sys.stdout.flush()
    sys.stderr.flush()
    command = [str(python), *arguments]
    if os.name == "nt":  # exec there returns to the shell at once
        sys.exit(subprocess.call(command))
    os.execv(command[0], command)


def _read_mark(folder: Path) -> dict[str, Any] | None:
    """The mark of an environment; empty for a damaged one, None when there is none."""
    try:
        mark = json.loads((folder / MARK).read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None
    except ValueError:
        return {}
    return mark if isinstance(mark, dict) and isinstance(mark.get("extras"), list) else {}


def _write_mark(folder: Path, mark: dict[str, Any]) -> None:
    new = folder / f"{MARK}.new"
    new.write_text(json.dumps(mark), encoding="utf-8")
    new.replace(folder / MARK)


def _python_of(folder: Path) -> tuple[int, ...] | None:
    """Major and minor version an environment was made by, as its own settings file says."""
    try:
        lines = (folder / "pyvenv.cfg").read_text(encoding="utf-8").splitlines()
    except (OSError, ValueError):
        return None
    for key, _, value in (line.partition("=") for line in lines):
        if key.strip() in ("version", "version_info"):
            parts = value.strip().split(".")[:2]
            return tuple(int(part) for part in parts if part.isdigit())
    return None


@contextlib.contextmanager
def _alone(root: Path) -> Iterator[int]:
    """Wait until no other start sets up here; yields the lock's file number."""
    lock = os.open(root / "pyproject.toml", os.O_RDWR)
    try:
        if not _lock(lock, wait=False):
            machine.say("another start is setting up here; waiting for it")
            _lock(lock, wait=True)
        yield lock
    finally:
        os.close(lock)


if sys.platform == "win32":
    import msvcrt
    import time

    def _lock(file: int, *, wait: bool) -> bool:
        """Take the lock on an open file; False when another has it."""
        while True:
            # a byte far behind the end, so that pip can read the file
            os.lseek(file, 1 << 30, os.SEEK_SET)
            try:
                msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
            except OSError:
                if not wait:
                    return False
                time.sleep(0.5)
            else:
                return True

else:
    import fcntl

    def _lock(file: int, *, wait: bool) -> bool:
        """Take the lock on an open file; False when another has it."""
        try:
            fcntl.flock(file, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def _make(folder: Path, lock: int) -> None:
    """An empty environment in place of whatever was there, marked as under way."""
    if importlib.util.find_spec("ensurepip") is None:
        # Debian keeps this part of Python in a package of its own
        package = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
        machine.install([package], "this Python cannot make virtual environments")
    _remove(folder)
    folder.mkdir()
    _write_mark(folder, {})
    # not our own Python: that may be the one in the folder just removed
    python = getattr(sys, "_base_executable", None) or sys.executable
    if _run([python, "-I", "-m", "venv", str(folder)], folder, lock) != 0:
        cause = _cause(folder)
        _remove(folder)
        raise MachineError(f"this Python cannot make a virtual environment: {cause}")


def _remove(folder: Path) -> None:
    """Remove an environment, and nothing else."""
    if not folder.exists() and not folder.is_symlink():
        return
    if folder.is_symlink() or not folder.is_dir():
        raise MachineError(f"{folder} is not a folder; move it away and start again")
    if not ((folder / MARK).exists() or (folder / "pyvenv.cfg").exists() or _is_empty(folder)):
        raise MachineError(f"{folder} is no Python environment; move it away and start again")
    shutil.rmtree(folder)


def _is_empty(folder: Path) -> bool:
    return next(folder.iterdir(), None) is None


def _install(root: Path, folder: Path, want: dict[str, Any], lock: int) -> None:
    """Install the checkout into its environment, editable, and stamp it."""
    have = _read_mark(folder)
    extras = sorted({*want["extras"], *(have or {}).get("extras", ())})
    if have is not None:  # somebody else's is never to be taken for a half-made one of ours
        _write_mark(folder, {})
    what = f"./[{','.join(extras)}]" if extras else "./"
    pip = ["-I", "-m", "pip", "--disable-pip-version-check", "--no-input"]
    command = [str(interpreter(folder)), *pip, "install", "--editable", what]
    if _run(command, folder, lock, cwd=root) != 0:
        raise MachineError(
            f"its Python packages could not be installed: {_cause(folder)} "
            f"(everything pip said: {folder / LOG})",
            machine.NO_PACKAGES,
        )
    _write_mark(folder, {**want, "extras": extras})


def _run(command: list[str], folder: Path, lock: int, cwd: Path | None = None) -> int:
    """Run a command with its output in the log; its exit code."""
    with (folder / LOG).open("wb") as log:
        return subprocess.run(
            command,
            cwd=cwd,
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=subprocess.STDOUT,
            # the child keeps the lock if we are killed
            pass_fds=() if os.name == "nt" else (lock,),
            check=False,
        ).returncode


def _cause(folder: Path) -> str:
    """Why the last command failed, in a few words."""
    log = (folder / LOG).read_text(encoding="utf-8", errors="replace")
    for cause, signs in _CAUSES:
        if any(sign in log for sign in signs):
            return cause
    lines = [line.strip() for line in log.splitlines() if line.strip()]
    errors = [line for line in lines if re.match(r"ERROR:|\w*Error:", line)]
    return (errors or lines or ["it said nothing"])[-1]
