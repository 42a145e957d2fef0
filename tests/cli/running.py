"""The command line called as a user calls it, in a process of its own or in this one."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from framer.app.cli import main

ROOT = Path(__file__).resolve().parent.parent.parent
CORNER = ROOT / "sample_jobs/corner"
TANGENT = ROOT / "sample_jobs/tangent"


class Ended(NamedTuple):
    """How a command ended and what it printed."""

    status: int
    out: str
    err: str


def process(folder: Path, *words: str | Path, **environment: str) -> Ended:
    """`python -m framer` in a folder, without a screen."""
    env = {
        key: value for key, value in os.environ.items() if key not in ("DISPLAY", "WAYLAND_DISPLAY")
    }
    done = subprocess.run(
        [sys.executable, "-P", "-m", "framer", *map(str, words)],
        cwd=folder,
        env={**env, "PYTHONPATH": str(ROOT), **environment},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    return Ended(done.returncode, done.stdout, done.stderr)


class Here:
    """The command line run in this process, in an empty folder and without a screen."""

    def __init__(self, folder: Path, printed: pytest.CaptureFixture[str]) -> None:
        self.folder, self._printed = folder, printed

    def run(self, *words: str | Path) -> Ended:
        """Run one command; wrong usage, where argparse exits, is a status too."""
        self._printed.readouterr()
        try:
            status = main([str(word) for word in words])
        except SystemExit as ended:
            status = int(ended.code or 0)
        out, err = self._printed.readouterr()
        return Ended(status, out, err)

    def written(self) -> set[str]:
        """Everything in the folder, by path."""
        return {str(path.relative_to(self.folder)) for path in self.folder.rglob("*")}
