"""What every test has: the user's own files out of reach, and a way to ask for other programs."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator

import pytest

# before pytest-qt or a test imports Qt
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

_OWN_FOLDERS = (
    "XDG_CACHE_HOME",
    "XDG_CONFIG_HOME",
    "XDG_DATA_HOME",
    "XDG_RUNTIME_DIR",
    "XDG_STATE_HOME",
    "APPDATA",
    "LOCALAPPDATA",
)


@pytest.fixture(scope="session", autouse=True)
def users_folders_out_of_reach(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Settings, recovery files and caches go to a folder of this run."""
    with pytest.MonkeyPatch.context() as patch:
        for name in _OWN_FOLDERS:
            folder = tmp_path_factory.mktemp(name.lower())
            folder.chmod(0o700)  # Qt refuses a runtime folder that others can read
            patch.setenv(name, str(folder))
        yield


@pytest.fixture
def needs_program() -> Callable[[str], str]:
    """Gives the path of another program; without it the test is skipped, in CI it fails."""

    def path_of(name: str) -> str:
        path = shutil.which(name)
        if path is None:
            if os.environ.get("FRAMER_CI") == "1":
                pytest.fail(f"{name} is not installed, and in CI no test goes without")
            pytest.skip(f"needs {name}")
        return path

    return path_of
