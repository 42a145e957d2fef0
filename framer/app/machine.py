"""What this machine lacks, and how it gets it: Debian packages, and one plain sentence.

Standard library only: set-up and pre-flight run before anything is installed.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

from framer.errors import FramerError

NOT_READY = 2
"""Exit code when the user has to do something first."""
NO_PACKAGES = 3
"""Exit code when Python packages could not be fetched or installed."""
INTERRUPTED = 130
"""Exit code after Ctrl-C, as shells have it."""


class MachineError(FramerError, RuntimeError):
    """The machine lacks something framer needs; the sentence names it and how to get it."""

    def __init__(self, sentence: str, exit_code: int = NOT_READY) -> None:
        super().__init__(sentence)
        self.exit_code = exit_code


def say(sentence: str) -> None:
    """Print one line of progress or trouble where it does not mix with results."""
    print(f"framer: {sentence}", file=sys.stderr, flush=True)


@contextlib.contextmanager
def plain_ends() -> Iterator[None]:
    """End the program with a sentence and an exit code, instead of a traceback."""
    try:
        yield
    except MachineError as error:
        say(str(error))
        sys.exit(error.exit_code)
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        say(f"cannot set up: {where}{error.strerror or error}")
        sys.exit(NOT_READY)
    except KeyboardInterrupt:
        say("set-up interrupted; the next start takes it up again")
        sys.exit(INTERRUPTED)


def is_debian_like() -> bool:
    """Whether missing things come as Debian packages."""
    return Path("/etc/debian_version").exists() and shutil.which("apt-get") is not None


def install_line(packages: Iterable[str]) -> str:
    """The one command that installs the packages."""
    return f"apt-get install {' '.join(packages)}"


def install(packages: list[str], lacking: str) -> None:
    """Install Debian packages where we may, after saying so.

    Args:
        packages: names of Debian packages.
        lacking: what is missing, as the subject of a sentence ("libEGL.so.1 is missing").

    Raises:
        MachineError: it is not ours to do (no root, no Debian), or it failed.
    """
    line = install_line(packages)
    if not is_debian_like():
        raise MachineError(f"{lacking}; on Debian or Ubuntu this brings it: {line}")
    if os.geteuid() != 0:
        raise MachineError(f"{lacking}; install with: sudo {line}")
    say(f"{lacking}; running: {line}")
    get = ["apt-get", "-q", "-y", "-o", "DPkg::Lock::Timeout=120"]
    for command in (
        [*get, "update"],
        [*get, "install", "--no-install-recommends", *packages],
    ):
        done = subprocess.run(
            command,
            env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            errors="replace",
            check=False,
        )
    # an update that fails for one of several sources does not matter if the install succeeds
    if done.returncode != 0:
        said = [text for text in done.stderr.splitlines() if text.startswith("E:")]
        raise MachineError(f"'{line}' failed: {said[0] if said else 'see its own messages'}")
