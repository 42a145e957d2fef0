"""What the window remembers from one start to the next: in a small file of its own, no registry."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings, QStandardPaths

MOST_RECENT = 8
"""Recent jobs that are kept."""


def settings_path() -> Path:
    """The settings file."""
    place = QStandardPaths.StandardLocation.GenericConfigLocation
    return Path(QStandardPaths.writableLocation(place)) / "framer" / "framer.ini"


def _settings() -> QSettings:
    return QSettings(str(settings_path()), QSettings.Format.IniFormat)


def remember(name: str, value: str | bool | QByteArray) -> None:
    """Keep a value; a file that cannot be written is no reason to stop."""
    remember_all({name: value})


def remember_all(values: Mapping[str, str | bool | QByteArray]) -> None:
    """Keep values, all of them in one writing of the file."""
    settings = _settings()
    for name, value in values.items():
        kept = value if not isinstance(value, bool) else ("yes" if value else "no")
        settings.setValue(name, kept)


def remembered(name: str) -> str:
    """A text that was kept, empty when none was."""
    return str(_settings().value(name, "") or "")


def remembered_choice(name: str, *, default: bool) -> bool:
    """A yes or no that was kept."""
    return {"yes": True, "no": False}.get(remembered(name), default)


def remembered_bytes(name: str) -> QByteArray:
    """A shape that was kept, empty when none was."""
    kept = _settings().value(name)
    return kept if isinstance(kept, QByteArray) else QByteArray()


def recent() -> list[Path]:
    """Recent jobs, the latest first, whether or not they are still there."""
    kept = _settings().value("recent", [])
    names = kept if isinstance(kept, list) else [kept]  # a list of one comes back as that one
    return [Path(str(name)) for name in names if name]


def remember_recent(path: Path) -> None:
    """Put a job first among the recent ones."""
    whole = path.absolute()
    kept = [whole, *(one for one in recent() if one != whole)][:MOST_RECENT]
    _settings().setValue("recent", [str(one) for one in kept])


def forget_recent() -> None:
    """Keep no recent jobs."""
    _settings().remove("recent")
