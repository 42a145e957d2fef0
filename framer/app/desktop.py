"""Tells a Linux desktop of framer: a menu entry, and that job files open in it.

All goes into the user's own data folder and nothing else is touched, as the desktop entry and
shared MIME-info specifications of freedesktop.org say.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from framer.errors import FramerError
from framer.files.disk import cause
from framer.resources import resources

FILES = {
    "framer.desktop": "applications",
    "framer-job.xml": "mime/packages",
    "framer.svg": "icons/hicolor/scalable/apps",
}
"""Files of resources/desktop, and where each goes in the data folder."""

REFRESH = (
    ("update-mime-database", "mime"),
    ("update-desktop-database", "applications"),
)
"""Programs that read the files anew, where there are such, and the folder each is given."""


def data_folder() -> Path:
    """The user's data folder, by the base directory specification."""
    given = os.environ.get("XDG_DATA_HOME", "")
    return Path(given) if Path(given).is_absolute() else Path.home() / ".local" / "share"


def command() -> str:
    """How framer is started from anywhere, as it stands in a desktop entry.

    Raises:
        FramerError: it is not known, or has letters a desktop entry cannot hold.
    """
    beside = Path(sys.executable).with_name("framer")
    found = str(beside) if beside.is_file() else shutil.which("framer")
    if found is None:
        raise FramerError("framer is not installed as a command; start it once, then try again")
    if any(letter in found for letter in '"`$\\\n%'):
        raise FramerError(f"{found}: a desktop entry cannot hold this path")
    return f'"{found}"' if " " in found else found


def install(folder: Path | None = None) -> tuple[Path, ...]:
    """Write the desktop's files, and have it read them; gives what was written.

    Raises:
        FramerError: there is no such thing on this system, or a file cannot be written.
    """
    if not sys.platform.startswith("linux"):
        raise FramerError("this is for Linux desktops; elsewhere the system asks what opens a file")
    base = folder or data_folder()
    written = []
    for name, where in FILES.items():
        path = base / where / name
        text = (resources() / "desktop" / name).read_text(encoding="utf-8")
        if name.endswith(".desktop"):
            text = text.replace("Exec=framer ", f"Exec={command()} ", 1)
            text = text.replace("TryExec=framer\n", f"TryExec={command().strip(chr(34))}\n", 1)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        except OSError as error:
            raise FramerError(f"{path}: cannot be written: {cause(error)}") from error
        written.append(path)
    for program, where in REFRESH:
        found = shutil.which(program)
        if found is not None:
            subprocess.run([found, str(base / where)], check=False, capture_output=True)
    return tuple(written)
