"""A folder of somebody who is not root, for tests of permissions: root may do anything."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

_NOBODY = 65534


@pytest.fixture
def ordinary_users_folder() -> Iterator[Path]:
    """An empty folder; while the test runs, so does everything as the user who owns it."""
    if os.name == "nt":
        pytest.skip("permissions there are another matter")
    # not below tmp_path, whose folders are closed to other users
    folder = Path(tempfile.mkdtemp(prefix="framer-test-"))
    is_root = os.geteuid() == 0
    try:
        if is_root:
            os.chown(folder, _NOBODY, _NOBODY)
            os.seteuid(_NOBODY)
        yield folder
    finally:
        if is_root:
            os.seteuid(0)
        folder.chmod(0o700)
        shutil.rmtree(folder)
